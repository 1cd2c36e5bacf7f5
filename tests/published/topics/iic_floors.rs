//! Impact insulation classes of tested floors, predicted from what the handbook says of the build. Not a topic of its own.
//!
//! Heavy floors: ISO 12354-2 Annex B with the laboratory's loss. Joist floors: the layered model and reciprocity. What the book leaves
//! open (density, stiffness of pads and mats) is stated here with its source; it names no more than the layers.

use super::{Case, Outcome, annex_l};
use leaklight::acoustics::bridges::Bridge;
use leaklight::acoustics::heavy::{InSitu, laboratory_loss};
use leaklight::acoustics::layers::{Cavity, Fill, Joint, Leaf, Sheet, Stack};
use leaklight::acoustics::lining::{FloatingFloor, floating_floor_db, floating_floor_resonance_hz};
use leaklight::acoustics::mobility::plate_m_n_s;
use leaklight::acoustics::plate::Plate;
use leaklight::acoustics::radiation::PanelSides;
use leaklight::acoustics::rating::astm_e989::impact_insulation_class;
use leaklight::acoustics::structure_borne::{light_floor_sigma, ln_by_reciprocity_db};
use leaklight::acoustics::tapping_machine::{HammerContact, force_squared_n2};
use leaklight::acoustics::{Air, Bands, Spectrum};

/// A laboratory opening of common size (not printed), m.
const SIDES_M: (f64, f64) = (4.0, 3.0);
/// Modulus across the grain of softwood and of oak and other hardwoods, Pa (from memory, unverified).
const SOFTWOOD_ACROSS_PA: f64 = 0.5e9;
const HARDWOOD_ACROSS_PA: f64 = 1.0e9;
/// s' of glass wool, 75 kg/m³, 25 mm, MN/m³. Source: Hopkins, Sound Insulation (2007), Table A3.
const GLASS_WOOL_MN_M3: f64 = 12.0;
/// Boards 22 mm and battens that float, kg/m² (common practice, no source).
const FLOATING_BOARDS_KG_M2: f64 = 18.0;

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let bands = Bands::exact();
    let (ln_db, differs) = match case.id() {
        "harris-iic-01" => (slab(0.100, &bands), None),
        "harris-iic-07" => {
            let f0 = floating_floor_resonance_hz(GLASS_WOOL_MN_M3, FLOATING_BOARDS_KG_M2).unwrap();
            let gain = floating_floor_db(FloatingFloor::Dry, f0, &bands);
            (slab(0.152, &bands).zip(&gain, |ln, gain| ln - gain), None)
        }
        "harris-iic-08" => (nailed_ceiling(&bands), None),
        "harris-iic-10" => (
            resilient_ceiling(&bands),
            Some(
                "the layered model lets R dip from 1.25 to 3.15 kHz, where boards and ceiling coincide; reciprocity and the 8 dB rule hang the class on it",
            ),
        ),
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    };
    let class = impact_insulation_class(&ln_db);
    let within = case.compare("iic_db", &[f64::from(class)], case.tolerance("db"));
    match (within, differs) {
        (Ok(()), _) => Ok(Outcome::Passes),
        (Err(_), Some(why)) => Ok(Outcome::Differs(format!("IIC {class}, printed {}: {why}", case.expected("iic_db")))),
        (Err(miss), None) => Err(miss),
    }
}

fn slab(thickness_m: f64, bands: &Bands) -> Spectrum {
    let (plate, air) = (Plate::new(thickness_m, 2300.0, 3500.0, 0.006).unwrap(), Air::default());
    let sides = PanelSides::new(SIDES_M.0, SIDES_M.1).unwrap();
    let in_situ = InSitu::with_loss(&plate, sides, &laboratory_loss(&plate, bands), bands, &air);
    annex_l::annex_b_ln_db(plate.mass_kg_m2(), &in_situ.total_loss, &in_situ.sigma)
}

/// 22 mm tongued and grooved boards, 203 mm joists, 9.5 mm gypsum board nailed to them.
fn nailed_ceiling(bands: &Bands) -> Spectrum {
    let boards = Leaf::single(timber(0.022, 450.0));
    let cavity = Cavity::new(0.203, None, Bridge::Joists { spacing_mm: 406.0 }).unwrap();
    joists(boards, cavity, 0.0095, SOFTWOOD_ACROSS_PA, bands)
}

/// 20 mm oak on 12.7 mm plywood, 254 mm joists, 76 mm mineral wool, 16 mm gypsum board on resilient channels.
fn resilient_ceiling(bands: &Bands) -> Spectrum {
    let boards = Leaf::new(&[timber(0.0127, 550.0), timber(0.020, 700.0)], Joint::Screwed).unwrap();
    let wool = Fill::new(0.076, 7000.0, 14.0).unwrap();
    let cavity = Cavity::new(0.254, Some(wool), Bridge::ResilientBars { spacing_mm: 406.0 }).unwrap();
    joists(boards, cavity, 0.016, HARDWOOD_ACROSS_PA, bands)
}

/// Boards as plates stiff alike both ways: √(cL along · cL across) of timber, about 2600 m/s.
fn timber(thickness_m: f64, density_kg_m3: f64) -> Sheet {
    Sheet::plate(thickness_m, density_kg_m3, 2600.0, 0.3, 0.015).unwrap()
}

fn joists(boards: Leaf, cavity: Cavity, ceiling_m: f64, across_pa: f64, bands: &Bands) -> Spectrum {
    let gypsum = Leaf::single(Sheet::plate(ceiling_m, 750.0, 1700.0, 0.3, 0.0135).unwrap());
    let air = Air::default();
    let tau = Stack::new(vec![boards, gypsum], vec![cavity]).unwrap().transmission(SIDES_M, &air, bands);
    let mobility = plate_m_n_s(boards.bending_stiffness_nm(), boards.mass_per_area_kg_m2());
    let contact = HammerContact::on_boards(across_pa, mobility);
    let force = force_squared_n2(bands).zip(&bands.map(|hz| contact.force_ratio(hz)), |force, met| force * met);
    let sigma = light_floor_sigma(PanelSides::new(SIDES_M.0, SIDES_M.1).unwrap(), bands, &air);
    ln_by_reciprocity_db(&tau, &force, &sigma, bands, &air)
}
