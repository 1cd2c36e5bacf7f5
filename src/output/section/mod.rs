//! A vertical section through the building, coloured by where sound leaks: floors, ceilings and voids, which a plan hides.
//!
//! To the right is the distance along the cut, upwards the height above the street, both in metres. Walls, slabs and openings that are cut are
//! lit by their share of what the chosen listener hears; what closes the rooms behind the cut is lit faintly.

pub(super) mod cut;
mod levels;
mod marks;
mod openings;
mod page;
mod rooms;
mod sawn;
mod shells;
mod structure;

use crate::building::Building;
use crate::catalogue::Catalogue;
use crate::output::drawing::Drawing;
use crate::output::glow::Glow;
use crate::output::page::canvas::{View as _, empty};
use crate::output::page::geometry::Patch;
use crate::output::variant::Variant;
use crate::scene::Scene;
use crate::solve::Answer;

use page::{AROUND_M, Canvas, Sawing};
use sawn::Sawn;

pub use crate::output::view::SectionView;
pub use cut::Cut;

/// Letters across and up a printed section at most: sections are wide and low, and the column beside them is high.
const WIDE: f64 = 76.0;
const HIGH: f64 = 40.0;
/// How far the sheet reaches below and above the street at least, m.
const STREET_M: [f64; 2] = [-0.5, 2.5];
/// Listeners further out than so many widths of the building, and than so far, are drawn at the rim.
const NEAR_PARTS: f64 = 0.8;
const NEAR_BY_M: f64 = 12.0;

/// Draws the section. `answer` and `building` belong to `scene`. A cut that meets nothing gives a page with street and title alone; a
/// listener beyond the answer's end, or a cut without length, an empty one.
#[must_use]
pub fn section(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    view: &SectionView,
) -> Drawing {
    lit_by(scene, catalogue, building, answer, view, None, None).0
}

/// The same, lit by `glow` instead of what the view says (by a difference), where that is given, and with ordinary letters of a stated size, m,
/// as [`super::plan::lettered`]. The names that found no room come beside it.
#[must_use]
pub fn lit_by(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    view: &SectionView,
    glow: Option<Glow>,
    letter_m: Option<f64>,
) -> (Drawing, Vec<String>) {
    let Some(heard) = answer.listeners.get(view.listener).filter(|_| view.cut.is_line()) else {
        return (empty(scene, view.theme), vec![]);
    };
    let own = |id: &str| scene.constructions.iter().find(|own| own.id == id);
    let thickness_m =
        |id: &str| own(id).or_else(|| catalogue.constructions.get(id)).map_or(0.0, |found| found.thickness_m());
    let sawn = Sawn::of(scene, building, &view.cut, &thickness_m);
    let mut extent = sawn.extent().unwrap_or(Patch { min: [0.0, 0.0], max: [view.cut.length_m(), 0.0] });
    let structure = extent;
    let broken =
        [extent.min[0] < 1e-6, extent.max[0] > view.cut.length_m() - 1e-6].map(|cut| cut && !sawn.rooms.is_empty());
    extent.include([extent.min[0], STREET_M[0]]);
    extent.include([extent.max[0], STREET_M[1]]);
    for (side, grows) in broken.into_iter().zip([-AROUND_M, AROUND_M]) {
        if !side {
            extent.include([if grows < 0.0 { extent.min[0] } else { extent.max[0] } + grows, 0.0]);
        }
    }
    // Someone in the open is drawn where they are, unless the building would shrink to a dot.
    if let Some(ears) = building.listeners.get(view.listener).filter(|ears| ears.space == building.outdoors()) {
        let at = view.cut.project([ears.at[0], ears.at[1], ears.height_m]);
        let far = (extent.min[0] - at[0]).max(at[0] - extent.max[0]);
        if far < (NEAR_PARTS * extent.size()[0]).max(NEAR_BY_M) {
            extent.include([at[0] - AROUND_M, at[1]]);
            extent.include([at[0] + AROUND_M, at[1] + AROUND_M]);
        }
    }
    let [wide, high] = extent.size();
    let letter_m = letter_m.unwrap_or((wide / WIDE).max(high / HIGH));
    let sawing = Sawing { view, sawn: &sawn, structure, broken };
    let glow = glow.unwrap_or_else(|| sawing.look().glow(heard));
    let variant = Variant { scene, building, answer };
    let mut canvas = Canvas::new(catalogue, variant, heard, &sawing, glow, extent, Some(letter_m));
    canvas.listed = canvas.loudest();
    canvas.earth();
    canvas.rooms();
    canvas.behind();
    canvas.structure();
    canvas.openings();
    canvas.ground_line();
    canvas.ducts();
    canvas.marks();
    canvas.room_labels();
    canvas.levels();
    if sawn.extent().is_none() {
        canvas.remarks.push("The cut does not meet the building.".to_owned());
    }
    let title = format!("{} – section", scene.name);
    let unplaced = canvas.remarks.clone();
    let (legends, key) = ([canvas.glow.clone()], canvas.key());
    let corners = canvas.column("Section", &legends, &key);
    (canvas.finished(title, corners), unplaced)
}
