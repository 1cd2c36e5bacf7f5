//! Everything the desk and the window can do, by name and by key: one list for keys, for the search, and for menus.

use bevy_egui::egui::{Context, Id, Key, KeyboardShortcut, Modifiers};

use super::{Desk, Gesture, Mode, Tool};
use crate::edit::{self, Edit, Item, Pick, StoreyHead};
use crate::scene::Scene;

/// Something that can be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Take a tool.
    Tool(Tool),
    /// Between looking and drawing.
    OtherMode,
    /// Take the last step back.
    Undo,
    /// Do it again.
    Redo,
    /// Take away what is picked.
    Delete,
    /// Copy it beside itself.
    Duplicate,
    /// Left for right.
    MirrorSideways,
    /// Front for back.
    MirrorLengthways,
    /// Pick all of the storey.
    PickAll,
    /// Give up the gesture, or pick nothing.
    Leave,
    /// The plan of this storey once more on top.
    CopyUp,
    /// An empty storey on top.
    AddStorey,
    /// Take this storey away.
    RemoveStorey,
    /// Show the whole plan.
    ShowAll,
    /// Dark, light, high contrast.
    OtherTheme,
    /// Metres, or feet and inches.
    OtherUnits,
    /// Place a picture to trace under this storey.
    Picture,
    /// Take it away.
    NoPicture,
    /// Larger letters and panels.
    Larger,
    /// Smaller ones.
    Smaller,
    /// A new scene from a few questions.
    New,
    /// Open a file.
    Open,
    /// Save.
    Save,
    /// Save in another file.
    SaveAs,
    /// Open one of the files opened last.
    Recent,
    /// Show the hints of the first start.
    Hints,
    /// Search for an action.
    Search,
    /// Look at the answer in some way.
    Look(Looking),
}

/// A way to look at the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Looking {
    /// A section, or none.
    Section,
    /// Levels, or shares.
    Levels,
    /// Keep the building to compare with.
    Keep,
    /// Forget what was kept.
    Forget,
    /// Show the kept views to others.
    Present,
    /// Keep what is looked at as a view.
    KeepView,
    /// Let the motes run or stand.
    Motes,
    /// Hide or show them.
    Hide,
    /// The list of lessons.
    Lessons,
    /// The box for pictures.
    Export,
}

/// An action as people meet it.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    /// Which.
    pub action: Action,
    /// What it is called.
    pub name: &'static str,
    /// Its key, if it has one.
    pub key: Option<KeyboardShortcut>,
    /// When it makes sense.
    pub when: When,
}

/// When an action makes sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Always.
    Always,
    /// While drawing.
    Drawing,
    /// While listening.
    Listening,
}

impl Known {
    /// True when it makes sense in a mode.
    #[must_use]
    pub fn is_for(&self, mode: Mode) -> bool {
        match self.when {
            When::Always => true,
            When::Drawing => mode == Mode::Draw,
            When::Listening => mode == Mode::Listen,
        }
    }
}

const fn known(action: Action, name: &'static str, key: Option<KeyboardShortcut>, when: When) -> Known {
    Known { action, name, key, when }
}

const fn plain(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::NONE, key))
}

const fn command(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND, key))
}

const fn command_shift(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key))
}

