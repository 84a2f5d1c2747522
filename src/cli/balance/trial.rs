//! `evenfield balance --trial`: what each way of asking makes of each eye.

use std::error::Error;

use clap::Args;
use serde::Serialize;

use super::super::arguments::RoomArgument;
use super::super::{Outcome, columns, print, progress, say};
use crate::balance::{EyeKind, MANIFEST_SDS_D, Moments, Patient, Statistics, SurpriseRow, TrialRow, Way};
use crate::room::Room;
use crate::view::Model;

/// `--trial`, `--runs`, `--seed`
#[derive(Args)]
#[command(next_help_heading = "Simulated patients")]
pub(super) struct TrialArgument {
    /// Let simulated patients go through every procedure, and print where they end
    #[arg(long, conflicts_with_all = ["record", "show", "answers", "transitions"])]
    trial: bool,
    /// How many patients go through each; 10000 where it is not given
    #[arg(long, value_name = "N", requires = "trial", value_parser = clap::value_parser!(u32).range(10..=1_000_000))]
    runs: Option<u32>,
    /// Other patients
    #[arg(long, value_name = "N", requires = "trial", default_value_t = 1)]
    seed: u64,
}

impl TrialArgument {
    pub(super) const fn is_wanted(&self) -> bool {
        self.trial
    }

    pub(super) fn run(&self, room: &RoomArgument, json: bool) -> Result<Outcome, Box<dyn Error>> {
        let (room, name) = room.load()?;
        let runs = self.runs.unwrap_or(10_000);
        let tried = self.tried(&room, runs)?;
        if json {
            print(&serde_json::to_string_pretty(&tried)?);
        } else {
            say(&format!("room: {name}\n\n{}", told(&tried, runs)));
        }
        Ok(Outcome::Fine)
    }

    fn tried(&self, room: &Room, runs: u32) -> Result<TrialPrinted, Box<dyn Error>> {
        let model = Model::new(room)?;
        let screen = (&model.sides, model.light.luminance);
        let bar = progress("patients", TrialRow::runs(runs) + SurpriseRow::runs(runs));
        Ok(TrialPrinted {
            rows: TrialRow::all(screen, (runs, self.seed), || bar.inc(1))?,
            surprises: SurpriseRow::all(screen, (runs, self.seed), || bar.inc(1))?,
        })
    }
}

/// What `--json` prints.
#[derive(Serialize, schemars::JsonSchema)]
pub(in crate::cli) struct TrialPrinted {
    rows: Vec<TrialRow>,
    surprises: Vec<SurpriseRow>,
}

/// The manifests that all columns but those of a spread are about.
const MIDDLE: usize = 1;

fn told(tried: &TrialPrinted, runs: u32) -> String {
    let notes = [
        format!("{runs} simulated patients a row, line 20/32. They differ in how wide their “same” is, how much their judgement wavers, how clear letters have to be, in pupil, and in a leaning to one side, all by assumption. No real patients: no evidence about real eyes."),
        format!(
            "Manifests are off white’s best by a normal chance of SD {}, {} or {} D; where no column says which, of {} D.",
            MANIFEST_SDS_D[0], MANIFEST_SDS_D[1], MANIFEST_SDS_D[2], MANIFEST_SDS_D[MIDDLE]
        ),
        "Open: how often nothing was decided. RMS: how far the lens that is left in lies off balance, leaning and spread together, by the SD of manifests; the manifest’s own where nothing was decided. Minus, plus: how often more than a click of 0.25 D too minus or too plus. White: RMS off the lens with which white is clearest. Holds: how often the estimate’s 95 % interval has balance in it.".into(),
        "*: what evenfield proposes.".into(),
        Patient::typical().to_string(),
        "Not modelled: astigmatism, scatter, adaptation, and the practitioner’s judgement.".into(),
    ];
    format!(
        "{}\n\nWhere patients are not as the estimate believes (RMS off balance)\n{}\n\n{}",
        table(&tried.rows),
        surprises(&tried.surprises),
        notes.join("\n")
    )
}

