//! The lines: which letters they have and how large they are.

use super::picture::colour;
use super::seen::{Seen, SeenLetter, SeenRow};
use super::{Scale, Wanted, clause};
use crate::acuity::Acuity;
use crate::check::measure::GRID;
use crate::check::{Clause, Finding, Requirement, Verdict};
use crate::quantity::Angle;

/// By how many per cent a letter's size and its detail may be off: ISO 10938:2016, 4.1.1.
const SIZE_PERCENT: f64 = 5.0;

/// Letters in a line where there is room.
const LETTERS_A_LINE: f64 = 5.0;

/// The least stroke in pixels, and the least one without a reservation.
const STROKE_PX: (f64, f64) = (2.0, 3.0);

/// What the measurement of a gap can be off by, in pixels, on a field of fine codes.
const RESOLUTION_PX: f64 = 0.04;

/// One code's share of a field's light up to which its codes are fine: that of green 147 on an sRGB screen.
const FINE_STEP: f64 = 0.015;

/// The least gap between letters in letter widths, less what the measurement can be off by.
const GAP: (f64, f64) = (1.0, 0.02);

pub(super) fn findings(seen: &Seen, wanted: &Wanted, scale: &Scale) -> Vec<Finding> {
    let mut findings: Vec<Finding> = resolution(scale).into_iter().collect();
    findings.push(lines(seen, wanted));
    for (index, row) in seen.rows.iter().enumerate() {
        let line = Line {
            row,
            acuity: wanted.lines.get(index).copied().filter(|_| wanted.lines.len() == seen.rows.len()),
            letters: wanted.letters.get(index).filter(|_| wanted.letters.len() == seen.rows.len()),
            number: index + 1,
            seen,
            scale,
        };
        findings.extend(line.findings());
    }
    findings
}

/// How many pixels an arcminute has down the picture.
fn resolution(scale: &Scale) -> Option<Finding> {
    let pixel = scale.angle(1.0, Some(1))?;
    let finding = Finding::number(&clause::RESOLUTION, 1.0 / pixel.to_arcmin(), Requirement::Information);
    Some(Finding { basis: scale.basis, ..finding })
}

fn lines(seen: &Seen, wanted: &Wanted) -> Finding {
    let count = |lines: usize| if lines == 1 { "1 line".into() } else { format!("{lines} lines") };
    let found = seen.rows.len();
    if found == 0 {
        return Finding::words(&clause::LINES, "no letters".into(), Some("letters on plain fields".into()));
    }
    let required = (!wanted.lines.is_empty()).then(|| count(wanted.lines.len()));
    let finding = Finding::words(&clause::LINES, count(found), required);
    if wanted.lines.is_empty() {
        return finding.with_note("name the lines with --line");
    }
    let names: Vec<String> = wanted.lines.iter().map(Acuity::to_string).collect();
    finding.with_note(names.join(", "))
}

/// A length of a letter: one of its sides, or its critical detail.
struct Side<'a> {
    field: usize,
    letter: &'a SeenLetter,
    px: f64,
    minutes: f64,
}

/// One row of letters and what it should be.
struct Line<'a> {
    row: &'a SeenRow,
    acuity: Option<Acuity>,
    letters: Option<&'a Vec<String>>,
    number: usize,
    seen: &'a Seen,
    scale: &'a Scale,
}

