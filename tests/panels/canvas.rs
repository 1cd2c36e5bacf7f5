//! The tools on the plan, driven by Bevy's own messages in a whole [`App`] without a screen: what the desktop would send goes in, and the
//! document is asked what came of it. All of the window's systems run, egui's input systems among them; only the desktop (winit) and the
//! renderer are missing (`leaklight::app::headless`), so that what is tested here is everything up to the GPU.

use std::time::{Duration, Instant};

use bevy::input::keyboard::Key;
use bevy::prelude::*;

use leaklight::app::document::Document;
use leaklight::app::editor::state::{Editor, Mode, Tool};
use leaklight::app::headless;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::view::View;
use leaklight::app::viewer::frame::Frame;
use leaklight::catalogue::{Catalogue, ConstructionKind};
use leaklight::edit::{Edit, Item, Pick, apply};
use leaklight::scene::{Contact, ContactForce, NodeId, Scene, Touches, file};

/// How long a solve may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(60);

pub(super) struct Window(pub(super) App);

impl Window {
    /// A window on a scene, in drawing mode, the plan at 60 pixels a metre about (4 m, 3 m).
    pub(super) fn of(scene: Scene) -> Self {
        let mut window = Self(headless::app(Document::of(scene), 1440, 900));
        window.frames(3);
        window.key(KeyCode::KeyM, "m");
        assert_eq!(window.editor().mode, Mode::Draw);
        window.frames(2);
        let mut frame = window.0.world_mut().resource_mut::<Frame>();
        *frame = Frame { fitted: false, centre: [4.0, 3.0], px_per_m: 60.0, ..*frame };
        window.frames(1);
        window
    }

    pub(super) fn frames(&mut self, count: usize) {
        (0..count).for_each(|_| self.0.update());
    }

    pub(super) fn editor(&self) -> &Editor {
        self.0.world().resource()
    }

    pub(super) fn document(&self) -> &Document {
        self.0.world().resource()
    }

    pub(super) fn scene(&self) -> Scene {
        (**self.document().committed().expect("a scene is open")).clone()
    }

    pub(super) fn point_at(&mut self, point: [f64; 2]) {
        let place = self.0.world().resource::<Frame>().screen_from_plan(point);
        headless::point(&mut self.0, Vec2::new(place.x, place.y));
        self.frames(1);
    }

    pub(super) fn button(&mut self, button: MouseButton, pressed: bool) {
        headless::button(&mut self.0, button, pressed);
        self.frames(1);
    }

    pub(super) fn click(&mut self, point: [f64; 2]) {
        self.point_at(point);
        self.button(MouseButton::Left, true);
        self.button(MouseButton::Left, false);
    }

    pub(super) fn drag(&mut self, from: [f64; 2], to: [f64; 2]) {
        self.point_at(from);
        self.button(MouseButton::Left, true);
        for part in [0.3, 0.7, 1.0] {
            self.point_at([0, 1].map(|way| from[way] + (to[way] - from[way]) * part));
        }
        self.button(MouseButton::Left, false);
    }

    /// One key down and up.
    pub(super) fn key(&mut self, code: KeyCode, letter: &str) {
        let logical = match code {
            KeyCode::Escape => Key::Escape,
            KeyCode::Enter => Key::Enter,
            KeyCode::Delete => Key::Delete,
            KeyCode::Tab => Key::Tab,
            _ => Key::Character(letter.into()),
        };
        for pressed in [true, false] {
            headless::key(&mut self.0, code, logical.clone(), pressed);
            self.frames(1);
        }
    }

    pub(super) fn with_control(&mut self, code: KeyCode, letter: &str) {
        headless::key(&mut self.0, KeyCode::ControlLeft, Key::Control, true);
        self.frames(1);
        self.key(code, letter);
        headless::key(&mut self.0, KeyCode::ControlLeft, Key::Control, false);
        self.frames(1);
    }

    /// Goes on until the answer belongs to the scene in sight.
    pub(super) fn answer(&mut self) -> CurrentAnswer {
        let begun = Instant::now();
        loop {
            self.frames(1);
            let current = self.0.world().resource::<CurrentAnswer>();
            if current.revision == self.document().revision {
                return current.clone();
            }
            assert!(begun.elapsed() < PATIENCE, "no answer");
            std::thread::sleep(Duration::from_millis(2));
        }
    }
}

