//! Whether an uncertainty that is stated is the one that is met: computed against published, over what was stated.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::Path;

use leaklight::acoustics::bands::OCTAVE_HZ;
use leaklight::acoustics::rating::weighting::a_weighted;
use leaklight::acoustics::{Bands, Spectrum};
use leaklight::catalogue::Catalogue;
use leaklight::solve::odds::{IN_PLACE_DB, JUNCTION_DB, OCTAVE_CORRELATION, of_model_db};
use leaklight::solve::spread::Spread;

use super::builds::layered;
use super::measured::printed;

/// One build, compared.
struct Met {
    spread: Spread,
    /// Octave (position in [`OCTAVE_HZ`]) and computed minus published, dB; of thirds each with its octave.
    bands: Vec<(usize, f64)>,
    /// Computed minus published rating, over the standard uncertainty that follows from the bands'.
    ratings: Vec<f64>,
}

/// What a build may be off by behind it, dB(A), from the sound before it and its own R in some bands.
fn of_level_db(before: &Spectrum, r_db: &Spectrum, spread: Spread) -> f64 {
    let passed = a_weighted(&before.less_db(r_db));
    let all = passed.sum();
    of_model_db(&passed.zip(&spread.db(), |passed, db| passed / all * db))
}

/// The same for a rating: of equal energy in all bands from 100 Hz to 3.15 kHz. Own choice: ISO 717-1 and ASTM E413 weigh bands much alike.
fn of_rating_db(r_db: &Spectrum, spread: Spread) -> f64 {
    let range = Bands::nearest(100.0)..=Bands::nearest(3150.0);
    of_level_db(&Spectrum::from_fn(|band| f64::from(u8::from(range.contains(&band)))), r_db, spread)
}

/// All builds with the octaves of the tables, and those with thirds.
fn all() -> [Vec<Met>; 2] {
    let octave = |hz: f64| OCTAVE_HZ.iter().position(|one| (one / hz).log2().abs() < 0.1).unwrap();
    let of_table = layered().into_iter().map(|build| Met {
        spread: build.spread,
        bands: build.octaves.iter().map(|(hz, published, computed)| (octave(*hz), computed - published)).collect(),
        ratings: [build.rw, build.stc]
            .into_iter()
            .flatten()
            .map(|(published, computed)| (f64::from(computed) - published) / of_rating_db(&build.r_db, build.spread))
            .collect(),
    });
    let measured = printed().into_iter().map(|build| Met {
        spread: build.spread,
        bands: build.thirds.iter().map(|(band, published, computed)| (band / 3, computed - published)).collect(),
        ratings: build
            .ratings
            .iter()
            // The first alone: Rw + Ctr is no other measurement than Rw. Without a tolerance nothing was printed.
            .take(1)
            .filter(|rating| rating.3.is_finite())
            .map(|(_, published, computed, _)| (computed - published) / of_rating_db(&build.r_db, build.spread))
            .collect(),
    });
    [of_table.collect(), measured.collect()]
}

/// Deviations by kind and octave.
fn by_kind<'a>(builds: impl Iterator<Item = &'a Met>) -> BTreeMap<(Spread, usize), Vec<f64>> {
    let mut found = BTreeMap::<_, Vec<f64>>::new();
    for build in builds {
        for (octave, db) in &build.bands {
            found.entry((build.spread, *octave)).or_default().push(*db);
        }
    }
    found
}

fn root_mean_square(values: &[f64]) -> f64 {
    (values.iter().map(|value| value * value).sum::<f64>() / values.len() as f64).sqrt()
}

