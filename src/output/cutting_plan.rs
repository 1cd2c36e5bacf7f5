//! The cutting plan of a build list: every pattern of a sheet once, to scale, with the sizes of its pieces and how often it is cut.

use crate::build_list::cutting::{CutSheet, Placed};
use crate::build_list::{BuildList, Cut};

use super::draw::Draw;
use super::drawing::{Drawing, Form, Lettering, Part, Point, Shape, Stroke};
use super::palette::{Quiet, Theme};
use super::{lettering, words};

/// Width of the page, m of sheet: nine boards side by side.
const WIDE_M: f64 = 13.6;
const MARGIN_M: f64 = 0.5;
/// Between sheets side by side.
const APART_M: f64 = 0.28;
const TITLE_M: f64 = 0.26;
const HEAD_M: f64 = 0.17;
const LETTER_M: f64 = 0.12;
/// Smaller letters cannot be read on a printed page: such pieces are listed below their sheet.
const LEAST_M: f64 = 0.05;

/// A way of cutting a sheet, and how many are cut so.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// How many sheets.
    pub count: usize,
    /// Its pieces by size and place; the positions are those of the first sheet cut so.
    pub sheet: CutSheet,
}

/// The patterns of a good's sheets, in their order.
#[must_use]
pub fn patterns(cut: &Cut) -> Vec<Pattern> {
    let places = |sheet: &CutSheet| -> Vec<([i32; 2], [i32; 2])> {
        let mut places: Vec<_> = sheet.placed.iter().map(|placed| (placed.at_mm, placed.size_mm)).collect();
        places.sort_unstable();
        places
    };
    let mut found: Vec<(Vec<_>, Pattern)> = vec![];
    for sheet in &cut.sheets {
        let key = places(sheet);
        match found.iter_mut().find(|(known, _)| *known == key) {
            Some((_, pattern)) => pattern.count += 1,
            None => found.push((key, Pattern { count: 1, sheet: sheet.clone() })),
        }
    }
    found.into_iter().map(|(_, pattern)| pattern).collect()
}

/// The whole plan on one sheet, `title` over it; nothing where no sheet is cut.
#[must_use]
pub fn drawing(list: &BuildList, title: &str, theme: Theme) -> Option<Drawing> {
    if list.cuts.is_empty() {
        return None;
    }
    let quiet = theme.quiet();
    let mut page = Page { shapes: vec![], quiet, y: 0.0 };
    page.line(title, TITLE_M, Lettering::new(TITLE_M, quiet.ink).strong());
    let about = "Cutting plan of all jobs together, to scale. Sizes in mm, a saw cut of 3 mm between pieces. Hatched is left over. A number in a ring, where a sheet is cut so once, is the job its piece is for.";
    page.line(about, LETTER_M, Lettering::new(LETTER_M, quiet.soft_ink));
    page.goods(&list.cuts);
    page.jobs(list);
    let low = page.y - 0.5 * MARGIN_M;
    Some(Drawing {
        min: [-MARGIN_M, low],
        max: [WIDE_M + MARGIN_M, MARGIN_M + TITLE_M],
        background: quiet.sheet,
        title: format!("{title}: cutting plan"),
        shapes: page.shapes,
    })
}

/// The heading of a good: how many sheets, how much is left over.
#[must_use]
pub fn heading(cut: &Cut) -> String {
    let [wide, high] = cut.sheet_mm;
    let sheets = cut.sheets.len();
    let plural = if sheets == 1 { "sheet" } else { "sheets" };
    format!("{}: {sheets} {plural} of {wide} × {high} mm, {:.0} % left over", cut.name, 100.0 * cut.waste())
}

struct Page {
    shapes: Vec<Shape>,
    quiet: Quiet,
    /// Where the page is written on, m, downwards.
    y: f64,
}

impl Draw for Page {
    fn push(&mut self, part: Part, shows: Option<super::drawing::Shown>, form: Form) {
        Draw::push(&mut self.shapes, part, shows, form);
    }
}

impl Page {
    fn line(&mut self, text: &str, size_m: f64, style: Lettering) {
        for line in lettering::wrap(text, WIDE_M / size_m) {
            self.text(Part::Page, [0.0, self.y], &line, style);
            self.y -= 1.7 * size_m;
        }
    }

    /// The goods, side by side where they have room.
    fn goods(&mut self, cuts: &[Cut]) {
        let (mut x, mut lowest) = (0.0, self.y);
        for cut in cuts {
            let patterns = patterns(cut);
            let wide_m = f64::from(cut.sheet_mm[0]) / 1000.0;
            let row_m = patterns.len() as f64 * (wide_m + APART_M);
            let block_m = row_m.max(HEAD_M * lettering::width(&heading(cut)) + 2.0 * APART_M);
            if x > 0.0 && x + block_m > WIDE_M {
                (x, self.y) = (0.0, lowest);
            }
            lowest = lowest.min(self.good(cut, &patterns, x));
            x += block_m + APART_M;
        }
        self.y = lowest;
    }

    /// A good's patterns from `left` on; returns how far down they reach.
    fn good(&mut self, cut: &Cut, patterns: &[Pattern], left: f64) -> f64 {
        let [wide_m, high_m] = cut.sheet_mm.map(|side| f64::from(side) / 1000.0);
        let style = Lettering::new(HEAD_M, self.quiet.ink).strong();
        self.text(Part::Page, [left, self.y - 0.3], &heading(cut), style);
        let (mut x, mut top) = (left, self.y - 0.3 - 1.4 * HEAD_M);
        let mut lowest = top;
        for pattern in patterns {
            if x + wide_m > WIDE_M + 1e-9 {
                (x, top) = (left, lowest - 0.15);
            }
            lowest = lowest.min(self.sheet(cut, pattern, [x, top - high_m]));
            x += wide_m + APART_M;
        }
        lowest
    }

