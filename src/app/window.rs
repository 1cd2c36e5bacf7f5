//! The window itself: Bevy's own plugins, set up for a desktop program that rests while nothing happens.

use std::sync::Mutex;
use std::time::Duration;

use bevy::input::keyboard::{Key, KeyboardInput};
use bevy::log::{Level, LogPlugin};
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::settings::RenderCreation;
use bevy::window::{WindowResizeConstraints, WindowResolution};
use bevy::winit::{UpdateMode, WinitSettings};
use bevy_egui::{EguiInput, EguiInputSet, EguiPlugin, EguiPreUpdateSet, egui};

/// What the window opens with, logical pixels.
const OPENS_AT: (u32, u32) = (1440, 900);
/// Below this the panels no longer fit side by side, logical pixels.
const LEAST: (f32, f32) = (900.0, 620.0);

/// What these say about the machine (no XSETTINGS, a display of unknown size, a software driver) is of no use to the user.
const QUIET: &str = "wgpu=error,naga=error,winit=error,bevy_egui=error,bevy_render=error";

/// Everything of Bevy's and egui's that the window needs.
pub(super) struct WindowPlugins {
    /// The device found by [`super::display`]; taken when the renderer is built.
    graphics: Mutex<Option<RenderCreation>>,
    /// True when a picture is to be taken: the window then draws on until it is saved.
    shot: bool,
}

impl WindowPlugins {
    pub(super) fn new(graphics: RenderCreation, shot: bool) -> Self {
        Self { graphics: Mutex::new(Some(graphics)), shot }
    }
}

impl Plugin for WindowPlugins {
    fn build(&self, app: &mut App) {
        let graphics = self.graphics.lock().ok().and_then(|mut graphics| graphics.take()).unwrap_or_default();
        let window = Window {
            title: "Leaklight".to_owned(),
            name: Some("leaklight".to_owned()),
            resolution: WindowResolution::new(OPENS_AT.0, OPENS_AT.1),
            resize_constraints: WindowResizeConstraints {
                min_width: LEAST.0,
                min_height: LEAST.1,
                ..Default::default()
            },
            ..Default::default()
        };
        app.add_plugins(
            DefaultPlugins
                // Whether it closes is decided in `super::files`: something may be unsaved.
                .set(WindowPlugin { primary_window: Some(window), close_when_requested: false, ..Default::default() })
                .set(RenderPlugin { render_creation: graphics, ..Default::default() })
                .set(LogPlugin { level: Level::WARN, filter: QUIET.to_owned(), ..Default::default() }),
        );
        add_egui(app);
        // Draws after input, after a finished solve, and otherwise not at all.
        let resting = WinitSettings { focused_mode: rest(), unfocused_mode: rest() };
        app.insert_resource(if self.shot { WinitSettings::continuous() } else { resting });
    }
}

/// egui, kept from asking for frames that nobody needs.
pub(super) fn add_egui(app: &mut App) {
    app.add_plugins(EguiPlugin::default());
    let heard = let_rest.after(EguiPreUpdateSet::ProcessInput).before(EguiPreUpdateSet::BeginPass);
    let held = hold_in_order.after(EguiInputSet::WriteEguiEvents).before(let_rest);
    app.add_systems(PreUpdate, (held, heard));
}

/// Draws after input alone.
pub(super) fn rest() -> UpdateMode {
    UpdateMode::reactive_low_power(Duration::from_secs(3600))
}

/// bevy_egui gives all keys of a frame the modifiers that are held at its end: in a frame that takes long, a quick Ctrl+S would be a plain S. Here
/// each key gets those that were held when it was pressed.
fn hold_in_order(
    mut messages: MessageReader<KeyboardInput>,
    mut inputs: Query<&mut EguiInput>,
    mut held: Local<egui::Modifiers>,
) {
    let begun = *held;
    let mut keys: Vec<(bool, egui::Modifiers)> = vec![];
    let mut changed = false;
    for message in messages.read() {
        let pressed = message.state.is_pressed();
        match &message.logical_key {
            Key::Control => {
                held.ctrl = pressed;
                held.command = if cfg!(target_os = "macos") { held.mac_cmd } else { pressed };
            }
            Key::Shift => held.shift = pressed,
            Key::Alt => held.alt = pressed,
            Key::Super | Key::Meta if cfg!(target_os = "macos") => (held.mac_cmd, held.command) = (pressed, pressed),
            _ => {
                keys.push((pressed, *held));
                continue;
            }
        }
        changed |= *held != begun;
    }
    if !changed {
        // What bevy_egui says is right then, also after the window has lost the keyboard with a key held.
        for input in &inputs {
            for event in &input.events {
                if let egui::Event::Key { modifiers, .. } = event {
                    *held = *modifiers;
                }
            }
        }
        return;
    }
    for mut input in &mut inputs {
        let is_key = |event: &egui::Event| matches!(event, egui::Event::Key { .. });
        // A key egui does not know has no event; which is whose cannot be told then.
        if input.events.iter().filter(|event| is_key(event)).count() != keys.len() {
            continue;
        }
        let mut order = keys.iter();
        for event in &mut input.events {
            if let egui::Event::Key { modifiers, pressed, .. } = event
                && let Some((was_pressed, was_held)) = order.next()
                && pressed == was_pressed
            {
                *modifiers = *was_held;
            }
        }
        // Nothing is written with Ctrl held.
        if keys.iter().any(|(_, held)| held.ctrl && !held.alt) {
            input.events.retain(|event| !matches!(event, egui::Event::Text(_)));
        }
    }
}

/// bevy_egui tells egui in every frame which modifier keys are held. egui takes it for news and asks for one more frame, so that
/// the window would never come to rest: what is no news is dropped here.
fn let_rest(mut inputs: Query<&mut EguiInput>, mut held: Local<egui::Modifiers>) {
    for mut input in &mut inputs {
        let mut now = *held;
        input.events.retain(|event| match event {
            egui::Event::ModifiersChanged(modifiers) => std::mem::replace(&mut now, *modifiers) != *modifiers,
            egui::Event::WindowFocused(_) => {
                // egui forgets what is held then.
                now = egui::Modifiers::NONE;
                true
            }
            _ => true,
        });
        *held = now;
    }
}
