//! The page of an exam room in a real browser, walked as an examiner would.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use crate::common::browser::Browser;
use crate::common::{Desk, Png};
use evenfield::balance::keys::{Desk as Place, keys_at};
use evenfield::balance::{Answer, ColourVision, EyeKind, Run, Step, words};
use evenfield::optotype::LetterSet;
use image::RgbImage;
use serde_json::json;

/// A little over the time in which fields, sides and the dark may change once.
const CALM: Duration = Duration::from_millis(720);

const DESK: &str = "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n\
                    [luminance]\nred = 52\ngreen = 178\nblue = 19\nwhite = 249\nblack = 0.25\n[tone]\ngamma = 2.2\n";

fn page(desk: &Desk, room: &str, more: &str) -> PathBuf {
    desk.write("room.toml", room);
    let run = desk.run(&format!("page --room room.toml --out room.html --force {more}"));
    assert_eq!(run.code, 0, "{}", run.err);
    desk.path("room.html")
}

fn cut(picture: &RgbImage, [columns, rows]: [u32; 2]) -> RgbImage {
    // A window of 2560/1.5 pixels is rounded up to one more device pixel, which lies off the screen.
    assert!(picture.width() >= columns && picture.width() <= columns + 2, "{}", picture.width());
    image::imageops::crop_imm(picture, 0, 0, columns, rows).to_image()
}

/// The picture of the window, measured by the check against the room.
fn checked(desk: &Desk, picture: RgbImage, more: &str) -> String {
    let shot = Png { pixels: picture, pixels_a_metre: 4000, json: None };
    shot.write_bare(&desk.path("shot.png"));
    let run = desk.run(&format!("check shot.png --room room.toml {more}"));
    assert_eq!(run.code, 0, "{}", run.out);
    run.out
}

fn strip(browser: &Browser) -> String {
    browser.script("return document.getElementById('strip').innerText").as_str().unwrap().replace('\n', " ")
}

fn label(browser: &Browser) -> String {
    browser
        .script("return document.getElementById('chart').getAttribute('aria-label')")
        .as_str()
        .unwrap()
        .into()
}

#[test]
fn what_the_scripts_decide_without_a_page_passes_its_own_tests() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/web");
    let files = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
    let tests: Vec<PathBuf> = files.filter(|file| file.to_string_lossy().ends_with(".test.js")).collect();
    assert!(!tests.is_empty(), "no tests in {}", folder.display());
    let Ok(ran) = Command::new("node").arg("--test").args(tests).output() else {
        crate::common::skip("node", "node");
        return;
    };
    let said = String::from_utf8_lossy(&ran.stdout).into_owned();
    assert!(ran.status.success(), "{said}");
}

#[test]
fn what_screens_show_passes_the_check_at_every_ratio() {
    for (pixels, pitch, ratio) in [
        ([1920, 1080], 0.2745, 1.0),
        ([1920, 1080], 0.1557, 1.25),
        ([2560, 1600], 0.1346, 1.5),
        ([3840, 2160], 0.1816, 2.0),
        ([1366, 768], 0.2265, 1.0),
    ] {
        let desk = Desk::new();
        let [columns, rows] = pixels;
        let room = DESK
            .replace("[1920, 1080]", &format!("[{columns}, {rows}]"))
            .replace("0.2745", &pitch.to_string());
        let page = page(&desk, &room, "");
        let Some(browser) = Browser::open(pixels, ratio) else { return };
        browser.go(&page, "");
        let found = checked(&desk, cut(&browser.picture(), pixels), "--line 20/40");
        assert!(found.contains("D V O C Z") && found.contains("pass"), "{found}");
        // It is the chart that the program draws, to a few codes at the letters' edges.
        assert_eq!(desk.run("chart --room room.toml --out chart.png").code, 0);
        let drawn = Png::read(&desk.path("chart.png")).pixels;
        let seen = Png::read_bare(&desk.path("shot.png"));
        let off = drawn.as_raw().iter().zip(seen.as_raw()).map(|(one, other)| one.abs_diff(*other));
        let off = off.max().unwrap();
        assert!(off <= 8, "{pixels:?} at {ratio}: {off}");
        assert_eq!(browser.console(), Vec::<String>::new());
        let fetched = browser.script("return performance.getEntriesByType('resource').length");
        assert_eq!(fetched, 0);
    }
}

