//! 400 real EDID blocks against an independent decoder (edid-decode, version not recorded), from the open collection
//! linuxhw/EDID (CC BY 4.0).
//!
//! The blocks lie beside a developer's checkout, not in it; without them this says so and passes, unless
//! `EVENFIELD_NEED` asks for `data`.

use std::collections::HashMap;

use crate::common::Desk;
use evenfield::room::{Edid, EdidError};

/// One row of the table: a block, and what the independent decoder says of it by the table's header.
struct Row {
    block: Vec<u8>,
    said: HashMap<String, String>,
}

impl Row {
    fn two(&self, first: &str, second: &str) -> Option<[u32; 2]> {
        Some([self.said[first].parse().ok()?, self.said[second].parse().ok()?])
    }
}

fn rows() -> Option<Vec<Row>> {
    let text = crate::common::edid_table()?;
    let mut lines = text.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let row = |line: &str| {
        let said: HashMap<String, String> =
            header.iter().map(ToString::to_string).zip(line.split(',').map(ToOwned::to_owned)).collect();
        let block = crate::common::from_hex(&said["edid_hex"]);
        Row { block, said }
    };
    Some(lines.map(row).collect())
}

#[test]
fn every_block_is_decoded_as_the_independent_decoder_does() {
    let Some(rows) = rows() else { return };
    assert_eq!(rows.len(), 400);
    let mut compared = 0;
    for (number, row) in rows.iter().enumerate() {
        let edid = Edid::parse(&row.block).unwrap_or_else(|error| panic!("row {number}: {error}"));
        assert_eq!(edid.interlaced, !row.said["interlaced"].is_empty(), "row {number}");
        for (ours, theirs) in [
            (edid.pixels, row.two("dtd1_px_wide", "dtd1_px_high")),
            (edid.size_mm, row.two("dtd1_width_mm", "dtd1_height_mm")),
            (edid.size_cm, row.two("max_width_cm", "max_height_cm")),
        ] {
            compared += usize::from(theirs.is_some());
            // An empty cell: their decoder gave no value.
            assert!(theirs.is_none() || ours == theirs, "row {number}: {ours:?}, not {theirs:?}");
        }
        let gamma = edid.gamma.map(|gamma| format!("{gamma:.2}")).unwrap_or_default();
        assert_eq!(gamma, row.said["gamma"], "row {number}");
        for (name, [x, y]) in ["red", "green", "blue", "white"].iter().zip(edid.chromaticities) {
            for (axis, value) in [("x", x), ("y", y)] {
                let printed: f64 = row.said[&format!("{name}_{axis}")].parse().unwrap();
                // The decoder cuts off after four decimals.
                assert!((0.0..1e-4).contains(&(value - printed)), "row {number}: {name} {axis} is {value}");
            }
        }
    }
    assert!(compared > 1180, "only {compared} of 1200 pairs were compared");
}

#[test]
fn screens_that_contradict_themselves_are_caught() {
    let Some(rows) = rows() else { return };
    let judged: Vec<Result<_, EdidError>> =
        rows.iter().map(|row| Edid::parse(&row.block).and_then(|edid| edid.claimed_size())).collect();
    let caught = judged.iter().filter(|size| size.is_err()).count();
    println!("{caught} of {} screens contradict themselves", rows.len());
    // About one in seven.
    assert!((400 / 9..=400 / 5).contains(&caught), "{caught} were caught");
    for (row, size) in rows.iter().zip(&judged) {
        // Whatever is accepted agrees with itself, worked out here from the decoder's own numbers.
        let (Ok(size), Some(mm), Some(px)) =
            (size, row.two("dtd1_width_mm", "dtd1_height_mm"), row.two("dtd1_px_wide", "dtd1_px_high"))
        else {
            continue;
        };
        let ratio = f64::from(mm[0]) / f64::from(px[0]) / (f64::from(mm[1]) / f64::from(px[1]));
        assert!((ratio - 1.0).abs() <= 0.01, "{mm:?} mm for {px:?} px was accepted");
        assert!((size[0].to_mm() - f64::from(mm[0])).abs() < 1e-9);
    }
}

#[test]
fn every_real_screen_gives_a_room_file_or_one_sentence_with_the_way_out() {
    let Some(rows) = rows() else { return };
    let desk = Desk::new();
    for (number, row) in rows.iter().enumerate().step_by(8) {
        desk.write("screen.bin", &row.block);
        let run = desk.run("room new --edid screen.bin --distance 3m --out room.toml --force");
        let trusted = Edid::parse(&row.block).unwrap().claimed_size().is_ok();
        assert_eq!(run.code, if trusted { 0 } else { 2 }, "row {number}: {}{}", run.out, run.err);
        if trusted {
            assert!(run.out.contains("claimed by the screen"), "{}", run.out);
        } else {
            assert!(run.err.contains("--measured-width") && run.err.lines().count() == 1, "{}", run.err);
        }
    }
}

#[test]
fn attached_screens_are_listed_with_all_that_they_claim() {
    let Some(rows) = rows() else { return };
    let desk = Desk::new();
    std::fs::create_dir_all(desk.path("connectors/card0-A")).unwrap();
    desk.write("connectors/card0-A/edid", &rows[0].block);
    let run = desk.run("room screens --connectors connectors");
    assert_eq!(run.code, 0, "{}", run.err);
    let said = &rows[0].said;
    let [x, y] = ["red_x", "red_y"].map(|key| said[key].parse::<f64>().unwrap());
    assert!(run.out.contains(&format!("gamma {}", said["gamma"])), "{}", run.out);
    assert!(run.out.contains(&format!("red {x:.3} {y:.3}")) && run.out.contains("card0-A"), "{}", run.out);
}
