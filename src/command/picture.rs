//! `leaklight picture`: the coloured plan, or a section, as SVG or PNG.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::progress::Progress;
use super::{Failure, input};
use crate::acoustics::{Bands, bands::NOMINAL_HZ};
use crate::output::streaming::{Moving, PER_SECOND, SECONDS, Sight};
use crate::output::{By, Cut, Drawing, PlanView, Scale, Theme, chart, picture, plan, section};
use crate::scene::whole;
use crate::solve::BandChoice;

/// Draw the plan or a section, coloured by where the sound leaks
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight picture scenes/bookshop-terrace.ron -o plan.png
  leaklight picture scenes/bookshop-terrace.ron -o plan.svg --listener bed-10 --band 63 --light
  leaklight picture scenes/bookshop-terrace.ron -o plan.png --scale level --top 70
  leaklight picture scenes/bookshop-terrace.ron -o section.png --section
  leaklight picture scenes/bookshop-terrace.ron -o section.png --cut 7.2,-2,7.2,11
  leaklight picture scenes/bookshop-terrace.ron -o motes.png --section --seconds 4 --width 1200
  leaklight picture scenes/bookshop-terrace.ron -o bands.png --bands --listener bookseller")]
pub(super) struct Picture {
    /// Scene file (RON)
    scene: PathBuf,
    /// Picture to write: a name ending in .svg or .png
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// What one of its variants makes of it, by name
    #[arg(long, value_name = "NAME")]
    variant: Option<String>,
    /// Whose ears, by id or name; the scene's first listener without
    #[arg(long, value_name = "NAME")]
    listener: Option<String>,
    /// One third octave, 25 to 5000 Hz, or a range such as 50-80; all bands A-weighted without
    #[arg(long, value_name = "HZ")]
    band: Option<String>,
    /// Storey, by id or name; the one where most sound enters (or comes out) without
    #[arg(long, value_name = "NAME", conflicts_with_all = ["cut", "section"])]
    storey: Option<String>,
    /// A vertical section instead of the plan, along a line of the plan, m, seen from its right-hand side
    #[arg(long, value_name = "X1,Y1,X2,Y2", allow_hyphen_values = true)]
    cut: Option<String>,
    /// A vertical section through the loudest source and the listener
    #[arg(long)]
    section: bool,
    /// Colour where sound enters the building's walls, or where it comes out of them
    #[arg(long, value_enum, default_value_t)]
    by: By,
    /// What the colours stand for: a part of what is heard, or the level it brings to the listener
    #[arg(long, value_enum, default_value_t = Scaled::Share)]
    scale: Scaled,
    /// Upper end of the scale of levels, which reaches 40 dB down; the same for two pictures makes them comparable
    #[arg(long, value_name = "DB", allow_negative_numbers = true)]
    top: Option<f64>,
    /// Levels by band instead of the plan: bars stacked by kind of way, against background, hearing and limit
    #[arg(long, conflicts_with_all = ["storey", "by", "section", "cut", "scale"])]
    bands: bool,
    /// The strongest paths as lines and their sound as motes: as many, and as bright, as their energy
    #[arg(long, conflicts_with = "bands")]
    motes: bool,
    /// Let the motes move for so many seconds, round and round (animated PNG)
    #[arg(long, value_name = "S", conflicts_with = "bands", value_parser = seconds)]
    seconds: Option<f64>,
    /// Dark on white, for print
    #[arg(long)]
    light: bool,
    /// White on black, with bright edges
    #[arg(long, conflicts_with = "light")]
    contrast: bool,
    /// Width in pixels
    #[arg(long, value_name = "PX", default_value_t = picture::USUAL_WIDTH_PX, value_parser = width)]
    width: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Scaled {
    /// Share of what the listener hears, down to 0.1 %
    Share,
    /// Level at the listener, dB
    Level,
}

impl Picture {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let format = Format::of(&self.output)?;
        if self.top.is_some() && self.scale == Scaled::Share {
            return Err(Failure::Call("--top is the upper end of a scale of levels; add --scale level.".to_owned()));
        }
        if self.top.is_some_and(|db| !(-50.0..=200.0).contains(&db)) {
            return Err(Failure::Call("--top must be a level from -50 to 200 dB.".to_owned()));
        }
        if self.seconds.is_some() && format != Format::Png {
            return Err(Failure::Call("What moves needs a file that ends in .png.".to_owned()));
        }
        let band = self.band.as_deref().map(band).transpose()?;
        let cut = self.cut.as_deref().map(cut).transpose()?;
        let solved = input::solved(input::with_variant(input::scene(&self.scene)?, self.variant.as_deref())?)?;
        let (scene, answer) = (&solved.scene, &solved.answer);
        if answer.listeners.is_empty() {
            return Err(Failure::Scene(vec![
                "The scene has no listener; add one to see what reaches them.".to_owned(),
            ]));
        }
        let listener = self.listener.as_deref().map_or(Ok(0), |name| input::listener(answer, name))?;
        let theme = theme(self.light, self.contrast);
        if self.bands {
            let chosen = match band {
                Some(BandChoice::Range(first, last)) => Some((first, last)),
                _ => None,
            };
            let chart = chart::drawing(&answer.listeners[listener], theme, chosen);
            return write(&chart, &self.output, format, self.width);
        }
        let mut plan_view = PlanView::of(&solved, listener, self.by);
        plan_view.band = band.unwrap_or(plan_view.band);
        plan_view.theme = theme;
        if self.scale == Scaled::Level {
            let glow = plan_view.glow(&answer.listeners[listener]);
            plan_view.scale = self.top.map_or(Scale::level_for([glow.leaks()]), |top_db| Scale::Level { top_db });
        }
        let (mut drawing, sight) = if self.section || cut.is_some() {
            let cut = cut.unwrap_or_else(|| Cut::through(&solved, listener));
            (section(&solved, cut, &plan_view), Sight::Section(cut))
        } else {
            if let Some(name) = &self.storey {
                plan_view.storey = input::storey(scene, name)?;
            }
            (plan(&solved, &plan_view), Sight::of_storey(&scene.storeys[plan_view.storey]))
        };
        if !self.motes && self.seconds.is_none() {
            return write(&drawing, &self.output, format, self.width);
        }
        let moving = Moving::on(&drawing, &solved, listener, plan_view.band, sight, theme);
        moving.lay_lines(&mut drawing);
        let Some(seconds) = self.seconds else {
            moving.lay_particles(&mut drawing);
            return write(&drawing, &self.output, format, self.width);
        };
        let frames = moving.frames(seconds);
        let progress = Progress::of("painting", frames.len());
        let bytes = picture::animation(&drawing, &frames, PER_SECOND, self.width, &|| progress.step());
        drop(progress);
        let bytes = bytes.map_err(|error| Failure::Call(format!("The picture cannot be made: {error}.")))?;
        write_bytes(&bytes, &self.output)
    }
}

