//! The editor driven by pointer and keys, as a user would: the whole drawing mode, without a GPU.

use std::sync::Arc;

use bevy::ecs::component::Mutable;
use bevy::ecs::system::{RunSystemOnce, SystemState};
use bevy::prelude::{App, Component, Resource};
use bevy_egui::egui::{self, Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use leaklight::app::document::Document;
use leaklight::app::editor::state::{Editor, Mode};
use leaklight::app::headless;
use leaklight::app::layout::show_in;
use leaklight::app::perform;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::view::View;
use leaklight::app::viewer::drawing::describe;
use leaklight::app::viewer::frame::Frame;
use leaklight::building::enclosed;
use leaklight::catalogue::Catalogue;
use leaklight::edit::{Edit, Pick, apply};
use leaklight::output::length::Units;
use leaklight::project::Project;
use leaklight::scene::{Scene, file};

/// All that the window shows and changes, without its systems: it is laid out in a context of the test's, and each scene is solved at once.
pub(super) struct Window(App);

impl Window {
    fn of(scene: Scene, mode: Mode) -> Self {
        let mut window = Self(headless::app(Document::of(scene), 1440, 900));
        window.get_mut::<Editor>().mode = mode;
        *window.get_mut() = Frame { fitted: false, centre: [4.0, 3.0], px_per_m: 60.0, ..Frame::default() };
        window
    }

    pub(super) fn get<T: Resource>(&self) -> &T {
        self.0.world().resource()
    }

    pub(super) fn get_mut<T: Resource + Component<Mutability = Mutable>>(&mut self) -> &mut T {
        self.0.world_mut().resource_mut::<T>().into_inner()
    }

    /// Draws the plan anew, as a system does in the program.
    pub(super) fn describe(&mut self) {
        self.0.world_mut().run_system_once(describe).expect("it can run");
    }

    /// Runs the program's own systems once: what was begun beside the main thread is taken in.
    pub(super) fn update(&mut self) {
        self.0.update();
    }

    fn ui(&mut self, ui: &mut egui::Ui) {
        let world = self.0.world_mut();
        SystemState::<perform::Window>::new(world).get_mut(world).map(|mut window| show_in(ui, &mut window)).unwrap();
        let (revision, scene) = (self.get::<Document>().revision, self.get::<Document>().scene.clone());
        if self.get::<CurrentAnswer>().revision != revision
            && let Some(scene) = scene
        {
            let current = match Project::of(scene).solve() {
                Ok(solved) => CurrentAnswer { revision, solved: Some(Arc::new(solved)), problems: vec![] },
                Err(problems) => CurrentAnswer { revision, solved: None, problems },
            };
            if let Some(solved) = &current.solved {
                self.get_mut::<View>().follow(solved);
            }
            *self.get_mut() = current;
        }
    }
}

pub(super) fn window(scene: Scene) -> Harness<'static, Window> {
    begin(scene, Mode::Draw)
}

pub(super) fn listening(scene: Scene) -> Harness<'static, Window> {
    begin(scene, Mode::Listen)
}

fn begin(scene: Scene, mode: Mode) -> Harness<'static, Window> {
    let mut harness = Harness::builder()
        .with_size(egui::vec2(1440.0, 900.0))
        .build_ui_state(|ui, window: &mut Window| window.ui(ui), Window::of(scene, mode));
    harness.run_ok();
    harness
}

pub(super) fn empty() -> Scene {
    let nothing = file::from_text("(format: 1, name: \"made by hand\", storeys: [])").unwrap();
    apply(&nothing, Catalogue::built_in_ref(), &Edit::AddStorey).unwrap()
}

pub(super) fn place(harness: &Harness<'_, Window>, point: [f64; 2]) -> Pos2 {
    harness.state().get::<Frame>().screen_from_plan(point)
}

fn point_at(harness: &mut Harness<'_, Window>, point: [f64; 2]) {
    let pos = place(harness, point);
    harness.event(Event::PointerMoved(pos));
    harness.run_ok();
}

