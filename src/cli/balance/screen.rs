//! What stands on the terminal at each step, as plain lines.

use crate::balance::words::{self, BEFORE_ASKING, TOO_MUCH_MINUS, TOO_MUCH_MINUS_AGAIN};
use crate::balance::{
    AfterMinus, Answer, BinocularStep, Caution, Choice, Course, Examination, Laterality, Manifest, Question,
    RefinedFor, Stage, Why,
};
use crate::eye::CLICK_D;
use crate::light::Side;
use crate::quantity::Dioptres;
use crate::scene::capital;

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
}

/// Narrower than this, lines are wrapped as if it were so; wider, they are not longer.
const WIDTH: std::ops::RangeInclusive<usize> = 40..=88;

/// How the room's page swaps its sides; a chart in a file has to be another file.
const ON_THE_PAGE: &str = "On the room's page s swaps the sides and n draws new letters.";

/// So many answers before are shown.
const EARLIER: usize = 8;

impl Screen {
    /// What to do next, on a terminal with so many rows and columns; `typed` is what was typed so far where words are
    /// asked for.
    pub(super) fn new(
        examination: &Examination,
        typed: &str,
        complaint: &str,
        [rows, columns]: [usize; 2],
    ) -> Self {
        let width = columns.saturating_sub(1).clamp(*WIDTH.start(), *WIDTH.end());
        let mut screen = Self { lines: Vec::new(), fits: true, width, rows };
        let Some(course) = examination.courses.last() else { return screen };
        screen.head(course, examination.stage());
        match examination.stage() {
            Stage::Ask(question) => screen.ask(course, &question),
            Stage::TooMuchMinus => screen.too_much_minus(course),
            Stage::White => screen.white(course, typed),
            Stage::Choose => screen.choose(course),
            Stage::OtherEye(eye) => screen.other_eye(course, eye),
            Stage::Binocular(step) => screen.binocular(step),
            Stage::Start | Stage::Closed => {}
        }
        screen.keys(examination);
        if screen.lines.len() > rows || columns < *WIDTH.start() {
            let needed = format!(
                "Make the window larger: {} rows are needed, and {} columns. No key counts but esc.",
                screen.lines.len(),
                WIDTH.start()
            );
            let lines = wrap(&needed, columns.max(1)).into_iter().map(|line| (Tone::Strong, line)).collect();
            return Self { lines, fits: false, ..screen };
        }
        if !complaint.is_empty() {
            screen.gap();
            screen.wrapped(Tone::Strong, complaint);
        }
        screen.course(course);
        screen
    }

    fn head(&mut self, course: &Course, stage: Stage) {
        let start = &course.start;
        let left = match stage {
            Stage::Binocular(_) => "Both eyes".into(),
            Stage::Start
            | Stage::Ask(_)
            | Stage::TooMuchMinus
            | Stage::White
            | Stage::Choose
            | Stage::OtherEye(_)
            | Stage::Closed => {
                format!("{}: {} eye occluded", eye(start.eye), start.eye.other().name())
            }
        };
        let right = format!("{}, {}", start.place.name, start.distance());
        self.both(Tone::Strong, &left, &right);
        self.lines.push((Tone::Quiet, "─".repeat(self.width)));
    }

    fn ask(&mut self, course: &Course, question: &Question) {
        let lens = course.start.manifest.with_sphere(question.sphere);
        let left = format!("Lens in place  {lens}");
        let change = question.change.to_d().abs();
        let change = if change < 0.005 {
            "as the manifest".into()
        } else if change < CLICK_D / 2.0 {
            "the manifest, brought to this room".into()
        } else {
            let brought =
                if course.start.refined_for == RefinedFor::FarAway { " as it counts here" } else { "" };
            format!("{} from the manifest{brought}", question.change)
        };
        self.both(Tone::Strong, &left, &change);
        self.both(
            Tone::Plain,
            &format!("Line  {}, {}", question.line, question.sides()),
            &format!("question {}", question.number),
        );
        self.gap();
        self.wrapped(Tone::Plain, &question.because());
        if let Some(first) = question.first() {
            self.wrapped(Tone::Strong, first);
        }
        if question.why == Why::SidesSwapped {
            self.wrapped(Tone::Quiet, ON_THE_PAGE);
        }
        self.gap();
        self.indented(Tone::Plain, &format!("“{}”", words::question(course.start.colour_vision)));
        self.gap();
        let keys = answer_keys(question, course.start.colour_vision.is_defect());
        self.lines.extend(keys.map(|line| (Tone::Plain, line)));
        self.wrapped(Tone::Quiet, BEFORE_ASKING);
    }

