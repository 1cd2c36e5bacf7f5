//! Small widgets that panels share.

use std::path::Path;

use bevy_egui::egui::{
    self, Align, Align2, Area, Button, Color32, Context, Frame, Id, Key, Layout, Margin, Modifiers, Order, Panel, Pos2,
    Response, RichText, ScrollArea, Sense, Stroke, Ui, vec2,
};

use crate::app::command::{Command, Entry, entry};
use crate::app::editor::state::Status;
use crate::app::theme::{Palette, size};

/// Words of a size and a colour.
#[must_use]
pub fn words(text: impl Into<String>, size: f32, ink: Color32) -> RichText {
    RichText::new(text).size(size).color(ink)
}

/// A label of a size and a colour.
pub fn label(ui: &mut Ui, text: impl Into<String>, size: f32, ink: Color32) -> Response {
    ui.label(words(text, size, ink))
}

/// The heading of a section.
pub fn section(ui: &mut Ui, palette: &Palette, heading: &str) {
    label(ui, heading, size::SMALL, palette.soft_ink);
}

/// A thin line across.
pub fn rule(ui: &mut Ui, palette: &Palette) {
    let (area, _) = ui.allocate_exact_size(vec2(ui.available_width(), 5.0), Sense::hover());
    ui.painter().hline(area.x_range(), area.center().y, Stroke::new(1.0, palette.rule));
}

/// A list that scrolls within what is left of the panel.
pub fn scrolling<R>(ui: &mut Ui, id: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, contents).inner
}

/// What stands at the right end of a row, the outermost first.
pub fn at_right<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.with_layout(Layout::right_to_left(Align::Center), contents).inner
}

/// A rounded box with an edge.
pub fn boxed(fill: Color32, edge: Color32, radius: u8, margin: Margin) -> Frame {
    Frame::new().fill(fill).stroke(Stroke::new(1.0, edge)).corner_radius(radius).inner_margin(margin)
}

/// A fixed part of the window, with its margins.
pub fn part<R>(
    window: &mut Ui,
    panel: Panel,
    palette: &Palette,
    (size, margin): (f32, Margin),
    contents: impl FnOnce(&mut Ui) -> R,
) -> R {
    let frame = Frame::new().fill(palette.panel).inner_margin(margin);
    panel.exact_size(size).resizable(false).frame(frame).show(window, contents).inner
}

/// Something that floats over everything, at a place.
pub fn over(id: &str, pivot: Align2, at: Pos2) -> Area {
    Area::new(Id::new(id.to_owned())).order(Order::Foreground).pivot(pivot).fixed_pos(at)
}

/// A box with a title that floats over the plan; what its contents return, while it is shown.
pub fn floating<R>(
    context: &Context,
    title: &str,
    at: Pos2,
    palette: &Palette,
    contents: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    let frame = boxed(palette.panel, palette.rule, 8, Margin::symmetric(16, 12));
    let window = egui::Window::new(title.to_owned()).frame(frame).collapsible(false).resizable(false).default_pos(at);
    window.show(context, contents)?.inner
}

/// The colour a message is written in.
#[must_use]
pub fn status_ink(status: &Status, palette: &Palette) -> Color32 {
    match status {
        Status::Done(_) => palette.ink,
        Status::Refused(_) => palette.alert,
    }
}

/// A command as a row of a menu, with its key.
pub fn menu_row(entry: &Entry, size: [f32; 2]) -> Button<'static> {
    let name = if entry.name.is_empty() { entry.button } else { entry.name };
    Button::new(name).shortcut_text(RichText::new(entry.key_name()).size(size::SMALL)).min_size(size.into())
}

/// A command as a small button with its word.
pub fn small_button(ui: &mut Ui, command: &Command, lit: bool) -> bool {
    let entry = entry(command);
    let button = Button::new(RichText::new(entry.button).size(size::SMALL)).selected(lit);
    ui.add(button).on_hover_text(entry.told).clicked()
}

/// The heading of a question, so wide, logical pixels.
pub fn question(ui: &mut Ui, palette: &Palette, wide: f32, title: &str) {
    ui.set_width(wide);
    label(ui, title, size::SENTENCE + 1.0, palette.ink);
    ui.add_space(6.0);
}

/// The button that is meant to be pressed.
pub fn main_button(ui: &Ui, word: &str) -> Button<'static> {
    Button::new(RichText::new(word).strong()).fill(ui.visuals().selection.bg_fill).min_size(vec2(88.0, 28.0))
}

/// The main answer and the way back, on the right below. Escape is the way back.
pub fn yes_no(ui: &mut Ui, (yes, can): (&str, bool), no: &str, then: Command) -> Option<Command> {
    let escaped = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    at_right(ui, |ui| {
        let yes = ui.add_enabled(can, main_button(ui, yes)).clicked();
        let no = ui.button(no).clicked() || escaped;
        if yes { Some(then) } else { no.then_some(Command::CloseQuestion) }
    })
}

/// The last part of a path.
#[must_use]
pub fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}
