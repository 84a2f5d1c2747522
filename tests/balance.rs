//! The balance as it is used: scripted, and in a real terminal.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

use crate::common::terminal::Terminal;
use crate::common::{Desk, asked, trial};

const LEFT: &str = "\u{1b}[D";
const RIGHT: &str = "\u{1b}[C";
pub(crate) const DOWN: &str = "\u{1b}[B";
const ERASE: &str = "\u{7f}";
const STOP: &str = "\u{1b}";

/// A terminal of the usual size.
const USUAL: [u16; 2] = [24, 80];

pub(crate) fn run(arguments: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_evenfield")).args(arguments).current_dir(folder).output().unwrap()
}

/// Runs `evenfield balance` with JSON wanted.
pub(crate) fn json(arguments: &str, folder: &Path) -> Value {
    let arguments: Vec<&str> =
        ["balance", "--json"].into_iter().chain(arguments.split_whitespace()).collect();
    let output = run(&arguments, folder);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The sentence with which a run is refused.
pub(crate) fn refused(arguments: &str, folder: &Path) -> String {
    let arguments: Vec<&str> = ["balance"].into_iter().chain(arguments.split_whitespace()).collect();
    let output = run(&arguments, folder);
    assert_eq!(output.status.code(), Some(2), "{}", String::from_utf8_lossy(&output.stdout));
    let sentence = String::from_utf8(output.stderr).unwrap();
    assert_eq!(sentence.trim_end().lines().count(), 1, "{sentence}");
    sentence
}

const PSEUDOPHAKIC: &str = "--eye right --manifest -1.00 --for room --acuity 20/20 --kind pseudophakic";

#[test]
fn a_script_gets_the_whole_examination_as_json() {
    let folder = tempfile::tempdir().unwrap();
    let done = json(
        &format!(
            "{PSEUDOPHAKIC} --procedure customary --answers red,green,green --white 20/20 --choose far-quarter --one-eye"
        ),
        folder.path(),
    );
    let eye = &done["eyes"][0];
    // Worked by hand: last red is −1.00; 1/3.2 m is 0.3125 D.
    assert_eq!(eye["left_in_d"], -1.0);
    assert_eq!(eye["stands"]["far_exact_d"], -1.3125);
    assert_eq!(eye["chosen_d"], -1.25);
    assert_eq!(eye["asked"].as_array().unwrap().len(), 3);
    assert_eq!((&eye["asked"][0]["red"], &eye["asked"][2]["red"]), (&"left".into(), &"right".into()));
    assert_eq!(done["stage"], "closed");
}

#[test]
fn a_script_is_told_what_to_ask_next() {
    let folder = tempfile::tempdir().unwrap();
    let eye = format!("{PSEUDOPHAKIC} --procedure customary");
    // By hand: the manifest first; red calls for a click of minus; green after red decides, so the same lens again with sides swapped.
    for (answers, sphere, red) in [
        ("--answers", -1.0, "left"),
        ("--answers red", -1.25, "left"),
        ("--answers red,green", -1.25, "right"),
    ] {
        // What follows the questions waits for them.
        for later in ["", " --white 20/20 --choose far-quarter --one-eye"] {
            let state = json(&format!("{eye} {answers}{later}"), folder.path());
            let next = &state["next"];
            assert_eq!(
                (&next["sphere_d"], &next["line"], &next["red"]),
                (&sphere.into(), &"20/32".into(), &red.into())
            );
            assert_eq!((&state["stage"], &state["eyes"][0]["left_in_d"]), (&"ask".into(), &Value::Null));
            let estimate = &state["eyes"][0]["estimate"];
            let [low, balance, high] =
                ["low_d", "balance_d", "high_d"].map(|key| estimate[key].as_f64().unwrap());
            assert!(low < balance && balance < high && estimate["within_a_click"].is_null(), "{estimate}");
        }
    }
    // Without a terminal the questions begin by themselves.
    assert_eq!(json(&eye, folder.path())["next"]["sphere_d"], -1.0);
    let done = json(&format!("{eye} --answers red,green,green"), folder.path());
    assert_eq!((&done["next"], &done["eyes"][0]["left_in_d"]), (&Value::Null, &(-1.0).into()));
    let chance = done["eyes"][0]["estimate"]["within_a_click"].as_f64().unwrap();
    assert!((0.0..=1.0).contains(&chance), "{chance}");
}

/// An adaptive eye is driven by a script that knows no procedure: it reads what comes next and answers by a balance of its own.
#[test]
fn a_script_goes_the_adaptive_way_to_its_end_by_what_it_is_told() {
    let desk = Desk::new();
    let folder = desk.path("");
    let eye = "--eye left --manifest -1.00/-0.50x90 --for room --acuity 20/20 --kind small-aperture";
    let (mut answers, mut sides) = (Vec::new(), Vec::new());
    let done = loop {
        let state = json(&format!("{eye} --answers {}", answers.join(",")), &folder);
        let next = state["next"].clone();
        let Some(sphere) = next["sphere_d"].as_f64() else { break state };
        assert!(answers.len() < 7, "{answers:?}");
        assert_eq!((&state["eyes"][0]["left_in_d"], &next["line"]), (&Value::Null, &"20/32".into()));
        sides.push(next["red"].as_str().unwrap().to_owned());
        answers.push(match sphere - -1.5 {
            plus if plus > 0.15 => "red",
            minus if minus < -0.15 => "green",
            _ => "same",
        });
    };
    let one = &done["eyes"][0];
    let number = |value: &Value| value.as_f64().unwrap();
    // Half a dioptre from the manifest, which the estimate is drawn to a little.
    assert!((number(&one["left_in_d"]) - -1.5).abs() <= 0.25, "{one}");
    assert!((number(&one["left_in_d"]) - number(&one["estimate"]["balance_d"])).abs() <= 0.13, "{one}");
    assert_eq!(one["start"]["procedure"], "adaptive");
    for side in ["left", "right"] {
        assert!(sides.iter().filter(|one| *one == side).count() >= 2, "{sides:?}");
    }
    // Its record says the same, and the record of an eye that is not at its end goes on where it was.
    json(&format!("{eye} --record r.jsonl --answers {}", answers[..2].join(",")), &folder);
    let on = json(&format!("--record r.jsonl --resume --answers {}", answers[2..].join(",")), &folder);
    assert_eq!(on["eyes"][0]["left_in_d"], one["left_in_d"]);
    let page = desk.run(&format!("balance {eye} --answers {} --out page.svg", answers.join(",")));
    assert_eq!(page.code, 0, "{}", page.err);
    let words = page.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("the click nearest to where balance most likely lies"), "{words}");
}

