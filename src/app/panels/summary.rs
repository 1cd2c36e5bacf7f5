//! What is said of a listener, worked out once for an answer: while motes move the panels are laid out thirty times a second.

use std::sync::Arc;

use bevy_egui::egui::{Id, Ui};

use crate::app::view::Hearing;
use crate::output::names::Naming;
use crate::output::words::{self, GainLine, Lines};
use crate::solve::BandChoice;

/// How many things to stop are listed.
const GAINS: usize = 3;

#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// The answer in three lines.
    pub said: Lines,
    /// What stopping things would gain, in the order in which to stop them.
    pub gains: Vec<GainLine>,
    /// What the faces are called.
    pub naming: Naming,
    /// What has changed since a building was kept to compare with, and why it did much or little.
    pub change: Option<String>,
}

/// Tells one answer of one listener from another: where they and what was kept lie in memory, the level, the number of paths, the bands.
type Key = (usize, usize, usize, u64, usize, BandChoice);

/// What is said of the listener, from memory where nothing has changed.
pub fn summary(ui: &Ui, hearing: &Hearing) -> Arc<Summary> {
    let heard = hearing.heard;
    let base = hearing.base.map_or(0, |base| std::ptr::from_ref(base) as usize);
    let [answer, listener] = [std::ptr::from_ref(hearing.solved) as usize, std::ptr::from_ref(heard) as usize];
    let key: Key = (answer, listener, base, heard.la_db.to_bits(), heard.paths.len(), hearing.view.bands);
    let id = Id::new("summary");
    if let Some((known, summary)) = ui.data(|data| data.get_temp::<(Key, Arc<Summary>)>(id))
        && known == key
    {
        return summary;
    }
    let (scene, building) = (&hearing.solved.scene, &hearing.solved.building);
    let summary = Arc::new(Summary {
        said: words::lines(scene, building, heard, hearing.view.bands),
        gains: words::gain_lines(building, heard, hearing.view.bands, GAINS),
        naming: Naming::of(building, heard),
        change: hearing
            .base
            .filter(|base| *base.scene != **scene)
            .and_then(|base| words::change(base, hearing.solved, &heard.listener)),
    });
    ui.data_mut(|data| data.insert_temp(id, (key, summary.clone())));
    summary
}
