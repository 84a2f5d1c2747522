//! For any legal room and lines: the chart passes its own check, or it is refused with a reason.

#![allow(clippy::print_stdout, reason = "a long run tells what it counted")]

use std::cell::RefCell;
use std::collections::BTreeMap;

use evenfield::acuity::{Acuity, Notation};
use evenfield::chart::{self, ChartError, Lines, Request, White};
use evenfield::check::{self, Expected};
use evenfield::export::png::{ColourChunk, encode};
use evenfield::light::{Fields, Side};
use evenfield::optotype::LetterSet;
use evenfield::quantity::Luminance;
use evenfield::raster;
use evenfield::room::Room;
use evenfield::scene::Metadata;
use proptest::prelude::*;
use proptest::sample::select;

/// Rooms from a phone at arm's length to a wall screen, with measured or assumed light.
fn rooms() -> impl Strategy<Value = Room> {
    let screen = (240..1400_u32, 240..1000_u32, 0.17..0.6, -0.009..0.009);
    let viewing = (300.0..6500.0, any::<bool>());
    let light = prop_oneof![
        Just(String::new()),
        (20.0..200.0, 60.0..700.0, 0.0..1.0).prop_map(|(red, green, black)| format!(
            "[luminance]\nred = {red:.1}\ngreen = {green:.1}\nblack = {black:.2}\n"
        )),
    ];
    let tone = select(vec!["", "[tone]\ngamma = 1.8\n", "[tone]\ngamma = 2.6\n"]);
    (screen, viewing, light, tone).prop_map(
        |((columns, rows, pitch, stretch), (distance, mirror), light, tone)| {
            let (width, height) = (f64::from(columns) * pitch, f64::from(rows) * pitch * (1.0 + stretch));
            let text = format!(
                "[viewing]\ndistance_mm = {distance:.1}\nmirror = {mirror}\n\
             [screen]\npixels = [{columns}, {rows}]\nsize_mm = [{width:.6}, {height:.6}]\n{light}{tone}"
            );
            Room::from_toml(&text, "room").unwrap_or_else(|error| panic!("{error}\n{text}"))
        },
    )
}

fn requests() -> impl Strategy<Value = Request> {
    let lines =
        prop::collection::vec((-0.3..1.3).prop_map(|log_mar| Acuity::from_log_mar(log_mar).unwrap()), 1..4);
    let letters = select(LetterSet::ALL.to_vec());
    let fields = select(vec![Fields::RedGreen, Fields::RedGreen, Fields::White, Fields::Red, Fields::Green]);
    let sides = select(vec![Side::Left, Side::Right]);
    let white = select(vec![White::Matched, White::Full]);
    let labels = prop::option::of(select(Notation::ALL.to_vec()));
    let luminance = prop::option::of((5.0..60.0).prop_map(Luminance::cd_m2));
    (lines, letters, any::<u64>(), fields, sides, white, luminance, labels).prop_map(
        |(lines, letters, seed, fields, red, white, luminance, labels)| Request {
            lines: Lines::new(lines).unwrap(),
            letters,
            seed,
            fields,
            red,
            white,
            luminance,
            labels,
        },
    )
}

/// How many charts were drawn, and how often each kind of reason was given for none.
#[derive(Debug, Default)]
struct Counts {
    drawn: u32,
    refused: BTreeMap<String, u32>,
}

/// The name of a kind of reason.
fn kind(reason: &ChartError) -> String {
    let text = format!("{reason:?}");
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.take(2).collect::<Vec<_>>().join(": ")
}

/// Draws for as many rooms as `config` says, and checks whatever is drawn.
fn drawn_or_refused(config: ProptestConfig) -> Counts {
    let counts = RefCell::new(Counts::default());
    proptest!(config, |(room in rooms(), request in requests())| {
        match chart::draw(&request, &room) {
            Ok(chart) => {
                counts.borrow_mut().drawn += 1;
                let image = raster::draw(&chart.scene, room.screen.pixels, &room.display);
                let file = encode(&image, room.screen.pitch, &ColourChunk::Device, &chart.scene.metadata).unwrap();
                let bare = encode(&image, room.screen.pitch, &ColourChunk::Device, &Metadata::default()).unwrap();
                let told = Expected { room: Some(room.clone()), lines: request.lines.as_slice().to_vec(), ..Expected::default() };
                // Once as the file says, and once as another program's copy with only room and lines named.
                for (file, expected) in [(&file, &Expected::default()), (&bare, &told)] {
                    let report = check::png_bytes(file, "chart", expected).unwrap();
                    let failed: Vec<_> =
                        report.findings.iter().filter(|one| one.verdict == check::Verdict::Fail).collect();
                    prop_assert!(failed.is_empty(), "{failed:#?}\n{}", chart.scene.metadata.json);
                }
            }
            // A reason has its remedy behind a colon.
            Err(reason) => {
                *counts.borrow_mut().refused.entry(kind(&reason)).or_default() += 1;
                prop_assert!(reason.to_string().contains(": "), "{reason}");
            }
        }
    });
    counts.into_inner()
}

/// Most random pairs of line and room are refused, so there must be enough of the others.
#[test]
fn a_chart_passes_its_own_check_or_is_refused_with_a_reason() {
    let counts = drawn_or_refused(ProptestConfig {
        cases: 300,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    assert!(counts.drawn > 60, "only {} charts were drawn", counts.drawn);
}

/// The same in as many rooms as `EVENFIELD_ROOMS` says.
#[test]
#[ignore = "100,000 rooms take an hour or more: cargo test --release -- --ignored --nocapture very_many_rooms"]
fn in_very_many_rooms_a_chart_passes_its_own_check_or_is_refused_with_a_reason() {
    let cases = std::env::var("EVENFIELD_ROOMS").map_or(100_000, |count| count.parse().unwrap());
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    println!("{:#?}", drawn_or_refused(config));
}
