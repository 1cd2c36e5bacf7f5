//! No steps: what is built a little differently insulates a little differently, and more mass does not cost insulation.
//!
//! Constructions of every family are turned at one number at a time, as a user would edit them, and rated as `leaklight element` does.

use leaklight::acoustics::rating::iso717_1::Airborne;
use leaklight::acoustics::{Air, Bands, Spectrum};
use leaklight::catalogue::{Bridge, Build, Catalogue, Construction, Layer, Material, material::Nature};
use leaklight::solve::construction::{laboratory_size_m, reduction};
use std::sync::atomic::{AtomicUsize, Ordering};

/// One or two of each family.
const FAMILIES: [&str; 28] = [
    "stud-timber-100-board",
    "stud-timber-100-double-board-filled",
    "stud-timber-100-resilient-filled",
    "stud-timber-staggered-filled",
    "stud-timber-twin-party",
    "stud-steel-70-board-filled",
    "brick-102-plastered",
    "brick-215-plastered",
    "aircrete-100-plastered",
    "concrete-150",
    "brick-cavity-255",
    "party-block-tieless",
    "timber-frame-outer",
    "brick-102-lined-battens",
    "brick-215-lined-frame",
    "block-100-lined-laminate",
    "window-single-6",
    "window-double-8-16-laminated-9",
    "window-secondary-double-100-6",
    "door-oak-44",
    "door-double-reveal",
    "joist-floor-plasterboard-filled",
    "joist-floor-dry-floating",
    "joist-floor-spring-hangers",
    "cross-laminated-floor-160-screed",
    "concrete-slab-180-screed-ceiling",
    "flat-roof-timber",
    "deck-chipboard-board",
];

/// One number is turned by so much at a time, which may change R by twice so many decibels as 2 % may, 1 dB.
const STEP: f64 = 1.04;
const MOST_DB: f64 = 2.0;
/// Dips move along with what makes them: with twice a number's share (fc of one stiff layer in a leaf goes with its thickness to the power of 1.5, bays
/// ring with one over the square of their width); and dips are narrower than three bands tell, by half as much again.
const FLANK: f64 = 3.0;

/// A board glued on stiff foam rings among the bands that Rw sees: the heavier it is, the deeper among them (Table D.1 of ISO 12354-1:2017 falls so too).
const ON_STIFF_FOAM: &str = "block-100-lined-laminate";

/// What is turned, of which layer.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Knob {
    Thickness(usize),
    Density(usize),
    Depth(usize),
    Fill(usize),
    Spacing(usize),
    Stiffness(usize),
}

fn layers(construction: &mut Construction) -> &mut Vec<Layer> {
    let Build::Layers(layers) = &mut construction.build else { panic!("{} has no layers", construction.id) };
    layers
}

fn knobs(construction: &Construction) -> Vec<Knob> {
    let mut knobs = Vec::new();
    for (at, layer) in layers(&mut construction.clone()).iter().enumerate() {
        match layer {
            Layer::Sheet { .. } => knobs.extend([Knob::Thickness(at), Knob::Density(at)]),
            Layer::Cavity { fill, bridge, .. } => {
                knobs.push(Knob::Depth(at));
                knobs.extend(fill.iter().map(|_| Knob::Fill(at)));
                knobs.extend(turned_bridge(*bridge, 2.0).map(|_| Knob::Spacing(at)));
            }
            Layer::Resilient { .. } => knobs.push(Knob::Stiffness(at)),
        }
    }
    knobs
}

