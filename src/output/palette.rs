//! Colours: published perceptual colour maps for leaked energy and its change, and quiet themes round them.

use super::colour_maps::{BERLIN, LAJOLLA, Map, OR_RD, VIK, at};

/// A colour, sRGB with opacity, 0 to 255 each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour {
    /// Red.
    pub r: u8,
    /// Green.
    pub g: u8,
    /// Blue.
    pub b: u8,
    /// Opacity: 255 hides what lies below.
    pub a: u8,
}

impl Colour {
    /// An opaque colour.
    #[must_use]
    pub const fn rgb(r: u8, g: u8, b: u8) -> Self {
        Self { r, g, b, a: 255 }
    }

    /// The same colour, let through: `opacity` 0 to 1.
    pub(crate) fn faded(self, opacity: f64) -> Self {
        Self { a: (255.0 * opacity.clamp(0.0, 1.0)).round() as u8, ..self }
    }

    /// Hexadecimal, without opacity: "#rrggbb".
    pub(crate) fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.r, self.g, self.b)
    }

    /// Relative luminance, 0 to 1. Source: ITU-R BT.709-6, item 3.2, on linear values (IEC 61966-2-1 transfer function).
    #[must_use]
    pub fn luminance(self) -> f64 {
        let linear = |value: u8| {
            let v = f64::from(value) / 255.0;
            if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(self.r) + 0.7152 * linear(self.g) + 0.0722 * linear(self.b)
    }
}

/// The range the leak colours span, dB below the total.
pub const LEAK_RANGE_DB: f64 = 30.0;

/// Dark, so that leaks glow; or light, for print.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Theme {
    /// Leaks glow on a night sheet.
    #[default]
    Dark,
    /// Leaks are ink on paper.
    Light,
    /// As dark, with black ground, white ink and bright edges: for weak eyes and bright rooms.
    Contrast,
}

impl Theme {
    /// The next one, round and round.
    #[must_use]
    pub fn next(self) -> Self {
        match self {
            Self::Dark => Self::Light,
            Self::Light => Self::Contrast,
            Self::Contrast => Self::Dark,
        }
    }

    /// True where light things stand on a dark ground.
    #[must_use]
    pub fn is_dark(self) -> bool {
        self != Self::Light
    }

    /// The colour of a share of the listener's energy (0 to 1); nothing where it is more than 30 dB below the total.
    ///
    /// On dark the strongest is palest, on paper it is the darkest and fullest red. What would drown in the sheet is left out at the lower end of
    /// each map, and on paper the last few entries, which turn from red to black.
    #[must_use]
    pub fn leak(self, share: f64) -> Option<Colour> {
        let below_db = -10.0 * share.log10();
        (share > 0.0 && below_db <= LEAK_RANGE_DB).then(|| self.leak_at(1.0 - below_db.max(0.0) / LEAK_RANGE_DB))
    }

    /// The colour at a position of the legend: 0 for 30 dB below the total, 1 for the total.
    #[must_use]
    pub fn leak_at(self, position: f64) -> Colour {
        let position = position.clamp(0.0, 1.0);
        match self {
            Self::Dark | Self::Contrast => mapped(&LAJOLLA, 0.22 + 0.78 * position),
            Self::Light => mapped(&OR_RD, 0.25 + 0.625 * position),
        }
    }

    /// The colour of a change: −1 for the most that is told apart downwards, 1 upwards. What does not change has no colour.
    ///
    /// As with leaks, the most is palest on dark and darkest on paper; blue is quieter, red louder. The middle of the map, which would
    /// drown in the sheet, and on paper its last few entries, which are all but black, are left out.
    #[must_use]
    pub fn change_at(self, change: f64) -> Colour {
        let amount = change.clamp(-1.0, 1.0).abs();
        let side = if change < 0.0 { -1.0 } else { 1.0 };
        match self {
            Self::Dark | Self::Contrast => mapped(&BERLIN, 0.5 + side * (0.22 + 0.28 * amount)),
            Self::Light => mapped(&VIK, 0.5 + side * (0.14 + 0.28 * amount)),
        }
    }

