use super::*;
use crate::balance::record::{Kept, Records};
use crate::balance::{
    Answer, End, Event, Examination, EyeKind, Question, RefinedFor, Start, examination::example,
};
use crate::eye::{Curve, Eye, Pupil, Sides};
use crate::light::Bands;
use crate::quantity::{Length, Luminance};
use crate::room::ScreenKind;
use Answer::{Green as G, Red as R, Same as S, Unsure as U};

/// What a grid of 0.05 D and the halving of an interval's ends leave, in dioptres.
const GRID_D: f64 = 2e-3;

fn eye(kind: EyeKind) -> Start {
    let rules = kind.by_hand();
    Start { kind, procedure: rules.stepping().into(), end_point: rules.end_point(), ..example() }
}

fn after(start: Start, answers: &[Answer]) -> Course {
    let answers = answers.iter().map(|answer| Event::Answered(*answer));
    let events: Vec<_> = [Event::Started(Box::new(start))].into_iter().chain(answers).collect();
    Examination::of(&events).unwrap().courses.remove(0)
}

#[test]
fn before_the_first_answer_it_is_the_prior_about_balance_as_white_has_it() {
    for kind in EyeKind::ALL {
        let found = after(eye(kind), &[]).whereabouts().unwrap();
        // 0.95 of Φ(x/0.35) and 0.05 of Φ(x/1) are 0.975 at x = 0.7633 D, by halving with math.erf; the SD by hand:
        // √(0.95 · 0.35² + 0.05 · 1²) = 0.4079 D.
        let [below, above] = [found.balance - found.low, found.high - found.balance];
        assert!(
            (below.to_d() - 0.7633).abs() < GRID_D && (above.to_d() - 0.7633).abs() < GRID_D,
            "{found:?}"
        );
        assert!((found.sd.to_d() - 0.4079).abs() < GRID_D && found.says_little(), "{found:?}");
        assert_eq!(found.within_a_click, None);
    }
}

#[test]
fn a_room_of_the_usual_lights_has_their_own_balance_against_white() {
    // The same by the lights themselves, before a screen of their kind: nothing is scaled, so nothing may differ.
    let spectra = ScreenKind::BroadLcd.spectra();
    let own = Eye::with_pupil(Pupil::new(Length::mm(3.0)).unwrap());
    let mut start = eye(EyeKind::Presbyopic);
    start.place.interval = own.chromatic.foci(&spectra.red, &spectra.green).interval;
    let [red, green, blue] = [&spectra.red, &spectra.green, &spectra.blue].map(Bands::of);
    let sides = Sides { red, green, blue, white: [0.2126, 0.7152, 0.0722] };
    let expected = Curve::new(&own, &sides, start.target(0), start.place.luminance).prediction();
    let from_white = expected.balance_d.unwrap() - expected.white.unwrap().at_d;
    let found = after(start, &[]).whereabouts().unwrap();
    assert!((found.balance.to_d() - (-1.0 + from_white)).abs() < GRID_D, "{found:?}, not {from_white}");
    assert!(from_white.abs() > 10.0 * GRID_D, "{from_white} would not be missed");
}

#[test]
fn a_manifest_for_far_away_counts_at_the_distance_of_the_chart() {
    // By hand: 1/3.2 m is 0.3125 D, of which the first lens takes one click.
    let far = Start { refined_for: RefinedFor::FarAway, ..eye(EyeKind::Presbyopic) };
    let [far, here] = [far, eye(EyeKind::Presbyopic)].map(|start| after(start, &[]).whereabouts().unwrap());
    assert!((far.balance.to_d() - here.balance.to_d() - 0.3125).abs() < GRID_D, "{far:?} {here:?}");
}

