//! One exam room: wall and panel in real browsers and over bare sockets.

use serde_json::{Value, json};

use crate::common::browser::Browser;
use crate::common::focus::tab_through;
use crate::common::hall::{Hall, Line, Pass};
use crate::common::windows::{
    READABLE, READY, ROOM, SCREEN, STATE, begun, enter, fill, panel, stage, tap, wall,
};
use crate::common::{Desk, Png};

fn start(kind: &str, more: Value) -> Value {
    let mut form = json!({
        "do": "start", "eye": "right", "manifest": "-1.00/-0.50x90", "for": "room", "acuity": "20/20", "kind": kind,
    });
    form.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
    form
}

/// A panel without a browser.
struct Panel {
    line: Line,
    state: Value,
}

impl Panel {
    fn enter(hall: &mut Hall) -> Self {
        let pass = hall.enter("panel");
        Self::open(hall, &pass)
    }

    fn open(hall: &Hall, pass: &Pass) -> Self {
        let mut line = hall.line("panel", pass);
        line.send(&json!({ "hello": "bare" }));
        let state = line.wait(|message| message.get("state").cloned());
        Self { line, state }
    }

    fn step(&self) -> u64 {
        self.state["step"].as_u64().unwrap()
    }

    /// Sends a wish about the step that is shown; gives why it was refused, if it was.
    fn wish(&mut self, mut wish: Value) -> Option<String> {
        let step = self.step();
        wish["of"] = step.into();
        self.line.send(&wish);
        loop {
            let message = self.line.next().unwrap();
            if let Some(refused) = message.get("refused") {
                return Some(refused["what"].as_str().unwrap().into());
            }
            if let Some(state) = message.get("state") {
                self.state = state.clone();
                if self.step() > step {
                    return None;
                }
            }
        }
    }

    /// Waits until the wall shows what the step asks for.
    fn ready(&mut self) {
        while self.state["wall"]["ready"] != true {
            self.state = self.line.wait(|message| message.get("state").cloned());
        }
    }
}

#[test]
fn the_wall_shows_what_the_step_asks_for_and_passes_the_check() {
    let (desk, mut hall) = begun(ROOM, "--record r.jsonl");
    let Some(browser) = wall(&mut hall, SCREEN) else { return };
    let pass = hall.enter("panel");
    let mut panel = Panel::open(&hall, &pass);
    panel.ready();
    assert_eq!(panel.wish(start("pseudophakic", json!({ "procedure": "customary" }))), None);
    for (answer, line, red) in
        [("left", "20/32", "left"), ("right", "20/32", "left"), ("left", "20/32", "right")]
    {
        panel.ready();
        let letters = panel.state["ask"]["letters"].as_array().unwrap();
        let letters: Vec<&str> = letters.iter().map(|letter| letter.as_str().unwrap()).collect();
        let shot = Png { pixels: browser.picture(), pixels_a_metre: 4000, json: None };
        shot.write_bare(&desk.path("shot.png"));
        let check = desk.run(&format!("check shot.png --room room.toml --line {line} --red {red}"));
        assert_eq!(check.code, 0, "{}", check.out);
        assert!(check.out.contains(&letters.join(" ")), "{letters:?}\n{}", check.out);
        assert_eq!(panel.wish(json!({ "do": "answer", "answer": answer })), None);
    }
    assert_eq!(browser.console(), Vec::<String>::new());
    let record = std::fs::read_to_string(desk.path("r.jsonl")).unwrap();
    assert_eq!(record.matches("\"wall\":{\"line\":\"20/32\"").count(), 3, "{record}");
    // It opens as its page, and as a PDF to keep; and there is something to teach with.
    let get = |path: &str| hall.get(path, Some(&pass));
    let records = get("/records");
    let records = records.as_str().unwrap();
    let id = records.split("/records/").nth(1).unwrap().split('"').next().unwrap();
    assert!(records.contains("Right eye") && records.contains(" UTC"), "{records}");
    assert!(get(&format!("/records/{id}")).as_str().unwrap().contains("data:image/svg+xml"));
    assert!(get(&format!("/records/{id}.pdf")).as_bytes().starts_with(b"%PDF-"));
    assert_eq!(get("/records/none.pdf").status_code, 404);
    let card =
        (0..20).map(|_| get("/card.pdf")).find(|card| !card.as_bytes().starts_with(b"It is being made"));
    assert!(card.unwrap().as_bytes().starts_with(b"%PDF-"));
}

