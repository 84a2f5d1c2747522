//! The sheet on which the inks of a near chart are matched by eye.
//!
//! Nine pairs have full red beside green from dark to bright, nine have the brightest green beside ever dimmer red, for printers
//! whose green is too dark for full red at every step. The steps are coarse, about 15 % of light as a screen has it: ink and lamp leave no more.

use std::fmt;
use std::str::FromStr;

use super::paper::{Paper, sheet};
use crate::balance::words::SUPERVISION;
use crate::quantity::Length;
use crate::scene::look::{BODY, GRID_MM, HEADING, TITLE};
use crate::scene::{Anchor, Canvas, Paint, Scene};

/// Steps of one colour against the other.
const STEPS: u8 = 9;

/// The middle green step has the code that equals full red on an sRGB screen; from one step to the next about 15 % of
/// light. What ink makes of a code is not known.
const MIDDLE_GREEN: u8 = 148;
const GREEN_STEP: u8 = 10;

/// Where green ink is too dark for full red at every step, red is dimmed against the brightest green.
const RED_STEP: u8 = 14;

/// Air at the sheet's sides, and how high a pair of patches is.
const MARGIN_MM: f64 = 7.0 * GRID_MM;
const PATCH_MM: f64 = 28.0;

/// A pair of printed colours on the match sheet: G1 to G9, then R1 to R9.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MatchStep {
    dims_red: bool,
    number: u8,
}

/// Why a text is no step.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0:?} is no step of the match sheet: write G1 to G9 or R1 to R9")]
pub struct MatchStepError(String);

impl MatchStep {
    /// Whether no pair lies beyond it, so that the match may.
    #[must_use]
    pub const fn is_last(self) -> bool {
        (!self.dims_red && self.number == 1) || (self.dims_red && self.number == STEPS)
    }
}

impl Default for MatchStep {
    /// What equals full red on a screen.
    fn default() -> Self {
        Self { dims_red: false, number: STEPS.div_ceil(2) }
    }
}

impl FromStr for MatchStep {
    type Err = MatchStepError;

    fn from_str(text: &str) -> Result<Self, MatchStepError> {
        let refused = || MatchStepError(text.into());
        let upper = text.trim().to_uppercase();
        let (row, number) = upper.split_at_checked(1).ok_or_else(refused)?;
        let number = number.parse().ok().filter(|number| (1..=STEPS).contains(number)).ok_or_else(refused)?;
        match row {
            "G" => Ok(Self { dims_red: false, number }),
            "R" => Ok(Self { dims_red: true, number }),
            _ => Err(refused()),
        }
    }
}

impl fmt::Display for MatchStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", if self.dims_red { 'R' } else { 'G' }, self.number)
    }
}

impl MatchStep {
    /// Its red and its green.
    ///
    /// ```
    /// # use evenfield::print::MatchStep;
    /// // Worked by hand: G5 is the middle green; R9 takes nine steps of 14 from red, beside the brightest green, 148 + 4 · 10.
    /// let codes = |step: &str| step.parse::<MatchStep>().map(|step| step.paints().map(|paint| paint.codes));
    /// assert_eq!(codes("G5")?, [[255, 0, 0], [0, 148, 0]]);
    /// assert_eq!(codes("R9")?, [[129, 0, 0], [0, 188, 0]]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub const fn paints(self) -> [Paint; 2] {
        let brightest = MIDDLE_GREEN + GREEN_STEP * (STEPS / 2);
        let (red, green) = if self.dims_red {
            (255 - RED_STEP * self.number, brightest)
        } else {
            (255, MIDDLE_GREEN - GREEN_STEP * (STEPS / 2) + GREEN_STEP * (self.number - 1))
        };
        [Paint { codes: [red, 0, 0] }, Paint { codes: [0, green, 0] }]
    }

    fn row(dims_red: bool) -> impl Iterator<Item = Self> {
        (1..=STEPS).map(move |number| Self { dims_red, number })
    }
}

/// The sheet on which the user finds the pair of inks that match under the lamp in use.
#[derive(Debug, Clone)]
pub struct NearMatch {
    /// The page.
    pub scene: Scene,
}

