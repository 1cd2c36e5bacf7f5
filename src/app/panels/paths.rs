//! The ways the sound takes, the strongest in the chosen bands first.

use bevy_egui::egui::text::LayoutJob;
use bevy_egui::egui::{
    Align2, CursorIcon, Pos2, Rect, Response, RichText, Sense, Stroke, Ui, Vec2, WidgetInfo, WidgetType,
};

use crate::app::command::Command;
use crate::app::panels::summary::summary;
use crate::app::theme::{Palette, color, font, size};
use crate::app::view::{Hearing, Highlight, level_words};
use crate::app::widgets::{label, scrolling_in, section};
use crate::output::drawing::Shown;
use crate::output::plan::{LISTED, LISTED_SHARE};
use crate::output::{By, Leaks, names, words};
use crate::solve::{PathRecord, Surface};

/// A path as the list ranks it.
struct Ranked<'a> {
    /// Its position in the listener's paths.
    at: usize,
    path: &'a PathRecord,
    energy: f64,
    share: f64,
}

fn ranked<'a>(hearing: &Hearing<'a>) -> Vec<Ranked<'a>> {
    let energy = |path: &PathRecord| hearing.view.bands.energy(&path.energy);
    let total: f64 = hearing.heard.paths.iter().map(energy).sum();
    let paths = hearing.heard.paths.iter().enumerate();
    let mut ranked: Vec<Ranked> = paths
        .map(|(at, path)| {
            let energy = energy(path);
            Ranked { at, path, energy, share: if total > 0.0 { energy / total } else { 0.0 } }
        })
        .filter(|ranked| ranked.energy > 0.0)
        .collect();
    ranked.sort_by(|a, b| b.energy.total_cmp(&a.energy));
    ranked
}

