//! Doors, windows, vents, their seals, those of inner shells, and cover panels.

use super::difference::{Pair, as_drawn, is_same, layers};
use super::face::Face;
use super::frame;
use super::model::JobKind;
use super::want::{Draft, Want};
use crate::building::{Element, OpeningFront, PlacedOpening};
use crate::catalogue::goods::Part;
use crate::catalogue::{Bridge, Build, Construction, ConstructionKind, Layer};
use crate::scene::{Cover, ShellOpening, Workmanship};

/// What holds one piece of a cover to its seal. Own judgement: one at each corner.
const FASTENERS: f64 = 4.0;
/// A new opening in a wall that stands.
const NEW_OPENING: &str = "A new opening takes away what carries: a structural engineer has to say what spans it, and building control may ask.";

/// All openings that are new or other, and what stands before them.
pub(super) fn drafts<'a>(pair: &Pair<'a>, drafts: &mut Vec<Draft<'a>>, out: &mut Vec<String>) {
    let storey = |scene: &'a crate::scene::Scene, opening: &PlacedOpening| {
        scene.storeys.get(opening.storey).map(|storey| &storey.id)
    };
    let (before, after) = (pair.before.scene, pair.after.scene);
    let placed = pair.before.building.elements.iter().flat_map(|element| &element.openings);
    let mut gone: Vec<&PlacedOpening> = placed.collect();
    for (element, was_in) in pair.elements() {
        for opening in &element.openings {
            let same =
                |was: &&PlacedOpening| was.opening == opening.opening && storey(before, was) == storey(after, opening);
            let was = gone.iter().position(same).map(|at| gone.swap_remove(at));
            own(pair, element, opening, was, was_in.is_some(), drafts, out);
            for side in [0, 1] {
                fronts(pair, element, opening, side, was, drafts, out);
            }
        }
    }
    for was in gone {
        out.push(was.name.clone());
        closed(pair, was, drafts);
    }
}

/// The opening itself and its seal.
fn own<'a>(
    pair: &Pair<'a>,
    element: &'a Element,
    opening: &'a PlacedOpening,
    was: Option<&'a PlacedOpening>,
    stood: bool,
    drafts: &mut Vec<Draft<'a>>,
    out: &mut Vec<String>,
) {
    let Some(now) = pair.shop.construction(&opening.construction) else { return };
    let before = was.and_then(|was| pair.construction_before(&was.construction));
    let kind = if now.kind == ConstructionKind::Vent { JobKind::Air } else { JobKind::Opening };
    let resized = was.is_some_and(|was| was.size_m != opening.size_m);
    let place = format!("{}, {}", opening.name, element.name);
    if let Some(before) = before
        && before == now
        && !resized
    {
        return sealed(pair, opening, was, place, drafts);
    }
    let mut draft = Draft::new(kind, String::new(), place);
    draft.cautions.push(&now.caution);
    if let Some(second) = before.and_then(|before| added_leaf(pair, before, now)) {
        draft.title = format!("add a second: {}", second.name);
        hung(&mut draft, second, opening.size_m, opening.seal.as_deref());
    } else {
        let what = if before.is_some() { "put in" } else { "cut an opening for" };
        draft.title = format!("{what} {}", now.name);
        if let Some(before) = before.filter(|before| before.kind != ConstructionKind::Open) {
            out.push(format!("{} ({})", before.name, opening.name));
        }
        let larger = was.is_none_or(|was| (0..2).any(|axis| opening.size_m[axis] > was.size_m[axis] + 1e-6));
        if larger && stood {
            draft.cautions.push(NEW_OPENING);
        }
        hung(&mut draft, now, opening.size_m, opening.seal.as_deref());
    }
    drafts.push(draft);
}

/// A leaf that is set before one that stays: what of the new build is new, as a door or window by itself.
fn added_leaf<'a>(pair: &Pair<'a>, before: &Construction, now: &Construction) -> Option<&'a Construction> {
    let (old, new) = (layers(before), layers(now));
    if old.is_empty() || new.len() <= old.len() + 1 || !new.iter().zip(old).all(|(new, old)| is_same(new, old)) {
        return None;
    }
    let Layer::Cavity { bridge: Bridge::CommonReveal | Bridge::AbsorbentReveal, .. } = new[old.len()] else {
        return None;
    };
    let rest = &new[old.len() + 1..];
    let catalogue = pair.shop.catalogue.constructions.values();
    let fits = |known: &&Construction| {
        let leaf = layers(known);
        known.kind == now.kind
            && leaf.len() == rest.len()
            && leaf.iter().zip(rest).all(|(leaf, rest)| is_same(leaf, rest))
    };
    // A build with a price before one without.
    catalogue.clone().filter(fits).find(|known| known.price_per_m2.is_some()).or_else(|| catalogue.clone().find(fits))
}

