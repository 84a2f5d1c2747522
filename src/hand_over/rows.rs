//! A table with a row an eye, as RFC 4180 has it, that a spreadsheet opens as it is meant.

use std::fmt::Write as _;

use super::eye::HandedEye;
use crate::acuity::{Notation, Score};
use crate::balance::record::Kept;
use crate::balance::{Lens, RefinedFor};
use crate::quantity::{Dioptres, Length};
use crate::text::csv_cell;

/// What tells a spreadsheet that letters beyond ASCII are UTF-8.
const MARK: char = '\u{feff}';

/// A cell: text that a spreadsheet must not take for a formula, or a number that it must take for one.
enum Cell {
    Text(String),
    Number(Option<f64>, usize),
}

/// A column: its head, and its cell for an eye.
type Column = (&'static str, fn(&HandedEye<'_>, Option<Notation>) -> Cell);

/// All columns, in their order.
const COLUMNS: &[Column] = &[
    ("examination", |eye, _| text(&eye.kept.id)),
    ("begun", |eye, _| text(eye.kept.at.first().map_or("", String::as_str))),
    ("room", |eye, _| text(&eye.start().place.name)),
    ("distance_m", |eye, _| Cell::Number(Some(eye.start().distance().to_m()), 3)),
    ("label", |eye, _| text(eye.start().label.as_deref().unwrap_or_default())),
    ("examiner", |eye, _| text(eye.start().examiner.as_deref().unwrap_or_default())),
    ("instrument", |eye, _| text(eye.start().instrument.as_deref().unwrap_or_default())),
    ("fields_metered_on", |eye, _| {
        text(eye.start().place.metered.as_ref().map_or("", |one| one.on.as_str()))
    }),
    ("eye", |eye, _| text(eye.eye().name())),
    ("kind", |eye, _| text(eye.start().kind.name())),
    ("runs", |eye, _| whole(eye.runs())),
    ("manifest_sphere_d", |eye, _| power(Some(eye.first_start().manifest.sphere()))),
    ("manifest_cylinder_d", |eye, _| cylinder(Some(eye.first_start().manifest.lens()))),
    ("manifest_axis_degrees", |eye, _| axis(Some(eye.first_start().manifest.lens()))),
    ("manifest_for", |eye, _| text(distance(Some(eye.first_start().refined_for)))),
    ("vertex_mm", |eye, _| Cell::Number(eye.start().vertex.map(Length::to_mm), 1)),
    ("intended_d", |eye, _| power(eye.start().intended)),
    ("acuity_before", |eye, notation| text(&acuity(eye.first_start().acuity, notation))),
    ("acuity_before_log_mar", |eye, _| Cell::Number(Some(eye.first_start().acuity.to_log_mar()), 2)),
    ("procedure", |eye, _| text(eye.start().procedure.name())),
    ("end_point", |eye, _| text(eye.start().end_point.key())),
    ("questions", |eye, _| whole(eye.course.asked.len() + eye.course.limits.len())),
    ("stands_here_d", |eye, _| power(eye.course.standing().map(|standing| standing.here))),
    ("stands_far_d", |eye, _| power(eye.course.standing().map(|standing| standing.far))),
    ("balance_here_d", |eye, _| power(eye.whereabouts().map(|found| found.balance))),
    ("balance_low_d", |eye, _| power(eye.whereabouts().map(|found| found.low))),
    ("balance_high_d", |eye, _| power(eye.whereabouts().map(|found| found.high))),
    ("within_a_click", |eye, _| Cell::Number(eye.whereabouts().and_then(|found| found.within_a_click), 2)),
    ("midpoint_d", |eye, _| power(eye.course.midpoint().map(|found| found.at))),
    ("chosen", |eye, _| text(eye.course.chosen.map_or("", |choice| choice.name()))),
    ("chosen_for", |eye, _| text(distance(eye.is_for()))),
    ("with_both_eyes_d", |eye, _| power(Some(eye.kept.examination.both.added(eye.eye())))),
    ("ends_with_sphere_d", |eye, _| power(eye.ends_with().map(|lens| lens.sphere))),
    ("ends_with_cylinder_d", |eye, _| cylinder(eye.ends_with())),
    ("ends_with_axis_degrees", |eye, _| axis(eye.ends_with())),
    ("acuity_through_it_log_mar", |eye, _| Cell::Number(eye.acuity_through_it().map(Score::to_log_mar), 2)),
    ("glasses_vertex_mm", |eye, _| Cell::Number(eye.start().glasses_vertex.map(Length::to_mm), 1)),
    ("in_glasses_sphere_d", |eye, _| power(eye.in_glasses().map(|lens| lens.sphere))),
    ("in_glasses_cylinder_d", |eye, _| cylinder(eye.in_glasses())),
    ("change_d", |eye, _| power(eye.change())),
    ("off_the_intended_d", |eye, _| power(eye.kept.examination.off_the_intended(eye.eye()))),
    ("acuity_left_in", |eye, notation| {
        text(&eye.acuity_after().map(|score| acuity(score, notation)).unwrap_or_default())
    }),
    ("acuity_left_in_log_mar", |eye, _| Cell::Number(eye.acuity_after().map(Score::to_log_mar), 2)),
    ("acuity_both_log_mar", |eye, _| {
        Cell::Number(eye.kept.examination.both.acuity.map(Score::to_log_mar), 2)
    }),
    ("add_d", |eye, _| power(eye.kept.examination.near.last().map(|near| near.add))),
    ("near_acuity_log_mar", |eye, _| {
        let near = eye.kept.examination.near.last();
        Cell::Number(near.and_then(|near| near.acuity).map(Score::to_log_mar), 2)
    }),
    ("near_distance_mm", |eye, _| {
        Cell::Number(eye.kept.examination.near.last().map(|near| near.distance.to_mm()), 0)
    }),
    ("warning", |eye, _| text(&eye.kept.warning().unwrap_or_default())),
    ("cautions", |eye, _| {
        let cautions = eye.course.cautions().into_iter().map(|caution| caution.what);
        text(&cautions.collect::<Vec<_>>().join(" "))
    }),
];

