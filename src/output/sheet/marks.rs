//! Marks of sources and listeners.

use crate::scene::SourceId;

use super::geometry::{Patch, add, along, left, length, scale, sub};
use super::{Canvas, Colour, Form, Part, Point, Shown, Stroke, View};

/// Half-width of a source's mark and of a listener's, in letters.
pub(in crate::output) const SOURCE_REACH: f64 = 1.35;
pub(in crate::output) const LISTENER_REACH: f64 = 1.25;

impl<V: View> Canvas<'_, V> {
    /// Where a point is drawn: itself, or at the rim of the sheet with its distance when it is far from the building.
    pub(in crate::output) fn within_sheet(&mut self, point: Point, chosen: bool) -> (Point, Option<f64>) {
        let [wide, high] = self.extent.size();
        let near = self.extent.grown(0.2 * wide.max(high));
        let inside = (0..2).all(|axis| (near.min[axis]..=near.max[axis]).contains(&point[axis]));
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

    pub(in crate::output) fn is_playing(&self, id: &SourceId) -> bool {
        self.scene.sources.iter().any(|source| source.id == *id && source.playing)
    }

    /// A dot with two rings: sound going out. A silent one is pale.
    pub(in crate::output) fn source(&mut self, at: usize, centre: Point, playing: bool) {
        let (unit, quiet) = (self.unit, self.quiet);
        let colour = if playing { quiet.source } else { quiet.soft_ink };
        for (radius, opacity) in [(SOURCE_REACH, 0.45), (0.95, 0.75)] {
            let stroke = Some(Stroke::full(colour.faded(opacity), 0.1 * unit));
            self.push(
                Part::Plan,
                Some(Shown::Source(at)),
                Form::Circle { centre, radius_m: radius * unit, fill: None, stroke },
            );
        }
        self.push(
            Part::Plan,
            Some(Shown::Source(at)),
            Form::Circle { centre, radius_m: 0.52 * unit, fill: Some(colour), stroke: None },
        );
        self.taken.push(Patch::about(centre, 2.0 * SOURCE_REACH * unit, 2.0 * SOURCE_REACH * unit));
    }

    /// A head seen from above, with its two ears; the chosen one is filled and ringed.
    pub(in crate::output) fn listener(&mut self, at: usize, centre: Point) {
        let (unit, quiet) = (self.unit, self.quiet);
        let chosen = at == self.look.listener;
        let colour = if chosen { quiet.listener } else { quiet.soft_ink };
        self.head(centre, unit, colour, chosen, Some(Shown::Listener(at)));
        self.taken.push(Patch::about(centre, 2.4 * unit, 2.0 * unit));
    }

    pub(in crate::output) fn head(
        &mut self,
        centre: Point,
        unit: f64,
        colour: Colour,
        filled: bool,
        shows: Option<Shown>,
    ) {
        let part = if shows.is_some() { Part::Plan } else { Part::Sheet };
        let edge = Stroke::full(colour, 0.12 * unit);
        let fill = if filled { colour } else { self.quiet.room };
        for side in [-0.62, 0.62] {
            let ear = add(centre, [side * unit, 0.0]);
            self.push(
                part,
                shows,
                Form::Circle { centre: ear, radius_m: 0.24 * unit, fill: Some(fill), stroke: Some(edge) },
            );
        }
        self.push(part, shows, Form::Circle { centre, radius_m: 0.56 * unit, fill: Some(fill), stroke: Some(edge) });
        if filled && shows.is_some() {
            let stroke = Some(Stroke::full(colour.faded(0.55), 0.1 * unit));
            self.push(part, shows, Form::Circle { centre, radius_m: 1.2 * unit, fill: None, stroke });
        }
    }
}
