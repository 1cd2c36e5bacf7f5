//! `leaklight compare`: what changes for each listener from one scene to another, and by which faces; or all variants of one in a table.

use std::path::PathBuf;

use clap::Args;

use super::picture::{self, Format};
use super::{Failure, input, print, print_json_text};
use crate::output::plan::compared;
use crate::output::words::heading;
use crate::output::{By, Comparison, PlanView, variants};
use crate::project::Solved;
use crate::scene::Scene;

/// Print what changes from one scene to another, and draw it
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight compare as-it-is.ron with-floor.ron
  leaklight compare as-it-is.ron with-floor.ron --listener bed-10 -o change.png
  leaklight compare scenes/foam-or-lining.ron --variant \"lining instead of foam\"
  leaklight compare scenes/bookshop-terrace.ron --listener bed-10")]
pub(super) struct Compare {
    /// Scene as it is (RON)
    base: PathBuf,
    /// The same building, changed: walls, openings and listeners keep their ids; a table of the first scene's variants without
    #[arg(conflicts_with = "variant")]
    other: Option<PathBuf>,
    /// One of the scene's variants, by name, against what is drawn; given twice, the first against the second
    #[arg(long, value_name = "NAME")]
    variant: Vec<String>,
    /// Only this listener, by id or name; a picture shows the first without
    #[arg(long, value_name = "NAME")]
    listener: Option<String>,
    /// Everything as JSON
    #[arg(long)]
    json: bool,
    /// Picture to write beside: both plans on one scale of levels, and the change; a name ending in .svg or .png
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Bands of the picture: one third octave, 25 to 5000 Hz, or a range such as 50-80; all bands A-weighted without
    #[arg(long, value_name = "HZ", requires = "output")]
    band: Option<String>,
    /// Storey of the picture, by id or name; the one where most sound enters (or comes out) without
    #[arg(long, value_name = "NAME", requires = "output")]
    storey: Option<String>,
    /// Compare where sound enters the building's walls, or where it comes out of them
    #[arg(long, value_enum, default_value_t)]
    by: By,
    /// Picture dark on white, for print
    #[arg(long, requires = "output")]
    light: bool,
    /// Picture white on black, with bright edges
    #[arg(long, conflicts_with = "light", requires = "output")]
    contrast: bool,
    /// Width of the picture in pixels
    #[arg(long, value_name = "PX", default_value_t = WIDTH_PX, value_parser = picture::width)]
    width: u32,
}

/// Three plans in a row.
const WIDTH_PX: u32 = 3200;

impl Compare {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let picture = self.output.as_ref().map(|path| Format::of(path).map(|format| (path, format))).transpose()?;
        let band = self.band.as_deref().map(picture::band).transpose()?;
        let read = |path| if self.json { input::scene_as_written(path) } else { input::scene(path) };
        let drawn = read(&self.base)?;
        if self.other.is_none() && self.variant.is_empty() {
            return self.table(drawn);
        }
        let (before, after) = match (&self.other, &self.variant[..]) {
            (Some(other), _) => (drawn, read(other)?),
            (None, [one]) => (drawn.clone(), input::with_variant(drawn, Some(one))?),
            (None, [one, two]) => {
                (input::with_variant(drawn.clone(), Some(one))?, input::with_variant(drawn, Some(two))?)
            }
            (None, _) => return Err(Failure::Call("Two variants can be compared, not more.".to_owned())),
        };
        let (base, other) = (input::solved(before)?, input::solved(after)?);
        if [&base, &other].iter().any(|solved| solved.answer.listeners.is_empty()) {
            return Err(Failure::Scene(vec![
                "Both scenes must have a listener; add one to see what reaches them.".to_owned(),
            ]));
        }
        let chosen = self.listener.as_deref().map(|name| input::listener(&other.answer, name)).transpose()?;
        let mut comparison = Comparison::of(&base, &other, self.by);
        let listeners = &other.answer.listeners;
        if let Some(at) = chosen {
            comparison = comparison.only(&listeners[at].listener.0);
        }
        if self.json {
            print_json_text(&comparison.json())?;
        } else {
            let named = |solved: &Solved, which: String| format!("{} ({which})", solved.scene.name);
            let path = |path: &PathBuf| path.display().to_string();
            let which = match (&self.other, &self.variant[..]) {
                (Some(other), _) => [path(&self.base), path(other)],
                (None, [one, two]) => [one.clone(), two.clone()],
                (None, variants) => ["as drawn".to_owned(), variants.concat()],
            };
            let [before, after] = which;
            let (before, after) = (named(&base, before), named(&other, after));
            print(&format!("Before: {before}\nAfter:  {after}\n\n{}", comparison.text()))?;
        }
        let Some((path, format)) = picture else { return Ok(()) };
        let shared = |at: &usize| base.answer.listeners.iter().any(|heard| heard.listener == listeners[*at].listener);
        let found = match chosen {
            Some(at) => Some(at).filter(shared),
            None => (0..listeners.len()).find(shared),
        };
        let Some(at) = found else {
            return Err(Failure::Call("No listener is in both scenes, so there is no change to draw.".to_owned()));
        };
        let mut view = PlanView::of(&other, at, self.by);
        if let Some(name) = &self.storey {
            view.storey = input::storey(&other.scene, name)?;
        }
        view.band = band.unwrap_or(view.band);
        view.theme = picture::theme(self.light, self.contrast);
        picture::write(&compared(&base, &other, &view), path, format, self.width)
    }
    /// All variants of a scene.
    fn table(&self, drawn: Scene) -> Result<(), Failure> {
        if drawn.variants.is_empty() {
            return Err(Failure::Call("The scene has no variants; name a second scene to compare it with.".to_owned()));
        }
        if self.output.is_some() {
            return Err(Failure::Call("A picture shows two versions; name a second scene, or a variant.".to_owned()));
        }
        let variants = drawn.variants.clone();
        let mut others = vec![];
        for variant in &variants {
            others.push(input::solved(input::with_variant(drawn.clone(), Some(&variant.name))?)?);
        }
        let base = input::solved(drawn)?;
        let listeners = &base.answer.listeners;
        let at = match &self.listener {
            Some(name) => input::listener(&base.answer, name)?,
            // The first that has a limit to be held against.
            None => listeners.iter().position(|heard| heard.target.is_some()).unwrap_or(0),
        };
        let Some(heard) = listeners.get(at) else {
            return Err(Failure::Scene(vec![
                "The scene must have a listener; add one to see what reaches them.".to_owned(),
            ]));
        };
        let named: Vec<(&str, &Solved)> = variants.iter().map(|variant| variant.name.as_str()).zip(&others).collect();
        let rows = variants::table(&base, &named, &heard.listener);
        if self.json {
            return print_json_text(&variants::json(&base, &rows, &heard.listener));
        }
        let limit = heard.target.as_ref().map_or_else(String::new, |target| format!(" Limit: {}.", target.name));
        print(&format!("{}: {}.{limit}\n\n{}", base.scene.name, heading(&heard.name), variants::text(&rows)))
    }
}
