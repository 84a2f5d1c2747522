//! What a panel shows at each step, ready to lay out: no window works out a step, a size or a sentence.

use super::reading::LINE_LOG_MAR;
use super::said::Said;
use super::session::Session;
use super::view::{
    AnswerButton, AskView, ChoiceView, EarlierView, FieldView, LensView, Look, PanelView, ReadLetter,
    WallStatus, WhiteView,
};
use super::wish::AsideForm;
use crate::balance::words::{
    self, ALSO_MIDPOINT, BEFORE_ASKING, BEFORE_READING, CAUTION, NO_DIFFERENCE, NOT_APPROVED, Otherwise,
    PRIVACY, READ_QUESTION, SEIZURES, TOO_MUCH_MINUS_AGAIN,
};
use crate::balance::{
    AfterMinus, BinocularStep, Caution, Choice, Course, Laterality, Legible, LimitQuestion, PractisedEye,
    Question, RefinedFor, Reply, Stage, StandIn, Start,
};
use crate::eye::CLICK_D;
use crate::light::{Basis, Channel, Side, ToneCurve, srgb_weight};
use crate::quantity::{Dioptres, Luminance};
use crate::scene::look;
use crate::text::{capital, whole_lenses};

mod both;

impl Session {
    /// What a panel shows now.
    #[must_use]
    pub fn for_panel(&self, panel: &str) -> PanelView {
        let (stage, course) = (self.stage(), self.course());
        let (form, form_wish) = self.form(stage);
        PanelView {
            step: self.step(),
            stage: stage.name(),
            commands: self.commands(panel),
            head: head(stage, course),
            place: format!(
                "{}, {}. {}",
                self.place.name,
                self.place.distance,
                no_brighter_than(self.dimmer_field(), self.room.display.full_basis(Channel::Red))
            ),
            wall: self.wall_status(),
            lens: course.filter(|_| self.aside.is_none()).and_then(|course| self.lens(stage, course)),
            ask: course.and_then(|course| self.ask(course)),
            stand_in: self.stand_in.and_then(|patient| self.said_by(patient, stage, course)),
            said: self.said(stage, course),
            estimate: course
                .filter(|_| has_result(stage) && self.aside.is_none() && !self.is_done_with_both())
                .and_then(|course| self.estimate_of(course))
                .cloned(),
            choices: self.choices(stage, course),
            white: self.white().filter(|_| self.aside.is_none()),
            form,
            form_wish,
            picture: None,
            earlier: course.map(earlier).unwrap_or_default(),
            minds: course
                .filter(|_| has_result(stage) && self.aside.is_none())
                .map(minds)
                .unwrap_or_default(),
            // They are of the wall and its room, and not of the near chart's paper.
            cautions: course
                .filter(|_| self.aside != Some(AsideForm::Near))
                .map(|course| cautions(stage, course))
                .unwrap_or_default(),
            facts: course.map(facts).unwrap_or_default(),
            undo: self.undo(),
            dark_between: self.dark_between,
            patient_buttons: self.patient_buttons,
            notation: self.notation.name(),
            kept_as: self.record().and(self.recorder.as_ref()).map(|recorder| recorder.kept.id.clone()),
            record: self.kept(),
            small_print: vec![CAUTION, NOT_APPROVED, PRIVACY],
        }
    }

    /// The light of the field that has less.
    fn dimmer_field(&self) -> Luminance {
        let [red, green] =
            [self.light.red, self.light.green].map(|field| self.room.display.luminance(field.codes));
        if red < green { red } else { green }
    }

    pub(super) fn course(&self) -> Option<&Course> {
        self.examination().and_then(|examination| examination.courses.last())
    }

    /// Whether the wall shows what was asked, in a sentence that also says what to do where it does not.
    fn wall_status(&self) -> WallStatus {
        match self.wall_shows() {
            Ok(said) => WallStatus {
                ready: true,
                words: match &self.picture.chart {
                    Some(_) => "The wall is ready.".into(),
                    None => "The wall is dark.".into(),
                },
                sleepy: !said.awake,
                shown: said.shown.clone(),
            },
            Err(why) => WallStatus { words: why.into(), ..WallStatus::default() },
        }
    }

