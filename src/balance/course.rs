//! One eye: its questions, white, what stands and what was chosen.
//!
//! A run knows clicks and answers; a course knows the eye: its manifest, its line, its distance, white, and what was chosen. It
//! turns a run's clicks into lenses, asks far ends a second time behind a small aperture, and lets white overturn the lens that
//! the questions left in. Which lens *stands* follows; which is *chosen* is the examiner's.

use super::answer::{Answer, Legible};
use super::asker::Asker;
use super::clicks::Clicks;
use super::event::{AfterMinus, Choice};
use super::eye_kind::EyeKind;
use super::lens::Lens;
use super::manifest::nearest_quarter;
use super::midpoint::{Limit, Limits, Seeks, limit};
use super::question::{LimitQuestion, Question};
use super::rules::{Procedure, RulesError};
use super::run::{End, Put, Step, Why};
use super::stage::Stage;
use super::start::Start;
use super::white::{self, Verdict};
use crate::acuity::Score;
use crate::quantity::Dioptres;

/// Behind a small aperture a lens more than this many steps from the manifest is asked for a second time: half a dioptre
/// where a step is a click. This project's own decision: behind 1.6 mm a single series of questions spreads by about a
/// quarter of a dioptre in the [trial](super::Trial), and acuity on white hardly guards there.
const ASKED_TWICE_FROM: Clicks = Clicks::new(2);

/// Lenses of two series that differ by at most this many steps agree. This project's own decision.
const AGREES_WITHIN: Clicks = Clicks::new(1);

/// One eye.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// What was known before.
    pub start: Start,
    /// Every question that was answered, in order.
    pub asked: Vec<(Question, Answer)>,
    /// Every question whether white can be read that was answered, in order.
    pub limits: Vec<(LimitQuestion, Legible)>,
    /// How often the run went back into the fog after too much minus.
    pub fogged_again: u8,
    /// What followed too much minus in the end.
    pub after_minus: Option<AfterMinus>,
    /// Acuity on white through the lens that was left in: one reading, or two where the first was doubtful.
    pub white: Vec<Score>,
    /// What the examiner chose.
    pub chosen: Option<Choice>,
    /// How the first series of questions ended, where a second one is asked.
    first_end: Option<End>,
    /// The lens through which the acuity before was read, where that had another cylinder.
    pub(super) through: Option<Lens>,
    /// Who asks about red and green; nobody where the midpoint is all that is looked for.
    asker: Option<Asker>,
    seeks_midpoint: bool,
}

/// The middle between the limits of reading on white, in dioptres of sphere at the distance of the chart.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Midpoint {
    /// The middle.
    #[serde(rename = "at_d")]
    pub at: Dioptres,
    /// The last lenses with which the line was read to plus: first on the way out, then on the way in.
    #[serde(rename = "plus_d")]
    pub plus: [Dioptres; 2],
    /// The same to minus.
    #[serde(rename = "minus_d")]
    pub minus: [Dioptres; 2],
    /// Whether both searches of each side ended within a click of each other.
    pub agree: bool,
}

/// The lens with which an eye ends, and why it is this one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Its sphere at the distance of the chart.
    pub here: Dioptres,
    /// The same eye's for far away.
    pub far: Dioptres,
    /// Why.
    pub why: Stands,
}

/// Why a lens stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// The balance left it in.
    Balanced,
    /// The midpoint on white left it in.
    Midpoint,
    /// The balance decided nothing, so the manifest stands.
    NotDecided,
    /// Asked a second time the questions did not end at this lens again, so the manifest stands.
    NotRepeated,
    /// White was read worse through the balance's lens, by this many letters, so the manifest stands.
    WorseOnWhite(i32),
    /// The balance's lens is the manifest, through which white was read worse than before, by this many letters.
    ManifestWorse(i32),
    /// More minus gained too few letters on white, so the manifest stands.
    TooLittleGain(i32),
}

