//! What is said at each step, the same on every screen and page.

mod again;
mod both;
mod lens;
mod midpoint;
mod near;
mod offer;
mod question;
mod result;
mod stage;
mod whereabouts;
mod why;

use std::fmt;

pub use both::{CLEARER_QUESTION, LEADS_QUESTION, recheck_the_cylinder};
pub use lens::{Otherwise, SPHERICAL_EQUIVALENT};
pub use midpoint::{ALSO_MIDPOINT, BEFORE_READING, READ_QUESTION};
pub use near::{NEAR_HOW, near_lag};
pub use offer::{TOO_MUCH_MINUS_AGAIN, done};
pub use question::{ASKED_ABOUT, BEFORE_ASKING, NO_DIFFERENCE, on_side, question, through_plus};
pub use result::gained;
pub use whereabouts::EstimateSaid;
pub(super) use why::larger_line;

pub use crate::SUPERVISION;

/// What is said about privacy wherever times and labels are shown or written.
pub const PRIVACY: &str = "Times and labels can identify a person: follow local law.";

/// What it is not.
pub const NOT_APPROVED: &str = "Not a medical device; no authority has approved it.";

/// Who answers for a result.
pub const CAUTION: &str = "A balance is one step of a refraction by a licensed practitioner or under one’s supervision: local rules and the practitioner’s judgement come first.";

/// What saturated colours can do.
pub const SEIZURES: &str = "Saturated red, and changes between red and green, can provoke seizures: ask first, never alternate quickly, stop at any discomfort.";

/// A name and what it stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Said {
    /// The name.
    pub name: &'static str,
    /// How it goes, or what it is; empty where the name says it.
    pub how: &'static str,
}

impl fmt::Display for Said {
    /// The name, and after a colon the rest.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)?;
        if self.how.is_empty() { Ok(()) } else { write!(f, ": {}", self.how) }
    }
}

#[cfg(test)]
mod tests {
    use crate::balance::examination::example;
    use crate::balance::run::{DecidedBy, End, Why};
    use crate::balance::words::{result::gained, why::larger_line};
    use crate::balance::{
        Added, Answer, Apart, BinocularStep, BothEyes, Choice, Clearer, Clicks, Course, EndPoint, Event,
        Examination, EyeKind, Laterality, Legible, Near, Procedure, Start,
    };
    use crate::quantity::{Dioptres, Length};
    use Answer::{Green as G, Red as R, Same as S};

    fn course(answers: &[Answer], then: &[Event]) -> Examination {
        // An eye of −1.00 D, asked by rules.
        let start = Start { procedure: Procedure::Customary, ..example() };
        let answers = answers.iter().map(|answer| Event::Answered(*answer));
        let events = [Event::Started(Box::new(start))].into_iter().chain(answers).chain(then.iter().cloned());
        Examination::of(&events.collect::<Vec<_>>()).unwrap()
    }

    fn white(score: &str) -> Event {
        Event::White(score.parse().unwrap())
    }

    #[test]
    fn why_a_lens_is_in_place_says_how_it_was_moved() {
        let all = [
            Why::Fog,
            Why::MoreFog,
            Why::RedWasClearer,
            Why::GreenWasClearer,
            Why::SameIsNoEnd,
            Why::EndPointNotSeen,
            Why::CouldNotTell,
            Why::SidesSwapped,
            Why::RedEnd,
            Why::GreenEnd,
            Why::CountsAsSame,
            Why::AskedAgain,
            Why::TellsMost,
        ];
        for why in all {
            assert!(why.words(Clicks::new(2)).contains("0.50 D more plus"), "{why:?}");
            assert!(why.words(Clicks::new(-1)).contains("0.25 D more minus"), "{why:?}");
            let kept = why.words(Clicks::NONE);
            let is_said = kept.contains("keep the lens") || kept.to_lowercase().contains("once more");
            assert!(is_said && !kept.contains("0.00"), "{kept}");
        }
        assert!(Why::Manifest.words(Clicks::NONE).contains("manifest"));
        // A lens that stays was not too much blur.
        let [stays, moved] = [Clicks::NONE, Clicks::new(1)].map(|clicks| Why::CouldNotTell.words(clicks));
        assert!(!stays.contains("blur") && moved.contains("too much blur"));
        assert!(
            larger_line(Clicks::NONE).contains("; keep")
                && larger_line(Clicks::new(1)).contains(", and set 0.25")
        );
    }