#[test]
fn a_room_is_set_up_with_a_card_a_tape_and_the_eye() {
    let desk = Desk::new();
    let mut hall = Hall::begin(&desk, "--record r.jsonl");
    let Some(wall) = wall(&mut hall, SCREEN) else { return };
    let Some(panel) = panel(&mut hall, [390, 844]) else { return };
    panel.keep("exam-choose-room");
    // By keys alone, at every step: in reading order, always seen, and nothing left out.
    let mut controls = vec![tab_through(&panel)];
    tap(&panel, "[data-do=new-room]");
    panel.wait_for("return document.body.dataset.stage === 'card'");
    // A screen of 0.2745 mm a pixel: a card of 85.60 mm is 311.8 pixels wide.
    wall.wait_for("return !document.getElementById('card').hidden");
    let width = || {
        wall.script("return document.getElementById('card').getBoundingClientRect().width").as_f64().unwrap()
    };
    for _ in 0..40 {
        let off = 311.8 - width();
        if off.abs() < 0.5 {
            break;
        }
        let by = if off.abs() >= 10.0 { 10 } else { 1 };
        let word = if off > 0.0 { "Wider" } else { "Narrower" };
        let before = width();
        panel.script(&format!(
            "[...document.querySelectorAll('[data-do=card] b')].find((e) => e.textContent === '{word} by\u{a0}{by}').closest('button').click()"
        ));
        wall.wait_for(&format!(
            "return document.getElementById('card').getBoundingClientRect().width !== {before}"
        ));
    }
    panel.keep("exam-card");
    wall.keep("exam-card-wall");
    controls.push(tab_through(&panel));
    tap(&panel, "[data-do=card-fits]");
    panel.keep("exam-distance");
    controls.push(tab_through(&panel));
    panel.type_in("[name=distance]", "3.2m");
    panel.click("[name=mirror][value=no]");
    tap(&panel, "form [data-do=distance]");
    wall.wait_for("return !document.getElementById('chart').hidden");
    panel.keep("exam-match");
    wall.keep("exam-match-wall");
    controls.push(tab_through(&panel));
    tap(&panel, "[data-do=match][data-value=\"5\"]");
    panel.keep("exam-keep");
    controls.push(tab_through(&panel));
    assert!(controls.iter().all(|count| *count > 2), "{controls:?}");
    panel.type_in("[name=name]", "Larkspur 1");
    tap(&panel, "form [data-do=keep]");
    panel.wait_for("return document.body.dataset.stage === 'start'");
    panel.keep("exam-start");
    let room = evenfield::room::Room::read(&desk.path("room.toml")).unwrap();
    let pitch = room.screen.pitch[0].to_mm();
    assert!((pitch / 0.2745 - 1.0).abs() < 0.005, "{pitch}");
    assert_eq!((room.name(), room.screen.pixels), (Some("Larkspur 1"), SCREEN));
    assert_eq!(room.screen.size_percent, Some(0.3));
    // The wall has loaded the page of that room by itself, and the examination can begin.
    wall.wait_for("return document.body.dataset.picture > 0");
    assert_eq!([panel.console(), wall.console()].concat(), Vec::<String>::new());
}

/// How the panel is used.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Hand {
    Touch,
    Keys,
}

/// An eye with a balance of its own: red is clearer where the lens has more plus, green where it has less.
#[derive(Clone, Copy)]
pub(crate) struct Eye {
    pub(crate) balance_d: f64,
    /// Within this of it both sides are the same.
    pub(crate) within_d: f64,
    /// How often it can tell nothing at first.
    pub(crate) unsure: usize,
    /// How far from balance the line on white can be read, where the midpoint is looked for as well.
    pub(crate) reads_within_d: Option<f64>,
}

/// An examination walked through in two browsers.
pub(crate) struct Walk<'a> {
    pub(crate) desk: &'a Desk,
    pub(crate) wall: Browser,
    pub(crate) panel: Browser,
    /// A second panel, which watches.
    pub(crate) second: Browser,
    pub(crate) hand: Hand,
    pub(crate) name: &'static str,
    /// The line and the side of red of each question that was answered, as the wall was measured to have them.
    pub(crate) seen: Vec<(String, String)>,
    /// As many entries are still to be taken back, each at the stage that it names.
    pub(crate) undo: Vec<&'static str>,
    pub(crate) shots: usize,
}

