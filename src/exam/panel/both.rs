//! What a panel shows of both eyes open, and of what can be done beside what comes next: the near add, an eye again, its cylinder.

use super::Session;
use crate::balance::words::{CLEARER_QUESTION, LEADS_QUESTION, NEAR_HOW, recheck_the_cylinder};
use crate::balance::{
    Apart, BinocularStep, Clearer, Comparing, Examination, FOG_D, Laterality, Near, Sphere, Stage,
};
use crate::exam::form::{cylinder_field, fields, framed_field, near_fields};
use crate::exam::view::{ChoiceView, FieldView, LensView, Look};
use crate::exam::wish::AsideForm;
use crate::quantity::Dioptres;
use crate::text::capital;

/// The wish that a form is sent with, and what its button says.
type FormWish = (&'static str, &'static str);

impl Session {
    /// What to put before both eyes on top of their lenses; none where nothing is.
    pub(super) fn lens_of_both(&self, step: BinocularStep) -> Option<LensView> {
        let both = &self.examination()?.both;
        let fog = Dioptres::new(FOG_D);
        let (right, left, because) = match step {
            BinocularStep::BalanceBetweenEyes => match both.comparing() {
                Comparing::Ask(added) => (
                    fog + added.right.to_dioptres(),
                    fog + added.left.to_dioptres(),
                    format!("On top of both lenses; {fog} of it is the fog."),
                ),
                Comparing::Apart | Comparing::Leads { .. } | Comparing::Done(_) | Comparing::TooFar(_) => {
                    return None;
                }
            },
            BinocularStep::SphereWithBoth => match both.sphere() {
                Sphere::Ask(clicks) => {
                    let added = |eye| both.added_by_comparing(eye) + clicks.to_dioptres();
                    let because = "On top of both lenses.".to_owned();
                    (added(Laterality::Right), added(Laterality::Left), because)
                }
                Sphere::Done(_) => return None,
            },
            // Whole lenses go into the frame, and those for far away.
            BinocularStep::TrialFrame => return None,
            BinocularStep::AcuityWithBoth => (
                both.added(Laterality::Right),
                both.added(Laterality::Left),
                "On top of both lenses.".to_owned(),
            ),
        };
        let set = format!("R\u{a0}{} L\u{a0}{}", right.number(), left.number());
        Some(LensView {
            sphere: set.clone(),
            set,
            // Not the whole lens, as everywhere else: that stands below.
            rest: " D added".into(),
            change: "both eyes open".into(),
            is_new: true,
            because,
            first: None,
        })
    }

    /// What is said of a step with both eyes.
    pub(super) fn said_of_both(&self, step: BinocularStep) -> Vec<String> {
        let Some(examination) = self.examination() else { return Vec::new() };
        let both = &examination.both;
        let comparing = (step == BinocularStep::BalanceBetweenEyes).then(|| both.comparing());
        let question = match comparing {
            Some(Comparing::Ask(_)) => CLEARER_QUESTION.into(),
            Some(Comparing::Leads { .. }) => LEADS_QUESTION.into(),
            Some(Comparing::Apart | Comparing::Done(_) | Comparing::TooFar(_)) | None => {
                format!("{}?", capital(step.words()))
            }
        };
        let begun = both.in_words(step).map(|words| format!("{}.", capital(&words)));
        let how = begun.is_none().then(|| step.how());
        let why = how.as_ref().and_then(|_| examination.better_left_out(step));
        let lenses = examination.lenses_for(step);
        [Some(question), why, begun, how, lenses].into_iter().flatten().collect()
    }

    /// What can be noted of a step with both eyes, and that it was not done.
    pub(super) fn choices_of_both(&self, step: BinocularStep) -> Vec<ChoiceView> {
        let Some(examination) = self.examination() else { return Vec::new() };
        let both = &examination.both;
        let mut choices: Vec<ChoiceView> = Vec::new();
        if step == BinocularStep::BalanceBetweenEyes {
            choices = match both.comparing() {
                Comparing::Apart => Apart::ALL.map(apart).into(),
                Comparing::Ask(_) => Clearer::ALL.map(clearer).into(),
                Comparing::Leads { .. } => Laterality::ALL.map(leads).into(),
                Comparing::Done(_) | Comparing::TooFar(_) => Vec::new(),
            };
        }
        let not_done = ChoiceView::new("binocular", Some(("done", false.into())), "not done", "");
        // What was begun is not what had better be left out.
        let left_out = both.in_words(step).is_none() && examination.better_left_out(step).is_some();
        let not_done = not_done.looks(if left_out { Look::Next } else { Look::Last });
        let at = if left_out { 0 } else { choices.len() };
        choices.insert(at, not_done);
        choices.extend(self.again_offered());
        choices
    }

