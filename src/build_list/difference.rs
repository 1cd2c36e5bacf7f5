//! What differs between two scenes, as jobs: walls, floors and roofs here, all else in the files beside.

use super::face::Face;
use super::frame;
use super::model::{Drawn, JobKind};
use super::shop::Shop;
use super::want::{Draft, Want};
use super::{fittings, openings, shells};
use crate::building::{Building, Element, ElementShape, RoomSpace, SlabRole, SpaceIndex, SpaceKind};
use crate::catalogue::goods::Part;
use crate::catalogue::{Build, Construction, Layer};
use crate::scene::{Cover, Workmanship};

/// Ends of a wall that lie so near to another's line are on it, m.
const ON_LINE_M: f64 = 0.05;

/// Two scenes, element by element.
pub(super) struct Pair<'a> {
    pub before: Drawn<'a>,
    pub after: Drawn<'a>,
    pub shop: Shop<'a>,
    /// For each element of the other building the one it was.
    matched: Vec<Option<&'a Element>>,
}

/// All jobs in the order of work, and what is only in the first scene.
pub(super) fn drafts<'a>(before: Drawn<'a>, after: Drawn<'a>) -> (Vec<Draft<'a>>, Vec<String>) {
    let mut by_id: Vec<&Element> = before.building.elements.iter().collect();
    by_id.sort_by(|a, b| a.id.cmp(&b.id));
    let was = |element: &Element| {
        let same = by_id.binary_search_by(|before| before.id.cmp(&element.id)).ok().map(|at| by_id[at]);
        same.or_else(|| before.building.elements.iter().find(|before| stands_for(before, element)))
    };
    let matched = after.building.elements.iter().map(was).collect();
    let pair = Pair { before, after, shop: Shop::of(after.scene), matched };
    let (mut drafts, mut out) = (vec![], vec![]);
    for (element, was) in pair.elements() {
        structure(&pair, element, was, &mut drafts, &mut out);
    }
    let built = &after.building.elements;
    for gone in by_id {
        let is_wall = matches!(gone.shape, ElementShape::Wall { .. });
        let stands = || pair.matched.iter().flatten().any(|was| std::ptr::eq(*was, gone));
        if is_wall && !stands() && !built.iter().any(|element| stands_for(gone, element)) {
            out.push(gone.name.clone());
        }
    }
    shells::drafts(&pair, &mut drafts, &mut out);
    openings::drafts(&pair, &mut drafts, &mut out);
    fittings::drafts(&pair, &mut drafts, &mut out);
    drafts.retain(|draft| !draft.wants.is_empty());
    drafts.sort_by_key(|draft| draft.kind);
    (drafts, out)
}

impl<'a> Pair<'a> {
    /// The elements of the other building, each with what it was.
    pub(super) fn elements(&self) -> impl Iterator<Item = (&'a Element, Option<&'a Element>)> + use<'a, '_> {
        self.after.building.elements.iter().zip(self.matched.iter().copied())
    }

    /// A construction of the first scene.
    pub(super) fn construction_before(&self, id: &str) -> Option<&'a Construction> {
        self.shop.catalogue.resolve(&self.before.scene.constructions, id)
    }

    /// A room's name in the other scene.
    pub(super) fn name(&self, space: SpaceIndex) -> &'a str {
        &self.after.building.spaces[space.0].name
    }

    /// The side of an element in the first scene that looks at the room which `side` of the other looks at.
    pub(super) fn side_before(&self, element: &Element, side: usize, was: &Element) -> Option<usize> {
        let room = &room_of(self.after.building, element.sides[side])?.room;
        let looks =
            |side: &usize| room_of(self.before.building, was.sides[*side]).is_some_and(|before| before.room == *room);
        // The same side first: a wall may have the same room on both.
        [side, 1 - side].into_iter().find(looks)
    }
}

/// The room a space is.
pub(super) fn room_of(building: &Building, space: SpaceIndex) -> Option<&RoomSpace> {
    match &building.spaces.get(space.0)?.kind {
        SpaceKind::Room(room) => Some(room),
        SpaceKind::Outdoors | SpaceKind::Ground => None,
    }
}