#[test]
fn answers_that_agree_narrow_it_and_draw_it_to_them() {
    // Green under −1.00 D and red over it: a bracket about the manifest, whose ends are a click to either side.
    let answers = [S, R, G, R, G];
    let found = |count: usize| after(eye(EyeKind::SmallAperture), &answers[..count]).whereabouts().unwrap();
    let all: Vec<_> = [0, 1, 3, 5].map(found).into();
    assert!(all.windows(2).all(|pair| pair[1].sd < pair[0].sd), "{all:?}");
    let last = all[all.len() - 1];
    assert!(last.within_a_click.unwrap() > 0.75 && !last.says_little(), "{last:?}");
    let [red, green] = [R, G].map(|one| after(eye(EyeKind::Presbyopic), &[one]).whereabouts().unwrap());
    assert!(red.balance < all[0].balance && green.balance > red.balance, "{red:?} {green:?}");
}

#[test]
fn who_cannot_tell_once_does_not_overrule_clear_answers() {
    // Red twice on the way to minus, then "cannot tell": balance stays to minus of the lenses in which red was clearer, and where it
    // was within half a click. Green is the mirror image.
    for kind in [EyeKind::SmallAperture, EyeKind::Pseudophakic] {
        let start = || Start { procedure: crate::balance::Procedure::Adaptive, ..eye(kind) };
        for (clear, side) in [(R, -1.0), (G, 1.0)] {
            let [before, now] =
                [&[clear, clear][..], &[clear, clear, U]].map(|answers| after(start(), answers));
            let [was, is] = [&before, &now].map(|course| course.whereabouts().unwrap());
            assert!((is.balance - was.balance).to_d().abs() < 0.125, "{kind:?} {clear}: {was:?} {is:?}");
            let asked = now.asked[..2].iter().map(|(question, _)| question.sphere.to_d() * side);
            assert!(
                asked.into_iter().all(|lens| is.balance.to_d() * side > lens),
                "{kind:?} {clear}: {is:?}"
            );
        }
    }
}

#[test]
fn each_question_counts_as_it_was_put() {
    let puts = |course: &Course| -> Vec<(i32, bool, bool)> {
        let put = |(question, _): &(Question, Answer)| course.put(question);
        let puts = course.asked.iter().map(put);
        puts.map(|put| (put.clicks.count(), put.from_plus, put.larger)).collect()
    };
    // Fogged by two clicks, from nowhere; red, so a click less; not told, so again from plus and with a larger line, which stays.
    let young = after(eye(EyeKind::Accommodating), &[R, U, R]);
    assert_eq!(puts(&young), [(2, false, false), (1, true, false), (1, true, true)]);
    // At 20/100 a step is two clicks: red clearer, so one step less plus; green, so one step back.
    let poor = Start { acuity: "20/100".parse().unwrap(), ..eye(EyeKind::Presbyopic) };
    assert_eq!(puts(&after(poor, &[G, R])), [(0, false, false), (2, false, false)]);
    let sides = after(eye(EyeKind::Presbyopic), &[R, G]);
    assert!(sides.asked.iter().all(|(question, _)| sides.put(question).red == Some(question.red)));
}

#[test]
fn a_record_that_is_read_elsewhere_says_the_same() {
    let mut kept = Kept::new("a".into());
    let events = [R, S, G, G].map(Event::Answered);
    let events = [Event::Started(Box::new(eye(EyeKind::Presbyopic)))].into_iter().chain(events);
    let lines: Vec<String> =
        events.map(|event| kept.take(event, "2026-11-25T10:00:00Z").unwrap() + "\n").collect();
    let [here, there] = [&kept, &Records::read(&lines.concat()).kept[0]]
        .map(|kept| kept.examination.courses[0].whereabouts());
    assert!(here.is_some() && here == there, "{here:?} {there:?}");
}

