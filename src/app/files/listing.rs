//! A file list of the window's own, for desktops that offer no dialog.

use std::path::{Path, PathBuf};

use bevy_egui::egui::{self, Key, RichText, ScrollArea, TextEdit, Ui};

use crate::app::command::Command;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{label, question, yes_no};

/// What ends the name of a scene file.
pub const ENDING: &str = "ron";

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    pub name: String,
    pub folder: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    Open,
    Save,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Listing {
    pub purpose: Purpose,
    pub folder: PathBuf,
    /// What is in it; nothing while it is read.
    pub entries: Option<Result<Vec<Entry>, String>>,
    /// What is written in the field: a name in the folder, or a whole path.
    pub written: String,
}

/// The scenes and folders of a folder, folders first, each by name; hidden ones are left out.
///
/// # Errors
///
/// When it cannot be read; why, in words.
pub fn entries(folder: &Path) -> Result<Vec<Entry>, String> {
    let read = std::fs::read_dir(folder).map_err(|error| format!("{} cannot be read ({error}).", folder.display()))?;
    let mut found: Vec<Entry> = read
        .flatten()
        .filter_map(|entry| {
            let path = entry.path();
            let name = entry.file_name().to_string_lossy().into_owned();
            let folder = path.is_dir();
            let scene = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(ENDING));
            (!name.starts_with('.') && (folder || scene)).then_some(Entry { name, folder })
        })
        .collect();
    found.sort_by_key(|entry| (!entry.folder, entry.name.to_lowercase()));
    Ok(found)
}

impl Listing {
    /// A list of a folder, not yet read.
    pub fn of(purpose: Purpose, folder: PathBuf, written: String) -> Self {
        Self { purpose, folder, entries: None, written }
    }

    /// The file that is written in the field.
    pub fn path(&self) -> Option<PathBuf> {
        let written = self.written.trim();
        if written.is_empty() {
            return None;
        }
        let path = match written.strip_prefix("~/").zip(std::env::home_dir()) {
            Some((rest, home)) => home.join(rest),
            None => self.folder.join(written),
        };
        let bare = self.purpose == Purpose::Save && path.extension().is_none();
        Some(if bare { path.with_extension(ENDING) } else { path })
    }
}

pub fn listing_ui(ui: &mut Ui, listing: &mut Listing, palette: &Palette) -> Option<Command> {
    let (title, verb) = match listing.purpose {
        Purpose::Open => ("Open a scene", "Open"),
        Purpose::Save => ("Save the scene", "Save"),
    };
    let mut asked = None;
    question(ui, palette, 560.0, title);
    ui.horizontal(|ui| {
        let above = listing.folder.parent().map(Path::to_owned);
        if ui.add_enabled(above.is_some(), egui::Button::new("Folder above")).clicked() {
            asked = above.map(Command::ListFolder);
        }
        label(ui, listing.folder.display().to_string(), size::SMALL, palette.soft_ink);
    });
    egui::Frame::new().fill(palette.sheet).corner_radius(6).inner_margin(8).show(ui, |ui| {
        ui.set_width(ui.available_width());
        let list = ScrollArea::vertical().max_height(300.0).min_scrolled_height(300.0).auto_shrink([false, false]);
        list.show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            match &listing.entries {
                None => drop(label(ui, "Reading …", size::TEXT, palette.soft_ink)),
                Some(Err(why)) => drop(label(ui, why, size::TEXT, palette.alert)),
                Some(Ok(entries)) if entries.is_empty() => {
                    label(
                        ui,
                        "No scene and no folder is here. Press “Folder above” to look elsewhere.",
                        size::TEXT,
                        palette.soft_ink,
                    );
                }
                Some(Ok(entries)) => {
                    for entry in entries {
                        asked = asked.take().or(entry_ui(ui, entry, &listing.folder, &mut listing.written, palette));
                    }
                }
            }
        });
    });
    // Twice on a file is the button below.
    if let Some(Command::OpenFile(path)) = &asked
        && listing.purpose == Purpose::Save
    {
        asked = Some(Command::SaveTo(path.clone()));
    }
    ui.add_space(4.0);
    let field = TextEdit::singleline(&mut listing.written)
        .hint_text("name of the file, or its whole path")
        .desired_width(f32::INFINITY);
    let field = ui.add(field);
    let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.add_space(6.0);
    let path = listing.path();
    let then = path.clone().map(match listing.purpose {
        Purpose::Open => Command::OpenFile,
        Purpose::Save => Command::SaveTo,
    });
    let answer = yes_no(ui, (verb, path.is_some()), "Cancel", then.clone().unwrap_or(Command::CloseQuestion));
    answer.or(then.filter(|_| entered)).or(asked)
}

fn entry_ui(ui: &mut Ui, entry: &Entry, folder: &Path, written: &mut String, palette: &Palette) -> Option<Command> {
    let lit = *written == entry.name;
    let (shown, ink) =
        if entry.folder { (format!("{} /", entry.name), palette.soft_ink) } else { (entry.name.clone(), palette.ink) };
    let line = egui::Button::selectable(lit, RichText::new(shown).size(size::TEXT).color(ink))
        .min_size(egui::vec2(ui.available_width(), 24.0));
    let line = ui.add(line);
    if line.clicked() && entry.folder {
        return Some(Command::ListFolder(folder.join(&entry.name)));
    }
    if line.clicked() {
        written.clone_from(&entry.name);
    }
    (line.double_clicked() && !entry.folder).then(|| Command::OpenFile(folder.join(&entry.name)))
}
