//! A source: what it is, how loud, whether it plays, and where it touches the building: with what force, and on what it rests there.

use bevy_egui::egui::Ui;

use super::chooser::FromShelf;
use super::common::POINT;
use super::context::Context;
use super::entry::{fact, wrong};
use super::inputs::{
    Check, Label, Name, Number, Octaves, OneOf, Slider, Switch, button, check, choice, list_ui, part, set, variants,
    words,
};
use super::table::{Custom, Field, Inside, Part, Table, table, table_ui};
use super::treatment::mount_ui;
use crate::acoustics::isolation::USUAL_PLATFORM_M2;
use crate::acoustics::{Bands, Spectrum};
use crate::catalogue::Force;
use crate::edit::Pick;
use crate::output::shelf::Shelf;
use crate::output::words::heading;
use crate::scene::validate::limits::{self, typed};
use crate::scene::{Contact, ContactForce, Measured, Mount, Source, Spring, Touches};
use crate::solve::Conditions;
use crate::solve::room::offset_db;

pub(super) const SOURCE: Table<Source> = table! { source: Source;
    "Name", "What it is called", Name, source.name;
    "playing", "Untick it to hear the others alone", Check, source.playing;
    "Sound", "What it sounds like, and how loud", FromShelf(Shelf::Sounds), source.sound;
    Custom(another_sound);
    Custom(loudness_ui);
    "Storey", "The storey it stands on", OneOf(|cx, _| cx.storeys()), source.storey;
    [source.at] POINT;
    Part("Where it touches the building", |_| true, table! { source: Source;
        "stands on its feet and pedals", "Untick it to take all of them away: as if it hung in the air",
            Check, source.touching;
        Custom(contacts_ui);
    });
};

pub(super) const SOURCES: Table<Source> = table! { source: Source;
    "They are", "Whether they play", OneOf(|_, _| words(PLAYING)), source.playing;
    "stand on their feet and pedals", "Untick it to take all of them away", Check, source.touching;
};

const PLAYING: &[(bool, &str)] = &[(true, "playing"), (false, "silent")];

/// Where another sound was chosen, its feet and pedals take the place of the usual ones of the sound before; others stay.
fn another_sound(_: &mut Ui, cx: &Context, source: &mut Source) {
    let Some(before) = cx.scene.sources.iter().find(|known| known.id == source.id) else { return };
    if before.sound == source.sound {
        return;
    }
    let usual = |sound: &str| cx.catalogue.sources.get(sound).map(|sound| Contact::usual(sound, source.at));
    let forces = |contacts: &[Contact]| -> Vec<_> {
        contacts.iter().map(|contact| (contact.name.clone(), contact.force.clone(), contact.mount.clone())).collect()
    };
    if usual(&before.sound).is_none_or(|usual| forces(&usual) == forces(&source.contacts)) {
        source.contacts = usual(&source.sound).unwrap_or_default();
    }
}

/// How one says how loud it is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Said {
    AsListed,
    At,
    InRoom,
}

const SAID: &[(Said, &str)] = &[
    (Said::AsListed, "as listed, or so much louder"),
    (Said::At, "measured so far off, in the open"),
    (Said::InRoom, "measured in its room"),
];

