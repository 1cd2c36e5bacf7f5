//! Walls and corners of one storey: drawing, joining, cutting, and what of it belongs to openings.

use super::model::{Point, Refused, storey_mut};
use super::naming::{fresh_id, new_room};
use crate::building::reads_the_same;
use crate::catalogue::{Catalogue, Construction};
use crate::geometry::{self, DVec2, Line, SNAP_M, along, crossing, heading, off};
use crate::scene::{Node, NodeId, Opening, Scene, Storey, StoreyId, Wall, WallId, Workmanship};

/// Shorter walls are none, m.
const SHORTEST_M: f64 = 0.01;
/// Two walls that bend by less are one line: sine of half a degree.
const STRAIGHT: f64 = 0.0087;

pub(super) fn at(storey: &Storey, id: &NodeId) -> Option<Point> {
    storey.nodes.iter().find(|node| node.id == *id).map(|node| node.at)
}

/// Both ends of a wall, m; nothing when one of its corners is missing.
#[must_use]
pub fn ends(storey: &Storey, wall: &Wall) -> Option<[Point; 2]> {
    Some([at(storey, &wall.from)?, at(storey, &wall.to)?])
}

/// The line of a wall; nothing when one of its corners is missing.
pub(super) fn line(storey: &Storey, wall: &Wall) -> Option<Line> {
    ends(storey, wall).map(geometry::line)
}

/// Length of a wall, m; 0 when one of its corners is missing.
pub(super) fn length_m(storey: &Storey, wall: &Wall) -> f64 {
    line(storey, wall).map_or(0.0, |[a, b]| a.distance(b))
}

/// Distance between two points, m.
pub fn distance(a: Point, b: Point) -> f64 {
    DVec2::from(a).distance(b.into())
}

/// Draws walls from point to point.
pub(super) fn draw(storey: &mut Storey, points: &[Point], construction: &str) -> Result<(), Refused> {
    if points.len() < 2 || !points.iter().flatten().all(|value| value.is_finite()) {
        return Err(Refused::because("A wall needs two corners."));
    }
    if points.windows(2).all(|pair| distance(pair[0], pair[1]) < SHORTEST_M) {
        return Err(Refused::because("That wall would have no length. Click its second corner further away."));
    }
    for pair in points.windows(2).filter(|pair| distance(pair[0], pair[1]) >= SHORTEST_M) {
        let [from, to] = [corner(storey, pair[0]), corner(storey, pair[1])];
        let id = fresh_id("wall", |id| storey.walls.iter().any(|wall| wall.id.0 == id));
        storey.walls.push(Wall {
            id: WallId(id),
            from,
            to,
            construction: construction.to_owned(),
            joists_run_on: false,
            stops_at_ceiling: false,
            workmanship: Workmanship::Usual,
        });
    }
    tidy(storey);
    Ok(())
}

/// Four walls and a marker.
pub(super) fn rectangle(
    scene: &mut Scene,
    storey: &StoreyId,
    [[x, y], [u, v]]: [Point; 2],
    construction: &str,
    name: &str,
) -> Result<(), Refused> {
    if (u - x).abs() < SHORTEST_M || (v - y).abs() < SHORTEST_M {
        return Err(Refused::because("That room would have no area. Drag to the opposite corner."));
    }
    let room = new_room(scene, name, [0.5 * (x + u), 0.5 * (y + v)]);
    let storey = storey_mut(scene, storey)?;
    draw(storey, &[[x, y], [u, y], [u, v], [x, v], [x, y]], construction)?;
    storey.rooms.push(room);
    Ok(())
}

/// The corner at a point, an existing one where there is one.
pub(super) fn corner(storey: &mut Storey, point: Point) -> NodeId {
    if let Some(known) = storey.nodes.iter().find(|node| distance(node.at, point) < SNAP_M) {
        return known.id.clone();
    }
    let id = NodeId(fresh_id("corner", |id| storey.nodes.iter().any(|node| node.id.0 == id)));
    storey.nodes.push(Node { id: id.clone(), at: point });
    id
}