    #[test]
    fn letters_are_gained_and_lost_one_by_one() {
        assert_eq!(
            [-2, -1, 0, 1, 3].map(gained),
            [
                "2 letters lost",
                "1 letter lost",
                "as many letters as before",
                "1 letter gained",
                "3 letters gained"
            ]
        );
    }

    #[test]
    fn every_end_has_a_name_and_its_reason() {
        let ends = [
            End::Contradicted,
            End::CouldNotTell,
            End::FollowedTheSide,
            End::ManifestStands,
            End::TooMuchMinus,
        ];
        let names: std::collections::BTreeSet<&str> = ends.iter().map(|end| end.name()).collect();
        assert!(
            names.len() == ends.len()
                && names.iter().all(|name| name.contains(' ') || *name == "contradicted")
        );
        for end in ends {
            assert!(end.words("", EndPoint::LastRed).contains(if end == End::TooMuchMinus {
                "0.50 D more minus"
            } else {
                "Not decided"
            }));
            assert_eq!(end.reason(EndPoint::LastRed), None);
        }
        let lens = |by, of_two| End::Lens { clicks: Clicks::NONE, by, of_two };
        for (by, reason) in [
            (DecidedBy::EndPoint, "end point: last red"),
            (DecidedBy::MiddleOfSame, "judged the same"),
            (DecidedBy::Estimate, "most likely lies"),
            (DecidedBy::MiddleOfLimits, "midpoint on white"),
            (DecidedBy::MiddleOfBracket, "between a clear red and a clear green"),
        ] {
            let [one, two] = [false, true].map(|of_two| lens(by, of_two).reason(EndPoint::LastRed).unwrap());
            assert!(one.contains(reason) && !one.contains("with more plus"), "{one}");
            let is_one = matches!(by, DecidedBy::EndPoint | DecidedBy::Estimate);
            assert!(two.contains(reason) && two.contains("the one with more plus") != is_one, "{two}");
            assert!(
                lens(by, false)
                    .words("−1.00 D", EndPoint::LastRed)
                    .contains(&format!("ended at −1.00 D ({one})"))
            );
        }
        assert_eq!(lens(DecidedBy::Estimate, false).name(), "");
    }

    #[test]
    fn what_is_left_in_is_put_in_with_its_reason() {
        // The same at −1.25 D, twice; or green there twice, so that −1.00 D, the last red, is a click back.
        let same = course(&[R, S, S], &[]).courses[0].clone();
        let red = course(&[R, G, G], &[]).courses[0].clone();
        assert!(same.put_in().starts_with("Leave −1.25 D in (end point:"), "{}", same.put_in());
        assert!(
            red.put_in().starts_with("Now put in −1.00 D, 0.25 D more plus (end point:"),
            "{}",
            red.put_in()
        );
        for (course, lens) in [(&same, "−1.25 D"), (&red, "−1.00 D")] {
            assert!(course.left_in_because().unwrap().contains("equal, else last red"));
            assert!(
                course
                    .ended()
                    .unwrap()
                    .starts_with(&format!("The questions ended at {lens} (end point: equal, else last red)"))
            );
            assert!(course.choice_in_words().contains("Nothing was chosen"));
        }
        assert_eq!(
            (course(&[R], &[]).courses[0].ended(), course(&[R], &[]).courses[0].left_in_because()),
            (None, None)
        );
        assert_eq!(
            same.start.way_in_words(),
            format!("{}, equal, else last red", Procedure::Customary.name())
        );
        let adaptive = Start { procedure: Procedure::Adaptive, ..example() };
        assert_eq!(adaptive.way_in_words(), Procedure::Adaptive.name());
        // Whoever read once is read again only where that was doubtful.
        assert_eq!(same.read_again(), None);
        assert_eq!(course(&[R, S, S], &[white("20/20")]).courses[0].read_again(), None);
        let chosen = course(&[R, S, S], &[white("20/20"), Event::Chosen(Choice::HereQuarter)]);
        let said = chosen.courses[0].eye_and_choice();
        assert!(said.starts_with("Right eye. Examiner’s choice: −1.25 D, "), "{said}");
    }

