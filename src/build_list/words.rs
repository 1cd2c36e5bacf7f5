//! What is said of a job: its steps, who may do it, what can hurt.

use super::buying::Bought;
use super::model::{Cost, Job, JobKind};
use super::shop::Shop;
use super::want::{Draft, Want};
use crate::catalogue::goods::Who;

const AIR: &str = "A room that is closed tightly needs another way for fresh air, and never close one with a boiler, stove or gas fire that takes its air from it.";
const LOAD: &str = "What is built here is weight on the old structure: where it is more than a few boards, ask a structural engineer first.";
const OLD: &str = "Before drilling, sanding or breaking old coatings, boards or sheet from before 2000, have a sample tested for asbestos; find cables and pipes first.";
const ESCAPE: &str = "A way out in a fire must stay one: what closes a window must come away at once, without tools.";
const LIFT: &str = "Lift and hold boards overhead with a board lift or with helpers, never alone.";
const DAMP: &str = "Behind a panel the glass stays colder: it may run with water. Take the panel out between sessions.";
const TEST: &str = "Weigh what stands on it first: springs and pads work under their own load only.";

impl JobKind {
    /// How it is done, short; what can hurt; whether it comes out again.
    fn said(self) -> (&'static [&'static str], &'static [&'static str], bool) {
        match self {
            Self::Seal => (
                &["clean the rebate", "fit strips, corners closed", "adjust until a card drags all round"],
                &[AIR],
                true,
            ),
            Self::Structure => (
                &[
                    "take out what goes",
                    "put up the frame",
                    "fill",
                    "board, joints broken",
                    "close every edge with sealant",
                ],
                &[OLD, LOAD],
                false,
            ),
            Self::Floor => (
                &[
                    "close gaps of the old floor",
                    "edge strip round the room",
                    "set feet or wool",
                    "lay boards, joints broken and screwed, clear of the walls",
                ],
                &[LOAD, AIR],
                false,
            ),
            Self::Wall => (
                &[
                    "tape under the frame",
                    "set the frame clear of the old wall",
                    "fill",
                    "board, joints broken",
                    "sealant at each layer's edge",
                    "fill the joints",
                ],
                &[OLD, LOAD, AIR],
                false,
            ),
            Self::Ceiling => (
                &[
                    "mark joists, cables and pipes",
                    "hang or set the frame",
                    "fill",
                    "board with a lift, joints broken",
                    "sealant at each layer's edge",
                    "fill the joints",
                ],
                &[OLD, LIFT, LOAD],
                false,
            ),
            Self::Opening => (
                &[
                    "measure the hole in three places",
                    "set and pack the frame",
                    "fill round it with sealant, no foam alone",
                    "fit seals, adjust",
                ],
                &[OLD, ESCAPE],
                false,
            ),
            Self::Air => {
                (&["make the hole", "set sleeve or duct, sealed round", "fit silencer and grilles"], &[OLD], false)
            }
            Self::Cover => (
                &[
                    "battens round the opening, bedded in sealant",
                    "line the reveal",
                    "cut and edge the panel",
                    "stick the seal on",
                    "fix the catches",
                ],
                &[ESCAPE, AIR, DAMP],
                true,
            ),
            Self::Mount => (
                &[
                    "screw the deck's two layers together, joints broken",
                    "set feet under their share of the load",
                    "keep it clear of walls and other feet",
                ],
                &[TEST, LOAD],
                true,
            ),
            Self::Finish => (&["hang or lay it where the plan has it"], &[], true),
            Self::Sound => (&["agree what is played with it"], &[], true),
        }
    }
}

/// A job with everything that is said of it.
pub(super) fn job(shop: &Shop<'_>, draft: Draft<'_>, bought: Bought) -> Job {
    let (steps, known, removable) = draft.kind.said();
    let mut cautions: Vec<String> = known.iter().map(|caution| (*caution).to_owned()).collect();
    let mut add = |caution: &str| {
        if !caution.is_empty() && !cautions.iter().any(|there| there == caution) {
            cautions.push(caution.to_owned());
        }
    };
    draft.cautions.iter().for_each(|caution| add(caution));
    for want in &draft.wants {
        match want {
            Want::Layer(id, ..) | Want::Pieces(id, ..) | Want::Fill(id, ..) => {
                add(shop.material(id).map_or("", |material| material.caution.as_str()));
            }
            Want::Finish(id, _) => {
                add(shop.catalogue.finishes.get(*id).map_or("", |finish| finish.caution.as_str()));
            }
            _ => {}
        }
    }
    let mut who = match draft.kind {
        JobKind::Structure => Who::Trade,
        JobKind::Wall | JobKind::Ceiling | JobKind::Floor | JobKind::Opening => Who::Handy,
        _ => Who::Anyone,
    };
    let mut tools: Vec<String> = vec!["tape measure".to_owned()];
    for good in bought.lines.iter().filter_map(|line| shop.catalogue.goods.get(line.good.as_ref()?)) {
        who = who.max(good.who);
        add(&good.caution);
        let new: Vec<&String> = good.tools.iter().filter(|tool| !tools.contains(tool)).collect();
        let new: Vec<String> = new.into_iter().cloned().collect();
        tools.extend(new);
    }
    Job {
        kind: draft.kind,
        title: draft.title,
        place: draft.place,
        cost: Cost::of(&bought.lines),
        kg: bought.lines.iter().map(|line| line.kg).sum(),
        goods: bought.lines,
        pieces: bought.pieces,
        who,
        tools,
        steps: steps.to_vec(),
        cautions,
        removable,
        stands_in: draft.stands_in,
    }
}
