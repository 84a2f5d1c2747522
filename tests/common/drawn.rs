//! Files drawn by renderers that this project did not write: resvg for SVG, poppler for PDF.

#![allow(dead_code, reason = "each test file uses what it needs of this")]

use std::process::Command;

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

/// By how many codes, in any channel, a pixel must differ to count. A letter may have 15 % of its field's light, which on an
/// sRGB screen is code 107 where the field has 253: by so much letters of another ink may differ and rightly pass.
pub(crate) const CODES: u8 = 107;

/// Maximum number of pixels that may differ: a quarter of the ink of one letter (17 px high, some 130 px of ink), so that no
/// letter is gone, added or another one. The check itself lets a letter be 5 % larger, which moves its edges by half a pixel.
pub(crate) const MOST_PIXELS: usize = 32;

/// A picture as red, green and blue, or why there is none.
pub(crate) type Drawn = Result<Vec<u8>, String>;

pub(crate) fn by_resvg(text: &[u8], pixels: [u32; 2]) -> Drawn {
    let tree = Tree::from_data(text, &Options::default()).map_err(|error| error.to_string())?;
    let [columns, rows] = pixels;
    let mut picture = Pixmap::new(columns, rows).unwrap();
    picture.fill(resvg::tiny_skia::Color::WHITE);
    #[allow(clippy::cast_precision_loss, reason = "some hundred pixels")]
    let scale =
        Transform::from_scale(columns as f32 / tree.size().width(), rows as f32 / tree.size().height());
    resvg::render(&tree, scale, &mut picture.as_mut());
    Ok(picture.pixels().iter().flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]).collect())
}

pub(crate) fn by_poppler(file: &std::path::Path, pixels: [u32; 2]) -> Drawn {
    let [columns, rows] = pixels.map(|side| side.to_string());
    let output = Command::new("pdftoppm")
        .args(["-singlefile", "-scale-to-x", &columns, "-scale-to-y", &rows])
        .arg(file)
        .output()
        .map_err(|error| error.to_string())?;
    let size = usize::try_from(pixels[0] * pixels[1] * 3).unwrap();
    if !output.status.success() || output.stdout.len() < size {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned());
    }
    Ok(output.stdout[output.stdout.len() - size..].to_vec())
}

/// How many pixels differ.
pub(crate) fn different(one: &[u8], other: &[u8]) -> usize {
    let pairs = one.chunks_exact(3).zip(other.chunks_exact(3));
    pairs
        .filter(|(one, other)| one.iter().zip(*other).any(|(one, other)| one.abs_diff(*other) > CODES))
        .count()
}
