//! Examinations over bare sockets whose messages come twice, late and from the wrong window, and whose server and lines are cut
//! at any moment: each answer counts once, for the question that was on the wall, and none that was acknowledged is lost.
//!
//! `EVENFIELD_EXAMINATIONS=200` and `EVENFIELD_KILLS=300` make the long runs.

#![allow(clippy::print_stdout, reason = "a test of chance prints what it has seen")]

use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use evenfield::acuity::{Notation, Score};
use evenfield::balance::record::{Kept, Records};
use evenfield::balance::{
    AfterMinus, Answer, Apart, BinocularStep, Choice, Clearer, ColourVision, Comparing, Course, EndPoint,
    Event, Examination, EyeKind, Laterality, Legible, Near, Procedure, Stage,
};
use evenfield::light::Side;
use evenfield::quantity::{Dioptres, Length};
use serde_json::{Value, json};

use crate::common::bare::{Chance, Echo, MOST_ON_A_LINE, Panel, Wall};
use crate::common::hall::{Hall, Pass};
use crate::common::{Desk, ROOM};

/// Examinations kept in one file: a long one is read slowly by an unoptimised program.
const A_RECORD: usize = 10;

const ARGUMENTS: &str = "--room room.toml --record r.jsonl";

fn count(variable: &str, usual: usize) -> usize {
    std::env::var(variable).map_or(usual, |text| text.parse().unwrap())
}

/// What a wish comes to once it is taken.
enum Taken {
    /// An eye begins, as the record then has it.
    Begins,
    /// Something that the record keeps.
    Happens(Event),
    /// Another step, of which the record knows nothing.
    Steps,
    /// The same step, showing what is wanted.
    Set(Box<dyn Fn(&Value) -> bool>),
}

/// What a panel is going to send.
struct Plan {
    wish: Value,
    taken: Taken,
    /// Whether it must be taken while the wall shows what the step asks for.
    sure: bool,
}

fn plan(wish: Value, taken: Taken) -> Plan {
    Plan { wish, taken, sure: true }
}

/// An examination as its answers make it, beside the one that the server holds.
struct Ours {
    chance: Chance,
    /// Whether no wish is made that may be refused, as for a line that the room cannot show.
    plain: bool,
    /// What most answers of this patient are, so that examinations end in every way.
    leaning: Option<Answer>,
    desk: Desk,
    model: Examination,
    events: Vec<Event>,
    /// The letters that stood on the wall at each event, where that is known.
    letters: Vec<Option<Value>>,
    seen: BTreeSet<String>,
}

impl Ours {
    fn new(seed: u64, plain: bool) -> Self {
        let desk = Desk::new();
        desk.write("room.toml", ROOM);
        Self {
            chance: Chance(seed),
            plain,
            leaning: None,
            desk,
            model: Examination::default(),
            events: Vec::new(),
            letters: Vec::new(),
            seen: BTreeSet::new(),
        }
    }

    fn next_patient(&mut self) {
        self.leaning = self.chance.of(&[None, Some(Answer::Red), Some(Answer::Green), Some(Answer::Same)]);
        (self.model, self.events, self.letters) = (Examination::default(), Vec::new(), Vec::new());
    }

    fn form(&mut self, eye: &str) -> Plan {
        let chance = &mut self.chance;
        let mut form = json!({
            "do": "start", "eye": eye, "for": chance.of(&["room", "far"]),
            "acuity": chance.of(&["20/20", "20/40+1"]),
            "kind": chance.of(&EyeKind::ALL).name(), "colour-vision": chance.of(&ColourVision::ALL).name(),
            "red": chance.of(&["left", "right", ""]), "lines-above": chance.of(&["", "2"]),
        });
        let (manifest, vertex) =
            chance.of(&[("-1.00/-0.50x90", ""), ("+2.25", ""), ("-4.50/-1.00x10", "12")]);
        (form["manifest"], form["vertex"]) = (manifest.into(), vertex.into());
        // Every eye may be asked so; the adaptive way, which most kinds of eye have by themselves, takes a server longer to begin.
        if chance.percent(80) {
            form["procedure"] = chance.of(&[Procedure::Customary, Procedure::FromPlus]).name().into();
        }
        if !self.plain && chance.percent(50) {
            form["procedure"] = chance.of(&Procedure::ALL).name().into();
            form["end-point"] = chance.of(&EndPoint::ALL).key().into();
        }
        // Not every eye may be asked in every way.
        Plan { sure: self.plain, ..plan(form, Taken::Begins) }
    }

