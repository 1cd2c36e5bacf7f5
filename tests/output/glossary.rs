//! Terms of the trade: all are explained, in two lines, and the page says what the window says.

use std::path::Path;

use leaklight::output::glossary::{Term, marks, page, terms};

/// The terms the window shows.
const SHOWN: [&str; 20] = [
    "dB(A)",
    "dB(C)",
    "LAeq",
    "LAFmax",
    "Rw",
    "C, Ctr",
    "STC",
    "R'w",
    "DnT,w",
    "Dn,e,w",
    "NR",
    "f0",
    "mode",
    "junction",
    "Kij",
    "undercut",
    "reveal",
    "MN/m³",
    "octave",
    "threshold",
];

/// A line of an explanation at most, characters: it fits the window's tooltip or runs over by a few words.
const LINE: usize = 120;

fn named(text: &str) -> Vec<&'static str> {
    marks(text).into_iter().map(|(_, term)| term.term.as_str()).collect()
}

#[test]
fn every_term_is_explained_in_two_lines_with_its_source() {
    let all: Vec<&str> = terms().iter().map(|term| term.term.as_str()).collect();
    assert!(SHOWN.iter().all(|shown| all.iter().filter(|term| *term == shown).count() == 1), "{all:?}");
    for Term { term, what, tells, .. } in terms() {
        for line in [what, tells] {
            assert!(line.ends_with('.') && line.chars().count() <= LINE, "{term}: {line}");
        }
    }
    // Where a standard lays it down, its number is said; the rest says that there is none.
    for term in terms() {
        let source = term.source();
        let is_said = source.chars().any(|letter| letter.is_ascii_digit()) || source.contains("no source");
        assert!(is_said && source.ends_with('.'), "{}: {source}", term.term);
    }
}

#[test]
fn terms_are_found_as_whole_words_only() {
    assert_eq!(named("Rw 44 dB, 23 kg/m²"), ["Rw"]);
    assert_eq!(named("R'w between the two rooms 51 dB, by all paths"), ["R'w"]);
    assert_eq!(named("Rw (C; Ctr) = 45 (−1; −5) dB"), ["Rw", "C, Ctr"]);
    assert_eq!(named("Undercut"), ["undercut"]);
    assert_eq!(named("DnT,w 33 dB, 54 dB(A), LAFmax 70 dB; NR 25"), ["DnT,w", "dB(A)", "LAFmax", "NR"]);
    assert_eq!(named("9 MN/m³ at 30 mm, two junctions"), ["MN/m³", "junction"]);
    assert_eq!(named("a modest INRF, DnT, Crw, modern, outdB(A)"), [""; 0]);
    let [(range, _)] = &marks("É 40 dB(A)")[..] else { panic!("one term") };
    assert_eq!(&"É 40 dB(A)"[range.clone()], "dB(A)");
}

/// `LEAKLIGHT_GOLDEN=write` writes the page anew.
#[test]
fn the_page_has_the_same_text() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/glossary.md");
    if std::env::var_os("LEAKLIGHT_GOLDEN").is_some_and(|value| value == "write") {
        std::fs::write(&path, page()).unwrap();
    }
    let written = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(written == page(), "docs/glossary.md: LEAKLIGHT_GOLDEN=write writes it anew");
    assert!(terms().iter().all(|term| written.contains(&term.what) && written.contains(&term.tells)));
}
