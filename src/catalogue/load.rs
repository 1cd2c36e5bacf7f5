//! Reading the catalogue from RON, with every fault said as a sentence that names file, line and entry.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::LazyLock;

use ron::error::SpannedError;
use serde::de::DeserializeOwned;

use super::check::{self, Faults};
use super::construction::Construction;
use super::contents::{Catalogue, Finish, Reference, Seal, SoundSource};
use super::force::FloorForce;
use super::goods::Good;
use super::material::Material;
use super::provenance::Provenance;
use super::target::Target;

macro_rules! files {
    ($($name:literal),+) => { [$(($name, include_str!(concat!("../../assets/", $name)))),+] };
}

/// What the program carries with it: RON lists of entries.
const FILES: [(&str, &str); 9] = files![
    "sources.ron",
    "materials.ron",
    "constructions.ron",
    "finishes.ron",
    "sound_sources.ron",
    "contact_forces.ron",
    "targets.ron",
    "seals.ron",
    "goods.ron"
];

/// One thing that is wrong with a catalogue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CatalogueFault {
    /// The file: "materials.ron".
    pub file: &'static str,
    /// Line, counted from 1.
    pub line: usize,
    /// Column, counted from 1.
    pub column: usize,
    /// Id of the entry, where one was begun.
    pub entry: Option<String>,
    /// What is wrong, as a clause.
    pub what: String,
}

impl CatalogueFault {
    /// Something wrong at a byte of a text, in no entry.
    pub(crate) fn at_byte(file: &'static str, text: &str, at: usize, what: String) -> Self {
        let (line, column) = line_and_column(text, at);
        Self { file, line, column, entry: None, what }
    }

    /// A text that is not RON of the wanted shape.
    pub(crate) fn unreadable(file: &'static str, text: &str, error: &SpannedError) -> Self {
        let (line, column) = (error.span.start.line, error.span.start.col);
        let entry = begun_at(text, line, column).map(str::to_owned);
        let what = format!("cannot be read: {}", error.code.to_string().trim_end_matches('.'));
        Self { file, line, column, entry, what }
    }
}

impl fmt::Display for CatalogueFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, line {}, column {}", self.file, self.line, self.column)?;
        if let Some(entry) = &self.entry {
            write!(f, ", entry \"{entry}\"")?;
        }
        let stop = if self.what.ends_with('?') { "" } else { "." };
        write!(f, ": {}{stop}", self.what)
    }
}

static BUILT_IN: LazyLock<Catalogue> = LazyLock::new(|| {
    // Part of the program, and a test reads it: this cannot be a user's doing.
    Catalogue::from_ron(Catalogue::built_in_text).unwrap_or_else(|faults| {
        let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
        panic!("the catalogue built into the program is faulty:\n{}", faults.join("\n"))
    })
});

