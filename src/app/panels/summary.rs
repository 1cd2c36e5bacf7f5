//! What is said of a listener, worked out once for an answer: while motes move the panels are laid out thirty times a second.

use std::sync::Arc;

use bevy_egui::egui::{Id, Ui};

use crate::app::view::Hearing;
use crate::app::viewer::drawing::variant;
use crate::output::words::{self, GainLine};

/// How many things to stop are listed.
const GAINS: usize = 3;

#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    pub sentences: String,
    /// What stopping the strongest ways would gain, in sentences.
    pub gains: String,
    /// The same in lines, in the order in which to stop them.
    pub lines: Vec<GainLine>,
    /// What has changed since a building was kept to compare with, and why it did much or little.
    pub change: Option<String>,
}

/// Tells one answer of one listener from another: where they and what was kept lie in memory, the level, the number of paths.
type Key = (usize, usize, usize, u64, usize);

/// What is said of the listener, from memory where nothing has changed.
pub fn summary(ui: &Ui, hearing: &Hearing) -> Arc<Summary> {
    let heard = hearing.heard;
    let base = hearing.base.map_or(0, |base| std::ptr::from_ref(base) as usize);
    let [answer, listener] = [std::ptr::from_ref(hearing.solved) as usize, std::ptr::from_ref(heard) as usize];
    let key: Key = (answer, listener, base, heard.la_db.to_bits(), heard.paths.len());
    let id = Id::new("summary");
    if let Some((known, summary)) = ui.data(|data| data.get_temp::<(Key, Arc<Summary>)>(id))
        && known == key
    {
        return summary;
    }
    let (scene, building) = (&hearing.solved.scene, &hearing.solved.building);
    let summary = Arc::new(Summary {
        sentences: words::listener(scene, building, heard),
        gains: words::gains(building, heard),
        lines: words::gain_lines(building, heard, GAINS),
        change: hearing
            .base
            .filter(|base| *base.scene != **scene)
            .and_then(|base| words::change(variant(base), variant(hearing.solved), &heard.listener)),
    });
    ui.data_mut(|data| data.insert_temp(id, (key, summary.clone())));
    summary
}
