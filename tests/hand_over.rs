//! An examination as other programs take it: a line to paste, rows, FHIR, a page that carries its record.
//!
//! The two files beside `data/handed-over.jsonl` are what this program made of it, held to the byte so that no change goes unseen. The
//! FHIR was found valid by an independent library (fhir.resources 8.3.0, its models of release 4B, in which these resources are those
//! of release 4) on 2026-11-27, with nothing lost on the way through; a changed file must be validated anew. The table was opened by
//! `LibreOffice` Calc 7.4: every number was a number, no text was a formula or a date but the one day.

use std::fs;
use std::process::Command;

use serde_json::Value;

use crate::common::{Desk, asked};

const RECORD: &str = include_str!("data/handed-over.jsonl");
const FHIR: &str = include_str!("data/handed-over.fhir.json");
const ROWS: &str = include_str!("data/handed-over.csv");

/// A desk with the record.
fn desk() -> Desk {
    let desk = Desk::new();
    desk.write("kept.jsonl", RECORD);
    desk
}

fn says(desk: &Desk, words: &[&str]) -> String {
    let run = desk.run_words(words);
    assert_eq!(run.code, 0, "{words:?}: {}", run.err);
    run.out
}

/// To the byte; the first line that differs is shown.
fn is_the_same(made: &str, kept: &str) {
    let differs = made.lines().zip(kept.lines()).find(|(one, other)| one != other);
    assert!(made == kept, "{differs:?}");
}

fn refuses(desk: &Desk, words: &[&str], why: &str) {
    let run = desk.run_words(words);
    assert!(run.code == 2 && run.err.contains(why), "{words:?}: {} {}", run.code, run.err);
}

#[test]
fn lines_of_what_is_not_finished_say_so() {
    let desk = desk();
    let lines = |kept: usize| {
        let events: String = RECORD.lines().take(kept).map(|line| format!("{line}\n")).collect();
        desk.write("kept.jsonl", events);
        let said = says(&desk, &["balance", "--show", "kept.jsonl"]);
        said.split("To paste:\n").nth(1).map(|pasted| pasted.lines().take(2).collect::<Vec<_>>().join("\n"))
    };
    // Before the first eye's lens is chosen, and after it.
    assert_eq!(lines(8), None);
    let pasted = lines(9).unwrap();
    assert!(
        pasted.starts_with("R -2.50") && pasted.ends_with("\nThis examination is not finished."),
        "{pasted}"
    );
    assert!(!lines(RECORD.lines().count()).unwrap().contains("not finished"));
}

/// Put together by hand from the record: the chosen lenses −2.50 and −5.75, half a dioptre and a quarter with both eyes open, through
/// which neither eye read by itself; intervals −2.58 to −2.03 and −5.59 to −5.17, whose middles are −2.305 and −5.38; −2.00 − 0.75/2 is −2.375, and −2.50 was meant.
#[test]
fn a_line_an_eye_can_be_pasted_without_losing_a_sign() {
    let desk = desk();
    let show = ["balance", "--show", "kept.jsonl"];
    let lines = |more: &[&str]| {
        let said = says(&desk, &[&show[..], more].concat());
        let pasted = said.split("To paste:\n").nth(1).unwrap().to_owned();
        pasted.lines().take(3).map(str::to_owned).collect::<Vec<_>>()
    };
    let [right, left, both] = [
        "R -2.00/-0.75×175 for far at 12 mm · in glasses at 14 mm -2.01/-0.76×175 · red-green at 3 m, adaptive, balance -2.30 ±0.3 D · +0.58 D against the manifest (with both eyes open +0.50 D) · as intended",
        "L -5.50/+1.50×95 for far at 12 mm · red-green at 3 m, from-plus, balance -5.38 ±0.2 D · -0.25 D against the first manifest (with both eyes open +0.25 D)",
        "both 6/5 · add +1.25 at 50 cm 20/25",
    ];
    assert_eq!(lines(&[]), [right, left, both]);
    let [_, left, both] = lines(&["--cylinders", "minus", "--notation", "6"]).try_into().unwrap();
    assert!(left.starts_with("L -4.00/-1.50×5 for far at 12 mm · "), "{left}");
    assert_eq!(both, "both 6/5 · add +1.25 at 50 cm 6/7.5");
    // A program that knows Latin-1 and nothing else keeps every character.
    for line in lines(&[]).iter().chain(&lines(&["--cylinders", "plus"])) {
        assert!(line.chars().all(|letter| u32::from(letter) < 256), "{line}");
    }
}

