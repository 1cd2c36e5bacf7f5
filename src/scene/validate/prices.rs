//! Prices of the scene's own.

use super::{Check, Spot, limits};
use crate::scene::problem::Thing;

impl Check<'_> {
    /// Currency, an hour's worth, and own prices of goods that there are.
    pub(super) fn prices(&mut self) {
        let (spot, prices) = (Spot::scene(Thing::Scene), &self.scene.prices);
        self.number(&spot, "price of an hour of work", prices.labour_per_h, limits::PRICE);
        for (at, (id, (low, likely, high))) in prices.own.iter().enumerate() {
            let goods = &self.catalogue.goods;
            self.listed(
                &spot,
                format_args!("its price is for a good that"),
                id,
                goods,
                "choose a good of the catalogue",
            );
            if prices.own[..at].iter().any(|(other, _)| other == id) {
                self.error(&spot, format!("it has two prices for \"{id}\""), "keep one of them");
            }
            let all = [low, likely, high].map(|price| self.number(&spot, "price", *price, limits::PRICE));
            if all == [true; 3] && !(low <= likely && likely <= high) {
                let what = format!("its price of \"{id}\" does not rise from low by likely to high");
                self.error(&spot, what, "give the lowest first and the highest last");
            }
        }
    }
}
