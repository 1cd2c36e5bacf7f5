//! The rooms' energies, all at once: A_r·p_r² = 4ρ0c0·W_r + Σ_s (τS)_sr·(p_s² − p_r²).
//!
//! Source: Cremer & Müller, Principles and Applications of Room Acoustics (1982), coupled rooms; Kuttruff, Room Acoustics, ch. 5.

use nalgebra::DMatrix;

use super::Conditions;
use super::construction::add;
use super::paths::Transfers;
use super::room::{POWER_TO_PRESSURE, RoomPart};
use crate::acoustics::{BAND_COUNT, Spectrum};
use crate::building::SpaceIndex;

/// The solved rooms.
///
/// Finishes already lose a little through windows and walls, so that adding what is passed on counts that little twice: with τ below
/// 1 % it does not show, and it keeps every balance solvable.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Absorption area with all that is passed on, m², by space.
    loss_m2: Vec<Spectrum>,
    /// For each band the inverse of the matrix, m⁻²; rows and columns are spaces. Spaces that are no rooms have zeros.
    inverse: Vec<DMatrix<f64>>,
    /// 4ρ0c0·W over (20 µPa)², m²: by space.
    drive: Vec<Spectrum>,
}

impl Balance {
    /// Sets up and inverts one small matrix for each band.
    #[must_use]
    pub fn new(rooms: &[RoomPart], transfers: &Transfers, conditions: &Conditions) -> Self {
        let n = rooms.len();
        let mut loss_m2: Vec<Spectrum> = rooms.iter().map(|room| room.absorption_m2).collect();
        let mut passed_m2 = vec![Spectrum::ZERO; n * n];
        for transfer in transfers.iter() {
            for (from, to) in [(0, 1), (1, 0)].map(|(from, to)| (transfer.rooms[from].0, transfer.rooms[to].0)) {
                loss_m2[from] = add(&loss_m2[from], &transfer.area_m2);
                passed_m2[to * n + from] = add(&passed_m2[to * n + from], &transfer.area_m2);
            }
        }
        let inverse = (0..BAND_COUNT)
            .map(|band| {
                // The outdoors and the ground keep a one on the diagonal and nothing else: they give nothing back.
                let mut matrix = DMatrix::<f64>::identity(n, n);
                for (at, room) in rooms.iter().enumerate().filter(|(_, room)| room.enclosed) {
                    let _ = room;
                    matrix[(at, at)] = loss_m2[at][band];
                }
                for (to, from) in (0..n).flat_map(|to| (0..n).map(move |from| (to, from))) {
                    if rooms[from].enclosed && rooms[to].enclosed {
                        matrix[(to, from)] -= passed_m2[to * n + from][band];
                    }
                }
                // Strictly dominant by its diagonal, so an inverse exists; silence if arithmetic overflowed.
                matrix.try_inverse().unwrap_or_else(|| DMatrix::zeros(n, n))
            })
            .collect();
        let factor = 4.0 * conditions.air.impedance_pa_s_m() * POWER_TO_PRESSURE;
        let drive = rooms.iter().map(|room| room.power.map(|power| factor * power)).collect();
        Self { loss_m2, inverse, drive }
    }

    /// Mean squared pressure in a space with all sources playing.
    #[must_use]
    pub fn energy(&self, space: usize) -> Spectrum {
        (0..self.drive.len()).fold(Spectrum::ZERO, |sum, source| {
            sum.zip(&self.energy_from(SpaceIndex(source), SpaceIndex(space)), |sum, own| sum + own)
        })
    }

    /// Mean squared pressure in a space by the sources of one room alone.
    #[must_use]
    pub fn energy_from(&self, source: SpaceIndex, space: SpaceIndex) -> Spectrum {
        let drive = &self.drive[source.0];
        Spectrum::from_fn(|band| self.inverse[band][(space.0, source.0)] * drive[band])
    }

    /// p² in `space` over p² in `source` when only that room is loud: what the level difference D is made of.
    #[must_use]
    pub fn ratio(&self, source: SpaceIndex, space: SpaceIndex) -> Spectrum {
        Spectrum::from_fn(|band| {
            let inverse = &self.inverse[band];
            inverse[(space.0, source.0)] / inverse[(source.0, source.0)]
        })
    }

    /// With `source` held at its level: p² in `space` for each m² of (τS)·p² that enters `entered`, 1/m². By Schur's complement of the source room.
    #[must_use]
    pub fn response(&self, source: SpaceIndex, space: SpaceIndex, entered: SpaceIndex) -> Spectrum {
        Spectrum::from_fn(|band| {
            let inverse = &self.inverse[band];
            let (s, k, m) = (source.0, space.0, entered.0);
            (inverse[(k, m)] - inverse[(k, s)] * inverse[(s, m)] / inverse[(s, s)]).max(0.0)
        })
    }

    /// p² in `space` for each m² of A·p² brought into `entered`, 1/m².
    #[must_use]
    pub fn per_drive(&self, space: SpaceIndex, entered: SpaceIndex) -> Spectrum {
        Spectrum::from_fn(|band| self.inverse[band][(space.0, entered.0)])
    }

    /// Absorption area with all that is passed on, m².
    #[must_use]
    pub fn loss_m2(&self, space: SpaceIndex) -> &Spectrum {
        &self.loss_m2[space.0]
    }

    /// 4ρ0c0·W over (20 µPa)² of the sources in a space, m².
    #[must_use]
    pub fn drive(&self, space: SpaceIndex) -> &Spectrum {
        &self.drive[space.0]
    }
}
