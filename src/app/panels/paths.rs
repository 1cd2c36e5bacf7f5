//! The ways the sound takes, face by face as the plan numbers them, in the chosen bands.

use bevy_egui::egui::text::LayoutJob;
use bevy_egui::egui::{
    Align2, Button, CursorIcon, Id, Pos2, Rect, Response, RichText, Sense, Stroke, Ui, Vec2, WidgetInfo, WidgetType,
};

use crate::app::command::Command;
use crate::app::panels::faces::{FacePaths, ListedPath};
use crate::app::panels::summary::summary;
use crate::app::theme::{Palette, color, font, size};
use crate::app::view::{Hearing, Highlight, level_words};
use crate::app::viewer::particle_paint::sample;
use crate::app::widgets::{label, scrolling_in, section};
use crate::output::drawing::Shown;
use crate::output::{By, Glow, words};
use crate::solve::{BandChoice, Surface};

/// Where names begin, and how wide shares are, logical pixels.
const INDENT: f32 = 28.0;
const SHARES: f32 = 62.0;
/// So many ways of a face are shown until more are asked for: the faces are to be seen together.
const FEW: usize = 3;

/// Draws the list, and `below` after it in the same scroll; returns which path the pointer is on. `high`: what is left for it, logical pixels; where
/// nothing is said it is as long as it is, in a scroll of somebody else's.
pub fn paths_ui(
    ui: &mut Ui,
    hearing: &Hearing,
    highlight: &Highlight,
    high: Option<f32>,
    commands: &mut Vec<Command>,
    below: impl FnOnce(&mut Ui),
) -> Option<usize> {
    let palette = Palette::of(hearing.view.theme);
    let mut under = None;
    let top = ui.min_rect().bottom();
    ui.horizontal(|ui| {
        section(ui, &palette, "Light up");
        for (by, name) in [(By::Entry, "where it gets out"), (By::Exit, "where it comes in")] {
            let chosen = hearing.view.by == by;
            let ink = if chosen { palette.ink } else { palette.soft_ink };
            let fill = if chosen { palette.hovered } else { palette.panel };
            let button = Button::new(RichText::new(name).size(size::SMALL).color(ink)).fill(fill);
            if ui.add(button).clicked() && !chosen {
                commands.push(Command::LightBy(by));
            }
        }
    });
    let high = high.map(|high| high - (ui.min_rect().bottom() - top) - ui.spacing().item_spacing.y);
    scrolling_in(ui, "paths", high, |ui| {
        let summary = summary(ui, hearing);
        if let BandChoice::Range(..) = hearing.view.bands {
            section(ui, &palette, &format!("Ways at {}", hearing.view.bands.label()));
        }
        if summary.faces.is_empty() {
            label(ui, why_empty(hearing), size::TEXT, palette.soft_ink);
        }
        ui.spacing_mut().item_spacing.y = 0.0;
        for face in &summary.faces {
            heading(ui, &palette, hearing, highlight, &summary.glow, face);
            let open = Id::new(("all ways", format!("{:?}", face.face)));
            let all = ui.data(|data| data.get_temp(open).unwrap_or(false));
            let shown = |rank: usize, path: &ListedPath| all || rank < FEW || highlight.pinned == Some(path.at);
            for (_, path) in face.paths.iter().enumerate().filter(|(rank, path)| shown(*rank, path)) {
                let row = row(ui, &palette, hearing, highlight, path);
                commands.extend(row.clicked().then_some(Command::Pin(path.at)));
                under = row.hovered().then_some(path.at).or(under);
            }
            if face.paths.len() > FEW {
                let words = if all { "Fewer".to_owned() } else { format!("{} more …", face.paths.len() - FEW) };
                let text = RichText::new(words).size(size::SMALL).color(palette.soft_ink);
                let button = Button::new(text).frame(false).min_size(Vec2::ZERO);
                if indented(ui, |ui| ui.add(button)).clicked() {
                    ui.data_mut(|data| data.insert_temp(open, !all));
                }
            } else if face.paths.is_empty() {
                let words = format!("{} ways, each under 0.1 %", face.more);
                indented(ui, |ui| label(ui, words, size::SMALL, palette.soft_ink));
            }
            ui.add_space(7.0);
        }
        if summary.unlisted > 0 {
            let message = format!("and {} more, each under 0.1 %", summary.unlisted);
            label(ui, message, size::SMALL, palette.soft_ink);
        }
        ui.add_space(6.0);
        below(ui);
    });
    under
}

/// Why no path is listed, and what to press.
fn why_empty(hearing: &Hearing) -> &'static str {
    let sources = &hearing.solved.scene.sources;
    if !hearing.heard.paths.is_empty() {
        "No sound gets here in these bands. Press A for all bands."
    } else if sources.is_empty() {
        "Nothing loud is there yet. Press M to draw, then S, and click where it stands."
    } else if sources.iter().all(|source| !source.playing) {
        "All that is loud is silent. Press M to draw, click it, and tick “playing”."
    } else {
        "No sound gets here: nothing leads from where it plays to this place. Press 1, 2 … for other ears."
    }
}

/// Below the name of a face.
fn indented<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        ui.add_space(INDENT + 14.0);
        contents(ui)
    })
    .inner
}

