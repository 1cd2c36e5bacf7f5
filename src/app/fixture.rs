//! Stand-in for the solver.
use crate::acoustics::{Spectrum, bands::NOMINAL_HZ, rating::weighting::a_weighted_energy};
use crate::building::*;
use crate::scene::Scene;
use crate::solve::*;

pub(super) fn answer(scene: &Scene, building: &Building) -> Answer {
    let room = building.sources.first().map_or(SpaceIndex(0), |s| s.space);
    let source = Spectrum::from_fn(|b| 10f64.powf((100.0 - 0.15 * (b as f64 - 8.0).powi(2)) / 10.0));
    let fall = |base: f64, slope: f64| Spectrum::from_fn(|b| 10f64.powf(-(base + slope * (NOMINAL_HZ[b] / 100.0).log2()) / 10.0));
    let listeners = building.listeners.iter().map(|placed| {
        let mut paths = vec![];
        for at in building.facing(room) {
            let e = &building.elements[at.0];
            let base = 25.0 + 7.0 * (at.0 % 5) as f64;
            let mut push = |kind, entry, exit, base: f64, slope: f64| paths.push(PathRecord { kind, source_space: room, entry, junction: None, via: None, exit, energy: source.zip(&fall(base, slope), |a, b| a * b), share: 0.0 });
            let s = Surface::Element(at);
            if e.sides.contains(&placed.space) { push(PathKind::Through, s, s, base, 6.0); }
            else if let Some(out) = building.facing(placed.space).nth(at.0 % 3) { push(PathKind::Flanking, s, Surface::Element(out), base + 6.0, 5.0); }
            for o in 0..e.openings.len() { let s = Surface::Opening(at, o); push(PathKind::ByOutdoors, s, s, base + 2.0, 3.0); let s = Surface::Gap(at, o); push(PathKind::Gap, s, s, base + 10.0, 0.5);}
        }
        let total = paths.iter().fold(Spectrum::ZERO, |a, p| a.zip(&p.energy, |x, y| x + y));
        let la = a_weighted_energy(&total);
        for p in &mut paths { p.share = a_weighted_energy(&p.energy) / la; }
        paths.sort_by(|a, b| b.share.total_cmp(&a.share));
        ListenerAnswer {
            listener: placed.listener.clone(),
            name: scene.listeners.iter().find(|l| l.id == placed.listener).map_or(String::new(), |l| l.name.clone()),
            space: placed.space, energy: total, la_db: 10.0 * la.log10(), lc_db: 70.0, lafmax_db: 60.0, uncertainty_db: 5.0,
            background_db: Spectrum::from_fn(|b| 40.0 - b as f64), threshold_db: Spectrum::from_fn(|b| 60.0 * 0.85f64.powi(b as i32)),
            audible_margin_db: 20.0, audible_band: 8, audibility: Audibility::Clear, target: None, ratings: vec![], paths }
    }).collect();
    Answer {
        spaces: building.spaces.iter().map(|_| SpaceAnswer { energy: source, absorption_m2: Spectrum::splat(10.0), reverberation_s: Spectrum::splat(0.6), schroeder_hz: 250.0, has_source: false }).collect(),
        elements: vec![], listeners, notes: vec!["Made up.".into()],
    }
}
