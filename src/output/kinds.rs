//! How the kinds of path are told apart wherever they are drawn: by colour, and by form as well, so that nobody needs the colours.

use crate::solve::PathKind;

use super::drawing::{Point, Stroke};
use super::palette::{Colour, Theme};

/// All kinds, in the order they are stacked and listed.
pub const ALL: [PathKind; 9] = [
    PathKind::Through,
    PathKind::Gap,
    PathKind::Flanking,
    PathKind::StructureBorne,
    PathKind::ByRoom,
    PathKind::ByVoid,
    PathKind::Duct,
    PathKind::ByOutdoors,
    PathKind::Residual,
];

/// The mark of a kind of path: what moves along it, and stands beside its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Symbol {
    /// A disc.
    Round,
    /// A short dash along the way.
    Dash,
    /// A square.
    Square,
    /// An arrow head along the way.
    Chevron,
    /// A ring.
    Ring,
    /// A square on its corner.
    Diamond,
    /// An upright cross.
    Cross,
    /// A triangle.
    Triangle,
    /// A bar across the way.
    Bar,
}

/// How a kind of path looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// Its colour on the theme's sheet.
    pub colour: Colour,
    /// Length of dash and gap, in line widths; a full line without.
    pub dash: Option<[f64; 2]>,
    /// Its mark.
    pub symbol: Symbol,
}

impl Look {
    /// A line of this look.
    #[must_use]
    pub fn stroke(&self, width_m: f64) -> Stroke {
        Stroke { colour: self.colour, width_m, dash_m: self.dash.map(|dash| dash.map(|part| part * width_m)) }
    }
}

/// How a kind of path looks in a theme.
///
/// Colours on dark: the eight of Okabe & Ito, Color Universal Design (2002, jfly.uni-koeln.de/color), with white for their black. On paper
/// three of those are too pale; in their place stand the wine and the indigo of the "muted" scheme and the dark red of the larger schemes of Tol,
/// Colour Schemes, SRON/EPS/TN/09-002. What every building has besides has a blue of our own choice. Both sets are made for colour-vision deficiency.
#[must_use]
pub fn look(kind: PathKind, theme: Theme) -> Look {
    let paper = theme == Theme::Light;
    let on = |dark: [u8; 3], light: [u8; 3]| {
        let [r, g, b] = if paper { light } else { dark };
        Colour::rgb(r, g, b)
    };
    let both = |colour| on(colour, colour);
    let (colour, dash, symbol) = match kind {
        PathKind::Through => (on([230, 159, 0], [136, 34, 85]), None, Symbol::Round),
        PathKind::Gap => (on([240, 228, 66], [102, 17, 0]), Some([1.0, 1.5]), Symbol::Dash),
        PathKind::Flanking => (on([86, 180, 233], [51, 34, 136]), Some([5.0, 2.0]), Symbol::Square),
        PathKind::StructureBorne => (both([213, 94, 0]), Some([2.5, 2.5]), Symbol::Chevron),
        PathKind::ByRoom => (both([0, 158, 115]), Some([10.0, 2.0]), Symbol::Ring),
        PathKind::ByVoid => (both([204, 121, 167]), Some([5.0, 5.0]), Symbol::Diamond),
        PathKind::Duct => (on([255, 255, 255], [0, 0, 0]), Some([10.0, 6.0]), Symbol::Cross),
        PathKind::ByOutdoors => (both([0, 114, 178]), Some([1.0, 4.0]), Symbol::Triangle),
        PathKind::Residual => (on([102, 102, 255], [0, 0, 255]), Some([2.0, 6.0]), Symbol::Bar),
    };
    Look { colour, dash, symbol }
}

/// The outline of a mark of radius 1 about the origin, pointing along x: rings, told apart by the even-odd rule.
#[must_use]
pub fn outline(symbol: Symbol) -> Vec<Vec<Point>> {
    let circle = |radius: f64| -> Vec<Point> {
        (0..24)
            .map(|at| f64::from(at) * std::f64::consts::TAU / 24.0)
            .map(|turn| [radius * turn.cos(), radius * turn.sin()])
            .collect()
    };
    match symbol {
        Symbol::Round => vec![circle(0.9)],
        Symbol::Ring => vec![circle(1.0), circle(0.5)],
        Symbol::Square => vec![vec![[-0.8, -0.8], [0.8, -0.8], [0.8, 0.8], [-0.8, 0.8]]],
        Symbol::Diamond => vec![vec![[-1.0, 0.0], [0.0, -1.0], [1.0, 0.0], [0.0, 1.0]]],
        Symbol::Triangle => vec![vec![[-0.9, -0.8], [0.9, -0.8], [0.0, 0.9]]],
        Symbol::Bar => vec![vec![[-0.3, -1.0], [0.3, -1.0], [0.3, 1.0], [-0.3, 1.0]]],
        Symbol::Dash => vec![vec![[-1.0, -0.3], [1.0, -0.3], [1.0, 0.3], [-1.0, 0.3]]],
        Symbol::Chevron => vec![vec![[-0.9, -0.9], [-0.1, -0.9], [1.0, 0.0], [-0.1, 0.9], [-0.9, 0.9], [0.1, 0.0]]],
        Symbol::Cross => {
            let (far, near) = (1.0, 0.3);
            vec![vec![
                [-far, -near],
                [-near, -near],
                [-near, -far],
                [near, -far],
                [near, -near],
                [far, -near],
                [far, near],
                [near, near],
                [near, far],
                [-near, far],
                [-near, near],
                [-far, near],
            ]]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const THEMES: [Theme; 3] = [Theme::Dark, Theme::Light, Theme::Contrast];

    /// At least 3 to 1 against the sheet, as WCAG 2.2, success criterion 1.4.11, asks of graphical objects.
    #[test]
    fn every_kind_stands_out_from_the_sheet() {
        for theme in THEMES {
            let sheet = theme.quiet().sheet.luminance();
            for kind in ALL {
                let own = look(kind, theme).colour.luminance();
                let contrast = (own.max(sheet) + 0.05) / (own.min(sheet) + 0.05);
                assert!(contrast >= 3.0, "{kind:?} on {theme:?}: {contrast:.2}");
            }
        }
    }

    #[test]
    fn kinds_differ_in_line_and_mark_without_any_colour() {
        for (at, one) in ALL.iter().enumerate() {
            for other in &ALL[at + 1..] {
                let (a, b) = (look(*one, Theme::Dark), look(*other, Theme::Dark));
                assert!(a.dash != b.dash && a.symbol != b.symbol, "{one:?} {other:?}");
            }
        }
    }

    #[test]
    fn marks_keep_within_their_circle() {
        for kind in ALL {
            for point in outline(look(kind, Theme::Dark).symbol).concat() {
                assert!(point[0].hypot(point[1]) < 1.3, "{kind:?}: {point:?}");
            }
        }
    }
}
