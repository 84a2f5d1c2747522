//! Dependencies point one way.

use std::fs;
use std::path::{Path, PathBuf};

/// Each room of the house and what it may see of the others.
const MAY_SEE: [(&str, &[&str]); 27] = [
    ("quantity", &[]),
    // Any room may check and show words, and do work beside other work.
    ("text", &[]),
    ("beside", &[]),
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
    ("eye", &["quantity", "acuity", "light", "room", "bibliography"]),
    ("raster", &["quantity", "light", "room", "scene"]),
    ("balance", &["quantity", "acuity", "light", "eye", "bibliography"]),
    ("view", &["quantity", "acuity", "light", "room", "optotype", "scene", "chart", "raster", "eye"]),
    (
        "report",
        &["quantity", "acuity", "light", "room", "scene", "chart", "eye", "view", "balance", "bibliography"],
    ),
    // One examination while it happens; the pages that show it are the web's.
    (
        "exam",
        &[
            "quantity",
            "acuity",
            "light",
            "room",
            "optotype",
            "scene",
            "chart",
            "eye",
            "report",
            "balance",
            "store",
            "bibliography",
        ],
    ),
    ("export/font", &["quantity", "optotype"]),
    ("export/pdf", &["quantity", "scene"]),
    ("export/png", &["quantity", "scene"]),
    ("export/svg", &["quantity", "scene"]),
    // What other programs take of an examination.
    ("hand_over", &["quantity", "acuity", "balance", "export"]),
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
            "quantity", "acuity", "light", "room", "claim", "optotype", "scene", "chart", "raster", "eye",
            "view", "balance", "report", "export", "exam",
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
            "exam",
            "hand_over",
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
                    || ["text", "beside"].contains(&other.as_str())
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

/// The paths of a `use`: a brace stands for each of what is in it.
fn expanded(path: &str) -> Vec<String> {
    let Some((before, rest)) = path.split_once('{') else { return vec![path.trim().to_owned()] };
    let (mut depth, mut parts) = (0, vec![String::new()]);
    for letter in rest.chars() {
        match letter {
            '}' if depth == 0 => break,
            ',' if depth == 0 => parts.push(String::new()),
            _ => {
                depth += i32::from(letter == '{') - i32::from(letter == '}');
                parts.last_mut().unwrap().push(letter);
            }
        }
    }
    let parts = parts.iter().filter(|part| !part.trim().is_empty());
    parts.flat_map(|part| expanded(part)).map(|part| format!("{}{part}", before.trim())).collect()
}

/// What a source imports, outside its own tests, as segments; whether for others as well.
fn imports(source: &Path) -> Vec<(bool, Vec<String>)> {
    let text = fs::read_to_string(source).unwrap();
    let code = text.split("#[cfg(test)]").next().unwrap();
    let statements = code.split(';').filter_map(|statement| {
        let lines = statement.lines().filter(|line| !line.trim_start().starts_with("//"));
        let statement = lines.collect::<Vec<_>>().join(" ");
        let (before, path) = statement.trim().split_once("use ")?;
        let before = before.rsplit(']').next().unwrap_or_default().trim();
        let is_use = before.is_empty() || (before.starts_with("pub") && !before.contains('{'));
        is_use.then(|| (!before.is_empty(), path.to_owned()))
    });
    let segments = |path: String| path.split("::").map(|one| one.trim().to_owned()).collect::<Vec<_>>();
    statements
        .flat_map(|(given_on, path)| expanded(&path).into_iter().map(move |path| (given_on, path)))
        .map(|(given_on, path)| (given_on, segments(path)))
        .collect()
}

/// A folder's files, each with the folder of its own name; tests left out.
fn files(folder: &Path) -> Vec<(String, Vec<PathBuf>)> {
    let mut files: std::collections::BTreeMap<String, Vec<PathBuf>> = std::collections::BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        let name = entry.file_stem().unwrap().to_str().unwrap().to_owned();
        if (entry.is_dir() || entry.extension().is_some_and(|ending| ending == "rs")) && name != "mod" {
            files.entry(name).or_default().extend(sources(&entry));
        }
    }
    files.into_iter().filter(|(name, sources)| name != "tests" && !sources.is_empty()).collect()
}

