//! A face to be boarded, and the pieces that boards of a size become on it.

/// A face laid flat, m: x along it, y up (of a floor or ceiling: along and across its longest edge).
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Face {
    /// Its outlines, the outer one of each part first, from about the origin on.
    pub rings: Vec<Vec<[f64; 2]>>,
    /// What is left open: x and y from and to.
    pub holes: Vec<[f64; 4]>,
    /// True for a wall: boards stand upright on it.
    pub upright: bool,
}

/// A piece to be cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tile {
    /// The rectangle it is cut as, m: width and height as the board lies on the face.
    pub size_m: [f64; 2],
    /// Its area without what is sawn out of it, m².
    pub net_m2: f64,
}

/// For narrower strips the frame is set nearer or wider, and filler closes the rest, m. Own judgement.
const STRIP_M: f64 = 0.03;

impl Face {
    /// A rectangle that stands.
    pub(super) fn wall(wide_m: f64, high_m: f64, holes: Vec<[f64; 4]>) -> Self {
        let inside = |[x0, y0, x1, y1]: [f64; 4]| [x0.max(0.0), y0.max(0.0), x1.min(wide_m), y1.min(high_m)];
        let holes = holes.into_iter().map(inside).filter(|[x0, y0, x1, y1]| x0 < x1 && y0 < y1).collect();
        Self { rings: vec![rectangle(wide_m, high_m)], holes, upright: true }
    }

    /// What lies: outlines of a plan, turned so that the longest edge runs along x.
    pub(super) fn slab(rings: &[Vec<[f64; 2]>]) -> Self {
        let edges = rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        let vectors = edges.map(|(from, to)| [to[0] - from[0], to[1] - from[1]]);
        let longest = vectors.max_by(|a, b| a[0].hypot(a[1]).total_cmp(&b[0].hypot(b[1]))).unwrap_or([1.0, 0.0]);
        let length = longest[0].hypot(longest[1]).max(1e-9);
        let [c, s] = longest.map(|part| part / length);
        let turn = |[x, y]: [f64; 2]| [c * x + s * y, c * y - s * x];
        let mut rings: Vec<Vec<[f64; 2]>> = rings.iter().map(|ring| ring.iter().copied().map(turn).collect()).collect();
        let low = [0, 1].map(|axis| rings.iter().flatten().map(|at| at[axis]).fold(f64::INFINITY, f64::min));
        rings.iter_mut().flatten().for_each(|at| *at = [at[0] - low[0], at[1] - low[1]]);
        Self { rings, holes: vec![], upright: false }
    }

    /// Length and height of the box round it, m.
    pub(super) fn size_m(&self) -> [f64; 2] {
        [0, 1].map(|axis| self.rings.iter().flatten().map(|at| at[axis]).fold(0.0, f64::max))
    }

    /// Its area without what is open, m².
    pub(super) fn area_m2(&self) -> f64 {
        let holes = self.holes.iter().map(|[x0, y0, x1, y1]| (x1 - x0) * (y1 - y0)).sum::<f64>();
        (self.rings.iter().map(|ring| area(ring)).sum::<f64>().abs() - holes).max(0.0)
    }

    /// Length of its outer edges, m.
    pub(super) fn edge_m(&self) -> f64 {
        let edges = self.rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        edges.map(|(from, to)| (to[0] - from[0]).hypot(to[1] - from[1])).sum()
    }

    /// The pieces that boards become in a layer: upright on walls, along the longest edge elsewhere; every second layer half a board further.
    pub(super) fn tiles(&self, board_m: [f64; 2], layer: usize) -> Vec<Tile> {
        let [wide, high] = if self.upright { board_m } else { [board_m[1], board_m[0]] };
        let [length, height] = self.size_m();
        let staggered = layer % 2 == 1;
        let mut tiles = vec![];
        let mut y = if staggered && self.upright { height % high - high } else { 0.0 };
        let mut row = 0;
        while y < height - STRIP_M {
            // Boards on a floor break joints from row to row as well.
            let shifted = staggered != (!self.upright && row % 2 == 1);
            let mut x = if shifted { -0.5 * wide } else { 0.0 };
            while x < length - STRIP_M {
                self.within([x, y.max(0.0), x + wide, (y + high).min(height)], &mut tiles);
                x += wide;
            }
            y += high;
            row += 1;
        }
        tiles
    }

    /// What of a board's place lies on the face.
    fn within(&self, place: [f64; 4], tiles: &mut Vec<Tile>) {
        let mut bounds: Option<[f64; 4]> = None;
        let mut net_m2 = 0.0;
        for ring in &self.rings {
            let part = clipped(ring, place);
            net_m2 += area(&part);
            for [x, y] in part {
                let [x0, y0, x1, y1] = bounds.unwrap_or([x, y, x, y]);
                bounds = Some([x0.min(x), y0.min(y), x1.max(x), y1.max(y)]);
            }
        }
        let Some(bounds) = bounds else { return };
        let lost_m2 = ((bounds[2] - bounds[0]) * (bounds[3] - bounds[1]) - net_m2.abs()).max(0.0);
        around(bounds, &self.holes, lost_m2, tiles);
    }
}

