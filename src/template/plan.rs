//! Kinds of buildings as data, read from RON. A text may have `{words}` in it: what a question was answered by, or what its choice gives.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::question::{Choice, Offer, Question};
use crate::catalogue::{Catalogue, CatalogueFault, SoundSource};
use crate::scene::{Background, Finishes, Usage};

/// A question with the word it must be answered by, for something to hold.
type When = Option<(String, String)>;

/// How a kind of building is asked for, drawn and listened in.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub(super) struct Plan {
    pub name: String,
    pub about: String,
    /// What a scene made of it says of itself.
    pub scene_about: String,
    questions: Vec<Asked>,
    /// Across the plan from left to right: a wall's construction, a clear width (m), a construction, and so on.
    pub columns: String,
    /// From the street to the back, as `columns`.
    pub rows: String,
    /// Rooms of each house beside one's own, of which all others are.
    #[serde(default)]
    pub houses: Vec<Vec<String>>,
    /// Rooms that have ids without the storey's.
    #[serde(default)]
    pub bare_ids: Vec<String>,
    /// From the lowest up.
    pub storeys: Vec<StoreyPlan>,
    /// What walls are made of: the first rule that fits.
    pub walls: Vec<WallRule>,
    pub openings: Vec<OpeningPlan>,
    pub listeners: Vec<ListenerPlan>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
enum Asked {
    /// Who is loud: every source of the catalogue but the test noise; this one when nothing is said.
    Loud(String),
    /// A question of `shared.ron`, by its name.
    Shared(String),
    Ask(Question),
}

/// A storey: rows of words for rooms from the back to the street, as one looks at a plan, a point for the open air.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StoreyPlan {
    pub id: String,
    #[serde(default)]
    pub when: When,
    pub name: String,
    pub height: String,
    pub floor: String,
    /// Degrees from the x axis.
    #[serde(default)]
    pub joists_deg: Option<f64>,
    pub ground: String,
    pub roof: String,
    pub plan: Vec<String>,
    /// By the word of the plan.
    pub rooms: BTreeMap<String, RoomPlan>,
}

/// A room: name, use, a roof of its own.
#[derive(Debug, Deserialize)]
pub(super) struct RoomPlan(pub String, pub String, #[serde(default)] pub Option<String>);

/// What some walls are made of.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WallRule {
    /// On this storey alone.
    #[serde(default)]
    pub on: Option<String>,
    #[serde(default)]
    pub when: When,
    #[serde(default)]
    pub between: Between,
    pub of: String,
    #[serde(default)]
    pub joists_run_on: bool,
    #[serde(default)]
    pub stops_at_ceiling: bool,
}

/// Which walls.
#[derive(Debug, Default, Deserialize)]
pub(super) enum Between {
    #[default]
    Any,
    /// Those to the open air.
    Outdoors,
    /// Those between two houses.
    Houses,
    /// Those of one of these rooms.
    Beside(Vec<String>),
}

/// An opening, set wherever its storey has such a wall: between two rooms, or of a room to "outer-street", "outer-back" and so on.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OpeningPlan {
    #[serde(default)]
    pub on: Option<String>,
    pub id: String,
    pub wall: (String, String),
    /// A key of `openings` in `shared.ron`.
    pub of: String,
    /// How far along what the wall leaves it, 0 to 1.
    #[serde(default = "middle")]
    pub along: f64,
}

fn middle() -> f64 {
    0.5
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ListenerPlan {
    pub whose: Whose,
    pub name: String,
    pub storey: String,
    pub at: Ears,
}

/// Whose ears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum Whose {
    Neighbour,
    Household,
}

/// Where somebody listens.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum Ears {
    /// In a room, beside its middle, if the storey has that room.
    In(String),
    /// Outdoors: sums of lengths, m, in which `{x}` and `{y}` are the middle of a room, `{right}` and `{back}` where the plan ends.
    Outdoors {
        from: String,
        x: String,
        y: String,
        #[serde(default)]
        limited: bool,
    },
}

/// What all kinds share.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'static"))]
pub(super) struct Shared {
    questions: Vec<Question>,
    pub uses: BTreeMap<String, RoomUse>,
    pub openings: BTreeMap<String, Option<OpeningUse>>,
    /// Targets for where a country has none of its own that fits, best first.
    pub guidance: String,
}

/// What usually stands in a room, and how one listens there.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RoomUse {
    pub usage: Usage,
    #[serde(default)]
    pub finishes: Finishes,
    pub furniture_m2: f64,
    pub background: Background,
    #[serde(default = "standing_m")]
    pub ears_m: f64,
    /// True where a limit is set for who listens there.
    #[serde(default)]
    pub limited: bool,
}

/// Height of the ears of somebody who stands, m; invented.
pub(super) const STANDING_M: f64 = 1.5;

