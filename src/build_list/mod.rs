//! What to buy, cut and carry to come from one scene to another, and what it costs: the build list.
//!
//! Only the difference is listed. [`between`] compares two scenes, built or solved (`difference.rs`), says what each change takes (`frame.rs`, `face.rs`), finds
//! goods for it (`buying.rs`) and lays the pieces on sheets ([`cutting`]). [`cost`] does the same and keeps only the sums. All of it is an estimate for a
//! first visit to the shop: frames are counted by usual spacings, edges and corners are not detailed.

mod buying;
pub mod cutting;
mod difference;
mod face;
mod fittings;
mod frame;
mod model;
mod openings;
mod shells;
mod shop;
mod want;
mod words;

pub use model::*;

use crate::building::{Space, SpaceIndex, SpaceKind};

/// What it takes to come from `before` to `after`: the difference alone.
#[must_use]
pub fn between<'a>(before: impl Into<Drawn<'a>>, after: impl Into<Drawn<'a>>) -> BuildList {
    let (before, after) = (before.into(), after.into());
    let shop = shop::Shop::of(after.scene);
    let (drafts, taken_out) = difference::drafts(before, after);
    let mut jobs = vec![];
    let mut basket = buying::Basket::default();
    for draft in drafts {
        let bought = buying::bought(&shop, &draft);
        basket.add(&bought, jobs.len());
        jobs.push(words::job(&shop, draft, bought));
    }
    let (goods, cuts) = basket.shared(&shop);
    let cost = jobs.iter().map(|job| job.cost).sum();
    BuildList {
        taken_out,
        cost,
        together: Cost::of(&goods),
        goods,
        cuts,
        kg: jobs.iter().map(|job| job.kg).sum(),
        floors: floors(after, &jobs),
        prices: after.scene.prices.clone(),
        jobs,
    }
}

/// What [`between`] costs, and nothing else: the sum over its jobs.
#[must_use]
pub fn cost<'a>(before: impl Into<Drawn<'a>>, after: impl Into<Drawn<'a>>) -> Cost {
    let (before, after) = (before.into(), after.into());
    let shop = shop::Shop::of(after.scene);
    let (drafts, _) = difference::drafts(before, after);
    drafts.iter().map(|draft| Cost::of(&buying::bought(&shop, draft).lines)).sum()
}

fn floors(after: Drawn<'_>, jobs: &[Job]) -> Vec<FloorLoad> {
    let loaded = |(at, space): (usize, &Space)| {
        let kg: f64 = jobs.iter().filter(|job| job.stands_in == Some(SpaceIndex(at))).map(|job| job.kg).sum();
        let SpaceKind::Room(room) = &space.kind else { return None };
        let area_m2 = room.before_shell.as_ref().map_or(room.area_m2, |bare| bare.area_m2);
        (kg > 0.0).then(|| FloorLoad { space: SpaceIndex(at), name: space.name.clone(), kg, area_m2 })
    };
    after.building.spaces.iter().enumerate().filter_map(loaded).collect()
}
