//! A second run of an eye, and what all its runs come to together.

use super::clicks::Clicks;
use super::course::Course;
use super::estimate::{Belief, Estimate};
use super::event::Choice;
use super::examination::Examination;
use super::lens::{Cylinder, Lens};
use super::manifest::{Laterality, Manifest, ManifestError, RefinedFor, nearest_quarter};
use super::start::{Start, StartError};
use super::viewer::Viewer;
use super::whereabouts::Whereabouts;
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

/// Where the sphere moved by so much or more, the cylinder is rechecked, in dioptres (common practice, no source).
const RECHECK_FROM_D: f64 = 0.5;

/// A lens whose sphere differs from another's by whole clicks, which a refractor has: of what is left over the cylinder keeps its share,
/// so 0.25 D of cylinder moves no sphere, and 0.50 D moves it by a click.
fn in_whole_clicks(from: Lens, to: Lens) -> Lens {
    const DUST: f64 = 1e-9;
    let clicks = (to.sphere - from.sphere).to_d() / CLICK_D;
    let whole = (clicks.abs() + DUST).floor().copysign(clicks);
    Lens { sphere: from.sphere + Dioptres::new(whole * CLICK_D), ..to }
}

/// Why an eye is not asked again with a cylinder.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecheckError {
    /// Nothing to look through.
    #[error("the cylinder is rechecked through the lens that the questions leave in: wait for it")]
    NotYet,
    /// Nothing changed.
    #[error("that is the cylinder as it was: go on with white where it stays")]
    Same,
    /// No lens has that power.
    #[error(transparent)]
    Power(#[from] ManifestError),
    /// The eye cannot be asked so.
    #[error(transparent)]
    Start(#[from] StartError),
}

/// What a run changed against the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// The cylinder was rechecked.
    Cylinder,
    /// Nothing: the eye was asked once more.
    Nothing,
}

impl Examination {
    /// The eyes that were asked, each by its last run, in the order in which they began.
    #[must_use]
    pub fn eyes(&self) -> Vec<&Course> {
        let mut eyes: Vec<&Course> = Vec::new();
        for course in &self.courses {
            match eyes.iter_mut().find(|one| one.start.eye == course.start.eye) {
                Some(one) => *one = course,
                None => eyes.push(course),
            }
        }
        eyes
    }

    /// All runs of an eye, the first one first.
    #[must_use]
    pub fn runs_of(&self, eye: Laterality) -> Vec<&Course> {
        self.courses.iter().filter(|course| course.start.eye == eye).collect()
    }

    /// The runs that another run of the same eye followed.
    #[must_use]
    pub fn earlier_runs(&self) -> Vec<&Course> {
        self.courses.iter().filter(|course| !self.is_last_run(course)).collect()
    }

    /// Whether no other run of its eye followed this one, which is one of [its runs](Self::runs_of).
    #[must_use]
    pub fn is_last_run(&self, course: &Course) -> bool {
        self.runs_of(course.start.eye).last().is_some_and(|last| std::ptr::eq(*last, course))
    }

    /// What the last run of an eye changed against the one before; none where it was asked once.
    #[must_use]
    pub fn last_change(&self, eye: Laterality) -> Option<Change> {
        let [.., before, last] = self.runs_of(eye)[..] else { return None };
        let same = before.start.manifest.lens().has_the_cylinder_of(last.start.manifest.lens());
        Some(if same { Change::Nothing } else { Change::Cylinder })
    }

    /// The runs of an eye that say something of its balance, the last of which is its last run; none where they are of two kinds
    /// of eye, or the last says nothing.
    pub(super) fn runs_taken_together(&self, eye: Laterality) -> Vec<&Course> {
        let runs = self.runs_of(eye);
        let tells = |run: &Course| {
            !run.ended_without_a_change() && !run.ended_by_the_answering() && run.is_answered()
        };
        let one_kind = runs.windows(2).all(|two| two[0].start.kind == two[1].start.kind);
        if !one_kind || !runs.last().is_some_and(|last| tells(last)) {
            return Vec::new();
        }
        runs.into_iter().filter(|run| tells(run)).collect()
    }

    /// Whether runs of an eye that are taken together had different cylinders.
    pub(super) fn cylinders_differ(&self, eye: Laterality) -> bool {
        let runs = self.runs_taken_together(eye);
        let lens = |run: &Course| run.start.manifest.lens();
        runs.windows(2).any(|two| !lens(two[0]).has_the_cylinder_of(lens(two[1])))
    }

