//! Charts as SVG and PDF, measured by their paths; copies spoilt as other hands would.

use std::sync::OnceLock;

use crate::common::{Desk, asked};

/// A chart of a room with a mirror, several lines and labels.
fn chart(desk: &Desk, name: &str, more: &str) {
    let run = desk.run(&format!("chart --line 20/63 --line 20/40 --out {name} --force {more}"));
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
}

#[test]
fn charts_of_paths_pass_their_check() {
    let desk = Desk::new();
    let mirrored =
        "[viewing]\ndistance_mm = 4200\nmirror = true\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n";
    desk.write("mirror.toml", mirrored);
    for more in [
        "--labels",
        "--fields white --letters rings",
        "--letters tumbling-e",
        "--room mirror.toml --letters hotv",
    ] {
        for name in ["chart.svg", "chart.pdf"] {
            chart(&desk, name, more);
            let room = if more.contains("mirror") { "--room mirror.toml" } else { "" };
            let run = desk.run(&format!("check {name} {room}"));
            assert_eq!(run.code, 0, "{name} {more}: {}", run.out);
            assert!(run.out.contains("letter size") && run.out.contains("mm"), "{}", run.out);
            assert!(!run.out.contains("stroke in pixels"), "{}", run.out);
        }
    }
    let Some(sound) = asked(&desk, "qpdf", &["--check", "chart.pdf"]) else { return };
    assert!(sound.contains("No syntax or stream encoding errors"), "{sound}");
}

/// The text of a chart's SVG with one thing changed.
fn spoilt(desk: &Desk, change: impl Fn(&str) -> String) -> crate::common::Run {
    static CHART: OnceLock<String> = OnceLock::new();
    let text = CHART.get_or_init(|| {
        let desk = Desk::new();
        chart(&desk, "chart.svg", "");
        std::fs::read_to_string(desk.path("chart.svg")).unwrap()
    });
    let changed = change(text);
    assert_ne!(changed, *text);
    desk.write("spoilt.svg", changed);
    desk.run("check spoilt.svg")
}

/// All letters of a path of one line moved together: the copy has them a little larger.
fn larger(text: &str, by: f64) -> String {
    text.lines()
        .map(|line| {
            let Some((head, rest)) = line.split_once("<path d=\"") else { return format!("{line}\n") };
            let (data, tail) = rest.split_once('"').unwrap();
            let mut path = kurbo::BezPath::from_svg(data).unwrap();
            let middle = kurbo::Shape::bounding_box(&path).center().to_vec2();
            let grow = kurbo::Affine::translate(middle)
                * kurbo::Affine::scale(by)
                * kurbo::Affine::translate(-middle);
            path.apply_affine(grow);
            format!("{head}<path d=\"{}\"{tail}\n", path.to_svg())
        })
        .collect()
}

fn fails(run: &crate::common::Run, what: &str) -> bool {
    run.out.lines().any(|line| line.trim_start().starts_with("FAIL") && line.contains(what))
}

#[test]
fn spoilt_paths_fail_for_what_is_wrong() {
    let desk = Desk::new();
    // ISO 10938, 4.1.1, borrowed: 5 % of the critical detail.
    let run = spoilt(&desk, |text| larger(text, 1.06));
    assert!(run.code == 1 && fails(&run, "letter size"), "{}", run.out);
    let run = spoilt(&desk, |text| larger(text, 1.03));
    assert!(!fails(&run, "letter size"), "{}", run.out);
    let run = spoilt(&desk, |text| {
        text.replace("\"527\"", "\"540\"").replace("527mm", "540mm").replace("0 0 527 ", "0 0 540 ")
    });
    assert!(run.code == 1 && fails(&run, "scale in the file"), "{}", run.out);
    let run = spoilt(&desk, |text| text.replace("#fc0000", "#f00000"));
    assert!(run.code == 1 && fails(&run, "codes of the fields"), "{}", run.out);
    // The last letter, gone from one field.
    let run = spoilt(&desk, |text| {
        let at = text.rfind("<path").unwrap();
        format!("{}</svg>\n", &text[..at])
    });
    assert!(run.code == 1 && run.out.contains("FAIL"), "{}", run.out);
}

