//! What every opening does to sound: its pane or leaf, the gap round it and under it, and whatever stands before it.

use std::borrow::Cow;

use super::conditions::Conditions;
use super::construction::{Body, add, resolve};
use super::front::{FrontLayers, gain};
use super::library::Library;
use super::spread::Spread;
use super::workmanship;
use crate::acoustics::slit::Slit;
use crate::acoustics::{Spectrum, flanking};
use crate::building::{OpeningFront, PlacedOpening};
use crate::catalogue::material::Nature;
use crate::catalogue::{Construction, ConstructionKind};
use crate::scene::Cover;

/// A gap is as deep as the rebate it runs through, m, however far apart the panes of a window are. Own limits, common practice.
const LEAST_REBATE_M: f64 = 0.02;
const MOST_REBATE_M: f64 = 0.06;
/// Absorption coefficient of panes and bare reveal between two frames. Own figure, low, so that the second seal is not overrated.
const REVEAL_ALPHA: f64 = 0.05;
/// The same of a porous blanket round the reveal. Own judgement: what 25 to 50 mm of mineral wool swallow in the bands that gaps pass.
const BLANKET_ALPHA: f64 = 0.8;
/// The gap in which a cover is closed off at least, m: one that lies on the pane leaves no more.
const LEAST_GAP_M: f64 = 0.005;

/// An opening, ready for paths.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningInSitu {
    /// τ·S through the pane, leaf or hole, and what stands before it, m².
    pub tau_m2: Spectrum,
    /// τ·S through the gaps: round it, under it, and round and between what stands before it, m².
    pub gap_m2: Spectrum,
    /// True when there is nothing in it.
    pub hole: bool,
    /// How far its R may be off.
    pub spread: Spread,
    /// The gains of its cover panels, each with the cover it belongs to.
    pub covers: Vec<CoverGain>,
}

/// A cover panel before an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverGain {
    /// Side of the element it stands on.
    pub side: usize,
    /// What it is.
    pub cover: Cover,
    /// What pane and cover together gain over the pane alone, gaps not counted, dB; negative where it makes things worse.
    pub gain_db: Spectrum,
    /// τ·S of the board alone, of the gap round its edge and of the joints between its pieces, m².
    pub board_edge_joints_m2: [Spectrum; 3],
    /// Resonance of pane and cover on the air between them, Hz; 0 where there is no pane.
    pub resonance_hz: f64,
    /// Mass per area of the board, kg/m².
    pub mass_kg_m2: f64,
}

/// Leaf and gaps as they stand so far, from the opening outwards.
struct OpeningBuild<'a> {
    what: &'a Construction,
    /// The layers so far; nothing for a vent or a hole.
    layers: Option<Cow<'a, Construction>>,
    leaf_m2: Spectrum,
    gap_m2: Spectrum,
    hole: bool,
}

/// What one more thing before the opening is.
struct NextLeaf {
    before: FrontLayers,
    /// τ·S of its own gaps, m².
    gap_m2: Spectrum,
    /// The part of them that joints between its pieces have, m².
    joints_m2: Spectrum,
    /// Absorption area of the space between, m².
    absorption_m2: f64,
    /// Its size, m.
    size_m: [f64; 2],
}

/// What one more leaf before an opening gains.
struct LeafGain {
    gain_db: Spectrum,
    resonance_hz: f64,
    /// τ·S of that leaf alone, m².
    alone_m2: Spectrum,
}

