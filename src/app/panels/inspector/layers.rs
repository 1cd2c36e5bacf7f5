//! The layers of a construction: sheets, cavities and resilient layers in rows, to be changed, moved, added and taken away.

use bevy_egui::egui::{self, Margin, RichText, Ui};

use super::chooser::{FILL_DEPTH, FromShelf, Porous};
use super::context::Context;
use super::entry::{fact, named, tell};
use super::inputs::{Check, Label, Number, OneOf, button, check, set, variants};
use super::table::{Field, Table, table, table_ui};
use crate::app::theme::size;
use crate::catalogue::limits;
use crate::catalogue::{Bridge, Layer};
use crate::output::shelf::Shelf;

/// What is done to the list.
enum Change {
    Up(usize),
    Down(usize),
    Remove(usize),
}

/// Rows of layers. What is entered goes into `layers`; `live` also follows what is being typed.
pub(super) fn layers_ui(ui: &mut Ui, cx: &Context, layers: &mut Vec<Layer>, live: &mut [Layer]) {
    let mut change = None;
    let last = layers.len().saturating_sub(1);
    let mut after_sheet = false;
    for (at, (layer, live)) in layers.iter_mut().zip(live).enumerate() {
        let frame = egui::Frame::new().fill(cx.palette.sheet).corner_radius(5).inner_margin(Margin::symmetric(8, 6));
        let contents = |ui: &mut Ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                fact(ui, &cx.palette, &format!("{}. {}", at + 1, kind(layer)));
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    for (word, tip, possible, what) in [
                        ("✖", "Remove layer", last > 0, Change::Remove(at)),
                        ("⬇", "Move layer down", at < last, Change::Down(at)),
                        ("⬆", "Move layer up", at > 0, Change::Up(at)),
                    ] {
                        let small = egui::Button::new(RichText::new(word).size(size::SMALL)).small();
                        let response = ui.add_enabled(possible, small);
                        named(ui, &response, &format!("{tip} {}", at + 1));
                        if response.on_hover_text(tip).clicked() {
                            change = Some(what);
                        }
                    }
                });
            });
            layer_ui(ui, cx, layer, live, after_sheet);
        };
        frame.show(ui, |ui| ui.push_id(("layer", at), contents));
        after_sheet = is_sheet(layer);
    }
    match change {
        Some(Change::Remove(at)) => drop(layers.remove(at)),
        Some(Change::Up(at)) => layers.swap(at, at - 1),
        Some(Change::Down(at)) => layers.swap(at, at + 1),
        None => {}
    }
    unbond(layers);
    ui.horizontal_wrapped(|ui| {
        fact(ui, &cx.palette, "Add");
        let sheet = || Layer::Sheet { material: "plasterboard".to_owned(), thickness_mm: 12.5, bonded: false };
        if button(ui, "Sheet", "A board, pane or leaf behind the last layer") {
            layers.push(sheet());
        }
        if button(ui, "Cavity", "A cavity behind the last layer, and a sheet to close it") {
            layers.extend([Layer::Cavity { depth_mm: 50.0, fill: None, bridge: Bridge::Free }, sheet()]);
        }
        if let Some(material) = cx.catalogue.materials.values().find(|it| it.nature.is_resilient())
            && button(ui, "Resilient", "A resilient layer behind the last one, and a sheet on it")
        {
            layers.extend([Layer::Resilient { material: material.id.clone(), thickness_mm: 20.0 }, sheet()]);
        }
    });
}

fn is_sheet(layer: &Layer) -> bool {
    matches!(layer, Layer::Sheet { .. })
}

/// A sheet that came to stand alone is bonded to nothing.
fn unbond(layers: &mut [Layer]) {
    let mut after_sheet = false;
    for layer in layers {
        if let Layer::Sheet { bonded, .. } = layer {
            *bonded &= after_sheet;
        }
        after_sheet = is_sheet(layer);
    }
}

fn kind(layer: &Layer) -> &'static str {
    match layer {
        Layer::Sheet { .. } => "Sheet",
        Layer::Cavity { .. } => "Cavity",
        Layer::Resilient { .. } => "Resilient layer",
    }
}

