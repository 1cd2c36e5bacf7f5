//! The list of views kept with the scene: written over, put in order, taken away, and new ones added.

use bevy_egui::egui::{Button, RichText, ScrollArea, TextEdit, Ui};

use crate::app::command::Command;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{at_right, label, on_click, small_button};
use crate::edit::{Edit, Item};
use crate::output::words;
use crate::scene::{SavedView, Scene};

type Change<'a> = &'a dyn Fn(&mut Vec<SavedView>);

/// Draws the list. `now` is what is looked at, as the scene would keep it.
pub fn saved_views_ui(ui: &mut Ui, scene: &Scene, now: Option<SavedView>, palette: &Palette) -> Option<Command> {
    let mut asked = None;
    let changed = |change: Change| {
        let mut views = scene.views.clone();
        change(&mut views);
        Some(Command::Edit(vec![Edit::Put(Item::Views(views))]))
    };
    let small = |text: &str| Button::new(RichText::new(text).size(size::SMALL));
    ui.set_width(430.0);
    if scene.views.is_empty() {
        let empty = "Nothing is kept yet. Look at what you want to show, then press V to keep it here; what is said to it can be written over. P begins with what is looked at now.";
        label(ui, empty, size::TEXT, palette.soft_ink);
    }
    ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
        let last = scene.views.len().saturating_sub(1);
        for (at, view) in scene.views.iter().enumerate() {
            ui.add_space(4.0);
            ui.horizontal(|ui| {
                let who = scene.listeners.iter().find(|listener| listener.id == view.listener);
                let who = who
                    .map_or_else(|| format!("nobody (\"{}\" is gone)", view.listener), |who| words::heading(&who.name));
                let section = if view.cut.is_some() { ", section" } else { "" };
                label(ui, format!("{}. {who}{section}", at + 1), size::SMALL, palette.soft_ink);
                at_right(ui, |ui| {
                    let changes: [(&str, bool, Change); 3] = [
                        ("Remove", true, &|views| drop(views.remove(at))),
                        ("Later", at < last, &|views| views.swap(at, at + 1)),
                        ("Earlier", at > 0, &|views| views.swap(at, at - 1)),
                    ];
                    for (word, can, change) in changes {
                        if ui.add_enabled(can, small(word)).clicked() {
                            asked = changed(change);
                        }
                    }
                    on_click(&mut asked, &ui.add(small("Show")), Command::Present(Some(at)));
                });
            });
            // The text is edited in egui's memory and becomes an edit of the scene when the field is left.
            let id = ui.id().with(("caption", at));
            let mut text = ui.data(|data| data.get_temp::<String>(id)).unwrap_or_else(|| view.caption.clone());
            let response = ui
                .add(TextEdit::multiline(&mut text).id(id.with("field")).desired_rows(2).desired_width(f32::INFINITY));
            if response.has_focus() {
                ui.data_mut(|data| data.insert_temp(id, text.clone()));
            }
            if response.lost_focus() {
                ui.data_mut(|data| data.remove_temp::<String>(id));
                if text != view.caption {
                    asked = changed(&|views| views[at].caption.clone_from(&text));
                }
            }
        }
    });
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        if let Some(now) = now
            && small_button(ui, Command::KeepView, false).is_some()
        {
            asked = changed(&|views| views.push(now.clone()));
        }
        asked = small_button(ui, Command::Present(Some(0)), false).or(asked.take());
        on_click(&mut asked, &ui.add(small("Close")), Command::ListViews);
    });
    asked
}
