//! Air ducts: their mouths, sections, linings, silencers. Whether a mouth lies in a room is found when the building is made.

use std::collections::BTreeSet;

use super::values::Limits;
use super::{Check, Spot};
use crate::scene::{DuctSection, Thing};

const SIDE_MM: Limits = Limits::new(10.0, 5000.0, "mm");
const LENGTH_M: Limits = Limits::new(0.01, 500.0, "m");
const BENDS: Limits = Limits::new(0.0, 50.0, "");
const MOUTH_M: Limits = Limits::new(-5.0, 100.0, "m");
const SILENCER_DB: Limits = Limits::new(0.0, 100.0, "dB");

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
                self.number(&spot, "height of an end", end.height_m, MOUTH_M);
            }
            match duct.section {
                DuctSection::Round(mm) => {
                    self.number(&spot, "diameter", mm, SIDE_MM);
                }
                DuctSection::Rectangular(wide_mm, high_mm) => {
                    self.number(&spot, "width", wide_mm, SIDE_MM);
                    self.number(&spot, "height", high_mm, SIDE_MM);
                }
            }
            self.number(&spot, "length", duct.length_m, LENGTH_M);
            self.number(&spot, "number of bends", f64::from(duct.bends), BENDS);
            if let Some(lining) = &duct.lining
                && !self.catalogue.finishes.contains_key(lining)
            {
                let known = self.catalogue.finishes.keys().map(String::as_str);
                let to_do = self.advice(lining, known, "choose a finish of the catalogue, or leave it out");
                self.error(&spot, format!("its lining \"{lining}\" is not in the catalogue"), to_do);
            }
            if let Some(losses_db) = &duct.silencer_db {
                self.spectrum(&spot, "silencer", losses_db, SILENCER_DB);
            }
        }
    }
}
