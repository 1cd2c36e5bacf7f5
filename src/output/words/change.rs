//! What a change did at a listener, and why it did no more.

use std::collections::BTreeMap;

use crate::acoustics::Spectrum;
use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::project::Solved;
use crate::scene::ListenerId;
use crate::solve::{Audibility, BandChoice, ListenerAnswer, PathKind, Surface};

use super::parts::{heading, level, percent_whole, series};
use crate::output::changes::{Changes, FaceChange, Fate};
use crate::output::leaks::By;
use crate::output::names::{self, Naming};

/// Below this a level is said to be as before, dB.
const SAME_DB: f64 = 0.1;
/// A face counts as changed when its own reduction differs by this in some band, dB. Changed mass nearby shifts edge losses by less.
const CHANGED_DB: f64 = 0.5;
/// A change gained what it could when the listener gets this part of it or more.
const MOST_OF_IT: f64 = 0.6;
/// Faces that change by the same within this changed for one reason, dB.
const ALIKE_DB: f64 = 0.5;
/// This part of a change has one reason: nearly all.
const MOST_ALIKE: f64 = 0.9;
/// How many changed faces are named.
const NAMED: usize = 2;

/// What a face does in one variant for one listener.
#[derive(Debug, Clone, Copy)]
struct Faced {
    face: Surface,
    /// Its own transmission, τ·S in m² or 10^(−R/10) each band.
    own: Spectrum,
    /// What enters by it, A-weighted, of what the listener hears.
    energy: f64,
    share: f64,
}

/// What a change did at a listener and why it did little or nothing, in a few sentences. Nothing when one of the two has no such listener.
///
/// "In bed: 52 dB(A) as before. The window now passes 12 dB less, but it was never the main way: 96 % came by the floor before
/// and comes by it now."
#[must_use]
pub fn change(before: &Solved, after: &Solved, listener: &ListenerId) -> Option<String> {
    let find = |heard: &&ListenerAnswer| heard.listener == *listener;
    let (was, is) = (before.answer.listeners.iter().find(find)?, after.answer.listeners.iter().find(find)?);
    let mut sentences = vec![level_change(was, is)];
    let (faces_was, faces_is) = (faces(before, was), faces(after, is));
    sentences.extend(why(before, after, was, is, &faces_was, &faces_is));
    sentences.extend(limit_change(was, is));
    Some(sentences.join(" "))
}

/// "In bed next door: 46 dB(A) instead of 53, 6.4 dB less."
fn level_change(was: &ListenerAnswer, is: &ListenerAnswer) -> String {
    let name = heading(&is.name);
    let less_db = was.la_db - is.la_db;
    match (was.la_db.is_finite(), is.la_db.is_finite()) {
        (false, false) => return format!("{name}: nothing is heard, as before."),
        (true, false) => return format!("{name}: nothing is heard any more, {} before.", level(was.la_db)),
        (false, true) => return format!("{name}: {} now, nothing before.", level(is.la_db)),
        (true, true) => {}
    }
    if less_db.abs() < SAME_DB {
        return format!("{name}: {} as before.", level(is.la_db));
    }
    let heard = match (was.audibility, is.audibility) {
        (before, now) if before == now => "",
        (_, Audibility::Inaudible) => ", and it can no longer be heard",
        (Audibility::Inaudible, _) => ", and it can now be heard",
        (_, Audibility::JustAudible) => ", and it can now just be heard",
        (_, Audibility::Clear) => ", and it is now heard clearly",
        (_, Audibility::Loud) => ", and it is now loud",
    };
    format!(
        "{name}: {:.1} dB {}, now {}{heard}.",
        less_db.abs(),
        if less_db > 0.0 { "less" } else { "more" },
        level(is.la_db)
    )
}

