//! The one function that changes a scene.

use super::refused::{Refused, storey_mut};
use super::{copying, graph, moving, one_thing, placing, rooms, storeys};
use crate::catalogue::Catalogue;
use crate::scene::{Edit, Scene};

/// Applies an edit. The scene given stays as it is.
///
/// # Errors
///
/// When the edit names what is not there, or would make walls of no length; a sentence. An edit that makes a scene which does not
/// validate is not refused: the problems are shown, and can be repaired.
pub fn apply(scene: &Scene, catalogue: &Catalogue, edit: &Edit) -> Result<Scene, Refused> {
    let mut after = scene.clone();
    match edit {
        Edit::Put(item) => placing::put(&mut after, item)?,
        Edit::Draw { storey, points, construction } => {
            graph::draw(storey_mut(&mut after, storey)?, points, construction)?;
        }
        Edit::Rectangle { storey, corners, construction, name } => {
            graph::rectangle(&mut after, storey, *corners, construction, name)?;
        }
        Edit::Move { picks, by } => moving::shift(&mut after, picks, *by)?,
        Edit::Length { storey, wall, length_m, second } => {
            moving::set_length(storey_mut(&mut after, storey)?, wall, *length_m, *second)?;
        }
        Edit::Delete(picks) => placing::delete(&mut after, catalogue, picks)?,
        Edit::Duplicate { picks, by } => copying::duplicate(&mut after, picks, *by)?,
        Edit::Mirror { picks, sideways } => moving::mirror(&mut after, picks, *sideways)?,
        Edit::CopyUp(storey) => storeys::copy_up(&mut after, catalogue, storey)?,
        Edit::AddStorey => storeys::add(&mut after, catalogue),
        Edit::RemoveStorey(storey) => storeys::remove(&mut after, storey)?,
        Edit::ForgetConstruction(id) => placing::forget_construction(&mut after, id)?,
        _ => one_thing::change(&mut after, edit)?,
    }
    rooms::keep(scene, &mut after, catalogue);
    placing::forget_overrides(scene, &mut after);
    Ok(after)
}
