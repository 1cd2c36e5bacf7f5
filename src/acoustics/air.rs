//! The air: density, speed of sound, impedance.

use super::NotPhysical;

/// Air as a medium. A parameter everywhere, because printed examples differ (ISO 12354-1:2017 Annex L: 1.29 kg/m³, 340 m/s).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    density_kg_m3: f64,
    speed_m_s: f64,
    temperature_c: f64,
    humidity_percent: f64,
}

impl Air {
    /// Dry-air density and speed of sound at a temperature and 101 325 Pa; `humidity_percent` serves absorption only.
    ///
    /// c0 = 331.45·√(T/273.15) m/s and ρ0 = 101 325/(287.05·T) kg/m³, T in kelvin: 343.4 m/s and 1.204 kg/m³ at 20 °C.
    /// Source: Hopkins, Sound Insulation (2007), eqs. 1.1 and 1.3 (from memory, unverified).
    ///
    /// # Errors
    ///
    /// When the temperature is outside −40 to 60 °C or the humidity outside 0 to 100 %.
    pub fn at(temperature_c: f64, humidity_percent: f64) -> Result<Self, NotPhysical> {
        if !(-40.0..=60.0).contains(&temperature_c) {
            return Err(NotPhysical {
                what: "air temperature",
                value: temperature_c,
                must: "between -40 and 60, in °C",
            });
        }
        if !(0.0..=100.0).contains(&humidity_percent) {
            return Err(NotPhysical {
                what: "relative humidity",
                value: humidity_percent,
                must: "between 0 and 100, in %",
            });
        }
        let kelvin = temperature_c + 273.15;
        Ok(Self {
            density_kg_m3: 101_325.0 / (287.05 * kelvin),
            speed_m_s: 331.45 * (kelvin / 273.15).sqrt(),
            temperature_c,
            humidity_percent,
        })
    }

    /// Air of a stated density (kg/m³) and speed of sound (m/s), to follow a printed example. Temperature 20 °C, humidity 50 %.
    ///
    /// # Errors
    ///
    /// When either is not finite and above zero.
    pub fn stated(density_kg_m3: f64, speed_m_s: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            density_kg_m3: NotPhysical::unless_positive("air density", density_kg_m3, "above zero, in kg/m³")?,
            speed_m_s: NotPhysical::unless_positive("speed of sound", speed_m_s, "above zero, in m/s")?,
            temperature_c: 20.0,
            humidity_percent: 50.0,
        })
    }

    /// ρ0, kg/m³.
    #[must_use]
    pub fn density_kg_m3(&self) -> f64 {
        self.density_kg_m3
    }

    /// c0, m/s.
    #[must_use]
    pub fn speed_m_s(&self) -> f64 {
        self.speed_m_s
    }

    /// Characteristic impedance ρ0·c0, Pa·s/m.
    #[must_use]
    pub fn impedance_pa_s_m(&self) -> f64 {
        self.density_kg_m3 * self.speed_m_s
    }

    /// Temperature, °C.
    #[must_use]
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c
    }

    /// Relative humidity, %.
    #[must_use]
    pub fn humidity_percent(&self) -> f64 {
        self.humidity_percent
    }

    /// Wavenumber ω/c0, 1/m, at `hz`.
    #[must_use]
    pub fn wavenumber(&self, hz: f64) -> f64 {
        std::f64::consts::TAU * hz / self.speed_m_s
    }
}

impl Default for Air {
    /// 20 °C and 50 % relative humidity.
    fn default() -> Self {
        Self::at(20.0, 50.0).expect("20 °C and 50 % are within the limits")
    }
}
