//! The wall graph of a storey: corners, walls, and walls that touch where no corner is.

use std::collections::{BTreeMap, BTreeSet};

use super::drawn::Drawn;
use super::storeys::has_joists;
use super::{Check, Spot, limits};
use crate::catalogue::limits::short;
use crate::geometry::{self, DVec2, Extent, crossing, each_near, near};
use crate::scene::problem::MOST_LISTED;
use crate::scene::{FloorBuild, NodeId, Severity, Storey, Thing, Wall, WallId};

/// Lengths are compared less this, m: far more than roundoff and far less than anyone draws, so that what is drawn in millimetres is judged alike
/// at whatever angle it stands.
pub(super) const ROUNDOFF_M: f64 = 1e-6;
/// Corners nearer than this are one, and a corner this near a wall's line lies on it, m.
const TOUCHING_M: f64 = 0.01 - ROUNDOFF_M;
/// A loose end this near another wall was probably meant to reach it: half of the thickest usual wall, m.
const NEARLY_TOUCHING_M: f64 = 0.25 - ROUNDOFF_M;

/// A wall whose corners are known and whose length is sound.
#[derive(Clone, Copy)]
struct Line<'a> {
    wall: &'a Wall,
    ends: geometry::Line,
}

impl Check<'_> {
    pub(super) fn plan(&mut self, position: usize, storey: &Storey, drawn: &Drawn) {
        let at = |thing: Thing| Spot { storey: Some(&storey.id), thing };
        let mut places: BTreeMap<&NodeId, DVec2> = BTreeMap::new();
        let mut seen = BTreeSet::new();
        let spots: Vec<Extent> = storey.nodes.iter().map(|node| Extent::round([node.at], 0.5 * TOUCHING_M)).collect();
        // For each corner the first one that it lies on.
        let mut lies_on: Vec<Option<usize>> = vec![None; spots.len()];
        each_near(&spots, &spots, |at, other| {
            let [here, there] = [at, other].map(|at| DVec2::from(storey.nodes[at].at));
            if other < at && here.distance(there) < TOUCHING_M && lies_on[at].is_none_or(|known| other < known) {
                lies_on[at] = Some(other);
            }
        });
        for (node, lies_on) in storey.nodes.iter().zip(lies_on) {
            let spot = at(Thing::Node(node.id.0.clone()));
            self.id(&spot, &node.id.0, &mut seen, "corner");
            if self.point(&spot, node.at) {
                if let Some(other) = lies_on {
                    self.error(
                        &spot,
                        format!("it lies on corner \"{}\"", storey.nodes[other].id),
                        "keep one of them, for all walls that meet there",
                    );
                }
                places.entry(&node.id).or_insert(node.at.into());
            }
        }

        let allowed = limits::walls(storey);
        let mut seen = BTreeSet::new();
        let mut lines: Vec<Line> = vec![];
        let mut uses: BTreeMap<&NodeId, usize> = BTreeMap::new();
        for wall in &storey.walls {
            let spot = at(Thing::Wall(wall.id.0.clone()));
            self.id(&spot, &wall.id.0, &mut seen, "wall");
            self.construction_as(&spot, "construction", &wall.construction, allowed);
            for end in [&wall.from, &wall.to] {
                *uses.entry(end).or_default() += 1;
                if !drawn.has_node(end) {
                    let known = storey.nodes.iter().map(|node| node.id.0.as_str());
                    let what = format!("it ends at corner \"{end}\", which this storey does not have");
                    self.unknown(&spot, what, &end.0, known, "name a corner of this storey, or add it to its nodes");
                }
            }
            self.joists(&spot, position, wall);
            let (Some(from), Some(to)) = (places.get(&wall.from), places.get(&wall.to)) else { continue };
            let length_m = from.distance(*to);
            if wall.from == wall.to {
                self.error(&spot, "it begins and ends at the same corner", "give it two corners, or delete it");
            } else if length_m < limits::WALL_M.least - ROUNDOFF_M {
                self.error(
                    &spot,
                    format!("it is {} m long", short(length_m)),
                    format!("make it at least {} m, or delete it", limits::WALL_M.least),
                );
            } else {
                lines.push(Line { wall, ends: [*from, *to] });
            }
        }

        self.touching_walls(storey, &lines, &places, &uses);
        self.loose_corners(storey, &lines, &places, &uses);
        self.walls_above(position, storey, &lines);
    }

    fn touching_walls(
        &mut self,
        storey: &Storey,
        lines: &[Line],
        places: &BTreeMap<&NodeId, DVec2>,
        uses: &BTreeMap<&NodeId, usize>,
    ) {
        let at = |wall: &Wall| Spot { storey: Some(&storey.id), thing: Thing::Wall(wall.id.0.clone()) };
        // A corner no wall uses is told of as such.
        let used: Vec<(&NodeId, DVec2)> =
            places.iter().filter(|(node, _)| uses.contains_key(**node)).map(|(node, place)| (*node, *place)).collect();
        let spots: Vec<Extent> = used.iter().map(|(_, place)| Extent::round([*place], 0.0)).collect();
        let reach: Vec<Extent> = lines.iter().map(|line| Extent::round(line.ends, TOUCHING_M)).collect();
        let near = near(&reach, &spots);
        let (crossings, unlisted) = crossings(lines);
        let mut crossings = crossings.into_iter().peekable();
        let mut joined: BTreeMap<[&NodeId; 2], &WallId> = BTreeMap::new();
        for ((position, line), near) in lines.iter().enumerate().zip(near) {
            let wall = line.wall;
            // In the order of their ids.
            let over = near.into_iter().map(|at| used[at]).filter(|(_, place)| on_line(*place, line.ends));
            for node in over.map(|(node, _)| node).filter(|node| **node != wall.from && **node != wall.to) {
                self.error_of_many(&at(wall), || {
                    let what = format!("it runs over corner \"{node}\" without ending there");
                    (what, "cut it in two at that corner")
                });
            }
            let mut ends = [&wall.from, &wall.to];
            ends.sort();
            match joined.get(&ends) {
                Some(earlier) => self.error_of_many(&at(wall), || {
                    (format!("wall \"{earlier}\" joins the same two corners"), "keep one of them")
                }),
                None => {
                    joined.insert(ends, &wall.id);
                }
            }
            while let Some((_, earlier, place)) = crossings.next_if(|(later, ..)| *later == position) {
                self.error_of_many(&at(wall), || {
                    let other = &lines[earlier].wall.id;
                    let what = format!(
                        "it crosses wall \"{other}\" at ({}, {}), where no corner is",
                        short(place.x),
                        short(place.y)
                    );
                    (what, "add a corner there and cut both walls in two")
                });
            }
        }
        self.problems.count(Severity::Error, unlisted);
    }

    fn loose_corners(
        &mut self,
        storey: &Storey,
        lines: &[Line],
        places: &BTreeMap<&NodeId, DVec2>,
        uses: &BTreeMap<&NodeId, usize>,
    ) {
        for node in &storey.nodes {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Node(node.id.0.clone()) };
            let Some(place) = places.get(&node.id) else { continue };
            match uses.get(&node.id).copied().unwrap_or(0) {
                0 => self.warning(&spot, "no wall begins or ends at it", "delete it, or draw a wall to it"),
                1 => {
                    let near = lines.iter().find(|line| {
                        Extent::round(line.ends, NEARLY_TOUCHING_M).holds(*place)
                            && line.wall.from != node.id
                            && line.wall.to != node.id
                            && geometry::distance(*place, line.ends) < NEARLY_TOUCHING_M
                            && !on_line(*place, line.ends)
                    });
                    let to_do = match near {
                        Some(line) => format!(
                            "lead it to the middle line of wall \"{}\", {} m away, and cut that wall in two there",
                            line.wall.id,
                            short(geometry::distance(*place, line.ends))
                        ),
                        None => "lead it to another wall, or delete it if it encloses nothing".to_owned(),
                    };
                    self.warning(&spot, "only one wall ends at it, so it encloses nothing", to_do);
                }
                _ => {}
            }
        }
    }

    fn joists(&mut self, spot: &Spot, position: usize, wall: &Wall) {
        if !wall.joists_run_on {
            return;
        }
        let near = [Some(position), position.checked_add(1)];
        let mut floors =
            near.into_iter().flatten().filter_map(|position| self.scene.storeys.get(position)).flat_map(|storey| {
                let own = storey.rooms.iter().filter_map(|room| room.floor.as_ref());
                own.chain([&storey.floor])
            });
        // Joists of unknown direction count as crossing it; that nothing is said of it is told of the floor.
        let joists = |floor: &FloorBuild| {
            floor.joist_direction_deg.is_some() || self.construction(&floor.construction).is_some_and(has_joists)
        };
        if !floors.any(joists) {
            self.warning(
                spot,
                "joists are said to run on through it, and neither the floor below nor the one above has any",
                "say that no joists run on, or give a floor the direction of its joists",
            );
        }
    }

    fn walls_above(&mut self, position: usize, storey: &Storey, lines: &[Line]) {
        let above = self.scene.storeys.get(position + 1).map(|above| (above, Drawn::of(above)));
        for line in lines.iter().filter(|line| line.wall.stops_at_ceiling) {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Wall(line.wall.id.0.clone()) };
            let Some((above, drawn)) = &above else {
                self.warning(
                    &spot,
                    "it is said to stop at the ceiling, and no loft or void is drawn above it, so that nothing passes over it",
                    "draw the loft or void as a storey, or let the wall go up to the floor above",
                );
                continue;
            };
            let middle = line.ends[0].midpoint(line.ends[1]);
            // Along it, not merely across it.
            let along = |ends: geometry::Line| on_line(middle, ends) && parallel(line.ends, ends);
            if let Some(wall) = above.walls.iter().find(|wall| drawn.ends(wall).is_some_and(along)) {
                let (wall, above) = (&wall.id, &above.id);
                let what = format!(
                    "it is said to stop at the ceiling, and wall \"{wall}\" of storey \"{above}\" stands on it"
                );
                self.warning(&spot, what, "let it go up to the floor above, or remove the wall above");
            }
        }
    }
}

