//! Everything the search for the cheapest set of measures sums.

use crate::acoustics::{BAND_COUNT, Spectrum};

/// Energies of a listener that come by the air of a loud room through faces, and through gaps, which are sure in another way; and that feet and pedals
/// bring. The last follows no change of the level in the room.
pub const WAYS: usize = 3;
/// See [`WAYS`].
pub const BY_FACES: usize = 0;
/// See [`WAYS`].
pub const BY_GAPS: usize = 1;
/// See [`WAYS`].
pub const BY_FLOOR: usize = 2;

/// No sum of choices leaves less absorption than this share.
const LEAST_ABSORBED: f64 = 0.05;

/// Everything the search sums.
#[derive(Debug, Clone)]
pub struct Table {
    /// So many listeners.
    pub ears: usize,
    /// So many loud rooms.
    pub rooms: usize,
    /// What no choice changes by itself: by [`Table::stream`].
    pub fixed: Vec<Spectrum>,
    /// Where something can be done.
    pub places: Vec<PlaceTable>,
    /// What must be kept.
    pub demands: Vec<Demand>,
    /// How much of each resource there is.
    pub most: Vec<f64>,
}

/// A place; its first choice is to do nothing.
#[derive(Debug, Clone)]
pub struct PlaceTable {
    /// The place, earlier in the list, whose choice decides what choices here bring.
    pub given: Option<usize>,
    /// By the choice there (one where it depends on none), by choice, by stream.
    pub part: Vec<Vec<Vec<Spectrum>>>,
    /// By choice, by room: what it absorbs there, as a share of what is absorbed already; negative where it takes away. Absorption areas add up, and the
    /// level in a room is inverse to their sum (Kuttruff, Room Acoustics, ch. 5, the steady diffuse field; from memory, unverified).
    pub absorbs: Vec<Vec<Spectrum>>,
    /// By choice.
    pub cost: Vec<f64>,
    /// By choice, by resource.
    pub uses: Vec<Vec<f64>>,
    /// By the choice at `given`, by choice.
    pub allowed: Vec<Vec<bool>>,
}

/// What must be kept: a weighted sum over the bands of one listener.
#[derive(Debug, Clone)]
pub struct Demand {
    /// The listener.
    pub ear: usize,
    /// The weight of each band.
    pub weights: Spectrum,
    /// Most energy, as the limit has it.
    pub limit: f64,
    /// By so many decibels it must be kept for the wanted chance.
    pub certain_db: f64,
}

impl Table {
    /// Position of what a listener gets of a room, by one of the ways.
    #[must_use]
    pub fn stream(&self, ear: usize, room: usize, way: usize) -> usize {
        (ear * self.rooms + room) * WAYS + way
    }

    pub(super) fn of_room<'a>(&self, streams: &'a [Spectrum], ear: usize, room: usize) -> [&'a Spectrum; WAYS] {
        [BY_FACES, BY_GAPS, BY_FLOOR].map(|way| &streams[self.stream(ear, room, way)])
    }

    /// Position in `part` and `allowed` of a place under a choice.
    pub(super) fn row(&self, place: usize, plan: &[usize]) -> usize {
        self.places[place].given.map_or(0, |given| plan[given])
    }

    /// What each listener gets.
    #[must_use]
    pub fn energies(&self, plan: &[usize]) -> Vec<Spectrum> {
        let mut streams = self.fixed.clone();
        let mut absorbed = vec![Spectrum::ZERO; self.rooms];
        for (at, place) in self.places.iter().enumerate() {
            add_all(&mut streams, &place.part[self.row(at, plan)][plan[at]]);
            add_all(&mut absorbed, &place.absorbs[plan[at]]);
        }
        self.folded(&streams, &levels(&absorbed))
    }

    fn folded(&self, streams: &[Spectrum], common: &[Spectrum]) -> Vec<Spectrum> {
        let ear = |ear: usize| {
            (0..self.rooms).fold(Spectrum::ZERO, |sum, room| {
                let [faces, gaps, floor] = self.of_room(streams, ear, room);
                Spectrum::from_fn(|band| sum[band] + common[room][band] * (faces[band] + gaps[band]) + floor[band])
            })
        };
        (0..self.ears).map(ear).collect()
    }

    /// What a plan costs.
    #[must_use]
    pub fn cost(&self, plan: &[usize]) -> f64 {
        self.places.iter().zip(plan).map(|(place, choice)| place.cost[*choice]).sum()
    }

    /// By how much the demands are kept at least, beyond what the wanted chance asks for, dB.
    #[must_use]
    pub fn margin_db(&self, energies: &[Spectrum]) -> f64 {
        let margin = |demand: &Demand| {
            10.0 * (demand.limit / energies[demand.ear].dot(&demand.weights)).log10() - demand.certain_db
        };
        self.demands.iter().map(margin).fold(f64::INFINITY, f64::min)
    }

    /// True when a plan keeps to what can be built together and to what there is of each resource.
    #[must_use]
    pub fn can_be(&self, plan: &[usize]) -> bool {
        let allowed = |(at, place): (usize, &PlaceTable)| place.allowed[self.row(at, plan)][plan[at]];
        let used = |at: usize| self.places.iter().zip(plan).map(|(place, choice)| place.uses[*choice][at]).sum::<f64>();
        self.places.iter().enumerate().all(allowed) && (0..self.most.len()).all(|at| used(at) <= self.most[at] + 1e-9)
    }
}

/// The level that is left in each room, as a factor, when so much is absorbed besides.
pub(super) fn levels(absorbed: &[Spectrum]) -> Vec<Spectrum> {
    absorbed.iter().map(|absorbed| absorbed.map(|absorbed| 1.0 / (1.0 + absorbed).max(LEAST_ABSORBED))).collect()
}

pub(super) fn add_all(to: &mut [Spectrum], what: &[Spectrum]) {
    for (to, what) in to.iter_mut().zip(what) {
        for band in 0..BAND_COUNT {
            to[band] += what[band];
        }
    }
}