#[test]
fn terminal_page_and_json_say_the_same_of_where_balance_lies() {
    let desk = Desk::new();
    let folder = desk.path("");
    let kept = "--eye right --manifest -1.00 --for room --acuity 20/20 --kind small-aperture --procedure bracket --record r.jsonl --answers same,red,green,red,green";
    let told = run(&["balance"].into_iter().chain(kept.split(' ')).collect::<Vec<_>>(), &folder);
    let told = String::from_utf8(told.stdout).unwrap();
    let eye = &json("--show r.jsonl", &folder)[0]["eyes"][0];
    let estimate = &eye["estimate"];
    let of = |key: &str| estimate[key].as_f64().unwrap();
    let written = |key: &str| format!("{:+.2}", of(key)).replace('-', "−");
    let sentence = format!(
        "Estimated balance {} D for 3.2 m, 95 % from {} to {} D; the lens left in, {} D, is within a click of it with {:.0} %.",
        written("balance_d"),
        written("low_d"),
        written("high_d"),
        format!("{:+.2}", eye["left_in_d"].as_f64().unwrap()).replace('-', "−"),
        100.0 * of("within_a_click")
    );
    let on_one_line = |said: &str| said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(on_one_line(&told).contains(&sentence), "{sentence}: {told}");
    assert!(on_one_line(&told).contains("a pupil of 1.6 mm is assumed"), "{told}");
    run(&["balance", "--show", "r.jsonl", "--out", "page.pdf"], &folder);
    let Some(said) = asked(&desk, "pdftotext", &["-raw", "page.pdf", "-"]) else { return };
    assert!(on_one_line(&said).contains(&sentence), "{sentence}: {said}");
    assert!(on_one_line(&said).contains("a pupil of 1.6 mm is assumed"), "{said}");
}

