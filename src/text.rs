//! Words from outside: what may stand in a file, and how anything is shown. A name, a label, a record or a picture of
//! another hand may hold characters that steer a terminal, turn a line round or are none at all.

use std::fmt;

/// Maximum number of characters of a room's name and of a label: one line of a page holds as many. This project's own
/// decision.
pub const MOST_OF_A_NAME: usize = 80;

/// Words with a capital at their beginning.
///
/// ```
/// # use evenfield::text::capital;
/// assert_eq!(capital("équal, else last red"), "Équal, else last red");
/// ```
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Words whose lenses are not broken between two lines.
///
/// ```
/// # use evenfield::text::whole_lenses;
/// let words = whole_lenses("take −1.50 / −0.50 × 90 now");
/// assert_eq!(words.split(' ').collect::<Vec<_>>(), ["take", "−1.50\u{a0}/\u{a0}−0.50\u{a0}×\u{a0}90", "now"]);
/// ```
#[must_use]
pub fn whole_lenses(words: &str) -> String {
    words.replace(" / ", "\u{a0}/\u{a0}").replace(" × ", "\u{a0}×\u{a0}")
}

/// A cell of a table by RFC 4180, of which a spreadsheet makes no formula, whatever stands in it.
///
/// ```
/// # use evenfield::text::csv_cell;
/// assert_eq!(csv_cell("drawer 3, top"), "\"drawer 3, top\"");
/// assert_eq!(csv_cell("=1+1"), "'=1+1");
/// ```
#[must_use]
pub fn csv_cell(words: &str) -> String {
    // What begins a formula, behind air too, since some programs take that off; a tab and an end of a line lead in one as well.
    let begins = |letter: char| ['=', '+', '-', '@', '|', '%'].contains(&letter);
    let is_formula = words.trim_start().starts_with(begins) || words.starts_with(['\t', '\r', '\n']);
    let cell = if is_formula { format!("'{words}") } else { words.into() };
    if cell.contains([',', ';', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

/// Why something cannot be done, and what helps: shown as one sentence without a point.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, with the value and the place.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl Refusal {
    /// Both in words.
    #[must_use]
    pub fn new(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { what: what.into(), remedy: remedy.into() }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.what, self.remedy)
    }
}

/// Why a text is no line of words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    /// Nothing but air.
    #[error("is empty: write a few words, or leave it out")]
    Empty,
    /// Longer than its place.
    #[error("has {has} characters, over {most}: write a shorter one")]
    TooLong {
        /// How many it has.
        has: usize,
        /// How many it may have.
        most: usize,
    },
    /// A control character, an end of a line, a mark that turns the direction round, or no character at all.
    #[error("has the character U+{:04X}, which steers or breaks a line and is no letter: take it out", u32::from(*.0))]
    Steers(char),
}

/// Checks one line of words that is to be written.
///
/// ```
/// # use evenfield::text::line;
/// assert!(line("Quillhaven, room 2", 80).is_ok());
/// assert_eq!(line("room\n2", 80).unwrap_err().to_string(), "has the character U+000A, which steers or breaks a line and is no letter: take it out");
/// ```
///
/// # Errors
/// Empty, longer than `most` characters, or with a character that is none of words.
pub fn line(text: &str, most: usize) -> Result<(), LineError> {
    if let Some(steers) = text.chars().find(|letter| steers(*letter)) {
        return Err(LineError::Steers(steers));
    }
    let has = text.chars().count();
    if text.trim().is_empty() {
        Err(LineError::Empty)
    } else if has > most {
        Err(LineError::TooLong { has, most })
    } else {
        Ok(())
    }
}

/// A text as one line that can be shown anywhere: each character that steers is replaced by a sign for it.
///
/// ```
/// # use evenfield::text::shown;
/// assert_eq!(shown("red\u{1b}[2J\n"), "red␛[2J␊");
/// ```
#[must_use]
pub fn shown(text: &str) -> String {
    text.chars().map(sign).collect()
}

/// The same of several lines, which stay lines.
#[must_use]
pub fn shown_lines(text: &str) -> String {
    text.chars().map(|letter| if letter == '\n' { letter } else { sign(letter) }).collect()
}

/// A character, or what stands for it: the control pictures of Unicode (U+2400 and on), else the replacement character.
fn sign(letter: char) -> char {
    match letter {
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(letter)).unwrap_or(char::REPLACEMENT_CHARACTER),
        '\u{7f}' => '\u{2421}',
        _ if steers(letter) => char::REPLACEMENT_CHARACTER,
        _ => letter,
    }
}

/// Whether a character is none of words: controls, separators of lines, marks that turn a direction round (Unicode
/// Standard, ch. 23), and what is no character, of which XML 1.0 (2.2) forbids U+FFFE and U+FFFF.
fn steers(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        || matches!(letter, '\u{fdd0}'..='\u{fdef}')
        || u32::from(letter) & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_is_refused_and_shown_as_a_sign() {
        assert_eq!(shown("a\u{1b}[2J\nb\u{7f}\u{9b}\u{202e}\u{ffff}"), "a␛[2J␊b␡\u{fffd}\u{fffd}\u{fffd}");
        assert_eq!(shown_lines("a\r\nb"), "a␍\nb");
        assert_eq!(shown("Größe 20/20 – 日本 🙂"), "Größe 20/20 – 日本 🙂");
        assert_eq!(line("a\u{fffe}", 80), Err(LineError::Steers('\u{fffe}')));
        assert_eq!(line(" ", 80), Err(LineError::Empty));
        assert_eq!(line("日本語", 2), Err(LineError::TooLong { has: 3, most: 2 }));
        assert_eq!(line("Größe", 5), Ok(()));
    }
}
