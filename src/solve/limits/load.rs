//! Headroom, what the old floor and ceiling carry, and what people lift.

use super::super::answer::Handling;
use super::super::shell::handling;
use super::check::{Check, Kept, Piece, Place, Subject};
use super::figures::{
    FLOOR_KG_M2, FLOORING_M, LEAST_HEADROOM_M, LIFT_KG, PERSON_KG, PRACTICE, ROOM_HEADROOM_M, SHEET_M,
    THICKEST_SHEET_MM, UNASKED_SHARE,
};
use super::room::Here;
use crate::acoustics::isolation::USUAL_PLATFORM_M2;
use crate::building::{ElementShape, OpeningFront};
use crate::catalogue::material::Nature;
use crate::catalogue::{Build, Layer};
use crate::scene::{Mount, Spring, Touches};

pub(super) fn checks(here: &Here, found: &mut Vec<Check>) {
    headroom(here, found);
    floor(here, found);
    hung(here, found);
    lifted(here, found);
}

fn headroom(here: &Here, found: &mut Vec<Check>) {
    let Some(shell) = here.shell else { return };
    let (figure, kept) = match shell.height_m {
        low if low < LEAST_HEADROOM_M.value => (LEAST_HEADROOM_M, Kept::No),
        low if low < ROOM_HEADROOM_M.value => (ROOM_HEADROOM_M, Kept::Ask),
        _ => (ROOM_HEADROOM_M, Kept::Yes),
    };
    found.push(Check {
        subject: Subject::Headroom,
        place: Place::Room(here.space),
        room: here.space,
        found: Some(shell.height_m),
        limit: Some(figure.value),
        unit: "m",
        kept,
        source: figure.source,
    });
}

/// Shell, platforms and people, spread over the old floor; each platform on its own area; walls along their lines.
fn floor(here: &Here, found: &mut Vec<Check>) {
    let area_m2 = here.shell.map_or(here.room.area_m2, |shell| shell.area_before_m2);
    let shell_kg = here.shell.map_or(0.0, |shell| shell.on_floor_kg);
    let (mut platforms_kg, mut players) = (0.0, 0);
    for placed in here.building.sources.iter().filter(|placed| placed.space == here.space) {
        let Some(source) = here.scene.sources.iter().find(|source| source.id == placed.source) else { continue };
        // Feet and pedals on one platform each say what rests on it: it is there once.
        let mut seen: Vec<&Mount> = vec![];
        for contact in source.touches().iter().filter(|contact| contact.touches == Touches::Floor) {
            let Some(mount) = contact.mount.as_ref().filter(|mount| !seen.contains(mount)) else { continue };
            seen.push(mount);
            platforms_kg += mount.load_kg;
            let own_kg_m2 = mount.load_kg / platform_m2(mount);
            let over = own_kg_m2 > FLOOR_KG_M2.value && !here.on_ground();
            found.push(Check {
                subject: Subject::PlatformLoad,
                place: Place::Source(source.id.clone()),
                room: here.space,
                found: Some(own_kg_m2),
                limit: Some(FLOOR_KG_M2.value),
                unit: "kg/m²",
                kept: if over { Kept::Ask } else { Kept::Yes },
                source: FLOOR_KG_M2.source,
            });
        }
        // Who plays on a platform is part of its load, where that is more than theirs.
        players += u32::from(seen.iter().any(|mount| mount.load_kg >= PERSON_KG.value));
    }
    let people_kg = f64::from(here.people.saturating_sub(players)) * PERSON_KG.value;
    let parts_kg_m2 = [shell_kg, platforms_kg, people_kg].map(|kg| kg / area_m2);
    let all_kg_m2: f64 = parts_kg_m2.iter().sum();
    let on_ground = here.on_ground();
    let share = all_kg_m2 / FLOOR_KG_M2.value;
    if shell_kg > 0.0 || platforms_kg > 0.0 {
        found.push(Check {
            subject: Subject::FloorLoad { parts_kg_m2, on_ground },
            place: Place::Room(here.space),
            room: here.space,
            found: Some(all_kg_m2),
            limit: (!on_ground).then_some(FLOOR_KG_M2.value),
            unit: "kg/m²",
            kept: match share {
                _ if on_ground && shell_kg > 0.0 => Kept::Ask,
                _ if on_ground => Kept::Yes,
                share if share > 1.0 => Kept::No,
                share if shell_kg > 0.0 || share > UNASKED_SHARE => Kept::Ask,
                _ => Kept::Yes,
            },
            source: FLOOR_KG_M2.source,
        });
    }
    let on_joists = here.floors().any(|(floor, _)| floor.joist_direction_deg.is_some());
    if let Some(shell) = here.shell.filter(|shell| shell.wall_kg_m > 0.0 && on_joists) {
        found.push(Check {
            subject: Subject::WallLine,
            place: Place::Room(here.space),
            room: here.space,
            found: Some(shell.wall_kg_m),
            limit: None,
            unit: "kg/m",
            kept: Kept::Ask,
            source: PRACTICE,
        });
    }
}

