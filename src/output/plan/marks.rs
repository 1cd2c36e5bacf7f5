//! Sources, listeners, and the numbers on the faces that matter most.

use crate::building::{ElementIndex, SpaceIndex, SpaceKind};
use crate::output::length::roughly;
use crate::output::words;
use crate::solve::Surface;

use super::geometry::{Patch, WallBand, add, along, between, clear_line, left, scale, sub};
use super::sheet::{LISTENER_REACH, Name, SOURCE_REACH};
use super::{Canvas, Part, Point};

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
            self.named(placed.at, SOURCE_REACH, Name { text: &name, colour, strong: playing }, placed.space);
        }
        for (at, point, away) in listeners {
            let placed = &building.listeners[at];
            let chosen = at == self.view.listener;
            let name = self.scene.listeners.iter().find(|listener| listener.id == placed.listener);
            let name = words::heading(name.map_or(placed.listener.0.as_str(), |listener| listener.name.as_str()));
            if building.spaces[placed.space.0].name.eq_ignore_ascii_case(&name) {
                continue;
            }
            let name = away.map_or_else(
                || name.clone(),
                |away_m| format!("{name} ({} away)", roughly(away_m, 0, self.look.units)),
            );
            let colour = if chosen { self.quiet.listener } else { self.quiet.soft_ink };
            self.named(point, LISTENER_REACH, Name { text: &name, colour, strong: chosen }, placed.space);
        }
    }

    fn named(&mut self, at: Point, reach: f64, name: Name, space: SpaceIndex) {
        let building = self.building;
        let reach = reach * self.unit;
        let outline = match &building.spaces[space.0].kind {
            SpaceKind::Room(room) => Some(room.outline.as_slice()),
            SpaceKind::Outdoors | SpaceKind::Ground => None,
        };
        let on_light = !self.lit_slabs(space).is_empty();
        if !self.name_beside(at, reach, name, outline, on_light) {
            self.remarks.push(format!("{}: {}", words::heading(&building.spaces[space.0].name), name.text));
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
