//! The listener's level by octave, against background and hearing threshold.

use bevy_egui::egui::{Align2, Color32, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, WidgetType};

use crate::acoustics::bands::OCTAVE_HZ;
use crate::app::theme::{LOW_WINDOW, Palette, color, font, size};
use crate::app::view::Hearing;
use crate::app::widgets::explain;
use crate::output::chart::{Bar, Chart, Line};
use crate::solve::BandChoice;

/// Height of the chart, logical pixels: the bars, and what stands below them.
const BARS: f32 = 84.0;
const BARS_LOW: f32 = 56.0;
const BELOW: f32 = 36.0;

type LineOf = fn(&Chart) -> &Line;

/// What levels are held against, by name.
pub(super) const LINES: [(&str, LineOf); 3] = [
    ("background", |chart| &chart.background_db),
    ("threshold", |chart| &chart.threshold_db),
    ("limit", |chart| &chart.limit_db),
];

/// A stroke of one of [`LINES`].
pub(super) fn line(painter: &Painter, palette: &Palette, name: &str, ends: [Pos2; 2]) {
    match name {
        "background" => drop(painter.line_segment(ends, Stroke::new(2.0, palette.listener))),
        "threshold" => painter.extend(Shape::dashed_line(&ends, Stroke::new(1.5, palette.ink), 3.0, 3.0)),
        _ => drop(painter.line_segment(ends, Stroke::new(2.4, palette.alert))),
    }
}

/// A frequency in few letters: "63", "1.25k".
pub(in crate::app) fn short_hz(hz: f64) -> String {
    if hz >= 1000.0 { format!("{}k", hz / 1000.0) } else { format!("{hz}") }
}

/// Draws the chart. Octaves outside the chosen bands are dimmed.
pub fn level_chart_ui(ui: &mut Ui, hearing: &Hearing) {
    let palette = Palette::of(hearing.view.theme);
    let high = if ui.ctx().viewport_rect().height() < LOW_WINDOW { BARS_LOW } else { BARS };
    let (area, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), high + BELOW + 14.0), Sense::hover());
    let chart = Chart::octaves(hearing.heard);
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, spoken(&chart)));
    explain(response, &key_words(&chart).join(", "));
    let painter = ui.painter();
    let bars = Rect::from_min_size(area.min + Vec2::new(0.0, 14.0), Vec2::new(area.width(), high));
    let height = |db: f64| chart.axis.position(db) as f32 * bars.height();
    for db in chart.axis.marks() {
        let y = bars.bottom() - height(db);
        let stroke = Stroke::new(1.0, palette.rule.gamma_multiply(if db == 0.0 { 1.0 } else { 0.5 }));
        painter.hline(bars.x_range(), y, stroke);
        if db > 0.0 {
            let place = Pos2::new(bars.left(), y - 1.0);
            painter.text(place, Align2::LEFT_BOTTOM, format!("{db:.0}"), font(10.0), palette.soft_ink);
        }
    }
    let left = bars.left() + 22.0;
    let pitch = (bars.right() - left) / 8.0;
    for (at, octave) in chart.bars.iter().enumerate() {
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
        let mut lines = LINES.map(|(_, of)| bars.bottom() - height(of(&chart)[at].unwrap_or(0.0)));
        lines.sort_by(|a, b| b.total_cmp(a));
        for y in lines {
            if (foot - 13.0..foot + 2.0).contains(&y) {
                foot = y - 2.0;
            }
        }
        let label = if octave.level_db >= 0.5 { format!("{:.0}", octave.level_db) } else { "–".to_owned() };
        let ink = if shown { palette.ink } else { palette.soft_ink };
        painter.text(Pos2::new(x, foot), Align2::CENTER_BOTTOM, label, font(size::SMALL), ink);
        for (name, of) in LINES {
            if let Some(db) = of(&chart)[at].filter(|db| *db > 0.0) {
                let y = bars.bottom() - height(db);
                line(painter, &palette, name, [-0.42, 0.42].map(|part| Pos2::new(x + part * pitch, y)));
            }
        }
        let name = short_hz(OCTAVE_HZ[at]);
        painter.text(Pos2::new(x, bars.bottom() + 4.0), Align2::CENTER_TOP, name, font(size::SMALL), palette.soft_ink);
    }
    key(painter, &palette, &chart, color(hearing.view.theme.leak_at(0.62)), area);
}

/// What bars and lines are.
fn key_words(chart: &Chart) -> Vec<&'static str> {
    let seen = LINES.into_iter().filter(|(_, of)| of(chart).iter().any(Option::is_some)).map(|(name, _)| name);
    std::iter::once("dB by octave, Hz").chain(seen).collect()
}

/// What bars and lines are, below the chart.
fn key(painter: &Painter, palette: &Palette, chart: &Chart, bar: Color32, area: Rect) {
    let y = area.bottom() - 7.0;
    let mut x = area.left() + 22.0;
    for name in key_words(chart) {
        let ends = [Pos2::new(x, y), Pos2::new(x + 16.0, y)];
        if x == area.left() + 22.0 {
            painter.rect_filled(Rect::from_points(&ends).expand2(Vec2::new(0.0, 4.0)), 2.0, bar);
        } else {
            line(painter, palette, name, ends);
        }
        let (place, letters) = (Pos2::new(x + 21.0, y), font(size::SMALL - 0.5));
        x = painter.text(place, Align2::LEFT_CENTER, name, letters, palette.soft_ink).right() + 14.0;
    }
}

fn within(bands: BandChoice, octave: usize) -> bool {
    match bands {
        BandChoice::AWeighted => true,
        BandChoice::Range(first, last) => first <= 3 * octave + 2 && last >= 3 * octave,
    }
}

/// The chart for those who cannot see it.
fn spoken(chart: &Chart) -> String {
    let level = |(bar, hz): (&Bar, f64)| format!("{hz} Hz {:.0} dB", bar.level_db.max(0.0));
    format!("Level by octave: {}", chart.bars.iter().zip(OCTAVE_HZ).map(level).collect::<Vec<_>>().join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn midbands_are_named_in_few_letters() {
        assert_eq!([25.0, 31.5, 800.0, 1250.0, 5000.0].map(short_hz), ["25", "31.5", "800", "1.25k", "5k"]);
    }

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
