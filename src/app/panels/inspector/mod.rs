//! What is picked, and what it is made of: a table of fields for each kind of thing, drawn for one of them or for several at once.
//!
//! A table draws copies of its things; what is entered changes the copies, and a copy that differs at the end is put in its thing's place.

mod chooser;
mod common;
mod construct;
mod context;
mod duct;
pub mod entry;
mod inputs;
mod known;
mod layers;
mod listener;
mod opening;
pub mod paste;
mod rates;
mod room;
mod scene;
mod shell;
mod source;
mod spectrum;
mod storey;
mod table;
mod treatment;
mod wall;

use std::cell::RefCell;

use bevy_egui::egui::{RichText, Ui};

use super::{checks, problems};
use crate::app::editor::state::Editor;
use crate::app::solving::CurrentAnswer;
use crate::app::theme::{Palette, size};
use crate::app::view::View;
use crate::catalogue::Catalogue;
use crate::edit::{Edit, Item, Pick, SceneProperties};
use crate::output::words;
use crate::scene::{Problem, Scene, StoreyId, Thing};
use context::{Context, Requests};
use table::{At, Table, rows_ui, table_ui};

/// Room for the bar of the list, logical pixels.
const BAR: f32 = 8.0;

/// The inspector: what is picked, to be read and changed. Returns the edits of this frame, one step.
pub fn inspector_ui(
    ui: &mut Ui,
    editor: &mut Editor,
    scene: &Scene,
    storey: usize,
    current: &CurrentAnswer,
    view: &View,
) -> Vec<Edit> {
    // Once the click is over: a release elsewhere would take the keyboard away again.
    let clicking = ui.input(|input| input.pointer.any_down() || input.pointer.any_released());
    let naming = editor.naming && !clicking;
    editor.naming &= clicking;
    if editor.naming {
        ui.ctx().request_repaint();
    }
    let (palette, catalogue) = (Palette::of(view.theme), Catalogue::built_in_ref());
    let drawn = scene.storeys.get(storey);
    let picks = std::mem::take(&mut editor.picks);
    let requests = RefCell::default();
    let on = picks.iter().find_map(Pick::storey);
    let storey = on.map_or(drawn, |on| scene.storeys.iter().find(|storey| storey.id == *on));
    let (theme, units, picks, requests) = (view.theme, view.units, &picks[..], &requests);
    let cx = &Context { scene, current, catalogue, palette, theme, units, naming, picks, storey, requests };
    ui.spacing_mut().item_spacing.y = 5.0;
    // The bar of the list beside it covers nothing.
    ui.set_max_width(ui.available_width() - BAR);
    match picks {
        [] => nothing_ui(ui, cx),
        // A name of its own for each thing, so that what is typed for one never lands in another.
        [pick] => drop(ui.push_id(pick, |ui| one_ui(ui, cx, pick))),
        _ => drop(ui.push_id("many", |ui| many_ui(ui, cx))),
    }
    let Requests { edits, pick } = requests.take();
    editor.picks = pick.map_or_else(|| picks.to_vec(), |pick| vec![pick]);
    edits
}

/// The storey that is drawn, and the scene.
fn nothing_ui(ui: &mut Ui, cx: &Context) {
    if let Some(storey) = cx.storey {
        let mut after = storey.clone();
        ui.push_id(("storey", &storey.id), |ui| {
            entry::fact(ui, &cx.palette, "Nothing is picked. Press V and click a wall, a door or a room to change it.");
            head(ui, cx, ("The storey:", &storey.name), Some(&storey.id), &Thing::Storey);
            table_ui(ui, cx, storey::STOREY, &mut after);
        });
        cx.put(&Item::Storey(storey.clone()), Item::Storey(after));
    }
    let mut after = SceneProperties::of(cx.scene);
    ui.push_id("scene", |ui| table_ui(ui, cx, scene::SCENE, &mut after));
    cx.put(&Item::Properties(SceneProperties::of(cx.scene)), Item::Properties(after));
}

/// The head of what is picked: what it is, and what is wrong with it.
fn head(ui: &mut Ui, cx: &Context, (kind, name): (&str, &str), on: Option<&StoreyId>, thing: &Thing) {
    ui.label(RichText::new(kind).size(size::SMALL).color(cx.palette.soft_ink));
    ui.label(RichText::new(words::heading(name)).size(size::SENTENCE).color(cx.palette.ink));
    let here = |problem: &&Problem| problem.storey.is_none() || on.is_none() || problem.storey.as_ref() == on;
    let found: Vec<_> = cx.problems().filter(|problem| problem.thing == *thing).filter(here).cloned().collect();
    problems::here_ui(ui, cx.theme, cx.scene, &found);
}

/// What must be checked of what is picked: of the latest answer, so that it stays while a new one is computed.
fn checks_ui(ui: &mut Ui, cx: &Context, pick: &Pick) {
    let lines = cx.latest().map_or_else(Vec::new, |solved| checks::of_pick(solved, pick));
    lines.iter().for_each(|line| checks::line_ui(ui, &cx.palette, line));
}

