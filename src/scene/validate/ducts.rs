//! Air ducts: their mouths, sections, linings, silencers. Whether a mouth lies in a room is found when the building is made.

use std::collections::BTreeSet;

use super::{Check, Spot, limits};
use crate::scene::{DuctSection, Thing};

impl Check<'_> {
    pub(super) fn ducts(&mut self) {
        let mut seen = BTreeSet::new();
        for duct in &self.scene.ducts {
            let spot = Spot::scene(Thing::Duct(duct.id.0.clone()));
            self.id(&spot, &duct.id.0, &mut seen, "duct");
            self.name(&spot, &duct.name);
            for end in &duct.ends {
                self.storey_reference(&spot, &end.storey);
                self.point(&spot, end.at);
                self.number(&spot, "height of an end", end.height_m, limits::MOUTH_M);
            }
            match duct.section {
                DuctSection::Round(mm) => {
                    self.number(&spot, "diameter", mm, limits::SIDE_MM);
                }
                DuctSection::Rectangular(wide_mm, high_mm) => {
                    self.number(&spot, "width", wide_mm, limits::SIDE_MM);
                    self.number(&spot, "height", high_mm, limits::SIDE_MM);
                }
            }
            self.number(&spot, "length", duct.length_m, limits::RUN_M);
            self.number(&spot, "number of bends", f64::from(duct.bends), limits::BENDS);
            if let Some(lining) = &duct.lining
                && !self.catalogue.finishes.contains_key(lining)
            {
                let known = self.catalogue.finishes.keys().map(String::as_str);
                let to_do = self.advice(lining, known, "choose a finish of the catalogue, or leave it out");
                self.error(&spot, format!("its lining \"{lining}\" is not in the catalogue"), to_do);
            }
            if let Some(losses_db) = &duct.silencer_db {
                self.spectrum(&spot, "silencer", losses_db, limits::SILENCER_DB);
            }
        }
    }
}
