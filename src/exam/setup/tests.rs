//! A set-up without windows.

use super::*;

const SCREEN: [u32; 2] = [1920, 1080];

fn setup(folder: &tempfile::TempDir) -> Setup {
    let mut setup = Setup::new(folder.path().into(), 1);
    setup.wall_said(GaugeSaid { number: 1, pixels: SCREEN, whole: true });
    setup
}

fn take(setup: &mut Setup, wish: SetupWish) -> Result<SetUp, Refused> {
    setup.take(setup.step(), &wish)
}

fn distance(distance: &str, mirror: &str) -> SetupWish {
    SetupWish::Distance { distance: distance.into(), mirror: mirror.into() }
}

fn keep(file: &str) -> SetupWish {
    SetupWish::Keep { name: "Larkspur 1".into(), file: file.into() }
}

/// To where a room only has to be kept.
fn to_keep(folder: &tempfile::TempDir) -> Setup {
    let mut setup = setup(folder);
    for wish in [
        SetupWish::NewRoom,
        SetupWish::Card { px: 312 },
        SetupWish::CardFits,
        distance("3.2m", "yes"),
        SetupWish::Match { step: MIDDLE_STEP },
    ] {
        assert!(matches!(take(&mut setup, wish), Ok(SetUp::GoesOn)));
    }
    setup
}

/// By hand: 85.60 mm over 312 pixels is 0.27436 mm, and 0.25 mm of 85.60 is 0.3 %.
#[test]
fn a_card_gives_the_pixels_and_how_sure_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let mut setup = to_keep(&folder);
    let Ok(SetUp::Room(room)) = take(&mut setup, keep("room.toml")) else { panic!("no room") };
    assert!((room.screen.pitch[0].to_mm() - 0.274_36).abs() < 5e-6);
    assert_eq!((room.screen.size_percent, room.screen.pixels), (Some(0.3), SCREEN));
    assert!(room.viewing.mirror && (room.viewing.distance.to_mm() - 3200.0).abs() < 1e-9);
    // Kept, read again and offered, and never overwritten.
    let rooms = setup.rooms();
    assert_eq!(rooms.len(), 1);
    assert_eq!(rooms[0].1.file(), room.file());
    let mut again = to_keep(&folder);
    assert_eq!(take(&mut again, keep("room.toml")).unwrap_err().field, Some("file"));
}

#[test]
fn a_file_lies_in_the_folder_and_nowhere_else() {
    let folder = tempfile::tempdir().unwrap();
    let mut setup = to_keep(&folder);
    for file in [
        "../room.toml",
        "/tmp/room.toml",
        "a/b.toml",
        ".toml",
        ".a.toml",
        "room",
        "a\\b.toml",
        "a:b.toml",
        "",
    ] {
        let refused = take(&mut setup, keep(file)).unwrap_err();
        assert_eq!(refused.field, Some("file"), "{file}");
    }
    let no_name = SetupWish::Keep { name: " ".into(), file: "a.toml".into() };
    assert_eq!(take(&mut setup, no_name).unwrap_err().field, Some("name"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    assert!(take(&mut setup, SetupWish::Use { file: "../a.toml".into() }).is_err());
}

#[test]
fn a_step_off_the_middle_makes_the_next_strip_until_the_middle_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let mut setup = setup(&folder);
    for wish in [SetupWish::NewRoom, SetupWish::CardFits, distance("10ft", "no")] {
        take(&mut setup, wish).unwrap();
    }
    let greens = |setup: &Setup| setup.gauge().strip.unwrap().1;
    let before = greens(&setup);
    let said = |setup: &Setup| setup.for_panel(true).said.join(" ");
    assert!(!said(&setup).contains("was taken"));
    take(&mut setup, SetupWish::Match { step: 7 }).unwrap();
    assert!(said(&setup).contains("Step 7 was taken"), "{}", said(&setup));
    // What was step 7 is the middle now, to a code.
    assert!(greens(&setup)[4].abs_diff(before[6]) <= 1, "{before:?} {:?}", greens(&setup));
    take(&mut setup, SetupWish::Match { step: MIDDLE_STEP }).unwrap();
    assert_eq!(setup.for_panel(true).stage, "keep-room");
    let luminance = setup.file.as_ref().unwrap().luminance.clone().unwrap();
    assert!(luminance.matched_by_eye);
}

#[test]
fn nothing_goes_on_without_the_wall_the_distance_or_the_step() {
    let folder = tempfile::tempdir().unwrap();
    let mut setup = Setup::new(folder.path().into(), 1);
    take(&mut setup, SetupWish::NewRoom).unwrap();
    assert!(take(&mut setup, SetupWish::CardFits).unwrap_err().what.contains("No wall"));
    setup.wall_said(GaugeSaid { number: 1, pixels: SCREEN, whole: false });
    assert!(take(&mut setup, SetupWish::CardFits).unwrap_err().what.contains("full screen"));
    setup.wall_said(GaugeSaid { number: 1, pixels: SCREEN, whole: true });
    assert!(take(&mut setup, SetupWish::Card { px: 99 }).is_err());
    take(&mut setup, SetupWish::CardFits).unwrap();
    for (length, mirror, field) in
        [("3", "no", "distance"), ("1mm", "no", "distance"), ("3m", "", "mirror"), ("far", "no", "distance")]
    {
        assert_eq!(take(&mut setup, distance(length, mirror)).unwrap_err().field, Some(field), "{length}");
    }
    let step = setup.step();
    assert!(setup.take(step - 1, &distance("3m", "no")).unwrap_err().what.contains("earlier"));
    take(&mut setup, distance("3m", "no")).unwrap();
    assert!(take(&mut setup, SetupWish::Match { step: 10 }).is_err());
    take(&mut setup, SetupWish::Back).unwrap();
    assert_eq!(setup.for_panel(true).stage, "distance");
}
