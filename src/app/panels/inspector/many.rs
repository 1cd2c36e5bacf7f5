//! Several things at once: how many of each, and what can be set for all of a kind.

use bevy_egui::egui::{RichText, Ui};

use super::chooser::{Asked, chooser_ui};
use super::fields::{choice, fact, heading};
use super::shelf::Shelf;
use super::{Seen, opening, room, wall, workmanships};
use crate::app::theme::size;
use crate::catalogue::ConstructionKind;
use crate::edit::{Edit, Item, Pick};
use crate::scene::{Opening, Room, Source, StoreyId, Wall, Workmanship};

const WINDOWS: [ConstructionKind; 1] = [ConstructionKind::Window];
const DOORS: [ConstructionKind; 1] = [ConstructionKind::Door];

/// What is picked, sorted by kind.
#[derive(Default)]
struct Sorted<'a> {
    walls: Vec<(&'a StoreyId, &'a Wall)>,
    openings: Vec<(&'a StoreyId, &'a Opening)>,
    rooms: Vec<(&'a StoreyId, &'a Room)>,
    sources: Vec<&'a Source>,
    contacts: usize,
    listeners: usize,
    ducts: usize,
    mouths: usize,
    corners: usize,
}

impl<'a> Sorted<'a> {
    fn of(seen: &Seen<'a>, picks: &[Pick]) -> Self {
        let mut sorted = Self::default();
        for pick in picks {
            match pick {
                Pick::Wall(on, id) => sorted
                    .walls
                    .extend(seen.storey(on).and_then(|(_, storey)| {
                        storey.walls.iter().find(|it| it.id == *id).map(|it| (&storey.id, it))
                    })),
                Pick::Opening(on, id) => {
                    sorted.openings.extend(seen.storey(on).and_then(|(_, storey)| {
                        storey.openings.iter().find(|it| it.id == *id).map(|it| (&storey.id, it))
                    }))
                }
                Pick::Room(on, id) => sorted
                    .rooms
                    .extend(seen.storey(on).and_then(|(_, storey)| {
                        storey.rooms.iter().find(|it| it.id == *id).map(|it| (&storey.id, it))
                    })),
                Pick::Source(id) => sorted.sources.extend(seen.scene.sources.iter().find(|it| it.id == *id)),
                Pick::Contact(..) => sorted.contacts += 1,
                Pick::Listener(_) => sorted.listeners += 1,
                Pick::Duct(_) => sorted.ducts += 1,
                Pick::Mouth(..) => sorted.mouths += 1,
                Pick::Node(..) => sorted.corners += 1,
            }
        }
        sorted
    }

    fn told(&self) -> String {
        let counts = [
            (self.walls.len(), "wall", "walls"),
            (self.openings.len(), "opening", "openings"),
            (self.rooms.len(), "room", "rooms"),
            (self.sources.len(), "source", "sources"),
            (self.contacts, "contact", "contacts"),
            (self.listeners, "listener", "listeners"),
            (self.ducts, "air duct", "air ducts"),
            (self.mouths, "mouth of a duct", "mouths of ducts"),
            (self.corners, "corner", "corners"),
        ];
        let words = counts.iter().filter(|(count, ..)| *count > 0);
        let words = words.map(|(count, one, many)| format!("{count} {}", if *count == 1 { one } else { many }));
        words.collect::<Vec<_>>().join(", ")
    }
}

/// The panel of several things.
pub(super) fn many_ui(ui: &mut Ui, seen: &Seen, picks: &[Pick]) -> Vec<Edit> {
    let sorted = Sorted::of(seen, picks);
    ui.label(RichText::new("Several are picked").size(size::SMALL).color(seen.palette.soft_ink));
    ui.label(RichText::new(sorted.told()).size(size::SENTENCE).color(seen.palette.ink));
    let mut edits = vec![];
    if !sorted.walls.is_empty() {
        heading(ui, seen, "All these walls");
        ui.push_id("walls", |ui| edits.extend(walls_ui(ui, seen, &sorted.walls)));
    }
    if !sorted.openings.is_empty() {
        heading(ui, seen, "All these openings");
        ui.push_id("openings", |ui| edits.extend(openings_ui(ui, seen, &sorted.openings)));
    }
    if !sorted.rooms.is_empty() {
        heading(ui, seen, "All these rooms");
        let usage = |room: &Room| room.usage;
        let told = "What they are used as";
        if let Some(usage) = set_all(ui, seen, ("Used as", told), &sorted.rooms, usage, room::usages()) {
            edits.extend(
                sorted
                    .rooms
                    .iter()
                    .map(|(on, room)| Edit::Put(Item::Room((*on).clone(), Room { usage, ..(*room).clone() }))),
            );
        }
    }
    if !sorted.sources.is_empty() {
        heading(ui, seen, "All these sources");
        let sources: Vec<_> = sorted.sources.iter().map(|source| ((), *source)).collect();
        let all = super::fields::words(&[(true, "playing"), (false, "silent")]);
        let told = "Whether they play";
        if let Some(playing) = set_all(ui, seen, ("They are", told), &sources, |source| source.playing, all) {
            let with = |source: &Source| Edit::Put(Item::Source(Source { playing, ..source.clone() }));
            edits.extend(sorted.sources.iter().map(|source| with(source)));
        }
    }
    fact(ui, &seen.palette, "Delete, Ctrl D and the arrows act on all of them.");
    edits
}

