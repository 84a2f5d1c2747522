//! The lens that an eye ends with: where it was meant to end, and the same lens otherwise written.

use serde::Serialize;

use super::super::course::Course;
use super::super::lens::Lens;
use super::super::start::Start;
use crate::eye::CLICK_D;
use crate::quantity::{Dioptres, Length};

/// What the mean of both meridians is called.
pub const SPHERICAL_EQUIVALENT: &str = "spherical equivalent";

/// The same lens, written in another way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Otherwise {
    /// What it is then.
    pub name: String,
    /// The lens in that way.
    pub lens: String,
}

impl Start {
    /// A lens otherwise written: with the cylinder's other sign, as its spherical equivalent, at the cornea, where glasses will
    /// stand. The last two take what is looked at to be far away, and need to know where the trial lens stood.
    #[must_use]
    pub fn otherwise(&self, lens: Lens) -> Vec<Otherwise> {
        let of = |name: String, lens: String| Otherwise { name, lens };
        let turned = lens.cylinder.map(|cylinder| {
            let sign = if cylinder.power.to_d() > 0.0 { "minus" } else { "plus" };
            of(format!("{sign} cylinder"), lens.transposed().to_string())
        });
        let mean =
            lens.cylinder.map(|_| of(SPHERICAL_EQUIVALENT.into(), lens.spherical_equivalent().to_string()));
        let moved =
            |name: String, to: Length| self.vertex.map(|from| of(name, lens.moved(from, to).to_string()));
        let glasses = self.glasses_vertex.and_then(|to| moved(format!("glasses, {} mm", to.to_mm()), to));
        [turned, mean, glasses, moved("at the cornea".into(), Length::mm(0.0))]
            .into_iter()
            .flatten()
            .collect()
    }
}

impl Start {
    /// Who examined and with what, behind a semicolon; nothing where neither was entered.
    #[must_use]
    pub fn by_whom(&self) -> String {
        let examiner = self.examiner.as_ref().map(|initials| format!("; examiner {initials}"));
        let instrument = self.instrument.as_ref().map(|instrument| format!("; {instrument}"));
        [examiner, instrument].into_iter().flatten().collect()
    }
}

impl Course {
    /// The lens that was chosen; none where nothing was.
    #[must_use]
    pub fn chosen_lens(&self) -> Option<Lens> {
        Some(self.start.manifest.with_sphere(self.chosen_sphere()?))
    }

    /// The chosen lens otherwise written; nothing where none was chosen.
    #[must_use]
    pub fn chosen_otherwise(&self) -> Vec<Otherwise> {
        self.chosen_lens().map(|lens| self.start.otherwise(lens)).unwrap_or_default()
    }

    /// By how much the eye ended away from where it was meant to, plus upward: the spherical equivalent of the lens that stands,
    /// for far away, less what was intended. None where nothing was meant or nothing stands yet.
    #[must_use]
    pub fn off_the_intended(&self) -> Option<Dioptres> {
        Some(self.ended_at()? - self.start.intended?)
    }

    /// The spherical equivalent of the lens that stands, for far away.
    fn ended_at(&self) -> Option<Dioptres> {
        Some(self.start.manifest.with_sphere(self.standing()?.far).spherical_equivalent())
    }

    /// Whether the eye ended as it was meant to by the lens that stands, in a sentence; none where nothing was meant or nothing
    /// stands yet.
    #[must_use]
    pub fn intended_in_words(&self) -> Option<String> {
        Some(meant(self.start.intended?, self.off_the_intended()?))
    }

    /// Whether it ended as it was meant to; none where nothing was meant or nothing stands yet.
    #[must_use]
    pub fn is_as_intended(&self) -> Option<bool> {
        self.off_the_intended().map(is_as_intended)
    }
}

/// An eye that is meant to end this much to minus, or more, is meant for nearer than far away, in dioptres: what a click to either side
/// cannot tell from nought. This project's own decision.
const NEARER_D: f64 = 0.5;

/// Where an eye was meant to end, and where it ends, in a sentence.
pub(super) fn meant(intended: Dioptres, off: Dioptres) -> String {
    let (short, ends) = (off_in_short(off), intended + off);
    let undone = match is_as_intended(off) {
        true if intended.to_d() <= -NEARER_D => {
            ", within a click. A lens for far away would undo what was meant"
        }
        true => ", within a click",
        false => "",
    };
    format!(
        "Meant to end at {intended}; it ends at {ends} (spherical equivalent, far away): {short}{undone}."
    )
}

/// How far an eye ended from where it was meant to.
pub(super) fn off_in_short(off: Dioptres) -> String {
    if is_as_intended(off) {
        return "as intended".into();
    }
    let side = if off.to_d() > 0.0 { "plus" } else { "minus" };
    format!("{:.2} D more {side} than intended", off.to_d().abs())
}

/// Within a click, whatever binary fractions leave.
fn is_as_intended(off: Dioptres) -> bool {
    const DUST: f64 = 1e-9;
    off.to_d().abs() <= CLICK_D + DUST
}
