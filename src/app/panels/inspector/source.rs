//! A source: what it is, how loud, whether it plays, and where it touches the building.

use bevy_egui::egui::Ui;

use super::chooser::one;
use super::contact::contact_ui;
use super::fields::{button, check, choice, fact, part, set_length, slider, title};
use super::shelf::Shelf;
use super::{Seen, head};
use crate::app::editor::state::Editor;
use crate::edit::{Edit, Item, Pick};
use crate::scene::{Contact, ContactForce, Source, SourceId, Thing, Touches};

/// Louder and softer than the catalogue's, dB: what is drawn, and what can be typed.
const LEVEL_DB: ((f64, f64), (f64, f64)) = ((-20.0, 20.0), (-60.0, 60.0));

/// The panel of a source.
pub(super) fn source_ui(ui: &mut Ui, seen: &Seen, editor: &mut Editor, id: &SourceId) -> Option<Vec<Edit>> {
    let source = seen.scene.sources.iter().find(|source| source.id == *id)?;
    head(ui, seen, "Something loud", &source.name, None, &Thing::Source(id.0.clone()));
    let mut after = source.clone();
    title(ui, seen, "What it is called", &mut after.name);
    check(ui, "playing", "Untick it to hear the others alone", &mut after.playing);
    one(ui, seen, Shelf::Sounds, "Sound", "What it sounds like, and how loud", &mut after.sound);
    let told = "Louder (+) or softer (−) than the catalogue's";
    slider(ui, seen, ("Level", told, "dB"), &mut after.level_db, LEVEL_DB);
    choice(ui, seen, "Storey", "The storey it stands on", &mut after.storey, &seen.storeys());
    set_length(ui, seen, "Rightwards", "From the plan's origin to the right", &mut after.at[0], (-2000.0, 2000.0));
    set_length(ui, seen, "Upwards", "From the plan's origin up the sheet", &mut after.at[1], (-2000.0, 2000.0));
    part(ui, seen, "Where it touches the building", true, |ui| contacts_ui(ui, seen, editor, source, &mut after));
    Some(if after == *source { vec![] } else { vec![Edit::Put(Item::Source(after))] })
}

fn contacts_ui(ui: &mut Ui, seen: &Seen, editor: &mut Editor, source: &Source, after: &mut Source) {
    if after.contacts.is_empty() {
        fact(
            ui,
            &seen.palette,
            "Through the air alone. Pedals, feet, castors and brackets shake the floor or a wall as well.",
        );
    }
    let mut removed = None;
    for (at, contact) in after.contacts.iter_mut().enumerate() {
        ui.push_id(("contact", at), |ui| {
            let name = crate::output::words::heading(&contact.name);
            part(ui, seen, &name, false, |ui| {
                contact_ui(ui, seen, source, at, contact);
                ui.horizontal(|ui| {
                    if button(ui, "Pick it", "Its mark on the plan, to be dragged to its place") {
                        editor.picks = vec![Pick::Contact(source.id.clone(), at)];
                    }
                    if button(ui, "Remove contact", "It touches nothing there") {
                        removed = Some(at);
                    }
                });
            });
        });
    }
    if let Some(at) = removed {
        after.contacts.remove(at);
    }
    if button(ui, "Add a contact", "A pedal, a foot, a castor, a bracket, the back of a piano") {
        let first = seen.catalogue.forces.keys().next().cloned().unwrap_or_default();
        after.contacts.push(Contact {
            name: format!("contact {}", after.contacts.len() + 1),
            at: None,
            touches: Touches::Floor,
            force: ContactForce::Known(first),
            level_db: 0.0,
            mount: None,
        });
    }
}
