//! What to check before building and playing, in sentences: one for each kind of limit that is not plainly kept, with all its places.

use crate::building::Building;
use crate::catalogue::Catalogue;
use crate::catalogue::limits::short;
use crate::project::Solved;
use crate::solve::Handling;
use crate::solve::limits::figures::FLOOR_KG_M2;
use crate::solve::limits::{self, Check, Kept, Piece, Place, Subject};

use super::names::{opening, space};
use super::text::paragraph;
use super::words::{noun, series};

/// The heading of the checks.
pub const CHECK: &str = "Check before building";
/// Columns of a sentence.
const COLUMNS: usize = 96;
/// In what order they are told: what kills at once first.
const ORDER: [&str; 15] = [
    "escape",
    "alarm",
    "combustion",
    "floor_load",
    "platform_load",
    "wall_line",
    "hung",
    "air",
    "coating",
    "electrics",
    "headroom",
    "lift",
    "heat",
    "damp",
    "hearing",
];
/// Places named; the others are counted.
const NAMED: usize = 3;

/// A limit that somebody must look at.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What to look at, in short sentences: "Load: …".
    pub text: String,
    /// [`Kept::No`] or [`Kept::Ask`].
    pub kept: Kept,
    /// True for what stays in sight: fire, load, and air or headroom that is not there.
    pub urgent: bool,
    /// Where the limit comes from.
    pub source: &'static str,
}

/// Everything checked of a scene, kept or not.
#[must_use]
pub fn all(solved: &Solved) -> Vec<Check> {
    limits::checks(&solved.scene, Catalogue::built_in_ref(), &solved.building, &solved.answer)
}

/// Those that speak, one for each kind: what is broken first.
#[must_use]
pub fn lines(solved: &Solved) -> Vec<Line> {
    // What a piece of a cover weighs, and who lifts it, is said of the cover.
    let told = |check: &Check| matches!(check.subject, Subject::Lift { piece: Piece::Cover, .. });
    let mut checks = all(solved);
    checks.retain(|check| !told(check));
    of(solved, &checks)
}

/// Those of a room that its shell, its covers and its air decide.
#[must_use]
pub fn of_room(solved: &Solved, room: crate::building::SpaceIndex) -> Vec<Line> {
    let mut checks = all(solved);
    checks.retain(|check| check.place == Place::Room(room));
    of(solved, &checks)
}

/// Those of an opening; that it closes the last way out stands among the scene's problems, and is not said again.
#[must_use]
pub fn of_opening(solved: &Solved, at: &Place) -> Vec<Line> {
    let mut checks = all(solved);
    let told = |subject: &Subject| {
        matches!(subject, Subject::Escape { last: true, .. } | Subject::Lift { piece: Piece::Cover, .. })
    };
    checks.retain(|check| check.place == *at && !told(&check.subject));
    of(solved, &checks)
}

/// Those of a source: its platform, its player's ears.
#[must_use]
pub fn of_source(solved: &Solved, source: &crate::scene::SourceId) -> Vec<Line> {
    let mut checks = all(solved);
    checks.retain(|check| matches!(&check.place, Place::Source(own) if own == source));
    of(solved, &checks)
}

fn of(solved: &Solved, checks: &[Check]) -> Vec<Line> {
    let mut groups: Vec<Vec<&Check>> = vec![];
    for check in checks.iter().filter(|check| check.kept != Kept::Yes) {
        let alike = |group: &&mut Vec<&Check>| kind(group[0]) == kind(check);
        match groups.iter_mut().find(alike) {
            Some(group) => group.push(check),
            None => groups.push(vec![check]),
        }
    }
    for group in &mut groups {
        group.sort_by(|one, other| other.kept.cmp(&one.kept).then(weight(other).total_cmp(&weight(one))));
    }
    let rank = |check: &Check| ORDER.iter().position(|key| *key == check.subject.key());
    groups.sort_by_key(|group| (std::cmp::Reverse(group[0].kept), rank(group[0])));
    let line = |group: &Vec<&Check>| Line {
        text: sentence(solved, group),
        kept: group[0].kept,
        urgent: urgent(group[0]),
        source: group[0].source,
    };
    groups.iter().map(line).collect()
}

/// What is told together.
fn kind(check: &Check) -> (&'static str, bool) {
    let apart = match check.subject {
        Subject::Escape { last, .. } => last,
        Subject::Combustion { vent } => vent,
        Subject::FloorLoad { on_ground, .. } => on_ground,
        _ => false,
    };
    (check.subject.key(), apart)
}

/// Of several alike the one to tell: the nearest to its limit or beyond.
fn weight(check: &Check) -> f64 {
    match check.subject {
        Subject::Headroom => -check.found.unwrap_or(0.0),
        Subject::Air { co2_ppm_h, .. } => co2_ppm_h,
        _ => check.found.unwrap_or(0.0),
    }
}

