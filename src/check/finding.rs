//! What a check found: one measured value, the required one, and the verdict.

use std::fmt;

use serde::{Serialize, Serializer};

use super::Clause;
use crate::light::Basis;

/// How a measured value compares with what is required.
///
/// In this order each is worse than the one before, and the worst finding is the report's verdict. Something that nobody
/// judged is worse than a pass, so that a report is never better than what was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Nothing is required.
    Information,
    /// As required.
    Pass,
    /// Not judged: the requirement is not known (which line is it?), or the value is not known well enough (a match that is
    /// known to ± 8 % says nothing about 2 %).
    NotJudged,
    /// A warning: usable, with a reservation, which the note names. It does not change how a command ends.
    Warn,
    /// Not as required.
    Fail,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Information => "info",
            Self::Pass => "pass",
            Self::NotJudged => "not judged",
            Self::Warn => "warn",
            Self::Fail => "FAIL",
        })
    }
}

/// A measured value.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Value {
    /// In the unit of its clause.
    Number(f64),
    /// A number with its uncertainty.
    Uncertain {
        /// The number.
        value: f64,
        /// By how much it may be off either way: twice its standard uncertainty.
        uncertainty: f64,
    },
    /// Anything that is not a number.
    Words(String),
}

/// What a value should be, in the unit of its clause.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Requirement {
    /// A target and a tolerance in per cent of it, to either side; the limits themselves pass.
    Near(f64, f64),
    /// A limit from above.
    AtMost(f64),
    /// A limit from below.
    AtLeast(f64),
    /// Exactly these words, letter by letter.
    Exactly(String),
    /// A requirement that is not known, as the size of a line that neither the file nor the user names.
    Unknown,
    /// No requirement: the value is for information.
    Information,
}

impl Requirement {
    fn is_met_by(&self, measured: f64) -> bool {
        match self {
            Self::Near(target, percent) => (measured / target - 1.0).abs() * 100.0 <= *percent,
            Self::AtMost(limit) => measured <= *limit,
            Self::AtLeast(limit) => measured >= *limit,
            Self::Exactly(_) | Self::Unknown | Self::Information => false,
        }
    }
}

/// One measured value, the required one, and a verdict.
///
/// Its JSON has the clause in brief (`id`, `what`, `unit`, `source`), so that a program need not know the ledger.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Finding {
    /// What was looked at, and why.
    #[serde(flatten, serialize_with = "clause_in_brief")]
    #[cfg_attr(feature = "cli", schemars(with = "Brief"))]
    pub clause: &'static Clause,
    /// Where on the chart.
    pub place: String,
    /// What was found.
    pub measured: Value,
    /// What should be there.
    pub required: Requirement,
    /// How they agree.
    pub verdict: Verdict,
    /// What the measured value rests on besides the file; nothing where the file is enough.
    pub basis: Option<Basis>,
    /// What the value rests on, and what to do.
    pub note: String,
}

/// A clause as a finding's JSON has it.
#[derive(Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
struct Brief {
    id: &'static str,
    what: &'static str,
    unit: &'static str,
    source: &'static str,
}

fn clause_in_brief<S: Serializer>(clause: &&'static Clause, serializer: S) -> Result<S::Ok, S::Error> {
    Brief { id: clause.id, what: clause.what, unit: clause.unit, source: clause.source }.serialize(serializer)
}

impl Finding {
    /// A number that passes or fails.
    pub(super) fn number(clause: &'static Clause, measured: f64, required: Requirement) -> Self {
        let verdict = match required {
            Requirement::Unknown => Verdict::NotJudged,
            Requirement::Information => Verdict::Information,
            ref known if known.is_met_by(measured) => Verdict::Pass,
            Requirement::Near(..)
            | Requirement::AtMost(_)
            | Requirement::AtLeast(_)
            | Requirement::Exactly(_) => Verdict::Fail,
        };
        Self {
            clause,
            place: String::new(),
            measured: Value::Number(measured),
            required,
            verdict,
            basis: None,
            note: String::new(),
        }
    }

