//! A room within a room: which faces are built, which walls are left bare, what doors and windows it has.

use bevy_egui::egui::Ui;

use super::chooser::{one, one_or_none};
use super::fields::{alert, bare_choice, button, check, fact, heading, number, row};
use super::shelf::Shelf;
use super::shell_face::{face_ui, usual_face};
use super::{Seen, workmanship_ui};
use crate::building::ElementShape;
use crate::catalogue::ConstructionKind;
use crate::edit::Edit;
use crate::output::words;
use crate::scene::{InnerShell, OpeningId, Room, ShellFace, ShellOpening, Storey, WallId, Workmanship};

const LEAVES: [ConstructionKind; 2] = [ConstructionKind::Door, ConstructionKind::Window];

/// The inner shell of a room, to be built and taken away.
pub(super) fn shell_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, room: &mut Room) -> Vec<Edit> {
    let mut built = room.inner_shell.is_some();
    let told = "Walls, ceiling and floor that touch the room round them as little as they can; each may be left out";
    if check(ui, "has an inner shell", told, &mut built) {
        let face = |horizontal| Some(usual_face(seen, horizontal));
        room.inner_shell =
            built.then(|| InnerShell { walls: face(false), ceiling: face(true), ..InnerShell::default() });
    }
    let walls = walls_of(seen, storey, room);
    let Some(shell) = &mut room.inner_shell else { return vec![] };
    let mut edits = vec![];
    for (name, told, horizontal, face) in [
        ("Walls", "Before every wall that is not named below", false, &mut shell.walls),
        ("Ceiling", "Below the old ceiling", true, &mut shell.ceiling),
        ("Floor", "On the old floor", true, &mut shell.floor),
    ] {
        heading(ui, seen, name);
        ui.push_id(("face", name), |ui| {
            let mut built = face.is_some();
            if check(ui, &format!("{} built", name.to_lowercase()), told, &mut built) {
                *face = built.then(|| usual_face(seen, horizontal));
            }
            if let Some(face) = face {
                edits.extend(face_ui(ui, seen, face, name == "Walls"));
            }
        });
    }
    heading(ui, seen, "Single walls");
    edits.extend(each_wall_ui(ui, seen, shell, &walls));
    heading(ui, seen, "Doors and windows of the shell");
    openings_ui(ui, seen, storey, shell, &walls);
    alert(
        ui,
        &seen.palette,
        "A shell is heavy and closes the room: have the floor checked for the load by a structural engineer, keep a way out \
         in a fire, and bring fresh air in.",
    );
    edits
}

/// The walls round a room, as the answer knows them; all of the storey while there is none.
fn walls_of(seen: &Seen, storey: &Storey, room: &Room) -> Vec<WallId> {
    let all = || storey.walls.iter().map(|wall| wall.id.clone()).collect();
    let (Some(solved), Some(space)) = (seen.solved(), seen.space(&room.id)) else { return all() };
    let mut found: Vec<WallId> = vec![];
    for element in solved.building.elements.iter().filter(|element| element.sides.contains(&space)) {
        if let ElementShape::Wall { walls, .. } = &element.shape {
            found.extend(walls.iter().filter(|id| storey.walls.iter().any(|wall| wall.id == **id)).cloned());
        }
    }
    found.sort();
    found.dedup();
    if found.is_empty() { all() } else { found }
}

fn each_wall_ui(ui: &mut Ui, seen: &Seen, shell: &mut InnerShell, walls: &[WallId]) -> Vec<Edit> {
    let mut edits = vec![];
    let mut removed = None;
    for (at, (wall, face)) in shell.each_wall.iter_mut().enumerate() {
        ui.push_id(("single", &*wall), |ui| {
            ui.horizontal(|ui| {
                let mut built = face.is_some();
                if check(ui, &format!("wall {wall} built"), "Unticked, this wall is left bare", &mut built) {
                    *face = built.then(|| usual_face(seen, false));
                }
                if button(ui, &format!("As the others: {wall}"), "Like every other wall of the shell") {
                    removed = Some(at);
                }
            });
            if let Some(face) = face {
                edits.extend(face_ui(ui, seen, face, true));
            }
        });
    }
    if let Some(at) = removed {
        shell.each_wall.remove(at);
    }
    let others = walls.iter().filter(|wall| !shell.each_wall.iter().any(|(named, _)| named == *wall));
    let mut all: Vec<(Option<WallId>, String)> = vec![(None, "choose a wall …".to_owned())];
    all.extend(others.map(|wall| (Some(wall.clone()), format!("wall {wall}"))));
    let mut chosen: Option<WallId> = None;
    let told = "A wall that is built otherwise than the others, or left bare";
    row(ui, seen, "Otherwise", told, |ui| {
        bare_choice(ui, "Otherwise", told, ui.available_width(), &mut chosen, &all);
    });
    if let Some(wall) = chosen {
        let bare: Option<ShellFace> = None;
        shell.each_wall.push((wall, bare));
    }
    edits
}

fn openings_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, shell: &mut InnerShell, walls: &[WallId]) {
    let name = |id: &OpeningId| {
        let opening = storey.openings.iter().find(|opening| opening.id == *id);
        match opening {
            Some(opening) if !opening.name.is_empty() => words::heading(&opening.name),
            _ => format!("Opening {id}"),
        }
    };
    let mut removed = None;
    for (at, opening) in shell.openings.iter_mut().enumerate() {
        ui.push_id(("leaf", at), |ui| {
            ui.horizontal(|ui| {
                fact(ui, &seen.palette, &format!("Before: {}", name(&opening.before)));
                if button(ui, "Close it off", "The shell runs on before it") {
                    removed = Some(at);
                }
            });
            let shelf = Shelf::Constructions(&LEAVES);
            one(ui, seen, shelf, "Leaf", "The door or window of the shell", &mut opening.construction);
            one_or_none(ui, seen, Shelf::Seals, ("Seal", "Round it", "none"), &mut opening.seal);
            number(ui, seen, ("Undercut", "A gap under it", "mm"), &mut opening.undercut_mm, (0.0, 100.0));
            workmanship_ui(ui, seen, true, &mut opening.workmanship);
        });
    }
    if let Some(at) = removed {
        shell.openings.remove(at);
    }
    let free = storey.openings.iter().filter(|opening| {
        walls.contains(&opening.wall) && !shell.openings.iter().any(|leaf| leaf.before == opening.id)
    });
    let free: Vec<_> = free.map(|opening| (Some(opening.id.clone()), name(&opening.id))).collect();
    if free.is_empty() {
        return;
    }
    let all: Vec<_> = std::iter::once((None, "choose an opening …".to_owned())).chain(free).collect();
    let mut chosen: Option<OpeningId> = None;
    let told = "A door or window of the shell before one of the old wall; without it the shell closes it off";
    row(ui, seen, "Before", told, |ui| {
        bare_choice(ui, "Before", told, ui.available_width(), &mut chosen, &all);
    });
    if let Some(before) = chosen {
        let old = storey.openings.iter().find(|opening| opening.id == before);
        let made = old.and_then(|old| seen.construction(&old.construction));
        // Another of the same is a fair beginning; a hole or a vent gets a door.
        let construction =
            made.filter(|made| LEAVES.contains(&made.kind)).map_or("door-solid-core-44", |made| &made.id);
        shell.openings.push(ShellOpening {
            before,
            construction: construction.to_owned(),
            seal: Some("compression-single".to_owned()),
            undercut_mm: 0.0,
            workmanship: Workmanship::Usual,
        });
    }
}
