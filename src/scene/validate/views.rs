//! Views to be shown to others. One that cannot be shown is left out, so that it keeps nobody from computing.

use super::{Check, Spot, Thing};
use crate::acoustics::bands::NOMINAL_HZ;

/// A section needs a line at least this long, m.
const LEAST_CUT_M: f64 = 0.1;

impl Check<'_> {
    pub(super) fn views(&mut self) {
        let scene = self.scene;
        for (position, view) in scene.views.iter().enumerate() {
            let spot = Spot::scene(Thing::View(position + 1));
            if !scene.listeners.iter().any(|listener| listener.id == view.listener) {
                let known = scene.listeners.iter().map(|listener| listener.id.0.as_str());
                let to_do = self.advice(&view.listener.0, known, "name one of the scene's, or take the view away");
                self.warning(&spot, format!("there is no listener \"{}\"", view.listener), to_do);
            }
            if let Some(storey) =
                view.storey.as_ref().filter(|id| !scene.storeys.iter().any(|storey| storey.id == **id))
            {
                let known = scene.storeys.iter().map(|storey| storey.id.0.as_str());
                let to_do = self.advice(&storey.0, known, "name one of the scene's, or leave it out");
                self.warning(&spot, format!("there is no storey \"{storey}\""), to_do);
            }
            if let Some((low, high)) = view.hz {
                let known = |hz: f64| NOMINAL_HZ.contains(&hz);
                if !(known(low) && known(high) && low <= high) {
                    let what = format!("{low} to {high} Hz are no third octaves, the lower first");
                    self.warning(&spot, what, "use nominal frequencies from 25 to 5000, as (50, 80)");
                }
            }
            if let Some([p, q]) = view.cut {
                let length_m = (q[0] - p[0]).hypot(q[1] - p[1]);
                if !(length_m.is_finite() && length_m >= LEAST_CUT_M) {
                    self.warning(&spot, "its section has no length", format!("draw it at least {LEAST_CUT_M} m long"));
                }
            }
        }
    }
}
