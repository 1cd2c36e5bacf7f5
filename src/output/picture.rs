//! A drawing as SVG text, or as a PNG, without a graphics adapter and without the machine's fonts.

use std::fmt::Write as _;
use std::sync::Arc;

use resvg::{tiny_skia, usvg};

use super::drawing::{Anchor, Drawing, Form, Lettering, Point, Shape, Stroke};
use super::palette::Colour;
use crate::scene::shown::steers;

/// How far below the anchor (half the height of the capitals) the baseline lies, parts of the letter size.
/// Source: cap height 693 of 1000 units of the typeface Ubuntu Light.
const BASELINE: f64 = 0.3465;

/// Typefaces to try: the one the widths are those of, then what most machines have.
const FAMILY: &str = "Ubuntu, 'Segoe UI', 'Helvetica Neue', Arial, sans-serif";

/// Width of a picture when none is asked for, pixels.
pub const USUAL_WIDTH_PX: u32 = 1800;

/// Largest width or height of a picture, pixels: beyond it a typing error would fill the memory.
pub const LARGEST_PX: u32 = 16_384;

/// Most pixels of one picture: 400 MB while it is painted.
pub const MOST_PX: u64 = 100_000_000;

/// Most pixels of all frames of an animation: some minutes of painting.
pub const MOST_MOVING_PX: usize = 5_000_000_000;

/// Why a picture could not be made: a clause that says what to ask for instead.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct PictureError(String);

impl PictureError {
    /// The renderer refused it.
    fn refused<W: std::fmt::Display>(why: W) -> Self {
        Self(format!("the picture could not be painted: {why}"))
    }
}

/// The drawing as SVG, `width_px` wide.
///
/// # Errors
///
/// When the width, or the height that follows from the drawing's shape, is 0 or above [`LARGEST_PX`].
pub fn svg(drawing: &Drawing, width_px: u32) -> Result<String, PictureError> {
    page(drawing, width_px, true)
}

/// With its ground, or its shapes alone: to be painted over something.
fn page(drawing: &Drawing, width_px: u32, ground: bool) -> Result<String, PictureError> {
    let [wide, high] = drawing.size_m();
    let height_px = (f64::from(width_px) * high / wide).round();
    let height = if height_px.is_finite() { height_px as u32 } else { 0 };
    if !(1..=LARGEST_PX).contains(&width_px) || !(1..=LARGEST_PX).contains(&height) {
        let both = format!("{width_px} × {height} pixels cannot be made; both must be from 1 to {LARGEST_PX}");
        return Err(PictureError(format!("a picture of {both}")));
    }
    let page = Page { drawing, scale: f64::from(width_px) / wide };
    let mut out = String::with_capacity(64 * 1024);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width_px}\" height=\"{height}\" viewBox=\"0 0 {width_px} {height}\" \
         font-family=\"{FAMILY}\" stroke-linejoin=\"round\">\n<title>{}</title>\n",
        escaped(&drawing.title),
    );
    if ground {
        let _ = writeln!(out, "<rect width=\"100%\" height=\"100%\" fill=\"{}\"/>", drawing.background.hex());
    }
    for shape in &drawing.shapes {
        page.form(&mut out, &shape.form);
    }
    out.push_str("</svg>\n");
    Ok(out)
}

/// The drawing as a PNG file, `width_px` wide, set in the typeface the program carries with it.
///
/// # Errors
///
/// As [`svg`]; and when the renderer refuses, which only a fault in this program can cause.
pub fn png(drawing: &Drawing, width_px: u32) -> Result<Vec<u8>, PictureError> {
    let pixels = pixels(&svg(drawing, width_px)?, None)?;
    pixels.encode_png().map_err(PictureError::refused)
}

