//! The cheapest choice at each place that keeps every demand: exact, by branch and bound over sums of energies.
//!
//! What a listener gets of a room is `common · (fixed + Σ part)`: parts that a choice changes by itself, and what all choices together do to the level in
//! the room. From a partial choice no completion gets below the sum of the least parts, so that a branch is left as soon as that sum breaks a demand; and
//! none is cheaper than the linear relaxation of the rest (a multiple-choice knapsack on the convex hulls of its choices), so that a branch is left as
//! soon as that is as dear as the best known. Source: Land & Doig, Econometrica 28 (1960) 497; Sinha & Zoltners, Operations Research 27 (1979) 503
//! (from memory, unverified; a test holds the outcome against trying everything).

use super::table::{Demand, PlaceTable, Table, add_all, levels};
use super::weighed::{Weighed, WeighedRow, hull};
use crate::acoustics::{BAND_COUNT, Spectrum};

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The cheapest plan that reaches what was wanted, with its cost; nothing where none does.
    pub plan: Option<(Vec<usize>, f64)>,
    /// So many partial plans were looked at.
    pub nodes: u64,
    /// No plan that reaches what was wanted is cheaper than this: the cost itself where the search went to its end.
    pub at_least: f64,
}

/// What a search is asked.
pub struct Question<'a> {
    /// By how much all demands are to be kept, dB.
    pub want_db: f64,
    /// What a plan must hold besides; asked of plans that keep the demands and are cheaper than the best known.
    pub holds: &'a dyn Fn(&[usize]) -> bool,
    /// No plan dearer than this.
    pub most_cost: f64,
    /// Says to stop: asked at each partial plan.
    pub stop: &'a dyn Fn(u64) -> bool,
}

/// The cheapest plan that reaches what is wanted.
#[must_use]
pub fn cheapest(table: &Table, question: &Question<'_>) -> Found {
    let mut search = Search::new(table, question);
    search.start();
    let mut plan = vec![0; table.places.len()];
    // Bounds of the whole come first: what is summed with a resource is found from them.
    search.joined = Search::joined(table, &search.weigh(&plan));
    search.weighed = vec![search.weigh(&plan)];
    let open = search.visit(0, &mut plan, 0.0);
    let cost = search.best.as_ref().map_or(question.most_cost, |(_, cost)| *cost);
    Found { plan: search.best, nodes: search.nodes, at_least: open.min(cost) }
}

/// Two costs nearer than this are one.
const SAME_COST: f64 = 1e-6;
/// A choice that does more than this to the level in a room is decided first, so that what the others do can be weighed once for all of them.
const STRONG: f64 = 0.1;

/// So many places are decided with all others weighed anew at each: what is decided tells more of the level in the rooms than the least it could be.
const WEIGHED: usize = 6;

/// So many demands are relaxed for a bound.
const RELAXED: usize = 3;

struct Search<'a> {
    table: &'a Table,
    question: &'a Question<'a>,
    /// Places in the order they are decided in, each after the one it depends on; first those that do much to the level in a room.
    order: Vec<usize>,
    /// So many of them do.
    strong: usize,
    /// By place, by room: the most that is absorbed.
    most_absorbed: Vec<Vec<Spectrum>>,
    /// What is summed below the first ones, as they are decided: the last holds.
    weighed: Vec<Vec<Weighed>>,
    /// Of these, those summed with a resource.
    joined: Vec<Joined>,
    decided: Vec<bool>,
    best: Option<(Vec<usize>, f64)>,
    nodes: u64,
    stopped: bool,
}

/// See [`Search::joined`].
struct Joined {
    demand: usize,
    resource: usize,
    weight: f64,
}

impl<'a> Search<'a> {
    fn new(table: &'a Table, question: &'a Question<'a>) -> Self {
        let most = |place: &PlaceTable| {
            let first = place.absorbs[0].clone();
            place.absorbs[1..]
                .iter()
                .fold(first, |most, one| most.iter().zip(one).map(|(most, one)| most.zip(one, f64::max)).collect())
        };
        let most_absorbed = table.places.iter().map(most).collect();
        let (order, strong) = order(table);
        let decided = vec![false; table.places.len()];
        let (weighed, joined, best) = (vec![], vec![], None);
        Self { table, question, order, strong, most_absorbed, weighed, joined, decided, best, nodes: 0, stopped: false }
    }

