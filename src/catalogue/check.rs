//! What is wrong with an entry, in words. Nothing here stops at the first fault.

use std::collections::BTreeMap;

use super::construction::{Build, Construction, ConstructionKind, Layer};
use super::contents::{Catalogue, Finish, Reference, Seal, SoundSource};
use super::force::FloorForce;
use super::goods::{Good, Serves, Sold};
use super::limits::{self, Limits};
use super::lookup;
use super::material::Material;
use super::material::Nature;
use super::provenance::{Certainty, Provenance};
use super::target::Limit;
use super::target::Target;
use crate::acoustics::Bands;
use crate::acoustics::bands::{NOMINAL_HZ, OCTAVE_HZ};
use crate::acoustics::bridges::Bridge;

/// Absorption measured in a reverberation room may exceed one by the edge effect; more than this is a slip.
const MOST_ABSORPTION: f64 = 1.1;

/// Most layers one construction is made of; each makes the computation longer.
const MOST_LAYERS: usize = 60;
/// Thickest construction taken for meant, m.
const THICKEST_M: f64 = 5.0;

/// What is wrong with an entry, as clauses that follow its name, and beside that what is probably not meant.
#[derive(Default)]
pub(super) struct Faults {
    pub(super) faults: Vec<String>,
    pub(super) doubts: Vec<String>,
}

impl Faults {
    fn add(&mut self, fault: impl Into<String>) {
        self.faults.push(fault.into());
    }

    fn unless_positive(&mut self, what: &str, value: f64, unit: &str) {
        if !(value.is_finite() && value > 0.0) {
            self.add(format!("{what} is {value}; it must be above zero, in {unit}"));
        }
    }

    /// A number above zero that something built can have. `field` is its name in the file.
    fn unless_built(&mut self, what: &str, field: &str, value: f64, bounds: &Limits) {
        let Limits { least, most, unit, usual: [low, high], why } = bounds;
        if !(value.is_finite() && value > 0.0) {
            self.unless_positive(what, value, unit);
            return;
        }
        // Written in metres?
        let thousandfold = (value * 1e9).round() / 1e6;
        let slip = *unit == "mm" && value < *low && (*low..=*high).contains(&thousandfold);
        let meant = || format!("{field} is in millimetres: did you mean {thousandfold}?");
        if bounds.hold(value) {
            if !(*low..=*high).contains(&value) {
                let to_do = if slip { meant() } else { "see whether that is meant".to_owned() };
                self.doubts.push(format!("{what} is {value} {unit}, which is unusual; {to_do}"));
            }
        } else if slip {
            self.add(format!("{what} is {value} {unit}; {}", meant()));
        } else {
            self.add(format!("{what} is {value} {unit}; it must be from {least} to {most}, since {why}"));
        }
    }

    fn unless_within(&mut self, what: &str, value: f64, lowest: f64, highest: f64) {
        if !(lowest..=highest).contains(&value) {
            self.add(format!("{what} is {value}; it must be from {lowest} to {highest}"));
        }
    }

    /// An id is lower-case words and digits joined by single hyphens.
    pub(super) fn unless_word(&mut self, id: &str) {
        let is_word = id.split('-').all(|part| {
            !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
        });
        if !is_word {
            self.add(format!("the id \"{id}\" must be lower-case letters and digits, joined by hyphens"));
        }
    }

    pub(super) fn unless_named(&mut self, name: &str) {
        if name.trim().is_empty() {
            self.add("the name is empty");
        }
    }

    pub(super) fn provenance(&mut self, provenance: &Provenance, references: &BTreeMap<String, Reference>) {
        let needs_source =
            matches!(provenance.certainty, Certainty::Printed | Certainty::Measured | Certainty::FromMemory);
        if provenance.source.is_empty() {
            if needs_source {
                self.add("what is printed, measured or remembered must name its source");
            }
        } else if let Err(unknown) = lookup::find("reference", references, &provenance.source) {
            self.add(unknown.to_string());
        }
    }
}

/// A contact force: whatever its spectrum refuses, and its uncertainty.
pub(super) fn force(force: &FloorForce, faults: &mut Faults) {
    if let Err(why) = force.force.spectrum(&Bands::exact()) {
        faults.add(why.to_string());
    }
    faults.unless_positive("the uncertainty", force.uncertainty_db, "dB");
}

