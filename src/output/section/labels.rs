//! Names of the rooms that are cut.

use crate::building::{RoomSpace, SpaceKind};
use crate::output::length::{self, Units, area};
use crate::output::lettering::wrap;
use crate::output::sheet::Row;
use crate::output::words;

use super::{Canvas, Patch};

impl Canvas<'_> {
    pub(super) fn room_labels(&mut self) {
        let (building, units) = (self.building, self.look.units);
        let mut letter = b'a';
        for (at, space) in building.spaces.iter().enumerate() {
            let SpaceKind::Room(room) = &space.kind else { continue };
            // A room that is cut twice is named once, where there is most of it.
            let parts = self.view.sawn.rooms.iter().filter(|part| part.space.0 == at).map(|part| part.clear);
            let Some(patch) = parts.max_by(|a, b| a.size()[0].total_cmp(&b.size()[0])) else { continue };
            if self.room_label(&space.name, room, patch) {
                continue;
            }
            // Too small for its name: a letter here, the name beside the section. What the cut only grazes goes without.
            let key = char::from(letter).to_string();
            let rows = [self.row(&key, 0.9, true)];
            if let Some(centre) = self.free_place(&rows, &[patch.ring()], 0.1) {
                letter = if letter < b'z' { letter + 1 } else { b'a' };
                self.remarks.push(format!("{key}: {}, {}", space.name, sizes(room, units)));
                self.rows(&rows, centre, false);
            }
        }
    }

    fn room_label(&mut self, name: &str, room: &RoomSpace, patch: Patch) -> bool {
        let (name, units) = (words::heading(name), self.look.units);
        for size in [1.05, 0.9, 0.78, 0.68] {
            for limit in [99.0, 9.0, 6.5, 4.5] {
                let lines = wrap(&name, limit);
                if lines.len() > 3 || (limit < 99.0 && lines.len() == 1) {
                    continue;
                }
                // Sizes in one line, or in two where the room is narrow.
                for sizes in [vec![sizes(room, units)], vec![area(room.area_m2, units), height(room, units)]] {
                    let mut rows: Vec<Row> = lines.iter().map(|line| self.row(line, size, true)).collect();
                    rows.extend(sizes.iter().map(|line| self.row(line, size * 0.86, false)));
                    if let Some(centre) = self.free_place(&rows, &[patch.ring()], 0.35) {
                        self.rows(&rows, centre, false);
                        return true;
                    }
                }
            }
        }
        false
    }
}

fn height(room: &RoomSpace, units: Units) -> String {
    format!("{} high", length::write(room.height_m, units))
}

fn sizes(room: &RoomSpace, units: Units) -> String {
    format!("{}, {}", area(room.area_m2, units), height(room, units))
}
