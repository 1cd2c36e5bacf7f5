//! The answer as JSON. Keys are stable, in snake case, with their units; a value that does not exist is null.
//!
//! Levels are rounded to 0.01 dB; shares are not rounded, so that they add up to 1.

use serde::Serialize;

use crate::acoustics::{BAND_COUNT, Spectrum, bands::NOMINAL_HZ};
use crate::building::{Building, Element, ElementIndex, ElementShape, SlabRole, Space, SpaceKind};
use crate::project::Solved;
use crate::scene::Scene;
use crate::solve::limits::{Check, Place};
use crate::solve::{
    BandChoice, CoverAnswer, ElementAnswer, ListenerAnswer, PathRecord, Removal, ShellAnswer, SpaceAnswer, Surface,
};

use super::{checks, names, treatments, words};

/// Version of the JSON: raised when a key changes its meaning or goes; keys may be added.
pub const JSON_FORMAT: u32 = 1;
/// With more listeners than this only the strongest paths of each are written, unless all are asked for: so many.
pub const MANY_LISTENERS: usize = 20;
/// See [`MANY_LISTENERS`].
pub const STRONGEST_PATHS: usize = 20;
/// How many things to stop are listed for a listener.
const GAINS: usize = 12;

/// An object of these keys in this order: a view for serde of what is borrowed or computed on the spot.
macro_rules! object {
    ($($key:ident: $value:expr),+ $(,)?) => {{
        #[allow(non_camel_case_types, reason = "the type of each value goes by its key")]
        let object = {
            #[derive(serde::Serialize)]
            struct Object<$($key),+> {
                $($key: $key),+
            }
            Object { $($key: $value),+ }
        };
        object
    }};
}
pub(crate) use object;

/// A list of what `view` makes of each.
pub(super) fn list<T, V>(all: impl IntoIterator<Item = T>, view: impl FnMut(T) -> V) -> Vec<V> {
    all.into_iter().map(view).collect()
}

/// The answer for the chosen listeners (positions in the answer's listeners), spread over lines; of each so many paths at most, the strongest, and the
/// others as one sum.
#[must_use]
pub fn answer(solved: &Solved, chosen: &[usize], most_paths: usize) -> String {
    let Solved { scene, building, answer, .. } = solved;
    let checked = checks::all(solved);
    let heard = chosen.iter().filter_map(|at| answer.listeners.get(*at));
    pretty(&object! {
        format: JSON_FORMAT,
        scene: &scene.name,
        bands_hz: NOMINAL_HZ,
        listeners: list(heard, |heard| listener(scene, building, heard, most_paths)),
        spaces: list(building.spaces.iter().zip(&answer.spaces), |(space, solved)| room(scene, space, solved)),
        elements: list(building.elements.iter().zip(&answer.elements), |(found, solved)| {
            element(building, found, solved)
        }),
        shells: list(&answer.shells, |shell| inner_shell(building, shell)),
        covers: list(&answer.covers, |panel| cover(building, panel)),
        mounts: list(&answer.mounts, |mount| object! {
            source: &mount.source.0,
            contact: &mount.contact,
            load_kg: mount.load_kg,
            resonance_hz: rounded(mount.resonance_hz),
            gain_db: levels(&mount.gain_db),
        }),
        floating_floors: list(&answer.floating, |floor| object! {
            construction: &floor.construction,
            elements: list(&floor.elements, |at| element_id(building, *at)),
            resonance_hz: rounded(floor.resonance_hz),
            gain_db: levels(&floor.gain_db),
        }),
        limits: list(&checked, |check| limit(solved, check)),
        cautions: list(checks::lines(solved), |line| line.text),
        notes: &answer.notes,
    })
}

/// A value spread over lines, but every list of numbers on one: a spectrum is a row, not a column.
///
/// # Panics
///
/// Never: views have text as keys, and writing to memory does not fail.
pub(crate) fn pretty(value: &impl Serialize) -> String {
    numbers_in_line(&serde_json::to_string_pretty(value).expect("a view has text as keys"))
}

