//! A table with a row an eye, as RFC 4180 has it, that a spreadsheet opens as it is meant.

use std::fmt::Write as _;

use super::eye::HandedEye;
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
type Column = (&'static str, fn(&HandedEye<'_>) -> Cell);

/// All columns, in their order.
const COLUMNS: &[Column] = &[
    ("examination", |eye| text(&eye.kept.id)),
    ("begun", |eye| text(eye.kept.at.first().map_or("", String::as_str))),
    ("room", |eye| text(&eye.start().place.name)),
    ("distance_m", |eye| Cell::Number(Some(eye.start().distance().to_m()), 3)),
    ("label", |eye| text(eye.start().label.as_deref().unwrap_or_default())),
    ("examiner", |eye| text(eye.start().examiner.as_deref().unwrap_or_default())),
    ("instrument", |eye| text(eye.start().instrument.as_deref().unwrap_or_default())),
    ("fields_metered_on", |eye| text(eye.start().place.metered.as_ref().map_or("", |one| one.on.as_str()))),
    ("eye", |eye| text(eye.eye().name())),
    ("kind", |eye| text(eye.start().kind.name())),
    ("runs", |eye| whole(eye.runs())),
    ("manifest_sphere_d", |eye| power(Some(eye.start().manifest.sphere()))),
    ("manifest_cylinder_d", |eye| cylinder(Some(eye.start().manifest.lens()))),
    ("manifest_axis_degrees", |eye| axis(Some(eye.start().manifest.lens()))),
    ("manifest_for", |eye| text(distance(Some(eye.start().refined_for)))),
    ("vertex_mm", |eye| Cell::Number(eye.start().vertex.map(Length::to_mm), 1)),
    ("intended_d", |eye| power(eye.start().intended)),
    ("acuity_before", |eye| text(&eye.start().acuity.to_string())),
    ("acuity_before_log_mar", |eye| Cell::Number(Some(eye.start().acuity.to_log_mar()), 2)),
    ("procedure", |eye| text(eye.start().procedure.name())),
    ("end_point", |eye| text(eye.start().end_point.key())),
    ("questions", |eye| whole(eye.course.asked.len() + eye.course.limits.len())),
    ("stands_here_d", |eye| power(eye.course.standing().map(|standing| standing.here))),
    ("stands_far_d", |eye| power(eye.course.standing().map(|standing| standing.far))),
    ("balance_here_d", |eye| power(eye.whereabouts().map(|found| found.balance))),
    ("balance_low_d", |eye| power(eye.whereabouts().map(|found| found.low))),
    ("balance_high_d", |eye| power(eye.whereabouts().map(|found| found.high))),
    ("within_a_click", |eye| Cell::Number(eye.whereabouts().and_then(|found| found.within_a_click), 2)),
    ("midpoint_d", |eye| power(eye.course.midpoint().map(|found| found.at))),
    ("chosen", |eye| text(eye.course.chosen.map_or("", |choice| choice.name()))),
    ("chosen_for", |eye| text(distance(eye.is_for()))),
    ("with_both_eyes_d", |eye| power(Some(eye.kept.examination.both.added(eye.eye())))),
    ("ends_with_sphere_d", |eye| power(eye.ends_with().map(|lens| lens.sphere))),
    ("ends_with_cylinder_d", |eye| cylinder(eye.ends_with())),
    ("ends_with_axis_degrees", |eye| axis(eye.ends_with())),
    ("change_d", |eye| power(eye.change())),
    ("off_the_intended_d", |eye| power(eye.course.off_the_intended())),
    ("acuity_after", |eye| text(&eye.acuity_after().map(|score| score.to_string()).unwrap_or_default())),
    ("acuity_after_log_mar", |eye| Cell::Number(eye.acuity_after().map(crate::acuity::Score::to_log_mar), 2)),
    ("acuity_both_log_mar", |eye| {
        Cell::Number(eye.kept.examination.both.acuity.map(crate::acuity::Score::to_log_mar), 2)
    }),
    ("add_d", |eye| power(eye.kept.examination.near.last().map(|near| near.add))),
    ("near_distance_mm", |eye| {
        Cell::Number(eye.kept.examination.near.last().map(|near| near.distance.to_mm()), 0)
    }),
    ("warning", |eye| text(&eye.kept.warning().unwrap_or_default())),
    ("cautions", |eye| {
        let cautions = eye.course.cautions().into_iter().map(|caution| caution.what);
        text(&cautions.collect::<Vec<_>>().join(" "))
    }),
];

/// A row for each eye of these examinations, under a row of heads.
///
/// ```
/// use evenfield::hand_over::rows;
/// let table = rows(&[]);
/// assert!(table.starts_with("\u{feff}examination,begun,room,distance_m"));
/// ```
#[must_use]
pub fn rows(kept: &[&Kept]) -> String {
    let heads: Vec<&str> = COLUMNS.iter().map(|(head, _)| *head).collect();
    let mut table = format!("{MARK}{}\r\n", heads.join(","));
    for eye in kept.iter().flat_map(|kept| HandedEye::all_of(kept)) {
        let cells: Vec<String> = COLUMNS.iter().map(|(_, of)| of(&eye).to_string()).collect();
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