impl Stands {
    /// Whether the manifest stands instead of a lens that questions came to.
    #[must_use]
    pub const fn keeps_the_manifest(self) -> bool {
        match self {
            Self::Balanced | Self::Midpoint | Self::ManifestWorse(_) => false,
            Self::NotDecided | Self::NotRepeated | Self::WorseOnWhite(_) | Self::TooLittleGain(_) => true,
        }
    }
}

impl Course {
    pub(super) fn new(start: Start) -> Result<Self, RulesError> {
        let asker = Asker::new(&start)?;
        Ok(Self {
            start,
            asked: Vec::new(),
            limits: Vec::new(),
            fogged_again: 0,
            after_minus: None,
            white: Vec::new(),
            chosen: None,
            first_end: None,
            through: None,
            seeks_midpoint: asker.is_none(),
            asker,
        })
    }

    /// What comes next for this eye; none when it is done.
    pub(super) fn stage(&self) -> Option<Stage> {
        if let Some(question) = self.asks() {
            Some(Stage::Ask(question))
        } else if let Some(question) = self.asks_limit() {
            Some(Stage::Limit(question))
        } else if self.end() == Some(End::TooMuchMinus) && self.after_minus.is_none() {
            Some(Stage::TooMuchMinus)
        } else if self.left_in().is_some() && self.white_says() == Verdict::Open {
            Some(Stage::White)
        } else {
            self.chosen.is_none().then_some(Stage::Choose)
        }
    }

    /// Notes an answer to the question that was asked.
    pub(super) fn answered(&mut self, question: Question, answer: Answer) {
        self.asked.push((question, answer));
        let put = self.put(&question);
        if let Some(asker) = &mut self.asker {
            asker.answered(put, answer);
        }
        if let Some(End::Lens { clicks, .. }) = self.end()
            && self.first_end.is_none()
            && self.start.kind == EyeKind::SmallAperture
            && self.start.procedure != Procedure::Adaptive
            && self.steps_from_manifest(clicks) > f64::from(ASKED_TWICE_FROM.count()) + 1e-6
        {
            self.first_end = self.end();
            self.begin_again();
        }
    }

    /// Goes back into the fog.
    pub(super) fn fog_again(&mut self) {
        self.begin_again();
        self.fogged_again = self.fogged_again.saturating_add(1);
    }

    fn begin_again(&mut self) {
        if let Some(asker) = &mut self.asker {
            asker.begin_again();
        }
    }

    /// Whether the midpoint can be looked for besides: after red and green, once, in an eye that does not accommodate.
    #[must_use]
    pub const fn can_seek_midpoint(&self) -> bool {
        !self.seeks_midpoint && !self.start.kind.accommodates()
    }

    pub(super) const fn seek_midpoint(&mut self) {
        self.seeks_midpoint = true;
    }

    /// Ends after too much minus.
    pub(super) fn after_minus(&mut self, what: AfterMinus) {
        self.after_minus = Some(what);
        // The run is worth nothing until accommodation is relaxed.
        self.chosen = (what == AfterMinus::Relax).then_some(Choice::Nothing);
    }

    /// The question that comes next, if one does.
    #[must_use]
    pub fn asks(&self) -> Option<Question> {
        let Step::Ask { clicks, why, through_plus } = self.asker.as_ref()?.step() else { return None };
        let series = if self.first_end.is_some() { 2 } else { 1 };
        let again = series == 2 && why == Why::Manifest && !self.asked_in(2);
        let why = if again { Why::AskedAgain } else { why };
        Some(self.question(series, clicks, why, through_plus))
    }

    fn asked_in(&self, series: u8) -> bool {
        self.asked.iter().any(|(question, _)| question.series == series)
    }

