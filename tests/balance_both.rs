//! What follows one eye: a cylinder rechecked, both eyes together, and near. Scripted, and in a real terminal.

use serde_json::Value;

use crate::balance::{DOWN, describe, json, refused, run};
use crate::common::terminal::Terminal;

/// Answers by colour until white is asked for: red is clearer where the lens has more plus than balance, green where it has less.
fn to_white(terminal: &mut Terminal, balance_d: f64) -> String {
    for question in 1.. {
        let screen = terminal.wait_for(&format!("question {question}"));
        let lens = screen.split("Set the lens").nth(1).unwrap().split_whitespace().next().unwrap();
        let off = lens.replace('\u{2212}', "-").parse::<f64>().unwrap() - balance_d;
        terminal.press(if off.abs() < 0.1 {
            DOWN
        } else if off > 0.0 {
            "r"
        } else {
            "g"
        });
        let next = terminal.wait_for_one(&[&format!("question {}", question + 1), "Acuity now"]);
        if next.contains("Acuity now") {
            return next;
        }
    }
    unreachable!("white comes in the end")
}

#[test]
fn a_rechecked_cylinder_and_the_same_eye_again_at_the_keyboard() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::run(&["balance", "--record", "r.jsonl"], folder.path(), [40, 100]);
    describe(&mut terminal, "right", "-1.00/-0.50x90", "20/20", "pseudophakic");
    let screen = to_white(&mut terminal, -1.5);
    assert!(screen.contains("The sphere moved by 0.50 D: recheck the cylinder"), "{screen}");
    terminal.keep("recheck");
    terminal.press("-1.00x85\r");
    let screen = terminal.wait_for("−1.25 / −1.00 × 85");
    assert!(screen.contains("question 1"), "{screen}");
    let screen = to_white(&mut terminal, -1.25);
    assert!(!screen.contains("recheck"), "{screen}");
    for (keys, next) in
        [("20/20\r", "Examiner’s choice?"), ("1", "the right eye again"), ("3", "Manifest refraction")]
    {
        terminal.press(keys);
        terminal.wait_for(next);
    }
    // What is known of the eye stays as it was; its refraction, and how it is asked, are asked for.
    terminal.answer("Manifest refraction", "-1.25/-1.00x85");
    terminal.answer("That refraction is for", "room");
    terminal.answer("Best acuity", "20/20");
    terminal.answer("Procedure:", "customary");
    terminal.answer("End point:", "");
    to_white(&mut terminal, -1.25);
    terminal.press("\u{1b}");
    assert!(terminal.end().0.success());
    let shown = &json("--show r.jsonl", folder.path())[0];
    let eyes = shown["eyes"].as_array().unwrap();
    let left_in: Vec<&Value> = eyes.iter().map(|eye| &eye["left_in_d"]).collect();
    assert_eq!(left_in, [-1.5, -1.25, -1.25]);
    assert!(eyes.iter().all(|eye| eye["start"]["eye"] == "right"));
    let together = &shown["all_runs"][0];
    let within = |of: &Value| of["high_d"].as_f64().unwrap() - of["low_d"].as_f64().unwrap();
    assert!(within(together) < within(&eyes[2]["estimate"]), "{together}");
}

#[test]
fn a_script_rechecks_a_cylinder_and_says_what_both_eyes_came_to() {
    let folder = tempfile::tempdir().unwrap();
    let eye = "--for room --acuity 20/20 --kind accommodating --procedure from-plus --record r.jsonl";
    let begun = format!("--eye right --manifest -1.00/-0.50x90 {eye} --answers red,red,red,red,same,same");
    assert_eq!(json(&begun, folder.path())["eyes"][0]["left_in_d"], -1.5);
    let early = refused("--record r.jsonl --resume --cylinder -0.50x190", folder.path());
    assert!(early.contains("no axis from 1 to 180"), "{early}");
    let again = "--record r.jsonl --resume --cylinder -1.00x85 --answers red,red,same,same --white 20/20 --choose here-quarter";
    let again = json(again, folder.path());
    assert_eq!(
        again["eyes"][1]["start"]["manifest"],
        serde_json::json!({ "sphere_d": -1.25, "cylinder": { "power_d": -1.0, "axis_degrees": 85 } })
    );
    let left = format!(
        "--resume --eye left --manifest -0.50 {eye} --answers red,red,same,same --white 20/20 --choose here-quarter"
    );
    json(&left, folder.path());
    let twice = refused("--record r.jsonl --resume --add +2.25 --near-distance 40cm", folder.path());
    assert!(twice.contains("the near add comes last, and next is with both eyes, balance"), "{twice}");
    for (flags, why) in [
        (
            "--compared left,same --both-acuity 20/20",
            "--compared, --both-acuity is not taken: say how both eyes were held apart",
        ),
        (
            "--apart cover --compared left,same,right --both-sphere 20/20,20/32",
            "--compared is not taken: next is acuity on white",
        ),
        (
            "--done balance-between-eyes --both-sphere 20/20 --framed 0",
            "--framed is not taken: next is sphere with both",
        ),
        ("--framed 0.1", "write it with its sign"),
    ] {
        let said = refused(&format!("--record r.jsonl --resume {flags}"), folder.path());
        assert!(said.contains(why), "{flags}: {said}");
    }
    let both = "--record r.jsonl --resume --apart cover --compared left,left,same --both-sphere 20/20,20/32 --both-acuity 20/20 --framed 0 --add +2.25 --near-distance 40cm --clear 33cm,50cm";
    let both = json(both, folder.path());
    assert_eq!(both["stage"], "closed");
    // By hand: the right eye ends at −1.25, as it was asked; the left one at −0.50 with two clicks.
    let ends = |place: usize| both["ends_with"][place]["sphere_d"].as_f64().unwrap();
    let left_in = |place: usize| both["eyes"][place]["left_in_d"].as_f64().unwrap();
    assert!((ends(0) - left_in(1)).abs() < 1e-9 && (ends(1) - left_in(2) - 0.5).abs() < 1e-9, "{both}");
    assert_eq!(both["near"][0]["clear_mm"], serde_json::json!([330.0, 500.0]));
}

