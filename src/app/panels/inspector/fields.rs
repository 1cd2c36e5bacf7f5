//! Fields of the inspector: a name, and beside it something to type into or to choose. What is typed counts once Enter is pressed or the field
//! is left; what cannot be is told below and changes nothing.

use bevy_egui::egui::{self, Checkbox, ComboBox, Layout, RichText, Sense, Slider, Ui, Vec2};

use super::Seen;
use super::entry::read_length;
pub(super) use super::entry::{KEYS, Typed, entry, named, outline, remember, take_keyboard, tell};
use crate::app::theme::{Palette, size};
use crate::output::length;

/// Width of the names, logical pixels.
pub(super) const NAMES: f32 = 112.0;
/// Height of a field, logical pixels.
const HIGH: f32 = 26.0;

/// Least and most a number may be.
pub(super) type Limits = (f64, f64);

/// A field's name with what stands beside it.
pub(super) fn row<R>(ui: &mut Ui, seen: &Seen, name: &str, told: &str, field: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        label(ui, &seen.palette, name, told);
        field(ui)
    })
    .inner
}

fn label(ui: &mut Ui, palette: &Palette, name: &str, told: &str) {
    let layout = Layout::left_to_right(egui::Align::Center);
    ui.allocate_ui_with_layout(Vec2::new(NAMES, HIGH), layout, |ui| {
        ui.set_min_width(NAMES);
        let text = RichText::new(name).size(size::TEXT - 0.5).color(palette.soft_ink);
        let response = ui.add(egui::Label::new(text).truncate());
        if !told.is_empty() {
            response.on_hover_text(told);
        }
    });
}

/// A small line: facts that are computed, hints.
pub(super) fn fact(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.label(RichText::new(text).size(size::SMALL + 0.5).color(palette.soft_ink));
}

/// A small line that asks for attention.
pub(super) fn alert(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.label(RichText::new(text).size(size::SMALL + 0.5).color(palette.alert));
}

/// A line of text.
pub(super) fn text(ui: &mut Ui, seen: &Seen, name: &str, told: &str, value: &mut String) -> bool {
    let typed = row(ui, seen, name, told, |ui| {
        let wide = ui.available_width();
        entry(ui, &seen.palette, name, told, wide, value, |text| Ok(text.trim().to_owned()))
    });
    take(typed.done, value)
}

/// A name, which cannot be empty.
pub(super) fn title(ui: &mut Ui, seen: &Seen, told: &str, value: &mut String) -> bool {
    title_to_type(ui, seen, told, value, false)
}

/// The same; `now` takes the keyboard to it, with all of it selected.
pub(super) fn title_to_type(ui: &mut Ui, seen: &Seen, told: &str, value: &mut String, now: bool) -> bool {
    let read = |text: &str| match text.trim() {
        "" => Err("Give it a name.".to_owned()),
        name => Ok(name.to_owned()),
    };
    let typed = row(ui, seen, "Name", told, |ui| {
        let wide = ui.available_width();
        if now {
            take_keyboard(ui, "Name");
        }
        entry(ui, &seen.palette, "Name", told, wide, value, read)
    });
    tell(ui, &seen.palette, typed.wrong.as_deref());
    take(typed.done, value)
}

fn take<T: PartialEq>(done: Option<T>, value: &mut T) -> bool {
    match done {
        Some(done) if done != *value => {
            *value = done;
            true
        }
        _ => false,
    }
}

/// A number without noughts at its end.
pub(super) fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Reads a number: decimal point or comma, the unit may stand behind it.
fn read_number(text: &str, unit: &str, (least, most): Limits) -> Result<f64, String> {
    let bare = text.trim().trim_end_matches(unit).trim().replace(',', ".").replace('−', "-");
    let value: f64 = bare.parse().map_err(|_| format!("“{}” is no number.", text.trim()))?;
    if value.is_finite() && (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(format!("It must be from {} to {} {unit}.", short(least), short(most)).replace(" .", "."))
    }
}

/// A number with its unit, without a name beside it; `name` is what it is called all the same.
pub(super) fn bare_number(
    ui: &mut Ui,
    seen: &Seen,
    (name, told, unit): (&str, &str, &str),
    wide: f32,
    value: f64,
    limits: Limits,
) -> Typed<f64> {
    let typed = entry(ui, &seen.palette, name, told, wide, &short(value), |text| read_number(text, unit, limits));
    if !unit.is_empty() {
        ui.label(RichText::new(unit).size(size::SMALL + 0.5).color(seen.palette.soft_ink));
    }
    typed
}

