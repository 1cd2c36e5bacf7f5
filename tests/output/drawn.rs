//! The plan: nothing overlaps, nothing leaves the sheet, everything can be clicked, and it becomes SVG and PNG.

use std::path::Path;

use leaklight::building::ElementShape;
use leaklight::output::drawing::{Anchor, Drawing, Form, Lettering, Part, Shown};
use leaklight::output::length::Units;
use leaklight::output::{By, PlanView, Scale, Theme, lettering, picture, plan};
use leaklight::scene::file;
use leaklight::solve::{BandChoice, Surface};
use resvg::usvg::roxmltree;

use super::sample::{flat, shelled, solved};

/// The box of a text: x from, x to, y from, y to, m. Letters are taken as high as capitals.
fn text_box(form: &Form) -> Option<[f64; 4]> {
    let Form::Text { at, text, style: Lettering { size_m, anchor, rotation_deg, .. } } = form else { return None };
    let wide = lettering::width(text) * size_m;
    let from = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -wide / 2.0,
        Anchor::End => -wide,
    };
    let half = 0.35 * size_m;
    Some(if *rotation_deg == 0.0 {
        [at[0] + from, at[0] + from + wide, at[1] - half, at[1] + half]
    } else {
        [at[0] - half, at[0] + half, at[1] + from, at[1] + from + wide]
    })
}

/// No text lies on another or leaves the sheet.
pub(super) fn check_layout(drawing: &Drawing, which: &str) {
    let texts: Vec<(&Form, [f64; 4])> =
        drawing.shapes.iter().filter_map(|shape| Some((&shape.form, text_box(&shape.form)?))).collect();
    let word = |form: &Form| if let Form::Text { text, .. } = form { text.clone() } else { String::new() };
    for (at, (form, a)) in texts.iter().enumerate() {
        let inside =
            a[0] >= drawing.min[0] && a[1] <= drawing.max[0] && a[2] >= drawing.min[1] && a[3] <= drawing.max[1];
        assert!(inside, "{which}: “{}” leaves the sheet", word(form));
        for (other, b) in &texts[at + 1..] {
            let apart = a[1] <= b[0] || b[1] <= a[0] || a[3] <= b[2] || b[3] <= a[2];
            assert!(apart, "{which}: “{}” lies on “{}”", word(form), word(other));
        }
    }
}

/// Over both worked scenes, every storey and listener, both colourings: no text lies on another or leaves the sheet.
#[test]
fn texts_never_overlap_in_the_worked_scenes() {
    for name in
        ["bookshop-terrace", "music-school", "village-hall", "foam-or-lining", "shared-void", "room-within-a-room"]
    {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenes/{name}.ron"));
        let sample = solved(file::read(&path).unwrap());
        for storey in 0..sample.scene.storeys.len() {
            for listener in 0..sample.answer.listeners.len() {
                for (by, band) in [(By::Entry, BandChoice::AWeighted), (By::Exit, BandChoice::one(4))] {
                    let scale = if by == By::Entry { Scale::Share } else { Scale::Level { top_db: 60.0 } };
                    let units = if by == By::Entry { Units::Metric } else { Units::Feet };
                    let view = PlanView { storey, listener, band, by, theme: Theme::Dark, scale, units };
                    let which = format!("{name}, storey {storey}, listener {listener}, {by:?}");
                    check_layout(&plan(&sample, &view), &which);
                }
            }
        }
    }
}

/// Names too long for their rooms, a cupboard of 0.8 m, a listener far away: still nothing overlaps, and no name is lost.
#[test]
fn long_names_and_small_rooms_are_kept_legible() {
    let sample = flat();
    for listener in 0..2 {
        let view = PlanView::of(&sample, listener, By::Entry);
        let drawing = plan(&sample, &view);
        check_layout(&drawing, &format!("flat, listener {listener}"));
        let all: String = drawing
            .shapes
            .iter()
            .filter_map(|shape| if let Form::Text { text, .. } = &shape.form { Some(format!("{text} ")) } else { None })
            .collect();
        for part in ["Cupboard for brooms", "Featherstonehaugh-Cholmondeley", "Practice room", "Drum kit", "m away)"] {
            assert!(all.contains(part), "no “{part}” in {all}");
        }
    }
}

