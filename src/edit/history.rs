//! What was done, to be undone and done again: scenes before and after, without limit in a session.

use std::sync::Arc;

use super::apply::apply;
use super::model::{Edit, Refused};
use crate::catalogue::Catalogue;
use crate::scene::Scene;

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

    /// Does an edit as one step. An edit that changes nothing is no step: false.
    ///
    /// # Errors
    ///
    /// When it cannot be done; the scene is as before.
    pub fn edit(&mut self, catalogue: &Catalogue, edit: &Edit) -> Result<bool, Refused> {
        self.edit_all(catalogue, std::slice::from_ref(edit))
    }

    /// Does several edits as one step, named after the first: one gesture.
    ///
    /// # Errors
    ///
    /// When one of them cannot be done; the scene is as before.
    pub fn edit_all(&mut self, catalogue: &Catalogue, edits: &[Edit]) -> Result<bool, Refused> {
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
        let step = self.done.pop()?;
        let after = std::mem::replace(&mut self.now, step.scene);
        self.undone.push(Step { name: step.name.clone(), scene: after });
        Some(step.name)
    }

    /// Does the step last undone again; what it was called.
    pub fn redo(&mut self) -> Option<String> {
        let step = self.undone.pop()?;
        let before = std::mem::replace(&mut self.now, step.scene);
        self.done.push(Step { name: step.name.clone(), scene: before });
        Some(step.name)
    }
}
