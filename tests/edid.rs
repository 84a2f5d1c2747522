//! EDID blocks of made-up screens against an independent decoder; `tests/data/edid/README.md` has what they are and how
//! they were read.

use std::collections::HashMap;
use std::path::PathBuf;

use crate::common::Desk;
use evenfield::room::{Edid, EdidError, Room};

/// The decoder cuts off after four decimals, so ours may be larger by less than one in the fourth.
const CUT_OFF: f64 = 1e-4;

/// Millimetres by which a size in a room file may be off: it is written as it was read.
const AS_WRITTEN_MM: f64 = 1e-9;

/// What the decoder says of one file, by the table's header.
struct Said(HashMap<&'static str, &'static str>);

impl Said {
    fn all() -> Vec<Self> {
        let mut lines = include_str!("data/edid/decoded.csv").lines();
        let header: Vec<&str> = lines.next().unwrap().split(',').collect();
        lines.map(|line| Self(header.iter().copied().zip(line.split(',')).collect())).collect()
    }

    fn path(&self) -> PathBuf {
        PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/edid")).join(self.0["file"])
    }

    fn is_whole(&self) -> bool {
        self.0["checksum_ok"] == "yes"
    }

    fn two(&self, first: &str, second: &str) -> Option<[u32; 2]> {
        Some([self.0[first].parse().ok()?, self.0[second].parse().ok()?])
    }

    fn pixels(&self) -> Option<[u32; 2]> {
        self.two("dtd1_px_wide", "dtd1_px_high")
    }

    /// That of the timing, else the whole centimetres.
    fn size_mm(&self) -> Option<[f64; 2]> {
        let mm = self.two("dtd1_width_mm", "dtd1_height_mm");
        let cm = self.two("max_width_cm", "max_height_cm").map(|size| size.map(|cm| cm * 10));
        mm.or(cm).map(|size| size.map(f64::from))
    }
}

#[test]
fn made_up_screens_are_decoded_as_an_independent_decoder_does() {
    for said in Said::all() {
        let file = said.0["file"];
        let edid = match Edid::parse(&Edid::bytes(&said.path()).unwrap()) {
            Err(error) => {
                assert!(error == EdidError::Checksum && !said.is_whole(), "{file}: {error}");
                continue;
            }
            Ok(edid) => edid,
        };
        assert!(said.is_whole(), "{file}: its wrong checksum was accepted");
        assert_eq!(edid.pixels, said.pixels(), "{file}");
        assert_eq!(edid.size_mm, said.two("dtd1_width_mm", "dtd1_height_mm"), "{file}");
        assert_eq!(edid.size_cm, said.two("max_width_cm", "max_height_cm"), "{file}");
        let gamma = edid.gamma.map(|gamma| format!("{gamma:.2}")).unwrap_or_default();
        assert_eq!(gamma, said.0["gamma"], "{file}");
        for (name, ours) in ["red", "green", "blue", "white"].iter().zip(edid.chromaticities) {
            for (axis, ours) in ["x", "y"].iter().zip(ours) {
                let printed: f64 = said.0[format!("{name}_{axis}").as_str()].parse().unwrap();
                assert!((0.0..CUT_OFF).contains(&(ours - printed)), "{file}: {name} {axis} is {ours}");
            }
        }
    }
}

#[test]
fn room_new_takes_what_the_decoder_reads_or_says_what_to_measure() {
    let desk = Desk::new();
    for said in Said::all() {
        let (file, path) = (said.0["file"], said.path().display().to_string());
        let run = desk.run_words(&["room", "new", "--edid", &path, "--distance", "3m", "--out", "room.toml"]);
        match said.size_mm().filter(|_| said.is_whole()) {
            Some(size) => {
                assert_eq!(run.code, 0, "{file}: {}", run.err);
                assert!(run.out.contains("claimed by the screen"), "{file}: {}", run.out);
                let screen = Room::read(&desk.path("room.toml")).unwrap().screen.clone();
                assert_eq!(Some(screen.pixels), said.pixels(), "{file}");
                let off = [0, 1].map(|axis| (screen.size()[axis].to_mm() - size[axis]).abs());
                assert!(off.iter().all(|off| *off < AS_WRITTEN_MM), "{file}: {:?}", screen.size());
                std::fs::remove_file(desk.path("room.toml")).unwrap();
            }
            None => {
                assert_eq!(run.code, 2, "{file}: {}", run.out);
                // A block with a wrong byte may have its pixels wrong as well.
                assert_eq!(run.err.contains("--pixels"), !said.is_whole(), "{file}: {}", run.err);
                assert!(run.err.contains("--measured-width") && run.err.lines().count() == 1, "{}", run.err);
                assert!(desk.files().is_empty(), "{file}: something was written");
            }
        }
    }
}
