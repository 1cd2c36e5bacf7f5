//! What more money buys: the cheapest plan for each way farther, as points one can click. Cost to the right, how far limits are kept upwards.

use bevy_egui::egui::{
    Align2, Color32, FontId, Id, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, WidgetType, pos2,
    vec2,
};

use crate::advise::{Advice, Plan};
use crate::app::theme::{Palette, font, size};
use crate::output::advice;
use crate::output::text::decimal;

/// What stands round the plot: left, above, right and below, logical pixels.
const LEFT: f32 = 34.0;
const ABOVE: f32 = 20.0;
const RIGHT: f32 = 12.0;
const BELOW: f32 = 34.0;
/// Half a point, and half of what catches the pointer, logical pixels.
const POINT: f32 = 4.0;
const CATCH: f32 = 8.0;
/// Of a plan so many measures are told where the pointer rests on it.
const TOLD: usize = 9;

/// A plan by its place in the frontier, or (nothing) the one advised.
pub type Which = Option<usize>;

/// The plot's rectangle and what its sides stand for.
struct Axes {
    plot: Rect,
    most_cost: f64,
    low_db: f64,
    high_db: f64,
}

impl Axes {
    fn of(advice: &Advice, plot: Rect) -> Self {
        let plans = || advice.frontier.iter().chain([&advice.plan]);
        let most_cost = plans().map(|plan| plan.cost.likely).fold(1.0, f64::max);
        let low = plans().map(|plan| plan.kept_db).fold(0.0, f64::min);
        let high = plans().map(|plan| plan.kept_db).fold(0.0, f64::max);
        let room = 0.08 * (high - low).max(2.0);
        Self { plot, most_cost: 1.04 * most_cost, low_db: low - room, high_db: high + room }
    }

    fn x(&self, cost: f64) -> f32 {
        // What costs nothing does not stand on the figures at the left.
        self.plot.left() + CATCH + (cost / self.most_cost) as f32 * (self.plot.width() - CATCH)
    }

    fn y(&self, kept_db: f64) -> f32 {
        self.plot.bottom() - ((kept_db - self.low_db) / (self.high_db - self.low_db)) as f32 * self.plot.height()
    }

    fn at(&self, plan: &Plan) -> Pos2 {
        pos2(self.x(plan.cost.likely), self.y(plan.kept_db))
    }
}

/// Round values from one to another, `most` of them at most.
fn marks(low: f64, high: f64, most: f64) -> Vec<f64> {
    let least = (high - low).max(1e-9) / most;
    let power = 10f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|part| part * power).into_iter().find(|step| *step >= least);
    let step = step.unwrap_or(10.0 * power);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(|at| at as f64 * step).collect()
}

/// What a plan is called to those who cannot see it.
#[must_use]
pub fn spoken(advice: &Advice, plan: &Plan, which: Which) -> String {
    let lead = if which.is_none() { "Advised: " } else { "" };
    let measures = match plan.done.len() {
        0 => "nothing built".to_owned(),
        1 => "1 measure".to_owned(),
        count => format!("{count} measures"),
    };
    let kept = match plan.reaches() {
        true => format!("kept with {} dB to spare", decimal(plan.kept_db)),
        false => format!("{} dB short", decimal(-plan.kept_db)),
    };
    format!("{lead}{}, {kept}, {measures}", advice::money(plan.cost.likely, advice::currency(advice)))
}

/// The chart; what was clicked.
pub fn chart_ui(ui: &mut Ui, advice: &Advice, chosen: Which, area: Vec2, palette: &Palette) -> Option<Which> {
    let (rect, _) = ui.allocate_exact_size(area, Sense::hover());
    let plot = Rect::from_min_max(rect.min + vec2(LEFT, ABOVE), rect.max - vec2(RIGHT, BELOW));
    let axes = Axes::of(advice, plot);
    let painter = ui.painter().clone();
    frame(&painter, advice, &axes, rect, palette);
    // What a sum of money brings at most: level until the next plan can be paid.
    let mut line: Vec<Pos2> = vec![];
    for plan in &advice.frontier {
        let at = axes.at(plan);
        if let Some(last) = line.last().copied() {
            line.push(pos2(at.x, last.y));
        }
        line.push(at);
    }
    painter.add(Shape::line(line, Stroke::new(1.5, palette.rule)));
    let same = |plan: &Plan| plan.done == advice.plan.done;
    let mut clicked = None;
    let points = advice.frontier.iter().enumerate().filter(|(_, plan)| !same(plan));
    let points = points.map(|(at, plan)| (Some(at), plan)).chain([(None, &advice.plan)]);
    for (which, plan) in points {
        let at = axes.at(plan);
        let id = Id::new("plan of the frontier").with(which);
        let response = ui.interact(Rect::from_center_size(at, Vec2::splat(2.0 * CATCH)), id, Sense::click());
        let (lit, name) = (chosen == which, spoken(advice, plan, which));
        response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, lit, &name));
        if response.clicked() {
            clicked = Some(which);
        }
        point(
            &painter,
            at,
            (which.is_none(), plan.reaches()),
            (lit, response.hovered() || response.has_focus()),
            palette,
        );
        response.on_hover_ui(|ui| {
            ui.set_max_width(360.0);
            ui.strong(&name);
            plan.done.iter().take(TOLD).for_each(|done| drop(ui.label(advice::measure(advice, done))));
            if plan.done.len() > TOLD {
                ui.label(format!("and {} more", plan.done.len() - TOLD));
            }
        });
    }
    let at = axes.at(&advice.plan);
    // Points rise to the right: there are none above it to the left, nor below it to the right.
    let (pivot, by) = if at.x - 60.0 > plot.left() {
        (Align2::RIGHT_BOTTOM, vec2(-5.0, -6.0))
    } else {
        (Align2::LEFT_TOP, vec2(8.0, 4.0))
    };
    over(&painter, at + by, pivot, "advised", font(size::SMALL), palette.listener, palette.panel);
    clicked
}

