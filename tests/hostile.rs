//! Files made to break the check: each gets its sentence or its verdict in bounded time and memory.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::path::{Path, PathBuf};
use std::process::Command;

/// The address space that the program may take, in KiB: the stated bound on memory is 400 MB, and the program, its libraries
/// and its threads' stacks reserve more than they use.
const MOST_KIB: u32 = 2_000_000;

fn samples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/hostile");
    let mut all: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
    all.sort();
    all
}

#[test]
#[cfg(unix)]
fn each_gets_its_sentence_or_verdict() {
    assert_eq!(samples().len(), 9);
    for sample in samples() {
        let script = format!("ulimit -v {MOST_KIB}; exec \"$0\" check \"$1\"");
        let output = Command::new("sh")
            .args(["-c", &script, env!("CARGO_BIN_EXE_evenfield")])
            .arg(&sample)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(!said.contains("panicked"), "{}: {said}", sample.display());
        if sample.extension().is_some_and(|ending| ending == "png") {
            // A picture can be measured, and fails.
            let report = String::from_utf8_lossy(&output.stdout);
            assert!(
                output.status.code() == Some(1) && report.contains("more marks than can be told apart"),
                "{report}"
            );
            continue;
        }
        assert_eq!(output.status.code(), Some(2), "{}: {said}", sample.display());
        assert_eq!(said.trim_end().lines().count(), 1, "{}: {said}", sample.display());
    }
}
