//! What holds layers up and closes their edges: frames by usual spacings, screws, tape, sealant.

use super::face::Face;
use super::shop::Shop;
use super::want::Want;
use crate::catalogue::goods::{Part, Sold};
use crate::catalogue::{Bridge, Build, Construction, Layer};
use crate::scene::{ShellFace, Support};

/// Uprights of a frame stand so far apart, m, so that boards 1.2 m wide meet on one. Common practice, no source.
const STUDS_M: f64 = 0.6;
/// Joists of a ceiling and battens under a deck, m. Common practice, no source.
const JOISTS_M: f64 = 0.4;
/// Clips along a bar, m. Common practice, no source.
const CLIPS_M: f64 = 1.2;
/// Screws for each m² of a board. Common practice, no source: 300 mm apart along edges and uprights 600 mm apart, twice as close at joints.
const SCREWS_PER_M2: f64 = 16.0;

/// More of anything in a row is a slip of the pen.
const MOST: f64 = 5000.0;

/// Which face of a room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Wall,
    Floor,
    Ceiling,
}

/// A face of an inner shell with all that holds it.
pub(super) fn shell<'a>(shop: &Shop<'a>, face: &Face, kind: Kind, shell: &'a ShellFace, wants: &mut Vec<Want<'a>>) {
    let Some(construction) = shop.construction(&shell.construction) else { return };
    let Build::Layers(layers) = &construction.build else {
        wants.push(Want::Unknown(construction.name.clone(), face.area_m2(), "m²"));
        return;
    };
    if let Some((material, mm)) = &shell.fill {
        wants.push(Want::Fill(material, *mm, face.area_m2()));
    }
    let kg_m2 = construction.mass_per_area_kg_m2(shop.catalogue).unwrap_or(0.0);
    if layers.last().is_some_and(|nearest| is_board(shop, nearest)) {
        support(face, kind, shell.support, kg_m2, wants);
    }
    // From the frame into the room: the order they are put up in.
    let boards = all_layers(shop, layers.iter().rev(), wants);
    edges(face, boards, kind != Kind::Floor, wants);
    if boards > 0 {
        wants.push(Want::Part(Part::Tape, face.edge_m()));
    }
}

/// The sheets and resilient layers of a list, cavities left out; returns how many boards there are.
pub(super) fn all_layers<'a>(
    shop: &Shop<'_>,
    layers: impl Iterator<Item = &'a Layer>,
    wants: &mut Vec<Want<'a>>,
) -> usize {
    let mut boards = 0;
    for layer in layers {
        match layer {
            Layer::Sheet { material, thickness_mm, .. } => {
                wants.push(Want::Layer(material, *thickness_mm, boards));
                boards += usize::from(is_board(shop, layer));
            }
            Layer::Resilient { material, thickness_mm } => wants.push(Want::Layer(material, *thickness_mm, 0)),
            Layer::Cavity { .. } => {}
        }
    }
    boards
}

/// True for what is sold as sheets, and needs a frame and screws.
pub(super) fn is_board(shop: &Shop<'_>, layer: &Layer) -> bool {
    let Layer::Sheet { material, thickness_mm, .. } = layer else { return false };
    shop.layer(material, *thickness_mm).is_some_and(|(good, _)| matches!(good.sold, Sold::Sheet { .. }))
}

/// Screws, sealant and filler of so many layers of boards: each layer is closed at its edge, the last is filled where it is seen.
pub(super) fn edges(face: &Face, boards: usize, seen: bool, wants: &mut Vec<Want<'_>>) {
    if boards == 0 {
        return;
    }
    let layers = boards as f64;
    wants.push(Want::Part(Part::Screw, (layers * SCREWS_PER_M2 * face.area_m2()).ceil()));
    wants.push(Want::Part(Part::Sealant, layers * face.edge_m()));
    if seen {
        wants.push(Want::Part(Part::Filler, face.area_m2()));
    }
}

/// What stands or hangs behind the boards.
fn support<'a>(face: &Face, kind: Kind, support: Support, kg_m2: f64, wants: &mut Vec<Want<'a>>) {
    let area_m2 = face.area_m2();
    let count = |per_m2: f64| (per_m2 * area_m2 - 1e-9).ceil();
    match (support, kind) {
        (Support::None, Kind::Wall) => wants.push(uprights(face, Part::Stud, STUDS_M)),
        (Support::None, Kind::Ceiling) => wants.push(joists(face)),
        (Support::None, Kind::Floor) => {}
        (Support::Hangers { per_m2 }, _) => {
            wants.push(Want::Part(Part::Hanger, count(per_m2)));
            wants.push(grid(face, kind));
        }
        (Support::Clips { spacing_mm }, _) => {
            let spacing_m = spacing_mm / 1000.0;
            let [length, height] = face.size_m();
            let part = if kind == Kind::Floor { Part::Batten } else { Part::Bar };
            wants.push(rows(face, part, spacing_m));
            wants.push(Want::Part(Part::Clip, spaced(height, spacing_m) * spaced(length, CLIPS_M)));
        }
        (Support::Springs { per_m2, .. }, _) | (Support::Rubber { per_m2, .. }, _) => {
            let part = match (kind, support) {
                (Kind::Floor, Support::Springs { .. }) => Part::Spring,
                (Kind::Floor, _) => Part::Pad,
                _ => Part::SoftHanger,
            };
            wants.push(Want::Loaded(part, count(per_m2), kg_m2 / per_m2));
            wants.push(grid(face, kind));
        }
    }
}

