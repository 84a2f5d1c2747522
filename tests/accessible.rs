//! Every page in a real browser, held against the rules of axe-core: WCAG 2.2 A and AA, and best practice.

use std::path::Path;

use crate::common::bare;
use crate::common::browser::Browser;
use crate::common::hall::Hall;
use crate::common::windows::{ROOM, begun, coarse, enter, fill, panel, stage, tap, wall};
use crate::common::{Desk, skip};
use evenfield::room::Room;
use evenfield::web::practice::{Class, Practice};
use serde_json::{Value, json};

const PHONE: [u32; 2] = [390, 844];

const WINDOW: [u32; 2] = [1280, 800];

/// Where npm puts the rules, by the version that `tests/web/package.json` names.
const RULES: &str = ".node/node_modules/axe-core/axe.min.js";

/// All rules that are not experimental. That of the size of targets is off unless it is asked for, as new in WCAG 2.2.
const RUN: &str = "
    return axe.run(document, { rules: { 'target-size': { enabled: true } } }).then(({ violations, passes }) => ({
        held: passes.length,
        broken: violations.flatMap(({ id, help, nodes }) => nodes.map((node) => `${id}: ${help}: ${node.target.join(' ')}: ${node.html}`)),
    }));
";

/// The rules, and what was found to break them.
struct Rules {
    source: String,
    broken: Vec<String>,
    /// How many rules held at least, of those that had anything to say of a view.
    fewest: u64,
}

impl Rules {
    /// None, and the test is skipped, where npm has put none.
    fn read() -> Option<Self> {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(RULES);
        let Ok(source) = std::fs::read_to_string(file) else {
            skip("axe", "axe-core, which .ci/run has npm install in .node");
            return None;
        };
        Some(Self { source, broken: Vec::new(), fewest: u64::MAX })
    }

    /// What breaks them in what a browser shows. A page's content policy lets no script in; the driver's own run outside of it.
    fn ask(&self, browser: &Browser) -> Value {
        if browser.script("return typeof axe") == "undefined" {
            browser.script(&self.source);
        }
        browser.script(RUN)
    }

    fn hold(&mut self, browser: &Browser, view: &str) {
        let found = self.ask(browser);
        self.fewest = self.fewest.min(found["held"].as_u64().unwrap());
        let broken = found["broken"].as_array().unwrap().iter().map(|one| one.as_str().unwrap());
        self.broken.extend(broken.map(|one| format!("{view}: {one}")));
        browser.keep(&format!("accessible-{}", view.replace([' ', ','], "-")));
    }

    /// Stops the test where anything was broken.
    fn end(self) {
        const FEWEST: u64 = 8;
        assert!(self.fewest >= FEWEST, "only {} rules had anything to hold", self.fewest);
        assert!(self.broken.is_empty(), "{:#?}", self.broken);
    }
}

#[test]
fn a_field_without_a_name_and_words_too_faint_are_found() {
    let Some(rules) = Rules::read() else { return };
    let (_desk, hall) = begun(ROOM, "");
    let Some(browser) = Browser::open(PHONE, 1.0) else { return };
    browser.visit(&format!("{}/panel", hall.origin), None);
    browser.script(
        "document.querySelector('label').remove(); document.querySelector('h1').style.color = '#444'",
    );
    let broken = rules.ask(&browser)["broken"].to_string();
    assert!(broken.contains("label: ") && broken.contains("color-contrast: "), "{broken}");
}

#[test]
fn the_page_of_a_room_keeps_the_rules() {
    let Some(mut rules) = Rules::read() else { return };
    let desk = Desk::new();
    desk.write("room.toml", coarse(false));
    assert_eq!(desk.run("page --room room.toml --out room.html").code, 0);
    let Some(browser) = Browser::open_with_clock([1280, 720], 1.0) else { return };
    let calm = || browser.pass(std::time::Duration::from_millis(720));
    browser.go(&desk.path("room.html"), "");
    rules.hold(&browser, "page");
    for (key, view) in
        [("i", "strip"), ("2", "strip on white"), ("p", "patch"), ("k", "card"), ("Escape", "after the card")]
    {
        calm();
        browser.press(key);
        rules.hold(&browser, &format!("page, {view}"));
    }
    browser.press("?");
    rules.hold(&browser, "page, help");
    browser.go(&desk.path("room.html"), "#nothing=1");
    rules.hold(&browser, "page, notice");
    calm();
    browser.press("b");
    rules.hold(&browser, "page, dark");
    let Some(phone) = Browser::open(PHONE, 1.0) else { return };
    phone.go(&desk.path("room.html"), "");
    rules.hold(&phone, "page, another screen");
    rules.end();
}

