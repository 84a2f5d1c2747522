//! Whatever the program writes is there whole or as it was, at whatever moment the program is killed.
//!
//! `EVENFIELD_KILLS=500` is the long run; a few kills of each kind are made where it says nothing.

#![cfg(unix)]
#![allow(clippy::print_stdout, reason = "a long run tells what it counted")]

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::common::{Desk, ROOM};

/// How often each command is killed where the environment says nothing.
const KILLS: u32 = 3;

/// How many of [`WRITING`] are killed then; those behind them take some seconds each.
const QUICK: usize = 9;

/// Each kind of file that is written, as the command that replaces it.
const WRITING: [&str; 16] = [
    "room new --pixels 1920x1080 --width 527mm --distance 3.2m --out out.toml --force --discard-measurements",
    "balance --show record.jsonl --out out.csv --force",
    "balance --show record.jsonl --out out.fhir.json --force",
    "font --out out.ttf --force",
    "chart --room room.toml --out out.png --force",
    "chart --room room.toml --out out.svg --force",
    "chart --room room.toml --out out.pdf --force",
    "curve --room room.toml --pupil 3mm --out out.csv --force",
    "page --room room.toml --out out.html --force",
    "deck --room room.toml --out out.html --force",
    "deck --room room.toml --out out.pdf --force",
    "balance --show record.jsonl --out out.pdf --force",
    "room sheet --room room.toml --out out.png --force",
    "room report --room room.toml --out out.pdf --date 2026-11-26 --force",
    "near --out out.pdf --force",
    "practice --room room.toml --out out.html --force",
];

/// The first two answers of an eye.
const BALANCE: &str = "balance --eye right --manifest -0.75/-0.50x90 --for room --acuity 20/20 --kind presbyopic --procedure from-plus --answers red,green";

fn kills() -> u32 {
    std::env::var("EVENFIELD_KILLS").ok().map_or(KILLS, |count| count.parse().unwrap())
}

/// Shares of one that look drawn by lot and are the same every time.
fn shares(seed: usize) -> impl Iterator<Item = f64> {
    let mut state = u64::try_from(seed).unwrap().wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    std::iter::repeat_with(move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        f64::from(u32::try_from(state >> 32).unwrap()) / f64::from(u32::MAX)
    })
}

/// Runs a command and kills it after so long; whether it was still running.
fn killed(desk: &Desk, words: &str, after: Duration) -> bool {
    let mut child = Command::new(env!("CARGO_BIN_EXE_evenfield"))
        .args(words.split_whitespace())
        .current_dir(desk.path(""))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(after);
    let running = child.try_wait().unwrap().is_none();
    child.kill().unwrap();
    child.wait().unwrap();
    running
}

/// Whether a name is that of a file that is not yet whole: hidden, and cleared by later runs.
fn is_documented(name: &str) -> bool {
    name.strip_prefix(".evenfield-").is_some_and(|rest| rest.len() == 6)
}

/// Removes what killed runs left, which may be nothing but hidden files; how many there were.
fn cleared(desk: &Desk, known: &[&str]) -> usize {
    let files = desk.files();
    let left: Vec<&String> = files.iter().filter(|name| !known.contains(&name.as_str())).collect();
    for name in &left {
        assert!(is_documented(name), "{name} was left behind");
        std::fs::remove_file(desk.path(name)).unwrap();
    }
    left.len()
}

fn desk() -> Desk {
    let desk = Desk::new();
    desk.write("room.toml", ROOM);
    assert_eq!(desk.run(&format!("{BALANCE} --record record.jsonl")).code, 0);
    desk
}

/// How long a command takes when nothing holds it up.
fn quickest(desk: &Desk, words: &str) -> Duration {
    let once = |_| {
        let begun = Instant::now();
        let run = desk.run(words);
        assert!(run.code < 2, "{words}: {}", run.err);
        begun.elapsed()
    };
    (0..3).map(once).min().unwrap()
}

/// The file that a command writes.
fn out(words: &str) -> &str {
    words.split("--out ").nth(1).unwrap().split(' ').next().unwrap()
}

