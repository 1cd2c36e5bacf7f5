//! The one idea behind Rw, Ln,w, STC and αw: a reference curve is shifted until the unfavourable deviations just fit.
//!
//! Whole numbers of a small unit (0.1 dB, 0.001 dB, 0.01 of α), because the standards decide at exact decimal limits.

/// How far a shifted curve may lie on the unfavourable side, in the unit of the values.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    /// The largest sum of unfavourable deviations.
    pub(crate) sum: i64,
    /// The largest single one; `i64::MAX` where the standard has no such rule.
    pub(crate) single: i64,
}

/// A curve in its final place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fit<const N: usize> {
    /// By how much the reference curve was raised.
    pub(crate) shift: i64,
    /// By how much each value falls short of the shifted curve; 0 where it does not.
    pub(crate) unfavourable: [i64; N],
}

impl<const N: usize> Fit<N> {
    fn at(values: &[i64; N], reference: &[i64; N], shift: i64) -> Self {
        Self { shift, unfavourable: std::array::from_fn(|band| (reference[band] + shift - values[band]).max(0)) }
    }

    pub(crate) fn sum(&self) -> i64 {
        self.unfavourable.iter().sum()
    }

    fn fits(&self, limits: Limits) -> bool {
        self.sum() <= limits.sum && self.unfavourable.iter().all(|short| *short <= limits.single)
    }
}

/// The highest place of the reference curve, in steps of `step`, at which the values fall short by no more than the limits.
pub(crate) fn highest<const N: usize>(values: &[i64; N], reference: &[i64; N], step: i64, limits: Limits) -> Fit<N> {
    // At the smallest surplus nothing is unfavourable; at the largest surplus plus the allowed sum it must be too much.
    let surplus = |band: usize| values[band] - reference[band];
    let mut low = (0..N).map(surplus).min().unwrap_or(0).div_euclid(step);
    let mut high = ((0..N).map(surplus).max().unwrap_or(0) + limits.sum).div_euclid(step) + 1;
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if Fit::at(values, reference, middle * step).fits(limits) { low = middle } else { high = middle }
    }
    Fit::at(values, reference, low * step)
}

/// Decibels as whole numbers of `1/per_db` dB, rounded half up; values no building has are held at ±1000 dB and NaN at −1000.
pub(crate) fn in_steps(db: f64, per_db: f64) -> i64 {
    let held = if db.is_nan() { -1000.0 } else { db.clamp(-1000.0, 1000.0) };
    // The small extra lets 0.25·10 = 2.4999999999999996 be the half it was printed as.
    (held * per_db + 0.5 + 1e-7).floor() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMITS: Limits = Limits { sum: 32, single: 8 };

    #[test]
    fn the_curve_rises_until_the_sum_is_used_up() {
        let fit = highest(&[0; 16], &[0; 16], 1, LIMITS);
        assert_eq!((fit.shift, fit.sum()), (2, 32));
    }

    #[test]
    fn one_deep_dip_is_stopped_by_the_single_limit() {
        let mut values = [0; 16];
        values[3] = -20;
        assert_eq!(highest(&values, &[0; 16], 1, LIMITS).shift, -12);
    }

    #[test]
    fn steps_are_kept_below_zero_too() {
        assert_eq!(highest(&[-7; 4], &[0; 4], 5, Limits { sum: 0, single: i64::MAX }).shift, -10);
    }

    #[test]
    fn halves_round_up_and_nan_is_the_worst_value() {
        assert_eq!((in_steps(0.25, 10.0), in_steps(-0.25, 10.0), in_steps(f64::NAN, 10.0)), (3, -2, -10_000));
    }
}
