//! What lies under the pointer, and what lies in a box.

use crate::app::editor::state::thickness_m;
use crate::building::Enclosed;
use crate::edit::{Pick, Point, ends};
use crate::geometry::{DVec2, Extent, foot, heading, line};
use crate::scene::{Duct, Opening, Scene, Source, Storey, StoreyId, Thing};

/// Lower left and upper right corner of a storey's plan, m; nothing where nothing is drawn.
pub fn extent(drawn: &Storey) -> Option<(Point, Point)> {
    let Extent { low, high } = Extent::round(drawn.nodes.iter().map(|node| node.at), 0.0);
    low.is_finite().then(|| (low.into(), high.into()))
}

/// Both ends of an opening along its wall's line, m.
pub fn opening_ends(storey: &Storey, opening: &Opening) -> Option<[Point; 2]> {
    let wall = storey.walls.iter().find(|wall| wall.id == opening.wall)?;
    let wall = ends(storey, wall).filter(|[a, b]| a != b).map(line)?;
    let at = |m: f64| (wall[0] + heading(wall) * m).into();
    Some([at(opening.offset_m), at(opening.offset_m + opening.width_m)])
}

/// Distance from a point to a segment, and how far along it the foot lies, m.
pub fn beside(point: Point, ends: [Point; 2]) -> (f64, f64) {
    let foot = foot(point.into(), line(ends));
    (foot.distance(point.into()), foot.distance(ends[0].into()))
}

fn distance(a: Point, b: Point) -> f64 {
    DVec2::from(a).distance(b.into())
}

