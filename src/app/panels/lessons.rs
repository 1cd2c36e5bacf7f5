//! Lessons in the window: a small building, a question, a prediction, and what the solver says.

use bevy::prelude::Resource;
use bevy_egui::egui::{Button, Rect, Response, RichText, ScrollArea, Sense, Ui, Vec2};

use crate::app::command::Command;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{label, on_click};
use crate::catalogue::Catalogue;
use crate::lesson::{Lesson, Verdict};
use crate::scene::Scene;

/// Width of the lessons' box, logical pixels.
const WIDE: f32 = 400.0;

#[derive(Debug, Clone, Default, Resource)]
pub struct LessonState {
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

impl LessonState {
    /// Takes a lesson; its building.
    pub fn take(&mut self, at: usize) -> Option<Scene> {
        let lesson = Lesson::all().get(at)?;
        *self = Self { open: true, lesson: Some(at), ..Self::default() };
        Some(lesson.scene().clone())
    }

    /// True while a question waits for its answer: until then the window shows neither levels nor ways.
    pub fn asks(&self) -> bool {
        self.open && self.lesson.is_some() && self.verdict.is_none() && self.fault.is_none()
    }

    /// Puts a prediction to the solver at once: lessons are small.
    pub fn predict(&mut self, choice: usize) {
        let Some(lesson) = self.lesson.and_then(|at| Lesson::all().get(at)) else { return };
        match lesson.judge(Catalogue::built_in_ref(), choice) {
            Ok(verdict) => self.verdict = Some(verdict),
            Err(fault) => self.fault = Some(fault.to_string()),
        }
    }

    pub fn list(&mut self) {
        *self = Self { open: true, ..Self::default() };
    }

    pub fn see(&mut self, choice: usize) -> Option<Scene> {
        self.seen = Some(choice);
        Some(self.verdict.as_ref()?.outcomes.choices.get(choice)?.after.clone())
    }
}

/// Draws the list of lessons, or the lesson under way. `may_open` is false while something unsaved would be lost.
pub fn lesson_ui(ui: &mut Ui, teaching: &LessonState, may_open: bool, palette: &Palette) -> Option<Command> {
    ui.set_width(WIDE);
    match teaching.lesson.and_then(|at| Lesson::all().get(at)) {
        None => list_ui(ui, may_open, palette),
        Some(lesson) => one_ui(ui, teaching, lesson, may_open, palette),
    }
}

fn list_ui(ui: &mut Ui, may_open: bool, palette: &Palette) -> Option<Command> {
    let mut asked = None;
    let soft = |text: &str| RichText::new(text).size(size::TEXT - 0.5).color(palette.soft_ink);
    ui.label(soft("Each opens a small building with a question. Predict; then the solver answers."));
    if !may_open {
        label(ui, "Save your scene first: a lesson opens a building in its place.", size::TEXT, palette.alert);
    }
    ui.add_space(4.0);
    ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        for (at, lesson) in Lesson::all().iter().enumerate() {
            let title =
                RichText::new(format!("{}.  {}", at + 1, lesson.record().title)).size(size::TEXT).color(palette.ink);
            let button = Button::new(title).min_size(Vec2::new(WIDE - 8.0, 27.0)).frame_when_inactive(false);
            on_click(&mut asked, &ui.add_enabled(may_open, button), Command::TakeLesson(at));
        }
    });
    ui.add_space(6.0);
    on_click(&mut asked, &ui.button("Close"), Command::Lessons);
    asked
}

fn one_ui(ui: &mut Ui, teaching: &LessonState, lesson: &Lesson, may_open: bool, palette: &Palette) -> Option<Command> {
    let mut asked = None;
    let record = lesson.record();
    label(ui, &record.title, size::SENTENCE, palette.ink);
    label(ui, &record.question, size::TEXT, palette.ink);
    ui.add_space(6.0);
    match &teaching.verdict {
        None => {
            for (at, (letter, words)) in lesson.choices().enumerate() {
                let text = RichText::new(format!("{letter})  {words}")).size(size::TEXT).color(palette.ink);
                let button = ui.add(Button::new(text).wrap().min_size(Vec2::new(WIDE - 8.0, 28.0)));
                on_click(&mut asked, &button, Command::Predict(at));
            }
            if let Some(fault) = &teaching.fault {
                label(ui, fault, size::TEXT, palette.alert);
            }
        }
        Some(verdict) => asked = verdict_ui(ui, teaching, lesson, verdict, may_open, palette),
    }
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        on_click(&mut asked, &ui.button("All lessons"), Command::ListLessons);
        on_click(&mut asked, &ui.button("Close"), Command::Lessons);
    });
    asked
}

fn verdict_ui(
    ui: &mut Ui,
    teaching: &LessonState,
    lesson: &Lesson,
    verdict: &Verdict,
    may_open: bool,
    palette: &Palette,
) -> Option<Command> {
    let mut asked = None;
    let (record, outcomes) = (lesson.record(), &verdict.outcomes);
    let word = if verdict.right { "Right." } else { "No, the solver finds otherwise." };
    label(ui, word, size::SENTENCE, if verdict.right { palette.listener } else { palette.alert });
    let before = format!("{}: {:.0} {} as it stands", record.figure, outcomes.before, outcomes.before_unit);
    label(ui, before, size::SMALL, palette.soft_ink);
    let compares = record.ask.compares();
    let most =
        outcomes.choices.iter().map(|choice| choice.figure.abs()).fold(outcomes.before.abs(), f64::max).max(1e-9);
    for (at, choice) in outcomes.choices.iter().enumerate() {
        let mark = if choice.right { "✔ " } else { "" };
        let chosen = if at == verdict.chosen { "  (your prediction)" } else { "" };
        let ink = if choice.right { palette.ink } else { palette.soft_ink };
        label(ui, format!("{mark}{})  {}{chosen}", choice.letter, choice.words), size::TEXT, ink);
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
            label(ui, figure, size::TEXT, palette.ink);
            let tip = "The building after this; compare it with the one before";
            on_click(&mut asked, &see_it(ui, may_open, teaching.seen == Some(at), tip), Command::SeeChoice(at));
        });
    }
    if !compares && let Some(choice) = outcomes.choices.get(outcomes.right) {
        let figure = format!("The solver finds {:.1} {}.", choice.figure, outcomes.unit);
        label(ui, figure, size::TEXT, palette.ink);
        if choice.after != *lesson.scene() {
            let see_it = see_it(ui, may_open, teaching.seen.is_some(), "The building after the change");
            on_click(&mut asked, &see_it, Command::SeeChoice(outcomes.right));
        }
    }
    ui.add_space(4.0);
    label(ui, &record.why, size::TEXT, palette.ink);
    let source = crate::output::lesson::source(&record.source, Catalogue::built_in_ref());
    label(ui, format!("Source: {source}"), size::SMALL, palette.soft_ink);
    label(ui, format!("Next: {}", record.next), size::TEXT, palette.soft_ink);
    asked
}

fn see_it(ui: &mut Ui, may_open: bool, lit: bool, tip: &str) -> Response {
    let button = Button::new(RichText::new("See it").size(size::SMALL)).selected(lit);
    ui.add_enabled(may_open, button).on_hover_text(tip)
}
