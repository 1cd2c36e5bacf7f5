//! What each choice at each place does, as sums of energies: from one solve for each, and one for each two that depend on each other.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::ask::Ask;
use super::model::{Counter, Effect, Refusal, Why};
use super::places::{Choice, Place, PlaceKind, loud_rooms, places};
use super::room::{floor_kg_m2, left, most};
use super::table::{BY_FACES, BY_FLOOR, BY_GAPS, Demand, PlaceTable, Table, WAYS, add_all, levels};
use crate::acoustics::Spectrum;
use crate::build_list;
use crate::building::{SpaceIndex, SpaceKind};
use crate::catalogue::Catalogue;
use crate::edit;
use crate::project::{Project, Solved};
use crate::scene::{Edit, Scene};
use crate::solve::cancelled::Cancelled;
use crate::solve::criteria::Asked;
use crate::solve::limits::{self, Check, Kept, Subject};
use crate::solve::{ListenerAnswer, PathKind, PathRecord, Surface};

/// Energies of less than this part of the whole are nothing: no factor is told from them.
const NOTHING: f64 = 1e-30;

/// A scene with what can be done about it, and what that brings.
pub(super) struct Sums {
    pub base: Arc<Solved>,
    /// Who must be kept quiet for: positions in the answer.
    pub ears: Vec<usize>,
    pub rooms: Vec<SpaceIndex>,
    pub places: Vec<Place>,
    /// By place, by choice as in `places`.
    pub effects: Vec<Vec<Effect>>,
    pub table: Table,
    pub refused: Vec<Refusal>,
}

/// A scene after some edits, solved; a sentence where it cannot be, nothing where nobody waits for it.
pub(super) fn solved_after(scene: &Scene, edits: &[Edit], cancelled: &Cancelled<'_>) -> Result<Option<Solved>, String> {
    let catalogue = Catalogue::built_in_ref();
    let after = edits.iter().try_fold(scene.clone(), |scene, edit| edit::apply(&scene, catalogue, edit));
    let built = Project::of(after.map_err(|why| why.to_string())?).build();
    let built = built.map_err(|problems| problems.first().map(ToString::to_string).unwrap_or_default())?;
    Ok(built.solve_unless(cancelled))
}

impl Sums {
    /// Solves a scene with each choice by itself and with those that depend on each other. `count` is told of every solve. Nothing where cancelled.
    pub(super) fn of(base: Arc<Solved>, ask: &Ask, cancelled: &Cancelled<'_>, count: &Counter<'_>) -> Option<Self> {
        let ears = ears(&base, ask);
        let rooms: Vec<SpaceIndex> = loud_rooms(&base).into_iter().map(|(room, _)| room).collect();
        let mut places = places(&base, ask.removable_only);
        // What others depend on comes first.
        places.sort_by_key(|place| !matches!(place.kind, PlaceKind::Wall(..) | PlaceKind::Floor(_)));
        let splitter = Splitter { base: &base, ears: &ears, rooms: &rooms, places: &places };
        let bare = splitter.split(&base)?;
        let all: Vec<(usize, usize)> = places
            .iter()
            .enumerate()
            .flat_map(|(at, place)| (0..place.choices.len()).map(move |choice| (at, choice)))
            .collect();
        count.expect(all.len());
        let tried: Option<Vec<Result<(Split, Effect), Why>>> = all
            .par_iter()
            .map(|&(at, choice)| {
                let done = solved_after(&base.scene, &places[at].choices[choice].edits, cancelled);
                count.step();
                match done {
                    Ok(None) => None,
                    Err(why) => Some(Err(Why::Unbuilt(why))),
                    Ok(Some(after)) => Some(splitter.effect(&after, ask).and_then(|effect| {
                        let split =
                            splitter.split(&after).ok_or_else(|| Why::Unbuilt("It changes the plan.".to_owned()))?;
                        Ok((split, effect))
                    })),
                }
            })
            .collect();
        let mut tried = tried?.into_iter();
        let mut kept: Vec<Vec<(Choice, Split, Effect)>> = vec![];
        let mut refused = vec![];
        for place in &places {
            let mut fits = vec![];
            for choice in &place.choices {
                match tried.next()? {
                    Ok((split, effect)) => fits.push((choice.clone(), split, effect)),
                    Err(why) => refused.push(Refusal { place: place.kind.clone(), choice: choice.clone(), why }),
                }
            }
            kept.push(fits);
        }
        let given: Vec<Option<usize>> = places
            .iter()
            .map(|place| places.iter().position(|other| place.kind.depends_on(&other.kind)))
            .map(|given| given.filter(|given| !kept[*given].is_empty()))
            .collect();
        let pairs = Pairs { base: &base, splitter: &splitter, kept: &kept, given: &given };
        let pairs = pairs.solve(cancelled, count)?;
        let table = table(&splitter, ask, &bare, &kept, &given, &pairs);
        let kinds: Vec<PlaceKind> = places.iter().map(|place| place.kind.clone()).collect();
        let mut effects = vec![];
        let places = kinds.into_iter().zip(kept).map(|(kind, kept)| {
            let (choices, own) = kept.into_iter().map(|(choice, _, effect)| (choice, effect)).unzip();
            effects.push(own);
            Place { kind, choices }
        });
        let places = places.collect();
        Some(Self { ears, rooms, places, effects, table, refused, base })
    }

