//! A lesson put to the solver: a figure for each choice, and which of them is right.

use super::change::changed;
use super::load::{Lesson, LessonFault};
use super::record::{Ask, letter};
use crate::catalogue::Catalogue;
use crate::project::{Project, Solved};
use crate::scene::{Edit, Scene};

/// What the solver says of one choice.
#[derive(Debug, Clone, PartialEq)]
pub struct ChoiceOutcome {
    /// "a", "b" …
    pub letter: char,
    /// What the choice says.
    pub words: String,
    /// The scene after it (of a range: after the change that is asked about).
    pub after: Scene,
    /// The figure, in the unit of the lesson.
    pub figure: f64,
    /// True of the right one.
    pub right: bool,
}

/// What the solver says of a lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcomes {
    /// The measure in the scene as it stands, in its own unit.
    pub before: f64,
    /// The unit of `before`.
    pub before_unit: &'static str,
    /// The unit of the choices' figures.
    pub unit: &'static str,
    /// One for each choice.
    pub choices: Vec<ChoiceOutcome>,
    /// Position of the right one.
    pub right: usize,
    /// How far it stands from the next best, or the figure from the nearer end of the right range.
    pub margin: f64,
}

/// What a prediction is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Position of the choice that was predicted.
    pub chosen: usize,
    /// True when it is the right one.
    pub right: bool,
    /// All figures.
    pub outcomes: Outcomes,
}

impl Lesson {
    /// Changes the scene as each choice says, solves it, and finds the right one. Takes a solve for each state of the scene.
    ///
    /// # Errors
    ///
    /// When a change cannot be done, a scene cannot be solved, or no range holds the figure: a sentence. Never with the lessons of the program.
    pub fn outcomes(&self, catalogue: &Catalogue) -> Result<Outcomes, LessonFault> {
        let ask = &self.record().ask;
        let measure = |solved: &Solved| {
            measured(ask.measure().of(&solved.building, &solved.answer)).map_err(|why| self.fault(why))
        };
        let start = self.solved(catalogue, &[])?;
        let before = measure(&start)?;
        let one = |scene: Scene, figure: f64| vec![(scene, figure); self.record().choices.len()];
        let drop = |after: &Solved| Ok::<f64, LessonFault>(before - measure(after)?);
        let figures: Vec<(Scene, f64)> = match ask {
            Ask::Least(_) | Ask::Greatest(_) => {
                let each = self.record().choices.iter().map(|choice| {
                    let after = self.solved(catalogue, &choice.changes)?;
                    Ok((Scene::clone(&after.scene), measure(&after)?))
                });
                each.collect::<Result<_, LessonFault>>()?
            }
            Ask::Value(_) => one(Scene::clone(&start.scene), before),
            Ask::Drop { by, .. } => {
                let after = self.solved(catalogue, by)?;
                one(Scene::clone(&after.scene), drop(&after)?)
            }
            Ask::PartOfDrop { by, whole, .. } => {
                let after = self.solved(catalogue, by)?;
                let part = 100.0 * drop(&after)? / drop(&self.solved(catalogue, whole)?)?;
                one(Scene::clone(&after.scene), measured(Ok(part)).map_err(|why| self.fault(why))?)
            }
        };
        let (right, margin) = self.right(&figures)?;
        let choices = self.record().choices.iter().zip(figures).enumerate();
        Ok(Outcomes {
            before,
            before_unit: ask.measure().unit(),
            unit: ask.unit(),
            choices: choices
                .map(|(at, (choice, (after, figure)))| ChoiceOutcome {
                    letter: letter(at),
                    words: choice.words.clone(),
                    after,
                    figure,
                    right: at == right,
                })
                .collect(),
            right,
            margin,
        })
    }

    /// Judges a prediction: the position of a choice.
    ///
    /// # Errors
    ///
    /// As [`Self::outcomes`], and when there is no such choice.
    pub fn judge(&self, catalogue: &Catalogue, chosen: usize) -> Result<Verdict, LessonFault> {
        if chosen >= self.record().choices.len() {
            return Err(self.fault(format!("there is no choice {}", letter(chosen))));
        }
        let outcomes = self.outcomes(catalogue)?;
        Ok(Verdict { chosen, right: chosen == outcomes.right, outcomes })
    }

    /// Which choice is right, and by how much.
    fn right(&self, figures: &[(Scene, f64)]) -> Result<(usize, f64), LessonFault> {
        let sign = if matches!(self.record().ask, Ask::Greatest(_)) { -1.0 } else { 1.0 };
        if self.record().ask.compares() {
            let mut order: Vec<(usize, f64)> = figures.iter().map(|(_, figure)| sign * figure).enumerate().collect();
            order.sort_by(|a, b| a.1.total_cmp(&b.1));
            return match order[..] {
                [(best, least), (_, next), ..] => Ok((best, next - least)),
                _ => Err(self.fault("it has fewer than two choices".to_owned())),
            };
        }
        let held = self.record().choices.iter().zip(figures).enumerate().find_map(|(at, (choice, (_, figure)))| {
            let (from, to) = choice.within?;
            (from..to).contains(figure).then(|| (at, (figure - from).min(to - figure)))
        });
        held.ok_or_else(|| {
            let figure = figures.first().map_or(f64::NAN, |(_, figure)| *figure);
            self.fault(format!("no choice holds {figure:.1} {}", self.record().ask.unit()))
        })
    }

    fn solved(&self, catalogue: &Catalogue, changes: &[Edit]) -> Result<Solved, LessonFault> {
        let scene = changed(self.scene(), catalogue, changes).map_err(|why| self.fault(why))?;
        Project::of(scene).solve().map_err(|problems| {
            self.fault(problems.first().map_or_else(|| "it cannot be built".to_owned(), ToString::to_string))
        })
    }
}

/// A figure there is; silence has none.
fn measured(figure: Result<f64, String>) -> Result<f64, String> {
    figure.and_then(|figure| if figure.is_finite() { Ok(figure) } else { Err("nothing is to be measured".to_owned()) })
}
