//! `evenfield balance --trial`: what each way of asking makes of each eye.

use std::error::Error;

use clap::Args;

use super::super::arguments::RoomArgument;
use super::super::report::plain_table;
use super::super::{Outcome, print, progress};
use super::screen::wrap;
use crate::balance::{End, EyeKind, Patient, Statistics, TrialRow};
use crate::room::Room;
use crate::view::Model;

/// How wide the notes may be.
const WIDTH: usize = 92;

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
        let rows = self.rows(&room, runs)?;
        if json {
            print(&serde_json::to_string_pretty(&rows)?);
        } else {
            print(&format!("room: {name}\n{}", told(&rows, runs)));
        }
        Ok(Outcome::Fine)
    }

    fn rows(&self, room: &Room, runs: u32) -> Result<Vec<TrialRow>, Box<dyn Error>> {
        let runs_in_all = TrialRow::count() * usize::try_from(runs).unwrap_or(usize::MAX);
        let (model, bar) = (Model::new(room)?, progress("patients", runs_in_all));
        Ok(TrialRow::all(&model.sides, model.light.luminance, (runs, self.seed), || bar.inc(1))?)
    }
}

fn told(rows: &[TrialRow], runs: u32) -> String {
    let mut table =
        plain_table(&["", "decided", "mean D", "SD D", "too minus", "too plus", "asks", "undecided"]);
    let mut above = String::new();
    for row in rows {
        let eye = named(row);
        if eye != above {
            table.add_row([eye.clone()]);
            above = eye;
        }
        table.add_row(cells(row));
    }
    let notes = [
        format!("{runs} simulated patients a row, manifests up to 0.50 D off to either side, line 20/32. No real patients: no evidence about real eyes."),
        "Mean, SD: of the lens left in, against the model's balance. Too minus, too plus: of those decided, more than a click of 0.25 D off.".into(),
        "* what evenfield proposes.".into(),
        Patient::typical().to_string(),
        "Not modelled: astigmatism, scatter, adaptation, and the practitioner's judgement.".into(),
    ];
    let notes = notes.map(|note| wrap(&note, WIDTH).join("\n"));
    format!("{}\n\n{}", table.trim_fmt(), notes.join("\n"))
}

fn named(row: &TrialRow) -> String {
    let fog = if row.fog_lasts { "" } else { ", fog does not last" };
    let named = match row.kind {
        EyeKind::SmallAperture => "small aperture",
        EyeKind::Pseudophakic | EyeKind::Presbyopic => "no accommodation",
        EyeKind::Accommodating => "accommodating",
    };
    format!("{named}, {} mm{fog}", row.pupil_mm)
}

fn cells(row: &TrialRow) -> [String; 8] {
    let TrialRow { statistics, rules, .. } = row;
    let decided = statistics.decided;
    let share = |count: u32, of: u32| {
        if of == 0 { "-".into() } else { format!("{:.1} %", f64::from(count) / f64::from(of) * 100.0) }
    };
    // An eye that accommodates goes through one procedure with each end point, the others through each procedure with one.
    let varied = if rules.accommodates() { rules.end_point().name() } else { rules.procedure().name() };
    [
        format!("  {varied}{}", if row.usual { " *" } else { "" }),
        share(decided.count, statistics.runs),
        format!("{:+.2}", decided.mean_d).replace('-', "\u{2212}"),
        format!("{:.2}", decided.sd_d),
        share(decided.too_minus, decided.count),
        share(decided.too_plus, decided.count),
        format!("{:.1}", statistics.mean_questions),
        undecided(statistics),
    ]
}

/// The most frequent way in which nothing was decided.
fn undecided(statistics: &Statistics) -> String {
    let mut ends: Vec<(End, u32)> =
        statistics.not_decided.iter().copied().filter(|(_, count)| *count > statistics.runs / 2000).collect();
    ends.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let words = ends.iter().take(1).map(|(end, count)| {
        format!("{} {:.1} %", end.name(), f64::from(*count) / f64::from(statistics.runs) * 100.0)
    });
    words.collect::<Vec<_>>().join(", ")
}
