//! Out by one façade and in by another: from room to room through the open air.

use std::f64::consts::PI;

use super::super::memory::{PlaceNumber, Ways};
use super::super::overtaken::Overtaken;
use super::by_outdoors::{BEFORE_M, NEAREST_M, OpenAir};
use super::radiating::{RadiatingFace, faces};
use super::string::distance;
use super::worth::{May, Worth};
use super::{PathKind, Transfer, Within};
use crate::acoustics::outdoors::INWARD_FACTOR;

/// Façade parts of less τ·S than this in every band, m², are not followed to other façades: 90 dB under 1 m² of open window.
const LEAST_M2: f64 = 1e-9;
/// So many times what the straight way would bring if nothing stood in it reflections bring at most beside it: they are longer. Own judgement; in the shipped
/// scenes they and the straight way, or the ways round what stands in it, are never more than 0.7 times as much.
const MOST_REFLECTED: f64 = 1.0;

/// From every room's shell to every other room's, into a list that holds all ways that do not lead outdoors. Nothing when overtaken.
///
/// Where sound begins in neither room, a way is followed only if what may come by it counts: most of all pairs of façade parts are such, and hardly any does.
pub(super) fn transfers(
    within: &Within<'_>,
    open_air: &OpenAir,
    into: &mut Vec<Transfer>,
    overtaken: &Overtaken<'_>,
) -> Option<()> {
    let all: Vec<RadiatingFace> = faces(within.building, within.elements)
        .into_iter()
        .filter(|face| face.tau_m2.iter().any(|tau_m2| *tau_m2 > LEAST_M2))
        .collect();
    let known = &mut Ways::default();
    let places: Vec<PlaceNumber> = all.iter().map(|face| known.number(face.place())).collect();
    let mirrors: Vec<u64> = all.iter().map(|face| open_air.mirrors_before(face)).collect();
    let facades = Facades { all: &all, places: &places, mirrors: &mirrors, open_air };
    let begins: Vec<bool> = all.iter().map(|face| within.origins.lie_in(face.room)).collect();
    let mut quiet = Vec::with_capacity(all.len() * all.len() / 2);
    for (a, out) in all.iter().enumerate() {
        if overtaken() {
            return None;
        }
        for (b, back) in all.iter().enumerate().skip(a + 1).filter(|(_, back)| back.room != out.room) {
            if begins[a] || begins[b] {
                into.extend(facades.follow(known, [a, b]));
            } else {
                let mirrored = mirrors[a] & mirrors[b] != 0;
                quiet.push(May { way: [a, b], most_per_m2: most_between(out, back, mirrored) });
            }
        }
    }
    for (at, [a, b]) in Worth::of(within, into).choose(&all, &quiet, within.conditions.left_out).into_iter().enumerate()
    {
        if at % 64 == 0 && overtaken() {
            return None;
        }
        into.extend(facades.follow(known, [a, b]));
    }
    Some(())
}

/// So many times τ·S of both may pass at most from behind one façade part to behind another, 1/m². `mirrored`: whether a mirror may lie before both.
fn most_between(out: &RadiatingFace, back: &RadiatingFace, mirrored: bool) -> f64 {
    let apart_m = distance(out.middle, back.middle);
    // Straight, the wall's directivity and the ground take but away; of three ways round something each is at least 4.8 dB behind (ISO 9613-2:1996, 7.4).
    // Reflections lead from before both walls.
    let (most, nearest_m) = if mirrored { (1.0 + MOST_REFLECTED, apart_m - 2.0 * BEFORE_M) } else { (1.0, apart_m) };
    // A rectangle is nowhere louder than the point that has its power, 1/(π·d²) (EN 12354-4:2000 Annex E, far limit); a quarter of p² falls on a wall.
    let nearest_m = nearest_m.max(NEAREST_M);
    most * INWARD_FACTOR / (4.0 * PI * nearest_m * nearest_m)
}

/// Parts of façades in the open air.
struct Facades<'a> {
    all: &'a [RadiatingFace],
    places: &'a [PlaceNumber],
    /// Which mirrors each lies before.
    mirrors: &'a [u64],
    open_air: &'a OpenAir,
}

impl Facades<'_> {
    /// The way from one to another; nothing when nothing gets by it.
    fn follow(&self, known: &mut Ways, [a, b]: [usize; 2]) -> Option<Transfer> {
        let (out, back) = (&self.all[a], &self.all[b]);
        let ends = [self.places[a], self.places[b]];
        let mirrored = self.mirrors[a] & self.mirrors[b] != 0;
        let way = known.whole_or(ends, |known| self.open_air.facade_to_facade(known, [out, back], mirrored));
        let passed = out.tau_m2.zip(&back.tau_m2, |out, back| INWARD_FACTOR * out * back);
        let transfer = Transfer {
            rooms: [out.room, back.room],
            kind: PathKind::ByOutdoors,
            surfaces: [out.surface, back.surface],
            junction: None,
            area_m2: passed.zip(&way, |passed, way| passed * way),
        };
        Some(transfer).filter(Transfer::passes)
    }
}

#[cfg(test)]
pub(in crate::solve) mod tests {
    use super::super::super::Conditions;
    use super::super::super::element::{Elements, elements};
    use super::super::super::library::Library;
    use super::*;
    use crate::building::{Building, build};
    use crate::catalogue::Catalogue;
    use crate::scene::{Scene, file};

    /// Shipped scenes with houses beside each other and across streets, and what their ways lead through.
    pub(in crate::solve) fn scenes() -> impl Iterator<Item = (Scene, Building, Elements, OpenAir)> {
        let texts = [
            include_str!("../../../scenes/bookshop-terrace.ron"),
            include_str!("../../../scenes/village-hall.ron"),
            include_str!("../../../scenes/music-school.ron"),
        ];
        texts.into_iter().map(|text| {
            let scene = file::from_text(text).unwrap();
            let catalogue = Catalogue::built_in_ref();
            let building = build(&scene, catalogue).unwrap();
            let conditions = Conditions::of(&scene);
            let library = Library::of(&scene, catalogue, &building, &mut Vec::new());
            let elements = elements(&library, &building, &conditions, &mut Vec::new(), &|| false).unwrap();
            let open_air = OpenAir::round(&building, &conditions);
            (scene, building, elements, open_air)
        })
    }

    /// No pair of façade parts of the shipped scenes passes more than is taken for the most, nor is reflected where no mirror is before both.
    #[test]
    fn nothing_passes_more_than_the_most() {
        for (scene, building, elements, open_air) in scenes() {
            let all = faces(&building, &elements);
            let mirrors: Vec<u64> = all.iter().map(|face| open_air.mirrors_before(face)).collect();
            let mut ways = Ways::default();
            for (at, out) in all.iter().enumerate() {
                for (other, back) in all.iter().enumerate().skip(at + 1).filter(|(_, back)| back.room != out.room) {
                    let way = open_air.facade_to_facade(&mut ways, [out, back], true);
                    let mirrored = mirrors[at] & mirrors[other] != 0;
                    let (passed, most) = (INWARD_FACTOR * way.largest(), most_between(out, back, mirrored));
                    assert!(passed <= most, "{}: {passed} of {most}, {out:?} to {back:?}", scene.name);
                    // Where no mirror lies before both, none is missed.
                    if !mirrored {
                        assert_eq!(open_air.facade_to_facade(&mut ways, [out, back], false), way);
                    }
                }
            }
        }
    }
}
