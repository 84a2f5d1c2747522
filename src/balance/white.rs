//! What acuity on white says of the lens that the balance left in.
//!
//! By chance alone a repeated acuity is a letter or more worse in 36 to 43 % of cases: 95 % of repeats lie within
//! ±0.11 logMAR, five and a half letters, by [Rosser et al.](crate::bibliography::ROSSER_2004), within ±0.053 to
//! ±0.075, three to four letters, by [Stark & Class](crate::bibliography::STARK_CLASS_2013). So one or two letters say
//! nothing, three or four ask for a second reading, and five are believed at once. Where these limits lie is this
//! project's own decision.

/// As few letters as this may be chance, and are read a second time.
pub const DOUBTFUL_LETTERS: i32 = 3;

/// As many letters as this are believed at once: a whole line of five.
pub const SURE_LETTERS: i32 = 5;

/// What the readings on white come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Verdict {
    /// A reading is missing.
    Open,
    /// The lens may stay in.
    Stays,
    /// White was read worse, by this many letters.
    Worse(i32),
    /// More minus gained only this many letters in an eye that accommodates.
    TooLittleGain(i32),
}

/// Judges the letters gained at each reading; lost ones are negative. Where an eye that accommodates was given more minus,
/// that must earn as many letters as would otherwise have overturned it.
pub(super) fn judged(gains: &[i32], minus_must_earn: bool) -> Verdict {
    let Some(first) = gains.first() else { return Verdict::Open };
    let doubtful = DOUBTFUL_LETTERS..SURE_LETTERS;
    let is_doubtful = doubtful.contains(&-first) || (minus_must_earn && doubtful.contains(first));
    let last = match (is_doubtful, gains.get(1)) {
        (false, _) => *first,
        (true, Some(second)) => *second,
        (true, None) => return Verdict::Open,
    };
    if last <= -DOUBTFUL_LETTERS {
        Verdict::Worse(-last)
    } else if minus_must_earn && last < DOUBTFUL_LETTERS {
        Verdict::TooLittleGain(last)
    } else {
        Verdict::Stays
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand from the limits as they are stated above.
    #[test]
    fn a_letter_or_two_never_overturn_and_three_or_four_are_read_again() {
        for (gains, verdict) in [
            (&[][..], Verdict::Open),
            (&[0], Verdict::Stays),
            (&[-1], Verdict::Stays),
            (&[-2], Verdict::Stays),
            (&[-3], Verdict::Open),
            (&[-4], Verdict::Open),
            (&[-5], Verdict::Worse(5)),
            (&[-3, -2], Verdict::Stays),
            (&[-3, -3], Verdict::Worse(3)),
            (&[-4, 1], Verdict::Stays),
            (&[-4, -7], Verdict::Worse(7)),
        ] {
            assert_eq!(judged(gains, false), verdict, "{gains:?}");
        }
    }

    #[test]
    fn minus_earns_its_letters_by_the_same_limits() {
        for (gains, verdict) in [
            (&[2][..], Verdict::TooLittleGain(2)),
            (&[-1], Verdict::TooLittleGain(-1)),
            (&[3], Verdict::Open),
            (&[3, 2], Verdict::TooLittleGain(2)),
            (&[4, 3], Verdict::Stays),
            (&[5], Verdict::Stays),
            (&[-3, -3], Verdict::Worse(3)),
        ] {
            assert_eq!(judged(gains, true), verdict, "{gains:?}");
        }
    }
}
