//! The answer as JSON. Keys are stable, in snake case, with their units; a value that does not exist is null.
//!
//! Levels are rounded to 0.01 dB; shares are not rounded, so that they add up to 1.

use serde::Serialize;

use crate::acoustics::{BAND_COUNT, Spectrum, bands::NOMINAL_HZ};
use crate::building::{Building, ElementIndex, ElementShape, JunctionKind, SlabRole, SpaceIndex, SpaceKind};
use crate::scene::Scene;
use crate::solve::{
    Answer, Audibility, CoverAnswer, Handling, ListenerAnswer, PathRecord, Removal, RoomPairRating, ShellAnswer,
    Surface,
};

use super::{names, table, treatments, words};

/// Version of the JSON: raised when a key changes its meaning or goes; keys may be added.
pub const JSON_FORMAT: u32 = 1;
/// With more listeners than this only the strongest paths of each are written, unless all are asked for: so many.
pub const MANY_LISTENERS: usize = 20;
/// See [`MANY_LISTENERS`].
pub const STRONGEST_PATHS: usize = 20;
/// How many things to stop are listed for a listener.
const GAINS: usize = 12;

#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    scene: &'a str,
    bands_hz: [f64; BAND_COUNT],
    listeners: Vec<Listener<'a>>,
    spaces: Vec<Space<'a>>,
    elements: Vec<Element<'a>>,
    shells: Vec<Shell<'a>>,
    covers: Vec<Cover<'a>>,
    mounts: Vec<Mount<'a>>,
    floating_floors: Vec<Floating<'a>>,
    cautions: Vec<String>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct Listener<'a> {
    id: &'a str,
    name: &'a str,
    space: &'a str,
    sentence: String,
    level_a_db: Option<f64>,
    level_c_db: Option<f64>,
    level_a_fmax_db: Option<f64>,
    uncertainty_db: f64,
    low_confidence_below_hz: Option<f64>,
    band_uncertainty_db: Levels,
    level_db: Levels,
    background_db: Levels,
    threshold_db: Levels,
    audibility: Audibility,
    audible_margin_db: Option<f64>,
    audible_band_hz: f64,
    target: Option<Target<'a>>,
    ratings: Vec<Rating<'a>>,
    paths: Vec<Path<'a>>,
    /// Absent where all are in `paths`.
    #[serde(skip_serializing_if = "Option::is_none")]
    other_paths: Option<OtherPaths>,
    gains_sentence: String,
    gains: Vec<Gain>,
}

/// All but the strongest paths together.
#[derive(Serialize)]
struct OtherPaths {
    count: usize,
    level_a_db: Option<f64>,
    level_db: Levels,
    share: f64,
}

#[derive(Serialize)]
struct Gain {
    what: String,
    face: Option<Face>,
    alone: Left,
    in_turn: Left,
}

#[derive(Serialize)]
struct Left {
    share: f64,
    gain_db: Option<f64>,
    level_a_db: Option<f64>,
    audibility: Audibility,
    target_margin_db: Option<f64>,
}

#[derive(Serialize)]
struct Target<'a> {
    id: &'a str,
    name: &'a str,
    margin_db: Option<f64>,
    probability: f64,
}

#[derive(Serialize)]
struct Rating<'a> {
    source_space: &'a str,
    d_db: Levels,
    dnt_db: Levels,
    dntw_db: Option<i32>,
    r_prime_db: Option<Levels>,
    r_prime_w_db: Option<i32>,
}

#[derive(Serialize)]
struct Path<'a> {
    kind: &'static str,
    source_space: &'a str,
    entry: Face,
    junction: Option<Junction>,
    via: Option<&'a str>,
    exit: Face,
    level_a_db: Option<f64>,
    level_db: Levels,
    share: f64,
}

#[derive(Serialize)]
struct Face {
    id: String,
    part: &'static str,
    name: String,
}

#[derive(Serialize)]
struct Junction {
    index: usize,
    kind: JunctionKind,
    length_m: f64,
    elements: Vec<String>,
}