    fn set(&mut self) -> Plan {
        if self.chance.percent(60) {
            let on = self.chance.percent(50);
            let is_on = move |state: &Value| state["darkBetween"] == on;
            return plan(json!({ "do": "dark-between", "on": on }), Taken::Set(Box::new(is_on)));
        }
        let name = self.chance.of(&[Notation::Feet, Notation::SixMetres]).name();
        let is_it = move |state: &Value| state["notation"] == name;
        plan(json!({ "do": "write", "notation": name }), Taken::Set(Box::new(is_it)))
    }

    fn answer(&mut self, red: Side) -> Plan {
        let answer = match self.leaning {
            Some(answer) if self.chance.percent(85) => answer,
            _ => self.chance.of(&Answer::ALL),
        };
        let (own, other) = if red == Side::Left { ("left", "right") } else { ("right", "left") };
        let said = match answer {
            Answer::Red => own,
            Answer::Green => other,
            Answer::Same => "same",
            Answer::Unsure => "unsure",
        };
        plan(json!({ "do": "answer", "answer": said }), Taken::Happens(Event::Answered(answer)))
    }

    fn white(&mut self, state: &Value) -> Plan {
        let typed = self.chance.of(&["20/20", "20/25+1", "20/32-2"]);
        let score = |text: &str| Taken::Happens(Event::White(text.parse::<Score>().unwrap()));
        let unsure = |one: Plan| Plan { sure: false, ..one };
        match self.chance.below(if self.plain { 4 } else { 7 }) {
            0 => plan(json!({ "do": "white", "score": typed }), score(typed)),
            4 => unsure(plan(json!({ "do": "smaller" }), Taken::Steps)),
            5 => unsure(plan(json!({ "do": "larger" }), Taken::Steps)),
            1..4 => {
                let letter = self.chance.below(state["white"]["letters"].as_array().unwrap().len());
                let missed = self.chance.percent(60);
                let is_marked = move |state: &Value| state["white"]["letters"][letter]["missed"] == missed;
                let wish = json!({ "do": "missed", "letter": letter, "missed": missed });
                plan(wish, Taken::Set(Box::new(is_marked)))
            }
            _ => {
                unsure(plan(json!({ "do": "take-white" }), score(state["white"]["score"].as_str().unwrap())))
            }
        }
    }

    /// What the panel wishes next; none at the end.
    fn plan(&mut self, state: &Value) -> Option<Plan> {
        let happens = |wish: Value, event| Some(plan(wish, Taken::Happens(event)));
        let stage = self.model.stage();
        let can_seek = self.model.courses.last().is_some_and(Course::can_seek_midpoint);
        if self.model.can_undo() && self.chance.percent(7) {
            return happens(json!({ "do": "undo" }), Event::Undone);
        }
        match stage {
            Stage::Start => {
                let eye = self.chance.of(&["right", "left"]);
                Some(self.form(eye))
            }
            Stage::Ask(_) | Stage::Limit(_) if self.chance.percent(12) => Some(self.set()),
            Stage::Ask(_) | Stage::Limit(_) if state["ask"]["covered"] == true => {
                Some(plan(json!({ "do": "lens-in" }), Taken::Steps))
            }
            Stage::Ask(_) | Stage::Limit(_) if self.chance.percent(5) => {
                Some(plan(json!({ "do": "new-letters" }), Taken::Steps))
            }
            Stage::Ask(question) => Some(self.answer(question.red)),
            Stage::Limit(_) => {
                let answer = self.chance.of(&Legible::ALL);
                happens(json!({ "do": "legible", "answer": answer.to_string() }), Event::Limit(answer))
            }
            Stage::Choose if can_seek && self.chance.percent(25) => {
                happens(json!({ "do": "also-midpoint" }), Event::AlsoMidpoint)
            }
            Stage::TooMuchMinus => {
                let what = self.chance.of(&AfterMinus::ALL);
                happens(json!({ "do": "after-minus", "choice": what.name() }), Event::AfterMinus(what))
            }
            Stage::White => Some(self.white(state)),
            Stage::Choose => {
                let choice = self.chance.of(&Choice::ALL);
                happens(json!({ "do": "choose", "choice": choice.name() }), Event::Chosen(choice))
            }
            Stage::OtherEye(eye) if self.chance.percent(15) => Some(self.form(eye.other().name())),
            Stage::OtherEye(eye) if self.chance.percent(50) => Some(self.form(eye.name())),
            Stage::OtherEye(_) => happens(json!({ "do": "one-eye" }), Event::OneEyeOnly),
            Stage::Binocular(step) if self.chance.percent(85) => Some(self.with_both(step)),
            Stage::Binocular(step) => {
                let done = self.chance.percent(50);
                happens(json!({ "do": "binocular", "done": done }), Event::Binocular(step, done))
            }
            Stage::Closed if self.model.near.is_empty() && self.chance.percent(40) => {
                let wish =
                    json!({ "do": "near", "near-distance": "40", "add": "+2.25", "near-red-green": "green" });
                let (distance, add) = (Length::mm(400.0), Dioptres::new(2.25));
                let near = Near { distance, add, acuity: None, clear: None, red_green: Some(Answer::Green) };
                happens(wish, Event::Near(Box::new(near)))
            }
            Stage::Closed => None,
        }
    }