#[test]
fn the_page_to_practise_on_keeps_the_rules() {
    let Some(mut rules) = Rules::read() else { return };
    let desk = Desk::new();
    let page = desk.write("practice.html", Practice::new(&Room::demo(), &Class::of(1)).unwrap().page());
    for pixels in [PHONE, WINDOW] {
        let Some(browser) = Browser::open_with_clock(pixels, 1.0) else { return };
        let calm = || browser.pass(std::time::Duration::from_millis(720));
        browser.go(&page, "#level=3");
        calm();
        let at = format!("practice at {}", pixels[0]);
        rules.hold(&browser, &at);
        for (keys, view) in [
            (&["Enter", "h"][..], "asked and hinted"),
            (&["v"], "the patient’s view"),
            (&["+", "Enter", "c"], "fogged"),
            (&["?"], "help"),
            (&["Escape", "d"], "result"),
        ] {
            for key in keys {
                browser.press(key);
                calm();
            }
            rules.hold(&browser, &format!("{at}, {view}"));
        }
        browser.go(&page, "#level=none");
        rules.hold(&browser, &format!("{at}, notice"));
    }
    rules.end();
}

#[test]
fn slides_to_present_from_keep_the_rules() {
    let Some(mut rules) = Rules::read() else { return };
    let desk = Desk::new();
    let run = desk.run("deck --out deck.html");
    assert_eq!(run.code, 0, "{}", run.err);
    for pixels in [PHONE, WINDOW] {
        let Some(browser) = Browser::open(pixels, 1.0) else { return };
        for slide in ["#1", "#5", "#12"] {
            browser.go(&desk.path("deck.html"), slide);
            rules.hold(&browser, &format!("slides at {}, {slide}", pixels[0]));
        }
    }
    rules.end();
}

#[test]
fn doors_home_and_records_keep_the_rules() {
    let Some(mut rules) = Rules::read() else { return };
    let (desk, mut hall) = begun(ROOM, "--record r.jsonl");
    let Some(browser) = Browser::open(PHONE, 1.0) else { return };
    let mut hold = |view: &str, at: [u32; 2]| {
        let [width, height] = at;
        let metrics = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        browser.own("Emulation.setDeviceMetricsOverride", &metrics);
        rules.hold(&browser, &format!("{view} at {width}"));
    };
    for role in ["wall", "panel"] {
        browser.visit(&format!("{}/{role}", hall.origin), None);
        browser.type_in("#code", "AAAAAAAA");
        browser.click("button");
        browser.wait_for("return document.getElementById('refused').innerText !== ''");
        for pixels in [PHONE, WINDOW] {
            hold(&format!("the door of the {role}"), pixels);
        }
    }
    let pass = hall.enter("panel");
    let cookie = Some((&*pass.name, &*pass.value));
    let mut visit = |path: &str, view: &str| {
        browser.visit(&format!("{}{path}", hall.origin), cookie);
        for pixels in [PHONE, WINDOW] {
            hold(view, pixels);
        }
    };
    visit("/", "home");
    visit("/teach", "teach");
    visit("/records", "no records");
    let kept = desk.run(
        "balance --room room.toml --record r.jsonl --eye right --manifest -1.00 --for room --acuity 20/20 --kind pseudophakic \
         --procedure customary --answers red,same,green,green --white 20/20 --choose far-quarter --one-eye",
    );
    assert_eq!(kept.code, 0, "{}", kept.err);
    visit("/records", "records");
    let record = browser.script("return document.querySelector('.records a').getAttribute('href')");
    visit(record.as_str().unwrap(), "a record");
    rules.end();
}

#[test]
fn setting_a_room_up_keeps_the_rules() {
    for pixels in [PHONE, WINDOW] {
        let Some(mut rules) = Rules::read() else { return };
        let desk = Desk::new();
        let mut hall = Hall::begin(&desk, "");
        let Some(wall) = wall(&mut hall, WINDOW) else { return };
        let Some(panel) = panel(&mut hall, pixels) else { return };
        let mut hold = |view: &str| {
            rules.hold(&panel, &format!("set-up at {}, {view}", pixels[0]));
            rules.hold(&wall, &format!("the wall in a set-up at {}, {view}", pixels[0]));
        };
        hold("rooms");
        tap(&panel, "[data-do=new-room]");
        wall.wait_for("return !document.getElementById('card').hidden");
        hold("card");
        tap(&panel, "[data-do=card-fits]");
        panel.click("form [data-do=distance]");
        panel.wait_for("return document.querySelector('.field .wrong') !== null");
        hold("distance, refused");
        panel.type_in("[name=distance]", "3.2m");
        panel.click("[name=mirror][value=no]");
        tap(&panel, "form [data-do=distance]");
        wall.wait_for("return !document.getElementById('chart').hidden");
        hold("match");
        tap(&panel, "[data-do=match][data-value=\"5\"]");
        hold("keep");
        rules.end();
    }
}