/// Louder or softer than the catalogue's, or a level that was measured: one of them.
fn loudness_ui(ui: &mut Ui, cx: &Context, source: &mut Source) {
    let said = match source.measured {
        None => Said::AsListed,
        Some(Measured { in_room: false, .. }) => Said::At,
        Some(Measured { in_room: true, .. }) => Said::InRoom,
    };
    let label = Label::new("How loud", "By the catalogue, by a data sheet, or by a sound level meter");
    if let Some(now) = choice(ui, cx, label, &said, &words(SAID)).filter(|now| *now != said) {
        let la_db = source.measured.map_or_else(|| a_metre_off_db(cx, source), |measured| measured.la_db);
        source.measured = match now {
            Said::AsListed => None,
            Said::At => Some(Measured { la_db, distance_m: Some(1.0), in_room: false }),
            Said::InRoom => Some(Measured { la_db, distance_m: None, in_room: true }),
        };
        source.offset_db = 0.0;
    }
    let offset = ("Offset", "Louder (+) or softer (−) than the catalogue's: no level. Feet and pedals follow it");
    match &mut source.measured {
        None => {
            set(ui, cx, offset, &LEVEL, &mut source.offset_db);
        }
        Some(measured) => {
            set(ui, cx, ("Measured", LA), &Number(limits::MEASURED_DB), &mut measured.la_db);
            let number = Number(limits::MEASURED_AT_M);
            if measured.in_room {
                set(ui, cx, ("Distance", ROOM_AT), &number, &mut measured.distance_m);
            } else {
                let mut distance_m = measured.distance_m.unwrap_or(1.0);
                if set(ui, cx, ("Distance", "From the source"), &number, &mut distance_m) {
                    measured.distance_m = Some(distance_m);
                }
            }
            if let Some(louder_db) = louder_db(cx, source) {
                let how = if louder_db < 0.0 { "softer" } else { "louder" };
                let told = format!("{:.0} dB {how} than the catalogue's; feet and pedals follow", louder_db.abs());
                fact(ui, &cx.palette, &told);
            }
        }
    }
}

const LA: &str = "Level while it plays, A-weighted, the mean over a minute or so";
const ROOM_AT: &str = "From the source; left empty for anywhere well away from it";

/// The catalogue's level at a metre in the open, dB(A): what one begins to correct from.
fn a_metre_off_db(cx: &Context, source: &Source) -> f64 {
    let measured = Some(Measured { la_db: 0.0, distance_m: Some(1.0), in_room: false });
    let nominal = Source { measured, offset_db: 0.0, ..source.clone() };
    let Some(sound) = cx.catalogue.sources.get(&source.sound) else { return 90.0 };
    let less_db = offset_db(&nominal, sound, &Spectrum::ZERO, &Conditions::of(cx.scene).air);
    (source.offset_db - less_db).round().clamp(limits::MEASURED_DB.least, limits::MEASURED_DB.most)
}

fn louder_db(cx: &Context, source: &Source) -> Option<f64> {
    let solved = cx.solved()?;
    let placed = solved.building.sources.iter().find(|placed| placed.source == source.id)?;
    let absorption_m2 = &solved.answer.spaces.get(placed.space.0)?.absorption_m2;
    let sound = cx.catalogue.sources.get(&source.sound)?;
    Some(offset_db(source, sound, absorption_m2, &Conditions::of(cx.scene).air))
}

fn contacts_ui(ui: &mut Ui, cx: &Context, source: &mut Source) {
    if !source.touching {
        fact(ui, &cx.palette, "Through the air alone: all that touches the building is taken away.");
        return;
    }
    if source.contacts.is_empty() {
        let hint = "Through the air alone. Pedals, feet, castors and brackets shake the floor or a wall as well.";
        fact(ui, &cx.palette, hint);
        let usual = cx.catalogue.sources.get(&source.sound).map(|sound| Contact::usual(sound, source.at));
        if let Some(usual) = usual.filter(|usual| !usual.is_empty())
            && button(ui, "Place its feet and pedals", "Those that usually belong to it")
        {
            source.contacts = usual;
        }
    }
    let before = source.clone();
    list_ui(ui, "contact", &mut source.contacts, |ui, at, contact| {
        let (name, mut removed) = (heading(&contact.name), false);
        part(ui, cx, &name, false, |ui| {
            contact_ui(ui, cx, &before, at, contact);
            ui.horizontal(|ui| {
                if button(ui, "Pick it", "Its mark on the plan, to be dragged to its place") {
                    cx.pick(Pick::Contact(before.id.clone(), at));
                }
                removed = button(ui, "Remove contact", "It touches nothing there");
            });
        });
        removed
    });
    if button(ui, "Add a contact", "A pedal, a foot, a castor, a bracket, the back of a piano") {
        let first = cx.catalogue.forces.keys().next().cloned().unwrap_or_default();
        source.contacts.push(Contact {
            name: format!("contact {}", source.contacts.len() + 1),
            at: None,
            touches: Touches::Floor,
            force: ContactForce::Known(first),
            offset_db: 0.0,
            mount: None,
        });
    }
}

