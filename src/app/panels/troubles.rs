//! What is wrong with the scene, and what a reader of the answer must know.

use bevy_egui::egui::{self, RichText, Ui};

use super::{scrolling, section};
use crate::app::theme::{Palette, size};
use crate::output::{Theme, words};
use crate::scene::{Problem, Scene, Severity, Thing};

/// The list of what keeps a scene from being solved; things by their names, where there is a scene that has them.
pub fn troubles_ui(ui: &mut Ui, theme: Theme, scene: Option<&Scene>, troubles: &[Problem]) {
    let palette = Palette::of(theme);
    let severe = troubles.iter().filter(|trouble| trouble.severity == Severity::Error).count();
    let text = troubles.iter().any(|trouble| matches!(trouble.thing, Thing::Text { .. }));
    let heading = match severe {
        _ if text => "This file cannot be read".to_owned(),
        0 => "This scene is odd".to_owned(),
        1 => "One thing keeps this scene from being solved".to_owned(),
        count => format!("{count} things keep this scene from being solved"),
    };
    ui.label(RichText::new(heading).size(size::SENTENCE).color(palette.ink));
    ui.add_space(8.0);
    scrolling(ui, "troubles", |ui| {
        for trouble in troubles {
            trouble_ui(ui, &palette, scene, trouble);
        }
    });
}

/// The same list without heading, as long as it is.
pub fn list_ui(ui: &mut Ui, theme: Theme, scene: Option<&Scene>, troubles: &[Problem]) {
    let palette = Palette::of(theme);
    for trouble in troubles {
        trouble_ui(ui, &palette, scene, trouble);
    }
}

fn trouble_ui(ui: &mut Ui, palette: &Palette, scene: Option<&Scene>, trouble: &Problem) {
    let frame = egui::Frame::new().fill(palette.raised).corner_radius(6).inner_margin(egui::Margin::symmetric(12, 10));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 3.0;
        let ink = if trouble.severity == Severity::Error { palette.alert } else { palette.soft_ink };
        ui.label(RichText::new(words::heading(&place(scene, trouble))).size(size::SMALL).color(ink));
        ui.label(RichText::new(sentence(&trouble.what)).size(size::TEXT).color(palette.ink));
        ui.label(RichText::new(sentence(&trouble.to_do)).size(size::TEXT - 0.5).color(palette.soft_ink));
    });
}

/// Warnings and remarks below the list of paths.
pub fn remarks_ui(ui: &mut Ui, theme: Theme, scene: &Scene, warnings: &[Problem], notes: &[String]) {
    let palette = Palette::of(theme);
    ui.spacing_mut().item_spacing.y = 5.0;
    if !notes.is_empty() {
        section(ui, &palette, "Good to know");
        for note in notes {
            ui.label(RichText::new(sentence(note)).size(size::SMALL + 0.5).color(palette.soft_ink));
        }
    }
    if !warnings.is_empty() {
        ui.add_space(4.0);
        section(ui, &palette, "Odd in this scene");
        for warning in warnings {
            trouble_ui(ui, &palette, Some(scene), warning);
        }
    }
}

/// Where it is: "Ground floor, wall \"w3\"". What has a name goes by it.
fn place(scene: Option<&Scene>, trouble: &Problem) -> String {
    let drawn = scene.zip(trouble.storey.as_ref());
    let drawn = drawn.and_then(|(scene, id)| scene.storeys.iter().find(|storey| storey.id == *id));
    let name = match &trouble.thing {
        Thing::Room(id) => {
            drawn.and_then(|storey| storey.rooms.iter().find(|room| room.id.0 == *id)).map(|room| &room.name)
        }
        Thing::Opening(id) => {
            let opening = drawn.and_then(|storey| storey.openings.iter().find(|opening| opening.id.0 == *id));
            opening.map(|opening| &opening.name)
        }
        Thing::Source(id) => {
            scene.and_then(|scene| scene.sources.iter().find(|source| source.id.0 == *id)).map(|source| &source.name)
        }
        Thing::Listener(id) => scene
            .and_then(|scene| scene.listeners.iter().find(|listener| listener.id.0 == *id))
            .map(|listener| &listener.name),
        _ => None,
    };
    let thing = name.filter(|name| !name.is_empty()).cloned().unwrap_or_else(|| trouble.thing.to_string());
    let storey = trouble.storey.as_ref().map(|id| match drawn {
        Some(storey) if !storey.name.is_empty() => storey.name.clone(),
        _ => format!("storey \"{id}\""),
    });
    match storey {
        Some(storey) if trouble.thing == Thing::Storey => storey,
        Some(storey) => format!("{storey}, {thing}"),
        None => thing,
    }
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let text = words::heading(text.trim());
    if text.is_empty() || text.ends_with(['.', '!', '?']) { text } else { format!("{text}.") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_a_name_goes_by_it() {
        let text = r#"(format: 1, name: "n", storeys: [(id: "s-2", name: "Ground floor", level_m: 0, height_m: 2.5,
            floor: (construction: "x"), ground: "x", roof: "x", nodes: [], walls: [],
            rooms: [(id: "room-7", name: "Drum room", at: (0, 0))])])"#;
        let scene = crate::scene::file::from_text(text).unwrap();
        let about = |storey: &str, thing| Problem::error(Some(&storey.into()), thing, "it is odd", "look");
        let room = about("s-2", Thing::Room("room-7".to_owned()));
        assert_eq!(place(Some(&scene), &room), "Ground floor, Drum room");
        assert_eq!(place(None, &room), "storey \"s-2\", room \"room-7\"");
        assert_eq!(place(Some(&scene), &about("s-9", Thing::Storey)), "storey \"s-9\"");
        assert_eq!(place(Some(&scene), &about("s-2", Thing::Wall("w".to_owned()))), "Ground floor, wall \"w\"");
    }

    #[test]
    fn halves_of_sentences_become_whole_ones() {
        assert_eq!(sentence("make it at least 0.05 m, or delete it"), "Make it at least 0.05 m, or delete it.");
        assert_eq!(sentence("did you mean \"name\"?"), "Did you mean \"name\"?");
        assert_eq!(sentence(""), "");
    }
}