    fn question(&self, series: u8, clicks: Clicks, why: Why, through_plus: bool) -> Question {
        let sphere = self.lens(clicks);
        let in_series = self.asked.iter().filter(|(question, _)| question.series == series);
        let unsure = in_series.filter(|(_, answer)| *answer == Answer::Unsure).count();
        let red = self.start.red;
        Question {
            number: self.asked.len() + 1,
            series,
            sphere,
            change: sphere - self.start.manifest_here(),
            moved: clicks_between(self.in_place(), sphere),
            line: self.start.target(u8::try_from(unsure).unwrap_or(u8::MAX)),
            notation: self.start.acuity.notation(),
            red: self.asker.as_ref().map_or(red, |asker| asker.red(red)),
            why,
            blur_first: through_plus.then(|| self.start.blur()),
        }
    }

    /// The lens that was in place last, at a question or on white; the first one before any.
    fn in_place(&self) -> Dioptres {
        let limit = self.limits.last().map(|(question, _)| question.sphere);
        let white = || self.left_in_by_colours().filter(|_| !self.white.is_empty());
        let asked = || self.asked.last().map(|(question, _)| question.sphere);
        limit.or_else(white).or_else(asked).unwrap_or_else(|| self.start.first_lens())
    }

    /// What the limits of reading on white come to so far, if they are looked for.
    fn limit(&self) -> Option<Limit> {
        let answers = || self.limits.iter().map(|(_, answer)| *answer).collect::<Vec<_>>();
        self.seeks_midpoint.then(|| limit(&answers()))
    }

    /// Whether red and green are not asked about.
    pub(super) const fn is_by_limits_alone(&self) -> bool {
        self.asker.is_none()
    }

    /// The question whether white can be read that comes next, if one does.
    #[must_use]
    pub fn asks_limit(&self) -> Option<LimitQuestion> {
        let Limit::Ask(clicks, seeks) = self.limit()? else { return None };
        let sphere = self.limit_lens(clicks);
        let first_lost = self.limits.first().is_some_and(|(_, answer)| *answer == Legible::Lost);
        Some(LimitQuestion {
            number: self.asked.len() + self.limits.len() + 1,
            sphere,
            change: sphere - self.start.manifest_here(),
            moved: clicks_between(self.in_place(), sphere),
            line: self.start.target(u8::from(first_lost || seeks == Seeks::LargerLine)),
            notation: self.start.acuity.notation(),
            seeks,
        })
    }

    /// What the limits came to; none while they are looked for or are not wanted.
    #[must_use]
    pub fn limits_found(&self) -> Option<Limits> {
        if let Limit::End(limits) = self.limit()? { Some(limits) } else { None }
    }

    /// The midpoint on white; none where it was not found.
    #[must_use]
    pub fn midpoint(&self) -> Option<Midpoint> {
        let limits = self.limits_found()?;
        let Limits::Found { plus, minus } = limits else { return None };
        let [plus, minus] = [plus, minus].map(|ends| ends.map(|clicks| self.limit_lens(clicks)));
        let middle = Dioptres::new(limits.middle()? * self.start.step().to_d());
        Some(Midpoint { at: self.start.first_lens() + middle, plus, minus, agree: limits.agree() })
    }

    /// The sphere of a lens of a search, whose clicks are a [step](Start::step) of the rules.
    fn limit_lens(&self, clicks: Clicks) -> Dioptres {
        self.start.first_lens() + clicks.in_steps(self.start.step())
    }

    /// The sphere of a lens of the run, whose clicks have [the size that this eye needs](Start::click).
    #[must_use]
    pub fn lens(&self, clicks: Clicks) -> Dioptres {
        self.start.first_lens() + clicks.in_steps(self.start.click())
    }

    /// How a question was put.
    pub(super) fn put(&self, question: &Question) -> Put {
        Put {
            clicks: Clicks::nearest(question.sphere - self.start.first_lens()),
            from_plus: question.blur_first.is_some() || question.moved < Clicks::NONE,
            larger: question.line != self.start.target(0),
            red: Some(question.red),
        }
    }