fn standing_m() -> f64 {
    STANDING_M
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OpeningUse {
    pub name: String,
    pub construction: String,
    pub width_m: f64,
    /// A sum of lengths, m, that the width must not exceed.
    #[serde(default)]
    pub at_most: Option<String>,
    pub height_m: f64,
    #[serde(default)]
    pub sill_m: f64,
    pub seal: Option<String>,
    #[serde(default)]
    pub undercut_mm: f64,
}

/// A plan with the text it was read from.
#[derive(Debug)]
pub(super) struct PlanFile {
    pub file: &'static str,
    text: &'static str,
    pub plan: Plan,
}

/// In the order of [`super::BuildingKind`].
pub(super) static PLANS: LazyLock<[PlanFile; 7]> = LazyLock::new(|| {
    [
        ("terrace.ron", include_str!("../../assets/templates/terrace.ron")),
        ("semi-detached.ron", include_str!("../../assets/templates/semi-detached.ron")),
        ("concrete-flat.ron", include_str!("../../assets/templates/concrete-flat.ron")),
        ("joist-flat.ron", include_str!("../../assets/templates/joist-flat.ron")),
        ("timber-frame.ron", include_str!("../../assets/templates/timber-frame.ron")),
        ("garage.ron", include_str!("../../assets/templates/garage.ron")),
        ("school.ron", include_str!("../../assets/templates/school.ron")),
    ]
    // Part of the program, and a test reads them: this cannot be a user's doing.
    .map(|(file, text)| PlanFile::read(file, text).unwrap_or_else(|fault| panic!("{fault}")))
});

pub(super) static SHARED: LazyLock<Shared> = LazyLock::new(|| {
    let text = include_str!("../../assets/templates/shared.ron");
    ron::from_str(text).unwrap_or_else(|error| panic!("{}", CatalogueFault::unreadable("shared.ron", text, &error)))
});

impl PlanFile {
    /// Reads a kind of building.
    ///
    /// # Errors
    ///
    /// When it cannot be read: where and why.
    pub(super) fn read(file: &'static str, text: &'static str) -> Result<Self, CatalogueFault> {
        let plan = ron::from_str(text).map_err(|error| CatalogueFault::unreadable(file, text, &error))?;
        Ok(Self { file, text, plan })
    }

    /// What is wrong with something quoted in the file, with its place.
    pub(super) fn fault(&self, quoted: &str, what: String) -> CatalogueFault {
        let at = self.text.find(&format!("\"{quoted}\"")).unwrap_or(0);
        CatalogueFault::at_byte(self.file, self.text, at, what)
    }

    /// What is asked, in order.
    ///
    /// # Errors
    ///
    /// When a question is not to be found: where and which.
    pub(super) fn questions(&self) -> Result<Vec<Question>, CatalogueFault> {
        let asked = |asked: &Asked| match asked {
            Asked::Loud(usual) => {
                let sources = Catalogue::built_in_ref().sources.values().filter(|it| it.id != "pink-noise-test");
                let choice =
                    |it: &SoundSource| Choice { word: it.id.clone(), name: it.name.clone(), gives: BTreeMap::new() };
                let choices: Vec<Choice> = sources.map(choice).collect();
                let found = choices.iter().position(|choice| choice.word == *usual);
                let usual = found.ok_or_else(|| self.fault(usual, format!("there is no sound source \"{usual}\"")))?;
                Ok(Question { name: "loud", text: "Who or what is loud?", offer: Offer::OneOf { choices, usual } })
            }
            Asked::Shared(name) => {
                let found = SHARED.questions.iter().find(|question| question.name == *name);
                found.cloned().ok_or_else(|| self.fault(name, format!("there is no shared question \"{name}\"")))
            }
            Asked::Ask(question) => Ok(question.clone()),
        };
        self.plan.questions.iter().map(asked).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::template::{Answers, BuildingKind};

    /// A garage in whose text one piece is replaced: the fault of reading it or of building its usual scene, as a sentence.
    fn fault_with(old: &str, new: &str) -> String {
        let text = BuildingKind::Garage.file().text;
        assert!(text.contains(old), "{old}");
        let text: &'static str = Box::leak(text.replacen(old, new, 1).into_boxed_str());
        let read = PlanFile::read("garage.ron", text);
        let answers = Answers::usual(BuildingKind::Garage);
        let made = read.and_then(|file| file.questions().and_then(|_| file.scene(&answers.words())));
        made.expect_err("the text is faulty").to_string()
    }

    #[test]
    fn a_faulty_plan_is_refused_with_its_place() {
        for (old, new, expected) in [
            ("scene_about:", "about_scene:", "`about_scene`"),
            ("Shared(\"who\")", "Shared(\"whom\")", "there is no shared question \"whom\""),
            ("Loud(\"rehearsal-band\")", "Loud(\"band\")", "garage.ron, line 8, column 14: there is no sound source"),
            ("rows: \"{walls} {length}", "rows: \"{walls} {lenght}", "has a word that nothing gives"),
            ("(of: \"block-100-plastered\"),", "", "no rule says what the wall ownback-own is"),
            ("own . loud . next", "own . loud next", "the plan must have 2 rows of 5 rooms"),
            ("(\"own\", \"outer-right\")", "(\"own\", \"next\")", "there is no wall between own and next"),
            ("(\"own kitchen\", \"living\")", "(\"own kitchen\", \"eating\")", "there is no use \"eating\" of rooms"),
            ("of: \"front-door\"", "of: \"back-gate\"", "there is no opening \"back-gate\""),
            ("\"{back} 3\"", "\"{back} three\"", "is no sum of lengths in m"),
            ("3.0 brick-block-cavity-300\"", "3.0 brick-block-cavity-301\"", "did you mean \"brick-block-cavity-300\""),
        ] {
            let text = fault_with(old, new);
            assert!(text.starts_with("garage.ron, line ") && text.contains(expected), "{text}");
            assert!(!text.starts_with("garage.ron, line 1, column 1:"), "{text}");
        }
    }
}
