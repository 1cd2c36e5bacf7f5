//! Shallow voids: how far a floor void or a ceiling plenum is from an even diffuse field.
//!
//! A void counts as a room like any other, so that two rooms A and B under it are joined by two elements in series: with areas S and sound
//! reduction indices R of the two ceilings and the absorption area A_v of the void, Dn,s = R_A + R_B + 10 lg(A_v·A0/(S_A·S_B)), A0 = 10 m².
//! That is the indirect airborne transmission of EN 12354-1:2000, Annex F, by a space between (from memory, unverified), and the limit of an even
//! field in R. Mariner's theory of suspended ceilings over partitions (Noise Control 5 (1959) 13; from memory, unverified).

use super::NotPhysical;

/// A long low space, seen along its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plenum {
    height_m: f64,
    length_m: f64,
    volume_m3: f64,
}

impl Plenum {
    /// Clear height, longest side, m, and volume, m³.
    ///
    /// # Errors
    ///
    /// When one of them is not finite and above zero.
    pub fn new(height_m: f64, length_m: f64, volume_m3: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            height_m: NotPhysical::unless_positive("height of a void", height_m, "above zero, in m")?,
            length_m: NotPhysical::unless_positive("length of a void", length_m, "above zero, in m")?,
            volume_m3: NotPhysical::unless_positive("volume of a void", volume_m3, "above zero, in m³")?,
        })
    }

    /// Below this frequency no half wave fits into the height, and sound spreads along the void only, Hz: c0/(2h).
    #[must_use]
    pub fn flat_below_hz(&self, speed_m_s: f64) -> f64 {
        speed_m_s / (2.0 * self.height_m)
    }

    /// By how much an even field puts too much sound over the far half when it comes in all over the near half, dB.
    ///
    /// Energy that runs both ways along the void and dies off by A/(4V) per metre, as in a diffuse field, with hard ends: with s = A/(4V)·L/2
    /// the far half holds (w/m)·sinh² s/(s·sinh 2s), an even field w/(2m). Own derivation (the one-dimensional model of Mechel, Acustica 46
    /// (1980), in its simplest form; from memory, unverified).
    #[must_use]
    pub fn too_even_db(&self, absorption_m2: f64) -> f64 {
        let s = absorption_m2.max(0.0) / (4.0 * self.volume_m3) * self.length_m / 2.0;
        // sinh² s/(s·sinh 2s)·2 = tanh(s)/s.
        if s > 1e-6 { -10.0 * (s.tanh() / s).log10() } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 8 m by 4 m by 0.3 m, 32 m² of α 0.5: A/(4V) = 16/38.4 = 0.4167 /m, s = 1.667, tanh s/s = 0.931/1.667 = 0.5587: 2.5 dB.
    /// Marching the two streams in 20 000 steps gives the same.
    #[test]
    fn a_quilt_makes_a_void_uneven() {
        let plenum = Plenum::new(0.3, 8.0, 9.6).unwrap();
        assert!((plenum.too_even_db(16.0) - 2.53).abs() < 0.01, "{}", plenum.too_even_db(16.0));
        assert!((plenum.flat_below_hz(343.4) - 572.3).abs() < 0.1);
        assert!(plenum.too_even_db(0.0).abs() < 1e-12);
        let (decay, steps) = (16.0 / 38.4, 20_000);
        let step_m = 8.0 / f64::from(steps);
        let source = |at: i32| if at < steps / 2 { 0.5 * step_m } else { 0.0 };
        // Hard ends: what arrives leaves again. The stream that leaves the near end is found by running round and round.
        let (mut stream, mut far) = (0.0, 0.0);
        for _ in 0..40 {
            far = 0.0;
            let there_and_back = (0..steps).map(|at| (at, at)).chain((0..steps).map(|at| (at, steps - 1 - at)));
            for (_, at) in there_and_back {
                stream = stream * (-decay * step_m).exp() + source(at);
                if at >= steps / 2 {
                    far += stream * step_m;
                }
            }
        }
        // Over the far half the mean of both streams' sum, against an even w/(2·decay) with w = 1 per metre.
        let mean = far / 4.0;
        let got = -10.0 * (mean / (1.0 / (2.0 * decay))).log10();
        assert!((got - plenum.too_even_db(16.0)).abs() < 0.01, "{got}");
    }
}
