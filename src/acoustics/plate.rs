//! A homogeneous plate: mass, bending stiffness, critical frequency, internal loss.

use super::{Air, NotPhysical};

/// A plate that bends as one: a concrete slab, a masonry wall with its plaster, a pane.
///
/// Holds what every model of this folder needs: mass per area, bending stiffness and internal loss, and for the thick-plate limit
/// the product of density and quasi-longitudinal speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    mass_kg_m2: f64,
    bending_stiffness_nm: f64,
    internal_loss: f64,
    longitudinal_impedance_pa_s_m: f64,
}

/// One layer of a plate: the plate itself, or plaster bonded to it over the whole face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    thickness_m: f64,
    density_kg_m3: f64,
    longitudinal_speed_m_s: f64,
    internal_loss: f64,
}

impl Layer {
    /// A layer of `thickness_m`, `density_kg_m3`, quasi-longitudinal speed of a plate cL = √(E/(ρ(1−ν²))) in m/s, and internal loss factor.
    ///
    /// # Errors
    ///
    /// When thickness, density or speed is not above zero, or the loss factor is outside 0 to 1.
    pub fn new(
        thickness_m: f64,
        density_kg_m3: f64,
        longitudinal_speed_m_s: f64,
        internal_loss: f64,
    ) -> Result<Self, NotPhysical> {
        Ok(Self {
            thickness_m: NotPhysical::unless_positive("thickness", thickness_m, "above zero, in m")?,
            density_kg_m3: NotPhysical::unless_positive("density", density_kg_m3, "above zero, in kg/m³")?,
            longitudinal_speed_m_s: NotPhysical::unless_positive(
                "quasi-longitudinal speed",
                longitudinal_speed_m_s,
                "above zero, in m/s",
            )?,
            internal_loss: loss_factor(internal_loss)?,
        })
    }

    /// Plate modulus E/(1−ν²) = ρ·cL², Pa.
    fn modulus_pa(&self) -> f64 {
        self.density_kg_m3 * self.longitudinal_speed_m_s * self.longitudinal_speed_m_s
    }
}

impl Plate {
    /// A plate of one material. `longitudinal_speed_m_s` is the quasi-longitudinal speed of a plate, cL = √(E/(ρ(1−ν²))):
    /// see [`longitudinal_speed_m_s`] for plates known by Young's modulus.
    ///
    /// B' = m'·cL²·h²/12. Source: Hopkins, Sound Insulation (2007), ch. 2 (thin plate, bending stiffness per unit width).
    ///
    /// # Errors
    ///
    /// When thickness, density or speed is not finite and above zero, or the loss factor is outside 0 to 1; says which and its value.
    ///
    /// ```
    /// # use leaklight::acoustics::plate::Plate;
    /// let error = Plate::new(0.0, 2300.0, 3800.0, 0.005).unwrap_err();
    /// assert_eq!(error.to_string(), "thickness is 0; it must be above zero, in m");
    /// ```
    pub fn new(
        thickness_m: f64,
        density_kg_m3: f64,
        longitudinal_speed_m_s: f64,
        internal_loss: f64,
    ) -> Result<Self, NotPhysical> {
        Self::bonded(&[Layer::new(thickness_m, density_kg_m3, longitudinal_speed_m_s, internal_loss)?])
    }

