//! What stands beside the letters: nothing, the names of lines, or what should not be there.
//!
//! Labels are recognised and not read: faint, level with a row, at its outer end, one for every row. They are for an examiner who stands near.

use super::seen::{Seen, SeenRow};
use crate::check::clause;
use crate::check::locate::Mark;
use crate::check::patch::Patch;
use crate::check::{Finding, Requirement, Verdict};

/// How many times the highest label fits into the picture's height.
const LABELS_DOWN: f64 = 8.0;

/// The widest label in label heights: twelve characters, the longest name of a line.
const WIDEST: f64 = 12.0;

/// The least air between a label and the letters, in label heights.
const CLEAR: f64 = 0.5;

/// The finding on what stands beside the letters; `labels` says whether lines are named, where that is known.
pub(super) fn evenness(seen: &Seen, labels: Option<bool>) -> Finding {
    let required = if labels == Some(true) { "faint labels" } else { "nothing" };
    let finding = |measured: String| Finding::words(&clause::EVENNESS, measured, Some(required.into()));
    let changed = "the picture was changed: make the chart anew";
    if seen.crowded {
        return finding("more marks than can be told apart".into()).with_note(changed);
    }
    if seen.tinted > 0 {
        let what = format!("{} px of another colour than the field’s shades", seen.tinted);
        return finding(what).with_note(changed);
    }
    match (Labels::find(seen), seen.marks.len()) {
        (_, 0) if labels == Some(true) => finding("nothing".into()).with_note("the labels are missing"),
        (_, 0) => finding("nothing".into()),
        (Labels::Whole, _) if labels.is_none() => {
            let required = Requirement::Exactly("nothing, or faint labels".into());
            let note = "where no labels were asked for, the picture was changed";
            Finding { required, ..finding("faint marks like labels".into()) }
                .with_verdict(Verdict::Warn)
                .with_note(note)
        }
        (Labels::Whole, _) => finding("faint labels".into()).note_if_failed("no labels were asked for"),
        (Labels::Amiss(why), _) => finding(in_words(&seen.marks)).with_note(format!("{why}: {changed}")),
    }
}

fn in_words(marks: &[Mark]) -> String {
    let dark = marks.iter().filter(|mark| mark.dark).count();
    let marks = if marks.len() == 1 { "1 mark".into() } else { format!("{} marks", marks.len()) };
    if dark == 0 { format!("{marks}, faint") } else { format!("{marks}, {dark} as dark as letters") }
}

/// Whether the marks on a chart are the names of its lines.
enum Labels {
    /// One at the outer end of every row on every field, and nothing else. They are not read.
    Whole,
    /// Something else; the words say what.
    Amiss(&'static str),
}

impl Labels {
    fn find(seen: &Seen) -> Self {
        if seen.marks.iter().any(|mark| mark.dark) {
            return Self::Amiss("labels are fainter");
        }
        let tallest = seen.marks.iter().map(|mark| mark.place.height()).max().map_or(0.0, f64::from);
        if tallest * LABELS_DOWN > f64::from(seen.size[1]) {
            return Self::Amiss("labels are smaller");
        }
        let mut ends: Vec<[Option<Patch>; 2]> = vec![[None; 2]; seen.rows.len()];
        for mark in &seen.marks {
            let Some((row, end)) = end_of(seen, mark.place, tallest) else {
                return Self::Amiss("labels stand level with the letters, at the outer end of a row");
            };
            let label = &mut ends[row][end];
            *label = Some(label.map_or(mark.place, |label| label.with(mark.place)));
        }
        if ends.iter().flatten().flatten().any(|label| f64::from(label.width()) > WIDEST * tallest) {
            return Self::Amiss("labels are shorter");
        }
        let both = seen.fields.codes.len() > 1;
        let whole = |ends: &[Option<Patch>; 2]| {
            if both { ends.iter().all(Option::is_some) } else { ends.iter().flatten().count() == 1 }
        };
        if ends.iter().all(whole) { Self::Whole } else { Self::Amiss("not every row has its label") }
    }
}

/// The row whose label a mark may be a part of, and at its left (0) or right (1) end.
fn end_of(seen: &Seen, mark: Patch, tallest: f64) -> Option<(usize, usize)> {
    let middle = f64::from(mark.top + mark.bottom) / 2.0;
    let level = |row: &SeenRow| (middle - row.middle()).abs() <= tallest.max(row.height() / 2.0);
    let near = |row: &SeenRow| (middle - row.middle()).abs();
    let (index, row) = (seen.rows.iter().enumerate())
        .filter(|(_, row)| level(row))
        .min_by(|(_, one), (_, other)| near(one).total_cmp(&near(other)))?;
    let [left, right] = row.ends();
    let clear = CLEAR * tallest;
    if f64::from(mark.right) + clear <= left {
        Some((index, 0))
    } else {
        (f64::from(mark.left) - clear >= right).then_some((index, 1))
    }
}