    /// What is noted of a step with both eyes.
    fn with_both(&mut self, step: BinocularStep) -> Plan {
        let plan = |wish: Value, event| plan(wish, Taken::Happens(event));
        match (step, self.model.both.comparing()) {
            (BinocularStep::BalanceBetweenEyes, Comparing::Ask(_)) => {
                // Seldom the same, so that eyes are left unequal often enough.
                let seldom = self.chance.percent(15);
                let clearer =
                    if seldom { Clearer::Same } else { self.chance.of(&[Clearer::Right, Clearer::Left]) };
                plan(json!({ "do": "compared", "clearer": clearer.name() }), Event::Compared(clearer))
            }
            (BinocularStep::BalanceBetweenEyes, Comparing::Leads { .. }) => {
                let eye = self.chance.of(&Laterality::ALL);
                plan(json!({ "do": "leads", "eye": eye.name() }), Event::Leads(eye))
            }
            (BinocularStep::BalanceBetweenEyes, _) => {
                let apart = self.chance.of(&Apart::ALL);
                plan(json!({ "do": "apart", "apart": apart.name() }), Event::Apart(apart))
            }
            (BinocularStep::SphereWithBoth | BinocularStep::AcuityWithBoth, _) => {
                let score = self.chance.of(&["20/20", "20/20+1", "20/32-2"]);
                plan(json!({ "do": "white", "score": score }), Event::BothRead(score.parse().unwrap()))
            }
            (BinocularStep::TrialFrame, _) => {
                let (text, sphere) = self.chance.of(&[("0", 0.0), ("-0.25", -0.25), ("+0.50", 0.5)]);
                plan(json!({ "do": "framed", "sphere": text }), Event::Framed(Dioptres::new(sphere)))
            }
        }
    }

    /// All that the disk has of the last examination.
    fn on_disk(&self) -> Option<Kept> {
        let text = std::fs::read_to_string(self.desk.path("r.jsonl")).unwrap_or_default();
        let name = |line: &str| serde_json::from_str::<Value>(line).unwrap()["examination"].to_string();
        let id = text.lines().last().map(name)?;
        let own: Vec<&str> = text.lines().filter(|line| line.contains(&id)).collect();
        let records = Records::read(&own.join("\n"));
        assert_eq!((records.problems.as_slice(), records.kept.len()), ([].as_slice(), 1));
        records.kept.into_iter().next()
    }

    /// Notes that a wish was taken.
    fn take(&mut self, taken: &Taken, letters: Option<Value>) {
        let event = match taken {
            Taken::Happens(event) => event.clone(),
            Taken::Begins => self.on_disk().unwrap().events.pop().unwrap(),
            Taken::Steps | Taken::Set(_) => return,
        };
        let what = format!("{event:?}");
        self.seen.insert(what.split('(').next().unwrap().to_owned());
        if let Event::Started(start) = &event {
            self.seen.insert(format!("{} {}", start.kind.name(), start.colour_vision.name()));
        }
        self.model.happen(&event).unwrap();
        self.events.push(event);
        self.letters.push(letters);
    }

    /// Holds a panel's state against the examination.
    fn compare(&self, state: &Value) {
        assert_eq!(state["stage"], self.model.stage().name(), "{state}");
        let asked = self.model.courses.last().map_or(0, |course| course.asked.len() + course.limits.len());
        assert_eq!(state["earlier"].as_array().unwrap().len(), asked, "{state}");
    }

