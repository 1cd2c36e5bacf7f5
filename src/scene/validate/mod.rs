//! Everything that is wrong with a scene and can be seen without building it. All problems, in the order of the file.
//!
//! Whether markers, sources and listeners lie in a room is found when the building is made, which knows the rooms.

mod drawn;
mod ducts;
pub(crate) mod limits;
mod names;
mod openings;
mod plan;
mod prices;
mod shells;
mod storeys;
mod values;
mod variants;
mod views;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Arguments;

use super::ids::StoreyId;
use super::model::{FORMAT, Override, Residual, Scene};
use super::problem::Gathered;
use super::problem::{Problem, Severity, Thing};
use super::sound::{ContactForce, Source, Touches};
use crate::acoustics::Bands;
use crate::catalogue::limits::short;
use crate::catalogue::{Catalogue, Construction};
use limits::Allowed;
pub(super) use names::nearest;

/// Number of bands a measured override needs: 25 Hz to 5 kHz.
const BANDS: usize = 24;

/// Collects what is wrong with a scene: ids, references (with the nearest known word), walls, openings, numbers, layers, overrides.
///
/// Never panics, whatever the scene holds. A list without errors means a building can be made of it. After some hundred problems the rest is only
/// counted.
#[must_use]
pub fn validate(scene: &Scene, catalogue: &Catalogue) -> Vec<Problem> {
    let mut own = BTreeMap::new();
    for construction in &scene.constructions {
        own.entry(construction.id.as_str()).or_insert(construction);
    }
    let mut check = Check { scene, catalogue, own, problems: Gathered::default() };
    check.head();
    check.residual();
    check.storeys();
    check.own_constructions();
    check.sources();
    check.listeners();
    check.ducts();
    check.overrides();
    check.views();
    check.variants();
    check.prices();
    check.problems.into_list()
}

/// A place to hang a problem on.
#[derive(Clone)]
struct Spot<'a> {
    storey: Option<&'a StoreyId>,
    thing: Thing,
}

impl Spot<'_> {
    const fn scene(thing: Thing) -> Self {
        Spot { storey: None, thing }
    }
}

struct Check<'a> {
    scene: &'a Scene,
    catalogue: &'a Catalogue,
    /// The scene's own constructions by id.
    own: BTreeMap<&'a str, &'a Construction>,
    problems: Gathered,
}

impl<'a> Check<'a> {
    /// What the building has besides: better than usual only with proof.
    fn residual(&mut self) {
        let (spot, residual) = (Spot::scene(Thing::Scene), &self.scene.residual);
        let label = "level difference between rooms that no one builds better than";
        if self.number(&spot, label, residual.dnt_db, limits::RESIDUAL_DB)
            && residual.dnt_db > Residual::USUAL_DB
            && residual.proof.trim().is_empty()
        {
            self.error(
                &spot,
                format!(
                    "its residual is set to {} dB, and no one builds better than {} dB without proof",
                    residual.dnt_db,
                    Residual::USUAL_DB
                ),
                "say as its proof who measured it, where and how, or leave it out",
            );
        }
    }

    fn error(&mut self, spot: &Spot, what: impl Into<String>, to_do: impl Into<String>) {
        self.problems.push(Problem::error(spot.storey, spot.thing.clone(), what, to_do));
    }

    /// As [`Self::error`], for what there may be millions of: put in words only while it is listed.
    fn error_of_many(&mut self, spot: &Spot, words: impl FnOnce() -> (String, &'static str)) {
        if self.problems.is_full(Severity::Error) {
            self.problems.count(Severity::Error, 1);
        } else {
            let (what, to_do) = words();
            self.error(spot, what, to_do);
        }
    }

    /// What to do about an unknown word; nothing where it will not be listed, since looking for near ones takes its time.
    fn advice<'b>(&self, word: &str, known: impl Iterator<Item = &'b str>, otherwise: &str) -> String {
        if self.problems.is_full(Severity::Error) { String::new() } else { names::advice(word, known, otherwise) }
    }

