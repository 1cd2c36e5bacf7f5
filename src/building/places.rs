//! Where sources, listeners and the mouths of ducts are.

use crate::scene::{Problem, Scene, Thing, Usage};

use super::geometry::{Point, distance};
use super::model::{PlacedDuct, PlacedListener, PlacedMouth, PlacedSource, SpaceIndex};
use super::plan::{Plan, readable};

/// How far into a room the point of a duct's end may lie before its mouth, m. Own choice: a point stands for the mouth, it is no survey.
const INTO_ROOM_M: f64 = 1.0;

/// Finds spaces of points.
struct Finder<'a> {
    scene: &'a Scene,
    plans: &'a [Plan],
    spaces: &'a [Vec<SpaceIndex>],
    outdoors: SpaceIndex,
}

impl Finder<'_> {
    /// Storey and space of a point. Points in no room are outdoors; in a wall there is no space. `what` begins the sentence.
    fn find(
        &self,
        thing: &Thing,
        what: &str,
        storey: &str,
        at: Point,
        problems: &mut Vec<Problem>,
    ) -> Option<(usize, SpaceIndex)> {
        let Some(storey) = self.scene.storeys.iter().position(|known| known.id.0 == storey) else {
            problems.push(Problem::error(
                None,
                thing.clone(),
                format!("there is no storey \"{storey}\""),
                "name one of the scene's",
            ));
            return None;
        };
        if let Some(room) = self.plans[storey].room_at(at) {
            return Some((storey, self.spaces[storey][room]));
        }
        if self.plans[storey].is_in_wall(at) || !at.iter().all(|value| value.is_finite()) {
            let what = format!("{what} inside a wall, at {}", readable(at));
            problems.push(Problem::error(
                Some(&self.scene.storeys[storey].id),
                thing.clone(),
                what,
                "move it into a room",
            ));
            return None;
        }
        Some((storey, self.outdoors))
    }

    /// Whether no one can be in it.
    fn is_closed_void(&self, storey: usize, space: SpaceIndex) -> bool {
        let room = self.spaces[storey].iter().position(|known| *known == space);
        room.is_some_and(|room| self.plans[storey].rooms[room].marker.usage == Usage::Void)
    }
}

/// Finds the space of every source and listener. Points in no room are outdoors, where a listener may be but no source:
/// what leaves a building is what is asked for. No one listens in a void.
pub(super) fn places(
    scene: &Scene,
    plans: &[Plan],
    spaces: &[Vec<SpaceIndex>],
    outdoors: SpaceIndex,
    problems: &mut Vec<Problem>,
) -> (Vec<PlacedSource>, Vec<PlacedListener>) {
    let finder = Finder { scene, plans, spaces, outdoors };
    let mut sources = vec![];
    let mut strays = vec![];
    for source in &scene.sources {
        let thing = Thing::Source(source.id.0.clone());
        match finder.find(&thing, "it stands", &source.storey.0, source.at, problems) {
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
        let thing = Thing::Listener(listener.id.0.clone());
        let Some((storey, space)) = finder.find(&thing, "it stands", &listener.storey.0, listener.at, problems) else {
            continue;
        };
        if finder.is_closed_void(storey, space) {
            strays.push(Problem::error(
                Some(&listener.storey),
                thing,
                "it lies in a void, where no one stays",
                "move the listener into a room, or change the void's `usage`",
            ));
            continue;
        }
        listeners.push(PlacedListener {
            listener: listener.id.clone(),
            space,
            storey,
            at: listener.at,
            height_m: scene.storeys[storey].level_m + listener.height_m,
        });
    }
    problems.extend(strays);
    (sources, listeners)
}

/// Finds the spaces at the ends of every duct. The ends must lie in two spaces, and one of them in a room.
pub(super) fn ducts(
    scene: &Scene,
    plans: &[Plan],
    spaces: &[Vec<SpaceIndex>],
    outdoors: SpaceIndex,
    problems: &mut Vec<Problem>,
) -> Vec<PlacedDuct> {
    let finder = Finder { scene, plans, spaces, outdoors };
    let mut ducts = vec![];
    for duct in &scene.ducts {
        let thing = Thing::Duct(duct.id.0.clone());
        let mut mouth = |end: usize| {
            let (end, what) = (&duct.ends[end], ["its first end lies", "its second end lies"][end]);
            let (storey, space) = finder.find(&thing, what, &end.storey.0, end.at, problems)?;
            let height_m = scene.storeys[storey].level_m + end.height_m;
            Some(PlacedMouth { space, storey, at: end.at, height_m })
        };
        let (Some(first), Some(second)) = (mouth(0), mouth(1)) else { continue };
        if first.space == second.space {
            let what =
                if first.space == outdoors { "both its ends lie outdoors" } else { "both its ends lie in one room" };
            problems.push(Problem::error(
                Some(&duct.ends[0].storey),
                thing,
                what,
                "lead it from a room to another, or to the open air",
            ));
            continue;
        }
        let straight_m = distance(first.at, second.at).hypot(first.height_m - second.height_m);
        if duct.length_m + 2.0 * INTO_ROOM_M < straight_m {
            problems.push(Problem::error(
                Some(&duct.ends[0].storey),
                thing,
                format!("it is {:.1} m long, and its ends lie {straight_m:.1} m apart", duct.length_m),
                "make it longer, or move an end",
            ));
            continue;
        }
        ducts.push(PlacedDuct { duct: duct.id.clone(), name: duct.name.clone(), ends: [first, second] });
    }
    ducts
}
