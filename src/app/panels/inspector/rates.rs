//! Ratings of constructions, computed when they are first looked at and kept as long as the constructions stay the same.

use bevy_egui::egui::{Context, Id};

use super::context;
use crate::acoustics::rating::iso717_1::Airborne;
use crate::catalogue::{Catalogue, Construction, ConstructionKind};
use crate::output::rated::{Rated, Rating, rate};
use crate::output::shelf::{Entry, Shelf, construction};

/// The rating, computed once for each state of a construction.
pub(super) fn rated(context: &Context, catalogue: &Catalogue, construction: &Construction) -> Rating {
    let id = Id::new(("rated", &construction.id));
    let known: Option<(Construction, Rating)> = context.data(|data| data.get_temp(id));
    if let Some((_, rating)) = known.filter(|(known, _)| known == construction) {
        return rating;
    }
    let rating = rate(catalogue, construction);
    context.data_mut(|data| data.insert_temp(id, (construction.clone(), rating.clone())));
    rating
}

/// The line of facts of a row, with what is computed at first sight.
pub(super) fn facts(context: &Context, cx: &context::Context, shelf: Shelf, entry: &Entry) -> String {
    let Shelf::Constructions(_) = shelf else { return entry.facts.clone() };
    let Some(known) = cx.construction(entry.id) else { return entry.facts.clone() };
    match rated(context, cx.catalogue, known) {
        Ok(rated) => format!("{}, {}", weighted_words(known.kind, &rated), entry.facts),
        Err(_) => entry.facts.clone(),
    }
}

/// "Rw 52 dB"; of a vent "Dn,e,w 38 dB".
pub(super) fn weighted_words(kind: ConstructionKind, rated: &Rated) -> String {
    let name = if kind == ConstructionKind::Vent { "Dn,e,w" } else { "Rw" };
    format!("{name} {} dB", rated.airborne.rw_db)
}

/// "Rw 52 (−2; −6) dB".
pub(super) fn rating_words(kind: ConstructionKind, rated: &Rated) -> String {
    let name = if kind == ConstructionKind::Vent { "Dn,e,w" } else { "Rw" };
    let Airborne { rw_db, c_db, ctr_db, .. } = rated.airborne;
    format!("{name} (C; Ctr) = {rw_db} ({c_db}; {ctr_db}) dB").replace("(-", "(−").replace(" -", " −")
}

/// The row of an id; of one that is not known, nothing.
pub(super) fn found<'a>(cx: &context::Context<'a>, shelf: Shelf, id: &str) -> Option<Entry<'a>> {
    match shelf {
        // Of a kind that does not fit, it is there all the same, and the problem is told elsewhere.
        Shelf::Constructions(_) => {
            let own = cx.scene.constructions.iter().any(|own| own.id == id);
            cx.construction(id).map(|known| construction(cx.catalogue, known, own))
        }
        _ => shelf.entries(cx.catalogue, &cx.scene.constructions).into_iter().find(|entry| entry.id == id),
    }
}