/// A click in the middle of every wall of the storey finds that wall, or an opening or gap of it.
#[test]
fn every_wall_can_be_clicked() {
    let sample = flat();
    let view = PlanView::of(&sample, 0, By::Entry);
    let mut drawing = plan(&sample, &view);
    // Numbers lie on the walls, and find the same.
    drawing.shapes.retain(|shape| shape.part == Part::Plan);
    for (at, element) in sample.building.elements.iter().enumerate() {
        let ElementShape::Wall { storey: 0, line: [a, b], .. } = element.shape else { continue };
        let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
        let found = drawing.shown_at(middle, 0.0);
        let Some(Shown::Surface(face)) = found else { panic!("{}: {found:?}", element.id) };
        assert_eq!(face.element().map(|element| element.0), Some(at), "{}", element.id);
    }
}

/// The wall that passes most is the brightest of the plan's faces; a wall that passes nothing has no leak colour.
#[test]
fn the_strongest_leak_is_the_brightest() {
    let sample = flat();
    let view = PlanView::of(&sample, 0, By::Entry);
    let drawing = plan(&sample, &view);
    let colour = |id: &str| {
        let wanted = sample.building.elements.iter().position(|element| element.id == id).unwrap();
        drawing.shapes.iter().find_map(|shape| match (&shape.form, shape.shows) {
            (Form::Polygon { fill, .. }, Some(Shown::Surface(Surface::Element(at)))) if at.0 == wanted => *fill,
            _ => None,
        })
    };
    let quiet = Theme::Dark.quiet();
    let (party, west, north) = (colour("flat/party"), colour("flat/west"), colour("flat/north-west"));
    assert_eq!(north, Some(quiet.wall));
    assert_eq!(party, Theme::Dark.leak(0.704));
    assert!(party.unwrap().luminance() > west.unwrap().luminance());
    assert!(west.unwrap().luminance() > quiet.wall.luminance());
}

#[test]
fn plans_become_svg_and_png() {
    let sample = flat();
    for theme in [Theme::Dark, Theme::Light] {
        let view = PlanView { theme, ..PlanView::of(&sample, 0, By::Exit) };
        let drawing = plan(&sample, &view);
        let text = picture::svg(&drawing, 900).unwrap();
        let document = roxmltree::Document::parse(&text).unwrap();
        assert!(document.descendants().filter(|node| node.has_tag_name("text")).count() > 20);
        assert!(!text.contains("NaN") && !text.contains("inf"), "numbers are finite");
        let bytes = picture::png(&drawing, 900).unwrap();
        assert!(bytes.starts_with(b"\x89PNG") && bytes.len() > 10_000, "{} bytes", bytes.len());
    }
}

/// The shell's leaf lies under the room that is left and a cover before its window; nothing overlaps, walls can still be clicked, and the key says
/// what the lines are.
#[test]
fn shells_and_covers_are_drawn_in_their_place() {
    let sample = shelled();
    for listener in 0..2 {
        let view = PlanView { listener, ..PlanView::of(&sample, 0, By::Entry) };
        let drawing = plan(&sample, &view);
        check_layout(&drawing, &format!("shelled, listener {listener}"));
        let has = |word: &str| {
            drawing.shapes.iter().any(|shape| matches!(&shape.form, Form::Text { text, .. } if text == word))
        };
        assert!(has("inner shell") && has("cover panel") && has("cover taken off"));
        // In the gap behind the western leaf there is the room or its floor, not the wall; further in the same.
        for x in [0.15, 0.6] {
            let found = drawing.shown_at([x, 0.55], 0.0);
            let lies = |face: Surface| {
                let element = face.element().map(|at| &sample.building.elements[at.0].shape);
                matches!(element, Some(ElementShape::Slab { .. }))
            };
            let room =
                matches!(found, Some(Shown::Space(_))) || matches!(found, Some(Shown::Surface(face)) if lies(face));
            assert!(room, "{x}: {found:?}");
        }
        // Half-way between pane and room, the cover 40 mm before the wall of 228 mm.
        let found = drawing.shown_at([11.5, 0.114 + 0.1], 0.0);
        assert!(matches!(found, Some(Shown::Surface(Surface::Opening(..)))), "{found:?}");
    }
    // Without any of it the key stays as it was.
    let plain = flat();
    let view = PlanView::of(&plain, 0, By::Entry);
    let drawing = plan(&plain, &view);
    let word = |shape: &leaklight::output::drawing::Shape| matches!(&shape.form, Form::Text { text, .. } if text == "inner shell");
    assert!(!drawing.shapes.iter().any(word));
}

/// A view beyond the building's ends is an empty sheet, not a fault.
#[test]
fn impossible_views_draw_nothing() {
    let sample = flat();
    for (storey, listener) in [(9, 0), (0, 9)] {
        let view = PlanView { storey, listener, ..PlanView::of(&sample, 0, By::Entry) };
        assert!(plan(&sample, &view).shapes.is_empty());
    }
}
