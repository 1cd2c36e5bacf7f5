//! Vibration reduction index Kij of a junction: one formula for each type of ISO 12354-1:2017 Annex E.
//!
//! M = lg(m'⊥/m'own): own is the element followed, ⊥ the one across it. [`super::junction_node`] chooses the formula for a pair
//! of arms of a real node; here they stand alone. The lower bound ([`most_kij_factor`]) needs areas and is left to the caller.

/// Frequency to which the layered elements' formulas refer, Hz. Source: ISO 12354-1:2017 Annex E.
pub const LAYERED_REFERENCE_HZ: f64 = 500.0;
/// Slope of the layered elements' formulas, dB per decade. Source: ISO 12354-1:2017 Annex E.
const LAYERED_SLOPE_DB: f64 = 3.3;

/// Two indices of one junction, dB: straight through and round the corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KijPair {
    /// Along the element that runs on (K13).
    pub through_db: f64,
    /// From it into the perpendicular one (K12).
    pub corner_db: f64,
}

fn mass_ratio_lg(own_kg_m2: f64, across_kg_m2: f64) -> f64 {
    (across_kg_m2 / own_kg_m2).log10()
}

/// Rigid cross of homogeneous elements: K13 = 8.7 + 17.1M + 5.7M², K12 = 8.7 + 5.7M².
///
/// Masses per area in kg/m², both above zero; the same in every band. Source: ISO 12354-1:2017 Annex E, rigid cross junction.
///
/// ```
/// # use leaklight::acoustics::junction::rigid_cross;
/// let k = rigid_cross(1.0, 1.6028); // EN 12354-1:2000 Annex H, floor: printed 12.4 and 8.9
/// assert!((k.through_db - 12.4).abs() < 0.05 && (k.corner_db - 8.9).abs() < 0.05);
/// ```
#[must_use]
pub fn rigid_cross(own_kg_m2: f64, across_kg_m2: f64) -> KijPair {
    let m = mass_ratio_lg(own_kg_m2, across_kg_m2);
    KijPair { through_db: 8.7 + 17.1 * m + 5.7 * m * m, corner_db: 8.7 + 5.7 * m * m }
}

/// Rigid T of homogeneous elements: K13 = 5.7 + 14.1M + 5.7M², K12 = 5.7 + 5.7M². Own is the element that runs through.
///
/// Source: ISO 12354-1:2017 Annex E, rigid T junction.
#[must_use]
pub fn rigid_t(own_kg_m2: f64, across_kg_m2: f64) -> KijPair {
    let m = mass_ratio_lg(own_kg_m2, across_kg_m2);
    KijPair { through_db: 5.7 + 14.1 * m + 5.7 * m * m, corner_db: 5.7 + 5.7 * m * m }
}

/// Corner of two homogeneous elements: K12 = 15|M| − 3, at least −2 dB. Source: ISO 12354-1:2017 Annex E, corner.
#[must_use]
pub fn corner_db(own_kg_m2: f64, other_kg_m2: f64) -> f64 {
    (15.0 * mass_ratio_lg(own_kg_m2, other_kg_m2).abs() - 3.0).max(-2.0)
}

/// Change of thickness in line: K12 = 5M² − 5. Source: EN 12354-1:2000 Annex E, change in thickness (from memory, unverified).
#[must_use]
pub fn thickness_change_db(own_kg_m2: f64, other_kg_m2: f64) -> f64 {
    5.0 * mass_ratio_lg(own_kg_m2, other_kg_m2).powi(2) - 5.0
}

/// Lightweight façade running past a heavy wall or floor: K13 = 5 + 10M, at least 5 dB; K12 = 10 + 10|M|. Own is the façade.
///
/// Source: ISO 12354-1:2017 Annex E, lightweight façade.
#[must_use]
pub fn lightweight_facade(facade_kg_m2: f64, heavy_kg_m2: f64) -> KijPair {
    let m = mass_ratio_lg(facade_kg_m2, heavy_kg_m2);
    KijPair { through_db: (5.0 + 10.0 * m).max(5.0), corner_db: 10.0 + 10.0 * m.abs() }
}

