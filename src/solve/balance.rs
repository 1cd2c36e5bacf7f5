//! The rooms' energies, all at once: A_r·p_r² = 4ρ0c0·W_r + Σ_s (τS)_sr·(p_s² − p_r²).
//!
//! Source: Cremer & Müller, Principles and Applications of Room Acoustics (1982), coupled rooms; Kuttruff, Room Acoustics, ch. 5.

use fearless_simd::{Level, dispatch};

use super::construction::add;
use super::paths::Transfer;
use super::room::{POWER_TO_PRESSURE, RoomPart};
use crate::acoustics::{Air, BAND_COUNT, Spectrum};
use crate::building::SpaceIndex;

/// The solved rooms.
///
/// Finishes already lose a little through windows and walls, so that adding what is passed on counts that little twice: with τ below
/// 1 % it does not show, and it keeps every balance solvable.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Absorption area with all that is passed on, m², by space.
    loss_m2: Vec<Spectrum>,
    /// The inverse of the matrix, m⁻², whose rows and columns are rooms.
    inverse: Symmetric,
    /// The row of each space; the outdoors and the ground have none, for they give nothing back.
    rows: Vec<Option<usize>>,
    /// 4ρ0c0·W over (20 µPa)², m²: by space.
    drive: Vec<Spectrum>,
}

impl Balance {
    /// Sets up and inverts one small matrix for each band, all bands together.
    #[must_use]
    pub fn new(rooms: &[RoomPart], transfers: &[Transfer], air: &Air) -> Self {
        let n = rooms.len();
        let mut loss_m2: Vec<Spectrum> = rooms.iter().map(|room| room.absorption_m2).collect();
        // Ways are the same both ways, and so is the matrix: one half of it is enough.
        let mut passed_m2 = vec![Spectrum::ZERO; n * n];
        for transfer in transfers {
            let [one, other] = transfer.rooms.map(|room| room.0);
            let passed = &mut passed_m2[one.max(other) * n + one.min(other)];
            *passed = add(passed, &transfer.area_m2);
        }
        for (one, other) in (0..n).flat_map(|one| (0..one).map(move |other| (one, other))) {
            for room in [one, other] {
                loss_m2[room] = add(&loss_m2[room], &passed_m2[one * n + other]);
            }
        }
        let rooms_only: Vec<usize> = (0..n).filter(|at| rooms[*at].enclosed).collect();
        let mut rows = vec![None; n];
        rooms_only.iter().enumerate().for_each(|(row, at)| rows[*at] = Some(row));
        let matrix = Symmetric::from_fn(rooms_only.len(), |row, column| {
            let (one, other) = (rooms_only[row], rooms_only[column]);
            if row == column { loss_m2[one] } else { passed_m2[one * n + other].map(|passed| -passed) }
        });
        let inverse = matrix.inverse();
        let factor = 4.0 * air.impedance_pa_s_m() * POWER_TO_PRESSURE;
        let drive = rooms.iter().map(|room| room.power.map(|power| factor * power)).collect();
        Self { loss_m2, inverse, rows, drive }
    }

    /// How many spaces there are.
    #[must_use]
    pub fn space_count(&self) -> usize {
        self.drive.len()
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
        self.inverse(space, source).zip(drive, |inverse, drive| inverse * drive)
    }

    /// p² in `space` over p² in `source` when only that room is loud: what the level difference D is made of.
    #[must_use]
    pub fn ratio(&self, source: SpaceIndex, space: SpaceIndex) -> Spectrum {
        self.inverse(space, source).zip(self.inverse(source, source), |there, here| there / here)
    }

    /// With `source` held at its level: p² in `space` for each m² of (τS)·p² that enters `entered`, 1/m². By Schur's complement of the source room.
    #[must_use]
    pub fn response(&self, source: SpaceIndex, space: SpaceIndex, entered: SpaceIndex) -> Spectrum {
        let (all, from, into, own) = (
            self.inverse(space, entered),
            self.inverse(space, source),
            self.inverse(source, entered),
            self.inverse(source, source),
        );
        Spectrum::from_fn(|band| (all[band] - from[band] * into[band] / own[band]).max(0.0))
    }

    /// p² in `space` for each m² of A·p² brought into `entered`, 1/m².
    #[must_use]
    pub fn per_drive(&self, space: SpaceIndex, entered: SpaceIndex) -> &Spectrum {
        self.inverse(space, entered)
    }

