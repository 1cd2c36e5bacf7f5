//! The window while the building is drawn: tools on the left, the plan in the middle, what is picked on the right.

use std::path::Path;

use bevy_egui::egui::{self, Align2, Button, Context, Key, Margin, Modifiers, Panel, Pos2, ScrollArea, Ui};

use crate::app::command::{Command, PICKED_MENU, entry, is_enabled};
use crate::app::document::Version;
use crate::app::editor::gesture;
use crate::app::editor::overlay::{EditorView, editor_ui};
use crate::app::editor::state::{Editor, Mode};
use crate::app::editor::toolbox::{status_ui, toolbox_ui};
use crate::app::layout::head::head_ui;
use crate::app::layout::versions;
use crate::app::panels::checks::checks_ui;
use crate::app::panels::inspector::inspector_ui;
use crate::app::panels::problems::list_ui;
use crate::app::panels::search::search_ui;
use crate::app::perform::Window;
use crate::app::theme::{Palette, SIDE, size};
use crate::app::widgets::{boxed, label, menu_row, over, part, rule, section};
use crate::output::words;
use crate::scene::{Problem, Scene, Severity};

/// Width of the tools, logical pixels.
const TOOLS: f32 = 214.0;
/// Height of the line that says what a click does, logical pixels.
const STATUS: f32 = 34.0;

/// Lays out the window; what is asked of it.
pub(super) fn draw(ui: &mut Ui, window: &mut Window, commands: &mut Vec<Command>) {
    let context = ui.ctx().clone();
    let palette = Palette::of(window.view.theme);
    let Some((scene, standing)) = window.document.scene.clone().zip(window.document.standing().cloned()) else {
        window.editor.mode = Mode::Listen;
        return;
    };
    let storey = window.view.storey_in(&scene);
    window.editor.units = window.view.units;
    let before = (window.editor.tool, window.editor.gesture.clone(), window.editor.picks.clone());

    part(ui, Panel::right("side"), &palette, (SIDE, Margin::symmetric(18, 14)), |ui| {
        head_ui(ui, window, commands);
        commands.extend(heard(ui, window, &palette));
        rule(ui, &palette);
        if let Some(solved) = window.current.solved.as_deref() {
            checks_ui(ui, &palette, solved, &window.editor.picks);
        }
        ScrollArea::vertical().id_salt("inspector").auto_shrink([false, false]).show(ui, |ui| {
            let edits = inspector_ui(ui, &mut window.editor, &scene, storey, &window.current, &window.view);
            if !edits.is_empty() {
                commands.push(Command::Edit(edits));
            }
        });
    });
    versions::bar_ui(ui, window, &palette, commands);
    part(ui, Panel::left("tools"), &palette, (TOOLS, Margin::symmetric(14, 14)), |ui| {
        tools_ui(ui, window, &scene, storey, &palette, commands);
    });
    part(ui, Panel::bottom("status"), &palette, (STATUS, Margin::symmetric(14, 6)), |ui| {
        status_ui(ui, &window.editor, window.view.theme);
    });
    versions::foot_ui(ui, window, &palette, commands);
    let canvas = ui.available_rect_before_wrap();
    let spaces = window.editor.spaces.of(&standing, storey);
    let view = EditorView {
        scene: &scene,
        storey,
        spaces: &spaces,
        // While a new answer is computed, the plan stays as it was: it is there in a moment.
        drawn: window.current.solved.as_ref().map(|_| &*window.drawn),
        folder: window.document.path.as_deref().and_then(Path::parent),
        building: window.current.solved.as_deref().map(|solved| &solved.building),
        problems: &window.current.problems,
        theme: window.view.theme,
        units: window.view.units,
    };
    commands.extend(typed(&context, &mut window.editor, &scene, storey));
    let frame_before = *window.frame;
    commands.extend(editor_ui(ui, &mut window.frame, &mut window.editor, &view));
    versions::edge(ui, window, canvas, &palette);
    versions::about(&context, window, &palette, commands);
    versions::list(&context, window, &palette, commands);
    commands.extend(menu_ui(&context, &mut window.editor, &palette));
    commands.extend(search_ui(&context, &mut window.editor, &palette));
    // Letters keep their size on the screen: they are frame_before anew for another scale, in the next frame. And the panels were drawn before the pointer was
    // seen to.
    if *window.frame != frame_before
        || before != (window.editor.tool, window.editor.gesture.clone(), window.editor.picks.clone())
    {
        context.request_repaint();
    }
}

