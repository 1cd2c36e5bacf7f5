//! A scene after some changes.

use crate::catalogue::Catalogue;
use crate::edit;
use crate::scene::{Edit, Scene};

/// The scene after some edits.
pub(super) fn changed(scene: &Scene, catalogue: &Catalogue, edits: &[Edit]) -> Result<Scene, String> {
    edits
        .iter()
        .try_fold(scene.clone(), |scene, edit| edit::apply(&scene, catalogue, edit).map_err(|why| why.to_string()))
}