/// A row for each eye of these examinations, under a row of heads.
///
/// ```
/// use evenfield::hand_over::rows;
/// let table = rows(&[], None);
/// assert!(table.starts_with("\u{feff}examination,begun,room,distance_m"));
/// ```
#[must_use]
pub fn rows(kept: &[&Kept], notation: Option<Notation>) -> String {
    let heads: Vec<&str> = COLUMNS.iter().map(|(head, _)| *head).collect();
    let mut table = format!("{MARK}{}\r\n", heads.join(","));
    for eye in kept.iter().flat_map(|kept| HandedEye::all_of(kept)) {
        let cells: Vec<String> = COLUMNS.iter().map(|(_, of)| of(&eye, notation).to_string()).collect();
        // Writing to a text cannot fail.
        let _ = write!(table, "{}\r\n", cells.join(","));
    }
    table
}

impl std::fmt::Display for Cell {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Text(text) => f.write_str(&csv_cell(text)),
            Self::Number(None, _) => Ok(()),
            Self::Number(Some(number), digits) => {
                let digits = *digits;
                write!(f, "{number:.digits$}")
            }
        }
    }
}

/// An acuity that no spreadsheet takes for a date, as it takes 6/6 for the sixth of June: with the trade's letters for it in front, and
/// with the hyphen for a minus.
fn acuity(score: Score, notation: Option<Notation>) -> String {
    format!("VA {}", score.in_notation_or_own(notation)).replace('\u{2212}', "-")
}

fn text(words: &str) -> Cell {
    Cell::Text(words.into())
}

fn power(power: Option<Dioptres>) -> Cell {
    // What rounds to nought has no sign.
    let number = power.map(Dioptres::to_d).map(|number| if number.abs() < 5e-5 { 0.0 } else { number });
    Cell::Number(number, 4)
}

#[allow(clippy::cast_precision_loss, reason = "a thousand at the most")]
const fn whole(count: usize) -> Cell {
    Cell::Number(Some(count as f64), 0)
}

fn cylinder(lens: Option<Lens>) -> Cell {
    power(lens.and_then(|lens| lens.cylinder).map(|cylinder| cylinder.power))
}

fn axis(lens: Option<Lens>) -> Cell {
    Cell::Number(lens.and_then(|lens| lens.cylinder).map(|cylinder| f64::from(cylinder.axis_degrees)), 0)
}

fn distance(of: Option<RefinedFor>) -> &'static str {
    of.map_or("", RefinedFor::name)
}
