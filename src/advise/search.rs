//! The cheapest choice at each place that keeps every demand: exact, by branch and bound over sums of energies.
//!
//! What a listener gets of a room is `common · (fixed + Σ part)`: parts that a choice changes by itself, and what all choices together do to the level in
//! the room. From a partial choice no completion gets below the sum of the least parts, so that a branch is left as soon as that sum breaks a demand; and
//! none is cheaper than the linear relaxation of the rest (a multiple-choice knapsack on the convex hulls of its choices), so that a branch is left as
//! soon as that is as dear as the best known. Source: Land & Doig, Econometrica 28 (1960) 497; Sinha & Zoltners, Operations Research 27 (1979) 503
//! (from memory, unverified; a test holds the outcome against trying everything).

use crate::acoustics::{BAND_COUNT, Spectrum};

/// Energies of a listener that come by the air of a loud room, and that feet and pedals bring.
pub(super) const WAYS: usize = 2;

/// Everything the search sums.
#[derive(Debug, Clone)]
pub(super) struct Table {
    pub ears: usize,
    pub rooms: usize,
    /// What no choice changes by itself: by [`Table::stream`].
    pub fixed: Vec<Spectrum>,
    pub places: Vec<PlaceTable>,
    pub demands: Vec<Demand>,
    /// How much of each resource there is.
    pub most: Vec<f64>,
}

/// A place; its first choice is to do nothing.
#[derive(Debug, Clone)]
pub(super) struct PlaceTable {
    /// The place, earlier in the list, whose choice decides what choices here bring.
    pub given: Option<usize>,
    /// By the choice there (one where it depends on none), by choice, by stream.
    pub part: Vec<Vec<Vec<Spectrum>>>,
    /// By choice, by room: what it does to the level in the room, as a factor.
    pub common: Vec<Vec<Spectrum>>,
    /// By choice.
    pub cost: Vec<f64>,
    /// By choice, by resource.
    pub uses: Vec<Vec<f64>>,
    /// By the choice at `given`, by choice.
    pub allowed: Vec<Vec<bool>>,
}

/// What must be kept: a weighted sum over the bands of one listener.
#[derive(Debug, Clone)]
pub(super) struct Demand {
    pub ear: usize,
    pub weights: Spectrum,
    /// Most energy, as the limit has it.
    pub limit: f64,
    /// By so many decibels it is kept at least where the wanted chance is reached, however the energy is made up.
    pub certain_db: f64,
}

impl Table {
    /// Position of what a listener gets of a room, by the air or by feet and pedals.
    pub(super) fn stream(&self, ear: usize, room: usize, by_floor: bool) -> usize {
        (ear * self.rooms + room) * WAYS + usize::from(by_floor)
    }

    /// Position in `part` and `allowed` of a place under a choice.
    fn row(&self, place: usize, plan: &[usize]) -> usize {
        self.places[place].given.map_or(0, |given| plan[given])
    }

    /// What each listener gets.
    pub(super) fn energies(&self, plan: &[usize]) -> Vec<Spectrum> {
        let mut streams = self.fixed.clone();
        let mut common = vec![Spectrum::splat(1.0); self.rooms];
        for (at, place) in self.places.iter().enumerate() {
            add_all(&mut streams, &place.part[self.row(at, plan)][plan[at]]);
            multiply_all(&mut common, &place.common[plan[at]]);
        }
        self.folded(&streams, &common)
    }

    fn folded(&self, streams: &[Spectrum], common: &[Spectrum]) -> Vec<Spectrum> {
        let ear = |ear: usize| {
            (0..self.rooms).fold(Spectrum::ZERO, |sum, room| {
                let (air, floor) = (&streams[self.stream(ear, room, false)], &streams[self.stream(ear, room, true)]);
                Spectrum::from_fn(|band| sum[band] + common[room][band] * air[band] + floor[band])
            })
        };
        (0..self.ears).map(ear).collect()
    }

    /// What a plan costs.
    pub(super) fn cost(&self, plan: &[usize]) -> f64 {
        self.places.iter().zip(plan).map(|(place, choice)| place.cost[*choice]).sum()
    }

    /// True when a plan keeps to what can be built together and to what there is of each resource.
    pub(super) fn can_be(&self, plan: &[usize]) -> bool {
        let allowed = |(at, place): (usize, &PlaceTable)| place.allowed[self.row(at, plan)][plan[at]];
        let used = |at: usize| self.places.iter().zip(plan).map(|(place, choice)| place.uses[*choice][at]).sum::<f64>();
        self.places.iter().enumerate().all(allowed) && (0..self.most.len()).all(|at| used(at) <= self.most[at] + 1e-9)
    }
}

