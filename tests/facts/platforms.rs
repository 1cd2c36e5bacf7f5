//! Platforms on springs and mats, on slabs and on joists, up to the size of the room.

use std::f64::consts::{SQRT_2, TAU};

use leaklight::acoustics::isolation::Isolators;
use leaklight::acoustics::lining::{FloatingFloor, lining_resonance_hz, with_resonance_dip_db};
use leaklight::acoustics::mobility::{JoistFloor, PointMobility};
use leaklight::acoustics::plate::Plate;
use leaklight::acoustics::{BAND_COUNT, Bands, Spectrum};

const FLOOR_M2: f64 = 20.0;

fn at(hz: f64) -> usize {
    Bands::nearest(hz)
}

/// 22 mm chipboard on joists of 50 × 200 mm at 400 mm, 12 kg/m² of plasterboard under them.
fn joists() -> PointMobility {
    PointMobility::BetweenJoists(JoistFloor::new(3000.0, 15.0, (0.05, 0.2), 0.4, 12.0).unwrap())
}

/// Mass of its boards, kg/m².
const BOARDS_KG_M2: f64 = 15.0;

fn slab() -> PointMobility {
    let plate = Plate::new(0.18, 2300.0, 3500.0, 0.006).unwrap();
    PointMobility::Plate { bending_nm: plate.bending_stiffness_nm(), mass_kg_m2: plate.mass_kg_m2() }
}

fn gain(isolators: &Isolators, floor: &PointMobility) -> Spectrum {
    isolators.platform_loss_db(floor, FLOOR_M2, &Bands::exact())
}

/// Springs on which so much swings at `hz`, N/m.
fn stiff_for(hz: f64, kg: f64) -> f64 {
    (TAU * hz).powi(2) * kg
}

/// A platform of 50 Hz harms at 50 Hz and isolates from 100 Hz (elementary); one of 6 Hz gains at 25 Hz at most what a spring does, 20 lg(r² − 1) = 24.3 dB,
/// and less: the way through the air takes the rest. Measured when written: 19.0 dB.
#[test]
fn a_platform_harms_at_its_resonance() {
    let soft = gain(&Isolators::new(stiff_for(6.0, 250.0), 0.05, 250.0).unwrap(), &PointMobility::Rigid);
    assert!((12.0..24.4).contains(&soft[at(25.0)]), "{soft:.1?}");
    let hard = gain(&Isolators::new(stiff_for(50.0, 100.0), 0.1, 100.0).unwrap(), &PointMobility::Rigid);
    assert!(hard[at(50.0)] < -10.0 && hard[at(25.0)] < 0.0 && hard[at(100.0)] > 5.0, "{hard:.1?}");
}

/// No flat limit: 1,000 kg on a mat of 450 Hz gains nothing to speak of below it, and no two octaves are alike near and above it.
#[test]
fn a_heavy_platform_on_a_stiff_mat_has_no_flat_limit() {
    let mat = Isolators::mat(stiff_for(450.0, 1000.0) / 2e6, 2.0, 0.2, 1000.0).unwrap();
    for floor in [slab(), joists()] {
        let gain = gain(&mat, &floor);
        assert!(gain.0[..at(200.0)].iter().all(|db| *db < 1.0), "{gain:.1?}");
        assert!(gain.0[at(250.0)..].windows(4).all(|octave| (octave[3] - octave[0]).abs() > 0.1), "{gain:.1?}");
    }
}

