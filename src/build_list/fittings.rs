//! What is brought into a room: finishes and absorbers, platforms under what stamps, quieter instruments, ducts.

use super::difference::Pair;
use super::model::JobKind;
use super::want::{Draft, Want};
use crate::acoustics::isolation::USUAL_PLATFORM_M2;
use crate::building::{SpaceIndex, SpaceKind};
use crate::catalogue::goods::Part;
use crate::scene::{Contact, Duct, DuctSection, Mount, Room, Source, Spring};

/// A platform is so many times as long as it is wide. Own judgement.
const LONGER: f64 = 1.4;
/// Its deck: material and thickness in mm, two layers screwed together. Own judgement.
const DECK: (&str, f64) = ("plywood-softwood", 18.0);
const DECK_LAYERS: usize = 2;
/// Screws of a deck for each m². Own judgement.
const DECK_SCREWS_PER_M2: f64 = 20.0;
/// A duct changed by less is none, m.
const DUCT_M: f64 = 0.1;

/// Finishes, mounts, sounds and ducts that are new or other.
pub(super) fn drafts<'a>(pair: &Pair<'a>, drafts: &mut Vec<Draft<'a>>, out: &mut Vec<String>) {
    rooms(pair, drafts, out);
    for source in &pair.after.scene.sources {
        let was = pair.before.scene.sources.iter().find(|before| before.id == source.id);
        mounts(pair, source, was, drafts, out);
        let Some(was) = was else { continue };
        if source.sound != was.sound {
            let sound = pair.shop.catalogue.sources.get(&source.sound);
            let sound = sound.map_or(source.sound.as_str(), |sound| sound.name.as_str());
            let mut draft = Draft::new(JobKind::Sound, format!("play instead: {sound}"), source.name.clone());
            draft.wants.push(Want::Sound(&source.sound));
            drafts.push(draft);
        } else if source.offset_db < was.offset_db && source.measured.is_none() {
            let softer_db = was.offset_db - source.offset_db;
            let title = format!("play it {softer_db:.0} dB softer");
            let mut draft = Draft::new(JobKind::Sound, title, source.name.clone());
            draft.wants.push(Want::Unknown(
                "mutes, or nothing where one simply plays softer".to_owned(),
                1.0,
                "pieces",
            ));
            drafts.push(draft);
        }
    }
    for duct in &pair.after.scene.ducts {
        ducts(pair, duct, drafts);
    }
    let gone = pair.before.scene.ducts.iter();
    let gone = gone.filter(|was| pair.after.scene.ducts.iter().all(|duct| duct.id != was.id));
    out.extend(gone.map(|was| was.name.clone()));
}

fn rooms<'a>(pair: &Pair<'a>, drafts: &mut Vec<Draft<'a>>, out: &mut Vec<String>) {
    let all = |scene: &'a crate::scene::Scene| scene.storeys.iter().flat_map(|storey| &storey.rooms);
    let before: Vec<&Room> = all(pair.before.scene).collect();
    for room in all(pair.after.scene) {
        let Some(was) = before.iter().find(|before| before.id == room.id) else { continue };
        if was.finishes == room.finishes && was.fill == room.fill {
            continue;
        }
        extra(room, was, drafts, out);
        surfaces(pair, room, was, drafts);
        let filled = room.fill.as_ref().filter(|_| room.fill != was.fill);
        if let (Some((material, mm)), Some((_, body))) = (filled, body(pair, room)) {
            // A drawn gap is long and thin: half its outline is its length.
            let mut draft = Draft::new(JobKind::Structure, "fill the gap".to_owned(), room.name.clone());
            draft.wants.push(Want::Fill(material, *mm, 0.5 * body.perimeter_m * body.height_m));
            drafts.push(draft);
        }
    }
}

fn body<'a>(pair: &Pair<'a>, room: &Room) -> Option<(SpaceIndex, &'a crate::building::RoomSpace)> {
    let spaces = pair.after.building.spaces.iter().enumerate();
    let mut found = spaces.filter_map(|(at, space)| match &space.kind {
        SpaceKind::Room(body) if body.room == room.id => Some((SpaceIndex(at), body)),
        _ => None,
    });
    found.next()
}

/// Curtains, panels and foam: more m² of them than before.
fn extra<'a>(room: &'a Room, was: &Room, drafts: &mut Vec<Draft<'a>>, out: &mut Vec<String>) {
    let m2 = |room: &Room, id: &str| {
        room.finishes.extra.iter().filter(|(other, _)| other == id).map(|(_, m2)| m2).sum::<f64>()
    };
    let mut draft = Draft::new(JobKind::Finish, "hang or lay absorbers".to_owned(), room.name.clone());
    for (at, (id, _)) in room.finishes.extra.iter().enumerate() {
        let first = room.finishes.extra[..at].iter().all(|(other, _)| other != id);
        let more_m2 = m2(room, id) - m2(was, id);
        if first && more_m2 > 1e-9 {
            draft.wants.push(Want::Finish(id, more_m2));
        }
    }
    for (at, (id, _)) in was.finishes.extra.iter().enumerate() {
        let first = was.finishes.extra[..at].iter().all(|(other, _)| other != id);
        let less_m2 = m2(was, id) - m2(room, id);
        if first && less_m2 > 1e-9 {
            out.push(format!("{less_m2:.1} m² of {id} ({})", room.name));
        }
    }
    drafts.push(draft);
}