    /// The lens to set: for a question the one that is asked, for white the one that the questions left in; none at other stages,
    /// where no lens changes.
    fn lens(&self, stage: Stage, course: &Course) -> Option<LensView> {
        let manifest = course.start.manifest;
        let of = |sphere: Dioptres, because: String, first| {
            let (set, sphere_alone) = (manifest.with_sphere(sphere).to_string(), sphere.number());
            let rest = set.strip_prefix(&sphere_alone).unwrap_or_default().to_owned();
            let is_new = self.before.is_none_or(|before| before.number() != sphere_alone);
            let change = change(self.before, sphere);
            LensView { set, sphere: sphere_alone, rest, change, is_new, because, first }
        };
        match stage {
            Stage::Ask(question) => Some(of(question.sphere, question.because(), question.first())),
            Stage::Limit(question) => Some(of(question.sphere, question.because(), None)),
            Stage::White => {
                let sphere = course.left_in()?;
                let why = course.left_in_because();
                let why = course.read_again().or(why.map(|why| format!("{}.", capital(&why))));
                Some(of(sphere, why.unwrap_or_default(), None))
            }
            Stage::Start | Stage::TooMuchMinus | Stage::Choose | Stage::OtherEye(_) | Stage::Closed => None,
            Stage::Binocular(step) => self.lens_of_both(step),
        }
    }

    /// The question with its four answers, each on the side where the patient sees it.
    fn ask(&self, course: &Course) -> Option<AskView> {
        if let Some(question) = self.stage().limit() {
            return Some(self.ask_limit(&question));
        }
        let question = self.question()?;
        let by_side = course.start.colour_vision.is_defect();
        Some(AskView {
            number: question.number,
            question: words::question(course.start.colour_vision),
            before: format!("{BEFORE_ASKING} {NO_DIFFERENCE}"),
            line: question.line.in_notation(self.notation),
            letters: self.picture.chart.as_ref().map(super::Drawing::names).unwrap_or_default(),
            covered: self.is_covered(),
            answers: Said::ALL.map(|said| button(&question, said, by_side)).into(),
            pressed: self
                .pressed
                .map(|said| format!("The patient pressed: {}", button(&question, said, by_side).words)),
        })
    }

    /// The question whether white can be read, whose answers are [choices](Self::choices).
    fn ask_limit(&self, question: &LimitQuestion) -> AskView {
        AskView {
            number: question.number,
            question: READ_QUESTION,
            before: BEFORE_READING.into(),
            line: question.line.in_notation(self.notation),
            letters: self.picture.chart.as_ref().map(super::Drawing::names).unwrap_or_default(),
            covered: self.is_covered(),
            answers: Vec::new(),
            pressed: None,
        }
    }

    /// What a simulated patient says to what is asked, and how it went once something is chosen.
    fn said_by(&self, patient: StandIn, stage: Stage, course: Option<&Course>) -> Option<String> {
        let who = format!("simulated patient {}", patient.number());
        let Some(course) = course else {
            let before = PractisedEye::together(&self.practised);
            return Some(format!("{before} {}: {PRACTISED}", capital(&who)).trim_start().to_owned());
        };
        let by_side = course.start.colour_vision.is_defect();
        match stage {
            // Nobody sees letters on a wall that is dark or away.
            Stage::Ask(_) | Stage::Limit(_) | Stage::White
                if self.is_covered() || self.wall_shows().is_err() =>
            {
                None
            }
            Stage::Ask(_) | Stage::Limit(_) => {
                let words = match (patient.reply(course), stage.question()) {
                    (Some(Reply::Clearer(answer)), Some(question)) => {
                        button(&question, Said::of(answer, question.red), by_side).words
                    }
                    (Some(Reply::Line(answer)), _) => capital(answer.explained().name),
                    (Some(Reply::Clearer(_)) | None, _) => NO_REPLY.into(),
                };
                Some(format!("Through this lens {who} says: {words}"))
            }
            Stage::White => Some(format!("Through this lens {who} says: {}", self.reads_white(course)?)),
            Stage::OtherEye(_) | Stage::Closed => {
                let result = patient.result(course)?.words().replace(" D", "\u{a0}D");
                Some(format!("{}: {result}", capital(&who)))
            }
            Stage::Start | Stage::TooMuchMinus | Stage::Choose | Stage::Binocular(_) => None,
        }
    }

