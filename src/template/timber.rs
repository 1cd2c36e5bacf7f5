//! A house of timber frames: alone in its garden, or against a twin.

use super::Answers;
use super::parts::{
    Making, Whose, door, door_question, ears_question, front_door, room, run_through, size_questions, usual_door,
    usual_window, window, window_question,
};
use super::question::Question;
use super::sheet::{Drawn, Lines, Made, Storeyed, draw};
use crate::scene::{Room, Scene, Usage};

/// Clear width of the hall, depth of the back rooms, width of a neighbour's room, mean height of the loft, m. Invented.
const HALL_M: f64 = 1.2;
const BACK_M: f64 = 3.4;
const TWIN_M: f64 = 4.0;
const LOFT_M: f64 = 1.5;
const OUTER: &str = "timber-frame-outer";
const PARTY: &str = "stud-timber-twin-party";

pub(super) fn questions() -> Vec<Question> {
    let [length, width, height] = size_questions([2.4, 4.0, 7.0], [2.2, 3.6, 6.0]);
    vec![
        Question::loud("drum-kit-soft"),
        length,
        width,
        height,
        Question::one_of(
            "storey",
            "On which storey is it?",
            &[("ground", "on the ground floor"), ("first", "upstairs")],
        ),
        Question::one_of(
            "walls",
            "What are the walls inside?",
            &[
                ("stud-timber-100-board-filled", "a board on each side, wool between"),
                ("stud-timber-100-board", "a board on each side, empty"),
                ("stud-timber-100-double-board-filled", "two boards on each side, wool between"),
            ],
        ),
        Question::one_of(
            "beside",
            "What lies beside the house?",
            &[("garden", "a garden"), ("twin", "a twin house, wall to wall")],
        ),
        Question::length("distance", "How far off is the nearest other garden or window?", [3.0, 8.0, 60.0]),
        window_question(),
        door_question(),
        ears_question(),
    ]
}

fn marked(word: &str, storey: &str) -> Room {
    let upstairs = storey == "first";
    let (name, usage) = match word {
        "loud" => ("loud room", Usage::Practice),
        "hall" if upstairs => ("landing", Usage::Circulation),
        "hall" => ("hall", Usage::Circulation),
        "front" if upstairs => ("front bedroom", Usage::Bedroom),
        "front" => ("front room", Usage::Living),
        "back" if upstairs => ("back bedroom", Usage::Bedroom),
        "back" => ("kitchen", Usage::Living),
        "twin" if upstairs => ("bedroom next door", Usage::Bedroom),
        "twin" => ("living room next door", Usage::Living),
        "loft" => ("loft", Usage::Loft),
        _ => ("loft next door", Usage::Loft),
    };
    room(&format!("{word}-{storey}"), name, usage)
}

pub(super) fn build(answers: &Answers) -> Scene {
    let inner = answers.word("walls");
    let twin = answers.word("beside") == "twin";
    let upstairs = answers.word("storey") == "first";
    let width_m = answers.length_m("width");
    let columns = if twin {
        Lines::new(&[TWIN_M, width_m, HALL_M], &[OUTER, PARTY, inner, OUTER])
    } else {
        Lines::new(&[width_m, HALL_M], &[OUTER, inner, OUTER])
    };
    let rows = Lines::new(&[answers.length_m("length"), BACK_M], &[OUTER, inner, OUTER]);
    let row = |next: &str, rest: &str| if twin { format!("{next} {rest}") } else { rest.to_owned() };
    let storey = |id: &'static str, name: &'static str, up: bool| -> Drawn {
        let front = if up == upstairs { "loud" } else { "front" };
        let about = Storeyed {
            id,
            name,
            height_m: answers.length_m("height"),
            floor: "joist-floor-plasterboard-filled",
            joists: Some(0.0),
            ground: "ground-concrete-floating",
            roof: "flat-roof-timber",
        };
        let made = |a: &str, b: &str| -> Made<'_> {
            if b == "." {
                OUTER.into()
            } else if (a == "twin") != (b == "twin") {
                PARTY.into()
            } else if a == "hall" || b == "hall" {
                Made { stops_at_ceiling: up, ..run_through(inner) }
            } else {
                Made { stops_at_ceiling: up, ..inner.into() }
            }
        };
        let plan = [row("twin", "back hall"), row("twin", &format!("{front} hall"))];
        let plan: Vec<&str> = plan.iter().map(String::as_str).collect();
        let mut drawn = draw(&about, &columns, &rows, &plan, &made, &|word| marked(word, id));
        let loud = front == "loud";
        if let Some(pane) = if loud { window(answers) } else { Some(usual_window()) } {
            drawn.set("front-window", (front, "outer-street"), &pane, 0.5);
        }
        drawn.set("back-window", ("back", "outer-back"), &usual_window(), 0.5);
        drawn.set("front-door", (front, "hall"), &if loud { door(answers) } else { usual_door() }, 0.9);
        drawn.set("back-door", ("back", "hall"), &usual_door(), 0.1);
        if !up {
            drawn.set("street-door", ("hall", "outer-street"), &front_door(), 0.5);
        }
        if twin {
            drawn.set("twin-window", ("twin", "outer-street"), &usual_window(), 0.5);
        }
        drawn
    };
    let (below, above) = (storey("ground", "Ground floor", false), storey("first", "First floor", true));
    let loft = Storeyed {
        id: "loft",
        name: "Loft",
        height_m: LOFT_M,
        floor: "loft-ceiling-plasterboard",
        joists: Some(90.0),
        ground: "ground-concrete-floating",
        roof: "roof-tile-rafters",
    };
    let lofts = row("twinloft", "loft loft");
    let eaves = |_: &str, b: &str| -> Made<'static> { if b == "." { OUTER } else { PARTY }.into() };
    let attic = draw(&loft, &columns, &rows, &[&lofts, &lofts], &eaves, &|word| marked(word, "loft"));
    let (own, other) = if upstairs { (&above, &below) } else { (&below, &above) };
    let mut making = Making::default();
    making.loud(answers, own, "loud");
    if twin {
        making.ears(Whose::Neighbour, &above, "twin", "in bed next door", Usage::Bedroom);
        making.ears(Whose::Neighbour, &below, "twin", "on the sofa next door", Usage::Living);
    }
    let [x, y] = below.middle(if upstairs { "front" } else { "loud" });
    let distance_m = answers.length_m("distance");
    let street = [x, rows.first() - distance_m];
    making.outdoors(Whose::Neighbour, below.id(), street, "across the street", None);
    let garden = [columns.last() + distance_m, y];
    making.outdoors(Whose::Neighbour, below.id(), garden, "in the next garden", Some("uk-garden-day"));
    let (name, usage) = if upstairs { ("in the room below", Usage::Living) } else { ("in bed above", Usage::Bedroom) };
    making.ears(Whose::Household, other, "front", name, usage);
    let (name, usage) =
        if upstairs { ("in the back bedroom", Usage::Bedroom) } else { ("in the kitchen", Usage::Living) };
    making.ears(Whose::Household, own, "back", name, usage);
    for drawn in [below, above, attic] {
        making.add(drawn);
    }
    making.scene(answers, "Somebody loud between light walls and floors. What goes through them, and what outdoors?")
}
