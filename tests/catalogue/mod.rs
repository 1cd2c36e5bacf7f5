//! What the built-in catalogue must hold: enough entries, values that agree with print, weights that agree with hand arithmetic.

use std::collections::BTreeSet;

mod usual;

use leaklight::acoustics::bands::OCTAVE_HZ;
use leaklight::acoustics::{Air, Bands};
use leaklight::catalogue::material::Nature;
use leaklight::catalogue::{Build, Catalogue, Certainty, ConstructionKind, Layer, Material, Provenance};
use leaklight::solve::construction;

/// The cases of one published topic.
fn cases(topic: &str) -> Vec<serde_json::Value> {
    let path = format!("{}/tests/published/cases/{topic}.json", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect("the cases are committed");
    serde_json::from_str(&text).expect("the cases are JSON")
}

/// A number of a case, by JSON pointer.
fn number(case: &serde_json::Value, pointer: &str) -> Option<f64> {
    case.pointer(pointer).and_then(serde_json::Value::as_f64)
}

fn case<'a>(cases: &'a [serde_json::Value], id: &str) -> &'a serde_json::Value {
    cases.iter().find(|case| case["id"] == id).unwrap_or_else(|| panic!("no case {id}"))
}

#[test]
fn the_built_in_catalogue_is_sound() {
    if let Err(faults) = Catalogue::from_ron(Catalogue::built_in_text) {
        panic!("{faults:?}");
    }
}

#[test]
fn there_is_enough_to_choose_from() {
    let catalogue = Catalogue::built_in_ref();
    for (what, count, least) in [
        ("materials", catalogue.materials.len(), 45),
        ("constructions", catalogue.constructions.len(), 60),
        ("finishes", catalogue.finishes.len(), 15),
        ("sound sources", catalogue.sources.len(), 15),
        ("targets", catalogue.targets.len(), 17),
        ("seals", catalogue.seals.len(), 6),
    ] {
        assert!(count >= least, "{count} {what}, {least} wanted");
    }
    for (kind, least) in [
        (ConstructionKind::Wall, 20),
        (ConstructionKind::Floor, 12),
        (ConstructionKind::Ground, 2),
        (ConstructionKind::Roof, 6),
        (ConstructionKind::Window, 10),
        (ConstructionKind::Door, 8),
        (ConstructionKind::Vent, 2),
        (ConstructionKind::Open, 1),
    ] {
        let count = catalogue.constructions.values().filter(|entry| entry.kind == kind).count();
        assert!(count >= least, "{count} of {kind:?}, {least} wanted");
    }
}

/// Scenes of the project and people's own files name these: they may not vanish.
#[test]
fn ids_that_scenes_rely_on_exist() {
    let catalogue = Catalogue::built_in_ref();
    let mut missing = Vec::new();
    for id in words(
        "brick-215-plastered brick-cavity-255 brick-102-plastered stud-timber-100-board stud-timber-100-lath-plaster \
         stud-steel-twin-party block-100-plastered concrete-180 concrete-250 joist-floor-lath-plaster \
         joist-floor-plasterboard joist-floor-resilient concrete-slab-180 concrete-slab-180-floating-screed \
         concrete-slab-250-floating-screed ground-timber-suspended ground-concrete roof-slate-rafters \
         loft-ceiling-plasterboard loft-ceiling-lath-plaster flat-roof-timber flat-roof-concrete window-single-4 \
         window-sash-single-4 window-double-4-16-4 window-double-6-12-4 window-secondary-4-100-6 window-triple \
         door-hollow-core door-panelled-timber door-solid-core-44 door-front-timber-54 door-double-lobby \
         shopfront-glass-10 vent-open-100 vent-acoustic hole-open",
    ) {
        missing.extend(catalogue.construction(id).err());
    }
    for id in words(
        "wood-floor-joists plaster-on-masonry plasterboard-void carpet-on-felt linoleum-on-concrete curtain-heavy \
         foam-50 mineral-wool-panel-50 concrete-smooth brick-bare audience-wood-chairs glass-pane",
    ) {
        assert!(catalogue.finishes.contains_key(id), "{id}");
    }
    for id in words(
        "drum-kit-loud drum-kit-soft snare-alone bass-drum-alone trumpet trombone brass-ensemble saxophone piano \
         guitar-amp bass-amp singing speech workshop-machine rehearsal-band",
    ) {
        assert!(catalogue.sources.contains_key(id), "{id}");
    }
    for id in words(
        "who-bedroom-night who-dwelling-day sweden-music sweden-low-frequency denmark-low-frequency-night \
         netherlands-music-day netherlands-music-evening germany-day germany-night scotland-day scotland-evening \
         scotland-night nr15 nr20 new-york-music inaudible uk-garden-day",
    ) {
        assert!(catalogue.targets.contains_key(id), "{id}");
    }
    for id in words("none worn brush compression-single compression-double drop-threshold") {
        assert!(catalogue.seals.contains_key(id), "{id}");
    }
    assert!(missing.is_empty(), "{missing:?}");
}

