//! Published colour maps: perceptually even, and readable with colour-vision deficiency.
//!
//! Source of all but [`OR_RD`]: Crameri, Scientific colour maps 8.0 (doi:10.5281/zenodo.1243862, MIT licence);
//! Crameri, Shephard & Heron, Nature Communications 11, 5444 (2020). Of the 256 entries every eighth and the last are kept,
//! rounded to 8 bits.

/// A colour map: 33 entries, evenly spaced from one end to the other.
pub type Map = [[u8; 3]; 33];

/// "lajolla", sequential: black-brown, ember red, orange, pale yellow.
#[rustfmt::skip]
pub const LAJOLLA: Map = [
    [25, 25, 0], [32, 28, 4], [39, 30, 8], [47, 33, 13], [55, 36, 17], [65, 39, 22],
    [77, 43, 28], [89, 47, 34], [103, 52, 42], [118, 57, 49], [133, 62, 57], [150, 66, 63],
    [166, 70, 68], [183, 74, 72], [197, 79, 74], [209, 86, 76], [217, 96, 78], [222, 107, 79],
    [225, 117, 80], [227, 127, 80], [229, 136, 81], [231, 146, 82], [233, 155, 82], [235, 164, 83],
    [237, 174, 84], [239, 184, 86], [241, 194, 90], [244, 206, 99], [247, 218, 116], [250, 230, 138],
    [252, 240, 162], [254, 248, 184], [255, 254, 203],
];

/// "OrRd", sequential: paper, pale orange, red, dark red. For light sheets, where the strongest must be the strongest colour: lajolla ends there
/// in a brown that is all but grey, and begins in a yellow that shouts.
///
/// Source: Harrower & Brewer, The Cartographic Journal 40 (2003) 27 (ColorBrewer, Apache licence 2.0), 9 classes: every fourth entry. Those between
/// lie on straight lines in CIE L*a*b* (ISO/CIE 11664-4, D65).
#[rustfmt::skip]
pub const OR_RD: Map = [
    [255, 247, 236], [255, 243, 227], [255, 239, 218], [254, 236, 209], [254, 232, 200], [254, 227, 189],
    [254, 222, 179], [254, 217, 168], [253, 212, 158], [253, 206, 151], [253, 200, 145], [253, 193, 138],
    [253, 187, 132], [253, 176, 121], [253, 164, 110], [253, 153, 100], [252, 141, 89], [249, 131, 85],
    [246, 122, 80], [242, 111, 76], [239, 101, 72], [233, 89, 62], [227, 77, 52], [221, 63, 41],
    [215, 48, 31], [206, 39, 24], [197, 29, 16], [188, 17, 7], [179, 0, 0], [166, 0, 1],
    [153, 0, 1], [140, 0, 1], [127, 0, 0],
];

/// "berlin", diverging about black: pale blue, black, pale red. For dark sheets.
#[rustfmt::skip]
pub const BERLIN: Map = [
    [158, 176, 255], [140, 174, 246], [121, 171, 237], [101, 167, 226], [81, 159, 211], [65, 148, 193],
    [54, 133, 173], [46, 118, 153], [40, 104, 134], [34, 89, 115], [29, 75, 97], [24, 61, 79],
    [20, 48, 62], [17, 36, 46], [17, 26, 32], [18, 18, 20], [25, 12, 9], [34, 12, 2],
    [43, 14, 1], [53, 16, 0], [65, 18, 1], [77, 22, 2], [91, 29, 8], [108, 39, 17],
    [125, 52, 30], [142, 66, 46], [158, 81, 63], [174, 96, 81], [190, 111, 99], [206, 127, 118],
    [223, 143, 137], [240, 159, 156], [255, 173, 173],
];

/// "vik", diverging about white: dark blue, white, dark red-brown. For light sheets.
#[rustfmt::skip]
pub const VIK: Map = [
    [0, 18, 97], [2, 31, 105], [2, 43, 113], [2, 55, 121], [3, 68, 129], [5, 81, 137],
    [12, 94, 146], [28, 109, 156], [48, 125, 166], [72, 141, 178], [97, 158, 189], [122, 174, 200],
    [148, 190, 210], [173, 205, 221], [198, 219, 230], [222, 230, 233], [236, 229, 224], [238, 217, 205],
    [233, 202, 184], [226, 186, 162], [219, 170, 141], [213, 155, 121], [207, 140, 102], [201, 126, 83],
    [194, 112, 65], [188, 98, 47], [178, 81, 29], [163, 62, 13], [145, 45, 6], [129, 31, 6],
    [115, 20, 6], [101, 9, 7], [89, 0, 8],
];

/// The colour at a position of a map, 0 to 1, between its entries in proportion. Positions beyond the ends give the ends.
#[must_use]
pub fn at(map: &Map, position: f64) -> [u8; 3] {
    let along = position.clamp(0.0, 1.0) * (map.len() - 1) as f64;
    let (first, part) = (along.floor() as usize, along.fract());
    let next = (first + 1).min(map.len() - 1);
    let mix = |channel: usize| {
        (f64::from(map[first][channel]) * (1.0 - part) + f64::from(map[next][channel]) * part).round() as u8
    };
    [mix(0), mix(1), mix(2)]
}