    #[test]
    fn the_midpoint_lies_between_what_was_read() {
        // An eye of −1.00 D reads so many clicks to minus and to plus of its manifest.
        let sought = |least: i32, most: i32| -> (Examination, Vec<(usize, f64, f64)>) {
            let mut one = course(&[R, S, S], &[white("20/20")]);
            assert!(one.courses[0].can_seek_midpoint());
            one.happen(&Event::AlsoMidpoint).unwrap();
            assert!(!one.courses[0].can_seek_midpoint(), "it is looked for once");
            let mut asked = Vec::new();
            while let Some(question) = one.courses[0].asks_limit() {
                let clicks = question.change.to_d() / 0.25;
                asked.push((question.number, question.change.to_d(), question.moved.to_dioptres().to_d()));
                let reads = (f64::from(least) - 0.1..f64::from(most) + 0.1).contains(&clicks);
                one.happen(&Event::Limit(if reads { Legible::Read } else { Legible::Lost })).unwrap();
            }
            (one, asked)
        };
        let (even, asked) = sought(-2, 2);
        let course: &Course = &even.courses[0];
        // Three questions went before; −1.25 D was in place, so the manifest is a click back, and then each lens follows the one before.
        assert_eq!(asked[0].0, 4);
        assert!(asked[0].1.abs() < 1e-9 && (asked[0].2 - 0.25).abs() < 1e-9, "{asked:?}");
        for pair in asked.windows(2) {
            assert!(
                pair[1].0 == pair[0].0 + 1 && (pair[1].1 - pair[0].1 - pair[1].2).abs() < 1e-9,
                "{asked:?}"
            );
        }
        let midpoint = course.midpoint().unwrap();
        let is = |lens: Dioptres, d: f64| assert!((lens.to_d() - d).abs() < 1e-9, "{lens:?} {d}");
        is(midpoint.at, -1.0);
        midpoint.plus.into_iter().for_each(|lens| is(lens, -0.5));
        midpoint.minus.into_iter().for_each(|lens| is(lens, -1.5));
        assert!(midpoint.agree);
        let said = course.midpoint_in_words().unwrap();
        assert!(said.starts_with("The midpoint on white lies at −1.00 D"), "{said}");
        assert!(said.contains("read to −0.50 D on the plus side and to −1.50 D on the minus side"), "{said}");
        assert!(course.ended().unwrap().contains(&said));
        // The colours left −1.25 D in: midpoints of −0.75 D are half a dioptre off, which is no disagreement; 0.00 D is.
        assert_eq!(course.disagreement(), None);
        assert_eq!(sought(-2, 4).0.courses[0].disagreement(), None);
        let far = sought(0, 8).0.courses[0].clone();
        is(far.midpoint().unwrap().at, 0.0);
        is(far.disagreement().unwrap(), 1.25);
        let told = far.disagreement_in_words().unwrap();
        assert!(told.contains("ended at −1.25 D") && told.contains("1.25 D apart"), "{told}");
        assert!(far.cautions().iter().any(|caution| caution.what == told));
        let unread = sought(9, 9).0.courses[0].clone();
        assert!(
            unread.midpoint_in_words().unwrap().contains("not even a larger line")
                && unread.midpoint().is_none()
        );
        assert_eq!(self::course(&[R, S, S], &[]).courses[0].midpoint_in_words(), None);
    }

