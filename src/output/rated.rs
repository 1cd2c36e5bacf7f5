//! What constructions do to sound by themselves.

use std::sync::Arc;

use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::{Air, Bands, Spectrum};
use crate::catalogue::{Build, Catalogue, Construction};
use crate::solve::construction::{laboratory_size_m, reduction};

/// A construction, rated.
#[derive(Debug, Clone, PartialEq)]
pub struct Rated {
    /// R, dB; of a vent Dn,e.
    pub r_db: Spectrum,
    /// Its rating by ISO 717-1.
    pub airborne: Airborne,
    /// Mass per area, kg/m².
    pub mass_kg_m2: f64,
}

/// Why there is no rating, or the rating.
pub type Rating = Result<Arc<Rated>, String>;

/// Rates a construction in the opening laboratories use for its kind.
///
/// # Errors
///
/// When it has no sound reduction index, or one that cannot be computed; a sentence.
pub fn rate(catalogue: &Catalogue, construction: &Construction) -> Rating {
    if construction.build == Build::Open {
        return Err("A hole keeps nothing back.".to_owned());
    }
    let size_m = laboratory_size_m(construction.kind);
    let curve = reduction(catalogue, construction, size_m, &Air::default(), &Bands::exact())
        .map_err(|why| crate::output::words::heading(&why.to_string()))?;
    if !curve.r_db.is_finite() {
        return Err("It cannot be computed.".to_owned());
    }
    let airborne = Airborne::of_spectrum(&curve.r_db);
    Ok(Arc::new(Rated { r_db: curve.r_db, airborne, mass_kg_m2: curve.mass_per_area_kg_m2 }))
}
