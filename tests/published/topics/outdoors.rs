//! Façades and sound outdoors.

use super::super::{Case, Outcome};
use leaklight::acoustics::{Air, outdoors};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    match case.id() {
        "f-partial-wall" | "f-partial-window-2" => {
            let (facade, element) = (case.number("facade_area_m2"), case.number("element_area_m2"));
            let partial: Vec<f64> =
                case.numbers("r_db").iter().map(|r| partial_index_db(*r, facade, element)).collect();
            case.compare("partial_r_db", &partial, case.tolerance("db"))?;
        }
        "f-partial-inlet" => {
            let facade = case.number("facade_area_m2");
            let partial: Vec<f64> =
                case.numbers("dn_e_db").iter().map(|dne| partial_index_of_small_element_db(*dne, facade)).collect();
            case.compare("partial_r_db", &partial, case.tolerance("db"))?;
        }
        "g-side1-low" => side_of_a_hall(case)?,
        "g9-60m-5m" | "g9-60m-25m" => {
            let spreading = outdoors::rectangle_spreading_per_m2(
                case.number("side_width_m"),
                case.number("side_height_m"),
                case.number("distance_m"),
            );
            let attenuation = -10.0 * spreading.log10();
            case.compare("attenuation_db", &[attenuation], case.tolerance("db"))?;
            // LpA is printed to one digit from unrounded values: the attenuation's rounding adds to its own.
            case.compare("lp_a_db", &[case.number("lwa_db") - attenuation], 2.0 * case.tolerance("db"))?;
        }
        "9613-2-divergence" => {
            let loss: Vec<f64> = case.numbers("distance_m").iter().map(|d| divergence_db(*d)).collect();
            case.compare("a_div_db", &loss, case.tolerance("db"))?;
        }
        "9613-2-ground-porous-250" => {
            case.compare("a_gr_db", &[ground(case, case.number("frequency_hz"))], case.tolerance("db"))?;
        }
        "9613-2-ground-hard" => {
            let loss: Vec<f64> = case.numbers("bands_hz").iter().map(|hz| ground(case, *hz)).collect();
            case.compare("a_gr_db", &loss, case.tolerance("db"))?;
        }
        "9613-2-ground-alternative" => {
            let loss = ground_attenuation_a_db(case.number("distance_m"), case.number("mean_height_m"));
            case.compare("a_gr_db", &[loss], case.tolerance("db"))?;
        }
        "9613-2-barrier-limits" => {
            let path = |detour_m: f64, between_edges_m: f64| outdoors::BarrierPath {
                source_to_edge_m: 50.0 + detour_m,
                between_edges_m,
                edge_to_receiver_m: 50.0 - between_edges_m,
                straight_m: 100.0,
            };
            let db = |path| outdoors::barrier_attenuation_db(&path, 8000.0, &Air::default());
            let limits = [db(path(20.0, 0.0)), db(path(20.0, 10.0)), db(path(0.0, 0.0))];
            case.compare("dz_db", &limits, case.tolerance("db"))?;
        }
        "9613-2-barrier-single" => {
            let path = outdoors::BarrierPath {
                source_to_edge_m: case.number("source_to_edge_m"),
                between_edges_m: 0.0,
                edge_to_receiver_m: case.number("edge_to_receiver_m"),
                straight_m: case.number("source_to_receiver_m"),
            };
            let air = Air::stated(1.2, 340.0).map_err(|why| why.to_string())?;
            let loss: Vec<f64> =
                case.numbers("bands_hz").iter().map(|hz| outdoors::barrier_attenuation_db(&path, *hz, &air)).collect();
            case.compare("dz_db", &loss, case.tolerance("db"))?;
        }
        "kurze-anderson-0" | "kurze-anderson-1" => {
            let loss = kurze_anderson_db(case.number("fresnel_number"));
            case.compare("attenuation_db", &[loss], case.tolerance("db"))?;
        }
        "f-r-prime" => whole_facade(case)?,
        _ => return Ok(Outcome::Waits("no check for this case yet")),
    }
    Ok(Outcome::Passes)
}

fn ground(case: &Case, hz: f64) -> f64 {
    let factor = case.number("ground_factor");
    let end = |key: &str| outdoors::GroundEnd { height_m: case.number(key), factor };
    let (from, to) = (end("source_height_m"), end("receiver_height_m"));
    outdoors::ground_attenuation_db(hz, case.number("distance_m"), from, to, factor)
}

