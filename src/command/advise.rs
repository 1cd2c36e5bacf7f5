//! `leaklight advise`: what to build first, for how much, how sure.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use clap::Args;

use super::progress::Progress;
use super::{Failure, input, print, print_json};
use crate::advise::{self, Ask, Watch};
use crate::catalogue::Catalogue;
use crate::output::{advice, advice_json};
use crate::scene::{Edit, Scene, Variant, file, whole};

/// The name of the variant that is written.
const ADVISED: &str = "as advised";

/// Find out what to build first: the cheapest measures that keep all limits, and in which order
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  leaklight advise scenes/foam-or-lining.ron --listener foam-bed --target who-dwelling-day
  leaklight advise scenes/shared-void.ron --budget 2000 --removable-only")]
pub(super) struct Advise {
    /// Scene file (RON)
    scene: PathBuf,
    /// What one of its variants makes of it, by name
    #[arg(long, value_name = "NAME")]
    variant: Option<String>,
    /// Most money, in the currency of the scene's prices
    #[arg(long, value_name = "MONEY", value_parser = amount, allow_negative_numbers = true)]
    budget: Option<f64>,
    /// What may be put on the old floor, kg/m²; by default what floors of dwellings are made for
    #[arg(long, value_name = "KG_M2", value_parser = amount)]
    max_floor_load: Option<f64>,
    /// The heaviest piece that may be handled, kg
    #[arg(long, value_name = "KG", value_parser = amount)]
    max_lift: Option<f64>,
    /// Clear height that must be left, m
    #[arg(long, value_name = "M", value_parser = amount)]
    min_headroom: Option<f64>,
    /// Only what comes off again
    #[arg(long)]
    removable_only: bool,
    /// Hold everyone outside the loud room to this limit, by its id
    #[arg(long, value_name = "ID")]
    target: Option<String>,
    /// The chance that the limits are to be kept with, 50 to 99 %
    #[arg(long, value_name = "PERCENT", default_value_t = 80.0, value_parser = percent)]
    confidence: f64,
    /// Only for this listener, by id or name; may be given several times
    #[arg(long, value_name = "NAME")]
    listener: Vec<String>,
    /// Stop searching after so many seconds, with the best found till then
    #[arg(long, value_name = "S", default_value_t = 60, value_parser = clap::value_parser!(u64).range(1..=86_400))]
    seconds: u64,
    /// Write the scene with what is advised as its variant \"as advised\" to a new file (RON, without comments)
    #[arg(short, long, value_name = "FILE", conflicts_with = "variant")]
    output: Option<PathBuf>,
    /// Everything as JSON
    #[arg(long)]
    json: bool,
}

fn amount(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value >= 0.0 => Ok(value),
        _ => Err("write a number that is not negative, as 2500".to_owned()),
    }
}

fn percent(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if (50.0..=99.0).contains(&value) => Ok(value),
        _ => Err("write a number from 50 to 99".to_owned()),
    }
}

impl Advise {
    pub(super) fn run(&self) -> Result<(), Failure> {
        let written = input::scene_as_written(&self.scene)?;
        let scene = if self.json { written.clone() } else { written.clone().shown() };
        let mut scene = input::with_variant(scene, self.variant.as_deref())?;
        if let Some(target) = &self.target {
            let targets = &Catalogue::built_in_ref().targets;
            if !targets.contains_key(target) {
                return Err(input::unknown("target", target, targets.keys().map(String::as_str), || {
                    "leaklight find lists them".to_owned()
                }));
            }
            scene.listeners.iter_mut().for_each(|listener| listener.target = Some(target.clone()));
        }
        let base = Arc::new(input::solved(scene)?);
        let mut ask = Ask { budget: self.budget, max_lift_kg: self.max_lift, ..Ask::default() };
        ask.max_floor_load_kg_m2 = self.max_floor_load.unwrap_or(ask.max_floor_load_kg_m2);
        ask.min_headroom_m = self.min_headroom.unwrap_or(ask.min_headroom_m);
        (ask.removable_only, ask.confidence) = (self.removable_only, self.confidence / 100.0);
        for name in &self.listener {
            let at = input::listener(&base.answer, name)?;
            ask.listeners.push(base.answer.listeners[at].listener.clone());
        }
        let progress = Progress::of("trying measures", 1);
        let told = |done: usize, all: usize| progress.is_at(done, all);
        let patience = Duration::from_secs(self.seconds);
        let watch = Watch { cancelled: &|| false, progress: &told, patience };
        let found = advise::advise(&base, &ask, &watch).map_err(|why| {
            let nobody = base.answer.listeners.iter().all(|heard| heard.target.is_none());
            let hint = "Or hold everyone to one limit with --target; leaklight find lists them.".to_owned();
            Failure::Scene(std::iter::once(why).chain(nobody.then_some(hint)).collect())
        })?;
        drop(progress);
        let found = found.expect("nothing overtakes a command");
        if let Some(path) = &self.output {
            keep(written, path, found.plan.edits())?;
        }
        if self.json { print_json(&advice_json::advice(&found)) } else { print(&advice::text(&found)) }
    }
}

/// Writes the scene with one more variant, in the place of one of that name.
fn keep(mut scene: Scene, path: &Path, edits: Vec<Edit>) -> Result<(), Failure> {
    let variant = Variant { name: ADVISED.to_owned(), about: String::new(), edits };
    scene.variants.retain(|known| known.name != ADVISED);
    scene.variants.push(variant);
    let text = file::to_text(&scene).map_err(|problem| Failure::Scene(vec![problem.to_string()]))?;
    whole::create(path, text.as_bytes()).map_err(|error| {
        let shown = path.display();
        Failure::Call(match error.kind() {
            ErrorKind::AlreadyExists => format!("\"{shown}\" is there already; name a new file."),
            _ => format!("\"{shown}\" cannot be written ({error})."),
        })
    })
}
