//! A sheet, and the leaf that sheets without a gap between them make together.

use num_complex::Complex64;

use crate::acoustics::plate::Plate;
use crate::acoustics::{Air, NotPhysical};

/// Shear correction of a rectangular section, 5/6. Source: Mindlin (1951) uses π²/12; Reissner (1945) 5/6, taken here.
const SHEAR_CORRECTION: f64 = 5.0 / 6.0;

/// A homogeneous sheet: a board, a pane, a brick leaf, or a limp layer without bending stiffness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    thickness_m: f64,
    density_kg_m3: f64,
    longitudinal_speed_m_s: f64,
    poisson: f64,
    loss_factor: f64,
}

impl Sheet {
    /// A stiff sheet: thickness m, density kg/m³, quasi-longitudinal speed cL m/s, Poisson's ratio, internal loss factor.
    ///
    /// cL = √(E/(ρ(1 − ν²))); values for building materials: Hopkins, Sound Insulation (2007), Table A2.
    ///
    /// # Errors
    ///
    /// When thickness, density or speed is not above zero, Poisson's ratio outside 0 to 0.49, or the loss factor outside 0 to 1.
    ///
    /// ```
    /// # use leaklight::acoustics::layers::Sheet;
    /// let pane = Sheet::plate(0.006, 2500.0, 5200.0, 0.24, 0.005).unwrap();
    /// assert!((pane.mass_per_area_kg_m2() - 15.0).abs() < 1e-9);
    /// assert!(Sheet::plate(0.0, 2500.0, 5200.0, 0.24, 0.005).is_err());
    /// ```
    pub fn plate(
        thickness_m: f64,
        density_kg_m3: f64,
        longitudinal_speed_m_s: f64,
        poisson: f64,
        loss_factor: f64,
    ) -> Result<Self, NotPhysical> {
        if !(0.0..=0.49).contains(&poisson) {
            return Err(NotPhysical { what: "Poisson's ratio", value: poisson, must: "between 0 and 0.49" });
        }
        if !(0.0..=1.0).contains(&loss_factor) {
            return Err(NotPhysical { what: "loss factor", value: loss_factor, must: "between 0 and 1" });
        }
        Ok(Self {
            thickness_m: NotPhysical::unless_positive("sheet thickness", thickness_m, "above zero, in m")?,
            density_kg_m3: NotPhysical::unless_positive("sheet density", density_kg_m3, "above zero, in kg/m³")?,
            longitudinal_speed_m_s: NotPhysical::unless_positive(
                "longitudinal speed",
                longitudinal_speed_m_s,
                "above zero, in m/s",
            )?,
            poisson,
            loss_factor,
        })
    }

    /// A limp sheet: mass only (heavy vinyl, lead, bitumen). Thickness m, density kg/m³.
    ///
    /// # Errors
    ///
    /// When thickness or density is not above zero.
    pub fn limp(thickness_m: f64, density_kg_m3: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            thickness_m: NotPhysical::unless_positive("sheet thickness", thickness_m, "above zero, in m")?,
            density_kg_m3: NotPhysical::unless_positive("sheet density", density_kg_m3, "above zero, in kg/m³")?,
            longitudinal_speed_m_s: 0.0,
            poisson: 0.3,
            loss_factor: 0.0,
        })
    }

    /// Thickness, m.
    #[must_use]
    pub fn thickness_m(&self) -> f64 {
        self.thickness_m
    }

    /// Mass per area m', kg/m².
    #[must_use]
    pub fn mass_per_area_kg_m2(&self) -> f64 {
        self.thickness_m * self.density_kg_m3
    }

    /// Critical frequency c0²/(1.8 cL h), Hz, of the thin plate; infinite for a limp sheet.
    /// Source: Hopkins, Sound Insulation (2007), eq. 2.201 (from memory, unverified); ISO 12354-1:2017 Annex B.
    #[must_use]
    pub fn critical_hz(&self, air: &Air) -> f64 {
        air.speed_m_s().powi(2) / (1.8 * self.longitudinal_speed_m_s * self.thickness_m)
    }

    /// E/(1 − ν²) = ρ cL², Pa.
    fn plate_modulus_pa(&self) -> f64 {
        self.density_kg_m3 * self.longitudinal_speed_m_s.powi(2)
    }

    fn is_limp(&self) -> bool {
        self.longitudinal_speed_m_s == 0.0
    }
}

