//! What a scene may hold: the numbers, and which constructions where. The inspector asks here what can be typed and chosen.
//!
//! The limits are wide on purpose: they catch slips of a unit or a digit, they do not judge designs (common practice, no source).

use crate::catalogue::limits::Limits;
use crate::catalogue::{Build, Construction, ConstructionKind};
use crate::scene::{Storey, Usage, Workmanship};

pub(crate) const COORDINATE_M: Limits = Limits::new(-2000.0, 2000.0, "m");
/// From the shortest there is to one across the plan.
pub(crate) const WALL_M: Limits = Limits::new(0.05, 2.0 * COORDINATE_M.most, "m");
pub(crate) const LEVEL_M: Limits = Limits::new(-100.0, 1000.0, "m");
const CLEAR_HEIGHT_M: Limits = Limits::new(0.3, 40.0, "m").usually(1.5, 20.0);
/// Of a storey that holds nothing but voids.
const VOID_HEIGHT_M: Limits = Limits::new(0.05, 40.0, "m");
pub(crate) const DIRECTION_DEG: Limits = Limits::new(-360.0, 360.0, "degrees");
pub(crate) const PICTURE_M: Limits = Limits::new(0.1, 10_000.0, "m");
pub(crate) const STRENGTH: Limits = Limits::new(0.0, 1.0, "");

pub(crate) const OFFSET_M: Limits = Limits::new(0.0, 1000.0, "m");
pub(crate) const SIZE_M: Limits = Limits::new(0.005, 50.0, "m").usually(0.02, 15.0);
pub(crate) const SILL_M: Limits = Limits::new(0.0, 40.0, "m");
pub(crate) const UNDERCUT_MM: Limits = Limits::new(0.0, 100.0, "mm");

pub(crate) const FURNITURE_M2: Limits = Limits::new(0.0, 5000.0, "m²");
pub(crate) const EXTRA_M2: Limits = Limits::new(0.0, 5000.0, "m²");
pub(crate) const VOLUME_M3: Limits = Limits::new(0.1, 1e6, "m³");
pub(crate) const REVERBERATION_S: Limits = Limits::new(0.02, 60.0, "s");
/// A background above NR 100 is no background (common practice, no source).
pub(crate) const NOISE_RATING: Limits = Limits::new(0.0, 100.0, "");
pub(crate) const BACKGROUND_DB: Limits = Limits::new(-30.0, 130.0, "dB");

/// Of shells and covers.
pub(crate) const GAP_MM: Limits = Limits::new(5.0, 1000.0, "mm").usually(10.0, 600.0);
pub(crate) const FILL_MM: Limits = Limits::new(1.0, 1000.0, "mm");
pub(crate) const REVEAL_MM: Limits = Limits::new(1.0, 300.0, "mm");
pub(crate) const OVERLAP_MM: Limits = Limits::new(0.0, 500.0, "mm");
pub(crate) const PER_M2: Limits = Limits::new(0.1, 100.0, "for each m²");
pub(crate) const BARS_MM: Limits = Limits::new(100.0, 2000.0, "mm");
/// Softer springs than the longest in use, or stiffer ones than any that springs at all, are slips of a digit.
pub(crate) const DEFLECTION_MM: Limits = Limits::new(0.2, 60.0, "mm");
pub(crate) const STIFFER: Limits = Limits::new(1.0, 5.0, "");
/// More pieces than this on a side are a slip.
pub(crate) const PIECES: Limits = Limits::new(1.0, 6.0, "");

/// Of ducts.
pub(crate) const SIDE_MM: Limits = Limits::new(10.0, 5000.0, "mm");
pub(crate) const RUN_M: Limits = Limits::new(0.01, 500.0, "m");
pub(crate) const BENDS: Limits = Limits::new(0.0, 50.0, "");
pub(crate) const MOUTH_M: Limits = Limits::new(-5.0, 100.0, "m");
pub(crate) const SILENCER_DB: Limits = Limits::new(0.0, 100.0, "dB");

pub(crate) const LEVEL_CHANGE_DB: Limits = Limits::new(-60.0, 60.0, "dB");
/// Of a measured level: fainter, louder, nearer or farther than that no one measures music.
pub(crate) const MEASURED_DB: Limits = Limits::new(20.0, 150.0, "dB(A)");
pub(crate) const MEASURED_AT_M: Limits = Limits::new(0.1, 100.0, "m");
pub(crate) const CLOCK_H: Limits = Limits::new(0.0, 24.0, "h");
pub(crate) const A_DAY_H: Limits = Limits::new(0.01, 24.0, "h a day");
pub(crate) const PEOPLE: Limits = Limits::new(1.0, 1000.0, "people");
/// In any currency.
pub(crate) const PRICE: Limits = Limits::new(0.0, 1e9, "");
pub(crate) const EARS_M: Limits = Limits::new(-5.0, 100.0, "m");
pub(crate) const TEMPERATURE_C: Limits = Limits::new(-20.0, 50.0, "°C");
pub(crate) const HUMIDITY_PERCENT: Limits = Limits::new(1.0, 100.0, "%");
pub(crate) const RESIDUAL_DB: Limits = Limits::new(30.0, 120.0, "dB");
pub(crate) const KIJ_DB: Limits = Limits::new(-30.0, 100.0, "dB");
pub(crate) const EDGE_LOSS_M: Limits = Limits::new(0.0, 1000.0, "m");
/// Band values of a sound reduction index or level difference. Measured ones fall a little below zero at times.
pub(crate) const REDUCTION_DB: Limits = Limits::new(-10.0, 150.0, "dB");