    /// Where balance lies in an eye by the answers of all its runs that say something of it, in sphere with the last run's
    /// cylinder at the distance of the chart; none where it was asked once, or the model cannot take the runs together.
    ///
    /// One patient on one day answered all of them, so only the first manifest counts as known before: a second one that was
    /// refined from the first run's lens is no other witness. Where the cylinder changed, spherical equivalents are compared.
    #[must_use]
    pub fn all_runs_of(&self, eye: Laterality) -> Option<Whereabouts> {
        let runs = self.runs_taken_together(eye);
        let [first, .., last] = runs[..] else { return None };
        let known: Option<Vec<_>> = runs.iter().map(|run| Viewer::of(&run.start)?.known()).collect();
        let known = known?;
        let mut belief = Belief::before(&known[0].likelihood, known[0].prior(&first.start));
        for (run, known) in runs.iter().zip(&known) {
            belief = run.tell(belief.asked_by(&known.likelihood), run.start.from(&first.start));
        }
        let Estimate { balance, low, high, sd } = belief.estimate();
        let (lens, moved) = (last.start.first_lens(), last.start.from(&first.start));
        Some(Whereabouts {
            balance: lens + balance - moved,
            low: lens + low - moved,
            high: lens + high - moved,
            within_a_click: last.left_in().map(|left| belief.within_a_click_of(left - lens + moved)),
            sd,
        })
    }
}

impl Start {
    /// By how much this first lens is more plus than another eye's or run's, as spherical equivalents.
    fn from(&self, other: &Self) -> Dioptres {
        let first = |start: &Self| start.manifest.with_sphere(start.first_lens()).spherical_equivalent();
        first(self) - first(other)
    }
}

impl Course {
    /// Whether the sphere of the lens that was left in lies so far from the manifest that axis and power of the cylinder are to be
    /// rechecked before it counts; not through a lens that white refused.
    #[must_use]
    pub fn asks_for_the_cylinder(&self) -> bool {
        const DUST: f64 = 1e-9;
        !self.keeps_the_manifest()
            && self.moved_by().is_some_and(|moved| moved.to_d().abs() > RECHECK_FROM_D - DUST)
    }

    /// The lens that stands before this eye in this room once something was chosen: the manifest where that was, or nothing was;
    /// otherwise the one that stands, to the nearest quarter. None before that.
    #[must_use]
    pub fn lens_here(&self) -> Option<Lens> {
        let sphere = match self.chosen? {
            Choice::Manifest | Choice::Nothing => self.start.manifest_here(),
            Choice::FarQuarter | Choice::FarExact | Choice::HereQuarter | Choice::HereExact => {
                self.standing()?.here
            }
        };
        Some(self.start.manifest.with_sphere(nearest_quarter(sphere)))
    }

    /// The lens for a look far away once something was chosen: the chosen one where that is for far away, otherwise what stands, or the
    /// manifest, brought there to the nearest quarter. None before that.
    #[must_use]
    pub fn lens_far(&self) -> Option<Lens> {
        let from_here = |here: Dioptres| nearest_quarter(here - Dioptres::at(self.start.distance()));
        let sphere = match self.chosen? {
            Choice::FarQuarter | Choice::FarExact => self.chosen_sphere()?,
            Choice::HereQuarter | Choice::HereExact => from_here(self.standing()?.here),
            Choice::Manifest | Choice::Nothing => match self.start.refined_for {
                RefinedFor::FarAway => self.start.manifest.sphere(),
                RefinedFor::Room => from_here(self.start.manifest_here()),
            },
        };
        Some(self.start.manifest.with_sphere(sphere))
    }

    /// By how much the lens that was left in differs from the manifest, at the distance of the chart.
    #[must_use]
    pub fn moved_by(&self) -> Option<Dioptres> {
        self.left_in().map(|lens| lens - self.start.manifest_here())
    }

    /// How this eye is asked again once its cylinder was rechecked through the lens that was left in: the sphere keeps the spherical
    /// equivalent.
    ///
    /// # Errors
    /// Before a lens was left in, where the cylinder is the one before, in either form, and where no lens has that power.
    pub fn rechecked(&self, cylinder: Option<Cylinder>) -> Result<Start, RecheckError> {
        let lens = self.start.manifest.with_sphere(self.left_in().ok_or(RecheckError::NotYet)?);
        let other = in_whole_clicks(lens, lens.with_cylinder(cylinder));
        if lens.has_the_cylinder_of(other) {
            return Err(RecheckError::Same);
        }
        let manifest = Manifest::try_from(other)?;
        // Letters that were read through the lens left in are nearer to this manifest's than those of the one before.
        let acuity = self.white.last().copied().unwrap_or(self.start.acuity);
        Ok(Start { manifest, acuity, refined_for: RefinedFor::Room, ..self.start.clone() }.checked()?)
    }

    fn is_answered(&self) -> bool {
        !self.asked.is_empty() || !self.limits.is_empty()
    }

    /// What this run's answers make of a belief whose lenses count from another first lens, so much to minus of this one's.
    fn tell<'a>(&self, belief: Belief<'a>, moved: Dioptres) -> Belief<'a> {
        let belief = self
            .asked
            .iter()
            .fold(belief, |belief, (question, answer)| belief.after_at(self.put(question), moved, *answer));
        self.limits.iter().fold(belief, |belief, (question, answer)| {
            let lens = Clicks::nearest(question.sphere - self.start.first_lens());
            belief.after_limit_at((lens, question.line != self.start.target(0)), moved, *answer)
        })
    }
}

#[cfg(test)]
mod tests;
