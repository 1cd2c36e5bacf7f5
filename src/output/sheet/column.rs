//! What stands round a drawing: title, what the listener gets, the numbered list, the legend, remarks, the scale bar.

use crate::acoustics::bands::NOMINAL_HZ;
use crate::output::lettering::{cut, width, wrap};
use crate::output::palette::LEAK_RANGE_DB;
use crate::output::{names, words};
use crate::solve::{BandChoice, Surface};

use super::{By, Canvas, Form, Lettering, Part, Point, Stroke, View};

/// Width of the column beside the drawing, in letters.
pub(in crate::output) const COLUMN: f64 = 25.0;
/// Margin round the sheet, in letters.
const MARGIN: f64 = 2.6;

impl<V: View> Canvas<'_, V> {
    /// Draws everything beside the drawing: `place` says what part of the building it is, `key` what its lines mean. Returns the
    /// corners of the sheet.
    pub(in crate::output) fn sheet(&mut self, place: &str, key: fn(&mut Self, &mut Cursor)) -> (Point, Point) {
        let unit = self.unit;
        let (left, plan_right) = (self.frame.min[0] - 0.5 * unit, self.frame.max[0]);
        let title_top = self.frame.max[1] + 7.0 * unit;
        let title_right = self.title(left, title_top, place);
        let column = (plan_right + 3.2 * unit).max(title_right + 3.2 * unit);
        let mut cursor = Cursor { x: column, y: title_top, right: column + COLUMN * unit };
        self.heard_level(&mut cursor);
        self.list(&mut cursor);
        self.legend(&mut cursor);
        key(self, &mut cursor);
        self.remarks(&mut cursor);
        let foot = (self.frame.min[1] - 3.4 * unit).min(cursor.y);
        self.scale_bar(left, foot + 0.6 * unit);
        let x = column - 1.6 * unit;
        self.line(Part::Sheet, &[[x, foot], [x, title_top + 0.9 * unit]], self.quiet.rule, 0.06 * unit);
        let margin = MARGIN * unit;
        ([left - margin, foot - margin], [cursor.right + margin, title_top + margin])
    }

    /// Draws the title; returns how far it reaches.
    fn title(&mut self, x: f64, top: f64, place: &str) -> f64 {
        let (unit, quiet) = (self.unit, self.quiet);
        let part = Part::Sheet;
        self.text(part, [x, top], &self.scene.name.clone(), Lettering::new(1.9 * unit, quiet.ink).strong());
        let mut wide = 1.9 * width(&self.scene.name);
        let band = match self.look.band {
            BandChoice::AWeighted => "all bands, A-weighted".to_owned(),
            other => other.label(),
        };
        let by = match self.look.by {
            By::Entry => "where sound leaves the source's room",
            By::Exit => "where sound comes out at the listener",
        };
        let line = format!("{place}  ·  {band}  ·  lit: {by}");
        self.text(part, [x, top - 2.3 * unit], &line, Lettering::new(unit, quiet.soft_ink));
        wide = wide.max(width(&line));
        let elsewhere = self.elsewhere();
        if elsewhere >= 0.5 {
            let line = format!("{} of it passes {}: see the list", words::percent(elsewhere), V::ELSEWHERE);
            self.text(part, [x, top - 4.0 * unit], &line, Lettering::new(unit, quiet.listener));
            wide = wide.max(width(&line));
        }
        x + wide * unit
    }

    fn heard_level(&mut self, cursor: &mut Cursor) {
        let (unit, quiet, heard) = (self.unit, self.quiet, self.heard);
        let part = Part::Sheet;
        let name = cut(&words::heading(&heard.name), (COLUMN - 2.6) / 1.1);
        self.head([cursor.x + 0.9 * unit, cursor.y], 1.05 * unit, quiet.listener, true, None);
        let style = Lettering::new(1.1 * unit, quiet.listener).strong();
        self.text(part, [cursor.x + 2.5 * unit, cursor.y], &name, style);
        cursor.y -= 2.9 * unit;
        let level = words::level(heard.la_db);
        self.text(part, [cursor.x, cursor.y], &level, Lettering::new(2.6 * unit, quiet.ink).strong());
        let x = cursor.x + (width(&level) * 2.6 + 0.8) * unit;
        let heading = words::heading(words::audibility_word(heard.audibility));
        self.text(part, [x, cursor.y + 0.55 * unit], &heading, Lettering::new(unit, quiet.ink));
        let note = format!("± {:.0} dB", heard.uncertainty_db);
        self.text(part, [x, cursor.y - 0.75 * unit], &note, Lettering::new(0.85 * unit, quiet.soft_ink));
        if !matches!(self.look.band, BandChoice::AWeighted) {
            cursor.y -= 2.4 * unit;
            let text = if self.leaks.total > 0.0 {
                format!("in {}: {:.0} dB", self.look.band.label(), 10.0 * self.leaks.total.log10())
            } else {
                format!("in {}: nothing", self.look.band.label())
            };
            self.text(part, [cursor.x, cursor.y], &text, Lettering::new(unit, quiet.soft_ink));
        }
        cursor.y -= 3.9 * unit;
    }

    fn section(&mut self, cursor: &mut Cursor, title: &str) {
        let (unit, quiet) = (self.unit, self.quiet);
        let y = cursor.y + 1.3 * unit;
        self.line(Part::Sheet, &[[cursor.x, y], [cursor.right, y]], quiet.rule, 0.06 * unit);
        self.text(Part::Sheet, [cursor.x, cursor.y], title, Lettering::new(0.9 * unit, quiet.soft_ink));
        cursor.y -= 2.0 * unit;
    }

    fn list(&mut self, cursor: &mut Cursor) {
        let (unit, quiet) = (self.unit, self.quiet);
        let part = Part::Sheet;
        let title = match self.look.by {
            By::Entry => "Sound leaves the source's room by",
            By::Exit => "Sound reaches the listener by",
        };
        self.section(cursor, title);
        if self.listed.is_empty() {
            self.text(part, [cursor.x, cursor.y], "nothing to speak of", Lettering::new(unit, quiet.ink));
            cursor.y -= 2.0 * unit;
        }
        for (at, (face, share)) in self.listed.clone().into_iter().enumerate() {
            self.badge(part, [cursor.x + 0.8 * unit, cursor.y], at + 1, Some(face));
            let x = cursor.x + 2.4 * unit;
            let percent = words::percent(share);
            self.text(part, [cursor.right, cursor.y], &percent, Lettering::new(unit, quiet.ink).end().strong());
            let name = words::heading(&self.face_name(face));
            let limit = COLUMN - 2.4 - 4.6;
            let mut lines = wrap(&name, limit);
            if lines.len() > 2 {
                let rest = lines.split_off(1).join(" ");
                lines.push(cut(&rest, limit));
            }
            for line in &lines {
                self.text(part, [x, cursor.y], line, Lettering::new(unit, quiet.ink));
                cursor.y -= 1.35 * unit;
            }
            if !self.visible(face) {
                let place = self.place(face);
                self.text(part, [x, cursor.y], &place, Lettering::new(0.85 * unit, quiet.soft_ink));
                cursor.y -= 1.3 * unit;
            }
            let (y, wide) = (cursor.y + 0.3 * unit, cursor.right - x);
            self.line(part, &[[x, y], [cursor.right, y]], quiet.rule, 0.28 * unit);
            if let Some(colour) = self.look.theme.leak(share) {
                self.line(part, &[[x, y], [x + wide * share.clamp(0.004, 1.0), y]], colour, 0.28 * unit);
            }
            cursor.y -= 1.45 * unit;
        }
        let listed: f64 = self.listed.iter().map(|(_, share)| share).sum();
        if self.leaks.total > 0.0 && 1.0 - listed >= 0.000_5 {
            let style = Lettering::new(unit, quiet.soft_ink);
            self.text(part, [cursor.x + 2.4 * unit, cursor.y], "everything else", style);
            self.text(part, [cursor.right, cursor.y], &words::percent(1.0 - listed), style.end());
            cursor.y -= 1.6 * unit;
        }
        cursor.y -= 1.5 * unit;
    }

    /// Where a face that this sheet does not show is.
    fn place(&self, face: Surface) -> String {
        names::storeys(self.scene, self.building, face)
            .map_or_else(|| format!("not on this {}", V::NAME), |at| format!("not on this {}: {at}", V::NAME))
    }

    fn legend(&mut self, cursor: &mut Cursor) {
        const STEPS: usize = 60;
        let (unit, quiet) = (self.unit, self.quiet);
        let part = Part::Sheet;
        self.section(cursor, "Part of what the listener hears, dB re the total");
        let (x, wide) = (cursor.x + 1.0 * unit, cursor.right - cursor.x - 2.4 * unit);
        let (top, bottom) = (cursor.y + 0.5 * unit, cursor.y - 0.6 * unit);
        for step in 0..STEPS {
            let colour = self.look.theme.leak_at((step as f64 + 0.5) / STEPS as f64);
            let from = x + wide * step as f64 / STEPS as f64;
            // A hair of overlap, so that no seam shows between the steps.
            let to = x + wide * ((step as f64 + 1.15) / STEPS as f64).min(1.0);
            self.polygon(part, None, vec![vec![[from, bottom], [to, bottom], [to, top], [from, top]]], colour);
        }
        for (db, share) in [(-30.0, "0.1 %"), (-20.0, "1 %"), (-10.0, "10 %"), (0.0, "100 %")] {
            let at = x + wide * (db / LEAK_RANGE_DB + 1.0);
            self.line(part, &[[at, bottom], [at, bottom - 0.4 * unit]], quiet.soft_ink, 0.08 * unit);
            let label = if db < 0.0 { format!("−{:.0}", -db) } else { "0 dB".to_owned() };
            let style = Lettering::new(0.85 * unit, quiet.ink).middle();
            self.text(part, [at, bottom - 1.1 * unit], &label, style);
            let style = Lettering::new(0.8 * unit, quiet.soft_ink).middle();
            self.text(part, [at, bottom - 2.2 * unit], share, style);
        }
        cursor.y -= 4.6 * unit;
    }

    /// The share that passes faces this sheet does not show.
    fn elsewhere(&self) -> f64 {
        self.leaks.by_surface.iter().filter(|(face, _)| !self.visible(*face)).map(|(_, share)| share).sum()
    }

    fn remarks(&mut self, cursor: &mut Cursor) {
        let (unit, quiet) = (self.unit, self.quiet);
        let elsewhere = self.elsewhere();
        let mut remarks = std::mem::take(&mut self.remarks);
        if (0.01..0.5).contains(&elsewhere) {
            let percent = words::percent(elsewhere);
            remarks.insert(0, format!("{percent} passes {}, which this {} does not show.", V::ELSEWHERE, V::NAME));
        }
        remarks.push(format!(
            "An estimate: levels are right to about ± {:.0} dB (one standard deviation).",
            self.heard.uncertainty_db
        ));
        if let BandChoice::Range(first, _) = self.look.band
            && NOMINAL_HZ[first] < 50.0
        {
            remarks.push("Below 50 Hz estimates are rough.".to_owned());
        }
        for remark in remarks {
            for line in wrap(&remark, COLUMN / 0.85) {
                self.text(Part::Sheet, [cursor.x, cursor.y], &line, Lettering::new(0.85 * unit, quiet.soft_ink));
                cursor.y -= 1.25 * unit;
            }
            cursor.y -= 0.35 * unit;
        }
    }

    fn scale_bar(&mut self, x: f64, y: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        // The longest round length up to 16 letters.
        let step =
            [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0].into_iter().rev().find(|step| 4.0 * step <= 18.0 * unit);
        let step = step.unwrap_or(0.1);
        let high = 0.22 * unit;
        for field in 0..4 {
            let (from, to) = (x + step * f64::from(field), x + step * f64::from(field + 1));
            let rings = vec![vec![[from, y - high], [to, y - high], [to, y + high], [from, y + high]]];
            let fill = if field % 2 == 0 { quiet.soft_ink } else { quiet.sheet };
            let stroke = Some(Stroke::full(quiet.soft_ink, 0.06 * unit));
            self.push(Part::Sheet, None, Form::Polygon { rings, fill: Some(fill), stroke });
        }
        for field in [0, 2, 4] {
            let metres = step * f64::from(field);
            let text = if field == 4 { format!("{metres} m") } else { format!("{metres}") };
            let style = Lettering::new(0.8 * unit, quiet.soft_ink).middle();
            self.text(Part::Sheet, [x + metres, y + 0.95 * unit], &text, style);
        }
    }
}

/// Where the next line of the column goes.
pub(in crate::output) struct Cursor {
    pub(in crate::output) x: f64,
    pub(in crate::output) y: f64,
    pub(in crate::output) right: f64,
}