    fn unknown<'b>(
        &mut self,
        spot: &Spot,
        what: String,
        word: &str,
        known: impl Iterator<Item = &'b str>,
        to_do: &str,
    ) {
        let to_do = self.advice(word, known, to_do);
        self.error(spot, what, to_do);
    }

    /// Says so when a word is not in a list of the catalogue. `what` begins the sentence.
    fn listed<T>(&mut self, spot: &Spot, what: Arguments, word: &str, list: &BTreeMap<String, T>, to_do: &str) {
        if !list.contains_key(word) {
            let known = list.keys().map(String::as_str);
            self.unknown(spot, format!("{what} \"{word}\" is not in the catalogue"), word, known, to_do);
        }
    }

    fn warning(&mut self, spot: &Spot, what: impl Into<String>, to_do: impl Into<String>) {
        self.problems.push(Problem::warning(spot.storey, spot.thing.clone(), what, to_do));
    }

    /// The construction of that id, the scene's own first.
    fn construction(&self, id: &str) -> Option<&'a Construction> {
        self.own.get(id).copied().or_else(|| self.catalogue.constructions.get(id))
    }

    /// Says so when a construction is not known or is of a kind that cannot serve as `role`.
    fn construction_as(&mut self, spot: &Spot, role: &str, id: &str, allowed: Allowed) -> Option<&'a Construction> {
        let Some(construction) = self.construction(id) else {
            let own = self.scene.constructions.iter().map(|construction| construction.id.as_str());
            let fitting = self.catalogue.constructions.values().filter(|known| allowed.fits(known));
            let known = own.chain(fitting.map(|known| known.id.as_str()));
            let what = format!("its {role} \"{id}\" is neither in the catalogue nor in this scene");
            self.unknown(spot, what, id, known, "choose one of the catalogue, or add it to the scene's constructions");
            return None;
        };
        if !allowed.kinds.contains(&construction.kind) {
            let found = names::kind_in_words(construction.kind);
            self.error(
                spot,
                format!("its {role} \"{id}\" is {found}"),
                format!("choose {}", names::kinds_in_words(allowed.kinds)),
            );
            return None;
        }
        if !allowed.has_layers(construction) {
            let what = format!("its {role} \"{id}\" is not made of layers, so nothing tells what it gains");
            self.error(spot, what, "choose one that lists its layers");
        }
        Some(construction)
    }

    fn head(&mut self) {
        let spot = Spot::scene(Thing::Scene);
        if self.scene.format != FORMAT {
            let found = self.scene.format;
            self.error(&spot, format!("it has format {found}"), format!("set it to {FORMAT}"));
        }
        if self.scene.name.trim().is_empty() {
            self.warning(&spot, "it has no name", "give it one");
        }
        for hour in self.scene.played.hours.into_iter().flat_map(|(from, to)| [from, to]) {
            self.number(&spot, "hour of playing", hour, limits::CLOCK_H);
        }
        self.playing_time(&spot);
        self.number(&spot, "air temperature", self.scene.air.temperature_c, limits::TEMPERATURE_C);
        self.number(&spot, "air humidity", self.scene.air.humidity_percent, limits::HUMIDITY_PERCENT);
    }

    /// How long it is played a day, and for how many people the loud room is.
    fn playing_time(&mut self, spot: &Spot) {
        let played = &self.scene.played;
        if let Some(people) = played.people {
            self.number(spot, "number of people in the loud room", f64::from(people), limits::PEOPLE);
        }
        let Some(hours) = played.hours_a_day else { return };
        let told = self.number(spot, "playing time", hours, limits::A_DAY_H);
        if let Some(clock) = played.clock_hours().filter(|clock| told && hours > *clock) {
            let what = format!("it is played {} h a day within {} clock hours", short(hours), short(clock));
            self.error(spot, what, "give fewer hours a day, or other clock hours");
        }
    }

    fn sources(&mut self) {
        let scene = self.scene;
        let mut seen = BTreeSet::new();
        for source in &scene.sources {
            let spot = Spot::scene(Thing::Source(source.id.0.clone()));
            self.id(&spot, &source.id.0, &mut seen, "source");
            self.name(&spot, &source.name);
            self.storey_reference(&spot, &source.storey);
            self.point(&spot, source.at);
            self.number(&spot, "offset in level", source.offset_db, limits::LEVEL_CHANGE_DB);
            self.measured(&spot, source);
            let sounds = &self.catalogue.sources;
            self.listed(&spot, format_args!("its sound"), &source.sound, sounds, "choose a sound of the catalogue");
            self.contacts(&spot, source);
        }
        if !scene.sources.iter().any(|source| source.playing) {
            self.warning(&Spot::scene(Thing::Scene), "nothing plays in it", "add a source, or let one play");
        }
    }

    fn measured(&mut self, spot: &Spot, source: &Source) {
        let Some(measured) = &source.measured else { return };
        self.number(spot, "measured level", measured.la_db, limits::MEASURED_DB);
        if let Some(distance_m) = measured.distance_m {
            self.number(spot, "distance of the measurement", distance_m, limits::MEASURED_AT_M);
        } else if !measured.in_room {
            let what = "its measured level has no distance";
            self.error(
                spot,
                what,
                "give `distance_m`, or say `in_room: true` if it was measured somewhere in its room",
            );
        }
        if source.offset_db != 0.0 {
            let what = "it has both a measured level and an offset";
            self.error(spot, what, "keep one: the measured level says how loud it is");
        }
    }

    fn contacts(&mut self, spot: &Spot, source: &Source) {
        for contact in &source.contacts {
            let name = &contact.name;
            if let Some(at) = contact.at {
                self.point(spot, at);
            }
            if let Touches::Wall(wall) = &contact.touches
                && let Some(storey) = self.scene.storeys.iter().find(|storey| storey.id == source.storey)
                && !storey.walls.iter().any(|known| known.id == *wall)
            {
                let known = storey.walls.iter().map(|wall| wall.id.0.as_str());
                let what = format!("its contact \"{name}\" touches wall \"{wall}\", which its storey has not");
                self.unknown(spot, what, &wall.0, known, "name a wall of its storey");
            }
            self.number(spot, "level change of a contact", contact.offset_db, limits::LEVEL_CHANGE_DB);
            match &contact.force {
                ContactForce::Known(id) => {
                    let forces = &self.catalogue.forces;
                    if !forces.contains_key(id) {
                        let what = format!("the force \"{id}\" of its contact \"{name}\" is not in the catalogue");
                        let known = forces.keys().map(String::as_str);
                        self.unknown(spot, what, id, known, "choose a contact force of the catalogue");
                    }
                }
                ContactForce::Own(force) => {
                    if let Err(why) = force.spectrum(&Bands::exact()) {
                        self.error(spot, format!("in its contact \"{name}\" the {why}"), "put it right");
                    }
                }
            }
            if let Some(mount) = &contact.mount
                && let Err(why) = mount.isolators()
            {
                self.error(spot, format!("under its contact \"{name}\" the {why}"), "put it right");
            }
        }
    }

    fn listeners(&mut self) {
        let scene = self.scene;
        let mut seen = BTreeSet::new();
        for listener in &scene.listeners {
            let spot = Spot::scene(Thing::Listener(listener.id.0.clone()));
            self.id(&spot, &listener.id.0, &mut seen, "listener");
            self.name(&spot, &listener.name);
            self.storey_reference(&spot, &listener.storey);
            self.point(&spot, listener.at);
            self.number(&spot, "height of the ears", listener.height_m, limits::EARS_M);
            self.background(&spot, &listener.background);
            if let Some(target) = &listener.target {
                let to_do = "choose a target of the catalogue, or leave it out";
                self.listed(&spot, format_args!("its target"), target, &self.catalogue.targets, to_do);
            }
        }
        if scene.listeners.is_empty() {
            self.warning(&Spot::scene(Thing::Scene), "nobody listens in it", "add a listener");
        }
    }

    fn storey_reference(&mut self, spot: &Spot, id: &StoreyId) {
        if !self.scene.storeys.iter().any(|storey| storey.id == *id) {
            let known = self.scene.storeys.iter().map(|storey| storey.id.0.as_str());
            let what = format!("it stands on storey \"{id}\", which does not exist");
            self.unknown(spot, what, &id.0, known, "name one of the scene's storeys");
        }
    }

    /// Constructions of the scene's own. The catalogue knows what a construction must be; here its faults get their place.
    fn own_constructions(&mut self) {
        let scene = self.scene;
        let mut seen = BTreeSet::new();
        for construction in &scene.constructions {
            let spot = Spot::scene(Thing::Construction(construction.id.clone()));
            if !seen.insert(&construction.id) {
                self.error(&spot, "another construction has the same id", "give each its own word");
            }
            if self.catalogue.constructions.contains_key(&construction.id) {
                self.error(&spot, "the catalogue has one of the same id", "give it another word");
            }
            for doubt in self.catalogue.doubts_of(construction) {
                let (what, to_do) = doubt.split_once("; ").unwrap_or((&doubt, "see whether that is meant"));
                self.warning(&spot, what, to_do);
            }
            let faults = self.catalogue.faults_of(construction);
            for fault in faults {
                // Most clauses end with what must be; the others leave no doubt.
                let (what, to_do) =
                    fault.split_once("; ").unwrap_or((&fault, "correct it among the scene's constructions"));
                self.error(&spot, what, to_do);
            }
        }
    }

    // Whether the element exists is found when the building is made, which knows them.
    fn overrides(&mut self) {
        let mut seen = BTreeSet::new();
        for (position, given) in self.scene.overrides.iter().enumerate() {
            let spot = Spot::scene(Thing::Override(position + 1));
            let elements = match given {
                Override::Kij { from, to, kij_db } => {
                    if from == to {
                        self.error(&spot, "it joins an element to itself", "name two elements");
                    }
                    self.number(&spot, "Kij", *kij_db, limits::KIJ_DB);
                    vec![from, to]
                }
                Override::EdgeLoss { element, sum_m } => {
                    self.number(&spot, "edge loss sum", *sum_m, limits::EDGE_LOSS_M);
                    vec![element]
                }
                Override::Reduction { element, r_db } => {
                    if r_db.len() != BANDS {
                        let found = r_db.len();
                        let to_do = format!("give {BANDS}, one for each third from 25 Hz to 5 kHz");
                        self.error(&spot, format!("it has {found} values"), to_do);
                    }
                    self.spectrum(&spot, "sound reduction index", r_db, limits::REDUCTION_DB);
                    vec![element]
                }
            };
            if elements.iter().any(|element| element.trim().is_empty()) {
                self.error(&spot, "it names no element", "write the element's id as the answer prints it");
            }
            if !seen.insert(quantity(given)) {
                self.error(&spot, "an override before it sets the same quantity", "keep one of them");
            }
        }
    }
}

/// What an override sets: its kind, and the elements it names in any order.
fn quantity(given: &Override) -> (u8, [&str; 2]) {
    match given {
        Override::Kij { from, to, .. } => (0, if from < to { [from, to] } else { [to, from] }),
        Override::EdgeLoss { element, .. } => (1, [element, ""]),
        Override::Reduction { element, .. } => (2, [element, ""]),
    }
}
