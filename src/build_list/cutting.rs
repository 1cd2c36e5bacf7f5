//! Pieces laid on sheets, so that saws get through: every cut goes from edge to edge.

use guillotiere::{AllocatorOptions, SimpleAtlasAllocator, size2};

/// What a saw takes away between two pieces, mm. Common practice, no source.
pub const KERF_MM: i32 = 3;

/// A sheet with the pieces cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutSheet {
    /// The pieces.
    pub placed: Vec<Placed>,
}

/// A piece in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Placed {
    /// Which piece: its position in the list given.
    pub piece: usize,
    /// Its lower left corner from that of the sheet, mm.
    pub at_mm: [i32; 2],
    /// Its size as it lies there, mm.
    pub size_mm: [i32; 2],
}

/// The pieces on as few sheets as some tries find: largest first, by four measures of large, upright or turned where they may be. Always the same
/// for the same pieces. What fits no sheet is left out and its positions are returned beside.
#[must_use]
pub fn cut(sheet_mm: [i32; 2], turns: bool, pieces_mm: &[[i32; 2]]) -> (Vec<CutSheet>, Vec<usize>) {
    let fits = |[wide, high]: [i32; 2]| wide <= sheet_mm[0] && high <= sheet_mm[1];
    let turned = |[wide, high]: [i32; 2]| [high, wide];
    let mut too_large = vec![];
    let mut sheets = vec![];
    let mut rest = vec![];
    for (piece, size_mm) in pieces_mm.iter().copied().enumerate() {
        if size_mm == sheet_mm || (turns && turned(size_mm) == sheet_mm) {
            sheets.push(CutSheet { placed: vec![Placed { piece, at_mm: [0, 0], size_mm: sheet_mm }] });
        } else if fits(size_mm) || (turns && fits(turned(size_mm))) {
            rest.push(piece);
        } else {
            too_large.push(piece);
        }
    }
    let area = |[wide, high]: [i32; 2]| i64::from(wide) * i64::from(high);
    let all: i64 = rest.iter().map(|piece| area(pieces_mm[*piece])).sum();
    let least = (all as f64 / area(sheet_mm).max(1) as f64).ceil() as i64;
    let measures: [fn([i32; 2]) -> i64; 4] = [
        |[wide, high]| i64::from(wide.max(high)) * 100_000 + i64::from(wide.min(high)),
        |[wide, high]| i64::from(wide) * i64::from(high),
        |[wide, high]| i64::from(high) * 100_000 + i64::from(wide),
        |[wide, high]| i64::from(wide) * 100_000 + i64::from(high),
    ];
    let mut best: Option<Vec<CutSheet>> = None;
    'tries: for measure in measures {
        let mut order = rest.clone();
        order.sort_by_key(|piece| (std::cmp::Reverse(measure(pieces_mm[*piece])), *piece));
        for turned_first in [false, true] {
            if turned_first && !turns {
                continue;
            }
            let found = laid(sheet_mm, turns, turned_first, pieces_mm, &order);
            if best.as_ref().is_none_or(|best| found.len() < best.len()) {
                best = Some(found);
            }
            if best.as_ref().is_some_and(|best| best.len() as i64 <= least) {
                break 'tries;
            }
        }
    }
    sheets.extend(best.unwrap_or_default());
    (sheets, too_large)
}

/// The pieces in an order, each on the first sheet that has room.
fn laid(sheet_mm: [i32; 2], turns: bool, turned_first: bool, pieces_mm: &[[i32; 2]], order: &[usize]) -> Vec<CutSheet> {
    // Best fit for pieces of any size.
    let options =
        AllocatorOptions { small_size_threshold: 1, large_size_threshold: i32::MAX, ..guillotiere::DEFAULT_OPTIONS };
    let mut open: Vec<(SimpleAtlasAllocator, CutSheet)> = vec![];
    for piece in order.iter().copied() {
        let [wide, high] = pieces_mm[piece];
        // A piece with the cut beside it, on a sheet that much larger: the last cut falls beyond its edge.
        let upright = size2(wide + KERF_MM, high + KERF_MM);
        let turned = size2(high + KERF_MM, wide + KERF_MM);
        let ways: &[_] = match (turns, turned_first) {
            (false, _) => &[upright],
            (true, false) => &[upright, turned],
            (true, true) => &[turned, upright],
        };
        let place = |(room, sheet): &mut (SimpleAtlasAllocator, CutSheet)| {
            let found = ways.iter().find_map(|way| room.allocate(*way))?;
            let size_mm = [found.width() - KERF_MM, found.height() - KERF_MM];
            sheet.placed.push(Placed { piece, at_mm: [found.min.x, found.min.y], size_mm });
            Some(())
        };
        if open.iter_mut().find_map(place).is_none() {
            let whole = size2(sheet_mm[0] + KERF_MM, sheet_mm[1] + KERF_MM);
            let mut next = (SimpleAtlasAllocator::with_options(whole, &options), CutSheet { placed: vec![] });
            if place(&mut next).is_some() {
                open.push(next);
            }
        }
    }
    open.into_iter().map(|(_, sheet)| sheet).collect()
}