fn add_all(to: &mut [Spectrum], what: &[Spectrum]) {
    for (to, what) in to.iter_mut().zip(what) {
        for band in 0..BAND_COUNT {
            to[band] += what[band];
        }
    }
}

fn multiply_all(to: &mut [Spectrum], by: &[Spectrum]) {
    for (to, by) in to.iter_mut().zip(by) {
        for band in 0..BAND_COUNT {
            to[band] *= by[band];
        }
    }
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// The cheapest plan that reaches what was wanted, with its cost; nothing where none does.
    pub plan: Option<(Vec<usize>, f64)>,
    /// So many partial plans were looked at.
    pub nodes: u64,
    /// No plan that reaches what was wanted is cheaper than this: the cost itself where the search went to its end.
    pub at_least: f64,
}

/// What a search is asked.
pub(super) struct Question<'a> {
    /// How well a plan keeps the demands with the wanted chance, dB.
    pub worth: &'a dyn Fn(&[usize]) -> f64,
    /// The same roughly and quickly, from its energies: to find a first plan by.
    pub rough: &'a dyn Fn(&[Spectrum]) -> f64,
    /// How much that must be at least.
    pub want_db: f64,
    /// No plan dearer than this.
    pub most_cost: f64,
    /// Says to stop: asked at each partial plan.
    pub stop: &'a dyn Fn(u64) -> bool,
}

/// The cheapest plan whose worth is as wanted.
pub(super) fn cheapest(table: &Table, question: &Question<'_>) -> Found {
    let mut search = Search::new(table, question);
    search.start();
    let mut plan = vec![0; table.places.len()];
    let open = search.visit(0, &mut plan, 0.0);
    let cost = search.best.as_ref().map_or(question.most_cost, |(_, cost)| *cost);
    Found { plan: search.best, nodes: search.nodes, at_least: open.min(cost) }
}

/// Two costs nearer than this are one.
const SAME_COST: f64 = 1e-6;

struct Search<'a> {
    table: &'a Table,
    question: &'a Question<'a>,
    /// Places in the order they are decided in, each after the one it depends on.
    order: Vec<usize>,
    /// By place, by row: the least of its allowed choices in each stream.
    least: Vec<Vec<Vec<Spectrum>>>,
    /// By place: the least over all rows.
    least_of_all: Vec<Vec<Spectrum>>,
    /// By place, by room: the least factor.
    least_common: Vec<Vec<Spectrum>>,
    decided: Vec<bool>,
    best: Option<(Vec<usize>, f64)>,
    nodes: u64,
    stopped: bool,
}

impl<'a> Search<'a> {
    fn new(table: &'a Table, question: &'a Question<'a>) -> Self {
        let least_of = |spectra: &mut dyn Iterator<Item = &Vec<Spectrum>>| -> Vec<Spectrum> {
            let mut least: Option<Vec<Spectrum>> = None;
            for one in spectra {
                match &mut least {
                    None => least = Some(one.clone()),
                    Some(least) => {
                        for (least, one) in least.iter_mut().zip(one) {
                            *least = least.zip(one, f64::min);
                        }
                    }
                }
            }
            least.unwrap_or_default()
        };
        let mut least = vec![];
        for place in &table.places {
            let rows = place.part.iter().zip(&place.allowed);
            let rows = rows.map(|(choices, allowed)| {
                let open = choices.iter().zip(allowed).filter(|(_, allowed)| **allowed).map(|(part, _)| part);
                least_of(&mut open.into_iter())
            });
            least.push(rows.collect::<Vec<_>>());
        }
        let least_of_all = least.iter().map(|rows: &Vec<Vec<Spectrum>>| least_of(&mut rows.iter())).collect();
        let least_common = table.places.iter().map(|place| least_of(&mut place.common.iter())).collect();
        let order = order(table);
        let decided = vec![false; table.places.len()];
        Self {
            table,
            question,
            order,
            least,
            least_of_all,
            least_common,
            decided,
            best: None,
            nodes: 0,
            stopped: false,
        }
    }

