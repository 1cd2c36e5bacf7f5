//! A family of builds in one figure: computed against published, with the band of scatter.

use std::fmt::Write as _;

/// Side of the figure and its margin, pixels; the axes go from 0 to this, dB.
const SIDE: f64 = 420.0;
const MARGIN: f64 = 44.0;
const HIGHEST_DB: f64 = 90.0;
/// What is drawn apart, Hz.
const LOW_HZ: f64 = 160.0;

/// The figure of `points`: midband, published and computed value, dB. The band holds the mean deviation and a standard deviation on both sides.
pub(crate) fn svg(title: &str, points: &[(f64, f64, f64)]) -> String {
    let count = points.len() as f64;
    let mean = points.iter().map(|(_, published, computed)| computed - published).sum::<f64>() / count;
    let square = points.iter().map(|(_, published, computed)| (computed - published - mean).powi(2)).sum::<f64>();
    let spread = (square / count).sqrt();
    let scale = (SIDE - 2.0 * MARGIN) / HIGHEST_DB;
    let x = |db: f64| MARGIN + db.clamp(0.0, HIGHEST_DB) * scale;
    let y = |db: f64| SIDE - MARGIN - db.clamp(0.0, HIGHEST_DB) * scale;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {SIDE} {SIDE}\" font-family=\"sans-serif\" font-size=\"11\">\n\
         <title>{title}: computed against published</title>\n<rect width=\"{SIDE}\" height=\"{SIDE}\" fill=\"#fff\"/>\n"
    );
    let (low, high) = (mean - spread, mean + spread);
    let corners = [(0.0, low), (HIGHEST_DB, HIGHEST_DB + low), (HIGHEST_DB, HIGHEST_DB + high), (0.0, high)];
    let corners: Vec<_> = corners.iter().map(|(a, b)| format!("{:.1},{:.1}", x(*a), y(*b))).collect();
    let _ = writeln!(out, "<polygon points=\"{}\" fill=\"#dde7f0\"/>", corners.join(" "));
    for step in 0..=9 {
        let db = f64::from(step) * 10.0;
        let (at, up) = (x(db), y(db));
        let (left, right) = (x(0.0), x(HIGHEST_DB));
        let _ = writeln!(
            out,
            "<path d=\"M{at:.1} {left:.1}V{right:.1}M{left:.1} {up:.1}H{right:.1}\" stroke=\"#ccc\" stroke-width=\".5\" fill=\"none\"/>\n\
             <text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{db}</text>\n<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{db}</text>",
            right + 15.0,
            left - 5.0,
            up + 4.0
        );
    }
    let (start, end) = (x(0.0), x(HIGHEST_DB));
    let _ = writeln!(out, "<path d=\"M{start:.1} {end:.1}L{end:.1} {start:.1}\" stroke=\"#555\" fill=\"none\"/>");
    for (hz, published, computed) in points {
        let fill = if *hz <= LOW_HZ { "#b3331a" } else { "#22558a" };
        let (across, up) = (x(*published), y(*computed));
        let _ =
            writeln!(out, "<circle cx=\"{across:.1}\" cy=\"{up:.1}\" r=\"2.4\" fill=\"{fill}\" fill-opacity=\".75\"/>");
    }
    let _ = writeln!(
        out,
        "<text x=\"{MARGIN}\" y=\"18\" font-size=\"13\">{title}: {mean:+.1} ± {spread:.1} dB</text>\n\
         <text x=\"{MARGIN}\" y=\"33\">{} bands; red: to {LOW_HZ} Hz</text>\n\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">published, dB (upwards: computed)</text>\n</svg>",
        points.len(),
        SIDE / 2.0,
        SIDE - 10.0
    );
    out
}
