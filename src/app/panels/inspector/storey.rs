//! A storey: its height, floor and roof. And a floor, wherever one can be given.

use bevy_egui::egui::Ui;

use super::construct::construction_ui;
use super::fields::{check, fact, number, set_length, title};
use super::{Seen, head, workmanship_ui};
use crate::catalogue::ConstructionKind;
use crate::edit::{Edit, Item, StoreyHead};
use crate::scene::{FloorBuild, Storey, Thing};

const FLOORS: [ConstructionKind; 2] = [ConstructionKind::Floor, ConstructionKind::Roof];
const GROUNDS: [ConstructionKind; 2] = [ConstructionKind::Ground, ConstructionKind::Floor];
pub(super) const ROOFS: [ConstructionKind; 2] = [ConstructionKind::Roof, ConstructionKind::Floor];

/// The panel of a storey.
pub(super) fn storey_ui(ui: &mut Ui, seen: &Seen, storey: &Storey) -> Vec<Edit> {
    head(ui, seen, "Nothing is picked. The storey:", &storey.name, Some(&storey.id), &Thing::Storey);
    let before = StoreyHead::of(storey);
    let mut after = before.clone();
    title(ui, seen, "What the storey is called", &mut after.name);
    let told = "Of the walking surface above the street";
    set_length(ui, seen, "Level", told, &mut after.level_m, (-100.0, 1000.0));
    let told = "Clear, from walking surface to ceiling; the storeys above move along";
    set_length(ui, seen, "Height", told, &mut after.height_m, (0.05, 40.0));
    let mut edits = floor_ui(ui, seen, "Floor", &mut after.floor);
    let told = "The floor where nothing lies below";
    edits.extend(construction_ui(ui, seen, ("On the ground", told), &GROUNDS, &mut after.ground));
    let told = "Where nothing lies above";
    edits.extend(construction_ui(ui, seen, ("Roof", told), &ROOFS, &mut after.roof));
    fact(ui, &seen.palette, "Pick a wall, a door, a room or a mark on the plan to see what it is made of.");
    if after != before {
        edits.push(Edit::Put(Item::Storey(after)));
    }
    edits
}

/// A floor: what it is made of, how its joists lie, how it was built.
pub(super) fn floor_ui(ui: &mut Ui, seen: &Seen, name: &str, floor: &mut FloorBuild) -> Vec<Edit> {
    ui.push_id(("floor", name), |ui| {
        let told = "Between this storey and the one below, from the walking surface down to the ceiling";
        let edits = construction_ui(ui, seen, (name, told), &FLOORS, &mut floor.construction);
        let mut joists = floor.joist_direction_deg.is_some();
        let told = "Joists carry sound across a wall they run through, and hardly across one they run along";
        if check(ui, "lies on joists", told, &mut joists) {
            floor.joist_direction_deg = joists.then_some(90.0);
        }
        if let Some(degrees) = &mut floor.joist_direction_deg {
            let told = "0: they run from left to right; 90: up the sheet";
            number(ui, seen, ("Joists run", told, "°"), degrees, (-360.0, 360.0));
        }
        workmanship_ui(ui, seen, false, &mut floor.workmanship);
        edits
    })
    .inner
}
