//! The space between two leaves, what fills it and what bridges it.

use crate::acoustics::NotPhysical;
use crate::acoustics::bridges::Connection;

/// Most leaves a stack may have.
pub const MOST_LEAVES: usize = 4;

/// One between each two of them.
pub(super) const MOST_CAVITIES: usize = MOST_LEAVES - 1;

/// A porous fill: a limp blanket of known flow resistivity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    thickness_m: f64,
    flow_resistivity_pa_s_m2: f64,
    density_kg_m3: f64,
}

impl Fill {
    /// Thickness m, air-flow resistivity Pa·s/m², bulk density kg/m³.
    ///
    /// # Errors
    ///
    /// When one of them is not finite and above zero.
    pub fn new(thickness_m: f64, flow_resistivity_pa_s_m2: f64, density_kg_m3: f64) -> Result<Self, NotPhysical> {
        Ok(Self {
            thickness_m: NotPhysical::unless_positive("fill thickness", thickness_m, "above zero, in m")?,
            flow_resistivity_pa_s_m2: NotPhysical::unless_positive(
                "flow resistivity",
                flow_resistivity_pa_s_m2,
                "above zero, in Pa·s/m²",
            )?,
            density_kg_m3: NotPhysical::unless_positive("fill density", density_kg_m3, "above zero, in kg/m³")?,
        })
    }

    /// Thickness, m.
    #[must_use]
    pub fn thickness_m(&self) -> f64 {
        self.thickness_m
    }

    /// Air-flow resistivity, Pa·s/m².
    #[must_use]
    pub fn flow_resistivity_pa_s_m2(&self) -> f64 {
        self.flow_resistivity_pa_s_m2
    }

    /// Bulk density, kg/m³.
    #[must_use]
    pub fn density_kg_m3(&self) -> f64 {
        self.density_kg_m3
    }
}

/// The space between two leaves: depth, fill, and how the leaves are connected across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cavity {
    depth_m: f64,
    fill: Option<Fill>,
    connection: Connection,
}

impl Cavity {
    /// Depth in m, an optional fill (not thicker than the depth), and the connection of the two leaves.
    ///
    /// # Errors
    ///
    /// When the depth is not above zero, the fill is thicker than the cavity, or the connection's own numbers are impossible.
    pub fn new(depth_m: f64, fill: Option<Fill>, connection: Connection) -> Result<Self, NotPhysical> {
        NotPhysical::unless_positive("cavity depth", depth_m, "above zero, in m")?;
        if let Some(fill) = fill
            && fill.thickness_m > depth_m * (1.0 + 1e-9)
        {
            return Err(NotPhysical {
                what: "fill thickness",
                value: fill.thickness_m,
                must: "no more than the depth of its cavity, in m",
            });
        }
        connection.check()?;
        Ok(Self { depth_m, fill, connection })
    }

    /// Depth between the leaves, m.
    #[must_use]
    pub fn depth_m(&self) -> f64 {
        self.depth_m
    }

    /// The porous fill, if there is one.
    #[must_use]
    pub fn fill(&self) -> Option<Fill> {
        self.fill
    }

    /// How the leaves are connected.
    #[must_use]
    pub fn connection(&self) -> Connection {
        self.connection
    }

    /// Depth left as free air, m.
    pub(crate) fn air_m(&self) -> f64 {
        (self.depth_m - self.fill.map_or(0.0, |fill| fill.thickness_m)).max(0.0)
    }
}
