//! What a listener hears, in a few sentences.

use crate::acoustics::bands::NOMINAL_HZ;
use crate::building::Building;
use crate::scene::Scene;
use crate::solve::{Audibility, ListenerAnswer};

use super::parts::{heading, level, noun, percent_whole, series};
use super::paths::{paths, telling_gaps};

/// What a listener hears, how sure that is, and the strongest ways, in a few sentences.
///
/// "In bed next door: the drum kit can be heard clearly, about 52 dB(A) (± 5 dB). 61 % comes through the wall between …"
#[must_use]
pub fn listener(scene: &Scene, building: &Building, heard: &ListenerAnswer) -> String {
    let name = heading(&heard.name);
    if heard.paths.iter().all(|path| path.energy.sum() <= 0.0) {
        return format!("{name}: nothing is playing that could be heard.");
    }
    let sources = sources(scene, building, heard);
    let subject = if sources.is_empty() { "the source".to_owned() } else { series(&sources) };
    let verb = match heard.audibility {
        Audibility::Inaudible => "cannot be heard",
        Audibility::JustAudible => "can just be heard",
        Audibility::Clear => "can be heard clearly",
        Audibility::Loud if sources.len() > 1 => "are loud",
        Audibility::Loud => "is loud",
    };
    let mut text =
        format!("{name}: {subject} {verb}, about {} (± {:.0} dB).", level(heard.la_db), heard.uncertainty_db);
    for sentence in paths(building, heard).into_iter().chain(telling_gaps(building, heard)) {
        text.push(' ');
        text.push_str(&sentence);
    }
    if heard.audibility > Audibility::Inaudible {
        let hz = NOMINAL_HZ[heard.audible_band.min(NOMINAL_HZ.len() - 1)];
        text.push_str(&match heard.audible_margin_db {
            above_db if above_db >= 0.5 => {
                format!(" It stands out most at {hz} Hz, {above_db:.0} dB above what can just be heard there.")
            }
            _ => format!(" It comes nearest to being heard at {hz} Hz."),
        });
    }
    if let Some(target) = &heard.target {
        text.push_str(&format!(
            " The limit “{}” {} (chance that it is kept: {}).",
            target.name,
            against_limit(target.margin_db),
            percent_whole(target.probability)
        ));
    }
    text
}

/// How a level stands to its limit: no decibels where they would round to none.
pub(super) fn against_limit(margin_db: f64) -> String {
    let whole_db = margin_db.round();
    if whole_db >= 1.0 {
        format!("is kept with {whole_db:.0} dB to spare")
    } else if whole_db <= -1.0 {
        format!("is exceeded by {:.0} dB", -whole_db)
    } else if margin_db >= 0.0 {
        "is just kept".to_owned()
    } else {
        "is only just exceeded".to_owned()
    }
}

/// What is loud: "the drum kit and the guitar amp".
fn sources(scene: &Scene, building: &Building, heard: &ListenerAnswer) -> Vec<String> {
    let mut names: Vec<String> = building
        .sources
        .iter()
        .filter(|placed| heard.paths.iter().any(|path| path.source_space == placed.space))
        .filter_map(|placed| scene.sources.iter().find(|source| source.id == placed.source && source.playing))
        // "Drum kit, loud" is loud: what stands after the comma says how it is played.
        .map(|source| noun(source.name.split(',').next().unwrap_or_default().trim()))
        .collect();
    // Two drum kits are named once.
    let mut seen = std::collections::BTreeSet::new();
    names.retain(|name| seen.insert(name.clone()));
    names
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
            (3.2, "is kept with 3 dB to spare"),
            (0.51, "is kept with 1 dB to spare"),
            (0.49, "is just kept"),
            (0.0, "is just kept"),
            (-0.3, "is only just exceeded"),
            (-0.51, "is exceeded by 1 dB"),
            (-12.4, "is exceeded by 12 dB"),
        ] {
            assert_eq!(against_limit(margin_db), said, "{margin_db}");
        }
    }
}
