//! Red-green (duochrome) charts of exactly the right size for your own screen, proved from the finished file.
//!
//! A practitioner who refines a refraction asks: *are these letters clearer on the red side or on the green side?*
//! The question is only as good as the chart. This crate draws the chart for one room, that is one screen at one
//! distance, and measures what it drew.
//!
//! ```
//! use evenfield::acuity::Acuity;
//! use evenfield::chart::{self, Request};
//! use evenfield::check::{self, Expected};
//! use evenfield::export::png::{ColourChunk, encode};
//! use evenfield::{raster, room::Room};
//!
//! let room = Room::demo();
//! let threshold: Acuity = "20/20".parse()?;
//! let request = Request::new(threshold.lines_above(2)?);
//!
//! let chart = chart::draw(&request, &room)?;
//! let image = raster::draw(&chart.scene, room.screen.pixels, &room.display);
//! let file = encode(&image, room.screen.pitch, &ColourChunk::Srgb, &chart.scene.metadata)?;
//!
//! let report = check::png_bytes(&file, "chart.png", &Expected::default())?;
//! assert!(!report.fails());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # How data flow
//!
//! [`room`] and [`acuity`] are checked when they are read and are legal from then on. [`chart`] chooses the field colours,
//! lays out [`optotype`]s and makes a [`scene`] in millimetres. [`raster`] turns it into pixels, [`export`] into
//! files. [`check`] goes the other way, from a file to findings, and sees none of the drawing.
//!
//! [`eye`] says what a pupil and a lens error leave of a chart's detail, [`view`] draws what reaches the retina. [`balance`]
//! is the procedure, step by step, its record, and simulated patients. [`mod@print`] lays out what a practice keeps on
//! paper, [`web`] the pages for the exam screen and for practice.
//!
//! Shapes are [`kurbo`]'s, pictures [`image`]'s: both are handed on, so that a user has the same versions. Without the
//! feature `cli`, which is on by default, the library needs nothing of the command line.
//!
//! # In a few lines
//!
//! What a pupil of 3 mm sees against lens error, and where the sides balance in a room:
//!
//! ```
//! use evenfield::eye::{Eye, Pupil};
//! use evenfield::quantity::{Dioptres, Length};
//! use evenfield::{room::Room, view::Model};
//!
//! let model = Model::new(&Room::demo())?;
//! let eye = Eye::with_pupil(Pupil::new(Length::mm(3.0))?);
//! let curve = model.curve(&eye, "20/32".parse()?);
//! let [red, green, _] = curve.clarity(Dioptres::new(0.5));
//! assert!(red > green, "too much plus leaves red clearer");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A finished file, measured whatever program saved it last:
//!
//! ```no_run
//! use evenfield::check::{self, Expected};
//!
//! let report = check::file("chart.png".as_ref(), &Expected::default())?;
//! for finding in &report.findings {
//!     println!("{}: {} {}", finding.verdict, finding.clause.what, finding.measured_text());
//! }
//! # Ok::<(), check::ReadError>(())
//! ```
//!
//! # What it will not do
//!
//! - It does not diagnose, prescribe or choose a lens. It is for use by a licensed practitioner or under one's
//!   supervision.
//! - It claims no conformity: no standard has a clause for coloured fields. [`check::clause::LEDGER`] says which
//!   clauses are borrowed.
//! - It cannot see the screen. A proven file is not yet a proven screen.
//! - It never scales a chart to fit: a line that pixels cannot draw is refused.

pub mod acuity;
pub mod balance;
mod beside;
pub mod bibliography;
pub mod chart;
pub mod check;
pub mod claim;
#[cfg(feature = "cli")]
pub mod cli;
pub mod exam;
pub mod export;
pub mod eye;
pub mod hand_over;
pub mod light;
pub mod optotype;
pub mod print;
pub mod quantity;
pub mod raster;
pub mod report;
pub mod room;
pub mod scene;
pub mod store;
pub mod text;
pub mod view;
pub mod web;

pub use {image, kurbo};

/// The key under which a chart's file keeps its request and room as JSON.
pub const METADATA_KEY: &str = "evenfield";

/// Who may use what this project makes; said wherever it matters.
pub const SUPERVISION: &str =
    "For use by a licensed practitioner or under one’s supervision; local rules come first.";
