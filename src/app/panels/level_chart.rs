//! The listener's level by octave, against background and hearing threshold.

use bevy_egui::egui::{Align2, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, WidgetType};

use crate::acoustics::bands::OCTAVE_HZ;
use crate::app::hearing::Hearing;
use crate::app::theme::{LOW_WINDOW, Palette, color, font, size};
use crate::output::chart::{Bar, Chart};
use crate::solve::BandChoice;

/// Height of the chart, logical pixels: the bars, and what stands below them.
const BARS: f32 = 84.0;
const BARS_LOW: f32 = 56.0;
const BELOW: f32 = 36.0;

/// Draws the chart. Octaves outside the chosen bands are dimmed.
pub fn level_chart_ui(ui: &mut Ui, hearing: &Hearing) {
    let palette = Palette::of(hearing.view.theme);
    let high = if ui.ctx().viewport_rect().height() < LOW_WINDOW { BARS_LOW } else { BARS };
    let (area, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), high + BELOW + 14.0), Sense::hover());
    let chart = Chart::octaves(hearing.heard);
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, told(&chart)));
    let painter = ui.painter();
    let bars = Rect::from_min_size(area.min + Vec2::new(0.0, 14.0), Vec2::new(area.width(), high));
    let height = |db: f64| chart.axis.position(db) as f32 * bars.height();
    for db in chart.axis.marks() {
        let y = bars.bottom() - height(db);
        let stroke = Stroke::new(1.0, palette.rule.gamma_multiply(if db == 0.0 { 1.0 } else { 0.5 }));
        painter.hline(bars.x_range(), y, stroke);
        if db > 0.0 {
            painter.text(
                Pos2::new(bars.left(), y - 1.0),
                Align2::LEFT_BOTTOM,
                format!("{db:.0}"),
                font(10.0),
                palette.soft_ink,
            );
        }
    }
    let left = bars.left() + 22.0;
    let pitch = (bars.right() - left) / 8.0;
    for (at, octave) in chart.bars.iter().enumerate() {
        let [background_db, threshold_db] = [&chart.background_db, &chart.threshold_db].map(|line| line[at]);
        let (x, wide) = (left + (at as f32 + 0.5) * pitch, 0.56 * pitch);
        let shown = within(hearing.view.bands, at);
        let fill = color(hearing.view.theme.leak_at(0.62)).gamma_multiply(if shown { 1.0 } else { 0.35 });
        let y = bars.bottom() - height(octave.level_db);
        let bar = Rect::from_min_max(Pos2::new(x - wide / 2.0, y), Pos2::new(x + wide / 2.0, bars.bottom()));
        if octave.level_db > 0.0 {
            painter.rect_filled(bar, 2.0, fill);
        }
        // Over the bar, and over any line that would strike it through.
        let mut foot = bar.top() - 1.0;
        let mut lines = [background_db, threshold_db].map(|db| bars.bottom() - height(db.unwrap_or(0.0)));
        lines.sort_by(|a, b| b.total_cmp(a));
        for line in lines {
            if (foot - 13.0..foot + 2.0).contains(&line) {
                foot = line - 2.0;
            }
        }
        let label = if octave.level_db >= 0.5 { format!("{:.0}", octave.level_db) } else { "–".to_owned() };
        let ink = if shown { palette.ink } else { palette.soft_ink };
        painter.text(Pos2::new(x, foot), Align2::CENTER_BOTTOM, label, font(size::SMALL), ink);
        let half = 0.42 * pitch;
        let across = |db: f64| {
            let y = bars.bottom() - height(db);
            [Pos2::new(x - half, y), Pos2::new(x + half, y)]
        };
        if let Some(db) = background_db.filter(|db| *db > 0.0) {
            painter.line_segment(across(db), Stroke::new(2.0, palette.listener));
        }
        if let Some(db) = threshold_db.filter(|db| *db > 0.0) {
            painter.add(Shape::dashed_line(&across(db), Stroke::new(1.5, palette.ink), 3.0, 3.0));
        }
        let hz = OCTAVE_HZ[at];
        let name = if hz >= 1000.0 { format!("{:.0}k", hz / 1000.0) } else { format!("{hz}") };
        painter.text(Pos2::new(x, bars.bottom() + 4.0), Align2::CENTER_TOP, name, font(size::SMALL), palette.soft_ink);
    }
    key(ui, &palette, hearing, area);
}

/// What the lines are, below the chart.
fn key(ui: &Ui, palette: &Palette, hearing: &Hearing, area: Rect) {
    let painter = ui.painter();
    let y = area.bottom() - 7.0;
    let mut x = area.left() + 22.0;
    let mut put = |text: &str, draw: &dyn Fn(Pos2, Pos2)| {
        draw(Pos2::new(x, y), Pos2::new(x + 16.0, y));
        let place = Pos2::new(x + 21.0, y);
        x = painter.text(place, Align2::LEFT_CENTER, text, font(size::SMALL - 0.5), palette.soft_ink).right() + 14.0;
    };
    put("dB by octave, Hz", &|a, b| {
        let fill = color(hearing.view.theme.leak_at(0.62));
        painter.rect_filled(Rect::from_two_pos(a - Vec2::new(0.0, 4.0), b + Vec2::new(0.0, 4.0)), 2.0, fill);
    });
    if hearing.heard.background_db.iter().any(|db| db.is_finite()) {
        put("background", &|a, b| {
            painter.line_segment([a, b], Stroke::new(2.0, palette.listener));
        });
    }
    put("threshold", &|a, b| {
        painter.add(Shape::dashed_line(&[a, b], Stroke::new(1.5, palette.ink), 3.0, 3.0));
    });
}

fn within(bands: BandChoice, octave: usize) -> bool {
    match bands {
        BandChoice::AWeighted => true,
        BandChoice::Range(first, last) => first <= 3 * octave + 2 && last >= 3 * octave,
    }
}

/// The chart for those who cannot see it.
fn told(chart: &Chart) -> String {
    let level = |(bar, hz): (&Bar, f64)| format!("{hz} Hz {:.0} dB", bar.level_db.max(0.0));
    format!("Level by octave: {}", chart.bars.iter().zip(OCTAVE_HZ).map(level).collect::<Vec<_>>().join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_octave_is_shown_when_one_of_its_thirds_is_chosen() {
        assert!(within(BandChoice::AWeighted, 7));
        // 63 Hz is the middle third of the second octave.
        let octaves: Vec<usize> = (0..8).filter(|at| within(BandChoice::one(4), *at)).collect();
        assert_eq!(octaves, [1]);
        let octaves: Vec<usize> = (0..8).filter(|at| within(BandChoice::Range(5, 6), *at)).collect();
        assert_eq!(octaves, [1, 2]);
    }
}
