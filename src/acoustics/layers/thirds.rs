//! Means over third octaves of a curve that is dear to compute, from as few of its places as it allows.

use crate::acoustics::Spectrum;
use crate::acoustics::bands::{BAND_COUNT, Bands};

// All limits below are our own choice, found by trial: over the catalogue in three sizes, against 96 places in each band, 0.014 dB are exceeded in one band of
// ten, 0.08 dB in three of a hundred and 0.2 dB in one, from 50 places for all 24 bands. (Six even places in every band, three times as much to compute: 0.012 dB
// in one of ten, 0.26 dB in one of a hundred.) Worst are two doors in one deep reveal at 4 kHz, by 2.1 dB (2.0 dB).

/// Where ln τ at the edges of three bands bends less than this from one edge to the next, twice, the middle band's own middle is foretold from them.
const STRAIGHT: f64 = 0.1;
/// Three places suffice when the middle one is at most this factor off what a power law through the edges gives, squared.
const SMOOTH: f64 = 1.1;
/// Five suffice when they say the same as three of them, within this share.
const ALIKE: f64 = 0.03;

/// What a build lets through at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Passed {
    /// Transmission coefficient.
    pub tau: f64,
    /// How many leaves have an angle at which they coincide.
    pub coinciding: usize,
    /// True where the bays between lines at regular distances may ring.
    pub ringing: bool,
}

/// Mean of τ over each third octave, evenly on a logarithmic scale. `passed`: τ at some frequency, Hz.
///
/// Bands that adjoin share the place at their edge. Beyond that, a band takes its middle, its quarters and its eighths only as far as the curve asks for them;
/// where a leaf begins to coincide it is broken, and all are taken.
pub(super) fn thirds(bands: &Bands, passed: impl Fn(f64) -> Passed) -> Spectrum {
    // From the middle of a third octave to its edge.
    let to_edge = 10f64.powf(0.05);
    let at_edges = edges(bands, to_edge, &passed);
    let steps @ [eighth, quarter] = [1.0 / 8.0, 1.0 / 4.0].map(|share| to_edge.powf(2.0 * share));
    let three_eighths = steps.iter().product::<f64>();
    Spectrum::from_fn(|band| {
        let hz = bands.hz(band);
        let [low, high] = at_edges[band];
        if let Some(middle) = foretold(&at_edges, band) {
            return three([low.tau, middle, high.tau]);
        }
        let middle = passed(hz).tau;
        let few = three([low.tau, middle, high.tau]);
        let unbroken = low.coinciding == high.coinciding;
        let bend = middle * middle / (low.tau * high.tau);
        let expected = if low.ringing { cubic(&at_edges, band) } else { None };
        let as_expected = expected.is_none_or(|expected| (middle / expected - 1.0).abs() < SMOOTH - 1.0);
        if unbroken && as_expected && bend < SMOOTH && bend > 1.0 / SMOOTH {
            return few;
        }
        let [before, after] = [hz / quarter, hz * quarter].map(|hz| passed(hz).tau);
        let more = five([low.tau, before, middle, after, high.tau]);
        if unbroken && (more / few - 1.0).abs() < ALIKE {
            return more;
        }
        let [first, second, third, fourth] =
            [hz / three_eighths, hz / eighth, hz * eighth, hz * three_eighths].map(|hz| passed(hz).tau);
        f64::midpoint(five([low.tau, first, before, second, middle]), five([middle, third, after, fourth, high.tau]))
    })
}

/// What passes at the lower and the upper edge of each band, the one that two bands share computed once.
fn edges(bands: &Bands, to_edge: f64, passed: &impl Fn(f64) -> Passed) -> [[Passed; 2]; BAND_COUNT] {
    let mut before: Option<(f64, Passed)> = None;
    std::array::from_fn(|band| {
        let [low_hz, high_hz] = [bands.hz(band) / to_edge, bands.hz(band) * to_edge];
        // Nominal midbands leave gaps and overlaps of a percent.
        let shared = before.filter(|(hz, _)| (hz / low_hz - 1.0).abs() < 1e-9);
        let low = shared.map_or_else(|| passed(low_hz), |(_, known)| known);
        let high = passed(high_hz);
        before = Some((high_hz, high));
        [low, high]
    })
}

