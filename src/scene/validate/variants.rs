//! Variants: each with a name of its own, and without variants in it. Whether their edits fit is seen when they are made.

use super::{Check, Spot, Thing};
use crate::scene::edits::{Edit, Item};

impl Check<'_> {
    pub(super) fn variants(&mut self) {
        let scene = self.scene;
        for (position, variant) in scene.variants.iter().enumerate() {
            let spot = Spot::scene(Thing::Variant(position + 1));
            if variant.name.trim().is_empty() {
                self.error(&spot, "it has no name", "give it one: it is called by it");
            } else if scene.variants[..position].iter().any(|earlier| earlier.name == variant.name) {
                self.error(&spot, format!("the name \"{}\" is taken", variant.name), "give it another");
            }
            if variant.edits.iter().any(|edit| matches!(edit, Edit::Put(Item::Variants(_)))) {
                self.error(&spot, "it holds variants", "list them beside each other");
            }
        }
    }
}