/// How the sheets of one leaf hold together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joint {
    /// Screwed, nailed or loose on one another: masses add, bending stiffnesses add, each sheet about its own middle.
    /// The critical frequency of two equal boards stays that of one.
    Screwed,
    /// Panes with a viscoelastic interlayer (laminated glass): one section at low frequencies, apart at high ones.
    Laminated,
    /// Glued or cast together over the whole face: the leaf bends as one section about its common neutral axis.
    Bonded,
}

/// One to six sheets without a gap between them, moving together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaf {
    thickness_m: f64,
    mass_kg_m2: f64,
    bending_nm: f64,
    shear_n_m: f64,
    rotary_kg: f64,
    loss_factor: f64,
    /// Stiffness EA of the panes in series, N/m, and the distance of their middles, m: what an interlayer couples. Zero otherwise.
    interlayer: (f64, f64),
    /// Complex shear stiffness of that interlayer, Pa/m; zero for the usual one.
    film_pa_m: Complex64,
}

impl Leaf {
    /// A leaf of one sheet.
    #[must_use]
    pub fn single(sheet: Sheet) -> Self {
        Self::of(&[sheet], Joint::Bonded)
    }

    /// A leaf of several sheets in contact, in order.
    ///
    /// # Errors
    ///
    /// When there is no sheet or there are more than six.
    pub fn new(sheets: &[Sheet], joint: Joint) -> Result<Self, NotPhysical> {
        if sheets.is_empty() || sheets.len() > 6 {
            return Err(NotPhysical {
                what: "number of sheets in a leaf",
                value: sheets.len() as f64,
                must: "between 1 and 6",
            });
        }
        Ok(Self::of(sheets, joint))
    }

    /// A leaf of sheets with a soft film between the first and the last, whose own sheet stands in the list; `shear_pa_m` its shear
    /// modulus over its thickness, Pa/m, `loss` its loss factor.
    ///
    /// # Errors
    ///
    /// As [`Self::new`], and when the shear stiffness is not above zero or the loss factor not a number.
    pub fn laminated(sheets: &[Sheet], shear_pa_m: f64, loss: f64) -> Result<Self, NotPhysical> {
        let shear_pa_m = NotPhysical::unless_positive("shear stiffness of a film", shear_pa_m, "above zero, in Pa/m")?;
        if !(0.0..=2.0).contains(&loss) {
            return Err(NotPhysical { what: "loss factor of a film", value: loss, must: "between 0 and 2" });
        }
        Ok(Self { film_pa_m: shear_pa_m * Complex64::new(1.0, loss), ..Self::new(sheets, Joint::Laminated)? })
    }

