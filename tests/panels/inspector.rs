//! The inspector, driven by its labels: what is typed and chosen becomes edits, once.

use std::sync::Arc;

use bevy_egui::egui::accesskit::Role;
use bevy_egui::egui::{self, Key};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use leaklight::acoustics::rating::iso717_1::Airborne;
use leaklight::acoustics::{Air, Bands};
use leaklight::app::editor::state::Editor;
use leaklight::app::panels::inspector::inspector_ui;
use leaklight::app::solving::CurrentAnswer;
use leaklight::app::view::View;
use leaklight::building::ElementShape;
use leaklight::catalogue::{Build, Catalogue, Layer};
use leaklight::edit::ducts::new_duct;
use leaklight::edit::{Edit, Item, Pick, apply};
use leaklight::project::Project;
use leaklight::scene::{DuctSection, Override, Scene};
use leaklight::solve::construction::{laboratory_size_m, reduction};

struct Shown {
    scene: Scene,
    editor: Editor,
    view: View,
    current: CurrentAnswer,
    /// Steps asked for so far.
    steps: Vec<Vec<Edit>>,
    storey: usize,
}

impl Shown {
    fn ui(&mut self, ui: &mut egui::Ui) {
        let edits = inspector_ui(ui, &mut self.editor, &self.scene, self.storey, &self.current, &self.view);
        if edits.is_empty() {
            return;
        }
        for edit in &edits {
            self.scene = apply(&self.scene, Catalogue::built_in_ref(), edit).expect("it can be done");
        }
        self.steps.push(edits);
    }
}

type Window = Harness<'static, Shown>;

/// The worked example with something picked, in a panel as wide as the window's.
fn picked(picks: impl FnOnce(&Scene) -> Vec<Pick>) -> Window {
    picked_in(super::terrace(), picks)
}

fn picked_in(scene: Scene, picks: impl FnOnce(&Scene) -> Vec<Pick>) -> Window {
    let editor = Editor { picks: picks(&scene), ..Editor::default() };
    let solved = Project::of(scene.clone()).solve().expect("it can be solved");
    let current = CurrentAnswer { revision: 1, solved: Some(Arc::new(solved)), problems: vec![] };
    let shown = Shown { scene, editor, view: View::default(), current, steps: vec![], storey: 0 };
    let mut harness = Harness::builder()
        .with_size(egui::vec2(348.0, 3000.0))
        .build_ui_state(|ui, shown: &mut Shown| shown.ui(ui), shown);
    harness.run_ok();
    harness
}

fn first_wall(scene: &Scene) -> Vec<Pick> {
    vec![Pick::Wall(scene.storeys[0].id.clone(), scene.storeys[0].walls[0].id.clone())]
}

fn first_room(scene: &Scene) -> Vec<Pick> {
    vec![Pick::Room(scene.storeys[0].id.clone(), scene.storeys[0].rooms[0].id.clone())]
}

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    window.run_ok();
    window.run_ok();
}

/// The first whose label begins so: what a chooser shows stands behind its name.
fn click_starting(window: &mut Window, label: &str) {
    let buttons = window.get_all_by_role(Role::Button);
    let starts = |node: &egui_kittest::Node| node.accesskit_node().label().is_some_and(|it| it.starts_with(label));
    buttons.into_iter().find(starts).unwrap_or_else(|| panic!("no button {label}")).click();
    window.run_ok();
    window.run_ok();
}

/// Types over what stands in a field, and does not leave it.
fn type_into(window: &mut Window, field: &str, text: &str) {
    window.get_by_role_and_label(Role::TextInput, field).click();
    window.run_ok();
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.get_by_role_and_label(Role::TextInput, field).type_text(text);
    window.run_ok();
}

fn enter(window: &mut Window) {
    window.key_press(Key::Enter);
    window.run_ok();
    window.run_ok();
}

