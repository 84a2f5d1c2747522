//! The words of the page.
//!
//! Every figure of the page is written here, in the words and the roundings of the trade, so that the page and the terminal do
//! not say one thing in two ways.

use crate::balance::record::Kept;
use crate::balance::{
    AfterMinus, Choice, Course, Laterality, Lens, PROCEDURE_VERSION, Procedure, RefinedFor, Stage, Stands,
    Whereabouts, words,
};
use crate::bibliography::ROSENFIELD_CHIU_1995;
use crate::quantity::{Dioptres, Length};
use crate::text::{capital, whole_lenses};

/// The right eye stands first.
pub(super) const fn place_of(eye: Laterality) -> usize {
    match eye {
        Laterality::Right => 0,
        Laterality::Left => 1,
    }
}

/// When the first event happened, in the time of the place, with its offset.
pub(super) fn day(kept: &Kept) -> String {
    if kept.at.is_empty() { "no date".into() } else { kept.begun() }
}

/// What was done with the eyes, at the top.
pub(super) fn technique(courses: &[&Course]) -> &'static str {
    let on_white = |course: &&Course| course.start.procedure == Procedure::Midpoint;
    if courses.iter().all(on_white) && !courses.is_empty() {
        "Midpoint on white"
    } else {
        "Red-green balance"
    }
}

/// The label, the place and the name in the record.
pub(super) fn head(kept: &Kept) -> [String; 3] {
    let start = kept.examination.courses.first().map(|course| &course.start);
    let one_line = |words: &str| words.split_whitespace().collect::<Vec<_>>().join(" ");
    let label = start.and_then(|start| start.label.as_deref()).map(one_line);
    let place = start.map(|start| format!("{}, {}", one_line(&start.place.name), distance(start.distance())));
    [label.unwrap_or_default(), place.unwrap_or_default(), format!("record {}", one_line(&kept.id))]
}

fn distance(length: Length) -> String {
    length.to_string()
}

/// What must be seen first: that the record was changed, that the examination is not finished.
pub(super) fn notices(kept: &Kept) -> Vec<String> {
    if let Some(line) = kept.differs.filter(|_| kept.spoilt.is_empty()) {
        return vec![format!(
            "This record was kept by version {} of the procedure. Version {PROCEDURE_VERSION} would have gone another way from line {line} on. Only what came before is shown: read the rest in the record itself.",
            kept.version
        )];
    }
    kept.warning().into_iter().chain(open(kept)).collect()
}

/// That an examination is not finished, and what comes next.
fn open(kept: &Kept) -> Option<String> {
    let next = Some(kept.examination.stage()).filter(|stage| *stage != Stage::Closed)?;
    if kept.differs.is_some() {
        return None;
    }
    let eye = if let (Stage::Ask(_), Some(eye)) = (next, kept.examination.eye()) {
        format!("{} eye, ", eye.name())
    } else {
        String::new()
    };
    Some(format!(
        "This examination is not finished. Next: {eye}{}.",
        whole_lenses(&kept.examination.next_in_words())
    ))
}

/// What is read first of an eye: the lens that it ends with, with its cylinder and axis, or that none was chosen.
pub(super) fn large(kept: &Kept, course: &Course) -> String {
    match ends_with(kept, course) {
        Some(lens) => unbroken(lens),
        None if !kept.examination.is_last_run(course) && course.chosen.is_none() => "Asked again".into(),
        None if course.standing().is_none() && kept.differs.is_some() => "See the record".into(),
        None if course.standing().is_none() => "Not finished".into(),
        None => "Nothing chosen".into(),
    }
}

/// The lens that it ends with: the chosen one, and what both eyes open made of it.
fn ends_with(kept: &Kept, course: &Course) -> Option<Lens> {
    let with_both =
        kept.examination.is_last_run(course).then(|| kept.examination.ends_with(course.start.eye)).flatten();
    with_both.or_else(|| course.chosen_lens())
}

/// A lens that stands on one line.
fn unbroken(lens: Lens) -> String {
    lens.to_string().replace(' ', "\u{a0}")
}

