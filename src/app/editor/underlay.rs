//! Pictures to trace: read once each, and laid under the plan.

use std::collections::BTreeMap;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use bevy_egui::egui::{Color32, ColorImage, Painter, Pos2, Rect, TextureHandle, TextureOptions};

use crate::app::background::Inbox;
use crate::app::viewer::frame::Frame;
use crate::scene::Underlay;

/// A longer side is made smaller by leaving out points, pixels: what any graphics card takes.
const MOST_PX: usize = 4096;
/// Larger files are not read, bytes.
const MOST_BYTES: u64 = 80_000_000;
/// Pictures of more pixels are not decoded: a small file can hold any number. Decoded they take 8 bytes each.
const MOST_PIXELS: u64 = 60_000_000;

/// A picture once it is read, or why it cannot be.
type Read<T> = Result<T, String>;

/// The pictures read so far: when each was written last, and what it shows.
#[derive(Default)]
pub struct Pictures {
    known: BTreeMap<PathBuf, (Option<SystemTime>, Option<Read<TextureHandle>>)>,
    arriving: Inbox<(PathBuf, Read<ColorImage>)>,
}

impl Pictures {
    /// Lays a picture under the plan, once it is read beside the window; what is wrong with it, as a sentence.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or is no PNG or JPEG picture.
    pub fn paint(
        &mut self,
        painter: &Painter,
        frame: &Frame,
        underlay: &Underlay,
        folder: &Path,
    ) -> Result<(), String> {
        let path = folder.join(&underlay.file);
        for (path, image) in self.arriving.arrived() {
            let show = |image| painter.ctx().load_texture(path.to_string_lossy(), image, TextureOptions::LINEAR);
            let texture = image.map(show);
            if let Some((_, shown)) = self.known.get_mut(&path) {
                *shown = Some(texture);
            }
        }
        let written = std::fs::metadata(&path).and_then(|meta| meta.modified()).ok();
        let (_, texture) = match self.known.get(&path) {
            Some(picture) if picture.0 == written => picture,
            _ => {
                self.known.insert(path.clone(), (written, None));
                let context = painter.ctx().clone();
                self.arriving.spawn(move || context.request_repaint(), move || Some((path.clone(), read(&path))));
                return Ok(());
            }
        };
        let Some(texture) = texture else { return Ok(()) };
        let texture = texture.as_ref().map_err(Clone::clone)?;
        let [wide, high] = texture.size();
        let height_m = underlay.width_m * high as f64 / wide.max(1) as f64;
        let [x, y] = underlay.at;
        let area = Rect::from_two_pos(
            frame.screen_from_plan([x, y]),
            frame.screen_from_plan([x + underlay.width_m, y + height_m]),
        );
        let whole = Rect::from_min_max(Pos2::ZERO, Pos2::new(1.0, 1.0));
        painter.image(texture.id(), area, whole, Color32::WHITE.gamma_multiply(underlay.strength as f32));
        Ok(())
    }
}

/// Reads a PNG or JPEG picture, made smaller where it is too large.
///
/// # Errors
///
/// A sentence: which file, what is wrong, what to do.
pub fn read(path: &Path) -> Result<ColorImage, String> {
    let name = path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy());
    let missing = |why: std::io::Error| format!("The picture \"{name}\" cannot be read ({why}). Place it anew.");
    let about = std::fs::metadata(path).map_err(missing)?;
    if !about.is_file() {
        return Err(format!("\"{name}\" is no file. Place a PNG or JPEG picture anew."));
    }
    let mut bytes = vec![];
    std::fs::File::open(path).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes)).map_err(missing)?;
    let too_large = || format!("The picture \"{name}\" is too large. Save it smaller.");
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_large());
    }
    let none = || format!("\"{name}\" is no PNG or JPEG picture that can be read. Save it as one.");
    let fits = |wide: u64, high: u64| if wide * high > MOST_PIXELS { Err(too_large()) } else { Ok(()) };
    let (size, rgba) = if bytes.starts_with(b"\x89PNG") {
        // The header comes first: width and height at bytes 16 and 20. Source: ISO/IEC 15948, 11.2.2.
        let side = |at: usize| bytes.get(at..at + 4).and_then(|four| four.try_into().ok()).map(u32::from_be_bytes);
        fits(side(16).ok_or_else(none)?.into(), side(20).ok_or_else(none)?.into())?;
        let pixels = resvg::tiny_skia::Pixmap::decode_png(&bytes).map_err(|_| none())?;
        let size = [pixels.width() as usize, pixels.height() as usize];
        let plain = pixels.pixels().iter().flat_map(|pixel| {
            let colour = pixel.demultiply();
            [colour.red(), colour.green(), colour.blue(), colour.alpha()]
        });
        (size, plain.collect::<Vec<u8>>())
    } else {
        let mut decoder = zune_jpeg::JpegDecoder::new(zune_jpeg::zune_core::bytestream::ZCursor::new(&bytes));
        let options = zune_jpeg::zune_core::options::DecoderOptions::default()
            .jpeg_set_out_colorspace(zune_jpeg::zune_core::colorspace::ColorSpace::RGBA);
        decoder.set_options(options);
        decoder.decode_headers().map_err(|_| none())?;
        let (wide, high) = decoder.dimensions().ok_or_else(none)?;
        fits(wide as u64, high as u64)?;
        ([wide, high], decoder.decode().map_err(|_| none())?)
    };
    if size[0] == 0 || size[1] == 0 || rgba.len() != 4 * size[0] * size[1] {
        return Err(none());
    }
    Ok(smaller(size, &rgba))
}

