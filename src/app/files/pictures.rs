//! Pictures to trace: dropped onto the window, or picked where the desktop offers a dialog.

use std::path::{Path, PathBuf};

use bevy::prelude::*;
use bevy::window::FileDragAndDrop;

use crate::app::background::Inbox;
use crate::app::document::Document;
use crate::app::editor::state::{Editor, Mode, Tool};
use crate::app::files::native;
use crate::app::view::View;
use crate::edit::{Edit, Item};
use crate::scene::{Storey, Underlay};

/// Width a picture has until it is scaled, m: that of a small house.
const FIRST_WIDTH_M: f64 = 10.0;

/// Pictures picked in a dialog arrive here.
#[derive(Resource, Default)]
pub struct Pictures(Inbox<PathBuf>);

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Pictures>().add_systems(Update, place);
}

impl Pictures {
    /// Asks for a picture; false where there is no dialog to ask with.
    pub fn ask(&self, folder: Option<PathBuf>, wake: impl Fn() + Send + 'static) -> bool {
        if !native::is_offered() {
            return false;
        }
        self.0.spawn(wake, move || match native::picture(folder.as_deref()) {
            native::Picked::File(path) => Some(path),
            _ => None,
        });
        true
    }
}

fn is_picture(path: &Path) -> bool {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    ending.is_some_and(|ending| ["png", "jpg", "jpeg"].contains(&ending.as_str()))
}

/// Lays a dropped or picked picture under the storey in sight, and hands over the tool that scales it.
fn place(
    mut messages: MessageReader<FileDragAndDrop>,
    mut pictures: ResMut<Pictures>,
    mut document: ResMut<Document>,
    mut editor: ResMut<Editor>,
    view: Res<View>,
) {
    let dropped = messages.read().filter_map(|message| match message {
        FileDragAndDrop::DroppedFile { path_buf, .. } if is_picture(path_buf) => Some(path_buf.clone()),
        _ => None,
    });
    let Some(path) = dropped.chain(pictures.0.arrived()).last() else { return };
    let Some(scene) = document.standing().cloned() else { return };
    let Some(storey) = scene.storeys.get(view.storey_in(&scene)) else { return };
    // Beside the scene file a picture is named as seen from there, so that both can be moved together.
    let folder = document.folder();
    let file = folder.as_deref().and_then(|folder| path.strip_prefix(folder).ok()).unwrap_or(&path);
    let low = |axis: usize| storey.nodes.iter().map(|node| node.at[axis]).fold(f64::INFINITY, f64::min);
    let at = [low(0), low(1)].map(|value| if value.is_finite() { value } else { 0.0 });
    let width_m = FIRST_WIDTH_M;
    let underlay = Underlay { file: file.to_string_lossy().into_owned(), at, width_m, strength: 0.5 };
    let storey = Storey { underlay: Some(underlay), ..storey.clone() };
    match document.edit(&[Edit::Put(Item::Storey(storey))]) {
        Ok(_) => {
            editor.mode = Mode::Draw;
            editor.take(Tool::Scale);
        }
        Err(refused) => editor.refuse(refused.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pictures_are_known_by_their_ending() {
        assert!(is_picture(Path::new("plan.PNG")) && is_picture(Path::new("a/plan.jpeg")));
        assert!(!is_picture(Path::new("house.ron")) && !is_picture(Path::new("plan")));
    }
}
