//! The midpoint on white and the adaptive way's tree, as a script asks for them.

use serde_json::Value;

use crate::common::Desk;

/// What `evenfield balance` prints as JSON.
fn json(desk: &Desk, arguments: &str) -> Value {
    let done = desk.run(&format!("balance --json {arguments}"));
    assert_eq!(done.code, 0, "{}", done.err);
    serde_json::from_str(&done.out).unwrap()
}

/// The sentence with which it is refused.
fn refused(desk: &Desk, arguments: &str) -> String {
    let done = desk.run(&format!("balance {arguments}"));
    assert_eq!((done.code, done.err.trim_end().lines().count()), (2, 1), "{} {}", done.out, done.err);
    done.err
}

#[test]
fn a_script_looks_for_the_midpoint_alone_and_beside_red_and_green() {
    let desk = Desk::new();
    let eye = "--eye right --manifest -1.00 --for room --acuity 20/20 --kind presbyopic";
    // Where it stands after too few answers.
    let open = json(&desk, &format!("{eye} --procedure midpoint --limits read,read"));
    assert_eq!((&open["stage"], &open["next"]["sphere_d"]), (&"limit".into(), &0.0.into()));
    assert_eq!((&open["next"]["seeks"], &open["next"]["red"]), (&"plus_limit".into(), &Value::Null));
    // By hand: read from −1.25 to −0.25 D, twice, so the middle is −0.75 D.
    let limits = "--limits read,read,lost,read,lost,read,lost,read,lost,read";
    let alone = json(&desk, &format!("{eye} --procedure midpoint {limits}"));
    let found = serde_json::json!({ "at_d": -0.75, "plus_d": [-0.25, -0.25], "minus_d": [-1.25, -1.25], "agree": true });
    assert_eq!(alone["eyes"][0]["midpoint"], found);
    assert_eq!((&alone["stage"], &alone["eyes"][0]["left_in_d"]), (&"white".into(), &(-0.75).into()));
    // Beside red and green, which end elsewhere: both stand, and so does what they come to together.
    let colours = "--procedure from-plus --answers red,red,red,green,green --white 20/20";
    let alone = json(&desk, &format!("{eye} {colours}"));
    let both = json(&desk, &format!("{eye} {colours} {limits}"));
    let [alone, both] = [&alone["eyes"][0], &both["eyes"][0]];
    assert_eq!((&both["left_in_d"], &both["midpoint"]), (&(-1.5).into(), &found));
    let at = |eye: &Value| eye["estimate"]["balance_d"].as_f64().unwrap();
    assert!(at(alone) < -1.4 && (-1.3..-0.9).contains(&at(both)), "{alone} {both}");
    let cautions = both["cautions"].to_string();
    assert!(
        cautions.contains("0.75 D apart") && !alone["cautions"].to_string().contains("apart"),
        "{cautions}"
    );
    for (arguments, remedy) in [
        (format!("{eye} --procedure midpoint {limits},read"), "without the last 1 of --limits"),
        (format!("{eye} --procedure from-plus --answers red {limits}"), "the questions are not at their end"),
        ("--eye right --manifest -1.00 --for room --acuity 20/20 --kind accommodating --procedure midpoint --limits read".into(), "choose from-plus"),
        ("--eye right --manifest -1.00 --for room --acuity 20/20 --kind accommodating --answers red,green,green --white 20/20 --limits read".into(), "this eye is not asked for limits"),
    ] {
        let sentence = refused(&desk, &arguments);
        assert!(sentence.contains(remedy), "{sentence}");
    }
}

#[test]
fn an_eye_that_is_asked_by_rules_has_no_tree() {
    let desk = Desk::new();
    let eye = "--eye right --manifest -1.00 --for room --acuity 20/20 --kind presbyopic";
    let sentence = refused(&desk, &format!("{eye} --procedure bracket --transitions"));
    assert!(sentence.contains("add --procedure adaptive"), "{sentence}");
}
