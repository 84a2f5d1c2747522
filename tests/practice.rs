//! The page to practise on in a real browser, walked as a learner would, and held against the balance in Rust.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod common;

use std::sync::OnceLock;
use std::time::Duration;

use common::Desk;
use common::browser::Browser;
use evenfield::balance::{Answer, End, Run, Step};
use evenfield::room::Room;
use evenfield::web::practice::{Level, Practice};
use serde_json::{Value, json};

/// A little over the time in which sides and pictures may change once.
const CALM: Duration = Duration::from_millis(720);

const TABLET: ([u32; 2], f64) = ([2048, 1536], 2.0);
const DESKTOP: ([u32; 2], f64) = ([1920, 1080], 1.0);

/// The demo room's levels, made once for all tests, since their pictures take some seconds.
fn practice() -> &'static Practice {
    static MADE: OnceLock<Practice> = OnceLock::new();
    MADE.get_or_init(|| Practice::new(&Room::demo(), 1).unwrap())
}

/// A browser with the page open.
fn open(desk: &Desk, (pixels, ratio): ([u32; 2], f64), hash: &str) -> Option<Browser> {
    let page = desk.write("practice.html", practice().page());
    let browser = Browser::open(pixels, ratio)?;
    browser.go(&page, hash);
    std::thread::sleep(CALM);
    Some(browser)
}

fn text(browser: &Browser, id: &str) -> String {
    browser.script(&format!("return document.getElementById('{id}').innerText")).as_str().unwrap().into()
}

/// What the rule wants next on the page: lens, reason, fog; or the end.
fn wanted(browser: &Browser) -> Value {
    browser.script("return heldAgainst(level(), state.asked).want")
}

/// Whether keys or the pointer do it.
#[derive(Clone, Copy, PartialEq)]
enum Hand {
    Keys,
    Pointer,
}

fn does(browser: &Browser, hand: Hand, key: &str) {
    match hand {
        Hand::Keys => browser.press(key),
        Hand::Pointer => browser.click(&format!("main [data-key=\"{key}\"]")),
    }
}

/// Goes by the rule to its end, then finishes as it does.
fn follow(browser: &Browser, hand: Hand) {
    let mut clicks = 0;
    loop {
        let want = wanted(browser);
        if let Some(end) = want.get("end") {
            std::thread::sleep(CALM);
            does(browser, hand, if end["clicks"].is_null() { "u" } else { "d" });
            // A middle may lie at another lens than the last one asked.
            return;
        }
        let to = want["clicks"].as_i64().unwrap();
        while clicks != to {
            does(browser, hand, if to > clicks { "ArrowUp" } else { "ArrowDown" });
            clicks += (to - clicks).signum();
        }
        if want["why"] == 8 {
            std::thread::sleep(CALM);
            does(browser, hand, "s");
        }
        if want["why"] == 7 {
            does(browser, hand, "l");
        }
        if want["throughPlus"] == true {
            does(browser, hand, "f");
        }
        does(browser, hand, "Enter");
    }
}

#[test]
fn look() {
    let desk = Desk::new();
    for (name, screen) in [("tablet", TABLET), ("desktop", DESKTOP)] {
        for level in Level::ALL {
            let Some(browser) = open(&desk, screen, &format!("#patient=7&level={}", level.name())) else {
                return;
            };
            browser.keep(&format!("{name}-{}-1", level.name()));
            browser.press("v");
            std::thread::sleep(CALM);
            browser.press("ArrowUp");
            browser.press("Enter");
            browser.press("h");
            browser.keep(&format!("{name}-{}-2", level.name()));
            browser.press("r");
            follow(&browser, Hand::Keys);
            std::thread::sleep(CALM);
            browser.keep(&format!("{name}-{}-3", level.name()));
            println!("{:?} {:?}", text(&browser, "verdict"), browser.console());
        }
    }
}
