//! `leaklight check`: what is wrong with a scene.

use std::path::PathBuf;

use clap::Args;

use super::{Failure, input, print};
use crate::catalogue::Catalogue;
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
        let scene = input::scene(&self.scene)?;
        let building = input::built(&scene, Catalogue::built_in_ref())?;
        print(&format!("{}\nNothing is wrong with it.\n", table::summary(&scene, &building)))
    }
}
