//! A chart that was spoilt on its way is found out; one that only changed its wrapping is not.

use std::sync::OnceLock;

use crate::common::{Desk, Png, ROOM, Run};
use image::imageops::{self, FilterType};
use image::{Rgb, RgbImage};

/// A chart of one line, with the room's file beside it; that without further words is made once for all tests.
fn charted(more: &str) -> Desk {
    static USUAL: OnceLock<Vec<u8>> = OnceLock::new();
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let made = || {
        let made = desk.run(&format!("chart --room room.toml --line 20/40 --out chart.png {more}"));
        assert_eq!(made.code, 0, "{}{}", made.out, made.err);
        std::fs::read(desk.path("chart.png")).unwrap()
    };
    let chart = if more.is_empty() { USUAL.get_or_init(made).clone() } else { made() };
    desk.write("chart.png", chart);
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

/// Where the letters of a one-line chart stand: left, top, right and bottom of each, from the left.
fn letters(pixels: &RgbImage) -> Vec<[u32; 4]> {
    let (width, height) = pixels.dimensions();
    let black = |x: u32, y: u32| pixels.get_pixel(x, y).0 == [0; 3];
    let rows: Vec<u32> = (0..height).filter(|y| (0..width).any(|x| black(x, *y))).collect();
    let (top, bottom) = (rows[0], rows[rows.len() - 1] + 1);
    let mut letters: Vec<[u32; 4]> = Vec::new();
    for x in (0..width).filter(|x| (top..bottom).any(|y| black(*x, y))) {
        match letters.last_mut() {
            Some([_, _, right, _]) if *right == x => *right = x + 1,
            _ => letters.push([x, top, x + 1, bottom]),
        }
    }
    letters
}

fn fill(pixels: &mut RgbImage, [left, top, right, bottom]: [u32; 4], colour: [u8; 3]) {
    for (x, y) in (top..bottom).flat_map(|y| (left..right).map(move |x| (x, y))) {
        pixels.put_pixel(x, y, Rgb(colour));
    }
}

/// Moves all that stands in a box, and a little beside it, down.
fn lower(pixels: &mut RgbImage, [left, top, right, bottom]: [u32; 4], by: u32) {
    let (x, y) = (left - 3, top - 3);
    let part = imageops::crop_imm(pixels, x, y, right + 3 - x, bottom + 3 - y).to_image();
    let field = pixels.get_pixel(x, y).0;
    fill(pixels, [x, y, right + 3, bottom + 3], field);
    imageops::replace(pixels, &part, i64::from(x), i64::from(y + by));
}

#[test]
fn damage_to_a_letter_fails_wherever_it_is() {
    let desk = charted("--letters hotv --seed 4");
    // An O, which has no ink in its corners.
    let [left, top, right, bottom] = letters(&Png::read(&desk.path("chart.png")).pixels)[1];
    let middle = (left + right) / 2;
    // A slit down a stroke, a corner filled up, a shade over the whole letter, a light spot where ink should be.
    for (what, place, colour) in [
        ("a slit", [left + 2, top, left + 4, bottom], [254, 0, 0]),
        ("a filled corner", [left, top, left + 7, top + 7], [0, 0, 0]),
        ("a shade", [left, top, right, bottom], [230, 0, 0]),
        ("a spot", [middle - 3, top, middle + 3, bottom], [254, 0, 0]),
    ] {
        let spoil = |png: &mut Png| {
            for (x, y) in (place[1]..place[3]).flat_map(|y| (place[0]..place[2]).map(move |x| (x, y))) {
                let paper = png.pixels.get_pixel(x, y)[0] > 100;
                // A shade lies on paper alone; what is cut out is cut from ink alone.
                if paper == (colour[0] < 254) {
                    png.pixels.put_pixel(x, y, Rgb(colour));
                }
            }
        };
        let run = check_after(&desk, spoil, "");
        assert_eq!(run.code, 1, "{what}: {}", run.out);
        let fails =
            |finding: &str| run.out.lines().any(|line| line.contains("FAIL") && line.contains(finding));
        assert!(fails("ink out of place") || fails("letters"), "{what}: {}", run.out);
    }
}

#[test]
fn a_letter_or_a_fields_row_that_stands_lower_fails() {
    let desk = charted("");
    let all = letters(&Png::read(&desk.path("chart.png")).pixels);
    fails_on(&check_after(&desk, |png| lower(&mut png.pixels, all[2], 4), ""), "unevenness");
    let green = [all[5][0], all[5][1], all[9][2], all[9][3]];
    fails_on(&check_after(&desk, |png| lower(&mut png.pixels, green, 4), ""), "unevenness");
}

#[test]
fn rows_at_the_border_or_at_each_other_warn() {
    let desk = charted("--line 20/63 --force");
    let warns = |run: &Run, what: &str| {
        assert!(
            run.out.lines().any(|line| line.contains("warn") && line.contains(what)),
            "{what}: {}",
            run.out
        );
    };
    let up = |png: &mut Png| {
        let (width, height) = png.pixels.dimensions();
        let first = letters(&png.pixels)[0][1];
        let part = imageops::crop_imm(&png.pixels, 0, first - 8, width, height + 8 - first).to_image();
        let rest = imageops::crop_imm(&png.pixels, 0, 0, width, first - 8).to_image();
        imageops::replace(&mut png.pixels, &part, 0, 0);
        imageops::replace(&mut png.pixels, &rest, 0, i64::from(height + 8 - first));
    };
    warns(&check_after(&desk, up, ""), "air");
    let closer = |png: &mut Png| {
        let all = letters(&png.pixels);
        let upper = [all[0][0] - 20, all[0][1], all[all.len() - 1][2] + 20, all[0][1] + 51];
        // The row of 20/63 is 50 px high; the next begins 32 px below it.
        let (red, green) = ([upper[0], upper[1], 636, upper[3]], [644, upper[1], upper[2], upper[3]]);
        lower(&mut png.pixels, red, 12);
        lower(&mut png.pixels, green, 12);
    };
    warns(&check_after(&desk, closer, ""), "gap to the row above");
}

#[test]
fn marks_that_are_no_labels_fail_where_labels_were_asked_for() {
    let desk = charted("--labels");
    assert_eq!(desk.run("check chart.png").code, 0);
    let faint = [220, 0, 0];
    let fails = |what: &str, spoil: &dyn Fn(&mut RgbImage)| {
        let run = check_after(&desk, |png| spoil(&mut png.pixels), "");
        assert_eq!(run.code, 1, "{what}: {}", run.out);
        fails_on(&run, "beside the letters");
        run.said()
    };
    let place = |pixels: &RgbImage| letters(pixels)[0];
    let white = fails("white", &|pixels| fill(pixels, [20, 40, 60, 60], [255; 3]));
    let blue = fails("blue", &|pixels| fill(pixels, [20, 40, 60, 60], [200, 0, 90]));
    // The cell is folded among others.
    assert!(
        [&white, &blue].iter().all(|said| said.contains(" px of ") && said.contains(" another ")),
        "{white}{blue}"
    );
    fails("a mark in a corner", &|pixels| fill(pixels, [20, 40, 40, 60], faint));
    fails("a tall mark", &|pixels| fill(pixels, [20, 300, 40, 480], faint));
    fails("a mark above a letter", &|pixels| {
        let [left, top, right, _] = place(pixels);
        fill(pixels, [left, top - 30, right, top - 20], faint);
    });
    fails("a long mark", &|pixels| {
        let [left, top, ..] = place(pixels);
        fill(pixels, [10, top + 10, left - 8, top + 16], faint);
    });
    fails("no label at the right", &|pixels| {
        let [_, top, _, bottom] = place(pixels);
        fill(pixels, [1180, top, 1280, bottom], pixels.get_pixel(1279, 0).0);
    });
    fails("no label at all", &|pixels| {
        let [_, top, _, bottom] = place(pixels);
        fill(pixels, [1180, top, 1280, bottom], pixels.get_pixel(1279, 0).0);
        fill(pixels, [0, top, 100, bottom], pixels.get_pixel(0, 0).0);
    });
}

#[test]
fn both_fields_dimmed_alike_fail_on_their_codes() {
    let desk = charted("");
    let dim = |png: &mut Png| {
        for pixel in png.pixels.pixels_mut() {
            *pixel = Rgb(pixel.0.map(|code| u8::try_from(u32::from(code) * 9 / 10).unwrap()));
        }
    };
    fails_on(&check_after(&desk, dim, ""), "codes of the fields");
}

#[test]
fn where_red_should_be_is_asked_even_of_a_file_that_says_nothing() {
    let desk = charted("");
    fails_on(&check_after(&desk, |png| png.json = None, "--room room.toml --red right"), "fields");
    let run = check_after(&desk, |png| png.json = None, "--room room.toml --red left");
    assert_eq!(run.code, 0, "{}", run.out);
}

/// A bare encoder for a picture of this size.
fn encoder(path: &std::path::Path, pixels: &RgbImage) -> png::Encoder<'static, std::fs::File> {
    let file = std::fs::File::create(path).unwrap();
    let mut encoder = png::Encoder::new(file, pixels.width(), pixels.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder
}

#[test]
fn a_colour_tag_that_is_not_the_rooms_warns() {
    let desk = charted("");
    let png = Png::read(&desk.path("chart.png"));
    let mut encoder = encoder(&desk.path("tagged.png"), &png.pixels);
    encoder.set_source_gamma(png::ScaledFloat::new(1.0));
    encoder.write_header().unwrap().write_image_data(&png.pixels).unwrap();
    let run = desk.run("check tagged.png --room room.toml --line 20/40");
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(run.out.lines().any(|line| line.contains("warn") && line.contains("colour tag")), "{}", run.out);
}

#[test]
fn a_picture_that_moves_is_refused() {
    let desk = charted("");
    let png = Png::read(&desk.path("chart.png"));
    let mut encoder = encoder(&desk.path("moving.png"), &png.pixels);
    encoder.set_animated(2, 0).unwrap();
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&png.pixels).unwrap();
    writer.write_image_data(&png.pixels).unwrap();
    writer.finish().unwrap();
    let run = desk.run("check moving.png");
    assert_eq!(run.code, 2, "{}", run.out);
    assert!(run.err.contains("2 frames"), "{}", run.err);
}

