//! The rooms' energies, all at once: A_r·p_r² = 4ρ0c0·W_r + Σ_s (τS)_sr·(p_s² − p_r²).
//!
//! Source: Cremer & Müller, Principles and Applications of Room Acoustics (1982), coupled rooms; Kuttruff, Room Acoustics, ch. 5.

use std::collections::BTreeMap;

use super::construction::add;
use super::paths::Transfer;
use super::room::RoomAcoustics;
use crate::acoustics::{BAND_COUNT, Spectrum};
use crate::building::SpaceIndex;

/// What is passed on is counted until it changes no room by more than this part of what is there.
const NEAR_ENOUGH: f64 = 1e-13;
/// So many times at most. Rooms that are one but for an opening, bare and with nothing to take sound up, ask for some fifty.
const MOST_ROUNDS: usize = 500;

/// The rooms with what passes between them.
///
/// Finishes already lose a little through windows and walls, so that adding what is passed on counts that little twice: with τ below
/// 1 % it does not show, and it keeps every balance solvable.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// True for rooms; the outdoors and the ground give nothing back.
    enclosed: Vec<bool>,
    /// Absorption area with all that is passed on, m², by space.
    loss_m2: Vec<Spectrum>,
    /// For each room those before it in the list that it is joined to.
    joined: Vec<Vec<Joined>>,
    /// Absorption area of each room once those before it are folded into the ones they are joined to, m².
    folded_m2: Vec<Spectrum>,
}

/// A room that another one is joined to.
#[derive(Debug, Clone, PartialEq)]
struct Joined {
    to: usize,
    /// What passes between the two, m².
    area_m2: Spectrum,
    /// What passes with all rooms before both folded, over the folded area of the room joined to.
    part: Spectrum,
}

impl Balance {
    /// Of rooms and what passes between them.
    #[must_use]
    pub fn new(rooms: &[RoomAcoustics], transfers: &[Transfer]) -> Self {
        let enclosed: Vec<bool> = rooms.iter().map(|room| room.enclosed).collect();
        let mut loss_m2: Vec<Spectrum> = rooms.iter().map(|room| room.absorption_m2).collect();
        let mut passed_m2: Vec<BTreeMap<usize, Spectrum>> = vec![BTreeMap::new(); rooms.len()];
        for transfer in transfers {
            // Paths are the same both ways.
            let [one, other] = transfer.rooms.map(|room| room.0);
            let passed = passed_m2[one.max(other)].entry(one.min(other)).or_insert(Spectrum::ZERO);
            *passed = add(passed, &transfer.area_m2);
        }
        let mut joined: Vec<Vec<Joined>> = Vec::with_capacity(rooms.len());
        for (at, passed_m2) in passed_m2.into_iter().enumerate() {
            for (to, area_m2) in &passed_m2 {
                loss_m2[at] = add(&loss_m2[at], area_m2);
                loss_m2[*to] = add(&loss_m2[*to], area_m2);
            }
            let of_rooms = passed_m2.into_iter().filter(|(to, _)| enclosed[at] && enclosed[*to]);
            joined.push(of_rooms.map(|(to, area_m2)| Joined { to, area_m2, part: Spectrum::ZERO }).collect());
        }
        let mut balance = Self { enclosed, folded_m2: loss_m2.clone(), loss_m2, joined };
        balance.fold();
        balance
    }

    /// Folds each room into those it is joined to (star to mesh), as far as these are joined to one another: the incomplete Cholesky factors of the balance.
    ///
    /// Source: Meijerink & van der Vorst, Mathematics of Computation 31 (1977) 148: they exist for every matrix like this one, and rounds made with them end
    /// (from memory, unverified; a test holds the outcome against an LU decomposition).
    fn fold(&mut self) {
        for at in 0..self.joined.len() {
            let (before, from_here) = self.joined.split_at_mut(at);
            let mut folded = self.loss_m2[at];
            for place in 0..from_here[0].len() {
                let (known, rest) = from_here[0].split_at_mut(place);
                let here = &mut rest[0];
                let mut passed = here.area_m2;
                // Both lists are in the order of rooms.
                let mut theirs = before[here.to].iter().peekable();
                for mine in known.iter() {
                    while theirs.next_if(|other| other.to < mine.to).is_some() {}
                    if let Some(other) = theirs.next_if(|other| other.to == mine.to) {
                        let over = mine.part.zip(&self.folded_m2[mine.to], |part, folded| part * folded);
                        add_product(&mut passed, &over, &other.part);
                    }
                }
                here.part = passed.zip(&self.folded_m2[here.to], |passed, folded| passed / folded);
                add_product(&mut folded, &passed.map(|passed| -passed), &here.part);
            }
            // Nothing is brought into spaces that are no rooms.
            self.folded_m2[at] = if self.enclosed[at] { folded } else { Spectrum::splat(1.0) };
        }
    }

