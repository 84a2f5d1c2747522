//! An examination's events as lines of JSON, each with its number and a sum over itself, so that a line that was cut,
//! changed or taken out is noticed.
//!
//! A record is plain text that outlives this program: one event a line, as it happened, with what the patient looked at beside
//! it for whoever reads it by eye. Reading it back is a replay: the events go through today's procedure, and where that would
//! have asked something else the line is named. The sum at the end of a line is no signature; it finds accidents, not malice.
//!
//! Several examinations may stand in one file, and several programs may write to it at once: a line is added whole, under a lock,
//! and only where the record still ends as its examination knows it.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::{Deserialize, Serialize};
use time::OffsetDateTime;

use super::course::Course;
use super::event::Event;
use super::examination::{Examination, MOST_EVENTS, Misfit};
use super::manifest::Laterality;
pub use super::moment::{moment, to_the_minute};
use super::run::PROCEDURE_VERSION;
use super::stage::Stage;
use super::whereabouts::Whereabouts;
use super::words;
use crate::light::Side;
use crate::quantity::Dioptres;
use crate::text::{self, MOST_OF_A_NAME, csv_cell};

/// The form of the lines.
const FORM: u8 = 1;

/// Before the sum, which stands last in its line.
const SUM: &str = ",\"sum\":\"";

/// What every line begins with, so that a line that was cut is still known for one.
const BEGINNING: &str = "{\"evenfield_balance\":";

/// Maximum number of bytes of a line: the longest, in which an eye begins, has some 3000. This project's own decision.
const MOST_BYTES_OF_A_LINE: usize = 1 << 16;

/// One line without its sum.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
struct Line {
    evenfield_balance: u8,
    examination: String,
    number: usize,
    at: String,
    /// The version of the procedure that asked; records of the first one do not name it.
    #[serde(default = "first_version")]
    procedure: u16,
    eye: Option<Laterality>,
    /// What the patient looked at, for whoever reads the file itself, and to hold the replay against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    asked: Option<Asked>,
    /// The sphere of a choice, likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    chosen_d: Option<f64>,
    /// What a wall that follows the procedure said that it showed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    wall: Option<OnWall>,
    event: Event,
}

/// One line of a record: an event of an examination, what the patient looked at, and a sum over the rest of the line.
#[cfg(feature = "cli")]
#[derive(schemars::JsonSchema)]
#[allow(dead_code, reason = "it is read only as a form: lines are written with their sum behind them")]
pub struct RecordLine {
    #[schemars(flatten)]
    line: Line,
    /// Finds accidents, not malice; it stands last.
    sum: String,
}

/// What the patient's screen said that it showed when an answer was given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OnWall {
    /// The name of its line.
    pub line: String,
    /// The name of its fields.
    pub fields: String,
    /// Where red lies, as the patient sees it.
    pub red: Side,
    /// The letters from left to right, by name.
    pub letters: Vec<String>,
    /// The fields' codes of red, green and blue, from the patient's left.
    pub codes: Vec<[u8; 3]>,
    /// The screen's device pixels, across and down.
    pub pixels: [u32; 2],
    /// Whether nothing of the picture was cut off.
    pub whole: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
struct Asked {
    sphere_d: f64,
    change_d: f64,
    line: String,
    /// None on white.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    red: Option<Side>,
}

const fn first_version() -> u16 {
    1
}

/// An examination as its record has it.
///
/// It can be gone on with while it is open and its version is today's; otherwise it can only be shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its name in the record.
    pub id: String,
    /// When each of its events was written, [a moment](moment): a place for each of [`events`](Self::events).
    pub at: Vec<String>,
    /// All that was not out of turn.
    pub events: Vec<Event>,
    /// What follows from them.
    pub examination: Examination,
    /// Lines of the record, from 1, that were changed, moved or left out, as far as they are known to be its own.
    pub spoilt: Vec<usize>,
    /// The version of the procedure that its lines were kept by.
    pub version: u16,
    /// The first line of the record, from 1, at which today's procedure asks something else than was asked.
    pub differs: Option<usize>,
    /// How many of its events came before that.
    differs_after: Option<usize>,
    /// Its lines as they stand in the record, without those that could not be read.
    pub lines: Vec<String>,
    /// The sum of its last line.
    sum: String,
    /// The number that its next line has.
    next: usize,
}

