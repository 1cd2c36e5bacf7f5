//! Where something can be done about a loud room, and what.

use std::collections::BTreeSet;

use super::measure::{Does, Measure, built_in};
use crate::building::{ElementIndex, ElementShape, OpeningFront, PlacedOpening, SpaceIndex, SpaceKind, marker_of};
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::project::Solved;
use crate::scene::{Cover, Edit, RoomId, Scene, ShellFace, ShellOpening, Source, SourceId, Touches, WallId};
use crate::solve::{PathKind, PathRecord, Surface};

/// A piece of a cover that one strong person lifts, kg. Source: HSE, Manual handling at work, lifting and lowering risk filter (from memory, unverified).
const PIECE_KG: f64 = 25.0;
/// A cover is split into so many pieces across and up at most.
const MOST_PIECES: u32 = 3;

/// Somewhere one of several things can be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// What it is.
    pub kind: PlaceKind,
    /// What can be done there, one at a time.
    pub choices: Vec<Choice>,
}

/// What a place is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlaceKind {
    /// An opening: element and position.
    Opening(ElementIndex, usize),
    /// A wall of a room, in so many elements.
    Wall(SpaceIndex, Vec<ElementIndex>),
    /// The ceiling of a room.
    Ceiling(SpaceIndex),
    /// The floor of a room.
    Floor(SpaceIndex),
    /// All that touches the floor of a room.
    Under(SpaceIndex),
    /// A room as a whole.
    Room(SpaceIndex),
}

/// Something that can be done at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The measure.
    pub measure: &'static Measure,
    /// What it does to the scene.
    pub edits: Vec<Edit>,
}

impl PlaceKind {
    /// True for a path that what is done here changes by itself, beside what it does to the level in the room.
    pub(super) fn holds(&self, solved: &Solved, path: &PathRecord) -> bool {
        let slab = |element: ElementIndex, room: SpaceIndex, side: usize| {
            let element = &solved.building.elements[element.0];
            matches!(element.shape, ElementShape::Slab { .. }) && element.sides[side] == room
        };
        let structure_borne = path.kind == PathKind::StructureBorne;
        match (self, path.entry) {
            (Self::Opening(element, at), Surface::Opening(entry, number) | Surface::Gap(entry, number)) => {
                (*element, *at) == (entry, number)
            }
            (Self::Wall(room, elements), Surface::Element(entry)) => {
                path.source_space == *room && elements.contains(&entry)
            }
            (Self::Ceiling(room), Surface::Element(entry)) => path.source_space == *room && slab(entry, *room, 1),
            (Self::Floor(room), Surface::Element(entry)) => {
                !structure_borne && path.source_space == *room && slab(entry, *room, 0)
            }
            (Self::Under(room), Surface::Element(entry)) => {
                structure_borne && path.source_space == *room && slab(entry, *room, 0)
            }
            _ => false,
        }
    }

    /// The place whose choice decides how much a choice here brings: a lining before a door, a deck under a platform.
    pub(super) fn depends_on(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Opening(element, _), Self::Wall(_, elements)) => elements.contains(element),
            (Self::Under(room), Self::Floor(other)) => room == other,
            _ => false,
        }
    }
}

/// All places of the loud rooms of a scene, with what fits there: what is built there already is left alone.
#[must_use]
pub fn places(solved: &Solved, removable_only: bool) -> Vec<Place> {
    let rooms = loud_rooms(solved);
    let measures = || built_in().iter().filter(|measure| measure.removable || !removable_only);
    let mut found = vec![];
    for (room, id) in &rooms {
        let scope = Scope { solved, room: *room, id, catalogue: Catalogue::built_in_ref() };
        scope.walls(&measures, &mut found);
        scope.openings(&measures, &mut found);
        scope.slabs(&measures, &mut found);
        scope.whole(&measures, &mut found);
    }
    // What stands on the floor follows what is done to the floor, and what is set into a wall what is done to the wall, even where nothing can be done
    // with them.
    let follows = |kind: &PlaceKind| matches!(kind, PlaceKind::Under(_) | PlaceKind::Opening(..));
    found.retain(|place| !place.choices.is_empty() || follows(&place.kind));
    found
}

/// The rooms something sounds in.
pub(super) fn loud_rooms(solved: &Solved) -> Vec<(SpaceIndex, RoomId)> {
    let rooms = solved.building.spaces.iter().zip(&solved.answer.spaces).enumerate();
    rooms
        .filter_map(|(at, (space, answer))| match &space.kind {
            SpaceKind::Room(room) if answer.has_source && marker_of(&solved.scene, &room.room).is_some() => {
                Some((SpaceIndex(at), room.room.clone()))
            }
            _ => None,
        })
        .collect()
}

/// A loud room.
struct Scope<'a> {
    solved: &'a Solved,
    room: SpaceIndex,
    id: &'a RoomId,
    catalogue: &'a Catalogue,
}

