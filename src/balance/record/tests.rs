use super::*;
use crate::balance::{Answer, Choice, examination::example};

const AT: &str = "2026-11-25T10:00:00Z";

/// A whole examination of one eye as a record.
fn whole(id: &str) -> (Kept, String) {
    let mut kept = Kept::new(id.into());
    let answers = [Answer::Red, Answer::Green, Answer::Green].map(Event::Answered);
    let events = [Event::Started(Box::new(example()))].into_iter().chain(answers).chain([
        Event::White("20/20".parse().unwrap()),
        Event::Chosen(Choice::FarQuarter),
        Event::OneEyeOnly,
    ]);
    let lines: Vec<String> = events.map(|event| kept.take(event, AT).unwrap() + "\n").collect();
    (kept, lines.concat())
}

#[test]
fn a_record_gives_the_examination_back() {
    let (kept, text) = whole("a");
    let records = Records::read(&text);
    assert_eq!(records.problems, []);
    assert_eq!(records.kept, [kept]);
    assert!(!records.kept[0].is_open());
}

#[test]
fn every_line_is_json_and_names_the_eye() {
    let (_, text) = whole("a");
    for line in text.lines() {
        let value: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(value["eye"], "right");
    }
}

#[test]
fn two_examinations_may_share_a_record_line_by_line() {
    let ((one, first), (other, second)) = (whole("a"), whole("b"));
    let mixed: String =
        first.lines().zip(second.lines()).flat_map(|(one, other)| [one, "\n", other, "\n"]).collect();
    let records = Records::read(&mixed);
    assert_eq!((records.problems, records.kept), (vec![], vec![one, other]));
}

#[test]
fn whatever_was_done_to_a_line_is_told_by_line() {
    let (_, text) = whole("a");
    let lines: Vec<&str> = text.lines().collect();
    let told = |lines: &[&str]| {
        let problems = Records::read(&lines.join("\n")).problems;
        problems.into_iter().map(|problem| (problem.line, problem.what)).collect::<Vec<_>>()
    };
    let one = |lines: &[&str], line: usize, words: &str| {
        let told = told(lines);
        assert!(told.len() == 1 && told[0].0 == line && told[0].1.contains(words), "{told:?}");
    };
    // Another answer that fits as well, and another lens beside it.
    let edited = lines[1].replace("\"answered\":\"red\"", "\"answered\":\"unsure\"");
    assert_ne!(edited, lines[1]);
    one(&[lines[0], &edited], 2, "was changed");
    let lens = lines[1].replace("\"sphere_d\":-1.0", "\"sphere_d\":-2.0");
    assert_ne!(lens, lines[1]);
    one(&[&[lines[0], &lens], &lines[2..]].concat(), 2, "was changed");
    // Cut anywhere.
    for end in [1, lines[6].len() / 2, lines[6].len() - 1] {
        one(&[&lines[..6], &[&lines[6][..end]]].concat(), 7, "left out");
    }
    // A line taken out.
    assert!(
        told(&[&lines[..2], &lines[3..]].concat())[0].1.contains("does not fit")
            || told(&[&lines[..2], &lines[3..]].concat())[0].1.contains("missing")
    );
    one(&[&lines[..1], &["nonsense"], &lines[1..]].concat(), 2, "no line of a record");
}

/// The lines of an examination under another name, with sums that hold.
fn signed(text: &str, id: &str) -> String {
    let renamed = |line: &str| {
        let (body, _) = split(line).unwrap();
        let body = body.replace("\"examination\":\"a\"", &format!("\"examination\":\"{id}\""));
        format!("{}{SUM}{}\"}}\n", &body[..body.len() - 1], sum_of(&body))
    };
    text.lines().map(renamed).collect()
}

#[test]
fn rules_that_no_eye_may_be_asked_by_are_told_and_left_out() {
    let (_, text) = whole("a");
    let illegal = text
        .replace("\"kind\":\"presbyopic\"", "\"kind\":\"accommodating\"")
        .replace("\"procedure\":\"from-plus\"", "\"procedure\":\"bracket\"");
    assert_ne!(illegal, text);
    let first = &Records::read(&signed(&illegal, "a")).problems[0];
    let told = (first.line, first.what.contains("(the bracket is not for an eye that accommodates"));
    assert_eq!(told, (1, true), "{first:?}");
}

