//! The colours of leaks and changes stay apart for the commonest colour blindness, and on every sheet.

use leaklight::building::Building;
use leaklight::output::glow::CHANGE_RANGE_DB;
use leaklight::output::palette::Colour;
use leaklight::output::{By, Changes, Glow, Scale, Theme, kinds};
use leaklight::solve::{BandChoice, ListenerAnswer};

use super::sample::flat;

const THEMES: [Theme; 3] = [Theme::Dark, Theme::Light, Theme::Contrast];

/// Just noticeable difference, ΔE*ab. Source: Mahy, Van Eycken & Oosterlinck, Color Research and Application 19 (1994) 105: 2.3.
const JUST_NOTICEABLE: f64 = 2.3;
/// Colours that are not side by side but in different rooms of a plan must differ by more: four times as much (common practice, no source).
const APART: f64 = 4.0 * JUST_NOTICEABLE;

/// Linear sRGB, 0 to 1. Source: IEC 61966-2-1.
fn linear(colour: Colour) -> [f64; 3] {
    [colour.r, colour.g, colour.b].map(|value| {
        let v = f64::from(value) / 255.0;
        if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
    })
}

fn times(matrix: [[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// What someone without the middle cones sees, on linear sRGB: deuteranopia, severity 1.0.
/// Source: Machado, Oliveira & Fernandes, IEEE Trans. Visualization and Computer Graphics 15 (2009) 1291, table of matrices.
const DEUTERANOPIA: [[f64; 3]; 3] =
    [[0.367_322, 0.860_646, -0.227_968], [0.280_085, 0.672_501, 0.047_413], [-0.011_820, 0.042_940, 0.968_881]];

/// CIELAB under D65. Sources: IEC 61966-2-1 (sRGB to XYZ), ISO/CIE 11664-4 (L*a*b*).
fn lab(linear: [f64; 3]) -> [f64; 3] {
    const XYZ: [[f64; 3]; 3] = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
    const WHITE: [f64; 3] = [0.9505, 1.0, 1.0890];
    let xyz = times(XYZ, linear.map(|v| v.clamp(0.0, 1.0)));
    let f: [f64; 3] = std::array::from_fn(|at| {
        let t = xyz[at] / WHITE[at];
        if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 }
    });
    [116.0 * f[1] - 16.0, 500.0 * (f[0] - f[1]), 200.0 * (f[1] - f[2])]
}

/// Usual eyes, and deuteranopic ones.
const EYES: [fn(Colour) -> [f64; 3]; 2] =
    [|colour| lab(linear(colour)), |colour| lab(times(DEUTERANOPIA, linear(colour)))];

/// ΔE*ab of 1976. Source: ISO/CIE 11664-4.
fn difference(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|at| (a[at] - b[at]).powi(2)).sum::<f64>().sqrt()
}

fn glows(theme: Theme) -> [Glow; 3] {
    let sample = flat();
    let heard = &sample.answer.listeners[0];
    let with = |building: &Building, heard: &ListenerAnswer| {
        let changes = Changes::of((building, heard), (building, heard), BandChoice::AWeighted, By::Entry);
        Glow::difference(changes, heard, BandChoice::AWeighted, By::Entry, theme)
    };
    let of = |scale| Glow::of(heard, BandChoice::AWeighted, By::Entry, theme, scale);
    [of(Scale::Share), of(Scale::Level { top_db: 60.0 }), with(&sample.building, heard)]
}

/// The tools of this file: CIELAB of sRGB red as the literature gives it (53.2, 80.1, 67.2; tolerance its rounding and that of the matrix),
/// greys that stay grey, and a red and a green that merge.
#[test]
fn the_simulation_confuses_red_and_green_and_keeps_greys() {
    let red = lab(linear(Colour::rgb(255, 0, 0)));
    assert!(difference(red, [53.2, 80.1, 67.2]) < 0.3, "{red:?}");
    for value in [0, 40, 128, 200, 255] {
        let grey = Colour::rgb(value, value, value);
        assert!(difference(EYES[0](grey), EYES[1](grey)) < 0.5, "{value}");
    }
    let (red, green) = (Colour::rgb(190, 60, 50), Colour::rgb(110, 110, 40));
    let [usual, blind] = EYES.map(|eye| difference(eye(red), eye(green)));
    assert!(usual > 45.0 && blind < usual / 3.0, "{usual} {blind}");
}

#[test]
fn labelled_steps_of_every_legend_stay_apart() {
    for theme in THEMES {
        for glow in glows(theme) {
            let colours: Vec<Colour> = glow.marks().iter().map(|mark| glow.colour_at(mark.position)).collect();
            assert!(colours.len() >= 4);
            for eye in EYES {
                for pair in colours.windows(2) {
                    let apart = difference(eye(pair[0]), eye(pair[1]));
                    assert!(apart >= APART, "{theme:?}, {}: {pair:?} differ by {apart:.1}", glow.heading());
                }
            }
        }
    }
}

/// Lightness alone tells more from less, whoever looks: it grows on dark sheets and falls on paper.
#[test]
fn lightness_is_monotone_in_shares_and_levels_and_either_way_in_changes() {
    for theme in THEMES {
        let way = if theme.is_dark() { 1.0 } else { -1.0 };
        for eye in EYES {
            for step in 0..40 {
                let [less, more] = [step, step + 1].map(|step| f64::from(step) / 40.0);
                let rises = |a: Colour, b: Colour| way * (eye(b)[0] - eye(a)[0]) > 0.0;
                assert!(rises(theme.leak_at(less), theme.leak_at(more)), "{theme:?}, leak {less}");
                for side in [-1.0, 1.0] {
                    // Steps of half a decibel at the smallest changes; two entries of 8 bits may agree in the palest blues.
                    let [a, b] = [less, more].map(|amount| theme.change_at(side * (0.025 + 0.975 * amount)));
                    assert!(rises(a, b) || a == b, "{theme:?}, change {}", side * less);
                }
            }
        }
    }
}

/// Louder and quieter are told apart at any size, and both from what does not change, from the rooms and from the sheet.
#[test]
fn louder_and_quieter_differ_and_stand_out() {
    for theme in THEMES {
        let quiet = theme.quiet();
        for eye in EYES {
            for db in 1..=20 {
                let change = f64::from(db) / CHANGE_RANGE_DB;
                let ends = [theme.change_at(-change), theme.change_at(change)];
                let apart = difference(eye(ends[0]), eye(ends[1]));
                assert!(apart >= 4.0 * APART, "{theme:?}: ± {db} dB differ by {apart:.1}");
                for end in ends {
                    for ground in [quiet.wall, quiet.room, quiet.chosen_room, quiet.sheet] {
                        let apart = difference(eye(end), eye(ground));
                        assert!(apart >= APART, "{theme:?}: {end:?} on {ground:?} differ by {apart:.1}");
                    }
                }
            }
        }
        // Blue is quieter, red louder.
        let (quieter, louder) = (theme.change_at(-0.5), theme.change_at(0.5));
        assert!(quieter.b > quieter.r && louder.r > louder.b, "{theme:?}: {quieter:?} {louder:?}");
        // Graphics need 3 to 1: WCAG 2.2, success criterion 1.4.11. The whole scale is told by more than contrast; its ends are not left to it.
        for end in [-1.0, 1.0] {
            let [a, b] = [theme.change_at(end), quiet.sheet].map(Colour::luminance);
            assert!((a.max(b) + 0.05) / (a.min(b) + 0.05) >= 3.0, "{theme:?}, {end}");
        }
    }
}

/// What someone without the long cones sees: protanopia, severity 1.0. Source as of [`DEUTERANOPIA`] (from memory, unverified).
const PROTANOPIA: [[f64; 3]; 3] =
    [[0.152_286, 1.052_583, -0.204_868], [0.114_503, 0.786_281, 0.099_216], [-0.003_882, -0.048_116, 1.051_998]];

/// Any two kinds of path stay ΔE*ab 15 apart for usual eyes and without red or green cones: many times the step just seen of about 2.3 (Sharma,
/// Digital Color Imaging Handbook, 2003).
#[test]
fn kinds_of_path_stay_apart_without_red_or_green_cones() {
    for theme in THEMES {
        for eye in [EYES[0], EYES[1], without_red] {
            let colours = kinds::ALL.map(|kind| eye(kinds::look(kind, theme).colour));
            for (at, one) in colours.iter().enumerate() {
                for (other_at, other) in colours.iter().enumerate().skip(at + 1) {
                    let apart = difference(*one, *other);
                    let pair = [kinds::ALL[at], kinds::ALL[other_at]];
                    assert!(apart >= 15.0, "{pair:?} on {theme:?}: {apart:.1}");
                }
            }
        }
    }
}

/// CIELAB as it is without red cones.
fn without_red(colour: Colour) -> [f64; 3] {
    lab(times(PROTANOPIA, linear(colour)))
}

/// On paper the strongest face is the strongest colour, whoever looks: each step towards more stands out more from the sheet, by colour difference
/// and by contrast (WCAG 2.2), the ends are far apart, and the least that is lit is told from everything that is not.
#[test]
fn on_paper_more_is_the_stronger_colour() {
    let (light, quiet) = (Theme::Light, Theme::Light.quiet());
    let at = |step: u32| light.leak_at(f64::from(step) / 40.0);
    for eye in [EYES[0], EYES[1], without_red] {
        for step in 0..40 {
            let [less, more] = [at(step), at(step + 1)].map(|colour| difference(eye(colour), eye(quiet.sheet)));
            assert!(more > less, "step {step}: {less:.2} {more:.2}");
        }
        let ends = difference(eye(at(0)), eye(at(40)));
        assert!(ends >= 4.0 * APART, "the ends differ by {ends:.1}");
        for ground in [quiet.sheet, quiet.room, quiet.chosen_room, quiet.wall] {
            let apart = difference(eye(at(0)), eye(ground));
            assert!(apart >= APART, "{ground:?}: {apart:.1}");
        }
    }
    let contrast = |colour: Colour| (quiet.sheet.luminance() + 0.05) / (colour.luminance() + 0.05);
    assert!((0..40).all(|step| contrast(at(step + 1)) > contrast(at(step))));
    // Readable as text is, and a colour, no grey: chroma C*ab as ISO/CIE 11664-4 has it.
    assert!(contrast(at(40)) >= 4.5, "{:.1}", contrast(at(40)));
    let chroma = |colour: Colour| lab(linear(colour))[1].hypot(lab(linear(colour))[2]);
    assert!(chroma(at(40)) > 2.0 * chroma(at(0)), "{:.0} {:.0}", chroma(at(0)), chroma(at(40)));
}
