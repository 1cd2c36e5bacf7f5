//! A flat in a block of concrete: neighbours beside, below and above.

use super::Answers;
use super::parts::{
    Making, Whose, door, door_question, ears_question, front_door, room, size_questions, usual_door, usual_window,
    window, window_question,
};
use super::question::Question;
use super::sheet::{Drawn, Lines, Made, Storeyed, draw};
use crate::scene::{Room, Scene, Usage};

/// Clear depth of the corridor, widths of the other room and of the neighbours' rooms, m. Invented.
const CORRIDOR_M: f64 = 1.5;
const OTHER_M: f64 = 3.4;
const NEIGHBOUR_M: f64 = 4.0;

pub(super) fn questions() -> Vec<Question> {
    let [length, width, height] = size_questions([2.4, 4.6, 8.0], [2.2, 3.6, 7.0]);
    vec![
        Question::loud("piano"),
        length,
        width,
        height,
        Question::one_of(
            "walls",
            "What are the walls between the flats?",
            &[
                ("concrete-180", "concrete, 180 mm"),
                ("concrete-150", "concrete, 150 mm"),
                ("concrete-250", "concrete, 250 mm"),
                ("calcium-silicate-175-plastered", "calcium silicate blocks, 175 mm"),
                ("hollow-clay-240-plastered", "hollow clay blocks, 240 mm"),
            ],
        ),
        Question::one_of(
            "floors",
            "What are the floors?",
            &[
                ("concrete-slab-180-floating-screed", "180 mm of concrete under a floating screed"),
                ("concrete-slab-180", "180 mm of concrete, bare"),
                ("concrete-slab-150", "150 mm of concrete, bare"),
                ("concrete-slab-250-floating-screed", "250 mm of concrete under a floating screed"),
                ("hollow-core-200-screed", "hollow slabs with a bonded screed"),
            ],
        ),
        Question::one_of(
            "below",
            "What lies below?",
            &[("flat", "a flat"), ("shop", "a shop"), ("store", "a store or garage")],
        ),
        Question::one_of("above", "What lies above?", &[("flat", "a flat"), ("roof", "the roof")]),
        window_question(),
        door_question(),
        ears_question(),
    ]
}

fn marked(word: &str, storey: &str, below: &str) -> Room {
    let (name, usage) = match (word, storey) {
        ("loud", _) => ("loud room", Usage::Practice),
        ("corridor", _) => ("corridor", Usage::Circulation),
        ("left", _) => ("bedroom next door, left", Usage::Bedroom),
        ("right", _) => ("living room next door, right", Usage::Living),
        ("other", _) => ("own living room", Usage::Living),
        ("under", _) if below == "flat" => ("bedroom below", Usage::Bedroom),
        ("under", _) if below == "shop" => ("shop below", Usage::Work),
        ("under", _) => ("store below", Usage::Circulation),
        (_, _) => ("bedroom above", Usage::Bedroom),
    };
    let name = if storey == "own" || word == "under" || word == "over" {
        name.to_owned()
    } else {
        let place = if storey == "below" { "below" } else { "above" };
        match word {
            "left" => format!("bedroom {place}, left"),
            "right" => format!("living room {place}, right"),
            "other" => format!("living room {place}"),
            _ => format!("{name} {place}"),
        }
    };
    room(&format!("{word}-{storey}"), &name, usage)
}

pub(super) fn build(answers: &Answers) -> Scene {
    let (walls, floors) = (answers.word("walls"), answers.word("floors"));
    let (below, roofed) = (answers.word("below"), answers.word("above") == "roof");
    let inner = "block-100-plastered";
    let columns = Lines::new(
        &[NEIGHBOUR_M, answers.length_m("width"), OTHER_M, NEIGHBOUR_M],
        &["concrete-180", walls, inner, walls, "concrete-180"],
    );
    let rows = Lines::new(&[answers.length_m("length"), CORRIDOR_M], &["concrete-180", walls, "concrete-180"]);
    let made = |a: &str, b: &str| -> Made<'_> {
        let own = |word: &str| ["loud", "other", "under", "over"].contains(&word);
        if b == "." {
            "concrete-180".into()
        } else if own(a) && own(b) {
            inner.into()
        } else {
            walls.into()
        }
    };
    let storey = |id: &'static str, name: &'static str, room_word: &str| -> Drawn {
        let about = Storeyed {
            id,
            name,
            height_m: answers.length_m("height"),
            floor: floors,
            joists: None,
            ground: "ground-concrete",
            roof: "flat-roof-warm-concrete",
        };
        let plan = [format!("corridor {} corridor corridor", "corridor"), format!("left {room_word} other right")];
        let plan: Vec<&str> = plan.iter().map(String::as_str).collect();
        let mut drawn = draw(&about, &columns, &rows, &plan, &made, &|word| marked(word, id, below));
        for word in ["left", room_word, "other", "right"] {
            let loud = word == "loud";
            if let Some(pane) = if loud { window(answers) } else { Some(usual_window()) } {
                drawn.set(&format!("{word}-window"), (word, "outer-street"), &pane, 0.5);
            }
        }
        for word in ["left", "right", "other"] {
            drawn.set(&format!("{word}-door"), (word, "corridor"), &front_door(), 0.5);
        }
        let leaf = if room_word == "loud" { door(answers) } else { usual_door() };
        drawn.set(&format!("{room_word}-door"), (room_word, "other"), &leaf, 0.9);
        drawn
    };
    let under = storey("below", "Floor below", "under");
    let own = storey("own", "Own floor", "loud");
    let over = (!roofed).then(|| storey("above", "Floor above", "over"));
    let mut making = Making::default();
    making.loud(answers, &own, "loud");
    making.ears(Whose::Neighbour, &own, "left", "in bed next door, against the room", Usage::Bedroom);
    let (name, usage) = match below {
        "shop" => ("in the shop below", Usage::Work),
        "store" => ("in the store below", Usage::Circulation),
        _ => ("in bed below", Usage::Bedroom),
    };
    making.ears(Whose::Neighbour, &under, "under", name, usage);
    if let Some(over) = &over {
        making.ears(Whose::Neighbour, over, "over", "in bed above", Usage::Bedroom);
    }
    making.ears(Whose::Neighbour, &own, "right", "next door, beyond your living room", Usage::Living);
    making.ears(Whose::Household, &own, "other", "on your own sofa", Usage::Living);
    making.ears(Whose::Household, &own, "corridor", "in the corridor", Usage::Circulation);
    making.add(under);
    making.add(own);
    if let Some(over) = over {
        making.add(over);
    }
    making.scene(
        answers,
        "Somebody loud in a flat of a concrete block. Who beside, below and above hears it, and by which way?",
    )
}
