//! A session without a socket: wishes in, pictures out, and answers that count only while the wall says what it shows.

use super::*;
use crate::balance::{Answer, Apart, Choice, Clearer, Laterality};
use crate::exam::{AsideForm, NearForm, StartForm, Wish};

pub(super) const AT: &str = "2026-03-31T09:30:00Z";
const WALL: u64 = 1;

fn session() -> Session {
    session_in(None, 1000)
}

pub(super) fn session_in(record: Option<&Path>, first: u64) -> Session {
    let room = Room::demo();
    let mut session = Session::new(room, LetterSet::Sloan, record, first).unwrap();
    session.panel_came("one");
    session.wall_came(WALL);
    session
}

fn form() -> StartForm {
    StartForm {
        eye: "right".into(),
        manifest: "-1.00/-0.50x90".into(),
        r#for: "room".into(),
        acuity: "6/6".into(),
        kind: "pseudophakic".into(),
        procedure: "customary".into(),
        ..StartForm::default()
    }
}

/// The wall draws what it is told and says so.
pub(super) fn draw(session: &mut Session) {
    let picture = session.picture().clone();
    let shown = picture.chart.map(|chart| chart.said([1920, 1080]));
    let said = WallSaid {
        picture: picture.number,
        shown,
        whole: true,
        fits: true,
        visible: true,
        pixels: [1920, 1080],
        awake: true,
    };
    session.wall_said(WALL, said);
}

pub(super) fn wish(session: &mut Session, what: What) -> Result<(), Refused> {
    let of = session.step();
    session.take("one", &Wish { of, what }, AT, "an-id")
}

pub(super) fn answer(session: &mut Session, said: Said) -> Result<(), Refused> {
    wish(session, What::Answer { answer: said })
}

fn begun() -> Session {
    begun_in(None)
}

pub(super) fn begun_in(record: Option<&Path>) -> Session {
    let mut session = session_in(record, 1000);
    wish(&mut session, What::Start(Box::new(form()))).unwrap();
    session
}

#[test]
fn no_answer_counts_before_the_wall_says_what_it_shows() {
    let mut session = begun();
    assert!(answer(&mut session, Said::Left).unwrap_err().what.contains("getting ready"));
    draw(&mut session);
    answer(&mut session, Said::Left).unwrap();
    let refused = answer(&mut session, Said::Left).unwrap_err();
    assert!(refused.what.contains("The wall changes"), "{refused}");
    let asked = &session.examination().unwrap().courses[0].asked;
    assert_eq!(asked.len(), 1);
    assert_eq!(asked[0].1, Answer::Red, "red lies on the left");
}

