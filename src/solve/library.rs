//! The constructions a scene names, resolved once each.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::construction::{Resolved, resolve};
use super::workmanship;
use crate::building::Element;
use crate::catalogue::{Catalogue, Construction};
use crate::scene::{Scene, Workmanship};

/// The constructions a scene can name: its own before the catalogue's.
pub(crate) fn find<'a>(scene: &'a Scene, catalogue: &'a Catalogue, id: &str) -> Option<&'a Construction> {
    catalogue.own_or_known(&scene.constructions, id)
}

/// What is wrong with an element that is not built as drawn.
pub(super) struct Faults {
    /// The construction with what should give held fast, if it has such a part.
    pub held: Option<Arc<Resolved>>,
    /// Part of the open joint along its edge that leads from side to side.
    pub edge_share: f64,
}

pub(super) struct Library<'a> {
    pub scene: &'a Scene,
    pub catalogue: &'a Catalogue,
    resolved: BTreeMap<String, Option<Arc<Resolved>>>,
    /// What an earlier solve resolved of the same records.
    earlier: BTreeMap<String, Arc<Resolved>>,
    /// Those asked for with what should give held fast: nothing for one that has no such part.
    held: BTreeMap<String, Option<Arc<Resolved>>>,
}

impl<'a> Library<'a> {
    /// With what an earlier solve resolved of the same records.
    pub(super) fn new(scene: &'a Scene, catalogue: &'a Catalogue, earlier: BTreeMap<String, Arc<Resolved>>) -> Self {
        Self { scene, catalogue, resolved: BTreeMap::new(), earlier, held: BTreeMap::new() }
    }

    /// All that could be resolved, for a later solve; nothing when something could not.
    pub(super) fn all_resolved(&self) -> Option<BTreeMap<String, Arc<Resolved>>> {
        self.resolved.iter().map(|(id, resolved)| Some((id.clone(), resolved.clone()?))).collect()
    }

    /// A construction of the scene or the catalogue.
    pub(super) fn find(&self, id: &str) -> Option<&'a Construction> {
        find(self.scene, self.catalogue, id)
    }

    pub(super) fn get(&mut self, id: &str, notes: &mut Vec<String>) -> Option<Arc<Resolved>> {
        if let Some(known) = self.resolved.get(id) {
            return known.clone();
        }
        if let Some(known) = self.earlier.get(id) {
            self.resolved.insert(id.to_owned(), Some(known.clone()));
            return Some(known.clone());
        }
        let fresh = match self.find(id) {
            None => Err(format!("There is no construction \"{id}\": what is made of it passes nothing.")),
            Some(construction) => resolve(self.catalogue, construction)
                .map_err(|why| format!("Left out, so that it passes nothing: {why}")),
        };
        let fresh = fresh.inspect_err(|why| notes.push(why.clone())).ok().map(Arc::new);
        self.resolved.insert(id.to_owned(), fresh.clone());
        fresh
    }

    /// What was got before.
    pub(super) fn known(&self, id: &str) -> Option<&Resolved> {
        self.resolved.get(id)?.as_deref()
    }

    /// That an element is not built as drawn, in words.
    pub(super) fn fault_words(&self, element: &Element) -> Option<String> {
        self.find(&element.construction)?;
        Some(format!("{} ({}) {}.", element.name, element.id, workmanship::words(element.workmanship)?))
    }

    /// What is wrong with an element that is not built as drawn.
    pub(super) fn faults(&mut self, element: &Element) -> Option<Faults> {
        let construction = self.find(&element.construction)?;
        if element.workmanship == Workmanship::AsDrawn {
            return None;
        }
        let drawn = self.known(&element.construction)?;
        let edge_share = workmanship::edge_share(element.workmanship, construction, drawn);
        let catalogue = self.catalogue;
        let held = self.held.entry(construction.id.clone()).or_insert_with(|| {
            // A construction that cannot be resolved is said to be so already.
            workmanship::short_circuited(catalogue, construction).ok().flatten().map(Arc::new)
        });
        Some(Faults { held: held.clone(), edge_share })
    }
}
