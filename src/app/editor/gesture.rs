//! What the pointer does with each tool: a function of where it is and what was begun. Nothing of windows here.

use crate::app::command::Command;
use crate::app::editor::hit::{beside, loose_contacts, opening_ends, under, within};
use crate::app::editor::state::{Editor, Gesture, Tool, thickness_m, usual_size_m};
use crate::app::editor::underlay::scaled;
use crate::building::Enclosed;
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::edit::distance;
use crate::edit::ducts::new_duct;
use crate::edit::snap::{Rules, Snapped, snap};
use crate::edit::{Edit, Item, Pick, Point, ends, fresh_id, put_by};
use crate::output::length;
use crate::scene::{
    Background, Contact, Listener, ListenerId, NodeId, Opening, OpeningId, Room, RoomId, Scene, Source, SourceId,
    Storey, Workmanship,
};

/// The pointer in one frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pointer {
    pub at: Point,
    pub pressed: bool,
    pub down: bool,
    pub released: bool,
    pub double: bool,
    /// Adds to what is picked.
    pub shift: bool,
    /// Holds snapping off.
    pub free: bool,
    /// A few pixels, m.
    pub reach_m: f64,
}

/// Does what the pointer does with the tool in hand on one storey.
pub fn handle(
    editor: &mut Editor,
    scene: &Scene,
    storey: usize,
    spaces: &[Enclosed],
    pointer: &Pointer,
) -> Vec<Command> {
    let Some(drawn) = scene.storeys.get(storey) else { return vec![] };
    editor.at = Some(caught(editor, drawn, pointer));
    match editor.tool {
        Tool::Name | Tool::Loud | Tool::Ears | Tool::Duct if !pointer.pressed => vec![],
        Tool::Hand => hand(editor, scene, storey, spaces, pointer),
        Tool::Walls => walls(editor, drawn, pointer),
        Tool::Room => room(editor, scene, drawn, pointer),
        Tool::Window | Tool::Door => set_into(editor, scene, drawn, pointer),
        Tool::Name => name(editor, scene, drawn, spaces, pointer),
        Tool::Loud | Tool::Ears => mark(editor, scene, drawn, pointer),
        Tool::Duct => duct(editor, scene, drawn, pointer),
        Tool::Scale => scale(editor, drawn, pointer),
    }
}

/// Where the pointer lands with the tool in hand.
fn caught(editor: &Editor, drawn: &Storey, pointer: &Pointer) -> Snapped {
    let rules = Rules { reach_m: pointer.reach_m, grid_m: editor.choices.grid_m, on: !pointer.free };
    let free = Snapped { at: pointer.at, by: crate::edit::snap::Caught::Free, guides: vec![] };
    match (&editor.tool, &editor.gesture) {
        (Tool::Walls, Gesture::Walls(points)) => {
            let begin =
                points.first().filter(|first| points.len() > 2 && distance(**first, pointer.at) < 1.5 * rules.reach_m);
            match begin {
                Some(first) => Snapped { at: *first, ..free },
                None => snap(drawn, pointer.at, points.last().copied(), &rules, &[]),
            }
        }
        (Tool::Walls | Tool::Room, _) => snap(drawn, pointer.at, None, &rules, &[]),
        (Tool::Hand, Gesture::Drag { from, corner: Some(corner), .. }) => {
            let to = [corner[0] + pointer.at[0] - from[0], corner[1] + pointer.at[1] - from[1]];
            // Corners that are being dragged catch nothing.
            let node = |pick: &Pick| if let Pick::Node(_, id) = pick { Some(id.clone()) } else { None };
            let moving: Vec<NodeId> = editor.picks.iter().filter_map(node).collect();
            snap(drawn, to, None, &rules, &moving)
        }
        (Tool::Loud | Tool::Ears | Tool::Duct | Tool::Hand, _) => match rules.grid_m.filter(|_| rules.on) {
            Some(grid_m) => Snapped { at: pointer.at.map(|value| (value / grid_m).round() * grid_m), ..free },
            None => free,
        },
        _ => free,
    }
}