#[test]
fn real_screens_show_their_rooms_charts() {
    let Some(blocks) = crate::common::edid_blocks() else { return };
    let mut shown = 0;
    for block in blocks {
        let desk = Desk::new();
        desk.write("edid.bin", block);
        if desk.run("room new --edid edid.bin --distance 3m --out room.toml").code != 0 {
            continue;
        }
        assert_eq!(desk.run("page --room room.toml --out room.html").code, 0);
        let pixels = evenfield::room::Room::read(&desk.path("room.toml")).unwrap().screen.pixels;
        let Some(browser) = Browser::open(pixels, 1.0) else { return };
        browser.go(&desk.path("room.html"), "");
        checked(&desk, cut(&browser.picture(), pixels), "--line 20/40");
        shown += 1;
        if shown == 3 {
            return;
        }
    }
    panic!("fewer than three real screens have a page");
}

#[test]
fn an_examiner_walks_through_it_by_the_keyboard() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1920, 1080], 1.25) else { return };
    browser.go(&page, "");
    let hidden = |id: &str| browser.script(&format!("return document.getElementById('{id}').hidden"));
    assert!(
        hidden("strip") == true
            && hidden("help") == true
            && hidden("notice") == true
            && hidden("reason") == true
    );
    assert_eq!(label(&browser), "20/40, red-green");
    browser.press("i");
    let said = strip(&browser);
    browser.keep("1-strip");
    for needed in [
        "20/40",
        "D V O C Z",
        "red left, green right",
        "Red crisper: more minus. Green crisper: more plus.",
        words::question(ColourVision::Usual),
        words::BEFORE_ASKING,
        words::SUPERVISION,
        words::NOT_APPROVED,
    ] {
        assert!(said.contains(needed), "{needed}: {said}");
    }
    // By how much a lens changes depends on the eye, which the strip does not know.
    assert!(!said.contains("0.25") && !said.contains("quarter"), "{said}");
    browser.press("PageDown");
    assert_eq!(label(&browser), "20/32, red-green");
    browser.press("PageUp");
    browser.press("PageUp");
    assert_eq!(label(&browser), "20/50, red-green");
    browser.press("t");
    assert_eq!(label(&browser), "20/40, red-green");
    // A threshold of 20/25 two lines under the customary target, then one of 20/20: its target is 20/32.
    browser.press("]");
    browser.press("]");
    assert!(
        strip(&browser).contains("threshold 20/20") && label(&browser).starts_with("20/32"),
        "{}",
        strip(&browser)
    );
    let before = strip(&browser);
    browser.press("n");
    assert_ne!(strip(&browser), before);
    let marked =
        || browser.script("return [...document.querySelectorAll('#strip b')].map((e) => e.innerText)");
    assert_eq!(marked(), json!(["20/32"]));
    browser.press("x");
    // Sides that are not as the page opened are marked.
    assert_eq!(marked(), json!(["20/32", "green left, red right, as the patient sees it"]));
    let picture = browser.picture();
    browser.keep("2-threshold-new-letters-swapped");
    assert!(picture.get_pixel(10, 10).0[1] > 100 && picture.get_pixel(1900, 10).0[0] > 200);
}

