use proptest::prelude::*;

use super::Legible::{Lost, Read};
use super::*;

/// Asks an eye that reads from one lens to another, and forgets nothing; the lenses that were asked and what they came to.
fn asked(reads: impl Fn(i32) -> bool) -> (Vec<i32>, Limits) {
    let (mut lenses, mut answers) = (Vec::new(), Vec::new());
    loop {
        match limit(&answers) {
            Limit::Ask(clicks, _) => {
                lenses.push(clicks.count());
                answers.push(if reads(clicks.count()) { Read } else { Lost });
            }
            Limit::End(limits) => return (lenses, limits),
        }
    }
}

/// Worked by hand: who reads from `least` to `most` without erring has both limits there, twice.
#[test]
fn limits_are_found_twice_and_the_middle_lies_between() {
    for (least, most, middle, left_in) in
        [(-2, 3, 0.5, 1), (-4, 4, 0.0, 0), (-1, 0, -0.5, 0), (-7, 2, -2.5, -2), (0, 11, 5.5, 6)]
    {
        let (lenses, limits) = asked(|clicks| (least..=most).contains(&clicks));
        let [plus, minus] = [[most; 2], [least; 2]].map(|ends| ends.map(Clicks::new));
        assert_eq!(limits, Limits::Found { plus, minus }, "{lenses:?}");
        assert_eq!(limits.middle(), Some(middle));
        assert!(limits.agree());
        assert!(
            matches!(limits.end(), End::Lens { clicks, .. } if clicks == Clicks::new(left_in)),
            "{limits:?}"
        );
    }
}

#[test]
fn what_finds_no_limit_decides_nothing() {
    let (lenses, limits) = asked(|_| false);
    assert_eq!((lenses, limits, limits.end()), (vec![0, 0], Limits::NotRead, End::CouldNotTell));
    let (lenses, limits) = asked(|_| true);
    // By hand: from 0 in half dioptres to 3 D of plus.
    assert_eq!((lenses, limits), ((0..=12).step_by(2).collect(), Limits::None));
    assert_eq!((limits.end(), limits.middle()), (End::ManifestStands, None));
}

#[test]
fn a_second_limit_beyond_the_other_contradicts() {
    // Read to +1 and −1; the second time nothing is read from +2 down to the other limit.
    let answers = [Read, Lost, Read, Lost, Read, Lost, Lost, Lost, Lost];
    assert_eq!(limit(&answers), Limit::End(Limits::Contradicted));
}

#[test]
fn limits_that_move_by_more_than_a_click_do_not_agree() {
    // Read to +1 at first, then to +3: +2 is read from outside, so it goes on outwards.
    let first = [Read, Lost, Read, Lost, Read];
    let again = |plus: &[Legible]| limit(&[&first[..], plus, &[Lost, Read]].concat());
    for (plus, agree) in [(&[Lost, Read][..], true), (&[Read, Lost], true), (&[Read, Read, Lost], false)] {
        let Limit::End(limits) = again(plus) else { panic!("{plus:?}: {:?}", again(plus)) };
        assert_eq!(limits.agree(), agree, "{limits:?}");
    }
}

proptest! {
    /// Whatever is answered, every lens lies within 3 D, and there is an end.
    #[test]
    fn every_search_ends_within_three_dioptres(answers in prop::collection::vec(prop::bool::ANY, 60)) {
        let answers: Vec<Legible> = answers.into_iter().map(|read| if read { Read } else { Lost }).collect();
        let ends = (0..=answers.len()).find(|count| match limit(&answers[..*count]) {
            Limit::Ask(clicks, _) => {
                assert!(clicks.abs().count() <= FARTHEST);
                false
            }
            Limit::End(_) => true,
        });
        prop_assert!(ends.is_some());
        // By hand: 8 out and a click back on each side, then 26 lenses across on each.
        prop_assert!(ends.unwrap() <= 2 + 2 * 8 + 2 * 26);
        // What comes after the end changes nothing.
        prop_assert_eq!(limit(&answers), limit(&answers[..ends.unwrap()]));
    }
}