#[test]
fn a_wall_is_made_of_what_was_searched_for() {
    let mut window = picked(first_wall);
    let (storey, before) =
        (window.state().scene.storeys[0].id.clone(), window.state().scene.storeys[0].walls[0].clone());
    assert_ne!(before.construction, "aircrete-100-plastered");
    click_starting(&mut window, "Made of: ");
    let found = Catalogue::built_in_ref().constructions.values().find(|it| it.id.contains("concrete-")).expect("one");
    let words: Vec<&str> = found.id.split('-').collect();
    window.get_by_label("Search made of").type_text(&words.join(" "));
    window.run_ok();
    enter(&mut window);
    let [step] = window.state().steps.as_slice() else { panic!("{:?}", window.state().steps) };
    let [Edit::Put(Item::Wall(on, wall))] = step.as_slice() else { panic!("{step:?}") };
    assert_eq!((on, &wall.id), (&storey, &before.id));
    assert!(words.iter().all(|word| wall.construction.contains(word)), "{}", wall.construction);
}

#[test]
fn a_click_on_a_row_of_the_list_chooses_it() {
    let mut window = picked(first_wall);
    click_starting(&mut window, "Made of: ");
    window.get_by_label("Search made of").type_text("bare half-brick");
    window.run_ok();
    click(&mut window, "Half-brick wall, bare");
    assert_eq!(window.state().scene.storeys[0].walls[0].construction, "brick-102-bare");
    // The list is closed again.
    assert!(window.query_by_label("Search made of").is_none());
}

#[test]
fn a_typed_length_moves_an_end_once_entered() {
    let mut window = picked(first_wall);
    type_into(&mut window, "Length", "13'9\"");
    assert!(window.state().steps.is_empty(), "nothing counts before Enter");
    enter(&mut window);
    let [step] = window.state().steps.as_slice() else { panic!("{:?}", window.state().steps) };
    let [Edit::Length { length_m, second: true, .. }] = step.as_slice() else { panic!("{step:?}") };
    assert!((length_m - 4.191).abs() < 1e-9);
}

#[test]
fn what_is_no_length_is_told_and_changes_nothing() {
    let mut window = picked(first_wall);
    for (text, told) in [("four", "is no length"), ("9000 m", "It must be from"), ("0", "It must be from")] {
        type_into(&mut window, "Length", text);
        enter(&mut window);
        assert!(window.query_all_by_label_contains(told).next().is_some(), "{text}");
    }
    assert!(window.state().steps.is_empty());
}

#[test]
fn a_field_that_is_left_counts_once() {
    let mut window = picked(first_room);
    type_into(&mut window, "Name", "reading room");
    assert!(window.state().steps.is_empty(), "not a step for each letter");
    window.key_press(Key::Tab);
    for _ in 0..4 {
        window.run_ok();
    }
    let [step] = window.state().steps.as_slice() else { panic!("{:?}", window.state().steps) };
    let [Edit::Put(Item::Room(_, room))] = step.as_slice() else { panic!("{step:?}") };
    assert_eq!(room.name, "reading room");
}

/// A press on the plan may pick something else in the same frame: what was typed must not be lost.
#[test]
fn what_is_typed_counts_before_something_else_is_picked() {
    let mut window = picked(first_room);
    type_into(&mut window, "Name", "reading room");
    let away = egui::pos2(340.0, 2990.0);
    window.event(egui::Event::PointerMoved(away));
    let button = egui::PointerButton::Primary;
    window.event(egui::Event::PointerButton { pos: away, button, pressed: true, modifiers: egui::Modifiers::NONE });
    window.step();
    window.state_mut().editor.picks.clear();
    window.run_ok();
    assert_eq!(window.state().scene.storeys[0].rooms[0].name, "reading room");
    assert_eq!(window.state().steps.len(), 1);
}

#[test]
fn escape_leaves_a_field_as_it_was() {
    let mut window = picked(first_room);
    type_into(&mut window, "Name", "reading room");
    window.key_press(Key::Escape);
    window.run_ok();
    window.run_ok();
    assert!(window.state().steps.is_empty());
}

#[test]
fn a_source_is_silenced() {
    let mut window = picked(|scene| vec![Pick::Source(scene.sources[0].id.clone())]);
    assert!(window.state().scene.sources[0].playing);
    click(&mut window, "playing");
    let [step] = window.state().steps.as_slice() else { panic!("{:?}", window.state().steps) };
    let [Edit::Put(Item::Source(source))] = step.as_slice() else { panic!("{step:?}") };
    assert!(!source.playing);
}

