//! Platforms, pads and springs under a source: what they keep from the floor, and where they give it more.

use super::mobility::PointMobility;
use super::structure_borne::mass_impedance_n_s_m;
use super::{Bands, NotPhysical, Spectrum};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Standard gravity, m/s². Source: ISO 80000-3.
const GRAVITY_M_S2: f64 = 9.806_65;
/// The most a platform gains, dB: waves in the isolators, cables and the air under it go past the spring (common practice, no source).
pub const MOST_DB: f64 = 30.0;

/// Resonance frequency from the static deflection (mm) of a linear spring, Hz: √(g/δ)/(2π) = 15.76/√δ. Steel springs only: elastomers
/// are stiffer when they move. Elementary.
#[must_use]
pub fn resonance_from_deflection_hz(deflection_mm: f64) -> f64 {
    (GRAVITY_M_S2 / (deflection_mm / 1000.0)).sqrt() / TAU
}

/// Force passed on over force applied, of a mass on a lossy spring: |(1 + jη)/(1 + jη − r²)|, r = f/f0.
///
/// Structural damping with loss factor η. Source: elementary single-degree-of-freedom system.
#[must_use]
pub fn transmissibility(ratio: f64, loss: f64) -> f64 {
    let spring = Complex64::new(1.0, loss);
    (spring / (spring - ratio * ratio)).norm()
}

/// All isolators under one load together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Isolators {
    stiffness_n_m: f64,
    loss: f64,
    load_kg: f64,
    most_db: f64,
}

impl Isolators {
    /// Dynamic stiffness of all together (N/m), loss factor, and the load they carry: platform, kit and player (kg).
    ///
    /// # Errors
    ///
    /// When stiffness or load is not finite and above zero, or the loss factor is outside 0 to 1.
    pub fn new(stiffness_n_m: f64, loss: f64, load_kg: f64) -> Result<Self, NotPhysical> {
        if !(0.0..=1.0).contains(&loss) {
            return Err(NotPhysical { what: "loss factor of an isolator", value: loss, must: "between 0 and 1" });
        }
        Ok(Self {
            stiffness_n_m: NotPhysical::unless_positive("dynamic stiffness", stiffness_n_m, "above zero, in N/m")?,
            loss,
            load_kg: NotPhysical::unless_positive("load on isolators", load_kg, "above zero, in kg")?,
            most_db: MOST_DB,
        })
    }

    /// Steel springs that this load presses down by `deflection_mm`.
    ///
    /// # Errors
    ///
    /// As [`Self::new`], and when the deflection is not finite and above zero.
    pub fn steel_springs(deflection_mm: f64, loss: f64, load_kg: f64) -> Result<Self, NotPhysical> {
        Self::elastomers(deflection_mm, 1.0, loss, load_kg)
    }

    /// Elastomers that this load presses down by `deflection_mm` at rest; they are `dynamic_over_static` times as stiff when they move
    /// (1.3 to 3, common practice, no source).
    ///
    /// # Errors
    ///
    /// As [`Self::new`], and when deflection or ratio is not finite and above zero.
    pub fn elastomers(
        deflection_mm: f64,
        dynamic_over_static: f64,
        loss: f64,
        load_kg: f64,
    ) -> Result<Self, NotPhysical> {
        let deflection_mm = NotPhysical::unless_positive("static deflection", deflection_mm, "above zero, in mm")?;
        let ratio = NotPhysical::unless_positive("dynamic over static stiffness", dynamic_over_static, "above zero")?;
        Self::new(ratio * load_kg * GRAVITY_M_S2 / (deflection_mm / 1000.0), loss, load_kg)
    }

    /// A mat or strips of dynamic stiffness s' (MN/m³) over `area_m2` of contact.
    ///
    /// # Errors
    ///
    /// As [`Self::new`], and when s' or the area is not finite and above zero.
    pub fn mat(stiffness_mn_m3: f64, area_m2: f64, loss: f64, load_kg: f64) -> Result<Self, NotPhysical> {
        let per_area = NotPhysical::unless_positive("dynamic stiffness", stiffness_mn_m3, "above zero, in MN/m³")?;
        let area_m2 = NotPhysical::unless_positive("area of contact", area_m2, "above zero, in m²")?;
        Self::new(1e6 * per_area * area_m2, loss, load_kg)
    }

