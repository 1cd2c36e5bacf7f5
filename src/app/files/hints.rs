//! Five hints for the first start: small cards, each near what it speaks of.

use bevy_egui::egui::{self, Align2, Color32, Context, Id, Order, Rect, Shape, Stroke, pos2, vec2};

use crate::app::command::Command;
use crate::app::theme::{Palette, SIDE, STRIP, size};
use crate::app::widgets::{at_right, boxed, label, on_click, over};

/// Where a card stands.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Place {
    /// Over the plan, on the left above the legend.
    Plan,
    /// Beside the side panel, so far down (0 to 1), pointing at it.
    Side(f32),
    /// Over the strip below, pointing at it.
    Strip,
}

struct Hint {
    title: &'static str,
    text: &'static str,
    place: Place,
}

const HINTS: [Hint; 5] = [
    Hint {
        title: "The plan glows where sound gets out",
        text: "This is a worked example: a drummer over a bookshop. The brighter a wall, window or door, the more passes there. Drag the plan to move it, turn the wheel to come nearer.",
        place: Place::Plan,
    },
    Hint {
        title: "Choose whose ears",
        text: "Each name is somebody who may hear it. Pick one: level, sentence and glow are then theirs.",
        place: Place::Side(0.10),
    },
    Hint {
        title: "By which ways",
        text: "The ways the sound takes, the strongest first. Point at one to see it on the plan; that one is what to build against first.",
        place: Place::Side(0.68),
    },
    Hint {
        title: "Low or high",
        text: "Each column is a band, low on the left. Drag over some to look at them alone: a kick drum leaks elsewhere than a cymbal.",
        place: Place::Strip,
    },
    Hint {
        title: "Now your own house",
        text: "“Draw” changes this building or draws yours. Ctrl+N asks a few questions instead and has an answer in two minutes. Ctrl+K lists all that can be done.",
        place: Place::Side(0.0),
    },
];

/// Height of the legend on the plan with what is round it, logical pixels.
const LEGEND: f32 = 116.0;

/// How many hints there are.
pub const COUNT: usize = HINTS.len();

/// Draws a hint. Nothing for a number beyond the last.
pub fn hint_ui(context: &Context, at: usize, palette: &Palette) -> Option<Command> {
    let hint = HINTS.get(at)?;
    let window = context.content_rect();
    let (pivot, place) = placed(hint.place, window);
    let mut asked = None;
    let shown = over("hint", pivot, place).constrain(true).show(context, |ui| {
        boxed(palette.raised, palette.listener, 8, egui::Margin::symmetric(14, 12)).show(ui, |ui| {
            ui.set_width(290.0);
            ui.spacing_mut().item_spacing.y = 5.0;
            label(ui, hint.title, size::SENTENCE - 1.0, palette.ink);
            label(ui, hint.text, size::TEXT, palette.soft_ink);
            ui.add_space(3.0);
            ui.horizontal(|ui| {
                let last = at + 1 == HINTS.len();
                let count = format!("{} of {}", at + 1, HINTS.len());
                label(ui, count, size::SMALL, palette.soft_ink);
                at_right(ui, |ui| {
                    let next = egui::Button::new(if last { "Done" } else { "Next" })
                        .fill(ui.visuals().selection.bg_fill)
                        .min_size(vec2(64.0, 26.0));
                    let then = if last { Command::CloseHints } else { Command::NextHint };
                    on_click(&mut asked, &ui.add(next), then);
                    if !last {
                        on_click(&mut asked, &ui.button("Close"), Command::CloseHints);
                    }
                });
            });
        });
    });
    point(context, hint.place, shown.response.rect, palette.raised, palette.listener);
    asked
}

fn placed(place: Place, window: Rect) -> (Align2, egui::Pos2) {
    match place {
        Place::Plan => (Align2::LEFT_BOTTOM, window.left_bottom() + vec2(20.0, -(STRIP + LEGEND))),
        Place::Side(down) => {
            let y = window.top() + 10.0 + down * (window.height() - 20.0);
            let pivot = if down > 0.5 { Align2::RIGHT_CENTER } else { Align2::RIGHT_TOP };
            (pivot, pos2(window.right() - SIDE - 18.0, y))
        }
        Place::Strip => (Align2::CENTER_BOTTOM, pos2(window.center().x - SIDE / 2.0, window.bottom() - STRIP - 18.0)),
    }
}

fn point(context: &Context, place: Place, card: Rect, fill: Color32, edge: Color32) {
    let (tip, across, back) = match place {
        Place::Plan => return,
        Place::Side(_) => (pos2(card.right() + 9.0, card.top() + 26.0), vec2(0.0, 8.0), vec2(-10.0, 0.0)),
        Place::Strip => (pos2(card.center().x, card.bottom() + 9.0), vec2(8.0, 0.0), vec2(0.0, -10.0)),
    };
    let corners = vec![tip + back - across, tip, tip + back + across];
    let painter = context.layer_painter(egui::LayerId::new(Order::Foreground, Id::new("hint beak")));
    painter.add(Shape::convex_polygon(corners.clone(), fill, Stroke::NONE));
    painter.add(Shape::line(corners, Stroke::new(1.0, edge)));
}