    fn too_much_minus(&mut self, course: &Course) {
        self.wrapped(Tone::Strong, TOO_MUCH_MINUS);
        if course.fogged_again > 0 {
            self.wrapped(Tone::Plain, TOO_MUCH_MINUS_AGAIN);
        }
        self.gap();
        for (number, what) in (1..).zip(AfterMinus::ALL) {
            let lines = wrap(what.words(), self.width.saturating_sub(6));
            let first = |place: usize| if place == 0 { format!("   {number}  ") } else { " ".repeat(6) };
            let lines = lines.into_iter().enumerate().map(|(place, line)| format!("{}{line}", first(place)));
            self.lines.extend(lines.map(|line| (Tone::Plain, line)));
        }
    }

    fn white(&mut self, course: &Course, typed: &str) {
        self.wrapped(Tone::Strong, &course.ended().unwrap_or_default());
        self.gap();
        self.wrapped(Tone::Strong, &course.put_in());
        self.wrapped(Tone::Plain, &format!(
            "Then take the colours off, and measure acuity on white as bright as the fields were ({:.0} cd/m², {}). Before it was {}.",
            course.start.place.luminance_cd_m2, course.start.place.luminance_basis, course.start.acuity
        ));
        self.gap();
        self.lines.push((Tone::Strong, format!("   Acuity now: {typed}▏")));
        self.lines.push((
            Tone::Quiet,
            "   such as 20/20, or 20/25-2 for two letters missed; Enter takes it".into(),
        ));
    }

    fn choose(&mut self, course: &Course) {
        let Some(standing) = course.standing() else { return };
        self.wrapped(Tone::Plain, &course.ended().unwrap_or_default());
        self.wrapped(Tone::Strong, &standing.why.words());
        self.gap();
        self.wrapped(Tone::Plain, "What is prescribed? Nothing is, unless you choose it.");
        self.gap();
        for (number, choice) in (1..).zip(Choice::ALL) {
            let sphere = course.sphere_of(choice);
            let lens = sphere
                .map_or_else(String::new, |sphere| course.start.manifest.with_sphere(sphere).to_string());
            self.lines.push((Tone::Plain, format!("   {number}  {lens:<22} {}", choice.words())));
        }
    }

    fn other_eye(&mut self, course: &Course, other: Laterality) {
        let done = course.start.eye;
        self.wrapped(Tone::Strong, &format!("The {} eye is done: {}.", done.name(), prescribed(course)));
        self.gap();
        self.wrapped(
            Tone::Plain,
            &format!("The {} eye now, the {} one occluded?", other.name(), done.name()),
        );
        self.lines.push((Tone::Plain, "   y  yes          n  no, only this eye".into()));
    }

    fn binocular(&mut self, step: BinocularStep) {
        self.wrapped(Tone::Plain, "With both eyes open, as local practice has it:");
        self.gap();
        self.wrapped(Tone::Strong, &format!("{}?", capital(step.words())));
        self.lines.push((Tone::Plain, "   y  done          n  not done".into()));
    }

    fn keys(&mut self, examination: &Examination) {
        self.gap();
        let undo = if examination.can_undo() { "backspace  take the last one back      " } else { "" };
        self.lines.push((Tone::Quiet, format!("   {undo}esc  stop here, to go on later")));
    }

