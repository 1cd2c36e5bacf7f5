//! The 24 bands as a strip: what each gives the listener, and which of them are looked at.

use bevy_egui::egui::{Align2, CursorIcon, Pos2, Rect, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, WidgetType};

use crate::acoustics::BAND_COUNT;
use crate::acoustics::bands::NOMINAL_HZ;
use crate::app::command::Command;
use crate::app::panels::level_chart::{LINES, line, short_hz};
use crate::app::theme::{Palette, color, font, size};
use crate::app::view::Hearing;
use crate::app::widgets::{explain, tile};
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
    let mut asked = all_bands(ui, &palette, all, hearing);
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
    for band in 0..BAND_COUNT {
        let corner = Pos2::new(strip.left() + band as f32 * pitch, strip.top());
        let cell = Rect::from_min_size(corner, Vec2::new(pitch, strip.height()));
        let response = ui.interact(cell, ui.id().with(("band", band)), Sense::hover());
        let chosen = matches!(hearing.view.bands, BandChoice::Range(first, last) if (first..=last).contains(&band));
        let spoken = format!("{} Hz, {:.0} dB", NOMINAL_HZ[band], level[band].max(0.0));
        response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen, &spoken));
        let inner = cell.shrink2(Vec2::new(1.5, 0.0));
        if chosen || response.hovered() {
            let fill = if chosen { palette.hovered } else { palette.raised };
            let edge = if chosen { palette.listener } else { fill };
            ui.painter().rect(inner, 4.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
        }
        let shaded = hearing.view.bands == BandChoice::AWeighted || chosen;
        for (kind, low_db, high_db) in chart.parts(band, 0.0) {
            let [low, high] = [low_db, high_db].map(|db| bars.bottom() - height(db));
            let part = Rect::from_x_y_ranges(inner.left() + 2.0..=inner.right() - 2.0, high..=low);
            let fill = color(look(kind, hearing.view.theme).colour).gamma_multiply(if shaded { 1.0 } else { 0.4 });
            ui.painter().rect_filled(part, 0.0, fill);
        }
        for (name, of) in LINES {
            if let Some(db) = of(&chart)[band].filter(|db| *db > 0.0) {
                let y = bars.bottom() - height(db);
                line(ui.painter(), &palette, name, [cell.left(), cell.right()].map(|x| Pos2::new(x, y)));
            }
        }
        if chosen || response.hovered() {
            let label = format!("{:.0}", level[band].max(0.0));
            let place = Pos2::new(cell.center().x, strip.top() + 1.0);
            ui.painter().text(place, Align2::CENTER_TOP, label, font(size::SMALL), palette.ink);
        }
        // Where cells are narrow only the octaves are named.
        if pitch > 33.0 || band % 3 == 1 {
            let (ink, letters) =
                if band % 3 == 1 { (palette.ink, size::SMALL) } else { (palette.soft_ink, size::SMALL - 1.0) };
            let place = Pos2::new(cell.center().x, strip.bottom() - 1.0);
            ui.painter().text(place, Align2::CENTER_BOTTOM, short_hz(NOMINAL_HZ[band]), font(letters), ink);
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

/// What the parts and lines mean, over the strip.
fn key(ui: &Ui, palette: &Palette, strip: Rect, chart: &Chart, theme: Theme) {
    let painter = ui.painter();
    let y = strip.top() + 6.0;
    let small = font(size::SMALL - 0.5);
    let text = |x: f32, text: &str| {
        painter.text(Pos2::new(x, y), Align2::LEFT_CENTER, text, small.clone(), palette.soft_ink).right()
    };
    let mut x = text(strip.left(), "Level by third octave and kind of way:") + 8.0;
    for kind in chart.seen() {
        if x > strip.right() - 190.0 {
            break;
        }
        let square = Rect::from_center_size(Pos2::new(x + 5.0, y), Vec2::splat(9.0));
        painter.rect_filled(square, 1.0, color(look(kind, theme).colour));
        x = text(x + 13.0, words::kind(kind)) + 9.0;
    }
    for (name, _) in LINES.into_iter().filter(|(_, of)| of(chart).iter().any(Option::is_some)) {
        if x > strip.right() - 76.0 {
            continue;
        }
        line(painter, palette, name, [Pos2::new(x, y), Pos2::new(x + 14.0, y)]);
        x = text(x + 18.0, name) + 9.0;
    }
}

fn all_bands(ui: &mut Ui, palette: &Palette, area: Rect, hearing: &Hearing) -> Option<Command> {
    let response = ui.interact(area, ui.id().with("all bands"), Sense::click());
    let chosen = hearing.view.bands == BandChoice::AWeighted;
    tile(ui, palette, &response, area, 6.0, (chosen, "All bands, A-weighted"));
    let painter = ui.painter();
    let middle = area.center();
    for (text, down, letters, ink) in
        [("All bands", -11.0, size::TEXT, palette.ink), ("A-weighted", 10.0, size::SMALL, palette.soft_ink)]
    {
        painter.text(middle + Vec2::new(0.0, down), Align2::CENTER_CENTER, text, font(letters), ink);
    }
    let response = explain(response.on_hover_cursor(CursorIcon::PointingHand), "A-weighted, by octave");
    (response.clicked() && !chosen).then_some(Command::Bands(BandChoice::AWeighted))
}