/// Light double-leaf walls on both sides of a heavy element, from one light wall to the other:
/// K13 = 10 + 20M − 3.3 lg(f/500), at least 10 dB. Own is the light element.
///
/// Source: ISO 12354-1:2017 Annex E, lightweight double leaf walls and homogeneous elements.
#[must_use]
pub fn light_past_heavy_db(light_kg_m2: f64, heavy_kg_m2: f64, hz: f64) -> f64 {
    let m = mass_ratio_lg(light_kg_m2, heavy_kg_m2);
    (10.0 + 20.0 * m - LAYERED_SLOPE_DB * (hz / LAYERED_REFERENCE_HZ).log10()).max(10.0)
}

/// Light double-leaf wall to the heavy element it meets: K12 = 10 + 10|M| + 3.3 lg(f/500).
///
/// Source: ISO 12354-1:2017 Annex E, lightweight double leaf walls and homogeneous elements.
#[must_use]
pub fn light_to_heavy_db(light_kg_m2: f64, heavy_kg_m2: f64, hz: f64) -> f64 {
    10.0 + 10.0 * mass_ratio_lg(light_kg_m2, heavy_kg_m2).abs() + LAYERED_SLOPE_DB * (hz / LAYERED_REFERENCE_HZ).log10()
}

/// Along the heavy element past the light double-leaf walls: K24 = 3 + 14.1M + 5.7M², own the heavy element.
///
/// The standard states it for a heavy element of more than three times the light one's mass. The parabola's branch beyond its lowest point
/// (M = −1.24, −5.7 dB) is not followed. Source: ISO 12354-1:2017 Annex E, lightweight double leaf walls and homogeneous elements
/// (constants and mass limit from memory, unverified).
#[must_use]
pub fn heavy_past_light_db(heavy_kg_m2: f64, light_kg_m2: f64) -> f64 {
    let m = mass_ratio_lg(heavy_kg_m2, light_kg_m2).max(-14.1 / (2.0 * 5.7));
    3.0 + 14.1 * m + 5.7 * m * m
}

/// Coupled light double-leaf walls: K13 = 10 + 20M − 3.3 lg(f/500), at least 10 dB; K12 = 10 + 10|M| − 3.3 lg(f/500).
///
/// Source: ISO 12354-1:2017 Annex E, coupled lightweight double leaf walls.
#[must_use]
pub fn coupled_light(own_kg_m2: f64, across_kg_m2: f64, hz: f64) -> KijPair {
    let m = mass_ratio_lg(own_kg_m2, across_kg_m2);
    let slope_db = LAYERED_SLOPE_DB * (hz / LAYERED_REFERENCE_HZ).log10();
    KijPair { through_db: (10.0 + 20.0 * m - slope_db).max(10.0), corner_db: 10.0 + 10.0 * m.abs() - slope_db }
}

/// The most 10^(−Kij/10) can be; junction length in m, areas in m². The least Kij is 10 lg[l·l0·(1/Si + 1/Sj)], l0 = 1 m.
///
/// Source: EN 12354-1:2000 Formula (29); ISO 12354-1:2017, 4.4.
#[must_use]
pub fn most_kij_factor(length_m: f64, area_i_m2: f64, area_j_m2: f64) -> f64 {
    (length_m * (1.0 / area_i_m2 + 1.0 / area_j_m2)).recip()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Corner values do not care from which side they are seen.
    #[test]
    fn corners_are_the_same_from_both_sides() {
        for (a, b) in [(100.0, 460.0), (12.0, 300.0), (484.0, 484.0)] {
            assert!((rigid_cross(a, b).corner_db - rigid_cross(b, a).corner_db).abs() < 1e-12);
            assert!((rigid_t(a, b).corner_db - rigid_t(b, a).corner_db).abs() < 1e-12);
            assert!((corner_db(a, b) - corner_db(b, a)).abs() < 1e-12);
            assert!((light_to_heavy_db(a, b, 200.0) - light_to_heavy_db(b, a, 200.0)).abs() < 1e-12);
        }
    }

    #[test]
    fn a_heavier_crossing_wall_never_helps_a_heavy_floor_past_light_walls() {
        assert!(heavy_past_light_db(300.0, 1.0) <= heavy_past_light_db(300.0, 100.0));
        assert!((heavy_past_light_db(300.0, 1.0) - heavy_past_light_db(300.0, 5.0)).abs() < 1e-12);
    }
}
