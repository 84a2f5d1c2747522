//! One server for as many questions as eight hours bring, over bare sockets and as fast as they are taken, while wall and panels come
//! and go: it grows by nothing, does not slow down, and every question stands in the record once.
//!
//! `EVENFIELD_QUESTIONS=20000` makes the long run longer.

#![allow(clippy::print_stdout, reason = "a long run prints what it has measured")]

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use evenfield::balance::Procedure;
use evenfield::balance::record::Records;
use serde_json::{Value, json};

use crate::common::bare::{Chance, Echo, Panel, Wall};
use crate::common::hall::{Hall, Line, Pass};
use crate::common::{Desk, ROOM};

/// A wall is opened again after as many steps, since each makes it send a message or two and the server closes a line that
/// sends more than 30 in a second.
const STEPS_A_WALL: usize = 12;

/// The other panel takes over after as many.
const STEPS_A_COMMAND: usize = 90;

/// All windows come in anew, by codes, after as many.
const STEPS_A_PASS: usize = 400;

/// A window is left open that nobody reads, as that of a tablet which fell asleep, after as many.
const STEPS_A_SLEEPER: usize = 250;

/// By so much may the server's memory grow from a tenth of the questions to the last.
const MOST_GROWTH: u64 = 8 << 20;

/// By so much may the slowest answers of a hundred, but for five, be slower in the last tenth than in the first.
const MOST_SLOWER: f64 = 1.5;

/// For how long the server may hold what it no longer needs: a window that says nothing for ten seconds, which it looks for
/// every four, and a thread for work beside, which waits for more for ten.
const LETS_GO_WITHIN: Duration = Duration::from_secs(30);

/// What the record must have of a question.
#[derive(Debug, PartialEq)]
struct Asked {
    examination: Value,
    event: Value,
    letters: Value,
}

/// A server with its windows.
struct Day {
    desk: Desk,
    hall: Hall,
    at_first: [usize; 2],
    wall: Wall,
    wall_pass: Pass,
    awake: bool,
    panel: Panel,
    watcher: Panel,
    sleepers: Vec<Line>,
    has_sleepers: bool,
    chance: Chance,
    steps: usize,
    asked: Vec<Asked>,
    echo: Echo,
    /// How long each answer took to the wall, and an echo after it.
    times: Vec<[Duration; 2]>,
}

impl Day {
    fn begin(has_sleepers: bool) -> Self {
        let desk = Desk::new();
        desk.write("room.toml", ROOM);
        let mut hall = Hall::begin(&desk, "--room room.toml --record r.jsonl");
        let at_first = hall.threads_and_files();
        let wall_pass = hall.enter("wall");
        let wall = Wall::awake(&hall, &wall_pass, true);
        let [panel, watcher] = ["one", "other"].map(|name| {
            let pass = hall.enter("panel");
            Panel::open(&hall, &pass, name)
        });
        Self {
            desk,
            hall,
            at_first,
            wall,
            wall_pass,
            awake: true,
            panel,
            watcher,
            sleepers: Vec::new(),
            has_sleepers,
            chance: Chance(1),
            steps: 0,
            asked: Vec::new(),
            echo: Echo::begin(),
            times: Vec::new(),
        }
    }

    /* Windows that come and go */

    fn come_and_go(&mut self) {
        self.steps += 1;
        if self.steps.is_multiple_of(STEPS_A_PASS) {
            self.enter_anew();
        }
        if self.steps.is_multiple_of(STEPS_A_WALL) {
            self.change_wall();
        }
        if self.steps.is_multiple_of(STEPS_A_COMMAND) {
            self.change_panel();
        }
        if self.has_sleepers && self.steps.is_multiple_of(STEPS_A_SLEEPER) {
            let mut sleeper = self.hall.line("panel", &self.panel.pass);
            sleeper.send(&json!({ "hello": "asleep" }));
            self.sleepers.push(sleeper);
        }
    }

    /// Passes are bounded, and the oldest go first.
    fn enter_anew(&mut self) {
        self.wall_pass = self.hall.enter("wall");
        for panel in [&mut self.panel, &mut self.watcher] {
            panel.pass = self.hall.enter("panel");
            panel.again(&self.hall);
        }
    }

