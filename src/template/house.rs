//! Houses with two storeys and a loft: in a terrace, or two that share one wall.

use super::Answers;
use std::collections::BTreeSet;

use super::parts::{
    Making, Whose, door, door_question, ears_question, front_door, room, run_through, size_questions, usual_door,
    usual_window, window, window_question,
};
use super::question::Question;
use super::sheet::{Drawn, Lines, Made, Storeyed, draw};
use crate::scene::{Room, Scene, Usage};

/// Clear width of a hall, depth of the back rooms, width of a neighbour's room, mean height of a loft, m. Invented.
const HALL_M: f64 = 1.1;
const BACK_M: f64 = 3.4;
const NEIGHBOUR_M: f64 = 4.2;
const LOFT_M: f64 = 1.6;
/// How far behind the house somebody sits in the garden, m.
const GARDEN_M: f64 = 5.0;

/// What goes with an age of building. Common practice, no source.
#[derive(Debug, Clone, Copy)]
struct Era {
    outer: &'static str,
    party: &'static str,
    inner: &'static str,
    inner_up: &'static str,
    floor: &'static str,
    ground: &'static str,
    roof: &'static str,
    ceiling: &'static str,
    eaves: &'static str,
}

impl Era {
    fn of(answers: &Answers) -> Self {
        match answers.word("built") {
            "middle" => Self {
                outer: "brick-cavity-255",
                party: "brick-215-plastered",
                inner: "block-100-plastered",
                inner_up: "block-100-plastered",
                floor: "joist-floor-plasterboard",
                ground: "ground-timber-suspended",
                roof: "roof-tile-rafters",
                ceiling: "loft-ceiling-plasterboard",
                eaves: "brick-102-bare",
            },
            "new" => Self {
                outer: "brick-block-cavity-300",
                party: "party-block-cavity",
                inner: "block-100-plastered",
                inner_up: "stud-timber-100-board-filled",
                floor: "joist-floor-plasterboard-filled",
                ground: "ground-concrete-floating",
                roof: "roof-tile-rafters",
                ceiling: "loft-ceiling-plasterboard",
                eaves: "brick-102-bare",
            },
            _ => Self {
                outer: "brick-215-plastered-inside",
                party: "brick-215-plastered",
                inner: "brick-102-plastered",
                inner_up: "stud-timber-100-lath-plaster",
                floor: "joist-floor-lath-plaster",
                ground: "ground-timber-suspended",
                roof: "roof-slate-rafters",
                ceiling: "loft-ceiling-lath-plaster",
                eaves: "brick-102-bare",
            },
        }
    }
}

fn shared_questions() -> Vec<Question> {
    let [length, width, height] = size_questions([2.4, 4.2, 7.0], [2.2, 3.8, 6.0]);
    vec![
        Question::loud("drum-kit-loud"),
        length,
        width,
        height,
        Question::one_of(
            "storey",
            "On which storey is it?",
            &[("first", "upstairs"), ("ground", "on the ground floor")],
        ),
        Question::one_of(
            "built",
            "When was the house built?",
            &[
                ("old", "before about 1920: solid brick, lath and plaster"),
                ("middle", "about 1920 to 1980: cavity brick, plasterboard"),
                ("new", "after about 1980: filled cavities, concrete below"),
            ],
        ),
        window_question(),
        door_question(),
        ears_question(),
    ]
}

pub(super) fn terrace_questions() -> Vec<Question> {
    let mut questions = shared_questions();
    let loft = Question::one_of(
        "loft",
        "Is the loft walled off from the neighbours'?",
        &[("walled", "yes, the party walls go up to the roof"), ("open", "no, or nobody knows")],
    );
    questions.insert(6, loft);
    questions
}

pub(super) fn semi_questions() -> Vec<Question> {
    let mut questions = shared_questions();
    let side = Question::one_of(
        "side",
        "Where in the house does the room lie?",
        &[("party", "against the wall shared with the neighbour"), ("away", "on the far side, the hall between")],
    );
    questions.insert(6, side);
    questions
}

/// A row of houses, from left to right: words of the front row, of the back row, of the loft, clear widths.
struct Row<'a> {
    front: &'a str,
    back: &'a str,
    lofts: &'a str,
    wide_m: Vec<f64>,
    /// True where a house ends between two columns, beside the row's ends.
    party: Vec<bool>,
    /// False where the party walls stop at the ceiling.
    walled: bool,
}

/// The house of a room: what stands behind the hyphen, nothing for one's own.
fn house_of(word: &str) -> &str {
    word.split_once('-').map_or("", |(_, house)| house)
}