/// Every face of a building by its stable id and part, with what it does for a listener.
fn faces(variant: &Solved, heard: &ListenerAnswer) -> BTreeMap<(String, &'static str), Faced> {
    let mut found = BTreeMap::new();
    for face in names::faces(&variant.building) {
        let solved = face.element().and_then(|at| variant.answer.elements.get(at.0));
        let own = match face {
            Surface::Element(_) => solved.map(|solved| solved.r_db.map(|r_db| 10f64.powf(-r_db / 10.0))),
            Surface::Opening(_, at) => solved.and_then(|solved| solved.opening_tau_m2.get(at).copied()),
            Surface::Gap(_, at) => solved.and_then(|solved| solved.gap_tau_m2.get(at).copied()),
            Surface::Duct(_) | Surface::Air | Surface::Building => Some(Spectrum::ZERO),
        };
        let Some(own) = own else { continue };
        let (mut energy, mut share) = (0.0, 0.0);
        for path in heard.paths.iter().filter(|path| path.entry == face || path.exit == face) {
            energy += a_weighted_energy(&path.energy);
            share += path.share;
        }
        found.insert((names::id(&variant.building, face), names::part(face)), Faced { face, own, energy, share });
    }
    found
}

/// What was changed, and why the listener gets what they get of it.
fn why(
    before: &Solved,
    after: &Solved,
    was: &ListenerAnswer,
    is: &ListenerAnswer,
    faces_was: &BTreeMap<(String, &'static str), Faced>,
    faces_is: &BTreeMap<(String, &'static str), Faced>,
) -> Option<String> {
    let less_db = was.la_db - is.la_db;
    let changed = changed_faces(faces_was, faces_is);
    let naming = Naming::of(&after.building, is);
    let named = |face: Surface| naming.noun(&after.building, face);
    let Some(first) = changed.first() else { return Some(unbuilt(before, after, was, is)) };
    let passed_db = first.less_db;
    let alike: Vec<&Changed> =
        changed.iter().filter(|other| other.less_db.signum() == passed_db.signum()).take(NAMED).collect();
    let list: Vec<String> = alike
        .iter()
        .map(|changed| {
            // An opening comes before its gap.
            let face = changed.faces.iter().find(|face| !matches!(face, Surface::Gap(..))).unwrap_or(&changed.faces[0]);
            named(*face)
        })
        .collect();
    let several = list.len() > 1;
    let share = |of: fn(&Changed) -> f64| alike.iter().fold(0.0, |sum, changed| sum + of(changed)).min(1.0);
    let (share_was, share_is) = (share(|changed| changed.share_was), share(|changed| changed.share_is));
    let verb = match (several, passed_db > 0.0) {
        (false, true) => format!("now passes {passed_db:.0} dB less"),
        (false, false) => format!("now passes {:.0} dB more", -passed_db),
        (true, true) => format!("now pass up to {passed_db:.0} dB less"),
        (true, false) => format!("now pass up to {:.0} dB more", -passed_db),
    };
    let subject = heading(&series(&list));
    let (pronoun, was_main) = if several { ("they were", "the main ways") } else { ("it was", "the main way") };
    // The way that decides now: the strongest that was not changed.
    let other = faces_is
        .iter()
        .filter(|(_, new)| !changed.iter().any(|changed| changed.faces.contains(&new.face)))
        .filter(|(_, new)| is.paths.iter().any(|path| path.entry == new.face))
        .max_by(|a, b| entering(is, a.1.face).total_cmp(&entering(is, b.1.face)));
    let reached = if passed_db.abs() > 0.0 { less_db / passed_db } else { 1.0 };
    if reached >= MOST_OF_IT {
        let share = percent_whole(share_was);
        return Some(if share_was >= 0.5 {
            format!("{subject} {verb}: {pronoun} {was_main} ({share} before).")
        } else {
            format!("{subject} {verb}: {share} came that way before.")
        });
    }
    let Some((key, main)) = other else { return Some(format!("{subject} {verb}.")) };
    let main_name = named(main.face);
    let (now, then) = (entering(is, main.face), faces_was.get(key).map_or(0.0, |old| entering(was, old.face)));
    let both = if percent_whole(now) == percent_whole(then) {
        format!("{} came by {main_name} before and comes by it now", percent_whole(now))
    } else {
        format!("{} came by {main_name} before, {} now", percent_whole(then), percent_whole(now))
    };
    Some(if share_was < 0.5 && then > share_was {
        format!("{subject} {verb}, but {pronoun} never {was_main}: {both}.")
    } else if now > share_is {
        format!("{subject} {verb}, but other ways go on as before: {both}.")
    } else {
        format!("{subject} {verb}: {} came that way before, {} now.", percent_whole(share_was), percent_whole(share_is))
    })
}

/// What became of the listener's faces where none that sound enters or comes out by was built otherwise, from the differences the plan shows as
/// colours: a face that is new or gone, feet and pedals, the source or the rooms, a face somewhere between.
fn unbuilt(before: &Solved, after: &Solved, was: &ListenerAnswer, is: &ListenerAnswer) -> String {
    let called = |at: Option<Surface>, variant: &Solved, heard: &ListenerAnswer| {
        at.map(|face| Naming::of(&variant.building, heard).noun(&variant.building, face))
    };
    let mut all: Vec<(FaceChange, Fate)> = vec![];
    for by in [By::Entry, By::Exit] {
        let changes = Changes::of((&before.building, was), (&after.building, is), BandChoice::AWeighted, by);
        let telling = changes.faces.iter().filter_map(|face| Some((face.clone(), changes.fate(face)?)));
        all.extend(telling.filter(|(_, fate)| !matches!(fate, Fate::Changes(db) if db.abs() < CHANGED_DB)));
    }
    all.sort_by(|a, b| (b.0.after - b.0.before).abs().total_cmp(&(a.0.after - a.0.before).abs()));
    let [whole_was, whole_is] = [was, is].map(|heard| a_weighted_energy(&heard.energy));
    for (face, fate) in &all {
        if let (Fate::Goes, None, Some(name)) = (fate, face.other, called(face.base, before, was)) {
            let share = percent_whole(face.before / whole_was);
            return format!("{} is no longer there: {share} came by it.", heading(&name));
        }
        if let (Fate::Appears, None, Some(name)) = (fate, face.base, called(face.other, after, is)) {
            let share = percent_whole(face.after / whole_is);
            return format!("{} is new: {share} comes by it.", heading(&name));
        }
    }
    let struck = |heard: &ListenerAnswer| -> f64 {
        let paths = heard.paths.iter().filter(|path| path.kind == PathKind::StructureBorne);
        paths.fold(0.0, |sum, path| sum + a_weighted_energy(&path.energy))
    };
    let less_db = was.la_db - is.la_db;
    let struck_db = 10.0 * (struck(was) / struck(is)).log10();
    if struck(was) > 0.0 && struck_db > less_db.max(0.0) + CHANGED_DB {
        let share = struck(was) / whole_was;
        let how = if struck_db.is_finite() {
            format!("bring {struck_db:.0} dB less")
        } else {
            "bring nothing any more".into()
        };
        return if share < 0.5 {
            let air = percent_whole(1.0 - share);
            format!("Feet and pedals now {how}, but they were never the main way: {air} came by air.")
        } else {
            format!("Feet and pedals now {how}: they were the main way ({}).", percent_whole(share))
        };
    }
    let most = all.iter().find_map(|(face, fate)| match fate {
        Fate::Changes(db) => Some((face, *db)),
        Fate::Appears | Fate::Goes => None,
    });
    let Some((face, db)) = most else {
        return if less_db.abs() < SAME_DB {
            "Nothing on the way to here passes more or less than before.".to_owned()
        } else {
            "No face stands out: a little changes everywhere.".to_owned()
        };
    };
    // Feet and pedals may stay as they were: it is enough that the faces which bring nearly all of the change go together.
    let (mut whole, mut together) = (0.0, 0.0);
    for (face, fate) in &all {
        let change = (face.after - face.before).abs();
        whole += change;
        if matches!(fate, Fate::Changes(db) if (db + less_db).abs() < ALIKE_DB) {
            together += change;
        }
    }
    if together > MOST_ALIKE * whole {
        return "The faces change alike: what changed is the source or the rooms.".to_owned();
    }
    let name = called(face.other.or(face.base), after, is).unwrap_or_default();
    let (amount, how) = (db.abs(), if db < 0.0 { "less" } else { "more" });
    format!("Most of the change is at {name}: {amount:.1} dB {how} comes by it.")
}

/// Part of what a listener hears that enters by a face.
fn entering(heard: &ListenerAnswer, face: Surface) -> f64 {
    heard.paths.iter().filter(|path| path.entry == face).map(|path| path.share).sum()
}

/// A face that was changed in both variants, with an opening and its gap as one.
struct Changed {
    faces: Vec<Surface>,
    /// By how much less passes it to the listener, dB.
    less_db: f64,
    share_was: f64,
    share_is: f64,
}

/// The faces that were changed, the most first: those whose own transmission changed at least half as much as that of the most changed. Those
/// built against them change a little with them.
fn changed_faces(
    faces_was: &BTreeMap<(String, &'static str), Faced>,
    faces_is: &BTreeMap<(String, &'static str), Faced>,
) -> Vec<Changed> {
    let both: Vec<(&String, &Faced, &Faced)> =
        faces_was.iter().filter_map(|(key, old)| Some((&key.0, old, faces_is.get(key)?))).collect();
    let own_db = |old: &Faced, new: &Faced| {
        let all = old.own.iter().zip(new.own.iter()).map(|(old, new)| 10.0 * (old / new).log10());
        all.filter(|db| db.is_finite()).fold(0.0, |most: f64, db| most.max(db.abs()))
    };
    let most_db = both.iter().fold(0.0, |most: f64, (_, old, new)| most.max(own_db(old, new)));
    let mut groups: BTreeMap<&String, Vec<(&Faced, &Faced)>> = BTreeMap::new();
    for (id, old, new) in both {
        groups.entry(id).or_default().push((old, new));
    }
    let least_db = CHANGED_DB.max(most_db / 2.0);
    groups.retain(|_, group| group.iter().any(|(old, new)| own_db(old, new) >= least_db));
    let mut found: Vec<Changed> = groups
        .into_values()
        .map(|group| {
            let sum = |value: &dyn Fn(&(&Faced, &Faced)) -> f64| group.iter().fold(0.0, |sum, pair| sum + value(pair));
            Changed {
                faces: group.iter().map(|(_, new)| new.face).collect(),
                less_db: 10.0 * (sum(&|pair| pair.0.energy) / sum(&|pair| pair.1.energy)).log10(),
                share_was: sum(&|pair| pair.0.share).min(1.0),
                share_is: sum(&|pair| pair.1.share).min(1.0),
            }
        })
        .filter(|changed| changed.less_db.is_finite() && changed.less_db.abs() >= CHANGED_DB)
        .collect();
    found.sort_by(|a, b| b.less_db.abs().total_cmp(&a.less_db.abs()));
    found
}

/// What became of the limit, where that changed.
fn limit_change(was: &ListenerAnswer, is: &ListenerAnswer) -> Option<String> {
    let (old, new) = (was.target.as_ref()?, is.target.as_ref()?);
    if old.id != new.id {
        return None;
    }
    match (old.margin_db >= 0.0, new.margin_db >= 0.0) {
        (false, true) => Some(format!("The limit “{}” is now kept.", new.name)),
        (true, false) => Some(format!("The limit “{}” is now exceeded.", new.name)),
        (false, false) if (was.la_db - is.la_db).abs() >= SAME_DB => {
            Some(format!("The limit “{}” is still exceeded.", new.name))
        }
        _ => None,
    }
}
