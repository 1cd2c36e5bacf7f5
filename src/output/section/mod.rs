//! A vertical section through the building, coloured by where sound leaks: floors, ceilings and voids, which a plan hides.
//!
//! To the right is the distance along the cut, upwards the height above the street, both in metres. Walls, slabs and openings that are cut are
//! lit by their share of what the chosen listener hears; what closes the rooms behind the cut is lit faintly.

pub(super) mod cut;
mod levels;
mod marks;
mod openings;
mod parts;
mod structure;

use crate::building::Building;
use crate::catalogue::Catalogue;
use crate::output::changes::Variant;
use crate::output::drawing::Drawing;
use crate::output::glow::Glow;
use crate::output::page::canvas::{self, View, empty};
use crate::output::page::geometry::Patch;
use crate::output::page::key::Sample;
use crate::output::view::PlanView;
use crate::scene::Scene;
use crate::solve::{Answer, ListenerAnswer, Surface};

use parts::Parts;
use structure::{FRAME, veil};

pub use cut::Cut;

/// Letters across and up a printed section at most: sections are wide and low, and the column beside them is high.
const WIDE: f64 = 76.0;
const HIGH: f64 = 40.0;
/// How far the sheet reaches below and above the street at least, m.
const STREET_M: [f64; 2] = [-0.5, 2.5];
/// Listeners further out than so many widths of the building, and than so far, are drawn at the rim.
const NEAR_PARTS: f64 = 0.8;
const NEAR_BY_M: f64 = 12.0;

/// Draws the section along a cut. `answer` and `building` belong to `scene`. A cut that meets nothing gives a page with street and title alone; a
/// listener beyond the answer's end, or a cut without length, an empty one.
#[must_use]
pub fn section(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    cut: Cut,
    view: &PlanView,
) -> Drawing {
    lit_by(catalogue, Variant { scene, building, answer }, cut, view, None, None).0
}

/// The same, lit by `glow` instead of what the view says (by a difference), where that is given, and with ordinary letters of a stated size, m,
/// as [`super::plan::lettered`]. The names that found no room come beside it.
#[must_use]
pub fn lit_by(
    catalogue: &Catalogue,
    variant: Variant,
    cut: Cut,
    view: &PlanView,
    glow: Option<Glow>,
    letter_m: Option<f64>,
) -> (Drawing, Vec<String>) {
    let Variant { scene, building, answer } = variant;
    let Some(heard) = answer.listeners.get(view.listener).filter(|_| cut.is_line()) else {
        return (empty(scene, view.theme), vec![]);
    };
    let thickness_m = |id: &str| catalogue.resolve(&scene.constructions, id).map_or(0.0, |found| found.thickness_m());
    let parts = Parts::of(scene, building, &cut, &thickness_m);
    let mut extent = parts.extent().unwrap_or(Patch { min: [0.0, 0.0], max: [cut.length_m(), 0.0] });
    let structure = extent;
    let broken =
        [extent.min[0] < 1e-6, extent.max[0] > cut.length_m() - 1e-6].map(|at_end| at_end && !parts.rooms.is_empty());
    extent.include([extent.min[0], STREET_M[0]]);
    extent.include([extent.max[0], STREET_M[1]]);
    for (side, grows) in broken.into_iter().zip([-AROUND_M, AROUND_M]) {
        if !side {
            extent.include([if grows < 0.0 { extent.min[0] } else { extent.max[0] } + grows, 0.0]);
        }
    }
    // Someone in the open is drawn where they are, unless the building would shrink to a dot.
    if let Some(ears) = building.listeners.get(view.listener).filter(|ears| ears.space == building.outdoors()) {
        let at = cut.project([ears.at[0], ears.at[1], ears.height_m]);
        let far = (extent.min[0] - at[0]).max(at[0] - extent.max[0]);
        if far < (NEAR_PARTS * extent.size()[0]).max(NEAR_BY_M) {
            extent.include([at[0] - AROUND_M, at[1]]);
            extent.include([at[0] + AROUND_M, at[1] + AROUND_M]);
        }
    }
    let [wide, high] = extent.size();
    let letter_m = letter_m.unwrap_or((wide / WIDE).max(high / HIGH));
    let cut_view = CutView { cut, look: *view, parts: &parts, structure, broken };
    let glow = glow.unwrap_or_else(|| view.glow(heard));
    let mut canvas = Canvas::new(catalogue, variant, heard, &cut_view, glow, extent, Some(letter_m));
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
    if parts.extent().is_none() {
        canvas.remarks.push("The cut does not meet the building.".to_owned());
    }
    let title = format!("{} – section", scene.name);
    let unplaced = canvas.remarks.clone();
    let (legends, key) = ([canvas.glow.clone()], canvas.key());
    let corners = canvas.column("Section", &legends, &key);
    (canvas.finished(title, corners), unplaced)
}