/// Copies the construction of the first wall and opens its layers.
fn own_layers() -> Window {
    let mut window = picked(first_wall);
    click(&mut window, "Make my own of this");
    let [step] = window.state().steps.as_slice() else { panic!("{:?}", window.state().steps) };
    let [Edit::Put(Item::Construction(own)), Edit::Put(Item::Wall(_, wall))] = step.as_slice() else {
        panic!("{step:?}")
    };
    assert_eq!(own.id, wall.construction);
    assert!(!Catalogue::built_in_ref().constructions.contains_key(&own.id));
    assert!(Catalogue::built_in_ref().faults_of(own).is_empty());
    window
}

#[test]
fn the_layer_editor_shows_the_rating_that_is_computed_elsewhere() {
    let mut window = own_layers();
    let thickness = window.get_all_by_role_and_label(Role::TextInput, "Thickness").next().expect("there are layers");
    thickness.click();
    window.run_ok();
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.get_all_by_role_and_label(Role::TextInput, "Thickness").next().expect("there").type_text("40");
    window.run_ok();
    // Still typing: the curve follows already, the scene does not.
    assert_eq!(window.state().steps.len(), 1);
    let mut own = window.state().scene.constructions.last().expect("it is there").clone();
    let Build::Layers(layers) = &mut own.build else { panic!("layers") };
    let (Layer::Sheet { thickness_mm, .. }
    | Layer::Resilient { thickness_mm, .. }
    | Layer::Cavity { depth_mm: thickness_mm, .. }) = &mut layers[0];
    *thickness_mm = 40.0;
    let size_m = laboratory_size_m(own.kind);
    let curve = reduction(Catalogue::built_in_ref(), &own, size_m, &Air::default(), &Bands::exact()).expect("computes");
    let Airborne { rw_db, c_db, ctr_db, .. } = Airborne::of_spectrum(&curve.r_db);
    let words = format!("Rw (C; Ctr) = {rw_db} ({c_db}; {ctr_db}) dB, {:.1} kg/m²", curve.mass_per_area_kg_m2);
    let words = words.replace("(-", "(−").replace(" -", " −");
    assert!(window.query_all_by_label(&words).next().is_some(), "{words}");
    enter(&mut window);
    assert_eq!(window.state().scene.constructions.last(), Some(&own));
    assert_eq!(window.state().steps.len(), 2);
}

#[test]
fn layers_are_added_moved_and_taken_away() {
    let mut window = own_layers();
    let count = |window: &Window| match &window.state().scene.constructions.last().expect("it is there").build {
        Build::Layers(layers) => layers.clone(),
        _ => panic!("layers"),
    };
    let before = count(&window);
    click(&mut window, "Cavity");
    let after = count(&window);
    assert_eq!(after.len(), before.len() + 2);
    assert!(matches!(after[before.len()..], [Layer::Cavity { .. }, Layer::Sheet { .. }]));
    click(&mut window, &format!("Remove layer {}", after.len()));
    // A cavity at the end is shown to be wrong, and stays to be put right.
    assert!(window.query_all_by_label_contains("a cavity must have a sheet on both sides").next().is_some());
    click(&mut window, "Sheet");
    click(&mut window, &format!("Remove layer {}", before.len() + 2));
    click(&mut window, &format!("Remove layer {}", before.len() + 1));
    assert_eq!(count(&window), before);
    click(&mut window, "Move layer down 1");
    assert_ne!(count(&window), before);
}

