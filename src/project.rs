//! From a scene, as it is read or edited, to everything computed of it: the one place where the stages follow one another.
//!
//! Read → validate → build → solve. Window, commands, lessons and library users all come this way.

use std::path::Path;
use std::sync::Arc;

use crate::building::{self, Building};
use crate::catalogue::Catalogue;
use crate::scene::problem::any_error;
use crate::scene::validate::validate;
use crate::scene::{Problem, Scene, file};
use crate::solve::cancelled::Cancelled;
use crate::solve::{self, Answer};

/// A scene that may be computed, with the constructions of the program beside its own.
#[derive(Debug, Clone)]
pub struct Project {
    scene: Arc<Scene>,
}

/// A sound scene with its building.
#[derive(Debug, Clone, PartialEq)]
pub struct Built {
    /// The scene.
    pub scene: Arc<Scene>,
    /// Its spaces, elements and junctions.
    pub building: Building,
    /// What was found odd about the scene, but does not keep it from being solved.
    pub warnings: Vec<Problem>,
}

/// A scene with everything computed of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// The scene.
    pub scene: Arc<Scene>,
    /// Its spaces, elements and junctions.
    pub building: Building,
    /// What everyone hears.
    pub answer: Answer,
    /// What was found odd about the scene, but did not keep it from being solved.
    pub warnings: Vec<Problem>,
}

impl Project {
    /// Reads a scene file.
    ///
    /// # Errors
    ///
    /// As [`file::read`]: one problem, since reading stops there.
    pub fn open(path: impl AsRef<Path>) -> Result<Self, Vec<Problem>> {
        file::read(path.as_ref()).map(Self::of).map_err(|problem| vec![problem])
    }

    /// A scene at hand.
    #[must_use]
    pub fn of(scene: impl Into<Arc<Scene>>) -> Self {
        Self { scene: scene.into() }
    }

    /// Validates the scene, once, and finds its building.
    ///
    /// # Errors
    ///
    /// All problems that keep it from being one, with the warnings where validating found them.
    pub fn build(self) -> Result<Built, Vec<Problem>> {
        let catalogue = Catalogue::built_in_ref();
        let found = validate(&self.scene, catalogue);
        if any_error(&found) {
            return Err(found);
        }
        let building = building::build(&self.scene, catalogue)?;
        let warnings = found.into_iter().chain(building::misfits(&self.scene, catalogue, &building)).collect();
        Ok(Built { scene: self.scene, building, warnings })
    }

    /// The whole way.
    ///
    /// # Errors
    ///
    /// As [`Self::build`].
    pub fn solve(self) -> Result<Solved, Vec<Problem>> {
        let built = self.build()?;
        let answer = solve::solve(&built.scene, Catalogue::built_in_ref(), &built.building);
        Ok(built.with(answer))
    }
}

impl Built {
    /// Solves the building, unless it is cancelled: nothing as soon as `cancelled` says that no one waits for the answer any more.
    ///
    /// It is asked often, before each element, face and listener, and should be quick.
    #[must_use]
    pub fn solve_unless(self, cancelled: &Cancelled<'_>) -> Option<Solved> {
        let answer = solve::solve_unless(cancelled, &self.scene, Catalogue::built_in_ref(), &self.building)?;
        Some(self.with(answer))
    }

    fn with(self, answer: Answer) -> Solved {
        let Self { scene, building, warnings } = self;
        Solved { scene, building, answer, warnings }
    }
}
