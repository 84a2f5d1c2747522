use super::*;

#[test]
fn of_two_clicks_as_near_the_end_point_leaves_in_its_own() {
    let at = |balance: f64| Estimate {
        balance: Dioptres::new(balance),
        low: Dioptres::new(balance - 0.3),
        high: Dioptres::new(balance + 0.3),
        sd: Dioptres::new(0.15),
    };
    let clicks = |balance: f64, end_point| {
        let ended = end(at(balance), end_point, false);
        let left_in = ended.left_in();
        assert_eq!(ended, End::Lens { clicks: left_in, by: DecidedBy::Estimate, of_two: false });
        left_in.count()
    };
    // By hand: −0.625 D lies midway between two and three clicks of minus. Red is clearer in the lens with more plus.
    for balance in [-0.628, -0.625, -0.622] {
        assert_eq!(clicks(balance, EndPoint::EqualElseLastRed), -2, "{balance}");
        assert_eq!(clicks(balance, EndPoint::LastRed), -2, "{balance}");
        assert_eq!(clicks(balance, EndPoint::EqualElseFirstGreen), -3, "{balance}");
    }
    for end_point in EndPoint::ALL {
        assert_eq!([clicks(-0.66, end_point), clicks(-0.59, end_point)], [-3, -2]);
    }
    // An eye that accommodates is not left with more than half a dioptre of minus.
    assert_eq!(end(at(-0.7), EndPoint::EqualElseFirstGreen, true), End::TooMuchMinus);
}

#[test]
fn red_lies_on_either_side_as_often_and_never_three_times_running() {
    for first in [Side::Left, Side::Right] {
        let sides: Vec<Side> = (0..8).map(|number| red(first, number)).collect();
        assert_eq!((sides[0], sides.iter().filter(|side| **side == first).count()), (first, 4));
        assert!(sides.windows(3).all(|three| three.iter().any(|side| *side != three[0])), "{sides:?}");
    }
}

#[test]
fn half_a_dioptre_of_minus_is_left_in_and_no_more_where_the_eye_accommodates() {
    let at = |balance: f64| Estimate {
        balance: Dioptres::new(balance),
        low: Dioptres::new(balance - 0.3),
        high: Dioptres::new(balance + 0.3),
        sd: Dioptres::new(0.15),
    };
    let half = End::Lens { clicks: MOST_MINUS, by: DecidedBy::Estimate, of_two: false };
    assert_eq!(end(at(-0.5), EndPoint::LastRed, true), half);
    assert_eq!(end(at(-0.75), EndPoint::LastRed, true), End::TooMuchMinus);
}

#[test]
fn a_question_is_put_by_what_was_answered_before() {
    let before = |clicks: i32, answer| {
        let clicks = Clicks::new(clicks);
        [(Put { clicks, from_plus: false, larger: false, red: Some(Side::Left) }, answer)]
    };
    let next = |clicks: i32, through_plus: bool, answers: &[(Put, Answer)]| {
        put((Clicks::new(clicks), through_plus), answers, Side::Left)
    };
    // Less plus than before is met coming down, the same lens or more plus only where it is blurred first.
    for (clicks, down) in [(-1, true), (0, false), (1, false)] {
        assert_eq!(next(clicks, false, &before(0, Answer::Red)).from_plus, down, "{clicks}");
        assert!(next(clicks, true, &before(0, Answer::Red)).from_plus);
        // Before the first question the manifest is in place.
        assert_eq!(next(clicks, false, &[]).from_plus, down);
    }
    assert!(next(0, false, &before(0, Answer::Unsure)).larger);
    assert!(!next(0, false, &before(0, Answer::Same)).larger && !next(0, false, &[]).larger);
    // Red lies left at first, then right, by the order above.
    let sides = [next(0, false, &[]).red, next(0, false, &before(0, Answer::Same)).red];
    assert_eq!(sides, [Some(Side::Left), Some(Side::Right)]);
}
