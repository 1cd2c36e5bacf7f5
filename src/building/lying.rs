//! Lying junctions: walls and slabs meeting along a line.
//!
//! What runs through (common practice, no source): massive walls of one construction above one another, while frames are built
//! storey by storey; a massive slab of one construction on both sides; a floor with joists only where the wall says that
//! joists run on and they do not lie along it.

use super::geometry::{Point, cross, direction};
use super::lookup::Lookup;
use super::model::{Arm, ElementIndex, Junction, JunctionKind};
use super::slabs::Slab;
use super::stretches::{Level, Stretch};
use super::walls::Run;

/// The line where one storey stands on another: the walls above and below it and the slabs in it.
pub(super) struct Between<'a> {
    /// Storey above it; of the highest roof, the storey below.
    pub storey: usize,
    pub above: &'a [Run],
    pub below: &'a [Run],
    pub slabs: Vec<&'a Slab>,
    pub lookup: &'a Lookup<'a>,
}

impl Between<'_> {
    /// All junctions here.
    pub(super) fn junctions(&self) -> Vec<Junction> {
        let tracks = |runs: &[Run]| runs.iter().map(|run| run.track).collect();
        let level = Level {
            above: tracks(self.above),
            below: tracks(self.below),
            slabs: self.slabs.iter().map(|slab| slab.footprint.clone()).collect(),
        };
        let stretches = level.stretches();
        let junction = |stretch: &Stretch| Junction {
            kind: JunctionKind::Lying,
            length_m: stretch.length_m,
            line: stretch.line,
            storey: self.storey,
            arms: self.arms(stretch),
        };
        stretches.iter().map(junction).collect()
    }

    /// The arms: wall above, wall below, slab on the left, slab on the right, whichever exist.
    fn arms(&self, stretch: &Stretch) -> Vec<Arm> {
        let mut arms: Vec<Arm> = vec![];
        let mut pair = |first: Option<ElementIndex>, second: Option<ElementIndex>, continuous: bool| {
            let at = arms.len();
            let both = first.is_some() && second.is_some();
            for (element, straight) in [(first, at + 1), (second, at)] {
                if let Some(element) = element {
                    arms.push(Arm { element, straight: both.then_some(straight), continuous: both && continuous });
                }
            }
        };
        let walls = [stretch.above.map(|at| &self.above[at]), stretch.below.map(|at| &self.below[at])];
        let bonded = match walls {
            [Some(above), Some(below)] => {
                self.lookup.is_massive(&above.construction)
                    && self.lookup.is_one_piece(&below.construction, &above.construction)
            }
            _ => false,
        };
        let [above, below] = walls.map(|wall| wall.map(|wall| wall.element));
        pair(above, below, bonded);
        let joists_run_on = walls.iter().flatten().any(|wall| wall.joists_run_on);
        let slabs = stretch.slabs.map(|at| at.map(|at| self.slabs[at]));
        let cast = match slabs {
            [Some(a), Some(b)] => match [a, b].map(|slab| self.lookup.is_massive(&slab.construction)) {
                [true, true] => self.lookup.is_one_piece(&a.construction, &b.construction),
                [false, false] => joists_run_on && crosses(stretch.wall, a) && crosses(stretch.wall, b),
                _ => false,
            },
            _ => false,
        };
        let [first, second] = slabs.map(|slab| slab.map(|slab| slab.element));
        pair(first, second, cast);
        arms
    }
}

/// Whether a slab's joists may cross a wall: not when they are known to lie along it, within 30 degrees.
fn crosses(line: [Point; 2], slab: &Slab) -> bool {
    slab.joist_direction_deg.is_none_or(|degrees| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        cross(direction(line[0], line[1]), [cos, sin]).abs() > 0.5
    })
}
