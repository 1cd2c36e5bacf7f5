//! The answer as a table for a terminal, and as CSV.

use std::fmt::Write as _;

use crate::acoustics::bands::{NOMINAL_HZ, OCTAVE_HZ};
use crate::acoustics::{BAND_COUNT, Spectrum};
use crate::building::{Building, SpaceKind};
use crate::scene::Scene;
use crate::solve::{Answer, ListenerAnswer, PathRecord};

use super::{low_frequency, names, treatments, words};

/// How many paths a listener's table lists before the rest is summed.
const LISTED: usize = 12;
/// How many things a listener's table lists to stop.
const STEPS: usize = 5;
/// Columns of a name before it is cut.
const NAME_COLUMNS: usize = 44;

/// What some or all listeners get, as text: `chosen` are positions in the answer's listeners.
#[must_use]
pub fn text(scene: &Scene, building: &Building, answer: &Answer, chosen: &[usize]) -> String {
    let mut out = format!("{}\n{}\n", scene.name, "=".repeat(scene.name.chars().count()));
    for heard in chosen.iter().filter_map(|at| answer.listeners.get(*at)) {
        out.push('\n');
        listener(&mut out, scene, building, heard);
    }
    let rooms = low_frequency::rooms(building, answer, chosen);
    if !rooms.is_empty() {
        let _ = write!(out, "\nRooms at low frequencies\n{rooms}");
    }
    out.push_str(&treatments::text(scene, building, answer));
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
    for text in [words::listener(scene, building, heard), words::gains(building, heard)] {
        for line in folded(&text, 100).iter().filter(|line| !line.is_empty()) {
            let _ = writeln!(out, "{line}");
        }
    }
    let _ = writeln!(
        out,
        "\n  {} dB(A) ± {:.1}   {} dB(C)   LAFmax {} dB   {}",
        decimal(heard.la_db),
        heard.uncertainty_db,
        decimal(heard.lc_db),
        decimal(heard.lafmax_db),
        place(building, heard)
    );
    octaves(out, heard);
    for rating in &heard.ratings {
        let mut parts = Vec::new();
        if let Some(db) = rating.dntw_db {
            parts.push(format!("DnT,w {db} dB"));
        }
        if let Some(db) = rating.r_prime_w_db {
            parts.push(format!("R'w {db} dB"));
        }
        if !parts.is_empty() {
            let _ = writeln!(out, "  from {}: {}", names::space(building, rating.source_space), parts.join(", "));
        }
    }
    if let Some(target) = &heard.target {
        let _ = writeln!(
            out,
            "  limit \"{}\": margin {:+.1} dB, kept with a chance of {:.0} %",
            target.name,
            target.margin_db,
            100.0 * target.probability
        );
    }
    paths(out, building, heard);
    gains(out, building, heard);
}

/// What stopping things on the source's side would gain, each alone and one after the other.
fn gains(out: &mut String, building: &Building, heard: &ListenerAnswer) {
    let lines = words::gain_lines(building, heard, STEPS);
    if lines.is_empty() {
        return;
    }
    let mut rows = vec![["if nothing passed".to_owned(), "gains alone".to_owned(), "one after the other".to_owned()]];
    rows.extend(lines.into_iter().map(|line| [cut(&line.brief), line.gain, format!("{} left", line.left)]));
    let wide: [usize; 3] =
        std::array::from_fn(|column| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0));
    out.push('\n');
    for (at, [what, alone, left]) in rows.iter().enumerate() {
        let rank = if at == 0 { String::new() } else { at.to_string() };
        let _ = writeln!(out, "  {rank:>2}  {what:<0$}  {alone:>1$}  {left:>2$}", wide[0], wide[1], wide[2]);
    }
}

fn place(building: &Building, heard: &ListenerAnswer) -> String {
    match building.spaces.get(heard.space.0).map(|space| &space.kind) {
        Some(SpaceKind::Room(_)) => format!("in {}", names::space(building, heard.space)),
        _ => names::space(building, heard.space).to_owned(),
    }
}

