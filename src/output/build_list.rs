//! The build list as a table for a terminal, as CSV and as JSON.

use std::fmt::Write as _;

use serde_json::{Value, json};

use crate::build_list::cutting::CutSheet;
use crate::build_list::{BuildList, Cost, Job, JobKind, Line, Piece};
use crate::catalogue::goods::Who;
use crate::scene::Prices;
use crate::solve::Handling;
use crate::solve::shell::DWELLING_FLOOR_KG_M2;

use super::cutting_plan::{heading, patterns};
use super::table::field;
use super::text::{Column, paragraph, row, table};
use super::words;

/// Columns of a sentence.
const COLUMNS: usize = 96;
/// What every list says of its prices.
const INVENTED: &str = "All prices and hours are invented placeholders where the scene gives none of its own (`prices`). Quantities are estimates: count again on site before buying.";

/// Everything, `from` and `to` naming both scenes.
#[must_use]
pub fn text(list: &BuildList, from: &str, to: &str) -> String {
    let mut out = format!("Build list\n==========\n\nFrom: {from}\nTo:   {to}\n\n");
    if list.jobs.is_empty() {
        out.push_str("There is nothing to buy or build.\n");
        taken_out(&mut out, list);
        return out;
    }
    summary(&mut out, list);
    order(&mut out, list);
    for (at, job) in list.jobs.iter().enumerate() {
        out.push_str(&self::job(job, at + 1, &list.prices));
    }
    together(&mut out, list);
    sheets(&mut out, list);
    taken_out(&mut out, list);
    let _ = writeln!(out, "\nCheck before building");
    for caution in cautions(list) {
        out.push_str(&paragraph("  - ", &caution, COLUMNS));
    }
    out
}

/// All cautions of all jobs, each once.
#[must_use]
pub fn cautions(list: &BuildList) -> Vec<String> {
    let mut all: Vec<String> = vec![];
    for caution in list.jobs.iter().flat_map(|job| &job.cautions) {
        if !all.contains(caution) {
            all.push(caution.clone());
        }
    }
    all
}

fn summary(out: &mut String, list: &BuildList) {
    let (cost, prices) = (list.cost, &list.prices);
    let mut say = |text: String| out.push_str(&paragraph("", &text, COLUMNS));
    let jobs = if list.jobs.len() == 1 { "One job".to_owned() } else { format!("{} jobs", list.jobs.len()) };
    say(format!("{jobs}. Goods: {}. Work: about {}.", likely(cost, prices), hours(cost.hours)));
    if prices.labour_per_h > 0.0 {
        let with = cost.with_labour(prices.labour_per_h);
        let each = money(prices.labour_per_h, prices);
        say(format!("With the work at {each} an hour: {}.", likely(with, prices)));
    }
    match cost.unpriced {
        0 => {}
        1 => say("One thing has no price: all of it costs more than this.".to_owned()),
        count => say(format!("{count} things have no price: all of it costs more than this.")),
    }
    let saved = cost.likely - list.together.likely;
    if saved > 0.5 {
        let saved = money(saved, prices);
        say(format!(
            "Each job buys whole sheets and packs for itself. Bought and cut all together it is likely {saved} less."
        ));
    }
    say(format!("About {:.0} kg are built in.", list.kg));
    for floor in &list.floors {
        let kg_m2 = floor.kg / floor.area_m2;
        let part = 100.0 * kg_m2 / DWELLING_FLOOR_KG_M2;
        say(format!(
            "{:.0} kg of it stand on the old floor of {}: {kg_m2:.0} kg/m². That is {part:.0} % of what floors of dwellings are designed to carry in all.",
            floor.kg, floor.name
        ));
    }
    if let Some(piece) = list.jobs.iter().flat_map(|job| &job.pieces).max_by(|a, b| a.kg.total_cmp(&b.kg)) {
        say(format!("The heaviest piece is {}, {:.0} kg: {}.", piece.name, piece.kg, lifts(piece.handling)));
    }
    say(INVENTED.to_owned());
}

fn order(out: &mut String, list: &BuildList) {
    out.push_str("\nOrder of work\n");
    let mut rows = vec![row(["", "job", "where", "likely", "hours", "kg", "who"])];
    for (at, job) in list.jobs.iter().enumerate() {
        let unknown = if job.cost.unpriced > 0 { "+?" } else { "" };
        rows.push(vec![
            (at + 1).to_string(),
            short(&words::heading(&job.title), 40),
            short(&job.place, 44),
            format!("{:.0}{unknown}", job.cost.likely),
            format!("{:.1}", job.cost.hours),
            format!("{:.0}", job.kg),
            who(job.who).to_owned(),
        ]);
    }
    let numbers = Column::NUMBERS;
    out.push_str(&table(&[numbers, Column::WORDS, Column::WORDS, numbers, numbers, numbers, Column::WORDS], &rows));
}

