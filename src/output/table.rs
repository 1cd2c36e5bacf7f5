//! The answer as a table for a terminal, and as CSV.

use std::fmt::Write as _;

use crate::acoustics::bands::{NOMINAL_HZ, OCTAVE_HZ};
use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::acoustics::{BAND_COUNT, Spectrum};
use crate::building::{Building, SpaceIndex, SpaceKind};
use crate::project::Solved;
use crate::scene::Scene;
use crate::solve::{Answer, BandChoice, ListenerAnswer, PathRecord, SpaceAnswer};

use super::text::{Column, cut, decimal, headed, paragraph, row, table};
use super::{checks, names, treatments, words};

/// How many paths a listener's table lists before the rest is summed.
const LISTED: usize = 12;
/// How many things a listener's table lists to stop.
const STEPS: usize = 5;
/// Modes named of a room.
const NAMED_MODES: usize = 8;
/// The column of a place in a list.
const RANK: Column = Column::NUMBERS.least(2);

/// What some or all listeners get, as text: `chosen` are positions in the answer's listeners.
#[must_use]
pub fn text(solved: &Solved, chosen: &[usize]) -> String {
    let Solved { scene, building, answer, .. } = solved;
    let mut out = format!("{}\n{}\n", scene.name, "=".repeat(scene.name.chars().count()));
    for heard in chosen.iter().filter_map(|at| answer.listeners.get(*at)) {
        out.push('\n');
        listener(&mut out, scene, building, heard);
    }
    let rooms = ringing(building, answer, chosen);
    if !rooms.is_empty() {
        let _ = write!(out, "\nRooms at low frequencies\n{rooms}");
    }
    out.push_str(&treatments::text(solved));
    out.push_str(&checks::text(solved));
    if !answer.notes.is_empty() {
        out.push_str("\nNotes\n");
        for note in &answer.notes {
            let _ = writeln!(out, "  - {note}");
        }
    }
    out
}

fn listener(out: &mut String, scene: &Scene, building: &Building, heard: &ListenerAnswer) {
    let name = words::heading(&heard.name);
    let _ = writeln!(out, "{name}\n{}", "-".repeat(name.chars().count()));
    let said = words::lines(scene, building, heard, BandChoice::AWeighted);
    for text in [said.heard, said.by, said.advice, said.note, said.more] {
        if !text.is_empty() {
            out.push_str(&paragraph("", &text, 100));
        }
    }
    let inside = if names::room(building, heard.space).is_some() { "in " } else { "" };
    let place = format!("{inside}{}", names::space(building, heard.space));
    let _ = writeln!(
        out,
        "\n  {} dB(A) ± {:.1}   {} dB(C)   LAFmax {} dB   {}",
        decimal(heard.la_db),
        heard.uncertainty_db,
        decimal(heard.lc_db),
        decimal(heard.lafmax_db),
        place
    );
    octaves(out, heard);
    for rating in &heard.ratings {
        let named = [("DnT,w", rating.dntw_db), ("R'w", rating.r_prime_w_db)];
        let parts: Vec<String> = named.iter().filter_map(|(name, db)| db.map(|db| format!("{name} {db} dB"))).collect();
        if !parts.is_empty() {
            let _ = writeln!(out, "  from {}: {}", names::space(building, rating.source_space), parts.join(", "));
        }
    }
    if let Some(target) = &heard.target {
        let _ = writeln!(
            out,
            "  limit \"{}\": margin {:+.1} dB{}, {}",
            target.name,
            target.margin_db,
            words::mean(target).map_or_else(String::new, |mean| format!(" {mean}")),
            words::chance(target.probability)
        );
    }
    paths(out, building, heard);
    gains(out, building, heard);
}

/// What stopping things on the source's side would gain, each alone and one after the other.
fn gains(out: &mut String, building: &Building, heard: &ListenerAnswer) {
    let lines = words::gain_lines(building, heard, BandChoice::AWeighted, STEPS);
    if lines.is_empty() {
        return;
    }
    let mut rows = vec![row(["", "if nothing passed", "gains alone", "one after the other"])];
    for (at, line) in lines.into_iter().enumerate() {
        rows.push(vec![(at + 1).to_string(), cut(&line.brief), line.gain, format!("{} left", line.left)]);
    }
    out.push('\n');
    out.push_str(&table(&[RANK, Column::WORDS, Column::NUMBERS], &rows));
}

