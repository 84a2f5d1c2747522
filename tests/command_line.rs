//! The commands as a person meets them: what they say, what they write, what they refuse.

use crate::common::{Desk, Png, ROOM, Run};

/// One sentence, exit 2, and no file but those that were there.
fn refused(desk: &Desk, words: &str) -> String {
    let before = desk.files();
    let run = desk.run(words);
    refusal(&run, words);
    assert_eq!(desk.files(), before, "{words} left something behind");
    run.err
}

fn refusal(run: &Run, words: &str) {
    assert_eq!(run.code, 2, "{words}: {}{}", run.out, run.err);
    assert!(run.out.is_empty() && run.err.lines().count() == 1, "{words}: {}{}", run.out, run.err);
    assert!(!run.err.contains("panicked"), "{}", run.err);
}

#[test]
fn the_demo_chart_needs_nothing_but_a_name() {
    let desk = Desk::new();
    let run = desk.run("chart --out first.png");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    for said in ["built-in demo room", "numbers are invented", "line 20/40", "licensed practitioner"] {
        assert!(run.out.contains(said), "no {said:?} in {}", run.out);
    }
    assert_eq!(desk.files(), ["first.png"]);
    let png = Png::read(&desk.path("first.png"));
    assert_eq!(png.pixels.dimensions(), (1920, 1080));
    // 1920 px on 527 mm are 3643.3 a metre, and 1080 on 296.5 are 3642.5.
    assert_eq!(png.pixels_a_metre, 3643);
}

#[test]
fn the_threshold_gives_the_line_two_above_and_says_the_ratio() {
    let desk = Desk::new();
    let said = |words: &str| desk.run(words).said();
    let two = said("chart --threshold 20/20 --out two.png");
    assert!(
        two.contains("line 20/32 (6/9.5, 0.63, 0.20 logMAR); 2 lines above 20/20, 1.585 times as large"),
        "{two}"
    );
    assert!(said("chart --threshold 6/6 --lines-above 3 --out three.png").contains("line 20/40"));
}

#[test]
fn the_same_request_gives_the_same_bytes_and_another_seed_other_letters() {
    let desk = Desk::new();
    for (name, more) in [("a.png", ""), ("b.png", ""), ("c.png", "--seed 7"), ("a.svg", ""), ("b.svg", "")] {
        assert_eq!(desk.run(&format!("chart --out {name} {more}")).code, 0);
    }
    let bytes = |name: &str| std::fs::read(desk.path(name)).unwrap();
    assert!(bytes("a.png") == bytes("b.png") && bytes("a.svg") == bytes("b.svg"));
    assert!(bytes("a.png") != bytes("c.png"));
}

#[test]
fn every_choice_makes_a_chart_that_passes_its_own_check() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM.replace("[screen]", "mirror = true\n[screen]"));
    for (number, words) in [
        "--letters rings --line 20/63 --line 20/40 --line 20/32",
        "--letters tumbling-e --line 0.3logmar",
        "--letters hotv --line 6/15 --red right",
        "--fields white",
        "--fields white --white full",
        "--fields red --line 20/50",
        "--fields green --labels",
        "--labels logmar --line 20/80 --line 20/63 --luminance 30",
        "--room room.toml",
        "--room room.toml --labels 6 --letters rings --seed 9",
    ]
    .into_iter()
    .enumerate()
    {
        let run = desk.run(&format!("chart --out {number}.png {words}"));
        assert_eq!(run.code, 0, "{words}: {}{}", run.out, run.err);
        assert!(!run.out.contains(" warn "), "{words}: {}", run.out);
        // A mirror leaves E, O, H and the like as they were; the others prove their side.
        assert_eq!(desk.run(&format!("check {number}.png")).code, 0);
    }
}