/// Fire and what the floor or ceiling carries; air and headroom where they are not there.
fn urgent(check: &Check) -> bool {
    match check.subject {
        Subject::Escape { .. } | Subject::Alarm | Subject::FloorLoad { .. } | Subject::PlatformLoad | Subject::Hung => {
            true
        }
        Subject::Air { .. } | Subject::Headroom | Subject::Combustion { .. } | Subject::Coating { .. } => {
            check.kept == Kept::No
        }
        _ => false,
    }
}

/// As lines for a terminal; empty where nothing speaks.
#[must_use]
pub fn text(solved: &Solved) -> String {
    let lines = lines(solved);
    if lines.is_empty() {
        return String::new();
    }
    let lines: String = lines.iter().map(|line| paragraph("  - ", &line.text, COLUMNS)).collect();
    format!("\n{CHECK}\n{lines}")
}

/// A check alone, in sentences, be it kept or not.
#[must_use]
pub fn one(solved: &Solved, check: &Check) -> String {
    sentence(solved, &[check])
}

fn sentence(solved: &Solved, group: &[&Check]) -> String {
    let (check, building) = (group[0], &solved.building);
    let found = check.found.unwrap_or(0.0);
    let room = noun(space(building, check.room));
    match &check.subject {
        Subject::Escape { last: true, by_shell } => {
            let what = if *by_shell { "the shell" } else { "a cover" };
            format!(
                "Fire: {what} closes the last window or door one could leave by ({}). Leave this one free, or open another. Ask a fire officer.",
                places(building, group)
            )
        }
        Subject::Escape { last: false, .. } => format!(
            "Fire: a way out may be closed ({}). A cover must come off from inside at once, without tools.",
            places(building, group)
        ),
        Subject::FloorLoad { on_ground: true, .. } => format!(
            "Load: {found:.0} kg for each m² stand on the floor of {room}. It lies on the ground: ask what lies under it."
        ),
        Subject::FloorLoad { parts_kg_m2, .. } => format!(
            "Load: {} come to {found:.0} kg for each m² of the old floor of {room}. That is {:.0} % of the {:.0} kg/m² that floors of \
             dwellings are made to carry in all. Ask a structural engineer before anything is bought.",
            loads(*parts_kg_m2),
            100.0 * found / FLOOR_KG_M2.value,
            FLOOR_KG_M2.value
        ),
        Subject::PlatformLoad => format!(
            "Load: a platform in {room} puts {found:.0} kg on each m² it covers. Floors of dwellings are made for {:.0} kg/m²: spread it, or ask \
             a structural engineer.",
            FLOOR_KG_M2.value
        ),
        Subject::WallLine => format!(
            "Load: a wall of the shell in {room} puts {found:.0} kg on each metre of the joists. An engineer says where it may stand."
        ),
        Subject::Hung => format!(
            "Load: {found:.0} kg for each m² hang from the ceiling of {room}. Hang it from joists or a slab that an engineer has checked."
        ),
        Subject::Headroom => {
            let limit = check.limit.unwrap_or(0.0);
            format!("Headroom: {found:.2} m are left in {room}. {limit:.1} m are asked for{}.", match check.kept {
                Kept::No => " where people walk",
                _ => " in rooms of new dwellings",
            })
        }
        Subject::Air { people, needs_l_s: [seated, hard], co2_ppm_h, has_way } => {
            let (who, for_each) = match people {
                1 => ("each person needs".to_owned(), " for each of them"),
                _ => (format!("{people} people need"), ""),
            };
            let way = if *has_way {
                "See that its vents or ducts bring that."
            } else {
                "Bring fresh air in and used air out, by silenced ducts, before anyone stays in it."
            };
            format!(
                "Air: in {room} {who} {seated:.0} L/s of fresh air, playing hard {hard:.0} L/s ({:.0} to {:.0} m³/h). Airtight, its carbon \
                 dioxide rises by up to {} ppm an hour{for_each}. {way}",
                3.6 * seated,
                3.6 * hard,
                100.0 * (co2_ppm_h / 100.0).round()
            )
        }
        Subject::Combustion { vent: true } if check.kept == Kept::No => format!(
            "Combustion: {} is closed, and a flame draws its air in {room}. Leave it open: closed, it can kill.",
            places(building, group)
        ),
        Subject::Combustion { vent: false } if check.kept == Kept::No => format!(
            "Combustion: a flame draws its air in {room}. Do not close it: starved of air, a flame can kill. Ask a registered fitter first."
        ),
        Subject::Combustion { vent: true } => format!(
            "Combustion: {} is closed. Does a boiler, stove, gas fire or open fire draw its air there? Then leave it open: closed, it can kill.",
            places(building, group)
        ),
        Subject::Combustion { vent: false } => format!(
            "Combustion: is there a boiler, stove, gas fire or open fire in {room}, or does one draw its air from it? Then do not close it."
        ),
        Subject::Coating { walls, ceiling } => format!(
            "Asbestos: {} may hold it. Have a sample tested before anything is fixed to the old {} of {room}.",
            if check.kept == Kept::No { "the old coating nobody tested" } else { "a textured coating from before 2000" },
            match (walls, ceiling) {
                (true, true) => "walls and ceiling",
                (true, false) => "walls",
                _ => "ceiling",
            }
        ),
        Subject::Alarm => "Fire: doors of the shell open without a key. A smoke alarm must be heard within it. Ask a fire officer about the way out."
            .into(),
        Subject::Electrics => {
            "Electrics: no lamps, transformers or junction boxes in gap or fill. Wiring of the shell is an electrician's.".into()
        }
        Subject::Heat => format!(
            "Heat: who plays in {room} gives off about {found:.0} W, amplifiers and lamps their own. Closed, it soon grows hot."
        ),
        Subject::Damp => {
            "Damp: water condenses between cold pane and cover. Take it off when nobody plays, and look for mould.".into()
        }
        Subject::Lift { piece, handling } => lifting(piece, *handling, found),
        Subject::Hearing { la_db, hours, said, until_85_h } => {
            let name = solved.scene.sources.iter().find(|source| check.place == Place::Source(source.id.clone()));
            let name = noun(name.map_or("source", |source| &source.name));
            let taken = if *said { "" } else { " (taken: no hours a day are said)" };
            let hours = if *hours == 1.0 { "one hour a day".to_owned() } else { format!("{} h a day", short(*hours)) };
            let rule = match check.kept {
                Kept::No => format!(" At work hearing protectors are worn from 85 on: {}.", within(*until_85_h)),
                Kept::Ask => " At work hearing protectors are offered from 80 dB(A) on.".to_owned(),
                Kept::Yes => String::new(),
            };
            format!(
                "Hearing: whoever plays {name} gets about {la_db:.0} dB(A). With {hours}{taken} that is {found:.0} dB(A) as the mean of 8 h.{rule}"
            )
        }
    }
}

