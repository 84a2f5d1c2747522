//! The help of every command: curly apostrophes, and an example that really runs.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

use crate::common::Desk;
use crate::common::terminal::Terminal;

/// All commands, each as its words, with its help in full; the first is the program itself.
fn helps() -> Vec<(String, String)> {
    let desk = Desk::new();
    let mut all = Vec::new();
    let mut open = vec![String::new()];
    while let Some(command) = open.pop() {
        let help = desk.run(&format!("{command} --help")).out;
        let listed = help.split("\nCommands:\n").nth(1).and_then(|rest| rest.split("\n\n").next());
        // What goes on in another line is farther in.
        let begin = |line: &&str| line.starts_with("  ") && !line.starts_with("   ");
        let names = listed.unwrap_or_default().lines().filter(begin);
        let names = names.filter_map(|line| line.split_whitespace().next());
        // The parser's own `help` says what `--help` says.
        let names = names.filter(|name| *name != "help");
        open.extend(names.map(|name| format!("{command} {name}").trim().to_owned()));
        all.push((command, help));
    }
    assert!(all.len() > 15, "{:?}", all.iter().map(|(command, _)| command).collect::<Vec<_>>());
    all
}

#[test]
fn every_help_has_curly_apostrophes_and_quotes() {
    for (command, help) in helps() {
        for line in help.lines() {
            // A room file has the quotes of its format.
            if command == "room" && line.contains(" = ") {
                continue;
            }
            // The parser quotes its own flag so.
            let line = line.replace("'-h'", "");
            assert!(!line.contains(['\'', '"']), "{command}: {line}");
        }
    }
}

#[test]
fn the_room_file_in_help_is_one_that_every_command_reads() {
    let help = helps().into_iter().find(|(command, _)| command == "room").unwrap().1;
    let lines = help.lines().skip_while(|line| !line.starts_with("  name = "));
    let file: Vec<&str> = lines.take_while(|line| line.is_empty() || line.starts_with("  ")).collect();
    let file = file.join("\n");
    for table in ["viewing", "screen", "luminance", "tone", "primaries", "ambient", "match"] {
        assert!(file.contains(&format!("[{table}]")), "{table}: {file}");
    }
    let desk = Desk::new();
    desk.write("room.toml", &file);
    for command in ["room report", "chart --out chart.png"] {
        let run = desk.run(&format!("{command} --room room.toml"));
        assert_eq!(run.code, 0, "{command}: {}{}", run.out, run.err);
    }
    // Its readings are of the codes that its own charts show.
    let report = desk.run("room report --room room.toml --json").out;
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    assert!(report["fields"]["match_read"].as_bool().unwrap(), "{}", report["fields"]);
    // What is commented out is legal in its place too.
    let steps =
        file.replace("gamma = 2.2 ", "# ").replace("# steps =", "steps =").replace("# relative", "relative");
    let relative =
        steps.replace("[[0, 0.25], [128, 54.0], [255, 250.0]]", "[[0, 0.001], [128, 0.216], [255, 1.0]]");
    let marked = relative.replace("# matched_by_eye", "matched_by_eye");
    desk.write("room.toml", &marked);
    let run = desk.run("room report --room room.toml");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
}

/// What an example says after the name of the program; it is the last line of a help.
fn example(command: &str, help: &str) -> String {
    let last = help.trim_end().lines().last().unwrap_or_default();
    let example = last.strip_prefix("Example: evenfield ").unwrap_or_else(|| panic!("{command}: {last}"));
    assert!(example.starts_with(command), "{command}: {example}");
    example.to_owned()
}

#[test]
fn every_example_runs_in_an_empty_folder_after_that_of_room_new() {
    let desk = Desk::new();
    let mut examples: Vec<(String, String)> = helps()
        .into_iter()
        .map(|(command, help)| {
            let example = example(&command, &help);
            (command, example)
        })
        .collect();
    // A room is made before it is named, and a chart before it is checked.
    examples.sort_by_key(|(command, _)| (command != "room new", command.clone()));
    for (command, example) in &examples {
        match command.as_str() {
            // It asks its questions in a terminal.
            "balance" => asks(&desk, example),
            // It serves until it is stopped.
            "exam" => serves(&desk, example),
            // It lists what is attached to this machine, which may be nothing.
            "room screens" => {
                let run = desk.run(example);
                assert!(run.code == 0 || run.err.contains("no attached screen"), "{example}: {}", run.err);
            }
            // A group's example, and the program's, is that of one of its commands.
            "" | "room" => assert!(examples.iter().any(|(_, one)| one == example), "{example}"),
            _ => {
                let run = desk.run(example);
                assert_eq!(run.code, 0, "{example}: {}{}", run.out, run.err);
            }
        }
    }
}

fn asks(desk: &Desk, example: &str) {
    let words: Vec<&str> = example.split_whitespace().collect();
    let terminal = Terminal::run(&words, &desk.path("."), [40, 80]);
    terminal.wait_for("Which eye");
    terminal.kill();
}

fn serves(desk: &Desk, example: &str) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_evenfield"))
        .args(example.split_whitespace())
        .args(["--port", "0"])
        .current_dir(desk.path("."))
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut said = BufReader::new(child.stdout.take().unwrap());
    let mut first = String::new();
    said.read_line(&mut first).unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(!first.trim().is_empty(), "{example} says nothing");
}
