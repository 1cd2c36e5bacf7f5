//! The window itself: Bevy's own plugins, set up for a desktop program that rests while nothing happens.

use std::sync::Mutex;
use std::time::Duration;

use bevy::log::{Level, LogPlugin};
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::settings::RenderCreation;
use bevy::window::{WindowResizeConstraints, WindowResolution};
use bevy::winit::{UpdateMode, WinitSettings};
use bevy_egui::{EguiInput, EguiPlugin, EguiPreUpdateSet, egui};

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
        app.insert_resource(if self.shot { WinitSettings::continuous() } else { resting() });
    }
}

/// egui, kept from asking for frames that nobody needs.
pub(super) fn add_egui(app: &mut App) {
    app.add_plugins(EguiPlugin::default());
    let heard = let_rest.after(EguiPreUpdateSet::ProcessInput).before(EguiPreUpdateSet::BeginPass);
    app.add_systems(PreUpdate, heard);
}

/// Draws after input, after a finished solve, and otherwise not at all.
fn resting() -> WinitSettings {
    WinitSettings { focused_mode: rest(), unfocused_mode: rest() }
}

/// Draws after input alone.
pub(super) fn rest() -> UpdateMode {
    UpdateMode::reactive_low_power(Duration::from_secs(3600))
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
