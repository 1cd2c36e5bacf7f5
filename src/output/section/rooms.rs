//! Rooms that are cut, and their names.

use crate::building::SpaceKind;
use crate::output::draw::Draw;
use crate::output::drawing::{Part, Shown};
use crate::output::length::{self, area};
use crate::output::section::page::Canvas;

impl Canvas<'_> {
    pub(super) fn rooms(&mut self) {
        let sawn = self.view.sawn;
        for room in &sawn.rooms {
            let chosen = self.heard.space == room.space;
            let fill = if chosen { self.quiet.chosen_room } else { self.quiet.room };
            let shows = Some(Shown::Space(room.space));
            if let Some(bare) = room.bare {
                self.shell(room, bare);
            }
            self.polygon(Part::Plan, shows, vec![room.clear.ring()], fill);
            if chosen {
                self.own_room(&[room.clear.ring()]);
            }
        }
    }

    /// Names of rooms with their areas and heights, placed where nothing else is.
    pub(super) fn room_labels(&mut self) {
        let (building, units) = (self.building, self.look.units);
        let mut letter = b'a';
        for (at, space) in building.spaces.iter().enumerate() {
            let SpaceKind::Room(room) = &space.kind else { continue };
            // A room that is cut twice is named once, where there is most of it.
            let parts = self.view.sawn.rooms.iter().filter(|part| part.space.0 == at).map(|part| part.clear);
            let Some(patch) = parts.max_by(|a, b| a.size()[0].total_cmp(&b.size()[0])) else { continue };
            // Sizes in one line, or in two where the room is narrow.
            let (area, high) = (area(room.area_m2, units), format!("{} high", length::write(room.height_m, units)));
            let sizes = format!("{area}, {high}");
            let fact = |text: &str| self.row(text, 1.0, false);
            let facts = [vec![fact(&sizes)], vec![fact(&area), fact(&high)]];
            if self.name_room(&space.name, &facts, &[patch.ring()], false) {
                continue;
            }
            // Too small for its name: a letter here, the name beside the section. What the cut only grazes goes without.
            let key = char::from(letter).to_string();
            let rows = [self.row(&key, 0.9, true)];
            if let Some(centre) = self.free_place(&rows, &[patch.ring()], 0.1) {
                letter = if letter < b'z' { letter + 1 } else { b'a' };
                self.remarks.push(format!("{key}: {}, {sizes}", space.name));
                self.rows(&rows, centre, false);
            }
        }
    }
}
