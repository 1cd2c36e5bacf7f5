//! What lies under the pointer, in words, and the outline that marks it.

use bevy_egui::egui::{Color32, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2};

use crate::app::theme::{Palette, font, size};
use crate::app::view::{at_bands, level_db, level_words};
use crate::app::viewer::canvas_view::CanvasView;
use crate::app::viewer::frame::Frame;
use crate::building::SpaceKind;
use crate::catalogue::Catalogue;
use crate::output::drawing::{Drawing, Form, Part, Shown};
use crate::output::length::{area, volume};
use crate::output::names::Naming;
use crate::output::{Glow, Leaks, words};
use crate::scene::Scene;
use crate::solve::Surface;
use crate::solve::removal::audibility;

/// What a thing of the plan is: a heading and lines below it.
pub fn about(view: &CanvasView, shown: Shown) -> Option<(String, Vec<String>)> {
    let solved = view.solved?;
    let (building, bands) = (&solved.building, view.view.bands);
    let heard = view.view.heard(solved)?;
    let in_bands = at_bands(bands);
    match shown {
        Shown::Surface(face) => {
            let passes = |leaks: &Leaks| {
                let share = leaks.share(face);
                if share > 0.0 {
                    let level = level_words(10.0 * (share * leaks.total).log10(), bands);
                    format!("{} of what is heard{in_bands}: {level}", words::percent(share))
                } else {
                    format!("passes none of it{in_bands}")
                }
            };
            let mut lines: Vec<String> = view.drawn.glow.as_ref().map(Glow::leaks).map(passes).into_iter().collect();
            lines.extend(made_of(&solved.scene, building, face));
            let name = Naming::of(building, heard).plain(building, face);
            Some((words::heading(&name), lines))
        }
        Shown::Space(at) => {
            let space = building.spaces.get(at.0)?;
            let mut lines = vec![];
            if let SpaceKind::Room(room) = &space.kind {
                let units = view.view.units;
                lines.push(format!("{}, {}", area(room.area_m2, units), volume(room.volume_m3, units)));
                let energy = bands.energy(&solved.answer.spaces.get(at.0)?.energy);
                if energy > 0.0 {
                    lines.push(format!("mean level in it{in_bands} {}", level_words(10.0 * energy.log10(), bands)));
                }
            }
            Some((words::heading(&space.name), lines))
        }
        Shown::Source(at) => {
            let placed = building.sources.get(at)?;
            let source = solved.scene.sources.iter().find(|source| source.id == placed.source)?;
            let state = if source.playing { "plays" } else { "is silent" };
            Some((words::heading(&source.name), vec![state.to_owned()]))
        }
        Shown::Listener(at) => {
            let other = solved.answer.listeners.get(at)?;
            let level = level_words(level_db(other, bands), bands);
            let hears = |_| format!("{level}{in_bands}, {}", words::audibility_word(audibility(other, bands)));
            let mut lines: Vec<String> = view.drawn.glow.as_ref().map(hears).into_iter().collect();
            if other.listener != heard.listener {
                lines.push("Click to listen here".to_owned());
            }
            Some((words::heading(&other.name), lines))
        }
    }
}

fn made_of(scene: &Scene, building: &crate::building::Building, face: Surface) -> Option<String> {
    let element = building.elements.get(face.element()?.0)?;
    let id = match face {
        Surface::Element(_) => &element.construction,
        Surface::Opening(_, at) => &element.openings.get(at)?.construction,
        Surface::Gap(..) | Surface::Duct(_) | Surface::Air | Surface::Building => return None,
    };
    let construction = Catalogue::built_in_ref().resolve(&scene.constructions, id)?;
    Some(words::heading(&construction.name))
}

/// A box with words beside the pointer, kept inside the canvas.
pub fn paint_box(painter: &Painter, palette: &Palette, canvas: Rect, pointer: Pos2, text: &(String, Vec<String>)) {
    let widest = 300.0;
    let mut rows = vec![painter.layout(text.0.clone(), font(size::TEXT + 1.0), palette.ink, widest)];
    rows.extend(
        text.1.iter().map(|line| painter.layout(line.clone(), font(size::SMALL + 0.5), palette.soft_ink, widest)),
    );
    let wide = rows.iter().map(|row| row.size().x).fold(0.0, f32::max);
    let high: f32 = rows.iter().map(|row| row.size().y + 2.0).sum();
    let room = Vec2::new(wide + 22.0, high + 14.0);
    let mut corner = pointer + Vec2::new(16.0, 14.0);
    if corner.x + room.x > canvas.right() - 6.0 {
        corner.x = pointer.x - 12.0 - room.x;
    }
    if corner.y + room.y > canvas.bottom() - 6.0 {
        corner.y = pointer.y - 10.0 - room.y;
    }
    corner = corner.max(canvas.min + Vec2::splat(4.0));
    let area = Rect::from_min_size(corner, room);
    painter.rect(area, 7.0, palette.raised, Stroke::new(1.0, palette.rule), StrokeKind::Inside);
    let mut at = corner + Vec2::new(11.0, 7.0);
    for row in rows {
        let step = row.size().y + 2.0;
        painter.galley(at, row, palette.ink);
        at.y += step;
    }
}

/// Outlines every shape that stands for something.
pub fn outline(painter: &Painter, frame: &Frame, drawing: &Drawing, marked: Shown, colour: Color32, width: f32) {
    let stroke = Stroke::new(width, colour);
    for shape in drawing.shapes.iter().filter(|shape| shape.part != Part::Page && shape.shows == Some(marked)) {
        match &shape.form {
            Form::Polygon { rings, .. } => {
                for ring in rings {
                    let mut places: Vec<Pos2> = ring.iter().map(|point| frame.screen_from_plan(*point)).collect();
                    places.extend(places.first().copied());
                    painter.line(places, stroke);
                }
            }
            Form::Line { points, stroke: own } => {
                let places = points.iter().map(|point| frame.screen_from_plan(*point)).collect();
                let width = width + (own.width_m * frame.px_per_m) as f32;
                painter.line(places, Stroke::new(width, colour.gamma_multiply(0.6)));
            }
            Form::Circle { centre, radius_m, .. } => {
                let radius = (radius_m * frame.px_per_m) as f32 + 2.0;
                painter.circle_stroke(frame.screen_from_plan(*centre), radius, stroke);
            }
            Form::Text { .. } => {}
        }
    }
}
