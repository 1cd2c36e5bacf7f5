//! A vertical section through the building, coloured by where sound leaks: floors, ceilings and voids, which a plan hides.
//!
//! To the right is the distance along the cut, upwards the height above the street, both in metres. Walls, slabs and openings that are cut are
//! lit by their share of what the chosen listener hears; what closes the rooms behind the cut is lit faintly.

mod behind;
mod cut;
mod key;
mod labels;
mod levels;
mod marks;
mod openings;
mod sawn;
mod shells;
mod structure;

use crate::building::{Building, SpaceIndex};
use crate::catalogue::Catalogue;
use crate::scene::Scene;
use crate::solve::{Answer, BandChoice, ListenerAnswer, Surface};

use super::drawing::{Drawing, Form, Part, Point, Shown, Stroke};
use super::glow::{Glow, Scale};
use super::leaks::By;
use super::length::Units;
use super::palette::{Colour, Theme};
use super::sheet::geometry::{self, Patch};
use super::sheet::{self, Lettering, Look, Subject, View};
pub use cut::Cut;
use sawn::Sawn;

/// What the section shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionView {
    /// Where the building is cut.
    pub cut: Cut,
    /// Whose ears, position in the answer's listeners.
    pub listener: usize,
    /// Which bands.
    pub band: BandChoice,
    /// Which end of the paths lights the section.
    pub by: By,
    /// Dark or light.
    pub theme: Theme,
    /// What the light means.
    pub scale: Scale,
    /// How lengths and areas are written.
    pub units: Units,
}

impl SectionView {
    /// The view that tells most about a listener: A-weighted, dark, cut along [`Cut::through`].
    #[must_use]
    pub fn of(
        scene: &Scene,
        catalogue: &Catalogue,
        building: &Building,
        answer: &Answer,
        listener: usize,
        by: By,
    ) -> Self {
        let cut = Cut::through(scene, catalogue, building, answer, listener);
        Self {
            cut,
            listener,
            band: BandChoice::AWeighted,
            by,
            theme: Theme::default(),
            scale: Scale::default(),
            units: Units::Metric,
        }
    }
}

/// Height of a source above the floor it stands on, for its mark alone, m (own choice: the scene gives none).
pub const SOURCE_HEIGHT_M: f64 = 0.8;

/// Draws the section. `answer` and `building` belong to `scene`. A cut that meets nothing gives a sheet with street and title alone; a
/// listener beyond the answer's end, or a cut without length, an empty one.
#[must_use]
pub fn section(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    view: &SectionView,
) -> Drawing {
    lettered(scene, catalogue, building, answer, view, None).0
}

/// The same with ordinary letters of a stated size, m, as [`super::plan::lettered`]. The names that found no room come beside it.
#[must_use]
pub fn lettered(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    view: &SectionView,
    letter_m: Option<f64>,
) -> (Drawing, Vec<String>) {
    lit_by(scene, catalogue, building, answer, view, None, letter_m)
}

/// The same, lit by `glow` instead of what the view says: by a difference, where that is given.
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
        return (sheet::empty(scene, view.theme), vec![]);
    };
    let thickness_m =
        |id: &str| catalogue.own_or_known(&scene.constructions, id).map_or(0.0, |found| found.thickness_m());
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
    let mut canvas = Canvas::new(Subject { scene, catalogue, building, heard }, &sawing, glow, extent, Some(letter_m));
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
    let legends = [canvas.glow.clone()];
    let (min, max) = canvas.sheet("Section", &legends, Canvas::key);
    (canvas.finished(title, min, max), unplaced)
}

/// Letters across and up a printed section at most: sections are wide and low, and the column beside them is high.
const WIDE: f64 = 76.0;
const HIGH: f64 = 40.0;
/// How far the sheet reaches below and above the street at least, m.
const STREET_M: [f64; 2] = [-0.5, 2.5];
/// What is drawn of the street beside the building, m.
const AROUND_M: f64 = 1.2;
/// Listeners further out than so many widths of the building, and than so far, are drawn at the rim.
const NEAR_PARTS: f64 = 0.8;
const NEAR_BY_M: f64 = 12.0;

/// A view with what its cut goes through.
struct Sawing<'a> {
    view: &'a SectionView,
    sawn: &'a Sawn,
    /// The box round what is cut.
    structure: Patch,
    /// Whether the cut begins and ends within the building.
    broken: [bool; 2],
}

/// What the section is drawn on.
type Canvas<'a> = sheet::Canvas<'a, Sawing<'a>>;

impl View for Sawing<'_> {
    const NAME: &'static str = "section";
    const ELSEWHERE: &'static str = "walls, slabs and openings off this cut";

    fn look(&self) -> Look {
        let SectionView { listener, band, by, theme, scale, units, .. } = *self.view;
        Look { listener, band, by, theme, scale, units }
    }

    fn shows(&self, building: &Building, heard: &ListenerAnswer, face: Surface) -> bool {
        match face {
            Surface::Element(at) => {
                let Sawn { walls, slabs, behind, .. } = self.sawn;
                walls.iter().chain(slabs).chain(behind).any(|solid| solid.element == at)
            }
            Surface::Opening(at, index) | Surface::Gap(at, index) => {
                let mut openings = self.sawn.openings.iter().chain(&self.sawn.windows_behind);
                openings.any(|opening| opening.element == at && opening.at == index)
            }
            Surface::Duct(at) => building.ducts.get(at).is_some_and(|duct| {
                duct.ends.iter().all(|end| {
                    let along_m = self.view.cut.along_m(end.at);
                    (-AROUND_M..self.view.cut.length_m() + AROUND_M).contains(&along_m)
                })
            }),
            Surface::Air | Surface::Building => self.cuts(heard.space),
        }
    }
}

impl Sawing<'_> {
    /// True when the cut goes through a space.
    fn cuts(&self, space: SpaceIndex) -> bool {
        self.sawn.rooms.iter().any(|room| room.space == space)
    }
}
