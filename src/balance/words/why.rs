//! Why a lens is in place.

use super::super::clicks::Clicks;
use super::super::run::Why;

impl Why {
    /// Why a lens is in place that differs from the one before by this many clicks, plus upward.
    #[must_use]
    pub fn words(self, clicks: Clicks) -> String {
        let moved = moved(clicks);
        match self {
            Self::Manifest => "The manifest refraction comes first.".into(),
            Self::Fog => {
                format!("This eye accommodates, so plus blurs it first: {moved}. Red should now be clearer.")
            }
            Self::MoreFog => {
                format!("This eye accommodates, so answers count only after red was clearer. Go on: {moved}.")
            }
            Self::RedWasClearer => format!("Red was clearer: {moved}."),
            Self::GreenWasClearer => format!("Green was clearer: {moved}."),
            Self::SameIsNoEnd => format!("“Same” can span several lenses, so go on: {moved}."),
            Self::EndPointNotSeen => {
                format!("The end point needs an answer that was not given yet, so go on: {moved}.")
            }
            Self::CouldNotTell => {
                let blur = if clicks == Clicks::NONE { "" } else { ", perhaps for too much blur" };
                format!("The patient could not tell{blur}. {}", larger_line(clicks))
            }
            Self::SidesSwapped if clicks == Clicks::NONE => {
                "This lens decides. Ask once more, with sides swapped and new letters.".into()
            }
            Self::SidesSwapped => {
                format!("The deciding lens, {moved}. Ask once more, with sides swapped and new letters.")
            }
            Self::RedEnd => format!("Now re-check the red end: {moved}."),
            Self::GreenEnd => format!("Now re-check the green end: {moved}."),
            Self::CountsAsSame => format!(
                "The answer stayed on its side when the sides were swapped, so it counts as “same”: {moved}."
            ),
            Self::TellsMost if clicks == Clicks::NONE => {
                "The same lens once more: here an answer still tells most about where balance lies.".into()
            }
            Self::TellsMost => format!("Here an answer tells most about where balance lies: {moved}."),
            Self::AskedAgain => format!(
                "The answers ended far from the manifest. Behind a small aperture all is asked a second time. Back to the manifest: {moved}."
            ),
        }
    }
}

/// What to do for a patient who could not tell.
pub(in crate::balance) fn larger_line(clicks: Clicks) -> String {
    let glue = if clicks == Clicks::NONE { "; " } else { ", and set " };
    format!("Show a larger line{glue}{}.", moved(clicks))
}

/// A change of lens in words, in clicks, plus upward.
pub(super) fn moved(clicks: Clicks) -> String {
    let size = clicks.abs().to_dioptres().to_d();
    match clicks.count() {
        0 => "keep the lens".into(),
        1.. => format!("{size:.2} D more plus"),
        _ => format!("{size:.2} D more minus"),
    }
}
