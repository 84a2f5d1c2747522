//! The model held against what was measured on eyes.
//!
//! Every figure stands with its source, its conditions and what the model has instead. A figure that was used to set a constant
//! is calibration and no evidence, however well it agrees. A misfit stays in the table.

use serde::Serialize;
use strum::IntoStaticStr;

use super::{ChromaticEye, Curve, Eye, Pupil, Sides};
use crate::acuity::Acuity;
use crate::bibliography as source;
use crate::light::Bands;
use crate::quantity::{Dioptres, Length, Luminance, Wavelength};

/// Where no luminance is known of a measurement: about that of a chart's fields. Assumed.
const CD_M2: f64 = 50.0;

/// Depth of focus ends where the decimal logarithm of white's clarity has fallen by this. Calibrated on 0.59 D behind 4 mm.
const DEPTH_DROP: f64 = 0.24;

/// Blur is just noticed where white's clarity has fallen by this share of its best. Calibrated on 0.33 D behind 3 mm.
const NOTICED_DROP: f64 = 0.43;

/// Without a spread of its own a figure agrees within this share of it, or within this many units. This project's own
/// choice.
const WITHIN_SHARE: f64 = 0.25;
const WITHIN: f64 = 0.1;

/// The steps of a walk away from the best lens, in dioptres, and how many there are at the most.
const STEP_D: f64 = 0.05;
const MOST_STEPS: u8 = 60;

/// One figure that was measured on eyes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Published {
    /// What was measured.
    pub quantity: &'static str,
    /// Where that stands.
    pub source: &'static str,
    /// How it was measured, as far as that is known here, and what the model takes for it.
    pub conditions: &'static str,
    /// What was measured, in the unit.
    pub published: f64,
    /// Its standard deviation or standard error, as published; none where none is known here.
    pub spread: Option<f64>,
    /// What the model has.
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
    /// Whether the model agrees: within twice the published spread where there is one, else within a quarter of the figure
    /// or 0.1 of its unit, whichever is more. This project's own rule.
    #[must_use]
    pub fn agrees(&self) -> bool {
        let within = self.spread.map_or((WITHIN_SHARE * self.published.abs()).max(WITHIN), |sd| 2.0 * sd);
        (self.ours - self.published).abs() <= within
    }

    /// Every figure, with what the model has before the fields of a screen.
    #[must_use]
    pub fn all(sides: &Sides) -> Vec<Self> {
        let model = Model { sides };
        [colours(&model), depths(&model), noticing(&model), acuities(&model), balances(&model)].concat()
    }
}

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

/// The eyes that were measured, so far as the model can stand for them.
struct Model<'a> {
    sides: &'a Sides,
}

