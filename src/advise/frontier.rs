//! The cheapest plan for each way farther, the one that is advised, and whether a full solve agrees.

use std::sync::Arc;

use super::ask::Ask;
use super::branch::{Branch, plan_of, solved_plan};
use super::model::{Plan, STEP_DB};
use super::weigh::Weigher;
use crate::acoustics::Spectrum;
use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::project::Solved;
use crate::solve::cancelled::Cancelled;
use crate::solve::criteria::Asked;

/// Sums and a full solve may differ by so much, dB.
const AGREED_DB: f64 = 0.3;
/// So many times a search is told what a full solve gave.
const MOST_CORRECTIONS: usize = 8;

/// A plan of a branch.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Point {
    pub branch: usize,
    pub plan: Vec<usize>,
    pub cost: f64,
    pub kept_db: f64,
    /// No plan that is worth as much costs less.
    pub at_least: f64,
}

impl Point {
    pub(super) fn plan(&self, branch: &Branch) -> Plan {
        plan_of(branch, &self.plan, self.kept_db)
    }
}

/// What the searches found.
pub(super) struct Searched<'a> {
    weighers: Vec<Weigher<'a>>,
    /// What is advised, and the frontier.
    pub chosen: Point,
    pub points: Vec<Point>,
    pub nodes: u64,
    pub complete: bool,
    pub solves: usize,
}

/// What was chosen, as solved in full.
pub(super) struct Chosen {
    pub branch: usize,
    pub at: Vec<usize>,
    pub plan: Plan,
    pub at_least: f64,
    pub error_db: f64,
}

/// All branches with one count of what was looked at.
struct Searcher<'a, 'b> {
    branches: &'a [Branch],
    weighers: &'b mut [Weigher<'a>],
    stop: &'b dyn Fn(u64) -> bool,
    nodes: u64,
    complete: bool,
}

impl Searcher<'_, '_> {
    /// What a branch costs before anything is chosen in it.
    fn first_cost(&self, branch: usize) -> f64 {
        self.branches[branch].first.iter().map(|done| done.effect.cost.likely).sum()
    }

    fn nothing(&self) -> Point {
        let plan = self.branches[0].sums.nothing();
        let kept_db = self.weighers[0].worth_db(&plan);
        Point { branch: 0, plan, cost: 0.0, kept_db, at_least: 0.0 }
    }

    /// The cheapest plan of any branch that is worth so much; without a number, that keeps all limits.
    fn cheapest(&mut self, want_db: Option<f64>, most_cost: f64) -> Option<Point> {
        let mut best: Option<Point> = None;
        let mut at_least = f64::INFINITY;
        for branch in 0..self.weighers.len() {
            let first = self.first_cost(branch);
            let most = best.as_ref().map_or(most_cost, |point| point.cost);
            if first > most {
                continue;
            }
            let found = match want_db {
                Some(want_db) => self.weighers[branch].cheapest(want_db, most - first, self.stop),
                None => self.weighers[branch].cheapest_exactly(most - first, self.stop),
            };
            self.nodes += found.nodes;
            at_least = at_least.min(found.at_least + first);
            let Some((plan, cost)) = found.plan else { continue };
            let cost = cost + first;
            if best.as_ref().is_none_or(|known| cost < known.cost - 1e-6) {
                let kept_db = self.weighers[branch].worth_db(&plan);
                best = Some(Point { branch, plan, cost, kept_db, at_least: cost });
            }
        }
        let stopped = (self.stop)(0);
        self.complete &= !stopped;
        best.map(|point| Point { at_least: at_least.min(point.cost), ..point })
    }

    /// Ever farther, each as cheap as can be.
    fn frontier(&mut self, from: Point, most_cost: f64) -> Vec<Point> {
        let mut points = vec![from];
        while let Some(last) = points.last()
            && let Some(next) = self.cheapest(Some(last.kept_db + STEP_DB), most_cost)
        {
            // How sure a plan is differs by a little from plan to plan.
            if next.kept_db <= last.kept_db {
                break;
            }
            points.push(next);
        }
        points
    }
}

