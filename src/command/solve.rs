//! `leaklight solve`: what each listener gets, and by which ways.

use std::path::PathBuf;

use clap::Args;

use super::{Failure, input, print, print_json_text};
use crate::output::{json, table};

/// Print what each listener gets and by which ways the sound comes
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight solve scenes/bookshop-terrace.ron
  leaklight solve scenes/bookshop-terrace.ron --listener bed-10 --json")]
pub(super) struct Solve {
    /// Scene file (RON)
    scene: PathBuf,
    /// What one of its variants makes of it, by name
    #[arg(long, value_name = "NAME")]
    variant: Option<String>,
    /// Only this listener, by id or name
    #[arg(long, value_name = "NAME")]
    listener: Option<String>,
    /// Everything as JSON
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// With --json: every path, where there are so many listeners that else only the 20 strongest of each are written
    #[arg(long, requires = "json")]
    all_paths: bool,
    /// The paths as CSV, one in a line
    #[arg(long)]
    csv: bool,
}

impl Solve {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let scene = if self.json { input::scene_as_written(&self.scene)? } else { input::scene(&self.scene)? };
        let solved = input::solved(input::with_variant(scene, self.variant.as_deref())?)?;
        let chosen = match &self.listener {
            Some(name) => vec![input::listener(&solved.answer, name)?],
            None => (0..solved.answer.listeners.len()).collect(),
        };
        if self.json {
            let many = chosen.len() > json::MANY_LISTENERS && !self.all_paths;
            let most_paths = if many { json::STRONGEST_PATHS } else { usize::MAX };
            print_json_text(&json::answer(&solved, &chosen, most_paths))
        } else if self.csv {
            print(&table::csv(&solved, &chosen))
        } else {
            print(&table::text(&solved, &chosen))
        }
    }
}
