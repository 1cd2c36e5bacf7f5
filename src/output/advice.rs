//! What to build first, in words and tables.

use std::fmt::Write as _;

use crate::advise::{Advice, Done, Instead, PlaceKind, Plan, STEP_DB, Step, Why};
use crate::build_list::{self, Cost};
use crate::building::SpaceIndex;
use crate::catalogue::Catalogue;
use crate::project::Solved;
use crate::scene::Scene;
use crate::solve::limits;
use crate::solve::{ListenerAnswer, Surface};

use super::text::{Column, decimal, paragraph, row, table};
use super::{checks, names, words};

/// Columns of a sentence.
const COLUMNS: usize = 96;
/// Less than this brings nobody anything, dB. Common practice, no source: about 1 dB is the least that is heard as a change of level.
const HEARD_DB: f64 = 1.0;

/// What a place is called: "door to the landing", "ceiling of the rehearsal room".
#[must_use]
pub fn place(solved: &Solved, place: &PlaceKind) -> String {
    let building = &solved.building;
    let room = |space| names::space(building, space).to_owned();
    match place {
        PlaceKind::Opening(at, number) => names::surface(building, Surface::Opening(*at, *number)),
        PlaceKind::Wall(from, elements) => {
            let name = elements.first().map(|at| names::seen_from(building, Surface::Element(*at), *from));
            let name = name.unwrap_or_default();
            // Of several loud rooms each has its outer walls.
            let several = solved.answer.spaces.iter().filter(|space| space.has_source).count() > 1;
            if several { format!("{name} of {}", words::noun(&room(*from))) } else { name }
        }
        PlaceKind::Ceiling(space) => format!("ceiling of {}", words::noun(&room(*space))),
        PlaceKind::Floor(space) => format!("floor of {}", words::noun(&room(*space))),
        PlaceKind::Under(space) => {
            let here = building.sources.iter().filter(|placed| placed.space == *space);
            let names = here.filter_map(|placed| source_name(&solved.scene, placed.source.0.as_str()));
            format!("under {}", words::series(&names.collect::<Vec<_>>()))
        }
        PlaceKind::Room(space) => room(*space),
    }
}

fn source_name(scene: &Scene, id: &str) -> Option<String> {
    let source = scene.sources.iter().find(|source| source.id.0 == id && source.playing)?;
    Some(words::noun(&source.name))
}

/// Money: "1,240", with its currency where one is named.
#[must_use]
pub fn money(amount: f64, currency: &str) -> String {
    let whole = format!("{:.0}", amount.abs());
    let mut grouped = String::new();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    if currency.is_empty() { grouped } else { format!("{grouped} {currency}") }
}

/// What something costs, with the range: "1,240 (900 to 1,700)".
#[must_use]
pub fn price(cost: &Cost, currency: &str) -> String {
    let range = [cost.low, cost.high].map(|amount| money(amount, ""));
    format!("{} ({} to {})", money(cost.likely, currency), range[0], range[1])
}

/// Everything, for a terminal.
#[must_use]
pub fn text(advice: &Advice) -> String {
    let base = &advice.base;
    let title = format!("What to build first: {}", base.scene.name);
    let mut out = format!("{title}\n{}\n\n", "=".repeat(title.chars().count()));
    for line in head(advice) {
        out += &paragraph("", &line, COLUMNS);
    }
    if !advice.plan.done.is_empty() {
        let _ = write!(out, "\nIn this order\n{}", step_table(advice));
        out += &paragraph("", &totals(advice, &advice.plan), COLUMNS);
        section(&mut out, "What that is", in_full(advice));
    }
    let _ = write!(out, "\nWhat everyone hears then, dB(A)\n{}", listeners(advice));
    section(&mut out, "Or without so much building", instead(advice));
    section(&mut out, "Not chosen", others(advice));
    section(&mut out, "Not to be done", refused(advice));
    let _ = write!(out, "\nWhat more money buys\n{}", frontier(advice));
    section(&mut out, "How sure this is", proof(advice));
    section(&mut out, checks::CHECK, cautions(advice));
    out
}

fn section(out: &mut String, heading: &str, lines: Vec<String>) {
    if !lines.is_empty() {
        let lines: String = lines.iter().map(|line| paragraph("  - ", line, COLUMNS)).collect();
        let _ = write!(out, "\n{heading}\n{lines}");
    }
}

