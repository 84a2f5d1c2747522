//! An examination's events as lines of JSON, each with its number and a sum over itself, so that a line that was cut,
//! changed or taken out is noticed.

use std::fmt::Write as _;

use serde::{Deserialize, Serialize};

use super::{Event, Examination, Laterality, Stage};
use crate::light::Side;

/// The form of the lines.
const FORM: u8 = 1;

/// Before the sum, which stands last in its line.
const SUM: &str = ",\"sum\":\"";

/// One line without its sum.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Line {
    evenfield_balance: u8,
    examination: String,
    number: usize,
    at: String,
    eye: Option<Laterality>,
    /// What the patient looked at, for whoever reads the file itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    asked: Option<Asked>,
    event: Event,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Asked {
    sphere_d: f64,
    change_d: f64,
    line: String,
    red: Side,
}

/// An examination as its record has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its name in the record.
    pub id: String,
    /// When each of its events was written, in universal time.
    pub at: Vec<String>,
    /// All that was not out of turn.
    pub events: Vec<Event>,
    /// What follows from them.
    pub examination: Examination,
    /// Lines of the record, from 1, that were changed, moved or left out, as far as they are known to be its own.
    pub spoilt: Vec<usize>,
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
    pub fn take(&mut self, event: Event, at: &str) -> Result<String, super::Misfit> {
        let after = self.examination.clone().after(&event)?;
        let line = Line {
            evenfield_balance: FORM,
            examination: self.id.clone(),
            number: self.next,
            at: at.into(),
            eye: after.eye(),
            asked: asked(&self.examination, &event),
            event: event.clone(),
        };
        let body = serde_json::to_string(&line).expect("names, numbers and text can always be written");
        let sum = sum_of(&body);
        let written = format!("{}{SUM}{sum}\"}}", &body[..body.len() - 1]);
        self.examination = after;
        self.events.push(event);
        self.at.push(at.into());
        self.sum = sum;
        self.next += 1;
        Ok(written)
    }

    /// Whether a record still ends, for this examination, with what was written last.
    #[must_use]
    pub fn is_last_in(&self, text: &str) -> bool {
        let own = format!("\"examination\":{}", serde_json::Value::from(self.id.as_str()));
        // A line that was cut is nobody's going on.
        let sums = text.lines().rev().filter(|line| line.contains(&own)).filter_map(split);
        sums.map(|(_, sum)| sum == self.sum).next().unwrap_or(self.sum.is_empty())
    }

    /// That its record is not as it was written, if it is not.
    #[must_use]
    pub fn warning(&self) -> Option<String> {
        let (first, more) = self.spoilt.split_first()?;
        let more: String = more.iter().map(|line| format!(", {line}")).collect();
        Some(format!(
            "This record was changed after it was written, at line {first}{more}: do not rely on it."
        ))
    }

    /// Whether something is still to be done.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.examination.stage() != Stage::Closed
    }
}

fn asked(before: &Examination, event: &Event) -> Option<Asked> {
    let (Event::Answered(_), Stage::Ask(question)) = (event, before.stage()) else { return None };
    Some(Asked {
        sphere_d: question.sphere.to_d(),
        change_d: question.change.to_d(),
        line: question.line.to_string(),
        red: question.red,
    })
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
    #[must_use]
    pub fn read(text: &str) -> Self {
        let mut records = Self::default();
        for (index, line) in text.lines().enumerate() {
            if !line.trim().is_empty() {
                records.take(index + 1, line);
            }
        }
        records
    }

    /// An examination by its name.
    #[must_use]
    pub fn named(&self, id: &str) -> Option<&Kept> {
        self.kept.iter().find(|kept| kept.id == id)
    }

    fn problem(&mut self, line: usize, what: impl Into<String>) {
        self.problems.push(Problem { line, what: what.into() });
    }

    fn take(&mut self, number: usize, text: &str) {
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
        if let Event::Started(start) = &line.event
            && let Err(error) = (**start).clone().checked()
        {
            return self.problem(number, format!("holds what no eye has ({error}): it is left out"));
        }
        let place = self.kept.iter().position(|kept| kept.id == line.examination).unwrap_or_else(|| {
            self.kept.push(Kept::new(line.examination.clone()));
            self.kept.len() - 1
        });
        let kept = &mut self.kept[place];
        let (missing, changed) = (line.number != kept.next, sum_of(&body) != sum);
        (kept.next, kept.sum) = (line.number + 1, sum.to_owned());
        match kept.examination.clone().after(&line.event) {
            Ok(after) => {
                kept.examination = after;
                kept.events.push(line.event);
                kept.at.push(line.at);
            }
            Err(misfit) => {
                kept.spoilt.push(number);
                let what = format!("does not fit what stands before it ({misfit}): it is left out");
                return self.problem(number, what);
            }
        }
        if missing || changed {
            kept.spoilt.push(number);
        }
        if missing {
            self.problem(number, "follows another than the line that was written before it: lines are missing, doubled or moved");
        } else if changed {
            self.problem(number, "was changed after it was written: it is shown as it now stands");
        }
    }

    /// Every question and every other event as a table for spreadsheets, one line each.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut csv = String::from("examination,at,eye,event,sphere_d,change_d,line,red,value,label\n");
        for kept in &self.kept {
            let mut before = Examination::default();
            for (event, at) in kept.events.iter().zip(&kept.at) {
                let Ok(after) = before.clone().after(event) else { continue };
                let eye = after.eye().map_or("", Laterality::name);
                let (name, value) = named(event);
                let lens = asked(&before, event).map_or_else(
                    || ",,,".into(),
                    |asked| {
                        format!(
                            "{:.4},{:.4},{},{}",
                            asked.sphere_d,
                            asked.change_d,
                            asked.line,
                            asked.red.name()
                        )
                    },
                );
                let label =
                    after.courses.first().and_then(|course| course.start.label.clone()).unwrap_or_default();
                let (id, value, label) = (quoted(&kept.id), quoted(&value), quoted(&label));
                let _ = writeln!(csv, "{id},{},{eye},{name},{lens},{value},{label}", quoted(at));
                before = after;
            }
        }
        csv
    }
}

/// An event's name and its value.
fn named(event: &Event) -> (&'static str, String) {
    match event {
        Event::Started(start) => ("started", start.manifest.to_string()),
        Event::Answered(answer) => ("answered", answer.to_string()),
        Event::Undone => ("undone", String::new()),
        Event::AfterMinus(what) => ("after_minus", what.name().into()),
        Event::White(score) => ("white", score.to_string()),
        Event::Chosen(choice) => ("chosen", choice.name().into()),
        Event::OneEyeOnly => ("one_eye_only", String::new()),
        Event::Binocular(step, done) => {
            ("binocular", format!("{}: {}", step.name(), if *done { "done" } else { "not done" }))
        }
    }
}

/// A field by RFC 4180. A spreadsheet must not take text for a formula.
fn quoted(field: &str) -> String {
    let field = if field.starts_with(['=', '+', '-', '@']) { format!("'{field}") } else { field.into() };
    if field.contains([',', '"', '\n', '\r']) { format!("\"{}\"", field.replace('"', "\"\"")) } else { field }
}

#[cfg(test)]
mod tests;
