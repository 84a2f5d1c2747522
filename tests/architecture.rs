//! Dependencies point one way.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::fs;
use std::path::{Path, PathBuf};

/// Each room of the house and what it may see of the others.
const MAY_SEE: [(&str, &[&str]); 24] = [
    ("quantity", &[]),
    // Any room may check and show words.
    ("text", &[]),
    ("bibliography", &[]),
    // Reading and writing files stands below all.
    ("store", &[]),
    ("acuity", &["quantity"]),
    ("light", &["quantity"]),
    ("room", &["quantity", "light", "store"]),
    // What a file says of itself: those who write it and those who check it read nothing else of each other.
    ("claim", &["quantity", "acuity", "light", "room"]),
    ("optotype", &["quantity"]),
    ("scene", &["quantity"]),
    ("chart", &["quantity", "acuity", "light", "room", "claim", "optotype", "scene"]),
    ("eye", &["quantity", "acuity", "light", "room"]),
    ("raster", &["quantity", "light", "room", "scene"]),
    ("balance", &["quantity", "acuity", "light", "eye", "bibliography"]),
    ("view", &["quantity", "acuity", "light", "room", "optotype", "scene", "chart", "raster", "eye"]),
    (
        "report",
        &["quantity", "acuity", "light", "room", "scene", "chart", "eye", "view", "balance", "bibliography"],
    ),
    ("export/font", &["quantity", "optotype"]),
    ("export/pdf", &["quantity", "scene"]),
    ("export/png", &["quantity", "scene"]),
    ("export/svg", &["quantity", "scene"]),
    // The check measures: it never sees how a chart is drawn.
    ("check", &["quantity", "acuity", "light", "room", "claim", "bibliography", "store"]),
    (
        "print",
        &[
            "quantity",
            "acuity",
            "light",
            "room",
            "optotype",
            "scene",
            "chart",
            "eye",
            "view",
            "balance",
            "bibliography",
            "report",
            "claim",
        ],
    ),
    (
        "web",
        &[
            "quantity", "acuity", "light", "room", "optotype", "scene", "chart", "raster", "eye", "view",
            "balance", "export",
        ],
    ),
    (
        "cli",
        &[
            "quantity",
            "claim",
            "report",
            "acuity",
            "light",
            "room",
            "optotype",
            "scene",
            "chart",
            "raster",
            "eye",
            "export",
            "check",
            "print",
            "store",
            "view",
            "web",
            "balance",
            "bibliography",
        ],
    ),
];

/// The sources below a place, without tests.
fn sources(place: &Path) -> Vec<PathBuf> {
    if place.is_file() {
        return vec![place.to_owned()];
    }
    let inside = fs::read_dir(place).unwrap().map(|entry| entry.unwrap().path());
    inside.flat_map(|path| sources(&path)).filter(|path| !path.ends_with("tests.rs")).collect()
}

/// The modules that a source names after `crate::`, outside its own tests.
fn seen(source: &Path) -> Vec<String> {
    let text = fs::read_to_string(source).unwrap();
    let code = text.split("#[cfg(test)]").next().unwrap();
    let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
    lines
        .flat_map(|line| line.split("crate::").skip(1).map(ToOwned::to_owned).collect::<Vec<_>>())
        .map(|rest| rest.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect())
        .filter(|name: &String| name.chars().all(|letter| letter.is_lowercase() || letter == '_'))
        .collect()
}

/// Files of the top that are no module of their own.
const TOP: [&str; 2] = ["lib.rs", "main.rs"];

#[test]
fn every_module_has_its_row() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for entry in fs::read_dir(root).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let module = name.trim_end_matches(".rs");
        let listed = MAY_SEE.iter().any(|(row, _)| row.split('/').next() == Some(module));
        assert!(listed || TOP.contains(&name.as_str()), "{name} has no row in this test");
    }
}

#[test]
fn each_module_sees_only_what_stands_before_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut looked_at = 0;
    for (module, may_see) in MAY_SEE {
        let place = root.join(module);
        let place = if place.is_dir() { place } else { place.with_extension("rs") };
        for source in sources(&place) {
            looked_at += 1;
            for other in seen(&source) {
                let allowed = module.split('/').next() == Some(&other)
                    || other == "text"
                    || may_see.contains(&other.as_str());
                assert!(allowed, "{} must not see {other}", source.display());
            }
        }
    }
    assert!(looked_at > 50, "only {looked_at} sources were found");
}

#[test]
fn every_file_of_tests_is_run() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let all = fs::read_to_string(folder.join("all.rs")).unwrap();
    let files = sources(&folder).into_iter().filter(|file| file.parent() == Some(&folder));
    let names = files.filter_map(|file| Some(file.file_stem()?.to_str()?.to_owned()));
    for name in names.filter(|name| name != "all") {
        assert!(all.contains(&format!("\nmod {name};")), "tests/{name}.rs is not named in tests/all.rs");
    }
}
