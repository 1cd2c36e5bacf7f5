//! A junction as a building has it: two or more arms meeting at a line, and the Kij of any two of them.

use super::NotPhysical;
use super::bands::{Bands, Spectrum};
use super::junction::{
    corner_db, coupled_light, heavy_past_light_db, light_past_heavy_db, light_to_heavy_db, lightweight_facade,
    rigid_cross, rigid_t, thickness_change_db,
};

/// How an arm is built, as far as junctions care.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Build {
    /// Homogeneous: concrete, masonry, solid timber.
    Heavy,
    /// Layered and light: double leaves on studs or joists, lightweight façades.
    Light,
}

/// One element at a junction, up to the line where it meets the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    mass_kg_m2: f64,
    build: Build,
}

impl Arm {
    /// An arm rigidly joined to the line. `mass_kg_m2` is that of the bare element, without floating floors and linings.
    ///
    /// # Errors
    ///
    /// When the mass is not finite and above zero.
    pub fn new(mass_kg_m2: f64, build: Build) -> Result<Self, NotPhysical> {
        Ok(Self {
            mass_kg_m2: NotPhysical::unless_positive("mass per area", mass_kg_m2, "above zero, in kg/m²")?,
            build,
        })
    }
}

/// A vibration reduction index, and how well its formula fits the junction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kij {
    /// Per band, dB, without the lower bound Kij,min.
    pub db: Spectrum,
    /// True when the junction is one of ISO 12354-1:2017 Annex E. Of others a neighbouring formula stands in: own extension, no source, ±5 dB would not
    /// surprise.
    pub listed: bool,
}

/// Arms that meet at one line, and which of them run straight on into which.
#[derive(Debug, Clone, PartialEq)]
pub struct JunctionNode {
    arms: Vec<Arm>,
    straight: Vec<(usize, usize)>,
}

impl JunctionNode {
    /// From the arms and the pairs that lie in one plane (wall in line with wall, floor with floor, wall above wall).
    /// An arm alone is a free edge: it has no Kij to anything.
    ///
    /// # Errors
    ///
    /// When a pair names an arm that is not there, an arm twice, or an arm with itself; `value` is that arm.
    pub fn new(arms: Vec<Arm>, straight: Vec<(usize, usize)>) -> Result<Self, NotPhysical> {
        let mut taken = vec![false; arms.len()];
        for arm in straight.iter().flat_map(|(a, b)| [*a, *b]) {
            match taken.get_mut(arm) {
                Some(seen) if !*seen => *seen = true,
                _ => {
                    return Err(NotPhysical {
                        what: "arm of a straight pair",
                        value: arm as f64,
                        must: "an arm of the junction, in one pair only",
                    });
                }
            }
        }
        Ok(Self { arms, straight })
    }

    /// True when the two arms lie in one plane.
    #[must_use]
    pub fn is_straight(&self, i: usize, j: usize) -> bool {
        self.straight.iter().any(|pair| *pair == (i, j) || *pair == (j, i))
    }

    /// Kij from arm `i` to arm `j`, the same from `j` to `i`; `None` for an arm with itself or one that is not there.
    ///
    /// Light arms do not stiffen a heavy junction: heavy pairs are judged by the heavy arms alone, and past light ones only when nothing
    /// heavy stands across. Where two opposite arms differ, their geometric mean is
    /// the own mass (own extension), and different arms across count with their mean.
    /// More than four rigid heavy arms: the cross plus 20 lg(n/4), after τ ∝ 1/n² of n pinned equal plates.
    /// Source of the formulas: ISO 12354-1:2017 Annex E; of the choice among them where it lists nothing: own extension.
    #[must_use]
    pub fn kij(&self, i: usize, j: usize, bands: &Bands) -> Option<Kij> {
        // Looked at from the lower number, so that both directions are one computation.
        let (i, j) = (i.min(j), i.max(j));
        if i == j || j >= self.arms.len() {
            return None;
        }
        Some(match (self.arms[i].build, self.arms[j].build) {
            (Build::Heavy, Build::Heavy) => self.heavy_pair(i, j),
            (Build::Light, Build::Light) => self.light_pair(i, j, bands),
            (Build::Light, Build::Heavy) => self.mixed_pair(i, j, bands),
            (Build::Heavy, Build::Light) => self.mixed_pair(j, i, bands),
        })
    }

