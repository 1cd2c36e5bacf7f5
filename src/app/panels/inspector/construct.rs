//! What something is made of: chosen from the catalogue, or a construction of the scene's own, whose layers can be changed here.

use bevy_egui::egui::{self, Margin, RichText, Ui};

use super::chooser::{Asked, chooser_ui};
use super::curve::curve_ui;
use super::fields::{alert, button, fact, heading, number_or_none, title};
use super::layers::layers_ui;
use super::measured::{measured_ui, paste_ui};
use super::shelf::Shelf;
use super::{Seen, rates};
use crate::app::theme::size;
use crate::catalogue::{Build, Construction, ConstructionKind, Provenance, Standing};
use crate::edit::{Edit, Item, fresh_id};

/// What the editor remembers while it is open.
#[derive(Debug, Clone, Default)]
struct Open {
    /// The construction as it was, to be drawn beside.
    before: Option<Construction>,
    /// A spectrum is about to be pasted.
    pasting: bool,
}

/// Chooses what something is made of. Changes `id`, and returns the edits that must be done before: constructions put into the scene.
pub(super) fn construction_ui(
    ui: &mut Ui,
    seen: &Seen,
    (name, told): (&str, &str),
    kinds: &'static [ConstructionKind],
    id: &mut String,
) -> Vec<Edit> {
    let asked = Asked { name, told, chosen: Some(id), shelf: Shelf::Constructions(kinds), none: None, differ: false };
    if let Some(Some(chosen)) = chooser_ui(ui, seen, &asked) {
        *id = chosen;
        return vec![];
    }
    let Some(construction) = seen.construction(id) else { return vec![] };
    if let (Some(usual), Ok(rated)) = (&construction.usual_rw, rates::rated(ui.ctx(), seen.catalogue, construction)) {
        let computed = rates::weighted_words(construction.kind, &rated);
        fact(ui, &seen.palette, &format!("{computed} computed; {}", usual.words(seen.catalogue)));
    }
    let is_own = seen.scene.constructions.iter().any(|own| own.id == *id);
    let key = ui.make_persistent_id(("layers of", name));
    let open: Option<Open> = ui.data(|data| data.get_temp(key));
    if !is_own {
        let told = "Copies it into the scene, where its layers can be changed, or a measured spectrum entered";
        if can_be_changed(construction) && button(ui, "Make my own of this", told) {
            let own = copy_of(seen, construction);
            *id = own.id.clone();
            let open = Open { before: Some(construction.clone()), pasting: false };
            ui.data_mut(|data| data.insert_temp(key, open));
            return vec![Edit::Put(Item::Construction(own))];
        }
        return vec![];
    }
    let word = if open.is_some() { "Close its layers" } else { "Change its layers" };
    if button(ui, word, "The layers of this construction of the scene's own") {
        ui.data_mut(|data| match &open {
            Some(_) => data.remove::<Open>(key),
            None => drop(data.insert_temp(key, Open { before: Some(construction.clone()), pasting: false })),
        });
    }
    let Some(mut open) = open else { return vec![] };
    let frame = egui::Frame::new()
        .stroke(egui::Stroke::new(1.0, seen.palette.rule))
        .corner_radius(6)
        .inner_margin(Margin::same(8));
    let after = frame.show(ui, |ui| ui.push_id(id.as_str(), |ui| editor_ui(ui, seen, construction, &mut open)).inner);
    // The button above may have closed it.
    ui.data_mut(|data| {
        if data.get_temp::<Open>(key).is_some() {
            data.insert_temp(key, open);
        }
    });
    after.inner.map(|own| Edit::Put(Item::Construction(own))).into_iter().collect()
}

fn can_be_changed(construction: &Construction) -> bool {
    matches!(construction.build, Build::Layers(_) | Build::Measured { .. })
}