impl Walk<'_> {
    pub(crate) fn text(&self, id: &str) -> String {
        self.panel
            .script(&format!("return document.getElementById('{id}').innerText"))
            .as_str()
            .unwrap()
            .into()
    }

    /// Taps a control, or presses the key that stands for it.
    fn act(&self, selector: &str, key: &str) {
        if self.hand == Hand::Touch {
            return tap(&self.panel, selector);
        }
        self.panel.wait_for(READY);
        let step = self.panel.script("return document.body.dataset.state").as_str().unwrap().to_owned();
        self.panel.press(key);
        self.panel.wait_for(&format!("return document.body.dataset.state !== '{step}'"));
    }

    /// Panel and wall side by side, for the README.
    fn keep_both(&self) {
        let Some(folder) = std::env::var_os("EVENFIELD_SHOTS") else { return };
        self.panel.wait_for(READY);
        let (panel, wall) = (self.panel.picture(), self.wall.picture());
        let wall = image::imageops::resize(&wall, 800, 450, image::imageops::FilterType::Triangle);
        let mut both = image::RgbImage::from_pixel(1230, 844, image::Rgb([0x16, 0x19, 0x1d]));
        image::imageops::replace(&mut both, &panel, 0, 0);
        image::imageops::replace(&mut both, &wall, 410, 197);
        let shot = Png { pixels: both, pixels_a_metre: 4000, json: None };
        shot.write_bare(&std::path::Path::new(&folder).join("examine.png"));
    }

    /// Everything to touch has a name, all words stand out from their ground, and nothing is wider than the panel.
    fn can_be_read(&self, stage: &str) {
        let faults = self.panel.script(READABLE);
        assert_eq!(faults, json!([]), "{stage}");
    }

    pub(crate) fn keep(&mut self, stage: &str) {
        self.shots += 1;
        self.can_be_read(stage);
        if self.name == "aperture" && self.shots == 3 {
            self.keep_both();
        }
        self.panel.keep(&format!("{}-{:02}-{stage}", self.name, self.shots));
    }

    /// The wall, measured from its picture.
    fn check(&self, more: &str) {
        self.panel.wait_for(READY);
        let shot = Png { pixels: self.wall.picture(), pixels_a_metre: 2500, json: None };
        shot.write_bare(&self.desk.path("shot.png"));
        let check = self.desk.run(&format!("check shot.png --room room.toml {more}"));
        assert_eq!(check.code, 0, "{more}: {}", check.out);
        let letters = self.panel.script(
            "const read = [...document.querySelectorAll('#read button')].map((e) => e.textContent).join(' ');
             return document.getElementById('white').hidden ? document.getElementById('letters').innerText : read",
        );
        assert!(check.out.contains(letters.as_str().unwrap()), "{letters}: {}", check.out);
    }

    /// The second panel shows the same step, and only watches.
    fn is_watched(&self) {
        let second = &self.second;
        let step = self.panel.script("return document.body.dataset.state").as_str().unwrap().to_owned();
        second.wait_for(&format!("return document.body.dataset.state === '{step}'"));
        assert_eq!(second.script("return document.body.dataset.commands"), "false");
        assert_eq!(stage(second), stage(&self.panel));
    }

    /// From the first eye to the end of the examination.
    fn go(&mut self, eyes: &[(Eye, &[(&str, &str)])]) {
        self.go_on(0, eyes);
    }

    /// The same where some eyes have begun.
    pub(crate) fn go_on(&mut self, mut begun: usize, eyes: &[(Eye, &[(&str, &str)])]) {
        let mut unsure = 0;
        loop {
            let stage = stage(&self.panel);
            let can_undo = self.panel.script("return !document.getElementById('undo').hidden") == true;
            if can_undo && self.undo.last() == Some(&stage.as_str()) {
                self.undo.pop();
                self.act("[data-do=undo]", "\u{e003}");
                self.seen.truncate(self.seen.len() - usize::from(stage == "ask" || stage == "white"));
                continue;
            }
            if stage == "choose" {
                // It is worked out while the examiner looks.
                let said = "return /estimated balance|where balance lies/i.test(document.getElementById('estimate').innerText)";
                self.panel.wait_for(said);
            }
            self.keep(&stage);
            self.is_watched();
            match stage.as_str() {
                "start" | "left_eye" if begun < eyes.len() => {
                    fill(&self.panel, eyes[begun].1);
                    begun += 1;
                    unsure = eyes[begun - 1].0.unsure;
                }
                "left_eye" => self.act("[data-do=one-eye]", "1"),
                "ask" => {
                    let cannot = unsure > 0;
                    unsure = unsure.saturating_sub(1);
                    self.ask(&eyes[begun - 1].0, cannot);
                }
                "limit" => self.limit(&eyes[begun - 1].0),
                "choose" if self.seeks_midpoint(&eyes[begun - 1].0) => {
                    self.act("[data-do=also-midpoint]", "7");
                }
                "too_much_minus" => self.act("[data-value=keep-manifest]", "3"),
                "white" => self.white(),
                "choose" => self.act("[data-value=far-quarter]", "1"),
                "binocular" => self.binocular(),
                "closed" => return,
                other => panic!("no such stage: {other}"),
            }
        }
    }

    pub(crate) fn ask(&mut self, eye: &Eye, cannot: bool) {
        let red = self.panel.script("return document.querySelector('[data-answer=left]').dataset.field");
        let red = if red == "red" { "left" } else { "right" };
        let line = self.text("line").split_whitespace().next().unwrap().to_owned();
        self.check(&format!("--line {line} --fields red-green --red {red}"));
        self.seen.push((line, red.into()));
        let sphere: f64 = self.text("sphere").replace('\u{2212}', "-").trim().parse().unwrap();
        let off = sphere - eye.balance_d;
        let (answer, key) = if cannot {
            ("unsure", "ArrowUp")
        } else if off.abs() <= eye.within_d {
            ("same", "ArrowDown")
        } else if (off > 0.0) == (red == "left") {
            ("left", "ArrowLeft")
        } else {
            ("right", "ArrowRight")
        };
        self.act(&format!("[data-answer={answer}]"), key);
    }

    /// Whether the midpoint is still to be looked for in this eye.
    fn seeks_midpoint(&self, eye: &Eye) -> bool {
        let offered = "return document.querySelector('[data-do=also-midpoint]') !== null";
        eye.reads_within_d.is_some() && self.panel.script(offered) == true
    }

    fn limit(&mut self, eye: &Eye) {
        let line = self.text("line").split_whitespace().next().unwrap().to_owned();
        self.check(&format!("--line {line} --fields white"));
        let sphere: f64 = self.text("sphere").replace('\u{2212}', "-").trim().parse().unwrap();
        let reads = (sphere - eye.balance_d).abs() <= eye.reads_within_d.unwrap();
        let (answer, key) = if reads { ("read", "1") } else { ("lost", "2") };
        self.act(&format!("[data-do=legible][data-value={answer}]"), key);
    }

    /// A control of a step with both eyes, by its own number where keys are pressed.
    fn act_numbered(&self, selector: &str) {
        let key = self.panel.script(&format!("return document.querySelector('{selector} kbd')?.textContent"));
        self.act(selector, key.as_str().unwrap_or_default());
    }

    /// The right eye is clearer once, then neither; white is read whole, a line fewer each time; the trial frame takes a click.
    fn binocular(&self) {
        let is_there = |selector: &str| {
            let script = format!(
                "const e = document.querySelector('{selector}'); return e !== null && !e.closest('[hidden]')"
            );
            self.panel.script(&script) == true
        };
        if is_there("[data-do=apart]") {
            self.act_numbered("[data-do=apart][data-value=prism]");
        } else if is_there("[data-do=compared]") {
            let line = self.text("scores").lines().nth(1).unwrap_or_default().to_owned();
            assert!(line.is_empty(), "nothing is scored while both eyes are compared: {line}");
            let added = self.text("sphere").contains("+1.25");
            let clearer = if added { "same" } else { "right" };
            self.act_numbered(&format!("[data-do=compared][data-value={clearer}]"));
        } else if is_there("[data-do=take-white]") {
            let line = self.text("scores").lines().nth(1).unwrap().to_owned();
            self.check(&format!("--line {line} --fields white"));
            self.act("[data-do=take-white]", "Enter");
        } else if is_there("#form [name=sphere]") {
            self.panel.type_in("#form [name=sphere]", "-0.25");
            tap(&self.panel, "#form [data-do=framed]");
        } else {
            self.act_numbered("[data-do=binocular]");
        }
    }

    fn white(&mut self) {
        for _ in 0..2 {
            let line = self.text("scores").lines().nth(1).unwrap().to_owned();
            self.check(&format!("--line {line} --fields white"));
            self.act("[data-do=smaller]", "s");
        }
        self.panel.wait_for(READY);
        for place in 0..2 {
            self.panel.click(&format!("[data-do=missed][data-value=\"{place}\"]"));
            self.panel.wait_for(&format!(
                "return document.querySelector('[data-value=\"{place}\"]').getAttribute('aria-pressed') === 'true'"
            ));
        }
        self.keep("white-missed");
        self.act("[data-do=take-white]", "Enter");
    }
}

