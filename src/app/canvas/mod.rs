//! The plan: described by [`crate::output::plan()`], painted as one mesh by the GPU, its letters by egui.

mod areas;
mod cut;
mod frame;
mod hover;
mod legend;
mod letters;
mod over;
mod scale_bar;
mod sheets;
mod storeys;
pub mod tessellate;
mod ui;

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use bevy_egui::EguiPostUpdateSet;

use super::Stage;
use super::solving::{CurrentAnswer, Solved};
use super::theme;
use super::view::{Base, Compare, View};
use crate::catalogue::Catalogue;
use crate::output::changes::Changes;
use crate::output::drawing::{Drawing, Form, Part, Point};
use crate::output::{Glow, Leaks, PlanView, Variant, lettering, plan};

pub use frame::Frame;
pub use legend::legend_ui;
pub use letters::paint as paint_letters;
pub use over::telling_cut;
pub use sheets::{SectionFrame, Sheet, Sheets};
pub use storeys::storeys_ui;
pub use ui::{CanvasAnswer, CanvasView, canvas_ui};

/// The plan as it is drawn now.
#[derive(Debug, Clone, Default, Resource)]
pub struct CurrentDrawing {
    /// Its shapes; nothing when there is no answer, no listener or no storey.
    pub drawing: Option<Drawing>,
    /// Lower left and upper right corner of the plan with its dimensions, without what stands beside it, m.
    pub extent: (Point, Point),
    /// What the plan is coloured by.
    pub glow: Option<Glow>,
    /// The shares that stand behind it.
    pub leaks: Option<Leaks>,
    /// Names that found no room in it.
    pub unplaced: Vec<String>,
    /// Counts the drawings.
    pub revision: u64,
    /// Revision of the document it shows.
    pub of: u64,
    /// Size of its ordinary letters, m; 0 before the first drawing.
    pub letter_m: f64,
}

/// Size of the plan's ordinary letters on the screen, logical pixels.
const LETTER: f64 = 11.5;
/// By how much they may be larger or smaller before the plan is drawn anew, as a factor.
const LETTER_SLACK: f64 = 1.2;

fn letter_fits(letter_m: f64, frame: &Frame) -> bool {
    let off = letter_m * frame.px_per_m / LETTER;
    (1.0 / LETTER_SLACK..LETTER_SLACK).contains(&off)
}

/// True when zooming has made the letters too large or too small.
fn letters_are_off(drawn: Res<CurrentDrawing>, frame: Res<Frame>) -> bool {
    drawn.drawing.is_some() && !letter_fits(drawn.letter_m, &frame)
}

/// The mesh of the plan. Its transform lays metres on pixels.
#[derive(Component)]
struct PlanMesh;

/// What the mesh was made of: the drawing, and the thinnest line in it.
#[derive(Default)]
struct Made {
    revision: u64,
    least_width_m: f64,
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Frame>()
        .init_resource::<CurrentDrawing>()
        .init_resource::<Sheets>()
        .init_resource::<SectionFrame>()
        .add_systems(Startup, set_up)
        .add_systems(
            Update,
            describe
                .run_if(
                    resource_changed::<CurrentAnswer>
                        .or_else(resource_changed::<View>)
                        .or_else(resource_changed::<Base>)
                        .or_else(letters_are_off),
                )
                .in_set(Stage::Draw),
        )
        .add_systems(
            Update,
            sheets::describe_sheets
                .run_if(
                    resource_changed::<CurrentAnswer>
                        .or_else(resource_changed::<View>)
                        .or_else(resource_changed::<Base>)
                        .or_else(sheets::sheets_are_off),
                )
                .after(describe)
                .in_set(Stage::Draw),
        )
        // After egui's pass, which moves the plan and paints its letters: both then move in the same frame.
        .add_systems(
            PostUpdate,
            (paint, lay).chain().after(EguiPostUpdateSet::EndPass).before(TransformSystems::Propagate),
        );
}

fn set_up(
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
        Mesh2d(meshes.add(mesh_of(tessellate::Triangles::default()))),
        MeshMaterial2d(materials.add(ColorMaterial {
            color: Color::WHITE,
            alpha_mode: bevy::sprite_render::AlphaMode2d::Blend,
            ..Default::default()
        })),
        NoFrustumCulling,
    ));
}

fn describe(
    current: Res<CurrentAnswer>,
    base: Res<Base>,
    view: Res<View>,
    frame: Res<Frame>,
    mut drawn: ResMut<CurrentDrawing>,
    mut clear: ResMut<ClearColor>,
) {
    let sheet = view.theme.quiet().sheet;
    clear.0 = Color::srgb_u8(sheet.r, sheet.g, sheet.b);
    let (revision, of) = (drawn.revision + 1, current.revision);
    // Names and dimensions lie a little differently in each view; the plan must not jump for that.
    let letter_m = if letter_fits(drawn.letter_m, &frame) { drawn.letter_m } else { LETTER / frame.px_per_m };
    let same = drawn.of == of && drawn.letter_m == letter_m && drawn.drawing.is_some();
    let before = same.then_some(drawn.extent);
    *drawn = current
        .solved
        .as_ref()
        .and_then(|solved| {
            let kept = base.0.as_deref();
            let plan_view = view.plan(solved, kept)?;
            let (drawing, unplaced, glow) =
                drawn_of(solved, kept.filter(|_| view.compare == Compare::Change), &plan_view, letter_m);
            let extent = before.into_iter().fold(extent(&drawing), |(min, max), (low, high)| {
                ([0, 1].map(|axis| low[axis].min(min[axis])), [0, 1].map(|axis| high[axis].max(max[axis])))
            });
            Some(CurrentDrawing {
                drawing: Some(drawing),
                extent,
                leaks: Some(glow.leaks().clone()),
                glow: Some(glow),
                unplaced,
                revision,
                of,
                letter_m,
            })
        })
        .unwrap_or(CurrentDrawing { revision, of, letter_m, ..CurrentDrawing::default() });
}

