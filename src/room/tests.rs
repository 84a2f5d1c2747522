use super::*;
use crate::light::{Channel, luminance_weights};

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
[match]
codes = [252, 145]
red = 47.1
green = 46.8
meter_percent = 3.0
date = "2026-03-31"
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
    // E·ρ/π of a diffuse reflector: 4 lx × 0.02 / π = 0.0255 cd/m².
    let reflected = room.display.luminance_in_room([0; 3]) - room.display.luminance([0; 3]);
    assert!((reflected.to_cd_m2() - 0.025_46).abs() < 1e-5);
    assert_eq!(
        serde_json::from_str::<RoomFile>(&serde_json::to_string(room.file()).unwrap()).unwrap(),
        *room.file()
    );
}

#[test]
fn luminances_at_full_drive_are_those_measured() {
    let display = read(ALL).unwrap().display.clone();
    for (codes, cd_m2) in [([255, 0, 0], 52.0), ([0, 255, 0], 178.0), ([0, 0, 255], 19.0), ([0; 3], 0.25)] {
        assert!((display.luminance(codes).to_cd_m2() - cd_m2).abs() < 1e-9, "{codes:?}");
    }
    assert!((display.luminance([0, 128, 0]).to_cd_m2() - 40.0).abs() < 1e-9);
}

#[test]
fn without_luminances_all_is_assumed_from_srgb() {
    let display = read(LEAST).unwrap().display.clone();
    // IEC 61966-2-1: red has 0.2126 of white's luminance.
    let red =
        (display.luminance([255, 0, 0]) - display.black()) / (display.luminance([255; 3]) - display.black());
    assert!((red - 0.2126).abs() < 1e-4, "red has {red} of white");
    assert_eq!(display.full_basis(crate::light::Channel::Red), Basis::Assumed);
    assert!(display.follows_srgb());
}

#[test]
fn one_measured_primary_scales_the_others() {
    let display = read(&format!("{LEAST}[luminance]\nred = 52.0\nblack = 0.0\n")).unwrap().display.clone();
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
        "room.toml line 6: the file has no key \"lamp\": it knows name, viewing, screen, luminance, tone, primaries, ambient, match"
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
        ("[luminance]\nred = 52\ngreen = 178\nwhite = 200", "leaves nothing for the others"),
        ("[luminance]\nred = 300\nwhite = 250", "leaves nothing for the others"),
        ("[luminance]\nmeter_percent = 0", "luminance.meter_percent = 0"),
        ("[tone]\nsteps = [[0, -3], [255, 240]]", "tone.steps = -3"),
        ("[tone]\nsteps = [[0, 0], [255, 1e300]]", "measure code 255 again"),
        ("[tone]\nsteps = [[0, 0.1], [255, nan]]", "measure code 255 again"),
        ("[tone]\nsteps = [[0, 0.1, 3], [255, 200]]", "a list of pairs of code and luminance"),
        ("[tone]\nrelative = true\nsteps = [[0, 0], [255, 0.9]]", "over 1 % off"),
        ("[tone]\nsteps = 3", "a list of pairs of code and luminance"),
        ("size_mm = [527.0, 296.5, 1.0]", "screen.size_mm is not a pair of numbers"),
        ("profile = 3", "screen.profile is not a text in quotes"),
        (
            "[primaries]\nred = { chromaticity = [0.2, 0.2] }\ngreen = { chromaticity = [0.3, 0.3] }\nblue = { chromaticity = [0.4, 0.4] }\nwhite = [0.3, 0.3]",
            "check the four chromaticities",
        ),
        ("profil = 1", "write profile"),
    ] {
        assert!(with(more).contains(word), "{more:?} gave {:?}", with(more));
    }
    assert!(refusal(&format!("name = \"a\\nb\"\n{LEAST}")).contains("U+000A"));
    assert!(refusal(&format!("name = \"\"\n{LEAST}")).contains("is empty"));
    assert!(refusal(&LEAST.replace("[1920, 1080]", "[1920, 1080, 3]")).contains("a pair of whole numbers"));
    assert!(refusal(&LEAST.replace("3200", "\"3 m\"")).contains("viewing.distance_mm is not a number"));
    assert!(refusal(&LEAST.replace("[1920, 1080]", "[4000000000, 1080]")).contains("screen.pixels"));
    assert!(refusal(&LEAST.replace("[1920, 1080]", "[16000, 16000]")).contains("67108864 in all"));
    assert!(refusal(&LEAST.replace("pitch_mm = 0.2745", "")).contains("says no size"));
    assert!(refusal(&LEAST.replace("3200", "inf")).contains("= inf"));
    assert!(refusal("[viewing]\ndistance_mm 3").contains("not TOML"));
}

/// Half of the fifth digit that is printed, and what rounded primaries add to it.
const SHARE_TOLERANCE: f64 = 5e-5;

