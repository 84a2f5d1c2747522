//! Findings on letters, marks and fields whose places are given, so that each limit is met and missed by a little.

use image::RgbImage;

use super::seen::{SeenLetter, SeenRow};
use super::*;
use crate::check::alphabet::ALPHABETS;
use crate::check::identify::Readable;
use crate::check::locate::{self, Mark};
use crate::check::measure::Extent;
use crate::check::patch::Patch;
use crate::check::png::ColourTag;
use crate::check::{Clause, Requirement, Value};

const RED: [u8; 3] = [255, 0, 0];
const GREEN: [u8; 3] = [0, 147, 0];

/// A letter by its name, with strokes of so many pixels.
fn named(name: &str, left: f64, top: f64, stroke: f64) -> SeenLetter {
    let letter = ALPHABETS.iter().flat_map(|alphabet| alphabet.letters).find(|letter| letter.name == name);
    let side = 5.0 * stroke;
    SeenLetter {
        letter,
        extent: Extent { left: 0.0, top: 0.0, width: side, height: side },
        detail: Some((stroke, Some(0))),
        ends: [left, left + side],
        tips: [top, top + side],
        departure: Some(0.0),
        ink_cd_m2: 0.0,
    }
}

fn letter(left: f64, top: f64, stroke: f64) -> SeenLetter {
    named("H", left, top, stroke)
}

/// What is seen on 1280 × 720 pixels, the right field from the middle on.
fn seen(rows: Vec<[Vec<SeenLetter>; 2]>) -> Seen {
    Seen {
        size: [1280, 720],
        fields: locate::Fields { codes: vec![RED, GREEN], seam: 640, gap: 0 },
        code_step: vec![0.01; 2],
        rows: rows.into_iter().map(|fields| SeenRow { fields: fields.into() }).collect(),
        marks: Vec::new(),
        tinted: 0,
        crowded: false,
        readable: Readable { plain: 2, mirrored: 0 },
    }
}

/// A letter of five-pixel strokes on either field, changed on the red one.
fn one_row(change: impl FnOnce(&mut SeenLetter)) -> Seen {
    let mut first = letter(300.0, 300.0, 5.0);
    change(&mut first);
    seen(vec![[vec![first], vec![letter(900.0, 300.0, 5.0)]]])
}

fn wanted(lines: &[&str]) -> Wanted {
    let lines = lines.iter().map(|line| line.parse().unwrap()).collect();
    Wanted::new(&Expected { lines, ..Expected::default() }, None)
}

/// Five pixels are a minute of arc: 0.25 mm at 4.2972 m are a fifth of one.
fn scale() -> Scale {
    let distance = 0.25 / (std::f64::consts::PI / 180.0 / 60.0 / 5.0);
    Scale {
        pitch: Some([Length::mm(0.25); 2]),
        distance: Some(Length::mm(distance)),
        basis: Some(Basis::Measured),
    }
}

fn no_scale() -> Scale {
    Scale { pitch: None, distance: None, basis: None }
}

fn all_of(seen: &Seen, lines: &[&str], scale: &Scale, clause: &Clause) -> Vec<Finding> {
    let findings = letters::findings(seen, &wanted(lines), scale);
    findings.into_iter().filter(|finding| finding.clause.id == clause.id).collect()
}

fn of(seen: &Seen, clause: &Clause) -> Finding {
    all_of(seen, &["20/20"], &scale(), clause).remove(0)
}

fn number(finding: &Finding) -> f64 {
    let Value::Number(number) = finding.measured else { panic!("{finding:?}") };
    number
}

fn words(finding: &Finding) -> &str {
    let Value::Words(words) = &finding.measured else { panic!("{finding:?}") };
    words
}

/// Angles are by the tangent, and no number here is given to more digits.
const LAST_DIGIT: f64 = 1e-3;