/// JSON as it is, but every list of numbers on one line.
fn numbers_in_line(json: &str) -> String {
    let mut out = String::with_capacity(json.len() / 2);
    let (mut rest, mut in_string) = (json, false);
    while let Some(letter) = rest.chars().next() {
        if in_string && letter == '\\' {
            // The escaped letter belongs to the string, whatever it is.
            let end = rest.char_indices().nth(2).map_or(rest.len(), |(at, _)| at);
            out.push_str(&rest[..end]);
            rest = &rest[end..];
            continue;
        }
        in_string ^= letter == '"';
        if letter == '[' && !in_string {
            let numeric = |letter: char| letter.is_whitespace() || "0123456789.,-+eEnul".contains(letter);
            let end = rest[1..].find(|letter| !numeric(letter)).map(|at| at + 1);
            if let Some(end) = end.filter(|end| rest[*end..].starts_with(']')) {
                let values: Vec<&str> = rest[1..end].split(',').map(str::trim).collect();
                out.push('[');
                out.push_str(&values.join(", "));
                rest = &rest[end..];
                continue;
            }
        }
        out.push(letter);
        rest = &rest[letter.len_utf8()..];
    }
    out
}

fn listener(scene: &Scene, building: &Building, heard: &ListenerAnswer, most_paths: usize) -> impl Serialize {
    let said = words::lines(scene, building, heard, BandChoice::AWeighted);
    object! {
        id: &heard.listener.0,
        name: &heard.name,
        space: names::space(building, heard.space),
        sentence: said.whole(),
        lines: [said.heard, said.by, said.advice],
        level_a_db: rounded(heard.la_db),
        level_c_db: rounded(heard.lc_db),
        level_a_fmax_db: rounded(heard.lafmax_db),
        uncertainty_db: (100.0 * heard.uncertainty_db).round() / 100.0,
        low_confidence_below_hz: NOMINAL_HZ.get(heard.first_confident_band),
        band_uncertainty_db: levels(&heard.band_uncertainty_db),
        level_db: levels(&heard.energy.to_db()),
        background_db: levels(&heard.background_db),
        threshold_db: levels(&heard.threshold_db),
        audibility: heard.audibility,
        audible_margin_db: rounded(heard.audible_margin_db),
        audible_band_hz: NOMINAL_HZ[heard.audible_band.min(BAND_COUNT - 1)],
        target: heard.target.as_ref().map(|target| object! {
            id: &target.id,
            name: &target.name,
            margin_db: rounded(target.margin_db),
            probability: target.probability,
            hours_a_day: target.hours_a_day,
            idle_db: rounded(target.idle_db()),
            note: &target.record.note,
        }),
        ratings: list(&heard.ratings, |rating| object! {
            source_space: names::space(building, rating.source_space),
            d_db: levels(&rating.d_db),
            dnt_db: levels(&rating.dnt_db),
            dntw_db: rating.dntw_db,
            r_prime_db: rating.r_prime_db.as_ref().map(levels),
            r_prime_w_db: rating.r_prime_w_db,
        }),
        paths: list(heard.paths.iter().take(most_paths), |path| path_record(building, heard, path)),
        other_paths: other_paths(heard, most_paths),
        gains_sentence: said.more,
        gains: list(words::gain_lines(building, heard, BandChoice::AWeighted, GAINS), |line| object! {
            what: line.what,
            face: line.in_turn.stopped.face().map(|at| face(building, at)),
            alone: removal(&line.alone),
            in_turn: removal(&line.in_turn),
        }),
    }
}