pub(super) fn variant(solved: &Solved) -> Variant<'_> {
    Variant { scene: &solved.scene, building: &solved.building, answer: &solved.answer }
}

/// The plan with its letters, and what lights it: the change from what was kept, where that is given.
fn drawn_of(solved: &Solved, base: Option<&Solved>, view: &PlanView, letter_m: f64) -> (Drawing, Vec<String>, Glow) {
    let catalogue = Catalogue::built_in_ref();
    let heard = &solved.answer.listeners[view.listener];
    let before = base.and_then(|base| {
        let before = base.answer.listeners.iter().find(|before| before.listener == heard.listener)?;
        Some((base, before))
    });
    match before {
        Some((base, before)) => {
            let (drawing, unplaced) = plan::difference(catalogue, variant(base), variant(solved), view, Some(letter_m));
            let changes = Changes::of((&base.building, before), (&solved.building, heard), view.band, view.by);
            (drawing, unplaced, Glow::difference(changes, heard, view.band, view.by, view.theme))
        }
        None => {
            let (drawing, unplaced) = plan::lettered(catalogue, variant(solved), view, Some(letter_m));
            (drawing, unplaced, view.glow(heard))
        }
    }
}

/// The corners of everything but what stands beside the plan.
fn extent(drawing: &Drawing) -> (Point, Point) {
    let (mut min, mut max) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    let mut include = |point: Point, reach: [f64; 2]| {
        for axis in 0..2 {
            min[axis] = min[axis].min(point[axis] - reach[axis]);
            max[axis] = max[axis].max(point[axis] + reach[axis]);
        }
    };
    for shape in drawing.shapes.iter().filter(|shape| shape.part != Part::Sheet) {
        match &shape.form {
            Form::Polygon { rings, .. } => rings.iter().flatten().for_each(|point| include(*point, [0.0; 2])),
            Form::Line { points, stroke } => points.iter().for_each(|point| include(*point, [stroke.width_m / 2.0; 2])),
            Form::Circle { centre, radius_m, .. } => include(*centre, [*radius_m; 2]),
            // Wide enough whichever end the anchor is, or nearly: names stand in or beside what is counted already.
            Form::Text { at, text, size_m, rotation_deg, .. } => {
                let half = lettering::width(text) * size_m / 2.0;
                let turned = rotation_deg.to_radians();
                let reach = [half * turned.cos().abs() + 0.5 * size_m, half * turned.sin().abs() + 0.5 * size_m];
                include(*at, reach);
            }
        }
    }
    if min[0].is_finite() { (min, max) } else { (drawing.min, drawing.max) }
}

/// Rebuilds the mesh when the drawing has changed, or when its thin lines would come out too thin or too thick.
fn paint(
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
    let triangles = drawn.drawing.as_ref().map(|drawing| tessellate::plan(drawing, pixel_m)).unwrap_or_default();
    for plan in &plans {
        if let Some(mut mesh) = meshes.get_mut(&plan.0) {
            *mesh = mesh_of(triangles.clone());
        }
    }
}

fn mesh_of(triangles: tessellate::Triangles) -> Mesh {
    let mut triangles = triangles;
    if triangles.indices.is_empty() {
        // The renderer takes no empty buffers: one triangle without extent.
        triangles =
            tessellate::Triangles { corners: vec![[0.0; 3]; 3], colours: vec![[0.0; 4]; 3], indices: vec![0, 1, 2] };
    }
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, triangles.corners)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, triangles.colours)
        .with_inserted_indices(Indices::U32(triangles.indices))
}

/// Lays the mesh where the frame says.
fn lay(frame: Res<Frame>, windows: Query<&Window>, mut plans: Query<&mut Transform, With<PlanMesh>>) {
    let Ok(window) = windows.single() else { return };
    let middle = frame.screen_from_plan([0.0, 0.0]);
    let at = Vec3::new(middle.x - window.width() / 2.0, window.height() / 2.0 - middle.y, 0.0);
    let scale = frame.px_per_m as f32;
    for mut transform in &mut plans {
        transform.set_if_neq(Transform::from_translation(at).with_scale(Vec3::new(scale, scale, 1.0)));
    }
}

/// A rounded box that floats over the plan.
fn floating(palette: &theme::Palette) -> bevy_egui::egui::Frame {
    bevy_egui::egui::Frame::new()
        .fill(palette.panel.gamma_multiply(0.94))
        .stroke(bevy_egui::egui::Stroke::new(1.0, palette.rule))
        .corner_radius(8)
        .inner_margin(bevy_egui::egui::Margin::symmetric(12, 9))
}
