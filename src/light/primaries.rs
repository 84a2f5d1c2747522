use palette::{FromColor, LinSrgb, Xyz};

/// One of the three primaries of a screen; its number is the place of its code in a pixel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Channel {
    /// The red primary.
    Red = 0,
    /// The green primary.
    Green = 1,
    /// The blue primary.
    Blue = 2,
}

impl Channel {
    /// All three in the order of a pixel's codes.
    pub const ALL: [Self; 3] = [Self::Red, Self::Green, Self::Blue];

    /// Its place in a pixel.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Its name in room files and findings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        ["red", "green", "blue"][self.index()]
    }
}

/// The share of white's luminance that this primary has on an sRGB screen (IEC 61966-2-1): 0.2126, 0.7152, 0.0722.
///
/// ```
/// # use evenfield::light::{Channel, srgb_weight};
/// assert!((srgb_weight(Channel::Green) - 0.7152).abs() < 5e-5);
/// ```
#[must_use]
pub fn srgb_weight(channel: Channel) -> f64 {
    let mut drive = [0.0; 3];
    drive[channel.index()] = 1.0;
    Xyz::from_color(LinSrgb::from(drive)).y
}
