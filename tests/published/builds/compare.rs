//! A build computed and laid beside what was published of it.

use leaklight::acoustics::Spectrum;
use leaklight::acoustics::bands::OCTAVE_HZ;
use leaklight::acoustics::rating::astm_e413::TransmissionClass;
use leaklight::acoustics::rating::iso717_1::Airborne;
use leaklight::solve::spread::Spread;
use serde_json::Value;

use super::{Build, Builds};

/// First octave compared, 63 Hz: below, the tables hold estimates only.
const FIRST_OCTAVE: usize = 1;

/// One build, computed and published.
pub(crate) struct Compared {
    pub(crate) build: Build,
    /// Its layers in words.
    pub(crate) layers: String,
    /// Octave midband, published and computed value, dB.
    pub(crate) octaves: Vec<(f64, f64, f64)>,
    /// Published and computed STC.
    pub(crate) stc: Option<(f64, i32)>,
    /// Published and computed Rw.
    pub(crate) rw: Option<(f64, i32)>,
    /// Computed Rw, published or not.
    pub(crate) rw_computed: i32,
    /// Computed R, dB, and how far it may be off.
    pub(crate) r_db: Spectrum,
    pub(crate) spread: Spread,
}

impl Compared {
    /// Computes a build and reads what its case published.
    pub(crate) fn new(builds: &Builds, build: &Build, case: &Value) -> Self {
        let r_db = builds.reduction_db(build);
        let expected = &case["expected"];
        // The tables give an octave by its own noise band: the energy mean of its thirds.
        let means = r_db.tau_from_r_db().octave_sums().map(|sum| -10.0 * (sum / 3.0).log10());
        let printed = if expected["tl_db"].is_array() { &expected["tl_db"] } else { &expected["r_db"] };
        let mut octaves = Vec::new();
        if build.stc.is_empty()
            && let (Some(hz), Some(db)) = (case["inputs"]["bands_hz"].as_array(), printed.as_array())
        {
            for (hz, db) in hz.iter().zip(db) {
                let at = OCTAVE_HZ.iter().position(|octave| Some(*octave) == hz.as_f64());
                if let (Some(at), Some(db)) = (at, db.as_f64())
                    && at >= FIRST_OCTAVE
                {
                    octaves.push((OCTAVE_HZ[at], db, means[at]));
                }
            }
        }
        let stc = match build.stc.split_once('[') {
            _ if build.stc.is_empty() => expected["stc"].as_f64(),
            Some((key, at)) => expected[key][at.trim_end_matches(']').parse::<usize>().unwrap()].as_f64(),
            None => expected[&build.stc].as_f64(),
        };
        let rw_computed = Airborne::of_spectrum(&r_db).rw_db;
        Self {
            build: build.clone(),
            layers: builds.describe(build),
            octaves,
            stc: stc.map(|stc| (stc, TransmissionClass::of_spectrum(&r_db).stc)),
            rw: expected["rw"].as_f64().map(|rw| (rw, rw_computed)),
            rw_computed,
            r_db,
            spread: builds.spread(build),
        }
    }

    /// Mean of computed minus published, dB; none when no bands were published.
    pub(crate) fn bias_db(&self) -> Option<f64> {
        self.mean(|deviation| deviation)
    }

    /// Mean absolute deviation, dB.
    pub(crate) fn mean_absolute_db(&self) -> Option<f64> {
        self.mean(f64::abs)
    }

    /// Farther off than the tables scatter: 5 dB over the bands, 3 in STC, 2 in Rw.
    pub(crate) fn is_outlier(&self) -> bool {
        let off = |rating: Option<(f64, i32)>, limit: f64| {
            rating.is_some_and(|(published, computed)| (f64::from(computed) - published).abs() > limit)
        };
        self.mean_absolute_db().is_some_and(|absolute| absolute > 5.0) || off(self.stc, 3.0) || off(self.rw, 2.0)
    }

    /// The band that lies farthest off: midband and deviation.
    pub(crate) fn worst(&self) -> Option<(f64, f64)> {
        let deviations = self.octaves.iter().map(|(hz, published, computed)| (*hz, computed - published));
        deviations.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
    }

    fn mean(&self, of: impl Fn(f64) -> f64) -> Option<f64> {
        let count = self.octaves.len() as f64;
        (count > 0.0)
            .then(|| self.octaves.iter().map(|(_, published, computed)| of(computed - published)).sum::<f64>() / count)
    }
}
