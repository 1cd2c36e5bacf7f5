//! The state of drawing: mode and tool, what is picked, the gesture under way, what is to be read.

use std::sync::Arc;

use bevy::prelude::Resource;

use crate::app::editor::underlay::Pictures;
use crate::building::{Enclosed, enclosed};
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::edit::{Pick, Point};
use crate::output::length::Units;
use crate::scene::{Scene, StoreyId};

/// What the window is used for now.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Mode {
    /// Looking at what leaks.
    #[default]
    Listen,
    /// Drawing the building.
    Draw,
}

/// A tool for drawing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Tool {
    /// Picks things and moves them.
    #[default]
    Hand,
    /// Walls from corner to corner.
    Walls,
    /// A room of four walls.
    Room,
    /// A window, set into a wall.
    Window,
    /// A door, set into a wall.
    Door,
    /// Names the space that is clicked.
    Name,
    /// Something loud.
    Loud,
    /// Somebody who hears it.
    Ears,
    /// An air duct from mouth to mouth.
    Duct,
    /// Two points of the traced picture and how far apart they are.
    Scale,
}

impl Tool {
    /// All that stand in the box of tools, in their order.
    pub const ALL: [Self; 9] =
        [Self::Hand, Self::Walls, Self::Room, Self::Window, Self::Door, Self::Name, Self::Loud, Self::Ears, Self::Duct];
}

/// A gesture under way.
#[derive(Debug, Clone, Default, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "there is one gesture at a time")]
pub enum Gesture {
    /// None.
    #[default]
    None,
    /// Things are dragged.
    Drag {
        /// Where the button went down, m.
        pressed: Point,
        /// From where the way is counted, m: a contact that is drawn beside its source is dragged from the source.
        from: Point,
        /// A corner that is dragged, to be caught by others.
        corner: Option<Point>,
    },
    /// A side of an opening is dragged: its far end or its near end.
    Stretch {
        /// The opening as it was.
        opening: crate::scene::Opening,
        /// True for the end further along the wall.
        far: bool,
    },
    /// A box is drawn round things.
    Box {
        /// First corner, m.
        from: Point,
    },
    /// Walls are drawn: the corners so far.
    Walls {
        /// Corners clicked, m; the last one is where the next wall begins.
        points: Vec<Point>,
    },
    /// A distance on the traced picture is measured.
    Scale {
        /// Its first point, and its second when clicked, m.
        points: Vec<Point>,
    },
    /// An air duct is drawn from this mouth.
    Duct {
        /// The storey of the mouth.
        storey: StoreyId,
        /// Where it is, m.
        from: Point,
    },
    /// A room is drawn from this corner.
    Room {
        /// First corner, m.
        from: Point,
    },
}

/// What new things are made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    /// Construction id of walls.
    pub wall: String,
    /// Construction id of windows.
    pub window: String,
    /// Construction id of doors.
    pub door: String,
    /// Sound of the catalogue.
    pub sound: String,
    /// Grid, m; nothing for none.
    pub grid_m: Option<f64>,
}

impl Default for Choices {
    fn default() -> Self {
        Self {
            wall: "brick-102-plastered".to_owned(),
            window: "window-double-4-16-4".to_owned(),
            door: "door-solid-core-44".to_owned(),
            sound: "drum-kit-loud".to_owned(),
            grid_m: Some(0.05),
        }
    }
}

/// What the walls of a storey enclose, found once for a scene.
#[derive(Debug, Clone, Default)]
pub struct Spaces(Option<(Arc<Scene>, usize, Arc<[Enclosed]>)>);

impl Spaces {
    /// Those of a storey, by its position.
    pub fn of(&mut self, scene: &Arc<Scene>, storey: usize) -> Arc<[Enclosed]> {
        match &self.0 {
            Some((known, at, found)) if Arc::ptr_eq(known, scene) && *at == storey => found.clone(),
            _ => {
                let found: Arc<[Enclosed]> = enclosed(scene, Catalogue::built_in_ref(), storey).into();
                self.0 = Some((scene.clone(), storey, found.clone()));
                found
            }
        }
    }
}

