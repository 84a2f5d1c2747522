//! Questions about the procedure. Every answer is that of a run, so the sheet cannot teach another rule than the program follows.

use super::question::{Lot, Question};
use crate::acuity::Acuity;
use crate::balance::words::Said;
use crate::balance::{Answer, Clicks, ColourVision, End, EndPoint, Procedure, Put, Rules, Run, Step, words};
use crate::print::deck::{FirstSteps, Lesson, change, first_steps, target, target_in_words};
use crate::text::capital;

/// How many times other answers are drawn where a run is not worth asking about.
const DRAWS: usize = 60;

/// Maximum number of answers that are given in a question.
const MOST_ANSWERS: usize = 6;

/// What the lesson's eye reads: its target is so many lines above it.
const READ: u8 = 0;

/// A patient who answers by three neighbouring ranges: green below, "same" in as many lenses, red from there on.
#[derive(Clone, Copy)]
struct Ranges {
    from: i32,
    same: i32,
}

impl Ranges {
    fn drawn(lot: &mut Lot) -> Self {
        Self { from: *lot.one(&[-3, -2, -1, 0, 1, 2]), same: *lot.one(&[0, 0, 1, 1, 2]) }
    }

    const fn answer(self, put: Put) -> Answer {
        let above = put.clicks.count() - self.from;
        if above < 0 {
            Answer::Green
        } else if above < self.same {
            Answer::Same
        } else {
            Answer::Red
        }
    }
}

pub(super) fn first_step(_: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let groups = first_steps();
    let group = lot.one(&groups);
    let told: Vec<_> = group.leads.iter().filter(|lead| lead.answer != Answer::Unsure).collect();
    let lead = *lot.one(&told);
    let others = lot.shuffled([-2, -1, 1, 2].map(|clicks| lens(Clicks::new(clicks))).into());
    Some(Question {
        asks: format!(
            "{}: the first answer is “{}”. By how much does the lens change?",
            group.asked(),
            lead.answer
        ),
        answer: lot.choice(change(lead).to_string(), others)?,
        because: lead.words(),
        from: "the way of asking by hand that is proposed for this kind of eye".into(),
    })
}

pub(super) fn cannot_tell(_: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let groups = first_steps();
    let lead = |group: &FirstSteps| {
        let unsure = group.leads.iter().find(|lead| lead.answer == Answer::Unsure)?;
        (unsure.moved == Clicks::NONE).then_some((group.asked(), *unsure))
    };
    let (eyes, lead) = lot.one(&groups.iter().filter_map(lead).collect::<Vec<_>>()).clone();
    let [plus, minus] = [1, -1].map(|clicks| lens(Clicks::new(clicks)));
    let wrong = lot.shuffled(vec![
        "Count it as “same”, and go on.".to_owned(),
        format!("Ask the same line with {plus}."),
        format!("Ask the same line with {minus}."),
        "Leave this lens in.".to_owned(),
    ]);
    Some(Question {
        asks: format!("{eyes}: at the first question the patient cannot tell. What comes next?"),
        answer: lot.choice(lead.to_do()?, wrong)?,
        because: format!("{} “Cannot tell” is never “same”.", lead.words()),
        from: "the run’s own rule".into(),
    })
}

/// Ways by rules, in eyes that do not accommodate.
fn ways(end_point: EndPoint) -> [Rules; 3] {
    [Rules::customary(end_point, false), Rules::from_plus(end_point, false), Rules::bracket(end_point)]
}

pub(super) fn next_lens(_: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    for _ in 0..DRAWS {
        let (rules, patient) = (*lot.one(&ways(EndPoint::EqualElseLastRed)), Ranges::drawn(lot));
        let (mut run, mut asked) = (Run::new(rules), Vec::new());
        for _ in 0..2 + lot.below(2) {
            let Step::Ask { clicks, .. } = run.step() else { break };
            let said = patient.answer(Put { clicks, from_plus: false, larger: false, red: None });
            asked.push((clicks, said));
            run = run.answered(said);
        }
        let (Step::Ask { clicks, why, through_plus: false }, Some((last, _))) = (run.step(), asked.last())
        else {
            continue;
        };
        let wrong = lot.shuffled([-2, -1, 1, 2].map(|by| lens(Clicks::new(clicks.count() + by))).into());
        return Some(Question {
            asks: format!("{} Which lens is asked next?", answered(rules, &asked)),
            answer: lot.choice(lens(clicks), wrong)?,
            because: why.words(clicks - *last),
            from: format!("a run “{}”", name(rules)),
        });
    }
    None
}