fn octaves(out: &mut String, heard: &ListenerAnswer) {
    let levels = heard.energy.octave_sums().map(|energy| 10.0 * energy.log10());
    let background = heard.background_db.energy_from_db().octave_sums().map(|energy| 10.0 * energy.log10());
    // A tone is heard when it passes the threshold of its own third: the lowest of the three is shown.
    let threshold: [f64; 8] = std::array::from_fn(|octave| {
        heard.threshold_db.0[3 * octave..3 * octave + 3].iter().copied().fold(f64::INFINITY, f64::min)
    });
    let _ = write!(out, "\n  {:<18}", "octave, Hz");
    for hz in OCTAVE_HZ {
        let _ = write!(out, "{hz:>7}");
    }
    for (title, row) in [("level, dB", levels), ("background, dB", background), ("threshold, dB", threshold)] {
        let _ = write!(out, "\n  {title:<18}");
        for (octave, db) in row.into_iter().enumerate() {
            let rough = title == "level, dB" && db.is_finite() && low_frequency::is_rough(heard, octave);
            let _ = write!(out, "{:>7}", format!("{}{}", if rough { "~" } else { "" }, decimal(db)));
        }
    }
    let _ = writeln!(out, "\n  {}", low_frequency::meaning(heard));
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
    let percents = words::apportioned(&shares, 1000);
    let mut rows: Vec<[String; 6]> = vec![
        ["way", "out of the source's room by", "junction", "in to the listener by", "dB(A)", "share"]
            .map(str::to_owned),
    ];
    for (path, percent) in sounding.iter().zip(&percents).take(listed) {
        let entry = cut(&names::seen_from(building, path.entry, path.source_space));
        let exit = if path.exit == path.entry {
            "the same".to_owned()
        } else {
            cut(&names::seen_from(building, path.exit, heard.space))
        };
        let way = match path.via {
            Some(space) => format!("by {}", names::space(building, space)),
            None => words::kind(path.kind).to_owned(),
        };
        let level = decimal(heard.la_db + 10.0 * path.share.log10());
        rows.push([way, entry, junction(building, path), exit, level, share(*percent)]);
    }
    if listed < sounding.len() {
        let level = decimal(heard.la_db + 10.0 * rest.log10());
        let count = format!("{} other paths", sounding.len() - listed);
        rows.push([count, String::new(), String::new(), String::new(), level, share(percents[listed])]);
    }
    let wide: [usize; 6] =
        std::array::from_fn(|column| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0));
    out.push('\n');
    for (at, row) in rows.iter().enumerate() {
        let rank = if at == 0 || at > listed { String::new() } else { at.to_string() };
        let _ = write!(out, "  {rank:>2}  ");
        for column in 0..4 {
            let _ = write!(out, "{:<1$}  ", row[column], wide[column]);
        }
        let _ = writeln!(out, "{:>2$}  {:>3$}", row[4], row[5], wide[4], wide[5]);
    }
}

fn junction(building: &Building, path: &PathRecord) -> String {
    path.junction
        .and_then(|at| building.junctions.get(at.0))
        .map_or_else(String::new, |junction| format!("{:.1} m, {} arms", junction.length_m, junction.arms.len()))
}

fn share(tenths: i64) -> String {
    format!("{}.{} %", tenths / 10, tenths % 10)
}

/// One decimal; a dash for what is not there.
pub(super) fn decimal(db: f64) -> String {
    if db.is_finite() { format!("{:.1}", if db.abs() < 0.05 { 0.0 } else { db }) } else { "–".to_owned() }
}

/// A name, cut where it is too long for a table.
pub(super) fn cut(name: &str) -> String {
    if name.chars().count() <= NAME_COLUMNS {
        return name.to_owned();
    }
    let short: String = name.chars().take(NAME_COLUMNS - 1).collect();
    format!("{}…", short.trim_end())
}

