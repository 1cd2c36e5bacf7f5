//! Upright rectangles, and which of many meet, so that nobody need compare all with all.

use glam::DVec2;

/// The upright rectangle round something, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Extent {
    /// Its least corner.
    pub low: DVec2,
    /// Its greatest corner.
    pub high: DVec2,
}

impl Extent {
    /// Round points, and a little more (or less) on each side, m.
    pub(crate) fn round<P: Into<DVec2>>(points: impl IntoIterator<Item = P>, more_m: f64) -> Self {
        let nothing = Self { low: DVec2::INFINITY, high: DVec2::NEG_INFINITY };
        let grown = |all: Self, point: P| {
            let point = point.into();
            Self { low: all.low.min(point), high: all.high.max(point) }
        };
        let Self { low, high } = points.into_iter().fold(nothing, grown);
        Self { low: low - more_m, high: high + more_m }
    }

    /// Whether both have a point in common.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.low.cmple(other.high).all() && other.low.cmple(self.high).all()
    }

    /// Whether a point lies in it.
    pub(crate) fn holds(&self, point: DVec2) -> bool {
        self.low.cmple(point).all() && point.cmple(self.high).all()
    }
}

/// Calls `found` with the positions of each of some rectangles and each of some others that meet, in no order.
///
/// Goes over both lists along the axis in which they reach further: as quick as sorting where few lie side by side.
pub(crate) fn each_near(all: &[Extent], others: &[Extent], mut found: impl FnMut(usize, usize)) {
    let whole = Extent::round(all.iter().chain(others).flat_map(|extent| [extent.low, extent.high]), 0.0);
    let axis = usize::from((whole.high - whole.low).y > (whole.high - whole.low).x);
    let lists = [all, others];
    let mut order: Vec<(usize, usize)> =
        (0..2).flat_map(|list| (0..lists[list].len()).map(move |at| (list, at))).collect();
    order.sort_by(|a, b| lists[a.0][a.1].low[axis].total_cmp(&lists[b.0][b.1].low[axis]));
    // Those of each list that have not ended yet.
    let mut open: [Vec<usize>; 2] = Default::default();
    for (list, at) in order {
        let (here, across) = (&lists[list][at], 1 - list);
        open[across].retain(|&known| lists[across][known].high[axis] >= here.low[axis]);
        for &known in open[across].iter().filter(|&&known| lists[across][known].meets(here)) {
            if list == 0 { found(at, known) } else { found(known, at) }
        }
        open[list].push(at);
    }
}

/// For each of some rectangles, the positions of those others that it meets, in order.
pub(crate) fn near(all: &[Extent], others: &[Extent]) -> Vec<Vec<usize>> {
    let mut found = vec![vec![]; all.len()];
    each_near(all, others, |at, other| found[at].push(other));
    found.iter_mut().for_each(|others| others.sort_unstable());
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
