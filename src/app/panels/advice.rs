//! What to build first: what is asked, how far the search is, and the answer with what more money buys.

use bevy_egui::egui::{
    Align, Button, CollapsingHeader, DragValue, Grid, Label, Layout, ProgressBar, RichText, ScrollArea, TextEdit, Ui,
    vec2,
};

use crate::advise::{Advice, Ask, Plan};
use crate::app::advising::{Advising, Far, Fields, Outcome};
use crate::app::command::Command;
use crate::app::deciding::Foot;
use crate::app::document::Version;
use crate::app::panels::advice_chart::chart_ui;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{at_right, bound, explained, label, main_button, words};
use crate::output::advice::{self, StepLine};
use crate::output::checks::CHECK;
use crate::output::length::{self, Units};
use crate::project::Solved;
use crate::scene::ListenerId;

/// The panel has at most this part of the window's height while it holds an answer, and so many logical pixels.
const PART: f32 = 0.44;
const HIGH: f32 = 400.0;
/// Its height while it asks, logical pixels: in a wide window, and in one where the fields need a row more.
const ASKING: [f32; 2] = [190.0, 222.0];
const WIDE: f32 = 900.0;
/// Of a name so many letters are shown on a button.
const LETTERS: usize = 24;
/// Width of a column of figures, and the least that words beside it want, logical pixels.
const FIGURE: f32 = 66.0;
const WORDS: f32 = 150.0;

/// How high the panel wants to be in a window so high, logical pixels.
pub fn height(advising: &Advising, wide: f32, window: f32) -> f32 {
    match advising.plan() {
        Some(_) if !advising.fields_open || advising.far().is_some() => HIGH.min(PART * window),
        _ => ASKING[usize::from(wide < WIDE)],
    }
}

/// What the panel is about.
#[derive(Debug, Clone, Copy)]
pub struct Look<'a> {
    pub shown: &'a Version,
    /// The answer to what is shown.
    pub solved: Option<&'a Solved>,
    pub listener: Option<&'a ListenerId>,
    pub units: Units,
}

impl Look<'_> {
    /// Why nothing can be asked, with what to do about it.
    fn obstacle(&self) -> Option<&'static str> {
        let Some(solved) = self.solved else {
            return Some("There is no answer to this plan yet; what is missing is told at the right.");
        };
        if !solved.scene.sources.iter().any(|source| source.playing) {
            return Some("Nothing is loud. Draw (M), then place something loud (S), or let it play again.");
        }
        let limited = solved.answer.listeners.iter().any(|heard| heard.target.is_some());
        (!limited).then_some(
            "Nobody has a limit, so there is nothing to reach. Draw (M), pick who listens, and choose a limit at the right.",
        )
    }

    fn listener_name(&self) -> Option<&str> {
        let heard = &self.solved?.answer.listeners;
        heard.iter().find(|heard| Some(&heard.listener) == self.listener).map(|heard| heard.name.as_str())
    }
}

/// The panel.
pub fn advice_ui(ui: &mut Ui, advising: &mut Advising, look: &Look, palette: &Palette) -> Vec<Command> {
    let mut asked = vec![];
    head_ui(ui, advising, look, palette, &mut asked);
    match advising.far() {
        Some(far) => progress_ui(ui, &far, palette, &mut asked),
        None => ask_ui(ui, advising, look, palette, &mut asked),
    }
    // What is asked anew has the room of the answer.
    let Some(outcome) =
        advising.outcome().filter(|it| it.result.is_err() || !advising.fields_open || advising.far().is_some())
    else {
        return asked;
    };
    match &outcome.result {
        Err(why) if advising.far().is_none() => drop(label(ui, why, size::TEXT, palette.alert)),
        Err(_) => {}
        Ok(found) => answer_ui(ui, found, advising.chosen(), palette, &mut asked),
    }
    asked
}

fn small(ui: &mut Ui, word: &str) -> bool {
    ui.add(Button::new(RichText::new(word).size(size::SMALL))).clicked()
}