fn words(list: &str) -> std::str::SplitWhitespace<'_> {
    list.split_whitespace()
}

fn provenances(catalogue: &Catalogue) -> Vec<&Provenance> {
    let mut all: Vec<&Provenance> = catalogue.materials.values().map(|entry| &entry.provenance).collect();
    all.extend(catalogue.constructions.values().map(|entry| &entry.provenance));
    all.extend(catalogue.constructions.values().filter_map(|entry| Some(&entry.usual_rw.as_ref()?.provenance)));
    all.extend(catalogue.finishes.values().map(|entry| &entry.provenance));
    all.extend(catalogue.sources.values().map(|entry| &entry.provenance));
    all.extend(catalogue.forces.values().map(|entry| &entry.provenance));
    all.extend(catalogue.targets.values().map(|entry| &entry.provenance));
    all.extend(catalogue.seals.values().map(|entry| &entry.provenance));
    all
}

#[test]
fn every_source_is_in_the_bibliography_and_every_reference_is_used() {
    let catalogue = Catalogue::built_in_ref();
    let measures = leaklight::advise::built_in().iter().map(|measure| &measure.provenance);
    let all = provenances(catalogue).into_iter().chain(measures);
    let named: BTreeSet<&str> = all.map(|found| found.source.as_str()).filter(|source| !source.is_empty()).collect();
    let known: BTreeSet<&str> = catalogue.references.keys().map(String::as_str).collect();
    assert_eq!(named, known);
}

/// What was invented or derived says how, since no page can be looked up for it.
#[test]
fn invented_and_derived_values_say_how() {
    for found in provenances(Catalogue::built_in_ref()) {
        if matches!(found.certainty, Certainty::Invented | Certainty::Derived) {
            assert!(!found.place.is_empty(), "{found:?}");
        }
    }
}

/// A limit by day holds through a working day in all countries of the one it stands for; every limit that does not hold then has one, but for
/// the curve that allows 5 dB more by day, which is none of the list.
#[test]
fn limits_of_the_night_name_their_counterpart_by_day() {
    let catalogue = Catalogue::built_in_ref();
    let by_day = (10.0, 16.0);
    for target in catalogue.targets.values() {
        match &target.by_day {
            Some(id) => {
                let day = &catalogue.targets[id];
                assert!(day.holds_through(by_day) && !target.holds_through(by_day), "{}", target.id);
                assert!(target.countries.iter().all(|country| day.holds_in(country)), "{}", target.id);
                assert!(target.business || !day.business, "{}", target.id);
            }
            None => assert!(target.holds_through(by_day) || target.id == "uk-low-frequency-curve", "{}", target.id),
        }
    }
    for (old, new, said) in [
        (
            "by_day: \"who-dwelling-day\"",
            "by_day: \"who-dwelling-noon\"",
            "there is no limit \"who-dwelling-noon\" for the day",
        ),
        (
            "by_day: \"who-dwelling-day\"",
            "by_day: \"uk-bedroom-night\"",
            "\"uk-bedroom-night\" is no limit for other hours",
        ),
        ("by_day: \"france-neighbour-day\"", "by_day: \"scotland-day\"", "\"scotland-day\" does not hold in all"),
    ] {
        let changed = Catalogue::built_in_text("targets.ron").replacen(old, new, 1);
        let read =
            Catalogue::from_ron(|file| if file == "targets.ron" { &changed } else { Catalogue::built_in_text(file) });
        let faults = read.expect_err("it is faulty");
        assert!(faults.len() == 1 && faults[0].to_string().contains(said), "{faults:?}");
    }
}

