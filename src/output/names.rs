//! What the faces, spaces and storeys of an answer are called.

use std::collections::{BTreeMap, BTreeSet};

use super::words::noun;
use crate::building::{
    Building, ElementIndex, ElementShape, OpeningFront, PlacedOpening, RoomSpace, SpaceIndex, SpaceKind,
};
use crate::scene::Scene;
use crate::solve::{ListenerAnswer, Surface};

/// A face: "wall between rehearsal room and landing", "landing door", "gap round landing door".
#[must_use]
pub fn surface(building: &Building, face: Surface) -> String {
    let name = |at, index| opening(building, at, index).map_or("opening", |opening| opening.name.as_str());
    match face {
        Surface::Element(at) => {
            building.elements.get(at.0).map_or_else(|| "element".to_owned(), |element| element.name.clone())
        }
        Surface::Opening(at, index) => name(at, index).to_owned(),
        Surface::Gap(at, index) => opening(building, at, index).map_or_else(|| "gap round the opening".to_owned(), gap),
        Surface::Duct(at) => building.ducts.get(at).map_or_else(|| "duct".to_owned(), |duct| duct.name.clone()),
        Surface::Air => "air of the room".to_owned(),
        Surface::Building => "the building as a whole".to_owned(),
    }
}

/// What the faces of an answer are called: one name for one thing, and no two things of one name, whichever side they are seen from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Naming(BTreeMap<Surface, String>);

impl Naming {
    /// Names for all faces the sound of a listener passes: as short as they can be and still differ, as somebody in the loud room would say them.
    #[must_use]
    pub fn of(building: &Building, heard: &ListenerAnswer) -> Self {
        let rooms: BTreeSet<SpaceIndex> = heard.paths.iter().map(|path| path.source_space).collect();
        // Of several loud rooms each has its floor: whole names tell them apart.
        let loud = rooms.first().copied().filter(|_| rooms.len() == 1);
        let faces: BTreeSet<Surface> = heard.paths.iter().flat_map(|path| [path.entry, path.exit]).collect();
        let mut open: Vec<(Surface, Vec<String>)> =
            faces.into_iter().map(|face| (face, choices(building, face, loud, heard.space))).collect();
        let mut names = BTreeMap::new();
        while let Some(most) = open.iter().map(|(_, choices)| choices.len()).max() {
            let mut counts: BTreeMap<String, usize> = BTreeMap::new();
            for (_, choices) in &open {
                *counts.entry(choices[0].clone()).or_default() += 1;
            }
            open.retain_mut(|(face, choices)| {
                let several = counts[&choices[0]] > 1 || names.values().any(|name| *name == choices[0]);
                if several && most > 1 {
                    if choices.len() > 1 {
                        choices.remove(0);
                    }
                    return true;
                }
                let mut name = choices[0].clone();
                for number in 2.. {
                    if !names.values().any(|other| *other == name) {
                        break;
                    }
                    name = format!("{} ({number})", choices[0]);
                }
                names.insert(*face, name);
                false
            });
        }
        Self(names)
    }

    /// The name of a face, with its article: "the floor", "the wall to the landing".
    #[must_use]
    pub fn noun(&self, building: &Building, face: Surface) -> String {
        noun(&self.plain(building, face))
    }

    /// The name of a face: "floor", "wall to the landing", "gap round the landing door".
    #[must_use]
    pub fn plain(&self, building: &Building, face: Surface) -> String {
        self.0.get(&face).cloned().unwrap_or_else(|| surface(building, face))
    }
}

/// Names a face can have, the shortest first.
fn choices(building: &Building, face: Surface, loud: Option<SpaceIndex>, here: SpaceIndex) -> Vec<String> {
    let whole = surface(building, face);
    let Some(element) = face.element().and_then(|at| building.elements.get(at.0)) else { return vec![whole] };
    let mut found = vec![];
    match (face, loud) {
        (Surface::Element(_), Some(room)) if element.sides.contains(&room) => {
            found.extend([seen_briefly(building, face, room), seen_from(building, face, room)]);
        }
        (Surface::Element(_), Some(_)) if element.sides.contains(&here) && !is_wall(building, face) => {
            found.push(format!("{} of {}", seen_briefly(building, face, here), noun(space(building, here))));
        }
        (Surface::Element(_), _) => {}
        _ => {
            found.push(whole.clone());
            let room = element.sides.iter().find(|side| room(building, **side).is_some());
            found.extend(room.map(|room| format!("{whole} of {}", noun(space(building, *room)))));
            return found;
        }
    }
    found.push(whole);
    found.dedup();
    found
}

/// What leaks round an opening: "gap round and under the landing door", "gaps round the window and its cover".
fn gap(opening: &PlacedOpening) -> String {
    let name = noun(&opening.name);
    if is_covered(opening) {
        format!("gaps round {name} and its cover")
    } else if opening.undercut_mm > 0.0 {
        format!("gap round and under {name}")
    } else {
        format!("gap round {name}")
    }
}

/// A face as someone in a space names it: "wall to landing", "ceiling under loft", "floor over bookshop", "outer wall".
/// Openings and gaps keep their names; an element that does not face the space, or faces it from outdoors, keeps its own.
pub(crate) fn seen_from(building: &Building, face: Surface, from: SpaceIndex) -> String {
    facing(building, face, from, true)
}

/// As [`seen_from`], but floors and ceilings without the room beyond them.
pub(crate) fn seen_briefly(building: &Building, face: Surface, from: SpaceIndex) -> String {
    facing(building, face, from, false)
}

