//! What the window asks about files, one function a question: each draws what it is given and returns what is asked.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use bevy_egui::egui::{Button, Key, Modifiers, RichText, ScrollArea, Ui, vec2};

use crate::app::command::Command;
use crate::app::document::Document;
use crate::app::files::listing::listing_ui;
use crate::app::files::new_scene::new_scene_ui;
use crate::app::files::places::other_folders;
use crate::app::files::recovery::Recovered;
use crate::app::files::state::Dialog;
use crate::app::theme::{Palette, size};
use crate::app::view::View;
use crate::app::widgets::{at_right, label, main_button, name_of, on_click, question, yes_no};
use crate::scene::Problem;

pub fn dialog_ui(
    ui: &mut Ui,
    dialog: &mut Dialog,
    document: &Document,
    recent: &[PathBuf],
    view: &View,
) -> Option<Command> {
    let palette = &Palette::of(view.theme);
    match dialog {
        Dialog::New(new) => new_scene_ui(ui, new, view.theme, view.units),
        Dialog::Files(listing) => listing_ui(ui, listing, palette),
        Dialog::Recent => recent_ui(ui, recent, palette),
        Dialog::Unsaved => unsaved_ui(ui, document.scene.as_ref().map_or("", |scene| scene.name.as_str()), palette),
        Dialog::Overwrite(path) => overwrite_ui(ui, path, palette),
        Dialog::Conflict(path) => conflict_ui(ui, path, palette),
        Dialog::Changed(path, _) => changed_ui(ui, path, document.is_unsaved(), palette),
        Dialog::Problem(title, path, problem) => problem_ui(ui, title, path.as_deref(), problem, palette),
        Dialog::Recovered(left) => recovered_ui(ui, left, palette),
        Dialog::Native => {
            ui.label("The desktop asks for a file …");
            None
        }
    }
}

fn text_ui(ui: &mut Ui, palette: &Palette, text: &str) {
    label(ui, text, size::TEXT, palette.soft_ink);
}

/// A question: what is said, and its answers. `other`: what else can be done than the main answer and the way back.
fn ask_ui(
    ui: &mut Ui,
    palette: &Palette,
    (title, text): (&str, &str),
    other: Option<(&str, Command)>,
    (yes, then): (&str, Command),
    no: &str,
) -> Option<Command> {
    question(ui, palette, 460.0, title);
    text_ui(ui, palette, text);
    ui.add_space(10.0);
    let answers = |ui: &mut Ui| {
        let other = other.and_then(|(word, command)| ui.button(word).clicked().then_some(command));
        yes_no(ui, (yes, true), no, then).or(other)
    };
    ui.horizontal(answers).inner
}

/// Asked before unsaved changes would be lost.
pub fn unsaved_ui(ui: &mut Ui, scene: &str, palette: &Palette) -> Option<Command> {
    let text = format!("“{scene}” has changes that are in no file yet.");
    let (discard, save) = (Some(("Discard", Command::Discard)), ("Save", Command::Save));
    let answer = ask_ui(ui, palette, ("Save the changes first?", &text), discard, save, "Cancel");
    ui.input(|input| input.key_pressed(Key::Enter)).then_some(Command::Save).or(answer)
}

/// Asked before another file is written over.
pub fn overwrite_ui(ui: &mut Ui, path: &Path, palette: &Palette) -> Option<Command> {
    let text = format!("{} is there already. What it holds now is kept beside it as .bak.", path.display());
    let over = ("Write over", Command::SaveOver(path.to_owned()));
    ask_ui(ui, palette, ("Write over this file?", &text), None, over, "Cancel")
}

/// Asked when a file holds something else than what was last read or written here.
pub fn conflict_ui(ui: &mut Ui, path: &Path, palette: &Palette) -> Option<Command> {
    let text = format!(
        "{} no longer holds what was read from it here, and nothing was written yet. Written over, what it holds now is kept beside it as .bak.",
        path.display()
    );
    let (over, save) =
        (("Write over", Command::SaveOver(path.to_owned())), ("Save under another name", Command::SaveAs));
    ask_ui(ui, palette, ("The file was changed elsewhere", &text), Some(over), save, "Cancel")
}

/// Said as long as unsaved work is not kept, with the folder that is offered instead.
pub fn autosave_failed_ui(ui: &mut Ui, folder: &Path, why: &str, palette: &Palette) -> Option<Command> {
    let what = format!("Unsaved work is not kept: {} cannot be written ({why}).", folder.display());
    label(ui, what, size::TEXT, palette.alert);
    let Some(other) = other_folders().into_iter().find(|other| other != folder) else {
        text_ui(ui, palette, "Save often.");
        return None;
    };
    ui.add_space(4.0);
    let taken = ui.add(main_button(ui, &format!("Keep it in {}", other.display()))).clicked();
    taken.then_some(Command::AutosaveIn(other))
}

