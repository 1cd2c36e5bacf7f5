//! A listener: where, at what height, with what limit, and what is heard.

use bevy_egui::egui::Ui;

use super::chooser::FromShelfOr;
use super::common::{BACKGROUND, POINT};
use super::context::Context;
use super::entry::fact;
use super::inputs::{Length, Name, OneOf, heading};
use super::table::{Custom, Field, Inside, Table, table, table_ui};
use crate::building::SpaceKind;
use crate::output::shelf::Shelf;
use crate::output::words;
use crate::scene::Listener;
use crate::scene::validate::limits;
use crate::solve::BandChoice;

pub(super) const LISTENER: Table<Listener> = table! { listener: Listener;
    "Name", "Who listens, or where: \"child next door\"", Name, listener.name;
    "Storey", "The storey whose plan the point lies in", OneOf(|cx, _| cx.storeys()), listener.storey;
    "Ears",
        "Of the ears above the walking surface: 1.5 m standing, 1.2 m sitting, less in bed. Common practice, no source.",
        Length(limits::EARS_M), listener.height_m;
    [listener.at] POINT;
    "Limit", "A limit the level is compared with: what applies where you are, you must find out",
        FromShelfOr(Shelf::Targets, "none"), listener.target;
    Custom(heard_ui);
};

fn heard_ui(ui: &mut Ui, cx: &Context, listener: &mut Listener) {
    let heard = cx
        .solved()
        .and_then(|solved| Some((solved, solved.answer.listeners.iter().find(|heard| heard.listener == listener.id)?)));
    let indoors = heard.is_some_and(|(solved, heard)| {
        let space = solved.building.spaces.get(heard.space.0);
        !space.is_some_and(|space| matches!(space.kind, SpaceKind::Outdoors))
    });
    if indoors {
        fact(ui, &cx.palette, "Indoors the room's own background counts: pick the room to set it.");
    } else {
        table_ui(ui, cx, BACKGROUND, &mut listener.background);
    }
    if let Some((solved, heard)) = heard {
        heading(ui, cx, "What is heard");
        let said = words::lines(&solved.scene, &solved.building, heard, BandChoice::AWeighted);
        for line in [said.heard, said.by, said.advice, said.note] {
            if !line.is_empty() {
                fact(ui, &cx.palette, &line);
            }
        }
    }
}
