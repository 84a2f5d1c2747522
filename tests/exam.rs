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