#[test]
fn every_material_of_a_layer_exists() {
    let catalogue = Catalogue::built_in_ref();
    for construction in catalogue.constructions.values() {
        if let Build::Layers(layers) = &construction.build {
            for layer in layers {
                let material = match layer {
                    Layer::Sheet { material, .. } | Layer::Resilient { material, .. } => Some(material),
                    Layer::Cavity { fill, .. } => fill.as_ref().map(|(material, _)| material),
                };
                assert!(material.is_none_or(|id| catalogue.materials.contains_key(id)), "{}", construction.id);
            }
        }
    }
}

fn plate(material: &Material) -> (f64, f64, f64) {
    match material.nature {
        Nature::Plate { longitudinal_speed_m_s, poisson, internal_loss } => {
            (longitudinal_speed_m_s, poisson, internal_loss)
        }
        _ => panic!("{} is no plate", material.id),
    }
}

/// Hopkins, Sound Insulation (2007), Table A2: the values as printed, exactly; what the table leaves open is not compared.
#[test]
fn plates_match_hopkins_table_a2() {
    let (catalogue, printed) = (Catalogue::built_in_ref(), cases("elements_heavy"));
    for (id, row) in [
        ("aircrete-block", "hopkins-a2-01"),
        ("aluminium", "hopkins-a2-02"),
        ("clay-brick", "hopkins-a2-03"),
        ("calcium-silicate-block", "hopkins-a2-04"),
        ("chipboard", "hopkins-a2-05"),
        ("clinker-block-light", "hopkins-a2-06"),
        ("clinker-block", "hopkins-a2-07"),
        ("concrete-cast", "hopkins-a2-09"),
        ("dense-block", "hopkins-a2-10"),
        ("expanded-clay-block", "hopkins-a2-11"),
        ("glass", "hopkins-a2-12"),
        ("lightweight-block", "hopkins-a2-13"),
        ("mdf", "hopkins-a2-14"),
        ("mortar", "hopkins-a2-15"),
    ] {
        let (material, row) = (&catalogue.materials[id], case(&printed, row));
        let (speed_m_s, poisson, internal_loss) = plate(material);
        for (what, ours, theirs) in [
            ("speed", speed_m_s, number(row, "/inputs/quasi_longitudinal_speed_m_s")),
            ("Poisson's ratio", poisson, number(row, "/inputs/poisson_ratio")),
            ("loss", internal_loss, number(row, "/inputs/internal_loss_factor")),
            ("density", material.density_kg_m3, number(row, "/inputs/density_kg_m3")),
        ] {
            assert!(theirs.is_none_or(|theirs| theirs == ours), "{id}: {what} {ours}, printed {theirs:?}");
        }
        // Rounded to 0.1 m/s in print, with c0 = 343 m/s.
        let h_fc_m_s = 343.0_f64.powi(2) * 12f64.sqrt() / (2.0 * std::f64::consts::PI * speed_m_s);
        let printed = number(row, "/expected/thickness_times_critical_frequency_m_hz").expect("printed");
        assert!((h_fc_m_s - printed).abs() <= 0.051, "{id}: h fc {h_fc_m_s}, printed {printed}");
    }
}

/// Long, Architectural Acoustics (2006), Table 9.1 prints thickness times critical frequency, m/s: another author's measurements
/// of like materials. Tolerance 20 %, twice the usual scatter of 10 %; brick and chipboard are left out since the two books
/// differ there by 20 % and 28 %.
#[test]
fn critical_frequencies_agree_with_a_second_handbook() {
    let catalogue = Catalogue::built_in_ref();
    for (id, printed_m_s) in [
        ("concrete", 19.0),
        ("concrete-cast", 19.0),
        ("lightweight-block", 34.0),
        ("lightweight-concrete", 34.0),
        ("aircrete-block", 33.0),
        ("plasterboard-natural", 38.0),
        ("plasterboard", 38.0),
        ("plasterboard-dense", 38.0),
        ("fibre-cement", 17.0),
        ("plywood-birch", 20.0),
        ("plywood-softwood", 20.0),
        ("glass", 12.7),
        ("steel", 12.4),
        ("aluminium", 12.0),
        ("copper", 16.3),
    ] {
        let (speed_m_s, ..) = plate(&catalogue.materials[id]);
        let h_fc_m_s = 343.2_f64.powi(2) / (1.8 * speed_m_s);
        assert!((h_fc_m_s / printed_m_s - 1.0).abs() < 0.2, "{id}: {h_fc_m_s} and {printed_m_s}");
    }
}

