//! The terms of the trade in plain words: where the pointer rests on one in the window, and as a page. One text for both.

use std::fmt::Write as _;
use std::ops::Range;
use std::sync::LazyLock;

use serde::Deserialize;

use super::lesson::source;
use crate::catalogue::{Catalogue, CatalogueFault, Provenance};
use crate::scene::file;

const TEXT: &str = include_str!("../../assets/glossary.ron");

/// A term and its explanation.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// As it is written.
    pub term: String,
    /// How else it stands in sentences; without, as the term.
    #[serde(default)]
    written: Vec<String>,
    /// What it is: a line.
    pub what: String,
    /// What it tells somebody who plays: a line.
    pub tells: String,
    /// Where what it is is laid down.
    source: Provenance,
}

impl Term {
    /// Where what it is is laid down: standard and clause.
    #[must_use]
    pub fn source(&self) -> String {
        let source = source(&self.source, Catalogue::built_in_ref());
        // Without a place the mark alone is left.
        match source.trim().strip_prefix('(') {
            Some(mark) => mark.replace(").", "."),
            None => source,
        }
    }
}

/// All terms, in the order of the page.
#[must_use]
pub fn terms() -> &'static [Term] {
    static TERMS: LazyLock<Vec<Term>> = LazyLock::new(|| {
        file::options()
            .from_str(TEXT)
            .unwrap_or_else(|error| panic!("{}", CatalogueFault::unreadable("glossary.ron", TEXT, &error)))
    });
    &TERMS
}

/// Where terms stand in a text, in its order; each as a whole word.
#[must_use]
pub fn marks(text: &str) -> Vec<(Range<usize>, &'static Term)> {
    let lower = text.to_ascii_lowercase();
    let mut found: Vec<(Range<usize>, &Term)> = vec![];
    for term in terms() {
        for written in term.written.iter().chain(std::iter::once(&term.term)) {
            // Words may begin a sentence; abbreviations are written in one way.
            let is_word = written.chars().all(|letter| letter.is_ascii_lowercase());
            let within = if is_word { &lower } else { text };
            found.extend(within.match_indices(written.as_str()).map(|(at, _)| (at..at + written.len(), term)));
        }
    }
    let alone = |range: &Range<usize>| {
        let joins = |letter: char| letter.is_alphanumeric();
        !text[..range.start].ends_with(joins) && !text[range.end..].starts_with(joins)
    };
    found.retain(|(range, _)| alone(range));
    // Of what stands in the same place the longest is meant.
    found.sort_by_key(|(range, _)| (range.start, std::cmp::Reverse(range.end)));
    let mut end = 0;
    found.retain(|(range, _)| {
        let is_free = range.start >= end;
        end = if is_free { range.end } else { end };
        is_free
    });
    found
}

/// The page of all terms, as Markdown.
#[must_use]
pub fn page() -> String {
    let mut out = "# Glossary\n\nBack to [README.md](../README.md).\n\nThe terms of the trade, in plain words: first what it is, then what it tells somebody who plays. The window shows the same
where the pointer rests on an underlined term. The source is that of the first line; the second is common practice, no source.\n"
        .to_owned();
    for term in terms() {
        let _ = write!(out, "\n**{}**  \n{}  \n{}  \n*{}*\n", term.term, term.what, term.tells, term.source());
    }
    out
}
