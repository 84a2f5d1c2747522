//! Wall, panel and server are closed, left, killed and opened again, in real browsers: everything stands where it stood.

use image::RgbImage;
use serde_json::Value;

use crate::common::Desk;
use crate::common::browser::Browser;
use crate::common::focus::{tab_on, tab_through};
use crate::common::hall::Hall;
use crate::common::windows::{READY, STATE, begun, coarse, enter, fill, panel, stage, tap, wall};

const WALL: [u32; 2] = [1280, 720];

const PANEL: [u32; 2] = [390, 844];

/// A server with a wall and a panel.
struct Windows {
    desk: Desk,
    hall: Option<Hall>,
    wall: Browser,
    panel: Browser,
}

/// What a panel shows: all its words but those of the wall, what is pressed and chosen.
const SHOWN: &str = "
    const seen = ['head', 'undo', 'lens', 'ask', 'said', 'estimate', 'choices', 'white', 'others', 'record', 'pressed', 'answers', 'lens-in'];
    const words = seen.map((id) => document.getElementById(id).closest('[hidden]') ? '' : document.getElementById(id).innerText);
    const shown = [...document.querySelectorAll('[aria-pressed]')].filter((e) => !e.closest('[hidden]'));
    const pressed = shown.map((e) => `${e.textContent} ${e.ariaPressed}`);
    const chosen = [...document.querySelectorAll('select, #form input')].map((e) => e.type === 'radio' ? e.checked : e.value);
    return [document.body.dataset.stage, words, pressed, chosen];
";

/// Whether the estimate stands wherever an eye's result does.
const ESTIMATED: &str = "
    const result = ['choose', 'left_eye', 'right_eye', 'closed'].includes(document.body.dataset.stage);
    return !result || !document.getElementById('estimate').hidden;
";

impl Windows {
    fn open(room: &str) -> Option<Self> {
        let (desk, mut hall) = begun(room, "--record r.jsonl");
        let wall = wall(&mut hall, WALL)?;
        let panel = panel(&mut hall, PANEL)?;
        Some(Self { desk, hall: Some(hall), wall, panel })
    }

    fn hall(&mut self) -> &mut Hall {
        self.hall.as_mut().unwrap()
    }

    fn step(&self) -> u64 {
        self.panel.script("return document.body.dataset.state").as_str().unwrap().parse().unwrap()
    }

    /// What stands on the panel and on the wall, once the wall shows what is asked for and a result's estimate is worked out.
    fn stands(&self) -> (Value, RgbImage) {
        self.panel.wait_for(STATE);
        self.panel.wait_for(READY);
        self.panel.wait_for(ESTIMATED);
        (self.panel.script(SHOWN), self.wall.picture())
    }

    fn set(&self, does: &str) {
        self.panel.click("[data-act=options]");
        self.panel.click(&format!("[data-do={does}]"));
        self.panel.wait_for(&format!(
            "return document.querySelector('[data-do={does}]').getAttribute('aria-pressed') === 'true'"
        ));
        self.panel.click("#options [data-act=leave]");
    }

    fn write_by_metres(&self) {
        self.panel.script(
            "const list = document.getElementById('notation'); list.value = '6';
             list.dispatchEvent(new Event('change', { bubbles: true }))",
        );
        self.panel.wait_for("return document.getElementById('line').innerText.startsWith('6/')");
    }

    fn miss(&self, place: usize) {
        self.panel.wait_for(READY);
        self.panel.click(&format!("[data-do=missed][data-value=\"{place}\"]"));
        self.panel.wait_for(&format!(
            "return document.querySelector('#read [data-value=\"{place}\"]').getAttribute('aria-pressed') === 'true'"
        ));
    }

    /// One eye, whose wall is dark between questions, with a look at each step before it is gone on with.
    fn walk(&mut self, mut look: impl FnMut(&mut Self)) {
        look(self);
        fill(&self.panel, EYE);
        self.set("dark-between");
        self.set("patient-buttons");
        self.write_by_metres();
        for (place, field) in FIELDS.into_iter().enumerate() {
            if place > 0 {
                look(self);
                tap(&self.panel, "#lens-in");
            }
            look(self);
            let answer =
                if field == "same" { "[data-answer=same]".into() } else { format!("[data-field={field}]") };
            tap(&self.panel, &answer);
        }
        assert_eq!(stage(&self.panel), "white");
        tap(&self.panel, "[data-do=smaller]");
        self.miss(1);
        self.miss(4);
        look(self);
        tap(&self.panel, "[data-do=take-white]");
        for selector in ["[data-value=far-quarter]", "[data-do=one-eye]"] {
            look(self);
            tap(&self.panel, selector);
        }
        assert_eq!(stage(&self.panel), "closed");
        look(self);
    }

    /// What the record has of the examination, without moments, names and the letters of chance.
    fn record(&self, name: &str) -> Vec<Value> {
        let text = std::fs::read_to_string(self.desk.path(name)).unwrap();
        let lines = text.lines().map(|line| {
            let mut line: Value = serde_json::from_str(line).unwrap();
            for of_its_own in ["examination", "at", "sum", "wall"] {
                line.as_object_mut().unwrap().remove(of_its_own);
            }
            line
        });
        lines.collect()
    }

    /// The record is that of a balance in a terminal with the same answers, which no window ever left.
    fn is_recorded_once(&self) {
        let run = self.desk.run(
            "balance --room room.toml --eye right --manifest -1.00/-0.50x90 --for room --acuity 20/20 --kind pseudophakic \
             --procedure customary --answers red,green,same,same --white 6/6-2 --choose far-quarter --one-eye --record t.jsonl --json",
        );
        assert_eq!(run.code, 0, "{}", run.err);
        assert_eq!(self.record("r.jsonl"), self.record("t.jsonl"));
    }
}

