//! Honest charts as other programs save them again. What such a program keeps is measured and passes, and is drawn as the honest
//! chart by renderers that this project did not write; what it changes, or says so that nobody can measure it, is refused.

use std::process::Command;

use crate::common::{Desk, skip};
use crate::drawn::{MOST_PIXELS, by_poppler, by_resvg, different};

/// The pixels of the room's screen, in which pictures are compared.
const PIXELS: [u32; 2] = [480, 300];

/// What a copy deserves.
#[derive(Clone, Copy)]
enum Deserves {
    /// Exit 0, and the picture of the honest chart.
    Pass,
    /// Exit 2, with a sentence that says this.
    Refusal(&'static str),
}
use Deserves::{Pass, Refusal};

/// A chart, a program that saves it again, the copy's ending, and what charts and near charts deserve. In the program's words
/// IN and OUT stand for the files.
struct Resaved {
    from: &'static str,
    program: &'static str,
    words: &'static str,
    to: &'static str,
    chart: Deserves,
    near: Deserves,
}

const fn resaved(
    from: &'static str,
    [program, words]: [&'static str; 2],
    to: &'static str,
    [chart, near]: [Deserves; 2],
) -> Resaved {
    Resaved { from, program, words, to, chart, near }
}

/// Poppler's Cairo moves edges to whole pixels and clips; where it is used nothing passes.
const CLIPPED: [Deserves; 2] = [Refusal("only filled paths are measured"), Refusal("2 pages")];

/// These lose what the file says of itself, which says that it is a near chart with words.
const UNSAID: [Deserves; 2] = [Pass, Refusal("2 pages")];
const OUTLINED: [Deserves; 2] = [Pass, Refusal("words drawn as outlines")];

const PROGRAMS: [Resaved; 16] = [
    resaved("pdf", ["qpdf", "IN OUT"], "pdf", [Pass; 2]),
    resaved("pdf", ["qpdf", "--object-streams=generate IN OUT"], "pdf", [Pass; 2]),
    resaved("pdf", ["qpdf", "--qdf IN OUT"], "pdf", [Pass; 2]),
    resaved("pdf", ["qpdf", "--linearize IN OUT"], "pdf", [Pass; 2]),
    resaved("pdf", ["qpdf", "--stream-data=uncompress IN OUT"], "pdf", [Pass; 2]),
    resaved("pdf", ["qpdf", "--recompress-flate --compression-level=9 IN OUT"], "pdf", [Pass; 2]),
    resaved("pdf", ["pdfunite", "IN OUT"], "pdf", UNSAID),
    resaved("pdf", ["gs", "-q -sDEVICE=pdfwrite -o OUT IN"], "pdf", UNSAID),
    resaved("pdf", ["pdftocairo", "-pdf IN OUT"], "pdf", CLIPPED),
    resaved("pdf", ["pdftocairo", "-svg -f 1 -l 1 IN OUT"], "svg", [Refusal("<defs>"); 2]),
    resaved("svg", ["rsvg-convert", "-f pdf -o OUT IN"], "pdf", OUTLINED),
    resaved("svg", ["rsvg-convert", "-f svg -o OUT IN"], "svg", OUTLINED),
    resaved("png", ["convert", "IN OUT"], "png", [Pass; 2]),
    resaved("png", ["convert", "IN -strip -interlace PNG OUT"], "png", [Pass; 2]),
    resaved("png", ["convert", "IN PNG8:OUT"], "png", [Pass; 2]),
    resaved("png", ["convert", "IN PNG48:OUT"], "png", [Pass; 2]),
];

const CHARTS: [(&str, &str); 3] =
    [("plain", ""), ("rings", "--fields white --letters rings"), ("mirrored", "--letters hotv")];

/// Charts and a near chart in every format, and the rooms of the charts.
fn made() -> Desk {
    let desk = Desk::new();
    let room = |mirror: bool| {
        let [columns, rows] = PIXELS;
        format!(
            "[viewing]\ndistance_mm = 1600\nmirror = {mirror}\n[screen]\npixels = [{columns}, {rows}]\npitch_mm = 0.2745\n"
        )
    };
    for ending in ["svg", "pdf", "png"] {
        for (name, words) in CHARTS {
            desk.write(&format!("{name}.toml"), room(name == "mirrored"));
            let words = format!("chart --room {name}.toml --line 20/40 {words} --out {name}.{ending}");
            assert_eq!(desk.run(&words).code, 0, "{words}");
        }
    }
    for ending in ["svg", "pdf"] {
        let near = desk.run(&format!("near --line 20/100 --line 20/40 --out near.{ending}"));
        assert_eq!(near.code, 0, "{}", near.err);
    }
    desk
}

/// The pixels that another program decodes or draws of a file.
fn picture(desk: &Desk, name: &str) -> Vec<u8> {
    let path = desk.path(name);
    match name.rsplit_once('.').unwrap().1 {
        "pdf" => by_poppler(&path, PIXELS).unwrap(),
        "svg" => by_resvg(&std::fs::read(path).unwrap(), PIXELS).unwrap(),
        _ => Command::new("convert").arg(path).args(["-depth", "8", "rgb:-"]).output().unwrap().stdout,
    }
}

fn holds(desk: &Desk, one: &Resaved, name: &str, copy: &str, deserves: Deserves) {
    let (from, copy) = (format!("{name}.{}", one.from), format!("copy-{copy}.{}", one.to));
    let words = one.words.replace("IN", &from).replace("OUT", &copy);
    let said = format!("{} {words}", one.program);
    let run = Command::new(one.program)
        .args(words.split_whitespace())
        .current_dir(desk.path("."))
        .output()
        .unwrap();
    assert!(run.status.success(), "{said}: {}", String::from_utf8_lossy(&run.stderr));
    let room = if name == "near" { String::new() } else { format!("--room {name}.toml") };
    let checked = desk.run(&format!("check {copy} {room}"));
    match deserves {
        Pass => {
            assert_eq!(checked.code, 0, "{said}: {}{}", checked.out, checked.err);
            let off = different(&picture(desk, &from), &picture(desk, &copy));
            assert!(off <= MOST_PIXELS, "{said}: {off} pixels differ");
        }
        Refusal(why) => {
            assert_eq!(checked.code, 2, "{said}: {}", checked.out);
            assert!(
                checked.err.trim_end().lines().count() == 1 && checked.err.contains(why),
                "{said}: {}",
                checked.err
            );
        }
    }
}

/// Every third program of those that leave a near chart as it is saves one; it is as large as ten charts.
const NEAR_ONE_IN: usize = 3;

fn holds_each(desk: &Desk, number: usize, one: &Resaved) {
    if Command::new(one.program).arg("--version").output().is_err() {
        return skip("pdf", one.program);
    }
    // One of the charts, each in its turn.
    holds(desk, one, CHARTS[number % CHARTS.len()].0, &format!("{number}"), one.chart);
    let is_refused = matches!(one.near, Refusal(_));
    if one.from != "png" && (is_refused || number % NEAR_ONE_IN == 1) {
        holds(desk, one, "near", &format!("near-{number}"), one.near);
    }
}

#[test]
fn each_copy_gets_what_it_deserves() {
    let desk = made();
    let halves = PROGRAMS.split_at(PROGRAMS.len() / 2);
    std::thread::scope(|scope| {
        for (first, half) in [(0, halves.0), (halves.0.len(), halves.1)] {
            let desk = &desk;
            scope.spawn(move || {
                for (number, one) in half.iter().enumerate() {
                    holds_each(desk, first + number, one);
                }
            });
        }
    });
}
