//! Air ducts: a new one, and one whose mouth moves.

use super::moving::add;
use super::naming::{fresh_id, put_by};
use crate::scene::{Duct, DuctEnd, DuctId, DuctSection, Point, Scene, StoreyId};

/// Diameter of a new duct, mm, and height of its mouths, m: a kitchen or bathroom extract. Common practice, no source.
const USUAL_MM: f64 = 125.0;
const USUAL_MOUTH_M: f64 = 2.2;
/// The shortest run there may be, m. As the validation has it.
const SHORTEST_M: f64 = 0.01;

/// Distance between two mouths in a straight line, m: the shortest the run can be. On a storey that does not exist a mouth counts from the street.
#[must_use]
pub fn straight_m(scene: &Scene, ends: &[DuctEnd; 2]) -> f64 {
    let level_m = |id: &StoreyId| scene.storeys.iter().find(|storey| storey.id == *id).map_or(0.0, |it| it.level_m);
    let [a, b] = ends.each_ref().map(|end| [end.at[0], end.at[1], level_m(&end.storey) + end.height_m]);
    (0..3).map(|axis| (b[axis] - a[axis]).powi(2)).sum::<f64>().sqrt()
}

/// A straight duct between two places, with usual values and an id of its own.
#[must_use]
pub fn new_duct(scene: &Scene, from: (StoreyId, Point), to: (StoreyId, Point)) -> Duct {
    let ends = [from, to].map(|(storey, at)| DuctEnd { storey, at, height_m: USUAL_MOUTH_M });
    Duct {
        id: DuctId(fresh_id("duct", |id| {
            scene.ducts.iter().any(|duct| duct.id.0 == id) || put_by(&scene.variants, id)
        })),
        name: "air duct".to_owned(),
        section: DuctSection::Round(USUAL_MM),
        length_m: centimetres(straight_m(scene, &ends)),
        ends,
        bends: 0,
        lining: None,
        silencer_db: None,
    }
}

/// Rounded up, so that the run is never shorter than the straight line.
fn centimetres(length_m: f64) -> f64 {
    ((100.0 * length_m - 1e-6).ceil() / 100.0).max(SHORTEST_M)
}

/// Moves one mouth. The run becomes longer or shorter by as much as the straight line between its mouths does.
pub(super) fn stretch(scene: &Scene, duct: &mut Duct, end: usize, by: Point) {
    let was_m = straight_m(scene, &duct.ends);
    let Some(end) = duct.ends.get_mut(end) else { return };
    end.at = add(end.at, by);
    let now_m = straight_m(scene, &duct.ends);
    duct.length_m = centimetres((duct.length_m + now_m - was_m).max(now_m));
}
