//! Scenes that measures make which change the plan or what is asked: each has sums of its own.

use std::sync::Arc;

use super::ask::Ask;
use super::branch::{Branch, effect_between};
use super::frontier::{self, Point};
use super::measure::{Does, Measure, built_in};
use super::model::{Counter, Done, Instead};
use super::places::{Choice, PlaceKind, loud_rooms};
use super::sums::{Sums, asked_of, solved_after};
use crate::building::{ElementShape, SpaceIndex, SpaceKind, marker_of};
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::project::Solved;
use crate::scene::{Edit, Item, Scene, Usage, Wall};
use crate::solve::cancelled::Cancelled;
use crate::solve::criteria::Asked;

/// So many other rooms are tried.
const MOST_ROOMS: usize = 2;
/// A room to play in is at least so large, m². Own choice.
const ROOM_M2: f64 = 4.0;

/// The scene as it is, and with each wall carried on through the loft that could be. Nothing where cancelled.
pub(super) fn building(
    base: &Arc<Solved>,
    ask: &Ask,
    cancelled: &Cancelled<'_>,
    count: &Counter<'_>,
) -> Option<Vec<Branch>> {
    let mut branches = vec![Branch { first: vec![], sums: Sums::of(base.clone(), ask, cancelled, count)? }];
    let walls = built_in().iter().filter(|measure| measure.removable || !ask.removable_only);
    for measure in walls {
        let Does::LoftWall(construction) = &measure.does else { continue };
        let Some((place, edits)) = loft_wall(base, &branches[0].sums, construction) else { continue };
        let Ok(after) = solved_after(&base.scene, &edits, cancelled) else { continue };
        let after = Arc::new(after?);
        let effect = effect_between(base, &after);
        let first = vec![Done { place, choice: Choice { measure, edits }, effect }];
        branches.push(Branch { first, sums: Sums::of(after, ask, cancelled, count)? });
    }
    Some(branches)
}

/// The wall of a loud room that stops at the ceiling, beyond which most listeners are: carried on through the loft, from end to end of its line. What
/// changes lies a storey above the loud room, so that its walls and their openings keep their positions in the building.
fn loft_wall(base: &Solved, sums: &Sums, construction: &str) -> Option<(PlaceKind, Vec<Edit>)> {
    let building = &base.building;
    let listeners_in =
        |space: SpaceIndex| sums.ears.iter().filter(|at| base.answer.listeners[**at].space == space).count();
    let mut best: Option<(usize, PlaceKind, Vec<Edit>)> = None;
    for (room, _) in loud_rooms(base) {
        for at in building.facing(room) {
            let element = &building.elements[at.0];
            let ElementShape::Wall { storey, walls, line, .. } = &element.shape else { continue };
            let beyond = if element.sides[0] == room { element.sides[1] } else { element.sides[0] };
            let stops = |wall: &&Wall| wall.stops_at_ceiling && walls.contains(&wall.id);
            if !base.scene.storeys[*storey].walls.iter().any(|wall| stops(&wall)) || listeners_in(beyond) == 0 {
                continue;
            }
            let Some(edits) = carried_on(&base.scene, *storey, *line, construction) else { continue };
            let count = listeners_in(beyond);
            if best.as_ref().is_none_or(|(known, ..)| count > *known) {
                best = Some((count, PlaceKind::Wall(room, vec![at]), edits));
            }
        }
    }
    best.map(|(_, place, edits)| (place, edits))
}

