//! Names of rooms and of what stands in them, placed where nothing else is.

use crate::building::{RoomSpace, SpaceIndex, SpaceKind};
use crate::output::length::area;
use crate::output::lettering::wrap;
use crate::output::words;
use crate::solve::Surface;

use super::Canvas;
use super::rooms::Lies;
use super::sheet::Row;

impl Canvas<'_> {
    pub(super) fn room_labels(&mut self) {
        let building = self.building;
        let mut letter = b'a';
        for (at, space) in building.spaces.iter().enumerate() {
            let SpaceKind::Room(room) = &space.kind else { continue };
            if room.storey != self.view.storey || room.outline.is_empty() {
                continue;
            }
            if self.room_label(SpaceIndex(at), &space.name, room) {
                continue;
            }
            // Too small for its name: a letter here, the name beside the plan.
            let key = char::from(letter).to_string();
            letter = if letter < b'z' { letter + 1 } else { b'a' };
            self.remarks.push(format!("{key}: {}, {}", space.name, area(room.area_m2, self.look.units)));
            let rows = [self.row(&key, 0.9, true)];
            if let Some(centre) = self.free_place(&rows, &room.outline, 0.1) {
                self.rows(&rows, centre, false);
            }
        }
    }

    fn room_label(&mut self, space: SpaceIndex, name: &str, room: &RoomSpace) -> bool {
        let slabs = self.lit_slabs(space);
        let name = words::heading(name);
        for size in [1.05, 0.9, 0.78, 0.68] {
            for limit in [99.0, 9.0, 6.5, 4.5] {
                let lines = wrap(&name, limit);
                if lines.len() > 3 || (limit < 99.0 && lines.len() == 1) {
                    continue;
                }
                let mut rows: Vec<Row> = lines.iter().map(|line| self.row(line, size, true)).collect();
                rows.push(self.row(&area(room.area_m2, self.look.units), size * 0.86, false));
                for slab in slabs.iter().rev() {
                    let face = Surface::Element(slab.element);
                    let open = self.building.elements[slab.element.0].sides[0] == self.building.outdoors();
                    let way = match slab.lies {
                        Lies::Under => "floor",
                        Lies::Over if open => "roof",
                        Lies::Over => "ceiling",
                    };
                    let label = self.glow.label(face).unwrap_or_default();
                    let mut row = self.row(&format!("{way} {label}"), size * 0.86, false);
                    row.badge = self.number(face).map(|number| (number, face));
                    row.colour = self.quiet.ink;
                    rows.push(row);
                }
                if let Some(centre) = self.free_place(&rows, &room.outline, 0.35) {
                    self.rows(&rows, centre, !slabs.is_empty());
                    return true;
                }
            }
        }
        false
    }
}
