//! The lines: which letters they have and how large they are.
//!
//! Sizes are judged at their worst letter and not at their mean, so that one letter that was stretched is found. A length that
//! fails by less than the picture's codes can show is a warning: fails are meant to be certain.

use super::picture::colour;
use super::seen::{Seen, SeenLetter, SeenRow};
use super::{Scale, Wanted, clause};
use crate::acuity::Acuity;
use crate::check::measure::GRID;
use crate::check::{Clause, Finding, Requirement, Verdict};
use crate::quantity::Angle;
use crate::room::{LEAST_STROKE_PX, PLAIN_STROKE_PX};

/// By how many per cent a letter's size and its detail may be off: ISO 10938:2016, 4.1.1.
const SIZE_PERCENT: f64 = 5.0;

/// How many letters a line has where there is room.
const LETTERS_A_LINE: f64 = 5.0;

/// By how many pixels the measurement of a gap can be off, on a field of fine codes.
const RESOLUTION_PX: f64 = 0.04;

/// The largest share of a field's light that one code may have if the codes are to count as fine: that of green 147 on
/// an sRGB screen.
const FINE_STEP: f64 = 0.015;

/// The least gap between letters in letter widths, and between rows in heights of the lower one, less what the
/// measurement can be off by.
const GAP: (f64, f64) = (1.0, 0.02);

/// The air around all letters in their own heights; a row begins at a whole pixel, which may take one of it.
const AIR: f64 = 1.0;

/// How many per cent of an area one stroke square may lack ink or have too much: where strokes have 3 px or more, and
/// where they have fewer. There the pixel grid alone causes up to 16 % at the sharp corners of a V. This project's own
/// decision.
const SHAPE_PERCENT: (f64, f64) = (15.0, 25.0);

/// How far apart the middles of a row's letters may lie, in per cent of their height: a quarter of a stroke. This
/// project's own decision.
const LEVEL_PERCENT: f64 = 5.0;

/// Maximum number of letters that are named one by one.
const MOST_NAMED: usize = 12;