    /// Words that pass if they are the required ones; without any, they are not judged.
    pub(super) fn words(clause: &'static Clause, measured: String, required: Option<String>) -> Self {
        let verdict = match &required {
            None => Verdict::NotJudged,
            Some(required) if *required == measured => Verdict::Pass,
            Some(_) => Verdict::Fail,
        };
        let required = required.map_or(Requirement::Unknown, Requirement::Exactly);
        Self {
            clause,
            place: String::new(),
            measured: Value::Words(measured),
            required,
            verdict,
            basis: None,
            note: String::new(),
        }
    }

    pub(super) fn at(self, place: impl Into<String>) -> Self {
        Self { place: place.into(), ..self }
    }

    pub(super) fn with_note(self, note: impl Into<String>) -> Self {
        Self { note: note.into(), ..self }
    }

    pub(super) fn with_verdict(self, verdict: Verdict) -> Self {
        Self { verdict, ..self }
    }

    pub(super) fn resting_on(self, basis: Basis) -> Self {
        Self { basis: Some(basis), ..self }
    }

    /// Adds a note on what to know or do, if the finding fails.
    pub(super) fn note_if_failed(self, note: impl Into<String>) -> Self {
        if self.verdict == Verdict::Fail { self.with_note(note) } else { self }
    }

    /// Makes a failure a warning.
    pub(super) fn only_warn(self) -> Self {
        if self.verdict == Verdict::Fail { self.with_verdict(Verdict::Warn) } else { self }
    }

    /// Neither passed nor failed where what is asked lies within what is not known of the value.
    pub(super) fn not_judged_if(self, cannot_be_told: bool) -> Self {
        if cannot_be_told { self.with_verdict(Verdict::NotJudged) } else { self }
    }

    /// Makes a pass a warning, if the condition holds.
    pub(super) fn warn_if(self, doubtful: bool) -> Self {
        if doubtful && self.verdict == Verdict::Pass { self.with_verdict(Verdict::Warn) } else { self }
    }

    /// The measured value with its unit, for people. If it does not rest on measurements alone, it says so.
    ///
    /// Rounded to the clause's decimals, with a true minus sign. The verdict was made from the unrounded value, so that a number
    /// that looks like the limit may yet fail.
    #[must_use]
    pub fn measured_text(&self) -> String {
        let ground = match self.basis {
            None | Some(Basis::Measured) => "",
            Some(Basis::Derived) => ", by chromaticity",
            Some(Basis::Matched) => ", by eye",
            Some(Basis::Claimed) => ", claimed",
            Some(Basis::Invented) => ", invented",
            Some(Basis::Assumed) => ", assumed",
        };
        match &self.measured {
            Value::Number(number) => format!("{}{ground}", self.with_unit(*number)),
            Value::Uncertain { value, uncertainty } => {
                format!("{} ± {}{ground}", self.digits(*value), self.with_unit(*uncertainty))
            }
            Value::Words(words) => words.clone(),
        }
    }

    /// The required value with its tolerance and unit, for people.
    #[must_use]
    pub fn required_text(&self) -> String {
        match &self.required {
            Requirement::Near(target, percent) => format!("{} ± {percent} %", self.with_unit(*target)),
            Requirement::AtMost(limit) => format!("at most {}", self.with_unit(*limit)),
            Requirement::AtLeast(limit) => format!("at least {}", self.with_unit(*limit)),
            Requirement::Exactly(words) => words.clone(),
            Requirement::Unknown => "not known".into(),
            Requirement::Information => "for information".into(),
        }
    }

    fn digits(&self, number: f64) -> String {
        let digits = usize::from(self.clause.decimals);
        format!("{number:.digits$}").replace('-', "−")
    }

    fn with_unit(&self, number: f64) -> String {
        let text = self.digits(number);
        if self.clause.unit == "′" {
            format!("{text}′")
        } else {
            format!("{text} {}", self.clause.unit).trim_end().into()
        }
    }
}

