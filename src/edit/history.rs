//! What was done, to be undone and done again: scenes before and after, without limit in a session.

use std::sync::Arc;

use super::apply::apply;
use super::refused::Refused;
use crate::catalogue::Catalogue;
use crate::scene::{Edit, Scene};

/// A step that was done or undone.
#[derive(Debug, Clone)]
pub struct Step {
    /// What it is called.
    pub name: String,
    scene: Arc<Scene>,
}

/// The scene and all steps that led to it. Scenes are small, and steps share what they can, so each keeps its scene whole.
#[derive(Debug, Clone)]
pub struct History {
    now: Arc<Scene>,
    /// The scenes before each step done, oldest first.
    done: Vec<Step>,
    /// The scenes after each step undone, the one undone last at the end.
    undone: Vec<Step>,
}

impl History {
    /// A scene nothing was done to.
    #[must_use]
    pub fn new(scene: Scene) -> Self {
        Self { now: Arc::new(scene), done: vec![], undone: vec![] }
    }

    /// The scene as it stands.
    #[must_use]
    pub fn scene(&self) -> &Arc<Scene> {
        &self.now
    }

    /// Steps that can be undone, oldest first.
    #[must_use]
    pub fn done(&self) -> &[Step] {
        &self.done
    }

    /// Steps that can be done again, the next one last.
    #[must_use]
    pub fn undone(&self) -> &[Step] {
        &self.undone
    }

    /// Does some edits as one step, named after the first: one gesture. Edits that change nothing are no step: false.
    ///
    /// # Errors
    ///
    /// When one of them cannot be done; the scene is as before.
    pub fn edit(&mut self, catalogue: &Catalogue, edits: &[Edit]) -> Result<bool, Refused> {
        let Some(first) = edits.first() else { return Ok(false) };
        let mut scene = apply(&self.now, catalogue, first)?;
        for edit in &edits[1..] {
            scene = apply(&scene, catalogue, edit)?;
        }
        Ok(self.replace(first.name(), scene))
    }

    /// Takes a scene made elsewhere (a file changed on disk, a variant) as one step; false when it is the same.
    pub fn replace(&mut self, name: String, scene: Scene) -> bool {
        if scene == *self.now {
            return false;
        }
        let before = std::mem::replace(&mut self.now, Arc::new(scene));
        self.done.push(Step { name, scene: before });
        self.undone.clear();
        true
    }

    /// Takes the last step back; what it was called.
    pub fn undo(&mut self) -> Option<String> {
        step(&mut self.done, &mut self.now, &mut self.undone)
    }

    /// Does the step last undone again; what it was called.
    pub fn redo(&mut self) -> Option<String> {
        step(&mut self.undone, &mut self.now, &mut self.done)
    }
}

fn step(from: &mut Vec<Step>, now: &mut Arc<Scene>, to: &mut Vec<Step>) -> Option<String> {
    let Step { name, scene } = from.pop()?;
    to.push(Step { name: name.clone(), scene: std::mem::replace(now, scene) });
    Some(name)
}