/// What the listener gets, in two lines: the answer stays in sight while one draws. Or what is wrong, to be clicked.
fn heard(ui: &mut Ui, window: &Window, palette: &Palette) -> Option<Command> {
    let (solved, problems) = (window.current.solved.as_deref(), &window.current.problems);
    let heard = solved.and_then(|solved| {
        let at = window.view.listener_at(solved).unwrap_or(0);
        Some((solved, solved.answer.listeners.get(at)?))
    });
    let (line, ink) = match heard {
        Some(_) if window.teaching.asks() => {
            ("First predict: the answer stands here once you have chosen.".to_owned(), palette.soft_ink)
        }
        // A level of nothing would read as if it were very quiet.
        Some((solved, heard)) if solved.scene.sources.iter().all(|source| !source.playing) => {
            let why = match solved.scene.sources.len() {
                0 => "nothing plays. Place something loud (S).",
                _ => "nothing plays, all that is loud is silenced.",
            };
            (format!("{}: {why}", words::heading(&heard.name)), palette.ink)
        }
        Some((_, heard)) => {
            let (name, level) = (words::heading(&heard.name), words::level(heard.la_db));
            (format!("{name}: {level}, {}", words::audibility_word(heard.audibility)), palette.ink)
        }
        None if !problems.is_empty() => {
            let severe = |problem: &&Problem| problem.severity == Severity::Error;
            let count = problems.iter().filter(severe).count();
            let noun = if count == 1 { "thing keeps" } else { "things keep" };
            (format!("{count} {noun} this scene from being solved"), palette.alert)
        }
        None => ("Place something loud (S) and somebody listening (E) to get an answer.".to_owned(), palette.soft_ink),
    };
    label(ui, line, size::SENTENCE, ink);
    if heard.is_some() || problems.is_empty() {
        return None;
    }
    let cards = |ui: &mut Ui| list_ui(ui, window.view.theme, window.document.scene.as_deref(), problems);
    // What is picked has its room below.
    let scroll = ScrollArea::vertical().id_salt("problems").auto_shrink([false, true]);
    scroll.max_height(0.4 * ui.available_height()).show(ui, cards).inner
}

fn tools_ui(
    ui: &mut Ui,
    window: &Window,
    scene: &Scene,
    storey: usize,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let dot = if window.document.is_unsaved() { "• " } else { "" };
    let name = label(ui, format!("{dot}{}", scene.name), size::SENTENCE, palette.ink);
    if window.document.is_unsaved() {
        name.on_hover_text("Not saved yet: Ctrl+S");
    }
    if let Version::Variant(variant) = window.document.shown() {
        label(ui, format!("in “{variant}”"), size::TEXT, palette.variant);
    }
    ui.add_space(6.0);
    commands.extend(toolbox_ui(ui, &window.editor));
    ui.add_space(10.0);
    rule(ui, palette);
    section(ui, palette, "Storeys");
    for (at, drawn) in scene.storeys.iter().enumerate().rev() {
        let clicked = ui.selectable_label(at == storey, words::heading(&drawn.name)).clicked();
        commands.extend(clicked.then(|| Command::Storey(drawn.id.clone())));
    }
    ui.horizontal_wrapped(|ui| {
        for command in [Command::CopyUp, Command::AddStorey, Command::RemoveStorey] {
            let entry = entry(&command);
            let clicked = ui.small_button(entry.button).on_hover_text(entry.tip).clicked();
            commands.extend(clicked.then_some(command));
        }
    });
    ui.add_space(6.0);
    rule(ui, palette);
    let (undo, redo) = window.document.steps();
    ui.horizontal(|ui| {
        for (command, step) in [(Command::Undo, undo), (Command::Redo, redo)] {
            let button = ui.add_enabled(step.is_some(), Button::new(entry(&command).button));
            commands.extend(button.on_hover_text(step.unwrap_or("nothing")).clicked().then_some(command));
        }
    });
    ui.horizontal_wrapped(|ui| {
        for command in [Command::New, Command::Open, Command::Recent, Command::Save, Command::Search] {
            commands.extend(ui.button(entry(&command).button).clicked().then_some(command));
        }
    });
}

/// Digits typed while something is drawn.
fn typed(context: &Context, editor: &mut Editor, scene: &Scene, storey: usize) -> Vec<Command> {
    if !editor.takes_digits() || context.text_edit_focused() {
        return vec![];
    }
    let (enter, back) = context.input_mut(|input| {
        for event in &input.events {
            if let egui::Event::Text(text) = event {
                let fits = |letter: &char| letter.is_ascii_digit() || ".,x×'\"′″’”/ cmft".contains(*letter);
                editor.typed.extend(text.chars().filter(fits));
            }
        }
        (input.consume_key(Modifiers::NONE, Key::Enter), input.consume_key(Modifiers::NONE, Key::Backspace))
    });
    if back {
        editor.typed.pop();
    }
    if enter { gesture::enter(editor, scene, storey) } else { vec![] }
}

/// The menu of what is picked, where the other button was pressed.
fn menu_ui(context: &Context, editor: &mut Editor, palette: &Palette) -> Option<Command> {
    let [x, y] = editor.menu?;
    let mut chosen = None;
    let response = over("menu of what is picked", Align2::LEFT_TOP, Pos2::new(x, y)).show(context, |ui| {
        boxed(palette.raised, palette.rule, 6, Margin::same(6)).show(ui, |ui| {
            ui.set_width(230.0);
            ui.spacing_mut().item_spacing.y = 2.0;
            for command in PICKED_MENU {
                let row = menu_row(entry(command), [228.0, 24.0]).frame(false);
                if ui.add_enabled(is_enabled(command, &editor.picks), row).clicked() {
                    chosen = Some(command.clone());
                }
            }
        });
    });
    let elsewhere = context.input(|input| input.pointer.primary_pressed()) && !response.response.contains_pointer();
    if chosen.is_some() || elsewhere {
        editor.menu = None;
    }
    chosen
}
