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