/// A door, window or vent with its fittings, sealant round its frame, and seals.
fn hung<'a>(draft: &mut Draft<'a>, what: &'a Construction, size_m: [f64; 2], seal: Option<&'a str>) {
    let [wide, high] = size_m;
    if what.kind == ConstructionKind::Open || what.build == Build::Open {
        return;
    }
    let frames = what.frames() as f64;
    let fittings = match what.kind {
        ConstructionKind::Door => Part::DoorFittings,
        ConstructionKind::Vent => Part::VentFittings,
        _ => Part::WindowFittings,
    };
    draft.wants.push(Want::Whole(what, size_m));
    draft.wants.push(Want::Part(fittings, frames));
    // On both faces of the wall.
    draft.wants.push(Want::Part(Part::Sealant, 2.0 * frames * 2.0 * (wide + high)));
    if what.kind != ConstructionKind::Vent {
        seals(draft, seal, size_m, frames);
    }
}

/// The strips of a seal: of one that drops, a strip on three sides and the drop seal below.
fn seals<'a>(draft: &mut Draft<'a>, seal: Option<&'a str>, [wide, high]: [f64; 2], frames: f64) {
    match seal {
        None | Some("none") => {}
        Some("drop-threshold") => {
            draft.wants.push(Want::Seal("compression-single", frames * (wide + 2.0 * high)));
            draft.wants.push(Want::Part(Part::Threshold, frames * wide));
        }
        Some(seal) => draft.wants.push(Want::Seal(seal, frames * 2.0 * (wide + high))),
    }
}

/// The same door or window, closed better.
fn sealed<'a>(
    pair: &Pair<'a>,
    opening: &'a PlacedOpening,
    was: Option<&'a PlacedOpening>,
    place: String,
    drafts: &mut Vec<Draft<'a>>,
) {
    let Some(was) = was else { return };
    let gap_mm = |seal: &Option<String>| {
        seal.as_deref().and_then(|id| pair.shop.catalogue.seals.get(id)).map_or(0.0, |seal| seal.gap_mm)
    };
    let [wide, high] = opening.size_m;
    let frames = pair.shop.construction(&opening.construction).map_or(1, Construction::frames) as f64;
    let mut draft = Draft::new(JobKind::Seal, "seal the gap round it".to_owned(), place);
    if opening.seal != was.seal && gap_mm(&opening.seal) < gap_mm(&was.seal) {
        seals(&mut draft, opening.seal.as_deref(), opening.size_m, frames);
    }
    let drops = opening.seal.as_deref() == Some("drop-threshold") && was.seal != opening.seal;
    if opening.undercut_mm < was.undercut_mm && !drops {
        draft.wants.push(Want::Part(Part::Threshold, frames * wide));
    }
    if opening.workmanship < was.workmanship {
        draft.wants.push(Want::Part(Part::Sealant, 2.0 * 2.0 * (wide + high)));
    }
    drafts.push(draft);
}

/// What stands before an opening on one side: a cover, a door or window of an inner shell.
fn fronts<'a>(
    pair: &Pair<'a>,
    element: &'a Element,
    opening: &'a PlacedOpening,
    side: usize,
    was: Option<&'a PlacedOpening>,
    drafts: &mut Vec<Draft<'a>>,
    out: &mut Vec<String>,
) {
    // Covers and leaves keep their side as long as the wall keeps its direction.
    let before = was.map_or(&[][..], |was| &was.fronts[side]);
    let room = || pair.name(element.sides[side]);
    let now_cover = cover(&opening.fronts[side]);
    let was_cover = cover(before);
    if now_cover.map(as_drawn) != was_cover.map(as_drawn) {
        if was_cover.is_some() {
            out.push(format!("cover panel before {}", opening.name));
        }
        if let Some(cover) = now_cover {
            let place = format!("before {} in {}", opening.name, room());
            panel(pair, cover, opening.size_m, place, drafts);
        }
    }
    let now_leaf = leaf(&opening.fronts[side]);
    let was_leaf = leaf(before);
    let plain = |leaf: &ShellOpening| ShellOpening { workmanship: Workmanship::Usual, ..leaf.clone() };
    if now_leaf.map(plain) != was_leaf.map(plain) {
        if was_leaf.is_some() {
            out.push(format!("opening of the inner shell before {}", opening.name));
        }
        if let Some(leaf) = now_leaf
            && let Some(what) = pair.shop.construction(&leaf.construction)
        {
            let place = format!("inner shell before {}, {}", opening.name, room());
            let mut draft = Draft::new(JobKind::Opening, format!("put in {}", what.name), place);
            draft.cautions.push(&what.caution);
            draft.stands_in = Some(element.sides[side]);
            hung(&mut draft, what, opening.size_m, leaf.seal.as_deref());
            drafts.push(draft);
        }
    }
}

