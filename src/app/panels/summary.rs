//! What is said of a listener, worked out once for an answer: while motes move the panels are laid out thirty times a second.

use std::sync::Arc;

use bevy_egui::egui::{Id, Ui};

use crate::app::hearing::Hearing;
use crate::output::words::{self, GainLine};

/// How many things to stop are listed.
const GAINS: usize = 3;

/// What is said.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// What they hear and by which ways, in a few sentences.
    pub sentences: String,
    /// What stopping the strongest ways would gain, in sentences.
    pub gains: String,
    /// The same in lines, in the order in which to stop them.
    pub lines: Vec<GainLine>,
    /// What has changed since a building was kept to compare with, and why it did much or little.
    pub change: Option<String>,
}

/// Tells one answer of one listener from another.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Key {
    answer: usize,
    listener: usize,
    level: u64,
    paths: usize,
    base: usize,
}

/// What is said of the listener, from memory where nothing has changed.
pub fn summary(ui: &Ui, hearing: &Hearing) -> Arc<Summary> {
    let heard = hearing.heard;
    let key = Key {
        answer: std::ptr::from_ref(hearing.solved) as usize,
        listener: std::ptr::from_ref(heard) as usize,
        level: heard.la_db.to_bits(),
        paths: heard.paths.len(),
        base: hearing.base.map_or(0, |base| std::ptr::from_ref(base) as usize),
    };
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
            .and_then(|base| words::change(base, hearing.solved, &heard.listener)),
    });
    ui.data_mut(|data| data.insert_temp(id, (key, summary.clone())));
    summary
}
