//! Ids of new things, and rooms with usual values.

use crate::scene::{Edit, Item, Point, Room, RoomId, Scene, Variant};

/// A word that is not taken yet: the base with a number behind it, a number at its end counted on.
#[must_use]
pub fn fresh_id(base: &str, taken: impl Fn(&str) -> bool) -> String {
    // A trailing "-2" is the number of an earlier copy.
    let stem = match base.rsplit_once('-') {
        Some((stem, number)) if !stem.is_empty() && number.parse::<u32>().is_ok() => stem,
        _ => base,
    };
    (1..).map(|number| format!("{stem}-{number}")).find(|word| !taken(word)).unwrap_or_default()
}

/// Whether a variant puts in something of that id: a new thing of the drawing must not come to stand in its place.
#[must_use]
pub fn put_by(variants: &[Variant], id: &str) -> bool {
    let is_it = |edit: &Edit| match edit {
        Edit::Put(item) => match item {
            Item::Opening(_, opening) => opening.id.0 == id,
            Item::Room(_, room) => room.id.0 == id,
            Item::Source(source) => source.id.0 == id,
            Item::Listener(listener) => listener.id.0 == id,
            Item::Duct(duct) => duct.id.0 == id,
            Item::Construction(construction) => construction.id == id,
            _ => false,
        },
        _ => false,
    };
    variants.iter().flat_map(|variant| &variant.edits).any(is_it)
}

/// A marker with usual values and an id made of its name.
pub(super) fn new_room(scene: &Scene, name: &str, at: Point) -> Room {
    let lower = name.to_lowercase();
    let parts = lower.split(|letter: char| !letter.is_alphanumeric()).filter(|part| !part.is_empty());
    let word = parts.collect::<Vec<_>>().join("-");
    let word: String = if word.is_empty() { "room".to_owned() } else { word.chars().take(40).collect() };
    let taken = |id: &str| scene.storeys.iter().any(|storey| storey.rooms.iter().any(|room| room.id.0 == id));
    let id = if taken(&word) { fresh_id(&word, taken) } else { word };
    Room::new(RoomId(id), name.to_owned(), at)
}