/// The currency of its prices; empty where none is named.
#[must_use]
pub fn currency(advice: &Advice) -> &str {
    &advice.base.scene.prices.currency
}

/// How sure limits are to be kept: "a chance of 80 %".
#[must_use]
pub fn chance(advice: &Advice) -> String {
    format!("a chance of {:.0} %", 100.0 * advice.ask.confidence)
}

/// The answer in a few sentences.
#[must_use]
pub fn head(advice: &Advice) -> Vec<String> {
    let plan = &advice.plan;
    let sure = chance(advice);
    let mut lines = vec![];
    if advice.now_db >= 0.0 {
        lines.push(format!("All limits are kept already, with {sure} or more. Nothing has to be built."));
        return lines;
    }
    let (who, over_db) = worst(advice, &advice.base);
    lines.push(match over_db < 0.0 {
        true => format!("As it is: {who}, {:.0} dB over the limit.", -over_db),
        false => format!("As it is: {who}, {over_db:.0} dB under the limit. That is too little for {sure}."),
    });
    let cost = price(&plan.cost, currency(advice));
    let one = if plan.done.len() == 1 { "this one measure" } else { "these measures" };
    let count = if plan.done.len() == 1 { String::new() } else { format!("{} measures for ", plan.done.len()) };
    let complete = advice.proof.complete;
    let cheaper =
        if complete { " Nothing cheaper does it." } else { " Something cheaper may do it: the search was stopped." };
    lines.push(if plan.reaches() {
        format!("All limits are kept with {sure} by {one}, for {cost}.{cheaper}")
    } else if plan.done.is_empty() {
        match advice.ask.budget {
            Some(budget) => format!("Nothing that fits brings anything for {}.", money(budget, currency(advice))),
            None => "Nothing that fits here brings anything.".to_owned(),
        }
    } else {
        let within = advice.ask.budget.map_or_else(
            || {
                format!(
                    "{} keeps all limits",
                    if complete { "No set of measures known here" } else { "No set that was found" }
                )
            },
            |budget| format!("Nothing for {} keeps all limits", money(budget, currency(advice))),
        );
        format!(
            "{within} with {sure}. The best there is, to within {} dB, takes {count}{cost} and leaves {} to go.",
            2.0 * STEP_DB,
            to_go(plan)
        )
    });
    if !plan.reaches()
        && let Some(reaching) = advice.frontier.iter().find(|plan| plan.reaches())
    {
        let cost = price(&reaching.cost, currency(advice));
        lines.push(format!("{} measures for {cost} would keep all limits.", reaching.done.len()));
    }
    lines.push("Prices are invented placeholders: put your own into the scene. All levels are estimates.".to_owned());
    lines
}

/// How much is missing, in whole decibels.
fn to_go(plan: &Plan) -> String {
    if plan.kept_db > -1.0 { "less than 1 dB".to_owned() } else { format!("{:.0} dB", -plan.kept_db) }
}

/// Who keeps their limit least, with its margin, dB.
fn worst(advice: &Advice, solved: &Solved) -> (String, f64) {
    let held = held(advice, solved);
    let least = held.into_iter().filter_map(|heard| Some((heard, heard.target.as_ref()?.margin_db)));
    let least = least.min_by(|one, other| one.1.total_cmp(&other.1));
    least.map_or((String::new(), 0.0), |(heard, margin_db)| (heard.name.clone(), margin_db))
}

fn held<'a>(advice: &Advice, solved: &'a Solved) -> Vec<&'a ListenerAnswer> {
    advice.held.iter().filter_map(|at| solved.answer.listeners.get(*at)).collect()
}

/// A step of the work, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepLine {
    /// Where, and what.
    pub what: String,
    /// What it costs.
    pub cost: String,
    /// What it brings after the steps before it.
    pub now: String,
    /// What it would bring done first.
    pub first: String,
    /// What all the others come to without it.
    pub left_out: String,
    /// For whom that is told.
    pub listener: String,
}

