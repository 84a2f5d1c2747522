//! The forms that `evenfield schema` prints: what the program really says fits, and what lacks a part or has one of another kind does
//! not. Messages of an examination are held against theirs wherever a panel without a browser is opened (`common/bare.rs`).

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::common::bare::{Panel, Wall};
use crate::common::form::{fits, form};
use crate::common::hall::Hall;
use crate::common::{Desk, Png, ROOM, trial};

/// The pointer to every part of a document, the document itself left out, and what each is called whatever its place in a list. Of
/// parts that are called alike the first stands for all.
fn parts(document: &Value) -> Vec<(String, String)> {
    fn walk(value: &Value, pointer: &str, name: &str, found: &mut Vec<(String, String)>) {
        let within: Vec<(String, String, &Value)> = match value {
            Value::Object(fields) => {
                let dot = if name.is_empty() { "" } else { "." };
                let field = |(key, value)| (format!("{pointer}/{key}"), format!("{name}{dot}{key}"), value);
                fields.iter().map(field).collect()
            }
            Value::Array(items) => {
                let item = |(at, value)| (format!("{pointer}/{at}"), format!("{name}[]"), value);
                items.iter().enumerate().map(item).collect()
            }
            Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => Vec::new(),
        };
        for (pointer, name, value) in within {
            if !found.iter().any(|(_, other)| *other == name) {
                found.push((pointer.clone(), name.clone()));
            }
            walk(value, &pointer, &name, found);
        }
    }
    let mut found = Vec::new();
    walk(document, "", "", &mut found);
    found
}

/// The parts of a document that fits which may be left out, and those that may be anything.
fn loose(name: &str, document: &Value) -> [Vec<String>; 2] {
    fits(name, document);
    let form = form(name);
    let (mut left_out, mut anything) = (BTreeSet::new(), BTreeSet::new());
    let all = parts(document);
    assert!(!all.is_empty());
    for (pointer, called) in all {
        let (around, key) = pointer.rsplit_once('/').unwrap();
        let mut without = document.clone();
        if let Some(fields) = without.pointer_mut(around).unwrap().as_object_mut() {
            fields.remove(key);
            if form.is_valid(&without) {
                left_out.insert(called.clone());
            }
        }
        let mut other = document.clone();
        *other.pointer_mut(&pointer).unwrap() = json!({ "of another kind": [] });
        if form.is_valid(&other) {
            anything.insert(called);
        }
    }
    [left_out, anything].map(|names| names.into_iter().collect())
}

/// A room file that says all that one can say in one way.
const WHOLE_ROOM: &str = r#"
name = "Quillhaven practice, room 5 (made up)"
[viewing]
distance_mm = 3200
mirror = true
[screen]
pixels = [1920, 1080]
size_mm = [527.0, 296.5]
diagonal_in = 23.8
pitch_mm = 0.2745
size_percent = 0.5
size_claimed = false
[luminance]
red = 50.0
green = 170.0
blue = 18.0
white = 238.0
black = 0.2
meter_percent = 2.0
matched_by_eye = false
match_open = false
claimed = false
[tone]
steps = { red = [[0, 0.2], [255, 50.0]], green = [[0, 0.2], [255, 170.0]] }
relative = false
matched_by_eye = false
claimed = false
[primaries]
red = { peak_nm = 615.0, fwhm_nm = 45.0 }
green = { chromaticity = [0.3, 0.6] }
white = [0.3127, 0.3290]
claimed = false
[ambient]
illuminance_lux = 3.0
screen_reflectance = 0.02
[match]
codes = [255, 148]
red = 38.0
green = 39.0
meter_percent = 2.0
date = "2026-03-31"
again_after_days = 90
"#;

