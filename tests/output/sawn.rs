//! The section: what is cut lies where the scene says, windows break walls, and no cut can upset it.

use std::path::Path;

use leaklight::building::{self, Building, ElementIndex, ElementShape, SlabRole};
use leaklight::catalogue::Catalogue;
use leaklight::output::drawing::{Drawing, Form, Part, Point, Shape, Shown};
use leaklight::output::{By, Cut, PlanView, Theme, picture, section};
use leaklight::scene::{RoomId, Scene, StoreyId, file};
use leaklight::solve::{BandChoice, Surface};
use proptest::prelude::*;

use super::drawn::check_layout;
use super::sample::{Sample, flat, shelled, solved};

fn section_of(sample: &Sample, cut: Cut, listener: usize) -> Drawing {
    section(sample, cut, &PlanView::of(sample, listener, By::Entry))
}

fn drawn(sample: &Sample, cut: Cut, listener: usize) -> Drawing {
    let mut drawing = section_of(sample, cut, listener);
    for shape in &drawing.shapes {
        assert!(points(shape).iter().flatten().all(|value| value.is_finite()), "{shape:?}");
    }
    // Numbers and marks lie on what is cut, and find other things.
    drawing.shapes.retain(|shape| !matches!(shape.form, Form::Circle { .. }));
    drawing
}

fn points(shape: &Shape) -> Vec<Point> {
    match &shape.form {
        Form::Polygon { rings, .. } => rings.iter().flatten().copied().collect(),
        Form::Line { points, .. } => points.clone(),
        Form::Circle { centre, radius_m, .. } => vec![*centre, [*radius_m, *radius_m]],
        Form::Text { at, style, .. } => vec![*at, [style.size_m, style.size_m]],
    }
}

fn element(building: &Building, id: &str) -> ElementIndex {
    ElementIndex(building.elements.iter().position(|element| element.id == id).unwrap_or_else(|| panic!("{id}")))
}

/// The boxes drawn for a face in the building: least and greatest distance and height.
fn boxes(drawing: &Drawing, face: Surface) -> Vec<[f64; 4]> {
    let shapes = drawing.shapes.iter().filter(|shape| shape.shows == Some(Shown::Surface(face)));
    let areas = shapes.filter(|shape| shape.part == Part::Plan && matches!(shape.form, Form::Polygon { .. }));
    areas
        .map(|shape| {
            points(shape).iter().fold([f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY], |all, p| {
                [all[0].min(p[0]), all[1].max(p[0]), all[2].min(p[1]), all[3].max(p[1])]
            })
        })
        .collect()
}

fn assert_box(drawing: &Drawing, face: Surface, expected: [f64; 4]) {
    let found = boxes(drawing, face);
    let same = |found: &[f64; 4]| found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-6);
    assert!(found.iter().any(same), "{face:?}: {found:?} instead of {expected:?}");
}

/// One-brick walls, 215 mm with 13 mm of plaster on both sides.
const BRICK_M: f64 = 0.241;

/// The flat cut straight across, from 2 m before its front (y = 0) to 2 m behind its back (y = 3). By hand from the scene: walls on
/// s = 2 and s = 5, from 0 to 2.5 m and in the loft from 2.8 to 4.3 m; the floor between on 2.5 to 2.8 m.
#[test]
fn walls_and_floors_lie_where_the_scene_puts_them() {
    let sample = flat();
    let drawing = drawn(&sample, Cut { from: [1.0, -2.0], to: [1.0, 5.0] }, 0);
    let (half, building) = (BRICK_M / 2.0, &sample.building);
    let wall = |id: &str| Surface::Element(element(building, id));
    assert_box(&drawing, wall("flat/south-west"), [2.0 - half, 2.0 + half, 0.0, 2.5]);
    assert_box(&drawing, wall("flat/north-west"), [5.0 - half, 5.0 + half, 0.0, 2.5]);
    assert_box(&drawing, wall("loft/south"), [2.0 - half, 2.0 + half, 2.8, 4.3]);
    let slab = |wanted: SlabRole, room: &str| {
        let found = building.elements.iter().position(|element| {
            matches!(element.shape, ElementShape::Slab { role, .. } if role == wanted) && element.id.contains(room)
        });
        Surface::Element(ElementIndex(found.expect("a slab")))
    };
    let inner = [2.0 + half, 5.0 - half];
    assert_box(&drawing, slab(SlabRole::Floor, "practice"), [inner[0], inner[1], 2.5, 2.8]);
    let thickness_m =
        |id: &str| Catalogue::built_in_ref().constructions.get(id).expect("in the catalogue").thickness_m();
    let (roof_m, ground_m) = (thickness_m("flat-roof-timber"), thickness_m("ground-timber-suspended"));
    assert_box(&drawing, slab(SlabRole::Roof, "loft"), [inner[0], inner[1], 4.3, 4.3 + roof_m]);
    assert_box(&drawing, slab(SlabRole::Ground, "practice"), [inner[0], inner[1], -ground_m, 0.0]);
    // The party wall lies along the cut, on its right, and is not cut.
    assert!(boxes(&drawing, wall("flat/party")).is_empty());
    // In the middle of the loft is the loft; in the practice room the light of the wall behind the cut.
    let found = drawing.shown_at([3.5, 3.5], 0.0);
    assert!(matches!(found, Some(Shown::Space(space)) if building.spaces[space.0].name == "loft"), "{found:?}");
    assert_eq!(drawing.shown_at([3.5, 1.8], 0.0), Some(Shown::Surface(wall("flat/west"))));
}

