//! A practice room of a school: others beside it, a corridor, a classroom across, something above.

use super::Answers;
use super::parts::{
    Making, Whose, door, door_question, room, size_questions, usual_door, usual_window, window, window_question,
};
use super::question::Question;
use super::sheet::{Drawn, Lines, Made, Storeyed, draw};
use crate::scene::{Room, Scene, Usage};

/// Clear depth of corridor and classroom, width of the practice rooms beside, m. Invented.
const CORRIDOR_M: f64 = 2.0;
const CLASSROOM_M: f64 = 6.5;
const BESIDE_M: f64 = 2.6;

pub(super) fn questions() -> Vec<Question> {
    let [length, width, height] = size_questions([2.2, 3.6, 8.0], [2.2, 2.8, 7.0]);
    vec![
        Question::loud("trombone"),
        length,
        width,
        height,
        Question::one_of(
            "walls",
            "What are the walls between the rooms?",
            &[
                ("block-dense-215-plastered", "dense blocks, 215 mm, plastered"),
                ("block-dense-100-plastered", "dense blocks, 100 mm, plastered"),
                ("concrete-180", "concrete, 180 mm"),
                ("stud-steel-92-double-board-filled", "steel studs, two boards each side, wool between"),
                ("stud-steel-70-board", "steel studs, a board each side, empty"),
                ("stud-steel-twin-party", "two separate steel frames, two dense boards each side"),
            ],
        ),
        Question::one_of(
            "floors",
            "What are the floors?",
            &[
                ("concrete-slab-180", "180 mm of concrete"),
                ("concrete-slab-250-floating-screed", "250 mm of concrete under a floating screed"),
                ("hollow-core-200-screed", "hollow slabs with a bonded screed"),
            ],
        ),
        Question::one_of("above", "What lies above?", &[("classroom", "a classroom"), ("roof", "the roof")]),
        window_question(),
        door_question(),
        Question::one_of(
            "who",
            "Who listens?",
            &[
                ("everybody", "practice rooms, classrooms, corridor, street"),
                ("neighbours", "classrooms and street alone"),
                ("household", "the practice rooms and the corridor alone"),
            ],
        ),
    ]
}

fn marked(word: &str) -> Room {
    let (name, usage) = match word {
        "loud" => ("loud practice room", Usage::Practice),
        "left" => ("practice room on the left", Usage::Practice),
        "right" => ("practice room on the right", Usage::Practice),
        "corridor" => ("corridor", Usage::Circulation),
        "class" => ("classroom across the corridor", Usage::Classroom),
        "upcorridor" => ("corridor above", Usage::Circulation),
        "upclass" => ("classroom above, across", Usage::Classroom),
        _ => ("classroom above", Usage::Classroom),
    };
    room(word, name, usage)
}

pub(super) fn build(answers: &Answers) -> Scene {
    let (walls, floors) = (answers.word("walls"), answers.word("floors"));
    let outer = "brick-block-cavity-300";
    let columns = Lines::new(&[BESIDE_M, answers.length_m("width"), BESIDE_M], &[outer, walls, walls, outer]);
    let rows = Lines::new(&[answers.length_m("length"), CORRIDOR_M, CLASSROOM_M], &[outer, walls, walls, outer]);
    let made = |_: &str, b: &str| -> Made<'_> { if b == "." { outer.into() } else { walls.into() } };
    let storey = |id: &'static str, name: &'static str, plan: &[&str]| -> Drawn {
        let about = Storeyed {
            id,
            name,
            height_m: answers.length_m("height"),
            floor: floors,
            joists: None,
            ground: "ground-concrete",
            roof: "flat-roof-warm-concrete",
        };
        draw(&about, &columns, &rows, plan, &made, &marked)
    };
    let mut own =
        storey("ground", "Ground floor", &["class class class", "corridor corridor corridor", "left loud right"]);
    for word in ["left", "loud", "right"] {
        let loud = word == "loud";
        if let Some(pane) = if loud { window(answers) } else { Some(usual_window()) } {
            own.set(&format!("{word}-window"), (word, "outer-street"), &pane, 0.5);
        }
        let leaf = if loud { door(answers) } else { usual_door() };
        own.set(&format!("{word}-door"), (word, "corridor"), &leaf, 0.5);
    }
    own.set("class-door", ("class", "corridor"), &usual_door(), 0.5);
    own.set("class-window", ("class", "outer-back"), &usual_window(), 0.5);
    let over = (answers.word("above") == "classroom").then(|| {
        let plan = ["upclass upclass upclass", "upcorridor upcorridor upcorridor", "over over over"];
        let mut over = storey("first", "First floor", &plan);
        over.set("over-window", ("over", "outer-street"), &usual_window(), 0.5);
        over.set("over-door", ("over", "upcorridor"), &usual_door(), 0.5);
        over.set("upclass-door", ("upclass", "upcorridor"), &usual_door(), 0.5);
        over.set("upclass-window", ("upclass", "outer-back"), &usual_window(), 0.5);
        over
    });
    let mut making = Making::default();
    making.loud(answers, &own, "loud");
    making.ears(Whose::Household, &own, "left", "in the practice room on the left", Usage::Practice);
    making.ears(Whose::Household, &own, "right", "in the practice room on the right", Usage::Practice);
    making.ears(Whose::Household, &own, "corridor", "in the corridor", Usage::Circulation);
    making.ears(Whose::Neighbour, &own, "class", "in the classroom across", Usage::Classroom);
    if let Some(over) = &over {
        making.ears(Whose::Neighbour, over, "over", "in the classroom above", Usage::Classroom);
    }
    let [x, _] = own.middle("loud");
    making.outdoors(Whose::Neighbour, own.id(), [x, rows.first() - 10.0], "on the pavement", None);
    for drawn in [Some(own), over].into_iter().flatten() {
        making.add(drawn);
    }
    making
        .scene(answers, "Somebody loud in a practice room of a school. What do the next rooms and the classrooms hear?")
}