/// True when the point lies on the line between its ends, not at them.
fn on_line(point: DVec2, ends: geometry::Line) -> bool {
    geometry::distance(point, ends) < TOUCHING_M && ends.iter().all(|end| end.distance(point) >= TOUCHING_M)
}

fn parallel([a, b]: geometry::Line, [c, d]: geometry::Line) -> bool {
    (b - a).perp_dot(d - c).abs() < 0.02 * a.distance(b) * c.distance(d)
}

/// True when two lines stand roughly at right angles, within 30 degrees: there a wall takes half its thickness off the other's clear length.
pub(super) fn upright([a, b]: geometry::Line, [c, d]: geometry::Line) -> bool {
    (b - a).dot(d - c).abs() < 0.5 * a.distance(b) * c.distance(d)
}

/// Where lines cross, by the positions of the later and the earlier, in order; and how many more do, of which no one would read.
fn crossings(lines: &[Line]) -> (Vec<(usize, usize, DVec2)>, usize) {
    let extents: Vec<Extent> = lines.iter().map(|line| Extent::round(line.ends, 0.0)).collect();
    let (mut found, mut more) = (vec![], 0);
    each_near(&extents, &extents, |later, earlier| {
        // An end within reach of a line that is crossed lies at that wall, or the wall's own end lies at it: that is told of by its corner.
        if earlier < later
            && let Some(place) = crossing(lines[later].ends, lines[earlier].ends, TOUCHING_M)
        {
            if found.len() < 10 * MOST_LISTED {
                found.push((later, earlier, place));
            } else {
                more += 1;
            }
        }
    });
    found.sort_by_key(|(later, earlier, _)| (*later, *earlier));
    (found, more)
}

#[cfg(test)]
mod tests {
    use super::on_line;
    use crate::geometry::line;

    #[test]
    fn a_point_on_a_line_is_found_and_its_ends_are_not() {
        let on = |point: [f64; 2]| on_line(point.into(), line([[0.0, 0.0], [3.0, 4.0]]));
        assert!(on([1.5, 2.0]));
        assert!(!on([0.0, 0.0]) && !on([3.0, 4.0]) && !on([1.5, 2.1]));
    }
}
