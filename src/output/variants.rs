//! A table of what is drawn and what its variants would make of it: what one listener gets, who is worst off, and what it takes.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Serialize;

use crate::build_list;
use crate::building::{Building, ElementShape, RoomSpace, SlabRole, SpaceKind};
use crate::project::Solved;
use crate::scene::{ListenerId, RoomId};
use crate::solve::ListenerAnswer;

use super::json::{JSON_FORMAT, list, object, pretty, rounded};
use super::text::{Column, decimal, paragraph, table as lines};
use super::{advice, words};

/// A change of height below this is none, m.
const SAME_M: f64 = 1e-4;
/// Weights and areas below these are none, kg and m².
const SAME: f64 = 0.005;

/// How a level stands to the limit of its listener.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    /// Limit minus level, dB: negative when it is broken.
    pub margin_db: f64,
    /// Probability that it is kept, 0 to 1.
    pub probability: f64,
}

/// One build in the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What it is called: the variant's name, or [`AS_DRAWN`].
    pub name: String,
    /// A-weighted level at the chosen listener, dB; nothing where the build has no such listener.
    pub level_db: Option<f64>,
    /// The same less that of what is drawn, dB; nothing where there is no such listener, or nothing is heard.
    pub change_db: Option<f64>,
    /// How the chosen listener's limit is kept; nothing where there is none.
    pub kept: Option<Kept>,
    /// Of all listeners with a limit the one with the least margin: name, and how theirs is kept.
    pub worst: Option<(String, Kept)>,
    /// Weight added on the floors and to them, kg: what inner shells stand there, and by how much the slabs themselves are heavier.
    pub added_kg: f64,
    /// The most of it on a square metre of any floor, kg/m².
    pub added_kg_m2: f64,
    /// Clear floor area that the rooms lose, m²; negative where they gain.
    pub lost_m2: f64,
    /// Least clear height of the rooms where something plays, and of those this build makes lower, m; nothing where nothing plays.
    pub headroom_m: Option<f64>,
    /// What it costs, with its range and currency; nothing for what is drawn.
    pub cost: Option<String>,
}

/// What the row of the base is called.
pub const AS_DRAWN: &str = "As drawn";

/// The row of what is drawn, then one for each other build of it, for a listener.
#[must_use]
pub fn table(base: &Solved, others: &[(&str, &Solved)], listener: &ListenerId) -> Vec<Row> {
    let first = Row::of(AS_DRAWN, base, base, listener);
    std::iter::once(first).chain(others.iter().map(|(name, other)| Row::of(name, base, other, listener))).collect()
}

impl Row {
    /// A build beside what is drawn.
    #[must_use]
    pub fn of(name: &str, base: &Solved, build: &Solved, listener: &ListenerId) -> Self {
        let find = |solved: &Solved| solved.answer.listeners.iter().position(|heard| heard.listener == *listener);
        let heard = |solved| find(solved).map(|at| &solved.answer.listeners[at]);
        let (before, after) = (heard(base), heard(build));
        let level_db = after.map(|heard| heard.la_db);
        let change_db = before.zip(level_db).map(|(before, level_db)| level_db - before.la_db);
        let with_limit = build.answer.listeners.iter().filter_map(|heard| Some((heard, kept(heard)?)));
        let worst = with_limit.min_by(|(_, a), (_, b)| a.margin_db.total_cmp(&b.margin_db));
        let (added_kg, added_kg_m2) = added(base, build);
        Self {
            name: name.to_owned(),
            level_db,
            change_db: change_db.filter(|db| db.is_finite()),
            kept: after.and_then(kept),
            worst: worst.map(|(heard, kept)| (words::heading(&heard.name), kept)),
            added_kg,
            added_kg_m2,
            lost_m2: lost_m2(&base.building, &build.building),
            headroom_m: headroom_m(&base.building, build),
            cost: (!std::ptr::eq(base, build)).then(|| {
                let cost = build_list::cost(base, build);
                advice::price(&cost, &build.scene.prices.currency)
            }),
        }
    }
}

fn kept(heard: &ListenerAnswer) -> Option<Kept> {
    heard.target.as_ref().map(|target| Kept { margin_db: target.margin_db, probability: target.probability })
}

/// The rooms of a building by their markers.
fn rooms(building: &Building) -> BTreeMap<&RoomId, &RoomSpace> {
    let rooms = building.spaces.iter().filter_map(|space| match &space.kind {
        SpaceKind::Room(room) => Some((&room.room, room)),
        _ => None,
    });
    rooms.collect()
}

/// What each slab that carries a room weighs, kg/m², and what an inner shell has standing on it, kg/m²; by its id, with its area, m².
fn slabs(solved: &Solved) -> BTreeMap<&str, (f64, f64, f64)> {
    let elements = solved.building.elements.iter().zip(&solved.answer.elements);
    let slabs = elements.filter_map(|(element, answer)| match &element.shape {
        ElementShape::Slab { role, .. } if *role != SlabRole::Roof => {
            let shell = solved.answer.shells.iter().find(|shell| shell.space == element.sides[0]);
            let stands = shell.map_or(0.0, |shell| shell.on_floor_kg_m2());
            Some((element.id.as_str(), (answer.mass_per_area_kg_m2, stands, element.area_m2)))
        }
        _ => None,
    });
    slabs.collect()
}