/// How many bars of `bar_mm` the lengths take, the longest first, each from the first bar that has enough left; longer ones are joined.
#[must_use]
pub fn bars(bar_mm: i32, lengths_mm: impl IntoIterator<Item = i32>) -> usize {
    let mut whole = 0;
    let mut rest = vec![];
    for length in lengths_mm {
        whole += usize::try_from((length - 1).max(0) / bar_mm).unwrap_or(0);
        rest.push((length - 1).max(0) % bar_mm + 1);
    }
    rest.sort_unstable_by(|a, b| b.cmp(a));
    let mut left: Vec<i32> = vec![];
    for length in rest {
        match left.iter_mut().find(|left| **left >= length) {
            Some(left) => *left -= length + KERF_MM,
            None => left.push(bar_mm - length - KERF_MM),
        }
    }
    whole + left.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No overlap, all inside, every piece once.
    fn sound(sheet_mm: [i32; 2], pieces_mm: &[[i32; 2]], sheets: &[CutSheet]) {
        let mut seen = vec![0; pieces_mm.len()];
        for sheet in sheets {
            for (at, placed) in sheet.placed.iter().enumerate() {
                seen[placed.piece] += 1;
                let [x, y] = placed.at_mm;
                let [wide, high] = placed.size_mm;
                assert!(x >= 0 && y >= 0 && x + wide <= sheet_mm[0] && y + high <= sheet_mm[1], "{placed:?}");
                for other in &sheet.placed[..at] {
                    let apart = |axis: usize| {
                        placed.at_mm[axis] + placed.size_mm[axis] + KERF_MM <= other.at_mm[axis]
                            || other.at_mm[axis] + other.size_mm[axis] + KERF_MM <= placed.at_mm[axis]
                    };
                    assert!(apart(0) || apart(1), "{placed:?} lies on {other:?}");
                }
            }
        }
        assert!(seen.iter().all(|count| *count == 1), "{seen:?}");
    }

    /// By hand: from 1200 by 2400, four of 598 by 1198 (two by two, with one cut of 3 mm each way: 2 · 598 + 3 = 1199, 2 · 1198 + 3 = 2399); one mm
    /// wider and two lie side by side no more, so that eight fill four sheets upright, or turned as well (1198 + 599 by two is too much).
    #[test]
    fn as_many_as_by_hand() {
        let sheet_mm = [1200, 2400];
        let (sheets, _) = cut(sheet_mm, false, &[[598, 1198]; 8]);
        assert_eq!(sheets.len(), 2);
        sound(sheet_mm, &[[598, 1198]; 8], &sheets);
        let (sheets, _) = cut(sheet_mm, false, &[[599, 1198]; 8]);
        assert_eq!(sheets.len(), 4);
        // A strip of a third of each of three boards: what is left of them takes the fourth piece only if it may be turned.
        let pieces = [[798, 2400], [2400, 398]];
        assert_eq!(cut(sheet_mm, false, &pieces).1, [1]);
        let (sheets, too_large) = cut(sheet_mm, true, &pieces);
        assert_eq!((sheets.len(), too_large.len()), (1, 0));
        sound(sheet_mm, &pieces, &sheets);
    }

    #[test]
    fn pieces_of_any_size_never_overlap() {
        let mut state = 7_u32;
        let mut next = |most: u32| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            i32::try_from(1 + (state >> 8) % most).expect("small")
        };
        for turns in [false, true] {
            for _ in 0..50 {
                let pieces: Vec<[i32; 2]> = (0..30).map(|_| [next(1200), next(2400)]).collect();
                let (sheets, too_large) = cut([1200, 2400], turns, &pieces);
                assert!(too_large.is_empty());
                sound([1200, 2400], &pieces, &sheets);
                let area: i64 = pieces.iter().map(|[w, h]| i64::from(*w) * i64::from(*h)).sum();
                assert!(sheets.len() as i64 * 1200 * 2400 >= area);
                assert_eq!(cut([1200, 2400], turns, &pieces).0, sheets, "not the same twice");
            }
        }
    }

    /// By hand: of bars of 3 m, one for each stud of 2.4 m; two plates of 4 m are 3 m and 1 m each, and both ends of 1 m come from one bar.
    #[test]
    fn bars_as_by_hand() {
        assert_eq!(bars(3000, [2400; 8].into_iter().chain([4000; 2])), 8 + 2 + 1);
        assert_eq!(bars(3000, [1498; 2]), 1);
        assert_eq!(bars(3000, [1500; 2]), 2);
        assert_eq!(bars(3000, []), 0);
    }
}
