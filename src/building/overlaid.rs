//! The rooms of one storey laid over those of the storey below: what each stands on, and what no room covers.

use std::sync::Arc;

use super::geometry::{
    Shape, area, common, contains, distance_to_segment, is_sliver, joined, middle, rectangle_like, sides, total_area,
    total_perimeter, without,
};
use super::plan::Outline;

/// The rooms over and under a level. None above: the highest, or nothing is drawn there; none below likewise.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Over {
    pub upper: Vec<Arc<Outline>>,
    pub lower: Vec<Arc<Outline>>,
}

/// What lies between them.
#[derive(Debug, Clone)]
pub(super) struct Overlaid {
    /// For each upper room what it stands on.
    pub floors: Vec<Vec<Part>>,
    /// For each lower room the part that no room covers, if there is one.
    pub roofs: Vec<Option<Part>>,
}

/// A part of a room's floor or roof.
#[derive(Debug, Clone)]
pub(super) struct Part {
    /// The lower room it lies over, as position in its list; nothing where there is none, and for a roof.
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
}

impl Over {
    /// Lays the rooms over one another.
    pub(super) fn laid(&self) -> Overlaid {
        let faces = |rooms: &[Arc<Outline>]| rooms.iter().map(|room| room.face.clone()).collect::<Vec<Shape>>();
        let (above, below) = (faces(&self.upper), faces(&self.lower));
        Overlaid {
            floors: self.upper.iter().map(|room| floor(room, &below)).collect(),
            roofs: self.lower.iter().map(|room| roof(room, &above)).collect(),
        }
    }
}

/// What a room stands on, when these are the faces below.
fn floor(room: &Outline, below: &[Shape]) -> Vec<Part> {
    let mut parts: Vec<Vec<Shape>> = below.iter().map(|face| common(&room.clear, std::slice::from_ref(face))).collect();
    parts.push(if below.is_empty() { room.clear.clone() } else { without(&room.clear, below) });
    absorb_slivers(&mut parts);
    let own = std::slice::from_ref(&room.face);
    let part = |(at, pieces): (usize, Vec<Shape>)| match below.get(at) {
        Some(face) => Part::new(Some(at), pieces, common(own, std::slice::from_ref(face))),
        None => Part::new(None, pieces, without(own, below)),
    };
    parts.into_iter().enumerate().filter(|(_, pieces)| !pieces.is_empty()).map(part).collect()
}

/// What lies over a room where no other room does, when these are the faces above.
fn roof(room: &Outline, above: &[Shape]) -> Option<Part> {
    let mut pieces = if above.is_empty() { room.clear.clone() } else { without(&room.clear, above) };
    if !above.is_empty() {
        pieces.retain(|piece| !is_sliver(piece));
    }
    (!pieces.is_empty()).then(|| Part::new(None, pieces, without(std::slice::from_ref(&room.face), above)))
}

impl Part {
    fn new(over: Option<usize>, pieces: Vec<Shape>, reach: Vec<Shape>) -> Self {
        let area_m2 = total_area(&pieces);
        let size_m = rectangle_like(area_m2, total_perimeter(&pieces));
        Self { over, footprint: Arc::new(Footprint { pieces, reach }), area_m2, size_m }
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
