//! The midpoint on white: how far plus and minus may go before a line is lost, and the middle between.
//!
//! For a long depth of focus, where red and green look nearly alike (common practice, no source): letters on white, plus until the
//! line is lost and back, minus until it is lost and back, the middle. Each limit is looked for twice, once on the way out and
//! once on the way back in, since whoever says "read" a little too long does so on either way: the method of limits of general
//! psychophysics, from memory. It is not for an eye that accommodates, which clears minus by itself.
//!
//! What comes next follows from the answers alone. How far a search goes and in which steps is this project's own decision.

use serde::Serialize;
use strum::VariantArray;

use super::answer::Legible;
use super::clicks::Clicks;
use super::run::{DecidedBy, End};

/// The farthest lens from the manifest, in clicks: three dioptres.
const FARTHEST: i32 = 12;

/// Outwards the lens changes by so many clicks at a time, half a dioptre; the click between is asked last.
const OUTWARDS: i32 = 2;

/// Limits of one side that differ by more clicks than this are not the same limit: half a dioptre.
const AGREE_WITHIN: i32 = 1;

/// Why a lens is asked next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, VariantArray)]
#[serde(rename_all = "snake_case")]
pub enum Seeks {
    /// The manifest comes first.
    Manifest,
    /// The line could not be read through the manifest: a larger one.
    LargerLine,
    /// More plus, until the line is lost.
    PlusLimit,
    /// More minus, until the line is lost.
    MinusLimit,
    /// Back by a click: the limit lies here or there.
    Between,
    /// The limit of plus a second time, from where the line was lost.
    PlusAgain,
    /// The limit of minus a second time.
    MinusAgain,
}

impl Seeks {
    /// All of them.
    pub const ALL: &'static [Self] = Self::VARIANTS;
}

/// What to do next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Ask whether the line can be read through a lens, in clicks from the manifest.
    Ask(Clicks, Seeks),
    /// Both limits are known, or will not be.
    End(Limits),
}

/// What the limits came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Limits {
    /// The last lenses with which the line was read, twice each, in clicks from the manifest.
    Found {
        /// To plus.
        plus: [Clicks; 2],
        /// To minus.
        minus: [Clicks; 2],
    },
    /// Not even larger letters could be read through the manifest.
    NotRead,
    /// The line was read through every lens to one side.
    None,
    /// The second time a limit lay beyond the other side's.
    Contradicted,
}

impl Limits {
    /// The middle in clicks from the manifest, by quarters of a click; none where there is none.
    #[must_use]
    pub fn middle(self) -> Option<f64> {
        self.sum().map(|sum| f64::from(sum) / 4.0)
    }

    /// Whether both searches of each side ended within a click of each other; nothing found is no disagreement.
    #[must_use]
    pub fn agree(self) -> bool {
        let Self::Found { plus, minus } = self else { return true };
        [plus, minus].into_iter().all(|[one, other]| (one - other).abs().count() <= AGREE_WITHIN)
    }

    fn sum(self) -> Option<i32> {
        let Self::Found { plus, minus } = self else { return None };
        Some(plus.into_iter().chain(minus).map(Clicks::count).sum())
    }

    /// The lens that is left in: the click nearest to the middle, of two equally near the one with more plus.
    #[must_use]
    pub fn end(self) -> End {
        match (self.sum(), self) {
            (Some(sum), _) => End::Lens {
                clicks: Clicks::new((sum + 2).div_euclid(4)),
                by: DecidedBy::MiddleOfLimits,
                of_two: sum.rem_euclid(4) == 2,
            },
            (None, Self::NotRead) => End::CouldNotTell,
            (None, Self::Contradicted) => End::Contradicted,
            (None, Self::None | Self::Found { .. }) => End::ManifestStands,
        }
    }
}

