//! Cosine and sine of waves that also run along their layer, for eight angles at once.

use num_complex::Complex64;

use super::lanes::{ComplexLanes, LANES, Lanes};

/// 1/(2k + 2)! and 1/(2k + 1)! with the signs of (cos √w − 1)/w and sin √w/√w in powers of w.
const COSINE: [f64; TERMS] = series(2);
const SINE: [f64; TERMS] = series(1);
/// Enough to leave less than 1e-12 where |w| is at most 1.
const TERMS: usize = 7;

const fn series(start: usize) -> [f64; TERMS] {
    let mut terms = [0.0; TERMS];
    let (mut factorial, mut sign, mut k) = (1.0, if start == 2 { -1.0 } else { 1.0 }, 0);
    while k < TERMS {
        let last = 2 * k + start;
        // Two more factors for each term after the first.
        factorial *= if k == 0 { start as f64 } else { (last * (last - 1)) as f64 };
        terms[k] = sign / factorial;
        (sign, k) = (-sign, k + 1);
    }
    terms
}

/// Squared phase of a wave across a layer, w = (k² − trace²)·d², with the trace's part given apart from the upright wave's.
#[derive(Clone, Copy)]
pub(super) struct SquaredPhase {
    /// k²d².
    pub upright: Complex64,
    /// What of a squared trace wavenumber is taken from it: d² times its share along the layer.
    pub along: f64,
}

impl SquaredPhase {
    /// cos √w and sin √w/√w at squared trace wavenumbers, with as many [`Self::doublings`] as the largest of them needs.
    ///
    /// Both are entire functions of w, so no root is needed: their power series at w/4ⁿ, small, then n times the double angle, as
    /// cos 2z − 1 = 2(cos z − 1)(cos z + 1) and sin 2z = 2 sin z cos z, which lose no digits.
    /// Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 4.3.24, 4.3.25, 4.3.65, 4.3.66.
    pub(super) fn cos_and_sinc(&self, trace_squared: &Lanes, doublings: usize) -> (ComplexLanes, ComplexLanes) {
        let shrink = 0.25_f64.powi(doublings as i32);
        let (re, im, along) = (self.upright.re * shrink, self.upright.im * shrink, self.along * shrink);
        let (mut cos, mut sinc) = (ComplexLanes::ZERO, ComplexLanes::ZERO);
        for lane in 0..LANES {
            let w = (re - along * trace_squared[lane], im);
            let versed = polynomial(&COSINE, w);
            (cos.re[lane], cos.im[lane]) = (w.0 * versed.0 - w.1 * versed.1, w.0 * versed.1 + w.1 * versed.0);
            (sinc.re[lane], sinc.im[lane]) = polynomial(&SINE, w);
        }
        for _ in 0..doublings {
            double(&mut cos, &mut sinc);
        }
        for re in &mut cos.re {
            *re += 1.0;
        }
        (cos, sinc)
    }

    /// How often the angle must be doubled, for any trace wavenumber squared up to `most`.
    pub(super) fn doublings(&self, most: f64) -> usize {
        let mut size = self.upright.norm_sqr().max((self.upright - self.along * most).norm_sqr());
        let mut doublings = 0;
        while size > 1.0 && doublings < 60 {
            (size, doublings) = (size / 16.0, doublings + 1);
        }
        doublings
    }
}

/// A polynomial with real coefficients at a complex place, in real arithmetic: it is divided by the quadratic whose roots are the
/// place and its conjugate. Source: Knuth, The Art of Computer Programming, vol. 2, 4.6.4, eq. 3.
#[inline(always)]
fn polynomial(coefficients: &[f64; TERMS], (re, im): (f64, f64)) -> (f64, f64) {
    let (twice, square) = (2.0 * re, re * re + im * im);
    let (mut first, mut second) = (coefficients[TERMS - 1], coefficients[TERMS - 2]);
    for k in (0..TERMS - 2).rev() {
        (first, second) = (second + twice * first, coefficients[k] - square * first);
    }
    (re * first + second, im * first)
}

/// From cos z − 1 and sin z/z those of 2z.
fn double(versed: &mut ComplexLanes, sinc: &mut ComplexLanes) {
    for lane in 0..LANES {
        let (re, im) = (versed.re[lane], versed.im[lane]);
        let (s_re, s_im) = (sinc.re[lane], sinc.im[lane]);
        (sinc.re[lane], sinc.im[lane]) = (s_re + s_re * re - s_im * im, s_im + s_re * im + s_im * re);
        let more = re + 2.0;
        (versed.re[lane], versed.im[lane]) = (2.0 * (re * more - im * im), 2.0 * im * (re + more));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against cosine and sine of the complex number itself, from a thin layer to one of many wavelengths, lossy and evanescent.
    #[test]
    fn series_and_doubling_give_cosine_and_sine() {
        for upright in [1e-9, 0.01, 0.9, 5.0, 40.0, 900.0].map(|size| Complex64::from_polar(size, -0.2)) {
            let squared = SquaredPhase { upright, along: 1.0 };
            let most = 1.1 * upright.norm();
            let traces: Lanes = std::array::from_fn(|lane| most * lane as f64 / 7.0);
            let (cos, sinc) = squared.cos_and_sinc(&traces, squared.doublings(most));
            for (lane, trace) in traces.into_iter().enumerate() {
                let phase = (upright - trace).sqrt();
                let (exact_cos, exact_sinc) = (phase.cos(), phase.sin() / phase);
                let tolerance = 1e-11 * exact_cos.norm().max(1.0);
                assert!(
                    (Complex64::new(cos.re[lane], cos.im[lane]) - exact_cos).norm() < tolerance,
                    "{upright} {trace}"
                );
                assert!(
                    (Complex64::new(sinc.re[lane], sinc.im[lane]) - exact_sinc).norm() < tolerance,
                    "{upright} {trace}"
                );
            }
        }
    }
}