#[test]
fn a_pasted_spectrum_becomes_what_the_construction_is() {
    let mut window = own_layers();
    click(&mut window, "Paste a spectrum");
    let values: Vec<String> = (0..16).map(|at| format!("{},5", 30 + at)).collect();
    let field = window.get_by_role_and_label(Role::MultilineTextInput, "Measured spectrum");
    field.click();
    window.run_ok();
    window.event(egui::Event::Paste(values[..15].join("\n")));
    window.run_ok();
    assert!(window.query_all_by_label_contains("15 values").next().is_some());
    window.event(egui::Event::Paste(format!("\n{}", values[15])));
    window.run_ok();
    click(&mut window, "Use these values");
    let own = window.state().scene.constructions.last().expect("it is there");
    let Build::Measured { r_db, thickness_mm, mass_per_area_kg_m2 } = &own.build else { panic!("{:?}", own.build) };
    assert_eq!((r_db.len(), r_db[0], r_db[15]), (16, 30.5, 45.5));
    assert!(*thickness_mm > 0.0 && *mass_per_area_kg_m2 > 0.0);
    assert!(Catalogue::built_in_ref().faults_of(own).is_empty());
}

#[test]
fn a_room_is_given_an_inner_shell() {
    let mut window = picked(first_room);
    click(&mut window, "A room within it");
    click(&mut window, "has an inner shell");
    let [step] = window.state().steps.as_slice() else { panic!("{:?}", window.state().steps) };
    let [Edit::Put(Item::Room(_, room))] = step.as_slice() else { panic!("{step:?}") };
    let shell = room.inner_shell.as_ref().expect("a shell");
    assert!(shell.walls.is_some() && shell.ceiling.is_some() && shell.floor.is_none());
    click(&mut window, "floor built");
    let shell = window.state().scene.storeys[0].rooms[0].inner_shell.clone().expect("a shell");
    assert!(shell.floor.is_some());
}

#[test]
fn several_walls_are_given_one_construction_in_one_step() {
    let all = |scene: &Scene| {
        let storey = &scene.storeys[0];
        storey.walls.iter().map(|wall| Pick::Wall(storey.id.clone(), wall.id.clone())).collect()
    };
    let mut window = picked(all);
    let walls = window.state().scene.storeys[0].walls.len();
    window.get_by_label(&format!("{walls} walls"));
    click_starting(&mut window, "Made of: ");
    window.get_by_label("Search made of").type_text("bare half-brick");
    window.run_ok();
    click(&mut window, "Half-brick wall, bare");
    assert_eq!(window.state().steps.len(), 1);
    assert!(window.state().scene.storeys[0].walls.iter().all(|wall| wall.construction == "brick-102-bare"));
}

#[test]
fn nothing_picked_shows_the_storey_and_the_scene() {
    let mut window = picked(|_| vec![]);
    type_into(&mut window, "Height", "2.8 m");
    enter(&mut window);
    assert_eq!(window.state().scene.storeys[0].height_m, 2.8);
    type_into(&mut window, "Humidity", "40");
    enter(&mut window);
    assert_eq!(window.state().scene.air.humidity_percent, 40.0);
}

/// Whatever the worked example has in it can be picked and shown, nothing asks for an edit by itself, and no panel is wider than its place.
#[test]
fn every_thing_has_a_panel_that_changes_nothing_by_itself() {
    let scene = super::terrace();
    let mut picks: Vec<Pick> = vec![];
    for storey in &scene.storeys {
        let on = || storey.id.clone();
        picks.extend(storey.walls.iter().map(|it| Pick::Wall(on(), it.id.clone())));
        picks.extend(storey.openings.iter().map(|it| Pick::Opening(on(), it.id.clone())));
        picks.extend(storey.rooms.iter().map(|it| Pick::Room(on(), it.id.clone())));
        picks.extend(storey.nodes.iter().take(2).map(|it| Pick::Node(on(), it.id.clone())));
    }
    for source in &scene.sources {
        picks.push(Pick::Source(source.id.clone()));
        picks.extend((0..source.contacts.len()).map(|at| Pick::Contact(source.id.clone(), at)));
    }
    picks.extend(scene.listeners.iter().map(|it| Pick::Listener(it.id.clone())));
    let scene = with_duct(scene);
    picks.push(Pick::Duct(scene.ducts[0].id.clone()));
    picks.extend([0, 1].map(|end| Pick::Mouth(scene.ducts[0].id.clone(), end)));
    let mut window = picked_in(scene, |_| vec![]);
    for pick in picks {
        window.state_mut().editor.picks = vec![pick.clone()];
        window.run_ok();
        assert!(window.state().steps.is_empty(), "{pick:?}");
        assert!(window.query_all_by_role(Role::TextInput).next().is_some(), "{pick:?} has no field");
        for field in window.query_all_by_role(Role::TextInput) {
            assert!(field.rect().right() <= 348.0, "{pick:?}: {:?}", field.accesskit_node().label());
        }
    }
}

