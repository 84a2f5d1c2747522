//! What every page's table has: keys, words, times and colours.
//!
//! Keys, sides and colours have one name and one meaning on both pages; whoever learned one knows the other.

use std::collections::BTreeMap;

use serde::Serialize;

use super::look::{COLOURS, hex};
use super::said::Said;
use crate::balance::keys::{CALM_MS, Desk, PageKey, keys_at};
use crate::light::{Fields, Side};

/// What the scripts of both pages are handed.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Page {
    calm_ms: u16,
    keys: Vec<PageKey>,
    said: Said,
    /// Red, then green.
    field_names: [&'static str; 2],
    /// Left, then right.
    side_names: [&'static str; 2],
    /// Where the colours lie with red on the left, then on the right.
    sides: [String; 2],
    colours: BTreeMap<&'static str, String>,
}

impl Page {
    pub(super) fn new(desk: Desk) -> Self {
        let [red, green] = [Fields::Red, Fields::Green].map(Fields::name);
        let [left, right] = [Side::Left, Side::Right].map(Side::name);
        Self {
            calm_ms: CALM_MS,
            keys: keys_at(desk),
            said: Said::new(),
            field_names: [red, green],
            side_names: [left, right],
            sides: [[red, green], [green, red]].map(|[one, other]| format!("{one} {left}, {other} {right}")),
            colours: COLOURS.map(|(name, paint)| (name, hex(paint))).into(),
        }
    }
}

/// How often the things that are named change, and what the page keeps: "The page stores nothing and" or the like.
pub(super) fn calm_and_closed(what: &str, keeps: &str) -> String {
    let seconds = f64::from(CALM_MS) / 1000.0;
    format!("{what} change at most once in {seconds:.1} s. {keeps} uses no network.")
}
