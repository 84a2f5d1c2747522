//! `evenfield curve --evidence`

use serde::Serialize;

use crate::balance::words;
use crate::eye::{Evidence, NOT_COMPARED, PUBLISHED, Published};

/// What `--evidence --json` prints.
#[derive(Serialize)]
struct Printed {
    published: &'static [Published],
    not_compared: [(&'static str, &'static str); NOT_COMPARED.len()],
}

/// Every figure, as text or JSON.
pub(super) fn told(json: bool) -> Result<String, serde_json::Error> {
    if json {
        return serde_json::to_string_pretty(&Printed { published: &PUBLISHED, not_compared: NOT_COMPARED });
    }
    let open = NOT_COMPARED.map(|(what, why)| format!("– {what}: {why}."));
    let rule = format!("{} A misfit stays.", Evidence::new().rule());
    Ok(format!("{}\n\n{rule}\n\nNot compared\n{}\n\n{}", table(), open.join("\n"), words::SUPERVISION))
}

fn table() -> String {
    let row = |row: &Published| {
        let used: &str = row.used.into();
        let misfit = if row.agrees() { "" } else { ": misfit" };
        format!(
            "{}\n  {}  [{used}{misfit}]\n  {}: {}",
            row.quantity,
            row.figures(),
            row.source,
            row.conditions
        )
    };
    PUBLISHED.iter().map(row).collect::<Vec<_>>().join("\n")
}
