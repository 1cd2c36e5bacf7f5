//! What a scene leaves open, and what is taken instead: said in the notes.

use crate::building::Building;
use crate::catalogue::Catalogue;
use crate::scene::{Background, Scene};

/// A sentence for each.
pub(super) fn notes(scene: &Scene, catalogue: &Catalogue, building: &Building) -> Vec<String> {
    silence(scene, building).into_iter().chain(no_feet(scene, catalogue)).collect()
}

/// The background of those outdoors for whom none is given.
fn silence(scene: &Scene, building: &Building) -> Option<String> {
    let outdoors = building.listeners.iter().filter(|placed| placed.space == building.outdoors());
    let heard = outdoors.filter_map(|placed| scene.listeners.iter().find(|known| known.id == placed.listener));
    let unstated = heard.filter(|listener| listener.background == Background::Unstated);
    let names: Vec<&str> = unstated.map(|listener| listener.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "No background noise outdoors is given for: {}. Complete silence is assumed there; what a street or the wind would drown counts as heard.",
            names.join("; ")
        )
    })
}

/// Feet and pedals of what plays that are nowhere drawn, unless they were taken away on purpose.
fn no_feet(scene: &Scene, catalogue: &Catalogue) -> Option<String> {
    let playing = scene.sources.iter().filter(|source| source.playing && source.touching && source.contacts.is_empty());
    let usual = |sound: &String| catalogue.sources.get(sound).is_some_and(|sound| !sound.contacts.is_empty());
    let names: Vec<&str> = playing.filter(|source| usual(&source.sound)).map(|source| source.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "No feet or pedals are placed for: {}. What they shake is left out, the sound in the air alone counts.",
            names.join("; ")
        )
    })
}
