//! Marks of sources and listeners.

use crate::building::{PlacedListener, PlacedSource, SpaceIndex};
use crate::output::draw::Draw;
use crate::output::drawing::{Form, Part, Point, Shown, Stroke};
use crate::output::length::roughly;
use crate::output::page::canvas::{Canvas, View};
use crate::output::page::geometry::{Patch, add, along, left, length, scale, sub};
use crate::output::palette::Colour;
use crate::output::words;
use crate::scene::SourceId;

/// Half-width of a source's mark and of a listener's, in letters.
const SOURCE_REACH: f64 = 1.35;
const LISTENER_REACH: f64 = 1.25;

/// A source or listener that is drawn.
pub(crate) struct Mark {
    pub(crate) point: Point,
    /// Half-width, letters.
    pub(crate) reach: f64,
    pub(crate) name: String,
    pub(crate) colour: Colour,
    /// Plays, or is the chosen one.
    pub(crate) strong: bool,
    pub(crate) space: SpaceIndex,
}

impl<V: View> Canvas<'_, V> {
    /// Where a point is drawn: itself, or at the rim of the page with its distance when it is far from the building.
    pub(crate) fn within_page(&mut self, point: Point, chosen: bool) -> (Point, Option<f64>) {
        let [wide, high] = self.extent.size();
        let near = self.extent.grown(0.2 * wide.max(high));
        let inside = near.holds(point);
        let shown = if inside {
            point
        } else {
            let rim = self.extent.grown(5.0 * self.unit);
            [point[0].clamp(rim.min[0], rim.max[0]), point[1].clamp(rim.min[1], rim.max[1])]
        };
        let reach = 1.6 * self.unit;
        self.frame.include(sub(shown, [reach; 2]));
        self.frame.include(add(shown, [reach; 2]));
        if inside {
            return (shown, None);
        }
        let nearest: Point =
            std::array::from_fn(|axis| point[axis].clamp(self.extent.min[axis], self.extent.max[axis]));
        let direction = along([shown, point]);
        let (from, tip) =
            (add(shown, scale(direction, 1.2 * self.unit)), add(shown, scale(direction, 2.6 * self.unit)));
        let colour = if chosen { self.quiet.listener } else { self.quiet.soft_ink };
        self.line(Part::Plan, &[from, tip], colour, 0.12 * self.unit);
        for turn in [-1.0, 1.0] {
            let barb = add(scale(direction, -0.5 * self.unit), scale(left(direction), turn * 0.35 * self.unit));
            self.line(Part::Plan, &[tip, add(tip, barb)], colour, 0.12 * self.unit);
        }
        self.taken.push(Patch::around(&[from, tip]).grown(0.4 * self.unit));
        self.frame.include(tip);
        (shown, Some(length(sub(point, nearest))))
    }

    pub(crate) fn is_playing(&self, id: &SourceId) -> bool {
        self.scene.sources.iter().any(|source| source.id == *id && source.playing)
    }

    /// A dot with two rings: sound going out. A silent one is pale.
    pub(crate) fn source(&mut self, at: usize, centre: Point, playing: bool) {
        let (unit, quiet) = (self.unit, self.quiet);
        let colour = if playing { quiet.source } else { quiet.soft_ink };
        for (radius, opacity) in [(SOURCE_REACH, 0.45), (0.95, 0.75)] {
            let stroke = Some(Stroke::full(colour.faded(opacity), 0.1 * unit));
            let form = Form::Circle { centre, radius_m: radius * unit, fill: None, stroke };
            self.push(Part::Plan, Some(Shown::Source(at)), form);
        }
        let form = Form::Circle { centre, radius_m: 0.52 * unit, fill: Some(colour), stroke: None };
        self.push(Part::Plan, Some(Shown::Source(at)), form);
        self.taken.push(Patch::about(centre, 2.0 * SOURCE_REACH * unit, 2.0 * SOURCE_REACH * unit));
    }

    /// A head seen from above; the chosen one is filled and ringed, and only an outline where they are not quite there.
    pub(crate) fn listener(&mut self, at: usize, centre: Point, there: bool) {
        let (unit, quiet) = (self.unit, self.quiet);
        let chosen = at == self.look.listener;
        let colour = match (chosen, there) {
            (false, _) => quiet.soft_ink,
            (true, true) => quiet.listener,
            (true, false) => quiet.listener.faded(0.7),
        };
        self.head(centre, unit, colour, chosen && there, Some(Shown::Listener(at)));
        self.taken.push(Patch::about(centre, 2.4 * unit, 2.0 * unit));
    }

    /// A head with its two ears; one that stands for a listener, and is filled, has a ring.
    pub(crate) fn head(&mut self, centre: Point, unit: f64, colour: Colour, filled: bool, shows: Option<Shown>) {
        let part = if shows.is_some() { Part::Plan } else { Part::Page };
        let edge = Stroke::full(colour, 0.12 * unit);
        let fill = if filled { colour } else { self.quiet.room };
        for side in [-0.62, 0.62] {
            let centre = add(centre, [side * unit, 0.0]);
            let form = Form::Circle { centre, radius_m: 0.24 * unit, fill: Some(fill), stroke: Some(edge) };
            self.push(part, shows, form);
        }
        self.push(part, shows, Form::Circle { centre, radius_m: 0.56 * unit, fill: Some(fill), stroke: Some(edge) });
        if filled && shows.is_some() {
            let stroke = Some(Stroke::full(colour.faded(0.55), 0.1 * unit));
            self.push(part, shows, Form::Circle { centre, radius_m: 1.2 * unit, fill: None, stroke });
        }
    }

    /// A source, to be named; a silent one says so.
    pub(crate) fn source_mark(&self, placed: &PlacedSource, point: Point, strong: bool) -> Mark {
        let found = self.scene.sources.iter().find(|source| source.id == placed.source);
        let name = words::heading(found.map_or(placed.source.0.as_str(), |source| source.name.as_str()));
        let name = if self.is_playing(&placed.source) { name } else { format!("{name} (silent)") };
        let colour = if strong { self.quiet.source } else { self.quiet.soft_ink };
        Mark { point, reach: SOURCE_REACH, name, colour, strong, space: placed.space }
    }

    /// A listener, to be named with how far away they are; nothing where they are called as the room they are in.
    pub(crate) fn listener_mark(
        &self,
        placed: &PlacedListener,
        (point, away_m): (Point, Option<f64>),
        strong: bool,
    ) -> Option<Mark> {
        let found = self.scene.listeners.iter().find(|listener| listener.id == placed.listener);
        let name = words::heading(found.map_or(placed.listener.0.as_str(), |listener| listener.name.as_str()));
        let away = away_m.map(|away_m| format!("{name} ({} away)", roughly(away_m, 0, self.look.units)));
        let (name, space) = (away.unwrap_or(name), placed.space);
        let colour = if strong { self.quiet.listener } else { self.quiet.soft_ink };
        let own = !self.building.spaces[space.0].name.eq_ignore_ascii_case(&name);
        own.then_some(Mark { point, reach: LISTENER_REACH, name, colour, strong, space })
    }

    /// Puts a name beside its mark, inside an outline or off the walls; in the remarks where there is no place.
    pub(crate) fn name_mark(&mut self, mark: &Mark, outline: Option<&[Vec<Point>]>, on_light: bool) {
        if !self.name_beside(mark, outline, on_light) {
            self.remarks.push(format!("{}: {}", words::heading(&self.building.spaces[mark.space.0].name), mark.name));
        }
    }
}
