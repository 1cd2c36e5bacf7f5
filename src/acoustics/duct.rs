//! Sound through an air duct from one space to another: its mouths, its walls, its bends, its lining.
//!
//! A duct between two diffuse spaces is the area A with τ = 1 that passes as much; it is the same both ways. With S the clear section, T what
//! a mouth lets out of the plane wave inside (one less end reflection), q what is left after one run through the duct and ρ = (1 − T)·q:
//!
//! A = max(S, λ²/π) · T²·q / [(1 − ρ)² + 4ρ·sin²(k(L + 2δ))], averaged over the band.
//!
//! - **Intake.** A mouth that passes many modes takes in p²S/(4ρ0c0), the power that falls on it. While only the plane wave runs in the duct,
//!   reciprocity gives p²/(ρ0c0)·λ²/(4π)·T instead: each way out of a diffuse field is worth λ²/(4π) (the same counting of modes gives S/4 for
//!   many of them). For a narrow open end that is up to 8 times S, the factor 8 of diffuse incidence that Gomperts, Acustica 14 (1964), has
//!   for slits. Handbooks that take S in every band undervalue the lowest by up to 9 dB.
//! - **Between the mouths** the wave runs to and fro: resonances where the length holds half waves, and far less below the first of them. With
//!   strong losses (ρ → 0) only T²·q is left: end reflection at both ends, and losses once.
//! - δ = 0.85 a of a mouth flush in a wall (Rayleigh, Theory of Sound, § 307), a the radius of the circle of the same area.

use std::f64::consts::PI;

use super::NotPhysical;
use super::air::Air;
use super::bands::{Bands, Spectrum};

/// Coefficient of the end reflection of a mouth flush in a wall.
///
/// Source: ASHRAE Handbook HVAC Applications (2019), ch. 49, end reflection loss 10 lg[1 + (0.7·c0/(π·f·D))²] dB, after RP-1314 (Michaud &
/// Cunefare 2008). In the low bands it is the radiation resistance (ka)²/2 of a flanged mouth: 4·(ka)²/2 against 2.04·(ka)².
const FLUSH_END: f64 = 0.7;
/// What a lined run or lined bends gain at most, dB: beyond it sound goes along the duct's walls. Source: as above, note to the tables of lined
/// ducts (from memory, unverified).
const MOST_LINING_DB: f64 = 40.0;
/// Attenuation of bare round sheet metal, dB/m, octaves 31.5 Hz to 4 kHz (31.5 Hz as 63 Hz), up to each clear diameter in mm.
///
/// Source: ASHRAE Handbook HVAC Applications, ch. Noise and vibration control, straight round ducts (from memory, unverified). Rectangular metal
/// loses more in low bands as its sides give; plastic and plasterboard are stiffer: the round values count for all.
const BARE_DB_PER_M: [(f64, [f64; 8]); 4] = [
    (180.0, [0.10, 0.10, 0.10, 0.16, 0.16, 0.33, 0.33, 0.33]),
    (380.0, [0.10, 0.10, 0.10, 0.10, 0.16, 0.23, 0.23, 0.23]),
    (760.0, [0.07, 0.07, 0.07, 0.07, 0.10, 0.16, 0.16, 0.16]),
    (f64::INFINITY, [0.03, 0.03, 0.03, 0.03, 0.07, 0.07, 0.07, 0.07]),
];
/// Attenuation of one bare round bend, dB, up to each product of frequency and diameter in kHz·mm.
///
/// Source: as above, unlined round elbows (from memory, unverified). Mitred rectangular bends take more.
const BEND_DB: [(f64, f64); 4] = [(48.0, 0.0), (96.0, 1.0), (190.0, 2.0), (f64::INFINITY, 3.0)];

/// The clear section of a duct.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    area_m2: f64,
    perimeter_m: f64,
    least_m: f64,
}