/// The title, with what the answer is about, and what can be done with the plan looked at.
fn head_ui(ui: &mut Ui, advising: &Advising, look: &Look, palette: &Palette, asked: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        at_right(ui, |ui| {
            asked.extend(small(ui, "Close").then_some(Command::Foot(Foot::Advice)));
            if *look.shown != Version::Drawn {
                let list = Button::new(RichText::new("What to buy").size(size::SMALL));
                let tip = format!("All that “{}” takes, and how to cut sheets", look.shown.name());
                asked.extend(ui.add(list).on_hover_text(tip).clicked().then_some(Command::BuildList));
            }
            if let Some((_, plan)) = advising.plan() {
                let keep = Button::new(RichText::new("Keep as a variant").size(size::SMALL).strong());
                let keep = keep.fill(ui.visuals().selection.bg_fill);
                let keep = ui.add_enabled(!plan.done.is_empty(), keep);
                let tip = "The plan looked at becomes a variant, and is shown; the drawing stays as it is";
                asked.extend(keep.on_hover_text(tip).clicked().then_some(Command::KeepPlan));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let about = advising.outcome().map_or_else(String::new, |outcome| about(outcome, look));
                let title = words(format!("What to build first{about}"), size::TEXT, palette.ink);
                ui.add(Label::new(title).truncate());
            });
        });
    });
}

fn about(outcome: &Outcome, look: &Look) -> String {
    if outcome.version() == look.shown {
        String::new()
    } else {
        format!("  ·  for “{}”", outcome.version().name())
    }
}

fn progress_ui(ui: &mut Ui, far: &Far, palette: &Palette, asked: &mut Vec<Command>) {
    let Far { done, all, seconds } = *far;
    let (part, text) = match (done, all) {
        (_, 0) => (0.0, "Looking for what fits …".to_owned()),
        _ if done >= all => (1.0, format!("{done} are tried; looking for the cheapest set, {seconds} s so far …")),
        _ => (done as f32 / all as f32, format!("Trying measures where they fit: {done} of {all}")),
    };
    ui.horizontal(|ui| {
        at_right(ui, |ui| {
            asked.extend(small(ui, "Stop").then_some(Command::StopAdvice));
            let bar = ProgressBar::new(part).fill(palette.listener.gamma_multiply(0.4)).corner_radius(4);
            ui.add(bar.text(words(text, size::SMALL, palette.ink)));
        });
    });
}

/// What is asked: as fields, or once there is an answer in a line.
fn ask_ui(ui: &mut Ui, advising: &mut Advising, look: &Look, palette: &Palette, asked: &mut Vec<Command>) {
    let outdated = advising.outcome().is_some_and(|outcome| outcome.result.is_ok() && !outcome.fresh);
    let known = advising.plan().map(|(advice, _)| said(&advice.ask, &advice.base, look.units));
    if let Some(line) = known.as_ref().filter(|_| !advising.fields_open) {
        ui.horizontal(|ui| {
            at_right(ui, |ui| {
                if small(ui, "Ask something else") {
                    advising.fields_open = true;
                }
                if outdated {
                    asked.extend(small(ui, "Ask again").then_some(Command::AskAdvice));
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    let (text, ink) = if outdated {
                        ("The scene has changed: this was found for it as it was before.", palette.alert)
                    } else {
                        (line.as_str(), palette.soft_ink)
                    };
                    ui.add(Label::new(words(text, size::SMALL, ink)).truncate()).on_hover_text(line);
                });
            });
        });
        return;
    }
    let obstacle = look.obstacle();
    if known.is_none() {
        let text = "Every measure that fits is tried, and the cheapest set that keeps the limits is found.";
        explained(ui, text, size::SMALL + 0.5, palette.soft_ink);
    }
    fields_ui(ui, &mut advising.fields, look, palette);
    ui.horizontal(|ui| {
        let find = ui.add_enabled(obstacle.is_none(), main_button(ui, "Find out"));
        asked.extend(find.clicked().then_some(Command::AskAdvice));
        if known.is_some() && small(ui, "Back to the answer") {
            advising.fields_open = false;
        }
        match obstacle {
            Some(why) => drop(label(ui, why, size::SMALL + 0.5, palette.alert)),
            None if known.is_none() => {
                let about = format!("For “{}”. It takes seconds to a minute.", look.shown.name());
                ui.add(Label::new(words(about, size::SMALL, palette.soft_ink)).truncate());
            }
            None => {}
        }
    });
}

/// What was asked, in a line.
fn said(ask: &Ask, base: &Solved, units: Units) -> String {
    let mut parts = vec![match &ask.listeners[..] {
        [] => "limits of everyone".to_owned(),
        [one, ..] => {
            let heard = base.answer.listeners.iter().find(|heard| heard.listener == *one);
            format!("limit of {}", heard.map_or(one.0.as_str(), |heard| &heard.name))
        }
    }];
    parts.push(format!("{:.0} % sure", 100.0 * ask.confidence));
    parts.push(ask.budget.map_or_else(
        || "any budget".to_owned(),
        |budget| format!("for {}", advice::money(budget, &base.scene.prices.currency)),
    ));
    parts.extend(ask.max_lift_kg.map(|kg| format!("pieces to {kg:.0} kg")));
    parts.push(format!("floor {:.0} kg/m²", ask.max_floor_load_kg_m2));
    parts.push(format!("headroom {}", length::write(ask.min_headroom_m, units)));
    parts.extend(ask.removable_only.then(|| "only what comes off again".to_owned()));
    format!("Asked: {}", parts.join(", "))
}