    fn of(sheets: &[Sheet], joint: Joint) -> Self {
        let thickness_m: f64 = sheets.iter().map(Sheet::thickness_m).sum();
        let mass_kg_m2 = sheets.iter().map(Sheet::mass_per_area_kg_m2).sum();
        // Common neutral axis of a bonded section; sheets bend about their own middle when merely screwed.
        let modulus_area: f64 = sheets.iter().map(|s| s.plate_modulus_pa() * s.thickness_m).sum();
        let mut face = 0.0;
        let mut first_moment = 0.0;
        for sheet in sheets {
            first_moment += sheet.plate_modulus_pa() * sheet.thickness_m * (face + sheet.thickness_m / 2.0);
            face += sheet.thickness_m;
        }
        let neutral_m = if modulus_area > 0.0 { first_moment / modulus_area } else { thickness_m / 2.0 };
        let (mut bending_nm, mut shear_n_m, mut rotary_kg, mut dissipated, mut face) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for sheet in sheets {
            let h = sheet.thickness_m;
            let offset = match joint {
                Joint::Bonded => face + h / 2.0 - neutral_m,
                Joint::Screwed | Joint::Laminated => 0.0,
            };
            let second_moment = h.powi(3) / 12.0 + h * offset.powi(2);
            let bending = sheet.plate_modulus_pa() * second_moment;
            bending_nm += bending;
            dissipated += bending * sheet.loss_factor;
            rotary_kg += sheet.density_kg_m3 * second_moment;
            // G = E/(2(1 + ν)) = ρ cL² (1 − ν)/2.
            shear_n_m += SHEAR_CORRECTION * sheet.plate_modulus_pa() * (1.0 - sheet.poisson) / 2.0 * h;
            face += h;
        }
        // Limp sheets on a stiff one only add mass; their damping is in the loss factor the user gives the stiff one.
        let loss_factor = if bending_nm > 0.0 { dissipated / bending_nm } else { 0.0 };
        if sheets.iter().all(Sheet::is_limp) {
            bending_nm = 0.0;
        }
        let interlayer = match (joint, sheets) {
            (Joint::Laminated, [first, .., last]) => {
                let ea = |sheet: &Sheet| sheet.plate_modulus_pa() * sheet.thickness_m;
                let series = ea(first) * ea(last) / (ea(first) + ea(last)).max(f64::MIN_POSITIVE);
                (series, thickness_m - (first.thickness_m + last.thickness_m) / 2.0)
            }
            _ => (0.0, 0.0),
        };
        let film_pa_m = Complex64::ZERO;
        Self { thickness_m, mass_kg_m2, bending_nm, shear_n_m, rotary_kg, loss_factor, interlayer, film_pa_m }
    }

    /// A sandwich: two faces held apart by a light core that carries shear (honeycomb or slatted door, foam panel).
    /// `core_shear_pa` shear modulus of the core, `core_kg_m3` its density.
    pub(crate) fn sandwich(first: &Self, second: &Self, core_m: f64, core_kg_m2: f64, core_shear_pa: f64) -> Self {
        let stiffness = |leaf: &Self| 12.0 * leaf.bending_nm / leaf.thickness_m.powi(2);
        let (a, b) = (stiffness(first), stiffness(second));
        let arm = core_m + (first.thickness_m + second.thickness_m) / 2.0;
        let mass = first.mass_kg_m2 + second.mass_kg_m2 + core_kg_m2;
        let series = if a + b > 0.0 { a * b / (a + b) } else { 0.0 };
        Self {
            thickness_m: first.thickness_m + second.thickness_m + core_m,
            mass_kg_m2: mass,
            bending_nm: first.bending_nm + second.bending_nm + series * arm.powi(2),
            shear_n_m: core_shear_pa * arm.powi(2) / core_m,
            rotary_kg: mass * arm.powi(2) / 4.0,
            loss_factor: first.loss_factor.max(second.loss_factor),
            interlayer: (0.0, 0.0),
            film_pa_m: Complex64::ZERO,
        }
    }

    /// Thickness, m.
    #[must_use]
    pub fn thickness_m(&self) -> f64 {
        self.thickness_m
    }

    /// Mass per area m', kg/m².
    #[must_use]
    pub fn mass_per_area_kg_m2(&self) -> f64 {
        self.mass_kg_m2
    }

    /// Bending stiffness per width B', N·m; zero when limp.
    #[must_use]
    pub fn bending_stiffness_nm(&self) -> f64 {
        self.bending_nm
    }

    /// Bending stiffness the interlayer adds at a squared wavenumber, N·m: complex, as the interlayer loses energy. `shear_pa_m` is that of
    /// the usual one, for a leaf that does not know its own.
    ///
    /// Source: Ross, Ungar & Kerwin (1959), two equal faces and a thin core; Cremer, Heckl & Petersson, Structure-Borne Sound, ch. 4.
    pub(crate) fn interlayer_nm(&self, wavenumber_squared: f64, shear_pa_m: Complex64) -> Complex64 {
        let (series, arm) = self.interlayer;
        if series <= 0.0 {
            return Complex64::ZERO;
        }
        let shear_pa_m = if self.film_pa_m == Complex64::ZERO { shear_pa_m } else { self.film_pa_m };
        let coupling = shear_pa_m / (wavenumber_squared.max(1e-9) * series);
        series * arm * arm * coupling / (1.0 + coupling)
    }

