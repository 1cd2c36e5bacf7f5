//! Where a room is no diffuse field: its modes, and the bands in which levels are of low confidence.

use rayon::prelude::*;

use super::conditions::Conditions;
use super::room::RoomAcoustics;
use crate::acoustics::bands::{BAND_COUNT, INDEX_50_HZ};
use crate::acoustics::measurement_uncertainty::reproducibility_db;
use crate::acoustics::mode_count::{box_mode_count, mean_mode_count};
use crate::acoustics::room_field::{BoxMode, box_modes};
use crate::acoustics::{Bands, Spectrum};
use crate::building::{Building, RoomSpace, SpaceKind};

/// How much of the rectangle round its outline a box fills at least: corners cut by steps of a wall or a chimney breast shift its
/// modes little, for their frequencies change by about half the part of the volume that is lost. Own judgement.
const BOX_FILL: f64 = 0.97;
/// Modes listed, if the Schroeder frequency leaves so many.
const LISTED_MODES: usize = 25;
/// Modes counted one by one; above, the mean count is within half a percent of it, even in a cube (counted in nine rooms).
const COUNTED_MODES: f64 = 5_000.0;
/// Below so many modes in a band, each of them shows. Common practice, no source: asked for are 5 (some ask for 3, some for 20).
const FEW_MODES: f64 = 5.0;

/// Part of a band's energy from which on a source's room counts. Own judgement.
const COUNTING_SHARE: f64 = 0.1;

/// What single modes add to the standard uncertainty of a band, and what no such band is surer than, dB.
#[derive(Debug, Clone, Copy, PartialEq)]
struct ModalUncertainty {
    adds_db: f64,
    least_db: f64,
}

const DIFFUSE: ModalUncertainty = ModalUncertainty { adds_db: 0.0, least_db: 0.0 };
/// Below the Schroeder frequency. A squared pressure made of one mode, or of many of random phase, is exponentially distributed over
/// places and tones, which is (10/ln 10)·π/√6 = 5.6 dB; the mean of five such leaves 2.5 dB. The least is own judgement.
const MODAL: ModalUncertainty = ModalUncertainty { adds_db: 2.5, least_db: 6.0 };
/// Fewer than [`FEW_MODES`] modes: the whole 5.6 dB. Own judgement; a lower bound.
const FEW: ModalUncertainty = ModalUncertainty { adds_db: 5.6, least_db: 8.0 };
/// No mode at all in the band: the room answers by the flanks of others, and walls no longer see sound from all sides. Own judgement.
const NO_MODE: ModalUncertainty = ModalUncertainty { adds_db: 8.7, least_db: 10.0 };

impl ModalUncertainty {
    fn or(self, other: Self) -> Self {
        if other.adds_db > self.adds_db { other } else { self }
    }
}

/// The modes of a space. The outdoors and the ground have none, and do not count.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomModes {
    /// True for a room.
    pub enclosed: bool,
    /// Schroeder frequency, Hz.
    pub schroeder_hz: f64,
    /// Number of modes in each third octave: counted for a box, in the mean for other rooms.
    pub mode_count: Spectrum,
    /// The single modes of a box by frequency, up to the Schroeder frequency or the 25th; empty for other rooms.
    pub single_modes: Vec<BoxMode>,
}

/// The modes of every space, in the building's order.
#[must_use]
pub fn modes(building: &Building, rooms: &[RoomAcoustics], conditions: &Conditions) -> Vec<RoomModes> {
    building
        .spaces
        .par_iter()
        .zip(rooms)
        .map(|(space, part)| match &space.kind {
            SpaceKind::Room(room) if part.enclosed => room_modes(room, part.schroeder_hz, conditions),
            _ => RoomModes { enclosed: false, schroeder_hz: 0.0, mode_count: Spectrum::ZERO, single_modes: Vec::new() },
        })
        .collect()
}

