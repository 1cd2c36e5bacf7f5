//! `leaklight check`: what is wrong with a scene.

use std::path::PathBuf;

use clap::Args;

use super::{Failure, input, print};
use crate::output::table;

/// List everything that is wrong with a scene
#[derive(Debug, Args)]
#[command(after_help = "\
Example:
  leaklight check scenes/bookshop-terrace.ron

Exit code 0 when nothing is wrong, 1 when something is.")]
pub(super) struct Check {
    /// Scene file (RON)
    scene: PathBuf,
}

impl Check {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let built = input::built(input::scene(&self.scene)?)?;
        let summary = table::summary(&built.scene, &built.building);
        let warnings: Vec<String> = built.warnings.iter().map(input::problem_line).collect();
        if warnings.is_empty() {
            return print(&format!("{summary}\nNothing is wrong with it.\n"));
        }
        print(&format!("{summary}\nIt can be computed; look at:\n{}\n", warnings.join("\n")))
    }
}