    /// True when an interlayer couples its panes.
    pub(crate) fn is_laminated(&self) -> bool {
        self.interlayer.0 > 0.0
    }

    /// Shear stiffness per width κGh, N/m.
    pub(crate) fn shear_stiffness_n_m(&self) -> f64 {
        self.shear_n_m
    }

    /// Rotary inertia per area ρI, kg.
    pub(crate) fn rotary_inertia_kg(&self) -> f64 {
        self.rotary_kg
    }

    /// Internal loss factor of the bending motion.
    #[must_use]
    pub fn loss_factor(&self) -> f64 {
        self.loss_factor
    }

    /// The leaf as a heavy element: the plate of its mass, stiffness, loss and thickness.
    ///
    /// # Errors
    ///
    /// When it is limp.
    pub fn plate(&self) -> Result<Plate, NotPhysical> {
        Plate::of_section(self.thickness_m, self.mass_kg_m2, self.bending_nm, self.loss_factor)
    }

    /// The one sheet of its mass, thickness, bending stiffness and loss: how a bonded section lies among sheets it only touches.
    ///
    /// # Errors
    ///
    /// When it is limp.
    pub fn section(&self) -> Result<Sheet, NotPhysical> {
        let speed_m_s = (12.0 * self.bending_nm / self.mass_kg_m2).sqrt() / self.thickness_m;
        // Poisson's ratio matters for shear alone, which a thin section hardly feels.
        Sheet::plate(self.thickness_m, self.mass_kg_m2 / self.thickness_m, speed_m_s, 0.3, self.loss_factor)
    }

    /// Critical frequency of the thin plate, c0²/(2π)·√(m'/B'), Hz; infinite when limp.
    #[must_use]
    pub fn critical_hz(&self, air: &Air) -> f64 {
        air.speed_m_s().powi(2) / std::f64::consts::TAU * (self.mass_kg_m2 / self.bending_nm).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two bonded halves of one material are the whole plate, by each form (exact).
    #[test]
    fn two_bonded_halves_make_the_whole() {
        let sheet = |thickness_m: f64| Sheet::plate(thickness_m, 2200.0, 3800.0, 0.2, 0.005).unwrap();
        let two = Leaf::new(&[sheet(0.1), sheet(0.1)], Joint::Bonded).unwrap();
        let one = Plate::new(0.2, 2200.0, 3800.0, 0.005).unwrap();
        for plate in [two.plate(), Leaf::single(two.section().unwrap()).plate()].map(Result::unwrap) {
            assert!((plate.bending_stiffness_nm() / one.bending_stiffness_nm() - 1.0).abs() < 1e-12);
            assert!((plate.longitudinal_impedance_pa_s_m() / one.longitudinal_impedance_pa_s_m() - 1.0).abs() < 1e-12);
        }
    }

    /// Plaster adds mass and stiffness, whichever face it is on.
    #[test]
    fn plaster_stiffens_a_brick_wall_from_either_side() {
        let brick = Sheet::plate(0.115, 1800.0, 2700.0, 0.2, 0.01).unwrap();
        let plaster = Sheet::plate(0.013, 1300.0, 1610.0, 0.2, 0.005).unwrap();
        let bending_nm = |sheets: &[Sheet]| Leaf::new(sheets, Joint::Bonded).unwrap().bending_stiffness_nm();
        let (inside, outside) = (bending_nm(&[plaster, brick]), bending_nm(&[brick, plaster]));
        assert!(inside > bending_nm(&[brick]) && (inside - outside).abs() < 1e-6);
    }
}
