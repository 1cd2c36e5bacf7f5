//! What to know of the lowest bands, in lines for a terminal: where a listener's levels are rough, and at which tones rooms ring.

use std::fmt::Write as _;

use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::acoustics::{BAND_COUNT, Spectrum, bands::NOMINAL_HZ};
use crate::building::{Building, SpaceIndex};
use crate::solve::{Answer, ListenerAnswer, SpaceAnswer};

use super::names;

/// Modes named of a room.
const NAMED_MODES: usize = 8;

/// Whether an octave (position in [`crate::acoustics::bands::OCTAVE_HZ`]) holds a band of low confidence.
#[must_use]
pub fn is_rough(heard: &ListenerAnswer, octave: usize) -> bool {
    3 * octave < heard.first_confident_band
}

/// What the mark ~ at a level means, with the least uncertainty below and how much of the A-weighted energy lies there:
/// "~ below 200 Hz single modes decide: third octaves ± 9 dB or more, with 79 % of the dB(A)".
#[must_use]
pub fn meaning(heard: &ListenerAnswer) -> String {
    let first = heard.first_confident_band.min(BAND_COUNT);
    let least_db = heard.band_uncertainty_db.0[..first].iter().copied().fold(f64::INFINITY, f64::min);
    let place = NOMINAL_HZ.get(first).map_or_else(|| "in all bands".to_owned(), |hz| format!("below {hz} Hz"));
    let mut text = format!("~ {place} single modes decide: third octaves ± {least_db:.0} dB or more");
    let low = Spectrum::from_fn(|band| if band < first { heard.energy[band] } else { 0.0 });
    let (low, all) = (a_weighted_energy(&low), a_weighted_energy(&heard.energy));
    if all > 0.0 {
        let _ = match 100.0 * low / all {
            percent if percent < 1.0 => write!(text, ", with under 1 % of the dB(A)"),
            percent => write!(text, ", with {percent:.0} % of the dB(A)"),
        };
    }
    text
}

/// A line for each loud room and each room of the chosen listeners: Schroeder frequency, and the first modes where it is a box.
/// Empty where there is no such room.
#[must_use]
pub fn rooms(building: &Building, answer: &Answer, chosen: &[usize]) -> String {
    let heard_in = |at: usize| {
        chosen.iter().filter_map(|listener| answer.listeners.get(*listener)).any(|heard| heard.space.0 == at)
    };
    let mut out = String::new();
    for (at, space) in answer.spaces.iter().enumerate() {
        // Outdoors and ground have no Schroeder frequency.
        if space.schroeder_hz > 0.0 && (space.has_source || heard_in(at)) {
            let name = names::space(building, SpaceIndex(at));
            let _ = writeln!(out, "  {name}: {}", room(space));
        }
    }
    out
}

fn room(space: &SpaceAnswer) -> String {
    let mut text = format!("no diffuse field below {:.0} Hz", space.schroeder_hz);
    if space.single_modes.is_empty() {
        return text;
    }
    let modes = space.single_modes.iter().take(NAMED_MODES).map(|mode| {
        let [x, y, z] = mode.order;
        format!("{:.0} ({x}-{y}-{z})", mode.hz)
    });
    let _ = write!(text, "; modes, Hz: {}", modes.collect::<Vec<_>>().join(", "));
    if space.single_modes.len() > NAMED_MODES {
        text.push_str(" …");
    }
    text
}