fn hand(editor: &mut Editor, scene: &Scene, storey: usize, spaces: &[Enclosed], pointer: &Pointer) -> Vec<Command> {
    let drawn = &scene.storeys[storey];
    // A quick click goes down and up within one frame: what is no longer held was let go.
    let let_go = pointer.released || !pointer.down;
    let landed = editor.landed(pointer.at);
    match editor.gesture.clone() {
        Gesture::None if pointer.pressed => {
            if let Some((opening, far)) = side_under(editor, drawn, pointer) {
                editor.gesture = Gesture::Stretch { opening, far };
                return vec![];
            }
            if let Some((pick, from)) = loose_contact_under(editor, scene, drawn, pointer) {
                editor.picks = vec![pick];
                editor.gesture = Gesture::Drag { pressed: pointer.at, from, corner: None };
                return vec![];
            }
            match under(scene, storey, spaces, pointer.at, pointer.reach_m) {
                // A room is dragged by its marker alone: elsewhere in it a box begins.
                Some(Pick::Room(on, id)) if !on_marker(drawn, &id, pointer) => {
                    if !pointer.shift {
                        editor.picks.clear();
                    }
                    editor.picks.push(Pick::Room(on, id));
                    editor.gesture = Gesture::Box(pointer.at);
                }
                Some(pick) => {
                    if pointer.shift {
                        match editor.picks.iter().position(|known| *known == pick) {
                            Some(at) => drop(editor.picks.remove(at)),
                            None => editor.picks.push(pick.clone()),
                        }
                    } else if !editor.picks.contains(&pick) {
                        editor.picks = vec![pick.clone()];
                    }
                    let corner = match &pick {
                        Pick::Node(_, id) => drawn.nodes.iter().find(|node| node.id == *id).map(|node| node.at),
                        _ => None,
                    };
                    let corner = corner.filter(|_| editor.picks.len() == 1);
                    editor.gesture = Gesture::Drag { pressed: pointer.at, from: pointer.at, corner };
                }
                None => {
                    if !pointer.shift {
                        editor.picks.clear();
                    }
                    editor.gesture = Gesture::Box(pointer.at);
                }
            }
            vec![]
        }
        Gesture::Drag { pressed, from, corner } => {
            let by = drag_by(editor, drawn, from, corner, landed, pointer);
            let moved = [pointer.at[0] - pressed[0], pointer.at[1] - pressed[1]];
            let far = moved[0].hypot(moved[1]).min(by[0].hypot(by[1])) > 0.4 * pointer.reach_m;
            let edit = Edit::Move { picks: editor.picks.clone(), by };
            if let_go {
                editor.gesture = Gesture::None;
                if far { vec![Command::Edit(vec![edit])] } else { vec![Command::CancelPreview] }
            } else if far {
                vec![Command::Preview(vec![edit])]
            } else {
                vec![]
            }
        }
        Gesture::Stretch { opening, far } => {
            let Some(edit) = stretched(drawn, &opening, far, pointer, editor.choices.grid_m) else { return vec![] };
            if let_go {
                editor.gesture = Gesture::None;
                vec![Command::Edit(vec![edit])]
            } else {
                vec![Command::Preview(vec![edit])]
            }
        }
        Gesture::Box(from) if let_go => {
            editor.gesture = Gesture::None;
            if distance(from, pointer.at) > pointer.reach_m {
                if !pointer.shift {
                    editor.picks.clear();
                }
                let inside = within(scene, storey, [from, pointer.at]);
                let new: Vec<Pick> = inside.into_iter().filter(|pick| !editor.picks.contains(pick)).collect();
                editor.picks.extend(new);
            }
            vec![]
        }
        _ => vec![],
    }
}

