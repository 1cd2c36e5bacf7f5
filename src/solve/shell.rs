//! What an inner shell takes and adds: floor area, volume, headroom, weight on the old floor and on the old ceiling. What a cover weighs.

use std::collections::BTreeSet;

use super::answer::{CoverAnswer, Handling, ShellAnswer, ShellFaceAnswer};
use super::element::Elements;
use super::library::find;
use crate::building::{
    Building, Element, ElementIndex, ElementShape, OpeningFront, PlacedOpening, SpaceIndex, SpaceKind,
};
use crate::catalogue::Catalogue;
use crate::scene::{Scene, Support};

/// Imposed load that floors of dwellings are designed for, kg/m²: 1.5 kN/m² (EN 1991-1-1:2002 Table 6.2, category A, with its UK annex; from
/// memory, unverified). People and furniture are part of it.
pub const DWELLING_FLOOR_KG_M2: f64 = 150.0;
/// Mass one person lifts and lowers near the body at waist height before a closer look is called for, kg: men, women. Source: HSE, Manual
/// handling at work, lifting and lowering risk filter (figures from memory, unverified).
pub(super) const ONE_LIFTS_KG: [f64; 2] = [25.0, 16.0];
/// Of the sum of what each can lift, two people may count on so much, three on so much (same source).
const TWO_SHARE: f64 = 2.0 / 3.0;
const THREE_SHARE: f64 = 0.5;

/// Every room with an inner shell.
#[must_use]
pub fn shells(building: &Building, elements: &Elements) -> Vec<ShellAnswer> {
    building
        .spaces
        .iter()
        .enumerate()
        .filter_map(|(at, space)| {
            let SpaceKind::Room(room) = &space.kind else { return None };
            let before = room.before_shell.as_ref()?;
            let here = SpaceIndex(at);
            let mut shell = ShellAnswer {
                space: here,
                area_before_m2: before.area_m2,
                area_m2: room.area_m2,
                volume_before_m3: room.volume_m3 * before.area_m2 * before.height_m / (room.area_m2 * room.height_m),
                volume_m3: room.volume_m3,
                height_before_m: before.height_m,
                height_m: room.height_m,
                step_m: before.step_m,
                on_floor_kg: 0.0,
                hung_kg: 0.0,
                wall_kg_m: 0.0,
                faces: vec![],
            };
            for (index, element) in building.elements.iter().enumerate() {
                for side in [0, 1].into_iter().filter(|&side| element.sides[side] == here) {
                    let Some(front) = &elements[ElementIndex(index)].fronts[side] else { continue };
                    shell.weigh(element, side, front.mass_kg_m2);
                    shell.faces.push(ShellFaceAnswer {
                        element: ElementIndex(index),
                        side,
                        gain_db: front.gain_db,
                        resonance_hz: front.resonance_hz,
                        mass_kg_m2: front.mass_kg_m2,
                    });
                }
            }
            Some(shell)
        })
        .collect()
}

impl ShellAnswer {
    /// Adds a face's weight to what carries it: walls and a ceiling that rests on them stand on the floor, anything hung hangs.
    fn weigh(&mut self, element: &Element, side: usize, mass_kg_m2: f64) {
        let kg = mass_kg_m2 * element.area_m2;
        match &element.shape {
            ElementShape::Wall { height_m, .. } => {
                self.on_floor_kg += kg;
                self.wall_kg_m = self.wall_kg_m.max(mass_kg_m2 * height_m);
            }
            ElementShape::Slab { .. } => {
                let stands = element.fronts[side].as_ref().is_some_and(|front| front.face.support == Support::None);
                if side == 0 || stands {
                    self.on_floor_kg += kg;
                } else {
                    self.hung_kg += kg;
                }
            }
        }
    }

    /// What stands on the old floor, kg/m² of it.
    #[must_use]
    pub fn on_floor_kg_m2(&self) -> f64 {
        self.on_floor_kg / self.area_before_m2
    }