    /// A first plan, by what keeps most for its cost at each step: good to have before the search.
    fn start(&mut self) {
        let table = self.table;
        let kept = |plan: &[usize]| table.margin_db(&table.energies(plan));
        let mut plan = vec![0; table.places.len()];
        let mut now_db = kept(&plan);
        while now_db < self.question.want_db || !(self.question.holds)(&plan) {
            let mut best: Option<(f64, Vec<usize>, f64)> = None;
            for (place, choices) in table.places.iter().enumerate() {
                for choice in (0..choices.cost.len()).filter(|choice| *choice != plan[place]) {
                    let mut tried = plan.clone();
                    tried[place] = choice;
                    if !table.can_be(&tried) {
                        continue;
                    }
                    let (after_db, more) = (kept(&tried), table.cost(&tried) - table.cost(&plan));
                    let rate = (after_db - now_db) / more.max(1.0);
                    if after_db > now_db + 1e-9 && best.as_ref().is_none_or(|(known, ..)| rate > *known) {
                        best = Some((rate, tried, after_db));
                    }
                }
            }
            let Some((_, next, after_db)) = best else { return };
            (plan, now_db) = (next, after_db);
        }
        self.offer(&plan);
    }

    fn offer(&mut self, plan: &[usize]) {
        let cost = self.table.cost(plan);
        let better = cost < self.cap() - SAME_COST;
        if better && self.table.can_be(plan) {
            self.best = Some((plan.to_vec(), cost));
        }
    }

    /// Only what is cheaper than this is of interest.
    fn cap(&self) -> f64 {
        self.best.as_ref().map_or(self.question.most_cost + 2.0 * SAME_COST, |(_, cost)| *cost)
    }

    /// Tries all completions of a partial plan. Returns a bound of the cost of those left untried because it was stopped; infinite where none is.
    fn visit(&mut self, depth: usize, plan: &mut Vec<usize>, cost: f64) -> f64 {
        self.nodes += 1;
        let Some(more) = self.more(plan, cost) else { return f64::INFINITY };
        self.stopped = self.stopped || (self.question.stop)(self.nodes);
        if self.stopped {
            return cost + more;
        }
        let weighs_anew = depth > 0 && depth <= self.strong.max(WEIGHED);
        if weighs_anew {
            self.weighed.push(self.weigh(plan));
        }
        let open =
            if weighs_anew && self.more(plan, cost).is_none() { f64::INFINITY } else { self.expand(depth, plan, cost) };
        if weighs_anew {
            self.weighed.pop();
        }
        open
    }

    /// A bound of what completing a partial plan costs at least; nothing where no completion keeps the demands, or none for less than is known.
    fn more(&self, plan: &[usize], cost: f64) -> Option<f64> {
        self.bound(plan).filter(|more| cost + more < self.cap() - SAME_COST)
    }

    /// Tries every choice at the next place.
    fn expand(&mut self, depth: usize, plan: &mut Vec<usize>, cost: f64) -> f64 {
        let Some(&place) = self.order.get(depth) else {
            let keeps = self.table.margin_db(&self.table.energies(plan)) >= self.question.want_db;
            if keeps && (self.question.holds)(plan) {
                self.offer(plan);
            }
            return f64::INFINITY;
        };
        let choices = &self.table.places[place];
        let mut by_cost: Vec<usize> = (0..choices.cost.len()).collect();
        by_cost.sort_by(|one, other| choices.cost[*one].total_cmp(&choices.cost[*other]));
        let mut open = f64::INFINITY;
        self.decided[place] = true;
        for choice in by_cost {
            plan[place] = choice;
            if choices.allowed[self.table.row(place, plan)][choice] && self.fits(plan) {
                open = open.min(self.visit(depth + 1, plan, cost + choices.cost[choice]));
            }
        }
        plan[place] = 0;
        self.decided[place] = false;
        open
    }