    fn heavy_pair(&self, i: usize, j: usize) -> Kij {
        let (a, b) = (self.arms[i].mass_kg_m2, self.arms[j].mass_kg_m2);
        let straight = self.is_straight(i, j);
        let heavy = self.mean_of(|at, arm| at != i && at != j && arm.build == Build::Heavy);
        let light = self.mean_of(|_, arm| arm.build == Build::Light);
        let own = if straight { (a * b).sqrt() } else { a };
        let opposite_alike = !straight || alike(a, b);
        let (db, listed) = match (heavy.count, straight) {
            (0, true) if light.count > 0 => {
                (heavy_past_light_db(own, light.mass_kg_m2), own > 3.0 * light.mass_kg_m2 && opposite_alike)
            }
            (0, true) => (thickness_change_db(a, b), true),
            (0, false) => (corner_db(a, b), light.count == 0),
            (1, true) => (rigid_t(own, heavy.mass_kg_m2).through_db, opposite_alike),
            (1, false) => (rigid_t(a, b).corner_db, !self.straight.is_empty()),
            (more, _) => {
                let db =
                    if straight { rigid_cross(own, heavy.mass_kg_m2).through_db } else { rigid_cross(a, b).corner_db };
                let arms = more as f64 + 2.0;
                (db + 20.0 * (arms / 4.0).log10(), more == 2 && opposite_alike && self.straight.len() == 2)
            }
        };
        Kij { db: Spectrum::splat(db), listed }
    }

    fn light_pair(&self, i: usize, j: usize, bands: &Bands) -> Kij {
        let (a, b) = (self.arms[i].mass_kg_m2, self.arms[j].mass_kg_m2);
        let straight = self.is_straight(i, j);
        let own = if straight { (a * b).sqrt() } else { a };
        let heavy = self.mean_of(|at, arm| at != i && at != j && arm.build == Build::Heavy);
        let light = self.mean_of(|at, arm| at != i && at != j && arm.build == Build::Light);
        let (db, listed) = match (straight, heavy.count) {
            (true, 1) => (Spectrum::splat(lightweight_facade(own, heavy.mass_kg_m2).through_db), light.count == 0),
            (true, 2..) => {
                (bands.map(|hz| light_past_heavy_db(own, heavy.mass_kg_m2, hz)), heavy.count == 2 && light.count == 0)
            }
            (true, 0) => {
                // Nothing across: the joint of two light walls in line, at its least value.
                let across = if light.count > 0 { light.mass_kg_m2 } else { own };
                (bands.map(|hz| coupled_light(own, across, hz).through_db), (1..=2).contains(&light.count))
            }
            (false, _) => (bands.map(|hz| coupled_light(a, b, hz).corner_db), heavy.count == 0),
        };
        Kij { db, listed: listed && (!straight || alike(a, b)) }
    }

    /// `light` and `heavy` are the numbers of the arms.
    fn mixed_pair(&self, light: usize, heavy: usize, bands: &Bands) -> Kij {
        let (m_light, m_heavy) = (self.arms[light].mass_kg_m2, self.arms[heavy].mass_kg_m2);
        let heavies = self.mean_of(|_, arm| arm.build == Build::Heavy).count;
        let facade = heavies == 1
            && (0..self.arms.len())
                .any(|other| self.arms[other].build == Build::Light && self.is_straight(light, other));
        if facade {
            let db = Spectrum::splat(lightweight_facade(m_light, m_heavy).corner_db);
            return Kij { db, listed: self.arms.len() == 3 };
        }
        let db = bands.map(|hz| light_to_heavy_db(m_light, m_heavy, hz));
        Kij { db, listed: heavies == 2 && !self.is_straight(light, heavy) && self.arms.len() <= 4 }
    }

    fn mean_of(&self, chosen: impl Fn(usize, &Arm) -> bool) -> MeanMass {
        let (mut count, mut sum) = (0, 0.0);
        for (at, arm) in self.arms.iter().enumerate() {
            if chosen(at, arm) {
                count += 1;
                sum += arm.mass_kg_m2;
            }
        }
        MeanMass { count, mass_kg_m2: if count > 0 { sum / count as f64 } else { 0.0 } }
    }
}

/// Some of the arms: how many, and their mean mass.
#[derive(Clone, Copy)]
struct MeanMass {
    count: usize,
    mass_kg_m2: f64,
}

