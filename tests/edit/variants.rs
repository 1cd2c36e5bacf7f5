//! Variants: lists of edits over a scene that may change beneath them.

use leaklight::edit::{Edit, Item, Pick, apply, edited_in, fitting, followed, narrowed, put_by, recorded, varied};
use leaklight::scene::{Scene, ShellFace, Support, Variant, Workmanship, file};

use super::{catalogue, worked};

fn variant(edits: Vec<Edit>) -> Variant {
    Variant { name: "quieter".to_owned(), about: String::new(), edits }
}

fn face() -> ShellFace {
    ShellFace {
        construction: "leaf-dense-two".to_owned(),
        gap_mm: 75.0,
        fill: None,
        support: Support::None,
        workmanship: Workmanship::Usual,
    }
}

fn edits() -> Vec<Edit> {
    vec![
        Edit::Seal("rehearsal-door".into(), "compression-double".to_owned(), 0.0),
        Edit::Wall("first/party-10-front".into(), "brick-327-plastered".to_owned()),
        Edit::ShellWall("rehearsal".into(), "party-10-front".into(), face()),
        Edit::ShellCeiling("rehearsal".into(), face()),
        Edit::Softer("drums".into(), 6.0),
        Edit::PlayAt("drums".into(), "first".into(), [7.0, 2.0]),
    ]
}

fn opening<'a>(scene: &'a Scene, id: &str) -> &'a leaklight::scene::Opening {
    scene.storeys.iter().flat_map(|storey| &storey.openings).find(|opening| opening.id.0 == id).unwrap()
}

#[test]
fn a_variant_is_made_over_whatever_is_drawn() {
    let base = worked();
    let (made, problems) = varied(&base, catalogue(), &variant(edits()));
    assert_eq!(problems, Vec::<String>::new());
    assert_eq!(opening(&made, "rehearsal-door").seal.as_deref(), Some("compression-double"));
    let shell = made.storeys[1].rooms[0].inner_shell.as_ref().unwrap();
    assert!(shell.ceiling.is_some() && shell.each_wall.len() == 1 && shell.floor.is_none());
    // The pedal moved with the kit, by 0.4 m to the left and 0.2 m to the street; the wall of the storey below is another.
    assert_eq!(made.sources[0].contacts[0].at, Some([7.0, 2.3]));
    let built = |storey: usize| {
        &made.storeys[storey].walls.iter().find(|wall| wall.id.0 == "party-10-front").unwrap().construction
    };
    assert_eq!((built(0).as_str(), built(1).as_str()), ("brick-215-plastered", "brick-327-plastered"));
    // The base grows a wider door and a louder kit beneath it.
    let mut wider = opening(&base, "rehearsal-door").clone();
    wider.width_m = 0.9;
    let base = apply(&base, catalogue(), &Edit::Put(Item::Opening("first".into(), wider))).unwrap();
    let (made, problems) = varied(&base, catalogue(), &variant(edits()));
    assert!(problems.is_empty());
    let door = opening(&made, "rehearsal-door");
    assert!((door.width_m - 0.9).abs() < 1e-12 && door.seal.as_deref() == Some("compression-double"));
}

#[test]
fn what_no_longer_fits_is_told_and_the_rest_is_done() {
    let base =
        apply(&worked(), catalogue(), &Edit::Delete(vec![Pick::Opening("first".into(), "rehearsal-door".into())]))
            .unwrap();
    let (made, problems) = varied(&base, catalogue(), &variant(edits()));
    assert_eq!(problems.len(), 1);
    assert!(
        problems[0].contains("Variant \"quieter\" cannot seal rehearsal-door with compression-double"),
        "{}",
        problems[0]
    );
    assert!(made.storeys[1].rooms[0].inner_shell.is_some());
    // A word that stands for two walls asks for the storey.
    let two = variant(vec![Edit::Wall("party-10-front".into(), "brick-327-plastered".to_owned())]);
    let (_, problems) = varied(&base, catalogue(), &two);
    assert!(problems[0].contains("\"ground/party-10-front\""), "{}", problems[0]);
}

#[test]
fn a_variant_survives_its_file() {
    let mut scene = worked();
    let mut all = edits();
    all.push(Edit::Put(Item::Source(scene.sources[0].clone())));
    all.push(Edit::Delete(vec![Pick::Listener("clerk".into()), Pick::Contact("drums".into(), 1)]));
    all.push(Edit::Hours((14.0, 18.0), 2.0));
    scene.variants = vec![variant(all)];
    let text = file::to_text(&scene).unwrap();
    assert_eq!(file::from_text(&text).unwrap(), scene);
}