#[test]
fn shares_of_white_are_those_of_the_published_colour_spaces() {
    // ITU-R BT.709, Display P3 and ITU-R BT.2020 by colour-science 0.4.7, normalised primary matrices.
    let white = [0.3127, 0.3290];
    for (primaries, shares) in [
        ([[0.640, 0.330], [0.300, 0.600], [0.150, 0.060]], [0.212_64, 0.715_17, 0.072_19]),
        ([[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]], [0.228_97, 0.691_74, 0.079_29]),
        ([[0.708, 0.292], [0.170, 0.797], [0.131, 0.046]], [0.262_70, 0.678_00, 0.059_30]),
    ] {
        let computed = luminance_weights(primaries, white).unwrap();
        for (one, other) in computed.into_iter().zip(shares) {
            assert!((one - other).abs() < SHARE_TOLERANCE, "{computed:?}, published {shares:?}");
        }
    }
}

#[test]
fn chromaticities_share_out_the_white_that_was_metered() {
    let p3 = "[luminance]\nwhite = 200.0\nblack = 0.0\n[primaries]\nred = { chromaticity = [0.680, 0.320] }\n\
              green = { chromaticity = [0.265, 0.690] }\nblue = { chromaticity = [0.150, 0.060] }\n\
              white = [0.3127, 0.3290]\n";
    let display = read(&format!("{LEAST}{p3}")).unwrap().display.clone();
    // Display P3: 0.22897 of white.
    assert!((display.luminance([255, 0, 0]).to_cd_m2() - 45.79).abs() < 0.01);
    assert_eq!(display.full_basis(Channel::Red), Basis::Derived);
    let unmetered = read(&format!("{LEAST}{}", p3.replace("white = 200.0\n", ""))).unwrap().display.clone();
    assert_eq!(unmetered.full_basis(Channel::Red), Basis::Assumed, "the white is assumed");
    assert_eq!(unmetered.ratio_basis(Channel::Red), Basis::Derived, "the share of it is not");
    let claimed = read(&format!("{LEAST}{p3}claimed = true\n")).unwrap().display.clone();
    assert_eq!(claimed.ratio_basis(Channel::Green), Basis::Claimed);
}

#[test]
fn what_two_primaries_leave_of_white_is_the_third() {
    let display =
        read(&format!("{LEAST}[luminance]\ngreen = 178.0\nblue = 19.0\nwhite = 248.5\nblack = 0.25\n"))
            .unwrap()
            .display
            .clone();
    // 248.5 = red + 178 + 19 − 2 · 0.25.
    assert!((display.luminance([255, 0, 0]).to_cd_m2() - 52.0).abs() < 1e-9);
    assert_eq!(display.full_basis(Channel::Red), Basis::Measured);
}

#[test]
fn the_ends_of_measured_steps_are_readings() {
    let steps = "[tone]\nsteps = { red = [[0, 0.3], [128, 12], [255, 61]], green = [[0, 0.3], [128, 40], [255, 190]] }\n";
    let display = read(&format!("{LEAST}{steps}")).unwrap().display.clone();
    assert!((display.luminance([255, 0, 0]).to_cd_m2() - 61.0).abs() < 1e-9);
    assert!((display.luminance([0, 128, 0]).to_cd_m2() - 40.0).abs() < 1e-9);
    assert!((display.black().to_cd_m2() - 0.3).abs() < 1e-9);
    assert_eq!(display.full_basis(Channel::Green), Basis::Measured);
    let other_black = steps.replace("green = [[0, 0.3]", "green = [[0, 0.9]");
    assert!(refusal(&format!("{LEAST}{other_black}")).contains("over 1 % off"));
    let shares = "[tone]\nrelative = true\nsteps = [[0, 0], [128, 0.25], [255, 1]]\n";
    let display = read(&format!("{LEAST}{shares}")).unwrap().display.clone();
    assert!((display.tone(Channel::Red).light(128) - 0.25).abs() < 1e-9);
    assert_eq!(display.full_basis(Channel::Red), Basis::Assumed);
}

#[test]
fn uncertainties_add_by_the_root_of_the_sum_of_their_squares() {
    let metered = |more: &str| {
        read(&format!("{LEAST}[luminance]\nred = 52\ngreen = 178\nblack = 0.25\n{more}"))
            .unwrap()
            .display
            .clone()
    };
    // Full drive: the meter's 3 % and the rounding of code 255, (1 − light(254)) / √12 = 0.9 % / 3.46 = 0.26 %.
    let full = metered("[tone]\ngamma = 2.2\n").uncertainty([255, 0, 0]);
    let rounding = (1.0 - (254.0_f64 / 255.0).powf(2.2)) / 12_f64.sqrt();
    assert!((full - (0.03_f64.powi(2) + rounding.powi(2)).sqrt()).abs() < 1e-9, "{full}");
    // An assumed curve adds 0.1 · ln(147/255) = 5.5 % at code 147.
    let assumed = metered("").uncertainty([0, 147, 0]);
    assert!((assumed - 0.0630).abs() < 5e-4, "{assumed}");
    let better = metered("meter_percent = 0.5\n[tone]\ngamma = 2.2\n").uncertainty([0, 147, 0]);
    // Code 147 at gamma 2.2: one code is 1.49 %, so 0.43 % and 0.5 % make 0.66 %.
    assert!((better - 0.0066).abs() < 5e-5, "{better}");
}

