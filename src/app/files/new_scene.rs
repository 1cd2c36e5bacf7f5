//! A new scene from a few questions, with a sketch of its plan and its first answer beside them.

use std::sync::Arc;

use bevy_egui::egui::{self, ComboBox, RichText, ScrollArea, Stroke, Ui, vec2};

use crate::app::command::Command;
use crate::app::editor::hit::{extent, opening_ends};
use crate::app::panels::inspector::entry::{entry, read_length, tell};
use crate::app::theme::{Palette, size};
use crate::app::viewer::frame::Frame;
use crate::app::widgets::{at_right, label, question, yes_no};
use crate::edit::ends;
use crate::output::length::{self, Units};
use crate::output::{Theme, words};
use crate::project::Solved;
use crate::scene::Scene;
use crate::template::{Answer, Answers, BuildingKind, Choice, Offer};

/// Width of the kinds, of the questions, of the sketch; height of all, logical pixels.
const KINDS: f32 = 214.0;
const QUESTIONS: f32 = 312.0;
const THUMBNAIL: f32 = 276.0;
const HIGH: f32 = 470.0;
const THUMBNAIL_HIGH: f32 = 186.0;

/// What is being answered.
#[derive(Debug, Clone)]
pub struct NewScene {
    pub answers: Answers,
    pub scene: Arc<Scene>,
    /// The last scene that was solved, with its answer. It may be that of the answers before.
    pub first: Option<Arc<Solved>>,
}

impl Default for NewScene {
    fn default() -> Self {
        Self::of(Answers::usual(BuildingKind::Terrace))
    }
}

impl NewScene {
    pub fn of(answers: Answers) -> Self {
        let scene = Arc::new(answers.scene());
        Self { answers, scene, first: None }
    }

    /// The answer of this very scene, once it is there.
    pub fn answer(&self) -> Option<&Solved> {
        self.first.as_deref().filter(|solved| Arc::ptr_eq(&solved.scene, &self.scene))
    }

    fn take(&mut self, answers: Answers) {
        if answers != self.answers {
            self.scene = Arc::new(answers.scene());
            self.answers = answers;
        }
    }
}

/// Draws the questions; changes the answers, and returns what is asked for.
pub fn new_scene_ui(ui: &mut Ui, new: &mut NewScene, theme: Theme, units: Units) -> Option<Command> {
    let palette = Palette::of(theme);
    let mut answers = new.answers.clone();
    let mut right = true;
    question(ui, &palette, KINDS + QUESTIONS + THUMBNAIL + 40.0, "A new scene from a few questions");
    let mut empty = false;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 20.0;
        ui.vertical(|ui| empty = kinds_ui(ui, &mut answers, &palette));
        // A name of its own for each kind, so that what was typed for one is not told of another.
        let asked = ui.push_id(answers.kind().word(), |ui| {
            ui.vertical(|ui| questions_ui(ui, &mut answers, &palette, units)).inner
        });
        right = asked.inner;
        ui.vertical(|ui| {
            ui.set_width(THUMBNAIL);
            thumbnail_ui(ui, &new.scene, &palette);
            ui.add_space(4.0);
            first_ui(ui, new, &palette);
        });
    });
    new.take(answers);
    let create = Command::Create(Box::new(new.answers.clone()));
    let answer = yes_no(ui, ("Begin with this", right), "Cancel", create);
    if empty { Some(Command::CreateEmpty) } else { answer }
}

/// The kinds of building to choose from; true when none of them is wanted.
fn kinds_ui(ui: &mut Ui, answers: &mut Answers, palette: &Palette) -> bool {
    ui.set_width(KINDS);
    ui.set_min_height(HIGH);
    ui.spacing_mut().item_spacing.y = 3.0;
    for kind in BuildingKind::ALL {
        let lit = answers.kind() == kind;
        let line =
            egui::Button::selectable(lit, RichText::new(kind.name()).size(size::TEXT)).min_size(vec2(KINDS, 29.0));
        if ui.add(line).clicked() && !lit {
            *answers = carried_over(answers, kind);
        }
    }
    ui.add_space(10.0);
    label(ui, answers.kind().about(), size::TEXT, palette.soft_ink);
    ui.add_space(16.0);
    label(ui, "None of these?", size::SMALL + 0.5, palette.soft_ink);
    let empty = egui::Button::new(RichText::new("Draw it on an empty storey").size(size::TEXT));
    ui.add(empty.min_size(vec2(KINDS, 29.0))).clicked()
}

/// The usual answers of a kind, but those already given where the same is asked.
fn carried_over(before: &Answers, kind: BuildingKind) -> Answers {
    let mut answers = Answers::usual(kind);
    for ((question, answer), usual) in before.each().zip(before.kind().questions().iter().map(|asked| asked.usual())) {
        if *answer != usual {
            // What the other kind does not ask or offer keeps its usual answer.
            let _not_offered = answers.set(question.name, answer.clone());
        }
    }
    answers
}

