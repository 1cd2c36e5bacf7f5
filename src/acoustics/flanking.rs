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

/// One element of a flanking path: the one sound enters by, or the one it comes out of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlankingElement {
    /// Transmission coefficient of the bare element. Heavy: the whole R in situ, as in the standard's Annex L, on the safe side below fc.
    /// Light: R*, the resonant part ([`super::heavy::resonant_tau_of_light`]).
    pub tau: Spectrum,
    /// Area on its own room's side, m², above zero.
    pub area_m2: f64,
    /// Equivalent absorption length, m.
    pub absorption_length_m: Spectrum,
    /// Improvement by the lining on its own room's side, dB; negative where the lining harms.
    pub delta_r_db: Spectrum,
}

/// An element with its powers and roots taken once, for all paths it is part of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlankingFactors {
    /// S, m².
    pub area_m2: f64,
    /// √(τ·S)·10^(−ΔR/10), m.
    passed: Spectrum,
    /// 1/√a, m^(−1/2).
    per_root_length: Spectrum,
}

impl FlankingFactors {
    /// Of an element.
    #[must_use]
    pub fn of(element: &FlankingElement) -> Self {
        Self {
            area_m2: element.area_m2,
            passed: element.tau.map(|tau| (tau * element.area_m2).sqrt()).less_db(&element.delta_r_db),
            per_root_length: element.absorption_length_m.map(|length_m| 1.0 / length_m.sqrt()),
        }
    }
}

/// What a flanking path i → j round a junction of `length_m` passes, as an area with τ = 1, m²:
/// Ss·τij = √(τi·τj)·√(Si·Sj)·10^(−(ΔRi + ΔRj + D̄v)/10), D̄v,ij = Kij − 10 lg(l_ij/√(a_i·a_j)), never below 0; `kij_factor` is 10^(−Kij/10).
///
/// Free of the separating element's area, so it also serves rooms that share none. It is the same both ways.
/// Source: ISO 12354-1:2017, 4.2 (R_ij = R_i/2 + R_j/2 + ΔR_i + ΔR_j + D̄v,ij + 10 lg(Ss/√(S_i·S_j))) and 4.2.2.
#[must_use]
pub fn path_area_m2(i: &FlankingFactors, j: &FlankingFactors, length_m: f64, kij_factor: &Spectrum) -> Spectrum {
    Spectrum::from_fn(|band| {
        let carried = (kij_factor[band] * length_m * (i.per_root_length[band] * j.per_root_length[band])).min(1.0);
        i.passed[band] * j.passed[band] * carried
    })
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

    /// Decibel by decibel as the standard writes it, the same both ways (exact), linings and all; D̄v never turns into a gain of vibration
    /// (ISO 12354-1:2017, 4.2.2).
    #[test]
    fn a_path_is_that_of_the_standard_both_ways() {
        let element = |tau, area, lining| FlankingElement {
            tau: Spectrum::splat(tau),
            area_m2: area,
            absorption_length_m: Spectrum::from_fn(|band| area * (1.0 + 0.1 * band as f64)),
            delta_r_db: Spectrum::splat(lining),
        };
        let (i, j) = (element(1e-4, 12.0, 8.0), element(1e-6, 20.0, -2.0));
        let factors = [FlankingFactors::of(&i), FlankingFactors::of(&j)];
        for kij_db in [-20.0, 6.0, 25.0] {
            let factor = Spectrum::splat(10f64.powf(-kij_db / 10.0));
            let got = path_area_m2(&factors[0], &factors[1], 4.0, &factor);
            assert_eq!(got, path_area_m2(&factors[1], &factors[0], 4.0, &factor));
            for (band, got) in got.iter().enumerate() {
                let mean_m = (i.absorption_length_m[band] * j.absorption_length_m[band]).sqrt();
                let dv_db = (kij_db - 10.0 * (4.0 / mean_m).log10()).max(0.0);
                // R of 40 and 60 dB, ΔR of 8 and −2 dB.
                let wanted_db = 50.0 + 6.0 + dv_db - 10.0 * 240f64.sqrt().log10();
                assert!((-10.0 * got.log10() - wanted_db).abs() < 1e-9, "{band}");
            }
        }
    }
}