/// A number with its unit. True when another one was entered.
pub(super) fn number(
    ui: &mut Ui,
    seen: &Seen,
    (name, told, unit): (&str, &str, &str),
    value: &mut f64,
    limits: Limits,
) -> bool {
    let told = in_limits(told, unit, limits);
    let typed = row(ui, seen, name, &told, |ui| bare_number(ui, seen, (name, &told, unit), 84.0, *value, limits));
    tell(ui, &seen.palette, typed.wrong.as_deref());
    take(typed.done, value)
}

fn in_limits(told: &str, unit: &str, (least, most): Limits) -> String {
    let range = format!("{} to {} {unit}", short(least), short(most));
    if told.is_empty() { range } else { format!("{told}\n{}", range.trim_end()) }
}

/// A number that need not be given: an empty field is none.
pub(super) fn number_or_none(
    ui: &mut Ui,
    seen: &Seen,
    (name, told, unit): (&str, &str, &str),
    value: &mut Option<f64>,
    limits: Limits,
) -> bool {
    let told = in_limits(told, unit, limits);
    let shown = value.map(short).unwrap_or_default();
    let read = |text: &str| {
        if text.trim().is_empty() { Ok(None) } else { read_number(text, unit, limits).map(Some) }
    };
    let typed = row(ui, seen, name, &told, |ui| {
        let typed = entry(ui, &seen.palette, name, &told, 84.0, &shown, read);
        let unit = if value.is_none() { format!("{unit}, not given") } else { unit.to_owned() };
        ui.label(RichText::new(unit.trim_start_matches(", ")).size(size::SMALL + 0.5).color(seen.palette.soft_ink));
        typed
    });
    tell(ui, &seen.palette, typed.wrong.as_deref());
    take(typed.done, value)
}

/// A length in the units chosen. What was entered, m.
pub(super) fn length(ui: &mut Ui, seen: &Seen, name: &str, told: &str, value_m: f64, limits: Limits) -> Option<f64> {
    let shown = length::write(value_m, seen.units);
    let read = |text: &str| read_length(text, limits, seen.units);
    let typed = row(ui, seen, name, told, |ui| entry(ui, &seen.palette, name, told, 104.0, &shown, read));
    tell(ui, &seen.palette, typed.wrong.as_deref());
    typed.done
}

/// A length that is set where it stands.
pub(super) fn set_length(ui: &mut Ui, seen: &Seen, name: &str, told: &str, value_m: &mut f64, limits: Limits) -> bool {
    take(length(ui, seen, name, told, *value_m, limits), value_m)
}

/// Eight numbers in a line, the octaves from 31.5 Hz to 4 kHz.
pub(super) fn octaves(
    ui: &mut Ui,
    seen: &Seen,
    name: &str,
    told: &str,
    values: &mut [f64; 8],
    (unit, limits): (&str, Limits),
) -> bool {
    let shown = values.map(short).join("  ");
    let read = |text: &str| {
        let split = |letter: char| letter.is_whitespace() || letter == ';';
        let read: Result<Vec<f64>, String> = text
            .split(split)
            .map(|part| part.trim_end_matches(','))
            .filter(|part| !part.is_empty())
            .map(|part| read_number(part, unit, limits))
            .collect();
        let read = read?;
        <[f64; 8]>::try_from(read.as_slice()).map_err(|_| {
            format!("{} numbers; it takes eight, for 31.5, 63, 125, 250, 500, 1000, 2000 and 4000 Hz.", read.len())
        })
    };
    fact(ui, &seen.palette, &format!("{name}, {unit}, octaves 31.5 Hz to 4 kHz"));
    let wide = ui.available_width();
    let typed = entry(ui, &seen.palette, name, told, wide, &shown, read);
    tell(ui, &seen.palette, typed.wrong.as_deref());
    take(typed.done, values)
}

/// One of a few.
pub(super) fn choice<T: Clone + PartialEq>(
    ui: &mut Ui,
    seen: &Seen,
    name: &str,
    told: &str,
    value: &mut T,
    all: &[(T, String)],
) -> bool {
    row(ui, seen, name, told, |ui| bare_choice(ui, name, told, ui.available_width(), value, all))
}