/// Whoever writes 6/6 reads no 20/20 anywhere. By the table of lines, two above 6/6 is 6/9.5.
#[test]
fn acuities_are_written_as_they_were_typed() {
    let desk = Desk::new();
    let kept = "balance --eye right --manifest -1.00 --for room --acuity 6/6-1 --kind pseudophakic --procedure customary --answers red,green,green --white 6/6 --choose far-quarter --one-eye --record r.jsonl";
    let words = |arguments: &str| {
        let done = desk.run(arguments);
        assert_eq!(done.code, 0, "{}", done.err);
        done.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let shown = [words(kept), words("balance --show r.jsonl")];
    for told in shown {
        assert!(
            told.contains("White before: 6/6−1; after: 6/6, 1 letter gained.") && told.contains(" 6/9.5 "),
            "{told}"
        );
        assert!(!told.contains("20/"), "{told}");
    }
    words("balance --show r.jsonl --rows eyes --out rows.csv");
    words("balance --show r.jsonl --rows eyes --notation 20 --out feet.csv");
    for (file, has) in [("r.jsonl", "6/6−1"), ("rows.csv", "VA 6/6-1"), ("feet.csv", "VA 20/20-1")] {
        let text = std::fs::read_to_string(desk.path(file)).unwrap();
        assert!(text.contains(has), "{file}: {text}");
    }
    words("balance --show r.jsonl --out page.pdf");
    let Some(page) = asked(&desk, "pdftotext", &["-raw", "page.pdf", "-"]) else { return };
    assert!(page.contains("6/6−1 on white") && !page.contains("20/"), "{page}");
}

/// No flag is taken without a word: where the questions left no lens in, nothing is read through one.
#[test]
fn white_is_refused_where_no_lens_waits_for_it() {
    let folder = tempfile::tempdir().unwrap();
    let eye =
        "--eye right --manifest -1.00 --for room --acuity 6/6 --kind pseudophakic --procedure customary";
    let sentence = refused(&format!("{eye} --answers unsure,unsure,unsure --white 6/12,6/12"), folder.path());
    assert!(sentence.contains("leave --white out"), "{sentence}");
}

/// An eye that is meant for far away is not told to leave its lens for far away off; one that is meant for near is.
#[test]
fn only_an_eye_that_is_meant_for_nearer_is_kept_from_a_lens_for_far_away() {
    let folder = tempfile::tempdir().unwrap();
    let undone = |intended: &str, manifest: &str| {
        let done = format!(
            "balance --eye right --manifest {manifest} --for far --acuity 6/6 --kind pseudophakic --procedure customary --answers red,green,green --white 6/6 --choose far-quarter --intended {intended} --one-eye"
        );
        let told = run(&done.split(' ').collect::<Vec<_>>(), folder.path());
        let told = String::from_utf8(told.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains("as intended, within a click"), "{told}");
        told.contains("would undo what was meant")
    };
    assert_eq!([undone("0", "0.00"), undone("-1.50", "-1.50")], [false, true]);
}

#[test]
fn doubtful_acuity_on_white_is_read_twice_in_a_script_too() {
    let folder = tempfile::tempdir().unwrap();
    // First green, so that the lens that is left in, −1.25, is not the manifest.
    let eye = format!(
        "{PSEUDOPHAKIC} --procedure customary --end-point equal-else-first-green --answers red,green,green"
    );
    let open = json(&format!("{eye} --white 20/20-3"), folder.path());
    assert_eq!(open["stage"], "white");
    let stands = |white: &str| {
        json(&format!("{eye} --white {white}"), folder.path())["eyes"][0]["stands"]["here_exact_d"].clone()
    };
    assert_eq!((stands("20/20-3,20/20"), stands("20/20-3,20/20-3")), ((-1.25).into(), (-1.0).into()));
    assert!(refused(&format!("{eye} --white 20/20,20/20"), folder.path()).contains("leave them out"));
}

#[test]
fn a_target_off_the_series_is_held_to_the_screen_too() {
    let folder = tempfile::tempdir().unwrap();
    let cautions = |acuity: &str| {
        let eye = format!(
            "--eye right --manifest -1.00 --for room --acuity {acuity} --kind pseudophakic --procedure from-plus --answers red"
        );
        json(&eye, folder.path())["eyes"][0]["cautions"].to_string()
    };
    // A stroke of 20/20 has 3.39 px on the demo screen, so two lines over 20/11 it has 2.96 px, and over 20/12 3.23 px.
    assert!(cautions("20/11").contains("strokes of 2.96 px"), "{}", cautions("20/11"));
    assert!(!cautions("20/12").contains("strokes of"), "{}", cautions("20/12"));
}

#[test]
fn left_and_right_follow_the_swapped_sides() {
    let folder = tempfile::tempdir().unwrap();
    // Green stands right, and on the left when sides are swapped.
    let arguments = format!("{PSEUDOPHAKIC} --procedure customary --answers left,right,left");
    let eye = &json(&arguments, folder.path())["eyes"][0];
    let answers: Vec<&Value> =
        eye["asked"].as_array().unwrap().iter().map(|asked| &asked["answer"]).collect();
    assert_eq!(answers, ["red", "green", "green"]);
}

#[test]
fn bad_input_gets_one_sentence_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for (arguments, words) in [
        ("--answers red", "add --eye"),
        (
            "--eye right --manifest -1 --for room --acuity 20/400 --kind presbyopic --answers red",
            "needs letters 2 lines larger",
        ),
        ("--eye right --manifest 1.25 --answers red", "sphere with its sign"),
        (
            "--eye right --manifest -5 --for room --acuity 20/20 --kind presbyopic --answers red",
            "--vertex 12mm",
        ),
        (
            "--eye right --manifest -1 --for room --acuity 20/20 --kind accommodating --procedure bracket --answers red",
            "from-plus",
        ),
        (
            "--eye right --manifest -1 --for room --acuity 0.5 --kind accommodating --answers red",
            "decimal or logMAR",
        ),
        (&format!("{PSEUDOPHAKIC} --record no/such.jsonl --answers red"), "folder does not exist"),
        (
            &format!("{PSEUDOPHAKIC} --procedure customary --record r.jsonl --answers red,green,green,red"),
            "ended after 3",
        ),
        (&format!("{PSEUDOPHAKIC} --answers red,maybe"), "maybe"),
        (&format!("{PSEUDOPHAKIC} --answers red --choose far-quarter"), "not at their end"),
        ("--show nothing.jsonl", "nothing.jsonl"),
        ("", "needs a terminal"),
    ] {
        let sentence = refused(arguments, folder.path());
        assert!(sentence.contains(words), "{arguments}: {sentence}");
    }
    assert!(!folder.path().join("no").exists());
    assert!(!folder.path().join("r.jsonl").exists());
}

