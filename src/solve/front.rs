//! What stands before an element or an opening: faces of inner shells, their doors, cover panels.
//!
//! Each counts as a lining: ΔR = R with it − R without it, both computed as layered builds of the size in place (transfer matrix with bridges,
//! see [`crate::acoustics::layers`]), as ISO 12354-1:2017 Annex D has it for linings where no measured ΔR is at hand. It comes off every path
//! that passes that face. A shell's own junctions (its walls on its floor) carry nothing: they stand free of the building.

use super::conditions::Conditions;
use super::construction::{Body, resolve};
use super::library::Library;
use super::workmanship;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::acoustics::{Air, Spectrum, lining};
use crate::building::Front;
use crate::catalogue::material::Nature;
use crate::catalogue::{Bridge, Build, Catalogue, Construction, ConstructionKind, Layer};
use crate::scene::{Cover, Support, Workmanship};

/// Absorption of a filled and of an empty gap, as its open edge meets it. Own judgement.
const GAP_ALPHA: [f64; 2] = [0.8, 0.2];

/// Layers before a face.
#[derive(Debug, Clone, PartialEq)]
pub struct FrontLayers {
    /// From inside the room outwards.
    pub layers: Vec<Layer>,
    /// Between the last of them and the old face.
    pub gap: Layer,
    /// Mass per area of the layers, kg/m²; without the fill.
    pub mass_kg_m2: f64,
    /// How well it was built.
    pub workmanship: Workmanship,
}

/// A lining's gain, and what one asks of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FrontGain {
    /// ΔR, dB; negative where it makes things worse.
    pub gain_db: Spectrum,
    /// Resonance of its mass and that of the old build on the spring of gap and supports, Hz.
    pub resonance_hz: f64,
    /// Mass per area, kg/m²; fill included.
    pub mass_kg_m2: f64,
}

impl FrontLayers {
    /// A face of a shell.
    ///
    /// # Errors
    ///
    /// When its construction is unknown or has no layers; a sentence.
    pub(super) fn shell(front: &Front, library: &Library<'_>) -> Result<Self, String> {
        let face = &front.face;
        let (mut layers, mass_kg_m2) = layers_of(&face.construction, library)?;
        if front.reversed {
            layers = turned(&layers);
        }
        let bridge = match face.support {
            Support::None => Bridge::Free,
            Support::Hangers { per_m2 } => Bridge::Hangers { per_m2, resilient: false },
            Support::Clips { spacing_mm } => Bridge::ResilientBars { spacing_mm },
            Support::Springs { .. } | Support::Rubber { .. } => match face.support.springs(mass_kg_m2) {
                Some((per_m2, stiffness_n_m)) => Bridge::Springs { per_m2, stiffness_n_m },
                None => Bridge::Free,
            },
        };
        let gap = Layer::Cavity { depth_mm: face.gap_mm, fill: face.fill.clone(), bridge };
        Ok(Self { layers, gap, mass_kg_m2, workmanship: face.workmanship })
    }

    /// A cover panel.
    ///
    /// # Errors
    ///
    /// When its construction is unknown or has no layers; a sentence.
    pub(super) fn cover(cover: &Cover, library: &Library<'_>) -> Result<Self, String> {
        let (layers, mass_kg_m2) = layers_of(&cover.construction, library)?;
        let bridge = if cover.reveal.is_some() { Bridge::AbsorbentReveal } else { Bridge::CommonReveal };
        let gap = Layer::Cavity { depth_mm: cover.gap_mm, fill: None, bridge };
        Ok(Self { layers, gap, mass_kg_m2, workmanship: cover.workmanship })
    }

    /// A door or window of a shell, `gap_mm` before the old one. The two frames share no more than two in one reveal do; what separate frames of
    /// whole walls share along their edges is far too much for so small a leaf.
    ///
    /// # Errors
    ///
    /// When its construction is unknown or has no layers; a sentence.
    pub(super) fn leaf(construction: &str, gap_mm: f64, library: &Library<'_>) -> Result<Self, String> {
        let (layers, mass_kg_m2) = layers_of(construction, library)?;
        let gap = Layer::Cavity { depth_mm: gap_mm, fill: None, bridge: Bridge::CommonReveal };
        Ok(Self { layers, gap, mass_kg_m2, workmanship: Workmanship::AsDrawn })
    }

    /// The same before an opening, where no support of the face stands: as two frames in one reveal.
    #[must_use]
    pub fn across_opening(self) -> Self {
        let Layer::Cavity { depth_mm, fill, .. } = self.gap else { return self };
        let bridge = if fill.is_some() { Bridge::AbsorbentReveal } else { Bridge::CommonReveal };
        Self { gap: Layer::Cavity { depth_mm, fill, bridge }, ..self }
    }

    /// The same held fast where it should give.
    fn held(&self, base: &Construction) -> Self {
        let Layer::Cavity { depth_mm, fill, bridge } = &self.gap else { return self.clone() };
        let bridge = workmanship::rigid_counterpart(*bridge, base.kind).unwrap_or(*bridge);
        Self { gap: Layer::Cavity { depth_mm: *depth_mm, fill: fill.clone(), bridge }, ..self.clone() }
    }

