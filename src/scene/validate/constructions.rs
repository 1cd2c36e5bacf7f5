//! Constructions of the scene's own. The catalogue knows what a construction must be; here its faults get their place.

use std::collections::BTreeSet;

use super::{Check, Spot};
use crate::scene::Thing;

impl Check<'_> {
    pub(super) fn own_constructions(&mut self) {
        let scene = self.scene;
        let mut seen = BTreeSet::new();
        for construction in &scene.constructions {
            let spot = Spot::scene(Thing::Construction(construction.id.clone()));
            if !seen.insert(&construction.id) {
                self.error(&spot, "another construction has the same id", "give each its own word");
            }
            if self.catalogue.constructions.contains_key(&construction.id) {
                self.error(&spot, "the catalogue has one of the same id", "give it another word");
            }
            for doubt in self.catalogue.doubts_of(construction) {
                let (what, to_do) = doubt.split_once("; ").unwrap_or((&doubt, "see whether that is meant"));
                self.warning(&spot, what, to_do);
            }
            let faults = self.catalogue.faults_of(construction);
            for fault in faults {
                // Most clauses end with what must be; the others leave no doubt.
                let (what, to_do) =
                    fault.split_once("; ").unwrap_or((&fault, "correct it among the scene's constructions"));
                self.error(&spot, what, to_do);
            }
        }
    }
}