/// The drawing as an animated PNG that runs round and round: over the drawing, one after the other, the shapes of each of `frames`, `per_second`
/// of them a second; `painted` is called after each. Programs that know no animation show the first. Source: PNG Specification (Third Edition), W3C 2025, 11.3.6 (acTL, fcTL, fdAT).
///
/// # Errors
///
/// As [`png()`]; and when there are no frames.
pub fn animation(
    drawing: &Drawing,
    frames: &[Vec<Shape>],
    per_second: u16,
    width_px: u32,
    painted: &dyn Fn(),
) -> Result<Vec<u8>, PictureError> {
    let ground = pixels(&svg(drawing, width_px)?, None)?;
    if ground.pixels().len().saturating_mul(frames.len()) > MOST_MOVING_PX {
        let all = format!("{} frames of {} × {} pixels", frames.len(), ground.width(), ground.height());
        return Err(PictureError(format!("{all} would take too long; ask for a smaller width, or fewer seconds")));
    }
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, ground.width(), ground.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let count = u32::try_from(frames.len()).unwrap_or(u32::MAX);
    encoder.set_animated(count, 0).map_err(PictureError::refused)?;
    encoder.set_frame_delay(1, per_second.max(1)).map_err(PictureError::refused)?;
    let mut writer = encoder.write_header().map_err(PictureError::refused)?;
    let mut rgb = Vec::with_capacity(3 * ground.pixels().len());
    for shapes in frames {
        let over = Drawing { shapes: shapes.clone(), ..drawing.clone() };
        let frame = pixels(&page(&over, width_px, false)?, Some(ground.clone()))?;
        rgb.clear();
        // The ground covers everything: nothing is seen through.
        rgb.extend(frame.pixels().iter().flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]));
        writer.write_image_data(&rgb).map_err(PictureError::refused)?;
        painted();
    }
    writer.finish().map_err(PictureError::refused)?;
    Ok(bytes)
}

/// Paints SVG text, over what is there already or on an empty ground.
fn pixels(text: &str, onto: Option<tiny_skia::Pixmap>) -> Result<tiny_skia::Pixmap, PictureError> {
    let mut fonts = usvg::fontdb::Database::new();
    fonts.load_font_source(usvg::fontdb::Source::Binary(Arc::new(epaint_default_fonts::UBUNTU_LIGHT)));
    let family = fonts.faces().next().and_then(|face| face.families.first()).map(|(name, _)| name.clone());
    let options =
        usvg::Options { fontdb: Arc::new(fonts), font_family: family.unwrap_or_default(), ..usvg::Options::default() };
    // The only typeface at hand, whatever the SVG asks for first.
    let text = text.replacen(FAMILY, &options.font_family, 1);
    let tree = usvg::Tree::from_str(&text, &options).map_err(PictureError::refused)?;
    let size = tree.size().to_int_size();
    if u64::from(size.width()) * u64::from(size.height()) > MOST_PX {
        let both = format!("{} × {} pixels", size.width(), size.height());
        return Err(PictureError(format!("a picture of {both} is too large; ask for a smaller width")));
    }
    let empty = || tiny_skia::Pixmap::new(size.width(), size.height());
    let mut pixels = onto.or_else(empty).ok_or_else(|| PictureError::refused("no room"))?;
    resvg::render(&tree, tiny_skia::Transform::identity(), &mut pixels.as_mut());
    Ok(pixels)
}

/// Metres to pixels, y downwards.
struct Page<'a> {
    drawing: &'a Drawing,
    scale: f64,
}

