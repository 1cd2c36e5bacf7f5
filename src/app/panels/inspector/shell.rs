//! A room within a room: which faces are built of what and held by what, which walls are left bare, what doors and windows it has.

use bevy_egui::egui::Ui;

use super::chooser::{FILL_DEPTH, FromShelf, FromShelfOr, Porous};
use super::common::{BUILT, FITTED, HOW_WELL};
use super::construct::MadeOf;
use super::context::Context;
use super::entry::fact;
use super::inputs::{Label, Number, Switch, button, check, choice, heading, list_ui, set, variants};
use super::table::{Custom, Fact, Field, Table, table, table_ui};
use super::treatment;
use crate::building::ElementShape;
use crate::catalogue::ConstructionKind;
use crate::output::shelf::Shelf;
use crate::output::words;
use crate::scene::validate::limits;
use crate::scene::{InnerShell, OpeningId, Room, ShellFace, ShellOpening, Support, WallId, Workmanship};

pub(super) const SHELL: Table<Room> = table! { room: Room;
    "has an inner shell",
        "Walls, ceiling and floor that touch the room round them as little as they can; each may be left out",
        Switch(usual), room.inner_shell;
    Custom(shell_ui);
    Custom(treatment::shell_ui);
};

fn usual(cx: &Context) -> Option<InnerShell> {
    let face = |horizontal| Some(usual_face(cx, horizontal));
    Some(InnerShell { walls: face(false), ceiling: face(true), ..InnerShell::default() })
}

fn shell_ui(ui: &mut Ui, cx: &Context, room: &mut Room) {
    let walls = walls_of(cx, room);
    let Some(shell) = &mut room.inner_shell else { return };
    for (name, tip, horizontal, face) in [
        ("Walls", "Before every wall that is not named below", false, &mut shell.walls),
        ("Ceiling", "Below the old ceiling", true, &mut shell.ceiling),
        ("Floor", "On the old floor", true, &mut shell.floor),
    ] {
        heading(ui, cx, name);
        ui.push_id(("face", name), |ui| {
            built_ui(ui, cx, (&format!("{} built", name.to_lowercase()), tip), horizontal, face);
            face_ui(ui, cx, face, name == "Walls");
        });
    }
    heading(ui, cx, "Single walls");
    single_walls_ui(ui, cx, shell, &walls);
    heading(ui, cx, "Doors and windows of the shell");
    openings_ui(ui, cx, shell, &walls);
}

fn built_ui(ui: &mut Ui, cx: &Context, (name, tip): (&str, &str), horizontal: bool, face: &mut Option<ShellFace>) {
    let mut built = face.is_some();
    if check(ui, name, tip, &mut built) {
        *face = built.then(|| usual_face(cx, horizontal));
    }
}

/// The walls round a room, as the answer knows them; all of the storey while there is none.
fn walls_of(cx: &Context, room: &Room) -> Vec<WallId> {
    let all: Vec<WallId> =
        cx.storey.iter().flat_map(|storey| storey.walls.iter().map(|wall| wall.id.clone())).collect();
    let (Some(solved), Some(space)) = (cx.solved(), cx.space(&room.id)) else { return all };
    let beside = solved.building.elements.iter().filter(|element| element.sides.contains(&space));
    let mut found: Vec<WallId> = beside
        .flat_map(|element| match &element.shape {
            ElementShape::Wall { walls, .. } => walls.clone(),
            ElementShape::Slab { .. } => vec![],
        })
        .filter(|id| all.contains(id))
        .collect();
    found.sort();
    found.dedup();
    if found.is_empty() { all } else { found }
}