/// What is drawn of the street beside the building, m.
const AROUND_M: f64 = 1.2;

/// A view with what its cut goes through.
struct CutView<'a> {
    cut: Cut,
    look: PlanView,
    parts: &'a Parts,
    /// The box round what is cut.
    structure: Patch,
    /// Whether the cut begins and ends within the building.
    broken: [bool; 2],
}

/// What the section is drawn on.
type Canvas<'a> = canvas::Canvas<'a, CutView<'a>>;

impl View for CutView<'_> {
    const NAME: &'static str = "section";
    const ELSEWHERE: &'static str = "walls, slabs and openings off this cut";

    fn look(&self) -> PlanView {
        self.look
    }

    fn shows(&self, building: &Building, heard: &ListenerAnswer, face: Surface) -> bool {
        match face {
            Surface::Element(at) => {
                let Parts { walls, slabs, behind, .. } = self.parts;
                walls.iter().chain(slabs).chain(behind).any(|solid| solid.element == at)
            }
            Surface::Opening(at, index) | Surface::Gap(at, index) => {
                let mut openings = self.parts.openings.iter().chain(&self.parts.windows_behind);
                openings.any(|opening| opening.element == at && opening.at == index)
            }
            Surface::Duct(at) => building.ducts.get(at).is_some_and(|duct| {
                duct.ends.iter().all(|end| {
                    let along_m = self.cut.along_m(end.at);
                    (-AROUND_M..self.cut.length_m() + AROUND_M).contains(&along_m)
                })
            }),
            Surface::Air | Surface::Building => self.parts.rooms.iter().any(|room| room.space == heard.space),
        }
    }
}

impl Canvas<'_> {
    /// What the lines of the section mean.
    fn key(&self) -> Vec<(Sample, String)> {
        let (quiet, parts) = (self.quiet, self.view.parts);
        let mut key = vec![
            (Sample::Area(quiet.wall, Some(quiet.wall_edge)), self.glow.grey()),
            (Sample::Sparks(false), "leaks by the gap round it".to_owned()),
        ];
        if parts.behind.iter().any(|wall| self.lit(Surface::Element(wall.element)).is_some()) {
            let fill = self.glow.colour_at(0.8).faded(veil(0.77));
            key.push((Sample::Area(fill, None), "leaks behind the cut".to_owned()));
        }
        if !parts.windows_behind.is_empty() {
            let sample = Sample::Area(quiet.sheet.faded(0.4), Some(quiet.wall_edge.faded(FRAME)));
            key.push((sample, "opening behind the cut".to_owned()));
        }
        let shelled = parts.rooms.iter().any(|room| room.bare.is_some());
        let openings = parts.openings.iter().map(|cut| &self.building.elements[cut.element.0].openings[cut.at]);
        key.extend(self.front_samples(shelled, openings.flat_map(|opening| opening.fronts.iter().flatten())));
        key
    }
}