    /// What a simulated patient reads of the line on white: what it read before, to half a line.
    fn reads_white(&self, course: &Course) -> Option<&'static str> {
        let line = self.read()?.line().to_log_mar();
        let reads = line > course.start.acuity.to_log_mar() - LINE_LOG_MAR / 2.0;
        Some(if reads { "I can read all of it" } else { "I can read none of it" })
    }

    /// What was read on white so far; none while its line is not drawn.
    fn white(&self) -> Option<WhiteView> {
        let (reading, chart) = (self.read()?, self.picture.chart.as_ref()?);
        let compares = self.stage() == Stage::Binocular(BinocularStep::BalanceBetweenEyes);
        let before = self.examination()?.read_before()?;
        let letters = chart.names().into_iter().zip(reading.missed());
        Some(WhiteView {
            line: reading.line().in_notation(self.notation),
            letters: letters.map(|(name, missed)| ReadLetter { name, missed: *missed }).collect(),
            score: reading.score().in_notation(self.notation),
            before: before.in_notation(self.notation),
            counts: !compares,
            goes_back: !compares && self.begins_too_small(),
            goes_on: !compares && !self.begins_too_small() && self.ends_early(),
        })
    }

    /// What is said before something is chosen. Before the first eye that is what saturated colours can do.
    fn said(&self, stage: Stage, course: Option<&Course>) -> Vec<String> {
        let Some(course) = course else { return vec![SEIZURES.into()] };
        if let Some((said, ..)) = self.beside() {
            return said;
        }
        match stage {
            Stage::TooMuchMinus => {
                let again = (course.fogged_again > 0).then(|| TOO_MUCH_MINUS_AGAIN.to_owned());
                [Some(course.too_much_minus()), again].into_iter().flatten().collect()
            }
            Stage::Choose => {
                let why = course.stands_in_words();
                let nothing = "Nothing is chosen unless you do.".to_owned();
                let runs = self.examination().and_then(|all| all.all_runs_in_words(course.start.eye));
                let recheck = self.recheck_offered(stage).map(|(said, _)| said);
                let better = self.examination().and_then(|all| all.read_better_in_words(course.start.eye));
                [
                    why,
                    course.kept_against_balance(),
                    better,
                    course.intended_in_words(),
                    course.ended(),
                    runs,
                    recheck,
                    Some(nothing),
                ]
                .into_iter()
                .flatten()
                .collect()
            }
            Stage::Closed if self.is_done_with_both() => {
                self.said_at_the_end().iter().map(|said| whole_lenses(said)).collect()
            }
            Stage::OtherEye(_) | Stage::Closed => {
                let eyes = match (stage, self.examination()) {
                    (Stage::Closed, Some(all)) => all.eyes(),
                    _ => vec![course],
                };
                let end = if stage == Stage::Closed { self.said_at_the_end() } else { Vec::new() };
                let all = eyes.into_iter().flat_map(said_of_choice).chain(end);
                all.map(|sentence| whole_lenses(&sentence)).collect()
            }
            Stage::Binocular(step) => self.said_of_both(step).iter().map(|said| whole_lenses(said)).collect(),
            Stage::White => self.recheck_offered(stage).map(|(said, _)| said).into_iter().collect(),
            Stage::Start | Stage::Ask(_) | Stage::Limit(_) => Vec::new(),
        }
    }

    fn choices(&self, stage: Stage, course: Option<&Course>) -> Vec<ChoiceView> {
        let of = ChoiceView::new;
        if self.aside.is_some() {
            return vec![both::back()];
        }
        let recheck = self.recheck_offered(stage).map(|(_, choice)| choice);
        match (stage, course) {
            (Stage::Start, _) => self.ways_on(),
            (Stage::Limit(_), _) if !self.is_covered() => Legible::ALL.map(read_or_lost).into(),
            (Stage::TooMuchMinus, _) => AfterMinus::ALL
                .map(|what| of("after-minus", Some(("choice", what.name().into())), what.words(), ""))
                .into(),
            (Stage::Choose, Some(course)) => {
                let also = of("also-midpoint", None, ALSO_MIDPOINT, "").looks(Look::Last);
                let also = course.can_seek_midpoint().then_some(also);
                let choices = Choice::ALL.map(|choice| chosen(course, choice)).into_iter().chain(also);
                choices.chain(recheck).chain(self.again_offered()).collect()
            }
            (Stage::OtherEye(_), _) => vec![of("one-eye", None, "only this eye", "").looks(Look::Last)],
            (Stage::Binocular(step), _) => self.choices_of_both(step),
            (Stage::Closed, _) => [
                of("another", None, "the next patient", ""),
                both::aside(AsideForm::Near, "the near add", "with the near chart"),
            ]
            .into_iter()
            .chain(self.again_offered())
            .chain([of("another-room", None, "another room", "or set one up").looks(Look::Last)])
            .collect(),
            (Stage::White, _) => recheck.into_iter().collect(),
            (Stage::Ask(_) | Stage::Limit(_), _) | (Stage::Choose, None) => Vec::new(),
        }
    }

    /// What can be done instead of beginning with an eye.
    fn ways_on(&self) -> Vec<ChoiceView> {
        let resume = |words: &'static str| {
            move |(id, more): &(String, String)| {
                ChoiceView::new("resume", Some(("id", id.as_str().into())), words, more)
            }
        };
        let ended = self.ended.iter().map(resume("go back to the examination that ended just now"));
        let open = self.open.iter().take(MOST_OPEN).map(resume("go on with an open examination"));
        let room = ChoiceView::new("another-room", None, "another room", "or set one up").looks(Look::Last);
        ended.chain(open).chain([room]).collect()
    }

    /// The form of the eye that comes next, with what the eye before it had in common with it.
    fn form(&self, stage: Stage) -> (Vec<FieldView>, (&'static str, &'static str)) {
        const BEGIN: (&str, &str) = ("start", "Begin with this eye");
        if let Some((_, form, wish)) = self.beside() {
            return (form, wish);
        }
        match stage {
            Stage::Start => (super::form::fields(None, None), BEGIN),
            Stage::OtherEye(eye) => (super::form::fields(Some(eye), self.start()), BEGIN),
            Stage::Binocular(step) => Self::form_of_both(step).unwrap_or((Vec::new(), BEGIN)),
            Stage::Ask(_)
            | Stage::Limit(_)
            | Stage::TooMuchMinus
            | Stage::White
            | Stage::Choose
            | Stage::Closed => (Vec::new(), BEGIN),
        }
    }

    /// What taking back would take back; none before anything was entered.
    fn undo(&self) -> Option<String> {
        let examination = self.examination().filter(|examination| examination.can_undo())?;
        let course = examination.courses.last();
        let answer = course.and_then(|course| course.asked.last()).map(|(_, answer)| answer.to_string());
        let read = course.and_then(|course| course.limits.last()).map(|(_, answer)| answer.to_string());
        let last = self.stage().question().and(answer).or_else(|| self.stage().limit().and(read));
        Some(last.map_or_else(|| "Take back the last entry".into(), |answer| format!("Take back “{answer}”")))
    }

    /// Whether and where all this is kept, since a panel cannot see the terminal.
    fn kept(&self) -> String {
        let kept = match (self.record(), &self.recorder) {
            (None, _) if self.stand_in.is_some() => "Not kept: simulated patients answer.".into(),
            (None, _) => "Not kept: begin the program with --record FILE for that.".into(),
            (Some(_), Some(recorder)) => format!("Kept as {}.", recorder.kept.id),
            (Some(_), None) => "Every answer is kept as it is given.".into(),
        };
        let problems = self.not_read.iter().chain(&self.not_written);
        problems.fold(kept, |kept, why| format!("{kept} {why}"))
    }
}