#[test]
fn the_dark_stays_dark_and_help_tells_the_keys() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open_with_clock([1920, 1080], 1.0) else { return };
    browser.go(&page, "");
    let hidden = |id: &str| browser.script(&format!("return document.getElementById('{id}').hidden"));
    browser.press("2");
    assert!(label(&browser).ends_with("white"));
    browser.pass(CALM);
    browser.press("b");
    assert_eq!(label(&browser), "dark");
    browser.keep("3-dark");
    let dark = browser.picture();
    assert!(dark.pixels().all(|pixel| pixel.0.iter().all(|code| *code < 16)));
    // In the dark nothing else turns a light on.
    browser.pass(CALM);
    for key in ["1", "2", "p", "s", "k"] {
        browser.press(key);
    }
    assert_eq!(label(&browser), "dark");
    browser.press("b");
    assert!(label(&browser).ends_with("white"));
    browser.press("?");
    browser.keep("4-help");
    let help = browser.script("return document.getElementById('help').innerText");
    let help = help.as_str().unwrap();
    for needed in [
        "stores nothing",
        "cannot detect night colour",
        words::question(ColourVision::Usual),
        words::question(ColourVision::Protan),
        words::NO_DIFFERENCE,
        words::BEFORE_ASKING,
        words::SEIZURES,
        words::SUPERVISION,
        words::NOT_APPROVED,
    ] {
        assert!(help.contains(needed), "{needed}: {help}");
    }
    for key in keys_at(Place::Page) {
        assert!(help.contains(&format!("{}\n{}", key.shown, key.words)), "{key:?}: {help}");
    }
    // Behind help no key changes the chart.
    let before = label(&browser);
    for key in ["PageDown", "1", "x"] {
        browser.press(key);
    }
    assert_eq!(label(&browser), before);
    browser.press("Escape");
    assert!(hidden("help") == true);
    assert_eq!(browser.console(), Vec::<String>::new());
}

#[test]
fn a_room_with_a_mirror_shows_everything_turned_once() {
    let desk = Desk::new();
    let Some(browser) = Browser::open([1920, 1080], 1.0) else { return };
    browser.go(&page(&desk, DESK, ""), "");
    let straight = browser.picture();
    browser.go(&page(&desk, &DESK.replace("3200", "3200\nmirror = true"), ""), "");
    let turned = browser.picture();
    browser.press("i");
    browser.press("o");
    browser.keep("8-mirror-strip-one-letter");
    assert!(image::imageops::flip_horizontal(&turned) == straight);
    checked(&desk, turned, "--line 20/40");
}

#[test]
fn the_other_keys_do_what_the_help_says() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open_with_clock([1920, 1080], 1.0) else { return };
    browser.go(&page, "#strip=on");
    browser.press("m");
    assert!(browser.script("return document.getElementById('strip').classList.contains('turned')") == true);
    browser.press("o");
    assert!(strip(&browser).starts_with("20/40 D red left"), "{}", strip(&browser));
    browser.press("o");
    browser.press("o");
    assert!(strip(&browser).starts_with("20/40 O red left"), "{}", strip(&browser));
    browser.press("w");
    assert!(strip(&browser).starts_with("20/40 D V O C Z red left"), "{}", strip(&browser));
    for (key, fields) in [("3", "red"), ("4", "green"), ("1", "red-green")] {
        browser.press(key);
        assert_eq!(label(&browser), format!("20/40, {fields}"));
        browser.pass(CALM);
    }
    browser.press("[");
    browser.press("[");
    assert!(strip(&browser).contains("threshold 20/32"), "{}", strip(&browser));
    // The browser takes its time, and tells when it is done.
    browser.script(
        "window.full = new Promise((done) => addEventListener('fullscreenchange', done, { once: true }));",
    );
    browser.press("f");
    assert!(browser.script("return full.then(() => document.fullscreenElement !== null)") == true);
    assert_eq!(browser.console(), Vec::<String>::new());
}

#[test]
fn a_match_that_nobody_found_is_told_on_the_strip_and_in_the_help() {
    let desk = Desk::new();
    let Some(browser) = Browser::open([1366, 768], 1.0) else { return };
    let told = |room: &str, more: &str| {
        browser.go(&page(&desk, room, more), "#strip=on");
        browser.press("?");
        let help = browser.script("return document.getElementById('help').innerText");
        browser.press("?");
        [strip(&browser), help.as_str().unwrap().replace('\n', " ")]
    };
    const DOUBT: &str = "Whether red and green are equally bright here is not known";
    let metered = DESK.replace("[1920, 1080]", "[1366, 768]");
    assert!(told(&metered, "").iter().all(|words| !words.contains(DOUBT)));
    let from = metered.find("[luminance]").unwrap();
    let [strip, help] = told(&metered[..from], "");
    assert!(strip.contains(DOUBT), "{strip}");
    // What to do takes more room than the strip has.
    assert!(
        help.contains("Its match is in doubt: room sheet") && !strip.contains("room sheet"),
        "{strip}\n{help}"
    );
    browser.keep("page-strip-unmatched");
    browser.press("?");
    browser.keep("page-help-unmatched");
    assert_eq!(browser.script(OVER), json!([0, 0, 0]));
    browser.press("?");
    // The demo room's match is known, but not well.
    assert_eq!(desk.run("page --out room.html --force").code, 0);
    browser.go(&desk.path("room.html"), "#strip=on");
    let known = browser.script("return document.getElementById('strip').textContent");
    assert!(known.as_str().unwrap().contains("known only to ±14 %"), "{known}");
    browser.go(&page(&desk, &metered[..from], ""), "#strip=on");
    // With one field there is nothing to match.
    browser.press("2");
    assert!(
        !browser
            .script("return document.getElementById('strip').innerText.includes('equally bright')")
            .as_bool()
            .unwrap()
    );
}

