use proptest::prelude::*;

use super::*;
use Answer::{Green as G, Red as R, Same as S, Unsure as U};
use EndPoint::{EqualElseFirstGreen, EqualElseLastRed, LastRed};
use Stepping::{Bracket, Customary, FromPlus};

fn rules(procedure: Stepping, end_point: EndPoint, accommodates: bool) -> Rules {
    Rules::new(procedure, end_point, accommodates).unwrap()
}

fn after(rules: Rules, answers: &[Answer]) -> Step {
    answers.iter().fold(Run::new(rules), |run, answer| run.answered(*answer)).step()
}

/// The lens that is asked, or the end.
fn asked(step: Step) -> Result<i32, End> {
    match step {
        Step::Ask { clicks, .. } => Ok(clicks.count()),
        Step::End(end) => Err(end),
    }
}

#[test]
fn red_asks_for_minus_and_green_for_plus() {
    // Common practice, no source: red calls for minus, green for plus.
    for end_point in EndPoint::ALL {
        for procedure in [Customary, FromPlus] {
            assert_eq!(asked(after(rules(procedure, end_point, false), &[R])), Ok(-1));
            assert_eq!(asked(after(rules(procedure, end_point, false), &[G])), Ok(1));
            // An eye that accommodates starts half a dioptre in plus.
            assert_eq!(asked(after(rules(procedure, end_point, true), &[])), Ok(2));
            assert_eq!(asked(after(rules(procedure, end_point, true), &[R])), Ok(1));
            assert_eq!(asked(after(rules(procedure, end_point, true), &[G])), Ok(3));
        }
        assert_eq!(asked(after(rules(Bracket, end_point, false), &[R])), Ok(-2));
        assert_eq!(asked(after(rules(Bracket, end_point, false), &[G])), Ok(2));
    }
}

/// What comes of answers where the repeated deciding question, with sides swapped, is answered as before.
fn comes_of(rules: Rules, answers: &[Answer]) -> Step {
    let run = answers.iter().fold(Run::new(rules), |run, answer| run.answered(*answer));
    let deciding = matches!(run.step(), Step::Ask { why: Why::SidesSwapped, .. });
    if deciding { run.answered(*answers.last().unwrap()).step() } else { run.step() }
}

/// "Left 2": the lens two clicks in plus stays in. "asks −3": the run goes on there.
fn in_words(step: Step) -> String {
    match step {
        Step::Ask { clicks, .. } => format!("asks {clicks}"),
        Step::End(End::Lens { clicks, .. }) => format!("left {clicks}"),
        Step::End(end) => format!("{end:?}"),
    }
}

const SEQUENCES: [&[Answer]; 7] =
    [&[R, R, S], &[R, R, G], &[G, G, S], &[G, G, R], &[S, R], &[S, S, S], &[R, G, R, G]];

/// From the fog both ways of asking are one.
const IN_AN_EYE_THAT_ACCOMMODATES: [[&str; 3]; 7] = [
    ["left 0", "left 0", "left 1"],
    ["left 1", "left 0", "left 1"],
    ["asks 5"; 3],
    ["asks 3"; 3],
    ["asks 2"; 3],
    ["asks 5"; 3],
    ["left 2", "left 1", "left 2"],
];

/// What comes of each, worked by hand on paper, under each end point in the order equal-else-last-red,
/// equal-else-first-green, last red.
const OUTCOMES: [(Stepping, bool, [[&str; 3]; 7]); 5] = [
    (
        Customary,
        false,
        [
            ["left -2", "left -2", "left -1"],
            ["left -1", "left -2", "left -1"],
            // Last red has not seen red yet.
            ["left 2", "left 2", "asks 3"],
            ["left 2", "left 1", "left 2"],
            // Red under "same" contradicts it: on from the red.
            ["asks -2"; 3],
            ["left 0", "left 0", "asks 2"],
            ["left 0", "left -1", "left 0"],
        ],
    ),
    (
        FromPlus,
        false,
        [
            ["asks -3"; 3],
            ["left -1", "left -2", "left -1"],
            ["asks 3"; 3],
            ["left 2", "left 1", "left 2"],
            ["asks -1"; 3],
            ["asks 3"; 3],
            ["left -1", "left -1", "left 0"],
        ],
    ),
    (FromPlus, true, IN_AN_EYE_THAT_ACCOMMODATES),
    (Customary, true, IN_AN_EYE_THAT_ACCOMMODATES),
    (
        Bracket,
        false,
        [
            ["asks -6"; 3],
            ["asks -3"; 3],
            ["asks 6"; 3],
            ["asks 3"; 3],
            ["asks -2"; 3],
            ["asks 8"; 3],
            // Red at 0 and -1, green at -2: the middle, tie to plus; the run has ended before the last answer.
            ["left -1"; 3],
        ],
    ),
];

#[test]
fn the_table_of_sequences() {
    for (procedure, accommodates, outcomes) in OUTCOMES {
        for (answers, by_end_point) in SEQUENCES.iter().zip(outcomes) {
            for (end_point, outcome) in EndPoint::ALL.into_iter().zip(by_end_point) {
                let found = in_words(comes_of(rules(procedure, end_point, accommodates), answers));
                assert_eq!(found, outcome, "{procedure:?} {accommodates} {end_point:?} {answers:?}");
            }
        }
    }
}

