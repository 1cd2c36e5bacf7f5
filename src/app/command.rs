//! Everything that can be asked of the program, and the one table of those commands that have a name or a key: keys, menus, buttons, hints and the
//! search read it. Commands are done in [`super::perform`] alone.

use std::path::PathBuf;

use bevy_egui::egui::{Context, Id, Key, KeyboardShortcut, Modifiers};

use crate::app::deciding::Foot;
use crate::app::document::Version;
use crate::app::editor::state::{Editor, Gesture, Mode, Tool};
use crate::app::view::Compare;
use crate::edit::{Edit, Pick};
use crate::output::By;
use crate::output::section::Cut;
use crate::scene::{ListenerId, StoreyId, Thing};
use crate::solve::BandChoice;
use crate::template::Answers;

#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    // Drawing.
    Tool(Tool),
    Mode(Mode),
    OtherMode,
    Edit(Vec<Edit>),
    Preview(Vec<Edit>),
    /// Show the scene as it stands.
    CancelPreview,
    Undo,
    Redo,
    Delete,
    /// Copy it beside itself.
    Duplicate,
    /// Left for right (true), or front for back.
    Mirror(bool),
    PickAll,
    /// Give up the gesture, or pick nothing.
    Escape,
    /// The plan of this storey once more on top.
    CopyUp,
    AddStorey,
    RemoveStorey,
    PlacePicture,
    RemovePicture,
    // The window.
    /// Dark, light, high contrast, in turn.
    OtherTheme,
    /// Metres, or feet and inches.
    OtherUnits,
    /// Larger letters and panels (true), or smaller ones.
    Scale(bool),
    Search,
    // Looking.
    Fit,
    /// Show the plan larger (above 1) or smaller about its middle.
    Zoom(f32),
    /// Show where a problem is: this thing, on this storey.
    ShowPlace(Option<StoreyId>, Thing),
    Listen(ListenerId),
    /// The same, by position.
    ListenAt(usize),
    Storey(StoreyId),
    /// Show the storey above (true) or below.
    StepStorey(bool),
    Bands(BandChoice),
    /// Look at the next band up (true) or down.
    StepBand(bool),
    /// Move the upper end of the bands up (true) or down.
    StretchBands(bool),
    /// Light the plan by one end of the paths.
    LightBy(By),
    /// Mark a path for good, or no longer.
    Pin(usize),
    /// Mark the next path down the list (true) or up.
    StepPath(bool),
    /// Light the plan by levels, or by shares.
    Levels,
    /// Cut the building open where that tells most, or show no section.
    Section,
    Cut(Cut),
    /// Give the section the whole canvas, or the plan its place again.
    WholeSection,
    Compare(Compare),
    KeepBaseline,
    ForgetBaseline,
    // Variants.
    /// Show a version, and change it from now on.
    ShowVersion(Version),
    /// Show the next one (true) or the one before, what is drawn among them.
    StepVersion(bool),
    /// Begin a variant that is what is shown now.
    NewVariant,
    /// Call the variant shown something else.
    NameVariant(String),
    DeleteVariant,
    /// Take what no longer fits out of the variant shown.
    DropMisfits,
    /// Open or close the box that says what the variant shown does.
    AboutVariant,
    /// Compare what is shown with a version.
    CompareWith(Version),
    /// Give the foot of the window to something, or what it has by itself again.
    Foot(Foot),
    // Advice.
    /// Find out what to build first.
    AskAdvice,
    StopAdvice,
    /// Look at a plan of the frontier, by position, or (nothing) at the one advised.
    LookAtPlan(Option<usize>),
    /// Make the plan looked at a variant.
    KeepPlan,
    /// Open or close the list of what to buy and cut for the variant shown.
    BuildList,
    /// Write it beside the scene: the table (true), or the cutting plan.
    WriteList(bool),
    // Motes.
    /// Let them run or stand.
    RunParticles,
    ShowParticles,
    /// Run so much faster (above 1) or slower than usual.
    ParticleSpeed(f32),
    /// Hide paths with a smaller share.
    LeastShare(f64),
    MarkedAlone,
    // Showing to others.
    /// Open or close the list of views kept with the scene.
    ListViews,
    /// Keep what is looked at with the scene.
    KeepView,
    /// Show a kept view to others, by position, or (nothing) end.
    Present(Option<usize>),
    /// Show the next view (true) or the one before.
    StepView(bool),
    // Lessons and pictures.
    Lessons,
    /// Take a lesson: its building opens.
    TakeLesson(usize),
    Predict(usize),
    SeeChoice(usize),
    ListLessons,
    Export,
    WritePicture,
    // Files.
    New,
    Create(Box<Answers>),
    CreateEmpty,
    Browse,
    /// The same, once what is unsaved was seen to.
    Open,
    /// Open one of the files opened last.
    Recent,
    OpenFile(PathBuf),
    ListFolder(PathBuf),
    /// Save; then go on with what was begun.
    Save,
    SaveAs,
    /// Save in a file, unless it is there already.
    SaveTo(PathBuf),
    /// Save in a file that is there already.
    SaveOver(PathBuf),
    /// Give up what is unsaved, and go on with what was begun.
    Discard,
    CloseQuestion,
    TakeOverFile,
    KeepMine,
    /// Take up unsaved work that was left behind.
    Recover(usize),
    /// Give up one piece of it.
    DiscardRecovered(usize),
    /// Give up all of it.
    DiscardAllRecovered,
    /// Keep unsaved work in this folder from now on.
    AutosaveIn(PathBuf),
    // Hints.
    /// Leave one thing: the hints, or the section that fills the canvas.
    Back,
    /// Show the hints of the first start.
    Hints,
    NextHint,
    CloseHints,
}

