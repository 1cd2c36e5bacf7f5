//! Goods: what a shop sells, for which parts of a build one buys it, and what it may cost.

use serde::{Deserialize, Serialize};

use super::provenance::Provenance;

/// Something that is bought.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Good {
    /// The word scenes use, to give it a price of their own.
    pub id: String,
    /// The name people read.
    pub name: String,
    /// What one buys it for.
    pub serves: Vec<Serves>,
    /// What one of it is called: "sheet", "pack", "roll", "tube", "box", "piece", "m²".
    pub unit: String,
    /// How much one of it is.
    pub sold: Sold,
    /// Price of one, low, likely and high: placeholders the user edits.
    pub price: (f64, f64, f64),
    /// Hours of work for each m², m, m³ or piece that is needed.
    #[serde(default)]
    pub hours: f64,
    /// What is lost in cutting beside what the cutting plan shows, %.
    #[serde(default)]
    pub waste_percent: f64,
    /// Mass for each m², m or piece that is needed, kg; of what is made of a material, its density decides instead.
    #[serde(default)]
    pub kg: f64,
    /// Of what carries: the load of one, from and to, kg.
    #[serde(default)]
    pub load_kg: Option<(f64, f64)>,
    /// Who may do the work.
    #[serde(default)]
    pub who: Who,
    /// What it takes.
    #[serde(default)]
    pub tools: Vec<String>,
    /// A caution to show with it, or empty.
    #[serde(default)]
    pub caution: String,
    /// Where sizes, prices and hours come from.
    pub provenance: Provenance,
}

/// What a good is bought for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Serves {
    /// A layer or a fill of a material, of one thickness, mm.
    Layer(String, f64),
    /// A layer of a material, of any thickness: what is poured, spread or filled in.
    Material(String),
    /// A door, window, vent, by construction id.
    Construction(String),
    /// A seal, by id.
    Seal(String),
    /// A finish of a room, by id.
    Finish(String),
    /// A quieter instrument, by the id of its sound.
    Sound(String),
    /// A part that no layer names.
    Part(Part),
}

/// Parts of a build that no layer names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Upright of a frame, with its plates.
    Stud,
    /// Flat lath on a wall, under a floor, round a cover.
    Batten,
    /// A joist of a ceiling or floor of its own.
    Joist,
    /// Upright and rail of light steel.
    SteelStud,
    /// Channel or bar that boards are screwed to.
    Bar,
    /// Resilient clip that holds a bar.
    Clip,
    /// Rigid hanger.
    Hanger,
    /// Hanger with a spring or rubber in it.
    SoftHanger,
    /// Rubber or foam pad or foot.
    Pad,
    /// Steel spring.
    Spring,
    /// Mat under a platform.
    Mat,
    /// Wall tie.
    Tie,
    /// Resilient tape round the edge of a frame.
    Tape,
    /// Sealant that stays soft.
    Sealant,
    /// Screws.
    Screw,
    /// Filler and tape for the joints of boards.
    Filler,
    /// What presses a cover to its seal.
    Fastener,
    /// Frame, hinges and fixings of a door.
    DoorFittings,
    /// Fixings of a window.
    WindowFittings,
    /// Fixings of a vent.
    VentFittings,
    /// Strip that closes the gap under a door.
    Threshold,
    /// Air duct.
    Duct,
    /// Silencer of a duct.
    Silencer,
}

/// How much one of a good is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Sold {
    /// A board of so many mm: pieces are cut from it.
    Sheet {
        /// Shorter side, mm.
        wide_mm: f64,
        /// Longer side, mm.
        high_mm: f64,
        /// False where its grain may not be turned.
        #[serde(default = "yes")]
        turns: bool,
    },
    /// A pack or roll that covers so many m².
    Area(f64),
    /// Bars so long, m: pieces are cut from them.
    Bar(f64),
    /// A roll or tube for so many m.
    Length(f64),
    /// A bag of so many m³.
    Volume(f64),
    /// A box of so many.
    Count(f64),
    /// Made to measure: priced by m², or by piece where nothing has an area.
    ToMeasure,
}

fn yes() -> bool {
    true
}

/// Who may do a piece of work. Own judgement; local rules come first.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Who {
    /// Anyone.
    #[default]
    Anyone,
    /// Someone who has sawn and drilled before.
    Handy,
    /// Someone of the trade.
    Trade,
    /// Someone licensed for it.
    Licensed,
}

impl Good {
    /// True when it is bought for that.
    #[must_use]
    pub fn serves(&self, what: &Serves) -> bool {
        self.serves.contains(what)
    }
}
