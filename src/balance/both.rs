//! What is done with both eyes open, with its lenses and answers: the comparison between them, the sphere, acuity, the look through
//! a trial frame.
//!
//! Each step is offered and can be left out. The comparison serves eyes that accommodate: both are fogged, held apart so that each
//! sees its own chart, and the clearer one is given plus until they are equally blurred, which is when both relax alike. The
//! sphere goes to the most plus that keeps the best acuity. Both are common practice; how far each may go is this project's own
//! decision.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::clicks::Clicks;
use super::manifest::Laterality;
use super::white::DOUBTFUL_LETTERS;
use crate::acuity::Score;
use crate::eye::CLICK_D;
use crate::quantity::Dioptres;

/// Both eyes are fogged by so much while they are compared, in dioptres: [`BINOCULAR_SLIDES`](crate::bibliography::BINOCULAR_SLIDES).
pub const FOG_D: f64 = 1.0;

/// So many lines above the better acuity are shown where both eyes are fogged so, which blurs 20/20 to about 20/50 (common practice, no
/// source); the examiner changes the line until it can just be read.
pub const FOGGED_LINES: u8 = 4;

/// The prism before each eye, up before one and down before the other, in prism dioptres: the same slides.
pub const PRISM_PD: f64 = 3.0;

/// So many clicks at the most are added to one eye to make both equal. This project's own decision.
const MOST_APART: Clicks = Clicks::new(3);

/// So many clicks at the most are added to both eyes. This project's own decision.
const MOST_TO_BOTH: usize = 4;

const ONE: Clicks = Clicks::new(1);

/// What local practice may do with both eyes open (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum BinocularStep {
    /// Both eyes relaxed alike.
    BalanceBetweenEyes,
    /// The sphere with both eyes open.
    SphereWithBoth,
    /// Acuity on white with both eyes open.
    AcuityWithBoth,
    /// A look into the distance through a trial frame.
    TrialFrame,
}

impl BinocularStep {
    /// All of them, in the order of work.
    pub const ALL: [Self; 4] =
        [Self::BalanceBetweenEyes, Self::SphereWithBoth, Self::AcuityWithBoth, Self::TrialFrame];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// What it is, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::BalanceBetweenEyes => "balance between both eyes",
            Self::SphereWithBoth => "sphere with both eyes open",
            Self::AcuityWithBoth => "acuity on white with both eyes open",
            Self::TrialFrame => "a look far away through the trial frame",
        }
    }
}

/// How each eye is made to see its own chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Apart {
    /// By prism: one chart stands above the other.
    Prism,
    /// By covering one eye and then the other.
    Cover,
}

impl Apart {
    /// Both ways.
    pub const ALL: [Self; 2] = [Self::Prism, Self::Cover];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

/// Which eye sees the fogged line clearer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, IntoStaticStr)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Clearer {
    /// The right one.
    Right,
    /// The left one.
    Left,
    /// Neither.
    Same,
}

impl Clearer {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Right, Self::Left, Self::Same];

    /// Its name on the command line and in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    const fn eye(self) -> Option<Laterality> {
        match self {
            Self::Right => Some(Laterality::Right),
            Self::Left => Some(Laterality::Left),
            Self::Same => None,
        }
    }
}

/// Clicks of plus that are added to the right eye and to the left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Added {
    /// To the right one.
    pub right: Clicks,
    /// To the left one.
    pub left: Clicks,
}

impl Added {
    const NONE: Self = Self { right: Clicks::NONE, left: Clicks::NONE };

    /// To one eye.
    #[must_use]
    pub const fn to(self, eye: Laterality) -> Clicks {
        match eye {
            Laterality::Right => self.right,
            Laterality::Left => self.left,
        }
    }

    fn one_more(self, eye: Laterality) -> Self {
        match eye {
            Laterality::Right => Self { right: self.right + ONE, ..self },
            Laterality::Left => Self { left: self.left + ONE, ..self },
        }
    }
}

/// Where the comparison stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Comparing {
    /// It has not begun: how are both eyes held apart?
    Apart,
    /// Which is clearer through so much more plus?
    Ask(Added),
    /// They were never equal: which eye leads?
    Leads {
        /// With these the eye that was clearer first is still the clearer one.
        before: Added,
        /// With these the other one is.
        after: Added,
        /// The eye that was clearer first.
        first: Laterality,
    },
    /// Equal, or the leading eye left the clearer one.
    Done(Added),
    /// One eye stayed the clearer one all the way: nothing is added.
    TooFar(Laterality),
}

/// Where the sphere with both eyes open stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sphere {
    /// What is read with so many clicks of plus added to both eyes?
    Ask(Clicks),
    /// So many are the most that keep the best acuity.
    Done(Clicks),
}

/// All that was found with both eyes open.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct BothEyes {
    /// How they were held apart.
    pub apart: Option<Apart>,
    /// Which was clearer, in order.
    pub compared: Vec<Clearer>,
    /// Which eye leads, where they were never equal.
    pub leads: Option<Laterality>,
    /// Acuity with none, one, two … clicks of plus added to both.
    pub read: Vec<Score>,
    /// Acuity on white with both eyes, through what stands then.
    pub acuity: Option<Score>,
    /// What was added to both after a look through the trial frame.
    #[serde(rename = "framed_d")]
    pub framed: Option<Dioptres>,
}