#[test]
fn a_room_file_has_the_form_of_one() {
    let desk = Desk::new();
    desk.write("whole.toml", WHOLE_ROOM);
    let run = desk.run("chart --room whole.toml --out chart.png");
    assert_eq!(run.code, 0, "the room of this test is none: {}", run.err);
    desk.run("room new --pixels 1920x1080 --width 527mm --distance 3.2m --out new.toml");
    let read = |text: &str| toml::from_str::<Value>(text).unwrap();
    fits("room", &read(&std::fs::read_to_string(desk.path("new.toml")).unwrap()));
    fits("room", &read(ROOM));
    let [left_out, anything] = loose("room", &read(WHOLE_ROOM));
    let needed = [
        "ambient.illuminance_lux",
        "ambient.screen_reflectance",
        "match.codes",
        "match.date",
        "match.green",
        "match.meter_percent",
        "match.red",
        "screen",
        "screen.pixels",
        "tone.steps.green",
        "tone.steps.red",
        "viewing",
        "viewing.distance_mm",
    ];
    for name in needed {
        assert!(!left_out.iter().any(|one| one == name), "{name} may be left out");
    }
    // All else may be left out, as the program takes it.
    let fields = parts(&read(WHOLE_ROOM)).into_iter().filter(|(_, name)| !name.ends_with("[]"));
    assert_eq!(fields.count(), left_out.len() + needed.len(), "{left_out:?}");
    assert_eq!(anything, [""; 0]);
    let mut unknown = read(ROOM);
    unknown["viewing"]["distence_mm"] = json!(3000);
    assert!(!form("room").is_valid(&unknown));
}

fn claim(desk: &Desk, name: &str) -> Value {
    serde_json::from_str(&Png::read(&desk.path(name)).json.unwrap()).unwrap()
}

#[test]
fn what_charts_say_of_themselves_has_its_form() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    for (name, words) in [
        ("plain.png", ""),
        ("labels.png", "--room room.toml --labels --line 20/40 --luminance 20"),
        ("white.png", "--fields white --white full --letters rings"),
    ] {
        let run = desk.run(&format!("chart --out {name} {words}"));
        assert_eq!(run.code, 0, "{}", run.err);
        fits("chart", &claim(&desk, name));
    }
    let [left_out, anything] = loose("chart", &claim(&desk, "labels.png"));
    let optional = [
        "room.ambient",
        "room.luminance",
        "room.luminance.black",
        "room.luminance.blue",
        "room.luminance.green",
        "room.luminance.red",
        "room.name",
        "room.screen.pitch_mm",
    ];
    assert_eq!(left_out, optional);
    assert_eq!(anything, [""; 0]);
    assert_eq!(desk.run("near --out near.png").code, 0);
    assert_eq!(loose("near", &claim(&desk, "near.png")), [[""; 0]; 2]);
}

#[test]
fn findings_have_their_form() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let mut kinds = BTreeSet::new();
    for ending in ["png", "svg", "pdf"] {
        desk.run(&format!("chart --room room.toml --line 20/40 --out chart.{ending}"));
        desk.run(&format!("near --out near.{ending}"));
        // A near chart is measured by its paths, which a PNG has not.
        let near = (ending != "png").then(|| format!("near.{ending}"));
        for words in [
            format!("chart.{ending}"),
            format!("chart.{ending} --room room.toml --line 20/30 --red right --fields red-green"),
        ]
        .into_iter()
        .chain(near)
        {
            let run = desk.run(&format!("check {words} --json"));
            assert!(run.code < 2, "{}", run.err);
            let report: Value = serde_json::from_str(&run.out).unwrap();
            for finding in report["findings"].as_array().unwrap() {
                kinds.insert(finding["verdict"].as_str().unwrap().to_owned());
                // One at a time, since each kind of value and requirement has its own form.
                let one = json!({ "verdict": finding["verdict"], "findings": [finding] });
                assert_eq!(loose("findings", &one), [[""; 0]; 2], "{one}");
            }
        }
    }
    assert!(kinds.len() > 3, "only {kinds:?} were seen");
}

