//! An examination in words, for a terminal that stays.

use std::io::IsTerminal;

use super::super::report::plain_table;
use super::screen::{manifest, wrap};
use crate::acuity::Acuity;
use crate::balance::record::Kept;
use crate::balance::words::{self, CAUTION, NOT_APPROVED, PRIVACY, gained};
use crate::balance::{Course, Examination, LimitQuestion, Question, Stage, Standing, Start, nearest_quarter};
use crate::hand_over::{Writing, lines_to_paste};
use crate::quantity::Dioptres;

/// How wide it may be, and is where no narrower terminal shows it.
const WIDTH: u16 = 79;

/// The least that a table can be read in.
const LEAST: u16 = 40;

/// How wide lines are, so that a terminal breaks no word.
///
/// Only a terminal is asked for its size: elsewhere asking starts two other programs, every time.
fn width() -> u16 {
    if !std::io::stdout().is_terminal() {
        return WIDTH;
    }
    let columns = crossterm::terminal::size().ok();
    columns.map_or(WIDTH, |(columns, _)| columns.saturating_sub(1).clamp(LEAST, WIDTH))
}

/// All that happened, and what comes next.
pub(super) fn told(kept: &Kept, writing: Writing) -> String {
    let mut parts: Vec<String> = kept.warning().into_iter().collect();
    parts.extend(kept.examination.courses.iter().map(|one| course(&kept.examination, one)));
    parts.extend(kept.examination.of_both_in_words().map(|said| {
        said.iter().flat_map(|sentence| wrap(sentence, width().into())).collect::<Vec<_>>().join("\n")
    }));
    let lines = lines_to_paste(kept, writing);
    if !lines.is_empty() {
        // Never wrapped, so that each can be taken whole.
        parts.push(format!("To paste:\n{}", lines.join("\n")));
    }
    let next = next(kept.examination.stage()).map(|next| format!("Next: {next}."));
    parts.extend(next.map(|next| wrap(&next, width().into()).join("\n")));
    parts.push(wrap(&[CAUTION, NOT_APPROVED, PRIVACY].join(" "), width().into()).join("\n"));
    parts.join("\n\n")
}

/// What comes next, and the flag that gives it to a script.
fn next(stage: Stage) -> Option<String> {
    let flag = match stage {
        Stage::Start => "--eye and the rest",
        Stage::Ask(_) => "--answers red, green, same, unsure, left or right",
        Stage::Limit(_) => "--limits read or lost",
        Stage::TooMuchMinus => "--after-minus",
        Stage::White => "--white 20/20",
        Stage::Choose => "--choose far-quarter",
        Stage::OtherEye(_) => "--eye and the rest, or --one-eye",
        Stage::Binocular(_) => {
            "--apart, --both-sphere, --both-acuity and --framed, or --done and what was done"
        }
        Stage::Closed => return None,
    };
    Some(format!("{} ({flag})", stage.words()))
}

fn course(examination: &Examination, course: &Course) -> String {
    let mut lines = wrap(&head(&course.start), width().into());
    if !course.asked.is_empty() {
        lines.push(asked(course));
    }
    if !course.limits.is_empty() {
        lines.push(limits(course));
    }
    lines.extend(course.ended().into_iter().flat_map(|ended| wrap(&ended, width().into())));
    for (white, gain) in course.white.iter().zip(course.gains()) {
        lines.push(format!("White: {} before, {white} after, {}.", course.start.acuity, gained(gain)));
    }
    if let Some(standing) = course.standing() {
        lines.extend(stands(examination, course, standing));
    }
    if let Some(moved) =
        course.moved_by().filter(|_| course.asks_for_the_cylinder() && course.chosen.is_none())
    {
        let said = format!("{} In a script: --cylinder.", words::recheck_the_cylinder(moved));
        lines.extend(wrap(&said, width().into()));
    }
    let estimate = course.estimate_in_words().into_iter().flat_map(|said| [said.what, said.basis]);
    lines.extend(estimate.flat_map(|sentence| wrap(&sentence, width().into())));
    for caution in course.cautions() {
        let wrapped = wrap(&format!("{} [{}]", caution.what, caution.basis), usize::from(width()) - 2);
        lines.push(format!("! {}", wrapped.join("\n  ")));
    }
    lines.join("\n")
}

/// The eye, and how it is asked.
fn head(start: &Start) -> String {
    format!(
        "{}: {}; manifest {}; {} on white; {}; {}, {}{}",
        start.eye.eye(),
        start.kind.words(),
        manifest(&start.manifest, start.refined_for),
        start.acuity,
        start.way_in_words(),
        start.place.name,
        start.distance(),
        start.by_whom()
    )
}

/// The lens that stands, and what was chosen.
fn stands(examination: &Examination, course: &Course, standing: Standing) -> Vec<String> {
    let start = &course.start;
    let mut lines = wrap(&standing.why.words(), width().into());
    for (place, sphere) in [(start.distance().to_string(), standing.here), ("far away".into(), standing.far)]
    {
        let lens = |sphere| start.manifest.with_sphere(sphere).to_string();
        let [exact, quarter] = [sphere, nearest_quarter(sphere)].map(lens);
        lines.push(if width() == WIDTH {
            format!("  {place:<9} {exact:<22} nearest quarter {quarter}")
        } else {
            format!("  {place:<9} {exact}\n            nearest quarter {quarter}")
        });
    }
    if course.chosen.is_some() {
        lines.extend(wrap(&format!("{}.", course.choice_in_words()), width().into()));
    }
    // Of the last run what it ends with, which both eyes open may have changed.
    let is_last = examination.eyes().iter().any(|last| std::ptr::eq(*last, course));
    let ends = examination.ends_with(start.eye).filter(|_| is_last).or_else(|| course.chosen_lens());
    let otherwise = ends.map(|lens| start.otherwise(lens)).unwrap_or_default().into_iter();
    lines.extend(otherwise.map(|words::Otherwise { name, lens }| format!("  {name:<21} {lens}")));
    let last = || examination.intended_in_words(start.eye);
    let meant = if is_last { last() } else { course.intended_in_words() };
    lines.extend(meant.into_iter().flat_map(|meant| wrap(&meant, width().into())));
    lines
}

/// The questions whether white can be read as a table.
fn limits(course: &Course) -> String {
    let rows = course.limits.iter().map(|(question, answer)| {
        let LimitQuestion { number, sphere, change, line, .. } = question;
        begun(*number, [*sphere, *change], *line, [answer.to_string(), question.because()])
    });
    table(&["", "sphere", "change", "line", "white", "why"], rows)
}

/// The questions about red and green as a table.
fn asked(course: &Course) -> String {
    let rows = course.asked.iter().map(|(question, answer)| {
        let Question { number, sphere, change, line, red, .. } = question;
        let said = [red.name().into(), answer.to_string(), question.because()];
        begun(*number, [*sphere, *change], *line, said)
    });
    table(&["", "sphere", "change", "line", "red", "answer", "why"], rows)
}

/// A row: the question's number, its lens and by how much that differs from the manifest, its line, and the rest.
fn begun<const REST: usize>(
    number: usize,
    [sphere, change]: [Dioptres; 2],
    line: Acuity,
    rest: [String; REST],
) -> Vec<String> {
    let begins = [number.to_string(), sphere.to_string(), change.to_string(), line.to_string()];
    begins.into_iter().chain(rest).collect()
}

fn table(heads: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut table = plain_table(heads);
    table.add_rows(rows);
    table.set_content_arrangement(comfy_table::ContentArrangement::Dynamic).set_width(width());
    table.trim_fmt()
}