/// The faces that carry a number on the plan, in the order of their numbers.
fn numbered(hearing: &Hearing) -> Vec<Surface> {
    let view = hearing.view;
    let leaks = Leaks::of(hearing.heard, view.bands, view.by);
    let listed = leaks.by_surface.iter().filter(|(_, share)| *share >= LISTED_SHARE).take(LISTED);
    listed.map(|(face, _)| *face).collect()
}

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
            let button = bevy_egui::egui::Button::new(RichText::new(name).size(size::SMALL).color(ink)).fill(fill);
            if ui.add(button).clicked() && !chosen {
                commands.push(Command::LightBy(by));
            }
        }
    });
    let high = high.map(|high| high - (ui.min_rect().bottom() - top) - ui.spacing().item_spacing.y);
    scrolling_in(ui, "paths", high, |ui| {
        let ranked = ranked(hearing);
        if ranked.is_empty() {
            label(ui, why_empty(hearing), size::TEXT, palette.soft_ink);
        }
        ui.spacing_mut().item_spacing.y = 1.0;
        let (listed, rest): (Vec<_>, Vec<_>) = ranked.iter().partition(|ranked| ranked.share >= LISTED_SHARE);
        let numbered = numbered(hearing);
        for (rank, path) in listed.iter().enumerate() {
            let row = row(ui, &palette, hearing, highlight, &numbered, rank + 1, path);
            commands.extend(row.clicked().then_some(Command::Pin(path.at)));
            under = row.hovered().then_some(path.at).or(under);
        }
        if !rest.is_empty() {
            ui.add_space(4.0);
            let message = format!("and {} more, each under 0.1 %", rest.len());
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

/// One path: the number its face has on the plan, way, kind, level, share and its bar.
fn row(
    ui: &mut Ui,
    palette: &Palette,
    hearing: &Hearing,
    highlight: &Highlight,
    numbered: &[Surface],
    rank: usize,
    ranked: &Ranked,
) -> Response {
    let (solved, path) = (hearing.solved, ranked.path);
    let share = words::percent(ranked.share);
    let level = level_words(10.0 * ranked.energy.log10(), hearing.view.bands);
    let summary = summary(ui, hearing);
    let way = words::heading(&words::path_clause(&solved.building, &summary.naming, hearing.heard, path));
    let wide = ui.available_width() - 6.0;
    let (left, right) = (28.0, 62.0);
    let mut job = LayoutJob::simple(way.clone(), font(size::TEXT - 0.5), palette.ink, wide - left - right);
    job.wrap.max_rows = 2;
    let text = ui.painter().layout_job(job);
    let high = text.size().y + 32.0;
    let (area, response) = ui.allocate_exact_size(Vec2::new(wide, high), Sense::click());
    let message = format!("{rank}. {way}, {}, {share}, {level}", words::kind(path.kind));
    response
        .widget_info(|| WidgetInfo::selected(WidgetType::Button, true, highlight.pinned == Some(ranked.at), &message));
    if !ui.is_rect_visible(area) {
        return response;
    }
    let face = match hearing.view.by {
        By::Entry => path.entry,
        By::Exit => path.exit,
    };
    let met = matches!(highlight.shown, Some(Shown::Surface(under)) if under == face);
    let marked = highlight.pinned == Some(ranked.at);
    let painter = ui.painter();
    if response.hovered() || marked || met {
        painter.rect_filled(area, 5.0, if marked { palette.hovered } else { palette.raised });
    }
    if marked {
        let edge = Rect::from_x_y_ranges(area.left()..=area.left() + 3.0, area.top() + 6.0..=area.bottom() - 6.0);
        painter.rect_filled(edge, 1.5, palette.listener);
    }
    let top = area.top() + 6.0;
    let middle = top + 9.0;
    let place = Pos2::new(area.left() + 16.0, middle);
    match numbered.iter().position(|other| *other == face) {
        Some(at) => {
            painter.circle_filled(place, 8.5, palette.ink);
            let number = (at + 1).to_string();
            painter.text(place, Align2::CENTER_CENTER, number, font(size::SMALL), palette.panel);
        }
        None => {
            painter.circle_filled(place, 2.0, palette.soft_ink);
        }
    }
    painter.galley(Pos2::new(area.left() + left, top), text, palette.ink);
    let foot = area.bottom() - 13.0;
    for (text, y, letters, ink) in
        [(&share, middle, size::TEXT + 1.0, palette.ink), (&level, foot, size::SMALL, palette.soft_ink)]
    {
        painter.text(Pos2::new(area.right() - 6.0, y), Align2::RIGHT_CENTER, text, font(letters), ink);
    }
    let storey = names::storeys(&solved.scene, &solved.building, face).map(|name| format!("  ·  {name}"));
    let note = format!("{}{}", words::kind(path.kind), storey.unwrap_or_default());
    let mut note = LayoutJob::simple_singleline(note, font(size::SMALL), palette.soft_ink);
    note.wrap.max_width = wide - left - 138.0;
    note.wrap.max_rows = 1;
    let note = painter.layout_job(note);
    painter.galley(Pos2::new(area.left() + left, foot - note.size().y / 2.0 - 1.0), note, palette.soft_ink);
    let area = Rect::from_x_y_ranges(area.right() - 130.0..=area.right() - 74.0, foot - 2.5..=foot + 2.5);
    bar(ui, hearing, area, face, ranked.share);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// The share as a bar, in the colour its face has in the plan.
fn bar(ui: &Ui, hearing: &Hearing, area: Rect, face: Surface, share: f64) {
    let palette = Palette::of(hearing.view.theme);
    let painter = ui.painter();
    painter.rect_filled(area, 2.5, palette.rule.gamma_multiply(0.6));
    let fill = hearing.view.theme.leak(share).map_or(palette.soft_ink, color);
    let wide = (area.width() * share as f32).max(2.0);
    painter.rect_filled(Rect::from_min_size(area.min, Vec2::new(wide, area.height())), 2.5, fill);
    if matches!(face, Surface::Air | Surface::Building) {
        painter.rect_stroke(area, 2.5, Stroke::new(1.0, palette.rule), bevy_egui::egui::StrokeKind::Inside);
    }
}
