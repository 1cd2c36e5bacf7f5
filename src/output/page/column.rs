//! What stands beside a drawing: title, what the listener gets, the numbered list, the legend, remarks, the scale bar.

use crate::acoustics::bands::NOMINAL_HZ;
use crate::output::changes::{FaceChange, Fate};
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Lettering, Part, Point, Stroke};
use crate::output::glow::{self, CHANGE_RANGE_DB, Glow, Scale, fate_label};
use crate::output::leaks::By;
use crate::output::length;
use crate::output::lettering::{cut, width, wrap};
use crate::output::names;
use crate::output::page::canvas::{Canvas, Listed, View};
use crate::output::page::geometry::Patch;
use crate::output::page::key::Sample;
use crate::output::words;
use crate::solve::{BandChoice, ListenerAnswer, Surface};

/// Width of the column beside the drawing, in letters.
pub(crate) const COLUMN: f64 = 25.0;
/// Margin round the page, in letters.
const MARGIN: f64 = 2.6;

impl<V: View> Canvas<'_, V> {
    /// Draws everything beside the drawing: `place` says what part of the building it is, `legends` are those of the colours there are,
    /// `key` what its lines mean. Returns the corners of the page.
    pub(crate) fn column(&mut self, place: &str, legends: &[Glow], key: &[(Sample, String)]) -> [Point; 2] {
        let unit = self.unit;
        let (left, plan_right) = (self.frame.min[0] - 0.5 * unit, self.frame.max[0]);
        let title_top = self.frame.max[1] + 7.0 * unit;
        let title_right = self.title(left, title_top, place);
        let column = (plan_right + 3.2 * unit).max(title_right + 3.2 * unit);
        let mut cursor = Cursor { x: column, y: title_top, right: column + COLUMN * unit };
        self.heard_level(&mut cursor);
        self.list(&mut cursor);
        for glow in legends {
            // Of several the one of levels is that of both builds.
            let both = legends.len() > 1 && glow.changes().is_none();
            self.legend(&mut cursor, glow, if both { glow::SHARED } else { "" });
        }
        self.samples(&mut cursor, key);
        self.remarks(&mut cursor);
        let foot = (self.frame.min[1] - 3.4 * unit).min(cursor.y);
        self.scale_bar(left, foot + 0.6 * unit);
        let x = column - 1.6 * unit;
        self.line(Part::Page, &[[x, foot], [x, title_top + 0.9 * unit]], self.quiet.rule, 0.06 * unit);
        let margin = MARGIN * unit;
        [[left - margin, foot - margin], [cursor.right + margin, title_top + margin]]
    }

    /// Draws the title; returns how far it reaches.
    fn title(&mut self, x: f64, top: f64, place: &str) -> f64 {
        let (unit, quiet) = (self.unit, self.quiet);
        let part = Part::Page;
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
        let part = Part::Page;
        let name = cut(&words::heading(&heard.name), (COLUMN - 2.6) / 1.1);
        self.head([cursor.x + 0.9 * unit, cursor.y], 1.05 * unit, quiet.listener, true, None);
        let style = Lettering::new(1.1 * unit, quiet.listener).strong();
        self.text(part, [cursor.x + 2.5 * unit, cursor.y], &name, style);
        cursor.y -= 2.9 * unit;
        if let Some((_, before)) = self.base {
            self.heard_change(cursor, before);
        } else {
            let state = words::audibility_word(heard.audibility);
            self.headline(cursor, &words::level(heard.la_db), state, &format!("± {:.0} dB", heard.uncertainty_db));
        }
        if !matches!(self.look.band, BandChoice::AWeighted) {
            cursor.y -= 2.4 * unit;
            let level = |energy: f64| {
                if energy > 0.0 { format!("{:.0} dB", 10.0 * energy.log10()) } else { "nothing".to_owned() }
            };
            let text = match self.glow.changes() {
                Some(changes) => {
                    format!("in {}: {}, now {}", self.look.band.label(), level(changes.before), level(changes.after))
                }
                None => format!("in {}: {}", self.look.band.label(), level(self.glow.leaks().total)),
            };
            self.text(part, [cursor.x, cursor.y], &text, Lettering::new(unit, quiet.soft_ink));
        }
        cursor.y -= 3.9 * unit;
    }

    /// What is heard before and after, and by how much they differ.
    fn heard_change(&mut self, cursor: &Cursor, before: &ListenerAnswer) {
        let heard = self.heard;
        let change_db = heard.la_db - before.la_db;
        let change = if change_db.is_finite() { glow::change_words(change_db) } else { "–".to_owned() };
        let [was, is] = [before, heard].map(|heard| words::audibility_word(heard.audibility));
        let state = if was == is { format!("{was} as before") } else { format!("{was}, now {is}") };
        let [first, last] = [before, heard].map(|heard| words::level(heard.la_db));
        self.headline(cursor, &change, &state, &format!("{}, now {last}", first.trim_end_matches(" dB(A)")));
    }

    /// A large word, and two small lines beside it.
    fn headline(&mut self, cursor: &Cursor, large: &str, state: &str, note: &str) {
        let (unit, quiet) = (self.unit, self.quiet);
        self.text(Part::Page, [cursor.x, cursor.y], large, Lettering::new(2.6 * unit, quiet.ink).strong());
        let x = cursor.x + (width(large) * 2.6 + 0.8) * unit;
        let state = cut(&words::heading(state), (cursor.right - x) / unit);
        self.text(Part::Page, [x, cursor.y + 0.55 * unit], &state, Lettering::new(unit, quiet.ink));
        self.text(Part::Page, [x, cursor.y - 0.75 * unit], note, Lettering::new(0.85 * unit, quiet.soft_ink));
    }

    fn section(&mut self, cursor: &mut Cursor, title: &str) {
        let (unit, quiet) = (self.unit, self.quiet);
        let y = cursor.y + 1.3 * unit;
        self.line(Part::Page, &[[cursor.x, y], [cursor.right, y]], quiet.rule, 0.06 * unit);
        self.text(Part::Page, [cursor.x, cursor.y], title, Lettering::new(0.9 * unit, quiet.soft_ink));
        cursor.y -= 2.0 * unit;
    }

    fn list(&mut self, cursor: &mut Cursor) {
        let (unit, quiet) = (self.unit, self.quiet);
        let part = Part::Page;
        let changes = self.glow.changes().is_some();
        let title = match (changes, self.look.by) {
            (true, _) => "What changes most",
            (false, By::Entry) => "Sound leaves the source's room by",
            (false, By::Exit) => "Sound reaches the listener by",
        };
        self.section(cursor, title);
        if self.listed.is_empty() {
            let text = if changes { "nothing" } else { "nothing to speak of" };
            self.text(part, [cursor.x, cursor.y], text, Lettering::new(unit, quiet.ink));
            cursor.y -= 2.0 * unit;
        }
        for (at, listed) in self.listed.clone().into_iter().enumerate() {
            self.badge(part, [cursor.x + 0.8 * unit, cursor.y], at + 1, listed.face);
            let x = cursor.x + 2.4 * unit;
            self.text(part, [cursor.right, cursor.y], &listed.label, Lettering::new(unit, quiet.ink).end().strong());
            let name = words::heading(&listed.name);
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
            for note in &listed.notes {
                self.text(part, [x, cursor.y], note, Lettering::new(0.85 * unit, quiet.soft_ink));
                cursor.y -= 1.3 * unit;
            }
            let (y, wide) = (cursor.y + 0.3 * unit, cursor.right - x);
            self.line(part, &[[x, y], [cursor.right, y]], quiet.rule, 0.28 * unit);
            if let Some(colour) = listed.colour {
                self.line(part, &[[x, y], [x + wide * listed.length.clamp(0.004, 1.0), y]], colour, 0.28 * unit);
            }
            cursor.y -= 1.45 * unit;
        }
        let listed: f64 = self.numbered().iter().map(|(_, face)| self.glow.leaks().share(*face)).sum();
        let rest =
            self.glow.part_label(1.0 - listed).filter(|_| self.glow.leaks().total > 0.0 && 1.0 - listed >= 0.000_5);
        if let Some(rest) = rest {
            let style = Lettering::new(unit, quiet.soft_ink);
            self.text(part, [cursor.x + 2.4 * unit, cursor.y], "everything else", style);
            self.text(part, [cursor.right, cursor.y], &rest, style.end());
            cursor.y -= 1.6 * unit;
        }
        cursor.y -= 1.5 * unit;
    }

    /// The scale of the colours, and `note` below it where its marks have none.
    fn legend(&mut self, cursor: &mut Cursor, glow: &Glow, note: &str) {
        const STEPS: usize = 80;
        let (unit, quiet) = (self.unit, self.quiet);
        let part = Part::Page;
        self.section(cursor, &words::heading(&glow.heading()));
        let (x, wide) = (cursor.x + 1.0 * unit, cursor.right - cursor.x - 2.4 * unit);
        let (top, bottom) = (cursor.y + 0.5 * unit, cursor.y - 0.6 * unit);
        for step in 0..STEPS {
            let colour = glow.colour_at((step as f64 + 0.5) / STEPS as f64);
            let from = x + wide * step as f64 / STEPS as f64;
            // Each reaches under the two after it, so that no seam shows between them.
            let to = x + wide * ((step as f64 + 3.0) / STEPS as f64).min(1.0);
            self.polygon(part, None, vec![Patch { min: [from, bottom], max: [to, top] }.ring()], colour);
        }
        let marks = glow.marks();
        let noted = marks.iter().any(|mark| !mark.note.is_empty());
        for mark in marks {
            let at = x + wide * mark.position;
            self.line(part, &[[at, bottom], [at, bottom - 0.4 * unit]], quiet.soft_ink, 0.08 * unit);
            let style = Lettering::new(0.85 * unit, quiet.ink).middle();
            self.text(part, [at, bottom - 1.1 * unit], &mark.label, style);
            if noted {
                let style = Lettering::new(0.8 * unit, quiet.soft_ink).middle();
                self.text(part, [at, bottom - 2.2 * unit], &mark.note, style);
            }
        }
        if !noted && !note.is_empty() {
            self.text(part, [x, bottom - 2.2 * unit], note, Lettering::new(0.8 * unit, quiet.soft_ink));
        }
        cursor.y -= if noted || !note.is_empty() { 4.6 } else { 4.4 } * unit;
    }

    /// The share that passes faces this page does not show; 0 for a difference, which has no shares.
    fn elsewhere(&self) -> f64 {
        if self.glow.changes().is_some() {
            return 0.0;
        }
        self.glow.leaks().by_surface.iter().filter(|(face, _)| !self.visible(*face)).map(|(_, share)| share).sum()
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
                self.text(Part::Page, [cursor.x, cursor.y], &line, Lettering::new(0.85 * unit, quiet.soft_ink));
                cursor.y -= 1.25 * unit;
            }
            cursor.y -= 0.35 * unit;
        }
    }

    fn scale_bar(&mut self, x: f64, y: f64) {
        let (unit, quiet) = (self.unit, self.quiet);
        // The longest round length up to 16 letters.
        let units = self.look.units;
        let (step, written) = length::round_step(4.5 * unit, units);
        let high = 0.22 * unit;
        for field in 0..4 {
            let (from, to) = (x + step * f64::from(field), x + step * f64::from(field + 1));
            let rings = vec![Patch { min: [from, y - high], max: [to, y + high] }.ring()];
            let fill = if field % 2 == 0 { quiet.soft_ink } else { quiet.sheet };
            let stroke = Some(Stroke::full(quiet.soft_ink, 0.06 * unit));
            self.push(Part::Page, None, Form::Polygon { rings, fill: Some(fill), stroke });
        }
        for field in [0, 2, 4] {
            let written = written * f64::from(field);
            let text = if field == 4 { format!("{written} {}", length::unit(units)) } else { format!("{written}") };
            let style = Lettering::new(0.8 * unit, quiet.soft_ink).middle();
            self.text(Part::Page, [x + step * f64::from(field), y + 0.95 * unit], &text, style);
        }
    }
}

