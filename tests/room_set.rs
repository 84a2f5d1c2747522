//! Changing a room file: what changes, what stays, and what takes a second word to lose.

use crate::common::{Desk, ROOM};

const NEW: &str = "room new --pixels 1920x1080 --width 527mm --distance 3m --out room.toml --force";

fn text(desk: &Desk) -> String {
    std::fs::read_to_string(desk.path("room.toml")).unwrap()
}

fn set(desk: &Desk, words: &str) -> String {
    let run = desk.run(&format!("room set --room room.toml {words}"));
    assert_eq!(run.code, 0, "{words}: {}", run.err);
    run.out
}

fn refused(desk: &Desk, words: &str) -> String {
    let before = text(desk);
    let run = desk.run(words);
    assert_eq!((run.code, run.err.lines().count()), (2, 1), "{words}: {}{}", run.out, run.err);
    assert_eq!(text(desk), before, "{words}: nothing is written");
    run.err
}

#[test]
fn one_value_changes_and_every_comment_stays() {
    let desk = Desk::new();
    desk.run(NEW);
    let before = text(&desk).replace("mirror = false", "mirror = false  # the far wall is bare");
    desk.write("room.toml", &before);
    let said = set(&desk, "--width 532mm");
    // 532 · 1080 / 1920 = 299.25.
    assert!(said.contains("screen.size_mm: [527.0, 296.44] → [532.0, 299.25]"), "{said}");
    assert_eq!(text(&desk), before.replace("[527.0, 296.44]", "[532.0, 299.25]"));
    let said = set(&desk, "--mirror --name Annex --distance 4.2m");
    for change in ["name: not given → \"Annex\"", "viewing.mirror: false → true", "3000.0 → 4200.0"] {
        assert!(said.contains(change), "{change}: {said}");
    }
    assert!(text(&desk).contains("mirror = true  # the far wall is bare"));
    assert!(set(&desk, "--mirror no").contains("viewing.mirror: true → false"));
    // A width takes the place of what was only claimed, or said in another way.
    desk.write("room.toml", ROOM.replace("pitch_mm = 0.2746", "pitch_mm = 0.2746\nsize_claimed = true"));
    let said = set(&desk, "--measured-bar 281.2mm");
    for change in ["screen.pitch_mm: 0.2746 → taken out", "screen.size_claimed: true → taken out"] {
        assert!(said.contains(change), "{change}: {said}");
    }
    assert!(set(&desk, "--name Annex").contains("\"Quillhaven practice, room 1\" → \"Annex\""));
    assert!(set(&desk, "--name Annex").contains("nothing was changed"));
}

#[test]
fn readings_are_metered_whatever_stood_there_before() {
    let desk = Desk::new();
    desk.run(NEW);
    set(&desk, "--red 52 --green 178 --white 250 --black 0.25");
    let made = desk.run("chart --room room.toml --out chart.png");
    assert!(made.out.contains("luminances as measured in the room file"), "{}", made.out);
    set(&desk, "--red 51 --meter 1.5");
    assert!(text(&desk).contains("red = 51.0") && text(&desk).contains("meter_percent = 1.5"));
    // What only the screen claims goes when a reading comes.
    desk.write("room.toml", ROOM.replace("black = 0.2", "black = 0.2\nclaimed = true"));
    let said = set(&desk, "--red 52 --green 178");
    for change in
        ["luminance.red: 50.0 → 52.0", "luminance.blue: 18.0 → taken out", "claimed: true → taken out"]
    {
        assert!(said.contains(change), "{change}: {said}");
    }
}

#[test]
fn what_makes_no_room_or_says_nothing_is_refused_and_writes_nothing() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    for (words, said) in [
        ("", "add what to change, such as --width 532mm"),
        ("--distance 400m", "viewing.distance_mm = 400000"),
        ("--white 40", "luminance.white = 40 cd/m²"),
        ("--black 60", "luminance.black"),
        ("--width 527", "527mm"),
        ("--width 500mm --pitch 0.27mm", "--pitch"),
        ("--pixels 1x1", "screen.pixels"),
        ("--matched-step 10", "10"),
        ("--matched-gamma 22", "2.2"),
        ("--mirror maybe", "maybe"),
        ("--matched-step 4", "the metered luminances of red and green"),
    ] {
        let err = refused(&desk, &format!("room set --room room.toml {words}"));
        assert!(err.contains(said), "{words}: {err}");
    }
    let run = desk.run("room set --room none.toml --width 5m");
    assert!(run.code == 2 && run.err.contains("none.toml"), "{}", run.err);
    desk.run("room set --room room.toml --matched-step 4 --discard-measurements");
    assert!(text(&desk).contains("matched_by_eye = true") && !text(&desk).contains("match_open"));
    // Half of a match by eye cannot be metered.
    assert!(refused(&desk, "room set --room room.toml --red 52").contains("matched by eye"));
    set(&desk, "--red 52 --green 178");
    assert!(!text(&desk).contains("matched_by_eye"), "{}", text(&desk));
}

