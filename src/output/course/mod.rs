//! Where a path runs in space: from the source through the faces it passes, along plates to junctions, by other rooms, to the listener; in the open along the
//! route it was solved along. For pictures: within the building the energy of a path knows nothing of it.

mod spots;

use crate::building::{Building, ElementShape, JunctionKind, PlacedListener, SpaceIndex, SpaceKind};
use crate::scene::Scene;
use crate::solve::{PathKind, PathRecord, Surface};

/// A point in space, m: x and y in the plan, z above the street.
pub type Point3 = [f64; 3];

/// Height of a source above its floor, m. Own choice, for pictures only.
const SOURCE_M: f64 = 0.8;
/// Height from which a foot or pedal comes down on the floor, m. Own choice, for pictures only.
const STROKE_M: f64 = 0.25;
/// How far before an outer face the route through the open begins, m: as far as it was solved from.
const BEFORE_M: f64 = 0.3;

/// What a leg of a course runs through.
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
pub struct Course {
    /// Corners, the source first.
    pub points: Vec<Point3>,
    /// What lies between a corner and the next: one fewer than corners.
    pub media: Vec<Medium>,
}

impl Course {
    fn from(start: Point3) -> Self {
        Self { points: vec![start], media: vec![] }
    }

    fn to(&mut self, point: Point3, through: Medium) {
        self.points.push(point);
        self.media.push(through);
    }

    /// Along the route that a path was solved along, from and to any points of the faces it leads from and to.
    fn through_the_open(&mut self, path: &PathRecord, from: Point3, to: Point3) {
        let between = path.route.as_deref().unwrap_or_default();
        let between = between.get(1..between.len().saturating_sub(1)).unwrap_or_default();
        [&[from], between, &[to]].concat().into_iter().for_each(|point| self.to(point, Medium::Open));
    }

    /// Length, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.points.windows(2).map(|leg| distance(leg[0], leg[1])).sum()
    }
}

/// Where on the faces a course runs, each 0 to 1: so that many courses of one path fill the faces they pass.
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

/// The courses of what one listener hears.
#[derive(Debug, Clone)]
pub struct Courses<'a> {
    scene: &'a Scene,
    building: &'a Building,
    listener: &'a PlacedListener,
}

impl<'a> Courses<'a> {
    /// Of a listener, position in the building's; nothing beyond their end.
    #[must_use]
    pub fn new(scene: &'a Scene, building: &'a Building, listener: usize) -> Option<Self> {
        let listener = building.listeners.get(listener)?;
        Some(Self { scene, building, listener })
    }

    /// The course of a path; nothing for a path of another building.
    #[must_use]
    pub fn of(&self, path: &PathRecord, spread: &Spread) -> Option<Course> {
        let struck = path.kind == PathKind::StructureBorne;
        let start = if struck { self.contact(path, spread.source)? } else { self.source(path, spread.source)? };
        let mut course = Course::from(start);
        if path.entry == Surface::Building {
            // Through the fabric, by no way that is known.
            let leaves = if path.exit == Surface::Building { self.ears() } else { self.spot(path.exit, spread.exit)? };
            course.to(leaves, Medium::Plate);
            if path.exit != Surface::Building {
                course.to(self.ears(), Medium::Air);
            }
            return Some(course);
        }
        if path.entry == Surface::Air {
            course.to(self.ears(), Medium::Air);
            return Some(course);
        }
        let mut here = self.enter(&mut course, path, spread, struck)?;
        match path.junction {
            None if path.exit == Surface::Building => {
                course.to(self.ears(), Medium::Plate);
                return Some(course);
            }
            Some(junction) => {
                let leaves = self.spot(path.exit, spread.exit)?;
                let round = self.junction(junction.0, here, leaves)?;
                course.to(round, Medium::Plate);
                course.to(leaves, Medium::Plate);
                here = leaves;
            }
            None if path.exit != path.entry => here = self.cross(&mut course, path, spread, here)?,
            None => {}
        }
        if self.listener.space == self.building.outdoors() {
            course.through_the_open(path, self.before(path.exit, here), self.ears());
        } else {
            course.to(self.ears(), Medium::Air);
        }
        Some(course)
    }

    /// From the source to the face, and through it if it is a duct. Where it then is.
    fn enter(&self, course: &mut Course, path: &PathRecord, spread: &Spread, struck: bool) -> Option<Point3> {
        if let Surface::Duct(at) = path.entry {
            let ends = &self.building.ducts.get(at)?.ends;
            let near = usize::from(ends[0].space != path.source_space);
            let mouths = [near, 1 - near].map(|end| [ends[end].at[0], ends[end].at[1], ends[end].height_m]);
            course.to(mouths[0], Medium::Air);
            course.to(mouths[1], Medium::Duct);
            return Some(mouths[1]);
        }
        let place = self.spot(path.entry, spread.entry)?;
        if struck {
            let from = course.points[0];
            // Down on the floor, or on to the wall, and from there outwards in the plate.
            let mut touched = self.onto(path.entry, from);
            if touched == from {
                touched = place;
            }
            course.to(touched, Medium::Air);
            course.to(place, Medium::Plate);
        } else {
            course.to(place, Medium::Air);
        }
        Some(place)
    }

