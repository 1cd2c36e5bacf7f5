//! What springs under things are worth: platforms under feet and pedals, plates that float on a resilient layer.

use super::answer::{FloatingAnswer, MountAnswer};
use super::conditions::Conditions;
use super::construction::{Body, Lining, gains_db};
use super::element::Elements;
use super::library::Library;
use crate::acoustics::layers::Stack;
use crate::building::{Building, Element, ElementIndex};
use crate::scene::Scene;

/// Every contact that stands on a platform or isolators.
#[must_use]
pub fn mounts(scene: &Scene, building: &Building, elements: &Elements, conditions: &Conditions) -> Vec<MountAnswer> {
    let mut all = vec![];
    for placed in &building.sources {
        let Some(source) = scene.sources.iter().find(|source| source.id == placed.source) else { continue };
        for (contact, touched) in source.touches().iter().zip(&placed.touched) {
            let Some(mount) = &contact.mount else { continue };
            let Ok(isolators) = mount.isolators() else { continue };
            let Some(touched) = *touched else { continue };
            let side = usize::from(building.elements[touched.0].sides[0] != placed.space);
            let Some(excited) = &elements[touched].excited[side] else { continue };
            all.push(MountAnswer {
                source: source.id.clone(),
                contact: contact.name.clone(),
                load_kg: isolators.load_kg(),
                resonance_hz: isolators.resonance_hz(),
                gain_db: isolators.platform_loss_db(
                    &excited.mobility,
                    elements[touched].gross_area_m2,
                    &conditions.bands,
                ),
            });
        }
    }
    all
}

/// Every construction with a plate on a resilient layer, and the elements built so.
#[must_use]
pub(super) fn floating(library: &Library<'_>, building: &Building, conditions: &Conditions) -> Vec<FloatingAnswer> {
    let mut all: Vec<FloatingAnswer> = vec![];
    let mut seen: Vec<&str> = vec![];
    for element in building.elements.iter() {
        let id = element.construction.as_str();
        if seen.contains(&id) {
            continue;
        }
        seen.push(id);
        let Some(resolved) = library.get(id) else { continue };
        let (bare, linings): (&Stack, _) = match &resolved.body {
            Body::Heavy { bare, linings, .. } => (bare, linings),
            Body::Light { stack, linings } => (stack, linings),
            Body::Twin { .. } | Body::Measured { .. } | Body::Small { .. } | Body::Open => continue,
        };
        let same = |(at, other): (usize, &Element)| (other.construction == id).then_some(ElementIndex(at));
        for lining in linings.iter().flatten() {
            let Lining::Floating { resonance_hz, .. } = lining else { continue };
            let size = (element.size_m[0].max(0.1), element.size_m[1].max(0.1));
            all.push(FloatingAnswer {
                construction: id.to_owned(),
                elements: building.elements.iter().enumerate().filter_map(same).collect(),
                resonance_hz: *resonance_hz,
                gain_db: gains_db(bare, std::slice::from_ref(lining), size, conditions),
            });
        }
    }
    all
}