/// Hopkins, Sound Insulation (2007), Table A3: exactly as printed.
#[test]
fn resilient_layers_match_hopkins_table_a3() {
    let (catalogue, printed) = (Catalogue::built_in_ref(), cases("impact_prediction"));
    for (id, row) in [
        ("polyethylene-foam", "hopkins-a3-01"),
        ("polystyrene-rigid", "hopkins-a3-02"),
        ("impact-stone-wool-soft", "hopkins-a3-04"),
        ("impact-stone-wool", "hopkins-a3-07"),
        ("impact-glass-wool-13", "hopkins-a3-08"),
        ("impact-glass-wool", "hopkins-a3-10"),
        ("impact-glass-wool-40", "hopkins-a3-11"),
        ("foam-reconstituted", "hopkins-a3-13"),
    ] {
        let (material, row) = (&catalogue.materials[id], case(&printed, row));
        let Nature::Resilient { dynamic_stiffness_mn_m3, at_thickness_mm } = material.nature else {
            panic!("{id} is no resilient layer");
        };
        assert_eq!(Some(dynamic_stiffness_mn_m3), number(row, "/expected/dynamic_stiffness_mn_m3"), "{id}");
        assert_eq!(Some(at_thickness_mm), number(row, "/inputs/thickness_mm"), "{id}");
        assert_eq!(Some(material.density_kg_m3), number(row, "/inputs/density_kg_m3"), "{id}");
    }
}

/// Bies, Hansen & Howard, 5th ed. (2017), Table 6.2. Rows taken from it: exactly. Rows of other handbooks beside it: within the
/// 0.15 by which absorption tables differ (the tolerance written in the cases), plaster on lath and the glass thickness included.
#[test]
fn finishes_agree_with_bies_table_6_2() {
    let (catalogue, printed) = (Catalogue::built_in_ref(), cases("absorption"));
    let alphas = |surface: &str| -> Vec<f64> {
        let row = printed.iter().find(|case| case["inputs"]["surface"] == surface);
        let row = row.unwrap_or_else(|| panic!("no surface {surface}"));
        let list = row["expected"]["sabine_alpha"].as_array().expect("six values");
        list.iter().map(|alpha| alpha.as_f64().expect("a number")).collect()
    };
    for (id, surface, tolerance) in [
        ("plaster-on-masonry", "plaster on brick", 0.0),
        ("wood-floor-joists", "wood floor on joists", 0.0),
        ("glass-wool-100-exposed", "fibreglass or rockwool blanket 16 kg/m3, 100 mm", 0.0),
        ("ceiling-tile-suspended", "13 mm mineral tile suspended 500 mm below ceiling", 0.0),
        ("door-timber", "solid timber door", 0.0),
        ("linoleum-on-concrete", "linoleum, asphalt, rubber or cork tile on concrete", 0.0),
        ("render-on-brick", "hard surfaces (brick walls, plaster, hard floors)", 0.15),
        ("plaster-on-lath", "plaster on lath", 0.15),
        ("block-painted", "concrete block painted", 0.15),
        ("carpet-on-felt", "carpet 6 mm on underlay", 0.15),
    ] {
        let ours = catalogue.finishes[id].alpha_octaves;
        for (ours, theirs) in ours.iter().zip(alphas(surface)) {
            assert!((ours - theirs).abs() <= tolerance + 1e-12, "{id}: {ours}, printed {theirs}");
        }
    }
}

/// A-weighting at the octave midbands 31.5 Hz to 4 kHz, dB. Source: IEC 61672-1:2013 Table 3.
const A_WEIGHTING_DB: [f64; 8] = [-39.4, -26.2, -16.1, -8.6, -3.2, 0.0, 1.2, 1.0];

fn total_db(levels_db: impl Iterator<Item = f64>) -> f64 {
    10.0 * levels_db.map(|db| 10f64.powf(db / 10.0)).sum::<f64>().log10()
}

fn a_weighted_db(id: &str) -> f64 {
    let source = &Catalogue::built_in_ref().sources[id];
    assert_eq!(source.lw_octaves_db.len(), OCTAVE_HZ.len());
    total_db(source.lw_octaves_db.iter().zip(A_WEIGHTING_DB).map(|(lw, a)| lw + a))
}

