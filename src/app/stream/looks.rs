//! How motes and lines of each kind of path look.

use crate::output::palette::Colour;
use crate::solve::PathKind;

/// The form of a mote.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MoteForm {
    Round,
    Square,
    Streak,
    Ring,
    Diamond,
    Triangle,
    Cross,
    Bar,
}

/// How a kind looks.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    pub colour: Colour,
    pub form: MoteForm,
    /// Dash and gap, in line widths; nothing for a full line.
    pub dash: Option<[f32; 2]>,
}

pub(super) fn look(kind: PathKind, _dark: bool) -> Look {
    let (rgb, form, dash) = match kind {
        PathKind::Through => ((240, 228, 66), MoteForm::Round, None),
        PathKind::Flanking => ((0, 158, 115), MoteForm::Square, Some([6.0, 3.0])),
        PathKind::Gap => ((255, 255, 255), MoteForm::Streak, Some([1.5, 2.0])),
        PathKind::ByRoom => ((86, 180, 233), MoteForm::Ring, Some([10.0, 4.0])),
        PathKind::ByVoid => ((0, 114, 178), MoteForm::Diamond, Some([10.0, 3.0])),
        PathKind::Duct => ((204, 121, 167), MoteForm::Bar, Some([3.0, 3.0])),
        PathKind::ByOutdoors => ((230, 159, 0), MoteForm::Triangle, Some([4.0, 4.0])),
        PathKind::StructureBorne => ((213, 94, 0), MoteForm::Cross, Some([2.0, 4.0])),
    };
    Look { colour: Colour::rgb(rgb.0, rgb.1, rgb.2), form, dash }
}
