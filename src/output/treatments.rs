//! Inner shells, cover panels, platforms and floating floors, in lines for a terminal: what each takes, weighs and gains, and in which bands it
//! makes things worse. What can hurt someone is said beside it: see [`super::checks`].

use std::fmt::Write as _;

use crate::acoustics::bands::{NOMINAL_HZ, OCTAVE_HZ};
use crate::acoustics::{BAND_COUNT, Spectrum};
use crate::building::{Building, OpeningFront};
use crate::project::Solved;
use crate::solve::{CoverAnswer, FloatingAnswer, MountAnswer, ShellAnswer, ShellFaceAnswer, Surface};

use super::checks::lifted;
use super::text::{Column, cut, decimal, headed, paragraph, table};
use super::{names, words};

/// A gain below this is told as a loss, dB: less is rounding.
pub const LOSS_DB: f64 = -0.5;
/// A gap that passes more than the board in fewer bands than this is not worth a sentence.
const TELLING_BANDS: usize = 3;
/// Columns of a sentence.
const COLUMNS: usize = 96;

/// What is built to keep sound in or out, and what comes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Treatment<'a> {
    /// What it takes away, weighs and leaves open, in sentences.
    pub lines: Vec<String>,
    /// What its parts gain.
    pub gains: Vec<Gain<'a>>,
    /// What the weights of the parts are: "kg/m²"; "" where they have none.
    pub kg_title: &'static str,
}

/// What one part of a treatment gains.
#[derive(Debug, Clone, PartialEq)]
pub struct Gain<'a> {
    /// Which part.
    pub name: String,
    /// Its resonance, Hz; 0 where it has none.
    pub hz: f64,
    /// Its weight, in what [`Treatment::kg_title`] says.
    pub kg: Option<f64>,
    /// What it gains in each band, dB; negative where it makes things worse.
    pub gain_db: &'a Spectrum,
}

/// All of them; empty when there is none.
#[must_use]
pub fn text(solved: &Solved) -> String {
    let (building, answer) = (&solved.building, &solved.answer);
    let mut out = String::new();
    let mut part = |heading: &str, lines: String| {
        if !lines.is_empty() {
            let _ = write!(out, "\n{heading}\n{lines}");
        }
    };
    let printed = |treatment: Treatment| -> String {
        let lines: String = treatment.lines.iter().map(|line| paragraph("  ", line, COLUMNS)).collect();
        lines + &gains(treatment.kg_title, &treatment.gains)
    };
    part("Inner shells", answer.shells.iter().map(|shell| printed(self::shell(building, shell))).collect());
    part("Cover panels", answer.covers.iter().map(|cover| printed(self::cover(building, cover))).collect());
    let mounts = answer.mounts.iter().map(|at| mount(solved, at));
    part(
        "Platforms and isolators, and what they keep from the floor, dB",
        mounts.reduce(together).map(printed).unwrap_or_default(),
    );
    let floating = answer.floating.iter().map(self::floating);
    part("Floating floors, and what they gain, dB", floating.reduce(together).map(printed).unwrap_or_default());
    out
}

fn together<'a>(mut one: Treatment<'a>, other: Treatment<'a>) -> Treatment<'a> {
    one.lines.extend(other.lines);
    one.gains.extend(other.gains);
    one
}

/// Something under a pedal, foot or machine: what rests on it, and what it keeps from the floor.
#[must_use]
pub fn mount<'a>(solved: &Solved, mount: &'a MountAnswer) -> Treatment<'a> {
    let source = solved.scene.sources.iter().find(|source| source.id == mount.source);
    let name = source.map_or(mount.source.0.as_str(), |source| source.name.as_str());
    let contact = source.and_then(|source| source.contacts.iter().find(|contact| contact.name == mount.contact));
    let area_m2 = contact.and_then(|contact| contact.mount.as_ref()?.area_m2).filter(|area_m2| *area_m2 > 0.0);
    let lines = area_m2.map(|area_m2| {
        let (kg, kg_m2) = (mount.load_kg, mount.load_kg / area_m2);
        format!("{}: {kg:.0} kg on {area_m2:.1} m², {kg_m2:.0} kg for each m² of floor.", words::heading(name))
    });
    let gain = Gain {
        name: format!("{name}, {}", mount.contact),
        hz: mount.resonance_hz,
        kg: Some(mount.load_kg),
        gain_db: &mount.gain_db,
    };
    Treatment { lines: lines.into_iter().collect(), gains: vec![gain], kg_title: "load, kg" }
}

/// A floor that floats: what it gains.
#[must_use]
pub fn floating(floating: &FloatingAnswer) -> Treatment<'_> {
    let (name, hz) = (floating.construction.clone(), floating.resonance_hz);
    Treatment { lines: vec![], gains: vec![Gain { name, hz, kg: None, gain_db: &floating.gain_db }], kg_title: "" }
}