    /// A first plan, by what keeps most for its cost at each step: good to have before the search.
    fn start(&mut self) {
        let table = self.table;
        let rough = |plan: &[usize]| (self.question.rough)(&table.energies(plan));
        let mut plan = vec![0; table.places.len()];
        let mut now_db = rough(&plan);
        while now_db < self.question.want_db || (self.question.worth)(&plan) < self.question.want_db {
            let mut best: Option<(f64, Vec<usize>, f64)> = None;
            for (place, choices) in table.places.iter().enumerate() {
                for choice in (0..choices.cost.len()).filter(|choice| *choice != plan[place]) {
                    let mut tried = plan.clone();
                    tried[place] = choice;
                    if !table.can_be(&tried) {
                        continue;
                    }
                    let (after_db, more) = (rough(&tried), table.cost(&tried) - table.cost(&plan));
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
        let better =
            self.best.as_ref().map_or(cost <= self.question.most_cost + SAME_COST, |best| cost < best.1 - SAME_COST);
        if better && self.table.can_be(plan) {
            self.best = Some((plan.to_vec(), cost));
        }
    }

    fn cap(&self) -> f64 {
        self.best.as_ref().map_or(self.question.most_cost + 2.0 * SAME_COST, |(_, cost)| *cost)
    }

    /// Tries all completions of a partial plan. Returns a bound of the cost of those left untried because it was stopped; infinite where none is.
    fn visit(&mut self, depth: usize, plan: &mut Vec<usize>, cost: f64) -> f64 {
        self.nodes += 1;
        let Some(more) = self.bound(plan) else { return f64::INFINITY };
        if cost + more >= self.cap() - SAME_COST {
            return f64::INFINITY;
        }
        self.stopped = self.stopped || (self.question.stop)(self.nodes);
        if self.stopped {
            return cost + more;
        }
        let Some(&place) = self.order.get(depth) else {
            if (self.question.worth)(plan) >= self.question.want_db {
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

    /// A bound of what completing a partial plan costs at least; nothing where no completion keeps the demands.
    fn bound(&self, plan: &[usize]) -> Option<f64> {
        let table = self.table;
        let mut decided = table.fixed.clone();
        let mut common = vec![Spectrum::splat(1.0); table.rooms];
        for (at, place) in table.places.iter().enumerate() {
            if self.decided[at] {
                add_all(&mut decided, &place.part[table.row(at, plan)][plan[at]]);
                multiply_all(&mut common, &place.common[plan[at]]);
            } else {
                multiply_all(&mut common, &self.least_common[at]);
            }
        }
        let mut lowest = decided.clone();
        for at in (0..table.places.len()).filter(|at| !self.decided[*at]) {
            add_all(&mut lowest, self.least_at(at, plan));
        }
        let lowest = table.folded(&lowest, &common);
        let mut dearest: f64 = 0.0;
        for demand in &table.demands {
            let allowed = demand.limit / 10f64.powf((self.question.want_db + demand.certain_db) / 10.0);
            if lowest[demand.ear].dot(&demand.weights) > allowed * (1.0 + 1e-9) {
                return None;
            }
            let weighed = Weighed { search: self, demand, common: &common, plan };
            dearest = dearest.max(weighed.relaxed_cost(&decided, allowed)?);
        }
        Some(dearest)
    }

    fn least_at(&self, place: usize, plan: &[usize]) -> &[Spectrum] {
        match self.table.places[place].given {
            Some(given) if self.decided[given] => &self.least[place][plan[given]],
            _ => &self.least_of_all[place],
        }
    }
}

/// A demand at a partial plan: everything as one number.
struct Weighed<'a, 'b> {
    search: &'a Search<'b>,
    demand: &'a Demand,
    /// The least factors of the rooms.
    common: &'a [Spectrum],
    plan: &'a [usize],
}

impl Weighed<'_, '_> {
    fn of(&self, streams: &[Spectrum]) -> f64 {
        let (table, ear) = (self.search.table, self.demand.ear);
        let mut sum = 0.0;
        for room in 0..table.rooms {
            let (air, floor) = (&streams[table.stream(ear, room, false)], &streams[table.stream(ear, room, true)]);
            for band in 0..BAND_COUNT {
                sum += self.demand.weights[band] * (self.common[room][band] * air[band] + floor[band]);
            }
        }
        sum
    }

    /// The cost of the rest at least, were choices divisible; nothing where even then the demand is broken.
    fn relaxed_cost(&self, decided: &[Spectrum], allowed: f64) -> Option<f64> {
        let table = self.search.table;
        let mut over = self.of(decided) - allowed;
        let mut steps: Vec<(f64, f64)> = vec![];
        let mut least_cost = 0.0;
        let open = table.places.iter().zip(&self.search.decided).filter(|(_, decided)| !**decided);
        for (place, _) in open {
            let known = place.given.filter(|given| self.search.decided[*given]).map(|given| self.plan[given]);
            let rows = match (place.given, known) {
                (Some(_), None) => 0..place.part.len(),
                (_, Some(row)) => row..row + 1,
                (None, None) => 0..1,
            };
            let mut points: Vec<(f64, f64)> = vec![];
            for choice in 0..place.cost.len() {
                let energies = rows
                    .clone()
                    .filter(|row| place.allowed[*row][choice])
                    .map(|row| self.of(&place.part[row][choice]))
                    .fold(f64::INFINITY, f64::min);
                if energies.is_finite() {
                    points.push((place.cost[choice], energies));
                }
            }
            let first = hull(&mut points);
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
        (over <= 1e-9 * allowed).then_some(least_cost)
    }
}

/// Leaves of points (cost, energy) those of the lower convex hull, the cheapest first; returns that one.
fn hull(points: &mut Vec<(f64, f64)>) -> (f64, f64) {
    points.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    for &(cost, energy) in points.iter() {
        if kept.last().is_some_and(|last| energy >= last.1) {
            continue;
        }
        while let [.., (c0, e0), (c1, e1)] = kept[..]
            && (e0 - e1) * (cost - c0) <= (e0 - energy) * (c1 - c0)
        {
            kept.pop();
        }
        kept.push((cost, energy));
    }
    *points = kept;
    points.first().copied().unwrap_or((0.0, 0.0))
}

/// Those that can change most first, each followed by those that depend on it.
fn order(table: &Table) -> Vec<usize> {
    let reach = |at: usize| -> f64 {
        let place = &table.places[at];
        let change = |demand: &Demand| {
            let of = |part: &[Spectrum]| -> f64 {
                let rooms = (0..table.rooms).flat_map(|room| [false, true].map(|floor| (room, floor)));
                rooms.map(|(room, floor)| part[table.stream(demand.ear, room, floor)].dot(&demand.weights)).sum()
            };
            of(&place.part[0][0]) / demand.limit
        };
        table.demands.iter().map(change).fold(0.0, f64::max)
    };
    let mut heads: Vec<usize> = (0..table.places.len()).filter(|at| table.places[*at].given.is_none()).collect();
    heads.sort_by(|one, other| reach(*other).total_cmp(&reach(*one)));
    let after = |head: usize| (0..table.places.len()).filter(move |at| table.places[*at].given == Some(head));
    heads.into_iter().flat_map(|head| std::iter::once(head).chain(after(head))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
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
                    common: (0..choices)
                        .map(|choice| vec![Spectrum::splat(if choice == 0 { 1.0 } else { next(0.8, 1.05) })])
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

    fn margin_db(table: &Table, energies: &[Spectrum]) -> f64 {
        let margin = |demand: &Demand| 10.0 * (demand.limit / energies[demand.ear].dot(&demand.weights)).log10();
        table.demands.iter().map(margin).fold(f64::INFINITY, f64::min)
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
            let rough = |energies: &[Spectrum]| margin_db(&table, energies);
            let worth = |plan: &[usize]| rough(&table.energies(plan));
            let question = Question { worth: &worth, rough: &rough, want_db, most_cost: f64::INFINITY, stop: &|_| false };
            let found = cheapest(&table, &question);
            let plans = every_plan(&table);
            let good = plans.iter().filter(|plan| table.can_be(plan) && worth(plan) >= want_db);
            let least = good.map(|plan| table.cost(plan)).fold(f64::INFINITY, f64::min);
            match &found.plan {
                Some((plan, cost)) => {
                    prop_assert!((cost - least).abs() < 1e-6, "{cost} for {least}");
                    prop_assert!(table.can_be(plan) && worth(plan) >= want_db);
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
            let rough = |energies: &[Spectrum]| margin_db(&table, energies);
            let worth = |plan: &[usize]| rough(&table.energies(plan));
            let ask = |stop: &dyn Fn(u64) -> bool| {
                let most_cost = f64::INFINITY;
                cheapest(&table, &Question { worth: &worth, rough: &rough, want_db: 6.0, most_cost, stop })
            };
            let (whole, part) = (ask(&|_| false), ask(&|nodes| nodes > after));
            if let Some((_, cost)) = whole.plan {
                prop_assert!(part.at_least <= cost + 1e-6, "{} for {cost}", part.at_least);
            }
        }
    }

    /// By hand: points in the plane.
    #[test]
    fn a_hull_keeps_what_pays() {
        let mut points = vec![(0.0, 10.0), (1.0, 9.0), (2.0, 4.0), (3.0, 5.0), (4.0, 3.5)];
        assert_eq!(hull(&mut points), (0.0, 10.0));
        assert_eq!(points, [(0.0, 10.0), (2.0, 4.0), (4.0, 3.5)]);
    }
}
