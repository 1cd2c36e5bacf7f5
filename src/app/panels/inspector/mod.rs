//! What is picked, and what it is made of: a panel for each kind of thing. Each is a function of the scene, and returns the edits asked for.
//!
//! A panel draws a copy of its thing; what is entered changes the copy, and a copy that differs at the end is put in the thing's place.

mod chooser;
mod construct;
mod contact;
mod corner;
mod cover;
mod curve;
mod duct;
pub mod entry;
mod fields;
mod force;
mod known;
mod layers;
mod listener;
mod many;
mod measured;
mod opening;
pub mod paste;
pub mod rates;
mod room;
mod scene;
mod shelf;
mod shell;
mod shell_face;
mod source;
mod storey;
mod wall;

use bevy_egui::egui::{RichText, Ui};

use crate::app::editor::state::Editor;
use crate::app::panels::problems;
use crate::app::solving::CurrentAnswer;
use crate::app::theme::{Palette, size};
use crate::app::view::View;
use crate::building::{SpaceIndex, SpaceKind};
use crate::catalogue::{Catalogue, Construction};
use crate::edit::{Edit, Pick};
use crate::output::Theme;
use crate::output::length::Units;
use crate::project::Solved;
use crate::scene::{Background, RoomId, Scene, Storey, StoreyId, Thing, Workmanship};

/// Room for the bar of the list, logical pixels.
const BAR: f32 = 8.0;

/// What every panel reads.
struct Seen<'a> {
    scene: &'a Scene,
    current: &'a CurrentAnswer,
    catalogue: &'static Catalogue,
    palette: Palette,
    theme: Theme,
    units: Units,
    /// True when the keyboard is to go to the name of what is picked.
    naming: bool,
}

impl<'a> Seen<'a> {
    fn construction(&self, id: &str) -> Option<&'a Construction> {
        self.catalogue.own_or_known(&self.scene.constructions, id)
    }

    fn storey(&self, id: &StoreyId) -> Option<(usize, &'a Storey)> {
        self.scene.storeys.iter().enumerate().find(|(_, storey)| storey.id == *id)
    }

    /// The answer, when it is one of this scene; nothing while a new one is computed.
    fn solved(&self) -> Option<&'a Solved> {
        let same = |solved: &&Solved| std::ptr::eq(&*solved.scene, self.scene) || *solved.scene == *self.scene;
        self.current.solved.as_deref().filter(same)
    }

    /// The latest answer, be it one of the scene before: for the names of its elements, which stay while a new one is computed.
    fn lately(&self) -> Option<&'a Solved> {
        self.current.solved.as_deref()
    }

    /// The space of a room.
    fn space(&self, room: &RoomId) -> Option<SpaceIndex> {
        let spaces = &self.solved()?.building.spaces;
        let is_it = |kind: &SpaceKind| matches!(kind, SpaceKind::Room(space) if space.room == *room);
        spaces.iter().position(|space| is_it(&space.kind)).map(SpaceIndex)
    }

    /// Storeys to choose from.
    fn storeys(&self) -> Vec<(StoreyId, String)> {
        let word = |storey: &Storey| crate::output::words::heading(&storey.name);
        self.scene.storeys.iter().map(|storey| (storey.id.clone(), word(storey))).collect()
    }
}

/// The inspector: what is picked, to be read and changed. Returns the edits of this frame, one step.
pub fn inspector_ui(
    ui: &mut Ui,
    editor: &mut Editor,
    scene: &Scene,
    storey: usize,
    current: &CurrentAnswer,
    view: &View,
) -> Vec<Edit> {
    let palette = Palette::of(view.theme);
    let catalogue = Catalogue::built_in_ref();
    // Once the click is over: a release elsewhere would take the keyboard away again.
    let clicking = ui.input(|input| input.pointer.any_down() || input.pointer.any_released());
    let naming = editor.naming && !clicking;
    editor.naming &= clicking;
    if editor.naming {
        ui.ctx().request_repaint();
    }
    let seen = Seen { scene, current, catalogue, palette, theme: view.theme, units: view.units, naming };
    ui.spacing_mut().item_spacing.y = 5.0;
    // The bar of the list beside it covers nothing.
    ui.set_max_width(ui.available_width() - BAR);
    match editor.picks.clone().as_slice() {
        [] => {
            let mut edits = vec![];
            if let Some(drawn) = scene.storeys.get(storey) {
                edits.extend(ui.push_id(("storey", &drawn.id), |ui| storey::storey_ui(ui, &seen, drawn)).inner);
            }
            edits.extend(ui.push_id("scene", |ui| scene::scene_ui(ui, &seen)).inner);
            edits
        }
        // A name of its own for each thing, so that what is typed for one never lands in another.
        [pick] => ui.push_id(pick, |ui| one_ui(ui, &seen, editor, pick)).inner,
        picks => ui.push_id("many", |ui| many::many_ui(ui, &seen, picks)).inner,
    }
}

