//! How sure the levels of an answer are, drawn many times: as text for a terminal, and as JSON.

use std::fmt::Write as _;

use crate::acoustics::bands::{NOMINAL_HZ, OCTAVE_HZ};
use crate::project::Solved;
use crate::solve::ListenerAnswer;
use crate::solve::sampling::{PERCENT, Sampled, SampledListener};

use super::json::{JSON_FORMAT, levels, list, object, pretty, rounded};
use super::text::{Column, decimal, headed, paragraph, table};
use super::words;

/// Columns of a line.
const COLUMNS: usize = 100;
/// Causes named of a listener, and the least part of one that is.
const NAMED: usize = 6;
const LEAST_SHARE: f64 = 0.02;
/// From here on it is said why a middle lies above the computed level, dB. Own choice.
const PLAIN_DB: f64 = 1.5;

/// What was drawn, for the chosen listeners (positions in the answer's listeners).
#[must_use]
pub fn text(solved: &Solved, sampled: &Sampled, seed: u64, chosen: &[usize]) -> String {
    let name = &solved.scene.name;
    let mut out = format!("{name}\n{}\n", "=".repeat(name.chars().count()));
    for (heard, own) in pairs(solved, sampled, chosen) {
        listener(&mut out, solved, heard, own);
    }
    if let Some(kept) = sampled.all_kept.filter(|_| chosen.len() > 1) {
        let _ = writeln!(out, "\nAll limits together: {}.", words::chance(kept));
    }
    let mut note = format!("Drawn {} times, seed {seed}.", sampled.samples);
    if pairs(solved, sampled, chosen).any(|(heard, own)| own.la_db[1] - heard.la_db >= PLAIN_DB) {
        note.push_str(
            " Middles lie above computed levels: what turns out worse is heard, what turns out better the rest drowns.",
        );
    }
    note.push_str(
        " Parts add up to all that is not known of the margin to the limit, or of the level where there is none. What is \
         drawn is the ± of all that a level is computed from. That is estimated itself.",
    );
    let _ = write!(out, "\n{}", paragraph("", &note, COLUMNS));
    out
}

fn pairs<'a>(
    solved: &'a Solved,
    sampled: &'a Sampled,
    chosen: &'a [usize],
) -> impl Iterator<Item = (&'a ListenerAnswer, &'a SampledListener)> {
    chosen.iter().filter_map(|at| Some((solved.answer.listeners.get(*at)?, sampled.listeners.get(*at)?)))
}

fn listener(out: &mut String, solved: &Solved, heard: &ListenerAnswer, own: &SampledListener) {
    let name = words::heading(&heard.name);
    let _ = writeln!(out, "\n{name}\n{}", "-".repeat(name.chars().count()));
    let [low, middle, high] = own.la_db;
    if !middle.is_finite() {
        out.push_str("Nothing is playing that could be heard.\n");
        return;
    }
    let mut said = format!(
        "Nine times in ten it is between {low:.0} and {high:.0} dB(A), in the middle {middle:.0} dB(A). Computed are {:.0} dB(A).",
        heard.la_db
    );
    if let (Some(target), Some(kept)) = (&heard.target, own.kept) {
        let _ = write!(said, " The limit “{}” is {}.", target.name, words::chance(kept));
    }
    out.push_str(&paragraph("", &said, COLUMNS));
    let mut rows = vec![headed("octave, Hz", OCTAVE_HZ.iter().map(f64::to_string).chain(["dB(A)".to_owned()]))];
    for (at, heading) in ["5 % lie below", "middle", "5 % lie above"].into_iter().enumerate() {
        let cells = own.octaves_db[at].iter().chain([&own.la_db[at]]);
        rows.push(headed(heading, cells.map(|db| decimal(*db))));
    }
    let _ = write!(out, "\n{}", table(&[Column::WORDS.least(16), Column::OCTAVE], &rows));
    let lines = words::cause_lines(solved, heard, &own.causes);
    let named = lines.iter().take(NAMED).take_while(|line| line.share >= LEAST_SHARE).count();
    let mut shares: Vec<f64> = lines[..named].iter().map(|line| line.share).collect();
    shares.push(1.0 - shares.iter().sum::<f64>());
    let percents = words::apportioned(&shares, 100);
    let what = lines[..named].iter().map(|line| line.what.as_str()).chain(["all else"]);
    let rows: Vec<Vec<String>> = what
        .zip(percents)
        .filter(|(_, percent)| *percent > 0)
        .map(|(what, percent)| vec![format!("{percent} %"), what.to_owned()])
        .collect();
    if let Some(first) = lines.first() {
        let _ = writeln!(out, "\nWhat to measure first");
        out.push_str(&table(&[Column::NUMBERS, Column::WORDS], &rows));
        out.push_str(&paragraph("", &first.advice, COLUMNS));
    }
}

/// The same as JSON. Lists of three are levels at `percent`, dB.
#[must_use]
pub fn json(solved: &Solved, sampled: &Sampled, seed: u64, chosen: &[usize]) -> String {
    pretty(&object! {
        format: JSON_FORMAT,
        scene: &solved.scene.name,
        samples: sampled.samples,
        seed: seed,
        percent: PERCENT,
        bands_hz: NOMINAL_HZ,
        octaves_hz: OCTAVE_HZ,
        listeners: list(pairs(solved, sampled, chosen), |(heard, own)| object! {
            id: &heard.listener.0,
            name: &heard.name,
            computed_a_db: rounded(heard.la_db),
            level_a_db: own.la_db.map(rounded),
            octave_level_db: list(&own.octaves_db, |octaves| octaves.map(rounded)),
            level_db: list(&own.bands_db, levels),
            target: heard.target.as_ref().map(|target| &target.id),
            kept: own.kept,
            explained: own.explained,
            causes: list(words::cause_lines(solved, heard, &own.causes), |line| object! {
                kind: line.key,
                what: line.what,
                share: line.share,
            }),
        }),
        all_kept: sampled.all_kept,
    })
}
