//! Air ducts: placed, moved with their mouths, copied, turned over.

use super::model::{Pick, Point};
use super::naming::fresh_id;
use crate::scene::{Duct, DuctEnd, DuctId, DuctSection, Scene, StoreyId};

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
    (0..3).map(|way| (b[way] - a[way]).powi(2)).sum::<f64>().sqrt()
}

/// A straight duct between two places, with usual values and an id of its own.
#[must_use]
pub fn new_duct(scene: &Scene, from: (StoreyId, Point), to: (StoreyId, Point)) -> Duct {
    let ends = [from, to].map(|(storey, at)| DuctEnd { storey, at, height_m: USUAL_MOUTH_M });
    Duct {
        id: DuctId(fresh_id("duct", |id| scene.ducts.iter().any(|duct| duct.id.0 == id))),
        name: "air duct".to_owned(),
        section: DuctSection::Round(USUAL_MM),
        length_m: centimetres(straight_m(scene, &ends)),
        ends,
        bends: 0,
        lining: None,
        silencer_db: None,
    }
}

/// Rounded up, so that the run is never shorter than the way.
fn centimetres(length_m: f64) -> f64 {
    ((100.0 * length_m - 1e-6).ceil() / 100.0).max(SHORTEST_M)
}

/// Which mouths of a duct are picked: both with the whole of it.
fn picked(duct: &Duct, picks: &[Pick]) -> [bool; 2] {
    let whole = picks.contains(&Pick::Duct(duct.id.clone()));
    [0, 1].map(|end| whole || picks.contains(&Pick::Mouth(duct.id.clone(), end)))
}

/// Moves mouths. The run becomes longer or shorter by as much as the way between its mouths does.
pub(super) fn shift(scene: &mut Scene, picks: &[Pick], by: Point) {
    let before = scene.clone();
    for duct in &mut scene.ducts {
        let moving = picked(duct, picks);
        let was_m = straight_m(&before, &duct.ends);
        for (end, _) in duct.ends.iter_mut().zip(moving).filter(|(_, moving)| *moving) {
            end.at = [end.at[0] + by[0], end.at[1] + by[1]];
        }
        if moving[0] != moving[1] {
            let now_m = straight_m(&before, &duct.ends);
            duct.length_m = centimetres((duct.length_m + now_m - was_m).max(now_m));
        }
    }
}

/// Takes away every duct that is picked, by a mouth or whole: with one mouth it would be none.
pub(super) fn delete(scene: &mut Scene, picks: &[Pick]) {
    scene.ducts.retain(|duct| picked(duct, picks) == [false; 2]);
}

/// Copies whole ducts beside themselves.
pub(super) fn duplicate(scene: &mut Scene, picks: &[Pick], by: Point) {
    for at in 0..scene.ducts.len() {
        let mut copy = scene.ducts[at].clone();
        if picks.contains(&Pick::Duct(copy.id.clone())) {
            copy.id = DuctId(fresh_id(&copy.id.0, |id| scene.ducts.iter().any(|duct| duct.id.0 == id)));
            for end in &mut copy.ends {
                end.at = [end.at[0] + by[0], end.at[1] + by[1]];
            }
            scene.ducts.push(copy);
        }
    }
}

/// Where the mouths of picked whole ducts are, one coordinate of each.
pub(super) fn places(scene: &Scene, picks: &[Pick], way: usize) -> Vec<f64> {
    let whole = scene.ducts.iter().filter(|duct| picks.contains(&Pick::Duct(duct.id.clone())));
    whole.flat_map(|duct| duct.ends.iter().map(move |end| end.at[way])).collect()
}

/// Moves the mouths of picked whole ducts by a function that keeps distances.
pub(super) fn turn(scene: &mut Scene, picks: &[Pick], to: impl Fn(Point) -> Point) {
    for duct in scene.ducts.iter_mut().filter(|duct| picks.contains(&Pick::Duct(duct.id.clone()))) {
        for end in &mut duct.ends {
            end.at = to(end.at);
        }
    }
}