    /// The plan that does nothing.
    pub(super) fn nothing(&self) -> Vec<usize> {
        vec![0; self.places.len()]
    }

    /// The edits of a plan: by place, 0 for nothing.
    pub(super) fn edits(&self, plan: &[usize]) -> Vec<Edit> {
        let chosen = self.places.iter().zip(plan).filter(|(_, choice)| **choice > 0);
        chosen.flat_map(|(place, choice)| place.choices[choice - 1].edits.iter().cloned()).collect()
    }

    /// For each path of a listener the group it belongs to: those that every plan changes alike. See [`Self::factors`].
    pub(super) fn groups(&self, ear: usize) -> Vec<usize> {
        let nobody = self.places.len();
        let group = |path: &PathRecord| {
            let room = self.rooms.iter().position(|room| *room == path.source_space)?;
            let owner = self.places.iter().position(|place| place.kind.holds(&self.base, path)).unwrap_or(nobody);
            Some((owner * self.rooms.len() + room) * WAYS + way(path))
        };
        self.heard(ear).paths.iter().map(|path| group(path).unwrap_or(self.last_group())).collect()
    }

    /// The group of what comes of no loud room: the last.
    fn last_group(&self) -> usize {
        (self.places.len() + 1) * self.rooms.len() * WAYS
    }

    /// By what a plan changes the energies of each group of a listener's paths.
    pub(super) fn factors(&self, ear: usize, plan: &[usize]) -> Vec<Spectrum> {
        let (table, rooms) = (&self.table, self.rooms.len());
        let mut absorbed = vec![Spectrum::ZERO; rooms];
        table.places.iter().zip(plan).for_each(|(place, choice)| add_all(&mut absorbed, &place.absorbs[*choice]));
        let common = levels(&absorbed);
        let mut factors = vec![];
        for owner in 0..=self.places.len() {
            for (room, common) in common.iter().enumerate() {
                for way in [BY_FACES, BY_GAPS, BY_FLOOR] {
                    let stream = table.stream(ear, room, way);
                    let own = table.places.get(owner).map(|place| {
                        let row = place.given.map_or(0, |given| plan[given]);
                        let (now, bare) = (&place.part[row][plan[owner]][stream], &place.part[0][0][stream]);
                        now.zip(bare, |now, bare| if bare > NOTHING { now / bare } else { 1.0 })
                    });
                    let own = own.unwrap_or(Spectrum::splat(1.0));
                    factors.push(if way == BY_FLOOR { own } else { own.zip(common, |own, common| own * common) });
                }
            }
        }
        factors.push(Spectrum::splat(1.0));
        factors
    }

    /// What a listener gets as it is.
    pub(super) fn heard(&self, ear: usize) -> &ListenerAnswer {
        &self.base.answer.listeners[self.ears[ear]]
    }
}

/// The listeners who have a limit and are not where it is loud: all of them, or those asked for.
fn ears(base: &Solved, ask: &Ask) -> Vec<usize> {
    let asked = |heard: &ListenerAnswer| ask.listeners.is_empty() || ask.listeners.contains(&heard.listener);
    let quiet = |heard: &ListenerAnswer| !base.answer.spaces[heard.space.0].has_source;
    let listeners = base.answer.listeners.iter().enumerate();
    listeners.filter(|(_, heard)| heard.target.is_some() && quiet(heard) && asked(heard)).map(|(at, _)| at).collect()
}

