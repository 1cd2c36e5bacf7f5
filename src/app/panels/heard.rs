//! What the listener hears: the level, large, and the plain sentence.

use bevy_egui::egui::text::LayoutJob;
use bevy_egui::egui::{Align2, Pos2, Sense, Ui, Vec2, WidgetInfo, WidgetType};

use crate::app::panels::summary::summary;
use crate::app::theme::{LOW_WINDOW, Palette, font, size};
use crate::app::view::{Hearing, level_db, level_words};
use crate::app::widgets::{bound, explain, explained, label, section};
use crate::output::words;
use crate::solve::BandChoice;
use crate::solve::removal::audibility;

pub fn heard_ui(ui: &mut Ui, hearing: &Hearing) {
    let palette = Palette::of(hearing.view.theme);
    let heard = hearing.heard;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        let bands = hearing.view.bands;
        let said = level_words(level_db(heard, bands), bands);
        explain(label(ui, &said, size::LEVEL, palette.ink), &said);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.add_space(7.0);
            let audibility = audibility(heard, bands);
            let word = words::heading(words::audibility_word(audibility));
            label(ui, word, size::TEXT, palette.audibility(audibility));
            let note = match bands {
                BandChoice::AWeighted => format!("± {:.0} dB, an estimate", heard.uncertainty_db),
                BandChoice::Range(..) => format!("at {}, an estimate", bands.label()),
            };
            label(ui, note, size::SMALL, palette.soft_ink);
        });
    });
    let summary = summary(ui, hearing);
    let said = &summary.said;
    ui.spacing_mut().item_spacing.y = 4.0;
    explained(ui, &bound(&said.heard), size::SENTENCE, palette.ink);
    for line in [&said.by, &said.advice].into_iter().filter(|line| !line.is_empty()) {
        explained(ui, &bound(line), size::TEXT, palette.ink);
    }
    if !said.note.is_empty() {
        label(ui, &said.note, size::SMALL, palette.soft_ink);
    }
    if !said.more.is_empty() {
        label(ui, "More …", size::SMALL, palette.soft_ink).on_hover_text(&said.more);
    }
}

/// What stopping the strongest ways would gain, in the order in which to stop them; or what has changed, and why it did much or little, since a
/// building was kept to compare with.
pub fn gains_ui(ui: &mut Ui, hearing: &Hearing) {
    let palette = Palette::of(hearing.view.theme);
    let summary = summary(ui, hearing);
    if let Some(change) = &summary.change {
        let all = if hearing.view.bands == BandChoice::AWeighted { "" } else { ", in all bands together" };
        let since = hearing
            .base_name
            .map_or_else(|| "Since it was kept".to_owned(), |base| format!("Against \u{201c}{base}\u{201d}"));
        section(ui, &palette, &format!("{since}{all}"));
        explained(ui, change, size::TEXT, palette.ink);
        return;
    }
    if hearing.base.is_some() {
        let text = match hearing.base_name {
            Some(base) => format!("Compared with \u{201c}{base}\u{201d}, which is the same."),
            None => "Kept to compare. Now change the building: press M.".to_owned(),
        };
        section(ui, &palette, &text);
    }
    if summary.gains.is_empty() {
        return;
    }
    let lines = if ui.ctx().viewport_rect().height() < LOW_WINDOW { 2 } else { summary.gains.len() };
    ui.spacing_mut().item_spacing.y = 2.0;
    let title = match hearing.view.bands {
        BandChoice::AWeighted => "To stop, one after the other: gain alone, level then left".to_owned(),
        bands => format!("To stop at {}, one by one: gain alone, level left", bands.label()),
    };
    let heading = |ui: &mut Ui| section(ui, &palette, &title);
    ui.scope(heading).response.on_hover_text(&summary.said.more);
    for (at, line) in summary.gains.iter().take(lines).enumerate() {
        let text = format!("{}. {}, {}, then {}", at + 1, line.brief, line.gain, line.left);
        let wide = ui.available_width();
        let (area, response) = ui.allocate_exact_size(Vec2::new(wide, 19.0), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, &text));
        let painter = ui.painter();
        let middle = area.center().y;
        let left = painter.layout_no_wrap(line.left.clone(), font(size::TEXT - 0.5), palette.ink);
        let gain = painter.layout_no_wrap(format!("−{}", line.gain), font(size::TEXT - 0.5), palette.listener);
        let at_right = |x: f32, high: f32| Pos2::new(x, middle - high / 2.0);
        let columns = [area.right() - 2.0, area.right() - 84.0];
        painter.galley(at_right(columns[0] - left.size().x, left.size().y), left, palette.ink);
        if line.alone.gain_db >= 0.05 {
            painter.galley(at_right(columns[1] - gain.size().x, gain.size().y), gain, palette.listener);
        } else {
            let nothing = Align2::RIGHT_CENTER;
            painter.text(Pos2::new(columns[1], middle), nothing, "nothing", font(size::SMALL), palette.soft_ink);
        }
        let brief = format!("{}  {}", at + 1, words::heading(&line.brief));
        let mut job = LayoutJob::simple_singleline(brief, font(size::TEXT - 0.5), palette.ink);
        job.wrap.max_width = wide - 160.0;
        job.wrap.max_rows = 1;
        let brief = painter.layout_job(job);
        painter.galley(at_right(area.left(), brief.size().y), brief, palette.ink);
        response.on_hover_text(words::heading(&line.what));
    }
}