/// The steps in their order.
#[must_use]
pub fn steps(advice: &Advice) -> Vec<StepLine> {
    let line = |step: &Step| {
        let done = advice.plan.done.get(step.done)?;
        let listener = advice.held.get(step.listener).and_then(|at| advice.base.answer.listeners.get(*at));
        Some(StepLine {
            what: measure(advice, done),
            cost: money(done.effect.cost.likely, ""),
            now: gain(step.now_db),
            first: gain(step.first_db),
            left_out: format!("{} dB", signed(step.left_out_db)),
            listener: listener.map_or_else(String::new, |heard| heard.name.clone()),
        })
    };
    advice.steps.iter().filter_map(line).collect()
}

/// A measure with its place: "Door to the landing: seals all round".
#[must_use]
pub fn measure(advice: &Advice, done: &Done) -> String {
    format!("{}: {}", words::heading(&place(&advice.base, &done.place)), done.choice.measure.short)
}

/// What the gains of steps are.
pub const GAINS: &str = "gains now: after the steps before it; done first: by itself; left out: what all the others without it come to. \
                         Told is the one whose limit is kept least at that step.";

fn step_table(advice: &Advice) -> String {
    let mut rows = vec![row(["", "", "cost", "gains now", "done first", "left out", "for"])];
    for (number, step) in steps(advice).into_iter().enumerate() {
        let StepLine { what, cost, now, first, left_out, listener } = step;
        rows.push(vec![format!("{}.", number + 1), what, cost, now, first, left_out, listener]);
    }
    let columns = [
        Column::NUMBERS,
        Column::WORDS.after(1),
        Column::NUMBERS,
        Column::NUMBERS,
        Column::NUMBERS,
        Column::NUMBERS,
        Column::WORDS,
    ];
    table(&columns, &rows) + &paragraph("  ", GAINS, COLUMNS)
}

fn gain(db: f64) -> String {
    format!("{} dB", decimal(db))
}

fn signed(db: f64) -> String {
    if db >= 0.05 { format!("+{}", decimal(db)) } else { decimal(db) }
}

/// What is done, in full.
#[must_use]
pub fn in_full(advice: &Advice) -> Vec<String> {
    let line =
        |done: &Done| format!("{}: {}.", words::heading(&place(&advice.base, &done.place)), done.choice.measure.name);
    advice.steps.iter().filter_map(|step| advice.plan.done.get(step.done)).map(line).collect()
}

/// How a plan keeps the limits: "all limits kept with a chance of 80 %, 2.3 dB to spare".
#[must_use]
pub fn kept(advice: &Advice, plan: &Plan) -> String {
    let sure = chance(advice);
    if plan.reaches() {
        format!("all limits kept with {sure}, {} dB to spare", decimal(plan.kept_db))
    } else {
        format!("{} dB short of all limits with {sure}", decimal(-plan.kept_db))
    }
}

/// What a plan takes in all.
#[must_use]
pub fn totals(advice: &Advice, plan: &Plan) -> String {
    let mut line = format!("In all {}, {:.0} hours of work", price(&plan.cost, currency(advice)), plan.cost.hours);
    if plan.floor_kg_m2 >= 0.5 {
        let _ = write!(line, ", {:.0} kg/m² more on the old floor", plan.floor_kg_m2);
    }
    if plan.piece_kg >= 0.5 {
        let _ = write!(line, ", no piece over {:.0} kg", plan.piece_kg.ceil());
    }
    line.push('.');
    // What stands before walls makes floors and ceilings smaller.
    if let Some(solved) = &plan.solved {
        let listed = build_list::cost(&*advice.base, &**solved).likely;
        if (listed - plan.cost.likely).abs() > 0.005 * plan.cost.likely {
            let _ = write!(line, " Built all together it comes to {}.", money(listed, currency(advice)));
        }
    }
    line
}

fn listeners(advice: &Advice) -> String {
    let mut rows = vec![row(["", "now", "then", "limit kept by", "chance"])];
    let after = advice.plan.solved.as_deref().unwrap_or(&advice.base);
    for (before, then) in held(advice, &advice.base).into_iter().zip(held(advice, after)) {
        let Some(target) = &then.target else { continue };
        rows.push(vec![
            then.name.clone(),
            decimal(before.la_db),
            format!("{} ± {}", decimal(then.la_db), decimal(then.uncertainty_db)),
            format!("{} dB", decimal(target.margin_db)),
            format!("{:.0} %", 100.0 * target.probability),
        ]);
    }
    table(&[Column::WORDS, Column::NUMBERS], &rows)
}

