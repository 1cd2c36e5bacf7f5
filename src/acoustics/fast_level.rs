//! The loudest moment of a train of strokes: LFmax against Leq.

/// Time constant of time weighting F, s. Source: IEC 61672-1:2013, 5.8.
pub const FAST_S: f64 = 0.125;
/// ln(10⁶): a reverberation time holds so many time constants of the decaying energy.
const DECAYS_IN_T: f64 = 13.815_510_557_964_274;

/// LFmax − Leq, dB, of equal strokes `strokes_per_s` > 0 in a room of reverberation time `t_s` > 0; at least 0.
///
/// Each stroke is short against 125 ms, and its sound decays exponentially with T/13.8; time weighting F averages that with its own
/// exponential. For one stroke alone LFmax = LE + 10 lg(1/τ)·…, for a train of them what the earlier ones left is added in energy.
/// Elementary from the definition of time weighting F, IEC 61672-1:2013.
///
/// ```
/// # use leaklight::acoustics::fast_level::fast_max_over_mean_db;
/// // One short stroke a second in a dry room: nearly 10 lg(1 s/125 ms) = 9.03 dB.
/// assert!((fast_max_over_mean_db(1.0, 0.01) - 9.03).abs() < 0.2);
/// ```
#[must_use]
pub fn fast_max_over_mean_db(strokes_per_s: f64, t_s: f64) -> f64 {
    let mut decay_s = t_s / DECAYS_IN_T;
    if (decay_s / FAST_S - 1.0).abs() < 1e-4 {
        // Equal time constants: a limit that the closed form below does not reach.
        decay_s *= 1.0 + 1e-3;
    }
    let period_s = 1.0 / strokes_per_s;
    // Output per unit of mean energy flow: h(t) = (e^(−t/τ) − e^(−t/Td))/(τ − Td), all earlier strokes summed as geometric series.
    let (a, b) = (1.0 / (1.0 - (-period_s / FAST_S).exp()), 1.0 / (1.0 - (-period_s / decay_s).exp()));
    let peak_s = (b * FAST_S / (a * decay_s)).ln() * FAST_S * decay_s / (FAST_S - decay_s);
    let at_s = peak_s.clamp(0.0, period_s);
    let output = (a * (-at_s / FAST_S).exp() - b * (-at_s / decay_s).exp()) / (FAST_S - decay_s);
    (10.0 * (output * period_s).log10()).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the sum of strokes simulated in steps of 0.1 ms (within 0.05 dB).
    #[test]
    fn the_closed_form_is_what_a_meter_would_show() {
        for (rate, t_s) in [(0.5, 0.4), (2.0, 0.5), (4.0, 1.2), (8.0, 1.727), (10.0, 0.3), (2.0, 4.0)] {
            let (step_s, decay_s) = (1e-4, t_s / DECAYS_IN_T);
            let every = (1.0 / (rate * step_s)) as usize;
            let (mut sound, mut meter, mut max) = (0.0_f64, 0.0_f64, 0.0_f64);
            for step in 0..200_000 {
                sound *= f64::exp(-step_s / decay_s);
                if step % every == 0 {
                    sound += 1.0 / decay_s;
                }
                meter += (sound - meter) * (1.0 - f64::exp(-step_s / FAST_S));
                if step > 100_000 {
                    max = max.max(meter);
                }
            }
            let simulated_db = 10.0 * (max / rate).log10();
            let computed_db = fast_max_over_mean_db(rate, t_s);
            assert!((simulated_db - computed_db).abs() < 0.05, "{rate} {t_s}: {simulated_db} {computed_db}");
        }
    }

    #[test]
    fn fast_strokes_in_a_live_room_are_steady() {
        assert!(fast_max_over_mean_db(40.0, 2.0) < 0.1);
    }
}
