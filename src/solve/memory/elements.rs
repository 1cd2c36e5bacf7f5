//! Elements and junctions of the solve before, kept as long as nothing they were computed from changes.

use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use super::super::construction::Resolved;
use super::super::element::Solved;
use super::super::kij::{ArmFacts, JunctionKij, NodeKij};
use super::super::paths::Round;
use crate::acoustics::Spectrum;
use crate::building::{Element, Junction};
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
    /// By place in the building's list.
    junctions: Vec<KeptJunction>,
    /// One for each way in which elements meet: of the solve before, and of the one under way.
    nodes: [Vec<KeptNode>; 2],
    /// By place in the building's list of junctions.
    rounds: Vec<KeptRound>,
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
struct KeptJunction {
    of: Arc<[Junction]>,
    kij: Arc<JunctionKij>,
}

#[derive(Debug, Clone)]
struct KeptNode {
    arms: Vec<ArmFacts>,
    /// For each arm the one it goes straight on into, and whether they are one piece.
    straight: Vec<(Option<usize>, bool)>,
    kij: Arc<NodeKij>,
}

#[derive(Debug, Clone)]
struct KeptRound {
    kij: Arc<JunctionKij>,
    arms: Vec<Arc<Solved>>,
    spaces: usize,
    ways: Arc<Round>,
}

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
        let same = (known.at == at && Arc::ptr_eq(&known.of, of)) || known.of[known.at] == of[at];
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
        (at, of): (usize, &Arc<[Junction]>),
        arms: &[ArmFacts],
        make: impl FnOnce() -> NodeKij,
    ) -> Arc<JunctionKij> {
        let junction = &of[at];
        if self.named.overrides.iter().any(|rule| matches!(rule, Override::Kij { .. })) {
            return Arc::new(JunctionKij::new(&Arc::new(make()), junction.length_m));
        }
        let straight = junction.arms.iter().map(|arm| (arm.straight, arm.continuous));
        let [before, now] = &mut self.nodes;
        let same = |known: &KeptNode| known.arms == arms && known.straight.iter().copied().eq(straight.clone());
        let node =
            match now.iter().find(|known| same(known)) {
                Some(known) => known.kij.clone(),
                None => {
                    let kept = before.iter().position(same).map(|at| before.swap_remove(at)).unwrap_or_else(|| {
                        KeptNode { arms: arms.to_vec(), straight: straight.collect(), kij: Arc::new(make()) }
                    });
                    let kij = kept.kij.clone();
                    now.push(kept);
                    kij
                }
            };
        if let Some(known) = self.junctions.get_mut(at)
            && Arc::ptr_eq(&known.kij.node, &node)
            && (Arc::ptr_eq(&known.of, of) || known.of[at] == *junction)
        {
            // So that no list before is kept for it.
            known.of = of.clone();
            return known.kij.clone();
        }
        let kij = Arc::new(JunctionKij::new(&node, junction.length_m));
        put(&mut self.junctions, at, KeptJunction { of: of.clone(), kij: kij.clone() });
        kij
    }

    /// The known ways round the junction at some place in the building's list, or else what `make` says: known of the same junction with the same elements,
    /// as this memory kept them, in a building of as many spaces.
    pub(in crate::solve) fn round_or<'a>(
        &mut self,
        at: usize,
        (kij, arms, spaces): (&Arc<JunctionKij>, impl Iterator<Item = &'a Arc<Solved>> + Clone, usize),
        make: impl FnOnce() -> Arc<Round>,
    ) -> Arc<Round> {
        if let Some(known) = self.rounds.get(at)
            && Arc::ptr_eq(&known.kij, kij)
            && known.spaces == spaces
            && known.arms.iter().zip(arms.clone()).all(|(known, arm)| Arc::ptr_eq(known, arm))
        {
            return known.ways.clone();
        }
        let ways = make();
        let kept = KeptRound { kij: kij.clone(), arms: arms.cloned().collect(), spaces, ways: ways.clone() };
        put(&mut self.rounds, at, kept);
        ways
    }

    /// How many results are kept.
    pub(in crate::solve) fn len(&self) -> usize {
        self.solved[0].len() + self.junctions.len() + self.nodes[0].len()
    }
}

/// A number for an id. Two ids of one number would take each other's place, which costs time and no more: what is found is compared whole.
fn number_of(id: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    id.hash(&mut hasher);
    hasher.finish()
}

/// Puts something at its place in a list that is gone through from the beginning.
fn put<T>(list: &mut Vec<T>, at: usize, kept: T) {
    match list.get_mut(at) {
        Some(place) => *place = kept,
        None => list.push(kept),
    }
}