/// True where an element is part of what stood there before, though new walls gave it another name.
fn stands_for(before: &Element, after: &Element) -> bool {
    match (&before.shape, &after.shape) {
        (ElementShape::Wall { line: before_line, level_m: before_m, .. }, ElementShape::Wall { line, level_m, .. }) => {
            let [from, to] = *before_line;
            let along = [to[0] - from[0], to[1] - from[1]];
            let length = along[0].hypot(along[1]).max(1e-9);
            let lies = |at: &[f64; 2]| {
                let off = [at[0] - from[0], at[1] - from[1]];
                let across = (along[0] * off[1] - along[1] * off[0]).abs() / length;
                let part = (along[0] * off[0] + along[1] * off[1]) / length;
                across < ON_LINE_M && (-ON_LINE_M..=length + ON_LINE_M).contains(&part)
            };
            (before_m - level_m).abs() < ON_LINE_M && line.iter().all(lies)
        }
        (ElementShape::Slab { role: before_role, level_m: before_m, .. }, ElementShape::Slab { role, level_m, .. }) => {
            before_role == role && (before_m - level_m).abs() < 0.5 && before.construction == after.construction
        }
        _ => false,
    }
}

/// An element's face, with its openings where they are `open`.
pub(super) fn face_of(element: &Element, height_m: f64, open: impl Fn(usize) -> bool, step_m: f64) -> Face {
    match &element.shape {
        ElementShape::Wall { line: [from, to], height_m: whole_m, .. } => {
            let length_m = element.area_m2 / whole_m.max(0.01);
            let along = [to[0] - from[0], to[1] - from[1]];
            let between_m = along[0].hypot(along[1]).max(1e-9);
            let start_m = 0.5 * (between_m - length_m);
            let openings = element.openings.iter().enumerate().filter(|(at, _)| open(*at));
            let holes = openings.map(|(_, opening)| {
                let off = [opening.at[0] - from[0], opening.at[1] - from[1]];
                let middle = (along[0] * off[0] + along[1] * off[1]) / between_m - start_m;
                let [wide, high] = opening.size_m;
                let low = opening.sill_m - step_m;
                [middle - 0.5 * wide, low, middle + 0.5 * wide, low + high]
            });
            Face::wall(length_m, height_m.min(*whole_m), holes.collect())
        }
        ElementShape::Slab { pieces, .. } => {
            let rings: Vec<Vec<[f64; 2]>> = pieces.iter().flatten().cloned().collect();
            Face::slab(&rings)
        }
    }
}

/// A wall, floor or roof that is new, or built otherwise.
fn structure<'a>(
    pair: &Pair<'a>,
    element: &'a Element,
    was: Option<&'a Element>,
    drafts: &mut Vec<Draft<'a>>,
    out: &mut Vec<String>,
) {
    let Some(now) = pair.shop.construction(&element.construction) else { return };
    let before = was.and_then(|was| pair.construction_before(&was.construction));
    if let (Some(was), Some(before)) = (was, before)
        && before == now
    {
        return better_made(element, was, drafts);
    }
    // The ground under a room that is drawn anew is no work of this kind: nothing says what was there.
    if matches!(element.shape, ElementShape::Slab { role: SlabRole::Ground, .. }) && was.is_none() {
        return;
    }
    let face = face_of(element, f64::INFINITY, |_| true, 0.0);
    let what = if was.is_some() { "rebuild it as" } else { "build" };
    let mut draft = Draft::new(JobKind::Structure, format!("{what} {}", now.name), element.name.clone());
    draft.cautions.push(&now.caution);
    draft.stands_in = carried_by(pair.after.building, element);
    let (Build::Layers(layers), old) = (&now.build, before.map_or(&[][..], layers)) else {
        draft.wants.push(Want::Built(now, face.area_m2()));
        draft.face = face;
        drafts.push(draft);
        return;
    };
    let first = layers.iter().zip(old).take_while(|(now, old)| is_same(now, old)).count();
    let last = layers[first..].iter().rev().zip(old[first..].iter().rev());
    let last = last.take_while(|(now, old)| is_same(now, old)).count();
    let (added, gone) = (&layers[first..layers.len() - last], &old[first..old.len() - last]);
    if was.is_some() && (first + last > 0) {
        draft.title = if gone.is_empty() { format!("add layers: {}", now.name) } else { draft.title };
    } else {
        draft.instead = Some(now);
    }
    let thrown = gone.iter().filter_map(|layer| sheet_name(pair, layer));
    out.extend(thrown.map(|name| format!("{name} ({})", element.name)));
    if was.is_some() && first + last == 0 {
        let name = before.map_or("", |before| before.name.as_str());
        out.push(format!("{name} ({})", element.name));
    }
    let framed = first + last > 0 && before.is_some_and(frame::is_framed);
    let fills: Vec<_> = gone.iter().filter_map(fill).collect();
    let shop = &pair.shop;
    let mass = |layers: &[Layer]| {
        layers.iter().map(|layer| layer.mass_per_area_kg_m2(shop.catalogue).unwrap_or(0.0)).sum::<f64>()
    };
    for (at, layer) in added.iter().enumerate() {
        let Layer::Cavity { bridge, .. } = layer else { continue };
        // What hangs on it is the lighter side.
        let carried = mass(&layers[first + at + 1..]).min(mass(&layers[..first + at]));
        let neighbours = [layers.get((first + at).wrapping_sub(1)), layers.get(first + at + 1)];
        let boarded = neighbours.into_iter().flatten().any(|layer| frame::is_board(shop, layer));
        frame::between(&face, *bridge, framed, boarded, carried, &mut draft.wants);
        if let Some((material, mm)) = fill(layer)
            && !fills.contains(&(material, mm))
        {
            draft.wants.push(Want::Fill(material, mm, face.area_m2()));
        }
    }
    let boards = frame::all_layers(shop, added.iter(), &mut draft.wants);
    frame::edges(&face, boards, true, &mut draft.wants);
    draft.face = face;
    drafts.push(draft);
}

