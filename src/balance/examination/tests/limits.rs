//! Limits of reading on white, and the midpoint between them.

use super::*;

/// An eye of −1.00 D whose limits on white are looked for.
fn by_limits(kind: EyeKind) -> Start {
    Start { procedure: Procedure::Midpoint, ..start(kind, "-1.00", RefinedFor::Room) }
}

fn limits(read: &str) -> Vec<Event> {
    read.chars().map(|one| Event::Limit(if one == 'r' { Legible::Read } else { Legible::Lost })).collect()
}

fn limit(examination: &Examination) -> LimitQuestion {
    examination.stage().limit().unwrap_or_else(|| panic!("{:?}", examination.stage()))
}

#[test]
fn an_eye_may_be_asked_for_its_limits_alone() {
    // By hand: the line is read from −1.50 to −0.25 D, out in half dioptres, back by a click, each limit once more from outside.
    let whole = "rrlrrlllrlr";
    let after_some = |count: usize| after(by_limits(EyeKind::Pseudophakic), &[], &limits(&whole[..count]));
    for (place, sphere) in
        [-1.0, -0.5, 0.0, -0.25, -1.5, -2.0, -1.75, 0.0, -0.25, -1.75, -1.5].into_iter().enumerate()
    {
        let open = after_some(place);
        let question = limit(&open);
        same(question.sphere, sphere);
        same(question.change, sphere + 1.0);
        assert_eq!((question.number, question.line), (place + 1, "20/32".parse().unwrap()));
        assert_eq!((open.stage().number(), open.stage().question()), (Some(place + 1), None));
        let course = &open.courses[0];
        assert!(course.is_by_limits_alone() && !course.is_asked() && course.standing().is_none());
    }
    assert_eq!(limit(&after_some(2)).moved, Clicks::new(2));
    let done = after_some(11);
    assert_eq!((done.stage(), done.stage().limit(), done.stage().number()), (Stage::White, None, None));
    let course = &done.courses[0];
    assert!(course.is_asked() && course.is_left_in_by_limits() && !course.can_seek_midpoint());
    // The middle of −1.50 and −0.25; midway between two clicks the one with more plus is left in.
    let midpoint = course.midpoint().unwrap();
    same(midpoint.at, -0.875);
    for (ends, at) in [(midpoint.plus, -0.25), (midpoint.minus, -1.5)] {
        same(ends[0], at);
        same(ends[1], at);
    }
    same(course.left_in().unwrap(), -0.75);
    assert!(matches!(course.limits_end(), Some(End::Lens { of_two: true, .. })));
    let read = done.after(&white("20/20")).unwrap();
    let standing = read.courses[0].standing().unwrap();
    assert_eq!(standing.why, Stands::Midpoint);
    same(standing.here, -0.75);
}

#[test]
fn a_line_that_cannot_be_read_through_the_manifest_stays_larger() {
    let after_some = |read: &str| after(by_limits(EyeKind::Presbyopic), &[], &limits(read));
    let larger = "20/40".parse().unwrap();
    for read in ["l", "lr", "lrr"] {
        assert_eq!(limit(&after_some(read)).line, larger, "{read}");
    }
    assert_eq!(limit(&after_some("rl")).line, "20/32".parse().unwrap());
    // Not even that: nothing was found, and the manifest stands.
    let neither = after_some("ll");
    assert_eq!((neither.stage(), neither.courses[0].left_in()), (Stage::Choose, None));
    let standing = neither.courses[0].standing().unwrap();
    assert_eq!(standing.why, Stands::NotDecided);
    same(standing.here, -1.0);
}

#[test]
fn the_chart_of_a_limit_is_white_with_new_letters_each_time() {
    let told =
        |read: &str| after(by_limits(EyeKind::Presbyopic), &[], &limits(read)).change_of_chart().unwrap();
    assert_eq!(
        told(""),
        "Change the chart: take the colours off; line 20/32; new letters. Keys on the room’s page: 2, t, n."
    );
    assert_eq!(told("r"), "Change the chart: new letters. Keys on the room’s page: n.");
    assert_eq!(told("l"), "Change the chart: line 20/40; new letters. Keys on the room’s page: l, n.");
}