#[test]
fn what_the_model_is_not_asked_of_has_no_estimate_and_says_so() {
    for (interval, luminance) in [(0.0, 50.0), (-0.3, 50.0), (9.0, 50.0), (0.31, 0.0), (0.31, 1e9)] {
        let mut start = eye(EyeKind::Presbyopic);
        (start.place.interval, start.place.luminance) =
            (Dioptres::new(interval), Luminance::cd_m2(luminance));
        let course = after(start, &[R]);
        assert_eq!(course.whereabouts(), None, "{interval} {luminance}");
        assert!(course.estimate_in_words().unwrap().what.contains("cannot be estimated"));
    }
}

#[test]
fn it_is_said_in_words_with_what_it_is_worth() {
    let d = Dioptres::new;
    let found = Whereabouts {
        balance: d(-0.62),
        low: d(-1.0),
        high: d(0.204),
        within_a_click: Some(0.814),
        sd: d(0.2),
    };
    let words = "Estimated balance −0.62 D for 3.2 m, 95 % from −1.00 to +0.20 D; the lens left in, −0.75 D, is within a click of it with 81 %.";
    let left_in = Some(d(-0.75));
    assert_eq!(found.words(Length::m(3.2), left_in), words);
    let little = " This says little more than the manifest did.";
    let doubtful = " So that lens is doubtful: ask again, or check the refraction.";
    // By hand: 0.8 of 0.35 D are 0.28 D; two thirds are 0.667.
    for (chance, sd, worth) in [
        (Some(0.67), 0.279, ""),
        (Some(0.66), 0.2, doubtful),
        (Some(0.66), 0.281, little),
        (None, 0.281, little),
        (None, 0.2, ""),
    ] {
        let words = Whereabouts { within_a_click: chance, sd: d(sd), ..found }.words(Length::m(3.2), left_in);
        let said = [little, doubtful].into_iter().find(|said| words.ends_with(said)).unwrap_or_default();
        assert_eq!(said, worth, "{words}");
        assert_eq!(words.contains("left in"), chance.is_some(), "{words}");
    }
}

#[test]
fn one_colour_alone_bounds_it_to_one_side_and_the_words_say_so_while_questions_go_on() {
    let said = |answers: &[Answer]| {
        let course = after(eye(EyeKind::SmallAperture), answers);
        assert_eq!(course.end(), None, "{answers:?}");
        course.estimate_in_words().unwrap().what
    };
    const SAID: &str = "Only one colour was clearer so far";
    for (answers, one_sided) in [(&[R][..], true), (&[R, R], true), (&[G, U, G], true), (&[R, S], false)] {
        let said = said(answers);
        assert!(said.contains("95 % from"), "{said}");
        assert_eq!(said.contains(SAID), one_sided, "{answers:?}: {said}");
    }
}

#[test]
fn answers_that_decide_nothing_are_not_taken_for_the_focus() {
    // Who cannot tell again and again, and who contradicts himself.
    let from_plus = || Start { procedure: crate::balance::Procedure::FromPlus, ..eye(EyeKind::Presbyopic) };
    for answers in [&[U; 4][..], &[R, G, R, G, R, G, R, G, R, G, R, G]] {
        let mut ended = None;
        for count in 1..=answers.len() {
            let course = after(from_plus(), &answers[..count]);
            let decided_nothing =
                matches!(course.end(), Some(End::Contradicted | End::CouldNotTell | End::FollowedTheSide));
            assert_eq!(course.whereabouts().is_none(), decided_nothing, "{count} of {answers:?}");
            if course.end().is_some() {
                ended = Some(course);
                break;
            }
        }
        let ended = ended.unwrap();
        let said = ended.estimate_in_words().unwrap().what;
        assert!(said.contains("is not estimated") && !said.contains('±'), "{:?}: {said}", ended.end());
    }
    // By this way four lenses that are alike end it.
    let alike = after(from_plus(), &[S; 4]);
    assert_eq!((alike.end(), alike.whereabouts()), (Some(End::ManifestStands), None));
    let said = alike.estimate_in_words().unwrap().what;
    assert!(said.contains("both sides were alike in every lens"), "{said}");
}
