//! A junction as a building has it: two or more arms meeting at a line, and the Kij of any two of them.

use super::NotPhysical;
use super::bands::{Bands, Spectrum};
use super::junction::{
    INTERLAYER_HZ, corner_db, coupled_light, heavy_past_light_db, interlayer_db, light_past_heavy_db,
    light_to_heavy_db, lightweight_facade, past_interlayers_db, rigid_cross, rigid_t, thickness_change_db,
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
    interlayer_hz: Option<f64>,
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
            interlayer_hz: None,
        })
    }

    /// The same arm on an elastic interlayer of about 100 MN/m³ (125 Hz): cork, rubber or fibre strip under or over a wall.
    #[must_use]
    pub fn on_interlayer(self) -> Self {
        Self { interlayer_hz: Some(INTERLAYER_HZ), ..self }
    }

    /// The same arm on an interlayer that begins to gain at a frequency of its own, Hz.
    ///
    /// # Errors
    ///
    /// When the frequency is not finite and above zero.
    pub fn on_interlayer_from(self, from_hz: f64) -> Result<Self, NotPhysical> {
        let from_hz = NotPhysical::unless_positive("interlayer frequency", from_hz, "above zero, in Hz")?;
        Ok(Self { interlayer_hz: Some(from_hz), ..self })
    }

    /// Mass per area of the bare element, kg/m².
    #[must_use]
    pub fn mass_kg_m2(&self) -> f64 {
        self.mass_kg_m2
    }

    /// Heavy or light.
    #[must_use]
    pub fn build(&self) -> Build {
        self.build
    }
}

/// Which formula gave a Kij.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KijRule {
    /// Cross of heavy elements, straight on.
    RigidCrossThrough,
    /// Cross of heavy elements, round the corner.
    RigidCrossCorner,
    /// T of heavy elements, along the one that runs on.
    RigidTThrough,
    /// T of heavy elements, round the corner.
    RigidTCorner,
    /// Two heavy elements at an angle.
    Corner,
    /// Two heavy elements in line.
    ThicknessChange,
    /// As the T, and an interlayer crossed once or twice.
    Interlayer,
    /// Along the heavy element the interlayers leave whole.
    PastInterlayers,
    /// Along a light façade past one heavy element.
    FacadeThrough,
    /// From a light façade into the heavy element behind it.
    FacadeCorner,
    /// From light to light past a heavy element on both sides.
    LightPastHeavy,
    /// Between a light and a heavy element.
    LightToHeavy,
    /// Along a heavy element past light ones.
    HeavyPastLight,
    /// Light elements among themselves, straight on.
    LightThrough,
    /// Light elements among themselves, round the corner.
    LightCorner,
    /// More than four heavy arms: the cross plus 20 lg(n/4).
    ManyArms,
}

/// Whether the standard lists the case, or a neighbouring formula stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The junction is one of ISO 12354-1:2017 Annex E.
    Listed,
    /// Not listed there; the nearest formula is used. Own extension, no source: ±5 dB would not surprise.
    Extension,
}