fn layer_ui(ui: &mut Ui, cx: &Context, layer: &mut Layer, live: &mut Layer, after_sheet: bool) {
    table_ui(ui, cx, MATERIAL, layer);
    let (name, limits) = match layer {
        Layer::Sheet { material, .. } => ("Thickness", limits::sheet_mm(cx.catalogue.materials.get(material))),
        Layer::Cavity { .. } => ("Depth", limits::DEPTH_MM),
        Layer::Resilient { .. } => ("Thickness", limits::RESILIENT_MM),
    };
    let label = Label::new(name, "");
    let typed = label.row(ui, cx, |ui| {
        let typed = Number(limits).bare(ui, cx, label, 64.0, *thickness_mm(layer));
        // The first layer has none before it.
        if let Layer::Sheet { bonded, .. } = layer
            && after_sheet
        {
            let tip = "Fully bonded to the sheet before it (plaster on brick, laminated glass), not screwed or laid";
            check(ui, "bonded", tip, bonded);
        }
        typed
    });
    tell(ui, &cx.palette, typed.wrong.as_deref());
    if let Some(mm) = typed.live {
        *thickness_mm(live) = mm;
    }
    if let Some(mm) = typed.done {
        *thickness_mm(layer) = mm;
    }
    if let Layer::Cavity { depth_mm, fill, bridge } = layer {
        let begins_mm = depth_mm.min(50.0);
        let porous = Porous { none: "no fill", thickness: FILL_DEPTH, limits: limits::FILL_MM, begins_mm };
        set(ui, cx, ("Fill", "Porous material in the cavity"), &porous, fill);
        table_ui(ui, cx, BRIDGE, bridge);
    }
}

fn thickness_mm(layer: &mut Layer) -> &mut f64 {
    match layer {
        Layer::Sheet { thickness_mm, .. } | Layer::Resilient { thickness_mm, .. } => thickness_mm,
        Layer::Cavity { depth_mm, .. } => depth_mm,
    }
}

const MATERIAL: Table<Layer> = table! { layer: Layer;
    "Material", "Of the sheet", FromShelf(Shelf::Sheets), Layer::Sheet { material, .. } => material;
    "Material", "Of the resilient layer", FromShelf(Shelf::Resilient), Layer::Resilient { material, .. } => material;
};

/// What joins the leaves across a cavity, and its numbers.
const BRIDGE: Table<Bridge> = table! { bridge: Bridge;
    "Bridge", "What joins the two leaves: each kind passes sound in its own way",
        OneOf(|_, now| variants(now, BRIDGES)), *bridge;
    "Spacing", "Distance from middle to middle", Number(limits::SPACING_MM),
        Bridge::TimberStuds { spacing_mm } | Bridge::LightSteelStuds { spacing_mm } | Bridge::ResilientBars { spacing_mm }
        | Bridge::StaggeredStuds { spacing_mm } | Bridge::Joists { spacing_mm } | Bridge::Battens { spacing_mm } => spacing_mm;
    "Number", "For each square metre", Number(limits::PER_M2.written("per m²")),
        Bridge::WallTies { per_m2 } | Bridge::RigidTies { per_m2 } | Bridge::Hangers { per_m2, .. }
        | Bridge::Springs { per_m2, .. } => per_m2;
    "with spring or rubber", "They hold a spring or rubber element",
        Check, Bridge::Hangers { resilient, .. } => resilient;
    "Stiffness", "Dynamic stiffness of one",
        Number(limits::STIFFNESS_N_M), Bridge::Springs { stiffness_n_m, .. } => stiffness_n_m;
};

/// All bridges. Usual spacings: common practice, no source.
const BRIDGES: &[(Bridge, &str)] = &[
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
        let all = variants(&now, BRIDGES);
        assert_eq!(all.iter().filter(|(bridge, _)| *bridge == now).count(), 1);
        assert_eq!(all.len(), 15);
    }
}