/// Floor, walls and ceiling that look otherwise. What a build of the same list brings with it, and no shop sells, is no purchase.
fn surfaces<'a>(pair: &Pair<'a>, room: &'a Room, was: &Room, drafts: &mut Vec<Draft<'a>>) {
    let Some((space, body)) = body(pair, room) else { return };
    let (now, old) = (&room.finishes, &was.finishes);
    let shell = |room: &Room| room.inner_shell.clone();
    let rebuilt = shell(room) != shell(was)
        || pair.elements().any(|(element, was)| {
            element.sides.contains(&space) && was.is_none_or(|was| was.construction != element.construction)
        });
    let all = [
        ("floor", &now.floor, &old.floor, body.area_m2),
        ("walls", &now.walls, &old.walls, body.perimeter_m * body.height_m),
        ("ceiling", &now.ceiling, &old.ceiling, body.area_m2),
    ];
    for (what, now, old, m2) in all {
        let sold = pair.shop.good(&crate::catalogue::goods::Serves::Finish(now.clone())).is_some();
        if now != old && (sold || !rebuilt) {
            let mut draft = Draft::new(JobKind::Finish, format!("finish the {what}"), room.name.clone());
            draft.wants.push(Want::Finish(now, m2));
            drafts.push(draft);
        }
    }
}

fn mounts<'a>(
    pair: &Pair<'a>,
    source: &'a Source,
    was: Option<&Source>,
    drafts: &mut Vec<Draft<'a>>,
    out: &mut Vec<String>,
) {
    let space = pair.after.building.sources.iter().find(|placed| placed.source == source.id).map(|placed| placed.space);
    let mut seen: Vec<&Mount> = vec![];
    for contact in source.touches() {
        // Feet of one source on equal platforms stand on one.
        if let Some(mount) = &contact.mount {
            if seen.contains(&mount) {
                continue;
            }
            seen.push(mount);
        }
        let before = was.and_then(|was| was.touches().iter().find(|before| before.name == contact.name));
        let before = before.and_then(|before: &Contact| before.mount.as_ref());
        if before == contact.mount.as_ref() {
            continue;
        }
        if before.is_some() {
            out.push(format!("platform under {}", contact.name));
        }
        let Some(mount) = &contact.mount else { continue };
        let feet = source.touches().iter().filter(|other| other.mount.as_ref() == Some(mount));
        let feet: Vec<&str> = feet.map(|contact| contact.name.as_str()).collect();
        let place = format!("{}: {}", source.name, feet.join(", "));
        let mut draft = Draft::new(JobKind::Mount, "set it on a platform".to_owned(), place);
        draft.stands_in = space;
        platform(mount, &mut draft);
        drafts.push(draft);
    }
}

/// A deck, and what it stands on: each spring or pad with its part of the load.
fn platform<'a>(mount: &'a Mount, draft: &mut Draft<'a>) {
    let of_mat = if let Spring::Mat(_, m2) = mount.spring { Some(m2) } else { None };
    let m2 = mount.area_m2.or(of_mat).unwrap_or(USUAL_PLATFORM_M2).clamp(0.01, 1e4);
    let wide = (m2 / LONGER).sqrt();
    let size_m = [wide, m2 / wide];
    draft.wants.push(Want::Pieces(DECK.0, DECK.1, vec![size_m; DECK_LAYERS]));
    draft.wants.push(Want::Part(Part::Screw, (DECK_SCREWS_PER_M2 * m2).ceil()));
    let places = mount.places.clamp(1.0, 1000.0).round();
    let each_kg = mount.load_kg / places;
    match mount.spring {
        Spring::SteelDeflection(_) => draft.wants.push(Want::Loaded(Part::Spring, places, each_kg)),
        Spring::RubberDeflection(..) => draft.wants.push(Want::Loaded(Part::Pad, places, each_kg)),
        Spring::Mat(_, m2) => draft.wants.push(Want::Part(Part::Mat, m2)),
        Spring::Stiffness(n_m) => {
            let what = format!("springs of {n_m:.0} N/m in all, for {each_kg:.1} kg each");
            draft.wants.push(Want::Unknown(what, places, "pieces"));
        }
    }
}

fn ducts<'a>(pair: &Pair<'a>, duct: &'a Duct, drafts: &mut Vec<Draft<'a>>) {
    let was = pair.before.scene.ducts.iter().find(|before| before.id == duct.id);
    let mut draft = Draft::new(JobKind::Air, "lay an air duct".to_owned(), duct.name.clone());
    let more_m = duct.length_m - was.filter(|was| was.section == duct.section).map_or(0.0, |was| was.length_m);
    if more_m > DUCT_M {
        draft.wants.push(Want::Bars(Part::Duct, vec![more_m]));
    }
    if duct.silencer_db.is_some() && was.is_none_or(|was| was.silencer_db != duct.silencer_db) {
        draft.wants.push(Want::Part(Part::Silencer, 1.0));
    }
    if let Some(lining) = &duct.lining
        && was.is_none_or(|was| was.lining != duct.lining)
    {
        let round_m = match duct.section {
            DuctSection::Round(mm) => std::f64::consts::PI * mm / 1000.0,
            DuctSection::Rectangular(wide_mm, high_mm) => 2.0 * (wide_mm + high_mm) / 1000.0,
        };
        draft.wants.push(Want::Finish(lining, round_m * duct.length_m));
    }
    drafts.push(draft);
}
