//! Linings and floating floors on heavy elements: resonance frequency, weighted gain, gain per band.
//!
//! Below its resonance a lining is useless, near it harmful, above it a gain; so ΔR may be negative, and is kept so.

use super::NotPhysical;
use super::bands::{Bands, Spectrum};

/// 160·√(s'/m'): the standard's rounding of 1000/(2π) = 159.2, with s' in MN/m³ and m' in kg/m².
const RESONANCE_FACTOR: f64 = 160.0;
/// Stiffness of a cavity with porous fill: s' = 0.111/d MN/m³, d in m.
const CAVITY_STIFFNESS_MN_M2: f64 = 0.111;

/// Dynamic stiffness per area of a cavity with porous fill, MN/m³: 0.111/d.
/// Source: EN 12354-1:2000 and ISO 12354-1:2017 Annex D.
///
/// # Errors
///
/// When the depth is not finite and above zero.
pub fn cavity_stiffness_mn_m3(depth_m: f64) -> Result<f64, NotPhysical> {
    Ok(CAVITY_STIFFNESS_MN_M2 / NotPhysical::unless_positive("cavity depth", depth_m, "above zero, in m")?)
}

/// Resonance frequency of a lining on a heavy element, Hz: f0 = 160·√(s'·(1/m1 + 1/m2)).
///
/// `stiffness_mn_m3`: dynamic stiffness s' of the insulation or cavity, MN/m³; masses of base and lining, kg/m².
/// For layers glued to the base and for studs in a filled cavity free of it. Source: ISO 12354-1:2017 Annex D.
///
/// # Errors
///
/// When a value is not finite and above zero.
pub fn lining_resonance_hz(stiffness_mn_m3: f64, base_kg_m2: f64, lining_kg_m2: f64) -> Result<f64, NotPhysical> {
    let stiffness = NotPhysical::unless_positive("dynamic stiffness", stiffness_mn_m3, "above zero, in MN/m³")?;
    let base_kg_m2 = NotPhysical::unless_positive("mass of the base element", base_kg_m2, "above zero, in kg/m²")?;
    let lining_kg_m2 = NotPhysical::unless_positive("mass of the lining", lining_kg_m2, "above zero, in kg/m²")?;
    Ok(RESONANCE_FACTOR * (stiffness * (1.0 / base_kg_m2 + 1.0 / lining_kg_m2)).sqrt())
}

/// Resonance frequency of a floating floor, Hz: f0 = 160·√(s'/m'), m' of the floating plate, kg/m².
///
/// Source: ISO 12354-1:2017 Annex D and ISO 12354-2:2017 Annex C (the base counts as rigid).
///
/// # Errors
///
/// When a value is not finite and above zero.
pub fn floating_floor_resonance_hz(stiffness_mn_m3: f64, floating_kg_m2: f64) -> Result<f64, NotPhysical> {
    let stiffness = NotPhysical::unless_positive("dynamic stiffness", stiffness_mn_m3, "above zero, in MN/m³")?;
    let floating_kg_m2 =
        NotPhysical::unless_positive("mass of the floating floor", floating_kg_m2, "above zero, in kg/m²")?;
    Ok(RESONANCE_FACTOR * (stiffness / floating_kg_m2).sqrt())
}

/// Weighted gain above 160 Hz: f0 and ΔRw, in between linear over lg f0.
/// Source: ISO 12354-1:2017 Table D.1 (rows above 160 Hz from memory, unverified).
const HIGH_RESONANCE: [(f64, f64); 8] = [
    (200.0, -1.0),
    (250.0, -3.0),
    (315.0, -5.0),
    (400.0, -7.0),
    (500.0, -9.0),
    (630.0, -10.0),
    (1600.0, -10.0),
    (2000.0, -5.0),
];

/// Weighted improvement ΔRw of a lining, dB: 74.4 − 20 lg f0 − Rw/2 from 30 to 160 Hz, at least 0; a loss above 160 Hz.
///
/// `base_rw_db`: Rw of the bare element, meant for 20 to 60 dB. Below 30 Hz the value of 30 Hz, above 2 kHz that of 2 kHz.
/// Source: ISO 12354-1:2017 Table D.1 (its Annex L prints 10.6 dB for f0 = 52.8 Hz on Rw 58.7).
#[must_use]
pub fn delta_rw_db(resonance_hz: f64, base_rw_db: f64) -> f64 {
    let low = |hz: f64| (74.4 - 20.0 * hz.log10() - base_rw_db / 2.0).max(0.0);
    if resonance_hz <= 160.0 {
        return low(resonance_hz.max(30.0));
    }
    let mut before = (160.0, low(160.0));
    for after in HIGH_RESONANCE {
        if resonance_hz <= after.0 {
            let share = (resonance_hz / before.0).log10() / (after.0 / before.0).log10();
            return before.1 + share * (after.1 - before.1);
        }
        before = after;
    }
    before.1
}

