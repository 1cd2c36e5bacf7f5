//! What is wrong with the scene, and what a reader of the answer must know.

use bevy_egui::egui::{self, CursorIcon, Response, Sense, Stroke, StrokeKind, Ui, WidgetInfo, WidgetType};

use crate::app::command::Command;
use crate::app::editor::hit::pick_of;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{label, scrolling, section};
use crate::edit::Item;
use crate::output::{Theme, words};
use crate::scene::{Problem, Scene, Severity, Thing};

/// The list of what keeps a scene from being solved; things by their names, where there is a scene that has them. A click on one asks to be shown
/// where it is.
pub fn problems_ui(ui: &mut Ui, theme: Theme, scene: Option<&Scene>, problems: &[Problem]) -> Option<Command> {
    let palette = Palette::of(theme);
    let severe = problems.iter().filter(|problem| problem.severity == Severity::Error).count();
    let text = problems.iter().any(|problem| matches!(problem.thing, Thing::Text { .. }));
    let heading = match severe {
        _ if text => "This file cannot be read".to_owned(),
        0 => "This scene is odd".to_owned(),
        1 => "One thing keeps this scene from being solved".to_owned(),
        count => format!("{count} things keep this scene from being solved"),
    };
    label(ui, heading, size::SENTENCE, palette.ink);
    ui.add_space(8.0);
    scrolling(ui, "problems", |ui| list_ui(ui, theme, scene, problems))
}

pub fn list_ui(ui: &mut Ui, theme: Theme, scene: Option<&Scene>, problems: &[Problem]) -> Option<Command> {
    let palette = Palette::of(theme);
    let mut asked = None;
    for problem in problems {
        asked = card_ui(ui, &palette, scene, problem).or(asked);
    }
    asked
}

/// The same where the thing they are about is in sight already: they lead nowhere.
pub fn here_ui(ui: &mut Ui, theme: Theme, scene: &Scene, problems: &[Problem]) {
    let palette = Palette::of(theme);
    problems.iter().for_each(|problem| drop(one_ui(ui, &palette, Some(scene), problem)));
}

fn one_ui(ui: &mut Ui, palette: &Palette, scene: Option<&Scene>, problem: &Problem) -> Response {
    let frame = egui::Frame::new().fill(palette.raised).corner_radius(6).inner_margin(egui::Margin::symmetric(12, 10));
    let card = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 3.0;
        let ink = if problem.severity == Severity::Error { palette.alert } else { palette.soft_ink };
        label(ui, words::heading(&place(scene, problem)), size::SMALL, ink);
        label(ui, sentence(&problem.what), size::TEXT, palette.ink);
        label(ui, sentence(&problem.to_do), size::TEXT - 0.5, palette.soft_ink);
    });
    card.response
}

/// A card with a problem; pressed, it leads to the place, where there is one on the plan.
fn card_ui(ui: &mut Ui, palette: &Palette, scene: Option<&Scene>, problem: &Problem) -> Option<Command> {
    let card = one_ui(ui, palette, scene, problem);
    if scene.is_none() || (problem.storey.is_none() && pick_of(&problem.thing, None).is_none()) {
        return None;
    }
    let card = card.interact(Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
    let name = format!("Show: {}", place(scene, problem));
    card.widget_info(|| WidgetInfo::labeled(WidgetType::Button, true, &name));
    if card.hovered() || card.has_focus() {
        let edge = Stroke::new(1.5, palette.listener);
        ui.painter().rect_stroke(card.rect, 6.0, edge, StrokeKind::Inside);
    }
    card.clicked().then(|| Command::ShowPlace(problem.storey.clone(), problem.thing.clone()))
}

/// Warnings and remarks below the list of paths.
pub fn remarks_ui(ui: &mut Ui, theme: Theme, scene: &Scene, warnings: &[Problem], notes: &[String]) -> Option<Command> {
    let palette = Palette::of(theme);
    ui.spacing_mut().item_spacing.y = 5.0;
    if !notes.is_empty() {
        section(ui, &palette, "Good to know");
        for note in notes {
            label(ui, sentence(note), size::SMALL + 0.5, palette.soft_ink);
        }
    }
    if warnings.is_empty() {
        return None;
    }
    ui.add_space(4.0);
    section(ui, &palette, "Odd in this scene");
    list_ui(ui, theme, Some(scene), warnings)
}

/// Where it is: "Ground floor, wall \"w3\"". What has a name goes by it.
fn place(scene: Option<&Scene>, problem: &Problem) -> String {
    let drawn = scene.zip(problem.storey.as_ref());
    let drawn = drawn.and_then(|(scene, id)| scene.storeys.iter().find(|storey| storey.id == *id));
    let pick = pick_of(&problem.thing, problem.storey.as_ref());
    let name = match scene.zip(pick).and_then(|(scene, pick)| Item::of(scene, &pick)) {
        Some(Item::Room(_, room)) => room.name,
        Some(Item::Opening(_, opening)) => opening.name,
        Some(Item::Source(source)) => source.name,
        Some(Item::Listener(listener)) => listener.name,
        _ => String::new(),
    };
    let thing = if name.is_empty() { problem.thing.to_string() } else { name };
    let storey = problem.storey.as_ref().map(|id| match drawn {
        Some(storey) if !storey.name.is_empty() => storey.name.clone(),
        _ => format!("storey \"{id}\""),
    });
    match storey {
        Some(storey) if problem.thing == Thing::Storey => storey,
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