#[test]
fn a_simulated_patient_says_what_the_panel_may_tap_and_is_told_of_once_something_is_chosen() {
    let mut session = session().practised_with(StandIn::first(7));
    let says = |session: &Session| session.for_panel("one").stand_in;
    assert!(
        says(&session).unwrap().starts_with("Simulated patient 1: describe an eye"),
        "{:?}",
        says(&session)
    );
    assert_eq!(session.for_panel("one").record, "Not kept: simulated patients answer.");
    wish(&mut session, What::Start(Box::new(StartForm { procedure: "bracket".into(), ..form() }))).unwrap();
    while session.stage().question().is_some() {
        assert_eq!(says(&session), None, "the wall does not show these letters yet");
        draw(&mut session);
        let view = session.for_panel("one");
        let said = view.stand_in.unwrap();
        let answers = view.ask.unwrap().answers;
        let tapped = answers
            .iter()
            .find(|one| said == format!("Through this lens simulated patient 1 says: {}", one.words));
        answer(&mut session, tapped.unwrap_or_else(|| panic!("{said}")).answer).unwrap();
    }
    draw(&mut session);
    // From a line above 6/6 on; the next smaller one after 6/6 is not read any more.
    let mut lines = Vec::new();
    while says(&session).unwrap().contains("all of it") {
        let view = session.for_panel("one");
        // Scripts know names in one spelling; another would be as good as none.
        let sent = serde_json::to_string(&view).unwrap();
        assert!(sent.contains("goesOn") && !sent.contains("_on\""), "{sent}");
        // A line above what was read before asks for smaller letters.
        let white = view.white.unwrap();
        assert_eq!(white.goes_on, white.line != "6/6", "{}", white.line);
        lines.push(white.line);
        wish(&mut session, What::Smaller).unwrap();
        draw(&mut session);
    }
    assert_eq!(lines.last().map(String::as_str), Some("6/6"));
    assert_eq!(says(&session).unwrap(), "Through this lens simulated patient 1 says: I can read none of it");
    for letter in 0..5 {
        wish(&mut session, What::Missed { letter, missed: true }).unwrap();
    }
    assert_eq!(session.for_panel("one").white.unwrap().score, "6/6");
    wish(&mut session, What::TakeWhite).unwrap();
    assert_eq!(says(&session), None, "nothing tells before something is chosen");
    wish(&mut session, What::Choose { choice: Choice::Manifest }).unwrap();
    // Whose lens that is, and for what distance, since the other eye is asked about beside it.
    let said = session.for_panel("one").said.join(" ").replace('\u{a0}', " ");
    assert!(
        said.starts_with("Right eye. Examiner’s choice: ") && said.contains("the manifest refraction, for "),
        "{said}"
    );
    assert!(
        says(&session).unwrap().starts_with("Simulated patient 1: Balance lay at "),
        "{:?}",
        says(&session)
    );
    wish(&mut session, What::OneEye).unwrap();
    wish(&mut session, What::Another).unwrap();
    let next = says(&session).unwrap();
    assert!(next.starts_with("Of 1 eye so far ") && next.contains("Simulated patient 2: "), "{next}");
}

#[test]
fn a_wall_that_shows_something_else_counts_for_nothing() {
    let spoil: [fn(&mut WallSaid); 6] = [
        |said| said.whole = false,
        |said| said.fits = false,
        |said| said.visible = false,
        |said| said.shown = None,
        |said| said.shown.as_mut().unwrap().letters.swap(0, 1),
        |said| said.shown.as_mut().unwrap().red = Side::Right,
    ];
    for spoil in spoil {
        let mut session = begun();
        draw(&mut session);
        let mut said = session.wall.clone().unwrap().1.unwrap();
        spoil(&mut said);
        assert!(session.wall_said(WALL, said));
        answer(&mut session, Said::Left).unwrap_err();
        draw(&mut session);
        answer(&mut session, Said::Left).unwrap();
    }
}

#[test]
fn letters_change_with_every_question_and_sides_as_the_procedure_has_them() {
    let mut session = begun();
    let mut seen: Vec<(Vec<String>, Side)> = Vec::new();
    for said in [Said::Left, Said::Right, Said::Left] {
        draw(&mut session);
        let chart = session.picture().chart.clone().unwrap();
        assert_ne!(seen.last().map(|(names, _)| names), Some(&chart.names()));
        seen.push((chart.names(), chart.red));
        answer(&mut session, said).unwrap();
    }
    // Red, then green: the lens between decides, and is asked once more with sides swapped.
    assert_eq!(seen.iter().map(|(_, red)| *red).collect::<Vec<_>>(), [Side::Left, Side::Left, Side::Right]);
}

#[test]
fn what_answers_an_older_step_is_refused_and_changes_nothing() {
    let mut session = begun();
    draw(&mut session);
    let late = Wish { of: session.step(), what: What::Answer { answer: Said::Left } };
    session.take("one", &late, AT, "an-id").unwrap();
    draw(&mut session);
    let before = session.clone().examination().cloned();
    for _ in 0..3 {
        assert!(session.take("one", &late, AT, "an-id").unwrap_err().what.contains("earlier step"));
    }
    assert_eq!(session.examination().cloned(), before);
}

#[test]
fn one_panel_commands_and_another_takes_over_by_asking() {
    let mut session = begun();
    draw(&mut session);
    session.panel_came("two");
    let of = session.step();
    let wish = Wish { of, what: What::Answer { answer: Said::Same } };
    assert!(session.take("two", &wish, AT, "an-id").unwrap_err().what.contains("watches"));
    session.take("two", &Wish { of, what: What::TakeOver }, AT, "an-id").unwrap();
    assert!(session.take("one", &wish, AT, "an-id").unwrap_err().what.contains("watches"));
    session.take("two", &wish, AT, "an-id").unwrap();
}

