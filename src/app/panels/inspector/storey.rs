//! A storey: its height, floor and roof. And a floor, wherever one can be given.

use super::common::{BUILT, HOW_WELL};
use super::construct::MadeOf;
use super::inputs::{Length, Name, Number, Switch, set};
use super::table::{Custom, Fact, Field, Inside, Table, table};
use super::treatment::floating_ui;
use crate::scene::validate::limits;
use crate::scene::{FloorBuild, Storey};

pub(super) const STOREY: Table<Storey> = table! { storey: Storey;
    "Name", "What the storey is called", Name, storey.name;
    "Level", "Of the walking surface above the street", Length(limits::LEVEL_M), storey.level_m;
    Custom(|ui, cx, storey: &mut Storey| {
        let tip = "Clear, from walking surface to ceiling; the storeys above move along";
        let limits = cx.storey.map_or(limits::LEVEL_M, limits::height_m);
        set(ui, cx, ("Height", tip), &Length(limits), &mut storey.height_m);
    });
    [storey.floor] FLOOR;
    "On the ground", "The floor where nothing lies below", MadeOf(|_| limits::GROUNDS), storey.ground;
    "Roof", "Where nothing lies above", MadeOf(|_| limits::ROOFS), storey.roof;
    Fact(|_, _| Some("Pick a wall, a door, a room or a mark on the plan to see what it is made of.".to_owned()));
};

const FLOOR: Table<FloorBuild> = table! { floor: FloorBuild;
    "Floor", MADE, MadeOf(|_| limits::FLOORS), floor.construction;
    [*floor] LIES;
};

pub(super) const ITS_FLOOR: Table<FloorBuild> = table! { floor: FloorBuild;
    "Its floor", MADE, MadeOf(|_| limits::FLOORS), floor.construction;
    [*floor] LIES;
};

const MADE: &str = "Between this storey and the one below, from the walking surface down to the ceiling";

const LIES: Table<FloorBuild> = table! { floor: FloorBuild;
    "lies on joists", "Joists carry sound across a wall they run through, and hardly across one they run along",
        Switch(|_| Some(90.0)), floor.joist_direction_deg;
    "Joists run", "0: they run from left to right; 90: up the sheet",
        Number(limits::DIRECTION_DEG.written("°")), *floor.joist_direction_deg.as_mut()?;
    "Built", HOW_WELL, BUILT, floor.workmanship;
    Custom(|ui, cx, floor: &mut FloorBuild| floating_ui(ui, cx, &floor.construction));
};