/// A face: the number it has on the plan, its name, its share of the whole as number and bar, its level.
fn heading(ui: &mut Ui, palette: &Palette, hearing: &Hearing, highlight: &Highlight, glow: &Glow, face: &FacePaths) {
    let share = words::percent(face.share);
    let level = level_words(10.0 * face.energy.log10(), hearing.view.bands);
    let wide = ui.available_width() - 6.0;
    let mut job = LayoutJob::simple(face.name.clone(), font(size::TEXT), palette.ink, wide - INDENT - SHARES);
    job.wrap.max_rows = 2;
    let text = ui.painter().layout_job(job);
    let (area, response) = ui.allocate_exact_size(Vec2::new(wide, text.size().y + 24.0), Sense::hover());
    let number = face.number.map_or(String::new(), |number| format!("{number}. "));
    let message = format!("{number}{}, {share}, {level}", face.name);
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, &message));
    if !ui.is_rect_visible(area) {
        return;
    }
    let painter = ui.painter();
    if matches!(highlight.shown, Some(Shown::Surface(under)) if under == face.face) {
        painter.rect_filled(area, 5.0, palette.raised);
    }
    let top = area.top() + 3.0;
    let middle = top + 9.0;
    let place = Pos2::new(area.left() + 14.0, middle);
    match face.number {
        Some(number) => {
            painter.circle_filled(place, 8.5, palette.ink);
            painter.text(place, Align2::CENTER_CENTER, number.to_string(), font(size::SMALL), palette.panel);
        }
        None => {
            painter.circle_filled(place, 2.0, palette.soft_ink);
        }
    }
    painter.galley(Pos2::new(area.left() + INDENT, top), text, palette.ink);
    let foot = area.bottom() - 10.0;
    let right = area.right() - 6.0;
    painter.text(Pos2::new(right, middle), Align2::RIGHT_CENTER, &share, font(size::TEXT + 1.0), palette.ink);
    painter.text(Pos2::new(right, foot), Align2::RIGHT_CENTER, &level, font(size::SMALL), palette.soft_ink);
    let note = face.storeys.clone().unwrap_or_default();
    let mut note = LayoutJob::simple_singleline(note, font(size::SMALL), palette.soft_ink);
    note.wrap.max_width = wide - INDENT - 190.0;
    note.wrap.max_rows = 1;
    let note = painter.layout_job(note);
    painter.galley(Pos2::new(area.left() + INDENT, foot - note.size().y / 2.0), note, palette.soft_ink);
    let bar = Rect::from_x_y_ranges(right - 180.0..=right - 68.0, foot - 3.0..=foot + 3.0);
    share_bar(ui, palette, bar, glow, face);
}

/// One way: its mark, how it goes on from the face, its share. The whole of it is told while the pointer rests there.
fn row(ui: &mut Ui, palette: &Palette, hearing: &Hearing, highlight: &Highlight, path: &ListedPath) -> Response {
    let share = words::percent(path.share);
    let level = level_words(10.0 * path.energy.log10(), hearing.view.bands);
    let wide = ui.available_width() - 6.0;
    let letters = font(size::SMALL + 0.5);
    let left = INDENT + 18.0;
    let mut job = LayoutJob::simple(words::heading(&path.rest), letters.clone(), palette.ink, wide - left - SHARES);
    job.wrap.max_rows = 2;
    let text = ui.painter().layout_job(job);
    let (area, response) = ui.allocate_exact_size(Vec2::new(wide, text.size().y + 5.0), Sense::click());
    let marked = highlight.pinned == Some(path.at);
    let message = format!("{}, {}, {share}, {level}", path.clause, words::kind(path.kind));
    response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, marked, &message));
    if ui.is_rect_visible(area) {
        let painter = ui.painter();
        if response.hovered() || marked {
            painter.rect_filled(area, 4.0, if marked { palette.hovered } else { palette.raised });
        }
        if marked {
            let edge = Rect::from_x_y_ranges(area.left()..=area.left() + 3.0, area.y_range());
            painter.rect_filled(edge, 1.5, palette.listener);
        }
        let line = area.top() + 10.0;
        sample(painter, Pos2::new(area.left() + INDENT + 6.0, line), path.kind, hearing.view.theme);
        painter.galley(Pos2::new(area.left() + left, area.top() + 2.0), text, palette.ink);
        painter.text(Pos2::new(area.right() - 6.0, line), Align2::RIGHT_CENTER, share, letters, palette.soft_ink);
    }
    response.on_hover_cursor(CursorIcon::PointingHand).on_hover_text(message)
}

/// The share as a bar, in the colour its face has in the plan.
fn share_bar(ui: &Ui, palette: &Palette, area: Rect, glow: &Glow, face: &FacePaths) {
    let painter = ui.painter();
    painter.rect_filled(area, 2.5, palette.rule.gamma_multiply(0.6));
    let fill = glow.colour(face.face).map_or(palette.soft_ink, color);
    let wide = (area.width() * face.share as f32).max(2.0);
    painter.rect_filled(Rect::from_min_size(area.min, Vec2::new(wide, area.height())), 2.5, fill);
    if matches!(face.face, Surface::Air | Surface::Building) {
        painter.rect_stroke(area, 2.5, Stroke::new(1.0, palette.rule), bevy_egui::egui::StrokeKind::Inside);
    }
}
