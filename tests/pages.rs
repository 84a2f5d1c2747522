//! Every printed page with the longest words that can stand on it: no words lie on other words, on a picture or under a line,
//! none leave the margin, and none are smaller than print allows.
//!
//! Eight points are this project's own floor for print; twelve those of a card that is read from a wall.

use crate::common::rooms::{narrow, unknown, without_fields};
use evenfield::acuity::Acuity;
use evenfield::balance::record::Records;
use evenfield::chart::FieldLight;
use evenfield::eye::{Eye, Pupil};
use evenfield::optotype::LetterSet;
use evenfield::print::{
    BalancePage, CurvePage, Lesson, MatchStep, NearChart, NearMatch, NearRequest, Paper, RoomPage,
    SetupSheet, WallCard,
};
use evenfield::quantity::{Dioptres, Length};
use evenfield::report::Expectation;
use evenfield::room::Room;
use evenfield::scene::Scene;
use evenfield::view::Model;

/// The margin of sheets of paper, of a card for the wall and of a figure, less the bearings of letters.
const SHEET: Length = Length::mm(13.5);
const CARD: Length = Length::mm(11.5);
const FIGURE: Length = Length::mm(7.5);

const LEAST: Length = Length::points(8.0);
const LEAST_ON_A_WALL: Length = Length::points(12.0);

fn room(text: &str) -> Room {
    Room::from_toml(text, "room.toml").unwrap()
}

fn rooms() -> Vec<Room> {
    vec![unknown(), without_fields(), narrow(), Room::demo()]
}

/// What a room goes by on its page.
fn called(room: &Room) -> &str {
    room.name()
        .unwrap_or("room.toml, which lies in a folder of a name that is as long as names of folders get")
}

fn is_clear(scene: &Scene, margin: Length, least: Length) {
    let found: Vec<String> = scene.crowding(margin, least).iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{}: {found:#?}", scene.metadata.title);
}

#[test]
fn reports_of_rooms() {
    for (room, paper) in rooms().iter().flat_map(|room| Paper::ALL.map(|paper| (room, paper))) {
        let spectra = room.primaries.spectra().unwrap();
        let page = RoomPage::new(room, &spectra, paper, called(room), Some("2026-11-27"));
        page.scenes.iter().for_each(|scene| is_clear(scene, SHEET, LEAST));
    }
}

/// Records of older procedures, and one with both eyes, near and a second run.
#[test]
fn records_of_examinations() {
    for name in ["balances-procedure-1", "balances-procedure-2", "balances-procedure-3", "handed-over"] {
        let path = format!("{}/tests/data/{name}.jsonl", env!("CARGO_MANIFEST_DIR"));
        let records = Records::read(&std::fs::read_to_string(path).unwrap());
        assert!(!records.kept.is_empty());
        for (kept, paper) in records.kept.iter().flat_map(|kept| Paper::ALL.map(|paper| (kept, paper))) {
            BalancePage::new(kept, paper).scenes.iter().for_each(|scene| is_clear(scene, SHEET, LEAST));
        }
    }
}

#[test]
fn curves() {
    let room = Room::demo();
    let model = Model::new(&room).unwrap();
    for (pupil, line, far) in [
        (1.6, "20/40", 1.5),
        (3.0, "20/40", 0.5),
        (5.0, "20/20", 3.0),
        (7.0, "20/400", 6.0),
        (2.0, "20/10", 1.0),
    ] {
        let (line, eye) =
            (line.parse::<Acuity>().unwrap(), Eye::with_pupil(Pupil::new(Length::mm(pupil)).unwrap()));
        let curve = model.curve(&eye, line);
        let points: Vec<_> =
            (-4_i8..=4).map(|step| curve.at(Dioptres::new(far * f64::from(step) / 4.0))).collect();
        let pupil = format!("{pupil:.1} mm natural (age 65 assumed)");
        let page = CurvePage::new(&curve, &points, &Expectation::new(&curve, line, &pupil, &model, &room));
        is_clear(&page.scene, FIGURE, LEAST);
    }
}

#[test]
fn near_charts_and_their_match_sheets() {
    for (paper, letters) in
        Paper::ALL.into_iter().flat_map(|paper| LetterSet::ALL.iter().map(move |letters| (paper, *letters)))
    {
        for (cm, step) in [(33.0, None), (40.0, Some("R9".parse::<MatchStep>().unwrap())), (100.0, None)] {
            let distance = Length::mm(10.0 * cm);
            let request = NearRequest { distance, lines: None, letters, seed: 1, paper, step };
            is_clear(&NearChart::new(&request).unwrap().scene, SHEET, LEAST);
        }
    }
    Paper::ALL.into_iter().for_each(|paper| is_clear(&NearMatch::new(paper).scene, SHEET, LEAST));
}

#[test]
fn setup_sheets() {
    const SCREENS: [([u32; 2], f64); 7] = [
        ([1024, 600], 222.0),
        ([1024, 768], 320.0),
        ([1280, 720], 410.0),
        ([1366, 768], 344.0),
        ([1920, 1080], 527.0),
        ([3840, 2160], 1210.0),
        ([7680, 4320], 697.0),
    ];
    for ([columns, rows], width) in SCREENS {
        let text = format!(
            "[viewing]\ndistance_mm = 3000\n[screen]\npixels = [{columns}, {rows}]\nsize_mm = [{width}, {}]\n",
            width * f64::from(rows) / f64::from(columns)
        );
        let room = room(&text);
        let sheet = SetupSheet::new(&room, &FieldLight::new(&room.display, None).unwrap());
        // It is for a screen: what counts there is that nothing collides or is cut off.
        is_clear(&sheet.scene, Length::mm(0.0), Length::mm(0.1));
    }
}

#[test]
fn cards_for_the_wall() {
    for (room, paper) in
        [unknown(), narrow(), Room::demo()].iter().flat_map(|room| Paper::ALL.map(|paper| (room, paper)))
    {
        let card = WallCard::new(&Lesson::new(room, called(room)).unwrap(), paper);
        card.pages.iter().for_each(|scene| is_clear(scene, CARD, LEAST_ON_A_WALL));
    }
}
