//! The key to the motes, and what can be done with them.

use std::sync::Arc;

use bevy_egui::egui::{Align2, Button, Galley, Pos2, RichText, Sense, Slider, Ui, Vec2, WidgetInfo, WidgetType};

use crate::app::command::Command;
use crate::app::theme::{Palette, font, size};
use crate::app::viewer::particle_paint::{line, sample};
use crate::app::viewer::particles::Particles;
use crate::app::widgets::{explain, on_click, small_button};
use crate::output::streaming::kinds_heard;
use crate::output::{Theme, words};
use crate::solve::{BandChoice, ListenerAnswer, PathKind};

/// Shares under which paths can be hidden.
const LEAST: [f64; 6] = [0.0, 0.001, 0.01, 0.02, 0.05, 0.1];

/// Pause, pace, which paths.
pub fn controls_ui(ui: &mut Ui, particles: &Particles, marked: bool) -> Option<Command> {
    let look = particles.look;
    let mut asked = None;
    let small = |text: &str| Button::new(RichText::new(text).size(size::SMALL));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let word = match (look.shown, look.playing) {
            (false, _) => "Show motes",
            (true, true) => "Pause",
            (true, false) => "Run",
        };
        let run = ui.add(small(word).min_size(Vec2::new(52.0, 0.0))).on_hover_text("Space");
        on_click(&mut asked, &run, Command::RunParticles);
        if look.shown {
            asked = small_button(ui, Command::ShowParticles, false).or(asked.take());
        }
        let mut speed = look.speed;
        ui.spacing_mut().slider_width = 70.0;
        let slider = Slider::new(&mut speed, 0.25..=4.0).logarithmic(true).show_value(false);
        if ui.add_enabled(look.shown, slider).on_hover_text("Slower or faster").changed() {
            asked = Some(Command::ParticleSpeed(speed));
        }
        let at = LEAST.iter().position(|share| *share >= look.least_share).unwrap_or(0);
        let from = if look.least_share > 0.0 {
            format!("from {}", words::percent(look.least_share))
        } else {
            "all paths".to_owned()
        };
        let from = ui.add(small(&from)).on_hover_text("Hide paths with a smaller share");
        on_click(&mut asked, &from, Command::LeastShare(LEAST[(at + 1) % LEAST.len()]));
        let alone = ui.add_enabled(marked || look.alone, small("marked alone").selected(look.alone));
        on_click(&mut asked, &alone.on_hover_text("Only the path marked in the list"), Command::MarkedAlone);
    });
    asked
}

/// Height of a row of the key, logical pixels.
const ROW: f32 = 17.0;

/// A kind in the key: which, its name, and where it stands.
type Placed = (PathKind, Arc<Galley>, f32, usize);

/// The kinds of paths there are to a listener, laid out in rows.
fn laid_out(ui: &Ui, heard: &ListenerAnswer, bands: BandChoice, wide: f32, palette: &Palette) -> (Vec<Placed>, usize) {
    let (mut x, mut row) = (0.0, 0);
    let mut placed = vec![];
    for kind in kinds_heard(heard, bands) {
        let galley = ui.painter().layout_no_wrap(words::kind(kind).to_owned(), font(size::SMALL), palette.soft_ink);
        let needs = 42.0 + galley.size().x + 12.0;
        if x > 0.0 && x + needs > wide {
            (x, row) = (0.0, row + 1);
        }
        placed.push((kind, galley, x, row));
        x += needs;
    }
    (placed, row + 1)
}

/// Height of the key in a width, logical pixels.
pub fn kinds_height(ui: &Ui, heard: &ListenerAnswer, bands: BandChoice, theme: Theme, wide: f32) -> f32 {
    ROW * laid_out(ui, heard, bands, wide, &Palette::of(theme)).1 as f32
}

/// The kinds of paths there are to this listener, each with its mote, its line and its name.
pub fn kinds_ui(ui: &mut Ui, heard: &ListenerAnswer, bands: BandChoice, theme: Theme) {
    let palette = Palette::of(theme);
    let wide = ui.available_width();
    let (placed, rows) = laid_out(ui, heard, bands, wide, &palette);
    let (area, response) = ui.allocate_exact_size(Vec2::new(wide, ROW * rows as f32), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, "kinds of paths"));
    explain(response, &placed.iter().map(|(kind, ..)| words::kind(*kind)).collect::<Vec<_>>().join(", "));
    for (kind, galley, x, row) in placed {
        let middle = Pos2::new(area.left() + x, area.top() + ROW * (row as f32 + 0.5));
        line(ui.painter(), [middle, middle + Vec2::new(36.0, 0.0)], kind, 1.4, 0.8, theme);
        sample(ui.painter(), middle + Vec2::new(18.0, 0.0), kind, theme);
        let place = Align2::LEFT_CENTER.anchor_size(middle + Vec2::new(42.0, 0.0), galley.size());
        ui.painter().galley(place.min, galley, palette.soft_ink);
    }
}