pub(super) fn opening_in_situ(
    opening: &PlacedOpening,
    library: &Library<'_>,
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> OpeningInSitu {
    let (Some(resolved), Some(construction)) =
        (library.get(&opening.construction), library.find(&opening.construction))
    else {
        return OpeningInSitu {
            tau_m2: Spectrum::ZERO,
            gap_m2: Spectrum::ZERO,
            hole: false,
            spread: Spread::Hole,
            covers: vec![],
        };
    };
    let tau = resolved.laboratory_tau(opening.size_m, conditions);
    let thickness_m = construction.thickness_m();
    let depth_m = thickness_m.clamp(LEAST_REBATE_M, MOST_REBATE_M);
    let seal_mm_round = seal_mm(library, opening.seal.as_ref());
    let gap_mm = workmanship::opening_gap_mm(opening.workmanship, seal_mm_round, construction.kind);
    if let Some(words) = workmanship::words(opening.workmanship) {
        notes.push(format!("{} {words}.", opening.name));
    }
    let [width_m, height_m] = opening.size_m;
    let round = slit_area_m2(gap_mm, depth_m, 2.0 * (width_m + height_m), conditions);
    let under = slit_area_m2(opening.undercut_mm, depth_m, width_m, conditions);
    let shell_m2 = reveal_m2(opening.size_m, thickness_m);
    let mut built = OpeningBuild {
        what: construction,
        layers: Some(Cow::Borrowed(construction)),
        leaf_m2: tau.map(|tau| tau * opening.area_m2()),
        gap_m2: one_after_another_m2(&add(&round, &under), construction.frames(), REVEAL_ALPHA * shell_m2),
        hole: resolved.body == Body::Open,
    };
    // A vent closed off by something passes what a gap would.
    if let Body::Small { dne_db } = &resolved.body
        && opening.fronts.iter().any(|fronts| !fronts.is_empty())
    {
        built.layers = None;
        built.leaf_m2 = Spectrum::ZERO;
        built.gap_m2 = flanking::path_area_from_dn_m2(dne_db);
    }
    let mut covers = vec![];
    let mut spread = Spread::of(resolved);
    for (side, fronts) in opening.fronts.iter().enumerate() {
        for front in fronts {
            match next_leaf(front, opening, library, conditions) {
                Err(why) => notes.push(format!("Before {}: {why}", opening.name)),
                Ok(None) => {}
                Ok(Some(next)) => {
                    spread = spread.behind_a_leaf();
                    let gain = built.behind(&next, side == 0, library, conditions, notes);
                    if let (OpeningFront::Cover(cover), Some(LeafGain { gain_db, resonance_hz, alone_m2 })) =
                        (front, gain)
                    {
                        let (cover, mass_kg_m2) = (cover.clone(), next.before.mass_kg_m2);
                        let edge_m2 = next.gap_m2.zip(&next.joints_m2, |all, joints| all - joints);
                        let board_edge_joints_m2 = [alone_m2, edge_m2, next.joints_m2];
                        covers.push(CoverGain { side, cover, gain_db, board_edge_joints_m2, resonance_hz, mass_kg_m2 });
                    }
                }
            }
        }
    }
    OpeningInSitu { tau_m2: built.leaf_m2, gap_m2: built.gap_m2, hole: built.hole, spread, covers }
}

impl OpeningBuild<'_> {
    /// Puts one more leaf before what is there: the two leaves as one build, and all that passes a gap of either by the small space between them.
    /// What the leaves gain, and their resonance; of what has no layers, how much less passes in all.
    fn behind(
        &mut self,
        next: &NextLeaf,
        at_start: bool,
        library: &Library<'_>,
        conditions: &Conditions,
        notes: &mut Vec<String>,
    ) -> Option<LeafGain> {
        let alone = resolve(library.catalogue, &next.before.alone(self.what)).ok()?;
        let alone_m2 = alone.laboratory_tau(next.size_m, conditions).map(|tau| tau * next.size_m[0] * next.size_m[1]);
        let before_m2 = add(&self.leaf_m2, &self.gap_m2);
        let outer_m2 = add(&alone_m2, &next.gap_m2);
        let gap_m2 = Spectrum::from_fn(|band| {
            let (first, second) = (before_m2[band], outer_m2[band]);
            let leaves_only = self.leaf_m2[band] * alone_m2[band];
            (first * second - leaves_only).max(0.0) / (next.absorption_m2 + first + second)
        });
        if self.hole {
            // Nothing was there: the new leaf takes its place.
            self.leaf_m2 = alone_m2;
            self.gap_m2 = next.gap_m2;
            self.layers = Some(Cow::Owned(next.before.alone(self.what)));
            self.hole = false;
            let gain_db = before_m2.zip(&alone_m2, |before, alone| 10.0 * (before / alone).log10());
            return Some(LeafGain { gain_db, resonance_hz: 0.0, alone_m2 });
        }
        self.gap_m2 = gap_m2;
        let Some(like) = self.layers.take() else {
            let gain_db = before_m2.zip(&gap_m2, |before, after| 10.0 * (before / after).log10());
            return Some(LeafGain { gain_db, resonance_hz: 0.0, alone_m2 });
        };
        let gained = gain(library.catalogue, &like, &next.before, at_start, next.size_m, conditions);
        let part = gained.inspect_err(|why| notes.push(why.clone())).ok()?;
        self.leaf_m2 = self.leaf_m2.less_db(&part.gain_db);
        self.layers = super::front::together(library.catalogue, &like, &next.before, at_start).map(Cow::Owned);
        Some(LeafGain { gain_db: part.gain_db, resonance_hz: part.resonance_hz, alone_m2 })
    }
}