/// A room within a room: what is left of the room, what stands and hangs, and what each face gains.
#[must_use]
pub fn shell<'a>(building: &Building, shell: &'a ShellAnswer) -> Treatment<'a> {
    let name = words::heading(names::space(building, shell.space));
    let mut size = format!(
        "{name}: {:.1} of {:.1} m² of floor are left, {:.1} of {:.1} m³, and {:.2} of {:.2} m of headroom",
        shell.area_m2,
        shell.area_before_m2,
        shell.volume_m3,
        shell.volume_before_m3,
        shell.height_m,
        shell.height_before_m
    );
    if shell.step_m > 0.0 {
        let _ = write!(size, "; its floor lies {:.0} mm higher", 1000.0 * shell.step_m);
    }
    let mut lines = vec![format!("{size}.")];
    let mut weights = vec![];
    if shell.on_floor_kg > 0.0 {
        let (all_kg, kg_m2) = (shell.on_floor_kg, shell.on_floor_kg_m2());
        weights.push(format!("{all_kg:.0} kg stand on the old floor, {kg_m2:.0} kg for each m² of it"));
    }
    if shell.wall_kg_m > 0.0 {
        weights.push(format!("its heaviest wall has {:.0} kg for each metre", shell.wall_kg_m));
    }
    if shell.hung_kg > 0.0 {
        let (all_kg, kg_m2) = (shell.hung_kg, shell.hung_kg_m2());
        weights.push(format!("{all_kg:.0} kg hang from the old ceiling, {kg_m2:.0} kg for each m²"));
    }
    if !weights.is_empty() {
        lines.push(format!("{}, frames and battens not counted.", words::heading(&weights.join("; "))));
    }
    // Openings behind faces without a door or window of the shell.
    let faces = shell.faces.iter().filter_map(|face| Some((building.elements.get(face.element.0)?, face.side)));
    let openings = faces.flat_map(|(element, side)| element.openings.iter().map(move |opening| (opening, side)));
    let shut = |fronts: &[OpeningFront]| fronts.iter().any(|front| matches!(front, OpeningFront::Shell(_)));
    let closed = openings.filter(|(opening, side)| shut(&opening.fronts[*side]));
    let closed: Vec<&str> = closed.map(|(opening, _)| opening.name.as_str()).collect();
    if !closed.is_empty() {
        lines.push(format!("Closed off by it: {}.", closed.join(", ")));
    }
    let gain = |face: &'a ShellFaceAnswer| Gain {
        name: face_name(building, shell, face),
        hz: face.resonance_hz,
        kg: Some(face.mass_kg_m2),
        gain_db: &face.gain_db,
    };
    Treatment { lines, gains: shell.faces.iter().map(gain).collect(), kg_title: "kg/m²" }
}

/// A face by what it stands before, as someone in the room names it; there a roof is the ceiling.
pub(crate) fn face_name(building: &Building, shell: &ShellAnswer, face: &ShellFaceAnswer) -> String {
    let name = names::seen_from(building, Surface::Element(face.element), shell.space);
    if name == "roof" { "ceiling".to_owned() } else { name }
}

/// A board before an opening: its pieces, who lifts them, what leaks, and what it gains.
#[must_use]
pub fn cover<'a>(building: &Building, cover: &'a CoverAnswer) -> Treatment<'a> {
    let opening = opening_name(building, cover);
    let room = names::space(building, cover.space);
    let count = cover.pieces[0] * cover.pieces[1];
    let ([across, up], [wide_m, high_m]) = (cover.pieces, cover.piece_m);
    let size = format!("{wide_m:.2} m × {high_m:.2} m, {:.1} kg", cover.piece_kg);
    let pieces = if count == 1 {
        format!("one piece of {size}")
    } else {
        let all_kg = f64::from(count) * cover.piece_kg;
        format!("{count} pieces ({across} across, {up} up) of {size} each, {all_kg:.1} kg in all")
    };
    let text = format!("Before {opening} in {room}: {pieces}, battens not counted. {}", lifted(cover.handling));
    let mut lines = vec![text];
    let [board, edge, joints] = &cover.board_edge_joints_m2;
    for (what, leak) in [("gap round its edge passes", edge), ("joints between its pieces pass", joints)] {
        let bands: Vec<usize> = (0..BAND_COUNT).filter(|&band| leak[band] > board[band]).collect();
        if bands.len() >= TELLING_BANDS {
            lines.push(format!("The {what} more than the board {}.", ranges(&bands)));
        }
    }
    let gain = Gain { name: "gain, gaps apart".into(), hz: cover.resonance_hz, kg: None, gain_db: &cover.gain_db };
    Treatment { lines, gains: vec![gain], kg_title: "" }
}

fn opening_name(building: &Building, cover: &CoverAnswer) -> String {
    let opening = names::opening(building, cover.element, cover.opening);
    opening.map_or_else(|| "an opening".to_owned(), |opening| words::noun(&opening.name))
}