impl NearMatch {
    /// Lays the sheet out.
    #[must_use]
    pub fn new(paper: Paper) -> Self {
        let [width, _] = paper.size().map(Length::to_mm);
        let (left, right) = (MARGIN_MM, width - MARGIN_MM);
        let room = right - left;
        let mut canvas = Canvas::default();
        let mut top = canvas.paragraph("Match sheet", TITLE, [left, MARGIN_MM], room) + GRID_MM;
        for sentence in HOW {
            top = canvas.paragraph(sentence, BODY, [left, top], room) + GRID_MM / 2.0;
        }
        for (heading, dims_red) in [
            ("Green in steps, below, against full red", false),
            (
                "Red in steps, above, against the brightest green, if every green of the first row is too dark",
                true,
            ),
        ] {
            top = canvas.paragraph(heading, HEADING, [left, top + 2.0 * GRID_MM], room) + GRID_MM / 2.0;
            top = strip(&mut canvas, dims_red, [left, right], top);
        }
        let bottom = canvas.paragraph(NOT_KNOWN, BODY, [left, top + 2.0 * GRID_MM], room);
        canvas.paragraph(SUPERVISION, BODY, [left, bottom + GRID_MM / 2.0], room);
        Self { scene: sheet(paper, canvas, "Match sheet for a near chart", HOW[0]) }
    }
}

const HOW: [&str; 3] = [
    "Print this in colour, on the paper, with the printer and the settings that print the near chart.",
    "Under the lamp in use, at the test distance, find the pair whose border between red and green is hardest to see. Whoever \
     looks must have ordinary colour vision.",
    "Print the near chart again with the pair’s name in place of NAME: evenfield near … --matched-step NAME. The names G1 and R9 \
     end the rows: if one of these is hardest to see, the match may lie beyond it, and this printer cannot show it.",
];

const NOT_KNOWN: &str = "What light printed colours give back depends on ink, paper and lamp, and none of them is known \
                         here. The pair is as equal as your eye found it, to about 15 % a step, under that lamp only.";

/// Red over green in steps, border on border, each with its name.
fn strip(canvas: &mut Canvas, dims_red: bool, [left, right]: [f64; 2], top: f64) -> f64 {
    let slot = (right - left + GRID_MM) / f64::from(STEPS);
    for (index, step) in (0_u8..).zip(MatchStep::row(dims_red)) {
        let from = left + slot * f64::from(index);
        let to = from + slot - GRID_MM;
        let [red, green] = step.paints();
        canvas.rect([from, top, to, top + PATCH_MM], red);
        canvas.rect([from, top + PATCH_MM, to, top + 2.0 * PATCH_MM], green);
        let baseline = top + 2.0 * PATCH_MM + 1.4 * BODY.em.to_mm();
        canvas.write(&step.to_string(), BODY, Anchor::Centre, [(from + to) / 2.0, baseline]);
    }
    top + 2.0 * PATCH_MM + BODY.leading() + GRID_MM
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_named_and_read_back() {
        for step in MatchStep::row(false).chain(MatchStep::row(true)) {
            assert_eq!(step.to_string().parse(), Ok(step));
        }
        assert_eq!("g5".parse(), Ok(MatchStep::default()));
        // sRGB green 148 equals full red: 0.7152 · 0.2961 = 0.2118 of white against 0.2126 (IEC 61966-2-1).
        assert_eq!(MatchStep::default().paints()[1].codes, [0, 148, 0]);
        for wrong in ["", "G", "G0", "G10", "B3", "5", "Gé"] {
            assert!(wrong.parse::<MatchStep>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_pairs_beyond_which_there_is_none_are_told() {
        let last: Vec<String> = MatchStep::row(false)
            .chain(MatchStep::row(true))
            .filter(|step| step.is_last())
            .map(|step| step.to_string())
            .collect();
        assert_eq!(last, ["G1", "R9"]);
    }

    #[test]
    fn light_of_red_over_green_falls_from_each_step_to_the_next() {
        let all: Vec<[u8; 2]> = MatchStep::row(false)
            .chain(MatchStep::row(true))
            .map(|step| step.paints())
            .map(|[red, green]| [red.codes[0], green.codes[1]])
            .collect();
        assert!(all.windows(2).all(|pair| pair[1][0] <= pair[0][0] && pair[1][1] >= pair[0][1]));
    }
}