    #[test]
    fn what_both_eyes_came_to_is_told_step_by_step() {
        let score = |text: &str| text.parse().unwrap();
        let compared = |apart, answers: &[Clearer]| {
            let both = BothEyes { apart: Some(apart), compared: answers.to_vec(), ..BothEyes::default() };
            both.in_words(BinocularStep::BalanceBetweenEyes).unwrap()
        };
        let prism = compared(Apart::Prism, &[Clearer::Left, Clearer::Same]);
        assert!(
            prism.starts_with("by prism with +")
                && prism.ends_with(": left eye clearer, no difference; +0.25 D to the left eye"),
            "{prism}"
        );
        let cover = compared(Apart::Cover, &[Clearer::Same]);
        assert!(
            cover.starts_with("by covering in turn") && cover.ends_with(": no difference; nothing is added"),
            "{cover}"
        );
        assert!(compared(Apart::Cover, &[Clearer::Right]).ends_with(": right eye clearer"));
        let none = BothEyes::default();
        let all = [
            BinocularStep::BalanceBetweenEyes,
            BinocularStep::SphereWithBoth,
            BinocularStep::AcuityWithBoth,
            BinocularStep::TrialFrame,
        ];
        assert!(all.iter().all(|step| none.in_words(*step).is_none()));
        // A line of five letters lost ends it; one letter does not.
        let read = |scores: &[&str]| {
            let read = scores.iter().map(|text| score(text)).collect();
            BothEyes { read, ..BothEyes::default() }.in_words(BinocularStep::SphereWithBoth).unwrap()
        };
        assert_eq!(
            read(&["20/20", "20/32"]),
            "20/20 with nothing more added, 20/32 with +0.25 D; nothing more stays added"
        );
        assert!(
            read(&["20/20", "20/20-1", "20/32"]).ends_with("20/32 with +0.50 D; +0.25 D stays added to both")
        );
        assert_eq!(read(&["20/20"]), "20/20 with nothing more added");
        let framed = |d: f64| {
            BothEyes { framed: Some(Dioptres::new(d)), ..BothEyes::default() }
                .in_words(BinocularStep::TrialFrame)
        };
        assert_eq!(framed(0.0).as_deref(), Some("nothing added"));
        assert_eq!(framed(-0.25).as_deref(), Some("−0.25 D added to both"));
        let added =
            |right: i32, left: i32| Added { right: Clicks::new(right), left: Clicks::new(left) }.words();
        assert_eq!(added(1, 2), "+0.25 D to the right eye, +0.50 D to the left eye");
        // How each goes, with what it takes.
        for (step, what) in all.into_iter().zip([
            "add 0.25 D to that one",
            "with +0.25 D more before both eyes",
            "both eyes open",
            "±0.25 D before both eyes",
        ]) {
            assert!(step.how().contains(what), "{step:?}");
        }
        assert!(
            Apart::Prism.how().contains("prism dioptres base up")
                && Apart::Cover.how().starts_with("cover one eye")
        );
    }

    /// Two eyes that accommodate, of −1.00 D each, to the end.
    fn both_eyes() -> Examination {
        let mut events = Vec::new();
        for eye in Laterality::ALL {
            let start = Start {
                eye,
                kind: EyeKind::Accommodating,
                procedure: Procedure::FromPlus,
                end_point: EyeKind::Accommodating.usual_end_point(),
                intended: Some(Dioptres::new(-0.5)),
                ..example()
            };
            events.push(Event::Started(Box::new(start)));
            events.extend([R, R, S, S].map(Event::Answered));
            events.extend([white("20/20"), Event::Chosen(Choice::FarQuarter)]);
        }
        events.extend([
            Event::Apart(Apart::Cover),
            Event::Compared(Clearer::Left),
            Event::Compared(Clearer::Same),
        ]);
        events.extend(["20/20", "20/32", "20/16"].map(|score| Event::BothRead(score.parse().unwrap())));
        events.push(Event::Framed(Dioptres::new(0.0)));
        let near = Near {
            distance: Length::mm(400.0),
            add: Dioptres::new(1.0),
            acuity: None,
            clear: None,
            red_green: None,
        };
        events.push(Event::Near(Box::new(near)));
        Examination::of(&events).unwrap()
    }

