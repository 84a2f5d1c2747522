//! What is asked of bytes that nobody foresaw, one function a kind of input: no panic, and what is read and written again is the
//! same. The fuzzer's programs and `tests/fuzzed.rs` share these.

#![allow(dead_code, reason = "each of the fuzzer's programs asks for one of them")]

use std::sync::LazyLock;

use evenfield::acuity::{Acuity, Notation, Score};
use evenfield::balance::record::{Kept, Records};
use evenfield::balance::{Manifest, Written, cylinder_of};
use evenfield::chart::{self, Request};
use evenfield::check::{self, Expected};
use evenfield::exam::{GaugeSaid, Numbered, Said, Session, Setup, SetupWish, WallSaid};
use evenfield::export::png::{ColourChunk, encode};
use evenfield::hand_over::{Writing, fhir, lines_to_paste, rows};
use evenfield::image::RgbImage;
use evenfield::light::Spectrum;
use evenfield::optotype::LetterSet;
use evenfield::print::{BalancePage, Paper, RoomPage};
use evenfield::quantity::Length;
use evenfield::raster;
use evenfield::report::{RoomReport, metered, place};
use evenfield::room::{Edid, Edit, Profile, Room, RoomFile};
use serde::Deserialize;
use serde_json::Value;

/// What is done with bytes.
pub(crate) type Target = fn(&[u8]);

/// Every target by its name, which is also that of its corpus.
pub(crate) const ALL: [(&str, Target); 14] = [
    ("edid", edid),
    ("gauge", gauge),
    ("hand_over", hand_over),
    ("icc", icc),
    ("panel", panel),
    ("pdf", pdf),
    ("pdf_content", pdf_content),
    ("picture", picture),
    ("png", png),
    ("record", record),
    ("room", room),
    ("spectrum", spectrum),
    ("svg", svg),
    ("words", words),
];

/// A room whose pictures are quickly measured.
static ROOM: LazyLock<Room> = LazyLock::new(|| {
    let text = "[viewing]\ndistance_mm = 1000\n[screen]\npixels = [320, 240]\npitch_mm = 0.2745\n";
    Room::from_toml(text, "room").expect("it is legal")
});

/// What `check` says where only the file speaks, and where room and line are named as well.
fn checked(bytes: &[u8]) {
    let told = Expected { room: Some(ROOM.clone()), lines: vec![Acuity::standard(5)], ..Expected::default() };
    for expected in [Expected::default(), told] {
        match check::bytes(bytes.to_vec(), "file", &expected) {
            Ok(report) => assert!(!report.findings.is_empty()),
            Err(error) => assert!(error.to_string().contains(": ")),
        }
    }
}

/// A room file: read, written, changed by nothing, reported on and drawn for.
pub(crate) fn room(data: &[u8]) {
    let Ok(text) = str::from_utf8(data) else { return };
    let room = match Room::from_toml(text, "room.toml") {
        Ok(room) => room,
        Err(error) => return assert!(error.to_string().starts_with("room.toml")),
    };
    for written in [room.file().to_toml(), room.file().to_new_text()] {
        let again = Room::from_toml(&written.expect("each value has a notation"), "again");
        assert_eq!(again.expect("what was written is legal").file(), room.file());
    }
    if let Ok(edit) = Edit::new(text, "room.toml", room.file().clone()) {
        // A line's end may be put behind the last one, and lines that end in two ways then end in one.
        let lines = |text: &str| text.trim_end().replace("\r\n", "\n");
        assert_eq!(lines(&edit.text), lines(text), "nothing was changed");
    }
    // What it names would be read from this machine's disk.
    if room.files().is_empty() {
        reported(&room);
    }
}

fn reported(room: &Room) {
    // Whose peaks are in the wrong order, for example, has none.
    let spectra = match room.primaries.spectra() {
        Ok(spectra) => spectra,
        Err(refused) => return assert!(refused.to_string().contains(": ")),
    };
    let report = RoomReport::new(room, &spectra);
    assert!(!serde_json::to_string(&report).expect("names and numbers").contains("null,null,null"));
    drop(RoomPage::new(room, &spectra, Paper::A4, "Room", None));
    drop((place(room), metered(room, "2026-03-31T09:30:00Z")));
    if let Err(refused) = chart::draw(&Request::new(Acuity::standard(3)), room) {
        assert!(refused.to_string().contains(": "));
    }
}