/// When a command makes sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    Always,
    Drawing,
    Listening,
    Presenting,
}

/// A command as people meet it.
#[derive(Debug, Clone)]
pub struct Entry {
    pub command: Command,
    /// What it is called; empty for one that is no part of the search, since it has a key and a place on the screen.
    pub name: &'static str,
    pub key: Option<KeyboardShortcut>,
    pub when: When,
    pub button: &'static str,
    /// What is said where the pointer rests on the button.
    pub tip: &'static str,
}

impl Entry {
    pub fn is_for(&self, mode: Mode) -> bool {
        match self.when {
            When::Always => true,
            When::Drawing => mode == Mode::Draw,
            When::Listening => mode == Mode::Listen,
            When::Presenting => false,
        }
    }

    pub fn key_name(&self) -> String {
        let Some(key) = self.key else { return String::new() };
        let [command, shift] = [(key.modifiers.command, "Ctrl+"), (key.modifiers.shift, "Shift+")]
            .map(|(held, name)| if held { name } else { "" });
        [command, shift, key.logical_key.name()].concat()
    }
}

/// One line a command: when it makes sense, which, its key, its name; and, where it has a button, what that says and what is said of it.
macro_rules! table {
    (@key -) => { None };
    (@key plain $key:ident) => { Some(KeyboardShortcut::new(Modifiers::NONE, Key::$key)) };
    (@key shift $key:ident) => { Some(KeyboardShortcut::new(Modifiers::SHIFT, Key::$key)) };
    (@key ctrl $key:ident) => { Some(KeyboardShortcut::new(Modifiers::COMMAND, Key::$key)) };
    (@key ctrl_shift $key:ident) => {
        Some(KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::$key))
    };
    ($($when:ident $name:ident $(($($with:expr),*))?, $held:tt $($key:ident)?, $called:literal
        $(=> $button:literal, $tip:literal)?;)*) => {
        &[$(Entry {
            command: Command::$name $(($($with),*))?,
            name: $called,
            key: table!(@key $held $($key)?),
            when: When::$when,
            button: concat!($($button)?),
            tip: concat!($($tip)?),
        }),*]
    };
}

