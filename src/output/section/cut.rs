//! The line of a plan along which the building is cut, and what it makes of points and outlines.

use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::building::{Building, ElementShape, PlacedSource, SpaceIndex};
use crate::catalogue::Catalogue;
use crate::geometry::crossings;
use crate::output::drawing::Point;
use crate::output::names;
use crate::output::page::geometry::{Patch, add, along, band, cross, dot, left, length, scale, sub};
use crate::project::Solved;
use crate::solve::Conditions;
use crate::solve::room::source_power;

/// A shorter line cuts nothing worth drawing, m.
const SHORTEST_M: f64 = 0.1;
/// Nearer than this in the plan, source and listener stand above each other, m.
const ABOVE_M: f64 = 0.5;
/// How far a telling line reaches beyond the building and the ears, m.
const MARGIN_M: f64 = 1.2;

/// A vertical cut: along a line of the plan, seen from its right-hand side, so that `from` lies on the left of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Where it begins, m.
    pub from: Point,
    /// Where it ends, m.
    pub to: Point,
}

impl Cut {
    /// The line that tells most about a listener: through the loudest source of the room that most of their sound comes from, and through
    /// their ears; along the room of the source where the two stand above each other. It runs from left to right in the plan (upwards
    /// where it stands upright), through the whole building and a little beyond, and reaches a listener outdoors.
    ///
    /// Without a source it runs through the listener's room, without a listener through the middle of the building.
    #[must_use]
    pub fn through(solved @ Solved { building, answer, .. }: &Solved, listener: usize) -> Self {
        let ears = building.listeners.get(listener);
        let source = answer.listeners.get(listener).and_then(|heard| {
            let space = heard.paths.first().map(|path| path.source_space);
            loudest(solved, space).or_else(|| loudest(solved, None))
        });
        let bounds = footprint(building);
        let middle = bounds.centre();
        let (at, direction) = match (source, ears) {
            (Some(source), Some(ears)) if length(sub(ears.at, source.at)) >= ABOVE_M => {
                (source.at, along([source.at, ears.at]))
            }
            (Some(source), _) => (source.at, longer_side(building, source.space)),
            (None, Some(ears)) => (ears.at, longer_side(building, ears.space)),
            (None, None) => (middle, [1.0, 0.0]),
        };
        let backwards = if direction[0].abs() > 1e-6 { direction[0] < 0.0 } else { direction[1] < 0.0 };
        let direction = if backwards { scale(direction, -1.0) } else { direction };
        let mut reach = [0.0_f64; 2];
        let mut include = |point: Point| {
            let s = dot(sub(point, at), direction);
            reach = [reach[0].min(s), reach[1].max(s)];
        };
        // As far as anything could be met.
        let far = 2.0 * (length(bounds.size()) + length(sub(at, middle))) + 1.0;
        let whole = Self { from: sub(at, scale(direction, far)), to: add(at, scale(direction, far)) };
        for element in building.elements.iter() {
            if let ElementShape::Wall { line, thickness_m, .. } = &element.shape {
                for run in whole.crossings(&[band(*line, *thickness_m)]) {
                    for s in run {
                        include(whole.at(s));
                    }
                }
            }
        }
        if let Some(ears) = ears {
            include(ears.at);
        }
        Self {
            from: add(at, scale(direction, reach[0] - MARGIN_M)),
            to: add(at, scale(direction, reach[1] + MARGIN_M)),
        }
    }

    /// Its length, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        length(sub(self.to, self.from))
    }

    /// True when it is a line along which anything can be cut.
    #[must_use]
    pub fn is_line(&self) -> bool {
        let length_m = self.length_m();
        length_m.is_finite() && length_m >= SHORTEST_M
    }

    /// Where a point of the building comes to lie on the section: distance along the cut and height, m. `[x, y, z]` are the place in the plan
    /// and the height above the street, m.
    #[must_use]
    pub fn project(&self, [x, y, z]: [f64; 3]) -> Point {
        [self.along_m([x, y]), z]
    }

    /// How far along the cut a point of the plan lies, m: below 0 before its beginning.
    #[must_use]
    pub fn along_m(&self, at: Point) -> f64 {
        dot(sub(at, self.from), self.direction())
    }

    /// How far off the cut a point of the plan lies, m: above 0 behind it (on its left in the plan), below 0 in front of it.
    #[must_use]
    pub fn off_m(&self, at: Point) -> f64 {
        cross(self.direction(), sub(at, self.from))
    }

    /// The point of the plan at a distance along the cut.
    pub(super) fn at(&self, along_m: f64) -> Point {
        add(self.from, scale(self.direction(), along_m))
    }

    pub(super) fn direction(&self) -> Point {
        along([self.from, self.to])
    }

    /// From where to where along the cut it runs inside rings (even-odd), m, in order.
    pub(super) fn crossings(&self, rings: &[Vec<Point>]) -> Vec<[f64; 2]> {
        let end = self.length_m();
        crossings(rings, self.from.into(), self.direction().into())
            .chunks_exact(2)
            .map(|pair| [pair[0].clamp(0.0, end), pair[1].clamp(0.0, end)])
            .filter(|run| run[1] - run[0] > 1e-6)
            .collect()
    }
}

/// The loudest source that plays in a space, or anywhere; by its A-weighted sound power.
fn loudest(Solved { scene, building, answer, .. }: &Solved, space: Option<SpaceIndex>) -> Option<&PlacedSource> {
    let air = Conditions::of(scene).air;
    let power = |placed: &PlacedSource| {
        let source = scene.sources.iter().find(|source| source.id == placed.source)?;
        let sound = Catalogue::built_in_ref().sources.get(&source.sound)?;
        let absorption_m2 = &answer.spaces.get(placed.space.0)?.absorption_m2;
        source.playing.then(|| a_weighted_energy(&source_power(source, sound, absorption_m2, &air)))
    };
    let here = building.sources.iter().filter(|placed| space.is_none_or(|space| placed.space == space));
    let heard = here.filter_map(|placed| Some((placed, power(placed)?)));
    heard.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(placed, _)| placed)
}

/// The box round all walls; a metre round the origin where there are none.
fn footprint(building: &Building) -> Patch {
    let lines = building.elements.iter().filter_map(|element| match &element.shape {
        ElementShape::Wall { line, .. } => Some(*line),
        ElementShape::Slab { .. } => None,
    });
    let ends: Vec<Point> = lines.flatten().collect();
    if ends.is_empty() { Patch::about([0.0; 2], 2.0, 2.0) } else { Patch::around(&ends) }
}

/// The direction in which a room is longest, among those of its sides and the ones across them.
fn longer_side(building: &Building, space: SpaceIndex) -> Point {
    let Some(outer) = names::room(building, space).and_then(|room| room.outline.first()) else { return [1.0, 0.0] };
    let extent = |along: Point| {
        let reach = outer.iter().map(|point| dot(*point, along));
        reach.clone().fold(f64::NEG_INFINITY, f64::max) - reach.fold(f64::INFINITY, f64::min)
    };
    let sides = (0..outer.len()).map(|at| [outer[at], outer[(at + 1) % outer.len()]]);
    let longest = sides.max_by(|a, b| length(sub(a[1], a[0])).total_cmp(&length(sub(b[1], b[0]))));
    let Some(side) = longest.map(along) else { return [1.0, 0.0] };
    if extent(side) >= extent(left(side)) { side } else { left(side) }
}