/// What is wrong with a line of a record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The line, from 1.
    pub line: usize,
    /// What, and what was done about it.
    pub what: String,
}

/// All that a record holds.
///
/// Lines that belong to no examination, such as a torn one, are among the problems and do not stop the rest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Records {
    /// The examinations in the order in which they began.
    pub kept: Vec<Kept>,
    /// What is wrong, line by line.
    pub problems: Vec<Problem>,
}

impl Kept {
    /// An examination of which nothing is written yet.
    #[must_use]
    pub fn new(id: String) -> Self {
        Self {
            id,
            at: Vec::new(),
            events: Vec::new(),
            examination: Examination::default(),
            spoilt: Vec::new(),
            version: PROCEDURE_VERSION,
            differs: None,
            differs_after: None,
            lines: Vec::new(),
            sum: String::new(),
            next: 1,
        }
    }

    /// Goes on with an event, and gives the line to be written for it.
    ///
    /// # Errors
    /// Where the event is out of turn.
    ///
    /// # Panics
    /// Never: a line has only names, numbers and text.
    pub fn take(&mut self, event: Event, at: &str) -> Result<String, Misfit> {
        self.take_before(event, at, None)
    }

    /// As [`Self::take`], and the line keeps what the patient's screen showed meanwhile.
    ///
    /// # Errors
    /// As there.
    ///
    /// # Panics
    /// Never: a line has only names, numbers and text.
    pub fn take_before(&mut self, event: Event, at: &str, wall: Option<OnWall>) -> Result<String, Misfit> {
        if self.events.len() >= MOST_EVENTS {
            return Err(Misfit::TooMany);
        }
        let after = self.examination.clone().after(&event)?;
        let line = Line {
            evenfield_balance: FORM,
            examination: self.id.clone(),
            number: self.next,
            at: at.into(),
            procedure: PROCEDURE_VERSION,
            eye: after.eye(),
            asked: asked(&self.examination, &event),
            chosen_d: chosen_d(&self.examination, &event),
            wall,
            event: event.clone(),
        };
        let body = serde_json::to_string(&line).expect("names, numbers and text can always be written");
        let sum = sum_of(&body);
        let written = format!("{}{SUM}{sum}\"}}", &body[..body.len() - 1]);
        self.examination = after;
        self.events.push(event);
        self.at.push(at.into());
        self.lines.push(written.clone());
        self.sum = sum;
        self.next += 1;
        Ok(written)
    }

    /// When it began, to the minute; empty before that.
    #[must_use]
    pub fn begun(&self) -> String {
        self.at.first().map(|at| to_the_minute(at)).unwrap_or_default()
    }

    /// When something happened in it last.
    #[must_use]
    pub fn went_on(&self) -> Option<OffsetDateTime> {
        self.at.last().and_then(|at| moment(at))
    }

    /// Whether a record still ends, for this examination, with what was written last, by its last lines or by all of them; none
    /// where something was written and they have nothing of it. A name of which nothing was written yet is made of the moment,
    /// so another examination that came by the same one would stand at the end.
    #[must_use]
    pub fn is_last_in(&self, text: &str) -> Option<bool> {
        let own = format!("\"examination\":{}", serde_json::Value::from(self.id.as_str()));
        // A line that was cut goes on with nothing.
        let sums = text.lines().rev().filter(|line| line.contains(&own)).filter_map(split);
        sums.map(|(_, sum)| sum == self.sum).next().or(self.sum.is_empty().then_some(true))
    }