/// Joins corners that coincide, cuts walls where corners lie on them and where they cross, and takes out what is double, of no length or
/// belongs to no wall.
pub(super) fn tidy(storey: &mut Storey) {
    drop_idle_corners(storey);
    // Each round cuts at least once or ends; so many cuts no plan needs.
    for _ in 0..2000 {
        join_corners(storey);
        drop_idle_walls(storey);
        if !cut_once(storey) {
            break;
        }
    }
    drop_idle_corners(storey);
}

/// Takes out corners that belong to no wall.
fn drop_idle_corners(storey: &mut Storey) {
    let used = |id: &NodeId| storey.walls.iter().any(|wall| wall.from == *id || wall.to == *id);
    let keep: Vec<bool> = storey.nodes.iter().map(|node| used(&node.id)).collect();
    let mut keep = keep.into_iter();
    storey.nodes.retain(|_| keep.next().unwrap_or(true));
}

fn join_corners(storey: &mut Storey) {
    let mut kept: Vec<Node> = vec![];
    let mut same: Vec<(NodeId, NodeId)> = vec![];
    for node in &storey.nodes {
        match kept.iter().find(|known| distance(known.at, node.at) < SNAP_M) {
            Some(known) => same.push((node.id.clone(), known.id.clone())),
            None => kept.push(node.clone()),
        }
    }
    for (gone, stays) in same {
        for wall in &mut storey.walls {
            for end in [&mut wall.from, &mut wall.to] {
                if *end == gone {
                    *end = stays.clone();
                }
            }
        }
    }
    storey.nodes = kept;
}

/// Takes out walls of no length and a second wall between the same corners; its openings go over to the first.
fn drop_idle_walls(storey: &mut Storey) {
    let mut kept: Vec<Wall> = vec![];
    let mut over: Vec<(WallId, WallId, bool)> = vec![];
    for wall in &storey.walls {
        if wall.from == wall.to {
            continue;
        }
        let known = kept.iter().find(|known| {
            (known.from == wall.from && known.to == wall.to) || (known.from == wall.to && known.to == wall.from)
        });
        match known {
            Some(known) => over.push((wall.id.clone(), known.id.clone(), known.from == wall.from)),
            None => kept.push(wall.clone()),
        }
    }
    for (gone, stays, same_way) in over {
        let length_m = storey.walls.iter().find(|wall| wall.id == gone).map_or(0.0, |wall| length_m(storey, wall));
        for opening in storey.openings.iter_mut().filter(|opening| opening.wall == gone) {
            opening.wall = stays.clone();
            if !same_way {
                opening.offset_m = length_m - opening.offset_m - opening.width_m;
            }
        }
    }
    let ids: Vec<WallId> = kept.iter().map(|wall| wall.id.clone()).collect();
    storey.openings.retain(|opening| ids.contains(&opening.wall) || !known_wall(&storey.walls, &opening.wall));
    storey.walls = kept;
}

/// An opening whose wall was never there is a problem to show, not one to hide.
fn known_wall(walls: &[Wall], id: &WallId) -> bool {
    walls.iter().any(|wall| wall.id == *id)
}

/// Cuts one wall; false when there is none to cut.
fn cut_once(storey: &mut Storey) -> bool {
    for at_wall in 0..storey.walls.len() {
        let wall = &storey.walls[at_wall];
        let Some(own) = line(storey, wall) else { continue };
        let length_m = own[0].distance(own[1]);
        if length_m.is_nan() || length_m <= 0.0 {
            continue;
        }
        let on_it = storey.nodes.iter().find(|node| {
            let (t, off_m) = (along(own, node.at.into()), off(own, node.at.into()));
            node.id != wall.from && node.id != wall.to && off_m.abs() < SNAP_M && t > SNAP_M && t < length_m - SNAP_M
        });
        if let Some(node) = on_it.map(|node| node.id.clone()) {
            cut(storey, at_wall, &node);
            return true;
        }
        for other in 0..at_wall {
            let Some(others) = line(storey, &storey.walls[other]) else { continue };
            if let Some(point) = crossing(own, others, SNAP_M) {
                let node = corner(storey, point.into());
                cut(storey, at_wall, &node);
                cut(storey, other, &node);
                return true;
            }
        }
    }
    false
}

