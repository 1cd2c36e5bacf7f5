//! What numbers can be, and what those of a construction can be: wide on purpose, to catch slips of a unit or a digit. They judge no design.
//! Own judgement: from the thinnest and thickest that is sold or stands anywhere.

use super::material::Material;
use super::material::Nature;

/// What a number can be, and what it usually is. Outside the first it is a slip and refused, outside the second it is doubted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limits {
    pub(crate) least: f64,
    pub(crate) most: f64,
    pub(crate) unit: &'static str,
    pub(crate) usual: [f64; 2],
    /// Why not beyond, where that is told.
    pub(crate) why: &'static str,
}

impl Limits {
    pub(crate) const fn new(least: f64, most: f64, unit: &'static str) -> Self {
        Self { least, most, unit, usual: [least, most], why: "" }
    }

    pub(crate) const fn usually(self, low: f64, high: f64) -> Self {
        Self { usual: [low, high], ..self }
    }

    const fn since(self, why: &'static str) -> Self {
        Self { why, ..self }
    }

    /// The same with the unit as it stands behind a field.
    #[cfg(feature = "window")]
    pub(crate) const fn written(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    pub(crate) fn hold(&self, value: f64) -> bool {
        (self.least..=self.most).contains(&value)
    }
}

/// Highest sound power or reduction index taken for meant.
pub(crate) const LEVEL_DB: Limits = Limits::new(0.0, 160.0, "dB");
/// Boards, panes and masonry.
pub(crate) const SOLID_MM: Limits =
    Limits::new(1.0, 3000.0, "mm").usually(2.0, 1000.0).since("no board, pane or masonry is thinner or thicker");
/// Metal, film and heavy mat.
pub(crate) const SHEETING_MM: Limits =
    Limits::new(0.1, 3000.0, "mm").usually(0.3, 1000.0).since("no sheet, film or mat is thinner or thicker");
pub(crate) const DEPTH_MM: Limits =
    Limits::new(1.0, 3000.0, "mm").usually(3.0, 1500.0).since("no cavity is shallower or deeper");
pub(crate) const FILL_MM: Limits =
    Limits::new(1.0, 3000.0, "mm").usually(5.0, 1000.0).since("no fill is thinner or thicker");
pub(crate) const RESILIENT_MM: Limits =
    Limits::new(0.5, 500.0, "mm").usually(2.0, 250.0).since("no resilient layer is thinner or thicker");
pub(crate) const SPACING_MM: Limits =
    Limits::new(20.0, 5000.0, "mm").usually(100.0, 2500.0).since("nothing stands nearer or farther apart");
pub(crate) const PER_M2: Limits =
    Limits::new(0.05, 200.0, "for each m²").usually(0.2, 50.0).since("nothing is held by fewer or more");
pub(crate) const STIFFNESS_N_M: Limits =
    Limits::new(10.0, 1e10, "N/m").usually(500.0, 1e8).since("no spring is softer or stiffer");
/// Of a construction that was measured as a whole.
pub(crate) const MEASURED_MM: Limits =
    Limits::new(0.3, 5000.0, "mm").usually(2.0, 1500.0).since("nothing that is built is thinner or thicker");
pub(crate) const MASS_KG_M2: Limits =
    Limits::new(0.1, 10_000.0, "kg/m²").usually(1.0, 3000.0).since("nothing that is built is lighter or heavier");

/// Density of plates from which on they are metal or stone, which is rolled or sawn thinner than anything else, kg/m³.
const METAL_KG_M3: f64 = 2600.0;

/// The thickness of a sheet of a material.
pub(crate) fn sheet_mm(material: Option<&Material>) -> Limits {
    match material {
        Some(Material { nature: Nature::Plate { .. }, density_kg_m3, .. }) if *density_kg_m3 < METAL_KG_M3 => SOLID_MM,
        _ => SHEETING_MM,
    }
}

/// A number as people write it, however large or small.
pub(crate) fn short(value: f64) -> String {
    if value != 0.0 && (value.abs() >= 1e6 || value.abs() < 1e-3) {
        return format!("{value:e}");
    }
    let text = format!("{:.3}", value + 0.0);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::short;

    #[test]
    fn numbers_are_written_short() {
        for (value, text) in [
            (2.5, "2.5"),
            (300.0, "300"),
            (0.0, "0"),
            (-0.0, "0"),
            (0.005, "0.005"),
            (-0.02, "-0.02"),
            (1e300, "1e300"),
            (4.2000001, "4.2"),
        ] {
            assert_eq!(short(value), text);
        }
    }
}