    /// True while what is decided keeps to the resources; nothing gives any back.
    fn fits(&self, plan: &[usize]) -> bool {
        let table = self.table;
        let decided = || table.places.iter().zip(plan).zip(&self.decided).filter(|(_, decided)| **decided);
        let used = |at: usize| decided().map(|((place, choice), _)| place.uses[*choice][at]).sum::<f64>();
        (0..table.most.len()).all(|at| used(at) <= table.most[at] + 1e-9)
    }

    /// Every part of every demand as one number, with the rooms as soft as what is not decided could make them.
    fn weigh(&self, plan: &[usize]) -> Vec<Weighed> {
        let table = self.table;
        let mut absorbed = vec![Spectrum::ZERO; table.rooms];
        for (at, place) in table.places.iter().enumerate() {
            add_all(&mut absorbed, if self.decided[at] { &place.absorbs[plan[at]] } else { &self.most_absorbed[at] });
        }
        let common = levels(&absorbed);
        let weighed = |demand: &Demand| {
            let of = |streams: &[Spectrum]| {
                let mut sum = 0.0;
                for (room, common) in common.iter().enumerate() {
                    let [faces, gaps, floor] = table.of_room(streams, demand.ear, room);
                    for band in 0..BAND_COUNT {
                        let air = faces[band] + gaps[band];
                        sum += demand.weights[band] * (common[band] * air + floor[band]);
                    }
                }
                sum
            };
            let row = |place: &PlaceTable, row: usize| {
                let choices = place.part[row].iter().zip(&place.allowed[row]);
                let energy: Vec<f64> =
                    choices.map(|(part, allowed)| if *allowed { of(part) } else { f64::INFINITY }).collect();
                WeighedRow::of(&place.cost, energy)
            };
            let rows = |place: &PlaceTable| (0..place.part.len()).map(|at| row(place, at)).collect();
            Weighed {
                allowed: demand.limit / 10f64.powf((self.question.want_db + demand.certain_db) / 10.0),
                fixed: of(&table.fixed),
                places: table.places.iter().map(rows).collect(),
            }
        };
        let mut all: Vec<Weighed> = table.demands.iter().map(weighed).collect();
        for it in &self.joined {
            all.push(all[it.demand].with_resource(table, it.resource, it.weight));
        }
        all
    }

    /// Demands summed with a resource that not everything can be had of: the demand that is kept least where everything is done, and a weight.
    fn joined(table: &Table, weighed: &[Weighed]) -> Vec<Joined> {
        let least = |at: &usize| weighed[*at].least();
        let Some(demand) = (0..weighed.len()).max_by(|one, other| least(one).total_cmp(&least(other))) else {
            return vec![];
        };
        let most_used = |at: usize| -> f64 {
            table.places.iter().map(|place| place.uses.iter().map(|uses| uses[at]).fold(0.0, f64::max)).sum()
        };
        let short = (0..table.most.len()).filter(|at| table.most[*at] > 0.0 && most_used(*at) > table.most[*at]);
        short.map(|at| Joined { demand, resource: at, weight: weighed[demand].best_weight(table, at) }).collect()
    }

    /// A bound of what completing a partial plan costs at least; nothing where no completion keeps the demands.
    fn bound(&self, plan: &[usize]) -> Option<f64> {
        let mut broken: Vec<(f64, &Weighed)> = vec![];
        for weighed in self.weighed.last().into_iter().flatten() {
            let (mut least, mut bare) = (weighed.fixed, weighed.fixed);
            for (at, rows) in weighed.places.iter().enumerate() {
                if self.decided[at] {
                    let own = rows[self.table.row(at, plan)].energy[plan[at]];
                    (least, bare) = (least + own, bare + own);
                } else {
                    let open = &rows[self.open_rows(at, plan)];
                    let lowest = open.iter().filter_map(|row| row.hull.last()).map(|last| last.1);
                    least += lowest.fold(f64::INFINITY, f64::min);
                    bare += open.iter().map(|row| row.energy[0]).fold(f64::INFINITY, f64::min);
                }
            }
            if least > weighed.allowed * (1.0 + 1e-9) {
                return None;
            }
            if bare > weighed.allowed {
                broken.push((bare / weighed.allowed, weighed));
            }
        }
        // Those that are farthest from being kept ask for most; none of the others would lower the bound.
        broken.sort_by(|one, other| other.0.total_cmp(&one.0));
        let mut most: f64 = 0.0;
        for (_, weighed) in broken.into_iter().take(RELAXED) {
            most = most.max(self.relaxed_cost(weighed, plan)?);
        }
        Some(most)
    }

