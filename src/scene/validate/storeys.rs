//! Storeys: heights and order, floors, rooms.

use std::collections::BTreeSet;

use super::drawn::Drawn;
use super::{Check, Spot, limits};
use crate::catalogue::limits::short;
use crate::catalogue::{Bridge, Build, Construction, Layer};
use crate::scene::{FloorBuild, Room, RoomId, Storey, Thing};

/// Storeys may overlap by this much before it counts as a fault: rounding in hand-made files, m.
const LEVEL_TOLERANCE_M: f64 = 0.001;
/// A floor may be this much thicker than the gap left for it before it is told, m.
const FLOOR_TOLERANCE_M: f64 = 0.1;
/// An empty gap between ceiling and next floor above this is told, m.
const WIDE_GAP_M: f64 = 2.0;

impl<'a> Check<'a> {
    pub(super) fn storeys(&mut self) {
        let scene = self.scene;
        if scene.storeys.is_empty() {
            self.error(&Spot::scene(Thing::Scene), "it has no storey", "add one");
        }
        let mut seen = BTreeSet::new();
        let mut rooms_seen = BTreeSet::new();
        for (position, storey) in scene.storeys.iter().enumerate() {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Storey };
            self.id(&spot, &storey.id.0, &mut seen, "storey");
            self.name(&spot, &storey.name);
            let level = self.number(&spot, "level", storey.level_m, limits::LEVEL_M);
            let height = self.number(&spot, "height", storey.height_m, limits::height_m(storey));
            let floor = self.floor(&spot, "floor", &storey.floor, position > 0);
            self.construction_as(&spot, "ground", &storey.ground, limits::GROUNDS);
            self.construction_as(&spot, "roof", &storey.roof, limits::ROOFS);
            if let Some(below) = position.checked_sub(1).map(|below| &scene.storeys[below])
                && level
                && height
            {
                self.above(&spot, below, storey, floor);
            }
            if let Some(underlay) = &storey.underlay {
                self.point(&spot, underlay.at);
                self.number(&spot, "width of its picture", underlay.width_m, limits::PICTURE_M);
                self.number(&spot, "strength of its picture", underlay.strength, limits::STRENGTH);
            }
            let drawn = Drawn::of(storey);
            self.plan(position, storey, &drawn);
            self.openings(storey, &drawn);
            self.rooms(position, storey, &mut rooms_seen);
            self.shells(storey, &drawn);
        }
    }

    fn above(&mut self, spot: &Spot, below: &Storey, storey: &Storey, floor: Option<&Construction>) {
        let gap_m = storey.level_m - (below.level_m + below.height_m);
        if !gap_m.is_finite() {
            return;
        }
        let ceiling = short(below.level_m + below.height_m);
        if storey.level_m <= below.level_m {
            self.error(
                spot,
                format!("it does not lie above storey \"{}\", which is listed before it", below.id),
                "list storeys from the lowest upwards",
            );
        } else if gap_m < -LEVEL_TOLERANCE_M {
            self.error(
                spot,
                format!(
                    "its floor lies at {} m, below the ceiling of storey \"{}\" at {ceiling} m",
                    short(storey.level_m),
                    below.id
                ),
                "raise its level, or lower the height of the storey below",
            );
        } else if gap_m > WIDE_GAP_M {
            self.warning(
                spot,
                format!("{} m of nothing lie between it and the ceiling of storey \"{}\"", short(gap_m), below.id),
                "check level and height",
            );
        } else if let Some(floor) = floor
            && floor.thickness_m() > gap_m + FLOOR_TOLERANCE_M
        {
            self.warning(
                spot,
                format!(
                    "its floor is {} m thick, and {} m are left for it",
                    short(floor.thickness_m()),
                    short(gap_m.max(0.0))
                ),
                "raise its level, or choose another floor",
            );
        }
    }

    /// `asks_for_joists`: false for the floor of the lowest storey, which lies nowhere, and for one that was asked of already.
    fn floor(
        &mut self,
        spot: &Spot,
        role: &str,
        floor: &FloorBuild,
        asks_for_joists: bool,
    ) -> Option<&'a Construction> {
        if let Some(direction_deg) = floor.joist_direction_deg {
            self.number(spot, "joist direction", direction_deg, limits::DIRECTION_DEG);
        }
        let construction = self.construction_as(spot, role, &floor.construction, limits::FLOORS)?;
        if asks_for_joists && has_joists(construction) && floor.joist_direction_deg.is_none() {
            self.warning(
                spot,
                format!("its {role} \"{}\" has joists, and nothing says which way they run", floor.construction),
                "give the direction of its joists, in degrees: 0 runs left to right on the plan",
            );
        }
        Some(construction)
    }

    fn rooms(&mut self, position: usize, storey: &Storey, seen: &mut BTreeSet<String>) {
        if storey.rooms.is_empty() {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Storey };
            self.warning(&spot, "it has no room", "put a room marker into each space the walls enclose");
        }
        // A storey is asked once for each kind of floor with joists that lie no one knows how.
        let mut asked: BTreeSet<&str> = BTreeSet::new();
        if storey.floor.joist_direction_deg.is_none() {
            asked.insert(&storey.floor.construction);
        }
        for room in &storey.rooms {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Room(room.id.0.clone()) };
            self.room(&spot, room, seen);
            if let Some(floor) = &room.floor {
                let unknown = floor.joist_direction_deg.is_none();
                let asks_for_joists = position > 0 && unknown && asked.insert(&floor.construction);
                self.floor(&spot, "floor", floor, asks_for_joists);
            }
        }
    }

    fn room(&mut self, spot: &Spot, room: &Room, seen: &mut BTreeSet<String>) {
        let RoomId(id) = &room.id;
        self.id(spot, id, seen, "room");
        self.name(spot, &room.name);
        self.point(spot, room.at);
        self.number(spot, "furniture", room.furniture_m2, limits::FURNITURE_M2);
        self.background(spot, &room.background);
        for (surface, finish) in [
            ("floor finish", &room.finishes.floor),
            ("wall finish", &room.finishes.walls),
            ("ceiling finish", &room.finishes.ceiling),
        ] {
            self.finish(spot, surface, finish);
        }
        for (finish, area_m2) in &room.finishes.extra {
            self.finish(spot, "extra finish", finish);
            self.number(spot, &format!("area of \"{finish}\""), *area_m2, limits::EXTRA_M2);
        }
        if let Some(roof) = &room.roof {
            self.construction_as(spot, "roof", roof, limits::ROOFS);
        }
        if let Some(volume_m3) = room.volume_m3 {
            self.number(spot, "volume", volume_m3, limits::VOLUME_M3);
        }
        if let Some(times_s) = &room.reverberation_s {
            self.spectrum(spot, "reverberation time", times_s, limits::REVERBERATION_S);
        }
    }

    fn finish(&mut self, spot: &Spot, surface: &str, id: &str) {
        let finishes = &self.catalogue.finishes;
        self.listed(spot, format_args!("its {surface}"), id, finishes, "choose a finish of the catalogue");
    }
}

/// True when its leaves are joined by timber joists.
pub(super) fn has_joists(construction: &Construction) -> bool {
    let Build::Layers(layers) = &construction.build else { return false };
    layers.iter().any(|layer| matches!(layer, Layer::Cavity { bridge: Bridge::Joists { .. }, .. }))
}