/// What asks something else than building.
#[must_use]
pub fn instead(advice: &Advice) -> Vec<String> {
    let line = |instead: &Instead| {
        let measure = if instead.room.is_empty() {
            instead.measure.name.clone()
        } else {
            format!("{} ({})", instead.measure.name, instead.room)
        };
        let plan = &instead.plan;
        let rest = match (plan.reaches(), plan.done.is_empty()) {
            (true, true) => "then nothing has to be built".to_owned(),
            (true, false) => {
                let places: Vec<String> =
                    plan.done.iter().map(|done| words::noun(&place(&advice.base, &done.place))).collect();
                let what = if places.len() <= 4 { format!(" ({})", words::series(&places)) } else { String::new() };
                format!("then {} is enough{what}", price(&plan.cost, currency(advice)))
            }
            (false, true) => format!("that leaves {} to go, and building brings no more", to_go(plan)),
            (false, false) => {
                format!("that leaves {} to go, with {}", to_go(plan), price(&plan.cost, currency(advice)))
            }
        };
        let stopped = if instead.complete { "" } else { " The search was stopped: less may do." };
        format!("{}: {rest}.{stopped}", words::heading(&measure))
    };
    advice.instead.iter().map(line).collect()
}

/// What was not chosen and why, a line each.
#[must_use]
pub fn others(advice: &Advice) -> Vec<String> {
    let after = advice.plan.solved.as_deref().unwrap_or(&advice.base);
    let who = worst(advice, after).0;
    let (mut little, mut no_better, mut barred, mut lines) = (vec![], vec![], vec![], vec![]);
    for other in &advice.others {
        let what = format!("{}: {}", place(&advice.base, &other.place), other.choice.measure.short);
        let cost = money(other.effect.cost.likely, currency(advice));
        let Some(besides_db) = other.besides_db else {
            barred.push(what);
            continue;
        };
        let (first, besides) = (decimal(other.first_db.max(0.0)), decimal(besides_db.max(0.0)));
        let why = if other.replaced && besides_db >= HEARD_DB {
            format!("{besides} dB more than what is chosen there, for {cost}")
        } else if other.replaced {
            no_better.push(what);
            continue;
        } else if besides_db >= HEARD_DB {
            let both = advice.plan.cost.likely + other.effect.cost.likely;
            let enough = match advice.ask.budget {
                _ if advice.plan.reaches() => "not needed",
                Some(budget) if both > budget => "more than the budget",
                _ => "it brings the limits no nearer than less does",
            };
            format!("{besides} dB more, for {cost}: {enough}")
        } else if other.first_db >= HEARD_DB {
            format!("{first} dB by itself, {besides} dB beside the others")
        } else {
            little.push(format!("{what} ({first} dB)"));
            continue;
        };
        lines.push(format!("{}: {why}.", words::heading(&what)));
    }
    if !no_better.is_empty() {
        lines.push(format!("No better than what is chosen there: {}.", no_better.join("; ")));
    }
    if !little.is_empty() {
        lines.push(format!("Less than {HEARD_DB:.0} dB, since other ways decide: {}.", little.join("; ")));
    }
    if !barred.is_empty() {
        let why = "What the floor carries, headroom and ways out do not allow beside the others";
        lines.push(format!("{why}: {}.", barred.join("; ")));
    }
    if !lines.is_empty() && !who.is_empty() {
        lines.push(format!("Gains are told for one: {who}, where the limit is kept least then."));
    }
    lines
}

/// What fits but may not be done: places of one measure and one reason together.
#[must_use]
pub fn refused(advice: &Advice) -> Vec<String> {
    let mut groups: Vec<(&str, String, Vec<String>)> = vec![];
    for refusal in &advice.refused {
        let (measure, why) = (refusal.choice.measure.short.as_str(), why(advice, &refusal.why));
        let place = place(&advice.base, &refusal.place);
        match groups.iter_mut().find(|(known, reason, _)| *known == measure && *reason == why) {
            Some((.., places)) => places.push(place),
            None => groups.push((measure, why, vec![place])),
        }
    }
    let line = |(measure, why, places): (&str, String, Vec<String>)| {
        format!("{} ({}). {why}", words::heading(measure), words::series(&places))
    };
    groups.into_iter().map(line).chain(last_ways_out(advice)).collect()
}

