//! Fuzzes pdf_content.

#![no_main]

#[path = "../targets.rs"]
mod targets;

libfuzzer_sys::fuzz_target!(|data: &[u8]| targets::pdf_content(data));