fn smaller([wide, high]: [usize; 2], rgba: &[u8]) -> ColorImage {
    let step = wide.max(high).div_ceil(MOST_PX).max(1);
    let size = [wide.div_ceil(step), high.div_ceil(step)];
    let mut sampled = Vec::with_capacity(4 * size[0] * size[1]);
    for y in (0..high).step_by(step) {
        for x in (0..wide).step_by(step) {
            let at = 4 * (y * wide + x);
            sampled.extend_from_slice(&rgba[at..at + 4]);
        }
    }
    ColorImage::from_rgba_unmultiplied(size, &sampled)
}

/// The picture scaled so that two of its points are as far apart as said: about the first of them.
pub fn scaled(underlay: &Underlay, [a, b]: [[f64; 2]; 2], length_m: f64) -> Option<Underlay> {
    let now_m = (b[0] - a[0]).hypot(b[1] - a[1]);
    (now_m > 1e-6 && length_m > 0.0).then(|| {
        let factor = length_m / now_m;
        Underlay {
            at: [0, 1].map(|axis| a[axis] + (underlay.at[axis] - a[axis]) * factor),
            width_m: underlay.width_m * factor,
            ..underlay.clone()
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 2 m that should be 3 m, about (1, 1): the corner at the origin goes to (−0.5, −0.5), 10 m of width to 15.
    #[test]
    fn two_points_and_a_distance_scale_a_picture() {
        let underlay = Underlay { file: "plan.png".into(), at: [0.0, 0.0], width_m: 10.0, strength: 0.5 };
        let scaled = scaled(&underlay, [[1.0, 1.0], [3.0, 1.0]], 3.0).expect("can be scaled");
        assert_eq!((scaled.at, scaled.width_m), ([-0.5, -0.5], 15.0));
    }

    #[test]
    fn png_pictures_are_read_and_others_refused_in_words() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("plan.png");
        let pixels = resvg::tiny_skia::Pixmap::new(20, 10).expect("a picture");
        std::fs::write(&path, pixels.encode_png().expect("a file")).expect("written");
        assert_eq!(read(&path).expect("reads").size, [20, 10]);
        std::fs::write(&path, b"no picture").expect("written");
        assert!(read(&path).expect_err("refused").contains("PNG or JPEG"));
    }

    /// A few hundred bytes that say they are 30,000 pixels wide and high; a folder, a file without an end.
    #[test]
    fn no_picture_takes_all_the_memory() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("plan.png");
        let mut bytes = resvg::tiny_skia::Pixmap::new(20, 10).expect("a picture").encode_png().expect("a file");
        for side in [16, 20] {
            bytes[side..side + 4].copy_from_slice(&30_000u32.to_be_bytes());
        }
        std::fs::write(&path, bytes).expect("written");
        assert!(read(&path).expect_err("refused").contains("too large"));
        assert!(read(folder.path()).expect_err("refused").contains("is no file"));
        #[cfg(unix)]
        assert!(read(Path::new("/dev/zero")).expect_err("refused").contains("is no file"));
    }
}