    /// p² in every space when so much A·p² is brought into some rooms, in whatever unit; zero in bands where arithmetic overflowed.
    ///
    /// Exact to some 1e-13 of what is in each room, however little that is: what reaches a room is only ever added up.
    #[must_use]
    pub fn field(&self, drives_m2: impl IntoIterator<Item = (SpaceIndex, Spectrum)>) -> Vec<Spectrum> {
        let mut drive_m2 = vec![Spectrum::ZERO; self.loss_m2.len()];
        for (room, drive) in drives_m2.into_iter().filter(|(room, _)| self.enclosed[room.0]) {
            drive_m2[room.0] = add(&drive_m2[room.0], &drive);
        }
        let mut field = drive_m2.clone();
        self.spread(&mut field);
        let mut more = vec![Spectrum::ZERO; field.len()];
        for _ in 0..MOST_ROUNDS {
            self.unbalanced(&drive_m2, &field, &mut more);
            self.spread(&mut more);
            let mut near = true;
            for (all, more) in field.iter_mut().zip(&more) {
                for band in 0..BAND_COUNT {
                    // What is no number counts as near: more rounds would not mend it.
                    let far = more[band].abs() > NEAR_ENOUGH * all[band];
                    near &= !far;
                    all[band] += more[band];
                }
            }
            if near {
                break;
            }
        }
        let sound: [bool; BAND_COUNT] = std::array::from_fn(|band| field.iter().all(|p2| p2[band].is_finite()));
        field.iter().map(|p2| Spectrum::from_fn(|band| if sound[band] { p2[band].max(0.0) } else { 0.0 })).collect()
    }

    /// Turns what is brought into each room into what it makes of p², but for what folding leaves out.
    fn spread(&self, drive_m2: &mut [Spectrum]) {
        for at in 0..drive_m2.len() {
            let (before, here) = drive_m2.split_at_mut(at);
            for joined in &self.joined[at] {
                add_product(&mut here[0], &joined.part, &before[joined.to]);
            }
        }
        for (drive, folded) in drive_m2.iter_mut().zip(&self.folded_m2) {
            *drive = drive.zip(folded, |drive, folded| drive / folded);
        }
        for at in (0..drive_m2.len()).rev() {
            let (before, here) = drive_m2.split_at_mut(at);
            for joined in &self.joined[at] {
                add_product(&mut before[joined.to], &joined.part, &here[0]);
            }
        }
    }

    /// What is brought into each room and what it gets from the others, less what it loses.
    fn unbalanced(&self, drive_m2: &[Spectrum], field: &[Spectrum], left: &mut [Spectrum]) {
        for (at, left) in left.iter_mut().enumerate() {
            *left = if self.enclosed[at] {
                Spectrum::from_fn(|band| drive_m2[at][band] - self.loss_m2[at][band] * field[at][band])
            } else {
                Spectrum::ZERO
            };
        }
        for at in 0..left.len() {
            let (before, here) = left.split_at_mut(at);
            for joined in &self.joined[at] {
                add_product(&mut here[0], &joined.area_m2, &field[joined.to]);
                add_product(&mut before[joined.to], &joined.area_m2, &field[at]);
            }
        }
    }

    /// Absorption area with all that is passed on, m².
    #[must_use]
    pub fn loss_m2(&self, space: SpaceIndex) -> &Spectrum {
        &self.loss_m2[space.0]
    }
}

/// Adds a·b in every band.
fn add_product(sum: &mut Spectrum, a: &Spectrum, b: &Spectrum) {
    for band in 0..BAND_COUNT {
        sum[band] += a[band] * b[band];
    }
}

#[cfg(test)]
mod tests {
    use super::super::paths::{PathKind, Surface};
    use super::*;
    use nalgebra::{DMatrix, DVector};

