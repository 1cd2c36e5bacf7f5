//! Text of a file as it may be sent to a terminal or set in a line: what would steer the reader's screen is shown instead.

use std::borrow::Cow;

use super::model::Scene;

/// Whether a letter steers instead of showing: control characters, and those that turn the direction of what follows or break lines (Unicode
/// Standard Annex #9, table of explicit formatting characters; U+2028 and U+2029).
#[must_use]
pub fn steers(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The text in one line, with `\u{1b}` in the place of what steers.
///
/// ```
/// # use leaklight::scene::shown::shown;
/// assert_eq!(shown("red \u{1b}[31m door"), r"red \u{1b}[31m door");
/// assert_eq!(shown("Büro 2"), "Büro 2");
/// ```
#[must_use]
pub fn shown(text: &str) -> Cow<'_, str> {
    with(text, steers, escaped)
}

/// As [`shown`], where lines and tabs are the writer's own.
#[must_use]
pub fn shown_in_lines(text: &str) -> Cow<'_, str> {
    with(text, |letter| steers(letter) && !matches!(letter, '\n' | '\t'), escaped)
}

/// JSON text, which escapes most of it already, with the rest escaped as JSON does.
#[must_use]
pub fn shown_in_json(text: &str) -> Cow<'_, str> {
    // All that steers lies in the first plane.
    with(text, |letter| steers(letter) && letter != '\n', |letter| format!("\\u{:04x}", u32::from(letter)))
}

fn with(text: &str, hidden: impl Fn(char) -> bool, escape: impl Fn(char) -> String) -> Cow<'_, str> {
    if !text.contains(&hidden) {
        return Cow::Borrowed(text);
    }
    let shown = |letter| if hidden(letter) { escape(letter) } else { String::from(letter) };
    Cow::Owned(text.chars().map(shown).collect())
}

fn escaped(letter: char) -> String {
    letter.escape_unicode().to_string()
}

impl Scene {
    /// The scene with every name people read [`shown`]: for tables, sentences and pictures. Ids are words already in a sound scene.
    #[must_use]
    pub fn shown(mut self) -> Self {
        let show = |text: &mut String| {
            if let Cow::Owned(safe) = shown(text) {
                *text = safe;
            }
        };
        show(&mut self.name);
        for storey in &mut self.storeys {
            show(&mut storey.name);
            storey.rooms.iter_mut().for_each(|room| show(&mut room.name));
            storey.openings.iter_mut().for_each(|opening| show(&mut opening.name));
        }
        for source in &mut self.sources {
            show(&mut source.name);
            source.contacts.iter_mut().for_each(|contact| show(&mut contact.name));
        }
        self.listeners.iter_mut().for_each(|listener| show(&mut listener.name));
        self.ducts.iter_mut().for_each(|duct| show(&mut duct.name));
        for construction in &mut self.constructions {
            show(&mut construction.name);
            show(&mut construction.caution);
            show(&mut construction.provenance.place);
        }
        self.variants.iter_mut().for_each(|variant| show(&mut variant.name));
        show(&mut self.residual.proof);
        show(&mut self.prices.currency);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_shown() {
        assert_eq!(shown("a\u{202e}b\nc\u{9b}"), r"a\u{202e}b\u{a}c\u{9b}");
        assert_eq!(shown_in_lines("a\n\tb\u{7}"), "a\n\tb\\u{7}");
        assert!(matches!(shown("Salón · 日本"), Cow::Borrowed(_)));
    }

    #[test]
    fn json_stays_json() {
        let text = serde_json::to_string("a\u{202e}\u{1b}\u{7f}").unwrap();
        let safe = shown_in_json(&text);
        assert!(!safe.contains(steers), "{safe}");
        assert_eq!(serde_json::from_str::<String>(&safe).unwrap(), "a\u{202e}\u{1b}\u{7f}");
    }
}