    /// Goes on with a line of the record; what is wrong with it, if anything is.
    fn replay(&mut self, number: usize, line: Line, sum: &str, is_changed: bool) -> Option<String> {
        let (version, today) = (line.procedure, PROCEDURE_VERSION);
        let is_missing = line.number != self.next;
        (self.version, self.next, self.sum) = (version, line.number.saturating_add(1), sum.to_owned());
        let differs = !line.is_as_replayed(&self.examination);
        if differs {
            self.differs_from(number);
        }
        let happened = if self.events.len() < MOST_EVENTS {
            self.examination.happen(&line.event)
        } else {
            Err(Misfit::TooMany)
        };
        let misfit = match happened {
            Ok(()) => {
                self.events.push(line.event);
                self.at.push(line.at);
                None
            }
            Err(misfit) if version != today && !is_changed && misfit != Misfit::TooMany => {
                self.differs_from(number);
                return Some(format!(
                    "was kept by version {version} of the procedure, and version {today} has something else next: it is left out"
                ));
            }
            Err(misfit) => Some(format!("does not fit what stands before it ({misfit}): it is left out")),
        };
        if is_missing || is_changed || misfit.is_some() {
            self.spoilt.push(number);
        }
        misfit.or_else(|| {
            if is_missing {
                Some("follows another than the line that was written before it: lines are missing, doubled or moved".into())
            } else if is_changed {
                Some("was changed after it was written: it is shown as it now stands".into())
            } else {
                differs.then(|| format!(
                    "was kept by version {version} of the procedure, and version {today} asks with another lens, line or side here, or does not find the lens that was chosen: it is shown as version {today} has it"
                ))
            }
        })
    }

    fn differs_from(&mut self, line: usize) {
        self.differs.get_or_insert(line);
        self.differs_after.get_or_insert(self.events.len());
    }

    /// The same as far as today's procedure asks what was asked; none where it does so to the end.
    #[must_use]
    pub fn as_far_as_it_agrees(&self) -> Option<Self> {
        let after = self.differs_after?;
        let events = self.events[..after].to_vec();
        let examination = Examination::of(&events).ok()?;
        Some(Self { at: self.at[..after].to_vec(), events, examination, ..self.clone() })
    }

    /// That its record is not as it was written, or that it was asked by another procedure, if so.
    #[must_use]
    pub fn warning(&self) -> Option<String> {
        if let Some((first, more)) = self.spoilt.split_first() {
            let more: String = more.iter().map(|line| format!(", {line}")).collect();
            return Some(format!(
                "This record was changed after it was written, at line {first}{more}: do not rely on it."
            ));
        }
        let line = self.differs?;
        Some(format!(
            "This record was kept by version {} of the procedure. Version {PROCEDURE_VERSION} would have gone another way from line {line} on, so what is shown from there is not what happened: read that line of the record itself.",
            self.version
        ))
    }

    /// Whether the procedure that kept it is today's, so that it can go on.
    #[must_use]
    pub const fn is_of_today(&self) -> bool {
        self.version == PROCEDURE_VERSION
    }

    /// Whether something is still to be done.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.examination.stage() != Stage::Closed
    }
}

impl Line {
    /// Checks the words that are shown as they stand.
    fn check_words(&self) -> Result<(), text::LineError> {
        text::line(&self.examination, MOST_OF_A_NAME)?;
        text::line(&self.at, MOST_OF_A_NAME)
    }

    /// Whether what was asked or chosen is what the replay asks or chooses.
    fn is_as_replayed(&self, before: &Examination) -> bool {
        let asked = self.asked.as_ref().zip(asked_at(before)).is_none_or(|(one, other)| one.is_as(&other));
        let chosen = match (self.chosen_d, chosen_d(before, &self.event)) {
            (None, None) => true,
            (Some(one), Some(other)) => is_near(one, other),
            // The first version kept only by what name a lens was chosen.
            (None, Some(_)) | (Some(_), None) => false,
        };
        asked && chosen
    }
}

impl Asked {
    fn is_as(&self, other: &Self) -> bool {
        is_near(self.sphere_d, other.sphere_d)
            && is_near(self.change_d, other.change_d)
            && self.line == other.line
            && self.red == other.red
    }
}