/// The thing under a point: small things before large ones, and a room where nothing else is. `spaces`: what
/// the walls of the storey enclose. `reach_m`: a few pixels.
pub fn under(scene: &Scene, storey: usize, spaces: &[Enclosed], point: Point, reach_m: f64) -> Option<Pick> {
    let drawn = scene.storeys.get(storey)?;
    let on = drawn.id.clone();
    // Marks are drawn about so large, m.
    let mark_m = reach_m * 1.6;
    for source in scene.sources.iter().filter(|source| source.storey == on) {
        for (at, contact) in source.touches().iter().enumerate() {
            // Feet stand close round a source: it is meant where it is nearer.
            let near_m = reach_m.min(distance(source.at, point));
            if contact.at.is_some_and(|place| distance(place, point) <= near_m) {
                return Some(Pick::Contact(source.id.clone(), at));
            }
        }
    }
    let source = scene.sources.iter().find(|source| source.storey == on && distance(source.at, point) < mark_m);
    if let Some(source) = source {
        return Some(Pick::Source(source.id.clone()));
    }
    let hears = scene.listeners.iter().find(|hears| hears.storey == on && distance(hears.at, point) < mark_m);
    if let Some(listener) = hears {
        return Some(Pick::Listener(listener.id.clone()));
    }
    for duct in &scene.ducts {
        let mouth = |end: &crate::scene::DuctEnd| end.storey == on && distance(end.at, point) < reach_m;
        if let Some(end) = duct.ends.iter().position(mouth) {
            return Some(Pick::Mouth(duct.id.clone(), end));
        }
    }
    let nearest = drawn.nodes.iter().min_by(|a, b| distance(a.at, point).total_cmp(&distance(b.at, point)));
    if let Some(node) = nearest.filter(|node| distance(node.at, point) < reach_m) {
        return Some(Pick::Node(on, node.id.clone()));
    }
    for opening in &drawn.openings {
        let (Some(ends), Some(wall)) =
            (opening_ends(drawn, opening), drawn.walls.iter().find(|wall| wall.id == opening.wall))
        else {
            continue;
        };
        if beside(point, ends).0 < (0.5 * thickness_m(scene, &wall.construction)).max(reach_m) {
            return Some(Pick::Opening(on, opening.id.clone()));
        }
    }
    // Thinner than a wall, and over it.
    let run = |duct: &&Duct| beside(point, duct.ends.each_ref().map(|end| end.at)).0 < 0.6 * reach_m;
    if let Some(duct) = scene.ducts.iter().filter(|duct| is_on(duct, &on)).find(run) {
        return Some(Pick::Duct(duct.id.clone()));
    }
    let wall = drawn
        .walls
        .iter()
        .filter_map(|wall| {
            let away_m = beside(point, ends(drawn, wall)?).0;
            (away_m < (0.5 * thickness_m(scene, &wall.construction)).max(reach_m)).then_some((away_m, wall))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((_, wall)) = wall {
        return Some(Pick::Wall(on, wall.id.clone()));
    }
    let room = spaces.iter().find(|space| space.holds(point))?.room.clone()?;
    Some(Pick::Room(on, room))
}

/// Everything wholly inside a box: walls with both ends, openings with their wall, marks and markers.
pub fn within(scene: &Scene, storey: usize, [a, b]: [Point; 2]) -> Vec<Pick> {
    let Some(drawn) = scene.storeys.get(storey) else { return vec![] };
    let inside =
        |point: Point| (0..2).all(|axis| point[axis] >= a[axis].min(b[axis]) && point[axis] <= a[axis].max(b[axis]));
    let on = &drawn.id;
    let mut picks: Vec<Pick> = vec![];
    for wall in &drawn.walls {
        if ends(drawn, wall).is_some_and(|ends| ends.into_iter().all(inside)) {
            picks.push(Pick::Wall(on.clone(), wall.id.clone()));
        }
    }
    picks.extend(drawn.rooms.iter().filter(|room| inside(room.at)).map(|room| Pick::Room(on.clone(), room.id.clone())));
    for opening in &drawn.openings {
        let whole = opening_ends(drawn, opening).is_some_and(|ends| ends.into_iter().all(inside));
        if whole && !picks.contains(&Pick::Wall(on.clone(), opening.wall.clone())) {
            picks.push(Pick::Opening(on.clone(), opening.id.clone()));
        }
    }
    let sources = scene.sources.iter().filter(|source| source.storey == *on && inside(source.at));
    picks.extend(sources.map(|source| Pick::Source(source.id.clone())));
    let listeners = scene.listeners.iter().filter(|hears| hears.storey == *on && inside(hears.at));
    picks.extend(listeners.map(|hears| Pick::Listener(hears.id.clone())));
    let whole = |duct: &&Duct| is_on(duct, on) && duct.ends.iter().all(|end| inside(end.at));
    picks.extend(scene.ducts.iter().filter(whole).map(|duct| Pick::Duct(duct.id.clone())));
    picks
}

pub fn all_of(scene: &Scene, storey: usize) -> Vec<Pick> {
    let far = f64::MAX.sqrt();
    within(scene, storey, [[-far, -far], [far, far]])
}

/// Where something of a storey that has one place is, m.
pub fn place_of(scene: &Scene, drawn: &Storey, pick: &Pick) -> Option<Point> {
    match pick {
        Pick::Node(_, id) => drawn.nodes.iter().find(|node| node.id == *id).map(|node| node.at),
        Pick::Room(_, id) => drawn.rooms.iter().find(|room| room.id == *id).map(|room| room.at),
        Pick::Source(id) => scene.sources.iter().find(|source| source.id == *id).map(|source| source.at),
        Pick::Contact(id, at) => scene.sources.iter().find(|source| source.id == *id)?.contacts.get(*at)?.at,
        Pick::Listener(id) => scene.listeners.iter().find(|hears| hears.id == *id).map(|hears| hears.at),
        Pick::Mouth(id, end) => {
            let mouth = scene.ducts.iter().find(|duct| duct.id == *id)?.ends.get(*end)?;
            (mouth.storey == drawn.id).then_some(mouth.at)
        }
        Pick::Wall(..) | Pick::Opening(..) | Pick::Duct(_) => None,
    }
}

/// The line along which something long of a storey lies, m.
pub fn line_of(scene: &Scene, drawn: &Storey, pick: &Pick) -> Option<[Point; 2]> {
    match pick {
        Pick::Wall(_, id) => drawn.walls.iter().find(|wall| wall.id == *id).and_then(|wall| ends(drawn, wall)),
        Pick::Opening(_, id) => {
            drawn.openings.iter().find(|opening| opening.id == *id).and_then(|opening| opening_ends(drawn, opening))
        }
        Pick::Duct(id) => {
            scene.ducts.iter().find(|duct| duct.id == *id).map(|duct| duct.ends.each_ref().map(|end| end.at))
        }
        _ => None,
    }
}

/// Where something of a storey is, m: in the middle of what is long.
pub fn middle_of(scene: &Scene, drawn: &Storey, pick: &Pick) -> Option<Point> {
    let middle = |[a, b]: [Point; 2]| [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
    place_of(scene, drawn, pick).or_else(|| line_of(scene, drawn, pick).map(middle))
}

/// The storey something stands on.
pub fn storey_of(scene: &Scene, pick: &Pick) -> Option<StoreyId> {
    match pick {
        Pick::Source(id) | Pick::Contact(id, _) => {
            scene.sources.iter().find(|source| source.id == *id).map(|source| source.storey.clone())
        }
        Pick::Listener(id) => scene.listeners.iter().find(|hears| hears.id == *id).map(|hears| hears.storey.clone()),
        Pick::Duct(id) => scene.ducts.iter().find(|duct| duct.id == *id).map(|duct| duct.ends[0].storey.clone()),
        other => other.storey().cloned(),
    }
}

/// Whether a duct has a mouth on a storey.
pub fn is_on(duct: &Duct, storey: &StoreyId) -> bool {
    duct.ends.iter().any(|end| end.storey == *storey)
}

/// The contacts without a place of their own of the one source that is picked (or one of whose contacts is): their positions in its list, and
/// where they are drawn, in a row below the source, to be dragged to their place.
pub fn loose_contacts<'a>(
    scene: &'a Scene,
    storey: &StoreyId,
    picks: &[Pick],
    reach_m: f64,
) -> Option<(&'a Source, Vec<(usize, Point)>)> {
    let id = match picks {
        [Pick::Source(id) | Pick::Contact(id, _)] => id,
        _ => return None,
    };
    let source = scene.sources.iter().find(|source| source.id == *id && source.storey == *storey)?;
    let loose: Vec<usize> = (0..source.touches().len()).filter(|at| source.contacts[*at].at.is_none()).collect();
    let middle = (loose.len() as f64 - 1.0) / 2.0;
    let place = |at: usize| [source.at[0] + (at as f64 - middle) * 2.2 * reach_m, source.at[1] - 3.2 * reach_m];
    Some((source, loose.iter().enumerate().map(|(at, contact)| (*contact, place(at))).collect()))
}

/// What a problem is about, as something to be picked: on this storey, where it is part of one.
pub fn pick_of(thing: &Thing, on: Option<&StoreyId>) -> Option<Pick> {
    Some(match thing {
        Thing::Node(id) => Pick::Node(on?.clone(), id.as_str().into()),
        Thing::Wall(id) => Pick::Wall(on?.clone(), id.as_str().into()),
        Thing::Opening(id) => Pick::Opening(on?.clone(), id.as_str().into()),
        Thing::Room(id) => Pick::Room(on?.clone(), id.as_str().into()),
        Thing::Source(id) => Pick::Source(id.as_str().into()),
        Thing::Listener(id) => Pick::Listener(id.as_str().into()),
        Thing::Duct(id) => Pick::Duct(id.as_str().into()),
        _ => return None,
    })
}
