//! Changing single values of a room file, so that all else in it stays: order, spaces and comments.
//!
//! A practice's own comments and order of lines are worth as much as its numbers. So a change is worked out as the difference of
//! two [`RoomFile`]s, put into the text value by value, and read back: what comes out must be the wanted file, or nothing is
//! changed.

use std::fmt;

use toml_edit::{DocumentMut, Item, Table, Value};

use super::{Room, RoomFile, RoomFileError, file};
use crate::light::Basis;

/// A room file with other values in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Edit {
    /// The whole text.
    pub text: String,
    /// What is different, in the order of the file format.
    pub changes: Vec<Change>,
    /// The room that it now is.
    pub file: RoomFile,
}

/// One value that changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    table: String,
    key: String,
    from: Option<String>,
    to: Option<String>,
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let dot = if self.table.is_empty() { "" } else { "." };
        let [from, to] = [(&self.from, "not given"), (&self.to, "taken out")]
            .map(|(value, none)| value.as_deref().unwrap_or(none));
        write!(f, "{}{dot}{}: {from} → {to}", self.table, self.key)
    }
}

impl Edit {
    /// The text of a room file with the values of `wanted` in it; `name` stands for the file in an error.
    ///
    /// ```
    /// # use evenfield::room::{Edit, Room};
    /// let text = "[viewing]\ndistance_mm = 3000 # by tape\n[screen]\npixels = [1920, 1080]\nsize_mm = [527, 296.5]\n";
    /// let mut wanted = Room::from_toml(text, "room.toml")?.file().clone();
    /// wanted.viewing.distance_mm = 3200.0;
    /// let edit = Edit::new(text, "room.toml", wanted)?;
    /// assert!(edit.text.contains("distance_mm = 3200.0 # by tape"));
    /// assert_eq!(edit.changes[0].to_string(), "viewing.distance_mm: 3000.0 → 3200.0");
    /// # Ok::<(), evenfield::room::RoomFileError>(())
    /// ```
    ///
    /// Lines that all end in CR LF still do; where only some do, none does afterwards.
    ///
    /// # Errors
    /// Where `wanted` is no legal room, or the text has a form in which it cannot be changed.
    pub fn new(text: &str, name: &str, wanted: RoomFile) -> Result<Self, RoomFileError> {
        let refused = |problem: String| RoomFileError::Refused {
            path: name.into(),
            place: String::new(),
            problem: format!("{problem}; nothing was changed"),
        };
        Room::from_file(wanted.clone(), Basis::Measured).map_err(|error| refused(error.to_string()))?;
        let by_hand = || {
            refused("is written in a form that this command cannot change: change it with an editor".into())
        };
        let had = Room::from_toml(text, name)?.file().clone();
        let mut document: DocumentMut = text.parse().map_err(|_| by_hand())?;
        let values = |file: &RoomFile| values(file).ok_or_else(by_hand);
        let changes = differences(&values(&had)?, &values(&wanted)?);
        for (change, value) in &changes {
            put(&mut document, change, value.clone()).ok_or_else(by_hand)?;
        }
        // The document keeps no ends of lines.
        let text = if ends_as_on_windows(text) {
            document.to_string().replace('\n', "\r\n")
        } else {
            document.to_string()
        };
        if file::parse(&text).ok().as_ref() != Some(&wanted) {
            return Err(by_hand());
        }
        Ok(Self { text, changes: changes.into_iter().map(|(change, _)| change).collect(), file: wanted })
    }
}

/// What is different in one room file from another, in the order of the file format; none where one has a form that cannot be told.
pub fn changes(had: &RoomFile, now: &RoomFile) -> Option<Vec<Change>> {
    Some(differences(&values(had)?, &values(now)?).into_iter().map(|(change, _)| change).collect())
}

/// Whether every line ends in CR LF.
fn ends_as_on_windows(text: &str) -> bool {
    let lines = text.matches('\n').count();
    lines > 0 && text.matches("\r\n").count() == lines
}

/// A key in its table, and what it says.
type Entry = (String, String, Value);

/// Every value of a room file, as the file format orders them.
fn values(file: &RoomFile) -> Option<Vec<Entry>> {
    let document: DocumentMut = file.to_toml().ok()?.parse().ok()?;
    let mut all = Vec::new();
    for (name, item) in document.iter() {
        match item.as_table_like() {
            Some(table) => {
                for (key, item) in table.iter() {
                    all.push((name.to_owned(), key.to_owned(), plain(item)?));
                }
            }
            None => all.push((String::new(), name.to_owned(), plain(item)?)),
        }
    }
    Some(all)
}

/// A value without the spaces and comments around it.
fn plain(item: &Item) -> Option<Value> {
    let mut value = item.clone().into_value().ok()?;
    value.decor_mut().clear();
    Some(value)
}

/// What has to change, and to what; nothing where the value goes.
fn differences(had: &[Entry], wanted: &[Entry]) -> Vec<(Change, Option<Value>)> {
    let of = |all: &[Entry], table: &str, key: &str| {
        all.iter()
            .find(|entry| (entry.0.as_str(), entry.1.as_str()) == (table, key))
            .map(|entry| entry.2.clone())
    };
    let gone = had.iter().filter(|(table, key, _)| of(wanted, table, key).is_none());
    let mut changes = Vec::new();
    for (table, key, _) in wanted.iter().chain(gone) {
        let (from, value) = (of(had, table, key), of(wanted, table, key));
        let [from, to] = [&from, &value].map(|value| value.as_ref().map(ToString::to_string));
        if from != to {
            changes.push((Change { table: table.clone(), key: key.clone(), from, to }, value));
        }
    }
    changes
}

/// Makes one change; nothing where the document's form does not allow it.
fn put(document: &mut DocumentMut, change: &Change, value: Option<Value>) -> Option<()> {
    let place = if change.table.is_empty() {
        document.as_table_mut()
    } else {
        let item = document.entry(&change.table).or_insert_with(|| Item::Table(new_table()));
        item.as_table_like_mut()?
    };
    match (place.get_mut(&change.key), value) {
        (_, None) => drop(place.remove(&change.key)?),
        (Some(Item::Value(old)), Some(mut value)) => {
            // The comment behind a value belongs to it.
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        (_, Some(value)) => drop(place.insert(&change.key, Item::Value(value))),
    }
    Some(())
}

fn new_table() -> Table {
    let mut table = Table::new();
    table.decor_mut().set_prefix("\n");
    table
}