impl Line<'_> {
    fn findings(&self) -> Vec<Finding> {
        let mut findings = vec![self.read(), self.count()];
        findings.push(self.angle(&clause::LETTER_SIZE, GRID, |letter| {
            letter.sizes().into_iter().enumerate().filter_map(|(axis, px)| Some((px?, Some(axis)))).collect()
        }));
        findings
            .push(self.angle(&clause::CRITICAL_DETAIL, 1.0, |letter| letter.detail.into_iter().collect()));
        findings.push(self.stroke());
        findings.extend(self.spacing());
        findings.into_iter().map(|finding| self.place(finding)).collect()
    }

    fn name(&self) -> String {
        self.acuity.map_or_else(|| format!("line {}", self.number), |acuity| format!("line {acuity}"))
    }

    fn place(&self, finding: Finding) -> Finding {
        let place = if finding.place.is_empty() {
            self.name()
        } else {
            format!("{}, {}", self.name(), finding.place)
        };
        finding.at(place)
    }

    /// The same letters on every field, and those that the file names.
    fn read(&self) -> Finding {
        let names =
            |letters: &Vec<SeenLetter>| letters.iter().map(SeenLetter::name).collect::<Vec<_>>().join(" ");
        let mut read: Vec<String> = self.row.fields.iter().map(names).collect();
        let first = read.first().cloned().unwrap_or_default();
        read.dedup();
        let measured = read.join(" | ");
        let required = self.letters.map_or(first, |letters| letters.join(" "));
        let finding = Finding::words(&clause::LETTERS, measured, Some(required));
        if self.row.letters().any(|(_, letter)| letter.letter.is_none()) {
            return finding
                .with_verdict(Verdict::Fail)
                .with_note("? is no letter of its set, or not a whole one");
        }
        finding.note_if_failed(if read.len() > 1 {
            "the fields show different letters"
        } else {
            "not the letters that the file names"
        })
    }

    fn count(&self) -> Finding {
        let counts = self.row.fields.iter().map(Vec::len);
        let count = counts.min().and_then(|count| u32::try_from(count).ok()).map_or(0.0, f64::from);
        let finding = Finding::number(&clause::LETTERS_A_LINE, count, Requirement::AtLeast(LETTERS_A_LINE));
        let note = "fewer than five: the line judges less finely";
        finding.note_if_failed(note).only_warn()
    }

    /// The worst of some lengths of every letter, as angles against so many MAR.
    fn angle(
        &self,
        clause: &'static Clause,
        mars: f64,
        lengths: impl Fn(&SeenLetter) -> Vec<(f64, Option<usize>)>,
    ) -> Finding {
        let all: Vec<Side<'_>> = self
            .row
            .letters()
            .flat_map(|(field, letter)| {
                lengths(letter).into_iter().map(move |length| (field, letter, length))
            })
            .map(|(field, letter, (px, axis))| Side { field, letter, px, minutes: self.minutes(px, axis) })
            .collect();
        let known = all.iter().all(|side| side.minutes.is_finite());
        match self.acuity {
            _ if !known => {
                let mean = mean(all.iter().map(|side| side.px));
                let note = "the distance or the pixels' size is not known: give the room with --room";
                Finding::words(clause, format!("{mean:.2} px"), None).with_note(note)
            }
            None => self.like(clause, mars, mean(all.iter().map(|side| side.minutes))),
            Some(acuity) => self.worst(clause, mars * acuity.to_mar(), &all),
        }
    }

    /// Minutes of arc of a length in pixels; not a number where the room is not known.
    fn minutes(&self, px: f64, axis: Option<usize>) -> f64 {
        self.scale.angle(px, axis).map_or(f64::NAN, Angle::to_arcmin)
    }

    /// A mean size whose line is not known: which line it would be.
    fn like(&self, clause: &'static Clause, mars: f64, minutes: f64) -> Finding {
        let like =
            Acuity::from_mar(minutes / mars).map_or_else(|_| "no acuity".into(), |line| line.to_string());
        let finding = Finding::number(clause, minutes, Requirement::Unknown);
        let finding = finding.with_note(format!("that of {like}: name the line with --line"));
        Finding { basis: self.scale.basis, ..finding }
    }

    /// The length that is farthest from its target in minutes. One that fails by less than the measurement can tell
    /// is a warning.
    fn worst(&self, clause: &'static Clause, target: f64, all: &[Side<'_>]) -> Finding {
        let off = |side: &Side<'_>| (side.minutes / target - 1.0).abs();
        let Some(worst) = all.iter().max_by(|one, other| off(one).total_cmp(&off(other))) else {
            return Finding::words(clause, "not measurable".into(), Some("letters of their set".into()));
        };
        let colour = colour(self.seen.fields.codes[worst.field]);
        let finding = Finding::number(clause, worst.minutes, Requirement::Near(target, SIZE_PERCENT))
            .at(format!("worst {} on {colour}", worst.letter.name()));
        let finding = Finding { basis: self.scale.basis, ..finding };
        let target_px = worst.px / worst.minutes * target;
        let beyond_px = (off(worst) - SIZE_PERCENT / 100.0) * target_px;
        let resolution_px = RESOLUTION_PX * (self.seen.code_step[worst.field] / FINE_STEP).max(1.0);
        if beyond_px > resolution_px {
            return finding;
        }
        let note =
            format!("so near to the limit that {resolution_px:.2} px, which codes cannot tell, may decide");
        finding.note_if_failed(note).only_warn()
    }

    fn stroke(&self) -> Finding {
        let stroke = mean(self.row.letters().map(|(_, letter)| letter.stroke_px()));
        let (least, plain) = STROKE_PX;
        let finding = Finding::number(&clause::STROKE, stroke, Requirement::AtLeast(least));
        if stroke < least - RESOLUTION_PX {
            return finding.with_note("pixels this coarse cannot draw the line");
        }
        let finding = finding.with_verdict(Verdict::Pass).warn_if(stroke < plain - RESOLUTION_PX);
        finding.with_note("under 3 px an edge is mostly grey, and the screen adds blur of its own")
    }

    /// The least gap, in letter heights, which are letter widths.
    fn spacing(&self) -> Option<Finding> {
        let gaps = self.row.fields.iter().flat_map(|letters| letters.windows(2)).map(|pair| {
            let height = (pair[0].stroke_px() + pair[1].stroke_px()) / 2.0 * GRID;
            (pair[1].ends[0] - pair[0].ends[1]) / height
        });
        let least = gaps.reduce(f64::min)?;
        let (wanted, slack) = GAP;
        let finding = Finding::number(&clause::SPACING, least, Requirement::AtLeast(wanted));
        Some(if least >= wanted - slack {
            finding.with_verdict(Verdict::Pass)
        } else {
            finding
                .with_verdict(Verdict::Warn)
                .with_note("crowded letters are harder to read than their size says")
        })
    }
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}
