//! Lines for a terminal: columns of cells, paragraphs, numbers.

use std::fmt::Write as _;

/// Columns of a name before it is cut.
const NAME_COLUMNS: usize = 44;

/// A column of cells: as wide as its widest.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Blanks before it.
    gap: usize,
    /// It is at least so wide.
    least: usize,
    right: bool,
}

impl Column {
    /// Words, from the left.
    pub const WORDS: Self = Self { gap: 2, least: 0, right: false };
    /// Numbers, to the right.
    pub const NUMBERS: Self = Self { gap: 2, least: 0, right: true };
    /// Levels by octave under their frequencies.
    pub const OCTAVE: Self = Self { gap: 0, least: 7, right: true };

    /// The same, at least so wide.
    #[must_use]
    pub const fn least(self, least: usize) -> Self {
        Self { least, ..self }
    }

    /// The same, after so many blanks.
    #[must_use]
    pub const fn after(self, gap: usize) -> Self {
        Self { gap, ..self }
    }
}

/// Rows of cells as lines; columns beyond the last one named are like it.
#[must_use]
pub fn table(columns: &[Column], rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let columns: Vec<Column> = (0..count)
        .filter_map(|at| columns.get(at).or(columns.last()).map(|column| (at, column)))
        .map(|(at, column)| {
            let widths = rows.iter().filter_map(|row| row.get(at)).map(|cell| cell.chars().count());
            column.least(widths.fold(column.least, usize::max))
        })
        .collect();
    let mut out = String::new();
    for row in rows {
        let start = out.len();
        for (cell, Column { gap, least, right }) in row.iter().zip(&columns) {
            let _ = if *right {
                write!(out, "{:gap$}{cell:>least$}", "")
            } else {
                write!(out, "{:gap$}{cell:<least$}", "")
            };
        }
        out.truncate(start + out[start..].trim_end().len());
        out.push('\n');
    }
    out
}

/// A row of cells.
pub(super) fn row<const N: usize>(cells: [&str; N]) -> Vec<String> {
    cells.map(str::to_owned).into()
}

/// A row of cells behind its heading.
pub(crate) fn headed(heading: &str, cells: impl IntoIterator<Item = String>) -> Vec<String> {
    std::iter::once(heading.to_owned()).chain(cells).collect()
}

/// One decimal; a dash for what is not there.
pub(crate) fn decimal(db: f64) -> String {
    if db.is_finite() { format!("{:.1}", if db.abs() < 0.05 { 0.0 } else { db }) } else { "–".to_owned() }
}

/// A name, cut where it is too long for a table.
pub(super) fn cut(name: &str) -> String {
    if name.chars().count() <= NAME_COLUMNS {
        return name.to_owned();
    }
    let short: String = name.chars().take(NAME_COLUMNS - 1).collect();
    format!("{}…", short.trim_end())
}

/// Text broken between words into lines of at most `columns` characters behind a mark; they begin under each other.
pub(crate) fn paragraph(mark: &str, text: &str, columns: usize) -> String {
    let indent = mark.chars().count();
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        // A unit stays with its number.
        let unit = ["%", "dB", "Hz"].iter().any(|unit| word.starts_with(unit));
        match lines.last_mut() {
            Some(line) if unit || line.chars().count() + 1 + word.chars().count() <= columns => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    let place = |at: usize| if at == 0 { mark.to_owned() } else { " ".repeat(indent) };
    lines.iter().enumerate().map(|(at, line)| format!("{}{line}\n", place(at))).collect()
}