/// What is said of a simulated patient before the first question, where it cannot answer, and of what it does not do.
const PRACTISED: &str = "describe an eye as you like; its manifest is wrong by chance. On white it reads as before, whatever the lens. Nothing is kept, and no real patient answers so.";
const NO_REPLY: &str = "nothing, since the model finds no balance for these letters on these fields";

/// Whether an eye's result is shown.
const fn has_result(stage: Stage) -> bool {
    matches!(stage, Stage::Choose | Stage::OtherEye(_) | Stage::Closed)
}

/// What to keep in mind: while an eye is asked what its answers show, at a result all of it.
fn cautions(stage: Stage, course: &Course) -> Vec<Caution> {
    if has_result(stage) { course.cautions_by_weight() } else { course.cautions_now() }
}

/// So many cautions stand beside a result, over the choices; the others are a touch away.
const MINDS: usize = 1;

/// What weakens a result, beside it.
fn minds(course: &Course) -> Vec<String> {
    let all = course.cautions_by_weight();
    let more = all.len().saturating_sub(MINDS);
    let more = (more > 0).then(|| format!("{more} more to keep in mind: Options."));
    all.into_iter().take(MINDS).map(|caution| caution.what).chain(more).collect()
}

/// What was chosen for an eye, that lens otherwise written, and whether it was meant.
fn said_of_choice(course: &Course) -> Vec<String> {
    let otherwise = course.chosen_otherwise().into_iter();
    let otherwise = otherwise.map(|Otherwise { name, lens }| format!("{}: {lens}", capital(&name)));
    std::iter::once(course.eye_and_choice()).chain(otherwise).chain(course.intended_in_words()).collect()
}

