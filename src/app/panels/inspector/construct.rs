//! What something is made of: chosen from the catalogue, or a construction of the scene's own, whose layers can be changed here.

use bevy_egui::egui::Ui;

use super::chooser::FromShelf;
use super::context::Context;
use super::entry::{alert, fact, remember, wrong};
use super::inputs::{Input, Label, Name, Number, Text, button, framed, heading, set};
use super::layers::layers_ui;
use super::rates;
use super::spectrum::{curve_ui, paste_ui, values};
use crate::app::theme::size;
use crate::app::widgets::explained;
use crate::catalogue::limits as of_build;
use crate::catalogue::{Build, Certainty, Construction, Provenance};
use crate::edit::{Edit, Item, fresh_id, put_by};
use crate::output::shelf::Shelf;
use crate::scene::validate::limits::{Allowed, typed};

/// What something is made of, with what can serve there. Of one thing made of a construction of the scene's own, its layers can be changed.
pub(super) struct MadeOf(pub fn(&Context) -> Allowed);

impl Input<String> for MadeOf {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &String) -> Option<String> {
        let chosen = FromShelf(Shelf::Constructions((self.0)(cx))).ui(ui, cx, label, value);
        let mut id = chosen.unwrap_or_else(|| value.clone());
        if !label.many {
            own_ui(ui, cx, label.name, &mut id);
        }
        (id != *value).then_some(id)
    }
}

/// What the editor of layers remembers while it is open.
#[derive(Debug, Clone, Default)]
struct Open {
    /// The construction as it was, to be drawn beside.
    before: Option<Construction>,
    /// A spectrum is about to be pasted.
    pasting: bool,
}

fn own_ui(ui: &mut Ui, cx: &Context, name: &str, id: &mut String) {
    let Some(construction) = cx.construction(id) else { return };
    if let (Some(usual), Ok(rated)) = (&construction.usual_rw, rates::rated(ui.ctx(), cx.catalogue, construction)) {
        let computed = rates::weighted_words(construction.kind, &rated);
        fact(ui, &cx.palette, &format!("{computed} computed; {}", usual.words(cx.catalogue)));
    }
    let is_own = cx.scene.constructions.iter().any(|own| own.id == *id);
    let key = ui.make_persistent_id(("layers of", name));
    let mut open: Option<Open> = ui.data(|data| data.get_temp(key));
    let fresh = || Some(Open { before: Some(construction.clone()), pasting: false });
    if !is_own {
        let tip = "Copies it into the scene, where its layers can be changed, or a measured spectrum entered";
        let can_be_changed = matches!(construction.build, Build::Layers(_) | Build::Measured { .. });
        if can_be_changed && button(ui, "Make my own of this", tip) {
            let own = copy_of(cx, construction);
            id.clone_from(&own.id);
            remember(ui, key, fresh());
            cx.ask(Edit::Put(Item::Construction(own)));
        }
        return;
    }
    let word = if open.is_some() { "Close its layers" } else { "Change its layers" };
    let pressed = button(ui, word, "The layers of this construction of the scene's own");
    if let Some(open) = &mut open {
        let editor = |ui: &mut Ui| editor_ui(ui, cx, construction, open);
        let after = framed(ui, cx.palette.rule, |ui| ui.push_id(id.as_str(), editor).inner);
        after.into_iter().for_each(|own| cx.ask(Edit::Put(Item::Construction(own))));
    }
    let open = if pressed { open.is_none().then(fresh).flatten() } else { open };
    remember(ui, key, open);
}

/// A copy for the scene, with a word and a name of its own.
fn copy_of(cx: &Context, construction: &Construction) -> Construction {
    let id = fresh_id(&format!("{}-own", construction.id), |id| {
        cx.construction(id).is_some() || put_by(&cx.scene.variants, id)
    });
    let place = format!("made from \"{}\" of the catalogue", construction.name);
    Construction {
        id,
        name: format!("my {}", construction.name),
        provenance: Provenance { source: String::new(), place, certainty: Certainty::Derived },
        // Its layers are there to be changed.
        usual_rw: None,
        ..construction.clone()
    }
}