#[test]
fn a_letter_is_as_large_as_its_worst_side_and_fails_beyond_what_codes_can_show() {
    // 20/20 is 25 px high; five per cent are 1.25 px, and 0.04 px more cannot be told on fine codes.
    let sized = |width: f64, code_step: f64| {
        let mut seen = one_row(|letter| letter.extent.width = width);
        seen.code_step = vec![code_step, 0.0];
        of(&seen, &clause::LETTER_SIZE)
    };
    for (width, code_step, verdict) in [
        (26.2, 0.01, Verdict::Pass),
        (26.28, 0.01, Verdict::Warn),
        (26.31, 0.01, Verdict::Fail),
        (23.8, 0.01, Verdict::Pass),
        (23.72, 0.01, Verdict::Warn),
        (23.68, 0.01, Verdict::Fail),
        // Coarse codes, of twice as large a share, tell half as much.
        (26.31, 0.03, Verdict::Warn),
        (26.35, 0.03, Verdict::Fail),
    ] {
        let finding = sized(width, code_step);
        assert_eq!(finding.verdict, verdict, "{width} {code_step}: {finding:?}");
        assert_eq!(
            (finding.place.as_str(), finding.basis),
            ("line 20/20, worst H on red", Some(Basis::Measured))
        );
        assert!((number(&finding) - width / 5.0).abs() < LAST_DIGIT);
        assert_eq!(finding.note.contains("may decide"), verdict == Verdict::Warn, "{finding:?}");
    }
    assert!(sized(26.28, 0.01).note.contains("0.04 px") && sized(26.31, 0.03).note.contains("0.08 px"));
    // The detail is a fifth of it.
    let detail = of(&one_row(|letter| letter.detail = Some((5.5, Some(1)))), &clause::CRITICAL_DETAIL);
    assert!((number(&detail) - 1.1).abs() < LAST_DIGIT && detail.verdict == Verdict::Fail);
    let none = seen(vec![[vec![SeenLetter { detail: None, ..letter(300.0, 300.0, 5.0) }], Vec::new()]]);
    assert_eq!(words(&of(&none, &clause::CRITICAL_DETAIL)), "not measurable");
}

#[test]
fn sizes_are_told_as_far_as_room_and_line_are_known() {
    let seen = || one_row(|letter| letter.extent = Extent { width: 27.0, height: 27.0, ..letter.extent });
    // In pixels without a scale: two sides of 27 and two of 25.
    let pixels = all_of(&seen(), &["20/20"], &no_scale(), &clause::LETTER_SIZE).remove(0);
    assert_eq!((words(&pixels), pixels.verdict), ("26.00 px", Verdict::NotJudged));
    assert!(all_of(&seen(), &[], &no_scale(), &clause::RESOLUTION).is_empty());
    // With the line that it is like where none is named: 26 px are 5.2 minutes.
    let like = all_of(&seen(), &[], &scale(), &clause::LETTER_SIZE).remove(0);
    assert!((number(&like) - 5.2).abs() < LAST_DIGIT && like.verdict == Verdict::NotJudged);
    assert_eq!((like.place.as_str(), like.basis), ("line 1", Some(Basis::Measured)));
    let plain = all_of(&one_row(|_| {}), &[], &scale(), &clause::LETTER_SIZE).remove(0);
    assert!(plain.note.contains("the size of 20/20: name the line"), "{plain:?}");
    let resolution = of(&seen(), &clause::RESOLUTION);
    assert!((number(&resolution) - 5.0).abs() < LAST_DIGIT && resolution.basis == Some(Basis::Measured));
    // No ink reaches the side on which a gap opens.
    for (name, sizes) in [
        ("C", [false, true]),
        ("←", [false, true]),
        ("↑", [true, false]),
        ("↓", [true, false]),
        ("H", [true; 2]),
    ] {
        assert_eq!(named(name, 0.0, 0.0, 5.0).sizes().map(|size| size.is_some()), sizes, "{name}");
    }
}

