//! The canvas while the building is drawn: the plan below, and over it corners, what is picked, and the gesture under way.

use std::path::Path;

use bevy_egui::egui::{
    Align2, Color32, CursorIcon, Painter, PointerButton, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, Vec2,
};

use crate::app::command::Command;
use crate::app::editor::gesture::{Pointer, ghost, handle};
use crate::app::editor::hit::{
    extent, is_on, line_of, loose_contacts, middle_of, opening_ends, pick_of, place_of, under,
};
use crate::app::editor::state::{Editor, Gesture, Tool, thickness_m};
use crate::app::theme::{Palette, font, size};
use crate::app::viewer::drawing::CurrentDrawing;
use crate::app::viewer::frame::Frame;
use crate::app::viewer::letters::paint_letters;
use crate::app::widgets::empty;
use crate::building::{Building, ElementShape, Enclosed, SpaceKind};
use crate::edit::distance;
use crate::edit::snap::Caught;
use crate::edit::{Pick, Point, ends};
use crate::output::Theme;
use crate::output::length::{Units, area, write};
use crate::scene::{Problem, RoomId, Scene, Severity, Storey, Thing, Wall, WallId};

/// How near the pointer must be to a thing, logical pixels.
const REACH: f32 = 9.0;
/// What stays free round a fitted plan, logical pixels: left, right, top, bottom.
const MARGINS: [f32; 4] = [76.0, 60.0, 60.0, 84.0];

/// What is drawn upon.
#[derive(Clone, Copy)]
pub struct EditorView<'a> {
    pub scene: &'a Scene,
    /// The storey, its position.
    pub storey: usize,
    /// What its walls enclose, but for the gesture under way.
    pub spaces: &'a [Enclosed],
    /// The plan with its leaks, when it shows this scene.
    pub drawn: Option<&'a CurrentDrawing>,
    /// Folder of the scene file, where pictures lie.
    pub folder: Option<&'a Path>,
    /// The building that was found, when it is this scene's.
    pub building: Option<&'a Building>,
    pub problems: &'a [Problem],
    pub theme: Theme,
    pub units: Units,
}