/// The editor. The construction as entered in this frame, when something was.
fn editor_ui(ui: &mut Ui, cx: &Context, construction: &Construction, open: &mut Open) -> Option<Construction> {
    // `trial` takes part in what is typed and not yet entered, so that the curve follows every letter.
    let (mut after, mut trial) = (construction.clone(), construction.clone());
    set(ui, cx, ("Name", "What it is called"), &Name, &mut after.name);
    match &mut after.build {
        Build::Layers(layers) => {
            let mut live = layers.clone();
            layers_ui(ui, cx, layers, &mut live);
            trial.build = Build::Layers(live);
        }
        Build::Measured { .. } => {
            measured_ui(ui, cx, &mut after);
            trial.clone_from(&after);
        }
        Build::NormalisedDifference { .. } | Build::Open => {}
    }
    let tip = "A placeholder for comparing builds, in your own money; put your own in";
    let price = Number(typed::PRICE.written("per m² (invented)"));
    set(ui, cx, ("Price", tip), &price, &mut after.price_per_m2);
    if open.pasting {
        heading(ui, cx, "A measured spectrum instead");
        fact(
            ui,
            &cx.palette,
            "Paste R in dB from a report or a table: 16 values from 100 Hz, 21 from 50 Hz or 24 from 25 Hz, with or without their frequencies.",
        );
        let about = |r_db: &[f64]| format!("{} values read: {}", r_db.len(), values(r_db));
        let named = ("Measured spectrum", "33,1  35,4  36,0 …");
        let (found, taken) = paste_ui(ui, cx, named, &of_build::LEVEL_DB, about);
        if let Some(r_db) = found {
            trial = measured(cx, construction, r_db);
            if taken {
                after.clone_from(&trial);
                open.pasting = false;
            }
        }
    }
    if after != *construction {
        // Removed or moved layers show at once.
        trial.clone_from(&after);
    }
    for fault in cx.catalogue.faults_of(&trial) {
        wrong(ui, &cx.palette, &fault);
    }
    compared_ui(ui, cx, &trial, open.before.as_ref());
    ui.horizontal_wrapped(|ui| {
        let word = if open.pasting { "No spectrum" } else { "Paste a spectrum" };
        let tip = "R as a laboratory measured it, instead of what is computed of the layers";
        open.pasting ^= button(ui, word, tip);
        let tip = "From now on the curve is compared with how it is now";
        let changed = open.before.as_ref().is_none_or(|before| before.build != construction.build);
        if changed && button(ui, "Compare with now", tip) {
            open.before = Some(construction.clone());
        }
    });
    (after != *construction).then_some(after)
}

/// The fields of a construction that was measured as a whole.
fn measured_ui(ui: &mut Ui, cx: &Context, construction: &mut Construction) {
    let Build::Measured { thickness_mm, mass_per_area_kg_m2, r_db } = &mut construction.build else { return };
    set(ui, cx, ("Thickness", "Of all of it"), &Number(of_build::MEASURED_MM), thickness_mm);
    let tip = "Of all of it: decides how junctions pass sound on";
    set(ui, cx, ("Mass", tip), &Number(of_build::MASS_KG_M2), mass_per_area_kg_m2);
    let range = match r_db.len() {
        24 => "25 Hz to 5 kHz",
        21 => "50 Hz to 5 kHz",
        _ => "100 Hz to 3150 Hz",
    };
    fact(ui, &cx.palette, &format!("{} values, {range}: {}", r_db.len(), values(r_db)));
    let tip = "Laboratory, report and year: \"who measured it, where it stands\"";
    set(ui, cx, ("Source", tip), &Text, &mut construction.provenance.source);
}

/// The construction with a measured spectrum in the place of its build; thickness and mass stay.
fn measured(cx: &Context, construction: &Construction, r_db: Vec<f64>) -> Construction {
    let mut after = construction.clone();
    let thickness_mm = (construction.thickness_m() * 10_000.0).round() / 10.0;
    let mass = construction.mass_per_area_kg_m2(cx.catalogue).ok().filter(|mass| *mass > 0.0);
    after.build = Build::Measured {
        thickness_mm: if thickness_mm > 0.0 { thickness_mm } else { 100.0 },
        mass_per_area_kg_m2: mass.map_or(50.0, |mass| (mass * 10.0).round() / 10.0),
        r_db,
    };
    after.provenance.certainty = Certainty::Measured;
    after.provenance.place.clear();
    after
}

fn compared_ui(ui: &mut Ui, cx: &Context, now: &Construction, before: Option<&Construction>) {
    let before = before.filter(|before| before.build != now.build);
    // Rated beside each other they must not take turns in being remembered.
    let rated = |construction: &Construction, word: &str| {
        let apart = Construction { id: format!("{} ({word})", construction.id), ..construction.clone() };
        rates::rated(ui.ctx(), cx.catalogue, &apart)
    };
    let earlier = before.and_then(|before| Some((before, rated(before, "before").ok()?)));
    match rated(now, "now") {
        Ok(rating) => {
            let words = rates::rating_words(now.kind, &rating);
            let text = format!("{words}, {:.1} kg/m²", rating.mass_kg_m2);
            explained(ui, &text, size::TEXT, cx.palette.ink);
            if let Some((before, earlier)) = &earlier {
                let words = rates::rating_words(before.kind, earlier);
                fact(ui, &cx.palette, &format!("before: {words}, {:.1} kg/m²", earlier.mass_kg_m2));
            }
            curve_ui(ui, cx, &rating.r_db, earlier.as_ref().map(|(_, earlier)| &earlier.r_db));
        }
        Err(why) => alert(ui, &cx.palette, &why),
    }
}
