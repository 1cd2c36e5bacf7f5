//! The window while the building is drawn: tools on the left, the plan in the middle, what is picked on the right.

use bevy_egui::egui::{self, Area, Id, Key, Margin, Order, Panel, RichText, ScrollArea, Ui};

use super::search::search_ui;
use super::{SIDE, rule};
use crate::app::canvas::{CurrentDrawing, Frame};
use crate::app::desk::actions::{self, Action};
use crate::app::desk::{Deed, Desk, DeskView, Gesture, Mode, desk_ui, gesture, status_ui, toolbox_ui};
use crate::app::document::Document;
use crate::app::solving::CurrentAnswer;
use crate::app::theme::{Palette, size};
use crate::app::view::View;
use crate::edit::Pick;
use crate::output::words;
use crate::scene::{Scene, Severity, Storey};

/// Width of the tools, logical pixels.
const TOOLS: f32 = 214.0;
/// Height of the line that says what a click does, logical pixels.
const STATUS: f32 = 34.0;

/// How far everything can be enlarged and made smaller.
const MOST_SCALE: f32 = 2.5;
const LEAST_SCALE: f32 = 0.7;

/// What is shown and changed.
pub struct Shown<'a> {
    /// The latest answer.
    pub current: &'a CurrentAnswer,
    /// The plan as drawn of it.
    pub drawn: &'a CurrentDrawing,
    /// The document.
    pub document: &'a mut Document,
    /// The desk.
    pub desk: &'a mut Desk,
    /// What is looked at.
    pub view: &'a mut View,
    /// Where the plan lies on the screen.
    pub frame: &'a mut Frame,
}

/// Position of the storey that is drawn on.
pub(super) fn storey_at(view: &View, scene: &Scene) -> usize {
    let chosen = view.storey.as_ref();
    scene.storeys.iter().position(|storey| Some(&storey.id) == chosen).unwrap_or(0)
}

/// Lays out the window and does what is asked of it.
pub fn show(window: &mut Ui, shown: &mut Shown, pressed: &[Action]) {
    let context = window.ctx().clone();
    let palette = Palette::of(shown.view.theme);
    let Some(scene) = shown.document.scene.clone() else {
        shown.desk.mode = Mode::Listen;
        return;
    };
    let storey = storey_at(shown.view, &scene);
    let mode = shown.desk.mode;
    shown.desk.units = shown.view.units;
    let mut deeds: Vec<Deed> = vec![];
    let mut chosen: Vec<Action> = pressed.to_vec();
    let before = (shown.desk.tool, shown.desk.gesture.clone(), shown.desk.picks.clone());

    let side = egui::Frame::new().fill(palette.panel).inner_margin(Margin::symmetric(18, 14));
    Panel::right("side").exact_size(SIDE).resizable(false).frame(side).show(window, |ui| {
        chosen.extend(super::head_ui(ui, shown.desk));
        ui.add_space(4.0);
        heard(ui, shown, &palette);
        rule(ui, &palette);
        ScrollArea::vertical().id_salt("inspector").auto_shrink([false, false]).show(ui, |ui| {
            let edits = super::inspector::inspector_ui(ui, shown.desk, &scene, storey, shown.current, shown.view);
            if !edits.is_empty() {
                deeds.push(Deed::Do(edits));
            }
        });
    });
    let tools = egui::Frame::new().fill(palette.panel).inner_margin(Margin::symmetric(14, 14));
    Panel::left("tools").exact_size(TOOLS).resizable(false).frame(tools).show(window, |ui| {
        chosen.extend(tools_ui(ui, shown, &scene, storey, &palette));
    });
    let status = egui::Frame::new().fill(palette.panel).inner_margin(Margin::symmetric(14, 6));
    Panel::bottom("status").exact_size(STATUS).resizable(false).frame(status).show(window, |ui| {
        status_ui(ui, shown.desk, shown.view.theme);
    });
    let view = DeskView {
        scene: &scene,
        storey,
        // While a new answer is computed, the plan stays as it was: it is there in a moment.
        drawn: shown.current.solved.as_ref().map(|_| shown.drawn),
        folder: shown.document.path.as_deref().and_then(std::path::Path::parent),
        building: shown.current.solved.as_deref().map(|solved| &solved.building),
        problems: &shown.current.problems,
        theme: shown.view.theme,
        units: shown.view.units,
    };
    typed(&context, shown.desk, &scene, storey, &mut deeds);
    let laid = *shown.frame;
    deeds.extend(desk_ui(window, shown.frame, shown.desk, &view));
    // Letters keep their size on the screen: they are laid anew for another scale, in the next frame.
    if *shown.frame != laid {
        context.request_repaint();
    }
    chosen.extend(menu_ui(&context, shown.desk, &palette));
    chosen.extend(search_ui(&context, shown.desk, &palette));

    // The panels were drawn before the pointer was seen to.
    if before != (shown.desk.tool, shown.desk.gesture.clone(), shown.desk.picks.clone()) {
        context.request_repaint();
    }
    for deed in deeds {
        let done = match deed {
            Deed::Do(edits) => {
                shown.desk.hush();
                shown.document.edit(&edits).map(drop)
            }
            Deed::Try(edits) => shown.document.try_out(&edits),
            Deed::LetGo => {
                shown.document.let_go();
                Ok(())
            }
        };
        if let Err(refused) = done {
            shown.desk.said = Some(refused.to_string());
        }
        context.request_repaint();
    }
    if shown.desk.mode != mode {
        shown.frame.fitted = true;
    }
    for action in chosen {
        act(action, shown.document, shown.desk, shown.view, shown.frame);
        context.request_repaint();
    }
}