#[test]
fn the_wall_is_dark_between_questions_until_the_lens_is_in() {
    let mut session = begun();
    draw(&mut session);
    wish(&mut session, What::DarkBetween { on: true }).unwrap();
    answer(&mut session, Said::Left).unwrap();
    assert_eq!(session.picture().chart, None);
    draw(&mut session);
    assert!(answer(&mut session, Said::Left).unwrap_err().what.contains("dark"));
    wish(&mut session, What::LensIn).unwrap();
    draw(&mut session);
    answer(&mut session, Said::Left).unwrap();
    // What was taken back is asked again from the dark.
    wish(&mut session, What::Undo).unwrap();
    assert_eq!(session.picture().chart, None);
}

#[test]
fn a_wall_that_waits_in_the_dark_is_lit_once_it_need_not_wait() {
    let mut session = begun();
    draw(&mut session);
    wish(&mut session, What::DarkBetween { on: true }).unwrap();
    answer(&mut session, Said::Left).unwrap();
    wish(&mut session, What::DarkBetween { on: true }).unwrap();
    assert_eq!(session.picture().chart, None);
    assert!(session.for_panel("one").ask.unwrap().covered);
    let dark = session.picture().number;
    wish(&mut session, What::DarkBetween { on: false }).unwrap();
    assert!(session.picture().chart.is_some() && session.picture().number > dark);
    draw(&mut session);
    answer(&mut session, Said::Left).unwrap();
}

#[test]
fn white_is_read_letter_by_letter_on_new_letters() {
    let mut session = begun();
    for said in [Said::Left, Said::Same, Said::Same, Said::Right, Said::Left] {
        draw(&mut session);
        if session.stage() == Stage::White {
            break;
        }
        answer(&mut session, said).unwrap();
    }
    let stage = session.stage();
    assert_eq!(stage, Stage::White, "{:?}", session.for_panel("one").ask);
    draw(&mut session);
    let view = session.for_panel("one").white.unwrap();
    // A line above the acuity before, 6/6, in the notation in which that was typed.
    assert_eq!((view.line.as_str(), view.before.as_str(), view.score.as_str()), ("6/7.5", "6/6", "6/7.5"));
    // Read whole and larger than before, it would count as worse: smaller letters come first.
    assert!(view.goes_on);
    assert!(wish(&mut session, What::TakeWhite).unwrap_err().what.starts_with("At least half of 6/7.5"));
    // A letter missed at once: whether larger ones are read comes first.
    wish(&mut session, What::Missed { letter: 1, missed: true }).unwrap();
    let next = |session: &Session| {
        let white = session.for_panel("one").white.unwrap();
        (white.line, white.goes_back, white.goes_on)
    };
    assert_eq!(next(&session), ("6/7.5".into(), true, false));
    assert!(wish(&mut session, What::TakeWhite).unwrap_err().what.contains("not read whole"));
    wish(&mut session, What::Larger).unwrap();
    draw(&mut session);
    assert_eq!(next(&session), ("6/9.5".into(), false, true));
    // Four of five on the way down are no reason to stop a line above the one that was read before; two of five are.
    wish(&mut session, What::Smaller).unwrap();
    draw(&mut session);
    wish(&mut session, What::Missed { letter: 3, missed: true }).unwrap();
    assert_eq!(next(&session), ("6/7.5".into(), false, true));
    assert!(wish(&mut session, What::TakeWhite).unwrap_err().what.starts_with("At least half of 6/7.5"));
    for letter in [0, 1] {
        wish(&mut session, What::Missed { letter, missed: true }).unwrap();
    }
    assert_eq!(next(&session), ("6/7.5".into(), false, false));
    for letter in [0, 1, 3] {
        wish(&mut session, What::Missed { letter, missed: false }).unwrap();
    }
    let first = session.picture().clone();
    wish(&mut session, What::Smaller).unwrap();
    assert_ne!(session.picture().number, first.number);
    draw(&mut session);
    assert!(!session.for_panel("one").white.unwrap().goes_on);
    for letter in [0, 2] {
        wish(&mut session, What::Missed { letter, missed: true }).unwrap();
    }
    let view = session.for_panel("one").white.unwrap();
    assert_eq!(view.score, "6/6\u{2212}2");
    assert!(view.letters[0].missed && !view.letters[1].missed);
    wish(&mut session, What::TakeWhite).unwrap();
    assert_eq!(session.stage(), Stage::Choose);
    assert_eq!(session.picture().chart, None);
}

