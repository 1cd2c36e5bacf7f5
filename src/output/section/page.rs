//! The page a section is drawn on, and what its lines mean.

use crate::building::Building;
use crate::output::page::canvas::{self, View};
use crate::output::page::geometry::Patch;
use crate::output::page::key::Sample;
use crate::output::section::sawn::Sawn;
use crate::output::section::structure::{FRAME, veil};
use crate::output::view::{PlanView, SectionView};
use crate::solve::{ListenerAnswer, Surface};

/// What is drawn of the street beside the building, m.
pub(super) const AROUND_M: f64 = 1.2;

/// A view with what its cut goes through.
pub(super) struct Sawing<'a> {
    pub(super) view: &'a SectionView,
    pub(super) sawn: &'a Sawn,
    /// The box round what is cut.
    pub(super) structure: Patch,
    /// Whether the cut begins and ends within the building.
    pub(super) broken: [bool; 2],
}

/// What the section is drawn on.
pub(super) type Canvas<'a> = canvas::Canvas<'a, Sawing<'a>>;

impl View for Sawing<'_> {
    const NAME: &'static str = "section";
    const ELSEWHERE: &'static str = "walls, slabs and openings off this cut";

    fn look(&self) -> PlanView {
        self.view.look()
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
            Surface::Air | Surface::Building => self.sawn.rooms.iter().any(|room| room.space == heard.space),
        }
    }
}

impl Canvas<'_> {
    /// What the lines of the section mean.
    pub(super) fn key(&self) -> Vec<(Sample, String)> {
        let (quiet, sawn) = (self.quiet, self.view.sawn);
        let mut key = vec![
            (Sample::Area(quiet.wall, Some(quiet.wall_edge)), self.glow.grey()),
            (Sample::Sparks(false), "leaks by the gap round it".to_owned()),
        ];
        if sawn.behind.iter().any(|wall| self.lit(Surface::Element(wall.element)).is_some()) {
            let fill = self.glow.colour_at(0.8).faded(veil(0.77));
            key.push((Sample::Area(fill, None), "leaks behind the cut".to_owned()));
        }
        if !sawn.windows_behind.is_empty() {
            let sample = Sample::Area(quiet.sheet.faded(0.4), Some(quiet.wall_edge.faded(FRAME)));
            key.push((sample, "opening behind the cut".to_owned()));
        }
        let shelled = sawn.rooms.iter().any(|room| room.bare.is_some());
        let openings = sawn.openings.iter().map(|cut| &self.building.elements[cut.element.0].openings[cut.at]);
        key.extend(self.front_samples(shelled, openings.flat_map(|opening| opening.fronts.iter().flatten())));
        key
    }
}