#[test]
fn a_near_add_follows_one_eye_that_is_done() {
    let folder = tempfile::tempdir().unwrap();
    let eye =
        "--eye right --manifest -1.00 --for room --acuity 20/20 --kind pseudophakic --procedure customary";
    let done = format!(
        "{eye} --record r.jsonl --answers red,same,same --white 20/20 --choose here-quarter --one-eye"
    );
    let id = json(&done, folder.path())["examination"].as_str().unwrap().to_owned();
    let last = refused("--record r.jsonl --resume --add +2.25 --near-distance 40cm", folder.path());
    assert!(last.contains("no examination that is still open"), "{last}");
    let finished = refused(&format!("--record r.jsonl --resume {id} --one-eye"), folder.path());
    assert!(finished.contains(&format!("note its near add with --resume {id} --add")), "{finished}");
    let bare =
        refused(&format!("--record r.jsonl --resume {id} --add +2.25 --near-distance 40"), folder.path());
    assert!(bare.contains("has no unit: write 40cm"), "{bare}");
    let near =
        json(&format!("--record r.jsonl --resume {id} --add +2.25 --near-distance 40cm"), folder.path());
    assert_eq!(near["near"][0]["add_d"], 2.25);
    let said = run(&["balance", "--show", "r.jsonl"], folder.path());
    let said = String::from_utf8(said.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    // By hand: 1/3.2 m.
    assert!(
        said.contains(
            "The lenses are for 3.2 m, not for far away: +0.31 D of what near asks for is in them."
        ),
        "{said}"
    );
}

#[test]
fn a_presbyope_s_two_eyes_and_the_steps_with_both() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::run(&["balance", "--record", "r.jsonl"], folder.path(), [40, 100]);
    for (eye, other) in [("right", "The left eye now"), ("", "balance between both eyes")] {
        if eye.is_empty() {
            let screen = terminal.wait_for("Manifest refraction");
            assert!(screen.starts_with("Left eye: right eye occluded"), "{screen}");
            terminal.answer("Manifest refraction", "+0.50");
            terminal.answer("That refraction is for", "room");
            terminal.answer("Best acuity", "20/20");
            terminal.answer("Kind of eye", "presbyopic");
            terminal.answer("Procedure:", "from-plus");
            terminal.answer("End point:", "");
        } else {
            describe(&mut terminal, eye, "+0.25", "20/20", "presbyopic");
        }
        terminal.wait_for("question 1");
        for (key, next) in
            [("r", "question 2"), ("g", "question 3"), ("g", "Acuity now"), ("20/20\r", "Examiner’s choice?")]
        {
            terminal.press(key);
            terminal.wait_for(next);
        }
        terminal.press("1");
        terminal.wait_for(
            &other
                .to_lowercase()
                .replace("the left", "The left")
                .replace("balance between", "alance between"),
        );
        terminal.press("1");
    }
    // Prism was pressed; both eyes are asked though it says that they need not be.
    let screen = terminal.wait_for("Which eye sees the letters clearer");
    assert!(screen.contains("there is nothing to relax"), "{screen}");
    terminal.keep("presbyope-both");
    for (keys, next) in [
        ("1", "right +1.25 D, left +1.00 D"),
        ("3", "Sphere with both eyes open"),
        ("20/20\r", "+0.25 D. Read white"),
        ("20/25\r", "cuity on white with both"),
        ("20/20+1\r", "look far away"),
        ("+0.1\r", "no change of whole clicks"),
        ("\u{7f}\u{7f}\u{7f}\u{7f}-0.25\r", "Near add: from the eyes"),
    ] {
        terminal.press(keys);
        terminal.wait_for(next);
    }
    terminal.keep("presbyope-near");
    terminal.answer("Near add", "40cm");
    terminal.answer("The add", "+2.25");
    terminal.answer("The smallest line", "20/25");
    terminal.answer("Clear from", "33cm,50cm");
    terminal.answer("Clearer at that distance", "none");
    let (status, screen) = terminal.end();
    assert!(status.success(), "{screen}");
    let both = &json("--show r.jsonl", folder.path())[0];
    assert_eq!(both["stage"], "closed");
    assert_eq!(both["eyes"][1]["start"]["eye"], "left");
    assert_eq!(both["both"]["compared"], serde_json::json!(["right", "same"]));
    assert_eq!((&both["both"]["read"][1], &both["both"]["framed_d"]), (&"20/25".into(), &(-0.25).into()));
    assert_eq!((&both["near"][0]["add_d"], &both["near"][0]["clear_mm"][1]), (&2.25.into(), &500.0.into()));
}
