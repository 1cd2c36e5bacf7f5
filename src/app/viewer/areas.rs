//! How the middle of the window is shared out between plan, kept plan and section.

use bevy_egui::egui::{Pos2, Rect};

use crate::app::view::{Compare, View};

/// The part of the height, or of the width, that the section takes.
const SECTION: f32 = 0.44;
/// In a canvas so many times as wide as high the section stands beside the plan, not below it.
const WIDE: f32 = 1.7;
/// What floats over the foot of the canvas, logical pixels: the legends, or where they are folded their button.
const FOOT: f32 = 104.0;
const FOLDED_FOOT: f32 = 44.0;
/// In a smaller canvas the legends would cover the plan: they are folded, logical pixels.
const UNFOLDED_FROM: [f32; 2] = [1012.0, 640.0];

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Areas {
    pub whole: Rect,
    pub plan: Rect,
    /// The plan that was kept, when both stand side by side.
    pub base: Option<Rect>,
    pub section: Option<Rect>,
    /// True where the legends are folded to a button.
    pub folded: bool,
}

impl Areas {
    pub fn section_is_below(&self) -> bool {
        self.section.is_some_and(|section| section.top() > self.whole.top())
    }

    pub fn section_is_whole(&self) -> bool {
        self.section == Some(self.whole)
    }

    /// Shares out a canvas. `baseline` is true when there is something to compare with, `plain` while others look.
    pub fn of(whole: Rect, view: &View, baseline: bool, plain: bool) -> Self {
        let mut plan = whole;
        let folded = plain || whole.width() < UNFOLDED_FROM[0] || whole.height() < UNFOLDED_FROM[1];
        if view.cut.is_some() && view.whole_section {
            return Self { whole, plan, base: None, section: Some(whole), folded };
        }
        let beside = whole.width() > WIDE * whole.height();
        let section = view.cut.map(|_| {
            if beside {
                plan.max.x = whole.right() - SECTION * whole.width();
                return Rect::from_min_max(Pos2::new(plan.right(), whole.top()), whole.max);
            }
            let above = whole.height() - if folded { FOLDED_FOOT } else { FOOT };
            plan.max.y = whole.top() + (1.0 - SECTION) * above;
            Rect::from_min_max(Pos2::new(whole.left(), plan.bottom()), whole.max)
        });
        let base = (baseline && view.compare == Compare::Beside).then(|| {
            let middle = plan.center().x;
            let left = Rect::from_min_max(plan.min, Pos2::new(middle, plan.bottom()));
            plan.min.x = middle;
            left
        });
        Self { whole, plan, base, section, folded }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::section::Cut;

    #[test]
    fn the_parts_fill_the_canvas_and_do_not_overlap() {
        let whole = Rect::from_min_max(Pos2::new(10.0, 20.0), Pos2::new(1000.0, 800.0));
        let cut = Some(Cut { from: [0.0, 0.0], to: [5.0, 0.0] });
        for whole in [whole, Rect::from_min_size(whole.min, bevy_egui::egui::vec2(1100.0, 500.0))] {
            for compare in [Compare::Off, Compare::Beside, Compare::Wipe(0.5), Compare::Change] {
                for cut in [None, cut] {
                    let areas = Areas::of(whole, &View { compare, cut, ..View::default() }, true, false);
                    let parts = [Some(areas.plan), areas.base, areas.section];
                    let sum: f32 = parts.iter().flatten().map(|part| part.area()).sum();
                    assert!((sum - whole.area()).abs() < 1.0, "{compare:?} {cut:?}");
                    for (at, a) in parts.iter().flatten().enumerate() {
                        for b in parts.iter().flatten().skip(at + 1) {
                            assert!(a.intersect(*b).area() <= 1e-3 || !a.intersects(b.shrink(0.5)));
                        }
                    }
                }
            }
        }
        let alone = Areas::of(whole, &View { compare: Compare::Beside, ..View::default() }, false, false);
        assert_eq!(alone.plan, whole);
        let section = Areas::of(whole, &View { cut, whole_section: true, ..View::default() }, true, false);
        assert!(section.section_is_whole() && section.base.is_none());
    }
}
