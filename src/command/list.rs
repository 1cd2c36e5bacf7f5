//! `leaklight list`: what to buy, cut and carry to come from one scene to another.

use std::path::PathBuf;

use clap::Args;

use super::picture::{self, Format};
use super::{Failure, input, print, print_json};
use crate::build_list;
use crate::output::{build_list as lines, cutting_plan};
use crate::project::Solved;

/// List what to buy, cut and carry to come from one scene to another
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight list as-it-is.ron with-floor.ron
  leaklight list as-it-is.ron with-floor.ron --csv
  leaklight list as-it-is.ron with-floor.ron -o cutting.svg --light
  leaklight list scenes/foam-or-lining.ron --variant \"lining instead of foam\"")]
pub(super) struct List {
    /// Scene as it is (RON)
    before: PathBuf,
    /// The same building as it is to be: walls, openings and rooms keep their ids; not with --variant
    #[arg(required_unless_present = "variant", conflicts_with = "variant")]
    after: Option<PathBuf>,
    /// One of the scene's variants, by name, from what is drawn
    #[arg(long, value_name = "NAME")]
    variant: Option<String>,
    /// A line for each good, to be opened in a spreadsheet
    #[arg(long)]
    csv: bool,
    /// Everything as JSON
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Cutting plan to write beside: a name ending in .svg or .png
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Cutting plan dark on white, for print
    #[arg(long, requires = "output")]
    light: bool,
    /// Cutting plan white on black, with bright edges
    #[arg(long, conflicts_with = "light", requires = "output")]
    contrast: bool,
    /// Width of the cutting plan in pixels
    #[arg(long, value_name = "PX", default_value_t = crate::output::picture::USUAL_WIDTH_PX, value_parser = picture::width)]
    width: u32,
}

impl List {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let picture = self.output.as_ref().map(|path| Format::of(path).map(|format| (path, format))).transpose()?;
        let [before, after] = self.scenes()?;
        let list = build_list::between(&before, &after);
        if self.json {
            print_json(&lines::json(&list))?;
        } else if self.csv {
            print(&lines::csv(&list))?;
        } else {
            let named = |solved: &Solved, which: String| format!("{} ({which})", solved.scene.name);
            let path = |path: &PathBuf| path.display().to_string();
            let which = self.after.as_ref().map(path).or(self.variant.clone()).unwrap_or_default();
            print(&lines::text(&list, &named(&before, path(&self.before)), &named(&after, which)))?;
        }
        let Some((path, format)) = picture else { return Ok(()) };
        let theme = picture::theme(self.light, self.contrast);
        match cutting_plan::drawing(&list, &after.scene.name, theme) {
            Some(drawing) => picture::write(&drawing, path, format, self.width),
            None => Err(Failure::Call("No sheets are cut, so there is no cutting plan to draw.".to_owned())),
        }
    }

    /// Both scenes, solved.
    fn scenes(&self) -> Result<[Solved; 2], Failure> {
        let drawn = input::scene(&self.before)?;
        let after = match &self.after {
            Some(path) => input::scene(path)?,
            None => input::with_variant(drawn.clone(), self.variant.as_deref())?,
        };
        Ok([input::solved(drawn)?, input::solved(after)?])
    }
}
