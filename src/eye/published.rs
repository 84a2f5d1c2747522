//! The model held against what was measured on eyes.
//!
//! Every figure stands with its source, its conditions and what the model has instead. A figure that was used to set a constant
//! is calibration and no evidence, however well it agrees. A misfit stays in the table.

use serde::Serialize;
use strum::IntoStaticStr;

use crate::bibliography as source;

/// Without a spread of its own a figure agrees within this share of it; an acuity, whose nought means nothing, within a line,
/// in logMAR. This project's own choice.
const WITHIN_SHARE: f64 = 0.25;
const WITHIN_LOG_MAR: f64 = 0.1;

/// One figure that was measured on eyes, and what the model has.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Published {
    /// What was measured.
    pub quantity: &'static str,
    /// Where that stands.
    pub source: &'static str,
    /// How it was measured, as far as that is known here, and what the model takes for it.
    pub conditions: &'static str,
    /// The smallest pupil that it is about, in millimetres; none where it holds for any, or none is known here.
    pub pupil_mm: Option<f64>,
    /// What was measured, in the unit.
    pub published: f64,
    /// Its standard deviation or standard error, as published; none where none is known here.
    pub spread: Option<f64>,
    /// What the model has, before the demo room's screen; a test computes it.
    pub ours: f64,
    /// The unit of both.
    pub unit: &'static str,
    /// Whether a constant was set by it.
    pub used: Used,
}

/// What a published figure was used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Used {
    /// A constant or a form of the model was set by it: no evidence.
    Calibration,
    /// Nothing was set by it.
    Evidence,
}

impl Published {
    /// Whether the model agrees: within twice the published spread where there is one, else within a quarter of the figure,
    /// an acuity within 0.1 logMAR. This project's own rule.
    ///
    /// ```
    /// # use evenfield::eye::PUBLISHED;
    /// // The chromatic difference of focus from 472 to 652 nm, 0.96 ± 0.17 D. Worked by hand by the formula that the model
    /// // uses: 633.46 · (1/257.898 − 1/437.898) = 1.0097 D.
    /// const HALF_A_DIGIT: f64 = 5e-4;
    /// let [first, ..] = PUBLISHED;
    /// assert!((first.ours - 1.0097).abs() < HALF_A_DIGIT && first.agrees());
    /// ```
    #[must_use]
    pub fn agrees(&self) -> bool {
        let without =
            if self.unit == "logMAR" { WITHIN_LOG_MAR } else { WITHIN_SHARE * self.published.abs() };
        let within = self.spread.map_or(without, |sd| 2.0 * sd);
        (self.ours - self.published).abs() <= within
    }
}

impl Published {
    /// Both figures in a line, with their unit.
    #[must_use]
    pub fn figures(&self) -> String {
        let [eyes, model] = self.both();
        format!("eyes {eyes}, model {model} {}", self.unit)
    }

    /// That of eyes with its spread, and the model's, to as many decimals as were published, and to two at least.
    #[must_use]
    pub fn both(&self) -> [String; 2] {
        let published = self.published.to_string();
        let decimals = published.split_once('.').map_or(0, |(_, decimals)| decimals.len()).max(2);
        // From +0, so that what rounds to nought has no sign.
        let rounded = |number: f64| format!("{:.decimals$}", (number * 1e3).round() / 1e3 + 0.0);
        let spread = self.spread.map_or_else(String::new, |spread| format!(" ± {spread}"));
        let eyes = format!("{}{spread}", rounded(self.published));
        [eyes, rounded(self.ours)].map(|figure| figure.replace('-', "−"))
    }
}

/// The figures that nothing was set by: those that agree, and those that do not.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// Where the model agrees.
    pub agreeing: Vec<&'static Published>,
    /// Where it does not.
    pub misfits: Vec<&'static Published>,
}

impl Evidence {
    /// Up to this pupil a figure is about small ones, in millimetres: about where the image of a small aperture lies. This
    /// project's own choice.
    pub const SMALL_PUPIL_MM: f64 = 2.0;

