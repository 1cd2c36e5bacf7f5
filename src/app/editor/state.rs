//! The state of drawing: mode and tool, what is picked, the gesture under way, what is to be read.

use std::sync::Arc;

use bevy::prelude::Resource;

use crate::app::editor::underlay::Pictures;
use crate::building::{Enclosed, enclosed};
use crate::catalogue::{Catalogue, ConstructionKind};
use crate::edit::{Item, Pick, Point};
use crate::output::length::Units;
use crate::scene::{Scene, StoreyId};

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Mode {
    #[default]
    Listen,
    Draw,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Tool {
    /// Picks things and moves them.
    #[default]
    Hand,
    /// Walls from corner to corner.
    Walls,
    Room,
    Window,
    Door,
    Name,
    /// Something loud.
    Loud,
    Ears,
    Duct,
    /// Two points of the traced picture and how far apart they are.
    Scale,
}

impl Tool {
    /// All that stand in the box of tools, in their order.
    pub const ALL: [Self; 9] =
        [Self::Hand, Self::Walls, Self::Room, Self::Window, Self::Door, Self::Name, Self::Loud, Self::Ears, Self::Duct];
}

/// A gesture under way; places in m.
#[derive(Debug, Clone, Default, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "there is one gesture at a time")]
pub enum Gesture {
    #[default]
    None,
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
        opening: crate::scene::Opening,
        /// True for the end further along the wall.
        far: bool,
    },
    /// A box is drawn round things, from this corner.
    Box(Point),
    /// Walls are drawn: the corners clicked; at the last one the next wall begins.
    Walls(Vec<Point>),
    /// A distance on the traced picture is measured: its first point, and its second when clicked.
    Scale(Vec<Point>),
    /// An air duct is drawn from this mouth.
    Duct(StoreyId, Point),
    /// A room is drawn from this corner.
    Room(Point),
}

/// What new things are made of: ids of constructions and of a sound of the catalogue.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    pub wall: String,
    pub window: String,
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

#[derive(Default, Resource)]
pub struct Editor {
    pub mode: Mode,
    pub tool: Tool,
    pub picks: Vec<Pick>,
    pub gesture: Gesture,
    /// Where the pointer was last, caught, m.
    pub at: Option<crate::edit::snap::Snapped>,
    /// Digits typed while drawing.
    pub typed: String,
    /// What a typed number without a unit is in.
    pub units: Units,
    pub choices: Choices,
    /// What was done or refused last, to be read once.
    pub status: Option<Status>,
    /// True once a room was clicked to be named: the inspector then takes the keyboard to its name.
    pub naming: bool,
    /// What the search for an action says; nothing while it is closed.
    pub search: Option<String>,
    /// Where a menu is open and on what, screen.
    pub menu: Option<[f32; 2]>,
    pub pictures: Pictures,
    /// What walls enclose on the storey in sight, of the scene without the gesture under way.
    pub spaces: Spaces,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Status {
    Done(String),
    /// What was refused, and why.
    Refused(String),
}

impl Status {
    pub fn text(&self) -> &str {
        match self {
            Self::Done(text) | Self::Refused(text) => text,
        }
    }
}

impl Editor {
    /// Takes another tool; a gesture under way is given up.
    pub fn take(&mut self, tool: Tool) {
        self.tool = tool;
        self.stop();
    }

    /// Where the pointer lands: where it is caught, else where it is.
    pub fn landed(&self, pointer: Point) -> Point {
        self.at.as_ref().map_or(pointer, |caught| caught.at)
    }

    /// Begins on another scene: mode and choices stay.
    pub fn begin(&mut self) {
        let choices = std::mem::take(&mut self.choices);
        *self = Self { mode: self.mode, choices, ..Self::default() };
    }

    /// What was done or refused is read.
    pub fn clear_status(&mut self) {
        self.status = None;
    }

    pub fn tell(&mut self, done: impl Into<String>) {
        self.status = Some(Status::Done(done.into()));
    }

    pub fn refuse(&mut self, why: impl Into<String>) {
        self.status = Some(Status::Refused(why.into()));
    }

    /// True while digits that are typed belong to what is drawn.
    pub fn takes_digits(&self) -> bool {
        matches!(self.gesture, Gesture::Walls(_) | Gesture::Room(_) | Gesture::Scale(_))
    }

    pub fn stop(&mut self) {
        self.gesture = Gesture::None;
        self.typed.clear();
    }
}

pub fn exists(scene: &Scene, pick: &Pick) -> bool {
    match (pick, Item::of(scene, pick)) {
        (Pick::Node(on, id), _) => {
            scene.storeys.iter().any(|it| it.id == *on && it.nodes.iter().any(|node| node.id == *id))
        }
        (Pick::Contact(_, at), Some(Item::Source(source))) => *at < source.contacts.len(),
        (Pick::Mouth(_, end), found) => *end < 2 && found.is_some(),
        (_, found) => found.is_some(),
    }
}

/// Thickness of a wall, m: that of its construction, 0.1 where it is unknown.
pub fn thickness_m(scene: &Scene, id: &str) -> f64 {
    let found = Catalogue::built_in_ref().resolve(&scene.constructions, id);
    found.map_or(0.1, |found| found.thickness_m().max(0.02))
}

/// Usual width, height and sill of an opening of a kind, m. Common practice, no source.
pub fn usual_size_m(kind: ConstructionKind) -> [f64; 3] {
    match kind {
        ConstructionKind::Door => [0.9, 2.0, 0.0],
        ConstructionKind::Vent => [0.15, 0.15, 2.0],
        _ => [1.2, 1.2, 0.9],
    }
}
