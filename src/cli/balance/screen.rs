//! What stands on the terminal at each step, as plain lines.

use super::both::{Offers, leaves_out};
use crate::balance::keys::Act;
use crate::balance::words::{
    self, ALSO_MIDPOINT, BEFORE_ASKING, BEFORE_READING, NO_DIFFERENCE, PRIVACY, READ_QUESTION,
    TOO_MUCH_MINUS_AGAIN, recheck_the_cylinder,
};
use crate::balance::{
    AfterMinus, Answer, BinocularStep, Caution, Choice, Course, Examination, Laterality, Legible,
    LimitQuestion, Manifest, Question, RefinedFor, Stage,
};
use crate::eye::CLICK_D;
use crate::light::Side;
use crate::quantity::Dioptres;
use crate::text::capital;

/// How a line is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tone {
    /// What matters most.
    Strong,
    /// As usual.
    Plain,
    /// What is only there to be looked up.
    Quiet,
}

/// The lines of a screen.
#[derive(Debug, Default)]
pub(super) struct Screen {
    pub(super) lines: Vec<(Tone, String)>,
    /// Whether all that must be seen fits the window.
    pub(super) fits: bool,
    width: usize,
    rows: usize,
    /// Whether air and reminders are left out, since the window is low.
    brief: bool,
}

/// What stands on the screen but does not belong to the examination.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside<'a> {
    /// What was typed where words are asked for.
    pub(super) typed: &'a str,
    /// Why the last key did not count.
    pub(super) complaint: &'a str,
    /// Whether a record is kept.
    pub(super) is_kept: bool,
}

/// Narrower than this, lines are wrapped as if it were so; wider, they are not longer.
const WIDTH: std::ops::RangeInclusive<usize> = 40..=88;

/// How many earlier answers are shown.
const EARLIER: usize = 8;

impl Screen {
    /// An empty one for a terminal of this many rows and columns.
    pub(super) fn empty([rows, columns]: [usize; 2], brief: bool) -> Self {
        let width = columns.saturating_sub(1).clamp(*WIDTH.start(), *WIDTH.end());
        Self { lines: Vec::new(), fits: true, width, rows, brief }
    }

    /// What to do next, on a terminal of this many rows and columns. In a low one air and reminders are left out.
    pub(super) fn new(examination: &Examination, beside: Beside<'_>, size: [usize; 2]) -> Self {
        let screen = Self::laid(examination, beside, size, false);
        if screen.fits { screen } else { Self::laid(examination, beside, size, true) }
    }

    fn laid(examination: &Examination, beside: Beside<'_>, size: [usize; 2], brief: bool) -> Self {
        let mut screen = Self::empty(size, brief);
        let Some(course) = examination.courses.last() else { return screen };
        screen.head(course, examination.stage());
        match examination.stage() {
            Stage::Ask(question) => screen.ask(examination, course, &question),
            Stage::Limit(question) => screen.limit(examination, course, &question),
            Stage::TooMuchMinus => screen.too_much_minus(course),
            Stage::White => screen.white(course, beside.typed),
            Stage::Choose => screen.choose(course),
            Stage::OtherEye(eye) => screen.other_eye(course, eye),
            Stage::Binocular(step) => screen.binocular(examination, step, beside.typed),
            Stage::Start | Stage::Closed => {}
        }
        screen.keys(examination, beside.is_kept);
        screen = screen.or_too_small(size);
        if !screen.fits {
            return screen;
        }
        if !beside.complaint.is_empty() {
            screen.wrapped(Tone::Strong, beside.complaint);
        }
        screen.course(course);
        screen
    }

    /// Itself, or that the window must be larger.
    pub(super) fn or_too_small(self, [rows, columns]: [usize; 2]) -> Self {
        if self.lines.len() <= rows && columns >= *WIDTH.start() {
            return self;
        }
        let needed = format!(
            "Make the window larger: {} rows are needed, and {} columns. No key counts but {}.",
            self.lines.len(),
            WIDTH.start(),
            Act::Leave.shown()
        );
        let lines = wrap(&needed, columns.max(1)).into_iter().map(|line| (Tone::Strong, line)).collect();
        Self { lines, fits: false, ..self }
    }

    fn head(&mut self, course: &Course, stage: Stage) {
        let start = &course.start;
        let left = match stage {
            Stage::Binocular(_) => "Both eyes".into(),
            Stage::Start
            | Stage::Ask(_)
            | Stage::Limit(_)
            | Stage::TooMuchMinus
            | Stage::White
            | Stage::Choose
            | Stage::OtherEye(_)
            | Stage::Closed => occluded(start.eye),
        };
        self.title(&left, &format!("{}, {}", start.place.name, start.distance()));
    }