/// Told when the file was changed by someone else. `unsaved`: whether there are changes here too.
pub fn changed_ui(ui: &mut Ui, path: &Path, unsaved: bool, palette: &Palette) -> Option<Command> {
    let here = if unsaved {
        " There are unsaved changes here as well; taking the file's over can be undone."
    } else {
        " Taking it over can be undone."
    };
    let text = format!("{} is no longer what was opened here.{here}", name_of(path));
    let take = ("Take it over", Command::TakeOverFile);
    match ask_ui(ui, palette, ("The file was changed elsewhere", &text), None, take, "Keep what is here") {
        Some(Command::CloseQuestion) => Some(Command::KeepMine),
        answer => answer,
    }
}

/// Told when a file cannot be read or written; the scene shown stays.
pub fn problem_ui(
    ui: &mut Ui,
    title: &str,
    path: Option<&Path>,
    problem: &Problem,
    palette: &Palette,
) -> Option<Command> {
    question(ui, palette, 480.0, title);
    if let Some(path) = path {
        label(ui, path.display().to_string(), size::SMALL, palette.soft_ink);
        ui.add_space(4.0);
    }
    label(ui, capital(&problem.to_string()), size::TEXT, palette.alert);
    ui.add_space(4.0);
    text_ui(ui, palette, "The scene that was open stays as it is.");
    ui.add_space(10.0);
    let entered = ui.input(|input| input.key_pressed(Key::Enter) || input.key_pressed(Key::Escape));
    let closed = at_right(ui, |ui| ui.add(main_button(ui, "Close")).clicked());
    (closed || entered).then_some(Command::CloseQuestion)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Offered at the start when a session ended without saving.
pub fn recovered_ui(ui: &mut Ui, left: &[Recovered], palette: &Palette) -> Option<Command> {
    question(ui, palette, 520.0, "Restore unsaved work?");
    text_ui(ui, palette, "The program ended before this was saved:");
    ui.add_space(6.0);
    let mut asked = None;
    ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
        for (at, one) in left.iter().enumerate() {
            ui.horizontal(|ui| {
                let restore = ui.add_enabled(one.scene.is_ok(), main_button(ui, "Restore"));
                on_click(&mut asked, &restore, Command::Recover(at));
                // Each by itself, among others.
                if left.len() > 1 {
                    on_click(&mut asked, &ui.button("Discard"), Command::DiscardRecovered(at));
                }
                ui.vertical(|ui| about_ui(ui, one, palette));
            });
            ui.add_space(4.0);
        }
    });
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        let all = if left.len() > 1 { "Discard all" } else { "Discard" };
        on_click(&mut asked, &ui.button(all), Command::DiscardAllRecovered);
        let escaped = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
        if at_right(ui, |ui| ui.button("Later").clicked()) || escaped {
            asked = Some(Command::CloseQuestion);
        }
    });
    asked
}

fn about_ui(ui: &mut Ui, left: &Recovered, palette: &Palette) {
    ui.spacing_mut().item_spacing.y = 0.0;
    let name = left.scene.as_ref().map_or("a scene that cannot be read", |scene| scene.name.as_str());
    label(ui, name, size::TEXT, palette.ink);
    let of = left.of.as_deref().map_or_else(|| "in no file yet".to_owned(), |of| of.display().to_string());
    let about = format!("{of}\n{}, {} kB", ago(left.written), left.bytes.div_ceil(1000));
    label(ui, about, size::SMALL, palette.soft_ink);
}

fn ago(then: SystemTime) -> String {
    let minutes = then.elapsed().unwrap_or_default().as_secs() / 60;
    let (count, unit) = match minutes {
        0 => return "just now".to_owned(),
        1..60 => (minutes, "minute"),
        60..1440 => (minutes / 60, "hour"),
        _ => (minutes / 1440, "day"),
    };
    format!("{count} {unit}{} ago", if count == 1 { "" } else { "s" })
}

/// The files opened last, and the way to any other.
pub fn recent_ui(ui: &mut Ui, recent: &[PathBuf], palette: &Palette) -> Option<Command> {
    question(ui, palette, 480.0, "Recent scenes");
    let mut asked = None;
    if recent.is_empty() {
        text_ui(ui, palette, "None has been opened or saved yet. Press “Look elsewhere” to find one.");
    }
    ui.spacing_mut().item_spacing.y = 2.0;
    for path in recent {
        let folder = path.parent().map(|folder| folder.display().to_string()).unwrap_or_default();
        let line = Button::new(name_of(path))
            .shortcut_text(RichText::new(shortened(&folder)).size(size::SMALL))
            .frame_when_inactive(false)
            .min_size(vec2(ui.available_width(), 26.0));
        if ui.add(line).on_hover_text(path.display().to_string()).clicked() {
            asked = Some(Command::OpenFile(path.clone()));
        }
    }
    ui.add_space(10.0);
    yes_no(ui, ("Look elsewhere", true), "Cancel", Command::Browse).or(asked)
}

/// The end of a long path, which tells more than its beginning.
fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    let count = text.chars().count();
    if count <= MOST { text.to_owned() } else { format!("…{}", text.chars().skip(count - MOST).collect::<String>()) }
}
