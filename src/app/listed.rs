//! What to buy and cut for the variant shown, and the files it is written to.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::build_list::{self, BuildList};
use crate::output::{Theme, build_list as lines, cutting_plan, picture};
use crate::project::Project;
use crate::scene::{Scene, Variant, whole};

/// A list of what it takes to come from what is drawn to a variant of it.
#[derive(Debug, Clone)]
pub struct Listed {
    /// Name of the variant.
    pub variant: String,
    /// The list as lines, or why there is none.
    pub lines: Result<String, String>,
    /// What was written, or why not.
    pub outcome: Option<String>,
    list: Option<BuildList>,
    /// What it was made of.
    of: Arc<Scene>,
}

impl Listed {
    /// Finds the goods; nothing is solved for that.
    #[must_use]
    pub fn of(drawn: &Arc<Scene>, standing: &Arc<Scene>, variant: &Variant) -> Self {
        let built = [drawn, standing].map(|scene| Project::of(scene.clone()).build());
        let list = match &built {
            [Ok(before), Ok(after)] => Some(build_list::between(before, after)),
            _ => None,
        };
        let lines = match &list {
            Some(list) => Ok(lines::text(list, "what is drawn", &format!("“{}”", variant.name))),
            None => Err("There is no list yet: something is wrong with this plan, and told at the right.".to_owned()),
        };
        Self { variant: variant.name.clone(), lines, outcome: None, list, of: standing.clone() }
    }

    /// True where it was made of this scene, of this variant.
    #[must_use]
    pub fn is_of(&self, standing: &Arc<Scene>, variant: &str) -> bool {
        Arc::ptr_eq(&self.of, standing) && self.variant == variant
    }

    /// True where sheets are cut.
    #[must_use]
    pub fn has_cuts(&self) -> bool {
        self.list.as_ref().is_some_and(|list| !list.cuts.is_empty())
    }

    /// Writes the table (true) or the cutting plan beside the scene's file, or in the home folder; nothing is written over.
    pub fn write(&mut self, scene: Option<&Path>, table: bool) {
        let Some(list) = &self.list else { return };
        let contents = if table {
            Ok(lines::csv(list).into_bytes())
        } else {
            let title = format!("{}, {}", self.of.name, self.variant);
            // Dark on white, as it is printed.
            cutting_plan::drawing(list, &title, Theme::Light).ok_or_else(|| "no sheets are cut".to_owned()).and_then(
                |drawing| {
                    let made = picture::svg(&drawing, picture::USUAL_WIDTH_PX);
                    made.map(String::into_bytes).map_err(|error| error.to_string())
                },
            )
        };
        let (what, ending) = if table { ("list", "csv") } else { ("cutting", "svg") };
        let folder = scene.and_then(Path::parent).map(Path::to_owned).or_else(std::env::home_dir).unwrap_or_default();
        let stem = scene.and_then(Path::file_stem).map_or_else(|| "leaklight".into(), |stem| stem.to_string_lossy());
        let name = format!("{stem} {} {what}", in_a_name(&self.variant));
        let written =
            contents.and_then(|contents| create(&folder, &name, ending, &contents).map_err(|error| error.to_string()));
        self.outcome = Some(match written {
            Ok(path) => format!("Written: {}", path.display()),
            Err(why) => format!("It could not be written ({why})."),
        });
    }
}

/// Without what has a meaning in the names of files.
fn in_a_name(text: &str) -> String {
    let letter = |letter: char| if letter.is_alphanumeric() || " -_.".contains(letter) { letter } else { '-' };
    text.chars().map(letter).take(60).collect()
}

/// Writes a new file: where one of that name is there already, a number is put behind it.
fn create(folder: &Path, name: &str, ending: &str, contents: &[u8]) -> io::Result<PathBuf> {
    for number in 1..=99 {
        let path = match number {
            1 => folder.join(format!("{name}.{ending}")),
            _ => folder.join(format!("{name} {number}.{ending}")),
        };
        match whole::create(&path, contents) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            written => return written.map(|()| path),
        }
    }
    Err(io::Error::from(ErrorKind::AlreadyExists))
}
