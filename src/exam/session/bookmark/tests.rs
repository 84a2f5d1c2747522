//! A program that ends at any moment and begins again: what stood between two entries stands again.

use std::path::PathBuf;

use crate::exam::session::tests::{AT, answer, begun_in, draw, session_in, wish};
use crate::exam::{PanelView, Recorder, Said, Session, WallStatus, What};

/// Before everything in these tests, and after it.
const LONG_AGO: &str = "2026-03-31T09:00:00Z";
const LATER: &str = "2026-03-31T10:00:00Z";

struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn record(&self) -> PathBuf {
        self.folder.path().join("r.jsonl")
    }

    fn bookmark(&self) -> PathBuf {
        self.folder.path().join("r.jsonl.bookmark")
    }

    /// Another program, in which nothing is left of the one before.
    fn again(&self) -> Session {
        let mut session = session_in(Some(&self.record()), 900_000);
        session.come_back(LONG_AGO);
        session
    }

    fn begun(&self) -> Session {
        begun_in(Some(&self.record()))
    }
}

/// All that a panel shows but the number of the step and what the wall says, which is another window.
fn shown(session: &Session) -> PanelView {
    PanelView { step: 0, wall: WallStatus::default(), ..session.for_panel("one") }
}

/// To where white is read, in this many letters' time.
fn to_white(session: &mut Session) {
    for said in [Said::Left, Said::Same, Said::Same, Said::Right] {
        draw(session);
        if session.for_panel("one").white.is_none() {
            answer(session, said).unwrap();
        }
    }
    draw(session);
    assert!(session.for_panel("one").white.is_some());
}

#[test]
fn everything_stands_again_after_each_wish() {
    let desk = Desk::new();
    let mut session = desk.begun();
    let wishes = [
        What::Write { notation: "decimal".into() },
        What::PatientButtons { on: true },
        What::NewLetters,
        What::DarkBetween { on: true },
        What::Answer { answer: Said::Left },
        What::LensIn,
        What::Answer { answer: Said::Same },
        What::Undo,
        What::LensIn,
        What::NewLetters,
        What::Answer { answer: Said::Same },
        What::LensIn,
        What::Answer { answer: Said::Same },
        What::Missed { letter: 1, missed: true },
        What::Missed { letter: 1, missed: false },
        What::Smaller,
        What::Missed { letter: 0, missed: true },
        What::Missed { letter: 3, missed: true },
        What::NewLetters,
        What::Larger,
        What::Smaller,
        What::Missed { letter: 2, missed: true },
        What::TakeWhite,
        What::Undo,
    ];
    for what in wishes {
        draw(&mut session);
        wish(&mut session, what.clone()).unwrap_or_else(|refused| panic!("{what:?}: {refused}"));
        let again = desk.again();
        assert_eq!(shown(&again), shown(&session), "{what:?}");
        assert_eq!(again.picture().chart, session.picture().chart, "{what:?}");
    }
}

#[test]
fn it_goes_on_from_the_marks_and_not_only_shows_them() {
    let desk = Desk::new();
    let mut before = desk.begun();
    to_white(&mut before);
    for what in [What::Smaller, What::Missed { letter: 4, missed: true }] {
        wish(&mut before, what).unwrap();
        draw(&mut before);
    }
    let mut session = desk.again();
    draw(&mut session);
    wish(&mut session, What::TakeWhite).unwrap();
    // A line above 6/6, whole, and four of the five letters of 6/6.
    let white = &session.examination().unwrap().courses[0].white;
    assert_eq!(white.iter().map(ToString::to_string).collect::<Vec<_>>(), ["6/6\u{2212}1"]);
}

#[test]
fn a_bookmark_of_another_moment_brings_back_only_the_options() {
    let desk = Desk::new();
    let mut session = desk.begun();
    to_white(&mut session);
    wish(&mut session, What::Missed { letter: 0, missed: true }).unwrap();
    wish(&mut session, What::PatientButtons { on: true }).unwrap();
    let kept = std::fs::read(desk.bookmark()).unwrap();
    // Another program takes the last answer back and gives it again.
    let mut other = Recorder::resume(&desk.record(), None).unwrap();
    let answer = other.kept.events.last().unwrap().clone();
    other.happen(crate::balance::Event::Undone, AT).unwrap();
    other.happen(answer, AT).unwrap();
    std::fs::write(desk.bookmark(), kept).unwrap();
    let view = desk.again().for_panel("one");
    assert!(view.patient_buttons);
    assert!(view.white.unwrap().letters.iter().all(|letter| !letter.missed));
}

#[test]
fn marks_are_dropped_where_other_letters_would_stand_for_them() {
    let desk = Desk::new();
    let mut session = desk.begun();
    to_white(&mut session);
    wish(&mut session, What::Missed { letter: 0, missed: true }).unwrap();
    let text = std::fs::read_to_string(desk.bookmark()).unwrap();
    let stood = serde_json::to_string(&session.picture().chart.as_ref().unwrap().names()).unwrap();
    for other in [r#"["C","D","H","K","N"]"#, "[]"] {
        let spoilt = text.replace(&stood, other);
        assert_ne!(spoilt, text);
        std::fs::write(desk.bookmark(), spoilt).unwrap();
        let view = desk.again().for_panel("one").white.unwrap();
        assert!(view.letters.iter().all(|letter| !letter.missed), "{view:?}");
    }
}

