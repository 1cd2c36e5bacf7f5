//! A building with all that is computed of it before anyone listens.

use super::balance::Balance;
use super::conditions::Conditions;
use super::known::Known;
use super::low_frequency::RoomModes;
use super::outdoors::OpenAir;
use super::paths::{Injection, Origins, Transfers};
use super::room::RoomAcoustics;
use super::sources::SourceRoom;
use crate::acoustics::Spectrum;
use crate::building::Building;
use crate::catalogue::Catalogue;
use crate::scene::Scene;

/// All that the listeners' answers stand on.
#[derive(Clone, Copy)]
pub(super) struct Solution<'a> {
    /// The document.
    pub scene: &'a Scene,
    /// Its names.
    pub catalogue: &'a Catalogue,
    /// Its geometry.
    pub building: &'a Building,
    /// All first-order paths.
    pub transfers: &'a Transfers,
    /// What lies outdoors.
    pub open_air: &'a OpenAir,
    /// What contacts with floors and walls bring into rooms and outdoors.
    pub injections: &'a [Injection],
    /// All spaces.
    pub rooms: &'a [RoomAcoustics],
    /// Their modes.
    pub modes: &'a [RoomModes],
    /// What passes between them.
    pub balance: &'a Balance,
    /// What the sources of each room make.
    pub sources: &'a [SourceRoom],
    /// p² in each of them, by all that is heard.
    pub energies: &'a [Spectrum],
    /// How far all of it may be off.
    pub known: &'a Known,
    /// Where sound begins.
    pub origins: &'a Origins,
    /// Air and bands.
    pub conditions: &'a Conditions,
}