/// Sound Advice guidance note 16: levels at the teacher in single lessons, dB(A). A room of 30 m³ with T = 0.4 s lowers LW by 5 dB
/// (G = 26 dB, ISO 3382-1): what one player gives. The measured level may lie 6 dB above: teacher and pupil both play (3 dB), and the own
/// instrument at 0.5 m adds as much direct sound, LW - 11 + 6 dB, as the room gives (3 dB). It may lie 10 dB under: no lesson is steady forte.
#[test]
fn instruments_in_a_teaching_room_agree_with_measured_lessons() {
    for (id, lesson_db) in
        [("saxophone", 95.0), ("trombone", 90.0), ("flute", 89.0), ("violin", 84.0), ("singing", 85.0), ("piano", 82.0)]
    {
        let in_room_db = a_weighted_db(id) - 5.0;
        assert!(
            (lesson_db - 6.0..=lesson_db + 10.0).contains(&in_room_db),
            "{id}: {in_room_db:.1}, lesson {lesson_db}"
        );
    }
}

/// Levels the entries were made for: ISO 3382-3 prints 68.4 dB(A) for speech (tolerance 0.1, since 8 kHz is left out); the kit is meant
/// for 105 dB(A) in 30 m³, the band for 105 dB(A) in 50 m³ (G = 24 dB), T = 0.4 s both (tolerance 1 dB, 8 kHz left out).
#[test]
fn a_weighted_totals_are_those_stated() {
    for (id, stated_db, tolerance) in
        [("speech", 68.4, 0.1), ("drum-kit-loud", 105.0 + 5.0, 1.0), ("rehearsal-band", 105.0 + 7.0, 1.0)]
    {
        let ours_db = a_weighted_db(id);
        assert!((ours_db - stated_db).abs() < tolerance, "{id}: {ours_db}");
    }
}

/// Meyer's mean powers at forte, unweighted totals, dB (from memory); rounding of eight octaves to 0.1 dB leaves 0.1 dB.
#[test]
fn orchestral_totals_are_those_of_meyer() {
    for (id, total) in [("violin", 89.0), ("cello", 90.0), ("double-bass", 92.0), ("flute", 91.0), ("clarinet", 93.0)]
        .into_iter()
        .chain([("french-horn", 102.0), ("trumpet", 101.0), ("trombone", 101.0), ("tuba", 104.0)])
    {
        let source = &Catalogue::built_in_ref().sources[id];
        assert!((total_db(source.lw_octaves_db.into_iter()) - total).abs() < 0.1, "{id}");
    }
}

/// ISO 23591: LW = 90 + 10 lg of the summed powers in mW: 2 × 12.6 + 2 × 12.6 + 15.8 + 25.1 mW give 109.6 dB.
#[test]
fn a_brass_ensemble_is_the_sum_of_its_players() {
    let source = &Catalogue::built_in_ref().sources["brass-ensemble"];
    let milliwatts = 2.0 * 12.59 + 2.0 * 12.59 + 15.85 + 25.12;
    let expected_db = 90.0 + 10.0 * f64::log10(milliwatts);
    assert!((total_db(source.lw_octaves_db.into_iter()) - expected_db).abs() < 0.1);
}

/// Sivian, Dunn & White (1931) measured the peak powers; a sine alone has 3 dB between peak and mean, music far more: the tuba, 113 dB of
/// peak over 104 dB at forte (Meyer), is the closest pair in print.
#[test]
fn mean_powers_stay_below_measured_peaks() {
    let printed = cases("sources");
    for (id, row) in [
        ("bass-drum-alone", "peak-power-large-bass-drum"),
        ("snare-alone", "peak-power-snare-drum"),
        ("cymbals-alone", "peak-power-cymbals"),
        ("trombone", "peak-power-trombone"),
        ("piano", "peak-power-piano"),
        ("tuba", "peak-power-bass-tuba"),
        ("flute", "peak-power-flute"),
    ] {
        let peak_db = number(case(&printed, row), "/expected/peak_sound_power_level_db").expect("printed");
        let source = &Catalogue::built_in_ref().sources[id];
        let mean_db = total_db(source.lw_octaves_db.into_iter());
        assert!(mean_db <= peak_db - 9.0, "{id}: mean {mean_db:.1}, peak {peak_db:.1}");
    }
}