/// A choice with the lens that it means.
fn chosen(course: &Course, choice: Choice) -> ChoiceView {
    let lens = course.sphere_of(choice);
    let lens = lens.map(|sphere| course.start.manifest.with_sphere(sphere).to_string());
    ChoiceView::new(
        "choose",
        Some(("choice", choice.name().into())),
        &course.choice_name(choice),
        &lens.unwrap_or_default(),
    )
}

/// Whether a line was read, near the thumb.
fn read_or_lost(answer: Legible) -> ChoiceView {
    let words::Said { name, how } = answer.explained();
    ChoiceView::new("legible", Some(("answer", name.into())), name, how).looks(Look::Answer)
}

/// How many open examinations are offered; older ones stay in the record.
const MOST_OPEN: usize = 3;

/// The eye that looks, at the top of the panel, so that no lens goes before the wrong one.
fn head(stage: Stage, course: Option<&Course>) -> String {
    let occluded = |eye: Laterality| format!("{}, {}", eye.eye(), eye.other_occluded());
    match (stage, course) {
        (Stage::Start, _) | (_, None) => "Before the first eye".into(),
        (Stage::OtherEye(eye), _) => format!("The {} eye now?", eye.name()),
        (Stage::Binocular(_), _) => "Both eyes".into(),
        (Stage::Closed, _) => "Done".into(),
        (_, Some(course)) => occluded(course.start.eye),
    }
}

/// By how much a lens differs from the one that is in place, in clicks.
fn change(before: Option<Dioptres>, sphere: Dioptres) -> String {
    const NAMES: [&str; 11] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    let Some(before) = before else { return "put it in".into() };
    let clicks = (sphere - before).to_d() / CLICK_D;
    let whole = clicks.round();
    if (clicks - whole).abs() > 1e-6 {
        return format!(
            "{:.2} D {}",
            (clicks * CLICK_D).abs(),
            if clicks > 0.0 { "more plus" } else { "more minus" }
        );
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "lenses lie within 60 D")]
    let count = whole.abs() as usize;
    let number = NAMES.get(count).map_or_else(|| count.to_string(), |name| (*name).into());
    match count {
        0 => "keep the lens".into(),
        _ => format!(
            "{number} click{} {}",
            if count == 1 { "" } else { "s" },
            if whole > 0.0 { "plus" } else { "minus" }
        ),
    }
}

