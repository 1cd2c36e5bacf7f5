//! The list of views kept with the scene: written over, put in order, taken away, and new ones added.

use bevy_egui::egui::{Button, RichText, ScrollArea, TextEdit, Ui};

use crate::app::theme::{Palette, size};
use crate::output::words;
use crate::scene::{SavedView, Scene};

/// What the list returns.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ViewsAnswer {
    /// All views as they shall be.
    pub views: Option<Vec<SavedView>>,
    /// Begin to show, at this view.
    pub show: Option<usize>,
    /// Close the list.
    pub close: bool,
}

/// Draws the list. `now` is what is looked at, as the scene would keep it.
pub fn views_ui(ui: &mut Ui, scene: &Scene, now: Option<SavedView>, palette: &Palette) -> ViewsAnswer {
    let mut answer = ViewsAnswer::default();
    ui.set_width(430.0);
    let small = |text: &str| RichText::new(text).size(size::SMALL).color(palette.ink);
    if scene.views.is_empty() {
        let told = "Nothing is kept yet. Look at what you want to show, then keep it here; what is said to it can be written over.";
        ui.label(RichText::new(told).size(size::TEXT).color(palette.soft_ink));
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
                let told = format!("{}. {who}{section}", at + 1);
                ui.label(RichText::new(told).size(size::SMALL).color(palette.soft_ink));
                ui.with_layout(bevy_egui::egui::Layout::right_to_left(bevy_egui::egui::Align::Center), |ui| {
                    let mut changed = |change: &dyn Fn(&mut Vec<SavedView>)| {
                        let mut views = scene.views.clone();
                        change(&mut views);
                        answer.views = Some(views);
                    };
                    if ui.add(Button::new(small("Take away"))).clicked() {
                        changed(&|views| drop(views.remove(at)));
                    }
                    if ui.add_enabled(at < last, Button::new(small("Later"))).clicked() {
                        changed(&|views| views.swap(at, at + 1));
                    }
                    if ui.add_enabled(at > 0, Button::new(small("Sooner"))).clicked() {
                        changed(&|views| views.swap(at, at - 1));
                    }
                    if ui.add(Button::new(small("Show"))).clicked() {
                        answer.show = Some(at);
                    }
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
                    let mut views = scene.views.clone();
                    views[at].caption = text;
                    answer.views = Some(views);
                }
            }
        }
    });
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        if let Some(now) = now
            && ui.add(Button::new(small("Keep this view"))).on_hover_text("V").clicked()
        {
            let mut views = scene.views.clone();
            views.push(now);
            answer.views = Some(views);
        }
        if ui.add(Button::new(small("Begin"))).on_hover_text("P").clicked() {
            answer.show = Some(0);
        }
        if ui.add(Button::new(small("Close"))).clicked() {
            answer.close = true;
        }
    });
    answer
}