    /// Another wall; the one before says that it goes, or is cut off, or is still there when the other comes.
    fn change_wall(&mut self) {
        match self.chance.below(3) {
            0 => self.wall.say_goodbye(),
            1 => self.wall.cut(),
            _ => {}
        }
        self.awake = !self.awake;
        self.wall = Wall::awake(&self.hall, &self.wall_pass, self.awake);
        let sleepy = !self.awake;
        self.panel.until(|state| state["wall"]["ready"] == true && state["wall"]["sleepy"] == sleepy);
    }

    /// The panel that commands goes and the other takes over, before or after it is back.
    fn change_panel(&mut self) {
        match self.chance.below(3) {
            0 => self.panel.say_goodbye(),
            1 => self.panel.cut(),
            _ => {}
        }
        let step = self.watcher.step();
        assert!(self.watcher.send(&self.hall, &json!({ "do": "take-over" }), step));
        self.panel.again(&self.hall);
        std::mem::swap(&mut self.panel, &mut self.watcher);
        self.panel.until(|state| state["commands"] == true);
    }

    /* Examinations */

    /// What is done next, and how the record has it where it is a question's answer.
    fn next(&mut self) -> (Value, Option<Value>) {
        let state = &self.panel.state;
        let stage = state["stage"].as_str().unwrap();
        match stage {
            "start" => (self.form("right"), None),
            "left_eye" => (self.form("left"), None),
            "ask" => {
                let answers = state["ask"]["answers"].as_array().unwrap();
                let answer = &answers[self.chance.below(answers.len())];
                let said = if answer["field"].is_null() { &answer["answer"] } else { &answer["field"] };
                let wish = json!({ "do": "answer", "answer": answer["answer"] });
                (wish, Some(json!({ "answered": said })))
            }
            "white" => (json!({ "do": "white", "score": "20/20-1" }), None),
            "binocular" => (json!({ "do": "binocular", "done": false }), None),
            "closed" => (json!({ "do": "another" }), None),
            "limit" => {
                let wish = self.choose(&["legible"]);
                let event = json!({ "limit": wish["answer"] });
                (wish, Some(event))
            }
            "too_much_minus" => (self.choose(&["after-minus"]), None),
            "choose" => (self.choose(&["choose", "also-midpoint"]), None),
            _ => panic!("{stage}"),
        }
    }

    /// One of the choices of some kinds.
    fn choose(&mut self, kinds: &[&str]) -> Value {
        let choices = self.panel.state["choices"].as_array().unwrap();
        let of_kind: Vec<&Value> =
            choices.iter().filter(|one| kinds.contains(&one["do"].as_str().unwrap())).collect();
        let chosen = of_kind[self.chance.below(of_kind.len())];
        let mut wish = json!({ "do": chosen["do"] });
        if let Some([name, value]) = chosen["with"].as_array().map(Vec::as_slice) {
            wish[name.as_str().unwrap()] = value.clone();
        }
        wish
    }

    fn form(&mut self, eye: &str) -> Value {
        let mut form = json!({
            "do": "start", "eye": eye, "for": "room", "manifest": "-1.00/-0.50x90", "acuity": "20/20",
            "kind": self.chance.of(&["small-aperture", "presbyopic"]),
        });
        // One eye of six is asked in the way that is proposed, which works out most.
        if self.chance.below(6) > 0 {
            let ways = [Procedure::Customary, Procedure::FromPlus, Procedure::Bracket];
            form["procedure"] = self.chance.of(&ways).name().into();
        }
        form
    }

    /// Does what comes next.
    fn turn(&mut self) {
        self.panel.ready();
        self.come_and_go();
        let letters = self.panel.state["ask"]["letters"].clone();
        let (wish, event) = self.next();
        let step = self.panel.step();
        self.panel.make_room(&self.hall);
        self.wall.told.try_iter().for_each(drop);
        let begun = Instant::now();
        assert!(self.panel.send(&self.hall, &wish, step));
        if let Some(event) = event {
            let told = self.wall.told.recv_timeout(Duration::from_secs(20));
            let took = told.unwrap_or_else(|_| panic!("{wish}: {}", self.panel.state)) - begun;
            let echo = self.echo.time(self.panel.state.to_string().len());
            self.times.push([took, echo]);
            let examination = self.panel.state["keptAs"].clone();
            self.asked.push(Asked { examination, event, letters });
        }
        self.panel.until(|state| state["step"].as_u64() > Some(step));
        assert_eq!(self.panel.step(), step + 1, "a step was skipped");
        self.watcher.until(|state| state["step"].as_u64() > Some(step));
    }

