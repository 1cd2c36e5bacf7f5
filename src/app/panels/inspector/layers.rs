//! The layers of a construction: sheets, cavities and resilient layers in rows, to be changed, moved, added and taken away.

use bevy_egui::egui::{self, Margin, RichText, Ui};

use super::Seen;
use super::chooser::{one, one_or_none};
use super::fields::{self, Typed, bare_choice, bare_number, button, tell};
use super::shelf::Shelf;
use crate::app::theme::size;
use crate::catalogue::{Bridge, Layer};

/// Least and greatest thickness that can be entered, mm.
const MM: fields::Limits = (0.1, 2000.0);

/// What is done to the list.
enum Deed {
    Up(usize),
    Down(usize),
    Remove(usize),
}

/// Rows of layers. What is entered goes into `layers`; `live` also follows what is being typed.
pub(super) fn layers_ui(ui: &mut Ui, seen: &Seen, layers: &mut Vec<Layer>, live: &mut [Layer]) {
    let mut deed = None;
    let last = layers.len().saturating_sub(1);
    let mut before_is_sheet = false;
    for (at, (layer, live)) in layers.iter_mut().zip(live).enumerate() {
        let frame = egui::Frame::new().fill(seen.palette.sheet).corner_radius(5).inner_margin(Margin::symmetric(8, 6));
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.push_id(("layer", at), |ui| {
                ui.horizontal(|ui| {
                    let word = format!("{}. {}", at + 1, kind(layer));
                    ui.label(RichText::new(word).size(size::SMALL + 0.5).color(seen.palette.soft_ink));
                    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                        for (word, told, possible, what) in [
                            ("✖", "Remove layer", last > 0, Deed::Remove(at)),
                            ("⬇", "Move layer down", at < last, Deed::Down(at)),
                            ("⬆", "Move layer up", at > 0, Deed::Up(at)),
                        ] {
                            let small = egui::Button::new(RichText::new(word).size(size::SMALL)).small();
                            let response = ui.add_enabled(possible, small);
                            fields::named(ui, &response, &format!("{told} {}", at + 1));
                            if response.on_hover_text(told).clicked() {
                                deed = Some(what);
                            }
                        }
                    });
                });
                layer_ui(ui, seen, layer, live, before_is_sheet);
            });
        });
        before_is_sheet = is_sheet(layer);
    }
    match deed {
        Some(Deed::Remove(at)) => drop(layers.remove(at)),
        Some(Deed::Up(at)) => layers.swap(at, at - 1),
        Some(Deed::Down(at)) => layers.swap(at, at + 1),
        None => {}
    }
    unbond(layers);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Add").size(size::SMALL + 0.5).color(seen.palette.soft_ink));
        let sheet = || Layer::Sheet { material: "plasterboard".to_owned(), thickness_mm: 12.5, bonded: false };
        if button(ui, "Sheet", "A board, pane or leaf behind the last layer") {
            layers.push(sheet());
        }
        if button(ui, "Cavity", "A cavity behind the last layer, and a sheet to close it") {
            let bridge = Bridge::Free;
            layers.extend([Layer::Cavity { depth_mm: 50.0, fill: None, bridge }, sheet()]);
        }
        let resilient = seen
            .catalogue
            .materials
            .values()
            .find(|it| matches!(it.nature, crate::catalogue::material::Nature::Resilient { .. }));
        if let Some(material) = resilient
            && button(ui, "Resilient", "A resilient layer behind the last one, and a sheet on it")
        {
            layers.extend([Layer::Resilient { material: material.id.clone(), thickness_mm: 20.0 }, sheet()]);
        }
    });
}

fn is_sheet(layer: &Layer) -> bool {
    matches!(layer, Layer::Sheet { .. })
}

fn bonded_to_nothing(layers: &[Layer]) -> impl Iterator<Item = usize> {
    let bonded = |layer: &Layer| matches!(layer, Layer::Sheet { bonded: true, .. });
    (0..layers.len())
        .filter(move |at| bonded(&layers[*at]) && !at.checked_sub(1).is_some_and(|at| is_sheet(&layers[at])))
}