#[derive(Serialize)]
struct Space<'a> {
    name: &'a str,
    kind: &'static str,
    room: Option<&'a str>,
    storey: Option<&'a str>,
    area_m2: Option<f64>,
    volume_m3: Option<f64>,
    has_source: bool,
    level_db: Levels,
    reverberation_s: Levels,
    absorption_m2: Levels,
    schroeder_hz: Option<f64>,
    mode_count: Option<Levels>,
    single_modes: Vec<Mode>,
}

#[derive(Serialize)]
struct Mode {
    order: [u32; 3],
    frequency_hz: Option<f64>,
}

#[derive(Serialize)]
struct Element<'a> {
    id: &'a str,
    name: &'a str,
    kind: &'static str,
    construction: &'a str,
    sides: [&'a str; 2],
    area_m2: f64,
    mass_per_area_kg_m2: f64,
    rw_db: i32,
    r_db: Levels,
    r_composite_db: Levels,
}

#[derive(Serialize)]
struct Shell<'a> {
    space: &'a str,
    area_before_m2: f64,
    area_m2: f64,
    volume_before_m3: f64,
    volume_m3: f64,
    height_before_m: f64,
    height_m: f64,
    step_m: f64,
    on_floor_kg: f64,
    on_floor_kg_m2: f64,
    hung_kg: f64,
    wall_kg_m: f64,
    faces: Vec<ShellFace<'a>>,
}

#[derive(Serialize)]
struct ShellFace<'a> {
    element: &'a str,
    name: String,
    mass_per_area_kg_m2: f64,
    resonance_hz: Option<f64>,
    gain_db: Levels,
}

#[derive(Serialize)]
struct Cover<'a> {
    element: &'a str,
    opening: &'a str,
    space: &'a str,
    pieces: [u32; 2],
    piece_m: [f64; 2],
    piece_kg: f64,
    handling: Handling,
    may_be_escape: bool,
    resonance_hz: Option<f64>,
    gain_db: Levels,
    board_db: Levels,
    edge_db: Levels,
    joints_db: Levels,
}

#[derive(Serialize)]
struct Mount<'a> {
    source: &'a str,
    contact: &'a str,
    load_kg: f64,
    resonance_hz: Option<f64>,
    gain_db: Levels,
}

#[derive(Serialize)]
struct Floating<'a> {
    construction: &'a str,
    elements: Vec<&'a str>,
    resonance_hz: Option<f64>,
    gain_db: Levels,
}

type Levels = [Option<f64>; BAND_COUNT];

/// The answer for the chosen listeners (positions in the answer's listeners), spread over lines; of each so many paths at most, the strongest, and the others as one
/// sum.
///
/// # Errors
///
/// Never seen: only if the JSON writer itself fails.
pub fn answer(
    scene: &Scene,
    building: &Building,
    answer: &Answer,
    chosen: &[usize],
    most_paths: usize,
) -> serde_json::Result<String> {
    let text = serde_json::to_string_pretty(&Document {
        format: JSON_FORMAT,
        scene: &scene.name,
        bands_hz: NOMINAL_HZ,
        listeners: chosen
            .iter()
            .filter_map(|at| answer.listeners.get(*at))
            .map(|heard| listener(scene, building, heard, most_paths))
            .collect(),
        spaces: spaces(scene, building, answer),
        elements: elements(building, answer),
        shells: answer.shells.iter().map(|shell| inner_shell(building, shell)).collect(),
        covers: answer.covers.iter().map(|panel| cover(building, panel)).collect(),
        mounts: answer
            .mounts
            .iter()
            .map(|mount| Mount {
                source: &mount.source.0,
                contact: &mount.contact,
                load_kg: mount.load_kg,
                resonance_hz: rounded(mount.resonance_hz),
                gain_db: levels(&mount.gain_db),
            })
            .collect(),
        floating_floors: answer
            .floating
            .iter()
            .map(|floor| Floating {
                construction: &floor.construction,
                elements: floor.elements.iter().map(|at| element_id(building, *at)).collect(),
                resonance_hz: rounded(floor.resonance_hz),
                gain_db: levels(&floor.gain_db),
            })
            .collect(),
        cautions: treatments::cautions(building, answer),
        notes: &answer.notes,
    })?;
    Ok(numbers_in_line(&text))
}