/// All commands with a name or a key. Letters stand where they stand on German and French keyboards too; the logical key counts. Where two keys differ
/// by Shift alone the one with it stands first, since the other is taken to match it too.
pub const TABLE: &[Entry] = table! {
    Drawing Tool(Tool::Hand), plain V, "Pick and move" => "Pick and move", "";
    Drawing Tool(Tool::Walls), plain W, "Draw walls" => "Walls", "";
    Drawing Tool(Tool::Room), plain R, "Draw a room of four walls" => "Room of four walls", "";
    Drawing Tool(Tool::Window), plain G, "Set a window" => "Window", "";
    Drawing Tool(Tool::Door), plain D, "Set a door" => "Door", "";
    Drawing Tool(Tool::Name), plain N, "Name each room" => "Name each room", "";
    Drawing Tool(Tool::Loud), plain S, "Place something loud" => "Something loud", "";
    Drawing Tool(Tool::Ears), plain E, "Place somebody listening" => "Somebody listening", "";
    Drawing Tool(Tool::Duct), plain A, "Place an air duct" => "Air duct", "";
    Always OtherMode, plain M, "Change between listening and drawing";
    Always Redo, ctrl_shift Z, "Redo" => "Redo", "";
    Always Undo, ctrl Z, "Undo" => "Undo", "";
    Always Redo, ctrl Y, "Redo";
    Drawing Delete, plain Delete, "Remove what is picked";
    Drawing Delete, plain Backspace, "Remove what is picked";
    Drawing Duplicate, ctrl D, "Copy what is picked";
    Drawing Mirror(true), -, "Mirror left and right";
    Drawing Mirror(false), -, "Mirror front and back";
    Drawing PickAll, ctrl A, "Pick all of this storey";
    Drawing Escape, plain Escape, "Give up, or pick nothing";
    Drawing CopyUp, -, "Copy this storey upwards" => "Copy up", "The plan of this storey once more on top";
    Drawing AddStorey, -, "Add an empty storey" => "Add", "An empty storey on top";
    Drawing RemoveStorey, -, "Remove this storey" => "Remove", "Remove this storey";
    Drawing PlacePicture, -, "Place a picture to trace";
    Drawing Tool(Tool::Scale), -, "Scale the traced picture" => "Scale the traced picture", "";
    Drawing RemovePicture, -, "Remove the traced picture";
    Drawing Fit, plain F, "Show the whole plan";
    Drawing OtherTheme, plain L, "Dark, light or high contrast";
    Always Scale(true), ctrl Plus, "Larger letters";
    Always Scale(true), ctrl Equals, "Larger letters";
    Always Scale(false), ctrl Minus, "Smaller letters";
    Drawing OtherUnits, plain U, "Metres or feet and inches";
    Always New, ctrl N, "New scene, from a few questions or from nothing" => "New", "";
    Always Recent, ctrl_shift O, "Open a recent scene" => "Recent", "";
    Always Open, ctrl O, "Open a scene" => "Open", "";
    Always Hints, -, "Show the hints of the first start";
    Always SaveAs, ctrl_shift S, "Save in another file";
    Always Save, ctrl S, "Save" => "Save", "";
    Listening Section, plain X, "Cut the building open: section" => "Section", "Cut the building open along a line (X)";
    Listening WholeSection, -, "Section on the whole canvas"
        => "Alone", "The section on the whole canvas; Esc, or this again, brings the plan back";
    Listening Levels, plain D, "Colour by loudness, or by share"
        => "Colour by loudness", "Colour the plan by level in dB instead of by share (D)";
    Listening KeepBaseline, plain K, "Keep the building to compare with"
        => "Keep to compare", "Keep the building as it is now, then change it and see what that did (K)";
    Listening ForgetBaseline, -, "Forget what was kept to compare with" => "Forget", "Forget what was kept";
    Always StepVersion(false), shift B, "Show the variant before";
    Always StepVersion(true), plain B, "Show the next variant";
    Always NewVariant, -, "New variant of what is shown"
        => "New variant", "Begin a variant of what is shown; the drawing stays as it is";
    Always AboutVariant, -, "Name the variant, and see what it changes"
        => "Steps", "Its name, a sentence on it, and each of its steps";
    Always DeleteVariant, -, "Delete the variant that is shown" => "Delete variant", "Delete this variant; the drawing stays as it is";
    Always DropMisfits, -, "Take what no longer fits out of the variant"
        => "Take out what no longer fits", "The steps named here; the rest of the variant stays";
    Always Foot(Foot::Variants), plain T, "Table of all variants"
        => "Table", "What is drawn and all variants of it in a table (T)";
    Always Foot(Foot::Advice), plain C, "Find out what to build first, and what it costs"
        => "What first", "Which measures keep the limits, in which order, for how much, how sure (C)";
    Always BuildList, -, "What to buy and cut for the variant"
        => "What to buy", "All that the variant takes: goods, pieces, weights, and how to cut sheets";
    Listening Present(Some(0)), plain P, "Show to others" => "Begin", "P";
    Listening KeepView, plain V, "Keep this view to show" => "Keep this view", "V";
    Listening RunParticles, -, "Let the motes stand or run (Space)";
    Listening ShowParticles, plain H, "Hide or show the motes" => "Hide", "The plan without motes";
    Listening Lessons, -, "Lessons" => "Lessons", "Questions about small buildings, answered by the solver";
    Listening Export, ctrl E, "Write a picture, still or moving";
    Always Search, ctrl K, "" => "All actions", "";
    Listening ListViews, -, "" => "Show to others", "The whole window, large letters, one kept view after another (P)";
    Listening Fit, plain F, "";
    Listening Fit, plain Home, "";
    Listening Zoom(1.25), plain Plus, "";
    Listening Zoom(1.25), shift Plus, "";
    Listening Zoom(1.25), plain Equals, "";
    Listening Zoom(0.8), plain Minus, "";
    Listening StretchBands(true), shift ArrowRight, "";
    Listening StretchBands(false), shift ArrowLeft, "";
    Listening StepBand(true), plain ArrowRight, "";
    Listening StepBand(false), plain ArrowLeft, "";
    Listening Bands(BandChoice::AWeighted), plain A, "";
    Listening LightBy(By::Entry), plain O, "";
    Listening LightBy(By::Exit), plain I, "";
    Listening OtherTheme, plain L, "";
    Listening StepPath(true), plain ArrowDown, "";
    Listening StepPath(false), plain ArrowUp, "";
    Listening StepStorey(true), plain PageUp, "";
    Listening StepStorey(false), plain PageDown, "";
    Listening ListenAt(0), plain Num1, "";
    Listening ListenAt(1), plain Num2, "";
    Listening ListenAt(2), plain Num3, "";
    Listening ListenAt(3), plain Num4, "";
    Listening ListenAt(4), plain Num5, "";
    Listening ListenAt(5), plain Num6, "";
    Listening ListenAt(6), plain Num7, "";
    Listening ListenAt(7), plain Num8, "";
    Listening ListenAt(8), plain Num9, "";
    Listening RunParticles, plain Space, "";
    Listening Back, plain Escape, "";
    Presenting Present(None), plain Escape, "";
    Presenting Present(None), plain P, "";
    Presenting StepView(true), plain ArrowRight, "";
    Presenting StepView(true), plain PageDown, "";
    Presenting StepView(true), plain Space, "";
    Presenting StepView(true), plain Enter, "";
    Presenting StepView(false), plain ArrowLeft, "";
    Presenting StepView(false), plain PageUp, "";
    Presenting StepView(false), plain Backspace, "";
};

