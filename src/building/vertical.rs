//! Vertical junctions: walls meeting at a node.
//!
//! Which walls run through: of the arms that go straight on (within 20 degrees, best fit first) a pair of the same construction
//! is one piece, as masonry is bonded and frames are sheeted past whatever abuts them (common practice, no source). Where two
//! such pairs cross, the heavier runs through and the lighter stops at it; pairs of about the same mass are bonded both ways.

use std::f64::consts::{PI, TAU};

use super::model::{Arm, Junction, JunctionKind};
use super::plan::Site;
use super::walls::Runs;

/// Arms this near to a half turn apart go straight on, rad (20 degrees).
const STRAIGHT_ON: f64 = PI / 9.0;
/// Crossing pairs whose masses differ by less than this part are taken as equal.
const SAME_MASS: f64 = 0.05;

/// The junctions at the nodes of a storey.
pub(super) fn junctions(site: &Site, storey: usize, walls: &Runs) -> Vec<Junction> {
    let (graph, constructions) = (&site.plans[storey].graph, site.constructions);
    let mut junctions = vec![];
    for (point, leaving) in graph.points.iter().zip(&graph.leaving) {
        let mut arms: Vec<(usize, f64)> = vec![];
        for &half in leaving {
            if let Some(run) = walls.of_piece[half.piece()] {
                arms.push((run, graph.angle(half)));
            }
        }
        // One wall that runs past a free end of another is no junction.
        let runs: std::collections::BTreeSet<usize> = arms.iter().map(|&(run, _)| run).collect();
        if runs.len() < 2 || runs.len() < arms.len() {
            continue;
        }
        let angles: Vec<f64> = arms.iter().map(|&(_, angle)| angle).collect();
        let pairs = straight_pairs(&angles);
        let construction = |arm: usize| walls.runs[arms[arm].0].construction.as_str();
        let whole: Vec<bool> =
            pairs.iter().map(|&[a, b]| constructions.is_one_piece(construction(a), construction(b))).collect();
        let mass = |pair: usize| constructions.mass_kg_m2(construction(pairs[pair][0]));
        let heaviest = (0..pairs.len()).filter(|&pair| whole[pair]).map(mass).fold(0.0, f64::max);
        let mut made: Vec<Arm> = arms
            .iter()
            .map(|&(run, _)| Arm { element: walls.runs[run].element, straight: None, continuous: false })
            .collect();
        for (pair, &[a, b]) in pairs.iter().enumerate() {
            let continuous = whole[pair] && mass(pair) >= heaviest * (1.0 - SAME_MASS);
            for (arm, other) in [(a, b), (b, a)] {
                made[arm].straight = Some(other);
                made[arm].continuous = continuous;
            }
        }
        junctions.push(Junction {
            kind: JunctionKind::Vertical,
            length_m: site.storeys[storey].height_m,
            line: [point.to_array(); 2],
            storey,
            arms: made,
        });
    }
    junctions
}

/// Pairs of directions that go straight on, best fit first, each direction once.
fn straight_pairs(angles: &[f64]) -> Vec<[usize; 2]> {
    let mut fits = vec![];
    for a in 0..angles.len() {
        for b in a + 1..angles.len() {
            let bend = ((angles[b] - angles[a]).rem_euclid(TAU) - PI).abs();
            if bend < STRAIGHT_ON {
                // Rounded, so that a turned building pairs alike.
                fits.push(((bend * 1e6).round(), [a, b]));
            }
        }
    }
    fits.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut taken = vec![false; angles.len()];
    fits.retain(|&(_, [a, b])| {
        let free = !taken[a] && !taken[b];
        if free {
            (taken[a], taken[b]) = (true, true);
        }
        free
    });
    fits.into_iter().map(|(_, pair)| pair).collect()
}

#[cfg(test)]
mod tests {
    use super::straight_pairs;

    #[test]
    fn a_cross_has_two_pairs_a_t_one_and_a_corner_none() {
        let turn = |degrees: &[f64]| straight_pairs(&degrees.iter().map(|d| d.to_radians()).collect::<Vec<_>>());
        assert_eq!(turn(&[0.0, 90.0, 180.0, -90.0]), [[0, 2], [1, 3]]);
        assert_eq!(turn(&[-135.0, 45.0, 135.0]), [[0, 1]]);
        assert_eq!(turn(&[0.0, 90.0]), Vec::<[usize; 2]>::new());
        assert_eq!(turn(&[0.0, 90.0, 170.0, 181.0]), [[0, 3]]);
        assert_eq!(turn(&[0.0, 155.0]), Vec::<[usize; 2]>::new());
    }
}
