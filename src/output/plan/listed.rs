//! The faces that carry a number, and what the list beside the plan says of them.

use crate::output::changes::{FaceChange, Fate};
use crate::output::glow::{CHANGE_RANGE_DB, change_position, fate_label};
use crate::output::names;
use crate::solve::{BandChoice, Surface};

use super::{Canvas, Colour, LISTED, LISTED_SHARE};

/// A numbered face.
#[derive(Debug, Clone)]
pub(super) struct Listed {
    /// The face in the building that is drawn; none for one that is only in the base of a difference.
    pub(super) face: Option<Surface>,
    /// The face in the base of a difference.
    pub(super) before: Option<Surface>,
    pub(super) name: String,
    /// What it passes: "61 %", "42 dB", "−6 dB".
    pub(super) label: String,
    /// Lines below its name.
    pub(super) notes: Vec<String>,
    /// How long its bar is, 0 to 1.
    pub(super) length: f64,
    pub(super) colour: Option<Colour>,
}

impl Canvas<'_> {
    /// The faces that pass most.
    pub(super) fn loudest(&self) -> Vec<Listed> {
        let faces = self.glow.leaks().by_surface.iter().filter(|(_, share)| *share >= LISTED_SHARE);
        faces
            .filter_map(|(face, share)| {
                let label = self.glow.part_label(*share)?;
                let position = self.glow.position(*face);
                let length = match self.view.scale {
                    super::Scale::Share => *share,
                    super::Scale::Level { .. } => position?,
                };
                Some(Listed {
                    face: Some(*face),
                    before: None,
                    name: self.face_name(*face),
                    label,
                    notes: self.place(*face).into_iter().collect(),
                    length,
                    colour: self.lit(*face),
                })
            })
            .take(LISTED)
            .collect()
    }

    /// The faces that change most.
    pub(super) fn most_changed(&self) -> Vec<Listed> {
        let Some(changes) = self.glow.changes() else { return vec![] };
        let telling = changes.faces.iter().filter_map(|face| {
            let fate = changes.fate(face)?;
            let position = change_position(fate)?;
            let length = match fate {
                Fate::Changes(db) => db.abs() / CHANGE_RANGE_DB,
                Fate::Appears | Fate::Goes => 1.0,
            };
            Some(Listed {
                face: face.other,
                before: face.base,
                name: self.change_name(face),
                label: fate_label(fate),
                notes: self.change_notes(face),
                length,
                colour: Some(self.glow.colour_at(position)),
            })
        });
        telling.take(LISTED).collect()
    }

    fn change_name(&self, change: &FaceChange) -> String {
        match (change.other, change.base, self.base) {
            (Some(face), ..) => self.face_name(face),
            (None, Some(face), Some((building, _))) => names::surface(building, face),
            _ => change.id.clone(),
        }
    }

    /// Its levels before and after, and where it is when this plan does not show it.
    fn change_notes(&self, change: &FaceChange) -> Vec<String> {
        let unit = if self.view.band == BandChoice::AWeighted { "dB(A)" } else { "dB" };
        let level = |energy: f64| format!("{:.0}", 10.0 * energy.log10()).replace('-', "−");
        let levels = match change.fate() {
            Fate::Changes(_) => format!("{}, now {} {unit}", level(change.before), level(change.after)),
            Fate::Appears => format!("{} {unit}, nothing before", level(change.after)),
            Fate::Goes => format!("{} {unit} before, now nothing", level(change.before)),
        };
        let place = match (change.other, change.base, self.base) {
            (Some(face), ..) => self.place(face),
            _ => None,
        };
        std::iter::once(levels).chain(place).collect()
    }

    /// Where a face is that this plan does not show.
    fn place(&self, face: Surface) -> Option<String> {
        (!self.visible(face)).then(|| {
            names::storeys(self.scene, self.building, face)
                .map_or_else(|| "not on this plan".to_owned(), |storeys| format!("not on this plan: {storeys}"))
        })
    }
}
