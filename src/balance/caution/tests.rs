use super::*;
use crate::balance::examination::example;
use crate::balance::{Event, Examination};
use Answer::{Green as G, Red as R};

fn course(start: Start, answers: &[Answer], white: Option<&str>) -> Course {
    let answers = answers.iter().map(|answer| Event::Answered(*answer));
    let read = white.map(|score| Event::White(score.parse().unwrap()));
    let events: Vec<Event> =
        [Event::Started(Box::new(start))].into_iter().chain(answers).chain(read).collect();
    Examination::of(&events).unwrap().courses[0].clone()
}

fn says(course: &Course, words: &str) -> bool {
    course.cautions().iter().any(|caution| caution.what.contains(words))
}

/// An eye that is asked by rules, from the manifest.
fn start(manifest: &str) -> Start {
    Start { manifest: manifest.parse().unwrap(), ..example() }
}

fn asked(kind: EyeKind, procedure: Procedure) -> Course {
    course(Start { kind, procedure, end_point: kind.usual_end_point(), ..start("0") }, &[], None)
}

#[test]
fn what_was_so_from_the_start_is_said_of_the_eyes_that_it_holds_of() {
    let seen =
        |colour_vision, brunescent| course(Start { colour_vision, brunescent, ..start("0") }, &[], None);
    let protan = seen(ColourVision::Protan, false);
    assert!(says(&protan, "red is 0.34 times as bright") && !says(&protan, "brown cataract"));
    let brown = seen(ColourVision::Usual, true);
    assert!(says(&brown, "brown cataract") && !says(&brown, "protanope"));
    // Two procedures err differently behind a small aperture, of which one was chosen.
    for (kind, procedure, told) in [
        (EyeKind::SmallAperture, Procedure::Customary, true),
        (EyeKind::SmallAperture, Procedure::Bracket, false),
        (EyeKind::Presbyopic, Procedure::Customary, false),
    ] {
        assert_eq!(says(&asked(kind, procedure), "err differently"), told, "{kind:?} {procedure:?}");
    }
    for (kind, told) in [(EyeKind::Accommodating, true), (EyeKind::Presbyopic, false)] {
        assert_eq!(says(&asked(kind, Procedure::Adaptive), "takes this eye to relax"), told, "{kind:?}");
    }
    assert!(!says(&asked(EyeKind::Accommodating, Procedure::FromPlus), "takes this eye to relax"));
    // First green is argued about where an eye accommodates.
    for (kind, end_point, told) in [
        (EyeKind::Accommodating, EndPoint::EqualElseFirstGreen, true),
        (EyeKind::Accommodating, EndPoint::EqualElseLastRed, false),
        (EyeKind::Presbyopic, EndPoint::EqualElseFirstGreen, false),
    ] {
        let procedure = Procedure::FromPlus;
        let course = course(Start { kind, procedure, end_point, ..start("0") }, &[], None);
        assert_eq!(says(&course, "Teachers differ"), told, "{kind:?} {end_point:?}");
    }
}

#[test]
fn how_far_a_lens_changes_is_said_where_acuity_makes_it_more() {
    // Steps as in the examination's own test: 20/40 a click, 20/100 two, 20/125 three; the adaptive way has none.
    let poor = |acuity: &str, procedure| {
        let start = Start { acuity: acuity.parse().unwrap(), procedure, ..start("0") };
        course(start, &[], None).cautions()[0].what.clone()
    };
    let customary = Procedure::Customary;
    assert!(poor("20/40", customary).ends_with("between the sides. At 20/40 the step is 0.25 D."));
    assert!(poor("20/100", customary).ends_with(" At 20/100 steps are twice as large."));
    assert!(poor("20/125", customary).ends_with(" At 20/125 steps are 3 times as large."));
    assert!(poor("20/100", Procedure::Adaptive).ends_with("between the sides."));
    // Four dioptres of one click, two of two: so far a lens may go before both sides are a blur.
    let stepped = |answers: &[Answer]| {
        let start = Start { acuity: "20/100".parse().unwrap(), ..start("0") };
        course(start, answers, None)
    };
    assert!(
        !says(&stepped(&[R; 5]), "too blurred") && says(&stepped(&[R; 6]), "more than 2 D from the manifest")
    );
}