/// The same wall with its window (from x = 1.8 to 3.0, sill 0.9 m, head 2.1 m): brick below and above, glass between; beside the window brick only.
#[test]
fn a_window_breaks_its_wall_between_sill_and_head() {
    let sample = flat();
    let front = element(&sample.building, "flat/south-west");
    let drawing = drawn(&sample, Cut { from: [2.4, -2.0], to: [2.4, 5.0] }, 0);
    for (height_m, face) in [
        (0.5, Surface::Element(front)),
        (0.88, Surface::Element(front)),
        (0.92, Surface::Opening(front, 0)),
        (2.08, Surface::Opening(front, 0)),
        (2.12, Surface::Element(front)),
    ] {
        assert_eq!(drawing.shown_at([2.0, height_m], 0.0), Some(Shown::Surface(face)), "{height_m}");
    }
    assert_box(&drawing, Surface::Opening(front, 0), [2.0 - BRICK_M / 2.0, 2.0 + BRICK_M / 2.0, 0.9, 2.1]);
    let beside = drawn(&sample, Cut { from: [1.0, -2.0], to: [1.0, 5.0] }, 0);
    assert_eq!(beside.shown_at([2.0, 1.5], 0.0), Some(Shown::Surface(Surface::Element(front))));
}

/// Cut the other way round the building lies mirrored, at the same heights.
#[test]
fn a_cut_turned_round_mirrors_the_section() {
    let sample = flat();
    let (from, to) = ([2.4, -2.0], [2.4, 5.0]);
    let there = drawn(&sample, Cut { from, to }, 0);
    let back = drawn(&sample, Cut { from: to, to: from }, 0);
    for at in 0..sample.building.elements.len() {
        let face = Surface::Element(ElementIndex(at));
        let sides = |all: Vec<[f64; 4]>| all.into_iter().filter(|found| found[1] - found[0] < 0.5).collect::<Vec<_>>();
        for [left, right, low, high] in sides(boxes(&there, face)) {
            assert_box(&back, face, [7.0 - right, 7.0 - left, low, high]);
        }
    }
}

/// What a wall passes colours it as in the plan; what passes nothing stays grey.
#[test]
fn what_is_cut_glows_by_its_share() {
    let sample = flat();
    let drawing = drawn(&sample, Cut { from: [-1.0, 2.0], to: [9.0, 2.0] }, 0);
    let colour = |id: &str| {
        let face = Shown::Surface(Surface::Element(element(&sample.building, id)));
        drawing.shapes.iter().find_map(|shape| match &shape.form {
            Form::Polygon { fill, .. } if shape.shows == Some(face) => *fill,
            _ => None,
        })
    };
    assert_eq!(colour("flat/party"), Theme::Dark.leak(0.704));
    assert_eq!(colour("flat/west"), Theme::Dark.leak(0.08));
    assert_eq!(colour("flat/east"), Some(Theme::Dark.quiet().wall));
}

/// Distance along the line and height; on which side of it a point lies, by hand with a 3-4-5 triangle.
#[test]
fn points_are_projected_at_right_angles() {
    let cut = Cut { from: [1.0, 1.0], to: [7.0, 9.0] };
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} instead of {b}");
    near(cut.length_m(), 10.0);
    let [s, z] = cut.project([4.0, 5.0, 2.2]);
    near(s, 5.0);
    near(z, 2.2);
    near(cut.off_m([4.0, 5.0]), 0.0);
    // From the middle 2.5 m to the left, then to the right.
    near(cut.off_m([2.0, 6.5]), 2.5);
    near(cut.off_m([6.0, 3.5]), -2.5);
    near(cut.project([2.0, 6.5, 0.0])[0], 5.0);
    assert!(!Cut { from: [1.0, 1.0], to: [1.0, 1.0] }.is_line());
    assert!(!Cut { from: [f64::NAN, 1.0], to: [1.0, 1.0] }.is_line());
}

