//! The scene: what it is called and says of itself, the air, the ground outdoors, and the constructions of its own.

use std::collections::BTreeSet;

use bevy_egui::egui::{Key, Ui};

use super::context::Context;
use super::entry::{fact, multiline, remember};
use super::inputs::{Name, Number, OneOf, button, part, words};
use super::known::known_ui;
use super::table::{Custom, Field, Part, Table, table};
use crate::catalogue::limits::short;
use crate::edit::{Edit, SceneProperties};
use crate::output::words::heading;
use crate::scene::validate::limits;
use crate::scene::{Ground, Scene};

pub(super) const SCENE: Table<SceneProperties> = table! { properties: SceneProperties;
    Part("The scene", |_| true, table! { properties: SceneProperties;
        "Name", "What the scene is called", Name, properties.name;
        Custom(about_ui);
        "Temperature",
            "Of the air indoors, for what it absorbs and where rooms resonate; walls count as in a laboratory at 20 °C",
            Number(limits::TEMPERATURE_C), properties.air.temperature_c;
        "Humidity", "Relative humidity of the air indoors: decides how far the highest notes carry",
            Number(limits::HUMIDITY_PERCENT), properties.air.humidity_percent;
        "Outdoors", "The ground between the building and who listens outdoors",
            OneOf(|_, _| words(GROUNDS)), properties.outdoors.ground;
        "Country", "Where it is played: which limits hold", OneOf(|cx, _| countries(cx)), properties.played.country;
        "Played", "At home or by a business (school, studio, venue): which limits hold",
            OneOf(|_, _| words(FOR)), properties.played.business;
        "Hours", "When it is played: limits hold at some hours alone", OneOf(|_, now| hours(*now)), properties.played.hours;
        "Hours a day", "How long it is played of them; limits that allow it are then held against the mean over their own hours",
            Number(limits::A_DAY_H), properties.played.hours_a_day;
        "People", "In the loud room, who breathe, warm it and stand on its floor; empty: one",
            Number(limits::PEOPLE), properties.played.people;
    });
    Custom(own_ui);
    Custom(all_known_ui);
};

const FOR: &[(bool, &str)] = &[(false, "at home"), (true, "by a business")];

fn countries(cx: &Context) -> Vec<(String, String)> {
    let named: BTreeSet<&String> = cx.catalogue.targets.values().flat_map(|target| &target.countries).collect();
    let named = named.into_iter().map(|country| (country.clone(), heading(country)));
    std::iter::once((String::new(), "not said".to_owned())).chain(named).collect()
}

/// The hours that new scenes offer, and those of the scene.
fn hours(now: Option<(f64, f64)>) -> Vec<(Option<(f64, f64)>, String)> {
    let mut all = vec![None, Some((10.0, 16.0)), Some((19.0, 22.0)), Some((22.0, 23.0)), Some((23.0, 1.0))];
    if !all.contains(&now) {
        all.push(now);
    }
    let word = |(from, to): (f64, f64)| format!("from {} to {} h", short(from), short(to));
    all.into_iter().map(|hours| (hours, hours.map_or_else(|| "not said".to_owned(), word))).collect()
}

const GROUNDS: &[(Ground, &str)] = &[(Ground::Hard, "hard: paving, asphalt"), (Ground::Soft, "soft: grass, beds")];

/// A few sentences: they count when the field is left.
fn about_ui(ui: &mut Ui, cx: &Context, properties: &mut SceneProperties) {
    let about = &mut properties.about;
    let id = ui.make_persistent_id("about");
    let draft: Option<String> = ui.data(|data| data.get_temp(id));
    let mut text = draft.unwrap_or_else(|| about.clone());
    fact(ui, &cx.palette, "About");
    let hint = "A few sentences on what it shows";
    let response = multiline(ui, &cx.palette, id.with("text"), &mut text, 3, ("About", hint));
    if response.has_focus() && ui.input(|input| input.key_pressed(Key::Escape)) {
        response.surrender_focus();
        text.clone_from(about);
    }
    // A press on the plan may pick something and take this field away: what is typed must count before.
    if response.has_focus() && ui.input(|input| input.pointer.any_pressed()) && !response.contains_pointer() {
        response.surrender_focus();
    }
    if response.lost_focus() {
        about.clone_from(&text);
    }
    let draft = (response.has_focus() && text != *about).then_some(text);
    remember(ui, id, draft);
}

fn own_ui(ui: &mut Ui, cx: &Context, _: &mut SceneProperties) {
    if cx.scene.constructions.is_empty() {
        return;
    }
    part(ui, cx, "Constructions of its own", false, |ui| {
        for own in &cx.scene.constructions {
            fact(ui, &cx.palette, &heading(&own.name));
            let uses = uses(cx.scene, &own.id);
            if uses > 0 {
                let noun = if uses == 1 { "place" } else { "places" };
                fact(ui, &cx.palette, &format!("used in {uses} {noun}"));
            } else if button(ui, &format!("Remove {}", own.name), "Nothing is made of it") {
                cx.ask(Edit::ForgetConstruction(own.id.clone()));
            }
        }
    });
}

fn all_known_ui(ui: &mut Ui, cx: &Context, _: &mut SceneProperties) {
    let known = cx.scene.overrides.len();
    let name = if known == 0 { "I have measured this".to_owned() } else { format!("I have measured this ({known})") };
    // The number in its name must not fold it away.
    ui.push_id("known better", |ui| part(ui, cx, &name, known > 0, |ui| known_ui(ui, cx, None)));
}

fn uses(scene: &Scene, id: &str) -> usize {
    let mut named: Vec<&String> = vec![];
    for storey in &scene.storeys {
        named.extend([&storey.floor.construction, &storey.ground, &storey.roof]);
        named.extend(storey.walls.iter().map(|wall| &wall.construction));
        for opening in &storey.openings {
            named.push(&opening.construction);
            named.extend(opening.cover.iter().map(|cover| &cover.construction));
        }
        for room in &storey.rooms {
            named.extend(room.floor.iter().map(|floor| &floor.construction));
            named.extend(&room.roof);
            if let Some(shell) = &room.inner_shell {
                let single = shell.each_wall.iter().filter_map(|(_, face)| face.as_ref());
                let faces = [&shell.walls, &shell.ceiling, &shell.floor].into_iter().flatten().chain(single);
                named.extend(faces.map(|face| &face.construction));
                named.extend(shell.openings.iter().map(|opening| &opening.construction));
            }
        }
    }
    named.into_iter().filter(|named| *named == id).count()
}