/// By which way a path is summed.
fn way(path: &PathRecord) -> usize {
    match (path.kind, path.entry) {
        (PathKind::StructureBorne, _) => BY_FLOOR,
        (_, Surface::Gap(..)) => BY_GAPS,
        _ => BY_FACES,
    }
}

/// What everyone gets, parted by what changes it.
#[derive(Debug, Clone)]
struct Split {
    /// By stream.
    fixed: Vec<Spectrum>,
    /// By place, by stream; not parted from what it does to the level in the room.
    parts: Vec<Vec<Spectrum>>,
    /// p² in each loud room.
    loud: Vec<Spectrum>,
}

struct Splitter<'a> {
    base: &'a Solved,
    ears: &'a [usize],
    rooms: &'a [SpaceIndex],
    places: &'a [Place],
}

impl Splitter<'_> {
    /// Parts what everyone gets; nothing where the building is another.
    fn split(&self, solved: &Solved) -> Option<Split> {
        let ids =
            |solved: &Solved| solved.building.elements.iter().map(|element| element.id.clone()).collect::<Vec<_>>();
        if ids(solved) != ids(self.base) {
            return None;
        }
        let streams = self.ears.len() * self.rooms.len() * WAYS;
        let mut split = Split {
            fixed: vec![Spectrum::ZERO; streams],
            parts: vec![vec![Spectrum::ZERO; streams]; self.places.len()],
            loud: self.rooms.iter().map(|room| solved.answer.spaces[room.0].energy).collect(),
        };
        for (ear, at) in self.ears.iter().enumerate() {
            let heard = solved.answer.listeners.get(*at)?;
            // Where a path belongs depends on kind, room and surface alone.
            let mut owners: BTreeMap<_, Option<usize>> = BTreeMap::new();
            for path in &heard.paths {
                let Some(room) = self.rooms.iter().position(|room| *room == path.source_space) else { continue };
                let way = way(path);
                let stream = (ear * self.rooms.len() + room) * WAYS + way;
                let owner = *owners
                    .entry((way, path.source_space, path.entry))
                    .or_insert_with(|| self.places.iter().position(|place| place.kind.holds(self.base, path)));
                let sum = match owner {
                    Some(place) => &mut split.parts[place][stream],
                    None => &mut split.fixed[stream],
                };
                *sum = sum.zip(&path.energy, |sum, own| sum + own);
            }
        }
        Some(split)
    }

    /// What a choice takes, or why it may not be done.
    fn effect(&self, after: &Solved, ask: &Ask) -> Result<Effect, Why> {
        let base = self.base;
        let vetoed = |solved: &Solved| {
            let checks = limits::checks(&solved.scene, Catalogue::built_in_ref(), &solved.building, &solved.answer);
            // Whoever plays must protect their ears anyway, and what is heavy is cut or carried by more: see `max_lift_kg`.
            let told_elsewhere = |subject: &Subject| matches!(subject, Subject::Hearing { .. } | Subject::Lift { .. });
            let vetoes = |check: &Check| check.kept == Kept::No && !told_elsewhere(&check.subject);
            checks.into_iter().filter(vetoes).collect::<Vec<_>>()
        };
        let before = vetoed(base);
        let new = vetoed(after).into_iter().find(|check| {
            !before.iter().any(|known| known.subject.key() == check.subject.key() && known.place == check.place)
        });
        if let Some(check) = new {
            return Err(Why::Limit(Box::new(check)));
        }
        let list = build_list::between(base, after);
        let piece_kg = list.jobs.iter().flat_map(|job| &job.pieces).map(|piece| piece.kg).fold(0.0, f64::max);
        if let Some(most_kg) = ask.max_lift_kg.filter(|most_kg| piece_kg > *most_kg) {
            return Err(Why::Heavy(piece_kg, most_kg));
        }
        let mut effect = Effect { cost: list.cost, piece_kg, ..Effect::default() };
        for room in self.rooms {
            let height_m = |solved: &Solved| match &solved.building.spaces[room.0].kind {
                SpaceKind::Room(room) => room.height_m,
                _ => 0.0,
            };
            effect.height_m = effect.height_m.max(height_m(base) - height_m(after));
            let ([ways_out, walls], [ways_left, walls_left]) = (left(base, *room), left(after, *room));
            (effect.ways_out, effect.walls) =
                (effect.ways_out.max(ways_out - ways_left), effect.walls.max(walls - walls_left));
            effect.floor_kg_m2 = effect.floor_kg_m2.max(floor_kg_m2(after, *room) - floor_kg_m2(base, *room));
        }
        Ok(effect)
    }
}

