//! A flat in a divided old house: wooden floors below and above, a neighbouring house beyond the party wall.

use super::Answers;
use super::parts::{
    Making, Whose, door, door_question, ears_question, front_door, room, run_through, size_questions, usual_door,
    usual_window, window, window_question,
};
use super::question::Question;
use super::sheet::{Drawn, Lines, Made, Storeyed, draw};
use crate::scene::{Room, Scene, Usage};

/// Clear width of the stairs, of the other room and of the house next door, depth of the back room, mean height of the loft, m. Invented.
const STAIRS_M: f64 = 1.3;
const NEXT_M: f64 = 4.0;
const BACK_M: f64 = 3.2;
const LOFT_M: f64 = 1.6;

pub(super) fn questions() -> Vec<Question> {
    let [length, width, height] = size_questions([2.4, 4.4, 7.0], [2.2, 4.0, 6.0]);
    vec![
        Question::loud("trumpet"),
        length,
        width,
        height,
        Question::one_of(
            "floors",
            "What are the floors?",
            &[
                ("joist-floor-lath-plaster", "boards on joists, lath and plaster below"),
                ("joist-floor-plasterboard", "boards on joists, plasterboard below"),
                ("joist-floor-plasterboard-filled", "the same, with wool between the joists"),
                ("joist-floor-resilient", "two boards on resilient bars below, wool between"),
                ("joist-floor-dry-floating", "a floating floor above, resilient bars below"),
            ],
        ),
        Question::one_of("above", "What lies above?", &[("flat", "a flat"), ("loft", "the loft")]),
        Question::one_of("beside", "What lies beside?", &[("house", "the next house"), ("gable", "the open air")]),
        window_question(),
        door_question(),
        ears_question(),
    ]
}

fn marked(word: &str, storey: &str) -> Room {
    let (what, usage) = match word {
        "loud" => ("loud room", Usage::Practice),
        "stairs" => ("stairs", Usage::Circulation),
        "front" => ("front room", Usage::Living),
        "back" => ("bedroom", Usage::Bedroom),
        "next" => ("living room next door", Usage::Living),
        "nextback" => ("bedroom next door", Usage::Bedroom),
        _ => ("loft", Usage::Loft),
    };
    let place = match (storey, word) {
        ("own" | "loft", _) => "",
        ("below", _) => " of the flat below",
        (_, _) => " of the flat above",
    };
    let name = match word {
        "stairs" | "next" | "nextback" if storey != "own" => format!("{what}, floor {storey}"),
        _ => format!("{what}{place}"),
    };
    room(&format!("{word}-{storey}"), &name, usage)
}

pub(super) fn build(answers: &Answers) -> Scene {
    let floors = answers.word("floors");
    let (lofted, beside) = (answers.word("above") == "loft", answers.word("beside") == "house");
    let (outer, party, inner) = ("brick-215-plastered-inside", "brick-215-plastered", "stud-timber-100-lath-plaster");
    let width_m = answers.length_m("width");
    let columns = if beside {
        Lines::new(&[NEXT_M, width_m, STAIRS_M], &[outer, party, inner, outer])
    } else {
        Lines::new(&[width_m, STAIRS_M], &[outer, inner, outer])
    };
    let rows = Lines::new(&[answers.length_m("length"), BACK_M], &[outer, inner, outer]);
    let row = |next: &str, rest: &str| if beside { format!("{next} {rest}") } else { rest.to_owned() };
    let storey = |id: &'static str, name: &'static str, front: &str, top: bool| -> Drawn {
        let about = Storeyed {
            id,
            name,
            height_m: answers.length_m("height"),
            floor: floors,
            joists: Some(0.0),
            ground: "ground-timber-suspended",
            roof: "flat-roof-timber",
        };
        let next = |word: &str| word.starts_with("next");
        let made = |a: &str, b: &str| -> Made<'static> {
            if b == "." {
                outer.into()
            } else if next(a) != next(b) {
                party.into()
            } else if a == "stairs" || b == "stairs" {
                Made { stops_at_ceiling: top, ..run_through(inner) }
            } else {
                Made { stops_at_ceiling: top, ..inner.into() }
            }
        };
        let plan = [row("nextback", "back stairs"), row("next", &format!("{front} stairs"))];
        let plan: Vec<&str> = plan.iter().map(String::as_str).collect();
        let mut drawn = draw(&about, &columns, &rows, &plan, &made, &|word| marked(word, id));
        let loud = front == "loud";
        if let Some(pane) = if loud { window(answers) } else { Some(usual_window()) } {
            drawn.set("front-window", (front, "outer-street"), &pane, 0.5);
        }
        drawn.set("back-window", ("back", "outer-back"), &usual_window(), 0.5);
        drawn.set("front-door", (front, "stairs"), &if loud { door(answers) } else { usual_door() }, 0.9);
        drawn.set("back-door", ("back", "stairs"), &usual_door(), 0.1);
        if id == "below" {
            drawn.set("street-door", ("stairs", "outer-street"), &front_door(), 0.5);
        }
        if beside {
            drawn.set("next-window", ("next", "outer-street"), &usual_window(), 0.5);
            drawn.set("nextback-window", ("nextback", "outer-back"), &usual_window(), 0.5);
            drawn.set("next-door", ("next", "nextback"), &usual_door(), 0.1);
        }
        drawn
    };
    let under = storey("below", "Floor below", "front", false);
    let own = storey("own", "Own floor", "loud", lofted);
    let over = (!lofted).then(|| storey("above", "Floor above", "front", true));
    let loft = Storeyed {
        id: "loft",
        name: "Loft",
        height_m: LOFT_M,
        floor: "loft-ceiling-lath-plaster",
        joists: Some(90.0),
        ground: "ground-timber-suspended",
        roof: "roof-slate-rafters",
    };
    let lofts = row("nextloft", "loft loft");
    let eaves = |_: &str, b: &str| -> Made<'static> { if b == "." { "brick-102-bare" } else { party }.into() };
    let attic = draw(&loft, &columns, &rows, &[&lofts, &lofts], &eaves, &|word| {
        let mut found = marked("loft", "loft");
        if word == "nextloft" {
            (found.id, found.name) = ("nextloft".into(), "loft next door".to_owned());
        }
        found
    });
    let mut making = Making::default();
    making.loud(answers, &own, "loud");
    making.ears(Whose::Neighbour, &under, "front", "on the sofa below", Usage::Living);
    making.ears(Whose::Neighbour, &under, "back", "in bed below", Usage::Bedroom);
    if let Some(over) = &over {
        making.ears(Whose::Neighbour, over, "front", "on the sofa above", Usage::Living);
    }
    if beside {
        making.ears(Whose::Neighbour, &own, "next", "on the sofa next door", Usage::Living);
    }
    let [x, _] = own.middle("loud");
    making.outdoors(Whose::Neighbour, under.id(), [x, rows.first() - 10.0], "across the street", None);
    making.ears(Whose::Household, &own, "back", "in your own bedroom", Usage::Bedroom);
    making.ears(Whose::Household, &own, "stairs", "on the stairs", Usage::Circulation);
    for drawn in [Some(under), Some(own), over, Some(attic)].into_iter().flatten() {
        making.add(drawn);
    }
    making.scene(answers, "Somebody loud over somebody else's ceiling, in a divided old house. What comes through the joists, what round them?")
}
