//! A corner of the walls: where it is.

use bevy_egui::egui::Ui;

use super::fields::{fact, length};
use super::{Seen, head};
use crate::edit::{Edit, Pick};
use crate::scene::{NodeId, Storey, Thing};

/// Coordinates taken for meant, m.
const PLAN_M: (f64, f64) = (-2000.0, 2000.0);

/// The panel of a corner.
pub(super) fn corner_ui(ui: &mut Ui, seen: &Seen, storey: &Storey, id: &NodeId) -> Option<Vec<Edit>> {
    let node = storey.nodes.iter().find(|node| node.id == *id)?;
    head(ui, seen, "Corner", &format!("corner {id}"), Some(&storey.id), &Thing::Node(id.0.clone()));
    let x = length(ui, seen, "Rightwards", "From the plan's origin to the right", node.at[0], PLAN_M);
    let y = length(ui, seen, "Upwards", "From the plan's origin up the sheet", node.at[1], PLAN_M);
    let walls = storey.walls.iter().filter(|wall| wall.from == *id || wall.to == *id).count();
    let noun = if walls == 1 { "wall ends" } else { "walls meet" };
    fact(ui, &seen.palette, &format!("{walls} {noun} here"));
    let by = [x.unwrap_or(node.at[0]) - node.at[0], y.unwrap_or(node.at[1]) - node.at[1]];
    let moved = by.iter().any(|by| by.abs() > 1e-9);
    let picks = vec![Pick::Node(storey.id.clone(), id.clone())];
    Some(if moved { vec![Edit::Move { picks, by }] } else { vec![] })
}