/// τ in the middle of a band, from its edges and those of its neighbours, where it hardly bends there and no bays ring.
fn foretold(at_edges: &[[Passed; 2]; BAND_COUNT], band: usize) -> Option<f64> {
    let (before, after) = (at_edges.get(band.checked_sub(1)?)?, at_edges.get(band + 1)?);
    let places = [before[0], at_edges[band][0], at_edges[band][1], after[1]];
    let low = places[1];
    // Where a leaf begins to coincide, or all begins to pass, the curve has a corner.
    let unbroken = places.iter().all(|place| place.coinciding == low.coinciding && place.tau < 1.0);
    if low.ringing || !unbroken {
        return None;
    }
    let [a, b, c, d] = places.map(|place| place.tau.ln());
    let straight = [a - 2.0 * b + c, b - 2.0 * c + d].iter().all(|bend| bend.abs() < STRAIGHT);
    if straight { cubic(at_edges, band) } else { None }
}

/// τ in the middle of a band from its edges and those of its neighbours, where they adjoin.
/// Source: interpolation by the cubic through four even places; Abramowitz & Stegun, 25.2.
fn cubic(at_edges: &[[Passed; 2]; BAND_COUNT], band: usize) -> Option<f64> {
    let (before, after) = (at_edges.get(band.checked_sub(1)?)?, at_edges.get(band + 1)?);
    let [[outer_low, met_low], [low, high], [met_high, outer_high]] = [*before, at_edges[band], *after];
    if met_low != low || met_high != high {
        return None;
    }
    let [a, b, c, d] = [outer_low, low, high, outer_high].map(|place| place.tau.ln());
    Some((f64::midpoint(b, c) - (a - b - c + d) / 16.0).exp())
}

/// Mean of a curve from three even places, the first and the last its ends. Source: Simpson's rule; Abramowitz & Stegun, 25.4.
fn three([first, middle, last]: [f64; 3]) -> f64 {
    (first + 4.0 * middle + last) / 6.0
}

