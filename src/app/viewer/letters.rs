//! The letters of the plan: as sharp at every scale as those of the panels.

use bevy_egui::egui::emath::Rot2;
use bevy_egui::egui::epaint::TextShape;
use bevy_egui::egui::{Color32, Painter, Vec2};

use crate::app::theme::{color, font};
use crate::app::viewer::frame::Frame;
use crate::output::drawing::{Anchor, Drawing, Form, Lettering, Part};

/// Smaller letters are left out, pixels.
const LEAST: f64 = 6.5;
/// Larger ones grow no further, pixels: the plan is then looked at from very near.
const MOST: f64 = 96.0;
/// Half the height of capitals, in letter sizes. Source: `OS/2` table of Ubuntu Light, sCapHeight 693 of 1000.
const HALF_CAPITAL: f32 = 0.3465;

pub fn paint_letters(painter: &Painter, frame: &Frame, drawing: &Drawing) {
    for shape in drawing.shapes.iter().filter(|shape| shape.part != Part::Page) {
        let Form::Text { at, text, style } = &shape.form else { continue };
        let Lettering { size_m, anchor, rotation_deg, colour, strong, halo } = style;
        let size = size_m * frame.px_per_m;
        let place = frame.screen_from_plan(*at);
        if size < LEAST || !frame.rect.expand(400.0).contains(place) {
            continue;
        }
        // In steps, so that zooming does not fill the atlas with letters of every size.
        let size = (2.0 * size.min(MOST)).round() as f32 / 2.0;
        let ink = color(*colour);
        let galley = painter.layout_no_wrap(text.clone(), font(size), ink);
        let baseline = galley
            .rows
            .first()
            .map_or(0.8 * size, |row| row.pos.y + row.row.glyphs.first().map_or(0.8 * size, |glyph| glyph.pos.y));
        let back = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => galley.size().x / 2.0,
            Anchor::End => galley.size().x,
        };
        let angle = -rotation_deg.to_radians() as f32;
        let corner = place + Rot2::from_angle(angle) * Vec2::new(-back, HALF_CAPITAL * size - baseline);
        let put = |by: Vec2, ink: Color32| {
            let mut letters = TextShape::new(corner + by, galley.clone(), ink);
            letters.override_text_color = Some(ink);
            letters.angle = angle;
            painter.add(letters);
        };
        if let Some(halo) = halo {
            let reach = (0.09 * size).clamp(0.8, 3.0);
            for step in 0..8 {
                let turn = std::f32::consts::TAU * step as f32 / 8.0;
                put(reach * Vec2::angled(turn), color(*halo));
            }
        }
        put(Vec2::ZERO, ink);
        if *strong {
            // There is but one weight of the typeface: struck twice it reads as a heavier one.
            put(Rot2::from_angle(angle) * Vec2::new((0.032 * size).clamp(0.3, 1.5), 0.0), ink);
        }
    }
}
