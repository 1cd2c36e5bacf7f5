//! Sources and listeners with their names.

use crate::building::{SpaceIndex, SpaceKind};
use crate::output::drawing::Point;
use crate::output::page::marks::{LISTENER_REACH, SOURCE_REACH};
use crate::output::page::rows::Name;
use crate::output::plan::page::Canvas;

impl Canvas<'_> {
    /// Every mark first, so that no name comes to lie on one.
    pub(super) fn marks(&mut self) {
        let (building, quiet, shown) = (self.building, self.quiet, self.view.storey);
        for (at, placed) in building.sources.iter().enumerate().filter(|(_, placed)| placed.storey == shown) {
            self.source(at, placed.at, self.is_playing(&placed.source));
        }
        let mut listeners = vec![];
        for (at, placed) in building.listeners.iter().enumerate() {
            let chosen = at == self.view.listener;
            if placed.storey == shown || (chosen && placed.space == building.outdoors()) {
                listeners.push((at, placed, self.within_page(placed.at, chosen)));
            }
        }
        for (at, _, (point, _)) in &listeners {
            self.listener(*at, *point, true);
        }
        for placed in building.sources.iter().filter(|placed| placed.storey == shown) {
            let (text, strong) = (self.source_name(placed), self.is_playing(&placed.source));
            let colour = if strong { quiet.source } else { quiet.soft_ink };
            self.named((placed.at, SOURCE_REACH), Name { text: &text, colour, strong }, placed.space);
        }
        for (at, placed, (point, away_m)) in listeners {
            let strong = at == self.view.listener;
            let colour = if strong { quiet.listener } else { quiet.soft_ink };
            if let Some(text) = self.listener_name(placed, away_m) {
                self.named((point, LISTENER_REACH), Name { text: &text, colour, strong }, placed.space);
            }
        }
    }

    fn named(&mut self, mark: (Point, f64), name: Name, space: SpaceIndex) {
        let outline = match &self.building.spaces[space.0].kind {
            SpaceKind::Room(room) => Some(room.outline.as_slice()),
            SpaceKind::Outdoors | SpaceKind::Ground => None,
        };
        let on_light = !self.lit_slabs(space).is_empty();
        self.name_mark(mark, name, space, outline, on_light);
    }
}
