//! Levels, and two builds compared: what colours them, what is drawn, and what is said.

use std::sync::Arc;

use leaklight::acoustics::Spectrum;
use leaklight::building;
use leaklight::catalogue::Catalogue;
use leaklight::output::changes::Fate;
use leaklight::output::drawing::{Form, Part, Shown};
use leaklight::output::glow::{Glow, SHARED};
use leaklight::output::{By, Changes, Comparison, PlanView, Scale, Theme, leaks::Leaks, picture, plan};
use leaklight::solve::{BandChoice, PathKind, Surface};

use super::drawn::check_layout;
use super::sample::{Sample, flat};

const A: BandChoice = BandChoice::AWeighted;

/// Weakens (or strengthens) what comes by a face in bed, and sums the listener anew.
fn changed(mut sample: Sample, what: impl Fn(PathKind) -> f64) -> Sample {
    let heard = &mut sample.answer.listeners[0];
    for path in &mut heard.paths {
        let factor = what(path.kind);
        path.energy = path.energy.map(|energy| factor * energy);
    }
    heard.paths.retain(|path| path.energy.0.iter().sum::<f64>() > 0.0);
    let total = heard.paths.iter().fold(Spectrum::ZERO, |sum, path| sum.zip(&path.energy, |a, b| a + b));
    heard.energy = total;
    let weighted = leaklight::acoustics::rating::weighting::a_weighted_energy(&total);
    for path in &mut heard.paths {
        path.share = leaklight::acoustics::rating::weighting::a_weighted_energy(&path.energy) / weighted;
    }
    heard.la_db = 10.0 * weighted.log10();
    sample
}

/// The party wall with a lining that takes 10 dB from what goes straight through it.
fn lined() -> Sample {
    changed(flat(), |kind| if kind == PathKind::Through { 0.1 } else { 1.0 })
}

/// The flat with the door in the party wall walled up.
fn walled_up() -> Sample {
    let mut sample = changed(flat(), |kind| if kind == PathKind::Gap { 0.0 } else { 1.0 });
    Arc::make_mut(&mut sample.scene).storeys[0].openings.retain(|opening| opening.wall.0 != "party");
    let count = sample.building.elements.len();
    sample.building = building::build(&sample.scene, Catalogue::built_in_ref()).unwrap();
    assert_eq!(sample.building.elements.len(), count, "the places of the elements are the same");
    sample
}

fn face(sample: &Sample, id: &str) -> Surface {
    let at = sample.building.elements.iter().position(|element| element.id == id).unwrap();
    Surface::Element(building::ElementIndex(at))
}

fn difference(base: &Sample, other: &Sample, band: BandChoice) -> Glow {
    let heard = [base, other].map(|sample| &sample.answer.listeners[0]);
    let changes = Changes::of((&base.building, heard[0]), (&other.building, heard[1]), band, By::Entry);
    Glow::difference(changes, heard[1], band, By::Entry, Theme::Dark)
}

/// Shares of the flat are 70.4, 19.6, 8 and 2 % by construction: on the scale of shares they stand at 1 + lg(share) / 3.
#[test]
fn shares_are_labelled_and_placed_as_they_are() {
    let sample = flat();
    let glow = Glow::of(&sample.answer.listeners[0], A, By::Entry, Theme::Dark, Scale::Share);
    for (id, share, label) in [("flat/party", 0.704, "70 %"), ("flat/west", 0.08, "8.0 %")] {
        let at = face(&sample, id);
        let position = glow.position(at).unwrap();
        assert!((position - (1.0 + f64::log10(share) / 3.0)).abs() < 1e-9, "{id}: {position}");
        assert_eq!(glow.label(at).as_deref(), Some(label));
    }
    assert_eq!(glow.label(face(&sample, "flat/north-west")), None);
    assert_eq!(glow.marks().first().map(|mark| mark.label.clone()).as_deref(), Some("0.1 %"));
}

/// A face that passes the same level has the same colour in either build, however much else is heard; one that passes 10 dB less stands
/// 10 of the scale's 40 dB lower.
#[test]
fn one_scale_of_levels_serves_both_builds() {
    let (base, other) = (flat(), lined());
    let leaks = [&base, &other]
        .map(|sample| Glow::of(&sample.answer.listeners[0], A, By::Entry, Theme::Dark, Scale::Share).leaks().clone());
    let Scale::Level { top_db } = Scale::level_for(leaks.iter()) else { panic!("a scale of levels") };
    let loudest_db = base.answer.listeners[0].la_db + 10.0 * 0.704_f64.log10();
    assert!((0.0..5.0).contains(&(top_db - loudest_db)) && top_db % 5.0 == 0.0, "{top_db} over {loudest_db}");
    let glow =
        |sample: &Sample| Glow::of(&sample.answer.listeners[0], A, By::Entry, Theme::Dark, Scale::Level { top_db });
    let (before, after) = (glow(&base), glow(&other));
    let (west, party) = (face(&base, "flat/west"), face(&base, "flat/party"));
    assert!((before.position(west).unwrap() - after.position(west).unwrap()).abs() < 1e-9);
    assert_eq!(before.colour(west), after.colour(west));
    assert!((before.position(party).unwrap() - after.position(party).unwrap() - 0.25).abs() < 1e-9);
    assert_eq!(before.label(party), Some(format!("{:.0} dB", loudest_db)));
    for mark in before.marks() {
        let db: f64 = mark.label.parse().unwrap();
        assert!((mark.position - (1.0 - (top_db - db) / 40.0)).abs() < 1e-9, "{mark:?}");
    }
    assert_eq!(Scale::level_for([&Leaks { total: 0.0, by_surface: vec![] }]), Scale::Level { top_db: 40.0 });
}

