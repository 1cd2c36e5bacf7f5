//! What changes from one build of a house to another: how much of what a listener hears passes each face, before and after.

use std::collections::BTreeMap;

use crate::building::Building;
use crate::solve::{BandChoice, ListenerAnswer, Surface};

use super::leaks::{By, Leaks};
use super::names;

/// A face that passes less than this part of the whole, before and after, is not worth a colour or a line: 30 dB below it.
pub const LEAST_SHARE: f64 = 0.001;

/// What becomes of a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fate {
    /// It passes sound before and after: after minus before, dB.
    Changes(f64),
    /// It passes nothing before, or is not there.
    Appears,
    /// It passes nothing after, or is no longer there.
    Goes,
}

/// One face before and after. At least one of the two energies is above 0.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceChange {
    /// Stable id, as [`names::id`] gives it.
    pub id: String,
    /// Which part of the element it is, as [`names::part`] gives it.
    pub part: &'static str,
    /// The face in the base; none where it has no such face.
    pub base: Option<Surface>,
    /// The face in the other build; none where it has no such face.
    pub other: Option<Surface>,
    /// Energy at the listener that passes it in the base, (20 µPa)².
    pub before: f64,
    /// The same in the other build.
    pub after: f64,
}

impl FaceChange {
    /// What becomes of it.
    #[must_use]
    pub fn fate(&self) -> Fate {
        if self.before <= 0.0 {
            Fate::Appears
        } else if self.after <= 0.0 {
            Fate::Goes
        } else {
            Fate::Changes(10.0 * (self.after / self.before).log10())
        }
    }
}

/// Every face by which a listener hears something, before or after.
#[derive(Debug, Clone, PartialEq)]
pub struct Changes {
    /// Energy at the listener in the base, (20 µPa)².
    pub before: f64,
    /// The same in the other build.
    pub after: f64,
    /// Faces, those whose energy changes most first.
    pub faces: Vec<FaceChange>,
}

impl Changes {
    /// Compares what a listener hears in two buildings, by faces of the same id.
    #[must_use]
    pub fn of(
        base: (&Building, &ListenerAnswer),
        other: (&Building, &ListenerAnswer),
        band: BandChoice,
        by: By,
    ) -> Self {
        let [before, after] = [base, other].map(|(_, heard)| Leaks::of(heard, band, by));
        let mut found: BTreeMap<(String, &'static str), FaceChange> = BTreeMap::new();
        let mut note = |building: &Building, face: Surface, set: &dyn Fn(&mut FaceChange)| {
            let (id, part) = (names::id(building, face), names::part(face));
            let entry = found.entry((id, part)).or_insert_with_key(|(id, part)| FaceChange {
                id: id.clone(),
                part,
                base: None,
                other: None,
                before: 0.0,
                after: 0.0,
            });
            set(entry);
        };
        let every = |building| names::faces(building).chain([Surface::Air, Surface::Building]);
        every(base.0).for_each(|face| note(base.0, face, &|entry| entry.base = Some(face)));
        every(other.0).for_each(|face| note(other.0, face, &|entry| entry.other = Some(face)));
        for (face, share) in &before.by_surface {
            note(base.0, *face, &|entry| entry.before += share * before.total);
        }
        for (face, share) in &after.by_surface {
            note(other.0, *face, &|entry| entry.after += share * after.total);
        }
        let mut faces: Vec<FaceChange> =
            found.into_values().filter(|face| face.before > 0.0 || face.after > 0.0).collect();
        faces.sort_by(|a, b| (b.after - b.before).abs().total_cmp(&(a.after - a.before).abs()));
        Self { before: before.total, after: after.total, faces }
    }

    /// What becomes of a face that matters, before or after; nothing where it never passes a thousandth of the whole.
    #[must_use]
    pub fn fate(&self, face: &FaceChange) -> Option<Fate> {
        let matters = |part: f64, whole: f64| whole > 0.0 && part >= LEAST_SHARE * whole;
        (matters(face.before, self.before) || matters(face.after, self.after)).then(|| face.fate())
    }

    /// The change of a face of the other build.
    #[must_use]
    pub fn of_face(&self, face: Surface) -> Option<&FaceChange> {
        self.faces.iter().find(|change| change.other == Some(face))
    }

    /// The change of the whole, dB; nothing where either is silent.
    #[must_use]
    pub fn total_db(&self) -> Option<f64> {
        (self.before > 0.0 && self.after > 0.0).then(|| 10.0 * (self.after / self.before).log10())
    }
}
