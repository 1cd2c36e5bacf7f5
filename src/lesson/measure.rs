//! What a lesson reads off an answer: one figure.

use serde::{Deserialize, Serialize};

use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::{BAND_COUNT, Bands, Spectrum};
use crate::building::Building;
use crate::catalogue::UnknownId;
use crate::scene::{ListenerId, Scene};
use crate::solve::Answer;

/// One figure of an answer. Bands are named by the frequencies of the first and the last third octave, Hz.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Measure {
    /// A-weighted level at a listener, dB(A).
    Level(ListenerId),
    /// Unweighted level at a listener in a range of bands, dB.
    LevelIn(ListenerId, f64, f64),
    /// Rw of an element of the building without its openings, dB, by ISO 717-1.
    Rw(String),
    /// Rw of an element with its openings and gaps, dB, by ISO 717-1.
    RwWithOpenings(String),
    /// Mean sound reduction index of an element without its openings over a range of bands, dB: of the energies.
    RIn(String, f64, f64),
    /// Part of a listener's A-weighted sound that leaves the source's room by an element with its openings, %.
    Share(ListenerId, String),
    /// Part of a listener's A-weighted sound that leaves the source's room by the openings of an element and the gaps round them, %.
    ShareOfOpenings(ListenerId, String),
}

impl Measure {
    /// The unit of the figure.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        match self {
            Self::Level(_) => "dB(A)",
            Self::LevelIn(..) | Self::Rw(_) | Self::RwWithOpenings(_) | Self::RIn(..) => "dB",
            Self::Share(..) | Self::ShareOfOpenings(..) => "%",
        }
    }

    /// Says so when what is measured is not there; a clause.
    pub(super) fn refers(&self, scene: &Scene, building: &Building) -> Result<(), String> {
        if let Self::Level(id) | Self::LevelIn(id, ..) | Self::Share(id, _) | Self::ShareOfOpenings(id, _) = self {
            let known = || scene.listeners.iter().map(|known| known.id.0.as_str());
            if !known().any(|listener| listener == id.0) {
                return Err(UnknownId::among("listener", &id.0, known()).to_string());
            }
        }
        if let Self::Rw(id)
        | Self::RwWithOpenings(id)
        | Self::RIn(id, ..)
        | Self::Share(_, id)
        | Self::ShareOfOpenings(_, id) = self
        {
            element(building, id)?;
        }
        if let Self::LevelIn(_, from_hz, to_hz) | Self::RIn(_, from_hz, to_hz) = self {
            bands(*from_hz, *to_hz)?;
        }
        Ok(())
    }

    /// The figure.
    ///
    /// # Errors
    ///
    /// When the answer has no such listener or element, or the range of bands is empty; a clause.
    pub fn of(&self, building: &Building, answer: &Answer) -> Result<f64, String> {
        match self {
            Self::Level(listener) => Ok(heard(answer, listener)?.la_db),
            Self::LevelIn(listener, from_hz, to_hz) => {
                let energy = heard(answer, listener)?.energy;
                let sum: f64 = bands(*from_hz, *to_hz)?.map(|band| energy[band]).sum();
                Ok(10.0 * sum.log10())
            }
            Self::Rw(id) => Ok(f64::from(answer.elements[element(building, id)?].rw_db)),
            Self::RwWithOpenings(id) => {
                let r_db = &answer.elements[element(building, id)?].r_composite_db;
                if !r_db.is_finite() {
                    return Err(format!("element \"{id}\" cannot be rated"));
                }
                Ok(f64::from(Airborne::of_spectrum(r_db).rw_db))
            }
            Self::RIn(id, from_hz, to_hz) => {
                let r_db: &Spectrum = &answer.elements[element(building, id)?].r_db;
                let bands: Vec<usize> = bands(*from_hz, *to_hz)?.collect();
                let sum: f64 = bands.iter().map(|band| 10f64.powf(-r_db[*band] / 10.0)).sum();
                Ok(-10.0 * (sum / bands.len() as f64).log10())
            }
            Self::Share(listener, id) | Self::ShareOfOpenings(listener, id) => {
                let at = element(building, id)?;
                let whole = matches!(self, Self::Share(..));
                let counts = |path: &&crate::solve::PathRecord| {
                    use crate::solve::Surface::{Element, Gap, Opening};
                    match path.entry {
                        Element(entry) => whole && entry.0 == at,
                        Opening(entry, _) | Gap(entry, _) => entry.0 == at,
                        _ => false,
                    }
                };
                Ok(100.0 * heard(answer, listener)?.paths.iter().filter(counts).map(|path| path.share).sum::<f64>())
            }
        }
    }
}

fn heard<'a>(answer: &'a Answer, id: &ListenerId) -> Result<&'a crate::solve::ListenerAnswer, String> {
    let found = answer.listeners.iter().find(|heard| heard.listener == *id);
    found.ok_or_else(|| format!("there is no listener \"{id}\""))
}

fn element(building: &Building, id: &str) -> Result<usize, String> {
    let at = building.elements.iter().position(|element| element.id == id);
    at.ok_or_else(|| {
        let known = building.elements.iter().map(|element| element.id.as_str());
        UnknownId::among("element", id, known).to_string()
    })
}

fn bands(from_hz: f64, to_hz: f64) -> Result<std::ops::RangeInclusive<usize>, String> {
    let known = |hz: f64| (20.0..=6000.0).contains(&hz);
    if !(known(from_hz) && known(to_hz) && from_hz <= to_hz) {
        return Err(format!("there are no bands from {from_hz} to {to_hz} Hz"));
    }
    Ok(Bands::nearest(from_hz)..=Bands::nearest(to_hz).min(BAND_COUNT - 1))
}
