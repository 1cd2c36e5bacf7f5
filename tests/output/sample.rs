//! An answer made by hand, so that what is printed and drawn can be judged apart from what is computed.

use leaklight::acoustics::Spectrum;
use leaklight::acoustics::rating::weighting::{a_weighted_energy, c_weighted_energy};
use leaklight::acoustics::room_field::box_modes;
use leaklight::building::{self, ElementIndex, JunctionIndex, SpaceIndex};
use leaklight::catalogue::Catalogue;
use leaklight::catalogue::target::Limit;
use leaklight::scene::{ListenerId, Scene, file};
use leaklight::solve::known::Known;
use leaklight::solve::{
    Answer, Audibility, ElementAnswer, ListenerAnswer, PathKind, PathRecord, RoomPairRating, SpaceAnswer, Surface,
    TargetAnswer, solve,
};

pub(super) use leaklight::project::Solved as Sample;

/// The flat of `flat.ron`: 70 % through the party wall, 20 % through its door's gap, 8 % round a junction, 2 % by the loft.
pub(super) fn flat() -> Sample {
    let scene = file::from_text(include_str!("flat.ron")).expect("the test scene is right");
    let building = building::build(&scene, Catalogue::built_in_ref()).expect("the test scene is a building");
    let element = |id: &str| {
        ElementIndex(building.elements.iter().position(|element| element.id == id).unwrap_or_else(|| panic!("{id}")))
    };
    let space = |name: &str| {
        SpaceIndex(
            building.spaces.iter().position(|space| space.name.starts_with(name)).unwrap_or_else(|| panic!("{name}")),
        )
    };
    let (party, west) = (element("flat/party"), element("flat/west"));
    let slab = |room: &str| {
        let sides = [space("loft"), space(room)];
        ElementIndex(building.elements.iter().position(|element| element.sides == sides).expect("a floor of the loft"))
    };
    let practice = space("practice");
    let path = |kind, entry, junction, via, exit, share: f64| PathRecord {
        kind,
        source_space: practice,
        entry,
        junction,
        via,
        exit,
        energy: Spectrum::from_fn(|band| share * 10f64.powf((70.0 - 1.5 * band as f64) / 10.0)),
        share,
        route: None,
    };
    let indoors = vec![
        path(PathKind::Through, Surface::Element(party), None, None, Surface::Element(party), 0.704),
        path(PathKind::Gap, Surface::Gap(party, 0), None, None, Surface::Gap(party, 0), 0.196),
        path(PathKind::Flanking, Surface::Element(west), Some(JunctionIndex(0)), None, Surface::Element(party), 0.08),
        path(
            PathKind::ByRoom,
            Surface::Element(slab("practice")),
            None,
            Some(space("loft")),
            Surface::Element(slab("bedroom")),
            0.02,
        ),
    ];
    let front = element("flat/south-west");
    // Fifteen ways, so that the table must sum the weakest.
    let mut outdoors =
        vec![path(PathKind::Through, Surface::Opening(front, 0), None, None, Surface::Opening(front, 0), 0.3)];
    outdoors.extend(
        (0..14).map(|_| path(PathKind::Through, Surface::Element(front), None, None, Surface::Element(front), 0.05)),
    );
    let mut record = Catalogue::built_in_ref().targets.values().next().expect("targets are built in").clone();
    (record.id, record.name, record.limit) = ("night".into(), "a night limit".into(), Limit::LAeq(45.24));
    (record.above_background, record.music_extra_db) = (false, 0.0);
    let target = TargetAnswer {
        id: record.id.clone(),
        name: record.name.clone(),
        margin_db: -12.34,
        probability: 0.017,
        record,
        hours_a_day: None,
    };
    let ratings = vec![RoomPairRating {
        source_space: practice,
        d_db: Spectrum::splat(40.0),
        dnt_db: Spectrum::splat(42.0),
        dntw_db: Some(45),
        r_prime_db: Some(Spectrum::splat(41.0)),
        r_prime_w_db: Some(44),
    }];
    let answer = Answer {
        shells: vec![],
        covers: vec![],
        mounts: vec![],
        junctions: vec![],
        floating: vec![],
        known: Known::default(),
        spaces: building.spaces.iter().map(|_| solved_space()).collect(),
        elements: building.elements.iter().map(|_| solved_element()).collect(),
        listeners: vec![
            listener("sleeper", "in bed", space("bedroom"), indoors, Some(target), ratings),
            listener("passer-by", "passer-by, with \"quotes\", in the lane", space("outdoors"), outdoors, None, vec![]),
        ],
        notes: vec!["A note that stands in the answer.".to_owned()],
    };
    Sample { scene: scene.into(), building, answer, warnings: vec![] }
}

/// The house of `shelled.ron`, with the program's own answer.
pub(super) fn shelled() -> Sample {
    solved(file::from_text(include_str!("shelled.ron")).expect("the test scene is right"))
}

pub(super) fn solved(scene: Scene) -> Sample {
    let building = building::build(&scene, Catalogue::built_in_ref()).expect("the test scene is a building");
    let answer = solve(&scene, Catalogue::built_in_ref(), &building);
    Sample { scene: scene.into(), building, answer, warnings: vec![] }
}

fn listener(
    id: &str,
    name: &str,
    space: SpaceIndex,
    paths: Vec<PathRecord>,
    target: Option<TargetAnswer>,
    ratings: Vec<RoomPairRating>,
) -> ListenerAnswer {
    let energy = paths.iter().fold(Spectrum::ZERO, |sum, path| sum.zip(&path.energy, |a, b| a + b));
    ListenerAnswer {
        listener: ListenerId(id.to_owned()),
        name: name.to_owned(),
        space,
        energy,
        la_db: 10.0 * a_weighted_energy(&energy).log10(),
        lc_db: 10.0 * c_weighted_energy(&energy).log10(),
        lafmax_db: 10.0 * a_weighted_energy(&energy).log10() + 8.0,
        uncertainty_db: 5.2,
        first_confident_band: 9,
        band_uncertainty_db: Spectrum::from_fn(|band| if band < 9 { 9.4 } else { 7.1 }),
        modes_db: Spectrum::ZERO,
        least_db: Spectrum::ZERO,
        background_db: Spectrum::splat(f64::NEG_INFINITY),
        threshold_db: Spectrum::from_fn(|band| 60.0 - 2.5 * band as f64),
        audible_margin_db: 22.6,
        audible_band: 10,
        audibility: Audibility::Clear,
        target,
        ratings,
        paths,
    }
}

fn solved_space() -> SpaceAnswer {
    SpaceAnswer {
        energy: Spectrum::splat(1e6),
        absorption_m2: Spectrum::splat(10.0),
        reverberation_s: Spectrum::splat(0.5),
        schroeder_hz: 200.0,
        mode_count: Spectrum::from_fn(|band| band as f64),
        single_modes: box_modes([5.0, 4.0, 2.5], 343.0, 60.0),
        has_source: false,
    }
}

fn solved_element() -> ElementAnswer {
    ElementAnswer {
        edge_sum_m: Spectrum::ZERO,
        r_db: Spectrum::splat(45.0),
        r_composite_db: Spectrum::splat(40.0),
        rw_db: 46,
        mass_per_area_kg_m2: 200.0,
        opening_tau_m2: vec![],
        gap_tau_m2: vec![],
    }
}