/// The table in `src/solve/spread.rs` is the root mean square of what is met today. Tolerance: half a step of its half decibels, and the standard
/// error of a root mean square of n values, 1/√(2n), which is what another choice of builds would change.
#[test]
fn the_spread_in_use_is_that_of_the_builds() {
    let mut out = std::io::stdout().lock();
    let [table, measured] = all();
    let mut wrong = Vec::new();
    for ((spread, octave), db) in by_kind(table.iter().chain(&measured)) {
        let (met_db, used_db) = (root_mean_square(&db), spread.db()[3 * octave]);
        let allowed_db = 0.25 + met_db / (2.0 * db.len() as f64).sqrt();
        let line = format!("{spread:?} {} Hz: {met_db:.2} dB of {}, in use {used_db}", OCTAVE_HZ[octave], db.len());
        let _ = writeln!(out, "{line}");
        let holds = (met_db - used_db).abs() <= allowed_db;
        if !holds {
            wrong.push(line);
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Correlation of what two octaves of one build are off by, over their spread: 0.5 an octave apart, 0.25 two apart, next to nothing beyond.
/// Tolerance 0.15: twice the standard error of a mean of products from 77 builds of different make (their scatter is about 1 and a half, the
/// octaves of one build count half).
#[test]
fn errors_of_neighbouring_octaves_are_alike() {
    let mut products = BTreeMap::<usize, Vec<f64>>::new();
    for build in &all()[0] {
        let off: Vec<_> =
            build.bands.iter().map(|(octave, db)| (*octave, db / build.spread.db()[3 * octave])).collect();
        for (at, (one, first)) in off.iter().enumerate() {
            for (other, second) in &off[at + 1..] {
                products.entry(other.abs_diff(*one)).or_default().push(first * second);
            }
        }
    }
    let met: Vec<f64> = products.values().map(|all| all.iter().sum::<f64>() / all.len() as f64).collect();
    let _ = writeln!(std::io::stdout().lock(), "correlation by octaves apart: {met:.2?}");
    for (apart, met) in met.iter().take(4).enumerate() {
        let used = OCTAVE_CORRELATION.powi(i32::try_from(apart).unwrap() + 1);
        assert!((met - used).abs() < 0.15, "{apart}: {met:.2} for {used}");
    }
}

/// Parts of values within one and two.
fn within(values: &[f64]) -> [f64; 2] {
    [1.0, 2.0].map(|most| values.iter().filter(|value| value.abs() <= most).count() as f64 / values.len() as f64)
}

/// Of a normal distribution within one and two standard deviations.
const NORMAL: [f64; 2] = [0.683, 0.954];

/// Holds what is met to the parts `wanted`, within the binomial scatter of so many `independent` values: 2.6 of it, since of a dozen such
/// statements one in two would lie outside twice the scatter by chance.
fn hold(what: &str, values: &[f64], independent: f64, wanted: [f64; 2]) {
    for (met, wanted) in within(values).into_iter().zip(wanted) {
        let scatter = (wanted * (1.0 - wanted) / independent).sqrt();
        let (percent, wanted_percent) = (100.0 * met, 100.0 * wanted);
        let line = format!(
            "{what}: {percent:.0} % of {}, wanted {wanted_percent:.0} ± {:.0} %",
            values.len(),
            260.0 * scatter
        );
        let _ = writeln!(std::io::stdout().lock(), "{line}");
        assert!((met - wanted).abs() <= 2.6 * scatter, "{line}");
    }
}

/// So much of a value counts as one by itself: errors within a build are alike by `OCTAVE_CORRELATION`, whether they are large by about its square;
/// six octaves then are four.
const INDEPENDENT: f64 = 0.66;

/// Two in three octaves and thirds of all builds, tables and measurements, lie within one standard uncertainty, nineteen in twenty within two; of
/// every kind too. Shows that errors are near enough to normal; builds that had no part in the spread follow below.
#[test]
fn as_many_bands_lie_within_the_uncertainty_as_stated() {
    let mut of_all = Vec::new();
    let mut of_kind = BTreeMap::<Spread, Vec<f64>>::new();
    for build in all().iter().flatten() {
        let over = build.bands.iter().map(|(octave, db)| db / build.spread.db()[3 * octave]);
        of_all.extend(over.clone());
        of_kind.entry(build.spread).or_default().extend(over);
    }
    for (kind, values) in &of_kind {
        hold(&format!("{kind:?}"), values, INDEPENDENT * values.len() as f64, NORMAL);
    }
    hold("all bands", &of_all, INDEPENDENT * of_all.len() as f64, NORMAL);
}

/// The same of builds that had no part in it: the spread of every second build, by kind and octave, over the other half, and the other way round. A
/// spread from a dozen values is itself not sure, so that Student's t with 12 degrees of freedom is met, not the normal distribution: 66.3
/// and 93.1 %.
#[test]
fn the_spread_of_one_half_is_that_of_the_other() {
    let [table, _] = all();
    let half = |parity: usize| table.iter().skip(parity).step_by(2);
    let mut values = Vec::new();
    for (given, held) in [(half(0), half(1)), (half(1), half(0))] {
        let spread: BTreeMap<_, f64> = by_kind(given).into_iter().map(|(of, db)| (of, root_mean_square(&db))).collect();
        for (of, db) in by_kind(held) {
            values.extend(spread.get(&of).iter().flat_map(|spread| db.iter().map(move |db| db / **spread)));
        }
    }
    hold("the other half", &values, INDEPENDENT * values.len() as f64, [0.663, 0.931]);
}

/// The A-weighted level behind the builds of the tables, of the loud drum kit of the catalogue and of equal energy in all octaves: computed minus
/// what the published octaves make of it, over the uncertainty that the sum over bands gives. Both of one build count as one.
#[test]
fn as_many_levels_lie_within_the_uncertainty_as_stated() {
    let kit = &Catalogue::built_in_ref().sources["drum-kit-loud"].lw_octaves_db;
    let sources = [Spectrum::from_fn(|band| 10f64.powf(kit[band / 3] / 10.0)), Spectrum::splat(1.0)];
    let mut values = Vec::new();
    for build in layered().iter().filter(|build| !build.octaves.is_empty()) {
        // Octaves stand in their middle third.
        let by_octave = |of: fn(&(f64, f64, f64)) -> f64| {
            let mut r_db = Spectrum::splat(f64::INFINITY);
            build.octaves.iter().for_each(|octave| r_db[Bands::nearest(octave.0)] = of(octave));
            r_db
        };
        let (published, computed) = (by_octave(|octave| octave.1), by_octave(|octave| octave.2));
        for before in &sources {
            let level_db = |r_db: &Spectrum| 10.0 * a_weighted(&before.less_db(r_db)).sum().log10();
            let off_db = level_db(&computed) - level_db(&published);
            values.push(off_db / of_level_db(before, &computed, build.spread));
        }
    }
    hold("levels", &values, values.len() as f64 / 2.0, NORMAL);
}

/// Ratings, of the tables and of the measured cases together, lie within it at least as often: they go by more bands than a level, which one or two
/// decide. No rating was used for the spread of bands. Those of the tables, which the model was fitted to, lie within it oftener than those of the
/// measured cases.
#[test]
fn ratings_lie_within_the_uncertainty_at_least_as_often() {
    let [table, measured] =
        all().map(|builds| builds.into_iter().flat_map(|build| build.ratings).collect::<Vec<f64>>());
    let together = [&table[..], &measured].concat();
    let [of_table, of_measured, met] = [&table, &measured, &together].map(|values| within(values));
    let _ = writeln!(std::io::stdout().lock(), "ratings: {of_table:.2?} of tables, {of_measured:.2?} measured");
    for (met, wanted) in met.into_iter().zip(NORMAL) {
        let scatter = (wanted * (1.0 - wanted) / together.len() as f64).sqrt();
        assert!(met >= wanted - 2.6 * scatter, "{met:.2} of {}, wanted {wanted:.2}", together.len());
    }
}

/// What is published of predictions against buildings: Simmons's margin, kept to by nine in ten; Hopkins's 95 % of junctions. Within the tolerances
/// of their cases.
#[test]
fn buildings_and_junctions_are_as_published() {
    let cases = |file: &str| -> Vec<serde_json::Value> {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/cases/measured").join(file);
        serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
    };
    let within = |file: &str, id: &str, key: &str, standards: f64, used_db: f64| {
        let cases = cases(file);
        let case = cases.iter().find(|case| case["id"] == id).unwrap();
        let (db, allowed_db) = (case["expected"][key].as_f64().unwrap(), case["tolerance"]["db"].as_f64().unwrap());
        assert!((db - standards * used_db).abs() <= allowed_db, "{id}: {used_db} dB for {db}");
    };
    within("prediction_accuracy.json", "simmons-margin", "prediction_margin_db", 1.28, IN_PLACE_DB);
    within("loss_factors_junctions.json", "hopkins-junction-ci", "confidence_interval_95_db", 1.96, JUNCTION_DB);
}
