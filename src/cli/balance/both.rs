//! Both eyes open and the near add, in a terminal and from flags.

use std::error::Error;

use clap::Args;

use super::super::arguments::one_of;
use crate::acuity::{AcuityError, Score};
use crate::balance::words::{CLEARER_QUESTION, LEADS_QUESTION};
use crate::balance::{
    Answer, Apart, BinocularStep, Clearer, Comparing, Event, Examination, FOG_D, Laterality, Manifest, Near,
    Sphere, Stage, may_be_framed,
};
use crate::quantity::{Dioptres, Length, LengthError};

/// What leaves a step out where words are typed.
const LEAVES_OUT: &str = "x";

/// What can be noted of a step with both eyes.
pub(super) struct Offers {
    /// What to put before both eyes, and what to ask.
    pub(super) heads: Vec<String>,
    /// What follows each number, from 1.
    pub(super) numbered: Vec<(String, Event)>,
    /// What is typed instead, and how; none where nothing is.
    pub(super) typed: Option<(&'static str, &'static str)>,
}

impl Offers {
    /// Of a step, as far as it was done.
    pub(super) fn of(examination: &Examination, step: BinocularStep) -> Self {
        let both = &examination.both;
        match step {
            BinocularStep::BalanceBetweenEyes => compared(both.comparing()),
            BinocularStep::SphereWithBoth => {
                let added =
                    if let Sphere::Ask(clicks) = both.sphere() { clicks.to_dioptres() } else { NOUGHT };
                let heads = vec![format!("Before both eyes, on top of their lenses: {added}. Read white.")];
                Self { heads, numbered: Vec::new(), typed: Some(("Acuity with both", ACUITY_SUCH)) }
            }
            BinocularStep::AcuityWithBoth => Self {
                heads: Vec::new(),
                numbered: Vec::new(),
                typed: Some(("Acuity with both", ACUITY_SUCH)),
            },
            BinocularStep::TrialFrame => Self {
                heads: Vec::new(),
                numbered: Vec::new(),
                typed: Some(("Added to both", "such as -0.25, or 0 where nothing is added")),
            },
        }
    }
}

const NOUGHT: Dioptres = Dioptres::new(0.0);

const ACUITY_SUCH: &str = "such as 20/20, or 20/25-2 for two letters missed";

fn compared(comparing: Comparing) -> Offers {
    let not_done = ("not done".to_owned(), Event::Binocular(BinocularStep::BalanceBetweenEyes, false));
    let (heads, mut numbered): (Vec<String>, Vec<(String, Event)>) = match comparing {
        Comparing::Apart => {
            let how = |apart: Apart| (format!("{}: {}", apart.name(), apart.how()), Event::Apart(apart));
            (Vec::new(), Apart::ALL.map(how).into())
        }
        Comparing::Ask(added) => {
            let [right, left] =
                [added.right, added.left].map(|clicks| clicks.to_dioptres() + Dioptres::new(FOG_D));
            let lenses = format!("Before both eyes, on top of their lenses: right {right}, left {left}.");
            let clearer = |clearer: Clearer| (clearer.words().to_owned(), Event::Compared(clearer));
            (vec![lenses, CLEARER_QUESTION.into()], Clearer::ALL.map(clearer).into())
        }
        Comparing::Leads { .. } => {
            let leads = |eye: Laterality| (format!("the {} eye leads", eye.name()), Event::Leads(eye));
            (vec![LEADS_QUESTION.into()], Laterality::ALL.map(leads).into())
        }
        Comparing::Done(_) | Comparing::TooFar(_) => (Vec::new(), Vec::new()),
    };
    numbered.push(not_done);
    Offers { heads, numbered, typed: None }
}

/// What was typed at a step with both eyes.
pub(super) fn typed(step: BinocularStep, text: &str) -> Result<Event, String> {
    if text.trim().eq_ignore_ascii_case(LEAVES_OUT) {
        return Ok(Event::Binocular(step, false));
    }
    if step == BinocularStep::TrialFrame {
        return framed(text).map(Event::Framed);
    }
    score(text).map(Event::BothRead).map_err(|error| error.to_string())
}

