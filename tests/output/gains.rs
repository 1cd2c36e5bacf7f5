//! What is said of stopping things, and of changes, against the answer it is said of.

use std::path::Path;

use leaklight::output::words::{self, Variant};
use leaklight::scene::{Scene, file};

use super::sample::{Sample, solved};

pub(super) fn shipped() -> Vec<(String, Sample)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "ron"));
    files.sort();
    files
        .iter()
        .map(|path| (path.file_stem().unwrap().to_string_lossy().into_owned(), solved(file::read(path).unwrap())))
        .collect()
}

#[test]
fn look() {
    for (name, Sample { scene, building, answer }) in shipped() {
        for heard in &answer.listeners {
            println!(
                "\n== {name}: {}\n{}\n{}",
                heard.name,
                words::listener(&scene, &building, heard),
                words::gains(&building, heard)
            );
            for line in words::gain_lines(&building, heard, 5) {
                println!("   {:<50} {:>10} {:>12}", line.what, line.gain, line.left);
            }
        }
    }
}

fn changed(name: &str, id: &str, edit: impl Fn(&mut Scene)) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name);
    let before = file::read(&path).unwrap();
    let mut after = before.clone();
    edit(&mut after);
    let (before, after) = (solved(before), solved(after));
    before
        .answer
        .listeners
        .iter()
        .filter(|heard| id.is_empty() || heard.listener.0 == id)
        .map(|heard| {
            let one = Variant { building: &before.building, answer: &before.answer };
            let two = Variant { building: &after.building, answer: &after.answer };
            words::change(one, two, &heard.listener).unwrap()
        })
        .collect()
}

fn window(scene: &mut Scene, id: &str, construction: &str, seal: &str) {
    let all = scene.storeys.iter_mut().flat_map(|storey| storey.openings.iter_mut());
    let found = all.filter(|opening| opening.id.0 == id).map(|opening| {
        (opening.construction, opening.seal) = (construction.into(), Some(seal.into()));
    });
    assert!(found.count() > 0, "{id}");
}

#[test]
fn look_at_changes() {
    let print = |what: &str, told: Vec<String>| println!("\n## {what}\n{}", told.join("\n"));
    print("nothing", changed("bookshop-terrace.ron", "", |_| {}));
    print("louder", changed("bookshop-terrace.ron", "", |scene| scene.sources[0].level_db -= 6.0));
    print(
        "landing door",
        changed("bookshop-terrace.ron", "", |scene| {
            let id = scene
                .storeys
                .iter()
                .flat_map(|storey| &storey.openings)
                .find(|it| it.name == "door to the landing")
                .unwrap()
                .id
                .0
                .clone();
            window(scene, &id, "door-solid-core-44", "compression-double");
        }),
    );
    print("pedals", changed("bookshop-terrace.ron", "", |scene| scene.sources[0].contacts.clear()));
    print(
        "party wall",
        changed("bookshop-terrace.ron", "", |scene| {
            scene.storeys[1].walls.iter_mut().find(|wall| wall.id.0 == "party-10-front").unwrap().construction =
                "stud-steel-twin-party".into();
        }),
    );
    print(
        "hall window",
        changed("village-hall.ron", "", |scene| {
            window(scene, "street-window-2", "window-triple", "compression-double")
        }),
    );
    print("no duct", changed("shared-void.ron", "", |scene| scene.ducts.clear()));
}