/// Whether both eyes open changed the chosen lens.
pub(super) fn is_changed(kept: &Kept, course: &Course) -> bool {
    ends_with(kept, course) != course.chosen_lens()
}

/// What the table of results is of: the lens before both eyes changed it, the one left in, or the manifest where nothing was
/// decided.
pub(super) fn table(kept: &Kept, course: &Course) -> &'static str {
    match course.left_in() {
        _ if is_changed(kept, course) => "before both eyes",
        Some(_) if !kept.examination.is_last_run(course) => "this run’s lens",
        Some(_) => "the lens that stands",
        None => "the manifest, kept",
    }
}

/// Who chose that and by what name, what both eyes open changed, and what the balance came to.
pub(super) fn chosen(kept: &Kept, course: &Course) -> [String; 2] {
    let choice = course.chosen.filter(|_| course.chosen_sphere().is_some());
    let added = if kept.examination.is_last_run(course) {
        kept.examination.both.added(course.start.eye).to_d()
    } else {
        0.0
    };
    let changed = (added.abs() > 1e-9).then(|| {
        let lens = course.chosen_lens().map(unbroken).unwrap_or_default();
        format!(": {lens}; {} with both eyes open", Dioptres::new(added))
    });
    let by_examiner = |choice| format!("Examiner’s choice: {}", course.choice_name(choice));
    let choice = choice.map(|choice| format!("{}{}", by_examiner(choice), changed.unwrap_or_default()));
    let sphere = |sphere: Dioptres| sphere.to_string();
    let balance = came_out(course, sphere).map(|[what, how]| format!("{}: {how}", capital(&what)));
    [choice.unwrap_or_default(), balance.unwrap_or_default()]
}

/// What was looked for, and what came of it, with a lens of a sphere as it is written; none while that is open.
fn came_out(course: &Course, written: impl Fn(Dioptres) -> String) -> Option<[String; 2]> {
    let standing = course.standing()?;
    let lens = || format!("{} at {}", written(standing.here), distance(course.start.distance()));
    let [what, how] = match standing.why {
        Stands::NotDecided => [RED_GREEN, "not decided"],
        Stands::NotRepeated => [RED_GREEN, "not confirmed"],
        Stands::WorseOnWhite(_) | Stands::TooLittleGain(_) => [RED_GREEN, "manifest kept"],
        Stands::Balanced | Stands::ManifestWorse(_) => return Some([RED_GREEN.into(), lens()]),
        Stands::Midpoint => return Some(["midpoint on white".into(), lens()]),
    };
    Some([what.into(), how.into()])
}

const RED_GREEN: &str = "red-green balance";

/// What makes an eye's lens not the last word: another run, doubt, or better letters through an earlier lens.
pub(super) fn warnings(kept: &Kept, course: &Course) -> Vec<String> {
    let is_last = kept.examination.is_last_run(course);
    let better = is_last.then(|| kept.examination.read_better_in_words(course.start.eye)).flatten();
    [followed(kept, course), doubt(kept, course), better].into_iter().flatten().collect()
}

/// That the answers may follow a side, or that the balance's lens may well lie farther than a click from balance, which stands beside
/// the lens itself; none where neither is so.
fn doubt(kept: &Kept, course: &Course) -> Option<String> {
    if let Some(follows) = course.follows_a_side() {
        return Some(format!("Doubtful: {follows}. Ask again."));
    }
    if course.keeps_the_manifest() {
        return course.kept_against_balance();
    }
    let all = kept
        .examination
        .is_last_run(course)
        .then(|| kept.examination.all_runs_of(course.start.eye))
        .flatten();
    let by = if all.is_some() { "by all runs " } else { "" };
    let found = all.or_else(|| course.whereabouts()).filter(Whereabouts::doubts_the_lens)?;
    let chance = 100.0 * found.within_a_click?;
    Some(format!("Doubtful: {by}within a click of balance with {chance:.0} % only."))
}

