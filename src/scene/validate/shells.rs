//! Inner shells, cover panels and drawn gaps: what they are made of, where they stand, and what they must not close.

use super::drawn::Drawn;
use super::{Check, Spot, limits};
use crate::catalogue::ConstructionKind;
use crate::catalogue::limits::Limits;
use crate::catalogue::limits::short;
use crate::scene::{Cover, InnerShell, Opening, Room, ShellFace, ShellOpening, Storey, Support, Thing, Usage, WallId};

/// Least size of a window to leave by in a fire, m² and m, and its highest sill, m. Source: Approved Document B (England), as given by makers'
/// guidance; the answer marks covers by the same figures.
const ESCAPE_M2: f64 = 0.33;
const ESCAPE_SIDE_M: f64 = 0.45;
const ESCAPE_SILL_M: f64 = 1.1;
/// A hole that one can walk through, m: its least height, its highest sill.
const WALK_M: [f64; 2] = [1.8, 0.2];

impl Check<'_> {
    pub(super) fn shells(&mut self, storey: &Storey, drawn: &Drawn) {
        let concerned = |room: &Room| room.inner_shell.is_some() || room.fill.is_some() || room.usage == Usage::Cavity;
        if !storey.rooms.iter().any(concerned) && storey.openings.iter().all(|opening| opening.cover.is_none()) {
            return;
        }
        for room in &storey.rooms {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Room(room.id.0.clone()) };
            self.cavity(&spot, room);
            if let Some(shell) = &room.inner_shell {
                let inside = Inside { storey, room, shell, drawn };
                self.shell(&spot, &inside);
            }
            self.ways_out(&spot, storey, room, drawn);
        }
        for opening in &storey.openings {
            let Some(cover) = &opening.cover else { continue };
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Opening(opening.id.0.clone()) };
            self.cover(&spot, storey, opening, cover);
        }
        self.in_gaps(storey, drawn);
    }

    fn cavity(&mut self, spot: &Spot, room: &Room) {
        let gap = room.usage == Usage::Cavity;
        if gap && room.inner_shell.is_some() {
            self.error(
                spot,
                "it is the gap of an inner shell, and has an inner shell itself",
                "give the inner shell to the room within, or another usage to this one",
            );
        }
        match &room.fill {
            Some(fill) if gap => self.porous(spot, "fill", fill, limits::FILL_MM),
            Some(_) => self.warning(
                spot,
                "it has a fill, which only the drawn gap of an inner shell has",
                "remove it, or say that it is the gap of a drawn shell (cavity)",
            ),
            None => {}
        }
    }

    /// What stands or listens in a drawn gap, and leaves drawn as walls with no gap beside them.
    fn in_gaps(&mut self, storey: &Storey, drawn: &Drawn) {
        let gaps: Vec<(usize, &Room)> = storey
            .rooms
            .iter()
            .filter(|room| room.usage == Usage::Cavity)
            .filter_map(|room| Some((drawn.face_at(room.at)?, room)))
            .collect();
        let scene = self.scene;
        let sources = scene.sources.iter().map(|it| (&it.storey, it.at, Thing::Source(it.id.0.clone())));
        let listeners = scene.listeners.iter().map(|it| (&it.storey, it.at, Thing::Listener(it.id.0.clone())));
        for (_, at, thing) in sources.chain(listeners).filter(|(on, ..)| **on == storey.id) {
            if let Some((_, gap)) = gaps.iter().find(|(face, _)| drawn.face_at(at) == Some(*face)) {
                let what = format!("it is in \"{}\", the gap of an inner shell, which is no room", gap.name);
                self.error(&Spot::scene(thing), what, "move it into a room, or outdoors");
            }
        }
        for wall in &storey.walls {
            let leaf = self.construction(&wall.construction).is_some_and(|it| it.kind == ConstructionKind::Leaf);
            let Some(sides) = drawn.beside_wall(wall, None).filter(|_| leaf && !gaps.is_empty()) else { continue };
            if !gaps.iter().any(|(gap, _)| sides.contains(&Some(*gap))) {
                let spot = Spot { storey: Some(&storey.id), thing: Thing::Wall(wall.id.0.clone()) };
                let what =
                    format!("\"{}\" is a leaf to stand before a wall, and no gap lies beside it", wall.construction);
                self.error(
                    &spot,
                    what,
                    "choose a wall, or name the gap as a room that is the gap of a drawn shell (cavity)",
                );
            }
        }
    }

    fn shell(&mut self, spot: &Spot, inside: &Inside) {
        let Inside { storey, room, shell, drawn } = *inside;
        if shell.walls.is_none()
            && shell.ceiling.is_none()
            && shell.floor.is_none()
            && shell.each_wall.iter().all(|(_, face)| face.is_none())
        {
            self.warning(spot, "its inner shell has no face", "give it walls, a ceiling or a floor, or remove it");
        }
        let here = drawn.face_at(room.at);
        let faces_of = [("walls", &shell.walls), ("ceiling", &shell.ceiling), ("floor", &shell.floor)];
        for (place, face) in faces_of.into_iter().filter_map(|(place, face)| Some((place, face.as_ref()?))) {
            self.face(spot, place, face);
        }
        for (at, (wall, face)) in shell.each_wall.iter().enumerate() {
            let place = format!("wall \"{wall}\"");
            match drawn.wall(wall) {
                None => {
                    let known = storey.walls.iter().map(|wall| wall.id.0.as_str());
                    let what = format!("its shell names {place}, which this storey does not have");
                    self.unknown(spot, what, &wall.0, known, "name a wall of this storey");
                }
                Some(known) => {
                    let sides = drawn.beside_wall(known, None);
                    if here.is_some() && sides.is_some_and(|sides| !sides.contains(&here)) {
                        let what = format!("its shell names {place}, which is none of its walls");
                        self.error(spot, what, "name a wall of this room");
                    }
                }
            }
            if shell.each_wall[..at].iter().any(|(earlier, _)| earlier == wall) {
                self.error(spot, format!("its shell names {place} twice"), "keep one of them");
            }
            if let Some(face) = face {
                self.face(spot, &place, face);
            }
        }
        for (at, leaf) in shell.openings.iter().enumerate() {
            let twice = shell.openings[..at].iter().any(|earlier| earlier.before == leaf.before);
            self.shell_opening(spot, inside, leaf, twice);
        }
    }

    fn face(&mut self, spot: &Spot, place: &str, face: &ShellFace) {
        let role =
            if place.starts_with("wall \"") { format!("shell at {place}:") } else { format!("shell's {place}:") };
        self.construction_as(spot, &role, &face.construction, limits::SHELL_FACES);
        let gap = self.number(spot, &format!("shell's gap to the old {place}"), face.gap_mm, limits::GAP_MM);
        if let Some(fill) = &face.fill {
            self.porous(spot, &format!("shell's fill at the old {place}"), fill, limits::FILL_MM);
            if gap && fill.1 > face.gap_mm {
                let (thick, gap) = (short(fill.1), short(face.gap_mm));
                self.error(
                    spot,
                    format!("its shell's fill at the old {place} is {thick} mm thick, and the gap is {gap} mm"),
                    "choose a thinner fill, or widen the gap",
                );
            }
        }
        let numbers = match face.support {
            Support::None if place == "floor" => {
                return self.warning(
                    spot,
                    "nothing says what its shell's floor rests on, so it counts as floating free",
                    "say what it rests on, such as rubber pads: 4 for each m², pressed in by 3 mm",
                );
            }
            Support::None => vec![],
            Support::Hangers { per_m2 } => vec![("number of hangers", per_m2, limits::PER_M2)],
            Support::Clips { spacing_mm } => vec![("distance between bars", spacing_mm, limits::BARS_MM)],
            Support::Springs { per_m2, deflection_mm } => vec![
                ("number of springs", per_m2, limits::PER_M2),
                ("spring deflection", deflection_mm, limits::DEFLECTION_MM),
            ],
            Support::Rubber { per_m2, deflection_mm, stiffer } => vec![
                ("number of pads", per_m2, limits::PER_M2),
                ("pad deflection", deflection_mm, limits::DEFLECTION_MM),
                ("pad stiffness in motion", stiffer, limits::STIFFER),
            ],
        };
        for (what, value, limits) in numbers {
            self.number(spot, &format!("shell's {what} at the old {place}"), value, limits);
        }
    }

    fn shell_opening(&mut self, spot: &Spot, inside: &Inside, leaf: &ShellOpening, twice: bool) {
        let before = &leaf.before;
        let role = format!("shell's door before \"{before}\"");
        let construction = self.construction_as(spot, &format!("{role}:"), &leaf.construction, limits::SHELL_LEAVES);
        self.number(spot, &format!("undercut of the {role}"), leaf.undercut_mm, limits::UNDERCUT_MM);
        match &leaf.seal {
            Some(seal) => self.seal(spot, &format!("seal of the {role}:"), seal),
            None if construction.is_some_and(|it| it.kind == ConstructionKind::Door) => self.warning(
                spot,
                format!("nothing says how its {role} is sealed, so it counts as airtight all round"),
                "name its seal, such as \"compression-double\"",
            ),
            None => {}
        }
        if twice {
            self.error(spot, format!("its shell has two doors before opening \"{before}\""), "keep one of them");
        }
        let Some(opening) = inside.storey.openings.iter().find(|opening| opening.id == *before) else {
            let known = inside.storey.openings.iter().map(|opening| opening.id.0.as_str());
            let what = format!("its shell has a door before opening \"{before}\", which this storey does not have");
            self.unknown(spot, what, &before.0, known, "name an opening of this storey");
            return;
        };
        if !inside.leads_in(opening) {
            let what = format!("its shell has a door before opening \"{before}\", which does not lead into it");
            self.error(spot, what, "name an opening of this room's own walls");
        } else if !inside.stands_before(&opening.wall) {
            let what = format!("its shell has a door before opening \"{before}\", and no face before that wall");
            self.warning(spot, what, "give that wall a face, or remove the door");
        }
    }

    fn cover(&mut self, spot: &Spot, storey: &Storey, opening: &Opening, cover: &Cover) {
        self.construction_as(spot, "cover", &cover.construction, limits::COVERS);
        self.number(spot, "cover's distance from the pane", cover.gap_mm, limits::GAP_MM);
        self.number(spot, "cover's overlap", cover.overlap_mm, limits::OVERLAP_MM);
        if let Some(reveal) = &cover.reveal {
            self.porous(spot, "cover's absorber round the reveal", reveal, limits::REVEAL_MM);
        }
        if let Some(room) = &cover.room
            && !storey.rooms.iter().any(|known| known.id == *room)
        {
            let known = storey.rooms.iter().map(|room| room.id.0.as_str());
            let what = format!("its cover stands in room \"{room}\", which this storey does not have");
            self.unknown(spot, what, &room.0, known, "name a room of this storey");
        }
        for (direction, pieces) in ["across", "up"].into_iter().zip(cover.pieces) {
            if !limits::PIECES.hold(f64::from(pieces)) {
                let what = format!("its cover is split into {pieces} pieces {direction}");
                self.error(spot, what, format!("give {} to {}", limits::PIECES.least, limits::PIECES.most));
            }
        }
        match &cover.seal {
            Some(seal) => self.seal(spot, "cover's seal", seal),
            None => self.warning(
                spot,
                "nothing says how its cover's edge is sealed, so it counts as airtight all round",
                "name its seal, such as \"compression-single\" or \"none\"",
            ),
        }
        match &cover.joint_seal {
            Some(seal) => self.seal(spot, "cover's joint seal", seal),
            None if cover.pieces != [1, 1] => self.warning(
                spot,
                "nothing says how the joints of its cover's pieces are sealed, so they count as airtight",
                "name the seal of its joints, such as \"compression-single\" or \"none\"",
            ),
            None => {}
        }
        let kind = self.construction(&opening.construction).map(|found| found.kind);
        match kind.filter(|_| cover.on) {
            Some(ConstructionKind::Vent) => self.warning(spot, "its cover closes a vent", VENT),
            Some(ConstructionKind::Door) => self.warning(
                spot,
                "its cover stands before a door, and nobody gets out before it is lifted away",
                "hang it as a second door, or keep another way out free",
            ),
            _ => {}
        }
    }

    /// What shell and covers leave of a room's doors, windows and vents.
    fn ways_out(&mut self, spot: &Spot, storey: &Storey, room: &Room, drawn: &Drawn) {
        let Some(here) = drawn.face_at(room.at) else { return };
        let closed = |opening: &Opening| {
            room.inner_shell.as_ref().is_some_and(|shell| {
                let inside = Inside { storey, room, shell, drawn };
                inside.stands_before(&opening.wall) && !shell.openings.iter().any(|leaf| leaf.before == opening.id)
            })
        };
        let (mut doors, mut doors_left, mut way_outdoors) = (0, 0, false);
        let mut windows: Vec<&Opening> = vec![];
        for opening in &storey.openings {
            let Some(sides) = drawn.beside(opening).filter(|sides| sides.contains(&Some(here))) else { continue };
            let outdoors = sides.contains(&None);
            let Some(kind) = self.construction(&opening.construction).map(|found| found.kind) else { continue };
            let walk = opening.height_m >= WALK_M[0] && opening.sill_m <= WALK_M[1];
            match kind {
                ConstructionKind::Door | ConstructionKind::Open if walk => {
                    doors += 1;
                    doors_left += usize::from(!closed(opening));
                    way_outdoors |= outdoors && !closed(opening);
                }
                ConstructionKind::Vent if closed(opening) => {
                    self.warning(spot, format!("its shell closes vent \"{}\"", opening.id), VENT);
                }
                ConstructionKind::Window if outdoors && may_be_escape(opening) => windows.push(opening),
                _ => {}
            }
        }
        if doors > 0 && doors_left == 0 {
            let what = if doors == 1 { "its shell closes its only door" } else { "its shell closes all of its doors" };
            self.warning(spot, what, "give the shell a door of its own before the old one, with its seal");
        }
        let covered = |opening: &Opening| opening.cover.as_ref().is_some_and(|cover| cover.on);
        if way_outdoors || windows.iter().any(|opening| !covered(opening) && !closed(opening)) {
            return;
        }
        for opening in windows.iter().filter(|opening| covered(opening)) {
            let spot = Spot { storey: Some(&storey.id), thing: Thing::Opening(opening.id.0.clone()) };
            let which = if windows.len() == 1 { "the only window" } else { "the last window" };
            self.warning(
                &spot,
                format!("its cover closes {which} of \"{}\" that one could leave by in a fire", room.name),
                "keep another way out, or let it come off from inside at once, without tools and by one person; ask a fire officer",
            );
        }
        if !windows.is_empty() && windows.iter().all(|opening| closed(opening)) {
            self.warning(
                spot,
                "its shell closes every window that one could leave by in a fire",
                "give the shell a window before one of them, or another way out; ask a fire officer",
            );
        }
    }

    /// A seal of the catalogue.
    pub(super) fn seal(&mut self, spot: &Spot, role: &str, seal: &str) {
        self.listed(spot, format_args!("its {role}"), seal, &self.catalogue.seals, "choose a seal of the catalogue");
    }

    /// A porous material of some thickness.
    fn porous(&mut self, spot: &Spot, role: &str, (material, thickness_mm): &(String, f64), limits: Limits) {
        let materials = &self.catalogue.materials;
        let porous = materials.values().filter(|known| known.nature.is_porous()).map(|known| known.id.as_str());
        match materials.get(material) {
            None => {
                let what = format!("its {role} \"{material}\" is not in the catalogue");
                self.unknown(spot, what, material, porous, "choose a porous material of the catalogue");
            }
            Some(known) if !known.nature.is_porous() => {
                let what = format!("its {role} \"{material}\" is not porous, and swallows nothing");
                self.error(spot, what, "choose mineral wool or another porous material");
            }
            Some(_) => {}
        }
        self.number(spot, role, *thickness_mm, limits);
    }
}

const VENT: &str =
    "never close a vent that feeds a boiler, stove or gas fire; otherwise give the room air by another way";

/// A room with a shell.
#[derive(Clone, Copy)]
struct Inside<'a> {
    storey: &'a Storey,
    room: &'a Room,
    shell: &'a InnerShell,
    drawn: &'a Drawn<'a>,
}

impl Inside<'_> {
    /// Whether the shell has a face before a wall of the room.
    fn stands_before(&self, wall: &WallId) -> bool {
        let own = self.shell.each_wall.iter().find(|(known, _)| known == wall);
        own.map_or(self.shell.walls.is_some(), |(_, face)| face.is_some())
    }

    /// Whether an opening leads into the room; taken for true where that cannot be told.
    fn leads_in(&self, opening: &Opening) -> bool {
        let here = self.drawn.face_at(self.room.at);
        here.is_none() || self.drawn.beside(opening).is_none_or(|sides| sides.contains(&here))
    }
}

fn may_be_escape(opening: &Opening) -> bool {
    opening.width_m * opening.height_m >= ESCAPE_M2
        && opening.width_m.min(opening.height_m) >= ESCAPE_SIDE_M
        && opening.sill_m <= ESCAPE_SILL_M
}