pub fn editor_ui(ui: &mut Ui, frame: &mut Frame, editor: &mut Editor, view: &EditorView) -> Vec<Command> {
    let palette = Palette::of(view.theme);
    let rect = ui.available_rect_before_wrap();
    let response = ui.interact(rect, ui.id().with("editor"), Sense::click_and_drag());
    frame.rect = rect;
    let Some(drawn) = view.scene.storeys.get(view.storey) else { return vec![] };
    let window = ui.ctx().viewport_rect().size();
    if frame.fitted || frame.fitted_in.is_some_and(|size| size != window) {
        let (low, high) = extent(drawn).unwrap_or(([-1.0, -1.0], [9.0, 7.0]));
        frame.fit(low, high, MARGINS);
        // While one draws the plan must stay where it is, whatever is drawn and whichever panel opens beside it: only a window of another size moves it.
        frame.fitted = false;
        frame.fitted_in = Some(window);
    }
    let painter = ui.painter_at(rect);
    let reach_m = f64::from(REACH) / frame.px_per_m;
    let (space, modifiers) = ui.input(|input| (input.key_down(bevy_egui::egui::Key::Space), input.modifiers));
    let panning = response.dragged_by(PointerButton::Middle) || (space && response.dragged_by(PointerButton::Primary));
    if panning {
        frame.drag(response.drag_delta());
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    }
    let inside = response.hover_pos().or_else(|| response.interact_pointer_pos());
    frame.zoom_by_wheel(ui, inside);
    let mut commands = vec![];
    if let Some(place) = inside.filter(|_| !panning && !space) {
        let (pressed, down, released) = ui.input(|input| {
            (input.pointer.primary_pressed(), input.pointer.primary_down(), input.pointer.primary_released())
        });
        let pointer = Pointer {
            at: frame.plan_from_screen(place),
            pressed: pressed && response.contains_pointer(),
            down,
            released,
            double: response.double_clicked(),
            shift: modifiers.shift,
            free: modifiers.alt,
            reach_m,
        };
        commands = handle(editor, view.scene, view.storey, view.spaces, &pointer);
        if response.secondary_clicked() {
            commands.extend(secondary(editor, view, place, &pointer));
        }
    } else {
        editor.at = None;
    }

    if let Some(underlay) = &drawn.underlay {
        let folder = view.folder.unwrap_or(Path::new("."));
        if let Err(why) = editor.pictures.paint(&painter, frame, underlay, folder) {
            editor.refuse(why);
        }
    }
    let paint = Paint { painter: &painter, frame, palette: &palette, view, drawn };
    match view.drawn.and_then(|drawn| drawn.drawing.as_ref()) {
        Some(drawing) => {
            paint_letters(&painter, frame, drawing);
            paint.free_walls();
        }
        None => {
            grid(&painter, frame, &palette);
            paint.bare_plan();
        }
    }
    paint.below();
    paint.corners(editor);
    let hovered = inside
        .filter(|_| editor.gesture == Gesture::None && editor.tool == Tool::Hand)
        .and_then(|place| under(view.scene, view.storey, view.spaces, frame.plan_from_screen(place), reach_m));
    if let Some(pick) = hovered.as_ref().filter(|pick| !editor.picks.contains(pick)) {
        paint.pick(pick, palette.ink.gamma_multiply(0.55), 2.0);
        let icon = if matches!(pick, Pick::Room(..)) { CursorIcon::Default } else { CursorIcon::PointingHand };
        ui.ctx().set_cursor_icon(icon);
    }
    for pick in &editor.picks {
        paint.pick(pick, palette.listener, 2.5);
    }
    paint.loose_contacts(editor, reach_m);
    if let [Pick::Wall(_, id)] = &editor.picks[..]
        && let Some(wall) = drawn.walls.iter().find(|wall| wall.id == *id)
        && let Some(line) = ends(drawn, wall)
    {
        paint.tell_wall(line, "");
    }
    paint.gesture(editor, inside.map(|place| frame.plan_from_screen(place)), reach_m);
    if drawn.walls.is_empty() && editor.gesture == Gesture::None {
        let advice = "Press R and draw a room, or let New ask you a few questions.";
        empty(ui, &palette, rect, "Nothing is drawn here yet", advice);
    }
    paint.problems(view.problems);
    if editor.tool != Tool::Hand && inside.is_some() {
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    }
    commands
}

/// The other button: ends what is being drawn, or picks what is under it and opens its menu.
fn secondary(editor: &mut Editor, view: &EditorView, place: Pos2, pointer: &Pointer) -> Vec<Command> {
    if editor.gesture != Gesture::None {
        editor.stop();
        return vec![Command::CancelPreview];
    }
    if let Some(pick) = under(view.scene, view.storey, view.spaces, pointer.at, pointer.reach_m)
        && !editor.picks.contains(&pick)
    {
        editor.picks = vec![pick];
    }
    editor.menu = Some([place.x, place.y]);
    vec![]
}

/// A faint line every metre, or every five or ten where metres would be too close.
fn grid(painter: &Painter, frame: &Frame, palette: &Palette) {
    let step_m = [1.0, 5.0, 10.0, 50.0].into_iter().find(|step| step * frame.px_per_m > 24.0).unwrap_or(100.0);
    let stroke = Stroke::new(1.0, palette.rule.gamma_multiply(0.45));
    let low = frame.plan_from_screen(frame.rect.left_bottom());
    let high = frame.plan_from_screen(frame.rect.right_top());
    let lines = |axis: usize| {
        let (first, last) = ((low[axis] / step_m).ceil() as i64, (high[axis] / step_m).floor() as i64);
        (first..=last).map(move |at| at as f64 * step_m)
    };
    for x in lines(0) {
        painter.vline(frame.screen_from_plan([x, 0.0]).x, frame.rect.y_range(), stroke);
    }
    for y in lines(1) {
        painter.hline(frame.rect.x_range(), frame.screen_from_plan([0.0, y]).y, stroke);
    }
}

