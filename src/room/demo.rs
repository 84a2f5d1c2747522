//! The built-in demo room: a made-up practice, invented numbers.
//!
//! For trying things out: every number that rests on it says *invented*, in findings, on pages and in files.

use super::RoomFile;

/// An ordinary 24-inch office monitor on the wall of a small room.
const TEXT: &str = r#"
name = "Quillhaven practice, room 2 (made up)"

[viewing]
distance_mm = 3200.0
mirror = false

[screen]
pixels = [1920, 1080]
size_mm = [527.0, 296.5]

[luminance]
red = 52.0
green = 178.0
blue = 19.0
white = 250.0
black = 0.25

[primaries]
red = { peak_nm = 615.0, fwhm_nm = 45.0 }
green = { peak_nm = 538.0, fwhm_nm = 60.0 }
white = [0.3127, 0.3290]

[ambient]
illuminance_lux = 4.0
screen_reflectance = 0.02
"#;

pub(super) fn file() -> RoomFile {
    super::file::parse(TEXT).expect("the demo room is legal, which a test holds")
}
