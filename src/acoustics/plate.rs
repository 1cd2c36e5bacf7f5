//! A homogeneous plate: mass, bending stiffness, critical frequency, internal loss.

use super::NotPhysical;
use super::air::Air;

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
        NotPhysical::unless_positive("thickness", thickness_m, "above zero, in m")?;
        NotPhysical::unless_positive("density", density_kg_m3, "above zero, in kg/m³")?;
        let speed_m_s =
            NotPhysical::unless_positive("quasi-longitudinal speed", longitudinal_speed_m_s, "above zero, in m/s")?;
        let bending_nm = density_kg_m3 * speed_m_s * speed_m_s * thickness_m * (thickness_m * thickness_m / 12.0);
        Self::of_section(thickness_m, density_kg_m3 * thickness_m, bending_nm, internal_loss)
    }

    /// A plate of any section: thickness (m), mass per area (kg/m²), bending stiffness per unit width (N·m), internal loss factor.
    ///
    /// # Errors
    ///
    /// When one of the first three is not finite and above zero, or the loss factor is outside 0 to 1.
    pub fn of_section(
        thickness_m: f64,
        mass_kg_m2: f64,
        bending_stiffness_nm: f64,
        internal_loss: f64,
    ) -> Result<Self, NotPhysical> {
        NotPhysical::unless_positive("thickness", thickness_m, "above zero, in m")?;
        NotPhysical::unless_positive("mass per area", mass_kg_m2, "above zero, in kg/m²")?;
        NotPhysical::unless_positive("bending stiffness", bending_stiffness_nm, "above zero, in N·m")?;
        // The speed a homogeneous plate of this thickness, mass and stiffness would have.
        let speed_m_s = (12.0 * bending_stiffness_nm / mass_kg_m2).sqrt() / thickness_m;
        Ok(Self {
            mass_kg_m2,
            bending_stiffness_nm,
            internal_loss: loss_factor(internal_loss)?,
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

    #[test]
    fn a_stated_critical_frequency_comes_back() {
        let air = Air::stated(1.29, 340.0).unwrap();
        let plate = Plate::stated(484.0, 76.8, &air, 0.005, 2200.0, 3800.0).unwrap();
        assert!((plate.critical_hz(&air) - 76.8).abs() < 1e-9);
    }
}