#[test]
fn the_lens_changes_from_the_one_that_is_in_place_after_undo_too() {
    let mut session = begun();
    draw(&mut session);
    assert_eq!(session.for_panel("one").lens.unwrap().change, "put it in");
    answer(&mut session, Said::Left).unwrap();
    assert_eq!(session.for_panel("one").lens.unwrap().change, "one click minus");
    wish(&mut session, What::Undo).unwrap();
    assert_eq!(session.for_panel("one").lens.unwrap().set, "\u{2212}1.00 / \u{2212}0.50 × 90");
}

#[test]
fn patients_press_for_themselves_only_where_that_is_wanted_and_the_examiner_confirms() {
    let mut session = begun();
    draw(&mut session);
    let picture = session.picture().number;
    assert!(!session.patient_pressed(WALL, picture, Said::Right));
    wish(&mut session, What::PatientButtons { on: true }).unwrap();
    assert!(!session.patient_pressed(WALL, picture - 1, Said::Right));
    assert!(session.patient_pressed(WALL, picture, Said::Right));
    assert_eq!(session.examination().unwrap().courses[0].asked.len(), 0);
    wish(&mut session, What::Confirm).unwrap();
    assert_eq!(session.examination().unwrap().courses[0].asked[0].1, Answer::Green);
}

#[test]
fn a_form_names_the_field_that_is_wrong() {
    for (spoil, field) in [
        (StartForm { eye: String::new(), ..form() }, "eye"),
        (StartForm { manifest: "1.3x".into(), ..form() }, "manifest"),
        (StartForm { acuity: "0.5".into(), ..form() }, "acuity"),
        (StartForm { kind: "young".into(), ..form() }, "kind"),
        (StartForm { lines_above: "two".into(), ..form() }, "lines-above"),
        (StartForm { label: "a\u{7}b".into(), ..form() }, "label"),
        (StartForm { manifest: "OS -1.00".into(), ..form() }, "manifest"),
        (StartForm { manifest: "-4.25".into(), ..form() }, "vertex"),
        (StartForm { glasses_vertex: "14".into(), ..form() }, "vertex"),
        (StartForm { intended: "-0.50/-0.25x90".into(), ..form() }, "intended"),
        (StartForm { intended: "-7".into(), ..form() }, "intended"),
    ] {
        let mut session = session();
        let refused = wish(&mut session, What::Start(Box::new(spoil))).unwrap_err();
        assert_eq!(refused.field, Some(field), "{refused}");
        assert_eq!(session.stage(), Stage::Start);
    }
}

/// One eye to the end of its questions, with balance so far to minus.
fn asked_to(session: &mut Session, balance_d: f64) {
    while let Some(question) = session.question() {
        draw(session);
        let off = question.sphere.to_d() - balance_d;
        let left = (off > 0.0) == (question.red == Side::Left);
        let said = if off.abs() < 0.1 {
            Said::Same
        } else if left {
            Said::Left
        } else {
            Said::Right
        };
        answer(session, said).unwrap();
    }
}

#[test]
fn a_result_has_what_weakens_it_beside_it() {
    let mut session = begun();
    asked_to(&mut session, -1.5);
    assert!(session.for_panel("one").minds.is_empty(), "white is still to be read");
    wish(&mut session, What::White { score: "6/6".into() }).unwrap();
    let view = session.for_panel("one");
    let course = session.course().unwrap();
    // What the answers themselves show comes before what was known of eye and room.
    assert_eq!(view.cautions, course.cautions_by_weight());
    assert_eq!(view.cautions.len(), course.cautions().len());
    assert_eq!(view.minds[0], view.cautions[0].what);
    assert_eq!(view.minds.len(), 1 + usize::from(view.cautions.len() > 1), "{:?}", view.minds);
    assert!(view.minds.last().unwrap().ends_with("Options.") == (view.cautions.len() > 1));
    // They are of the wall, and none of them is of a near chart on paper.
    wish(&mut session, What::Aside { form: Some(AsideForm::Near) }).unwrap();
    let view = session.for_panel("one");
    assert_eq!((view.minds, view.cautions), (vec![], vec![]));
    wish(&mut session, What::Aside { form: None }).unwrap();
    assert!(!session.for_panel("one").minds.is_empty());
}

