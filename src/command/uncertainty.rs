//! `leaklight uncertainty`: how sure the levels are, and what to measure first.

use std::path::PathBuf;

use clap::Args;

use super::{Failure, input, print, print_json_text};
use crate::output::uncertainty;
use crate::solve::sampling;

/// Print how sure each level is, drawn many times, and what to measure first
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight uncertainty scenes/bookshop-terrace.ron
  leaklight uncertainty scenes/bookshop-terrace.ron --listener bed-10 --samples 2000 --json

The same seed gives the same numbers on any machine.")]
pub(super) struct Uncertainty {
    /// Scene file (RON)
    scene: PathBuf,
    /// Only this listener, by id or name
    #[arg(long, value_name = "NAME")]
    listener: Option<String>,
    /// How often what is not known is drawn
    #[arg(long, value_name = "N", default_value_t = 10_000, value_parser = clap::value_parser!(u32).range(100..=100_000))]
    samples: u32,
    /// Which draw: any whole number
    #[arg(long, value_name = "S", default_value_t = 1)]
    seed: u64,
    /// As JSON
    #[arg(long)]
    json: bool,
}

impl Uncertainty {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let scene = if self.json { input::scene_as_written(&self.scene)? } else { input::scene(&self.scene)? };
        let solved = input::solved(scene)?;
        let chosen = match &self.listener {
            Some(name) => vec![input::listener(&solved.answer, name)?],
            None => (0..solved.answer.listeners.len()).collect(),
        };
        let sampled = sampling::sample(&solved.answer, self.samples as usize, self.seed);
        if self.json {
            print_json_text(&uncertainty::json(&solved, &sampled, self.seed, &chosen))
        } else {
            print(&uncertainty::text(&solved, &sampled, self.seed, &chosen))
        }
    }
}