#[test]
fn the_wall_keeps_the_rules() {
    let Some(mut rules) = Rules::read() else { return };
    let (_desk, mut hall) = begun(&coarse(false), "");
    let Some(browser) = wall(&mut hall, [1280, 720]) else { return };
    browser.wait_for("return document.body.dataset.picture > 0");
    rules.hold(&browser, "the wall, dark");
    let pass = hall.enter("panel");
    let mut panel = bare::Panel::open(&hall, &pass, "bare");
    panel.ready();
    let start = json!({ "do": "start", "eye": "right", "manifest": "-1.00", "for": "room", "acuity": "20/20", "kind": "pseudophakic" });
    panel.wish(&hall, &start);
    panel.ready();
    rules.hold(&browser, "the wall, lit");
    enter(&mut hall, "wall", &browser);
    browser.own(
        "Emulation.setDeviceMetricsOverride",
        &json!({ "width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": false, "screenWidth": 390, "screenHeight": 844 }),
    );
    browser.wait_for("return document.getElementById('said').innerText.includes('screen of')");
    rules.hold(&browser, "the wall, another screen");
    drop(hall);
    browser.wait_for("return document.getElementById('said').innerText.includes('does not answer')");
    rules.hold(&browser, "the wall, lost");
    rules.end();
}

/// A panel that is looked at at every stage, once.
struct Looked<'a> {
    panel: &'a Browser,
    rules: Rules,
    seen: Vec<String>,
    width: u32,
}

impl Looked<'_> {
    fn look(&mut self, view: &str) {
        if !self.seen.iter().any(|seen| seen == view) {
            self.seen.push(view.into());
            self.rules.hold(self.panel, &format!("panel at {}, {view}", self.width));
        }
    }

    /// What lies over a step.
    fn look_over(&mut self, act: &str) {
        self.panel.click("[data-act=options]");
        if act == "options" {
            self.panel.click("[data-do=code]");
            self.panel.wait_for("return document.getElementById('code').innerText !== ''");
        } else {
            self.panel.click(&format!("#options [data-act={act}]"));
        }
        self.look(act);
        // The keys lie over the options.
        while self.panel.script("return document.querySelector('dialog[open]') !== null") == true {
            self.panel.press("Escape");
        }
    }

    /// A form beside a step, and the way back.
    fn look_beside(&mut self, form: &str) {
        let selector = format!("[data-do=aside][data-value={form}]");
        if self.is_there(&selector) && !self.seen.iter().any(|seen| seen == form) {
            tap_aside(self.panel, &selector);
            self.look(form);
            tap_aside(self.panel, "[data-do=aside]");
        }
    }

    fn is_there(&self, selector: &str) -> bool {
        let script = format!(
            "const e = document.querySelector('{selector}'); return e !== null && !e.closest('[hidden]')"
        );
        self.panel.script(&script) == true
    }

    /// What an eye answers that is balanced a dioptre off, so that its cylinder comes into doubt.
    fn answer(&self) {
        let sphere = self.panel.script("return document.getElementById('sphere').innerText");
        let sphere: f64 = sphere.as_str().unwrap().replace('\u{2212}', "-").trim().parse().unwrap();
        let answer = if (sphere + 2.0).abs() < 0.1 {
            "[data-answer=same]"
        } else if sphere > -2.0 {
            "[data-field=red]"
        } else {
            "[data-field=green]"
        };
        tap(self.panel, answer);
    }

    fn go(&mut self, eyes: &[&[(&str, &str)]]) {
        let mut begun = 0;
        loop {
            let stage = stage(self.panel);
            self.look(&stage);
            for form in ["near", "again", "cylinder"] {
                self.look_beside(form);
            }
            match stage.as_str() {
                "start" | "left_eye" => {
                    fill(self.panel, eyes[begun]);
                    begun += 1;
                }
                "ask" => self.answer(),
                "white" => {
                    self.panel.click("[data-do=missed][data-value=\"1\"]");
                    self.panel
                        .wait_for("return document.querySelector('#read [aria-pressed=true]') !== null");
                    self.panel.script("document.querySelector('#white details').open = true");
                    self.look("a letter missed");
                    // A line read whole goes on to a smaller one, which ends it.
                    self.panel.click("[data-do=missed][data-value=\"1\"]");
                    self.panel
                        .wait_for("return document.querySelector('#read [aria-pressed=true]') === null");
                    tap(self.panel, "[data-do=smaller]");
                    tap(self.panel, "[data-do=take-white]");
                }
                "limit" => {
                    let sphere = self.panel.script("return parseFloat(document.getElementById('sphere').innerText.replace('\u{2212}', '-'))");
                    let reads = (sphere.as_f64().unwrap() + 2.0).abs() < 0.8;
                    let said = if reads { "read" } else { "lost" };
                    tap(self.panel, &format!("[data-do=legible][data-value={said}]"));
                }
                "choose" if self.is_there("[data-do=also-midpoint]") && begun == 1 => {
                    tap(self.panel, "[data-do=also-midpoint]");
                }
                "choose" => tap(self.panel, "[data-value=far-quarter]"),
                "binocular" => self.both(),
                "closed" => return,
                other => panic!("no such stage: {other}"),
            }
        }
    }

    fn both(&mut self) {
        let steps = [
            ("[data-do=apart][data-value=prism]", "held apart"),
            ("[data-do=compared][data-value=same]", "compared"),
            ("[data-do=leads]", "the leading eye"),
            ("[data-do=take-white]", "both on white"),
        ];
        if self.is_there("#form [name=sphere]") {
            self.look("trial frame");
            self.panel.type_in("#form [name=sphere]", "0");
            tap(self.panel, "#form [data-do=framed]");
            return;
        }
        let step = steps.into_iter().find(|(selector, _)| self.is_there(selector));
        if let Some((selector, view)) = step {
            self.look(view);
            tap(self.panel, selector);
        } else {
            tap(self.panel, "[data-do=binocular]");
        }
    }
}