    /// The colours of everything that is not a leak.
    #[must_use]
    pub fn quiet(self) -> Quiet {
        let [sheet, room, chosen_room, wall, wall_edge, ink, soft_ink, rule, listener, source] = match self {
            Self::Dark => &DARK,
            Self::Contrast => &CONTRAST,
            Self::Light => &LIGHT,
        }
        .map(|[r, g, b]| Colour::rgb(r, g, b));
        Quiet { sheet, room, chosen_room, wall, wall_edge, ink, soft_ink, rule, listener, source }
    }
}

/// The quiet colours of each theme, in the order of [`Quiet`].
#[rustfmt::skip]
const DARK: [[u8; 3]; 10] = [
    [13, 16, 23], [22, 27, 37], [26, 36, 50], [54, 64, 82], [104, 120, 146],
    [232, 236, 244], [158, 170, 190], [58, 68, 86], [122, 205, 242], [243, 246, 252],
];
#[rustfmt::skip]
const CONTRAST: [[u8; 3]; 10] = [
    [0, 0, 0], [0, 0, 0], [0, 26, 48], [72, 80, 96], [236, 240, 248],
    [255, 255, 255], [222, 228, 238], [160, 170, 188], [120, 220, 255], [255, 255, 255],
];
#[rustfmt::skip]
const LIGHT: [[u8; 3]; 10] = [
    [255, 255, 255], [246, 247, 249], [231, 241, 248], [202, 208, 217], [112, 122, 138],
    [24, 30, 40], [88, 98, 114], [204, 210, 219], [0, 106, 158], [24, 30, 40],
];

fn mapped(map: &Map, position: f64) -> Colour {
    let [r, g, b] = at(map, position);
    Colour::rgb(r, g, b)
}

/// The colours of everything that is not a leak: cool, so that the warm leaks stand out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quiet {
    /// The sheet, and the outdoors.
    pub sheet: Colour,
    /// A room.
    pub room: Colour,
    /// The room the chosen listener is in.
    pub chosen_room: Colour,
    /// A wall that passes nothing to speak of.
    pub wall: Colour,
    /// Its edge.
    pub wall_edge: Colour,
    /// Text that matters.
    pub ink: Colour,
    /// Other text, and dimension lines.
    pub soft_ink: Colour,
    /// Rules and frames.
    pub rule: Colour,
    /// Listeners.
    pub listener: Colour,
    /// Sources.
    pub source: Colour,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leaks_brighten_on_dark_and_darken_on_paper() {
        for db in 1..30 {
            let (louder, softer) = (10f64.powf(-f64::from(db - 1) / 10.0), 10f64.powf(-f64::from(db) / 10.0));
            let lum = |theme: Theme, share| theme.leak(share).expect("within 30 dB").luminance();
            assert!(lum(Theme::Dark, louder) > lum(Theme::Dark, softer), "{db}");
            assert!(lum(Theme::Light, louder) < lum(Theme::Light, softer), "{db}");
        }
    }

    #[test]
    fn what_passes_nothing_has_no_leak_colour() {
        assert_eq!(Theme::Dark.leak(0.0), None);
        assert_eq!(Theme::Dark.leak(0.000_99), None);
        assert!(Theme::Dark.leak(0.001_01).is_some());
    }

    /// Contrast at least 4.5 to 1 for text, by the formula of WCAG 2.2, success criterion 1.4.3.
    #[test]
    fn text_stands_out_from_the_sheet_and_the_rooms() {
        for theme in [Theme::Dark, Theme::Light, Theme::Contrast] {
            let quiet = theme.quiet();
            for ink in [quiet.ink, quiet.soft_ink, quiet.listener] {
                for ground in [quiet.sheet, quiet.room, quiet.chosen_room] {
                    let (a, b) = (ink.luminance(), ground.luminance());
                    assert!((a.max(b) + 0.05) / (a.min(b) + 0.05) >= 4.5, "{ink:?} on {ground:?}");
                }
            }
        }
    }
}
