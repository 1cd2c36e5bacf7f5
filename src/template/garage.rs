//! A detached garage or shed, one's own house on one side, the neighbour's on the other.

use super::Answers;
use super::parts::{
    Making, Whose, ears_question, front_door, room, size_questions, usual_door, usual_window, window, window_question,
};
use super::question::Question;
use super::sheet::{Lines, Made, Set, Storeyed, draw};
use crate::scene::{Room, Scene, Usage};

/// Clear width and depth of the rooms of both houses, distance to one's own, m. Invented.
const HOUSE_M: f64 = 4.0;
const OWN_M: f64 = 4.0;
const BACK_M: f64 = 3.0;
const HOUSE_WALL: &str = "brick-block-cavity-300";

pub(super) fn questions() -> Vec<Question> {
    let [length, width, height] = size_questions([3.0, 5.5, 9.0], [2.4, 3.2, 7.0]);
    vec![
        Question::loud("rehearsal-band"),
        length,
        width,
        height,
        Question::one_of(
            "walls",
            "What are its walls?",
            &[
                ("brick-102-bare", "half-brick"),
                ("brick-215-plastered-inside", "solid brick, plastered"),
                ("block-140-plastered", "lightweight blocks"),
                ("weatherboard-stud", "boards on a filled wooden frame"),
                ("metal-clad-wall", "steel sheet"),
                ("metal-clad-wall-insulated", "steel sheets with wool between"),
            ],
        ),
        Question::one_of(
            "roof",
            "What is its roof?",
            &[
                ("flat-roof-timber", "a flat wooden roof with a ceiling"),
                ("roof-metal-sheet", "steel sheet"),
                ("roof-metal-insulated", "steel sheets with wool between"),
                ("roof-tile-rafters", "tiles on rafters, open below"),
                ("flat-roof-concrete", "concrete"),
            ],
        ),
        Question::one_of(
            "gate",
            "How is its gate closed?",
            &[
                ("steel", "a steel gate, as such gates are"),
                ("doors", "two heavy doors with seals"),
                ("walled", "it is walled up; there is a door"),
            ],
        ),
        Question::length("distance", "How far off is the neighbour's house?", [2.0, 8.0, 60.0]),
        window_question(),
        ears_question(),
    ]
}

fn marked(word: &str) -> Room {
    let (name, usage) = match word {
        "loud" => ("garage", Usage::Practice),
        "own" => ("own living room", Usage::Living),
        "ownback" => ("own kitchen", Usage::Living),
        "next" => ("neighbour's bedroom", Usage::Bedroom),
        _ => ("neighbour's living room", Usage::Living),
    };
    room(word, name, usage)
}

pub(super) fn build(answers: &Answers) -> Scene {
    let (walls, roof) = (answers.word("walls"), answers.word("roof"));
    let inner = "block-100-plastered";
    let wide_m = [HOUSE_M, OWN_M, answers.length_m("width"), answers.length_m("distance"), HOUSE_M];
    let columns = Lines::new(&wide_m, &[HOUSE_WALL, HOUSE_WALL, walls, walls, HOUSE_WALL, HOUSE_WALL]);
    let rows = Lines::new(&[answers.length_m("length"), BACK_M], &[walls, walls, HOUSE_WALL]);
    let about = Storeyed {
        id: "ground",
        name: "Ground floor",
        height_m: answers.length_m("height"),
        floor: "joist-floor-plasterboard",
        joists: Some(0.0),
        ground: "ground-concrete",
        roof: "flat-roof-timber",
    };
    let made = |a: &str, b: &str| -> Made<'_> {
        match (a, b) {
            ("loud", _) => walls.into(),
            (_, ".") => HOUSE_WALL.into(),
            _ => inner.into(),
        }
    };
    let plan = ["ownback . . . nextback", "own . loud . next"];
    let mut drawn = draw(&about, &columns, &rows, &plan, &made, &marked);
    for room in drawn.storey.rooms.iter_mut().filter(|room| room.id.0 == "loud") {
        room.roof = Some(roof.to_owned());
    }
    let gate_m = wide_m[2] - 0.9;
    let leaf = front_door();
    match answers.word("gate") {
        "steel" => {
            let gate = Set {
                name: "gate",
                construction: "garage-door-steel",
                width_m: gate_m.min(2.4),
                seal: Some("none"),
                undercut_mm: 10.0,
                ..leaf
            };
            drawn.set("gate", ("loud", "outer-street"), &gate, 0.5);
        }
        "doors" => {
            let doors = Set {
                name: "double doors",
                construction: "door-solid-core-54",
                width_m: gate_m.min(1.8),
                seal: Some("compression-single"),
                undercut_mm: 2.0,
                ..leaf
            };
            drawn.set("gate", ("loud", "outer-street"), &doors, 0.5);
        }
        _ => drawn.set(
            "door",
            ("loud", "outer-street"),
            &Set { name: "door", construction: "door-solid-core-54", ..leaf },
            0.5,
        ),
    }
    if let Some(pane) = window(answers) {
        drawn.set("window", ("loud", "outer-back"), &pane, 0.5);
    }
    for (word, side, inside) in [("own", "outer-right", "ownback"), ("next", "outer-left", "nextback")] {
        drawn.set(&format!("{word}-window"), (word, side), &usual_window(), 0.5);
        drawn.set(&format!("{inside}-window"), (inside, "outer-back"), &usual_window(), 0.5);
        drawn.set(&format!("{word}-inside"), (word, inside), &usual_door(), 0.1);
        drawn.set(&format!("{word}-front"), (word, "outer-street"), &leaf, 0.1);
    }
    let mut making = Making::default();
    making.loud(answers, &drawn, "loud");
    making.ears(Whose::Neighbour, &drawn, "next", "in bed next door", Usage::Bedroom);
    let [x, _] = drawn.middle("next");
    let y = rows.last() + 3.0;
    making.outdoors(Whose::Neighbour, drawn.id(), [x, y], "in the neighbour's garden", Some("uk-garden-day"));
    let [x, _] = drawn.middle("loud");
    making.outdoors(Whose::Neighbour, drawn.id(), [x, rows.first() - 8.0], "on the street before the gate", None);
    making.ears(Whose::Household, &drawn, "own", "on your own sofa", Usage::Living);
    making.add(drawn);
    making.scene(
        answers,
        "Somebody loud in a garage. What reaches the neighbour's bed, garden and street, and which way?",
    )
}