fn single_walls_ui(ui: &mut Ui, cx: &Context, shell: &mut InnerShell, walls: &[WallId]) {
    list_ui(ui, "single", &mut shell.each_wall, |ui, _, (wall, face)| {
        let head = |ui: &mut Ui| {
            let name = format!("wall {wall} built");
            built_ui(ui, cx, (&name, "Unticked, this wall is left bare"), false, face);
            button(ui, &format!("As the others: {wall}"), "Like every other wall of the shell")
        };
        let removed = ui.horizontal(head).inner;
        face_ui(ui, cx, face, true);
        removed
    });
    let others = walls.iter().filter(|wall| !shell.each_wall.iter().any(|(named, _)| named == *wall));
    let others = others.map(|wall| (Some(wall.clone()), format!("wall {wall}")));
    let label = Label::new("Otherwise", "A wall that is built otherwise than the others, or left bare");
    if let Some(wall) = added(ui, cx, label, "choose a wall …", others.collect()) {
        shell.each_wall.push((wall, None));
    }
}

/// One more, chosen from a list.
fn added<V: Clone + PartialEq>(
    ui: &mut Ui,
    cx: &Context,
    label: Label,
    none: &str,
    mut all: Vec<(Option<V>, String)>,
) -> Option<V> {
    all.insert(0, (None, none.to_owned()));
    choice(ui, cx, label, &None, &all).flatten()
}

fn openings_ui(ui: &mut Ui, cx: &Context, shell: &mut InnerShell, walls: &[WallId]) {
    let openings = cx.storey.map_or(&[][..], |storey| &storey.openings);
    let name = |id: &OpeningId| match openings.iter().find(|opening| opening.id == *id) {
        Some(opening) if !opening.name.is_empty() => words::heading(&opening.name),
        _ => format!("Opening {id}"),
    };
    list_ui(ui, "leaf", &mut shell.openings, |ui, _, opening| {
        let head = |ui: &mut Ui| {
            fact(ui, &cx.palette, &format!("Before: {}", name(&opening.before)));
            button(ui, "Close it off", "The shell runs on before it")
        };
        let removed = ui.horizontal(head).inner;
        table_ui(ui, cx, SHELL_OPENING, opening);
        removed
    });
    let free = openings.iter().filter(|opening| {
        walls.contains(&opening.wall) && !shell.openings.iter().any(|leaf| leaf.before == opening.id)
    });
    let free: Vec<_> = free.map(|opening| (Some(opening.id.clone()), name(&opening.id))).collect();
    if free.is_empty() {
        return;
    }
    let tip = "A door or window of the shell before one of the old wall; without it the shell closes it off";
    let Some(before) = added(ui, cx, Label::new("Before", tip), "choose an opening …", free) else { return };
    let old = openings.iter().find(|opening| opening.id == before);
    let made = old.and_then(|old| cx.construction(&old.construction));
    // Another of the same is a fair beginning; a hole or a vent gets a door.
    let fitting = made.filter(|made| limits::SHELL_LEAVES.fits(made));
    shell.openings.push(ShellOpening {
        before,
        construction: fitting.map_or("door-solid-core-44", |made| &made.id).to_owned(),
        seal: Some("compression-single".to_owned()),
        undercut_mm: 0.0,
        workmanship: Workmanship::Usual,
    });
}

const SHELL_OPENING: Table<ShellOpening> = table! { leaf: ShellOpening;
    "Leaf", "The door or window of the shell",
        FromShelf(Shelf::Constructions(limits::SHELL_LEAVES)), leaf.construction;
    "Seal", "Round it", FromShelfOr(Shelf::Seals, "none"), leaf.seal;
    "Undercut", "A gap under it", Number(limits::UNDERCUT_MM), leaf.undercut_mm;
    "Built", HOW_WELL, FITTED, leaf.workmanship;
};

