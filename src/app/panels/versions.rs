//! The bar that says what is shown and changed: what is drawn, or one of its variants. And the box on the variant that is shown.

use bevy_egui::egui::containers::menu::MenuButton;
use bevy_egui::egui::{Align, Button, Id, Label, Layout, RichText, ScrollArea, TextEdit, Ui};

use crate::app::command::Command;
use crate::app::deciding::{Deciding, Foot};
use crate::app::document::{Document, Version};
use crate::app::editor::state::Mode;
use crate::app::theme::{Palette, size};
use crate::app::view::Baseline;
use crate::app::widgets::{at_right, label, on_click, section, small_button, words};
use crate::edit::{Edit, Item};
use crate::output::words::heading;
use crate::scene::{Scene, Variant};

/// In a narrower bar the words before and behind the names are left out, logical pixels.
const WORDS_FROM: f32 = 760.0;

/// What the bar shows.
#[derive(Debug, Clone, Copy)]
pub struct Bar<'a> {
    pub document: &'a Document,
    pub baseline: &'a Baseline,
    pub deciding: &'a Deciding,
    pub mode: Mode,
}

/// The bar: a click on a name shows it, and from then on that is what is changed.
pub fn versions_ui(ui: &mut Ui, bar: &Bar, drawn: &Scene, palette: &Palette) -> Vec<Command> {
    let mut asked = vec![];
    let shown = bar.document.shown();
    let of_variant = *shown != Version::Drawn;
    let wide = ui.available_width() >= WORDS_FROM;
    ui.spacing_mut().item_spacing.x = 6.0;
    ui.horizontal_centered(|ui| {
        if wide {
            let lead = if bar.mode == Mode::Draw { "You change" } else { "You see" };
            label(ui, lead, size::SMALL, if of_variant { palette.ink } else { palette.soft_ink });
        }
        at_right(ui, |ui| {
            asked.extend(small_button(ui, Command::Foot(Foot::Advice), bar.deciding.foot == Foot::Advice));
            asked.extend(small_button(ui, Command::Foot(Foot::Variants), bar.deciding.foot == Foot::Variants));
            if bar.mode == Mode::Listen && !drawn.variants.is_empty() {
                asked.extend(compare_ui(ui, bar, drawn, wide));
            }
            if of_variant {
                asked.extend(small_button(ui, Command::AboutVariant, bar.deciding.about));
            }
            asked.extend(small_button(ui, Command::NewVariant, false));
            let misfits = bar.document.misfits();
            if !misfits.is_empty() {
                let text = match misfits.len() {
                    1 => "1 step does not fit".to_owned(),
                    count => format!("{count} steps do not fit"),
                };
                let button = Button::new(words(text, size::SMALL, palette.alert)).frame_when_inactive(false);
                let clicked = ui.add(button).on_hover_text(misfits.join("\n")).clicked();
                asked.extend((clicked && !bar.deciding.about).then_some(Command::AboutVariant));
            }
            // The names have what is left, from the left.
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ScrollArea::horizontal().id_salt("versions").auto_shrink([false, true]).show(ui, |ui| {
                    asked.extend(names_ui(ui, drawn, shown, palette));
                    if wide && of_variant && bar.mode == Mode::Draw {
                        let hint = words("The drawing stays as it is.", size::SMALL, palette.soft_ink);
                        ui.add(Label::new(hint).truncate());
                    }
                });
            });
        });
    });
    asked
}

fn names_ui(ui: &mut Ui, drawn: &Scene, shown: &Version, palette: &Palette) -> Option<Command> {
    let mut asked = None;
    // What comes to be shown comes into sight.
    let id = Id::new("version in sight");
    let last = ui.data_mut(|data| std::mem::replace(data.get_temp_mut_or_default::<Version>(id), shown.clone()));
    for version in Version::all(drawn) {
        let (lit, letters) = (version == *shown, size::SMALL + 1.0);
        let variant = version.at(&drawn.variants).map(|at| &drawn.variants[at]);
        let ink = if lit && variant.is_some() { palette.sheet } else { palette.ink };
        let mut text = words(version.name(), letters, ink);
        if lit {
            text = text.strong();
        }
        let mut button = Button::selectable(lit, text.color(ink));
        if lit && variant.is_some() {
            button = button.fill(palette.variant);
        }
        let tip = match variant {
            None => "What is drawn: all variants change with it".to_owned(),
            Some(variant) if variant.about.is_empty() => "A variant: the drawing stays as it is".to_owned(),
            Some(variant) => variant.about.clone(),
        };
        let response = ui.add(button).on_hover_text(tip);
        if lit && last != *shown {
            response.scroll_to_me(None);
        }
        on_click(&mut asked, &response, Command::ShowVersion(version));
    }
    asked
}