/// Mean of a curve from five even places. Source: Bode's rule; Abramowitz & Stegun, 25.4.
fn five([first, before, middle, after, last]: [f64; 5]) -> f64 {
    (7.0 * (first + last) + 32.0 * (before + after) + 12.0 * middle) / 90.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::Air;
    use crate::acoustics::bridges::{BRIDGES, Bridge};
    use crate::acoustics::layers::section::Section;
    use crate::acoustics::layers::{Cavity, Fill, Leaf, Sheet, Stack};

    /// Newton and Cotes: three even places integrate powers up to the third exactly, five up to the fifth.
    #[test]
    fn both_rules_integrate_the_powers_they_should() {
        for power in 0..=5 {
            let at = |place: f64| place.powi(power);
            let exact = 1.0 / f64::from(power + 1);
            if power <= 3 {
                assert!((three([0.0, 0.5, 1.0].map(at)) - exact).abs() < 1e-15, "{power}");
            }
            assert!((five([0.0, 0.25, 0.5, 0.75, 1.0].map(at)) - exact).abs() < 1e-15, "{power}");
        }
    }

    fn falling(db_per_octave: f64) -> impl Fn(f64) -> Passed {
        move |hz| Passed {
            tau: 10f64.powf(-12.0 - db_per_octave / 10.0 * (hz / 1000.0).log2()),
            coinciding: 0,
            ringing: false,
        }
    }

    /// A power law is straight: 25 edges, and a middle for the first and the last band. Its mean over a band of x octaves has a closed form, (2^(x n/2) −
    /// 2^(−x n/2))/(x n ln 2) of what is in the middle; Simpson's rule is 0.006 dB off at 18 dB per octave.
    #[test]
    fn a_mass_law_takes_one_place_a_band() {
        let count = std::cell::Cell::new(0);
        let counted = |hz: f64| {
            count.set(count.get() + 1);
            falling(6.0)(hz)
        };
        let _ = thirds(&Bands::exact(), counted);
        assert_eq!(count.get(), 27);
        for (db_per_octave, error_db) in [(6.0, 0.001), (12.0, 0.002), (18.0, 0.007)] {
            let bands = Bands::exact();
            let got = thirds(&bands, falling(db_per_octave));
            let span = db_per_octave / 10.0 * 0.1 / 2f64.log10() * 10f64.ln();
            let mean = 2.0 * (span / 2.0).sinh() / span;
            for band in 0..BAND_COUNT {
                let exact = falling(db_per_octave)(bands.hz(band)).tau * mean;
                let off_db = 10.0 * (got[band] / exact).log10();
                assert!(off_db.abs() < error_db, "{db_per_octave} dB, band {band}: {off_db}");
            }
        }
    }

    /// Nominal midbands have edges of their own: 24 bands with three places each.
    #[test]
    fn bands_that_do_not_adjoin_share_no_edge() {
        let count = std::cell::Cell::new(0);
        let counted = |hz: f64| {
            count.set(count.get() + 1);
            falling(6.0)(hz)
        };
        let _ = thirds(&Bands::nominal(), counted);
        assert_eq!(count.get(), 72);
    }

    /// Single leaves that coincide in the range, a sealed pane, a filled wall on studs, an empty cavity.
    fn some_stacks() -> [Stack; 6] {
        let plate = |thickness_m, kg_m3, speed_m_s, loss| {
            Leaf::single(Sheet::plate(thickness_m, kg_m3, speed_m_s, 0.25, loss).unwrap())
        };
        let (glass, board, brick) = (
            plate(0.006, 2500.0, 5200.0, 0.005),
            plate(0.0125, 680.0, 1810.0, 0.0125),
            plate(0.102, 1700.0, 2350.0, 0.015),
        );
        let double = |leaf: Leaf, depth_m, fill, connection| {
            Stack::new(vec![leaf, leaf], vec![Cavity::new(depth_m, fill, connection).unwrap()]).unwrap()
        };
        let wool = Some(Fill::new(0.06, 8000.0, 15.0).unwrap());
        let studs = Bridge::LightSteelStuds { spacing_mm: 600.0 };
        [
            Stack::single(glass),
            Stack::single(board),
            Stack::single(brick),
            double(glass, 0.012, None, Bridge::SealedUnitSpacer),
            double(board, 0.07, wool, studs),
            double(board, 0.07, None, studs),
        ]
    }

    /// Mean of τ over each band from 96 even places.
    fn from_96_places(bands: &Bands, passed: impl Fn(f64) -> f64) -> Spectrum {
        bands.map(|midband| {
            let places = (0..96).map(|at| midband * 10f64.powf((f64::from(2 * at + 1) / 96.0 - 1.0) / 20.0));
            places.map(&passed).sum::<f64>() / 96.0
        })
    }

    /// A band from few places is that from 96 evenly spread ones, as near as the limits above say.
    #[test]
    fn few_places_stand_for_a_band() {
        let (air, bands) = (Air::default(), Bands::exact());
        let mut squares = Vec::new();
        for stack in &some_stacks() {
            let section = Section::new(stack, &BRIDGES, (4.0, 2.5));
            let exact = from_96_places(&bands, |hz| section.passed(hz, &air).tau);
            let error_db =
                stack.transmission((4.0, 2.5), &air, &bands).zip(&exact, |got, exact| 10.0 * (got / exact).log10());
            assert!(error_db.iter().all(|db| db.abs() < 0.3), "{stack:?}: {error_db:?}");
            squares.extend(error_db.iter().map(|db| db * db));
        }
        let rms_db = (squares.iter().sum::<f64>() / squares.len() as f64).sqrt();
        assert!(rms_db < 0.06, "{rms_db}");
    }
}
