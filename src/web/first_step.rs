use serde::Serialize;

use crate::acuity::Acuity;
use crate::balance::{Answer, Kind, Lead, Rules, Run, Step};

/// The poorest standard line at which a step of the lens is still one click, in tenths of logMAR, by
/// [`Start::step`](crate::balance::Start::step).
const LAST_OF_ONE_CLICK: i8 = 5;

/// With which lens an eye is asked first, and what each answer asks for next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct FirstStep {
    /// The kinds of eye that are asked alike.
    eyes: String,
    /// The name of their procedure.
    procedure: &'static str,
    /// The first lens.
    first: String,
    /// The next lens after each answer, in the order of [`Answer::ALL`].
    next: Vec<String>,
}

impl FirstStep {
    /// All kinds of eye with their usual rules, those with the same rules together.
    pub(super) fn all() -> Vec<Self> {
        let mut rules: Vec<(Rules, Vec<&'static str>)> = Vec::new();
        for kind in Kind::ALL {
            match rules.iter_mut().find(|(one, _)| *one == kind.usual_rules()) {
                Some((_, eyes)) => eyes.push(kind.words()),
                None => rules.push((kind.usual_rules(), vec![kind.words()])),
            }
        }
        rules.into_iter().map(|(rules, eyes)| Self::new(rules, &eyes)).collect()
    }

    fn new(rules: Rules, eyes: &[&str]) -> Self {
        let first = match Run::new(rules).step() {
            Step::Ask { clicks, why, .. } => why.words(clicks),
            Step::End(_) => String::new(),
        };
        let next = rules.leads().iter().map(Lead::words).collect();
        Self { eyes: eyes.join("; "), procedure: rules.procedure.name(), first, next }
    }
}

/// For which eyes the lenses of [`FirstStep::next`] hold.
pub(super) fn holds_for() -> String {
    format!(
        "For eyes that read {} or better. Eyes that read less need larger steps.",
        Acuity::standard(LAST_OF_ONE_CLICK)
    )
}

/// The answers, as the columns of [`FirstStep::next`] are headed.
pub(super) fn answers() -> [String; 4] {
    Answer::ALL.map(|answer| answer.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::{ColourVision, Laterality, Place, RefinedFor, Start};
    use crate::light::Side;

    /// The step of an eye that reads a line, in dioptres.
    fn step(tenths: i8) -> f64 {
        let place = Place {
            name: String::new(),
            distance_mm: 4000.0,
            luminance_cd_m2: 50.0,
            luminance_basis: String::new(),
            interval_d: 0.3,
            interval_basis: String::new(),
            protanope_red_over_green: 0.5,
            cautions: Vec::new(),
            largest_log_mar: None,
        };
        let start = Start {
            eye: Laterality::Right,
            manifest: "0".parse().unwrap(),
            refined_for: RefinedFor::Room,
            acuity: Acuity::standard(tenths).to_string().parse().unwrap(),
            kind: Kind::Presbyopic,
            procedure: Kind::Presbyopic.usual_procedure(),
            end_point: Kind::Presbyopic.usual_end_point(),
            vertex_mm: None,
            colour_vision: ColourVision::Usual,
            brunescent: false,
            red: Side::Left,
            lines_above: 2,
            label: None,
            place,
        };
        start.step().to_d()
    }

    #[test]
    fn the_steps_hold_down_to_the_line_that_is_named() {
        assert!((step(LAST_OF_ONE_CLICK) - 0.25).abs() < 1e-9);
        assert!(step(LAST_OF_ONE_CLICK + 1) > 0.25 + 1e-9);
    }

    /// The strip of the room's page gives the direction only, which must be the same for all eyes.
    #[test]
    fn red_leads_to_minus_and_green_to_plus_in_every_eye() {
        for kind in Kind::ALL {
            let leads = kind.usual_rules().leads();
            assert!(leads.iter().any(|lead| lead.answer == Answer::Red && lead.moved < 0), "{kind:?}");
            assert!(leads.iter().any(|lead| lead.answer == Answer::Green && lead.moved > 0), "{kind:?}");
        }
    }

    #[test]
    fn kinds_with_the_same_rules_share_a_row() {
        let eyes: Vec<String> = FirstStep::all().into_iter().map(|row| row.eyes).collect();
        assert_eq!(eyes, ["small-aperture lens implant", "lens implant; presbyopic", "accommodating"]);
    }
}
