//! Curves of layered builds, kept for all that is solved in this program: they are dear to compute, and the same few are asked for again and again.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{LazyLock, Mutex, PoisonError};

use super::conditions::Conditions;
use crate::acoustics::layers::Stack;
use crate::acoustics::{Air, Bands, Spectrum};

/// So many curves are kept; then all are dropped. Own choice: a large scene has a few hundred, of about a kilobyte each.
const MOST_CURVES: usize = 4096;

/// All that a curve is computed from.
#[derive(Debug, Clone, PartialEq)]
struct Build {
    stack: Stack,
    size_m: (f64, f64),
    air: Air,
    bands: Bands,
}

/// Curves by a hash of what they were computed from. Those of one hash are told apart by comparing them whole.
#[derive(Default)]
struct Cache {
    by_hash: HashMap<u64, Vec<(Build, Spectrum)>>,
    count: usize,
}

static CACHE: LazyLock<Mutex<Cache>> = LazyLock::new(Mutex::default);

impl Cache {
    fn find(&self, hash: u64, is_it: impl Fn(&Build) -> bool) -> Option<Spectrum> {
        self.by_hash.get(&hash)?.iter().find(|(build, _)| is_it(build)).map(|(_, tau)| *tau)
    }

    fn keep(&mut self, hash: u64, build: Build, tau: Spectrum) {
        if self.count >= MOST_CURVES {
            *self = Self::default();
        }
        self.count += 1;
        self.by_hash.entry(hash).or_default().push((build, tau));
    }
}

/// [`Stack::transmission`] of a layered build in the air of elements: computed once for a size, whichever of its sides is named first.
pub(super) fn transmission(stack: &Stack, (one, other): (f64, f64), conditions: &Conditions) -> Spectrum {
    let Conditions { element_air: air, bands, .. } = conditions;
    let size_m = if one < other { (other, one) } else { (one, other) };
    let mut hasher = DefaultHasher::new();
    for value in [stack.mass_per_area_kg_m2(), stack.thickness_m(), size_m.0, size_m.1] {
        value.to_bits().hash(&mut hasher);
    }
    let hash = hasher.finish();
    let is_it =
        |build: &Build| build.size_m == size_m && build.stack == *stack && build.air == *air && build.bands == *bands;
    let cache = || CACHE.lock().unwrap_or_else(PoisonError::into_inner);
    let known = cache().find(hash, is_it);
    known.unwrap_or_else(|| {
        // Others need not wait for it: two that compute the same at once find the same.
        let tau = stack.transmission(size_m, air, bands);
        cache().keep(hash, Build { stack: stack.clone(), size_m, air: *air, bands: *bands }, tau);
        tau
    })
}