#[test]
fn words_and_events_of_a_record_are_bounded() {
    let (_, text) = whole("a");
    let long = "x".repeat(MOST_OF_A_NAME + 1);
    let told = |text: &str| Records::read(text).problems;
    for id in [long.as_str(), "\\u001b[2J"] {
        let problems = told(&signed(&text, id));
        assert_eq!(problems.len(), 7, "{problems:?}");
        assert!(problems.iter().all(|one| one.what.contains("a name or a time that has")), "{problems:?}");
    }
    let start = text.lines().next().unwrap();
    for label in [long.as_str(), "\\u001b[2J", "a\\nb", "a\\ufffeb"] {
        let problem = &told(&start.replace("drawer 3, top", label))[0].what;
        assert!(problem.contains("the label has") && !problem.contains("xxx"), "{problem}");
    }
    let huge = start.replace("drawer 3, top", &"x".repeat(MOST_BYTES_OF_A_LINE));
    assert!(told(&huge)[0].what.contains("bytes"));
    // Answers that are taken back for ever.
    let mut kept = Kept::new("b".into());
    kept.take(Event::Started(Box::new(example())), AT).unwrap();
    let mut events = [Event::Answered(Answer::Red), Event::Undone].into_iter().cycle();
    let refused = events.by_ref().take(2 * MOST_EVENTS).find_map(|event| kept.take(event, AT).err());
    assert_eq!((refused, kept.events.len()), (Some(super::super::Misfit::TooMany), MOST_EVENTS));
}

#[test]
fn a_record_is_known_by_its_lines_however_they_were_cut() {
    let (_, text) = whole("a");
    let line = text.lines().next().unwrap();
    assert!((0..line.len()).all(|end| Records::can_be(&line[..end])));
    for other in ["hello", "{\n\"a\": 1\n}", "{\"a\": 1}", "[1]"] {
        assert!(!Records::can_be(other), "{other}");
    }
}

#[test]
fn a_cut_line_costs_only_itself() {
    let (_, text) = whole("a");
    let cut = &text[..text.trim_end().len() - 5];
    let records = Records::read(cut);
    assert_eq!(records.problems.len(), 1);
    assert_eq!(records.kept[0].events.len(), 6);
}

#[test]
fn a_writer_sees_whether_another_has_gone_on() {
    let (kept, text) = whole("a");
    assert_eq!(kept.is_last_in(&text), Some(true));
    assert_eq!(kept.is_last_in(text.lines().last().unwrap()), Some(true));
    // Its file was taken away meanwhile, or only lines of others are looked at.
    assert_eq!([kept.is_last_in(""), kept.is_last_in(&whole("b").1)], [None, None]);
    let mut behind = Kept::new("a".into());
    behind.take(Event::Started(Box::new(example())), AT).unwrap();
    assert_eq!(behind.is_last_in(&text), Some(false));
    assert_eq!(behind.is_last_in(text.lines().next().unwrap()), Some(true));
    assert_eq!(Kept::new("b".into()).is_last_in(&text), Some(true));
    assert_eq!(Kept::new("a".into()).is_last_in(&text), Some(false));
}

#[test]
fn the_table_has_a_line_for_each_event() {
    let (_, text) = whole("a");
    let csv = Records::read(&text).csv();
    assert_eq!(csv.lines().count(), 8);
    assert!(
        csv.contains(
            "a,2026-11-25T10:00:00Z,right,answered,-1.2500,-0.2500,20/32,left,green,\"drawer 3, top\""
        ),
        "{csv}"
    );
    // Where balance lies stands with the answer that ends the questions, and with nothing else.
    let records = Records::read(&text);
    let found = records.kept[0].examination.courses[0].whereabouts().unwrap();
    let cells = format!(
        ",{:.4},{:.4},{:.4},{:.4}",
        found.balance.to_d(),
        found.low.to_d(),
        found.high.to_d(),
        found.within_a_click.unwrap()
    );
    let with: Vec<&str> = csv.lines().filter(|line| line.ends_with(&cells)).collect();
    assert!(matches!(with[..], [line] if line.contains(",answered,")), "{cells}: {csv}");
    assert_eq!(csv.lines().filter(|line| line.ends_with(",,,,")).count(), 8 - 2, "{csv}");
}

/// Kept by the first version of the procedure, before records carried a version. It must be read for ever.
const OLD: &str = include_str!("../../../tests/data/balances-procedure-1.jsonl");