impl Section {
    /// Of a round duct, by its clear diameter, m.
    ///
    /// # Errors
    ///
    /// When the diameter is not finite and above zero.
    pub fn round(diameter_m: f64) -> Result<Self, NotPhysical> {
        let d = NotPhysical::unless_positive("clear diameter", diameter_m, "above zero")?;
        Ok(Self { area_m2: PI * d * d / 4.0, perimeter_m: PI * d, least_m: d })
    }

    /// Of a rectangular duct, by its clear width and height, m.
    ///
    /// # Errors
    ///
    /// When one of them is not finite and above zero.
    pub fn rectangular(width_m: f64, height_m: f64) -> Result<Self, NotPhysical> {
        let w = NotPhysical::unless_positive("clear width", width_m, "above zero")?;
        let h = NotPhysical::unless_positive("clear height", height_m, "above zero")?;
        Ok(Self { area_m2: w * h, perimeter_m: 2.0 * (w + h), least_m: w.min(h) })
    }

    /// Clear area, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.area_m2
    }

    /// Diameter of the circle of the same area, m.
    #[must_use]
    pub fn diameter_m(&self) -> f64 {
        (4.0 * self.area_m2 / PI).sqrt()
    }

    /// What a mouth flush in a wall lets out of the plane wave inside, 0 to 1: one less end reflection. Source: see `FLUSH_END`.
    #[must_use]
    pub fn end_transmission(&self, air: &Air, hz: f64) -> f64 {
        1.0 / (1.0 + (FLUSH_END * air.speed_m_s() / (PI * hz * self.diameter_m())).powi(2))
    }

    /// Attenuation of the bare duct, dB/m. See `BARE_DB_PER_M`.
    #[must_use]
    pub fn bare_db_per_m(&self) -> Spectrum {
        let mm = 1000.0 * self.diameter_m();
        let row = BARE_DB_PER_M.iter().find(|(most_mm, _)| mm <= *most_mm).map_or([0.0; 8], |(_, row)| *row);
        Spectrum::from_fn(|band| row[band / 3])
    }

    /// Attenuation of one bend, dB. See `BEND_DB`.
    #[must_use]
    pub fn bend_db(&self, bands: &Bands) -> Spectrum {
        let mm = 1000.0 * self.diameter_m();
        bands.map(|hz| BEND_DB.iter().find(|(most, _)| hz / 1000.0 * mm < *most).map_or(0.0, |(_, db)| *db))
    }

    /// Attenuation of a lining of absorption coefficient α, dB/m: 1.05·α^1.4·U/S, U the perimeter.
    ///
    /// Above the frequency whose wavelength is the smaller clear side sound beams down the middle, and the value falls as 1/f (from memory,
    /// unverified). α counts up to 1. Source: H. J. Sabine, J. Acoust. Soc. Am. 12 (1940) 53; Beranek, Noise and Vibration Control (1971), ch. 15
    /// (from memory, unverified: good to 10 % for α 0.2 to 0.4 and 250 Hz to 2 kHz). Piening's 1.5·α·U/S is more, so this is on the safe side.
    #[must_use]
    pub fn lined_db_per_m(&self, alpha: &Spectrum, air: &Air, bands: &Bands) -> Spectrum {
        let beams_from_hz = air.speed_m_s() / self.least_m;
        Spectrum::from_fn(|band| {
            let full = 1.05 * alpha[band].clamp(0.0, 1.0).powf(1.4) * self.perimeter_m / self.area_m2;
            full * (beams_from_hz / bands.hz(band)).min(1.0)
        })
    }
}

/// A duct with two open ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duct {
    section: Section,
    length_m: f64,
    loss_db: Spectrum,
}

impl Duct {
    /// A duct that loses `loss_db` (dB, not negative) in one run. Length in m.
    ///
    /// # Errors
    ///
    /// When the length is not finite and above zero, or a loss is negative or not a number.
    pub fn new(section: Section, length_m: f64, loss_db: Spectrum) -> Result<Self, NotPhysical> {
        let length_m = NotPhysical::unless_positive("length of a duct", length_m, "above zero, in m")?;
        for loss in loss_db.iter() {
            if loss.is_nan() || *loss < 0.0 {
                return Err(NotPhysical { what: "loss of a duct", value: *loss, must: "zero or more, in dB" });
            }
        }
        Ok(Self { section, length_m, loss_db })
    }