/// No acuity stands beside a lens through which nobody read it: the manifest of a rechecked cylinder, which white keeps.
#[test]
fn an_acuity_stands_beside_the_lens_that_it_was_read_through() {
    const EYE: &str = "balance --eye right --manifest -1.00/-0.50x90 --for room --acuity 20/20 --kind pseudophakic --procedure customary --record k.jsonl";
    for (second, pasted) in [
        // −2.06 for far is nearest to −2.00, and −1.81 to −1.75.
        ("--white 20/20", "R -2.00/-0.75×85 for far 20/20 ·"),
        ("--white 20/32", "R -1.75/-0.75×85 for far ·"),
    ] {
        let desk = Desk::new();
        let says = |words: &str| {
            let done = desk.run(words);
            assert_eq!(done.code, 0, "{}", done.err);
            done.out
        };
        says(&format!("{EYE} --answers red,red,same,same --white 20/20"));
        says("balance --record k.jsonl --resume --cylinder -0.75x85");
        let said = says(&format!(
            "balance --record k.jsonl --resume --answers red,same,same {second} --choose far-quarter --one-eye"
        ));
        assert!(said.contains(pasted), "{pasted}: {said}");
        assert!(said.contains("against the first manifest"), "{said}");
    }
}

/// The adaptive way asks with red on the left, the right, the right, the left and the right: these answers are always the left side.
#[test]
fn a_line_says_that_answers_follow_a_side_and_that_nothing_was_decided() {
    const EYE: &str =
        "--eye right --manifest=-1.00 --for room --acuity 20/20 --kind presbyopic --one-eye --record k.jsonl";
    for (asked, told, left_out) in [
        (
            "--answers red,green,green,red,green --white 20/20 --choose far-quarter",
            "adaptive, answers all to one side · +0.31 D against the manifest",
            "±",
        ),
        (
            "--answers red,green,green,green,red --white 20/20 --choose far-quarter",
            "adaptive, balance ",
            "one side",
        ),
        (
            "--procedure customary --answers red,red,red,red,red,red,red,red,red --choose manifest",
            "R -1.00 for 3.2 m 20/20 · red-green at 3.2 m, customary, not decided · no change",
            "±",
        ),
    ] {
        let desk = Desk::new();
        let run = desk.run(&format!("balance {EYE} {asked}"));
        assert_eq!(run.code, 0, "{asked}: {}", run.err);
        let said = says(&desk, &["balance", "--show", "k.jsonl"]);
        let line = said.split("To paste:\n").nth(1).unwrap().lines().next().unwrap();
        assert!(line.contains(told) && !line.contains(left_out), "{asked}: {line}");
    }
}

#[test]
fn fhir_is_the_file_that_was_validated() {
    let desk = desk();
    says(&desk, &["balance", "--show", "kept.jsonl", "--notation", "6", "--out", "kept.fhir.json"]);
    is_the_same(&fs::read_to_string(desk.path("kept.fhir.json")).unwrap(), FHIR);
}

