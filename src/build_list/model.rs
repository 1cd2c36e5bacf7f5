//! The types of a build list.

use super::cutting::CutSheet;
use crate::building::{Building, SpaceIndex};
use crate::catalogue::goods::Who;
use crate::project::{Built, Solved};
use crate::scene::{Prices, Scene};
use crate::solve::Handling;

/// A scene and its building: all that a list needs of it, so that a variant need not be solved to be priced.
#[derive(Debug, Clone, Copy)]
pub struct Drawn<'a> {
    /// The scene.
    pub scene: &'a Scene,
    /// Its spaces and elements.
    pub building: &'a Building,
}

impl<'a> From<&'a Solved> for Drawn<'a> {
    fn from(solved: &'a Solved) -> Self {
        Self { scene: &solved.scene, building: &solved.building }
    }
}

impl<'a> From<&'a Built> for Drawn<'a> {
    fn from(built: &'a Built) -> Self {
        Self { scene: &built.scene, building: &built.building }
    }
}

/// What a difference takes: jobs in the order of work, and everything together.
#[derive(Debug, Clone, PartialEq)]
pub struct BuildList {
    /// Jobs, in the order they are done.
    pub jobs: Vec<Job>,
    /// What is in the first scene and not in the other, in words: to be taken out, at no price.
    pub taken_out: Vec<String>,
    /// The sum over all jobs, each of which buys whole sheets and packs for itself: costs of jobs add up.
    pub cost: Cost,
    /// The same where all jobs are bought and cut together.
    pub together: Cost,
    /// What is bought where all jobs are bought together, goods in the order of their names.
    pub goods: Vec<Line>,
    /// The sheets of all jobs together, and how they are cut.
    pub cuts: Vec<Cut>,
    /// Mass of everything that is built in, kg.
    pub kg: f64,
    /// What stands on the old floor of each room.
    pub floors: Vec<FloorLoad>,
    /// Prices of the other scene: currency and what an hour is worth.
    pub prices: Prices,
}

/// One job: a change at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// What kind of work: decides its place in the order.
    pub kind: JobKind,
    /// What is done, as a heading without a capital: "board the party wall".
    pub title: String,
    /// Where: names people read.
    pub place: String,
    /// What is bought.
    pub goods: Vec<Line>,
    /// What is cut or carried, the heaviest first.
    pub pieces: Vec<Piece>,
    /// What it costs by itself.
    pub cost: Cost,
    /// Who may do it.
    pub who: Who,
    /// What it takes, each once.
    pub tools: Vec<String>,
    /// How it is done, short.
    pub steps: Vec<&'static str>,
    /// What can hurt, each once.
    pub cautions: Vec<String>,
    /// True where it comes out again and leaves no more than screw holes.
    pub removable: bool,
    /// Mass of what is built in, kg.
    pub kg: f64,
    /// The room whose old floor carries it, in the other scene's building.
    pub stands_in: Option<SpaceIndex>,
}

/// Kinds of work, in the order they are done: what is tight first, then from the floor up, what can be taken out last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum JobKind {
    /// Closing gaps.
    Seal,
    /// Walls, floors and roofs built, or built otherwise.
    Structure,
    /// Floor of an inner shell.
    Floor,
    /// Wall of an inner shell.
    Wall,
    /// Ceiling of an inner shell.
    Ceiling,
    /// Doors and windows.
    Opening,
    /// Vents and ducts.
    Air,
    /// Cover panels.
    Cover,
    /// Platforms and isolators.
    Mount,
    /// Finishes and absorbers.
    Finish,
    /// Quieter instruments.
    Sound,
}

/// Something bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its good; nothing where the catalogue has none.
    pub good: Option<String>,
    /// The name people read.
    pub name: String,
    /// What one of it is called: "sheet", "pack".
    pub unit: String,
    /// How much is needed, without waste, in `measure`.
    pub needed: f64,
    /// What `needed` counts: "m²", "m", "m³", "pieces".
    pub measure: &'static str,
    /// How many are bought, whole ones where it is not made to measure.
    pub bought: f64,
    /// Low, likely and high; nothing where the price is unknown.
    pub cost: Option<[f64; 3]>,
    /// Hours of work.
    pub hours: f64,
    /// Mass of what is needed, kg.
    pub kg: f64,
}

/// A piece that is cut and carried.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What it is: "plasterboard 12.5 mm", "solid core door 44 mm".
    pub name: String,
    /// Width and height, mm.
    pub size_mm: [i32; 2],
    /// How many of them.
    pub count: usize,
    /// Mass of one, kg.
    pub kg: f64,
    /// Who can lift one.
    pub handling: Handling,
}

/// Sheets of one good and the pieces cut from them.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// Id of the good.
    pub good: String,
    /// Its name.
    pub name: String,
    /// Width and height of a sheet, mm.
    pub sheet_mm: [i32; 2],
    /// Width and height of each piece, mm, and the position of its job in [`BuildList::jobs`].
    pub pieces: Vec<([i32; 2], usize)>,
    /// The sheets.
    pub sheets: Vec<CutSheet>,
}

impl Cut {
    /// Part of the sheets that no piece is cut from, 0 to 1; the saw's own part is in it.
    #[must_use]
    pub fn waste(&self) -> f64 {
        let area = |[wide, high]: [i32; 2]| f64::from(wide) * f64::from(high);
        let used = self.sheets.iter().flat_map(|sheet| &sheet.placed).map(|placed| area(placed.size_mm)).sum::<f64>();
        let all = self.sheets.len() as f64 * area(self.sheet_mm);
        if all > 0.0 { 1.0 - used / all } else { 0.0 }
    }
}

/// What a room's old floor carries of what is built.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorLoad {
    /// The room, in the other scene's building.
    pub space: SpaceIndex,
    /// Its name.
    pub name: String,
    /// What stands on it, kg.
    pub kg: f64,
    /// Its clear area without an inner shell, m².
    pub area_m2: f64,
}

/// What something costs. Low is the sum of all low prices, and so on: all cheap or all dear at once.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Cost {
    /// All at their low prices; work not counted.
    pub low: f64,
    /// All at their likely prices; work not counted.
    pub likely: f64,
    /// All at their high prices; work not counted.
    pub high: f64,
    /// Hours of work.
    pub hours: f64,
    /// How many things are in it whose price is unknown: it costs at least so much.
    pub unpriced: usize,
}

impl Cost {
    /// With the work at a price for each hour.
    #[must_use]
    pub fn with_labour(self, per_h: f64) -> Self {
        let work = self.hours * per_h;
        Self { low: self.low + work, likely: self.likely + work, high: self.high + work, ..self }
    }

    pub(super) fn of<'a>(lines: impl IntoIterator<Item = &'a Line>) -> Self {
        lines.into_iter().fold(Self::default(), |sum, line| {
            let [low, likely, high] = line.cost.unwrap_or([0.0; 3]);
            Self {
                low: sum.low + low,
                likely: sum.likely + likely,
                high: sum.high + high,
                hours: sum.hours + line.hours,
                unpriced: sum.unpriced + usize::from(line.cost.is_none()),
            }
        })
    }
}

impl std::iter::Sum for Cost {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), |sum, more| Self {
            low: sum.low + more.low,
            likely: sum.likely + more.likely,
            high: sum.high + more.high,
            hours: sum.hours + more.hours,
            unpriced: sum.unpriced + more.unpriced,
        })
    }
}