    /// The same with another cap: 30 to 35 dB is usual, less where pads are short-circuited.
    ///
    /// # Errors
    ///
    /// When the cap is not finite and above zero.
    pub fn capped_at(self, most_db: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            most_db: NotPhysical::unless_positive("most an isolator gains", most_db, "above zero, in dB")?,
            ..self
        })
    }

    /// Load, kg.
    #[must_use]
    pub fn load_kg(&self) -> f64 {
        self.load_kg
    }

    /// f0 = √(k/M)/(2π), Hz, on a floor that does not give way.
    #[must_use]
    pub fn resonance_hz(&self) -> f64 {
        (self.stiffness_n_m / self.load_kg).sqrt() / TAU
    }

    /// Mobility of the isolators, m/(N·s): jω/(k(1 + jη)).
    #[must_use]
    pub fn mobility_m_n_s(&self, hz: f64) -> Complex64 {
        Complex64::new(0.0, TAU * hz) / (self.stiffness_n_m * Complex64::new(1.0, self.loss))
    }

    /// What the isolators are worth against the same load standing on the floor without them, dB; negative where they harm.
    ///
    /// 20 lg|1 + Y_iso/(Y_load + Y_floor)|, Y_load = 1/(jωM); energy mean over each band; at most the cap. On a rigid floor this is
    /// the reciprocal of [`transmissibility`]. On a floor that gives way it is less. `points`: over how many places the load is spread;
    /// together they move as one place with 1/points of the mobility (own simplification: far apart and in phase).
    /// Source: insertion loss of an isolator, Cremer, Heckl & Petersson, Structure-Borne Sound; Beranek & Vér (from memory, unverified).
    #[must_use]
    pub fn insertion_loss_db(&self, floor: &PointMobility, points: f64, bands: &Bands) -> Spectrum {
        self.over_band(bands, |hz| {
            let load = 1.0 / mass_impedance_n_s_m(self.load_kg, hz);
            let floor = floor.at(hz) / points.max(1.0);
            (1.0 + self.mobility_m_n_s(hz) / (load + floor)).norm_sqr()
        })
    }

    /// What the platform with its load and isolators is worth against the source striking the floor itself with the same force, dB.
    ///
    /// 20 lg|1 + jωM(Y_floor + Y_iso)|, where the bare source is a force source: here the mass counts too, and on a light floor
    /// it does a good part of the work. Energy mean over each band; at most the cap.
    #[must_use]
    pub fn platform_loss_db(&self, floor: &PointMobility, points: f64, bands: &Bands) -> Spectrum {
        self.over_band(bands, |hz| {
            let floor = floor.at(hz) / points.max(1.0);
            (1.0 + mass_impedance_n_s_m(self.load_kg, hz) * (floor + self.mobility_m_n_s(hz))).norm_sqr()
        })
    }

    /// 10 lg of the energy mean of a kept-back ratio, held under the cap.
    fn over_band(&self, bands: &Bands, kept_back: impl Fn(f64) -> f64) -> Spectrum {
        const STEPS: i32 = 9;
        bands.map(|hz| {
            let passed = (0..STEPS)
                .map(|step| {
                    let offset = (f64::from(step) + 0.5) / f64::from(STEPS) - 0.5;
                    1.0 / kept_back(hz * 10f64.powf(0.1 * offset))
                })
                .sum::<f64>()
                / f64::from(STEPS);
            (-10.0 * passed.log10()).min(self.most_db)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1, 3, 10 and 25 mm: 15.8, 9.1, 5.0 and 3.2 Hz (half the last digit).
    #[test]
    fn deflection_gives_the_handbook_frequencies() {
        for (mm, hz) in [(1.0, 15.8), (3.0, 9.1), (10.0, 5.0), (25.0, 3.2)] {
            assert!((resonance_from_deflection_hz(mm) - hz).abs() < 0.05);
            let springs = Isolators::steel_springs(mm, 0.01, 300.0).unwrap();
            assert!((springs.resonance_hz() - resonance_from_deflection_hz(mm)).abs() < 1e-9);
        }
    }

    /// A mat of s' under m' per area has the f0 of a floating floor: 160√(s'/m'), the standard's rounding apart (0.6 %).
    #[test]
    fn a_mat_is_a_small_floating_floor() {
        let mat = Isolators::mat(8.0, 2.0, 0.1, 147.0).unwrap();
        assert!((mat.resonance_hz() / 52.8 - 1.0).abs() < 0.006, "{}", mat.resonance_hz());
    }

    #[test]
    fn values_no_isolator_has_are_refused() {
        assert!(Isolators::new(0.0, 0.1, 100.0).is_err() && Isolators::new(1e5, 1.5, 100.0).is_err());
        assert!(Isolators::elastomers(3.0, 0.0, 0.1, 100.0).is_err() && Isolators::mat(8.0, -1.0, 0.1, 1.0).is_err());
        assert!(Isolators::new(1e5, 0.1, 100.0).unwrap().capped_at(0.0).is_err());
    }
}
