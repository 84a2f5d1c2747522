//! Full disks, disks that are read only, ends of pipes that close, folders that go, two writers at once: one sentence, the right
//! exit code, nothing lost.

#![cfg(unix)]

use std::path::PathBuf;
use std::process::{Command, Stdio};

use crate::common::{Desk, ROOM, Run, skip};

/// The commands that write, in a folder of its own called `disk`, which has a room file; without two that work for seconds
/// before they write as the others do.
const WRITING: [&str; 22] = [
    "room new --pixels 1920x1080 --width 527mm --distance 3.2m --out disk/new.toml",
    "room set --room disk/room.toml --distance 4m",
    "room sheet --room room.toml --out disk/sheet.png",
    "room patches --room room.toml --out disk",
    "room report --out disk/report.pdf",
    "room report --out disk/report.png",
    "room verify --room disk/room.toml --red 48 --green 49 --log disk/room.log",
    "room verify --room disk/room.toml --red 48 --green 49 --keep",
    "chart --room room.toml --out disk/a.png",
    "chart --room room.toml --out disk/a.svg",
    "chart --room room.toml --out disk/a.pdf",
    "near --out disk/near.pdf",
    "page --room room.toml --out disk/page.html",
    "deck --card --out disk/card.pdf",
    "view --room room.toml --pupil 3mm --lens-error 0 --out disk/view.png",
    "curve --pupil 3mm --out disk/curve.csv",
    "curve --pupil 3mm --out disk/curve.svg",
    "font --out disk/a.ttf",
    "balance --eye right --manifest -0.75 --for room --acuity 20/20 --kind presbyopic --procedure from-plus --answers red,green --record disk/r.jsonl",
    "balance --show record.jsonl --out disk/b.csv",
    "balance --show record.jsonl --out disk/b.pdf",
    "balance --show record.jsonl --out disk/b.fhir.json",
];

/// A desk with a room file, a record, and a folder `disk` with a room file.
fn desk() -> Desk {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    let balance = WRITING.iter().find(|words| words.starts_with("balance --eye")).unwrap();
    assert_eq!(desk.run(&balance.replace("disk/r", "record")).code, 0);
    std::fs::create_dir(desk.path("disk")).unwrap();
    desk.write("disk/room.toml", ROOM);
    desk
}

/// A small file system in memory in place of the folder `disk`, until this goes.
struct Disk(PathBuf);

impl Disk {
    /// None where this user may not mount one.
    fn mounted(desk: &Desk, size: &str) -> Option<Self> {
        let path = desk.path("disk");
        let mount = Command::new("mount").args(["-t", "tmpfs", "-o", size, "tmpfs"]).arg(&path).output();
        if mount.is_ok_and(|output| output.status.success()) {
            desk.write("disk/room.toml", ROOM);
            return Some(Self(path));
        }
        skip("disk", "a file system that this user can mount");
        None
    }