/// Rows of gains by octave, and below them what is worse than without; nothing without a row.
fn gains(kg_title: &str, rows: &[Gain]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let line = |name: &str, hz: String, kg: String, octaves: [String; 8]| {
        let weight = (!kg_title.is_empty()).then_some(kg);
        headed(&cut(name), std::iter::once(hz).chain(weight).chain(octaves))
    };
    let mut cells = vec![line("", "f0, Hz".to_owned(), kg_title.to_owned(), OCTAVE_HZ.map(|hz| hz.to_string()))];
    let mut losses: Vec<(String, Vec<String>)> = vec![];
    for row in rows {
        let hz = if row.hz > 0.0 { format!("{:.0}", row.hz) } else { "–".to_owned() };
        let kg = row.kg.map_or_else(|| "–".to_owned(), |kg| format!("{kg:.0}"));
        let octaves_db = octave_gains_db(row.gain_db);
        let octaves = std::array::from_fn(|octave| {
            // A third that gets worse is not hidden by its neighbours.
            let worse = (3 * octave..3 * octave + 3).any(|band| row.gain_db[band] <= LOSS_DB);
            format!("{}{}", decimal(octaves_db[octave]), if worse { "!" } else { "" })
        });
        cells.push(line(&row.name, hz, kg, octaves));
        let Some(loss) = loss(row.gain_db) else { continue };
        match losses.iter_mut().find(|(known, _)| *known == loss) {
            Some((_, names)) => names.push(row.name.clone()),
            None => losses.push((loss, vec![row.name.clone()])),
        }
    }
    let mut columns = vec![Column::WORDS, Column::NUMBERS.least(6), Column::OCTAVE];
    if !kg_title.is_empty() {
        columns.insert(2, Column::OCTAVE.least(10));
    }
    let mut out = format!("\n{}", table(&columns, &cells));
    for (loss, names) in losses {
        let whose = if rows.len() > 1 { format!("{}: ", names.join(", ")) } else { String::new() };
        out += &paragraph("  ! ", &format!("{whose}{loss}."), COLUMNS);
    }
    out
}

/// What an octave of equal thirds gains, dB: what is passed adds up as energy.
#[must_use]
pub fn octave_gains_db(gain_db: &Spectrum) -> [f64; 8] {
    gain_db.map(|db| 10f64.powf(-db / 10.0) / 3.0).octave_sums().map(|passed| -10.0 * passed.log10())
}

/// Where something is worse than without it, if anywhere: "−4 dB at 63 Hz: worse than without from 50 to 80 Hz".
pub(crate) fn loss(gain_db: &Spectrum) -> Option<String> {
    let bands: Vec<usize> = (0..BAND_COUNT).filter(|&band| gain_db[band] <= LOSS_DB).collect();
    let worst = bands.iter().copied().min_by(|a, b| gain_db[*a].total_cmp(&gain_db[*b]))?;
    let (least_db, hz) = (-gain_db[worst], NOMINAL_HZ[worst]);
    let place = if bands.len() > 1 { format!(" {}", ranges(&bands)) } else { String::new() };
    Some(format!("−{least_db:.1} dB at {hz} Hz: worse than without{place}"))
}

/// Bands as ranges: "from 50 to 80 Hz", "from 400 Hz up", "at 63 Hz".
fn ranges(bands: &[usize]) -> String {
    let runs = bands.chunk_by(|one, next| one + 1 == *next).map(|run| {
        let (first, last) = (run[0], run[run.len() - 1]);
        match (first, last) {
            (0, last) if last + 1 == BAND_COUNT => "in all bands".to_owned(),
            (first, last) if first == last => format!("at {} Hz", NOMINAL_HZ[first]),
            (first, last) if last + 1 == BAND_COUNT => format!("from {} Hz up", NOMINAL_HZ[first]),
            (first, last) => format!("from {} to {} Hz", NOMINAL_HZ[first], NOMINAL_HZ[last]),
        }
    });
    runs.collect::<Vec<_>>().join(" and ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loss_is_said_with_its_bands() {
        let gain = Spectrum::from_fn(|band| match band {
            3 => -1.0,
            4 => -4.04,
            5 => -0.4,
            _ => 6.0,
        });
        assert_eq!(loss(&gain).as_deref(), Some("−4.0 dB at 63 Hz: worse than without from 50 to 63 Hz"));
        assert_eq!(loss(&Spectrum::splat(0.0)), None);
        assert_eq!(ranges(&[2, 12, 13, 14]), "at 40 Hz and from 400 to 630 Hz");
        assert_eq!(ranges(&(20..BAND_COUNT).collect::<Vec<_>>()), "from 2500 Hz up");
    }

    /// By hand: thirds that pass 1, 1 and 10 times as much pass 4 times as much together.
    #[test]
    fn octaves_add_what_is_passed() {
        let gain = Spectrum::from_fn(|band| if band % 3 == 2 { -10.0 } else { 0.0 });
        assert!(octave_gains_db(&gain).iter().all(|db| (db + 10.0 * 4f64.log10()).abs() < 1e-9));
    }
}