pub(super) fn end_point(_: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    for _ in 0..DRAWS {
        let end_point = *lot.one(&EndPoint::ALL);
        let [customary, from_plus, _] = ways(end_point);
        let (rules, patient) = (*lot.one(&[customary, from_plus]), Ranges::drawn(lot));
        let ran = Run::new(rules).with(|put| patient.answer(put));
        let (End::Lens { clicks, .. }, Some(reason)) = (ran.end, ran.end.reason(end_point)) else { continue };
        if ran.asked.len() > MOST_ANSWERS {
            continue;
        }
        let near = [-1, 1, -2, 2, 3].map(|by| Clicks::new(clicks.count() + by));
        let wrong = lot.shuffled(near.map(lens).into());
        let Said { name, how } = end_point.said();
        return Some(Question {
            asks: format!("{} End point “{name}”. Which lens is left in?", answered(rules, &ran.asked)),
            answer: lot.choice(lens(clicks), wrong)?,
            because: format!("{}. By this end point that is {how}.", capital(&reason)),
            from: "the end of that run".into(),
        });
    }
    None
}

/// A lens as clicks from the manifest, in dioptres.
fn lens(clicks: Clicks) -> String {
    clicks.to_dioptres().to_string()
}

fn name(rules: Rules) -> &'static str {
    Procedure::from(rules.stepping()).said().name
}

/// What was answered to each lens.
fn answered(rules: Rules, asked: &[(Clicks, Answer)]) -> String {
    let answers: Vec<String> =
        asked.iter().map(|(clicks, answer)| format!("{} {answer}", lens(*clicks))).collect();
    format!("Asked “{}”, lenses counted from the manifest: {}.", name(rules), answers.join(", "))
}

pub(super) fn unequal(_: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let (brighter, dimmer) = *lot.one(&[(Answer::Red, Answer::Green), (Answer::Green, Answer::Red)]);
    let leads = Rules::customary(EndPoint::EqualElseLastRed, false).leads();
    let moved = |answer: Answer| leads.iter().find(|lead| lead.answer == answer).map(|lead| lead.moved);
    let toward = |clicks: Clicks| if clicks < Clicks::NONE { "minus" } else { "plus" };
    let said = |answer: Answer, toward: &str| format!("to {answer}, and the lens ends too {toward}");
    let right = toward(moved(brighter)?);
    let all =
        [brighter, dimmer].into_iter().flat_map(|answer| ["minus", "plus"].map(|end| said(answer, end)));
    Some(Question {
        asks: format!(
            "The {brighter} field is much brighter than the {dimmer} one, and nobody noticed. Where do the answers lean?"
        ),
        answer: lot.choice(said(brighter, right), all)?,
        because: format!(
            "Answers lean to the brighter field whatever the focus, and “{brighter}” asks for {right} each time."
        ),
        from: "the rule of the balance; by how much they lean is assumed".into(),
    })
}

/// Why sides have other names there.
const BY_SIDE: &str =
    "Colours that are not surely told apart are no answer, so sides are called left and right. ";

pub(super) fn prompt(_: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let (vision, patient) = *lot.one(&[
        (ColourVision::Usual, "a patient who tells the colours apart"),
        (ColourVision::Protan, "a patient with a red-green colour defect"),
    ]);
    let quoted = |words: &str| format!("“{words}”");
    let right = words::question(vision);
    let wrong = ["is the field brighter", "are the letters blacker", "is the colour more pleasant"]
        .map(|other| quoted(&right.replace(words::ASKED_ABOUT, other)));
    let wrong = lot.shuffled(wrong.into());
    let crisp = words::BEFORE_ASKING.split_once(". ").map_or(words::BEFORE_ASKING, |(_, crisp)| crisp);
    Some(Question {
        asks: format!("Which question is put to {patient}?"),
        answer: lot.choice(quoted(right), wrong)?,
        because: format!("{}{crisp}", if vision.is_defect() { BY_SIDE } else { "" }),
        from: "the procedure’s own words".into(),
    })
}

pub(super) fn target_line(_: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let lesson_reads = Acuity::standard(0);
    let above = (READ..).take(8).find(|lines| lesson_reads.lines_above(*lines).ok() == Some(target()))?;
    let reads = Acuity::standard(*lot.one(&[-1, 0, 1, 2, 3, 4]));
    let lines: Vec<String> =
        (0..6).filter_map(|lines| reads.lines_above(lines).ok()).map(|line| line.to_string()).collect();
    let up_to: Vec<String> = lines.iter().take(usize::from(above) + 1).cloned().collect();
    let wrong = lot.shuffled(lines);
    Some(Question {
        asks: format!("An eye reads {reads} on white and no smaller line. Which line is it asked with?"),
        answer: lot.choice(reads.lines_above(above).ok()?.to_string(), wrong)?,
        because: format!("{} Here, line by line: {}.", target_in_words(), up_to.join(", ")),
        from: "common practice, no source".into(),
    })
}
