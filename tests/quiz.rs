//! Sheets of questions for a class: whatever the seed, one choice is right, no two questions are alike, all fits on its page.

use std::collections::HashSet;

use crate::common::rooms::wordy;
use crate::common::{Desk, asked};
use evenfield::acuity::Acuity;
use evenfield::balance::words;
use evenfield::chart::{self, Request};
use evenfield::light::Side;
use evenfield::print::{Answered, Lesson, Paper, Question, Quiz};
use evenfield::quantity::{Dioptres, Length};
use evenfield::room::Room;
use evenfield::scene::{Geometry, Scene};
use kurbo::{Rect, Shape as _};

const SEEDS: u64 = 200;

fn all_of(question: &Question) -> Vec<&str> {
    match &question.answer {
        Answered::Choice { all, .. } => all.iter().map(String::as_str).collect(),
        Answered::Number { value, .. } => vec![value],
    }
}

/// The questions of all seeds that begin so.
fn begun(lesson: &Lesson<'_>, words: &str) -> Vec<Question> {
    let all = (0..SEEDS).flat_map(|seed| Quiz::new(lesson, seed).questions);
    let found: Vec<Question> = all.filter(|question| question.asks.contains(words)).collect();
    assert!(found.len() > 20, "{words:?} is hardly asked: {} times", found.len());
    found
}

fn right(question: &Question) -> &str {
    match &question.answer {
        Answered::Choice { all, right } => &all[*right],
        Answered::Number { value, .. } => value,
    }
}

fn wrong(question: &Question) -> Vec<&str> {
    all_of(question).into_iter().filter(|one| *one != right(question)).collect()
}

#[test]
fn no_question_has_two_like_choices_no_two_are_alike_and_each_has_its_reason() {
    for room in [Room::demo(), wordy()] {
        let lesson = Lesson::new(&room, "a room").unwrap();
        let mut places = [0; 4];
        for seed in 0..SEEDS {
            let quiz = Quiz::new(&lesson, seed);
            assert_eq!(quiz.questions.len(), Quiz::QUESTIONS, "seed {seed}");
            let asks: HashSet<&str> = quiz.questions.iter().map(|question| question.asks.as_str()).collect();
            assert_eq!(asks.len(), Quiz::QUESTIONS, "seed {seed}");
            for question in &quiz.questions {
                let all = all_of(question);
                assert_eq!(all.iter().collect::<HashSet<_>>().len(), all.len(), "seed {seed}: {all:?}");
                if let Answered::Choice { right, .. } = question.answer {
                    places[right] += 1;
                }
                assert!(!question.because.is_empty() && !question.from.is_empty(), "{question:?}");
                assert!(!question.asks.contains("NaN") && !all.concat().contains("NaN"), "{question:?}");
            }
        }
        // Whoever always takes the same letter is right in a quarter: some 1700 choices, five standard deviations.
        let choices: i32 = places.iter().sum();
        assert!(places.iter().all(|count| (count - choices / 4).abs() < 90), "{places:?}");
    }
}

#[test]
fn the_same_seed_is_the_same_sheet_and_another_one_another() {
    let room = Room::demo();
    let lesson = Lesson::new(&room, "a room").unwrap();
    let sheets: Vec<Vec<Question>> = (0..SEEDS).map(|seed| Quiz::new(&lesson, seed).questions).collect();
    for (seed, sheet) in (0..).zip(&sheets) {
        assert_eq!(*sheet, Quiz::new(&lesson, seed).questions);
        assert_eq!(sheets.iter().filter(|other| *other == sheet).count(), 1, "seed {seed}");
    }
}

#[test]
fn heights_and_vergences_are_those_worked_out_by_hand() {
    let room = Room::demo();
    let lesson = Lesson::new(&room, "a room").unwrap();
    for question in begun(&lesson, "How high is a letter of") {
        let line: Acuity = question.asks.split(' ').nth(6).unwrap().parse().unwrap();
        // 2·d·tan(α/2) at 3.2 m, α five times the detail.
        let arcmin = 5.0 * 10_f64.powf(line.to_log_mar());
        let high = 2.0 * 3200.0 * (arcmin / 60.0 / 2.0).to_radians().tan();
        assert_eq!(right(&question), format!("{high:.2}"), "{}", question.asks);
    }
    for question in begun(&lesson, "Letters on this room’s screen") {
        let high: f64 = question.asks.split(' ').nth(6).unwrap().parse().unwrap();
        let height = |line: &str| {
            let line: Acuity = line.parse().unwrap();
            2.0 * 3200.0 * (5.0 * 10_f64.powf(line.to_log_mar()) / 120.0).to_radians().tan()
        };
        // What is written has two decimals.
        assert!((height(right(&question)) - high).abs() < 0.00501, "{question:?}");
        assert!(wrong(&question).iter().all(|line| (height(line) / high - 1.0).abs() > 0.2), "{question:?}");
    }
    for question in begun(&lesson, "In another room") {
        let metres: f64 = question.asks.split(' ').nth(6).unwrap().parse().unwrap();
        assert_eq!(right(&question), format!("{:.2}", 1.0 / metres), "{}", question.asks);
    }
    for question in begun(&lesson, "A lens was balanced in this room") {
        // 1/3.2 m.
        assert_eq!(right(&question), "0.31 D too plus");
    }
}