/// What the path beside a lining gains more than the lining is rated, dB: both pass, and near its resonance the lining gains less. With it a good
/// lining is rated as Table D.1 has it (see the test).
const BESIDE_ABOVE_TABLE_DB: f64 = 1.0;
/// Resonances between which the table asks for a path beside, Hz: above the second, what is lost near the resonance keeps the rating to the table.
const BESIDE_RANGE_HZ: [f64; 2] = [30.0, 63.0];

/// What passes beside a lining, as the gain of that path alone, dB, the same in every band: edges, pipes, fixings, the floor both frames stand on.
///
/// So large that the lining is rated as by ISO 12354-1:2017 Table D.1, which is drawn from measured ones. For resonances above 63 Hz as at 63 Hz. Flat over
/// frequency: own judgement, for lack of published spectra.
#[must_use]
pub fn beside_lining_db(resonance_hz: f64, base_rw_db: f64) -> f64 {
    let [low_hz, high_hz] = BESIDE_RANGE_HZ;
    delta_rw_db(resonance_hz.clamp(low_hz, high_hz), base_rw_db.clamp(20.0, 60.0)) + BESIDE_ABOVE_TABLE_DB
}

/// A lining's gain together with the path beside it ([`beside_lining_db`]), dB: energies added.
#[must_use]
pub fn with_path_beside_db(gain_db: &Spectrum, beside_db: f64) -> Spectrum {
    gain_db.map(|gain| -10.0 * (10f64.powf(-gain / 10.0) + 10f64.powf(-beside_db / 10.0)).log10())
}

/// Kind of floating floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FloatingFloor {
    /// Screed of cement or calcium sulphate: 30 lg(f/f0).
    Screed,
    /// Asphalt or dry boards, where loss is high: 40 lg(f/f0).
    Dry,
}

/// Improvement of a floating floor, dB, airborne and impact alike: 30 or 40 lg(f/f0) above f0, 0 below.
///
/// The standard's line: it leaves the dip at f0 out. [`with_resonance_dip_db`] adds it.
/// Source: ISO 12354-2:2017 Annex C; ISO 12354-1:2017 Annex L uses the same values as ΔR.
#[must_use]
pub fn floating_floor_db(kind: FloatingFloor, resonance_hz: f64, bands: &Bands) -> Spectrum {
    let slope_db = match kind {
        FloatingFloor::Screed => 30.0,
        FloatingFloor::Dry => 40.0,
    };
    bands.map(|hz| (slope_db * (hz / resonance_hz).log10()).max(0.0))
}

/// Loss factor of the layer under a floating floor (from memory, unverified: 0.1 to 0.3 for mineral wool and foam).
const FLOOR_LOSS: f64 = 0.3;

/// A floating floor's improvement with the loss at its resonance, dB: the lower of [`floating_floor_db`] and a mass on a lossy spring
/// (loss factor 0.3), so that a floor that rings in the bass is shown to ring.
///
/// Elementary single-degree resonance; the standard's own line leaves it out.
#[must_use]
pub fn with_resonance_dip_db(kind: FloatingFloor, resonance_hz: f64, bands: &Bands) -> Spectrum {
    let dip_db = over_band(bands, |hz| spring_db(hz / resonance_hz, FLOOR_LOSS));
    floating_floor_db(kind, resonance_hz, bands).zip(&dip_db, f64::min)
}

/// −20 lg of the velocity of a mass on a lossy spring over that of its base: 20 lg|1 − r²/(1 + iη)|, dB.
fn spring_db(ratio: f64, loss: f64) -> f64 {
    let square = ratio * ratio / (1.0 + loss * loss);
    let (re, im) = (1.0 - square, square * loss);
    10.0 * (re * re + im * im).log10()
}