impl Page<'_> {
    fn at(&self, point: Point) -> (f64, f64) {
        ((point[0] - self.drawing.min[0]) * self.scale, (self.drawing.max[1] - point[1]) * self.scale)
    }

    fn form(&self, out: &mut String, form: &Form) {
        let scale = self.scale;
        // Writing to a String cannot fail.
        let _ = match form {
            Form::Polygon { rings, fill, stroke } => {
                out.push_str("<path d=\"");
                for ring in rings {
                    self.path(out, ring);
                    out.push('Z');
                }
                writeln!(out, "\" fill-rule=\"evenodd\"{}{}/>", filled(*fill), self.stroked(*stroke))
            }
            Form::Line { points, stroke } => {
                out.push_str("<path d=\"");
                self.path(out, points);
                writeln!(out, "\"{}{}/>", filled(None), self.stroked(Some(*stroke)))
            }
            Form::Circle { centre, radius_m, fill, stroke } => {
                let (x, y) = self.at(*centre);
                let radius = radius_m * scale;
                writeln!(
                    out,
                    "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius:.2}\"{}{}/>",
                    filled(*fill),
                    self.stroked(*stroke)
                )
            }
            Form::Text { at, text, style: Lettering { size_m, anchor, rotation_deg, colour, strong, halo } } => {
                let (x, y) = self.at(*at);
                let size = size_m * scale;
                let anchor = match anchor {
                    Anchor::Start => "start",
                    Anchor::Middle => "middle",
                    Anchor::End => "end",
                };
                let turn = if *rotation_deg == 0.0 {
                    String::new()
                } else {
                    format!(" transform=\"rotate({:.1} {x:.2} {y:.2})\"", -rotation_deg)
                };
                let letters = format!(
                    "x=\"{x:.2}\" y=\"{:.2}\" font-size=\"{size:.2}\" text-anchor=\"{anchor}\"{turn}",
                    y + BASELINE * size
                );
                let text = escaped(text);
                if let Some(halo) = halo {
                    let width = 0.26 * size;
                    let opacity = 0.85 * f64::from(halo.a) / 255.0;
                    let _ = writeln!(
                        out,
                        "<text {letters} fill=\"none\" stroke=\"{}\" stroke-opacity=\"{opacity:.2}\" stroke-width=\"{width:.2}\" aria-hidden=\"true\">{text}</text>",
                        halo.hex()
                    );
                }
                // The typeface has one weight; a thin rim of the same colour makes it heavier.
                let heavy = if *strong {
                    format!(" stroke=\"{}\" stroke-width=\"{:.2}\"", colour.hex(), 0.036 * size)
                } else {
                    String::new()
                };
                writeln!(out, "<text {letters}{}{heavy}>{text}</text>", filled(Some(*colour)))
            }
        };
    }

    fn path(&self, out: &mut String, points: &[Point]) {
        for (at, point) in points.iter().enumerate() {
            let (x, y) = self.at(*point);
            let _ = write!(out, "{}{x:.2} {y:.2}", if at == 0 { 'M' } else { 'L' });
        }
    }

    fn stroked(&self, stroke: Option<Stroke>) -> String {
        let Some(Stroke { colour, width_m, dash_m }) = stroke else { return String::new() };
        let mut text = format!(
            " stroke=\"{}\" stroke-width=\"{:.2}\"{}",
            colour.hex(),
            width_m * self.scale,
            opacity("stroke", colour)
        );
        if let Some([dash, gap]) = dash_m {
            let _ = write!(text, " stroke-dasharray=\"{:.2} {:.2}\"", dash * self.scale, gap * self.scale);
        }
        text
    }
}

fn filled(fill: Option<Colour>) -> String {
    fill.map_or_else(
        || " fill=\"none\"".to_owned(),
        |colour| format!(" fill=\"{}\"{}", colour.hex(), opacity("fill", colour)),
    )
}

fn opacity(of: &str, colour: Colour) -> String {
    if colour.a == 255 { String::new() } else { format!(" {of}-opacity=\"{:.3}\"", f64::from(colour.a) / 255.0) }
}

/// Text made safe inside XML: markup escaped, left out what XML 1.0 forbids (control characters) and what turns the direction of writing.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            letter if steers(letter) || matches!(letter, '\u{fffe}' | '\u{ffff}') => safe.push(' '),
            letter => safe.push(letter),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::super::drawing::{Part, Shape};
    use super::*;

    fn drawing(text: &str) -> Drawing {
        let at = [5.0, 2.5];
        Drawing {
            min: [0.0, 0.0],
            max: [10.0, 5.0],
            background: Colour::rgb(0, 0, 0),
            title: text.to_owned(),
            shapes: vec![Shape {
                form: Form::Text {
                    at,
                    text: text.to_owned(),
                    style: Lettering {
                        halo: Some(Colour::rgb(0, 0, 0)),
                        ..Lettering::new(1.0, Colour::rgb(255, 255, 255)).middle().strong()
                    },
                },
                part: Part::Plan,
                shows: None,
            }],
        }
    }

    #[test]
    fn any_name_makes_well_formed_svg() {
        for name in ["a < b & \"c\"", "Bob's\u{7}\u{0} room", "日本 é", "]]>", ""] {
            let text = svg(&drawing(name), 400).unwrap();
            usvg::roxmltree::Document::parse(&text).unwrap_or_else(|error| panic!("{name:?}: {error}"));
        }
    }

    #[test]
    fn letters_are_painted_without_the_fonts_of_the_machine() {
        let bytes = png(&drawing("Hall"), 200).unwrap();
        let pixels = tiny_skia::Pixmap::decode_png(&bytes).unwrap();
        assert_eq!((pixels.width(), pixels.height()), (200, 100));
        let bright = pixels.pixels().iter().filter(|pixel| pixel.red() > 128).count();
        assert!(bright > 50, "{bright} bright pixels");
    }

    #[test]
    fn impossible_sizes_are_refused() {
        for width_px in [0, 100_000] {
            assert!(svg(&drawing("x"), width_px).unwrap_err().to_string().contains("both must be from 1 to 16384"));
        }
    }
}