/// The worked example with an air duct between two rooms of its first storey.
fn with_duct(mut scene: Scene) -> Scene {
    let storey = &scene.storeys[0];
    let places = [storey.rooms[0].at, storey.rooms[1].at].map(|at| (storey.id.clone(), at));
    let [from, to] = places;
    let duct = new_duct(&scene, from, to);
    scene.ducts.push(duct);
    scene
}

#[test]
fn a_duct_is_given_another_section_a_lining_and_a_mouth_elsewhere() {
    let mut window = picked_in(with_duct(super::terrace()), |scene| vec![Pick::Duct(scene.ducts[0].id.clone())]);
    assert!(window.query_all_by_label_contains("opens into").count() >= 2);
    type_into(&mut window, "Diameter", "160");
    enter(&mut window);
    assert_eq!(window.state().scene.ducts[0].section, DuctSection::Round(160.0));
    click(&mut window, "Section: round");
    click(&mut window, "rectangular");
    // The same area: 160 mm round is 20 106 mm², a square of 142 mm 20 164 mm².
    assert_eq!(window.state().scene.ducts[0].section, DuctSection::Rectangular(142.0, 142.0));
    type_into(&mut window, "Bends", "3");
    enter(&mut window);
    assert_eq!(window.state().scene.ducts[0].bends, 3);
    click(&mut window, "has a silencer");
    assert!(window.state().scene.ducts[0].silencer_db.is_some());
    window.get_by_label_contains("These are invented");
    // A mouth alone: moved a metre, it takes the run along.
    let before = window.state().scene.ducts[0].clone();
    window.state_mut().editor.picks = vec![Pick::Mouth(before.id.clone(), 1)];
    window.run_ok();
    let x_m = before.ends[1].at[0] + if before.ends[1].at[0] > before.ends[0].at[0] { 1.0 } else { -1.0 };
    type_into(&mut window, "From left", &format!("{x_m} m"));
    enter(&mut window);
    let after = window.state().scene.ducts[0].clone();
    assert!((after.ends[1].at[0] - x_m).abs() < 1e-9);
    assert!(after.length_m > before.length_m);
    click(&mut window, "Pick the whole duct");
    assert_eq!(window.state().editor.picks, [Pick::Duct(before.id)]);
}