#[test]
fn every_act_of_the_table_has_a_function_and_no_answer_key_means_anything() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1920, 1080], 1.0) else { return };
    browser.go(&page, "#strip=on");
    let without = browser.script(
        "return room.page.keys.filter(({ act }) => typeof ACTS[act] !== 'function').map(({ act }) => act)",
    );
    assert_eq!(without, json!([]));
    let unknown = browser
        .script("return Object.keys(ACTS).filter((act) => !room.page.keys.some((key) => key.act === act))");
    assert_eq!(unknown, json!([]));
    let before = (strip(&browser), browser.script("return JSON.stringify(state)"));
    for key in ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "r", "g", "h"] {
        browser.press(key);
        assert_eq!((strip(&browser), browser.script("return JSON.stringify(state)")), before, "{key}");
    }
    // The remote's keys and the letters do the same.
    for (down, up) in [("PageDown", "l"), ("s", "PageUp"), ("S", "L")] {
        browser.press(down);
        assert_eq!(label(&browser), "20/32, red-green", "{down}");
        browser.press(up);
        assert_eq!(label(&browser), "20/40, red-green", "{up}");
    }
}

#[test]
fn help_tells_for_every_eye_what_its_run_asks_next() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1366, 768], 1.0) else { return };
    browser.go(&page, "");
    browser.press("?");
    let rows = browser.script(
        "return [...document.querySelectorAll('#help tbody tr')].map((row) => [...row.cells].map((cell) => cell.innerText))",
    );
    let rows: Vec<Vec<String>> = serde_json::from_value(rows).unwrap();
    for kind in EyeKind::ALL {
        let is_it = |row: &&Vec<String>| row[0].split([';', ':']).any(|eye| eye.trim() == kind.words());
        let row = rows.iter().find(is_it).unwrap_or_else(|| panic!("{kind:?}: {rows:?}"));
        let run = Run::new(kind.by_hand());
        let Step::Ask { clicks: first, why, .. } = run.step() else { panic!("{kind:?} is not asked") };
        let mut said = vec![why.words(first)];
        for answer in Answer::ALL {
            let Step::Ask { clicks, why, .. } = run.answered(answer).step() else {
                panic!("{kind:?} ends after {answer}")
            };
            said.push(why.words(clicks - first));
        }
        assert_eq!(row[1..], said, "{kind:?}");
    }
}

/// How far the help reaches beyond its box, and its box beyond the window, in pixels of the page.
const OVER: &str = "
    const help = document.getElementById('help'), box = help.getBoundingClientRect();
    return [help.scrollHeight - help.clientHeight, help.scrollWidth - help.clientWidth,
            Math.max(0, -box.top, box.bottom - innerHeight, -box.left, box.right - innerWidth)]";

#[test]
fn help_and_strip_fit_small_and_large_screens_of_the_demo_room() {
    let desk = Desk::new();
    assert_eq!(desk.run("page --out room.html").code, 0);
    for pixels in [[1366, 768], [1920, 1080]] {
        let Some(browser) = Browser::open(pixels, 1.0) else { return };
        browser.go(&desk.path("room.html"), "");
        browser.press("?");
        browser.keep(&format!("9-help-{}", pixels[0]));
        assert_eq!(browser.script(OVER), json!([0, 0, 0]), "{pixels:?}");
        let help = browser.script("return document.getElementById('help').innerText");
        assert!(help.as_str().unwrap().contains("Quillhaven practice, room 2 (made up)"), "{help}");
        browser.press("?");
        browser.press("i");
        browser.keep(&format!("9-strip-{}", pixels[0]));
        let high = browser.script("return document.getElementById('strip').offsetHeight / innerHeight");
        assert!(high.as_f64().unwrap() < 0.25, "{pixels:?}: {high}");
    }
}