#[test]
fn what_is_done_at_an_answer_is_the_rule_of_the_trade() {
    let room = Room::demo();
    let lesson = Lesson::new(&room, "a room").unwrap();
    for question in begun(&lesson, "the first answer is “red”") {
        assert!(right(&question).starts_with('−'), "{question:?}");
    }
    for question in begun(&lesson, "the first answer is “green”") {
        assert!(right(&question).starts_with('+'), "{question:?}");
    }
    for question in begun(&lesson, "the patient cannot tell") {
        assert_eq!(right(&question), "Show a larger line; keep the lens.");
    }
    for question in begun(&lesson, "much brighter than") {
        let brighter = question.asks.split(' ').nth(1).unwrap();
        let end = if brighter == "red" { "minus" } else { "plus" };
        assert_eq!(right(&question), format!("to {brighter}, and the lens ends too {end}"));
    }
    for question in begun(&lesson, "Which line is it asked with") {
        let reads: Acuity = question.asks.split(' ').nth(3).unwrap().parse().unwrap();
        let target: Acuity = right(&question).parse().unwrap();
        assert!((target.to_log_mar() - reads.to_log_mar() - 0.2).abs() < 1e-9, "{question:?}");
    }
    for question in begun(&lesson, "Which question is put to") {
        assert!(right(&question).contains("edges of the letters crisper"), "{question:?}");
        for other in wrong(&question) {
            assert!(!other.contains("crisper") && !words::BEFORE_ASKING.contains(other), "{other}");
        }
    }
}

/// The answers in a question, as clicks and words.
fn answers(question: &Question) -> Vec<(i32, &str)> {
    let (_, list) = question.asks.split_once("from the manifest: ").unwrap();
    let list = list.split_once('.').map_or(list, |_| list.rsplit_once(". ").map_or(list, |(list, _)| list));
    let list = list.split(". End point").next().unwrap().trim_end_matches('.');
    list.split(", ").map(|one| (clicks(one), one.rsplit(' ').next().unwrap())).collect()
}

/// The clicks of a lens such as "−0.25 D".
fn clicks(lens: &str) -> i32 {
    let power: f64 = lens.split(' ').next().unwrap().replace('−', "-").parse().unwrap();
    #[allow(clippy::cast_possible_truncation, reason = "a few clicks")]
    let clicks = (power * 4.0).round() as i32;
    clicks
}

#[test]
fn the_lens_that_is_left_in_is_that_of_the_end_point_by_hand() {
    let room = Room::demo();
    let lesson = Lesson::new(&room, "a room").unwrap();
    let mut seen = HashSet::new();
    for question in begun(&lesson, "Which lens is left in?") {
        let answers = answers(&question);
        let of = |word: &str| {
            answers.iter().filter(|(_, said)| *said == word).map(|(clicks, _)| *clicks).collect::<Vec<_>>()
        };
        let (reds, greens, sames) = (of("red"), of("green"), of("same"));
        let name = question.asks.split("End point “").nth(1).unwrap().split('”').next().unwrap();
        let is_middle = question.because.starts_with("The middle of the lenses judged the same");
        let left = clicks(right(&question));
        seen.insert((name.to_owned(), sames.is_empty(), is_middle));
        match name {
            _ if is_middle => {
                let (least, most) = (sames.iter().min().unwrap(), sames.iter().max().unwrap());
                // Of two middles the one with more plus.
                assert_eq!(left, (least + most + 1).div_euclid(2), "{question:?}");
            }
            "last red" => assert_eq!(Some(&left), reds.iter().min(), "{question:?}"),
            _ if !sames.is_empty() => assert_eq!(Some(&left), sames.iter().max(), "{question:?}"),
            "equal, else last red" => assert_eq!(Some(&left), reds.iter().min(), "{question:?}"),
            _ => assert_eq!(Some(&left), greens.iter().max(), "{question:?}"),
        }
    }
    for name in ["last red", "equal, else last red", "equal, else first green"] {
        for flips in [true, false] {
            assert!(seen.iter().any(|(one, none, _)| one == name && *none == flips), "{name}: {seen:?}");
        }
    }
}

#[test]
fn where_red_lies_in_a_mirrored_file_is_where_it_is_drawn() {
    for room in [Room::demo(), wordy()] {
        let lesson = Lesson::new(&room, "a room").unwrap();
        for question in begun(&lesson, "for a room with a mirror").iter().take(8) {
            let seen = if question.asks.contains("red on the left") { Side::Left } else { Side::Right };
            let request = Request { red: seen, ..Request::new(Acuity::standard(3)) };
            let scene = chart::draw(&request, &room).unwrap().scene;
            let scene = if room.viewing.mirror { scene } else { scene.mirrored() };
            let picture = evenfield::raster::draw(&scene, [64, 36], &room.display);
            let is_red = |x: u32| picture.get_pixel(x, 1).0[0] > picture.get_pixel(x, 1).0[1];
            let on = if is_red(16) { "left" } else { "right" };
            assert!(is_red(16) != is_red(48));
            assert_eq!(right(question), format!("red on the {on}, letters turned round"), "{question:?}");
        }
    }
}

