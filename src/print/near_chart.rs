//! Near charts of true size on paper.
//!
//! A screen's pixels are known, a printer's scaling is not: so the page carries a bar of 100 mm and the outline of a bank card,
//! and is worth nothing until a rule was held to it. What ink makes of a colour is not known either; the second page is for
//! finding, by eye and under the practice's own lamp, the pair of inks whose border is hardest to see.
//!
//! The letters on both colours stand on white as well, for plain acuity at the same distance.

use super::near_match::MatchStep;
use super::paper::{Paper, sheet};
use crate::acuity::{Acuity, STANDARD_LINES};
use crate::balance::words;
use crate::chart::{Lines, letter_height};
use crate::claim::{LineRecord, NearClaim, NearRecord};
use crate::optotype::{Draw, LetterSet, Optotype, STROKES_A_SIDE};
use crate::quantity::{Angle, Dioptres, Length};
use crate::scene::look::{BODY, GRID_MM, HEADING, INK, QUIET, Style, TITLE};
use crate::scene::{Anchor, CARD_MM, Canvas, Paint, Scene, run};
use kurbo::Affine;

/// Air at the sheet's sides.
const MARGIN_MM: f64 = 7.0 * GRID_MM;

/// Labels are as large as the body, since the page is read at arm's length.
const LABEL: Style = BODY.in_paint(QUIET);

/// The least height of the coloured fields, so that they are fields for a single small line too.
const LEAST_FIELD_MM: f64 = 40.0;

/// Letters of a line where there is room.
const LETTERS: usize = 5;

/// Two dots of a printer with 600 to the inch: thinner strokes are not drawn.
const LEAST_STROKE: Length = Length::inches(2.0 / 600.0);

/// From row to row at least, so that their names can be read.
const LEAST_PITCH_MM: f64 = 4.5;

/// The bar that proves the print.
const BAR_MM: f64 = 100.0;

/// Card and bar, one above the other.
const PROOF_MM: f64 = CARD_MM[1] + 3.0 * GRID_MM;

/// Lines that are printed where none is named, as far as they fit.
const USUAL: std::ops::RangeInclusive<i8> = 0..=10;

/// Where near charts are held.
const DISTANCE_M: std::ops::RangeInclusive<f64> = 0.2..=10.0;

/// What a near chart shall show.
#[derive(Debug, Clone)]
pub struct NearRequest {
    /// From the eye.
    pub distance: Length,
    /// Its lines; none: as many of the usual ones as fit.
    pub lines: Option<Lines>,
    /// What its letters are drawn from.
    pub letters: LetterSet,
    /// Which letters.
    pub seed: u64,
    /// The sheet.
    pub paper: Paper,
    /// The pair of inks that was picked on the match sheet; none: the usual one, which is not matched.
    pub step: Option<MatchStep>,
}

/// A near chart of true size on paper.
#[derive(Debug, Clone)]
pub struct NearChart {
    /// The page.
    pub scene: Scene,
    /// Its lines, from the top.
    pub lines: Vec<NearLine>,
}

/// One line of a near chart.
#[derive(Debug, Clone, PartialEq)]
pub struct NearLine {
    /// Its size.
    pub acuity: Acuity,
    /// Its letters' height.
    pub height: Length,
    /// Its letters from left to right, the same on every field.
    pub letters: Vec<Optotype>,
}

