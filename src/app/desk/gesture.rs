//! What the pointer does with each tool: a function of where it is and what was begun. Nothing of windows here.

use super::hit::{beside, loose_contacts, opening_ends, under, within};
use super::{Deed, Desk, Gesture, Tool, usual_size_m};
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::edit::ducts::new_duct;
use crate::edit::snap::{Rules, Snapped, snap};
use crate::edit::{Edit, Item, Pick, Point, StoreyHead, ends, fresh_id};
use crate::output::length;
use crate::scene::{
    Background, Listener, ListenerId, NodeId, Opening, OpeningId, Room, Scene, Source, SourceId, Storey, Workmanship,
};

/// The pointer in one frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pointer {
    /// Where, m.
    pub at: Point,
    /// The main button went down in this frame.
    pub pressed: bool,
    /// The main button is down.
    pub down: bool,
    /// The main button went up in this frame.
    pub released: bool,
    /// Twice in short time.
    pub double: bool,
    /// Adds to what is picked.
    pub shift: bool,
    /// Holds snapping off.
    pub free: bool,
    /// A few pixels, m.
    pub reach_m: f64,
}

/// Does what the pointer does with the tool in hand on one storey.
pub fn handle(desk: &mut Desk, scene: &Scene, storey: usize, pointer: &Pointer) -> Vec<Deed> {
    let Some(drawn) = scene.storeys.get(storey) else { return vec![] };
    desk.at = Some(caught(desk, drawn, pointer));
    match desk.tool {
        Tool::Hand => hand(desk, scene, storey, pointer),
        Tool::Walls => walls(desk, drawn, pointer),
        Tool::Room => room(desk, scene, drawn, pointer),
        Tool::Window | Tool::Door => set_into(desk, drawn, pointer),
        Tool::Name => name(desk, scene, storey, pointer),
        Tool::Loud | Tool::Ears => mark(desk, scene, drawn, pointer),
        Tool::Duct => duct(desk, scene, drawn, pointer),
        Tool::Scale => scale(desk, drawn, pointer),
    }
}

/// Where the pointer lands with the tool in hand.
fn caught(desk: &Desk, drawn: &Storey, pointer: &Pointer) -> Snapped {
    let rules = Rules { reach_m: pointer.reach_m, grid_m: desk.choices.grid_m, on: !pointer.free };
    let free = Snapped { at: pointer.at, by: crate::edit::snap::Caught::Free, guides: vec![] };
    match (&desk.tool, &desk.gesture) {
        (Tool::Walls, Gesture::Walls { points }) => {
            let begin = points.first().filter(|first| {
                points.len() > 2 && (first[0] - pointer.at[0]).hypot(first[1] - pointer.at[1]) < 1.5 * rules.reach_m
            });
            match begin {
                Some(first) => Snapped { at: *first, ..free },
                None => snap(drawn, pointer.at, points.last().copied(), &rules, &[]),
            }
        }
        (Tool::Walls | Tool::Room, _) => snap(drawn, pointer.at, None, &rules, &[]),
        (Tool::Hand, Gesture::Drag { from, corner: Some(corner), .. }) => {
            let to = [corner[0] + pointer.at[0] - from[0], corner[1] + pointer.at[1] - from[1]];
            snap(drawn, to, None, &rules, &moving(desk))
        }
        (Tool::Loud | Tool::Ears | Tool::Duct | Tool::Hand, _) => match rules.grid_m.filter(|_| rules.on) {
            Some(grid_m) => Snapped { at: pointer.at.map(|value| (value / grid_m).round() * grid_m), ..free },
            None => free,
        },
        _ => free,
    }
}

/// Corners that are being dragged catch nothing.
fn moving(desk: &Desk) -> Vec<NodeId> {
    let node = |pick: &Pick| if let Pick::Node(_, id) = pick { Some(id.clone()) } else { None };
    desk.picks.iter().filter_map(node).collect()
}

