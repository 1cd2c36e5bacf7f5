//! What a player, a foot or a machine does to the floor: the blocked contact force per band.
//!
//! Mean-square force (N²) while playing goes on, one-sided, per third octave. It is the force on a floor that does not give way; a
//! floor that does, and a mass between, are accounted for in [`super::structure_borne`] and [`super::isolation`].

use super::NotPhysical;
use super::bands::OCTAVE_HZ;
use super::bands::{BAND_COUNT, Bands, Spectrum};
use super::tapping_machine;
use std::f64::consts::PI;

/// A contact force: steady, or a train of equal strokes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactForce {
    mean_square_n2: Spectrum,
    strokes_per_s: Option<f64>,
}

impl ContactForce {
    /// The standard tapping machine on a hard heavy floor: [`tapping_machine::force_squared_n2`], ten blows a second.
    #[must_use]
    pub fn tapping_machine(bands: &Bands) -> Self {
        Self {
            mean_square_n2: tapping_machine::force_squared_n2(bands),
            strokes_per_s: Some(tapping_machine::BLOWS_PER_S),
        }
    }

    /// Equal pulses, `strokes_per_s` of them each second.
    ///
    /// # Errors
    ///
    /// When the rate is not finite and above zero.
    pub fn strokes(pulse: &HalfSine, strokes_per_s: f64, bands: &Bands) -> Result<Self, NotPhysical> {
        Self::of_exposure(&pulse.exposure_n2_s(bands), strokes_per_s)
    }

    /// The heavy and soft rubber ball dropped from 1 m, `drops_per_s` times a second: [`RUBBER_BALL_OCTAVE_DB`] shared among thirds.
    ///
    /// # Errors
    ///
    /// When the rate is not finite and above zero.
    pub fn rubber_ball(drops_per_s: f64) -> Result<Self, NotPhysical> {
        Self::of_exposure(&thirds_of_octaves(&RUBBER_BALL_OCTAVE_DB), drops_per_s)
    }

    /// Somebody walking without shoes: heel pulses of 3 N·s in 25 ms (invented; main force at 20 to 50 Hz, as Amiryarahmadi & Kropp
    /// 2016 found), `steps_per_s` of them, about 1.9 when walking (common practice, no source).
    ///
    /// # Errors
    ///
    /// When the rate is not finite and above zero.
    pub fn footsteps(steps_per_s: f64, bands: &Bands) -> Result<Self, NotPhysical> {
        Self::strokes(&HalfSine { impulse_n_s: 3.0, duration_s: 0.025 }, steps_per_s, bands)
    }

    /// A stated force level while the source runs, dB re 1 N per third octave; `strokes_per_s` when it comes in strokes.
    ///
    /// # Errors
    ///
    /// When a level is not below 200 dB (negative infinity is silence), or the rate is not finite and above zero.
    pub fn stated(level_db: &Spectrum, strokes_per_s: Option<f64>) -> Result<Self, NotPhysical> {
        if let Some(value) = level_db.iter().find(|db| db.is_nan() || **db > 200.0) {
            return Err(NotPhysical { what: "force level", value: *value, must: "at most 200 dB re 1 N" });
        }
        if let Some(rate) = strokes_per_s {
            NotPhysical::unless_positive("strokes a second", rate, "above zero, per s")?;
        }
        Ok(Self { mean_square_n2: level_db.energy_from_db(), strokes_per_s })
    }

    /// From what one stroke brings, N²·s per third octave.
    fn of_exposure(exposure_n2_s: &Spectrum, strokes_per_s: f64) -> Result<Self, NotPhysical> {
        let rate = NotPhysical::unless_positive("strokes a second", strokes_per_s, "above zero, per s")?;
        Ok(Self { mean_square_n2: exposure_n2_s.map(|exposure| exposure * rate), strokes_per_s: Some(rate) })
    }

    /// Mean-square force per third octave, N².
    #[must_use]
    pub fn mean_square_n2(&self) -> &Spectrum {
        &self.mean_square_n2
    }

    /// Level of the root-mean-square force, dB re 1 N: 10 lg of N².
    #[must_use]
    pub fn level_db(&self) -> Spectrum {
        self.mean_square_n2.to_db()
    }

    /// Strokes a second, when the force comes in strokes.
    #[must_use]
    pub fn strokes_per_s(&self) -> Option<f64> {
        self.strokes_per_s
    }

    /// F²/F_tap² per band: what an impact level has to be multiplied by.
    #[must_use]
    pub fn over_tapping_machine(&self, bands: &Bands) -> Spectrum {
        self.mean_square_n2.zip(&tapping_machine::force_squared_n2(bands), |own, machine| own / machine)
    }
}

/// One half-sine pulse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfSine {
    impulse_n_s: f64,
    duration_s: f64,
}

/// Frequencies computed inside each third octave, so that a notch of the ideal pulse does not empty a band.
const PER_BAND: i32 = 8;

