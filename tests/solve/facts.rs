//! Facts of the trade that the whole chain must show.

use leaklight::solve::PathKind;

use super::properties::{House, level, solved};

/// A heavier door in a gap of 3 mm hardly helps; closing the gap does (composite of parallel transmissions: Hopkins 2007, 4.3.9).
#[test]
fn closing_the_gap_beats_a_heavier_door() {
    let drawn = House { door: Some("door-hollow-core"), seal: "none", ..House::default() };
    let heavier = House { door: Some("door-front-timber-54"), ..drawn.clone() };
    let sealed = House { seal: "compression-double", door: Some("door-solid-core-44"), ..drawn.clone() };
    let heavy_only = level(&solved(&heavier.scene()).1, "beside");
    let gap_closed = level(&solved(&sealed.scene()).1, "beside");
    assert!(gap_closed < heavy_only - 3.0, "{gap_closed:.1} {heavy_only:.1}");
}

/// Diagonal rooms share no element: all first-order sound goes round junctions (ISO 12354-1:2017, 4.1), or by other rooms and the outdoors.
#[test]
fn diagonal_rooms_hear_round_junctions_and_by_other_rooms_only() {
    let (_, answer) = solved(&House::default().scene());
    let diagonal = answer.listeners.iter().find(|listener| listener.listener.0 == "diagonal").unwrap();
    assert!(diagonal.paths.iter().all(|path| !matches!(path.kind, PathKind::Through | PathKind::Gap)));
    assert!(diagonal.paths.iter().any(|path| path.kind == PathKind::Flanking));
    assert!(diagonal.ratings[0].r_prime_db.is_none() && diagonal.ratings[0].dntw_db.is_some());
}

/// Flanking limits a good wall: a much better partition between rooms on one continuous slab gains far less than its own R
/// (ISO 12354-1:2017, introduction; common experience).
#[test]
fn flanking_limits_what_a_better_wall_gains() {
    let plain = House { door: None, partition: "brick-215-plastered", ..House::default() };
    let better = House { partition: "stud-steel-twin-party", ..plain.clone() };
    let (building, plain) = solved(&plain.scene());
    let (_, better) = solved(&better.scene());
    let at = building.elements.iter().position(|element| element.id == "upper/w6").unwrap();
    let own_gain = f64::from(better.elements[at].rw_db - plain.elements[at].rw_db);
    let gain = level(&plain, "beside") - level(&better, "beside");
    assert!(own_gain > 5.0 && gain < own_gain - 3.0, "wall gains {own_gain}, listener {gain:.1}");
}