pub(super) fn picked_contact_ui(ui: &mut Ui, cx: &Context, source: &mut Source, at: usize) {
    let before = source.clone();
    if let Some(contact) = source.contacts.get_mut(at) {
        contact_ui(ui, cx, &before, at, contact);
    }
    if button(ui, "Pick its source", "") {
        cx.pick(Pick::Source(before.id));
    }
}

/// Louder or softer, stronger or weaker.
const LEVEL: Slider = Slider { drawn: [-20.0, 20.0], step: 0.5, limits: limits::LEVEL_CHANGE_DB };

/// The fields of a contact, the one at `at` of its source.
fn contact_ui(ui: &mut Ui, cx: &Context, source: &Source, at: usize, contact: &mut Contact) {
    set(ui, cx, ("Name", "Bass drum pedal, piano castors, bracket of the saw …"), &Name, &mut contact.name);
    let storey = cx.scene.storeys.iter().find(|storey| storey.id == source.storey);
    let walls = storey.into_iter().flat_map(|storey| &storey.walls);
    let walls = walls.map(|wall| (Touches::Wall(wall.id.clone()), format!("wall {}", wall.id)));
    let all: Vec<_> = std::iter::once((Touches::Floor, "the floor".to_owned())).chain(walls).collect();
    let label = Label::new("Touches", "The floor under it, or a wall of its room");
    if let Some(touches) = choice(ui, cx, label, &contact.touches, &all) {
        contact.touches = touches;
    }
    let mut apart = contact.at.is_some();
    if check(ui, "at a place of its own", "Else where its source stands", &mut apart) {
        contact.at = apart.then_some(source.at);
    }
    table_ui(ui, cx, CONTACT, contact);
    if let Some(before) = source.contacts.get(at) {
        mount_ui(ui, cx, source, before);
    }
}

const CONTACT: Table<Contact> = table! { contact: Contact;
    [*contact.at.as_mut()?] POINT;
    Custom(own_force_ui);
    [contact.force] ONE_FORCE;
    "Offset", "Stronger (+) or weaker (−) than its force, beside how loud it is played", LEVEL, contact.offset_db;
    "rests on something that gives", "A platform, mat or springs between it and the building",
        Switch(usual_mount), contact.mount;
    [*contact.mount.as_mut()?] MOUNT;
};

/// A drummer with kit on rubber. Common practice, no source.
fn usual_mount(_: &Context) -> Option<Mount> {
    let spring = Spring::RubberDeflection(5.0, 1.5);
    Some(Mount { load_kg: 150.0, spring, loss: 0.2, places: 4.0, area_m2: None })
}

const ONE_FORCE: Table<ContactForce> = table! { force: ContactForce;
    "Force", "What it does to the floor or wall", FromShelf(Shelf::Forces), ContactForce::Known(id) => id;
    [*if let ContactForce::Own(own) = force { Some(own) } else { None }?] FORCE;
};

fn own_force_ui(ui: &mut Ui, cx: &Context, contact: &mut Contact) {
    let forces = &cx.catalogue.forces;
    let mut own = matches!(contact.force, ContactForce::Own(_));
    if check(ui, "a force of my own", "Not one of the catalogue", &mut own) {
        contact.force = match &contact.force {
            ContactForce::Known(id) if own => {
                ContactForce::Own(forces.get(id).map_or(Force::TappingMachine, |known| known.force.clone()))
            }
            _ => ContactForce::Known(forces.keys().next().cloned().unwrap_or_default()),
        };
    }
}

