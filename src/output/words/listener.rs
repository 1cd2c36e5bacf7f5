//! The answer in three lines: how loud it is and what that means, by what it comes, and what to do first.

use crate::acoustics::bands::NOMINAL_HZ;
use crate::building::{Building, SpaceIndex};
use crate::catalogue::limits::short;
use crate::output::names::Naming;
use crate::scene::Scene;
use crate::solve::{Audibility, BandChoice, ListenerAnswer, TargetAnswer, removal};

use super::gains;
use super::parts::{chance, heading, level, noun, series};
use super::paths::{shares, telling_gaps};

/// Names of sources longer than this together, in words, are left out of the sentence.
const NAMES: usize = 10;

/// The answer for a listener, in plain lines of short sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lines {
    /// How loud it is, and what that means: "In bed next door: the drum kit is loud, about 54 dB(A) (± 7 dB). That is like talk in the same room."
    pub heard: String,
    /// By what it comes: "76 % comes through the wall to the bedroom. Then 4 % runs along the ceiling. The other 20 % takes other ways."
    pub by: String,
    /// The limit, and what to do first: "The limit “a night limit” is exceeded by 24 dB: practically never kept. First stop …"
    pub advice: String,
    /// The remark that belongs to the limit; empty where none does.
    pub note: String,
    /// What else there is to know, for those who ask: where it stands out, what stopping things would gain.
    pub more: String,
}

impl Lines {
    /// All in one paragraph.
    #[must_use]
    pub fn whole(&self) -> String {
        let all = [&self.heard, &self.by, &self.advice, &self.note, &self.more];
        all.map(String::as_str).into_iter().filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ")
    }
}

/// What a listener hears in some bands, by what, and what to do about it.
#[must_use]
pub fn lines(scene: &Scene, building: &Building, heard: &ListenerAnswer, bands: BandChoice) -> Lines {
    let name = heading(&heard.name);
    let all_bands = bands == BandChoice::AWeighted;
    let place = if all_bands { name } else { format!("{name}, at {}", bands.label()) };
    let within = removal::within(heard, bands);
    let heard = within.as_ref().unwrap_or(heard);
    if heard.paths.iter().all(|path| path.energy.sum() <= 0.0) {
        let heard = format!("{place}: nothing is playing that could be heard.");
        return Lines { heard, by: String::new(), advice: String::new(), note: String::new(), more: String::new() };
    }
    let sources = sources(scene, building, heard);
    let subject = match series(&sources) {
        _ if sources.is_empty() => "the source".to_owned(),
        long if long.split_whitespace().count() > NAMES => "all that plays".to_owned(),
        all => all,
    };
    let several = sources.len() > 1 && subject != "all that plays";
    let said = if all_bands {
        let (how, level_a) = (audibility_words(heard.audibility, several), level(heard.la_db));
        let means = match heard.audibility {
            Audibility::Inaudible => "That is drowned by what is heard there anyway.".to_owned(),
            _ => format!("That is {}.", like(heard.la_db)),
        };
        format!("{place}: {subject} {how}, about {level_a} (± {:.0} dB). {means}", heard.uncertainty_db)
    } else {
        let gives = if several { "give" } else { "gives" };
        let (level_db, over_db) = (10.0 * heard.energy.iter().sum::<f64>().log10(), heard.audible_margin_db);
        let over = if over_db >= 0.5 {
            format!(". That is {over_db:.0} dB above what can just be heard there")
        } else {
            String::new()
        };
        format!("{place}: {subject} {gives} about {:.0} dB{over}.", level_db.max(0.0))
    };
    let naming = Naming::of(building, heard);
    let by = [shares(building, &naming, heard)].into_iter().flatten().chain(telling_gaps(building, &naming, heard));
    let note = heard.target.as_ref().filter(|_| all_bands).map(remark).unwrap_or_default();
    let limit = heard.target.as_ref().filter(|_| all_bands).map(verdict);
    let advice = limit.into_iter().chain(gains::first(building, heard, bands));
    let more = gains::rest(building, heard, bands).into_iter().chain(stands_out(heard, bands));
    Lines {
        heard: said,
        by: by.collect::<Vec<_>>().join(" "),
        advice: advice.collect::<Vec<_>>().join(" "),
        note,
        more: more.collect::<Vec<_>>().join(" "),
    }
}

/// What a level is like, for those to whom decibels say nothing. Common practice, no source: levels a metre or so from the thing itself.
fn like(la_db: f64) -> &'static str {
    match la_db {
        ..20.0 => "fainter than a whisper",
        ..30.0 => "like a whisper",
        ..40.0 => "like a fridge in the room",
        ..50.0 => "like steady rain outside",
        ..60.0 => "like talk in the same room",
        ..70.0 => "like raised voices in the same room",
        ..80.0 => "like a vacuum cleaner in the same room",
        ..90.0 => "like standing beside a busy road",
        _ => "so loud that hours of it harm the ears",
    }
}

