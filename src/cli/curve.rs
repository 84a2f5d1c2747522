//! `evenfield curve`
//!
//! Three ways out: a table in the terminal, JSON, and a page or CSV by the ending of `--out`. Each tells for which pupil, which
//! line and which spectra it was computed, since none of the numbers means anything without.

mod evidence;

use std::error::Error;

use clap::Args;
use serde::Serialize;

use super::arguments::RoomArgument;
use super::document::{DocumentArgument, Output};
use super::eye::{EyeArgument, PupilWish, dioptres, pupil};
use super::{Outcome, columns, help, named, print, say};
use crate::balance::{Answer, SAME_WITHIN, words};
use crate::bibliography::ROSENFIELD_1995;
use crate::eye::{Curve, CurvePoint, Prediction};
use crate::light::Basis;
use crate::print::CurvePage;
use crate::quantity::Dioptres;
use crate::report::Expectation;
use crate::view::Model;

/// Maximum number of points of a curve.
const MOST_POINTS: f64 = 2001.0;

/// How clear each side is against lens error, where they balance, and what a click is worth.
#[derive(Args)]
#[command(after_help = help::after(help::CURVE, "curve --room room.toml --pupil 3mm --line 20/32"))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// The entrance pupil, such as 3mm, or the natural pupil before the room’s fields
    #[arg(long, value_name = "LENGTH", default_value = "natural", value_parser = pupil, allow_hyphen_values = true)]
    pupil: PupilWish,
    #[command(flatten)]
    eye: EyeArgument,
    /// The first lens error
    #[arg(long, value_name = "D", default_value = "-1.5", value_parser = dioptres, allow_hyphen_values = true)]
    from: Dioptres,
    /// The last lens error
    #[arg(long, value_name = "D", default_value = "+1.5", value_parser = dioptres, allow_hyphen_values = true)]
    to: Dioptres,
    /// From one lens error to the next
    #[arg(long, value_name = "D", default_value = "0.25", value_parser = dioptres, allow_hyphen_values = true)]
    step: Dioptres,
    /// Also print the modulation at 30/MAR cycles a degree and the visual Strehl ratio, which judge by other measures
    #[arg(long, conflicts_with_all = ["json", "out"])]
    cross_checks: bool,
    /// Print what was measured on eyes, where that stands, and what the model has instead, misfits and all
    #[arg(long, conflicts_with_all = ["cross_checks", "out"])]
    evidence: bool,
    /// Print the curve and what it predicts as JSON
    #[arg(long, conflicts_with = "out")]
    json: bool,
    #[command(flatten)]
    document: DocumentArgument,
}

/// What `--json` prints.
#[derive(Serialize)]
struct Printed<'a> {
    room: &'a str,
    pupil: &'a str,
    line: String,
    spectra: Basis,
    curve: &'a [CurvePoint],
    prediction: &'a Prediction,
    balance_range_d: Option<[f64; 2]>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    if arguments.evidence {
        let told = evidence::told(arguments.json)?;
        if arguments.json {
            print(&told);
        } else {
            say(&told);
        }
        return Ok(Outcome::Fine);
    }
    let (room, name) = arguments.room.load()?;
    let output = arguments.document.output()?;
    arguments.eye.age_counts(&[arguments.pupil])?;
    let model = Model::new(&room)?;
    let (eye, pupil) = arguments.eye.eye(arguments.pupil, &model)?;
    let curve = model.curve(&eye, arguments.eye.line);
    let points: Vec<CurvePoint> = arguments.lens_errors()?.into_iter().map(|at| curve.at(at)).collect();
    let expectation = Expectation::new(&curve, arguments.eye.line, &pupil, &model, &room);
    if let Some(output) = output {
        let bytes = match &output {
            Output::Table(_) => csv(&points).into_bytes(),
            Output::Pages(place) => place.bytes(&CurvePage::new(&curve, &points, &expectation).scene)?,
        };
        let target = output.target();
        target.write(&bytes)?;
        say(&format!(
            "{}: clarity against lens error\nroom: {name}\n{}\n{}",
            named(target.named()),
            expectation.words(),
            words::SUPERVISION
        ));
    } else if arguments.json {
        let printed = Printed {
            room: &name,
            pupil: &pupil,
            line: arguments.eye.line.to_string(),
            spectra: model.spectra.basis,
            curve: &points,
            prediction: &expectation.prediction,
            balance_range_d: expectation.balance_range_d,
        };
        print(&serde_json::to_string_pretty(&printed)?);
    } else {
        let mut said =
            format!("room: {name}\n\n{}\n\n{}\n{}", table(&points), expectation.words(), words::SUPERVISION);
        if arguments.cross_checks {
            said += &format!("\n\n{}", cross_checks(&curve, &points));
        }
        say(&said);
    }
    Ok(Outcome::Fine)
}