#[test]
fn what_is_more_than_filled_paths_is_refused_in_one_sentence() {
    let desk = Desk::new();
    for (from, to, said) in [
        ("<path d=", "<path transform=\"scale(2)\" d=", "transform="),
        ("<path d=", "<path style=\"fill:red\" d=", "style="),
        ("<path d=", "<text>x</text><path d=", "<text>"),
        ("#fc0000", "red", "#rrggbb"),
        ("<svg ", "<svg style=\"filter:blur(2px)\" ", "style="),
        ("/>\n</svg>", "><set attributeName=\"opacity\" to=\"0\"/></path>\n</svg>", "holds other elements"),
        ("</title>", "<style>path{display:none}</style></title>", "holds other elements"),
        ("<svg ", "<?xml-stylesheet href=\"a.css\"?><svg ", "instruction"),
        ("2000/svg", "2001/svg", "not that of SVG"),
        ("width=\"263", "width=\"-263", "by some and not by others"),
        ("<rect", "<metadata id=\"evenfield\">{}</metadata><rect", "twice"),
        ("<path d=", "<path visibility=\"hidden\" d=", "visibility="),
        ("mm\"", "em\"", "no length from 1 mm to 100 m"),
        ("mm\"", "px\"", "its units are others"),
        ("viewBox=\"0 0", "viewBox=\"1 0", "viewBox"),
        ("</svg>", "", "chart"),
        ("<path d=\"M", "<path d=\"M1e999 0L0 0L1 1ZM", "is not written as SVG has it"),
    ] {
        let run = spoilt(&desk, |text| text.replacen(from, to, 1));
        assert_eq!(run.code, 2, "{to}: {}", run.out);
        assert!(run.err.lines().count() == 1 && run.err.contains(said), "{to}: {}", run.err);
    }
    let thin = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1mm\" height=\"90000mm\" viewBox=\"0 0 1 90000\"></svg>";
    desk.write("thin.svg", thin);
    let run = desk.run("check thin.svg");
    assert!(run.code == 2 && run.err.contains("out of all proportion"), "{}", run.err);
    chart(&desk, "chart.pdf", "");
    let whole = std::fs::read(desk.path("chart.pdf")).unwrap();
    // Keys of as many bytes in place of others, so that the file stays whole.
    for (from, to, said) in [
        ("/TrimBox [", "/BleedBx [", "/BleedBx"),
        ("/Lang (en-GB)", "/AA   (en-GB)", "/AA"),
        ("/CropBox [0 0 ", "/CropBox [9 0 ", "cropped"),
    ] {
        let at = whole.windows(from.len()).position(|part| part == from.as_bytes()).unwrap();
        let mut copy = whole.clone();
        copy[at..at + from.len()].copy_from_slice(&to.as_bytes()[..from.len()]);
        desk.write("changed.pdf", copy);
        let run = desk.run("check changed.pdf");
        assert!(run.code == 2 && run.err.contains(said), "{to}: {}{}", run.out, run.err);
    }
    desk.write("cut.pdf", &whole[..whole.len() / 2]);
    desk.write("nothing.pdf", "%PDF-1.7\n");
    for (file, said) in [("cut.pdf", "not a whole PDF"), ("nothing.pdf", "PDF")] {
        let run = desk.run(&format!("check {file}"));
        assert_eq!(run.code, 2, "{file}: {}", run.out);
        assert!(run.err.lines().count() == 1 && run.err.contains(said), "{file}: {}", run.err);
    }
}

/// On this screen a side in millimetres falls between two of the tenths that are shown.
const SMALL_ROOM: &str =
    "[viewing]\ndistance_mm = 1600\nmirror = false\n[screen]\npixels = [480, 300]\npitch_mm = 0.2745\n";

#[test]
fn a_size_is_compared_by_its_value_and_not_by_its_words() {
    let desk = Desk::new();
    desk.write("room.toml", SMALL_ROOM);
    chart(&desk, "chart.svg", "--line 20/50 --room room.toml");
    let check = |name: &str| desk.run(&format!("check {name} --room room.toml"));
    let run = check("chart.svg");
    assert_eq!(run.code, 0, "{}", run.out);
    let text = std::fs::read_to_string(desk.path("chart.svg")).unwrap();
    desk.write("wider.svg", text.replace("131.76", "131.96"));
    let run = check("wider.svg");
    assert!(run.code == 1 && run.out.contains("scale in the file"), "{}", run.out);
}

/// Strips over a quarter of the small chart, half a sample wide, each drawn by `strip` from its left and right edge and number.
fn hatched(desk: &Desk, strip: impl Fn(f64, f64, u32) -> String) -> crate::common::Run {
    desk.write("room.toml", SMALL_ROOM);
    chart(desk, "chart.svg", "--line 20/50 --room room.toml");
    let wide = 131.76 / 1920.0;
    let strips: String = (0..480)
        .map(|number| strip(f64::from(number) * wide, f64::from(number + 1) * wide, number))
        .collect();
    let text = std::fs::read_to_string(desk.path("chart.svg")).unwrap();
    let hatch = format!("<path d=\"{strips}\" fill=\"#000000\"/></svg>");
    desk.write("hatched.svg", text.replace("</svg>", &hatch));
    desk.run("check hatched.svg --room room.toml")
}

#[test]
fn hair_fine_strips_that_would_cancel_out_or_add_up_are_refused() {
    let desk = Desk::new();
    let down = |left: f64, right: f64| format!("M{left:.5} 0L{right:.5} 0L{right:.5} 82.35L{left:.5} 82.35Z");
    let up = |left: f64, right: f64| format!("M{left:.5} 0L{left:.5} 82.35L{right:.5} 82.35L{right:.5} 0Z");
    let against = |left: f64, right: f64, number: u32| {
        let right = right - 1e-4;
        if number.is_multiple_of(2) { down(left, right) } else { up(left, right) }
    };
    let twice = |left: f64, right: f64, number: u32| {
        if number.is_multiple_of(2) { down(left, right).repeat(2) } else { String::new() }
    };
    for run in [hatched(&desk, against), hatched(&desk, twice)] {
        assert!(run.code == 2 && run.err.contains("runs over itself"), "{}{}", run.out, run.err);
    }
}