fn button(harness: &mut Harness<'_, Window>, point: [f64; 2], button: PointerButton, pressed: bool) {
    let pos = place(harness, point);
    harness.event(Event::PointerButton { pos, button, pressed, modifiers: Modifiers::NONE });
    harness.run_ok();
}

pub(super) fn click(harness: &mut Harness<'_, Window>, point: [f64; 2]) {
    point_at(harness, point);
    button(harness, point, PointerButton::Primary, true);
    button(harness, point, PointerButton::Primary, false);
}

fn drag(harness: &mut Harness<'_, Window>, from: [f64; 2], to: [f64; 2]) {
    point_at(harness, from);
    button(harness, from, PointerButton::Primary, true);
    for part in [0.3, 0.7, 1.0] {
        point_at(harness, [0, 1].map(|way| from[way] + (to[way] - from[way]) * part));
    }
    button(harness, to, PointerButton::Primary, false);
}

/// Clicks what has a label, and lets the window answer.
pub(super) fn press(harness: &mut Harness<'_, Window>, label: &str) {
    harness.get_by_label(label).click();
    harness.run_ok();
    harness.run_ok();
}

pub(super) fn key(harness: &mut Harness<'_, Window>, key: Key) {
    harness.key_press(key);
    harness.run_ok();
}

pub(super) fn write(harness: &mut Harness<'_, Window>, text: &str) {
    for letter in text.chars() {
        harness.event(Event::Text(letter.to_string()));
    }
    harness.run_ok();
}

pub(super) fn scene(harness: &Harness<'_, Window>) -> Scene {
    (**harness.state().get::<Document>().committed().unwrap()).clone()
}

/// The plan follows the size of the window until it is moved or zoomed by hand.
#[test]
fn the_plan_follows_the_window() {
    let mut harness = window(file::from_text(include_str!("../../scenes/village-hall.ron")).unwrap());
    harness.state_mut().get_mut::<Frame>().fitted = true;
    harness.run_ok();
    let wide = *harness.state().get::<Frame>();
    let node = scene(&harness).storeys[0].nodes[0].at;
    let pos = place(&harness, node);
    harness.set_size(egui::vec2(1024.0, 700.0));
    harness.run_ok();
    let narrow = *harness.state().get::<Frame>();
    assert!(narrow.px_per_m < 0.9 * wide.px_per_m && place(&harness, node) != pos);
    assert!(scene(&harness).storeys[0].nodes.iter().all(|node| narrow.rect.contains(narrow.screen_from_plan(node.at))));
    harness.state_mut().get_mut::<Frame>().zoom(narrow.rect.center(), 1.5);
    let zoomed = harness.state().get::<Frame>().px_per_m;
    harness.set_size(egui::vec2(1440.0, 900.0));
    harness.run_ok();
    assert_eq!(harness.state().get::<Frame>().px_per_m, zoomed);
}

/// A house of two rooms, drawn as one would: a room by two typed sides, a wall across it, a door in that, a name, a drum kit, a listener. In
/// the end somebody hears something.
#[test]
fn a_house_is_drawn_from_nothing() {
    let mut harness = window(empty());
    key(&mut harness, Key::R);
    click(&mut harness, [0.0, 0.0]);
    point_at(&mut harness, [2.0, 2.0]);
    write(&mut harness, "8 x 5");
    key(&mut harness, Key::Enter);
    assert_eq!(scene(&harness).storeys[0].walls.len(), 4);
    // The sides are those of the room, inside its walls.
    let inside = enclosed(&scene(&harness), Catalogue::built_in_ref(), 0);
    assert!((inside[0].area_m2 - 40.0).abs() < 1e-6, "{}", inside[0].area_m2);
    key(&mut harness, Key::W);
    click(&mut harness, [3.0, 0.02]);
    // Square to where it began, and on the wall across.
    click(&mut harness, [3.05, 5.11]);
    let drawn = scene(&harness);
    assert_eq!((drawn.storeys[0].walls.len(), drawn.storeys[0].nodes.len()), (7, 6));
    let divider = drawn.storeys[0].nodes.iter().filter(|node| (node.at[0] - 3.0).abs() < 1e-9).count();
    assert_eq!(divider, 2);
    key(&mut harness, Key::D);
    click(&mut harness, [3.0, 2.5]);
    assert_eq!(scene(&harness).storeys[0].openings.len(), 1);
    key(&mut harness, Key::N);
    click(&mut harness, [1.5, 2.5]);
    assert_eq!(scene(&harness).storeys[0].rooms.len(), 2);
    // Its name is left as it is.
    key(&mut harness, Key::Enter);
    key(&mut harness, Key::S);
    click(&mut harness, [1.0, 1.0]);
    key(&mut harness, Key::E);
    click(&mut harness, [6.0, 2.0]);
    let done = scene(&harness);
    assert_eq!((done.sources.len(), done.listeners.len()), (1, 1));
    let state = harness.state();
    let current = state.get::<CurrentAnswer>();
    assert!(current.problems.is_empty(), "{:?}", current.problems);
    let answer = &current.solved.as_ref().unwrap().answer;
    assert!(answer.listeners[0].la_db > 40.0);
    // Every gesture was one step: room, wall, door, name, source, listener.
    for _ in 0..6 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        harness.run_ok();
    }
    assert_eq!(scene(&harness), empty());
}