/// A width in pixels that a picture can have.
pub(super) fn width(text: &str) -> Result<u32, String> {
    let known = text.trim().parse().ok().filter(|width| (1..=picture::LARGEST_PX).contains(width));
    known.ok_or_else(|| format!("give 1 to {} pixels", picture::LARGEST_PX))
}

/// How long an animation may be.
fn seconds(text: &str) -> Result<f64, String> {
    let known = text.trim().parse().ok().filter(|seconds| (SECONDS[0]..=SECONDS[1]).contains(seconds));
    known.ok_or_else(|| format!("give {} to {} seconds", SECONDS[0], SECONDS[1]))
}

/// The theme two switches ask for.
pub(super) fn theme(light: bool, contrast: bool) -> Theme {
    match (light, contrast) {
        (true, _) => Theme::Light,
        (false, true) => Theme::Contrast,
        (false, false) => Theme::Dark,
    }
}

/// What a picture is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Svg,
    Png,
}

impl Format {
    /// By the ending of a file's name.
    pub(super) fn of(path: &Path) -> Result<Self, Failure> {
        match path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).as_deref() {
            Some("png") => Ok(Self::Png),
            Some("svg") => Ok(Self::Svg),
            _ => {
                let name = path.display();
                Err(Failure::Call(format!("\"{name}\" must end in .svg or .png, which says what to write.")))
            }
        }
    }
}

/// Writes a drawing.
pub(super) fn write(drawing: &Drawing, path: &Path, format: Format, width_px: u32) -> Result<(), Failure> {
    let progress = Progress::unmeasured("painting");
    let bytes = match format {
        Format::Png => picture::png(drawing, width_px),
        Format::Svg => picture::svg(drawing, width_px).map(String::into_bytes),
    };
    drop(progress);
    let bytes = bytes.map_err(|error| Failure::Call(format!("The picture cannot be made: {error}.")))?;
    write_bytes(&bytes, path)
}

fn write_bytes(bytes: &[u8], path: &Path) -> Result<(), Failure> {
    whole::replace(path, bytes, None)
        .map_err(|error| Failure::Call(format!("{} cannot be written ({error}).", path.display())))
}

/// A line of the plan as typed: "0,4.5,10,4.5".
fn cut(text: &str) -> Result<Cut, Failure> {
    let numbers: Option<Vec<f64>> = text.split(',').map(|number| number.trim().parse().ok()).collect();
    let cut = match numbers.as_deref() {
        Some(&[x1, y1, x2, y2]) => Some(Cut { from: [x1, y1], to: [x2, y2] }),
        _ => None,
    };
    cut.filter(Cut::is_line).ok_or_else(|| {
        Failure::Call(format!(
            "\"{text}\" is no line to cut along; give both its ends in metres, as in --cut 0,4.5,10,4.5."
        ))
    })
}

/// A band or a range of bands as typed: "63", "63 Hz", "50-80".
pub(super) fn band(text: &str) -> Result<BandChoice, Failure> {
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
    fn cuts_are_understood_as_typed() {
        assert_eq!(cut("-1,4.5, 10,4.5").unwrap(), Cut { from: [-1.0, 4.5], to: [10.0, 4.5] });
        for text in ["", "1,2,3", "1,2,3,4,5", "1,2,1,2", "a,b,c,d", "NaN,0,1,1", "0,0,inf,0"] {
            assert!(matches!(cut(text), Err(Failure::Call(_))), "{text}");
        }
    }

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
