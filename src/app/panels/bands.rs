//! The 24 bands as a strip: what each gives the listener, and which of them are looked at.

use bevy_egui::egui::{Align2, CursorIcon, Pos2, Rect, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, WidgetType};

use super::Hearing;
use crate::acoustics::BAND_COUNT;
use crate::acoustics::bands::NOMINAL_HZ;
use crate::app::theme::{Palette, color, font, size};
use crate::app::view::Ask;
use crate::output::lettering;
use crate::solve::BandChoice;

/// Width of the cell for all bands, logical pixels.
const ALL: f32 = 92.0;

/// Draws the strip. A click chooses a band, a drag a range; returns the choice asked for.
pub fn band_strip_ui(ui: &mut Ui, hearing: &Hearing) -> Option<Ask> {
    let palette = Palette::of(hearing.view.theme);
    let whole = ui.available_rect_before_wrap();
    let all = Rect::from_min_size(whole.min, Vec2::new(ALL, whole.height()));
    let strip = Rect::from_min_max(Pos2::new(all.right() + 10.0, whole.top()), whole.max);
    let asked = all_bands(ui, &palette, all, hearing);
    let pitch = strip.width() / BAND_COUNT as f32;
    let heard = hearing.heard;
    let floor = heard.background_db.zip(&heard.threshold_db, f64::max);
    let level = heard.energy.to_db();
    let finite = |db: &&f64| db.is_finite();
    let top = level.iter().chain(floor.iter()).filter(finite).copied().fold(40.0_f64, f64::max);
    let caption = "Level in the 24 third octaves; lit is what stands above background and hearing threshold";
    let caption = lettering::cut(caption, f64::from(strip.width() / (size::SMALL - 0.5)));
    ui.painter().text(strip.left_top(), Align2::LEFT_TOP, caption, font(size::SMALL - 0.5), palette.soft_ink);
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
        // What lies under background and threshold is there, but not heard: it stays dark.
        let heard_from = (bars.bottom() - height(floor[band])).max(full.top());
        let shaded = hearing.view.bands == BandChoice::AWeighted || chosen;
        let glow = color(hearing.view.theme.leak_at(0.62)).gamma_multiply(if shaded { 1.0 } else { 0.45 });
        ui.painter().rect_filled(Rect::from_min_max(Pos2::new(full.left(), heard_from), full.max), 1.0, palette.rule);
        ui.painter().rect_filled(Rect::from_min_max(full.min, Pos2::new(full.right(), heard_from)), 1.0, glow);
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
            asked = Some(Ask::Bands(choice));
        }
    }
    pull.on_hover_cursor(CursorIcon::PointingHand);
    asked
}

fn all_bands(ui: &mut Ui, palette: &Palette, area: Rect, hearing: &Hearing) -> Option<Ask> {
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
        .then_some(Ask::Bands(BandChoice::AWeighted))
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