/// By hand: 10 lg(0.704 / 10 + 0.296) = −4.36 dB in all, −10 dB by the wall, nothing by the others; the same in any band, since all have one
/// spectrum.
#[test]
fn changes_are_those_of_each_face() {
    let (base, other) = (flat(), lined());
    for band in [A, BandChoice::one(4), BandChoice::Range(3, 9)] {
        let glow = difference(&base, &other, band);
        let changes = glow.changes().unwrap();
        assert!((changes.total_db().unwrap() + 4.36).abs() < 0.005, "{:?}", changes.total_db());
        let party = face(&other, "flat/party");
        let Fate::Changes(db) = changes.of_face(party).unwrap().fate() else { panic!("it stays") };
        assert!((db + 10.0).abs() < 1e-9, "{db}");
        assert_eq!(glow.label(party).as_deref(), Some("−10 dB"));
        assert!((glow.position(party).unwrap() - 0.25).abs() < 1e-9);
        assert_eq!(glow.colour(face(&other, "flat/west")), None);
        assert_eq!(changes.faces[0].id, "flat/party");
    }
    // The other way round it is louder by as much.
    let glow = difference(&other, &base, A);
    assert_eq!(glow.label(face(&base, "flat/party")).as_deref(), Some("+10 dB"));
}

/// A door walled up is gone, outlined in the colour of the quietest where it was; the other way round it is new, and lit as the loudest.
#[test]
fn what_is_only_in_one_build_is_gone_or_new() {
    let (base, other) = (flat(), walled_up());
    let glow = difference(&base, &other, A);
    let gone: Vec<_> = glow.changes().unwrap().faces.iter().filter(|face| face.other.is_none()).collect();
    assert_eq!(gone.len(), 1);
    assert_eq!((gone[0].part, gone[0].fate()), ("gap", Fate::Goes));
    let view = PlanView::of(&other, 0, By::Entry);
    let (drawing, _) = plan::difference(&base, &other, &view, None);
    let outlined = drawing.shapes.iter().any(|shape| {
        matches!(&shape.form, Form::Line { stroke, .. }
            if stroke.dash_m.is_some() && stroke.colour == glow.colour_at(0.0) && shape.part == Part::Plan)
    });
    assert!(outlined, "the door is outlined where it was");
    check_layout(&drawing, "walled up");

    let glow = difference(&other, &base, A);
    let Surface::Element(party) = face(&base, "flat/party") else { unreachable!("an element") };
    let gap = Surface::Gap(party, 0);
    assert_eq!(glow.label(gap).as_deref(), Some("new"));
    assert_eq!(glow.colour(gap), Some(Theme::Dark.change_at(1.0)));
}

/// A face far below the whole stays grey even if it changes a lot; nobody would hear it.
#[test]
fn what_nobody_hears_does_not_glow() {
    let faint = |factor: f64| changed(flat(), move |kind| if kind == PathKind::Flanking { factor } else { 1.0 });
    let glow = difference(&faint(1e-5), &faint(1e-7), A);
    let west = face(&faint(1.0), "flat/west");
    assert!(matches!(glow.changes().unwrap().of_face(west).unwrap().fate(), Fate::Changes(db) if db < -19.9));
    assert_eq!(glow.colour(west), None);
}

#[test]
fn three_plans_stand_side_by_side() {
    for (other, name) in [(lined(), "lined"), (walled_up(), "walled up")] {
        let base = flat();
        for listener in 0..2 {
            for theme in [Theme::Dark, Theme::Light, Theme::Contrast] {
                let view = PlanView { theme, ..PlanView::of(&other, listener, By::Entry) };
                let drawing = plan::compared(&base, &other, &view);
                check_layout(&drawing, &format!("{name}, listener {listener}"));
                let has = |word: &str| {
                    drawing.shapes.iter().any(|shape| matches!(&shape.form, Form::Text { text, .. } if text == word))
                };
                assert!(has("Before") && has("After") && has("Change") && has("quieter") && has("What changes most"));
                // Each wall three times.
                let party = face(&other, "flat/party");
                let times = drawing
                    .shapes
                    .iter()
                    .filter(|shape| shape.shows == Some(Shown::Surface(party)))
                    .filter(|shape| matches!(shape.form, Form::Polygon { .. }))
                    .count();
                assert_eq!(times, 3, "{name}");
                let text = picture::svg(&drawing, 2000).unwrap();
                assert!(!text.contains("NaN") && !text.contains("inf"));
            }
        }
    }
    // A listener, or a storey, that is not there.
    let base = flat();
    let view = PlanView { storey: 9, ..PlanView::of(&base, 0, By::Entry) };
    assert!(plan::compared(&base, &base, &view).shapes.is_empty());
}

