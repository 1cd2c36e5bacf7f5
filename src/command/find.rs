//! `leaklight find`: the entries of the catalogue that have some words, as the window's choosers find them.

use std::collections::BTreeSet;

use clap::Args;
use serde_json::{Value, json};

use super::{Failure, input, print, print_json};
use crate::catalogue::limits::short;
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::output::json;
use crate::output::rated::{Rating, rate};
use crate::output::shelf::{Entry, Shelf};
use crate::output::text::{Column, paragraph, table};
use crate::scene::validate::limits::Allowed;

/// Columns of a caution.
const COLUMNS: usize = 96;

/// Find constructions, materials, finishes, seals, sounds and limits of the catalogue by words
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight find brick 215
  leaklight find night limit
  leaklight find door solid --json

An entry is found when each word is in its name, its id or what it is made of, or says what kind it is: walls, floors, ground,
roofs, boards, windows, doors, vents, holes, materials, finishes, seals, sounds, feet and pedals, limits.")]
pub(super) struct Find {
    /// Words, or their beginnings
    #[arg(value_name = "WORD", required = true)]
    words: Vec<String>,
    /// As JSON
    #[arg(long)]
    json: bool,
}

/// Entries of one kind.
struct Kind {
    heading: &'static str,
    /// As JSON says it.
    key: &'static str,
    shelf: Shelf,
}

const fn built(heading: &'static str, key: &'static str, kinds: &'static [ConstructionKind]) -> Kind {
    Kind { heading, key, shelf: Shelf::Constructions(Allowed::of(kinds)) }
}

const fn other(heading: &'static str, key: &'static str, shelf: Shelf) -> Kind {
    Kind { heading, key, shelf }
}

const KINDS: [Kind; 17] = [
    built("Walls", "wall", &[ConstructionKind::Wall]),
    built("Floors", "floor", &[ConstructionKind::Floor]),
    built("Ground", "ground", &[ConstructionKind::Ground]),
    built("Roofs", "roof", &[ConstructionKind::Roof]),
    built("Boards", "leaf", &[ConstructionKind::Leaf]),
    built("Windows", "window", &[ConstructionKind::Window]),
    built("Doors", "door", &[ConstructionKind::Door]),
    built("Vents", "vent", &[ConstructionKind::Vent]),
    built("Holes", "open", &[ConstructionKind::Open]),
    other("Materials, plates and sheets", "material", Shelf::Sheets),
    other("Materials, porous", "material", Shelf::Fills),
    other("Materials, resilient", "material", Shelf::Resilient),
    other("Finishes", "finish", Shelf::Finishes),
    other("Seals", "seal", Shelf::Seals),
    other("Sounds", "sound", Shelf::Sounds),
    other("Feet and pedals", "force", Shelf::Forces),
    other("Limits", "target", Shelf::Targets),
];

impl Kind {
    /// True when a word says what kind it is.
    fn is_called(&self, word: &str) -> bool {
        self.heading.to_lowercase().split([' ', ',']).any(|part| word.len() > 2 && part.starts_with(word))
    }

    /// Its entries that have all words.
    fn found(&self, words: &[String]) -> Vec<Entry<'static>> {
        let mut entries = self.shelf.entries(Catalogue::built_in_ref(), &[]);
        entries.retain(|entry| words.iter().all(|word| self.is_called(word) || entry.has(word)));
        entries
    }

    fn is_built(&self) -> bool {
        matches!(self.shelf, Shelf::Constructions(_))
    }

    /// The headings of what is known of constructions.
    fn heads(&self) -> [&'static str; 5] {
        let [rated, priced] =
            if self.key == "vent" { ["Dn,e,w, dB", "price each"] } else { ["Rw, dB", "price per m²"] };
        [self.heading, "kg/m²", rated, priced, ""]
    }
}

impl Find {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let words = self.words.iter().flat_map(|word| word.split_whitespace());
        let words: Vec<String> = words.map(str::to_lowercase).collect();
        let found: Vec<(&Kind, Vec<Entry>)> = KINDS.iter().map(|kind| (kind, kind.found(&words))).collect();
        let found: Vec<(&Kind, Vec<Entry>)> = found.into_iter().filter(|(_, entries)| !entries.is_empty()).collect();
        if words.is_empty() || found.is_empty() {
            return Err(nothing(&words));
        }
        if self.json {
            let all = found.iter().flat_map(|(kind, entries)| entries.iter().map(|entry| entry_json(kind, entry)));
            return print_json(&json!({ "found": all.collect::<Vec<Value>>() }));
        }
        print(&text(&found))
    }
}