pub(super) fn material(material: &Material, faults: &mut Faults) {
    faults.unless_positive("the density", material.density_kg_m3, "kg/m³");
    match material.nature {
        Nature::Plate { longitudinal_speed_m_s, poisson, internal_loss } => {
            faults.unless_positive("the longitudinal speed", longitudinal_speed_m_s, "m/s");
            faults.unless_within("Poisson's ratio", poisson, 0.0, 0.49);
            faults.unless_positive("the internal loss factor", internal_loss, "1");
            faults.unless_within("the internal loss factor", internal_loss, 0.0, 1.0);
        }
        Nature::Limp => {}
        Nature::Viscoelastic { shear_modulus_mpa, loss_factor } => {
            faults.unless_positive("the shear modulus", shear_modulus_mpa, "MPa");
            faults.unless_within("the loss factor", loss_factor, 0.0, 2.0);
        }
        Nature::Porous { flow_resistivity_pa_s_m2 } => {
            faults.unless_positive("the airflow resistivity", flow_resistivity_pa_s_m2, "Pa·s/m²");
        }
        Nature::Resilient { dynamic_stiffness_mn_m3, at_thickness_mm } => {
            faults.unless_positive("the dynamic stiffness", dynamic_stiffness_mn_m3, "MN/m³");
            faults.unless_positive("the thickness of that stiffness", at_thickness_mm, "mm");
        }
    }
}

/// Build and price of a construction; its provenance is checked apart, since a scene's own construction may name any source.
pub(super) fn construction(construction: &Construction, materials: &BTreeMap<String, Material>, faults: &mut Faults) {
    if let Some(price) = construction.price_per_m2
        && !(price.is_finite() && price >= 0.0)
    {
        faults.add(format!("the price is {price}; it must be zero or more"));
    }
    if let Some(usual) = &construction.usual_rw
        && !(0 < usual.lo && usual.lo < usual.hi)
    {
        faults.add(format!("the usual Rw runs from {} to {}; it must rise, above zero", usual.lo, usual.hi));
    }
    let fits = match construction.kind {
        ConstructionKind::Vent => matches!(construction.build, Build::NormalisedDifference { .. }),
        ConstructionKind::Open => construction.build == Build::Open,
        _ => matches!(construction.build, Build::Layers(_) | Build::Measured { .. }),
    };
    if !fits {
        faults.add(
            "build and kind do not fit: a vent has a NormalisedDifference, an open hole is Open, all else has Layers or is Measured",
        );
    }
    match &construction.build {
        Build::Layers(layers) => layer_list(layers, materials, faults),
        Build::Measured { thickness_mm, mass_per_area_kg_m2, r_db } => {
            faults.unless_built("the thickness", "thickness_mm", *thickness_mm, &limits::MEASURED_MM);
            faults.unless_built("the mass per area", "mass_per_area_kg_m2", *mass_per_area_kg_m2, &limits::MASS_KG_M2);
            if ![24, 21, 16].contains(&r_db.len()) {
                let given = r_db.len();
                faults.add(format!(
                    "r_db has {given} values; it must have 24 (from 25 Hz), 21 (from 50 Hz) or 16 (100 Hz to 3150 Hz)"
                ));
            }
            for value in r_db {
                faults.unless_within("a sound reduction index", *value, 0.0, limits::LEVEL_DB.most);
            }
        }
        Build::NormalisedDifference { dne_octaves_db } => {
            for value in dne_octaves_db {
                faults.unless_within("a level difference", *value, 0.0, limits::LEVEL_DB.most);
            }
        }
        Build::Open => {}
    }
}

