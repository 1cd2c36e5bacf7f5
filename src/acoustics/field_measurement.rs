//! Quantities measured between rooms, from levels and reverberation times.
//!
//! Source: ISO 16283-1:2014, -2:2020, -3:2016, with A = 0.16 V/T, T0 = 0.5 s, A0 = 10 m².

/// Reference reverberation time T0, s. Source: ISO 16283-1:2014, 3.12.
pub const T0_S: f64 = 0.5;
/// Reference absorption area A0, m². Source: ISO 16283-1:2014, 3.11.
pub const A0_M2: f64 = 10.0;

/// The receiving room of a measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReceivingRoom {
    /// Volume, m³, > 0.
    pub volume_m3: f64,
    /// Reverberation time, s, > 0.
    pub t_s: f64,
}

impl ReceivingRoom {
    /// Equivalent absorption area 0.16 V/T, m². Source: ISO 16283-1:2014 Formula (6).
    #[must_use]
    pub fn absorption_m2(&self) -> f64 {
        0.16 * self.volume_m3 / self.t_s
    }

    /// DnT from D, dB. Source: ISO 16283-1:2014 Formula (3).
    #[must_use]
    pub fn dnt_db(&self, d_db: f64) -> f64 {
        d_db + 10.0 * (self.t_s / T0_S).log10()
    }

    /// Dn from D, dB. Source: ISO 16283-1:2014 Formula (4).
    #[must_use]
    pub fn dn_db(&self, d_db: f64) -> f64 {
        d_db - 10.0 * (self.absorption_m2() / A0_M2).log10()
    }

    /// R' from D and the common area, dB. Source: ISO 16283-1:2014 Formula (5).
    #[must_use]
    pub fn r_prime_db(&self, d_db: f64, area_m2: f64) -> f64 {
        d_db + 10.0 * (area_m2 / self.absorption_m2()).log10()
    }

    /// R'45° from the level on the façade and inside, dB. Source: ISO 16283-3:2016, element loudspeaker method.
    #[must_use]
    pub fn r_45_db(&self, outside_surface_db: f64, inside_db: f64, area_m2: f64) -> f64 {
        self.r_prime_db(outside_surface_db - inside_db, area_m2) - 1.5
    }

    /// L'nT from Li, dB. Source: ISO 16283-2:2020.
    #[must_use]
    pub fn l_prime_nt_db(&self, li_db: f64) -> f64 {
        li_db - 10.0 * (self.t_s / T0_S).log10()
    }

    /// L'n from Li, dB. Source: ISO 16283-2:2020.
    #[must_use]
    pub fn l_prime_n_db(&self, li_db: f64) -> f64 {
        li_db + 10.0 * (self.absorption_m2() / A0_M2).log10()
    }
}

/// Whether 50, 63 and 80 Hz need corner positions: volume below 25 m³, rounded to whole cubic metres.
///
/// Source: ISO 16283-1:2014 clause 8.
#[must_use]
pub fn needs_low_frequency_procedure(volume_m3: f64) -> bool {
    (volume_m3 + 0.5).floor() < 25.0
}

/// Low-frequency level from corner and default positions, dB: one third corner, two thirds default energy.
///
/// Source: ISO 16283-1:2014, 8.4.
#[must_use]
pub fn low_frequency_level_db(corner_db: f64, default_db: f64) -> f64 {
    10.0 * ((10f64.powf(corner_db / 10.0) + 2.0 * 10f64.powf(default_db / 10.0)) / 3.0).log10()
}