#[test]
fn strokes_and_shapes_are_judged_by_what_pixels_can_draw() {
    // The mean of both fields' strokes; 0.04 px decide nothing.
    let strokes = |one: f64, other: f64, departure: f64| {
        let first = SeenLetter { departure: Some(departure), ..letter(300.0, 300.0, one) };
        let second = SeenLetter { departure: Some(0.01), ..letter(900.0, 300.0, other) };
        seen(vec![[vec![first], vec![second]]])
    };
    for (one, other, verdict) in [
        (1.95, 1.95, Verdict::Fail),
        (1.97, 1.97, Verdict::Warn),
        (2.95, 2.95, Verdict::Warn),
        (2.97, 2.97, Verdict::Pass),
        (2.5, 3.46, Verdict::Pass),
        (2.5, 3.4, Verdict::Warn),
    ] {
        let finding = of(&strokes(one, other, 0.0), &clause::STROKE);
        assert!((number(&finding) - (one + other) / 2.0).abs() < LAST_DIGIT);
        assert_eq!(finding.verdict, verdict, "{finding:?}");
    }
    // 15 % of a stroke's square, and 25 % where any letter's strokes are under 3 px.
    for (stroke, departure, verdict, what) in [
        (5.0, 0.14, Verdict::Pass, ""),
        (5.0, 0.16, Verdict::Fail, "has ink beside its strokes"),
        (5.0, -0.16, Verdict::Fail, "lacks ink"),
        (2.97, 0.16, Verdict::Fail, "has ink"),
        (2.95, 0.16, Verdict::Pass, ""),
        (2.5, -0.24, Verdict::Pass, ""),
        (2.5, -0.26, Verdict::Fail, "lacks ink"),
    ] {
        let finding = of(&strokes(stroke, 5.0, departure), &clause::SHAPE);
        assert_eq!(finding.verdict, verdict, "{stroke} {finding:?}");
        assert!(finding.note.contains(what) && finding.place.ends_with("worst H on red"), "{finding:?}");
        assert!((number(&finding) - departure.abs() * 100.0).abs() < LAST_DIGIT);
    }
}

#[test]
fn rows_are_level_apart_and_have_air() {
    // Five per cent of the row's own height, which grows by the same.
    let level = |down: f64| of(&one_row(|letter| letter.tips = [300.0 + down, 325.0 + down]), &clause::LEVEL);
    for (down, per_cent, verdict) in
        [(0.0, 0.0, Verdict::Pass), (1.0, 100.0 / 26.0, Verdict::Pass), (-2.0, 200.0 / 27.0, Verdict::Fail)]
    {
        let finding = level(down);
        assert!(
            (number(&finding) - per_cent).abs() < LAST_DIGIT && finding.verdict == verdict,
            "{finding:?}"
        );
    }
    let row = |top: f64, stroke: f64| [vec![letter(300.0, top, stroke)], vec![letter(900.0, top, stroke)]];
    for (top, gap, verdict) in
        [(355.0, 30.0, Verdict::Pass), (349.6, 24.6, Verdict::Pass), (349.4, 24.4, Verdict::Warn)]
    {
        let found = all_of(&seen(vec![row(300.0, 5.0), row(top, 5.0)]), &[], &scale(), &clause::ROW_GAP);
        assert_eq!(found.len(), 1);
        assert!(
            (number(&found[0]) - gap / 25.0).abs() < LAST_DIGIT && found[0].verdict == verdict,
            "{found:?}"
        );
    }
    // Between letters, in heights of both; each by its own stroke.
    for (left, verdict) in [(350.0, Verdict::Pass), (349.6, Verdict::Pass), (349.4, Verdict::Warn)] {
        let letters = vec![letter(300.0, 300.0, 5.0), letter(left, 300.0, 5.0)];
        let finding = of(&seen(vec![[letters, vec![letter(900.0, 300.0, 5.0)]]]), &clause::SPACING);
        assert!((number(&finding) - (left - 325.0) / 25.0).abs() < LAST_DIGIT && finding.verdict == verdict);
    }
    // A height of air to every side, less a pixel: 24 px. Its field ends at the seam, at 640.
    let at = |left: f64, top: f64| {
        let (red, green) = if left < 640.0 { (left, 900.0) } else { (300.0, left) };
        of(&seen(vec![[vec![letter(red, top, 5.0)], vec![letter(green, top, 5.0)]]]), &clause::AIR)
    };
    for (nearer, verdict) in [(0.0, Verdict::Pass), (0.5, Verdict::Warn)] {
        let across = [24.0 - nearer, 640.0 - 49.0 + nearer, 664.0 - nearer, 1280.0 - 49.0 + nearer];
        let down = [24.0 - nearer, 720.0 - 49.0 + nearer];
        for (left, top) in across.map(|left| (left, 300.0)).into_iter().chain(down.map(|top| (300.0, top))) {
            let finding = at(left, top);
            let air = (24.0 - nearer) / 25.0;
            assert!(
                (number(&finding) - air).abs() < LAST_DIGIT && finding.verdict == verdict,
                "{left} {top}: {finding:?}"
            );
        }
    }
}