#[test]
fn the_midpoint_is_looked_for_once_after_the_colours_and_by_no_eye_that_accommodates() {
    let eye = |kind| Start { procedure: Procedure::Customary, ..start(kind, "-1.00", RefinedFor::Room) };
    let balanced = || after(eye(EyeKind::Pseudophakic), &[R, S, S], &[white("20/20")]);
    assert!(balanced().courses[0].is_asked());
    let sought = balanced().after(&Event::AlsoMidpoint).unwrap();
    let question = limit(&sought);
    // −1.25 was left in, and the manifest comes first.
    same(question.sphere, -1.0);
    assert_eq!((question.number, question.moved), (4, Clicks::new(1)));
    let course = &sought.courses[0];
    assert!(course.end().is_some() && !course.is_asked(), "a limit is open");
    assert!(!course.is_by_limits_alone());
    let told = sought.change_of_chart().unwrap();
    assert!(told.contains("new letters") && !told.contains("colours"), "white is shown already: {told}");
    let found = limits("rrlrrlllrlr").iter().fold(sought, |before, event| before.after(event).unwrap());
    let course = &found.courses[0];
    // What red and green left in stays: −1.25, not −0.75.
    same(course.left_in().unwrap(), -1.25);
    same(course.midpoint().unwrap().at, -0.875);
    assert!(course.is_asked() && !course.is_left_in_by_limits());
    assert_eq!(course.standing().unwrap().why, Stands::Balanced);
    assert_eq!(found.after(&Event::AlsoMidpoint), Err(Misfit::OutOfTurn), "once");
    let young =
        after(start(EyeKind::Accommodating, "-1.00", RefinedFor::Room), &[R, R, S, S], &[white("20/20")]);
    assert_eq!(young.stage(), Stage::Choose);
    assert_eq!(young.after(&Event::AlsoMidpoint), Err(Misfit::OutOfTurn));
}

/// Looks for the limits of an eye that reads from one lens to another, in dioptres.
fn read_between(least: f64, most: f64, mut before: Examination) -> Examination {
    while let Stage::Limit(question) = before.stage() {
        let is_read = (least - 0.01..=most + 0.01).contains(&question.sphere.to_d());
        let said = if is_read { Legible::Read } else { Legible::Lost };
        before = before.after(&Event::Limit(said)).unwrap();
    }
    before
}

#[test]
fn a_midpoint_more_than_half_a_dioptre_from_the_colours_disagrees() {
    // Red and green leave −1.25 in. By hand: from −1.50 to 0 the middle is −0.75, from −1.25 to 0 it is −0.625.
    let eye =
        Start { procedure: Procedure::Customary, ..start(EyeKind::Pseudophakic, "-1.00", RefinedFor::Room) };
    let sought = after(eye, &[R, S, S], &[white("20/20"), Event::AlsoMidpoint]);
    for (least, apart) in [(-1.5, None), (-1.25, Some(0.625))] {
        let found = read_between(least, 0.0, sought.clone());
        let course = &found.courses[0];
        same(course.midpoint().unwrap().at, least / 2.0);
        assert_eq!(course.disagreement().map(Dioptres::to_d), apart);
        let cautions = course.cautions_now();
        let told = |words: &str| cautions.iter().any(|caution| caution.what.contains(words));
        assert_eq!(told("One of them was misled"), apart.is_some());
        assert!(!told("A limit on white lay elsewhere"), "both searches ended alike");
    }
}

#[test]
fn limits_say_the_same_of_an_eye_wherever_its_lenses_count_from() {
    let found = |manifest: &str| {
        let eye = Start { manifest: manifest.parse().unwrap(), ..by_limits(EyeKind::Presbyopic) };
        let first = eye.manifest.sphere().to_d();
        let read = read_between(first - 0.5, first + 0.75, after(eye, &[], &[]));
        read.courses[0].whereabouts().unwrap()
    };
    // Another manifest, and as many lenses to each side of it: all lies where that does, two dioptres to minus.
    let [one, other] = [found("0"), found("-2.00")];
    for (one, other) in [(one.balance, other.balance), (one.low, other.low), (one.high, other.high)] {
        assert!(((one - other).to_d() - 2.0).abs() < 1e-6, "{one:?} {other:?}");
    }
}

#[test]
fn limits_that_lay_elsewhere_the_second_time_are_told() {
    // By hand, read to +1 click at first and to +3 from outside.
    let done = after(by_limits(EyeKind::Presbyopic), &[], &limits("rlrlrrrllr"));
    let course = &done.courses[0];
    assert!(!course.midpoint().unwrap().agree);
    assert!(course.cautions_now().iter().any(|one| one.what.contains("A limit on white lay elsewhere")));
}
