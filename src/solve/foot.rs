//! What two heavy leaves share at their foot: structure-borne sound goes down one, round by what both stand on, and up the other.
//!
//! The isolation of cavity masonry "is affected by connections (such as wall ties and foundations) between the wall leaves" (Approved Document E, 2003, 2.61).
//! Surveys of houses found cavity brick party walls no better than plastered solid ones (Building Research Establishment, Field measurements of the sound
//! insulation of plastered cavity masonry walls, 1980, abstract), where the cavity alone would gain 5 to 10 dB and soft ties take little of that.

use crate::acoustics::flanking::{FlankingElement, FlankingFactors, path_area_m2};
use crate::acoustics::heavy::{InSitu, laboratory_loss};
use crate::acoustics::junction::rigid_cross;
use crate::acoustics::layers::Stack;
use crate::acoustics::plate::Plate;
use crate::acoustics::radiation::PanelSides;
use crate::acoustics::{NotPhysical, Spectrum};

use super::conditions::Conditions;

/// How much less passes where each leaf has a foundation of its own, dB: what DIN 4109-2:2018 adds for two-leaf party walls is 12 dB where all is parted and
/// 6 dB where the base runs through (from memory, unverified).
const OWN_FOOT_DB: f64 = 6.0;

/// Both leaves as plates in a laboratory opening.
pub(super) fn in_laboratory(
    plates: &[Plate; 2],
    size: (f64, f64),
    conditions: &Conditions,
) -> Result<[InSitu; 2], NotPhysical> {
    let sides = PanelSides::new(size.0, size.1)?;
    let (bands, air) = (&conditions.bands, &conditions.element_air);
    Ok([&plates[0], &plates[1]]
        .map(|plate| InSitu::with_loss(plate, sides, &laboratory_loss(plate, bands), bands, air)))
}

/// Transmission coefficient of the path by the foot, which is `length_m` long.
///
/// The two leaves and the base on both sides are a cross, and from leaf to leaf it is round the corner (ISO 12354-1:2017 Annex E): 8.7 dB with arms of one mass, the
/// least there is, since the scene does not say what the base weighs. Leaves that ties join stand on one base, others each on its own. Own use of both, for lack of a
/// listed case; it follows what DIN 4109-32:2016 has for such walls (see the test).
pub(super) fn tau(stack: &Stack, leaves: &[InSitu; 2], length_m: f64) -> Spectrum {
    let shared = stack.cavities().iter().any(|cavity| cavity.bridge().is_tie());
    let corner_db = rigid_cross(1.0, 1.0).corner_db + if shared { 0.0 } else { OWN_FOOT_DB };
    let [first, last] = [&leaves[0], &leaves[1]].map(|leaf| {
        FlankingFactors::of(&FlankingElement {
            // Only free waves go round.
            tau: leaf.tau_resonant,
            area_m2: leaf.area_m2,
            absorption_length_m: leaf.absorption_length_m,
            delta_r_db: Spectrum::ZERO,
        })
    });
    let factor = Spectrum::splat(10f64.powf(-corner_db / 10.0));
    path_area_m2(&first, &last, length_m, &factor).map(|area_m2| area_m2 / leaves[0].area_m2)
}