/// What release 4 asks of these resources, by its definitions (hl7.org/fhir/R4, read in part): elements that must be there, a whole
/// number for an axis, nothing that a collection may not have.
#[test]
fn fhir_has_what_release_4_requires() {
    let bundle: Value = serde_json::from_str(FHIR).unwrap();
    assert_eq!((&bundle["resourceType"], &bundle["type"]), (&"Bundle".into(), &"collection".into()));
    let entries = bundle["entry"].as_array().unwrap();
    let mut addresses: Vec<&str> = entries.iter().map(|entry| entry["fullUrl"].as_str().unwrap()).collect();
    assert!(addresses.iter().all(|address| address.starts_with("urn:uuid:") && address.len() == 45));
    addresses.sort_unstable();
    addresses.dedup();
    assert_eq!(addresses.len(), entries.len(), "each its own");
    let (mut observations, mut prescriptions) = (0, 0);
    for resource in entries.iter().map(|entry| &entry["resource"]) {
        match resource["resourceType"].as_str().unwrap() {
            "Observation" => {
                observations += 1;
                assert_eq!(resource["status"], "final");
                assert!(
                    resource["code"]["text"].is_string()
                        && resource["bodySite"]["coding"][0]["code"].is_string()
                );
                assert!(resource["subject"].is_object() && resource["effectiveDateTime"].is_string());
            }
            "VisionPrescription" => {
                prescriptions += 1;
                assert_eq!(resource["status"], "draft", "nobody signed it");
                for required in ["created", "patient", "dateWritten", "prescriber"] {
                    assert!(!resource[required].is_null(), "{required}");
                }
                for lens in resource["lensSpecification"].as_array().unwrap() {
                    assert_eq!(lens["product"]["coding"][0]["code"], "lens");
                    assert!(["right", "left"].contains(&lens["eye"].as_str().unwrap()));
                    assert!(lens["sphere"].is_number() && lens["axis"].is_u64());
                }
            }
            other => panic!("{other}"),
        }
    }
    assert_eq!((observations, prescriptions), (12, 1));
}

#[test]
fn fhir_names_a_patient_only_as_a_reference_and_one_examination_a_file() {
    let desk = desk();
    let out = ["balance", "--show", "kept.jsonl", "--out", "kept.fhir.json"];
    for other in ["Ann Other", "Practitioner/example-1", "example-1", "Patient/", "Patient/a b"] {
        refuses(&desk, &[&out[..], &["--patient", other]].concat(), "is no reference to a patient");
    }
    refuses(
        &desk,
        &["balance", "--show", "kept.jsonl", "--out", "kept.csv", "--patient", "Patient/example-1"],
        "is for a file that ends in .fhir.json",
    );
    assert!(!desk.path("kept.fhir.json").exists() && !desk.path("kept.csv").exists(), "nothing written");
    says(&desk, &[&out[..], &["--patient", "Patient/example-1"]].concat());
    let bundle: Value = serde_json::from_slice(&fs::read(desk.path("kept.fhir.json")).unwrap()).unwrap();
    for resource in bundle["entry"].as_array().unwrap().iter().map(|entry| &entry["resource"]) {
        let patient = if resource["subject"].is_null() { &resource["patient"] } else { &resource["subject"] };
        assert_eq!(patient["reference"], "Patient/example-1");
    }
    // A record with two of them, and one that was changed.
    let other = RECORD.replace("20261127-145611-ace1", "20261127-145611-ace2");
    desk.write("two.jsonl", format!("{RECORD}{other}"));
    refuses(&desk, &["balance", "--show", "two.jsonl", "--out", "two.fhir.json"], "name one with --only ID");
    desk.write("changed.jsonl", RECORD.replace("\"white\":\"20/16\"", "\"white\":\"20/12\""));
    refuses(&desk, &["balance", "--show", "changed.jsonl", "--out", "changed.fhir.json"], "not handed over");
}