/// The same bridge at another distance or in another number; nothing for what has none.
fn turned_bridge(bridge: Bridge, by: f64) -> Option<Bridge> {
    Some(match bridge {
        Bridge::TimberStuds { spacing_mm } => Bridge::TimberStuds { spacing_mm: spacing_mm * by },
        Bridge::LightSteelStuds { spacing_mm } => Bridge::LightSteelStuds { spacing_mm: spacing_mm * by },
        Bridge::ResilientBars { spacing_mm } => Bridge::ResilientBars { spacing_mm: spacing_mm * by },
        Bridge::StaggeredStuds { spacing_mm } => Bridge::StaggeredStuds { spacing_mm: spacing_mm * by },
        Bridge::Joists { spacing_mm } => Bridge::Joists { spacing_mm: spacing_mm * by },
        Bridge::Battens { spacing_mm } => Bridge::Battens { spacing_mm: spacing_mm * by },
        Bridge::WallTies { per_m2 } => Bridge::WallTies { per_m2: per_m2 * by },
        Bridge::RigidTies { per_m2 } => Bridge::RigidTies { per_m2: per_m2 * by },
        Bridge::Hangers { per_m2, resilient } => Bridge::Hangers { per_m2: per_m2 * by, resilient },
        Bridge::Springs { per_m2, stiffness_n_m } => Bridge::Springs { per_m2: per_m2 * by, stiffness_n_m },
        _ => return None,
    })
}

/// The built-in catalogue, with room for one more material.
fn catalogue_with(material: Option<Material>) -> Catalogue {
    let mut catalogue = Catalogue::built_in_ref().clone();
    catalogue.materials.extend(material.map(|material| (material.id.clone(), material)));
    catalogue
}

/// R of a construction turned by a factor; fills by their share of the cavity.
fn r_db(construction: &Construction, knob: Knob, by: f64) -> Spectrum {
    let mut turned = construction.clone();
    let mut own = None;
    let (Knob::Thickness(at)
    | Knob::Density(at)
    | Knob::Depth(at)
    | Knob::Fill(at)
    | Knob::Spacing(at)
    | Knob::Stiffness(at)) = knob;
    match (&mut layers(&mut turned)[at], knob) {
        (Layer::Sheet { thickness_mm, .. }, Knob::Thickness(_)) => *thickness_mm *= by,
        (Layer::Sheet { material, .. }, Knob::Density(_)) => {
            let like = &Catalogue::built_in_ref().materials[material.as_str()];
            *material = "turned".into();
            own = Some(Material { id: material.clone(), density_kg_m3: like.density_kg_m3 * by, ..like.clone() });
        }
        (Layer::Cavity { depth_mm, fill, .. }, Knob::Depth(_)) => {
            *depth_mm *= by;
            fill.iter_mut().for_each(|(_, thickness_mm)| *thickness_mm *= by);
        }
        (Layer::Cavity { depth_mm, fill: Some((_, thickness_mm)), .. }, Knob::Fill(_)) => {
            *thickness_mm = *depth_mm * by.min(1.0);
        }
        (Layer::Cavity { bridge, .. }, Knob::Spacing(_)) => *bridge = turned_bridge(*bridge, by).unwrap(),
        (Layer::Resilient { material, .. }, Knob::Stiffness(_)) => {
            let like = &Catalogue::built_in_ref().materials[material.as_str()];
            let Nature::Resilient { dynamic_stiffness_mn_m3, at_thickness_mm } = like.nature else {
                panic!("{material}")
            };
            let dynamic_stiffness_mn_m3 = dynamic_stiffness_mn_m3 * by;
            *material = "turned".into();
            let nature = Nature::Resilient { dynamic_stiffness_mn_m3, at_thickness_mm };
            own = Some(Material { id: material.clone(), nature, ..like.clone() });
        }
        (layer, _) => panic!("{knob:?} of {layer:?}"),
    }
    computed(&catalogue_with(own), &turned)
}

fn computed(catalogue: &Catalogue, construction: &Construction) -> Spectrum {
    let (air, bands) = (Air::default(), Bands::exact());
    reduction(catalogue, construction, laboratory_size_m(construction.kind), &air, &bands).unwrap().r_db
}

fn rw_db(r_db: &Spectrum) -> f64 {
    Airborne::rw_tenths_db_of_spectrum(r_db)
}

/// Steps of a range, even over the logarithm.
fn range(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let count = ((to / from).ln() / STEP.ln()).ceil();
    (0..=count as usize).map(move |at| from * (to / from).powf(at as f64 / count))
}