/// Weight added on the floors and to them, kg, and the most on a square metre, kg/m². Slabs that only one of the builds has are not compared.
fn added(base: &Solved, build: &Solved) -> (f64, f64) {
    let before = slabs(base);
    let stands = |solved: &Solved| solved.answer.shells.iter().map(|shell| shell.on_floor_kg).sum::<f64>();
    let (mut all_kg, mut most) = (stands(build) - stands(base), 0.0_f64);
    for (id, (own, stands, area_m2)) in slabs(build) {
        if let Some((own_before, stands_before, _)) = before.get(id) {
            all_kg += (own - own_before) * area_m2;
            most = most.max(own + stands - own_before - stands_before);
        }
    }
    (if all_kg.abs() < SAME { 0.0 } else { all_kg }, if most < SAME { 0.0 } else { most })
}

fn lost_m2(base: &Building, build: &Building) -> f64 {
    let after = rooms(build);
    let lost = rooms(base).into_iter().filter_map(|(id, room)| Some(room.area_m2 - after.get(id)?.area_m2));
    let lost: f64 = lost.sum();
    if lost.abs() < SAME { 0.0 } else { lost }
}

fn headroom_m(base: &Building, build: &Solved) -> Option<f64> {
    let before = rooms(base);
    let spaces = build.building.spaces.iter().zip(&build.answer.spaces);
    let told = spaces.filter_map(|(space, answer)| match &space.kind {
        SpaceKind::Room(room) => {
            let lower = before.get(&room.room).is_some_and(|before| room.height_m < before.height_m - SAME_M);
            (answer.has_source || lower).then_some(room.height_m)
        }
        _ => None,
    });
    told.min_by(f64::total_cmp)
}

/// A margin with its sign: "+3.2", "-12.0".
#[must_use]
pub fn signed(db: f64) -> String {
    let tenths = (10.0 * db).round() / 10.0;
    if tenths == 0.0 { "0.0".to_owned() } else { format!("{tenths:+.1}") }
}

/// How probable it is that a limit is kept: no whole per cent where nobody would bet against it.
#[must_use]
pub fn chance(probability: f64) -> String {
    match probability {
        p if p < 0.01 => "< 1 %".to_owned(),
        p if p > 0.99 => "> 99 %".to_owned(),
        p => format!("{:.0} %", 100.0 * p),
    }
}

/// What the table's columns mean, a sentence or two.
pub const MEANING: &str = "Margin: how far the level stays below the limit of the listener; chance: that the limit is kept. Worst: of all \
    listeners with a limit the one with the least margin. Added: weight on the floors and of the floors themselves. Lost: floor area of the rooms. \
    Headroom: the least where something plays, or where it became less.";

/// The table for a terminal.
#[must_use]
pub fn text(rows: &[Row]) -> String {
    let [words, numbers] = [Column::WORDS, Column::NUMBERS];
    let priced = rows.iter().any(|row| row.cost.is_some());
    let mut columns = vec![words];
    columns.extend([numbers; 9]);
    columns.extend(priced.then_some(numbers));
    columns.push(words.after(3));
    let headings = ["", "dB(A)", "change", "margin", "chance", "added kg", "kg/m²", "lost m²", "headroom m", "worst"];
    let mut head: Vec<String> = headings.map(str::to_owned).into();
    head.extend(priced.then(|| "cost".to_owned()));
    head.push("which is".to_owned());
    let mut cells = vec![head];
    for row in rows {
        let none = || "–".to_owned();
        let kept =
            |kept: Option<Kept>| kept.map_or([none(), none()], |it| [signed(it.margin_db), chance(it.probability)]);
        let [margin, chance] = kept(row.kept);
        let [worst, worst_chance] = kept(row.worst.as_ref().map(|(_, kept)| *kept));
        let mut line = vec![
            row.name.clone(),
            row.level_db.map_or_else(none, decimal),
            row.change_db.map_or_else(none, signed),
            margin,
            chance,
            format!("{:.0}", row.added_kg),
            format!("{:.0}", row.added_kg_m2),
            decimal(row.lost_m2),
            row.headroom_m.map_or_else(none, |height_m| format!("{height_m:.2}")),
            worst,
        ];
        line.extend(priced.then(|| row.cost.clone().unwrap_or_else(none)));
        line.push(row.worst.as_ref().map_or_else(none, |(name, _)| format!("{name}, {worst_chance}")));
        cells.push(line);
    }
    let mut out = lines(&columns, &cells);
    let _ = write!(out, "\n{}", paragraph("", MEANING, 100));
    out + "Levels are estimates; the difference between two builds of one building is surer than either.\n"
}

/// The table as JSON, spread over lines.
#[must_use]
pub fn json(base: &Solved, rows: &[Row], listener: &ListenerId) -> String {
    pretty(&object! {
        format: JSON_FORMAT,
        scene: &base.scene.name,
        listener: &listener.0,
        variants: list(rows, variant),
    })
}

fn variant(row: &Row) -> impl Serialize + use<> {
    let state = |kept: &Kept| object! { margin_db: rounded(kept.margin_db), probability: kept.probability };
    object! {
        name: row.name.clone(),
        level_a_db: row.level_db.and_then(rounded),
        change_db: row.change_db.and_then(rounded),
        target: row.kept.as_ref().map(state),
        worst: row.worst.as_ref().map(|(name, kept)| object! { name: name.clone(), target: state(kept) }),
        added_kg: rounded(row.added_kg),
        added_kg_m2: rounded(row.added_kg_m2),
        lost_m2: rounded(row.lost_m2),
        headroom_m: row.headroom_m.and_then(rounded),
        cost: row.cost.clone(),
    }
}