/// Whether two lenses in dioptres are one but for what a decimal leaves of a binary number.
fn is_near(one: f64, other: f64) -> bool {
    const DUST_D: f64 = 1e-6;
    (one - other).abs() < DUST_D
}

fn chosen_d(before: &Examination, event: &Event) -> Option<f64> {
    let Event::Chosen(choice) = event else { return None };
    before.courses.last()?.sphere_of(*choice).map(Dioptres::to_d)
}

fn asked_at(before: &Examination) -> Option<Asked> {
    let stage = before.stage();
    let colours = stage.question().map(|one| (one.sphere, one.change, one.line, Some(one.red)));
    let white = || stage.limit().map(|one| (one.sphere, one.change, one.line, None));
    let (sphere, change, line, red) = colours.or_else(white)?;
    Some(Asked { sphere_d: sphere.to_d(), change_d: change.to_d(), line: line.to_string(), red })
}

fn asked(before: &Examination, event: &Event) -> Option<Asked> {
    if matches!(event, Event::Answered(_) | Event::Limit(_)) { asked_at(before) } else { None }
}

fn sum_of(body: &str) -> String {
    format!("{:08x}", crc32fast::hash(body.as_bytes()))
}

/// A line's body and its sum.
fn split(line: &str) -> Option<(String, &str)> {
    let place = line.rfind(SUM)?;
    let sum = line[place + SUM.len()..].strip_suffix("\"}")?;
    Some((format!("{}}}", &line[..place]), sum))
}

impl Records {
    /// Reads a record. Whatever is wrong is told by line, and all the rest is kept.
    ///
    /// ```
    /// # use evenfield::balance::record::Records;
    /// // What is no line of a record is told by its number and stops nothing.
    /// let records = Records::read("a shopping list\n");
    /// assert_eq!((records.kept.len(), records.problems[0].line), (0, 1));
    /// ```
    #[must_use]
    pub fn read(text: &str) -> Self {
        let (mut records, mut places) = (Self::default(), BTreeMap::new());
        for (index, line) in text.lines().enumerate() {
            if !line.trim().is_empty() {
                records.take(&mut places, index + 1, line);
            }
        }
        records
    }

    /// Whether a text has a line that begins as one of a record.
    #[must_use]
    pub fn has_a_line(text: &str) -> bool {
        text.lines().any(|line| line.starts_with(BEGINNING))
    }

    /// Whether a text can be a record: nothing yet, or with a line of one, be it cut anywhere.
    #[must_use]
    pub fn can_be(text: &str) -> bool {
        let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
        let Some(first) = lines.next() else { return true };
        let is_only = lines.next().is_none();
        (is_only && BEGINNING.starts_with(first)) || Self::has_a_line(text)
    }

    /// An examination by its name.
    #[must_use]
    pub fn named(&self, id: &str) -> Option<&Kept> {
        self.kept.iter().find(|kept| kept.id == id)
    }

    fn problem(&mut self, line: usize, what: impl Into<String>) {
        self.problems.push(Problem { line, what: what.into() });
    }

    /// Takes a line; `places` says where each examination stands, by name.
    fn take(&mut self, places: &mut BTreeMap<String, usize>, number: usize, text: &str) {
        if text.len() > MOST_BYTES_OF_A_LINE {
            let most = MOST_BYTES_OF_A_LINE;
            return self.problem(number, format!("has more than {most} bytes: it is left out"));
        }
        let Some((body, sum)) = split(text) else {
            return self.problem(number, "is cut or no line of a record: it is left out");
        };
        let line = match serde_json::from_str::<Line>(&body) {
            Ok(line) if line.evenfield_balance == FORM => line,
            Ok(line) => {
                let form = line.evenfield_balance;
                return self.problem(
                    number,
                    format!("has form {form}, and this program reads form {FORM}: it is left out"),
                );
            }
            Err(_) => return self.problem(number, "has words that are none of a record: it is left out"),
        };
        if let Err(error) = line.check_words() {
            return self.problem(number, format!("holds a name or a time that {error}: it is left out"));
        }
        if let Event::Started(start) | Event::Again(start) = &line.event
            && let Err(error) = (**start).clone().checked()
        {
            return self.problem(number, format!("holds what no eye has ({error}): it is left out"));
        }
        let place = *places.entry(line.examination.clone()).or_insert_with(|| {
            self.kept.push(Kept::new(line.examination.clone()));
            self.kept.len() - 1
        });
        let is_changed = sum_of(&body) != sum;
        self.kept[place].lines.push(text.to_owned());
        if let Some(what) = self.kept[place].replay(number, line, sum, is_changed) {
            self.problem(number, what);
        }
    }

