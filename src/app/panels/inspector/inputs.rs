//! What a value is entered with: typed, ticked, or chosen of a few. What is typed counts once Enter is pressed or the field is left; what
//! cannot be is told below and changes nothing.

use bevy_egui::egui::{self, Checkbox, ComboBox, Layout, RichText, Sense, Ui, Vec2};

use super::context::Context;
use super::entry::{Typed, entry, fact, named, read_length, remember, take_keyboard, tell};
use crate::app::theme::size;
use crate::app::widgets::explain;
use crate::catalogue::limits::{Limits, short};
use crate::output::{glossary, length};

/// Width of the names, logical pixels.
const NAMES: f32 = 112.0;
/// Height of a field, logical pixels.
const HIGH: f32 = 26.0;

#[derive(Clone, Copy)]
pub(super) struct Label<'a> {
    pub name: &'a str,
    pub tip: &'a str,
    /// True where it stands for several things.
    pub many: bool,
    /// True where they differ in it.
    pub differ: bool,
}

impl<'a> Label<'a> {
    pub(super) const fn new(name: &'a str, tip: &'a str) -> Self {
        Self { name, tip, many: false, differ: false }
    }

    /// The name, and beside it what is entered with.
    pub(super) fn row<R>(self, ui: &mut Ui, cx: &Context, field: impl FnOnce(&mut Ui) -> R) -> R {
        let beside = |ui: &mut Ui| {
            ui.allocate_ui_with_layout(Vec2::new(NAMES, HIGH), Layout::left_to_right(egui::Align::Center), |ui| {
                ui.set_min_width(NAMES);
                let mut text = RichText::new(self.name).size(size::TEXT - 0.5).color(cx.palette.soft_ink);
                if !glossary::marks(self.name).is_empty() {
                    text = text.underline();
                }
                let mut response = ui.add(egui::Label::new(text).truncate());
                if !self.tip.is_empty() {
                    response = response.on_hover_text(self.tip);
                }
                explain(response, self.name);
            });
            field(ui)
        };
        ui.horizontal(beside).inner
    }

    /// A row to type into. What was entered.
    fn typed<V>(self, ui: &mut Ui, cx: &Context, field: impl FnOnce(&mut Ui) -> Typed<V>) -> Option<V> {
        let typed = self.row(ui, cx, field);
        tell(ui, &cx.palette, typed.wrong.as_deref());
        typed.done
    }

    /// The field alone. Where things differ nothing stands in it.
    fn entry<V>(
        self,
        ui: &mut Ui,
        cx: &Context,
        wide: f32,
        shown: &str,
        read: impl Fn(&str) -> Result<V, String>,
    ) -> Typed<V> {
        entry(ui, &cx.palette, self.name, self.tip, wide, if self.differ { "" } else { shown }, read)
    }
}

/// A way to enter a value of one type.
pub(super) trait Input<V> {
    /// Draws it; what was entered in this frame. `value` is that of the first thing.
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &V) -> Option<V>;
}

/// Sets a value where it stands; true when another one was entered.
pub(super) fn set<V: PartialEq>(
    ui: &mut Ui,
    cx: &Context,
    (name, tip): (&str, &str),
    input: &impl Input<V>,
    value: &mut V,
) -> bool {
    let entered = input.ui(ui, cx, Label::new(name, tip), value).filter(|entered| entered != value);
    let done = entered.is_some();
    if let Some(entered) = entered {
        *value = entered;
    }
    done
}

pub(super) struct Text;

impl Input<String> for Text {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &String) -> Option<String> {
        let read = |text: &str| Ok(text.trim().to_owned());
        label.typed(ui, cx, |ui| label.entry(ui, cx, ui.available_width(), value, read))
    }
}

/// A name, which cannot be empty; of what was clicked to be named, the keyboard goes there.
pub(super) struct Name;