const EYE: &[(&str, &str)] = &[
    ("eye", "right"),
    ("manifest", "-1.00/-0.50x90"),
    ("for", "room"),
    ("acuity", "20/20"),
    ("kind", "pseudophakic"),
    ("procedure", "customary"),
];

/// What the patient answers.
const FIELDS: [&str; 4] = ["red", "green", "same", "same"];

/// Ways in which a window goes and comes back.
const WAYS: [fn(&mut Windows); 7] = [
    |windows| {
        windows.wall.close_window();
        windows.panel.wait_for(NO_WALL);
        let address = format!("{}/wall", windows.hall().origin);
        windows.wall.visit(&address, None);
    },
    |windows| {
        windows.panel.close_window();
        let address = format!("{}/panel", windows.hall().origin);
        windows.panel.visit(&address, None);
        windows.panel.wait_for(STATE);
        take_over(&windows.panel);
    },
    |windows| away_and_back(&windows.wall),
    |windows| away_and_back(&windows.panel),
    |windows| {
        windows.wall.kill();
        windows.panel.wait_for(NO_WALL);
        windows.wall = wall(windows.hall(), WALL).unwrap();
    },
    |windows| {
        windows.panel.kill();
        windows.panel = panel(windows.hall(), PANEL).unwrap();
        take_over(&windows.panel);
    },
    |windows| {
        windows.wall.reload();
        windows.panel.reload();
    },
];

const NO_WALL: &str = "return document.getElementById('wall-says').innerText.includes('No wall is open')";

/// Another window is another panel, which watches until it takes over.
fn take_over(panel: &Browser) {
    panel.click("[data-do=take-over]");
    panel.wait_for("return document.body.dataset.commands === 'true'");
}

fn away_and_back(window: &Browser) {
    let address = window.script("return location.href").as_str().unwrap().to_owned();
    window.visit("about:blank", None);
    // Now and then the browser takes no notice of the first wish to go back.
    let is_back = format!("return location.href === '{address}'");
    for _ in 0..5 {
        if window.script("return location.href === 'about:blank'") == true {
            window.back();
        }
        if (0..40).any(|_| {
            std::thread::sleep(std::time::Duration::from_millis(50));
            window.script(&is_back) == true
        }) {
            break;
        }
    }
    window.wait_for(&is_back);
}

#[test]
fn windows_that_are_closed_left_or_killed_come_back_to_what_stood() {
    let Some(mut windows) = Windows::open(&coarse(false)) else { return };
    let mut turn = 0;
    windows.walk(|windows| {
        let (stood, step) = (windows.stands(), windows.step());
        for _ in 0..2 {
            WAYS[turn % WAYS.len()](windows);
            let stands = windows.stands();
            assert_eq!(stands.0, stood.0, "way {turn}");
            assert!(stands.1 == stood.1, "way {turn}: the wall shows something else");
            assert_eq!(windows.step(), step, "way {turn}");
            turn += 1;
        }
    });
    assert!(turn >= 2 * WAYS.len(), "each way was gone twice: {turn}");
    windows.is_recorded_once();
}

#[test]
fn a_server_that_is_killed_at_every_step_comes_back_to_what_stood() {
    let Some(mut windows) = Windows::open(&coarse(true)) else { return };
    let (mut kills, mut marked) = (0, 0);
    windows.walk(|windows| {
        let (stood, step) = (windows.stands(), windows.step());
        marked += stood.0.to_string().matches(" true").count();
        let port = windows.hall.take().unwrap().kill();
        // Where no room is named it is found by what is in hand.
        let arguments = if kills % 2 == 0 { "--room room.toml --record r.jsonl" } else { "--record r.jsonl" };
        windows.hall = Some(Hall::at(&windows.desk, port, arguments));
        // Both windows ask for a code by themselves.
        for (role, window) in [("wall", &windows.wall), ("panel", &windows.panel)] {
            window.wait_for("return document.querySelector('input[name=code]') !== null");
            enter(windows.hall.as_mut().unwrap(), role, window);
        }
        let stands = windows.stands();
        assert_eq!(stands.0, stood.0, "kill {kills}");
        assert!(stands.1 == stood.1, "kill {kills}: the wall shows something else");
        assert!(windows.step() > step, "a touch for an earlier step would count");
        kills += 1;
    });
    // Both options from the second kill on, and two letters once.
    assert_eq!((kills, marked), (12, 2 * 11 + 2));
    windows.is_recorded_once();
}

#[test]
fn keys_go_through_every_stage_in_reading_order_and_are_always_seen() {
    let Some(mut windows) = Windows::open(&coarse(false)) else { return };
    let mut seen = Vec::new();
    windows.walk(|windows| {
        let panel = &windows.panel;
        panel.wait_for(READY);
        seen.push((stage(panel), tab_through(panel)));
        // What lies over the step holds the focus until it is closed.
        panel.script("document.querySelector('[data-act=options]').focus()");
        panel.press("Enter");
        let options = tab_on(panel);
        assert!(options > 5, "{options}");
        panel.press("Escape");
        panel.wait_for("return !document.getElementById('options').open");
    });
    for stage in ["start", "ask", "white", "choose", "left_eye", "closed"] {
        assert!(seen.iter().any(|(one, controls)| one == stage && *controls > 3), "{stage}: {seen:?}");
    }
}
