//! How much of what a listener hears passes each face of the building: what the plan is coloured by.

use std::collections::BTreeMap;

use crate::solve::{BandChoice, ListenerAnswer, Surface};

/// Which end of the paths colours the plan.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum By {
    /// Where it leaves the source's room
    #[default]
    Entry,
    /// Where it comes out at the listener
    Exit,
}

/// The parts of a listener's energy by the face they pass.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaks {
    /// Energy in the chosen bands, (20 µPa)², A-weighted where the choice says so.
    pub total: f64,
    /// Part of the total, 0 to 1, strongest first. They sum to 1 unless the total is 0.
    pub by_surface: Vec<(Surface, f64)>,
}

impl Leaks {
    /// Sums the paths of a listener over the faces they pass.
    #[must_use]
    pub fn of(listener: &ListenerAnswer, band: BandChoice, by: By) -> Self {
        let mut sums: BTreeMap<Surface, f64> = BTreeMap::new();
        for path in &listener.paths {
            let face = match by {
                By::Entry => path.entry,
                By::Exit => path.exit,
            };
            *sums.entry(face).or_default() += band.energy(&path.energy);
        }
        let total: f64 = sums.values().sum();
        let mut by_surface: Vec<_> =
            sums.into_iter().map(|(face, energy)| (face, if total > 0.0 { energy / total } else { 0.0 })).collect();
        by_surface.sort_by(|a, b| b.1.total_cmp(&a.1));
        Self { total, by_surface }
    }

    /// The share that passes a face.
    #[must_use]
    pub fn share(&self, face: Surface) -> f64 {
        self.by_surface.iter().find(|(other, _)| *other == face).map_or(0.0, |(_, share)| *share)
    }
}