impl BothEyes {
    /// Where the comparison stands.
    #[must_use]
    pub fn comparing(&self) -> Comparing {
        if self.apart.is_none() {
            return Comparing::Apart;
        }
        let (mut added, mut last): (Added, Option<Laterality>) = (Added::NONE, None);
        let mut before = added;
        for clearer in &self.compared {
            let Some(eye) = clearer.eye() else { return Comparing::Done(added) };
            if let Some(first) = last.filter(|last| *last != eye) {
                return match self.leads {
                    Some(leads) if leads == first => Comparing::Done(before),
                    Some(_) => Comparing::Done(added),
                    None => Comparing::Leads { before, after: added, first },
                };
            }
            if added.to(eye) == MOST_APART {
                return Comparing::TooFar(eye);
            }
            (before, added, last) = (added, added.one_more(eye), Some(eye));
        }
        Comparing::Ask(added)
    }

    /// Where the sphere stands: plus goes on while no more letters are lost against the best reading than chance loses.
    #[must_use]
    pub fn sphere(&self) -> Sphere {
        let clicks = |place: usize| (0..place).fold(Clicks::NONE, |clicks, _| clicks + ONE);
        let is_worse = |place: &usize| {
            let over = |before: &Score| self.read[*place].letters_over(*before);
            self.read[..*place].iter().map(over).min().is_some_and(|letters| letters <= -DOUBTFUL_LETTERS)
        };
        match (0..self.read.len()).find(is_worse) {
            Some(worse) => Sphere::Done(clicks(worse - 1)),
            None if self.read.len() > MOST_TO_BOTH => Sphere::Done(clicks(MOST_TO_BOTH)),
            None => Sphere::Ask(clicks(self.read.len())),
        }
    }

    /// The sphere that the trial frame added after acuity with both eyes open was read; none where it added nothing.
    #[must_use]
    pub fn added_after_acuity(&self) -> Option<Dioptres> {
        self.framed.filter(|sphere| sphere.to_d() != 0.0)
    }

    /// What was read last with both eyes open, or, once a sphere stays, through that; none where nothing was read.
    pub(super) fn read_through_what_stays(&self) -> Option<Score> {
        let last = self.read.len().checked_sub(1)?;
        let place = match self.sphere() {
            Sphere::Done(clicks) => usize::try_from(clicks.count()).unwrap_or(0).min(last),
            Sphere::Ask(_) => last,
        };
        Some(self.read[place])
    }

    /// Whether a step came to its end.
    pub(super) fn is_done(&self, step: BinocularStep) -> bool {
        match step {
            BinocularStep::BalanceBetweenEyes => {
                matches!(self.comparing(), Comparing::Done(_) | Comparing::TooFar(_))
            }
            BinocularStep::SphereWithBoth => matches!(self.sphere(), Sphere::Done(_)),
            BinocularStep::AcuityWithBoth => self.acuity.is_some(),
            BinocularStep::TrialFrame => self.framed.is_some(),
        }
    }

    /// Forgets what was begun of a step that is left off.
    pub(super) fn leave(&mut self, step: BinocularStep) {
        match step {
            BinocularStep::BalanceBetweenEyes => {
                (self.apart, self.compared, self.leads) = (None, Vec::new(), None);
            }
            BinocularStep::SphereWithBoth => self.read.clear(),
            BinocularStep::AcuityWithBoth | BinocularStep::TrialFrame => {}
        }
    }

    /// By how much the comparison changed an eye; nought where it did not come to an end.
    #[must_use]
    pub fn added_by_comparing(&self, eye: Laterality) -> Dioptres {
        if let Comparing::Done(added) = self.comparing() { added.to(eye).to_dioptres() } else { NOTHING }
    }

    /// By how much the sphere with both eyes open changed each; nought where it did not come to an end.
    #[must_use]
    pub fn added_to_both(&self) -> Dioptres {
        let sphere = if let Sphere::Done(clicks) = self.sphere() { clicks.to_dioptres() } else { NOTHING };
        sphere + self.framed.unwrap_or(NOTHING)
    }

    /// What all that adds to an eye's sphere.
    #[must_use]
    pub fn added(&self, eye: Laterality) -> Dioptres {
        self.added_by_comparing(eye) + self.added_to_both()
    }
}

const NOTHING: Dioptres = Dioptres::new(0.0);

/// The most that is added after a look through the trial frame, in clicks to either side. This project's own decision: more is
/// another refraction.
const MOST_FRAMED: f64 = 4.0;

/// What may be added after a look through the trial frame: whole clicks up to a dioptre.
#[must_use]
pub fn may_be_framed(sphere: Dioptres) -> bool {
    let clicks = sphere.to_d() / CLICK_D;
    clicks.abs() <= MOST_FRAMED && (clicks - clicks.round()).abs() < 1e-9
}

#[cfg(test)]
mod tests;