#[test]
fn an_old_record_is_read_and_says_where_it_was_asked_otherwise() {
    let records = Records::read(OLD);
    let told: Vec<(usize, bool)> = records
        .problems
        .iter()
        .map(|problem| (problem.line, problem.what.contains("was kept by version 1 of the procedure")))
        .collect();
    // Worked by hand: the first names no lens for its choices; the second, at 20/100, was asked a click at a time where two
    // are asked today; the third, 1.25 D from the manifest behind a small aperture, would be asked a second time.
    assert_eq!(records.kept.len(), 3);
    assert!(told.iter().all(|(_, by_version)| *by_version), "{:?}", records.problems);
    for (kept, line) in records.kept.iter().zip([6, 21, 32]) {
        assert_eq!((kept.version, kept.differs), (1, Some(line)), "{:?}", records.problems);
        assert!(!kept.is_of_today() && kept.spoilt.is_empty());
        let warning = kept.warning().unwrap();
        assert!(warning.contains("version 1") && warning.contains(&format!("line {line} ")), "{warning}");
    }
    // The kind that is now called accommodating was called young.
    assert_eq!(records.kept[0].examination.courses[1].start.kind, crate::balance::EyeKind::Accommodating);
}

/// Kept by the second version: an eye that was asked from plus, and one that was asked the adaptive way.
const OF_VERSION_2: &str = include_str!("../../../tests/data/balances-procedure-2.jsonl");

#[test]
fn an_adaptive_record_of_the_second_version_says_where_another_lens_would_be_asked() {
    let records = Records::read(OF_VERSION_2);
    // Rules of the trade are what they were. After green the adaptive way goes farther now, since a manifest may be far off: the
    // second answer of the second examination, line 10, was given to another lens.
    let differs: Vec<_> = records.kept.iter().map(|kept| (kept.version, kept.differs)).collect();
    assert_eq!(differs, [(2, None), (2, Some(10))], "{:?}", records.problems);
    assert!(records.kept.iter().all(|kept| !kept.is_of_today() && kept.spoilt.is_empty()));
}

/// Kept by the third version: a bracket, and an eye in which green was clearer five times and the patient once could not tell.
const OF_VERSION_3: &str = include_str!("../../../tests/data/balances-procedure-3.jsonl");

#[test]
fn a_lens_that_the_third_version_left_in_without_a_change_is_not_shown() {
    let records = Records::read(OF_VERSION_3);
    // Today nothing is decided by such answers, so the white of line 17 finds no lens to be read through; and after "cannot
    // tell" another lens is asked, line 13.
    let differs: Vec<_> = records.kept.iter().map(|kept| (kept.version, kept.differs)).collect();
    assert_eq!(differs, [(3, None), (3, Some(13))], "{:?}", records.problems);
    assert!(records.kept.iter().all(|kept| !kept.is_of_today() && kept.spoilt.is_empty()));
    assert_eq!(records.kept[1].examination.courses[0].left_in(), None);
}

/// Kept by the fourth version: a bracket, and an eye in which red was clearer twice and the patient then could not tell.
const OF_VERSION_4: &str = include_str!("../../../tests/data/balances-procedure-4.jsonl");