impl Input<String> for Name {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &String) -> Option<String> {
        let read = |text: &str| match text.trim() {
            "" => Err("Give it a name.".to_owned()),
            name => Ok(name.to_owned()),
        };
        label.typed(ui, cx, |ui| {
            if cx.naming {
                take_keyboard(ui, label.name);
            }
            label.entry(ui, cx, ui.available_width(), value, read)
        })
    }
}

fn range(limits: &Limits) -> String {
    format!("{} to {} {}", short(limits.least), short(limits.most), limits.unit).trim_end().to_owned()
}

/// Reads a number: decimal point or comma, the unit may stand behind it.
fn read_number(text: &str, limits: &Limits) -> Result<f64, String> {
    let bare = text.trim().trim_end_matches(limits.unit).trim().replace(',', ".").replace('−', "-");
    let value: f64 = bare.parse().map_err(|_| format!("“{}” is no number.", text.trim()))?;
    if limits.hold(value) { Ok(value) } else { Err(format!("It must be from {}.", range(limits))) }
}

pub(super) struct Number(pub Limits);

impl Number {
    /// Without its name.
    pub(super) fn bare(&self, ui: &mut Ui, cx: &Context, label: Label, wide: f32, value: f64) -> Typed<f64> {
        let typed = label.entry(ui, cx, wide, &short(value), |text| read_number(text, &self.0));
        self.unit_ui(ui, cx, "");
        typed
    }

    fn unit_ui(&self, ui: &mut Ui, cx: &Context, and: &str) {
        let text = format!("{}{and}", self.0.unit);
        let text = text.trim_start_matches(", ");
        if !text.is_empty() {
            fact(ui, &cx.palette, text);
        }
    }

    fn tip(&self, tip: &str) -> String {
        if tip.is_empty() { range(&self.0) } else { format!("{tip}\n{}", range(&self.0)) }
    }
}

impl Input<f64> for Number {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &f64) -> Option<f64> {
        let tip = self.tip(label.tip);
        let label = Label { tip: &tip, ..label };
        label.typed(ui, cx, |ui| self.bare(ui, cx, label, 84.0, *value))
    }
}

impl Input<u32> for Number {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &u32) -> Option<u32> {
        Input::<f64>::ui(self, ui, cx, label, &f64::from(*value)).map(|entered| entered.round() as u32)
    }
}

impl Input<Option<f64>> for Number {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &Option<f64>) -> Option<Option<f64>> {
        let tip = self.tip(label.tip);
        let label = Label { tip: &tip, ..label };
        let read = |text: &str| if text.trim().is_empty() { Ok(None) } else { read_number(text, &self.0).map(Some) };
        label.typed(ui, cx, |ui| {
            let typed = label.entry(ui, cx, 84.0, &value.map(short).unwrap_or_default(), read);
            self.unit_ui(ui, cx, if value.is_none() { ", not given" } else { "" });
            typed
        })
    }
}

impl Input<Option<u32>> for Number {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &Option<u32>) -> Option<Option<u32>> {
        let entered = Input::<Option<f64>>::ui(self, ui, cx, label, &value.map(f64::from))?;
        Some(entered.map(|entered| entered.round() as u32))
    }
}

pub(super) struct Length(pub Limits);

impl Input<f64> for Length {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value_m: &f64) -> Option<f64> {
        let read = |text: &str| read_length(text, (self.0.least, self.0.most), cx.units);
        label.typed(ui, cx, |ui| label.entry(ui, cx, 104.0, &length::write(*value_m, cx.units), read))
    }
}

/// A slider between two values with a number beside it, which may lie beyond: what is dragged counts when it is let go.
pub(super) struct Slider {
    pub drawn: [f64; 2],
    pub step: f64,
    pub limits: Limits,
}