/// How far R goes from one band to the next, at most.
fn slope_db(r_db: &Spectrum, band: usize) -> f64 {
    let beside = [band.saturating_sub(1), (band + 1).min(23)];
    beside.into_iter().map(|other| (r_db[band] - r_db[other]).abs()).fold(0.0, f64::max)
}

/// What jumps from one step to the next, in words.
fn jumps(curves: &[(f64, Spectrum)], what: &str) -> Vec<String> {
    let mut jumps = Vec::new();
    // A third octave is a tenth of a decade.
    let moved = FLANK * STEP.log10() / 0.1;
    for pair in curves.windows(2) {
        let [(_, before), (at, after)] = pair else { continue };
        for band in leaklight::acoustics::bands::INDEX_50_HZ..24 {
            let change = after[band] - before[band];
            let most = MOST_DB + moved * slope_db(before, band).max(slope_db(after, band));
            if change.abs() > most {
                let hz = leaklight::acoustics::bands::NOMINAL_HZ[band];
                jumps.push(format!("{what} at {at:.3}: {hz} Hz by {change:+.1} dB, {most:.1} may be"));
            }
        }
        let change = rw_db(after) - rw_db(before);
        if change.abs() > MOST_DB + 0.1 {
            jumps.push(format!("{what} at {at:.3}: Rw by {change:+.1} dB"));
        }
    }
    jumps
}

/// How much Rw falls at most from its best so far as a number rises.
fn fall_db(curves: &[(f64, Spectrum)]) -> f64 {
    let mut best = f64::MIN;
    let falls = curves.iter().map(|(_, r_db)| {
        best = best.max(rw_db(r_db));
        best - rw_db(r_db)
    });
    falls.fold(0.0, f64::max)
}

/// Everything in `all` done, on as many threads as there are.
fn each<T: Sync>(all: &[T], found: impl Fn(&T) -> Vec<String> + Sync) -> Vec<String> {
    let (next, threads) = (AtomicUsize::new(0), std::thread::available_parallelism().map_or(1, usize::from));
    let work = || {
        let mut faults = Vec::new();
        while let Some(one) = all.get(next.fetch_add(1, Ordering::Relaxed)) {
            faults.extend(found(one));
        }
        faults
    };
    std::thread::scope(|scope| {
        let running: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        running.into_iter().flat_map(|thread| thread.join().unwrap()).collect()
    })
}

/// Thickness, density, depth of gap, fill, distance of studs, number of ties and stiffness of springs of every family, from half of the catalogue's value
/// to twice it, fills from a hundredth of their cavity: within 1 dB for 2 % in every band and in Rw, but for dips that move along.
///
/// The denser a layer of given thickness, the higher Rw: fc stays where it is, so that coincidence explains nothing. A resonance may move into the bands that
/// Rw sees and take 1.4 dB of it (door beside door); farther falls only what [`ON_STIFF_FOAM`] names.
#[test]
fn nothing_steps() {
    let catalogue = Catalogue::built_in_ref();
    let all: Vec<(&Construction, Knob)> = FAMILIES
        .iter()
        .map(|id| &catalogue.constructions[*id])
        .flat_map(|construction| knobs(construction).into_iter().map(move |knob| (construction, knob)))
        .collect();
    let faults = each(&all, |(construction, knob)| {
        let (from, to) = match knob {
            Knob::Fill(_) => (0.01, 1.0),
            // Nobody sets studs farther apart than about a metre.
            Knob::Spacing(_) => (0.5, 1.7),
            _ => (0.5, 2.0),
        };
        let curves: Vec<_> = range(from, to).map(|by| (by, r_db(construction, *knob, by))).collect();
        let what = format!("{} {knob:?}", construction.id);
        let mut faults = jumps(&curves, &what);
        let fall_db = fall_db(&curves);
        let most_db = if construction.id == ON_STIFF_FOAM { 2.5 } else { 1.4 };
        if matches!(knob, Knob::Density(_)) && fall_db > most_db {
            faults.push(format!("{what}: Rw falls by {fall_db:.1} dB as mass grows"));
        }
        faults
    });
    assert!(faults.is_empty(), "{} of {}:\n{}", faults.len(), all.len(), faults.join("\n"));
}