/// An answer as the patient gives it: by colour, or by side where colours are not told apart; the other name stands beside
/// it for the examiner.
fn button(question: &Question, said: Said, by_side: bool) -> AnswerButton {
    let field = said.side().map(|side| if side == question.red { "red" } else { "green" });
    let words = match (said, field) {
        (Said::Same, _) => "No difference".into(),
        (Said::Unsure, _) => "Cannot compare".into(),
        (Said::Left | Said::Right, Some(field)) if !by_side => capital(field),
        (Said::Left | Said::Right, _) => capital(said.side().map_or("", Side::name)),
    };
    let more = match said {
        Said::Same => Some("both alike"),
        Said::Unsure => Some("too blurred, or unsure"),
        Said::Left | Said::Right if by_side => field,
        Said::Left | Said::Right => said.side().map(Side::name),
    };
    AnswerButton { answer: said, words, more: more.unwrap_or_default(), field }
}

/// What was answered before which lens, the oldest first.
fn earlier(course: &Course) -> Vec<EarlierView> {
    let of = |sphere: Dioptres, answer: String| EarlierView { sphere: sphere.number(), answer };
    let colours = course.asked.iter().map(|(question, answer)| of(question.sphere, answer.to_string()));
    let white = course.limits.iter().map(|(question, answer)| of(question.sphere, answer.to_string()));
    colours.chain(white).collect()
}

/// How far to dim the panel's screen, so that nothing on it is brighter than the fields: its brightest words are
/// [`look::GLOW`], and its white whatever its owner has set.
fn no_brighter_than(fields: Luminance, basis: Basis) -> String {
    let tone = ToneCurve::srgb();
    let share = |channel: Channel| srgb_weight(channel) * tone.light(look::GLOW.codes[channel.index()]);
    let words: f64 = Channel::ALL.into_iter().map(share).sum();
    let white = (fields.to_cd_m2() / words).floor();
    format!(
        "Its fields have {fields} ({basis}): dim this panel’s screen until its white has at most {white:.0} cd/m², and nothing on it is brighter than they are."
    )
}

/// How the eye is asked.
fn facts(course: &Course) -> String {
    let start = &course.start;
    let label = start.label.as_deref().map(|label| format!("; label {label}")).unwrap_or_default();
    format!(
        "{}; manifest {}; {}{label}{}",
        start.way_in_words(),
        manifest(start),
        start.kind.words(),
        start.by_whom()
    )
}

/// The manifest, and what its sphere is in this room where that is another.
fn manifest(start: &Start) -> String {
    let manifest = &start.manifest;
    match start.refined_for {
        RefinedFor::Room => format!("{manifest} for this room"),
        RefinedFor::FarAway => format!("{manifest} for far away, sphere {} here", start.manifest_here()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panel_says_how_far_to_dim_its_screen() {
        // By hand: (200, 203, 205) has 0.5776 · 0.2126 + 0.5972 · 0.7152 + 0.6105 · 0.0722 = 0.5940 of white by IEC 61966-2-1, and
        // 50.6 / 0.5940 is 85.2.
        let said = no_brighter_than(Luminance::cd_m2(50.6), Basis::Assumed);
        assert!(
            said.contains("at most 85 cd/m²") && said.starts_with("Its fields have 50.6 cd/m² (assumed):"),
            "{said}"
        );
    }

    #[test]
    fn changes_are_in_clicks_from_the_lens_in_place() {
        let d = Dioptres::new;
        for (before, sphere, words) in [
            (None, -1.0, "put it in"),
            (Some(-1.0), -1.0, "keep the lens"),
            (Some(-1.0), -1.5, "two clicks minus"),
            (Some(-1.0), -0.75, "one click plus"),
            (Some(0.0), 3.0, "12 clicks plus"),
            (Some(0.0), -0.3, "0.30 D more minus"),
        ] {
            assert_eq!(change(before.map(d), d(sphere)), words);
        }
    }
}
