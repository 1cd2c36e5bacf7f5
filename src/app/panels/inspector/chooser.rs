//! Choosing from the catalogue: a button with what is chosen; pressed, a field for words and the list of what they find.

use bevy_egui::egui::{
    self, Button, Id, Key, Margin, Modifiers, Rect, RichText, ScrollArea, TextEdit, TextStyle, Ui, text::LayoutJob,
};

use super::Seen;
use super::fields::{KEYS, alert, fact, named, outline, row};
use super::shelf::{Entry, Shelf};
use crate::app::theme::{font, size};

/// Height of the list at most, logical pixels.
const LIST: f32 = 268.0;

/// What is chosen, and how the field is called.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub name: &'a str,
    pub told: &'a str,
    /// The id now; nothing where there is none.
    pub chosen: Option<&'a str>,
    pub shelf: Shelf,
    /// The word for none, where there may be none.
    pub none: Option<&'a str>,
    /// Several things are asked of at once, and they differ.
    pub differ: bool,
}

/// Chooses an id that must be there; true when another one was chosen.
pub(super) fn one(ui: &mut Ui, seen: &Seen, shelf: Shelf, name: &str, told: &str, id: &mut String) -> bool {
    let asked = Asked { name, told, chosen: Some(id), shelf, none: None, differ: false };
    match chooser_ui(ui, seen, &asked) {
        Some(Some(chosen)) if chosen != *id => {
            *id = chosen;
            true
        }
        _ => false,
    }
}

/// Chooses an id, or none; true when that changed.
pub(super) fn one_or_none(
    ui: &mut Ui,
    seen: &Seen,
    shelf: Shelf,
    (name, told, none): (&str, &str, &str),
    id: &mut Option<String>,
) -> bool {
    let asked = Asked { name, told, chosen: id.as_deref(), shelf, none: Some(none), differ: false };
    match chooser_ui(ui, seen, &asked) {
        Some(chosen) if chosen != *id => {
            *id = chosen;
            true
        }
        _ => false,
    }
}

/// The chooser. What was chosen in this frame: an id, or none.
pub(super) fn chooser_ui(ui: &mut Ui, seen: &Seen, asked: &Asked) -> Option<Option<String>> {
    let id = ui.make_persistent_id(("chooser", asked.name));
    let search: Option<String> = ui.data(|data| data.get_temp(id));
    let entry = asked.chosen.and_then(|chosen| asked.shelf.find(seen, chosen));
    let shown = match (&entry, asked.chosen) {
        (Some(entry), _) => crate::output::words::heading(entry.name),
        (None, Some(unknown)) => format!("“{unknown}” is not known"),
        (None, None) if asked.differ => "They differ".to_owned(),
        (None, None) => crate::output::words::heading(asked.none.unwrap_or("choose …")),
    };
    let pressed = row(ui, seen, asked.name, asked.told, |ui| {
        let ink = if entry.is_none() && asked.chosen.is_some() { seen.palette.alert } else { seen.palette.ink };
        let text = RichText::new(&shown).size(size::TEXT - 0.5).color(ink);
        let wide = ui.available_width();
        let button = Button::new(text).truncate().min_size(egui::vec2(wide, 26.0));
        let response = ui.add(button.right_text(if search.is_some() { "⏶" } else { "⏷" }));
        named(ui, &response, &format!("{}: {shown}", asked.name));
        let clicked = response.clicked();
        response.on_hover_text(if asked.told.is_empty() { &shown } else { asked.told });
        clicked
    });
    let Some(mut search) = search else {
        if pressed {
            ui.data_mut(|data| data.insert_temp(id, String::new()));
        }
        if let Some(entry) = &entry {
            // Of a material the name says enough.
            if !asked.shelf.is_material() {
                fact(ui, &seen.palette, &asked.shelf.facts(ui.ctx(), seen, entry));
            }
            caution(ui, seen, entry, 0);
        }
        return None;
    };
    let frame = egui::Frame::new()
        .fill(seen.palette.sheet)
        .stroke(egui::Stroke::new(1.0, seen.palette.rule))
        .corner_radius(6)
        .inner_margin(Margin::same(8));
    let (chosen, open) = frame.show(ui, |ui| list_ui(ui, seen, asked, id, &mut search)).inner;
    if pressed || chosen.is_some() || !open {
        ui.data_mut(|data| data.remove::<String>(id));
    } else {
        ui.data_mut(|data| data.insert_temp(id, search));
    }
    chosen
}

