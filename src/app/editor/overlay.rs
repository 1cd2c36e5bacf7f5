//! The canvas while the building is drawn: the plan below, and over it corners, what is picked, and the gesture under way.

use std::path::Path;

use bevy_egui::egui::{
    Align2, Color32, CursorIcon, Painter, PointerButton, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, Vec2,
};

use crate::app::command::Command;
use crate::app::editor::gesture::{Pointer, ghost, handle};
use crate::app::editor::hit::{is_on, line_of, loose_contacts, opening_ends, place_of, under};
use crate::app::editor::state::{Editor, Gesture, Tool, thickness_m};
use crate::app::theme::{Palette, font, size};
use crate::app::viewer::drawing::CurrentDrawing;
use crate::app::viewer::frame::Frame;
use crate::app::viewer::letters::paint_letters;
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
    /// The scene as shown.
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
    /// What is wrong with the scene.
    pub problems: &'a [Problem],
    /// Dark or light.
    pub theme: Theme,
    /// How lengths are written.
    pub units: Units,
}

/// Lets the pointer work on the plan and paints what it does. Changes the frame and the editor; what it wants of the scene it returns.
pub fn editor_ui(ui: &mut Ui, frame: &mut Frame, editor: &mut Editor, view: &EditorView) -> Vec<Command> {
    let palette = Palette::of(view.theme);
    let rect = ui.available_rect_before_wrap();
    let response = ui.interact(rect, ui.id().with("editor"), Sense::click_and_drag());
    frame.rect = rect;
    let Some(drawn) = view.scene.storeys.get(view.storey) else { return vec![] };
    let window = ui.ctx().viewport_rect().size();
    if frame.fitted || frame.fitted_in.is_some_and(|size| size != window) {
        let (low, high) = extent(drawn);
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
    if let Some(place) = inside {
        let (scrolled, pinched) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
        let factor = (0.004 * scrolled).exp() * pinched;
        if (factor - 1.0).abs() > 1e-4 {
            frame.zoom(place, factor);
        }
    }
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
    match view.drawn.and_then(|drawn| drawn.drawing.as_ref()) {
        Some(drawing) => {
            paint_letters(&painter, frame, drawing);
            free_walls(&painter, frame, view, drawn, &palette);
        }
        None => {
            grid(&painter, frame, &palette);
            bare_plan(&painter, frame, view, drawn, &palette);
        }
    }
    below(&painter, frame, view, &palette);
    let paint = Paint { painter: &painter, frame, palette: &palette, view, scene: view.scene, drawn };
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
        paint.tell_length(line, "");
    }
    paint.gesture(editor, inside.map(|place| frame.plan_from_screen(place)), reach_m);
    if drawn.walls.is_empty() && editor.gesture == Gesture::None {
        let middle = rect.center();
        for (text, letters, ink, below) in [
            ("Nothing is drawn here yet", 22.0, palette.ink, -16.0),
            ("Press R and draw a room, or let New ask you a few questions.", size::TEXT, palette.soft_ink, 16.0),
        ] {
            painter.text(middle + Vec2::new(0.0, below), Align2::CENTER_CENTER, text, font(letters), ink);
        }
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

/// Lower left and upper right corner of a storey's plan, m; a room's size where there is nothing.
fn extent(drawn: &Storey) -> (Point, Point) {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for node in &drawn.nodes {
        for way in [0, 1] {
            low[way] = low[way].min(node.at[way]);
            high[way] = high[way].max(node.at[way]);
        }
    }
    if low[0].is_finite() { (low, high) } else { ([-1.0, -1.0], [9.0, 7.0]) }
}

/// The storey beneath, as faint lines: where walls stand on walls.
fn below(painter: &Painter, frame: &Frame, view: &EditorView, palette: &Palette) {
    let Some(beneath) = view.storey.checked_sub(1).and_then(|at| view.scene.storeys.get(at)) else { return };
    let stroke = Stroke::new(1.0, palette.soft_ink.gamma_multiply(0.35));
    for [a, b] in beneath.walls.iter().filter_map(|wall| ends(beneath, wall)) {
        let line = [frame.screen_from_plan(a), frame.screen_from_plan(b)];
        painter.extend(Shape::dashed_line(&line, stroke, 5.0, 5.0));
    }
}

/// A faint line every metre, or every five or ten where metres would be too close.
fn grid(painter: &Painter, frame: &Frame, palette: &Palette) {
    let step_m = [1.0, 5.0, 10.0, 50.0].into_iter().find(|step| step * frame.px_per_m > 24.0).unwrap_or(100.0);
    let stroke = Stroke::new(1.0, palette.rule.gamma_multiply(0.45));
    let low = frame.plan_from_screen(frame.rect.left_bottom());
    let high = frame.plan_from_screen(frame.rect.right_top());
    let lines = |way: usize| {
        let (first, last) = ((low[way] / step_m).ceil() as i64, (high[way] / step_m).floor() as i64);
        (first..=last).map(move |at| at as f64 * step_m)
    };
    for x in lines(0) {
        painter.vline(frame.screen_from_plan([x, 0.0]).x, frame.rect.y_range(), stroke);
    }
    for y in lines(1) {
        painter.hline(frame.rect.x_range(), frame.screen_from_plan([0.0, y]).y, stroke);
    }
}

/// Walls that divide nothing are no part of the building, and are seen all the same.
fn free_walls(painter: &Painter, frame: &Frame, view: &EditorView, drawn: &Storey, palette: &Palette) {
    let divides = |wall: &Wall| {
        view.building.is_some_and(|building| {
            building.elements.iter().any(|element| match &element.shape {
                ElementShape::Wall { storey, walls, .. } => *storey == view.storey && walls.contains(&wall.id),
                ElementShape::Slab { .. } => false,
            })
        })
    };
    for wall in drawn.walls.iter().filter(|wall| !divides(wall)) {
        if let Some([a, b]) = ends(drawn, wall) {
            let wide = (thickness_m(view.scene, &wall.construction) * frame.px_per_m) as f32;
            let line = [frame.screen_from_plan(a), frame.screen_from_plan(b)];
            painter.line_segment(line, Stroke::new(wide.max(2.0), palette.hovered));
        }
    }
}

/// The plan of a scene that cannot be solved: walls, openings, names, marks.
fn bare_plan(painter: &Painter, frame: &Frame, view: &EditorView, drawn: &Storey, palette: &Palette) {
    for space in view.spaces {
        for ring in space.outline.iter().take(1) {
            let places: Vec<Pos2> = ring.iter().map(|point| frame.screen_from_plan(*point)).collect();
            painter.line([&places[..], &places[..1]].concat(), Stroke::new(1.0, palette.rule));
        }
        let room = space.room.as_ref().and_then(|id| drawn.rooms.iter().find(|room| room.id == *id));
        let name = room.map_or("no name yet", |room| room.name.as_str());
        let place = frame.screen_from_plan(room.map_or(space.inside, |room| room.at));
        painter.text(place, Align2::CENTER_BOTTOM, name, font(size::SMALL), palette.ink);
        let area = area(space.area_m2, view.units);
        painter.text(place, Align2::CENTER_TOP, area, font(size::SMALL), palette.soft_ink);
    }
    for wall in &drawn.walls {
        let Some([a, b]) = ends(drawn, wall) else { continue };
        let wide = (thickness_m(view.scene, &wall.construction) * frame.px_per_m) as f32;
        let line = [frame.screen_from_plan(a), frame.screen_from_plan(b)];
        painter.line_segment(line, Stroke::new(wide.max(1.5), palette.hovered));
    }
    for opening in &drawn.openings {
        let Some([a, b]) = opening_ends(drawn, opening) else { continue };
        let line = [frame.screen_from_plan(a), frame.screen_from_plan(b)];
        painter.line_segment(line, Stroke::new(3.0, palette.soft_ink));
    }
    let here = |storey: &crate::scene::StoreyId| *storey == drawn.id;
    for duct in view.scene.ducts.iter().filter(|duct| is_on(duct, &drawn.id)) {
        let line = duct.ends.each_ref().map(|end| frame.screen_from_plan(end.at));
        let stroke = Stroke::new(1.5, palette.soft_ink);
        painter.extend(Shape::dashed_line(&line, stroke, 6.0, 4.0));
        for (_, place) in duct.ends.iter().zip(line).filter(|(end, _)| here(&end.storey)) {
            painter.circle(place, 4.5, palette.sheet, stroke);
        }
    }
    for source in view.scene.sources.iter().filter(|source| here(&source.storey)) {
        painter.circle_filled(frame.screen_from_plan(source.at), 5.0, palette.alert);
    }
    for hears in view.scene.listeners.iter().filter(|hears| here(&hears.storey)) {
        painter.circle_stroke(frame.screen_from_plan(hears.at), 5.0, Stroke::new(2.0, palette.listener));
    }
}

struct Paint<'a> {
    painter: &'a Painter,
    frame: &'a Frame,
    palette: &'a Palette,
    view: &'a EditorView<'a>,
    scene: &'a Scene,
    drawn: &'a Storey,
}

impl Paint<'_> {
    fn place(&self, point: Point) -> Pos2 {
        self.frame.screen_from_plan(point)
    }

    /// All corners, as small squares.
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
        let at = place_of(self.scene, self.drawn, pick).map(|at| self.place(at));
        match (pick, line_of(self.scene, self.drawn, pick)) {
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
                    if let Some(mouth) = place_of(self.scene, self.drawn, &Pick::Mouth(id.clone(), end)) {
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
                for ring in self.outline(id) {
                    let places: Vec<Pos2> = ring.iter().map(|point| self.place(*point)).collect();
                    self.painter.line([&places[..], &places[..1]].concat(), stroke);
                }
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
        wall.map_or(0.1, |wall| thickness_m(self.scene, &wall.construction))
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
        let Some((source, marks)) = loose_contacts(self.scene, &self.drawn.id, &editor.picks, reach_m) else { return };
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

    /// Outlines a stretch of wall.
    fn band(&self, [a, b]: [Point; 2], wide_m: f64, stroke: Stroke) {
        let (from, to) = (self.place(a), self.place(b));
        let along = (to - from).normalized();
        let across = Vec2::new(-along.y, along.x) * ((0.5 * wide_m * self.frame.px_per_m) as f32 + 2.0);
        let corners = vec![from + across, to + across, to - across, from - across, from + across];
        self.painter.line(corners, stroke);
    }

    /// A length, beside its line, or what is typed for it.
    fn tell_length(&self, [a, b]: [Point; 2], typed: &str) {
        let (from, to) = (self.place(a), self.place(b));
        let along = (to - from).normalized();
        let across = Vec2::new(along.y, -along.x) * 20.0;
        let length = write(distance(b, a), self.view.units);
        let text = if typed.is_empty() { length } else { format!("{typed}, then Enter") };
        self.badge(from + (to - from) * 0.5 + across, &text);
    }

    /// A few words on a plate.
    fn badge(&self, middle: Pos2, text: &str) {
        let row = self.painter.layout_no_wrap(text.to_owned(), font(size::TEXT), self.palette.ink);
        let area = Rect::from_center_size(middle, row.size() + Vec2::new(12.0, 6.0));
        self.painter.rect(area, 5.0, self.palette.raised, Stroke::new(1.0, self.palette.rule), StrokeKind::Inside);
        self.painter.galley(area.min + Vec2::new(6.0, 3.0), row, self.palette.ink);
    }

    /// The gesture under way, and what would be set where the pointer is.
    fn gesture(&self, editor: &Editor, pointer: Option<Point>, reach_m: f64) {
        let bright = Stroke::new(2.0, self.palette.listener);
        let landed = editor.at.as_ref().map(|caught| caught.at);
        match (&editor.gesture, landed) {
            (Gesture::Walls { points }, Some(to)) => {
                if let Some(&from) = points.last() {
                    let wide = (thickness_m(self.scene, &editor.choices.wall) * self.frame.px_per_m) as f32;
                    let line = [self.place(from), self.place(to)];
                    self.painter
                        .line_segment(line, Stroke::new(wide.max(2.0), self.palette.listener.gamma_multiply(0.35)));
                    self.painter.line_segment(line, bright);
                    self.tell_length([from, to], &editor.typed);
                }
            }
            (Gesture::Room { from }, Some(to)) => {
                let area = Rect::from_two_pos(self.place(*from), self.place(to));
                self.painter.rect(area, 0.0, self.palette.listener.gamma_multiply(0.12), bright, StrokeKind::Middle);
                let text = if editor.typed.is_empty() {
                    // As it is inside, from wall to wall.
                    let walls_m = thickness_m(self.scene, &editor.choices.wall);
                    let inside = |way: usize| write(((to[way] - from[way]).abs() - walls_m).max(0.0), self.view.units);
                    format!("inside {} × {}", inside(0), inside(1))
                } else {
                    format!("inside {}, then Enter", editor.typed)
                };
                self.badge(area.center(), &text);
            }
            (Gesture::Duct { from, .. }, Some(to)) => {
                let line = [self.place(*from), self.place(to)];
                self.painter.line_segment(line, bright);
                for mouth in line {
                    self.painter.circle(mouth, 5.0, self.palette.sheet, bright);
                }
                if line[0].distance(line[1]) > 2.0 * REACH {
                    self.tell_length([*from, to], "");
                }
            }
            (Gesture::Scale { points }, _) => {
                if let (Some(&from), Some(to)) = (points.first(), points.get(1).copied().or(pointer)) {
                    self.painter.line_segment([self.place(from), self.place(to)], bright);
                    self.tell_length([from, to], &editor.typed);
                }
            }
            (Gesture::Box { from }, _) => {
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
            self.band(line, thickness_m(self.scene, &wall.construction), bright);
            self.tell_length(line, "");
        }
    }

    /// Where a thing of the storey is, m: in the middle of what is long.
    fn about(&self, thing: &Thing) -> Option<Point> {
        let on = self.drawn.id.clone();
        let pick = match thing {
            Thing::Node(id) => Pick::Node(on, id.as_str().into()),
            Thing::Wall(id) => Pick::Wall(on, id.as_str().into()),
            Thing::Opening(id) => Pick::Opening(on, id.as_str().into()),
            Thing::Room(id) => Pick::Room(on, id.as_str().into()),
            Thing::Source(id) => Pick::Source(id.as_str().into()),
            Thing::Listener(id) => Pick::Listener(id.as_str().into()),
            _ => return None,
        };
        let middle = |[a, b]: [Point; 2]| [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
        place_of(self.scene, self.drawn, &pick).or_else(|| line_of(self.scene, self.drawn, &pick).map(middle))
    }

    /// A mark where each problem of this storey lies.
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
