//! Ducts of the scene as open areas.

use super::conditions::Conditions;
use crate::acoustics::duct::Duct;
use crate::acoustics::{Spectrum, absorption};
use crate::building::Building;
use crate::catalogue::Catalogue;
use crate::scene::{DuctId, Scene};

/// For each duct of the building, the open area that passes as much, m².
pub(super) fn open_areas_m2(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> Vec<Spectrum> {
    building.ducts.iter().map(|placed| open_area_m2(scene, catalogue, &placed.duct, conditions, notes)).collect()
}

/// The open area a duct is worth, m². One that cannot be computed passes nothing and is said in `notes`.
fn open_area_m2(
    scene: &Scene,
    catalogue: &Catalogue,
    id: &DuctId,
    conditions: &Conditions,
    notes: &mut Vec<String>,
) -> Spectrum {
    let Some(duct) = scene.ducts.iter().find(|duct| duct.id == *id) else { return Spectrum::ZERO };
    let lining = duct.lining.as_ref().and_then(|lining| {
        let finish = catalogue.finishes.get(lining);
        if finish.is_none() {
            notes.push(format!("There is no finish \"{lining}\" ({}): the duct is taken as bare.", duct.name));
        }
        finish.map(|finish| absorption::from_octaves(&finish.alpha_octaves))
    });
    let silencer_db = duct.silencer_db.as_ref().map(absorption::from_all_octaves);
    let (air, bands) = (&conditions.air, &conditions.bands);
    let fitted = duct.section.clear().and_then(|section| {
        Duct::fitted(section, duct.length_m, duct.bends, lining.as_ref(), silencer_db.as_ref(), air, bands)
    });
    match fitted {
        Ok(fitted) => fitted.open_area_m2(air, bands),
        Err(why) => {
            notes.push(format!("The duct {} is left out, so that it passes nothing: {why}.", duct.name));
            Spectrum::ZERO
        }
    }
}