#[test]
fn something_else_than_a_record_is_never_written_to() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("room.toml");
    std::fs::write(&file, "[viewing]\n").unwrap();
    let sentence = refused(&format!("{PSEUDOPHAKIC} --record room.toml --answers red"), folder.path());
    assert!(sentence.contains("no record"), "{sentence}");
    assert_eq!(std::fs::read_to_string(file).unwrap(), "[viewing]\n");
}

#[test]
fn a_run_goes_on_where_it_stopped() {
    let folder = tempfile::tempdir().unwrap();
    json(&format!("{PSEUDOPHAKIC} --procedure customary --record r.jsonl --answers red"), folder.path());
    let done = json("--record r.jsonl --resume --answers green,green --white 20/20", folder.path());
    assert_eq!(done["eyes"][0]["left_in_d"], -1.0);
    assert_eq!(done["stage"], "choose");
    // The other eye of the same examination.
    json("--record r.jsonl --resume --choose nothing", folder.path());
    let left = "--eye left --manifest +0.50 --for room --acuity 20/20 --kind presbyopic --procedure from-plus --answers red,green,green --white 20/20 --choose nothing --done trial-frame";
    let both = json(&format!("--record r.jsonl --resume {left}"), folder.path());
    assert_eq!(both["eyes"].as_array().unwrap().len(), 2);
    assert_eq!(both["binocular"].as_array().unwrap().iter().filter(|step| step["done"] == true).count(), 1);
    assert!(refused("--record r.jsonl --resume --answers red", folder.path()).contains("still open"));
}

#[test]
fn two_programs_that_write_at_once_lose_nothing() {
    let folder = tempfile::tempdir().unwrap();
    std::thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| {
                for _ in 0..4 {
                    json(&format!("{PSEUDOPHAKIC} --procedure customary --record r.jsonl --answers red,red,green,green"), folder.path());
                }
            });
        }
    });
    let shown = json("--show r.jsonl", folder.path());
    assert_eq!(shown.as_array().unwrap().len(), 32);
    assert!(shown.as_array().unwrap().iter().all(|one| one["eyes"][0]["left_in_d"] == -1.25));
}

#[test]
fn a_spoilt_record_is_told_by_line_and_the_rest_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("r.jsonl");
    json(
        &format!("{PSEUDOPHAKIC} --procedure customary --record r.jsonl --answers red,red,green"),
        folder.path(),
    );
    let whole = std::fs::read_to_string(&file).unwrap();
    let spoilt = whole[..whole.len() - 20].replacen("\"sphere_d\":-1.0", "\"sphere_d\":-3.0", 2);
    std::fs::write(&file, &spoilt).unwrap();
    let output = run(&["balance", "--show", "r.jsonl"], folder.path());
    assert_eq!(output.status.code(), Some(1));
    let told = String::from_utf8(output.stderr).unwrap();
    assert!(
        told.contains("r.jsonl, line 1: was changed") && told.contains("r.jsonl, line 4: is cut"),
        "{told}"
    );
    assert!(
        String::from_utf8(output.stdout).unwrap().contains("This record was changed after it was written")
    );
    // Going on leaves what is there.
    json("--record r.jsonl --resume --answers green", folder.path());
    assert!(std::fs::read_to_string(&file).unwrap().starts_with(&spoilt));
}

#[test]
fn records_become_pages_and_tables() {
    let folder = tempfile::tempdir().unwrap();
    for _ in 0..2 {
        json(
            &format!("{PSEUDOPHAKIC} --procedure from-plus --record r.jsonl --answers red,same,green,green"),
            folder.path(),
        );
    }
    let write = |arguments: &str| {
        let arguments: Vec<&str> =
            ["balance", "--show", "r.jsonl"].into_iter().chain(arguments.split(' ')).collect();
        run(&arguments, folder.path()).status.code()
    };
    assert_eq!(write("--out r.pdf"), Some(0));
    assert_eq!(write("--out r.csv"), Some(0));
    assert_eq!(write("--out r.csv"), Some(2), "nothing is overwritten");
    assert_eq!(write("--out r.png"), Some(2), "a picture holds one page");
    let read = |name: &str| std::fs::read(folder.path().join(name)).unwrap();
    assert_eq!(String::from_utf8(read("r.csv")).unwrap().lines().count(), 1 + 2 * 5);
    assert!(read("r.pdf").starts_with(b"%PDF-"));
    assert!(!folder.path().join("r.png").exists());
    let ids = json("--show r.jsonl", folder.path());
    let id = ids[1]["examination"].as_str().unwrap().to_owned();
    assert_eq!(write(&format!("--only {id} --out r.png")), Some(0));
}

