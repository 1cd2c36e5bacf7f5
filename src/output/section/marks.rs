//! Sources, listeners and ducts, as seen from the cut, and the numbers on the faces that matter most.

use crate::building::SpaceIndex;
use crate::output::drawing::Point;
use crate::output::length::{Units, roughly};
use crate::output::page::geometry::{Patch, add, along, between, left, scale, sub};
use crate::output::page::marks::Mark;
use crate::output::section::Canvas;
use crate::output::section::structure::middle_line;
use crate::solve::Surface;

/// Height of a source above the floor it stands on, for its mark alone, m (own choice: the scene gives none).
const SOURCE_HEIGHT_M: f64 = 0.8;

/// What stands no further off the cut counts as on it, m.
const ON_CUT_M: f64 = 0.6;
/// Others than those who play and the chosen listener are left out further off than this, m.
const BESIDE_M: f64 = 2.0;

impl Canvas<'_> {
    /// Every mark and number first, so that no name comes to lie on one.
    pub(super) fn marks(&mut self) {
        let mut marks = self.sources();
        marks.extend(self.listeners());
        self.badges();
        for mark in marks {
            let outline = self.surroundings(mark.point);
            self.name_mark(&mark, outline.as_deref(), false);
        }
    }

    fn sources(&mut self) -> Vec<Mark> {
        let (building, cut, units) = (self.building, self.view.cut, self.look.units);
        let mut marks = vec![];
        for (at, placed) in building.sources.iter().enumerate() {
            let Some(storey) = self.scene.storeys.get(placed.storey) else { continue };
            let point = cut.project([placed.at[0], placed.at[1], storey.level_m + SOURCE_HEIGHT_M]);
            let (playing, off_m) = (self.is_playing(&placed.source), cut.off_m(placed.at));
            if !self.on_page(point) || !(playing || self.stands(placed.space, point, off_m)) {
                continue;
            }
            let on_cut = off_m.abs() <= ON_CUT_M;
            self.source(at, point, playing && on_cut);
            let mark = self.source_mark(placed, point, playing && on_cut);
            marks.push(Mark { name: noted(mark.name, off_m, units), ..mark });
        }
        marks
    }

    fn listeners(&mut self) -> Vec<Mark> {
        let (building, cut, units) = (self.building, self.view.cut, self.look.units);
        let mut marks = vec![];
        for (at, placed) in building.listeners.iter().enumerate() {
            let chosen = at == self.look.listener;
            let true_point = cut.project([placed.at[0], placed.at[1], placed.height_m]);
            let off_m = cut.off_m(placed.at);
            let (on_cut, outdoors) = (off_m.abs() <= ON_CUT_M, placed.space == building.outdoors());
            if !chosen && !self.stands(placed.space, true_point, off_m) {
                continue;
            }
            let (point, away_m) = if outdoors { self.within_page(true_point, chosen) } else { (true_point, None) };
            if !self.on_page(point) && away_m.is_none() {
                continue;
            }
            self.listener(at, point, on_cut);
            if let Some(mark) = self.listener_mark(placed, (point, away_m), chosen) {
                marks.push(Mark { name: noted(mark.name, off_m, units), ..mark });
            }
        }
        marks.sort_by_key(|mark| !mark.strong);
        marks
    }

    /// True for what stands near the cut and is drawn within its own room.
    fn stands(&self, space: SpaceIndex, point: Point, off_m: f64) -> bool {
        let mut rooms = self.view.parts.rooms.iter().filter(|room| room.space == space);
        off_m.abs() <= BESIDE_M && rooms.any(|room| room.clear.holds(point))
    }

    fn on_page(&self, point: Point) -> bool {
        (0..2).all(|axis| (self.extent.min[axis] - 1e-6..=self.extent.max[axis] + 1e-6).contains(&point[axis]))
    }

    /// The room drawn about a point, or the open air beside or over the building.
    fn surroundings(&self, point: Point) -> Option<Vec<Vec<Point>>> {
        let room = self.view.parts.rooms.iter().map(|room| room.clear).find(|patch| patch.holds(point));
        let (extent, built) = (self.extent, self.view.structure);
        let left = Patch { min: [extent.min[0], 0.0], max: [built.min[0], extent.max[1]] };
        let right = Patch { min: [built.max[0], 0.0], max: extent.max };
        let air = || [left, right].into_iter().find(|patch| patch.holds(point));
        room.or_else(air).map(|patch| vec![patch.ring()])
    }

    /// Ducts as two thin dashed lines from mouth to mouth.
    pub(super) fn ducts(&mut self) {
        let (building, cut) = (self.building, self.view.cut);
        for (at, duct) in building.ducts.iter().enumerate() {
            let face = Surface::Duct(at);
            if !self.visible(face) {
                continue;
            }
            let line: [Point; 2] = duct.ends.map(|end| cut.project([end.at[0], end.at[1], end.height_m]));
            let on_cut = duct.ends.iter().all(|end| cut.off_m(end.at).abs() <= 2.0 * ON_CUT_M);
            let colour = self.lit(face).unwrap_or(self.quiet.wall_edge);
            let colour = if on_cut { colour } else { colour.faded(0.6) };
            self.duct(face, line, &line, colour);
        }
    }

    /// The numbers of the listed faces that are seen, where there is a place for them.
    fn badges(&mut self) {
        const ALONG: [f64; 9] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];
        let parts = self.view.parts;
        for (number, face) in self.numbered() {
            let solids = parts.walls.iter().chain(&parts.slabs).filter(|solid| Surface::Element(solid.element) == face);
            let mut patches: Vec<Patch> = solids.map(|solid| solid.patch).collect();
            let openings = parts.openings.iter().filter(|opening| opening.is(face));
            patches.extend(openings.map(|opening| opening.patch));
            let duct = if let Surface::Duct(at) = face { self.building.ducts.get(at) } else { None };
            if let Some(duct) = duct.filter(|_| self.visible(face)) {
                let cut = self.view.cut;
                patches.push(Patch::around(&duct.ends.map(|end| cut.project([end.at[0], end.at[1], end.height_m]))));
            }
            if patches.is_empty() {
                self.badge_behind(number, face);
                continue;
            }
            // The longest piece carries it.
            let long = |patch: &Patch| patch.size()[0].max(patch.size()[1]);
            let Some(patch) = patches.into_iter().max_by(|a, b| long(a).total_cmp(&long(b))) else { continue };
            let (line, thickness_m) = middle_line(&patch);
            let spots: &[f64] = if matches!(face, Surface::Gap(..)) { &[1.0, 0.0, 0.5] } else { &ALONG };
            let out = scale(left(along(line)), 0.5 * thickness_m + 1.35 * self.unit);
            let on = spots.iter().map(|part| between(line[0], line[1], *part));
            // A gap's number stands beside its spark, an opening's beside its break.
            let openings = matches!(face, Surface::Gap(..) | Surface::Opening(..));
            let beside = on.clone().flat_map(|foot| [add(foot, out), sub(foot, out)]);
            let places: Vec<Point> = if openings { beside.collect() } else { on.chain(beside).collect() };
            self.badge_at((number, Some(face)), &places, false, None);
        }
    }

    /// The number of a listed face that is seen behind the cut: on its light.
    fn badge_behind(&mut self, number: usize, face: Surface) {
        let parts = self.view.parts;
        let walls = parts.behind.iter().filter(|wall| Surface::Element(wall.element) == face).map(|wall| wall.patch);
        let windows = parts.windows_behind.iter().filter(|opening| opening.is(face));
        let patches = walls.chain(windows.map(|opening| opening.patch));
        let Some(patch) = patches.max_by(|a, b| a.size()[0].total_cmp(&b.size()[0])) else { return };
        let size = 1.7 * self.unit;
        let high = patch.max[1] - 0.8 * size;
        let middle = patch.centre();
        let mut places: Vec<Point> = match face {
            Surface::Element(_) => vec![],
            // Those of an opening and of the gap round it lie apart.
            Surface::Gap(..) => [patch.max[1], patch.min[1] + 0.6 * size].map(|y| [patch.max[0], y]).to_vec(),
            _ => vec![middle, [middle[0], patch.max[1]]],
        };
        places.extend([0.5, 0.3, 0.7, 0.1, 0.9].map(|part| [between(patch.min, patch.max, part)[0], high]));
        places.push(middle);
        self.badge_at((number, Some(face)), &places, false, Some(patch));
    }
}

/// A name with a note of how far off the cut it stands.
fn noted(name: String, off_m: f64, units: Units) -> String {
    if off_m.abs() <= ON_CUT_M {
        return name;
    }
    let place = if off_m > 0.0 { "behind" } else { "in front of" };
    format!("{name} ({} {place} the cut)", roughly(off_m.abs(), 1, units))
}
