//! What a storey draws, found again by id and by place, so that checks need not compare all with all.

use std::collections::BTreeMap;

use crate::scene::{NodeId, Storey, Wall, WallId};

pub(super) type Point = [f64; 2];

/// Corners and walls of a storey by id: the first of each id.
pub(super) struct Drawn<'a> {
    nodes: BTreeMap<&'a NodeId, Point>,
    walls: BTreeMap<&'a WallId, &'a Wall>,
    meeting: BTreeMap<&'a NodeId, Vec<&'a Wall>>,
}

impl<'a> Drawn<'a> {
    pub(super) fn of(storey: &'a Storey) -> Self {
        let (mut nodes, mut walls, mut meeting) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::<_, Vec<_>>::new());
        for node in &storey.nodes {
            nodes.entry(&node.id).or_insert(node.at);
        }
        for wall in &storey.walls {
            walls.entry(&wall.id).or_insert(wall);
            meeting.entry(&wall.from).or_default().push(wall);
            if wall.to != wall.from {
                meeting.entry(&wall.to).or_default().push(wall);
            }
        }
        Self { nodes, walls, meeting }
    }

    pub(super) fn node(&self, id: &NodeId) -> Option<Point> {
        self.nodes.get(id).copied()
    }

    pub(super) fn wall(&self, id: &WallId) -> Option<&'a Wall> {
        self.walls.get(id).copied()
    }

    /// Where a wall begins and ends, sound or not.
    pub(super) fn ends(&self, wall: &Wall) -> Option<[Point; 2]> {
        Some([self.node(&wall.from)?, self.node(&wall.to)?])
    }

    /// The walls that begin or end at a corner.
    pub(super) fn meeting(&self, corner: &NodeId) -> &[&'a Wall] {
        self.meeting.get(corner).map_or(&[], Vec::as_slice)
    }
}

/// A rectangle along the axes, its least and greatest corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent(pub(super) [Point; 2]);

impl Extent {
    /// Round a line, and so far beyond.
    pub(super) fn round([a, b]: [Point; 2], beyond_m: f64) -> Self {
        let least = [0, 1].map(|axis: usize| a[axis].min(b[axis]) - beyond_m);
        Self([least, [0, 1].map(|axis: usize| a[axis].max(b[axis]) + beyond_m)])
    }

    pub(super) fn holds(&self, point: Point) -> bool {
        let Self([least, most]) = self;
        (0..2).all(|axis| (least[axis]..=most[axis]).contains(&point[axis]))
    }

    fn meets(&self, other: &Self) -> bool {
        (0..2).all(|axis| self.0[0][axis] <= other.0[1][axis] && other.0[0][axis] <= self.0[1][axis])
    }
}

/// Corners from left to right.
pub(super) struct Corners<'a>(Vec<(Point, &'a NodeId)>);

impl<'a> Corners<'a> {
    pub(super) fn of(places: impl Iterator<Item = (Point, &'a NodeId)>) -> Self {
        let mut all: Vec<_> = places.collect();
        all.sort_by(|(one, _), (other, _)| one[0].total_cmp(&other[0]));
        Self(all)
    }

    pub(super) fn within(&self, extent: Extent) -> impl Iterator<Item = (Point, &'a NodeId)> {
        let from = self.0.partition_point(|(place, _)| place[0] < extent.0[0][0]);
        let on = self.0[from..].iter().take_while(move |(place, _)| place[0] <= extent.0[1][0]);
        on.filter(move |(place, _)| extent.holds(*place)).copied()
    }
}

/// Corners by the square they lie in, each with how many came before it, to find out which lie on one another.
#[derive(Default)]
pub(super) struct Squares<'a> {
    squares: BTreeMap<[i64; 2], Vec<(usize, Point, &'a NodeId)>>,
    count: usize,
}

impl<'a> Squares<'a> {
    /// The first corner put in before that lies nearer than `side_m`, the same for all corners; then puts this one in.
    pub(super) fn put(&mut self, at: Point, id: &'a NodeId, side_m: f64) -> Option<&'a NodeId> {
        let [x, y] = at.map(|value| (value / side_m).floor() as i64);
        let around = (-1..=1).flat_map(|right| (-1..=1).map(move |up| [x + right, y + up]));
        let near = |(_, place, _): &&(usize, Point, &NodeId)| (place[0] - at[0]).hypot(place[1] - at[1]) < side_m;
        // In a square they are in the order they came.
        let first = around.filter_map(|square| self.squares.get(&square)?.iter().find(near)).min_by_key(|it| it.0);
        let first = first.map(|(_, _, id)| *id);
        self.squares.entry([x, y]).or_default().push((self.count, at, id));
        self.count += 1;
        first
    }
}

/// Calls `pair` with the positions of every two lines whose extents meet, the later of the two first.
pub(super) fn each_near_pair(extents: &[Extent], mut pair: impl FnMut(usize, usize)) {
    let mut order: Vec<usize> = (0..extents.len()).collect();
    order.sort_by(|a, b| extents[*a].0[0][0].total_cmp(&extents[*b].0[0][0]));
    // From left to right: those that reach this far.
    let mut reaching: Vec<usize> = vec![];
    for at in order {
        let here = &extents[at];
        reaching.retain(|other| extents[*other].0[1][0] >= here.0[0][0]);
        for other in reaching.iter().filter(|other| extents[**other].meets(here)) {
            pair(at.max(*other), at.min(*other));
        }
        reaching.push(at);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pair_that_meets_is_found_once() {
        let line = |at: usize| {
            let place = |step: usize| (at * step % 17) as f64;
            [[place(5), place(7)], [place(5) + place(3) / 4.0, place(7) + place(11) / 4.0]]
        };
        let extents: Vec<Extent> = (0..80).map(|at| Extent::round(line(at), 0.1)).collect();
        let mut found = vec![];
        each_near_pair(&extents, |later, earlier| found.push([later, earlier]));
        found.sort_unstable();
        let all = (0..80).flat_map(|later| (0..later).map(move |earlier| [later, earlier]));
        let expected: Vec<[usize; 2]> = all.filter(|[a, b]| extents[*a].meets(&extents[*b])).collect();
        assert_eq!(found, expected);
        assert!(expected.len() > 100 && expected.len() < 2000, "{}", expected.len());
    }
}
