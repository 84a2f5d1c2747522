//! What is said of both eyes: how each step goes, when it is better left out, what it came to.

use super::super::both::{
    Added, Apart, BinocularStep, BothEyes, Clearer, Comparing, FOG_D, PRISM_PD, Sphere,
};
use super::super::clicks::Clicks;
use super::super::course::Course;
use super::super::event::Choice;
use super::super::examination::Examination;
use super::super::lens::Lens;
use super::super::manifest::Laterality;
use super::super::near::Near;
use super::super::white::DOUBTFUL_LETTERS;
use super::lens::{meant, off_in_short};
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;
use crate::text::capital;

/// Best acuities that differ by more than this are unequal, in logMAR: a line (common practice, no source).
const UNEQUAL_LOG_MAR: f64 = 0.1;

/// Eyes meant to end so far apart, or farther, are meant to do different things, in dioptres. This project's own decision.
const MONOVISION_D: f64 = 0.5;

/// The question of the comparison.
pub const CLEARER_QUESTION: &str = "Which eye sees the letters clearer, or is there no difference?";

/// What is asked where both eyes were never equal.
pub const LEADS_QUESTION: &str =
    "They were never equal. Which eye leads? It keeps the clearer picture (common practice, no source).";

/// What stands where an eye's sphere moved far.
#[must_use]
pub fn recheck_the_cylinder(moved: Dioptres) -> String {
    format!(
        "The sphere moved by {:.2} D: recheck the cylinder through this lens, axis first, then power. If it changes, type it: the sphere keeps the spherical equivalent (0.25 D for 0.50 D of cylinder), and the eye is asked again. If it stays, go on.",
        moved.to_d().abs()
    )
}

impl Apart {
    /// How it is done.
    #[must_use]
    pub fn how(self) -> String {
        match self {
            Self::Prism => format!(
                "{PRISM_PD:.0} prism dioptres base up before the right eye, as many base down before the left: the right eye’s line is the lower one"
            ),
            Self::Cover => "cover one eye and then the other, back and forth at the patient’s pace".into(),
        }
    }
}

impl Clearer {
    /// As it is noted.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Right => "right eye clearer",
            Self::Left => "left eye clearer",
            Self::Same => "no difference",
        }
    }
}

impl BinocularStep {
    /// How it goes.
    #[must_use]
    pub fn how(self) -> String {
        match self {
            Self::BalanceBetweenEyes => format!(
                "Both lenses in and +{FOG_D:.2} D more before each eye, so that both relax; show a line that can just be read through it. Ask which eye sees it clearer, and add {CLICK_D:.2} D to that one, until both are equally blurred. Then the fog comes off."
            ),
            Self::SphereWithBoth => format!(
                "Both lenses in, no fog and no prism. Read white, then with +{CLICK_D:.2} D more before both eyes, and on as long as fewer than {DOUBTFUL_LETTERS} letters are lost: the most plus with the best acuity stays."
            ),
            Self::AcuityWithBoth => "Both lenses in: read white with both eyes open.".into(),
            Self::TrialFrame => format!(
                "Lenses for far away into a trial frame, a look far away, out of the window: does ±{CLICK_D:.2} D before both eyes look better? Note what is added, 0 where nothing is."
            ),
        }
    }
}

impl Examination {
    /// Why a step with both eyes is better left out; none where it is proposed.
    #[must_use]
    pub fn better_left_out(&self, step: BinocularStep) -> Option<String> {
        let eyes = self.eyes();
        let [one, other] = eyes[..] else { return None };
        let compares = step == BinocularStep::BalanceBetweenEyes;
        if compares || step == BinocularStep::SphereWithBoth {
            if let Some(why) = meant_apart(one, other) {
                return Some(why);
            }
            if !one.start.kind.accommodates() && !other.start.kind.accommodates() {
                return Some("Neither eye accommodates, so there is nothing to relax: the lenses that each eye ended with stand. Better left out.".into());
            }
        }
        compares.then(|| unequal(one, other)).flatten()
    }

    /// What the figures of a near add say of these eyes.
    #[must_use]
    pub fn near_advice(&self, near: &Near) -> Vec<String> {
        let eyes = self.eyes();
        let accommodates = eyes.iter().any(|course| course.start.kind.accommodates());
        let is_here =
            |course: &&Course| matches!(course.chosen, Some(Choice::HereQuarter | Choice::HereExact));
        let here = eyes.first().filter(|_| eyes.iter().all(is_here));
        near.advice(accommodates, here.map(|course| course.start.distance()))
    }

