//! Levels by band, stacked by kind of way.

use leaklight::acoustics::BAND_COUNT;
use leaklight::output::chart::{Chart, drawing};
use leaklight::output::drawing::Form;
use leaklight::output::{Theme, kinds, picture};
use leaklight::solve::PathKind;

use super::gains::shipped;
use super::sample::flat;

/// The sample's spectrum is 70 dB at 25 Hz and falls by 1.5 dB a band; of it 70.4 % comes straight, 19.6 % by a gap, 8 % round a junction, 2 % by
/// a loft. Over a foot of −10 dB the bar of 25 Hz is 80 dB high: 56.32, 15.68, 6.4 and 1.6 dB of it, in the order they are stacked.
#[test]
fn bars_are_divided_as_the_energy_is() {
    let chart = Chart::thirds(&flat().answer.listeners[0]);
    assert!((chart.bars[0].level_db - 70.0).abs() < 1e-9 && (chart.bars[10].level_db - 55.0).abs() < 1e-9);
    let parts: Vec<_> = chart.parts(0, -10.0).collect();
    let wanted = [
        (PathKind::Through, -10.0, 46.32),
        (PathKind::Gap, 46.32, 62.0),
        (PathKind::Flanking, 62.0, 68.4),
        (PathKind::ByRoom, 68.4, 70.0),
    ];
    assert_eq!(parts.len(), wanted.len());
    for (part, wanted) in parts.iter().zip(wanted) {
        assert!(part.0 == wanted.0 && (part.1 - wanted.1).abs() < 1e-9 && (part.2 - wanted.2).abs() < 1e-9, "{part:?}");
    }
    assert_eq!(chart.parts(0, 75.0).count(), 0);
}

/// In every band of every listener of the shipped scenes the level is the listener's, and the parts are whole.
#[test]
fn every_bar_is_the_level_and_whole() {
    for (name, sample) in shipped() {
        for heard in &sample.answer.listeners {
            let chart = Chart::thirds(heard);
            for band in 0..BAND_COUNT {
                let level_db = 10.0 * heard.energy[band].log10();
                assert!((chart.bars[band].level_db - level_db).abs() < 1e-6, "{name}, {}: band {band}", heard.name);
                let sum: f64 = chart.bars[band].shares.iter().sum();
                assert!((sum - 1.0).abs() < 1e-9, "{name}, {}: {sum}", heard.name);
            }
            assert!(chart.kinds.iter().all(|kind| kinds::ALL.contains(kind)));
        }
    }
}

/// Drawn within its sheet, in finite places, with a name for each kind that is to be seen; and it can be written as a picture.
#[test]
fn the_chart_keeps_to_its_sheet() {
    let sample = flat();
    for theme in [Theme::Dark, Theme::Light, Theme::Contrast] {
        for heard in &sample.answer.listeners {
            let drawing = drawing(heard, theme, Some((3, 5)));
            let within = |point: &[f64; 2]| {
                (drawing.min[0]..=drawing.max[0]).contains(&point[0])
                    && (drawing.min[1]..=drawing.max[1]).contains(&point[1])
            };
            let mut texts = Vec::new();
            for shape in &drawing.shapes {
                assert!(match &shape.form {
                    Form::Polygon { rings, .. } => rings.iter().flatten().all(within),
                    Form::Line { points, .. } => points.iter().all(within),
                    Form::Circle { centre, .. } => within(centre),
                    Form::Text { at, text, .. } => {
                        texts.push(text.clone());
                        within(at)
                    }
                });
            }
            for kind in Chart::thirds(heard).seen() {
                assert!(texts.iter().any(|text| text == leaklight::output::words::kind(kind)), "{kind:?}: {texts:?}");
            }
            assert!(
                texts.iter().any(|text| text == "threshold of hearing") && texts.iter().all(|text| text != "limit")
            );
            assert!(picture::svg(&drawing, 900).unwrap().contains("threshold of hearing"));
        }
    }
}