/// A face to begin with: the catalogue's leaf of two dense boards if it is there. Distances: common practice, no source.
fn usual_face(cx: &Context, horizontal: bool) -> ShellFace {
    let known = |id: &&str| cx.catalogue.constructions.contains_key(*id);
    let leaf = |known: &&crate::catalogue::Construction| known.kind == ConstructionKind::Leaf;
    let first = || cx.catalogue.constructions.values().find(leaf).map_or("", |leaf| leaf.id.as_str());
    let construction = Some("leaf-dense-two").filter(known).unwrap_or_else(first).to_owned();
    let fill = "glass-wool-slab";
    let fill = cx.catalogue.materials.contains_key(fill).then(|| (fill.to_owned(), 50.0));
    let gap_mm = if horizontal { 150.0 } else { 100.0 };
    ShellFace { construction, gap_mm, fill, support: Support::None, workmanship: Workmanship::Usual }
}

/// The fields of a face, where there is one. `stands`: it is a wall.
fn face_ui(ui: &mut Ui, cx: &Context, face: &mut Option<ShellFace>, stands: bool) {
    let Some(face) = face else { return };
    table_ui(ui, cx, FACE, face);
    let begins_mm = face.gap_mm.min(50.0);
    let fill = Porous { none: "no fill", thickness: FILL_DEPTH, limits: limits::FILL_MM, begins_mm };
    set(ui, cx, ("Fill", "Porous material in the cavity"), &fill, &mut face.fill);
    let free = if stands { "stands free" } else { "nothing: spans or lies free" };
    let label = Label::new("Held by", "What joins it to the old face");
    if let Some(support) = choice(ui, cx, label, &face.support, &supports(free, face.support)) {
        face.support = support;
    }
    table_ui(ui, cx, SUPPORT, &mut face.support);
    table_ui(ui, cx, HELD, face);
}

const FACE: Table<ShellFace> = table! { face: ShellFace;
    "Boards", "From inside the room towards the old face", MadeOf(|_| limits::SHELL_FACES), face.construction;
    "Gap", "Clear distance between its outermost board and the old face: the deeper, the better in the bass",
        Number(limits::GAP_MM), face.gap_mm;
};

/// What holds a face. Usual numbers: common practice, no source.
fn supports(free: &str, now: Support) -> Vec<(Support, String)> {
    let usual = [
        (Support::None, free),
        (Support::Hangers { per_m2: 1.5 }, "rigid hangers or brackets"),
        (Support::Clips { spacing_mm: 600.0 }, "resilient clips and bars"),
        (Support::Springs { per_m2: 1.5, deflection_mm: 10.0 }, "steel springs"),
        (Support::Rubber { per_m2: 4.0, deflection_mm: 3.0, stiffer: 1.5 }, "rubber or foam"),
    ];
    variants(&now, &usual)
}

const SUPPORT: Table<Support> = table! { support: Support;
    "Number", "For each square metre", Number(limits::PER_M2.written("per m²")),
        Support::Hangers { per_m2 } | Support::Springs { per_m2, .. } | Support::Rubber { per_m2, .. } => per_m2;
    "Spacing", "Distance between bars", Number(limits::BARS_MM), Support::Clips { spacing_mm } => spacing_mm;
    "Gives by", "How far the face's own weight presses or pulls them", Number(limits::DEFLECTION_MM),
        Support::Springs { deflection_mm, .. } | Support::Rubber { deflection_mm, .. } => deflection_mm;
    "Stiffer", "How many times stiffer they are when they move: 1.3 to 3",
        Number(limits::STIFFER.written("times")), Support::Rubber { stiffer, .. } => stiffer;
};

const HELD: Table<ShellFace> = table! { face: ShellFace;
    "Built", HOW_WELL, BUILT, face.workmanship;
    Fact(|cx, face: &ShellFace| {
        let mass_kg_m2 = cx.construction(&face.construction)?.mass_per_area_kg_m2(cx.catalogue).ok()?;
        let springs = face.support.springs(mass_kg_m2);
        let springs = springs.map(|(_, n_m)| format!(", each spring {:.0} N/mm when it moves", n_m / 1000.0));
        Some(format!("{mass_kg_m2:.0} kg/m²{}", springs.unwrap_or_default()))
    });
};
