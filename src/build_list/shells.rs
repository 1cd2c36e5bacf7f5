//! Faces of inner shells.

use super::difference::{Pair, face_of, room_of};
use super::face::Face;
use super::frame::{self, Kind};
use super::model::JobKind;
use super::want::Draft;
use crate::building::{Element, ElementShape, OpeningFront, SpaceIndex};
use crate::scene::{InnerShell, Room, ShellFace, Support, Workmanship};

/// All faces that are new or built otherwise; what is only in the first scene is named.
pub(super) fn drafts<'a>(pair: &Pair<'a>, drafts: &mut Vec<Draft<'a>>, out: &mut Vec<String>) {
    for (element, was) in pair.elements() {
        let ElementShape::Wall { .. } = element.shape else { continue };
        for side in [0, 1] {
            wall(pair, element, side, was, drafts, out);
        }
    }
    let rooms_before: Vec<&Room> = pair.before.scene.storeys.iter().flat_map(|storey| &storey.rooms).collect();
    for room in pair.after.scene.storeys.iter().flat_map(|storey| &storey.rooms) {
        let was = rooms_before.iter().find(|before| before.id == room.id).and_then(|room| room.inner_shell.as_ref());
        let now = room.inner_shell.as_ref();
        for kind in [Kind::Floor, Kind::Ceiling] {
            let of = |shell: &'a InnerShell| if kind == Kind::Floor { &shell.floor } else { &shell.ceiling };
            let [was, now] = [was, now].map(|shell| shell.and_then(|shell| of(shell).as_ref()));
            if is_new(was, now, &room.name, kind, out)
                && let Some(now) = now
            {
                slab(pair, room, kind, now, drafts);
            }
        }
    }
}

/// True for a face to be built; names one to be taken out.
fn is_new(was: Option<&ShellFace>, now: Option<&ShellFace>, place: &str, kind: Kind, out: &mut Vec<String>) -> bool {
    let plain = |face: &ShellFace| ShellFace { workmanship: Workmanship::Usual, ..face.clone() };
    if was == now || was.map(plain) == now.map(plain) {
        return false;
    }
    if was.is_some() {
        let what = match kind {
            Kind::Wall => "inner wall",
            Kind::Floor => "inner floor",
            Kind::Ceiling => "inner ceiling",
        };
        out.push(format!("{what} ({place})"));
    }
    now.is_some()
}

fn wall<'a>(
    pair: &Pair<'a>,
    element: &'a Element,
    side: usize,
    was: Option<&'a Element>,
    drafts: &mut Vec<Draft<'a>>,
    out: &mut Vec<String>,
) {
    let now = element.fronts[side].as_ref().map(|front| &front.face);
    let before = was.and_then(|was| was.fronts[pair.side_before(element, side, was)?].as_ref());
    if now.is_none() && before.is_none() {
        return;
    }
    let space = element.sides[side];
    if !is_new(before.map(|front| &front.face), now, &element.name, Kind::Wall, out) {
        return;
    }
    let (Some(now), Some(room)) = (now, room_of(pair.after.building, space)) else { return };
    let step_m = room.before_shell.as_ref().map_or(0.0, |bare| bare.step_m);
    let is_leaf = |front: &OpeningFront| matches!(front, OpeningFront::Leaf { .. });
    let open = |at: usize| element.openings[at].fronts[side].iter().any(is_leaf);
    let face = face_of(element, room.height_m, open, step_m);
    let mut draft = new(pair, Kind::Wall, now, element.name.clone());
    draft.stands_in = Some(space);
    build(pair, Kind::Wall, face, now, draft, drafts);
}

fn slab<'a>(pair: &Pair<'a>, room: &'a Room, kind: Kind, now: &'a ShellFace, drafts: &mut Vec<Draft<'a>>) {
    let spaces = pair.after.building.spaces.iter().enumerate();
    let mut found = spaces.filter_map(|(at, _)| {
        let space = SpaceIndex(at);
        room_of(pair.after.building, space).filter(|body| body.room == room.id).map(|body| (space, body))
    });
    let Some((space, body)) = found.next() else { return };
    let outline = body.before_shell.as_ref().map_or(&body.outline, |bare| &bare.outline);
    let mut draft = new(pair, kind, now, pair.name(space).to_owned());
    // A ceiling of its own joists lies on the walls, and they stand on the floor.
    draft.stands_in = (kind == Kind::Floor || now.support == Support::None).then_some(space);
    build(pair, kind, Face::slab(outline), now, draft, drafts);
}

fn new<'a>(pair: &Pair<'a>, kind: Kind, face: &'a ShellFace, place: String) -> Draft<'a> {
    let (kind, what) = match kind {
        Kind::Wall => (JobKind::Wall, "inner wall"),
        Kind::Floor => (JobKind::Floor, "inner floor"),
        Kind::Ceiling => (JobKind::Ceiling, "inner ceiling"),
    };
    let construction = pair.shop.construction(&face.construction);
    let name = construction.map_or(face.construction.as_str(), |construction| construction.name.as_str());
    let mut draft = Draft::new(kind, format!("{what}: {name}, {:.0} mm off", face.gap_mm), place);
    draft.cautions.extend(construction.map(|construction| construction.caution.as_str()));
    draft.instead = construction;
    draft
}

fn build<'a>(
    pair: &Pair<'a>,
    kind: Kind,
    face: Face,
    now: &'a ShellFace,
    mut draft: Draft<'a>,
    drafts: &mut Vec<Draft<'a>>,
) {
    frame::shell(&pair.shop, &face, kind, now, &mut draft.wants);
    draft.face = face;
    drafts.push(draft);
}
