//! What a building's shell brings to a listener in the open.

use std::f64::consts::PI;

use glam::{DVec2, DVec3};

use super::super::answer::{PathKind, Route, Surface};
use super::super::paths::Origins;
use super::faces::RadiatingFace;
use super::open_air::{BEFORE_M, NEAREST_M, OpenAir};
use crate::acoustics::Spectrum;
use crate::building::{PlacedListener, SpaceIndex};

/// So many times what the straight path would bring if nothing stood in it comes at most to an ear: that path, or all paths past what stands in it; the
/// reflection of a wall right behind it ([`crate::acoustics::outdoors::before_wall_factor`]), and one of another wall. Own judgement.
const MOST_PATHS: f64 = 5.0;

/// What a part of the shell brings to one listener.
pub(in crate::solve) struct ShellPath {
    /// The room behind it.
    pub room: SpaceIndex,
    /// Which part.
    pub surface: Surface,
    /// How the sound gets out.
    pub kind: PathKind,
    /// p² at the listener per p² in the room.
    pub energy: Spectrum,
    /// Where it runs.
    pub route: Option<Route>,
}

/// Every part of `shell`, but for those of rooms without a source that bring next to nothing beside the others: together no more than `left_out`.
///
/// `energies`: p² in each space.
pub(in crate::solve) fn shell_paths(
    open_air: &OpenAir,
    shell: &[RadiatingFace],
    placed: &PlacedListener,
    origins: &Origins,
    energies: &[Spectrum],
    left_out: f64,
) -> Vec<ShellPath> {
    let ears = DVec2::from(placed.at).extend(placed.height_m);
    let follow = |face: &RadiatingFace| {
        let passed = open_air.to_ears(face, ears);
        let energy = face.tau_m2.zip(&passed.per_m2, |tau_m2, per_m2| tau_m2 * per_m2);
        ShellPath { room: face.room, surface: face.surface, kind: face.kind, energy, route: passed.route() }
    };
    let mut parts: Vec<Option<ShellPath>> =
        shell.iter().map(|face| origins.lie_in(face.room).then(|| follow(face))).collect();
    let sure = parts.iter().flatten().fold(Spectrum::ZERO, |sum, part| {
        let inside = &energies[part.room.0];
        Spectrum::from_fn(|band| sum[band] + inside[band] * part.energy[band])
    });
    let most_part = |face: &RadiatingFace| {
        let (per_m2, inside) = (most_per_m2(face, ears), &energies[face.room.0]);
        Spectrum::from_fn(|band| per_m2 * face.tau_m2[band] * inside[band] / sure[band]).largest()
    };
    let mut least_first: Vec<(f64, usize)> =
        (0..shell.len()).filter(|at| parts[*at].is_none()).map(|at| (most_part(&shell[at]), at)).collect();
    least_first.sort_unstable_by(|one, other| one.0.total_cmp(&other.0));
    let mut left = 0.0;
    for (part, at) in least_first {
        left += part;
        if left > left_out {
            parts[at] = Some(follow(&shell[at]));
        }
    }
    parts.into_iter().flatten().collect()
}

/// p² at an ear per p² in the room behind a face is at most so many times its τ·S, 1/m²: as of a point with its power, no nearer than any point that the
/// face is taken to sound from (EN 12354-4:2000 Annex E, far limit).
fn most_per_m2(face: &RadiatingFace, ears: DVec3) -> f64 {
    let nearest_m = (face.middle.distance(ears) - face.width_m / 2.0 - BEFORE_M).max(NEAREST_M);
    MOST_PATHS / (4.0 * PI * nearest_m * nearest_m)
}

#[cfg(test)]
mod tests {
    use super::super::faces::faces;
    use super::super::tests::scenes;
    use super::*;

    /// No ear in the open round the shipped scenes hears more than is taken for the most: on a lattice of 5 m, at three heights.
    #[test]
    fn no_ear_hears_more_than_the_most() {
        for (scene, building, elements, open_air) in scenes() {
            let all = faces(&building, &elements);
            let lattice = (-5..5).flat_map(|x| (-5..5).map(move |y| (5.0 * f64::from(x), 5.0 * f64::from(y))));
            for ears in lattice.flat_map(|(x, y)| [1.5, 5.0, 12.0].map(|z| DVec3::new(x, y, z))) {
                for face in &all {
                    let (heard, most) = (open_air.to_ears(face, ears).per_m2.largest(), most_per_m2(face, ears));
                    assert!(heard <= most, "{}: {heard} of {most} at {ears:?} from {face:?}", scene.name);
                }
            }
        }
    }
}