#[test]
fn the_last_step_of_a_strip_leaves_the_match_open_until_another_is_found() {
    const UNKNOWN: &str = "equally bright here is not known";
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let report = |desk: &Desk| desk.run("room report --room room.toml").out;
    for last in [1, 9] {
        desk.run(&format!("room set --room room.toml --matched-step {last} --discard-measurements"));
        assert!(text(&desk).contains("match_open = true"), "{}", text(&desk));
        assert!(report(&desk).contains(UNKNOWN), "{}", report(&desk));
        // A gamma does not find it.
        desk.run("room set --room room.toml --matched-gamma 2.3 --discard-measurements");
        assert!(report(&desk).contains(UNKNOWN), "{}", report(&desk));
        set(&desk, "--matched-step 5");
        assert!(!text(&desk).contains("match_open") && !report(&desk).contains(UNKNOWN), "{}", text(&desk));
    }
}

#[test]
fn measurements_are_not_lost_by_force_alone() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let err = refused(&desk, NEW);
    for lost in
        ["red 50 cd/m²", "black 0.2 cd/m²", "room light of 3 lx", "room set", "--discard-measurements"]
    {
        assert!(err.contains(lost), "{lost}: {err}");
    }
    desk.write("room.toml", ROOM.replace("red = 50.0", "red = 50,0"));
    assert!(refused(&desk, NEW).contains("what it holds is not known"));
    assert_eq!(desk.run(&format!("{NEW} --discard-measurements")).code, 0);
    assert!(!text(&desk).contains("red = 50"));
    // A file of flags alone is as it was: --force is enough.
    assert_eq!(desk.run(NEW).code, 0);
}

/// Light of one channel over its full drive (IEC 61966-2-1).
fn srgb(code: f64) -> f64 {
    let value = code / 255.0;
    if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
}

/// By how much green is brighter than red on a real screen whose green is `factor` times as bright as sRGB has it.
fn real_excess(red: f64, green: f64, factor: f64) -> f64 {
    factor * 0.7152 * srgb(green) / (0.2126 * srgb(red)) - 1.0
}

/// The codes of red and of green of the room's charts.
fn field_codes(desk: &Desk) -> [f64; 2] {
    let made = desk.run("chart --room room.toml --out chart.png --force --json").out;
    let made: serde_json::Value = serde_json::from_str(&made).unwrap();
    let codes = &made["made"]["chart"]["field_codes"];
    [codes[0][0].as_f64().unwrap(), codes[1][1].as_f64().unwrap()]
}

/// One round as a person goes it: makes the sheet, looks for the faintest border, gives its step.
fn round(desk: &Desk, factor: f64) -> (usize, String) {
    let sheet = desk.run("room sheet --room room.toml --out sheet.png --force").out;
    let greens = sheet.split("green codes ").nth(1).unwrap().trim().split(", ");
    let [red, _] = field_codes(desk);
    let faint = |green: &str| real_excess(red, green.parse().unwrap(), factor).abs();
    let (step, _) = greens.enumerate().min_by(|one, other| faint(one.1).total_cmp(&faint(other.1))).unwrap();
    (step + 1, set(desk, &format!("--matched-step {}", step + 1)))
}

#[test]
fn a_screen_that_is_25_percent_off_is_matched_in_three_rounds_of_sheet_step_and_set() {
    // Half a step of four codes: 2 · 2.4 / 130.
    const HALF_A_STEP: f64 = 0.037;
    for factor in [1.25, 0.75] {
        let desk = Desk::new();
        desk.run(NEW);
        let [red, green] = field_codes(&desk);
        assert!(real_excess(red, green, factor).abs() > 0.2, "the room starts off the match");
        let steps: Vec<usize> = (0..3).map(|_| round(&desk, factor).0).collect();
        assert_eq!(steps[2], 5, "{factor}: the third sheet is centred on the match, {steps:?}");
        let [red, green] = field_codes(&desk);
        let left = real_excess(red, green, factor);
        assert!(left.abs() < HALF_A_STEP, "{factor}: {left} is left after {steps:?}");
    }
}

#[test]
fn a_match_beyond_the_strip_is_said_and_found_on_the_next_sheet() {
    let desk = Desk::new();
    desk.run(NEW);
    let (step, said) = round(&desk, 1.5);
    assert_eq!(step, 1);
    assert!(said.contains("the match may lie beyond it") && said.contains("centred there"), "{said}");
    let (step, said) = round(&desk, 1.5);
    assert!((2..5).contains(&step) && !said.contains("beyond"), "{step}: {said}");
    let (step, said) = round(&desk, 1.5);
    assert!(step == 5 && said.contains("the match is found"), "{step}: {said}");
    let [red, green] = field_codes(&desk);
    assert!(real_excess(red, green, 1.5).abs() < 0.04, "half a step at code 123");
}

#[test]
fn a_gamma_found_later_keeps_the_match_of_the_two_codes() {
    let desk = Desk::new();
    desk.run(NEW);
    set(&desk, "--matched-step 2");
    let before = field_codes(&desk);
    set(&desk, "--matched-gamma 1.8");
    let after = field_codes(&desk);
    // Rounding to hundredths of a cd/m² may move either code by one.
    assert!(before.iter().zip(after).all(|(one, other)| (one - other).abs() <= 1.0), "{before:?} {after:?}");
}