#[test]
fn letters_are_named_the_first_twelve_of_them_and_alike_on_both_fields() {
    let row = |count: u32| -> Vec<SeenLetter> {
        (0..count).map(|at| letter(30.0 * f64::from(at), 300.0, 5.0)).collect()
    };
    let read = |one: Vec<SeenLetter>, other: Vec<SeenLetter>| of(&seen(vec![[one, other]]), &clause::LETTERS);
    let twelve = ["H"; 12].join(" ");
    assert_eq!(words(&read(row(12), row(12))), twelve);
    assert_eq!(words(&read(row(14), row(14))), format!("{twelve} and 2 more"));
    assert_eq!(read(row(2), row(2)).verdict, Verdict::Pass);
    let differ = read(row(2), vec![letter(900.0, 300.0, 5.0)]);
    assert_eq!((words(&differ), differ.verdict), ("H H | H", Verdict::Fail));
    assert!(differ.note.contains("different letters"));
    let unread = || vec![SeenLetter { letter: None, ..letter(300.0, 300.0, 5.0) }];
    let strange = read(unread(), unread());
    assert!(
        words(&strange) == "?"
            && strange.verdict == Verdict::Fail
            && strange.note.starts_with("? is no letter")
    );
    // Against those that a file names.
    let named = |letters: &str| {
        let wanted = Wanted { letters: vec![vec![letters.into()]], ..wanted(&["20/20"]) };
        letters::findings(&one_row(|_| {}), &wanted, &scale())
            .into_iter()
            .find(|one| one.clause.id == clause::LETTERS.id)
    };
    assert_eq!(named("H").unwrap().verdict, Verdict::Pass);
    let other = named("K").unwrap();
    assert!(other.verdict == Verdict::Fail && other.note.contains("the file names"));
    // Five letters a line, on the field that has fewest.
    for (red, green, verdict) in [(5, 5, Verdict::Pass), (5, 4, Verdict::Warn)] {
        let finding = of(&seen(vec![[row(red), row(green)]]), &clause::LETTERS_A_LINE);
        assert!((number(&finding) - f64::from(green)).abs() < LAST_DIGIT && finding.verdict == verdict);
    }
    let lines = |lines: &[&str]| all_of(&one_row(|_| {}), lines, &scale(), &clause::LINES).remove(0);
    let one = lines(&["20/20"]);
    assert_eq!((words(&one), one.verdict, one.note.as_str()), ("1 line", Verdict::Pass, "20/20"));
    assert_eq!(lines(&["20/20", "20/25"]).required, Requirement::Exactly("2 lines".into()));
    assert_eq!(lines(&[]).verdict, Verdict::NotJudged);
}

/// Marks of so many pixels height, by left, right and top, beside a row from 300 to 925 across and from 300 to 325 down.
fn marked(marks: &[[u32; 4]], labels: Option<bool>, change: impl FnOnce(&mut Seen)) -> Finding {
    let mut seen = one_row(|_| {});
    let mark = |[left, top, right, bottom]: [u32; 4]| Mark {
        place: Patch { left, top, right, bottom },
        dark: false,
    };
    seen.marks = marks.iter().map(|place| mark(*place)).collect();
    change(&mut seen);
    marks::evenness(&seen, labels)
}

