//! Choosing from the catalogue: a button with what is chosen; pressed, a field for words and the list of what they find.

use bevy_egui::egui::{
    self, Button, Id, Key, Margin, Modifiers, Rect, RichText, ScrollArea, TextEdit, TextStyle, Ui, text::LayoutJob,
};

use super::context::Context;
use super::entry::{KEYS, alert, fact, named, outline, remember};
use super::inputs::{Input, Label, Number, set};
use super::rates;
use crate::app::theme::{font, size};
use crate::catalogue::limits::Limits;
use crate::output::shelf::{Entry, Shelf};
use crate::output::words::heading;

/// Height of the list at most, logical pixels.
const LIST: f32 = 268.0;

/// An entry that must be there.
pub(super) struct FromShelf(pub Shelf);

impl Input<String> for FromShelf {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, id: &String) -> Option<String> {
        chooser_ui(ui, cx, label, self.0, None, Some(id)).flatten()
    }
}

/// An entry, or none, which is called so.
pub(super) struct FromShelfOr(pub Shelf, pub &'static str);

impl Input<Option<String>> for FromShelfOr {
    fn ui(&self, ui: &mut Ui, cx: &Context, label: Label, id: &Option<String>) -> Option<Option<String>> {
        chooser_ui(ui, cx, label, self.0, Some(self.1), id.as_deref())
    }
}

/// What the thickness of a fill is called.
pub(super) const FILL_DEPTH: (&str, &str) = ("Fill depth", "Thickness of the fill");

/// A porous material and its thickness, mm, or none.
pub(super) struct Porous {
    /// The word for none.
    pub none: &'static str,
    /// What the thickness is called, and what it tells.
    pub thickness: (&'static str, &'static str),
    pub limits: Limits,
    /// The thickness at first, mm.
    pub begins_mm: f64,
}

impl Input<Option<(String, f64)>> for Porous {
    fn ui(
        &self,
        ui: &mut Ui,
        cx: &Context,
        label: Label,
        fill: &Option<(String, f64)>,
    ) -> Option<Option<(String, f64)>> {
        let material = fill.as_ref().map(|(material, _)| material.clone());
        let mut after = fill.clone();
        if let Some(chosen) = FromShelfOr(Shelf::Fills, self.none).ui(ui, cx, label, &material) {
            let thick_mm = fill.as_ref().map_or(self.begins_mm, |(_, thick_mm)| *thick_mm);
            after = chosen.map(|material| (material, thick_mm));
        }
        if let Some((_, thick_mm)) = &mut after {
            set(ui, cx, self.thickness, &Number(self.limits), thick_mm);
        }
        (after != *fill).then_some(after)
    }
}

/// A button with what is chosen; pressed, the list. `chosen` is the id now. What was chosen in this frame: an id, or none.
pub(super) fn chooser_ui(
    ui: &mut Ui,
    cx: &Context,
    label: Label,
    shelf: Shelf,
    none: Option<&str>,
    chosen: Option<&str>,
) -> Option<Option<String>> {
    let chosen = chosen.filter(|_| !label.differ);
    let id = ui.make_persistent_id(("chooser", label.name));
    let search: Option<(String, bool)> = ui.data(|data| data.get_temp(id));
    let entry = chosen.and_then(|chosen| rates::found(cx, shelf, chosen));
    let shown = match (&entry, chosen) {
        (Some(entry), _) => heading(entry.name),
        (None, Some(unknown)) => format!("“{unknown}” is not known"),
        (None, None) if label.differ => "They differ".to_owned(),
        (None, None) => heading(none.unwrap_or("choose …")),
    };
    let pressed = label.row(ui, cx, |ui| {
        let ink = if entry.is_none() && chosen.is_some() { cx.palette.alert } else { cx.palette.ink };
        let text = RichText::new(&shown).size(size::TEXT - 0.5).color(ink);
        let button = Button::new(text).truncate().min_size(egui::vec2(ui.available_width(), 26.0));
        let response = ui.add(button.right_text(if search.is_some() { "⏶" } else { "⏷" }));
        named(ui, &response, &format!("{}: {shown}", label.name));
        let clicked = response.clicked();
        response.on_hover_text(if label.tip.is_empty() { &shown } else { label.tip });
        clicked
    });
    let Some((mut search, fresh)) = search else {
        remember(ui, id, pressed.then(|| (String::new(), true)));
        if let Some(entry) = &entry {
            // Of a material the name says enough.
            if !matches!(shelf, Shelf::Sheets | Shelf::Fills | Shelf::Resilient) {
                fact(ui, &cx.palette, &rates::facts(ui.ctx(), cx, shelf, entry));
            }
            caution(ui, cx, entry, 0);
        }
        return None;
    };
    let frame = egui::Frame::new().fill(cx.palette.sheet).stroke(egui::Stroke::new(1.0, cx.palette.rule));
    let list = List { cx, label, shelf, none, chosen };
    let framed = frame.corner_radius(6).inner_margin(Margin::same(8));
    let (asked, escaped) = framed.show(ui, |ui| list.ui(ui, id.with("search"), &mut search, fresh)).inner;
    remember(ui, id, (!escaped && !pressed && asked.is_none()).then_some((search, false)));
    asked
}

/// What is searched for, in a word or two.
fn hint(shelf: Shelf) -> &'static str {
    match shelf {
        Shelf::Constructions(_) => "Search: brick, 100, plasterboard …",
        Shelf::Finishes => "Search: carpet, curtain, plaster …",
        Shelf::Seals => "Search a seal …",
        Shelf::Sounds => "Search: drums, trumpet, saw …",
        Shelf::Targets => "Search: night, indoors, rating …",
        Shelf::Forces => "Search: pedal, steps …",
        Shelf::Sheets | Shelf::Fills | Shelf::Resilient => "Search a material …",
    }
}

