//! Words: ids, and what someone meant who wrote an unknown one.

use std::collections::BTreeSet;

use super::{Check, Spot};
use crate::catalogue::ConstructionKind;

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
                "shorten it and use `name` for the rest",
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

/// The known word someone probably meant: few letters changed, or the one a shortened word begins or stands in. Case does not matter.
pub(in crate::scene) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let wanted: Vec<char> = word.to_lowercase().chars().take(2 * LONGEST_ID).collect();
    if wanted.is_empty() {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    // Never all letters: "x" does not mean "a".
    let allowed = (wanted.len() / 3).clamp(1, 4).min(wanted.len() - 1);
    for candidate in known {
        let letters: Vec<char> = candidate.to_lowercase().chars().collect();
        let mut cost = changes(&wanted, &letters);
        if cost > allowed {
            let (short, long) = if wanted.len() < letters.len() { (&wanted, &letters) } else { (&letters, &wanted) };
            let within = short.len() >= 3 && long.windows(short.len()).any(|part| part == short.as_slice());
            if !within {
                continue;
            }
            // Any near spelling beats a mere part.
            cost = allowed + long.len() - short.len();
        }
        if best.is_none_or(|(least, _)| cost < least) {
            best = Some((cost, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Letters to insert, remove, replace or swap with their neighbour to get from one word to the other
/// (optimal string alignment: Damerau 1964, in the table form of Wagner and Fischer 1974).
fn changes(from: &[char], to: &[char]) -> usize {
    let width = to.len() + 1;
    let mut before_last = vec![0; width];
    let mut last: Vec<usize> = (0..width).collect();
    for (row, letter) in from.iter().enumerate() {
        let mut now = vec![row + 1; width];
        for (column, other) in to.iter().enumerate() {
            let replaced = last[column] + usize::from(letter != other);
            let mut least = replaced.min(last[column + 1] + 1).min(now[column] + 1);
            if row > 0 && column > 0 && *letter == to[column - 1] && from[row - 1] == *other {
                least = least.min(before_last[column - 1] + 1);
            }
            now[column + 1] = least;
        }
        before_last = std::mem::replace(&mut last, now);
    }
    last[to.len()]
}

/// A kind with its article.
pub(super) const fn kind_in_words(kind: ConstructionKind) -> &'static str {
    match kind {
        ConstructionKind::Wall => "a wall",
        ConstructionKind::Floor => "a floor between storeys",
        ConstructionKind::Ground => "a floor on the ground",
        ConstructionKind::Roof => "a roof or flat ceiling",
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
    use super::{changes, nearest};

    fn letters(word: &str) -> Vec<char> {
        word.chars().collect()
    }

    #[test]
    fn changes_counts_letters_and_swapped_neighbours() {
        for (from, to, count) in
            [("", "", 0), ("", "abc", 3), ("wall", "wall", 0), ("wlal", "wall", 1), ("kitten", "sitting", 3)]
        {
            assert_eq!(changes(&letters(from), &letters(to)), count, "{from} {to}");
        }
    }

    #[test]
    fn the_nearest_word_is_found() {
        let known = ["brick-102-plastered", "brick-215-plastered", "concrete-180", "worn", "none"];
        for (word, meant) in [
            ("brick-215-plasterd", Some("brick-215-plastered")),
            ("Concrete-180", Some("concrete-180")),
            ("brick-215", Some("brick-215-plastered")),
            ("wron", Some("worn")),
            ("marble", None),
            ("", None),
        ] {
            assert_eq!(nearest(word, known.into_iter()), meant, "{word}");
        }
    }
}
