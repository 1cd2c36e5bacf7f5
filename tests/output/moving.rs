//! Where paths run in space, and the motes on them.

use leaklight::building::{Building, ElementShape, JunctionKind, SpaceKind};
use leaklight::output::particles::{Stream, StreamChoice};
use leaklight::output::picture;
use leaklight::output::route::{Medium, Point3, Route, Routes, Spread};
use leaklight::output::streaming::{Moving, PER_SECOND, Sight};
use leaklight::output::{By, PlanView, plan};
use leaklight::project::{Project, Solved};
use leaklight::scene::{Scene, file};
use leaklight::solve::{BandChoice, PathKind, PathRecord, Surface};

fn solved(text: &str) -> Solved {
    let scene = file::from_text(text).expect("shipped scenes can be read");
    Project::of(scene).solve().expect("shipped scenes can be solved")
}

const SHIPPED: [&str; 6] = [
    include_str!("../../scenes/bookshop-terrace.ron"),
    include_str!("../../scenes/music-school.ron"),
    include_str!("../../scenes/village-hall.ron"),
    include_str!("../../scenes/foam-or-lining.ron"),
    include_str!("../../scenes/shared-void.ron"),
    include_str!("../../scenes/room-within-a-room.ron"),
];

/// Calls `look` with every route of every path worth a thousandth of what is heard, three each.
fn each_route(text: &str, mut look: impl FnMut(&Scene, &Building, usize, &PathRecord, &Route)) {
    let all = solved(text);
    for (listener, heard) in all.answer.listeners.iter().enumerate() {
        let routes = Routes::new(&all, listener).expect("a listener of the building");
        for path in heard.paths.iter().filter(|path| path.share > 1e-3) {
            for part in [0.1, 0.5, 0.93] {
                let spread = Spread { source: part, entry: [part, 1.0 - part], exit: [1.0 - part, part] };
                let route = routes.of(path, &spread).expect("a path of this building has a route");
                look(&all.scene, &all.building, listener, path, &route);
            }
        }
    }
}

