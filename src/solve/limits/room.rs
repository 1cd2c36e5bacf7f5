//! A room with what stands round it, for all that is checked of it.

use std::borrow::Cow;

use super::super::answer::{Answer, ShellAnswer};
use super::super::library::find;
use crate::building::{
    Building, Element, ElementIndex, ElementShape, OpeningFront, PlacedOpening, RoomSpace, SlabRole, SpaceIndex,
    SpaceKind, marker_of,
};
use crate::catalogue::{Catalogue, Construction, ConstructionKind};
use crate::scene::{Room, Scene};

/// A room, and what it is checked by.
pub(super) struct Here<'a> {
    pub(super) scene: &'a Scene,
    pub(super) catalogue: &'a Catalogue,
    pub(super) building: &'a Building,
    pub(super) answer: &'a Answer,
    pub(super) space: SpaceIndex,
    pub(super) room: &'a RoomSpace,
    /// As it is drawn.
    pub(super) marker: Option<Cow<'a, Room>>,
    pub(super) shell: Option<&'a ShellAnswer>,
    /// What stands round it, and on which of its sides the room is.
    pub(super) round: Vec<(ElementIndex, &'a Element, usize)>,
    /// How many people are in it.
    pub(super) people: u32,
}

/// An opening of a room.
pub(super) struct Way<'a> {
    pub(super) at: (ElementIndex, usize),
    pub(super) placed: &'a PlacedOpening,
    pub(super) kind: ConstructionKind,
    /// True where it leads into the open.
    pub(super) outdoors: bool,
    /// What closes it on the room's side.
    pub(super) closed: Option<Closed>,
}

/// What closes an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Closed {
    ByCover,
    ByShell,
}

impl<'a> Here<'a> {
    /// Nothing for what is no room.
    pub(super) fn of(
        scene: &'a Scene,
        catalogue: &'a Catalogue,
        building: &'a Building,
        answer: &'a Answer,
        space: SpaceIndex,
    ) -> Option<Self> {
        let SpaceKind::Room(room) = &building.spaces.get(space.0)?.kind else { return None };
        let shell = answer.shells.iter().find(|shell| shell.space == space);
        let round = building.facing(space).filter_map(|at| {
            let element = building.elements.get(at.0)?;
            Some((at, element, usize::from(element.sides[0] != space)))
        });
        let loud = building.sources.iter().any(|source| source.space == space);
        let people = scene.played.people.filter(|_| loud).unwrap_or(1);
        let marker = marker_of(scene, &room.room);
        Some(Self { scene, catalogue, building, answer, space, room, marker, shell, round: round.collect(), people })
    }

    pub(super) fn construction(&self, id: &str) -> Option<&'a Construction> {
        find(self.scene, self.catalogue, id)
    }

    /// The pieces of its floor.
    pub(super) fn floors(&self) -> impl Iterator<Item = (&'a Element, SlabRole)> {
        self.round.iter().filter_map(|(_, element, side)| match &element.shape {
            ElementShape::Slab { role, .. } if *side == 0 => Some((*element, *role)),
            _ => None,
        })
    }

    /// True where all of its floor lies on the ground.
    pub(super) fn on_ground(&self) -> bool {
        self.floors().all(|(_, role)| role == SlabRole::Ground)
    }

    /// True where the shell stands before each of its walls.
    pub(super) fn shell_is_closed(&self) -> bool {
        let wall = |element: &Element| matches!(element.shape, ElementShape::Wall { .. });
        self.shell.is_some()
            && self.round.iter().all(|(_, element, side)| !wall(element) || element.fronts[*side].is_some())
    }

    /// Its openings.
    pub(super) fn ways(&self) -> impl Iterator<Item = Way<'a>> {
        let outdoors = self.building.outdoors();
        self.round.iter().flat_map(move |(index, element, side)| {
            element.openings.iter().enumerate().filter_map(move |(at, placed)| {
                let closed = placed.fronts[*side].iter().find_map(|front| match front {
                    OpeningFront::Cover(cover) if cover.on => Some(Closed::ByCover),
                    OpeningFront::Shell(_) => Some(Closed::ByShell),
                    OpeningFront::Cover(_) | OpeningFront::Leaf { .. } => None,
                });
                Some(Way {
                    at: (*index, at),
                    placed,
                    kind: self.construction(&placed.construction)?.kind,
                    outdoors: element.sides[1 - side] == outdoors,
                    closed,
                })
            })
        })
    }
}
