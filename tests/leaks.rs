//! Nothing that stands in a name, a profile's path or another program's file leaks into a chart, a page or a terminal.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop")]

use crate::common::{Desk, Png, ROOM};

/// A profile beside no room file.
const PROFILE: &[u8] = include_bytes!("data/wide_gamma.icc");

/// What makes a terminal do something else than show letters: an escape that clears it, and the one of eight bits.
const ESCAPES: &str = "\u{1b}[2J\u{9b}31m";

/// An eye as flags describe it.
const EYE: &str =
    "balance --eye right --manifest -1.00 --for room --acuity 20/20 --kind presbyopic --procedure from-plus";

/// A command's words: some by spaces, then some as they are.
fn spoken<'a>(words: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    words.split(' ').chain(more.iter().copied()).collect()
}

/// A record of one eye, kept by the program itself.
fn record(desk: &Desk, label: &str) -> String {
    let more = ["--label", label, "--answers", "red,green", "--record", "r.jsonl"];
    let run = desk.run_words(&spoken(EYE, &more));
    assert_eq!(run.code, 0, "{run:?}");
    std::fs::read_to_string(desk.path("r.jsonl")).unwrap()
}

/// A new room, to which a test adds what it is about.
const NEW_ROOM: [&str; 10] =
    ["room", "new", "--pixels", "1280x800", "--width", "351mm", "--distance", "3m", "--out", "r.toml"];

/// No control character but the end of a line.
fn is_plain(text: &str) -> bool {
    text.chars().all(|letter| letter == '\n' || !letter.is_control())
}

#[test]
fn a_chart_tells_a_profile_by_its_name_and_a_sum_and_not_by_its_folder() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("ophelia")).unwrap();
    let profile = desk.write("ophelia/screen.icc", PROFILE);
    let spectrum = desk.write("ophelia/red.csv", include_str!("data/lcd_red.csv"));
    let run = desk.run_words(&[&NEW_ROOM[..], &["--icc", profile.to_str().unwrap()]].concat());
    assert_eq!(run.code, 0, "{run:?}");
    let room = std::fs::read_to_string(desk.path("r.toml")).unwrap();
    let (before, _) = room.split_once("[primaries.red]").unwrap();
    let spectra = format!(
        "{before}[primaries.red]\nspectrum = {:?}\n[primaries.green]\npeak_nm = 530.0\nfwhm_nm = 40.0\n[primaries.blue]\npeak_nm = 450.0\nfwhm_nm = 20.0\n",
        spectrum.to_str().unwrap()
    );
    desk.write("s.toml", spectra);
    for room in ["r.toml", "s.toml"] {
        for ending in ["png", "svg"] {
            let run = desk.run(&format!("chart --room {room} --threshold 20/40 --out {room}.{ending}"));
            assert_eq!(run.code, 0, "{run:?}");
            // The file proves itself by what it says, and by the room of that name.
            for words in ["", "--room "] {
                let named = if words.is_empty() { "" } else { room };
                let run = desk.run(&format!("check {room}.{ending} {words}{named}"));
                assert_eq!(run.code, 0, "{run:?}");
            }
        }
        let text = Png::read(&desk.path(&format!("{room}.png"))).json.unwrap();
        let svg = std::fs::read_to_string(desk.path(&format!("{room}.svg"))).unwrap();
        for text in [&text, &svg] {
            assert!(!text.contains("ophelia") && !text.contains(desk.path("").to_str().unwrap()), "{text}");
            assert!(text.contains("screen.icc"), "{text}");
        }
        let json: serde_json::Value = serde_json::from_str(&text).unwrap();
        let sum = format!("{:08x}", crc32fast::hash(PROFILE));
        assert_eq!(json["room"]["screen"]["profile"], "screen.icc");
        assert_eq!(json["room_files"][0]["name"], "screen.icc");
        assert_eq!(json["room_files"][0]["crc32"], sum.as_str());
    }
}

