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

/// Squared phase of a wave across a layer, w = (k² − trace²)·d², as a function of the squared trace wavenumber.
#[derive(Clone, Copy)]
pub(super) struct SquaredPhase {
    /// w without a trace, over 4ⁿ, so that the power series is short.
    upright: Complex64,
    /// What a squared trace wavenumber takes from it.
    along: f64,
    /// n.
    doublings: usize,
}

impl SquaredPhase {
    /// `upright`: k²d². `along`: d², times the share of the trace that runs along the layer. `most`: the largest squared trace wavenumber.
    pub(super) fn new(upright: Complex64, along: f64, most: f64) -> Self {
        let mut size = upright.norm_sqr().max((upright - along * most).norm_sqr());
        let (mut doublings, mut shrink) = (0, 1.0);
        while size > 1.0 && doublings < 60 {
            (size, shrink, doublings) = (size / 16.0, shrink / 4.0, doublings + 1);
        }
        Self { upright: upright * shrink, along: along * shrink, doublings }
    }

    /// cos √w and sin √w/√w.
    ///
    /// Both are entire functions of w, so no root is needed: their power series at w/4ⁿ, small, then n times the double angle, as
    /// cos 2z − 1 = 2(cos z − 1)(cos z + 1) and sin 2z = 2 sin z cos z, which lose no digits.
    /// Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 4.3.24, 4.3.25, 4.3.65, 4.3.66.
    #[inline(always)]
    pub(super) fn cos_and_sinc(&self, trace_squared: &Lanes) -> (ComplexLanes, ComplexLanes) {
        match self.doublings {
            0 => self.doubled::<0>(trace_squared),
            1 => self.doubled::<1>(trace_squared),
            2 => self.doubled::<2>(trace_squared),
            3 => self.doubled::<3>(trace_squared),
            _ => self.doubled::<4>(trace_squared),
        }
    }

    /// With the first doublings in the loop over the lanes, so that nothing is stored between them.
    #[inline(always)]
    fn doubled<const FIRST: usize>(&self, trace_squared: &Lanes) -> (ComplexLanes, ComplexLanes) {
        let (mut versed, mut sinc) = (ComplexLanes::ZERO, ComplexLanes::ZERO);
        for (lane, trace) in trace_squared.iter().enumerate() {
            let w = (self.upright.re - self.along * trace, self.upright.im);
            let over_w = polynomial(&COSINE, w);
            let mut at = ((w.0 * over_w.0 - w.1 * over_w.1, w.0 * over_w.1 + w.1 * over_w.0), polynomial(&SINE, w));
            for _ in 0..FIRST {
                at = double(at.0, at.1);
            }
            ((versed.re[lane], versed.im[lane]), (sinc.re[lane], sinc.im[lane])) = at;
        }
        for _ in FIRST..self.doublings {
            for lane in 0..LANES {
                ((versed.re[lane], versed.im[lane]), (sinc.re[lane], sinc.im[lane])) =
                    double((versed.re[lane], versed.im[lane]), (sinc.re[lane], sinc.im[lane]));
            }
        }
        for re in &mut versed.re {
            *re += 1.0;
        }
        (versed, sinc)
    }
}

/// A polynomial with real coefficients at a complex place, in real arithmetic: it is divided by the quadratic whose roots are the
/// place and its conjugate. Source: Knuth, The Art of Computer Programming, vol. 2, 4.6.4, eq. 3.
#[inline(always)]
fn polynomial(coefficients: &[f64; TERMS], (re, im): (f64, f64)) -> (f64, f64) {
    let (twice, minus_square) = (2.0 * re, -(re * re + im * im));
    let (mut first, mut second) = (coefficients[TERMS - 1], coefficients[TERMS - 2]);
    for k in (0..TERMS - 2).rev() {
        (first, second) = (second + twice * first, coefficients[k] + minus_square * first);
    }
    (re * first + second, im * first)
}

/// From cos z − 1 and sin z/z those of 2z.
#[inline(always)]
fn double(versed: (f64, f64), sinc: (f64, f64)) -> ((f64, f64), (f64, f64)) {
    let more = versed.0 + 2.0;
    (
        (2.0 * (versed.0 * more - versed.1 * versed.1), 2.0 * versed.1 * (versed.0 + more)),
        (sinc.0 + sinc.0 * versed.0 - sinc.1 * versed.1, sinc.1 + sinc.0 * versed.1 + sinc.1 * versed.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against cosine and sine of the complex number itself, from a thin layer to one of many wavelengths, lossy and evanescent.
    #[test]
    fn series_and_doubling_give_cosine_and_sine() {
        for upright in [1e-9, 0.01, 0.9, 5.0, 40.0, 900.0].map(|size| Complex64::from_polar(size, -0.2)) {
            let most = 1.1 * upright.norm();
            let squared = SquaredPhase::new(upright, 1.0, most);
            let traces: Lanes = std::array::from_fn(|lane| most * lane as f64 / 7.0);
            let (cos, sinc) = squared.cos_and_sinc(&traces);
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
