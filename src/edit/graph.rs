//! Walls and corners of one storey: drawing, joining, cutting, and what of it belongs to openings.

use std::collections::BTreeSet;

use super::naming::{fresh_id, new_room};
use super::refused::{Refused, storey_mut};
use crate::building::reads_the_same;
use crate::catalogue::{Catalogue, Construction};
use crate::geometry::{self, DVec2, Graph, Line, SNAP_M, Stroke, along, heading};
use crate::scene::{Node, NodeId, Opening, Point, Scene, Storey, StoreyId, Wall, WallId, Workmanship};

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
/// belongs to no wall. The first part of a wall keeps its id; openings go with the part their middle is on.
pub(super) fn tidy(storey: &mut Storey) {
    let before = storey.clone();
    // A wall without two corners is a problem to show, not one to hide: it stays as it is.
    let sound = |wall: &Wall| line(&before, wall).filter(|line| line.iter().all(|end| end.is_finite()));
    let strokes = before.walls.iter().enumerate();
    let strokes = strokes.filter_map(|(wall, known)| Some(Stroke { wall, line: sound(known)?, half_m: 0.0 }));
    let graph = Graph::new(&strokes.collect::<Vec<_>>());
    let corners: Vec<NodeId> = graph.points.iter().map(|point| corner(storey, (*point).into())).collect();
    storey.walls.retain(|wall| sound(wall).is_none());
    let mut parts: Vec<(WallId, Line)> = vec![];
    for (at, piece) in graph.pieces.iter().enumerate() {
        let wall = &before.walls[piece.wall];
        let taken = |word: &str| before.walls.iter().chain(&storey.walls).any(|wall| wall.id.0 == word);
        let is_first = at == 0 || graph.pieces[at - 1].wall != piece.wall;
        let id = if is_first { wall.id.clone() } else { WallId(fresh_id(&wall.id.0, taken)) };
        let [from, to] = piece.ends.map(|end| corners[end].clone());
        storey.walls.push(Wall { id: id.clone(), from, to, ..wall.clone() });
        for shell in storey.rooms.iter_mut().filter_map(|room| room.inner_shell.as_mut()).filter(|_| !is_first) {
            let own = shell.each_wall.iter().find(|(known, _)| *known == wall.id).map(|(_, face)| face.clone());
            shell.each_wall.extend(own.map(|face| (id.clone(), face)));
        }
        parts.push((id, piece.ends.map(|end| graph.points[end])));
    }
    storey.openings.retain_mut(|opening| {
        let wall = before.walls.iter().position(|wall| wall.id == opening.wall);
        let Some((wall, old)) = wall.and_then(|at| Some((at, sound(&before.walls[at])?))) else { return true };
        let middle = old[0] + heading(old) * (opening.offset_m + 0.5 * opening.width_m);
        let off_m = |part: &usize| geometry::distance(middle, parts[*part].1);
        let own = || (0..parts.len()).filter(|&part| graph.pieces[part].wall == wall);
        // Where its wall is drawn twice, it goes over to the other.
        let all = (0..parts.len()).filter(|_| old[0].distance(old[1]) >= SNAP_M);
        let on = own().chain(all).find(|part| off_m(part) < SNAP_M);
        let nearest = || own().min_by(|a, b| off_m(a).total_cmp(&off_m(b)));
        let Some((id, new)) = on.or_else(nearest).map(|part| parts[part].clone()) else { return false };
        if id != opening.wall || new.iter().zip(old).any(|(end, known)| end.distance(known) >= SNAP_M) {
            let last_m = (new[0].distance(new[1]) - opening.width_m).max(0.0);
            // A window that straddles a cut is pushed clear of it.
            opening.offset_m = (along(new, middle) - 0.5 * opening.width_m).clamp(0.0, last_m);
            opening.wall = id;
        }
        true
    });
    let used: BTreeSet<&NodeId> = storey.walls.iter().flat_map(|wall| [&wall.from, &wall.to]).collect();
    storey.nodes.retain(|node| used.contains(&node.id));
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
        let same_direction = (a.to == *node) == (b.from == *node);
        let found = catalogue.resolve(own, &a.construction);
        if !same_direction && !found.is_none_or(reads_the_same) {
            continue;
        }
        join(storey, first, second, node);
    }
    tidy(storey);
}

fn far(storey: &Storey, wall: &Wall, node: &NodeId) -> Option<Point> {
    at(storey, if wall.from == *node { &wall.to } else { &wall.from })
}

/// Makes one wall of two that meet at a corner; openings stay as far along as they are.
pub(super) fn join(storey: &mut Storey, first: usize, second: usize, node: &NodeId) {
    let (a, b) = (storey.walls[first].clone(), storey.walls[second].clone());
    let same_direction = (a.to == *node) == (b.from == *node);
    let (a_m, b_m) = (length_m(storey, &a), length_m(storey, &b));
    let far_end = if b.from == *node { b.to.clone() } else { b.from.clone() };
    let after = a.to == *node;
    let shift = |opening: &Opening| {
        let own_m = if same_direction { opening.offset_m } else { b_m - opening.offset_m - opening.width_m };
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