#[test]
fn what_is_filled_in_for_the_second_eye_says_so_and_the_light_is_that_of_the_dimmer_field() {
    let mut session = begun();
    let labels = |view: &crate::exam::PanelView| -> Vec<String> {
        view.form
            .iter()
            .map(|field| field.label.to_string())
            .filter(|label| label.contains("filled in"))
            .collect()
    };
    asked_to(&mut session, -1.5);
    wish(&mut session, What::White { score: "6/6".into() }).unwrap();
    wish(&mut session, What::Choose { choice: Choice::HereExact }).unwrap();
    let view = session.for_panel("one");
    assert_eq!(view.head, "The left eye now?");
    let filled = labels(&view);
    assert_eq!(filled.len(), 3, "{filled:?}");
    assert!(filled.iter().all(|label| label.ends_with(" (filled in as for the right eye)")), "{filled:?}");
    // Nothing is filled in for a first eye; and its light is what the report of the room has for the fields.
    let view =
        super::super::Session::new(session.room.clone(), session.letters, None, 1).unwrap().for_panel("one");
    assert_eq!(labels(&view), Vec::<String>::new());
    let fields =
        crate::report::RoomReport::new(&session.room, &session.room.primaries.spectra().unwrap()).fields;
    let dimmer = fields.unwrap().cd_m2.into_iter().fold(f64::INFINITY, f64::min);
    assert!(view.place.contains(&format!("Its fields have {dimmer:.1} cd/m²")), "{}", view.place);
}

#[test]
fn a_cylinder_that_changed_begins_the_eye_again_from_the_lens_that_was_left_in() {
    let mut session = begun();
    asked_to(&mut session, -1.5);
    let view = session.for_panel("one");
    assert!(view.said[0].starts_with("The sphere moved by 0.50 D"), "{:?}", view.said);
    assert_eq!(view.choices.last().unwrap().wish, "aside");
    let step = session.step();
    wish(&mut session, What::Aside { form: Some(AsideForm::Cylinder) }).unwrap();
    assert_eq!(session.step(), step, "a form is no step");
    let view = session.for_panel("one");
    assert_eq!((view.form[0].name, view.form_wish.0), ("cylinder", "cylinder"));
    assert!(view.white.is_none(), "nothing is scored beside it");
    let cylinder = |text: &str| What::Cylinder { cylinder: text.into() };
    for wrong in ["-0.50x90", "+0.50 x 180", "85", "-0.50x200"] {
        let refused = wish(&mut session, cylinder(wrong)).unwrap_err();
        assert_eq!(refused.field, Some("cylinder"), "{wrong}: {refused}");
    }
    wish(&mut session, cylinder("-1.00x85")).unwrap();
    // By hand: −1.50/−0.50 is worth −1.75, and so is −1.25/−1.00.
    let lens = session.for_panel("one").lens.unwrap();
    assert_eq!(lens.set, "−1.25 / −1.00 × 85");
    asked_to(&mut session, -1.25);
    wish(&mut session, What::White { score: "6/6".into() }).unwrap();
    let said = session.for_panel("one").said.join(" ");
    assert!(
        said.contains(
            "Both runs together, from the first manifest, as sphere beside the last cylinder: estimated"
        ),
        "{said}"
    );
}