#[test]
#[cfg(unix)]
fn what_is_no_terminal_costs_no_other_program() {
    use std::os::unix::fs::PermissionsExt;

    // Where a terminal's size is asked of what is none, `tput` is started, twice a line of a record.
    let folder = tempfile::tempdir().unwrap();
    json(
        &format!("{PSEUDOPHAKIC} --procedure from-plus --record r.jsonl --answers red,same,green,green"),
        folder.path(),
    );
    let tput = folder.path().join("tput");
    std::fs::write(&tput, "#!/bin/sh\necho started >> started\necho 80\n").unwrap();
    std::fs::set_permissions(&tput, PermissionsExt::from_mode(0o755)).unwrap();
    let shown = Command::new(env!("CARGO_BIN_EXE_evenfield"))
        .args(["balance", "--show", "r.jsonl"])
        .env("PATH", folder.path())
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(shown.status.code(), Some(0));
    assert!(!folder.path().join("started").exists(), "a program was started");
}

#[test]
fn a_trial_speaks_of_each_eye() {
    let tried: Value = serde_json::from_str(&trial(true).out).unwrap();
    let rows = tried["rows"].as_array().unwrap();
    // Five procedures, and two of them together, for each of four eyes that do not accommodate; three end points and the adaptive
    // way, with fog that lasts and that does not, for each of three that do.
    assert_eq!(rows.len(), 4 * 6 + 3 * 4 * 2);
    for row in rows {
        for statistics in row["by_manifest"].as_array().unwrap() {
            let undecided: u64 = statistics["not_decided"]
                .as_array()
                .unwrap()
                .iter()
                .map(|one| one[1].as_u64().unwrap())
                .sum();
            assert_eq!(statistics["decided"].as_u64().unwrap() + undecided, 10, "{row}");
            assert_eq!(statistics["held"].is_null(), row["way"].get("rules").is_some(), "{row}");
        }
    }
    // Two eyes, each with no surprise and with five.
    assert_eq!(tried["surprises"].as_array().unwrap().len(), 2 * 6);
}

/// Answers what is asked before the first screen.
pub(crate) fn describe(terminal: &mut Terminal, eye: &str, manifest: &str, acuity: &str, kind: &str) {
    terminal.answer("Which eye looks", eye);
    terminal.answer("Manifest refraction", manifest);
    terminal.answer("That refraction is for", "room");
    terminal.answer("Best acuity", acuity);
    terminal.answer("Kind of eye", kind);
    // By hand, as these tests reckon.
    terminal.answer("Procedure:", if kind == "small" { "bracket" } else { "from-plus" });
    terminal.answer("End point:", "");
    terminal.answer("Colour vision", "");
}

#[test]
fn a_small_aperture_eye_by_arrows() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::run(&["balance", "--record", "r.jsonl"], folder.path(), USUAL);
    describe(&mut terminal, "r", "-0.75/-0.50x90", "20/20", "small");
    terminal.wait_for("question 1");
    terminal.keep("small-aperture-1");
    // The same; red half a dioptre up; green half a dioptre down; then each limit a quarter further in.
    terminal.press(DOWN);
    terminal.wait_for("question 2");
    terminal.press(LEFT);
    let screen = terminal.wait_for("question 3");
    assert!(
        screen.contains("Right eye: left eye occluded") && screen.contains("−1.25 / −0.50 × 90"),
        "{screen}"
    );
    terminal.keep("small-aperture-3");
    terminal.press(RIGHT);
    terminal.wait_for("question 4");
    terminal.press(LEFT);
    terminal.wait_for("question 5");
    terminal.press(RIGHT);
    let screen = terminal.wait_for("Acuity now");
    assert!(screen.contains("Now put in −0.75 / −0.50 × 90, 0.25 D more plus"), "{screen}");
    terminal.keep("small-aperture-white");
    terminal.press("20/20\r");
    terminal.wait_for("Examiner’s choice?");
    terminal.keep("small-aperture-choose");
    // The midpoint as well: who reads from −1.50 to 0.00 D, as `midpoint.rs` asks it.
    terminal.press("7");
    for (number, key) in (6..).zip(["1", "1", "2", "1", "1", "2", "1", "2", "1", "2", "1"]) {
        let screen = terminal.wait_for(&format!("question {number} "));
        assert!(screen.contains("on white") && screen.contains("Which letters of this line"), "{screen}");
        if number == 8 {
            assert!(screen.contains("Change the chart: new letters."), "{screen}");
            terminal.keep("small-aperture-limit");
        }
        terminal.press(key);
    }
    let screen = terminal.wait_for("Examiner’s choice?");
    assert!(screen.contains("The midpoint on white lies at −0.75 D"), "{screen}");
    terminal.keep("small-aperture-both");
    terminal.press("1");
    terminal.wait_for("The left eye now");
    terminal.keep("small-aperture-other");
    terminal.press("2");
    let (status, screen) = terminal.end();
    assert!(status.success(), "{screen}");
    let eye = &json("--show r.jsonl", folder.path())[0]["eyes"][0];
    // Red from −0.50, green up to −1.00: midway −0.75, and −1.06 far away.
    assert_eq!((&eye["left_in_d"], &eye["chosen_d"]), (&(-0.75).into(), &(-1.0).into()));
}

