//! An examination practised with a simulated patient, in real browsers.

use serde_json::json;

use crate::common::Desk;
use crate::common::browser::Browser;
use crate::common::windows::{READABLE, begun, coarse, fill, panel, stage, tap, wall};

fn said(panel: &Browser) -> String {
    panel.script("return document.getElementById('stand-in').innerText").as_str().unwrap().into()
}

/// Taps whatever the simulated patient says, to the end of one eye; gives what was said at each stage.
fn practised(panel: &Browser, fields: &[(&str, &str)]) -> Vec<(String, String)> {
    let mut all = Vec::new();
    loop {
        let stage = stage(panel);
        // Nobody answers before the wall shows what was asked.
        if ["ask", "limit", "white"].contains(&stage.as_str()) {
            panel.wait_for("return !document.getElementById('stand-in').hidden");
        }
        let said = said(panel);
        assert_eq!(panel.script(READABLE), json!([]), "{stage}");
        panel.keep(&format!("practised-{:02}-{stage}", all.len()));
        all.push((stage.clone(), said.clone()));
        let words = said.split("says: ").nth(1).unwrap_or_default();
        match stage.as_str() {
            "start" => fill(panel, fields),
            "ask" => {
                let place = panel.script(&format!(
                    "return [...document.querySelectorAll('#answers b')].findIndex((b) => b.textContent === {words:?}) + 1"
                ));
                tap(panel, &format!("#answers button:nth-of-type({place})"));
            }
            "limit" => tap(panel, &format!("[data-do=legible][data-value={}]", words.to_lowercase())),
            "white" if words.contains("all") => {
                // Below the acuity before, 20/20, smaller letters come next, and look so.
                let next = panel.script("return [document.getElementById('white').classList.contains('goes-on'), document.querySelector('#scores dd').innerText]");
                assert_eq!(next[0], next[1] == "20/25", "{next}");
                tap(panel, "[data-do=smaller]");
            }
            "white" => {
                for place in 0..5 {
                    panel.click(&format!("[data-do=missed][data-value=\"{place}\"]"));
                    panel.wait_for(&format!(
                        "return document.querySelector('[data-value=\"{place}\"]').getAttribute('aria-pressed') === 'true'"
                    ));
                }
                tap(panel, "[data-do=take-white]");
            }
            "choose"
                if panel.script("return document.querySelector('[data-do=also-midpoint]') !== null")
                    == true =>
            {
                tap(panel, "[data-do=also-midpoint]");
            }
            "choose" => tap(panel, "[data-value=far-quarter]"),
            "left_eye" => tap(panel, "[data-do=one-eye]"),
            "binocular" => tap(panel, "[data-do=binocular][data-value=false]"),
            "closed" => return all,
            other => panic!("no such stage: {other}"),
        }
    }
}

#[test]
fn whoever_taps_what_the_patient_says_learns_at_the_end_where_balance_lay() {
    let (desk, mut hall) = begun(&coarse(false), "--practise 7");
    let Some(_wall) = wall(&mut hall, [1280, 720]) else { return };
    let Some(panel) = panel(&mut hall, [390, 844]) else { return };
    let fields = [
        ("eye", "right"),
        ("manifest", "-1.00/-0.50x90"),
        ("for", "room"),
        ("acuity", "20/20"),
        ("kind", "small-aperture"),
    ];
    let all = practised(&panel, &fields);
    let at = |name: &'static str| all.iter().filter(move |(stage, _)| stage == name);
    assert!(at("ask").count() >= 3 && at("limit").count() >= 6, "{all:?}");
    assert!(
        at("choose").all(|(_, said)| said.is_empty()),
        "nothing tells before something is chosen: {all:?}"
    );
    assert_eq!(at("white").filter(|(_, said)| said.ends_with("I can read none of it")).count(), 1, "{all:?}");
    let verdict = &at("left_eye").next().unwrap().1;
    for words in ["Simulated patient 1: Balance lay at ", "\u{a0}D too ", " a click. The interval "] {
        assert!(verdict.contains(words), "{verdict}");
    }
    tap(&panel, "[data-do=another]");
    assert!(said(&panel).contains("Simulated patient 2: "), "{}", said(&panel));
    // Nothing was kept but the room.
    let files: Vec<_> = desk.path(".").read_dir().unwrap().map(|file| file.unwrap().file_name()).collect();
    assert_eq!(files, ["room.toml"]);
    assert_eq!(panel.console(), Vec::<String>::new());
}

#[test]
fn a_record_never_has_simulated_patients() {
    let desk = Desk::new();
    let run = desk.run("exam --practise 7 --record r.jsonl");
    assert_eq!((run.code, run.err.contains("--record")), (2, true), "{}", run.err);
    assert!(!desk.path("r.jsonl").exists());
}