#[test]
fn later_only_what_the_answers_show_is_said_and_it_leads_all_that_is_kept() {
    let protan = || Start { colour_vision: ColourVision::Protan, ..start("0") };
    let first = course(protan(), &[], None);
    assert_eq!(first.cautions_now(), first.cautions());
    assert!(first.cautions_now()[0].what.contains("protanope"));
    assert_eq!(course(protan(), &[R], None).cautions_now(), []);
    let five = course(protan(), &[R; 5], None);
    let now = five.cautions_now();
    assert!(now.len() == 1 && now[0].what.contains("the only clear answer"), "{now:?}");
    let by_weight = five.cautions_by_weight();
    assert_eq!(by_weight.len(), five.cautions().len());
    assert!(by_weight[0] == now[0] && by_weight[1].what.contains("protanope"));
}

#[test]
fn what_a_result_throws_doubt_on_is_said_from_its_limit_on() {
    // White read as before leaves the result standing. Last red at −0.50 D is just half a dioptre, at −0.75 D more.
    let read = Some("20/20");
    assert!(!says(&course(start("0"), &[R, R, R, G, G], read), "more than 0.50 D"));
    assert!(says(&course(start("0"), &[R, R, R, R, G, G], read), "more than 0.50 D"));
    // 4 D and more need their distance from the eye.
    let ended = |manifest: &str, vertex: Option<f64>| {
        let start = Start { vertex: vertex.map(crate::quantity::Length::mm), ..start(manifest) };
        course(start, &[R, G, G], None)
    };
    assert!(says(&ended("-4.00", None), "measure and note it"));
    assert!(!says(&ended("-3.75", None), "measure and note it"));
    assert!(!says(&ended("-4.00", Some(12.0)), "measure and note it"));
    assert!(!says(&course(start("-4.00"), &[R], None), "measure and note it"), "nothing is left in yet");
    // White read worse by a letter or two of chance, by more, and not worse.
    for (score, told) in
        [("20/20-1", true), ("20/20-2", true), ("20/20-3", false), ("20/20", false), ("20/20+1", false)]
    {
        let read = course(start("0"), &[R, G, G], Some(score));
        assert_eq!(says(&read, "a letter or two worse"), told, "{score}");
    }
}

/// A course whose answers are given, each with its lens and the side on which red lay.
fn answered(kind: EyeKind, all: &[(f64, Side, Answer)]) -> Course {
    let mut course = asked(kind, Procedure::Customary);
    let Some(question) = course.asks() else { panic!("nothing is asked") };
    for (sphere, red, answer) in all {
        course.asked.push((Question { sphere: Dioptres::new(*sphere), red: *red, ..question }, *answer));
    }
    course
}

#[test]
fn red_with_less_plus_than_green_contradicts_it() {
    let crossed = |red: f64, green: f64| {
        answered(EyeKind::Presbyopic, &[(red, Side::Left, R), (green, Side::Left, G)]).crossed()
    };
    assert_eq!(crossed(-0.5, -0.25), Some([-0.5, -0.25].map(Dioptres::new)));
    assert_eq!((crossed(-0.25, -0.25), crossed(0.25, -0.25)), (None, None));
    let one_colour = answered(EyeKind::Presbyopic, &[(-0.5, Side::Left, R)]);
    assert_eq!(one_colour.crossed(), None);
    // Of an eye that accommodates it is no contradiction: it may have focused meanwhile.
    let answers = [(-0.5, Side::Left, R), (-0.25, Side::Left, G)];
    let told = |kind| {
        let all = answered(kind, &answers).of_contradictions();
        all.into_iter().flatten().any(|one| one.what.contains("both cannot hold"))
    };
    assert_eq!([told(EyeKind::Presbyopic), told(EyeKind::Accommodating)], [true, false]);
}

#[test]
fn answers_that_follow_a_side_are_told_instead_of_what_they_contradict() {
    // Five clear answers, all to the left: red where red lies there, green where green does. They cross as well.
    let left = [
        (-0.5, Side::Left, R),
        (-0.25, Side::Right, G),
        (-0.25, Side::Left, R),
        (0.0, Side::Right, G),
        (0.0, Side::Left, R),
    ];
    let course = answered(EyeKind::Presbyopic, &left);
    assert_eq!(course.follows_a_side().as_deref(), Some("all 5 clear answers pointed to the left side"));
    let told: Vec<String> = course.of_contradictions().into_iter().flatten().map(|one| one.what).collect();
    assert!(told.len() == 1 && told[0].contains("pointed to the left side"), "{told:?}");
    // Four are too few; and where red never changed sides, answers may be about red.
    assert_eq!(answered(EyeKind::Presbyopic, &left[..4]).follows_a_side(), None);
    let still = [(0.0, Side::Left, R); 5];
    assert_eq!(answered(EyeKind::Presbyopic, &still).follows_a_side(), None);
}