fn sheet(material: &str, thickness_mm: f64) -> Layer {
    Layer::Sheet { material: material.into(), thickness_mm, bonded: false }
}

fn made(like: &str, layers: Vec<Layer>) -> Construction {
    Construction { build: Build::Layers(layers), ..Catalogue::built_in_ref().constructions[like].clone() }
}

/// Where models meet: leaves of 20 to 160 kg/m², by themselves, as lining and as one of two, and panes of 6 to 40 mm.
#[test]
fn nothing_steps_where_light_meets_heavy() {
    let wool = || Some(("glass-wool-slab".to_owned(), 50.0));
    let gap = |bridge| Layer::Cavity { depth_mm: 50.0, fill: wool(), bridge };
    let brick = || sheet("clay-brick", 102.0);
    let all = [
        (made("window-single-6", vec![sheet("glass", 6.0)]), Knob::Thickness(0), 1.0, 7.0),
        (made("concrete-150", vec![sheet("concrete", 50.0)]), Knob::Thickness(0), 0.3, 1.5),
        (made("concrete-150", vec![sheet("aircrete-block", 50.0)]), Knob::Density(0), 0.6, 5.0),
        (made("concrete-150", vec![sheet("chipboard", 38.0)]), Knob::Density(0), 0.7, 6.0),
        (
            made("brick-102-bare", vec![brick(), gap(Bridge::Free), sheet("concrete", 20.0)]),
            Knob::Thickness(2),
            0.4,
            3.5,
        ),
        (
            made("brick-102-bare", vec![brick(), gap(Bridge::Free), sheet("plasterboard-dense", 15.0)]),
            Knob::Density(2),
            1.0,
            12.0,
        ),
        (
            made("brick-102-bare", vec![sheet("concrete", 30.0), gap(Bridge::Free), sheet("concrete", 20.0)]),
            Knob::Thickness(2),
            0.5,
            5.0,
        ),
        (
            made(
                "concrete-slab-150",
                vec![
                    sheet("chipboard", 38.0),
                    Layer::Resilient { material: "impact-stone-wool".into(), thickness_mm: 30.0 },
                    sheet("concrete", 60.0),
                ],
            ),
            Knob::Thickness(2),
            0.15,
            2.0,
        ),
    ];
    let faults = each(&all, |(construction, knob, from, to)| {
        let curves: Vec<_> = range(*from, *to).map(|by| (by, r_db(construction, *knob, by))).collect();
        jumps(&curves, &format!("{:?} {knob:?}", construction.build))
    });
    assert!(faults.is_empty(), "{}:\n{}", faults.len(), faults.join("\n"));
}

/// One to six boards on either kind of wall: each adds to Rw, in tenths of a decibel, whatever it weighs by then (fc of boards screwed to one another is that of one).
#[test]
fn no_board_is_one_too_many() {
    for id in [
        "brick-215-lined-frame",
        "brick-102-lined-battens",
        "stud-timber-100-board-filled",
        "stud-timber-100-resilient-filled",
        "joist-floor-resilient",
    ] {
        let mut construction = Catalogue::built_in_ref().constructions[id].clone();
        let board = layers(&mut construction).last().unwrap().clone();
        while layers(&mut construction).last() == Some(&board) {
            layers(&mut construction).pop();
        }
        let ratings: Vec<f64> = (1..=6)
            .map(|_| {
                layers(&mut construction).push(board.clone());
                rw_db(&computed(Catalogue::built_in_ref(), &construction))
            })
            .collect();
        assert!(ratings.windows(2).all(|pair| pair[1] > pair[0] - 0.2), "{id}: {ratings:.1?}");
    }
}