/// Cuts a rectangle round openings: where one goes right across, two pieces are left; elsewhere it is sawn out of the piece.
fn around(place: [f64; 4], holes: &[[f64; 4]], mut lost_m2: f64, tiles: &mut Vec<Tile>) {
    let [x0, y0, x1, y1] = place;
    if x1 - x0 < STRIP_M || y1 - y0 < STRIP_M {
        return;
    }
    for (at, hole) in holes.iter().enumerate() {
        let [hx0, hy0, hx1, hy1] = [hole[0].max(x0), hole[1].max(y0), hole[2].min(x1), hole[3].min(y1)];
        if hx0 >= hx1 || hy0 >= hy1 {
            continue;
        }
        let rest = &holes[at + 1..];
        if hx1 - hx0 > x1 - x0 - STRIP_M {
            around([x0, y0, x1, hy0], rest, lost_m2, tiles);
            return around([x0, hy1, x1, y1], rest, 0.0, tiles);
        }
        if hy1 - hy0 > y1 - y0 - STRIP_M {
            around([x0, y0, hx0, y1], rest, lost_m2, tiles);
            return around([hx1, y0, x1, y1], rest, 0.0, tiles);
        }
        lost_m2 += (hx1 - hx0) * (hy1 - hy0);
    }
    let net_m2 = ((x1 - x0) * (y1 - y0) - lost_m2).max(0.0);
    if net_m2 > STRIP_M * STRIP_M {
        tiles.push(Tile { size_m: [x1 - x0, y1 - y0], net_m2 });
    }
}

/// A rectangle from the origin.
pub(super) fn rectangle(wide_m: f64, high_m: f64) -> Vec<[f64; 2]> {
    vec![[0.0, 0.0], [wide_m, 0.0], [wide_m, high_m], [0.0, high_m]]
}

/// Signed area of a ring, m²: of a hole below zero.
pub(super) fn area(ring: &[[f64; 2]]) -> f64 {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    0.5 * edges.map(|(from, to)| from[0] * to[1] - to[0] * from[1]).sum::<f64>()
}

/// A ring cut to a rectangle, edge by edge. Source: Sutherland and Hodgman, Reentrant polygon clipping, Communications of the ACM 17 (1974).
fn clipped(ring: &[[f64; 2]], [x0, y0, x1, y1]: [f64; 4]) -> Vec<[f64; 2]> {
    let mut kept = ring.to_vec();
    for (axis, bound, sign) in [(0, x0, 1.0), (0, x1, -1.0), (1, y0, 1.0), (1, y1, -1.0)] {
        let inside = |at: &[f64; 2]| sign * (at[axis] - bound) >= 0.0;
        let mut next = Vec::with_capacity(kept.len() + 2);
        for (from, to) in kept.iter().zip(kept.iter().cycle().skip(1)) {
            if inside(from) {
                next.push(*from);
            }
            if inside(from) != inside(to) {
                let part = (bound - from[axis]) / (to[axis] - from[axis]);
                next.push([from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1])]);
            }
        }
        kept = next;
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sizes(tiles: &[Tile]) -> Vec<[f64; 2]> {
        tiles.iter().map(|tile| tile.size_m.map(|side| (1000.0 * side).round() / 1000.0)).collect()
    }

    /// By hand: on 4.0 by 2.4 m three whole boards and a strip of 0.4 m; half a board further 0.6, two whole and 1.0 m.
    #[test]
    fn a_second_layer_breaks_the_joints_of_the_first() {
        let face = Face::wall(4.0, 2.4, vec![]);
        let first = sizes(&face.tiles([1.2, 2.4], 0));
        assert_eq!(first, [[1.2, 2.4], [1.2, 2.4], [1.2, 2.4], [0.4, 2.4]]);
        assert_eq!(sizes(&face.tiles([1.2, 2.4], 1)), [[0.6, 2.4], [1.2, 2.4], [1.2, 2.4], [1.0, 2.4]]);
    }

    /// By hand: a door 1.2 m wide from 1.2 m on, 2.0 m high, leaves 0.4 m over it; a window of 0.6 by 1.0 m is sawn out of its board.
    #[test]
    fn boards_are_cut_round_openings() {
        let face = Face::wall(3.6, 2.4, vec![[1.2, 0.0, 2.4, 2.0], [2.7, 0.9, 3.3, 1.9]]);
        let tiles = face.tiles([1.2, 2.4], 0);
        assert_eq!(sizes(&tiles), [[1.2, 2.4], [1.2, 0.4], [1.2, 2.4]]);
        assert!((tiles[2].net_m2 - (2.88 - 0.6)).abs() < 1e-9);
        let net: f64 = tiles.iter().map(|tile| tile.net_m2).sum();
        assert!((net - face.area_m2()).abs() < 1e-9);
    }

    /// All pieces of an L-shaped floor, in whatever direction it lies, have its area.
    #[test]
    fn an_angled_floor_is_covered() {
        let corners = [[0.0, 0.0], [5.0, 0.0], [5.0, 2.0], [3.0, 2.0], [3.0, 4.0], [0.0, 4.0]];
        for angle in [0.0_f64, 0.3, 1.2] {
            let (s, c) = angle.sin_cos();
            let ring = corners.iter().map(|[x, y]| [c * x - s * y + 7.0, s * x + c * y - 3.0]).collect();
            let face = Face::slab(&[ring]);
            assert!((face.area_m2() - 16.0).abs() < 1e-9);
            assert!((face.edge_m() - 18.0).abs() < 1e-9);
            for layer in [0, 1] {
                let net: f64 = face.tiles([0.6, 2.4], layer).iter().map(|tile| tile.net_m2).sum();
                assert!((net - 16.0).abs() < 0.01, "{net}");
            }
        }
    }
}
