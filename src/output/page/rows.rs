//! Blocks of letters, placed where nothing else is.

use crate::output::draw::Draw;
use crate::output::drawing::{Lettering, Part, Point};
use crate::output::lettering::{width, wrap};
use crate::output::page::canvas::{Canvas, View};
use crate::output::page::geometry::{Patch, add, length, sub};
use crate::output::page::marks::Mark;
use crate::output::palette::Colour;
use crate::output::words;
use crate::solve::Surface;

/// One line of a label.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) text: String,
    pub(crate) size_m: f64,
    pub(crate) colour: Colour,
    pub(crate) strong: bool,
    /// A number before the text.
    pub(crate) badge: Option<(usize, Surface)>,
}

/// Distance between lines, in letters.
const LEADING: f64 = 1.3;
/// Width a badge takes before its text, and height of its line, in ordinary letters.
const BADGE_WIDTH: f64 = 1.9;
const BADGE_HEIGHT: f64 = 1.85;

impl<V: View> Canvas<'_, V> {
    pub(crate) fn row(&self, text: &str, size: f64, strong: bool) -> Row {
        let colour = if strong { self.quiet.ink } else { self.quiet.soft_ink };
        Row { text: text.to_owned(), size_m: size * self.unit, colour, strong, badge: None }
    }

    fn row_width(&self, row: &Row) -> f64 {
        width(&row.text) * row.size_m + row.badge.map_or(0.0, |_| BADGE_WIDTH * self.unit)
    }

    fn row_height(&self, row: &Row) -> f64 {
        row.badge.map_or(LEADING * row.size_m, |_| BADGE_HEIGHT * self.unit)
    }

    pub(crate) fn block_size(&self, rows: &[Row]) -> [f64; 2] {
        let wide = |row: &Row| self.row_width(row);
        let high = |row: &Row| self.row_height(row);
        [rows.iter().map(wide).fold(0.0, f64::max), rows.iter().map(high).sum()]
    }

    /// The free place nearest the middle of an outline for a block of lines, `margin` letters from its rim.
    pub(crate) fn free_place(&self, rows: &[Row], outline: &[Vec<Point>], margin: f64) -> Option<Point> {
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
                if patch.within(outline) && self.is_free(&patch) {
                    best = Some((far, centre));
                }
            }
        }
        best.map(|(_, centre)| centre)
    }

    /// Draws a block of lines; on a lit ground they get a plate to stand on.
    pub(crate) fn rows(&mut self, rows: &[Row], centre: Point, on_light: bool) {
        let [wide, high] = self.block_size(rows);
        let patch = Patch::about(centre, wide, high);
        if on_light {
            let plate = patch.grown(0.3 * self.unit).ring();
            self.polygon(Part::Plan, None, vec![plate], self.quiet.room.faded(0.82));
        }
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
            let style = Lettering::new(row.size_m, row.colour).middle();
            let style = Lettering { strong: row.strong, halo: Some(self.quiet.room), ..style };
            self.text(Part::Plan, [x, y], &row.text, style);
        }
        self.taken.push(patch);
    }

    /// A room's name with facts below it, as large as the room allows. Of the lists of facts the first that fits is taken. False where none does.
    pub(crate) fn name_room(&mut self, name: &str, facts: &[Vec<Row>], outline: &[Vec<Point>], on_light: bool) -> bool {
        let name = words::heading(name);
        for (size, lines) in settings(&name, &[1.05, 0.9, 0.78, 0.68], &[99.0, 9.0, 6.5, 4.5]) {
            for facts in facts {
                let mut rows: Vec<Row> = lines.iter().map(|line| self.row(line, size, true)).collect();
                rows.extend(facts.iter().map(|fact| Row { size_m: fact.size_m * size * 0.86, ..fact.clone() }));
                if let Some(centre) = self.free_place(&rows, outline, 0.35) {
                    self.rows(&rows, centre, on_light);
                    return true;
                }
            }
        }
        false
    }

    /// A name beside its mark: right, left, under or over it, inside the room it is in, or off the walls. False when there is no free place.
    pub(crate) fn name_beside(&mut self, mark: &Mark, within: Option<&[Vec<Point>]>, on_light: bool) -> bool {
        for (size, lines) in settings(&mark.name, &[0.95, 0.8, 0.68], &[99.0, 9.0, 6.0]) {
            let rows: Vec<Row> =
                lines.iter().map(|line| Row { colour: mark.colour, ..self.row(line, size, mark.strong) }).collect();
            let [wide, high] = self.block_size(&rows);
            let gap = mark.reach * self.unit + 0.35 * self.unit;
            let (aside, over) = (gap + wide / 2.0, gap + high / 2.0);
            for step in [[aside, 0.0], [-aside, 0.0], [0.0, -over], [0.0, over]] {
                let centre = add(mark.point, step);
                let patch = Patch::about(centre, wide, high).grown(0.15 * self.unit);
                let fits = within.map_or_else(|| !patch.meets(&self.extent), |rings| patch.within(rings));
                if fits && self.is_free(&patch) {
                    self.rows(&rows, centre, on_light);
                    self.frame.include(patch.min);
                    self.frame.include(patch.max);
                    return true;
                }
            }
        }
        false
    }
}

/// The ways to set a name, the largest first and in the fewest lines: letter size, and its lines within each limit that breaks it anew.
fn settings(name: &str, sizes: &[f64], limits: &[f64]) -> Vec<(f64, Vec<String>)> {
    let broken = limits.iter().enumerate().map(|(at, limit)| (at, wrap(name, *limit)));
    let broken: Vec<_> = broken.filter(|(at, lines)| lines.len() <= 3 && (*at == 0 || lines.len() != 1)).collect();
    sizes.iter().flat_map(|size| broken.iter().map(|(_, lines)| (*size, lines.clone()))).collect()
}