/// Why no near chart was made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NearError {
    /// Too near or too far.
    #[error("{distance}: a near chart is for 20 cm to 10 m: give a distance such as 40cm", distance = exactly(*.0))]
    Distance(Length),
    /// Strokes that a printer cannot draw.
    #[error(
        "line {line} has strokes of {stroke} at {distance}, under two dots of a 600 dpi printer ({least}): ask for a larger line",
        stroke = micrometres(*stroke),
        distance = metres(*distance),
        least = micrometres(LEAST_STROKE)
    )]
    TooFine {
        /// The line.
        line: Acuity,
        /// Its stroke.
        stroke: Length,
        /// The distance.
        distance: Length,
    },
    /// Not one letter fits on a field.
    #[error(
        "line {line} has letters of {height:.1} mm at {distance}, too large for a field of {field:.1} mm on {paper} paper: ask for a smaller line",
        distance = metres(*distance)
    )]
    TooLarge {
        /// The line.
        line: Acuity,
        /// Its letters in millimetres.
        height: f64,
        /// A field's width in millimetres.
        field: f64,
        /// The distance.
        distance: Length,
        /// The paper.
        paper: &'static str,
    },
    /// The lines together are too high.
    #[error(
        "{lines} lines take {high:.0} mm of {room:.0} mm that {paper} paper has for them: ask for fewer or smaller lines"
    )]
    TooHigh {
        /// How many.
        lines: usize,
        /// What they take in millimetres.
        high: f64,
        /// What there is in millimetres.
        room: f64,
        /// The paper.
        paper: &'static str,
    },
}

fn metres(length: Length) -> String {
    if length.to_m() < 1.0 {
        format!("{:.0} cm", length.to_mm() / 10.0)
    } else {
        format!("{:.1} m", length.to_m())
    }
}

/// A distance with all digits that tell it from a limit.
fn exactly(length: Length) -> String {
    // What a binary number leaves of a decimal one.
    let rounded = |value: f64| (value * 1e9).round() / 1e9;
    if length.to_m() < 1.0 {
        format!("{} cm", rounded(length.to_mm() / 10.0))
    } else {
        format!("{} m", rounded(length.to_m()))
    }
}

fn micrometres(length: Length) -> String {
    format!("{:.3} mm", length.to_mm())
}

impl NearChart {
    /// Lays the page out.
    ///
    /// ```
    /// use evenfield::optotype::LetterSet;
    /// use evenfield::print::{NearChart, NearRequest, Paper};
    /// use evenfield::quantity::Length;
    ///
    /// let request = |distance| NearRequest {
    ///     distance, lines: None, letters: LetterSet::Sloan, seed: 1, paper: Paper::A4, step: None,
    /// };
    /// // Worked by hand: at 40 cm 20/20 is 2 · 400 · tan 2.5′ = 0.58178 mm high. It is the smallest of the usual lines.
    /// const HALF_A_DIGIT_MM: f64 = 5e-6;
    /// let chart = NearChart::new(&request(Length::mm(400.0)))?;
    /// let smallest = &chart.lines[chart.lines.len() - 1];
    /// assert_eq!(smallest.acuity.to_string(), "20/20");
    /// assert!((smallest.height.to_mm() - 0.58178).abs() < HALF_A_DIGIT_MM);
    /// assert!(NearChart::new(&request(Length::mm(100.0))).is_err());
    /// # Ok::<(), evenfield::print::NearError>(())
    /// ```
    ///
    /// # Errors
    /// Distances and lines that paper cannot serve.
    pub fn new(request: &NearRequest) -> Result<Self, NearError> {
        if !DISTANCE_M.contains(&request.distance.to_m()) {
            return Err(NearError::Distance(request.distance));
        }
        let [width, height] = request.paper.size().map(Length::to_mm);
        let (left, right) = (MARGIN_MM, width - MARGIN_MM);
        let mut canvas = Canvas::default();
        let top = heading(&mut canvas, request, [left, right]);
        // Names stand on white, to the right of what they name: the check knows where words begin, and not how far they run.
        let (sheet_right, right) = (right, right - names_wide(&asked(request)));
        let top = fields_named(&mut canvas, request.inks(), [left, right], top);
        let proof = height - MARGIN_MM - PROOF_MM;
        // Coloured fields and white ones, each with their air, share what is left above the proof.
        let room = (proof - 2.0 * GRID_MM - top) / 2.0 - 2.0 * GRID_MM;
        let lines = lines(request, (right - left) / 2.0, room)?;
        let block = block_height(&lines);
        let field = block.max(LEAST_FIELD_MM);
        let middle = f64::midpoint(left, right);
        let [red, green] = request.inks().paints();
        canvas.rect([left, top, right, top + field], red);
        canvas.rect([middle, top, right, top + field], green);
        let coloured = top + (field - block) / 2.0;
        for half in [[left, middle], [middle, right]] {
            rows(&mut canvas, &lines, half, coloured);
        }
        // On white they stand under those on red.
        let white = top + field + 2.0 * GRID_MM;
        rows(&mut canvas, &lines, [left, middle], white);
        names(&mut canvas, &lines, [right + GRID_MM, coloured]);
        names(&mut canvas, &lines, [middle + GRID_MM, white]);
        print_sizes(&mut canvas, &lines, [middle + 12.0 * GRID_MM, white]);
        prove(&mut canvas, [left, sheet_right], proof);
        let title = format!("Near chart for {}", metres(request.distance));
        let mut scene = sheet(request.paper, canvas, &title, request.purpose());
        scene.metadata.json = claim(request, &lines).to_json();
        Ok(Self { scene, lines })
    }
}

