//! Where the bar of the versions, the box on the variant shown and the table of all of them stand, whether one listens or draws.

use bevy_egui::egui::{Context, Frame, Margin, Panel, Rect, Stroke, Ui, pos2};

use crate::app::command::Command;
use crate::app::deciding::Foot;
use crate::app::document::Version;
use crate::app::panels::advice::{self, Look, advice_ui};
use crate::app::panels::build_list::build_list_ui;
use crate::app::panels::variants::{Table, height, table_ui};
use crate::app::panels::versions::{Bar, about_ui, versions_ui};
use crate::app::perform::Window;
use crate::app::theme::Palette;
use crate::app::widgets::{floating, part};

/// Height of the bar, logical pixels.
const BAR: f32 = 38.0;
/// Thickness of the line that frames what is changed in a variant, logical pixels.
const EDGE: f32 = 3.0;
/// The table has at most this part of the window's height.
const MOST_HIGH: f32 = 0.36;

/// The bar above the canvas: what is shown and changed.
pub(super) fn bar_ui(ui: &mut Ui, window: &Window, palette: &Palette, commands: &mut Vec<Command>) {
    let Some(drawn) = window.document.committed().filter(|_| !window.teaching.asks()) else { return };
    let of_variant = *window.document.shown() != Version::Drawn;
    let fill = if of_variant { palette.variant_ground } else { palette.panel };
    let frame = Frame::new().fill(fill).inner_margin(Margin::symmetric(14, 4));
    let bar = Bar {
        document: &window.document,
        baseline: &window.baseline,
        deciding: &window.deciding,
        mode: window.editor.mode,
    };
    let panel = Panel::top("versions").exact_size(BAR).resizable(false).show_separator_line(false).frame(frame);
    let shown = panel.show(ui, |ui| versions_ui(ui, &bar, drawn, palette));
    commands.extend(shown.inner);
    let area = shown.response.rect;
    let (ink, wide) = if of_variant { (palette.variant, EDGE) } else { (palette.rule, 1.0) };
    ui.painter().hline(area.x_range(), area.bottom() - 0.5 * wide, Stroke::new(wide, ink));
}

/// What stands at the foot instead of what is usually there; true where something does.
pub(super) fn foot_ui(ui: &mut Ui, window: &mut Window, palette: &Palette, commands: &mut Vec<Command>) -> bool {
    match window.deciding.foot {
        Foot::Usual => false,
        Foot::Variants => {
            let high = height(window.answers.wanted().len().max(1)).min(MOST_HIGH * ui.ctx().viewport_rect().height());
            let table = Table {
                wanted: window.answers.wanted(),
                shown: window.document.shown(),
                listener: window.view.listener.as_ref(),
                units: window.view.units,
            };
            part(ui, Panel::bottom("foot"), palette, (high, Margin::symmetric(18, 8)), |ui| {
                commands.extend(table_ui(ui, &table, palette));
            });
            true
        }
        // Nothing is told before a lesson's question is answered.
        Foot::Advice if window.teaching.asks() => false,
        Foot::Advice => {
            let high = advice::height(&window.advising, ui.available_width(), ui.ctx().viewport_rect().height());
            let look = Look {
                shown: window.document.shown(),
                solved: window.current.solved.as_deref(),
                listener: window.view.listener.as_ref(),
                units: window.view.units,
            };
            let advising = &mut *window.advising;
            part(ui, Panel::bottom("foot"), palette, (high, Margin::symmetric(18, 8)), |ui| {
                commands.extend(advice_ui(ui, advising, &look, palette));
            });
            true
        }
    }
}

/// The box that lists what to buy and cut for the variant shown.
pub(super) fn list(context: &Context, window: &mut Window, palette: &Palette, commands: &mut Vec<Command>) {
    let Some(listed) = &window.deciding.list else { return };
    // It follows what is changed, but not each moment of a gesture.
    let now = window.document.standing().is_some_and(|standing| listed.is_of(standing, window.document.shown().name()));
    if !now {
        window.deciding.list = window.listed();
    }
    let Some(listed) = &window.deciding.list else { return };
    let contents = |ui: &mut Ui| build_list_ui(ui, listed, palette);
    commands.extend(floating(context, "What to buy and cut", pos2(40.0, 70.0), palette, contents).flatten());
}

/// The edge of the canvas while a variant is drawn, so that it is seen wherever one looks.
pub(super) fn edge(ui: &Ui, window: &Window, canvas: Rect, palette: &Palette) {
    if *window.document.shown() != Version::Drawn {
        let painter = ui.painter();
        let stroke = Stroke::new(EDGE, palette.variant);
        painter.vline(canvas.left() + 0.5 * EDGE, canvas.y_range(), stroke);
        painter.vline(canvas.right() - 0.5 * EDGE, canvas.y_range(), stroke);
        painter.hline(canvas.x_range(), canvas.bottom() - 0.5 * EDGE, stroke);
    }
}

/// The box on the variant shown.
pub(super) fn about(context: &Context, window: &mut Window, palette: &Palette, commands: &mut Vec<Command>) {
    let Some(drawn) = window.document.committed().filter(|_| window.deciding.about).cloned() else { return };
    let Some(at) = window.document.shown().at(&drawn.variants) else { return };
    let name_it = window.deciding.name_it;
    if name_it {
        window.deciding.name_it = false;
    }
    let misfits = window.document.misfits();
    // A variant has its own box: what is typed into one does not come to stand in another.
    let contents = |ui: &mut Ui| ui.push_id(at, |ui| about_ui(ui, &drawn, at, misfits, name_it, palette)).inner;
    commands.extend(floating(context, "Variant", pos2(300.0, 110.0), palette, contents).unwrap_or_default());
}