    /// What was answered before, how the eye is asked, and what to keep in mind.
    fn course(&mut self, course: &Course) {
        self.gap();
        if !course.asked.is_empty() {
            let from = course.asked.len().saturating_sub(EARLIER);
            let earlier = course.asked[from..]
                .iter()
                .map(|(question, answer)| format!("{} {answer}", bare(question.sphere)));
            let dots = if from > 0 { "… " } else { "" };
            self.wrapped(Tone::Quiet, &format!("Answers  {dots}{}", earlier.collect::<Vec<_>>().join(" · ")));
        }
        let start = &course.start;
        self.wrapped(
            Tone::Quiet,
            &format!(
                "{}; {}; manifest {}; {}",
                start.procedure.name(),
                start.end_point.name(),
                manifest(&start.manifest, start.refined_for),
                start.kind.words()
            ),
        );
        self.cautions(&course.cautions_now());
    }

    /// As many as fit, and how many more there are.
    fn cautions(&mut self, cautions: &[Caution]) {
        for (shown, Caution { what, basis }) in cautions.iter().enumerate() {
            let lines = wrap(&format!("! {what} [{basis}]"), self.width);
            // The last row is for what does not fit.
            if self.lines.len() + lines.len() >= self.rows {
                let more = cautions.len() - shown;
                return self.wrapped(Tone::Quiet, &format!("! {more} more in the record"));
            }
            self.lines.extend(lines.into_iter().map(|line| (Tone::Quiet, line)));
        }
    }

    fn gap(&mut self) {
        self.lines.push((Tone::Plain, String::new()));
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

    fn wrapped(&mut self, tone: Tone, text: &str) {
        self.lines.extend(wrap(text, self.width).into_iter().map(|line| (tone, line)));
    }

    fn indented(&mut self, tone: Tone, text: &str) {
        let lines = wrap(text, self.width.saturating_sub(3));
        self.lines.extend(lines.into_iter().map(|line| (tone, format!("   {line}"))));
    }
}

/// The keys of an answer: arrows point as the patient does.
fn answer_keys(question: &Question, by_side: bool) -> [String; 2] {
    let of = |side: Side| {
        let colour = question.answer_of(side).to_string();
        let key = if by_side { String::new() } else { format!(", {}", &colour[..1]) };
        let name = if by_side {
            format!("{} ({colour})", side.name())
        } else {
            format!("{colour} ({})", side.name())
        };
        (key, name)
    };
    let ((left_key, left), (right_key, right)) = (of(Side::Left), of(Side::Right));
    let key = |arrow: &str, key: &str, name: &str, other: &str, other_name: &str| {
        format!("   {:<6} {:<18} {:<6} {}", format!("{arrow}{key}"), name, other, other_name)
    };
    [
        key("←", &left_key, &left, "↓, s", &Answer::Same.to_string()),
        key("→", &right_key, &right, "↑, u", "cannot tell"),
    ]
}

/// An eye's name at the beginning of a line.
pub(super) const fn eye(eye: Laterality) -> &'static str {
    match eye {
        Laterality::Right => "Right eye",
        Laterality::Left => "Left eye",
    }
}

/// A refraction and what it is for.
pub(super) fn manifest(manifest: &Manifest, refined_for: RefinedFor) -> String {
    let distance = match refined_for {
        RefinedFor::Room => "for this room",
        RefinedFor::FarAway => "for far away",
    };
    format!("{manifest} {distance}")
}

/// What was prescribed of an eye, in words.
pub(super) fn prescribed(course: &Course) -> String {
    match (course.chosen, course.prescribed()) {
        (Some(choice), Some(sphere)) => {
            format!("{} prescribed ({})", course.start.manifest.with_sphere(sphere), choice.words())
        }
        _ => "nothing is prescribed".into(),
    }
}

fn bare(sphere: Dioptres) -> String {
    sphere.to_string().trim_end_matches(" D").into()
}

/// Text in lines of so many letters.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.into()),
        }
    }
    lines
}