    /// Which job each number is.
    fn jobs(&mut self, list: &BuildList) {
        self.y -= 0.3;
        let cut = |at: usize| list.cuts.iter().any(|cut| cut.pieces.iter().any(|(_, job)| *job == at));
        for (at, job) in list.jobs.iter().enumerate().filter(|(at, _)| cut(*at)) {
            let text = format!("{}  {}: {}", at + 1, words::heading(&job.title), job.place);
            self.line(&text, LETTER_M, Lettering::new(LETTER_M, self.quiet.soft_ink));
        }
    }

    /// A sheet with its lower left corner; returns how far down what belongs to it reaches.
    fn sheet(&mut self, cut: &Cut, pattern: &Pattern, corner: Point) -> f64 {
        let [wide_m, high_m] = cut.sheet_mm.map(|side| f64::from(side) / 1000.0);
        let whole = rectangle(corner, [wide_m, high_m]);
        self.hatched(corner, [wide_m, high_m]);
        let mut small = vec![];
        for placed in &pattern.sheet.placed {
            let size_m = placed.size_mm.map(|side| f64::from(side) / 1000.0);
            let at = [0, 1].map(|axis| corner[axis] + f64::from(placed.at_mm[axis]) / 1000.0);
            let stroke = Some(Stroke::full(self.quiet.wall_edge, 0.01));
            let (rings, fill) = (vec![rectangle(at, size_m)], Some(self.quiet.chosen_room));
            self.push(Part::Plan, None, Form::Polygon { rings, fill, stroke });
            let job = (pattern.count == 1).then(|| cut.pieces[placed.piece].1 + 1);
            if !self.label(placed, at, size_m, job) {
                small.push(placed.size_mm);
            }
        }
        let stroke = Some(Stroke::full(self.quiet.ink, 0.014));
        self.push(Part::Plan, None, Form::Polygon { rings: vec![whole], fill: None, stroke });
        let count = format!("{} ×", pattern.count);
        let mut y = corner[1] - 0.15;
        let style = Lettering::new(1.3 * LETTER_M, self.quiet.ink).middle().strong();
        self.text(Part::Plan, [corner[0] + 0.5 * wide_m, y], &count, style);
        for [wide, high] in small {
            y -= 1.3 * 0.8 * LETTER_M;
            let style = Lettering::new(0.8 * LETTER_M, self.quiet.soft_ink).middle();
            self.text(Part::Plan, [corner[0] + 0.5 * wide_m, y], &format!("small: {wide} × {high}"), style);
        }
        y - 0.12
    }

    /// The size of a piece along its longer side, and its job in a ring; false where there is no room for it.
    fn label(&mut self, placed: &Placed, at: Point, size_m: [f64; 2], job: Option<usize>) -> bool {
        let [wide, high] = placed.size_mm;
        let text = format!("{wide} × {high}");
        let upright = size_m[0] < size_m[1] && size_m[0] < 0.9 * LETTER_M * lettering::width(&text) + 0.1;
        let [along, across] = if upright { [size_m[1], size_m[0]] } else { size_m };
        let size = LETTER_M.min((along - 0.05) / lettering::width(&text)).min(0.75 * across);
        if size < LEAST_M {
            return false;
        }
        let middle = [at[0] + 0.5 * size_m[0], at[1] + 0.5 * size_m[1]];
        let rotation_deg = if upright { 90.0 } else { 0.0 };
        let style = Lettering { rotation_deg, ..Lettering::new(size, self.quiet.ink).middle() };
        self.text(Part::Plan, middle, &text, style);
        if let Some(job) = job {
            let radius_m = 0.11;
            let off = 0.5 * lettering::width(&text) * size + 0.05 + radius_m;
            // Above the size where there is room, else behind it.
            let place = if !upright && size_m[1] > 0.6 {
                Some([middle[0], middle[1] + 0.24])
            } else if upright && size_m[1] > 2.0 * (off + radius_m) && size_m[0] > 2.2 * radius_m {
                Some([middle[0], middle[1] + off])
            } else if !upright && size_m[0] > 2.0 * (off + radius_m) && size_m[1] > 2.2 * radius_m {
                Some([middle[0] + off, middle[1]])
            } else {
                None
            };
            if let Some(centre) = place {
                let stroke = Some(Stroke::full(self.quiet.soft_ink, 0.008));
                self.push(Part::Plan, None, Form::Circle { centre, radius_m, fill: None, stroke });
                let style = Lettering::new(0.8 * LETTER_M, self.quiet.soft_ink).middle();
                self.text(Part::Plan, centre, &job.to_string(), style);
            }
        }
        true
    }

    /// What is left over: the whole sheet hatched, before pieces are laid on it.
    fn hatched(&mut self, corner: Point, [wide, high]: [f64; 2]) {
        let step = 0.12;
        let mut start = step;
        while start < wide + high {
            let from = [start.min(wide), (start - wide).max(0.0)];
            let to = [(start - high).max(0.0), start.min(high)];
            let ends = [from, to].map(|[x, y]| [corner[0] + x, corner[1] + y]);
            self.stroke(Part::Plan, None, &ends, Stroke::full(self.quiet.rule, 0.008));
            start += step;
        }
    }
}

fn rectangle(at: Point, [wide, high]: [f64; 2]) -> Vec<Point> {
    let [x, y] = at;
    vec![[x, y], [x + wide, y], [x + wide, y + high], [x, y + high]]
}