    /// Every question and every other event as a table for spreadsheets, one line each; with the last answer of an eye where
    /// balance lies.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut csv = String::from(
            "examination,at,eye,event,sphere_d,change_d,line,red,value,label,balance_d,low_d,high_d,within_a_click\n",
        );
        for kept in &self.kept {
            let mut before = Examination::default();
            for (event, at) in kept.events.iter().zip(&kept.at) {
                let asked = asked(&before, event);
                if before.happen(event).is_err() {
                    continue;
                }
                let after = &before;
                let eye = after.eye().map_or("", Laterality::name);
                let (name, value) = named(event);
                let lens = asked.map_or_else(
                    || ",,,".into(),
                    |asked| {
                        format!(
                            "{:.4},{:.4},{},{}",
                            asked.sphere_d,
                            asked.change_d,
                            asked.line,
                            asked.red.map_or("", Side::name)
                        )
                    },
                );
                let label =
                    after.courses.first().and_then(|course| course.start.label.clone()).unwrap_or_default();
                let (id, value, label) = (csv_cell(&kept.id), csv_cell(&value), csv_cell(&label));
                let found = estimate(event, after);
                let _ = writeln!(csv, "{id},{},{eye},{name},{lens},{value},{label},{found}", csv_cell(at));
            }
        }
        csv
    }
}

/// Where balance lies after the answer that ends an eye's questions, in the cells of a table; empty ones after all else.
fn estimate(event: &Event, after: &Examination) -> String {
    let is_answer = matches!(event, Event::Answered(_) | Event::Limit(_));
    let course = after.courses.last().filter(|course| is_answer && course.is_asked());
    course.and_then(Course::whereabouts).map_or_else(
        || ",,,".into(),
        |Whereabouts { balance, low, high, within_a_click, .. }| {
            let chance = within_a_click.map_or_else(String::new, |chance| format!("{chance:.4}"));
            format!("{:.4},{:.4},{:.4},{chance}", balance.to_d(), low.to_d(), high.to_d())
        },
    )
}

/// An event's name and its value.
fn named(event: &Event) -> (&'static str, String) {
    match event {
        Event::Started(start) => ("started", start.manifest.to_string()),
        Event::Answered(answer) => ("answered", answer.to_string()),
        Event::Limit(answer) => ("limit", answer.to_string()),
        Event::AlsoMidpoint => ("also_midpoint", String::new()),
        Event::Again(start) => ("again", start.manifest.to_string()),
        Event::Apart(apart) => ("apart", apart.name().into()),
        Event::Compared(clearer) => ("compared", clearer.name().into()),
        Event::Leads(eye) => ("leads", eye.name().into()),
        Event::BothRead(score) => ("both_read", score.to_string()),
        Event::Framed(sphere) => ("framed", sphere.to_string()),
        Event::Near(near) => ("near", format!("{} at {}", near.add, near.distance)),
        Event::Undone => ("undone", String::new()),
        Event::AfterMinus(what) => ("after_minus", what.name().into()),
        Event::White(score) => ("white", score.to_string()),
        Event::Chosen(choice) => ("chosen", choice.name().into()),
        Event::OneEyeOnly => ("one_eye_only", String::new()),
        Event::Binocular(step, done) => ("binocular", format!("{}: {}", step.name(), words::done(*done))),
    }
}

#[cfg(test)]
mod tests;