fn room_modes(room: &RoomSpace, schroeder_hz: f64, conditions: &Conditions) -> RoomModes {
    let speed_m_s = conditions.air.speed_m_s();
    let surface_m2 = 2.0 * room.area_m2 + room.perimeter_m * room.height_m;
    let corners: usize = room.outline.iter().map(Vec::len).sum();
    let edges_m = 2.0 * room.perimeter_m + corners as f64 * room.height_m;
    let sides_m = box_sides_m(room);
    let up_to = |hz: f64| {
        let mean = mean_mode_count(room.volume_m3, surface_m2, edges_m, speed_m_s, hz);
        match sides_m {
            Some(sides_m) if mean < COUNTED_MODES => box_mode_count(sides_m, speed_m_s, hz),
            _ => mean,
        }
    };
    // Half a third octave up and down: IEC 61260-1:2014, 5.9.
    let (lower, upper) = (10f64.powf(-0.05), 10f64.powf(0.05));
    // Where one band ends the next begins, so that most edges are counted up to once.
    let mut below = (f64::NAN, 0.0);
    let mode_count = conditions.bands.map(|hz| {
        let from_hz = lower * hz;
        let before = if (from_hz / below.0 - 1.0).abs() < 1e-12 { below.1 } else { up_to(from_hz) };
        below = (upper * hz, up_to(upper * hz));
        (below.1 - before).max(0.0)
    });
    let mut single_modes = sides_m.map_or_else(Vec::new, |sides_m| {
        // The Schroeder frequency of a large hard room may have thousands of modes below it: no more are listed than are kept.
        let mut up_to_hz = schroeder_hz;
        while box_mode_count(sides_m, speed_m_s, up_to_hz / 1.5) > LISTED_MODES as f64 {
            up_to_hz /= 1.5;
        }
        box_modes(sides_m, speed_m_s, up_to_hz)
    });
    single_modes.truncate(LISTED_MODES);
    RoomModes { enclosed: true, schroeder_hz, mode_count, single_modes }
}

/// Length, width and height of a room that is a box, m; nothing for another shape, or a volume of the user's that is not the box's.
#[must_use]
pub fn box_sides_m(room: &RoomSpace) -> Option<[f64; 3]> {
    let outer = room.outline.first()?;
    let longest = (0..outer.len())
        .map(|at| {
            let ([ax, ay], [bx, by]) = (outer[at], outer[(at + 1) % outer.len()]);
            [bx - ax, by - ay]
        })
        .max_by(|a, b| a[0].hypot(a[1]).total_cmp(&b[0].hypot(b[1])))?;
    let length_m = longest[0].hypot(longest[1]);
    if length_m.is_nan() || length_m <= 0.0 {
        return None;
    }
    let along = longest.map(|part| part / length_m);
    let extent = |direction: [f64; 2]| {
        let places = || room.outline.iter().flatten().map(|at| at[0] * direction[0] + at[1] * direction[1]);
        places().fold(f64::NEG_INFINITY, f64::max) - places().fold(f64::INFINITY, f64::min)
    };
    let sides_m = [extent(along), extent([-along[1], along[0]]), room.height_m];
    let fill = room.volume_m3 / sides_m.iter().product::<f64>();
    (BOX_FILL..=1.0 / BOX_FILL).contains(&fill).then_some(sides_m)
}

/// How far a listener's bands can be trusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Confidence {
    /// All bands below this one are of low confidence; [`BAND_COUNT`] when no band is better.
    pub first_confident_band: usize,
    /// What single modes add to the standard uncertainty of each band, dB.
    pub modes_db: Spectrum,
    /// What no band is surer than, sources apart, dB: [`reproducibility_db`], or more where single modes decide.
    pub least_db: Spectrum,
}

impl Confidence {
    /// Of the sound a listener hears in room `here` from `sources`: rooms, each with the energy it gives the listener. A room counts
    /// in the bands it gives at least a tenth of the energy in; rooms passed on the way do not count.
    ///
    /// A band is of low confidence below the Schroeder frequency of one of them, with fewer than five modes in one of them, and below
    /// 50 Hz always.
    #[must_use]
    pub fn of(here: &RoomModes, sources: &[(&RoomModes, Spectrum)], bands: &Bands) -> Self {
        let uncertainty: [ModalUncertainty; BAND_COUNT] = std::array::from_fn(|band| {
            let all: f64 = sources.iter().map(|(_, energy)| energy[band]).sum();
            let counting = sources.iter().filter(|(_, energy)| energy[band] >= COUNTING_SHARE * all);
            let rooms = counting.map(|(room, _)| *room).chain([here]).filter(|room| room.enclosed);
            let least = if band < INDEX_50_HZ { FEW } else { DIFFUSE };
            rooms.map(|room| in_room(room, band, bands)).fold(least, ModalUncertainty::or)
        });
        // From the top down, so that one good band among bad ones does not count.
        let confident = |band: &usize| uncertainty[*band] == DIFFUSE;
        let first_confident_band = (0..BAND_COUNT).rev().take_while(confident).last().unwrap_or(BAND_COUNT);
        let at = |band: usize| uncertainty[band].or(if band < first_confident_band { MODAL } else { DIFFUSE });
        Self {
            first_confident_band,
            modes_db: Spectrum::from_fn(|band| at(band).adds_db),
            least_db: Spectrum::from_fn(|band| at(band).least_db.max(reproducibility_db()[band])),
        }
    }
}