#[test]
fn a_name_that_cannot_be_written_is_refused_by_its_own_reason() {
    let desk = Desk::new();
    let long = "x".repeat(81);
    for (name, reason) in [
        (" ", "is empty"),
        (long.as_str(), "has 81 characters, over 80"),
        ("a\u{1b}[2Jb", "U+001B"),
        ("a\nb", "U+000A"),
        ("a\u{fffe}b", "U+FFFE"),
        ("a\u{ffff}b", "U+FFFF"),
        ("a\u{202e}b", "U+202E"),
    ] {
        let refused = |words: &[&str]| {
            let run = desk.run_words(words);
            assert_eq!(run.code, 2, "{name:?}: {run:?}");
            assert!(run.err.contains(reason) && is_plain(&run.err), "{name:?}: {}", run.err);
            let others = ["is empty", "over 80", "U+"].iter().filter(|other| run.err.contains(*other));
            assert_eq!((others.count(), run.err.lines().count()), (1, 1), "{name:?}: {}", run.err);
        };
        refused(&[&NEW_ROOM[..], &["--name", name]].concat());
        refused(&spoken(EYE, &["--answers", "red", "--label", name]));
        let quoted: String = name.chars().map(|letter| format!("\\u{:04x}", u32::from(letter))).collect();
        desk.write("f.toml", ROOM.replace("Quillhaven practice, room 1", &quoted));
        refused(&["chart", "--room", "f.toml", "--line", "20/40", "--out", "c.svg"]);
    }
    assert_eq!(desk.files(), ["f.toml"]);
}

#[test]
fn what_others_wrote_is_shown_and_never_obeyed() {
    let desk = Desk::new();
    // A foreign record whose label, room and time hold escapes.
    let text = record(&desk, "drawer 3");
    for (was, evil) in [("drawer 3", "d\\u001b[2J"), ("2026", "\\u001b[2J"), ("built-in", "\\u009b31m")] {
        desk.write("evil.jsonl", text.replace(was, evil));
        let run = desk.run("balance --show evil.jsonl");
        assert!(is_plain(&run.out) && is_plain(&run.err), "{run:?}");
    }
    // A chart whose text names letters, a version and fields with escapes.
    let room = desk.write("r.toml", ROOM);
    let run = desk.run("chart --room r.toml --threshold 20/40 --out c.png");
    assert_eq!(run.code, 0, "{room:?} {run:?}");
    let mut png = Png::read(&desk.path("c.png"));
    let json = png.json.clone().unwrap();
    let mut claim: serde_json::Value = serde_json::from_str(&json).unwrap();
    let spoil: [fn(&mut serde_json::Value); 3] = [
        |claim| claim["chart"]["lines"][0]["letters"][0] = format!("{ESCAPES}\n").into(),
        |claim| claim["chart"]["fields"] = ESCAPES.into(),
        |claim| claim["chart"]["letters"] = format!("{ESCAPES}\n").into(),
    ];
    for spoil in spoil {
        let mut spoilt = claim.clone();
        spoil(&mut spoilt);
        png.json = Some(spoilt.to_string());
        png.write(&desk.path("evil.png"));
        for words in ["check evil.png", "check evil.png --json"] {
            let run = desk.run(words);
            assert!(is_plain(&run.out) && is_plain(&run.err), "{run:?}");
        }
    }
    claim["room"]["name"] = "a\nb".into();
    png.json = Some(claim.to_string());
    png.write(&desk.path("evil.png"));
    // Words that cannot be a room's are not understood, and the finding says why.
    let run = desk.run("check evil.png");
    assert!(run.out.contains("U+000A") && is_plain(&run.out), "{run:?}");
}