pub(crate) type Fields = &'static [(&'static str, &'static str)];

const SMALL_APERTURE: Fields = &[
    ("eye", "right"),
    ("manifest", "-1.00/-0.50x90"),
    ("for", "room"),
    ("acuity", "20/20"),
    ("kind", "small-aperture"),
];

/// The windows of a walk: the wall's room, the panel's pixels, and those of a second panel.
struct Windows {
    room: String,
    panel: [u32; 2],
    second: [u32; 2],
}

/// A wall of full size, a panel in hand, and one of another size that watches.
fn three(panel: [u32; 2], mirror: bool) -> Windows {
    let second = if panel == [1024, 768] { [390, 844] } else { [1024, 768] };
    let room = ROOM.replace("[screen]", &format!("mirror = {mirror}\n[screen]"));
    Windows { room, panel, second }
}

/// Walks through an examination; gives what the record says of it.
fn walk(
    name: &'static str,
    hand: Hand,
    windows: &Windows,
    undo: &[&'static str],
    eyes: &[(Eye, &[(&str, &str)])],
) -> Option<Value> {
    let (desk, mut hall) = begun(&windows.room, "--record r.jsonl");
    let screen = evenfield::room::Room::read(&desk.path("room.toml")).unwrap().screen.pixels;
    let wall = wall(&mut hall, screen)?;
    let first = panel(&mut hall, windows.panel)?;
    let second = panel(&mut hall, windows.second)?;
    let undo = undo.iter().rev().copied().collect();
    let mut walk =
        Walk { desk: &desk, wall, panel: first, second, hand, name, seen: Vec::new(), undo, shots: 0 };
    walk.go(eyes);
    assert_eq!([walk.panel.console(), walk.wall.console()].concat(), Vec::<String>::new());
    let shown = desk.run("balance --show r.jsonl --json");
    assert_eq!(shown.code, 0, "{}", shown.err);
    let shown: Value = serde_json::from_str(&shown.out).unwrap();
    // The record has the lines and sides that were measured on the wall, and what the wall said of itself.
    let asked = shown[0]["eyes"].as_array().unwrap().iter().flat_map(|eye| eye["asked"].as_array().unwrap());
    let asked: Vec<(f64, String)> = asked
        .map(|asked| (asked["line_log_mar"].as_f64().unwrap(), asked["red"].as_str().unwrap().into()))
        .collect();
    assert_eq!(asked.len(), walk.seen.len());
    for ((log_mar, red), (line, seen_red)) in asked.iter().zip(&walk.seen) {
        let line: evenfield::acuity::Acuity = line.parse().unwrap();
        assert!((line.to_log_mar() - log_mar).abs() < 0.02 && red == seen_red, "{red} {line} {log_mar}");
    }
    let record = std::fs::read_to_string(desk.path("r.jsonl")).unwrap();
    for line in record.lines().map(|line| serde_json::from_str::<Value>(line).unwrap()) {
        if line["event"].get("limit").is_some() {
            assert_eq!(
                (&line["wall"]["line"], &line["wall"]["fields"]),
                (&line["asked"]["line"], &"white".into())
            );
        }
        if line["event"].get("answered").is_some() {
            assert_eq!(
                (&line["wall"]["line"], &line["wall"]["red"]),
                (&line["asked"]["line"], &line["asked"]["red"])
            );
            assert_eq!(line["wall"]["whole"], true);
        }
    }
    Some(shown[0].clone())
}

/// The same eye, asked by rules of the trade.
const BRACKETED: Fields = &[
    ("eye", "right"),
    ("manifest", "-1.00/-0.50x90"),
    ("for", "room"),
    ("acuity", "20/20"),
    ("kind", "small-aperture"),
    ("procedure", "bracket"),
];

pub(crate) const SURE: Eye = Eye { balance_d: -0.75, within_d: 0.1, unsure: 0, reads_within_d: None };

/// Reads the line half a dioptre and a click to either side of balance.
const READS: Eye = Eye { reads_within_d: Some(0.8), ..SURE };

/// What the record says of the midpoint of such an eye. By hand: read from −1.50 to 0.00 D, twice.
fn has_its_midpoint(shown: &Value) {
    let expected = json!({ "at_d": -0.75, "plus_d": [0.0, 0.0], "minus_d": [-1.5, -1.5], "agree": true });
    assert_eq!(shown["eyes"][0]["midpoint"], expected);
}

#[test]
fn a_small_aperture_eye_by_touch_on_a_phone() {
    let Some(shown) =
        walk("aperture", Hand::Touch, &three([390, 844], false), &[], &[(READS, SMALL_APERTURE)])
    else {
        return;
    };
    assert_eq!(shown["eyes"][0]["left_in_d"], -0.75);
    has_its_midpoint(&shown);
    // By hand: 20/25 and 20/20 whole, three letters of 20/16: 0.1 + 0.1 − 0.02 · 13 is −0.06 logMAR.
    assert_eq!(shown["eyes"][0]["white"][0], "20/16\u{2212}2");
}

#[test]
fn the_same_eye_in_a_mirrored_room_by_keys_with_steps_taken_back_across_stages() {
    let undo = ["ask", "white", "choose", "limit", "left_eye"];
    let eyes: &[(Eye, Fields)] = &[(READS, BRACKETED)];
    let Some(shown) = walk("mirror", Hand::Keys, &three([1024, 768], true), &undo, eyes) else { return };
    assert_eq!(shown["eyes"][0]["left_in_d"], -0.75);
    has_its_midpoint(&shown);
}

#[test]
fn an_accommodating_eye_is_fogged_and_asks_for_too_much_minus() {
    let fields: Fields = &[
        ("eye", "right"),
        ("manifest", "-2.00"),
        ("for", "room"),
        ("acuity", "20/16"),
        ("kind", "accommodating"),
    ];
    let eager = Eye { balance_d: -20.0, ..SURE };
    let Some(shown) = walk("young", Hand::Keys, &three([390, 844], false), &[], &[(eager, fields)]) else {
        return;
    };
    assert_eq!(shown["eyes"][0]["end"], "too_much_minus");
}

#[test]
fn both_eyes_of_a_protan_who_is_asked_by_side() {
    let first: Fields = &[
        ("eye", "right"),
        ("manifest", "+0.50"),
        ("for", "far"),
        ("acuity", "6/7.5"),
        ("kind", "presbyopic"),
        ("colour-vision", "protan"),
    ];
    let other: Fields = &[("manifest", "+0.75"), ("for", "far"), ("acuity", "6/6"), ("kind", "presbyopic")];
    let [right, left] = [0.75, 1.0].map(|balance_d| Eye { balance_d, within_d: 0.2, ..SURE });
    let eyes = [(right, first), (left, other)];
    let Some(shown) = walk("both", Hand::Touch, &three([390, 844], false), &[], &eyes) else { return };
    assert_eq!(shown["eyes"].as_array().unwrap().len(), 2);
    assert_eq!(shown["stage"], "closed");
}

#[test]
fn a_patient_who_cannot_tell_three_times() {
    let eyes = [(Eye { unsure: 9, ..SURE }, SMALL_APERTURE)];
    let Some(shown) = walk("unsure", Hand::Touch, &three([1920, 1080], false), &[], &eyes) else { return };
    assert_eq!(shown["eyes"][0]["end"], "could_not_tell");
    assert_eq!(shown["eyes"][0]["asked"].as_array().unwrap().len(), 3);
}

/// Waits until the panel says something of the wall.
fn wall_says(panel: &Browser, words: &str) {
    panel.wait_for(&format!("return document.getElementById('wall-says').innerText.includes({words:?})"));
}

#[test]
fn the_wall_is_dark_unless_it_fills_the_rooms_own_screen_and_comes_back_after_the_server_does() {
    let (desk, mut hall) = begun(ROOM, "--record r.jsonl");
    let Some(wall) = wall(&mut hall, SCREEN) else { return };
    let mut bare = Panel::enter(&mut hall);
    bare.ready();
    assert_eq!(bare.wish(start("pseudophakic", json!({}))), None);
    bare.ready();
    let is_dark = || wall.script("return document.getElementById('chart').hidden") == true;
    let lit = "return !document.getElementById('chart').hidden";
    assert!(!is_dark());
    let not_ready = |bare: &mut Panel, words: &str| {
        while !bare.state["wall"]["words"].as_str().unwrap().contains(words) {
            bare.state = bare.line.wait(|message| message.get("state").cloned());
        }
        let refused = bare.wish(json!({ "do": "answer", "answer": "left" })).unwrap();
        assert!(refused.contains("Not counted"), "{refused}");
    };
    // Zoomed: the browser sees another screen than the room's.
    let zoom = |ratio: f64, width: u32, height: u32| {
        wall.own(
            "Emulation.setDeviceMetricsOverride",
            &json!({ "width": width, "height": height, "deviceScaleFactor": ratio, "mobile": false,
                     "screenWidth": width, "screenHeight": height }),
        );
    };
    zoom(1.0, 1600, 900);
    not_ready(&mut bare, "another screen");
    assert!(is_dark());
    zoom(1.0, 1920, 1080);
    bare.ready();
    wall.wait_for(lit);
    // Not full screen: the picture is cut off.
    wall.own(
        "Emulation.setDeviceMetricsOverride",
        &json!({ "width": 1920, "height": 900, "deviceScaleFactor": 1, "mobile": false, "screenWidth": 1920, "screenHeight": 1080 }),
    );
    not_ready(&mut bare, "full screen");
    assert!(is_dark());
    zoom(1.0, 1920, 1080);
    bare.ready();
    // Without its server it is dark, and it comes back with it, where it stood.
    let before = bare.state["ask"]["number"].clone();
    let port = hall.kill();
    wall.wait_for("return document.getElementById('chart').hidden");
    let mut hall = Hall::at(&desk, port, "--room room.toml --record r.jsonl");
    // The new program knows nobody, and the wall's window asks for a code by itself.
    wall.wait_for("return document.querySelector('input[type=password]') !== null");
    enter(&mut hall, "wall", &wall);
    let mut bare = Panel::enter(&mut hall);
    bare.ready();
    assert_eq!(bare.state["ask"]["number"], before);
    wall.wait_for(lit);
    assert_eq!(bare.wish(json!({ "do": "answer", "answer": "same" })), None);
}

#[test]
fn a_panel_stands_text_twice_as_large_on_a_narrow_phone_and_a_second_one_watches() {
    let (_desk, mut hall) = begun(ROOM, "");
    let pass = hall.enter("panel");
    assert_eq!(Panel::open(&hall, &pass).wish(start("pseudophakic", json!({}))), None);
    let Some(second) = panel(&mut hall, [320, 640]) else { return };
    // As a browser's own setting has it, which style sheets ask for by rem as well.
    second.own("Page.setFontSizes", &json!({ "fontSizes": { "standard": 32, "fixed": 26 } }));
    second.reload();
    second.wait_for(STATE);
    assert_eq!(second.script("return getComputedStyle(document.documentElement).fontSize"), "32px");
    wall_says(&second, "No wall is open");
    assert_eq!(second.script(READABLE), json!([]));
    second.keep("exam-watching-large");
    assert_eq!(second.script("return document.body.dataset.commands"), "false");
    second.click("[data-answer=left]");
    second.wait_for("return document.getElementById('notice').innerText.includes('watches')");
    second.click("[data-do=take-over]");
    second.wait_for("return document.body.dataset.commands === 'true'");
    // A line that is not read for ten seconds is closed, and a browser may take so long: the first panel comes back.
    assert!(Panel::open(&hall, &pass).wish(json!({ "do": "undo" })).unwrap().contains("watches"));
}

#[test]
fn a_terminal_has_the_wall_follow_and_its_record_keeps_what_was_shown() {
    let (desk, mut hall) = begun(ROOM, "");
    let Some(wall) = wall(&mut hall, SCREEN) else { return };
    wall.wait_for("return document.body.dataset.picture > 0");
    let walk = |code: &str| {
        desk.run(&format!(
            "balance --room room.toml --wall {} --code {code} --record r.jsonl --eye right --manifest -1.00 --for room \
             --acuity 20/20 --kind pseudophakic --procedure customary --answers red,same,green,green --white 20/20 \
             --limits read,lost,read,lost,read,lost,read,lost,read --choose far-quarter --one-eye --json",
            hall.origin
        ))
    };
    let refused = walk("AAAAAAAA");
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("that is not the code"), "{}", refused.err);
    let done = walk(hall.code());
    assert_eq!(done.code, 0, "{}", done.err);
    let record = std::fs::read_to_string(desk.path("r.jsonl")).unwrap();
    let lines: Vec<Value> = record.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let asked: Vec<&Value> = lines.iter().filter(|line| line["event"].get("answered").is_some()).collect();
    assert_eq!(asked.len(), 4);
    for line in asked {
        assert_eq!(
            (&line["wall"]["line"], &line["wall"]["red"]),
            (&line["asked"]["line"], &line["asked"]["red"])
        );
    }
    // On white with other letters each time, in the line that was asked.
    let limits: Vec<&Value> = lines.iter().filter(|line| line["event"].get("limit").is_some()).collect();
    assert_eq!(limits.len(), 9);
    for line in &limits {
        let wall = &line["wall"];
        assert_eq!((&wall["line"], &wall["fields"]), (&line["asked"]["line"], &"white".into()), "{line}");
    }
    assert!(limits.windows(2).all(|pair| pair[0]["wall"]["letters"] != pair[1]["wall"]["letters"]));
    let white = lines.iter().find(|line| line["event"].get("white").is_some()).unwrap();
    assert_eq!(white["wall"]["fields"], "white");
    // At the end the wall is dark.
    wall.wait_for("return document.getElementById('chart').hidden");
    let other = desk.run("balance --wall http://127.0.0.1:9 --code AAAAAAAA --answers red");
    assert_eq!(other.code, 2, "{}", other.out);
    assert!(other.err.contains("does not answer"), "{}", other.err);
}

