//! Measured data of porous materials, as printed.

/// Data of an open-pore material for rigid-frame models.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigidFrame {
    /// Table of the source.
    pub table: &'static str,
    /// Name in that table.
    pub name: &'static str,
    /// Flow resistivity, Pa·s/m².
    pub flow_resistivity_pa_s_m2: f64,
    /// Porosity.
    pub porosity: f64,
    /// Tortuosity α∞.
    pub tortuosity: f64,
    /// Viscous characteristic length Λ, µm.
    pub viscous_length_um: f64,
    /// Thermal characteristic length Λ′, µm.
    pub thermal_length_um: f64,
}

const fn row(table: &'static str, name: &'static str, values: [f64; 5]) -> RigidFrame {
    RigidFrame {
        table,
        name,
        flow_resistivity_pa_s_m2: values[0],
        porosity: values[1],
        tortuosity: values[2],
        viscous_length_um: values[3],
        thermal_length_um: values[4],
    }
}

/// Source: Allard & Atalla, Propagation of Sound in Porous Media, 2nd ed. (2009), the tables named.
pub const RIGID_FRAMES: [RigidFrame; 13] = [
    row("Table 8.1", "Material 1", [50_000.0, 0.98, 1.4, 50.0, 150.0]),
    row("Table 11.2", "soft fibrous", [25_000.0, 0.98, 1.02, 90.0, 180.0]),
    row("Table 11.3", "foam", [5_000.0, 0.98, 1.1, 150.0, 216.0]),
    row("Table 11.4", "blanket", [34_000.0, 0.98, 1.18, 60.0, 86.0]),
    row("Table 11.4", "screen", [3_200_000.0, 0.8, 2.56, 6.0, 24.0]),
    row("Table 11.4", "foam 4", [65_000.0, 0.99, 1.98, 37.0, 120.0]),
    row("Table 11.5", "felt", [23_000.0, 0.99, 1.4, 64.0, 131.0]),
    row("Table 11.7", "carpet 1", [5_000.0, 0.99, 1.0, 23.0, 28.0]),
    row("Table 11.7", "fibrous layer", [33_000.0, 0.98, 1.1, 50.0, 110.0]),
    row("Table 11.9", "foam", [6_600.0, 0.98, 1.03, 200.0, 380.0]),
    row("Table 12.2", "mineral wool", [34_000.0, 0.95, 1.0, 40.0, 80.0]),
    row("Table 13.1", "foam", [12_569.0, 0.99, 1.02, 78.0, 192.0]),
    row("Table 13.2", "rockwool", [135_000.0, 0.94, 2.1, 49.0, 166.0]),
];

/// Dynamic modulus of elasticity of resilient layers, MPa, from and to; s′ = E/d.
/// Source: Vigran, Building Acoustics (2008), Table 8.3.
pub const DYNAMIC_MODULI_MPA: [(&str, [f64; 2]); 4] = [
    ("glass wool, about 125 kg/m3", [0.11, 0.13]),
    ("rock wool, 150-175 kg/m3", [0.27, 0.33]),
    ("polystyrene, 10-20 kg/m3", [0.3, 3.0]),
    ("cork, 120-250 kg/m3", [10.0, 30.0]),
];