/// A point: a diamond for what is advised, a disc for others; filled where all limits are kept.
fn point(
    painter: &Painter,
    at: Pos2,
    (advised, reaches): (bool, bool),
    (lit, hovered): (bool, bool),
    palette: &Palette,
) {
    let ink = if advised { palette.listener } else { palette.ink };
    let fill = if reaches { ink } else { palette.panel };
    if lit || hovered {
        painter.circle(at, POINT + 5.0, palette.hovered, Stroke::new(if lit { 2.0 } else { 1.0 }, palette.listener));
    }
    if advised {
        let far = POINT + 2.0;
        let corners = [vec2(0.0, -far), vec2(far, 0.0), vec2(0.0, far), vec2(-far, 0.0)].map(|by| at + by);
        painter.add(Shape::convex_polygon(corners.to_vec(), fill, Stroke::new(1.8, ink)));
    } else {
        painter.circle(at, POINT, fill, Stroke::new(1.4, ink));
    }
}

/// Marks, lines and words round the points.
fn frame(painter: &Painter, advice: &Advice, axes: &Axes, rect: Rect, palette: &Palette) {
    let (plot, letters) = (axes.plot, font(size::SMALL - 0.5));
    for db in marks(axes.low_db, axes.high_db, f64::from(plot.height() / 28.0)) {
        let y = axes.y(db);
        painter.hline(plot.x_range(), y, Stroke::new(1.0, palette.rule.gamma_multiply(0.5)));
        let text = if db > 0.0 { format!("+{db}") } else { format!("{db}").replace('-', "−") };
        painter.text(pos2(plot.left() - 5.0, y), Align2::RIGHT_CENTER, text, letters.clone(), palette.soft_ink);
    }
    painter.hline(plot.x_range(), plot.bottom(), Stroke::new(1.0, palette.rule));
    for cost in marks(0.0, axes.most_cost, f64::from(plot.width() / 62.0)) {
        let x = axes.x(cost);
        painter.vline(x, plot.bottom()..=plot.bottom() + 4.0, Stroke::new(1.0, palette.rule));
        let place = pos2(x, plot.bottom() + 5.0);
        painter.text(place, Align2::CENTER_TOP, advice::money(cost, ""), letters.clone(), palette.soft_ink);
    }
    let currency = advice::currency(advice);
    let cost = if currency.is_empty() { "cost".to_owned() } else { format!("cost, {currency}") };
    painter.text(rect.right_bottom() - vec2(RIGHT, 0.0), Align2::RIGHT_BOTTOM, cost, letters.clone(), palette.soft_ink);
    painter.text(rect.min, Align2::LEFT_TOP, "dB to spare", letters.clone(), palette.soft_ink);
    if let Some(budget) = advice.ask.budget.filter(|budget| *budget <= axes.most_cost) {
        let x = axes.x(budget);
        let ends = [pos2(x, plot.top()), pos2(x, plot.bottom())];
        painter.extend(Shape::dashed_line(&ends, Stroke::new(1.2, palette.soft_ink), 3.0, 3.0));
        painter.text(pos2(x, rect.top()), Align2::CENTER_TOP, "budget", letters.clone(), palette.soft_ink);
    }
    let y = axes.y(0.0);
    painter.hline(plot.x_range(), y, Stroke::new(1.8, palette.alert));
    let text = format!("limits kept with {:.0} %", 100.0 * advice.ask.confidence);
    over(painter, pos2(plot.right(), y - 2.0), Align2::RIGHT_BOTTOM, &text, letters, palette.alert, palette.panel);
}

/// Letters that are read over lines.
fn over(painter: &Painter, at: Pos2, pivot: Align2, text: &str, letters: FontId, ink: Color32, ground: Color32) {
    let laid = painter.layout_no_wrap(text.to_owned(), letters, ink);
    let place = pivot.anchor_size(at, laid.size());
    painter.rect_filled(place.expand2(vec2(2.0, 0.0)), 2.0, ground);
    painter.galley(place.min, laid, ink);
}

#[cfg(test)]
mod tests {
    use super::marks;

    #[test]
    fn marks_are_round_and_few() {
        assert_eq!(marks(-4.3, 11.0, 4.0), [0.0, 5.0, 10.0]);
        assert_eq!(marks(0.0, 4300.0, 5.0), [0.0, 1000.0, 2000.0, 3000.0, 4000.0]);
        assert_eq!(marks(0.0, 1.0, 3.0), [0.0, 0.5, 1.0]);
    }
}