#[test]
fn readings_of_the_fields_that_cannot_be_are_refused() {
    for (good, bad, said) in [
        ("codes = [252, 145]", "codes = [0, 145]", "match.codes has a code of 0"),
        ("codes = [252, 145]", "codes = [252.5, 145]", "match.codes is not a pair of whole numbers"),
        ("red = 47.1", "red = 0.0", "match.red = 0 is not within"),
        ("meter_percent = 3.0\ndate", "meter_percent = 0.0\ndate", "match.meter_percent = 0 is not within"),
        ("2026-03-31", "31 March", "match.date = \"31 March\" is no day"),
        ("date =", "dat =", "[match] has no key \"dat\": write date"),
    ] {
        assert!(ALL.contains(good), "{good}");
        let refused = refusal(&ALL.replace(good, bad));
        assert!(refused.contains(said), "{bad}: {refused}");
    }
}

/// A room file as a person keeps it: in another order, with comments, in more than one notation.
const KEPT: &str = "# Quillhaven practice (made up)\n\n[screen]   # hung 2026-02\npixels = [1920, 1080]\n\
                    size_mm = [527, 296.44]     # steel rule, twice\n\n[viewing]\nmirror = true  # far wall\n\
                    distance_mm = 4_200\n\n# the meter is borrowed\nluminance = { red = 47.5, green = 163 }\n";

#[test]
fn an_edit_changes_one_value_and_keeps_order_notation_and_comments() {
    // A table in braces has to stand before the first heading.
    let (tables, inline) = KEPT.split_once("# the meter").unwrap();
    let text = format!("# the meter{inline}{tables}");
    let mut wanted = read(&text).unwrap().file().clone();
    wanted.screen.size_mm = Some([532.0, 299.25]);
    wanted.luminance.as_mut().unwrap().black = Some(0.2);
    let edit = Edit::new(&text, "room.toml", wanted).unwrap();
    let expected = text
        .replace("[527, 296.44]", "[532.0, 299.25]")
        .replace("green = 163 }", "green = 163 , black = 0.2 }");
    let same = |text: &str| text.replace(' ', "");
    assert_eq!(same(&edit.text), same(&expected), "{}", edit.text);
    let changes: Vec<String> = edit.changes.iter().map(ToString::to_string).collect();
    assert_eq!(
        changes,
        ["screen.size_mm: [527.0, 296.44] → [532.0, 299.25]", "luminance.black: not given → 0.2"]
    );
    let unchanged = read(&text).unwrap().file().clone();
    let edit = Edit::new(&text, "room.toml", unchanged).unwrap();
    assert!(edit.changes.is_empty() && edit.text == text);
}

#[test]
fn an_edit_keeps_lines_that_end_in_cr_lf() {
    let text = LEAST.replace('\n', "\r\n");
    let mut wanted = read(&text).unwrap().file().clone();
    wanted.viewing.distance_mm = 4100.0;
    let edit = Edit::new(&text, "room.toml", wanted.clone()).unwrap().text;
    assert!(edit.contains("4100.0\r\n"), "{edit:?}");
    assert_eq!(edit.matches('\n').count(), edit.matches("\r\n").count(), "{edit:?}");
    // Two ways of ending a line become one.
    let mixed = text.replacen("\r\n", "\n", 1);
    assert!(!Edit::new(&mixed, "room.toml", wanted).unwrap().text.contains('\r'));
}

#[test]
fn an_edit_that_makes_no_room_is_refused() {
    let mut wanted = read(LEAST).unwrap().file().clone();
    wanted.viewing.distance_mm = 4e5;
    let refused = Edit::new(LEAST, "room.toml", wanted).unwrap_err().to_string();
    assert!(refused.contains("viewing.distance_mm = 400000") && refused.contains("nothing was changed"));
}

#[test]
fn what_was_measured_is_told_and_what_was_claimed_is_not() {
    let held = read(ALL).unwrap().file().measurements().join(", ");
    for one in [
        "red 52 cd/m²",
        "black 0.25 cd/m²",
        "5 steps of the tone curve",
        "the primary green",
        "room light of 4 lx",
        "both fields of 2026-03-31",
    ] {
        assert!(held.contains(one), "{one}: {held}");
    }
    assert!(read(LEAST).unwrap().file().measurements().is_empty());
    let claimed =
        format!("{LEAST}[luminance]\nwhite = 200\nclaimed = true\n[tone]\ngamma = 2.2\nclaimed = true\n");
    assert!(read(&claimed).unwrap().file().measurements().is_empty());
    let by_eye = format!("{LEAST}[luminance]\nred = 50\ngreen = 160\nmatched_by_eye = true\n");
    assert_eq!(read(&by_eye).unwrap().file().measurements()[0], "red 50 cd/m² (matched by eye)");
}