#[test]
fn the_lines_of_records_have_their_form() {
    let desk = Desk::new();
    let run = desk.run(
        "balance --eye right --manifest -0.75/-0.50x90 --for room --acuity 20/20 --kind small-aperture --procedure bracket --record new.jsonl --answers same,red,green,red,green --white 20/20+1 --choose far-quarter --one-eye",
    );
    assert_eq!(run.code, 0, "{}", run.err);
    let new = std::fs::read_to_string(desk.path("new.jsonl")).unwrap();
    let kept = [
        include_str!("data/balances-procedure-1.jsonl"),
        include_str!("data/balances-procedure-2.jsonl"),
        include_str!("data/balances-procedure-3.jsonl"),
        include_str!("data/handed-over.jsonl"),
        &new,
    ];
    let lines: Vec<Value> =
        kept.iter().flat_map(|text| text.lines()).map(|line| serde_json::from_str(line).unwrap()).collect();
    assert!(lines.iter().any(|line| line["event"]["started"]["kind"] == "young"), "no record of before");
    lines.iter().for_each(|line| fits("record", line));
    // What a line may lack, as this program or one of before wrote it.
    let optional = [
        "asked",
        "asked.red",
        "chosen_d",
        "event.near.acuity",
        "event.near.clear_mm",
        "event.near.red_green",
        "event.started.examiner",
        "event.started.glasses_vertex_mm",
        "event.started.instrument",
        "event.started.intended_d",
        "event.started.label",
        "event.started.manifest.cylinder",
        "event.started.place.largest_log_mar",
        "event.started.place.metered",
        "event.started.place.metered.again_after_days",
        "event.started.vertex_mm",
        "eye",
        "procedure",
        "wall",
    ];
    for line in &lines {
        let [left_out, anything] = loose("record", line);
        for name in left_out {
            let name = name.replace("event.again.", "event.started.");
            assert!(optional.contains(&name.as_str()), "{name} may be left out of {line}");
        }
        assert_eq!(anything, [""; 0], "{line}");
    }
}

#[test]
fn what_a_trial_prints_has_its_form() {
    let run = trial(true);
    assert_eq!(run.code, 0, "{}", run.err);
    let trial: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(loose("trial", &trial), [[""; 0]; 2]);
}

#[test]
fn messages_of_a_panel_have_their_form() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let mut hall = Hall::begin(&desk, "--room room.toml");
    let (wall, pass) = (hall.enter("wall"), hall.enter("panel"));
    let _wall = Wall::open(&hall, &wall);
    let mut panel = Panel::open(&hall, &pass, "one");
    let begins = json!({ "state": panel.state });
    panel.wish(
        &hall,
        &json!({ "do": "start", "eye": "right", "manifest": "-1.00", "for": "room", "acuity": "20/20",
        "kind": "pseudophakic", "procedure": "from-plus" }),
    );
    panel.ready();
    let asks = json!({ "state": panel.state });
    for state in [&begins, &asks] {
        let [left_out, anything] = loose("to-panel", state);
        assert!(left_out.is_empty() || left_out == ["state.wall.shown"], "{left_out:?}");
        // What a choice carries is the wish's own.
        assert!(anything.iter().all(|name| name == "state.choices[].with[]"), "{anything:?}");
    }
    // A message without its step is none, nor is one that says more than is understood.
    let wish = json!({ "do": "answer", "answer": "left", "of": 3 });
    assert_eq!(loose("from-panel", &wish), [[""; 0]; 2]);
    let mut more = wish;
    more["more"] = json!(1);
    assert!(!form("from-panel").is_valid(&more));
    fits("from-panel", &json!({ "hello": "one" }));
    fits("from-panel", &json!({ "do": "code" }));
    fits("from-panel", &json!({ "do": "card", "px": 300, "of": 3 }));
}

#[test]
fn a_form_that_is_none_is_refused_with_those_there_are() {
    let run = Desk::new().run("schema roam");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(run.err.contains("roam") && run.err.contains("room"), "{}", run.err);
}
