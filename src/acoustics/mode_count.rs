//! How many standing waves a room has: counted for a box, estimated for any room.

use std::f64::consts::PI;

/// How many modes of a hard-walled box (sides in m, all > 0) lie at or below `up_to_hz`, the constant mode left out: as many as
/// [`super::room_field::box_modes`] lists, without listing them.
///
/// Source: Kuttruff, Room Acoustics, eq. 3.15. Takes (2f/c)² times the two shorter sides as many steps.
#[must_use]
pub fn box_mode_count(sides_m: [f64; 3], speed_m_s: f64, up_to_hz: f64) -> f64 {
    let mut half_waves = sides_m.map(|side| 2.0 * up_to_hz * side / speed_m_s);
    half_waves.sort_by(f64::total_cmp);
    let [short, middle, long] = half_waves;
    if long.is_nan() || long < 1.0 {
        return 0.0;
    }
    let mut count = 0.0;
    for x in 0..=short as u32 {
        for y in 0..=middle as u32 {
            // Of the sphere f² what the two shorter sides leave to the longest; rounding may lift a mode on its surface off it.
            let left = 1.0 - (f64::from(x) / short).powi(2) - (f64::from(y) / middle).powi(2);
            if left > -1e-12 {
                // Never below zero, so that cutting off is rounding down.
                count += f64::from((long * left.max(0.0).sqrt() + 1e-9) as u32) + 1.0;
            }
        }
    }
    count - 1.0
}

/// How many modes a room of any shape has at or below a frequency in the mean, Hz: volume in m³, surface in m², edges in m.
///
/// N = 4π/3·V(f/c)³ + π/4·S(f/c)² + L/8·(f/c), with L the length of all edges. Below the first modes it is a fraction, and says little.
/// Source: Kuttruff, Room Acoustics, ch. 3 (number of eigenfrequencies); derived for boxes, in the limit right for any shape.
#[must_use]
pub fn mean_mode_count(volume_m3: f64, surface_m2: f64, edges_m: f64, speed_m_s: f64, up_to_hz: f64) -> f64 {
    let waves_per_m = up_to_hz / speed_m_s;
    4.0 * PI / 3.0 * volume_m3 * waves_per_m.powi(3)
        + PI / 4.0 * surface_m2 * waves_per_m.powi(2)
        + edges_m / 8.0 * waves_per_m
}

#[cfg(test)]
mod tests {
    use super::super::room_field::box_modes;
    use super::*;

    /// Two ways of counting the same lattice, also where many modes fall together (a cube).
    #[test]
    fn counting_agrees_with_listing() {
        for sides in [[4.7, 4.1, 3.1], [2.0, 2.0, 2.0], [0.9, 12.0, 2.5], [5.0, 4.0, 2.5]] {
            for hz in [1.0, 30.0, 85.75, 171.5, 343.0, 500.3] {
                let listed = box_modes(sides, 343.0, hz).len() as f64;
                assert_eq!(box_mode_count(sides, 343.0, hz), listed, "{sides:?} {hz}");
            }
        }
    }

    /// Kuttruff, ch. 3: the formula is the count in the mean. Within 2 % from some thousand modes on.
    #[test]
    fn the_estimate_meets_the_count() {
        let [x, y, z]: [f64; 3] = [4.7, 4.1, 3.1];
        let (surface, edges) = (2.0 * (x * y + y * z + z * x), 4.0 * (x + y + z));
        for hz in [800.0, 1600.0, 3150.0] {
            let counted = box_mode_count([x, y, z], 340.0, hz);
            let mean = mean_mode_count(x * y * z, surface, edges, 340.0, hz);
            assert!(counted > 2000.0 && (mean / counted - 1.0).abs() < 0.02, "{hz}: {counted} {mean:.0}");
        }
    }

    #[test]
    fn nothing_rings_in_a_room_without_size_or_below_its_first_mode() {
        assert_eq!(box_mode_count([4.0, 3.0, 2.5], 343.0, 42.0), 0.0);
        assert_eq!(box_mode_count([0.0; 3], 343.0, 100.0), 0.0);
        assert_eq!(box_mode_count([f64::NAN; 3], 343.0, 100.0), 0.0);
    }
}