/// How the questions ended and why the lens stands, where balance lies by this run, and by all.
pub(super) fn reasons(kept: &Kept, course: &Course) -> Vec<String> {
    let fogged = match course.fogged_again {
        0 => None,
        1 => Some("Blurred with plus again once.".to_owned()),
        times => Some(format!("Blurred with plus again {times} times.")),
    };
    let after = course.after_minus.map(AfterMinus::words).map(|words| format!("{}.", capital(words)));
    let stands = course.stands_in_words();
    let last = || kept.examination.intended_in_words(course.start.eye);
    let meant = if kept.examination.is_last_run(course) { last() } else { course.intended_in_words() };
    let ended = [fogged, course.ended(), after, stands, meant].into_iter().flatten().collect::<Vec<_>>();
    let ended = if ended.is_empty() { "The questions are not at their end.".into() } else { ended.join(" ") };
    let estimate = course.estimate_in_words().map(|said| said.what);
    let runs = kept
        .examination
        .is_last_run(course)
        .then(|| kept.examination.all_runs_in_words(course.start.eye))
        .flatten();
    [Some(ended), estimate, runs].into_iter().flatten().collect()
}

/// What a row of results is for, and its two spheres with the names by which they are chosen.
pub(super) type Row = (&'static str, [(Choice, String); 2]);

/// The lens that stands at the distance of the chart and far away, each exact and to the nearest quarter.
pub(super) fn results(course: &Course) -> Option<[Row; 2]> {
    let sphere = |choice: Choice| Some((choice, course.sphere_of(choice)?.to_string()));
    Some([
        ("test distance", [sphere(Choice::HereExact)?, sphere(Choice::HereQuarter)?]),
        ("far away", [sphere(Choice::FarExact)?, sphere(Choice::FarQuarter)?]),
    ])
}

/// The cylinder, which the balance leaves as it was.
pub(super) fn cylinder(course: &Course) -> Option<String> {
    course.start.manifest.cylinder().map(|cylinder| cylinder.to_string())
}

/// What was known before, how it was asked, and acuity after.
pub(super) fn facts(kept: &Kept, course: &Course) -> Vec<(String, String)> {
    let start = &course.start;
    let mut facts = before(kept, course);
    let far = start.refined_for == RefinedFor::FarAway;
    let distance = if far { "far away" } else { "this distance" };
    let mut add = |label: &str, figure: String| facts.push((label.into(), figure));
    add("manifest", format!("{} for {distance}", start.manifest));
    if far {
        add("its sphere here", start.manifest_here().to_string());
    }
    if let Some(vertex) = start.vertex {
        add("vertex distance", format!("{}\u{a0}mm", vertex.to_mm()));
    }
    if let Some(intended) = start.intended {
        add("meant to end at", format!("{intended}, far away; spherical equivalent"));
    }
    add("acuity before", format!("{} on white", course.acuity_before_in_words()));
    for (label, (white, gain)) in
        ["acuity after", "read again"].into_iter().zip(course.white.iter().zip(course.gains()))
    {
        add(label, format!("{white} on white, {}", words::gained(gain)));
    }
    if course.white.is_empty() {
        add("acuity after", "not measured".into());
    }
    let also = !course.asked.is_empty() && !course.limits.is_empty();
    let also = if also { format!(", then {}", Procedure::Midpoint.said().name) } else { String::new() };
    add("asked", format!("{}{also}", start.procedure.said().name));
    if start.procedure.ends_by_end_point() {
        add("end point", start.end_point.name().into());
    }
    if let Some(instrument) = &start.instrument {
        add("instrument", instrument.clone());
    }
    facts
}

/// Who signs, with the initials that were entered.
pub(super) fn examiner(courses: &[&Course]) -> String {
    let mut initials: Vec<&str> =
        courses.iter().filter_map(|course| course.start.examiner.as_deref()).collect();
    initials.dedup();
    if initials.is_empty() { "Examiner".into() } else { format!("Examiner, {}", initials.join(", ")) }
}

/// The lens that it ends with, otherwise written; its spherical equivalent stands beside its other form.
pub(super) fn otherwise(kept: &Kept, course: &Course) -> Vec<(String, String)> {
    let Some(lens) = ends_with(kept, course) else { return Vec::new() };
    let equivalent = lens.cylinder.map(|_| format!("; equivalent {}", lens.spherical_equivalent()));
    let all = course.start.otherwise(lens).into_iter();
    let all = all.filter(|words::Otherwise { name, .. }| name != words::SPHERICAL_EQUIVALENT);
    let row = |(place, words::Otherwise { name, lens }): (usize, words::Otherwise)| {
        let beside = equivalent.as_deref().filter(|_| place == 0).unwrap_or_default();
        (name, format!("{lens}{beside}"))
    };
    all.enumerate().map(row).collect()
}

/// That another run of this eye followed, and what that ended with; none of the last.
fn followed(kept: &Kept, course: &Course) -> Option<String> {
    let runs = kept.examination.runs_of(course.start.eye);
    let last = runs.last().filter(|_| !kept.examination.is_last_run(course))?;
    Some(format!("Not the last: run {} followed: {}.", runs.len(), came_to(kept, last)))
}

/// The runs of this eye before its last one, each with what it came to; none beside an earlier one.
fn before(kept: &Kept, course: &Course) -> Vec<(String, String)> {
    let runs = kept.examination.runs_of(course.start.eye);
    let earlier = runs
        .split_last()
        .filter(|_| kept.examination.is_last_run(course))
        .map_or(&[][..], |(_, earlier)| earlier);
    let row = |(number, run): (usize, &&Course)| {
        (format!("run {number}"), format!("{}; see its page", came_to(kept, run)))
    };
    (1..).zip(earlier).map(row).collect()
}

/// What a run came to, within a sentence: at the chart, on white, and what was chosen.
fn came_to(kept: &Kept, course: &Course) -> String {
    let left_in = || {
        let lens = course.left_in()?;
        Some(format!("questions left in {lens} at {}; ", distance(course.start.distance())))
    };
    // Runs may differ in their cylinder, so their spheres alone do not compare.
    let whole = |sphere: Dioptres| unbroken(course.start.manifest.with_sphere(sphere));
    let balance = came_out(course, whole).map(|[what, how]| format!("{what} {how}; ")).or_else(left_in);
    let chosen = ends_with(kept, course).map(|lens| format!("chosen {}", unbroken(lens)));
    let white = course.white.last().map(|white| format!("{white} on white; ")).unwrap_or_default();
    format!("{}{white}{}", balance.unwrap_or_default(), chosen.unwrap_or_else(|| "nothing chosen".into()))
}

/// Which eye, and what kind of eye.
pub(super) fn eye(course: &Course) -> [String; 2] {
    let eye = course.start.eye;
    let kind = course.start.kind.words();
    [eye.eye().into(), format!("{kind}; {}", eye.other_occluded())]
}

/// The same, and which run of the eye it is, where there are several.
pub(super) fn eye_of(kept: &Kept, course: &Course) -> [String; 2] {
    let [name, kind] = eye(course);
    let runs = kept.examination.runs_of(course.start.eye);
    let place = runs.iter().position(|one| std::ptr::eq(*one, course)).filter(|_| runs.len() > 1);
    // A line holds no more.
    let run =
        place.map(|place| format!("{}; run {} of {}", course.start.kind.words(), place + 1, runs.len()));
    [name, run.unwrap_or(kind)]
}

/// What a figure is worth, by [`ROSENFIELD_CHIU_1995`].
pub(super) fn worth() -> String {
    format!(
        "Repeated refractions differ by about ±0.29\u{a0}D (95\u{a0}%), so one quarter is within chance [{ROSENFIELD_CHIU_1995}, \
         spherical equivalent]."
    )
}

/// The page in a few sentences, for its file.
pub(super) fn description(kept: &Kept, courses: &[&Course]) -> String {
    let eyes = courses.iter().map(|course| {
        let [eye, _] = eye(course);
        let said = chosen(kept, course).into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>();
        format!("{eye}: {}. {}", large(kept, course), said.join(". "))
    });
    let eyes = eyes.map(|eye| format!("{eye}.")).collect::<Vec<_>>().join(" ");
    let open = open(kept).unwrap_or_default();
    [eyes.as_str(), open.as_str(), words::CAUTION]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