fn side_of_a_hall(case: &Case) -> Result<(), String> {
    let (wall, door) = (case.numbers("wall_r_db"), case.numbers("door_r_db"));
    let (wall_m2, door_m2, all_m2) =
        (case.number("wall_area_m2"), case.number("door_area_m2"), case.number("segment_area_m2"));
    let r_prime: Vec<f64> = wall
        .iter()
        .zip(&door)
        .map(|(wall, door)| {
            let passed = 10f64.powf(-partial_index_db(*wall, all_m2, wall_m2) / 10.0)
                + 10f64.powf(-partial_index_db(*door, all_m2, door_m2) / 10.0);
            -10.0 * passed.log10()
        })
        .collect();
    case.compare("r_prime_db", &r_prime, case.tolerance("db"))?;
    let cd = case.number("diffusity_term_db");
    let power: Vec<f64> = case
        .numbers("lp_in_db")
        .iter()
        .zip(&r_prime)
        .map(|(lp, r)| segment_power_level_db(*lp, cd, *r, all_m2))
        .collect();
    case.compare("lw_db", &power, case.tolerance("db"))
}

fn whole_facade(case: &Case) -> Result<(), String> {
    let area = case.number("facade_area_m2");
    let mut passed = [0.0; 5];
    for element in case.input("elements").as_array().ok_or("no elements")? {
        let element_m2 = element["area_m2"].as_f64().ok_or("no area")?;
        for (sum, r) in passed.iter_mut().zip(element["r_db"].as_array().ok_or("no R")?) {
            *sum += 10f64.powf(-partial_index_db(r.as_f64().ok_or("no number")?, area, element_m2) / 10.0);
        }
    }
    for (sum, dne) in passed.iter_mut().zip(case.numbers("inlet_dn_e_db")) {
        *sum += 10f64.powf(-partial_index_of_small_element_db(dne, area) / 10.0);
    }
    let r_prime = passed.map(|sum| -10.0 * sum.log10());
    case.compare("r_prime_db", &r_prime, case.tolerance("db"))
}

/// Sound power level of a radiating segment, dB re 1 pW: LW = Lp,in + Cd − R' + 10 lg(S/1 m²).
///
/// - `lp_in_db`: level in the room 1 m to 2 m before the segment, dB; `diffusity_db`: Cd, dB, −6 diffuse to 0 in large halls.
/// - `r_prime_db`: apparent sound reduction index, dB; `area_m2` > 0.
///
/// Source: EN 12354-4:2000, Formula (2).
fn segment_power_level_db(lp_in_db: f64, diffusity_db: f64, r_prime_db: f64, area_m2: f64) -> f64 {
    lp_in_db + diffusity_db - r_prime_db + 10.0 * area_m2.log10()
}

/// What one part of a façade passes, referred to the whole façade: Rp = R + 10 lg(S/Si), dB.
///
/// Source: EN 12354-3:2000, Formula (9).
fn partial_index_db(r_db: f64, facade_area_m2: f64, element_area_m2: f64) -> f64 {
    r_db + 10.0 * (facade_area_m2 / element_area_m2).log10()
}

/// The same for a small element known by Dn,e: Rp = Dn,e + 10 lg(S/10 m²), dB. Source: EN 12354-3:2000, Formula (10).
fn partial_index_of_small_element_db(dne_db: f64, facade_area_m2: f64) -> f64 {
    dne_db + 10.0 * (facade_area_m2 / 10.0).log10()
}

/// Geometrical divergence of a point source, dB: 20 lg(d/1 m) + 11. Source: ISO 9613-2:1996, Eq. (7).
fn divergence_db(distance_m: f64) -> f64 {
    20.0 * distance_m.log10() + 11.0
}

/// Ground attenuation for A-weighted levels over porous ground, dB: 4.8 − (2·hm/d)·(17 + 300/d), at least 0.
///
/// Source: ISO 9613-2:1996, Eq. (10).
fn ground_attenuation_a_db(distance_m: f64, mean_height_m: f64) -> f64 {
    (4.8 - 2.0 * mean_height_m / distance_m * (17.0 + 300.0 / distance_m)).max(0.0)
}

/// Thin barrier, attenuation by Fresnel number N ≥ 0, dB: 5 + 20 lg[√(2πN)/tanh √(2πN)].
///
/// Source: Bies, Hansen & Howard, Engineering Noise Control, 5th ed. (2017), Eq. (5.138).
fn kurze_anderson_db(fresnel_number: f64) -> f64 {
    let root = (2.0 * std::f64::consts::PI * fresnel_number.max(0.0)).sqrt();
    if root < 1e-9 { 5.0 } else { 5.0 + 20.0 * (root / root.tanh()).log10() }
}