/// A copy for the scene, with a word and a name of its own.
fn copy_of(seen: &Seen, construction: &Construction) -> Construction {
    let id = fresh_id(&format!("{}-own", construction.id), |id| seen.construction(id).is_some());
    let place = format!("made from \"{}\" of the catalogue", construction.name);
    Construction {
        id,
        name: format!("my {}", construction.name),
        provenance: Provenance { source: String::new(), place, standing: Standing::Derived },
        // Its layers are there to be changed.
        usual_rw: None,
        ..construction.clone()
    }
}

/// The editor. The construction as entered in this frame, when something was.
fn editor_ui(ui: &mut Ui, seen: &Seen, construction: &Construction, open: &mut Open) -> Option<Construction> {
    // `trial` takes part in what is typed and not yet entered, so that the curve follows every letter.
    let (mut after, mut trial) = (construction.clone(), construction.clone());
    ui.set_width(ui.available_width());
    title(ui, seen, "What it is called", &mut after.name);
    match &mut after.build {
        Build::Layers(layers) => {
            let mut live = layers.clone();
            layers_ui(ui, seen, layers, &mut live);
            trial.build = Build::Layers(live);
        }
        Build::Measured { .. } => {
            measured_ui(ui, seen, &mut after);
            trial.clone_from(&after);
        }
        Build::NormalisedDifference { .. } | Build::Open => {}
    }
    let told = "A placeholder for comparing builds, in your own money; put your own in";
    number_or_none(ui, seen, ("Price", told, "per m² (invented)"), &mut after.price_per_m2, (0.0, 1e6));
    if open.pasting {
        heading(ui, seen, "A measured spectrum instead");
        let (shown, taken) = paste_ui(ui, seen, construction);
        if let Some(shown) = shown {
            trial.clone_from(&shown);
            if taken {
                after = shown;
                open.pasting = false;
            }
        }
    }
    if after != *construction {
        // Removed or moved layers show at once.
        trial.clone_from(&after);
    }
    for fault in seen.catalogue.faults_of(&trial) {
        alert(ui, &seen.palette, &format!("{}.", crate::output::words::heading(&fault)));
    }
    compared_ui(ui, seen, &trial, open.before.as_ref());
    ui.horizontal_wrapped(|ui| {
        let word = if open.pasting { "No spectrum" } else { "Paste a spectrum" };
        let told = "R as a laboratory measured it, instead of what is computed of the layers";
        if button(ui, word, told) {
            open.pasting = !open.pasting;
        }
        let told = "From now on the curve is compared with how it is now";
        let changed = open.before.as_ref().is_none_or(|before| before.build != construction.build);
        if changed && button(ui, "Compare with now", told) {
            open.before = Some(construction.clone());
        }
    });
    (after != *construction).then_some(after)
}

/// Rating and curve, beside those before.
fn compared_ui(ui: &mut Ui, seen: &Seen, now: &Construction, before: Option<&Construction>) {
    let before = before.filter(|before| before.build != now.build);
    // Rated beside each other they must not take turns in being remembered.
    let rated = |construction: &Construction, word: &str| {
        let apart = Construction { id: format!("{} ({word})", construction.id), ..construction.clone() };
        rates::rated(ui.ctx(), seen.catalogue, &apart)
    };
    let earlier = before.and_then(|before| rated(before, "before").ok());
    match rated(now, "now") {
        Ok(rating) => {
            let words = rates::rating_words(now.kind, &rating);
            let text = format!("{words}, {:.1} kg/m²", rating.mass_kg_m2);
            ui.label(RichText::new(text).size(size::TEXT).color(seen.palette.ink));
            if let (Some(earlier), Some(before)) = (&earlier, before) {
                let words = rates::rating_words(before.kind, earlier);
                fact(ui, &seen.palette, &format!("before: {words}, {:.1} kg/m²", earlier.mass_kg_m2));
            }
            curve_ui(ui, seen, &rating.r_db, earlier.as_ref().map(|earlier| &earlier.r_db));
        }
        Err(why) => alert(ui, &seen.palette, &why),
    }
}