    /// Holds the disk against the examination.
    fn compare_disk(&self) {
        let kept = self.on_disk().unwrap();
        assert_eq!(kept.events, self.events);
        assert_eq!(kept.examination, Examination::of(&self.events).unwrap());
        assert_eq!(kept.examination, self.model);
        let text = std::fs::read_to_string(self.desk.path("r.jsonl")).unwrap();
        let lines = text.lines().filter(|line| line.contains(&kept.id));
        for (line, letters) in lines.zip(&self.letters) {
            let line: Value = serde_json::from_str(line).unwrap();
            if let Some(letters) = letters {
                assert_eq!(line["wall"]["letters"], *letters, "{line}");
            }
        }
    }
}

/// The letters that a panel sees on the wall while something is asked that the patient answers.
fn letters(state: &Value, taken: &Taken) -> Option<Value> {
    let is_answer = matches!(taken, Taken::Happens(Event::Answered(_)));
    (is_answer && state["wall"]["ready"] == true).then(|| state["ask"]["letters"].clone())
}

/* Never twice, never stale */

/// A server with a wall and two panels, the first of which commands.
struct Busy {
    hall: Hall,
    wall: Wall,
    wall_pass: Pass,
    turns: usize,
    panel: Panel,
    watcher: Panel,
    late: Vec<(Value, u64)>,
    refused: usize,
}

impl Busy {
    fn begin(desk: &Desk) -> Self {
        let mut hall = Hall::begin(desk, ARGUMENTS);
        let wall_pass = hall.enter("wall");
        let [one, other] = ["one", "other"].map(|name| (hall.enter("panel"), name));
        let wall = Wall::open(&hall, &wall_pass);
        let panel = Panel::open(&hall, &one.0, one.1);
        let watcher = Panel::open(&hall, &other.0, other.1);
        Self { hall, wall, wall_pass, turns: 0, panel, watcher, late: Vec::new(), refused: 0 }
    }

    /// Another wall now and then, as where its page is loaded again.
    fn change_wall(&mut self) {
        self.turns += 1;
        if self.turns.is_multiple_of(MOST_ON_A_LINE - 2) {
            let awake = self.turns.is_multiple_of(2 * (MOST_ON_A_LINE - 2));
            self.wall = Wall::awake(&self.hall, &self.wall_pass, awake);
            self.panel.until(|state| state["wall"]["ready"] == true && state["wall"]["sleepy"] == !awake);
        }
    }

    /// The other panel sends the same, and now and then takes over.
    fn disturb(&mut self, chance: &mut Chance, wish: &Value, step: u64) {
        if chance.percent(25) {
            let refused = self.watcher.batch(&self.hall, &[(wish.clone(), step), (wish.clone(), step)]);
            assert_eq!(refused, [step, step]);
            self.refused += 2;
        }
        if chance.percent(5) {
            let take_over = (json!({ "do": "take-over" }), step);
            assert!(self.watcher.batch(&self.hall, &[take_over]).is_empty());
            std::mem::swap(&mut self.panel, &mut self.watcher);
            self.panel.until(|state| state["commands"] == true && state["step"] == step);
        }
    }

    /// Sends a wish one to four times among late and early ones; whether it was taken.
    fn send(&mut self, chance: &mut Chance, wish: &Value, step: u64, sets: bool) -> bool {
        let copies = 1 + chance.below(4);
        let mut all = vec![(wish.clone(), step); copies];
        for _ in 0..chance.below(3) {
            let Some(place) = self.late.len().checked_sub(1) else { break };
            let late = self.late[place - chance.below(place + 1).min(8).min(place)].clone();
            let place = chance.below(all.len() + 1);
            all.insert(place, late);
        }
        if chance.percent(10) {
            all.insert(0, (wish.clone(), step + 1));
        }
        let refused = self.panel.batch(&self.hall, &all);
        self.refused += refused.len();
        let of_step = refused.iter().filter(|of| **of == step).count();
        assert_eq!(refused.len() - of_step, all.len() - copies, "a late or an early wish was taken");
        let taken = copies - of_step;
        assert!(taken <= 1 || (sets && taken == copies), "{wish} was taken {taken} times");
        taken > 0
    }

