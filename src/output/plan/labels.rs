//! Names of rooms and of what stands in them, placed where nothing else is.

use crate::building::{RoomSpace, SpaceIndex, SpaceKind};
use crate::output::lettering::{width, wrap};
use crate::output::words;
use crate::solve::Surface;

use super::geometry::{Patch, length, sub};
use super::rooms::Lies;
use super::{Canvas, Colour, Lettering, Part, Point};

/// One line of a label.
struct Row {
    text: String,
    size_m: f64,
    colour: Colour,
    strong: bool,
    /// A number before the text.
    badge: Option<(usize, Surface)>,
}

/// Distance between lines, in letters.
const LEADING: f64 = 1.3;
/// Width a badge takes before its text, and height of its line, in ordinary letters.
const BADGE_WIDTH: f64 = 1.9;
const BADGE_HEIGHT: f64 = 1.85;

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
            self.remarks.push(format!("{key}: {}, {}", space.name, area(room)));
            let rows = [self.row(&key, 0.9, true)];
            if let Some(centre) = self.free_place(&rows, &room.outline, 0.1) {
                self.rows(&rows, centre, false);
            }
        }
    }

    fn row(&self, text: &str, size: f64, strong: bool) -> Row {
        let colour = if strong { self.quiet.ink } else { self.quiet.soft_ink };
        Row { text: text.to_owned(), size_m: size * self.unit, colour, strong, badge: None }
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
                rows.push(self.row(&area(room), size * 0.86, false));
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

    fn row_width(&self, row: &Row) -> f64 {
        width(&row.text) * row.size_m + row.badge.map_or(0.0, |_| BADGE_WIDTH * self.unit)
    }

    fn row_height(&self, row: &Row) -> f64 {
        row.badge.map_or(LEADING * row.size_m, |_| BADGE_HEIGHT * self.unit)
    }

    fn block_size(&self, rows: &[Row]) -> [f64; 2] {
        let wide = |row: &Row| self.row_width(row);
        let high = |row: &Row| self.row_height(row);
        [rows.iter().map(wide).fold(0.0, f64::max), rows.iter().map(high).sum()]
    }

    /// The free place nearest the middle of an outline for a block of lines, `margin` letters from its rim.
    fn free_place(&self, rows: &[Row], outline: &[Vec<Point>], margin: f64) -> Option<Point> {
        const GRID: usize = 36;
        let [wide, high] = self.block_size(rows);
        let bounds = Patch::around(outline.first()?);
        let [room_wide, room_high] = bounds.size();
        let clear = margin * self.unit;
        if wide + 2.0 * clear > room_wide || high + 2.0 * clear > room_high {
            return None;
        }
        let mut best: Option<(f64, Point)> = None;
        for column in 0..=GRID {
            for line in 0..=GRID {
                let part = |step: usize, inner: f64, outer: f64| {
                    (step as f64 / GRID as f64 - 0.5) * (outer - inner - 2.0 * clear)
                };
                let middle = bounds.centre();
                let centre = [middle[0] + part(column, wide, room_wide), middle[1] + part(line, high, room_high)];
                let far = length(sub(centre, middle));
                if best.is_some_and(|(least, _)| least <= far) {
                    continue;
                }
                let patch = Patch::about(centre, wide, high).grown(clear);
                if patch.within(outline) && !self.taken.iter().any(|taken| taken.meets(&patch)) {
                    best = Some((far, centre));
                }
            }
        }
        best.map(|(_, centre)| centre)
    }

    /// Draws a block of lines; on a lit ground they get a plate to stand on.
    fn rows(&mut self, rows: &[Row], centre: Point, on_light: bool) {
        let [wide, high] = self.block_size(rows);
        let patch = Patch::about(centre, wide, high);
        if on_light {
            let plate = patch.grown(0.3 * self.unit);
            let (low, top) = (plate.min, plate.max);
            let ring = vec![low, [top[0], low[1]], top, [low[0], top[1]]];
            self.polygon(Part::Plan, None, vec![ring], self.quiet.room.faded(0.82));
        }
        let halo = self.quiet.room;
        let mut top = patch.max[1];
        for row in rows {
            let leading = self.row_height(row);
            let y = top - leading / 2.0;
            top -= leading;
            let mut x = centre[0];
            if let Some((number, face)) = row.badge {
                let all = self.row_width(row);
                self.badge(Part::Plan, [centre[0] - all / 2.0 + 0.75 * self.unit, y], number, Some(face));
                x += BADGE_WIDTH * self.unit / 2.0;
            }
            let style = Lettering { strong: row.strong, ..Lettering::new(row.size_m, row.colour).middle().halo(halo) };
            self.text(Part::Plan, [x, y], &row.text, style);
        }
        self.taken.push(patch);
    }

    /// A name beside a mark of half-width `reach`: right, left, under or over it, inside the room it is in, or off the walls.
    /// False when there is no free place.
    pub(super) fn name_beside(
        &mut self,
        at: Point,
        reach: f64,
        name: &str,
        colour: Colour,
        strong: bool,
        space: SpaceIndex,
    ) -> bool {
        let building = self.building;
        let outline = match &building.spaces[space.0].kind {
            SpaceKind::Room(room) => Some(room.outline.as_slice()),
            SpaceKind::Outdoors | SpaceKind::Ground => None,
        };
        for size in [0.95, 0.8, 0.68] {
            for limit in [99.0, 9.0, 6.0] {
                let lines = wrap(name, limit);
                if lines.len() > 3 || (limit < 99.0 && lines.len() == 1) {
                    continue;
                }
                let rows: Vec<Row> = lines.iter().map(|line| Row { colour, ..self.row(line, size, strong) }).collect();
                let [wide, high] = self.block_size(&rows);
                let gap = reach + 0.35 * self.unit;
                let (aside, over) = (gap + wide / 2.0, gap + high / 2.0);
                for step in [[aside, 0.0], [-aside, 0.0], [0.0, -over], [0.0, over]] {
                    let centre = [at[0] + step[0], at[1] + step[1]];
                    let patch = Patch::about(centre, wide, high).grown(0.15 * self.unit);
                    let fits = match outline {
                        Some(rings) => patch.within(rings),
                        None => !patch.meets(&self.extent),
                    };
                    if fits && !self.taken.iter().any(|taken| taken.meets(&patch)) {
                        let on_light = !self.lit_slabs(space).is_empty();
                        self.rows(&rows, centre, on_light);
                        self.frame.include(patch.min);
                        self.frame.include(patch.max);
                        return true;
                    }
                }
            }
        }
        false
    }
}

/// Clear area as plans give it.
fn area(room: &RoomSpace) -> String {
    format!("{:.1} m²", room.area_m2)
}
