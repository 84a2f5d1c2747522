//! The setup sheet, measured in its picture, and the answers that it takes back.

use crate::common::{Desk, Png};
use evenfield::chart::FieldLight;
use evenfield::light::{Basis, Channel};
use evenfield::print::SetupSheet;
use evenfield::room::Room;
use evenfield::scene::{Geometry, Shape};

const SCREENS: [(&str, f64); 4] =
    [("1024x600", 222.0), ("1920x1080", 527.0), ("3840x2160", 1210.0), ("7680x4320", 697.0)];

fn sheet(desk: &Desk, pixels: &str, width: f64) -> Png {
    let run = desk
        .run(&format!("room new --pixels {pixels} --width {width}mm --distance 3m --out room.toml --force"));
    assert_eq!(run.code, 0, "{}", run.err);
    let run = desk.run("room sheet --room room.toml --out sheet.png --force");
    assert_eq!(run.code, 0, "{}", run.err);
    Png::read(&desk.path("sheet.png"))
}

#[test]
fn bar_and_card_have_their_size_on_screens_of_four_sizes() {
    let desk = Desk::new();
    for (pixels, width) in SCREENS {
        let picture = sheet(&desk, pixels, width).pixels;
        let pitch = width / f64::from(picture.width());
        let white = |x: u32, y: u32| picture.get_pixel(x, y).0 == [255; 3];
        // The bar is the lowest white row; it takes four fifths of the columns.
        let y = (0..picture.height()).rev().find(|y| (0..picture.width()).any(|x| white(x, *y))).unwrap();
        let bar = (0..picture.width()).filter(|x| white(*x, y)).count();
        assert_eq!(bar, picture.width() as usize * 4 / 5, "{pixels}");
        // The card's outline, 85.60 × 53.98 mm (ISO/IEC 7810, ID-1): the last ink on the right, above the strips, the
        // next ink to its left that lies a card away, and the lowest ink on a column through it.
        let ink = |x: u32, y: u32| picture.get_pixel(x, y).0[0] > 150;
        let places = |mm: f64| (1..).find(|count| f64::from(*count) * pitch >= mm).unwrap();
        let above = picture.height().min(places(2.5 * (width * 0.6 / 46.0).max(2.4) + 56.0));
        let right = (0..picture.width()).rev().find(|x| (0..above).any(|y| ink(*x, y))).unwrap();
        let edge: Vec<u32> = (0..above).filter(|y| ink(right, *y)).collect();
        let level = (edge[0] + edge[edge.len() - 1]) / 2;
        let left = (0..right - places(84.0)).rev().find(|x| ink(*x, level)).unwrap();
        let across = f64::from(right - left + 1) * pitch;
        // An edge that is found may be the outer or the inner one of a line two pixels wide.
        assert!((across - 85.60).abs() < 3.0 * pitch, "{pixels}: the card is {across} mm wide");
        let column = right - places(10.0);
        let inked: Vec<u32> = (0..above).filter(|y| ink(column, *y)).collect();
        let down = f64::from(inked[inked.len() - 1] - inked[0] + 1) * pitch;
        assert!((down - 53.98).abs() < 3.0 * pitch, "{pixels}: the card is {down} mm high");
    }
}

#[test]
fn a_mirrored_rooms_sheet_says_where_it_is_read() {
    let desk = Desk::new();
    for mirror in [false, true] {
        let text = format!(
            "[viewing]\ndistance_mm = 3200.0\nmirror = {mirror}\n[screen]\npixels = [1920, 1080]\nsize_mm = [527.0, 296.5]\n"
        );
        let room = Room::read(&desk.write("room.toml", text)).unwrap();
        let sheet = SetupSheet::new(&room, &FieldLight::new(&room.display, None).unwrap());
        let text = |shape: &Shape| match &shape.geometry {
            Geometry::Text(text) => Some(text.words().to_owned()),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
        };
        let said = sheet.scene.shapes.iter().filter_map(text).collect::<Vec<_>>().join(" ");
        assert_eq!(said.contains("4 in the mirror"), mirror, "{said}");
    }
}

#[test]
fn a_measured_bar_settles_the_size() {
    let desk = Desk::new();
    // 1536 of 1920 columns are 201.5 mm: the picture is 251.875 mm wide.
    let run = desk.run("room new --pixels 1920x1080 --measured-bar 201.5mm --distance 1m --out room.toml");
    assert_eq!(run.code, 0, "{}", run.err);
    let room = Room::read(&desk.path("room.toml")).unwrap();
    assert!((room.screen.size()[0].to_mm() - 251.875).abs() < 1e-6);
    assert_eq!(room.screen.size_basis, Basis::Measured);
    let both =
        desk.run("room new --pixels 1920x1080 --measured-bar 201.5mm --width 3m --distance 1m --out b.toml");
    assert_eq!(both.code, 2, "{}", both.out);
}

#[test]
fn a_matched_step_changes_the_green_code() {
    let desk = Desk::new();
    let new = "room new --pixels 1920x1080 --width 527mm --distance 3m --out room.toml --force --discard-measurements";
    desk.run(new);
    let said = desk.run("room sheet --room room.toml --out sheet.png").out;
    let codes: Vec<u8> = said
        .split("green codes ")
        .nth(1)
        .unwrap()
        .trim()
        .split(", ")
        .map(|code| code.parse().unwrap())
        .collect();
    assert_eq!(codes.len(), 9);
    for step in [1, 5, 8] {
        desk.run(new);
        let run = desk.run(&format!("room set --room room.toml --matched-step {step}"));
        assert_eq!(run.code, 0, "{}", run.err);
        let room = Room::read(&desk.path("room.toml")).unwrap();
        // The first step leaves it open whether the match lies beyond.
        let basis = if step == 1 { Basis::Assumed } else { Basis::Matched };
        assert_eq!(room.display.ratio_basis(Channel::Green), basis);
        let made = desk.run("chart --room room.toml --out chart.png --force --json").out;
        let made: serde_json::Value = serde_json::from_str(&made).unwrap();
        let green = made["made"]["chart"]["field_codes"][1][1].as_u64().unwrap();
        // The best pair nearby may take a neighbouring code with another red.
        assert!(green.abs_diff(u64::from(codes[step - 1])) <= 2, "step {step}: {green}, strip {codes:?}");
    }
}

#[test]
fn a_matched_gamma_becomes_the_curve_on_which_the_match_is_counted() {
    let desk = Desk::new();
    let new = "room new --pixels 1920x1080 --width 527mm --distance 3m --out room.toml --force";
    assert_eq!(desk.run(new).code, 0);
    assert_eq!(desk.run("room set --room room.toml --matched-gamma 1.8 --matched-step 7").code, 0);
    let display = Room::read(&desk.path("room.toml")).unwrap().display.clone();
    assert_eq!(display.tone_basis(), Basis::Matched);
    // The sheet of the room without a gamma shows its step 7 in green of code 147 + 2 · 4, beside red of code 253; both
    // are equal on a curve of 1.8: (155/255)^1.8 = 0.4082 of green, (253/255)^1.8 = 0.9859 of red.
    let [red, green] =
        [[255, 0, 0], [0, 255, 0]].map(|full| (display.luminance(full) - display.black()).to_cd_m2());
    assert!((green / red / (0.9859 / 0.4082) - 1.0).abs() < 1e-3, "{red} {green}");
}
