//! The plan of a storey, coloured by where sound leaks.
//!
//! Walls and openings are lit by what a [`Glow`] says of them – their share of what the chosen listener hears, the level they bring, or
//! how that changes – rooms by their floor and ceiling; what passes nothing stays grey. The numbers on the plan are those of the list beside it.

mod badges;
mod difference;
mod dimensions;
mod marks;
mod page;
mod rooms;
mod shells;
mod walls;

use crate::building::Building;
use crate::catalogue::Catalogue;
use crate::output::drawing::Drawing;
use crate::output::page::canvas::empty;
use crate::output::variant::Variant;
use crate::output::view::PlanView;
use crate::scene::Scene;
use crate::solve::Answer;

pub use crate::output::page::listed::{LISTED, LISTED_SHARE};
pub use difference::{compared, difference};

/// Draws the plan of a storey. `answer` and `building` belong to `scene`; a view beyond their ends draws an empty page.
#[must_use]
pub fn plan(scene: &Scene, catalogue: &Catalogue, building: &Building, answer: &Answer, view: &PlanView) -> Drawing {
    lettered(scene, catalogue, building, answer, view, None).0
}

/// The same with ordinary letters of a stated size, m: a window draws the plan anew at every scale, so that letters, marks and
/// dimension lines keep their size on the screen. Without, they fit a printed page. The names that found no room come beside it.
#[must_use]
pub fn lettered(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    view: &PlanView,
    letter_m: Option<f64>,
) -> (Drawing, Vec<String>) {
    let (Some(storey), Some(heard)) = (scene.storeys.get(view.storey), answer.listeners.get(view.listener)) else {
        return (empty(scene, view.theme), vec![]);
    };
    let variant = Variant { scene, building, answer };
    let mut canvas = page::canvas(catalogue, variant, heard, view, view.glow(heard), letter_m);
    canvas.listed = canvas.loudest();
    canvas.storey(true);
    let legends = [canvas.glow.clone()];
    canvas.with_column(storey, &legends)
}