    /// The rows that may still count of a place that is not decided.
    fn open_rows(&self, place: usize, plan: &[usize]) -> std::ops::Range<usize> {
        match self.table.places[place].given {
            None => 0..1,
            Some(given) if self.decided[given] => plan[given]..plan[given] + 1,
            Some(_) => 0..self.table.places[place].part.len(),
        }
    }

    /// The cost of the rest at least, were choices divisible; nothing where even then the demand is broken.
    fn relaxed_cost(&self, weighed: &Weighed, plan: &[usize]) -> Option<f64> {
        let mut over = weighed.fixed - weighed.allowed;
        let mut steps: Vec<(f64, f64)> = vec![];
        let mut least_cost = 0.0;
        for (at, rows) in weighed.places.iter().enumerate() {
            if self.decided[at] {
                over += rows[self.table.row(at, plan)].energy[plan[at]];
                continue;
            }
            let open = &rows[self.open_rows(at, plan)];
            let merged = (open.len() > 1).then(|| hull(open.iter().flat_map(|row| row.hull.iter().copied()).collect()));
            let points = merged.as_ref().unwrap_or(&open[0].hull);
            let Some(first) = points.first() else { continue };
            least_cost += first.0;
            over += first.1;
            steps.extend(points.windows(2).map(|pair| (pair[1].0 - pair[0].0, pair[0].1 - pair[1].1)));
        }
        if over <= 0.0 {
            return Some(least_cost);
        }
        steps.sort_by(|one, other| (other.1 * one.0).total_cmp(&(one.1 * other.0)));
        for (cost, gain) in steps {
            if gain >= over {
                return Some(least_cost + cost * over / gain);
            }
            over -= gain;
            least_cost += cost;
        }
        // Roundoff beside the sum of the least.
        (over <= 1e-9 * weighed.allowed).then_some(least_cost)
    }
}