    fn turn(&mut self, ours: &mut Ours) -> bool {
        self.panel.stay(&self.hall);
        self.change_wall();
        let waits = !ours.chance.percent(15);
        if waits {
            self.panel.ready();
        }
        let Some(Plan { wish, taken, sure }) = ours.plan(&self.panel.state) else { return false };
        let step = self.panel.step();
        self.disturb(&mut ours.chance, &wish, step);
        let letters = letters(&self.panel.state, &taken);
        let was_taken = self.send(&mut ours.chance, &wish, step, matches!(taken, Taken::Set(_)));
        assert!(was_taken || !sure || !waits, "{wish} was refused: {}", self.panel.state);
        if was_taken {
            match &taken {
                Taken::Set(is_set) => self.panel.until(is_set),
                Taken::Begins | Taken::Happens(_) | Taken::Steps => {
                    self.panel.until(|state| state["step"].as_u64() > Some(step));
                    assert_eq!(self.panel.step(), step + 1, "a step was skipped");
                    self.late.push((wish, step));
                }
            }
            ours.take(&taken, letters);
        }
        ours.compare(&self.panel.state);
        true
    }
}

/// Examinations of some seeds in one record; what was seen, how many events, and how many wishes were refused.
fn examine(seeds: std::ops::Range<usize>) -> (BTreeSet<String>, usize, usize) {
    let mut ours = Ours::new(seeds.start as u64, false);
    let mut busy = Busy::begin(&ours.desk);
    let mut events = 0;
    for _ in seeds {
        while busy.turn(&mut ours) {}
        ours.compare_disk();
        events += ours.events.len();
        ours.next_patient();
        busy.panel.wish(&busy.hall, &json!({ "do": "another" }));
    }
    let text = std::fs::read_to_string(ours.desk.path("r.jsonl")).unwrap();
    assert_eq!(text.lines().count(), events, "the record has what was taken, and nothing else");
    (ours.seen, events, busy.refused)
}

/// Runs jobs two at a time.
fn both<T: Send>(jobs: usize, job: impl Fn(usize) -> T + Sync) -> Vec<T> {
    std::thread::scope(|scope| {
        let job = &job;
        let halves =
            [0, 1].map(|half| scope.spawn(move || (half..jobs).step_by(2).map(job).collect::<Vec<T>>()));
        halves.into_iter().flat_map(|half| half.join().unwrap()).collect()
    })
}

#[test]
fn every_wish_counts_once_however_often_and_late_it_comes() {
    let wanted = count("EVENFIELD_EXAMINATIONS", 100);
    let begun = Instant::now();
    let ran =
        both(wanted.div_ceil(A_RECORD), |part| examine(part * A_RECORD..((part + 1) * A_RECORD).min(wanted)));
    let seen: BTreeSet<&String> = ran.iter().flat_map(|(seen, ..)| seen).collect();
    for event in [
        "Started",
        "Answered",
        "Limit",
        "AlsoMidpoint",
        "Undone",
        "AfterMinus",
        "White",
        "Chosen",
        "OneEyeOnly",
        "Binocular",
        "Again",
        "Apart",
        "Compared",
        "Leads",
        "BothRead",
        "Framed",
        "Near",
    ] {
        assert!(seen.iter().any(|one| *one == event), "no {event} was ever tried");
        println!(
            "{event} in {} of {} records",
            ran.iter().filter(|(seen, ..)| seen.contains(event)).count(),
            ran.len()
        );
    }
    let events: usize = ran.iter().map(|(_, events, _)| events).sum();
    let refused: usize = ran.iter().map(|(.., refused)| refused).sum();
    println!(
        "{wanted} examinations, {events} events, {refused} wishes refused, {} kinds of things, {:?}",
        seen.len(),
        begun.elapsed()
    );
}

/* Kills */

/// A server that is killed and begun again, with a wall and a panel.
struct Frail {
    hall: Option<Hall>,
    wall: Option<Wall>,
    wall_pass: Pass,
    panel: Panel,
    cuts: [usize; 4],
    /// After how many kills the wish that was under way stood in the record.
    kept: usize,
    /// How many kills found marked letters on white.
    marked: usize,
}

impl Frail {
    fn begin(desk: &Desk) -> Self {
        let (hall, wall_pass, panel_pass) = Self::entered(Hall::begin(desk, ARGUMENTS));
        let wall = Some(Wall::open(&hall, &wall_pass));
        let panel = Panel::open(&hall, &panel_pass, "one");
        Self { hall: Some(hall), wall, wall_pass, panel, cuts: [0; 4], kept: 0, marked: 0 }
    }

