//! `evenfield balance --trial`: what each way of asking makes of each eye.

use std::error::Error;

use clap::Args;
use serde::Serialize;

use super::super::arguments::RoomArgument;
use super::super::report::plain_table;
use super::super::{Outcome, print, progress};
use super::screen::wrap;
use crate::acuity::Acuity;
use crate::balance::{
    Accommodation, ClarityTable, End, EndPoint, EyeKind, Patient, Procedure, Rules, Scenario, Statistics,
    Trial,
};
use crate::eye::{Curve, Eye, Pupil};
use crate::room::Room;
use crate::view::Model;

/// The target of an eye that reads 20/20, and a larger line for who cannot tell, in tenths of logMAR.
const TARGET: i8 = 2;
const LARGER: i8 = 5;

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

/// One row of the table.
#[derive(Serialize)]
struct Row {
    kind: EyeKind,
    pupil_mm: f64,
    fog_lasts: bool,
    rules: Rules,
    usual: bool,
    statistics: Statistics,
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

    fn rows(&self, room: &Room, runs: u32) -> Result<Vec<Row>, Box<dyn Error>> {
        let todo: usize = Scenario::ALL.iter().map(|scenario| rules_of(scenario).len()).sum();
        let bar = progress("patients", todo * usize::try_from(runs).unwrap_or(usize::MAX));
        let mut rows = Vec::new();
        for scenario in Scenario::ALL {
            let [line, larger] = tables(room, &scenario)?;
            for (rules, patient, usual) in rules_of(&scenario) {
                let trial = Trial { rules, patient, line: &line, larger: Some(&larger), seed: self.seed };
                let statistics = trial.statistics(runs, |_| bar.inc(1));
                let fog_lasts = patient.accommodation.is_none_or(|one| one.relaxed_from_plus);
                rows.push(Row {
                    kind: scenario.kind,
                    pupil_mm: scenario.pupil.to_mm(),
                    fog_lasts,
                    rules,
                    usual,
                    statistics,
                });
            }
        }
        Ok(rows)
    }
}

/// What is tried on an eye: each procedure with the usual end point, and in an eye that accommodates each end point and also fog that
/// does not last. Whether it is what is proposed.
fn rules_of(scenario: &Scenario) -> Vec<(Rules, Patient, bool)> {
    let kind = scenario.kind;
    if !kind.accommodates() {
        let rules = Procedure::ALL.into_iter().filter_map(|procedure| scenario.rules(procedure));
        return rules
            .map(|rules| (rules, Patient::typical(), rules.procedure() == kind.usual_procedure()))
            .collect();
    }
    let mut tried = Vec::new();
    for accommodation in [Accommodation::typical(), Accommodation::restless()] {
        for end_point in EndPoint::ALL {
            let rules = Rules::from_plus(end_point, true);
            let usual = end_point == kind.usual_end_point();
            tried.push((rules, Patient::typical().with_accommodation(accommodation), usual));
        }
    }
    tried
}

/// The clarity of the target and of a larger line.
fn tables(room: &Room, scenario: &Scenario) -> Result<[ClarityTable; 2], Box<dyn Error>> {
    let model = Model::new(room)?;
    let eye = Eye::with_pupil(Pupil::new(scenario.pupil)?);
    let table = |tenths| {
        let band = model.band(Acuity::standard(tenths));
        ClarityTable::of(&Curve { eye: &eye, sides: &model.sides, band: &band }).ok_or_else(|| {
            format!(
                "behind {} mm the sides never balance on this screen: name another room",
                scenario.pupil.to_mm()
            )
        })
    };
    Ok([table(TARGET)?, table(LARGER)?])
}

fn told(rows: &[Row], runs: u32) -> String {
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

fn named(row: &Row) -> String {
    let fog = if row.fog_lasts { "" } else { ", fog does not last" };
    let named = match row.kind {
        EyeKind::SmallAperture => "small aperture",
        EyeKind::Pseudophakic | EyeKind::Presbyopic => "no accommodation",
        EyeKind::Accommodating => "accommodating",
    };
    format!("{named}, {} mm{fog}", row.pupil_mm)
}

fn cells(row: &Row) -> [String; 8] {
    let Row { statistics, rules, .. } = row;
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
