//! `evenfield near`
//!
//! As with charts, what was written is measured at once, by its paths; so a PNG is not, nor a match sheet alone.

use std::error::Error;

use clap::Args;

use super::document::{Format, PrintArgument};
use super::report::{outcome, print_summary};
use super::{Outcome, arguments, columns, help, named, say};
use crate::acuity::Acuity;
use crate::balance::words;
use crate::chart::Lines;
use crate::check::{self, Expected};
use crate::export::pdf;
use crate::optotype::LetterSet;
use crate::print::{MatchStep, NearChart, NearMatch, NearRequest};
use crate::quantity::Length;

/// A near chart of true size to print, red and green side by side and the same letters on white; as PDF with a second page
/// on which the inks are matched. A PDF or an SVG is measured by its paths as soon as it is written.
#[derive(Args)]
#[command(after_help = help::after(help::NEAR, "near --distance 40cm --out near.pdf"))]
pub(super) struct Arguments {
    /// From the eye to the page, 20 cm to 10 m
    #[arg(long, value_name = "LENGTH", default_value = "40cm", allow_hyphen_values = true)]
    distance: Length,
    /// A line to print; repeat for more; as many of the usual ones as fit where none is named
    #[arg(long, value_name = "A", value_parser = arguments::acuity, allow_hyphen_values = true)]
    line: Vec<Acuity>,
    /// The letters
    #[arg(long, default_value = "sloan", value_parser = arguments::letter_set())]
    letters: LetterSet,
    /// Which letters: another number, other letters
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The pair on the match sheet whose border is hardest to see, G1 to G9 or R1 to R9; G5, not yet matched, where none is
    /// given
    #[arg(long, value_name = "STEP")]
    matched_step: Option<MatchStep>,
    /// In an SVG or a PNG, which holds one page: the chart (1) or the match sheet (2)
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=2))]
    page: Option<u8>,
    #[command(flatten)]
    print: PrintArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let place = arguments.print.place()?;
    if arguments.page.is_some() && place.format == Format::Pdf {
        return Err("--page picks one page for an SVG or a PNG, and a PDF has both: leave it out".into());
    }
    let second = arguments.page == Some(2);
    let paper = arguments.print.paper;
    let request = NearRequest {
        distance: arguments.distance,
        lines: (!arguments.line.is_empty()).then(|| Lines::new(arguments.line.clone())).transpose()?,
        letters: arguments.letters,
        seed: arguments.seed,
        paper,
        step: arguments.matched_step,
    };
    let chart = NearChart::new(&request)?;
    let sheet = NearMatch::new(paper);
    let bytes = match place.format {
        Format::Pdf => pdf::encode(&[chart.scene.clone(), sheet.scene])?,
        Format::Svg | Format::Png => place.bytes(if second { &sheet.scene } else { &chart.scene })?,
    };
    let target = &place.target;
    target.write(&bytes)?;
    say(&told(&named(target.named()), &request, &chart));
    // A picture of a page holds more than its fields, so only paths are measured.
    if place.format == Format::Png || (second && place.format == Format::Svg) {
        return Ok(Outcome::Fine);
    }
    let report = check::file(target.path(), &Expected::default())?;
    print_summary(&report);
    Ok(outcome(&report))
}

/// What was made: the letters of each line, and what to mind.
fn told(name: &str, request: &NearRequest, chart: &NearChart) -> String {
    let rows = chart.lines.iter().map(|line| {
        let letters: Vec<String> = line.letters.iter().map(|letter| letter.name()).collect();
        vec![line.acuity.to_string(), format!("{:.2}", line.height.to_mm()), letters.join(" ")]
    });
    let lines = columns::table(&["line", "height (mm)", "letters"], rows);
    format!(
        "{name}: near chart for {:.2} m on {} paper, inks {}, {}\n\n{lines}\n\n{SAY}\n{}",
        request.distance.to_m(),
        request.paper.name(),
        request.inks(),
        match request.step {
            Some(step) if step.is_last() => {
                "picked on the match sheet as the last of a row: the match may lie beyond"
            }
            Some(_) => "picked on the match sheet",
            None => "not yet matched",
        },
        words::SUPERVISION
    )
}

const SAY: &str = "\
Print in colour and at 100 %; a bank card must fit its outline and the bar be 100 mm long, or the letters are wrong too.
The inks match only the paper, printer and lamp for which you picked their pair on the match sheet.";
