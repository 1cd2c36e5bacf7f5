//! `leaklight element`: what a construction by itself does to sound.

use std::collections::BTreeSet;
use std::path::Path;

use clap::Args;
use serde_json::{Value, json};

use super::rate::airborne_json;
use super::{Failure, complain, input, print, print_json};
use crate::acoustics::bands::NOMINAL_HZ;
use crate::acoustics::rating::astm_e413::TransmissionClass;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::{Air, Bands, Spectrum};
use crate::catalogue::{Catalogue, Construction, ConstructionKind};
use crate::output::text::{Column, headed, table};
use crate::output::{chart, json};
use crate::scene::Workmanship;
use crate::scene::reader::read_as;
use crate::scene::shown::shown;
use crate::solve::construction::{ElementCurve, laboratory_size_m, reduction};
use crate::solve::workmanship::reduction_as;

/// Print the sound reduction index of a construction, with Rw (C; Ctr), STC and mass
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight element brick-215-plastered
  leaklight element my-walls.ron --size 3.6x2.4 --json
  leaklight element stud-timber-100-resilient-filled --built bridged

A file holds one construction, or a list of them:
  (id: \"my-wall\", name: \"My wall\", kind: wall, provenance: (standing: invented),
   build: Layers([Sheet(material: \"plasterboard\", thickness_mm: 12.5),
                  Cavity(depth_mm: 70, bridge: LightSteelStuds(spacing_mm: 600)),
                  Sheet(material: \"plasterboard\", thickness_mm: 12.5)]))")]
pub(super) struct Element {
    /// Construction of the catalogue by id or name, or a file (RON)
    #[arg(value_name = "NAME-or-FILE")]
    element: String,
    /// Width and height in metres; as tested in laboratories without (walls 4x2.5, windows 1.25x1.5, doors 0.9x2)
    #[arg(long, value_name = "WxH", value_parser = size)]
    size: Option<[f64; 2]>,
    /// Beside it as drawn, as it stands there: usual (when not given), small_faults, bridged, unsealed or short_circuited (both)
    #[arg(long, value_name = "STATE", value_parser = built)]
    built: Option<Workmanship>,
    /// As JSON
    #[arg(long)]
    json: bool,
}

/// What a construction does.
struct Curve<'a> {
    build: &'a Construction,
    size_m: [f64; 2],
    drawn: ElementCurve,
    /// R as built, dB, where that is asked for.
    built: Option<(Workmanship, Spectrum)>,
}

impl Element {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let catalogue = Catalogue::built_in_ref();
        let path = Path::new(&self.element);
        let is_file = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron"))
            || path.metadata().is_ok_and(|found| !found.is_dir());
        let (constructions, list) =
            if is_file { from_file(path, catalogue)? } else { (vec![named(catalogue, &self.element)?.clone()], false) };
        let mut curves = Vec::new();
        let mut problems = Vec::new();
        for construction in &constructions {
            let size_m = self.size.unwrap_or(laboratory_size_m(construction.kind));
            let (air, bands) = (Air::default(), Bands::exact());
            let built = |state| {
                let r_db = reduction_as(state, catalogue, construction, size_m, &air, &bands)?;
                Ok((state, r_db))
            };
            if let Some(state) = self.built {
                can_be(state, construction)?;
            }
            let drawn = reduction(catalogue, construction, size_m, &air, &bands);
            let state = self.built.or_else(|| usually(construction));
            match drawn.and_then(|drawn| Ok((drawn, state.map(built).transpose()?))) {
                Ok((drawn, built)) => curves.push(Curve { build: construction, size_m, drawn, built }),
                Err(problem) => problems.push(problem.to_string()),
            }
        }
        if !problems.is_empty() {
            return Err(Failure::Scene(problems));
        }
        if self.json {
            let mut values: Vec<Value> = curves.iter().map(as_json).collect();
            let value = if list { Value::Array(values) } else { values.pop().unwrap_or(Value::Null) };
            return print_json(&value);
        }
        let texts: Vec<String> = curves.iter().map(as_text).collect();
        print(&texts.join("\n"))
    }
}

/// "4x2.5" as width and height.
fn size(text: &str) -> Result<[f64; 2], String> {
    let side = |text: &str| text.trim().parse::<f64>().ok().filter(|side| (0.05..=100.0).contains(side));
    text.split_once(['x', 'X', '×'])
        .and_then(|(wide, high)| Some([side(wide)?, side(high)?]))
        .ok_or_else(|| "write it as width x height in metres, each from 0.05 to 100, such as 4x2.5".to_owned())
}

/// A state of workmanship by its word.
fn built(text: &str) -> Result<Workmanship, String> {
    let word = text.trim().to_lowercase().replace(['-', ' '], "_");
    Workmanship::ALL.into_iter().find(|state| state.word() == word).ok_or_else(|| {
        let known: Vec<&str> = Workmanship::ALL.iter().map(|state| state.word()).collect();
        format!("write one of {}", known.join(", "))
    })
}

/// The usual good job, where it is anything but what a laboratory measures.
fn usually(construction: &Construction) -> Option<Workmanship> {
    let has_seal = matches!(construction.kind, ConstructionKind::Window | ConstructionKind::Door);
    (!has_seal && can_be(Workmanship::Usual, construction).is_ok()).then_some(Workmanship::Usual)
}

/// Says so where a construction has nothing that could be built so.
fn can_be(state: Workmanship, construction: &Construction) -> Result<(), Failure> {
    let none = match (construction.kind, state) {
        (_, Workmanship::AsDrawn) => return Ok(()),
        (ConstructionKind::Vent | ConstructionKind::Open, _) => "no edge and no seal",
        (ConstructionKind::Window | ConstructionKind::Door, Workmanship::Bridged) => "nothing to bridge",
        _ => return Ok(()),
    };
    let (name, word) = (&construction.name, state.word());
    Err(Failure::Call(format!("\"{name}\" has {none}, so that `--built {word}` says nothing of it.")))
}

fn named<'a>(catalogue: &'a Catalogue, wanted: &str) -> Result<&'a Construction, Failure> {
    let lower = wanted.to_lowercase();
    let by_name =
        || catalogue.constructions.values().find(|found| found.name.to_lowercase() == lower || found.id == lower);
    let known = || catalogue.constructions.keys().map(String::as_str);
    // Where nothing looks like it: those that hold the word, or else all there are.
    let has = || {
        let alike: Vec<String> = known().filter(|id| id.contains(&lower)).map(str::to_owned).collect();
        let offered = if alike.is_empty() { known().map(str::to_owned).collect() } else { alike };
        format!("the catalogue has {}", input::listed(&offered))
    };
    let found = catalogue.constructions.get(wanted).or_else(by_name);
    found.ok_or_else(|| input::unknown("construction", wanted, known(), has))
}

