//! A room laid over those of the storey below, or under those of the storey above: what it stands on, and what no room covers.

use std::sync::Arc;

use super::geometry::{
    Extent, PINHOLE_M2, ROUNDING_M, Shape, area, common, contains, distance_to_segment, holds_all, is_sliver, joined,
    middle, rectangle_like, sides, total_area, total_perimeter, without,
};
use super::plan::Outline;

/// A room, and those of another storey that may lie over or under it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Over {
    pub room: Arc<Outline>,
    /// Those near it; nothing where the other storey has no rooms at all.
    pub others: Option<Vec<Arc<Outline>>>,
}

/// A part of a room's floor or roof.
#[derive(Debug, Clone)]
pub(super) struct Part {
    /// The other room it lies over, as position in the list; nothing where there is none, and for a roof.
    pub over: Option<usize>,
    pub footprint: Arc<Footprint>,
    /// Area, m².
    pub area_m2: f64,
    /// Longer and shorter side of the rectangle taken for it, m.
    pub size_m: [f64; 2],
}

/// Where a slab lies.
#[derive(Debug, PartialEq)]
pub(super) struct Footprint {
    /// Its clear pieces.
    pub pieces: Vec<Shape>,
    /// The same up to the middle lines of the walls, so that slabs side by side leave no gap where a wall runs between them.
    pub reach: Vec<Shape>,
    /// Round all of it.
    pub extent: Extent,
}

impl Over {
    /// What the room stands on, when the others lie below.
    pub(super) fn floor(&self) -> Vec<Part> {
        if let ([_], Some(at)) = (self.room.clear.as_slice(), self.covered_by()) {
            return vec![Part::new(Some(at), self.room.clear.clone(), self.reach_over(at))];
        }
        let below = self.faces(|_| true);
        let part_over = |other: &Arc<Outline>| {
            let over = other.reaches_clear_of(&self.room);
            if over { common(&self.room.clear, std::slice::from_ref(&other.face)) } else { vec![] }
        };
        let mut parts: Vec<Vec<Shape>> = self.others.iter().flatten().map(part_over).collect();
        // Mostly the rooms below leave nothing of it, and their parts say so.
        let covered_m2: f64 = parts.iter().map(|pieces| total_area(pieces)).sum();
        let covers_all = self.others.is_some() && total_area(&self.room.clear) - covered_m2 < PINHOLE_M2;
        parts.push(if covers_all { vec![] } else { self.uncovered() });
        absorb_slivers(&mut parts);
        let own = std::slice::from_ref(&self.room.face);
        let part = |(at, pieces): (usize, Vec<Shape>)| match below.get(at) {
            Some(face) => Part::new(Some(at), pieces, common(own, std::slice::from_ref(face))),
            None => Part::new(None, pieces, without(own, &below)),
        };
        parts.into_iter().enumerate().filter(|(_, pieces)| !pieces.is_empty()).map(part).collect()
    }

    /// What lies over the room where none of the others does, when they lie above.
    pub(super) fn roof(&self) -> Option<Part> {
        let mut pieces = self.uncovered();
        if self.others.is_some() {
            pieces.retain(|piece| !is_sliver(piece));
        }
        let own = std::slice::from_ref(&self.room.face);
        (!pieces.is_empty()).then(|| Part::new(None, pieces, without(own, &self.faces(|_| true))))
    }

    /// The one of the others that covers all that is clear of the room, where that shows without an overlay: most rooms stand above rooms without inward corners.
    fn covered_by(&self) -> Option<usize> {
        let corners = || self.room.clear.iter().flatten().flatten();
        self.others.iter().flatten().position(|other| holds_all(&other.face, corners()))
    }

    /// The part of the room up to the middle lines of its walls that lies over one of the others.
    fn reach_over(&self, at: usize) -> Vec<Shape> {
        let (own, other) = (&self.room.face, &self.others.iter().flatten().nth(at).map(|other| &other.face));
        match other {
            Some(other) if holds_all(other, own.iter().flatten()) => vec![own.clone()],
            Some(other) => common(std::slice::from_ref(own), std::slice::from_ref(other)),
            None => vec![],
        }
    }

    fn faces(&self, which: impl Fn(&Outline) -> bool) -> Vec<Shape> {
        self.others.iter().flatten().filter(|other| which(other)).map(|other| other.face.clone()).collect()
    }

    /// The clear part of the room that no other covers.
    fn uncovered(&self) -> Vec<Shape> {
        if self.others.is_none() {
            return self.room.clear.clone();
        }
        if self.covered_by().is_some() {
            return vec![];
        }
        without(&self.room.clear, &self.faces(|other| other.reaches_clear_of(&self.room)))
    }
}

impl Part {
    fn new(over: Option<usize>, pieces: Vec<Shape>, reach: Vec<Shape>) -> Self {
        let area_m2 = total_area(&pieces);
        let size_m = rectangle_like(area_m2, total_perimeter(&pieces));
        let corners = pieces.iter().chain(&reach).flatten().flatten().copied();
        let extent = Extent::round(corners, ROUNDING_M);
        Self { over, footprint: Arc::new(Footprint { pieces, reach, extent }), area_m2, size_m }
    }
}

/// Gives every sliver to the largest piece it touches, or to the largest of all; nothing happens when there are only slivers.
fn absorb_slivers(parts: &mut [Vec<Shape>]) {
    let mut slivers: Vec<Shape> = vec![];
    if parts.iter().flatten().all(is_sliver) {
        return;
    }
    for part in parts.iter_mut() {
        slivers.extend(part.extract_if(.., |shape| is_sliver(shape)));
    }
    for sliver in slivers {
        let largest = |touching: bool| {
            let mut best: Option<(usize, f64)> = None;
            for (at, part) in parts.iter().enumerate() {
                for shape in part.iter().filter(|shape| !touching || touches(shape, &sliver)) {
                    if best.is_none_or(|(_, most)| area(shape) > most) {
                        best = Some((at, area(shape)));
                    }
                }
            }
            best.map(|(at, _)| at)
        };
        if let Some(at) = largest(true).or_else(|| largest(false)) {
            parts[at] = joined(&parts[at], &sliver);
        }
    }
}

/// Whether the sliver has a corner or the middle of a side within a millimetre of the shape.
fn touches(shape: &Shape, sliver: &Shape) -> bool {
    let near = |point: [f64; 2]| {
        contains(shape, point)
            || shape.iter().flat_map(|ring| sides(ring)).any(|(a, b)| distance_to_segment(point, a, b) < 1e-3)
    };
    sliver.iter().flat_map(|ring| sides(ring)).any(|(a, b)| near(middle(a, b)))
}