/// Nothing leaves the sheet's margins, and no words lie on others.
fn fits(page: &Scene, what: &str) {
    // Side bearings, and half of a hairline.
    const BEYOND_MM: f64 = 0.4;
    let [width, height] = page.size.map(Length::to_mm);
    let area = Rect::new(0.0, 0.0, width, height).inset(BEYOND_MM - 14.0);
    let mut places: Vec<(&str, Rect)> = Vec::new();
    for shape in &page.shapes {
        let Geometry::Text(text) = &shape.geometry else { continue };
        assert!(text.em().to_inches() * 72.0 > 7.5, "{what}: {:?}", text.words());
        let place = text.outline().bounding_box();
        assert!(area.contains_rect(place), "{what}: {:?} at {place:?}", text.words());
        for (other, beside) in &places {
            assert!(place.intersect(*beside).area() <= 0.0, "{what}: {:?} on {other:?}", text.words());
        }
        places.push((text.words(), place));
    }
}

#[test]
fn every_sheet_is_one_page_with_its_key_on_a_second() {
    for room in [Room::demo(), wordy()] {
        let name = room.name().unwrap().to_owned();
        let lesson = Lesson::new(&room, &name).unwrap();
        for seed in 0..SEEDS {
            let quiz = Quiz::new(&lesson, seed);
            let paper = Paper::ALL[usize::from(seed % 2 == 1)];
            let pages = quiz.pages(&name, paper);
            assert_eq!(pages.len(), 2, "seed {seed}, {paper:?}");
            for page in &pages {
                assert_eq!(page.size, paper.size());
                // Outlines take long, and a page that is too full is found by its second page.
                if seed < 12 {
                    fits(page, &format!("{name}, seed {seed}"));
                }
            }
        }
    }
}

#[test]
fn the_key_is_on_no_sheet_and_its_figures_are_of_the_room() {
    let room = Room::demo();
    let lesson = Lesson::new(&room, "a room").unwrap();
    let words = |page: &Scene| {
        let text = |shape: &evenfield::scene::Shape| match &shape.geometry {
            Geometry::Text(text) => Some(text.words().replace('\u{a0}', " ")),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
        };
        page.shapes.iter().filter_map(text).collect::<Vec<_>>().join(" ")
    };
    for seed in 0..20 {
        let quiz = Quiz::new(&lesson, seed);
        let [sheet, key] = <[Scene; 2]>::try_from(quiz.pages("a room", Paper::A4)).unwrap();
        let (sheet, key) = (words(&sheet), words(&key));
        for question in &quiz.questions {
            assert!(
                sheet.contains(&question.asks.replace('\u{a0}', " ")) && !sheet.contains(&question.from),
                "{question:?}: {sheet}"
            );
            assert!(key.contains(&question.because) && key.contains(&question.answer.right()), "{key}");
        }
    }
    // 1/3.2 m, of the demo room's file.
    assert!((lesson.vergence().to_d() - Dioptres::at(Length::mm(3200.0)).to_d()).abs() < 1e-12);
}

#[test]
fn a_sheet_is_written_as_pdf_and_its_flags_go_with_it_alone() {
    let desk = Desk::new();
    let run = desk.run("deck --quiz --seed 7 --out quiz.pdf");
    assert!(
        run.code == 0 && run.out.contains("10 questions by seed 7, and their key"),
        "{}{}",
        run.out,
        run.err
    );
    assert_eq!(desk.run("deck --quiz --seed 7 --out again.pdf").code, 0);
    let bytes = |name: &str| std::fs::read(desk.path(name)).unwrap();
    assert!(bytes("quiz.pdf") == bytes("again.pdf"));
    for (words, says) in [
        ("deck --quiz --handout --out a.pdf", "--handout and --quiz are two files"),
        ("deck --seed 3 --out a.pdf", "--seed 3 draws the questions of --quiz"),
        ("deck --quiz --out a.png", "a.png: a sheet of questions is written as .pdf"),
        ("deck --quiz --seed x --out a.pdf", "--seed"),
    ] {
        let run = desk.run(words);
        assert_eq!((run.code, run.err.lines().count()), (2, 1), "{words}: {}", run.err);
        assert!(run.err.contains(says), "{words}: {}", run.err);
    }
    assert_eq!(desk.files(), ["again.pdf", "quiz.pdf"]);
    let Some(sound) = asked(&desk, "qpdf", &["--check", "quiz.pdf"]) else { return };
    assert!(sound.contains("No syntax or stream encoding errors"), "{sound}");
}