/// All walls on a line that stop at the ceiling, carried on through the loft above.
fn carried_on(scene: &Scene, storey: usize, line: [[f64; 2]; 2], construction: &str) -> Option<Vec<Edit>> {
    let here = &scene.storeys[storey];
    let above =
        scene.storeys.get(storey + 1).filter(|above| above.rooms.iter().any(|room| room.usage == Usage::Loft))?;
    let node = |id: &crate::scene::NodeId| here.nodes.iter().find(|node| node.id == *id).map(|node| node.at);
    let [from, to] = line;
    let length_m = (to[0] - from[0]).hypot(to[1] - from[1]);
    let along = [(to[0] - from[0]) / length_m, (to[1] - from[1]) / length_m];
    let place = |at: [f64; 2]| {
        let [x, y] = [at[0] - from[0], at[1] - from[1]];
        (x * along[0] + y * along[1], (x * along[1] - y * along[0]).abs())
    };
    let mut ends: Vec<(f64, [f64; 2])> = vec![];
    let mut edits = vec![];
    for wall in here.walls.iter().filter(|wall| wall.stops_at_ceiling) {
        let (Some(first), Some(second)) = (node(&wall.from), node(&wall.to)) else { continue };
        if [first, second].iter().any(|at| place(*at).1 > 0.05) {
            continue;
        }
        ends.extend([(place(first).0, first), (place(second).0, second)]);
        let whole = Wall { stops_at_ceiling: false, ..wall.clone() };
        edits.push(Edit::Put(Item::Wall(here.id.clone(), whole)));
    }
    let least = ends.iter().min_by(|one, other| one.0.total_cmp(&other.0))?.1;
    let most = ends.iter().max_by(|one, other| one.0.total_cmp(&other.0))?.1;
    let points = vec![least, most];
    edits.push(Edit::Draw { storey: above.id.clone(), points, construction: construction.to_owned() });
    Some(edits)
}

/// What asks something else than building, each with what is then to be built. Nothing where cancelled.
pub(super) fn instead(
    base: &Arc<Solved>,
    ask: &Ask,
    branches: &[Branch],
    known: &[Point],
    cancelled: &Cancelled<'_>,
    count: &Counter<'_>,
    stop: &dyn Fn(u64) -> bool,
) -> Option<Vec<Instead>> {
    let mut found = vec![];
    for measure in built_in() {
        match &measure.does {
            Does::Hours { from, to, hours } => {
                let edits = agreed_hours(base, &branches[0].sums, (*from, *to), *hours);
                let Ok(after) = solved_after(&base.scene, &edits, cancelled) else { continue };
                let after = after?;
                let asked = |branch: &Branch| -> Option<Vec<Asked>> {
                    branch.sums.ears.iter().map(|at| asked_of(&after, after.answer.listeners.get(*at)?)).collect()
                };
                let Some(asked) = branches.iter().map(asked).collect::<Option<Vec<_>>>() else { continue };
                let (plan, complete) =
                    frontier::best(branches, ask, &|branch| (asked[branch].clone(), 0.0), known, stop);
                found.push(Instead { measure, room: String::new(), edits, plan, complete });
            }
            Does::Softer(db) => {
                let edits = loud_sources(base).map(|id| Edit::Softer(id, *db)).collect();
                let asked = |branch: &Branch| -> Option<Vec<Asked>> {
                    let sums = &branch.sums;
                    sums.ears.iter().map(|at| asked_of(&sums.base, &sums.base.answer.listeners[*at])).collect()
                };
                let Some(asked) = branches.iter().map(asked).collect::<Option<Vec<_>>>() else { continue };
                let (plan, complete) =
                    frontier::best(branches, ask, &|branch| (asked[branch].clone(), *db), known, stop);
                found.push(Instead { measure, room: String::new(), edits, plan, complete });
            }
            Does::Elsewhere => found.extend(elsewhere(base, ask, measure, cancelled, count, stop)?),
            _ => {}
        }
    }
    Some(found)
}

fn loud_sources(base: &Solved) -> impl Iterator<Item = crate::scene::SourceId> + '_ {
    base.scene.sources.iter().filter(|source| source.playing).map(|source| source.id.clone())
}

