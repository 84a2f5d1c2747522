//! What the fuzzer found, and what it starts from, goes through its targets once more.

#![allow(clippy::expect_used, reason = "a test may stop")]

#[path = "fuzz/targets.rs"]
mod targets;

use std::path::Path;

/// The files of a target's corpus, by name.
fn corpus(target: &str) -> Vec<(String, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(target);
    let files = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let paths = files.map(|file| file.unwrap().path());
    paths.map(|path| (path.display().to_string(), std::fs::read(&path).unwrap())).collect()
}

#[test]
fn every_file_of_every_corpus_passes_through_its_target() {
    for (name, target) in targets::ALL {
        let files = corpus(name);
        assert!(files.len() > 1, "{name} has no corpus");
        for (path, bytes) in files {
            let ran = std::panic::catch_unwind(|| target(&bytes));
            assert!(ran.is_ok(), "{path} stops {name}");
        }
    }
}
