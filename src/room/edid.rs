//! What a screen says of itself: the base block of [VESA E-EDID](crate::bibliography::VESA_E_EDID).
//!
//! Only the base block is read: the preferred timing's pixels, the size in millimetres or centimetres, gamma and chromaticities.
//! A screen's own size is often a ratio, a rounded one or another model's, so [`Edid::claimed_size`] looks for contradictions
//! and names the first; the way out is always a rule on the lit picture.

use crate::quantity::Length;

/// Bytes of a base block.
const BLOCK: usize = 128;

/// What every base block begins with.
const HEADER: [u8; 8] = [0x00, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x00];

/// Where the first detailed timing begins, which is the preferred one.
const TIMING: usize = 54;

/// How far the size in millimetres may be from the one in whole centimetres: the rounding, or a share of it.
const CM_AGREEMENT: (f64, f64) = (10.0, 0.02);

/// How far pixels may be off the square.
const SQUARE: f64 = 0.01;

/// Widths of screens that someone looks at across a room, in millimetres.
const WIDTH_MM: std::ops::RangeInclusive<f64> = 100.0..=3000.0;

/// Ratios that stand where a size should, as such or ten or a hundred times.
const RATIOS: [[f64; 2]; 4] = [[16.0, 9.0], [16.0, 10.0], [4.0, 3.0], [5.0, 4.0]];

/// An EDID has a block of 128 bytes and up to 255 more of them.
const MOST_BYTES: u64 = 1 << 15;

/// A decoded base block. It is what the screen claims, not what it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Edid {
    /// Columns and rows of the preferred timing, if there is one that has some of each.
    pub pixels: Option<[u32; 2]>,
    /// Whether that timing is interlaced.
    pub interlaced: bool,
    /// Width and height in that timing, in millimetres.
    pub size_mm: Option<[u32; 2]>,
    /// Width and height in whole centimetres.
    pub size_cm: Option<[u32; 2]>,
    /// The exponent of the tone curve, if it says one.
    pub gamma: Option<f64>,
    /// CIE 1931 x and y of red, green, blue and white.
    pub chromaticities: [[f64; 2]; 4],
}

/// Why a block is not trusted. Each says the contradiction; the way out is to measure.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EdidError {
    /// Cut short.
    #[error("has {0} bytes where a base block has 128")]
    Short(usize),
    /// Something else.
    #[error("does not begin as an EDID block does")]
    Header,
    /// Damaged.
    #[error("has a wrong checksum, so some of its bytes are wrong")]
    Checksum,
    /// No preferred timing.
    #[error("names no preferred resolution")]
    NoPixels,
    /// Television.
    #[error("prefers an interlaced timing of {0} × {1}, whose lines are not the screen’s")]
    Interlaced(u32, u32),
    /// Nothing that could be a size.
    #[error("says no size")]
    NoSize,
    /// A ratio for a size.
    #[error("says {0} × {1} mm, which is a ratio and no size")]
    Ratio(f64, f64),
    /// No screen is like that.
    #[error("says a width of {0} mm, which is not within 100 to 3000 mm")]
    Width(f64),
    /// Two sizes.
    #[error("says {} × {} mm in one place and {} × {} cm in another", mm[0], mm[1], cm[0], cm[1])]
    TwoSizes {
        /// In the timing.
        mm: [u32; 2],
        /// In whole centimetres.
        cm: [u32; 2],
    },
    /// A size that does not suit the pixels.
    #[error(
        "says {} × {} mm for {} × {} pixels, which would be {off:+.1} % wider than high",
        size[0], size[1], pixels[0], pixels[1]
    )]
    NotSquare {
        /// The size.
        size: [f64; 2],
        /// The pixels.
        pixels: [u32; 2],
        /// By how much, in per cent.
        off: f64,
    },
}

impl EdidError {
    /// Whether the block still tells the pixels, so that only the size must be measured.
    #[must_use]
    pub const fn leaves_pixels(&self) -> bool {
        match self {
            Self::Short(_) | Self::Header | Self::Checksum | Self::NoPixels | Self::Interlaced(..) => false,
            Self::NoSize
            | Self::Ratio(..)
            | Self::Width(_)
            | Self::TwoSizes { .. }
            | Self::NotSquare { .. } => true,
        }
    }
}

impl Edid {
    /// The bytes of a file with an EDID, of which the first block is the one to parse.
    ///
    /// # Errors
    /// What the system says, or that it is no ordinary file of such a size.
    pub fn bytes(path: &std::path::Path) -> Result<Vec<u8>, String> {
        crate::store::read(path, MOST_BYTES).map_err(|problem| problem.to_string())
    }