#[test]
fn both_eyes_and_near_are_noted_from_the_panel() {
    let mut session = begun();
    for (eye, balance_d) in [("right", -1.0), ("left", -1.25)] {
        if eye == "left" {
            let left = StartForm {
                eye: eye.into(),
                kind: "accommodating".into(),
                procedure: "from-plus".into(),
                ..form()
            };
            wish(&mut session, What::Start(Box::new(left))).unwrap();
        }
        asked_to(&mut session, balance_d);
        wish(&mut session, What::White { score: "6/6".into() }).unwrap();
        wish(&mut session, What::Choose { choice: Choice::HereQuarter }).unwrap();
    }
    let lens = |session: &Session| session.for_panel("one").lens.map(|lens| lens.set.replace('\u{a0}', " "));
    assert_eq!(lens(&session), None);
    wish(&mut session, What::Apart { apart: Apart::Cover }).unwrap();
    assert_eq!(lens(&session).unwrap(), "R +1.00 L +1.00");
    let compared = What::Compared { clearer: Clearer::Left };
    assert!(wish(&mut session, compared.clone()).is_err(), "the wall shows nothing yet");
    draw(&mut session);
    assert!(!session.for_panel("one").white.unwrap().counts);
    wish(&mut session, compared).unwrap();
    assert_eq!(lens(&session).unwrap(), "R +1.00 L +1.25");
    draw(&mut session);
    wish(&mut session, What::Compared { clearer: Clearer::Right }).unwrap();
    let choices = session.for_panel("one").choices;
    assert_eq!([choices[0].wish, choices[1].wish], ["leads"; 2]);
    wish(&mut session, What::Leads { eye: Laterality::Right }).unwrap();
    assert_eq!(lens(&session).unwrap(), "R 0.00 L +0.25", "the right eye, which leads, is the clearer one");
    for (score, lenses) in [("6/6", "R +0.25 L +0.50"), ("6/7.5", "R 0.00 L +0.25")] {
        wish(&mut session, What::White { score: score.into() }).unwrap();
        assert_eq!(lens(&session).unwrap(), lenses, "after {score}");
    }
    wish(&mut session, What::White { score: "6/5".into() }).unwrap();
    assert_eq!(wish(&mut session, What::Framed { sphere: "0.3".into() }).unwrap_err().field, Some("sphere"));
    // Far away means a lens for far away. By hand: −1.00 at 3.2 m, whose vergence is 0.3125 D, is −1.25 there; and the left eye has
    // the click of comparing.
    let said = session.for_panel("one").said.join(" ").replace('\u{a0}', " ");
    assert!(said.contains("into the frame: right −1.25 / −0.50 × 90, left −1.00 / −0.50 × 90."), "{said}");
    assert!(session.for_panel("one").lens.is_none() && !said.contains("in this room"), "{said}");
    wish(&mut session, What::Framed { sphere: "0".into() }).unwrap();
    assert_eq!(session.stage(), Stage::Closed);
    let near = NearForm { near_distance: "40".into(), add: "+1.00".into(), ..NearForm::default() };
    for (wrong, field) in [
        (NearForm { near_distance: "4".into(), ..near.clone() }, "near-distance"),
        (NearForm { add: "1.00".into(), ..near.clone() }, "add"),
        (NearForm { clear: "33".into(), ..near.clone() }, "clear"),
        (NearForm { clear: "50, 33".into(), ..near.clone() }, "clear"),
        (NearForm { near_acuity: "0.5".into(), ..near.clone() }, "near-acuity"),
    ] {
        assert_eq!(wish(&mut session, What::Near(Box::new(wrong))).unwrap_err().field, Some(field));
    }
    wish(&mut session, What::Near(Box::new(near))).unwrap();
    let said = session.for_panel("one").said.join(" ").replace('\u{a0}', " ");
    // By hand: −1.25 gained the left eye, which accommodates, no letters, so its manifest of −1.00 stood; a click of comparing to
    // that one, nothing by sphere and frame.
    assert!(said.contains("Right eye: −1.00 / −0.50 × 90, test distance, nearest quarter. Left eye: −0.75 / −0.50 × 90 (−1.00 / −0.50 × 90, the manifest, test distance, nearest quarter; +0.25 D with both eyes open)."), "{said}");
    assert!(said.contains("Acuity with both: 6/5.") && said.contains("Near add +1.00 D at 40 cm"), "{said}");
}