/// What the listener gets, in two lines: the answer stays in sight while one draws.
fn heard(ui: &mut Ui, shown: &Shown, palette: &Palette) {
    let solved = shown.current.solved.as_deref();
    let heard = solved.and_then(|solved| {
        let at = shown.view.listener_at(solved).unwrap_or(0);
        solved.answer.listeners.get(at)
    });
    let silent = solved.is_some_and(|solved| solved.scene.sources.iter().all(|source| !source.playing));
    let line = match heard {
        // A level of nothing would read as if it were very quiet.
        Some(heard) if silent => {
            let name = words::heading(&heard.name);
            match solved.map_or(0, |solved| solved.scene.sources.len()) {
                0 => format!("{name}: nothing plays. Place something loud (S)."),
                _ => format!("{name}: nothing plays, all that is loud is silenced."),
            }
        }
        Some(heard) => format!(
            "{}: {}, {}",
            words::heading(&heard.name),
            words::level(heard.la_db),
            words::audibility_word(heard.audibility)
        ),
        None if !shown.current.problems.is_empty() => {
            let severe = |problem: &&crate::scene::Problem| problem.severity == Severity::Error;
            let count = shown.current.problems.iter().filter(severe).count();
            let noun = if count == 1 { "thing keeps" } else { "things keep" };
            format!("{count} {noun} this scene from being solved")
        }
        None => "Place something loud (S) and somebody listening (E) to get an answer.".to_owned(),
    };
    let ink = match heard {
        Some(_) => palette.ink,
        None if shown.current.problems.is_empty() => palette.soft_ink,
        None => palette.alert,
    };
    ui.label(RichText::new(line).size(size::SENTENCE).color(ink));
    if heard.is_none() {
        super::troubles::list_ui(ui, shown.view.theme, shown.document.scene.as_deref(), &shown.current.problems);
    }
}