    /// Decodes the first block of a file.
    ///
    /// # Errors
    /// Cut short, damaged, or something else.
    pub fn parse(bytes: &[u8]) -> Result<Self, EdidError> {
        let block = bytes.get(..BLOCK).ok_or(EdidError::Short(bytes.len()))?;
        if block[..HEADER.len()] != HEADER {
            return Err(EdidError::Header);
        }
        if block.iter().fold(0_u8, |sum, byte| sum.wrapping_add(*byte)) != 0 {
            return Err(EdidError::Checksum);
        }
        let timing = &block[TIMING..TIMING + 18];
        // A pixel clock of nothing marks a descriptor that is no timing.
        let is_timing = timing[..2] != [0, 0];
        let interlaced = is_timing && timing[17] & 0x80 != 0;
        // An interlaced timing counts the lines of one field, half of the frame's.
        let fields = if interlaced { 2 } else { 1 };
        Ok(Self {
            pixels: size([pair(timing[2], timing[4] >> 4), fields * pair(timing[5], timing[7] >> 4)])
                .filter(|_| is_timing),
            interlaced,
            size_mm: size([pair(timing[12], timing[14] >> 4), pair(timing[13], timing[14] & 0x0f)])
                .filter(|_| is_timing),
            // From release 1.4 on one of the two may be nought and the other a ratio.
            size_cm: size([block[21].into(), block[22].into()]),
            // 255 says that the gamma stands elsewhere.
            gamma: (block[23] != 0xff).then(|| f64::from(block[23]) / 100.0 + 1.0),
            chromaticities: chromaticities(block),
        })
    }

    /// The preferred pixels.
    ///
    /// # Errors
    /// None, or interlaced ones.
    pub fn screen_pixels(&self) -> Result<[u32; 2], EdidError> {
        match self.pixels {
            None => Err(EdidError::NoPixels),
            Some([columns, rows]) if self.interlaced => Err(EdidError::Interlaced(columns, rows)),
            Some(pixels) => Ok(pixels),
        }
    }

    /// The size that the screen claims, where it does not contradict itself.
    ///
    /// Millimetres of the preferred timing where it has them, else whole centimetres. Refused: a ratio in place of a size, two
    /// sizes that differ by more than rounding and 2 %, pixels more than 1 % off the square, a width under 100 mm or over 3 m.
    ///
    /// ```
    /// # use evenfield::room::Edid;
    /// // A screen that does not exist; edid-decode reads 527 × 296 mm.
    /// let edid = Edid::parse(&std::fs::read("tests/data/edid/plain.bin")?)?;
    /// assert_eq!(edid.claimed_size()?.map(|side| side.to_mm()), [527.0, 296.0]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// The contradiction.
    pub fn claimed_size(&self) -> Result<[Length; 2], EdidError> {
        let pixels = self.screen_pixels()?;
        let from_cm = self.size_cm.map(|size| size.map(|side| f64::from(side) * 10.0));
        let from_mm = self.size_mm.map(|size| size.map(f64::from));
        for size in from_mm.into_iter().chain(from_cm) {
            not_a_ratio(size)?;
        }
        if let (Some(mm), Some(cm)) = (self.size_mm, self.size_cm) {
            agree(mm, cm)?;
        }
        let size = from_mm.or(from_cm).ok_or(EdidError::NoSize)?;
        if !WIDTH_MM.contains(&size[0]) {
            return Err(EdidError::Width(size[0]));
        }
        let [columns, rows] = pixels.map(f64::from);
        let off = (size[0] / columns) / (size[1] / rows) - 1.0;
        if off.abs() > SQUARE {
            return Err(EdidError::NotSquare { size, pixels, off: off * 100.0 });
        }
        Ok(size.map(Length::mm))
    }
}

/// Eight low bits and the high ones.
fn pair(low: u8, high: u8) -> u32 {
    u32::from(low) | u32::from(high) << 8
}

fn size(sides: [u32; 2]) -> Option<[u32; 2]> {
    sides.iter().all(|side| *side > 0).then_some(sides)
}

/// Ten bits each, the two low ones packed together, as fractions of 1024.
fn chromaticities(block: &[u8]) -> [[f64; 2]; 4] {
    let value = |index: usize| {
        let low = block[25 + index / 4] >> (6 - 2 * (index % 4)) & 0b11;
        f64::from(u16::from(block[27 + index]) << 2 | u16::from(low)) / 1024.0
    };
    [0, 1, 2, 3].map(|colour| [value(2 * colour), value(2 * colour + 1)])
}

#[allow(clippy::float_cmp, reason = "both are whole numbers, which a float holds exactly")]
fn not_a_ratio(size: [f64; 2]) -> Result<(), EdidError> {
    let is_ratio = RATIOS.iter().any(|ratio| {
        [1.0, 10.0, 100.0].iter().any(|times| size[0] == ratio[0] * times && size[1] == ratio[1] * times)
    });
    if is_ratio { Err(EdidError::Ratio(size[0], size[1])) } else { Ok(()) }
}

