//! A room: its name and use, its surfaces, its noise, what is known of it better than computed, and a room within it.

use bevy_egui::egui::Ui;

use super::chooser::{FILL_DEPTH, FromShelf, Porous, chooser_ui};
use super::common::BACKGROUND;
use super::construct::MadeOf;
use super::context::Context;
use super::inputs::{Check, Label, Name, Number, Octaves, OneOf, Switch, button, check, list_ui, set, words};
use super::shell::SHELL;
use super::storey::ITS_FLOOR;
use super::table::{Custom, Fact, Field, Inside, Part, Table, table};
use crate::building::SpaceKind;
use crate::catalogue::limits::Limits;
use crate::output::length::{area, volume, write};
use crate::output::shelf::Shelf;
use crate::scene::validate::limits;
use crate::scene::{Room, Usage};

pub(super) const ROOM: Table<Room> = table! { room: Room;
    "Name", "What the room is called", Name, room.name;
    "Used as", "Decides wording, and what lies open to the weather; a loft or void is passed, nobody lives in it",
        OneOf(|_, _| words(USAGES)), room.usage;
    "Fill", "Porous material in the cavity",
        FILL, *(room.usage == Usage::Cavity || room.fill.is_some()).then_some(&mut room.fill)?;
    Fact(answer);
    [room.background] BACKGROUND;
    Part("Surfaces", |_| true, table! { room: Room;
        "Floor", "What one walks on", FromShelf(Shelf::Finishes), room.finishes.floor;
        "Walls", "Their surface", FromShelf(Shelf::Finishes), room.finishes.walls;
        "Ceiling", "Its surface", FromShelf(Shelf::Finishes), room.finishes.ceiling;
        Custom(extra_ui);
        "Furniture",
            "Absorption area of people and furniture: about 0.5 m² a person, 1 to 2 m² an armchair or a bed. Common practice, no source.",
            Number(limits::FURNITURE_M2), room.furniture_m2;
    });
    Part("Floor and roof of its own", |room| room.floor.is_some() || room.roof.is_some(), table! { room: Room;
        "a floor of its own", "Another floor than the storey's",
            Switch(|cx| Some(cx.storey?.floor.clone())), room.floor;
        [*room.floor.as_mut()?] ITS_FLOOR;
        "a roof of its own", "Another roof than the storey's", Switch(|cx| Some(cx.storey?.roof.clone())), room.roof;
        "Its roof", "Where nothing lies above", MadeOf(|_| limits::ROOFS), *room.roof.as_mut()?;
    });
    Part("Measured there", |room| room.volume_m3.is_some() || room.reverberation_s.is_some(), table! { room: Room;
        "Volume", "Instead of area times height: for sloping ceilings and odd shapes",
            Number(limits::VOLUME_M3), room.volume_m3;
        Custom(measured_ui);
        "Reverberation time", MEASURED,
            Octaves(limits::REVERBERATION_S), *room.reverberation_s.as_mut()?;
    });
    Part("What can hurt", |room| room.flames || room.untested_coating, table! { room: Room;
        "a flame draws its air here", "A boiler, stove, gas fire or open fire stands in the room or draws its air from it: it must not be closed",
            Check, room.flames;
        "old coating, not tested", "Old textured coating on walls or ceiling that was not tested for asbestos: nothing may be fixed to them",
            Check, room.untested_coating;
    });
    Part("A room within it", |room| room.inner_shell.is_some(), SHELL);
};

pub(super) const ROOMS: Table<Room> = table! { room: Room;
    "Used as", "What they are used as", OneOf(|_, _| words(USAGES)), room.usage;
};

const FILL: Porous = Porous { none: "no fill", thickness: FILL_DEPTH, limits: limits::FILL_MM, begins_mm: 50.0 };
const MEASURED: &str = "Reverberation time by octave, instead of the computed one";

const USAGES: &[(Usage, &str)] = &[
    (Usage::Practice, "practice, workshop"),
    (Usage::Bedroom, "bedroom"),
    (Usage::Living, "living, kitchen"),
    (Usage::Classroom, "classroom"),
    (Usage::Work, "office, shop"),
    (Usage::Circulation, "hall, stairs, store"),
    (Usage::Loft, "loft"),
    (Usage::Void, "void: floor, ceiling, shaft"),
    (Usage::Cavity, "gap of a drawn shell"),
];

fn answer(cx: &Context, room: &Room) -> Option<String> {
    let (solved, space) = (cx.solved()?, cx.space(&room.id)?);
    let SpaceKind::Room(found) = &solved.building.spaces[space.0].kind else { return None };
    let (area, volume) = (area(found.area_m2, cx.units), volume(found.volume_m3, cx.units));
    let line = format!("{area}, {} high, {volume}", write(found.height_m, cx.units));
    // 500 Hz is the band most rooms are judged by.
    let rings = solved.answer.spaces.get(space.0).map(|answer| answer.reverberation_s[13]);
    Some(line + &rings.map(|rings_s| format!(", rings for {rings_s:.1} s at 500 Hz")).unwrap_or_default())
}

fn extra_ui(ui: &mut Ui, cx: &Context, room: &mut Room) {
    let finishes = FromShelf(Shelf::Finishes);
    list_ui(ui, "extra", &mut room.finishes.extra, |ui, _, (finish, area_m2)| {
        set(ui, cx, ("Also", "An extra area: a curtain, a carpet, panels"), &finishes, finish);
        let area = |ui: &mut Ui| {
            set(ui, cx, ("Area", "Of this extra surface"), &Number(limits::EXTRA_M2), area_m2);
            button(ui, "Remove", "Remove this extra surface")
        };
        ui.horizontal(area).inner
    });
    let label = Label::new("Add surface", "A curtain, a carpet, absorbing panels");
    if let Some(Some(finish)) = chooser_ui(ui, cx, label, Shelf::Finishes, None, None) {
        room.finishes.extra.push((finish, 5.0));
    }
}

/// What is measured begins as it is computed.
fn measured_ui(ui: &mut Ui, cx: &Context, room: &mut Room) {
    let mut measured = room.reverberation_s.is_some();
    if !check(ui, "reverberation time measured", MEASURED, &mut measured) {
        return;
    }
    let answer = cx.solved().zip(cx.space(&room.id)).and_then(|(solved, at)| solved.answer.spaces.get(at.0));
    let Limits { least, most, .. } = limits::REVERBERATION_S;
    let computed_s = std::array::from_fn(|octave| {
        let time_s = answer.map_or(0.5, |answer| answer.reverberation_s[3 * octave + 1]);
        ((time_s * 100.0).round() / 100.0).clamp(least, most)
    });
    room.reverberation_s = measured.then_some(computed_s);
}