#[test]
fn what_is_known_better_is_listed_as_such_changed_and_computed_again() {
    let mut window = picked(|_| vec![]);
    // A wall that divides something.
    let solved = window.state().current.solved.clone().expect("it was solved");
    let wall = solved.building.elements.iter().find_map(|element| match &element.shape {
        ElementShape::Wall { storey, walls, .. } => Some((*storey, walls.first()?.clone())),
        ElementShape::Slab { .. } => None,
    });
    let (storey, wall) = wall.expect("there are walls");
    let pick = Pick::Wall(window.state().scene.storeys[storey].id.clone(), wall);
    window.state_mut().editor.picks = vec![pick];
    window.run_ok();
    click(&mut window, "I have measured this");
    click(&mut window, "Edge loss known");
    let [Override::EdgeLoss { sum_m, .. }] = window.state().scene.overrides[..] else {
        panic!("{:?}", window.state().scene.overrides)
    };
    let with_it = Project::of(window.state().scene.clone()).solve().expect("solves");
    let changes = with_it.answer.listeners.iter().zip(&solved.answer.listeners);
    // Where it is the same in all bands, entering it changes nothing.
    assert!(sum_m > 0.0 && changes.clone().all(|(now, before)| (now.la_db - before.la_db).abs() < 0.05), "{sum_m}");
    click(&mut window, "Compute it again");
    click(&mut window, "R measured");
    let [Override::Reduction { element, r_db }] = &window.state().scene.overrides[..] else {
        panic!("{:?}", window.state().scene.overrides)
    };
    // What is computed is where it begins.
    let at = solved.building.elements.iter().position(|it| it.id == *element).expect("it is there");
    assert!(r_db.iter().zip(solved.answer.elements[at].r_db.iter()).all(|(given, now)| (given - now).abs() < 0.051));
    window.get_by_label("Set by hand: R as measured");
    let field = window.get_by_role_and_label(Role::MultilineTextInput, "R as measured");
    field.click();
    window.run_ok();
    let values: Vec<String> = (0..24).map(|at| format!("{}", 30 + at)).collect();
    window.event(egui::Event::Paste(values.join(" ")));
    window.run_ok();
    click(&mut window, "Use these values");
    let wanted: Vec<f64> = (0..24).map(|at| f64::from(30 + at)).collect();
    assert!(matches!(&window.state().scene.overrides[..], [Override::Reduction { r_db, .. }] if *r_db == wanted));
    // The whole list stands with the scene, where nothing is picked.
    window.state_mut().editor.picks.clear();
    window.run_ok();
    window.get_by_label("I have measured this (1)");
    let current = Project::of(window.state().scene.clone()).solve().expect("solves");
    assert!(current.answer.notes.iter().any(|note| note.contains("as measured")), "{:?}", current.answer.notes);
    window.state_mut().current = CurrentAnswer { revision: 2, solved: Some(Arc::new(current)), problems: vec![] };
    window.run_ok();
    click(&mut window, "Kij known");
    assert_eq!(window.state().scene.overrides.len(), 2);
    // So does a Kij: as it is from one of the two to the other now, at 500 Hz.
    let Override::Kij { from, to, kij_db } = window.state().scene.overrides[1].clone() else {
        panic!("{:?}", window.state().scene.overrides)
    };
    let computed = solved.building.junctions.iter().zip(&solved.answer.junctions).find_map(|(junction, kij)| {
        let arm = |id: &str| junction.arms.iter().position(|arm| solved.building.elements[arm.element.0].id == id);
        kij.kij_db(arm(&from)?, arm(&to)?)
    });
    assert!((computed.expect("they meet")[13] - kij_db).abs() < 0.051, "{kij_db}");
    type_into(&mut window, "Kij", "12,5");
    enter(&mut window);
    assert!(matches!(window.state().scene.overrides[1], Override::Kij { kij_db: 12.5, .. }));
    window.get_all_by_label("Compute it again").next().expect("each has one").click();
    window.run_ok();
    window.run_ok();
    assert!(matches!(window.state().scene.overrides[..], [Override::Kij { .. }]));
}

/// The three ways to say how loud it is, each in the words of the window, and all feet and pedals away with one click.
#[test]
fn a_source_is_as_loud_as_listed_or_as_measured_and_loses_its_feet_at_a_click() {
    let mut window = picked(|scene| vec![Pick::Source(scene.sources[0].id.clone())]);
    let source = |window: &Window| window.state().scene.sources[0].clone();
    let feet = source(&window).contacts.len();
    assert!(feet > 3);
    window.get_by_label("stands on its feet and pedals").click();
    window.run_ok();
    assert!(!source(&window).touching && source(&window).contacts.len() == feet, "they come back with the next click");
    window.get_by_label("How loud: as listed, or so much louder").click();
    window.run_ok();
    window.get_by_label("measured in its room").click();
    window.run_ok();
    let measured = source(&window).measured.expect("it is measured now");
    // 109 dB(A) of power are about 98 dB(A) at a metre in the open.
    assert!(measured.in_room && measured.distance_m.is_none() && (measured.la_db - 98.0).abs() < 1.5, "{measured:?}");
    type_into(&mut window, "Measured", "92");
    enter(&mut window);
    assert_eq!(source(&window).measured.map(|measured| measured.la_db), Some(92.0));
}

