//! Feet and inches: everything the window draws follows, with signs its typeface has.

use bevy::prelude::*;
use egui_kittest::Harness;

use leaklight::app::theme;
use leaklight::app::view::View;
use leaklight::app::viewer::drawing::CurrentDrawing;
use leaklight::app::viewer::side_drawings::SideDrawings;
use leaklight::output::drawing::{Drawing, Form};
use leaklight::output::length::{Units, area, dimension, roughly, volume, write};
use leaklight::output::section::Cut;

use super::canvas::Window;

#[test]
fn the_typeface_has_every_sign_that_lengths_are_written_with() {
    let mut written: String =
        (0..97).map(|eighths| write(f64::from(eighths - 8) * 0.0254 / 8.0, Units::Feet)).collect();
    for units in [Units::Metric, Units::Feet] {
        written += &[area(12.0, units), volume(12.0, units), dimension(-1.0, units), roughly(4.0, 1, units)].concat();
    }
    let harness = Harness::new_ui(|ui| drop(ui.label("letters")));
    let letters = theme::font(theme::size::TEXT);
    let missing: Vec<char> =
        harness.ctx.fonts_mut(|fonts| written.chars().filter(|letter| !fonts.has_glyph(&letters, *letter)).collect());
    assert!(missing.is_empty(), "{missing:?}");
    // What the typeface lacks is found by this.
    assert!(!harness.ctx.fonts_mut(|fonts| fonts.has_glyph(&letters, '′')));
}

fn texts(drawing: &Drawing) -> Vec<String> {
    let text = |form: &Form| if let Form::Text { text, .. } = form { Some(text.clone()) } else { None };
    drawing.shapes.iter().filter_map(|shape| text(&shape.form)).collect()
}

/// Dimension lines, areas and heights of the plan and of the section.
#[test]
fn plan_and_section_are_measured_in_the_unit_that_is_chosen() {
    let mut window = Window::of(super::terrace());
    window.answer();
    window.0.world_mut().resource_mut::<View>().cut = Some(Cut { from: [1.0, -1.0], to: [1.5, 12.0] });
    for (units, here, never) in [(Units::Metric, " m²", "ft²"), (Units::Feet, " ft²", " m²")] {
        window.0.world_mut().resource_mut::<View>().units = units;
        window.frames(3);
        let plan = window.0.world().resource::<CurrentDrawing>().drawing.clone().expect("a plan is drawn");
        let section = window.0.world().resource::<SideDrawings>().section.clone().expect("a section is drawn").drawing;
        for (name, drawing) in [("plan", plan), ("section", section)] {
            let texts = texts(&drawing);
            assert!(texts.iter().any(|text| text.contains(here)), "{name}: {texts:?}");
            assert!(!texts.iter().any(|text| text.contains(never)), "{name}: {texts:?}");
            let in_feet = texts.iter().filter(|text| text.ends_with('"')).count();
            let in_metres = texts.iter().filter(|text| text.contains('.') && text.parse::<f64>().is_ok()).count();
            match units {
                Units::Metric => assert!(in_feet == 0 && in_metres > 3, "{name}: {texts:?}"),
                Units::Feet => assert!(in_feet > 3 && in_metres == 0, "{name}: {texts:?}"),
            }
        }
    }
}