/// The field and what it finds; and whether it stays open.
fn list_ui(ui: &mut Ui, seen: &Seen, asked: &Asked, id: Id, search: &mut String) -> (Option<Option<String>>, bool) {
    let field_id = id.with("search");
    let wide = ui.available_width();
    let field =
        TextEdit::singleline(search).id(field_id).hint_text(asked.shelf.hint()).desired_width(wide).event_filter(KEYS);
    let field = ui.add(field.margin(egui::vec2(7.0, 4.0)));
    named(ui, &field, &format!("Search {}", asked.name.to_lowercase()));
    outline(ui, &seen.palette, &field);
    let first = ui.data_mut(|data| !std::mem::replace(data.get_temp_mut_or_default::<bool>(field_id), true));
    if first {
        field.request_focus();
    }
    let entries: Vec<Entry> = asked.shelf.entries(seen).into_iter().filter(|entry| entry.fits(search)).collect();
    let mut chosen = None;
    // Enter takes the first that is found.
    if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        chosen = entries.first().map(|entry| Some(entry.id.to_owned()));
    }
    let escaped = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    ScrollArea::vertical().id_salt("found").max_height(LIST).auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        if let Some(none) = asked.none
            && search.is_empty()
            && row_ui(ui, seen, &crate::output::words::heading(none), None, asked.chosen.is_none() && !asked.differ)
        {
            chosen = Some(None);
        }
        for entry in &entries {
            let facts = || asked.shelf.facts(ui.ctx(), seen, entry);
            // What is out of sight is not computed.
            let at = Rect::from_min_size(ui.next_widget_position(), egui::vec2(10.0, 46.0));
            let facts = if ui.is_rect_visible(at) { facts() } else { entry.facts.clone() };
            let name = crate::output::words::heading(entry.name);
            let name = if entry.own { format!("{name} (own)") } else { name };
            if row_ui(ui, seen, &name, Some(&facts), asked.chosen == Some(entry.id)) {
                chosen = Some(Some(entry.id.to_owned()));
            }
            caution(ui, seen, entry, 8);
        }
        if entries.is_empty() {
            fact(ui, &seen.palette, "Nothing is called that.");
        }
    });
    let open = chosen.is_none() && !escaped;
    if !open {
        ui.data_mut(|data| data.remove::<bool>(field_id));
    }
    (chosen, open)
}

fn row_ui(ui: &mut Ui, seen: &Seen, name: &str, facts: Option<&str>, is_chosen: bool) -> bool {
    let wide = ui.available_width();
    let mut job = LayoutJob::default();
    job.wrap.max_width = wide - 16.0;
    let format = |size: f32, color| egui::TextFormat { font_id: font(size), color, ..Default::default() };
    job.append(name, 0.0, format(size::TEXT - 0.5, seen.palette.ink));
    if let Some(facts) = facts.filter(|facts| !facts.is_empty()) {
        job.append(&format!("\n{facts}"), 0.0, format(size::SMALL, seen.palette.soft_ink));
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

fn caution(ui: &mut Ui, seen: &Seen, entry: &Entry, left: i8) {
    if !entry.caution.is_empty() {
        let margin = Margin { left, ..Margin::ZERO };
        egui::Frame::new().inner_margin(margin).show(ui, |ui| alert(ui, &seen.palette, entry.caution));
    }
}
