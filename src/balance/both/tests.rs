use super::*;
use Clearer::{Left as L, Right as R, Same as S};

fn compared(answers: &[Clearer]) -> BothEyes {
    BothEyes { apart: Some(Apart::Prism), compared: answers.to_vec(), ..BothEyes::default() }
}

fn added(right: i32, left: i32) -> Added {
    Added { right: Clicks::new(right), left: Clicks::new(left) }
}

/// Slides of an optometry course that were read (a dissociated balance by prism): +2.00 and +2.25 D, fogged to +3.00 and +3.25, end
/// at +3.00 and +3.50 D: the left eye was given one click.
#[test]
fn the_clearer_eye_is_given_plus_as_a_course_has_it() {
    let both = compared(&[L, S]);
    assert_eq!(both.comparing(), Comparing::Done(added(0, 1)));
    let [right, left] = [(2.0, Laterality::Right), (2.25, Laterality::Left)]
        .map(|(sphere, eye)| sphere + FOG_D + both.added_by_comparing(eye).to_d());
    assert!((right - 3.0).abs() < 1e-9 && (left - 3.5).abs() < 1e-9, "{right} {left}");
}

/// By the rule as it is stated above the module.
#[test]
fn eyes_that_are_never_equal_leave_the_leading_one_the_clearer() {
    let never = compared(&[R, L]);
    assert_eq!(
        never.comparing(),
        Comparing::Leads { before: added(0, 0), after: added(1, 0), first: Laterality::Right }
    );
    assert_eq!(never.added_by_comparing(Laterality::Right), NOTHING, "not at its end");
    for (leads, right) in [(Laterality::Right, 0), (Laterality::Left, 1)] {
        let led = BothEyes { leads: Some(leads), ..never.clone() };
        assert_eq!(led.comparing(), Comparing::Done(added(right, 0)), "{leads:?}");
    }
}

#[test]
fn an_eye_that_stays_clearer_ends_the_comparison_and_adds_nothing() {
    let far = compared(&[R, R, R, R]);
    assert_eq!(far.comparing(), Comparing::TooFar(Laterality::Right));
    assert_eq!(far.added(Laterality::Right), NOTHING);
    assert_eq!(compared(&[R, R, R]).comparing(), Comparing::Ask(added(3, 0)));
    assert_eq!(compared(&[S]).comparing(), Comparing::Done(added(0, 0)));
    assert_eq!(BothEyes::default().comparing(), Comparing::Apart);
}

/// Worked by hand: plus goes on until three letters are lost against the best reading, or a dioptre is added.
#[test]
fn the_sphere_goes_to_the_most_plus_with_the_best_acuity() {
    for (read, sphere) in [
        (&[][..], Sphere::Ask(Clicks::NONE)),
        (&["20/20"], Sphere::Ask(Clicks::new(1))),
        (&["20/20", "20/20-2"], Sphere::Ask(Clicks::new(2))),
        (&["20/20", "20/20-2", "20/20-3"], Sphere::Done(Clicks::new(1))),
        (&["20/20", "20/25"], Sphere::Done(Clicks::NONE)),
        (&["20/20", "20/20+1", "20/20", "20/20", "20/20"], Sphere::Done(Clicks::new(4))),
        // A line better with a click, so the third is five letters worse than the best.
        (&["20/20", "20/16", "20/20"], Sphere::Done(Clicks::new(1))),
    ] {
        let read = read.iter().map(|score| score.parse().unwrap()).collect();
        assert_eq!(BothEyes { read, ..BothEyes::default() }.sphere(), sphere);
    }
}

#[test]
fn all_that_was_found_adds_up() {
    let read = ["20/20", "20/20", "20/32"].map(|score| score.parse().unwrap()).into();
    let both = BothEyes { read, framed: Some(Dioptres::new(-0.5)), ..compared(&[R, R, S]) };
    // By hand: two clicks by comparing to the right one, one click to both, half a dioptre off both.
    assert!((both.added(Laterality::Right).to_d() - 0.25).abs() < 1e-9);
    assert!((both.added(Laterality::Left).to_d() + 0.25).abs() < 1e-9);
    for (sphere, may) in [(0.25, true), (-1.0, true), (0.0, true), (0.2, false), (1.25, false)] {
        assert_eq!(may_be_framed(Dioptres::new(sphere)), may, "{sphere}");
    }
}