/// What is shown can be compared with any other version.
fn compare_ui(ui: &mut Ui, bar: &Bar, drawn: &Scene, wide: bool) -> Option<Command> {
    let mut asked = None;
    let kept = bar.baseline.version.as_ref();
    let text = match kept {
        Some(kept) if wide => format!("Compared with {}", kept.name()),
        Some(_) => "Compared".to_owned(),
        None if wide => "Compare with".to_owned(),
        None => "Compare".to_owned(),
    };
    let button = Button::new(RichText::new(format!("{text} ⏷")).size(size::SMALL)).selected(kept.is_some());
    let menu = MenuButton::from_button(button);
    let (response, _) = menu.ui(ui, |ui| {
        ui.set_width(240.0);
        for version in Version::all(drawn).into_iter().filter(|version| version != bar.document.shown()) {
            let lit = kept == Some(&version);
            if ui.selectable_label(lit, version.name()).clicked() {
                asked = Some(Command::CompareWith(version));
                ui.close();
            }
        }
    });
    response.on_hover_text("Each face by how its level differs, side by side, or under a wipe");
    asked
}

/// The box on the variant shown: its name, a sentence on it, and its steps. `name_it` is true when the name is to have the keyboard.
pub fn about_ui(
    ui: &mut Ui,
    drawn: &Scene,
    at: usize,
    misfits: &[String],
    name_it: bool,
    palette: &Palette,
) -> Vec<Command> {
    let mut asked = vec![];
    let Some(variant) = drawn.variants.get(at) else { return asked };
    let changed = |change: &dyn Fn(&mut Variant)| {
        let mut variants = drawn.variants.clone();
        change(&mut variants[at]);
        Command::Edit(vec![Edit::Put(Item::Variants(variants))])
    };
    ui.set_width(400.0);
    section(ui, palette, "Name");
    // What is typed is kept by egui until the field is left.
    let id = ui.id().with("variant");
    if let Some(name) = field(ui, (id.with("name"), 1, name_it), &variant.name) {
        asked.push(Command::NameVariant(name));
    }
    section(ui, palette, "What it is, in a sentence");
    if let Some(about) = field(ui, (id.with("about"), 2, false), &variant.about) {
        asked.push(changed(&|variant| about.trim().clone_into(&mut variant.about)));
    }
    section(ui, palette, "What it changes in the drawing, in this order");
    if variant.edits.is_empty() {
        let text = "Nothing yet: whatever is drawn and changed now becomes a step of it.";
        label(ui, text, size::TEXT, palette.soft_ink);
    }
    ScrollArea::vertical().id_salt("steps").max_height(200.0).show(ui, |ui| {
        for (step, edit) in variant.edits.iter().enumerate() {
            ui.horizontal(|ui| {
                at_right(ui, |ui| {
                    let button = ui.add(Button::new(RichText::new("Take out").size(size::SMALL)));
                    if button.clicked() {
                        asked.push(changed(&|variant| drop(variant.edits.remove(step))));
                    }
                    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                        let text = format!("{}. {}", step + 1, heading(&edit.name()));
                        ui.add(Label::new(words(text, size::TEXT, palette.ink)).truncate());
                    });
                });
            });
        }
    });
    for misfit in misfits {
        label(ui, misfit, size::SMALL + 0.5, palette.alert);
    }
    if !misfits.is_empty() {
        asked.extend(small_button(ui, Command::DropMisfits, false));
    }
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        if ui
            .add(Button::new(RichText::new("Copy").size(size::SMALL)))
            .on_hover_text("A new variant like this")
            .clicked()
        {
            asked.push(Command::NewVariant);
        }
        asked.extend(small_button(ui, Command::BuildList, false));
        asked.extend(small_button(ui, Command::DeleteVariant, false));
        at_right(ui, |ui| {
            let close = Button::new(RichText::new("Close").size(size::SMALL));
            asked.extend(ui.add(close).clicked().then_some(Command::AboutVariant));
        });
    });
    asked
}

/// A field of some rows; what was typed once it is left, where that is something else.
fn field(ui: &mut Ui, (id, rows, take): (Id, usize, bool), text: &str) -> Option<String> {
    if take {
        // A new name is typed into an empty field; where nothing is typed the old one stays.
        ui.data_mut(|data| data.insert_temp(id, String::new()));
    }
    let mut typed = ui.data(|data| data.get_temp::<String>(id)).unwrap_or_else(|| text.to_owned());
    let edit = if rows == 1 { TextEdit::singleline(&mut typed) } else { TextEdit::multiline(&mut typed) };
    let hint = if rows == 1 { text } else { "" };
    let response = ui.add(edit.id(id.with("field")).hint_text(hint).desired_rows(rows).desired_width(f32::INFINITY));
    if take {
        response.request_focus();
    }
    if response.has_focus() {
        ui.data_mut(|data| data.insert_temp(id, typed.clone()));
    }
    if !response.lost_focus() {
        return None;
    }
    ui.data_mut(|data| data.remove_temp::<String>(id));
    (typed != text).then_some(typed)
}
