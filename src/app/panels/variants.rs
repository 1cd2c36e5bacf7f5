//! All variants side by side: what one listener gets, who is worst off, and what it takes. The table fills as answers come.

use std::sync::Arc;

use bevy_egui::egui::{Align, Button, Grid, Label, Layout, RichText, ScrollArea, Ui};

use crate::app::command::Command;
use crate::app::deciding::{Foot, Wanted};
use crate::app::document::Version;
use crate::app::theme::{Palette, size};
use crate::app::widgets::{at_right, label, words};
use crate::output::length::{self, Units};
use crate::output::text::decimal;
use crate::output::variants::{Kept, MEANING, Row, chance, signed};
use crate::output::words::heading;
use crate::project::Solved;
use crate::scene::ListenerId;

/// Heights of the headings, of a row, and of what stands round them, logical pixels.
const HEAD: f32 = 62.0;
const ROW: f32 = 29.0;
const AROUND: f32 = 22.0;

/// How high the table wants to be, logical pixels.
pub fn height(versions: usize) -> f32 {
    HEAD + ROW * versions as f32 + AROUND
}

/// What the table shows.
#[derive(Debug, Clone, Copy)]
pub struct Table<'a> {
    pub wanted: &'a [Wanted],
    pub shown: &'a Version,
    pub listener: Option<&'a ListenerId>,
    pub units: Units,
}

/// The columns behind the name, with what each means.
const COLUMNS: [(&str, &str); 10] = [
    ("dB(A)", "A-weighted level at the listener"),
    ("Change", "Against what is drawn, dB"),
    ("Margin", "How far the level stays below the limit, dB; below zero it is broken"),
    ("Chance", "That the limit is kept"),
    ("Worst", "The least margin of all listeners with a limit, dB"),
    ("Chance", "That the limit of that listener is kept"),
    ("Added", "Weight on the floors and of the floors themselves; on a square metre at most"),
    ("Lost", "Floor area the rooms lose"),
    ("Headroom", "The least where something plays, or where it became less"),
    ("Cost", "What it costs, where that was reckoned"),
];

/// The table; a click on a name shows that version.
pub fn table_ui(ui: &mut Ui, table: &Table, palette: &Palette) -> Option<Command> {
    let mut asked = None;
    let solved_of = |wanted: &Wanted| wanted.answer.as_ref().and_then(|answer| answer.as_ref().ok().cloned());
    let base: Option<Arc<Solved>> =
        table.wanted.iter().find(|wanted| wanted.version == Version::Drawn).and_then(solved_of);
    let heard = base.as_deref().zip(table.listener);
    let heard = heard.and_then(|(base, id)| base.answer.listeners.iter().find(|heard| heard.listener == *id));
    let whose = heard.map_or_else(String::new, |heard| {
        let limit = heard.target.as_ref().map_or_else(|| "no limit".to_owned(), |it| format!("limit “{}”", it.name));
        format!("  ·  {}, {limit}", heading(&heard.name))
    });
    ui.horizontal(|ui| {
        at_right(ui, |ui| {
            let close = Button::new(RichText::new("Close").size(size::SMALL));
            asked = ui.add(close).clicked().then_some(Command::Foot(Foot::Variants));
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let title = words(format!("All variants{whose}"), size::TEXT, palette.ink);
                ui.add(Label::new(title).truncate()).on_hover_text(MEANING);
            });
        });
    });
    let rows: Vec<Option<Row>> = table
        .wanted
        .iter()
        .map(|wanted| {
            let (solved, base) = solved_of(wanted).zip(base.clone())?;
            let nobody = ListenerId(String::new());
            Some(Row::of(wanted.version.name(), &base, &solved, table.listener.unwrap_or(&nobody)))
        })
        .collect();
    let priced = rows.iter().flatten().any(|row| row.cost.is_some());
    let columns = if priced { &COLUMNS[..] } else { &COLUMNS[..9] };
    ScrollArea::both().id_salt("variants").auto_shrink([false, false]).show(ui, |ui| {
        Grid::new("table of variants").striped(true).spacing([12.0, 3.0]).min_row_height(ROW - 3.0).show(ui, |ui| {
            label(ui, "", size::SMALL, palette.soft_ink);
            for (name, tip) in columns {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    label(ui, *name, size::SMALL, palette.soft_ink).on_hover_text(*tip);
                });
            }
            label(ui, "Worst is", size::SMALL, palette.soft_ink);
            ui.end_row();
            for (wanted, row) in table.wanted.iter().zip(&rows) {
                asked = name_ui(ui, wanted, table, palette).or(asked.take());
                match row {
                    Some(row) => cells_ui(ui, row, wanted.fresh, priced, table.units, palette),
                    None => {
                        let text = match &wanted.answer {
                            Some(Err(1)) => "1 thing is wrong".to_owned(),
                            Some(Err(count)) => format!("{count} things are wrong"),
                            _ => "Solving …".to_owned(),
                        };
                        label(ui, text, size::SMALL, palette.alert);
                    }
                }
                ui.end_row();
            }
        });
    });
    asked
}