    #[test]
    fn the_end_of_both_eyes_is_their_lenses_with_what_was_added() {
        let done = both_eyes();
        let all = done.of_both_in_words().unwrap();
        let told = |part: &str| assert!(all.iter().any(|line| line.contains(part)), "{part}: {all:#?}");
        told("+0.25 D to the left eye");
        told("nothing more stays added");
        told("20/16");
        told("With both eyes open: right ");
        told("Near add +1.00 D at 40 cm. 40 cm asks for +2.50 D: 1.50 D of it is left to accommodation");
        // Only the left one changed, by a quarter.
        let [right, left] = [0, 1].map(|place| &done.courses[place]);
        assert_eq!(done.eye_and_end(right), right.eye_and_choice());
        let lens = done.ends_with(Laterality::Left).unwrap();
        let said = done.eye_and_end(left);
        assert!(
            said.starts_with(&format!("Left eye: {lens} (")) && said.contains("+0.25 D with both eyes open"),
            "{said}"
        );
        assert!((lens.sphere - left.chosen_sphere().unwrap()).to_d() - 0.25 < 1e-9);
        // It was meant to end at −0.50 D.
        for eye in Laterality::ALL {
            let ends = done.ends_with(eye).unwrap().spherical_equivalent().to_d();
            let off = done.off_the_intended(eye).unwrap().to_d();
            assert!((off - (ends + 0.5)).abs() < 1e-9, "{off} {ends}");
            assert!(done.intended_in_words(eye).unwrap().starts_with("Meant to end at −0.50 D"));
            assert_eq!(done.intended_in_short(eye).unwrap() == "as intended", off.abs() <= 0.25);
        }
        let alone = course(&[R, S, S], &[]);
        assert_eq!((alone.of_both_in_words(), alone.ends_with_in_words()), (None, None));
    }

    #[test]
    fn an_eye_that_was_asked_again_says_so() {
        let again = |manifest: &str| {
            let mut one = course(&[R, S, S], &[white("20/20"), Event::Chosen(Choice::HereQuarter)]);
            let start =
                Start { procedure: Procedure::Customary, manifest: manifest.parse().unwrap(), ..example() };
            one.happen(&Event::Again(Box::new(start))).unwrap();
            one.run_in_words(Laterality::Right).unwrap()
        };
        assert_eq!(again("-1.00"), "run 2, asked again");
        assert_eq!(again("-0.75/-0.50x90"), "run 2, with its cylinder rechecked");
        assert_eq!(course(&[R, S, S], &[]).run_in_words(Laterality::Right), None);
    }

    #[test]
    fn a_lens_is_written_otherwise_where_that_says_more() {
        // By hand: −6.75 and −7.75 D at 12 mm are −6.24 and −7.09 D at the cornea, and −6.84 and −7.87 D at 14 mm.
        let start = Start {
            vertex: Some(Length::mm(12.0)),
            glasses_vertex: Some(Length::mm(14.0)),
            instrument: Some("trial frame".into()),
            examiner: Some("QH".into()),
            ..example()
        };
        let lens = |text: &str| text.parse::<crate::balance::Manifest>().unwrap().lens();
        let of = |text: &str| -> Vec<(String, String)> {
            start.otherwise(lens(text)).into_iter().map(|one| (one.name, one.lens)).collect()
        };
        let pair = |name: &str, lens: &str| (name.to_owned(), lens.to_owned());
        assert_eq!(
            of("-6.75/-1.00x180"),
            [
                pair("plus cylinder", "−7.75 / +1.00 × 90"),
                pair("spherical equivalent", "−7.25 D"),
                pair("glasses, 14 mm", "−6.84 / −1.03 × 180"),
                pair("at the cornea", "−6.24 / −0.85 × 180"),
            ]
        );
        assert_eq!(of("-1.25/+0.50x180")[0], pair("minus cylinder", "−0.75 / −0.50 × 90"));
        assert_eq!(of("-6.75").len(), 2);
        assert_eq!(start.by_whom(), "; examiner QH; trial frame");
        assert_eq!(Start { examiner: None, instrument: None, ..start }.by_whom(), "");
        let intended = |off: f64| super::lens::off_in_short(Dioptres::new(off));
        assert_eq!(intended(0.5), "0.50 D more plus than intended");
        assert_eq!(intended(-0.5), "0.50 D more minus than intended");
        // A click is as intended, for binary as well.
        assert_eq!([0.25, -0.25, 0.1 + 0.15].map(intended), ["as intended"; 3].map(String::from));
        assert!(intended(0.26).contains("0.26 D more plus"));
    }

    #[test]
    fn a_question_names_colours_only_to_who_tells_them_apart() {
        use super::question::{ASKED_ABOUT, on_side, question};
        use crate::balance::ColourVision;
        use crate::light::Side;
        for colours in ColourVision::ALL {
            let words = question(colours);
            let by_side = words.contains("left side") && words.contains("right side");
            let by_colour = words.contains("red side") && words.contains("green side");
            assert!(words.contains(ASKED_ABOUT) && by_side != by_colour, "{words}");
            assert_eq!((by_side, colours.is_defect()), (colours != ColourVision::Usual, by_side));
        }
        assert_eq!([on_side(Side::Left), on_side(Side::Right)], ["On the left.", "On the right."]);
    }

