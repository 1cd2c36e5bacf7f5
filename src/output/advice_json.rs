//! What to build first, as JSON.

use crate::advise::{Advice, Done, Plan, Step};
use crate::project::Solved;
use crate::solve::ListenerAnswer;

use super::advice::place;
use super::json::{list, object, rounded};

fn cost(cost: &crate::build_list::Cost) -> impl serde::Serialize {
    object! {
        low: rounded(cost.low),
        likely: rounded(cost.likely),
        high: rounded(cost.high),
        hours: rounded(cost.hours),
    }
}

fn done(base: &Solved, done: &Done) -> impl serde::Serialize {
    object! {
        place: place(base, &done.place),
        measure: done.choice.measure.id.clone(),
        name: done.choice.measure.name.clone(),
        removable: done.choice.measure.removable,
        cost: cost(&done.effect.cost),
        floor_kg_m2: rounded(done.effect.floor_kg_m2),
        heaviest_piece_kg: rounded(done.effect.piece_kg),
        caution: done.choice.measure.caution.clone(),
    }
}

fn plan(base: &Solved, plan: &Plan) -> impl serde::Serialize {
    object! {
        reaches: plan.reaches(),
        kept_db: rounded(plan.kept_db),
        cost: cost(&plan.cost),
        measures: list(&plan.done, |one| done(base, one)),
    }
}

fn heard(before: &ListenerAnswer, then: &ListenerAnswer) -> impl serde::Serialize {
    object! {
        listener: then.listener.clone(),
        now_la_db: rounded(before.la_db),
        then_la_db: rounded(then.la_db),
        uncertainty_db: rounded(then.uncertainty_db),
        target: then.target.as_ref().map(|target| target.id.clone()),
        margin_db: then.target.as_ref().and_then(|target| rounded(target.margin_db)),
        probability: then.target.as_ref().map(|target| target.probability),
    }
}

fn step(advice: &Advice, step: &Step) -> impl serde::Serialize {
    let listener = advice.held.get(step.listener).and_then(|at| advice.base.answer.listeners.get(*at));
    object! {
        measure: step.done,
        listener: listener.map(|heard| heard.listener.clone()),
        now_db: rounded(step.now_db),
        done_first_db: rounded(step.first_db),
        left_out_db: rounded(step.left_out_db),
    }
}

/// Everything. `steps[].measure` is a position in `plan.measures`.
#[must_use]
pub fn advice(advice: &Advice) -> serde_json::Value {
    let base = &advice.base;
    let after = advice.plan.solved.as_deref().unwrap_or(base);
    let held =
        advice.held.iter().filter_map(|at| Some((base.answer.listeners.get(*at)?, after.answer.listeners.get(*at)?)));
    let value = object! {
        format: super::json::JSON_FORMAT,
        scene: base.scene.name.clone(),
        currency: base.scene.prices.currency.clone(),
        confidence: advice.ask.confidence,
        budget: advice.ask.budget,
        kept_now_db: rounded(advice.now_db),
        plan: plan(base, &advice.plan),
        listeners: list(held, |(before, then)| heard(before, then)),
        steps: list(&advice.steps, |one| step(advice, one)),
        instead: list(&advice.instead, |one| object! {
            measure: one.measure.id.clone(),
            name: one.measure.name.clone(),
            room: (!one.room.is_empty()).then(|| one.room.clone()),
            plan: plan(base, &one.plan),
            complete: one.complete,
        }),
        frontier: list(&advice.frontier, |one| plan(base, one)),
        not_chosen: list(&advice.others, |one| object! {
            place: place(base, &one.place),
            measure: one.choice.measure.id.clone(),
            cost: cost(&one.effect.cost),
            done_first_db: rounded(one.first_db),
            besides_db: one.besides_db.map(rounded),
        }),
        refused: list(&advice.refused, |one| object! {
            place: place(base, &one.place),
            measure: one.choice.measure.id.clone(),
            why: super::advice::why(advice, &one.why),
        }),
        proof: object! {
            places: advice.proof.places,
            choices: advice.proof.choices,
            sets: advice.proof.sets,
            looked_at: advice.proof.looked_at,
            complete: advice.proof.complete,
            at_least: rounded(advice.proof.at_least),
            error_db: rounded(advice.proof.error_db),
            solves: advice.proof.solves,
        },
    };
    serde_json::to_value(&value).unwrap_or_default()
}
