//! `leaklight picture`: the coloured plan as SVG or PNG.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Failure, complain, input};
use crate::acoustics::{Bands, bands::NOMINAL_HZ};
use crate::output::{By, Drawing, PlanView, Theme, picture, plan, stack};
use crate::scene::Scene;
use crate::solve::BandChoice;

/// Draw the plan, coloured by where the sound leaks
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight picture scenes/bookshop-terrace.ron -o plan.png
  leaklight picture scenes/bookshop-terrace.ron -o plan.svg --listener bed-10 --band 63 --light
  leaklight picture scenes/bookshop-terrace.ron -o bands.png --bands --listener bookseller")]
pub(super) struct Picture {
    /// Scene file (RON)
    scene: PathBuf,
    /// Picture to write: a name ending in .svg or .png
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// Whose ears, by id or name; the scene's first listener without
    #[arg(long, value_name = "NAME")]
    listener: Option<String>,
    /// One third octave, 25 to 5000 Hz, or a range such as 50-80; all bands A-weighted without
    #[arg(long, value_name = "HZ")]
    band: Option<String>,
    /// Storey, by id or name; the one where most sound enters (or comes out) without
    #[arg(long, value_name = "NAME")]
    storey: Option<String>,
    /// Colour where sound enters the building's walls, or where it comes out of them
    #[arg(long, value_enum, default_value_t = Side::Entry)]
    by: Side,
    /// Levels by band instead of the plan: bars stacked by kind of way, against background, hearing and limit
    #[arg(long, conflicts_with_all = ["storey", "by"])]
    bands: bool,
    /// Dark on white, for print
    #[arg(long)]
    light: bool,
    /// Width in pixels
    #[arg(long, value_name = "PX", default_value_t = picture::USUAL_WIDTH_PX)]
    width: u32,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Side {
    /// Where it leaves the source's room
    Entry,
    /// Where it comes out at the listener
    Exit,
}

impl Picture {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let ending = self.output.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        let png = match ending.as_deref() {
            Some("png") => true,
            Some("svg") => false,
            _ => {
                let name = self.output.display();
                return Err(Failure::Call(format!("\"{name}\" must end in .svg or .png, which says what to write.")));
            }
        };
        let band = self.band.as_deref().map(band).transpose()?;
        let solved = input::solved(input::scene(&self.scene)?)?;
        let (scene, building, answer) = (&solved.scene, &solved.building, &solved.answer);
        complain(solved.warnings.iter().map(String::as_str));
        if answer.listeners.is_empty() {
            return Err(Failure::Scene(vec![
                "The scene has no listener; add one to see what reaches them.".to_owned(),
            ]));
        }
        let listener = self.listener.as_deref().map_or(Ok(0), |name| input::listener(answer, name))?;
        let by = match self.by {
            Side::Entry => By::Entry,
            Side::Exit => By::Exit,
        };
        let theme = if self.light { Theme::Light } else { Theme::Dark };
        if self.bands {
            let chosen = match band {
                Some(BandChoice::Range(first, last)) => Some((first, last)),
                _ => None,
            };
            return self.write(&stack::chart(&answer.listeners[listener], theme, chosen), png);
        }
        let mut view = PlanView::of(building, answer, listener, by);
        if let Some(name) = &self.storey {
            view.storey = storey(scene, name)?;
        }
        view.band = band.unwrap_or(view.band);
        view.theme = theme;
        self.write(&plan(scene, solved.catalogue, building, answer, &view), png)
    }

    fn write(&self, drawing: &Drawing, png: bool) -> Result<(), Failure> {
        let bytes = if png {
            picture::png(drawing, self.width)
        } else {
            picture::svg(drawing, self.width).map(String::into_bytes)
        };
        let bytes = bytes.map_err(|error| Failure::Call(format!("The picture cannot be made: {error}.")))?;
        std::fs::write(&self.output, bytes)
            .map_err(|error| Failure::Call(format!("{} cannot be written ({error}).", self.output.display())))
    }
}

fn storey(scene: &Scene, wanted: &str) -> Result<usize, Failure> {
    let same = |name: &str| name.to_lowercase() == wanted.to_lowercase();
    scene.storeys.iter().position(|storey| same(&storey.id.0) || same(&storey.name)).ok_or_else(|| {
        let known: Vec<String> = scene.storeys.iter().map(|storey| format!("\"{}\"", storey.id)).collect();
        Failure::Call(format!("There is no storey \"{wanted}\" in the scene; it has {}.", input::listed(&known)))
    })
}

/// A band or a range of bands as typed: "63", "63 Hz", "50-80".
fn band(text: &str) -> Result<BandChoice, Failure> {
    let one = |text: &str| -> Option<usize> {
        let text = text.trim();
        let hz: f64 = text.strip_suffix("Hz").unwrap_or(text).trim().parse().ok()?;
        let band = Bands::nearest(hz);
        // Within half a band of its nominal midband: 62 or 64 mean 63, 70 may mean anything.
        (hz > 0.0 && (hz / NOMINAL_HZ[band]).ln().abs() < 0.06).then_some(band)
    };
    let found = match text.split_once('-') {
        Some((first, last)) => one(first).zip(one(last)).filter(|(first, last)| first <= last),
        None => one(text).map(|band| (band, band)),
    };
    found.map(|(first, last)| BandChoice::Range(first, last)).ok_or_else(|| {
        let known: Vec<String> = NOMINAL_HZ.iter().map(ToString::to_string).collect();
        Failure::Call(format!("There is no band \"{text}\"; the bands are {} Hz.", input::listed(&known)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_are_understood_as_typed() {
        for (text, expected) in [("63", (4, 4)), ("63 Hz", (4, 4)), ("31.5", (1, 1)), ("32", (1, 1)), ("50-80", (3, 5))]
        {
            let expected = BandChoice::Range(expected.0, expected.1);
            assert_eq!(band(text).unwrap(), expected, "{text}");
        }
        for text in ["", "0", "-63", "70", "20000", "NaN", "80-50", "sixty"] {
            assert!(matches!(band(text), Err(Failure::Call(_))), "{text}");
        }
    }
}