#[test]
fn a_wall_is_drawn_with_a_typed_length_and_given_up() {
    let mut harness = window(empty());
    key(&mut harness, Key::W);
    click(&mut harness, [1.0, 1.0]);
    point_at(&mut harness, [3.0, 1.02]);
    write(&mut harness, "4,25");
    key(&mut harness, Key::Enter);
    let drawn = scene(&harness);
    assert!(drawn.storeys[0].nodes.iter().any(|node| (node.at[0] - 5.25).abs() < 1e-9), "{:?}", drawn.storeys[0].nodes);
    // The next wall has begun; Escape gives it up.
    point_at(&mut harness, [5.25, 4.0]);
    key(&mut harness, Key::Escape);
    click(&mut harness, [7.0, 4.0]);
    assert_eq!(scene(&harness).storeys[0].walls.len(), 1);
}

#[test]
fn a_dragged_wall_moves_square_to_itself_as_one_step() {
    let catalogue = Catalogue::built_in_ref();
    let start = empty();
    let room = Edit::Rectangle {
        storey: start.storeys[0].id.clone(),
        corners: [[0.0, 0.0], [5.0, 4.0]],
        construction: "brick-102-plastered".into(),
        name: "Room".into(),
    };
    let mut harness = window(apply(&start, catalogue, &room).unwrap());
    drag(&mut harness, [5.0, 2.0], [6.0, 2.6]);
    let moved = scene(&harness);
    let rightmost = moved.storeys[0].nodes.iter().map(|node| node.at[0]).fold(0.0, f64::max);
    assert!((rightmost - 6.0).abs() < 1e-9, "{rightmost}");
    assert!(moved.storeys[0].nodes.iter().all(|node| node.at[1] == 0.0 || node.at[1] == 4.0));
    assert!(matches!(harness.state().get::<Editor>().picks[..], [Pick::Wall(..)]));
    assert_eq!(harness.state().get::<Document>().steps(), (Some("move"), None));
    key(&mut harness, Key::Delete);
    assert_eq!(scene(&harness).storeys[0].walls.len(), 3);
}

#[test]
fn a_box_picks_what_lies_in_it_and_a_quick_click_picks_nothing() {
    let mut harness = window(empty());
    key(&mut harness, Key::E);
    click(&mut harness, [1.0, 1.0]);
    key(&mut harness, Key::E);
    click(&mut harness, [2.0, 1.0]);
    drag(&mut harness, [0.4, 0.4], [2.5, 1.6]);
    assert_eq!(harness.state().get::<Editor>().picks.len(), 2);
    // Down and up within one frame.
    let pos = place(&harness, [5.0, 5.0]);
    harness.event(Event::PointerMoved(pos));
    for pressed in [true, false] {
        let modifiers = Modifiers::NONE;
        harness.event(Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers });
    }
    harness.run_ok();
    point_at(&mut harness, [6.0, 6.0]);
    assert!(harness.state().get::<Editor>().picks.is_empty());
    assert_eq!(harness.state().get::<Editor>().gesture, Default::default());
}

