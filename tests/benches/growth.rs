//! How the cost of a whole command grows: with the screen's pixels, with the chart's lines, and from task to task.
//!
//! Each row is one command as a person gives it, three times, the quickest counted; what it took of the processor and its greatest
//! memory are read from the system while it runs. The bars are to one scale within a table.

#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a benchmark may stop, and prints")]

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The widest bar, in letters.
const WIDEST: f64 = 40.0;

/// How often each command is run.
const TIMES: usize = 3;

/// How often the system is asked what a program has taken.
const ASKED: Duration = Duration::from_micros(500);

/// What one run of a command took.
struct Cost {
    took: Duration,
    megabytes: f64,
}

/// The greatest memory of a program so far, in megabytes.
fn memory(process: u32) -> Option<f64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().trim_end_matches("kB").trim().parse::<f64>().ok()? / 1024.0)
}

fn once(folder: &Path, words: &str) -> Cost {
    let begun = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_evenfield"))
        .args(words.split_whitespace())
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut megabytes = 0.0_f64;
    let status = loop {
        megabytes = megabytes.max(memory(child.id()).unwrap_or_default());
        match child.try_wait().unwrap() {
            Some(status) => break status,
            None => std::thread::sleep(ASKED),
        }
    };
    assert!(status.code().unwrap() < 2, "{words}");
    Cost { took: begun.elapsed(), megabytes }
}

fn cost(folder: &Path, words: &str) -> Cost {
    let all = (0..TIMES).map(|_| once(folder, words));
    all.min_by_key(|cost| cost.took).unwrap()
}

/// The rows of a table with a bar each.
fn table(title: &str, rows: &[(String, Cost)]) {
    let most = rows.iter().map(|(_, cost)| cost.took.as_secs_f64()).fold(0.0, f64::max);
    println!("\n{title}");
    for (name, Cost { took, megabytes }) in rows {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from none to WIDEST letters"
        )]
        let bar = "#".repeat((WIDEST * took.as_secs_f64() / most).round() as usize);
        println!("{name:<26} {:7.1} ms  {megabytes:6.1} MB  {bar}", took.as_secs_f64() * 1000.0);
    }
}

/// A room whose picture has these pixels, 0.5 m wide and 3.2 m away.
fn room(folder: &Path, [columns, rows]: [u32; 2]) -> String {
    let name = format!("{columns}.toml");
    let pitch = 500.0 / f64::from(columns);
    let text = format!(
        "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [{columns}, {rows}]\npitch_mm = {pitch}\n\
         [luminance]\nred = 52\ngreen = 178\nblack = 0.25\n"
    );
    std::fs::write(folder.join(&name), text).unwrap();
    name
}

/// Charts of one line on ever finer screens, and their checks.
fn by_pixels(folder: &Path) {
    let (mut drawn, mut checked) = (Vec::new(), Vec::new());
    for pixels in [[960, 540], [1920, 1080], [3840, 2160], [7680, 4320]] {
        let (room, name) = (room(folder, pixels), format!("{} × {}", pixels[0], pixels[1]));
        drawn.push((
            name.clone(),
            cost(folder, &format!("chart --room {room} --out {}.png --force", pixels[0])),
        ));
        checked.push((name, cost(folder, &format!("check {}.png", pixels[0]))));
    }
    table("chart with its check, one line, by pixels", &drawn);
    table("check alone, one line, by pixels", &checked);
}

/// Charts of ever more lines on one screen.
fn by_lines(folder: &Path) {
    let room = room(folder, [3840, 2160]);
    let lines = [
        "20/100", "20/80", "20/63", "20/50", "20/40", "20/32", "20/25", "20/20", "20/16", "20/12.5", "20/10",
        "20/8",
    ];
    let asked =
        |count: usize| -> String { lines[..count].iter().map(|line| format!(" --line {line}")).collect() };
    let row = |count: usize| {
        let words = format!("chart --room {room} --out lines.png --force{}", asked(count));
        (format!("{count} line{}", if count == 1 { "" } else { "s" }), cost(folder, &words))
    };
    let rows: Vec<(String, Cost)> = [1, 3, 6, 12].into_iter().map(row).collect();
    table("chart with its check at 3840 × 2160, by lines", &rows);
}

fn by_task(folder: &Path) {
    let tasks = [
        "room report",
        "room report --out r.pdf --force",
        "room sheet --out s.png --force",
        "curve --pupil 3mm",
        "curve --out c.pdf --force",
        "view --out v.png --force",
        "near --out n.pdf --force",
        "page --out p.html --force",
        "deck --out d.pdf --force",
        "deck --out d.html --force",
        "practice --out t.html --force",
    ];
    let rows: Vec<(String, Cost)> =
        tasks.into_iter().map(|words| (words.replace(" --force", ""), cost(folder, words))).collect();
    table("whole commands in the demo room", &rows);
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    by_pixels(folder.path());
    by_lines(folder.path());
    by_task(folder.path());
}