fn flat_m(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn flat(point: Point3) -> [f64; 2] {
    [point[0], point[1]]
}

fn off_line_m(at: [f64; 2], p: [f64; 2], q: [f64; 2]) -> f64 {
    let d = [q[0] - p[0], q[1] - p[1]];
    let part = ((at[0] - p[0]) * d[0] + (at[1] - p[1]) * d[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12);
    let part = part.clamp(0.0, 1.0);
    flat_m(at, [p[0] + part * d[0], p[1] + part * d[1]])
}

#[test]
fn every_course_leads_from_something_that_plays_to_the_listeners_ears() {
    for text in SHIPPED {
        each_route(text, |scene, building, listener, path, route| {
            assert_eq!(route.media.len() + 1, route.points.len());
            assert!(route.points.iter().flatten().all(|value| value.is_finite()), "{route:?}");
            let ears = &building.listeners[listener];
            let end = route.points.last().expect("a route has an end");
            assert!(flat_m(flat(*end), ears.at) < 1e-9 && (end[2] - ears.height_m).abs() < 1e-9);
            let playing = building.sources.iter().filter(|placed| placed.space == path.source_space);
            let starts: Vec<[f64; 2]> = playing
                .flat_map(|placed| {
                    let source = scene.sources.iter().find(|source| source.id == placed.source).expect("its source");
                    let contacts = source.contacts.iter().filter_map(|contact| contact.at);
                    contacts.chain([placed.at]).collect::<Vec<_>>()
                })
                .collect();
            assert!(starts.iter().any(|start| flat_m(*start, flat(route.points[0])) < 1e-9), "{path:?}");
        });
    }
}

#[test]
fn a_course_passes_the_faces_and_the_junction_its_path_names() {
    for text in SHIPPED {
        each_route(text, |scene, building, _, path, route| {
            for face in [path.entry, path.exit] {
                let Some(at) = face.element() else { continue };
                let element = &building.elements[at.0];
                let near = route.points.iter().any(|point| match &element.shape {
                    ElementShape::Wall { line: [p, q], level_m, height_m, .. } => {
                        let up = (level_m - 1e-6..=level_m + height_m + 1e-6).contains(&point[2]);
                        up && off_line_m(flat(*point), *p, *q) < 1e-6
                    }
                    ElementShape::Slab { level_m, .. } => (point[2] - level_m).abs() < 1e-9,
                });
                assert!(near, "{path:?} does not pass {}", element.name);
            }
            let Some(junction) = path.junction.map(|at| &building.junctions[at.0]) else { return };
            let [p, q] = junction.line;
            let plates = route.media.iter().filter(|medium| **medium == Medium::Plate).count();
            assert!(plates >= 2, "round a junction it runs in two plates: {route:?}");
            let met = route.points.iter().any(|point| match junction.kind {
                JunctionKind::Horizontal => off_line_m(flat(*point), p, q) < 1e-6,
                JunctionKind::Vertical => flat_m(flat(*point), [(p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0]) < 1e-6,
            });
            assert!(met, "{} does not pass its junction", scene.name);
        });
    }
}

#[test]
fn in_the_open_a_course_does_not_cut_through_the_building() {
    let (mut open, mut through) = (0, 0);
    for text in SHIPPED {
        each_route(text, |_, building, _, _, route| {
            for (leg, medium) in route.points.windows(2).zip(&route.media) {
                if *medium != Medium::Open {
                    continue;
                }
                open += 1;
                // Well within a room at half of the leg, that is through the building.
                let half = [0, 1, 2].map(|axis| (leg[0][axis] + leg[1][axis]) / 2.0);
                let inside = building.spaces.iter().any(|space| match &space.kind {
                    SpaceKind::Room(room) => {
                        let storey = building.elements.iter().find_map(|element| match element.shape {
                            ElementShape::Wall { storey, level_m, height_m, .. } if storey == room.storey => {
                                Some((level_m, height_m))
                            }
                            _ => None,
                        });
                        storey.is_some_and(|(level_m, height_m)| {
                            (level_m..level_m + height_m).contains(&half[2])
                                && room.outline.first().is_some_and(|ring| holds(ring, flat(half)))
                        })
                    }
                    _ => false,
                });
                through += i32::from(inside);
            }
        });
    }
    assert!(open > 100, "the shipped scenes have ways through the open: {open}");
    assert_eq!(through, 0, "of {open} legs in the open");
}

fn holds(ring: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
    sides.fold(false, |inside, (a, b)| {
        inside ^ ((a[1] > y) != (b[1] > y) && x < (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]) + a[0])
    })
}

#[test]
fn the_light_of_motes_is_the_energy_of_their_paths() {
    let all = solved(SHIPPED[0]);
    for (listener, heard) in all.answer.listeners.iter().enumerate() {
        let choice = StreamChoice { most: 1000, ..StreamChoice::default() };
        let motes = Stream::new(&all, listener, &choice);
        for (at, path) in heard.paths.iter().enumerate() {
            // What has less than a fiftieth of a mote is left out.
            let expected = if path.share * 1000.0 < 0.02 { 0.0 } else { path.share * 1000.0 };
            assert!((motes.light_of(at) - expected).abs() < 1e-3 * expected.max(1.0), "{at} of {}", heard.name);
        }
    }
}

/// With the reference of the scene before, half the energy has half the light: the stream visibly thins.
#[test]
fn with_a_fixed_reference_the_stream_thins_as_the_wall_thickens() {
    let bands = BandChoice::AWeighted;
    let all = solved(SHIPPED[0]);
    let energy = |heard: &leaklight::solve::ListenerAnswer| 10f64.powf(heard.la_db / 10.0);
    let before = energy(&all.answer.listeners[0]);
    let mut thicker = Scene::clone(&all.scene);
    thicker.sources[0].offset_db -= 3.0;
    let quieter = Project::of(thicker).solve().expect("the same building");
    let choice = StreamChoice { bands, reference: Some(before), ..StreamChoice::default() };
    let light = |solved: &Solved| Stream::new(solved, 0, &choice).light();
    let (full, half) = (light(&all), light(&quieter));
    let ratio = energy(&quieter.answer.listeners[0]) / before;
    // Paths under a fiftieth of a mote are left out of both: less than a per cent of the light.
    assert!((half / full - ratio).abs() < 0.01 * ratio, "{half} of {full}, energy {ratio}");
    assert!((full - choice.most as f64).abs() < 0.01 * full);
}

#[test]
fn the_same_seed_gives_the_same_motes_and_another_one_others() {
    let all = solved(SHIPPED[2]);
    let at = |seed, time_s| {
        let choice = StreamChoice { seed, ..StreamChoice::default() };
        Stream::new(&all, 0, &choice).at(time_s).collect::<Vec<_>>()
    };
    assert_eq!(at(7, 3.2), at(7, 3.2));
    assert_ne!(at(7, 3.2), at(8, 3.2));
    assert_ne!(at(7, 3.2), at(7, 3.3));
    assert!(at(7, 1e5).iter().all(|spot| spot.at.iter().all(|value| value.is_finite())));
}

#[test]
fn one_path_alone_is_shown_with_enough_motes_to_be_seen() {
    let all = solved(SHIPPED[0]);
    let heard = &all.answer.listeners[0];
    let faint = heard.paths.iter().rposition(|path| path.share > 1e-7).expect("a faint path");
    let choice = StreamChoice { alone: Some(faint), ..StreamChoice::default() };
    let motes = Stream::new(&all, 0, &choice);
    assert!(motes.len() >= 60 && motes.at(1.0).all(|spot| spot.path == faint));
    let some = StreamChoice { least_share: 0.05, ..StreamChoice::default() };
    let motes = Stream::new(&all, 0, &some);
    assert!(!motes.is_empty() && motes.at(1.0).all(|spot| heard.paths[spot.path].share >= 0.05));
}

#[test]
fn what_is_struck_runs_in_the_plate_it_strikes() {
    let all = solved(SHIPPED[0]);
    let struck = |path: &&PathRecord| path.kind == PathKind::StructureBorne;
    let (listener, path) = all
        .answer
        .listeners
        .iter()
        .enumerate()
        .find_map(|(at, heard)| Some((at, heard.paths.iter().find(struck)?)))
        .expect("the worked example has a pedal on the floor");
    let routes = Routes::new(&all, listener).expect("a listener");
    let route = routes.of(path, &Spread::MIDDLE).expect("a route");
    assert_eq!(route.media[..2], [Medium::Air, Medium::Plate]);
    let Surface::Element(floor) = path.entry else { panic!("it enters a floor") };
    let ElementShape::Slab { level_m, .. } = all.building.elements[floor.0].shape else { panic!("it enters a floor") };
    assert!((route.points[1][2] - level_m).abs() < 1e-9 && route.points[0][2] > level_m);
}

/// An animation ends where it began, and is what the PNG specification calls one: `acTL` says how many frames, each has its `fcTL`.
#[test]
fn a_moving_picture_goes_round() {
    let all = solved(SHIPPED[2]);
    let motes = Stream::new(&all, 0, &StreamChoice::default()).going_round(2.0);
    let near = |a: &Point3, b: &Point3| (0..3).all(|axis| (a[axis] - b[axis]).abs() < 1e-6);
    assert!(motes.at(0.3).zip(motes.at(2.3)).all(|(a, b)| near(&a.at, &b.at)));
    let view = PlanView::of(&all, 0, By::Entry);
    let mut drawing = plan(&all, &view);
    let sight = Sight::of_storey(&all.scene.storeys[view.storey]);
    let moving = Moving::on(&drawing, &all, 0, BandChoice::AWeighted, sight, view.theme);
    let before = drawing.shapes.len();
    moving.lay_lines(&mut drawing);
    assert!(drawing.shapes.len() > before);
    let frames = moving.frames(0.5);
    assert_eq!(frames.len(), usize::from(PER_SECOND) / 2 + 1);
    let bytes = picture::animation(&drawing, &frames, PER_SECOND, 300, &|| ()).expect("it can be painted");
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("it is a PNG");
    let told = *decoder.info().animation_control().expect("it moves");
    assert_eq!((told.num_frames as usize, told.num_plays), (frames.len(), 0));
    let mut first = vec![0; decoder.output_buffer_size().expect("it has a size")];
    decoder.next_frame(&mut first).expect("a first frame");
    let mut second = vec![0; first.len()];
    decoder.next_frame(&mut second).expect("a second frame");
    assert_ne!(first, second, "something moves");
}