fn one_ui(ui: &mut Ui, seen: &Seen, editor: &mut Editor, pick: &Pick) -> Vec<Edit> {
    let storey = |id: &StoreyId| seen.storey(id).map(|(_, storey)| storey);
    let edits = match pick {
        Pick::Wall(on, id) => storey(on).and_then(|storey| wall::wall_ui(ui, seen, editor, storey, id)),
        Pick::Opening(on, id) => storey(on).and_then(|storey| opening::opening_ui(ui, seen, editor, storey, id)),
        Pick::Room(on, id) => storey(on).and_then(|storey| room::room_ui(ui, seen, storey, id)),
        Pick::Node(on, id) => storey(on).and_then(|storey| corner::corner_ui(ui, seen, storey, id)),
        Pick::Source(id) => source::source_ui(ui, seen, editor, id),
        Pick::Contact(id, at) => contact::picked_ui(ui, seen, editor, id, *at),
        Pick::Listener(id) => listener::listener_ui(ui, seen, id),
        Pick::Duct(id) => duct::duct_ui(ui, seen, editor, id, None),
        Pick::Mouth(id, end) => duct::duct_ui(ui, seen, editor, id, Some(*end)),
    };
    edits.unwrap_or_default()
}

/// The head of a panel: what it is about, and what is wrong with it.
fn head(ui: &mut Ui, seen: &Seen, kind: &str, name: &str, on: Option<&StoreyId>, thing: &Thing) {
    ui.label(RichText::new(kind).size(size::SMALL).color(seen.palette.soft_ink));
    ui.label(RichText::new(crate::output::words::heading(name)).size(size::SENTENCE).color(seen.palette.ink));
    let solved = seen.solved().map_or(&[][..], |solved| &solved.warnings);
    let about = |problem: &&crate::scene::Problem| {
        problem.thing == *thing && (problem.storey.is_none() || on.is_none() || problem.storey.as_ref() == on)
    };
    let found: Vec<_> = seen.current.problems.iter().chain(solved).filter(about).cloned().collect();
    problems::list_ui(ui, seen.theme, Some(seen.scene), &found);
}

/// How well something was built, as the inspector says it. `opening`: what an opening can be.
fn workmanship_ui(ui: &mut Ui, seen: &Seen, opening: bool, value: &mut Workmanship) -> bool {
    let all = workmanships(opening, *value);
    let told =
        "How well it was built, against how it is drawn: edges, screws and holes decide as much as the layers do.";
    fields::choice(ui, seen, "Built", told, value, &all)
}

fn workmanships(opening: bool, now: Workmanship) -> Vec<(Workmanship, String)> {
    let word = |state: Workmanship| match (state, opening) {
        (Workmanship::AsDrawn, _) => "as drawn, without a fault",
        (Workmanship::Usual, _) => "a usual good job",
        (Workmanship::SmallFaults, false) => "with small faults",
        (Workmanship::SmallFaults, true) => "with small faults, seal drags",
        (Workmanship::Bridged, _) => "held fast (bridged)",
        (Workmanship::Unsealed, false) => "edge never closed",
        (Workmanship::Unsealed, true) => "seal missing",
        (Workmanship::ShortCircuited, false) => "held fast, edge open",
        (Workmanship::ShortCircuited, true) => "held fast, seal missing",
    };
    let can_be = |state: &Workmanship| !opening || *state != Workmanship::Bridged || *state == now;
    Workmanship::ALL.into_iter().filter(can_be).map(|state| (state, word(state).to_owned())).collect()
}

/// Background noise in a room or outdoors.
fn background_ui(ui: &mut Ui, seen: &Seen, background: &mut Background) {
    #[derive(Clone, PartialEq)]
    enum Kind {
        Unstated,
        Rating,
        Octaves,
    }
    let mut kind = match background {
        Background::Unstated => Kind::Unstated,
        Background::NoiseRating(_) => Kind::Rating,
        Background::Octaves(_) => Kind::Octaves,
    };
    let all = fields::words(&[
        (Kind::Unstated, "not stated"),
        (Kind::Rating, "noise rating (NR)"),
        (Kind::Octaves, "octave levels"),
    ]);
    let told =
        "What is heard there when nobody plays. Not stated: the hearing threshold alone decides what is audible.";
    if fields::choice(ui, seen, "Background", told, &mut kind, &all) {
        // From one way of saying it to another, as near as may be.
        *background = match (kind, &*background) {
            (Kind::Unstated, _) => Background::Unstated,
            (Kind::Rating, _) => Background::NoiseRating(25.0),
            (Kind::Octaves, Background::NoiseRating(nr)) => {
                let curve_db = crate::acoustics::rating::octave_curves::nr_curve_db(*nr);
                Background::Octaves(std::array::from_fn(|octave| curve_db[1 + octave].round()))
            }
            (Kind::Octaves, _) => Background::Octaves([50.0, 44.0, 38.0, 32.0, 28.0, 24.0, 20.0, 16.0]),
        };
    }
    match background {
        Background::Unstated => {}
        Background::NoiseRating(nr) => {
            let told = "Number of the NR curve: 20 to 25 in a quiet bedroom at night, 35 to 40 in an office. Common practice, no source.";
            fields::number(ui, seen, ("NR", told, ""), nr, (0.0, 100.0));
        }
        Background::Octaves(levels_db) => {
            let told = "Levels of the background by octave";
            fields::octaves(ui, seen, "Background by octave", told, levels_db, ("dB", (-30.0, 130.0)));
        }
    }
}
