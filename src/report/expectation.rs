//! What the model expects of a balance, in words.
//!
//! The sentences say the number, what it was computed for and what the model leaves out, and never advise a lens. Where spectra
//! are only assumed, balance is worked out for every kind of screen and given as a range.

use crate::acuity::Acuity;
use crate::eye::{BestWhite, CLICK_D, ChromaticEye, Curve, Eye, Prediction, Sides};
use crate::light::Basis;
use crate::quantity::Dioptres;
use crate::room::{Room, ScreenKind};
use crate::view::Model;

/// A model figure of where white is best is not surer than this: texts put white's focus anywhere from 555 to 570 nm.
const WHITE_D: f64 = 0.1;

/// A click of less than this many times the difference that is just noticed tells little alone.
const FEW_STEPS: f64 = 1.5;

/// What the model leaves out, to stand wherever its results could be taken for a patient.
pub const LEFT_OUT: &str = "A model of one still eye: no accommodation, no astigmatism, no scatter, no neural \
                            adaptation, and nothing of colour vision itself.";

/// What clarity is, wherever it is shown.
pub const CLARITY: &str = "Clarity is what is left of a perfect image’s contrast in the frequencies that letters are \
                           read from, up to the first zero of the transfer.";

/// A number that is read first, and what it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure {
    /// With its sign and unit.
    pub value: String,
    /// What it is, and how sure.
    pub of: String,
}

/// What the model expects of a balance, with what it was computed for.
#[derive(Debug, Clone, PartialEq)]
pub struct Expectation {
    /// The numbers.
    pub prediction: Prediction,
    /// Between which lens errors balance lies by what else might hold; none where there is no balance.
    pub balance_range_d: Option<[f64; 2]>,
    /// The pupil in words.
    pub pupil: String,
    /// The line.
    pub line: Acuity,
    /// What the spectra rest on, in words.
    pub spectra: String,
}

impl Expectation {
    /// Works out what a curve of a line in a room lets expect; the pupil in words.
    #[must_use]
    pub fn new(curve: &Curve<'_>, line: Acuity, pupil: &str, model: &Model, room: &Room) -> Self {
        let prediction = curve.prediction();
        Self {
            balance_range_d: balance_range(&prediction, curve, model, room),
            prediction,
            pupil: pupil.into(),
            line,
            spectra: model.spectra.origin.clone(),
        }
    }