/// One choice for all, which may differ now. What was chosen.
fn set_all<K, T, V: Clone + PartialEq>(
    ui: &mut Ui,
    seen: &Seen,
    (name, told): (&str, &str),
    things: &[(K, &T)],
    value: impl Fn(&T) -> V,
    all: Vec<(V, String)>,
) -> Option<V> {
    let mut values = things.iter().map(|(_, thing)| value(thing));
    let first = values.next()?;
    let same = values.all(|value| value == first);
    let mut now = same.then_some(first);
    let differ = (!same).then(|| (None, "they differ".to_owned()));
    let all: Vec<_> = differ.into_iter().chain(all.into_iter().map(|(value, word)| (Some(value), word))).collect();
    let changed = choice(ui, seen, name, told, &mut now, &all);
    if changed { now } else { None }
}

/// One entry of the catalogue for all. What was chosen.
fn choose_all<'a>(
    ui: &mut Ui,
    seen: &Seen,
    (name, told): (&str, &str),
    shelf: Shelf,
    none: Option<&str>,
    mut values: impl Iterator<Item = Option<&'a str>>,
) -> Option<Option<String>> {
    let first = values.next()?;
    let differ = values.any(|value| value != first);
    chooser_ui(ui, seen, &Asked { name, told, chosen: first.filter(|_| !differ), shelf, none, differ })
}

fn walls_ui(ui: &mut Ui, seen: &Seen, walls: &[(&StoreyId, &Wall)]) -> Vec<Edit> {
    let put = |change: &dyn Fn(&mut Wall)| -> Vec<Edit> {
        walls
            .iter()
            .map(|(on, wall)| {
                let mut wall = (*wall).clone();
                change(&mut wall);
                Edit::Put(Item::Wall((*on).clone(), wall))
            })
            .collect()
    };
    let mut edits = vec![];
    let told = "What all of them are made of";
    let shelf = Shelf::Constructions(&wall::KINDS);
    let now = walls.iter().map(|(_, wall)| Some(wall.construction.as_str()));
    if let Some(Some(id)) = choose_all(ui, seen, ("Made of", told), shelf, None, now) {
        edits.extend(put(&|wall| wall.construction.clone_from(&id)));
    }
    let all = workmanships(false, Workmanship::Usual);
    let told = "How well they were built";
    if let Some(state) = set_all(ui, seen, ("Built", told), walls, |wall| wall.workmanship, all) {
        edits.extend(put(&|wall| wall.workmanship = state));
    }
    let all = super::fields::words(&[(true, "run on through them"), (false, "end at them")]);
    if let Some(run_on) = set_all(ui, seen, ("Joists", "Of the floors"), walls, |wall| wall.joists_run_on, all) {
        edits.extend(put(&|wall| wall.joists_run_on = run_on));
    }
    edits
}

fn openings_ui(ui: &mut Ui, seen: &Seen, openings: &[(&StoreyId, &Opening)]) -> Vec<Edit> {
    let put = |change: &dyn Fn(&mut Opening)| -> Vec<Edit> {
        openings
            .iter()
            .map(|(on, opening)| {
                let mut opening = (*opening).clone();
                change(&mut opening);
                Edit::Put(Item::Opening((*on).clone(), opening))
            })
            .collect()
    };
    let mut edits = vec![];
    let kind = |opening: &Opening| seen.construction(&opening.construction).map(|made| made.kind);
    let first = openings.first().and_then(|(_, opening)| kind(opening));
    let kinds: &'static [ConstructionKind] = match first {
        Some(first) if !openings.iter().all(|(_, opening)| kind(opening) == Some(first)) => &opening::KINDS,
        Some(ConstructionKind::Window) => &WINDOWS,
        Some(ConstructionKind::Door) => &DOORS,
        _ => &opening::KINDS,
    };
    let now = openings.iter().map(|(_, opening)| Some(opening.construction.as_str()));
    let told = "What all of them are made of";
    if let Some(Some(id)) = choose_all(ui, seen, ("Made of", told), Shelf::Constructions(kinds), None, now) {
        edits.extend(put(&|opening| opening.construction.clone_from(&id)));
    }
    let now = openings.iter().map(|(_, opening)| opening.seal.as_deref());
    let told = "What closes the gap round them";
    if let Some(seal) = choose_all(ui, seen, ("Seal", told), Shelf::Seals, Some("none: do not open"), now) {
        edits.extend(put(&|opening| opening.seal.clone_from(&seal)));
    }
    let all = workmanships(true, Workmanship::Usual);
    let told = "How well they were built";
    if let Some(state) = set_all(ui, seen, ("Built", told), openings, |opening| opening.workmanship, all) {
        edits.extend(put(&|opening| opening.workmanship = state));
    }
    edits
}