fn job(job: &Job, number: usize, prices: &Prices) -> String {
    let head = format!("{number}. {}", words::heading(&job.title));
    let mut out = format!("\n{head}\n{}\n", "-".repeat(head.chars().count()));
    out.push_str(&paragraph("  ", &words::heading(&job.place), COLUMNS));
    out.push_str(&lines(&job.goods, prices));
    if !job.pieces.is_empty() {
        out.push_str(&carried(&job.pieces));
    }
    out.push_str(&paragraph("  steps  ", &format!("{}.", job.steps.join("; ")), COLUMNS));
    out.push_str(&paragraph("  tools  ", &format!("{}.", job.tools.join(", ")), COLUMNS));
    let removable = if job.removable { "It comes out again." } else { "It stays." };
    out.push_str(&paragraph("  who    ", &format!("{}. {removable}", words::heading(who(job.who))), COLUMNS));
    out
}

/// Every piece with its weight and who lifts it.
fn carried(pieces: &[Piece]) -> String {
    let mut rows = vec![row(["to carry", "", "mm", "kg", ""])];
    for Piece { name, size_mm: [wide, high], count, kg, handling } in pieces {
        rows.push(vec![
            short(name, 48),
            format!("{count} ×"),
            format!("{wide} × {high}"),
            format!("{kg:.1}"),
            lifts(*handling).to_owned(),
        ]);
    }
    table(&[Column::WORDS, Column::NUMBERS, Column::NUMBERS, Column::NUMBERS, Column::WORDS], &rows)
}

fn lines(goods: &[Line], prices: &Prices) -> String {
    let currency = if prices.currency.is_empty() { String::new() } else { format!(", {}", prices.currency) };
    let mut rows = vec![headings(["what", "needed", "", "buy", "", "low", "likely", &format!("high{currency}")])];
    for line in goods {
        let cost = match line.cost {
            Some(cost) => cost.map(|price| format!("{price:.0}")),
            None => ["price".to_owned(), "unknown".to_owned(), String::new()],
        };
        let [low, likely, high] = cost;
        let bought =
            if line.bought.fract() == 0.0 { format!("{:.0}", line.bought) } else { format!("{:.2}", line.bought) };
        rows.push(vec![
            short(&line.name, 48),
            amount(line.needed),
            if line.needed == 1.0 { line.measure.trim_end_matches('s').to_owned() } else { line.measure.to_owned() },
            bought,
            plural(&line.unit, line.bought),
            low,
            likely,
            high,
        ]);
    }
    let (words, numbers) = (Column::WORDS, Column::NUMBERS);
    table(&[words, numbers, words.after(1), numbers, words.after(1), numbers, numbers, numbers], &rows)
}

fn headings(names: [&str; 8]) -> Vec<String> {
    row(names)
}

fn together(out: &mut String, list: &BuildList) {
    out.push_str("\nShopping list, all jobs together\n");
    out.push_str(&lines(&list.goods, &list.prices));
    let _ = writeln!(out, "  In all {}.", likely(list.together, &list.prices));
}

fn sheets(out: &mut String, list: &BuildList) {
    if list.cuts.is_empty() {
        return;
    }
    out.push_str("\nSheets, cut for all jobs together, mm\n");
    for cut in &list.cuts {
        let _ = writeln!(out, "  {}", heading(cut));
        for pattern in patterns(cut) {
            out.push_str(&paragraph(
                &format!("  {:>3} × ", pattern.count),
                &pieces(&pattern.sheet, cut.sheet_mm),
                COLUMNS,
            ));
        }
    }
}

/// The pieces of a sheet, equal ones counted: "2 of 600 × 1200, 350 × 900".
fn pieces(sheet: &CutSheet, sheet_mm: [i32; 2]) -> String {
    let mut sizes: Vec<([i32; 2], usize)> = vec![];
    for placed in &sheet.placed {
        match sizes.iter_mut().find(|(size, _)| *size == placed.size_mm) {
            Some((_, count)) => *count += 1,
            None => sizes.push((placed.size_mm, 1)),
        }
    }
    let name = |(size, count): &([i32; 2], usize)| {
        let [wide, high] = size;
        match count {
            1 if *size == sheet_mm => "whole".to_owned(),
            1 => format!("{wide} × {high}"),
            count => format!("{count} of {wide} × {high}"),
        }
    };
    sizes.iter().map(name).collect::<Vec<_>>().join(", ")
}

fn taken_out(out: &mut String, list: &BuildList) {
    if list.taken_out.is_empty() {
        return;
    }
    out.push_str("\nTaken out, to be got rid of; no price is counted for it\n");
    for gone in &list.taken_out {
        out.push_str(&paragraph("  - ", gone, COLUMNS));
    }
}

/// One line for each good of each job, RFC 4180.
#[must_use]
pub fn csv(list: &BuildList) -> String {
    let mut out =
        "job,title,place,good,name,needed,measure,bought,unit,cost_low,cost_likely,cost_high,hours,kg\n".to_owned();
    for (at, job) in list.jobs.iter().enumerate() {
        for line in &job.goods {
            let cost = line.cost.map_or([const { String::new() }; 3], |cost| cost.map(|price| format!("{price:.2}")));
            let _ = writeln!(
                out,
                "{},{},{},{},{},{:.3},{},{:.3},{},{},{:.2},{:.2}",
                at + 1,
                field(&job.title),
                field(&job.place),
                line.good.as_deref().unwrap_or_default(),
                field(&line.name),
                line.needed,
                line.measure,
                line.bought,
                field(&line.unit),
                cost.join(","),
                line.hours,
                line.kg
            );
        }
    }
    out
}

