use super::*;

const LEAST: &str = "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n";

/// Every table and key of the room file at once.
const ALL: &str = r#"
name = "Quillhaven practice, room 1"
[viewing]
distance_mm = 3200.0
mirror = true
[screen]
pixels = [1920, 1080]
size_mm = [527.0, 296.5]
diagonal_in = 23.8
pitch_mm = 0.2745
profile = "screen.icc"
[luminance]
red = 52.0
green = 178.0
blue = 19.0
white = 250.0
black = 0.25
[tone]
steps = { red = [[0, 0.25], [255, 52]], green = [[0, 0.25], [128, 40], [255, 178]] }
[primaries]
red = { peak_nm = 615.0, fwhm_nm = 45.0 }
green = { spectrum = "green.csv" }
blue = { chromaticity = [0.15, 0.06] }
white = [0.3127, 0.3290]
[ambient]
illuminance_lux = 4.0
screen_reflectance = 0.02
"#;

fn read(text: &str) -> Result<Room, String> {
    Room::from_toml(text, "room.toml").map_err(|error| error.to_string())
}

fn refusal(text: &str) -> String {
    read(text).expect_err(text)
}

#[test]
fn the_demo_room_and_every_key_are_read() {
    assert!(!Room::demo().viewing.mirror);
    let room = read(ALL).unwrap();
    assert!(room.viewing.mirror);
    assert_eq!(room.unused(), ["[primaries]"]);
    // E·ρ/π of a diffuse reflector: 4 lx × 0.02 / π = 0.0255 cd/m².
    let reflected = room.display.luminance_in_room([0; 3]) - room.display.luminance([0; 3]);
    assert!((reflected.to_cd_m2() - 0.025_46).abs() < 1e-5);
    assert_eq!(
        serde_json::from_str::<RoomFile>(&serde_json::to_string(&room.file).unwrap()).unwrap(),
        room.file
    );
}

#[test]
fn luminances_at_full_drive_are_those_measured() {
    let display = read(ALL).unwrap().display;
    for (codes, cd_m2) in [([255, 0, 0], 52.0), ([0, 255, 0], 178.0), ([0, 0, 255], 19.0), ([0; 3], 0.25)] {
        assert!((display.luminance(codes).to_cd_m2() - cd_m2).abs() < 1e-9, "{codes:?}");
    }
    assert!((display.luminance([0, 128, 0]).to_cd_m2() - 40.0).abs() < 1e-9);
}

#[test]
fn without_luminances_all_is_assumed_from_srgb() {
    let display = read(LEAST).unwrap().display;
    // IEC 61966-2-1: red has 0.2126 of white's luminance.
    let red =
        (display.luminance([255, 0, 0]) - display.black()) / (display.luminance([255; 3]) - display.black());
    assert!((red - 0.2126).abs() < 1e-4, "red has {red} of white");
    assert_eq!(display.full_basis(crate::light::Channel::Red), Basis::Assumed);
    assert!(display.follows_srgb());
}

#[test]
fn one_measured_primary_scales_the_others() {
    let display = read(&format!("{LEAST}[luminance]\nred = 52.0\nblack = 0.0\n")).unwrap().display;
    // 52 / 0.2126 × 0.7152 by the weights of IEC 61966-2-1, whose four digits leave 0.05 %.
    assert!((display.luminance([0, 255, 0]).to_cd_m2() / 174.93 - 1.0).abs() < 5e-4);
    assert_eq!(display.full_basis(crate::light::Channel::Green), Basis::Assumed);
    assert_eq!(display.full_basis(crate::light::Channel::Red), Basis::Measured);
}

#[test]
fn a_refusal_names_line_value_and_remedy() {
    assert_eq!(
        refusal(&LEAST.replace("3200", "-5")),
        "room.toml line 2: viewing.distance_mm = -5 is not within 200 to 20000 mm: \
         write the distance from eye to screen in millimetres, such as 3200.0"
    );
    assert_eq!(
        refusal(&LEAST.replace("distance_mm", "distnce_mm")),
        "room.toml line 2: [viewing] has no key \"distnce_mm\": write distance_mm"
    );
    assert_eq!(
        refusal(&format!("{LEAST}[lamp]\n")),
        "room.toml line 6: the file has no key \"lamp\": it knows name, viewing, screen, luminance, tone, primaries, ambient"
    );
}

#[test]
fn impossible_rooms_are_refused() {
    let with = |more: &str| refusal(&format!("{LEAST}{more}\n"));
    for (more, word) in [
        ("size_mm = [527.0, 320.0]", "wider than high"),
        ("size_mm = [540.0, 303.75]", "differs from screen.size_mm"),
        ("diagonal_in = 27.0", "differs from screen.pitch_mm by +13.4 %"),
        ("[luminance]\nred = 0.2\nblack = 0.25", "not darker than red"),
        ("[luminance]\nblack = -1", "luminance.black = -1"),
        ("[luminance]\nred = 52\ngreen = 178\nblue = 19\nwhite = 300", "add up to"),
        ("[luminance]\nred = nan", "luminance.red = NaN"),
        ("[tone]\ngamma = 22", "tone.gamma = 22"),
        ("[tone]", "is empty"),
        ("[tone]\ngamma = 2.2\nsteps = [[0, 1], [255, 2]]", "both gamma and steps"),
        ("[tone]\nsteps = [[0, 1], [255, 0.5]]", "0.5 cd/m² at code 255"),
        ("[luminance]\nwhite = 250\n[tone]\nsteps = [[0, 0.25], [255, 240]]", "over 1 % off"),
        ("[primaries]\nred = { peak_nm = 615.0 }", "needs one of"),
        ("[primaries]\nwhite = [0.9, 0.3]", "no chromaticity"),
        ("[ambient]\nilluminance_lux = -4\nscreen_reflectance = 0.02", "ambient.illuminance_lux"),
        ("[ambient]\nilluminance_lux = 4", "screen_reflectance"),
        ("profil = 1", "write profile"),
    ] {
        assert!(with(more).contains(word), "{more:?} gave {:?}", with(more));
    }
    assert!(refusal(&LEAST.replace("[1920, 1080]", "[4000000000, 1080]")).contains("screen.pixels"));
    assert!(refusal(&LEAST.replace("[1920, 1080]", "[16000, 16000]")).contains("67108864 in all"));
    assert!(refusal(&LEAST.replace("pitch_mm = 0.2745", "")).contains("says no size"));
    assert!(refusal(&LEAST.replace("3200", "inf")).contains("= inf"));
    assert!(refusal("[viewing]\ndistance_mm 3").contains("not TOML"));
}