/// A form beside a step is no step, so that only what is shown changes.
fn tap_aside(panel: &Browser, selector: &str) {
    let shown = "document.getElementById('form').innerText + document.getElementById('choices').innerText";
    let before = panel.script(&format!("return {shown}"));
    panel.click(selector);
    panel.wait_for(&format!("return {shown} !== {before}"));
}

fn panel_keeps_the_rules(pixels: [u32; 2]) {
    let Some(rules) = Rules::read() else { return };
    let (_desk, mut hall) = begun(&coarse(false), "");
    let Some(_wall) = wall(&mut hall, [1280, 720]) else { return };
    let Some(panel) = panel(&mut hall, pixels) else { return };
    let pass = hall.enter("panel");
    let mut looked = Looked { panel: &panel, rules, seen: Vec::new(), width: pixels[0] };
    looked.look("start");
    panel.click("#form [data-do=start]");
    panel.wait_for("return document.querySelector('.field .wrong') !== null");
    panel.script("document.querySelectorAll('details').forEach((e) => { e.open = true; })");
    looked.look("start, refused");
    looked.look_over("options");
    looked.look_over("help");
    let right: &[(&str, &str)] = &[
        ("eye", "right"),
        ("manifest", "-1.00/-0.50x90"),
        ("for", "room"),
        ("acuity", "20/20"),
        ("kind", "small-aperture"),
        ("procedure", "customary"),
    ];
    let left = &right[1..];
    looked.go(&[right, left]);
    let mut other = bare::Panel::open(&hall, &pass, "other");
    let step = other.step();
    assert!(other.send(&hall, &json!({ "do": "take-over" }), step));
    panel.wait_for("return document.body.dataset.commands === 'false'");
    looked.look("watching");
    let all =
        ["ask", "white", "limit", "choose", "left_eye", "binocular", "closed", "near", "again", "cylinder"];
    for view in all {
        assert!(looked.seen.iter().any(|seen| seen == view), "{view} was not looked at: {:?}", looked.seen);
    }
    looked.rules.end();
}

#[test]
fn the_panel_on_a_phone_keeps_the_rules() {
    panel_keeps_the_rules(PHONE);
}

#[test]
fn the_panel_in_a_window_keeps_the_rules() {
    panel_keeps_the_rules(WINDOW);
}