/// The constructions of a file, and whether it holds a list.
fn from_file(path: &Path, catalogue: &Catalogue) -> Result<(Vec<Construction>, bool), Failure> {
    let text = input::text(path)?;
    let list = starts_a_list(&text);
    let read =
        if list { read_as::<Vec<Construction>>(&text) } else { read_as::<Construction>(&text).map(|one| vec![one]) };
    let constructions = read.map_err(|problem| Failure::Scene(vec![format!("{}: {problem}", path.display())]))?;
    if constructions.is_empty() {
        return Err(Failure::Scene(vec![format!("{} holds no construction; write one in its list.", path.display())]));
    }
    let sentence = |build: &Construction, clause: &str| {
        let stop = if clause.ends_with('?') { "" } else { "." };
        shown(&format!("construction \"{}\": {clause}{stop}", build.id)).into_owned()
    };
    let mut problems = vec![];
    let mut seen = BTreeSet::new();
    for build in &constructions {
        if !seen.insert(&build.id) {
            problems.push(sentence(build, "another construction has the same id; give each its own word"));
        }
        problems.extend(catalogue.faults_of(build).iter().map(|fault| sentence(build, fault)));
        for doubt in catalogue.doubts_of(build) {
            complain([format!("warning: {}", sentence(build, &doubt)).as_str()]);
        }
    }
    if problems.is_empty() { Ok((constructions, list)) } else { Err(Failure::Scene(problems)) }
}

/// True when the first thing in a RON text, after comments and attributes, is a list.
fn starts_a_list(text: &str) -> bool {
    text.lines()
        .map(str::trim_start)
        .find(|line| !(line.is_empty() || line.starts_with("//") || line.starts_with("#!")))
        .is_some_and(|line| line.starts_with('['))
}

/// Rated only where every band has a value.
fn rated(r_db: &Spectrum) -> Option<(Airborne, TransmissionClass)> {
    r_db.is_finite().then(|| (Airborne::of_spectrum(r_db), TransmissionClass::of_spectrum(r_db)))
}

/// How much of Rw is lost as built, dB.
fn lost_db(drawn: &Spectrum, built: &Spectrum) -> Option<i32> {
    Some(rated(drawn)?.0.rw_db - rated(built)?.0.rw_db)
}

/// The curve and its ratings.
fn curve_json(r_db: &Spectrum) -> Value {
    let rating = rated(r_db);
    let mut value = airborne_json(rating.map(|(airborne, _)| airborne), rating.map(|(_, class)| class.stc));
    value["r_db"] = json!(json::levels(r_db));
    value
}