    fn entered(mut hall: Hall) -> (Hall, Pass, Pass) {
        let (wall, panel) = (hall.enter("wall"), hall.enter("panel"));
        (hall, wall, panel)
    }

    fn hall(&self) -> &Hall {
        self.hall.as_ref().unwrap()
    }

    /// Kills the server and begins another at its port.
    fn kill(&mut self, desk: &Desk) {
        let port = self.hall.take().unwrap().kill();
        self.wall = None;
        let (cuts, kept, marked) = (self.cuts, self.kept, self.marked);
        let (hall, wall_pass, panel_pass) = Self::entered(Hall::at(desk, port, ARGUMENTS));
        let wall = Some(Wall::open(&hall, &wall_pass));
        let panel = Panel::open(&hall, &panel_pass, "one");
        *self = Self { hall: Some(hall), wall, wall_pass, panel, cuts, kept, marked };
    }

    /// Sends a wish until it is taken, of which one copy went out already or not.
    fn insist(&mut self, wish: &Value, step: u64) {
        let begun = Instant::now();
        loop {
            self.panel.until(|state| state["step"].as_u64() > Some(step) || state["wall"]["ready"] == true);
            if self.panel.step() > step {
                break;
            }
            assert!(begun.elapsed() < Duration::from_secs(10), "{wish} is never taken: {}", self.panel.state);
            self.panel.batch(self.hall.as_ref().unwrap(), &[(wish.clone(), step)]);
        }
        assert_eq!(self.panel.step(), step + 1);
    }

    fn turn(&mut self, ours: &mut Ours) -> bool {
        self.panel.ready();
        let Some(Plan { wish, taken, .. }) = ours.plan(&self.panel.state) else { return false };
        let step = self.panel.step();
        let letters = letters(&self.panel.state, &taken);
        let marked = stands(&self.panel.state).to_string().contains("\"missed\":true");
        let way = match ours.chance.below(10) {
            // The first letters that are marked meet a kill, whatever chance says.
            _ if marked && self.marked == 0 => 0,
            2 | 3 if matches!(taken, Taken::Set(_)) => usize::MAX,
            way => way,
        };
        if let Some(cuts) = self.cuts.get_mut(way) {
            *cuts += 1;
        }
        let wait = Duration::from_micros(ours.chance.below(1500) as u64);
        match way {
            // Between two answers, and between a wish and the answer to it.
            0 | 1 => {
                if way == 1 {
                    self.panel.send(self.hall.as_ref().unwrap(), &wish, step);
                }
                std::thread::sleep(wait);
                let stood = stands(&self.panel.state);
                self.kill(&ours.desk);
                if way == 0 {
                    self.panel.ready();
                    assert_eq!(stands(&self.panel.state), stood);
                    self.marked += usize::from(marked);
                }
                self.settle(ours, (way == 1).then_some((&taken, letters)));
            }
            _ if let Taken::Set(is_set) = &taken => {
                assert!(self.panel.batch(self.hall.as_ref().unwrap(), &[(wish, step)]).is_empty());
                self.panel.until(is_set);
            }
            2 => {
                self.panel.send(self.hall.as_ref().unwrap(), &wish, step);
                std::thread::sleep(wait / 4);
                self.wall = None;
                self.wall = Some(Wall::open(self.hall(), &self.wall_pass));
                self.insist(&wish, step);
                ours.take(&taken, None);
            }
            3 => {
                self.panel.send(self.hall.as_ref().unwrap(), &wish, step);
                std::thread::sleep(wait / 4);
                self.panel.cut();
                let hall = self.hall.as_ref().unwrap();
                self.panel.again(hall);
                self.insist(&wish, step);
                ours.take(&taken, letters);
            }
            _ => {
                self.panel.wish(self.hall.as_ref().unwrap(), &wish);
                ours.take(&taken, letters);
            }
        }
        ours.compare(&self.panel.state);
        true
    }

    /// What a kill left: all that was acknowledged, and the wish that was under way once or not at all.
    fn settle(&mut self, ours: &mut Ours, under_way: Option<(&Taken, Option<Value>)>) {
        let on_disk = ours.on_disk().map(|kept| kept.events).unwrap_or_default();
        if on_disk.len() > ours.events.len()
            && let Some((taken, letters)) = under_way
        {
            ours.take(taken, letters);
            self.kept += 1;
        }
        assert_eq!(on_disk, ours.events);
    }
}