/// What the page says of itself, for programs.
fn claim(request: &NearRequest, lines: &[NearLine]) -> NearClaim {
    let line = |line: &NearLine| {
        LineRecord::new(line.acuity, line.letters.iter().map(|letter| letter.name()).collect())
    };
    NearClaim {
        near_chart: NearRecord {
            distance_mm: request.distance.to_mm(),
            field_codes: request.inks().paints().map(|paint| paint.codes).to_vec(),
            inks: request.inks().to_string(),
            letters: request.letters.name().into(),
            lines: lines.iter().map(line).collect(),
        },
    }
}

const ADD: &str = "This checks an add and does not find one. One eye at a time, the distance correction with the add in place.";

const FARTHER: &str = "This checks a correction for this distance and does not find one. One eye at a time, with that \
                       correction in place.";

/// What an answer says of an eye that no longer focuses by itself, and of one that does.
const ANSWERS: [&str; 2] = [
    "In an eye that no longer accommodates, red calls for a quarter less plus, green for a quarter more; equal, the \
     correction suits this distance.",
    "An eye that still accommodates lags behind the page and sees green clearer. Plus added until both are equal is then \
     too much plus, so add none for green. Red means too much plus in this eye too.",
];

const CARE: &str = "The result holds for this distance only. How many dioptres lie between these inks under your lamp is \
                    not known.";

/// Beyond this no add is worn.
const LONGEST_ADD: Length = Length::m(1.0);

impl NearRequest {
    fn purpose(&self) -> &'static str {
        if self.distance > LONGEST_ADD { FARTHER } else { ADD }
    }

    /// The pair of inks that is printed.
    #[must_use]
    pub fn inks(&self) -> MatchStep {
        self.step.unwrap_or_default()
    }

    /// How far the inks are matched.
    #[must_use]
    pub fn matched(&self) -> String {
        let inks = self.inks();
        if self.step.is_some_and(MatchStep::is_last) {
            format!("Pair {inks} was picked, the last of its row: the match may lie beyond it.")
        } else if self.step.is_some() {
            format!("Pair {inks} was picked on the match sheet: it holds for that paper, printer and lamp.")
        } else {
            format!(
                "Not yet matched: pair {inks} is a guess. Find yours on the match sheet, the second page."
            )
        }
    }
}

fn heading(canvas: &mut Canvas, request: &NearRequest, [left, right]: [f64; 2]) -> f64 {
    let vergence = Dioptres::at(request.distance).to_d();
    let title = format!("Near chart for {} ({vergence:.2} D)", metres(request.distance));
    let mut top = canvas.paragraph(&title, TITLE, [left, MARGIN_MM], right - left);
    let care = format!("{CARE} {}", words::SUPERVISION);
    for sentence in [request.purpose(), ANSWERS[0], ANSWERS[1], &care] {
        top = canvas.paragraph(sentence, BODY, [left, top], right - left) + GRID_MM / 4.0;
    }
    // What is to be done stands out until it is done.
    let style = if request.step.is_some_and(|step| !step.is_last()) { BODY } else { HEADING };
    canvas.paragraph(&request.matched(), style, [left, top], right - left) + GRID_MM / 2.0
}