/// All but the strongest paths together; nothing where all are listed.
fn other_paths(heard: &ListenerAnswer, most_paths: usize) -> Option<impl Serialize + use<>> {
    let rest = heard.paths.get(most_paths..).filter(|rest| !rest.is_empty())?;
    let energy = rest.iter().fold(Spectrum::ZERO, |sum, path| sum.zip(&path.energy, |sum, own| sum + own));
    let share: f64 = rest.iter().map(|path| path.share).sum();
    let level_a_db = rounded(heard.la_db + 10.0 * share.log10());
    Some(object! { count: rest.len(), level_a_db: level_a_db, level_db: levels(&energy.to_db()), share: share })
}

fn removal(removal: &Removal) -> impl Serialize + use<> {
    object! {
        share: removal.share,
        gain_db: rounded(removal.gain_db),
        level_a_db: rounded(removal.level_a_db),
        audibility: removal.audibility,
        target_margin_db: removal.target_margin_db.and_then(rounded),
    }
}

fn face(building: &Building, at: Surface) -> impl Serialize + use<> {
    object! { id: names::id(building, at), part: names::part(at), name: names::surface(building, at) }
}

fn path_record(building: &Building, heard: &ListenerAnswer, path: &PathRecord) -> impl Serialize {
    let junction = path.junction.and_then(|at| Some((at.0, building.junctions.get(at.0)?)));
    object! {
        kind: path.kind,
        source_space: names::space(building, path.source_space),
        entry: face(building, path.entry),
        junction: junction.map(|(index, junction)| object! {
            index: index,
            kind: junction.kind,
            length_m: thousandth(junction.length_m),
            elements: list(&junction.arms, |arm| element_id(building, arm.element)),
        }),
        via: path.via.map(|space| names::space(building, space)),
        exit: face(building, path.exit),
        level_a_db: rounded(heard.la_db + 10.0 * path.share.log10()),
        level_db: levels(&path.energy.to_db()),
        share: path.share,
    }
}

fn room(scene: &Scene, space: &Space, solved: &SpaceAnswer) -> impl Serialize {
    let (kind, room) = match &space.kind {
        SpaceKind::Room(room) => ("room", Some(room)),
        SpaceKind::Outdoors => ("outdoors", None),
        SpaceKind::Ground => ("ground", None),
    };
    object! {
        name: &space.name,
        kind: kind,
        room: room.map(|room| &room.room.0),
        storey: room.and_then(|room| scene.storeys.get(room.storey)).map(|storey| &storey.id.0),
        area_m2: room.map(|room| thousandth(room.area_m2)),
        volume_m3: room.map(|room| thousandth(room.volume_m3)),
        has_source: solved.has_source,
        level_db: levels(&solved.energy.to_db()),
        reverberation_s: levels(&solved.reverberation_s),
        absorption_m2: levels(&solved.absorption_m2),
        schroeder_hz: rounded(solved.schroeder_hz),
        mode_count: room.map(|_| levels(&solved.mode_count)),
        single_modes: list(&solved.single_modes, |mode| object! {
            order: mode.order,
            frequency_hz: rounded(mode.hz),
        }),
    }
}

fn element(building: &Building, element: &Element, solved: &ElementAnswer) -> impl Serialize {
    object! {
        id: &element.id,
        name: &element.name,
        kind: match &element.shape {
            ElementShape::Wall { .. } => "wall",
            ElementShape::Slab { role: SlabRole::Floor, .. } => "floor",
            ElementShape::Slab { role: SlabRole::Roof, .. } => "roof",
            ElementShape::Slab { role: SlabRole::Ground, .. } => "ground",
            ElementShape::Slab { role: SlabRole::Soffit, .. } => "soffit",
        },
        construction: &element.construction,
        sides: element.sides.map(|side| names::space(building, side)),
        area_m2: thousandth(element.area_m2),
        mass_per_area_kg_m2: thousandth(solved.mass_per_area_kg_m2),
        rw_db: solved.rw_db,
        r_db: levels(&solved.r_db),
        r_composite_db: levels(&solved.r_composite_db),
    }
}

fn element_id(building: &Building, at: ElementIndex) -> &str {
    building.elements.get(at.0).map_or("", |element| element.id.as_str())
}