/// Acuities, scores, lengths and refractions as people type them.
pub(crate) fn words(data: &[u8]) {
    let Ok(text) = str::from_utf8(data) else { return };
    if let Ok(acuity) = text.parse::<Acuity>() {
        acuities(acuity);
    }
    if let Ok(score) = text.parse::<Score>() {
        let written = score.to_string();
        let again = written.parse::<Score>().expect("it was written");
        assert!((again.to_log_mar() - score.to_log_mar()).abs() < 0.01, "{written} of {text}");
        serde_json::to_string(&score).expect("a score is text");
    }
    if let Ok(length) = text.parse::<Length>() {
        assert!(length.to_mm() > 0.0 && length.to_mm().is_finite());
        let written = length.to_string();
        let again = written.parse::<Length>();
        let off = again.map(|again| (again.to_mm() - length.to_mm()).abs());
        // A thousandth of a millimetre below a metre, of a metre from there on.
        let rounding = if length.to_mm() < 999.0 { 0.5e-3 } else { 0.5 };
        let dust = 1e-9 * length.to_mm();
        assert!(written == "0 mm" || off.is_ok_and(|off| off <= rounding + dust), "{written}");
    }
    if let Ok(written) = text.parse::<Written>() {
        let printed = written.refraction.to_string();
        assert_eq!(printed.parse::<Manifest>().expect("it was printed").to_string(), printed);
    }
    drop(cylinder_of(text));
}

fn acuities(acuity: Acuity) {
    for notation in Notation::ALL {
        let written = acuity.in_notation(notation);
        // A decimal is typed with its unit.
        let typed = if notation == Notation::Decimal { format!("{written}dec") } else { written.clone() };
        // What three figures round out of the range is refused; and what is also another name of a line is read as that line, as
        // 0.3 is for 20/63.
        if let Ok(again) = typed.parse::<Acuity>() {
            let off = (again.to_log_mar() - acuity.to_log_mar()).abs();
            assert!(off < 0.03, "{typed} of {acuity:?}");
        }
    }
}

/// A screen's EDID as it is, and once more with a head and a sum that let it in.
pub(crate) fn edid(data: &[u8]) {
    let mut block = data.to_vec();
    for _ in 0..2 {
        if let Ok(edid) = Edid::parse(&block)
            && let Ok(size) = edid.claimed_size()
        {
            assert!(size.iter().all(|side| side.to_mm() > 0.0) && edid.screen_pixels().is_ok());
        }
        let Some(first) = block.get_mut(..128) else { return };
        first[..8].copy_from_slice(&[0, 255, 255, 255, 255, 255, 255, 0]);
        first[127] = first[..127].iter().fold(0, |sum: u8, byte| sum.wrapping_sub(*byte));
    }
}

/// A screen's profile, with a head that lets it in, and the room that it makes.
pub(crate) fn icc(data: &[u8]) {
    let mut bytes = data.to_vec();
    if bytes.len() < 132 {
        return;
    }
    let length = u32::try_from(bytes.len()).expect("a fuzzer's inputs are small");
    for (at, what) in [(0, &length.to_be_bytes()), (12, b"mntr"), (16, b"RGB "), (36, b"acsp")] {
        bytes[at..at + what.len()].copy_from_slice(what);
    }
    let Ok(says) = Profile::new(bytes, "screen.icc".into()).and_then(|profile| profile.says()) else {
        return;
    };
    let file = RoomFile {
        luminance: says.luminance,
        tone: Some(says.tone),
        primaries: Some(says.primaries),
        ..ROOM.file().clone()
    };
    room(file.to_toml().expect("each value has a notation").as_bytes());
}

/// A spectrum's table.
pub(crate) fn spectrum(data: &[u8]) {
    let Ok(text) = str::from_utf8(data) else { return };
    let Ok(spectrum) = Spectrum::from_csv(text) else { return };
    // Interpolated, the peak itself may be a binary digit above one.
    assert!(spectrum.powers().all(|(_, power)| (0.0..1.0 + 1e-12).contains(&power)));
    let mean = spectrum.mean_wavelength().to_nm();
    assert!((380.0 - 1e-9..780.0 + 1e-9).contains(&mean), "{mean} nm");
    let rows = spectrum.powers().map(|(nm, power)| format!("{},{power}\n", nm.to_nm()));
    let written = format!("wavelength_nm,power\n{}", rows.collect::<String>());
    // Where the peak lay between two nanometres, the ends can have grown to over 5 % of it.
    if let Ok(again) = Spectrum::from_csv(&written) {
        let off = (again.mean_wavelength().to_nm() - mean).abs();
        assert!(off < 1e-6, "{off} nm");
    }
}