    #[test]
    fn patients_say_what_they_answer() {
        for (answer, word) in
            [(R, "red"), (G, "green"), (S, "No difference"), (Answer::Unsure, "cannot tell")]
        {
            assert!(answer.said().contains(word), "{}", answer.said());
        }
        for (answer, word) in [(Legible::Read, "half of it or more"), (Legible::Lost, "less than half")] {
            assert!(answer.said().contains(word), "{}", answer.said());
        }
    }

    #[test]
    fn a_question_says_why_its_lens_is_in_place_and_what_comes_first() {
        let question = |examination: &Examination| examination.stage().question().unwrap();
        let red = question(&course(&[R], &[]));
        assert_eq!((red.because().as_str(), red.first()), ("Red was clearer: 0.25 D more minus.", None));
        let young = Start {
            kind: EyeKind::Accommodating,
            procedure: Procedure::FromPlus,
            end_point: EndPoint::EqualElseFirstGreen,
            ..example()
        };
        let answers = [R, R, S].map(Event::Answered);
        let begun: Vec<Event> = [Event::Started(Box::new(young))].into_iter().chain(answers).collect();
        // Half a dioptre of plus blurs an eye whose step is a click.
        let first = question(&Examination::of(&begun).unwrap()).first().unwrap();
        assert!(first.contains("blur the eye with +0.50 D more"), "{first}");
    }

    #[test]
    fn why_a_lens_of_a_limit_is_in_place_says_how_it_was_moved() {
        use crate::balance::Seeks;
        for (seeks, words) in [
            (Seeks::Manifest, "manifest refraction comes first"),
            (Seeks::LargerLine, "larger line"),
            (Seeks::PlusLimit, "plus until the line is lost: 0.50 D more plus"),
            (Seeks::MinusLimit, "minus until the line is lost: 0.50 D more plus"),
            (Seeks::Between, "so back: 0.50 D more plus"),
            (Seeks::PlusAgain, "plus once more, from outside: 0.50 D more plus"),
            (Seeks::MinusAgain, "minus once more, from outside: 0.50 D more plus"),
        ] {
            let said = seeks.words(Clicks::new(2));
            assert!(said.contains(words), "{said}");
        }
        let limits = Start { procedure: Procedure::Midpoint, ..example() };
        let begun = Examination::of(&[Event::Started(Box::new(limits))]).unwrap();
        let because = begun.stage().limit().unwrap().because();
        assert!(because.contains("manifest refraction comes first"), "{because}");
    }

    #[test]
    fn each_kind_of_eye_is_explained() {
        for (kind, word) in [
            (EyeKind::SmallAperture, "small aperture"),
            (EyeKind::Pseudophakic, "another lens implant"),
            (EyeKind::Presbyopic, "no longer focuses"),
            (EyeKind::Accommodating, "still focuses"),
        ] {
            assert!(kind.explained().contains(word), "{}", kind.explained());
        }
    }

    #[test]
    fn what_may_follow_too_much_minus_is_explained() {
        use crate::balance::AfterMinus;
        for (what, word) in [
            (AfterMinus::FogAgain, "plus again"),
            (AfterMinus::Relax, "relax accommodation"),
            (AfterMinus::KeepManifest, "keep the manifest"),
        ] {
            assert!(what.words().contains(word), "{}", what.words());
        }
    }

    #[test]
    fn white_read_better_or_worse_by_a_few_letters_is_read_again() {
        let read = |scores: &[&str]| {
            let scores: Vec<Event> = scores.iter().map(|score| white(score)).collect();
            course(&[R, S, S], &scores).courses[0].read_again()
        };
        assert_eq!((read(&[]), read(&["20/20"]), read(&["20/20-3", "20/20-3"])), (None, None, None));
        let again = read(&["20/20-3"]).unwrap();
        assert!(again.contains("measure again through the same lens"), "{again}");
    }
}
