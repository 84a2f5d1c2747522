//! Rooms that lengthen sentences, stretch drawings or can show nothing.

use evenfield::room::Room;

/// A room with a mirror, assumed light, assumed spectra and a long name: everything that lengthens sentences.
pub(crate) fn wordy() -> Room {
    let text = r#"
name = "Quillhaven practice, the third of the rooms on the second floor of the annex"
[viewing]
distance_mm = 4235.0
mirror = true
[screen]
pixels = [1920, 1080]
size_mm = [527.0, 296.5]
size_claimed = true
"#;
    Room::from_toml(text, "wordy.toml").unwrap()
}

/// A near screen whose narrow primaries lie far apart: the widest drawing of the foci.
pub(crate) fn narrow() -> Room {
    let text = r#"
[viewing]
distance_mm = 1000.0
[screen]
pixels = [3840, 2160]
size_mm = [597.0, 336.0]
[primaries]
red = { peak_nm = 640.0, fwhm_nm = 20.0 }
green = { peak_nm = 515.0, fwhm_nm = 20.0 }
white = [0.3127, 0.3290]
"#;
    Room::from_toml(text, "narrow.toml").unwrap()
}

/// A room of which everything is wrong that can be: lit, read as unequal, coarse, near, its letters grey.
pub(crate) fn spoilt() -> Room {
    let text = r#"
name = "Quillhaven practice, the corridor (made up)"
[viewing]
distance_mm = 900.0
[screen]
pixels = [1024, 768]
size_mm = [410.0, 307.0]
[luminance]
red = 31.0
green = 88.0
blue = 14.0
white = 128.0
black = 2.5
[tone]
gamma = 1.4
[primaries]
red = { peak_nm = 602.0, fwhm_nm = 70.0 }
green = { peak_nm = 551.0, fwhm_nm = 90.0 }
white = [0.3127, 0.3290]
[ambient]
illuminance_lux = 60.0
screen_reflectance = 0.03
"#;
    Room::from_toml(text, "spoilt.toml").unwrap()
}

/// A coarse, dim, glaring, mirrored screen of no known light, with as long a name as a room may have.
pub(crate) fn unknown() -> Room {
    let text = r#"
name = "Quillhaven practice, the third of the rooms on the second floor of the old annex"
[viewing]
distance_mm = 700
mirror = true
[screen]
pixels = [1024, 768]
size_mm = [320.0, 240.0]
size_claimed = true
[luminance]
white = 40
black = 0.8
[ambient]
illuminance_lux = 20
screen_reflectance = 0.05
"#;
    Room::from_toml(text, "unknown.toml").unwrap()
}

/// A screen whose fields cannot be made equal.
pub(crate) fn without_fields() -> Room {
    let text = r"
[viewing]
distance_mm = 3200
[screen]
pixels = [1920, 1080]
pitch_mm = 0.2745
[luminance]
red = 20
green = 60
black = 8
";
    Room::from_toml(text, "without_fields.toml").unwrap()
}