#[test]
fn a_young_eye_is_fogged_and_stopped_at_too_much_minus() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::run(&["balance", "--record", "r.jsonl"], folder.path(), USUAL);
    describe(&mut terminal, "left", "-2.00", "20/16", "accommodating");
    let screen = terminal.wait_for("question 1");
    assert!(screen.contains("Left eye: right eye occluded") && screen.contains("−1.50 D"), "{screen}");
    terminal.keep("young-1");
    for number in 2..=5 {
        terminal.press("r");
        terminal.wait_for(&format!("question {number}"));
    }
    terminal.keep("young-5");
    terminal.press("r");
    terminal.wait_for("may never stop");
    terminal.keep("young-too-much-minus");
    terminal.press("1");
    terminal.wait_for("question 6");
    // Same at once is not enough: more fog; taken back; then red, same, same.
    terminal.press(DOWN);
    terminal.wait_for("−1.25 D");
    terminal.press(ERASE);
    terminal.wait_for("−1.50 D");
    for (key, next) in [("r", "question 7"), (DOWN, "question 8"), (DOWN, "Acuity now")] {
        terminal.press(key);
        terminal.wait_for(next);
    }
    terminal.press("20/16-9\r");
    terminal.wait_for("number of letters");
    terminal.keep("young-white-refused");
    terminal.press(&ERASE.repeat(7));
    terminal.press("20/16\r");
    terminal.wait_for("Examiner’s choice?");
    terminal.press("6");
    terminal.wait_for("The right eye now");
    terminal.press("2");
    let (status, screen) = terminal.end();
    assert!(status.success(), "{screen}");
    let eye = &json("--show r.jsonl", folder.path())[0]["eyes"][0];
    assert_eq!((&eye["left_in_d"], &eye["fogged_again"]), (&(-1.75).into(), &1.into()));
    assert_eq!(eye["chosen_d"], Value::Null);
}

#[test]
fn a_window_that_is_too_small_takes_no_answer() {
    let folder = tempfile::tempdir().unwrap();
    let arguments = format!(
        "balance --record r.jsonl {PSEUDOPHAKIC} --procedure from-plus --end-point last-red --colour-vision usual"
    );
    let mut terminal = Terminal::run(&arguments.split(' ').collect::<Vec<_>>(), folder.path(), [9, 80]);
    terminal.wait_for("Make the window larger");
    terminal.press("r");
    terminal.press(STOP);
    let (status, screen) = terminal.end();
    assert!(status.success(), "{screen}");
    let eye = &json("--show r.jsonl", folder.path())[0]["eyes"][0];
    assert!(eye["asked"].as_array().unwrap().is_empty());
}

#[test]
fn a_script_may_fog_again_on_its_way() {
    let folder = tempfile::tempdir().unwrap();
    let young =
        "--eye left --manifest -2.00 --for room --acuity 20/16 --kind accommodating --after-minus fog-again";
    let eye =
        &json(&format!("{young} --answers red,red,red,red,red,red,same,same"), folder.path())["eyes"][0];
    assert_eq!((&eye["left_in_d"], &eye["fogged_again"]), (&(-1.75).into(), &1.into()));
}

#[test]
fn a_held_key_is_one_answer() {
    let folder = tempfile::tempdir().unwrap();
    let arguments = format!(
        "balance --record r.jsonl {PSEUDOPHAKIC} --procedure from-plus --end-point last-red --colour-vision usual"
    );
    let mut terminal = Terminal::run(&arguments.split(' ').collect::<Vec<_>>(), folder.path(), USUAL);
    terminal.wait_for("question 1");
    for _ in 0..20 {
        terminal.press_at_once("r");
        std::thread::sleep(std::time::Duration::from_millis(30));
    }
    terminal.wait_for("question 2");
    terminal.press(STOP);
    terminal.end();
    let eye = &json("--show r.jsonl", folder.path())[0]["eyes"][0];
    assert_eq!(eye["asked"].as_array().unwrap().len(), 1);
}

