//! The plan and what is looked at with it: the section, what was kept to compare with, motes, legend and storeys; and the building shown to others.
//!
//! The plan is described by [`crate::output::plan()`] and painted as one mesh by the GPU, its letters by egui.

pub mod areas;
pub mod canvas;
pub mod canvas_view;
pub mod caption;
pub mod cut;
pub mod drawing;
pub mod floating;
pub mod frame;
pub mod hover;
pub mod legend;
pub mod letters;
pub mod mesh;
pub mod particle_controls;
pub mod particle_paint;
pub mod particles;
pub mod present;
pub mod saved_views;
pub mod side_drawings;
pub mod storeys;
pub mod tessellate;

use bevy::prelude::*;
use bevy_egui::EguiPostUpdateSet;

use crate::app::solving::CurrentAnswer;
use crate::app::stage::Stage;
use crate::app::view::{Baseline, View};
use crate::app::viewer::drawing::CurrentDrawing;
use crate::app::viewer::frame::Frame;
use crate::app::viewer::present::Present;
use crate::app::viewer::side_drawings::{SectionFrame, SideDrawings};

pub(super) fn plugin(app: &mut App) {
    let changed =
        || resource_changed::<CurrentAnswer>.or_else(resource_changed::<View>).or_else(resource_changed::<Baseline>);
    app.init_resource::<Frame>()
        .init_resource::<CurrentDrawing>()
        .init_resource::<SideDrawings>()
        .init_resource::<SectionFrame>()
        .init_resource::<Present>()
        .add_plugins(particles::plugin)
        .add_systems(Startup, mesh::set_up)
        .add_systems(
            Update,
            (
                drawing::describe.run_if(changed().or_else(drawing::letters_are_off)),
                side_drawings::describe.run_if(changed().or_else(side_drawings::letters_are_off)),
            )
                .chain()
                .in_set(Stage::Draw),
        )
        // After egui's pass, which moves the plan and paints its letters: both then move in the same frame.
        .add_systems(
            PostUpdate,
            (mesh::paint, mesh::lay).chain().after(EguiPostUpdateSet::EndPass).before(TransformSystems::Propagate),
        );
}
