//! A demand as sums of plain numbers, of which bounds are made.

use super::table::{PlaceTable, Table};

/// A demand with every part as one number, at the least the levels in the rooms can be.
pub(super) struct Weighed {
    pub(super) allowed: f64,
    pub(super) fixed: f64,
    pub(super) places: Vec<Vec<WeighedRow>>,
}

impl Weighed {
    /// The share of what is allowed that is left if every place does its best.
    pub(super) fn least(&self) -> f64 {
        let least = |rows: &Vec<WeighedRow>| {
            rows.iter().filter_map(|row| row.hull.last()).map(|last| last.1).fold(f64::INFINITY, f64::min)
        };
        (self.fixed + self.places.iter().map(least).sum::<f64>()) / self.allowed
    }

    /// The demand and a resource summed, each as a share of what is allowed, the resource by a weight: sets that keep both keep the sum, and where what does
    /// most also takes most the sum shuts out more than either (surrogate constraint: Glover, Operations Research 16 (1968) 741; from memory, unverified).
    pub(super) fn with_resource(&self, table: &Table, at: usize, weight: f64) -> Self {
        let row = |place: &PlaceTable, row: &WeighedRow| {
            let both = row.energy.iter().zip(&place.uses);
            let shares = both.map(|(energy, uses)| energy / self.allowed + weight * uses[at] / table.most[at]);
            WeighedRow::of(&place.cost, shares.collect())
        };
        let rows = |(place, rows): (&PlaceTable, &Vec<WeighedRow>)| rows.iter().map(|one| row(place, one)).collect();
        let places = table.places.iter().zip(&self.places).map(rows).collect();
        Self { allowed: 1.0 + weight, fixed: self.fixed / self.allowed, places }
    }

    /// The weight by which that shuts out most.
    pub(super) fn best_weight(&self, table: &Table, at: usize) -> f64 {
        let least = |weight: &f64| self.with_resource(table, at, *weight).least();
        let weights = (-6..=6).map(|power| 2f64.powi(power));
        weights.max_by(|one, other| least(one).total_cmp(&least(other))).unwrap_or(1.0)
    }
}

impl WeighedRow {
    pub(super) fn of(costs: &[f64], energy: Vec<f64>) -> Self {
        let points = costs.iter().copied().zip(energy.iter().copied());
        let hull = hull(points.filter(|point| point.1.is_finite()).collect());
        Self { energy, hull }
    }
}

/// The choices of a place under a choice of the one it depends on.
#[derive(Default)]
pub(super) struct WeighedRow {
    /// By choice; infinite where it is not allowed.
    pub(super) energy: Vec<f64>,
    /// Of the allowed ones, the lower convex hull of (cost, energy).
    pub(super) hull: Vec<(f64, f64)>,
}

/// Of points (cost, energy) those of the lower convex hull, the cheapest first.
pub(super) fn hull(mut points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    points.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    for (cost, energy) in points {
        if kept.last().is_some_and(|last| energy >= last.1) {
            continue;
        }
        while let [.., (c0, e0), (c1, e1)] = kept[..]
            && (e0 - e1) * (cost - c0) <= (e0 - energy) * (c1 - c0)
        {
            kept.pop();
        }
        kept.push((cost, energy));
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: points in the plane.
    #[test]
    fn a_hull_keeps_what_pays() {
        let points = vec![(0.0, 10.0), (1.0, 9.0), (2.0, 4.0), (3.0, 5.0), (4.0, 3.5)];
        assert_eq!(hull(points), [(0.0, 10.0), (2.0, 4.0), (4.0, 3.5)]);
    }
}
