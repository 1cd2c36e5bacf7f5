//! What is not known of a level, in words, and what somebody can do to know it better.

use crate::catalogue::Catalogue;
use crate::output::names::Naming;
use crate::project::Solved;
use crate::solve::ListenerAnswer;
use crate::solve::odds::Cause;

use super::listener::sources_of;
use super::parts::series;

/// Something that is not known of a listener's level.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseLine {
    /// "how loud the drum kit really is".
    pub what: String,
    /// As JSON says its kind.
    pub key: &'static str,
    /// Its part of the variance, 0 to 1.
    pub share: f64,
    /// What to do to know it better, in short sentences.
    pub advice: String,
}

/// Causes of a listener's uncertainty with their parts, in words, the greatest first: what is called alike is one.
#[must_use]
pub fn cause_lines(solved: &Solved, heard: &ListenerAnswer, causes: &[(Cause, f64)]) -> Vec<CauseLine> {
    let naming = Naming::of(&solved.building, heard);
    let mut lines: Vec<CauseLine> = Vec::new();
    for (cause, share) in causes {
        let (key, what, advice) = words(solved, &naming, *cause);
        match lines.iter_mut().find(|line| line.what == what) {
            Some(line) => line.share += share,
            None => lines.push(CauseLine { what, key, share: *share, advice }),
        }
    }
    lines.sort_by(|a, b| b.share.total_cmp(&a.share));
    lines
}

fn words(solved: &Solved, naming: &Naming, cause: Cause) -> (&'static str, String, String) {
    let Solved { scene, building, answer, .. } = solved;
    let playing = |room| {
        let names = sources_of(scene, building, |space| space == room);
        let verb = if names.len() > 1 { ["are", "strike"] } else { ["is", "strikes"] };
        (if names.is_empty() { "the source".to_owned() } else { series(&names) }, verb)
    };
    let face = |face| naming.noun(building, face);
    let whole = "Before you build, play steady noise in the loud room. Take the level there and here, octave by octave, and hold \
                 their difference against the computed one."
        .to_owned();
    match cause {
        Cause::Source(room) => {
            let (names, [is, _]) = playing(room);
            let advice = format!(
                "Measure {names} at 1 m, as loud as you play. Write the level into the scene as `measured`, with `distance_m: 1, in_room: true`. \
                 Wear ear protection."
            );
            ("source", format!("how loud {names} really {is}"), advice)
        }
        Cause::Force(room) => {
            let (names, [_, strikes]) = playing(room);
            let advice =
                "Have the pedals struck on pads that make no sound, and measure where the listener is.".to_owned();
            ("force", format!("how hard {names} {strikes} the floor"), advice)
        }
        Cause::Struck(floor) => {
            let advice =
                "Have the pedals struck on pads that make no sound, and measure where the listener is.".to_owned();
            ("struck", format!("how {} takes a blow", face(floor)), advice)
        }
        Cause::Build(at) => {
            let id = answer.known.constructions.get(at).map_or("", String::as_str);
            let name =
                Catalogue::built_in_ref().resolve(&scene.constructions, id).map_or(id, |found| found.name.as_str());
            ("build", format!("what “{name}” really keeps back"), whole)
        }
        Cause::Work(at) => {
            let face = face(at);
            let advice = format!(
                "Look for cracks, holes and bare brick at {face}, and set its workmanship in the scene to what you find."
            );
            ("work", format!("the work at {face}"), advice)
        }
        Cause::Leak(at) => {
            let face = face(at);
            let advice = format!(
                "Look at {face}: where a sheet of paper slides through, it leaks. Choose the seal in the scene that fits."
            );
            ("leak", format!("what {face} lets through"), advice)
        }
        Cause::Junction(_) => ("junction", "what corners and edges of walls and floors pass on".to_owned(), whole),
        Cause::InPlace => ("in_place", "how buildings differ from any prediction".to_owned(), whole),
        Cause::OpenAir => ("open_air", "the way through the open air".to_owned(), whole),
        Cause::OwnRoom => {
            let advice =
                "Measure how long the room rings, and write it into the scene as `reverberation_s`.".to_owned();
            ("own_room", "how much sound the room swallows".to_owned(), advice)
        }
        Cause::Residual => ("residual", "what every building has besides".to_owned(), whole),
        Cause::Modes => {
            let advice =
                "No one measurement settles it: low notes differ from place to place. Listen where the head will be.";
            ("modes", "single tones of small rooms".to_owned(), advice.to_owned())
        }
    }
}
