//! The small pages around the panel: the door, and the way to everything else. Their links are plain, so that the browser's
//! own way back is the only one to learn.

use std::fmt::Write as _;

use base64::prelude::{BASE64_STANDARD, Engine};
use serde::Serialize;

use super::{Frame, escaped};
use crate::exam::Role;

/// What the door's script is handed.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Door {
    #[serde(rename = "as")]
    role: &'static str,
    no_answer: &'static str,
}

/// An examination that is kept, as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordRow {
    /// Its name in the record.
    pub id: String,
    /// When it was begun, in words.
    pub begun: String,
    /// For each eye what was chosen, in words.
    pub eyes: Vec<String>,
}

/// A way to somewhere: its address, its name, and what is there.
type Way = (&'static str, &'static str, &'static str);

const HOME: [Way; 4] = [
    ("/panel", "Examine", "The next eye, with the wall on the patient’s screen"),
    ("/setup", "Set up", "The room, its screen and its light"),
    ("/records", "Records", "Examinations that were kept"),
    ("/teach", "Teach", "Practice, slides and a card for the wall"),
];

const TEACH: [Way; 3] = [
    ("/practice", "Practise", "A simulated patient, and the rule that a run is held against"),
    ("/deck.pdf", "Slides", "The method on slides, as a PDF"),
    ("/card.pdf", "Card", "One page for the wall of the examination room, as a PDF"),
];

/// The page that asks a window for the code that the terminal or a panel shows. The wall's hides what is typed, since the
/// patient sees it.
#[must_use]
pub fn door_page(role: Role) -> String {
    let (title, asks, kind) = match role {
        Role::Panel => ("The panel’s door", "Which code does the terminal or another panel show?", ""),
        Role::Wall => {
            ("The wall’s door", "Which code does the terminal or the panel show?", " type=\"password\"")
        }
    };
    let table = Door {
        role: role.name(),
        no_answer: "the program does not answer: see whether it still runs, then try again",
    };
    let frame = Frame {
        title,
        allows: "connect-src 'self'; ",
        body: include_str!("door.html"),
        places: &[("ROLE", role.name()), ("TITLE", title), ("ASKS", asks), ("KIND", kind)],
        style: include_str!("home.css"),
        modules: &[include_str!("door.js")],
    };
    frame.html(&table)
}

/// The panel's home.
#[must_use]
pub fn home_page() -> String {
    plain("Evenfield", &ways(&HOME, Some("/panel")))
}

/// What there is to teach and to learn.
#[must_use]
pub fn teach_page() -> String {
    plain("Teach", &(BACK.to_owned() + &ways(&TEACH, None)))
}

/// The examinations that are kept, in the order in which they are given.
#[must_use]
pub fn records_page(rows: &[RecordRow]) -> String {
    if rows.is_empty() {
        let none = "<p>None is kept yet. To keep them, begin the program with --record FILE.</p>";
        return plain("Records", &(BACK.to_owned() + none));
    }
    let mut list = format!("{BACK}<ul class=\"records\">\n");
    for row in rows {
        list += &row.item();
    }
    plain("Records", &(list + "</ul>"))
}

/// In what forms an examination can be kept: the ending of its address, and what it is.
const FORMS: [(&str, &str); 3] =
    [(".pdf", "PDF to keep"), (".csv", "Table, a row an eye"), (".fhir.json", "FHIR, for another program")];

/// One examination's pages, drawn as SVG, with the lines to paste and the ways to keep it.
#[must_use]
pub fn record_page(id: &str, pages: &[String], lines: &[String]) -> String {
    let mut body = String::from("<a class=\"back\" href=\"/records\">Records</a>\n");
    for (ending, words) in FORMS {
        let _ = writeln!(body, "<a class=\"back\" href=\"/records/{}{ending}\">{words}</a>", in_address(id));
    }
    if !lines.is_empty() {
        let lines = escaped(&lines.join("\n"));
        let _ = writeln!(body, "<h2>To paste</h2>\n<pre class=\"paste\" tabindex=\"0\">{lines}</pre>");
    }
    body.push_str("<div class=\"sheets\" tabindex=\"0\" role=\"group\" aria-label=\"Pages\">\n");
    for (page, number) in pages.iter().zip(1..) {
        let address = BASE64_STANDARD.encode(page);
        let _ = writeln!(
            body,
            "<img class=\"sheet\" alt=\"Page {number}; its words stand in the PDF\" src=\"data:image/svg+xml;base64,{address}\">"
        );
    }
    body.push_str("</div>");
    plain("Record", &body)
}

/// The way back to the panel's home.
const BACK: &str = "<a class=\"back\" href=\"/\">Home</a>\n";

impl RecordRow {
    fn item(&self) -> String {
        let (begun, address) = (escaped(&self.begun), format!("/records/{}", in_address(&self.id)));
        let eyes: String = self.eyes.iter().map(|eye| format!("<p>{}</p>\n", escaped(eye))).collect();
        format!(
            "<li><h2>{begun}</h2>\n{eyes}<a href=\"{address}\" aria-label=\"Page of {begun}\">Page</a> \
             <a href=\"{address}.pdf\" aria-label=\"PDF of {begun}\">PDF</a></li>\n"
        )
    }
}

fn ways(ways: &[Way], next: Option<&str>) -> String {
    let way = |(address, name, what): &Way| {
        let class = if next == Some(address) { " class=\"next\"" } else { "" };
        format!(
            "<li><a href=\"{address}\"{class}><b>{name}</b><span class=\"quiet\">{what}</span></a></li>\n"
        )
    };
    format!("<ul class=\"ways\">\n{}</ul>", ways.iter().map(way).collect::<String>())
}

fn plain(title: &str, body: &str) -> String {
    let body = format!("<h1>{title}</h1>\n{body}");
    let frame = Frame {
        title,
        allows: "img-src data:; ",
        body: include_str!("plain.html"),
        places: &[("BODY", &body)],
        style: include_str!("home.css"),
        modules: &[],
    };
    frame.html(&())
}

/// A name as it stands in an address: all but letters, digits and what no address reads otherwise by its bytes.
fn in_address(name: &str) -> String {
    let mut address = String::new();
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            address.push(char::from(byte));
        } else {
            // Writing to a text cannot fail.
            let _ = write!(address, "%{byte:02X}");
        }
    }
    address
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_s_words_close_no_tag_and_its_name_is_one_part_of_an_address() {
        let row = RecordRow {
            id: "a/b \"c\"".into(),
            begun: "<today>".into(),
            eyes: vec!["Right eye & \"so on\"".into()],
        };
        let page = records_page(&[row]);
        assert!(page.contains("<h2>&lt;today&gt;</h2>\n<p>Right eye &amp; &quot;so on&quot;</p>"));
        assert!(page.contains("href=\"/records/a%2Fb%20%22c%22\"") && page.contains("%22c%22.pdf\""));
        assert!(!page.contains("<today>"));
    }

    #[test]
    fn the_wall_s_door_never_shows_the_code() {
        let wall = door_page(Role::Wall);
        assert!(wall.contains("type=\"password\""));
        // Its style sheet has dimmer colours for that one.
        assert!(wall.contains("<body class=\"wall\">") && wall.contains("body.wall { --glow: var(--dim);"));
        assert!(!door_page(Role::Panel).contains("type=\"password\""));
    }
}
