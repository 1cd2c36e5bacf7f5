//! What is asked about variants is done here, for [`super::perform`].

use crate::app::command::Command;
use crate::app::deciding::Foot;
use crate::app::document::Version;
use crate::app::editor::state::Mode;
use crate::app::listed::Listed;
use crate::app::perform::Window;
use crate::app::view::{Baseline, Compare};
use crate::catalogue::Catalogue;
use crate::edit::{Edit, Item, fitting};
use crate::scene::Variant;

const NONE_YET: &str = "There is no variant yet. “New variant” begins one.";
const NONE_SHOWN: &str = "What is drawn is shown: choose a variant first.";

impl Window<'_> {
    pub(super) fn vary(&mut self, command: Command) {
        match command {
            Command::ShowVersion(version) => self.show_version(version),
            Command::StepVersion(on) => {
                let versions = self.document.committed().map_or(vec![], |drawn| Version::all(drawn));
                if versions.len() < 2 {
                    self.editor.refuse(NONE_YET);
                    return;
                }
                let at = versions.iter().position(|version| version == self.document.shown()).unwrap_or(0);
                let next = if on { at + 1 } else { at + versions.len() - 1 } % versions.len();
                self.show_version(versions[next].clone());
            }
            Command::NewVariant => self.begin_variant(),
            Command::NameVariant(name) => self.name_variant(name.trim()),
            Command::DeleteVariant => {
                if let Some((mut variants, at)) = self.variants() {
                    variants.remove(at);
                    self.edit(&[Edit::Put(Item::Variants(variants))]);
                    self.deciding.about = false;
                }
            }
            Command::DropMisfits => {
                if let Some((mut variants, at)) = self.variants()
                    && let Some(drawn) = self.document.committed()
                {
                    variants[at] = fitting(drawn, Catalogue::built_in_ref(), &variants[at]);
                    self.edit(&[Edit::Put(Item::Variants(variants))]);
                }
            }
            Command::AboutVariant => {
                self.deciding.about = !self.deciding.about && self.variants().is_some();
            }
            Command::CompareWith(version) => {
                let again = self.baseline.version.as_ref() == Some(&version);
                let beside = matches!(self.view.compare, Compare::Beside);
                if again {
                    (*self.baseline, self.view.compare) = (Baseline::default(), Compare::Off);
                } else {
                    *self.baseline = Baseline { solved: None, version: Some(version) };
                    if self.view.compare == Compare::Off {
                        self.view.compare = Compare::Change;
                    }
                }
                self.frame.fitted |= beside && again;
            }
            Command::BuildList => {
                let open = self.deciding.list.take().is_none() && self.variants().is_some();
                self.deciding.list = if open { self.listed() } else { None };
            }
            Command::WriteList(table) => {
                if let Some(list) = &mut self.deciding.list {
                    list.write(self.document.path.as_deref(), table);
                }
            }
            Command::Foot(foot) => {
                self.deciding.foot = if self.deciding.foot == foot { Foot::Usual } else { foot };
            }
            _ => {}
        }
    }

    /// The variants, and which of them is shown; nothing where none is, which is then told.
    fn variants(&mut self) -> Option<(Vec<Variant>, usize)> {
        let drawn = self.document.committed()?;
        let found = self.document.shown().at(&drawn.variants).map(|at| (drawn.variants.clone(), at));
        if found.is_none() {
            self.editor.refuse(NONE_SHOWN);
        }
        found
    }

    /// What it takes to build the variant shown, as it stands; nothing where that cannot be built.
    pub(super) fn listed(&self) -> Option<Listed> {
        let (drawn, standing) = (self.document.committed()?, self.document.standing()?);
        Some(Listed::of(drawn, standing, self.document.shown().at(&drawn.variants).map(|at| &drawn.variants[at])?))
    }

    pub(super) fn show_version(&mut self, version: Version) {
        self.editor.stop();
        self.document.show_version(version);
        self.editor.clear_status();
        if self.editor.mode == Mode::Draw {
            let told = match self.document.shown() {
                Version::Drawn => "What you change now is the drawing, and with it all variants.".to_owned(),
                Version::Variant(name) => {
                    format!("What you change now belongs to “{name}”; the drawing stays as it is.")
                }
            };
            self.editor.tell(told);
        }
    }

    /// Shows a variant by its position, counted from 1, with what it does.
    pub(super) fn show_variant(&mut self, at: usize) {
        let variant = self.document.committed().and_then(|drawn| drawn.variants.get(at.checked_sub(1)?));
        if let Some(version) = variant.map(|variant| Version::Variant(variant.name.clone())) {
            self.show_version(version);
            self.deciding.about = true;
        }
    }

    /// A variant that is what is shown now: without a step where that is what is drawn, a copy of the variant shown else.
    fn begin_variant(&mut self) {
        let Some(drawn) = self.document.committed() else { return };
        let mut variants = drawn.variants.clone();
        let copied = self.document.shown().at(&variants).map(|at| variants[at].clone());
        let stem = copied.as_ref().map_or("Variant", |copied| copied.name.as_str()).to_owned();
        let first = if copied.is_some() { 2 } else { 1 };
        let names = (first..).map(|number| format!("{stem} {number}"));
        let free = |name: &String| variants.iter().all(|known| known.name != *name);
        let Some(name) = names.into_iter().find(free) else { return };
        let (about, edits) = copied.map_or_else(Default::default, |copied| (copied.about, copied.edits));
        variants.push(Variant { name: name.clone(), about, edits });
        if self.edit(&[Edit::Put(Item::Variants(variants))]) {
            self.show_version(Version::Variant(name));
            (self.deciding.about, self.deciding.name_it) = (true, true);
        }
    }

    fn name_variant(&mut self, name: &str) {
        let Some((mut variants, at)) = self.variants() else { return };
        if name.is_empty() || variants[at].name == name {
            return;
        }
        if name == Version::DRAWN || variants.iter().any(|known| known.name == name) {
            self.editor.refuse(format!("“{name}” is taken: give the variant another name."));
            return;
        }
        let was = std::mem::replace(&mut variants[at].name, name.to_owned());
        if self.edit(&[Edit::Put(Item::Variants(variants))]) && self.baseline.version == Some(Version::Variant(was)) {
            self.baseline.version = Some(Version::Variant(name.to_owned()));
        }
    }
}