    /// A cell of the inverse. Spaces that are no rooms have a one on the diagonal and nothing else.
    fn inverse(&self, row: SpaceIndex, column: SpaceIndex) -> &Spectrum {
        const ONE: Spectrum = Spectrum::splat(1.0);
        match (self.rows[row.0], self.rows[column.0]) {
            (Some(one), Some(other)) => &self.inverse.lower[Symmetric::at(one, other)],
            _ if row == column => &ONE,
            _ => &Spectrum::ZERO,
        }
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

/// A symmetric matrix for each band: its lower half, row by row.
#[derive(Debug, Clone, PartialEq)]
struct Symmetric {
    n: usize,
    lower: Vec<Spectrum>,
}

impl Symmetric {
    /// `value(row, column)` for column ≤ row.
    fn from_fn(n: usize, value: impl Fn(usize, usize) -> Spectrum) -> Self {
        let lower = (0..n).flat_map(|row| (0..=row).map(move |column| (row, column)));
        Self { n, lower: lower.map(|(row, column)| value(row, column)).collect() }
    }

    fn at(one: usize, other: usize) -> usize {
        let (row, column) = (one.max(other), one.min(other));
        row * (row + 1) / 2 + column
    }

    /// Exchanges what a row gives and takes. `column` is room for one.
    #[inline(always)]
    fn sweep(&mut self, pivot: usize, column: &mut [Spectrum]) {
        let n = self.n;
        let over = self.lower[Self::at(pivot, pivot)].map(|value| 1.0 / value);
        for (row, value) in column.iter_mut().enumerate() {
            *value = self.lower[Self::at(row, pivot)];
        }
        for row in (0..n).filter(|row| *row != pivot) {
            let part = column[row].zip(&over, |value, over| value * over);
            let start = Self::at(row, 0);
            for (value, across) in self.lower[start..=start + row].iter_mut().zip(column.iter()) {
                take_off(value, &part, across);
            }
        }
        // The rows above have changed the pivot's own row and column, which are put in last.
        for row in (0..n).filter(|row| *row != pivot) {
            self.lower[Self::at(row, pivot)] = column[row].zip(&over, |value, over| value * over);
        }
        self.lower[Self::at(pivot, pivot)] = over.map(|over| -over);
    }

    /// The inverse of matrices that are strictly dominant by their diagonal; zeros in bands where arithmetic overflowed.
    ///
    /// Swept row by row, which turns M into −M⁻¹ and keeps it symmetric. Source: Goodnight, The American Statistician 33 (1979) 149, the sweep operator
    /// (from memory, unverified; a test holds it against an LU decomposition). Rows need not be exchanged, for all pivots stay above zero.
    fn inverse(mut self) -> Self {
        let n = self.n;
        let mut column = vec![Spectrum::ZERO; n];
        dispatch!(Level::new(), _simd => for pivot in 0..n {
            self.sweep(pivot, &mut column);
        });
        let mut sound = [true; BAND_COUNT];
        for value in &self.lower {
            sound.iter_mut().zip(value.iter()).for_each(|(sound, value)| *sound &= value.is_finite());
        }
        for value in &mut self.lower {
            *value = Spectrum::from_fn(|band| if sound[band] { -value[band] } else { 0.0 });
        }
        self
    }
}

/// sum − a·b in every band.
#[inline(always)]
fn take_off(sum: &mut Spectrum, a: &Spectrum, b: &Spectrum) {
    for band in 0..sum.0.len() {
        sum[band] -= a[band] * b[band];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::DMatrix;

    /// Dominant matrices of 1 to 12 rooms, against nalgebra's LU decomposition, within roundoff.
    #[test]
    fn the_inverse_is_that_of_a_library() {
        for n in 1..=12usize {
            let passed = |row: usize, column: usize, band: usize| {
                let mixed = (row * 31 + column * 17 + band * 7) % 23;
                if mixed < 6 { 0.0 } else { 10f64.powi(-(mixed as i32) / 4) }
            };
            let cell = |row: usize, column: usize, band: usize| {
                if row == column {
                    1.0 + 0.1 * row as f64
                        + (0..n).filter(|at| *at != row).map(|at| passed(row.max(at), row.min(at), band)).sum::<f64>()
                } else {
                    -passed(row.max(column), row.min(column), band)
                }
            };
            let ours = Symmetric::from_fn(n, |row, column| Spectrum::from_fn(|band| cell(row, column, band))).inverse();
            let theirs = |band| DMatrix::from_fn(n, n, |row, column| cell(row, column, band)).try_inverse().unwrap();
            for (band, theirs) in (0..BAND_COUNT).map(|band| (band, theirs(band))) {
                for (row, column) in (0..n).flat_map(|row| (0..n).map(move |column| (row, column))) {
                    let (got, wanted) = (ours.lower[Symmetric::at(row, column)][band], theirs[(row, column)]);
                    assert!((got - wanted).abs() <= 1e-12 * theirs[(row, row)], "{n}, {band}: {got} for {wanted}");
                }
            }
        }
    }

    /// A band that overflows is silent, and the others are as they were.
    #[test]
    fn a_band_beyond_all_numbers_is_silent() {
        let two = |row, column| if row == column { 2.0 } else { -1.0 };
        let matrix = Symmetric::from_fn(2, |row, column| {
            Spectrum::from_fn(|band| if band == 3 { f64::INFINITY } else { two(row, column) })
        });
        let inverse = matrix.inverse().lower;
        assert!((inverse[1][2] - 1.0 / 3.0).abs() < 1e-15 && inverse[1][3] == 0.0);
    }
}