    /// All of it in sentences, one a line.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}\n{}\n{CLARITY}\n{LEFT_OUT}", self.basis(), self.found().join("\n"))
    }

    /// What was found, a sentence each.
    #[must_use]
    pub fn found(&self) -> Vec<String> {
        let balance = Some(self.balance());
        let sentences = [balance, self.white(), self.bias(), self.click(), self.advice()];
        sentences.into_iter().flatten().collect()
    }

    /// What is read first: where the sides balance, what a click changes there, where white is best.
    #[must_use]
    pub fn figures(&self) -> Vec<Figure> {
        let figures = [self.balance_figure(), self.click_figure(), self.white_figure()];
        figures.into_iter().flatten().collect()
    }

    fn balance_figure(&self) -> Option<Figure> {
        let balance = self.prediction.balance_d?;
        let [from, to] = self.balance_range_d.unwrap_or([balance; 2]);
        let range = if lens(from) == lens(to) {
            String::new()
        } else {
            format!("; {} to {} by what is assumed", lens(from), lens(to))
        };
        let of = format!("is the lens error at which the sides balance, each against its own best{range}");
        Some(Figure { value: lens(balance), of })
    }

    fn click_figure(&self) -> Option<Figure> {
        let ratio = self.prediction.log_ratio_per_click?;
        let noticed = CLICK_D / self.prediction.noticed_steps_per_click?;
        let of = format!(
            "is how much one click across balance changes red over green, from half of {CLICK_D} D below to half above; in the model a typical eye just notices {noticed:.2} D"
        );
        Some(Figure { value: format!("× {:.2}", 10_f64.powf(ratio)), of })
    }

    fn white_figure(&self) -> Option<Figure> {
        let BestWhite { at_d, range_d: [from, to], .. } = self.prediction.white?;
        let of = format!(
            "is where white is clearest, ±{WHITE_D:.1} D; within 5 % of that from {} to {}. Never to be added to a prescription",
            lens(from),
            lens(to)
        );
        Some(Figure { value: lens(at_d), of })
    }

    /// What it was computed for.
    #[must_use]
    pub fn basis(&self) -> String {
        format!("Line {}, pupil {}; {}.", self.line, self.pupil, self.spectra)
    }

    fn balance(&self) -> String {
        match (self.prediction.balance_d, self.balance_range_d) {
            (Some(balance), Some([from, to])) if lens(from) != lens(to) => format!(
                "Each against its own best, the sides balance at {} ({} to {} by what is assumed).",
                lens(balance),
                lens(from),
                lens(to)
            ),
            (Some(balance), _) => {
                format!("Each against its own best, the sides balance at {}.", lens(balance))
            }
            (None, _) => "The sides do not balance while both can be read.".into(),
        }
    }

    fn white(&self) -> Option<String> {
        let BestWhite { at_d, range_d: [from, to], second_peak_d } = self.prediction.white?;
        let second =
            second_peak_d.map_or_else(String::new, |at| format!("; a second peak lies at {}", lens(at)));
        Some(format!(
            "White is clearest at {}, and within 5 % of that from {} to {}{second}.",
            lens(at_d),
            lens(from),
            lens(to)
        ))
    }

    fn bias(&self) -> Option<String> {
        let bias = self.prediction.white?.at_d - self.prediction.balance_d?;
        Some(format!(
            "White’s best lies {} from balance, ±{WHITE_D:.1} D: a model figure, never to be added to a prescription.",
            lens(bias)
        ))
    }

    fn click(&self) -> Option<String> {
        let ratio = self.prediction.log_ratio_per_click?;
        let percent = (10_f64.powf(ratio) - 1.0) * 100.0;
        let noticed = CLICK_D / self.prediction.noticed_steps_per_click?;
        Some(format!(
            "At balance a click of {CLICK_D} D changes red over green by {percent:.0} % ({ratio:.2} in its decimal logarithm); in the model a typical eye just notices a change of {noticed:.2} D."
        ))
    }

    /// What to do where single clicks tell little.
    #[must_use]
    pub fn advice(&self) -> Option<String> {
        let steps = self.prediction.noticed_steps_per_click?;
        (steps < FEW_STEPS).then(|| {
            "Long depth of focus: by hand bracket in 0.50 D steps to a clear red and a clear green and take the middle, not single clicks."
                .into()
        })
    }
}

/// Between which lens errors balance lies by the other formula, and where only the kind of screen is assumed, on every kind.
fn balance_range(prediction: &Prediction, curve: &Curve<'_>, model: &Model, room: &Room) -> Option<[f64; 2]> {
    let balance = prediction.balance_d?;
    let on = |kind: ScreenKind| Sides {
        white: model.sides.white,
        ..Sides::of(&kind.spectra(), &room.display, [255; 3])
    };
    let assumed = model.spectra.basis == Basis::Assumed;
    let kinds = ScreenKind::ALL.into_iter().filter(|_| assumed).map(on);
    let all: Vec<Sides> = kinds.chain([model.sides.clone()]).collect();
    let mut range = [balance; 2];
    for chromatic in ChromaticEye::ALL {
        let eye = Eye { chromatic, ..*curve.eye() };
        for sides in &all {
            let other = curve.with(&eye, sides).balance_near(Dioptres::new(balance));
            if let Some(other) = other.map(Dioptres::to_d) {
                range = [range[0].min(other), range[1].max(other)];
            }
        }
    }
    Some(range)
}

fn lens(dioptres: f64) -> String {
    Dioptres::new(dioptres).to_string()
}
