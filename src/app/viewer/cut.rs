//! The line of a section on the plan, dragged by its ends or whole.

use bevy_egui::egui::{Align2, CursorIcon, Rect, Sense, Shape, Stroke, Ui, Vec2};

use crate::app::theme::{Palette, font, size};
use crate::app::viewer::frame::Frame;
use crate::output::section::Cut;

/// Half the size of a handle, logical pixels.
const HANDLE: f32 = 8.0;
/// A section is at least so long, m.
const LEAST_M: f64 = 0.5;

/// Paints the line with its handles; returns the cut as it is dragged.
pub fn cut_ui(ui: &mut Ui, frame: &Frame, palette: &Palette, cut: Cut) -> Option<Cut> {
    let ends = [cut.from, cut.to].map(|end| frame.screen_from_plan(end));
    let painter = ui.painter_at(frame.rect);
    let stroke = Stroke::new(1.5, palette.listener);
    painter.extend(Shape::dashed_line(&ends, stroke, 9.0, 4.0));
    let along = (ends[1] - ends[0]).normalized();
    // It is looked at from the side the ticks point away from: to the left of the way from A to B.
    let look = Vec2::new(along.y, -along.x);
    let mut dragged = None;
    let middle = ends[0].lerp(ends[1], 0.5);
    for (at, (place, name)) in [(ends[0], "A"), (ends[1], "B"), (middle, "")].into_iter().enumerate() {
        if at < 2 {
            painter.line_segment([place, place + look * 12.0], Stroke::new(2.5, palette.listener));
            let out = if at == 0 { -along } else { along };
            painter.text(place + out * 12.0, Align2::CENTER_CENTER, name, font(size::TEXT), palette.listener);
        }
        let area = Rect::from_center_size(place, Vec2::splat(2.0 * HANDLE)).intersect(frame.rect);
        if area.is_negative() {
            continue;
        }
        let response = ui.interact(area, ui.id().with(("cut", at)), Sense::drag());
        let lit = response.hovered() || response.dragged();
        if lit {
            ui.ctx().set_cursor_icon(CursorIcon::Move);
        }
        if at < 2 {
            let fill = if lit { palette.listener } else { palette.sheet };
            painter.circle(place, HANDLE * 0.55, fill, stroke);
        } else {
            let square = Rect::from_center_size(place, Vec2::splat(HANDLE));
            painter.rect_filled(square, 1.5, if lit { palette.ink } else { palette.listener });
        }
        let Some(pointer) = response.interact_pointer_pos().filter(|_| response.dragged()) else { continue };
        dragged = Some(if at < 2 {
            moved(cut, at, frame.plan_from_screen(pointer), ui.input(|input| input.modifiers.shift))
        } else {
            let [from, to] = ends.map(|end| frame.plan_from_screen(end + response.drag_delta()));
            Cut { from, to }
        });
    }
    dragged.filter(|new| *new != cut && new.from.iter().chain(&new.to).all(|value| value.is_finite()))
}

/// One end moved: upright or level with the other when wished, and never on it.
fn moved(cut: Cut, end: usize, to: [f64; 2], straight: bool) -> Cut {
    let fixed = if end == 0 { cut.to } else { cut.from };
    let mut to = to;
    if straight {
        let off = [(to[0] - fixed[0]).abs(), (to[1] - fixed[1]).abs()];
        if off[0] < off[1] { to[0] = fixed[0] } else { to[1] = fixed[1] }
    }
    if (to[0] - fixed[0]).hypot(to[1] - fixed[1]) < LEAST_M {
        return cut;
    }
    if end == 0 { Cut { from: to, ..cut } } else { Cut { to, ..cut } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_end_is_dragged_level_when_wished_and_never_onto_the_other() {
        let cut = Cut { from: [0.0, 0.0], to: [4.0, 1.0] };
        assert_eq!(moved(cut, 1, [6.0, 0.5], false), Cut { to: [6.0, 0.5], ..cut });
        assert_eq!(moved(cut, 1, [6.0, 0.5], true), Cut { to: [6.0, 0.0], ..cut });
        assert_eq!(moved(cut, 0, [3.9, 7.0], true), Cut { from: [4.0, 7.0], ..cut });
        assert_eq!(moved(cut, 0, [4.1, 1.1], false), cut);
    }
}