/// Worked by hand: the answers, the last of which confirms with sides swapped, and the lens in clicks.
#[test]
fn runs_end_on_the_lens_that_the_rule_names() {
    for (procedure, end_point, accommodates, answers, clicks) in [
        (Customary, EqualElseLastRed, false, &[R, R, S, S][..], -2),
        (Customary, EqualElseLastRed, false, &[R, R, G, G], -1),
        (Customary, EqualElseLastRed, false, &[G, G, S, S], 2),
        (Customary, EqualElseLastRed, false, &[G, G, R, R], 2),
        (Customary, EqualElseLastRed, false, &[S, S, S], 0),
        (Customary, EqualElseLastRed, false, &[S, G, G], 0),
        (Customary, EqualElseFirstGreen, false, &[R, R, G, G], -2),
        (Customary, EqualElseFirstGreen, false, &[G, G, R, R], 1),
        (Customary, EqualElseFirstGreen, false, &[R, R, S, S], -2),
        (Customary, LastRed, false, &[R, R, S, S], -1),
        (Customary, LastRed, false, &[R, R, G, G], -1),
        // "Same" without a red yet: on into plus until red is clear.
        (Customary, LastRed, false, &[G, G, S, R, R], 3),
        (FromPlus, EqualElseLastRed, false, &[R, R, G, G], -1),
        (FromPlus, EqualElseLastRed, false, &[R, S, S, G, G], -1),
        (FromPlus, EqualElseLastRed, false, &[R, S, G, G], -1),
        // Nought and two clicks under it are the same: their middle.
        (FromPlus, EqualElseLastRed, false, &[S, R, S, S, G, G], -1),
        (FromPlus, EqualElseLastRed, false, &[S, R, G, G], 0),
        (FromPlus, EqualElseLastRed, false, &[G, G, R, R], 2),
        // An eye that accommodates comes down to the first "same".
        (FromPlus, EqualElseLastRed, true, &[R, R, R, S, S], -1),
        (FromPlus, EqualElseFirstGreen, true, &[R, R, R, G, G], -1),
        // Green asks for plus as often as it takes: only "same" is counted.
        (FromPlus, EqualElseLastRed, false, &[G, G, G, S, R, R], 3),
        // Through more fog, since green and "same" do not count before red was clearer.
        (FromPlus, EqualElseLastRed, true, &[G, S, R, R, S, S], 2),
        (FromPlus, LastRed, false, &[R, S, G, G], 0),
        (Bracket, EqualElseLastRed, false, &[G, R, S], 1),
        (Bracket, EqualElseLastRed, false, &[S, R, G, R, G], 0),
        (Bracket, EqualElseLastRed, false, &[R, G, S], -1),
        // After two "same" the bracket opens by three clicks; red at 5 goes in to 3, since 4 is red as well.
        (Bracket, EqualElseLastRed, false, &[S, S, R, G, R, R, G], 1),
        // Between a green at nought and a red a click over it the tie goes to plus.
        (Bracket, EqualElseLastRed, false, &[G, R, R], 1),
    ] {
        let step = after(rules(procedure, end_point, accommodates), answers);
        let Step::End(End::Lens { clicks: left, .. }) = step else {
            panic!("{procedure:?} {end_point:?} {answers:?}: {step:?}");
        };
        assert_eq!(left.count(), clicks, "{procedure:?} {end_point:?} {answers:?}");
    }
}

#[test]
fn what_decides_nothing_ends_honestly() {
    for (procedure, accommodates, answers, end) in [
        // Sides swapped, and the other colour is clearer: the answer stayed on its side, twice.
        (Customary, false, &[R, G, R, G, R][..], End::FollowedTheSide),
        (Customary, false, &[U, U, U], End::CouldNotTell),
        // The deciding answer changes each time it is asked for again.
        (Customary, false, &[R, G, S, G, S], End::Contradicted),
        (FromPlus, false, &[S, S, S, S], End::ManifestStands),
        (FromPlus, true, &[S, S, S, S], End::ManifestStands),
        (FromPlus, true, &[R; 5], End::TooMuchMinus),
        (Customary, true, &[R; 5], End::TooMuchMinus),
        (Customary, false, &[R; 9], End::ManifestStands),
        (Customary, true, &[G; 7], End::ManifestStands),
    ] {
        let step = after(rules(procedure, EqualElseLastRed, accommodates), answers);
        assert_eq!(step, Step::End(end), "{procedure:?} {answers:?}");
    }
}

#[test]
fn an_answer_that_contradicts_an_earlier_one_unsettles_it() {
    // "Same" at nought, then red with a click more minus: nought cannot have been the same, so minus again.
    assert_eq!(asked(after(rules(Customary, EqualElseLastRed, false), &[S, R])), Ok(-2));
    // "Unsure" is never "same": the lens is asked again.
    let step = after(rules(Customary, EqualElseLastRed, false), &[R, U]);
    assert_eq!(step, Step::Ask { clicks: Clicks::new(-1), why: Why::CouldNotTell, through_plus: false });
}