/// The state of drawing.
#[derive(Debug, Clone, Default, Resource)]
pub struct Editor {
    /// What the window is used for.
    pub mode: Mode,
    /// The tool in hand.
    pub tool: Tool,
    /// What is picked.
    pub picks: Vec<Pick>,
    /// The gesture under way.
    pub gesture: Gesture,
    /// Where the pointer was last, caught, m.
    pub at: Option<crate::edit::snap::Snapped>,
    /// Digits typed while drawing.
    pub typed: String,
    /// What a typed number without a unit is in.
    pub units: Units,
    /// What new things are made of.
    pub choices: Choices,
    /// What was done or refused last, to be read once.
    pub status: Option<Status>,
    /// True once a room was clicked to be named: the inspector then takes the keyboard to its name.
    pub naming: bool,
    /// What the search for an action says; nothing while it is closed.
    pub search: Option<String>,
    /// Where a menu is open and on what, screen.
    pub menu: Option<[f32; 2]>,
    /// Pictures to trace.
    pub pictures: Pictures,
    /// What walls enclose on the storey in sight, of the scene without the gesture under way.
    pub spaces: Spaces,
}

/// A message about what was done last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Status {
    /// What was done.
    Done(String),
    /// What was refused, and why.
    Refused(String),
}

impl Status {
    /// Its words.
    #[must_use]
    pub fn text(&self) -> &str {
        match self {
            Self::Done(text) | Self::Refused(text) => text,
        }
    }
}

impl Editor {
    /// Forgets what is no longer there.
    pub fn follow(&mut self, scene: &Scene) {
        self.picks.retain(|pick| exists(scene, pick));
    }

    /// Takes another tool; a gesture under way is given up.
    pub fn take(&mut self, tool: Tool) {
        self.tool = tool;
        self.stop();
    }

    /// Where the pointer lands: where it is caught, else where it is.
    #[must_use]
    pub fn landed(&self, pointer: Point) -> Point {
        self.at.as_ref().map_or(pointer, |caught| caught.at)
    }

    /// Begins on another scene: mode and choices stay.
    pub fn begin(&mut self) {
        *self = Self { mode: self.mode, choices: self.choices.clone(), ..Self::default() };
    }

    /// What was done or refused is read.
    pub fn hush(&mut self) {
        self.status = None;
    }

    /// Tells what was done.
    pub fn tell(&mut self, done: impl Into<String>) {
        self.status = Some(Status::Done(done.into()));
    }

    /// Tells what was refused.
    pub fn refuse(&mut self, why: impl Into<String>) {
        self.status = Some(Status::Refused(why.into()));
    }

    /// True while digits that are typed belong to what is drawn.
    #[must_use]
    pub fn takes_digits(&self) -> bool {
        matches!(self.gesture, Gesture::Walls { .. } | Gesture::Room { .. } | Gesture::Scale { .. })
    }

    /// Gives up the gesture under way.
    pub fn stop(&mut self) {
        self.gesture = Gesture::None;
        self.typed.clear();
    }
}

/// Whether something picked is in a scene.
#[must_use]
pub fn exists(scene: &Scene, pick: &Pick) -> bool {
    let storey = |id: &StoreyId| scene.storeys.iter().find(|storey| storey.id == *id);
    match pick {
        Pick::Node(on, id) => storey(on).is_some_and(|storey| storey.nodes.iter().any(|node| node.id == *id)),
        Pick::Wall(on, id) => storey(on).is_some_and(|storey| storey.walls.iter().any(|wall| wall.id == *id)),
        Pick::Opening(on, id) => storey(on).is_some_and(|storey| storey.openings.iter().any(|known| known.id == *id)),
        Pick::Room(on, id) => storey(on).is_some_and(|storey| storey.rooms.iter().any(|room| room.id == *id)),
        Pick::Source(id) => scene.sources.iter().any(|source| source.id == *id),
        Pick::Contact(id, at) => scene.sources.iter().any(|source| source.id == *id && *at < source.contacts.len()),
        Pick::Listener(id) => scene.listeners.iter().any(|listener| listener.id == *id),
        Pick::Duct(id) => scene.ducts.iter().any(|duct| duct.id == *id),
        Pick::Mouth(id, end) => *end < 2 && scene.ducts.iter().any(|duct| duct.id == *id),
    }
}

/// Thickness of a wall, m: that of its construction, 0.1 where it is unknown.
#[must_use]
pub fn thickness_m(scene: &Scene, id: &str) -> f64 {
    let found = Catalogue::built_in_ref().resolve(&scene.constructions, id);
    found.map_or(0.1, |found| found.thickness_m().max(0.02))
}

/// Usual width, height and sill of an opening of a kind, m. Common practice, no source.
#[must_use]
pub fn usual_size_m(kind: ConstructionKind) -> [f64; 3] {
    match kind {
        ConstructionKind::Door => [0.9, 2.0, 0.0],
        ConstructionKind::Vent => [0.15, 0.15, 2.0],
        _ => [1.2, 1.2, 0.9],
    }
}
