//! How the window looks: the colours of the plan carried on into the panels, one typeface in few sizes.

use bevy_egui::egui::{self, Color32, CornerRadius, FontFamily, FontId, Stroke, TextStyle};

use crate::output::Theme;
use crate::output::palette::Colour;
use crate::solve::Audibility;

/// Width of the side panel, logical pixels.
pub const SIDE: f32 = 384.0;
/// In a window lower than this, texts and charts leave more room for the list, logical pixels.
pub const LOW_WINDOW: f32 = 820.0;
/// Height of the band strip, logical pixels.
pub const STRIP: f32 = 126.0;

/// Letter sizes, logical pixels.
pub mod size {
    pub const LEVEL: f32 = 34.0;
    pub const SENTENCE: f32 = 17.5;
    pub const TEXT: f32 = 14.0;
    /// Numbers in charts, remarks, headings of sections.
    pub const SMALL: f32 = 12.0;
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Palette {
    /// Behind the plan.
    pub sheet: Color32,
    /// Behind panels.
    pub panel: Color32,
    /// Behind what can be clicked.
    pub raised: Color32,
    /// Behind what is under the pointer.
    pub hovered: Color32,
    /// Rules and frames.
    pub rule: Color32,
    /// Text that matters.
    pub ink: Color32,
    pub soft_ink: Color32,
    /// The listener, and whatever is chosen.
    pub listener: Color32,
    /// Something that needs attention.
    pub alert: Color32,
    /// A variant, as long as it is what is changed; always beside its name.
    pub variant: Color32,
    /// Behind what says so.
    pub variant_ground: Color32,
}

impl Palette {
    pub fn of(theme: Theme) -> Self {
        let quiet = theme.quiet();
        let mix = |part: f32| color(quiet.sheet).lerp_to_gamma(color(quiet.wall_edge), part);
        let variant = match theme {
            Theme::Dark => Color32::from_rgb(214, 176, 255),
            Theme::Contrast => Color32::from_rgb(226, 196, 255),
            Theme::Light => Color32::from_rgb(110, 38, 168),
        };
        Self {
            variant,
            variant_ground: mix(0.07).lerp_to_gamma(variant, if theme.is_dark() { 0.16 } else { 0.10 }),
            sheet: color(quiet.sheet),
            panel: mix(0.07),
            raised: mix(0.16),
            hovered: mix(0.26),
            rule: mix(0.30),
            ink: color(quiet.ink),
            soft_ink: color(quiet.soft_ink),
            listener: color(quiet.listener),
            alert: match theme {
                Theme::Dark | Theme::Contrast => Color32::from_rgb(255, 178, 92),
                Theme::Light => Color32::from_rgb(158, 78, 0),
            },
        }
    }

    /// The colour a grade of audibility is written in: the louder, the warmer; always beside its word.
    pub fn audibility(&self, audibility: Audibility) -> Color32 {
        match audibility {
            Audibility::Inaudible => self.soft_ink,
            Audibility::JustAudible => self.ink,
            Audibility::Clear | Audibility::Loud => self.alert,
        }
    }
}

pub fn color(colour: Colour) -> Color32 {
    Color32::from_rgba_unmultiplied(colour.r, colour.g, colour.b, colour.a)
}

/// Ordinary letters of a size.
pub fn font(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

pub fn style(theme: Theme) -> egui::Style {
    let palette = Palette::of(theme);
    let text_styles = [
        (TextStyle::Heading, font(size::SENTENCE)),
        (TextStyle::Body, font(size::TEXT)),
        (TextStyle::Button, font(size::TEXT)),
        (TextStyle::Monospace, FontId::new(size::TEXT, FontFamily::Monospace)),
        (TextStyle::Small, font(size::SMALL)),
    ]
    .into();
    let mut style = egui::Style { text_styles, ..egui::Style::default() };
    style.spacing.item_spacing = egui::vec2(8.0, 6.0);
    style.spacing.button_padding = egui::vec2(10.0, 5.0);
    style.spacing.interact_size.y = 26.0;
    style.interaction.selectable_labels = false;
    // Nothing may keep the window drawing after the pointer has come to rest.
    style.interaction.tooltip_delay = 0.0;
    style.interaction.show_tooltips_only_when_still = false;
    style.animation_time = 0.0;

    let mut visuals = match theme {
        Theme::Dark | Theme::Contrast => egui::Visuals::dark(),
        Theme::Light => egui::Visuals::light(),
    };
    visuals.panel_fill = palette.panel;
    visuals.window_fill = palette.panel;
    visuals.extreme_bg_color = palette.sheet;
    visuals.selection.bg_fill = palette.listener.gamma_multiply(0.28);
    visuals.selection.stroke = Stroke::new(1.0, palette.ink);
    let widgets = &mut visuals.widgets;
    widgets.noninteractive.fg_stroke = Stroke::new(1.0, palette.ink);
    widgets.noninteractive.bg_stroke = Stroke::new(1.0, palette.rule);
    // A button that cannot be pressed lies flat.
    widgets.noninteractive.weak_bg_fill = palette.panel;
    for (widget, fill) in [
        (&mut widgets.inactive, palette.raised),
        (&mut widgets.hovered, palette.hovered),
        (&mut widgets.active, palette.hovered),
        (&mut widgets.open, palette.hovered),
    ] {
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::NONE;
        widget.fg_stroke = Stroke::new(1.0, palette.ink);
        widget.corner_radius = CornerRadius::same(6);
        widget.expansion = 0.0;
    }
    style.visuals = visuals;
    style
}

#[cfg(test)]
mod tests {
    use super::*;

    fn luminance(c: Color32) -> f64 {
        Colour::rgb(c.r(), c.g(), c.b()).luminance()
    }

    /// Contrast at least 4.5 to 1 for text, by the formula of WCAG 2.2, success criterion 1.4.3.
    #[test]
    fn text_stands_out_from_panels_and_what_can_be_clicked() {
        for theme in [Theme::Dark, Theme::Light, Theme::Contrast] {
            let palette = Palette::of(theme);
            let stands_out = |ink: Color32, ground: Color32| {
                let (a, b) = (luminance(ink), luminance(ground));
                let contrast = (a.max(b) + 0.05) / (a.min(b) + 0.05);
                assert!(contrast >= 4.5, "{theme:?}: {ink:?} on {ground:?}: {contrast:.2}");
            };
            for ink in [palette.ink, palette.soft_ink, palette.listener, palette.alert, palette.variant] {
                [palette.sheet, palette.panel, palette.raised].iter().for_each(|ground| stands_out(ink, *ground));
            }
            // What stands in the bar of a variant, and on its name.
            for ink in [palette.ink, palette.soft_ink, palette.alert, palette.variant] {
                stands_out(ink, palette.variant_ground);
            }
            stands_out(palette.sheet, palette.variant);
        }
    }
}