fn table(rows: &[TrialRow]) -> String {
    let rms = format!("RMS (D)\n{}", MANIFEST_SDS_D.map(two_decimals).join(" "));
    let heads = ["", "asks", "open\n(%)", &rms, "minus\n(%)", "plus\n(%)", "white\n(D)", "holds\n(%)"];
    let mut all: Vec<Vec<String>> = Vec::new();
    let mut above = String::new();
    for row in rows {
        let eye = named(row);
        if eye != above {
            all.push(vec![eye.clone()]);
            all.push(manifest(row));
            above = eye;
        }
        all.push(cells(row));
    }
    columns::table(&heads, all)
}

fn named(row: &TrialRow) -> String {
    let fog = if row.fog_lasts { "" } else { ", fog does not last" };
    format!("{}, {} mm{fog}", kind(row.kind), row.pupil_mm)
}

const fn kind(kind: EyeKind) -> &'static str {
    match kind {
        EyeKind::SmallAperture => "small aperture",
        EyeKind::Pseudophakic | EyeKind::Presbyopic => "no accommodation",
        EyeKind::Accommodating => "accommodating",
    }
}

/// Where the manifest alone would leave the eye.
fn manifest(row: &TrialRow) -> Vec<String> {
    let all = row.by_manifest.each_ref().map(|one| one.manifest);
    cells_of("manifest alone", ["-".into(), "-".into()], all.map(|[balance, white]| (balance, white)), "-")
}

fn cells(row: &TrialRow) -> Vec<String> {
    // An eye that accommodates goes through one procedure with each end point, the others through each procedure with one.
    let way = match row.way {
        Way::Rules(rules) if rules.accommodates() => rules.end_point().name(),
        Way::Adaptive(_) if row.then_midpoint => "adaptive, midpoint",
        way @ (Way::Rules(_) | Way::Adaptive(_) | Way::Midpoint) => way.procedure().name(),
    };
    let statistics = &row.by_manifest[MIDDLE];
    let undecided = statistics.runs - statistics.decided;
    cells_of(
        &format!("{way}{}", if row.usual { "*" } else { "" }),
        [format!("{:.1}", statistics.mean_questions), percent(undecided, statistics.runs)],
        row.by_manifest.each_ref().map(|one| (one.balance, one.white)),
        &held(statistics),
    )
}

/// A row: what it is, questions and undecided runs, moments against balance and white by manifest, and how often the interval holds.
fn cells_of(name: &str, asked: [String; 2], moments: [(Moments, Moments); 3], held: &str) -> Vec<String> {
    let [asks, undecided] = asked;
    let (balance, white) = moments[MIDDLE];
    let rms = moments.map(|(balance, _)| two_decimals(balance.rms_d)).join(" ");
    let beyond = [balance.too_minus, balance.too_plus].map(|count| percent(count, balance.count));
    [name.to_owned(), asks, undecided, rms]
        .into_iter()
        .chain(beyond)
        .chain([two_decimals(white.rms_d), held.to_owned()])
        .collect()
}

fn surprises(rows: &[SurpriseRow]) -> String {
    let row = |row: &SurpriseRow| {
        let [usual, estimate] = &row.statistics;
        vec![
            format!("{}, {} mm", kind(row.kind), row.pupil_mm),
            row.surprise.name().replace('-', " "),
            two_decimals(usual.balance.rms_d),
            two_decimals(estimate.balance.rms_d),
            held(estimate),
        ]
    };
    columns::table(&["", "surprise", "by hand (D)", "adaptive (D)", "holds (%)"], rows.iter().map(row))
}

fn held(statistics: &Statistics) -> String {
    statistics.held.map_or_else(|| "-".into(), |held| format!("{:.1}", 100.0 * held))
}

fn two_decimals(dioptres: f64) -> String {
    format!("{dioptres:.2}")
}

fn percent(count: u32, of: u32) -> String {
    format!("{:.1}", 100.0 * f64::from(count) / f64::from(of.max(1)))
}
