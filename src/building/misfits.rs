//! Limits that do not fit where, when or for what they are used.

use super::model::{Building, SpaceKind};
use crate::catalogue::Catalogue;
use crate::catalogue::limits::short;
use crate::catalogue::target::{Place, Target};
use crate::scene::{Listener, Played, Problem, Scene, Thing};

/// What is said of the limit of each listener that does not fit its place, or the hours, the country or the purpose of playing.
#[must_use]
pub fn misfits(scene: &Scene, catalogue: &Catalogue, building: &Building) -> Vec<Problem> {
    let mut problems = vec![];
    for placed in &building.listeners {
        let Some(listener) = scene.listeners.iter().find(|listener| listener.id == placed.listener) else { continue };
        let Some(target) = listener.target.as_ref().and_then(|id| catalogue.targets.get(id)) else { continue };
        let outdoors = !matches!(building.spaces[placed.space.0].kind, SpaceKind::Room(_));
        for (what, to_do) in of(target, outdoors, &scene.played) {
            problems.push(problem(listener, target, &what, to_do));
        }
    }
    problems
}

fn problem(listener: &Listener, target: &Target, what: &str, to_do: &str) -> Problem {
    let (thing, what) = (Thing::Listener(listener.id.0.clone()), format!("its limit \"{}\" {what}", target.name));
    Problem::warning(Some(&listener.storey), thing, what, to_do)
}

fn of(target: &Target, outdoors: bool, played: &Played) -> Vec<(String, &'static str)> {
    let mut found = vec![];
    let indoors = matches!(target.place, Place::Room | Place::Bedroom | Place::Classroom);
    if outdoors && indoors {
        found.push(("holds in rooms, and this is outdoors".to_owned(), "choose a limit for outdoors"));
    } else if !outdoors && !indoors {
        found.push(("holds outdoors, and this is a room".to_owned(), "choose a limit for rooms"));
    }
    if let Some((from, to)) = played.hours.filter(|hours| !target.holds_through(*hours)) {
        let hours = |from: f64, to: f64| format!("from {} to {} h", short(from), short(to));
        let (holds, plays) = (hours(target.hours.0, target.hours.1), hours(from, to));
        let what = format!("holds {holds}, and it is played {plays}");
        found.push((what, "choose one for the hours of playing, or correct those"));
    }
    if !played.country.is_empty() && !target.holds_in(&played.country) {
        let what = format!("is one of {}, and it is played in {}", target.countries.join(", "), played.country);
        found.push((what, "choose one that holds there"));
    }
    if target.business && !played.business {
        let what = "is a rule for businesses, and this is music at home".to_owned();
        found.push((what, "choose one for homes, or say that it is a business"));
    }
    found
}