/// Everything as JSON.
#[must_use]
pub fn json(list: &BuildList) -> Value {
    let line = |line: &Line| {
        json!({
            "good": line.good, "name": line.name, "needed": line.needed, "measure": line.measure,
            "bought": line.bought, "unit": line.unit, "cost": line.cost, "hours": line.hours, "kg": line.kg,
        })
    };
    let cost = |cost: Cost| {
        json!({
            "low": cost.low, "likely": cost.likely, "high": cost.high, "hours": cost.hours, "unpriced": cost.unpriced,
        })
    };
    let job = |job: &Job| {
        json!({
            "kind": kind(job.kind), "title": job.title, "place": job.place,
            "goods": job.goods.iter().map(line).collect::<Vec<_>>(),
            "pieces": job.pieces.iter().map(|piece| json!({
                "name": piece.name, "size_mm": piece.size_mm, "count": piece.count, "kg": piece.kg, "handling": piece.handling,
            })).collect::<Vec<_>>(),
            "cost": cost(job.cost), "kg": job.kg, "who": job.who, "removable": job.removable,
            "tools": job.tools, "steps": job.steps, "cautions": job.cautions,
        })
    };
    json!({
        "currency": list.prices.currency, "labour_per_h": list.prices.labour_per_h,
        "cost": cost(list.cost), "cost_together": cost(list.together), "kg": list.kg,
        "cost_with_labour": cost(list.cost.with_labour(list.prices.labour_per_h)),
        "floors": list.floors.iter().map(|floor| json!({
            "room": floor.name, "kg": floor.kg, "area_m2": floor.area_m2, "kg_m2": floor.kg / floor.area_m2,
        })).collect::<Vec<_>>(),
        "jobs": list.jobs.iter().map(job).collect::<Vec<_>>(),
        "goods_together": list.goods.iter().map(line).collect::<Vec<_>>(),
        "cuts": list.cuts.iter().map(|cut| json!({
            "good": cut.good, "sheet_mm": cut.sheet_mm, "waste": cut.waste(),
            "sheets": cut.sheets.iter().map(|sheet| sheet.placed.iter().map(|placed| json!({
                "at_mm": placed.at_mm, "size_mm": placed.size_mm, "job": cut.pieces[placed.piece].1 + 1,
            })).collect::<Vec<_>>()).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "taken_out": list.taken_out,
        "cautions": cautions(list),
    })
}

fn kind(kind: JobKind) -> &'static str {
    match kind {
        JobKind::Seal => "seal",
        JobKind::Structure => "structure",
        JobKind::Floor => "floor",
        JobKind::Wall => "wall",
        JobKind::Ceiling => "ceiling",
        JobKind::Opening => "opening",
        JobKind::Air => "air",
        JobKind::Cover => "cover",
        JobKind::Mount => "mount",
        JobKind::Finish => "finish",
        JobKind::Sound => "sound",
    }
}

fn who(who: Who) -> &'static str {
    match who {
        Who::Anyone => "anyone",
        Who::Handy => "somebody handy",
        Who::Trade => "the trade",
        Who::Licensed => "licensed only",
    }
}

fn lifts(handling: Handling) -> &'static str {
    match handling {
        Handling::One => "one person lifts it",
        Handling::OneStrong => "one strong person, better two",
        Handling::Two => "two people",
        Handling::Three => "three people, or split it",
        Handling::Split => "too heavy to lift by hand: a lift, or smaller pieces",
    }
}

fn likely(cost: Cost, prices: &Prices) -> String {
    format!("likely {}, from {:.0} to {:.0}", money(cost.likely, prices), cost.low, cost.high)
}

fn money(amount: f64, prices: &Prices) -> String {
    if prices.currency.is_empty() { format!("{amount:.0}") } else { format!("{amount:.0} {}", prices.currency) }
}

fn hours(hours: f64) -> String {
    if hours < 10.0 { format!("{hours:.1} hours") } else { format!("{hours:.0} hours") }
}

fn amount(needed: f64) -> String {
    match needed {
        whole if whole.fract() == 0.0 => format!("{whole:.0}"),
        small if small < 1.0 => format!("{small:.3}"),
        other => format!("{other:.1}"),
    }
}

/// "3 sheets", "2 boxes"; measures have no plural.
fn plural(unit: &str, count: f64) -> String {
    match unit {
        _ if count <= 1.0 => unit.to_owned(),
        "m" | "m²" | "m³" | "pieces" => unit.to_owned(),
        "box" => "boxes".to_owned(),
        unit => format!("{unit}s"),
    }
}

fn short(name: &str, columns: usize) -> String {
    if name.chars().count() <= columns {
        return name.to_owned();
    }
    let cut: String = name.chars().take(columns - 1).collect();
    format!("{}…", cut.trim_end())
}