#[test]
fn a_lens_that_the_fourth_version_left_in_against_clear_answers_is_not_shown() {
    let records = Records::read(OF_VERSION_4);
    // What is asked after "cannot tell", line 14, is another lens now; what came before is not.
    let differs: Vec<_> = records.kept.iter().map(|kept| (kept.version, kept.differs)).collect();
    assert_eq!(differs, [(4, None), (4, Some(14))], "{:?}", records.problems);
    assert!(records.kept.iter().all(|kept| !kept.is_of_today() && kept.spoilt.is_empty()));
    let [same, other] = [0, 1].map(|kept: usize| records.kept[kept].as_far_as_it_agrees());
    assert!(same.is_none());
    // The start and three answers; what was said to other lenses is not in it.
    assert_eq!(other.unwrap().examination.courses[0].asked.len(), 3);
    let [first, second] = [0, 1].map(|kept: usize| records.kept[kept].id.clone());
    assert_eq!(records.named(&second).map(|kept| &kept.id), Some(&second));
    assert!(first != second && records.named("nobody").is_none());
    // It left in the manifest, −1.00 D, though red was clearer at −1.25 D.
    assert!(OF_VERSION_4.contains(r#""asked":{"sphere_d":-1.25,"change_d":-0.25,"line":"20/32","red":"right"},"event":{"answered":"red"}"#));
    assert!(OF_VERSION_4.contains(r#""chosen_d":-1.0,"event":{"chosen":"here-exact"}"#));
    assert_eq!(records.kept[1].examination.courses[0].left_in(), None);
}

/// Kept by the fifth version: a bracket, and an eye that could not tell through +0.50 D and was then asked through +1.00 D.
const OF_VERSION_5: &str = include_str!("../../../tests/data/balances-procedure-5.jsonl");

#[test]
fn what_the_fifth_version_asked_after_cannot_tell_is_told_apart() {
    let records = Records::read(OF_VERSION_5);
    let differs: Vec<_> = records.kept.iter().map(|kept| (kept.version, kept.differs)).collect();
    assert_eq!(differs, [(5, None), (5, Some(12))], "{:?}", records.problems);
    assert!(records.kept.iter().all(|kept| !kept.is_of_today() && kept.spoilt.is_empty()));
    assert!(OF_VERSION_5.contains(r#""asked":{"sphere_d":1.0,"change_d":1.0,"line":"20/40","red":"right"}"#));
}

#[test]
fn a_record_of_today_is_held_to_what_was_asked() {
    let (kept, text) = whole("a");
    assert!(kept.is_of_today() && kept.differs.is_none());
    // As if another procedure of the same version had asked with another line.
    let lines: Vec<String> = text
        .lines()
        .map(|line| resealed(&line.replace("\"line\":\"20/32\"", "\"line\":\"20/40\"")))
        .collect();
    let records = Records::read(&lines.join("\n"));
    assert_eq!(records.kept[0].differs, Some(2));
    assert_eq!(records.problems.len(), 3, "{:?}", records.problems);
}

/// A line with a sum that fits it.
fn resealed(line: &str) -> String {
    let (body, _) = split(line).unwrap();
    format!("{}{SUM}{}\"}}", &body[..body.len() - 1], sum_of(&body))
}

#[test]
fn text_is_no_formula() {
    assert_eq!(csv_cell("=1+1"), "'=1+1");
    assert_eq!(csv_cell("a \"b\", c"), "\"a \"\"b\"\", c\"");
}

#[test]
fn a_lens_a_line_or_a_side_that_today_asks_otherwise_is_told_each() {
    let (kept, text) = whole("a");
    let lines: Vec<&str> = text.lines().collect();
    // The second question lies a click to minus of the manifest of −1.00 D.
    for (was, other) in [
        ("\"sphere_d\":-1.25", "\"sphere_d\":-1.5"),
        ("\"change_d\":-0.25", "\"change_d\":-0.5"),
        ("\"line\":\"20/32\"", "\"line\":\"20/40\""),
        ("\"red\":\"left\",", "\"red\":\"right\","),
        ("\"red\":\"left\"}", "\"red\":\"right\"}"),
    ] {
        let edited = lines[2].replace(was, other);
        if edited == lines[2] {
            assert!(was.contains("red"), "{was} is not in {}", lines[2]);
            continue;
        }
        let records =
            Records::read(&signed(&[&lines[..2], &[&edited], &lines[3..]].concat().join("\n"), "a"));
        let told: Vec<usize> = records.problems.iter().map(|problem| problem.line).collect();
        assert_eq!(told, [3], "{was}: {:?}", records.problems);
        assert!(records.problems[0].what.contains("asks with another lens, line or side"), "{was}");
        // It agrees as far as the line before: the eye that began and its first answer.
        let agreed = records.kept[0].as_far_as_it_agrees().unwrap();
        assert_eq!((agreed.events.len(), agreed.at.len()), (2, 2), "{was}");
        assert_eq!(agreed.events[..], kept.events[..2]);
    }
    assert!(Records::read(&text).kept[0].as_far_as_it_agrees().is_none());
}

#[test]
fn a_line_that_does_not_fit_is_told_by_the_version_that_kept_it() {
    let (_, text) = whole("a");
    let lines: Vec<&str> = text.lines().collect();
    // Acuity on white before any answer.
    let early = [lines[0], lines[4]].join("\n");
    let told = |text: &str| Records::read(text).problems.into_iter().map(|one| one.what).collect::<Vec<_>>();
    let today = told(&early);
    assert!(today.len() == 1 && today[0].contains("does not fit what stands before it"), "{today:?}");
    let old = early.replace(&format!("\"procedure\":{PROCEDURE_VERSION},"), "\"procedure\":1,");
    assert_ne!(old, early);
    let kept = told(&signed(&old, "a"));
    assert!(kept.len() == 1 && kept[0].contains("was kept by version 1"), "{kept:?}");
    // With a sum that does not hold nobody knows who wrote it.
    let changed = told(&old);
    assert!(changed.iter().any(|one| one.contains("does not fit what stands before it")), "{changed:?}");
}

#[test]
fn a_line_of_another_form_is_left_out() {
    let (_, text) = whole("a");
    let first = text.lines().next().unwrap();
    let form = format!("\"evenfield_balance\":{FORM}");
    let other = first.replace(&form, "\"evenfield_balance\":99");
    assert_ne!(other, first);
    let records = Records::read(&signed(&other, "a"));
    assert!(records.kept.is_empty() && records.problems[0].what.contains("has form 99"), "{records:?}");
}
