//! Why something was not done.

use serde::Serialize;

/// Why a wish was not taken, in a sentence for the examiner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, thiserror::Error)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[error("{what}")]
pub struct Refused {
    /// What is wrong and what to do.
    pub what: String,
    /// The field of a form that it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<&'static str>,
}

impl Refused {
    /// A refusal that is about no field.
    pub(super) fn new(what: impl Into<String>) -> Self {
        Self { what: what.into(), field: None }
    }
}
