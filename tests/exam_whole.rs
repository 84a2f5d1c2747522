//! A whole refraction in the exam room, from the retinoscope's figures to what is handed over.

use serde_json::{Value, json};

use crate::common::hall::Hall;
use crate::common::windows::{READABLE, ROOM, SCREEN, begun, fill, panel, stage, tap, wall};
use crate::exam::{Eye, Fields, Hand, SURE, Walk};

/// All that comes after the retinoscope, on the panel: two eyes that accommodate, one of them with a cylinder that the balance brings
/// into doubt, both open, near, and what is handed over.
#[test]
fn a_whole_refraction_ends_in_what_is_handed_over() {
    let (desk, mut hall) = begun(ROOM, "--record r.jsonl");
    let Some(wall) = wall(&mut hall, SCREEN) else { return };
    let Some(first) = panel(&mut hall, [390, 844]) else { return };
    let Some(second) = panel(&mut hall, [1024, 768]) else { return };
    let mut walk = Walk {
        desk: &desk,
        wall,
        panel: first,
        second,
        hand: Hand::Touch,
        name: "whole",
        seen: Vec::new(),
        undo: Vec::new(),
        shots: 0,
    };
    let right: Fields = &[
        ("manifest", "OD -2.00 -0.50 x 90"),
        ("for", "room"),
        ("acuity", "6/6"),
        ("kind", "accommodating"),
        ("examiner", "EV"),
        ("instrument", "trial frame"),
    ];
    let left: Fields =
        &[("manifest", "-1.00"), ("for", "room"), ("acuity", "6/6"), ("kind", "accommodating")];
    // The right eye is asked to −1.50 once, and then with another cylinder from there.
    fill(&walk.panel, right);
    let far = Eye { balance_d: -1.5, within_d: 0.1, ..SURE };
    while stage(&walk.panel) == "ask" {
        walk.ask(&far, false);
    }
    walk.keep("recheck");
    assert!(walk.text("said").contains("The sphere moved by 0.50 D"), "{}", walk.text("said"));
    walk.panel.click("[data-do=aside][data-value=cylinder]");
    walk.panel.wait_for("return document.querySelector('#form [name=cylinder]') !== null");
    walk.keep("cylinder");
    walk.panel.type_in("#form [name=cylinder]", "-1.00x85");
    tap(&walk.panel, "#form [data-do=cylinder]");
    // −1.50/−0.50 has its equivalent at −1.75, and so has −1.25/−1.00.
    let rechecked = Eye { balance_d: -1.25, ..far };
    let nothing: Fields = &[];
    walk.go_on(1, &[(rechecked, nothing), (Eye { balance_d: -1.0, ..far }, left)]);
    near(&mut walk);
    handed_over(&walk, &mut hall);
    // The panel's own way there.
    walk.panel.click("#record-page");
    walk.panel.wait_for("return document.querySelector('.paste') !== null");
    assert_eq!(walk.panel.script(READABLE), json!([]));
    walk.panel.keep("whole-record");
    assert_eq!([walk.panel.console(), walk.wall.console()].concat(), Vec::<String>::new());
}

/// The near add, from its form.
fn near(walk: &mut Walk<'_>) {
    walk.keep("before-near");
    walk.panel.click("[data-do=aside][data-value=near]");
    walk.panel.wait_for("return document.querySelector('#form [name=near-distance]') !== null");
    walk.keep("near");
    for (name, value) in
        [("near-distance", "40"), ("add", "2.25"), ("near-acuity", "6/7.5"), ("clear", "33, 50")]
    {
        walk.panel.type_in(&format!("#form [name={name}]"), value);
    }
    // An add without its sign is refused where it stands.
    walk.panel.click("#form [data-do=near]");
    walk.panel.wait_for("return document.querySelector('.field .wrong') !== null");
    walk.keep("near-refused");
    walk.panel.script("document.querySelector('#form [name=add]').value = ''");
    walk.panel.type_in("#form [name=add]", "+2.25");
    tap(&walk.panel, "#form [data-do=near]");
    walk.keep("whole-closed");
    let said = walk.text("said").replace("\u{a0}", " ");
    assert!(said.contains("Near add +2.25") && said.contains("middle in dioptres at 40"), "{said}");
    assert!(said.contains("Right eye: −1.50 / −1.00 × 85") && said.contains("Left eye: −1.50"), "{said}");
}

/// What the record came to, and what its pages hand over.
fn handed_over(walk: &Walk<'_>, hall: &mut Hall) {
    let shown = walk.desk.run("balance --show r.jsonl --json");
    let shown: Value = serde_json::from_str(&shown.out).unwrap();
    let eyes = shown[0]["eyes"].as_array().unwrap();
    let run = |place: usize| (&eyes[place]["start"]["eye"], &eyes[place]["left_in_d"]);
    assert_eq!(run(0), (&"right".into(), &json!(-1.5)));
    assert_eq!(run(1), (&"right".into(), &json!(-1.25)));
    assert_eq!(run(2), (&"left".into(), &json!(-1.0)));
    assert_eq!(eyes[1]["start"]["manifest"]["cylinder"]["power_d"], -1.0);
    assert_eq!(shown[0]["both"]["compared"], json!(["right", "same"]));
    assert_eq!(shown[0]["near"][0]["add_d"], 2.25);
    let id = shown[0]["examination"].as_str().unwrap().to_owned();
    let pass = hall.enter("panel");
    let get = |ending: &str| hall.get(&format!("/records/{id}{ending}"), Some(&pass));
    let page = get("");
    // By hand: −1.25 and −1.00 at 3 m are −1.50 and −1.25 far away to the nearest quarter; a click to the right eye by comparing, none to
    // both by the sphere, a click off both by the frame.
    let page = page.as_str().unwrap();
    assert!(page.contains("R -1.50/-1.00×85 ") && page.contains("L -1.50 "), "{page}");
    assert!(page.contains("add +2.25 at 40 cm 6/7.5"), "the examiner writes acuities so: {page}");
    assert!(get(".pdf").as_bytes().starts_with(b"%PDF-"));
    assert_eq!(get(".csv").as_str().unwrap().lines().count(), 3);
    let fhir: Value = serde_json::from_slice(get(".fhir.json").as_bytes()).unwrap();
    let last = fhir["entry"].as_array().unwrap().last().unwrap();
    assert_eq!(last["resource"]["resourceType"], "VisionPrescription");
    assert_eq!(last["resource"]["lensSpecification"][0]["sphere"], -1.5);
}