/// How a step is left out where words are typed.
pub(super) fn leaves_out() -> String {
    format!("Enter takes it; {LEAVES_OUT} leaves this step out")
}

/// What is added to both eyes: whole clicks of sphere.
fn framed(text: &str) -> Result<Dioptres, String> {
    let sphere = text.parse::<Manifest>().ok().filter(|sphere| sphere.cylinder().is_none());
    let sphere = sphere.map(Manifest::sphere).filter(|sphere| may_be_framed(*sphere));
    sphere.ok_or_else(|| {
        format!("{text:?} is no change of whole clicks up to 1 D: write it with its sign as -0.25, or 0")
    })
}

/// An acuity with letters.
pub(super) fn score(text: &str) -> Result<Score, AcuityError> {
    text.parse()
}

/// An add: a sphere alone.
pub(super) fn add(text: &str) -> Result<Dioptres, String> {
    let add = text.parse::<Manifest>().ok().filter(|add| add.cylinder().is_none());
    let add = add.map(Manifest::sphere);
    add.ok_or_else(|| format!("{text:?} is no add: write it with its plus, such as +2.25"))
}

/// A distance near the eyes.
pub(super) fn length(text: &str) -> Result<Length, String> {
    in_unit(text, "cm")
}

/// A length, and where it has no unit the one that is meant here.
pub(super) fn in_unit(text: &str, unit: &str) -> Result<Length, String> {
    if text.parse::<f64>().is_ok() {
        return Err(format!("{text:?} has no unit: write {text}{unit}"));
    }
    text.parse().map_err(|error: LengthError| error.to_string())
}

/// What a script says of both eyes and of the near add.
#[derive(Args)]
#[command(next_help_heading = "Both eyes and near, without a terminal")]
pub(super) struct BothArgument {
    /// How both eyes were held apart to be compared
    #[arg(long, value_parser = one_of(Apart::ALL.map(|one| (one.name(), one)).to_vec()))]
    apart: Option<Apart>,
    /// Which eye saw the fogged line clearer each time: right, left or same, separated by commas
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = one_of(Clearer::ALL.map(|one| (one.name(), one)).to_vec()))]
    compared: Vec<Clearer>,
    /// The eye that leads, where they were never equal
    #[arg(long, value_parser = one_of(Laterality::ALL.map(|one| (one.name(), one)).to_vec()))]
    leads: Option<Laterality>,
    /// Acuity with both eyes open with 0, +0.25, +0.50 D … added to both, separated by commas
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = score, allow_hyphen_values = true)]
    both_sphere: Vec<Score>,
    /// Acuity on white with both eyes open, through what stands then
    #[arg(long, value_name = "ACUITY", value_parser = score, allow_hyphen_values = true)]
    both_acuity: Option<Score>,
    /// What was added to both eyes after a look through the trial frame, such as -0.25, or 0
    #[arg(long, value_name = "DIOPTRES", value_parser = framed, allow_hyphen_values = true)]
    framed: Option<Dioptres>,
    /// A near add, such as +2.25
    #[arg(long, value_name = "DIOPTRES", value_parser = add, allow_hyphen_values = true, requires = "near_distance")]
    add: Option<Dioptres>,
    /// From the eyes to what this patient reads or works at, such as 40cm
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "add")]
    near_distance: Option<Length>,
    /// The smallest line read through the add
    #[arg(long, value_name = "ACUITY", value_parser = score, allow_hyphen_values = true, requires = "add")]
    near_acuity: Option<Score>,
    /// The nearest and the farthest place where it is clear, such as 33cm,50cm
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = length, num_args = 1, requires = "add")]
    clear: Vec<Length>,
    /// What was clearer at near on red and green
    #[arg(long, value_parser = one_of(Answer::ALL.map(|one| (one.name(), one)).to_vec()), requires = "add")]
    near_red_green: Option<Answer>,
}