fn fields_ui(ui: &mut Ui, fields: &mut Fields, look: &Look, palette: &Palette) {
    let units = look.units;
    let named = |ui: &mut Ui, name: &str| label(ui, name, size::SMALL, palette.soft_ink).id;
    ui.spacing_mut().item_spacing.x = 6.0;
    let wide = ui.available_width() >= WIDE;
    ui.horizontal(|ui| {
        let id = named(ui, "Budget");
        ui.add(TextEdit::singleline(&mut fields.budget).hint_text("any").desired_width(64.0))
            .labelled_by(id)
            .on_hover_text("Most money, in the currency of the scene's prices; empty where there is no bound");
        let id = named(ui, "How sure");
        ui.add(DragValue::new(&mut fields.chance_percent).range(50.0..=99.0).max_decimals(0).suffix(" %"))
            .labelled_by(id)
            .on_hover_text("The chance that each limit is to be kept with");
        let id = named(ui, "Floor carries");
        ui.add(DragValue::new(&mut fields.floor_kg_m2).range(0.0..=2000.0).max_decimals(0).suffix(" kg/m²"))
            .labelled_by(id)
            .on_hover_text("What an old floor of a loud room may carry, people included: ask an engineer");
        let id = named(ui, "Headroom");
        let field = DragValue::new(&mut fields.headroom_m).range(1.0..=5.0).speed(0.01);
        let field = field.custom_formatter(|m, _| length::write(m, units));
        ui.add(field.custom_parser(|text| length::read_in(text, units)))
            .labelled_by(id)
            .on_hover_text("Clear height that must be left");
        if wide {
            handling_ui(ui, fields, palette);
        }
    });
    if !wide {
        ui.horizontal(|ui| handling_ui(ui, fields, palette));
    }
    ui.horizontal(|ui| {
        named(ui, "Limits of");
        ui.selectable_value(&mut fields.one_listener, false, "everyone");
        if let Some(name) = look.listener_name() {
            let mut short: String = name.chars().take(LETTERS).collect();
            if short.len() < name.len() {
                short.push('…');
            }
            ui.selectable_value(&mut fields.one_listener, true, short).on_hover_text(name);
        }
    });
}

/// What can be carried in, and whether it must come out again.
fn handling_ui(ui: &mut Ui, fields: &mut Fields, palette: &Palette) {
    let id = label(ui, "Heaviest piece, kg", size::SMALL, palette.soft_ink).id;
    ui.add(TextEdit::singleline(&mut fields.piece_kg).hint_text("any").desired_width(44.0))
        .labelled_by(id)
        .on_hover_text("What can be lifted where it is built; empty where there is no bound");
    ui.checkbox(&mut fields.removable_only, RichText::new("only what comes off again").size(size::SMALL + 1.0));
}

/// The chart, and beside it the plan looked at.
fn answer_ui(ui: &mut Ui, advice: &Advice, chosen: Option<usize>, palette: &Palette, asked: &mut Vec<Command>) {
    let (wide, high) = (ui.available_width(), ui.available_height());
    let chart = (0.38 * wide).clamp(170.0, 420.0);
    ui.horizontal_top(|ui| {
        let clicked = chart_ui(ui, advice, chosen, vec2(chart, high), palette);
        asked.extend(clicked.map(Command::LookAtPlan));
        ui.add_space(6.0);
        ui.vertical(|ui| {
            ScrollArea::vertical().id_salt("advice").auto_shrink([false, false]).max_height(high).show(ui, |ui| {
                match chosen.and_then(|at| advice.frontier.get(at)) {
                    Some(plan) => plan_ui(ui, advice, plan, palette, asked),
                    None => advised_ui(ui, advice, palette),
                }
            });
        });
    });
}

/// What is advised.
fn advised_ui(ui: &mut Ui, advice: &Advice, palette: &Palette) {
    for line in advice::head(advice) {
        explained(ui, &line, size::TEXT, palette.ink);
    }
    if !advice.steps.is_empty() {
        ui.add_space(4.0);
        let rows: Vec<StepLine> = advice::steps(advice);
        table_ui(ui, &["cost", "gains now", "done first", "left out"], palette, |at| {
            let row = rows.get(at)?;
            let figures = [&row.cost, &row.now, &row.first, &row.left_out].map(String::clone).to_vec();
            Some((row.what.clone(), figures, format!("Told is what {} hears", row.listener)))
        });
        label(ui, advice::totals(advice, &advice.plan), size::SMALL + 0.5, palette.ink);
        label(ui, advice::GAINS, size::SMALL, palette.soft_ink);
    }
    for (heading, lines) in [
        ("What that is", advice::in_full(advice)),
        ("Or without so much building", advice::instead(advice)),
        ("Not chosen", advice::others(advice)),
        ("Not to be done", advice::refused(advice)),
        ("How sure this is", advice::proof(advice)),
        (CHECK, advice::cautions(advice)),
    ] {
        folded(ui, heading, &lines, palette);
    }
}

