//! Sources and listeners with their names, and the numbers on the faces that matter most.

use crate::building::ElementIndex;
use crate::output::drawing::Point;
use crate::output::names;
use crate::output::page::geometry::{Patch, WallBand, add, along, between, clear_line, left, length, scale, sub};
use crate::output::page::marks::Mark;
use crate::output::plan::Canvas;
use crate::output::plan::difference::rings;
use crate::solve::Surface;

impl Canvas<'_> {
    /// Every mark first, so that no name comes to lie on one.
    pub(super) fn marks(&mut self) {
        let (building, shown) = (self.building, self.view.storey);
        let mut listeners = vec![];
        for (at, placed) in building.listeners.iter().enumerate() {
            let chosen = at == self.view.listener;
            if placed.storey == shown || (chosen && placed.space == building.outdoors()) {
                listeners.push((at, placed, self.within_page(placed.at, chosen)));
            }
        }
        for (at, placed) in building.sources.iter().enumerate().filter(|(_, placed)| placed.storey == shown) {
            self.source(at, placed.at, self.is_playing(&placed.source));
        }
        for (at, _, (point, _)) in &listeners {
            self.listener(*at, *point, true);
        }
        let sources = building.sources.iter().filter(|placed| placed.storey == shown);
        let mut marks: Vec<Mark> =
            sources.map(|placed| self.source_mark(placed, placed.at, self.is_playing(&placed.source))).collect();
        marks.extend(
            listeners
                .into_iter()
                .filter_map(|(at, placed, place)| self.listener_mark(placed, place, at == self.view.listener)),
        );
        for mark in marks {
            let outline = names::room(building, mark.space).map(|room| room.outline.as_slice());
            let on_light = !self.lit_slabs(mark.space).is_empty();
            self.name_mark(&mark, outline, on_light);
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
            self.badge_at((number, Some(face)), &places, true, None);
        }
    }

    /// The numbers of listed ducts, on the line or beside it.
    pub(super) fn duct_badges(&mut self) {
        let unit = self.unit;
        for (number, face) in self.numbered() {
            let Surface::Duct(at) = face else { continue };
            let Some(duct) = self.building.ducts.get(at).filter(|_| self.visible(face)) else { continue };
            let line: [Point; 2] = duct.ends.map(|end| end.at);
            let out = if length(sub(line[1], line[0])) > 0.01 { left(along(line)) } else { [1.0, 0.0] };
            let out = scale(out, 1.5 * unit);
            let feet = [0.5, 0.35, 0.65, 0.2, 0.8].map(|part| between(line[0], line[1], part));
            let places: Vec<Point> = feet.iter().flat_map(|foot| [*foot, sub(*foot, out), add(*foot, out)]).collect();
            self.badge_at((number, Some(face)), &places, true, None);
        }
    }

    /// The numbers of listed faces that are only in the base.
    pub(super) fn gone_badges(&mut self) {
        let Some((base, _)) = self.base else { return };
        let unit = self.unit;
        for at in 0..self.listed.len() {
            let (None, Some(face)) = (self.listed[at].face, self.listed[at].before) else { continue };
            let Some(ring) = rings(base, face, self.view.storey).into_iter().next() else { continue };
            let bounds = Patch::around(&ring);
            let mut spots = [0.5, 0.3, 0.7, 0.15, 0.85].map(|part| between(bounds.min, bounds.max, part)).to_vec();
            let [wide, high] = bounds.size();
            if wide.max(high) < 5.0 * unit {
                // The number would hide it: it stands beside.
                let (aside, over) = (wide / 2.0 + 1.35 * unit, high / 2.0 + 1.35 * unit);
                let beside = [[0.0, -over], [0.0, over], [aside, 0.0], [-aside, 0.0]];
                spots.splice(0..0, beside.map(|step| add(bounds.centre(), step)));
            }
            self.badge_at((at + 1, None), &spots, true, None);
        }
    }
}
