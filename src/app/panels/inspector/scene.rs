//! The scene: what it is called and says of itself, the air, the ground outdoors, and the constructions of its own.

use bevy_egui::egui::{Key, TextEdit, Ui};

use super::Seen;
use super::fields::{KEYS, button, choice, fact, named, number, outline, part, remember, title, words};
use super::known::known_ui;
use crate::edit::{Edit, Head, Item};
use crate::scene::{Ground, Scene};

/// The panel of the scene.
pub(super) fn scene_ui(ui: &mut Ui, seen: &Seen) -> Vec<Edit> {
    let before = Head::of(seen.scene);
    let mut after = before.clone();
    let mut edits = vec![];
    part(ui, seen, "The scene", true, |ui| {
        title(ui, seen, "What the scene is called", &mut after.name);
        about_ui(ui, seen, &mut after.about);
        let told =
            "Of the air indoors, for what it absorbs and where rooms resonate; walls count as in a laboratory at 20 °C";
        number(ui, seen, ("Temperature", told, "°C"), &mut after.air.temperature_c, (-20.0, 50.0));
        let told = "Relative humidity of the air indoors: decides how far the highest notes carry";
        number(ui, seen, ("Humidity", told, "%"), &mut after.air.humidity_percent, (1.0, 100.0));
        let told = "The ground between the building and who listens outdoors";
        let all = words(&[(Ground::Hard, "hard: paving, asphalt"), (Ground::Soft, "soft: grass, beds")]);
        choice(ui, seen, "Outdoors", told, &mut after.outdoors.ground, &all);
    });
    if !seen.scene.constructions.is_empty() {
        part(ui, seen, "Constructions of its own", false, |ui| edits.extend(own_ui(ui, seen)));
    }
    let known = seen.scene.overrides.len();
    let name = if known == 0 { "What is known better".to_owned() } else { format!("What is known better ({known})") };
    // The number in its name must not fold it away.
    ui.push_id("known better", |ui| part(ui, seen, &name, known > 0, |ui| edits.extend(known_ui(ui, seen, None))));
    if after != before {
        edits.push(Edit::Put(Item::Head(after)));
    }
    edits
}

/// A few sentences: they count when the field is left.
fn about_ui(ui: &mut Ui, seen: &Seen, about: &mut String) {
    let id = ui.make_persistent_id("about");
    let draft: Option<String> = ui.data(|data| data.get_temp(id));
    let mut text = draft.unwrap_or_else(|| about.clone());
    fact(ui, &seen.palette, "About");
    let wide = ui.available_width();
    let edit =
        TextEdit::multiline(&mut text).id(id.with("text")).desired_rows(3).desired_width(wide).event_filter(KEYS);
    let response = ui.add(edit.hint_text("A few sentences on what it shows"));
    named(ui, &response, "About");
    outline(ui, &seen.palette, &response);
    if response.has_focus() && ui.input(|input| input.key_pressed(Key::Escape)) {
        response.surrender_focus();
        text.clone_from(about);
    }
    // A press on the plan may pick something and take this field away: what is typed must count before.
    if response.has_focus() && ui.input(|input| input.pointer.any_pressed()) && !response.contains_pointer() {
        response.surrender_focus();
    }
    if response.lost_focus() {
        about.clone_from(&text);
    }
    let draft = (response.has_focus() && text != *about).then_some(text);
    remember(ui, id, draft);
}

fn own_ui(ui: &mut Ui, seen: &Seen) -> Vec<Edit> {
    let mut edits = vec![];
    for own in &seen.scene.constructions {
        fact(ui, &seen.palette, &crate::output::words::heading(&own.name));
        let uses = uses(seen.scene, &own.id);
        if uses > 0 {
            let noun = if uses == 1 { "place" } else { "places" };
            fact(ui, &seen.palette, &format!("used in {uses} {noun}"));
        } else if button(ui, &format!("Forget {}", own.name), "Nothing is made of it") {
            edits.push(Edit::ForgetConstruction(own.id.clone()));
        }
    }
    edits
}

/// How often a construction is named.
fn uses(scene: &Scene, id: &str) -> usize {
    let mut count = 0;
    let mut see = |named: &str| count += usize::from(named == id);
    for storey in &scene.storeys {
        see(&storey.floor.construction);
        see(&storey.ground);
        see(&storey.roof);
        storey.walls.iter().for_each(|wall| see(&wall.construction));
        for opening in &storey.openings {
            see(&opening.construction);
            opening.cover.iter().for_each(|cover| see(&cover.construction));
        }
        for room in &storey.rooms {
            room.floor.iter().for_each(|floor| see(&floor.construction));
            room.roof.iter().for_each(|roof| see(roof));
            let Some(shell) = &room.inner_shell else { continue };
            let single = shell.each_wall.iter().filter_map(|(_, face)| face.as_ref());
            let faces = [&shell.walls, &shell.ceiling, &shell.floor].into_iter().flatten().chain(single);
            faces.for_each(|face| see(&face.construction));
            shell.openings.iter().for_each(|opening| see(&opening.construction));
        }
    }
    count
}
