//! Pictures of what is looked at, written to files: the plan, the section, the bands; still or moving.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bevy::prelude::*;
use bevy_egui::egui::{Button, DragValue, RichText, TextEdit, Ui};

use crate::app::background::Inbox;
use crate::app::command::Command;
use crate::app::stage::Stage;
use crate::app::theme::{Palette, size};
use crate::app::view::View;
use crate::app::widgets::{label, on_click};
use crate::output::drawing::Drawing;
use crate::output::picture::{self, USUAL_WIDTH_PX};
use crate::output::streaming::{Moving, PER_SECOND, SECONDS, Sight};
use crate::output::{Cut, chart, plan, section};
use crate::project::Solved;
use crate::solve::BandChoice;

/// What a picture shows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Shows {
    #[default]
    Plan,
    Section,
    Bands,
}

/// A picture to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    pub shows: Shows,
    /// With lines and motes.
    pub particles: bool,
    /// Seconds it moves for, round and round; still when 0.
    pub seconds: f64,
    pub width_px: u32,
    /// File, ending in .png or .svg.
    pub file: String,
    /// True when a file that is there already may be written over.
    pub over: bool,
}

impl Default for Wanted {
    fn default() -> Self {
        Self {
            shows: Shows::Plan,
            particles: true,
            seconds: 0.0,
            width_px: USUAL_WIDTH_PX,
            file: String::new(),
            over: false,
        }
    }
}

/// The box for pictures.
#[derive(Debug, Default, Resource)]
pub struct Export {
    pub open: bool,
    pub wanted: Wanted,
    outcome: Option<String>,
    making: bool,
    inbox: Inbox<String>,
}

/// Makes a picture: a sentence on what came of it.
///
/// # Errors
///
/// When the file has another ending, cannot be written, or there is nothing to show; a sentence.
pub fn make(solved: &Solved, view: &View, wanted: &Wanted) -> Result<PathBuf, String> {
    let path = PathBuf::from(wanted.file.trim());
    let png = match path.extension().and_then(|ending| ending.to_str()).map(str::to_lowercase).as_deref() {
        Some("png") => true,
        Some("svg") => false,
        _ => return Err("The file must end in .png or .svg.".to_owned()),
    };
    if path.exists() && !wanted.over {
        return Err(format!("{} is there already: give another name, or allow it to be written over.", path.display()));
    }
    if wanted.seconds > 0.0 && !png {
        return Err("What moves needs a file that ends in .png.".to_owned());
    }
    let (mut drawing, sight) = drawn(solved, view, wanted.shows)?;
    let failed = |error: picture::PictureError| format!("The picture cannot be made: {error}.");
    let listener = view.listener_at(solved).ok_or("Nobody is listening.")?;
    let moving = sight
        .filter(|_| wanted.particles || wanted.seconds > 0.0)
        .map(|sight| Moving::on(&drawing, solved, listener, view.bands, sight, view.theme));
    let bytes = match moving {
        Some(moving) if wanted.seconds > 0.0 => {
            moving.lay_lines(&mut drawing);
            let frames = moving.frames(wanted.seconds);
            picture::animation(&drawing, &frames, PER_SECOND, wanted.width_px, &|| ()).map_err(failed)?
        }
        moving => {
            if let Some(moving) = moving {
                moving.lay_lines(&mut drawing);
                moving.lay_particles(&mut drawing);
            }
            if png {
                picture::png(&drawing, wanted.width_px).map_err(failed)?
            } else {
                picture::svg(&drawing, wanted.width_px).map(String::into_bytes).map_err(failed)?
            }
        }
    };
    crate::scene::whole::replace(&path, &bytes, None)
        .map_err(|error| format!("{} cannot be written ({error}).", path.display()))?;
    Ok(path)
}

