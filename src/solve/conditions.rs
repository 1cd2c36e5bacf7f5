//! What a solve is computed under: air, midbands, the ground.

use crate::acoustics::{Air, Bands};
use crate::scene::{Ground, Scene};

/// What a solve may be told beside the scene: only to follow printed examples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Midband frequencies.
    pub bands: Bands,
    /// The air in the rooms.
    pub air: Air,
    /// The air that elements are computed in. A scene's are in that of laboratories: ISO 12354-1:2017 takes R as measured (ISO 10140), whatever the season, and an
    /// outer wall lies between two airs anyway. From 0 to 30 °C the mass law would differ by up to 0.3 dB from 20 °C, as τ goes with (ρ0c0)²; more only in the
    /// bands round a critical frequency, which goes with c0² and moves by up to 7 %.
    pub element_air: Air,
    /// The ground outdoors.
    pub ground: Ground,
    /// What field work leaves between two rooms of one building by no path that a drawing shows: DnT from 250 Hz up, dB; infinite to follow a printed example that
    /// knows nothing of it.
    pub residual_db: f64,
    /// True to follow a printed example that takes floating floors as ideal: no loss at their resonance, no end to their gain.
    pub ideal_linings: bool,
    /// How much of a room's energy in a band may be left out with paths through the open air that next to nothing comes by; 0 follows them all.
    pub left_out: f64,
}

/// 0.01 dB. Own choice: less than is shown of any level, and far within every uncertainty.
pub const LEFT_OUT: f64 = 2.3e-3;

impl Conditions {
    /// An element by itself in some air.
    #[must_use]
    pub fn of_laboratory(air: &Air, bands: &Bands) -> Self {
        let (bands, air, element_air) = (*bands, *air, *air);
        Self {
            bands,
            air,
            element_air,
            ground: Ground::Hard,
            residual_db: f64::INFINITY,
            ideal_linings: false,
            left_out: 0.0,
        }
    }

    /// Exact midbands and the scene's air; out of range, the usual 20 °C and 50 %, which are also those of laboratories.
    #[must_use]
    pub fn of(scene: &Scene) -> Self {
        let air = Air::at(scene.air.temperature_c, scene.air.humidity_percent).unwrap_or_default();
        Self {
            bands: Bands::exact(),
            air,
            element_air: Air::default(),
            ground: scene.outdoors.ground,
            residual_db: scene.residual.dnt_db,
            ideal_linings: false,
            left_out: LEFT_OUT,
        }
    }
}
