//! The exam room's page in headless Chromium: until its first paint, and for a change of line.
//!
//! A change of line is what the page itself does until its pixels are handed over; what the browser does with them after
//! that is not counted.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a benchmark may stop, and prints")]

#[path = "../common/mod.rs"]
mod common;

use std::time::Duration;

use common::Desk;
use common::browser::Browser;

/// Milliseconds from opening the file to its first paint.
const FIRST_PAINT: &str =
    "const paint = performance.getEntriesByType('paint')[0]; return paint ? paint.startTime : null";

/// The median of forty changes of line, in milliseconds.
const LINE_CHANGE: &str = "
    const times = [];
    for (let turn = 0; turn < 40; turn += 1) {
        const start = performance.now();
        dispatchEvent(new KeyboardEvent('keydown', { key: turn % 2 ? 'l' : 's' }));
        times.push(performance.now() - start);
    }
    return times.sort((one, other) => one - other)[20];";

fn main() {
    for (pixels, pitch) in [([1920, 1080], 0.2745), ([3840, 2160], 0.1816)] {
        let desk = Desk::new();
        let [columns, rows] = pixels;
        desk.write(
            "room.toml",
            format!(
                "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [{columns}, {rows}]\npitch_mm = {pitch}\n"
            ),
        );
        assert_eq!(desk.run("page --room room.toml --out room.html").code, 0);
        let bytes = std::fs::metadata(desk.path("room.html")).unwrap().len();
        let Some(browser) = Browser::open(pixels, 1.0) else { return };
        let mut paints: Vec<f64> = (0..9)
            .map(|_| {
                browser.go(&desk.path("room.html"), "");
                // Asked again until the browser has painted, for ten seconds at the most.
                (0..100)
                    .find_map(|_| {
                        std::thread::sleep(Duration::from_millis(100));
                        browser.script(FIRST_PAINT).as_f64()
                    })
                    .unwrap()
            })
            .collect();
        paints.sort_by(f64::total_cmp);
        let change = browser.script(LINE_CHANGE).as_f64().unwrap();
        println!(
            "{columns} x {rows}: {bytes} bytes, first paint {:.0} ms, line change {change:.1} ms (medians)",
            paints[4]
        );
    }
}