fn in_room(room: &RoomModes, band: usize, bands: &Bands) -> ModalUncertainty {
    let modes = room.mode_count[band];
    if modes < 1.0 {
        NO_MODE
    } else if modes < FEW_MODES {
        FEW
    } else if bands.hz(band) < room.schroeder_hz {
        MODAL
    } else {
        DIFFUSE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(outline: Vec<[f64; 2]>, area_m2: f64, height_m: f64) -> RoomSpace {
        RoomSpace {
            room: "r".into(),
            storey: 0,
            usage: Default::default(),
            outline: vec![outline],
            area_m2,
            perimeter_m: 18.0,
            height_m,
            before_shell: None,
            volume_m3: area_m2 * height_m,
        }
    }

    #[test]
    fn a_box_is_told_however_it_is_turned_and_an_l_is_none() {
        let corners = [[0.0, 0.0], [5.0, 0.0], [5.0, 4.0], [0.0, 4.0]];
        for turn in [0.0f64, 0.3, 2.0] {
            let (sin, cos) = turn.sin_cos();
            let turned = corners.map(|[x, y]| [cos * x - sin * y, sin * x + cos * y]);
            let sides = box_sides_m(&room(turned.to_vec(), 20.0, 2.5)).unwrap();
            assert!(sides.iter().zip([5.0, 4.0, 2.5]).all(|(own, side)| (own - side).abs() < 1e-9), "{sides:?}");
        }
        let ell = vec![[0.0, 0.0], [5.0, 0.0], [5.0, 2.0], [3.0, 2.0], [3.0, 4.0], [0.0, 4.0]];
        assert_eq!(box_sides_m(&room(ell, 16.0, 2.5)), None);
        assert_eq!(box_sides_m(&RoomSpace { outline: vec![], ..room(vec![], 1.0, 1.0) }), None);
        let sloping = RoomSpace { volume_m3: 35.0, ..room(corners.to_vec(), 20.0, 2.5) };
        assert_eq!(box_sides_m(&sloping), None);
    }

    /// One poor room is enough, unless next to nothing comes from it; the open air alone leaves 50 Hz.
    #[test]
    fn the_worst_room_decides() {
        let bands = Bands::exact();
        let made = |schroeder_hz, modes| RoomModes {
            enclosed: true,
            schroeder_hz,
            mode_count: Spectrum::splat(modes),
            single_modes: vec![],
        };
        let (small, hall) = (made(210.0, 6.0), made(60.0, 50.0));
        let of = |here, source| Confidence::of(here, &[(source, Spectrum::splat(1.0))], &bands);
        let both = of(&small, &hall);
        assert_eq!(both, of(&small, &small));
        assert_eq!(both, of(&hall, &small));
        let (faint, strong) = (Spectrum::splat(0.05), Spectrum::splat(0.95));
        assert_eq!(of(&hall, &hall), Confidence::of(&hall, &[(&small, faint), (&hall, strong)], &bands));
        // 199.5 Hz lies below, 251 Hz above.
        assert_eq!(both.first_confident_band, 10);
        let outdoors = RoomModes { enclosed: false, ..made(0.0, 0.0) };
        let open = of(&outdoors, &outdoors);
        assert_eq!(open.first_confident_band, INDEX_50_HZ);
        assert_eq!(of(&outdoors, &made(60.0, 4.0)).first_confident_band, BAND_COUNT);
        // ISO 12999-1:2020 Table 2 is never undercut: 6.8 dB at 50 Hz.
        assert!(open.least_db[INDEX_50_HZ] >= 6.8 && both.least_db[9] > open.least_db[9]);
        assert!(both.modes_db[9] > 0.0 && both.modes_db[10] <= 0.0);
    }
}
