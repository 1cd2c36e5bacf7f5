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
/// A rim lighter than this (relative luminance) is left out: where the soft edges of light letters lie on each other the screen mixes them to a
/// grey that smears the dark ones they belong to. On light grounds nothing shines that letters would have to be kept from.
const DARK_RIM: f64 = 0.2;
/// Half the height of capitals, in letter sizes. Source: `OS/2` table of Ubuntu Light, sCapHeight 693 of 1000.
const HALF_CAPITAL: f32 = 0.3465;

/// Paints the letters. There is but one weight of the typeface, and letters stand on whole pixels: struck twice, a little apart, some names would come
/// out heavier than others and some smeared. What matters more has the stronger ink.
pub fn paint_letters(painter: &Painter, frame: &Frame, drawing: &Drawing) {
    for shape in drawing.shapes.iter().filter(|shape| shape.part != Part::Page) {
        let Form::Text { at, text, style } = &shape.form else { continue };
        let Lettering { size_m, anchor, rotation_deg, colour, strong: _, halo } = style;
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
        if let Some(halo) = halo.filter(|halo| halo.luminance() < DARK_RIM) {
            let reach = (0.09 * size).clamp(0.8, 3.0);
            for step in 0..8 {
                let turn = std::f32::consts::TAU * step as f32 / 8.0;
                put(reach * Vec2::angled(turn), color(halo));
            }
        }
        put(Vec2::ZERO, ink);
    }
}

#[cfg(test)]
mod tests {
    use bevy_egui::egui::{Context, RawInput, Shape};

    use super::*;
    use crate::output::Theme;
    use crate::output::drawing::Shape as Drawn;

    /// The inks of all letters painted for a name that is strong and has a rim.
    fn inks(theme: Theme) -> Vec<Color32> {
        let quiet = theme.quiet();
        let style = Lettering { halo: Some(quiet.room), strong: true, ..Lettering::new(1.0, quiet.ink) };
        let form = Form::Text { at: [2.0, 2.0], text: "Bedroom".to_owned(), style };
        let shapes = vec![Drawn { form, part: Part::Plan, shows: None }];
        let drawing = Drawing { min: [0.0; 2], max: [9.0; 2], background: quiet.sheet, title: String::new(), shapes };
        let frame = Frame { px_per_m: 12.0, ..Frame::default() };
        let context = Context::default();
        let mut output = context.run_ui(RawInput::default(), |ui| {
            let frame = Frame { rect: ui.max_rect(), ..frame };
            paint_letters(ui.painter(), &frame, &drawing);
        });
        // Nothing is shown: there is no atlas to keep.
        output.textures_delta.clear();
        let texts = output.shapes.into_iter().filter_map(|clipped| match clipped.shape {
            Shape::Text(text) => text.override_text_color,
            _ => None,
        });
        texts.collect()
    }

    /// A name is struck once in its ink; on light grounds nothing else is.
    #[test]
    fn a_name_is_painted_once() {
        for theme in [Theme::Dark, Theme::Light, Theme::Contrast] {
            let (inks, ink) = (inks(theme), color(theme.quiet().ink));
            assert_eq!(inks.iter().filter(|other| **other == ink).count(), 1, "{theme:?}");
            assert_eq!(inks.last(), Some(&ink), "{theme:?}: nothing lies on it");
            assert!(theme.is_dark() || inks.len() == 1, "{theme:?}");
        }
    }
}