impl Catalogue {
    /// The catalogue the program carries, read once.
    #[must_use]
    pub fn built_in_ref() -> &'static Self {
        &BUILT_IN
    }

    /// The text of a file of the catalogue the program carries, such as "materials.ron"; empty for any other.
    #[must_use]
    pub fn built_in_text(file: &str) -> &'static str {
        FILES.iter().find(|(name, _)| *name == file).map_or("", |(_, text)| text)
    }

    /// Reads and checks a catalogue, given the text of each of its files (a RON list of entries).
    ///
    /// # Errors
    ///
    /// All faults found: text that is not RON of the wanted shape (unknown fields included), an id given twice or not made of
    /// words, a source or material that does not exist, a number no material, layer, level or gap can have, layers in an
    /// order that cannot be built.
    pub fn from_ron<'a>(text_of: impl Fn(&'static str) -> &'a str) -> Result<Self, Vec<CatalogueFault>> {
        let mut reader = Reader { text_of, faults: vec![] };
        let catalogue = Self {
            references: reader.read("sources.ron"),
            materials: reader.read("materials.ron"),
            constructions: reader.read("constructions.ron"),
            finishes: reader.read("finishes.ron"),
            sources: reader.read("sound_sources.ron"),
            forces: reader.read("contact_forces.ron"),
            targets: reader.read("targets.ron"),
            seals: reader.read("seals.ron"),
            goods: reader.read("goods.ron"),
        };
        // A file that could not be read leaves its list empty; then every mention of it would be called unknown.
        if reader.faults.is_empty() {
            let references = &catalogue.references;
            reader.check("sources.ron", references, references, |_, _| {});
            reader.check("materials.ron", references, &catalogue.materials, check::material);
            reader.check("constructions.ron", references, &catalogue.constructions, |entry, faults| {
                check::construction(entry, &catalogue.materials, faults);
                if let Some(usual) = &entry.usual_rw {
                    faults.provenance(&usual.provenance, references);
                }
            });
            reader.check("finishes.ron", references, &catalogue.finishes, check::finish);
            reader.check("sound_sources.ron", references, &catalogue.sources, |entry, faults| {
                check::sound_source(entry, &catalogue.forces, faults);
            });
            reader.check("contact_forces.ron", references, &catalogue.forces, check::force);
            reader.check("targets.ron", references, &catalogue.targets, |entry, faults| {
                check::target(entry, &catalogue.targets, faults);
            });
            reader.check("seals.ron", references, &catalogue.seals, check::seal);
            reader
                .check("goods.ron", references, &catalogue.goods, |good, faults| check::good(good, &catalogue, faults));
        }
        if reader.faults.is_empty() { Ok(catalogue) } else { Err(reader.faults) }
    }

    /// What is wrong with a construction that is not of this catalogue (a scene's own), as clauses; empty when nothing is.
    /// Its materials must be of this catalogue; its source may be anything.
    #[must_use]
    pub fn faults_of(&self, construction: &Construction) -> Vec<String> {
        let mut faults = Faults::default();
        faults.unless_word(&construction.id);
        faults.unless_named(&construction.name);
        check::construction(construction, &self.materials, &mut faults);
        faults.faults
    }

    /// What is odd of a construction that is not of this catalogue, though it can be: clauses; empty when nothing is.
    #[must_use]
    pub fn doubts_of(&self, construction: &Construction) -> Vec<String> {
        let mut faults = Faults::default();
        check::construction(construction, &self.materials, &mut faults);
        faults.doubts
    }
}

/// What every entry has.
trait Entry: DeserializeOwned {
    fn id(&self) -> &str;
    fn name(&self) -> &str;
    fn provenance(&self) -> Option<&Provenance> {
        None
    }
}

macro_rules! entries {
    ($($kind:ty),+) => {$(
        impl Entry for $kind {
            fn id(&self) -> &str { &self.id }
            fn name(&self) -> &str { &self.name }
            fn provenance(&self) -> Option<&Provenance> { Some(&self.provenance) }
        }
    )+};
}

entries!(Material, Construction, Finish, FloorForce, SoundSource, Target, Seal, Good);

impl Entry for Reference {
    fn id(&self) -> &str {
        &self.id
    }

    fn name(&self) -> &str {
        &self.reference
    }
}

/// Reads files and gathers what is wrong with them.
struct Reader<F> {
    text_of: F,
    faults: Vec<CatalogueFault>,
}

impl<'a, F: Fn(&'static str) -> &'a str> Reader<F> {
    /// The entries of one file by id; none of a file that cannot be read.
    fn read<T: Entry>(&mut self, file: &'static str) -> BTreeMap<String, T> {
        let text = (self.text_of)(file);
        let list: Vec<T> = ron::from_str(text).unwrap_or_else(|error| {
            self.faults.push(CatalogueFault::unreadable(file, text, &error));
            vec![]
        });
        let mut by_id = BTreeMap::new();
        for entry in list {
            let id = entry.id().to_owned();
            if by_id.insert(id.clone(), entry).is_some() {
                let (line, column) = place_of(text, &id, true);
                let what = "the id is given twice; each must be given once".to_owned();
                self.faults.push(CatalogueFault { file, line, column, entry: Some(id), what });
            }
        }
        by_id
    }

    fn check<T: Entry>(
        &mut self,
        file: &'static str,
        references: &BTreeMap<String, Reference>,
        entries: &BTreeMap<String, T>,
        check: impl Fn(&T, &mut Faults),
    ) {
        for entry in entries.values() {
            let mut found = Faults::default();
            found.unless_word(entry.id());
            found.unless_named(entry.name());
            if let Some(provenance) = entry.provenance() {
                found.provenance(provenance, references);
            }
            check(entry, &mut found);
            let (line, column) = place_of((self.text_of)(file), entry.id(), false);
            self.faults.extend(found.faults.into_iter().map(|what| {
                let entry = Some(entry.id().to_owned());
                CatalogueFault { file, line, column, entry, what }
            }));
        }
    }
}