/// A sheet that came to stand alone is bonded to nothing.
fn unbond(layers: &mut [Layer]) {
    for at in bonded_to_nothing(layers).collect::<Vec<_>>() {
        if let Layer::Sheet { bonded, .. } = &mut layers[at] {
            *bonded = false;
        }
    }
}

fn kind(layer: &Layer) -> &'static str {
    match layer {
        Layer::Sheet { .. } => "Sheet",
        Layer::Cavity { .. } => "Cavity",
        Layer::Resilient { .. } => "Resilient layer",
    }
}

fn layer_ui(ui: &mut Ui, seen: &Seen, layer: &mut Layer, live: &mut Layer, before_is_sheet: bool) {
    match layer {
        Layer::Sheet { material, thickness_mm, bonded } => {
            one(ui, seen, Shelf::Sheets, "Material", "Of the sheet", material);
            let typed = millimetres(ui, seen, "Thickness", thickness_mm, |ui| {
                let told =
                    "Fully bonded to the sheet before it (plaster on brick, laminated glass), not screwed or laid";
                // The first layer has none before it.
                if before_is_sheet {
                    fields::check(ui, "bonded", told, bonded);
                }
            });
            if let (Some(typed), Layer::Sheet { thickness_mm, .. }) = (typed, live) {
                *thickness_mm = typed;
            }
        }
        Layer::Cavity { depth_mm, fill, bridge } => {
            let typed = millimetres(ui, seen, "Depth", depth_mm, |_| ());
            if let (Some(typed), Layer::Cavity { depth_mm, .. }) = (typed, live) {
                *depth_mm = typed;
            }
            fill_ui(ui, seen, fill, *depth_mm);
            bridge_ui(ui, seen, bridge);
        }
        Layer::Resilient { material, thickness_mm } => {
            one(ui, seen, Shelf::Resilient, "Material", "Of the resilient layer", material);
            let typed = millimetres(ui, seen, "Thickness", thickness_mm, |_| ());
            if let (Some(typed), Layer::Resilient { thickness_mm, .. }) = (typed, live) {
                *thickness_mm = typed;
            }
        }
    }
}

/// A thickness; what is being typed.
fn millimetres(ui: &mut Ui, seen: &Seen, name: &str, value_mm: &mut f64, behind: impl FnOnce(&mut Ui)) -> Option<f64> {
    let Typed { live, done, wrong } = fields::row(ui, seen, name, "", |ui| {
        let typed = bare_number(ui, seen, (name, "", "mm"), 64.0, *value_mm, MM);
        behind(ui);
        typed
    });
    tell(ui, &seen.palette, wrong.as_deref());
    if let Some(done) = done {
        *value_mm = done;
    }
    live
}

/// A porous fill: material and thickness.
pub(super) fn fill_ui(ui: &mut Ui, seen: &Seen, fill: &mut Option<(String, f64)>, depth_mm: f64) {
    let mut material = fill.as_ref().map(|(material, _)| material.clone());
    if one_or_none(ui, seen, Shelf::Fills, ("Fill", "Porous material in the cavity", "no fill"), &mut material) {
        let thick_mm = fill.as_ref().map_or(depth_mm.min(50.0), |(_, thick_mm)| *thick_mm);
        *fill = material.map(|material| (material, thick_mm));
    }
    if let Some((_, thick_mm)) = fill {
        fields::number(ui, seen, ("Fill depth", "Thickness of the fill", "mm"), thick_mm, MM);
    }
}