/// All that a panel shows but the number of the step, which goes on growing, and the estimate, which takes its time.
fn stands(state: &Value) -> Value {
    let mut state = state.clone();
    state["step"] = Value::Null;
    state["estimate"] = Value::Null;
    state
}

/// How many examinations are gone through at the most until one was killed with letters marked: chance marks some in most.
const MOST_EXAMINATIONS: usize = 60;

/// Examinations in one record until there were as many kills, one of them with letters marked; figures of cuts, of wishes kept, of marks found again, of examinations.
fn survive(seed: u64, cuts: usize) -> ([usize; 4], [usize; 2], usize) {
    let mut ours = Ours::new(seed, true);
    let mut frail = Frail::begin(&ours.desk);
    let mut examinations = 0;
    while frail.cuts.iter().sum::<usize>() < cuts || (frail.marked == 0 && examinations < MOST_EXAMINATIONS) {
        while frail.turn(&mut ours) {}
        ours.compare_disk();
        examinations += 1;
        frail.panel.wish(frail.hall.as_ref().unwrap(), &json!({ "do": "another" }));
        ours.next_patient();
        std::fs::rename(ours.desk.path("r.jsonl"), ours.desk.path("before.jsonl")).unwrap();
    }
    (frail.cuts, [frail.kept, frail.marked], examinations)
}

#[test]
fn nothing_that_was_acknowledged_is_lost_and_nothing_counts_twice_after_a_kill() {
    let wanted = count("EVENFIELD_KILLS", 80);
    let begun = Instant::now();
    let ran = both(2, |half| survive(half as u64, wanted / 2));
    let cuts: Vec<usize> = (0..4).map(|way| ran.iter().map(|(cuts, ..)| cuts[way]).sum()).collect();
    assert!(cuts.iter().all(|cuts| *cuts > 0), "{cuts:?}");
    let [kept, marked] = [0, 1].map(|which| ran.iter().map(|(_, found, _)| found[which]).sum::<usize>());
    assert!(marked > 0, "no kill found marked letters");
    println!(
        "{} examinations; server killed {} times between wishes and {} times after one, of which {kept} were kept; letters were marked at {marked}; wall cut {} \
         times, panel {} times; {:?}",
        ran.iter().map(|(.., examinations)| examinations).sum::<usize>(),
        cuts[0],
        cuts[1],
        cuts[2],
        cuts[3],
        begun.elapsed()
    );
}

/* Latency */

/// The median and what 95 of 100 do not exceed.
fn middle_and_most(mut times: Vec<Duration>) -> [Duration; 2] {
    times.sort();
    [times[times.len() / 2], times[times.len() * 95 / 100]]
}

/// A panel's answer to the wall's word that the next picture stands there, against a message that comes back at once. The
/// first takes four messages, the second two.
#[test]
#[ignore = "a figure, not a requirement"]
fn latency() {
    const TURNS: usize = 300;
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let mut frail = Frail::begin(&desk);
    let mut ours = Ours::new(1, true);
    let form = ours.form("right").wish;
    frail.panel.ready();
    frail.panel.wish(frail.hall.as_ref().unwrap(), &form);
    let mut times = Vec::new();
    for turn in 0..TURNS {
        // Slower than the server's bound on messages.
        std::thread::sleep(Duration::from_millis(70));
        frail.panel.ready();
        let hall = frail.hall.as_ref().unwrap();
        let step = frail.panel.step();
        let wish =
            if turn % 2 == 0 { json!({ "do": "answer", "answer": "left" }) } else { json!({ "do": "undo" }) };
        let begun = Instant::now();
        frail.panel.send(hall, &wish, step);
        frail.panel.until(|state| state["step"].as_u64() > Some(step) && state["wall"]["ready"] == true);
        if turn % 2 == 0 {
            times.push(begun.elapsed());
        }
    }
    let size = frail.panel.state.to_string().len();
    let [median, most] = middle_and_most(times);
    let mut echo = Echo::begin();
    let [echo, most_echo] = middle_and_most((0..TURNS).map(|_| echo.time(size)).collect());
    println!(
        "answer to acknowledged picture: median {median:?}, 95 % {most:?}; echo of {size} bytes: median {echo:?}, 95 % {most_echo:?}; \
         ratio {:.1}",
        median.as_secs_f64() / echo.as_secs_f64()
    );
}