    /// What stands at the top, and a line under it.
    pub(super) fn title(&mut self, left: &str, right: &str) {
        self.both(Tone::Strong, left, right);
        self.lines.push((Tone::Quiet, "─".repeat(self.width)));
    }

    fn ask(&mut self, examination: &Examination, course: &Course, question: &Question) {
        let lens = course.start.manifest.with_sphere(question.sphere);
        self.both(Tone::Strong, &format!("Set the lens  {lens}"), &change(course, question.change));
        self.both(
            Tone::Plain,
            &format!("Line  {}, {}", question.line_in_words(), question.sides()),
            &format!("question {}", question.number),
        );
        self.gap();
        self.wrapped(Tone::Plain, &question.because());
        if let Some(first) = question.first() {
            self.wrapped(Tone::Strong, &first);
        }
        if let Some(change) = examination.change_of_chart() {
            self.wrapped(Tone::Strong, &change);
        }
        self.gap();
        self.indented(Tone::Plain, &format!("“{}”", words::question(course.start.colour_vision)));
        self.gap();
        let keys = answer_keys(question, course.start.colour_vision.is_defect());
        self.lines.extend(keys.map(|line| (Tone::Plain, line)));
        if !self.brief {
            self.wrapped(Tone::Quiet, &format!("{BEFORE_ASKING} {NO_DIFFERENCE}"));
        }
    }

    fn limit(&mut self, examination: &Examination, course: &Course, question: &LimitQuestion) {
        let lens = course.start.manifest.with_sphere(question.sphere);
        self.both(Tone::Strong, &format!("Set the lens  {lens}"), &change(course, question.change));
        self.both(
            Tone::Plain,
            &format!("Line  {}, on white", question.line_in_words()),
            &format!("question {}", question.number),
        );
        self.gap();
        self.wrapped(Tone::Plain, &question.because());
        if let Some(change) = examination.change_of_chart() {
            self.wrapped(Tone::Strong, &change);
        }
        self.gap();
        self.indented(Tone::Plain, &format!("“{READ_QUESTION}”"));
        self.gap();
        for (number, answer) in (1..).zip(Legible::ALL) {
            self.numbered(number, &answer.explained().to_string());
        }
        self.gap();
        if !self.brief {
            self.wrapped(Tone::Quiet, BEFORE_READING);
        }
    }

    fn too_much_minus(&mut self, course: &Course) {
        self.wrapped(Tone::Strong, &course.too_much_minus());
        if course.fogged_again > 0 {
            self.wrapped(Tone::Plain, TOO_MUCH_MINUS_AGAIN);
        }
        self.gap();
        for (number, what) in (1..).zip(AfterMinus::ALL) {
            self.numbered(number, what.words());
        }
    }

    /// A choice behind its number.
    pub(super) fn numbered(&mut self, number: usize, words: &str) {
        let lines = wrap(words, self.width.saturating_sub(6));
        let first = |place: usize| if place == 0 { format!("   {number}  ") } else { " ".repeat(6) };
        let lines = lines.into_iter().enumerate().map(|(place, line)| format!("{}{line}", first(place)));
        self.lines.extend(lines.map(|line| (Tone::Plain, line)));
    }

    fn white(&mut self, course: &Course, typed: &str) {
        let start = &course.start;
        if let Some(again) = course.read_again() {
            self.wrapped(Tone::Strong, &again);
        } else {
            self.wrapped(Tone::Strong, &course.put_in());
            self.gap();
            self.wrapped(
                Tone::Plain,
                &format!(
                    "Then take the colours off (key 2 on the room’s page) and measure acuity on white, which is as bright as the fields were: {:.0} cd/m², {}.",
                    start.place.luminance.to_cd_m2(), start.place.luminance_basis
                ),
            );
        }
        if let Some(moved) = course.moved_by().filter(|_| course.asks_for_the_cylinder()) {
            self.gap();
            self.wrapped(Tone::Strong, &recheck_the_cylinder(moved));
        }
        self.gap();
        self.lines.push((Tone::Plain, format!("   Acuity before: {}", start.acuity)));
        self.lines.push((Tone::Strong, format!("   Acuity now: {typed}▏")));
        self.indented(Tone::Quiet, "such as 20/20, or 20/25-2 for two letters missed; Enter takes it");
    }

