//! What whoever plays gets into their own ears.

use super::super::answer::Answer;
use super::super::conditions::Conditions;
use super::super::direct;
use super::check::{Check, Kept, Place, Subject};
use super::figures::{EXPOSURE, EXPOSURE_DB, HOURS_NOT_SAID, PLAYER_M};
use crate::acoustics::exposure::{daily_exposure_db, hours_until_limit};
use crate::acoustics::rating::weighting::a_weighted_energy;
use crate::building::{Building, SpaceKind};
use crate::catalogue::Catalogue;
use crate::scene::Scene;

/// The daily exposure of the player of each source: the room's sound and the direct sound of all that plays in it, for the hours played.
///
/// Quiet for the rest of the day. As uncertain as the source; the instrument's own directivity towards its player is not known.
pub(super) fn checks(
    scene: &Scene,
    catalogue: &Catalogue,
    building: &Building,
    answer: &Answer,
    found: &mut Vec<Check>,
) {
    let air = Conditions::of(scene).air;
    let said = scene.played.hours_a_day;
    let hours = said.unwrap_or(HOURS_NOT_SAID);
    for placed in &building.sources {
        let plays = scene.sources.iter().any(|source| source.id == placed.source && source.playing);
        let room = building.spaces.get(placed.space.0).filter(|space| matches!(space.kind, SpaceKind::Room(_)));
        let Some(space) = answer.spaces.get(placed.space.0).filter(|_| plays && room.is_some()) else { continue };
        let at = (placed.space, placed.at);
        let direct = direct::energy((scene, catalogue, building), at, PLAYER_M, &space.absorption_m2, &air);
        let la_db = 10.0 * a_weighted_energy(&space.energy.zip(&direct, |room, direct| room + direct)).log10();
        if !la_db.is_finite() {
            continue;
        }
        let lex_db = daily_exposure_db(&[(la_db, hours)]);
        let [offered_db, worn_db, most_db] = EXPOSURE_DB;
        let (limit_db, kept) = match lex_db {
            lex if lex < offered_db => (offered_db, Kept::Yes),
            lex if lex < worn_db => (offered_db, Kept::Ask),
            lex if lex < most_db => (worn_db, Kept::No),
            _ => (most_db, Kept::No),
        };
        found.push(Check {
            subject: Subject::Hearing {
                la_db,
                hours,
                said: said.is_some(),
                until_85_h: hours_until_limit(la_db, worn_db),
            },
            place: Place::Source(placed.source.clone()),
            room: placed.space,
            found: Some(lex_db),
            limit: Some(limit_db),
            unit: "dB(A)",
            kept,
            source: EXPOSURE,
        });
    }
}
