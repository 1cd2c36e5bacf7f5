//! The layout of the window: what stands where while one listens, draws, or shows the building to others. Panels return commands; all of a frame are done
//! at its end.

mod drawing;
pub mod head;
mod listening;
mod versions;

use bevy::prelude::*;
use bevy_egui::egui::{self, Align2, Color32, Id, Margin, Ui, UiBuilder, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use crate::app::command::{Command, Keys, pressed};
use crate::app::editor::state::{Mode, exists};
use crate::app::files::dialogs::{autosave_failed_ui, dialog_ui};
use crate::app::files::hints::{self, hint_ui};
use crate::app::panels::status;
use crate::app::perform::Window;
use crate::app::theme::{Palette, style};
use crate::app::view::View;
use crate::app::viewer::present::Present;
use crate::app::widgets::boxed;
use crate::output::Theme;

/// Letters and everything else are so much larger while others look.
const LARGER: f32 = 1.3;

pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, (apply_look, show).chain());
}

fn show(mut contexts: EguiContexts, mut window: Window) -> Result {
    let context = contexts.ctx_mut()?.clone();
    let all = UiBuilder::new().layer_id(egui::LayerId::background()).max_rect(context.viewport_rect());
    show_in(&mut Ui::new(context, "window".into(), all), &mut window);
    Ok(())
}

/// Lays out the window and does what is asked of it.
pub fn show_in(ui: &mut Ui, window: &mut Window) {
    let context = ui.ctx().clone();
    if let Some(scene) = &window.document.scene {
        window.editor.picks.retain(|pick| exists(scene, pick));
    }
    // Before any key is taken.
    if window.editor.status.is_some() && window.editor.mode == Mode::Listen && status::is_read(&context) {
        window.editor.clear_status();
    }
    // Keys belong to a question or a field that is open.
    let busy = context.text_edit_focused()
        || context.memory(|memory| memory.top_modal_layer().is_some())
        || window.editor.search.is_some();
    let mut commands = vec![];
    match window.editor.mode {
        Mode::Listen if window.present.at.is_some() => listening::present(ui, window, &mut commands),
        mode => {
            if !busy {
                commands.extend(pressed(&context, &window.editor, Keys::Named));
            }
            match mode {
                Mode::Draw => drawing::draw(ui, window, &mut commands),
                Mode::Listen => listening::listen(ui, window, &mut commands, busy),
            }
        }
    }
    questions(&context, window, &mut commands);
    window.perform_all(&context, commands);
}

/// What is asked about files, and the hints of the first start.
fn questions(context: &egui::Context, window: &mut Window, commands: &mut Vec<Command>) {
    let palette = Palette::of(window.view.theme);
    if let Some((folder, why)) = &window.files.autosave_failure {
        let frame = boxed(palette.raised, palette.alert, 6, Margin::symmetric(12, 8));
        let area = egui::Area::new(Id::new("work is not kept")).order(egui::Order::Foreground);
        area.anchor(Align2::CENTER_TOP, vec2(0.0, 48.0)).show(context, |ui| {
            frame.show(ui, |ui| {
                ui.set_max_width(560.0);
                commands.extend(autosave_failed_ui(ui, folder, why, &palette));
            });
        });
    }
    // Neither lessons nor what is shown to others has hints beside it.
    if let Some(at) = window.files.hint.filter(|_| window.files.dialog.is_none())
        && window.present.at.is_none()
        && !window.teaching.open
    {
        // Whoever draws has found the way.
        let done = window.editor.mode == Mode::Draw || at >= hints::COUNT;
        commands.extend(if done { Some(Command::CloseHints) } else { hint_ui(context, at, &palette) });
    }
    let files = &mut *window.files;
    if let Some(dialog) = &mut files.dialog {
        egui::Modal::new(Id::new("question about files"))
            .frame(boxed(palette.panel, palette.rule, 10, Margin::symmetric(22, 18)))
            .backdrop_color(Color32::from_black_alpha(140))
            .show(context, |ui| {
                commands.extend(dialog_ui(ui, dialog, &window.document, &files.remembered.recent, &window.view));
            });
    }
}

/// Letters and colours as they were chosen.
fn apply_look(
    mut contexts: EguiContexts,
    view: Res<View>,
    present: Res<Present>,
    mut applied: Local<Option<Theme>>,
    mut windows: Query<&mut bevy::window::Window>,
) -> Result {
    for mut window in &mut windows {
        // The window counts in larger points, and everything drawn in points grows with them.
        let scale = view.scale * if present.at.is_some() { LARGER } else { 1.0 };
        let wanted = (scale != 1.0).then(|| scale * window.resolution.base_scale_factor());
        if window.resolution.scale_factor_override() != wanted {
            window.resolution.set_scale_factor_override(wanted);
        }
    }
    if *applied != Some(view.theme) {
        let context = contexts.ctx_mut()?;
        // One style for both of egui's own themes, so that the system's preference does not matter.
        let style = style(view.theme);
        context.set_style_of(egui::Theme::Dark, style.clone());
        context.set_style_of(egui::Theme::Light, style);
        *applied = Some(view.theme);
    }
    Ok(())
}