/// JSON as it is, but every list of numbers on one line: a spectrum is a row, not a column.
#[must_use]
pub fn numbers_in_line(json: &str) -> String {
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

fn listener<'a>(scene: &Scene, building: &'a Building, heard: &'a ListenerAnswer, most_paths: usize) -> Listener<'a> {
    Listener {
        id: &heard.listener.0,
        name: &heard.name,
        space: names::space(building, heard.space),
        sentence: words::listener(scene, building, heard),
        level_a_db: rounded(heard.la_db),
        level_c_db: rounded(heard.lc_db),
        level_a_fmax_db: rounded(heard.lafmax_db),
        uncertainty_db: (100.0 * heard.uncertainty_db).round() / 100.0,
        low_confidence_below_hz: NOMINAL_HZ.get(heard.first_confident_band).copied(),
        band_uncertainty_db: levels(&heard.band_uncertainty_db),
        level_db: levels(&heard.energy.to_db()),
        background_db: levels(&heard.background_db),
        threshold_db: levels(&heard.threshold_db),
        audibility: heard.audibility,
        audible_margin_db: rounded(heard.audible_margin_db),
        audible_band_hz: NOMINAL_HZ[heard.audible_band.min(BAND_COUNT - 1)],
        target: heard.target.as_ref().map(|target| Target {
            id: &target.id,
            name: &target.name,
            margin_db: rounded(target.margin_db),
            probability: target.probability,
        }),
        ratings: heard.ratings.iter().map(|rating| rated(building, rating)).collect(),
        paths: heard.paths.iter().take(most_paths).map(|path| way(building, heard, path)).collect(),
        other_paths: other_paths(heard, most_paths),
        gains_sentence: words::gains(building, heard),
        gains: words::gain_lines(building, heard, GAINS)
            .into_iter()
            .map(|line| Gain {
                what: line.what,
                face: line.in_turn.stopped.face().map(|at| face(building, at)),
                alone: left(&line.alone),
                in_turn: left(&line.in_turn),
            })
            .collect(),
    }
}

fn other_paths(heard: &ListenerAnswer, most_paths: usize) -> Option<OtherPaths> {
    let rest = heard.paths.get(most_paths..).filter(|rest| !rest.is_empty())?;
    let energy = rest.iter().fold(Spectrum::ZERO, |sum, path| sum.zip(&path.energy, |sum, own| sum + own));
    let share: f64 = rest.iter().map(|path| path.share).sum();
    let level_a_db = rounded(heard.la_db + 10.0 * share.log10());
    Some(OtherPaths { count: rest.len(), level_a_db, level_db: levels(&energy.to_db()), share })
}

fn left(removal: &Removal) -> Left {
    Left {
        share: removal.share,
        gain_db: rounded(removal.gain_db),
        level_a_db: rounded(removal.level_a_db),
        audibility: removal.audibility,
        target_margin_db: removal.target_margin_db.and_then(rounded),
    }
}

fn face(building: &Building, at: Surface) -> Face {
    Face { id: names::id(building, at), part: names::part(at), name: names::surface(building, at) }
}

fn rated<'a>(building: &'a Building, rating: &RoomPairRating) -> Rating<'a> {
    Rating {
        source_space: names::space(building, rating.source_space),
        d_db: levels(&rating.d_db),
        dnt_db: levels(&rating.dnt_db),
        dntw_db: rating.dntw_db,
        r_prime_db: rating.r_prime_db.as_ref().map(levels),
        r_prime_w_db: rating.r_prime_w_db,
    }
}

fn way<'a>(building: &'a Building, heard: &ListenerAnswer, path: &PathRecord) -> Path<'a> {
    let face = |at| face(building, at);
    Path {
        kind: table::kind_key(path),
        source_space: names::space(building, path.source_space),
        entry: face(path.entry),
        junction: path.junction.and_then(|at| Some((at, building.junctions.get(at.0)?))).map(|(at, junction)| {
            Junction {
                index: at.0,
                kind: junction.kind,
                length_m: thousandth(junction.length_m),
                elements: junction
                    .arms
                    .iter()
                    .filter_map(|arm| building.elements.get(arm.element.0))
                    .map(|element| element.id.clone())
                    .collect(),
            }
        }),
        via: path.via.map(|space| names::space(building, space)),
        exit: face(path.exit),
        level_a_db: rounded(heard.la_db + 10.0 * path.share.log10()),
        level_db: levels(&path.energy.to_db()),
        share: path.share,
    }
}