pub(super) fn empty() -> Scene {
    let nothing = file::from_text("(format: 1, name: \"made by hand\", storeys: [])").unwrap();
    apply(&nothing, Catalogue::built_in_ref(), &Edit::AddStorey).unwrap()
}

/// A room of 5 m by 4 m with a corner at the origin.
pub(super) fn room() -> Scene {
    let start = empty();
    let edit = Edit::Rectangle {
        storey: start.storeys[0].id.clone(),
        corners: [[0.0, 0.0], [5.0, 4.0]],
        construction: "brick-102-plastered".into(),
        name: "Room".into(),
    };
    apply(&start, Catalogue::built_in_ref(), &edit).unwrap()
}

fn near(a: [f64; 2], b: [f64; 2]) -> bool {
    (0..2).all(|way| (a[way] - b[way]).abs() < 1e-9)
}

#[test]
fn walls_are_drawn_corner_to_corner_and_undone_by_key() {
    let mut window = Window::of(empty());
    window.key(KeyCode::KeyW, "w");
    assert_eq!(window.editor().tool, Tool::Walls);
    // Somewhat off, so that grid, right angles and the first corner have to catch.
    for corner in [[0.01, 0.01], [4.02, 0.03], [4.01, 3.01], [0.03, 2.98], [0.02, 0.02]] {
        window.click(corner);
    }
    let drawn = window.scene();
    let storey = &drawn.storeys[0];
    assert_eq!((storey.walls.len(), storey.nodes.len()), (4, 4), "{storey:?}");
    for corner in [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]] {
        assert!(storey.nodes.iter().any(|node| near(node.at, corner)), "{corner:?}: {:?}", storey.nodes);
    }
    // The gesture is over: the pointer draws nothing more.
    window.point_at([7.0, 5.0]);
    assert_eq!(window.document().scene.as_deref(), Some(&drawn));

    window.with_control(KeyCode::KeyZ, "z");
    assert!(window.scene().storeys[0].walls.len() < 4);
    while window.document().steps().0.is_some() {
        window.with_control(KeyCode::KeyZ, "z");
    }
    assert_eq!(window.scene(), empty());
    while window.document().steps().1.is_some() {
        window.with_control(KeyCode::KeyY, "y");
    }
    assert_eq!(window.scene(), drawn);
}

#[test]
fn a_door_is_set_into_the_wall_that_is_clicked_and_somebody_hears_something() {
    let mut window = Window::of(room());
    window.key(KeyCode::KeyD, "d");
    window.click([2.5, 0.02]);
    let drawn = window.scene();
    let storey = &drawn.storeys[0];
    assert_eq!(storey.openings.len(), 1);
    let door = &storey.openings[0];
    let wall = storey.walls.iter().find(|wall| wall.id == door.wall).unwrap();
    let at = |id: &NodeId| storey.nodes.iter().find(|node| node.id == *id).unwrap().at;
    assert!([&wall.from, &wall.to].into_iter().all(|end| at(end)[1] == 0.0), "not the wall that was clicked");
    let kind = Catalogue::built_in_ref().constructions.get(&door.construction).unwrap().kind;
    assert_eq!(kind, ConstructionKind::Door);
    // Its middle is where the click was, whichever way the wall runs.
    assert!((door.offset_m + door.width_m / 2.0 - 2.5).abs() < 0.051, "{door:?}");

    window.key(KeyCode::KeyS, "s");
    window.click([1.0, 1.0]);
    window.key(KeyCode::KeyE, "e");
    window.click([2.5, -3.0]);
    assert_eq!((window.scene().sources.len(), window.scene().listeners.len()), (1, 1));
    let answer = window.answer();
    let solved = answer.solved.unwrap_or_else(|| panic!("{:?}", answer.problems));
    // It came with its feet and pedals, which bring something by the floor.
    let contacts = &window.scene().sources[0].contacts;
    assert!(["bass drum pedal", "stool"].iter().all(|name| contacts.iter().any(|it| it.name == *name)), "{contacts:?}");
    // A drum kit behind a door, three metres off: nobody would call that silent.
    assert!(solved.answer.listeners[0].la_db > 30.0, "{}", solved.answer.listeners[0].la_db);
}