#[test]
fn a_row_an_eye_is_safe_in_a_spreadsheet() {
    let desk = desk();
    says(
        &desk,
        &["balance", "--show", "kept.jsonl", "--notation", "6", "--rows", "eyes", "--out", "kept.csv"],
    );
    let table = fs::read_to_string(desk.path("kept.csv")).unwrap();
    is_the_same(&table, ROWS);
    assert!(table.starts_with('\u{feff}') && table.lines().count() == 3, "two eyes under their heads");
    // The label of the record is a formula, and 6/6 a day in June.
    assert!(table.contains(",'=drawer 3,") && table.contains(",VA 6/6,") && !table.contains(",6/6,"));
    // A sign of a number is ASCII, so that it is one.
    assert!(table.contains(",-2.2500,") && !table.contains(",\u{2212}"));
}

/// qpdf takes the record out as it was; the program reads it back from the page.
#[test]
fn the_page_carries_its_record() {
    let desk = desk();
    says(&desk, &["balance", "--show", "kept.jsonl", "--out", "page.pdf"]);
    if let Some(list) = asked(&desk, "qpdf", &["--list-attachments", "--verbose", "page.pdf"]) {
        assert!(list.contains("record.jsonl") && list.contains("mime type: application/x-ndjson"), "{list}");
        assert_eq!(asked(&desk, "qpdf", &["--show-attachment=record.jsonl", "page.pdf"]).unwrap(), RECORD);
        asked(&desk, "qpdf", &["--check", "page.pdf"]);
        let json = asked(&desk, "qpdf", &["--json", "page.pdf"]).unwrap();
        assert!(json.contains("\"/AFRelationship\": \"/Data\"") && json.contains("\"/AF\""));
    }
    let told = |file: &str| says(&desk, &["balance", "--show", file, "--json"]);
    assert_eq!(told("page.pdf"), told("kept.jsonl"));
}

#[test]
fn a_page_without_a_record_or_a_broken_one_is_refused_in_a_sentence() {
    let desk = desk();
    says(&desk, &["near", "--out", "near.pdf"]);
    refuses(&desk, &["balance", "--show", "near.pdf"], "carries no record");
    // Another file within it is none.
    let other = ["near.pdf", "--add-attachment", "kept.jsonl", "--filename=list.txt", "--", "other.pdf"];
    if asked(&desk, "qpdf", &other).is_some() {
        refuses(&desk, &["balance", "--show", "other.pdf"], "carries no record");
    }
    desk.write("text.pdf", "a shopping list");
    refuses(&desk, &["balance", "--show", "text.pdf"], "not a whole PDF");
    says(&desk, &["balance", "--show", "kept.jsonl", "--out", "page.pdf"]);
    let page = fs::read(desk.path("page.pdf")).unwrap();
    // Cut anywhere it is read, or refused; nothing stops with a panic.
    for cut in (0..page.len()).step_by(page.len() / 16) {
        desk.write("cut.pdf", &page[..cut]);
        let run = desk.run("balance --show cut.pdf");
        assert!(run.code <= 2 && !run.err.contains("panicked"), "{cut}: {}", run.err);
    }
}

/// Local time with its offset, as the machine's zone has it.
#[test]
fn records_keep_local_time_with_its_offset() {
    let desk = Desk::new();
    let words = [
        "balance",
        "--eye",
        "right",
        "--manifest",
        "-1.00",
        "--for",
        "room",
        "--acuity",
        "20/20",
        "--kind",
        "presbyopic",
        "--answers",
        "--record",
        "kept.jsonl",
    ];
    let output = Command::new(env!("CARGO_BIN_EXE_evenfield"))
        .args(words)
        .current_dir(desk.path(""))
        .env("TZ", "<+0545>-05:45")
        .output()
        .unwrap();
    assert!(output.status.success());
    let record = fs::read_to_string(desk.path("kept.jsonl")).unwrap();
    let line: Value = serde_json::from_str(record.lines().next().unwrap()).unwrap();
    let at = line["at"].as_str().unwrap();
    assert!(at.ends_with("+05:45") && at.len() == "2026-03-31T09:30:00+05:45".len(), "{at}");
}