/// Where in the list of layers a fault is, counted from one as people do.
fn layer_list(layers: &[Layer], materials: &BTreeMap<String, Material>, faults: &mut Faults) {
    if layers.is_empty() {
        faults.add("it has no layers");
    }
    if layers.len() > MOST_LAYERS {
        faults.add(format!("it has {} layers; it must have at most {MOST_LAYERS}", layers.len()));
        return;
    }
    let thickness_m = layers.iter().map(Layer::thickness_mm).sum::<f64>() / 1000.0;
    if thickness_m.is_finite()
        && thickness_m > THICKEST_M
        && layers.iter().all(|layer| layer.thickness_mm() < limits::SOLID_MM.most)
    {
        faults.add(format!("all its layers are {thickness_m:.1} m thick; they must be at most {THICKEST_M} m"));
    }
    for (at, layer) in layers.iter().enumerate() {
        let place = format!("layer {}: ", at + 1);
        let before = at.checked_sub(1).map(|at| &layers[at]);
        let is_sheet = |layer: Option<&Layer>| matches!(layer, Some(Layer::Sheet { .. }));
        match layer {
            Layer::Sheet { material, thickness_mm, bonded } => {
                let bounds = limits::sheet_mm(materials.get(material));
                faults.unless_built(&format!("{place}the thickness"), "thickness_mm", *thickness_mm, &bounds);
                if *bonded && !is_sheet(before) {
                    faults.add(format!("{place}there is no sheet before it that it could be bonded to"));
                }
                named(&place, material, materials, Nature::is_sheet, "a plate, a limp sheet or a soft film", faults);
                let is_film =
                    materials.get(material).is_some_and(|it| matches!(it.nature, Nature::Viscoelastic { .. }));
                if is_film && !(is_sheet(before) && is_sheet(layers.get(at + 1))) {
                    faults.add(format!("{place}the film \"{material}\" must have a sheet on both sides"));
                }
            }
            Layer::Cavity { depth_mm, fill, bridge } => {
                faults.unless_built(&format!("{place}the depth"), "depth_mm", *depth_mm, &limits::DEPTH_MM);
                if !(is_sheet(before) && is_sheet(layers.get(at + 1))) {
                    faults.add(format!("{place}a cavity must have a sheet on both sides"));
                }
                if let Some((material, thickness_mm)) = fill {
                    let what = format!("{place}the thickness of the fill");
                    faults.unless_built(&what, "the thickness of a fill", *thickness_mm, &limits::FILL_MM);
                    if thickness_mm > depth_mm {
                        faults.add(format!("{place}a fill of {thickness_mm} mm is deeper than its cavity"));
                    }
                    named(&place, material, materials, Nature::is_porous, "a porous fill", faults);
                }
                if let Some((what, field, value, bounds)) = bridge_number(*bridge) {
                    faults.unless_built(&format!("{place}{what}"), field, value, bounds);
                }
            }
            Layer::Resilient { material, thickness_mm } => {
                faults.unless_built(
                    &format!("{place}the thickness"),
                    "thickness_mm",
                    *thickness_mm,
                    &limits::RESILIENT_MM,
                );
                if !(is_sheet(before) && is_sheet(layers.get(at + 1))) {
                    faults.add(format!("{place}a resilient layer must have a sheet on both sides"));
                }
                named(&place, material, materials, Nature::is_resilient, "a resilient layer", faults);
            }
        }
    }
}

fn named(
    place: &str,
    id: &str,
    materials: &BTreeMap<String, Material>,
    fits: impl Fn(&Nature) -> bool,
    wanted: &str,
    faults: &mut Faults,
) {
    match lookup::find("material", materials, id) {
        Err(unknown) => faults.add(format!("{place}{unknown}")),
        Ok(material) if !fits(&material.nature) => {
            faults.add(format!("{place}the material \"{id}\" is not {wanted}"));
        }
        Ok(_) => {}
    }
}

/// The number a bridge carries: what it is, its field, its value and bounds.
fn bridge_number(bridge: Bridge) -> Option<(&'static str, &'static str, f64, &'static Limits)> {
    let per_m2 = bridge.per_m2().map(|per_m2| ("the number per m²", "per_m2", per_m2, &limits::PER_M2));
    match bridge {
        Bridge::Springs { per_m2, stiffness_n_m } if per_m2 > 0.0 && per_m2 <= limits::PER_M2.most => {
            Some(("the stiffness", "stiffness_n_m", stiffness_n_m, &limits::STIFFNESS_N_M))
        }
        _ => per_m2.or(bridge.spacing_mm().map(|mm| ("the spacing", "spacing_mm", mm, &limits::SPACING_MM))),
    }
}

pub(super) fn finish(finish: &Finish, faults: &mut Faults) {
    for alpha in finish.alpha_octaves {
        faults.unless_within("an absorption coefficient", alpha, 0.0, MOST_ABSORPTION);
    }
}

pub(super) fn sound_source(source: &SoundSource, forces: &BTreeMap<String, FloorForce>, faults: &mut Faults) {
    for lw_db in source.lw_octaves_db {
        faults.unless_within("a sound power level", lw_db, 0.0, limits::LEVEL_DB.most);
    }
    faults.unless_within("LAFmax less LAeq", source.lafmax_minus_laeq_db, 0.0, 40.0);
    faults.unless_positive("the uncertainty", source.uncertainty_db, "dB");
    for contact in &source.contacts {
        if let Err(unknown) = lookup::find("contact force", forces, &contact.force) {
            faults.add(unknown.to_string());
        }
        faults.unless_within("the offset of a contact", contact.offset_db, -60.0, 60.0);
        for length_m in contact.at {
            faults.unless_within("the place of a contact", length_m, -10.0, 10.0);
        }
    }
}

