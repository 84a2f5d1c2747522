//! `evenfield curve --evidence`

use serde::Serialize;

use super::super::report::plain_table;
use crate::balance::words;
use crate::eye::{NOT_COMPARED, PUBLISHED, Published, Used};

/// What `--evidence --json` prints.
#[derive(Serialize)]
struct Printed {
    published: [Published; PUBLISHED.len()],
    not_compared: [(&'static str, &'static str); NOT_COMPARED.len()],
}

/// The table, as text or JSON.
pub(super) fn told(json: bool) -> Result<String, serde_json::Error> {
    if json {
        return serde_json::to_string_pretty(&Printed { published: PUBLISHED, not_compared: NOT_COMPARED });
    }
    let open = NOT_COMPARED.map(|(what, why)| format!("– {what}: {why}."));
    Ok(format!("{}\n\n{}\n\nNot compared\n{}\n\n{}", table(), counted(), open.join("\n"), words::SUPERVISION))
}

fn table() -> String {
    let mut table = plain_table(&["measured on eyes", "eyes", "model", "", "used for", ""]);
    for row in &PUBLISHED {
        let spread = row.spread.map_or_else(String::new, |spread| format!(" ± {spread}"));
        let used: &str = row.used.into();
        table.add_row([
            row.quantity.to_owned(),
            format!("{}{spread}", row.published).replace('-', "−"),
            decimals(row).replace('-', "−"),
            row.unit.to_owned(),
            used.to_owned(),
            if row.agrees() { String::new() } else { "misfit".to_owned() },
        ]);
        table.add_row([format!("  {}: {}", row.source, row.conditions)]);
    }
    table.trim_fmt()
}

/// As many decimals as the published figure has, and one more.
fn decimals(row: &Published) -> String {
    let published = row.published.to_string();
    let decimals = published.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    format!("{:.*}", decimals.max(1), row.ours)
}

/// How many of the figures that nothing was set by agree.
fn counted() -> String {
    let evidence: Vec<_> = PUBLISHED.iter().filter(|row| row.used == Used::Evidence).collect();
    let agreeing = evidence.iter().filter(|row| row.agrees()).count();
    format!(
        "The model before the demo room's screen. Of {} figures that no constant was set by, {agreeing} agree: within twice the published spread, or without one within a quarter or 0.1 of the unit. A figure that a constant was set by is no evidence. A misfit stays.",
        evidence.len()
    )
}
