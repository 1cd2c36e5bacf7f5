//! Elements and junctions of the solve before, kept as long as nothing they were computed from changes.

use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use super::super::construction::Resolved;
use super::super::element::Solved;
use super::super::kij::{ArmFacts, JunctionKij, NodeKij};
use super::super::paths::Round;
use crate::acoustics::Spectrum;
use crate::building::{Element, Junction, SpaceIndex};
use crate::catalogue::{Catalogue, Construction};
use crate::scene::{Override, Scene};

/// What the solve before computed of elements, and what it named.
#[derive(Debug, Clone, Default)]
pub(in crate::solve) struct Elements {
    named: Named,
    /// Constructions by id.
    pub(in crate::solve) resolved: BTreeMap<String, Arc<Resolved>>,
    /// By a number made of the element's id: of the solve before, and of the one under way.
    solved: [HashMap<u64, KeptElement>; 2],
    /// One for each way in which elements meet: of the solve before, and of the one under way.
    nodes: [Vec<KeptNode>; 2],
    /// By a number made of what meets: of the time before, and of this one.
    rounds: [HashMap<u64, KeptRound>; 2],
}

/// The records that names of a scene lead to, and what the scene sets by hand.
#[derive(Debug, Clone, Default, PartialEq)]
struct Named {
    /// Nothing: the built-in catalogue.
    catalogue: Option<Box<Catalogue>>,
    constructions: Vec<Construction>,
    overrides: Vec<Override>,
}

#[derive(Debug, Clone)]
struct KeptElement {
    /// Where the element is: in which building's list, and which.
    of: Arc<[Element]>,
    at: usize,
    edge_sum_m: Spectrum,
    solved: Arc<Solved>,
}

#[derive(Debug, Clone)]
struct KeptNode {
    arms: Vec<ArmFacts>,
    /// For each arm the one it goes straight on into, and whether they are one piece.
    straight: Vec<(Option<usize>, bool)>,
    kij: Arc<NodeKij>,
    /// Along lines of some length, m: of the solve before, and of the one under way.
    lines: [Vec<(f64, Arc<JunctionKij>)>; 2],
}

#[derive(Debug, Clone)]
struct KeptRound {
    kij: Arc<JunctionKij>,
    arms: Vec<Arc<Solved>>,
    sides: Vec<Side>,
    ways: Arc<Round>,
}

/// What lies on a side of an element, and whether that is a room.
type Side = (SpaceIndex, bool);

impl Named {
    fn is_of(&self, scene: &Scene, catalogue: &Catalogue) -> bool {
        let same = match &self.catalogue {
            Some(own) => **own == *catalogue,
            None => std::ptr::eq(catalogue, Catalogue::built_in_ref()),
        };
        same && self.constructions == scene.constructions && self.overrides == scene.overrides
    }

    fn of(scene: &Scene, catalogue: &Catalogue) -> Self {
        let built_in = std::ptr::eq(catalogue, Catalogue::built_in_ref());
        Self {
            catalogue: (!built_in).then(|| Box::new(catalogue.clone())),
            constructions: scene.constructions.clone(),
            overrides: scene.overrides.clone(),
        }
    }
}

impl KeptNode {
    /// Along a line of some length, m.
    fn along(&mut self, length_m: f64) -> Arc<JunctionKij> {
        let [before, now] = &mut self.lines;
        if let Some((_, kij)) = now.iter().find(|(known_m, _)| *known_m == length_m) {
            return kij.clone();
        }
        let known = before.iter().position(|(known_m, _)| *known_m == length_m).map(|at| before.swap_remove(at).1);
        let kij = known.unwrap_or_else(|| Arc::new(JunctionKij::new(&self.kij, length_m)));
        now.push((length_m, kij.clone()));
        kij
    }
}

impl Elements {
    /// Begins a solve: other records under the same names empty it.
    pub(in crate::solve) fn keep_only_of(&mut self, scene: &Scene, catalogue: &Catalogue) {
        if !self.named.is_of(scene, catalogue) {
            *self = Self { named: Named::of(scene, catalogue), ..Self::default() };
        }
        // What a solve that was overtaken left.
        let [before, now] = &mut self.solved;
        before.extend(now.drain());
        let [before, now] = &mut self.nodes;
        before.append(now);
    }

    /// Ends a solve: elements that it did not ask for are dropped, and all where a construction could not be resolved: then what was said of it must be said
    /// anew, and by the same element.
    pub(in crate::solve) fn end(&mut self, resolved: Option<BTreeMap<String, Arc<Resolved>>>) {
        self.solved.swap(0, 1);
        self.solved[1].clear();
        self.nodes.swap(0, 1);
        self.nodes[1].clear();
        self.nodes[0].iter_mut().for_each(|node| node.lines[0].clear());
        match resolved {
            Some(resolved) => self.resolved.extend(resolved),
            None => {
                self.resolved.clear();
                self.solved[0].clear();
            }
        }
    }

    /// What is known of an element of a list with these edge losses.
    pub(in crate::solve) fn solved(
        &self,
        of: &Arc<[Element]>,
        at: usize,
        edge_sum_m: &Spectrum,
    ) -> Option<Arc<Solved>> {
        let known = self.solved[0].get(&number_of(&of[at].id))?;
        let same = (known.at == at && Arc::ptr_eq(&known.of, of)) || are_alike(&known.of[known.at], &of[at]);
        (same && known.edge_sum_m == *edge_sum_m).then(|| known.solved.clone())
    }

