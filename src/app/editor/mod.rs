//! Where the building is drawn: tools, what is picked, the gesture under way. What a gesture asks for is an edit, and nothing else changes the scene.

pub mod gesture;
pub mod hit;
pub mod overlay;
pub mod state;
pub mod toolbox;
pub mod underlay;

use bevy::prelude::App;

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<state::Editor>();
}