#[test]
fn a_line_with_less_than_five_letters_and_thin_strokes_warn_but_pass() {
    let desk = Desk::new();
    let few = desk.run("chart --line 20/160 --out few.png");
    assert_eq!(few.code, 0);
    assert!(few.out.contains("fewer than five"), "{}", few.out);
    let thin = desk.run("chart --line 20/16 --out thin.png");
    assert_eq!(thin.code, 0);
    assert!(thin.out.contains("under 3 px"), "{}", thin.out);
}

#[test]
fn findings_come_as_json() {
    let desk = Desk::new();
    let made: serde_json::Value = serde_json::from_str(&desk.run("chart --out a.png --json").out).unwrap();
    // The match as seen is for a meter to tell.
    assert_eq!(made["check"]["verdict"], "not_judged");
    assert_eq!(made["made"]["chart"]["lines"][0]["name"], "20/40");
    let checked: serde_json::Value = serde_json::from_str(&desk.run("check a.png --json").out).unwrap();
    let size = checked["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|finding| finding["id"] == "size.letter")
        .unwrap();
    assert_eq!(size["unit"], "′");
    let of = |id: &str| {
        checked["findings"].as_array().unwrap().iter().find(|finding| finding["id"] == id).unwrap()
    };
    // 1′ at 3.2 m is 0.93084 mm, and a pixel is 0.27454 mm high.
    assert!((of("picture.resolution")["measured"].as_f64().unwrap() - 3.3906).abs() < 1e-3);
    // 5′ of 0.3 logMAR within the tolerance of ISO 10938.
    assert!((size["required"]["near"][0].as_f64().unwrap() - 9.9763).abs() < 1e-3);
    assert!((size["measured"].as_f64().unwrap() - 9.9763).abs() < 0.05);
}

#[test]
fn the_colour_chunk_follows_the_room() {
    let desk = Desk::new();
    desk.write("srgb.toml", ROOM);
    desk.write("gamma.toml", format!("{ROOM}[tone]\ngamma = 2.4\n"));
    desk.write("profiled.toml", ROOM.replace("pitch_mm", "profile = \"screen.icc\"\npitch_mm"));
    let mut profile = vec![0_u8; 132];
    profile[..4].copy_from_slice(&132_u32.to_be_bytes());
    profile[12..20].copy_from_slice(b"mntrRGB ");
    profile[36..40].copy_from_slice(b"acsp");
    desk.write("screen.icc", &profile);
    let chunk = |room: &str| {
        let run = desk.run(&format!("chart --room {room}.toml --out {room}.png"));
        assert_eq!(run.code, 0, "{}{}", run.out, run.err);
        let file = std::io::BufReader::new(std::fs::File::open(desk.path(&format!("{room}.png"))).unwrap());
        let reader = png::Decoder::new(file).read_info().unwrap();
        (reader.info().srgb.is_some(), reader.info().icc_profile.as_ref().map(|bytes| bytes.to_vec()))
    };
    assert_eq!(chunk("srgb"), (true, None));
    assert_eq!(chunk("gamma"), (false, None));
    assert_eq!(chunk("profiled"), (false, Some(profile)));
    desk.write("screen.icc", "no profile");
    assert!(refused(&desk, "chart --room profiled.toml --out no.png").contains("not an RGB display profile"));
}

#[test]
fn a_room_file_is_written_and_can_be_used() {
    let desk = Desk::new();
    let run = desk.run_words(&[
        "room",
        "new",
        "--pixels",
        "1920x1080",
        "--width",
        "527mm",
        "--distance",
        "10ft",
        "--mirror",
        "--name",
        "Room 3",
        "--out",
        "room.toml",
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    // 1′ at 3.048 m is 0.8866 mm, 3.23 px of 0.2745 mm.
    assert!(
        run.out.contains(
            "down to 20/20 have strokes of 3 px or more here; down to 20/12.5 they have 2 px or more"
        ),
        "{}",
        run.out
    );
    let text = std::fs::read_to_string(desk.path("room.toml")).unwrap();
    for line in ["distance_mm = 3048.0", "mirror = true", "size_mm = [527.0, 296.44]", "name = \"Room 3\""] {
        assert!(text.contains(line), "no {line} in {text}");
    }
    assert_eq!(desk.run("chart --room room.toml --out chart.png").code, 0);
    for (flag, key) in
        [("--diagonal 23.8in", "diagonal_in = 23.8"), ("--pitch 0.2745mm", "pitch_mm = 0.2745")]
    {
        assert_eq!(
            desk.run(&format!("room new --pixels 1920x1080 {flag} --distance 3m --out other.toml --force"))
                .code,
            0
        );
        assert!(std::fs::read_to_string(desk.path("other.toml")).unwrap().contains(key));
    }
}

#[test]
fn the_tables_that_a_new_room_file_offers_are_legal() {
    let desk = Desk::new();
    desk.run("room new --pixels 1920x1080 --pitch 0.2745mm --distance 3m --out room.toml");
    let text = std::fs::read_to_string(desk.path("room.toml")).unwrap();
    desk.write(
        "room.toml",
        text.replace("\n# ", "\n").replace("Fill in", "# Fill in").replace("\n#\n", "\n"),
    );
    let run = desk.run("chart --room room.toml --out chart.png");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains("as measured in the room file"), "{}", run.out);
}

#[test]
fn a_screen_s_claim_is_refused_or_said() {
    let desk = Desk::new();
    desk.write("short.bin", [0; 12]);
    assert!(
        refused(&desk, "room new --edid short.bin --distance 3m --out room.toml")
            .contains("--measured-width")
    );
    assert!(refused(&desk, "room new --edid none.bin --distance 3m --out room.toml").contains("none.bin"));
    let claimed = ROOM.replace("pitch_mm = 0.2746", "pitch_mm = 0.2746\nsize_claimed = true");
    desk.write("claimed.toml", claimed);
    let run = desk.run("chart --room claimed.toml --out chart.png");
    assert!(
        run.said().split("letter size").nth(1).is_some_and(|rest| rest.contains("claimed")),
        "{}",
        run.out
    );
    assert!(refused(&desk, "room screens --connectors .").contains("no attached screen"));
}

#[test]
fn bad_lengths_pixels_and_acuities_are_refused() {
    let desk = Desk::new();
    let room = "room new --out room.toml --pixels";
    for (words, said) in [
        (format!("{room} 1920x1080 --width 527 --distance 3m"), "527mm"),
        (format!("{room} 1920x1080 --width 527mm --distance 3"), "3m"),
        (format!("{room} 1920x1080 --width -527mm --distance 3m"), "\"-527mm\" is not a length above zero"),
        (format!("{room} 1920x1080 --width 0mm --distance 3m"), "\"0mm\""),
        (format!("{room} 1920x1080 --width NaN --distance 3m"), "\"NaN\""),
        (format!("{room} 1920x1080 --width infmm --distance 3m"), "\"infmm\""),
        (format!("{room} 1920x1080 --width 527mm --distance 400m"), "viewing.distance_mm = 400000"),
        (format!("{room} 4000000000x1080 --width 527mm --distance 3m"), "4000000000"),
        (format!("{room} 1920 --width 527mm --distance 3m"), "1920x1080"),
        (format!("{room} 1920x1080 --distance 3m"), "--width"),
        (format!("{room} 1920x1080 --width 527mm --pitch 0.27mm --distance 3m"), "--pitch"),
        (format!("{room} 1920x1080 --width 527mm --distanc 3m"), "--distance"),
        ("chart --out a.png --line 20/0".into(), "20/0 is outside"),
        ("chart --out a.png --line -1".into(), "\"-1\""),
        ("chart --out a.png --line 1e309".into(), "1e309"),
        ("chart --out a.png --line twenty".into(), "\"twenty\" is not an acuity"),
        ("chart --out a.png --line 0.5".into(), "0.5dec"),
        ("chart --out a.png --threshold 20/20 --lines-above 99".into(), "99"),
        ("chart --out a.png --line 20/10".into(), "smallest line that can be drawn here is"),
        ("chart --out a.png --line 20/500".into(), "largest line that fits is"),
        ("chart --out a.png --luminance nan".into(), "\"nan\""),
        ("chart --out a.png --luminance 500".into(), "ask for"),
        ("chart --out a.png --fields blue".into(), "blue"),
        ("chart --out a.png --fields white --red right".into(), "--red says where"),
        ("chart --out a.png --white full".into(), "add --fields white"),
        ("chart --out a.png --fields white --white full --luminance 40".into(), "leave one out"),
        ("chart --out a.png --line 20/40 --line 6/12".into(), "named twice"),
        (
            format!("{room} 16384x240 --pitch 0.05mm --distance 3m"),
            "screen.pitch_mm = 12 is not within 40 to",
        ),
        ("chart --out a.gif".into(), ".pdf"),
        ("chart --out a".into(), "name a file that ends in .png, .svg or .pdf"),
        ("chart --out none/a.png".into(), "folder does not exist"),
        ("chart --out a.png --room none.toml".into(), "none.toml"),
        ("chart".into(), "--out"),
        ("chart --out a.png --line".into(), "--line"),
        ("picture".into(), "picture"),
    ] {
        let err = refused(&desk, &words);
        assert!(err.contains(said), "{words}: {err}");
    }
    refusal(&desk.run_words(&["chart", "--out", "a.png", "--line", ""]), "an empty line");
    // A group of commands alone says what is in it.
    let bare = desk.run("room");
    assert_eq!((bare.code, bare.out.as_str()), (2, ""));
    assert!(bare.err.lines().any(|line| line.starts_with("Usage: evenfield")), "{}", bare.err);
}

#[test]
fn the_name_of_the_program_alone_tells_what_comes_first() {
    let desk = Desk::new();
    let alone = desk.run("");
    assert_eq!((alone.code, alone.out.as_str()), (2, ""));
    assert!(alone.err.lines().count() < 10, "{}", alone.err);
    assert!(alone.err.lines().all(|line| line.chars().count() < 80), "{}", alone.err);
    // Each of the commands that it names is one, with flags that it has.
    let named =
        alone.err.lines().filter_map(|line| line.split_once(": ")?.1.trim().strip_prefix("evenfield "));
    let named: Vec<&str> = named.collect();
    assert_eq!(named.len(), 4, "{}", alone.err);
    for command in named {
        let words = command.replace("--help", "");
        let run = desk.run(&format!("{words} --help"));
        assert_eq!(run.code, 0, "{command}: {}", run.err);
    }
    assert!(desk.files().is_empty());
}

#[test]
fn bad_room_files_are_refused_with_file_and_line() {
    let desk = Desk::new();
    for (text, said) in [
        (
            ROOM.replace("distance_mm", "distence_mm"),
            "room.toml line 4: [viewing] has no key \"distence_mm\": write distance_mm",
        ),
        (ROOM.replace("0.2\n", "60.0\n"), "luminance.black = 60 cd/m² is not darker than red"),
        (ROOM.replace("[screen]", "[screem]"), "write screen"),
        (ROOM.replace("3000.0", "\"3m\""), "room.toml line 4"),
        ("\u{0}".into(), "not TOML"),
    ] {
        desk.write("room.toml", text);
        let err = refused(&desk, "chart --room room.toml --out a.png");
        assert!(err.contains(said), "{err}");
    }
    desk.write("room.toml", [0xff, 0xfe, 0x00]);
    assert!(refused(&desk, "chart --room room.toml --out a.png").contains("UTF-8"));
}

#[test]
fn what_exists_stays_as_it_is_without_force() {
    let desk = Desk::new();
    desk.write("mine.png", "my own work");
    assert!(refused(&desk, "chart --out mine.png").contains("exists already"));
    assert_eq!(std::fs::read(desk.path("mine.png")).unwrap(), b"my own work");
    assert_eq!(desk.run("chart --out mine.png --force").code, 0);
    desk.write("room.toml", ROOM);
    refused(&desk, "room new --pixels 1920x1080 --width 527mm --distance 3m --out room.toml");
    assert_eq!(std::fs::read_to_string(desk.path("room.toml")).unwrap(), ROOM);
    // A request that is refused for another reason loses nothing either.
    refused(&desk, "chart --line 20/10 --out mine.png --force");
    assert_eq!(Png::read(&desk.path("mine.png")).pixels.dimensions(), (1920, 1080));
}

#[test]
fn files_that_are_no_charts_are_refused() {
    let desk = Desk::new();
    assert_eq!(desk.run("chart --out whole.png").code, 0);
    let whole = std::fs::read(desk.path("whole.png")).unwrap();
    desk.write("truncated.png", &whole[..whole.len() / 2]);
    desk.write("empty.png", "");
    desk.write("words.png", "these are only words");
    desk.write("jpeg.png", [0xff, 0xd8, 0xff, 0xe0]);
    let mut flipped = whole.clone();
    let middle = whole.len() / 2;
    flipped[middle] ^= 0xff;
    desk.write("damaged.png", flipped);
    // A header that promises 100 000 × 100 000 pixels, with the right checksum.
    let mut huge = whole;
    let side = 100_000_u32.to_be_bytes();
    huge[16..20].copy_from_slice(&side);
    huge[20..24].copy_from_slice(&side);
    let sum = crc(&huge[12..29]).to_be_bytes();
    huge[29..33].copy_from_slice(&sum);
    desk.write("huge.png", huge);
    for (name, said) in [
        ("truncated.png", "no whole PNG, SVG or PDF"),
        ("empty.png", "no whole PNG, SVG or PDF"),
        ("words.png", "no whole PNG, SVG or PDF"),
        ("jpeg.png", "no whole PNG, SVG or PDF"),
        ("damaged.png", "no whole PNG, SVG or PDF"),
        ("huge.png", "100000 × 100000 pixels is over the limit"),
        ("none.png", "cannot be read"),
        (".", "no ordinary file"),
    ] {
        let err = refused(&desk, &format!("check {name}"));
        assert!(err.contains(said), "{name}: {err}");
    }
    let sparse = std::fs::File::create(desk.path("sparse.png")).unwrap();
    sparse.set_len(1 << 40).unwrap();
    assert!(refused(&desk, "check sparse.png").contains("over the limit of 256 MiB"));
}

/// The checksum of a PNG chunk (PNG specification, annex D: CRC-32 with the polynomial of ISO 3309).
fn crc(bytes: &[u8]) -> u32 {
    let step = |sum: u32, byte: &u8| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| (sum >> 1) ^ (0xedb8_8320 * (sum & 1)))
    };
    !bytes.iter().fold(!0, step)
}

#[test]
fn transparent_pictures_are_refused_and_opaque_ones_of_any_kind_are_read() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    desk.run("chart --room room.toml --out chart.png");
    let png = Png::read(&desk.path("chart.png"));
    for (alpha, code) in [(255, 0), (254, 2)] {
        let bytes: Vec<u8> =
            png.pixels.pixels().flat_map(|pixel| [pixel[0], pixel[1], pixel[2], alpha]).collect();
        let file = std::fs::File::create(desk.path("alpha.png")).unwrap();
        let mut encoder = png::Encoder::new(file, png.pixels.width(), png.pixels.height());
        encoder.set_color(png::ColorType::Rgba);
        encoder.write_header().unwrap().write_image_data(&bytes).unwrap();
        let run = desk.run("check alpha.png --room room.toml --line 20/40");
        assert_eq!(run.code, code, "{}{}", run.out, run.err);
    }
}

#[test]
fn help_and_version_are_no_failures() {
    let desk = Desk::new();
    for words in ["--help", "--version", "chart --help", "check --help", "room new --help"] {
        let run = desk.run(words);
        assert!(run.code == 0 && !run.out.is_empty(), "{words}: {run:?}");
    }
}