/// A door's list begins with doors, a window's with windows, a wall's with walls.
#[test]
fn the_list_begins_with_what_fits() {
    use leaklight::catalogue::ConstructionKind::{self, Door, Wall, Window as Pane};
    let catalogue = Catalogue::built_in_ref();
    let of_kind = |scene: &Scene, kind: ConstructionKind| {
        let is_it = |id: &str| catalogue.constructions.get(id).is_some_and(|made| made.kind == kind);
        let mut openings = scene.storeys.iter().flat_map(|storey| storey.openings.iter().map(move |it| (storey, it)));
        let (storey, opening) = openings.find(|(_, opening)| is_it(&opening.construction)).expect("there is one");
        vec![Pick::Opening(storey.id.clone(), opening.id.clone())]
    };
    for (kind, mut window) in [
        (Door, picked(|scene| of_kind(scene, Door))),
        (Pane, picked(|scene| of_kind(scene, Pane))),
        (Wall, picked(first_wall)),
    ] {
        click_starting(&mut window, "Made of: ");
        // Enter takes the first of the list.
        window.get_by_label("Search made of").type_text("a");
        window.run_ok();
        enter(&mut window);
        let state = window.state();
        let chosen = state.steps.first().map(|step| match &step[..] {
            [Edit::Put(Item::Opening(_, opening))] => opening.construction.clone(),
            [Edit::Put(Item::Wall(_, wall))] => wall.construction.clone(),
            step => panic!("{step:?}"),
        });
        // Nothing is changed where the first is what it is made of.
        assert!(chosen.is_none_or(|id| catalogue.constructions[&id].kind == kind), "{kind:?}");
    }
}

/// The texts that begin so.
fn labels(window: &Window, starts: &str) -> Vec<String> {
    let found = window.query_all_by_label_contains(starts);
    let texts = found.filter_map(|node| node.accesskit_node().label().or(node.accesskit_node().value()));
    texts.filter(|text| text.starts_with(starts)).collect()
}

/// What must be checked stands beside the thing that decides it: load and air beside the room with a shell, the ears beside the drums, water beside the
/// cover; each once, and nothing beside a wall.
#[test]
fn limits_stand_beside_what_is_picked() {
    let scene = || {
        let text = include_str!("../../scenes/room-within-a-room.ron");
        leaklight::scene::file::from_text(text).expect("the scene is sound")
    };
    let first = |scene: &Scene| scene.storeys[1].id.clone();
    for (pick, said) in [
        (Pick::Room(first(&scene()), scene().storeys[1].rooms[0].id.clone()), &["Load:", "Air:", "Electrics:"][..]),
        (Pick::Source(scene().sources[0].id.clone()), &["Hearing: whoever plays the drum kit gets about"]),
        (Pick::Opening(first(&scene()), scene().storeys[1].openings[0].id.clone()), &["Damp:"]),
        (Pick::Wall(first(&scene()), scene().storeys[1].walls[0].id.clone()), &[]),
    ] {
        let window = picked_in(scene(), |_| vec![pick.clone()]);
        for starts in ["Load:", "Air:", "Electrics:", "Hearing:", "Damp:"] {
            let found = labels(&window, starts);
            let wanted = said.iter().any(|said| said.starts_with(starts));
            assert_eq!(!found.is_empty(), wanted, "{pick:?}: {starts} {found:?}");
            let once: std::collections::BTreeSet<&String> = found.iter().collect();
            assert_eq!(once.len(), found.len(), "{found:?}");
        }
        assert!(said.iter().all(|said| !labels(&window, said).is_empty()), "{pick:?}");
    }
}

/// Hours a day and people are typed in like any other number, and can be taken back.
#[test]
fn hours_a_day_are_typed_in() {
    let mut window = picked(|_| vec![]);
    type_into(&mut window, "Hours a day", "2");
    enter(&mut window);
    type_into(&mut window, "People", "4");
    enter(&mut window);
    let played = &window.state().scene.played;
    assert_eq!((played.hours_a_day, played.people), (Some(2.0), Some(4)));
    type_into(&mut window, "Hours a day", " ");
    enter(&mut window);
    assert_eq!(window.state().scene.played.hours_a_day, None);
}