impl Input<f64> for Slider {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &f64) -> Option<f64> {
        let [low, high] = self.drawn;
        label.typed(ui, cx, |ui| {
            let id = ui.make_persistent_id(("slider", label.name));
            let held: Option<f64> = ui.data(|data| data.get_temp(id));
            let mut at = held.unwrap_or(*value).clamp(low, high);
            let before = at;
            ui.spacing_mut().slider_width = 96.0;
            let response = ui.add(egui::Slider::new(&mut at, low..=high).show_value(false).step_by(self.step));
            named(ui, &response, &format!("{}, slider", label.name));
            let moved = at != before;
            let let_go = response.drag_stopped() || (moved && !response.dragged());
            let under_way = response.dragged() && (moved || held.is_some());
            let dragged = if let_go { moved.then_some(at).or(held) } else { None };
            remember(ui, id, under_way.then_some(at));
            response.on_hover_text(label.tip);
            let typed = Number(self.limits).bare(ui, cx, label, 52.0, if under_way { at } else { *value });
            Typed { done: typed.done.or(dragged), ..typed }
        })
    }
}

/// Eight numbers in a line, the octaves from 31.5 Hz to 4 kHz.
pub(super) struct Octaves(pub Limits);

impl Input<[f64; 8]> for Octaves {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, values: &[f64; 8]) -> Option<[f64; 8]> {
        let read = |text: &str| {
            let parts = text.split(|letter: char| letter.is_whitespace() || letter == ';');
            let parts = parts.map(|part| part.trim_end_matches(',')).filter(|part| !part.is_empty());
            let read = parts.map(|part| read_number(part, &self.0)).collect::<Result<Vec<f64>, String>>()?;
            <[f64; 8]>::try_from(read.as_slice()).map_err(|_| {
                let count = read.len();
                format!("{count} numbers; it takes eight, for 31.5, 63, 125, 250, 500, 1000, 2000 and 4000 Hz.")
            })
        };
        fact(ui, &cx.palette, &format!("{}, {}, octaves 31.5 Hz to 4 kHz", label.name, self.0.unit));
        let typed = label.entry(ui, cx, ui.available_width(), &values.map(short).join("  "), read);
        tell(ui, &cx.palette, typed.wrong.as_deref());
        typed.done
    }
}

pub(super) struct Check;

impl Input<bool> for Check {
    fn ui(&self, ui: &mut Ui, _: &Context, label: Label, value: &bool) -> Option<bool> {
        let mut now = *value;
        check(ui, label.name, label.tip, &mut now).then_some(now)
    }
}

/// A box to tick.
pub(super) fn check(ui: &mut Ui, name: &str, tip: &str, value: &mut bool) -> bool {
    // An empty box must be seen as well.
    let rule = ui.visuals().widgets.noninteractive.bg_stroke;
    let add = |ui: &mut Ui| {
        ui.visuals_mut().widgets.inactive.bg_stroke = rule;
        ui.add(Checkbox::new(value, name))
    };
    let response = ui.scope(add).inner;
    let changed = response.changed();
    if !tip.is_empty() {
        response.on_hover_text(tip);
    }
    changed
}

pub(super) struct Switch<V>(pub fn(&Context) -> Option<V>);

impl<V> Input<Option<V>> for Switch<V> {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &Option<V>) -> Option<Option<V>> {
        let mut there = value.is_some();
        check(ui, label.name, label.tip, &mut there).then(|| if there { (self.0)(cx) } else { None })
    }
}

pub(super) struct OneOf<V>(pub fn(&Context, &V) -> Vec<(V, String)>);

impl<V: Clone + PartialEq> Input<V> for OneOf<V> {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, value: &V) -> Option<V> {
        choice(ui, cx, label, value, &(self.0)(cx, value))
    }
}

