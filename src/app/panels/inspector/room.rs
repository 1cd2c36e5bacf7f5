//! A room: its name and use, its surfaces, its noise, what is known of it better than computed, and a room within it.

use bevy_egui::egui::Ui;

use super::chooser::{Asked, chooser_ui, one};
use super::construct::construction_ui;
use super::fields::{button, check, choice, fact, number, number_or_none, octaves, part, title_to_type, words};
use super::layers::fill_ui;
use super::shelf::Shelf;
use super::shell::shell_ui;
use super::storey::{ROOFS, floor_ui};
use super::{Seen, background_ui, head};
use crate::building::SpaceKind;
use crate::edit::{Edit, Item};
use crate::output::length::{area, volume, write};
use crate::scene::{Finishes, Room, RoomId, Storey, Thing, Usage};

/// The panel of a room.
pub(super) fn room_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, id: &RoomId) -> Option<Vec<Edit>> {
    let room = storey.rooms.iter().find(|room| room.id == *id)?;
    head(ui, seen, "Room", &room.name, Some(&storey.id), &Thing::Room(id.0.clone()));
    let mut after = room.clone();
    let mut edits = vec![];
    title_to_type(ui, seen, "What the room is called", &mut after.name, seen.naming);
    let told = "Decides wording, and what lies open to the weather; a loft or void is passed, nobody lives in it";
    choice(ui, seen, "Used as", told, &mut after.usage, &usages());
    if after.usage == Usage::Cavity || after.fill.is_some() {
        fill_ui(ui, seen, &mut after.fill, 50.0);
    }
    answer_ui(ui, seen, room);
    background_ui(ui, seen, &mut after.background);
    part(ui, seen, "Surfaces", true, |ui| surfaces_ui(ui, seen, &mut after));
    let own = after.floor.is_some() || after.roof.is_some();
    part(ui, seen, "Floor and roof of its own", own, |ui| edits.extend(slabs_ui(ui, seen, storey, &mut after)));
    let known = after.volume_m3.is_some() || after.reverberation_s.is_some();
    part(ui, seen, "Measured there", known, |ui| known_ui(ui, seen, &mut after));
    let inner = after.inner_shell.is_some();
    part(ui, seen, "A room within it", inner, |ui| edits.extend(shell_ui(ui, seen, storey, &mut after)));
    if after != *room {
        edits.push(Edit::Put(Item::Room(storey.id.clone(), after)));
    }
    Some(edits)
}

pub(super) fn usages() -> Vec<(Usage, String)> {
    words(&[
        (Usage::Practice, "practice, workshop"),
        (Usage::Bedroom, "bedroom"),
        (Usage::Living, "living, kitchen"),
        (Usage::Classroom, "classroom"),
        (Usage::Work, "office, shop"),
        (Usage::Circulation, "hall, stairs, store"),
        (Usage::Loft, "loft"),
        (Usage::Void, "void: floor, ceiling, shaft"),
        (Usage::Cavity, "gap of a drawn shell"),
    ])
}

/// Sizes and reverberation as computed.
fn answer_ui(ui: &mut Ui, seen: &Seen, room: &Room) {
    let (Some(solved), Some(space)) = (seen.solved(), seen.space(&room.id)) else { return };
    let SpaceKind::Room(found) = &solved.building.spaces[space.0].kind else { return };
    let sizes =
        (area(found.area_m2, seen.units), write(found.height_m, seen.units), volume(found.volume_m3, seen.units));
    let mut line = format!("{}, {} high, {}", sizes.0, sizes.1, sizes.2);
    if let Some(answer) = solved.answer.spaces.get(space.0) {
        // 500 Hz is the band most rooms are judged by.
        line.push_str(&format!(", rings for {:.1} s at 500 Hz", answer.reverberation_s[13]));
    }
    fact(ui, &seen.palette, &line);
}

fn surfaces_ui(ui: &mut Ui, seen: &Seen, room: &mut Room) {
    let Finishes { floor, walls, ceiling, extra } = &mut room.finishes;
    one(ui, seen, Shelf::Finishes, "Floor", "What one walks on", floor);
    one(ui, seen, Shelf::Finishes, "Walls", "Their surface", walls);
    one(ui, seen, Shelf::Finishes, "Ceiling", "Its surface", ceiling);
    let mut removed = None;
    for (at, (finish, area_m2)) in extra.iter_mut().enumerate() {
        ui.push_id(("extra", at), |ui| {
            one(ui, seen, Shelf::Finishes, "Also", "An extra area: a curtain, a carpet, panels", finish);
            ui.horizontal(|ui| {
                number(ui, seen, ("Area", "Of this extra surface", "m²"), area_m2, (0.0, 5000.0));
                if button(ui, "Remove", "Take this extra surface away") {
                    removed = Some(at);
                }
            });
        });
    }
    if let Some(at) = removed {
        extra.remove(at);
    }
    let asked = Asked {
        name: "Add surface",
        told: "A curtain, a carpet, absorbing panels",
        chosen: None,
        shelf: Shelf::Finishes,
        none: None,
        differ: false,
    };
    if let Some(Some(finish)) = chooser_ui(ui, seen, &asked) {
        extra.push((finish, 5.0));
    }
    let told = "Absorption area of people and furniture: about 0.5 m² a person, 1 to 2 m² an armchair or a bed. Common practice, no source.";
    number(ui, seen, ("Furniture", told, "m²"), &mut room.furniture_m2, (0.0, 5000.0));
}

fn slabs_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, room: &mut Room) -> Vec<Edit> {
    let mut edits = vec![];
    let mut own = room.floor.is_some();
    if check(ui, "a floor of its own", "Another floor than the storey's", &mut own) {
        room.floor = own.then(|| storey.floor.clone());
    }
    if let Some(floor) = &mut room.floor {
        edits.extend(floor_ui(ui, seen, "Its floor", floor));
    }
    let mut own = room.roof.is_some();
    if check(ui, "a roof of its own", "Another roof than the storey's", &mut own) {
        room.roof = own.then(|| storey.roof.clone());
    }
    if let Some(roof) = &mut room.roof {
        edits.extend(construction_ui(ui, seen, ("Its roof", "Where nothing lies above"), &ROOFS, roof));
    }
    edits
}

fn known_ui(ui: &mut Ui, seen: &Seen, room: &mut Room) {
    let told = "Instead of area times height: for sloping ceilings and odd shapes";
    number_or_none(ui, seen, ("Volume", told, "m³"), &mut room.volume_m3, (0.1, 1e6));
    let mut measured = room.reverberation_s.is_some();
    let told = "Reverberation time by octave, instead of the computed one";
    if check(ui, "reverberation time measured", told, &mut measured) {
        room.reverberation_s = measured.then(|| computed(seen, room));
    }
    if let Some(times_s) = &mut room.reverberation_s {
        octaves(ui, seen, "Reverberation time", told, times_s, ("s", (0.02, 60.0)));
    }
}

/// The computed reverberation time by octave, to begin from.
fn computed(seen: &Seen, room: &Room) -> [f64; 8] {
    let answer = seen.solved().zip(seen.space(&room.id)).and_then(|(solved, at)| solved.answer.spaces.get(at.0));
    std::array::from_fn(|octave| {
        let time_s = answer.map_or(0.5, |answer| answer.reverberation_s[3 * octave + 1]);
        ((time_s * 100.0).round() / 100.0).clamp(0.02, 60.0)
    })
}