fn octaves(out: &mut String, heard: &ListenerAnswer) {
    let levels = heard.energy.octave_sums().map(|energy| 10.0 * energy.log10());
    let background = heard.background_db.energy_from_db().octave_sums().map(|energy| 10.0 * energy.log10());
    // As the charts show it: that of the middle third.
    let threshold: [f64; 8] = std::array::from_fn(|octave| heard.threshold_db[3 * octave + 1]);
    let level = |octave: usize| {
        let rough = levels[octave].is_finite() && 3 * octave < heard.first_confident_band;
        format!("{}{}", if rough { "~" } else { "" }, decimal(levels[octave]))
    };
    let rows = [
        headed("octave, Hz", OCTAVE_HZ.map(|hz| hz.to_string())),
        headed("level, dB", (0..8).map(level)),
        headed("background, dB", background.map(decimal)),
        headed("threshold, dB", threshold.map(decimal)),
    ];
    let lines = table(&[Column::WORDS.least(18), Column::OCTAVE], &rows);
    let _ = writeln!(out, "\n{lines}  {}", meaning(heard));
}

/// What the mark ~ at a level means, with the least uncertainty below and how much of the A-weighted energy lies there:
/// "~ below 200 Hz single modes decide: third octaves ± 9 dB or more, with 79 % of the dB(A)".
fn meaning(heard: &ListenerAnswer) -> String {
    let first = heard.first_confident_band.min(BAND_COUNT);
    let least_db = heard.band_uncertainty_db.0[..first].iter().copied().fold(f64::INFINITY, f64::min);
    let place = NOMINAL_HZ.get(first).map_or_else(|| "in all bands".to_owned(), |hz| format!("below {hz} Hz"));
    let mut text = format!("~ {place} single modes decide: third octaves ± {least_db:.0} dB or more");
    let low = Spectrum::from_fn(|band| if band < first { heard.energy[band] } else { 0.0 });
    let (low, all) = (a_weighted_energy(&low), a_weighted_energy(&heard.energy));
    if all > 0.0 {
        let _ = match 100.0 * low / all {
            percent if percent < 1.0 => write!(text, ", with under 1 % of the dB(A)"),
            percent => write!(text, ", with {percent:.0} % of the dB(A)"),
        };
    }
    text
}

/// A line for each loud room and each room of the chosen listeners: Schroeder frequency, and the first modes where it is a box.
/// Empty where there is no such room.
fn ringing(building: &Building, answer: &Answer, chosen: &[usize]) -> String {
    let heard_in = |at: usize| {
        chosen.iter().filter_map(|listener| answer.listeners.get(*listener)).any(|heard| heard.space.0 == at)
    };
    let mut out = String::new();
    for (at, space) in answer.spaces.iter().enumerate() {
        // Outdoors and ground have no Schroeder frequency.
        if space.schroeder_hz > 0.0 && (space.has_source || heard_in(at)) {
            let name = names::space(building, SpaceIndex(at));
            let _ = writeln!(out, "  {name}: {}", modes(space));
        }
    }
    out
}

fn modes(space: &SpaceAnswer) -> String {
    let mut text = format!("no diffuse field below {:.0} Hz", space.schroeder_hz);
    if space.single_modes.is_empty() {
        return text;
    }
    let modes = space.single_modes.iter().take(NAMED_MODES).map(|mode| {
        let [x, y, z] = mode.order;
        format!("{:.0} ({x}-{y}-{z})", mode.hz)
    });
    let _ = write!(text, "; modes, Hz: {}", modes.collect::<Vec<_>>().join(", "));
    if space.single_modes.len() > NAMED_MODES {
        text.push_str(" …");
    }
    text
}

