//! Ways through the open air, for as long as a solve lasts.

mod ways;

pub(super) use ways::{Found, Look, Place, PlaceNumber, Ways};
