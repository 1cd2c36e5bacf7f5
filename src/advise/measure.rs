//! Measures: what can be done about a loud room, as data.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::catalogue::{ConstructionKind, Provenance};
use crate::scene::{Cover, Mount, ShellFace};

/// Something that can be done, wherever it fits.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measure {
    /// A word for it.
    pub id: String,
    /// What it is called in a list, in a few words.
    pub short: String,
    /// What it is in full.
    pub name: String,
    /// Where it fits and what it does to the scene.
    pub does: Does,
    /// True when it comes off again and leaves no trace to speak of.
    pub removable: bool,
    /// A caution to show with it, or empty.
    #[serde(default)]
    pub caution: String,
    /// Where the build comes from.
    pub provenance: Provenance,
}

/// Where a measure fits and what it does to the scene.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Does {
    /// Closes the gap round a door or window of the loud room.
    Seal {
        /// Seal id.
        seal: String,
        /// Which openings it fits.
        kinds: Vec<ConstructionKind>,
    },
    /// Puts another door, window or vent in the place of one of the loud room.
    Replace {
        /// Construction id.
        construction: String,
        /// Seal id; as before where not given.
        #[serde(default)]
        seal: Option<String>,
        /// Which openings it fits.
        kinds: Vec<ConstructionKind>,
        /// Construction ids it is made from; any of its kind where empty.
        #[serde(default)]
        instead_of: Vec<String>,
    },
    /// Stands before a window of the loud room, split into as many pieces as one strong person can lift.
    Cover(Cover),
    /// Stands before a wall of the loud room, with doors and windows of its own before those of the wall. Vents behind it are closed.
    Lining {
        /// The face.
        face: ShellFace,
        /// Construction and seal of what stands before a door.
        door: (String, String),
        /// Construction and seal of what stands before a window.
        window: (String, String),
    },
    /// Hangs or spans below the ceiling of the loud room.
    Ceiling(ShellFace),
    /// Lies on the floor of the loud room.
    Deck(ShellFace),
    /// Brings absorption into the loud room.
    Absorb {
        /// Finish id.
        finish: String,
        /// So much of the area of its walls.
        of_walls: f64,
    },
    /// Stands under all of a source that touches the floor.
    Platform(Mount),
    /// Carries a wall of the loud room that stops at the ceiling on through the loft: construction id.
    LoftWall(String),
    /// Plays at other hours: what limits hold then, and for how long of them.
    Hours {
        /// Clock hours it is played in.
        from: f64,
        /// To.
        to: f64,
        /// So many hours of them a day.
        hours: f64,
    },
    /// Plays softer, dB.
    Softer(f64),
    /// Plays in another room that a door leads to.
    Elsewhere,
}

const TEXT: &str = include_str!("../../assets/measures.ron");

static BUILT_IN: LazyLock<Vec<Measure>> = LazyLock::new(|| {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options.from_str(TEXT).unwrap_or_else(|error| panic!("measures.ron: {error}"))
});

/// The measures of the program.
///
/// # Panics
///
/// Never with the file the program carries: a test reads it.
#[must_use]
pub fn built_in() -> &'static [Measure] {
    &BUILT_IN
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::catalogue::Catalogue;

    /// Every word is one of the catalogue, and no two measures are called alike.
    #[test]
    fn measures_name_what_is_there() {
        let catalogue = Catalogue::built_in_ref();
        let has = |id: &str| assert!(catalogue.construction(id).is_ok(), "{id}");
        let sealed = |id: &str| assert!(catalogue.seals.contains_key(id), "{id}");
        let mut ids = BTreeSet::new();
        for measure in built_in() {
            assert!(ids.insert(&measure.id), "{} stands twice", measure.id);
            let source = &measure.provenance.source;
            assert!(source.is_empty() || catalogue.references.contains_key(source), "{source}");
            match &measure.does {
                Does::Seal { seal, .. } => sealed(seal),
                Does::Replace { construction, seal, instead_of, .. } => {
                    has(construction);
                    seal.iter().for_each(|seal| sealed(seal));
                    instead_of.iter().for_each(|id| has(id));
                }
                Does::Cover(cover) => {
                    has(&cover.construction);
                    [&cover.seal, &cover.joint_seal].into_iter().flatten().for_each(|seal| sealed(seal));
                }
                Does::Lining { face, door, window } => {
                    [&face.construction, &door.0, &window.0].into_iter().for_each(|id| has(id));
                    [&door.1, &window.1].into_iter().for_each(|seal| sealed(seal));
                }
                Does::Ceiling(face) | Does::Deck(face) => has(&face.construction),
                Does::Absorb { finish, .. } => assert!(catalogue.finishes.contains_key(finish), "{finish}"),
                Does::LoftWall(construction) => has(construction),
                Does::Platform(mount) => assert!(mount.isolators().is_ok(), "{}", measure.id),
                Does::Hours { from, to, hours } => assert!(from < to && *hours <= to - from),
                Does::Softer(db) => assert!(*db > 0.0),
                Does::Elsewhere => {}
            }
        }
    }
}