/// Where the next line of the column goes.
pub(crate) struct Cursor {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) right: f64,
}

impl<V: View> Canvas<'_, V> {
    /// The faces that pass most.
    pub(crate) fn loudest(&self) -> Vec<Listed> {
        let faces = self.glow.numbered().into_iter().flatten();
        faces
            .filter_map(|face| {
                let share = self.glow.leaks().share(face);
                let length = match self.look.scale {
                    Scale::Share => share,
                    Scale::Level { .. } => self.glow.position(face)?,
                };
                Some(Listed {
                    face: Some(face),
                    before: None,
                    name: self.face_name(face),
                    label: self.glow.part_label(share)?,
                    notes: self.place(face).into_iter().collect(),
                    length,
                    colour: self.lit(face),
                })
            })
            .collect()
    }

    /// The faces that change most.
    pub(crate) fn most_changed(&self) -> Vec<Listed> {
        let changed = self.glow.most_changed();
        let listed = changed.map(|(face, fate, position)| {
            let length = match fate {
                Fate::Changes(db) => db.abs() / CHANGE_RANGE_DB,
                Fate::Appears | Fate::Goes => 1.0,
            };
            Listed {
                face: face.other,
                before: face.base,
                name: self.change_name(face),
                label: fate_label(fate),
                notes: self.change_notes(face),
                length,
                colour: Some(self.glow.colour_at(position)),
            }
        });
        listed.collect()
    }

    fn change_name(&self, change: &FaceChange) -> String {
        match (change.other, change.base, self.base) {
            (Some(face), ..) => self.face_name(face),
            (None, Some(face), Some((building, _))) => names::surface(building, face),
            _ => change.id.clone(),
        }
    }

    /// Its levels before and after, and where it is when this page does not show it.
    fn change_notes(&self, change: &FaceChange) -> Vec<String> {
        let unit = if self.look.band == BandChoice::AWeighted { "dB(A)" } else { "dB" };
        let level = |energy: f64| format!("{:.0}", 10.0 * energy.log10()).replace('-', "−");
        let levels = match change.fate() {
            Fate::Changes(_) => format!("{}, now {} {unit}", level(change.before), level(change.after)),
            Fate::Appears => format!("{} {unit}, nothing before", level(change.after)),
            Fate::Goes => format!("{} {unit} before, now nothing", level(change.before)),
        };
        std::iter::once(levels).chain(change.other.and_then(|face| self.place(face))).collect()
    }

    /// Where a face is that this page does not show.
    fn place(&self, face: Surface) -> Option<String> {
        let storeys = || names::storeys(self.scene, self.building, face).map_or(String::new(), |at| format!(": {at}"));
        (!self.visible(face)).then(|| format!("not on this {}{}", V::NAME, storeys()))
    }
}
