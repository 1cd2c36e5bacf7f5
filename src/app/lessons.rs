//! Lessons in the window: a small building, a question, a prediction, and what the solver says.

use bevy::prelude::Resource;
use bevy_egui::egui::{Button, Rect, RichText, ScrollArea, Sense, Ui, Vec2};

use super::theme::{Palette, size};
use crate::catalogue::Catalogue;
use crate::lesson::{Lesson, Verdict};
use crate::scene::Scene;

/// Width of the lessons' box, logical pixels.
const WIDE: f32 = 400.0;

/// The lesson under way.
#[derive(Debug, Clone, Default, Resource)]
pub struct Teaching {
    /// True while the lessons are open.
    pub open: bool,
    /// Which lesson, position in [`Lesson::all`]; nothing while one is chosen.
    lesson: Option<usize>,
    /// What was predicted, and what it was worth.
    verdict: Option<Verdict>,
    /// Why there is none.
    fault: Option<String>,
    /// Which choice's building is shown.
    seen: Option<usize>,
}

/// What is asked of the lessons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LessonAsk {
    /// Take a lesson: its building opens.
    Take(usize),
    /// Predict this choice.
    Predict(usize),
    /// See the building after this choice.
    See(usize),
    /// Back to the list.
    List,
    /// Close the lessons.
    Close,
}

impl Teaching {
    /// True while the open building is that of a lesson.
    #[must_use]
    pub fn is_under_way(&self) -> bool {
        self.lesson.is_some()
    }

    /// Does what is asked; a scene to open, if one follows. A prediction is put to the solver at once: lessons are small.
    pub fn apply(&mut self, asked: &LessonAsk) -> Option<Scene> {
        match *asked {
            LessonAsk::Take(at) => {
                let lesson = Lesson::all().get(at)?;
                *self = Self { open: true, lesson: Some(at), ..Self::default() };
                Some(lesson.scene().clone())
            }
            LessonAsk::Predict(choice) => {
                let lesson = Lesson::all().get(self.lesson?)?;
                match lesson.judge(Catalogue::built_in_ref(), choice) {
                    Ok(verdict) => self.verdict = Some(verdict),
                    Err(fault) => self.fault = Some(fault.to_string()),
                }
                None
            }
            LessonAsk::See(choice) => {
                self.seen = Some(choice);
                Some(self.verdict.as_ref()?.outcomes.choices.get(choice)?.after.clone())
            }
            LessonAsk::List => {
                *self = Self { open: true, ..Self::default() };
                None
            }
            LessonAsk::Close => {
                self.open = false;
                None
            }
        }
    }
}

/// Draws the list of lessons, or the lesson under way. `may_open` is false while something unsaved would be lost.
pub fn lesson_ui(ui: &mut Ui, teaching: &Teaching, may_open: bool, palette: &Palette) -> Option<LessonAsk> {
    ui.set_width(WIDE);
    match teaching.lesson.and_then(|at| Lesson::all().get(at)) {
        None => list_ui(ui, may_open, palette),
        Some(lesson) => one_ui(ui, teaching, lesson, palette),
    }
}

fn list_ui(ui: &mut Ui, may_open: bool, palette: &Palette) -> Option<LessonAsk> {
    let mut asked = None;
    let soft = |text: &str| RichText::new(text).size(size::TEXT - 0.5).color(palette.soft_ink);
    ui.label(soft("Each opens a small building with a question. Predict, and let the solver answer."));
    if !may_open {
        ui.label(RichText::new("Save your scene first: a lesson opens a building in its place.").color(palette.alert));
    }
    ui.add_space(4.0);
    ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        for (at, lesson) in Lesson::all().iter().enumerate() {
            let title =
                RichText::new(format!("{}.  {}", at + 1, lesson.record().title)).size(size::TEXT).color(palette.ink);
            let button = Button::new(title).min_size(Vec2::new(WIDE - 8.0, 27.0)).frame_when_inactive(false);
            if ui.add_enabled(may_open, button).clicked() {
                asked = Some(LessonAsk::Take(at));
            }
        }
    });
    ui.add_space(6.0);
    if ui.button("Close").clicked() {
        asked = Some(LessonAsk::Close);
    }
    asked
}

