//! Sources, listeners, and the numbers on the faces that matter most.

use crate::building::{ElementIndex, SpaceIndex};
use crate::output::words;
use crate::scene::SourceId;
use crate::solve::Surface;

use super::geometry::{Patch, WallBand, add, along, between, clear_line, left, length, scale, sub};
use super::{Canvas, Colour, Form, Part, Point, Shown, Stroke};

/// Half-width of a source's mark and of a listener's, in letters.
const SOURCE_REACH: f64 = 1.35;
const LISTENER_REACH: f64 = 1.25;

impl Canvas<'_> {
    pub(super) fn marks(&mut self) {
        let building = self.building;
        // Every mark first, so that no name comes to lie on one.
        let sources: Vec<usize> =
            (0..building.sources.len()).filter(|at| building.sources[*at].storey == self.view.storey).collect();
        let listeners: Vec<(usize, Point, Option<f64>)> = (0..building.listeners.len())
            .filter(|at| {
                building.listeners[*at].storey == self.view.storey
                    || (*at == self.view.listener && building.listeners[*at].space == building.outdoors())
            })
            .map(|at| {
                let (point, away) = self.within_sheet(building.listeners[at].at, at == self.view.listener);
                (at, point, away)
            })
            .collect();
        for at in &sources {
            let placed = &building.sources[*at];
            self.source(*at, placed.at, self.is_playing(&placed.source));
        }
        for (at, point, _) in &listeners {
            self.listener(*at, *point);
        }
        for at in sources {
            let placed = &building.sources[at];
            let name = self.scene.sources.iter().find(|source| source.id == placed.source);
            let name = words::heading(name.map_or(placed.source.0.as_str(), |source| source.name.as_str()));
            let playing = self.is_playing(&placed.source);
            let name = if playing { name } else { format!("{name} (silent)") };
            let colour = if playing { self.quiet.source } else { self.quiet.soft_ink };
            self.named(placed.at, SOURCE_REACH, &name, colour, playing, placed.space);
        }
        for (at, point, away) in listeners {
            let placed = &building.listeners[at];
            let chosen = at == self.view.listener;
            let name = self.scene.listeners.iter().find(|listener| listener.id == placed.listener);
            let name = words::heading(name.map_or(placed.listener.0.as_str(), |listener| listener.name.as_str()));
            if building.spaces[placed.space.0].name.eq_ignore_ascii_case(&name) {
                continue;
            }
            let name = away.map_or_else(|| name.clone(), |metres| format!("{name} ({metres:.0} m away)"));
            let colour = if chosen { self.quiet.listener } else { self.quiet.soft_ink };
            self.named(point, LISTENER_REACH, &name, colour, chosen, placed.space);
        }
    }

    fn named(&mut self, at: Point, reach: f64, name: &str, colour: Colour, strong: bool, space: SpaceIndex) {
        let building = self.building;
        let reach = reach * self.unit;
        if !self.name_beside(at, reach, name, colour, strong, space) {
            self.remarks.push(format!("{}: {name}", words::heading(&building.spaces[space.0].name)));
        }
    }

    /// Where a point is drawn: itself, or at the rim of the sheet with its distance when it is far from the building.
    fn within_sheet(&mut self, point: Point, chosen: bool) -> (Point, Option<f64>) {
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

    fn is_playing(&self, id: &SourceId) -> bool {
        self.scene.sources.iter().any(|source| source.id == *id && source.playing)
    }

    /// A dot with two rings: sound going out. A silent one is pale.
    fn source(&mut self, at: usize, centre: Point, playing: bool) {
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
    pub(super) fn listener(&mut self, at: usize, centre: Point) {
        let (unit, quiet) = (self.unit, self.quiet);
        let chosen = at == self.view.listener;
        let colour = if chosen { quiet.listener } else { quiet.soft_ink };
        self.head(centre, unit, colour, chosen, Some(Shown::Listener(at)));
        self.taken.push(Patch::about(centre, 2.4 * unit, 2.0 * unit));
    }

    pub(super) fn head(&mut self, centre: Point, unit: f64, colour: Colour, filled: bool, shows: Option<Shown>) {
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

    /// The numbers of the listed walls, openings and gaps. Those of slabs stand with the room's name.
    pub(super) fn badges(&mut self, walls: &[(ElementIndex, WallBand)], bands: &[WallBand]) {
        for (number, face) in self.numbered() {
            let Some((element, wall)) = walls.iter().find(|(element, _)| face.element() == Some(*element)) else {
                continue;
            };
            let out = scale(left(along(wall.line)), wall.thickness_m / 2.0 + 1.35 * self.unit);
            let opening = |at: usize| self.building.elements[element.0].openings.get(at).map(|opening| opening.line);
            let places: Vec<Point> = match face {
                Surface::Opening(_, at) | Surface::Gap(_, at) => {
                    let Some(line) = opening(at) else { continue };
                    let spots: &[f64] =
                        if matches!(face, Surface::Gap(..)) { &[0.0, 1.0, 0.5] } else { &[0.5, 0.25, 0.75] };
                    // Below or to the right of a wall first: the door's leaf swings the other way.
                    spots
                        .iter()
                        .map(|part| between(line[0], line[1], *part))
                        .flat_map(|foot| [sub(foot, out), add(foot, out)])
                        .collect()
                }
                _ => {
                    let line = clear_line(*wall, bands);
                    let on = |part: &f64| between(line[0], line[1], *part);
                    let spots = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];
                    let beside = spots.iter().map(on).flat_map(|foot| [sub(foot, out), add(foot, out)]);
                    spots.iter().map(on).chain(beside).collect()
                }
            };
            let patch = |centre: Point| Patch::about(centre, 1.7 * self.unit, 1.7 * self.unit);
            let free = places.iter().find(|place| !self.taken.iter().any(|taken| taken.meets(&patch(**place))));
            if let Some(centre) = free.or(places.first()).copied() {
                self.taken.push(patch(centre));
                self.badge(Part::Plan, centre, number, Some(face));
            }
        }
    }
}
