//! Sound round a junction: from vibration to a flanking sound reduction index (ISO 12354-1, detailed and simplified models).

use super::air::Air;
use super::bands::{Bands, Spectrum};
use std::f64::consts::PI;

/// Reference equivalent absorption area A0, m². Source: ISO 12354-1:2017, 3.
pub const REFERENCE_AREA_M2: f64 = 10.0;
/// Reference coupling length l0, m. Source: ISO 12354-1:2017, 3.
const REFERENCE_LENGTH_M: f64 = 1.0;
/// Reference frequency of the equivalent absorption length, Hz. Source: ISO 12354-1:2017, 4.
const REFERENCE_HZ: f64 = 1000.0;

/// Equivalent absorption length of a homogeneous (type A) element, m: a = 2.2π²·S/(c0·Ts)·√(1000/f) with Ts = 2.2/(f·η).
///
/// Source: ISO 12354-1:2017, 4.2.2.
#[must_use]
pub fn absorption_length_m(area_m2: f64, total_loss: &Spectrum, bands: &Bands, air: &Air) -> Spectrum {
    Spectrum::from_fn(|band| {
        let hz = bands.hz(band);
        PI * PI * area_m2 * hz * total_loss[band] / air.speed_m_s() * (REFERENCE_HZ / hz).sqrt()
    })
}

/// Equivalent absorption length of a layered light (type B) element, m: a = S/l0 with l0 = 1 m, for its vibration dies out
/// before it reaches the other edges. Source: ISO 12354-1:2017, 4.2.2.
#[must_use]
pub fn absorption_length_light_m(area_m2: f64) -> Spectrum {
    Spectrum::splat(area_m2 / REFERENCE_LENGTH_M)
}

/// D̄v,ij in situ, dB: Kij − 10 lg(l_ij/√(a_i·a_j)), never below 0. Source: ISO 12354-1:2017, 4.2.2.
#[must_use]
pub fn velocity_level_difference_db(kij_db: &Spectrum, length_m: f64, a_i_m: &Spectrum, a_j_m: &Spectrum) -> Spectrum {
    Spectrum::from_fn(|band| (kij_db[band] - 10.0 * (length_m / (a_i_m[band] * a_j_m[band]).sqrt()).log10()).max(0.0))
}

/// One element of a flanking path: the one sound enters by, or the one it comes out of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Transmission coefficient of the bare element. Heavy: the whole R in situ, as in the standard's Annex L, on the safe side below fc.
    /// Light: R*, the resonant part ([`super::heavy::resonant_tau_of_light`]; [`super::heavy::resonant_transmission`] for thin plates).
    pub tau: Spectrum,
    /// Area on its own room's side, m², above zero.
    pub area_m2: f64,
    /// Equivalent absorption length, m.
    pub absorption_length_m: Spectrum,
    /// Improvement by the lining on its own room's side, dB; negative where the lining harms.
    pub delta_r_db: Spectrum,
}

/// What a flanking path i → j passes, as an area with τ = 1, m²: Ss·τij = √(τi·τj)·√(Si·Sj)·10^(−(ΔRi + ΔRj + D̄v)/10).
///
/// Free of the separating element's area, so it also serves rooms that share none. It is the same both ways.
/// Source: ISO 12354-1:2017, 4.2 (R_ij = R_i/2 + R_j/2 + ΔR_i + ΔR_j + D̄v,ij + 10 lg(Ss/√(S_i·S_j))).
#[must_use]
pub fn path_area_m2(i: &Leg, j: &Leg, velocity_level_difference_db: &Spectrum) -> Spectrum {
    let sides_m2 = (i.area_m2 * j.area_m2).sqrt();
    Spectrum::from_fn(|band| {
        let lost_db = i.delta_r_db[band] + j.delta_r_db[band] + velocity_level_difference_db[band];
        (i.tau[band] * j.tau[band]).sqrt() * sides_m2 * 10f64.powf(-lost_db / 10.0)
    })
}

/// A leg with its powers and roots taken once, for all paths it is part of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LegFactors {
    /// S, m².
    pub area_m2: f64,
    /// √(τ·S)·10^(−ΔR/10), m.
    passed: Spectrum,
    /// 1/√a, m^(−1/2).
    kept: Spectrum,
}