fn named(word: &str, upstairs: bool) -> (String, Usage) {
    let (name, usage) = match word.split('-').next().unwrap_or(word) {
        "loud" => ("loud room", Usage::Practice),
        "hall" if upstairs => ("landing", Usage::Circulation),
        "hall" => ("hall", Usage::Circulation),
        "front" if upstairs => ("front bedroom", Usage::Bedroom),
        "front" => ("front room", Usage::Living),
        "back" if upstairs => ("back bedroom", Usage::Bedroom),
        "back" => ("kitchen", Usage::Living),
        _ => ("loft", Usage::Loft),
    };
    let whose = match house_of(word) {
        "" => String::new(),
        "left" => " next door, left".to_owned(),
        "right" => " next door, right".to_owned(),
        _ => " next door".to_owned(),
    };
    (format!("{name}{whose}"), usage)
}

fn marked(word: &str, storey: &str) -> Room {
    let (name, usage) = named(word, storey == "first");
    room(&format!("{word}-{storey}"), &name, usage)
}

impl Row<'_> {
    fn storeys(&self, answers: &Answers) -> [Drawn; 3] {
        let era = Era::of(answers);
        let height_m = answers.length_m("height");
        let own_upstairs = answers.word("storey") == "first";
        let inner = if own_upstairs { era.inner_up } else { era.inner };
        let mut at_lines = vec![era.outer];
        at_lines.extend(self.party.iter().map(|party| if *party { era.party } else { inner }));
        at_lines.push(era.outer);
        let columns = Lines::new(&self.wide_m, &at_lines);
        let rows = Lines::new(&[answers.length_m("length"), BACK_M], &[era.outer, inner, era.outer]);
        let floor = |upstairs: bool| {
            let loud = own_upstairs == upstairs;
            let front = if loud { self.front.to_owned() } else { self.front.replacen("loud", "front", 1) };
            let (id, name) = if upstairs { ("first", "First floor") } else { ("ground", "Ground floor") };
            let about = Storeyed {
                id,
                name,
                height_m,
                floor: era.floor,
                joists: Some(0.0),
                ground: era.ground,
                roof: "flat-roof-timber",
            };
            let made = |a: &str, b: &str| -> Made<'static> {
                if b == "." {
                    return era.outer.into();
                }
                if house_of(a) != house_of(b) {
                    return Made { stops_at_ceiling: upstairs && !self.walled, ..era.party.into() };
                }
                let within =
                    Made { stops_at_ceiling: upstairs, ..(if upstairs { era.inner_up } else { era.inner }).into() };
                // Joists lie from party wall to party wall and cross the wall of the hall.
                let hall = a.starts_with("hall") || b.starts_with("hall");
                if hall { Made { stops_at_ceiling: upstairs, ..run_through(within.construction) } } else { within }
            };
            draw(&about, &columns, &rows, &[self.back, &front], &made, &|word| marked(word, id))
        };
        let loft = Storeyed {
            id: "loft",
            name: "Loft",
            height_m: LOFT_M,
            floor: era.ceiling,
            joists: Some(90.0),
            ground: era.ground,
            roof: era.roof,
        };
        let made = |_: &str, b: &str| -> Made<'static> { if b == "." { era.eaves } else { era.party }.into() };
        let attic = draw(&loft, &columns, &rows, &[self.lofts, self.lofts], &made, &|word| marked(word, "loft"));
        let (mut below, mut above) = (floor(false), floor(true));
        self.openings(answers, &mut below, false);
        self.openings(answers, &mut above, true);
        [below, above, attic]
    }

    fn openings(&self, answers: &Answers, drawn: &mut Drawn, upstairs: bool) {
        let loud_here = upstairs == (answers.word("storey") == "first");
        let (front, back): (Vec<&str>, Vec<&str>) =
            (self.front.split_whitespace().collect(), self.back.split_whitespace().collect());
        let words: BTreeSet<&str> = front.iter().chain(&back).copied().collect();
        for word in words {
            let side = if back.contains(&word) { "outer-back" } else { "outer-street" };
            let hall = word.starts_with("hall");
            let is_loud = word == "loud" && loud_here;
            let shown = if word == "loud" && !loud_here { "front" } else { word };
            if hall {
                if !upstairs {
                    if side == "outer-back" {
                        drawn.set(&format!("{shown}-door"), (shown, "outer-street"), &front_door(), 0.5);
                    }
                } else if side == "outer-back" {
                    let small = super::sheet::Set { width_m: 0.6, ..usual_window() };
                    drawn.set(&format!("{shown}-window"), (shown, "outer-back"), &small, 0.5);
                }
                continue;
            }
            let pane = if is_loud { window(answers) } else { Some(usual_window()) };
            if let Some(pane) = pane {
                drawn.set(&format!("{shown}-window"), (shown, side), &pane, 0.5);
            }
            let house = house_of(word);
            let halls = if house.is_empty() { "hall".to_owned() } else { format!("hall-{house}") };
            let has_hall = front.contains(&halls.as_str());
            let leaf = if is_loud { door(answers) } else { usual_door() };
            if has_hall {
                drawn.set(&format!("{shown}-door"), (shown, &halls), &leaf, 0.9);
            } else if side == "outer-street" {
                let back = format!("back-{house}");
                drawn.set(&format!("{shown}-door"), (shown, &back), &leaf, 0.1);
            }
        }
    }
}

