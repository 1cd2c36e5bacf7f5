//! Rooms: their fill, lit by floor and ceiling, and their names.

use crate::building::{ElementIndex, ElementShape, SpaceIndex, SpaceKind};
use crate::output::draw::Draw;
use crate::output::drawing::{Part, Point, Shown, Stroke};
use crate::output::length::area;
use crate::output::page::geometry::hatch;
use crate::output::page::rows::Row;
use crate::output::palette::Colour;
use crate::output::plan::Canvas;
use crate::solve::Surface;

/// A slab of a room that is lit.
pub(super) struct LitSlab {
    element: ElementIndex,
    /// True for one over the room.
    over: bool,
    colour: Colour,
    strength: f64,
}

impl Canvas<'_> {
    /// The slabs of a room that are worth a colour, the weakest first.
    pub(super) fn lit_slabs(&self, space: SpaceIndex) -> Vec<LitSlab> {
        let mut slabs: Vec<LitSlab> = self
            .building
            .facing(space)
            .filter_map(|element| {
                let found = &self.building.elements[element.0];
                let face = Surface::Element(element);
                let slab = matches!(found.shape, ElementShape::Slab { .. });
                let colour = self.lit(face).filter(|_| slab)?;
                Some(LitSlab { element, over: found.sides[0] != space, colour, strength: self.glow.strength(face) })
            })
            .collect();
        slabs.sort_by(|a, b| a.strength.total_cmp(&b.strength));
        slabs
    }

    pub(super) fn rooms(&mut self) {
        let building = self.building;
        for (at, space) in building.spaces.iter().enumerate() {
            let SpaceKind::Room(room) = &space.kind else { continue };
            if room.storey != self.view.storey {
                continue;
            }
            let here = SpaceIndex(at);
            let chosen = self.heard.space == here;
            let fill = if chosen { self.quiet.chosen_room } else { self.quiet.room };
            if let Some(before) = &room.before_shell {
                self.shell_band(here, room, before);
            }
            self.polygon(Part::Plan, Some(Shown::Space(here)), room.outline.clone(), fill);
            let slabs = self.lit_slabs(here);
            // Veils of the leaks' colours; thin, so that names and hatching stay legible on them.
            for slab in &slabs {
                let shows = Some(Shown::Surface(Surface::Element(slab.element)));
                for rings in self.pieces(slab.element) {
                    self.polygon(Part::Plan, shows, rings, slab.colour.faded(0.22));
                }
            }
            slabs.iter().for_each(|slab| self.hatching(slab));
            if chosen {
                self.own_room(&room.outline);
            }
        }
    }

    fn pieces(&self, element: ElementIndex) -> Vec<Vec<Vec<Point>>> {
        match &self.building.elements[element.0].shape {
            ElementShape::Slab { pieces, .. } => pieces.clone(),
            ElementShape::Wall { .. } => vec![],
        }
    }

    /// Lines in the exact colour: full for the floor, dashed for what is overhead, along the joists where there are any.
    fn hatching(&mut self, slab: &LitSlab) {
        let (angle, unit) = (self.building.elements[slab.element.0].joist_direction_deg.unwrap_or(45.0), self.unit);
        let (phase, dash_m) = if slab.over { (0.75, Some([0.7 * unit; 2])) } else { (0.25, None) };
        let stroke = Stroke { colour: slab.colour, width_m: 0.13 * unit, dash_m };
        for rings in self.pieces(slab.element) {
            for points in hatch(&rings, angle, 1.5 * unit, phase) {
                self.stroke(Part::Plan, None, &points, stroke);
            }
        }
    }

    /// Names of rooms with their areas and what their slabs pass, placed where nothing else is.
    pub(super) fn room_labels(&mut self) {
        let building = self.building;
        let mut letter = b'a';
        for (at, space) in building.spaces.iter().enumerate() {
            let SpaceKind::Room(room) = &space.kind else { continue };
            if room.storey != self.view.storey || room.outline.is_empty() {
                continue;
            }
            let area = area(room.area_m2, self.look.units);
            let mut facts = vec![self.row(&area, 1.0, false)];
            let slabs = self.lit_slabs(SpaceIndex(at));
            facts.extend(slabs.iter().rev().map(|slab| self.slab_row(slab)));
            if self.name_room(&space.name, &[facts], &room.outline, !slabs.is_empty()) {
                continue;
            }
            // Too small for its name: a letter here, the name beside the plan.
            let key = char::from(letter).to_string();
            letter = if letter < b'z' { letter + 1 } else { b'a' };
            self.remarks.push(format!("{key}: {}, {area}", space.name));
            let rows = [self.row(&key, 0.9, true)];
            if let Some(centre) = self.free_place(&rows, &room.outline, 0.1) {
                self.rows(&rows, centre, false);
            }
        }
    }

    fn slab_row(&self, slab: &LitSlab) -> Row {
        let face = Surface::Element(slab.element);
        let open = self.building.elements[slab.element.0].sides[0] == self.building.outdoors();
        let name = match (slab.over, open) {
            (false, _) => "floor",
            (true, true) => "roof",
            (true, false) => "ceiling",
        };
        let label = self.glow.label(face).unwrap_or_default();
        let badge = self.number(face).map(|number| (number, face));
        Row { badge, colour: self.quiet.ink, ..self.row(&format!("{name} {label}"), 1.0, false) }
    }
}