    /// The same with nothing between its leaf and the old face; nothing where that is so, or where an opening's reveal holds both.
    fn free(&self) -> Option<Self> {
        let Layer::Cavity { depth_mm, fill, bridge } = &self.gap else { return None };
        if matches!(bridge, Bridge::Free | Bridge::CommonReveal | Bridge::AbsorbentReveal) {
            return None;
        }
        let gap = Layer::Cavity { depth_mm: *depth_mm, fill: fill.clone(), bridge: Bridge::Free };
        Some(Self { gap, ..self.clone() })
    }

    /// The layers alone, as a construction.
    #[must_use]
    pub fn alone(&self, like: &Construction) -> Construction {
        Construction { build: Build::Layers(self.layers.clone()), ..like.clone() }
    }

    /// Absorption coefficient of the gap.
    #[must_use]
    pub fn gap_alpha(&self) -> f64 {
        match &self.gap {
            Layer::Cavity { fill: Some(_), .. } => GAP_ALPHA[0],
            _ => GAP_ALPHA[1],
        }
    }
}

fn layers_of(id: &str, library: &Library<'_>) -> Result<(Vec<Layer>, f64), String> {
    let found = library
        .find(id)
        .ok_or_else(|| format!("There is no construction \"{id}\": what is made of it is left out."))?;
    let mass_kg_m2 = found.mass_per_area_kg_m2(library.catalogue).map_err(|unknown| format!("{unknown}."))?;
    match &found.build {
        Build::Layers(layers) if !layers.is_empty() => Ok((layers.clone(), mass_kg_m2)),
        _ => Err(format!(
            "\"{id}\" cannot stand before something else, since it is not made of layers: it is left out. Choose one that is."
        )),
    }
}

/// The same layers from the other side.
#[must_use]
pub fn turned(layers: &[Layer]) -> Vec<Layer> {
    // A sheet is bonded to the one before it: seen from behind, the one before it is bonded to it.
    let bonds = layers.iter().skip(1).map(|layer| matches!(layer, Layer::Sheet { bonded: true, .. })).chain([false]);
    let mut turned: Vec<Layer> = layers
        .iter()
        .zip(bonds)
        .map(|(layer, bond)| match layer {
            Layer::Sheet { material, thickness_mm, .. } => {
                Layer::Sheet { material: material.clone(), thickness_mm: *thickness_mm, bonded: bond }
            }
            other => other.clone(),
        })
        .collect();
    turned.reverse();
    turned
}

/// A build with something before its first (`at_start`) or last layer. Nothing for what has no layers: vents and holes.
/// A measured build is stood in for by a limp sheet of its mass.
#[must_use]
pub fn together(
    catalogue: &Catalogue,
    base: &Construction,
    before: &FrontLayers,
    at_start: bool,
) -> Option<Construction> {
    let Build::Layers(mut layers) = layered(catalogue, base)?.build else { return None };
    if at_start {
        let mut all = before.layers.clone();
        all.push(before.gap.clone());
        all.append(&mut layers);
        layers = all;
    } else {
        layers.push(before.gap.clone());
        layers.extend(turned(&before.layers));
    }
    Some(Construction { build: Build::Layers(layers), ..base.clone() })
}

/// The build as layers.
fn layered(catalogue: &Catalogue, base: &Construction) -> Option<Construction> {
    match &base.build {
        Build::Layers(_) => Some(base.clone()),
        Build::Measured { mass_per_area_kg_m2, .. } => {
            let limp = catalogue.materials.values().find(|material| material.nature == Nature::Limp)?;
            let thickness_mm = 1000.0 * mass_per_area_kg_m2.max(1.0) / limp.density_kg_m3;
            let sheet = Layer::Sheet { material: limp.id.clone(), thickness_mm, bonded: false };
            Some(Construction { build: Build::Layers(vec![sheet]), ..base.clone() })
        }
        Build::NormalisedDifference { .. } | Build::Open => None,
    }
}