/// The questions of a kind. False while a length is no answer.
fn questions_ui(ui: &mut Ui, answers: &mut Answers, palette: &Palette, units: Units) -> bool {
    ui.set_width(QUESTIONS);
    let mut right = true;
    let mut given: Vec<(&'static str, Answer)> = vec![];
    ScrollArea::vertical().id_salt("questions").max_height(HIGH).auto_shrink([false, false]).show(ui, |ui| {
        ui.set_width(QUESTIONS - 14.0);
        for (question, answer) in answers.each() {
            ui.spacing_mut().item_spacing.y = 2.0;
            label(ui, question.text, size::SMALL + 0.5, palette.soft_ink);
            match (&question.offer, answer) {
                (Offer::Length { least_m, most_m, .. }, Answer::Length(length_m)) => {
                    let limits = (*least_m, *most_m);
                    let range = [limits.0, limits.1].map(|limit_m| length::write(limit_m, units)).join(" to ");
                    let field = |ui: &mut Ui| {
                        let (shown, read) =
                            (length::write(*length_m, units), |text: &str| read_length(text, limits, units));
                        let typed = entry(ui, palette, question.text, "", 104.0, &shown, read);
                        label(ui, range, size::SMALL, palette.soft_ink);
                        typed
                    };
                    let typed = ui.horizontal(field).inner;
                    tell(ui, palette, typed.wrong.as_deref());
                    right &= typed.wrong.is_none();
                    given.extend(typed.done.map(|length_m| (question.name, Answer::Length(length_m))));
                }
                (Offer::OneOf { choices, .. }, Answer::Word(word)) => {
                    if let Some(chosen) = choice_ui(ui, question.name, choices, word) {
                        given.push((question.name, Answer::Word(chosen)));
                    }
                }
                // An answer is always of the sort that is asked.
                _ => {}
            }
            ui.add_space(6.0);
        }
    });
    for (name, answer) in given {
        // The fields give nothing that is not offered.
        let _not_offered = answers.set(name, answer);
    }
    right
}

fn choice_ui(ui: &mut Ui, name: &str, choices: &[Choice], word: &str) -> Option<String> {
    let now = choices.iter().find(|choice| choice.word == word);
    let mut chosen = None;
    ComboBox::from_id_salt(name)
        .width(ui.available_width())
        .height(320.0)
        .truncate()
        .selected_text(RichText::new(now.map_or("", |now| now.name.as_str())).size(size::TEXT))
        .show_ui(ui, |ui| {
            for choice in choices {
                let lit = choice.word == word;
                if ui.selectable_label(lit, RichText::new(&choice.name).size(size::TEXT)).clicked() && !lit {
                    chosen = Some(choice.word.clone());
                }
            }
        });
    chosen
}

/// Small plan of the storey where it is loud.
fn thumbnail_ui(ui: &mut Ui, scene: &Scene, palette: &Palette) {
    let (area, _) = ui.allocate_exact_size(vec2(THUMBNAIL, THUMBNAIL_HIGH), egui::Sense::hover());
    let painter = ui.painter_at(area);
    painter.rect_filled(area, 6.0, palette.sheet);
    let Some(source) = scene.sources.first() else { return };
    let Some(storey) = scene.storeys.iter().find(|storey| storey.id == source.storey) else { return };
    let Some((low, high)) = extent(storey) else { return };
    let mut frame = Frame { rect: area, ..Frame::default() };
    frame.fit(low, high, [16.0; 4]);
    let place = |at: [f64; 2]| frame.screen_from_plan(at);
    for line in storey.walls.iter().filter_map(|wall| ends(storey, wall)) {
        painter.line_segment(line.map(place), Stroke::new(3.0, palette.soft_ink));
    }
    for line in storey.openings.iter().filter_map(|opening| opening_ends(storey, opening)) {
        painter.line_segment(line.map(place), Stroke::new(4.0, palette.sheet));
        painter.line_segment(line.map(place), Stroke::new(1.0, palette.soft_ink));
    }
    let here = scene.listeners.iter().filter(|listener| listener.storey == storey.id);
    for place in here.map(|listener| place(listener.at)).filter(|place| area.contains(*place)) {
        painter.circle_stroke(place, 4.0, Stroke::new(1.5, palette.listener));
    }
    painter.circle_filled(place(source.at), 5.0, palette.alert);
}

/// What the worst placed listener gets.
fn first_ui(ui: &mut Ui, new: &NewScene, palette: &Palette) {
    let fresh = new.answer();
    let Some(solved) = fresh.or(new.first.as_deref()) else {
        label(ui, "Solving …", size::TEXT, palette.soft_ink);
        return;
    };
    let mut all: Vec<_> = solved.answer.listeners.iter().collect();
    all.sort_by(|a, b| b.la_db.total_cmp(&a.la_db));
    let Some((worst, others)) = all.split_first() else { return };
    let soft = |ink: egui::Color32| if fresh.is_some() { ink } else { ink.gamma_multiply(0.5) };
    ui.spacing_mut().item_spacing.y = 2.0;
    label(ui, "The most is heard", size::SMALL, palette.soft_ink);
    label(ui, words::heading(&worst.name), size::SENTENCE, soft(palette.ink));
    label(ui, words::level(worst.la_db), size::LEVEL - 6.0, soft(palette.audibility(worst.audibility)));
    let limit = worst.target.as_ref().map(|target| match -target.margin_db.round() {
        over if over >= 1.0 => format!("{over:.0} dB above “{}”", target.name),
        _ => format!("within “{}”", target.name),
    });
    if let Some(limit) = limit {
        label(ui, limit, size::SMALL + 0.5, soft(palette.soft_ink));
        if let Some(target) = worst.target.as_ref().filter(|target| !target.record.note.is_empty()) {
            label(ui, target.record.note.as_str(), size::SMALL, soft(palette.soft_ink));
        }
    }
    ui.add_space(6.0);
    ScrollArea::vertical().id_salt("first answer").max_height(150.0).show(ui, |ui| {
        for heard in others {
            ui.horizontal(|ui| {
                ui.set_width(THUMBNAIL - 14.0);
                at_right(ui, |ui| {
                    ui.spacing_mut().interact_size.y = 18.0;
                    let ink = soft(palette.audibility(heard.audibility));
                    label(ui, format!("{:.0}", heard.la_db.max(0.0)), size::TEXT, ink);
                    ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                        let name = RichText::new(words::heading(&heard.name)).size(size::TEXT);
                        ui.add(egui::Label::new(name.color(soft(palette.soft_ink))).truncate());
                    });
                });
            });
        }
    });
}
