//! The catalogue's constructions as computed, beside the ranges print gives them.

use leaklight::acoustics::rating::iso717_1::Airborne;
use leaklight::acoustics::{Air, Bands};
use leaklight::catalogue::Catalogue;
use leaklight::solve::construction::{laboratory_size_m, reduction};

/// Every construction with a usual range is computed within it. Ranges from memory of print or of practice are told as such in the catalogue.
#[test]
fn ratings_lie_where_print_has_them() {
    let catalogue = Catalogue::built_in_ref();
    let (air, bands) = (Air::default(), Bands::exact());
    let ranged: Vec<_> = catalogue.constructions.values().filter(|it| it.usual_rw.is_some()).collect();
    assert!(ranged.len() >= 40, "{} ranges", ranged.len());
    let outside: Vec<_> = ranged
        .into_iter()
        .filter_map(|it| {
            let usual = it.usual_rw.as_ref()?;
            let r_db = reduction(catalogue, it, laboratory_size_m(it.kind), &air, &bands).unwrap().r_db;
            let rw_db = Airborne::of_spectrum(&r_db).rw_db;
            let told = format!("{}: Rw {rw_db}, {}", it.id, usual.words(catalogue));
            (!(usual.lo..=usual.hi).contains(&rw_db)).then_some(told)
        })
        .collect();
    assert!(outside.is_empty(), "{} ratings lie elsewhere:\n{}", outside.len(), outside.join("\n"));
}