impl LegFactors {
    /// Of a leg.
    #[must_use]
    pub fn of(leg: &Leg) -> Self {
        Self {
            area_m2: leg.area_m2,
            passed: leg.tau.map(|tau| (tau * leg.area_m2).sqrt()).less_db(&leg.delta_r_db),
            kept: leg.absorption_length_m.map(|length_m| 1.0 / length_m.sqrt()),
        }
    }
}

/// [`path_area_m2`] with the [`velocity_level_difference_db`] of a junction of `length_m`; `kij_factor` is 10^(−Kij/10).
#[must_use]
pub fn path_area_of_factors_m2(i: &LegFactors, j: &LegFactors, length_m: f64, kij_factor: &Spectrum) -> Spectrum {
    Spectrum::from_fn(|band| {
        let carried = (kij_factor[band] * length_m * (i.kept[band] * j.kept[band])).min(1.0);
        i.passed[band] * j.passed[band] * carried
    })
}

/// Sound reduction index of a path related to an area Ss (m²), dB: R = 10 lg(Ss/(τS)).
#[must_use]
pub fn r_from_path_area_db(path_area_m2: &Spectrum, separating_area_m2: f64) -> Spectrum {
    path_area_m2.map(|area| 10.0 * (separating_area_m2 / area).log10())
}

/// What a small element of known Dn,e (or a flanking construction of known Dn,f) passes, m²: A0·10^(−Dn/10).
/// Source: ISO 12354-1:2017, 4.
#[must_use]
pub fn path_area_from_dn_m2(dn_db: &Spectrum) -> Spectrum {
    dn_db.map(|db| REFERENCE_AREA_M2 * 10f64.powf(-db / 10.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reciprocity: the path there and the path back pass the same (exact), linings and all.
    #[test]
    fn a_path_is_the_same_both_ways() {
        let leg = |tau, area, lining| Leg {
            tau: Spectrum::splat(tau),
            area_m2: area,
            absorption_length_m: Spectrum::splat(area),
            delta_r_db: Spectrum::splat(lining),
        };
        let (i, j) = (leg(1e-4, 12.0, 8.0), leg(1e-6, 20.0, -2.0));
        let dv =
            velocity_level_difference_db(&Spectrum::splat(6.0), 4.0, &i.absorption_length_m, &j.absorption_length_m);
        assert_eq!(path_area_m2(&i, &j, &dv), path_area_m2(&j, &i, &dv));
    }

    /// D̄v never turns into a gain of vibration (ISO 12354-1:2017, 4.2.2).
    #[test]
    fn factors_give_what_decibels_do() {
        let leg = |tau, area, lining| Leg {
            tau: Spectrum::splat(tau),
            area_m2: area,
            absorption_length_m: Spectrum::from_fn(|band| area * (1.0 + 0.1 * band as f64)),
            delta_r_db: Spectrum::splat(lining),
        };
        let (i, j) = (leg(1e-4, 12.0, 8.0), leg(1e-6, 20.0, -2.0));
        for kij_db in [-20.0, 6.0, 25.0] {
            let dv = velocity_level_difference_db(
                &Spectrum::splat(kij_db),
                4.0,
                &i.absorption_length_m,
                &j.absorption_length_m,
            );
            let wanted = path_area_m2(&i, &j, &dv);
            let factor = Spectrum::splat(10f64.powf(-kij_db / 10.0));
            let got = path_area_of_factors_m2(&LegFactors::of(&i), &LegFactors::of(&j), 4.0, &factor);
            assert!(got.zip(&wanted, |got, wanted| (got / wanted - 1.0).abs()).iter().all(|off| *off < 1e-12));
        }
    }

    #[test]
    fn a_long_junction_of_small_plates_stays_at_zero() {
        let one = Spectrum::splat(1.0);
        assert_eq!(velocity_level_difference_db(&Spectrum::splat(-5.0), 10.0, &one, &one), Spectrum::ZERO);
    }

    #[test]
    fn dn_and_path_area_undo_each_other() {
        let dn_db = Spectrum::from_fn(|band| 30.0 + band as f64);
        let back_db = r_from_path_area_db(&path_area_from_dn_m2(&dn_db), REFERENCE_AREA_M2);
        assert!(back_db.zip(&dn_db, |a, b| (a - b).abs()).iter().all(|difference| *difference < 1e-9));
    }
}