fn hand(desk: &mut Desk, scene: &Scene, storey: usize, pointer: &Pointer) -> Vec<Deed> {
    let drawn = &scene.storeys[storey];
    // A quick click goes down and up within one frame: what is no longer held was let go.
    let let_go = pointer.released || !pointer.down;
    let landed = desk.at.as_ref().map_or(pointer.at, |caught| caught.at);
    match desk.gesture.clone() {
        Gesture::None if pointer.pressed => {
            if let Some((opening, far)) = side_under(desk, drawn, pointer) {
                desk.gesture = Gesture::Stretch { opening, far };
                return vec![];
            }
            if let Some((pick, from)) = loose_contact_under(desk, scene, drawn, pointer) {
                desk.picks = vec![pick];
                desk.gesture = Gesture::Drag { pressed: pointer.at, from, corner: None };
                return vec![];
            }
            match under(scene, storey, pointer.at, pointer.reach_m) {
                // A room is dragged by its marker alone: elsewhere in it a box begins.
                Some(Pick::Room(on, id)) if !on_marker(drawn, &id, pointer) => {
                    if !pointer.shift {
                        desk.picks.clear();
                    }
                    desk.picks.push(Pick::Room(on, id));
                    desk.gesture = Gesture::Box { from: pointer.at };
                }
                Some(pick) => {
                    if pointer.shift {
                        match desk.picks.iter().position(|known| *known == pick) {
                            Some(at) => drop(desk.picks.remove(at)),
                            None => desk.picks.push(pick.clone()),
                        }
                    } else if !desk.picks.contains(&pick) {
                        desk.picks = vec![pick.clone()];
                    }
                    let corner = match &pick {
                        Pick::Node(_, id) => drawn.nodes.iter().find(|node| node.id == *id).map(|node| node.at),
                        _ => None,
                    };
                    let corner = corner.filter(|_| desk.picks.len() == 1);
                    desk.gesture = Gesture::Drag { pressed: pointer.at, from: pointer.at, corner };
                }
                None => {
                    if !pointer.shift {
                        desk.picks.clear();
                    }
                    desk.gesture = Gesture::Box { from: pointer.at };
                }
            }
            vec![]
        }
        Gesture::Drag { pressed, from, corner } => {
            let by = drag_by(desk, drawn, from, corner, landed, pointer);
            let moved = [pointer.at[0] - pressed[0], pointer.at[1] - pressed[1]];
            let far = moved[0].hypot(moved[1]).min(by[0].hypot(by[1])) > 0.4 * pointer.reach_m;
            let edit = Edit::Move { picks: desk.picks.clone(), by };
            if let_go {
                desk.gesture = Gesture::None;
                if far { vec![Deed::Do(vec![edit])] } else { vec![Deed::LetGo] }
            } else if far {
                vec![Deed::Try(vec![edit])]
            } else {
                vec![]
            }
        }
        Gesture::Stretch { opening, far } => {
            let Some(edit) = stretched(drawn, &opening, far, pointer, desk.choices.grid_m) else { return vec![] };
            if let_go {
                desk.gesture = Gesture::None;
                vec![Deed::Do(vec![edit])]
            } else {
                vec![Deed::Try(vec![edit])]
            }
        }
        Gesture::Box { from } if let_go => {
            desk.gesture = Gesture::None;
            let wide = (from[0] - pointer.at[0]).hypot(from[1] - pointer.at[1]) > pointer.reach_m;
            if wide {
                if !pointer.shift {
                    desk.picks.clear();
                }
                for pick in within(scene, storey, [from, pointer.at]) {
                    if !desk.picks.contains(&pick) {
                        desk.picks.push(pick);
                    }
                }
            }
            vec![]
        }
        _ => vec![],
    }
}