/// Without points that a later one beats in cost: each search is as sure as what it found, so that a later one may find what is cheaper.
fn undominated(points: Vec<Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = vec![];
    for point in points {
        while kept.last().is_some_and(|last| last.cost >= point.cost - 1e-6) {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

/// Searches all branches: what keeps all limits at least cost, else the best for the budget, and the frontier.
pub(super) fn search<'a>(branches: &'a [Branch], ask: &Ask, stop: &dyn Fn(u64) -> bool) -> Searched<'a> {
    let mut weighers: Vec<Weigher<'a>> = branches.iter().map(|branch| Weigher::new(&branch.sums, ask)).collect();
    let mut searcher = Searcher { branches, weighers: &mut weighers, stop, nodes: 0, complete: true };
    let nothing = searcher.nothing();
    let points = searcher.frontier(nothing, f64::INFINITY);
    let chosen = chosen(&mut searcher, &points, ask.budget.unwrap_or(f64::INFINITY));
    let (nodes, complete) = (searcher.nodes, searcher.complete);
    let mut points = undominated(points);
    if points.last().is_none_or(|last| chosen.kept_db > last.kept_db && chosen.cost >= last.cost) {
        points.push(chosen.clone());
    }
    Searched { weighers, chosen, points, nodes, complete, solves: 0 }
}

/// The cheapest plan that keeps all limits; where none does for the budget, the cheapest of those that come near to the best there is for it.
fn chosen(searcher: &mut Searcher<'_, '_>, points: &[Point], budget: f64) -> Point {
    if let Some(point) = searcher.cheapest(None, budget) { point } else { nearest(searcher, points, budget) }
}

/// The cheapest plan that comes within two steps of the best there is for a budget, found from plans that are known.
fn nearest(searcher: &mut Searcher<'_, '_>, points: &[Point], budget: f64) -> Point {
    // What they are worth may be something else than when they were found.
    let now = |point: &Point| Point { kept_db: searcher.weighers[point.branch].worth_db(&point.plan), ..point.clone() };
    let within = points.iter().filter(|point| point.cost <= budget + 1e-6).map(now);
    let best = within.max_by(|one, other| one.kept_db.total_cmp(&other.kept_db));
    let from = best.unwrap_or_else(|| searcher.nothing());
    let last = searcher.frontier(from, budget).pop().unwrap_or_else(|| searcher.nothing());
    searcher.cheapest(Some(last.kept_db - STEP_DB), last.cost).unwrap_or(last)
}

/// The best plan where other limits hold, or it is played softer: `asked` gives both for each branch, `known` plans that were good before. With it whether
/// the search went to its end.
pub(super) fn best(
    branches: &[Branch],
    ask: &Ask,
    asked: &dyn Fn(usize) -> (Vec<Asked>, f64),
    known: &[Point],
    stop: &dyn Fn(u64) -> bool,
) -> (Plan, bool) {
    let mut weighers = vec![];
    for (at, branch) in branches.iter().enumerate() {
        let (asked, softer_db) = asked(at);
        weighers.push(Weigher::new(&branch.sums, ask).under(asked, softer_db));
    }
    let mut searcher = Searcher { branches, weighers: &mut weighers, stop, nodes: 0, complete: true };
    let budget = ask.budget.unwrap_or(f64::INFINITY);
    let point = match searcher.cheapest(Some(0.0), budget) {
        Some(point) => point,
        None => nearest(&mut searcher, known, budget),
    };
    (point.plan(&branches[point.branch]), searcher.complete)
}

/// What is advised, solved in full. Where that differs from the sums, the search goes on with what is known then. Nothing where cancelled.
pub(super) fn verified<'a>(
    branches: &'a [Branch],
    ask: &Ask,
    found: &mut Searched<'a>,
    stop: &dyn Fn(u64) -> bool,
    cancelled: &Cancelled<'_>,
) -> Option<Chosen> {
    let budget = ask.budget.unwrap_or(f64::INFINITY);
    for correction in 0..=MOST_CORRECTIONS {
        let point = found.chosen.clone();
        let branch = &branches[point.branch];
        let solved = solved_plan(branch, &point.plan, cancelled);
        found.solves += 1;
        let solved: Option<Arc<Solved>> = match solved {
            Ok(None) => return None,
            Ok(Some(solved)) => Some(Arc::new(solved)),
            Err(_) => None,
        };
        let sums = found.weighers[point.branch].table.energies(&point.plan);
        let energies = found.weighers[point.branch].know(&point.plan, solved.as_deref());
        // What is told is how far the sums were off before they were corrected.
        let told_db = error_db(&branch.sums.table.energies(&point.plan), &energies);
        let error_db = error_db(&sums, &energies);
        let ratio = |solved: f64, sum: f64| if sum > 0.0 && solved > 0.0 { solved / sum } else { 1.0 };
        let ratios: Vec<Spectrum> = energies.iter().zip(&sums).map(|(solved, sum)| solved.zip(sum, ratio)).collect();
        let done = error_db <= AGREED_DB || correction == MOST_CORRECTIONS;
        let weigher = &mut found.weighers[point.branch];
        if !done && solved.is_some() {
            weigher.correct(&ratios);
        }
        weigher.learn(&point.plan);
        let kept_db = weigher.worth_db(&point.plan);
        // A limit that the sums keep and the solve does not, by however little, is not kept.
        let holds = kept_db >= 0.0 || point.kept_db < 0.0;
        if done && holds || correction == MOST_CORRECTIONS {
            // What is given up is not proved.
            found.complete &= holds;
            let plan = Plan { solved, ..plan_of(branch, &point.plan, kept_db) };
            let (branch, at_least) = (point.branch, point.at_least);
            return Some(Chosen { branch, at: point.plan, plan, at_least, error_db: told_db });
        }
        let mut searcher = Searcher { branches, weighers: &mut found.weighers, stop, nodes: 0, complete: true };
        let chosen = chosen(&mut searcher, &found.points, budget);
        (found.nodes, found.complete) = (found.nodes + searcher.nodes, found.complete && searcher.complete);
        found.chosen = chosen;
    }
    None
}

/// The most that A-weighted levels differ by, dB.
fn error_db(sums: &[Spectrum], solved: &[Spectrum]) -> f64 {
    let differ = |(sum, solved): (&Spectrum, &Spectrum)| {
        (10.0 * (a_weighted_energy(sum) / a_weighted_energy(solved)).log10()).abs()
    };
    sums.iter().zip(solved).map(differ).fold(0.0, f64::max)
}