/// The file of a folder that gives a name on, by the folder's own file.
fn given_on_by(folder: &Path, name: &str) -> Option<String> {
    let own = [folder.join("mod.rs"), folder.with_extension("rs")].into_iter().find(|path| path.is_file())?;
    imports(&own).into_iter().find_map(|(given_on, path)| {
        let from = if path[0] == "self" { &path[1..] } else { &path[..] };
        (given_on && from.len() > 1 && from.last().unwrap() == name).then(|| from[0].clone())
    })
}

/// The sibling that a source of a folder imports by a path, if it does.
fn sibling(folder: &Path, source: &Path, path: &[String]) -> Option<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let within = |place: &Path| -> Vec<String> {
        let parts = place.strip_prefix(&root).unwrap().with_extension("");
        parts.iter().map(|part| part.to_str().unwrap().to_owned()).filter(|part| part != "mod").collect()
    };
    let mut at = within(source);
    let supers = path.iter().take_while(|part| *part == "super").count();
    let rest = match path[0].as_str() {
        "crate" => {
            at.clear();
            &path[1..]
        }
        "super" => {
            at.truncate(at.len().checked_sub(supers)?);
            &path[supers..]
        }
        _ => return None,
    };
    at.extend(rest.iter().cloned());
    let inside = within(folder);
    let next = at.strip_prefix(inside.as_slice())?.first()?.clone();
    if folder.join(&next).with_extension("rs").is_file() || folder.join(&next).is_dir() {
        Some(next)
    } else {
        given_on_by(folder, &next)
    }
}

/// The files of a folder that import each other in a circle.
fn circles(folder: &Path) -> Vec<String> {
    let files = files(folder);
    let mut seen: Vec<(String, String)> = Vec::new();
    for (name, sources) in &files {
        for source in sources {
            let siblings = imports(source).into_iter().filter_map(|(_, path)| sibling(folder, source, &path));
            seen.extend(siblings.filter(|other| other != name).map(|other| (name.clone(), other)));
        }
    }
    // What each sees through others as well.
    loop {
        let through = |(one, other): &(String, String)| {
            let next = seen.iter().filter(move |(from, _)| from == other);
            next.map(|(_, to)| (one.clone(), to.clone())).collect::<Vec<_>>()
        };
        let more: Vec<_> = seen.iter().flat_map(through).filter(|pair| !seen.contains(pair)).collect();
        if more.is_empty() {
            break;
        }
        for pair in more {
            if !seen.contains(&pair) {
                seen.push(pair);
            }
        }
    }
    let round = |(name, _): &(String, Vec<PathBuf>)| seen.contains(&(name.clone(), name.clone()));
    files.iter().filter(|file| round(file)).map(|(name, _)| name.clone()).collect()
}

/// A folder and all below it.
fn folders(folder: &Path) -> Vec<PathBuf> {
    let inside = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let below = inside.filter(|path| path.is_dir()).flat_map(|path| folders(&path));
    std::iter::once(folder.to_owned()).chain(below).collect()
}

#[test]
fn files_of_a_folder_see_each_other_one_way() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    // The rooms themselves have their own table above.
    for folder in folders(&root).into_iter().skip(1) {
        let name = folder.strip_prefix(&root).unwrap().to_str().unwrap().to_owned();
        assert_eq!(circles(&folder), [""; 0], "{name}: files in a circle");
    }
}

#[test]
fn imports_are_read_whatever_their_form() {
    let of = |path: &str| expanded(path).join(" ");
    assert_eq!(of("super::a::B"), "super::a::B");
    assert_eq!(of("super::{a::{B, C}, d}"), "super::a::B super::a::C super::d");
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let source = root.join("balance/run.rs");
    let to = |path: &[&str]| {
        let path: Vec<String> = path.iter().map(|one| (*one).to_owned()).collect();
        sibling(&root.join("balance"), &source, &path)
    };
    assert_eq!(to(&["super", "answer", "Answer"]).as_deref(), Some("answer"));
    // Through the folder's own file as well.
    assert_eq!(to(&["super", "Answer"]).as_deref(), Some("answer"));
    assert_eq!(to(&["crate", "balance", "Answer"]).as_deref(), Some("answer"));
    assert_eq!(to(&["crate", "eye", "CLICK_D"]), None);
}