#[test]
fn labels_are_faint_small_and_at_the_outer_ends_of_every_row() {
    // Ten pixels high, with half of that between them and the letters.
    let whole = [[250, 307, 295, 317], [930, 307, 980, 317]];
    let verdict = |marks: &[[u32; 4]]| marked(marks, Some(true), |_| {}).verdict;
    let labels = marked(&whole, Some(true), |_| {});
    assert_eq!((words(&labels), labels.verdict), ("faint labels", Verdict::Pass));
    let unasked = marked(&whole, Some(false), |_| {});
    assert!(unasked.verdict == Verdict::Fail && unasked.note == "no labels were asked for");
    let unknown = marked(&whole, None, |_| {});
    assert_eq!((words(&unknown), unknown.verdict), ("faint marks like labels", Verdict::Warn));
    assert_eq!(unknown.required, Requirement::Exactly("nothing, or faint labels".into()));
    // A label may have several parts.
    assert_eq!(verdict(&[whole[0], [255, 308, 260, 315], whole[1]]), Verdict::Pass);
    let missing = marked(&[], Some(true), |_| {});
    assert!(missing.verdict == Verdict::Fail && missing.note == "the labels are missing");
    for labels in [Some(false), None] {
        assert_eq!(marked(&[], labels, |_| {}).verdict, Verdict::Pass);
    }
    // Too near on the left and on the right, half beside the row, below it, one alone.
    for (marks, why) in [
        (vec![[250, 307, 296, 317], whole[1]], "level with the letters"),
        (vec![whole[0], [929, 307, 980, 317]], "level with the letters"),
        (vec![[250, 321, 295, 331], whole[1]], "level with the letters"),
        (vec![[250, 294, 295, 304], whole[1]], "level with the letters"),
        (vec![whole[0]], "not every row"),
        // Wider than twelve heights, and higher than an eighth of the picture's 720 pixels.
        (vec![[100, 307, 221, 317], whole[1]], "labels are shorter"),
        (vec![[100, 267, 150, 358], [1000, 267, 1050, 358]], "labels are smaller"),
    ] {
        let finding = marked(&marks, Some(true), |_| {});
        assert!(finding.verdict == Verdict::Fail && finding.note.contains(why), "{marks:?}: {finding:?}");
    }
    for marks in [
        // Just as wide, as high, and as far up and down as may be.
        vec![[100, 307, 220, 317], whole[1]],
        vec![[100, 268, 150, 358], [1000, 268, 1050, 358]],
        vec![[250, 319, 295, 329], whole[1]],
        vec![[250, 296, 295, 306], whole[1]],
    ] {
        assert_eq!(verdict(&marks), Verdict::Pass, "{marks:?}");
    }
    // One field has one label, at either end.
    let single = |marks: &[[u32; 4]]| {
        marked(marks, Some(true), |seen| {
            seen.fields = locate::Fields { codes: vec![RED], seam: 1280, gap: 0 }
        })
        .verdict
    };
    assert_eq!(
        (single(&whole[..1]), single(&whole[1..]), single(&whole)),
        (Verdict::Pass, Verdict::Pass, Verdict::Fail)
    );
}

#[test]
fn marks_are_counted_and_called_dark_or_faint() {
    let odd = [[10, 10, 12, 12], [20, 10, 22, 12]];
    assert_eq!(words(&marked(&odd[..1], Some(false), |_| {})), "1 mark, faint");
    assert_eq!(words(&marked(&odd, Some(false), |_| {})), "2 marks, faint");
    let dark = marked(&odd, Some(true), |seen| seen.marks[0].dark = true);
    assert_eq!(words(&dark), "2 marks, 1 as dark as letters");
    assert!(dark.note.starts_with("labels are fainter"));
    assert!(words(&marked(&[], None, |seen| seen.tinted = 3)).starts_with("3 px of another colour"));
    assert_eq!(words(&marked(&[], None, |seen| seen.crowded = true)), "more marks than can be told apart");
}

fn found(clause: &Clause, seen: &Seen, wanted: &Wanted, picture: &Picture) -> Finding {
    let findings = picture::findings(picture, seen, wanted);
    findings.into_iter().find(|finding| finding.clause.id == clause.id).unwrap()
}

fn blank() -> Picture {
    Picture {
        image: RgbImage::new(1, 1),
        pixels_a_metre: None,
        colour_tag: ColourTag::None,
        claim: None,
        sampled: None,
    }
}

