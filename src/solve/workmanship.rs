//! What faults of building cost: connections that should give and are held, edges left open, seals that drag or are missing.
//!
//! A fault never helps here: in bands where a short-circuited build would do better than the drawn one (at a resonance it no longer has), it counts
//! as no better. All figures are own judgement or common practice, none is published; they are of the size that one known retest
//! shows: closing the edge, freeing resilient bars and filling holes for lamps gained about 10 dB.

use super::conditions::Conditions;
use super::construction::{Body, Resolved, Unusable, resolve};
use super::opening::gap_round_m2;
use crate::acoustics::flanking::FlankingElement;
use crate::acoustics::{Air, Bands, Spectrum};
use crate::catalogue::{Bridge, Build, Catalogue, Construction, ConstructionKind, Layer};
use crate::scene::Workmanship;

/// Part of the area that acts as if held fast when a few screws and droppings bridge what should give. Own judgement: one fixing in twenty.
const BRIDGED_SHARE: f64 = 0.05;
/// The same of a usual good job: one fixing in a hundred. Own judgement: a bridge here and there is found in every retest.
const USUAL_SHARE: f64 = 0.01;
/// From this mass per area the edge of an element is mortar or concrete, not boards, kg/m². Own limit, as for heavy leaves.
const MASONRY_KG_M2: f64 = 60.0;
/// Open joint round boards, counted as τ = 1, of a usual job, when there are small faults and when it was never closed, mm: 56, 49 and 29 dB for 4 m by
/// 2.5 m. Own judgement: one bead of sealant and none are said to leave good partitions the two latter (from unverified); a usual job costs a
/// partition of STC 55 three and one of STC 50 one of the 5 dB that codes allow between laboratory and field (IBC 1206: STC 50, 45 in the field).
const BOARD_GAP_MM: [f64; 3] = [0.002, 0.01, 1.0];
/// The same round walls of masonry and concrete, joints not filled, holes round pipes, joist pockets, strips behind skirtings that no plaster covers: 56, 54 and
/// 39 dB. The first is where the house party wall grade ends, the mean of measured plastered one-brick walls in houses: DnT 56 dB from 1.6 to 3.15 kHz,
/// where the brick alone would pass 10 dB less (BS CP 3 Chapter III, 1960; from unverified). The others are own judgement.
const MASONRY_GAP_MM: [f64; 3] = [0.002, 0.003, 0.1];
/// The same round floors of concrete, which are cast against the walls and have few holes: 63, 55 and 40 dB for 4 m by 4 m. Own judgement.
const HEAVY_SLAB_GAP_MM: [f64; 3] = [0.0005, 0.003, 0.1];
/// The same round light floors and roofs: 57, 50 and 40 dB. Own judgement: skirting and ceiling plaster cover most of the edge.
const LIGHT_SLAB_GAP_MM: [f64; 3] = [0.002, 0.01, 0.1];
/// What a usual job leaves open round two leaves that nothing joins, each closed by itself, against one: a hole in one leads into the cavity only. Own
/// judgement, 66 dB round masonry: twin walls of terraced houses reach R'w 67 dB in the field (DIN 4109 Beiblatt 1:1989, 2.3; from unverified).
const CLOSED_TWICE: f64 = 0.1;
/// The gap of an opening without its seal, mm: that of the seal "none". Common practice, no source.
const NO_SEAL_MM: f64 = 3.0;
/// The gap of the seal taken for a window or door by itself, mm: that of one compression seal. Common practice, no source.
const USUAL_SEAL_MM: f64 = 0.15;
/// One step worse of a seal: so many times its gap. Own judgement: the steps of the table of seals.
const WORSE_SEAL: f64 = 3.0;
/// Spacing taken for studs or joists where nothing joined the leaves, mm. Common practice, no source.
const USUAL_STUDS_MM: f64 = 600.0;
const USUAL_JOISTS_MM: f64 = 400.0;