/// Energy mean of what passes, over nine frequencies inside each third octave.
fn over_band(bands: &Bands, gain_db: impl Fn(f64) -> f64) -> Spectrum {
    const STEPS: i32 = 9;
    bands.map(|hz| {
        let passed: f64 = (0..STEPS)
            .map(|step| {
                let offset = (f64::from(step) - f64::from(STEPS - 1) / 2.0) / f64::from(STEPS) * 0.1;
                10f64.powf(-gain_db(hz * 10f64.powf(offset)) / 10.0)
            })
            .sum();
        -10.0 * (passed / f64::from(STEPS)).log10()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acoustics::heavy::{laboratory_loss, plate_transmission};
    use crate::acoustics::{Air, BAND_COUNT, plate::Plate, radiation::PanelSides, rating::iso717_1::Airborne};

    /// ISO 12354-1:2017 Annex L: ΔRw 10.6 dB for the floating floor of f0 = 52.8 Hz on a floor of Rw 58.7; half the last digit.
    #[test]
    fn weighted_gain_matches_annex_l() {
        assert!((delta_rw_db(52.8, 58.7) - 10.6).abs() < 0.05, "{}", delta_rw_db(52.8, 58.7));
    }

    /// The weighted gain never rises with f0 up to 1.6 kHz, and is continuous.
    #[test]
    fn a_stiffer_lining_is_never_better() {
        for base_rw_db in [25.0, 45.0, 58.0] {
            for step in 0..170 {
                let hz = 30.0 * 10f64.powf(f64::from(step) / 100.0);
                let fall = delta_rw_db(hz, base_rw_db) - delta_rw_db(hz * 1.001, base_rw_db);
                assert!((0.0..0.3).contains(&(fall + 1e-12)), "{base_rw_db} {hz} {fall}");
            }
        }
    }

    /// Heavy walls of Rw 35 to 61 with a mass on a lossy spring and the path beside it: rated as ΔRw of ISO 12354-1:2017 Table D.1, f0 from 30 to 50 Hz within 2 dB
    /// each and 1 dB in the mean; above, 3 dB more than the table at most, and on light walls less than it, which the spring alone does not reach there. Without
    /// the path they gain up to 15 dB more.
    #[test]
    fn good_linings_are_rated_as_table_d1_has_them() {
        let (mut sum, mut count) = (0.0, 0.0);
        for bare_db in bare_walls_db() {
            let bare_rw_db = Airborne::rw_tenths_db_of_spectrum(&bare_db);
            for hz in [30.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0] {
                let alone_db = over_band(&Bands::exact(), |at| spring_db(at / hz, FLOOR_LOSS).min(60.0));
                let gain_db = with_path_beside_db(&alone_db, beside_lining_db(hz, bare_rw_db));
                let lined_db = bare_db.zip(&gain_db, |r, gain| r + gain);
                let apart = Airborne::rw_tenths_db_of_spectrum(&lined_db) - bare_rw_db - delta_rw_db(hz, bare_rw_db);
                assert!(apart < 3.0 && (hz > 50.0 || apart.abs() < 2.0), "f0 {hz}, Rw {bare_rw_db}: {apart:.1}");
                if hz <= 50.0 {
                    (sum, count) = (sum + apart, count + 1.0);
                }
            }
        }
        assert!(f64::abs(sum / count) < 1.0, "{:.2}", sum / count);
        // What a poor lining costs is left as it is.
        assert!((with_path_beside_db(&Spectrum::splat(-6.0), beside_lining_db(80.0, 53.0))[8] + 6.0).abs() < 0.1);
    }

    /// Heavy walls (Annex B, laboratory loss) of Rw 35 to 61.
    fn bare_walls_db() -> [Spectrum; 5] {
        let (bands, air, sides) = (Bands::exact(), Air::default(), PanelSides::new(4.0, 2.5).unwrap());
        [
            (0.15, 650.0, 1900.0),
            (0.115, 1600.0, 2700.0),
            (0.24, 1000.0, 2300.0),
            (0.2, 1800.0, 2500.0),
            (0.2, 2400.0, 3800.0),
        ]
        .map(|(thickness, density, speed)| {
            let plate = Plate::new(thickness, density, speed, 0.01).unwrap();
            plate_transmission(&plate, sides, &laboratory_loss(&plate, &bands), &bands, &air).r_db_from_tau()
        })
    }

    /// Near its resonance a floating floor harms, far above it gains.
    #[test]
    fn a_floating_floor_harms_at_its_resonance() {
        let bands = Bands::exact();
        let floor_db = with_resonance_dip_db(FloatingFloor::Screed, 52.8, &bands);
        assert!(floor_db[3] < -5.0 && floor_db[16] > 38.0);
        for band in 0..BAND_COUNT {
            assert!(floor_db[band] <= floating_floor_db(FloatingFloor::Screed, 52.8, &bands)[band]);
        }
    }
}