#[cfg(unix)]
#[test]
fn a_file_name_never_makes_two_lines_of_a_message() {
    let desk = Desk::new();
    let name = format!("x{ESCAPES}\ny");
    let lines = |words: &[&str]| {
        let run = desk.run_words(words);
        assert!(is_plain(&run.out) && is_plain(&run.err), "{run:?}");
        let said = format!("{}{}", run.out, run.err);
        assert!(said.lines().any(|line| line.contains('x') && line.contains('y')), "{run:?}");
        assert!(!said.lines().any(|line| line.starts_with('y')), "{run:?}");
    };
    let named = |ending: &str| format!("{name}{ending}");
    lines(&["check", &named(".png")]);
    lines(&["chart", "--room", &named(".toml"), "--line", "20/40", "--out", "c.png"]);
    lines(&["chart", "--line", "20/40", "--out", &named(".png")]);
    lines(&["check", &named(".png")]);
    lines(&["balance", "--show", &named(".jsonl")]);
    desk.write(&named(".toml"), ROOM);
    lines(&["page", "--room", &named(".toml"), "--out", &named(".html")]);
    lines(&["room", "report", "--room", &named(".toml")]);
    lines(&[
        "room",
        "new",
        "--pixels",
        "1280x800",
        "--width",
        "351mm",
        "--distance",
        "3m",
        "--out",
        &named("2.toml"),
    ]);
    lines(&["room", "verify", "--room", &named(".toml"), "--red", "40", "--green", "40"]);
}

#[test]
fn a_room_named_as_a_place_of_the_page_fills_none() {
    let desk = Desk::new();
    for name in ["@TABLE@", "@SCRIPT@"] {
        desk.write("r.toml", ROOM.replace("Quillhaven practice, room 1", name));
        let run = desk.run("page --room r.toml --out p.html --force");
        assert_eq!(run.code, 0, "{run:?}");
        let page = std::fs::read_to_string(desk.path("p.html")).unwrap();
        assert!(page.contains(&format!("<title>{name}</title>")), "{name}: another title");
        // Once in the title and as often in the table.
        assert!(page.matches(name).count() >= 2, "{name}");
    }
    // The page to practise on takes its time: its own test names a room so.
}

#[test]
fn a_bad_spectrum_is_noticed_wherever_a_room_is_used_and_not_quoted() {
    let desk = Desk::new();
    let used = [
        "chart --room r.toml --threshold 20/40 --out c2.png",
        "page --room r.toml --out p.html",
        "check c.png --room r.toml",
        "room sheet --room r.toml --out s.png",
        "room report --room r.toml",
    ];
    desk.write("good.toml", ROOM);
    assert_eq!(desk.run("chart --room good.toml --threshold 20/40 --out c.png").code, 0);
    let band = "peak_nm = 530.0, fwhm_nm = 40.0";
    let room = format!("{ROOM}[primaries]\nred = {{ spectrum = \"red.csv\" }}\ngreen = {{ {band} }}\n");
    desk.write("r.toml", room);
    for (text, row) in [
        ("root:x:0:0:secret\n", "line 1"),
        ("wavelength_nm,power\nsecret,1\n", "line 2"),
        ("wavelength_nm,power\n600,0\n605,-77777\n", "line 3"),
        ("wavelength_nm,power\n600,0\n577.77,1\n", "line 3"),
        ("wavelength_nm,power\n600,0\n777.77,1\n", "line 3"),
        ("wavelength_nm,power\n600,0\n610,1\n617.777,1\n", "line 4"),
    ] {
        desk.write("red.csv", text);
        for words in used {
            let run = desk.run(words);
            assert_eq!((run.code, run.out.as_str()), (2, ""), "{words}, {text:?}: {run:?}");
            assert!(run.err.contains(row), "{words}, {text:?}: {}", run.err);
            assert!(!run.err.contains("secret") && !run.err.contains("77"), "{words}: {}", run.err);
        }
    }
    assert_eq!(desk.files(), ["c.png", "good.toml", "r.toml", "red.csv"]);
}