/// Text broken between words into lines of at most `columns` characters.
pub(super) fn folded(text: &str, columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        // A unit stays with its number.
        let unit = ["%", "dB", "Hz"].iter().any(|unit| word.starts_with(unit));
        match lines.last_mut() {
            Some(line) if unit || line.chars().count() + 1 + word.chars().count() <= columns => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Every path of the chosen listeners as CSV (RFC 4180, a header line, point as decimal sign, lines end with CR LF):
/// `listener, rank, kind, source_space, entry, entry_part, junction, via, exit, exit_part, level_a_db, share` and a level in dB for
/// each band, `l_25_hz_db` to `l_5000_hz_db`. A level that does not exist is an empty field.
#[must_use]
pub fn csv(building: &Building, answer: &Answer, chosen: &[usize]) -> String {
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
                kind_key(path).to_owned(),
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

/// The kind of a path as JSON and CSV say it.
#[must_use]
pub fn kind_key(path: &PathRecord) -> &'static str {
    use crate::solve::PathKind;
    match path.kind {
        PathKind::Through => "through",
        PathKind::Flanking => "flanking",
        PathKind::Gap => "gap",
        PathKind::ByRoom => "by_room",
        PathKind::ByVoid => "by_void",
        PathKind::Duct => "duct",
        PathKind::ByOutdoors => "by_outdoors",
        PathKind::StructureBorne => "structure_borne",
        PathKind::Residual => "residual",
    }
}

fn hundredths(db: f64) -> String {
    if db.is_finite() { format!("{db:.2}") } else { String::new() }
}

/// A field, in quotes where RFC 4180 asks for them.
fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

/// A small chart of a spectrum: one column for each band, from the lowest to the highest value in steps.
#[must_use]
pub fn chart(title: &str, values_db: &Spectrum) -> String {
    const ROWS: usize = 12;
    let finite: Vec<f64> = values_db.iter().copied().filter(|db| db.is_finite()).collect();
    let (Some(low), Some(high)) = (finite.iter().copied().reduce(f64::min), finite.iter().copied().reduce(f64::max))
    else {
        return format!("{title}: no finite value\n");
    };
    let step = [1.0, 2.0, 5.0, 10.0, 20.0].into_iter().find(|step| (high - low) / step <= ROWS as f64 - 1.0);
    let step = step.unwrap_or(50.0);
    let (bottom, top) = ((low / step).floor() as i64, (high / step).ceil() as i64);
    let mut out = format!("{title}\n");
    for row in (bottom..=top).rev() {
        let _ = write!(out, "{:>5.0} |", row as f64 * step);
        for db in values_db.iter() {
            let level = (db / step).round();
            out.push_str(if level == row as f64 {
                "  o"
            } else if db.is_finite() && level > row as f64 {
                "  ."
            } else {
                "   "
            });
        }
        let line = out.trim_end().len();
        out.truncate(line);
        out.push('\n');
    }
    let _ = writeln!(out, "   dB +{}", "-".repeat(3 * BAND_COUNT));
    out.push_str("  Hz   ");
    for octave in OCTAVE_HZ {
        let _ = write!(out, "{octave:^9}");
    }
    let line = out.trim_end().len();
    out.truncate(line);
    out.push('\n');
    out
}

/// What a building holds, counted in one line: what `check` prints of a scene that is right.
#[must_use]
pub fn summary(scene: &Scene, building: &Building) -> String {
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

    #[test]
    fn a_chart_has_a_mark_in_every_band() {
        let text = chart("R, dB", &Spectrum::from_fn(|band| 20.0 + band as f64));
        assert_eq!(text.matches('o').count(), BAND_COUNT, "{text}");
        assert!(chart("R, dB", &Spectrum::splat(f64::INFINITY)).contains("no finite value"));
    }
}
