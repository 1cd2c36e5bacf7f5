//! What can be chosen from the catalogue, as rows to search: a name, a line of facts, the caution that belongs to it. The window's choosers and
//! `leaklight find` search by the same words.

use crate::acoustics::Spectrum;
use crate::acoustics::rating::weighting;
use crate::catalogue::limits::short;
use crate::catalogue::material::Nature;
use crate::catalogue::target::{Limit, Place};
use crate::catalogue::{Build, Catalogue, Construction, ConstructionKind, Force, Layer, Target};
use crate::scene::validate::limits::Allowed;

/// What is searched.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Shelf {
    /// Constructions that can serve in some place: those that fit best first, and of those the scene's own.
    Constructions(Allowed),
    /// Room surfaces.
    Finishes,
    /// What closes gaps.
    Seals,
    /// What is loud.
    Sounds,
    /// Limits.
    Targets,
    /// What feet and pedals do to the floor.
    Forces,
    /// Plates and limp sheets.
    Sheets,
    /// Porous materials.
    Fills,
    /// Resilient layers.
    Resilient,
}

/// A row.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry<'a> {
    /// The word scenes use.
    pub id: &'a str,
    /// The name people read.
    pub name: &'a str,
    /// What is known without computing.
    pub facts: String,
    /// What to be careful of, or empty.
    pub caution: &'a str,
    /// True for the scene's own.
    pub own: bool,
    /// Further words it is found by, in lower case.
    words: String,
}

impl Entry<'_> {
    /// True when every word searched for is in its name, its id or what it is made of.
    #[must_use]
    pub fn fits(&self, search: &str) -> bool {
        search.to_lowercase().split_whitespace().all(|word| self.has(word))
    }

    /// True when a word in lower case is in its name, its id or what it is made of.
    #[must_use]
    pub fn has(&self, word: &str) -> bool {
        self.name.to_lowercase().contains(word) || self.id.contains(word) || self.words.contains(word)
    }
}

impl Shelf {
    /// All of it, those of the scene `own` first.
    pub(crate) fn entries<'a>(self, catalogue: &'a Catalogue, own: &'a [Construction]) -> Vec<Entry<'a>> {
        match self {
            Self::Constructions(allowed) => {
                let fits = |known: &&Construction| allowed.fits(known);
                let own = own.iter().filter(fits).map(|known| (known, true));
                let others = catalogue.constructions.values().filter(fits).map(|known| (known, false));
                // Walls before what can serve as one as well, doors for a door before windows.
                let mut all: Vec<_> = own.chain(others).collect();
                all.sort_by_key(|(known, own)| (allowed.kinds.iter().position(|kind| *kind == known.kind), !own));
                all.into_iter().map(|(known, own)| construction(catalogue, known, own)).collect()
            }
            Self::Finishes => listed(catalogue.finishes.values(), |it| {
                let [low, _, _, middle, _, high] = it.alpha_octaves;
                let facts = format!("absorbs {low:.2} at 125 Hz, {middle:.2} at 1 kHz, {high:.2} at 4 kHz");
                plain(&it.id, &it.name, facts, &it.caution)
            }),
            Self::Seals => {
                let mut seals: Vec<_> = catalogue.seals.values().collect();
                seals.sort_by(|a, b| b.gap_mm.total_cmp(&a.gap_mm));
                listed(seals, |it| {
                    let [gap, least, most] = [it.gap_mm, it.gap_range_mm.0, it.gap_range_mm.1].map(short);
                    plain(&it.id, &it.name, format!("leaks like a slit of {gap} mm ({least} to {most})"), "")
                })
            }
            Self::Sounds => listed(catalogue.sources.values(), |it| {
                let thirds_db = Spectrum::from_fn(|band| it.lw_octaves_db[band / 3] - 10.0 * 3f64.log10());
                let facts = format!("sound power {:.0} dB(A)", weighting::level_a_db(&thirds_db));
                plain(&it.id, &it.name, facts, "")
            }),
            Self::Targets => listed(catalogue.targets.values(), |it| plain(&it.id, &it.name, target(it), "")),
            Self::Forces => listed(catalogue.forces.values(), |it| plain(&it.id, &it.name, force(&it.force), "")),
            Self::Sheets => materials(catalogue, Nature::is_sheet),
            Self::Fills => materials(catalogue, Nature::is_porous),
            Self::Resilient => materials(catalogue, Nature::is_resilient),
        }
    }
}

fn listed<'a, T: 'a>(all: impl IntoIterator<Item = &'a T>, entry: impl Fn(&'a T) -> Entry<'a>) -> Vec<Entry<'a>> {
    all.into_iter().map(entry).collect()
}