fn agree(mm: [u32; 2], cm: [u32; 2]) -> Result<(), EdidError> {
    let (rounding, share) = CM_AGREEMENT;
    let near = |axis: usize| {
        let (mm, from_cm) = (f64::from(mm[axis]), f64::from(cm[axis]) * 10.0);
        (mm - from_cm).abs() <= rounding.max(share * mm)
    };
    if near(0) && near(1) { Ok(()) } else { Err(EdidError::TwoSizes { mm, cm }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A made-up screen of 1920 × 1080 pixels, 527 × 296 mm, gamma 2.2, with the chromaticities of IEC 61966-2-1.
    fn block() -> [u8; BLOCK] {
        let mut block = [0; BLOCK];
        block[..8].copy_from_slice(&HEADER);
        block[18..25].copy_from_slice(&[1, 4, 0xa5, 53, 30, 120, 0x06]);
        // Ten bits each: 0.640 is 655, 0.330 is 338, 0.300 is 307, 0.600 is 614, 0.150 is 154, 0.060 is 61, 0.3127 is 320,
        // 0.3290 is 337.
        let tens = [655_u16, 338, 307, 614, 154, 61, 320, 337];
        for (index, value) in tens.into_iter().enumerate() {
            let [high, low] = (value << 6).to_be_bytes();
            block[27 + index] = high;
            block[25 + index / 4] |= low >> (2 * (index % 4));
        }
        // 148.5 MHz, 1920 + 280 columns, 1080 + 45 rows, 527 × 296 mm.
        block[54..72].copy_from_slice(&[
            0x02, 0x3a, 0x80, 0x18, 0x71, 0x38, 0x2d, 0x40, 0x58, 0x2c, 0x45, 0x00, 0x0f, 0x28, 0x21, 0, 0,
            0x1e,
        ]);
        block
    }

    /// The block after a change, with its checksum made right.
    fn edid(change: impl FnOnce(&mut [u8; BLOCK])) -> Edid {
        let mut block = block();
        change(&mut block);
        block[127] = block[..127].iter().fold(0_u8, |sum, byte| sum.wrapping_sub(*byte));
        Edid::parse(&block).unwrap()
    }

    fn refused(change: impl FnOnce(&mut [u8; BLOCK])) -> EdidError {
        edid(change).claimed_size().unwrap_err()
    }

    /// The high digits of width and height in one byte, as the timing has them.
    fn set_mm(block: &mut [u8; BLOCK], width: u16, height: u16) {
        let ([width_high, width_low], [height_high, height_low]) =
            (width.to_be_bytes(), height.to_be_bytes());
        block[66..69].copy_from_slice(&[width_low, height_low, width_high << 4 | height_high]);
    }

    #[test]
    fn a_made_up_screen_is_decoded() {
        let edid = edid(|_| {});
        assert_eq!(edid.screen_pixels(), Ok([1920, 1080]));
        assert_eq!((edid.size_mm, edid.size_cm, edid.gamma), (Some([527, 296]), Some([53, 30]), Some(2.2)));
        assert_eq!(edid.claimed_size(), Ok([Length::mm(527.0), Length::mm(296.0)]));
        let srgb = [[0.640, 0.330], [0.300, 0.600], [0.150, 0.060], [0.3127, 0.3290]];
        for (ours, theirs) in edid.chromaticities.as_flattened().iter().zip(srgb.as_flattened()) {
            // Ten bits leave half of 1/1024.
            assert!((ours - theirs).abs() < 5e-4, "{ours}, not {theirs}");
        }
    }

    #[test]
    fn contradictions_are_named() {
        assert_eq!(refused(|block| block[21] = 60), EdidError::TwoSizes { mm: [527, 296], cm: [60, 30] });
        assert!(matches!(refused(|block| set_mm(block, 520, 300)), EdidError::NotSquare { .. }));
        assert_eq!(refused(|block| set_mm(block, 160, 90)), EdidError::Ratio(160.0, 90.0));
        assert_eq!(refused(|block| (block[21], block[22]) = (16, 9)), EdidError::Ratio(160.0, 90.0));
        assert_eq!(refused(|block| block[71] |= 0x80), EdidError::Interlaced(1920, 2160));
        assert_eq!(refused(|block| (block[54], block[55]) = (0, 0)), EdidError::NoPixels);
        // No columns, or no rows.
        assert_eq!(refused(|block| (block[56], block[58]) = (0, 0x01)), EdidError::NoPixels);
        assert_eq!(refused(|block| (block[59], block[61]) = (0, 0x0d)), EdidError::NoPixels);
        let unsized_screen = |block: &mut [u8; BLOCK]| {
            set_mm(block, 0, 0);
            (block[21], block[22]) = (0, 0);
        };
        assert_eq!(refused(unsized_screen), EdidError::NoSize);
        let tiny = |block: &mut [u8; BLOCK]| {
            set_mm(block, 96, 54);
            (block[21], block[22]) = (10, 5);
        };
        assert_eq!(refused(tiny), EdidError::Width(96.0));
    }

    #[test]
    fn what_is_no_whole_block_is_refused() {
        assert_eq!(Edid::parse(&[0; 100]), Err(EdidError::Short(100)));
        assert_eq!(Edid::parse(&[0; 128]), Err(EdidError::Header));
        let mut damaged = block();
        damaged[127] = 1;
        assert_eq!(Edid::parse(&damaged), Err(EdidError::Checksum));
    }
}