#[test]
fn an_opening_is_stretched_by_its_end() {
    let mut harness = window(empty());
    key(&mut harness, Key::W);
    click(&mut harness, [0.0, 2.0]);
    click(&mut harness, [6.0, 2.0]);
    key(&mut harness, Key::Escape);
    key(&mut harness, Key::G);
    click(&mut harness, [3.0, 2.0]);
    let width_m = |harness: &Harness<'_, Window>| scene(harness).storeys[0].openings[0].width_m;
    assert!((width_m(&harness) - 1.2).abs() < 1e-9);
    key(&mut harness, Key::V);
    drag(&mut harness, [3.6, 2.0], [4.2, 2.1]);
    assert!((width_m(&harness) - 1.8).abs() < 1e-9, "{}", width_m(&harness));
}

#[test]
fn the_search_finds_actions_by_their_words() {
    let mut harness = window(empty());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::K);
    harness.run_ok();
    write(&mut harness, "storey add");
    key(&mut harness, Key::Enter);
    assert_eq!(scene(&harness).storeys.len(), 2);
    assert!(harness.state().get::<Editor>().search.is_none());
}

/// What was copied lies beside the house and is what is picked next: dragging moves the copy, the room stays.
#[test]
fn a_copy_is_picked_and_moved_away() {
    let mut harness = window(empty());
    key(&mut harness, Key::R);
    click(&mut harness, [0.0, 0.0]);
    point_at(&mut harness, [2.0, 2.0]);
    write(&mut harness, "4 x 3");
    key(&mut harness, Key::Enter);
    key(&mut harness, Key::V);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_ok();
    let before = harness.state().get::<Editor>().picks.clone();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::D);
    harness.run_ok();
    let storey = scene(&harness).storeys[0].clone();
    assert_eq!((storey.walls.len(), storey.rooms.len()), (8, 2));
    let picks = harness.state().get::<Editor>().picks.clone();
    assert_eq!(picks.len(), 5);
    assert!(picks.iter().all(|pick| !before.contains(pick)));
    assert!(harness.state().get::<Editor>().status.as_ref().is_some_and(|status| status.text().contains("copy")));
    let found = enclosed(&scene(&harness), Catalogue::built_in_ref(), 0);
    assert!(found.len() == 2 && found.iter().all(|room| (room.area_m2 - 12.0).abs() < 1e-6));
}

/// The letters of a unit are keys of actions too: while a length is typed they belong to it.
#[test]
fn a_unit_can_be_typed_behind_a_length() {
    let mut harness = window(empty());
    key(&mut harness, Key::W);
    click(&mut harness, [1.0, 1.0]);
    point_at(&mut harness, [3.0, 1.02]);
    write(&mut harness, "425 c");
    harness.key_press(Key::M);
    write(&mut harness, "m");
    assert_eq!(harness.state().get::<Editor>().mode, Mode::Draw);
    key(&mut harness, Key::Enter);
    let drawn = scene(&harness);
    assert!(drawn.storeys[0].nodes.iter().any(|node| (node.at[0] - 5.25).abs() < 1e-9), "{:?}", drawn.storeys[0].nodes);
}

/// Where feet are shown, a number without a unit is in feet, and feet and inches may have a blank between them.
#[test]
fn typed_sides_are_in_the_unit_that_is_shown() {
    for (typed, area_ft2) in [("12 x 10", 120.0), ("13' 6\" x 10'", 135.0), ("3.6576m x 10", 120.0)] {
        let mut harness = window(empty());
        harness.state_mut().get_mut::<View>().units = Units::Feet;
        harness.run_ok();
        key(&mut harness, Key::R);
        click(&mut harness, [0.0, 0.0]);
        point_at(&mut harness, [2.0, 2.0]);
        write(&mut harness, typed);
        key(&mut harness, Key::Enter);
        let inside = enclosed(&scene(&harness), Catalogue::built_in_ref(), 0);
        let area = inside.first().map(|room| room.area_m2 / 0.3048 / 0.3048);
        assert!(area.is_some_and(|area| (area - area_ft2).abs() < 1e-6), "{typed}: {area:?}");
    }
}
