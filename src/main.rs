//! The `leaklight` program.
use leaklight::*;
fn main() {
    let path = std::env::args().nth(1).unwrap();
    let catalogue = catalogue::Catalogue::built_in();
    let scene = scene::file::read(std::path::Path::new(&path)).unwrap();
    let building = building::build(&scene, &catalogue).unwrap();
    let start = std::time::Instant::now();
    let answer = solve::solve(&scene, &catalogue, &building);
    println!("{} elements {} junctions, {:?}", building.elements.len(), building.junctions.len(), start.elapsed());
    for (e, a) in building.elements.iter().zip(&answer.elements) {
        println!(
            "{:40} {:46} {:5.1} m2 {:28} Rw {:3} m {:4.0}",
            e.id, e.name, e.area_m2, e.construction, a.rw_db, a.mass_per_area_kg_m2
        );
    }
    for (e, a) in building.spaces.iter().zip(&answer.spaces) {
        println!(
            "{:30} T500 {:.2} A500 {:.1} L {:?}",
            e.name,
            a.reverberation_s[13],
            a.absorption_m2[13],
            a.energy.to_db().0.iter().step_by(3).map(|x| x.round()).collect::<Vec<_>>()
        );
    }
    let show = |s: &solve::Surface| match s {
        solve::Surface::Air => "air".to_string(),
        solve::Surface::Element(e) => building.elements[e.0].id.clone(),
        solve::Surface::Opening(e, n) => {
            format!("{}:{}", building.elements[e.0].id, building.elements[e.0].openings[*n].opening)
        }
        solve::Surface::Gap(e, n) => {
            format!("gap {}:{}", building.elements[e.0].id, building.elements[e.0].openings[*n].opening)
        }
    };
    for l in &answer.listeners {
        println!(
            "\n{} LA {:.1} LC {:.1} {:?} margin {:.1} target {:?} sum {:.12} n {}",
            l.name,
            l.la_db,
            l.lc_db,
            l.audibility,
            l.audible_margin_db,
            l.target.as_ref().map(|t| (t.name.clone(), t.margin_db, t.probability)),
            l.paths.iter().map(|p| p.share).sum::<f64>(),
            l.paths.len()
        );
        for r in &l.ratings {
            println!("  DnTw {:?} R'w {:?}", r.dntw_db, r.r_prime_w_db);
        }
        for p in l.paths.iter().take(8) {
            println!(
                "  {:5.1}% {:?} {} -> {} via {:?}  {:?}",
                100.0 * p.share,
                p.kind,
                show(&p.entry),
                show(&p.exit),
                p.via.map(|v| &building.spaces[v.0].name),
                p.energy.to_db().0.iter().step_by(3).map(|x| x.round()).collect::<Vec<_>>()
            );
        }
    }
    for n in &answer.notes {
        println!("note: {n}");
    }
}