/// A PNG, with sums that let each of its parts in.
pub(crate) fn png(data: &[u8]) {
    let mut file = data.to_vec();
    let mut at = 8;
    while let Some(head) = file.get(at..at + 8) {
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        let Some(body) = file.get(at + 4..at.saturating_add(8).saturating_add(length)) else { break };
        let sum = crc32fast::hash(body).to_be_bytes();
        let Some(place) = file.get_mut(at + 8 + length..at + 12 + length) else { break };
        place.copy_from_slice(&sum);
        at += 12 + length;
    }
    if !file.starts_with(b"<") && !file.starts_with(b"%") {
        checked(&file);
    }
}

/// The honest chart of [`ROOM`].
static CHART: LazyLock<(chart::Chart, RgbImage)> = LazyLock::new(|| {
    let chart = chart::draw(&Request::new(Acuity::standard(5)), &ROOM).expect("it fits");
    let image = raster::draw(&chart.scene, ROOM.screen.pixels, &ROOM.display);
    (chart, image)
});

/// An honest chart on which boxes are painted, in steps of eight bytes: place, size and codes.
pub(crate) fn picture(data: &[u8]) {
    let (chart, honest) = &*CHART;
    let mut image = honest.clone();
    for step in data.chunks_exact(8) {
        let [x, y, width, height, red, green, blue, how] = *step else { return };
        let (left, top) = (u32::from(x) * 2 % 320, u32::from(y) % 240);
        let own = *image.get_pixel(left, top);
        for row in top..(top + u32::from(height)).min(240) {
            for column in left..(left + u32::from(width)).min(320) {
                let pixel = image.get_pixel_mut(column, row);
                match how % 4 {
                    0 => pixel.0 = [red, green, blue],
                    1 => *pixel = own,
                    2 => pixel.0 = pixel.0.map(|code| 255 - code),
                    _ => pixel.0 = pixel.0.map(|code| code.saturating_add(red % 8)),
                }
            }
        }
    }
    let file = encode(&image, ROOM.screen.pitch, &ColourChunk::Srgb, &chart.scene.metadata);
    checked(&file.expect("it is a picture"));
}

/// An SVG.
pub(crate) fn svg(data: &[u8]) {
    if data.starts_with(b"<") || data.starts_with(&[0xef, 0xbb, 0xbf]) {
        checked(data);
    }
}

/// A PDF as it is, also asked for the record that it carries.
pub(crate) fn pdf(data: &[u8]) {
    if data.starts_with(b"%PDF-") {
        checked(data);
    }
    drop(check::attached(data.to_vec(), "record.jsonl"));
}

/// A PDF whose structure is whole: the first line is what its page says, the second one what the file says of itself, the rest
/// draws.
pub(crate) fn pdf_content(data: &[u8]) {
    let mut parts = data.splitn(3, |byte| *byte == b'\n');
    let [on_page, of_file, drawn] = [0; 3].map(|_| parts.next().unwrap_or_default());
    let stream = |bytes: &[u8]| {
        let head = format!("<< /Length {} >>\nstream\n", bytes.len()).into_bytes();
        [&head, bytes, b"\nendstream"].concat()
    };
    let objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>".to_vec(),
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>".to_vec(),
        [b"<< /Type /Page /Parent 2 0 R /Contents 4 0 R ", on_page, b" >>"].concat(),
        stream(drawn),
        [b"<< ", of_file, b" >>"].concat(),
    ];
    let (mut file, mut table) = (b"%PDF-1.7\n".to_vec(), "xref\n0 6\n0000000000 65535 f \n".to_owned());
    for (number, object) in objects.iter().enumerate() {
        table += &format!("{:010} 00000 n \n", file.len());
        let whole = [format!("{} 0 obj\n", number + 1).as_bytes(), object, b"\nendobj\n"].concat();
        file.extend(whole);
    }
    let end = file.len();
    let trailer = format!("{table}trailer\n<< /Size 6 /Root 1 0 R /Info 5 0 R >>\nstartxref\n{end}\n%%EOF\n");
    file.extend(trailer.bytes());
    checked(&file);
}

/// A record, as it is and with sums that let its lines in: what is whole is written again and read again.
pub(crate) fn record(data: &[u8]) {
    for records in records(data) {
        records.kept.iter().for_each(kept_again);
    }
}

/// A record that is handed over in every form.
pub(crate) fn hand_over(data: &[u8]) {
    for records in records(data) {
        drop(records.csv());
        drop(rows(&records.kept.iter().collect::<Vec<_>>(), Some(Notation::Feet)));
        records.kept.iter().for_each(handed_over);
    }
}