    /// From the face it enters to the one it leaves, through a room or the open between them.
    fn cross(&self, course: &mut Course, path: &PathRecord, spread: &Spread, here: Point3) -> Option<Point3> {
        let leaves = self.spot(path.exit, spread.exit)?;
        let outdoors = self.building.outdoors();
        if path.kind == PathKind::ByOutdoors || path.via == Some(outdoors) {
            course.through_the_open(path, self.before(path.entry, here), self.before(path.exit, leaves));
            course.to(leaves, Medium::Open);
        } else {
            if let Some(middle) = path.via.and_then(|space| self.middle_of(space, spread.exit)) {
                course.to(middle, Medium::Air);
            }
            course.to(leaves, Medium::Air);
        }
        Some(leaves)
    }

    /// The listener's ears.
    fn ears(&self) -> Point3 {
        [self.listener.at[0], self.listener.at[1], self.listener.height_m]
    }

    /// One of the sources that play in the path's room.
    fn source(&self, path: &PathRecord, which: f64) -> Option<Point3> {
        let playing: Vec<_> = self.playing(path.source_space).collect();
        let (_, at, level_m) = playing.get(pick(which, playing.len()))?;
        Some([at[0], at[1], level_m + SOURCE_M])
    }

    /// One of the contacts of those sources that could touch the face.
    fn contact(&self, path: &PathRecord, which: f64) -> Option<Point3> {
        let contacts: Vec<_> = self
            .playing(path.source_space)
            .flat_map(|(source, at, level_m)| source.contacts.iter().map(move |contact| (contact, at, level_m)))
            .collect();
        let Some((contact, at, level_m)) = contacts.get(pick(which, contacts.len())) else {
            return self.source(path, which);
        };
        let at = contact.at.unwrap_or(*at);
        Some([at[0], at[1], level_m + STROKE_M])
    }

    /// What plays in a room, where, and the level of its floor, m.
    fn playing(&self, space: SpaceIndex) -> impl Iterator<Item = (&'a crate::scene::Source, [f64; 2], f64)> {
        let scene = self.scene;
        self.building.sources.iter().filter(move |placed| placed.space == space).filter_map(move |placed| {
            let source = scene.sources.iter().find(|source| source.id == placed.source && source.playing)?;
            Some((source, placed.at, scene.storeys.get(placed.storey)?.level_m))
        })
    }

    /// The middle of a room, a little aside.
    fn middle_of(&self, space: SpaceIndex, aside: [f64; 2]) -> Option<Point3> {
        let SpaceKind::Room(room) = &self.building.spaces.get(space.0)?.kind else { return None };
        let level_m = self.scene.storeys.get(room.storey)?.level_m;
        let [x, y] = spots::within(&room.outline, aside.map(|part| 0.35 + 0.3 * part))?;
        Some([x, y, level_m + room.height_m * (0.4 + 0.2 * aside[1])])
    }

    /// Where a course goes round a junction, on its way from one plate to another.
    fn junction(&self, at: usize, from: Point3, to: Point3) -> Option<Point3> {
        let junction = self.building.junctions.get(at)?;
        let [p, q] = junction.line;
        match junction.kind {
            JunctionKind::Vertical => {
                let storey = self.scene.storeys.get(junction.storey)?;
                let z = ((from[2] + to[2]) / 2.0).clamp(storey.level_m, storey.level_m + storey.height_m);
                Some([(p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0, z])
            }
            JunctionKind::Horizontal => {
                let part = (along(from, p, q) + along(to, p, q)) / 2.0;
                let slab =
                    junction.arms.iter().find_map(|arm| match &self.building.elements.get(arm.element.0)?.shape {
                        ElementShape::Slab { level_m, .. } => Some(*level_m),
                        ElementShape::Wall { .. } => None,
                    });
                let z = slab.or_else(|| self.scene.storeys.get(junction.storey).map(|storey| storey.level_m))?;
                Some([p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1]), z])
            }
        }
    }
}

/// The position in a list of `count` for a part of it, 0 to 1.
fn pick(part: f64, count: usize) -> usize {
    ((part * count as f64) as usize).min(count.saturating_sub(1))
}

/// Where on a line a point lies, 0 to 1 from end to end.
fn along(point: Point3, p: [f64; 2], q: [f64; 2]) -> f64 {
    let d = [q[0] - p[0], q[1] - p[1]];
    let length_2 = d[0] * d[0] + d[1] * d[1];
    if length_2 <= 0.0 {
        return 0.5;
    }
    (((point[0] - p[0]) * d[0] + (point[1] - p[1]) * d[1]) / length_2).clamp(0.0, 1.0)
}

/// Distance between two points, m.
#[must_use]
pub fn distance(a: Point3, b: Point3) -> f64 {
    (0..3).map(|axis| (a[axis] - b[axis]).powi(2)).sum::<f64>().sqrt()
}