#[test]
fn a_dragged_corner_takes_its_walls_along_as_one_step() {
    let mut window = Window::of(room());
    window.drag([5.0, 4.0], [6.01, 4.52]);
    let moved = window.scene();
    let storey = &moved.storeys[0];
    assert!(storey.nodes.iter().any(|node| near(node.at, [6.0, 4.5])), "{:?}", storey.nodes);
    assert_eq!((storey.walls.len(), storey.nodes.len()), (4, 4));
    assert!(matches!(window.editor().picks[..], [Pick::Node(..)]));
    window.with_control(KeyCode::KeyZ, "z");
    assert_eq!(window.scene(), room());
}

#[test]
fn what_is_dragged_and_given_up_stays_where_it_was() {
    let mut window = Window::of(room());
    window.point_at([5.0, 2.0]);
    window.button(MouseButton::Left, true);
    window.point_at([6.0, 2.0]);
    window.point_at([6.5, 2.0]);
    let shown = window.document().scene.clone().unwrap();
    assert_ne!(*shown, room(), "the gesture is not shown");
    assert_eq!(window.scene(), room(), "the gesture is done before the button is let go");
    window.key(KeyCode::Escape, "");
    window.button(MouseButton::Left, false);
    assert_eq!(window.document().scene.as_deref(), Some(&room()));
    assert_eq!(window.document().steps(), (None, None));
}

#[test]
fn the_wheel_enlarges_the_plan_about_the_pointer_and_the_other_button_opens_the_menu() {
    let mut window = Window::of(room());
    window.point_at([2.0, 1.0]);
    let before = *window.0.world().resource::<Frame>();
    let held = before.screen_from_plan([2.0, 1.0]);
    headless::wheel(&mut window.0, 3.0);
    window.frames(30);
    let after = *window.0.world().resource::<Frame>();
    assert!(after.px_per_m > 1.05 * before.px_per_m, "{} to {}", before.px_per_m, after.px_per_m);
    assert!((after.screen_from_plan([2.0, 1.0]) - held).length() < 0.5);

    window.point_at([5.0, 2.0]);
    window.button(MouseButton::Right, true);
    window.button(MouseButton::Right, false);
    assert!(window.editor().menu.is_some());
    assert!(matches!(window.editor().picks[..], [Pick::Wall(..)]), "{:?}", window.editor().picks);
    window.key(KeyCode::Escape, "");
    window.key(KeyCode::Delete, "");
    assert_eq!(window.scene().storeys[0].walls.len(), 3);
}

#[test]
fn keys_change_what_is_looked_at() {
    let mut window = Window::of(room());
    let theme = window.0.world().resource::<View>().theme;
    window.key(KeyCode::KeyL, "l");
    assert_ne!(window.0.world().resource::<View>().theme, theme);
    window.key(KeyCode::KeyM, "m");
    assert_eq!(window.editor().mode, Mode::Listen);
}

#[test]
fn an_air_duct_is_placed_by_two_clicks_moved_by_a_mouth_and_deleted() {
    let mut window = Window::of(room());
    window.key(KeyCode::KeyA, "a");
    assert_eq!(window.editor().tool, Tool::Duct);
    window.click([3.01, 2.0]);
    assert!(window.scene().ducts.is_empty());
    window.click([7.0, 2.02]);
    let placed = window.scene();
    assert_eq!(placed.ducts.len(), 1);
    let duct = &placed.ducts[0];
    assert!(near(duct.ends[0].at, [3.0, 2.0]) && near(duct.ends[1].at, [7.0, 2.0]), "{duct:?}");
    assert!((duct.length_m - 4.0).abs() < 1e-9);
    assert_eq!(window.editor().picks, [Pick::Duct(duct.id.clone())]);
    assert!(window.answer().problems.is_empty());
    window.drag([7.0, 2.0], [8.0, 2.0]);
    let moved = window.scene();
    assert!(near(moved.ducts[0].ends[1].at, [8.0, 2.0]) && near(moved.ducts[0].ends[0].at, [3.0, 2.0]));
    assert!((moved.ducts[0].length_m - 5.0).abs() < 1e-9);
    // Picked by its line, between the wall and the mouth.
    window.key(KeyCode::Escape, "");
    window.click([6.5, 2.0]);
    assert_eq!(window.editor().picks, [Pick::Duct(duct.id.clone())]);
    window.key(KeyCode::Delete, "");
    assert!(window.scene().ducts.is_empty());
    for _ in 0..3 {
        window.with_control(KeyCode::KeyZ, "z");
    }
    assert_eq!(window.scene(), room());
}

