//! The constructions a scene names, resolved once each.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::construction::{Resolved, resolve};
use super::workmanship;
use crate::building::{Building, Element};
use crate::catalogue::{Catalogue, Construction};
use crate::scene::{Scene, Workmanship};

/// The constructions a scene can name: its own before the catalogue's.
pub(crate) fn find<'a>(scene: &'a Scene, catalogue: &'a Catalogue, id: &str) -> Option<&'a Construction> {
    catalogue.resolve(&scene.constructions, id)
}

/// What is wrong with an element that is not built as drawn.
pub(super) struct Faults<'a> {
    /// The construction with what should give held fast, if it has such a part.
    pub held: Option<&'a Resolved>,
    /// Part of the open joint along its edge that leads from side to side.
    pub edge_share: f64,
}

/// The constructions of a building's elements and openings.
pub(super) struct Library<'a> {
    pub scene: &'a Scene,
    pub catalogue: &'a Catalogue,
    /// By id; nothing for one that cannot be computed.
    resolved: BTreeMap<&'a str, Option<ResolvedConstruction>>,
}

struct ResolvedConstruction {
    drawn: Resolved,
    /// With what should give held fast, once it was asked for: nothing for one that has no such part.
    held: OnceLock<Option<Resolved>>,
}

impl<'a> Library<'a> {
    /// What cannot be resolved is said in `notes`.
    pub(super) fn of(
        scene: &'a Scene,
        catalogue: &'a Catalogue,
        building: &'a Building,
        notes: &mut Vec<String>,
    ) -> Self {
        let mut library = Self { scene, catalogue, resolved: BTreeMap::new() };
        let elements = building.elements.iter().map(|element| element.construction.as_str());
        let openings = building.elements.iter().flat_map(|element| &element.openings);
        for id in elements.chain(openings.map(|opening| opening.construction.as_str())) {
            if library.resolved.contains_key(id) {
                continue;
            }
            let drawn = match library.find(id) {
                None => Err(format!("There is no construction \"{id}\": what is made of it passes nothing.")),
                Some(construction) => resolve(catalogue, construction)
                    .map_err(|why| format!("Left out, so that it passes nothing: {why}")),
            };
            let drawn = drawn.inspect_err(|why| notes.push(why.clone())).ok();
            library.resolved.insert(id, drawn.map(|drawn| ResolvedConstruction { drawn, held: OnceLock::new() }));
        }
        library
    }

    /// A construction of the scene or the catalogue.
    pub(super) fn find(&self, id: &str) -> Option<&'a Construction> {
        find(self.scene, self.catalogue, id)
    }

    /// What an element or opening is made of, resolved.
    pub(super) fn get(&self, id: &str) -> Option<&Resolved> {
        Some(&self.resolved.get(id)?.as_ref()?.drawn)
    }

    /// That an element is not built as drawn, in words.
    pub(super) fn fault_words(&self, element: &Element) -> Option<String> {
        self.find(&element.construction)?;
        Some(format!("{} ({}) {}.", element.name, element.id, workmanship::words(element.workmanship)?))
    }

    /// What is wrong with an element that is not built as drawn.
    pub(super) fn faults(&self, element: &Element) -> Option<Faults<'_>> {
        if element.workmanship == Workmanship::AsDrawn {
            return None;
        }
        let construction = self.find(&element.construction)?;
        let known = self.resolved.get(element.construction.as_str())?.as_ref()?;
        let edge_share = workmanship::edge_share(element.workmanship, construction, &known.drawn);
        let held = known.held.get_or_init(|| {
            // A construction that cannot be resolved is said to be so already.
            workmanship::short_circuited(self.catalogue, construction).ok().flatten()
        });
        Some(Faults { held: held.as_ref(), edge_share })
    }
}
