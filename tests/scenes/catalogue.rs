//! A small catalogue made by hand (values invented), so that these tests ask about words and kinds and not about data.

use leaklight::catalogue::material::Nature;
use leaklight::catalogue::target::{Limit, Place};
use leaklight::catalogue::{
    Bridge, Build, Catalogue, Certainty, Construction, ConstructionKind as Kind, Finish, Layer, Material, Provenance,
    Seal, SoundSource, Target,
};

fn invented() -> Provenance {
    Provenance { source: String::new(), place: String::new(), certainty: Certainty::Invented }
}

fn material(id: &str, nature: Nature) -> (String, Material) {
    let material = Material {
        id: id.into(),
        name: id.into(),
        density_kg_m3: 1000.0,
        nature,
        provenance: invented(),
        caution: String::new(),
    };
    (id.into(), material)
}

fn sheet(thickness_mm: f64) -> Layer {
    Layer::Sheet { material: "board".into(), thickness_mm, bonded: false }
}

fn joists() -> Build {
    let bridge = Bridge::Joists { spacing_mm: 400.0 };
    Build::Layers(vec![sheet(20.0), Layer::Cavity { depth_mm: 180.0, fill: None, bridge }, sheet(20.0)])
}

fn construction(id: &str, kind: Kind) -> (String, Construction) {
    let build = match kind {
        Kind::Open => Build::Open,
        _ if id.ends_with("measured") => {
            Build::Measured { thickness_mm: 20.0, mass_per_area_kg_m2: 15.0, r_db: vec![30.0; 16] }
        }
        Kind::Vent => Build::NormalisedDifference { dne_octaves_db: [30.0; 7] },
        Kind::Floor if id.starts_with("joist") => joists(),
        _ => Build::Layers(vec![sheet(100.0)]),
    };
    let construction = Construction {
        id: id.into(),
        name: id.into(),
        kind,
        build,
        provenance: invented(),
        usual_rw: None,
        price_per_m2: None,
        caution: String::new(),
    };
    (id.into(), construction)
}

pub(super) fn catalogue() -> Catalogue {
    let constructions = [
        ("brick-215-plastered", Kind::Wall),
        ("brick-102-plastered", Kind::Wall),
        ("concrete-180", Kind::Wall),
        ("joist-floor-plasterboard", Kind::Floor),
        ("concrete-slab-180", Kind::Floor),
        ("ground-concrete", Kind::Ground),
        ("flat-roof-concrete", Kind::Roof),
        ("window-single-4", Kind::Window),
        ("door-panelled-timber", Kind::Door),
        ("vent-open-100", Kind::Vent),
        ("hole-open", Kind::Open),
        ("leaf-board", Kind::Leaf),
        ("leaf-measured", Kind::Leaf),
    ];
    let finishes = ["wood-floor-joists", "plaster-on-masonry", "plasterboard-void", "carpet-on-felt"];
    let finish = |id: &str| Finish {
        id: id.into(),
        name: id.into(),
        alpha_octaves: [0.1; 6],
        provenance: invented(),
        caution: String::new(),
    };
    let sound = SoundSource {
        id: "drum-kit-loud".into(),
        name: "drum kit".into(),
        lw_octaves_db: [100.0; 8],
        lafmax_minus_laeq_db: 8.0,
        uncertainty_db: 3.0,
        contacts: vec![],
        provenance: invented(),
    };
    let target = Target {
        id: "who-bedroom-night".into(),
        name: "bedroom at night".into(),
        limit: Limit::LAeq(30.0),
        place: Place::Room,
        hours: (23.0, 7.0),
        countries: vec![],
        business: false,
        averaging_h: Some(8.0),
        idle_time_dilutes: true,
        above_background: false,
        music_extra_db: 0.0,
        by_day: None,
        note: String::new(),
        provenance: invented(),
    };
    let seal = |id: &str| Seal {
        id: id.into(),
        name: id.into(),
        gap_mm: 1.0,
        gap_range_mm: (0.5, 2.0),
        provenance: invented(),
    };
    Catalogue {
        materials: [
            material("board", Nature::Limp),
            material("wool", Nature::Porous { flow_resistivity_pa_s_m2: 8000.0 }),
            material("mat", Nature::Resilient { dynamic_stiffness_mn_m3: 10.0, at_thickness_mm: 20.0 }),
        ]
        .into(),
        constructions: constructions.map(|(id, kind)| construction(id, kind)).into(),
        finishes: finishes.map(|id| (id.to_owned(), finish(id))).into(),
        sources: [(sound.id.clone(), sound)].into(),
        targets: [(target.id.clone(), target)].into(),
        seals: ["none", "worn"].map(|id| (id.to_owned(), seal(id))).into(),
        ..Catalogue::default()
    }
}