    /// Layers bonded over their whole faces, from one face to the other, so that they bend about one common neutral plane:
    /// plaster on brick, tiles in adhesive on a slab. Boards that can slide on each other are not one plate.
    ///
    /// B' = Σ ρcL²·(h³/12 + h·(z − z0)²), z0 the stiffness-weighted mean plane; the internal loss is the mean over the shares of B'.
    /// Source: classical laminated plate theory, Poisson ratios taken as equal (from memory, unverified).
    ///
    /// # Errors
    ///
    /// When there is no layer.
    pub fn bonded(layers: &[Layer]) -> Result<Self, NotPhysical> {
        let (mut thickness_m, mut mass_kg_m2, mut stretch, mut moment) = (0.0, 0.0, 0.0, 0.0);
        for layer in layers {
            let middle_m = thickness_m + layer.thickness_m / 2.0;
            thickness_m += layer.thickness_m;
            mass_kg_m2 += layer.density_kg_m3 * layer.thickness_m;
            stretch += layer.modulus_pa() * layer.thickness_m;
            moment += layer.modulus_pa() * layer.thickness_m * middle_m;
        }
        NotPhysical::unless_positive("number of layers", layers.len() as f64, "at least 1")?;
        let neutral_m = moment / stretch;
        let (mut bending_stiffness_nm, mut lossy_stiffness_nm, mut start_m) = (0.0, 0.0, 0.0);
        for layer in layers {
            let h = layer.thickness_m;
            let offset_m = start_m + h / 2.0 - neutral_m;
            start_m += h;
            let share_nm = layer.modulus_pa() * h * (h * h / 12.0 + offset_m * offset_m);
            bending_stiffness_nm += share_nm;
            lossy_stiffness_nm += layer.internal_loss * share_nm;
        }
        // The speed a homogeneous plate of this thickness, mass and stiffness would have.
        let speed_m_s = (12.0 * bending_stiffness_nm / mass_kg_m2).sqrt() / thickness_m;
        Ok(Self {
            mass_kg_m2,
            bending_stiffness_nm,
            internal_loss: lossy_stiffness_nm / bending_stiffness_nm,
            longitudinal_impedance_pa_s_m: mass_kg_m2 / thickness_m * speed_m_s,
        })
    }

    /// A plate as printed examples and measured walls give it: mass per area (kg/m²), critical frequency in stated air (Hz), internal loss
    /// factor, and density (kg/m³) and quasi-longitudinal speed (m/s) for the thick-plate limit.
    ///
    /// # Errors
    ///
    /// When a value is not finite and above zero, or the loss factor is outside 0 to 1.
    pub fn stated(
        mass_kg_m2: f64,
        critical_hz: f64,
        air: &Air,
        internal_loss: f64,
        density_kg_m3: f64,
        longitudinal_speed_m_s: f64,
    ) -> Result<Self, NotPhysical> {
        let critical_hz = NotPhysical::unless_positive("critical frequency", critical_hz, "above zero, in Hz")?;
        let mass_kg_m2 = NotPhysical::unless_positive("mass per area", mass_kg_m2, "above zero, in kg/m²")?;
        let density_kg_m3 = NotPhysical::unless_positive("density", density_kg_m3, "above zero, in kg/m³")?;
        let speed_m_s =
            NotPhysical::unless_positive("quasi-longitudinal speed", longitudinal_speed_m_s, "above zero, in m/s")?;
        let stiffness_root = air.speed_m_s().powi(2) / (std::f64::consts::TAU * critical_hz);
        Ok(Self {
            mass_kg_m2,
            bending_stiffness_nm: mass_kg_m2 * stiffness_root * stiffness_root,
            internal_loss: loss_factor(internal_loss)?,
            longitudinal_impedance_pa_s_m: density_kg_m3 * speed_m_s,
        })
    }

    /// m', kg/m².
    #[must_use]
    pub fn mass_kg_m2(&self) -> f64 {
        self.mass_kg_m2
    }

    /// B', bending stiffness per unit width, N·m.
    #[must_use]
    pub fn bending_stiffness_nm(&self) -> f64 {
        self.bending_stiffness_nm
    }

    /// η_int, the material's own loss factor.
    #[must_use]
    pub fn internal_loss(&self) -> f64 {
        self.internal_loss
    }

    /// ρ·cL, Pa·s/m: what the thick-plate limit depends on.
    #[must_use]
    pub fn longitudinal_impedance_pa_s_m(&self) -> f64 {
        self.longitudinal_impedance_pa_s_m
    }

