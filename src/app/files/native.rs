//! The desktop's own file dialogs, where it offers any.
//!
//! On Linux they are reached through the desktop portal, a service on the session bus. Where there is none (a bare window manager, a
//! container) the window shows a list of its own instead; see [`super::listing`].

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// A dialog that answers sooner than anybody can has never been on the screen.
const TOO_SOON: Duration = Duration::from_millis(250);

/// Scene files, as a dialog names them.
const SCENE: (&str, &[&str]) = ("Leaklight scene", &["ron"]);

/// What a dialog came back with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Picked {
    File(PathBuf),
    /// Nothing: the user thought better of it.
    Nothing,
    /// There was no dialog.
    NoDialog,
}

/// Whether the desktop seems to offer dialogs. Asked before, since a dialog that cannot be shown looks like one that was closed.
pub fn is_offered() -> bool {
    #[cfg(target_os = "linux")]
    {
        let var = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
        let bus = var("DBUS_SESSION_BUS_ADDRESS").is_some()
            || var("XDG_RUNTIME_DIR").is_some_and(|folder| Path::new(&folder).join("bus").exists());
        let shared = var("XDG_DATA_DIRS").unwrap_or_else(|| "/usr/local/share:/usr/share".into());
        let service = "dbus-1/services/org.freedesktop.portal.Desktop.service";
        bus && std::env::split_paths(&shared).any(|folder| folder.join(service).exists())
    }
    #[cfg(not(target_os = "linux"))]
    {
        true
    }
}

fn dialog(title: &str, folder: Option<&Path>, (kind, endings): (&str, &[&str])) -> rfd::FileDialog {
    let dialog = rfd::FileDialog::new().set_title(title).add_filter(kind, endings);
    match folder {
        Some(folder) => dialog.set_directory(folder),
        None => dialog,
    }
}

fn picked(pick: impl FnOnce() -> Option<PathBuf>) -> Picked {
    let begun = Instant::now();
    match pick() {
        Some(path) => Picked::File(path),
        None if begun.elapsed() < TOO_SOON => Picked::NoDialog,
        None => Picked::Nothing,
    }
}

/// Asks for a file to open. Waits for the answer: never call it on the main thread.
pub fn open(folder: Option<&Path>) -> Picked {
    picked(|| dialog("Open a scene", folder, SCENE).pick_file())
}

/// Asks for a picture to trace. Waits for the answer: never call it on the main thread.
pub fn picture(folder: Option<&Path>) -> Picked {
    picked(|| dialog("A floor plan to trace", folder, ("Picture", &["png", "jpg", "jpeg"])).pick_file())
}

/// Asks for a file to save in. Waits for the answer: never call it on the main thread.
pub fn save(folder: Option<&Path>, name: &str) -> Picked {
    picked(|| dialog("Save the scene", folder, SCENE).set_file_name(name).save_file())
}
