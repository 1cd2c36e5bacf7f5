//! The 24 bands as a strip: what each gives the listener, and which of them are looked at.

use bevy_egui::egui::{
    Align2, CursorIcon, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, WidgetType,
};

use crate::acoustics::BAND_COUNT;
use crate::acoustics::bands::NOMINAL_HZ;
use crate::app::command::Command;
use crate::app::hearing::Hearing;
use crate::app::theme::{Palette, color, font, size};
use crate::output::chart::Chart;
use crate::output::kinds::look;
use crate::output::{Theme, words};
use crate::solve::BandChoice;

/// Width of the cell for all bands, logical pixels.
const ALL: f32 = 92.0;

/// Draws the strip. A click chooses a band, a drag a range; returns the choice asked for.
pub fn band_strip_ui(ui: &mut Ui, hearing: &Hearing) -> Option<Command> {
    let palette = Palette::of(hearing.view.theme);
    let whole = ui.available_rect_before_wrap();
    let all = Rect::from_min_size(whole.min, Vec2::new(ALL, whole.height()));
    let strip = Rect::from_min_max(Pos2::new(all.right() + 10.0, whole.top()), whole.max);
    let asked = all_bands(ui, &palette, all, hearing);
    let pitch = strip.width() / BAND_COUNT as f32;
    let heard = hearing.heard;
    let chart = Chart::thirds(heard);
    let floor = heard.background_db.zip(&heard.threshold_db, f64::max);
    let level = heard.energy.to_db();
    let finite = |db: &&f64| db.is_finite();
    let top = level.iter().chain(floor.iter()).filter(finite).copied().fold(40.0_f64, f64::max);
    key(ui, &palette, strip, &chart, hearing.view.theme);
    let strip = strip.with_min_y(strip.top() + 17.0);
    let bars = Rect::from_min_max(strip.min + Vec2::new(0.0, 16.0), strip.max - Vec2::new(0.0, 19.0));
    let height = |db: f64| ((db / top).clamp(0.0, 1.0) as f32) * bars.height();

    let pull = ui.interact(strip, ui.id().with("pull"), Sense::click_and_drag());
    let band_at = |x: f32| (((x - strip.left()) / pitch).max(0.0) as usize).min(BAND_COUNT - 1);
    let mut asked = asked;
    for band in 0..BAND_COUNT {
        let cell = Rect::from_min_size(
            Pos2::new(strip.left() + band as f32 * pitch, strip.top()),
            Vec2::new(pitch, strip.height()),
        );
        let response = ui.interact(cell, ui.id().with(("band", band)), Sense::hover());
        let chosen = matches!(hearing.view.bands, BandChoice::Range(first, last) if (first..=last).contains(&band));
        let told = format!("{} Hz, {:.0} dB", NOMINAL_HZ[band], level[band].max(0.0));
        response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen, &told));
        let inner = cell.shrink2(Vec2::new(1.5, 0.0));
        if chosen || response.hovered() {
            let fill = if chosen { palette.hovered } else { palette.raised };
            let edge = if chosen { palette.listener } else { fill };
            ui.painter().rect(inner, 4.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
        }
        let full = Rect::from_min_max(
            Pos2::new(inner.left() + 2.0, bars.bottom() - height(level[band])),
            Pos2::new(inner.right() - 2.0, bars.bottom()),
        );
        let shaded = hearing.view.bands == BandChoice::AWeighted || chosen;
        for (kind, low_db, high_db) in chart.parts(band, 0.0) {
            let part = Rect::from_min_max(
                Pos2::new(full.left(), bars.bottom() - height(high_db)),
                Pos2::new(full.right(), bars.bottom() - height(low_db)),
            );
            let fill = color(look(kind, hearing.view.theme).colour).gamma_multiply(if shaded { 1.0 } else { 0.4 });
            ui.painter().rect_filled(part, 0.0, fill);
        }
        against(ui, &palette, cell, &chart, band, &|db| bars.bottom() - height(db));
        if chosen || response.hovered() {
            let label = format!("{:.0}", level[band].max(0.0));
            ui.painter().text(
                Pos2::new(cell.center().x, strip.top() + 1.0),
                Align2::CENTER_TOP,
                label,
                font(size::SMALL),
                palette.ink,
            );
        }
        // Where cells are narrow only the octaves are named.
        if pitch > 33.0 || band % 3 == 1 {
            let (ink, letters) =
                if band % 3 == 1 { (palette.ink, size::SMALL) } else { (palette.soft_ink, size::SMALL - 1.0) };
            let place = Pos2::new(cell.center().x, strip.bottom() - 1.0);
            ui.painter().text(place, Align2::CENTER_BOTTOM, short(band), font(letters), ink);
        }
    }
    if let Some(pointer) = pull.interact_pointer_pos() {
        let band = band_at(pointer.x);
        let from = ui.input(|input| input.pointer.press_origin()).map_or(band, |origin| band_at(origin.x));
        let choice = BandChoice::Range(band.min(from), band.max(from));
        if (pull.clicked() || pull.dragged() || pull.is_pointer_button_down_on()) && choice != hearing.view.bands {
            asked = Some(Command::Bands(choice));
        }
    }
    pull.on_hover_cursor(CursorIcon::PointingHand);
    asked
}

