//! The table of all builds, its aims, and its copy in the notes.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

use super::{Builds, Compared};

/// Where the copy for readers stands; between two marks, the rest of the page is prose.
const PAGE: &str = "docs/layered_elements.md";
const FROM: &str = "<!-- table from here: tests/published/builds/table.rs -->\n";
const TO: &str = "<!-- table to here -->\n";

pub(crate) fn compared() -> Vec<Compared> {
    let builds = Builds::read("layered.ron");
    let mut cases = BTreeMap::new();
    for topic in ["panels_measured", "glazing"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/published/cases/{topic}.json"));
        let list: Vec<serde_json::Value> = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        cases.extend(list.into_iter().map(|case| (case["id"].as_str().unwrap().to_owned(), case)));
    }
    builds.builds.iter().map(|build| Compared::new(&builds, build, &cases[&build.case])).collect()
}

/// Sums of a family of builds.
#[derive(Default)]
struct Family {
    builds: usize,
    bias_db: f64,
    absolute_db: f64,
    stc_within_3: usize,
    stc: usize,
}

impl Family {
    fn add(&mut self, compared: &Compared) {
        if let (Some(bias), Some(absolute)) = (compared.bias_db(), compared.mean_absolute_db()) {
            self.builds += 1;
            self.bias_db += bias;
            self.absolute_db += absolute;
        }
        if let Some((published, computed)) = compared.stc {
            self.stc += 1;
            self.stc_within_3 += usize::from((f64::from(computed) - published).abs() <= 3.0);
        }
    }

    fn mean_bias_db(&self) -> f64 {
        self.bias_db / self.builds.max(1) as f64
    }

    fn mean_absolute_db(&self) -> f64 {
        self.absolute_db / self.builds.max(1) as f64
    }

    fn row(&self, name: &str) -> String {
        let bands = if self.builds > 0 {
            format!("{:+.1} | {:.1}", self.mean_bias_db(), self.mean_absolute_db())
        } else {
            "– | –".to_owned()
        };
        format!("| {name} | {} | {bands} | {} of {} |\n", self.builds, self.stc_within_3, self.stc)
    }
}

/// Families in order of name, then all together.
fn families(all: &[Compared]) -> (BTreeMap<String, Family>, Family) {
    let (mut families, mut together) = (BTreeMap::<String, Family>::new(), Family::default());
    for compared in all {
        families.entry(compared.build.family.clone()).or_default().add(compared);
        together.add(compared);
    }
    (families, together)
}

fn markdown(all: &[Compared]) -> String {
    let (families, together) = families(all);
    let mut text = String::from(
        "| Family | builds with bands | mean deviation, dB | mean absolute, dB | STC within ±3 |\n|---|---|---|---|---|\n",
    );
    for (name, family) in &families {
        text += &family.row(name);
    }
    text += &together.row("**all**");
    text += "\n| Build | Rw or STC published | computed | mean dev., dB | mean abs., dB | worst band | Remark |\n|---|---|---|---|---|---|---|\n";
    for compared in all {
        let rating = match (compared.rw, compared.stc) {
            (Some((published, computed)), _) => format!("Rw {published} | {computed}"),
            (None, Some((published, computed))) => format!("STC {published} | {computed}"),
            (None, None) => format!("– | Rw {}", compared.rw_computed),
        };
        let bands = match (compared.bias_db(), compared.mean_absolute_db(), compared.worst()) {
            (Some(bias), Some(absolute), Some((hz, deviation))) => {
                format!("{bias:+.1} | {absolute:.1} | {deviation:+.0} at {hz:.0} Hz")
            }
            _ => "– | – | –".to_owned(),
        };
        let build = &compared.build;
        let selector =
            if build.stc.is_empty() || build.stc == "stc" { String::new() } else { format!(" {}", build.stc) };
        let mut remark = build.note.clone();
        if compared.is_outlier() && !build.outlier.is_empty() {
            let _ = write!(remark, "{}outlier: {}", if remark.is_empty() { "" } else { "; " }, build.outlier);
        }
        let _ = writeln!(text, "| {}{selector}: {} | {rating} | {bands} | {remark} |", build.case, compared.layers);
    }
    text
}

/// The aims of the table: at least 80 builds, 4 dB mean absolute deviation over all, no family off by more than 2 dB in the mean, and
/// four in five STC within 3. Tolerances: handbook tables scatter by about 5 dB among themselves.
#[test]
fn layered_builds_match_the_published_tables() {
    let all = compared();
    let text = markdown(&all);
    let _ = writeln!(std::io::stdout().lock(), "\n{text}");
    let (families, together) = families(&all);
    assert!(all.len() >= 80, "{} builds", all.len());
    assert!(together.mean_absolute_db() <= 4.0, "mean absolute deviation {:.2} dB", together.mean_absolute_db());
    for (name, family) in &families {
        assert!(family.mean_bias_db().abs() <= 2.0, "{name}: mean deviation {:+.2} dB", family.mean_bias_db());
    }
    assert!(together.stc_within_3 * 5 >= together.stc * 4, "STC: {} of {}", together.stc_within_3, together.stc);
}

/// The page readers see holds the table as computed now; `LEAKLIGHT_GOLDEN=write` puts it there.
#[test]
fn the_table_in_the_notes_is_current() {
    let text = markdown(&compared());
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE);
    let page = std::fs::read_to_string(&path).unwrap();
    let (before, rest) = page.split_once(FROM).expect("the mark before the table");
    let (inside, after) = rest.split_once(TO).expect("the mark after the table");
    if inside != text && std::env::var_os("LEAKLIGHT_GOLDEN").is_some_and(|value| value == "write") {
        std::fs::write(&path, [before, FROM, &text, TO, after].concat()).unwrap();
        return;
    }
    assert!(inside == text, "{PAGE} is out of date: LEAKLIGHT_GOLDEN=write writes its table anew");
}