    /// What hangs from the old ceiling, kg/m² of it.
    #[must_use]
    pub fn hung_kg_m2(&self) -> f64 {
        self.hung_kg / self.area_before_m2
    }
}

/// The cautions that come with what shells, their doors and covers are made of, each once.
#[must_use]
pub fn cautions(scene: &Scene, catalogue: &Catalogue, building: &Building) -> Vec<String> {
    let fronts = building.elements.iter().flat_map(|element| element.fronts.iter().flatten());
    let faces = fronts.map(|front| front.face.construction.as_str());
    let openings = building.elements.iter().flat_map(|element| &element.openings);
    let before = openings.flat_map(|opening| opening.fronts.iter().flatten()).map(|front| match front {
        OpeningFront::Cover(cover) => cover.construction.as_str(),
        OpeningFront::Shell(front) => front.face.construction.as_str(),
        OpeningFront::Leaf { leaf, .. } => leaf.construction.as_str(),
    });
    let used: BTreeSet<&str> = faces.chain(before).collect();
    let found = used.into_iter().filter_map(|id| find(scene, catalogue, id));
    found
        .filter(|construction| !construction.caution.is_empty())
        .map(|construction| format!("{}: {}", construction.name, construction.caution))
        .collect()
}

/// Every cover panel.
#[must_use]
pub fn covers(building: &Building, elements: &Elements) -> Vec<CoverAnswer> {
    let mut all = vec![];
    for (index, (element, part)) in building.elements.iter().zip(elements.iter()).enumerate() {
        for (at, (placed, opening)) in element.openings.iter().zip(&part.openings).enumerate() {
            for cover in &opening.covers {
                let piece_m = cover.cover.piece_m(placed.size_m);
                let piece_kg = cover.mass_kg_m2 * piece_m[0] * piece_m[1];
                all.push(CoverAnswer {
                    element: ElementIndex(index),
                    opening: at,
                    space: element.sides[cover.side],
                    gain_db: cover.gain_db,
                    board_edge_joints_m2: cover.board_edge_joints_m2,
                    resonance_hz: cover.resonance_hz,
                    pieces: cover.cover.pieces.map(|pieces| pieces.max(1)),
                    piece_m,
                    piece_kg,
                    handling: handling(piece_kg),
                    may_be_escape: may_be_escape(placed),
                });
            }
        }
    }
    all
}

/// Who can lift a piece, by the lifting and lowering risk filter of HSE, Manual handling at work (figures from memory, unverified): near the body, at waist height, now and then. Two and three people by the larger
/// of the two figures.
#[must_use]
pub fn handling(kg: f64) -> Handling {
    let [man_kg, woman_kg] = ONE_LIFTS_KG;
    if kg <= woman_kg {
        Handling::One
    } else if kg <= man_kg {
        Handling::OneStrong
    } else if kg <= 2.0 * man_kg * TWO_SHARE {
        Handling::Two
    } else if kg <= 3.0 * man_kg * THREE_SHARE {
        Handling::Three
    } else {
        Handling::Split
    }
}

/// Whether a window is of the size and height that escape windows must at least have: 0.33 m², 450 mm each way, sill no higher than 1.1 m. Source:
/// Approved Document B (England), as given by makers' guidance.
pub(super) fn may_be_escape(placed: &PlacedOpening) -> bool {
    placed.area_m2() >= 0.33 && placed.size_m.iter().all(|side| *side >= 0.45) && placed.sill_m <= 1.1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand from the filter: 16 and 25 kg alone, 2/3 of 50 kg by two, half of 75 kg by three.
    #[test]
    fn heavy_pieces_need_more_hands() {
        let cases = [
            (12.0, Handling::One),
            (20.0, Handling::OneStrong),
            (33.0, Handling::Two),
            (37.0, Handling::Three),
            (40.0, Handling::Split),
        ];
        for (kg, want) in cases {
            assert_eq!(handling(kg), want, "{kg} kg");
        }
    }
}