/// Every finding on a chart.
///
/// Findings are never left out because others fail: who mends a chart sees all that is wrong with it at once.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Report {
    /// The worst verdict; "not judged" is worse than "pass".
    pub verdict: Verdict,
    /// In the order of looking: the picture, its lines, its light.
    pub findings: Vec<Finding>,
}

impl Report {
    pub(super) fn new(findings: Vec<Finding>) -> Self {
        let verdict = findings.iter().map(|finding| finding.verdict).max().unwrap_or(Verdict::NotJudged);
        Self { verdict, findings }
    }

    /// Whether a finding fails.
    ///
    /// Then the command line ends with 1. Warnings and what was not judged do not make it fail.
    #[must_use]
    pub fn fails(&self) -> bool {
        self.verdict == Verdict::Fail
    }

    /// How many findings have a verdict.
    ///
    /// ```
    /// use evenfield::check::{self, Expected, Verdict};
    /// use evenfield::export::png::{ColourChunk, encode};
    /// use evenfield::{acuity::Acuity, chart::{self, Request}, raster, room::Room};
    ///
    /// // The demo room's chart, checked from its bytes: nothing fails.
    /// let room = Room::demo();
    /// let chart = chart::draw(&Request::new(Acuity::standard(3)), &room)?;
    /// let image = raster::draw(&chart.scene, room.screen.pixels, &room.display);
    /// let file = encode(&image, room.screen.pitch, &ColourChunk::Srgb, &chart.scene.metadata)?;
    /// let report = check::png_bytes(&file, "chart.png", &Expected::default())?;
    /// assert_eq!(report.count(Verdict::Fail), 0);
    /// let size = report.findings.iter().find(|finding| finding.clause.id == "size.letter").unwrap();
    /// // 20/40 is a MAR of 10^0.3 = 1.995262′, five of which are 9.976′; within 5 %.
    /// assert_eq!(size.required_text(), "9.976′ ± 5 %");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.findings.iter().filter(|finding| finding.verdict == verdict).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::clause;

    #[test]
    fn a_value_says_what_it_rests_on_where_that_is_not_measured() {
        let finding = || Finding::words(&clause::LINES, "1 line".into(), None);
        assert_eq!(finding().measured_text(), "1 line");
        let number = |basis| {
            Finding::number(&clause::SCALE, -2.0, Requirement::Information).resting_on(basis).measured_text()
        };
        let plain = Finding::number(&clause::SCALE, -2.0, Requirement::Information).measured_text();
        assert!(plain.starts_with("−2"), "{plain}");
        for (basis, ground) in [
            (Basis::Measured, ""),
            (Basis::Derived, ", by chromaticity"),
            (Basis::Matched, ", by eye"),
            (Basis::Claimed, ", claimed"),
            (Basis::Invented, ", invented"),
            (Basis::Assumed, ", assumed"),
        ] {
            assert_eq!(number(basis), format!("{plain}{ground}"));
        }
        let with = |verdict| finding().with_verdict(verdict);
        let report = Report::new(vec![
            with(Verdict::Pass),
            with(Verdict::Fail),
            with(Verdict::Warn),
            with(Verdict::Fail),
        ]);
        assert_eq!(
            [Verdict::Pass, Verdict::Fail, Verdict::NotJudged].map(|one| report.count(one)),
            [1, 2, 0]
        );
        assert!(report.fails() && report.verdict == Verdict::Fail);
    }

    #[test]
    fn a_requirement_is_met_at_its_limit() {
        for (required, measured, is_met) in [
            (Requirement::AtMost(2.0), 2.0, true),
            (Requirement::AtMost(2.0), 2.01, false),
            (Requirement::AtLeast(2.0), 2.0, true),
            (Requirement::AtLeast(2.0), 1.99, false),
            (Requirement::Near(40.0, 5.0), 41.9, true),
            (Requirement::Near(40.0, 5.0), 42.1, false),
            (Requirement::Near(40.0, 5.0), 38.1, true),
            (Requirement::Near(40.0, 5.0), 37.9, false),
        ] {
            assert_eq!(required.is_met_by(measured), is_met, "{required:?} {measured}");
        }
    }
}
