//! Tables of fields: each row a name, what it tells, how it is entered with which limits, and where its value is in its thing. A table is
//! drawn for one thing, or for several at once.

use bevy_egui::egui::Ui;

use super::context::Context;
use super::entry::fact;
use super::inputs::{Input, Label, part};

/// Where a value is in its thing; nothing where the thing has none now, and the row is not drawn.
pub(super) type At<T, V> = fn(&mut T) -> Option<&mut V>;

/// A table: `table! { wall: Wall; rows }`. A row ends with a semicolon and is a field (its name, what it tells, how it is entered, where its
/// value is: a place, or a variant and its part), `[place] table` for something within, or anything else that is a [`Row`].
macro_rules! table {
    (@$it:ident $thing:ty; [$($rows:tt)*]) => { &[$($rows)*] };
    (@$it:ident $thing:ty; [$($rows:tt)*]
        $name:literal, $tip:expr, $input:expr, $variant:pat => $value:ident; $($rest:tt)*) => {
        table!(@$it $thing; [$($rows)*
            &Field($name, $tip, $input, |it: &mut $thing| if let $variant = it { Some($value) } else { None }),
        ] $($rest)*)
    };
    (@$it:ident $thing:ty; [$($rows:tt)*] $name:literal, $tip:expr, $input:expr, $place:expr; $($rest:tt)*) => {
        table!(@$it $thing; [$($rows)* &Field($name, $tip, $input, |$it: &mut $thing| Some(&mut $place)),] $($rest)*)
    };
    (@$it:ident $thing:ty; [$($rows:tt)*] [$place:expr] $table:expr; $($rest:tt)*) => {
        table!(@$it $thing; [$($rows)* &Inside(|$it: &mut $thing| Some(&mut $place), $table),] $($rest)*)
    };
    (@$it:ident $thing:ty; [$($rows:tt)*] $row:expr; $($rest:tt)*) => {
        table!(@$it $thing; [$($rows)* &$row,] $($rest)*)
    };
    ($it:ident: $thing:ty; $($rows:tt)*) => { table!(@$it $thing; [] $($rows)*) };
}
pub(super) use table;

pub(super) trait Row<T> {
    /// Draws it for things of a kind; changes them, and asks for what cannot be done so.
    fn ui(&self, ui: &mut Ui, cx: &Context, things: &mut [&mut T]);
}

/// Rows in their order.
pub(super) type Table<T> = &'static [&'static dyn Row<T>];

/// A field: its name, what it tells, how it is entered, where its value is.
pub(super) struct Field<T, V, I>(pub &'static str, pub &'static str, pub I, pub At<T, V>);

impl<T, V: Clone + PartialEq, I: Input<V>> Row<T> for Field<T, V, I> {
    fn ui(&self, ui: &mut Ui, cx: &Context, things: &mut [&mut T]) {
        let Self(name, tip, input, at) = self;
        let values: Option<Vec<V>> = things.iter_mut().map(|thing| at(thing).cloned()).collect();
        let Some((first, others)) = values.as_ref().and_then(|values| values.split_first()) else { return };
        let (many, differ) = (!others.is_empty(), others.iter().any(|other| other != first));
        let Some(entered) = input.ui(ui, cx, Label { name, tip, many, differ }, first) else { return };
        things.iter_mut().filter_map(|thing| at(thing)).for_each(|value| value.clone_from(&entered));
    }
}

/// A part that can be folded away; open at first where there is something in it.
pub(super) struct Part<T: 'static>(pub &'static str, pub fn(&T) -> bool, pub Table<T>);

impl<T> Row<T> for Part<T> {
    fn ui(&self, ui: &mut Ui, cx: &Context, things: &mut [&mut T]) {
        let Self(name, open, table) = self;
        let open = things.iter().any(|thing| open(thing));
        part(ui, cx, name, open, |ui| rows_ui(ui, cx, table, things));
    }
}

/// The rows of something within a thing.
pub(super) struct Inside<T, U: 'static>(pub At<T, U>, pub Table<U>);

impl<T, U> Row<T> for Inside<T, U> {
    fn ui(&self, ui: &mut Ui, cx: &Context, things: &mut [&mut T]) {
        for inner in things.iter_mut().filter_map(|thing| self.0(thing)) {
            table_ui(ui, cx, self.1, inner);
        }
    }
}

pub(super) struct Fact<T>(pub fn(&Context, &T) -> Option<String>);

impl<T> Row<T> for Fact<T> {
    fn ui(&self, ui: &mut Ui, cx: &Context, things: &mut [&mut T]) {
        things.iter().filter_map(|thing| self.0(cx, thing)).for_each(|text| fact(ui, &cx.palette, &text));
    }
}

/// Whatever no other row draws.
pub(super) struct Custom<T>(pub fn(&mut Ui, &Context, &mut T));

impl<T> Row<T> for Custom<T> {
    fn ui(&self, ui: &mut Ui, cx: &Context, things: &mut [&mut T]) {
        things.iter_mut().for_each(|thing| self.0(ui, cx, thing));
    }
}

pub(super) fn rows_ui<T>(ui: &mut Ui, cx: &Context, table: Table<T>, things: &mut [&mut T]) {
    table.iter().for_each(|row| row.ui(ui, cx, things));
}

pub(super) fn table_ui<T>(ui: &mut Ui, cx: &Context, table: Table<T>, thing: &mut T) {
    rows_ui(ui, cx, table, &mut [thing]);
}
