//! Small widgets that panels share.

use std::path::Path;

use bevy_egui::egui::{
    self, Align, Align2, Area, Button, Color32, Context, Frame, Id, Key, Label, Layout, Margin, Modifiers, Order,
    Panel, Pos2, Rect, Response, RichText, ScrollArea, Sense, Stroke, StrokeKind, TextFormat, Ui, WidgetInfo,
    WidgetType, text::LayoutJob, vec2,
};

use crate::app::command::{Command, Entry, entry};
use crate::app::editor::state::Status;
use crate::app::theme::{Palette, font, size};
use crate::output::glossary::{self, Term};

/// Width of an explanation, logical pixels.
const EXPLAINED: f32 = 380.0;

pub fn words(text: impl Into<String>, size: f32, ink: Color32) -> RichText {
    RichText::new(text).size(size).color(ink)
}

pub fn label(ui: &mut Ui, text: impl Into<String>, size: f32, ink: Color32) -> Response {
    ui.label(words(text, size, ink))
}

/// Text that parts no number from its unit at the end of a line.
#[must_use]
pub fn bound(text: &str) -> String {
    text.replace(" %", "\u{a0}%").replace(" dB", "\u{a0}dB").replace("± ", "±\u{a0}")
}

/// A label whose terms of the trade are underlined, and explained where the pointer rests on it.
pub fn explained(ui: &mut Ui, text: &str, letters: f32, ink: Color32) -> Response {
    let marks = glossary::marks(text);
    if marks.is_empty() {
        return label(ui, text, letters, ink);
    }
    let plain = TextFormat { font_id: font(letters), color: ink, ..TextFormat::default() };
    let underlined = TextFormat { underline: Stroke::new(1.0, ink.gamma_multiply(0.6)), ..plain.clone() };
    let (mut job, mut end) = (LayoutJob::default(), 0);
    for (range, _) in marks {
        job.append(&text[end..range.start], 0.0, plain.clone());
        job.append(&text[range.clone()], 0.0, underlined.clone());
        end = range.end;
    }
    job.append(&text[end..], 0.0, plain);
    explain(ui.label(job), text)
}

/// Explains the terms of the trade in what a widget says, where the pointer rests on it.
pub fn explain(response: Response, text: &str) -> Response {
    let mut terms: Vec<&Term> = glossary::marks(text).into_iter().map(|(_, term)| term).collect();
    let mut seen = vec![];
    terms.retain(|term| {
        !seen.contains(&&term.term) && {
            seen.push(&term.term);
            true
        }
    });
    if terms.is_empty() {
        return response;
    }
    response.on_hover_ui(|ui| {
        ui.set_max_width(EXPLAINED);
        for term in terms {
            ui.label(RichText::new(&term.term).strong());
            ui.label(&term.what);
            ui.label(&term.tells);
            ui.label(RichText::new(term.source()).size(size::SMALL).weak());
        }
    })
}

pub fn section(ui: &mut Ui, palette: &Palette, heading: &str) {
    label(ui, heading, size::SMALL, palette.soft_ink);
}

pub fn rule(ui: &mut Ui, palette: &Palette) {
    let (area, _) = ui.allocate_exact_size(vec2(ui.available_width(), 5.0), Sense::hover());
    ui.painter().hline(area.x_range(), area.center().y, Stroke::new(1.0, palette.rule));
}

/// A list that scrolls within what is left of the panel.
pub fn scrolling<R>(ui: &mut Ui, id: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, contents).inner
}

/// A list that scrolls within a height, or (nothing) not by itself, logical pixels.
pub fn scrolling_in<R>(ui: &mut Ui, id: &str, high: Option<f32>, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let Some(high) = high else { return contents(ui) };
    let area =
        ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).max_height(high).min_scrolled_height(high);
    area.show(ui, contents).inner
}

/// What stands at the right end of a row, the outermost first.
pub fn at_right<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.with_layout(Layout::right_to_left(Align::Center), contents).inner
}

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

pub fn status_ink(status: &Status, palette: &Palette) -> Color32 {
    match status {
        Status::Done(_) => palette.ink,
        Status::Refused(_) => palette.alert,
    }
}

pub fn menu_row(entry: &Entry, size: [f32; 2]) -> Button<'static> {
    let name = if entry.name.is_empty() { entry.button } else { entry.name };
    Button::new(name).shortcut_text(RichText::new(entry.key_name()).size(size::SMALL)).min_size(size.into())
}

/// A command as a small button with its word; the command where it was pressed.
pub fn small_button(ui: &mut Ui, command: Command, lit: bool) -> Option<Command> {
    let entry = entry(&command);
    let button = Button::new(RichText::new(entry.button).size(size::SMALL)).selected(lit);
    ui.add(button).on_hover_text(entry.tip).clicked().then_some(command)
}

/// Asks for a command where its button was pressed.
pub fn on_click(asked: &mut Option<Command>, button: &Response, command: Command) {
    if button.clicked() {
        *asked = Some(command);
    }
}

/// The ground of something painted that can be chosen, by whether it is and whether the pointer is on it; and what it is called to those who cannot
/// see it.
pub fn tile(ui: &Ui, palette: &Palette, response: &Response, area: Rect, radius: f32, (chosen, name): (bool, &str)) {
    response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen, name));
    let fill = if chosen || response.hovered() { palette.hovered } else { palette.raised };
    let edge = if chosen { palette.listener } else { fill };
    ui.painter().rect(area, radius, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
}

/// A sentence in the middle of an empty canvas, and what to do about it.
pub fn empty(ui: &mut Ui, palette: &Palette, canvas: Rect, heading: &str, advice: &str) {
    for (text, letters, ink, below) in
        [(heading, 22.0, palette.ink, -16.0), (advice, size::TEXT, palette.soft_ink, 16.0)]
    {
        let middle = canvas.center() + vec2(0.0, below);
        let place = Rect::from_center_size(middle, vec2(canvas.width() - 60.0, 30.0));
        ui.put(place, Label::new(words(text, letters, ink)));
    }
}

/// The heading of a question, so wide, logical pixels.
pub fn question(ui: &mut Ui, palette: &Palette, wide: f32, title: &str) {
    ui.set_width(wide);
    label(ui, title, size::SENTENCE + 1.0, palette.ink);
    ui.add_space(6.0);
}

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

pub fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}