#[test]
fn a_damaged_bookmark_is_left_out_and_told_and_stops_nothing() {
    let whole = {
        let desk = Desk::new();
        wish(&mut desk.begun(), What::DarkBetween { on: true }).unwrap();
        std::fs::read_to_string(desk.bookmark()).unwrap()
    };
    for text in [
        "",
        "a shopping list",
        &whole[..whole.len() / 2],
        &whole.replace("{\"evenfield_bookmark\":1", "{\"evenfield_bookmark\":2"),
        &whole.replace("\"notation\"", "\"name\""),
        &"a".repeat(1 << 17),
    ] {
        let desk = Desk::new();
        drop(desk.begun());
        std::fs::write(desk.bookmark(), text).unwrap();
        let session = desk.again();
        let view = session.for_panel("one");
        assert_eq!((view.stage, view.dark_between), ("ask", false));
        assert!(session.not_read().unwrap().contains("r.jsonl.bookmark"), "{text}");
        assert!(view.record.contains("are not taken from it"), "{}", view.record);
    }
}

#[test]
fn a_bookmark_that_cannot_be_written_stops_nothing_and_is_told() {
    let desk = Desk::new();
    std::fs::create_dir(desk.bookmark()).unwrap();
    let mut session = desk.begun();
    wish(&mut session, What::DarkBetween { on: true }).unwrap();
    draw(&mut session);
    answer(&mut session, Said::Left).unwrap();
    let told = |session: &Session| session.for_panel("one").record.contains("would be lost");
    assert!(told(&session));
    // It is tried again at the next wish, even where that changes nothing.
    std::fs::remove_dir(desk.bookmark()).unwrap();
    wish(&mut session, What::DarkBetween { on: true }).unwrap();
    assert!(!told(&session) && desk.again().for_panel("one").dark_between);
}

#[test]
fn numbers_that_no_lens_and_no_line_has_are_left_out() {
    let desk = Desk::new();
    let mut session = desk.begun();
    draw(&mut session);
    answer(&mut session, Said::Left).unwrap();
    let text = std::fs::read_to_string(desk.bookmark()).unwrap();
    assert!(text.contains("\"lens_before_d\":-1.0"), "{text}");
    std::fs::write(desk.bookmark(), text.replace("\"lens_before_d\":-1.0", "\"lens_before_d\":1e300"))
        .unwrap();
    assert_eq!(desk.again().for_panel("one").lens.unwrap().change, "put it in");
}

/// To the end of an examination of one eye.
fn finish(session: &mut Session) {
    to_white(session);
    let choose = What::Choose { choice: crate::balance::Choice::FarQuarter };
    for what in [What::Smaller, What::TakeWhite, choose, What::OneEye] {
        wish(session, what).unwrap();
        draw(session);
    }
    assert_eq!(session.for_panel("one").stage, "closed");
}

#[test]
fn a_finished_examination_stands_again_only_where_it_was_in_hand() {
    let desk = Desk::new();
    let mut session = desk.begun();
    finish(&mut session);
    assert_eq!(shown(&desk.again()), shown(&session));
    wish(&mut session, What::DarkBetween { on: true }).unwrap();
    wish(&mut session, What::Another).unwrap();
    // The next patient's panel, which offers what ended just now, and keeps the options.
    let mut again = desk.again();
    let view = again.for_panel("one");
    assert_eq!((view.stage, view.dark_between), ("start", true));
    assert!(view.choices[0].words.contains("ended just now"), "{:?}", view.choices);
    wish(&mut again, What::Resume { id: "an-id".into() }).unwrap();
    assert_eq!(again.for_panel("one").stage, "closed");
    wish(&mut again, What::Undo).unwrap();
    assert_eq!(again.for_panel("one").stage, "left_eye");
}

#[test]
fn what_a_terminal_finished_is_offered_and_what_it_left_open_goes_on() {
    let desk = Desk::new();
    finish(&mut desk.begun());
    std::fs::remove_file(desk.bookmark()).unwrap();
    let view = desk.again().for_panel("one");
    assert_eq!((view.stage, view.choices[0].wish), ("start", "resume"));
    let mut other = Recorder::again(&desk.record(), Some("an-id")).unwrap();
    other.happen(crate::balance::Event::Undone, AT).unwrap();
    assert_eq!(desk.again().for_panel("one").stage, "left_eye");
}

#[test]
fn what_happened_long_ago_is_offered_with_its_marks() {
    let desk = Desk::new();
    let mut before = desk.begun();
    to_white(&mut before);
    wish(&mut before, What::Missed { letter: 0, missed: true }).unwrap();
    let mut session = session_in(Some(&desk.record()), 900_000);
    session.come_back(LATER);
    assert_eq!(session.for_panel("one").stage, "start");
    // What is set meanwhile loses no mark.
    wish(&mut session, What::PatientButtons { on: true }).unwrap();
    wish(&mut session, What::Resume { id: "an-id".into() }).unwrap();
    assert!(session.for_panel("one").white.unwrap().letters[0].missed);
    assert!(Session::place_before(&desk.record(), LATER).is_none());
    assert_eq!(Session::place_before(&desk.record(), LONG_AGO), Some(session.place.clone()));
}
