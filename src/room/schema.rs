//! Which keys a room file may have and what kind of value each takes, so that a stranger is told in one sentence
//! which one was meant.
//!
//! The table of keys is the one place that knows them by name; TOML's own reader then finds nothing to complain of. A stranger is
//! answered with the key that it most resembles, or with all that could stand there, and a value of the wrong kind with an
//! example of the right one.

use toml::de::{DeTable, DeValue};

use super::fault::{Fault, line_at};

/// What a value must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Text,
    Flag,
    Number,
    TwoNumbers,
    TwoWholeNumbers,
    /// Pairs of code and luminance, or a table of such lists.
    Steps,
    /// A table whose keys stand in [`KEYS`].
    Table,
}

/// A key, what it takes, and an example.
type Key = (&'static str, Kind, &'static str);

const STEPS: &str = "[[0, 0.25], [128, 54.0], [255, 250.0]]";

/// Every key, by table. `*` stands for any table of this shape.
const KEYS: [(&str, &[Key]); 10] = [
    (
        "",
        &[
            ("name", Kind::Text, "\"room 1\""),
            ("viewing", Kind::Table, "[viewing]"),
            ("screen", Kind::Table, "[screen]"),
            ("luminance", Kind::Table, "[luminance]"),
            ("tone", Kind::Table, "[tone]"),
            ("primaries", Kind::Table, "[primaries]"),
            ("ambient", Kind::Table, "[ambient]"),
            ("match", Kind::Table, "[match]"),
        ],
    ),
    ("viewing", &[("distance_mm", Kind::Number, "3200.0"), ("mirror", Kind::Flag, "true")]),
    (
        "screen",
        &[
            ("pixels", Kind::TwoWholeNumbers, "[1920, 1080]"),
            ("size_mm", Kind::TwoNumbers, "[527.0, 296.5]"),
            ("diagonal_in", Kind::Number, "23.8"),
            ("pitch_mm", Kind::Number, "0.2745"),
            ("size_percent", Kind::Number, "0.3"),
            ("size_claimed", Kind::Flag, "true"),
            ("profile", Kind::Text, "\"screen.icc\""),
        ],
    ),
    (
        "luminance",
        &[
            ("red", Kind::Number, "52.0"),
            ("green", Kind::Number, "178.0"),
            ("blue", Kind::Number, "19.0"),
            ("white", Kind::Number, "250.0"),
            ("black", Kind::Number, "0.25"),
            ("meter_percent", Kind::Number, "3.0"),
            ("matched_by_eye", Kind::Flag, "true"),
            ("match_open", Kind::Flag, "true"),
            ("claimed", Kind::Flag, "true"),
        ],
    ),
    (
        "tone",
        &[
            ("gamma", Kind::Number, "2.2"),
            ("steps", Kind::Steps, STEPS),
            ("relative", Kind::Flag, "true"),
            ("matched_by_eye", Kind::Flag, "true"),
            ("claimed", Kind::Flag, "true"),
        ],
    ),
    (
        "tone.steps",
        &[("red", Kind::Steps, STEPS), ("green", Kind::Steps, STEPS), ("blue", Kind::Steps, STEPS)],
    ),
    (
        "primaries",
        &[
            ("red", Kind::Table, "{ peak_nm = 615.0, fwhm_nm = 45.0 }"),
            ("green", Kind::Table, "{ peak_nm = 538.0, fwhm_nm = 60.0 }"),
            ("blue", Kind::Table, "{ peak_nm = 450.0, fwhm_nm = 20.0 }"),
            ("white", Kind::TwoNumbers, "[0.3127, 0.3290]"),
            ("kind", Kind::Text, "\"broad-lcd\""),
            ("claimed", Kind::Flag, "true"),
        ],
    ),
    (
        "primaries.*",
        &[
            ("peak_nm", Kind::Number, "615.0"),
            ("fwhm_nm", Kind::Number, "45.0"),
            ("spectrum", Kind::Text, "\"red.csv\""),
            ("chromaticity", Kind::TwoNumbers, "[0.64, 0.33]"),
        ],
    ),
    ("ambient", &[("illuminance_lux", Kind::Number, "4.0"), ("screen_reflectance", Kind::Number, "0.02")]),
    (
        "match",
        &[
            ("codes", Kind::TwoWholeNumbers, "[252, 145]"),
            ("red", Kind::Number, "47.1"),
            ("green", Kind::Number, "46.8"),
            ("meter_percent", Kind::Number, "3.0"),
            ("date", Kind::Text, "\"2026-03-31\""),
            ("again_after_days", Kind::Number, "180"),
        ],
    ),
];