impl Model<'_> {
    fn eye(mm: f64, spherical_um: f64) -> Eye {
        let pupil = Pupil::new(Length::mm(mm));
        let pupil = pupil.unwrap_or_else(|error| unreachable!("pupils of this table are pupils: {error}"));
        Eye { spherical_um, ..Eye::with_pupil(pupil) }
    }

    fn curve(&self, eye: &Eye, log_mar: f64) -> Curve<'_> {
        Curve::new(eye, self.sides, line(log_mar), Luminance::cd_m2(CD_M2))
    }

    /// From the best lens on how far to minus and to plus a field's clarity stays above a share of its best, in dioptres.
    fn within(curve: &Curve<'_>, field: usize, share: f64) -> [f64; 2] {
        let at = |lens_error: f64| curve.clarity(Dioptres::new(lens_error))[field].value();
        let scan = curve.scan();
        let best = scan.iter().max_by(|one, other| one.clarity[field].value().total_cmp(&other.clarity[field].value()));
        let Some((best_at, best)) = best.map(|best| (best.lens_error, best.clarity[field].value())) else {
            return [0.0; 2];
        };
        // Straight between the last step above the share and the first one under it.
        let reach = |by: f64| {
            let mut before = best;
            for step in 1..=MOST_STEPS {
                let now = at(best_at + by * STEP_D * f64::from(step));
                if now < share * best {
                    return STEP_D * (f64::from(step) - (share * best - now) / (before - now));
                }
                before = now;
            }
            STEP_D * f64::from(MOST_STEPS)
        };
        [-1.0, 1.0].map(reach)
    }

    /// The whole depth of focus of a line, in dioptres.
    fn depth(&self, eye: &Eye, log_mar: f64, field: usize) -> f64 {
        let share = 10_f64.powf(-DEPTH_DROP);
        Self::within(&self.curve(eye, log_mar), field, share).iter().sum()
    }

    /// The blur that is just noticed in letters of 0.0 logMAR, to either side on average, in dioptres.
    fn noticed(&self, eye: &Eye) -> f64 {
        Self::within(&self.curve(eye, 0.0), 2, 1.0 - NOTICED_DROP).iter().sum::<f64>() / 2.0
    }

    /// The smallest line, in logMAR, from which on all larger ones are read too.
    fn acuity(&self, eye: &Eye, lens_error: f64, cd_m2: f64) -> f64 {
        let legibility = |log_mar: f64| {
            let curve = Curve::not_compared(eye, self.sides, line(log_mar), Luminance::cd_m2(cd_m2));
            curve.clarity(Dioptres::new(lens_error))[2].legibility()
        };
        // From large to small letters in steps of a twentieth, then straight between the logarithms of two legibilities.
        let mut before = (LARGEST, legibility(LARGEST));
        while before.0 > SMALLEST {
            let next = before.0 - 0.05;
            let now = (next, legibility(next));
            if now.1 < 1.0 {
                let [high, low] = [before.1, now.1.max(1e-9)].map(f64::log10);
                return next + (before.0 - next) * (-low / (high - low)).clamp(0.0, 1.0);
            }
            before = now;
        }
        before.0
    }

    /// Where white is clearest, near the middle of the sides.
    fn white_at(&self, eye: &Eye) -> f64 {
        self.curve(eye, 0.2).prediction().white.map_or(0.0, |white| white.at_d)
    }

    fn best_acuity(&self, eye: &Eye, cd_m2: f64) -> f64 {
        self.acuity(eye, self.white_at(eye), cd_m2)
    }

    /// The mean acuity over 3 D of defocus, from best white on to minus.
    fn mean_acuity(&self, eye: &Eye) -> f64 {
        let best = self.white_at(eye);
        let at = |half: u8| self.acuity(eye, best - f64::from(half) / 2.0, CD_M2);
        (0..=6).map(at).sum::<f64>() / 7.0
    }
}

/// The largest and the smallest letters that are looked through for an acuity, in logMAR.
const LARGEST: f64 = 1.6;
const SMALLEST: f64 = -0.6;

fn line(log_mar: f64) -> Acuity {
    Acuity::from_log_mar(log_mar)
        .unwrap_or_else(|error| unreachable!("letters of this table are lines: {error}"))
}