    fn choose(&mut self, course: &Course) {
        if course.standing().is_none() {
            return;
        }
        self.wrapped(Tone::Plain, &course.ended().unwrap_or_default());
        self.wrapped(Tone::Strong, &course.stands_in_words().unwrap_or_default());
        if let Some(meant) = course.intended_in_words() {
            self.wrapped(Tone::Strong, &meant);
        }
        self.gap();
        self.wrapped(Tone::Plain, "Examiner’s choice? Nothing is chosen unless you do.");
        self.gap();
        for (number, choice) in (1..).zip(Choice::ALL) {
            let sphere = course.sphere_of(choice);
            let lens = sphere
                .map_or_else(String::new, |sphere| course.start.manifest.with_sphere(sphere).to_string());
            self.numbered(
                number,
                &format!("{}{}{lens}", course.choice_name(choice), if lens.is_empty() { "" } else { ": " }),
            );
        }
        if course.can_seek_midpoint() {
            self.numbered(Choice::ALL.len() + 1, ALSO_MIDPOINT);
        }
    }

    fn other_eye(&mut self, course: &Course, other: Laterality) {
        let done = course.start.eye;
        self.wrapped(
            Tone::Strong,
            &format!("The {} eye is done. {}.", done.name(), course.choice_in_words()),
        );
        self.gap();
        self.wrapped(
            Tone::Plain,
            &format!("The {} eye now, with the {} one occluded?", other.name(), done.name()),
        );
        self.numbered(1, "yes");
        self.numbered(2, "no, only this eye");
        self.numbered(3, &format!("the {} eye again; both runs are kept", done.name()));
    }

    fn binocular(&mut self, examination: &Examination, step: BinocularStep, typed: &str) {
        let both = &examination.both;
        self.wrapped(Tone::Strong, &format!("{}?", capital(step.words())));
        if let Some(why) = examination.better_left_out(step) {
            self.wrapped(Tone::Strong, &why);
        }
        match both.in_words(step) {
            Some(begun) => self.wrapped(Tone::Plain, &format!("So far {begun}.")),
            None => self.wrapped(Tone::Plain, &step.how()),
        }
        if let Some(lenses) = examination.lenses_for(step) {
            self.wrapped(Tone::Plain, &lenses);
        }
        self.gap();
        let offers = Offers::of(examination, step);
        offers.heads.iter().for_each(|head| self.wrapped(Tone::Strong, head));
        for (number, (words, _)) in (1..).zip(&offers.numbered) {
            self.numbered(number, words);
        }
        if let Some((label, such)) = offers.typed {
            self.lines.push((Tone::Strong, format!("   {label}: {typed}▏")));
            self.indented(Tone::Quiet, &format!("{such}; {}", leaves_out()));
        }
    }

    fn keys(&mut self, examination: &Examination, is_kept: bool) {
        self.gap();
        let stop = if is_kept { "stop; --resume goes on later" } else { "stop; nothing is kept" };
        let stop = format!("{}  {stop}", Act::Leave.shown());
        let undo = format!("{}  take back the last entry", Act::TakeBack.shown());
        let undo = if examination.can_undo() { undo } else { String::new() };
        if undo.chars().count() + stop.chars().count() + 9 > self.width {
            let lines = [undo, stop].into_iter().filter(|line| !line.is_empty());
            self.lines.extend(lines.map(|line| (Tone::Quiet, format!("   {line}"))));
        } else {
            let air = if undo.is_empty() { "" } else { "      " };
            self.lines.push((Tone::Quiet, format!("   {undo}{air}{stop}")));
        }
    }

    /// What was answered before, how the eye is asked, and what to keep in mind.
    fn course(&mut self, course: &Course) {
        self.gap();
        if let Some(said) = course.standing().and_then(|_| course.estimate_in_words()) {
            self.quiet(&said.what);
        }
        let colours = course.asked.iter().map(|(question, answer)| (question.sphere, answer.to_string()));
        let limits = course.limits.iter().map(|(question, answer)| (question.sphere, answer.to_string()));
        let all: Vec<String> =
            colours.chain(limits).map(|(sphere, answer)| format!("{} {answer}", sphere.number())).collect();
        if !all.is_empty() {
            let from = all.len().saturating_sub(EARLIER);
            let dots = if from > 0 { "… " } else { "" };
            self.quiet(&format!("Answers  {dots}{}", all[from..].join(" · ")));
        }
        let start = &course.start;
        let label = start.label.as_deref().map(|label| format!("; label {label}")).unwrap_or_default();
        self.quiet(&format!(
            "{}; manifest {}; {}{label}",
            start.way_in_words(),
            manifest(&start.manifest, start.refined_for),
            start.kind.words()
        ));
        self.cautions(&course.cautions_now());
        self.quiet(PRIVACY);
    }

