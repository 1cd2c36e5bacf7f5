//! What to build first: the cheapest set of measures that keeps everyone's limit with the wanted chance, and the proof that none is cheaper.
//!
//! Every measure is solved where it fits, by itself and with those it depends on (`sums.rs`); what a set of them brings is then a sum of energies, and the
//! search over all sets is exact ([`search`]). The set found is solved anew in full: where that differs from the sums, the search is told and goes on.

mod ask;
mod branch;
mod branches;
mod find;
mod frontier;
mod measure;
mod model;
mod order;
pub mod places;
mod room;
pub mod search;
mod sums;
pub mod table;
mod weigh;
mod weighed;

pub use ask::Ask;
pub use find::advise;
pub use measure::{Does, Measure, built_in};
pub use model::{Advice, Done, Effect, Instead, Other, Plan, Progress, Proof, Refusal, STEP_DB, Step, Watch, Why};
pub use places::{Choice, PlaceKind};