/// What a piece weighs, and who lifts it.
fn lifting(piece: &Piece, handling: Handling, kg: f64) -> String {
    let (what, too_heavy) = match piece {
        Piece::Sheet { material, thickness_mm, size_m: [long_m, wide_m] } => (
            format!("a sheet of {thickness_mm} mm {material}, {long_m} m × {wide_m} m,"),
            "Too heavy to be lifted by hand: have it cut smaller.",
        ),
        Piece::Leaf(name) => (
            format!("a leaf of the shell ({name})"),
            "Too heavy to be lifted by hand: move it on wheels, and have it hung by those who do that every day.",
        ),
        Piece::Cover => ("a piece of the cover".to_owned(), lifted(Handling::Split)),
    };
    let who = match handling {
        Handling::Split => too_heavy,
        Handling::Three => "Three people lift one.",
        other => lifted(other),
    };
    format!("Lifting: {what} weighs {kg:.0} kg. {who}")
}

/// Who can lift a piece, as a sentence.
pub(crate) fn lifted(handling: Handling) -> &'static str {
    match handling {
        Handling::One => "One person can lift one near the body.",
        Handling::OneStrong => "One strong person can lift one near the body, two lift it better.",
        Handling::Two => "Two people lift one.",
        Handling::Three => "Three people lift one; better split it further.",
        Handling::Split => "Too heavy to be lifted by hand: split it further.",
    }
}

/// After how long the dose of a day is used up.
fn within(hours: f64) -> String {
    match 60.0 * hours {
        minutes if minutes < 1.0 => "that is reached in less than a minute".into(),
        minutes if minutes < 1.5 => "that is reached in a minute".into(),
        minutes if minutes < 90.0 => format!("that is reached in {minutes:.0} minutes"),
        minutes if minutes <= 24.0 * 60.0 => format!("that is reached in {:.1} h", minutes / 60.0),
        _ => "that is not reached in a day".into(),
    }
}

/// What stands on a floor: "shell, platforms and people".
fn loads(parts_kg_m2: [f64; 3]) -> String {
    let parts = ["shell", "platforms", "people"].iter().zip(parts_kg_m2).filter(|(_, kg_m2)| *kg_m2 > 0.0);
    series(&parts.map(|(name, _)| (*name).to_owned()).collect::<Vec<_>>())
}

/// The openings of a group, each with its room: "the studio window in the studio, and 2 more".
fn places(building: &Building, group: &[&Check]) -> String {
    let name = |check: &&Check| match check.place {
        Place::Opening(element, at) => {
            let name = opening(building, element, at).map_or("an opening".into(), |it| noun(&it.name));
            format!("{name} in {}", noun(space(building, check.room)))
        }
        _ => space(building, check.room).to_owned(),
    };
    let named: Vec<String> = group.iter().take(NAMED).map(name).collect();
    match group.len().saturating_sub(NAMED) {
        0 => named.join(", "),
        more => format!("{}, and {more} more", named.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_to_the_dose_of_a_day_are_said_in_their_measure() {
        for (hours, said) in [
            (0.01, "that is reached in less than a minute"),
            (0.02, "that is reached in a minute"),
            (0.25, "that is reached in 15 minutes"),
            (2.0, "that is reached in 2.0 h"),
            (30.0, "that is not reached in a day"),
        ] {
            assert_eq!(within(hours), said);
        }
    }
}
