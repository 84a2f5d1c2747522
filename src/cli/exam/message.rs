//! What panel and server send each other, beside what the wall is shown.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::exam::{Numbered, PanelView, Refused, SetupWish, What};

/// What is sent to a panel.
#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::cli) enum ToPanel {
    /// All that it shows from now on.
    Shows {
        /// Whatever it showed before is gone.
        state: Box<PanelView>,
    },
    /// Why something was not done.
    Refused {
        /// In a sentence.
        refused: Refused,
        /// The step that its wish named.
        #[serde(skip_serializing_if = "Option::is_none")]
        of: Option<Value>,
    },
    /// A code for another window.
    Code {
        /// In groups.
        code: String,
        /// Where it is typed.
        address: String,
    },
}

impl ToPanel {
    /// As it is sent.
    pub(super) fn message(&self) -> Value {
        serde_json::json!(self)
    }
}

/// What a panel sends.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::cli) enum FromPanel {
    /// The first message.
    Hello {
        /// The name that it gives itself, of at most 64 bytes.
        hello: String,
    },
    /// It asks for a code for another window.
    Code {
        /// Always this.
        r#do: Code,
    },
    /// A wish, which names the step that the panel showed.
    Wish(#[schemars(with = "AnyWish")] Value),
}

/// The wish for a code.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(in crate::cli) enum Code {
    /// The only one.
    Code,
}

/// The wishes of an examination, and those while a room is set up.
#[derive(JsonSchema)]
#[serde(untagged)]
#[allow(dead_code, reason = "it is read only as a form")]
enum AnyWish {
    Examining(Numbered<What>),
    SettingUp(Numbered<SetupWish>),
}