fn paths(out: &mut String, building: &Building, heard: &ListenerAnswer) {
    let sounding: Vec<&PathRecord> = heard.paths.iter().filter(|path| path.share > 0.0).collect();
    if sounding.is_empty() {
        let _ = writeln!(out, "\n  no way in");
        return;
    }
    // One more than the limit is listed rather than summed alone.
    let listed = if sounding.len() <= LISTED + 1 { sounding.len() } else { LISTED };
    let rest: f64 = sounding[listed..].iter().map(|path| path.share).sum();
    let mut shares: Vec<f64> = sounding[..listed].iter().map(|path| path.share).collect();
    if listed < sounding.len() {
        shares.push(rest);
    }
    let level = |share: f64| decimal(heard.la_db + 10.0 * share.log10());
    let mut rows =
        vec![row(["", "way", "out of the source's room by", "junction", "in to the listener by", "dB(A)", "share"])];
    let naming = names::Naming::of(building, heard);
    for (at, tenths) in words::apportioned(&shares, 1000).into_iter().enumerate() {
        let percent = format!("{}.{} %", tenths / 10, tenths % 10);
        if at == listed {
            let count = format!("{} other paths", sounding.len() - listed);
            rows.push(row(["", &count, "", "", "", &level(rest), &percent]));
            continue;
        }
        let path = sounding[at];
        let by = match path.via {
            Some(space) => format!("by {}", names::space(building, space)),
            None => words::kind(path.kind).to_owned(),
        };
        let entry = cut(&naming.plain(building, path.entry));
        let exit =
            if path.exit == path.entry { "the same".to_owned() } else { cut(&naming.plain(building, path.exit)) };
        let junction = path
            .junction
            .and_then(|at| building.junctions.get(at.0))
            .map_or_else(String::new, |junction| format!("{:.1} m, {} arms", junction.length_m, junction.arms.len()));
        rows.push(vec![(at + 1).to_string(), by, entry, junction, exit, level(path.share), percent]);
    }
    let [words, numbers] = [Column::WORDS, Column::NUMBERS];
    out.push('\n');
    out.push_str(&table(&[RANK, words, words, words, words, numbers], &rows));
}

/// Every path of the chosen listeners as CSV (RFC 4180, a header line, point as decimal sign, lines end with CR LF):
/// `listener, rank, kind, source_space, entry, entry_part, junction, via, exit, exit_part, level_a_db, share` and a level in dB for
/// each band, `l_25_hz_db` to `l_5000_hz_db`. A level that does not exist is an empty field.
#[must_use]
pub fn csv(Solved { building, answer, .. }: &Solved, chosen: &[usize]) -> String {
    let mut out =
        String::from("listener,rank,kind,source_space,entry,entry_part,junction,via,exit,exit_part,level_a_db,share");
    for hz in NOMINAL_HZ {
        let _ = write!(out, ",l_{}_hz_db", hz.to_string().replace('.', "_"));
    }
    out.push_str("\r\n");
    for heard in chosen.iter().filter_map(|at| answer.listeners.get(*at)) {
        for (rank, path) in heard.paths.iter().enumerate() {
            let words = [
                heard.listener.0.clone(),
                (rank + 1).to_string(),
                words::kind_key(path.kind).to_owned(),
                names::space(building, path.source_space).to_owned(),
                names::id(building, path.entry),
                names::part(path.entry).to_owned(),
                path.junction.map_or_else(String::new, |junction| junction.0.to_string()),
                path.via.map_or_else(String::new, |space| names::space(building, space).to_owned()),
                names::id(building, path.exit),
                names::part(path.exit).to_owned(),
            ];
            let fields: Vec<String> = words.iter().map(|word| field(word)).collect();
            let level = heard.la_db + 10.0 * path.share.log10();
            let _ = write!(out, "{},{},{:.9}", fields.join(","), hundredths(level), path.share);
            for energy in path.energy.iter() {
                let _ = write!(out, ",{}", hundredths(10.0 * energy.log10()));
            }
            out.push_str("\r\n");
        }
    }
    out
}

fn hundredths(db: f64) -> String {
    if db.is_finite() { format!("{db:.2}") } else { String::new() }
}

/// A field, in quotes where RFC 4180 asks for them.
pub(super) fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

/// What a building holds, counted in one line: what `check` prints of a scene that is right.
pub(crate) fn summary(scene: &Scene, building: &Building) -> String {
    let rooms = building.spaces.iter().filter(|space| matches!(space.kind, SpaceKind::Room(_))).count();
    let counts = [
        (scene.storeys.len(), "storey"),
        (rooms, "room"),
        (building.elements.len(), "element"),
        (building.junctions.len(), "junction"),
        (building.sources.len(), "source"),
        (building.listeners.len(), "listener"),
    ];
    let counts = counts.map(|(count, thing)| format!("{count} {thing}{}", if count == 1 { "" } else { "s" }));
    format!("{}: {}", scene.name, counts.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn csv_fields_are_quoted_where_they_must() {
        assert_eq!(field("plain"), "plain");
        assert_eq!(field("a,b"), "\"a,b\"");
        assert_eq!(field("say \"no\""), "\"say \"\"no\"\"\"");
    }
}
