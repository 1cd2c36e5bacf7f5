//! The window without a screen or a graphics adapter, for tests and benches: all of our systems, egui with its input systems, and Bevy's
//! messages written by hand as the desktop would have them sent. What is missing is the desktop itself (winit) and the renderer: the plan's mesh
//! is made but goes to no GPU.

use bevy::asset::AssetPlugin;
use bevy::camera::RenderTargetInfo;
use bevy::image::ImagePlugin;
use bevy::input::InputPlugin;
use bevy::input::keyboard::{Key, KeyboardInput};
use bevy::input::mouse::{MouseButtonInput, MouseScrollUnit, MouseWheel};
use bevy::input::{ButtonState, touch::TouchPhase};
use bevy::prelude::*;
use bevy::shader::Shader;
use bevy::transform::TransformPlugin;
use bevy::window::{CursorMoved, ExitCondition, PrimaryWindow, WindowEvent, WindowResolution};
use bevy_egui::EguiPreUpdateSet;

use super::document::Document;

/// The window on a document, so many logical pixels wide and high. Each call of [`App::update`] is a frame.
pub fn app(document: Document, wide: u32, high: u32) -> App {
    let mut app = App::new();
    let window = Window { resolution: WindowResolution::new(wide, high), ..Default::default() };
    app.add_plugins((
        MinimalPlugins,
        TransformPlugin,
        InputPlugin,
        WindowPlugin {
            primary_window: Some(window),
            exit_condition: ExitCondition::DontExit,
            close_when_requested: false,
            ..Default::default()
        },
        AssetPlugin::default(),
        ImagePlugin::default(),
    ));
    // The renderer's plugins would bring these.
    app.init_asset::<Mesh>().init_asset::<ColorMaterial>().init_asset::<Shader>().init_resource::<ClearColor>();
    super::window::add_egui(&mut app);
    app.add_systems(PreUpdate, aim.before(EguiPreUpdateSet::InitContexts));
    super::plugins(&mut app, document, super::files::Memories::None);
    app.finish();
    app.cleanup();
    app
}

/// Tells the camera how large the window is, which is otherwise the renderer's work.
fn aim(windows: Query<&Window, With<PrimaryWindow>>, mut cameras: Query<&mut Camera>) {
    let Ok(window) = windows.single() else { return };
    for mut camera in &mut cameras {
        let info = RenderTargetInfo { physical_size: window.physical_size(), scale_factor: window.scale_factor() };
        camera.computed.target_info = Some(info);
    }
}

/// Sends a message as the desktop would: by itself, and once more in the stream of everything that happens to the window.
fn send<M: Message + Clone>(app: &mut App, message: M)
where
    WindowEvent: From<M>,
{
    app.world_mut().write_message(WindowEvent::from(message.clone()));
    app.world_mut().write_message(message);
}

fn window(app: &mut App) -> Entity {
    let mut windows = app.world_mut().query_filtered::<Entity, With<PrimaryWindow>>();
    windows.single(app.world()).expect("the app has one window")
}

/// Moves the pointer to a place in the window, logical pixels.
pub fn point(app: &mut App, position: Vec2) {
    let window = window(app);
    send(app, CursorMoved { window, position, delta: None });
}

/// Presses a button of the mouse or lets go of it, where the pointer is.
pub fn button(app: &mut App, button: MouseButton, pressed: bool) {
    let window = window(app);
    send(app, MouseButtonInput { button, state: state(pressed), window });
}

/// Turns the wheel by so many lines, away from the user above 0.
pub fn wheel(app: &mut App, lines: f32) {
    let window = window(app);
    send(app, MouseWheel { unit: MouseScrollUnit::Line, x: 0.0, y: lines, window, phase: TouchPhase::Moved });
}

/// Presses a key or lets go of it. `logical` is what the keyboard's layout makes of it.
pub fn key(app: &mut App, code: KeyCode, logical: Key, pressed: bool) {
    let window = window(app);
    let message = KeyboardInput {
        key_code: code,
        logical_key: logical,
        state: state(pressed),
        text: None,
        repeat: false,
        window,
    };
    send(app, message);
}

fn state(pressed: bool) -> ButtonState {
    if pressed { ButtonState::Pressed } else { ButtonState::Released }
}