/// Lines behind a heading, where there are any.
fn folded(ui: &mut Ui, heading: &str, lines: &[String], palette: &Palette) {
    if lines.is_empty() {
        return;
    }
    CollapsingHeader::new(words(heading, size::TEXT, palette.ink)).id_salt(heading).show(ui, |ui| {
        for line in lines {
            explained(ui, line, size::SMALL + 0.5, palette.ink);
        }
    });
}

/// A plan of the frontier that is not the one advised: only sums are known of it.
fn plan_ui(ui: &mut Ui, advice: &Advice, plan: &Plan, palette: &Palette, asked: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        let count = if plan.done.is_empty() { "Nothing built".to_owned() } else { "Another plan".to_owned() };
        let cost = advice::price(&plan.cost, advice::currency(advice));
        explained(ui, &format!("{count}, for {cost}: {}.", advice::kept(advice, plan)), size::TEXT, palette.ink);
        asked.extend(small(ui, "Back to what is advised").then_some(Command::LookAtPlan(None)));
    });
    if plan.done.is_empty() {
        return;
    }
    table_ui(ui, &["cost"], palette, |at| {
        let done = plan.done.get(at)?;
        let cost = advice::money(done.effect.cost.likely, "");
        Some((advice::measure(advice, done), vec![cost], done.choice.measure.name.clone()))
    });
    label(ui, advice::totals(advice, plan), size::SMALL + 0.5, palette.ink);
    let by_sums = "Found by adding up what each measure brings. Keep it as a variant, and it is solved in full.";
    label(ui, by_sums, size::SMALL, palette.soft_ink);
}

/// A numbered table: what, in as many lines as it needs, with figures and what is told where the pointer rests on it.
fn table_ui(
    ui: &mut Ui,
    columns: &[&str],
    palette: &Palette,
    row: impl Fn(usize) -> Option<(String, Vec<String>, String)>,
) {
    let wide = ui.available_width() - columns.len() as f32 * (FIGURE + 8.0) - 42.0;
    if wide < WORDS {
        return stacked_ui(ui, columns, palette, row);
    }
    let soft = |ui: &mut Ui, text: &str| drop(label(ui, text, size::SMALL, palette.soft_ink));
    let right = |ui: &mut Ui, add: &dyn Fn(&mut Ui)| {
        ui.allocate_ui_with_layout(vec2(FIGURE, 16.0), Layout::right_to_left(Align::Center), |ui| {
            ui.set_min_width(FIGURE);
            add(ui);
        });
    };
    Grid::new("steps of the plan").striped(true).spacing([8.0, 4.0]).min_col_width(0.0).show(ui, |ui| {
        soft(ui, "");
        soft(ui, "");
        for name in columns {
            right(ui, &|ui| soft(ui, name));
        }
        ui.end_row();
        for at in 0.. {
            let Some((what, figures, tip)) = row(at) else { break };
            soft(ui, &format!("{}.", at + 1));
            ui.vertical(|ui| {
                ui.set_width(wide);
                ui.add(Label::new(words(what, size::SMALL + 1.0, palette.ink)).wrap()).on_hover_text(tip);
            });
            for figure in &figures {
                right(ui, &|ui| drop(label(ui, figure, size::SMALL + 1.0, palette.ink)));
            }
            ui.end_row();
        }
    });
}

/// The same where there is no room for columns: figures below what they are about.
fn stacked_ui(
    ui: &mut Ui,
    columns: &[&str],
    palette: &Palette,
    row: impl Fn(usize) -> Option<(String, Vec<String>, String)>,
) {
    for at in 0.. {
        let Some((what, figures, tip)) = row(at) else { break };
        let what = words(format!("{}. {what}", at + 1), size::SMALL + 1.0, palette.ink);
        ui.add(Label::new(what).wrap()).on_hover_text(tip);
        let figures: Vec<String> = columns.iter().zip(&figures).map(|(name, it)| format!("{name} {it}")).collect();
        label(ui, bound(&figures.join("  ·  ")), size::SMALL, palette.soft_ink);
    }
}