    /// A duct of metal or the like, with bends, perhaps lined along its whole length, perhaps with a silencer of stated insertion loss (dB).
    ///
    /// # Errors
    ///
    /// As [`Self::new`].
    pub fn fitted(
        section: Section,
        length_m: f64,
        bends: u32,
        lining: Option<&Spectrum>,
        silencer_db: Option<&Spectrum>,
        air: &Air,
        bands: &Bands,
    ) -> Result<Self, NotPhysical> {
        let bare = section.bare_db_per_m();
        let bend = section.bend_db(bands);
        let lined = lining.map(|alpha| section.lined_db_per_m(alpha, air, bands));
        let loss_db = Spectrum::from_fn(|band| {
            let lining_db = lined.as_ref().map_or(0.0, |lined| (lined[band] * length_m).min(MOST_LINING_DB));
            let silencer_db = silencer_db.map_or(0.0, |silencer| silencer[band]);
            bare[band] * length_m + f64::from(bends) * bend[band] + lining_db + silencer_db
        });
        Self::new(section, length_m, loss_db)
    }

    /// The area with τ = 1 that passes as much from a diffuse space to another, m². See the head of this file.
    #[must_use]
    pub fn open_area_m2(&self, air: &Air, bands: &Bands) -> Spectrum {
        let effective_m = self.length_m + 2.0 * 0.85 * self.section.diameter_m() / 2.0;
        Spectrum::from_fn(|band| {
            let hz = bands.hz(band);
            let wavelength_m = air.speed_m_s() / hz;
            let out = self.section.end_transmission(air, hz);
            let left = 10f64.powf(-self.loss_db[band] / 10.0);
            let round = (1.0 - out) * left;
            let half_third = 10f64.powf(0.05);
            let [low, high] = [hz / half_third, hz * half_third].map(|hz| air.wavenumber(hz) * effective_m);
            let intake_m2 = self.section.area_m2.max(wavelength_m * wavelength_m / PI);
            intake_m2 * out * out * left * mean_resonance(round, low, high)
        })
    }
}