/// What comes after these answers, in the order in which they were given.
///
/// ```
/// # use evenfield::balance::{Clicks, Legible::{Lost, Read}, Limit, Limits, Seeks, limit};
/// // Worked by hand: read from −0.50 to +0.75 D. Out in half dioptres and back by a click, then each limit from outside.
/// let answers = [
///     (0, Read), (2, Read), (4, Lost), (3, Read), // +0.75 is the last to plus,
///     (-2, Read), (-4, Lost), (-3, Lost),         // −0.50 the last to minus;
///     (4, Lost), (3, Read), (-3, Lost),           // once more.
/// ];
/// let said = |answers: &[(i32, _)]| limit(&answers.iter().map(|(_, said)| *said).collect::<Vec<_>>());
/// for (place, (clicks, _)) in answers.iter().enumerate() {
///     assert!(matches!(said(&answers[..place]), Limit::Ask(lens, _) if lens == Clicks::new(*clicks)));
/// }
/// let end = said(&[&answers[..], &[(-2, Read)]].concat());
/// let [plus, minus] = [[Clicks::new(3); 2], [Clicks::new(-2); 2]];
/// assert_eq!(end, Limit::End(Limits::Found { plus, minus }));
/// ```
#[must_use]
pub fn limit(answers: &[Legible]) -> Limit {
    match Answers(answers.iter()).limits() {
        Ok(limits) => Limit::End(limits),
        Err((clicks, seeks)) => Limit::Ask(clicks, seeks),
    }
}

/// Answers that are still to be taken. A question that none is left for is what comes next.
struct Answers<'a>(std::slice::Iter<'a, Legible>);

/// A question that is not answered yet.
type Open = (Clicks, Seeks);

impl Answers<'_> {
    fn is_read(&mut self, clicks: i32, seeks: Seeks) -> Result<bool, Open> {
        self.0.next().map(|answer| *answer == Legible::Read).ok_or((Clicks::new(clicks), seeks))
    }

    fn limits(mut self) -> Result<Limits, Open> {
        if !self.is_read(0, Seeks::Manifest)? && !self.is_read(0, Seeks::LargerLine)? {
            return Ok(Limits::NotRead);
        }
        let Some(plus) = self.outwards(1, Seeks::PlusLimit)? else { return Ok(Limits::None) };
        let Some(minus) = self.outwards(-1, Seeks::MinusLimit)? else { return Ok(Limits::None) };
        let Some(plus_again) = self.inwards((plus, minus), 1, Seeks::PlusAgain)? else {
            return Ok(Limits::Contradicted);
        };
        let Some(minus_again) = self.inwards((minus, plus), -1, Seeks::MinusAgain)? else {
            return Ok(Limits::Contradicted);
        };
        let both = |one: i32, other: i32| [one, other].map(Clicks::new);
        Ok(Limits::Found { plus: both(plus, plus_again), minus: both(minus, minus_again) })
    }

    /// From the manifest to one side until the line is lost, and back to the last lens with which it is read.
    fn outwards(&mut self, side: i32, seeks: Seeks) -> Result<Option<i32>, Open> {
        let mut read = 0;
        loop {
            let next = read + OUTWARDS * side;
            if next.abs() > FARTHEST {
                return Ok(None);
            }
            if !self.is_read(next, seeks)? {
                break;
            }
            read = next;
        }
        Ok(Some(if self.is_read(read + side, Seeks::Between)? { read + side } else { read }))
    }

    /// From the lens beyond a limit inwards until the line is read, or outwards where it is read already. None where that leads
    /// beyond the other limit, or nowhere.
    fn inwards(&mut self, (limit, other): (i32, i32), side: i32, seeks: Seeks) -> Result<Option<i32>, Open> {
        let mut lens = limit + side;
        if self.is_read(lens, seeks)? {
            while lens.abs() < FARTHEST {
                if !self.is_read(lens + side, seeks)? {
                    return Ok(Some(lens));
                }
                lens += side;
            }
            return Ok(None);
        }
        while lens != other {
            lens -= side;
            if self.is_read(lens, seeks)? {
                return Ok(Some(lens));
            }
        }
        Ok(None)
    }
}

#[cfg(test)]
mod tests;