#[test]
fn no_number_without_end_is_printed_or_kept() {
    let desk = Desk::new();
    // Powers that only a sum of which is too large for a number.
    desk.write("red.csv", "wavelength_nm,power\n600,0\n610,1e308\n620,1.7e308\n630,0\n");
    let band = "peak_nm = 530.0, fwhm_nm = 40.0";
    desk.write(
        "r.toml",
        format!("{ROOM}[primaries]\nred = {{ spectrum = \"red.csv\" }}\ngreen = {{ {band} }}\n"),
    );
    for words in ["room report --room r.toml", "curve --room r.toml --pupil 3mm"] {
        let run = desk.run(words);
        assert_eq!(run.code, 0, "{run:?}");
        assert!(!run.out.contains("NaN") && !run.out.contains("inf"), "{}", run.out);
    }
    // The mean wavelength of that triangle lies by hand within its lines.
    let nm = desk.run("room report --room r.toml --json").out;
    let nm: serde_json::Value = serde_json::from_str(&nm).unwrap();
    let red = nm["mean_wavelengths_nm"][0].as_f64().unwrap();
    assert!((610.0..620.0).contains(&red), "{red}");
    for reading in ["1e308", "100001", "0", "nan"] {
        let run = desk.run(&format!("room verify --room r.toml --red {reading} --green 40"));
        assert_eq!(run.code, 2, "{reading}: {run:?}");
    }
    assert_eq!(desk.files(), ["r.toml", "red.csv"]);
}

#[test]
fn a_near_distance_just_too_short_is_said_with_its_digits() {
    let desk = Desk::new();
    for (distance, said) in
        [("19.99cm", "19.99 cm"), ("10.001m", "10.001 m"), ("199.9999mm", "199.9999 mm"), ("10cm", "10 cm")]
    {
        let run = desk.run(&format!("near --distance {distance} --out n.pdf"));
        assert_eq!(run.code, 2);
        let (value, rest) = run.err.split_once(": a near chart is for 20 cm to 10 m").unwrap();
        assert!(
            value.ends_with(said) || said == "199.9999 mm" && value.ends_with("19.99999 cm"),
            "{value}{rest}"
        );
    }
}

#[test]
fn an_svg_with_a_byte_order_mark_is_an_svg() {
    let desk = Desk::new();
    desk.write("r.toml", ROOM);
    assert_eq!(desk.run("chart --room r.toml --threshold 20/40 --out c.svg").code, 0);
    let svg = std::fs::read_to_string(desk.path("c.svg")).unwrap();
    desk.write("marked.svg", format!("\u{feff}{svg}"));
    let run = desk.run("check marked.svg");
    assert_eq!(run.code, 0, "{run:?}");
}

#[test]
fn a_record_whose_only_line_was_cut_stays_a_record() {
    let desk = Desk::new();
    let whole = record(&desk, "drawer 3");
    let line = whole.lines().next().unwrap();
    for end in [1, 10, 25, line.len() / 2, line.len() - 1] {
        desk.write("r.jsonl", &line[..end]);
        let run = desk.run("balance --show r.jsonl");
        assert_eq!(run.code, 1, "{end}: {run:?}");
        assert!(run.err.contains("line 1"), "{end}: {}", run.err);
        let after = record(&desk, "drawer 4");
        assert!(after.starts_with(&line[..end]) && after.lines().count() == 4, "{end}: {after}");
        assert_eq!(desk.run("balance --show r.jsonl").code, 1);
    }
    // What is something else stays so.
    for other in ["{\"name\": 1}\n", "{\n\"name\": 1\n}\n", "hello", "name = 1\n"] {
        desk.write("r.jsonl", other);
        assert_eq!(desk.run("balance --show r.jsonl").code, 2, "{other:?}");
    }
}

#[test]
fn fields_of_a_record_are_bounded() {
    let desk = Desk::new();
    let text = record(&desk, "drawer 3");
    let many = "x".repeat(1 << 20);
    let built_in = text.split("\"name\":\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let id = text.split("\"examination\":\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    for was in ["drawer 3", built_in.as_str(), id.as_str()] {
        desk.write("long.jsonl", text.replace(was, &many));
        let run = desk.run("balance --show long.jsonl --out long.pdf --force");
        assert!(run.code != 0 && run.err.len() < 4000, "{was}: {}", run.err.len());
        assert!(!run.err.contains("xxx") && !run.out.contains("xxx"), "{was}");
    }
}