    fn read_only(&self) {
        let mount = Command::new("mount").args(["-o", "remount,ro"]).arg(&self.0).status();
        assert!(mount.unwrap().success());
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

/// The names and contents of what lies in `disk`.
fn held(desk: &Desk) -> Vec<(String, Vec<u8>)> {
    let entries = desk.path("disk").read_dir().unwrap().map(|entry| entry.unwrap());
    let mut held: Vec<_> = entries
        .map(|entry| (entry.file_name().into_string().unwrap(), std::fs::read(entry.path()).unwrap()))
        .collect();
    held.sort();
    held
}

/// One sentence with its remedy, exit 2, and nothing in the folder changed.
fn refuse_all(desk: &Desk, because: &str) {
    let before = held(desk);
    for words in WRITING {
        let run = desk.run(words);
        assert_eq!(run.code, 2, "{words}: {}{}", run.out, run.err);
        let is_one = run.err.lines().count() == 1 && run.err.starts_with("evenfield: disk");
        assert!(is_one && run.err.contains(because), "{words}: {}", run.err);
        assert!(before == held(desk), "{words}: the folder has {:?}", held(desk));
    }
}

#[test]
fn on_a_full_disk_nothing_is_written_and_room_is_asked_for() {
    let desk = desk();
    let Some(_disk) = Disk::mounted(&desk, "size=8k") else { return };
    // The room file takes one of the two pages, and this the other.
    desk.write("disk/other", [0; 4096]);
    refuse_all(&desk, "its disk is full: free some space");
}

#[test]
fn on_a_disk_that_is_read_only_nothing_is_written() {
    let desk = desk();
    let Some(disk) = Disk::mounted(&desk, "size=1m") else { return };
    disk.read_only();
    refuse_all(&desk, "read-only file system");
}

/// Runs a command whose words go nowhere: into a pipe without an end, or onto a full disk.
fn unheard(desk: &Desk, words: &str, end: &str) -> Run {
    let script = match end {
        "pipe" => {
            r#"{ sleep 0.1; "$0" $1; echo $? > code; } | true; while [ ! -s code ]; do sleep 0.05; done; exit $(cat code)"#
        }
        _ => r#""$0" $1 > /dev/full"#,
    };
    let program = env!("CARGO_BIN_EXE_evenfield");
    let output = Command::new("sh").args(["-c", script, program, words]).current_dir(desk.path("")).output();
    output.unwrap().into()
}

/// Commands that only speak, and some that write as well.
const SPEAKING: [&str; 10] = [
    "--help",
    "--version",
    "chart --help",
    "room report --room room.toml",
    "curve --pupil 3mm",
    "curve --evidence",
    "balance --show record.jsonl",
    "balance --transitions",
    "chart --room room.toml --out disk/a.png --force",
    "room set --room disk/room.toml --distance 5m",
];

#[test]
fn a_pipe_that_closes_ends_nothing_with_a_panic() {
    let desk = desk();
    for words in SPEAKING {
        let run = unheard(&desk, words, "pipe");
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{words}");
        std::fs::remove_file(desk.path("code")).unwrap();
    }
}

#[test]
fn words_that_reach_nobody_are_told_of_in_one_sentence() {
    if !std::path::Path::new("/dev/full").exists() {
        return skip("disk", "/dev/full");
    }
    let desk = desk();
    for words in SPEAKING {
        let run = unheard(&desk, words, "full");
        assert_eq!((run.code, run.err.lines().count()), (2, 1), "{words}: {}", run.err);
        let named = words.split(' ').any(|word| word.starts_with("disk/") && run.err.contains(word));
        assert_eq!(run.err.contains("written all the same"), named, "{words}: {}", run.err);
    }
}

#[test]
fn a_folder_that_is_gone_gets_its_sentence() {
    let desk = desk();
    for (words, said) in [
        ("chart --out a.png", "a.png: cannot be written"),
        ("font --out none/a.ttf", "none/a.ttf: its folder does not exist: make the folder first"),
        ("room verify --red 48 --green 49 --log none/a.log", "none/a.log: its folder does not exist"),
        ("room patches --out none", "none: is not an existing folder"),
        ("exam --port 0", "this folder cannot be used"),
    ] {
        let run = refused(&desk, "mkdir gone; cd gone; rmdir ../gone;", words);
        assert!(run.err.contains(said), "{words}: {}", run.err);
    }
}

/// What a command says that is refused in one sentence, after what a shell does first; one that goes on serving is stopped, and fails.
fn refused(desk: &Desk, first: &str, words: &str) -> Run {
    let script = format!(r#"{first} "$0" $1 </dev/null"#);
    let output = Command::new("timeout")
        .args(["20", "sh", "-c", &script, env!("CARGO_BIN_EXE_evenfield"), words])
        .current_dir(desk.path(""))
        .output();
    let run: Run = output.unwrap().into();
    assert_eq!((run.code, run.err.lines().count()), (2, 1), "{words}: {}", run.err);
    run
}

#[test]
fn a_folder_in_place_of_a_file_is_refused_before_anything_is_done() {
    let desk = desk();
    std::fs::create_dir(desk.path("disk/a.png")).unwrap();
    for words in [
        "chart --out disk/a.png --force",
        "room verify --red 48 --green 49 --log disk/a.png",
        "balance --eye right --manifest -0.75 --for room --acuity 20/20 --kind presbyopic --record disk/a.png --answers red",
        "exam --port 0 --record disk/a.png",
        "exam --port 0 --record disk/none/r.jsonl",
        "exam --port 0 --record room.toml",
        "room set --room disk/a.png --distance 3m",
    ] {
        refused(&desk, "", words);
    }
}

/// Runs commands at the same time; their exit codes, sorted.
fn at_once(desk: &Desk, commands: &[String]) -> Vec<i32> {
    let begun = commands.iter().map(|words| {
        Command::new(env!("CARGO_BIN_EXE_evenfield"))
            .args(words.split_whitespace())
            .current_dir(desk.path(""))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    });
    let begun: Vec<_> = begun.collect();
    let mut codes: Vec<i32> =
        begun.into_iter().map(|mut child| child.wait().unwrap().code().unwrap()).collect();
    codes.sort_unstable();
    codes
}

#[test]
fn of_many_who_write_one_file_at_once_the_first_keeps_it_and_with_force_one_whole_file_stands() {
    let desk = desk();
    let chart = |more: &str| -> Vec<String> {
        let one = |seed| format!("chart --room room.toml --seed {seed} --out disk/a.png{more}");
        (1..=4).map(one).collect()
    };
    assert_eq!(at_once(&desk, &chart("")), [0, 2, 2, 2]);
    assert_eq!(at_once(&desk, &chart(" --force")), [0; 4]);
    assert_eq!(desk.run("check disk/a.png").code, 0);
    assert_eq!(held(&desk).len(), 2, "a hidden file was left");
}

#[test]
fn changes_of_one_room_file_at_once_are_all_kept() {
    let desk = desk();
    // With enough of them some meet.
    for round in 0..5 {
        desk.write("disk/room.toml", ROOM);
        let changes = [
            "--name New",
            "--distance 2m",
            "--mirror yes",
            "--blue 19",
            "--black 0.3",
            "--red 51 --green 172",
        ];
        let commands: Vec<String> =
            changes.iter().map(|change| format!("room set --room disk/room.toml {change}")).collect();
        assert_eq!(at_once(&desk, &commands), [0; 6]);
        let text = std::fs::read_to_string(desk.path("disk/room.toml")).unwrap();
        for kept in ["\"New\"", "2000.0", "mirror = true", "blue = 19", "black = 0.3", "red = 51"] {
            assert!(text.contains(kept), "round {round}: {kept} was lost from {text}");
        }
    }
}
