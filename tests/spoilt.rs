//! A chart that was spoilt on its way is found out; one that only changed its wrapping is not.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod common;

use common::{Desk, Png, ROOM, Run};
use image::imageops::{self, FilterType};
use image::{Rgb, RgbImage};

/// A chart of one line, with the room's file beside it.
fn charted(more: &str) -> Desk {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let made = desk.run(&format!("chart --room room.toml --line 20/40 --out chart.png {more}"));
    assert_eq!(made.code, 0, "{}{}", made.out, made.err);
    desk
}

/// The check of a copy after a change.
fn check_after(desk: &Desk, change: impl FnOnce(&mut Png), flags: &str) -> Run {
    let mut png = Png::read(&desk.path("chart.png"));
    change(&mut png);
    png.write(&desk.path("copy.png"));
    desk.run(&format!("check copy.png {flags}"))
}

/// The change must fail, and on the finding that it concerns.
fn fails_on(run: &Run, what: &str) {
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    assert!(
        run.out.lines().any(|line| line.contains("FAIL") && line.contains(what)),
        "no {what} in {}",
        run.out
    );
}

#[test]
fn the_chart_as_it_was_written_passes() {
    let desk = charted("");
    assert_eq!(check_after(&desk, |_| {}, "").code, 0);
}

#[test]
fn the_same_pixels_from_another_program_without_text_pass_with_the_room_and_the_line_named() {
    let desk = charted("");
    let run = check_after(&desk, |png| png.json = None, "--room room.toml --line 20/40");
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(run.out.contains("9.976′ ± 5 %"), "{}", run.out);
}

#[test]
fn what_neither_file_nor_flags_say_is_not_judged() {
    let desk = charted("");
    let run = check_after(&desk, |png| png.json = None, "");
    assert_eq!(run.code, 0, "{}", run.out);
    for what in ["pixels", "letter size", "red against green, as seen"] {
        assert!(
            run.out.lines().any(|line| line.contains("not judged") && line.contains(what)),
            "{what}: {}",
            run.out
        );
    }
}

#[test]
fn letters_scaled_by_seven_per_cent_fail_at_either_size_of_picture() {
    let desk = charted("");
    let scaled = |png: &mut Png| {
        let (width, height) = png.pixels.dimensions();
        imageops::resize(&png.pixels, width * 107 / 100, height * 107 / 100, FilterType::Triangle)
    };
    let run = check_after(&desk, |png| png.pixels = scaled(png), "");
    fails_on(&run, "letter size");
    fails_on(&run, "pixels");
    let cut_to_the_screen = |png: &mut Png| {
        let larger = scaled(png);
        let (x, y) = ((larger.width() - 1280) / 2, (larger.height() - 800) / 2);
        png.pixels = imageops::crop_imm(&larger, x, y, 1280, 800).to_image();
    };
    fails_on(&check_after(&desk, cut_to_the_screen, ""), "letter size");
}

#[test]
fn another_scale_in_the_file_fails() {
    let desk = charted("");
    // 96 dpi for 92.5: what some programs write whatever the picture says.
    fails_on(&check_after(&desk, |png| png.pixels_a_metre = 3780, ""), "scale in the file");
}

#[test]
fn one_field_five_per_cent_dimmer_fails() {
    let desk = charted("");
    let dim = |png: &mut Png| {
        for pixel in png.pixels.pixels_mut() {
            // Near the top of the sRGB curve a fall of 2.2 % in the code is one of 5 % in the light.
            pixel[0] = u8::try_from(u32::from(pixel[0]) * 978 / 1000).unwrap();
        }
    };
    let run = check_after(&desk, dim, "");
    fails_on(&run, "red against green");
    assert!(run.out.contains("green is brighter"), "{}", run.out);
}