#[test]
fn an_examination_goes_on_in_its_own_room() {
    let folder = tempfile::tempdir().unwrap();
    json(&format!("{PSEUDOPHAKIC} --procedure from-plus --record r.jsonl --answers red"), folder.path());
    let other = "room new --pixels 1920x1080 --width 527mm --distance 4.2m --out other.toml";
    assert!(run(&other.split(' ').collect::<Vec<_>>(), folder.path()).status.success());
    let sentence = refused("--room other.toml --record r.jsonl --resume --answers red", folder.path());
    assert!(sentence.contains("began in Quillhaven practice"), "{sentence}");
}

#[test]
fn a_protan_pseudophakic_eye_is_asked_by_side_only() {
    let folder = tempfile::tempdir().unwrap();
    let arguments = "balance --record r.jsonl --eye right --manifest +4.25 --vertex 12mm --for far --acuity 6/7.5 --kind pseudophakic --procedure from-plus --end-point last-red --colour-vision protan";
    let mut terminal = Terminal::run(&arguments.split(' ').collect::<Vec<_>>(), folder.path(), USUAL);
    let screen = terminal.wait_for("question 1");
    terminal.keep("protan-1");
    assert!(screen.contains("the left side") && !screen.contains("the red side"), "{screen}");
    // Letters of colours are no keys here.
    terminal.press("rg");
    terminal.press(LEFT);
    terminal.wait_for("question 2");
    terminal.press(RIGHT);
    terminal.wait_for("question 3");
    // Sides are swapped: green lies left.
    terminal.press(LEFT);
    terminal.wait_for("Acuity now");
    terminal.press(STOP);
    let (status, screen) = terminal.end();
    assert!(status.success() && screen.contains("--resume"), "{screen}");
    let eye = &json("--show r.jsonl", folder.path())[0]["eyes"][0];
    // +4.25 far away is +4.50 here, to the nearest click.
    assert_eq!(eye["left_in_d"], 4.5);
}

#[test]
fn what_was_answered_survives_a_kill_at_any_moment() {
    let folder = tempfile::tempdir().unwrap();
    let arguments = format!(
        "balance --record r.jsonl {PSEUDOPHAKIC} --procedure from-plus --end-point last-red --colour-vision usual"
    );
    let arguments: Vec<&str> = arguments.split(' ').collect();
    for presses in 0..4_u64 {
        let mut terminal = Terminal::run(&arguments, folder.path(), USUAL);
        terminal.wait_for("question 1");
        for number in 0..presses {
            terminal.press("r");
            terminal.wait_for(&format!("question {}", number + 2));
        }
        // One more in flight: it is there whole, or not at all.
        terminal.press("r");
        std::thread::sleep(std::time::Duration::from_millis(presses));
        terminal.kill();
    }
    let shown = json("--show r.jsonl", folder.path());
    for (presses, one) in shown.as_array().unwrap().iter().enumerate() {
        let asked = one["eyes"][0]["asked"].as_array().unwrap().len();
        assert!(asked == presses || asked == presses + 1, "{asked} of {presses}");
    }
    assert_eq!(shown.as_array().unwrap().len(), 4);
}

/// Once through an eye in a window of 60 columns and 20 rows, the least in which an eye can be described.
#[test]
fn a_small_window_keeps_the_eye_s_name_on_top_and_breaks_no_word() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::run(&["balance"], folder.path(), [20, 60]);
    terminal.keep("low-record");
    terminal.answer("Keep the record", "low.jsonl");
    terminal.answer("Which eye looks", "2");
    let whole = |screen: &str| {
        assert!(screen.starts_with("Left eye: right eye occluded"), "{screen}");
        assert!(screen.lines().all(|line| line.chars().count() < 60), "{screen}");
    };
    for (asked, line, name) in [
        ("Manifest refraction", "-4.00/-0.50x90", "manifest"),
        ("Vertex distance", "12mm", "vertex"),
        ("That refraction is for", "1", "for"),
        ("Best acuity", "20/20", "acuity"),
        ("Kind of eye", "3", "kind"),
        ("Procedure:", "2", "procedure"),
        ("End point:", "", "end"),
        ("Colour vision", "", "colour"),
    ] {
        whole(&terminal.wait_for(asked));
        terminal.keep(&format!("low-{name}"));
        terminal.answer(asked, line);
    }
    for (number, key) in [(1, "r"), (2, "g"), (3, "g")] {
        whole(&terminal.wait_for(&format!("question {number}")));
        terminal.keep(&format!("low-{number}"));
        // What means nothing here is not echoed.
        terminal.press("qzx");
        terminal.press(key);
    }
    let screen = terminal.wait_for("Acuity now");
    whole(&screen);
    assert!(!screen.contains("qz"), "{screen}");
    terminal.press("20/20-4\r");
    whole(&terminal.wait_for("4 letters lost"));
    terminal.keep("low-white-again");
    terminal.press("20/20\r");
    whole(&terminal.wait_for("Examiner’s choice?"));
    terminal.keep("low-choose");
    terminal.press("6");
    whole(&terminal.wait_for("The right eye now"));
    terminal.press(STOP);
    let (status, screen) = terminal.end();
    // What is told at the end breaks no word either.
    assert!(screen.contains("by a licensed\npractitioner"), "{screen}");
    assert!(status.success(), "{screen}");
    let eye = &json("--show low.jsonl", folder.path())[0]["eyes"][0];
    assert_eq!(eye["white"], serde_json::json!(["20/20\u{2212}4", "20/20"]));
}