fn as_json(curve: &Curve<'_>) -> Value {
    let Curve { build, size_m, drawn, built } = curve;
    let mut value = curve_json(&drawn.r_db);
    value["id"] = json!(build.id);
    value["name"] = json!(build.name);
    value["size_m"] = json!(size_m);
    value["mass_per_area_kg_m2"] = json!(json::rounded(drawn.mass_per_area_kg_m2));
    value["thickness_m"] = json!(build.thickness_m());
    value["bands_hz"] = json!(NOMINAL_HZ);
    if let Some(usual) = &build.usual_rw {
        let from = usual.words(Catalogue::built_in_ref());
        value["usual_rw"] = json!({ "lo": usual.lo, "hi": usual.hi, "told": from });
    }
    if let Some((state, r_db)) = built {
        let mut as_built = curve_json(r_db);
        as_built["workmanship"] = json!(state.word());
        as_built["rw_loss_db"] = json!(lost_db(&drawn.r_db, r_db));
        value["as_built"] = as_built;
    }
    value
}

fn ratings(r_db: &Spectrum) -> Option<String> {
    let (airborne, class) = rated(r_db)?;
    let Airborne { rw_db, c_db, ctr_db, .. } = airborne;
    Some(format!("Rw (C; Ctr) = {rw_db} ({c_db}; {ctr_db}) dB, STC {}", class.stc))
}

fn as_text(curve: &Curve<'_>) -> String {
    let Curve { build, size_m, drawn, built } = curve;
    let mut out = format!("{} ({})\n", build.name, build.id);
    if let Some(ratings) = ratings(&drawn.r_db) {
        out.push_str(&format!("{ratings}\n"));
    }
    if let Some(usual) = &build.usual_rw {
        out.push_str(&format!("{}\n", usual.words(Catalogue::built_in_ref())));
    }
    if let Some((state, r_db)) = built
        && let Some(ratings) = ratings(r_db)
        && let Some(lost_db) = lost_db(&drawn.r_db, r_db)
    {
        out.push_str(&format!("built {}: {ratings}; {lost_db} dB of Rw lost\n", state.word()));
    }
    out.push_str(&format!(
        "{:.1} kg/m², {:.0} mm thick, {} m × {} m\n\n",
        drawn.mass_per_area_kg_m2,
        1000.0 * build.thickness_m(),
        size_m[0],
        size_m[1]
    ));
    // Alone the curve needs no name.
    let heads = if built.is_some() { ["Hz", "drawn", "built"] } else { ["Hz", "dB", ""] };
    let columns = [Column::WORDS.least(if built.is_some() { 7 } else { 4 }), Column::OCTAVE];
    let curves = [Some(&drawn.r_db), built.as_ref().map(|(_, r_db)| r_db)];
    for bands in [0..8, 8..16, 16..24] {
        let mut rows = vec![headed(heads[0], NOMINAL_HZ[bands.clone()].iter().map(ToString::to_string))];
        for (head, r_db) in heads[1..].iter().zip(curves.into_iter().flatten()) {
            rows.push(headed(head, r_db.0[bands.clone()].iter().map(|db| format!("{db:.1}"))));
        }
        out.push_str(&table(&columns, &rows));
    }
    out.push('\n');
    let shown = built.as_ref().filter(|(state, _)| *state != Workmanship::Usual);
    out.push_str(&match shown {
        Some((_, r_db)) => chart::text("Sound reduction index R as built", r_db),
        None => chart::text("Sound reduction index R", &drawn.r_db),
    });
    if !build.caution.is_empty() {
        out.push_str(&format!("\nCaution: {}\n", build.caution));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_or_refused() {
        assert_eq!(size("4x2.5"), Ok([4.0, 2.5]));
        assert_eq!(size(" 1.25 × 1.5 "), Ok([1.25, 1.5]));
        for text in ["", "4", "4x", "0x2", "4x-1", "NaNx1", "1e9x1"] {
            assert!(size(text).is_err(), "{text}");
        }
    }

    #[test]
    fn states_are_read_or_refused() {
        for state in Workmanship::ALL {
            assert_eq!(built(state.word()), Ok(state));
        }
        assert_eq!(built(" Short-Circuited "), Ok(Workmanship::ShortCircuited));
        assert!(built("sloppy").unwrap_err().contains("unsealed"));
    }

    #[test]
    fn lists_and_single_constructions_are_told_apart() {
        assert!(starts_a_list("// walls\n#![enable(implicit_some)]\n[\n(id: \"a\")]"));
        assert!(!starts_a_list("// [not this]\n(id: \"a\")"));
    }
}