#[test]
fn an_eye_that_accommodates_is_always_asked_coming_down_from_plus() {
    let young = rules(FromPlus, EqualElseFirstGreen, true);
    let through_plus = |answers: &[Answer]| match after(young, answers) {
        Step::Ask { through_plus, .. } => through_plus,
        Step::End(end) => panic!("{end:?}"),
    };
    // The fog itself, and each lens with less plus than the one before.
    assert!(!through_plus(&[]) && !through_plus(&[S]) && !through_plus(&[R]));
    // Staying at a lens: the deciding question again, or one that could not be told.
    assert!(through_plus(&[R, R, S]) && through_plus(&[R, U]));
}

#[test]
fn letters_lost_in_the_fog_thin_it() {
    let young = rules(FromPlus, EqualElseLastRed, true);
    assert_eq!(asked(after(young, &[U])), Ok(1));
    assert_eq!(asked(after(young, &[U, U])), Ok(1));
    // Once red was clearer the lens stays, with a larger line.
    assert_eq!(asked(after(young, &[R, U])), Ok(1));
}

#[test]
fn an_answer_that_stays_on_its_side_once_is_the_same() {
    let customary = rules(Customary, EqualElseLastRed, false);
    let once = [R, G, R].into_iter().fold(Run::new(customary), Run::answered);
    assert!(once.kept_to_side());
    let from_plus =
        [R, G, R].into_iter().fold(Run::new(rules(FromPlus, EqualElseLastRed, false)), Run::answered);
    assert!(
        matches!(from_plus.step(), Step::Ask { clicks, why: Why::CountsAsSame, .. } if clicks == Clicks::new(-2))
    );
    assert_eq!(
        once.answered(S).step(),
        Step::End(End::Lens { clicks: Clicks::new(-1), by: DecidedBy::EndPoint, of_two: false })
    );
}

#[test]
fn the_wide_bracket_needs_two_same_in_a_row() {
    let bracket = rules(Bracket, EqualElseLastRed, false);
    assert_eq!(asked(after(bracket, &[S])), Ok(2));
    assert_eq!(asked(after(bracket, &[S, S])), Ok(5));
    // The reason is the answer that was given last.
    assert!(
        matches!(after(bracket, &[G, S]), Step::Ask { clicks, why: Why::SameIsNoEnd, .. } if clicks == Clicks::new(4))
    );
    assert!(
        matches!(after(bracket, &[S, R, S]), Step::Ask { clicks, why: Why::SameIsNoEnd, .. } if clicks == Clicks::new(-4))
    );
    // Three clicks over 6 would be too far, so the farthest lens is asked before the manifest is kept.
    assert_eq!(asked(after(bracket, &[G, G, S, S])), Ok(8));
    assert_eq!(asked(after(bracket, &[G, G, S, S, S])), Err(End::ManifestStands));
}

fn any_rules() -> impl Strategy<Value = Rules> {
    let all = (0..3_usize, 0..3_usize, any::<bool>());
    all.prop_filter_map("no such rules", |(procedure, end, accommodates)| {
        Rules::new([Customary, FromPlus, Bracket][procedure], EndPoint::ALL[end], accommodates).ok()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    /// No answers keep a run going for ever, leave the range of lenses, or panic.
    #[test]
    fn every_run_ends_within_the_range(rules in any_rules(), answers in prop::collection::vec(0..4_usize, 80)) {
        let mut run = Run::new(rules);
        for answer in answers {
            if let Step::Ask { clicks, .. } = run.step() {
                let next = run.answered(Answer::ALL[answer]).step();
                let fogging = !run.fogged && Answer::ALL[answer] != R;
                let down = match next {
                    Step::Ask { clicks: next, through_plus, .. } => next < clicks || through_plus,
                    Step::End(_) => true,
                };
                let down = down || fogging;
                prop_assert!(!rules.accommodates() || down, "{run:?} {answer}");
                prop_assert!(clicks.abs() <= FARTHEST);
                prop_assert!(!rules.accommodates() || clicks >= MOST_MINUS);
            }
            run = run.answered(Answer::ALL[answer]);
        }
        prop_assert!(matches!(run.step(), Step::End(_)), "{run:?}");
        if let Step::End(End::Lens { clicks, .. }) = run.step() {
            prop_assert!(clicks.abs() <= FARTHEST);
        }
    }
}

/// What we drew last time, no evidence: the version of the procedure, and the sum of all its tables as JSON.
const LAST_TIME: (u16, u32) = (6, 1_523_920_700);

#[test]
fn the_tables_are_those_of_this_version_as_last_drawn() {
    let tables = serde_json::to_string(&super::super::Table::all()).unwrap();
    let today = (PROCEDURE_VERSION, crc32fast::hash(tables.as_bytes()));
    assert_eq!(
        today, LAST_TIME,
        "if the same answers lead elsewhere now, raise PROCEDURE_VERSION, say what changed, keep a record of the old version in tests/data, then note what is drawn now in LAST_TIME"
    );
}