#[test]
fn a_wide_gamut_is_told() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1920, 1080], 1.0) else { return };
    let wide = json!({ "features": [{ "name": "color-gamut", "value": "p3" }] });
    browser.own("Emulation.setEmulatedMedia", &wide);
    browser.go(&page, "");
    let notice = browser.script("return document.getElementById('notice').innerText");
    assert!(notice.as_str().unwrap().contains("may change colours"), "{notice}");
}

#[test]
fn a_preset_opens_the_page_as_asked() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1920, 1080], 1.0) else { return };
    browser.go(&page, "#line=0.5&fields=white");
    assert_eq!(label(&browser), "20/63, white");
    let white = browser.picture();
    assert!(white.get_pixel(5, 5).0.iter().all(|code| *code == white.get_pixel(5, 5).0[0]));
    browser.go(&page, "#line=9&fields=purple&red=left&size=3&strip=");
    assert_eq!(label(&browser), "20/40, red-green");
    let notice = browser.script("return document.getElementById('notice').innerText");
    let notice = notice.as_str().unwrap().to_owned();
    assert!(
        ["line=9", "fields=purple", "size=3", "strip="].iter().all(|one| notice.contains(one)),
        "{notice}"
    );
    assert!(!notice.contains("red=left"), "{notice}");
    browser.go(&page, "#line=");
    assert_eq!(label(&browser), "20/40, red-green");
    browser.go(&page, "#fields=white&strip=on");
    assert!(strip(&browser).contains("not for the balance") && !strip(&browser).contains("crisper"));
    browser.go(&page, "#line=20/25&red=right&strip=on");
    assert_eq!(label(&browser), "20/25, red-green");
    assert!(strip(&browser).contains("green left, red right"));
}

/// When fields, sides or the dark changed, in milliseconds, while every key came as fast as the page takes it:
/// just before each key that changed something, and just after.
const STORM: &str = "
    const keys = ['1','2','3','4','x','b','p','n','o','s','l','Escape'];
    const seen = () => state.fields + state.redLeft + state.dark + state.patch;
    let last = seen();
    const changes = [];
    const start = performance.now();
    while (performance.now() - start < 1600) {
        for (const key of keys) {
            const pressed = performance.now();
            dispatchEvent(new KeyboardEvent('keydown', { key, repeat: arguments[0] === true }));
            if (seen() !== last) { changes.push([pressed, performance.now()]); last = seen(); }
        }
    }
    return changes;";

#[test]
fn held_keys_cannot_make_it_flicker() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1920, 1080], 1.0) else { return };
    browser.go(&page, "");
    // A change lies between both of its times, so from one to the next 0.7 s must have had room.
    let times: Vec<[f64; 2]> = serde_json::from_value(browser.script(STORM)).unwrap();
    assert!(times.len() >= 2, "{times:?}");
    assert!(times.windows(2).all(|pair| pair[1][1] - pair[0][0] >= 700.0), "{times:?}");
    std::thread::sleep(CALM);
    // What a held key repeats is ignored altogether.
    let repeated = browser.script(&STORM.replace("arguments[0] === true", "true"));
    assert_eq!(repeated, json!([]));
}