    fn ask(&mut self, questions: usize) {
        while self.asked.len() < questions {
            self.turn();
        }
    }

    /// All answers in the record, in their order, and nothing wrong with it; how many bytes it has, and how many examinations.
    fn compare(&self) -> [usize; 2] {
        let text = std::fs::read_to_string(self.desk.path("r.jsonl")).unwrap();
        let records = Records::read(&text);
        assert_eq!(records.problems, []);
        let lines = text.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
        let kept: Vec<Asked> = lines
            .filter(|line| !line["asked"].is_null())
            .map(|mut line| Asked {
                examination: line["examination"].take(),
                event: line["event"].take(),
                letters: line["wall"]["letters"].take(),
            })
            .collect();
        assert_eq!(kept.len(), self.asked.len());
        for (kept, asked) in kept.iter().zip(&self.asked) {
            assert_eq!(kept, asked);
        }
        [text.len(), records.kept.len()]
    }

    /// Closes all windows but those that sleep; what the server holds then, once it has what it had at first or has had its time.
    fn end(self, of: impl Fn([usize; 2]) -> bool) -> [usize; 2] {
        let Self { hall, at_first, wall, panel, watcher, sleepers, .. } = self;
        drop((wall, panel, watcher));
        let begun = Instant::now();
        while !of(hall.threads_and_files()) && begun.elapsed() < LETS_GO_WITHIN {
            std::thread::sleep(Duration::from_millis(20));
        }
        let at_last = hall.threads_and_files();
        println!(
            "threads and open files at first {at_first:?}, at last {at_last:?}; {} slept",
            sleepers.len()
        );
        at_last
    }
}

#[test]
fn every_question_is_kept_once_while_windows_come_and_go() {
    let mut day = Day::begin(false);
    day.ask(100);
    day.compare();
    let [_, files] = day.at_first;
    assert_eq!(day.end(|[_, now]| now == files)[1], files);
}

/// What 95 of a hundred do not exceed.
fn most(times: &[[Duration; 2]], which: usize) -> f64 {
    let mut times: Vec<Duration> = times.iter().map(|both| both[which]).collect();
    times.sort();
    times[times.len() * 95 / 100].as_secs_f64() * 1e3
}

#[test]
#[ignore = "minutes: as much work as eight hours bring"]
fn a_long_day_makes_the_server_neither_larger_nor_slower() {
    let questions = std::env::var("EVENFIELD_QUESTIONS").map_or(2000, |text| text.parse().unwrap());
    let begun = Instant::now();
    let mut day = Day::begin(true);
    day.ask(questions / 10);
    let early = day.hall.memory();
    day.ask(questions);
    let late = day.hall.memory();
    let [bytes, examinations] = day.compare();
    println!(
        "{questions} questions of {examinations} examinations in {} steps, {:.0?}; record {} kB; memory after a tenth {} kB, at the end {} kB, \
         at the most {} kB",
        day.steps,
        begun.elapsed(),
        bytes >> 10,
        early >> 10,
        late >> 10,
        day.hall.most_memory() >> 10
    );
    let tenths: BTreeMap<usize, [f64; 2]> = day
        .times
        .chunks(questions / 10)
        .enumerate()
        .map(|(tenth, times)| (tenth + 1, [most(times, 0), most(times, 1)]))
        .collect();
    for (tenth, [answer, echo]) in &tenths {
        println!(
            "tenth {tenth}: 95 % of answers {answer:.2} ms, of echoes {echo:.3} ms, ratio {:.1}",
            answer / echo
        );
    }
    let [first, last] = [tenths[&1], tenths[&10]];
    // Where the machine itself became slower, by what others do on it, the bare echo did so too.
    let slower = last[0] / first[0] / (last[1] / first[1]).max(1.0);
    assert!(slower <= MOST_SLOWER, "{slower:.2} times slower");
    assert!(late.saturating_sub(early) <= MOST_GROWTH, "grew by {} kB", (late - early) >> 10);
    let at_first = day.at_first;
    assert_eq!(day.end(|now| now == at_first), at_first);
}