/// What a lining before a build gains.
///
/// # Errors
///
/// When the layers cannot be computed (too many leaves, an unknown material); a sentence.
pub fn gain(
    catalogue: &Catalogue,
    base: &Construction,
    before: &FrontLayers,
    at_start: bool,
    size_m: [f64; 2],
    conditions: &Conditions,
) -> Result<FrontGain, String> {
    let bare = layered(catalogue, base).ok_or_else(|| format!("Nothing can stand before \"{}\".", base.id))?;
    let tau = |construction: &Construction| {
        let resolved = resolve(catalogue, construction);
        resolved.map(|resolved| resolved.ideal_tau(size_m, conditions)).map_err(|why| format!("Left out: {why}"))
    };
    let alone = |before: &FrontLayers| {
        let whole = together(catalogue, &bare, before, at_start).unwrap_or_else(|| bare.clone());
        tau(&whole)
    };
    // No support makes a lining better than it would be without: what separate leaves share at their edges passes beside it all the same.
    let free = before.free().map(|free| alone(&free)).transpose()?;
    let with = |before: &FrontLayers| {
        let held = alone(before)?;
        Ok::<_, String>(free.as_ref().map_or(held, |free| held.zip(free, f64::max)))
    };
    let without = tau(&bare)?;
    let mut all = with(before)?;
    let share = workmanship::held_share(before.workmanship);
    if share > 0.0 {
        all = workmanship::side_by_side(&all, &with(&before.held(&bare))?, share);
    }
    // Through the lining's open edge into the gap, and from there through the old build as if nothing stood before it.
    let slab = matches!(bare.kind, ConstructionKind::Floor | ConstructionKind::Roof);
    let area_m2 = size_m[0] * size_m[1];
    let edge =
        workmanship::edge_m2(before.workmanship, slab, before.mass_kg_m2, size_m) / (area_m2 * before.gap_alpha());
    let gain_db = without.zip(&all, |without, with| 10.0 * (without / (with + edge.min(1.0) * without)).log10());
    let base_kg_m2 = bare.mass_per_area_kg_m2(catalogue).unwrap_or(0.0);
    let fill_kg_m2 = before.gap.mass_per_area_kg_m2(catalogue).unwrap_or(0.0);
    let resonance_hz = resonance_hz(&before.gap, before.mass_kg_m2, base_kg_m2, &conditions.element_air);
    // A heavy base with something before it has the path beside the lining in it already. The table knows walls and floors; what two panes or doors share
    // in one reveal is their bridge.
    let lined = together(catalogue, &bare, before, at_start).and_then(|whole| resolve(catalogue, &whole).ok());
    let has_it = lined.is_some_and(|lined| matches!(lined.body, Body::Heavy { .. }));
    let gain_db = if has_it || matches!(bare.kind, ConstructionKind::Window | ConstructionKind::Door) {
        gain_db
    } else {
        let base_rw_db = Airborne::rw_tenths_db_of_spectrum(&without.r_db_from_tau());
        lining::with_path_beside_db(&gain_db, lining::beside_lining_db(resonance_hz, base_rw_db))
    };
    Ok(FrontGain { gain_db, resonance_hz, mass_kg_m2: before.mass_kg_m2 + fill_kg_m2 })
}

/// Resonance of two masses (kg/m²) on the spring of a gap and its supports, Hz: √(s'·(1/m1 + 1/m2))/2π with s' = ρ0·c0²/d of the air, a
/// 1.4th of it where a fill keeps the air at one temperature, and n·k of springs. Source: Bies, Hansen & Howard, Engineering Noise Control,
/// 5th ed. (2017), 7.2.6; shared stiffness by addition.
fn resonance_hz(gap: &Layer, first_kg_m2: f64, second_kg_m2: f64, air: &Air) -> f64 {
    /// Ratio of the specific heats of air.
    const GAMMA: f64 = 1.4;
    let Layer::Cavity { depth_mm, fill, bridge } = gap else { return 0.0 };
    let adiabatic_n_m3 = air.impedance_pa_s_m() * air.speed_m_s() / (depth_mm / 1000.0);
    let air_n_m3 = if fill.is_some() { adiabatic_n_m3 / GAMMA } else { adiabatic_n_m3 };
    let springs_n_m3 = match bridge {
        Bridge::Springs { per_m2, stiffness_n_m } => per_m2 * stiffness_n_m,
        _ => 0.0,
    };
    let masses = 1.0 / first_kg_m2.max(1e-9) + 1.0 / second_kg_m2.max(1e-9);
    ((air_n_m3 + springs_n_m3) * masses).sqrt() / std::f64::consts::TAU
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turned_twice_is_as_before() {
        let sheet = |material: &str, bonded| Layer::Sheet { material: material.into(), thickness_mm: 10.0, bonded };
        let layers = vec![sheet("a", false), sheet("b", true), sheet("c", false)];
        let back = turned(&layers);
        assert_eq!(back, vec![sheet("c", false), sheet("b", false), sheet("a", true)]);
        assert_eq!(turned(&back), layers);
    }

    /// Handbook form: 60·√((1/m1 + 1/m2)/d) for an empty gap (Bies, 7.2.6): 20 and 400 kg/m² 0.1 m apart, 43.5 Hz; filled, 51/60 of it.
    #[test]
    fn resonance_is_that_of_the_handbook() {
        let gap = |fill: Option<(String, f64)>| Layer::Cavity { depth_mm: 100.0, fill, bridge: Bridge::Free };
        let air = Air::default();
        let empty_hz = resonance_hz(&gap(None), 20.0, 400.0, &air);
        assert!((empty_hz - 60.0 * (0.0525f64 / 0.1).sqrt()).abs() < 0.3, "{empty_hz}");
        let filled_hz = resonance_hz(&gap(Some(("wool".into(), 100.0))), 20.0, 400.0, &air);
        assert!((filled_hz / empty_hz - 51.0 / 60.0).abs() < 0.01, "{filled_hz}");
    }
}