/// Two halves of one element: masses within a tenth.
fn alike(a: f64, b: f64) -> bool {
    (a / b).ln().abs() < 0.1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heavy(mass: f64) -> Arm {
        Arm::new(mass, Build::Heavy).unwrap()
    }

    fn light(mass: f64) -> Arm {
        Arm::new(mass, Build::Light).unwrap()
    }

    #[test]
    fn listed_junctions_get_their_own_formula() {
        let bands = Bands::exact();
        let is = |node: &JunctionNode, i, j, db: f64| {
            let kij = node.kij(i, j, &bands).unwrap();
            assert!(kij.listed && (kij.db[13] - db).abs() < 1e-3, "{i} to {j}: {} for {db}", kij.db[13]);
        };
        let cross = |arms| JunctionNode::new(arms, vec![(0, 2), (1, 3)]).unwrap();
        let t = |arms| JunctionNode::new(arms, vec![(0, 2)]).unwrap();
        let four = cross(vec![heavy(484.), heavy(360.), heavy(484.), heavy(360.)]);
        is(&four, 0, 2, rigid_cross(484., 360.).through_db);
        is(&four, 1, 2, rigid_cross(484., 360.).corner_db);
        let three = t(vec![heavy(219.), heavy(360.), heavy(219.)]);
        is(&three, 0, 2, rigid_t(219., 360.).through_db);
        is(&three, 1, 2, rigid_t(219., 360.).corner_db);
        is(&JunctionNode::new(vec![heavy(219.), heavy(219.)], vec![]).unwrap(), 0, 1, corner_db(219., 219.));
        let facade = t(vec![light(25.), heavy(400.), light(25.)]);
        is(&facade, 0, 2, lightweight_facade(25., 400.).through_db);
        is(&facade, 0, 1, lightweight_facade(25., 400.).corner_db);
        // The 500 Hz band.
        let party = cross(vec![light(40.), heavy(400.), light(40.), heavy(400.)]);
        is(&party, 0, 2, light_past_heavy_db(40., 400., bands.hz(13)));
        is(&party, 0, 1, light_to_heavy_db(40., 400., bands.hz(13)));
        is(&party, 1, 3, heavy_past_light_db(400., 40.));
        let studs = t(vec![light(40.), light(20.), light(40.)]);
        is(&studs, 0, 2, coupled_light(40., 20., bands.hz(13)).through_db);
        is(&studs, 1, 2, coupled_light(40., 20., bands.hz(13)).corner_db);
    }

    /// Every mix of up to six arms gives a finite Kij, the same in both directions (exact).
    #[test]
    fn any_node_has_a_symmetric_index_for_every_pair() {
        let bands = Bands::exact();
        let kinds = [heavy(480.), heavy(120.), light(20.), heavy(200.), light(45.)];
        for n in 2..=6usize {
            for seed in 0..625usize {
                let arms = (0..n).map(|at| kinds[(seed / 5usize.pow(at as u32 % 4) + at / 4) % 5]).collect();
                for straight in [vec![], vec![(0, 1)], if n >= 4 { vec![(0, 2), (1, 3)] } else { vec![] }] {
                    let node = JunctionNode::new(Vec::clone(&arms), straight).unwrap();
                    for i in 0..n {
                        assert!(node.kij(i, i, &bands).is_none());
                        for j in 0..n {
                            assert_eq!(node.kij(i, j, &bands), node.kij(j, i, &bands));
                            assert!(i == j || node.kij(i, j, &bands).unwrap().db.is_finite());
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_pair_that_is_not_there_is_refused() {
        assert!(JunctionNode::new(vec![heavy(1.0), heavy(1.0)], vec![(0, 2)]).is_err());
        assert!(JunctionNode::new(vec![heavy(1.0), heavy(1.0)], vec![(0, 0)]).is_err());
        assert!(Arm::new(f64::NAN, Build::Heavy).is_err());
    }

    /// Seven equal arms: the rule for many arms follows wave theory's 20 lg(n/4) from the cross (exact).
    #[test]
    fn more_arms_share_as_wave_theory_says() {
        let bands = Bands::exact();
        let node = |n| JunctionNode::new(vec![heavy(400.); n], vec![]).unwrap().kij(0, 1, &bands).unwrap().db[10];
        assert!(((node(7) - node(4)) - 20.0 * (7.0_f64 / 4.0).log10()).abs() < 1e-6);
    }
}
