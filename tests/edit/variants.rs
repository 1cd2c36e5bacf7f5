//! Variants: lists of edits over a scene that may change beneath them.

use leaklight::edit::{Edit, Item, Pick, apply, narrowed, recorded, varied};
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