/// All actions. Letters stand where they stand on German and French keyboards too; the logical key counts.
pub const ALL: [Known; 47] = [
    known(Action::Tool(Tool::Hand), "Pick and move", plain(Key::V), When::Drawing),
    known(Action::Tool(Tool::Walls), "Draw walls", plain(Key::W), When::Drawing),
    known(Action::Tool(Tool::Room), "Draw a room of four walls", plain(Key::R), When::Drawing),
    known(Action::Tool(Tool::Window), "Set a window", plain(Key::G), When::Drawing),
    known(Action::Tool(Tool::Door), "Set a door", plain(Key::D), When::Drawing),
    known(Action::Tool(Tool::Name), "Name a room", plain(Key::N), When::Drawing),
    known(Action::Tool(Tool::Loud), "Place something loud", plain(Key::S), When::Drawing),
    known(Action::Tool(Tool::Ears), "Place somebody listening", plain(Key::E), When::Drawing),
    known(Action::Tool(Tool::Duct), "Place an air duct", plain(Key::A), When::Drawing),
    known(Action::OtherMode, "Change between listening and drawing", plain(Key::M), When::Always),
    known(Action::Redo, "Do again", command_shift(Key::Z), When::Always),
    known(Action::Undo, "Undo", command(Key::Z), When::Always),
    known(Action::Redo, "Do again", command(Key::Y), When::Always),
    known(Action::Delete, "Delete what is picked", plain(Key::Delete), When::Drawing),
    known(Action::Duplicate, "Copy what is picked", command(Key::D), When::Drawing),
    known(Action::MirrorSideways, "Mirror left and right", None, When::Drawing),
    known(Action::MirrorLengthways, "Mirror front and back", None, When::Drawing),
    known(Action::PickAll, "Pick all of this storey", command(Key::A), When::Drawing),
    known(Action::Leave, "Give up, or pick nothing", plain(Key::Escape), When::Drawing),
    known(Action::CopyUp, "Copy this storey upwards", None, When::Drawing),
    known(Action::AddStorey, "Add an empty storey", None, When::Drawing),
    known(Action::RemoveStorey, "Remove this storey", None, When::Drawing),
    known(Action::Picture, "Place a picture to trace", None, When::Drawing),
    known(Action::Tool(Tool::Scale), "Scale the traced picture", None, When::Drawing),
    known(Action::NoPicture, "Take the traced picture away", None, When::Drawing),
    known(Action::ShowAll, "Show the whole plan", plain(Key::F), When::Drawing),
    known(Action::OtherTheme, "Dark, light or high contrast", plain(Key::L), When::Drawing),
    known(Action::Larger, "Larger letters", command(Key::Plus), When::Always),
    known(Action::Larger, "Larger letters", command(Key::Equals), When::Always),
    known(Action::Smaller, "Smaller letters", command(Key::Minus), When::Always),
    known(Action::OtherUnits, "Metres or feet and inches", plain(Key::U), When::Drawing),
    known(Action::New, "New scene, from a few questions or from nothing", command(Key::N), When::Always),
    known(Action::Recent, "Open a recent scene", command_shift(Key::O), When::Always),
    known(Action::Open, "Open a scene", command(Key::O), When::Always),
    known(Action::Hints, "Show the hints of the first start", None, When::Always),
    known(Action::SaveAs, "Save in another file", command_shift(Key::S), When::Always),
    known(Action::Save, "Save", command(Key::S), When::Always),
    known(Action::Look(Looking::Section), "Cut the building open: section", plain(Key::X), When::Listening),
    known(Action::Look(Looking::Levels), "Light by level, or by share", plain(Key::D), When::Listening),
    known(Action::Look(Looking::Keep), "Keep the building to compare with", plain(Key::K), When::Listening),
    known(Action::Look(Looking::Forget), "Forget what was kept to compare with", None, When::Listening),
    known(Action::Look(Looking::Present), "Show to others", plain(Key::P), When::Listening),
    known(Action::Look(Looking::KeepView), "Keep this view to show", plain(Key::V), When::Listening),
    known(Action::Look(Looking::Motes), "Let the motes stand or run (Space)", None, When::Listening),
    known(Action::Look(Looking::Hide), "Hide or show the motes", plain(Key::H), When::Listening),
    known(Action::Look(Looking::Lessons), "Lessons", None, When::Listening),
    known(Action::Look(Looking::Export), "Write a picture, still or moving", command(Key::E), When::Listening),
];

/// The search itself, beside the list it searches.
pub const SEARCH: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::K);

/// How a key is written.
#[must_use]
pub fn key_name(key: KeyboardShortcut) -> String {
    let mut name = String::new();
    if key.modifiers.command {
        name.push_str("Ctrl+");
    }
    if key.modifiers.shift {
        name.push_str("Shift+");
    }
    name + key.logical_key.name()
}

/// The key of a tool, as it is written.
#[must_use]
pub fn key_of_tool(tool: Tool) -> String {
    let known = ALL.iter().find(|known| known.action == Action::Tool(tool));
    known.and_then(|known| known.key).map(key_name).unwrap_or_default()
}

