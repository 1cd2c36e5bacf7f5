//! How wide letters are, so that labels can be laid out without a window or a font library at hand.

/// Advance widths of the characters from space to tilde, thousandths of the em.
/// Source: `hmtx` table of the typeface Ubuntu Light, the one the pictures are set in.
const ADVANCE: [u16; 95] = [
    228, 274, 392, 653, 564, 831, 648, 240, 310, 310, 472, 564, 246, 282, 246, 359, 564, 564, 564, 564, 564, 564, 564,
    564, 564, 564, 246, 246, 564, 564, 564, 380, 940, 641, 630, 609, 702, 555, 520, 658, 692, 248, 487, 599, 502, 865,
    709, 774, 592, 774, 618, 517, 548, 680, 624, 921, 608, 569, 560, 310, 359, 310, 564, 490, 376, 509, 583, 460, 583,
    548, 376, 573, 569, 237, 237, 495, 255, 863, 569, 582, 583, 583, 374, 428, 387, 569, 480, 775, 499, 474, 455, 319,
    262, 319, 564,
];

/// Width of a text set in letters of size 1.
#[must_use]
pub fn width(text: &str) -> f64 {
    text.chars()
        .map(|letter| match letter {
            ' '..='~' => f64::from(ADVANCE[letter as usize - 32]) / 1000.0,
            '’' | '‘' | '·' => 0.25,
            '…' => 0.996,
            // Mean of the accented Latin letters; others (ideographs) are as wide as they are high.
            '\u{a0}'..='\u{2fff}' => 0.57,
            _ => 1.0,
        })
        .sum()
}

/// A text broken between words into lines no wider than `limit` (letters of size 1). A word longer than that stays whole.
pub(crate) fn wrap(text: &str, limit: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(line) + width(" ") + width(word) <= limit => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// A text cut to a width (letters of size 1), with an ellipsis when it is cut.
#[must_use]
pub fn cut(text: &str, limit: f64) -> String {
    if width(text) <= limit {
        return text.to_owned();
    }
    let mut short = String::new();
    for letter in text.chars() {
        short.push(letter);
        if width(&short) + width("…") > limit {
            short.pop();
            break;
        }
    }
    format!("{}…", short.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_add_up() {
        assert!((width("iM") - 1.102).abs() < 1e-12, "{}", width("iM"));
        assert_eq!(width(""), 0.0);
    }

    #[test]
    fn lines_keep_to_the_limit_and_lose_no_word() {
        let text = "wall between the rehearsal room and the upstairs landing";
        let lines = wrap(text, 8.0);
        assert!(lines.len() > 2 && lines.iter().all(|line| width(line) <= 8.0), "{lines:?}");
        assert_eq!(lines.join(" "), text);
    }

    #[test]
    fn a_cut_text_fits() {
        assert!(width(&cut("Neighbour’s bedroom", 5.0)) <= 5.0);
        assert!(cut("Neighbour’s bedroom", 5.0).ends_with('…'));
        assert_eq!(cut("Shop", 5.0), "Shop");
    }
}
