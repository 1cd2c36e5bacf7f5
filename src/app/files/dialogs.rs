//! What the window asks about files, one function a question: each draws what it is given and returns what is wanted.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use bevy_egui::egui::{self, Align, Button, Key, Layout, Modifiers, RichText, Ui};

use super::recovery::Recovered;
use crate::app::theme::{Palette, size};
use crate::scene::Problem;
use crate::template::Answers;

/// What is wanted.
#[derive(Debug, Clone, PartialEq)]
pub enum FileAsk {
    /// Nothing: close the question.
    Cancel,
    /// A scene of these answers.
    Create(Answers),
    /// A new scene of one empty storey.
    CreateEmpty,
    /// Open a file.
    Open(PathBuf),
    /// Look for a file to open.
    Browse,
    /// Show a folder.
    List(PathBuf),
    /// Save in a file, unless it is there already.
    SaveTo(PathBuf),
    /// Save in a file that is there already.
    SaveOver(PathBuf),
    /// Save, then go on with what was begun.
    Save,
    /// Give up what is unsaved, and go on with what was begun.
    GiveUp,
    /// Take over what the file says now.
    TakeOver,
    /// Keep what is shown here.
    Keep,
    /// Take up work left behind.
    TakeUp(usize),
    /// Save under another name.
    SaveAs,
    /// Give up one piece of work left behind.
    GiveUpOne(usize),
    /// Give up all work left behind.
    GiveUpLeft,
}

/// The heading of a question.
pub(super) fn title_ui(ui: &mut Ui, palette: &Palette, title: &str) {
    ui.label(RichText::new(title).size(size::SENTENCE + 1.0).color(palette.ink));
    ui.add_space(6.0);
}

fn text_ui(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.label(RichText::new(text).size(size::TEXT).color(palette.soft_ink));
}

/// The main answer and the way back, on the right below. Escape is the way back.
pub(super) fn yes_no_ui(ui: &mut Ui, yes: &str, can: bool, no: &str) -> (bool, bool) {
    let escaped = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        let yes = ui.add_enabled(can, main_button(ui, yes)).clicked();
        let no = ui.add(Button::new(RichText::new(no).size(size::TEXT))).clicked();
        (yes, no || escaped)
    })
    .inner
}

fn main_button(ui: &Ui, word: &str) -> Button<'static> {
    Button::new(RichText::new(word).size(size::TEXT).strong())
        .fill(ui.visuals().selection.bg_fill)
        .min_size(egui::vec2(88.0, 28.0))
}

pub(super) fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}

/// Asked before unsaved changes would be lost.
pub fn unsaved_ui(ui: &mut Ui, scene: &str, palette: &Palette) -> Option<FileAsk> {
    ui.set_width(420.0);
    title_ui(ui, palette, "Save the changes first?");
    text_ui(ui, palette, &format!("“{scene}” has changes that are in no file yet."));
    ui.add_space(10.0);
    let mut asked = None;
    ui.horizontal(|ui| {
        if ui.button(RichText::new("Don't save").size(size::TEXT)).clicked() {
            asked = Some(FileAsk::GiveUp);
        }
        let (yes, no) = yes_no_ui(ui, "Save", true, "Cancel");
        let entered = ui.input(|input| input.key_pressed(Key::Enter));
        if yes || entered {
            asked = Some(FileAsk::Save);
        } else if no {
            asked = Some(FileAsk::Cancel);
        }
    });
    asked
}

/// Asked before another file is written over.
pub fn over_ui(ui: &mut Ui, path: &Path, palette: &Palette) -> Option<FileAsk> {
    ui.set_width(420.0);
    title_ui(ui, palette, "Write over this file?");
    text_ui(ui, palette, &format!("{} is there already. What it holds now is kept beside it as .bak.", path.display()));
    ui.add_space(10.0);
    match yes_no_ui(ui, "Write over", true, "Cancel") {
        (true, _) => Some(FileAsk::SaveOver(path.to_owned())),
        (_, true) => Some(FileAsk::Cancel),
        _ => None,
    }
}

/// Asked when a file holds something else than what was last read or written here.
pub fn clash_ui(ui: &mut Ui, path: &Path, palette: &Palette) -> Option<FileAsk> {
    ui.set_width(460.0);
    title_ui(ui, palette, "The file was changed elsewhere");
    let said = format!(
        "{} no longer holds what was read from it here, and nothing was written yet. Written over, what it holds now is kept beside it as .bak.",
        path.display()
    );
    text_ui(ui, palette, &said);
    ui.add_space(10.0);
    let mut asked = None;
    ui.horizontal(|ui| {
        if ui.button(RichText::new("Write over").size(size::TEXT)).clicked() {
            asked = Some(FileAsk::SaveOver(path.to_owned()));
        }
        match yes_no_ui(ui, "Save under another name", true, "Cancel") {
            (true, _) => asked = Some(FileAsk::SaveAs),
            (_, true) => asked = Some(FileAsk::Cancel),
            _ => {}
        }
    });
    asked
}

/// Said as long as unsaved work is not kept, with the folder that is offered instead; true when that is taken.
pub fn not_kept_ui(ui: &mut Ui, folder: &Path, why: &str, other: Option<&Path>, palette: &Palette) -> bool {
    ui.label(
        RichText::new(format!("Unsaved work is not kept: {} cannot be written ({why}).", folder.display()))
            .size(size::TEXT)
            .color(palette.alert),
    );
    let Some(other) = other else {
        text_ui(ui, palette, "Save often.");
        return false;
    };
    ui.add_space(4.0);
    ui.add(main_button(ui, &format!("Keep it in {}", other.display()))).clicked()
}

