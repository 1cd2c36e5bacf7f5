//! Where the plan lies on the screen: metres to logical pixels and back.

use bevy::prelude::Resource;
use bevy_egui::egui::{Pos2, Rect, Ui, Vec2};

use crate::output::drawing::Point;

/// The closest and the farthest the plan can be looked at, pixels per metre.
const PX_PER_M: (f64, f64) = (2.0, 1200.0);

#[derive(Debug, Clone, Copy, PartialEq, Resource)]
pub struct Frame {
    /// The part of the window that is not covered by panels, logical pixels.
    pub rect: Rect,
    /// The point of the plan in the middle of it, m.
    pub centre: Point,
    /// Scale, logical pixels per metre.
    pub px_per_m: f64,
    /// True until the user moves or zooms: the plan then follows the size of the window.
    pub fitted: bool,
    /// While one draws: the size of the window it was fitted to, until the user moves or zooms.
    pub fitted_in: Option<Vec2>,
}

impl Default for Frame {
    fn default() -> Self {
        Self {
            rect: Rect::from_min_size(Pos2::ZERO, Vec2::splat(100.0)),
            centre: [0.0; 2],
            px_per_m: 50.0,
            fitted: true,
            fitted_in: None,
        }
    }
}

impl Frame {
    /// Where a point of the plan is on the screen.
    pub fn screen_from_plan(&self, point: Point) -> Pos2 {
        let middle = self.rect.center();
        Pos2::new(
            middle.x + ((point[0] - self.centre[0]) * self.px_per_m) as f32,
            middle.y - ((point[1] - self.centre[1]) * self.px_per_m) as f32,
        )
    }

    /// Which point of the plan is at a place on the screen.
    pub fn plan_from_screen(&self, place: Pos2) -> Point {
        let from_middle = place - self.rect.center();
        [
            self.centre[0] + f64::from(from_middle.x) / self.px_per_m,
            self.centre[1] - f64::from(from_middle.y) / self.px_per_m,
        ]
    }

    /// Shows everything between two corners, within `margin` pixels on each side (left, right, top, bottom).
    pub fn fit(&mut self, min: Point, max: Point, [left, right, top, bottom]: [f32; 4]) {
        let wide = f64::from((self.rect.width() - left - right).max(50.0));
        let high = f64::from((self.rect.height() - top - bottom).max(50.0));
        let [w, h] = [(max[0] - min[0]).max(0.5), (max[1] - min[1]).max(0.5)];
        self.px_per_m = (wide / w).min(high / h).clamp(PX_PER_M.0, PX_PER_M.1);
        // The middle of the free part is not the middle of the canvas.
        let aside = [f64::from(right - left) / 2.0, f64::from(top - bottom) / 2.0];
        self.centre =
            [(min[0] + max[0]) / 2.0 + aside[0] / self.px_per_m, (min[1] + max[1]) / 2.0 + aside[1] / self.px_per_m];
        self.fitted = true;
    }

    pub fn drag(&mut self, by: Vec2) {
        self.centre[0] -= f64::from(by.x) / self.px_per_m;
        self.centre[1] += f64::from(by.y) / self.px_per_m;
        (self.fitted, self.fitted_in) = (false, None);
    }

    /// Zooms by the wheel, or two fingers, about the pointer.
    pub fn zoom_by_wheel(&mut self, ui: &Ui, pointer: Option<Pos2>) {
        let Some(pointer) = pointer else { return };
        let (scrolled, pinched) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
        let factor = (0.004 * scrolled).exp() * pinched;
        if (factor - 1.0).abs() > 1e-4 {
            self.zoom(pointer, factor);
        }
    }

    /// Enlarges the plan about a place on the screen, which stays where it is.
    pub fn zoom(&mut self, about: Pos2, factor: f32) {
        let held = self.plan_from_screen(about);
        self.px_per_m = (self.px_per_m * f64::from(factor)).clamp(PX_PER_M.0, PX_PER_M.1);
        let now = self.plan_from_screen(about);
        self.centre = [self.centre[0] + held[0] - now[0], self.centre[1] + held[1] - now[1]];
        (self.fitted, self.fitted_in) = (false, None);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame() -> Frame {
        let rect = Rect::from_min_size(Pos2::new(10.0, 20.0), Vec2::new(800.0, 600.0));
        Frame { rect, ..Frame::default() }
    }

    #[test]
    fn screen_and_plan_are_each_others_inverse_and_y_points_up() {
        let mut frame = frame();
        frame.centre = [3.0, 4.0];
        let place = frame.screen_from_plan([5.0, 1.0]);
        assert_eq!(place, Pos2::new(510.0, 470.0));
        assert_eq!(frame.plan_from_screen(place), [5.0, 1.0]);
    }

    #[test]
    fn zooming_holds_the_point_under_the_pointer() {
        let mut frame = frame();
        let pointer = Pos2::new(200.0, 500.0);
        let before = frame.plan_from_screen(pointer);
        frame.zoom(pointer, 1.7);
        let after = frame.plan_from_screen(pointer);
        assert!((0..2).all(|axis| (before[axis] - after[axis]).abs() < 1e-9));
        assert!((frame.px_per_m - 85.0).abs() < 1e-4);
    }

    #[test]
    fn a_fitted_plan_lies_inside_its_margins() {
        let mut frame = frame();
        let margins = [100.0, 20.0, 30.0, 60.0];
        frame.fit([-2.0, 1.0], [9.0, 12.0], margins);
        let (low, high) = (frame.screen_from_plan([-2.0, 1.0]), frame.screen_from_plan([9.0, 12.0]));
        let near = 0.01;
        assert!(low.x >= 110.0 - near && high.x <= 790.0 + near, "{low:?} {high:?}");
        assert!(high.y >= 50.0 - near && low.y <= 560.0 + near, "{low:?} {high:?}");
        // The height decides here, and is used up.
        assert!((low.y - high.y - 510.0).abs() < near);
    }
}