    /// All of it, in the table's order.
    #[must_use]
    #[allow(clippy::new_without_default, reason = "it is counted, and not a default")]
    pub fn new() -> Self {
        let evidence = PUBLISHED.iter().filter(|row| row.used == Used::Evidence);
        let (agreeing, misfits) = evidence.partition(|row| row.agrees());
        Self { agreeing, misfits }
    }

    /// With how many of the figures behind [small pupils](Self::SMALL_PUPIL_MM) the model agrees, and how many there are.
    #[must_use]
    pub fn behind_small_pupils(&self) -> [usize; 2] {
        let small = |rows: &[&Published]| {
            rows.iter().filter(|row| row.pupil_mm.is_some_and(|mm| mm <= Self::SMALL_PUPIL_MM)).count()
        };
        let agreeing = small(&self.agreeing);
        [agreeing, agreeing + small(&self.misfits)]
    }

    /// How many agree, and by which rule.
    #[must_use]
    pub fn rule(&self) -> String {
        let [small_agreeing, small] = self.behind_small_pupils();
        format!(
            "Of {} figures that no constant was set by, the model agrees with {} before the demo room’s screen: within twice the published spread, or without one within a quarter of the figure, an acuity within {WITHIN_LOG_MAR} logMAR. Behind pupils of {} mm or less it agrees with {small_agreeing} of {small}. The other {} in the table were used to set constants and are no evidence.",
            self.agreeing.len() + self.misfits.len(),
            self.agreeing.len(),
            Self::SMALL_PUPIL_MM,
            PUBLISHED.iter().filter(|row| row.used == Used::Calibration).count()
        )
    }
}