#[test]
fn a_message_with_a_name_that_nobody_knows_is_none() {
    let read = |text: &str| serde_json::from_str::<Wish>(text);
    assert!(read(r#"{"of":1,"do":"answer","answer":"left"}"#).is_ok());
    assert!(read(r#"{"of":1,"do":"start","eye":"right","lines-above":"3"}"#).is_ok());
    for text in [
        r#"{"do":"undo"}"#,
        r#"{"of":-1,"do":"undo"}"#,
        r#"{"of":1,"do":"answer","answer":"left","sure":true}"#,
        r#"{"of":1,"do":"start","eye":"right","name":"somebody"}"#,
        r#"{"of":1,"do":"guess"}"#,
        r#"{"of":1}"#,
    ] {
        assert!(read(text).is_err(), "{text}");
    }
}

#[test]
fn an_estimate_is_shown_with_the_answers_that_it_was_worked_out_from() {
    let mut session = begun();
    let mut asked = 0;
    while let Some(question) = session.question() {
        assert_eq!(session.to_estimate(), None, "not before the questions are at their end");
        draw(&mut session);
        let clearer = if question.sphere.to_d() > -1.2 { Side::Left } else { Side::Right };
        let said = if question.red == clearer { Said::Left } else { Said::Right };
        answer(&mut session, said).unwrap();
        asked += 1;
    }
    assert!(asked > 1);
    wish(&mut session, What::White { score: "6/6".into() }).unwrap();
    assert_eq!(session.stage(), Stage::Choose);
    assert_eq!(session.for_panel("one").estimate, None);
    let course = session.to_estimate().unwrap();
    let said = course.estimate_in_words().unwrap();
    session.estimated(course, said.clone());
    assert_eq!((session.to_estimate(), session.for_panel("one").estimate), (None, Some(said.clone())));
    // A touch to the side before is no answer of the same eye any more.
    for _ in 0..2 {
        wish(&mut session, What::Undo).unwrap();
    }
    draw(&mut session);
    answer(&mut session, Said::Same).unwrap();
    while session.question().is_some() {
        draw(&mut session);
        answer(&mut session, Said::Same).unwrap();
    }
    wish(&mut session, What::White { score: "6/6".into() }).unwrap();
    assert_eq!(session.for_panel("one").estimate, None);
    assert!(session.to_estimate().is_some());
}

/// From the first question to the next patient.
fn to_the_next_patient(session: &mut Session) {
    asked_to(session, -1.5);
    wish(session, What::White { score: "6/6".into() }).unwrap();
    wish(session, What::Choose { choice: Choice::FarQuarter }).unwrap();
    wish(session, What::OneEye).unwrap();
    while session.stage() != Stage::Closed {
        wish(session, What::Binocular { done: false }).unwrap();
    }
    wish(session, What::Another).unwrap();
}

#[test]
fn open_examinations_are_offered_until_they_are_at_their_end_and_so_are_those_that_came_meanwhile() {
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("r.jsonl");
    let begin = |session: &mut Session, id: &str| {
        let start = Wish { of: session.step(), what: What::Start(Box::new(form())) };
        session.take("one", &start, AT, id).unwrap();
    };
    let offered = |session: &Session| -> Vec<String> {
        let choices = session.for_panel("one").choices.into_iter().filter(|one| one.wish == "resume");
        choices.map(|one| one.with.unwrap().1.as_str().unwrap().to_owned()).collect()
    };
    let [mut here, mut there] = [1000, 5000].map(|first| session_in(Some(&record), first));
    begin(&mut here, "first");
    begin(&mut there, "of another program");
    to_the_next_patient(&mut here);
    assert_eq!(offered(&here), ["of another program"]);
    // Nobody else wrote, so the record is not gone through again.
    begin(&mut here, "second");
    to_the_next_patient(&mut here);
    assert_eq!(offered(&here), ["of another program"]);
    wish(&mut here, What::Resume { id: "of another program".into() }).unwrap();
    to_the_next_patient(&mut here);
    assert_eq!(offered(&here), [""; 0]);
    // Another program goes on with what is at its end here.
    begin(&mut here, "third");
    let mut there = Recorder::again(&record, Some("second")).unwrap();
    there.happen(Event::Undone, AT).unwrap();
    to_the_next_patient(&mut here);
    assert_eq!(offered(&here), ["second"]);
}