/// What joins the leaves across the cavity, and its one number.
fn bridge_ui(ui: &mut Ui, seen: &Seen, bridge: &mut Bridge) {
    let told = "What joins the two leaves: each kind passes sound in its own way";
    let all: Vec<(Bridge, String)> = bridges(*bridge);
    fields::row(ui, seen, "Bridge", told, |ui| bare_choice(ui, "Bridge", told, ui.available_width(), bridge, &all));
    let spacing = ("Spacing", "Distance from middle to middle", "mm");
    let per_m2 = ("Number", "For each square metre", "per m²");
    match bridge {
        Bridge::TimberStuds { spacing_mm }
        | Bridge::LightSteelStuds { spacing_mm }
        | Bridge::ResilientBars { spacing_mm }
        | Bridge::StaggeredStuds { spacing_mm }
        | Bridge::Joists { spacing_mm }
        | Bridge::Battens { spacing_mm } => drop(fields::number(ui, seen, spacing, spacing_mm, (50.0, 5000.0))),
        Bridge::WallTies { per_m2: number } | Bridge::RigidTies { per_m2: number } => {
            fields::number(ui, seen, per_m2, number, (0.1, 100.0));
        }
        Bridge::Hangers { per_m2: number, resilient } => {
            fields::number(ui, seen, per_m2, number, (0.1, 100.0));
            fields::check(ui, "with spring or rubber", "They hold a spring or rubber element", resilient);
        }
        Bridge::Springs { per_m2: number, stiffness_n_m } => {
            fields::number(ui, seen, per_m2, number, (0.1, 100.0));
            let stiffness = ("Stiffness", "Dynamic stiffness of one", "N/m");
            fields::number(ui, seen, stiffness, stiffness_n_m, (1.0, 1e9));
        }
        Bridge::Free | Bridge::SealedUnitSpacer | Bridge::CommonReveal | Bridge::AbsorbentReveal | Bridge::DoorCore => {
        }
    }
}

/// All bridges, the one at hand with its own numbers. Usual spacings: common practice, no source.
fn bridges(now: Bridge) -> Vec<(Bridge, String)> {
    let usual = [
        (Bridge::Free, "none"),
        (Bridge::TimberStuds { spacing_mm: 400.0 }, "timber studs"),
        (Bridge::LightSteelStuds { spacing_mm: 600.0 }, "light steel studs"),
        (Bridge::ResilientBars { spacing_mm: 400.0 }, "resilient bars"),
        (Bridge::StaggeredStuds { spacing_mm: 600.0 }, "staggered studs"),
        (Bridge::Battens { spacing_mm: 400.0 }, "battens"),
        (Bridge::Joists { spacing_mm: 400.0 }, "joists"),
        (Bridge::Hangers { per_m2: 1.2, resilient: false }, "hangers"),
        (Bridge::Springs { per_m2: 1.0, stiffness_n_m: 20_000.0 }, "springs or pads"),
        (Bridge::WallTies { per_m2: 2.5 }, "wire wall ties"),
        (Bridge::RigidTies { per_m2: 2.5 }, "rigid wall ties"),
        (Bridge::SealedUnitSpacer, "edge of a sealed unit"),
        (Bridge::CommonReveal, "reveal round panes"),
        (Bridge::AbsorbentReveal, "reveal with absorber"),
        (Bridge::DoorCore, "core of a hollow door"),
    ];
    let same = |a: &Bridge| std::mem::discriminant(a) == std::mem::discriminant(&now);
    usual.into_iter().map(|(bridge, word)| (if same(&bridge) { now } else { bridge }, word.to_owned())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bonded_sheet_that_comes_to_stand_first_is_bonded_to_nothing() {
        let sheet = |bonded| Layer::Sheet { material: "glass".to_owned(), thickness_mm: 4.0, bonded };
        let mut layers = vec![sheet(true), sheet(true)];
        unbond(&mut layers);
        assert_eq!(layers, [sheet(false), sheet(true)]);
    }

    #[test]
    fn the_bridge_at_hand_keeps_its_numbers_in_the_list() {
        let now = Bridge::TimberStuds { spacing_mm: 625.0 };
        let all = bridges(now);
        assert_eq!(all.iter().filter(|(bridge, _)| *bridge == now).count(), 1);
        assert_eq!(all.len(), 15);
    }
}
