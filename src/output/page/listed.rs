//! The faces that carry a number, and what the list beside the drawing says of them.

use crate::output::changes::{FaceChange, Fate};
use crate::output::glow::{CHANGE_RANGE_DB, Scale, change_position, fate_label};
use crate::output::names;
use crate::output::page::canvas::{Canvas, Listed, View};
use crate::solve::{BandChoice, Surface};

/// How many faces are numbered and listed.
pub const LISTED: usize = 5;
/// A face with a smaller share is not numbered.
pub const LISTED_SHARE: f64 = 0.001;

impl<V: View> Canvas<'_, V> {
    /// The faces that pass most.
    pub(crate) fn loudest(&self) -> Vec<Listed> {
        let faces = self.glow.leaks().by_surface.iter().filter(|(_, share)| *share >= LISTED_SHARE);
        faces
            .filter_map(|(face, share)| {
                let label = self.glow.part_label(*share)?;
                let position = self.glow.position(*face);
                let length = match self.look.scale {
                    Scale::Share => *share,
                    Scale::Level { .. } => position?,
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
    pub(crate) fn most_changed(&self) -> Vec<Listed> {
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

    /// Its levels before and after, and where it is when this page does not show it.
    fn change_notes(&self, change: &FaceChange) -> Vec<String> {
        let unit = if self.look.band == BandChoice::AWeighted { "dB(A)" } else { "dB" };
        let level = |energy: f64| format!("{:.0}", 10.0 * energy.log10()).replace('-', "−");
        let levels = match change.fate() {
            Fate::Changes(_) => format!("{}, now {} {unit}", level(change.before), level(change.after)),
            Fate::Appears => format!("{} {unit}, nothing before", level(change.after)),
            Fate::Goes => format!("{} {unit} before, now nothing", level(change.before)),
        };
        std::iter::once(levels).chain(change.other.and_then(|face| self.place(face))).collect()
    }

    /// Where a face is that this page does not show.
    fn place(&self, face: Surface) -> Option<String> {
        let storeys = || names::storeys(self.scene, self.building, face).map_or(String::new(), |at| format!(": {at}"));
        (!self.visible(face)).then(|| format!("not on this {}{}", V::NAME, storeys()))
    }
}
