//! What is said of a listener, worked out once for an answer: while motes move the panels are laid out thirty times a second.

use std::sync::Arc;

use bevy_egui::egui::{Id, Ui};

use crate::app::panels::faces::{FacePaths, faces};
use crate::app::view::{Compare, Hearing, View};
use crate::output::Glow;
use crate::output::names::Naming;
use crate::output::words::{self, GainLine, Lines};

/// How many things to stop are listed.
const GAINS: usize = 3;

#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// The answer in three lines.
    pub said: Lines,
    /// What stopping things would gain, in the order in which to stop them.
    pub gains: Vec<GainLine>,
    /// What lights the plan.
    pub glow: Glow,
    /// The faces it numbers and others, with the ways that pass them; and how many ways are not among them.
    pub faces: Vec<FacePaths>,
    pub unlisted: usize,
    /// What has changed since a building was kept to compare with, and why it did much or little.
    pub change: Option<String>,
}

/// Tells one answer of one listener from another: where they and what was kept lie in memory, the level, the number of paths, how they are looked at.
type Key = (usize, usize, usize, u64, usize, View);

/// What is said of the listener, from memory where nothing has changed.
pub fn summary(ui: &Ui, hearing: &Hearing) -> Arc<Summary> {
    let heard = hearing.heard;
    let base = hearing.base.map_or(0, |base| std::ptr::from_ref(base) as usize);
    let [answer, listener] = [std::ptr::from_ref(hearing.solved) as usize, std::ptr::from_ref(heard) as usize];
    // Neither the line of a wipe nor that of a section changes what is said.
    let compare = if hearing.view.compare == Compare::Change { Compare::Change } else { Compare::Off };
    let view = View { compare, cut: None, ..hearing.view.clone() };
    let key: Key = (answer, listener, base, heard.la_db.to_bits(), heard.paths.len(), view);
    let id = Id::new("summary");
    if let Some((known, summary)) = ui.data(|data| data.get_temp::<(Key, Arc<Summary>)>(id))
        && known == key
    {
        return summary;
    }
    let (scene, building) = (&hearing.solved.scene, &hearing.solved.building);
    let view = hearing.view;
    let glow =
        view.change(hearing.solved, hearing.base).unwrap_or_else(|| view.lit(hearing.solved, heard, hearing.base));
    let (faces, unlisted) = faces(hearing, &Naming::of(building, heard), &glow);
    let summary = Arc::new(Summary {
        said: words::lines(scene, building, heard, hearing.view.bands),
        gains: words::gain_lines(building, heard, hearing.view.bands, GAINS),
        glow,
        faces,
        unlisted,
        change: hearing
            .base
            .filter(|base| *base.scene != **scene)
            .and_then(|base| words::change(base, hearing.solved, &heard.listener)),
    });
    ui.data_mut(|data| data.insert_temp(id, (key, summary.clone())));
    summary
}