struct List<'a> {
    cx: &'a Context<'a>,
    label: Label<'a>,
    shelf: Shelf,
    none: Option<&'a str>,
    chosen: Option<&'a str>,
}

impl List<'_> {
    /// The field and what it finds; and whether it is given up.
    fn ui(&self, ui: &mut Ui, id: Id, search: &mut String, fresh: bool) -> (Option<Option<String>>, bool) {
        let Self { cx, label, shelf, none, .. } = *self;
        let field = TextEdit::singleline(search).id(id).hint_text(hint(shelf)).desired_width(ui.available_width());
        let field = ui.add(field.event_filter(KEYS).margin(egui::vec2(7.0, 4.0)));
        named(ui, &field, &format!("Search {}", label.name.to_lowercase()));
        outline(ui, &cx.palette, &field);
        if fresh {
            field.request_focus();
        }
        let mut entries: Vec<Entry> = shelf.entries(cx.catalogue, &cx.scene.constructions);
        entries.retain(|entry| entry.fits(search));
        let mut chosen = None;
        // Enter takes the first that is found.
        if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
            chosen = entries.first().map(|entry| Some(entry.id.to_owned()));
        }
        let escaped = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
        ScrollArea::vertical().id_salt("found").max_height(LIST).auto_shrink([false, true]).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            if let Some(none) = none
                && search.is_empty()
                && row_ui(ui, cx, &heading(none), None, self.chosen.is_none() && !label.differ)
            {
                chosen = Some(None);
            }
            for entry in &entries {
                let facts = || rates::facts(ui.ctx(), cx, shelf, entry);
                // What is out of sight is not computed.
                let at = Rect::from_min_size(ui.next_widget_position(), egui::vec2(10.0, 46.0));
                let facts = if ui.is_rect_visible(at) { facts() } else { entry.facts.clone() };
                let name = heading(entry.name);
                let name = if entry.own { format!("{name} (own)") } else { name };
                if row_ui(ui, cx, &name, Some(&facts), self.chosen == Some(entry.id)) {
                    chosen = Some(Some(entry.id.to_owned()));
                }
                caution(ui, cx, entry, 8);
            }
            if entries.is_empty() {
                fact(ui, &cx.palette, "Nothing is called that.");
            }
        });
        (chosen, escaped)
    }
}

fn row_ui(ui: &mut Ui, cx: &Context, name: &str, facts: Option<&str>, is_chosen: bool) -> bool {
    let wide = ui.available_width();
    let mut job = LayoutJob::default();
    job.wrap.max_width = wide - 16.0;
    let format = |size: f32, color| egui::TextFormat { font_id: font(size), color, ..Default::default() };
    job.append(name, 0.0, format(size::TEXT - 0.5, cx.palette.ink));
    if let Some(facts) = facts.filter(|facts| !facts.is_empty()) {
        job.append(&format!("\n{facts}"), 0.0, format(size::SMALL, cx.palette.soft_ink));
    }
    let fill = if is_chosen { ui.visuals().selection.bg_fill } else { egui::Color32::TRANSPARENT };
    ui.style_mut().override_text_style = Some(TextStyle::Body);
    ui.spacing_mut().button_padding = egui::vec2(8.0, 3.0);
    let button = Button::new(job).fill(fill).wrap().min_size(egui::vec2(wide, 24.0));
    let response = ui.add(button);
    named(ui, &response, name);
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response.clicked()
}

fn caution(ui: &mut Ui, cx: &Context, entry: &Entry, left: i8) {
    if !entry.caution.is_empty() {
        let margin = Margin { left, ..Margin::ZERO };
        egui::Frame::new().inner_margin(margin).show(ui, |ui| alert(ui, &cx.palette, entry.caution));
    }
}