#[test]
fn fields_are_named_by_their_codes() {
    for (codes, name) in [
        ([1, 0, 0], "red"),
        ([0, 1, 0], "green"),
        ([7, 7, 7], "white"),
        ([0, 0, 0], "mixed (0, 0, 0)"),
        ([0, 0, 9], "mixed (0, 0, 9)"),
        ([7, 7, 8], "mixed (7, 7, 8)"),
        ([7, 8, 8], "mixed (7, 8, 8)"),
    ] {
        assert_eq!(super::picture::colour(codes), name);
    }
    let white = [9, 9, 9];
    let of = |codes: &[[u8; 3]], gap: i64, fields: Option<Fields>, red: Option<Side>| {
        let mut seen = one_row(|_| {});
        seen.fields =
            locate::Fields { codes: codes.to_vec(), seam: if codes.len() > 1 { 640 } else { 1280 }, gap };
        found(&clause::FIELDS, &seen, &Wanted { fields, red, ..wanted(&[]) }, &blank())
    };
    let two = Some(Fields::RedGreen);
    for (codes, gap, fields, red, verdict) in [
        (&[RED, GREEN][..], 0, None, None, Verdict::NotJudged),
        (&[GREEN, RED], 0, None, None, Verdict::NotJudged),
        (&[RED, GREEN], 2, None, None, Verdict::Fail),
        (&[RED, [200, 0, 0]], 0, None, None, Verdict::Fail),
        (&[[0, 9, 0], GREEN], 0, None, None, Verdict::Fail),
        (&[white], 0, None, None, Verdict::NotJudged),
        (&[[1, 2, 3]], 0, None, None, Verdict::Fail),
        (&[RED, GREEN], 0, two, None, Verdict::Pass),
        (&[GREEN, RED], 0, two, None, Verdict::Pass),
        (&[RED, GREEN], 0, two, Some(Side::Left), Verdict::Pass),
        (&[RED, GREEN], 0, two, Some(Side::Right), Verdict::Fail),
        (&[GREEN, RED], 0, two, Some(Side::Right), Verdict::Pass),
        (&[white], 0, Some(Fields::White), None, Verdict::Pass),
        (&[white], 0, Some(Fields::Red), None, Verdict::Fail),
    ] {
        let finding = of(codes, gap, fields, red);
        assert_eq!(finding.verdict, verdict, "{codes:?} {gap} {fields:?} {red:?}: {finding:?}");
    }
    assert_eq!(words(&of(&[RED, GREEN], 2, None, None)), "red, green from column 640, 2 columns apart");
    assert_eq!(words(&of(&[GREEN, RED], 0, None, None)), "green, red from column 640");
    let unknown = of(&[[1, 2, 3]], 0, None, None);
    assert_eq!(unknown.required, Requirement::Exactly("red and green, or one field".into()));
}

#[test]
fn a_pictures_scale_and_tag_are_held_against_its_rooms() {
    // A pitch of 0.25 mm is 4000 pixels a metre, of which a tenth per cent is 4.
    let room = |more: &str| {
        let text =
            format!("[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1280, 720]\npitch_mm = 0.25\n{more}");
        Room::from_toml(&text, "room").unwrap()
    };
    let in_room = Wanted { room: Some(room("")), ..wanted(&[]) };
    let scaled = |counts: [u32; 2], wanted: &Wanted| {
        found(&clause::SCALE, &one_row(|_| {}), wanted, &Picture { pixels_a_metre: Some(counts), ..blank() })
    };
    for (counts, measured, verdict) in [
        ([4003, 3998], 4003.0, Verdict::Pass),
        ([4005, 4000], 4005.0, Verdict::Fail),
        ([3999, 3995], 3995.0, Verdict::Fail),
        ([4002, 4003], 4003.0, Verdict::Pass),
    ] {
        let finding = scaled(counts, &in_room);
        assert!(
            (number(&finding) - measured).abs() < LAST_DIGIT && finding.verdict == verdict,
            "{finding:?}"
        );
    }
    assert_eq!(scaled([4000, 4000], &wanted(&[])).verdict, Verdict::NotJudged);
    let none = found(&clause::SCALE, &one_row(|_| {}), &in_room, &blank());
    assert_eq!((words(&none), none.verdict), ("none", Verdict::NotJudged));
    // Numbers in a tag are no room's; none is any's.
    let tagged = |colour_tag: ColourTag, more: &str| {
        let wanted = Wanted { room: Some(room(more)), ..wanted(&[]) };
        found(&clause::COLOUR_TAG, &one_row(|_| {}), &wanted, &Picture { colour_tag, ..blank() }).verdict
    };
    let own_curve = "[tone]\ngamma = 1.8\n";
    assert_eq!(tagged(ColourTag::None, ""), Verdict::Pass);
    assert_eq!(tagged(ColourTag::Numbers, ""), Verdict::Warn);
    assert_eq!(
        (tagged(ColourTag::Srgb, own_curve), tagged(ColourTag::None, own_curve)),
        (Verdict::Warn, Verdict::Pass)
    );
}

#[test]
fn a_picture_is_read_the_right_way_round_or_cannot_be_told() {
    let turned = |plain: usize, mirrored: usize| {
        let mut seen = one_row(|_| {});
        seen.readable = Readable { plain, mirrored };
        found(&clause::MIRRORING, &seen, &wanted(&[]), &blank())
    };
    for (plain, mirrored, measured, verdict) in [
        (5, 4, "the right way round", Verdict::Pass),
        (4, 5, "mirrored", Verdict::Fail),
        (4, 4, "cannot be told", Verdict::NotJudged),
    ] {
        let finding = turned(plain, mirrored);
        assert_eq!((words(&finding), finding.verdict), (measured, verdict));
    }
}