/// The actions whose keys were pressed in this frame. Keys with modifiers come first, so that a plain key does not take them.
///
/// None while actions are searched: keys are then those of the search. Escape leaves one thing at a time: where the keyboard was on a row of a list or on a button, it leaves that, and what is picked stays.
#[must_use]
pub fn pressed(context: &Context, desk: &Desk) -> Vec<Action> {
    let mut found = vec![];
    if desk.search.is_some() {
        return found;
    }
    let mode = desk.mode;
    // egui has let go of the focus before this is asked: what counts is where it was.
    let focus = Id::new("the keyboard was somewhere");
    let is_somewhere = context.memory(|memory| memory.focused().is_some());
    let was_somewhere = context.data_mut(|data| {
        let was: bool = data.get_temp(focus).unwrap_or_default();
        data.insert_temp(focus, is_somewhere);
        was
    });
    let stays = was_somewhere && desk.gesture == Gesture::None && desk.menu.is_none();
    let usable = || {
        let usable = ALL.iter().filter(move |known| known.is_for(mode));
        usable.filter(move |known| known.action != Action::Leave || !stays)
    };
    context.input_mut(|input| {
        if input.consume_shortcut(&SEARCH) {
            found.push(Action::Search);
        }
        for with in [true, false] {
            for known in usable() {
                if let Some(key) = known.key.filter(|key| key.modifiers.any() == with)
                    && input.consume_shortcut(&key)
                {
                    found.push(known.action);
                }
            }
        }
        if mode == Mode::Draw && input.consume_key(Modifiers::NONE, Key::Backspace) {
            found.push(Action::Delete);
        }
    });
    found
}

/// Actions whose names hold all words of a search, in the order of the list, each once.
#[must_use]
pub fn found(search: &str, mode: Mode) -> Vec<&'static Known> {
    let words: Vec<String> = search.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let mut seen: Vec<Action> = vec![];
    ALL.iter()
        .filter(|known| known.is_for(mode))
        .filter(|known| words.iter().all(|word| known.name.to_lowercase().contains(word)))
        .filter(|known| {
            let fresh = !seen.contains(&known.action);
            seen.push(known.action);
            fresh
        })
        .collect()
}

/// Whether an action can be done with what is picked.
#[must_use]
pub fn makes_sense(action: Action, desk: &Desk) -> bool {
    match action {
        Action::Delete => !desk.picks.is_empty(),
        Action::Duplicate => desk.picks.iter().any(|pick| !matches!(pick, Pick::Contact(..) | Pick::Mouth(..))),
        Action::MirrorSideways | Action::MirrorLengthways => {
            desk.picks.iter().any(|pick| !matches!(pick, Pick::Opening(..) | Pick::Contact(..) | Pick::Mouth(..)))
        }
        _ => true,
    }
}

/// The edit of an action on what is picked, for actions that are one.
#[must_use]
pub fn edit_of(action: Action, desk: &Desk, scene: &Scene, storey: usize) -> Option<Edit> {
    let drawn = scene.storeys.get(storey)?;
    let picks = || desk.picks.clone();
    Some(match action {
        Action::Delete if !desk.picks.is_empty() => Edit::Delete(picks()),
        Action::Duplicate if !desk.picks.is_empty() => {
            Edit::Duplicate { picks: picks(), by: edit::beside(scene, &desk.picks) }
        }
        Action::MirrorSideways => Edit::Mirror { picks: picks(), sideways: true },
        Action::MirrorLengthways => Edit::Mirror { picks: picks(), sideways: false },
        Action::CopyUp => Edit::CopyUp(drawn.id.clone()),
        Action::AddStorey => Edit::AddStorey,
        Action::NoPicture if drawn.underlay.is_some() => {
            Edit::Put(Item::Storey(StoreyHead { underlay: None, ..StoreyHead::of(drawn) }))
        }
        Action::RemoveStorey => Edit::RemoveStorey(drawn.id.clone()),
        _ => return None,
    })
}

/// Everything on a storey.
#[must_use]
pub fn all_of(scene: &Scene, storey: usize) -> Vec<Pick> {
    let far = f64::MAX.sqrt();
    super::hit::within(scene, storey, [[-far, -far], [far, far]])
}

/// Gives up the gesture, or else lets go of what is picked, or else takes the hand again. True when a gesture was given up.
pub fn leave(desk: &mut Desk) -> bool {
    if desk.menu.take().is_some() {
        false
    } else if desk.gesture != Gesture::None {
        desk.stop();
        true
    } else if !desk.picks.is_empty() {
        desk.picks.clear();
        false
    } else {
        desk.tool = Tool::Hand;
        false
    }
}