/// The drawing, and how points in space lie on it; bands are no place.
fn drawn(solved: &Solved, view: &View, shows: Shows) -> Result<(Drawing, Option<Sight>), String> {
    let plan_view = view.plan(solved, None).ok_or("Nobody is listening.")?;
    Ok(match shows {
        Shows::Plan => {
            let sight = solved.scene.storeys.get(plan_view.storey).map(Sight::of_storey);
            (plan(solved, &plan_view), sight)
        }
        Shows::Section => {
            let cut = view.cut.unwrap_or_else(|| Cut::through(solved, plan_view.listener));
            (section(solved, cut, &plan_view), Some(Sight::Section(cut)))
        }
        Shows::Bands => {
            let heard = solved.answer.listeners.get(plan_view.listener).ok_or("Nobody is listening.")?;
            let chosen = match view.bands {
                BandChoice::AWeighted => None,
                BandChoice::Range(first, last) => Some((first, last)),
            };
            (chart::drawing(heard, view.theme, chosen), None)
        }
    })
}

pub fn export_ui(ui: &mut Ui, export: &mut Export, palette: &Palette) -> Option<Command> {
    let mut asked = None;
    ui.set_width(400.0);
    let wanted = &mut export.wanted;
    let soft = |text: &str| RichText::new(text).size(size::SMALL).color(palette.soft_ink);
    ui.label(soft("As it is looked at now: listener, bands, storey, theme."));
    ui.horizontal(|ui| {
        for (shows, name) in [(Shows::Plan, "Plan"), (Shows::Section, "Section"), (Shows::Bands, "Bands")] {
            ui.selectable_value(&mut wanted.shows, shows, name);
        }
    });
    ui.horizontal(|ui| {
        ui.label("Width");
        ui.add(DragValue::new(&mut wanted.width_px).range(200..=8000).suffix(" pixels"));
        if wanted.shows != Shows::Bands {
            ui.checkbox(&mut wanted.particles, "with motes");
        }
    });
    if wanted.shows != Shows::Bands {
        ui.horizontal(|ui| {
            let mut moves = wanted.seconds > 0.0;
            if ui.checkbox(&mut moves, "moving").changed() {
                wanted.seconds = if moves { 4.0 } else { 0.0 };
            }
            if moves {
                let seconds = DragValue::new(&mut wanted.seconds).range(SECONDS[0]..=SECONDS[1]);
                ui.add(seconds.suffix(" s, round and round"));
            }
        });
    }
    ui.label(soft("File (.png, or .svg for what stands still)"));
    if ui.add(TextEdit::singleline(&mut wanted.file).desired_width(f32::INFINITY)).changed() {
        wanted.over = false;
    }
    ui.checkbox(&mut wanted.over, "may be written over");
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let ready = !export.making && !wanted.file.trim().is_empty();
        on_click(&mut asked, &ui.add_enabled(ready, Button::new("Write the picture")), Command::WritePicture);
        on_click(&mut asked, &ui.button("Close"), Command::Export);
    });
    let message = if export.making { Some("Painting …") } else { export.outcome.as_deref() };
    if let Some(message) = message {
        label(ui, message, size::TEXT, palette.ink);
    }
    asked
}

impl Export {
    /// Opens the box, with a file beside the scene's, or in the home folder; or closes it.
    pub fn open_or_close(&mut self, scene: Option<&Path>) {
        self.open = !self.open;
        if self.wanted.file.is_empty() {
            let folder = scene.and_then(Path::parent).map(Path::to_owned).or_else(std::env::home_dir);
            let name =
                scene.and_then(Path::file_stem).map_or_else(|| "leaklight".into(), |stem| stem.to_string_lossy());
            let file = folder.unwrap_or_default().join(format!("{name}.png"));
            self.wanted.file = file.to_string_lossy().into_owned();
        }
    }

    /// Makes the picture beside the main thread; `wake` is called when it is there.
    pub fn start(&mut self, solved: Arc<Solved>, view: View, wake: impl Fn() + Send + 'static) {
        let wanted = self.wanted.clone();
        (self.making, self.outcome) = (true, None);
        self.inbox.spawn(wake, move || {
            Some(match make(&solved, &view, &wanted) {
                Ok(path) => format!("Written: {}", path.display()),
                Err(why) => why,
            })
        });
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Export>().add_systems(Update, arrived.in_set(Stage::Solve));
}

fn arrived(mut export: ResMut<Export>) {
    if export.making
        && let Some(outcome) = export.inbox.arrived().pop()
    {
        (export.making, export.outcome) = (false, Some(outcome));
    }
}