fn spaces<'a>(scene: &'a Scene, building: &'a Building, answer: &Answer) -> Vec<Space<'a>> {
    building
        .spaces
        .iter()
        .zip(&answer.spaces)
        .map(|(space, solved)| {
            let room = match &space.kind {
                SpaceKind::Room(room) => Some(room),
                SpaceKind::Outdoors | SpaceKind::Ground => None,
            };
            Space {
                name: &space.name,
                kind: match space.kind {
                    SpaceKind::Room(_) => "room",
                    SpaceKind::Outdoors => "outdoors",
                    SpaceKind::Ground => "ground",
                },
                room: room.map(|room| room.room.0.as_str()),
                storey: room.and_then(|room| scene.storeys.get(room.storey)).map(|storey| storey.id.0.as_str()),
                area_m2: room.map(|room| thousandth(room.area_m2)),
                volume_m3: room.map(|room| thousandth(room.volume_m3)),
                has_source: solved.has_source,
                level_db: levels(&solved.energy.to_db()),
                reverberation_s: levels(&solved.reverberation_s),
                absorption_m2: levels(&solved.absorption_m2),
                schroeder_hz: rounded(solved.schroeder_hz),
                mode_count: room.map(|_| levels(&solved.mode_count)),
                single_modes: solved
                    .single_modes
                    .iter()
                    .map(|mode| Mode { order: mode.order, frequency_hz: rounded(mode.hz) })
                    .collect(),
            }
        })
        .collect()
}

fn elements<'a>(building: &'a Building, answer: &Answer) -> Vec<Element<'a>> {
    building
        .elements
        .iter()
        .zip(&answer.elements)
        .map(|(element, solved)| Element {
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
            sides: element.sides.map(|side: SpaceIndex| names::space(building, side)),
            area_m2: thousandth(element.area_m2),
            mass_per_area_kg_m2: thousandth(solved.mass_per_area_kg_m2),
            rw_db: solved.rw_db,
            r_db: levels(&solved.r_db),
            r_composite_db: levels(&solved.r_composite_db),
        })
        .collect()
}

fn element_id(building: &Building, at: ElementIndex) -> &str {
    building.elements.get(at.0).map_or("", |element| element.id.as_str())
}

fn inner_shell<'a>(building: &'a Building, shell: &ShellAnswer) -> Shell<'a> {
    Shell {
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
        faces: shell
            .faces
            .iter()
            .map(|face| ShellFace {
                element: element_id(building, face.element),
                name: treatments::face_name(building, shell, face),
                mass_per_area_kg_m2: thousandth(face.mass_kg_m2),
                resonance_hz: rounded(face.resonance_hz),
                gain_db: levels(&face.gain_db),
            })
            .collect(),
    }
}

fn cover<'a>(building: &'a Building, panel: &CoverAnswer) -> Cover<'a> {
    let element = building.elements.get(panel.element.0);
    // τ·S as a level difference by 1 m² of what lets everything through.
    let passed = |tau_m2: &Spectrum| levels(&tau_m2.map(|tau_m2| -10.0 * tau_m2.log10()));
    let [board, edge, joints] = &panel.board_edge_joints_m2;
    Cover {
        element: element_id(building, panel.element),
        opening: element.and_then(|element| element.openings.get(panel.opening)).map_or("", |it| it.opening.0.as_str()),
        space: names::space(building, panel.space),
        pieces: panel.pieces,
        piece_m: panel.piece_m.map(thousandth),
        piece_kg: thousandth(panel.piece_kg),
        handling: panel.handling,
        may_be_escape: panel.may_be_escape,
        resonance_hz: Some(panel.resonance_hz).filter(|hz| *hz > 0.0).and_then(rounded),
        gain_db: levels(&panel.gain_db),
        board_db: passed(board),
        edge_db: passed(edge),
        joints_db: passed(joints),
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
pub fn levels(values: &Spectrum) -> Levels {
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