/// Background, threshold and limit of a band, across its cell.
fn against(ui: &Ui, palette: &Palette, cell: Rect, chart: &Chart, band: usize, at: &dyn Fn(f64) -> f32) {
    let across = |db: f64| [Pos2::new(cell.left(), at(db)), Pos2::new(cell.right(), at(db))];
    let painter = ui.painter();
    let above_zero = |line: &[Option<f64>]| line[band].filter(|db| *db > 0.0);
    if let Some(background_db) = above_zero(&chart.background_db) {
        painter.line_segment(across(background_db), Stroke::new(1.8, palette.listener));
    }
    if let Some(threshold_db) = above_zero(&chart.threshold_db) {
        let stroke = Stroke::new(1.4, palette.ink);
        painter.extend(Shape::dashed_line(&across(threshold_db), stroke, 3.0, 3.0));
    }
    if let Some(limit_db) = above_zero(&chart.limit_db) {
        painter.line_segment(across(limit_db), Stroke::new(2.4, palette.alert));
    }
}

/// What the parts and lines mean, over the strip.
fn key(ui: &Ui, palette: &Palette, strip: Rect, chart: &Chart, theme: Theme) {
    let painter = ui.painter();
    let y = strip.top() + 6.0;
    let small = font(size::SMALL - 0.5);
    let text = |x: f32, text: &str| {
        painter.text(Pos2::new(x, y), Align2::LEFT_CENTER, text, small.clone(), palette.soft_ink).right()
    };
    let mut x = text(strip.left(), "Level by third octave and kind of way:") + 8.0;
    let lines = [
        ("background", chart.background_db.iter().any(Option::is_some)),
        ("threshold", true),
        ("limit", chart.limit_db.iter().any(Option::is_some)),
    ];
    for kind in chart.seen() {
        if x > strip.right() - 190.0 {
            break;
        }
        let square = Rect::from_center_size(Pos2::new(x + 5.0, y), Vec2::splat(9.0));
        painter.rect_filled(square, 1.0, color(look(kind, theme).colour));
        x = text(x + 13.0, words::kind(kind)) + 9.0;
    }
    for (name, shown) in lines {
        if !shown || x > strip.right() - 76.0 {
            continue;
        }
        let ends = [Pos2::new(x, y), Pos2::new(x + 14.0, y)];
        match name {
            "background" => drop(painter.line_segment(ends, Stroke::new(1.8, palette.listener))),
            "threshold" => painter.extend(Shape::dashed_line(&ends, Stroke::new(1.4, palette.ink), 3.0, 3.0)),
            _ => drop(painter.line_segment(ends, Stroke::new(2.4, palette.alert))),
        }
        x = text(x + 18.0, name) + 9.0;
    }
}

fn all_bands(ui: &mut Ui, palette: &Palette, area: Rect, hearing: &Hearing) -> Option<Command> {
    let response = ui.interact(area, ui.id().with("all bands"), Sense::click());
    let chosen = hearing.view.bands == BandChoice::AWeighted;
    response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen, "All bands, A-weighted"));
    let fill = if chosen || response.hovered() { palette.hovered } else { palette.raised };
    let edge = if chosen { palette.listener } else { fill };
    let painter = ui.painter();
    painter.rect(area, 6.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
    let middle = area.center();
    painter.text(middle - Vec2::new(0.0, 11.0), Align2::CENTER_CENTER, "All bands", font(size::TEXT), palette.ink);
    painter.text(
        middle + Vec2::new(0.0, 10.0),
        Align2::CENTER_CENTER,
        "A-weighted",
        font(size::SMALL),
        palette.soft_ink,
    );
    (response.on_hover_cursor(CursorIcon::PointingHand).clicked() && !chosen)
        .then_some(Command::Bands(BandChoice::AWeighted))
}

/// A midband in few letters: "63", "1.25k".
fn short(band: usize) -> String {
    let hz = NOMINAL_HZ[band];
    if hz >= 1000.0 { format!("{}k", hz / 1000.0) } else { format!("{hz}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn midbands_are_named_in_few_letters() {
        let names: Vec<String> = [0, 1, 15, 17, 23].map(short).into();
        assert_eq!(names, ["25", "31.5", "800", "1.25k", "5k"]);
    }
}
