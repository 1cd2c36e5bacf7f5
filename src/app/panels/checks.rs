//! What to check before building: each sentence with the source of its limit, beside what is picked and for the whole scene.

use bevy_egui::egui::{CollapsingHeader, RichText, Ui};

use crate::app::theme::{Palette, size};
use crate::app::widgets::{label, rule, section};
use crate::building::{ElementIndex, SpaceIndex, SpaceKind};
use crate::edit::Pick;
use crate::output::checks::{self, CHECK, Line};
use crate::project::Solved;
use crate::solve::limits::{Kept, Place};

/// Those that the drawing of a thing decides; none of what is not there, or decides none.
#[must_use]
pub fn of_pick(solved: &Solved, pick: &Pick) -> Vec<Line> {
    let building = &solved.building;
    match pick {
        Pick::Room(_, id) => {
            let is_it = |kind: &SpaceKind| matches!(kind, SpaceKind::Room(room) if room.room == *id);
            let space = building.spaces.iter().position(|space| is_it(&space.kind));
            space.map_or_else(Vec::new, |space| checks::of_room(solved, SpaceIndex(space)))
        }
        Pick::Opening(storey, id) => {
            let level = solved.scene.storeys.iter().position(|known| known.id == *storey);
            let of_element = |(element, at): (usize, &crate::building::Element)| {
                let here = at.openings.iter().position(|it| it.opening == *id && Some(it.storey) == level)?;
                Some(Place::Opening(ElementIndex(element), here))
            };
            let place = building.elements.iter().enumerate().find_map(of_element);
            place.map_or_else(Vec::new, |place| checks::of_opening(solved, &place))
        }
        Pick::Source(id) | Pick::Contact(id, _) => checks::of_source(solved, id),
        _ => vec![],
    }
}

/// One sentence: in the colour of warnings where a limit is broken, or where it stays in sight.
pub fn line_ui(ui: &mut Ui, palette: &Palette, line: &Line) {
    let ink = if line.kept == Kept::No || line.urgent { palette.alert } else { palette.soft_ink };
    label(ui, &line.text, size::SMALL + 0.5, ink).on_hover_text(line.source);
}

/// All of the scene but those that stand beside what is picked: fire, load and air first and always in sight, the rest one click away.
pub fn checks_ui(ui: &mut Ui, palette: &Palette, solved: &Solved, picks: &[Pick]) {
    let beside = if let [pick] = picks { of_pick(solved, pick) } else { vec![] };
    let mut lines = checks::lines(solved);
    lines.retain(|line| !beside.contains(line));
    let (first, rest): (Vec<Line>, Vec<Line>) = lines.into_iter().partition(|line| line.urgent);
    if first.is_empty() && rest.is_empty() {
        return;
    }
    section(ui, palette, CHECK);
    for line in &first {
        line_ui(ui, palette, line);
    }
    if !rest.is_empty() {
        let count =
            if first.is_empty() { format!("{} to look at", rest.len()) } else { format!("{} more", rest.len()) };
        let more = RichText::new(count).size(size::SMALL).color(palette.alert);
        CollapsingHeader::new(more).id_salt("cautions").show_unindented(ui, |ui| {
            for line in &rest {
                line_ui(ui, palette, line);
            }
        });
    }
    rule(ui, palette);
}
