//! Platforms, pads and springs under a source: what they keep from the floor, and where they give it more.

use super::NotPhysical;
use super::bands::{Bands, Spectrum};
use super::mobility::PointMobility;
use super::structure_borne::mass_impedance_n_s_m;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Standard gravity, m/s². Source: ISO 80000-3.
const GRAVITY_M_S2: f64 = 9.806_65;
/// Time a wave takes through an isolator, s: 25 mm at 50 m/s, as in rubber, foam and wool (own judgement); waves stand in it from 1 kHz.
const TRANSIT_S: f64 = 5e-4;
/// The most a mat or other isolators weigh under a platform, kg/m²: stiffer ones are thinner (own judgement).
const MOST_KG_M2: f64 = 10.0;
/// Platform over which pads are spread where nothing is said, m²: that of a kit's pedals and a stool. Own judgement.
pub const USUAL_PLATFORM_M2: f64 = 1.5;
/// Feet of a platform where nothing is said. Own judgement.
pub const USUAL_PLACES: f64 = 4.0;

/// All isolators under one load together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Isolators {
    stiffness_n_m: f64,
    loss: f64,
    load_kg: f64,
    platform_m2: f64,
    places: f64,
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
        let stiffness_n_m = NotPhysical::unless_positive("dynamic stiffness", stiffness_n_m, "above zero, in N/m")?;
        let load_kg = NotPhysical::unless_positive("load on isolators", load_kg, "above zero, in kg")?;
        Ok(Self { stiffness_n_m, loss, load_kg, platform_m2: USUAL_PLATFORM_M2, places: USUAL_PLACES })
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
        let mat = Self::new(1e6 * per_area * area_m2, loss, load_kg)?;
        Ok(Self { platform_m2: area_m2, places: f64::INFINITY, ..mat })
    }

    /// The same under a platform of this area (m²) on so many feet; an infinite number for a mat, which bears everywhere.
    ///
    /// # Errors
    ///
    /// When the area is not finite and above zero, or the number is not above zero.
    pub fn under_platform(self, platform_m2: f64, places: f64) -> Result<Self, NotPhysical> {
        let must = "above zero";
        if places.is_nan() || places <= 0.0 {
            return Err(NotPhysical { what: "number of places a load is spread over", value: places, must });
        }
        let platform_m2 = NotPhysical::unless_positive("area of a platform", platform_m2, "above zero, in m²")?;
        Ok(Self { platform_m2, places, ..self })
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

    /// What platform and isolators are worth against the same load standing on the floor without them, dB; negative where they harm.
    ///
    /// 20 lg|1 + Y_iso/(Y_load + Y_floor)|, Y_load = 1/(jωM), Y_iso = jω/k, with Y_floor that of the area or the feet ([`PointMobility::effective`]);
    /// in the isolators waves stand, v1 = cos γ·v2 + (jω/k)·(sin γ/γ)·F2, F1 = cos γ·F2 + (k/jω)·(−γ sin γ)·v2, γ = ω·√(m/k), m their own mass.
    /// Over a whole floor of mass m1 this is a floating floor, 20 lg|1 − (f/f0)²|, f0² = s'(1/m1 + 1/m2)/(4π²): what the added mass alone does to a
    /// light floor is not counted, in neither (ISO 12354-2:2017 Annex C: nothing below f0). What the platform sends into the air of its own room is
    /// part of the source's airborne sound. Energy mean over each band.
    /// Source: insertion loss of an isolator, waves in isolators: Cremer, Heckl & Petersson, Structure-Borne Sound; Beranek & Vér (from memory,
    /// unverified).
    #[must_use]
    pub fn platform_loss_db(&self, floor: &PointMobility, floor_m2: f64, bands: &Bands) -> Spectrum {
        const STEPS: i32 = 9;
        bands.map(|hz| {
            let passed = (0..STEPS)
                .map(|step| {
                    let offset = (f64::from(step) + 0.5) / f64::from(STEPS) - 0.5;
                    let hz = hz * 10f64.powf(0.1 * offset);
                    self.passed(floor, floor_m2, hz)
                })
                .sum::<f64>()
                / f64::from(STEPS);
            -10.0 * passed.log10()
        })
    }

    /// Squared force that reaches the floor over that without platform and isolators.
    fn passed(&self, floor: &PointMobility, floor_m2: f64, hz: f64) -> f64 {
        let j_omega = Complex64::new(0.0, TAU * hz);
        let spring = self.stiffness_n_m * Complex64::new(1.0, self.loss);
        let floor = floor.effective(self.places, self.platform_m2, floor_m2, hz);
        let load = mass_impedance_n_s_m(self.load_kg, hz);
        let own_kg = (self.stiffness_n_m * TRANSIT_S * TRANSIT_S).min(MOST_KG_M2 * self.platform_m2);
        let phase = TAU * hz * (own_kg / spring).sqrt();
        let (cos, sin) = (phase.cos(), phase.sin());
        let with = cos - spring / j_omega * phase * sin * floor + load * (cos * floor + j_omega / spring * sin / phase);
        ((1.0 + load * floor) / with).norm_sqr()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1, 3, 10 and 25 mm: 15.8, 9.1, 5.0 and 3.2 Hz (half the last digit).
    #[test]
    fn deflection_gives_the_handbook_frequencies() {
        for (mm, hz) in [(1.0, 15.8), (3.0, 9.1), (10.0, 5.0), (25.0, 3.2)] {
            let springs = Isolators::steel_springs(mm, 0.01, 300.0).unwrap();
            assert!((springs.resonance_hz() - hz).abs() < 0.05);
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
        assert!(Isolators::new(1e5, 0.1, 100.0).unwrap().under_platform(0.0, 4.0).is_err());
    }
}
