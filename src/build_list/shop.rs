//! The shop: which good one buys for what, and at which price.

use crate::catalogue::goods::{Part, Serves, Sold};
use crate::catalogue::{Catalogue, Construction, Good, Material};
use crate::scene::Scene;

/// Boards, mats and wool are sold at thicknesses near enough, mm. Own judgement.
const NEAR_MM: f64 = 0.6;
/// Low and high price of a build of which the catalogue has one only, parts of it. Invented.
const SPREAD: [f64; 3] = [0.7, 1.0, 1.5];

/// The catalogue with a scene's own constructions and prices.
pub(super) struct Shop<'a> {
    pub catalogue: &'static Catalogue,
    scene: &'a Scene,
}

impl<'a> Shop<'a> {
    pub(super) fn of(scene: &'a Scene) -> Self {
        Self { catalogue: Catalogue::built_in_ref(), scene }
    }

    pub(super) fn material(&self, id: &str) -> Option<&'static Material> {
        self.catalogue.materials.get(id)
    }

    pub(super) fn construction(&self, id: &str) -> Option<&'a Construction> {
        self.catalogue.resolve(&self.scene.constructions, id)
    }

    /// Low, likely and high price of one: the scene's own, or the catalogue's.
    pub(super) fn price(&self, good: &Good) -> [f64; 3] {
        let own = self.scene.prices.own.iter().find(|(id, _)| *id == good.id);
        let (low, likely, high) = own.map_or(good.price, |(_, price)| *price);
        [low, likely, high]
    }

    /// The price of a build by m² (by piece for vents), low, likely and high.
    pub(super) fn price_of(&self, construction: &Construction) -> Option<[f64; 3]> {
        construction.price_per_m2.map(|price| SPREAD.map(|part| part * price))
    }

    /// The good for a layer, and how many of it lie on each other to be as thick.
    pub(super) fn layer(&self, material: &str, thickness_mm: f64) -> Option<(&'static Good, f64)> {
        let mut best: Option<(&'static Good, f64)> = None;
        for good in self.catalogue.goods.values() {
            for serves in &good.serves {
                let times = match serves {
                    Serves::Layer(id, mm) if id == material => (thickness_mm / mm).round(),
                    Serves::Material(id) if id == material => return Some((good, 1.0)),
                    _ => continue,
                };
                let Serves::Layer(_, mm) = serves else { continue };
                // Only wool and mats are laid double to be as thick: two boards are two layers.
                let stacks = !matches!(good.sold, Sold::Sheet { .. });
                let fits = times >= 1.0 && (stacks || times == 1.0) && (times * mm - thickness_mm).abs() <= NEAR_MM;
                if fits && best.is_none_or(|(_, fewest)| times < fewest) {
                    best = Some((good, times));
                }
            }
        }
        best
    }

    /// The good for anything else than a layer.
    pub(super) fn good(&self, what: &Serves) -> Option<&'static Good> {
        self.catalogue.goods.values().find(|good| good.serves(what))
    }

    /// The good for a part that carries so much.
    pub(super) fn carrying(&self, part: Part, kg: f64) -> Option<&'static Good> {
        let what = Serves::Part(part);
        let holds = |good: &&Good| good.load_kg.is_some_and(|(least, most)| (least..=most).contains(&kg));
        self.catalogue.goods.values().filter(|good| good.serves(&what)).find(holds)
    }
}