/// What is known of a construction: its mass per area, kg/m², its rating, and its price.
fn known(entry: &Entry) -> (Option<f64>, Rating, Option<f64>) {
    let catalogue = Catalogue::built_in_ref();
    let Some(construction) = catalogue.constructions.get(entry.id) else {
        return (None, Err("It is no construction.".to_owned()), None);
    };
    let mass_kg_m2 = construction.mass_per_area_kg_m2(catalogue).ok().filter(|mass| *mass > 0.0);
    (mass_kg_m2, rate(catalogue, construction), construction.price_per_m2)
}

fn text(found: &[(&Kind, Vec<Entry>)]) -> String {
    let mut tables: Vec<String> = vec![];
    let mut priced = false;
    let mut rows = vec![];
    for (kind, entries) in found.iter().filter(|(kind, _)| kind.is_built()) {
        rows.push(kind.heads().map(str::to_owned).to_vec());
        for entry in entries {
            let (mass_kg_m2, rating, price) = known(entry);
            priced |= price.is_some();
            let or_none = |figure: Option<String>| figure.unwrap_or_else(|| "–".to_owned());
            let figures = [
                mass_kg_m2.map(|mass| format!("{mass:.0}")),
                rating.ok().map(|rated| rated.airborne.rw_db.to_string()),
                price.map(short),
            ];
            let [mass, rw, price] = figures.map(or_none);
            rows.push(vec![format!("  {}", entry.id), mass, rw, price, entry.name.to_owned()]);
        }
    }
    tables.push(table(
        &[Column::WORDS.after(0), Column::NUMBERS, Column::NUMBERS, Column::NUMBERS, Column::WORDS],
        &rows,
    ));
    for (kind, entries) in found.iter().filter(|(kind, _)| !kind.is_built()) {
        let rows: Vec<Vec<String>> =
            entries.iter().map(|entry| vec![entry.id.to_owned(), entry.name.to_owned(), entry.facts.clone()]).collect();
        tables.push(format!("{}\n{}", kind.heading, table(&[Column::WORDS], &rows)));
    }
    if priced {
        tables.push("Prices are invented: put your own in.\n".to_owned());
    }
    let entries = found.iter().flat_map(|(_, entries)| entries).filter(|entry| !entry.caution.is_empty());
    tables.push(entries.map(|entry| paragraph("", &format!("{}: {}", entry.id, entry.caution), COLUMNS)).collect());
    tables.retain(|table| !table.is_empty());
    tables.join("\n")
}

fn entry_json(kind: &Kind, entry: &Entry) -> Value {
    let mut value = json!({ "kind": kind.key, "id": entry.id, "name": entry.name, "caution": entry.caution });
    if kind.is_built() {
        let (mass_kg_m2, rating, price) = known(entry);
        value["mass_per_area_kg_m2"] = json!(mass_kg_m2.map(json::rounded));
        value["rw"] = json!(rating.ok().map(|rated| rated.airborne.rw_db));
        value["price_per_m2"] = json!(price);
    } else {
        value["facts"] = json!(entry.facts);
    }
    value
}

/// Why nothing was found: a word that no entry has, with what looks like it, or too many words.
fn nothing(words: &[String]) -> Failure {
    let alone = |word: &&String| KINDS.iter().all(|kind| kind.found(&[(*word).clone()]).is_empty());
    let Some(unknown) = words.iter().find(alone) else {
        return Failure::Call(if words.is_empty() {
            "Say a word of what you look for: leaklight find brick.".to_owned()
        } else {
            "No entry has all of these words; fewer words find more.".to_owned()
        });
    };
    let all: Vec<Entry> = KINDS.iter().flat_map(|kind| kind.found(&[])).collect();
    let names = all.iter().flat_map(|entry| [entry.name.to_lowercase(), entry.id.to_owned()]).collect::<Vec<_>>();
    let parts = names.iter().flat_map(|name| name.split(|letter: char| !letter.is_alphanumeric()));
    let known: BTreeSet<&str> = parts.filter(|part| part.chars().count() > 2).collect();
    let has = || "try brick, plasterboard, door, drums or night".to_owned();
    input::unknown("entry with the word", unknown, known, has)
}