/// Looks through a table and those in it for keys and kinds of values that a room file does not have.
pub(super) fn check(text: &str, path: &str, table: &DeTable<'_>) -> Result<(), Fault> {
    let shape = if path.starts_with("primaries.") { "primaries.*" } else { path };
    let Some((_, known)) = KEYS.iter().find(|(name, _)| *name == shape) else { return Ok(()) };
    for (key, value) in table {
        let name = key.get_ref().as_ref();
        let line = Some(line_at(text, key.span().start));
        let Some((_, kind, example)) = known.iter().find(|(known, ..)| *known == name) else {
            let place = if path.is_empty() { "the file".into() } else { format!("[{path}]") };
            return Err((line, format!("{place} has no key {name:?}: {}", meant(name, known))));
        };
        let inner_path = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
        if let Some(wanted) = kind.lacks(value.get_ref()) {
            return Err((line, format!("{inner_path} is not {wanted}: write one such as {example}")));
        }
        if let DeValue::Table(inner) = value.get_ref() {
            check(text, &inner_path, inner)?;
        }
    }
    Ok(())
}

impl Kind {
    /// What a value should be, where it is not.
    fn lacks(self, value: &DeValue<'_>) -> Option<&'static str> {
        let (fits, wanted) = match self {
            Self::Text => (matches!(value, DeValue::String(_)), "a text in quotes"),
            Self::Flag => (matches!(value, DeValue::Boolean(_)), "true or false"),
            Self::Number => (is_number(value), "a number"),
            Self::TwoNumbers => (is_list(value, Some(2), is_number), "a pair of numbers"),
            Self::TwoWholeNumbers => (is_list(value, Some(2), is_whole), "a pair of whole numbers"),
            Self::Steps => {
                let step = |value: &DeValue<'_>| is_list(value, Some(2), is_number);
                let table = matches!(value, DeValue::Table(_));
                (table || is_list(value, None, step), "a list of pairs of code and luminance")
            }
            Self::Table => (matches!(value, DeValue::Table(_)), "a table"),
        };
        (!fits).then_some(wanted)
    }
}

fn is_number(value: &DeValue<'_>) -> bool {
    matches!(value, DeValue::Integer(_) | DeValue::Float(_))
}

fn is_whole(value: &DeValue<'_>) -> bool {
    matches!(value, DeValue::Integer(_))
}

fn is_list(value: &DeValue<'_>, length: Option<usize>, entry: impl Fn(&DeValue<'_>) -> bool) -> bool {
    let DeValue::Array(list) = value else { return false };
    length.is_none_or(|length| list.len() == length) && list.iter().all(|one| entry(one.get_ref()))
}

/// The nearest known key, or all of them where none is near.
fn meant(name: &str, known: &[Key]) -> String {
    let nearest = known
        .iter()
        .map(|(key, ..)| (strsim::jaro_winkler(key, name), key))
        .filter(|(likeness, _)| *likeness > 0.7)
        .max_by(|(one, _), (other, _)| one.total_cmp(other));
    let all = || known.iter().map(|(key, ..)| *key).collect::<Vec<_>>().join(", ");
    nearest.map_or_else(|| format!("it knows {}", all()), |(_, key)| format!("write {key}"))
}