/// As it grows to the room, a platform on a mat is the floating floor of the same board and mat: f0 from both masses, ISO 12354-1 Annex D; within
/// 2 dB up to 400 Hz, above which waves in the mat and the air limit the platform (2.6 dB less at 500 Hz). On joists the boards alone are the base
/// above the bay's resonance of 136 Hz, and the comparison begins at 160 Hz.
#[test]
fn a_platform_as_large_as_the_room_is_a_floating_floor() {
    let bands = Bands::exact();
    let (stiffness, board_kg_m2) = (20.0, 25.0);
    let mat = Isolators::mat(stiffness, FLOOR_M2, 0.3, board_kg_m2 * FLOOR_M2).unwrap();
    for (floor, base_kg_m2, from_hz) in [(slab(), 414.0, 25.0), (joists(), BOARDS_KG_M2, 160.0)] {
        let f0 = lining_resonance_hz(stiffness, base_kg_m2, board_kg_m2).unwrap();
        let floating = with_resonance_dip_db(FloatingFloor::Dry, f0, &bands);
        let platform = gain(&mat, &floor);
        for band in at(from_hz)..=at(400.0) {
            assert!((platform[band] - floating[band]).abs() < 2.0, "{}", bands.hz(band));
        }
    }
}

/// And on the way there it goes evenly: twice the area of the same board and mat never changes a band by more than 5 dB.
#[test]
fn platforms_of_all_sizes_lie_between() {
    for floor in [slab(), joists()] {
        let mut before: Option<Spectrum> = None;
        for area_m2 in [0.6, 1.25, 2.5, 5.0, 10.0, 20.0] {
            let now = gain(&Isolators::mat(20.0, area_m2, 0.3, 25.0 * area_m2).unwrap(), &floor);
            if let Some(before) = before {
                for band in 0..BAND_COUNT {
                    assert!((now[band] - before[band]).abs() < 5.0, "{area_m2} m2 band {band}");
                }
            }
            before = Some(now);
        }
    }
}

/// 62 kg on a mat of 10 MN/m³ and 1.5 m² on joists: what it gains in the bass is no more than what the board and mat as a floating floor
/// gain, within 3 dB, and at 63 Hz nothing like 20 dB.
#[test]
fn a_light_platform_on_joists_does_no_wonders() {
    let platform = gain(&Isolators::mat(10.0, 1.5, 0.2, 62.0).unwrap(), &joists());
    assert!(platform.0[..=at(63.0)].iter().all(|db| *db < 5.0), "{platform:.1?}");
}

/// The same platform is never worth more on joists than on concrete from √2 of its resonance on joists (a light floor gives way; elementary), nor
/// ever less for more mass on the same springs.
#[test]
fn timber_is_never_better_and_mass_never_worse() {
    let bands = Bands::exact();
    let kinds: [fn(f64) -> Isolators; 4] = [
        |kg| Isolators::mat(10.0, 1.5, 0.2, kg).unwrap(),
        |kg| Isolators::mat(40.0, 4.0, 0.2, kg).unwrap(),
        |kg| Isolators::new(4e5, 0.1, kg).unwrap(),
        |kg| Isolators::new(4e6, 0.1, kg).unwrap().under_platform(3.0, 8.0).unwrap(),
    ];
    for (kind, made) in kinds.iter().enumerate() {
        for kg in [40.0, 62.0, 150.0, 400.0, 1000.0] {
            let (one, more) = (made(kg), made(1.3 * kg));
            let (on_slab, on_joists) = (gain(&one, &slab()), gain(&one, &joists()));
            let dip = (0..BAND_COUNT).min_by(|a, b| on_joists[*a].total_cmp(&on_joists[*b])).unwrap();
            for band in (0..BAND_COUNT).filter(|band| bands.hz(*band) > SQRT_2 * one.resonance_hz()) {
                let hz = bands.hz(band);
                if hz > SQRT_2 * bands.hz(dip) {
                    assert!(
                        on_joists[band] < on_slab[band] + 0.5,
                        "{kind} {kg} kg {hz:.0} Hz: {} {}",
                        on_joists[band],
                        on_slab[band]
                    );
                }
                for (floor, was) in [(slab(), on_slab), (joists(), on_joists)] {
                    if hz > SQRT_2 * bands.hz(dip) {
                        let is = gain(&more, &floor)[band];
                        assert!(is > was[band] - 0.1, "{kind} {kg} kg {hz:.0} Hz: {is} {}", was[band]);
                    }
                }
            }
        }
    }
}