/// A vibration reduction index with where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kij {
    /// Per band, dB, without the lower bound Kij,min.
    pub db: Spectrum,
    /// The formula used.
    pub rule: KijRule,
    /// How well it fits the junction.
    pub standing: Standing,
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

    /// The arms.
    #[must_use]
    pub fn arms(&self) -> &[Arm] {
        &self.arms
    }

    /// True when the two arms lie in one plane.
    #[must_use]
    pub fn is_straight(&self, i: usize, j: usize) -> bool {
        self.straight.iter().any(|pair| *pair == (i, j) || *pair == (j, i))
    }

    /// Kij from arm `i` to arm `j`, the same from `j` to `i`; `None` for an arm with itself or one that is not there.
    ///
    /// Light arms do not stiffen a heavy junction: heavy pairs are judged by the heavy arms alone, and past light ones only when nothing
    /// heavy stands across. Interlayers of light arms, and towards light arms, are not counted (the safe side). Arms on interlayers do not stiffen the rest either. Where two opposite arms differ, their geometric mean is
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
            (Build::Heavy, Build::Heavy) => self.heavy_pair(i, j, bands),
            (Build::Light, Build::Light) => self.light_pair(i, j, bands),
            (Build::Light, Build::Heavy) => self.mixed_pair(i, j, bands),
            (Build::Heavy, Build::Light) => self.mixed_pair(j, i, bands),
        })
    }

    fn heavy_pair(&self, i: usize, j: usize, bands: &Bands) -> Kij {
        let (a, b) = (self.arms[i], self.arms[j]);
        let straight = self.is_straight(i, j);
        let crossings_db = |hz: f64| -> f64 {
            [a, b].iter().filter_map(|arm| arm.interlayer_hz).map(|from_hz| interlayer_db(hz, from_hz)).sum()
        };
        let crossed = a.interlayer_hz.is_some() || b.interlayer_hz.is_some();
        let others = |rigid: bool| {
            self.mean_of(move |at, arm| {
                at != i && at != j && arm.build == Build::Heavy && arm.interlayer_hz.is_none() == rigid
            })
        };
        let (rigid, loose) = (others(true), others(false));
        let light = self.mean_of(|_, arm| arm.build == Build::Light);
        let own = if straight { (a.mass_kg_m2 * b.mass_kg_m2).sqrt() } else { a.mass_kg_m2 };
        let opposite_alike = !straight || alike(a.mass_kg_m2, b.mass_kg_m2);
        let listed = |really: bool| if really { Standing::Listed } else { Standing::Extension };
        let flat = |db: f64, rule, standing| Kij { db: Spectrum::splat(db), rule, standing };

        if crossed {
            // Annex E gives the T formulas plus Δ1 for each crossing, T or cross; two arms alone are an extension of that.
            let across = if rigid.count > 0 { rigid } else { loose };
            let base_db = match (across.count > 0, straight) {
                (true, true) => rigid_t(own, across.mass_kg_m2).through_db,
                (true, false) => rigid_t(a.mass_kg_m2, b.mass_kg_m2).corner_db,
                (false, true) => thickness_change_db(a.mass_kg_m2, b.mass_kg_m2),
                (false, false) => corner_db(a.mass_kg_m2, b.mass_kg_m2),
            };
            let standing = listed((1..=2).contains(&across.count) && opposite_alike);
            return Kij { db: bands.map(|hz| base_db + crossings_db(hz)), rule: KijRule::Interlayer, standing };
        }
        match (rigid.count, straight) {
            (0, true) if loose.count > 0 => {
                flat(past_interlayers_db(own, loose.mass_kg_m2), KijRule::PastInterlayers, listed(opposite_alike))
            }
            (0, true) if light.count > 0 => {
                let heavy_enough = own > 3.0 * light.mass_kg_m2;
                let db = heavy_past_light_db(own, light.mass_kg_m2);
                flat(db, KijRule::HeavyPastLight, listed(heavy_enough && opposite_alike))
            }
            (0, true) => {
                flat(thickness_change_db(a.mass_kg_m2, b.mass_kg_m2), KijRule::ThicknessChange, Standing::Listed)
            }
            (0, false) => {
                let alone = loose.count == 0 && light.count == 0;
                flat(corner_db(a.mass_kg_m2, b.mass_kg_m2), KijRule::Corner, listed(alone))
            }
            (1, true) => {
                let db = rigid_t(own, rigid.mass_kg_m2).through_db;
                flat(db, KijRule::RigidTThrough, listed(opposite_alike && loose.count == 0))
            }
            (1, false) => {
                let db = rigid_t(a.mass_kg_m2, b.mass_kg_m2).corner_db;
                let runs_on = !self.straight.is_empty();
                flat(db, KijRule::RigidTCorner, listed(runs_on && loose.count == 0))
            }
            (2, true) => {
                let db = rigid_cross(own, rigid.mass_kg_m2).through_db;
                flat(db, KijRule::RigidCrossThrough, listed(opposite_alike && self.straight.len() == 2))
            }
            (2, false) => {
                let db = rigid_cross(a.mass_kg_m2, b.mass_kg_m2).corner_db;
                flat(db, KijRule::RigidCrossCorner, listed(self.straight.len() == 2))
            }
            (more, straight) => {
                let db = if straight {
                    rigid_cross(own, rigid.mass_kg_m2).through_db
                } else {
                    rigid_cross(a.mass_kg_m2, b.mass_kg_m2).corner_db
                };
                let arms = more as f64 + 2.0;
                flat(db + 20.0 * (arms / 4.0).log10(), KijRule::ManyArms, Standing::Extension)
            }
        }
    }

    fn light_pair(&self, i: usize, j: usize, bands: &Bands) -> Kij {
        let (a, b) = (self.arms[i].mass_kg_m2, self.arms[j].mass_kg_m2);
        let straight = self.is_straight(i, j);
        let own = if straight { (a * b).sqrt() } else { a };
        let heavy = self.mean_of(|at, arm| at != i && at != j && arm.build == Build::Heavy);
        let light = self.mean_of(|at, arm| at != i && at != j && arm.build == Build::Light);
        let standing = |really: bool| {
            let rigid = self.arms.iter().all(|arm| arm.interlayer_hz.is_none());
            if really && rigid && (!straight || alike(a, b)) { Standing::Listed } else { Standing::Extension }
        };
        match (straight, heavy.count, light.count) {
            (true, 1, _) => Kij {
                db: Spectrum::splat(lightweight_facade(own, heavy.mass_kg_m2).through_db),
                rule: KijRule::FacadeThrough,
                standing: standing(light.count == 0),
            },
            (true, 2.., _) => Kij {
                db: bands.map(|hz| light_past_heavy_db(own, heavy.mass_kg_m2, hz)),
                rule: KijRule::LightPastHeavy,
                standing: standing(heavy.count == 2 && light.count == 0),
            },
            (true, 0, _) => {
                // Nothing across: the joint of two light walls in line, at its least value.
                let across = if light.count > 0 { light.mass_kg_m2 } else { own };
                Kij {
                    db: bands.map(|hz| coupled_light(own, across, hz).through_db),
                    rule: KijRule::LightThrough,
                    standing: standing((1..=2).contains(&light.count)),
                }
            }
            (false, ..) => Kij {
                db: bands.map(|hz| coupled_light(a, b, hz).corner_db),
                rule: KijRule::LightCorner,
                standing: standing(heavy.count == 0),
            },
        }
    }

    /// `light` and `heavy` are the numbers of the arms.
    fn mixed_pair(&self, light: usize, heavy: usize, bands: &Bands) -> Kij {
        let (m_light, m_heavy) = (self.arms[light].mass_kg_m2, self.arms[heavy].mass_kg_m2);
        let heavies = self.mean_of(|_, arm| arm.build == Build::Heavy).count;
        let rigid = self.arms.iter().all(|arm| arm.interlayer_hz.is_none());
        let facade = heavies == 1
            && (0..self.arms.len())
                .any(|other| self.arms[other].build == Build::Light && self.is_straight(light, other));
        if facade {
            let standing = if rigid && self.arms.len() == 3 { Standing::Listed } else { Standing::Extension };
            let db = Spectrum::splat(lightweight_facade(m_light, m_heavy).corner_db);
            return Kij { db, rule: KijRule::FacadeCorner, standing };
        }
        let listed = rigid && heavies == 2 && !self.is_straight(light, heavy) && self.arms.len() <= 4;
        Kij {
            db: bands.map(|hz| light_to_heavy_db(m_light, m_heavy, hz)),
            rule: KijRule::LightToHeavy,
            standing: if listed { Standing::Listed } else { Standing::Extension },
        }
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

    fn rule(node: &JunctionNode, i: usize, j: usize) -> (KijRule, Standing) {
        let kij = node.kij(i, j, &Bands::exact()).unwrap();
        (kij.rule, kij.standing)
    }

    #[test]
    fn listed_junctions_get_their_own_formula() {
        use KijRule::*;
        let listed = |rule| (rule, Standing::Listed);
        let cross = |arms| JunctionNode::new(arms, vec![(0, 2), (1, 3)]).unwrap();
        let t = |arms| JunctionNode::new(arms, vec![(0, 2)]).unwrap();
        let four = cross(vec![heavy(484.), heavy(360.), heavy(484.), heavy(360.)]);
        assert_eq!(rule(&four, 0, 2), listed(RigidCrossThrough));
        assert_eq!(rule(&four, 1, 2), listed(RigidCrossCorner));
        let three = t(vec![heavy(219.), heavy(360.), heavy(219.)]);
        assert_eq!(rule(&three, 0, 2), listed(RigidTThrough));
        assert_eq!(rule(&three, 1, 2), listed(RigidTCorner));
        assert_eq!(rule(&JunctionNode::new(vec![heavy(219.), heavy(219.)], vec![]).unwrap(), 0, 1), listed(Corner));
        let soft = cross(vec![heavy(150.).on_interlayer(), heavy(400.), heavy(150.).on_interlayer(), heavy(400.)]);
        assert_eq!(rule(&soft, 0, 2), listed(Interlayer));
        assert_eq!(rule(&soft, 0, 1), listed(Interlayer));
        assert_eq!(rule(&soft, 1, 3), listed(PastInterlayers));
        let facade = t(vec![light(25.), heavy(400.), light(25.)]);
        assert_eq!(rule(&facade, 0, 2), listed(FacadeThrough));
        assert_eq!(rule(&facade, 0, 1), listed(FacadeCorner));
        let party = cross(vec![light(40.), heavy(400.), light(40.), heavy(400.)]);
        assert_eq!(rule(&party, 0, 2), listed(LightPastHeavy));
        assert_eq!(rule(&party, 0, 1), listed(LightToHeavy));
        assert_eq!(rule(&party, 1, 3), listed(HeavyPastLight));
        let studs = t(vec![light(40.), light(20.), light(40.)]);
        assert_eq!(rule(&studs, 0, 2), listed(LightThrough));
        assert_eq!(rule(&studs, 1, 2), listed(LightCorner));
    }

    /// Every mix of up to six arms gives a finite Kij, the same in both directions (exact).
    #[test]
    fn any_node_has_a_symmetric_index_for_every_pair() {
        let bands = Bands::exact();
        let kinds = [heavy(480.), heavy(120.), light(20.), heavy(200.).on_interlayer(), light(45.).on_interlayer()];
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
        assert!(heavy(1.0).on_interlayer_from(0.0).is_err());
    }

    /// Seven equal arms: the rule for many arms follows wave theory's 20 lg(n/4) from the cross (exact).
    #[test]
    fn more_arms_share_as_wave_theory_says() {
        let bands = Bands::exact();
        let node = |n| JunctionNode::new(vec![heavy(400.); n], vec![]).unwrap().kij(0, 1, &bands).unwrap().db[10];
        assert!(((node(7) - node(4)) - 20.0 * (7.0_f64 / 4.0).log10()).abs() < 1e-6);
    }
}