/// Every `id: "…"` of a text: its byte position and the id.
fn ids(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.match_indices("id:").filter_map(|(at, found)| {
        let rest = text[at + found.len()..].trim_start().strip_prefix('"')?;
        Some((at, &rest[..rest.find('"')?]))
    })
}

/// Line and column, counted from 1, where the entry `id` begins, first or last of that id; the start when it is not found.
fn place_of(text: &str, id: &str, last: bool) -> (usize, usize) {
    let mut named = ids(text).filter(|(_, found)| *found == id);
    line_and_column(text, if last { named.last() } else { named.next() }.map_or(0, |(at, _)| at))
}

fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}

/// The entry begun last before a line and column.
fn begun_at(text: &str, line: usize, column: usize) -> Option<&str> {
    let line_start: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    ids(text).take_while(|(at, _)| *at < line_start + column).last().map(|(_, id)| id)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A catalogue of one brick and one wall, in which one piece of text is replaced.
    fn read_with(file: &str, old: &str, new: &str) -> Result<Catalogue, Vec<CatalogueFault>> {
        let mut texts = BTreeMap::from([
            ("sources.ron", "[(id: \"book\", reference: \"A book.\")]".to_owned()),
            (
                "materials.ron",
                "[\n  (id: \"brick\", name: \"brick\", density_kg_m3: 1750,\n   \
                 nature: Plate(longitudinal_speed_m_s: 2700, poisson: 0.2, internal_loss: 0.01),\n   \
                 provenance: (source: \"book\", standing: printed)),\n]"
                    .to_owned(),
            ),
            (
                "constructions.ron",
                "[\n  (id: \"wall\", name: \"wall\", kind: wall,\n   \
                 build: Layers([Sheet(material: \"brick\", thickness_mm: 102)]),\n   \
                 provenance: (standing: common_practice)),\n]"
                    .to_owned(),
            ),
        ]);
        if let Some(text) = texts.get_mut(format!("{file}.ron").as_str()) {
            assert!(text.contains(old), "{old}");
            *text = text.replace(old, new);
        }
        Catalogue::from_ron(|file| texts.get(file).map_or("[]", String::as_str))
    }

    /// The one fault, as the sentence people read.
    fn fault_with(file: &str, old: &str, new: &str) -> String {
        let faults = read_with(file, old, new).expect_err("the text is faulty");
        assert_eq!(faults.len(), 1, "{faults:?}");
        faults[0].to_string()
    }

    #[test]
    fn a_sound_catalogue_is_read() {
        let catalogue = read_with("", "", "").expect("the text is sound");
        assert_eq!(catalogue.materials["brick"].density_kg_m3, 1750.0);
        assert_eq!(catalogue.references["book"].reference, "A book.");
    }

    /// What the program ships is all usual.
    #[test]
    fn nothing_of_the_catalogue_is_doubted() {
        let catalogue = Catalogue::built_in_ref();
        let doubted: Vec<_> = catalogue.constructions.values().flat_map(|made| catalogue.doubts_of(made)).collect();
        assert_eq!(doubted, Vec::<String>::new());
    }

    /// Slips of a unit or a digit; what may be real is only doubted.
    #[test]
    fn what_nobody_builds_is_refused_with_its_reason() {
        let sheet = "Sheet(material: \"brick\", thickness_mm: 102)";
        let brick = |thickness_mm: &str| format!("Sheet(material: \"brick\", thickness_mm: {thickness_mm})");
        for (new, expected) in [
            (brick("0.0125"), "the thickness is 0.0125 mm; thickness_mm is in millimetres: did you mean 12.5?"),
            (brick("1e6"), "the thickness is 1000000 mm; it must be from 1 to 3000, since no board"),
            (
                format!("{sheet}, Cavity(depth_mm: 100000), {sheet}"),
                "layer 2: the depth is 100000 mm; it must be from 1 to 3000",
            ),
            (
                format!("{sheet}, Cavity(depth_mm: 50, bridge: TimberStuds(spacing_mm: 0.6)), {sheet}"),
                "layer 2: the spacing is 0.6 mm; spacing_mm is in millimetres: did you mean 600?",
            ),
            (vec![sheet; 61].join(", "), "it has 61 layers; it must have at most 60"),
            ([brick("2000"), brick("2000"), brick("2000")].join(", "), "all its layers are 6.0 m thick"),
        ] {
            let text = fault_with("constructions", sheet, &new);
            assert!(text.contains(expected), "{text}");
        }
        let odd = read_with("constructions", sheet, &brick("1.5")).expect("it can be");
        let doubts = odd.doubts_of(&odd.constructions["wall"]);
        assert_eq!(doubts, ["layer 1: the thickness is 1.5 mm, which is unusual; see whether that is meant"]);
    }

    #[test]
    fn an_unknown_field_is_refused_with_its_place() {
        let text = fault_with("materials", "density_kg_m3", "density");
        assert!(text.starts_with("materials.ron, line 2, column"), "{text}");
        assert!(text.contains("entry \"brick\"") && text.contains("`density`"), "{text}");
    }

    #[test]
    fn an_id_given_twice_is_refused_at_its_second_place() {
        let twice = "[(id: \"book\", reference: \"A book.\"),\n (id: \"book\", reference: \"Another.\")]";
        let text = fault_with("sources", "[(id: \"book\", reference: \"A book.\")]", twice);
        let expected = "sources.ron, line 2, column 3, entry \"book\": the id is given twice; each must be given once.";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_missing_material_is_refused_and_the_near_one_named() {
        let text = fault_with("constructions", "material: \"brick\"", "material: \"brik\"");
        let expected = "constructions.ron, line 2, column 4, entry \"wall\": layer 1: there is no material \"brik\"; did you \
                        mean \"brick\"?";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_missing_source_is_refused() {
        let text = fault_with("materials", "source: \"book\"", "source: \"boook\"");
        assert!(text.contains("there is no reference \"boook\"; did you mean \"book\""), "{text}");
        let text = fault_with("materials", "source: \"book\", ", "");
        assert!(text.contains("must name its source"), "{text}");
    }

    #[test]
    fn numbers_no_material_can_have_are_refused() {
        for (old, new, expected) in [
            ("density_kg_m3: 1750", "density_kg_m3: 0", "the density is 0; it must be above zero, in kg/m³"),
            ("poisson: 0.2", "poisson: 0.7", "Poisson's ratio is 0.7"),
            ("2700", "NaN", "the longitudinal speed is NaN"),
            ("internal_loss: 0.01", "internal_loss: 3", "the internal loss factor is 3"),
        ] {
            let text = fault_with("materials", old, new);
            assert!(text.contains(expected), "{text}");
        }
    }

    #[test]
    fn layers_that_cannot_be_built_are_refused() {
        let sheet = "Sheet(material: \"brick\", thickness_mm: 102)";
        for (new, expected) in [
            ("", "it has no layers"),
            ("Sheet(material: \"brick\", thickness_mm: -1)", "layer 1: the thickness is -1"),
            ("Sheet(material: \"brick\", thickness_mm: 9, bonded: true)", "layer 1: there is no sheet before it"),
            (
                "Sheet(material: \"brick\", thickness_mm: 9), Cavity(depth_mm: 50)",
                "layer 2: a cavity must have a sheet",
            ),
            (
                "Sheet(material: \"brick\", thickness_mm: 9), Resilient(material: \"brick\", thickness_mm: 5), \
                 Sheet(material: \"brick\", thickness_mm: 9)",
                "layer 2: the material \"brick\" is not a resilient layer",
            ),
            (
                "Sheet(material: \"brick\", thickness_mm: 9), Cavity(depth_mm: 50, bridge: WallTies(per_m2: 0)), \
                 Sheet(material: \"brick\", thickness_mm: 9)",
                "layer 2: the number per m² is 0",
            ),
        ] {
            let text = fault_with("constructions", sheet, new);
            assert!(text.contains(expected), "{text}");
        }
    }

    #[test]
    fn build_and_kind_must_fit() {
        let text = fault_with("constructions", "kind: wall", "kind: vent");
        assert!(text.contains("build and kind do not fit"), "{text}");
    }

    #[test]
    fn ids_are_words() {
        for id in ["Brick", "brick wall", "-brick", "brick--2", "brück", ""] {
            let mut faults = Faults::default();
            faults.unless_word(id);
            assert_eq!(faults.faults.len(), 1, "{id}");
        }
    }

    #[test]
    fn all_faults_are_gathered() {
        let faults = read_with("materials", "density_kg_m3: 1750", "density_kg_m3: -5").expect_err("faulty");
        let more = read_with("materials", "name: \"brick\", density_kg_m3: 1750", "name: \" \", density_kg_m3: -5")
            .expect_err("faulty");
        assert_eq!((faults.len(), more.len()), (1, 2), "{more:?}");
    }
}