impl HalfSine {
    /// A pulse of `impulse_n_s` (N·s) within `duration_s` (s). Its peak is π/2·impulse/duration.
    ///
    /// # Errors
    ///
    /// When a value is not finite and above zero.
    pub fn new(impulse_n_s: f64, duration_s: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            impulse_n_s: NotPhysical::unless_positive("impulse", impulse_n_s, "above zero, in N·s")?,
            duration_s: NotPhysical::unless_positive("duration of a pulse", duration_s, "above zero, in s")?,
        })
    }

    /// Largest force, N.
    #[must_use]
    pub fn peak_n(&self) -> f64 {
        PI / 2.0 * self.impulse_n_s / self.duration_s
    }

    /// |F(f)| of its Fourier transform, N·s: J·|cos(πfT)/(1 − (2fT)²)|; J at 0 Hz, π/4·J at f = 1/(2T).
    ///
    /// Source: elementary; Cremer, Heckl & Petersson, Structure-Borne Sound, 3rd ed. (2005), ch. 1 (from memory, unverified).
    #[must_use]
    pub fn spectrum_n_s(&self, hz: f64) -> f64 {
        let x = 2.0 * hz * self.duration_s;
        let shape = if (x - 1.0).abs() < 1e-6 { PI / 4.0 } else { ((PI * x / 2.0).cos() / (1.0 - x * x)).abs() };
        self.impulse_n_s * shape
    }

    /// Force exposure ∫F²dt of one pulse in each third octave, N²·s: the mean of 2·|F(f)|² over the band, times its width.
    #[must_use]
    pub fn exposure_n2_s(&self, bands: &Bands) -> Spectrum {
        Spectrum::from_fn(|band| {
            let mean = (0..PER_BAND)
                .map(|step| {
                    let offset = (f64::from(step) + 0.5) / f64::from(PER_BAND) - 0.5;
                    self.spectrum_n_s(bands.hz(band) * 10f64.powf(0.1 * offset)).powi(2)
                })
                .sum::<f64>()
                / f64::from(PER_BAND);
            2.0 * mean * bands.width_hz(band)
        })
    }
}

/// Force exposure level of the heavy and soft impact source (rubber ball) dropped from 1 m, octaves 31.5 Hz to 500 Hz, dB re 1 N.
///
/// Source: ISO 10140-5 Annex F, Table F.1; the same in ISO 16283-2:2020 Table A.1, where tolerances of 1.0, 1.5, 1.5, 2.0 and
/// 2.0 dB stand beside them.
pub const RUBBER_BALL_OCTAVE_DB: [f64; 5] = [39.0, 31.0, 23.0, 17.0, 12.5];
/// Tolerances of [`RUBBER_BALL_OCTAVE_DB`], dB. Source: ISO 16283-2:2020 Table A.1.
pub const RUBBER_BALL_TOLERANCE_DB: [f64; 5] = [1.0, 1.5, 1.5, 2.0, 2.0];

/// Octave levels (from 31.5 Hz up) as energies of thirds that add up to them again, each octave sloped as its neighbours have it.
///
/// Above the last octave the last slope goes on. Own interpolation, no source: the standards print octaves only.
fn thirds_of_octaves(octave_db: &[f64; 5]) -> Spectrum {
    let last = octave_db.len() - 1;
    let level = |octave: usize| {
        let beyond = octave.saturating_sub(last) as f64;
        octave_db[octave.min(last)] + beyond * (octave_db[last] - octave_db[last - 1])
    };
    debug_assert_eq!(3 * OCTAVE_HZ.len(), BAND_COUNT);
    let mut thirds = Spectrum::ZERO;
    for octave in 0..OCTAVE_HZ.len() {
        let (below, above) = (octave.saturating_sub(1), octave + 1);
        let slope_db = (level(above) - level(below)) / (3.0 * (above - below) as f64);
        let shape: [f64; 3] = std::array::from_fn(|third| 10f64.powf((third as f64 - 1.0) * slope_db / 10.0));
        let whole = 10f64.powf(level(octave) / 10.0) / shape.iter().sum::<f64>();
        for (third, share) in shape.iter().enumerate() {
            thirds[3 * octave + third] = whole * share;
        }
    }
    thirds
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The thirds add up to the printed octaves (exact).
    #[test]
    fn the_ball_keeps_its_octaves() {
        let ball = ContactForce::rubber_ball(1.0).unwrap();
        let octaves = ball.mean_square_n2().octave_sums();
        for (sum, printed_db) in octaves.iter().zip(RUBBER_BALL_OCTAVE_DB) {
            assert!((10.0 * sum.log10() - printed_db).abs() < 1e-9);
        }
    }

    /// All thirds together hold what the pulse holds in time: ∫F²dt = F0²·T/2 (Parseval; 25 Hz to 5 kHz carry nearly all of a
    /// 2 ms pulse but its part below 22 Hz: within 10 %).
    #[test]
    fn a_pulse_keeps_its_energy() {
        let pulse = HalfSine::new(1.0, 0.002).unwrap();
        let in_time = pulse.peak_n().powi(2) * 0.002 / 2.0;
        let share = pulse.exposure_n2_s(&Bands::exact()).sum() / in_time;
        assert!((0.9..1.0).contains(&share), "{share}");
    }

    #[test]
    fn values_no_foot_has_are_refused() {
        assert!(HalfSine::new(0.0, 0.01).is_err() && HalfSine::new(1.0, f64::NAN).is_err());
        assert!(ContactForce::rubber_ball(-1.0).is_err());
        assert!(ContactForce::stated(&Spectrum::splat(f64::NAN), None).is_err());
        assert!(ContactForce::stated(&Spectrum::splat(f64::NEG_INFINITY), Some(2.0)).is_ok());
    }
}