/// What a record says as it is and with other sums, where that is something else.
fn records(data: &[u8]) -> Vec<Records> {
    let Ok(text) = str::from_utf8(data) else { return Vec::new() };
    let _ = Records::can_be(text);
    let mended = text.lines().map(with_its_sum).collect::<Vec<_>>().join("\n");
    let plain = Records::read(text);
    let mended = Records::read(&mended);
    if plain == mended { vec![plain] } else { vec![plain, mended] }
}

/// A line of a record with the sum of what it says.
fn with_its_sum(line: &str) -> String {
    const SUM: &str = ",\"sum\":\"";
    let Some(place) = line.rfind(SUM) else { return line.into() };
    let body = &line[..place];
    format!("{body}{SUM}{:08x}\"}}", crc32fast::hash(format!("{body}}}").as_bytes()))
}

fn kept_again(kept: &Kept) {
    drop((kept.went_on(), kept.begun()));
    if kept.warning().is_some() {
        return;
    }
    let mut again = Kept::new(kept.id.clone());
    let events = kept.events.iter().zip(&kept.at);
    let lines = events.map(|(event, at)| again.take(event.clone(), at).expect("it was taken before"));
    let records = Records::read(&lines.collect::<Vec<_>>().join("\n"));
    assert_eq!(records.problems, []);
    let read = records.kept.first().map_or(&[][..], |kept| &kept.events);
    // Two notations of an acuity may differ by what a binary number cannot hold.
    let written = |events| serde_json::to_string(events).expect("names and numbers");
    assert_eq!(written(read), written(&kept.events));
}

fn handed_over(kept: &Kept) {
    drop(lines_to_paste(kept, Writing::default()));
    drop(fhir::bundle(kept, &fhir::Whose { patient: None, writing: Writing::default() }));
    drop(BalancePage::new(kept, Paper::A4));
}

/// What a wall says.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum WallMessage {
    Said(WallSaid),
    Pressed { picture: u64, answer: Said },
}

/// Messages to an examination, one a line, for the step that is reached. After each the wall draws what it is told.
pub(crate) fn panel(data: &[u8]) {
    let Ok(text) = str::from_utf8(data) else { return };
    let mut session = Session::new(ROOM.clone(), LetterSet::Sloan, None, 1).expect("the room has two fields");
    session.panel_came("one");
    session.wall_came(1);
    for line in text.lines().take(64) {
        if let Ok(said) = serde_json::from_str(line) {
            match said {
                WallMessage::Said(said) => drop(session.wall_said(1, said)),
                WallMessage::Pressed { picture, answer } => drop(session.patient_pressed(1, picture, answer)),
            }
        }
        if let Some(wish) = numbered(line, session.step()) {
            drop::<Result<(), _>>(session.take("one", &wish, "2026-03-31T09:30:00Z", "an-id"));
            draws(&mut session);
        }
        serde_json::to_string(&session.for_panel("one")).expect("names and numbers");
        serde_json::to_string(session.picture()).expect("names and numbers");
    }
}

/// A message to a step: the one that it names, or else this.
fn numbered<W: for<'de> Deserialize<'de>>(line: &str, step: u64) -> Option<Numbered<W>> {
    let mut message: Value = serde_json::from_str(line).ok()?;
    message.as_object_mut()?.entry("of").or_insert(step.into());
    Numbered::deserialize(message).ok()
}

fn draws(session: &mut Session) {
    let picture = session.picture().clone();
    let pixels = ROOM.screen.pixels;
    let shown = picture.chart.map(|chart| chart.said(pixels));
    let said = WallSaid {
        picture: picture.number,
        shown,
        whole: true,
        fits: true,
        visible: true,
        pixels,
        awake: true,
    };
    session.wall_said(1, said);
}

/// Messages while a room is set up, one a line; a room that is kept lies in its folder and nowhere else.
pub(crate) fn gauge(data: &[u8]) {
    let Ok(text) = str::from_utf8(data) else { return };
    let outer = tempfile::tempdir().expect("there is a place for temporary files");
    let folder = outer.path().join("rooms");
    std::fs::create_dir(&folder).expect("it is a new folder");
    let mut setup = Setup::new(folder, 1);
    for line in text.lines().take(32) {
        if let Ok(said) = serde_json::from_str::<GaugeSaid>(line) {
            setup.wall_said(said);
        }
        let step = setup.for_panel(true).step;
        if let Some(Numbered { of, what }) = numbered::<SetupWish>(line, step) {
            drop(setup.take(of, &what));
        }
        serde_json::to_string(&setup.for_panel(true)).expect("names and numbers");
        serde_json::to_string(&setup.gauge()).expect("names and numbers");
    }
    let beside = outer.path().read_dir().expect("it is a folder").count();
    assert_eq!(beside, 1, "a file was written outside the folder");
}
