//! Pages for a browser. They interpret tables that are computed here: no optics and no second procedure in script, and no
//! key or sentence of the balance that is not taken from it.

mod exam;
mod first_step;
pub mod practice;
mod said;

pub use exam::{ExamError, exam_page};
pub use practice::practice_page;

/// What the scripts of both pages share, with the calm time handed to it.
fn shared_script() -> String {
    format!("const shared = {{ calmMs: {} }};\n{}", crate::balance::keys::CALM_MS, include_str!("shared.js"))
}

/// What the content policy knows a file's own script and style by.
fn nonce(text: &str) -> String {
    // FNV-1a.
    let hash = text.bytes().fold(0xCBF2_9CE4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    });
    format!("{hash:016x}")
}