#[test]
fn a_contact_without_a_place_is_dragged_to_one() {
    let mut window = Window::of(room());
    window.key(KeyCode::KeyS, "s");
    window.click([2.0, 2.0]);
    let mut source = window.scene().sources[0].clone();
    let force = Catalogue::built_in_ref().forces.keys().next().unwrap().clone();
    source.contacts = vec![Contact {
        name: "pedal".into(),
        at: None,
        touches: Touches::Floor,
        force: ContactForce::Known(force),
        offset_db: 0.0,
        mount: None,
    }];
    let edit = Edit::Put(Item::Source(source.clone()));
    window.0.world_mut().resource_mut::<Document>().edit(&[edit]).unwrap();
    window.frames(2);
    assert_eq!(window.editor().picks, [Pick::Source(source.id.clone())]);
    // It is drawn below its source, 3.2 reaches of 9 pixels away.
    let mark = [2.0, 2.0 - 3.2 * 9.0 / 60.0];
    window.click(mark);
    assert_eq!(window.editor().picks, [Pick::Contact(source.id.clone(), 0)]);
    assert_eq!(window.scene().sources[0].contacts[0].at, None, "a click alone moves nothing");
    window.drag(mark, [3.51, 1.02]);
    let moved = window.scene();
    let at = moved.sources[0].contacts[0].at.expect("it has a place");
    assert!(near(at, [3.5, 1.0]), "{at:?}");
    assert!(near(moved.sources[0].at, [2.0, 2.0]));
    // From then on it is dragged by its own mark.
    window.drag([3.5, 1.0], [4.0, 1.0]);
    assert!(near(window.scene().sources[0].contacts[0].at.unwrap(), [4.0, 1.0]));
}

#[test]
fn escape_leaves_the_keyboard_s_place_before_what_is_picked() {
    let mut window = Window::of(room());
    window.click([5.0, 2.0]);
    assert_eq!(window.editor().picks.len(), 1);
    // Somewhere in the panels: a button, a row of a list.
    window.key(KeyCode::Tab, "");
    window.key(KeyCode::Escape, "");
    assert_eq!(window.editor().picks.len(), 1);
    window.key(KeyCode::Escape, "");
    assert!(window.editor().picks.is_empty());
}

/// What happened in slow frames: Ctrl went down and up again with the letter between, and all that counted was what was held at the end.
#[test]
fn a_quick_shortcut_within_one_frame_is_no_plain_letter() {
    let mut window = Window::of(room());
    let quick = |window: &mut Window, code: KeyCode, letter: &str| {
        let app = &mut window.0;
        headless::key(app, KeyCode::ControlLeft, Key::Control, true);
        headless::key(app, code, Key::Character(letter.into()), true);
        headless::key(app, code, Key::Character(letter.into()), false);
        headless::key(app, KeyCode::ControlLeft, Key::Control, false);
        window.frames(2);
    };
    quick(&mut window, KeyCode::KeyA, "a");
    assert_eq!(window.editor().tool, Tool::Hand, "Ctrl+A was taken for A");
    assert!(window.editor().picks.len() > 4);
    window.key(KeyCode::Delete, "");
    assert!(window.scene().storeys[0].walls.is_empty());
    quick(&mut window, KeyCode::KeyZ, "z");
    assert_eq!(window.scene(), room());
    // And a letter after it is one again.
    window.key(KeyCode::KeyA, "a");
    assert_eq!(window.editor().tool, Tool::Duct);
}
