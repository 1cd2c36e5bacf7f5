//! Sound reduction indices: pasted from a report, as numbers, and as a curve over the 24 bands with, thin behind it, the one before.

use bevy_egui::egui::{Align2, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, WidgetType};

use super::context::Context;
use super::entry::{alert, fact, multiline, remember};
use super::inputs::button;
use super::paste;
use crate::acoustics::bands::NOMINAL_HZ;
use crate::acoustics::{BAND_COUNT, Spectrum};
use crate::app::panels::level_chart::short_hz;
use crate::app::theme::{color, font, size};
use crate::catalogue::limits::{Limits, short};
use crate::output::chart::Axis;

/// Height of the curve and of the letters below it, logical pixels.
const HIGH: f32 = 116.0;
const BELOW: f32 = 18.0;
/// Bands that are read out: 63 Hz to 1 kHz by octave.
const NAMED: [usize; 5] = [4, 7, 10, 13, 16];

pub(super) fn values(r_db: &[f64]) -> String {
    r_db.iter().map(|db| short(*db)).collect::<Vec<_>>().join(" ")
}

/// A field to paste R into, with what is told of what can be used. What was pasted so far, and whether it is to be taken.
pub(super) fn paste_ui(
    ui: &mut Ui,
    cx: &Context,
    (name, hint): (&str, &str),
    limits: &Limits,
    about: impl Fn(&[f64]) -> String,
) -> (Option<Vec<f64>>, bool) {
    let id = ui.make_persistent_id("pasted");
    let mut pasted: String = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    multiline(ui, &cx.palette, id.with("text"), &mut pasted, 3, (name, hint));
    let mut found = None;
    if !pasted.trim().is_empty() {
        match read(&pasted, limits) {
            Ok(r_db) => {
                fact(ui, &cx.palette, &about(&r_db));
                found = Some(r_db);
            }
            Err(why) => alert(ui, &cx.palette, &why),
        }
    }
    let taken = ui.add_enabled_ui(found.is_some(), |ui| button(ui, "Use these values", "")).inner && found.is_some();
    remember(ui, id, (!taken && !pasted.is_empty()).then_some(pasted));
    (found, taken)
}

fn read(pasted: &str, limits: &Limits) -> Result<Vec<f64>, String> {
    let r_db = paste::spectrum(pasted)?;
    let Limits { least, most, .. } = limits;
    match r_db.iter().find(|db| !limits.hold(**db)) {
        Some(db) => Err(format!("A sound reduction index of {} dB is out of {least} to {most} dB.", short(*db))),
        None => Ok(r_db),
    }
}

/// Draws R, and R as it was.
pub(super) fn curve_ui(ui: &mut Ui, cx: &Context, r_db: &Spectrum, before_db: Option<&Spectrum>) {
    let (area, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), HIGH + BELOW), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, spoken(r_db)));
    let palette = &cx.palette;
    let painter = ui.painter();
    let plot = Rect::from_min_max(area.min + Vec2::new(24.0, 6.0), Pos2::new(area.right() - 4.0, area.top() + HIGH));
    let values = r_db.iter().chain(before_db.into_iter().flat_map(Spectrum::iter));
    let axis = Axis::from_zero(values.copied(), 50.0, 10.0, 60.0);
    let x = |band: usize| plot.left() + (band as f32 + 0.5) / BAND_COUNT as f32 * plot.width();
    let y = |db: f64| plot.bottom() - axis.position(db) as f32 * plot.height();
    painter.rect_filled(plot, 3.0, palette.sheet);
    for db in axis.marks() {
        painter.hline(plot.x_range(), y(db), Stroke::new(1.0, palette.rule.gamma_multiply(0.6)));
        let place = Pos2::new(plot.left() - 5.0, y(db));
        painter.text(place, Align2::RIGHT_CENTER, format!("{db:.0}"), font(10.0), palette.soft_ink);
    }
    let octaves = (1..BAND_COUNT).step_by(3);
    for band in octaves {
        painter.vline(x(band), plot.y_range(), Stroke::new(1.0, palette.rule.gamma_multiply(0.4)));
        let name = short_hz(NOMINAL_HZ[band]);
        let place = Pos2::new(x(band), plot.bottom() + 3.0);
        painter.text(place, Align2::CENTER_TOP, name, font(size::SMALL - 1.0), palette.soft_ink);
    }
    let line = |r_db: &Spectrum| -> Vec<Pos2> {
        r_db.iter().enumerate().map(|(band, db)| Pos2::new(x(band), y(*db))).collect()
    };
    let inside = painter.with_clip_rect(plot.expand(2.0));
    if let Some(before_db) = before_db {
        inside.extend(Shape::dashed_line(&line(before_db), Stroke::new(1.5, palette.soft_ink), 4.0, 3.0));
    }
    inside.add(Shape::line(line(r_db), Stroke::new(2.0, color(cx.theme.leak_at(0.62)))));
    let Some(at) = response.hover_pos().filter(|at| plot.contains(*at)) else { return };
    let band = (((at.x - plot.left()) / plot.width() * BAND_COUNT as f32) as usize).min(BAND_COUNT - 1);
    painter.circle_filled(Pos2::new(x(band), y(r_db[band])), 3.5, palette.ink);
    let before = before_db.map(|before_db| format!(", before {:.1}", before_db[band])).unwrap_or_default();
    response.on_hover_text(format!("{} Hz: {:.1} dB{before}", NOMINAL_HZ[band], r_db[band]));
}

/// The curve for those who cannot see it.
fn spoken(r_db: &Spectrum) -> String {
    let at = |band: usize| format!("{} Hz {:.0} dB", NOMINAL_HZ[band], r_db[band]);
    format!("Sound reduction index: {}", NAMED.map(at).join(", "))
}