    /// How far a lens lies from the manifest, in steps.
    fn steps_from_manifest(&self, clicks: Clicks) -> f64 {
        (self.lens(clicks) - self.start.manifest_here()).to_d().abs() / self.start.step().to_d()
    }

    /// Whether a deciding answer once stayed on its side, and was taken for the same.
    pub(super) fn kept_to_side(&self) -> bool {
        self.asker.as_ref().is_some_and(Asker::kept_to_side)
    }

    /// How the questions ended, the second series where there is one; those about red and green where any were asked. None while
    /// they go on.
    #[must_use]
    pub fn end(&self) -> Option<End> {
        match self.asker.as_ref().map(Asker::step) {
            None => self.limits_end(),
            Some(Step::Ask { .. }) => None,
            Some(Step::End(end)) => Some(end),
        }
    }

    /// Whether no question of either kind is open.
    #[must_use]
    pub fn is_asked(&self) -> bool {
        self.end().is_some() && self.asks_limit().is_none()
    }

    /// How the first series of questions ended, where a second one is asked.
    #[must_use]
    pub const fn first_end(&self) -> Option<End> {
        self.first_end
    }

    /// Whether the questions ended while red was clearer in every lens, or green in every one, or decided nothing since both
    /// were alike in every one.
    pub(super) fn ended_without_a_change(&self) -> bool {
        let answers = || self.asked.iter().map(|(_, answer)| *answer);
        let alike = self.end() == Some(End::ManifestStands) && answers().all(|answer| answer == Answer::Same);
        self.limits.is_empty() && self.end().is_some() && (alike || Answer::never_changed(answers()))
    }

    /// Whether the questions about red and green ended because of how they were answered: by side, against each other, or not at all.
    /// Such answers say little of the focus, and white was not asked about either.
    pub(super) fn ended_by_the_answering(&self) -> bool {
        let by_answering = [End::Contradicted, End::CouldNotTell, End::FollowedTheSide];
        self.limits.is_empty() && self.end().is_some_and(|end| by_answering.contains(&end))
    }

    /// The lens of an end, at the distance of the chart.
    #[must_use]
    pub fn lens_of(&self, end: End) -> Option<Dioptres> {
        if let End::Lens { clicks, .. } = end { Some(self.lens(clicks)) } else { None }
    }

    /// The lens that the questions left in, at the distance of the chart: of two series that agree the one nearer to the
    /// manifest; where red and green left none in, the click nearest to the midpoint.
    #[must_use]
    pub fn left_in(&self) -> Option<Dioptres> {
        self.left_in_by_colours().or_else(|| self.left_in_by_limits())
    }

    /// Whether it is the midpoint that left it in.
    #[must_use]
    pub fn is_left_in_by_limits(&self) -> bool {
        self.left_in_by_colours().is_none() && self.left_in_by_limits().is_some()
    }

    /// How the search for both limits ended; none while it goes on or is not wanted.
    pub(super) fn limits_end(&self) -> Option<End> {
        self.limits_found().map(Limits::end)
    }

    fn left_in_by_limits(&self) -> Option<Dioptres> {
        let End::Lens { clicks, .. } = self.limits_end()? else { return None };
        Some(self.limit_lens(clicks))
    }

    /// The lens that red and green left in.
    #[must_use]
    pub fn left_in_by_colours(&self) -> Option<Dioptres> {
        let Step::End(End::Lens { clicks: last, .. }) = self.asker.as_ref()?.step() else { return None };
        let Some(first) = self.first_end else { return Some(self.lens(last)) };
        let End::Lens { clicks: first, .. } = first else { return None };
        let nearer =
            if self.steps_from_manifest(first) < self.steps_from_manifest(last) { first } else { last };
        ((first - last).abs() <= AGREES_WITHIN).then(|| self.lens(nearer))
    }

    /// By how many clicks the lens that was left in differs from the one in place at the last question, plus upward.
    #[must_use]
    pub fn still_to_move(&self) -> Option<Clicks> {
        Some(clicks_between(self.in_place(), self.left_in()?))
    }