/// What is done while a variant is shown becomes an edit of no more than what differs, and a later one of the same thing takes its place.
#[test]
fn what_is_done_in_a_variant_is_kept_small() {
    let scene = worked();
    let door = opening(&scene, "rehearsal-door").clone();
    let sealed = |undercut_mm: f64| {
        let door = leaklight::scene::Opening { seal: Some("mastic".to_owned()), undercut_mm, ..door.clone() };
        Edit::Put(Item::Opening("first".into(), door))
    };
    let seal = |undercut_mm: f64| Edit::Seal("first/rehearsal-door".into(), "mastic".to_owned(), undercut_mm);
    assert_eq!(narrowed(&scene, &sealed(2.0)), [seal(2.0)]);
    let once = recorded(&variant(vec![]), &scene, &sealed(2.0));
    let (made, _) = varied(&scene, catalogue(), &once);
    let twice = recorded(&once, &made, &sealed(1.0));
    assert_eq!(twice.edits, [seal(1.0)]);
    // Wider: no single thing, so that the door is put whole.
    let wider = Edit::Put(Item::Opening("first".into(), leaklight::scene::Opening { width_m: 0.9, ..door }));
    assert_eq!(narrowed(&scene, &wider), [wider]);
}

/// Whatever is done while a variant is shown, the scene it makes afterwards is the one that was seen, and the drawing has not moved.
#[test]
fn what_is_done_in_a_variant_is_what_is_seen() {
    let mut drawn = worked();
    drawn.variants = vec![variant(edits()), Variant { name: "louder".to_owned(), ..variant(vec![]) }];
    let (mut seen, _) = varied(&drawn, catalogue(), &drawn.variants[0]);
    let mut listener = seen.listeners[0].clone();
    listener.id = "new-1".into();
    let mut room = seen.storeys[1].rooms[0].clone();
    room.furniture_m2 = 7.0;
    for edit in [
        Edit::Put(Item::Listener(listener)),
        Edit::Put(Item::Room("first".into(), room)),
        Edit::Move { picks: vec![Pick::Source("drums".into())], by: [0.3, 0.0] },
        Edit::Softer("drums".into(), 3.0),
        Edit::Softer("drums".into(), 3.0),
        Edit::Delete(vec![Pick::Opening("first".into(), "sash-2".into())]),
        Edit::Put(Item::Views(vec![])),
    ] {
        seen = apply(&seen, catalogue(), &edit).unwrap();
        let after = edited_in(&drawn, catalogue(), 0, std::slice::from_ref(&edit)).unwrap();
        let (made, misfits) = varied(&after, catalogue(), &after.variants[0]);
        assert!(misfits.is_empty(), "{misfits:?}");
        seen.variants.clone_from(&made.variants);
        assert_eq!(made, seen, "{edit:?}");
        assert_eq!(after.variants[1], drawn.variants[1]);
        let drawn_alone = |scene: &Scene| Scene { variants: vec![], views: vec![], ..scene.clone() };
        assert_eq!(drawn_alone(&after), drawn_alone(&drawn), "{edit:?}");
        drawn = after;
    }
    assert!(drawn.views.is_empty(), "views belong to the drawing");
    assert!(put_by(&drawn.variants, "new-1") && !put_by(&drawn.variants, "new-2"));
}

#[test]
fn a_variant_is_followed_to_its_new_name_and_loses_what_does_not_fit() {
    let named = |names: &[&str]| -> Vec<Variant> {
        names.iter().map(|name| Variant { name: (*name).to_owned(), ..variant(vec![]) }).collect()
    };
    let before = named(&["a", "b"]);
    assert_eq!(followed(&before, &named(&["a", "c"]), "b").as_deref(), Some("c"));
    assert_eq!(followed(&before, &named(&["b", "a"]), "b").as_deref(), Some("b"));
    assert_eq!(followed(&before, &named(&["a"]), "b"), None);
    assert_eq!(followed(&before, &named(&["b"]), "a"), None);
    let mut with_misfit = variant(edits());
    with_misfit.edits.insert(2, Edit::Seal("no-such-door".into(), "mastic".to_owned(), 0.0));
    assert_eq!(fitting(&worked(), catalogue(), &with_misfit), variant(edits()));
}
