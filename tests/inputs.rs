//! No command destroys what it reads, hangs on what has no end, or leaves half of what it was to write.

#![cfg(unix)]

use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

use crate::common::{Desk, ROOM, Run};

/// The beginning of an examination, without a terminal.
const BALANCE: &str = "balance --eye right --manifest -0.75/-0.50x90 --for room --acuity 20/20 --kind presbyopic --procedure from-plus --answers red,green";

/// Longer than any refusal takes, shorter than anybody waits for a program that hangs.
const PATIENCE: Duration = Duration::from_secs(60);

/// One sentence, exit 2, and every file as it was.
fn refused(desk: &Desk, words: &str) -> String {
    let before = holds(desk);
    let run = within_patience(desk, words);
    assert_eq!(run.code, 2, "{words}: {}{}", run.out, run.err);
    assert_eq!(run.err.lines().count(), 1, "{words}: {}", run.err);
    assert!(before == holds(desk), "{words}: the folder has {:?}", desk.files());
    run.err
}

/// As [`refused`], because the output is also an input.
fn refused_as_input(desk: &Desk, words: &str) {
    let sentence = refused(desk, words);
    assert!(sentence.contains("was read by this command"), "{words}: {sentence}");
}

/// The names and contents of all ordinary files.
fn holds(desk: &Desk) -> Vec<(String, Vec<u8>)> {
    let files = desk.files().into_iter().filter(|name| desk.path(name).is_file());
    files.map(|name| (name.clone(), std::fs::read(desk.path(&name)).unwrap())).collect()
}

fn within_patience(desk: &Desk, words: &str) -> Run {
    let mut child = Command::new(env!("CARGO_BIN_EXE_evenfield"))
        .args(words.split_whitespace())
        .current_dir(desk.path(""))
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if begun.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("{words}: hangs");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    child.wait_with_output().unwrap().into()
}

/// Runs a shell's words in the folder; `evenfield` stands for the program.
fn shell(desk: &Desk, words: &str) -> Run {
    let program = env!("CARGO_BIN_EXE_evenfield");
    let words = format!("evenfield() {{ \"{program}\" \"$@\"; }}; {words}");
    let output: Output = Command::new("sh").args(["-c", &words]).current_dir(desk.path("")).output().unwrap();
    output.into()
}