#[test]
fn parts_of_a_drum_kit_are_softer_than_the_kit() {
    let catalogue = Catalogue::built_in_ref();
    let kit = catalogue.sources["drum-kit-loud"].lw_octaves_db;
    for id in ["snare-alone", "bass-drum-alone", "cymbals-alone", "drum-kit-soft"] {
        for (part_db, kit_db) in catalogue.sources[id].lw_octaves_db.iter().zip(kit) {
            assert!(*part_db <= kit_db, "{id}: {part_db} and {kit_db}");
        }
    }
}

/// Hand arithmetic, kg/m²; printed masses of the same builds where a handbook has them: Bies, Hansen & Howard (2017), Table 7.6:
/// plastered half brick 240, one and a half bricks 720, hollow core door 9; within 15 %, since bricks and boards differ.
#[test]
fn weights_agree_with_hand_values_and_print() {
    let catalogue = Catalogue::built_in_ref();
    let mass = |id: &str| catalogue.construction(id).unwrap().mass_per_area_kg_m2(catalogue).unwrap();
    for (id, by_hand) in [
        ("brick-215-plastered", 0.215 * 1750.0 + 0.026 * 1750.0),
        ("stud-timber-100-board", 2.0 * 0.0125 * 680.0),
        ("stud-timber-100-board-filled", 2.0 * 0.0125 * 680.0 + 0.1 * 14.0),
        ("concrete-slab-180-floating-screed", 0.065 * 2000.0 + 0.025 * 75.0 + 0.18 * 2300.0),
        ("window-double-4-16-4", 20.0),
        ("window-single-4", 10.0),
        ("shopfront-glass-10", 25.0),
        ("roof-slate-rafters", 30.0),
        ("hole-open", 0.0),
    ] {
        assert!((mass(id) - by_hand).abs() < 1e-9, "{id}: {} and {by_hand}", mass(id));
    }
    for (id, printed) in [("brick-102-plastered", 240.0), ("brick-327-plastered", 720.0), ("concrete-slab-180", 414.0)]
    {
        assert!((mass(id) / printed - 1.0).abs() < 0.15, "{id}: {}", mass(id));
    }
}

#[test]
fn a_wall_is_as_thick_as_its_layers() {
    assert_eq!(Catalogue::built_in_ref().construction("brick-cavity-255").unwrap().thickness_m(), 0.267);
}

#[test]
fn every_construction_can_be_computed() {
    let catalogue = Catalogue::built_in_ref();
    for entry in catalogue.constructions.values() {
        let curve = construction::reduction(catalogue, entry, [3.0, 2.5], &Air::default(), &Bands::exact());
        match curve {
            Ok(curve) => assert!(curve.r_db.is_finite(), "{}", entry.id),
            Err(unusable) => panic!("{unusable}"),
        }
    }
}

/// Needs from the transfer matrix: at most four leaves.
#[test]
fn no_construction_has_more_leaves_than_can_be_computed() {
    let catalogue = Catalogue::built_in_ref();
    for construction in catalogue.constructions.values() {
        let Build::Layers(layers) = &construction.build else { continue };
        let between = layers.iter().filter(|layer| !matches!(layer, Layer::Sheet { .. })).count();
        assert!(between < 4, "{}", construction.id);
    }
}

#[test]
fn a_tighter_seal_has_a_narrower_gap() {
    let seals = &Catalogue::built_in_ref().seals;
    let gaps: Vec<f64> =
        words("none worn brush compression-single compression-double").map(|id| seals[id].gap_mm).collect();
    assert!(gaps.is_sorted_by(|a, b| a > b), "{gaps:?}");
}

/// Dn,e of a hole that lets everything through: 10 lg(A0/S), A0 = 10 m² (ISO 10140-2); whole decibels in the catalogue.
#[test]
fn open_vents_follow_their_area() {
    let catalogue = Catalogue::built_in_ref();
    for (id, area_m2) in [("vent-open-100", 0.007_854), ("vent-open-150", 0.017_671), ("vent-brick-225", 0.0035)] {
        let Build::NormalisedDifference { dne_octaves_db } = &catalogue.construction(id).unwrap().build else {
            panic!("{id} is no vent");
        };
        let expected_db = 10.0 * f64::log10(10.0 / area_m2);
        assert!(dne_octaves_db.iter().all(|dne| (dne - expected_db).abs() <= 0.5), "{id}: {expected_db}");
    }
}