/// What a connection becomes when it is held fast; nothing for one that never gave. Own judgement, the nearest rigid kind there is.
#[must_use]
pub fn rigid_counterpart(bridge: Bridge, kind: ConstructionKind) -> Option<Bridge> {
    let studs_or_joists = |studs_mm, joists_mm| {
        if is_slab(kind) {
            Bridge::Joists { spacing_mm: joists_mm }
        } else {
            Bridge::TimberStuds { spacing_mm: studs_mm }
        }
    };
    match bridge {
        Bridge::Free => Some(studs_or_joists(USUAL_STUDS_MM, USUAL_JOISTS_MM)),
        // A screw too long goes through the bar into the stud or joist behind it.
        Bridge::ResilientBars { spacing_mm } => Some(studs_or_joists(spacing_mm, spacing_mm)),
        Bridge::StaggeredStuds { spacing_mm } => Some(Bridge::TimberStuds { spacing_mm }),
        Bridge::Springs { per_m2, .. } | Bridge::Hangers { per_m2, resilient: true } => {
            Some(Bridge::Hangers { per_m2, resilient: false })
        }
        Bridge::Hangers { resilient: false, .. }
        | Bridge::TimberStuds { .. }
        | Bridge::LightSteelStuds { .. }
        | Bridge::Joists { .. }
        | Bridge::Battens { .. }
        | Bridge::WallTies { .. }
        | Bridge::RigidTies { .. }
        | Bridge::SealedUnitSpacer
        | Bridge::CommonReveal
        | Bridge::AbsorbentReveal
        | Bridge::DoorCore => None,
    }
}

fn is_slab(kind: ConstructionKind) -> bool {
    matches!(kind, ConstructionKind::Floor | ConstructionKind::Ground | ConstructionKind::Roof)
}

/// The construction with everything that should give held fast, ready to compute: connections as [`rigid_counterpart`] says, floating plates
/// lying on what is under them (their mass alone helps), two masonry leaves with their cavity full of mortar. Nothing when it has no such part.
///
/// # Errors
///
/// When a layer cannot be computed.
pub fn short_circuited(catalogue: &Catalogue, construction: &Construction) -> Result<Option<Resolved>, Unusable> {
    let Build::Layers(layers) = &construction.build else { return Ok(None) };
    let twin = matches!(resolve(catalogue, construction)?.body, Body::Twin { .. });
    let held: Vec<Layer> = layers
        .iter()
        .filter_map(|layer| match layer {
            Layer::Resilient { .. } => None,
            Layer::Cavity { .. } if twin => None,
            Layer::Cavity { depth_mm, fill, bridge } => Some(Layer::Cavity {
                depth_mm: *depth_mm,
                fill: fill.clone(),
                bridge: rigid_counterpart(*bridge, construction.kind).unwrap_or(*bridge),
            }),
            Layer::Sheet { .. } => Some(layer.clone()),
        })
        .collect();
    if held == *layers {
        return Ok(None);
    }
    resolve(catalogue, &Construction { build: Build::Layers(held), ..construction.clone() }).map(Some)
}

/// Part of the area held fast.
#[must_use]
pub fn held_share(workmanship: Workmanship) -> f64 {
    match workmanship {
        Workmanship::AsDrawn | Workmanship::Unsealed => 0.0,
        Workmanship::Usual => USUAL_SHARE,
        Workmanship::SmallFaults => BRIDGED_SHARE,
        Workmanship::Bridged | Workmanship::ShortCircuited => 1.0,
    }
}

/// Transmission of a build of which a part is held fast, the two side by side: (1 − φ)·τ + φ·τ of what is held, no less than the drawn one's.
#[must_use]
pub fn side_by_side(drawn: &Spectrum, held: &Spectrum, share: f64) -> Spectrum {
    drawn.zip(held, |drawn, held| (1.0 - share) * drawn + share * held.max(drawn))
}

/// The same for an element of a flanking path. What is lost comes off the lining's gain first.
#[must_use]
pub fn flanking_side_by_side(drawn: &FlankingElement, held: &FlankingElement, share: f64) -> FlankingElement {
    let whole =
        |element: &FlankingElement| element.tau.zip(&element.delta_r_db, |tau, gain| tau * 10f64.powf(-gain / 10.0));
    let total = side_by_side(&whole(drawn), &whole(held), share);
    let delta_r_db = Spectrum::from_fn(|band| {
        let left_db = 10.0 * (drawn.tau[band] / total[band]).log10();
        let least_db = drawn.delta_r_db[band].min(0.0);
        if left_db.is_finite() { left_db.max(least_db) } else { least_db }
    });
    FlankingElement { tau: total.zip(&delta_r_db, |total, gain| total * 10f64.powf(gain / 10.0)), delta_r_db, ..*drawn }
}

