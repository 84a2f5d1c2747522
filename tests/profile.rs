//! Rooms from ICC profiles that another program wrote: littlecms 2.19 (as Pillow carries it), from the primaries, whites
//! and curves that stand beside each.

use crate::common::Desk;
use evenfield::light::{Basis, Channel};
use evenfield::room::Room;

/// Display P3's primaries with the white of D65, a gamma of 2.2 and a luminance of 214 cd/m².
const WIDE_GAMMA: &[u8] = include_bytes!("data/wide_gamma.icc");

/// The primaries of BT.709 with a warm white (0.3450, 0.3580) and tables of gamma 2.4, 2.2 and 2.0; version 2.
const WARM_TABLE: &[u8] = include_bytes!("data/warm_table_v2.icc");

/// A grey profile.
const GREY: &[u8] = include_bytes!("data/grey.icc");

/// s15Fixed16 leaves 1.5e-5 of each colorant, the room file five decimals of a chromaticity.
const CHROMATICITY_TOLERANCE: f64 = 1e-4;

fn desk() -> Desk {
    let desk = Desk::new();
    desk.write("wide.icc", WIDE_GAMMA);
    desk.write("warm.icc", WARM_TABLE);
    desk.write("grey.icc", GREY);
    desk.write("cut.icc", &WIDE_GAMMA[..300]);
    desk
}

fn room(desk: &Desk, profile: &str) -> Room {
    let run = desk.run(&format!(
        "room new --pixels 1920x1080 --width 527mm --distance 3m --icc {profile} --out room.toml --force"
    ));
    assert_eq!(run.code, 0, "{}", run.err);
    Room::read(&desk.path("room.toml")).unwrap()
}

fn close(one: [f64; 2], other: [f64; 2]) -> bool {
    one.iter().zip(other).all(|(one, other)| (one - other).abs() < CHROMATICITY_TOLERANCE)
}

#[test]
fn primaries_white_gamma_and_light_are_taken_as_claimed() {
    let desk = desk();
    let room = room(&desk, "wide.icc");
    let primaries = room.file().primaries.as_ref().unwrap();
    let red = primaries.red.as_ref().unwrap().chromaticity.unwrap();
    let green = primaries.green.as_ref().unwrap().chromaticity.unwrap();
    assert!(close(red, [0.680, 0.320]) && close(green, [0.265, 0.690]), "{red:?} {green:?}");
    assert!(close(primaries.white.unwrap(), [0.3127, 0.3290]), "{:?}", primaries.white);
    // 2.2 in sixteen bits behind the point.
    assert!((room.file().tone.as_ref().unwrap().gamma.unwrap() - 2.2).abs() < 2e-5);
    // Display P3: red has 0.22897 of white (colour-science 0.4.7), and black is assumed at a thousandth.
    let light = room.display.luminance([255, 0, 0]).to_cd_m2();
    assert!((light - (0.214 + 0.228_97 * (214.0 - 0.214))).abs() < 0.02, "{light}");
    assert_eq!(room.display.full_basis(Channel::Red), Basis::Claimed);
    assert_eq!(room.display.tone_basis(), Basis::Claimed);
}

#[test]
fn the_adaptation_to_d50_is_undone_and_tables_become_steps() {
    let desk = desk();
    let room = room(&desk, "warm.icc");
    let primaries = room.file().primaries.as_ref().unwrap();
    let green = primaries.green.as_ref().unwrap().chromaticity.unwrap();
    assert!(close(green, [0.300, 0.600]), "{green:?}");
    assert!(close(primaries.white.unwrap(), [0.3450, 0.3580]), "{:?}", primaries.white);
    for (channel, gamma) in [(Channel::Red, 2.4), (Channel::Green, 2.2), (Channel::Blue, 2.0)] {
        for code in [30_u8, 97, 147, 211] {
            let light = room.display.tone(channel).light(code);
            let power = (f64::from(code) / 255.0).powf(gamma);
            assert!((light - power).abs() < 5e-4, "{channel:?} at {code}: {light}, not {power}");
        }
    }
}

/// The warm profile as programs before version 4 wrote it: no matrix, and the white tag holds the screen's own white.
fn without_matrix() -> Vec<u8> {
    let mut bytes = WARM_TABLE.to_vec();
    let word = |bytes: &[u8], at: usize| {
        usize::try_from(u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap())).unwrap()
    };
    for entry in (0..word(&bytes, 128)).map(|tag| 132 + 12 * tag) {
        match &bytes[entry..entry + 4] {
            b"chad" => bytes[entry..entry + 4].copy_from_slice(b"none"),
            b"wtpt" => {
                let place = word(&bytes, entry + 4) + 8;
                let (x, y) = (0.3450, 0.3580);
                for (axis, value) in [x / y, 1.0, (1.0 - x - y) / y].into_iter().enumerate() {
                    #[allow(clippy::cast_possible_truncation, reason = "sixteen bits behind the point")]
                    let fixed = (value * 65536.0_f64).round() as i32;
                    bytes[place + 4 * axis..place + 4 * axis + 4].copy_from_slice(&fixed.to_be_bytes());
                }
            }
            _ => {}
        }
    }
    bytes
}

#[test]
fn an_old_profile_is_adapted_back_from_its_white() {
    let desk = desk();
    desk.write("old.icc", without_matrix());
    let primaries = room(&desk, "old.icc").file().primaries.clone().unwrap();
    let red = primaries.red.unwrap().chromaticity.unwrap();
    let green = primaries.green.unwrap().chromaticity.unwrap();
    // littlecms adapted by the same matrix, that of Bradford.
    assert!(close(red, [0.640, 0.330]) && close(green, [0.300, 0.600]), "{red:?} {green:?}");
    assert!(close(primaries.white.unwrap(), [0.3450, 0.3580]), "{:?}", primaries.white);
}

#[test]
fn charts_for_such_a_room_embed_the_profile_and_pass_their_check() {
    let desk = desk();
    room(&desk, "wide.icc");
    let run = desk.run("chart --room room.toml --out chart.png");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains("ICC profile") && run.out.contains("claimed"), "{}", run.out);
    let decoder =
        png::Decoder::new(std::io::BufReader::new(std::fs::File::open(desk.path("chart.png")).unwrap()));
    let reader = decoder.read_info().unwrap();
    assert_eq!(reader.info().icc_profile.as_deref(), Some(WIDE_GAMMA));
}

#[test]
fn what_is_no_display_profile_is_refused() {
    let desk = desk();
    desk.write("words.icc", "not a profile");
    for profile in ["grey.icc", "cut.icc", "words.icc", "none.icc"] {
        let run = desk.run(&format!(
            "room new --pixels 1920x1080 --width 527mm --distance 3m --icc {profile} --out room.toml"
        ));
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{profile}");
        assert_eq!(run.err.lines().count(), 1, "{}", run.err);
        assert!(run.err.contains(profile) && run.err.contains("leave it out"), "{}", run.err);
        assert!(!desk.path("room.toml").exists());
    }
}