/// Whatever is changed, a face of the plan “After” is brighter (on paper: darker) than in the plan “Before” only if more comes by it; and the legend
/// says that both have one scale. Levels by hand from the paths: shares of the quieter build grow where its levels stay.
#[test]
fn what_is_quieter_is_never_brighter() {
    let edits: [fn(PathKind) -> f64; 3] = [
        |kind| if kind == PathKind::Through { 0.1 } else { 1.0 },
        |kind| if kind == PathKind::Flanking { 1.5 } else { 0.2 },
        |_| 0.25,
    ];
    for edit in edits {
        let (base, other) = (flat(), changed(flat(), edit));
        for (theme, band) in [(Theme::Dark, A), (Theme::Light, A), (Theme::Contrast, BandChoice::one(4))] {
            let view = PlanView { theme, band, ..PlanView::of(&other, 0, By::Entry) };
            let drawing = plan::compared(&base, &other, &view);
            let says = |shape: &leaklight::output::drawing::Shape| matches!(&shape.form, Form::Text { text, .. } if text == SHARED);
            assert!(drawing.shapes.iter().any(says));
            let mut seen = 0;
            for at in 0..other.building.elements.len() {
                let face = Surface::Element(building::ElementIndex(at));
                let fills: Vec<f64> = drawing
                    .shapes
                    .iter()
                    .filter(|shape| shape.shows == Some(Shown::Surface(face)))
                    .filter_map(|shape| match shape.form {
                        Form::Polygon { fill: Some(fill), .. } => Some(fill.luminance()),
                        _ => None,
                    })
                    .collect();
                let [before, after, ..] = fills[..] else { continue };
                let level = |sample: &Sample| -> f64 {
                    let paths = sample.answer.listeners[0].paths.iter().filter(|path| path.entry == face);
                    paths.map(|path| band.energy(&path.energy)).sum()
                };
                let rises = level(&other) > level(&base);
                let brighter = if theme.is_dark() { after > before } else { after < before };
                assert!(rises || !brighter, "{theme:?}, face {at}: {before} {after}");
                seen += usize::from(before != after);
            }
            assert!(seen > 0, "something changes its colour");
        }
    }
}

/// Walls to the open air and roofs glow as others do: someone outdoors hears by them.
#[test]
fn outer_faces_glow() {
    let sample = flat();
    let front = face(&sample, "flat/south-west");
    for by in [By::Entry, By::Exit] {
        let view = PlanView::of(&sample, 1, by);
        assert_eq!(view.storey, 0, "the storey where it leaves the building");
        let glow = view.glow(&sample.answer.listeners[1]);
        let wanted = glow.colour(front).expect("70 % comes by it");
        let drawing = plan(&sample, &view);
        let lit = drawing.shapes.iter().any(|shape| {
            shape.shows == Some(Shown::Surface(front))
                && matches!(shape.form, Form::Polygon { fill: Some(fill), .. } if fill == wanted)
        });
        assert!(lit, "{by:?}");
    }
}

#[test]
fn sentences_say_what_changes_and_why_not() {
    let (base, other) = (flat(), lined());
    let said = |other: &Sample| {
        let comparison = Comparison::of(&base, other, By::Entry);
        comparison.sentence(&comparison.heard[0])
    };
    let text = said(&other);
    for part in
        ["4 dB quieter than before", "10 dB less comes by the wall to the bedroom", "Of what is left, 53 % comes by"]
    {
        assert!(text.contains(part), "no “{part}” in: {text}");
    }
    // 2 % of the whole by the loft, taken away altogether but for a hundredth: 0.09 dB.
    let text = said(&changed(flat(), |kind| if kind == PathKind::ByRoom { 0.01 } else { 1.0 }));
    for part in
        ["nothing anyone would notice changes", "20 dB less comes by", "only 2.0 % of what is heard ever came that way"]
    {
        assert!(text.contains(part), "no “{part}” in: {text}");
    }
    let comparison = Comparison::of(&base, &other, By::Entry);
    let value: serde_json::Value = serde_json::from_str(&comparison.json()).unwrap();
    let listener = &value["listeners"][0];
    assert_eq!(listener["faces"][0]["id"], "flat/party");
    assert!((listener["faces"][0]["change_db"].as_f64().unwrap() + 10.0).abs() < 1e-9);
    assert!((listener["change_db"].as_f64().unwrap() + 4.36).abs() < 0.006);
    assert_eq!(value["listeners"].as_array().unwrap().len(), 2);
}