fn next_leaf(
    front: &OpeningFront,
    opening: &PlacedOpening,
    library: &Library<'_>,
    conditions: &Conditions,
) -> Result<Option<NextLeaf>, String> {
    let [width_m, height_m] = opening.size_m;
    Ok(match front {
        OpeningFront::Cover(cover) if !cover.on => None,
        OpeningFront::Cover(cover) => {
            let before = FrontLayers::cover(cover, library)?;
            let size_m = [0, 1].map(|axis| opening.size_m[axis] + 2.0 * cover.overlap_mm / 1000.0);
            let gap_m = (cover.gap_mm / 1000.0).max(LEAST_GAP_M);
            let rim_m2 = 2.0 * (width_m + height_m) * gap_m;
            let rim_alpha = match &cover.reveal {
                Some((material, _)) if is_porous(library, material) => BLANKET_ALPHA,
                _ => REVEAL_ALPHA,
            };
            let seal = |id: Option<&String>| {
                workmanship::opening_gap_mm(cover.workmanship, seal_mm(library, id), ConstructionKind::Door)
            };
            let depth_m = rebate_m(&before);
            let edge = slit_area_m2(seal(cover.seal.as_ref()), depth_m, 2.0 * (size_m[0] + size_m[1]), conditions);
            let joints =
                slit_area_m2(seal(cover.joint_seal.as_ref()), depth_m, cover.joints_m(opening.size_m), conditions);
            let absorption_m2 = REVEAL_ALPHA * 2.0 * width_m * height_m + rim_alpha * rim_m2;
            Some(NextLeaf { before, gap_m2: add(&edge, &joints), joints_m2: joints, absorption_m2, size_m })
        }
        OpeningFront::Shell(shell) => {
            let before = FrontLayers::shell(shell, library)?.across_opening();
            let edge_m2 = workmanship::edge_m2(before.workmanship, false, before.mass_kg_m2, opening.size_m);
            let absorption_m2 = before.gap_alpha() * 2.0 * width_m * height_m;
            let gap_m2 = Spectrum::splat(edge_m2);
            Some(NextLeaf { before, gap_m2, joints_m2: Spectrum::ZERO, absorption_m2, size_m: opening.size_m })
        }
        // A hole in the shell leaves what is behind it as it is.
        OpeningFront::Leaf { leaf, .. }
            if library.find(&leaf.construction).is_some_and(|found| found.kind == ConstructionKind::Open) =>
        {
            None
        }
        OpeningFront::Leaf { leaf, gap_mm } => {
            let before = FrontLayers::leaf(&leaf.construction, *gap_mm, library)?;
            let kind = library.find(&leaf.construction).map_or(ConstructionKind::Open, |found| found.kind);
            let gap = workmanship::opening_gap_mm(leaf.workmanship, seal_mm(library, leaf.seal.as_ref()), kind);
            let depth_m = rebate_m(&before);
            let round = slit_area_m2(gap, depth_m, 2.0 * (width_m + height_m), conditions);
            let under = slit_area_m2(leaf.undercut_mm, depth_m, width_m, conditions);
            let rim_m2 = 2.0 * (width_m + height_m) * (gap_mm / 1000.0).max(LEAST_GAP_M);
            let absorption_m2 = REVEAL_ALPHA * (2.0 * width_m * height_m + rim_m2);
            let gap_m2 = add(&round, &under);
            Some(NextLeaf { before, gap_m2, joints_m2: Spectrum::ZERO, absorption_m2, size_m: opening.size_m })
        }
    })
}