fn tools_ui(ui: &mut Ui, shown: &mut Shown, scene: &Scene, storey: usize, palette: &Palette) -> Vec<Action> {
    let mut chosen = vec![];
    ui.label(RichText::new(&scene.name).size(size::SENTENCE).color(palette.ink));
    ui.add_space(6.0);
    toolbox_ui(ui, shown.desk);
    ui.add_space(10.0);
    rule(ui, palette);
    ui.label(RichText::new("Storeys").size(size::SMALL).color(palette.soft_ink));
    for (at, drawn) in scene.storeys.iter().enumerate().rev() {
        let text = RichText::new(words::heading(&drawn.name)).size(size::TEXT);
        if ui.selectable_label(at == storey, text).clicked() {
            shown.view.storey = Some(drawn.id.clone());
            shown.desk.picks.clear();
            shown.desk.stop();
        }
    }
    ui.horizontal_wrapped(|ui| {
        for (action, word, told) in [
            (Action::CopyUp, "Copy up", "The plan of this storey once more on top"),
            (Action::AddStorey, "Add", "An empty storey on top"),
            (Action::RemoveStorey, "Remove", "Take this storey away"),
        ] {
            if ui.small_button(word).on_hover_text(told).clicked() {
                chosen.push(action);
            }
        }
    });
    ui.add_space(6.0);
    rule(ui, palette);
    let (undo, redo) = shown.document.steps();
    ui.horizontal(|ui| {
        for (action, word, step) in [(Action::Undo, "Undo", undo), (Action::Redo, "Do again", redo)] {
            let button = ui.add_enabled(step.is_some(), egui::Button::new(RichText::new(word).size(size::TEXT)));
            if button.on_hover_text(step.unwrap_or("nothing")).clicked() {
                chosen.push(action);
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        for (action, word) in [
            (Action::New, "New"),
            (Action::Open, "Open"),
            (Action::Recent, "Recent"),
            (Action::Save, "Save"),
            (Action::Search, "All actions"),
        ] {
            if ui.button(RichText::new(word).size(size::TEXT)).clicked() {
                chosen.push(action);
            }
        }
    });
    chosen
}

/// Digits typed while something is drawn.
fn typed(context: &egui::Context, desk: &mut Desk, scene: &Scene, storey: usize, deeds: &mut Vec<Deed>) {
    if !matches!(desk.gesture, Gesture::Walls { .. } | Gesture::Room { .. } | Gesture::Scale { .. })
        || context.text_edit_focused()
    {
        return;
    }
    let texts: Vec<String> = context.input(|input| {
        let text = |event: &egui::Event| if let egui::Event::Text(text) = event { Some(text.clone()) } else { None };
        input.events.iter().filter_map(text).collect()
    });
    for text in texts {
        let fits = |letter: char| letter.is_ascii_digit() || ".,x×'\"′″’”/ cmft".contains(letter);
        desk.typed.extend(text.chars().filter(|letter| fits(*letter)));
    }
    if context.input_mut(|input| input.consume_key(egui::Modifiers::NONE, Key::Backspace)) {
        desk.typed.pop();
    }
    if context.input_mut(|input| input.consume_key(egui::Modifiers::NONE, Key::Enter)) {
        deeds.extend(gesture::enter(desk, scene, storey));
    }
}

/// Does one action.
pub(super) fn act(action: Action, document: &mut Document, desk: &mut Desk, view: &mut View, frame: &mut Frame) {
    match action {
        Action::Tool(tool) => desk.take(tool),
        Action::OtherMode => {
            desk.mode = if desk.mode == Mode::Draw { Mode::Listen } else { Mode::Draw };
            desk.stop();
            document.let_go();
            frame.fitted = true;
        }
        Action::Undo => {
            desk.stop();
            desk.hush();
            desk.news = document.undo().map(|name| format!("Undone: {name}"));
        }
        Action::Redo => {
            desk.stop();
            desk.hush();
            desk.news = document.redo().map(|name| format!("Done again: {name}"));
        }
        Action::PickAll => {
            if let Some(scene) = &document.scene {
                desk.picks = actions::all_of(scene, storey_at(view, scene));
            }
        }
        Action::Leave => {
            if actions::leave(desk) {
                document.let_go();
            }
        }
        Action::ShowAll => frame.fitted = true,
        Action::OtherTheme => {
            view.theme = view.theme.next();
        }
        Action::OtherUnits => {
            use crate::output::length::Units;
            view.units = if view.units == Units::Metric { Units::Feet } else { Units::Metric };
        }
        Action::Larger => view.scale = (view.scale * 1.1).min(MOST_SCALE),
        Action::Smaller => view.scale = (view.scale / 1.1).max(LEAST_SCALE),
        Action::Search => desk.search = Some(String::new()),
        Action::New
        | Action::Open
        | Action::Recent
        | Action::Save
        | Action::SaveAs
        | Action::Hints
        | Action::Picture => desk.file_asked = Some(action),
        Action::Look(look) => {
            desk.looking = Some(look);
            if desk.mode == Mode::Draw {
                desk.mode = Mode::Listen;
                desk.stop();
                document.let_go();
                frame.fitted = true;
            }
        }
        _ => {
            let Some(scene) = document.scene.clone() else { return };
            if let Some(edit) = actions::edit_of(action, desk, &scene, storey_at(view, &scene)) {
                match document.edit(&[edit]) {
                    Ok(_) => {
                        desk.hush();
                        show_new_storey(&scene, document, desk, view);
                    }
                    Err(refused) => desk.said = Some(refused.to_string()),
                }
                if let (Action::Duplicate, Some(after)) = (action, &document.scene) {
                    let copies = crate::edit::copies(&scene, after, &desk.picks);
                    if !copies.is_empty() {
                        // A copy with walls stands beside the house, perhaps out of sight.
                        frame.fitted |= copies.iter().any(|pick| matches!(pick, Pick::Wall(..)));
                        desk.picks = copies;
                        desk.tell("The copy is picked: drag it to where it belongs.".to_owned());
                    }
                }
            }
        }
    }
}

/// Shows the storey that came on top, and says so.
fn show_new_storey(before: &Scene, document: &Document, desk: &mut Desk, view: &mut View) {
    let Some(after) = &document.scene else { return };
    let is_new = |storey: &&Storey| before.storeys.iter().all(|known| known.id != storey.id);
    let Some(new) = after.storeys.iter().find(is_new) else { return };
    view.storey = Some(new.id.clone());
    desk.picks.clear();
    desk.stop();
    let name = words::heading(&new.name);
    desk.tell(if new.walls.is_empty() {
        format!("A new storey on top, now shown: {name}. Nothing is drawn on it yet.")
    } else {
        format!("The plan was copied upwards, and the new storey is now shown: {name}.")
    });
}

/// The menu of what is picked, where the other button was pressed.
fn menu_ui(context: &egui::Context, desk: &mut Desk, palette: &Palette) -> Option<Action> {
    let [x, y] = desk.menu?;
    let mut chosen = None;
    let area = Area::new(Id::new("menu of what is picked")).order(Order::Foreground).fixed_pos([x, y]);
    let response = area.show(context, |ui| {
        egui::Frame::new()
            .fill(palette.raised)
            .stroke(egui::Stroke::new(1.0, palette.rule))
            .corner_radius(6)
            .inner_margin(Margin::same(6))
            .show(ui, |ui| {
                ui.set_width(230.0);
                ui.spacing_mut().item_spacing.y = 2.0;
                for action in [
                    Action::Delete,
                    Action::Duplicate,
                    Action::MirrorSideways,
                    Action::MirrorLengthways,
                    Action::PickAll,
                    Action::CopyUp,
                    Action::ShowAll,
                ] {
                    let Some(known) = actions::ALL.iter().find(|known| known.action == action) else { continue };
                    let key = known.key.map(actions::key_name).unwrap_or_default();
                    let button = egui::Button::new(RichText::new(known.name).size(size::TEXT))
                        .shortcut_text(RichText::new(key).size(size::SMALL))
                        .frame(false)
                        .min_size(egui::vec2(228.0, 24.0));
                    if ui.add_enabled(actions::makes_sense(action, desk), button).clicked() {
                        chosen = Some(action);
                    }
                }
            });
    });
    let elsewhere = context.input(|input| input.pointer.primary_pressed()) && !response.response.contains_pointer();
    if chosen.is_some() || elsewhere {
        desk.menu = None;
    }
    chosen
}