/// What can be typed where a file may hold whatever the physics takes, which is mostly anything above zero.
#[cfg(feature = "window")]
pub(crate) mod typed {
    use super::Limits;

    pub(crate) const PRICE: Limits = Limits::new(0.0, 1e6, "per m²");
    pub(crate) const LOAD_KG: Limits = Limits::new(0.1, 1e5, "kg");
    pub(crate) const STEEL_MM: Limits = Limits::new(0.1, 200.0, "mm");
    pub(crate) const RUBBER_MM: Limits = Limits::new(0.1, 100.0, "mm");
    pub(crate) const STIFFER: Limits = Limits::new(1.0, 10.0, "times");
    pub(crate) const MAT_MN_M3: Limits = Limits::new(0.1, 1000.0, "MN/m³");
    pub(crate) const MAT_M2: Limits = Limits::new(0.001, 1000.0, "m²");
    pub(crate) const STIFFNESS_N_M: Limits = Limits::new(1.0, 1e9, "N/m");
    pub(crate) const LOSS: Limits = Limits::new(0.001, 1.0, "");
    pub(crate) const PLACES: Limits = Limits::new(1.0, 1000.0, "");
    pub(crate) const PLATFORM_M2: Limits = Limits::new(0.01, 1000.0, "m²");
    pub(crate) const IMPULSE_N_S: Limits = Limits::new(1e-6, 1000.0, "N·s");
    pub(crate) const STROKE_MS: Limits = Limits::new(0.01, 1000.0, "ms");
    pub(crate) const STROKES_PER_S: Limits = Limits::new(0.001, 100.0, "per s");
    pub(crate) const DROPS_PER_S: Limits = Limits::new(0.001, 10.0, "per s");
    pub(crate) const STEPS_PER_S: Limits = Limits::new(0.01, 10.0, "per s");
    pub(crate) const FORCE_DB: Limits = Limits::new(-120.0, 120.0, "dB");
}

/// Clear height of a storey, m: `void` where it holds nothing but voids.
pub(crate) fn height_m(storey: &Storey) -> Limits {
    let void = !storey.rooms.is_empty() && storey.rooms.iter().all(|room| room.usage.is_void());
    if void { VOID_HEIGHT_M } else { CLEAR_HEIGHT_M }
}

/// Which constructions can serve in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Allowed {
    pub(crate) kinds: &'static [ConstructionKind],
    /// True where only layers tell what it gains.
    pub(crate) layered: bool,
}

impl Allowed {
    pub(crate) const fn of(kinds: &'static [ConstructionKind]) -> Self {
        Self { kinds, layered: false }
    }

    const fn in_layers(kinds: &'static [ConstructionKind]) -> Self {
        Self { kinds, layered: true }
    }

    pub(crate) fn has_layers(&self, construction: &Construction) -> bool {
        !self.layered || matches!(construction.build, Build::Layers(_))
    }

    pub(crate) fn fits(&self, construction: &Construction) -> bool {
        self.kinds.contains(&construction.kind) && self.has_layers(construction)
    }
}

use ConstructionKind::{Door, Floor, Ground, Leaf, Open, Roof, Vent, Wall, Window};

// A floor and a roof are both listed from above to below, so each may serve as the other (a terrace, a loft's floor).
pub(crate) const FLOORS: Allowed = Allowed::of(&[Floor, Roof]);
pub(crate) const ROOFS: Allowed = Allowed::of(&[Roof, Floor]);
// A room that stands out over open air has a floor, not ground, below.
pub(crate) const GROUNDS: Allowed = Allowed::of(&[Ground, Floor]);
pub(crate) const OPENINGS: Allowed = Allowed::of(&[Window, Door, Vent, Open]);
pub(crate) const SHELL_FACES: Allowed = Allowed::in_layers(&[Leaf, Wall, Floor]);
pub(crate) const SHELL_LEAVES: Allowed = Allowed::in_layers(&[Door, Window]);
pub(crate) const COVERS: Allowed = Allowed::in_layers(&[Leaf]);

/// What the walls of a storey can be made of: where a gap is drawn, those of an inner shell may be leaves.
pub(crate) fn walls(storey: &Storey) -> Allowed {
    let gap = storey.rooms.iter().any(|room| room.usage == Usage::Cavity);
    Allowed::of(if gap { &[Wall, Leaf] } else { &[Wall] })
}

/// An opening has nothing to bridge.
pub(crate) fn opening_can_be(state: Workmanship) -> bool {
    state != Workmanship::Bridged
}