/// Mean of 1/[(1 − ρ)² + 4ρ·sin²φ] over φ from `low` to `high`, rad; 0 ≤ ρ < 1. The antiderivative is
/// arctan((1 + ρ)/(1 − ρ)·tan φ)/(1 − ρ²), counted on by π from one quarter wave to the next.
fn mean_resonance(rho: f64, low: f64, high: f64) -> f64 {
    let rho = rho.min(1.0 - 1e-9);
    let total = |phi: f64| ((1.0 + rho) / (1.0 - rho) * phi.tan()).atan() + PI * (phi / PI).round();
    (total(high) - total(low)) / ((high - low) * (1.0 - rho * rho))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of_mm(mm: f64) -> Section {
        Section::round(mm / 1000.0).unwrap()
    }

    fn db(factor: f64) -> f64 {
        10.0 * factor.log10()
    }

    /// ASHRAE Handbook, end reflection of ducts flush with a wall, printed to whole decibels at octaves from 63 Hz (from memory, unverified):
    /// 150 mm 18, 12, 7, 3, 1; 300 mm 12, 7, 3, 1, 0. Half a decibel for the print, half for air and nominal frequencies.
    #[test]
    fn mouths_reflect_as_the_handbook_prints() {
        let air = Air::default();
        for (mm, printed) in [(150.0, [18.0, 12.0, 7.0, 3.0, 1.0]), (300.0, [12.0, 7.0, 3.0, 1.0, 0.0])] {
            for (hz, loss) in [63.0, 125.0, 250.0, 500.0, 1000.0].into_iter().zip(printed) {
                let got = -db(of_mm(mm).end_transmission(&air, hz));
                assert!((got - loss).abs() < 1.0, "{mm} mm, {hz} Hz: {got:.2} for {loss}");
            }
        }
    }

    /// Transmission coefficient of a circular hole, referred to its area, for a plane wave at normal incidence.
    ///
    /// Source: Wilson & Soroka, JASA 37 (1965) 286; Hopkins, Sound Insulation (2007), eq. 4.102.
    fn of_hole(radius_m: f64, depth_m: f64, air: &Air, hz: f64) -> f64 {
        let k = air.wavenumber(hz);
        let (resistance, reactance) = piston_impedance(k * radius_m);
        let (sin, cos) = (k * depth_m).sin_cos();
        let real = cos - reactance * sin;
        let imaginary = (resistance.powi(2) - reactance.powi(2) + 1.0) * sin + 2.0 * reactance * cos;
        4.0 * resistance / (4.0 * resistance.powi(2) * real.powi(2) + imaginary.powi(2))
    }

    /// Radiation impedance of a baffled circular piston over ρ0c0: 1 − J1(2ka)/ka and H1(2ka)/ka, H1 Struve's function.
    ///
    /// Source: Rayleigh, Theory of Sound, § 302; Abramowitz & Stegun, 9.1.10 and 12.1.4 for the series.
    fn piston_impedance(ka: f64) -> (f64, f64) {
        if ka > 9.0 {
            // The series lose their digits; the leading term of the asymptotic form is within 0.01 here.
            return (1.0, std::f64::consts::FRAC_2_PI / ka);
        }
        // J1(x)/(x/2) = Σ (−1)^n (x/2)^2n/(n!(n+1)!), H1(x) = Σ (−1)^n (x/2)^(2n+2)/(Γ(n+3/2)Γ(n+5/2)), x/2 = ka.
        let (mut bessel, mut struve) = (0.0, 0.0);
        let mut bessel_term = 1.0;
        let mut struve_term = ka * ka * 8.0 / (3.0 * std::f64::consts::PI);
        for n in 0..60 {
            bessel += bessel_term;
            struve += struve_term;
            let n = f64::from(n);
            bessel_term *= -ka * ka / ((n + 1.0) * (n + 2.0));
            struve_term *= -ka * ka / ((n + 1.5) * (n + 2.5));
        }
        (1.0 - bessel, struve / ka)
    }

    /// Against Wilson & Soroka's hole (Hopkins, eq. 4.102), meant for a plane wave at normal incidence, averaged over the band here; a diffuse
    /// field gives twice that where the hole is narrow against the wave (Gomperts: 8 for 4). No losses. Within 1 dB up to ka = 0.5: the end
    /// reflection is an approximation to the piston's impedance, and the end correction is constant.
    #[test]
    fn a_lossless_duct_is_a_hole() {
        let (air, bands) = (Air::default(), Bands::exact());
        for (mm, length_m) in [(150.0, 0.3), (150.0, 2.0), (100.0, 0.1), (100.0, 5.0)] {
            let duct = Duct::new(of_mm(mm), length_m, Spectrum::ZERO).unwrap();
            let area = duct.open_area_m2(&air, &bands);
            for band in 0..super::super::BAND_COUNT {
                let hz = bands.hz(band);
                if air.wavenumber(hz) * mm / 2000.0 > 0.5 {
                    break;
                }
                let steps = 20_000;
                let mean = (0..steps)
                    .map(|step| {
                        let (low, high) = (hz * 10f64.powf(-0.05), hz * 10f64.powf(0.05));
                        of_hole(
                            mm / 2000.0,
                            length_m,
                            &air,
                            low + (high - low) * (f64::from(step) + 0.5) / f64::from(steps),
                        )
                    })
                    .sum::<f64>()
                    / f64::from(steps);
                let (got, want) = (db(area[band] / of_mm(mm).area_m2()), db(2.0 * mean));
                assert!((got - want).abs() < 1.0, "{mm} mm, {length_m} m, {hz:.0} Hz: {got:.2} for {want:.2}");
            }
        }
    }

    /// High bands: an open duct is open area, whatever its length, less what its walls take.
    #[test]
    fn a_wide_duct_is_open_area() {
        let (air, bands) = (Air::default(), Bands::exact());
        let duct = Duct::new(of_mm(400.0), 1.0, Spectrum::splat(2.0)).unwrap();
        let got = db(duct.open_area_m2(&air, &bands)[22] / of_mm(400.0).area_m2());
        assert!((got + 2.0).abs() < 0.1, "{got}");
    }

    /// By hand: 200 mm by 100 mm, 3 m, lined α 0.5: U/S = 0.6/0.02 = 30 /m, 1.05·0.5^1.4·30 = 11.94 dB/m, 35.8 dB in all; Piening's
    /// 1.5·0.5·30 = 22.5 dB/m is more. Bare: 160 mm across, 0.1 dB/m at 125 Hz; two bends of 1 kHz·160 mm = 160: 2 dB each.
    /// From λ = 0.1 m (3.43 kHz) on it beams: at 4 kHz (exact 3981 Hz) 11.94·0.863 = 10.3 dB/m.
    #[test]
    fn losses_are_those_of_a_hand_computation() {
        let (air, bands) = (Air::default(), Bands::exact());
        let section = Section::rectangular(0.2, 0.1).unwrap();
        let alpha = Spectrum::splat(0.5);
        let lined = section.lined_db_per_m(&alpha, &air, &bands);
        assert!((lined[7] - 11.94).abs() < 0.01, "{}", lined[7]);
        assert!((lined[22] - 10.3).abs() < 0.05, "{}", lined[22]);
        let duct = Duct::fitted(section, 3.0, 2, Some(&alpha), None, &air, &bands).unwrap();
        assert!((duct.loss_db[7] - 35.81 - 0.3).abs() < 0.02, "{}", duct.loss_db[7]);
        assert!((duct.loss_db[16] - 35.81 - 0.99 - 4.0).abs() < 0.02, "{}", duct.loss_db[16]);
        // Longer: no more than 40 dB by lining.
        let long = Duct::fitted(section, 10.0, 0, Some(&alpha), None, &air, &bands).unwrap();
        assert!((long.loss_db[7] - 41.0).abs() < 0.02, "{}", long.loss_db[7]);
        let silencer = Spectrum::splat(10.0);
        let with = Duct::fitted(section, 3.0, 0, None, Some(&silencer), &air, &bands).unwrap();
        assert!((with.loss_db[7] - 10.3).abs() < 1e-9);
    }

    /// With strong losses, by hand at 250 Hz (251.2), 150 mm, 20 dB in a run: λ = 1.367 m, λ²/π = 0.595 m² against S = 0.0177; the mouth
    /// lets out 1/(1 + (0.7·343.4/(π·251.2·0.15))²) = 0.195. A = 0.595·0.195²·0.01 = 2.27e-4 m², Dn,e = 10 lg(10/A) = 46.4 dB. The little that
    /// runs to and fro is within 0.1 dB: ρ = 0.008.
    #[test]
    fn a_silenced_vent_is_as_computed_by_hand() {
        let duct = Duct::new(of_mm(150.0), 1.0, Spectrum::splat(20.0)).unwrap();
        let area = duct.open_area_m2(&Air::default(), &Bands::exact())[10];
        assert!((-db(area / 10.0) - 46.4).abs() < 0.1, "{}", -db(area / 10.0));
    }

    /// The mean over whole half waves is that of incoherent running to and fro, 1/(1 − ρ²).
    #[test]
    fn resonances_average_out() {
        for rho in [0.0, 0.3, 0.99] {
            let got = mean_resonance(rho, 0.3, 0.3 + 7.0 * PI);
            assert!((got * (1.0 - rho * rho) - 1.0).abs() < 1e-9, "{rho}: {got}");
        }
        // A narrow stretch is the value itself: φ = 1, ρ = 0.5: 1/(0.25 + 2 sin² 1).
        let (got, want) = (mean_resonance(0.5, 0.9999, 1.0001), 1.0 / (0.25 + 2.0 * 1f64.sin().powi(2)));
        assert!((got / want - 1.0).abs() < 1e-6, "{got} {want}");
    }
}