/// Ears of one's own household, which every such house has.
fn household(making: &mut Making, below: &Drawn, above: &Drawn, upstairs: bool) {
    let (own, other) = if upstairs { (above, below) } else { (below, above) };
    let (name, usage) = if upstairs { ("in the room below", Usage::Living) } else { ("in bed above", Usage::Bedroom) };
    making.ears(Whose::Household, other, "front", name, usage);
    let (name, usage) =
        if upstairs { ("in the back bedroom", Usage::Bedroom) } else { ("in the kitchen", Usage::Living) };
    making.ears(Whose::Household, own, "back", name, usage);
}

pub(super) fn terrace(answers: &Answers) -> Scene {
    let walled = answers.word("loft") == "walled";
    let width_m = answers.length_m("width");
    let row = Row {
        front: "front-left loud hall front-right",
        back: "back-left back hall back-right",
        lofts: if walled { "loft-left loft loft loft-right" } else { "loft loft loft loft" },
        wide_m: vec![NEIGHBOUR_M, width_m, HALL_M, NEIGHBOUR_M],
        party: vec![true, false, true],
        walled,
    };
    let [below, above, attic] = row.storeys(answers);
    let upstairs = answers.word("storey") == "first";
    let mut making = Making::default();
    let own = if upstairs { &above } else { &below };
    making.loud(answers, own, "loud");
    for (house, side) in [("left", "next door, against the room"), ("right", "next door, behind the hall")] {
        let room = format!("front-{house}");
        making.ears(Whose::Neighbour, &above, &room, &format!("in bed {side}"), Usage::Bedroom);
        making.ears(Whose::Neighbour, &below, &room, &format!("on the sofa {side}"), Usage::Living);
    }
    garden(&mut making, &below, "back-left");
    household(&mut making, &below, &above, upstairs);
    for drawn in [below, above, attic] {
        making.add(drawn);
    }
    making.scene(answers, "Somebody loud in a terraced house. What do both neighbours hear, and by which way?")
}

pub(super) fn semi(answers: &Answers) -> Scene {
    let width_m = answers.length_m("width");
    let party = answers.word("side") == "party";
    let row = Row {
        front: if party { "hall loud front-twin hall-twin" } else { "loud hall hall-twin front-twin" },
        back: if party { "hall back back-twin hall-twin" } else { "back hall hall-twin back-twin" },
        lofts: "loft loft loft-twin loft-twin",
        wide_m: if party { vec![HALL_M, width_m, width_m, HALL_M] } else { vec![width_m, HALL_M, HALL_M, width_m] },
        party: vec![false, true, false],
        walled: true,
    };
    let [below, above, attic] = row.storeys(answers);
    let upstairs = answers.word("storey") == "first";
    let mut making = Making::default();
    making.loud(answers, if upstairs { &above } else { &below }, "loud");
    making.ears(Whose::Neighbour, &above, "front-twin", "in bed next door", Usage::Bedroom);
    making.ears(Whose::Neighbour, &below, "front-twin", "on the sofa next door", Usage::Living);
    making.ears(Whose::Neighbour, &above, "back-twin", "in the back bedroom next door", Usage::Bedroom);
    garden(&mut making, &below, "back-twin");
    household(&mut making, &below, &above, upstairs);
    for drawn in [below, above, attic] {
        making.add(drawn);
    }
    making.scene(
        answers,
        "Somebody loud in one of two houses that share a wall. What does the other hear, and by which way?",
    )
}

fn garden(making: &mut Making, below: &Drawn, behind: &str) {
    let [x, y] = below.middle(behind);
    let at = [x, y + BACK_M / 2.0 + GARDEN_M];
    making.outdoors(Whose::Neighbour, below.id(), at, "in the garden next door", Some("uk-garden-day"));
}