/// Findings on the picture's letters: what holds of all lines first, then line by line from the top.
pub(super) fn findings(seen: &Seen, wanted: &Wanted, scale: &Scale) -> Vec<Finding> {
    let mut findings: Vec<Finding> = resolution(scale).into_iter().collect();
    findings.push(lines(seen, wanted));
    findings.extend(obliquity(seen, scale));
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

/// How much narrower the outermost letter looks. At an angle θ to the side it is farther away by 1/cos θ and turned by
/// θ, so across it subtends cos² θ of the angle that it would subtend straight ahead.
fn obliquity(seen: &Seen, scale: &Scale) -> Option<Finding> {
    let middle = f64::from(seen.size[0]) / 2.0;
    let beside = |letter: &SeenLetter| ((letter.ends[0] + letter.ends[1]) / 2.0 - middle).abs();
    let outermost = seen.letters().map(|(_, letter)| beside(letter)).reduce(f64::max)?;
    let tangent = scale.pitch?[0] * outermost / scale.distance?;
    let narrower = (1.0 - 1.0 / (1.0 + tangent * tangent)) * 100.0;
    let finding = Finding::number(&clause::OBLIQUITY, narrower, Requirement::AtMost(SIZE_PERCENT))
        .at("outermost letter");
    let note = "seen from so near, letters at the ends are narrower than those in the middle: step back, or show fewer";
    Some(Finding { basis: scale.basis, ..finding.note_if_failed(note).only_warn() })
}

/// How many lines there are, against how many were asked for; not judged where nobody says.
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
        findings.extend([self.stroke(), self.shape(), self.level()]);
        findings.extend(self.spacing());
        findings.extend(self.row_gap());
        findings.push(self.air());
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
        let mut read: Vec<String> = self.row.fields.iter().map(|letters| names(letters)).collect();
        read.dedup();
        let same = read.len() == 1;
        let measured = read.join(" | ");
        let finding = match self.letters {
            Some(letters) => Finding::words(&clause::LETTERS, measured, Some(letters.join(" "))),
            None => {
                let verdict = if same { Verdict::Pass } else { Verdict::Fail };
                let required = Some("the same on all fields".into());
                Finding::words(&clause::LETTERS, measured, required).with_verdict(verdict)
            }
        };
        if self.row.letters().any(|(_, letter)| letter.letter.is_none()) {
            return finding
                .with_verdict(Verdict::Fail)
                .with_note("? is no letter of its set, or not a whole one");
        }
        finding.note_if_failed(if !same {
            "the fields show different letters"
        } else {
            "not the letters that the file names"
        })
    }

    /// The letters of the row on the field that has fewest.
    fn count(&self) -> Finding {
        let counts = self.row.fields.iter().map(Vec::len);
        let count = counts.min().and_then(|count| u32::try_from(count).ok()).map_or(0.0, f64::from);
        let finding = Finding::number(&clause::LETTERS_A_LINE, count, Requirement::AtLeast(LETTERS_A_LINE));
        let note = "fewer than five letters: the line measures acuity less finely";
        finding.note_if_failed(note).only_warn()
    }

    /// The worst of some lengths of every letter, as angles against a target of `mars` times the line's MAR.
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
                let note = "the distance or the pixels’ size is not known: give the room with --room";
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

    /// The mean size of a row whose line is not known, with the line that would have it.
    fn like(&self, clause: &'static Clause, mars: f64, minutes: f64) -> Finding {
        let like =
            Acuity::from_mar(minutes / mars).map_or_else(|_| "no acuity".into(), |line| line.to_string());
        let finding = Finding::number(clause, minutes, Requirement::Unknown);
        let finding = finding.with_note(format!("the size of {like}: name the line with --line"));
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
        let note = format!(
            "so near to the limit that an error of {resolution_px:.2} px, too small for the codes to show, may decide"
        );
        finding.note_if_failed(note).only_warn()
    }

    /// The mean stroke of the row. Under two pixels is a failure, under three a warning; a measurement's own error of a few
    /// hundredths of a pixel decides neither.
    fn stroke(&self) -> Finding {
        let stroke = mean(self.row.letters().map(|(_, letter)| letter.stroke_px()));
        let (least, plain) = (LEAST_STROKE_PX, PLAIN_STROKE_PX);
        let finding = Finding::number(&clause::STROKE, stroke, Requirement::AtLeast(least));
        if stroke < least - RESOLUTION_PX {
            return finding.with_note("pixels this coarse cannot draw the line");
        }
        let finding = finding.with_verdict(Verdict::Pass).warn_if(stroke < plain - RESOLUTION_PX);
        finding.with_note("under 3 px an edge is mostly grey, and the screen adds blur of its own")
    }

    /// The worst place of the worst letter.
    fn shape(&self) -> Finding {
        let departures =
            self.row.letters().filter_map(|(field, letter)| Some((field, letter, letter.departure?)));
        let Some((field, letter, departure)) =
            departures.max_by(|(.., one), (.., other)| one.abs().total_cmp(&other.abs()))
        else {
            return Finding::words(
                &clause::SHAPE,
                "not measurable".into(),
                Some("letters of their set".into()),
            );
        };
        let coarse =
            self.row.letters().any(|(_, letter)| letter.stroke_px() < PLAIN_STROKE_PX - RESOLUTION_PX);
        let most = if coarse { SHAPE_PERCENT.1 } else { SHAPE_PERCENT.0 };
        let finding = Finding::number(&clause::SHAPE, departure.abs() * 100.0, Requirement::AtMost(most))
            .at(format!("worst {} on {}", letter.name(), colour(self.seen.fields.codes[field])));
        let what = if departure < 0.0 { "lacks ink" } else { "has ink beside its strokes" };
        finding.note_if_failed(format!("the letter {what}: the picture was changed, or is another drawing"))
    }

    /// How far the middles of the row's letters lie apart, over all fields.
    fn level(&self) -> Finding {
        let off = self.row.unevenness() / self.row.height() * 100.0;
        let finding = Finding::number(&clause::LEVEL, off, Requirement::AtMost(LEVEL_PERCENT));
        finding.note_if_failed("one letter, or one field’s row, stands lower than the others")
    }

    /// The gap to the row above in heights of this one.
    fn row_gap(&self) -> Option<Finding> {
        let above = self.seen.rows.get(self.number.checked_sub(2)?)?;
        let gap = (self.row.tips()[0] - above.tips()[1]) / self.row.height();
        Some(crowded_below(Finding::number(&clause::ROW_GAP, gap, Requirement::AtLeast(GAP.0)), gap))
    }

    /// The least air between a letter and the picture's edge or the next field, in letter heights.
    fn air(&self) -> Finding {
        let [columns, rows] = self.seen.size.map(f64::from);
        let seam = f64::from(self.seen.fields.seam);
        let air = |field: usize, letter: &SeenLetter| {
            let (from, to) = if field == 0 { (0.0, seam) } else { (seam, columns) };
            let beside = (letter.ends[0] - from).min(to - letter.ends[1]);
            beside.min(letter.tips[0]).min(rows - letter.tips[1])
        };
        let least =
            self.row.letters().map(|(field, letter)| air(field, letter)).fold(f64::INFINITY, f64::min);
        let height = self.row.height();
        let finding = Finding::number(&clause::AIR, least / height, Requirement::AtLeast(AIR));
        if least >= AIR * height - 1.0 {
            return finding.with_verdict(Verdict::Pass);
        }
        finding.with_verdict(Verdict::Warn).with_note("an edge so near to a letter crowds it")
    }

    /// The least gap, in letter heights, which are letter widths.
    fn spacing(&self) -> Option<Finding> {
        let gaps = self.row.fields.iter().flat_map(|letters| letters.windows(2)).map(|pair| {
            let height = (pair[0].stroke_px() + pair[1].stroke_px()) / 2.0 * GRID;
            (pair[1].ends[0] - pair[0].ends[1]) / height
        });
        let least = gaps.reduce(f64::min)?;
        Some(crowded_below(Finding::number(&clause::SPACING, least, Requirement::AtLeast(GAP.0)), least))
    }
}

/// A warning where a gap is smaller than it should be.
fn crowded_below(finding: Finding, gap: f64) -> Finding {
    if gap >= GAP.0 - GAP.1 {
        return finding.with_verdict(Verdict::Pass);
    }
    finding.with_verdict(Verdict::Warn).with_note("crowded letters are harder to read than their size says")
}

/// The letters of a row on one field.
fn names(letters: &[SeenLetter]) -> String {
    let mut names: Vec<String> =
        letters.iter().take(MOST_NAMED).map(|letter| letter.name().to_owned()).collect();
    if letters.len() > MOST_NAMED {
        names.push(format!("and {} more", letters.len() - MOST_NAMED));
    }
    names.join(" ")
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}
