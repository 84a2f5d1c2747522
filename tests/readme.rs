//! What the README tells a newcomer: its commands run in its order in an empty folder, its samples are what they print, its room
//! file is read, and what it links to is there.

use std::fs;
use std::path::Path;

use crate::common::Desk;

/// Lines that a practitioner reads in one go. This project's own decision.
const MOST_LINES: usize = 250;

/// An examination that stands in for the one that `evenfield exam` would keep, since that needs two browsers.
const EXAMINED: &str = "balance --room room3.toml --eye right --manifest -0.75/-0.50x90 --for room --acuity 20/25 \
    --kind small-aperture --answers same,red,green,same,same,red --white 20/25 --choose far-quarter --one-eye \
    --record balances.jsonl";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).unwrap()
}

/// What stands in the blocks of a language, one after the other.
fn blocks(readme: &str, language: &str) -> Vec<String> {
    let opened = format!("```{language}\n");
    readme.split(&opened).skip(1).map(|rest| rest.split("```").next().unwrap().to_owned()).collect()
}

/// A command's words; what stands in quotes is one.
fn words(command: &str) -> Vec<&str> {
    let parts = command.split('"').enumerate();
    parts
        .flat_map(|(at, part)| if at % 2 == 1 { vec![part] } else { part.split_whitespace().collect() })
        .collect()
}

#[test]
fn its_commands_run_in_its_order_and_say_what_it_quotes() {
    let (desk, readme) = (Desk::new(), readme());
    let console = blocks(&readme, "console").concat();
    let commands: Vec<&str> = console.lines().filter_map(|line| line.strip_prefix("$ ")).collect();
    assert!(commands.len() > 10, "{commands:?}");
    let mut shown = String::new();
    for command in commands {
        match words(command).as_slice() {
            ["mkdir", folder] => fs::create_dir(desk.path(folder)).unwrap(),
            // It serves until it is stopped; `tests/exam.rs` walks through it.
            ["evenfield", "exam", ..] => {}
            ["evenfield", words @ ..] => {
                if words.contains(&"--show") && shown.is_empty() {
                    let run = desk.run(EXAMINED);
                    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
                }
                let run = desk.run_words(words);
                assert_eq!(run.code, 0, "{command}: {}{}", run.out, run.err);
                if words.contains(&"--show") {
                    shown += &run.out;
                }
            }
            _ => panic!("{command}: not a command of this program"),
        }
    }
    let sure = blocks(&readme, "text").concat();
    assert!(shown.contains(sure.trim()) && !sure.is_empty(), "{sure}\n{shown}");
    let pasted = readme.split("a line to paste\n(`").nth(1).and_then(|rest| rest.split('`').next()).unwrap();
    assert!(shown.lines().any(|line| line == pasted), "{pasted}\n{shown}");
    let report = desk.run("room report --room room3.toml").out;
    for quoted in ["20/40     12.19 ", "0.30 D between green and red"] {
        assert!(report.contains(quoted), "{quoted}: {report}");
    }
    assert!(readme.contains("12.19 mm") && readme.contains("(0.30 D here)"));
}

#[test]
fn its_room_file_is_read() {
    let desk = Desk::new();
    desk.write("room.toml", blocks(&readme(), "toml").concat());
    let run = desk.run("room report --room room.toml");
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains("4.20 m through a mirror"), "{}", run.out);
}

#[test]
fn its_pictures_and_links_are_there_and_it_is_short() {
    let readme = readme();
    let links: Vec<&str> = readme.split("](").skip(1).filter_map(|rest| rest.split(')').next()).collect();
    let own: Vec<&&str> = links.iter().filter(|link| !link.starts_with("https://")).collect();
    assert!(own.len() > 5, "{links:?}");
    for link in own {
        assert!(root().join(link).exists(), "{link}");
    }
    let lines = readme.lines().count();
    assert!(lines <= MOST_LINES, "{lines} lines: what lies behind a command goes to src/cli/help.rs");
}
