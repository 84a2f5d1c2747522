//! Pages for a browser. They interpret tables that are computed here: no optics and no second procedure in script, and no
//! key or sentence of the balance that is not taken from it.
//!
//! [`exam_page`] is the chart for the exam screen, walked through from the keyboard; [`practice_page`] is for learning, with
//! simulated patients. Both are one self-contained file, opened from a folder: no server, no network, nothing stored, and a
//! content policy that lets no other script run.
//!
//! The table in the page holds everything that needs arithmetic or judgement: sizes and places in pixels, at which coverage each
//! code begins, what every answer leads to, what a patient of a level answers. The script draws and listens.
//!
//! A page cannot know whether its browser, or the system under it, changes colours. So it shows patches to meter, and says so.

mod exam;
mod first_step;
mod home;
mod look;
mod page;
mod panel;
pub mod practice;
mod said;
mod script;
mod wall;

pub use exam::{ExamError, exam_page};
pub use home::{RecordRow, door_page, home_page, record_page, records_page, teach_page};
pub use panel::panel_page;
pub use practice::practice_page;
pub use wall::{gauge_page, wall_page};

use serde::Serialize;

/// A page from its template: its table, its colours and style, its script, and what else stands in it.
///
/// # Panics
/// Never: the tables are plain numbers and words.
fn html(
    template: &str,
    table: &impl Serialize,
    style: &str,
    modules: &[&str],
    more: &[(&str, &str)],
) -> String {
    let json = serde_json::to_string(table).expect("plain numbers and words");
    // A room's name could close the script; nothing else in the table has a "<".
    let json = json.replace('<', "\\u003c");
    let (nonce, style) = (nonce(&json), format!("{}\n{}", look::properties(), style.trim_end()));
    let script = script::joined(modules);
    let mut places =
        vec![("NONCE", nonce.as_str()), ("STYLE", &style), ("SCRIPT", &script), ("TABLE", &json)];
    places.extend(more);
    filled(template, &places)
}

/// A template with its places, such as `@TITLE@`, filled once: what stands in for one is never searched for another.
fn filled(template: &str, places: &[(&str, &str)]) -> String {
    let mut pieces = template.split('@');
    let mut page = pieces.next().unwrap_or_default().to_owned();
    let mut is_filled = false;
    for piece in pieces {
        let place = places.iter().find(|(name, _)| *name == piece && !is_filled);
        // The sign that ends a name begins nothing.
        match place {
            Some((_, text)) => page.push_str(text),
            None if is_filled => page.push_str(piece),
            None => page.extend(["@", piece]),
        }
        is_filled = place.is_some();
    }
    page
}

/// What the content policy knows a file's own script and style by.
fn nonce(text: &str) -> String {
    format!("{:08x}", crc32fast::hash(text.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::filled;

    #[test]
    fn a_template_is_filled_once_and_in_one_pass() {
        let places = [("A", "@B@ a@b"), ("B", "@A@")];
        assert_eq!(filled("x@A@@B@y @C@ a@b @B@", &places), "x@B@ a@b@A@y @C@ a@b @A@");
    }
}