#[test]
fn another_screen_or_a_zoom_blanks_the_chart_and_says_why() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1920, 1080], 1.0) else { return };
    // As a zoom of 110 % or another scaling would have it.
    let zoomed = json!({ "width": 1745, "height": 982, "deviceScaleFactor": 1.1, "mobile": false, "screenWidth": 1920, "screenHeight": 1080 });
    browser.own("Emulation.setDeviceMetricsOverride", &zoomed);
    browser.go(&page, "");
    let reason =
        browser.script("const r = document.getElementById('reason'); return r.hidden ? '' : r.innerText");
    let reason = reason.as_str().unwrap().to_owned();
    browser.keep("5-zoomed");
    assert!(
        reason.contains("1920 × 1080") && reason.contains("2112 × 1188") && reason.contains("100 %"),
        "{reason}"
    );
    assert!(browser.script("return document.getElementById('chart').hidden") == true);
    // A card held to the outline settles it: 85.6 mm are 311.8 px of the room's screen, and the letters follow.
    browser.press("k");
    for _ in 0..31 {
        browser.press("+");
    }
    browser.keep("6-card");
    browser.press("Enter");
    assert!(browser.script("return document.getElementById('chart').hidden") == false);
    let scale = browser.script("return state.scale").as_f64().unwrap();
    assert!((scale - 343.0 / 311.84).abs() < 1e-3, "{scale}");
    let notice = browser.script("return document.getElementById('notice').innerText");
    assert!(notice.as_str().unwrap().contains("brightness is not matched"), "{notice}");
    // Of that screen's light nothing is known.
    browser.press("p");
    let patch = browser.script("return document.getElementById('patch').innerText");
    let patch = patch.as_str().unwrap().to_owned();
    assert!(patch.starts_with("red field: codes ") && !patch.contains("expected"), "{patch}");
    browser.press("Escape");
    // A smaller window keeps the size and says so.
    let small = json!({ "width": 1200, "height": 700, "deviceScaleFactor": 1, "mobile": false, "screenWidth": 1920, "screenHeight": 1080 });
    browser.own("Emulation.setDeviceMetricsOverride", &small);
    browser.go(&page, "");
    let notice = browser.script("return document.getElementById('notice').innerText");
    assert!(notice.as_str().unwrap().contains("keep their size"), "{notice}");
    assert_eq!(browser.script("return document.getElementById('chart').getBoundingClientRect().width"), 1920);
    // As much is cut off at the left as at the right, and at the top as below.
    let off = browser.script(
        "const box = document.getElementById('chart').getBoundingClientRect();
         return [box.left + box.right - innerWidth, box.top + box.bottom - innerHeight]",
    );
    assert_eq!(off, json!([0, 0]));
}

#[test]
fn patches_go_the_page_s_own_way() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open_with_clock([1920, 1080], 1.0) else { return };
    browser.go(&page, "");
    let mut seen = Vec::new();
    for _ in 0..4 {
        browser.pass(CALM);
        browser.press("p");
        seen.push((label(&browser), browser.picture().get_pixel(960, 40).0));
        browser.keep(&format!("7-patch-{}", seen.len()));
    }
    assert_eq!(seen[0].0, "red field");
    assert!(seen[0].1[0] > 240 && seen[1].1[1] > 100 && seen[2].1 == [5, 6, 7], "{seen:?}");
    assert_eq!(seen[3], ("full red".into(), [255, 0, 0]));
    // What the room file has for full red: 52 cd/m² over its black.
    let said = browser.script("return document.getElementById('patch').innerText");
    let said = said.as_str().unwrap();
    assert!(
        said.starts_with("full red: codes 255, 0, 0; 52.0 cd/m² expected from luminances as measured"),
        "{said}"
    );
    browser.pass(CALM);
    browser.press("Escape");
    assert_eq!(browser.script("return document.getElementById('patch').hidden"), true);
}