/// τ·S of the open joint round an element of `size_m`, m². Such a joint runs in corners and is of uneven width, so it does not ring as a straight slit
/// does: it counts as open area of some effective width in every band. `slab`: a floor or roof, not a wall.
#[must_use]
pub fn edge_m2(workmanship: Workmanship, slab: bool, mass_kg_m2: f64, size_m: [f64; 2]) -> f64 {
    let gaps_mm = match (mass_kg_m2 >= MASONRY_KG_M2, slab) {
        (true, true) => HEAVY_SLAB_GAP_MM,
        (true, false) => MASONRY_GAP_MM,
        (false, true) => LIGHT_SLAB_GAP_MM,
        (false, false) => BOARD_GAP_MM,
    };
    let gap_mm = match workmanship {
        Workmanship::AsDrawn => 0.0,
        Workmanship::Usual => gaps_mm[0],
        Workmanship::SmallFaults | Workmanship::Bridged => gaps_mm[1],
        Workmanship::Unsealed | Workmanship::ShortCircuited => gaps_mm[2],
    };
    gap_mm / 1000.0 * 2.0 * (size_m[0] + size_m[1])
}

/// Part of [`edge_m2`] that leads from side to side: all of it but for a usual job with two leaves that nothing joins.
#[must_use]
pub(super) fn edge_share(workmanship: Workmanship, construction: &Construction, drawn: &Resolved) -> f64 {
    let free = |layer: &Layer| matches!(layer, Layer::Cavity { bridge: Bridge::Free, .. });
    let apart = matches!(drawn.body, Body::Twin { .. })
        || matches!(&construction.build, Build::Layers(layers) if layers.iter().any(free));
    if apart && workmanship == Workmanship::Usual { CLOSED_TWICE } else { 1.0 }
}

/// The gap round an opening, mm, from its seal's. A vent or a hole has no seal to spoil.
#[must_use]
pub fn opening_gap_mm(workmanship: Workmanship, seal_gap_mm: f64, kind: ConstructionKind) -> f64 {
    let missing_mm = match kind {
        ConstructionKind::Vent | ConstructionKind::Open => seal_gap_mm,
        _ => seal_gap_mm.max(NO_SEAL_MM),
    };
    match workmanship {
        // A seal's gap is already the likely one of those met in use.
        Workmanship::AsDrawn | Workmanship::Usual => seal_gap_mm,
        Workmanship::SmallFaults | Workmanship::Bridged => (WORSE_SEAL * seal_gap_mm).min(missing_mm),
        Workmanship::Unsealed | Workmanship::ShortCircuited => missing_mm,
    }
}

/// Standard uncertainty of a value that a state of workmanship adds by itself, dB, for the odds of an answer. Own judgement, held to the spread between
/// buildings of one build: 3 to 4 dB for single walls of one kind (house party wall grade, from unverified), of which measuring explains about 1 dB
/// (ISO 12999-1, from unverified); faults are known less well than a usual job.
#[must_use]
pub fn uncertainty_db(workmanship: Workmanship) -> f64 {
    match workmanship {
        Workmanship::AsDrawn => 1.0,
        Workmanship::Usual => 2.0,
        Workmanship::SmallFaults => 3.0,
        Workmanship::Bridged | Workmanship::Unsealed | Workmanship::ShortCircuited => 4.0,
    }
}

/// What is said of it in the notes: "is taken as built with small faults".
#[must_use]
pub fn words(workmanship: Workmanship) -> Option<&'static str> {
    match workmanship {
        // The usual is said of no element: the notes would say it of nearly all.
        Workmanship::AsDrawn | Workmanship::Usual => None,
        Workmanship::SmallFaults => Some("is taken as built with small faults"),
        Workmanship::Bridged => Some("is taken as bridged, its edge with small faults"),
        Workmanship::Unsealed => Some("is taken as unsealed"),
        Workmanship::ShortCircuited => Some("is taken as short-circuited and unsealed"),
    }
}

