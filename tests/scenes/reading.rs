//! Text that is no scene, and what is said about it.

use leaklight::scene::file::from_text;

use super::problems::SOUND;

/// Text of the sound scene to replace, by what, and what is said then.
const BAD_TEXT: &[(&str, &str, &str)] = &[
    (
        "format: 1",
        "format: 2",
        "scene: it has format 2, and this program knows formats up to 1; open it with a newer version of this program.",
    ),
    (
        "format: 1",
        "format: 0",
        "scene: it has format 0, which never existed; write `format: 1` if the file was made by hand.",
    ),
    (
        "format: 1",
        "format: -7",
        "scene: it has format -7, which never existed; write `format: 1` if the file was made by hand.",
    ),
    (
        "format: 1,",
        "format: 1, outdoors: (ground: grass),",
        "line 3, column 35: \"grass\" is no choice for the ground outdoors; it may be one of hard, soft.",
    ),
    (
        "format: 1,",
        "format: 1, outdoors: (soil: soft),",
        "line 3, column 27: there is no field \"soil\" in the outdoors; ",
    ),
    ("format: 1,", "", "line 45, column 1: the file states no format; begin it with `(format: 1,`."),
    (
        "format: 1",
        "format: \"one\"",
        "line 3, column 13: a number should stand here; write it with a point, as 2.5, without a unit.",
    ),
    (
        "offset_m: 1,",
        "ofset_m: 1,",
        "line 23, column 74: there is no field \"ofset_m\" in an opening; did you mean \"offset_m\"?",
    ),
    ("height_m: 2.5", "colour: 2.5", "line 7, column 49: there is no field \"colour\" in a storey; it may be one of "),
    (
        "height_m: 2.5,",
        "",
        "line 28, column 9: a storey that ends here lacks its \"height_m\"; add `height_m: …` to it.",
    ),
    (
        "name: \"Low\"",
        "name: \"Low\", name: \"Low\"",
        "line 7, column 41: \"name\" stands twice in a storey; keep one of them.",
    ),
    ("at: (0, 0)", "at: (0)", "line 10, column 33: "),
    (
        "at: (0, 0)",
        "at: (0, zero)",
        "line 10, column 35: a number should stand here; write it with a point, as 2.5, without a unit.",
    ),
    (
        "name: \"left\"",
        "name: \"left\", usage: bedrom",
        "line 27, column 55: \"bedrom\" is no choice for a room's usage; did you mean \"bedroom\"?",
    ),
    ("name: \"left\"", "name: left", "line 27, column 40: a text should stand here; put it in quotation marks."),
    ("\"w1\", from", "\"w1\" from", "line 14, column 27: "),
    // A list that is not closed: the next field stands where another entry should.
    (
        "            ],\n            walls: [",
        "            walls: [",
        "line 12, column 13: a corner should begin here, and the field \"walls\" does; close what stands before it with `]` or `)`, or begin with `(`.",
    ),
    (
        "(id: \"w1\"",
        "Wand(id: \"w1\"",
        "line 14, column 17: a wall should begin here, and the word \"Wand\" does; begin with `(` and no word before it.",
    ),
    ("at: (0, 0)", "at: (0, 0, 0)", "line 10, column 38: "),
    ("format: 1", "format: -1.5", "line 3, column "),
    ("format: 1", "format: 99999999999", "scene: it has format 99999999999, "),
    ("#![enable(implicit_some)]", "#![enable(wishes)]", "line 1, column "),
    ("\"left\"", "\"le\\qft\"", "line 27, column "),
];

/// The library's own words, which speak of this program's types.
pub(super) fn is_the_readers_own(said: &str) -> bool {
    [
        "Expected",
        "Unexpected",
        "struct `",
        "enum `",
        "unknown variant",
        "enum variant",
        "identifier",
        "deserial",
        "cannot be read",
        "something else",
    ]
    .iter()
    .any(|word| said.contains(word))
}

#[test]
fn bad_text_is_told_of_with_its_place() {
    let mut wrong = vec![];
    for (old, new, expected) in BAD_TEXT {
        assert!(SOUND.contains(old), "the sound scene holds no {old:?}");
        match from_text(&SOUND.replacen(old, new, 1)) {
            Ok(_) => wrong.push(format!("{old} -> {new} was read")),
            Err(problem) if is_the_readers_own(&problem.to_string()) => {
                wrong.push(format!("{old} -> {new}\n  {problem}"))
            }
            Err(problem) if problem.to_string().starts_with(expected) => {}
            Err(problem) => wrong.push(format!("{old} -> {new}\n  expected {expected}\n  found    {problem}")),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn text_that_ends_too_early_is_told_of() {
    let problem = from_text(&SOUND[..SOUND.len() / 2]).unwrap_err().to_string();
    assert!(problem.starts_with("line "), "{problem}");
    assert!(from_text("").is_err());
    assert!(from_text("no scene at all").is_err());
    assert!(from_text(&"(".repeat(100_000)).is_err());
}

#[test]
fn optional_values_may_stand_with_or_without_some() {
    let plain = from_text(SOUND).unwrap();
    let wrapped = SOUND.replace("seal: \"worn\"", "seal: Some(\"worn\")").replace("#![enable(implicit_some)]", "");
    assert_eq!(from_text(&wrapped).unwrap(), plain);
}
