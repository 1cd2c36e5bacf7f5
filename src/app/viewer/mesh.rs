//! The plan as one mesh for the GPU, laid where the frame says.

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;

use crate::app::view::View;
use crate::app::viewer::drawing::CurrentDrawing;
use crate::app::viewer::frame::Frame;
use crate::app::viewer::tessellate::{Triangles, tessellate};

/// The mesh of the plan. Its transform lays metres on pixels.
#[derive(Component)]
pub struct PlanMesh;

/// What the mesh was made of: the drawing, and the thinnest line in it.
#[derive(Default)]
pub struct Made {
    revision: u64,
    least_width_m: f64,
}

pub fn set_up(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<ColorMaterial>>,
    view: Res<View>,
) {
    let sheet = view.theme.quiet().sheet;
    commands.insert_resource(ClearColor(Color::srgb_u8(sheet.r, sheet.g, sheet.b)));
    commands.spawn(Camera2d);
    commands.spawn((
        PlanMesh,
        Mesh2d(meshes.add(mesh_of(Triangles::default()))),
        MeshMaterial2d(materials.add(ColorMaterial {
            color: Color::WHITE,
            alpha_mode: bevy::sprite_render::AlphaMode2d::Blend,
            ..Default::default()
        })),
        NoFrustumCulling,
    ));
}

/// Rebuilds the mesh when the drawing has changed, or when its thin lines would come out too thin or too thick.
pub fn paint(
    drawn: Res<CurrentDrawing>,
    frame: Res<Frame>,
    mut made: Local<Made>,
    plans: Query<&Mesh2d, With<PlanMesh>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let pixel_m = 1.0 / frame.px_per_m;
    let off = made.least_width_m / pixel_m;
    if made.revision == drawn.revision && (0.7..1.4).contains(&off) {
        return;
    }
    *made = Made { revision: drawn.revision, least_width_m: pixel_m };
    let triangles = drawn.drawing.as_ref().map(|drawing| tessellate(drawing, pixel_m)).unwrap_or_default();
    for plan in &plans {
        if let Some(mut mesh) = meshes.get_mut(&plan.0) {
            *mesh = mesh_of(triangles.clone());
        }
    }
}

fn mesh_of(triangles: Triangles) -> Mesh {
    let mut triangles = triangles;
    if triangles.indices.is_empty() {
        // The renderer takes no empty buffers: one triangle without extent.
        triangles = Triangles { corners: vec![[0.0; 3]; 3], colours: vec![[0.0; 4]; 3], indices: vec![0, 1, 2] };
    }
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, triangles.corners)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, triangles.colours)
        .with_inserted_indices(Indices::U32(triangles.indices))
}

/// Lays the mesh where the frame says.
pub fn lay(frame: Res<Frame>, windows: Query<&Window>, mut plans: Query<&mut Transform, With<PlanMesh>>) {
    let Ok(window) = windows.single() else { return };
    let middle = frame.screen_from_plan([0.0, 0.0]);
    let at = Vec3::new(middle.x - window.width() / 2.0, window.height() / 2.0 - middle.y, 0.0);
    let scale = frame.px_per_m as f32;
    for mut transform in &mut plans {
        transform.set_if_neq(Transform::from_translation(at).with_scale(Vec3::new(scale, scale, 1.0)));
    }
}