/// A contact without a place of its own, where it is drawn beside its source, and where the source stands.
fn loose_contact_under(desk: &Desk, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Option<(Pick, Point)> {
    let (source, marks) = loose_contacts(scene, &drawn.id, &desk.picks, pointer.reach_m)?;
    let near = |mark: &&(usize, Point)| (mark.1[0] - pointer.at[0]).hypot(mark.1[1] - pointer.at[1]) < pointer.reach_m;
    let (at, _) = marks.iter().find(near)?;
    Some((Pick::Contact(source.id.clone(), *at), source.at))
}

fn on_marker(drawn: &Storey, id: &crate::scene::RoomId, pointer: &Pointer) -> bool {
    let room = drawn.rooms.iter().find(|room| room.id == *id);
    room.is_some_and(|room| (room.at[0] - pointer.at[0]).hypot(room.at[1] - pointer.at[1]) < 2.0 * pointer.reach_m)
}

/// How far a drag goes: a corner to where it is caught, a single wall square to itself, all else by the grid.
fn drag_by(desk: &Desk, drawn: &Storey, from: Point, corner: Option<Point>, landed: Point, pointer: &Pointer) -> Point {
    if let Some(corner) = corner {
        return [landed[0] - corner[0], landed[1] - corner[1]];
    }
    let mut by = [pointer.at[0] - from[0], pointer.at[1] - from[1]];
    if let Some(grid_m) = desk.choices.grid_m.filter(|_| !pointer.free) {
        by = by.map(|value| (value / grid_m).round() * grid_m);
    }
    if let [Pick::Wall(_, id)] = &desk.picks[..]
        && !pointer.free
        && let Some([a, b]) = drawn.walls.iter().find(|wall| wall.id == *id).and_then(|wall| ends(drawn, wall))
    {
        let length_m = (b[0] - a[0]).hypot(b[1] - a[1]).max(1e-9);
        let across = [-(b[1] - a[1]) / length_m, (b[0] - a[0]) / length_m];
        let far = by[0] * across[0] + by[1] * across[1];
        by = [across[0] * far, across[1] * far];
    }
    by
}

/// The side of the one opening picked that the pointer is on.
fn side_under(desk: &Desk, drawn: &Storey, pointer: &Pointer) -> Option<(Opening, bool)> {
    let [Pick::Opening(_, id)] = &desk.picks[..] else { return None };
    let opening = drawn.openings.iter().find(|opening| opening.id == *id)?;
    let [near, far] = opening_ends(drawn, opening)?;
    let on = |end: Point| (end[0] - pointer.at[0]).hypot(end[1] - pointer.at[1]) < pointer.reach_m;
    if on(far) {
        Some((opening.clone(), true))
    } else if on(near) {
        Some((opening.clone(), false))
    } else {
        None
    }
}

fn stretched(drawn: &Storey, opening: &Opening, far: bool, pointer: &Pointer, grid_m: Option<f64>) -> Option<Edit> {
    const NARROWEST_M: f64 = 0.05;
    let wall = drawn.walls.iter().find(|wall| wall.id == opening.wall)?;
    let (_, mut along_m) = beside(pointer.at, ends(drawn, wall)?);
    if let Some(grid_m) = grid_m.filter(|_| !pointer.free) {
        along_m = (along_m / grid_m).round() * grid_m;
    }
    let mut wider = opening.clone();
    if far {
        wider.width_m = (along_m - opening.offset_m).max(NARROWEST_M);
    } else {
        let end_m = opening.offset_m + opening.width_m;
        wider.offset_m = along_m.min(end_m - NARROWEST_M);
        wider.width_m = end_m - wider.offset_m;
    }
    Some(Edit::Put(Item::Opening(drawn.id.clone(), wider)))
}

fn walls(desk: &mut Desk, drawn: &Storey, pointer: &Pointer) -> Vec<Deed> {
    let landed = desk.at.as_ref().map_or(pointer.at, |caught| caught.at);
    match desk.gesture.clone() {
        Gesture::Walls { .. } if pointer.double => {
            desk.stop();
            vec![Deed::LetGo]
        }
        Gesture::Walls { points } => {
            let Some(&from) = points.last() else { return vec![] };
            let to = typed_end(desk, from, landed).unwrap_or(landed);
            if (to[0] - from[0]).hypot(to[1] - from[1]) < 0.011 {
                return vec![];
            }
            if pointer.pressed { wall_to(desk, drawn, points, to) } else { vec![] }
        }
        _ if pointer.pressed => {
            desk.gesture = Gesture::Walls { points: vec![landed] };
            vec![]
        }
        _ => vec![],
    }
}

/// Two clicks on the traced picture; a typed length and Enter scale it.
fn scale(desk: &mut Desk, drawn: &Storey, pointer: &Pointer) -> Vec<Deed> {
    if drawn.underlay.is_none() {
        desk.said = Some("This storey has no picture to trace yet.".to_owned());
        desk.take(Tool::Hand);
    } else if pointer.pressed {
        let mut points = match &desk.gesture {
            Gesture::Scale { points } if points.len() < 2 => points.clone(),
            _ => vec![],
        };
        points.push(pointer.at);
        desk.gesture = Gesture::Scale { points };
    }
    vec![]
}

/// One wall is done; the next begins at its end, unless it closed the ring or met a wall.
fn wall_to(desk: &mut Desk, drawn: &Storey, mut points: Vec<Point>, to: Point) -> Vec<Deed> {
    let Some(&from) = points.last() else { return vec![] };
    let same = |a: Point, b: Point| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-3;
    let closed = points.first().is_some_and(|first| same(*first, to));
    let met = drawn.nodes.iter().any(|node| same(node.at, to))
        || drawn.walls.iter().filter_map(|wall| ends(drawn, wall)).any(|ends| beside(to, ends).0 < 1e-3);
    points.push(to);
    desk.typed.clear();
    desk.gesture = if closed || met { Gesture::None } else { Gesture::Walls { points } };
    let construction = desk.choices.wall.clone();
    vec![Deed::Do(vec![Edit::Draw { storey: drawn.id.clone(), points: vec![from, to], construction }])]
}

/// Where a wall of the typed length ends, in the direction of the pointer.
fn typed_end(desk: &Desk, from: Point, towards: Point) -> Option<Point> {
    let length_m = length::read_in(&desk.typed, desk.units)?;
    let away_m = (towards[0] - from[0]).hypot(towards[1] - from[1]);
    (away_m > 1e-6 && length_m > 0.0).then(|| {
        let part = length_m / away_m;
        [from[0] + (towards[0] - from[0]) * part, from[1] + (towards[1] - from[1]) * part]
    })
}

/// Enter while drawing: the typed length, or the two sides of a room as it is inside ("4.2 x 3.1"), ends the wall or room.
pub fn enter(desk: &mut Desk, scene: &Scene, storey: usize) -> Vec<Deed> {
    let Some(drawn) = scene.storeys.get(storey) else { return vec![] };
    let landed = desk.at.as_ref().map(|caught| caught.at);
    match (desk.gesture.clone(), landed) {
        (Gesture::Walls { points }, Some(landed)) => {
            let Some(&from) = points.last() else { return vec![] };
            match typed_end(desk, from, landed) {
                Some(to) => wall_to(desk, drawn, points, to),
                None => {
                    desk.stop();
                    vec![Deed::LetGo]
                }
            }
        }
        (Gesture::Room { from }, Some(landed)) => {
            // A blank parts the sides only where nothing else does: it may stand between feet and inches.
            const BETWEEN: [char; 3] = ['x', '×', '*'];
            let parts =
                |letter: char| if desk.typed.contains(BETWEEN) { BETWEEN.contains(&letter) } else { letter == ' ' };
            let sides = desk.typed.split(parts).filter(|part| !part.trim().is_empty());
            let sides: Vec<f64> = sides.filter_map(|part| length::read_in(part, desk.units)).collect();
            let [wide, deep] = sides[..] else {
                desk.said = Some("Type both sides, inside the room, as 4.2 x 3.1, then Enter.".to_owned());
                return vec![];
            };
            // Half a wall on each side.
            let walls_m = super::thickness_m(scene, &desk.choices.wall);
            let [wide, deep] = [wide + walls_m, deep + walls_m];
            let way = [landed[0] - from[0], landed[1] - from[1]].map(|value| if value < 0.0 { -1.0 } else { 1.0 });
            let to = [from[0] + way[0] * wide, from[1] + way[1] * deep];
            desk.stop();
            vec![rectangle(desk, scene, drawn, from, to)]
        }
        (Gesture::Scale { points }, _) => {
            let length_m = length::read_in(&desk.typed, desk.units);
            let (Some(underlay), &[a, b], Some(length_m)) = (&drawn.underlay, &points[..], length_m) else {
                desk.said =
                    Some("Click two points of the picture, type how far apart they are, then Enter.".to_owned());
                return vec![];
            };
            let Some(scaled) = super::underlay::scaled(underlay, [a, b], length_m) else { return vec![] };
            desk.take(Tool::Hand);
            let head = StoreyHead { underlay: Some(scaled), ..StoreyHead::of(drawn) };
            vec![Deed::Do(vec![Edit::Put(Item::Storey(head))])]
        }
        _ => vec![],
    }
}

fn rectangle(desk: &Desk, scene: &Scene, drawn: &Storey, from: Point, to: Point) -> Deed {
    let rooms: usize = scene.storeys.iter().map(|storey| storey.rooms.len()).sum();
    let edit = Edit::Rectangle {
        storey: drawn.id.clone(),
        corners: [from, to],
        construction: desk.choices.wall.clone(),
        name: format!("Room {}", rooms + 1),
    };
    Deed::Do(vec![edit])
}

fn room(desk: &mut Desk, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Vec<Deed> {
    let landed = desk.at.as_ref().map_or(pointer.at, |caught| caught.at);
    match desk.gesture {
        Gesture::Room { from } => {
            let wide = (landed[0] - from[0]).abs().min((landed[1] - from[1]).abs()) > 2.0 * pointer.reach_m;
            // Dragged from corner to corner, or clicked twice.
            if wide && (pointer.released || pointer.pressed) {
                desk.stop();
                return vec![rectangle(desk, scene, drawn, from, landed)];
            }
            vec![]
        }
        _ if pointer.pressed => {
            desk.gesture = Gesture::Room { from: landed };
            vec![]
        }
        _ => vec![],
    }
}

/// A window or door at the pointer's place on the nearest wall, as it would be set.
#[must_use]
pub fn ghost(desk: &Desk, drawn: &Storey, pointer: Point, reach_m: f64) -> Option<Opening> {
    let door = desk.tool == Tool::Door;
    let id = if door { &desk.choices.door } else { &desk.choices.window };
    let kind = Catalogue::built_in_ref()
        .constructions
        .get(id)
        .map_or(if door { ConstructionKind::Door } else { ConstructionKind::Window }, |found| found.kind);
    let [width_m, height_m, sill_m] = usual_size_m(kind);
    let near = drawn.walls.iter().filter_map(|wall| {
        let line = ends(drawn, wall)?;
        let (away_m, along_m) = beside(pointer, line);
        let length_m = (line[1][0] - line[0][0]).hypot(line[1][1] - line[0][1]);
        (away_m < 2.5 * reach_m).then_some((away_m, along_m, length_m, wall))
    });
    let (_, along_m, length_m, wall) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let width_m = width_m.min(length_m);
    let step_m = desk.choices.grid_m.unwrap_or(0.01);
    let offset_m = ((along_m - 0.5 * width_m) / step_m).round() * step_m;
    let word = if door { "door" } else { "window" };
    Some(Opening {
        id: OpeningId(fresh_id(word, |id| drawn.openings.iter().any(|opening| opening.id.0 == id))),
        name: String::new(),
        wall: wall.id.clone(),
        construction: id.clone(),
        offset_m: offset_m.clamp(0.0, length_m - width_m),
        width_m,
        height_m: height_m.min(drawn.height_m - sill_m).max(0.1),
        sill_m,
        seal: Some(if door { "worn" } else { "compression-single" }.to_owned()),
        undercut_mm: 0.0,
        cover: None,
        workmanship: Workmanship::Usual,
    })
}

fn set_into(desk: &mut Desk, drawn: &Storey, pointer: &Pointer) -> Vec<Deed> {
    let Some(opening) = ghost(desk, drawn, pointer.at, pointer.reach_m) else {
        if pointer.pressed {
            desk.said = Some("Click on a wall: windows and doors are set into walls.".to_owned());
        }
        return vec![];
    };
    if !pointer.pressed {
        return vec![];
    }
    desk.picks = vec![Pick::Opening(drawn.id.clone(), opening.id.clone())];
    vec![Deed::Do(vec![Edit::Put(Item::Opening(drawn.id.clone(), opening))])]
}

fn name(desk: &mut Desk, scene: &Scene, storey: usize, pointer: &Pointer) -> Vec<Deed> {
    if !pointer.pressed {
        return vec![];
    }
    let drawn = &scene.storeys[storey];
    let spaces = crate::building::enclosed(scene, Catalogue::built_in_ref(), storey);
    let Some(space) = spaces.into_iter().find(|space| space.holds(pointer.at)) else {
        desk.said = Some("Click into a space that walls enclose all round.".to_owned());
        return vec![];
    };
    if let Some(room) = space.room {
        desk.picks = vec![Pick::Room(drawn.id.clone(), room)];
        desk.naming = true;
        return vec![];
    }
    let number: usize = 1 + scene.storeys.iter().map(|storey| storey.rooms.len()).sum::<usize>();
    let taken = |id: &str| scene.storeys.iter().any(|storey| storey.rooms.iter().any(|room| room.id.0 == id));
    let text = format!("(id: \"{}\", name: \"Room {number}\", at: (0.0, 0.0))", fresh_id("room", taken));
    // The usual values of a room are those of the file format.
    let Ok(mut room) = ron::from_str::<Room>(&text) else { return vec![] };
    room.at = pointer.at;
    desk.picks = vec![Pick::Room(drawn.id.clone(), room.id.clone())];
    desk.naming = true;
    vec![Deed::Do(vec![Edit::Put(Item::Room(drawn.id.clone(), room))])]
}

fn mark(desk: &mut Desk, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Vec<Deed> {
    if !pointer.pressed {
        return vec![];
    }
    let at = desk.at.as_ref().map_or(pointer.at, |caught| caught.at);
    let edit = if desk.tool == Tool::Loud {
        let sound = desk.choices.sound.clone();
        let known = Catalogue::built_in_ref().sources.get(&sound);
        let id = SourceId(fresh_id("source", |id| scene.sources.iter().any(|source| source.id.0 == id)));
        desk.picks = vec![Pick::Source(id.clone())];
        let name = known.map_or_else(|| sound.clone(), |known| known.name.clone());
        let storey = drawn.id.clone();
        Item::Source(Source { id, name, storey, at, sound, level_db: 0.0, playing: true, contacts: vec![] })
    } else {
        let id = ListenerId(fresh_id("listener", |id| scene.listeners.iter().any(|hears| hears.id.0 == id)));
        desk.picks = vec![Pick::Listener(id.clone())];
        Item::Listener(Listener {
            name: format!("Listener {}", scene.listeners.len() + 1),
            id,
            storey: drawn.id.clone(),
            at,
            height_m: 1.5,
            target: None,
            background: Background::Unstated,
        })
    };
    desk.tool = Tool::Hand;
    vec![Deed::Do(vec![Edit::Put(edit)])]
}

/// An air duct by two clicks: a mouth, and the other one.
fn duct(desk: &mut Desk, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Vec<Deed> {
    if !pointer.pressed {
        return vec![];
    }
    let at = desk.at.as_ref().map_or(pointer.at, |caught| caught.at);
    let Gesture::Duct { storey, from } = desk.gesture.clone() else {
        desk.gesture = Gesture::Duct { storey: drawn.id.clone(), from: at };
        return vec![];
    };
    // Twice in one place is no duct, but one that goes straight up is.
    if storey == drawn.id && (at[0] - from[0]).hypot(at[1] - from[1]) < pointer.reach_m {
        return vec![];
    }
    let duct = new_duct(scene, (storey, from), (drawn.id.clone(), at));
    desk.picks = vec![Pick::Duct(duct.id.clone())];
    desk.take(Tool::Hand);
    vec![Deed::Do(vec![Edit::Put(Item::Duct(duct))])]
}