#[test]
fn a_board_of_a_million_squares_is_given_up_at_once() {
    let desk = charted("");
    let board = |png: &mut Png| {
        png.pixels =
            RgbImage::from_fn(1600, 1400, |x, y| Rgb([if (x + y) % 2 == 0 { 254 } else { 0 }, 0, 0]));
    };
    let run = check_after(&desk, board, "");
    fails_on(&run, "beside the letters");
    assert!(run.said().contains("more marks than"), "{}", run.out);
}

#[test]
fn a_picture_of_something_else_gets_one_sentence() {
    let desk = Desk::new();
    for picture in ["report.png", "curve-3mm.png"] {
        let whole = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("output/gallery").join(picture);
        std::fs::copy(whole, desk.path(picture)).unwrap();
        let run = desk.run(&format!("check {picture}"));
        assert!(run.code == 2 && run.err.contains("shows no chart"), "{}{}", run.out, run.err);
    }
}

#[test]
fn a_chart_of_a_room_whose_tone_curve_was_found_since_fails_by_its_match_alone() {
    let desk = charted("--labels");
    let set =
        desk.run("room set --room room.toml --matched-gamma 2.6 --matched-step 7 --discard-measurements");
    assert_eq!(set.code, 0, "{}", set.err);
    let check = desk.run("check chart.png --room room.toml --json");
    let found: serde_json::Value = serde_json::from_str(&check.out).unwrap();
    let findings = found["findings"].as_array().unwrap();
    let failed: Vec<&str> = findings
        .iter()
        .filter(|one| one["verdict"] == "fail")
        .map(|one| one["what"].as_str().unwrap())
        .collect();
    assert!(
        !failed.is_empty() && failed.iter().all(|what| what.starts_with("red against green")),
        "{failed:?}"
    );
    // The labels are still no letters, and no faults.
    assert!(check.out.contains("faint labels"), "{}", check.out);
}