/// The layers of a construction; none of one that was measured as a whole.
pub(super) fn layers(construction: &Construction) -> &[Layer] {
    match &construction.build {
        Build::Layers(layers) => layers,
        _ => &[],
    }
}

fn fill(layer: &Layer) -> Option<(&str, f64)> {
    let Layer::Cavity { fill: Some((material, mm)), .. } = layer else { return None };
    Some((material, *mm))
}

/// True for layers that need not be touched, however they were said to be bonded.
pub(super) fn is_same(one: &Layer, other: &Layer) -> bool {
    match (one, other) {
        (Layer::Sheet { material, thickness_mm, .. }, Layer::Sheet { material: other, thickness_mm: other_mm, .. }) => {
            material == other && thickness_mm == other_mm
        }
        _ => one == other,
    }
}

fn sheet_name(pair: &Pair<'_>, layer: &Layer) -> Option<String> {
    let Layer::Sheet { material, thickness_mm, .. } = layer else { return None };
    let name = pair.shop.material(material).map_or(material.as_str(), |material| material.name.as_str());
    Some(format!("{name} {thickness_mm} mm"))
}

/// The same build, better made: its edge is closed, or what was held fast is set free.
fn better_made(element: &Element, was: &Element, drafts: &mut Vec<Draft<'_>>) {
    if element.workmanship >= was.workmanship {
        return;
    }
    let face = face_of(element, f64::INFINITY, |_| true, 0.0);
    let mut draft = Draft::new(JobKind::Seal, "close the open edge".to_owned(), element.name.clone());
    draft.wants.push(Want::Part(Part::Sealant, 2.0 * face.edge_m()));
    if matches!(was.workmanship, Workmanship::Bridged | Workmanship::ShortCircuited) {
        draft.title = "set free what is held fast, and close the edge".to_owned();
        draft.wants.push(Want::Unknown("taking it down and putting it up again".to_owned(), face.area_m2(), "m²"));
    }
    drafts.push(draft);
}

/// The room whose floor carries it: of a wall the one on its left, of a floor the one above.
fn carried_by(building: &Building, element: &Element) -> Option<SpaceIndex> {
    let roof = matches!(element.shape, ElementShape::Slab { role: SlabRole::Roof, .. });
    element.sides.into_iter().find(|side| !roof && room_of(building, *side).is_some())
}

/// Covers compared without how well they are made.
pub(super) fn as_drawn(cover: &Cover) -> Cover {
    Cover { workmanship: Workmanship::Usual, ..cover.clone() }
}