/// A contact without a place of its own, where it is drawn beside its source, and where the source stands.
fn loose_contact_under(editor: &Editor, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Option<(Pick, Point)> {
    let (source, marks) = loose_contacts(scene, &drawn.id, &editor.picks, pointer.reach_m)?;
    let near = |mark: &&(usize, Point)| distance(mark.1, pointer.at) < pointer.reach_m;
    let (at, _) = marks.iter().find(near)?;
    Some((Pick::Contact(source.id.clone(), *at), source.at))
}

fn on_marker(drawn: &Storey, id: &crate::scene::RoomId, pointer: &Pointer) -> bool {
    let room = drawn.rooms.iter().find(|room| room.id == *id);
    room.is_some_and(|room| distance(room.at, pointer.at) < 2.0 * pointer.reach_m)
}

/// How far a drag goes: a corner to where it is caught, a single wall square to itself, all else by the grid.
fn drag_by(
    editor: &Editor,
    drawn: &Storey,
    from: Point,
    corner: Option<Point>,
    landed: Point,
    pointer: &Pointer,
) -> Point {
    if let Some(corner) = corner {
        return [landed[0] - corner[0], landed[1] - corner[1]];
    }
    let mut by = [pointer.at[0] - from[0], pointer.at[1] - from[1]];
    if let Some(grid_m) = editor.choices.grid_m.filter(|_| !pointer.free) {
        by = by.map(|value| (value / grid_m).round() * grid_m);
    }
    if let [Pick::Wall(_, id)] = &editor.picks[..]
        && !pointer.free
        && let Some([a, b]) = drawn.walls.iter().find(|wall| wall.id == *id).and_then(|wall| ends(drawn, wall))
    {
        let length_m = distance(b, a).max(1e-9);
        let across = [-(b[1] - a[1]) / length_m, (b[0] - a[0]) / length_m];
        let far = by[0] * across[0] + by[1] * across[1];
        by = [across[0] * far, across[1] * far];
    }
    by
}

/// The side of the one opening picked that the pointer is on.
fn side_under(editor: &Editor, drawn: &Storey, pointer: &Pointer) -> Option<(Opening, bool)> {
    let [Pick::Opening(_, id)] = &editor.picks[..] else { return None };
    let opening = drawn.openings.iter().find(|opening| opening.id == *id)?;
    let [near, far] = opening_ends(drawn, opening)?;
    let on = |(end, _): &(Point, bool)| distance(*end, pointer.at) < pointer.reach_m;
    [(far, true), (near, false)].into_iter().find(on).map(|(_, far)| (opening.clone(), far))
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

fn walls(editor: &mut Editor, drawn: &Storey, pointer: &Pointer) -> Vec<Command> {
    let landed = editor.landed(pointer.at);
    match editor.gesture.clone() {
        Gesture::Walls(_) if pointer.double => {
            editor.stop();
            vec![Command::CancelPreview]
        }
        Gesture::Walls(points) => {
            let Some(&from) = points.last() else { return vec![] };
            let to = typed_end(editor, from, landed).unwrap_or(landed);
            if distance(to, from) < 0.011 {
                return vec![];
            }
            if pointer.pressed { wall_to(editor, drawn, points, to) } else { vec![] }
        }
        _ if pointer.pressed => {
            editor.gesture = Gesture::Walls(vec![landed]);
            vec![]
        }
        _ => vec![],
    }
}

/// Two clicks on the traced picture; a typed length and Enter scale it.
fn scale(editor: &mut Editor, drawn: &Storey, pointer: &Pointer) -> Vec<Command> {
    if drawn.underlay.is_none() {
        editor.refuse("This storey has no picture to trace yet.");
        editor.take(Tool::Hand);
    } else if pointer.pressed {
        let mut points = match &editor.gesture {
            Gesture::Scale(points) if points.len() < 2 => points.clone(),
            _ => vec![],
        };
        points.push(pointer.at);
        editor.gesture = Gesture::Scale(points);
    }
    vec![]
}

/// One wall is done; the next begins at its end, unless it closed the ring or met a wall.
fn wall_to(editor: &mut Editor, drawn: &Storey, mut points: Vec<Point>, to: Point) -> Vec<Command> {
    let Some(&from) = points.last() else { return vec![] };
    let same = |a: Point, b: Point| distance(a, b) < 1e-3;
    let closed = points.first().is_some_and(|first| same(*first, to));
    let met = drawn.nodes.iter().any(|node| same(node.at, to))
        || drawn.walls.iter().filter_map(|wall| ends(drawn, wall)).any(|ends| beside(to, ends).0 < 1e-3);
    points.push(to);
    editor.typed.clear();
    editor.gesture = if closed || met { Gesture::None } else { Gesture::Walls(points) };
    let construction = editor.choices.wall.clone();
    vec![Command::Edit(vec![Edit::Draw { storey: drawn.id.clone(), points: vec![from, to], construction }])]
}

/// Where a wall of the typed length ends, in the direction of the pointer.
fn typed_end(editor: &Editor, from: Point, towards: Point) -> Option<Point> {
    let length_m = length::read_in(&editor.typed, editor.units)?;
    let away_m = distance(towards, from);
    (away_m > 1e-6 && length_m > 0.0).then(|| {
        let part = length_m / away_m;
        [from[0] + (towards[0] - from[0]) * part, from[1] + (towards[1] - from[1]) * part]
    })
}

/// Enter while drawing: the typed length, or the two sides of a room as it is inside ("4.2 x 3.1"), ends the wall or room.
pub fn enter(editor: &mut Editor, scene: &Scene, storey: usize) -> Vec<Command> {
    let Some(drawn) = scene.storeys.get(storey) else { return vec![] };
    let landed = editor.at.as_ref().map(|caught| caught.at);
    match (editor.gesture.clone(), landed) {
        (Gesture::Walls(points), Some(landed)) => {
            let Some(&from) = points.last() else { return vec![] };
            match typed_end(editor, from, landed) {
                Some(to) => wall_to(editor, drawn, points, to),
                None => {
                    editor.stop();
                    vec![Command::CancelPreview]
                }
            }
        }
        (Gesture::Room(from), Some(landed)) => {
            // A blank parts the sides only where nothing else does: it may stand between feet and inches.
            const BETWEEN: [char; 3] = ['x', '×', '*'];
            let parts =
                |letter: char| if editor.typed.contains(BETWEEN) { BETWEEN.contains(&letter) } else { letter == ' ' };
            let sides = editor.typed.split(parts).filter(|part| !part.trim().is_empty());
            let sides: Vec<f64> = sides.filter_map(|part| length::read_in(part, editor.units)).collect();
            let [wide, deep] = sides[..] else {
                editor.refuse("Type both sides, inside the room, as 4.2 x 3.1, then Enter.");
                return vec![];
            };
            // Half a wall on each side.
            let walls_m = thickness_m(scene, &editor.choices.wall);
            let [wide, deep] = [wide + walls_m, deep + walls_m];
            let sign = [landed[0] - from[0], landed[1] - from[1]].map(|value| if value < 0.0 { -1.0 } else { 1.0 });
            let to = [from[0] + sign[0] * wide, from[1] + sign[1] * deep];
            editor.stop();
            vec![rectangle(editor, scene, drawn, from, to)]
        }
        (Gesture::Scale(points), _) => {
            let length_m = length::read_in(&editor.typed, editor.units);
            let (Some(underlay), &[a, b], Some(length_m)) = (&drawn.underlay, &points[..], length_m) else {
                editor.refuse("Click two points of the picture, type how far apart they are, then Enter.");
                return vec![];
            };
            let Some(scaled) = scaled(underlay, [a, b], length_m) else { return vec![] };
            editor.take(Tool::Hand);
            let storey = Storey { underlay: Some(scaled), ..drawn.clone() };
            vec![Command::Edit(vec![Edit::Put(Item::Storey(storey))])]
        }
        _ => vec![],
    }
}

fn rectangle(editor: &Editor, scene: &Scene, drawn: &Storey, from: Point, to: Point) -> Command {
    let rooms: usize = scene.storeys.iter().map(|storey| storey.rooms.len()).sum();
    let edit = Edit::Rectangle {
        storey: drawn.id.clone(),
        corners: [from, to],
        construction: editor.choices.wall.clone(),
        name: format!("Room {}", rooms + 1),
    };
    Command::Edit(vec![edit])
}

fn room(editor: &mut Editor, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Vec<Command> {
    let landed = editor.landed(pointer.at);
    match editor.gesture {
        Gesture::Room(from) => {
            let wide = (landed[0] - from[0]).abs().min((landed[1] - from[1]).abs()) > 2.0 * pointer.reach_m;
            // Dragged from corner to corner, or clicked twice.
            if wide && (pointer.released || pointer.pressed) {
                editor.stop();
                return vec![rectangle(editor, scene, drawn, from, landed)];
            }
            vec![]
        }
        _ if pointer.pressed => {
            editor.gesture = Gesture::Room(landed);
            vec![]
        }
        _ => vec![],
    }
}

/// A window or door at the pointer's place on the nearest wall, as it would be set.
pub fn ghost(editor: &Editor, drawn: &Storey, pointer: Point, reach_m: f64) -> Option<Opening> {
    let door = editor.tool == Tool::Door;
    let id = if door { &editor.choices.door } else { &editor.choices.window };
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
    let step_m = editor.choices.grid_m.unwrap_or(0.01);
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

fn set_into(editor: &mut Editor, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Vec<Command> {
    let Some(mut opening) = ghost(editor, drawn, pointer.at, pointer.reach_m) else {
        if pointer.pressed {
            editor.refuse("Click on a wall: windows and doors are set into walls.");
        }
        return vec![];
    };
    if !pointer.pressed {
        return vec![];
    }
    let taken = |id: &str| drawn.openings.iter().any(|it| it.id.0 == id) || put_by(&scene.variants, id);
    if taken(&opening.id.0) {
        opening.id = OpeningId(fresh_id(&opening.id.0, taken));
    }
    editor.picks = vec![Pick::Opening(drawn.id.clone(), opening.id.clone())];
    vec![Command::Edit(vec![Edit::Put(Item::Opening(drawn.id.clone(), opening))])]
}

fn name(editor: &mut Editor, scene: &Scene, drawn: &Storey, spaces: &[Enclosed], pointer: &Pointer) -> Vec<Command> {
    let Some(space) = spaces.iter().find(|space| space.holds(pointer.at)) else {
        editor.refuse("Click into a space that walls enclose all round.");
        return vec![];
    };
    if let Some(room) = space.room.clone() {
        editor.picks = vec![Pick::Room(drawn.id.clone(), room)];
        editor.naming = true;
        return vec![];
    }
    let number: usize = 1 + scene.storeys.iter().map(|storey| storey.rooms.len()).sum::<usize>();
    let taken = |id: &str| scene.storeys.iter().any(|storey| storey.rooms.iter().any(|room| room.id.0 == id));
    let room = Room::new(
        RoomId(fresh_id("room", |id| taken(id) || put_by(&scene.variants, id))),
        format!("Room {number}"),
        pointer.at,
    );
    editor.picks = vec![Pick::Room(drawn.id.clone(), room.id.clone())];
    editor.naming = true;
    vec![Command::Edit(vec![Edit::Put(Item::Room(drawn.id.clone(), room))])]
}

fn mark(editor: &mut Editor, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Vec<Command> {
    let at = editor.landed(pointer.at);
    let edit = if editor.tool == Tool::Loud {
        let sound = editor.choices.sound.clone();
        let known = Catalogue::built_in_ref().sources.get(&sound);
        let id = SourceId(fresh_id("source", |id| {
            scene.sources.iter().any(|it| it.id.0 == id) || put_by(&scene.variants, id)
        }));
        editor.picks = vec![Pick::Source(id.clone())];
        let name = known.map_or_else(|| sound.clone(), |known| known.name.clone());
        let storey = drawn.id.clone();
        let contacts = known.map(|known| Contact::usual(known, at)).unwrap_or_default();
        let (offset_db, measured, playing, touching) = (0.0, None, true, true);
        Item::Source(Source { id, name, storey, at, sound, offset_db, measured, playing, touching, contacts })
    } else {
        let id = ListenerId(fresh_id("listener", |id| {
            scene.listeners.iter().any(|it| it.id.0 == id) || put_by(&scene.variants, id)
        }));
        editor.picks = vec![Pick::Listener(id.clone())];
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
    editor.tool = Tool::Hand;
    vec![Command::Edit(vec![Edit::Put(edit)])]
}

/// An air duct by two clicks: a mouth, and the other one.
fn duct(editor: &mut Editor, scene: &Scene, drawn: &Storey, pointer: &Pointer) -> Vec<Command> {
    let at = editor.landed(pointer.at);
    let Gesture::Duct(storey, from) = editor.gesture.clone() else {
        editor.gesture = Gesture::Duct(drawn.id.clone(), at);
        return vec![];
    };
    // Twice in one place is no duct, but one that goes straight up is.
    if storey == drawn.id && distance(at, from) < pointer.reach_m {
        return vec![];
    }
    let duct = new_duct(scene, (storey, from), (drawn.id.clone(), at));
    editor.picks = vec![Pick::Duct(duct.id.clone())];
    editor.take(Tool::Hand);
    vec![Command::Edit(vec![Edit::Put(Item::Duct(duct))])]
}