    /// Keeps one of a list until the next solve has asked for others.
    pub(in crate::solve) fn keep(
        &mut self,
        of: &Arc<[Element]>,
        at: usize,
        edge_sum_m: &Spectrum,
        solved: &Arc<Solved>,
    ) {
        let kept = KeptElement { of: of.clone(), at, edge_sum_m: *edge_sum_m, solved: solved.clone() };
        self.solved[1].insert(number_of(&of[at].id), kept);
    }

    /// What is known of a junction, or else what `make` says. Kij set by hand are found by the ids of elements, so those are not remembered.
    pub(in crate::solve) fn junction_or(
        &mut self,
        junction: &Junction,
        arms: &[ArmFacts],
        make: impl FnOnce() -> NodeKij,
    ) -> Arc<JunctionKij> {
        if self.named.overrides.iter().any(|rule| matches!(rule, Override::Kij { .. })) {
            return Arc::new(JunctionKij::new(&Arc::new(make()), junction.length_m));
        }
        let straight = junction.arms.iter().map(|arm| (arm.straight, arm.continuous));
        let [before, now] = &mut self.nodes;
        let same = |known: &KeptNode| known.arms == arms && known.straight.iter().copied().eq(straight.clone());
        let at = now.iter().position(same).unwrap_or_else(|| {
            let known = before.iter().position(same).map(|at| before.swap_remove(at));
            let mut node = known.unwrap_or_else(|| KeptNode {
                arms: arms.to_vec(),
                straight: straight.clone().collect(),
                kij: Arc::new(make()),
                lines: Default::default(),
            });
            let [before, under_way] = &mut node.lines;
            before.append(under_way);
            now.push(node);
            now.len() - 1
        });
        now[at].along(junction.length_m)
    }

    /// Begins asking for the ways round all junctions: those that were not asked for the time before are dropped.
    pub(in crate::solve) fn begin_rounds(&mut self) {
        self.rounds.swap(0, 1);
        self.rounds[1].clear();
    }

    /// The known ways round a junction, or else what `make` says: known of the same junction with the same elements, as this memory kept them, and of sides that
    /// lie to each other as these do.
    pub(in crate::solve) fn round_or<'a>(
        &mut self,
        kij: &Arc<JunctionKij>,
        arms: impl Iterator<Item = &'a Arc<Solved>> + Clone,
        sides: impl Iterator<Item = Side> + Clone,
        make: impl FnOnce() -> Arc<Round>,
    ) -> Arc<Round> {
        let places = arms.clone().map(|arm| Arc::as_ptr(arm).addr());
        let number = places.fold(Arc::as_ptr(kij).addr() as u64, |number, place| {
            (number.rotate_left(29) ^ place as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        });
        let [before, now] = &mut self.rounds;
        let same = |known: &KeptRound| {
            Arc::ptr_eq(&known.kij, kij)
                && known.arms.len() == arms.clone().count()
                && known.arms.iter().zip(arms.clone()).all(|(known, arm)| Arc::ptr_eq(known, arm))
                && lie_alike(&known.sides, sides.clone())
        };
        if let Some(known) = now.get(&number).filter(|known| same(known)) {
            return known.ways.clone();
        }
        let known = before.remove(&number).filter(same).unwrap_or_else(|| KeptRound {
            kij: kij.clone(),
            arms: arms.cloned().collect(),
            sides: sides.collect(),
            ways: make(),
        });
        let ways = known.ways.clone();
        now.insert(number, known);
        ways
    }

    /// How many results are kept.
    pub(in crate::solve) fn len(&self) -> usize {
        self.solved[0].len() + self.nodes[0].len() + self.rounds[1].len()
    }
}

/// A number for an id. Two ids of one number would take each other's place, which costs time and no more: what is found is compared whole.
fn number_of(id: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    id.hash(&mut hasher);
    hasher.finish()
}

/// Whether two elements are the same to all that is computed of them: whatever number their spaces have now.
fn are_alike(one: &Element, other: &Element) -> bool {
    let Element {
        id,
        name,
        shape,
        sides: _,
        area_m2,
        size_m,
        construction,
        reversed,
        openings,
        joist_direction_deg,
        workmanship,
        fronts,
    } = one;
    (id, name, construction) == (&other.id, &other.name, &other.construction)
        && (area_m2, size_m, reversed) == (&other.area_m2, &other.size_m, &other.reversed)
        && (joist_direction_deg, workmanship) == (&other.joist_direction_deg, &other.workmanship)
        && (shape, openings, fronts) == (&other.shape, &other.openings, &other.fronts)
}

/// Whether spaces are rooms as others are, and come in the same order.
fn lie_alike(these: &[Side], those: impl Iterator<Item = Side> + Clone) -> bool {
    if these.iter().copied().eq(those.clone()) {
        return true;
    }
    let pairs = || these.iter().copied().zip(those.clone());
    these.len() == those.clone().count()
        && pairs().all(|((one, this_room), (other, that_room))| {
            this_room == that_room && pairs().all(|((this, _), (that, _))| one.cmp(&this) == other.cmp(&that))
        })
}