/// What is picked alone; nothing where it is not there.
fn one_ui(ui: &mut Ui, cx: &Context, pick: &Pick) -> Option<()> {
    let on = pick.storey();
    if let Pick::Node(_, id) = pick {
        let node = cx.storey?.nodes.iter().find(|node| node.id == *id)?;
        head(ui, cx, ("Corner", &format!("corner {id}")), on, &Thing::Node(id.0.clone()));
        wall::corner_ui(ui, cx, node);
        return None;
    }
    let before = Item::of(cx.scene, pick)?;
    let mut after = before.clone();
    match &mut after {
        Item::Wall(_, wall) => {
            head(ui, cx, ("Wall", &format!("wall {}", wall.id)), on, &Thing::Wall(wall.id.0.clone()));
            table_ui(ui, cx, wall::WALL, wall);
        }
        Item::Opening(_, opening) => {
            head(ui, cx, opening::title(cx, opening), on, &Thing::Opening(opening.id.0.clone()));
            checks_ui(ui, cx, pick);
            table_ui(ui, cx, opening::OPENING, opening);
        }
        Item::Room(_, room) => {
            head(ui, cx, ("Room", &room.name), on, &Thing::Room(room.id.0.clone()));
            checks_ui(ui, cx, pick);
            table_ui(ui, cx, room::ROOM, room);
        }
        Item::Source(source) => {
            let thing = Thing::Source(source.id.0.clone());
            if let Pick::Contact(_, at) = pick {
                let kind = format!("Contact of {}", source.name);
                head(ui, cx, (&kind, &source.contacts.get(*at)?.name), on, &thing);
                checks_ui(ui, cx, pick);
                source::picked_contact_ui(ui, cx, source, *at);
            } else {
                head(ui, cx, ("Something loud", &source.name), on, &thing);
                checks_ui(ui, cx, pick);
                table_ui(ui, cx, source::SOURCE, source);
            }
        }
        Item::Listener(listener) => {
            head(ui, cx, ("Somebody listening", &listener.name), on, &Thing::Listener(listener.id.0.clone()));
            table_ui(ui, cx, listener::LISTENER, listener);
        }
        Item::Duct(duct) => {
            let (kind, mouth) = match pick {
                Pick::Mouth(_, 0) => ("First mouth of an air duct", Some(0)),
                Pick::Mouth(_, end) => ("Second mouth of an air duct", Some(*end)),
                _ => ("Air duct", None),
            };
            head(ui, cx, (kind, &duct.name), on, &Thing::Duct(duct.id.0.clone()));
            duct::duct_ui(ui, cx, duct, mouth);
        }
        _ => {}
    }
    cx.put(&before, after);
    Some(())
}

/// Several things at once: how many of each, and what can be set for all of a kind.
fn many_ui(ui: &mut Ui, cx: &Context) {
    ui.label(RichText::new("Several are picked").size(size::SMALL).color(cx.palette.soft_ink));
    ui.label(RichText::new(counted(cx.picks)).size(size::SENTENCE).color(cx.palette.ink));
    let alone = cx.picks.iter().filter(|pick| !matches!(pick, Pick::Contact(..)));
    let before: Vec<Item> = alone.filter_map(|pick| Item::of(cx.scene, pick)).collect();
    let mut after = before.clone();
    let all = &mut after[..];
    kind_ui(ui, cx, "walls", wall::WALLS, all, |it| if let Item::Wall(_, it) = it { Some(it) } else { None });
    kind_ui(
        ui,
        cx,
        "openings",
        opening::OPENINGS,
        all,
        |it| if let Item::Opening(_, it) = it { Some(it) } else { None },
    );
    kind_ui(ui, cx, "rooms", room::ROOMS, all, |it| if let Item::Room(_, it) = it { Some(it) } else { None });
    kind_ui(ui, cx, "sources", source::SOURCES, all, |it| if let Item::Source(it) = it { Some(it) } else { None });
    before.iter().zip(after).for_each(|(before, after)| cx.put(before, after));
    entry::fact(ui, &cx.palette, "Delete, Ctrl D and the arrows act on all of them.");
}

fn kind_ui<T>(ui: &mut Ui, cx: &Context, kind: &str, table: Table<T>, items: &mut [Item], at: At<Item, T>) {
    let mut things: Vec<&mut T> = items.iter_mut().filter_map(at).collect();
    if !things.is_empty() {
        inputs::heading(ui, cx, &format!("All these {kind}"));
        ui.push_id(kind, |ui| rows_ui(ui, cx, table, &mut things));
    }
}

/// How many there are of each kind, in words.
fn counted(picks: &[Pick]) -> String {
    let kind = |pick: &Pick| match pick {
        Pick::Wall(..) => (0, "wall", "walls"),
        Pick::Opening(..) => (1, "opening", "openings"),
        Pick::Room(..) => (2, "room", "rooms"),
        Pick::Source(_) => (3, "source", "sources"),
        Pick::Contact(..) => (4, "contact", "contacts"),
        Pick::Listener(_) => (5, "listener", "listeners"),
        Pick::Duct(_) => (6, "air duct", "air ducts"),
        Pick::Mouth(..) => (7, "mouth of a duct", "mouths of ducts"),
        Pick::Node(..) => (8, "corner", "corners"),
    };
    let mut kinds: Vec<_> = picks.iter().map(kind).collect();
    kinds.sort_unstable();
    let word = |alike: &[(i32, &str, &str)]| match alike {
        [(_, one, _)] => format!("1 {one}"),
        _ => format!("{} {}", alike.len(), alike[0].2),
    };
    kinds.chunk_by(|one, other| one == other).map(word).collect::<Vec<_>>().join(", ")
}