/// Where it is heard best.
fn stands_out(heard: &ListenerAnswer, bands: BandChoice) -> Option<String> {
    if heard.audibility == Audibility::Inaudible || matches!(bands, BandChoice::Range(first, last) if first == last) {
        return None;
    }
    let hz = NOMINAL_HZ[heard.audible_band.min(NOMINAL_HZ.len() - 1)];
    Some(match heard.audible_margin_db {
        above_db if above_db >= 0.5 => {
            format!("It stands out most at {hz} Hz, {above_db:.0} dB above what can just be heard there.")
        }
        _ => format!("It comes nearest to being heard at {hz} Hz."),
    })
}

/// The remark that belongs to the limit: "About this limit: lower if much of it is low frequency."
fn remark(target: &TargetAnswer) -> String {
    let mut letters = target.record.note.chars();
    let first = letters.next().map(|first| first.to_lowercase().collect::<String>());
    first.map_or_else(String::new, |first| format!("About this limit: {first}{}", letters.as_str()))
}

/// What becomes of the limit.
fn verdict(target: &TargetAnswer) -> String {
    let mean = mean(target).map_or_else(String::new, |mean| format!(" {mean}"));
    format!("The limit “{}” {}{mean}: {}.", target.name, against_limit(target.margin_db), chance(target.probability))
}

/// That a mean is held against the limit, where it is: "as the mean of 16 h, with 2 h of playing".
pub(crate) fn mean(target: &TargetAnswer) -> Option<String> {
    let (averaging_h, played_h) = (target.record.averaging_h?, target.hours_a_day?);
    (target.idle_db() < 0.0)
        .then(|| format!("as the mean of {} h, with {} h of playing", short(averaging_h), short(played_h)))
}

/// How a level stands to its limit: no decibels where they would round to none.
pub(super) fn against_limit(margin_db: f64) -> String {
    let whole_db = margin_db.round();
    if whole_db >= 1.0 {
        format!("has {whole_db:.0} dB to spare")
    } else if whole_db <= -1.0 {
        format!("is exceeded by {:.0} dB", -whole_db)
    } else if margin_db >= 0.0 {
        "is just met".to_owned()
    } else {
        "is only just exceeded".to_owned()
    }
}

/// What is loud: "the drum kit and the guitar amp".
fn sources(scene: &Scene, building: &Building, heard: &ListenerAnswer) -> Vec<String> {
    sources_of(scene, building, |space| heard.paths.iter().any(|path| path.source_space == space))
}

/// What plays in some spaces.
pub(super) fn sources_of(scene: &Scene, building: &Building, inside: impl Fn(SpaceIndex) -> bool) -> Vec<String> {
    let mut names: Vec<String> = building
        .sources
        .iter()
        .filter(|placed| inside(placed.space))
        .filter_map(|placed| scene.sources.iter().find(|source| source.id == placed.source && source.playing))
        // "Drum kit, loud" is loud: what stands after the comma says how it is played.
        .map(|source| noun(source.name.split(',').next().unwrap_or_default().trim()))
        .collect();
    // Two drum kits are named once.
    let mut seen = std::collections::BTreeSet::new();
    names.retain(|name| seen.insert(name.clone()));
    names
}

fn audibility_words(audibility: Audibility, several: bool) -> &'static str {
    match audibility {
        Audibility::Inaudible => "cannot be heard",
        Audibility::JustAudible => "can just be heard",
        Audibility::Clear => "can be heard clearly",
        Audibility::Loud if several => "are loud",
        Audibility::Loud => "is loud",
    }
}

/// How well it is heard: "clearly heard".
#[must_use]
pub fn audibility_word(audibility: Audibility) -> &'static str {
    match audibility {
        Audibility::Inaudible => "not heard",
        Audibility::JustAudible => "just heard",
        Audibility::Clear => "clearly heard",
        Audibility::Loud => "loud",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_the_limit_no_zero_decibels_are_said() {
        for (margin_db, said) in [
            (3.2, "has 3 dB to spare"),
            (0.51, "has 1 dB to spare"),
            (0.49, "is just met"),
            (0.0, "is just met"),
            (-0.3, "is only just exceeded"),
            (-0.51, "is exceeded by 1 dB"),
            (-12.4, "is exceeded by 12 dB"),
        ] {
            assert_eq!(against_limit(margin_db), said, "{margin_db}");
        }
    }
}