    /// fc = c0²/(2π)·√(m'/B'), Hz: where the bending wave is as fast as sound. For one material c0²·√12/(2π·cL·h).
    ///
    /// ISO 12354-1:2017 Annex B rounds √12/(2π) = 0.551 to 1/1.8 and so gets 0.8 % more: use [`Plate::stated`] to follow its examples.
    /// Source: Hopkins, Sound Insulation (2007), Table A2 (tabulates h·fc).
    #[must_use]
    pub fn critical_hz(&self, air: &Air) -> f64 {
        air.speed_m_s().powi(2) / std::f64::consts::TAU * (self.mass_kg_m2 / self.bending_stiffness_nm).sqrt()
    }
}

/// cL = √(E/(ρ(1−ν²))), m/s, of a plate from Young's modulus (Pa), density (kg/m³) and Poisson's ratio.
///
/// Source: Hopkins, Sound Insulation (2007), ch. 2.
///
/// # Errors
///
/// When modulus or density is not above zero, or Poisson's ratio is outside 0 to 0.5.
pub fn longitudinal_speed_m_s(youngs_modulus_pa: f64, density_kg_m3: f64, poisson: f64) -> Result<f64, NotPhysical> {
    let modulus_pa = NotPhysical::unless_positive("Young's modulus", youngs_modulus_pa, "above zero, in Pa")?;
    let density_kg_m3 = NotPhysical::unless_positive("density", density_kg_m3, "above zero, in kg/m³")?;
    if !(0.0..=0.5).contains(&poisson) {
        return Err(NotPhysical { what: "Poisson's ratio", value: poisson, must: "between 0 and 0.5" });
    }
    Ok((modulus_pa / (density_kg_m3 * (1.0 - poisson * poisson))).sqrt())
}

fn loss_factor(value: f64) -> Result<f64, NotPhysical> {
    if (0.0..=1.0).contains(&value) {
        Ok(value)
    } else {
        Err(NotPhysical { what: "internal loss factor", value, must: "between 0 and 1" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two bonded halves of one material are the whole plate (exact).
    #[test]
    fn two_bonded_halves_make_the_whole() {
        let half = Layer::new(0.1, 2200.0, 3800.0, 0.005).unwrap();
        let (two, one) = (Plate::bonded(&[half, half]).unwrap(), Plate::new(0.2, 2200.0, 3800.0, 0.005).unwrap());
        assert!((two.bending_stiffness_nm() / one.bending_stiffness_nm() - 1.0).abs() < 1e-12);
        assert!((two.longitudinal_impedance_pa_s_m() / one.longitudinal_impedance_pa_s_m() - 1.0).abs() < 1e-12);
    }

    /// Plaster adds mass and stiffness, whichever face it is on.
    #[test]
    fn plaster_stiffens_a_brick_wall_from_either_side() {
        let brick = Layer::new(0.115, 1800.0, 2700.0, 0.01).unwrap();
        let plaster = Layer::new(0.013, 1300.0, 1610.0, 0.005).unwrap();
        let bare = Plate::bonded(&[brick]).unwrap();
        let (inside, outside) = (Plate::bonded(&[plaster, brick]).unwrap(), Plate::bonded(&[brick, plaster]).unwrap());
        assert!(inside.bending_stiffness_nm() > bare.bending_stiffness_nm());
        assert!((inside.bending_stiffness_nm() - outside.bending_stiffness_nm()).abs() < 1e-6);
    }

    #[test]
    fn a_stated_critical_frequency_comes_back() {
        let air = Air::stated(1.29, 340.0).unwrap();
        let plate = Plate::stated(484.0, 76.8, &air, 0.005, 2200.0, 3800.0).unwrap();
        assert!((plate.critical_hz(&air) - 76.8).abs() < 1e-9);
        assert!(Plate::bonded(&[]).is_err());
    }
}