/// Which field is which, and its ink, over each of them: in grey they are told apart by nothing else.
fn fields_named(canvas: &mut Canvas, inks: MatchStep, [left, right]: [f64; 2], top: f64) -> f64 {
    let baseline = top + HEADING.em.to_mm();
    for (name, from) in [("red", left), ("green", f64::midpoint(left, right))] {
        canvas.write(&format!("{name}: pair {inks}"), HEADING, Anchor::Left, [from, baseline]);
    }
    top + HEADING.leading()
}

/// The lines asked for, or all of the usual ones, the largest first.
fn asked(request: &NearRequest) -> Vec<Acuity> {
    let usual = || {
        let usual = STANDARD_LINES.iter().filter(|line| USUAL.contains(&line.tenths));
        usual.map(|line| Acuity::standard(line.tenths)).collect()
    };
    request.lines.as_ref().map_or_else(usual, |lines| lines.as_slice().to_vec())
}

/// How wide the longest name of some lines is, with the air beside it.
fn names_wide(lines: &[Acuity]) -> f64 {
    lines.iter().map(|line| run(&line.to_string(), BODY)).fold(0.0, f64::max) + GRID_MM
}

/// The lines asked for, or as many of the usual ones as fit, the largest first.
fn lines(request: &NearRequest, field: f64, room: f64) -> Result<Vec<NearLine>, NearError> {
    let mut draw = Draw::new(request.letters, request.seed);
    if request.lines.is_none() {
        let mut lines: Vec<NearLine> = asked(request)
            .into_iter()
            .filter_map(|line| NearLine::new(line, request, field, &mut draw).ok())
            .collect();
        // The largest give way.
        while lines.len() > 1 && block_height(&lines) > room {
            lines.remove(0);
        }
        if !lines.is_empty() {
            return Ok(lines);
        }
    }
    let wanted = request.lines.clone().unwrap_or_else(|| Acuity::standard(*USUAL.end()).into());
    let lines = wanted
        .as_slice()
        .iter()
        .copied()
        .map(|line| NearLine::new(line, request, field, &mut draw))
        .collect::<Result<Vec<_>, _>>()?;
    let high = block_height(&lines);
    if high > room {
        return Err(NearError::TooHigh { lines: lines.len(), high, room, paper: request.paper.name() });
    }
    Ok(lines)
}

impl NearLine {
    fn new(acuity: Acuity, request: &NearRequest, field: f64, draw: &mut Draw) -> Result<Self, NearError> {
        let distance = request.distance;
        let height = letter_height(acuity, distance);
        let stroke = height / STROKES_A_SIDE;
        if stroke < LEAST_STROKE {
            return Err(NearError::TooFine { line: acuity, stroke, distance });
        }
        // Letters with gaps of their own width, and as much air at both ends.
        let fits = |count: &usize| letters_and_gaps(*count) * height.to_mm() <= field;
        let count = (1..=LETTERS).rev().find(fits).ok_or_else(|| NearError::TooLarge {
            line: acuity,
            height: height.to_mm(),
            field,
            distance,
            paper: request.paper.name(),
        })?;
        Ok(Self { acuity, height, letters: draw.take(count).collect() })
    }

    /// From the middle of its row to that of an equal one.
    fn pitch(&self) -> f64 {
        (2.0 * self.height.to_mm()).max(LEAST_PITCH_MM)
    }

    /// Its M units: the distance in metres at which its letters span five minutes of arc.
    fn m_units(&self) -> f64 {
        let five_minutes = Angle::arcmin(STROKES_A_SIDE).to_radians();
        self.height.to_m() / (2.0 * (five_minutes / 2.0).tan())
    }
}

fn letters_and_gaps(count: usize) -> f64 {
    2.0 * f64::from(u32::try_from(count).unwrap_or(u32::MAX)) + 1.0
}