/// Area a platform stands on, m².
fn platform_m2(mount: &Mount) -> f64 {
    let of_mat = if let Spring::Mat(_, area_m2) = mount.spring { Some(area_m2) } else { None };
    mount.area_m2.or(of_mat).unwrap_or(USUAL_PLATFORM_M2)
}

fn hung(here: &Here, found: &mut Vec<Check>) {
    let Some(shell) = here.shell.filter(|shell| shell.hung_kg > 0.0) else { return };
    found.push(Check {
        subject: Subject::Hung,
        place: Place::Room(here.space),
        room: here.space,
        found: Some(shell.hung_kg_m2()),
        limit: None,
        unit: "kg/m²",
        kept: Kept::Ask,
        source: PRACTICE,
    });
}

/// Each kind of sheet of the shell's faces as a whole, each door and window of it, each cover.
fn lifted(here: &Here, found: &mut Vec<Check>) {
    let mut lift = |piece: Piece, place: Place, kg: f64| {
        let handling = handling(kg);
        found.push(Check {
            subject: Subject::Lift { piece, handling },
            place,
            room: here.space,
            found: Some(kg),
            limit: Some(LIFT_KG.value),
            unit: "kg",
            kept: match handling {
                Handling::One | Handling::OneStrong => Kept::Yes,
                Handling::Two | Handling::Three => Kept::Ask,
                Handling::Split => Kept::No,
            },
            source: LIFT_KG.source,
        });
    };
    let mut sheets: Vec<(&str, f64, [f64; 2])> = vec![];
    for (_, element, side) in &here.round {
        let face = element.fronts[*side].as_ref().and_then(|front| here.construction(&front.face.construction));
        let Some(Build::Layers(layers)) = face.map(|face| &face.build) else { continue };
        let is_floor = *side == 0 && matches!(element.shape, ElementShape::Slab { .. });
        let size_m = if is_floor { FLOORING_M } else { SHEET_M };
        for layer in layers {
            let Layer::Sheet { material, thickness_mm, .. } = layer else { continue };
            let sheet = (material.as_str(), *thickness_mm, size_m);
            if *thickness_mm <= THICKEST_SHEET_MM && !sheets.contains(&sheet) {
                sheets.push(sheet);
            }
        }
    }
    for (id, thickness_mm, size_m) in sheets {
        let Some(material) = here.catalogue.materials.get(id) else { continue };
        if matches!(material.nature, Nature::Plate { .. }) {
            let kg = material.density_kg_m3 * thickness_mm / 1000.0 * size_m[0] * size_m[1];
            let piece = Piece::Sheet { material: material.name.clone(), thickness_mm, size_m };
            lift(piece, Place::Room(here.space), kg);
        }
    }
    for (index, element, side) in &here.round {
        for (at, placed) in element.openings.iter().enumerate() {
            for front in &placed.fronts[*side] {
                let OpeningFront::Leaf { leaf, .. } = front else { continue };
                let Some(construction) = here.construction(&leaf.construction) else { continue };
                let Ok(kg_m2) = construction.mass_per_area_kg_m2(here.catalogue) else { continue };
                let piece = Piece::Leaf(construction.name.clone());
                lift(piece, Place::Opening(*index, at), kg_m2 * placed.area_m2());
            }
        }
    }
    for cover in here.answer.covers.iter().filter(|cover| cover.space == here.space) {
        lift(Piece::Cover, Place::Opening(cover.element, cover.opening), cover.piece_kg);
    }
}
