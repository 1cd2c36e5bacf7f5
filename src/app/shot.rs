//! Takes a picture of the window once the answer is drawn, then closes it.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use bevy::app::AppExit;
use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};

use bevy_egui::EguiGlobalSettings;

use super::display::NoWindow;
use super::document::Document;
use super::solving::CurrentAnswer;

/// Frames drawn after the answer has arrived: pipelines are built and letters put on the GPU meanwhile.
const SETTLE: u32 = 12;
/// After this a picture is given up.
const PATIENCE: Duration = Duration::from_secs(120);

#[derive(Debug, Clone, Default, Resource)]
pub(super) struct Failure(Arc<Mutex<Option<NoWindow>>>);

impl Failure {
    fn set(&self, path: &std::path::Path, why: impl Into<String>) {
        let failure = NoWindow::NoShot { path: path.to_owned(), why: why.into() };
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some(failure);
    }

    pub(super) fn into_result(self) -> Result<(), NoWindow> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).take().map_or(Ok(()), Err)
    }
}

#[derive(Resource)]
struct Shot {
    path: PathBuf,
    drawn: u32,
    begun: Instant,
}

pub(super) fn plugin(app: &mut App, path: PathBuf, failure: Failure) {
    failure.set(&path, "the window was closed before it was drawn");
    // Wherever the pointer happens to rest, it is not part of the picture.
    app.world_mut()
        .resource_mut::<EguiGlobalSettings>()
        .input_system_settings
        .run_write_window_pointer_moved_messages = false;
    app.insert_resource(Shot { path, drawn: 0, begun: Instant::now() })
        .insert_resource(failure)
        .add_systems(Last, take);
}

fn take(
    mut commands: Commands,
    mut shot: ResMut<Shot>,
    current: Res<CurrentAnswer>,
    document: Res<Document>,
    failure: Res<Failure>,
    mut exit: MessageWriter<AppExit>,
) {
    if shot.begun.elapsed() > PATIENCE {
        failure.set(&shot.path, "it took too long");
        exit.write(AppExit::error());
    }
    if current.revision != document.revision {
        return;
    }
    shot.drawn += 1;
    if shot.drawn == SETTLE {
        commands.spawn(Screenshot::primary_window()).observe(save);
    }
}

fn save(captured: On<ScreenshotCaptured>, shot: Res<Shot>, failure: Res<Failure>, mut exit: MessageWriter<AppExit>) {
    let picture = captured.image.clone().try_into_dynamic().map_err(|error| error.to_string());
    match picture.and_then(|picture| picture.to_rgb8().save(&shot.path).map_err(|error| error.to_string())) {
        Ok(()) => {
            let _saved = failure.clone().into_result();
            exit.write(AppExit::Success);
        }
        Err(why) => {
            failure.set(&shot.path, why);
            exit.write(AppExit::error());
        }
    }
}
