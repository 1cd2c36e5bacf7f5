//! Openings: within their wall, apart from one another, sealed as their kind can be.

use std::collections::{BTreeMap, BTreeSet};

use super::drawn::Drawn;
use super::plan::{ROUNDOFF_M, upright};
use super::{Check, Spot, limits};
use crate::catalogue::ConstructionKind;
use crate::catalogue::limits::short;
use crate::geometry::Line;
use crate::scene::{NodeId, Opening, Storey, Thing, Wall, WallId};

/// Openings may run over by this much: rounding in hand-made files, m.
const ROUNDING_M: f64 = 0.001 + ROUNDOFF_M;

/// An opening may reach this far into a wall that meets its own before it is told: reveals are cut so, m.
const INTO_WALL_M: f64 = 0.03;

impl Check<'_> {
    pub(super) fn openings(&mut self, storey: &Storey, drawn: &Drawn) {
        let mut seen = BTreeSet::new();
        // Those of sound size, to be compared with one another.
        let mut sound: BTreeMap<&WallId, Vec<&Opening>> = BTreeMap::new();
        for opening in &storey.openings {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Opening(opening.id.0.clone()) };
            self.id(&spot, &opening.id.0, &mut seen, "opening");
            self.closing(&spot, opening);
            let wall = drawn.wall(&opening.wall);
            if wall.is_none() {
                let known = storey.walls.iter().map(|wall| wall.id.0.as_str());
                let what = format!("it sits in wall \"{}\", which this storey does not have", opening.wall);
                self.unknown(&spot, what, &opening.wall.0, known, "name a wall of this storey");
            }
            let numbers = [
                self.number(&spot, "offset", opening.offset_m, limits::OFFSET_M),
                self.number(&spot, "width", opening.width_m, limits::SIZE_M),
                self.number(&spot, "height", opening.height_m, limits::SIZE_M),
                self.number(&spot, "sill", opening.sill_m, limits::SILL_M),
            ];
            if numbers.contains(&false) {
                continue;
            }
            let top_m = opening.sill_m + opening.height_m;
            if top_m > storey.height_m + ROUNDING_M {
                self.error(
                    &spot,
                    format!("it reaches {} m up, and the ceiling is at {} m", short(top_m), short(storey.height_m)),
                    "lower its sill or its height",
                );
            }
            let Some(wall) = wall else { continue };
            self.within(&spot, drawn, wall, opening);
            let same_wall = sound.entry(&opening.wall).or_default();
            for other in same_wall.iter().filter(|other| overlap(other, opening)) {
                self.error_of_many(&spot, || {
                    (format!("it overlaps opening \"{}\" of the same wall", other.id), "move one of them")
                });
            }
            same_wall.push(opening);
        }
    }

    fn within(&mut self, spot: &Spot, drawn: &Drawn, wall: &Wall, opening: &Opening) {
        let Some([from, to]) = drawn.ends(wall) else { return };
        let length_m = from.distance(to);
        let end_m = opening.offset_m + opening.width_m;
        // A wall without a sound length has its own problem.
        if length_m.is_finite() && length_m >= limits::WALL_M.least && end_m > length_m + ROUNDING_M {
            self.error(
                spot,
                format!(
                    "it reaches to {} m along wall \"{}\", which is {} m long",
                    short(end_m),
                    wall.id,
                    short(length_m)
                ),
                "lower its offset or its width",
            );
            return;
        }
        let starts_after = self.half_thickness_met(drawn, wall, &wall.from, [from, to]);
        let ends_before = self.half_thickness_met(drawn, wall, &wall.to, [from, to]);
        if let Some((other, half_m)) = starts_after
            && opening.offset_m + INTO_WALL_M < half_m
        {
            self.warning(
                spot,
                format!("it begins inside wall \"{other}\", which meets its own wall there"),
                format!("set its offset to at least {} m", up(half_m)),
            );
        }
        if let Some((other, half_m)) = ends_before
            && end_m - INTO_WALL_M > length_m - half_m
        {
            self.warning(
                spot,
                format!("it ends inside wall \"{other}\", which meets its own wall there"),
                format!("keep its far edge {} m from the wall's end", up(half_m)),
            );
        }
    }

    /// Of the walls that meet `wall` at a corner, not straight on: the thickest, and half its thickness, m.
    fn half_thickness_met<'s>(
        &self,
        drawn: &Drawn<'s>,
        wall: &Wall,
        corner: &NodeId,
        ends: Line,
    ) -> Option<(&'s WallId, f64)> {
        let others = drawn.meeting(corner).iter().filter(|other| {
            other.id != wall.id && drawn.ends(other).is_some_and(|others_ends| upright(ends, others_ends))
        });
        others
            .filter_map(|other| Some((&other.id, 0.5 * self.construction(&other.construction)?.thickness_m())))
            .filter(|(_, half_m)| half_m.is_finite())
            .max_by(|(_, one), (_, other)| one.total_cmp(other))
    }

    fn closing(&mut self, spot: &Spot, opening: &Opening) {
        self.number(spot, "undercut", opening.undercut_mm, limits::UNDERCUT_MM);
        if let Some(seal) = &opening.seal {
            self.seal(spot, "seal", seal);
        }
        let Some(construction) = self.construction_as(spot, "construction", &opening.construction, limits::OPENINGS)
        else {
            return;
        };
        match construction.kind {
            ConstructionKind::Door if opening.seal.is_none() => self.warning(
                spot,
                "nothing says how it is sealed, so it counts as airtight all round",
                "name its seal, such as \"none\" or \"worn\"",
            ),
            ConstructionKind::Vent | ConstructionKind::Open if opening.seal.is_some() => {
                self.warning(spot, "it has a seal, and air passes through it all the same", "remove the seal");
            }
            _ => {}
        }
        if !limits::opening_can_be(opening.workmanship) {
            self.error(
                spot,
                "it is said to be bridged, and an opening has nothing to bridge",
                "choose small faults or unsealed, or say it of the wall",
            );
        }
        if construction.kind != ConstructionKind::Door && opening.undercut_mm > 0.0 {
            self.warning(spot, "it has an undercut, and only doors have one", "remove it");
        }
    }
}

/// Rounded up to a centimetre.
fn up(length_m: f64) -> String {
    short((length_m * 100.0).ceil() / 100.0)
}

fn overlap(one: &Opening, other: &Opening) -> bool {
    let meet = |a: f64, a_size: f64, b: f64, b_size: f64| a + ROUNDING_M < b + b_size && b + ROUNDING_M < a + a_size;
    meet(one.offset_m, one.width_m, other.offset_m, other.width_m)
        && meet(one.sill_m, one.height_m, other.sill_m, other.height_m)
}
