//! Words: ids, and what someone meant who wrote an unknown one.

use std::collections::BTreeSet;

use super::{Check, Spot};
use crate::catalogue::{ConstructionKind, UnknownId};

/// Longest id, in characters.
const LONGEST_ID: usize = 60;
/// A list of at most this many known words is told whole.
const SHORT_LIST: usize = 8;

impl Check<'_> {
    /// An id must be a word, and the first of its kind in `seen`.
    pub(super) fn id(&mut self, spot: &Spot, id: &str, seen: &mut BTreeSet<String>, of: &str) {
        if id.is_empty() {
            self.error(spot, "it has no id", "give it a word, as \"north-wall\"");
        } else if !id.chars().all(|letter| letter.is_alphanumeric() || letter == '-' || letter == '_') {
            // Element ids are made of these words with '/' and ':' between.
            self.error(spot, "its id is not one word", "use letters, digits, '-' and '_' only");
        } else if id.chars().count() > LONGEST_ID {
            self.error(
                spot,
                format!("its id has more than {LONGEST_ID} letters"),
                "shorten it, and let its name say the rest",
            );
        }
        if !seen.insert(id.to_owned()) && !id.is_empty() {
            self.error(spot, format!("another {of} has the same id"), "give each its own word");
        }
    }

    /// A name people read must not be empty.
    pub(super) fn name(&mut self, spot: &Spot, name: &str) {
        if name.trim().is_empty() {
            self.warning(spot, "it has no name", "give it one, since answers call it by that");
        }
    }
}

/// What to do about an unknown word: the nearest known one, or all of them when few, or `otherwise`.
pub(super) fn advice<'a>(word: &str, known: impl Iterator<Item = &'a str>, otherwise: &str) -> String {
    let mut known: Vec<&str> = known.collect();
    known.dedup();
    if let Some(near) = nearest(word, known.iter().copied()) {
        format!("did you mean \"{near}\"?")
    } else if !known.is_empty() && known.len() <= SHORT_LIST {
        let list: Vec<String> = known.iter().map(|word| format!("\"{word}\"")).collect();
        format!("it may be one of {}", list.join(", "))
    } else {
        otherwise.to_owned()
    }
}

/// The known word someone probably meant, as the catalogue finds it. One letter means nothing else than itself.
pub(in crate::scene) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    if word.chars().count() < 2 || word.len() > 4 * LONGEST_ID {
        return None;
    }
    UnknownId::among("word", word, known).near.into_iter().next()
}

/// A kind with its article.
pub(super) const fn kind_in_words(kind: ConstructionKind) -> &'static str {
    match kind {
        ConstructionKind::Wall => "a wall",
        ConstructionKind::Floor => "a floor between storeys",
        ConstructionKind::Ground => "a floor on the ground",
        ConstructionKind::Roof => "a roof or flat ceiling",
        ConstructionKind::Leaf => "a leaf to stand before something else",
        ConstructionKind::Window => "a window",
        ConstructionKind::Door => "a door",
        ConstructionKind::Vent => "a vent",
        ConstructionKind::Open => "an open hole",
    }
}

/// Kinds joined by "or".
pub(super) fn kinds_in_words(kinds: &[ConstructionKind]) -> String {
    let words: Vec<&str> = kinds.iter().map(|kind| kind_in_words(*kind)).collect();
    match words.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn the_nearest_word_is_found() {
        let known = ["brick-102-plastered", "brick-215-plastered", "concrete-180", "worn", "none", "a"];
        for (word, meant) in [
            ("brick-215-plasterd", Some("brick-215-plastered")),
            ("Concrete-180", Some("concrete-180")),
            ("brick-215", Some("brick-215-plastered")),
            ("wron", Some("worn")),
            ("marble", None),
            ("x", None),
            ("", None),
        ] {
            assert_eq!(nearest(word, known.into_iter()).as_deref(), meant, "{word}");
        }
    }
}