pub(super) fn target(target: &Target, targets: &BTreeMap<String, Target>, faults: &mut Faults) {
    if let Some(id) = &target.by_day {
        match targets.get(id) {
            None => faults.add(format!("there is no limit \"{id}\" for the day")),
            Some(day) if day.hours == target.hours || day.by_day.is_some() => {
                faults.add(format!("\"{id}\" is no limit for other hours than its own, by day"));
            }
            Some(day) if !target.countries.iter().all(|country| day.holds_in(country)) => {
                faults.add(format!("\"{id}\" does not hold in all of its countries"));
            }
            Some(_) => {}
        }
    }
    for hour in [target.hours.0, target.hours.1] {
        faults.unless_within("a clock hour", hour, 0.0, 24.0);
    }
    if target.countries.iter().any(|country| country.trim().is_empty()) {
        faults.add("a country has no name");
    }
    if let Some(hours) = target.averaging_h {
        faults.unless_positive("the averaging time", hours, "h");
    }
    faults.unless_within("the extra for music", target.music_extra_db, 0.0, 20.0);
    match &target.limit {
        Limit::LAeq(db) | Limit::LAFmax(db) | Limit::LCeq(db) | Limit::LowFrequencyLA(db) | Limit::NoiseRating(db) => {
            faults.unless_within("the limit", *db, -20.0, limits::LEVEL_DB.most);
        }
        Limit::Bands { levels_db, octaves } => {
            if levels_db.is_empty() {
                faults.add("it limits no band");
            }
            let midbands: &[f64] = if *octaves { &OCTAVE_HZ } else { &NOMINAL_HZ };
            for (hz, db) in levels_db {
                if !midbands.contains(hz) {
                    let kind = if *octaves { "an octave" } else { "a third octave" };
                    faults.add(format!("{hz} Hz is not the midband of {kind} that is computed"));
                }
                faults.unless_within("the limit of a band", *db, -20.0, limits::LEVEL_DB.most);
            }
            if !levels_db.is_sorted_by(|a, b| a.0 < b.0) {
                faults.add("its bands must rise, each named once");
            }
        }
        Limit::Inaudible => {}
    }
}

pub(super) fn seal(seal: &Seal, faults: &mut Faults) {
    let (least, most) = seal.gap_range_mm;
    faults.unless_positive("the least gap", least, "mm");
    if !(least <= seal.gap_mm && seal.gap_mm <= most && most.is_finite()) {
        faults.add(format!("the likely gap of {} mm must lie within {least} to {most} mm", seal.gap_mm));
    }
}

/// A price's low, likely and high value.
pub(super) fn price((low, likely, high): (f64, f64, f64), faults: &mut Faults) {
    if !(0.0 <= low && low <= likely && likely <= high && high.is_finite()) {
        faults.add(format!("the price is ({low}, {likely}, {high}); it must rise from low to high, none below zero"));
    }
}

pub(super) fn good(good: &Good, catalogue: &Catalogue, faults: &mut Faults) {
    price(good.price, faults);
    faults.unless_within("the hours of work", good.hours, 0.0, 200.0);
    faults.unless_within("what is lost in cutting", good.waste_percent, 0.0, 100.0);
    faults.unless_within("the mass", good.kg, 0.0, 2000.0);
    if let Some((least, most)) = good.load_kg
        && !(0.0 < least && least < most && most.is_finite())
    {
        faults.add(format!("the load is from {least} to {most} kg; it must rise, above zero"));
    }
    match good.sold {
        Sold::Sheet { wide_mm, high_mm, .. } => {
            for side_mm in [wide_mm, high_mm] {
                faults.unless_within("a side of the sheet, mm,", side_mm, 100.0, 10_000.0);
            }
        }
        Sold::Area(m2) => faults.unless_positive("what one covers", m2, "m²"),
        Sold::Bar(m) | Sold::Length(m) => faults.unless_positive("the length of one", m, "m"),
        Sold::Volume(m3) => faults.unless_positive("the volume of one", m3, "m³"),
        Sold::Count(count) => faults.unless_within("how many one has", count, 1.0, 1e5),
        Sold::ToMeasure => {}
    }
    for serves in &good.serves {
        let found = match serves {
            Serves::Layer(id, thickness_mm) => {
                faults.unless_positive("the thickness of a layer", *thickness_mm, "mm");
                lookup::find("material", &catalogue.materials, id).map(|_| ())
            }
            Serves::Material(id) => lookup::find("material", &catalogue.materials, id).map(|_| ()),
            Serves::Construction(id) => lookup::find("construction", &catalogue.constructions, id).map(|_| ()),
            Serves::Seal(id) => lookup::find("seal", &catalogue.seals, id).map(|_| ()),
            Serves::Finish(id) => lookup::find("finish", &catalogue.finishes, id).map(|_| ()),
            Serves::Sound(id) => lookup::find("sound", &catalogue.sources, id).map(|_| ()),
            Serves::Part(_) => Ok(()),
        };
        if let Err(unknown) = found {
            faults.add(unknown.to_string());
        }
    }
}