impl Scope<'_> {
    fn scene(&self) -> &Scene {
        &self.solved.scene
    }

    fn kind_of(&self, construction: &str) -> Option<ConstructionKind> {
        let own = self.scene().constructions.iter().find(|own| own.id == construction);
        own.or_else(|| self.catalogue.construction(construction).ok()).map(|found| found.kind)
    }

    /// Walls round the room: elements that share a wall of the scene are one.
    fn wall_groups(&self) -> Vec<(Vec<ElementIndex>, BTreeSet<WallId>)> {
        let mut groups: Vec<(Vec<ElementIndex>, BTreeSet<WallId>)> = vec![];
        for at in self.solved.building.facing(self.room) {
            let ElementShape::Wall { walls, .. } = &self.solved.building.elements[at.0].shape else { continue };
            let mut merged = (vec![at], walls.iter().cloned().collect::<BTreeSet<_>>());
            groups.retain(|(elements, ids)| {
                let apart = ids.is_disjoint(&merged.1);
                if !apart {
                    merged.0.extend(elements);
                    merged.1.extend(ids.iter().cloned());
                }
                apart
            });
            groups.push(merged);
        }
        groups
    }

    fn walls<I: Iterator<Item = &'static Measure>>(&self, measures: &dyn Fn() -> I, found: &mut Vec<Place>) {
        for (elements, walls) in self.wall_groups() {
            let built = |at: &ElementIndex| {
                let element = &self.solved.building.elements[at.0];
                element.fronts.iter().zip(element.sides).any(|(front, side)| front.is_some() && side == self.room)
            };
            if elements.iter().any(built) {
                continue;
            }
            let lined = |measure: &'static Measure| match &measure.does {
                Does::Lining { face, door, window } => {
                    let mut edits: Vec<Edit> =
                        walls.iter().map(|wall| Edit::ShellWall(self.id.clone(), wall.clone(), face.clone())).collect();
                    for opening in elements.iter().flat_map(|at| &self.solved.building.elements[at.0].openings) {
                        edits.extend(self.leaf(opening, [door, window]));
                    }
                    Some(Choice { measure, edits })
                }
                _ => None,
            };
            let choices = measures().filter_map(lined).collect();
            found.push(Place { kind: PlaceKind::Wall(self.room, elements), choices });
        }
    }

    /// The door or window of a lining before one of the wall's.
    fn leaf(&self, opening: &PlacedOpening, leaves: [&(String, String); 2]) -> Option<Edit> {
        let (construction, seal) = match self.kind_of(&opening.construction)? {
            ConstructionKind::Door => (leaves[0].0.clone(), Some(leaves[0].1.clone())),
            ConstructionKind::Window => (leaves[1].0.clone(), Some(leaves[1].1.clone())),
            _ => return None,
        };
        let (before, workmanship) = (opening.opening.clone(), Default::default());
        let leaf = ShellOpening { before, construction, seal, undercut_mm: 0.0, workmanship };
        Some(Edit::ShellOpening(self.id.clone(), leaf))
    }

    fn openings<I: Iterator<Item = &'static Measure>>(&self, measures: &dyn Fn() -> I, found: &mut Vec<Place>) {
        let building = &self.solved.building;
        for at in building.facing(self.room) {
            for (number, opening) in building.elements[at.0].openings.iter().enumerate() {
                // What a shell or cover stands before already is somebody's choice; a cover that is off stands aside.
                let stands = |front: &OpeningFront| !matches!(front, OpeningFront::Cover(cover) if !cover.on);
                let taken = opening.fronts.iter().flatten().any(stands);
                let choices = measures()
                    .filter(|_| !taken)
                    .filter_map(|measure| Some(Choice { measure, edits: self.at_opening(measure, opening)? }));
                found.push(Place { kind: PlaceKind::Opening(at, number), choices: choices.collect() });
            }
        }
    }

    fn at_opening(&self, measure: &Measure, opening: &PlacedOpening) -> Option<Vec<Edit>> {
        let storey = &self.scene().storeys[opening.storey].id;
        let id = || format!("{storey}/{}", opening.opening).as_str().into();
        let kind = self.kind_of(&opening.construction)?;
        let sealed = |seal: &String| Edit::Seal(id(), seal.clone(), 0.0);
        let gap_mm = |seal: &str| self.catalogue.seals.get(seal).map_or(0.0, |seal| seal.gap_mm);
        match &measure.does {
            Does::Seal { seal, kinds } => {
                let now_mm = opening.seal.as_deref().map(gap_mm)? + opening.undercut_mm;
                (kinds.contains(&kind) && gap_mm(seal) < now_mm).then(|| vec![sealed(seal)])
            }
            Does::Replace { construction, seal, kinds, instead_of } => {
                let fits = kinds.contains(&kind)
                    && *construction != opening.construction
                    && (instead_of.is_empty() || instead_of.contains(&opening.construction));
                let edit = Edit::Opening(id(), construction.clone());
                fits.then(|| std::iter::once(edit).chain(seal.iter().map(sealed)).collect())
            }
            Does::Cover(cover) if kind == ConstructionKind::Window => {
                let cover = Cover { room: Some(self.id.clone()), on: true, ..cover.clone() };
                Some(vec![Edit::Cover(id(), self.split(cover, opening.size_m)?)])
            }
            _ => None,
        }
    }

    /// A cover in as few pieces as one strong person lifts.
    fn split(&self, cover: Cover, size_m: [f64; 2]) -> Option<Cover> {
        let construction = self.catalogue.construction(&cover.construction).ok()?;
        let mass_kg_m2 = construction.mass_per_area_kg_m2(self.catalogue).ok()?;
        let mut tried: Vec<[u32; 2]> =
            (1..=MOST_PIECES).flat_map(|across| (1..=MOST_PIECES).map(move |up| [across, up])).collect();
        tried.sort_by_key(|[across, up]| (across * up, *up));
        let pieces = tried.into_iter().find(|pieces| {
            let [wide_m, high_m] = Cover { pieces: *pieces, ..cover.clone() }.piece_m(size_m);
            wide_m * high_m * mass_kg_m2 <= PIECE_KG
        });
        Some(Cover { pieces: pieces.unwrap_or([MOST_PIECES; 2]), ..cover })
    }

    fn slabs<I: Iterator<Item = &'static Measure>>(&self, measures: &dyn Fn() -> I, found: &mut Vec<Place>) {
        let shell = marker_of(self.scene(), self.id).and_then(|marker| marker.inner_shell.clone()).unwrap_or_default();
        let face = |face: &ShellFace, edit: fn(RoomId, ShellFace) -> Edit| vec![edit(self.id.clone(), face.clone())];
        let above = measures().filter_map(|measure| match &measure.does {
            Does::Ceiling(it) if shell.ceiling.is_none() => {
                Some(Choice { measure, edits: face(it, Edit::ShellCeiling) })
            }
            _ => None,
        });
        found.push(Place { kind: PlaceKind::Ceiling(self.room), choices: above.collect() });
        let below = measures().filter_map(|measure| match &measure.does {
            Does::Deck(it) if shell.floor.is_none() => Some(Choice { measure, edits: face(it, Edit::ShellFloor) }),
            _ => None,
        });
        found.push(Place { kind: PlaceKind::Floor(self.room), choices: below.collect() });
        let here = self.solved.building.sources.iter().filter(|placed| placed.space == self.room);
        let sources = here.filter_map(|placed| self.scene().sources.iter().find(|source| source.id == placed.source));
        let touching =
            |source: &&Source| source.playing && source.touches().iter().any(|it| it.touches == Touches::Floor);
        let touching: Vec<&Source> = sources.filter(touching).collect();
        if touching.is_empty() {
            return;
        }
        let bare = touching.iter().filter(|source| source.touches().iter().all(|contact| contact.mount.is_none()));
        let bare: Vec<&SourceId> = bare.map(|source| &source.id).collect();
        let under = measures().filter(|_| !bare.is_empty()).filter_map(|measure| match &measure.does {
            Does::Platform(mount) => {
                let edits = bare.iter().map(|id| Edit::Mount((*id).clone(), mount.clone())).collect();
                Some(Choice { measure, edits })
            }
            _ => None,
        });
        found.push(Place { kind: PlaceKind::Under(self.room), choices: under.collect() });
    }

    fn whole<I: Iterator<Item = &'static Measure>>(&self, measures: &dyn Fn() -> I, found: &mut Vec<Place>) {
        let building = &self.solved.building;
        let walls = building.facing(self.room).map(|at| &building.elements[at.0]);
        let walls_m2: f64 = walls
            .filter(|element| matches!(element.shape, ElementShape::Wall { .. }))
            .map(|element| element.area_m2 - element.openings.iter().map(PlacedOpening::area_m2).sum::<f64>())
            .sum();
        let choices = measures().filter_map(|measure| match &measure.does {
            Does::Absorb { finish, of_walls } => {
                let area_m2 = (of_walls * walls_m2 * 2.0).round() / 2.0;
                let edit = Edit::Finish(self.id.clone(), finish.clone(), area_m2);
                (area_m2 > 0.0).then(|| Choice { measure, edits: vec![edit] })
            }
            _ => None,
        });
        found.push(Place { kind: PlaceKind::Room(self.room), choices: choices.collect() });
    }
}

impl PlaceKind {
    /// The loud room it is in or faces; of an opening the one on either side that something sounds in.
    pub(super) fn room(&self, solved: &Solved) -> Option<SpaceIndex> {
        match self {
            Self::Opening(element, _) => {
                let sides = solved.building.elements[element.0].sides;
                sides.into_iter().find(|side| solved.answer.spaces[side.0].has_source)
            }
            Self::Wall(room, _) | Self::Ceiling(room) | Self::Floor(room) | Self::Under(room) | Self::Room(room) => {
                Some(*room)
            }
        }
    }
}