/// Choices at places that depend on others, under each choice there.
struct Pairs<'a> {
    base: &'a Solved,
    splitter: &'a Splitter<'a>,
    kept: &'a [Vec<(Choice, Split, Effect)>],
    given: &'a [Option<usize>],
}

/// By place, choice there, choice at the place it depends on: what it brings; nothing where the two cannot be built together.
type PairParts = BTreeMap<(usize, usize, usize), Vec<Spectrum>>;

impl Pairs<'_> {
    /// One solve for each choice (by its position) at all places others depend on, with one choice at all those: they do not touch each other.
    fn solve(&self, cancelled: &Cancelled<'_>, count: &Counter<'_>) -> Option<PairParts> {
        let parents: Vec<usize> = self.given.iter().flatten().copied().collect();
        let most = |places: &mut dyn Iterator<Item = usize>| places.map(|at| self.kept[at].len()).max().unwrap_or(0);
        let over = most(&mut parents.iter().copied());
        let under = most(&mut (0..self.given.len()).filter(|at| self.given[*at].is_some()));
        let rounds: Vec<(usize, usize)> = (0..over).flat_map(|one| (0..under).map(move |other| (one, other))).collect();
        count.expect(rounds.len());
        let found: Option<Vec<PairParts>> =
            rounds.par_iter().map(|&(one, other)| self.round(one, other, cancelled, count)).collect();
        Some(found?.into_iter().flatten().collect())
    }

    fn round(&self, one: usize, other: usize, cancelled: &Cancelled<'_>, count: &Counter<'_>) -> Option<PairParts> {
        let pairs: Vec<(usize, usize)> = self
            .given
            .iter()
            .enumerate()
            .filter_map(|(at, given)| Some((at, (*given)?)))
            .filter(|(at, given)| self.kept[*at].len() > other && self.kept[*given].len() > one)
            .collect();
        let mut found = PairParts::new();
        self.together(&pairs, one, other, &mut found, cancelled)?;
        count.step();
        Some(found)
    }

    /// Solves some pairs at once; where they cannot be built, each half by itself, down to the one that cannot.
    fn together(
        &self,
        pairs: &[(usize, usize)],
        one: usize,
        other: usize,
        found: &mut PairParts,
        cancelled: &Cancelled<'_>,
    ) -> Option<()> {
        if pairs.is_empty() {
            return Some(());
        }
        let mut parents: Vec<usize> = pairs.iter().map(|(_, given)| *given).collect();
        parents.sort_unstable();
        parents.dedup();
        let edits =
            parents.iter().map(|at| &self.kept[*at][one].0).chain(pairs.iter().map(|(at, _)| &self.kept[*at][other].0));
        let edits: Vec<Edit> = edits.flat_map(|choice| choice.edits.iter().cloned()).collect();
        let solved = solved_after(&self.base.scene, &edits, cancelled);
        let split = match solved {
            Ok(None) => return None,
            Ok(Some(after)) => self.splitter.split(&after),
            Err(_) => None,
        };
        match split {
            Some(split) => {
                for (at, _) in pairs {
                    found.insert((*at, other, one), self.splitter.local(&split, *at));
                }
            }
            None if pairs.len() > 1 => {
                let (first, second) = pairs.split_at(pairs.len() / 2);
                self.together(first, one, other, found, cancelled)?;
                self.together(second, one, other, found, cancelled)?;
            }
            None => {}
        }
        Some(())
    }
}