/// Told when the file was changed by someone else. `unsaved`: whether there are changes here too.
pub fn changed_ui(ui: &mut Ui, path: &Path, unsaved: bool, palette: &Palette) -> Option<FileAsk> {
    ui.set_width(460.0);
    title_ui(ui, palette, "The file was changed elsewhere");
    let here = if unsaved {
        " There are unsaved changes here as well; taking the file's over can be undone."
    } else {
        " Taking it over can be undone."
    };
    text_ui(ui, palette, &format!("{} is no longer what was opened here.{here}", name_of(path)));
    ui.add_space(10.0);
    match yes_no_ui(ui, "Take it over", true, "Keep what is here") {
        (true, _) => Some(FileAsk::TakeOver),
        (_, true) => Some(FileAsk::Keep),
        _ => None,
    }
}

/// Told when a file cannot be read or written; the scene shown stays.
pub fn problem_ui(
    ui: &mut Ui,
    title: &str,
    path: Option<&Path>,
    problem: &Problem,
    palette: &Palette,
) -> Option<FileAsk> {
    ui.set_width(480.0);
    title_ui(ui, palette, title);
    if let Some(path) = path {
        ui.label(RichText::new(path.display().to_string()).size(size::SMALL).color(palette.soft_ink));
        ui.add_space(4.0);
    }
    ui.label(RichText::new(capital(&problem.to_string())).size(size::TEXT).color(palette.alert));
    ui.add_space(4.0);
    text_ui(ui, palette, "The scene that was open stays as it is.");
    ui.add_space(10.0);
    let entered = ui.input(|input| input.key_pressed(Key::Enter) || input.key_pressed(Key::Escape));
    let closed = ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.add(main_button(ui, "Close")).clicked());
    (closed.inner || entered).then_some(FileAsk::Cancel)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Offered at the start when a session ended without saving.
pub fn recovered_ui(ui: &mut Ui, left: &[Recovered], palette: &Palette) -> Option<FileAsk> {
    ui.set_width(520.0);
    title_ui(ui, palette, "Take up unsaved work?");
    text_ui(ui, palette, "The program ended before this was saved:");
    ui.add_space(6.0);
    let mut asked = None;
    egui::ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
        for (at, one) in left.iter().enumerate() {
            if let Some(wanted) = left_ui(ui, one, left.len() > 1, palette) {
                asked = Some(if wanted { FileAsk::TakeUp(at) } else { FileAsk::GiveUpOne(at) });
            }
            ui.add_space(4.0);
        }
    });
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        let all = if left.len() > 1 { "Give all up" } else { "Give it up" };
        if ui.button(RichText::new(all).size(size::TEXT)).clicked() {
            asked = Some(FileAsk::GiveUpLeft);
        }
        let escaped = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
        let later = ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.button(RichText::new("Ask again next time").size(size::TEXT)).clicked()
        });
        if later.inner || escaped {
            asked = Some(FileAsk::Cancel);
        }
    });
    asked
}

/// One piece of work: true when it is taken up, false when it is given up.
fn left_ui(ui: &mut Ui, one: &Recovered, among_others: bool, palette: &Palette) -> Option<bool> {
    let mut wanted = None;
    ui.horizontal(|ui| {
        if ui.add_enabled(one.scene.is_ok(), main_button(ui, "Take up")).clicked() {
            wanted = Some(true);
        }
        if among_others && ui.button(RichText::new("Give up").size(size::TEXT)).clicked() {
            wanted = Some(false);
        }
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let name = one.scene.as_ref().map_or("a scene that cannot be read", |scene| scene.name.as_str());
            ui.label(RichText::new(name).size(size::TEXT).color(palette.ink));
            let of = one.of.as_deref().map_or_else(|| "in no file yet".to_owned(), |of| of.display().to_string());
            let kilobytes = one.bytes.div_ceil(1000);
            let about = format!("{of}\n{}, {kilobytes} kB", ago(one.written));
            ui.label(RichText::new(about).size(size::SMALL).color(palette.soft_ink));
        });
    });
    wanted
}

/// How long ago, in words.
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
pub fn recent_ui(ui: &mut Ui, recent: &[PathBuf], palette: &Palette) -> Option<FileAsk> {
    ui.set_width(480.0);
    title_ui(ui, palette, "Recent scenes");
    let mut asked = None;
    if recent.is_empty() {
        text_ui(ui, palette, "None has been opened or saved yet.");
    }
    ui.spacing_mut().item_spacing.y = 2.0;
    for path in recent {
        let folder = path.parent().map(|folder| folder.display().to_string()).unwrap_or_default();
        let line = Button::new(RichText::new(name_of(path)).size(size::TEXT))
            .shortcut_text(RichText::new(shortened(&folder)).size(size::SMALL))
            .frame_when_inactive(false)
            .min_size(egui::vec2(ui.available_width(), 26.0));
        if ui.add(line).on_hover_text(path.display().to_string()).clicked() {
            asked = Some(FileAsk::Open(path.clone()));
        }
    }
    ui.add_space(10.0);
    match yes_no_ui(ui, "Look elsewhere", true, "Cancel") {
        (true, _) => Some(FileAsk::Browse),
        (_, true) => Some(FileAsk::Cancel),
        _ => asked,
    }
}

/// The end of a long path, which tells more than its beginning.
fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    let count = text.chars().count();
    if count <= MOST { text.to_owned() } else { format!("…{}", text.chars().skip(count - MOST).collect::<String>()) }
}
