//! One file a topic, named like its file of cases.

mod absorption;
mod air;
mod annex_l;
mod apertures;
mod elements_heavy;
mod field_measurement;
mod flanking_detailed;
mod glazing;
mod hearing;
mod iic_floors;
mod impact_prediction;
mod junctions;
mod outdoors;
mod panels_computed;
mod panels_measured;
mod porous;
mod ratings_airborne;
mod ratings_impact;
mod rooms;
mod sources;
mod structure_borne;
mod uncertainty;
mod weighting_criteria;

use super::{Case, Outcome};

/// A test for each topic, named like its file of cases.
macro_rules! topics {
    ($($topic:ident)*) => {
        mod published_cases_hold {
            $(#[test]
            fn $topic() {
                crate::published::cases_hold(stringify!($topic), super::$topic::check);
            })*
        }
        const TOPICS: &[&str] = &[$(stringify!($topic)),*];
    };
}

topics! {
    absorption
    air
    apertures
    elements_heavy
    field_measurement
    flanking_detailed
    glazing
    hearing
    impact_prediction
    junctions
    outdoors
    panels_computed
    panels_measured
    porous
    ratings_airborne
    ratings_impact
    rooms
    sources
    structure_borne
    uncertainty
    weighting_criteria
}

#[test]
fn every_file_of_cases_has_its_topic() {
    for entry in std::fs::read_dir(super::cases_folder()).expect("the cases are committed") {
        let file = entry.unwrap().path();
        // A folder of its own has a test of its own.
        if file.is_file() {
            let topic = file.file_stem().unwrap().to_string_lossy().into_owned();
            assert!(TOPICS.contains(&topic.as_str()), "no topic checks {topic}");
        }
    }
}
