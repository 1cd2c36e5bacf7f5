//! Small lines of text; and the field that is typed into: what stands there while it is worked on is kept beside the scene, and counts once.

use bevy_egui::egui::{self, EventFilter, Id, Key, Modifiers, Response, TextEdit, Ui};

use crate::app::theme::{Palette, size};
use crate::app::widgets::{explained, label};
use crate::output::length::{self, Units};
use crate::output::words::heading;

pub(super) fn fact(ui: &mut Ui, palette: &Palette, text: &str) {
    explained(ui, text, size::SMALL + 0.5, palette.soft_ink);
}

/// A caution, or anything else that asks for attention.
pub(super) fn alert(ui: &mut Ui, palette: &Palette, text: &str) {
    label(ui, text, size::SMALL + 0.5, palette.alert);
}

/// What is wrong, as a sentence.
pub(super) fn wrong(ui: &mut Ui, palette: &Palette, why: &str) {
    alert(ui, palette, &format!("{}.", heading(why)));
}

/// What is typed in a field: as it reads now, and whether it counts.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::app) struct Typed<T> {
    /// What stands there, where it differs from the value and can be read.
    pub live: Option<T>,
    /// What was entered in this frame.
    pub done: Option<T>,
    /// Why what stands there cannot be taken.
    pub wrong: Option<String>,
}

/// Says what a widget is called to those who cannot see it, and to the tests.
pub(in crate::app) fn named(ui: &Ui, response: &Response, name: &str) {
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name));
}

/// Escape gives up what is typed, and reaches neither the editor, where it would let go what is picked, nor the question the field is part of.
pub(in crate::app) const KEYS: EventFilter =
    EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: true };

/// What stands in a field while it is worked on, and why it cannot be taken.
#[derive(Debug, Clone, Default)]
struct Draft {
    text: String,
    wrong: Option<String>,
}

fn id_of(ui: &mut Ui, name: &str) -> Id {
    ui.make_persistent_id(("field", name))
}

/// Takes the keyboard to the field of this name that is drawn next in `ui`.
pub(in crate::app) fn take_keyboard(ui: &mut Ui, name: &str) {
    let id = id_of(ui, name);
    ui.memory_mut(|memory| memory.request_focus(id));
    ui.ctx().request_repaint();
}

/// The field itself, without a name. `shown` is the value as it stands.
pub(in crate::app) fn entry<T>(
    ui: &mut Ui,
    palette: &Palette,
    name: &str,
    tip: &str,
    wide: f32,
    shown: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> Typed<T> {
    let id = id_of(ui, name);
    let draft: Option<Draft> = ui.data(|data| data.get_temp(id));
    let mut text = draft.as_ref().map_or_else(|| shown.to_owned(), |draft| draft.text.clone());
    let mut edit = TextEdit::singleline(&mut text).id(id).desired_width(wide).margin(egui::vec2(7.0, 4.0));
    edit = edit.event_filter(KEYS);
    if draft.as_ref().is_some_and(|draft| draft.wrong.is_some()) {
        edit = edit.text_color(palette.alert);
    }
    let response = ui.add(edit);
    named(ui, &response, name);
    outline(ui, palette, &response);
    if response.gained_focus() {
        select_all(ui, id, &text);
    }
    // A press elsewhere may pick something else and take this field away: what is typed must count before.
    if response.has_focus() && ui.input(|input| input.pointer.any_pressed()) && !response.contains_pointer() {
        response.surrender_focus();
    }
    if response.has_focus() && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
        response.surrender_focus();
        shown.clone_into(&mut text);
    }
    let differs = text != shown;
    let live = if differs { read(&text).ok() } else { None };
    let mut typed = Typed { live, done: None, wrong: None };
    let mut next = differs.then(|| Draft { text: text.clone(), wrong: None });
    if response.lost_focus() && differs {
        match read(&text) {
            Ok(value) => (typed.done, next) = (Some(value), None),
            Err(why) => next = Some(Draft { text, wrong: Some(why) }),
        }
    } else if !response.has_focus() && differs {
        // What was refused stays to be read until it is put right.
        next = draft.filter(|draft| draft.wrong.is_some());
    }
    typed.wrong = next.as_ref().and_then(|draft| draft.wrong.clone());
    remember(ui, id, next);
    if !tip.is_empty() {
        response.on_hover_text(tip);
    }
    typed
}

/// A field of several lines.
pub(super) fn multiline(
    ui: &mut Ui,
    palette: &Palette,
    id: Id,
    text: &mut String,
    rows: usize,
    (name, hint): (&str, &str),
) -> Response {
    let wide = ui.available_width();
    let edit = TextEdit::multiline(text).id(id).desired_rows(rows).desired_width(wide).event_filter(KEYS);
    let response = ui.add(edit.hint_text(hint));
    named(ui, &response, name);
    outline(ui, palette, &response);
    response
}

/// Reads a length within limits, m.
///
/// # Errors
///
/// When it is none, or beyond them; says what it can be, in the units chosen.
pub fn read_length(text: &str, limits: (f64, f64), units: Units) -> Result<f64, String> {
    let value_m = length::read_in(text, units)
        .ok_or_else(|| format!("“{}” is no length. Write 4.2 m, 420 cm or 13' 9\".", text.trim()))?;
    if (limits.0..=limits.1).contains(&value_m) {
        return Ok(value_m);
    }
    let written = |length_m: f64| length::write(length_m, units);
    // A limit as it is written, rounded, may lie a hair beyond itself.
    if let Some(limit_m) = [limits.0, limits.1].into_iter().find(|limit_m| written(*limit_m) == written(value_m)) {
        return Ok(limit_m);
    }
    Err(format!("It must be from {} to {}.", written(limits.0), written(limits.1)))
}

/// Tells below a row what was typed wrongly in it.
pub(in crate::app) fn tell(ui: &mut Ui, palette: &Palette, wrong: Option<&str>) {
    if let Some(wrong) = wrong {
        alert(ui, palette, wrong);
    }
}

/// Keeps something of the window's own from frame to frame, or forgets it.
pub(in crate::app) fn remember<T: Clone + Send + Sync + 'static>(ui: &Ui, id: Id, value: Option<T>) {
    ui.data_mut(|data| match value {
        Some(value) => {
            data.insert_temp(id, value);
        }
        None => data.remove::<T>(id),
    });
}

/// Where the keyboard is must be seen, and where one can type as well.
pub(in crate::app) fn outline(ui: &Ui, palette: &Palette, response: &Response) {
    let ink = if response.has_focus() { palette.listener } else { palette.rule };
    ui.painter().rect_stroke(response.rect, 5.0, egui::Stroke::new(1.0, ink), egui::StrokeKind::Inside);
}

fn select_all(ui: &Ui, id: Id, text: &str) {
    let Some(mut state) = TextEdit::load_state(ui.ctx(), id) else { return };
    let range =
        egui::text::CCursorRange::two(egui::text::CCursor::new(0), egui::text::CCursor::new(text.chars().count()));
    state.cursor.set_char_range(Some(range));
    TextEdit::store_state(ui.ctx(), id, state);
}
