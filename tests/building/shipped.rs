//! The scenes that come with the program, as buildings.

use std::path::Path;

use leaklight::building::{Building, JunctionKind, build};
use leaklight::catalogue::Catalogue;
use leaklight::scene::Scene;

fn shipped(name: &str) -> Building {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name);
    let scene: Scene = leaklight::scene::file::read(&path).unwrap();
    build(&scene, Catalogue::built_in_ref()).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

#[test]
fn dump() {
    for name in ["bookshop-terrace.ron", "music-school.ron"] {
        let b = shipped(name);
        println!("=== {name}");
        for s in &b.spaces {
            println!(
                "{:?}",
                match &s.kind {
                    leaklight::building::SpaceKind::Room(r) => format!(
                        "{} {:.2} m2 P {:.2} V {:.1} rings {}",
                        s.name,
                        r.area_m2,
                        r.perimeter_m,
                        r.volume_m3,
                        r.outline.len()
                    ),
                    _ => s.name.clone(),
                }
            );
        }
        for (i, e) in b.elements.iter().enumerate() {
            println!(
                "{i} {} | {} | {:.2} m2 {:.2}x{:.2} {} {} {:?}",
                e.id,
                e.name,
                e.area_m2,
                e.size_m[0],
                e.size_m[1],
                e.construction,
                e.openings.len(),
                e.sides
            );
        }
        for j in &b.junctions {
            println!(
                "{} {} {:.3} {:.2?}",
                if j.kind == JunctionKind::Standing { "S" } else { "L" },
                j.storey,
                j.length_m,
                j.line
            );
            for a in &j.arms {
                println!("     {} straight {:?} cont {}", b.elements[a.element.0].id, a.straight, a.continuous);
            }
        }
        println!("{:?}\n{:?}", b.sources, b.listeners);
    }
}