/// A figure of the table.
fn figure(
    (quantity, source, conditions): (&'static str, &'static str, &'static str),
    (published, spread, ours, unit): (f64, Option<f64>, f64, &'static str),
    used: Used,
) -> Published {
    Published { quantity, source, conditions, published, spread, ours, unit, used }
}

fn colours(model: &Model<'_>) -> Vec<Published> {
    let between = |from: f64, to: f64| {
        let [from, to] = [from, to].map(|nm| ChromaticEye::Thibos1992.refraction(Wavelength::nm(nm)).to_d());
        to - from
    };
    let eye = Model::eye(5.0, 0.1);
    let curve = model.curve(&eye, 0.1);
    let needs = |light: &Bands| light.mean(|at| ChromaticEye::Thibos1992.refraction(at).to_d());
    let interval = needs(&model.sides.red) - needs(&model.sides.green);
    let white = (curve.middle().to_d() - model.white_at(&eye)) / interval;
    let [red, green, plain] = [0, 1, 2].map(|field| model.depth(&eye, 0.1, field));
    vec![
        figure(
            ("Chromatic difference of focus, 472 to 652 nm", source::WANG_2008, "adults, accommodation paralysed, retinoscope"),
            (0.96, Some(0.17), between(472.0, 652.0), "D"),
            Used::Evidence,
        ),
        figure(
            ("Chromatic difference of focus, 400 to 700 nm", source::REVIEW_2023, "a review's round figure"),
            (2.0, None, between(400.0, 700.0), "D"),
            Used::Evidence,
        ),
        figure(
            ("White's focus, to green of the middle of red and green", source::JASKULSKI_2016, "0.1 logMAR, filters, accommodation paralysed; model: 5 mm, this screen"),
            (0.375, Some(0.09), white, "of the interval"),
            Used::Evidence,
        ),
        figure(
            ("Depth of focus, white over the mean of two colours", source::JASKULSKI_2016, "the same; objectionable blur there, the depth of the model here"),
            (1.19, None, plain / f64::midpoint(red, green), "times"),
            Used::Evidence,
        ),
    ]
}

fn depths(model: &Model<'_>) -> Vec<Published> {
    let depth = |mm: f64, log_mar: f64| model.depth(&Model::eye(mm, 0.1), log_mar, 2);
    let atchison = "letters of 0.0 logMAR here; five trained subjects, accommodation paralysed; ordinary aberrations";
    let of_pupil = |quantity, published, mm, used| {
        figure((quantity, source::ATCHISON_1997, atchison), (published, None, depth(mm, 0.0), "D"), used)
    };
    vec![
        of_pupil("Depth of focus behind 2 mm", 0.86, 2.0, Used::Evidence),
        of_pupil("Depth of focus behind 4 mm", 0.59, 4.0, Used::Calibration),
        of_pupil("Depth of focus behind 6 mm", 0.55, 6.0, Used::Evidence),
        figure(
            ("Depth of focus at 0.87 over that at −0.2 logMAR", source::ATCHISON_1997, "the same; model: 4 mm"),
            (1.6, None, depth(4.0, 0.87) / depth(4.0, -0.2), "times"),
            Used::Evidence,
        ),
        figure(
            ("Depth of focus, change for a millimetre of pupil", source::OGLE_1959, "20/25, three subjects, 2.5 to 8 mm; model: from 2.5 to 6 mm"),
            (-0.12, None, (depth(6.0, 0.1) - depth(2.5, 0.1)) / 3.5, "D/mm"),
            Used::Evidence,
        ),
        figure(
            ("Least depth of focus behind 1.5 mm over that behind 3 mm", source::CAMPBELL_1959, "a thesis: about inverse to the pupil"),
            (2.0, None, model.noticed(&Model::eye(1.5, 0.0)) / model.noticed(&Model::eye(3.0, 0.0)), "times"),
            Used::Evidence,
        ),
    ]
}

fn noticing(model: &Model<'_>) -> Vec<Published> {
    let conditions = "letters of 0.0 logMAR; ordinary aberrations; a fixed share of the best clarity";
    let noticed = |quantity, published, mm, used| {
        let ours = model.noticed(&Model::eye(mm, 0.1));
        figure((quantity, source::ATCHISON_2005, conditions), (published, None, ours, "D"), used)
    };
    let step = |mm: f64| {
        let steps = model.curve(&Model::eye(mm, 0.1), 0.2).prediction().noticed_steps_per_click;
        super::CLICK_D / steps.unwrap_or(f64::NAN)
    };
    vec![
        noticed("Just noticed blur behind 3 mm", 0.33, 3.0, Used::Calibration),
        noticed("Just noticed blur behind 4 mm", 0.30, 4.0, Used::Evidence),
        noticed("Just noticed blur behind 6 mm", 0.28, 6.0, Used::Evidence),
        figure(
            ("Just noticed change where there is blur already", source::BLUR_STEP_1989, "0.05 to 0.07 D; model: of red against green, 20/32, 3 mm"),
            (0.06, Some(0.005), step(3.0), "D"),
            Used::Calibration,
        ),
        figure(
            ("Just noticed blur behind 6 over that behind 3 mm", source::ATCHISON_2005, "model: just noticed change of red against green, 20/32"),
            (0.85, None, step(6.0) / step(3.0), "times"),
            Used::Calibration,
        ),
    ]
}

fn acuities(model: &Model<'_>) -> Vec<Published> {
    let adaptive = "thirteen subjects, aberrations taken away; luminance not known here, model: 50 cd/m²";
    let [two, five] = [2.0, 5.0].map(|mm| Model::eye(mm, 0.0));
    let acuity = |quantity, published, ours| {
        figure((quantity, source::SMALL_PUPIL_2012, adaptive), (published, None, ours, "logMAR"), Used::Evidence)
    };
    let [narrow, wide] = [(1.5, -2.5), (4.0, -1.0)].map(|(mm, blur)| {
        let eye = Model::eye(mm, 0.0);
        model.acuity(&eye, model.white_at(&eye) + blur, CD_M2)
    });
    let best_pupil = |cd_m2: f64| {
        let pupils = (3..=14_u8).map(|half| f64::from(half) / 2.0);
        let acuities = pupils.map(|mm| (model.best_acuity(&Model::eye(mm, 0.1), cd_m2), mm));
        acuities.min_by(|one, other| one.0.total_cmp(&other.0)).map_or(f64::NAN, |(_, mm)| mm)
    };
    vec![
        acuity("Acuity behind 2 mm, in focus", 0.012, model.best_acuity(&two, CD_M2)),
        acuity("Acuity behind 5 mm, in focus", -0.218, model.best_acuity(&five, CD_M2)),
        acuity("Acuity behind 2 mm, mean over 3 D", 0.061, model.mean_acuity(&two)),
        acuity("Acuity behind 5 mm, mean over 3 D", 0.156, model.mean_acuity(&five)),
        figure(
            ("Acuity at 2.5 D of blur behind 1.5 mm, over that at 1 D behind 4 mm", source::TABERNERO_2011, "three subjects; model: blur to minus of white's best"),
            (0.0, None, narrow - wide, "logMAR"),
            Used::Evidence,
        ),
        figure(
            ("Pupil with the best acuity at 1000 cd/m²", source::XU_2016, "ordinary aberrations"),
            (2.5, None, best_pupil(1000.0), "mm"),
            Used::Evidence,
        ),
        figure(
            ("Pupil with the best acuity at 2 cd/m²", source::XU_2016, "ordinary aberrations"),
            (4.0, None, best_pupil(2.0), "mm"),
            Used::Evidence,
        ),
        figure(
            ("Blur at which 20/32 is lost behind 4 mm", source::SMITH_1991, "0.65′ a millimetre and dioptre, from memory"),
            (0.61, None, lost(model), "D"),
            Used::Calibration,
        ),
    ]
}

/// The blur at which white letters of 20/32 are no longer read behind 4 mm, to either side on average.
fn lost(model: &Model<'_>) -> f64 {
    let eye = Model::eye(4.0, 0.1);
    let (curve, best) = (model.curve(&eye, 0.2), model.white_at(&eye));
    let reach = |by: f64| {
        let legible = |step: &u8| {
            curve.clarity(Dioptres::new(best + by * STEP_D * f64::from(*step)))[2].readable()
        };
        STEP_D * f64::from((1..=MOST_STEPS).take_while(legible).last().unwrap_or(0))
    };
    f64::midpoint(reach(-1.0), reach(1.0))
}

fn balances(model: &Model<'_>) -> Vec<Published> {
    let balance = |mm: f64| {
        let eye = Model::eye(mm, if mm < 4.0 { 0.0 } else { 0.1 });
        model.curve(&eye, 0.2).prediction().balance_d.unwrap_or(f64::NAN)
    };
    let three = balance(3.0);
    let moved = |quantity, mm| {
        let conditions = "eight young eyes: the mean did not differ; model: 20/32, each side by its own best";
        let figures = (0.0, None, balance(mm) - three, "D");
        figure((quantity, source::ROSENFIELD_1995, conditions), figures, Used::Calibration)
    };
    vec![
        moved("Mean end of a red-green test behind 1 mm, over that behind 3 mm", 1.0),
        moved("Mean end of a red-green test behind 5 mm, over that behind 3 mm", 5.0),
        moved("Mean end of a red-green test behind 7 mm, over that behind 3 mm", 7.0),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::Spectrum;

    #[test]
    fn what_agrees_and_what_does_not_is_known() {
        let band = |peak: f64, width: f64| {
            Bands::of(&Spectrum::gaussian(Wavelength::nm(peak), Wavelength::nm(width)))
        };
        let sides = Sides {
            red: band(615.0, 45.0),
            green: band(538.0, 60.0),
            blue: band(450.0, 20.0),
            white: [0.2126, 0.7152, 0.0722],
        };
        for row in Published::all(&sides) {
            eprintln!("{:<70} {:>8.3} {:>8.3} {} {:?} {}", row.quantity, row.published, row.ours, row.unit, row.used, row.agrees());
        }
    }
}
