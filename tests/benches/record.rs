//! Reading a record: whether the time grows with the examinations, or with their square.
//!
//! Sixteen times as many may take about sixteen times as long; to read each line against all before it would take 256 times.

#![allow(clippy::unwrap_used, reason = "a benchmark may stop")]

use divan::{Bencher, black_box};
use evenfield::balance::record::{Kept, Records};

/// A whole examination, whose events are kept again under other names.
const ONE: &str = include_str!("../data/balances-procedure-3.jsonl");

fn main() {
    divan::main();
}

/// So many examinations, as a record has them.
fn records(count: usize) -> String {
    let read = Records::read(ONE);
    let one = &read.kept[0];
    let again = |number: usize| -> String {
        let mut kept = Kept::new(format!("examination-{number:06}"));
        let events = one.events.iter().zip(&one.at);
        events.map(|(event, at)| kept.take(event.clone(), at).unwrap() + "\n").collect()
    };
    (0..count).map(again).collect()
}

#[divan::bench(args = [500, 8000], sample_count = 3)]
fn read(bencher: Bencher<'_, '_>, count: usize) {
    let text = records(count);
    bencher.bench(|| Records::read(black_box(&text)).kept.len());
}