/// Through source and listener, beyond the outer walls, out to who stands in the open; above each other along the room.
#[test]
fn the_telling_line_meets_source_and_listener() {
    let sample = flat();
    let source = sample.building.sources[0].at;
    for listener in 0..2 {
        let cut = Cut::through(&sample, listener);
        let ears = sample.building.listeners[listener].at;
        assert!(cut.off_m(source).abs() < 1e-9 && cut.off_m(ears).abs() < 1e-9, "{listener}");
        for at in [source, ears] {
            assert!((1.0..cut.length_m() - 1.0).contains(&cut.along_m(at)), "{listener}: {}", cut.along_m(at));
        }
    }
    // The listener in the loft, straight above the drums: along the room of 4 m by 3 m, to both ends of the house of 8 m.
    let mut scene = Scene::clone(&flat().scene);
    scene.listeners[0].storey = StoreyId("loft".into());
    scene.listeners[0].at = [1.5, 1.5];
    let above = solved(scene);
    let cut = Cut::through(&above, 0);
    assert!((cut.from[1] - 1.5).abs() < 1e-9 && (cut.to[1] - 1.5).abs() < 1e-9, "{cut:?}");
    assert!(cut.from[0] < -1.0 && cut.to[0] > 9.0, "{cut:?}");
}

/// The silent one and the softer one do not count: of two in one room the cut goes through the louder that plays.
#[test]
fn the_telling_line_goes_through_the_loudest_that_plays() {
    let mut scene = Scene::clone(&flat().scene);
    let mut softer = scene.sources[0].clone();
    (softer.id, softer.at, softer.offset_db) = ("soft".into(), [3.0, 2.5], -20.0);
    let mut silent = softer.clone();
    (silent.id, silent.at, silent.offset_db, silent.playing) = ("silent".into(), [3.0, 0.6], 20.0, false);
    scene.sources.extend([softer, silent]);
    let sample = solved(scene);
    let cut = Cut::through(&sample, 0);
    assert!(cut.off_m([1.5, 1.5]).abs() < 1e-9 && cut.off_m([3.0, 2.5]).abs() > 0.1);
}

/// The numbers on a drawing, also of what is seen behind a cut, are those of the list beside it.
fn check_numbers(drawing: &Drawing, which: &str) {
    let numbers = |part: Part| -> Vec<(Surface, &str)> {
        let pairs = drawing.shapes.windows(2).filter(|pair| pair[0].part == part);
        let discs = pairs.filter(|pair| matches!(pair[0].form, Form::Circle { .. }));
        let numbered = discs.filter_map(|pair| match (pair[0].shows, &pair[1].form) {
            (Some(Shown::Surface(face)), Form::Text { text, .. }) => Some((face, text.as_str())),
            _ => None,
        });
        numbered.filter(|(_, text)| text.parse::<usize>().is_ok()).collect()
    };
    let listed = numbers(Part::Page);
    assert!(!listed.is_empty(), "{which}");
    for number in numbers(Part::Plan) {
        assert!(listed.contains(&number), "{which}: {number:?} is not in {listed:?}");
    }
}

/// Every worked scene and listener: no text lies on another or leaves the sheet, and it becomes a picture.
#[test]
fn every_listener_of_the_worked_scenes_has_a_section() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    for path in files.filter(|path| path.extension().is_some_and(|ending| ending == "ron")) {
        let sample = solved(file::read(&path).unwrap());
        for listener in 0..sample.answer.listeners.len() {
            let mut all = vec![];
            for (by, band, theme) in [
                (By::Entry, BandChoice::AWeighted, Theme::Dark),
                (By::Exit, BandChoice::one(4), Theme::Light),
                (By::Exit, BandChoice::AWeighted, Theme::Contrast),
            ] {
                let cut = Cut::through(&sample, listener);
                let view = PlanView { band, theme, ..PlanView::of(&sample, listener, by) };
                let drawing = section(&sample, cut, &view);
                let which = format!("{}, listener {listener}, {by:?}", path.display());
                check_layout(&drawing, &which);
                check_numbers(&drawing, &which);
                let text = picture::svg(&drawing, 900).unwrap();
                assert!(!text.contains("NaN") && !text.contains("inf"), "numbers are finite");
                all.push(drawing);
            }
            // Who was asked for is on it, and the source.
            let shows = |wanted: fn(&Shown) -> bool| {
                all[0].shapes.iter().filter_map(|shape| shape.shows).any(|shown| wanted(&shown))
            };
            assert!(
                shows(|shown| matches!(shown, Shown::Listener(_))) && shows(|shown| matches!(shown, Shown::Source(_)))
            );
        }
    }
}

