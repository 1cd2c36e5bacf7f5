//! The force of a contact: one of the catalogue, or one's own.

use bevy_egui::egui::Ui;

use super::Seen;
use super::chooser::one;
use super::fields::{alert, check, choice, number, octaves};
use super::shelf::Shelf;
use crate::acoustics::Bands;
use crate::catalogue::Force;
use crate::scene::ContactForce;

/// The fields of a force.
pub(super) fn force_ui(ui: &mut Ui, seen: &Seen, force: &mut ContactForce) {
    let mut own = matches!(force, ContactForce::Own(_));
    if check(ui, "a force of my own", "Not one of the catalogue", &mut own) {
        *force = match &*force {
            ContactForce::Known(id) if own => {
                let known = seen.catalogue.forces.get(id).map(|known| known.force.clone());
                ContactForce::Own(known.unwrap_or(Force::TappingMachine))
            }
            _ => ContactForce::Known(seen.catalogue.forces.keys().next().cloned().unwrap_or_default()),
        };
    }
    match force {
        ContactForce::Known(id) => {
            one(ui, seen, Shelf::Forces, "Force", "What it does to the floor or wall", id);
        }
        ContactForce::Own(force) => own_ui(ui, seen, force),
    }
}

/// One's own force. The numbers one begins with are invented.
fn own_ui(ui: &mut Ui, seen: &Seen, force: &mut Force) {
    let usual = [
        (Force::Strokes { impulse_n_s: 0.5, duration_ms: 5.0, strokes_per_s: 2.0 }, "strokes"),
        (Force::Steady { level_octaves_db: [0.0; 8] }, "steady"),
        (Force::Footsteps { steps_per_s: 2.0 }, "footsteps"),
        (Force::RubberBall { drops_per_s: 1.0 }, "rubber ball"),
        (Force::TappingMachine, "tapping machine"),
    ];
    let now = force.clone();
    let same = |one: &Force| std::mem::discriminant(one) == std::mem::discriminant(&now);
    let all: Vec<(Force, String)> =
        usual.into_iter().map(|(one, word)| (if same(&one) { now.clone() } else { one }, word.to_owned())).collect();
    choice(ui, seen, "Kind", "How it acts", force, &all);
    match force {
        Force::Strokes { impulse_n_s, duration_ms, strokes_per_s } => {
            number(ui, seen, ("Impulse", "Of one stroke", "N·s"), impulse_n_s, (1e-6, 1000.0));
            number(ui, seen, ("Duration", "Of one stroke", "ms"), duration_ms, (0.01, 1000.0));
            number(ui, seen, ("Strokes", "In a second", "per s"), strokes_per_s, (0.001, 100.0));
        }
        Force::Steady { level_octaves_db } => {
            let told = "Force level by octave, dB re 1 N";
            octaves(ui, seen, "Force level", told, level_octaves_db, ("dB", (-120.0, 120.0)));
        }
        Force::RubberBall { drops_per_s } => {
            number(ui, seen, ("Drops", "In a second", "per s"), drops_per_s, (0.001, 10.0));
        }
        Force::Footsteps { steps_per_s } => {
            number(ui, seen, ("Steps", "In a second", "per s"), steps_per_s, (0.01, 10.0));
        }
        Force::TappingMachine => {}
    }
    if let Err(why) = force.spectrum(&Bands::exact()) {
        alert(ui, &seen.palette, &format!("{}.", crate::output::words::heading(&why.to_string())));
    }
}