/// One's own force. The numbers one begins with are invented.
const FORCE: Table<Force> = table! { force: Force;
    "Kind", "How it acts", OneOf(|_, now| variants(now, FORCES)), *force;
    "Impulse", "Of one stroke", Number(typed::IMPULSE_N_S), Force::Strokes { impulse_n_s, .. } => impulse_n_s;
    "Duration", "Of one stroke", Number(typed::STROKE_MS), Force::Strokes { duration_ms, .. } => duration_ms;
    "Strokes", "In a second", Number(typed::STROKES_PER_S), Force::Strokes { strokes_per_s, .. } => strokes_per_s;
    "Force level", "Force level by octave, dB re 1 N",
        Octaves(typed::FORCE_DB), Force::Steady { level_octaves_db } => level_octaves_db;
    "Drops", "In a second", Number(typed::DROPS_PER_S), Force::RubberBall { drops_per_s } => drops_per_s;
    "Steps", "In a second", Number(typed::STEPS_PER_S), Force::Footsteps { steps_per_s } => steps_per_s;
    Custom(|ui, cx, force: &mut Force| {
        if let Err(why) = force.spectrum(&Bands::exact()) {
            wrong(ui, &cx.palette, &why.to_string());
        }
    });
};

const FORCES: &[(Force, &str)] = &[
    (Force::Strokes { impulse_n_s: 0.5, duration_ms: 5.0, strokes_per_s: 2.0 }, "strokes"),
    (Force::Steady { level_octaves_db: [0.0; 8] }, "steady"),
    (Force::Footsteps { steps_per_s: 2.0 }, "footsteps"),
    (Force::RubberBall { drops_per_s: 1.0 }, "rubber ball"),
    (Force::TappingMachine, "tapping machine"),
];

const MOUNT: Table<Mount> = table! { mount: Mount;
    "Load", "What rests on the springs: platform, instrument and player", Number(typed::LOAD_KG), mount.load_kg;
    "Springs", "What it rests on", OneOf(|_, now| variants(now, SPRINGS)), mount.spring;
    [mount.spring] SPRING;
    "Loss factor", "Of the springs", Number(typed::LOSS), mount.loss;
    "Places", "Over how many the load is spread", Number(typed::PLACES), *places(mount)?;
    Custom(|ui, cx, mount: &mut Mount| {
        let of_mat = if let Spring::Mat(_, area_m2) = mount.spring { Some(area_m2) } else { None };
        let mut area_m2 = mount.area_m2.or(of_mat).unwrap_or(USUAL_PLATFORM_M2);
        if set(ui, cx, ("Platform", "Its area on the floor"), &Number(typed::PLATFORM_M2), &mut area_m2) {
            mount.area_m2 = Some(area_m2);
        }
        if let Err(why) = mount.isolators() {
            wrong(ui, &cx.palette, &why.to_string());
        }
    });
};

/// A mat bears everywhere.
fn places(mount: &mut Mount) -> Option<&mut f64> {
    (!matches!(mount.spring, Spring::Mat(..))).then_some(&mut mount.places)
}

const SPRINGS: &[(Spring, &str)] = &[
    (Spring::SteelDeflection(10.0), "steel springs"),
    (Spring::RubberDeflection(5.0, 1.5), "rubber or foam"),
    (Spring::Mat(20.0, 2.0), "mat"),
    (Spring::Stiffness(100_000.0), "a known stiffness"),
];

const GIVES: &str = "How far they give under the load";

const SPRING: Table<Spring> = table! { spring: Spring;
    "Gives by", GIVES, Number(typed::STEEL_MM), Spring::SteelDeflection(mm) => mm;
    "Gives by", GIVES, Number(typed::RUBBER_MM), Spring::RubberDeflection(mm, _) => mm;
    "Stiffer", "How many times stiffer they are when they move: 1.3 to 3",
        Number(typed::STIFFER), Spring::RubberDeflection(_, stiffer) => stiffer;
    "Stiffness", "Dynamic, of the mat", Number(typed::MAT_MN_M3), Spring::Mat(stiffness, _) => stiffness;
    "Area", "Of contact", Number(typed::MAT_M2), Spring::Mat(_, area_m2) => area_m2;
    "Stiffness", "Dynamic, of all of them together", Number(typed::STIFFNESS_N_M), Spring::Stiffness(n_m) => n_m;
};
