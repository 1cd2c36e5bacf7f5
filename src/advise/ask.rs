//! What is asked for.

use crate::scene::ListenerId;
use crate::solve::criteria::normal_deviate;
use crate::solve::limits::figures::FLOOR_KG_M2;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Most money, in the currency of the scene's prices; nothing where there is no bound.
    pub budget: Option<f64>,
    /// What the old floor of a loud room may carry, people included, kg/m²; floors on the ground are not held to it.
    pub max_floor_load_kg_m2: f64,
    /// The heaviest piece that may be handled, kg.
    pub max_lift_kg: Option<f64>,
    /// Clear height that must be left, m.
    pub min_headroom_m: f64,
    /// Only what comes off again.
    pub removable_only: bool,
    /// The chance that each limit is to be kept with, 0.5 to 0.99.
    pub confidence: f64,
    /// Whose limits count; all who have one where empty.
    pub listeners: Vec<ListenerId>,
}

impl Default for Ask {
    fn default() -> Self {
        Self {
            budget: None,
            max_floor_load_kg_m2: FLOOR_KG_M2.value,
            max_lift_kg: None,
            min_headroom_m: 2.0,
            removable_only: false,
            confidence: 0.8,
            listeners: vec![],
        }
    }
}

impl Ask {
    /// By how many standard uncertainties a limit must be kept for the wanted chance.
    pub(super) fn deviates(&self) -> f64 {
        normal_deviate(self.confidence.clamp(0.5, 0.99))
    }
}
