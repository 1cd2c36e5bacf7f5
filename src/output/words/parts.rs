//! Names, levels and shares as they stand in sentences.

/// A level in whole decibels: "52 dB(A)"; what is below 0 dB(A) is said so.
#[must_use]
pub fn level(la_db: f64) -> String {
    if la_db >= -0.5 { format!("{:.0} dB(A)", la_db.max(0.0)) } else { "under 0 dB(A)".to_owned() }
}

/// A share for lists: "61 %", "3.2 %", "0.4 %", "under 0.1 %".
#[must_use]
pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent >= 9.95 {
        format!("{percent:.0} %")
    } else if percent >= 0.05 {
        format!("{percent:.1} %")
    } else {
        "under 0.1 %".to_owned()
    }
}

/// Shares as whole parts that add up as the shares do (to `whole` when they add to 1): the largest remainders are rounded up.
pub(crate) fn apportioned(shares: &[f64], whole: u32) -> Vec<i64> {
    let exact: Vec<f64> = shares.iter().map(|share| f64::from(whole) * share).collect();
    let mut parts: Vec<i64> = exact.iter().map(|value| value.floor() as i64).collect();
    let missing = exact.iter().sum::<f64>().round() as i64 - parts.iter().sum::<i64>();
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|a, b| exact[*b].fract().total_cmp(&exact[*a].fract()));
    for at in order.into_iter().take(usize::try_from(missing).unwrap_or(0)) {
        parts[at] += 1;
    }
    parts
}

/// How probable it is that a limit is kept, after "It is": no per cent where nobody would bet against it.
pub(crate) fn chance(probability: f64) -> String {
    match probability {
        p if p < 0.01 => "practically never kept".to_owned(),
        p if p > 0.99 => "practically always kept".to_owned(),
        p => format!("kept with a chance of {:.0} %", 100.0 * p),
    }
}

/// A share for sentences: whole percents.
pub(super) fn percent_whole(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 99.5 && percent < 100.0 - 1e-9 {
        "over 99 %".to_owned()
    } else if percent > 0.0 && percent < 0.5 {
        "under 1 %".to_owned()
    } else {
        format!("{percent:.0} %")
    }
}

/// A name inside a sentence: "Party wall" becomes "the party wall"; "Anna's room", "my kitchen", "Room 16" and "outdoors" stand without an
/// article.
pub(crate) fn noun(name: &str) -> String {
    let name = name.trim();
    let mut letters = name.chars();
    let lowered: String = match (letters.next(), letters.next()) {
        // "TV set" keeps its capitals.
        (Some(a), Some(b)) if a.is_uppercase() && b.is_lowercase() => {
            a.to_lowercase().chain(name.chars().skip(1)).collect()
        }
        _ => name.to_owned(),
    };
    let first = name.split_whitespace().next().unwrap_or("");
    let somebody = ["'s", "’s", "s'", "s’"].iter().any(|ending| first.ends_with(ending));
    if somebody && first.starts_with(char::is_uppercase) {
        return name.to_owned();
    }
    let rest: Vec<&str> = name.split_whitespace().skip(1).collect();
    let counted = matches!(rest[..], [number] if number.chars().all(|letter| letter.is_ascii_digit()));
    let bare = counted || BARE.contains(&first.to_lowercase().as_str());
    if bare { lowered } else { format!("the {lowered}") }
}

/// Words that begin a name which takes no article, or brings its own.
const BARE: [&str; 15] =
    ["outdoors", "the", "a", "an", "my", "our", "your", "his", "her", "its", "their", "this", "that", "what", "no"];

/// A name at the head of a line: its first letter a capital.
#[must_use]
pub fn heading(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A sentence of more words than this is parted or made shorter.
pub(super) const WORDS: usize = 25;

/// True for a sentence that can be taken in at once.
pub(super) fn is_short(sentence: &str) -> bool {
    sentence.split_whitespace().count() <= WORDS
}

/// "a, b and c".
pub(crate) fn series(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_fit_into_sentences() {
        assert_eq!(noun("Party wall"), "the party wall");
        assert_eq!(noun("wall between shop and stairs"), "the wall between shop and stairs");
        assert_eq!(noun("Anna's room"), "Anna's room");
        assert_eq!(noun("TV set"), "the TV set");
        assert_eq!(noun("outdoors"), "outdoors");
        assert_eq!(noun("My drum kit"), "my drum kit");
        assert_eq!(noun("Room 16"), "room 16");
        assert_eq!(noun("Loft over no. 10"), "the loft over no. 10");
        assert_eq!(noun("bedroom, no. 10"), "the bedroom, no. 10");
        assert_eq!(noun("neighbour's bedroom"), "the neighbour's bedroom");
        assert_eq!(heading("élan room"), "Élan room");
    }

    #[test]
    fn shares_never_claim_too_much() {
        assert_eq!(percent(0.614), "61 %");
        assert_eq!(percent(0.0321), "3.2 %");
        assert_eq!(percent(0.0001), "under 0.1 %");
        assert_eq!(percent_whole(0.9999), "over 99 %");
        assert_eq!(percent_whole(0.001), "under 1 %");
        assert_eq!(percent_whole(1.0), "100 %");
    }

    #[test]
    fn printed_shares_add_to_the_whole() {
        for shares in [vec![1.0 / 3.0; 3], vec![0.5, 0.25, 0.125, 0.0625, 0.0625], vec![1.0], vec![0.9996, 0.0004]] {
            assert_eq!(apportioned(&shares, 1000).iter().sum::<i64>(), 1000, "{shares:?}");
            assert_eq!(apportioned(&shares, 100).iter().sum::<i64>(), 100, "{shares:?}");
        }
        assert_eq!(apportioned(&[1.0 / 3.0; 3], 1000), [334, 333, 333]);
    }

    #[test]
    fn levels_below_nothing_are_said_so() {
        assert_eq!(level(51.6), "52 dB(A)");
        assert_eq!(level(-12.0), "under 0 dB(A)");
        assert_eq!(level(f64::NEG_INFINITY), "under 0 dB(A)");
    }
}
