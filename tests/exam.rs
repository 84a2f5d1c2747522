//! One exam room: wall and panel in real browsers and over bare sockets.

use serde_json::{Value, json};

use crate::common::browser::Browser;
use crate::common::hall::{Hall, Line, Pass};
use crate::common::{Desk, Png};

/// A room whose screen the browser has.
const ROOM: &str = "name = \"Larkspur Eye Rooms, room 1 (made up)\"\n[viewing]\ndistance_mm = 3200\n\
    [screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n\
    [luminance]\nred = 52\ngreen = 178\nblue = 19\nwhite = 249\nblack = 0.25\n[tone]\ngamma = 2.2\n";

const SCREEN: [u32; 2] = [1920, 1080];

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

fn wall(hall: &mut Hall) -> Option<Browser> {
    let pass = hall.enter("wall");
    let browser = Browser::open(SCREEN, 1.0)?;
    browser.visit(&format!("{}/wall", hall.origin), Some((&pass.name, &pass.value)));
    Some(browser)
}

#[test]
fn the_wall_shows_what_the_step_asks_for_and_passes_the_check() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let mut hall = Hall::begin(&desk, "--room room.toml --record r.jsonl");
    let Some(browser) = wall(&mut hall) else { return };
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
}

/// A panel in a browser of a size, let in by the code that is typed at its door.
fn panel(hall: &mut Hall, pixels: [u32; 2]) -> Option<Browser> {
    let browser = Browser::open(pixels, 1.0)?;
    let pass = hall.enter("panel");
    browser.visit(&format!("{}/panel", hall.origin), Some((&pass.name, &pass.value)));
    browser.wait_for("return document.body.dataset.state > 0");
    Some(browser)
}

fn stage(panel: &Browser) -> String {
    panel.script("return document.body.dataset.stage").as_str().unwrap().into()
}

/// Taps a control of the panel when it is there and the wall is ready; the step has changed then.
fn tap(panel: &Browser, selector: &str) {
    panel.wait_for("return document.getElementById('wall').dataset.ready === 'true'");
    panel.wait_for(&format!(
        "const e = document.querySelector('{selector}'); return e !== null && !e.closest('[hidden]')"
    ));
    let step = panel.script("return document.body.dataset.state").as_str().unwrap().to_owned();
    panel.click(selector);
    panel.wait_for(&format!("return document.body.dataset.state !== '{step}'"));
}

#[test]
fn a_room_is_set_up_with_a_card_a_tape_and_the_eye() {
    let desk = Desk::new();
    let mut hall = Hall::begin(&desk, "--record r.jsonl");
    let Some(wall) = wall(&mut hall) else { return };
    let Some(panel) = panel(&mut hall, [390, 844]) else { return };
    panel.keep("exam-choose-room");
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
            "[...document.querySelectorAll('[data-do=card]')].find((e) => e.textContent.includes('{word} by {by}') && !e.textContent.includes('{word} by {by}0')).click()"
        ));
        wall.wait_for(&format!(
            "return document.getElementById('card').getBoundingClientRect().width !== {before}"
        ));
    }
    panel.keep("exam-card");
    wall.keep("exam-card-wall");
    tap(&panel, "[data-do=card-fits]");
    panel.keep("exam-distance");
    panel.type_in("[name=distance]", "3.2m");
    panel.click("[name=mirror][value=no]");
    tap(&panel, "form [data-do=distance]");
    wall.wait_for("return !document.getElementById('chart').hidden");
    panel.keep("exam-match");
    wall.keep("exam-match-wall");
    tap(&panel, "[data-do=match][data-value=\"5\"]");
    panel.keep("exam-keep");
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