struct Paint<'a> {
    painter: &'a Painter,
    frame: &'a Frame,
    palette: &'a Palette,
    view: &'a EditorView<'a>,
    drawn: &'a Storey,
}

impl Paint<'_> {
    fn place(&self, point: Point) -> Pos2 {
        self.frame.screen_from_plan(point)
    }

    /// The storey beneath, as faint lines: where walls stand on walls.
    fn below(&self) {
        let scene = self.view.scene;
        let Some(beneath) = self.view.storey.checked_sub(1).and_then(|at| scene.storeys.get(at)) else { return };
        let stroke = Stroke::new(1.0, self.palette.soft_ink.gamma_multiply(0.35));
        for line in beneath.walls.iter().filter_map(|wall| ends(beneath, wall)) {
            self.painter.extend(Shape::dashed_line(&line.map(|end| self.place(end)), stroke, 5.0, 5.0));
        }
    }

    /// A wall as thick as it is, and at least so many pixels.
    fn wall(&self, wall: &Wall, least: f32) {
        let Some(line) = ends(self.drawn, wall) else { return };
        let wide = (thickness_m(self.view.scene, &wall.construction) * self.frame.px_per_m) as f32;
        self.painter.line_segment(line.map(|end| self.place(end)), Stroke::new(wide.max(least), self.palette.hovered));
    }

    /// Walls that divide nothing are no part of the building, and are seen all the same.
    fn free_walls(&self) {
        let divides = |wall: &Wall| {
            self.view.building.is_some_and(|building| {
                building.elements.iter().any(|element| match &element.shape {
                    ElementShape::Wall { storey, walls, .. } => *storey == self.view.storey && walls.contains(&wall.id),
                    ElementShape::Slab { .. } => false,
                })
            })
        };
        self.drawn.walls.iter().filter(|wall| !divides(wall)).for_each(|wall| self.wall(wall, 2.0));
    }

    /// The plan of a scene that cannot be solved: walls, openings, names, marks.
    fn bare_plan(&self) {
        let Self { painter, palette, view, drawn, .. } = *self;
        let small = font(size::SMALL);
        for space in view.spaces {
            space.outline.iter().take(1).for_each(|ring| self.ring(ring, Stroke::new(1.0, palette.rule)));
            let room = space.room.as_ref().and_then(|id| drawn.rooms.iter().find(|room| room.id == *id));
            let name = room.map_or("no name yet", |room| room.name.as_str());
            let place = self.place(room.map_or(space.inside, |room| room.at));
            painter.text(place, Align2::CENTER_BOTTOM, name, small.clone(), palette.ink);
            let area = area(space.area_m2, view.units);
            painter.text(place, Align2::CENTER_TOP, area, small.clone(), palette.soft_ink);
        }
        drawn.walls.iter().for_each(|wall| self.wall(wall, 1.5));
        for line in drawn.openings.iter().filter_map(|opening| opening_ends(drawn, opening)) {
            painter.line_segment(line.map(|end| self.place(end)), Stroke::new(3.0, palette.soft_ink));
        }
        for duct in view.scene.ducts.iter().filter(|duct| is_on(duct, &drawn.id)) {
            let line = duct.ends.each_ref().map(|end| self.place(end.at));
            let stroke = Stroke::new(1.5, palette.soft_ink);
            painter.extend(Shape::dashed_line(&line, stroke, 6.0, 4.0));
            for (_, place) in duct.ends.iter().zip(line).filter(|(end, _)| end.storey == drawn.id) {
                painter.circle(place, 4.5, palette.sheet, stroke);
            }
        }
        for source in view.scene.sources.iter().filter(|source| source.storey == drawn.id) {
            painter.circle_filled(self.place(source.at), 5.0, palette.alert);
        }
        for listener in view.scene.listeners.iter().filter(|listener| listener.storey == drawn.id) {
            painter.circle_stroke(self.place(listener.at), 5.0, Stroke::new(2.0, palette.listener));
        }
    }

    fn ring(&self, ring: &[Point], stroke: Stroke) {
        let places: Vec<Pos2> = ring.iter().chain(ring.first()).map(|point| self.place(*point)).collect();
        self.painter.line(places, stroke);
    }

    fn corners(&self, editor: &Editor) {
        for node in &self.drawn.nodes {
            let area = Rect::from_center_size(self.place(node.at), Vec2::splat(6.0));
            let picked = editor.picks.contains(&Pick::Node(self.drawn.id.clone(), node.id.clone()));
            let ink = if picked { self.palette.listener } else { self.palette.soft_ink };
            self.painter.rect(area, 1.0, self.palette.sheet, Stroke::new(1.2, ink), StrokeKind::Middle);
        }
    }

    fn pick(&self, pick: &Pick, ink: Color32, width: f32) {
        let stroke = Stroke::new(width, ink);
        let at = place_of(self.view.scene, self.drawn, pick).map(|at| self.place(at));
        match (pick, line_of(self.view.scene, self.drawn, pick)) {
            (Pick::Wall(_, wall), Some(line)) => self.band(line, self.wall_m(wall), stroke),
            (Pick::Opening(_, id), Some(line)) => {
                let opening = self.drawn.openings.iter().find(|opening| opening.id == *id);
                self.band(line, opening.map_or(0.1, |opening| self.wall_m(&opening.wall)), stroke);
                for end in line {
                    self.painter.circle(self.place(end), 4.5, self.palette.sheet, stroke);
                }
            }
            (Pick::Duct(id), Some(line)) => {
                self.painter.line_segment(line.map(|end| self.place(end)), stroke);
                for end in 0..2 {
                    if let Some(mouth) = place_of(self.view.scene, self.drawn, &Pick::Mouth(id.clone(), end)) {
                        self.painter.circle_stroke(self.place(mouth), 8.0, stroke);
                    }
                }
            }
            _ => {}
        }
        let Some(at) = at else { return };
        match pick {
            Pick::Node(..) => {
                let area = Rect::from_center_size(at, Vec2::splat(11.0));
                self.painter.rect_stroke(area, 2.0, stroke, StrokeKind::Middle);
            }
            Pick::Room(_, id) => {
                self.outline(id).iter().for_each(|ring| self.ring(ring, stroke));
                self.painter.circle(at, 4.0, ink, Stroke::NONE);
            }
            Pick::Source(_) | Pick::Listener(_) => drop(self.painter.circle_stroke(at, 15.0, stroke)),
            // A contact without a place of its own is marked where it is drawn, beside its source.
            Pick::Contact(..) | Pick::Mouth(..) => drop(self.painter.circle_stroke(at, 9.0, stroke)),
            Pick::Wall(..) | Pick::Opening(..) | Pick::Duct(_) => {}
        }
    }

    /// Thickness of a wall, m; 0.1 where there is none.
    fn wall_m(&self, id: &WallId) -> f64 {
        let wall = self.drawn.walls.iter().find(|wall| wall.id == *id);
        wall.map_or(0.1, |wall| thickness_m(self.view.scene, &wall.construction))
    }

    /// Outline of a room, rings, m: of the building that was found last, which follows the gesture under way; else of what walls enclose.
    fn outline(&self, id: &RoomId) -> &[Vec<Point>] {
        let room = self.view.building.and_then(|building| {
            building.spaces.iter().find_map(|space| match &space.kind {
                SpaceKind::Room(room) if room.room == *id => Some(room),
                _ => None,
            })
        });
        if let Some(room) = room {
            return room.before_shell.as_ref().map_or(&room.outline, |bare| &bare.outline);
        }
        let space = self.view.spaces.iter().find(|space| space.room.as_ref() == Some(id));
        space.map_or(&[], |space| &space.outline)
    }

    /// Contacts that stand with their source are drawn below it while it is picked, each to be dragged to a place of its own.
    fn loose_contacts(&self, editor: &Editor, reach_m: f64) {
        let Some((source, marks)) = loose_contacts(self.view.scene, &self.drawn.id, &editor.picks, reach_m) else {
            return;
        };
        for (at, point) in marks {
            let picked = editor.picks == [Pick::Contact(source.id.clone(), at)];
            let ink = if picked { self.palette.listener } else { self.palette.soft_ink };
            let (from, to) = (self.place(source.at), self.place(point));
            let away = (to - from).normalized();
            let line = [from + away * 15.0, to - away * 5.0];
            self.painter.extend(Shape::dashed_line(&line, Stroke::new(1.0, ink), 3.0, 3.0));
            self.painter.circle(to, 5.0, self.palette.sheet, Stroke::new(2.0, ink));
        }
    }

    fn band(&self, [a, b]: [Point; 2], wide_m: f64, stroke: Stroke) {
        let (from, to) = (self.place(a), self.place(b));
        let along = (to - from).normalized();
        let across = Vec2::new(-along.y, along.x) * ((0.5 * wide_m * self.frame.px_per_m) as f32 + 2.0);
        let corners = vec![from + across, to + across, to - across, from - across, from + across];
        self.painter.line(corners, stroke);
    }

    /// The length of a wall, which is that of its middle line, or what is typed for it.
    fn tell_wall(&self, line: [Point; 2], typed: &str) {
        let length =
            if typed.is_empty() { write(distance(line[1], line[0]), self.view.units) } else { typed.to_owned() };
        let then = if typed.is_empty() { "" } else { ", then Enter" };
        self.tell(line, &format!("{length} centre to centre{then}"));
    }

    /// A length, beside its line, or what is typed for it.
    fn tell_length(&self, [a, b]: [Point; 2], typed: &str) {
        let length = write(distance(b, a), self.view.units);
        let text = if typed.is_empty() { length } else { format!("{typed}, then Enter") };
        self.tell([a, b], &text);
    }

    fn tell(&self, [a, b]: [Point; 2], text: &str) {
        let (from, to) = (self.place(a), self.place(b));
        let along = (to - from).normalized();
        let across = Vec2::new(along.y, -along.x) * 20.0;
        self.badge(from + (to - from) * 0.5 + across, text);
    }

    fn badge(&self, middle: Pos2, text: &str) {
        let row = self.painter.layout_no_wrap(text.to_owned(), font(size::TEXT), self.palette.ink);
        let area = Rect::from_center_size(middle, row.size() + Vec2::new(12.0, 6.0));
        // It stays whole at the edge of the canvas.
        let canvas = self.frame.rect.shrink(4.0);
        let area = area.translate((canvas.min - area.min).max(Vec2::ZERO) - (area.max - canvas.max).max(Vec2::ZERO));
        self.painter.rect(area, 5.0, self.palette.raised, Stroke::new(1.0, self.palette.rule), StrokeKind::Inside);
        self.painter.galley(area.min + Vec2::new(6.0, 3.0), row, self.palette.ink);
    }

    fn gesture(&self, editor: &Editor, pointer: Option<Point>, reach_m: f64) {
        let bright = Stroke::new(2.0, self.palette.listener);
        let landed = editor.at.as_ref().map(|caught| caught.at);
        match (&editor.gesture, landed) {
            (Gesture::Walls(points), Some(to)) => {
                if let Some(&from) = points.last() {
                    let wide = (thickness_m(self.view.scene, &editor.choices.wall) * self.frame.px_per_m) as f32;
                    let line = [self.place(from), self.place(to)];
                    self.painter
                        .line_segment(line, Stroke::new(wide.max(2.0), self.palette.listener.gamma_multiply(0.35)));
                    self.painter.line_segment(line, bright);
                    self.tell_wall([from, to], &editor.typed);
                }
            }
            (Gesture::Room(from), Some(to)) => {
                let area = Rect::from_two_pos(self.place(*from), self.place(to));
                self.painter.rect(area, 0.0, self.palette.listener.gamma_multiply(0.12), bright, StrokeKind::Middle);
                let text = if editor.typed.is_empty() {
                    // As it is inside, from wall to wall.
                    let walls_m = thickness_m(self.view.scene, &editor.choices.wall);
                    let inside =
                        |axis: usize| write(((to[axis] - from[axis]).abs() - walls_m).max(0.0), self.view.units);
                    format!("inside {} × {}", inside(0), inside(1))
                } else {
                    format!("inside {}, then Enter", editor.typed)
                };
                self.badge(area.center(), &text);
            }
            (Gesture::Duct(_, from), Some(to)) => {
                let line = [self.place(*from), self.place(to)];
                self.painter.line_segment(line, bright);
                for mouth in line {
                    self.painter.circle(mouth, 5.0, self.palette.sheet, bright);
                }
                if line[0].distance(line[1]) > 2.0 * REACH {
                    self.tell_length([*from, to], "");
                }
            }
            (Gesture::Scale(points), _) => {
                if let (Some(&from), Some(to)) = (points.first(), points.get(1).copied().or(pointer)) {
                    self.painter.line_segment([self.place(from), self.place(to)], bright);
                    self.tell_length([from, to], &editor.typed);
                }
            }
            (Gesture::Box(from), _) => {
                if let Some(to) = pointer {
                    let area = Rect::from_two_pos(self.place(*from), self.place(to));
                    let fill = self.palette.listener.gamma_multiply(0.10);
                    let edge = Stroke::new(1.0, self.palette.listener);
                    self.painter.rect(area, 0.0, fill, edge, StrokeKind::Inside);
                }
            }
            _ => {}
        }
        if let Some(caught) = &editor.at
            && matches!(editor.tool, Tool::Walls | Tool::Room)
        {
            let dash = Stroke::new(1.0, self.palette.listener.gamma_multiply(0.7));
            for guide in &caught.guides {
                self.painter.extend(Shape::dashed_line(&guide.map(|point| self.place(point)), dash, 4.0, 4.0));
            }
            let place = self.place(caught.at);
            match caught.by {
                Caught::Corner(_) => {
                    self.painter.circle_stroke(place, 8.0, bright);
                }
                Caught::Wall(_) => {
                    let area = Rect::from_center_size(place, Vec2::splat(12.0));
                    self.painter.rect_stroke(area, 0.0, bright, StrokeKind::Middle);
                }
                _ => {
                    self.painter.circle_filled(place, 3.0, self.palette.listener);
                }
            }
        }
        if matches!(editor.tool, Tool::Window | Tool::Door)
            && let Some(opening) = pointer.and_then(|pointer| ghost(editor, self.drawn, pointer, reach_m))
            && let Some(wall) = self.drawn.walls.iter().find(|wall| wall.id == opening.wall)
            && let Some(line) = opening_ends(self.drawn, &opening)
        {
            self.band(line, thickness_m(self.view.scene, &wall.construction), bright);
            self.tell_length(line, "");
        }
    }

    /// Where a thing of the storey is, m: in the middle of what is long.
    fn about(&self, thing: &Thing) -> Option<Point> {
        middle_of(self.view.scene, self.drawn, &pick_of(thing, Some(&self.drawn.id))?)
    }

    fn problems(&self, problems: &[Problem]) {
        for problem in problems.iter().filter(|problem| problem.storey.as_ref() == Some(&self.drawn.id)) {
            let Some(at) = self.about(&problem.thing) else { continue };
            let place = self.place(at) + Vec2::new(0.0, -18.0);
            let ink = if problem.severity == Severity::Error { self.palette.alert } else { self.palette.soft_ink };
            self.painter.circle(place, 8.0, self.palette.sheet, Stroke::new(1.5, ink));
            self.painter.text(place, Align2::CENTER_CENTER, "!", font(size::TEXT), ink);
        }
    }
}
