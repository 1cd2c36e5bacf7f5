//! What covers and shells close: ways out in a fire, air, vents that feed flames. And what else comes with them: heat, damp, wires, old coatings.

use super::super::shell::may_be_escape;
use super::Open;
use super::check::{Check, Kept, Place, Subject};
use super::figures::{CO2_L_S, COATING, COMBUSTION, DRUMMING_L_S, DRUMMING_W, ESCAPE, PRACTICE, SEATED_L_S, SEATED_W};
use super::room::{Closed, Here, Way};
use crate::building::{Element, ElementShape};
use crate::catalogue::ConstructionKind;
use crate::scene::Support;

pub(super) fn checks(here: &Here, found: &mut Vec<Check>) {
    let ways: Vec<Way> = here.ways().collect();
    escape(here, &ways, found);
    air(here, &ways, found);
    coating(here, found);
    for way in ways.iter().filter(|way| way.closed == Some(Closed::ByCover) && way.kind == ConstructionKind::Window) {
        found.push(ask(here, Subject::Damp, at(way), PRACTICE));
    }
    if here.shell.is_some() {
        found.push(ask(here, Subject::Alarm, Place::Room(here.space), PRACTICE));
        found.push(ask(here, Subject::Electrics, Place::Room(here.space), PRACTICE));
    }
}

fn at(way: &Way) -> Place {
    Place::Opening(way.at.0, way.at.1)
}

/// A question without a number.
fn ask(here: &Here, subject: Subject, place: Place, source: &'static str) -> Check {
    Check { subject, place, room: here.space, found: None, limit: None, unit: "", kept: Kept::Ask, source }
}

/// Windows into the open, and doors, that a cover or a shell closes without an opening of its own. A door into another room is a way out of this one, but
/// it leaves nobody who cannot pass the other room: the last window into the open counts by itself.
fn escape(here: &Here, ways: &[Way], found: &mut Vec<Check>) {
    let left =
        |wanted: &dyn Fn(&Way) -> bool| ways.iter().any(|way| serves(way) && way.closed.is_none() && wanted(way));
    let (outdoors_left, door_left) = (left(&|way| way.outdoors), left(&is_door));
    for way in ways.iter().filter(|way| serves(way)) {
        let Some(closed) = way.closed else { continue };
        let last = if way.outdoors { !outdoors_left } else { !door_left && !outdoors_left };
        let subject = Subject::Escape { last, by_shell: closed == Closed::ByShell };
        let kept = if last { Kept::No } else { Kept::Ask };
        found.push(Check { kept, ..ask(here, subject, at(way), ESCAPE) });
    }
}

fn is_door(way: &Way) -> bool {
    matches!(way.kind, ConstructionKind::Door | ConstructionKind::Open)
}

/// True for a way out in a fire.
fn serves(way: &Way) -> bool {
    may_be_escape(way.placed) && (is_door(way) || way.kind == ConstructionKind::Window && way.outdoors)
}

/// How many ways out lead into the open from a room, and how many of its walls nothing stands before.
pub(super) fn open(here: &Here) -> Open {
    let ways_out = here.ways().filter(|way| serves(way) && way.outdoors && way.closed.is_none()).count();
    let bare = |(_, element, side): &&(_, &Element, usize)| {
        matches!(element.shape, ElementShape::Wall { .. }) && element.fronts[*side].is_none()
    };
    Open { ways_out, walls: here.round.iter().filter(bare).count() }
}

/// Air, heat and flames in a room whose leaks are closed: by a cover, or by a shell before all of its walls.
fn air(here: &Here, ways: &[Way], found: &mut Vec<Check>) {
    let covered = ways.iter().any(|way| way.closed == Some(Closed::ByCover));
    let mut vents = ways.iter().filter(|way| way.closed.is_some() && is_vent(way)).peekable();
    let a_vent = vents.peek().is_some();
    let flames = here.marker.as_ref().is_some_and(|room| room.flames);
    let burns = |vent: bool, place: Place| {
        let kept = if flames { Kept::No } else { Kept::Ask };
        Check { kept, ..ask(here, Subject::Combustion { vent }, place, COMBUSTION) }
    };
    for way in vents {
        found.push(burns(true, at(way)));
    }
    let shut = here.shell_is_closed();
    if !covered && !shut && !a_vent {
        return;
    }
    let room = Place::Room(here.space);
    if !a_vent {
        found.push(burns(false, room.clone()));
    }
    let people = f64::from(here.people);
    let ducts = here.building.ducts.iter().any(|duct| duct.ends.iter().any(|end| end.space == here.space));
    let has_way = ducts || ways.iter().any(|way| way.closed.is_none() && is_vent(way));
    let needs_l_s = [SEATED_L_S, DRUMMING_L_S].map(|figure| people * figure.value);
    let co2_ppm_h = 1e6 * people * CO2_L_S * 3600.0 / (1000.0 * here.room.volume_m3);
    found.push(Check {
        subject: Subject::Air { people: here.people, needs_l_s, co2_ppm_h, has_way },
        place: room.clone(),
        room: here.space,
        // How much a vent or duct brings is not known.
        found: (!has_way).then_some(0.0),
        limit: Some(needs_l_s[0]),
        unit: "L/s",
        kept: if shut && !has_way { Kept::No } else { Kept::Ask },
        source: if here.people == 1 { DRUMMING_L_S.source } else { SEATED_L_S.source },
    });
    found.push(Check {
        found: Some(DRUMMING_W.value + (people - 1.0) * SEATED_W),
        unit: "W",
        ..ask(here, Subject::Heat, room, DRUMMING_W.source)
    });
}

/// A vent, or a hole of no size to walk or climb through.
fn is_vent(way: &Way) -> bool {
    match way.kind {
        ConstructionKind::Vent => true,
        ConstructionKind::Open => !may_be_escape(way.placed),
        _ => false,
    }
}

/// Faces of the shell that are screwed or hung to old walls or to the old ceiling.
fn coating(here: &Here, found: &mut Vec<Check>) {
    let (mut walls, mut ceiling) = (false, false);
    for (_, element, side) in &here.round {
        let fixed = element.fronts[*side].as_ref().is_some_and(|front| front.face.support != Support::None);
        match &element.shape {
            ElementShape::Wall { .. } => walls |= fixed,
            ElementShape::Slab { .. } => ceiling |= fixed && *side == 1,
        }
    }
    if walls || ceiling {
        let untested = here.marker.as_ref().is_some_and(|room| room.untested_coating);
        let kept = if untested { Kept::No } else { Kept::Ask };
        let subject = Subject::Coating { walls, ceiling };
        found.push(Check { kept, ..ask(here, subject, Place::Room(here.space), COATING) });
    }
}