/// R of a construction of `size_m` by itself in a state of workmanship, dB: what a laboratory would measure of it, edge included. A window or door is
/// drawn as closed all round here, and its seal counts as one compression seal where there are faults; a vent or hole has no faults.
///
/// # Errors
///
/// When a layer cannot be computed.
pub fn reduction_as(
    workmanship: Workmanship,
    catalogue: &Catalogue,
    construction: &Construction,
    size_m: [f64; 2],
    air: &Air,
    bands: &Bands,
) -> Result<Spectrum, Unusable> {
    let conditions = Conditions::of_laboratory(air, bands);
    let drawn = resolve(catalogue, construction)?;
    let mut tau = drawn.laboratory_tau(size_m, &conditions);
    if held_share(workmanship) > 0.0
        && let Some(held) = short_circuited(catalogue, construction)?
    {
        tau = side_by_side(&tau, &held.laboratory_tau(size_m, &conditions), held_share(workmanship));
    }
    let edge_m2 = match construction.kind {
        ConstructionKind::Vent | ConstructionKind::Open => Spectrum::ZERO,
        ConstructionKind::Window | ConstructionKind::Door => {
            let [built, drawn] = [workmanship, Workmanship::AsDrawn].map(|state| {
                let gap_mm = opening_gap_mm(state, USUAL_SEAL_MM, construction.kind);
                gap_round_m2(gap_mm, construction, size_m, &conditions)
            });
            built.zip(&drawn, |built, drawn| (built - drawn).max(0.0))
        }
        _ => Spectrum::splat(
            edge_m2(workmanship, is_slab(construction.kind), drawn.mass_kg_m2, size_m)
                * edge_share(workmanship, construction, &drawn),
        ),
    };
    let area_m2 = size_m[0] * size_m[1];
    Ok(tau.zip(&edge_m2, |tau, edge_m2| (tau + edge_m2 / area_m2).min(1.0)).r_db_from_tau())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_worse_seal_never_gaps_more_than_a_missing_one() {
        for gap_mm in [0.0, 0.04, 0.15, 0.8, 2.0, 4.0] {
            let gap = |state| opening_gap_mm(state, gap_mm, ConstructionKind::Door);
            let [drawn, faults, missing] =
                [Workmanship::AsDrawn, Workmanship::SmallFaults, Workmanship::ShortCircuited].map(gap);
            assert!(drawn <= faults && faults <= missing && missing >= NO_SEAL_MM, "{gap_mm}: {faults} {missing}");
        }
        assert!(opening_gap_mm(Workmanship::ShortCircuited, 0.0, ConstructionKind::Vent).abs() < 1e-12);
    }

    /// By hand: 5 % at τ = 0.01 beside 95 % at 0.0001.
    #[test]
    fn parts_lie_side_by_side() {
        let mixed = side_by_side(&Spectrum::splat(1e-4), &Spectrum::splat(1e-2), 0.05);
        assert!((mixed[0] - 5.95e-4).abs() < 1e-12, "{}", mixed[0]);
        assert_eq!(side_by_side(&Spectrum::splat(0.1), &Spectrum::splat(0.01), 1.0), Spectrum::splat(0.1));
    }

    /// An element whose lining is held loses the lining's gain, and its base stays.
    #[test]
    fn a_flanking_element_loses_its_lining_first() {
        let element = |tau, delta_db| FlankingElement {
            tau: Spectrum::splat(tau),
            area_m2: 10.0,
            absorption_length_m: Spectrum::splat(10.0),
            delta_r_db: Spectrum::splat(delta_db),
        };
        let lost = flanking_side_by_side(&element(1e-4, 20.0), &element(1e-4, 0.0), 1.0);
        assert!((lost.tau[0] - 1e-4).abs() < 1e-15 && lost.delta_r_db[0].abs() < 1e-9);
        let worse = flanking_side_by_side(&element(1e-4, 0.0), &element(1e-3, 0.0), 1.0);
        assert!((worse.tau[0] - 1e-3).abs() < 1e-12 && worse.delta_r_db[0].abs() < 1e-9);
    }
}