fn inner_shell(building: &Building, shell: &ShellAnswer) -> impl Serialize {
    object! {
        space: names::space(building, shell.space),
        area_before_m2: thousandth(shell.area_before_m2),
        area_m2: thousandth(shell.area_m2),
        volume_before_m3: thousandth(shell.volume_before_m3),
        volume_m3: thousandth(shell.volume_m3),
        height_before_m: thousandth(shell.height_before_m),
        height_m: thousandth(shell.height_m),
        step_m: thousandth(shell.step_m),
        on_floor_kg: thousandth(shell.on_floor_kg),
        on_floor_kg_m2: thousandth(shell.on_floor_kg_m2()),
        hung_kg: thousandth(shell.hung_kg),
        wall_kg_m: thousandth(shell.wall_kg_m),
        faces: list(&shell.faces, |face| object! {
            element: element_id(building, face.element),
            name: treatments::face_name(building, shell, face),
            mass_per_area_kg_m2: thousandth(face.mass_kg_m2),
            resonance_hz: rounded(face.resonance_hz),
            gain_db: levels(&face.gain_db),
        }),
    }
}

fn cover(building: &Building, panel: &CoverAnswer) -> impl Serialize {
    // τ·S as a level difference by 1 m² of what lets everything through.
    let [board_db, edge_db, joints_db] =
        panel.board_edge_joints_m2.map(|tau_m2| levels(&tau_m2.map(|tau_m2| -10.0 * tau_m2.log10())));
    object! {
        element: element_id(building, panel.element),
        opening: names::opening(building, panel.element, panel.opening).map_or("", |it| it.opening.0.as_str()),
        space: names::space(building, panel.space),
        pieces: panel.pieces,
        piece_m: panel.piece_m.map(thousandth),
        piece_kg: thousandth(panel.piece_kg),
        handling: panel.handling,
        may_be_escape: panel.may_be_escape,
        resonance_hz: Some(panel.resonance_hz).filter(|hz| *hz > 0.0).and_then(rounded),
        gain_db: levels(&panel.gain_db),
        board_db: board_db,
        edge_db: edge_db,
        joints_db: joints_db,
    }
}

fn limit(solved: &Solved, check: &Check) -> impl Serialize {
    let building = &solved.building;
    let (opening, source) = match &check.place {
        Place::Room(_) => (None, None),
        Place::Opening(element, at) => (names::opening(building, *element, *at).map(|it| it.opening.0.as_str()), None),
        Place::Source(source) => (None, Some(source.0.as_str())),
    };
    object! {
        kind: check.subject.key(),
        space: names::space(building, check.room),
        opening: opening,
        source: source,
        found: check.found.and_then(rounded),
        limit: check.limit.and_then(rounded),
        unit: Some(check.unit).filter(|unit| !unit.is_empty()),
        kept: check.kept,
        sentence: checks::one(solved, check),
        cited: check.source,
    }
}

/// Rounded to 0.01; null where there is no finite value.
#[must_use]
pub fn rounded(value: f64) -> Option<f64> {
    // Adding zero turns −0 into 0.
    value.is_finite().then(|| (100.0 * value).round() / 100.0 + 0.0)
}

/// A spectrum rounded to 0.01.
#[must_use]
pub fn levels(values: &Spectrum) -> [Option<f64>; BAND_COUNT] {
    values.0.map(rounded)
}

fn thousandth(value: f64) -> f64 {
    (1000.0 * value).round() / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_of_numbers_become_rows_and_nothing_else_changes() {
        let value = serde_json::json!({"a": [1.5, null, -2e-9], "b": ["[1,\n2]", "\\\"[3, 4]"], "c": [], "d": [[1, 2], [3, 4]]});
        let text = numbers_in_line(&serde_json::to_string_pretty(&value).unwrap());
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).unwrap(), value, "{text}");
        assert!(text.contains("[1.5, null, -2e-9]"), "{text}");
    }
}
