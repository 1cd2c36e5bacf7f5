//! Where the window keeps what it must remember: a folder of the user's, or one named by an environment variable (tests do).

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::scene::whole;

/// Names the folder instead of the user's own.
pub const VARIABLE: &str = "LEAKLIGHT_STATE";
const REMEMBERED: &str = "window.ron";
const MOST_RECENT: usize = 10;

/// The folder for what is remembered. Nothing where there is no home: then nothing is.
pub fn state_folder() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os(VARIABLE).filter(|named| !named.is_empty()) {
        return Some(PathBuf::from(named));
    }
    let own = directories::ProjectDirs::from("", "", "leaklight")?;
    Some(own.state_dir().unwrap_or_else(|| own.data_local_dir()).to_owned())
}

/// What is remembered from one session to the next.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Remembered {
    /// Files opened or saved, the latest first.
    pub recent: Vec<PathBuf>,
    /// True once the hints were seen or closed.
    pub hints_seen: bool,
}

/// Folders where unsaved work may be kept when the usual one cannot be written: in the user's documents, at home, among temporary files.
pub fn other_folders() -> Vec<PathBuf> {
    let user = directories::UserDirs::new();
    let documents = user.as_ref().and_then(|user| user.document_dir().map(Path::to_owned));
    let home = user.map(|user| user.home_dir().to_owned());
    let all = [documents, home, Some(std::env::temp_dir())];
    all.into_iter().flatten().map(|folder| folder.join("leaklight-unsaved")).collect()
}

impl Remembered {
    /// What a folder says. A file that cannot be read is as none: it holds nothing that could not be lost.
    pub fn read(folder: Option<&Path>) -> Self {
        let text = folder.and_then(|folder| std::fs::read_to_string(folder.join(REMEMBERED)).ok());
        text.and_then(|text| ron::from_str(&text).ok()).unwrap_or_default()
    }

    /// Writes it into a folder, whole or not at all.
    ///
    /// # Errors
    ///
    /// When the folder cannot be made or written to.
    pub fn write(&self, folder: &Path) -> std::io::Result<()> {
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::new().new_line("\n"))
            .map_err(std::io::Error::other)?;
        write_whole(&folder.join(REMEMBERED), &text)
    }

    pub fn used(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.recent.retain(|known| *known != path);
        self.recent.insert(0, path);
        self.recent.truncate(MOST_RECENT);
    }
}

/// Writes a small file whole or not at all; makes its folder.
pub(super) fn write_whole(path: &Path, text: &str) -> std::io::Result<()> {
    std::fs::create_dir_all(path.parent().unwrap_or(Path::new(".")))?;
    whole::replace(path, text.as_bytes(), None)
}