#[test]
fn the_strip_has_contrast_and_everything_has_a_name() {
    let desk = Desk::new();
    let page = page(&desk, DESK, "");
    let Some(browser) = Browser::open([1920, 1080], 1.0) else { return };
    browser.go(&page, "#strip=on");
    let colours = browser.script(
        "const of = (e) => getComputedStyle(e).color.match(/[0-9]+/g).map(Number);
         return [...document.querySelectorAll('#strip p, #strip p > *')].map(of)",
    );
    // WCAG 2.2, 1.4.3: at least 4.5 to 1 on the strip's #050607.
    let luminance = |codes: [f64; 3]| -> f64 {
        let linear = |code: f64| {
            let share = code / 255.0;
            if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(codes[0]) + 0.7152 * linear(codes[1]) + 0.0722 * linear(codes[2])
    };
    let ground = luminance([5.0, 6.0, 7.0]);
    for colour in colours.as_array().unwrap() {
        let codes = [0, 1, 2].map(|channel: usize| colour[channel].as_f64().unwrap());
        let contrast = (luminance(codes) + 0.05) / (ground + 0.05);
        assert!(contrast >= 4.5, "{colour}: {contrast}");
    }
    for id in ["chart", "strip", "help"] {
        let name =
            browser.script(&format!("return document.getElementById('{id}').getAttribute('aria-label')"));
        assert!(name.as_str().is_some_and(|name| !name.is_empty()), "{id}");
    }
}

#[test]
fn the_file_is_small_closed_and_the_same_each_time() {
    let desk = Desk::new();
    for letters in LetterSet::ALL.iter().map(|set| set.name()) {
        let path = page(&desk, DESK, &format!("--letters {letters}"));
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.len() < 300_000, "{letters}: {}", text.len());
        assert!(
            text.contains("default-src 'none'") && !text.contains("http://") && !text.contains("https://")
        );
        for keeps in ["localStorage", "sessionStorage", "cookie", "fetch(", "XMLHttpRequest", "indexedDB"] {
            assert!(!text.contains(keeps), "{keeps}");
        }
        for placeholder in ["@TABLE@", "@SCRIPT@", "@STYLE@", "@TITLE@", "@NONCE@"] {
            assert!(!text.contains(placeholder), "{placeholder}");
        }
        page(&desk, DESK, &format!("--letters {letters}"));
        assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    }
    let named = format!("name = \"Room </script><b> & co\"\n{DESK}");
    let text = std::fs::read_to_string(page(&desk, &named, "")).unwrap();
    // The table's own end, and the script's.
    assert_eq!(text.matches("</script>").count(), 2);
}

#[test]
fn rooms_without_a_page_are_told_so() {
    let desk = Desk::new();
    desk.write("coarse.toml", "[viewing]\ndistance_mm = 300\n[screen]\npixels = [240, 240]\npitch_mm = 4\n");
    for (words, said) in [
        ("page --room coarse.toml --out room.html", "no standard line can be shown"),
        ("page --out room.htm", ".html"),
        ("page --out missing/room.html", "missing"),
    ] {
        let run = desk.run(words);
        assert_eq!(run.code, 2, "{words}: {}", run.out);
        assert!(run.err.lines().count() == 1 && run.err.contains(said), "{words}: {}", run.err);
    }
    assert_eq!(desk.files(), ["coarse.toml"]);
}

#[test]
fn a_page_that_is_older_than_its_room_file_is_told() {
    let desk = Desk::new();
    let made = desk.run("room new --pixels 1920x1080 --width 527mm --distance 3m --out room.toml");
    assert_eq!(made.code, 0, "{}", made.err);
    assert_eq!(desk.run("page --room room.toml --out page.html").code, 0);
    let same = desk.run("check page.html --room room.toml");
    assert!(same.code == 0 && same.out.contains("as its file is now"), "{}{}", same.out, same.err);
    assert_eq!(desk.run("room set --room room.toml --red 47.5 --distance 3.2m").code, 0);
    let older = desk.run("check page.html --room room.toml");
    assert_eq!(older.code, 1, "{}{}", older.out, older.err);
    for needed in ["older", "luminance.red: not given → 47.5", "viewing.distance_mm: 3000.0 → 3200.0"] {
        assert!(older.out.contains(needed), "{needed}: {}", older.out);
    }
    let told: serde_json::Value =
        serde_json::from_str(&desk.run("check page.html --room room.toml --json").out).unwrap();
    assert_eq!(told["differs"].as_array().map(Vec::len), Some(2), "{told}");
    desk.write("other.html", "<!doctype html><p>no page of this program</p>");
    for (words, remedy) in [
        ("check page.html", "--room FILE"),
        ("check page.html --room room.toml --line 20/40", "leave out --line"),
        ("check other.html --room room.toml", "make it again with evenfield page"),
        ("check gone.html --room room.toml", "give a page that evenfield wrote"),
    ] {
        let refused = desk.run(words);
        assert_eq!((refused.code, refused.err.lines().count()), (2, 1), "{words}: {}", refused.err);
        assert!(refused.err.contains(remedy), "{words}: {}", refused.err);
    }
}