    /// Whether an eye ended as it was meant to, or how far from it: by the lens that it ends with where that is for far away, else by
    /// the one that stands. None where nothing was meant or nothing stands yet.
    #[must_use]
    pub fn intended_in_short(&self, eye: Laterality) -> Option<String> {
        self.off_the_intended(eye).map(off_in_short)
    }

    /// The same in a sentence.
    #[must_use]
    pub fn intended_in_words(&self, eye: Laterality) -> Option<String> {
        let intended = self.runs_of(eye).last()?.start.intended?;
        Some(meant(intended, self.off_the_intended(eye)?))
    }

    /// The same in dioptres, plus upward.
    #[must_use]
    pub fn off_the_intended(&self, eye: Laterality) -> Option<Dioptres> {
        let course = *self.runs_of(eye).last()?;
        let is_far = matches!(course.chosen, Some(Choice::FarQuarter | Choice::FarExact));
        let ends = self.ends_with(eye).filter(|_| is_far).map(Lens::spherical_equivalent);
        match (ends, course.start.intended) {
            (Some(ends), Some(intended)) => Some(ends - intended),
            (None, _) => course.off_the_intended(),
            (Some(_), None) => None,
        }
    }

    /// The lenses to put before both eyes for a step, in a sentence: those of this room, on top of which comes what both open add; for a
    /// look far away those for far away, with all that was added. None where an eye has none.
    #[must_use]
    pub fn lenses_for(&self, step: BinocularStep) -> Option<String> {
        let far = step == BinocularStep::TrialFrame;
        let of = |eye: Laterality| {
            let run = *self.runs_of(eye).last()?;
            let lens = if far {
                let lens = run.lens_far()?;
                Lens { sphere: lens.sphere + self.both.added(eye), ..lens }
            } else {
                run.lens_here()?
            };
            Some(format!("{} {lens}", eye.name()))
        };
        let both: Option<Vec<String>> = Laterality::ALL.into_iter().map(of).collect();
        let whose = if far { "Lenses for far away, into the frame" } else { "Lenses in this room" };
        both.map(|both| format!("{whose}: {}.", both.join(", ")))
    }

    /// What an eye ends with: the chosen lens by its name, and what both eyes open made of it; none where none was chosen.
    #[must_use]
    pub fn end_in_words(&self, eye: Laterality) -> Option<String> {
        let course = *self.runs_of(eye).last()?;
        let (lens, chosen) = (self.ends_with(eye)?, course.chosen_lens()?);
        let (choice, added) = (course.choice_name(course.chosen?), self.both.added(eye));
        Some(if lens == chosen {
            format!("{lens}, {choice}")
        } else {
            format!("{lens} ({chosen}, {choice}; {added} with both eyes open)")
        })
    }

    /// An eye with what it ends with: the choice, or the lens that both eyes open made of it.
    #[must_use]
    pub fn eye_and_end(&self, course: &Course) -> String {
        let eye = course.start.eye;
        let is_changed = self.is_last_run(course) && self.ends_with(eye) != course.chosen_lens();
        let end = self.end_in_words(eye).filter(|_| is_changed);
        end.map_or_else(|| course.eye_and_choice(), |end| format!("{}: {end}", eye.eye()))
    }

    /// What each eye ends with: the chosen lens and what was found with both eyes open; none where none was chosen.
    #[must_use]
    pub fn ends_with(&self, eye: Laterality) -> Option<Lens> {
        let lens = self.runs_of(eye).last()?.chosen_lens()?;
        Some(Lens { sphere: lens.sphere + self.both.added(eye), ..lens })
    }

    /// All that was found of the runs together, with both eyes open and at near, a sentence each; none where there is nothing.
    #[must_use]
    pub fn of_both_in_words(&self) -> Option<Vec<String>> {
        let runs = self.eyes().into_iter().filter_map(|course| {
            let eye = course.start.eye;
            Some(format!("{}: {}", eye.eye(), self.all_runs_in_words(eye)?))
        });
        let steps = self.binocular.iter().map(|(step, done)| {
            let found = self.both.in_words(*step).filter(|_| *done);
            format!("{}: {}.", capital(step.words()), found.as_deref().unwrap_or(super::done(*done)))
        });
        let near = self
            .near
            .iter()
            .map(|near| format!("Near add {}. {}", near.words(), self.near_advice(near).join(" ")));
        let all: Vec<String> = runs.chain(steps).chain(self.ends_with_in_words()).chain(near).collect();
        (!all.is_empty()).then_some(all)
    }