    /// That an eye can be asked again, where it can.
    pub(super) fn again_offered(&self) -> Option<ChoiceView> {
        let can = self.examination().is_some_and(Examination::can_ask_again);
        can.then(|| aside(AsideForm::Again, "ask an eye again", "both runs are kept"))
    }

    /// What is said while a form is open beside what comes next, that form, and its wish; none where none is.
    pub(super) fn beside(&self) -> Option<(Vec<String>, Vec<FieldView>, FormWish)> {
        let (examination, course) = (self.examination()?, self.course()?);
        Some(match self.aside? {
            AsideForm::Near => {
                let tried = examination.near.last();
                (vec![NEAR_HOW.into()], near_fields(tried), ("near", "Note this add"))
            }
            AsideForm::Again => {
                let said =
                    vec!["The same eye once more: what is known of it may have changed meanwhile.".into()];
                (said, fields(Some(course.start.eye), Some(&course.start)), ("start", "Begin again"))
            }
            AsideForm::Cylinder => {
                let said = course.moved_by().map(recheck_the_cylinder);
                (said.into_iter().collect(), cylinder_field(), ("cylinder", "Ask again with this cylinder"))
            }
        })
    }

    /// That the cylinder may be rechecked, where the sphere moved far; none elsewhere.
    pub(super) fn recheck_offered(&self, stage: Stage) -> Option<(String, ChoiceView)> {
        let course = self.course().filter(|course| {
            matches!(stage, Stage::White | Stage::Choose) && course.asks_for_the_cylinder()
        })?;
        let said = recheck_the_cylinder(course.moved_by()?);
        Some((said, aside(AsideForm::Cylinder, "the cylinder changed", "type it, and ask again")))
    }

    /// The form of a step with both eyes.
    pub(super) fn form_of_both(step: BinocularStep) -> Option<(Vec<FieldView>, FormWish)> {
        (step == BinocularStep::TrialFrame).then(|| (framed_field(), ("framed", "Take it")))
    }

    /// Whether both eyes were examined and all is done.
    pub(super) fn is_done_with_both(&self) -> bool {
        let both = self.examination().is_some_and(|all| all.eyes().len() == Laterality::ALL.len());
        both && self.stage() == Stage::Closed
    }

    /// What each of both eyes ends with, what both open made of it, and what was found at near.
    pub(super) fn said_at_the_end(&self) -> Vec<String> {
        let Some(examination) = self.examination() else { return Vec::new() };
        let eye = |eye: Laterality| {
            examination.runs_of(eye).last()?;
            let meant = examination.intended_in_short(eye).map(|short| format!("; {short}"));
            let ends = examination.end_in_words(eye).unwrap_or_else(|| "nothing was chosen".into());
            Some(format!("{}: {ends}{}.", eye.eye(), meant.unwrap_or_default()))
        };
        let eyes = if self.is_done_with_both() {
            Laterality::ALL.into_iter().filter_map(eye).collect()
        } else {
            Vec::new()
        };
        let framed = examination
            .both
            .added_after_acuity()
            .map(|sphere| format!(", before {sphere} was added in the trial frame"))
            .unwrap_or_default();
        let acuity = examination
            .both
            .acuity
            .map(|score| format!("Acuity with both{framed}: {}.", score.in_notation(self.notation)));
        let near = examination.near.last().map(|near| near_said(examination, near)).unwrap_or_default();
        eyes.into_iter().chain(acuity).chain(near).collect()
    }
}

fn near_said(examination: &Examination, near: &Near) -> Vec<String> {
    let first = format!("Near add {}.", near.words());
    [first].into_iter().chain(examination.near_advice(near)).collect()
}

/// A form to be opened.
pub(super) fn aside(form: AsideForm, words: &str, more: &str) -> ChoiceView {
    let value = serde_json::to_value(form).unwrap_or_default();
    ChoiceView::new("aside", Some(("form", value)), words, more).looks(Look::Last)
}

/// The way back from a form that was opened.
pub(super) fn back() -> ChoiceView {
    ChoiceView::new("aside", Some(("form", serde_json::Value::Null)), "back", "").looks(Look::Last)
}

fn apart(apart: Apart) -> ChoiceView {
    ChoiceView::new("apart", Some(("apart", apart.name().into())), apart.name(), &apart.how())
}

fn clearer(clearer: Clearer) -> ChoiceView {
    let with = Some(("clearer", clearer.name().into()));
    ChoiceView::new("compared", with, clearer.words(), "").looks(Look::Answer)
}

fn leads(eye: Laterality) -> ChoiceView {
    ChoiceView::new("leads", Some(("eye", eye.name().into())), &format!("the {} eye leads", eye.name()), "")
}
