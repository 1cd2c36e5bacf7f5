//! A listener: where, at what height, with what limit, and what is heard.

use bevy_egui::egui::Ui;

use super::chooser::one_or_none;
use super::fields::{choice, fact, heading, set_length, title};
use super::shelf::Shelf;
use super::{Seen, background_ui, head};
use crate::building::SpaceKind;
use crate::edit::{Edit, Item};
use crate::output::words;
use crate::scene::{ListenerId, Thing};

/// The panel of a listener.
pub(super) fn listener_ui(ui: &mut Ui, seen: &Seen, id: &ListenerId) -> Option<Vec<Edit>> {
    let listener = seen.scene.listeners.iter().find(|listener| listener.id == *id)?;
    head(ui, seen, "Somebody listening", &listener.name, None, &Thing::Listener(id.0.clone()));
    let mut after = listener.clone();
    title(ui, seen, "Who listens, or where: \"child next door\"", &mut after.name);
    choice(ui, seen, "Storey", "The storey whose plan the point lies in", &mut after.storey, &seen.storeys());
    let told = "Of the ears above the walking surface: 1.5 m standing, 1.2 m sitting, less in bed. Common practice, no source.";
    set_length(ui, seen, "Ears", told, &mut after.height_m, (-5.0, 100.0));
    set_length(ui, seen, "Rightwards", "From the plan's origin to the right", &mut after.at[0], (-2000.0, 2000.0));
    set_length(ui, seen, "Upwards", "From the plan's origin up the sheet", &mut after.at[1], (-2000.0, 2000.0));
    let told = "A limit the level is compared with: what applies where you are, you must find out";
    one_or_none(ui, seen, Shelf::Targets, ("Limit", told, "none"), &mut after.target);
    let solved = seen.solved();
    let heard = solved.and_then(|solved| solved.answer.listeners.iter().find(|heard| heard.listener == *id));
    let outdoors = solved.zip(heard).is_some_and(|(solved, heard)| {
        solved.building.spaces.get(heard.space.0).is_some_and(|space| matches!(space.kind, SpaceKind::Outdoors))
    });
    if outdoors || heard.is_none() {
        background_ui(ui, seen, &mut after.background);
    } else {
        fact(ui, &seen.palette, "Indoors the room's own background counts: pick the room to set it.");
    }
    if let (Some(solved), Some(heard)) = (solved, heard) {
        heading(ui, seen, "What is heard");
        fact(ui, &seen.palette, &words::listener(&solved.scene, &solved.building, heard));
    }
    Some(if after == *listener { vec![] } else { vec![Edit::Put(Item::Listener(after))] })
}
