//! What is printed for people fits a terminal of 80 columns, and no word in it is broken.

use crate::common::terminal::Terminal;
use crate::common::{Desk, ROOM, TRIAL, trial};

/// A terminal's width that everything is to fit.
const COLUMNS: usize = 80;

/// A narrower one, in which the same words stand in other lines.
const NARROW: u16 = 60;

/// What makes the files that the commands read.
const BEFORE: [&str; 2] = [
    "chart --room room.toml --line 20/63 --line 20/50 --labels --out chart.png",
    "balance --room room.toml --record r.jsonl --eye right --manifest -1.00/-0.50x90 --for room --acuity 20/20 --kind small-aperture \
     --procedure bracket --answers same,red,green,red,green --white 20/16 --choose far-quarter --one-eye",
];

/// Whatever prints tables.
const COMMANDS: [&str; 14] = [
    "check chart.png",
    "check chart.png --room other.toml --line 20/40 --red right",
    "chart --out demo.png --force",
    "room report",
    "room report --room room.toml",
    "curve",
    "curve --cross-checks --pupil 1.6mm",
    "curve --evidence",
    "balance --show r.jsonl",
    TRIAL,
    "room verify --red 50 --green 53",
    "room verify --room room.toml --red 40 --green 20 --black 9",
    "near --out near.pdf --force",
    "near --out near.svg --force --line 20/50 --matched-step R3",
];

fn desk() -> Desk {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    desk.write("other.toml", ROOM.replace("distance_mm = 3000.0", "distance_mm = 6000.0\nmirror = true"));
    for words in BEFORE {
        let run = desk.run(words);
        assert_eq!(run.code, 0, "{words}: {}{}", run.out, run.err);
    }
    desk
}

/// The code that a command ends with, and what it prints.
fn printed(desk: &Desk, words: &str) -> (i32, String) {
    if words == TRIAL {
        let run = trial(false);
        return (run.code, run.out.clone());
    }
    let run = desk.run(words);
    (run.code, run.out)
}

/// What is printed, without the lines to paste, each of which is taken whole.
fn folded(said: &str) -> String {
    let mut parts: Vec<&str> = said.split("\n\n").collect();
    parts.retain(|part| !part.starts_with("To paste:"));
    parts.join("\n\n")
}

#[test]
fn no_line_is_wider_than_a_terminal() {
    let desk = desk();
    for words in COMMANDS {
        let (code, said) = printed(&desk, words);
        assert!(code < 2, "{words}");
        for line in folded(&said).lines() {
            // A path or an address may be longer than any line, and then it has one to itself.
            let is_one_word = line.split_whitespace().count() < 2;
            assert!(line.chars().count() <= COLUMNS || is_one_word, "{words}: {line}");
        }
    }
}

#[test]
fn the_same_words_stand_in_a_narrow_terminal() {
    let desk = desk();
    for words in COMMANDS.into_iter().filter(|words| *words != TRIAL) {
        let piped = folded(&desk.run(words).out);
        let arguments: Vec<&str> = words.split_whitespace().collect();
        let (status, screen) = Terminal::run(&arguments, &desk.path("."), [400, NARROW]).end();
        assert!(status.code() < Some(2), "{words}: {screen}");
        let screen = folded(&screen);
        // Columns beside each other give way in another order, so that the words of a row stand in another one.
        let sorted = |text: &str| {
            let mut all: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
            all.sort();
            all
        };
        assert_eq!(sorted(&screen), sorted(&piped), "{words}: {screen}");
    }
}

/// Where the point of each number stands in the column below a head.
fn points(said: &str, head: &str) -> Vec<usize> {
    let mut lines = said.lines().skip_while(|line| !line.contains(head));
    let begins = lines.next().and_then(|line| line.split(head).next()).unwrap().chars().count();
    // An eye's questions are followed by sentences at once.
    let rows = lines.take_while(|line| !line.is_empty() && !line.contains("ended at"));
    let point = |line: &str| {
        // What follows a table has no gap there.
        let gap: String = line.chars().skip(begins.saturating_sub(2)).take(begins.min(2)).collect();
        if !gap.trim().is_empty() {
            return None;
        }
        let cell: String = line.chars().skip(begins).take(head.chars().count() + 1).collect();
        let number = cell.trim_start().chars().take_while(|one| !one.is_whitespace());
        let is_number = number.clone().all(|one| one.is_ascii_digit() || "+−.".contains(one));
        let at = cell.chars().position(|one| one == '.');
        at.filter(|_| is_number && number.count() > 0)
    };
    rows.filter_map(point).collect()
}

#[test]
fn numbers_stand_with_their_points_below_each_other() {
    let desk = desk();
    for (words, unit, heads) in [
        ("curve", "(D)", &["lens error", "red", "green", "white"][..]),
        ("room report", "(mm)", &["height", "stroke"]),
        ("balance --show r.jsonl", "(D)", &["sphere", "change"]),
        (TRIAL, "(%)", &["asks"]),
        ("near --out near.pdf --force", "(mm)", &["height"]),
    ] {
        let (_, said) = printed(&desk, words);
        assert!(said.contains(unit), "{words}: no {unit}: {said}");
        for head in heads {
            assert!(said.contains(head), "{words}: no {head}: {said}");
            let points = points(&said, head);
            assert!(points.len() > 3, "{words}, {head}: {said}");
            assert!(points.iter().all(|point| *point == points[0]), "{words}, {head}: {said}");
        }
    }
}

#[test]
fn failures_come_first() {
    let said = desk().run("check chart.png --room other.toml --line 20/40 --red right").out;
    let verdicts = ["FAIL", "warn", "not judged", "pass", "info"];
    let place = |line: &str| verdicts.iter().position(|verdict| line.trim_start().starts_with(verdict));
    let table =
        said.lines().skip_while(|line| !line.contains("measured")).take_while(|line| !line.is_empty());
    let seen: Vec<usize> = table.filter_map(place).collect();
    assert!(seen.len() > 10 && seen[0] == 0 && seen.is_sorted(), "{seen:?}: {said}");
}
