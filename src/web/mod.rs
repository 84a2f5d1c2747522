//! Pages for a browser. They interpret tables that are computed here: no optics and no second procedure in script, and no
//! key or sentence of the balance that is not taken from it.
//!
//! [`exam_page`] is the chart for the exam screen, walked through from the keyboard; [`practice_page`] is for learning, with
//! simulated patients; [`slides_page`] presents slides. Each is one self-contained file, opened from a folder: no server, no network, nothing stored, and a
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
mod slides;
mod wall;

pub use exam::{ExamError, exam_page};
pub use home::{RecordRow, door_page, home_page, record_page, records_page, teach_page};
pub use panel::panel_page;
pub use practice::practice_page;
pub use slides::{Slide, slides_page};
pub use wall::{gauge_page, wall_page};

use serde::Serialize;

/// A page of its own: what the browser must know of it, and what stands in it.
struct Frame<'a> {
    /// Its title, escaped.
    title: &'a str,
    /// What its content policy allows beside its own script and style, such as `"img-src data:; "`.
    allows: &'a str,
    /// Its body from the tag on, without its end.
    body: &'a str,
    /// What stands in places of the body.
    places: &'a [(&'a str, &'a str)],
    style: &'a str,
    /// The modules of its script, each after those that it imports from.
    modules: &'a [&'a str],
}

impl Frame<'_> {
    /// The page with its table.
    ///
    /// # Panics
    /// Never: the tables are plain numbers and words.
    fn html(&self, table: &impl Serialize) -> String {
        let json = serde_json::to_string(table).expect("plain numbers and words");
        // A room's name could close the script; nothing else in the table has a "<".
        let json = json.replace('<', "\\u003c");
        let (nonce, style) = (nonce(&json), format!("{}\n{}", look::properties(), self.style.trim_end()));
        let body = filled(self.body.trim_end(), self.places);
        let script = script::joined(self.modules);
        filled(
            include_str!("frame.html"),
            &[
                ("ALLOWS", self.allows),
                ("NONCE", &nonce),
                ("TITLE", self.title),
                ("STYLE", &style),
                ("BODY", &body),
                ("SCRIPT", &script),
                ("TABLE", &json),
            ],
        )
    }
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

/// A text as it stands in a page.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
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