impl Splitter<'_> {
    /// What is done to the level in each loud room, as a factor.
    fn common(&self, split: &Split) -> Vec<Spectrum> {
        let bare = self.rooms.iter().map(|room| &self.base.answer.spaces[room.0].energy);
        let ratio = |now: f64, bare: f64| if bare > 0.0 { now / bare } else { 1.0 };
        split.loud.iter().zip(bare).map(|(now, bare)| now.zip(bare, ratio)).collect()
    }

    /// What a place passes, parted from what is done to the level in the rooms.
    fn local(&self, split: &Split, place: usize) -> Vec<Spectrum> {
        let common = self.common(split);
        let parts = split.parts[place].iter().enumerate();
        let parted = |(stream, part): (usize, &Spectrum)| {
            let (room, way) = (stream / WAYS % self.rooms.len(), stream % WAYS);
            if way == BY_FLOOR { *part } else { part.zip(&common[room], |part, common| part / common) }
        };
        parts.map(parted).collect()
    }
}

fn table(
    splitter: &Splitter<'_>,
    ask: &Ask,
    bare: &Split,
    kept: &[Vec<(Choice, Split, Effect)>],
    given: &[Option<usize>],
    pairs: &PairParts,
) -> Table {
    let (base, rooms) = (splitter.base, splitter.rooms);
    let mut places = vec![];
    for (at, own) in kept.iter().enumerate() {
        let over = given[at].map_or(&[][..], |given| &kept[given][..]);
        // Without anything at the place it depends on, then with each choice there.
        let alone = std::iter::once(bare).chain(own.iter().map(|(_, split, _)| split));
        let mut part = vec![alone.map(|split| splitter.local(split, at)).collect::<Vec<_>>()];
        let mut allowed = vec![vec![true; own.len() + 1]];
        for (one, (_, split, _)) in over.iter().enumerate() {
            let first = splitter.local(split, at);
            let others = (0..own.len()).map(|other| pairs.get(&(at, other, one)).cloned());
            let others: Vec<Option<Vec<Spectrum>>> = others.collect();
            allowed.push(std::iter::once(true).chain(others.iter().map(Option::is_some)).collect());
            let none = || vec![Spectrum::ZERO; first.len()];
            part.push(
                std::iter::once(first.clone()).chain(others.into_iter().map(|it| it.unwrap_or_else(none))).collect(),
            );
        }
        let absorbed = |(_, split, _): &(Choice, Split, Effect)| -> Vec<Spectrum> {
            splitter.common(split).iter().map(|level| level.map(|level| 1.0 / level - 1.0)).collect()
        };
        let absorbs = std::iter::once(vec![Spectrum::ZERO; rooms.len()]).chain(own.iter().map(absorbed)).collect();
        let nothing = Effect::default();
        let effects = || std::iter::once(&nothing).chain(own.iter().map(|(_, _, effect)| effect));
        let place_room = splitter.places[at].kind.room(base);
        let uses = |effect: &Effect| -> Vec<f64> {
            rooms
                .iter()
                .flat_map(|room| match place_room == Some(*room) {
                    true => [effect.floor_kg_m2.max(0.0), effect.height_m.max(0.0), effect.ways_out, effect.walls],
                    false => [0.0; 4],
                })
                .collect()
        };
        places.push(PlaceTable {
            given: given[at],
            part,
            absorbs,
            cost: effects().map(|effect| effect.cost.likely).collect(),
            uses: effects().map(uses).collect(),
            allowed,
        });
    }
    let demands = splitter.ears.iter().enumerate().flat_map(|(ear, at)| demands(base, ear, *at));
    Table {
        ears: splitter.ears.len(),
        rooms: rooms.len(),
        fixed: bare.fixed.clone(),
        places,
        demands: demands.collect(),
        most: rooms.iter().flat_map(|room| most(base, *room, ask)).collect(),
    }
}

/// What a listener's limit asks of the sums of their bands.
fn demands(base: &Solved, ear: usize, at: usize) -> Vec<Demand> {
    let heard = &base.answer.listeners[at];
    let asked = asked_of(base, heard);
    let demand = |(weights, limit): (Spectrum, f64)| Demand { ear, weights, limit, certain_db: 0.0 };
    asked.map(|asked| asked.sums().into_iter().map(demand).collect()).unwrap_or_default()
}

/// What a listener's limit asks.
pub(super) fn asked_of(solved: &Solved, heard: &ListenerAnswer) -> Option<Asked> {
    let target = heard.target.as_ref()?;
    let peak_db = heard.lafmax_db - heard.la_db;
    let peak_db = if peak_db.is_finite() { peak_db } else { 0.0 };
    let hours_a_day = solved.scene.played.hours_a_day;
    Some(Asked::of(&target.record, peak_db, &heard.background_db, hours_a_day))
}