fn fifo(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

#[test]
fn a_record_that_was_read_is_not_replaced_by_its_table() {
    let desk = Desk::new();
    assert_eq!(desk.run(&format!("{BALANCE} --record r.jsonl")).code, 0);
    std::fs::rename(desk.path("r.jsonl"), desk.path("r.csv")).unwrap();
    std::os::unix::fs::symlink("r.csv", desk.path("link.csv")).unwrap();
    std::fs::hard_link(desk.path("r.csv"), desk.path("second.csv")).unwrap();
    std::fs::create_dir(desk.path("folder")).unwrap();
    for out in ["r.csv", "./r.csv", "folder/../r.csv", "link.csv", "second.csv"] {
        refused_as_input(&desk, &format!("balance --show r.csv --out {out} --force"));
    }
    refused_as_input(&desk, "balance --show link.csv --out r.csv --force");
    refused_as_input(&desk, "balance --show second.csv --out link.csv --force");
    assert_eq!(desk.run("balance --show r.csv --out other.csv").code, 0);
}

#[test]
fn an_examination_is_not_kept_where_its_table_goes() {
    let desk = Desk::new();
    refused_as_input(&desk, &format!("{BALANCE} --record n.csv --out n.csv"));
    refused_as_input(&desk, &format!("{BALANCE} --record n.csv --out ./n.csv --force"));
    assert_eq!(desk.run(&format!("{BALANCE} --record n.csv")).code, 0);
    refused_as_input(&desk, &format!("{BALANCE} --record n.csv --out n.csv --force"));
    desk.write("r.csv", ROOM);
    refused_as_input(&desk, &format!("{BALANCE} --room r.csv --record n.csv --out r.csv --force"));
}

#[test]
fn no_command_replaces_its_room_file() {
    let desk = Desk::new();
    for (words, out) in [
        ("chart", "r.png"),
        ("chart", "r.svg"),
        ("deck", "r.pdf"),
        ("deck --card", "r.pdf"),
        ("page", "r.html"),
        ("practice", "r.html"),
        ("curve --pupil 3mm", "r.csv"),
        ("view --pupil 3mm --lens-error 0", "r.png"),
        ("room report", "r.pdf"),
        ("room sheet", "r.png"),
    ] {
        desk.write(out, ROOM);
        refused_as_input(&desk, &format!("{words} --room {out} --out {out} --force"));
    }
    desk.write("white-000.png", ROOM);
    refused_as_input(&desk, "room patches --room white-000.png --out . --force");
}

/// A block of a made-up screen of 1920 × 1080 px on 52 × 29 cm, by the base block of VESA E-EDID 1.4, section 3.
fn edid() -> Vec<u8> {
    let mut block = vec![0; 128];
    block[..8].copy_from_slice(&[0, 255, 255, 255, 255, 255, 255, 0]);
    block[18..23].copy_from_slice(&[1, 4, 0xA5, 52, 29]);
    // 148.5 MHz, 1920 + 280, 1080 + 45; 520 × 290 mm.
    block[54..72].copy_from_slice(&[
        0x02, 0x3A, 0x80, 0x18, 0x71, 0x38, 0x2D, 0x40, 0x58, 0x2C, 0x45, 0, 0x08, 0x22, 0x21, 0, 0, 0x1E,
    ]);
    block[127] = block.iter().fold(0_u8, |sum, byte| sum.wrapping_sub(*byte));
    block
}

#[test]
fn a_new_room_does_not_replace_what_it_was_made_from() {
    let desk = Desk::new();
    desk.write("edid", edid());
    refused_as_input(&desk, "room new --edid edid --distance 3m --out edid --force --discard-measurements");
    desk.write("icc", include_bytes!("data/wide_gamma.icc"));
    refused_as_input(
        &desk,
        "room new --icc icc --pixels 1920x1080 --width 527mm --distance 3m --out icc --force --discard-measurements",
    );
    // What is only looked at before it is replaced was never an input.
    let new = "room new --pixels 1920x1080 --width 527mm --distance 3m --out room.toml";
    assert_eq!(desk.run(new).code, 0);
    assert_eq!(desk.run(&format!("{new} --force")).code, 0);
    // And what is there to be changed is changed.
    let set = desk.run("room set --room room.toml --distance 4m");
    assert_eq!(set.code, 0, "{}", set.err);
}

#[test]
fn only_a_log_is_gone_on_with_as_a_log() {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    desk.write("letter.txt", "Dear colleague\n");
    let verify = "room verify --room room.toml --red 48 --green 49 --log";
    for foreign in ["room.toml", "letter.txt"] {
        let before = holds(&desk);
        let run = desk.run(&format!("{verify} {foreign}"));
        assert_eq!(run.code, 2, "{foreign}: {}{}", run.out, run.err);
        assert!(run.err.contains("is no log of readings"), "{}", run.err);
        assert!(before == holds(&desk), "{foreign} was written to");
    }
    desk.write("empty.log", "");
    for log in ["new.log", "new.log", "empty.log"] {
        let run = desk.run(&format!("{verify} {log}"));
        assert!(run.code < 2, "{log}: {}", run.err);
    }
    assert_eq!(std::fs::read_to_string(desk.path("new.log")).unwrap().lines().count(), 2);
}

#[test]
fn pipes_and_devices_are_refused_and_never_waited_for() {
    let desk = Desk::new();
    fifo(&desk.path("pipe"));
    let mut files = vec!["pipe"];
    files.extend(["/dev/zero", "/dev/null"].into_iter().filter(|device| Path::new(device).exists()));
    for file in files {
        for words in [
            format!("check {file}"),
            format!("balance --show {file}"),
            format!("{BALANCE} --record {file}"),
            format!("{BALANCE} --record {file} --resume"),
            format!("chart --room {file} --out a.png"),
            format!("room new --edid {file} --distance 3m --out a.toml"),
            format!("room new --icc {file} --pixels 1920x1080 --width 527mm --distance 3m --out a.toml"),
            format!("chart --out {file} --force"),
        ] {
            let sentence = refused(&desk, &words);
            assert!(sentence.contains("no ordinary file"), "{words}: {sentence}");
        }
    }
}

#[test]
fn a_set_of_files_is_there_whole_or_not_at_all() {
    let desk = Desk::new();
    // The limit is reached by the back of the card and not by its face, as the end of a disk is.
    let most = "trap '' XFSZ; ulimit -f";
    assert_eq!(desk.run("deck --card --out card.png").code, 0);
    let bytes = ["card-01.png", "card-02.png"].map(|name| desk.path(name).metadata().unwrap().len());
    assert!(bytes[0] + 2048 < bytes[1], "another set is needed: {bytes:?}");
    // In the blocks of POSIX.
    let between = u64::midpoint(bytes[0], bytes[1]) / 512;
    let desk = Desk::new();
    let run = shell(&desk, &format!("{most} {between}; evenfield deck --card --out card.png"));
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    assert_eq!(desk.files(), Vec::<String>::new());
    let run = shell(&desk, &format!("{most} 0; evenfield room patches --out ."));
    assert_eq!((run.code, desk.files()), (2, Vec::new()), "{}", run.err);
}

#[test]
fn a_record_or_log_whose_first_line_is_not_written_is_not_there() {
    let desk = Desk::new();
    let full = "trap '' XFSZ; ulimit -f 0";
    let run = shell(&desk, &format!("{full}; evenfield {BALANCE} --record r.jsonl"));
    assert_eq!((run.code, desk.files()), (2, Vec::new()), "{}", run.err);
    let run = shell(&desk, &format!("{full}; evenfield room verify --red 48 --green 49 --log room.log"));
    assert_eq!((run.code, desk.files()), (2, Vec::new()), "{}", run.err);
    // What was there before stays.
    desk.write("room.log", "");
    shell(&desk, &format!("{full}; evenfield room verify --red 48 --green 49 --log room.log"));
    assert_eq!(desk.files(), ["room.log"]);
}

#[test]
fn a_closed_or_full_end_changes_no_exit_code_and_panics_nowhere() {
    let desk = Desk::new();
    desk.write("spoilt.jsonl", "{}\n");
    for (words, code) in [
        ("check none.png", 2),
        ("chart --nonsense", 2),
        ("balance", 2),
        ("", 2),
        ("chart --out x/y.png", 2),
        ("--help", 0),
        ("check none.png >&-", 2),
    ] {
        for end in ["2>&-", "2>/dev/full", "2>&- </dev/null"] {
            let run = shell(&desk, &format!("evenfield {words} {end}"));
            assert_eq!(run.code, code, "{words} {end}: {}{}", run.out, run.err);
        }
    }
    // A complaint that goes on.
    assert_eq!(desk.run(&format!("{BALANCE} --record r.jsonl")).code, 0);
    let record = std::fs::read_to_string(desk.path("r.jsonl")).unwrap();
    desk.write("r.jsonl", format!("{record}nonsense\n"));
    assert_eq!(shell(&desk, "evenfield balance --show r.jsonl 2>/dev/full").code, 1);
    assert_eq!(shell(&desk, "evenfield balance --show r.jsonl >/dev/full 2>/dev/full").code, 2);
}

#[test]
fn words_that_reach_nobody_name_the_files_that_are_there() {
    let desk = Desk::new();
    let run = shell(&desk, "evenfield chart --out a.png >/dev/full");
    assert_eq!(run.code, 2);
    assert_eq!(run.err.lines().count(), 1, "{}", run.err);
    assert!(run.err.contains("a.png"), "{}", run.err);
    assert_eq!(desk.files(), ["a.png"]);
    let run = shell(&desk, "evenfield --help >/dev/full");
    assert!(run.code == 2 && !run.err.contains("written all the same"), "{}", run.err);
}

#[test]
fn what_killed_runs_left_is_cleared_after_a_day() {
    let desk = Desk::new();
    let aged = |name: &str, hours: u64| {
        let path = desk.write(name, "half");
        let then = std::time::SystemTime::now() - Duration::from_secs(hours * 3600);
        std::fs::File::options().append(true).open(path).unwrap().set_modified(then).unwrap();
    };
    aged(".evenfield-a1B2c3", 25);
    aged(".evenfield-d4E5f6", 23);
    aged(".evenfield-notes.txt", 25);
    aged("evenfield-a1B2c3", 25);
    assert_eq!(desk.run("font --out a.ttf").code, 0);
    assert_eq!(desk.files(), [".evenfield-d4E5f6", ".evenfield-notes.txt", "a.ttf", "evenfield-a1B2c3"]);
}