/// Rooms where what is advised closes all ways into the open but one, which is why it leaves that.
fn last_ways_out(advice: &Advice) -> impl Iterator<Item = String> + '_ {
    let after = advice.plan.solved.as_deref().unwrap_or(&advice.base);
    let left = |solved: &Solved, space: SpaceIndex| {
        limits::open(&solved.scene, Catalogue::built_in_ref(), &solved.building, &solved.answer, space)
            .map_or(0, |open| open.ways_out)
    };
    let spaces = (0..advice.base.building.spaces.len()).map(SpaceIndex);
    spaces.filter(move |space| left(after, *space) == 1 && left(&advice.base, *space) > 1).map(|space| {
        let room = words::noun(names::space(&advice.base.building, space));
        format!(
            "Covers before all ways out of {room}: one window or door into the open stays free, to leave by in a fire. Ask a fire officer."
        )
    })
}

/// Why something may not be done, as a sentence.
#[must_use]
pub fn why(advice: &Advice, why: &Why) -> String {
    match why {
        Why::Limit(check) => checks::one(&advice.base, check),
        Why::Heavy(kg, most_kg) => {
            format!("One piece weighs {:.0} kg, more than the {most_kg:.0} kg that can be lifted.", kg.ceil())
        }
        Why::Unbuilt(sentence) => words::heading(sentence),
    }
}

fn frontier(advice: &Advice) -> String {
    let mut rows = vec![row(["cost", "limits kept by", "measures"])];
    // Steps of a decibel are enough to read.
    let mut last_db = f64::NEG_INFINITY;
    let end = advice.frontier.len().saturating_sub(1);
    for (at, plan) in advice.frontier.iter().enumerate() {
        if plan.kept_db < last_db + 1.0 && at != end {
            continue;
        }
        last_db = plan.kept_db;
        let (cost, kept) = (money(plan.cost.likely, ""), format!("{} dB", decimal(plan.kept_db)));
        rows.push(vec![cost, kept, plan.done.len().to_string()]);
    }
    let columns = [Column::NUMBERS, Column::NUMBERS, Column::NUMBERS];
    let with = format!("kept by: with {}, for the one who keeps least.", chance(advice));
    table(&columns, &rows) + &paragraph("  ", &with, COLUMNS)
}

/// How sure it is.
#[must_use]
pub fn proof(advice: &Advice) -> Vec<String> {
    let proof = &advice.proof;
    let sets = if proof.sets < 1e6 { money(proof.sets, "") } else { format!("{:.0e}", proof.sets) };
    let mut lines = vec![format!(
        "{} places with {} choices make {sets} sets of measures. {} partial ones were looked at; bounds shut out all others.",
        proof.places,
        proof.choices,
        money(proof.looked_at as f64, "")
    )];
    lines.push(if proof.complete {
        let further = match (advice.plan.reaches(), advice.ask.budget) {
            (true, _) => String::new(),
            (false, None) => format!(", and none does {} dB more", 2.0 * STEP_DB),
            (false, Some(_)) => format!(", and none for that money does {} dB more", 2.0 * STEP_DB),
        };
        let sure = if advice.plan.reaches() { "" } else { ", each taken as sure as this one" };
        format!("So no cheaper set of these measures does as much{further}, by the sums of this model{sure}.")
    } else {
        let least = money(proof.at_least, currency(advice));
        format!("The search was stopped: a cheaper set may be there, but none under {least}.")
    });
    let corrected = if proof.error_db > 0.3 { ", which were corrected by that" } else { "" };
    lines.push(format!("The set was solved in full: {} dB from the sums at most{corrected}.", decimal(proof.error_db)));
    lines
}

/// The cautions of what is done, each once.
#[must_use]
pub fn cautions(advice: &Advice) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    for done in &advice.plan.done {
        let caution = &done.choice.measure.caution;
        if !caution.is_empty() && !lines.contains(caution) {
            lines.push(caution.clone());
        }
    }
    if let Some(solved) = &advice.plan.solved {
        lines.extend(checks::lines(solved).into_iter().map(|line| line.text));
    }
    lines
}
