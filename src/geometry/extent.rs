//! Upright rectangles, and which of many meet, so that nobody need compare all with all.

use glam::DVec2;

/// The upright rectangle round something, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Its least corner.
    pub low: DVec2,
    /// Its greatest corner.
    pub high: DVec2,
}

impl Extent {
    /// Round points, and a little more (or less) on each side, m.
    pub fn round<P: Into<DVec2>>(points: impl IntoIterator<Item = P>, more_m: f64) -> Self {
        let nothing = Self { low: DVec2::INFINITY, high: DVec2::NEG_INFINITY };
        let grown = |all: Self, point: P| {
            let point = point.into();
            Self { low: all.low.min(point), high: all.high.max(point) }
        };
        let Self { low, high } = points.into_iter().fold(nothing, grown);
        Self { low: low - more_m, high: high + more_m }
    }

    /// Whether both have a point in common.
    pub fn meets(&self, other: &Self) -> bool {
        self.low.cmple(other.high).all() && other.low.cmple(self.high).all()
    }

    /// Whether a point lies in it.
    pub fn holds(&self, point: DVec2) -> bool {
        self.low.cmple(point).all() && point.cmple(self.high).all()
    }
}

/// For each of some rectangles, the positions of those others that it meets, in order.
///
/// Goes over both lists along the axis in which they reach further: as quick as sorting where few lie side by side.
pub fn near(all: &[Extent], others: &[Extent]) -> Vec<Vec<usize>> {
    let whole = Extent::round(all.iter().chain(others).flat_map(|extent| [extent.low, extent.high]), 0.0);
    let axis = usize::from((whole.high - whole.low).y > (whole.high - whole.low).x);
    let mut found = vec![vec![]; all.len()];
    // By where they begin; those that have not ended yet, of both lists.
    let mut order: Vec<(bool, usize)> = (0..all.len()).map(|at| (false, at)).collect();
    order.extend((0..others.len()).map(|at| (true, at)));
    let extent = |(other, at): (bool, usize)| if other { &others[at] } else { &all[at] };
    order.sort_by(|a, b| extent(*a).low[axis].total_cmp(&extent(*b).low[axis]));
    let mut open: [Vec<usize>; 2] = Default::default();
    for one @ (other, at) in order {
        let here = extent(one);
        let across = &mut open[usize::from(!other)];
        across.retain(|&known| extent((!other, known)).high[axis] >= here.low[axis]);
        for &known in across.iter().filter(|&&known| extent((!other, known)).meets(here)) {
            if other { found[known].push(at) } else { found[at].push(known) }
        }
        open[usize::from(other)].push(at);
    }
    for list in &mut found {
        list.sort_unstable();
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pair_that_meets_is_found() {
        let extent = |at: usize| {
            let place = |step: usize| (at * step % 17) as f64;
            let from = DVec2::new(place(5), place(7));
            Extent::round([from, from + DVec2::new(place(3), place(11)) / 4.0], 0.1)
        };
        let all: Vec<Extent> = (0..80).map(extent).collect();
        let others: Vec<Extent> = (100..150).map(extent).collect();
        let expected: Vec<Vec<usize>> =
            all.iter().map(|one| (0..others.len()).filter(|at| others[*at].meets(one)).collect()).collect();
        assert_eq!(near(&all, &others), expected);
        let count: usize = expected.iter().map(Vec::len).sum();
        assert!((100..2000).contains(&count), "{count}");
    }
}