#[test]
fn the_way_to_the_set_up_leaves_a_room_and_the_demo_room_is_one_touch_away() {
    let (_desk, mut hall) = begun(ROOM, "");
    let Some(panel) = panel(&mut hall, [390, 844]) else { return };
    assert_eq!(stage(&panel), "start");
    for (path, name) in [("/", "exam-home"), ("/records", "exam-records"), ("/teach", "exam-teach")] {
        panel.visit(&format!("{}{path}", hall.origin), None);
        assert_eq!(panel.script(READABLE), json!([]), "{path}");
        panel.keep(name);
    }
    panel.visit(&format!("{}/setup", hall.origin), None);
    panel.wait_for("return document.body.dataset.stage === 'choose-room'");
    // The room's file lies in the folder, so it is offered.
    let offered = panel.script("return document.querySelector('[data-value=\"room.toml\"]').textContent");
    assert!(offered.as_str().unwrap().contains("Larkspur"), "{offered}");
    panel.click("[data-do=use][data-value=\"\"]");
    panel.wait_for("return document.body.dataset.stage === 'start'");
    panel.back();
    panel.wait_for("return location.pathname === '/teach'");
}

#[test]
fn a_patient_presses_for_themselves_on_the_wall_and_the_examiner_confirms() {
    let (desk, mut hall) = begun(ROOM, "--record r.jsonl");
    let Some(wall) = wall(&mut hall, SCREEN) else { return };
    let mut bare = Panel::enter(&mut hall);
    bare.ready();
    assert_eq!(bare.wish(start("pseudophakic", json!({}))), None);
    bare.ready();
    wall.press("PageDown");
    // A wall is heard in the order in which it speaks: once it has said that it is covered, the key was heard.
    for seen in ["hidden", "visible"] {
        wall.script(&format!(
            "Object.defineProperty(document, 'visibilityState', {{ value: '{seen}', configurable: true }});
             document.dispatchEvent(new Event('visibilitychange'))"
        ));
        bare.state = bare.line.wait(|message| {
            message.get("state").filter(|state| state["wall"]["ready"] == (seen == "visible")).cloned()
        });
    }
    bare.line.send(&json!({ "of": bare.step(), "do": "patient-buttons", "on": true }));
    bare.state = bare
        .line
        .wait(|message| message.get("state").filter(|state| state["patientButtons"] == true).cloned());
    assert_eq!(bare.state["ask"]["pressed"], Value::Null, "what was pressed before counts for nothing");
    wall.press("PageDown");
    bare.state = bare
        .line
        .wait(|message| message.get("state").filter(|state| state["ask"]["pressed"].is_string()).cloned());
    assert!(!std::fs::read_to_string(desk.path("r.jsonl")).unwrap().contains("answered"));
    assert_eq!(bare.wish(json!({ "do": "confirm" })), None);
    // Red lies on the left, and the remote's second key is the right.
    assert!(std::fs::read_to_string(desk.path("r.jsonl")).unwrap().contains(r#"{"answered":"green"}"#));
}

#[test]
fn a_tablet_comes_in_by_the_network_s_address_where_that_is_named() {
    // A second address of this machine stands in for that on a network.
    let (desk, mut hall) = begun(ROOM, "--lan 127.0.0.2");
    assert!(hall.origin.starts_with("http://127.0.0.2:"), "{}", hall.origin);
    let Some(tablet) = panel(&mut hall, [1024, 768]) else { return };
    tablet.wait_for("return document.body.dataset.stage === 'start'");
    // Another window asks for its code there, and the address is the network's.
    tablet.click("[data-act=options]");
    tablet.click("[data-do=code]");
    tablet.wait_for("return document.getElementById('code').innerText.includes('127.0.0.2')");
    tablet.keep("exam-options-tablet");
    let refused = desk.run("exam --port 0 --lan 203.0.113.9");
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(refused.err.contains("203.0.113.9") && refused.err.contains("--lan"), "{}", refused.err);
}