fn one_ui(ui: &mut Ui, teaching: &Teaching, lesson: &Lesson, palette: &Palette) -> Option<LessonAsk> {
    let mut asked = None;
    let record = lesson.record();
    ui.label(RichText::new(&record.title).size(size::SENTENCE).color(palette.ink));
    ui.label(RichText::new(&record.question).size(size::TEXT).color(palette.ink));
    ui.add_space(6.0);
    match &teaching.verdict {
        None => {
            for (at, (letter, words)) in lesson.choices().enumerate() {
                let text = RichText::new(format!("{letter})  {words}")).size(size::TEXT).color(palette.ink);
                if ui.add(Button::new(text).wrap().min_size(Vec2::new(WIDE - 8.0, 28.0))).clicked() {
                    asked = Some(LessonAsk::Predict(at));
                }
            }
            if let Some(fault) = &teaching.fault {
                ui.label(RichText::new(fault).size(size::TEXT).color(palette.alert));
            }
        }
        Some(verdict) => {
            asked = asked.or(verdict_ui(ui, teaching, lesson, verdict, palette));
        }
    }
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        if ui.button("All lessons").clicked() {
            asked = Some(LessonAsk::List);
        }
        if ui.button("Close").clicked() {
            asked = Some(LessonAsk::Close);
        }
    });
    asked
}

fn verdict_ui(
    ui: &mut Ui,
    teaching: &Teaching,
    lesson: &Lesson,
    verdict: &Verdict,
    palette: &Palette,
) -> Option<LessonAsk> {
    let mut asked = None;
    let (record, outcomes) = (lesson.record(), &verdict.outcomes);
    let word = if verdict.right { "Right." } else { "No, the solver finds otherwise." };
    ui.label(RichText::new(word).size(size::SENTENCE).color(if verdict.right {
        palette.listener
    } else {
        palette.alert
    }));
    let told = format!("{}: {:.0} {} as it stands", record.figure, outcomes.before, outcomes.before_unit);
    ui.label(RichText::new(told).size(size::SMALL).color(palette.soft_ink));
    let compares = record.ask.compares();
    let most =
        outcomes.choices.iter().map(|choice| choice.figure.abs()).fold(outcomes.before.abs(), f64::max).max(1e-9);
    for (at, choice) in outcomes.choices.iter().enumerate() {
        let mark = if choice.right { "✔ " } else { "" };
        let chosen = if at == verdict.chosen { "  (your prediction)" } else { "" };
        let ink = if choice.right { palette.ink } else { palette.soft_ink };
        ui.label(
            RichText::new(format!("{mark}{})  {}{chosen}", choice.letter, choice.words)).size(size::TEXT).color(ink),
        );
        if !compares {
            continue;
        }
        ui.horizontal(|ui| {
            let (area, _) = ui.allocate_exact_size(Vec2::new(210.0, 12.0), Sense::hover());
            ui.painter().rect_filled(area, 3.0, palette.raised);
            let long = area.width() * (choice.figure.abs() / most) as f32;
            let fill = if choice.right { palette.listener } else { palette.rule };
            ui.painter().rect_filled(Rect::from_min_size(area.min, Vec2::new(long.max(2.0), area.height())), 3.0, fill);
            let figure = format!("{:.0} {}", choice.figure, outcomes.unit);
            ui.label(RichText::new(figure).size(size::TEXT).color(palette.ink));
            let seen = teaching.seen == Some(at);
            let see = Button::new(RichText::new("See it").size(size::SMALL)).selected(seen);
            if ui.add(see).on_hover_text("The building after this; compare it with the one before").clicked() {
                asked = Some(LessonAsk::See(at));
            }
        });
    }
    if !compares && let Some(choice) = outcomes.choices.get(outcomes.right) {
        let figure = format!("The solver finds {:.1} {}.", choice.figure, outcomes.unit);
        ui.label(RichText::new(figure).size(size::TEXT).color(palette.ink));
        if choice.after != *lesson.scene() {
            let see = Button::new(RichText::new("See it").size(size::SMALL)).selected(teaching.seen.is_some());
            if ui.add(see).on_hover_text("The building after the change").clicked() {
                asked = Some(LessonAsk::See(outcomes.right));
            }
        }
    }
    ui.add_space(4.0);
    ui.label(RichText::new(&record.why).size(size::TEXT).color(palette.ink));
    let source = crate::output::lesson::source(&record.source, Catalogue::built_in_ref());
    ui.label(RichText::new(format!("Source: {source}")).size(size::SMALL).color(palette.soft_ink));
    ui.label(RichText::new(format!("Next: {}", record.next)).size(size::TEXT).color(palette.soft_ink));
    asked
}