    /// What each eye ends with, where both eyes open changed it.
    #[must_use]
    pub fn ends_with_in_words(&self) -> Option<String> {
        let of = |eye: Laterality| Some(format!("{} {}", eye.name(), self.ends_with(eye)?));
        let both: Option<Vec<String>> = Laterality::ALL.into_iter().map(of).collect();
        let changed = Laterality::ALL.into_iter().any(|eye| self.both.added(eye).to_d().abs() > 1e-9);
        both.filter(|_| changed).map(|both| format!("With both eyes open: {}.", both.join(", ")))
    }
}

/// Eyes that are meant for different distances.
fn meant_apart(one: &Course, other: &Course) -> Option<String> {
    let [first, second] = [one, other].map(|course| course.start.intended.map_or(0.0, Dioptres::to_d));
    ((first - second).abs() >= MONOVISION_D).then(|| {
        format!(
            "The eyes are meant to end {:.2} D apart, so they are not to be made equal. Better left out.",
            (first - second).abs()
        )
    })
}

/// Eyes of which one sees better anyway.
fn unequal(one: &Course, other: &Course) -> Option<String> {
    const DUST: f64 = 1e-9;
    let best = |course: &Course| {
        let score = course.white.last().copied().unwrap_or(course.start.acuity);
        (score.to_log_mar(), course.start.eye)
    };
    let (first, second) = (best(one), best(other));
    let better = if first.0 < second.0 { first.1 } else { second.1 };
    ((first.0 - second.0).abs() > UNEQUAL_LOG_MAR + DUST).then(|| {
        format!(
            "Best acuities differ by {:.2} logMAR: equal blur would blur the better eye, the {} one, for nothing. Better left out; red and green, with each eye by itself, stand.",
            (first.0 - second.0).abs(),
            better.name()
        )
    })
}

impl BothEyes {
    /// What the comparison came to, with its answers; none where it was not begun.
    #[must_use]
    pub fn compared_in_words(&self) -> Option<String> {
        let apart = self.apart?;
        let answers: Vec<&str> = self.compared.iter().map(|clearer| clearer.words()).collect();
        let answers = if answers.is_empty() { String::new() } else { format!(": {}", answers.join(", ")) };
        let end = match self.comparing() {
            Comparing::Apart | Comparing::Ask(_) | Comparing::Leads { .. } => String::new(),
            Comparing::TooFar(eye) => format!(
                "; the {} eye stayed the clearer one, so nothing is added; check both refractions",
                eye.name()
            ),
            Comparing::Done(added) => {
                let leads = self.leads.map(|eye| format!(", never equal, the {} eye leads", eye.name()));
                format!("; {}{}", added.words(), leads.unwrap_or_default())
            }
        };
        let by = match apart {
            Apart::Prism => "by prism",
            Apart::Cover => "by covering in turn",
        };
        Some(format!("{by} with +{FOG_D:.2} D of fog{answers}{end}"))
    }

    /// What the sphere with both eyes open came to, with its readings; none where nothing was read.
    #[must_use]
    pub fn sphere_in_words(&self) -> Option<String> {
        let readings: Vec<String> = self
            .read
            .iter()
            .zip(0..)
            .map(|(score, clicks)| match clicks {
                0 => format!("{score} with nothing more added"),
                clicks => format!("{score} with {}", Clicks::new(clicks).to_dioptres()),
            })
            .collect();
        let end = match self.sphere() {
            Sphere::Ask(_) => String::new(),
            Sphere::Done(Clicks::NONE) => "; nothing more stays added".into(),
            Sphere::Done(clicks) => format!("; {} stays added to both", clicks.to_dioptres()),
        };
        (!readings.is_empty()).then(|| format!("{}{end}", readings.join(", ")))
    }

    /// What is noted of a step, with its figures; none where there are none.
    #[must_use]
    pub fn in_words(&self, step: BinocularStep) -> Option<String> {
        match step {
            BinocularStep::BalanceBetweenEyes => self.compared_in_words(),
            BinocularStep::SphereWithBoth => self.sphere_in_words(),
            BinocularStep::AcuityWithBoth => self.acuity.map(|score| score.to_string()),
            BinocularStep::TrialFrame => self.framed.map(|sphere| {
                if sphere.to_d() == 0.0 { "nothing added".into() } else { format!("{sphere} added to both") }
            }),
        }
    }
}

impl Added {
    /// What is added to which eye.
    #[must_use]
    pub fn words(self) -> String {
        let of = |eye: Laterality| {
            let added = self.to(eye);
            (added != Clicks::NONE).then(|| format!("{} to the {} eye", added.to_dioptres(), eye.name()))
        };
        let all: Vec<String> = Laterality::ALL.into_iter().filter_map(of).collect();
        if all.is_empty() { "nothing is added".into() } else { all.join(", ") }
    }
}
