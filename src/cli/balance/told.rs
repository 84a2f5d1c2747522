//! An examination in words, for a terminal that stays.

use super::super::columns::{WIDTH, folded, table, width};
use super::screen::manifest;
use crate::balance::record::Kept;
use crate::balance::words::{self, CAUTION, NOT_APPROVED, PRIVACY, gained};
use crate::balance::{Course, Examination, LimitQuestion, Question, Stage, Standing, nearest_quarter};
use crate::hand_over::{Writing, lines_to_paste};
use crate::quantity::Dioptres;

/// All that happened, and what comes next.
pub(super) fn told(kept: &Kept, writing: Writing) -> String {
    let mut parts: Vec<String> = kept.warning().into_iter().collect();
    parts.extend(kept.examination.courses.iter().map(|one| course(&kept.examination, one)));
    parts.extend(kept.examination.of_both_in_words().map(|said| folded(&said.join("\n"))));
    let lines = lines_to_paste(kept, writing);
    if !lines.is_empty() {
        // Never wrapped, so that each can be taken whole.
        parts.push(format!("To paste:\n{}", lines.join("\n")));
    }
    let next = next(&kept.examination).map(|next| format!("Next: {next}."));
    parts.extend(next.map(|next| folded(&next)));
    parts.push(folded(&[CAUTION, NOT_APPROVED, PRIVACY].join(" ")));
    parts.join("\n\n")
}

/// What comes next, and the flag that gives it to a script.
fn next(examination: &Examination) -> Option<String> {
    let flag = match examination.stage() {
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
    Some(format!("{} ({flag})", examination.next_in_words()))
}

fn course(examination: &Examination, course: &Course) -> String {
    let mut lines = vec![folded(&head(course))];
    if !course.asked.is_empty() {
        lines.push(asked(course));
    }
    if !course.limits.is_empty() {
        lines.push(limits(course));
    }
    lines.extend(course.ended().map(|ended| folded(&ended)));
    for (white, gain) in course.white.iter().zip(course.gains()) {
        let before = course.acuity_before_in_words();
        lines.push(folded(&format!("White before: {before}; after: {white}, {}.", gained(gain))));
    }
    if let Some(standing) = course.standing() {
        lines.extend(stands(examination, course, standing));
    }
    if let Some(moved) =
        course.moved_by().filter(|_| course.asks_for_the_cylinder() && course.chosen.is_none())
    {
        let said = format!("{} In a script: --cylinder.", words::recheck_the_cylinder(moved));
        lines.push(folded(&said));
    }
    let estimate = course.estimate_in_words().into_iter().flat_map(|said| [said.what, said.basis]);
    lines.extend(estimate.map(|sentence| folded(&sentence)));
    for caution in course.cautions() {
        lines.push(folded(&format!("! {} [{}]", caution.what, caution.basis)));
    }
    lines.join("\n")
}

/// The eye, and how it is asked.
fn head(course: &Course) -> String {
    let start = &course.start;
    let white = course.acuity_before_in_words();
    format!(
        "{}: {}; manifest {}; on white {white}; {}; {}, {}{}",
        start.eye.eye(),
        start.kind.words(),
        manifest(&start.manifest, start.refined_for),
        start.way_in_words(),
        start.place.name,
        start.distance(),
        start.by_whom()
    )
}

/// The lens that stands, and what was chosen.
fn stands(examination: &Examination, course: &Course, standing: Standing) -> Vec<String> {
    let start = &course.start;
    let why = [course.stands_in_words(), course.kept_against_balance()];
    let mut lines: Vec<String> = why.iter().flatten().map(|why| folded(why)).collect();
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
        lines.push(folded(&format!("{}.", course.choice_in_words())));
    }
    // Of the last run what it ends with, which both eyes open may have changed.
    let is_last = examination.is_last_run(course);
    let ends = examination.ends_with(start.eye).filter(|_| is_last).or_else(|| course.chosen_lens());
    let changed = ends.filter(|_| ends != course.chosen_lens());
    lines.extend(changed.map(|lens| format!("  with both eyes open   {lens}")));
    let otherwise = ends.map(|lens| start.otherwise(lens)).unwrap_or_default().into_iter();
    lines.extend(otherwise.map(|words::Otherwise { name, lens }| format!("  {name:<21} {lens}")));
    lines.extend(
        is_last.then(|| examination.read_better_in_words(start.eye)).flatten().map(|said| folded(&said)),
    );
    let last = || examination.intended_in_words(start.eye);
    let meant = if is_last { last() } else { course.intended_in_words() };
    lines.extend(meant.map(|meant| folded(&meant)));
    lines
}

/// The questions whether white can be read as a table.
fn limits(course: &Course) -> String {
    let rows = course.limits.iter().map(|(question, answer)| {
        let LimitQuestion { number, sphere, change, .. } = question;
        begun(*number, [*sphere, *change], question.line_in_words(), [answer.to_string(), question.because()])
    });
    table(&["", "sphere (D)", "change (D)", "line", "white", "why this lens"], rows)
}

/// The questions about red and green as a table.
fn asked(course: &Course) -> String {
    let rows = course.asked.iter().map(|(question, answer)| {
        let Question { number, sphere, change, red, .. } = question;
        let blurred = question.blur_first.map_or("", |_| " Blurred with plus before.");
        let said = [red.name().into(), answer.to_string(), question.because() + blurred];
        begun(*number, [*sphere, *change], question.line_in_words(), said)
    });
    table(&["", "sphere (D)", "change (D)", "line", "red", "answer", "why this lens"], rows)
}

/// A row: the question’s number, its lens and by how much that differs from the manifest, its line, and the rest.
fn begun<const REST: usize>(
    number: usize,
    [sphere, change]: [Dioptres; 2],
    line: String,
    rest: [String; REST],
) -> Vec<String> {
    let begins = [number.to_string(), sphere.number(), change.number(), line];
    begins.into_iter().chain(rest).collect()
}
