//! Where a path runs in space: from the source through the faces it passes, along plates to junctions, by other rooms, to the listener; in the open along the
//! route it was solved along. For pictures: within the building the energy of a path knows nothing of it.

mod spots;

use crate::building::{Building, ElementShape, JunctionKind, PlacedListener, SpaceIndex};
use crate::geometry::{DVec2, foot, line};
use crate::output::names;
use crate::project::Solved;
use crate::scene::{Scene, Source};
use crate::solve::{PathKind, PathRecord, Surface};

/// A point in space, m: x and y in the plan, z above the street.
pub type Point3 = [f64; 3];

/// Height of a source above its floor, m. Own choice, for pictures only.
const SOURCE_M: f64 = 0.8;
/// Height from which a foot or pedal comes down on the floor, m. Own choice, for pictures only.
const STROKE_M: f64 = 0.25;
/// How far before an outer face the route through the open begins, m: as far as it was solved from.
const BEFORE_M: f64 = 0.3;

/// What a leg of a route runs through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// The air of a room.
    Air,
    /// A wall or floor, as vibration.
    Plate,
    /// The open air.
    Open,
    /// A duct.
    Duct,
}

/// A line through space, each leg with what it runs through.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Route {
    /// Corners, the source first.
    pub points: Vec<Point3>,
    /// What lies between a corner and the next: one fewer than corners.
    pub media: Vec<Medium>,
}

impl Route {
    fn to(&mut self, point: Point3, through: Medium) {
        self.points.push(point);
        self.media.push(through);
    }

    /// As a path was solved, from and to any points of the faces it leads from and to.
    fn through_the_open(&mut self, path: &PathRecord, from: Point3, to: Point3) {
        let between = path.route.as_deref().unwrap_or_default();
        let between = between.get(1..between.len().saturating_sub(1)).unwrap_or_default();
        [&[from], between, &[to]].concat().into_iter().for_each(|point| self.to(point, Medium::Open));
    }
}

/// Where on the faces a route runs, each 0 to 1: so that many routes of one path fill the faces they pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Which of the sources in the room.
    pub source: f64,
    /// Where on the face it enters: along, and up (of a floor: across).
    pub entry: [f64; 2],
    /// Where on the face it leaves.
    pub exit: [f64; 2],
}

impl Spread {
    /// The middle of everything.
    pub const MIDDLE: Self = Self { source: 0.0, entry: [0.5; 2], exit: [0.5; 2] };
}

/// The routes of what one listener hears.
#[derive(Debug, Clone)]
pub struct Routes<'a> {
    scene: &'a Scene,
    building: &'a Building,
    listener: &'a PlacedListener,
}

impl<'a> Routes<'a> {
    /// Of a listener, position in the building's; nothing beyond their end.
    #[must_use]
    pub fn new(solved: &'a Solved, listener: usize) -> Option<Self> {
        let listener = solved.building.listeners.get(listener)?;
        Some(Self { scene: &solved.scene, building: &solved.building, listener })
    }

    /// The route of a path; nothing for a path of another building.
    #[must_use]
    pub fn of(&self, path: &PathRecord, spread: &Spread) -> Option<Route> {
        let mut route = Route { points: vec![self.start(path, spread.source)?], media: vec![] };
        let ears = [self.listener.at[0], self.listener.at[1], self.listener.height_m];
        // What no one face passes comes through the fabric, nobody knows where.
        let by_fabric = path.exit == Surface::Building;
        match path.entry {
            Surface::Air => {}
            Surface::Building if by_fabric => {}
            Surface::Building => route.to(self.spot(path.exit, spread.exit)?, Medium::Plate),
            _ => {
                let mut here = self.enter(&mut route, path, spread)?;
                if let Some(junction) = path.junction {
                    let leaves = self.spot(path.exit, spread.exit)?;
                    route.to(self.junction(junction.0, here, leaves)?, Medium::Plate);
                    route.to(leaves, Medium::Plate);
                    here = leaves;
                } else if path.exit != path.entry && !by_fabric {
                    here = self.cross(&mut route, path, spread, here)?;
                }
                if self.listener.space == self.building.outdoors() && !by_fabric {
                    route.through_the_open(path, self.before(path.exit, here), ears);
                    return Some(route);
                }
            }
        }
        route.to(ears, if by_fabric { Medium::Plate } else { Medium::Air });
        Some(route)
    }