/// One of some.
pub(super) fn choice<V: Clone + PartialEq>(
    ui: &mut Ui,
    cx: &Context,
    label: Label,
    value: &V,
    all: &[(V, String)],
) -> Option<V> {
    let is_it = |one: &V| one == value && !label.differ;
    let found = all.iter().find(|(known, _)| is_it(known)).map(|(_, word)| word.as_str());
    let shown = found.unwrap_or(if label.differ { "they differ" } else { "…" });
    let mut chosen = None;
    label.row(ui, cx, |ui| {
        let combo = ComboBox::from_id_salt(("choice", label.name)).selected_text(shown).width(ui.available_width());
        let response = combo.truncate().show_ui(ui, |ui| {
            for (one, word) in all {
                if ui.selectable_label(is_it(one), word).clicked() {
                    chosen = Some(one.clone());
                }
            }
        });
        named(ui, &response.response, &format!("{}: {shown}", label.name));
        if !label.tip.is_empty() {
            response.response.on_hover_text(label.tip);
        }
    });
    chosen
}

pub(super) fn words<V: Clone>(all: &[(V, &str)]) -> Vec<(V, String)> {
    all.iter().map(|(one, word)| (one.clone(), (*word).to_owned())).collect()
}

/// The variants of an enum in words, that at hand with its own numbers and the others with usual ones.
pub(super) fn variants<V: Clone>(now: &V, usual: &[(V, &str)]) -> Vec<(V, String)> {
    let mut all = words(usual);
    for (one, _) in &mut all {
        if std::mem::discriminant(one) == std::mem::discriminant(now) {
            one.clone_from(now);
        }
    }
    all
}

pub(super) fn button(ui: &mut Ui, word: &str, tip: &str) -> bool {
    let response = ui.add(egui::Button::new(RichText::new(word).size(size::TEXT - 0.5)));
    let clicked = response.clicked();
    if !tip.is_empty() {
        response.on_hover_text(tip);
    }
    clicked
}

pub(super) fn heading(ui: &mut Ui, cx: &Context, text: &str) {
    ui.add_space(8.0);
    let (area, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 3.0), Sense::hover());
    ui.painter().hline(area.x_range(), area.top(), egui::Stroke::new(1.0, cx.palette.rule));
    ui.label(RichText::new(text).size(size::SMALL + 0.5).strong().color(cx.palette.ink));
}

pub(super) fn part(ui: &mut Ui, cx: &Context, text: &str, open: bool, contents: impl FnOnce(&mut Ui)) {
    let text = RichText::new(text).size(size::TEXT - 0.5).color(cx.palette.ink);
    egui::CollapsingHeader::new(text).default_open(open).show_unindented(ui, |ui| {
        contents(ui);
        ui.add_space(4.0);
    });
}

/// Some things, each drawn by `one_ui` by its position; one for which that is true is taken away.
pub(super) fn list_ui<T>(
    ui: &mut Ui,
    key: &str,
    things: &mut Vec<T>,
    mut one_ui: impl FnMut(&mut Ui, usize, &mut T) -> bool,
) {
    let mut positions = 0..;
    things.retain_mut(|thing| {
        let at = positions.next().unwrap_or_default();
        !ui.push_id((key, at), |ui| one_ui(ui, at, thing)).inner
    });
}

pub(super) fn framed<R>(ui: &mut Ui, rim: egui::Color32, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let frame = egui::Frame::new().stroke(egui::Stroke::new(1.0, rim)).corner_radius(6);
    let show = |ui: &mut Ui| {
        ui.set_width(ui.available_width());
        contents(ui)
    };
    frame.inner_margin(egui::Margin::same(8)).show(ui, show).inner
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_comma_or_point_and_with_their_unit() {
        let limits = Limits::new(-10.0, 100.0, "mm");
        for (text, value) in [("12,5", 12.5), (" 12.5 mm", 12.5), ("-3", -3.0), ("−3 mm", -3.0)] {
            assert_eq!(read_number(text, &limits), Ok(value), "{text}");
        }
        for text in ["", "twelve", "NaN", "inf", "200"] {
            assert!(read_number(text, &limits).is_err(), "{text}");
        }
    }
}