pub const SCENE_MENU: &[Command] =
    &[Command::New, Command::Open, Command::Recent, Command::Save, Command::SaveAs, Command::Export, Command::Search];

pub const PICKED_MENU: &[Command] = &[
    Command::Delete,
    Command::Duplicate,
    Command::Mirror(true),
    Command::Mirror(false),
    Command::PickAll,
    Command::CopyUp,
    Command::Fit,
];

pub fn entry(command: &Command) -> &'static Entry {
    // What has no line of its own is called nothing; the tests ask for those that have a button.
    const NONE: &Entry = &table! { Always CloseQuestion, -, ""; }[0];
    TABLE.iter().find(|entry| entry.command == *command).unwrap_or(NONE)
}

/// Which keys are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keys {
    /// Those of named commands: before anything is drawn.
    Named,
    /// Those of what is chosen on the screen: after the panels, which know some of them themselves.
    Chosen,
    /// Those there are while the building is shown to others.
    Presenting,
}

/// The commands whose keys were pressed in this frame. Keys with modifiers come first, so that a plain key does not take them.
///
/// Escape leaves one thing at a time: where the keyboard was on a row of a list or on a button, it leaves that, and what is picked stays. Space
/// presses the button that has the keyboard.
pub fn pressed(context: &Context, editor: &Editor, keys: Keys) -> Vec<Command> {
    // egui has let go of the focus before this is asked: what counts is where it was.
    let focused = context.memory(|memory| memory.focused().is_some());
    let was_focused = match keys {
        Keys::Named => context.data_mut(|data| {
            std::mem::replace(data.get_temp_mut_or_default::<bool>(Id::new("the keyboard was somewhere")), focused)
        }),
        _ => false,
    };
    let taken = |entry: &Entry| match entry.command {
        Command::Escape => was_focused && editor.gesture == Gesture::None && editor.menu.is_none(),
        Command::RunParticles => focused,
        // It takes back a digit that was typed.
        Command::Delete => entry.key.is_some_and(|key| key.logical_key == Key::Backspace) && editor.takes_digits(),
        // The letters of its unit belong to a length that is being typed.
        _ => {
            let unit = |key: KeyboardShortcut| {
                key.modifiers.is_none() && matches!(key.logical_key, Key::C | Key::M | Key::F | Key::T)
            };
            editor.takes_digits() && !editor.typed.is_empty() && entry.key.is_some_and(unit)
        }
    };
    let usable = |entry: &Entry| match keys {
        Keys::Named => entry.is_for(editor.mode) && !(entry.name.is_empty() && entry.button.is_empty()),
        Keys::Chosen => entry.is_for(editor.mode) && entry.name.is_empty() && entry.button.is_empty(),
        Keys::Presenting => entry.when == When::Presenting,
    };
    let mut found = vec![];
    context.input_mut(|input| {
        for with in [true, false] {
            for entry in TABLE.iter().filter(|entry| usable(entry) && !taken(entry)) {
                if entry.key.is_some_and(|key| key.modifiers.any() == with && input.consume_shortcut(&key)) {
                    found.push(entry.command.clone());
                }
            }
        }
    });
    found
}

/// Commands whose names hold all words of a search, in the order of the table, each once.
pub fn found(search: &str, mode: Mode) -> Vec<&'static Entry> {
    let words: Vec<String> = search.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let mut found: Vec<&Entry> = vec![];
    for entry in TABLE.iter().filter(|entry| !entry.name.is_empty() && entry.is_for(mode)) {
        let fits = words.iter().all(|word| entry.name.to_lowercase().contains(word));
        if fits && found.iter().all(|known| known.command != entry.command) {
            found.push(entry);
        }
    }
    found
}

/// Whether a command can be done with what is picked.
pub fn is_enabled(command: &Command, picks: &[Pick]) -> bool {
    match command {
        Command::Delete => !picks.is_empty(),
        Command::Duplicate => picks.iter().any(|pick| !matches!(pick, Pick::Contact(..) | Pick::Mouth(..))),
        Command::Mirror(_) => {
            picks.iter().any(|pick| !matches!(pick, Pick::Opening(..) | Pick::Contact(..) | Pick::Mouth(..)))
        }
        _ => true,
    }
}