fn facing(building: &Building, face: Surface, from: SpaceIndex, whole: bool) -> String {
    let Surface::Element(at) = face else { return surface(building, face) };
    let Some(element) = building.elements.get(at.0) else { return surface(building, face) };
    let Some(side) = element.sides.iter().position(|side| *side == from).filter(|_| room(building, from).is_some())
    else {
        return element.name.clone();
    };
    let beyond = element.sides[1 - side];
    let (other, inside) = (space(building, beyond), room(building, beyond).is_some());
    match &element.shape {
        ElementShape::Wall { .. } if inside => format!("wall to {}", noun(other)),
        ElementShape::Wall { .. } => {
            // Where a room has several outer walls, the name tells them apart in brackets.
            let which = element.name.rfind('(').filter(|_| element.name.ends_with(')'));
            which.map_or_else(|| "outer wall".to_owned(), |at| format!("outer wall {}", &element.name[at..]))
        }
        ElementShape::Slab { .. } => match (side, inside) {
            (0, true) if whole => format!("floor over {}", noun(other)),
            (0, _) => "floor".to_owned(),
            (_, true) if whole => format!("ceiling under {}", noun(other)),
            (_, true) => "ceiling".to_owned(),
            (_, false) => "roof".to_owned(),
        },
    }
}

/// Which part of an element a face is, as JSON and CSV say it: "element", "opening", "gap", "air"; or "duct", "building".
#[must_use]
pub fn part(face: Surface) -> &'static str {
    match face {
        Surface::Element(_) => "element",
        Surface::Opening(..) => "opening",
        Surface::Gap(..) => "gap",
        Surface::Duct(_) => "duct",
        Surface::Air => "air",
        Surface::Building => "building",
    }
}

/// The stable id of a face: the element's, with the opening's behind a colon; "duct:" and its id for a duct, "air" for none, "building" for no one face.
#[must_use]
pub fn id(building: &Building, face: Surface) -> String {
    let element = |at: usize| building.elements.get(at).map_or("", |element| element.id.as_str());
    match face {
        Surface::Element(at) => element(at.0).to_owned(),
        Surface::Opening(at, index) | Surface::Gap(at, index) => {
            let opening = opening(building, at, index).map_or("", |opening| opening.opening.0.as_str());
            format!("{}:{opening}", element(at.0))
        }
        Surface::Duct(at) => format!("duct:{}", building.ducts.get(at).map_or("", |duct| duct.duct.0.as_str())),
        Surface::Air => "air".to_owned(),
        Surface::Building => "building".to_owned(),
    }
}

/// A space by its name; "" beyond the building's end.
#[must_use]
pub fn space(building: &Building, at: SpaceIndex) -> &str {
    building.spaces.get(at.0).map_or("", |space| space.name.as_str())
}

/// Which storey a face is on, or which two it divides.
#[must_use]
pub fn storeys(scene: &Scene, building: &Building, face: Surface) -> Option<String> {
    let on = on_storeys(building, face).into_iter();
    let mut found: Vec<&str> = on.filter_map(|at| scene.storeys.get(at)).map(|storey| storey.name.as_str()).collect();
    found.dedup();
    (!found.is_empty()).then(|| found.join(" / "))
}

/// The storeys of a wall, of the ends of a duct, or of the rooms over and under a slab: positions in the scene.
pub(crate) fn on_storeys(building: &Building, face: Surface) -> Vec<usize> {
    if let Surface::Duct(at) = face {
        return building.ducts.get(at).into_iter().flat_map(|duct| duct.ends.iter().map(|end| end.storey)).collect();
    }
    let Some(element) = face.element().and_then(|at| building.elements.get(at.0)) else { return vec![] };
    match &element.shape {
        ElementShape::Wall { storey, .. } => vec![*storey],
        ElementShape::Slab { .. } => {
            element.sides.iter().filter_map(|side| room(building, *side)).map(|room| room.storey).collect()
        }
    }
}

/// An opening of an element; nothing beyond their ends.
pub(crate) fn opening(building: &Building, element: ElementIndex, at: usize) -> Option<&PlacedOpening> {
    building.elements.get(element.0)?.openings.get(at)
}

/// The room a space is; nothing for the outdoors, the ground, and beyond the building's end.
pub(crate) fn room(building: &Building, at: SpaceIndex) -> Option<&RoomSpace> {
    match &building.spaces.get(at.0)?.kind {
        SpaceKind::Room(room) => Some(room),
        SpaceKind::Outdoors | SpaceKind::Ground => None,
    }
}

/// True for a wall and what is in it.
pub(crate) fn is_wall(building: &Building, face: Surface) -> bool {
    let element = face.element().and_then(|at| building.elements.get(at.0));
    element.is_some_and(|element| matches!(element.shape, ElementShape::Wall { .. }))
}

/// True for an opening with a cover on.
pub(crate) fn is_covered(opening: &PlacedOpening) -> bool {
    opening.fronts.iter().flatten().any(|front| matches!(front, OpeningFront::Cover(cover) if cover.on))
}

/// Every face of a building that sound can pass: its elements, each with its openings and the gaps round them, then its ducts.
pub(crate) fn faces(building: &Building) -> impl Iterator<Item = Surface> + '_ {
    let elements = building.elements.iter().enumerate().flat_map(|(at, element)| {
        let at = ElementIndex(at);
        let openings =
            (0..element.openings.len()).flat_map(move |index| [Surface::Opening(at, index), Surface::Gap(at, index)]);
        std::iter::once(Surface::Element(at)).chain(openings)
    });
    elements.chain((0..building.ducts.len()).map(Surface::Duct))
}
