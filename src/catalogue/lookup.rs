//! Finding an entry by its id, and saying which one was probably meant when there is none.

use std::collections::BTreeMap;
use std::fmt;

use super::construction::Construction;
use super::contents::Catalogue;
use super::material::Material;

/// Ids offered when one is unknown.
const MOST_OFFERED: usize = 3;

/// An id that names nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownId {
    /// What was looked for: "construction", "finish" …
    pub what: &'static str,
    /// The id as it was given.
    pub id: String,
    /// Ids that look like it, the nearest first; may be empty.
    pub near: Vec<String>,
}

impl fmt::Display for UnknownId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "there is no {} \"{}\"", self.what, self.id)?;
        for (at, near) in self.near.iter().enumerate() {
            match at {
                0 => write!(f, "; did you mean \"{near}\"")?,
                last if last + 1 == self.near.len() => write!(f, " or \"{near}\"")?,
                _ => write!(f, ", \"{near}\"")?,
            }
        }
        if self.near.is_empty() { Ok(()) } else { f.write_str("?") }
    }
}

impl std::error::Error for UnknownId {}

impl UnknownId {
    /// The refusal of `id`, with those of `known` that look like it.
    ///
    /// ```
    /// # use leaklight::catalogue::UnknownId;
    /// let error = UnknownId::among("seal", "brsh", ["none", "worn", "brush"]);
    /// assert_eq!(error.to_string(), "there is no seal \"brsh\"; did you mean \"brush\"?");
    /// ```
    #[must_use]
    pub fn among<'a>(what: &'static str, id: &str, known: impl IntoIterator<Item = &'a str>) -> Self {
        Self { what, id: id.to_owned(), near: nearest(id, known) }
    }
}

/// Ids that start with `id`, or are a few letters away from it; the nearest first.
fn nearest<'a>(id: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let most = (id.chars().count() / 3).clamp(1, 4);
    let mut near: Vec<(usize, &str)> = known
        .into_iter()
        .filter_map(|candidate| {
            let distance = strsim::damerau_levenshtein(id, candidate);
            let begins = id.len() >= 3 && candidate.starts_with(id);
            (distance <= most || begins).then_some((distance, candidate))
        })
        .collect();
    near.sort_unstable();
    near.into_iter().take(MOST_OFFERED).map(|(_, candidate)| candidate.to_owned()).collect()
}

/// The entry, or which one was probably meant.
pub(super) fn find<'a, T>(what: &'static str, entries: &'a BTreeMap<String, T>, id: &str) -> Result<&'a T, UnknownId> {
    entries.get(id).ok_or_else(|| UnknownId::among(what, id, entries.keys().map(String::as_str)))
}

impl Catalogue {
    /// The material of that id.
    ///
    /// # Errors
    ///
    /// When there is none; says which look like it.
    pub fn material(&self, id: &str) -> Result<&Material, UnknownId> {
        find("material", &self.materials, id)
    }

    /// The construction of that id.
    ///
    /// # Errors
    ///
    /// When there is none; says which look like it.
    ///
    /// ```
    /// # use leaklight::catalogue::Catalogue;
    /// let error = Catalogue::built_in_ref().construction("brick-215-plasterd").unwrap_err();
    /// assert!(error.to_string().contains("did you mean \"brick-215-plastered\""));
    /// ```
    pub fn construction(&self, id: &str) -> Result<&Construction, UnknownId> {
        find("construction", &self.constructions, id)
    }

    /// What a scene means by a construction's id: one of its own, else that of the catalogue.
    #[must_use]
    pub fn resolve<'a>(&'a self, own: &'a [Construction], id: &str) -> Option<&'a Construction> {
        own.iter().find(|own| own.id == id).or_else(|| self.constructions.get(id))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_finger_are_recognised() {
        let known = ["brush", "worn", "compression-single", "compression-double"];
        assert_eq!(nearest("compresion-single", known), ["compression-single"]);
        assert_eq!(nearest("wron", known), ["worn"]);
        assert_eq!(nearest("compression", known), ["compression-double", "compression-single"]);
    }

    #[test]
    fn nothing_is_offered_for_a_word_far_from_all() {
        let error = UnknownId::among("seal", "velvet-rope", ["brush", "worn"]);
        assert_eq!(error.to_string(), "there is no seal \"velvet-rope\"");
    }

    #[test]
    fn several_are_offered_as_a_choice() {
        let error = UnknownId::among("seal", "compression", ["compression-single", "compression-double"]);
        let text = error.to_string();
        assert!(text.ends_with("did you mean \"compression-double\" or \"compression-single\"?"), "{text}");
    }
}
