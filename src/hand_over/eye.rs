//! What of one eye is handed over.

use crate::acuity::Score;
use crate::balance::record::Kept;
use crate::balance::{Course, Laterality, Lens, RefinedFor, Start, Whereabouts};
use crate::quantity::Dioptres;

/// The last run of an eye in an examination.
#[derive(Debug, Clone, Copy)]
pub struct HandedEye<'a> {
    /// The examination.
    pub kept: &'a Kept,
    /// The run.
    pub course: &'a Course,
}

/// Spheres that differ by less than this are one lens, in dioptres: half of a click.
const SAME_LENS_D: f64 = 0.125;

impl<'a> HandedEye<'a> {
    /// The eyes of an examination, the right one first.
    #[must_use]
    pub fn all_of(kept: &'a Kept) -> Vec<Self> {
        let eyes = kept.examination.eyes();
        let of = |eye: Laterality| eyes.iter().find(|course| course.start.eye == eye).copied();
        Laterality::ALL.into_iter().filter_map(of).map(|course| Self { kept, course }).collect()
    }

    /// Which eye.
    #[must_use]
    pub const fn eye(&self) -> Laterality {
        self.course.start.eye
    }

    /// What was known before.
    #[must_use]
    pub const fn start(&self) -> &'a Start {
        &self.course.start
    }

    /// What was known before the first run: its manifest was refined before any balance.
    #[must_use]
    pub fn first_start(&self) -> &'a Start {
        let runs = self.kept.examination.runs_of(self.eye());
        runs.first().map_or(self.start(), |course| &course.start)
    }

    /// How often it was asked.
    #[must_use]
    pub fn runs(&self) -> usize {
        self.kept.examination.runs_of(self.eye()).len()
    }

    /// What it ends with: the chosen lens and what both eyes open changed; none where none was chosen.
    #[must_use]
    pub fn ends_with(&self) -> Option<Lens> {
        self.kept.examination.ends_with(self.eye())
    }

    /// Acuity on white that was read through the lens that it ends with: none where that is another than white was read through, as where its cylinder was rechecked since.
    #[must_use]
    pub fn acuity_through_it(&self) -> Option<Score> {
        use crate::balance::Choice::{FarExact, FarQuarter, HereExact, HereQuarter, Manifest, Nothing};
        const DUST: f64 = 1e-9;
        if self.kept.examination.both.added(self.eye()).to_d().abs() > DUST {
            return None;
        }
        self.course.standing()?;
        let before = || self.course.acuity_before_through().is_none().then_some(self.start().acuity);
        let by_questions = match self.course.chosen? {
            FarQuarter | FarExact | HereQuarter | HereExact => !self.course.keeps_the_manifest(),
            Manifest => self.course.left_in() == Some(self.start().manifest_here()),
            Nothing => return None,
        };
        if by_questions { self.acuity_after() } else { before() }
    }

    /// The same lens in glasses that stand elsewhere than the trial lens; none where they do not, or that is not known.
    #[must_use]
    pub fn in_glasses(&self) -> Option<Lens> {
        let (from, to) = (self.start().vertex?, self.start().glasses_vertex?);
        Some(self.ends_with()?.moved(from, to))
    }

    /// Acuity on white through the lens that was left in, by the reading that counts; none where it was not measured.
    #[must_use]
    pub fn acuity_after(&self) -> Option<Score> {
        self.course.white.last().copied()
    }

    /// Where balance lies, by all runs where there are several.
    #[must_use]
    pub fn whereabouts(&self) -> Option<Whereabouts> {
        let is_answered = !self.course.asked.is_empty() || !self.course.limits.is_empty();
        let last = || self.course.whereabouts().filter(|_| is_answered);
        self.kept.examination.all_runs_of(self.eye()).or_else(last)
    }

    /// By how much the lens that it ends with differs from the first manifest, as spherical equivalents, both for the distance for which the lens was chosen; none
    /// where none was chosen.
    #[must_use]
    pub fn change(&self) -> Option<Dioptres> {
        use crate::balance::Choice::{FarExact, FarQuarter, HereExact, HereQuarter, Manifest, Nothing};
        let start = self.first_start();
        let vergence = Dioptres::at(start.distance());
        let here = start.manifest_here();
        let manifest = match self.course.chosen? {
            FarQuarter | FarExact => here - vergence,
            HereQuarter | HereExact => here,
            Manifest => start.manifest.sphere(),
            Nothing => return None,
        };
        let before = start.manifest.with_sphere(manifest).spherical_equivalent();
        Some(self.ends_with()?.spherical_equivalent() - before)
    }

    /// Whether that is less than half of a click.
    #[must_use]
    pub fn is_unchanged(&self) -> Option<bool> {
        self.change().map(|change| change.to_d().abs() < SAME_LENS_D)
    }

    /// What the lens that it ends with is for.
    #[must_use]
    pub fn is_for(&self) -> Option<RefinedFor> {
        use crate::balance::Choice::{FarExact, FarQuarter, HereExact, HereQuarter, Manifest, Nothing};
        match self.course.chosen? {
            FarQuarter | FarExact => Some(RefinedFor::FarAway),
            HereQuarter | HereExact => Some(RefinedFor::Room),
            Manifest => Some(self.start().refined_for),
            Nothing => None,
        }
    }
}