impl Arguments {
    fn lens_errors(&self) -> Result<Vec<Dioptres>, String> {
        let [from, to, step] = [self.from, self.to, self.step].map(Dioptres::to_d);
        if to < from {
            return Err(format!(
                "--from {} lies over --to {}: give the more minus one first",
                self.from, self.to
            ));
        }
        // A thousandth of a step for what binary cannot hold.
        let count = ((to - from) / step + 1e-3).floor() + 1.0;
        if step < 0.001 || count > MOST_POINTS {
            return Err(format!(
                "--step {step} D: write one from 0.001 D that makes at most {MOST_POINTS} points"
            ));
        }
        let mut errors = Vec::new();
        while (errors.len() as f64) < count {
            errors.push(Dioptres::new(from + step * errors.len() as f64));
        }
        Ok(errors)
    }
}

/// Numbers for other programs: clarities, then moduli at 30/MAR.
fn csv(points: &[CurvePoint]) -> String {
    let mut text =
        String::from("lens_error_d,red,green,white,red_modulation,green_modulation,white_modulation\n");
    for point in points {
        let [red, green, white] = point.clarity.map(|clarity| format!("{:.5}", clarity.value()));
        let [red_modulation, green_modulation, white_modulation] =
            point.modulation.map(|modulation| format!("{modulation:.5}"));
        let lens_error = point.lens_error_d + 0.0;
        text += &format!(
            "{lens_error:.3},{red},{green},{white},{red_modulation},{green_modulation},{white_modulation}\n"
        );
    }
    text
}

fn table(points: &[CurvePoint]) -> String {
    let row = |point: &CurvePoint| {
        let [red, green, white] = point.clarity.map(|clarity| clarity.to_string());
        vec![lens_error(point), red, green, white, clearer(point)]
    };
    columns::table(&["lens error (D)", "red", "green", "white", "clearer"], points.iter().map(row))
}

fn lens_error(point: &CurvePoint) -> String {
    Dioptres::new(point.lens_error_d).number()
}

/// Which side is clearer, as a patient who never errs answers.
fn clearer(point: &CurvePoint) -> String {
    match Answer::to(point.red_over_green_steps, SAME_WITHIN) {
        Answer::Unsure => "neither can be read".into(),
        side @ (Answer::Red | Answer::Green | Answer::Same) => side.to_string(),
    }
}

/// Two other measures, which can name the other side where blur reverses contrast.
fn cross_checks(curve: &Curve<'_>, points: &[CurvePoint]) -> String {
    let row = |point: &CurvePoint| {
        let strehl = curve.visual_strehl(Dioptres::new(point.lens_error_d));
        let numbers =
            point.modulation.into_iter().chain(strehl).map(|value| format!("{value:.3}").replace('-', "−"));
        std::iter::once(lens_error(point)).chain(numbers).collect()
    };
    let heads = ["lens error (D)", "modulation red", "green", "white", "visual Strehl red", "green", "white"];
    format!(
        "modulation at 30/MAR cycles a degree; visual Strehl ratio over all frequencies\n{}{}",
        columns::table(&heads, points.iter().map(row)),
        undivided(&curve.prediction()).map_or_else(String::new, |said| format!("\n\n{said}"))
    )
}

/// Where the sides would balance if each did not count by its own best.
fn undivided(prediction: &Prediction) -> Option<String> {
    let at = Dioptres::new(prediction.balance_undivided_d?);
    Some(format!(
        "Not divided by each side’s own best, clarities would be equal at {at}: diffraction takes more from red, the more the smaller the pupil. Eyes do not balance so ({ROSENFIELD_1995})."
    ))
}
