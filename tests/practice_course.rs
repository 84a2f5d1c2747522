//! The course of the page to practise on: hints that fade, levels that are passed, codes, the sheet that is printed.

use crate::common::browser::Browser;
use crate::common::{Desk, Png, asked};
use crate::practice::{CALM, DESKTOP, Hand, fits, follow, keep, open, text};
use evenfield::balance::{ColourVision, words};
use evenfield::room::Room;
use evenfield::web::practice::{Class, Guide, Level, Practice};
use serde_json::json;

#[test]
fn hints_fade_from_level_to_level() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "") else { return };
    for (place, level) in Level::ALL.into_iter().enumerate() {
        browser.go(&desk.path("practice.html"), &format!("#patient=3&level={}", level.name()));
        let first = text(&browser, "hint");
        let offered = browser.script("return !document.getElementById('help-me').hidden");
        browser.press("h");
        let (asked, counted) = (text(&browser, "hint"), browser.script("return state.hints"));
        let next = |words: &str| words.contains("Lens ");
        let found = (next(&first), offered == true, next(&asked), counted.as_u64().unwrap());
        let fades = match level.guide() {
            Guide::Told => (true, false, true, 0),
            Guide::Asked => (false, true, true, 1),
            Guide::After => (false, false, false, 0),
        };
        assert_eq!(found, fades, "{}: {first} {asked}", level.name());
        let brief = text(&browser, "brief");
        assert!(brief.contains(level.teaches()) && brief.contains(level.guide().words()), "{brief}");
        assert_eq!(browser.script("return state.level"), place);
    }
    // It is told again with every answer, and in a word how it was.
    browser.go(&desk.path("practice.html"), "#patient=3&level=plus");
    let first = text(&browser, "hint");
    browser.press("Enter");
    assert_ne!(text(&browser, "hint"), first);
    browser.pass(CALM);
    browser.press("d");
    assert!(text(&browser, "figures").contains("told before each"));
}

#[test]
fn sides_are_named_and_the_result_has_the_colours() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "#patient=8&level=sides") else { return };
    browser.press("Enter");
    let said = |browser: &Browser| text(browser, "answer");
    // By hand: this patient's first answer is green, which lies on the right.
    assert_eq!(browser.script("return practice.short[state.asked[0].answer]"), "green");
    assert_eq!(said(&browser), format!("“{}”", words::on_side(evenfield::light::Side::Right)));
    assert!(text(&browser, "log").contains("right") && !text(&browser, "log").contains("green"));
    browser.press("d");
    let walked = text(&browser, "walked");
    assert!(walked.contains("right: green"), "{walked}");
    browser.press("?");
    assert!(text(&browser, "help").contains(words::question(ColourVision::OtherDefect)));
}

#[test]
fn a_passed_level_is_kept_and_its_code_is_read_by_the_class_alone() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "#patient=1&level=clear") else { return };
    follow(&browser, Hand::Keys);
    assert_eq!(text(&browser, "counted"), "1 of 2 patients in a row that pass this level.");
    // The same patient again is practice.
    browser.pass(CALM);
    browser.press("a");
    follow(&browser, Hand::Keys);
    assert_eq!(
        text(&browser, "counted"),
        "This patient was counted before, so nothing of this run adds to the score."
    );
    browser.pass(CALM);
    browser.press("Enter");
    follow(&browser, Hand::Keys);
    assert_eq!(text(&browser, "counted"), "With this patient the level is passed.");
    browser.reload();
    browser.click("#where");
    keep(&browser, "levels-1");
    fits(&browser, "levels");
    let list = text(&browser, "levels");
    for level in Level::ALL {
        for needed in [level.title(), level.teaches(), &level.passed_when()] {
            assert!(list.contains(needed), "{needed}: {list}");
        }
    }
    let rows =
        browser.script("return [...document.querySelectorAll('#levels li')].map((one) => one.className)");
    assert_eq!(rows, json!(["passed", "next", "", "", "", "", "", "", ""]));
    let score = text(&browser, "score");
    assert!(
        score.starts_with("1 of 9 levels passed: clear answers. 2 patients finished, 2 by the rule; 100"),
        "{score}"
    );
    let code = text(&browser, "code");
    assert!(text(&browser, "code-says").contains("can be forged"));
    browser.type_in("#typed", &code.to_lowercase());
    assert_eq!(text(&browser, "read"), format!("This code belongs to class 1. {score}"));
    let read = |typed: &str| {
        browser.script(&format!(
            "typedField.value = '{typed}'; typedField.dispatchEvent(new Event('input')); return document.getElementById('read').innerText"
        ))
    };
    let (first, rest) = code.split_at(1);
    let slip = if first == "A" { "C" } else { "A" };
    assert!(read(&format!("{slip}{rest}")).as_str().unwrap().starts_with("A typing error"));
    assert!(read("O").as_str().unwrap().contains("“O”"));
    // Another class has another key.
    let other = serde_json::to_value(
        Practice::new(&Room::demo(), &Class { seed: 1, word: Some("autumn".into()) }).unwrap(),
    )
    .unwrap();
    browser.script(&format!("practice.code.key = {}", other["code"]["key"]));
    assert!(read(&code).as_str().unwrap().contains("does not belong to class 1"));
    browser.click("#forget");
    assert!(text(&browser, "score").starts_with("0 of 9 levels passed. 0 patients"));
    browser.reload();
    assert_eq!(browser.script("return suggested(practice, state.progress)"), 0);
}

#[test]
fn a_result_is_printed_black_on_white_on_one_page() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "#patient=7&level=midpoint") else { return };
    follow(&browser, Hand::Keys);
    let code = browser.script("return written(practice.code, scoreOf(practice, state.progress))");
    for (name, [width, height]) in [("a4", [8.27, 11.69]), ("letter", [8.5, 11.0])] {
        let file = format!("{name}.pdf");
        browser.print(&desk.path(&file), [width, height]);
        let Some(facts) = asked(&desk, "pdfinfo", &[&file]) else { return };
        assert!(facts.lines().any(|line| line.split_whitespace().eq(["Pages:", "1"])), "{name}: {facts}");
        let words = asked(&desk, "pdftotext", &["-layout", &file, "-"]).unwrap();
        let plain = words.split_whitespace().collect::<Vec<_>>().join(" ");
        for needed in [
            "Name",
            "Midpoint on white, patient 7",
            "The rule’s lens.",
            "none taken",
            "by the rule",
            "1, Quillhaven",
            code.as_str().unwrap(),
            "can be forged",
            words::SUPERVISION,
            words::NOT_APPROVED,
        ] {
            assert!(plain.contains(needed), "{needed}: {plain}");
        }
        let questions = browser.script("return state.asked.length").as_u64().unwrap();
        assert_eq!(plain.matches("by the rule ").count() as u64, questions, "a verdict each: {plain}");
        assert!(asked(&desk, "pdftoppm", &["-r", "40", "-png", "-singlefile", &file, name]).is_some());
        let picture = Png::read_bare(&desk.path(&format!("{name}.png")));
        let white = picture.pixels().filter(|pixel| pixel.0.iter().all(|code| *code > 250)).count();
        assert!(white * 10 > 8 * picture.pixels().len(), "{name} is dark");
        assert!(
            picture.pixels().all(|pixel| pixel.0.iter().max().unwrap() - pixel.0.iter().min().unwrap() < 8)
        );
    }
}