fn name_ui(ui: &mut Ui, wanted: &Wanted, table: &Table, palette: &Palette) -> Option<Command> {
    let lit = wanted.version == *table.shown;
    let mut text = words(wanted.version.name(), size::SMALL + 1.0, palette.ink);
    if lit {
        text = text.strong();
        if wanted.version != Version::Drawn {
            text = text.color(palette.variant);
        }
    }
    let misfits = match wanted.misfits {
        0 => String::new(),
        1 => "\n1 step does not fit what is drawn".to_owned(),
        count => format!("\n{count} steps do not fit what is drawn"),
    };
    let button = Button::selectable(lit, text);
    let clicked = ui.add(button).on_hover_text(format!("Show {}{misfits}", wanted.version.name())).clicked();
    clicked.then(|| Command::ShowVersion(wanted.version.clone()))
}

/// The figures of a version; those of before the last step are soft.
fn cells_ui(ui: &mut Ui, row: &Row, fresh: bool, priced: bool, units: Units, palette: &Palette) {
    let none = || "–".to_owned();
    let plain = if fresh { palette.ink } else { palette.soft_ink };
    let of = |kept: Option<Kept>| {
        let ink = match kept {
            Some(kept) if fresh && kept.margin_db < 0.0 => palette.alert,
            _ => plain,
        };
        let [margin, chance] = kept.map_or([none(), none()], |it| [signed(it.margin_db), chance(it.probability)]);
        [(margin, ink), (chance, ink)]
    };
    let added = match (row.added_kg, row.added_kg_m2) {
        (0.0, _) => none(),
        (kg, most) if most > 0.0 => format!("{kg:.0} kg, {most:.0}/m²"),
        (kg, _) => format!("{kg:.0} kg"),
    };
    let [margin, kept] = of(row.kept);
    let [worst, worst_kept] = of(row.worst.as_ref().map(|(_, kept)| *kept));
    let lost = if row.lost_m2 == 0.0 { none() } else { length::area(row.lost_m2, units) };
    let mut cells = vec![
        (row.level_db.map_or_else(none, decimal), plain),
        (row.change_db.map_or_else(none, signed), plain),
        margin,
        kept,
        worst,
        worst_kept,
        (added, plain),
        (lost, plain),
        (row.headroom_m.map_or_else(none, |height_m| length::write(height_m, units)), plain),
    ];
    if priced {
        cells.push((row.cost.clone().unwrap_or_else(none), plain));
    }
    for (text, ink) in cells {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| label(ui, text, size::SMALL + 1.0, ink));
    }
    label(ui, row.worst.as_ref().map_or_else(none, |(name, _)| name.clone()), size::SMALL, palette.soft_ink);
}