    /// Letters more on white through the lens that was left in, by the reading that counts; fewer are negative.
    #[must_use]
    pub fn gain(&self) -> Option<i32> {
        self.gains().last().copied()
    }

    /// The same of each reading.
    #[must_use]
    pub fn gains(&self) -> Vec<i32> {
        self.white.iter().map(|score| score.letters_over(self.start.acuity)).collect()
    }

    fn white_says(&self) -> Verdict {
        let more_minus =
            self.left_in().is_some_and(|lens| clicks_between(self.start.first_lens(), lens) < Clicks::NONE);
        white::judged(&self.gains(), self.start.kind.accommodates() && more_minus)
    }

    /// The lens that stands; none while questions or white are open.
    #[must_use]
    pub fn standing(&self) -> Option<Standing> {
        if matches!(self.stage(), Some(Stage::Ask(_) | Stage::Limit(_) | Stage::TooMuchMinus | Stage::White))
        {
            return None;
        }
        let why = match (self.left_in(), self.white_says()) {
            (None, _) if self.first_end.is_some() => Stands::NotRepeated,
            (None, _) | (_, Verdict::Open) => Stands::NotDecided,
            (Some(_), Verdict::Stays) if self.is_left_in_by_limits() => Stands::Midpoint,
            (Some(_), Verdict::Stays) => Stands::Balanced,
            (Some(lens), Verdict::Worse(letters)) if lens == self.start.manifest_here() => {
                Stands::ManifestWorse(letters)
            }
            (Some(_), Verdict::Worse(letters)) => Stands::WorseOnWhite(letters),
            (Some(_), Verdict::TooLittleGain(letters)) => Stands::TooLittleGain(letters),
        };
        let balanced = self.left_in().filter(|_| matches!(why, Stands::Balanced | Stands::Midpoint));
        let here = balanced.unwrap_or_else(|| self.start.manifest_here());
        Some(Standing { here, far: here - Dioptres::at(self.start.distance()), why })
    }

    /// The lens through which the acuity before was read, where its cylinder is not this run's: it was rechecked since. None where
    /// the acuity before is the manifest's.
    #[must_use]
    pub const fn acuity_before_through(&self) -> Option<Lens> {
        self.through
    }

    /// The lens through which a run of the same eye that follows this one knows its acuity.
    pub(super) fn read_through(&self) -> Lens {
        let manifest = self.start.manifest.with_sphere(self.start.manifest_here());
        match self.left_in().filter(|_| !self.white.is_empty()) {
            Some(sphere) => self.start.manifest.with_sphere(sphere),
            None => self.through.unwrap_or(manifest),
        }
    }

    /// Whether the manifest stands instead of a lens that questions came to; false while that is not known.
    #[must_use]
    pub fn keeps_the_manifest(&self) -> bool {
        self.standing().is_some_and(|standing| standing.why.keeps_the_manifest())
    }

    /// The sphere that was chosen; none where nothing was.
    #[must_use]
    pub fn chosen_sphere(&self) -> Option<Dioptres> {
        self.sphere_of(self.chosen?)
    }

    /// The sphere of a choice.
    #[must_use]
    pub fn sphere_of(&self, choice: Choice) -> Option<Dioptres> {
        let standing = self.standing()?;
        match choice {
            Choice::FarQuarter => Some(nearest_quarter(standing.far)),
            Choice::FarExact => Some(standing.far),
            Choice::HereQuarter => Some(nearest_quarter(standing.here)),
            Choice::HereExact => Some(standing.here),
            Choice::Manifest => Some(self.start.manifest.sphere()),
            Choice::Nothing => None,
        }
    }
}

/// From one lens to another in whole clicks, plus upward; less than a tenth of a click is what bringing a far manifest to
/// the room leaves.
fn clicks_between(from: Dioptres, to: Dioptres) -> Clicks {
    Clicks::nearest(to - from)
}
