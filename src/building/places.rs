//! Where sources and listeners are.

use crate::scene::{Problem, Scene, Thing};

use super::geometry::Point;
use super::model::{PlacedListener, PlacedSource, SpaceIndex};
use super::plan::{Plan, readable};

/// Finds the space of every source and listener. Points in no room are outdoors, where a listener may be but no source:
/// what leaves a building is what is asked for.
pub(super) fn places(
    scene: &Scene,
    plans: &[Plan],
    spaces: &[Vec<SpaceIndex>],
    outdoors: SpaceIndex,
    problems: &mut Vec<Problem>,
) -> (Vec<PlacedSource>, Vec<PlacedListener>) {
    let mut find = |thing: Thing, storey: &str, at: Point| -> Option<(usize, SpaceIndex)> {
        let Some(storey) = scene.storeys.iter().position(|known| known.id.0 == storey) else {
            problems.push(Problem::error(
                None,
                thing,
                format!("there is no storey \"{storey}\""),
                "name one of the scene's",
            ));
            return None;
        };
        if let Some(room) = plans[storey].room_at(at) {
            return Some((storey, spaces[storey][room]));
        }
        if plans[storey].is_in_wall(at) || !at.iter().all(|value| value.is_finite()) {
            let what = format!("it stands inside a wall, at {}", readable(at));
            problems.push(Problem::error(Some(&scene.storeys[storey].id), thing, what, "move it into a room"));
            return None;
        }
        Some((storey, outdoors))
    };
    let mut sources = vec![];
    let mut strays = vec![];
    for source in &scene.sources {
        let thing = Thing::Source(source.id.0.clone());
        match find(thing.clone(), &source.storey.0, source.at) {
            Some((_, space)) if space == outdoors => strays.push(Problem::error(
                Some(&source.storey),
                thing,
                format!("it stands outdoors, at {}", readable(source.at)),
                "move it into a room, since only what is loud indoors is computed",
            )),
            Some((storey, space)) => {
                sources.push(PlacedSource { source: source.id.clone(), space, storey, at: source.at });
            }
            None => {}
        }
    }
    let mut listeners = vec![];
    for listener in &scene.listeners {
        if let Some((storey, space)) = find(Thing::Listener(listener.id.0.clone()), &listener.storey.0, listener.at) {
            listeners.push(PlacedListener {
                listener: listener.id.clone(),
                space,
                storey,
                at: listener.at,
                height_m: scene.storeys[storey].level_m + listener.height_m,
            });
        }
    }
    problems.extend(strays);
    (sources, listeners)
}