/// Cuts a wall at a corner on it: the first part keeps the id, the second is new. Openings go with the part their middle is on.
fn cut(storey: &mut Storey, at_wall: usize, node: &NodeId) {
    let wall = storey.walls[at_wall].clone();
    let (Some([a, _]), Some(point)) = (ends(storey, &wall), at(storey, node)) else { return };
    if wall.from == *node || wall.to == *node {
        return;
    }
    let first_m = distance(a, point);
    let id = WallId(fresh_id(&wall.id.0, |id| storey.walls.iter().any(|wall| wall.id.0 == id)));
    storey.walls[at_wall].to = node.clone();
    storey.walls.insert(at_wall + 1, Wall { id: id.clone(), from: node.clone(), ..wall.clone() });
    for opening in storey.openings.iter_mut().filter(|opening| opening.wall == wall.id) {
        if opening.offset_m + 0.5 * opening.width_m > first_m {
            opening.wall = id.clone();
            // A window that straddles the cut is pushed clear of it.
            opening.offset_m = (opening.offset_m - first_m).max(0.0);
        } else {
            opening.offset_m = opening.offset_m.min((first_m - opening.width_m).max(0.0));
        }
    }
    for room in &mut storey.rooms {
        let Some(shell) = &mut room.inner_shell else { continue };
        let own = shell.each_wall.iter().find(|(known, _)| *known == wall.id).map(|(_, face)| face.clone());
        shell.each_wall.extend(own.map(|face| (id.clone(), face)));
    }
}

/// Joins the two walls that meet at each of these corners, where they are one line and of one kind.
pub(super) fn merge_at(storey: &mut Storey, own: &[Construction], catalogue: &Catalogue, corners: &[NodeId]) {
    for node in corners {
        let meeting: Vec<usize> = (0..storey.walls.len())
            .filter(|&at| storey.walls[at].from == *node || storey.walls[at].to == *node)
            .collect();
        let &[first, second] = &meeting[..] else { continue };
        let (a, b) = (storey.walls[first].clone(), storey.walls[second].clone());
        let alike = a.construction == b.construction
            && (a.joists_run_on, a.stops_at_ceiling, a.workmanship)
                == (b.joists_run_on, b.stops_at_ceiling, b.workmanship);
        let ([Some(p), Some(q), Some(r)], true) =
            ([far(storey, &a, node), at(storey, node), far(storey, &b, node)], alike)
        else {
            continue;
        };
        let (one, two) = (heading(geometry::line([p, q])), heading(geometry::line([q, r])));
        if !(one.perp_dot(two).abs() < STRAIGHT && one.dot(two) > 0.0) {
            continue;
        }
        // The first keeps its direction; the second may lie against it only if its layers read the same both ways.
        let same_way = (a.to == *node) == (b.from == *node);
        let found = catalogue.own_or_known(own, &a.construction);
        if !same_way && !found.is_none_or(reads_the_same) {
            continue;
        }
        join(storey, first, second, node, same_way);
    }
    tidy(storey);
}

fn far(storey: &Storey, wall: &Wall, node: &NodeId) -> Option<Point> {
    at(storey, if wall.from == *node { &wall.to } else { &wall.from })
}

fn join(storey: &mut Storey, first: usize, second: usize, node: &NodeId, same_way: bool) {
    let (a, b) = (storey.walls[first].clone(), storey.walls[second].clone());
    let (a_m, b_m) = (length_m(storey, &a), length_m(storey, &b));
    let far_end = if b.from == *node { b.to.clone() } else { b.from.clone() };
    let after = a.to == *node;
    let shift = |opening: &Opening| {
        let own_m = if same_way { opening.offset_m } else { b_m - opening.offset_m - opening.width_m };
        if after { a_m + own_m } else { own_m }
    };
    let shifted: Vec<f64> = storey.openings.iter().map(shift).collect();
    for (opening, offset_m) in storey.openings.iter_mut().zip(shifted) {
        if opening.wall == b.id {
            (opening.wall, opening.offset_m) = (a.id.clone(), offset_m);
        } else if opening.wall == a.id && !after {
            opening.offset_m += b_m;
        }
    }
    let wall = &mut storey.walls[first];
    if after {
        wall.to = far_end;
    } else {
        wall.from = far_end;
    }
    storey.walls.remove(second);
}
