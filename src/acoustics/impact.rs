//! Impact levels Ln: heavy and light floors under the tapping machine, what covers them, and round the junctions.

use super::air::Air;
use super::bands::{Bands, Spectrum};
use super::flanking::{Leg, REFERENCE_AREA_M2};
use super::heavy::InSitu;
use super::plate::Plate;
use super::radiation::{PanelSides, sigma_forced};
use super::structure_borne::ln_by_reciprocity_db;
use super::tapping_machine::HammerContact;

/// Normalised impact level Ln of a bare heavy floor in situ, dB: 155 − 30 lg m' + 10 lg Ts + 10 lg σ + 10 lg(f/1000).
///
/// Third octaves. Source: ISO 12354-2:2017 Annex B.
#[must_use]
pub fn heavy_floor_ln_db(plate: &Plate, floor: &InSitu, bands: &Bands) -> Spectrum {
    ln_from_parts_db(plate.mass_kg_m2(), &floor.reverberation_s, &floor.sigma, bands)
}

/// As [`heavy_floor_ln_db`], from mass per area (kg/m²), structural reverberation time (s) and radiation efficiency.
#[must_use]
pub fn ln_from_parts_db(mass_kg_m2: f64, reverberation_s: &Spectrum, sigma: &Spectrum, bands: &Bands) -> Spectrum {
    Spectrum::from_fn(|band| {
        155.0 - 30.0 * mass_kg_m2.log10()
            + 10.0 * (reverberation_s[band] * sigma[band] * bands.hz(band) / 1000.0).log10()
    })
}

/// Impact level of the direct path, dB: Ln,d = Ln − ΔL − ΔLd, floor covering above and ceiling below.
/// Source: ISO 12354-2:2017, 4.2.
#[must_use]
pub fn direct_path_ln_db(ln_db: &Spectrum, delta_l_db: &Spectrum, ceiling_db: &Spectrum) -> Spectrum {
    Spectrum::from_fn(|band| ln_db[band] - delta_l_db[band] - ceiling_db[band])
}

/// Impact level of a flanking path, dB, from floor i into the element j that radiates:
/// Ln,ij = Ln − ΔL + (Ri − Rj)/2 − ΔRj − D̄v,ij − 10 lg√(Si/Sj).
///
/// The legs bring τ, area and lining of the floor and of the other element; a lining of the floor itself (`floor.delta_r_db`) is not
/// counted, for the blow lands beneath or on it: that is `delta_l_db`. Source: ISO 12354-2:2017, 4.2 (reproduces Table G.4).
#[must_use]
pub fn flanking_path_ln_db(
    ln_db: &Spectrum,
    delta_l_db: &Spectrum,
    floor: &Leg,
    other: &Leg,
    velocity_level_difference_db: &Spectrum,
) -> Spectrum {
    let areas_db = 5.0 * (floor.area_m2 / other.area_m2).log10();
    Spectrum::from_fn(|band| {
        let half_difference_db = 5.0 * (other.tau[band] / floor.tau[band]).log10();
        ln_db[band] - delta_l_db[band] + half_difference_db
            - other.delta_r_db[band]
            - velocity_level_difference_db[band]
            - areas_db
    })
}

/// Normalised impact level of a layered light floor without a measured Ln, dB: reciprocity with the σ of [`light_floor_sigma`].
///
/// `tau` is that of the whole bare floor, by test or by [`super::layers`]; `contact` of hammer and boards. Against the light reference
/// floor of ISO 717-2 it is within 9 dB a band: 6 to 9 dB low from 100 to 200 Hz, within 2 dB on the mean. A measured Ln is
/// always better. Source: Heckl & Rathe, JASA 35 (1963) 1825 (from memory, unverified), with the force of hammers on boards ([`HammerContact::on_boards`]).
#[must_use]
pub fn light_floor_ln_db(
    tau: &Spectrum,
    sides: PanelSides,
    contact: &HammerContact,
    bands: &Bands,
    air: &Air,
) -> Spectrum {
    ln_by_reciprocity_db(tau, &contact.force_squared_n2(bands), &light_floor_sigma(sides, bands, air), bands, air)
}

/// Radiation efficiency that reciprocity takes for the boards of a light floor: that of forced waves.
///
/// Sound that rises through a floor moves its top in waves that do radiate. Free waves of boards do not: with their σ the level would
/// come out 13 dB too high. Own choice in place of the σ = 1 of Heckl & Rathe.
#[must_use]
pub fn light_floor_sigma(sides: PanelSides, bands: &Bands, air: &Air) -> Spectrum {
    bands.map(|hz| sigma_forced(sides, hz, air))
}

/// Level that a contact force makes where an impact level is known, dB: Ln + 10 lg(F²/F_tap²) + 10 lg(A0/A), per band.
///
/// `force_over_tapping`: [`super::contact_force::ContactForce::over_tapping_machine`]; `absorption_m2`: of the room that hears it.
/// The floor's own transfer cancels, so it serves measured, tabulated and computed impact levels alike, all paths or one.
#[must_use]
pub fn level_of_force_db(ln_db: &Spectrum, force_over_tapping: &Spectrum, absorption_m2: &Spectrum) -> Spectrum {
    Spectrum::from_fn(|band| {
        ln_db[band] + 10.0 * (force_over_tapping[band] * REFERENCE_AREA_M2 / absorption_m2[band]).log10()
    })
}