/// Those that do much to the level in a room, how many they are, and then those that can change most, each followed by those that depend on it.
fn order(table: &Table) -> (Vec<usize>, usize) {
    let reach = |at: usize| -> f64 {
        let place = &table.places[at];
        let change = |demand: &Demand| {
            let of = |part: &[Spectrum]| -> f64 {
                let ways = (0..table.rooms).flat_map(|room| table.of_room(part, demand.ear, room));
                ways.map(|way| way.dot(&demand.weights)).sum()
            };
            of(&place.part[0][0]) / demand.limit
        };
        table.demands.iter().map(change).fold(0.0, f64::max)
    };
    let strong = |at: &usize| {
        let factors = table.places[*at].absorbs.iter().flatten();
        table.places[*at].given.is_none() && factors.flat_map(|one| one.0.iter()).any(|one| one.abs() > STRONG)
    };
    let (mut first, mut heads): (Vec<usize>, Vec<usize>) =
        (0..table.places.len()).filter(|at| table.places[*at].given.is_none()).partition(strong);
    let by_reach = |one: &usize, other: &usize| reach(*other).total_cmp(&reach(*one));
    first.sort_by(by_reach);
    heads.sort_by(by_reach);
    let after = |head: usize| (0..table.places.len()).filter(move |at| table.places[*at].given == Some(head));
    let count = first.len();
    let later = first.clone().into_iter().flat_map(after);
    let later: Vec<usize> =
        later.chain(heads.into_iter().flat_map(|head| std::iter::once(head).chain(after(head)))).collect();
    (first.into_iter().chain(later).collect(), count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advise::table::WAYS;
    use proptest::prelude::*;

    /// A table of random energies, costs and resources; the second place depends on the first.
    fn table(numbers: &[f64], places: usize, choices: usize) -> Table {
        let mut at = 0;
        let mut next = |from: f64, to: f64| {
            at += 1;
            from + (to - from) * numbers[at % numbers.len()] * ((at * 7919) % 97) as f64 / 97.0
        };
        let (ears, rooms) = (2, 1);
        let streams = ears * rooms * WAYS;
        let mut spectrum = |most: f64| {
            let whole = next(0.0, most);
            Spectrum::from_fn(|band| whole * (1.0 + (band % 5) as f64))
        };
        let fixed: Vec<Spectrum> = (0..streams).map(|_| spectrum(0.5)).collect();
        let bare: Vec<Vec<Spectrum>> = (0..places).map(|_| (0..streams).map(|_| spectrum(100.0)).collect()).collect();
        let places = (0..places)
            .map(|place| {
                let given = (place == 1).then_some(0);
                let rows = if given.is_some() { choices } else { 1 };
                let part = |row: usize, choice: usize, next: &mut dyn FnMut(f64, f64) -> f64| -> Vec<Spectrum> {
                    let keep = if choice == 0 { 1.0 } else { next(0.001, 0.7) } / (1.0 + row as f64);
                    bare[place].iter().map(|part| part.map(|energy| energy * keep)).collect()
                };
                PlaceTable {
                    given,
                    part: (0..rows)
                        .map(|row| (0..choices).map(|choice| part(row, choice, &mut next)).collect())
                        .collect(),
                    absorbs: (0..choices)
                        .map(|choice| vec![Spectrum::splat(if choice == 0 { 0.0 } else { next(-0.05, 0.25) })])
                        .collect(),
                    cost: (0..choices)
                        .map(|choice| if choice == 0 { 0.0 } else { next(10.0, 500.0).round() })
                        .collect(),
                    uses: (0..choices).map(|choice| vec![if choice == 0 { 0.0 } else { next(0.0, 30.0) }]).collect(),
                    allowed: vec![vec![true; choices]; rows],
                }
            })
            .collect();
        let demand = |ear| Demand { ear, weights: Spectrum::splat(1.0), limit: 1000.0, certain_db: 0.0 };
        Table { ears, rooms, fixed, places, demands: vec![demand(0), demand(1)], most: vec![80.0] }
    }

    fn every_plan(table: &Table) -> Vec<Vec<usize>> {
        table.places.iter().fold(vec![vec![]], |plans, place| {
            let choices = 0..place.cost.len();
            plans
                .iter()
                .flat_map(|plan| choices.clone().map(move |choice| [plan.clone(), vec![choice]].concat()))
                .collect()
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

        /// Against trying everything: the same least cost, or none at all.
        #[test]
        fn nothing_cheaper_does(numbers in prop::collection::vec(0.05_f64..1.0, 53), want_db in -6.0_f64..25.0) {
            let table = table(&numbers, 4, 4);
            let reaches = |plan: &[usize]| table.margin_db(&table.energies(plan)) >= want_db;
            let question = Question { want_db, holds: &|_| true, most_cost: f64::INFINITY, stop: &|_| false };
            let found = cheapest(&table, &question);
            let plans = every_plan(&table);
            let good = plans.iter().filter(|plan| table.can_be(plan) && reaches(plan));
            let least = good.map(|plan| table.cost(plan)).fold(f64::INFINITY, f64::min);
            match &found.plan {
                Some((plan, cost)) => {
                    prop_assert!((cost - least).abs() < 1e-6, "{cost} for {least}");
                    prop_assert!(table.can_be(plan) && reaches(plan));
                    prop_assert!((found.at_least - least).abs() < 1e-6);
                }
                None => prop_assert!(least.is_infinite(), "{least}"),
            }
            prop_assert!(found.nodes < 4 * plans.len() as u64);
        }

        /// Stopped early it says how much cheaper the best could still be, and that is true.
        #[test]
        fn stopped_it_says_what_could_be_left(numbers in prop::collection::vec(0.05_f64..1.0, 53), after in 1_u64..40) {
            let table = table(&numbers, 4, 4);
            let ask = |stop: &dyn Fn(u64) -> bool| {
                let most_cost = f64::INFINITY;
                cheapest(&table, &Question { want_db: 6.0, holds: &|_| true, most_cost, stop })
            };
            let (whole, part) = (ask(&|_| false), ask(&|nodes| nodes > after));
            if let Some((_, cost)) = whole.plan {
                prop_assert!(part.at_least <= cost + 1e-6, "{} for {cost}", part.at_least);
            }
        }
    }
}