#[test]
fn a_record_is_asked_for_and_may_be_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let arguments =
        format!("balance {PSEUDOPHAKIC} --procedure from-plus --end-point last-red --colour-vision usual");
    let arguments: Vec<&str> = arguments.split(' ').collect();
    let mut terminal = Terminal::run(&arguments, folder.path(), USUAL);
    // Something else than a record is refused, and asked for again.
    std::fs::write(folder.path().join("room.toml"), "[viewing]\n").unwrap();
    terminal.answer("Keep the record", "room.toml");
    terminal.wait_for("no record of balances");
    terminal.press_at_once(&format!("{}nowhere\r", ERASE.repeat(9)));
    let screen = terminal.wait_for("nothing is kept");
    assert!(screen.contains("question 1") && !screen.contains("goes on later"), "{screen}");
    terminal.press("r");
    terminal.wait_for("question 2");
    terminal.press(STOP);
    let (status, screen) = terminal.end();
    assert!(status.success() && screen.contains("Not kept as a record"), "{screen}");
    // The page's own file is no place for the record; Enter alone takes what is offered.
    let arguments = [&arguments[..], &["--out", "page.svg"]].concat();
    let mut terminal = Terminal::run(&arguments, folder.path(), USUAL);
    terminal.answer("Keep the record", "./page.svg");
    terminal.wait_for("is to hold the page");
    terminal.press_at_once(&format!("{}\r", ERASE.repeat(10)));
    terminal.wait_for("goes on later");
    terminal.press(STOP);
    terminal.end();
    assert_eq!(json("--show balances.jsonl", folder.path()).as_array().unwrap().len(), 1);
    assert!(folder.path().join("page.svg").exists());
}

#[test]
fn swapping_and_swapping_back_are_said_with_their_key() {
    let folder = tempfile::tempdir().unwrap();
    let arguments = format!(
        "balance --record r.jsonl {PSEUDOPHAKIC} --procedure from-plus --end-point equal-else-last-red --colour-vision usual"
    );
    let mut terminal = Terminal::run(&arguments.split(' ').collect::<Vec<_>>(), folder.path(), USUAL);
    for (number, key) in [(1, "r"), (2, "g")] {
        let screen = terminal.wait_for(&format!("question {number}"));
        assert!(!screen.contains("Change the chart"), "{screen}");
        terminal.press(key);
    }
    let screen = terminal.wait_for("question 3");
    terminal.keep("swap");
    assert!(screen.contains("Change the chart: green left, red right"), "{screen}");
    // The page's key for swapping notes no answer here.
    terminal.press("x");
    terminal.press(DOWN);
    let screen = terminal.wait_for("question 4");
    terminal.keep("swap-back");
    assert!(screen.contains("Change the chart: red left, green right"), "{screen}");
    terminal.press(STOP);
    terminal.end();
}

#[test]
fn an_examination_of_another_procedure_is_shown_and_not_gone_on_with() {
    let folder = tempfile::tempdir().unwrap();
    let old = include_str!("data/balances-procedure-1.jsonl");
    // Without its last line the last examination is open.
    let open: String = old.lines().take(old.lines().count() - 1).map(|line| format!("{line}\n")).collect();
    std::fs::write(folder.path().join("old.jsonl"), &open).unwrap();
    let output = run(&["balance", "--show", "old.jsonl"], folder.path());
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8(output.stdout).unwrap().contains("kept by version 1 of the procedure"));
    let sentence = refused("--record old.jsonl --resume --answers red", folder.path());
    assert!(sentence.contains("version 1 of the procedure"), "{sentence}");
    assert_eq!(std::fs::read_to_string(folder.path().join("old.jsonl")).unwrap(), open);
}

#[test]
fn what_comes_next_names_the_whole_lens() {
    let desk = Desk::new();
    let said = |answers: &str| {
        let eye = "--eye right --manifest -1.25/-0.50x90 --for room --acuity 20/20 --kind pseudophakic";
        let run = desk.run(&format!("balance {eye} --procedure customary --answers {answers}"));
        run.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    // By hand: red asks for a quarter more minus, and the cylinder stays.
    let out = said("red");
    assert!(out.contains("Next: question 2, −1.50 / −0.50 × 90 in place"), "{out}");
}