/// What became of the kills of one command: old file, new file, files left behind.
fn replaced_or_not(words: &str, seed: usize) -> [usize; 3] {
    const OLD: &[u8] = b"what was there before\n";
    let desk = desk();
    let name = out(words);
    let took = quickest(&desk, words);
    let whole = std::fs::read(desk.path(name)).unwrap();
    let mut counts = [0; 3];
    for share in shares(seed).take(kills() as usize) {
        desk.write(name, OLD);
        killed(&desk, words, took.mul_f64(share));
        let found = std::fs::read(desk.path(name)).unwrap();
        assert!(found == OLD || found == whole, "{words}: a part of {} bytes stands there", found.len());
        counts[usize::from(found == whole)] += 1;
        counts[2] += cleared(&desk, &["record.jsonl", "room.toml", name]);
    }
    counts
}

#[test]
fn a_file_stands_as_it_was_or_whole_after_a_kill_at_any_moment() {
    let count = if std::env::var_os("EVENFIELD_KILLS").is_some() { WRITING.len() } else { QUICK };
    for (seed, words) in WRITING.into_iter().take(count).enumerate() {
        let [old, new, left] = replaced_or_not(words, seed + 1);
        println!("{words}: {old} as before, {new} whole, {left} hidden files left");
    }
}

/// Of a set each file is whole, whichever of them stand already.
#[test]
fn each_file_of_a_set_is_whole_after_a_kill_at_any_moment() {
    let whole = desk();
    let words = "room patches --room room.toml --out set --force";
    std::fs::create_dir(whole.path("set")).unwrap();
    let took = quickest(&whole, words);
    let read = |folder: &Path| -> Vec<(String, Vec<u8>)> {
        let files = folder.read_dir().unwrap().map(|file| file.unwrap());
        files
            .map(|file| (file.file_name().into_string().unwrap(), std::fs::read(file.path()).unwrap()))
            .collect()
    };
    let all: std::collections::BTreeMap<_, _> = read(&whole.path("set")).into_iter().collect();
    let (mut counts, mut left) = ([0; 3], 0);
    for share in shares(99).take(kills() as usize) {
        let desk = desk();
        std::fs::create_dir(desk.path("set")).unwrap();
        killed(&desk, words, took.mul_f64(share));
        let (hidden, found): (Vec<_>, Vec<_>) =
            read(&desk.path("set")).into_iter().partition(|(name, _)| is_documented(name));
        for (name, bytes) in &found {
            assert!(all.get(name) == Some(bytes), "{name} is not whole");
        }
        left += hidden.len();
        counts[if found.is_empty() {
            0
        } else if found.len() < all.len() {
            1
        } else {
            2
        }] += 1;
    }
    println!("{words}: {} none, {} some, {} all; {left} hidden files left", counts[0], counts[1], counts[2]);
}

/// A room file that is changed in place, and lines that are added to record and log.
#[test]
fn what_is_changed_or_added_to_stands_as_it_was_or_whole() {
    let desk = desk();
    let balance = format!("{BALANCE} --record record.jsonl");
    let log = "room verify --room room.toml --red 48 --green 49 --log room.log --date 2026-11-26";
    assert!(desk.run(log).code < 2);
    let line = std::fs::read_to_string(desk.path("room.log")).unwrap();
    let set = |metres: u32| format!("room set --room room.toml --distance {metres}m");
    let mut rooms = Vec::new();
    for metres in [4, 5] {
        assert_eq!(desk.run(&set(metres)).code, 0);
        rooms.push(std::fs::read(desk.path("room.toml")).unwrap());
    }
    let took = quickest(&desk, &balance);
    let (mut counts, mut left) = ([0; 3], 0);
    for (number, share) in shares(7).take(kills() as usize).enumerate() {
        killed(&desk, &set(4 + u32::try_from(number % 2).unwrap()), took.mul_f64(share));
        assert!(rooms.contains(&std::fs::read(desk.path("room.toml")).unwrap()), "a part of a room file");
        killed(&desk, &balance, took.mul_f64(share));
        let record = std::fs::read_to_string(desk.path("record.jsonl")).unwrap();
        let read = evenfield::balance::record::Records::read(&record);
        assert!(read.problems.is_empty() && record.ends_with('\n'), "{:?}", read.problems);
        counts[0] = read.kept.len();
        killed(&desk, log, took.mul_f64(share));
        let lines = std::fs::read_to_string(desk.path("room.log")).unwrap();
        assert!(lines.len().is_multiple_of(line.len()) && lines.starts_with(&line), "{lines}");
        counts[1] = lines.lines().count();
        left += cleared(&desk, &["record.jsonl", "room.log", "room.toml"]);
    }
    println!(
        "{} kills each: {} examinations, {} lines in the log, {left} hidden files left",
        kills(),
        counts[0],
        counts[1]
    );
}