    /// Words to be looked up, where they fit.
    fn quiet(&mut self, words: &str) {
        let lines = wrap(words, self.width);
        if self.lines.len() + lines.len() <= self.rows {
            self.lines.extend(lines.into_iter().map(|line| (Tone::Quiet, line)));
        }
    }

    /// As many as fit, and how many more there are.
    fn cautions(&mut self, cautions: &[Caution]) {
        for (shown, Caution { what, basis }) in cautions.iter().enumerate() {
            let lines = wrap(&format!("! {what} [{basis}]"), self.width);
            // The last row is for what does not fit.
            if self.lines.len() + lines.len() >= self.rows {
                let more = cautions.len() - shown;
                return self.quiet(&format!("! {more} more in the record"));
            }
            self.lines.extend(lines.into_iter().map(|line| (Tone::Quiet, line)));
        }
    }

    pub(super) fn gap(&mut self) {
        if !self.brief {
            self.lines.push((Tone::Plain, String::new()));
        }
    }

    fn both(&mut self, tone: Tone, left: &str, right: &str) {
        let (left_wide, right_wide) = (left.chars().count(), right.chars().count());
        if left_wide + right_wide + 2 <= self.width {
            let between = " ".repeat(self.width - left_wide - right_wide);
            self.lines.push((tone, format!("{left}{between}{right}")));
        } else {
            self.wrapped(tone, left);
            self.wrapped(tone, right);
        }
    }

    pub(super) fn wrapped(&mut self, tone: Tone, text: &str) {
        self.lines.extend(wrap(text, self.width).into_iter().map(|line| (tone, line)));
    }

    pub(super) fn indented(&mut self, tone: Tone, text: &str) {
        let lines = wrap(text, self.width.saturating_sub(3));
        self.lines.extend(lines.into_iter().map(|line| (tone, format!("   {line}"))));
    }
}

/// By how much the lens to set differs from the manifest.
fn change(course: &Course, change: Dioptres) -> String {
    let change = change.to_d();
    if change.abs() < 0.005 {
        return "as the manifest".into();
    }
    if change.abs() < CLICK_D / 2.0 {
        return "the manifest, brought to this room".into();
    }
    let than = if course.start.refined_for == RefinedFor::FarAway {
        "the manifest in this room"
    } else {
        "the manifest"
    };
    format!("{:.2} D more {} than {than}", change.abs(), if change > 0.0 { "plus" } else { "minus" })
}

/// The keys of an answer: arrows point as the patient does.
fn answer_keys(question: &Question, by_side: bool) -> [String; 2] {
    let of = |side: Side, points: Act| {
        let answer = question.answer_of(side);
        let names = if answer == Answer::Red { Act::NamesRed } else { Act::NamesGreen };
        if by_side {
            (points.shown().to_owned(), format!("{} ({answer})", side.name()))
        } else {
            (format!("{}, {}", points.shown(), names.shown()), format!("{answer} ({})", side.name()))
        }
    };
    let ((left_key, left), (right_key, right)) =
        (of(Side::Left, Act::PointsLeft), of(Side::Right, Act::PointsRight));
    let line = |key: &str, name: &str, other: Act, other_name: &str| {
        format!("   {key:<6} {name:<18} {:<4} {other_name}", other.shown())
    };
    [
        line(&left_key, &left, Act::Same, "no difference"),
        line(&right_key, &right, Act::CannotTell, "cannot compare"),
    ]
}

/// Which eye looks.
pub(super) fn occluded(eye: Laterality) -> String {
    format!("{}: {}", eye.eye(), eye.other_occluded())
}

/// A refraction and what it is for.
pub(super) fn manifest(manifest: &Manifest, refined_for: RefinedFor) -> String {
    let distance = match refined_for {
        RefinedFor::Room => "for this room",
        RefinedFor::FarAway => "for far away",
    };
    format!("{manifest} {distance}")
}

/// Text in lines of at most `width` letters; a word longer than a line is broken.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let letters: Vec<String> = text.split_whitespace().flat_map(|word| pieces(word, width.max(1))).collect();
    for word in &letters {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.clone()),
        }
    }
    lines
}

/// A word, or what a line holds of it at a time.
fn pieces(word: &str, width: usize) -> Vec<String> {
    word.chars().collect::<Vec<_>>().chunks(width).map(|piece| piece.iter().collect()).collect()
}
