//! Rows that several things have: how well they were built, where a point is, what is heard there when nobody plays.

use super::inputs::{Length, Number, Octaves, OneOf, variants};
use super::table::{Field, Table, table};
use crate::acoustics::rating::octave_curves::nr_curve_db;
use crate::scene::validate::limits;
use crate::scene::{Background, Workmanship};

/// What is told of [`BUILT`] and [`FITTED`].
pub(super) const HOW_WELL: &str =
    "How well it was built, against how it is drawn: edges, screws and holes decide as much as the layers do.";
/// How well a wall, a floor or a face was built.
pub(super) const BUILT: OneOf<Workmanship> = OneOf(|_, now| built(false, *now));
/// How well an opening was.
pub(super) const FITTED: OneOf<Workmanship> = OneOf(|_, now| built(true, *now));

fn built(opening: bool, now: Workmanship) -> Vec<(Workmanship, String)> {
    let word = |state: Workmanship| match (state, opening) {
        (Workmanship::AsDrawn, _) => "as drawn, without a fault",
        (Workmanship::Usual, _) => "a usual good job",
        (Workmanship::SmallFaults, false) => "with small faults",
        (Workmanship::SmallFaults, true) => "with small faults, seal drags",
        (Workmanship::Bridged, _) => "held fast (bridged)",
        (Workmanship::Unsealed, false) => "edge never closed",
        (Workmanship::Unsealed, true) => "seal missing",
        (Workmanship::ShortCircuited, false) => "held fast, edge open",
        (Workmanship::ShortCircuited, true) => "held fast, seal missing",
    };
    let can_be = |state: &Workmanship| !opening || limits::opening_can_be(*state) || *state == now;
    Workmanship::ALL.into_iter().filter(can_be).map(|state| (state, word(state).to_owned())).collect()
}

/// A point of the plan.
pub(super) const POINT: Table<[f64; 2]> = table! { at: [f64; 2];
    "From left", "From the plan's origin to the right", Length(limits::COORDINATE_M), at[0];
    "From street", "From the plan's origin up the sheet", Length(limits::COORDINATE_M), at[1];
};

/// Background noise in a room or outdoors.
pub(super) const BACKGROUND: Table<Background> = table! { background: Background;
    "Background",
        "What is heard there when nobody plays. Not stated: the hearing threshold alone decides what is audible.",
        OneOf(|_, now| backgrounds(now)), *background;
    "NR",
        "Number of the NR curve: 20 to 25 in a quiet bedroom at night, 35 to 40 in an office. Common practice, no source.",
        Number(limits::NOISE_RATING), Background::NoiseRating(nr) => nr;
    "Background by octave", "Levels of the background by octave",
        Octaves(limits::BACKGROUND_DB), Background::Octaves(levels_db) => levels_db;
};

/// From one way of saying it to another, as near as may be.
fn backgrounds(now: &Background) -> Vec<(Background, String)> {
    let mut octaves_db = [50.0, 44.0, 38.0, 32.0, 28.0, 24.0, 20.0, 16.0];
    if let Background::NoiseRating(nr) = now {
        let curve_db = nr_curve_db(*nr);
        octaves_db = std::array::from_fn(|octave| curve_db[1 + octave].round());
    }
    let [rating, octaves] = [Background::NoiseRating(25.0), Background::Octaves(octaves_db)];
    variants(now, &[(Background::Unstated, "not stated"), (rating, "noise rating (NR)"), (octaves, "octave levels")])
}