/// The hours, and the limits that hold then in the place of those that hold at night.
fn agreed_hours(base: &Solved, sums: &Sums, hours: (f64, f64), a_day: f64) -> Vec<Edit> {
    let targets = &Catalogue::built_in_ref().targets;
    let by_day = |at: &usize| {
        let heard = &base.answer.listeners[*at];
        let record = &heard.target.as_ref()?.record;
        if record.holds_through(hours) {
            return None;
        }
        let other = record.by_day.as_ref().filter(|id| targets.get(*id).is_some_and(|it| it.holds_through(hours)))?;
        Some(Edit::Limit(heard.listener.clone(), other.clone()))
    };
    std::iter::once(Edit::Hours(hours, a_day)).chain(sums.ears.iter().filter_map(by_day)).collect()
}

/// Playing in rooms that a door leads to from the loud one, the best first.
fn elsewhere(
    base: &Arc<Solved>,
    ask: &Ask,
    measure: &'static Measure,
    cancelled: &Cancelled<'_>,
    count: &Counter<'_>,
    stop: &dyn Fn(u64) -> bool,
) -> Option<Vec<Instead>> {
    let mut found = vec![];
    for room in joined_rooms(base) {
        let SpaceKind::Room(space) = &base.building.spaces[room.0].kind else { continue };
        let Some(marker) = marker_of(&base.scene, &space.room) else { continue };
        let storey = &base.scene.storeys[space.storey].id;
        let edits: Vec<Edit> = loud_sources(base).map(|id| Edit::PlayAt(id, storey.clone(), marker.at)).collect();
        let Ok(after) = solved_after(&base.scene, &edits, cancelled) else { continue };
        let branch = Branch { first: vec![], sums: Sums::of(Arc::new(after?), ask, cancelled, count)? };
        if branch.sums.ears.is_empty() {
            continue;
        }
        let asked = |sums: &Sums| -> Option<Vec<Asked>> {
            sums.ears.iter().map(|at| asked_of(&sums.base, &sums.base.answer.listeners[*at])).collect()
        };
        let Some(asked) = asked(&branch.sums) else { continue };
        let (plan, complete) = frontier::best(std::slice::from_ref(&branch), ask, &|_| (asked.clone(), 0.0), &[], stop);
        found.push(Instead { measure, room: base.building.spaces[room.0].name.clone(), edits, plan, complete });
    }
    Some(found)
}

/// Rooms a door or an open hole leads to, without a listener who has a limit.
fn joined_rooms(base: &Solved) -> Vec<SpaceIndex> {
    let building = &base.building;
    let loud: Vec<SpaceIndex> = loud_rooms(base).into_iter().map(|(room, _)| room).collect();
    let catalogue = Catalogue::built_in_ref();
    let is_way = |construction: &str| {
        let own = base.scene.constructions.iter().find(|own| own.id == construction);
        let found = own.or_else(|| catalogue.construction(construction).ok());
        found.is_some_and(|it| matches!(it.kind, ConstructionKind::Door | ConstructionKind::Open))
    };
    let listened_in =
        |room: SpaceIndex| base.answer.listeners.iter().any(|heard| heard.space == room && heard.target.is_some());
    let mut reached = loud.clone();
    let mut at = 0;
    while let Some(room) = reached.get(at).copied() {
        at += 1;
        for element in building.facing(room).map(|element| &building.elements[element.0]) {
            let beyond = if element.sides[0] == room { element.sides[1] } else { element.sides[0] };
            let is_room = matches!(building.spaces[beyond.0].kind, SpaceKind::Room(_));
            if is_room && !reached.contains(&beyond) && element.openings.iter().any(|it| is_way(&it.construction)) {
                reached.push(beyond);
            }
        }
    }
    let usable = |room: &SpaceIndex| match &building.spaces[room.0].kind {
        SpaceKind::Room(space) => {
            !loud.contains(room) && space.area_m2 >= ROOM_M2 && !space.usage.is_void() && !listened_in(*room)
        }
        _ => false,
    };
    reached.into_iter().filter(usable).take(MOST_ROOMS).collect()
}