impl BothArgument {
    /// Whether it says anything.
    pub(super) const fn says_something(&self) -> bool {
        self.apart.is_some()
            || !self.compared.is_empty()
            || self.leads.is_some()
            || !self.both_sphere.is_empty()
            || self.both_acuity.is_some()
            || self.framed.is_some()
            || self.add.is_some()
    }

    /// What it says next of a step with both eyes; nothing where it does not.
    pub(super) fn next(&self, examination: &Examination, step: BinocularStep) -> Option<Event> {
        let both = &examination.both;
        match step {
            BinocularStep::BalanceBetweenEyes => match both.comparing() {
                Comparing::Apart => self.apart.map(Event::Apart),
                Comparing::Ask(_) => self.compared.get(both.compared.len()).copied().map(Event::Compared),
                Comparing::Leads { .. } => self.leads.map(Event::Leads),
                Comparing::Done(_) | Comparing::TooFar(_) => None,
            },
            BinocularStep::SphereWithBoth => {
                self.both_sphere.get(both.read.len()).copied().map(Event::BothRead)
            }
            BinocularStep::AcuityWithBoth => self.both_acuity.map(Event::BothRead),
            BinocularStep::TrialFrame => self.framed.map(Event::Framed),
        }
    }

    /// Whether it notes a near add.
    pub(super) const fn notes_near(&self) -> bool {
        self.add.is_some()
    }

    /// Whether it says anything of a step.
    const fn says_of(&self, step: BinocularStep) -> bool {
        match step {
            BinocularStep::BalanceBetweenEyes => {
                self.apart.is_some() || !self.compared.is_empty() || self.leads.is_some()
            }
            BinocularStep::SphereWithBoth => !self.both_sphere.is_empty(),
            BinocularStep::AcuityWithBoth => self.both_acuity.is_some(),
            BinocularStep::TrialFrame => self.framed.is_some(),
        }
    }

    /// What `--done` says of a step; nothing where other flags say more of it.
    pub(super) fn done(&self, step: BinocularStep, done: Option<&[BinocularStep]>) -> Option<Event> {
        let done = done.filter(|done| done.contains(&step) || !self.says_of(step))?;
        Some(Event::Binocular(step, done.contains(&step)))
    }

    /// Refuses flags of which something was not taken, by where the examination stands.
    pub(super) fn all_taken(&self, examination: &Examination) -> Result<(), String> {
        let both = &examination.both;
        let left = [
            ("--compared", self.compared.len() > both.compared.len()),
            ("--leads", self.leads.is_some() && both.leads.is_none()),
            ("--both-sphere", self.both_sphere.len() > both.read.len()),
            ("--both-acuity", self.both_acuity.is_some() && both.acuity.is_none()),
            ("--framed", self.framed.is_some() && both.framed.is_none()),
        ];
        let left: Vec<&str> =
            left.into_iter().filter(|(_, is_left)| *is_left).map(|(flag, _)| flag).collect();
        if left.is_empty() {
            return Ok(());
        }
        let next = if let Stage::Binocular(step) = examination.stage() {
            if step == BinocularStep::BalanceBetweenEyes && both.apart.is_none() {
                "say how both eyes were held apart with --apart prism or cover, or leave the comparison out with --done and the steps that were done".into()
            } else {
                format!(
                    "next is {}: give the rest of it, or leave it out with --done and the steps that were done",
                    step.words()
                )
            }
        } else {
            "more is given than these steps take: leave out what comes after their end".into()
        };
        Err(format!("{} is not taken: {next}", left.join(", ")))
    }

    /// The near add, where one was given.
    pub(super) fn near(&self) -> Result<Option<Near>, Box<dyn Error>> {
        let (Some(add), Some(distance)) = (self.add, self.near_distance) else { return Ok(None) };
        let clear = match self.clear[..] {
            [] => None,
            [from, to] => Some([from, to]),
            _ => return Err("a clear range has two ends: write both, such as --clear 33cm,50cm".into()),
        };
        let near = Near { distance, add, acuity: self.near_acuity, clear, red_green: self.near_red_green };
        Ok(Some(near.checked()?))
    }
}
