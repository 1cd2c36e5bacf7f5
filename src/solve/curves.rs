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

/// By a hash of what they were computed from. Those of one hash are told apart by comparing them whole.
static CACHE: LazyLock<Mutex<Curves>> = LazyLock::new(Mutex::default);

/// Curves by the hash of what they are of, with that itself to tell equal hashes apart.
type Curves = HashMap<u64, Vec<(Build, Spectrum)>>;

/// [`Stack::transmission`] of a layered build in the air of elements: computed once for a size, whichever of its sides is named first.
pub(super) fn transmission(stack: &Stack, (one, other): (f64, f64), conditions: &Conditions) -> Spectrum {
    let Conditions { element_air: air, bands, .. } = conditions;
    let size_m = if one < other { (other, one) } else { (one, other) };
    let mut hasher = DefaultHasher::new();
    for value in [stack.mass_per_area_kg_m2(), stack.thickness_m(), size_m.0, size_m.1] {
        value.to_bits().hash(&mut hasher);
    }
    let hash = hasher.finish();
    let build = Build { stack: stack.clone(), size_m, air: *air, bands: *bands };
    let cache = || CACHE.lock().unwrap_or_else(PoisonError::into_inner);
    let known =
        cache().get(&hash).and_then(|alike| alike.iter().find(|(other, _)| *other == build).map(|(_, tau)| *tau));
    known.unwrap_or_else(|| {
        // Others need not wait for it: two that compute the same at once find the same.
        let tau = stack.transmission(size_m, air, bands);
        let mut cache = cache();
        if cache.len() >= MOST_CURVES {
            cache.clear();
        }
        cache.entry(hash).or_default().push((build, tau));
        tau
    })
}
