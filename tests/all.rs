//! Every test that stands outside the library, as one program: one is linked instead of two dozen, and its slow tests wait
//! beside each other.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod accessible;
mod architecture;
mod balance;
mod balance_both;
mod balance_page;
mod columns;
mod command_line;
mod common;
mod deck;
mod deck_forms;
mod display_transfer;
#[path = "common/drawn.rs"]
mod drawn;
mod edid;
mod exam;
mod exam_door;
mod exam_kills;
mod exam_practice;
mod exam_returns;
mod exam_soak;
mod exam_tls;
mod exam_whole;
mod eye;
mod faults;
mod font;
mod fuzzed;
mod gallery;
mod hand_over;
mod help;
mod hostile;
mod independent_rasteriser;
mod inputs;
mod leaks;
mod metering;
mod midpoint;
mod mutated;
mod near;
mod page;
mod pages;
mod paths;
mod practice;
mod practice_course;
mod profile;
mod property;
mod quiz;
mod readme;
mod real_screens;
mod refraction;
mod resaved;
mod room_page;
mod room_report;
mod room_set;
mod schema;
mod setup_sheet;
mod spoilt;
mod write_kills;