fn materials<'a>(catalogue: &'a Catalogue, fits: fn(&Nature) -> bool) -> Vec<Entry<'a>> {
    listed(catalogue.materials.values().filter(|it| fits(&it.nature)), |it| {
        let facts = match it.nature {
            Nature::Porous { flow_resistivity_pa_s_m2: flow } => {
                format!("{} kg/m³, {:.0} kPa·s/m²", short(it.density_kg_m3), flow / 1000.0)
            }
            Nature::Resilient { dynamic_stiffness_mn_m3, at_thickness_mm } => {
                format!("{} MN/m³ at {} mm", short(dynamic_stiffness_mn_m3), short(at_thickness_mm))
            }
            _ => format!("{} kg/m³", short(it.density_kg_m3)),
        };
        plain(&it.id, &it.name, facts, &it.caution)
    })
}

fn plain<'a>(id: &'a str, name: &'a str, facts: String, caution: &'a str) -> Entry<'a> {
    Entry { id, name, facts, caution, own: false, words: String::new() }
}

/// The row of a construction.
pub(crate) fn construction<'a>(catalogue: &Catalogue, known: &'a Construction, own: bool) -> Entry<'a> {
    let mut parts = vec![];
    if let Ok(mass_kg_m2) = known.mass_per_area_kg_m2(catalogue)
        && mass_kg_m2 > 0.0
    {
        parts.push(format!("{mass_kg_m2:.0} kg/m²"));
    }
    if known.thickness_m() > 0.0 {
        parts.push(format!("{} mm", short((known.thickness_m() * 10_000.0).round() / 10.0)));
    }
    if let Some(price) = known.price_per_m2 {
        let per = if known.kind == ConstructionKind::Vent { "each" } else { "per m²" };
        parts.push(format!("{} {per} (invented)", short(price)));
    }
    let materials: Vec<&str> = match &known.build {
        Build::Layers(layers) => layers.iter().filter_map(material_of).collect(),
        Build::Measured { .. } => vec!["measured"],
        Build::NormalisedDifference { .. } | Build::Open => vec![],
    };
    let names = materials.iter().map(|id| catalogue.materials.get(*id).map_or(*id, |it| it.name.as_str()));
    let words = names.collect::<Vec<_>>().join(" ").to_lowercase();
    Entry { id: &known.id, name: &known.name, facts: parts.join(", "), caution: &known.caution, own, words }
}

fn material_of(layer: &Layer) -> Option<&str> {
    match layer {
        Layer::Sheet { material, .. } | Layer::Resilient { material, .. } => Some(material),
        Layer::Cavity { fill, .. } => fill.as_ref().map(|(material, _)| material.as_str()),
    }
}

fn target(target: &Target) -> String {
    let limit = match &target.limit {
        Limit::LAeq(db) => format!("LAeq {} dB", short(*db)),
        Limit::LAFmax(db) => format!("LAFmax {} dB", short(*db)),
        Limit::LCeq(db) => format!("LCeq {} dB", short(*db)),
        Limit::LowFrequencyLA(db) => format!("up to 160 Hz {} dB(A)", short(*db)),
        Limit::Bands { levels_db, octaves } => {
            let kind = if *octaves { "octaves" } else { "thirds" };
            format!("levels of {} {kind}", levels_db.len())
        }
        Limit::NoiseRating(nr) => format!("NR {}", short(*nr)),
        Limit::Inaudible => "not heard".to_owned(),
    };
    let place = match target.place {
        Place::Room => "in a room",
        Place::Bedroom => "in a bedroom",
        Place::Classroom => "in a classroom",
        Place::Facade => "before a façade",
        Place::Outdoors => "outdoors",
    };
    let (from, to) = target.hours;
    let hours = if from == to { String::new() } else { format!(", {} to {} h", short(from), short(to)) };
    let above = if target.above_background { " above the background" } else { "" };
    let note = if target.note.is_empty() { String::new() } else { format!(". {}", target.note) };
    let business = if target.business { ", for businesses" } else { "" };
    format!("{limit}{above} {place}{hours}{business}{note}")
}

/// A contact force in a few words.
fn force(force: &Force) -> String {
    match force {
        Force::Strokes { impulse_n_s, duration_ms, strokes_per_s } => {
            let [strokes, impulse, ms] = [*strokes_per_s, *impulse_n_s, *duration_ms].map(short);
            format!("{strokes} strokes a second of {impulse} N·s in {ms} ms")
        }
        Force::Steady { .. } => "steady, by octave".to_owned(),
        Force::RubberBall { drops_per_s } => format!("rubber ball, {} a second", short(*drops_per_s)),
        Force::Footsteps { steps_per_s } => format!("{} steps a second", short(*steps_per_s)),
        Force::TappingMachine => "the standard tapping machine".to_owned(),
    }
}