fn rebate_m(before: &FrontLayers) -> f64 {
    let thickness_mm: f64 = before.layers.iter().map(crate::catalogue::Layer::thickness_mm).sum();
    (thickness_mm / 1000.0).clamp(LEAST_REBATE_M, MOST_REBATE_M)
}

fn is_porous(library: &Library<'_>, material: &str) -> bool {
    library.catalogue.materials.get(material).is_some_and(|found| matches!(found.nature, Nature::Porous { .. }))
}

fn seal_mm(library: &Library<'_>, seal: Option<&String>) -> f64 {
    seal.and_then(|seal| library.catalogue.seals.get(seal)).map_or(0.0, |seal| seal.gap_mm)
}

/// Panes and bare reveal between two frames, m².
fn reveal_m2([width_m, height_m]: [f64; 2], thickness_m: f64) -> f64 {
    2.0 * width_m * height_m + 2.0 * (width_m + height_m) * thickness_m
}

/// τ·S of the gap round a window or door by itself, m²; `gap_mm` is its seal's.
pub(super) fn gap_round_m2(
    gap_mm: f64,
    construction: &Construction,
    size_m: [f64; 2],
    conditions: &Conditions,
) -> Spectrum {
    let thickness_m = construction.thickness_m();
    let depth_m = thickness_m.clamp(LEAST_REBATE_M, MOST_REBATE_M);
    let round = slit_area_m2(gap_mm, depth_m, 2.0 * (size_m[0] + size_m[1]), conditions);
    one_after_another_m2(&round, construction.frames(), REVEAL_ALPHA * reveal_m2(size_m, thickness_m))
}

/// Gaps of equal τ·S (m²) one behind the other, a small space of absorption area `absorption_m2` between each two: coupled rooms, as in
/// [`super::balance`]. One gap for one frame.
fn one_after_another_m2(gap_m2: &Spectrum, frames: usize, absorption_m2: f64) -> Spectrum {
    (1..frames)
        .fold(*gap_m2, |before, _| before.zip(gap_m2, |before, gap| before * gap / (absorption_m2 + before + gap)))
}

fn slit_area_m2(gap_mm: f64, depth_m: f64, length_m: f64, conditions: &Conditions) -> Spectrum {
    // A seal is worth a slit of some effective width; under a hundredth of a millimetre it is tight.
    if !(gap_mm.is_finite() && gap_mm >= 0.01) {
        return Spectrum::ZERO;
    }
    let width_m = gap_mm / 1000.0;
    let Ok(slit) = Slit::new(width_m, depth_m) else { return Spectrum::ZERO };
    // The lossless slit rings; friction in narrow ones does not let it, and seals' widths are meant with τ of 1 at most.
    conditions.bands.map(|hz| slit.transmission(&conditions.element_air, hz).min(1.0) * width_m * length_m)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Coupled rooms by hand: 0.01 m² into 0.18 m² of absorption and two gaps, 0.01 m² out again; and never more than half of one.
    #[test]
    fn a_second_sealed_frame_stands_behind_the_first() {
        let gap_m2 = Spectrum::splat(0.01);
        assert_eq!(one_after_another_m2(&gap_m2, 1, 0.18), gap_m2);
        let two_m2 = one_after_another_m2(&gap_m2, 2, 0.18)[0];
        assert!((two_m2 - 0.01 * 0.01 / 0.2).abs() < 1e-15, "{two_m2}");
        assert!(one_after_another_m2(&gap_m2, 2, 0.0)[0] <= 0.005);
    }
}
