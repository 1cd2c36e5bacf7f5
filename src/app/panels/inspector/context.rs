//! What every part of the inspector reads, and what it asks for.

use std::cell::RefCell;

use crate::app::solving::CurrentAnswer;
use crate::app::theme::Palette;
use crate::building::{SpaceIndex, SpaceKind};
use crate::catalogue::{Catalogue, Construction};
use crate::edit::{Edit, Item, Pick};
use crate::output::Theme;
use crate::output::length::Units;
use crate::output::words::heading;
use crate::project::Solved;
use crate::scene::{Problem, RoomId, Scene, Storey, StoreyId};

pub(super) struct Context<'a> {
    pub scene: &'a Scene,
    pub current: &'a CurrentAnswer,
    pub catalogue: &'static Catalogue,
    pub palette: Palette,
    pub theme: Theme,
    pub units: Units,
    /// True when the keyboard is to go to the name of what is picked.
    pub naming: bool,
    pub picks: &'a [Pick],
    /// The storey of what is picked; where that has none, the one that is drawn.
    pub storey: Option<&'a Storey>,
    pub requests: &'a RefCell<Requests>,
}

/// What is asked for in one frame: edits that are one step, and something else to be picked.
#[derive(Default)]
pub(super) struct Requests {
    pub edits: Vec<Edit>,
    pub pick: Option<Pick>,
}

impl<'a> Context<'a> {
    pub(super) fn ask(&self, edit: Edit) {
        self.requests.borrow_mut().edits.push(edit);
    }

    /// Asks for a thing to be put in the place of what it was, where it was changed.
    pub(super) fn put(&self, before: &Item, after: Item) {
        if after != *before {
            self.ask(Edit::Put(after));
        }
    }

    pub(super) fn pick(&self, pick: Pick) {
        self.requests.borrow_mut().pick = Some(pick);
    }

    pub(super) fn construction(&self, id: &str) -> Option<&'a Construction> {
        let own = self.scene.constructions.iter().find(|own| own.id == id);
        own.or_else(|| self.catalogue.constructions.get(id))
    }

    /// The place of the storey of what is picked among the storeys.
    pub(super) fn level(&self) -> Option<usize> {
        self.scene.storeys.iter().position(|known| self.storey.is_some_and(|storey| storey.id == known.id))
    }

    /// The answer, when it is one of this scene; nothing while a new one is computed.
    pub(super) fn solved(&self) -> Option<&'a Solved> {
        let same = |solved: &&Solved| std::ptr::eq(&*solved.scene, self.scene) || *solved.scene == *self.scene;
        self.latest().filter(same)
    }

    /// The latest answer, be it one of the scene before: for the names of its elements, which stay while a new one is computed.
    pub(super) fn latest(&self) -> Option<&'a Solved> {
        self.current.solved.as_deref()
    }

    /// What is wrong with the scene, and odd in its answer.
    pub(super) fn problems(&self) -> impl Iterator<Item = &'a Problem> {
        self.current.problems.iter().chain(self.solved().into_iter().flat_map(|solved| &solved.warnings))
    }

    pub(super) fn space(&self, room: &RoomId) -> Option<SpaceIndex> {
        let spaces = &self.solved()?.building.spaces;
        let is_it = |kind: &SpaceKind| matches!(kind, SpaceKind::Room(space) if space.room == *room);
        spaces.iter().position(|space| is_it(&space.kind)).map(SpaceIndex)
    }

    pub(super) fn storeys(&self) -> Vec<(StoreyId, String)> {
        self.scene.storeys.iter().map(|storey| (storey.id.clone(), heading(&storey.name))).collect()
    }
}
