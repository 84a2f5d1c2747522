//! Patches to meter, and the readings held against the room file.

use crate::common::{Desk, Png, ROOM};

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
    assert!(run.out.contains("warm up"), "{}", run.out);
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
    let good = verify("--red 48.9 --green 49.3 --black 0.24 --meter 0.3 --date 2026-03-31");
    assert_eq!(good.code, 0, "{}{}", good.out, good.err);
    // (48.9 − 49.3) / 49.1 = −0.81 %; twice √2 · 0.3 % is 0.85 %.
    let first = "Pass: green reads 0.8 % brighter, known to ±0.8 %, where at most 2 % is allowed.";
    assert!(good.said().starts_with(first), "{}", good.out);
    assert!(good.out.contains("room.log"), "{}", good.out);
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
    assert_eq!(found["judgement"], "cannot_be_told", "an ordinary meter does not tell 2 %");
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
    assert!(lost.code == 2 && lost.out.contains("both fields read the same"), "{}", lost.out);
    assert!(lost.err.contains("no ordinary file"), "{}", lost.err);
}

/// What the report, the chart and the check say of one room's match.
fn told(desk: &Desk) -> [String; 3] {
    let said = |words: &str| desk.run(words).out;
    [
        said("room report --room room.toml"),
        said("chart --room room.toml --out chart.png --force --json"),
        said("check chart.png --json"),
    ]
}

#[test]
fn readings_that_are_kept_count_in_report_chart_and_check_until_the_codes_change() {
    let desk = desk();
    let before = told(&desk);
    assert!(!before.iter().any(|said| said.contains("read in both fields")), "{before:?}");
    let words = "room verify --room room.toml --red 48.9 --green 49.3 --date 2026-03-31";
    assert!(desk.run(words).out.contains("With --keep the readings also go into room.toml"));
    assert_eq!(std::fs::read_to_string(desk.path("room.toml")).unwrap(), ROOM, "only where it is asked for");
    let kept = desk.run(&format!("{words} --keep"));
    assert_eq!(kept.code, 0, "{}", kept.err);
    let file = std::fs::read_to_string(desk.path("room.toml")).unwrap();
    assert!(file.starts_with(ROOM) && file.contains("[match]\ncodes = ["), "{file}");
    for said in told(&desk) {
        assert!(said.contains("read in both fields on 2026-03-31 with a meter good to 3.0 %"), "{said}");
    }
    // (48.9 − 49.3) / 49.1 = −0.81 %; twice √2 · 3 % is 8.5 %, where full drive and an assumed curve left more.
    let [report, chart, _] = told(&desk);
    assert!(report.contains("−0.81 ± 8.5 % at the eye"), "{report}");
    let chart: serde_json::Value = serde_json::from_str(&chart).unwrap();
    let found = chart["check"]["findings"].as_array().unwrap();
    let seen = found.iter().find(|one| one["id"] == "light.match_as_seen").unwrap();
    assert!((seen["measured"]["uncertainty"].as_f64().unwrap() - 8.485).abs() < 1e-3, "{seen}");
    assert!(before[0].contains("known only to ±1"), "{}", before[0]);
    // Other luminances, other codes: the readings are of another chart, and every text says so.
    let set = desk.run("room set --room room.toml --green 150");
    assert!(set.out.contains("these fields have other codes"), "{}", set.out);
    for said in told(&desk) {
        assert!(said.contains("these fields have other codes, so the readings no longer count"), "{said}");
        assert!(!said.contains("read in both fields on"), "{said}");
    }
    let demo = desk.run("room verify --red 50 --green 50 --keep");
    assert_eq!(demo.code, 2, "the built-in room has no file");
}

#[test]
fn every_command_says_the_same_of_what_the_match_rests_on() {
    let desk = desk();
    desk.run("room new --pixels 1280x800 --pitch 0.2746mm --distance 3m --out room.toml --force --discard-measurements");
    desk.run("room set --room room.toml --matched-step 4");
    let said = "red against green matched by eye, luminances assumed, tone curve assumed (sRGB)";
    for words in [
        "room patches --room room.toml --out patches",
        "room verify --room room.toml --red 49 --green 49",
        "room report --room room.toml",
        "chart --room room.toml --out chart.png --json",
        "check chart.png --json",
    ] {
        let run = desk.run(words);
        assert!(run.said().contains(said), "{words}: {}{}", run.out, run.err);
    }
}