/// What boards are screwed to where hangers, clips or feet hold it.
fn grid<'a>(face: &Face, kind: Kind) -> Want<'a> {
    match kind {
        Kind::Wall => uprights(face, Part::SteelStud, STUDS_M),
        Kind::Floor => rows(face, Part::Batten, JOISTS_M),
        Kind::Ceiling => rows(face, Part::Bar, STUDS_M),
    }
}

/// How many stand on a length, the last at its end.
fn spaced(length_m: f64, spacing_m: f64) -> f64 {
    (length_m / spacing_m - 1e-6).ceil().clamp(1.0, MOST) + 1.0
}

/// Uprights, a plate below and one above, and two uprights and two crosspieces round each opening.
fn uprights<'a>(face: &Face, part: Part, spacing_m: f64) -> Want<'a> {
    let [length, height] = face.size_m();
    let mut lengths = vec![height; spaced(length, spacing_m) as usize];
    lengths.extend([length; 2]);
    for [x0, _, x1, _] in &face.holes {
        lengths.extend([height, height, x1 - x0, x1 - x0]);
    }
    Want::Bars(part, lengths)
}

/// Rows along the face.
fn rows<'a>(face: &Face, part: Part, spacing_m: f64) -> Want<'a> {
    let [length, height] = face.size_m();
    Want::Bars(part, vec![length; spaced(height, spacing_m) as usize])
}

/// Joists across, from wall to wall the shorter way.
fn joists<'a>(face: &Face) -> Want<'a> {
    let [a, b] = face.size_m();
    Want::Bars(Part::Joist, vec![a.min(b); spaced(a.max(b), JOISTS_M) as usize])
}

/// What holds two leaves apart in a wall, floor or roof that is built; `framed` where its joists or studs stand already, `carried_kg_m2` what hangs on it.
pub(super) fn between<'a>(
    face: &Face,
    bridge: Bridge,
    framed: bool,
    boarded: bool,
    carried_kg_m2: f64,
    wants: &mut Vec<Want<'a>>,
) {
    let area_m2 = face.area_m2();
    let count = |per_m2: f64| (per_m2 * area_m2 - 1e-9).ceil();
    let kind = if face.upright { Kind::Wall } else { Kind::Ceiling };
    let m = |mm: f64| (mm / 1000.0).max(0.1);
    match bridge {
        Bridge::TimberStuds { spacing_mm } if !framed => wants.push(uprights(face, Part::Stud, m(spacing_mm))),
        Bridge::StaggeredStuds { spacing_mm } if !framed => {
            wants.push(uprights(face, Part::Stud, m(spacing_mm)));
            wants.push(uprights(face, Part::Stud, m(spacing_mm)));
        }
        Bridge::LightSteelStuds { spacing_mm } if !framed => {
            wants.push(uprights(face, Part::SteelStud, m(spacing_mm)));
        }
        Bridge::ResilientBars { spacing_mm } => {
            if !framed {
                wants.push(if face.upright { uprights(face, Part::Stud, STUDS_M) } else { joists(face) });
            }
            wants.push(rows(face, Part::Bar, m(spacing_mm)));
        }
        Bridge::Joists { .. } if !framed => wants.push(joists(face)),
        Bridge::Battens { spacing_mm } => wants.push(rows(face, Part::Batten, m(spacing_mm))),
        Bridge::Hangers { per_m2, resilient } => {
            wants.push(if resilient {
                Want::Loaded(Part::SoftHanger, count(per_m2), carried_kg_m2 / per_m2)
            } else {
                Want::Part(Part::Hanger, count(per_m2))
            });
            wants.push(grid(face, kind));
        }
        Bridge::Springs { per_m2, .. } => {
            wants.push(Want::Loaded(Part::SoftHanger, count(per_m2), carried_kg_m2 / per_m2));
            wants.push(grid(face, kind));
        }
        Bridge::WallTies { per_m2 } | Bridge::RigidTies { per_m2 } => {
            wants.push(Want::Part(Part::Tie, count(per_m2)));
        }
        // A leaf of boards before masonry, a ceiling below a floor: a frame of its own.
        Bridge::Free if boarded => {
            wants.push(if face.upright { uprights(face, Part::Stud, STUDS_M) } else { joists(face) });
        }
        _ => {}
    }
}

/// True when joists or studs carry it.
pub(super) fn is_framed(construction: &Construction) -> bool {
    let Build::Layers(layers) = &construction.build else { return false };
    layers.iter().any(|layer| {
        let Layer::Cavity { bridge, .. } = layer else { return false };
        matches!(
            bridge,
            Bridge::Joists { .. }
                | Bridge::TimberStuds { .. }
                | Bridge::LightSteelStuds { .. }
                | Bridge::StaggeredStuds { .. }
                | Bridge::ResilientBars { .. }
        )
    })
}