fn cover(fronts: &[OpeningFront]) -> Option<&Cover> {
    fronts
        .iter()
        .find_map(|front| if let OpeningFront::Cover(cover) = front { Some(cover) } else { None })
        .filter(|cover| cover.on)
}

fn leaf(fronts: &[OpeningFront]) -> Option<&ShellOpening> {
    fronts.iter().find_map(|front| if let OpeningFront::Leaf { leaf, .. } = front { Some(leaf) } else { None })
}

/// A cover panel: its pieces, battens round it, seal, absorber in the reveal, what holds it.
fn panel<'a>(pair: &Pair<'a>, cover: &'a Cover, size_m: [f64; 2], place: String, drafts: &mut Vec<Draft<'a>>) {
    let Some(board) = pair.shop.construction(&cover.construction) else { return };
    let mut draft = Draft::new(JobKind::Cover, format!("cover panel: {}", board.name), place);
    draft.cautions.push(&board.caution);
    let piece_m = cover.piece_m(size_m);
    let count = cover.pieces.map(|pieces| pieces.max(1) as usize);
    let whole_m = [0, 1].map(|axis| piece_m[axis] * count[axis] as f64);
    let pieces = count[0] * count[1];
    for layer in layers(board) {
        if let Layer::Sheet { material, thickness_mm, .. } = layer {
            draft.wants.push(Want::Pieces(material, *thickness_mm, vec![piece_m; pieces]));
        }
    }
    let [wide, high] = whole_m;
    draft.wants.push(Want::Bars(Part::Batten, vec![wide, wide, high, high]));
    if let Some((material, mm)) = &cover.reveal {
        draft.wants.push(Want::Fill(material, *mm, 2.0 * (size_m[0] + size_m[1]) * cover.gap_mm / 1000.0));
    }
    if let Some(seal) = cover.seal.as_deref().filter(|seal| *seal != "none") {
        draft.wants.push(Want::Seal(seal, 2.0 * (wide + high)));
    }
    let joints_m = cover.joints_m(size_m);
    if let Some(seal) = cover.joint_seal.as_deref().filter(|seal| *seal != "none" && joints_m > 0.0) {
        draft.wants.push(Want::Seal(seal, joints_m));
    }
    draft.wants.push(Want::Part(Part::Fastener, FASTENERS * pieces as f64));
    drafts.push(draft);
}

/// An opening that is no more: the wall it was in is closed with its own build.
fn closed<'a>(pair: &Pair<'a>, was: &'a PlacedOpening, drafts: &mut Vec<Draft<'a>>) {
    let is_in = |element: &&Element| element.openings.iter().any(|opening| std::ptr::eq(opening, was));
    let Some(element) = pair.before.building.elements.iter().find(is_in) else { return };
    // Where the wall went as well there is nothing to close.
    let stands = pair.elements().any(|(_, old)| old.is_some_and(|old| std::ptr::eq(old, element)));
    let Some(wall) = pair.construction_before(&element.construction).filter(|_| stands) else { return };
    let face = Face::wall(was.size_m[0], was.size_m[1], vec![]);
    let place = format!("{}, {}", was.name, element.name);
    let mut draft = Draft::new(JobKind::Structure, format!("close the opening as {}", wall.name), place);
    draft.instead = Some(wall);
    for layer in layers(wall) {
        if let Layer::Cavity { bridge, fill, .. } = layer {
            frame::between(&face, *bridge, false, false, 0.0, &mut draft.wants);
            draft.wants.extend(fill.as_ref().map(|(material, mm)| Want::Fill(material, *mm, face.area_m2())));
        }
    }
    let boards = frame::all_layers(&pair.shop, layers(wall).iter(), &mut draft.wants);
    frame::edges(&face, boards, true, &mut draft.wants);
    if draft.wants.is_empty() {
        draft.wants.push(Want::Built(wall, face.area_m2()));
    }
    draft.face = face;
    drafts.push(draft);
}
