//! Patches to meter, and the readings held against the room file.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod common;

use common::{Desk, Png, ROOM};

fn desk() -> Desk {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    std::fs::create_dir(desk.path("patches")).unwrap();
    desk
}

#[test]
fn patches_are_plain_pictures_of_the_whole_screen_in_the_codes_of_the_charts() {
    let desk = desk();
    let run = desk.run("room patches --room room.toml --out patches");
    assert_eq!(run.code, 0, "{}", run.err);
    let picture = |name: &str| Png::read(&desk.path("patches").join(name)).pixels;
    let made: serde_json::Value =
        serde_json::from_str(&desk.run("chart --room room.toml --out chart.png --json").out).unwrap();
    let codes = &made["made"]["chart"]["field_codes"];
    for (name, expected) in [
        ("field-red.png", [codes[0][0].as_u64().unwrap(), 0, 0]),
        ("field-green.png", [0, codes[1][1].as_u64().unwrap(), 0]),
        ("full-blue.png", [0, 0, 255]),
        ("white-000.png", [0, 0, 0]),
        ("white-120.png", [120, 120, 120]),
        ("white-255.png", [255, 255, 255]),
    ] {
        let picture = picture(name);
        assert_eq!(picture.dimensions(), (1280, 800), "{name}");
        assert!(picture.pixels().all(|pixel| pixel.0.map(u64::from) == expected), "{name}");
    }
    assert!(run.out.contains("warm-up"), "{}", run.out);
    // Nothing is overwritten, and nothing is half done.
    std::fs::remove_file(desk.path("patches/field-red.png")).unwrap();
    let again = desk.run("room patches --room room.toml --out patches");
    assert_eq!(again.code, 2);
    assert!(!desk.path("patches/field-red.png").exists());
    assert_eq!(desk.run("room patches --room room.toml --out none").code, 2);
}

#[test]
fn readings_end_in_a_verdict_and_a_dated_line_of_the_rooms_log() {
    let desk = desk();
    let verify = |words: &str| desk.run(&format!("room verify --room room.toml {words}"));
    let good = verify("--red 48.9 --green 49.3 --black 0.24 --date 2026-03-31");
    assert_eq!(good.code, 0, "{}{}", good.out, good.err);
    // (48.9 − 49.3) / 49.1 = −0.81 %.
    assert!(
        good.out.contains("green is 0.8 ± 8.5 % brighter") && good.out.contains("room.log"),
        "{}",
        good.out
    );
    let bad = verify("--red 48.9 --green 53.0 --meter 1 --date 2026-04-01");
    assert_eq!(bad.code, 1, "{}", bad.out);
    assert!(bad.out.contains("green would match with code"), "{}", bad.out);
    let log = std::fs::read_to_string(desk.path("room.log")).unwrap();
    let lines: Vec<&str> = log.lines().collect();
    assert_eq!(lines.len(), 2);
    assert!(lines[0].starts_with("2026-03-31 red 48.90 green 49.30 black 0.24 cd/m2"), "{log}");
    assert!(lines[1].starts_with("2026-04-01 ") && lines[1].ends_with("FAIL"), "{log}");
    let json = verify("--red 48.9 --green 49.3 --json");
    let found: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert!((found["match_percent"].as_f64().unwrap() + 0.8147).abs() < 1e-3);
    for (words, said) in [
        ("--red 0 --green 49", "\"0\" is not a luminance"),
        ("--red 49", "--green"),
        ("--red 49 --green 49 --date 2026-02-30", "\"2026-02-30\" is no day"),
        ("--red 49 --green 49 --meter 0", "within 0.1 to 50"),
    ] {
        let run = verify(words);
        assert_eq!((run.code, run.err.lines().count()), (2, 1), "{words}: {}", run.err);
        assert!(run.err.contains(said), "{words}: {}", run.err);
    }
    assert_eq!(std::fs::read_to_string(desk.path("room.log")).unwrap().lines().count(), 3);
    // A log that cannot be written costs nobody the comparison.
    let lost = verify("--red 49 --green 49 --log patches");
    assert!(lost.code == 2 && lost.out.contains("both read the same"), "{}", lost.out);
    assert!(lost.err.contains("no ordinary file"), "{}", lost.err);
}