#[test]
fn one_letter_replaced_by_another_fails() {
    let desk = charted("");
    let other = charted("--seed 2");
    let donor = Png::read(&other.path("chart.png")).pixels;
    let replace = |png: &mut Png| {
        // The last letter of the green field, with the paper around it.
        let (x, y) = (1055, 350);
        let letter = imageops::crop_imm(&donor, x, y, 60, 100).to_image();
        assert_ne!(letter, imageops::crop_imm(&png.pixels, x, y, 60, 100).to_image());
        imageops::replace(&mut png.pixels, &letter, i64::from(x), i64::from(y));
    };
    let run = check_after(&desk, replace, "");
    fails_on(&run, "letters");
    assert!(run.out.contains("the fields show different letters"), "{}", run.out);
}

#[test]
fn a_letter_that_lost_a_piece_fails() {
    let desk = charted("");
    let bite = |png: &mut Png| {
        let field = *png.pixels.get_pixel(0, 0);
        for y in 385..402 {
            for x in 0..640 {
                png.pixels.put_pixel(x, y, field);
            }
        }
    };
    fails_on(&check_after(&desk, bite, ""), "letters");
}

#[test]
fn a_crop_of_ten_pixels_fails() {
    let desk = charted("");
    let crop = |png: &mut Png| png.pixels = imageops::crop_imm(&png.pixels, 10, 0, 1270, 800).to_image();
    let run = check_after(&desk, crop, "");
    fails_on(&run, "pixels");
    fails_on(&run, "fields");
}

#[test]
fn a_chart_turned_to_grey_fails() {
    let desk = charted("");
    let grey = |png: &mut Png| {
        let grey = imageops::grayscale(&png.pixels);
        png.pixels = RgbImage::from_fn(grey.width(), grey.height(), |x, y| Rgb([grey.get_pixel(x, y)[0]; 3]));
    };
    fails_on(&check_after(&desk, grey, ""), "fields");
}

#[test]
fn a_room_ten_per_cent_longer_or_shorter_fails() {
    let desk = charted("");
    for distance in ["3300.0", "2700.0"] {
        desk.write("other.toml", ROOM.replace("3000.0", distance));
        fails_on(&check_after(&desk, |_| {}, "--room other.toml"), "letter size");
    }
}

#[test]
fn another_line_than_the_one_named_fails() {
    let desk = charted("");
    fails_on(&desk.run("check chart.png --line 20/50"), "letter size");
    fails_on(&desk.run("check chart.png --line 20/40 --line 20/50"), "lines");
}

#[test]
fn lines_may_be_named_in_any_order() {
    let desk = charted("--line 20/63 --force");
    assert_eq!(desk.run("check chart.png --line 20/40 --line 20/63").code, 0);
    assert_eq!(desk.run("check chart.png --line 20/63 --line 20/40").code, 0);
}

#[test]
fn fields_on_the_wrong_sides_fail() {
    let desk = charted("");
    fails_on(&desk.run("check chart.png --red right"), "fields");
    fails_on(&desk.run("check chart.png --fields white"), "fields");
}

#[test]
fn colours_remapped_on_the_way_fail() {
    let desk = charted("");
    // What a browser on a wide-gamut monitor made of pure red.
    let remap = |png: &mut Png| {
        for pixel in png.pixels.pixels_mut().filter(|pixel| pixel[0] > 200) {
            *pixel = Rgb([234, 51, 35]);
        }
    };
    fails_on(&check_after(&desk, remap, ""), "fields");
}

#[test]
fn a_picture_of_something_else_fails_without_a_panic() {
    let desk = charted("");
    fails_on(&check_after(&desk, |png| png.pixels = RgbImage::new(1280, 800), ""), "lines");
    let noise = |png: &mut Png| {
        png.pixels = RgbImage::from_fn(1280, 800, |x, y| {
            let byte = |n: u32| u8::try_from((x * 7919 + y * 104_729 + n * 31) % 251).unwrap();
            Rgb([byte(1), byte(2), byte(3)])
        });
    };
    fails_on(&check_after(&desk, noise, ""), "fields");
    fails_on(&check_after(&desk, |png| png.pixels = RgbImage::new(3, 2), ""), "pixels");
    fails_on(&check_after(&desk, |png| png.pixels = RgbImage::new(1, 1), ""), "pixels");
}