/// Between the old walls and what is left of the room lies the shell: its leaves and the gap, which are of the room. The clear room stands on
/// the shell's floor.
#[test]
fn an_inner_shell_is_drawn_within_its_room() {
    let sample = shelled();
    let drawing = drawn(&sample, Cut { from: [-1.0, 2.0], to: [14.0, 2.0] }, 0);
    let (at, room) = (0..sample.building.spaces.len())
        .find_map(|at| match &sample.building.spaces[at].kind {
            building::SpaceKind::Room(room) if room.room == RoomId("practice".into()) => Some((at, room)),
            _ => None,
        })
        .expect("the practice room");
    let bare = room.before_shell.as_ref().expect("it has a shell");
    let mine: Vec<[f64; 4]> = drawing
        .shapes
        .iter()
        .filter(|shape| {
            shape.shows == Some(Shown::Space(building::SpaceIndex(at))) && matches!(shape.form, Form::Polygon { .. })
        })
        .map(|shape| {
            let all = points(shape);
            let low = |axis: usize| all.iter().map(|point| point[axis]).fold(f64::INFINITY, f64::min);
            let high = |axis: usize| all.iter().map(|point| point[axis]).fold(f64::NEG_INFINITY, f64::max);
            [low(0), high(0), low(1), high(1)]
        })
        .collect();
    // The walls' faces: half of 215 + 13 mm inside the middle line at x = 0, half of 102 + 26 mm inside the one at x = 5; s = x + 1.
    let old = [1.0 + 0.114, 6.0 - 0.064, 0.2, 2.9];
    let foot = 0.2 + bare.step_m;
    let has = |wanted: &[f64]| {
        mine.iter().any(|found| wanted.iter().zip(&found[4 - wanted.len()..]).all(|(a, b)| (a - b).abs() < 1e-3))
    };
    assert!(has(&old), "{mine:?}");
    assert!(has(&[foot, foot + room.height_m]), "{mine:?}");
    assert_eq!(drawing.shown_at([1.15, 0.25], 0.0), Some(Shown::Space(building::SpaceIndex(at))));
}

/// Where there is no building there is still a street, a title, and a sentence that says so; without a line or a listener nothing.
#[test]
fn a_cut_that_misses_says_so() {
    let sample = flat();
    let drawing = drawn(&sample, Cut { from: [-20.0, 50.0], to: [-8.0, 50.0] }, 0);
    check_layout(&drawing, "beside the building");
    let has = |wanted: &str| {
        drawing.shapes.iter().any(|shape| matches!(&shape.form, Form::Text { text, .. } if text.contains(wanted)))
    };
    assert!(has("Practice room & <bedroom>") && has("does not meet the building"));
    let street = drawing.shapes.iter().any(|shape| match &shape.form {
        Form::Line { points, .. } => points.len() == 2 && points[0][1] == 0.0 && points[1][0] - points[0][0] >= 12.0,
        _ => false,
    });
    assert!(street);
    assert!(drawing.shapes.iter().all(|shape| !matches!(shape.shows, Some(Shown::Space(_)))));
    for (cut, listener) in [
        (Cut { from: [1.0, 1.0], to: [1.0, 1.0] }, 0),
        (Cut { from: [f64::NAN, 1.0], to: [1.0, f64::INFINITY] }, 0),
        (Cut { from: [0.0, 1.0], to: [9.0, 1.0] }, 9),
    ] {
        assert!(drawn(&sample, cut, listener).shapes.is_empty());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever the line: finite, legible, as high as the building at most, no further along than the line is long, and each room that is
    /// cut lies under one point of it at least.
    #[test]
    fn any_cut_gives_a_legible_section(ends in proptest::array::uniform4(-3.0..12.0_f64), shell in any::<bool>(), listener in 0..2_usize) {
        let sample = if shell { shelled() } else { flat() };
        let cut = Cut { from: [ends[0], ends[1]], to: [ends[2], ends[3]] };
        prop_assume!(cut.is_line());
        let drawing = section_of(&sample, cut, listener);
        check_layout(&drawing, &format!("{cut:?}"));
        for shape in &drawing.shapes {
            prop_assert!(points(shape).iter().flatten().all(|value| value.is_finite()));
            if let (Some(Shown::Space(_)), Form::Polygon { rings, .. }) = (shape.shows, &shape.form) {
                for [s, z] in rings.iter().flatten() {
                    prop_assert!((-1e-6..=cut.length_m() + 1e-6).contains(s) && (-0.5..=5.0).contains(z), "{s} {z}");
                }
            }
        }
        prop_assert!(drawing.size_m().iter().all(|size| *size > 1.0));
    }
}