    fn room(absorption_m2: f64) -> RoomAcoustics {
        RoomAcoustics {
            enclosed: true,
            absorption_m2: Spectrum::splat(absorption_m2),
            reverberation_s: Spectrum::splat(0.5),
            schroeder_hz: 200.0,
            power: Spectrum::ZERO,
            peak_db: 0.0,
            source_uncertainty_db: 0.0,
        }
    }

    fn path(one: usize, other: usize, area_m2: Spectrum) -> Transfer {
        let (rooms, surfaces) = ([SpaceIndex(one), SpaceIndex(other)], [Surface::Air; 2]);
        Transfer { rooms, kind: PathKind::Through, surfaces, junction: None, area_m2, route: None }
    }

    /// From 1 to 40 rooms, some joined by wide openings and some by next to nothing, against nalgebra's LU decomposition: each room to 1e-12 of the loudest.
    #[test]
    fn the_field_is_that_of_a_library() {
        for n in 1..=40usize {
            let passed = |row: usize, column: usize, band: usize| {
                let mixed = (row * 31 + column * 17 + band * 7) % 23;
                if mixed < 6 || row == column { 0.0 } else { 10f64.powi(2 - (mixed as i32) / 3) }
            };
            let rooms: Vec<RoomAcoustics> = (0..n).map(|at| room(0.5 + 0.1 * at as f64)).collect();
            let pairs = (0..n).flat_map(|row| (0..row).map(move |column| (row, column)));
            let paths: Vec<Transfer> = pairs
                .map(|(row, column)| path(row, column, Spectrum::from_fn(|band| passed(row, column, band))))
                .collect();
            let (balance, from) = (Balance::new(&rooms, &paths), n / 2);
            let field = balance.field([(SpaceIndex(from), Spectrum::splat(1.0))]);
            #[expect(clippy::needless_range_loop, reason = "a band of every room, not a room")]
            for band in 0..BAND_COUNT {
                let between = |row: usize, column: usize| passed(row.max(column), row.min(column), band);
                let cell = |row: usize, column: usize| match row == column {
                    true => rooms[row].absorption_m2[band] + (0..n).map(|at| between(row, at)).sum::<f64>(),
                    false => -between(row, column),
                };
                let drive = DVector::from_fn(n, |at, _| f64::from(u8::from(at == from)));
                let theirs = DMatrix::from_fn(n, n, cell).lu().solve(&drive).unwrap();
                for (at, wanted) in theirs.iter().enumerate() {
                    let got = field[at][band];
                    assert!((got - wanted).abs() <= 1e-12 * theirs[from], "{n}, {band}: {got} for {wanted}");
                }
            }
        }
    }

    /// By hand: of rooms in a row that lose 1 m² and pass 1e-6 m² on, each has a millionth of the one before, less what it passes on itself, and what comes
    /// back is some 1e-12 of it: so it is to 1e-11 even where next to nothing is left.
    #[test]
    fn far_rooms_are_as_exact_as_near_ones() {
        let (n, rooms) = (20, vec![room(1.0); 20]);
        let paths: Vec<Transfer> = (1..n).map(|at| path(at - 1, at, Spectrum::splat(1e-6))).collect();
        let field = Balance::new(&rooms, &paths).field([(SpaceIndex(0), Spectrum::splat(1.0))]);
        for at in 1..n {
            let loss = 1.0 + if at + 1 < n { 2e-6 } else { 1e-6 };
            let ratio = field[at][0] / field[at - 1][0];
            assert!((ratio * loss / 1e-6 - 1.0).abs() < 1e-11, "{at}: {ratio}");
        }
    }

    /// A band that overflows is silent, and the others are as they were: two rooms of 1 m² with 1 m² between them, 2/3 and 1/3.
    #[test]
    fn a_band_beyond_all_numbers_is_silent() {
        let area = Spectrum::from_fn(|band| if band == 3 { f64::INFINITY } else { 1.0 });
        let balance = Balance::new(&vec![room(1.0); 2], &[path(0, 1, area)]);
        let field = balance.field([(SpaceIndex(0), Spectrum::splat(1.0))]);
        assert!((field[0][2] - 2.0 / 3.0).abs() < 1e-15 && (field[1][2] - 1.0 / 3.0).abs() < 1e-15);
        assert!(field[0][3] == 0.0 && field[1][3] == 0.0);
    }
}