    /// From the source to the face, and through it if it is a duct. Where it then is.
    fn enter(&self, route: &mut Route, path: &PathRecord, spread: &Spread) -> Option<Point3> {
        if let Surface::Duct(at) = path.entry {
            let ends = &self.building.ducts.get(at)?.ends;
            let near = usize::from(ends[0].space != path.source_space);
            let mouths = [near, 1 - near].map(|end| [ends[end].at[0], ends[end].at[1], ends[end].height_m]);
            route.to(mouths[0], Medium::Air);
            route.to(mouths[1], Medium::Duct);
            return Some(mouths[1]);
        }
        let place = self.spot(path.entry, spread.entry)?;
        if path.kind == PathKind::StructureBorne {
            let from = route.points[0];
            // Down on the floor, or on to the wall, and from there outwards in the plate.
            let touched = self.onto(path.entry, from);
            route.to(if touched == from { place } else { touched }, Medium::Air);
            route.to(place, Medium::Plate);
        } else {
            route.to(place, Medium::Air);
        }
        Some(place)
    }

    /// From the face it enters to the one it leaves, through a room or the open between them.
    fn cross(&self, route: &mut Route, path: &PathRecord, spread: &Spread, here: Point3) -> Option<Point3> {
        let leaves = self.spot(path.exit, spread.exit)?;
        if path.kind == PathKind::ByOutdoors || path.via == Some(self.building.outdoors()) {
            route.through_the_open(path, self.before(path.entry, here), self.before(path.exit, leaves));
            route.to(leaves, Medium::Open);
        } else {
            if let Some(middle) = path.via.and_then(|space| self.middle_of(space, spread.exit)) {
                route.to(middle, Medium::Air);
            }
            route.to(leaves, Medium::Air);
        }
        Some(leaves)
    }

    /// One of the sources that play in the path's room; of what is struck, one of their contacts where they have any.
    fn start(&self, path: &PathRecord, which: f64) -> Option<Point3> {
        let playing: Vec<(&Source, [f64; 2], f64)> = self.playing(path.source_space).collect();
        let struck = playing.iter().filter(|_| path.kind == PathKind::StructureBorne);
        let contacts = struck.flat_map(|(source, at, level_m)| {
            source.touches().iter().map(move |contact| (contact.at.unwrap_or(*at), level_m + STROKE_M))
        });
        let mut starts: Vec<([f64; 2], f64)> = contacts.collect();
        if starts.is_empty() {
            starts = playing.iter().map(|(_, at, level_m)| (*at, level_m + SOURCE_M)).collect();
        }
        let at = ((which * starts.len() as f64) as usize).min(starts.len().saturating_sub(1));
        starts.get(at).map(|([x, y], z)| [*x, *y, *z])
    }

    /// What plays in a room, where, and the level of its floor, m.
    fn playing(&self, space: SpaceIndex) -> impl Iterator<Item = (&'a Source, [f64; 2], f64)> {
        let scene = self.scene;
        self.building.sources.iter().filter(move |placed| placed.space == space).filter_map(move |placed| {
            let source = scene.sources.iter().find(|source| source.id == placed.source && source.playing)?;
            Some((source, placed.at, scene.storeys.get(placed.storey)?.level_m))
        })
    }

    /// The middle of a room, a little aside.
    fn middle_of(&self, space: SpaceIndex, aside: [f64; 2]) -> Option<Point3> {
        let room = names::room(self.building, space)?;
        let level_m = self.scene.storeys.get(room.storey)?.level_m;
        let [x, y] = spots::within(&room.outline, aside.map(|part| 0.35 + 0.3 * part))?;
        Some([x, y, level_m + room.height_m * (0.4 + 0.2 * aside[1])])
    }

    /// Where a route goes round a junction, on its way from one plate to another.
    fn junction(&self, at: usize, from: Point3, to: Point3) -> Option<Point3> {
        let junction = self.building.junctions.get(at)?;
        let storey = || self.scene.storeys.get(junction.storey);
        let ends = line(junction.line);
        let (at, z) = match junction.kind {
            JunctionKind::Vertical => {
                let storey = storey()?;
                let z = ((from[2] + to[2]) / 2.0).clamp(storey.level_m, storey.level_m + storey.height_m);
                (ends[0].midpoint(ends[1]), z)
            }
            JunctionKind::Horizontal => {
                let [from, to] = [from, to].map(|[x, y, _]| foot(DVec2::new(x, y), ends));
                let slab =
                    junction.arms.iter().find_map(|arm| match &self.building.elements.get(arm.element.0)?.shape {
                        ElementShape::Slab { level_m, .. } => Some(*level_m),
                        ElementShape::Wall { .. } => None,
                    });
                (from.midpoint(to), slab.or_else(|| storey().map(|storey| storey.level_m))?)
            }
        };
        Some([at.x, at.y, z])
    }
}

/// Distance between two points, m.
#[must_use]
pub fn distance(a: Point3, b: Point3) -> f64 {
    (0..3).map(|axis| (a[axis] - b[axis]).powi(2)).sum::<f64>().sqrt()
}