/// Every figure that the model is held against.
pub static PUBLISHED: [Published; 26] = [
    Published {
        quantity: "Chromatic difference of focus, 472 to 652 nm",
        source: source::WANG_2008,
        conditions: "adults, accommodation paralysed, retinoscope",
        pupil_mm: None,
        published: 0.96,
        spread: Some(0.17),
        ours: 1.010,
        unit: "D",
        used: Used::Evidence,
    },
    Published {
        quantity: "Chromatic difference of focus, 400 to 700 nm",
        source: source::REVIEW_2023,
        conditions: "a round figure of a review",
        pupil_mm: None,
        published: 2.0,
        spread: None,
        ours: 2.104,
        unit: "D",
        used: Used::Evidence,
    },
    Published {
        quantity: "White’s focus, from the middle of red and green toward green",
        source: source::JASKULSKI_2016,
        conditions: "0.1 logMAR, filters, accommodation paralysed; model: 5 mm, the demo room’s screen",
        pupil_mm: Some(5.0),
        published: 0.375,
        spread: Some(0.09),
        ours: 0.342,
        unit: "of the interval",
        used: Used::Evidence,
    },
    Published {
        quantity: "Depth of focus in white, over that in one colour",
        source: source::JASKULSKI_2016,
        conditions: "the same, to objectionable blur; model: its own depth of focus",
        pupil_mm: None,
        published: 1.19,
        spread: None,
        ours: 1.334,
        unit: "times",
        used: Used::Evidence,
    },
    Published {
        quantity: "Depth of focus behind 2 mm",
        source: source::ATCHISON_1997,
        conditions: "letters of 0.0 logMAR; five trained subjects, accommodation paralysed; model: ordinary aberrations",
        pupil_mm: Some(2.0),
        published: 0.86,
        spread: None,
        ours: 1.082,
        unit: "D",
        used: Used::Evidence,
    },
    Published {
        quantity: "Depth of focus behind 4 mm",
        source: source::ATCHISON_1997,
        conditions: "letters of 0.0 logMAR; five trained subjects, accommodation paralysed; model: ordinary aberrations",
        pupil_mm: Some(4.0),
        published: 0.59,
        spread: None,
        ours: 0.553,
        unit: "D",
        used: Used::Calibration,
    },
    Published {
        quantity: "Depth of focus behind 6 mm",
        source: source::ATCHISON_1997,
        conditions: "letters of 0.0 logMAR; five trained subjects, accommodation paralysed; model: ordinary aberrations",
        pupil_mm: Some(6.0),
        published: 0.55,
        spread: None,
        ours: 0.582,
        unit: "D",
        used: Used::Evidence,
    },
    Published {
        quantity: "Depth of focus for letters of 0.87 logMAR, over that for −0.2",
        source: source::ATCHISON_1997,
        conditions: "the same; model: 4 mm",
        pupil_mm: Some(4.0),
        published: 1.6,
        spread: None,
        ours: 3.536,
        unit: "times",
        used: Used::Evidence,
    },
    Published {
        quantity: "Change of the depth of focus per millimetre of pupil",
        source: source::OGLE_1959,
        conditions: "20/25, three subjects, 2.5 to 8 mm; model: 2.5 to 6 mm",
        pupil_mm: Some(2.5),
        published: -0.12,
        spread: None,
        ours: -0.081,
        unit: "D/mm",
        used: Used::Evidence,
    },
    Published {
        quantity: "Least depth of focus behind 1.5 mm, over that behind 3 mm",
        source: source::CAMPBELL_1959,
        conditions: "about inverse to the pupil; model: just noticed blur",
        pupil_mm: Some(1.5),
        published: 2.0,
        spread: None,
        ours: 2.546,
        unit: "times",
        used: Used::Evidence,
    },
    Published {
        quantity: "Just noticed blur behind 3 mm",
        source: source::ATCHISON_2005,
        conditions: "letters of 0.0 logMAR; model: ordinary aberrations, a fixed share of the best clarity",
        pupil_mm: Some(3.0),
        published: 0.33,
        spread: None,
        ours: 0.331,
        unit: "D",
        used: Used::Calibration,
    },
    Published {
        quantity: "Just noticed blur behind 4 mm",
        source: source::ATCHISON_2005,
        conditions: "letters of 0.0 logMAR; model: ordinary aberrations, a fixed share of the best clarity",
        pupil_mm: Some(4.0),
        published: 0.30,
        spread: None,
        ours: 0.279,
        unit: "D",
        used: Used::Evidence,
    },
    Published {
        quantity: "Just noticed blur behind 6 mm",
        source: source::ATCHISON_2005,
        conditions: "letters of 0.0 logMAR; model: ordinary aberrations, a fixed share of the best clarity",
        pupil_mm: Some(6.0),
        published: 0.28,
        spread: None,
        ours: 0.293,
        unit: "D",
        used: Used::Evidence,
    },
    Published {
        quantity: "Just noticed change where there is blur already",
        source: source::BLUR_STEP_1989,
        conditions: "0.05 to 0.07 D; model: of red against green, 20/32, 3 mm",
        pupil_mm: None,
        published: 0.06,
        spread: Some(0.005),
        ours: 0.059,
        unit: "D",
        used: Used::Calibration,
    },
    Published {
        quantity: "Just noticed change behind 6 over that behind 3 mm",
        source: source::ATCHISON_2005,
        conditions: "of blur from the best focus; model: of red against green, 20/32",
        pupil_mm: Some(3.0),
        published: 0.85,
        spread: None,
        ours: 0.799,
        unit: "times",
        used: Used::Calibration,
    },
    Published {
        quantity: "Acuity behind 2 mm, in focus",
        source: source::SMALL_PUPIL_2012,
        conditions: "thirteen subjects, aberrations taken away; the luminance is not known here; model: 50 cd/m²",
        pupil_mm: Some(2.0),
        published: 0.012,
        spread: None,
        ours: -0.152,
        unit: "logMAR",
        used: Used::Evidence,
    },
    Published {
        quantity: "Acuity behind 5 mm, in focus",
        source: source::SMALL_PUPIL_2012,
        conditions: "thirteen subjects, aberrations taken away; the luminance is not known here; model: 50 cd/m²",
        pupil_mm: Some(5.0),
        published: -0.218,
        spread: None,
        ours: -0.265,
        unit: "logMAR",
        used: Used::Evidence,
    },
    Published {
        quantity: "Acuity behind 2 mm, mean over 3 D",
        source: source::SMALL_PUPIL_2012,
        conditions: "the same; model: 1.5 D to either side of white’s best",
        pupil_mm: Some(2.0),
        published: 0.061,
        spread: None,
        ours: 0.121,
        unit: "logMAR",
        used: Used::Evidence,
    },
    Published {
        quantity: "Acuity behind 5 mm, mean over 3 D",
        source: source::SMALL_PUPIL_2012,
        conditions: "the same",
        pupil_mm: Some(5.0),
        published: 0.156,
        spread: None,
        ours: 0.352,
        unit: "logMAR",
        used: Used::Evidence,
    },
    Published {
        quantity: "Acuity at 2.5 D of blur behind 1.5 mm, less that at 1 D behind 4 mm",
        source: source::TABERNERO_2011,
        conditions: "three subjects; model: blur to minus of white’s best",
        pupil_mm: Some(1.5),
        published: 0.0,
        spread: None,
        ours: 0.044,
        unit: "logMAR",
        used: Used::Evidence,
    },
    Published {
        quantity: "Pupil with the best acuity at 1000 cd/m²",
        source: source::XU_2016,
        conditions: "model: ordinary aberrations, by half millimetres",
        pupil_mm: None,
        published: 2.5,
        spread: None,
        ours: 3.0,
        unit: "mm",
        used: Used::Evidence,
    },
    Published {
        quantity: "Pupil with the best acuity at 2 cd/m²",
        source: source::XU_2016,
        conditions: "the same",
        pupil_mm: None,
        published: 4.0,
        spread: None,
        ours: 4.0,
        unit: "mm",
        used: Used::Evidence,
    },
    Published {
        quantity: "Blur at which 20/32 is lost behind 4 mm",
        source: source::SMITH_1991,
        conditions: "0.65′ a millimetre and dioptre, from memory; model: white",
        pupil_mm: Some(4.0),
        published: 0.61,
        spread: None,
        ours: 0.600,
        unit: "D",
        used: Used::Calibration,
    },
    Published {
        quantity: "Mean end of a red-green test behind 1 mm, less that behind 3 mm",
        source: source::ROSENFIELD_1995,
        conditions: "eight young eyes, whose mean did not differ; model: 20/32, each side by its own best",
        pupil_mm: Some(1.0),
        published: 0.0,
        spread: None,
        ours: -0.016,
        unit: "D",
        used: Used::Calibration,
    },
    Published {
        quantity: "Mean end of a red-green test behind 5 mm, less that behind 3 mm",
        source: source::ROSENFIELD_1995,
        conditions: "eight young eyes, whose mean did not differ; model: 20/32, each side by its own best",
        pupil_mm: Some(3.0),
        published: 0.0,
        spread: None,
        ours: 0.005,
        unit: "D",
        used: Used::Calibration,
    },
    Published {
        quantity: "Mean end of a red-green test behind 7 mm, less that behind 3 mm",
        source: source::ROSENFIELD_1995,
        conditions: "eight young eyes, whose mean did not differ; model: 20/32, each side by its own best",
        pupil_mm: Some(3.0),
        published: 0.0,
        spread: None,
        ours: 0.048,
        unit: "D",
        used: Used::Calibration,
    },
];

/// What was measured and is not compared, and why.
pub const NOT_COMPARED: [(&str, &str); 6] = [
    (
        "Best focus of red and green, and the end of a red-green test, against white, by age (Rolandi et al. 2024, J Optom 17(3), table 2)",
        "the figures could not be read; their place stays open",
    ),
    (
        "Changes of +0.05 D seen by 98 %, of −0.05 D by 79 to 83 % (Zhen et al. 2022, medRxiv; excerpt)",
        "the blur that they started from is not known here",
    ),
    (
        "Refractions repeated: SD 0.13 to 0.17 D (Rosenfield & Chiu 1995 and others; excerpts)",
        "taken for the error of a manifest in trials; no constant of the patient is set by it",
    ),
    (
        "Acuity repeated: ±0.11 logMAR (Rosser 2004), ±0.05 to 0.08 (Stark & Class 2013; excerpts)",
        "the model reads without chance",
    ),
    (
        "Oscillating focus detected with accommodation paralysed (Walsh & Charman 1988; excerpt)",
        "detection, and not how much a focus wavers by itself",
    ),
    (
        "How well a red-green end repeats in dioptres, and the midpoint between lost lines",
        "no figure was found anywhere",
    ),
];

#[cfg(test)]
mod tests;