/// One of a few, without a name beside it.
pub(super) fn bare_choice<T: Clone + PartialEq>(
    ui: &mut Ui,
    name: &str,
    told: &str,
    wide: f32,
    value: &mut T,
    all: &[(T, String)],
) -> bool {
    let shown = all.iter().find(|(known, _)| known == value).map_or("…", |(_, word)| word.as_str());
    let mut chosen = None;
    let combo = ComboBox::from_id_salt(("choice", name)).selected_text(shown).width(wide).truncate();
    let response = combo.show_ui(ui, |ui| {
        for (one, word) in all {
            if ui.selectable_label(one == value, word).clicked() {
                chosen = Some(one.clone());
            }
        }
    });
    named(ui, &response.response, &format!("{name}: {shown}"));
    if !told.is_empty() {
        response.response.on_hover_text(told);
    }
    take(chosen, value)
}

/// Words for [`choice`].
pub(super) fn words<T: Clone>(all: &[(T, &str)]) -> Vec<(T, String)> {
    all.iter().map(|(one, word)| (one.clone(), (*word).to_owned())).collect()
}

/// Yes or no.
pub(super) fn check(ui: &mut Ui, name: &str, told: &str, value: &mut bool) -> bool {
    // An empty box must be seen as well.
    let rule = ui.visuals().widgets.noninteractive.bg_stroke;
    let response = ui
        .scope(|ui| {
            ui.visuals_mut().widgets.inactive.bg_stroke = rule;
            ui.add(Checkbox::new(value, name))
        })
        .inner;
    let changed = response.changed();
    if !told.is_empty() {
        response.on_hover_text(told);
    }
    changed
}

/// A slider with a number beside it: what is dragged counts when it is let go.
pub(super) fn slider(
    ui: &mut Ui,
    seen: &Seen,
    (name, told, unit): (&str, &str, &str),
    value: &mut f64,
    (drawn, limits): (Limits, Limits),
) -> bool {
    let typed = row(ui, seen, name, told, |ui| {
        let id = ui.make_persistent_id(("slider", name));
        let held: Option<f64> = ui.data(|data| data.get_temp(id));
        let mut at = held.unwrap_or(*value).clamp(drawn.0, drawn.1);
        let before = at;
        ui.spacing_mut().slider_width = 96.0;
        let slider = Slider::new(&mut at, drawn.0..=drawn.1).show_value(false).step_by(0.5);
        let response = ui.add(slider);
        named(ui, &response, &format!("{name}, slider"));
        let moved = at != before;
        let let_go = response.drag_stopped() || (moved && !response.dragged());
        let under_way = response.dragged() && (moved || held.is_some());
        let dragged = if let_go { moved.then_some(at).or(held) } else { None };
        remember(ui, id, under_way.then_some(at));
        response.on_hover_text(told);
        let shown = if under_way { at } else { *value };
        let typed = bare_number(ui, seen, (name, told, unit), 52.0, shown, limits);
        Typed { done: typed.done.or(dragged), ..typed }
    });
    tell(ui, &seen.palette, typed.wrong.as_deref());
    take(typed.done, value)
}

/// A button in a line of its own height.
pub(super) fn button(ui: &mut Ui, word: &str, told: &str) -> bool {
    let response = ui.add(egui::Button::new(RichText::new(word).size(size::TEXT - 0.5)));
    let clicked = response.clicked();
    if !told.is_empty() {
        response.on_hover_text(told);
    }
    clicked
}

/// The heading of a part.
pub(super) fn heading(ui: &mut Ui, seen: &Seen, text: &str) {
    ui.add_space(8.0);
    let (area, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 3.0), Sense::hover());
    ui.painter().hline(area.x_range(), area.top(), egui::Stroke::new(1.0, seen.palette.rule));
    ui.label(RichText::new(text).size(size::SMALL + 0.5).strong().color(seen.palette.ink));
}

/// A part that can be folded away.
pub(super) fn part(ui: &mut Ui, seen: &Seen, text: &str, open: bool, contents: impl FnOnce(&mut Ui)) {
    let text = RichText::new(text).size(size::TEXT - 0.5).color(seen.palette.ink);
    egui::CollapsingHeader::new(text).default_open(open).show_unindented(ui, |ui| {
        contents(ui);
        ui.add_space(4.0);
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_comma_or_point_and_with_their_unit() {
        for (text, value) in [("12,5", 12.5), (" 12.5 mm", 12.5), ("-3", -3.0), ("−3 mm", -3.0)] {
            assert_eq!(read_number(text, "mm", (-10.0, 100.0)), Ok(value), "{text}");
        }
        for text in ["", "twelve", "NaN", "inf", "200"] {
            assert!(read_number(text, "mm", (-10.0, 100.0)).is_err(), "{text}");
        }
    }

    #[test]
    fn numbers_are_written_without_noughts_behind() {
        assert_eq!([12.50, 3.0, -0.0, 0.005].map(short), ["12.5", "3", "0", "0.005"]);
    }
}
