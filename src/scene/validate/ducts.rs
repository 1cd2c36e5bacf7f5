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
            if let Some(lining) = &duct.lining {
                let to_do = "choose a finish of the catalogue, or leave it out";
                self.listed(&spot, format_args!("its lining"), lining, &self.catalogue.finishes, to_do);
            }
            if let Some(losses_db) = &duct.silencer_db {
                self.spectrum(&spot, "silencer", losses_db, limits::SILENCER_DB);
            }
        }
    }
}
