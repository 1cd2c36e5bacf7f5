//! A lesson asks first: until a choice is made the window has an answer in which nothing is heard, so that no part of it can give the real one away.

use std::sync::Arc;

use bevy::prelude::*;

use super::panels::lessons::LessonState;
use super::solving::CurrentAnswer;
use super::stage::Stage;
use crate::acoustics::Spectrum;
use crate::project::Solved;

/// The answer in sight while a lesson asks, and the one behind it.
#[derive(Debug, Clone, Default, Resource)]
struct Veil(Option<[Arc<Solved>; 2]>);

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Veil>().add_systems(Update, lower_or_lift.after(Stage::Solve).before(Stage::Look));
}

fn lower_or_lift(teaching: Res<LessonState>, mut veil: ResMut<Veil>, mut current: ResMut<CurrentAnswer>) {
    let Some(now) = current.solved.clone() else { return };
    let behind = veil.0.as_ref().filter(|[shown, _]| Arc::ptr_eq(shown, &now)).map(|[_, behind]| behind.clone());
    match (teaching.asks(), behind) {
        (true, None) => {
            let shown = Arc::new(veiled(&now));
            veil.0 = Some([shown.clone(), now]);
            current.solved = Some(shown);
        }
        (false, Some(behind)) => {
            veil.0 = None;
            current.solved = Some(behind);
        }
        _ => {}
    }
}

/// The building as it is drawn, with nothing to be heard in it and nothing said of it.
fn veiled(solved: &Solved) -> Solved {
    let mut veiled = Solved { warnings: vec![], ..solved.clone() };
    veiled.answer.notes.clear();
    for heard in &mut veiled.answer.listeners {
        heard.paths.clear();
        (heard.energy, heard.la_db) = (Spectrum::splat(0.0), f64::NEG_INFINITY);
    }
    for space in &mut veiled.answer.spaces {
        space.energy = Spectrum::splat(0.0);
    }
    veiled
}
