//! One face of an inner shell: its boards, its distance, its fill, and what holds it.

use bevy_egui::egui::Ui;

use super::construct::construction_ui;
use super::fields::{choice, fact, number};
use super::layers::fill_ui;
use super::{Seen, workmanship_ui};
use crate::catalogue::ConstructionKind;
use crate::edit::Edit;
use crate::scene::{ShellFace, Support, Workmanship};

const FACES: [ConstructionKind; 3] = [ConstructionKind::Leaf, ConstructionKind::Wall, ConstructionKind::Floor];

/// A face to begin with: the catalogue's leaf of two dense boards if it is there. Distances: common practice, no source.
pub(super) fn usual_face(seen: &Seen, horizontal: bool) -> ShellFace {
    let known = |id: &&str| seen.catalogue.constructions.contains_key(*id);
    let leaf = |known: &&crate::catalogue::Construction| known.kind == ConstructionKind::Leaf;
    let first = || seen.catalogue.constructions.values().find(leaf).map_or("", |leaf| leaf.id.as_str());
    let construction = Some("leaf-dense-two").filter(known).unwrap_or_else(first).to_owned();
    let fill = "glass-wool-slab";
    let fill = seen.catalogue.materials.contains_key(fill).then(|| (fill.to_owned(), 50.0));
    let gap_mm = if horizontal { 150.0 } else { 100.0 };
    ShellFace { construction, gap_mm, fill, support: Support::None, workmanship: Workmanship::Usual }
}

/// The fields of a face. `stands`: it is a wall.
pub(super) fn face_ui(ui: &mut Ui, seen: &Seen, face: &mut ShellFace, stands: bool) -> Vec<Edit> {
    let told = "From inside the room towards the old face";
    let edits = construction_ui(ui, seen, ("Boards", told), &FACES, &mut face.construction);
    let told = "Clear distance between its outermost board and the old face: the deeper, the better in the bass";
    number(ui, seen, ("Gap", told, "mm"), &mut face.gap_mm, (5.0, 1000.0));
    fill_ui(ui, seen, &mut face.fill, face.gap_mm);
    support_ui(ui, seen, &mut face.support, stands);
    workmanship_ui(ui, seen, false, &mut face.workmanship);
    let made = seen.construction(&face.construction);
    if let Some(mass_kg_m2) = made.and_then(|made| made.mass_per_area_kg_m2(seen.catalogue).ok()) {
        let springs = face.support.springs(mass_kg_m2);
        let springs = springs.map(|(_, n_m)| format!(", each spring {:.0} N/mm when it moves", n_m / 1000.0));
        fact(ui, &seen.palette, &format!("{mass_kg_m2:.0} kg/m²{}", springs.unwrap_or_default()));
    }
    edits
}

/// What holds it. Usual numbers: common practice, no source.
fn support_ui(ui: &mut Ui, seen: &Seen, support: &mut Support, stands: bool) {
    let free = if stands { "stands free" } else { "nothing: spans or lies free" };
    let usual = [
        (Support::None, free),
        (Support::Hangers { per_m2: 1.5 }, "rigid hangers or brackets"),
        (Support::Clips { spacing_mm: 600.0 }, "resilient clips and bars"),
        (Support::Springs { per_m2: 1.5, deflection_mm: 10.0 }, "steel springs"),
        (Support::Rubber { per_m2: 4.0, deflection_mm: 3.0, stiffer: 1.5 }, "rubber or foam"),
    ];
    let now = *support;
    let same = |one: &Support| std::mem::discriminant(one) == std::mem::discriminant(&now);
    let all: Vec<(Support, String)> =
        usual.into_iter().map(|(one, word)| (if same(&one) { now } else { one }, word.to_owned())).collect();
    choice(ui, seen, "Held by", "What joins it to the old face", support, &all);
    let number_of = ("Number", "For each square metre", "per m²");
    let give = ("Gives by", "How far the face's own weight presses or pulls them", "mm");
    match support {
        Support::None => {}
        Support::Hangers { per_m2 } => drop(number(ui, seen, number_of, per_m2, (0.1, 100.0))),
        Support::Clips { spacing_mm } => {
            number(ui, seen, ("Spacing", "Distance between bars", "mm"), spacing_mm, (100.0, 2000.0));
        }
        Support::Springs { per_m2, deflection_mm } => {
            number(ui, seen, number_of, per_m2, (0.1, 100.0));
            number(ui, seen, give, deflection_mm, (0.2, 60.0));
        }
        Support::Rubber { per_m2, deflection_mm, stiffer } => {
            number(ui, seen, number_of, per_m2, (0.1, 100.0));
            number(ui, seen, give, deflection_mm, (0.2, 60.0));
            let told = "How many times stiffer they are when they move: 1.3 to 3";
            number(ui, seen, ("Stiffer", told, "times"), stiffer, (1.0, 5.0));
        }
    }
}
