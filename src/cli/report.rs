//! Findings for people and for programs.
//!
//! Sentence first, then the table with the worst on top, then notes on what did not pass. What stands in the table is
//! [`Finding`]'s own text, the same that JSON has as numbers.

use super::columns::table;
use super::{Outcome, say};
use crate::check::{Clause, Finding, Report, Verdict, clause};

/// What every report of a chart ends with.
const CAUTION: &str = "\
A proven file is not yet a proven screen: native resolution and no scaling, night colour and dynamic contrast off, the \
distance as measured.";

/// Without these a chart is not proved.
const ESSENTIAL: [&Clause; 4] =
    [&clause::LINES, &clause::LETTER_SIZE, &clause::CRITICAL_DETAIL, &clause::FIELDS];

/// Prints what was measured: first how it went, then the findings as a table, the worst first, then what to know of
/// those that do not pass.
pub(super) fn print_report(report: &Report) {
    let mut findings: Vec<&Finding> = report.findings.iter().collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.verdict));
    let row = |finding: &Finding| {
        let [measured, required] = [finding.measured_text(), finding.required_text()];
        vec![
            finding.verdict.to_string(),
            finding.clause.what.into(),
            finding.place.clone(),
            measured,
            required,
        ]
    };
    let findings = table(&["", "what", "where", "measured", "required"], findings.into_iter().map(row));
    say(&format!("{}\n\n{findings}", summary(report)));
    print_notes(report);
    say(&format!("\n{CAUTION}\n{}", crate::SUPERVISION));
}

fn print_notes(report: &Report) {
    let noted: Vec<&Finding> = report
        .findings
        .iter()
        .filter(|finding| {
            finding.verdict > Verdict::Pass && !(finding.note.is_empty() && finding.verdict != Verdict::Fail)
        })
        .collect();
    for finding in noted {
        let place = if finding.place.is_empty() { String::new() } else { format!(", {}", finding.place) };
        let note = if finding.note.is_empty() {
            String::new()
        } else {
            format!("\n  {}", finding.note.replace("; ", "\n  "))
        };
        let (verdict, what, source) = (finding.verdict, finding.clause.what, finding.clause.source);
        say(&format!("\n{verdict}: {what}{place}{note}\n  [{source}]"));
    }
}

/// Prints how many findings there are of each kind, and all of them where one fails.
pub(super) fn print_summary(report: &Report) {
    if report.fails() { print_report(report) } else { say(&summary(report)) }
}

fn summary(report: &Report) -> String {
    let counts = [Verdict::Fail, Verdict::Warn, Verdict::NotJudged, Verdict::Pass, Verdict::Information]
        .map(|verdict| (report.count(verdict), verdict))
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, verdict)| format!("{count} {}", verdict.to_string().to_lowercase()));
    let counted = format!("Findings: {}.", counts.collect::<Vec<_>>().join(", "));
    let open: Vec<&str> = ESSENTIAL
        .into_iter()
        .filter(|clause| {
            let judged = |finding: &&Finding| finding.clause.id == clause.id;
            report.findings.iter().find(judged).is_none_or(|finding| finding.verdict == Verdict::NotJudged)
        })
        .map(|clause| clause.what)
        .collect();
    if open.is_empty() {
        return counted;
    }
    format!(
        "{counted}\nNot proved: {} not judged. Name the room with --room and the lines with --line.",
        open.join(", ")
    )
}

/// Whether a finding fails.
pub(super) fn outcome(report: &Report) -> Outcome {
    if report.fails() { Outcome::Failed } else { Outcome::Fine }
}