/// Each row has its own air, half above and half below; the first and the last have it whole outward.
fn block_height(lines: &[NearLine]) -> f64 {
    lines.iter().map(NearLine::pitch).sum::<f64>() + outer_air(lines.first()) + outer_air(lines.last())
}

fn outer_air(line: Option<&NearLine>) -> f64 {
    line.map_or(0.0, |line| line.height.to_mm() / 2.0).max(GRID_MM / 2.0)
}

/// The middles of the rows from the top of a block.
fn middles(lines: &[NearLine]) -> Vec<f64> {
    let mut top = outer_air(lines.first());
    lines
        .iter()
        .map(|line| {
            top += line.pitch();
            top - line.pitch() / 2.0
        })
        .collect()
}

/// The same letters in the middle of a field.
fn rows(canvas: &mut Canvas, lines: &[NearLine], [left, right]: [f64; 2], top: f64) {
    for (line, middle) in lines.iter().zip(middles(lines)) {
        let height = line.height.to_mm();
        let width = (letters_and_gaps(line.letters.len()) - 2.0) * height;
        let mut place = f64::midpoint(left, right) - width / 2.0;
        for letter in &line.letters {
            let at = Affine::translate((place, top + middle - height / 2.0));
            canvas.path(
                at * Affine::scale(height / STROKES_A_SIDE) * letter.outline(),
                Paint { codes: [0; 3] },
            );
            place += 2.0 * height;
        }
    }
}

/// Where words stand beside the middle of a row.
const BESIDE_EM: f64 = 0.36;

/// Each line's name beside its row.
fn names(canvas: &mut Canvas, lines: &[NearLine], [left, top]: [f64; 2]) {
    for (line, middle) in lines.iter().zip(middles(lines)) {
        let baseline = top + middle + BESIDE_EM * BODY.em.to_mm();
        canvas.write(&line.acuity.to_string(), BODY, Anchor::Left, [left, baseline]);
    }
}

/// Each line's M units, and about which N it is.
fn print_sizes(canvas: &mut Canvas, lines: &[NearLine], [left, top]: [f64; 2]) {
    for (line, middle) in lines.iter().zip(middles(lines)) {
        let baseline = top + middle + BESIDE_EM * BODY.em.to_mm();
        let m = line.m_units();
        canvas.write(&format!("{m:.2} M"), BODY, Anchor::Point, [left, baseline]);
        // N is a type size, about eight times M.
        let about = format!("about N{:.0}", 8.0 * m);
        canvas.write(&about, LABEL, Anchor::Left, [left + 7.0 * GRID_MM, baseline]);
    }
}

/// The bar and the card by which the print is proved.
fn prove(canvas: &mut Canvas, [left, right]: [f64; 2], top: f64) {
    let card_left = right - CARD_MM[0];
    canvas.card([card_left, top], 0.3, INK);
    // Before any words: a check by paths takes the first long, flat shape for the bar, and a line of words is one too.
    let bar = top + PROOF_MM - GRID_MM;
    canvas.rect([left, bar, left + BAR_MM, bar + GRID_MM], INK);
    canvas.write("bank card", LABEL, Anchor::Centre, [card_left + CARD_MM[0] / 2.0, top + CARD_MM[1] / 2.0]);
    let words = card_left - left - 2.0 * GRID_MM;
    let mut below = canvas.paragraph("Before you use it", HEADING, [left, top], words);
    for sentence in [
        "Print in colour: in grey it is no red-green chart. Print at 100 %, “actual size”, never “fit to page”.",
        "A bank card must fit the outline, and the bar must be 100\u{a0}mm long.",
        "If they are not, the letters are wrong too: print again.",
    ] {
        below = canvas.paragraph(sentence, BODY, [left, below], words) + GRID_MM / 4.0;
    }
    canvas.write("100 mm", LABEL, Anchor::Left, [left + BAR_MM + GRID_MM, bar + GRID_MM]);
}
