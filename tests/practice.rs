//! The page to practise on in a real browser, walked as a learner would, and held against the balance in Rust.

use std::sync::OnceLock;
use std::time::Duration;

use crate::common::Desk;
use crate::common::browser::Browser;
use evenfield::balance::keys::{Desk as Place, Key, keys_at};
use evenfield::balance::{Answer, ColourVision, End, Legible, Limit, Rules, Run, Step, Way, limit, words};
use evenfield::room::Room;
use evenfield::web::practice::{Class, Level, Practice};
use serde_json::{Value, json};

/// A little over the time in which sides and pictures may change once.
pub(crate) const CALM: Duration = Duration::from_millis(720);

const TABLET: ([u32; 2], f64) = ([2048, 1536], 2.0);
pub(crate) const DESKTOP: ([u32; 2], f64) = ([1920, 1080], 1.0);
const PHONE: ([u32; 2], f64) = ([780, 1688], 2.0);

/// The demo room's levels, made once for all tests, since their pictures take some seconds.
fn practice() -> &'static Practice {
    static MADE: OnceLock<Practice> = OnceLock::new();
    MADE.get_or_init(|| Practice::new(&Room::demo(), &Class::of(1)).unwrap())
}

/// A browser with the page open.
pub(crate) fn open(desk: &Desk, (pixels, ratio): ([u32; 2], f64), hash: &str) -> Option<Browser> {
    let page = desk.write("practice.html", practice().page());
    let browser = Browser::open_with_clock(pixels, ratio)?;
    browser.go(&page, hash);
    browser.pass(CALM);
    Some(browser)
}

/// Waits until every picture that the page was asked for is decoded and has been painted.
fn painted(browser: &Browser) {
    browser.script(
        "const frame = () => new Promise(requestAnimationFrame);
         return Promise.all([...loaded.values()]).then(frame).then(frame).then(() => null)",
    );
}

pub(crate) fn text(browser: &Browser, id: &str) -> String {
    browser.script(&format!("return document.getElementById('{id}').innerText")).as_str().unwrap().into()
}

/// Keeps what the window shows, with all its pictures.
pub(crate) fn keep(browser: &Browser, name: &str) {
    painted(browser);
    browser.keep(name);
}

/// What the rule wants next on the page: lens, reason, fog; or the end.
fn wanted(browser: &Browser) -> Value {
    browser.script("return heldAgainst(practice, level(), state.asked).want")
}

/// Whether keys or the pointer do it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Hand {
    Keys,
    Pointer,
}

/// What a key does, as a button's mark has it.
fn act(key: &str) -> String {
    let key = Key::named(key, Place::Practice).unwrap();
    serde_json::to_value(key.act).unwrap().as_str().unwrap().to_owned()
}

fn does(browser: &Browser, hand: Hand, key: &str) {
    match hand {
        Hand::Keys => browser.press(key),
        Hand::Pointer => browser.click(&format!("main [data-act=\"{}\"]", act(key))),
    }
}

fn turn(browser: &Browser, hand: Hand, to: i64) {
    let clicks = browser.script("return state.clicks").as_i64().unwrap();
    for _ in 0..(to - clicks).abs() {
        does(browser, hand, if to > clicks { "+" } else { "-" });
    }
}

/// Goes by the rule to its end, then finishes as it does.
pub(crate) fn follow(browser: &Browser, hand: Hand) {
    loop {
        let want = wanted(browser);
        if let Some(end) = want.get("end") {
            // The middle of the lenses that were judged the same need not be the last one asked.
            let lens = end["clicks"].as_i64();
            turn(browser, hand, lens.unwrap_or(0));
            browser.pass(CALM);
            does(browser, hand, if lens.is_some() { "d" } else { "u" });
            return;
        }
        turn(browser, hand, want["clicks"].as_i64().unwrap());
        let red_left = browser.script("return state.redLeft");
        if want["swap"] == true || (want["redLeft"].is_boolean() && want["redLeft"] != red_left) {
            browser.pass(CALM);
            does(browser, hand, "x");
        }
        if want["larger"] == true {
            does(browser, hand, "l");
        }
        if want["throughPlus"] == true {
            does(browser, hand, "c");
        }
        does(browser, hand, "Enter");
    }
}

/// No element is cut at the side, no button is too small for a finger, no words stick out of a button.
pub(crate) fn fits(browser: &Browser, what: &str) {
    let found = browser.script(
        "const wrong = [];
         if (document.documentElement.scrollWidth > innerWidth) wrong.push('wider than the window');
         for (const e of document.querySelectorAll('button, input')) {
             const box = e.getBoundingClientRect();
             if (box.width === 0) continue;
             if (box.width < 44 || box.height < 44) wrong.push(`small: ${e.id} ${e.innerText}`);
             if (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1) wrong.push(`cut: ${e.id} ${e.innerText}`);
         }
         return wrong",
    );
    assert_eq!(found, json!([]), "{what}");
}

/// The mean light of each block of 24 pixels of the page is no more than that of the brighter field.
fn nothing_is_brighter_than_the_fields(browser: &Browser, what: &str) {
    let linear = |code: u8| {
        let share = f64::from(code) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    let channel = |weight: f64| -> Vec<f64> { (0..=u8::MAX).map(|code| weight * linear(code)).collect() };
    let [red, green, blue] = [0.2126, 0.7152, 0.0722].map(channel);
    let light = |codes: &[u8]| {
        red[usize::from(codes[0])] + green[usize::from(codes[1])] + blue[usize::from(codes[2])]
    };
    let paints: Vec<[u8; 3]> = serde_json::from_value(browser.script("return practice.paints")).unwrap();
    let field = paints.iter().map(|codes| light(codes)).fold(0.0, f64::max);
    let picture = browser.picture();
    let [width, height] = [picture.width(), picture.height()].map(|pixels| pixels as usize);
    let ratio = browser.script("return devicePixelRatio").as_u64().unwrap();
    let block = 24 * usize::try_from(ratio).unwrap();
    let mut sums = vec![vec![0.0; width.div_ceil(block)]; height.div_ceil(block)];
    for (row, pixels) in picture.as_raw().chunks_exact(3 * width).enumerate() {
        let sums = &mut sums[row / block];
        for (column, pixel) in pixels.chunks_exact(3).enumerate() {
            sums[column / block] += light(pixel);
        }
    }
    // A block that the edge cuts off has less.
    for (row, sums) in sums.iter().enumerate() {
        for (column, sum) in sums.iter().enumerate() {
            let mean = sum / f64::from(u32::try_from(block * block).unwrap());
            assert!(mean <= field * 1.01, "{what}: {mean} in block {column}, {row} against {field}");
        }
    }
}

/// A run at every level on a screen by one hand: as the rule goes, and as Rust's run of it goes.
fn runs_by_the_rule(name: &str, screen: ([u32; 2], f64), hand: Hand, levels: &[Level]) {
    const PATIENT: u64 = 7;
    let desk = Desk::new();
    let Some(browser) = open(&desk, screen, "") else { return };
    for level in levels.iter().copied() {
        let what = format!("{name}-{}", level.name());
        browser.go(&desk.path("practice.html"), &format!("#patient={PATIENT}&level={}", level.name()));
        keep(&browser, &format!("{what}-1-start"));
        fits(&browser, &what);
        browser.pass(CALM);
        does(&browser, hand, "v");
        browser.pass(CALM);
        painted(&browser);
        nothing_is_brighter_than_the_fields(&browser, &what);
        follow(&browser, hand);
        keep(&browser, &format!("{what}-2-result"));
        fits(&browser, &what);
        nothing_is_brighter_than_the_fields(&browser, &what);
        let drawn = &level.patients(1)[6];
        let ran = practice().run(level, drawn);
        let unequal = level == Level::Room && drawn.fields_are_unequal();
        let leaves_a_lens = matches!(ran.end, End::Lens { .. });
        let (verdict, path) = if unequal {
            ("The fields were unequal.", "Look at the fields before the first question, and say so.")
        } else if leaves_a_lens {
            ("The rule’s lens.", "By the rule, to the end.")
        } else {
            ("Right: nothing is decided.", "By the rule, to the end.")
        };
        assert_eq!([text(&browser, "verdict"), text(&browser, "path")], [verdict, path], "{what}");
        let answers: Vec<usize> = ran.asked.iter().map(|(_, answer)| *answer).collect();
        assert_eq!(browser.script("return state.asked.map((one) => one.answer)"), json!(answers), "{what}");
        // What was seen says on which side which colour lay; letters on white have none.
        let captions = text(&browser, "views");
        let sides = captions.matches("red left, green right").count();
        assert_eq!(sides, if level == Level::Midpoint { 0 } else { 3 }, "{what}: {captions}");
        let figures = text(&browser, "figures");
        assert!(figures.contains(&format!("{0} of {0}", answers.len())), "{what}: {figures}");
    }
    assert_eq!(browser.console(), Vec::<String>::new());
    assert_eq!(browser.script("return performance.getEntriesByType('resource').filter((one) => !one.name.startsWith('data:')).length"), 0);
}

#[test]
fn runs_go_by_the_rule_by_pointer_on_a_tablet() {
    // One level of each kind of help, with fog, and on white: by keys all are walked.
    let levels = [Level::Clear, Level::Midpoint, Level::Accommodates];
    runs_by_the_rule("tablet-pointer", TABLET, Hand::Pointer, &levels);
}

#[test]
fn runs_go_by_the_rule_by_keys_on_a_desktop() {
    runs_by_the_rule("desktop", DESKTOP, Hand::Keys, &Level::ALL);
}

/// What a step says, with its lens and fog.
fn step_in_words(run: &Run) -> String {
    match run.step() {
        Step::Ask { clicks, why, through_plus } => format!("{} {clicks} {through_plus}", why.words(clicks)),
        Step::End(end) => end.words("{lens}", run.rules().end_point()),
    }
}

/// The steps after every list of at most `answers` answers, each before those that go on from it.
fn every_step(run: &Run, answers: u32, steps: &mut Vec<String>) {
    steps.push(step_in_words(run));
    if answers > 0 {
        for answer in Answer::ALL {
            every_step(&run.answered(answer), answers - 1, steps);
        }
    }
}

/// The levels that go by rules of the trade, each with its place among all.
fn by_rules() -> impl Iterator<Item = (usize, Level, Rules)> {
    Level::ALL.into_iter().enumerate().filter_map(|(place, level)| match level.way() {
        Way::Rules(rules) => Some((place, level, rules)),
        Way::Adaptive(_) | Way::Midpoint => None,
    })
}

/// A script with the steps of a level after every list of so many answers at the most.
fn scripted_steps(level: usize, answers: u32) -> String {
    format!(
        "const level = practice.levels[{level}], steps = [];
         const every = (at, answers) => {{
             const {{ end, why, clicks, throughPlus, larger }} = wanted(practice, level, at);
             steps.push(end ? end.words : `${{because(practice, why, clicks)}} ${{clicks}} ${{throughPlus}}`);
             if (answers > 0) for (const answer of ruleOf(practice, level).answers) every(after(practice, level, at, answer), answers - 1);
         }};
         every(0, {answers});
         return steps"
    )
}

#[test]
fn the_script_goes_through_every_six_answers_as_the_run_does() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "") else { return };
    for (place, level, rules) in by_rules() {
        let mut steps = Vec::new();
        every_step(&Run::new(rules), 6, &mut steps);
        assert_eq!(steps.len(), 5461);
        assert_eq!(browser.script(&scripted_steps(place, 6)), json!(steps), "{}", level.name());
    }
}

/// The same on white.
fn every_limit(answers: &mut Vec<Legible>, more: u32, steps: &mut Vec<String>) {
    let limits = limit(answers);
    steps.push(match limits {
        Limit::Ask(clicks, seeks) => format!("{} {clicks} false", seeks.words(clicks)),
        Limit::End(limits) => limits.end().words("{lens}", Level::Midpoint.end_point()),
    });
    if more > 0 {
        for answer in Legible::ALL {
            // What is answered after the end changes nothing.
            let goes_on = matches!(limits, Limit::Ask(..));
            if goes_on {
                answers.push(answer);
            }
            every_limit(answers, more - 1, steps);
            if goes_on {
                answers.pop();
            }
        }
    }
}

#[test]
fn the_script_looks_for_limits_as_the_search_does_after_every_twelve_answers() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "") else { return };
    let place = Level::ALL.iter().position(|level| *level == Level::Midpoint).unwrap();
    let mut steps = Vec::new();
    every_limit(&mut Vec::new(), 12, &mut steps);
    assert_eq!(steps.len(), 8191);
    let scripted: Vec<String> = serde_json::from_value(browser.script(&scripted_steps(place, 12))).unwrap();
    assert_eq!(scripted.len(), steps.len());
    let unlike = scripted.iter().zip(&steps).find(|(scripted, step)| scripted != step);
    assert_eq!(unlike, None);
}

#[test]
fn the_scripts_patients_run_as_those_in_rust_do() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "") else { return };
    let mut runs = 0;
    for seed in [1, 2, 77] {
        for (index, level) in Level::ALL.into_iter().enumerate() {
            let patients = level.patients(seed);
            let scripted = browser.script(&format!(
                "const level = practice.levels[{index}];
                 return {}.map((patient) => {{
                     const {{ asked, end }} = walk(practice, level, patient);
                     return [asked.map((one) => [one.clicks, one.answer]), end.words, end.clicks];
                 }})",
                serde_json::to_string(&patients).unwrap()
            ));
            let ran: Vec<Value> = patients
                .iter()
                .map(|patient| {
                    let ran = practice().run(level, patient);
                    let asked: Vec<_> = ran.asked.iter().map(|one| json!(one)).collect();
                    let lens = if let End::Lens { clicks, .. } = ran.end { Some(clicks) } else { None };
                    json!([asked, ran.end.words("{lens}", level.end_point()), lens])
                })
                .collect();
            runs += ran.len();
            assert_eq!(scripted, json!(ran), "{} of class {seed}", level.name());
        }
    }
    assert!(runs > 1000);
}

#[test]
fn leaving_the_rule_is_told_where_and_why() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, TABLET, "#patient=7&level=noisy") else { return };
    browser.press("Enter");
    browser.press("h");
    let hint = text(&browser, "hint");
    assert!(hint.contains("Lens "), "{hint}");
    // Far into minus, which no rule asks for after the manifest.
    for _ in 0..4 {
        browser.press("-");
    }
    browser.press("Enter");
    keep(&browser, "told-1-left");
    browser.press("d");
    assert_eq!(text(&browser, "verdict"), "Another lens than the rule’s.");
    assert_eq!(text(&browser, "path"), "You left the rule at question 2.");
    assert_eq!(text(&browser, "counted"), "0 of 2 patients in a row that pass this level.");
    browser.pass(CALM);
    keep(&browser, "told-2-result");
    let walked = text(&browser, "walked");
    assert!(walked.contains("Rule: ") && walked.contains("\u{2212}1.00"), "{walked}");
    assert!(text(&browser, "figures").contains("1 hint"));
    browser.press("?");
    keep(&browser, "told-3-help");
    let help = text(&browser, "help");
    for needed in [
        &Level::Noisy.way().procedure().said().to_string(),
        &Level::Noisy.end_point().said().to_string(),
        words::question(ColourVision::Usual),
        words::NO_DIFFERENCE,
        words::BEFORE_ASKING,
        words::SEIZURES,
        words::SUPERVISION,
        words::NOT_APPROVED,
    ] {
        assert!(help.contains(needed), "{needed}: {help}");
    }
    for key in keys_at(Place::Practice) {
        assert!(help.contains(&format!("{}\n{}", key.shown, key.words)), "{key:?}: {help}");
    }
    // Behind help no key does anything else.
    browser.press("a");
    browser.press("PageDown");
    browser.press("1");
    assert_eq!(text(&browser, "path"), "You left the rule at question 2.");
    browser.press("Escape");
    browser.press("a");
    assert_eq!(browser.script("return state.asked.length + state.clicks"), 0);
    // Stopping early is told too.
    browser.pass(CALM);
    browser.press("Enter");
    browser.press("d");
    assert_eq!(text(&browser, "path"), "By the rule so far, but the rule goes on.");
    assert_eq!(
        text(&browser, "counted"),
        "This patient was counted before, so nothing of this run adds to the score."
    );
}

#[test]
fn unequal_fields_are_to_be_noticed() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "#level=room") else { return };
    for unequal in [true, false] {
        let patients = Level::Room.patients(1);
        let number = patients.iter().position(|one| one.fields_are_unequal() == unequal).unwrap() + 1;
        browser.go(&desk.path("practice.html"), &format!("#patient={number}&level=room"));
        browser.pass(CALM);
        keep(&browser, &format!("room-{unequal}"));
        browser.press("e");
        let verdict = text(&browser, "verdict");
        assert_eq!(
            verdict,
            if unequal { "Right: the fields are unequal." } else { "These fields are equal." }
        );
    }
}

/// When sides, views or patients changed, in milliseconds, while every key came as fast as the page takes it:
/// just before each key that changed something, and just after.
const STORM: &str = "
    const keys = ['x','v','a','PageDown','1','5','d','u','e','+','-','Enter','l','c'];
    const seen = () => [state.redLeft, state.peek, state.done, state.level, state.number].join();
    let last = seen();
    const changes = [];
    const start = performance.now();
    while (performance.now() - start < 2300) {
        for (const key of keys) {
            const pressed = performance.now();
            dispatchEvent(new KeyboardEvent('keydown', { key, repeat: REPEAT }));
            if (seen() !== last) { changes.push([pressed, performance.now()]); last = seen(); }
        }
    }
    return changes;";

#[test]
fn held_keys_cannot_make_it_flicker() {
    let desk = Desk::new();
    let page = desk.write("practice.html", practice().page());
    let Some(browser) = Browser::open(DESKTOP.0, DESKTOP.1) else { return };
    browser.go(&page, "");
    std::thread::sleep(CALM);
    let changes = browser.script(&STORM.replace("REPEAT", "false"));
    let changes: Vec<[f64; 2]> = serde_json::from_value(changes).unwrap();
    assert!(changes.len() >= 2, "{changes:?}");
    // A change lies between both of its times, so from one to the next 0.7 s must have had room.
    assert!(changes.windows(2).all(|pair| pair[1][1] - pair[0][0] >= 700.0), "{changes:?}");
    std::thread::sleep(CALM);
    assert_eq!(browser.script(&STORM.replace("REPEAT", "true")), json!([]));
    // With the view open, lenses that change quickly change the picture slowly.
    browser.go(&page, "");
    std::thread::sleep(CALM);
    browser.press("v");
    let views = browser.script(
        "return new Promise((done) => {
             const times = new Set(), start = performance.now();
             const tick = () => {
                 const key = Math.floor(performance.now() / 40) % 2 ? '+' : '-';
                 dispatchEvent(new KeyboardEvent('keydown', { key }));
                 times.add(viewed.last);
                 if (performance.now() - start < 2600) setTimeout(tick, 40); else done([...times]);
             };
             tick();
         })",
    );
    let views: Vec<f64> = serde_json::from_value(views).unwrap();
    assert!(views.len() >= 3 && views.windows(2).all(|pair| pair[1] - pair[0] > 690.0), "{views:?}");
}

#[test]
fn every_act_of_the_table_has_a_function_and_no_answer_key_means_anything() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "") else { return };
    let without = browser.script(
        "return practice.page.keys.filter(({ act }) => typeof ACTS[act] !== 'function').map(({ act }) => act)",
    );
    assert_eq!(without, json!([]));
    let unknown = browser.script(
        "return Object.keys(ACTS).filter((act) => !practice.page.keys.some((key) => key.act === act))",
    );
    assert_eq!(unknown, json!([]));
    let buttons = browser.script(
        "return [...document.querySelectorAll('button')].filter((one) => !ACTS[one.dataset.act] && !BY_BUTTON[one.dataset.act]).map((one) => one.outerHTML)",
    );
    assert_eq!(buttons, json!([]));
    browser.press("Enter");
    let state = || browser.script("return JSON.stringify(state)");
    let before = state();
    for key in ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "r", "g", "s", "f", "0"] {
        browser.press(key);
        assert_eq!(state(), before, "{key}");
    }
    // What a button shows is the key that does what the button does.
    let kbd = browser.script("return [...document.querySelectorAll('kbd')].map((one) => [one.innerText, one.parentElement.dataset.act])");
    let kbd = kbd.as_array().unwrap();
    assert!(kbd.len() >= 9, "{kbd:?}");
    for pair in kbd {
        let shown = keys_at(Place::Practice).into_iter().find(|key| key.shown == pair[0]).unwrap();
        assert_eq!(serde_json::to_value(shown.act).unwrap(), pair[1]);
    }
}

#[test]
fn help_fits_small_and_large_screens_and_the_room_is_named() {
    let desk = Desk::new();
    for pixels in [[1366, 768], [1920, 1080]] {
        let Some(browser) = open(&desk, (pixels, 1.0), "") else { return };
        let name = pixels[0];
        keep(&browser, &format!("help-{name}-1-page"));
        fits(&browser, "small and large");
        let footer = browser.script("return document.querySelector('footer').innerText");
        for needed in ["Quillhaven practice, room 2 (made up)", words::NOT_APPROVED, words::SUPERVISION] {
            assert!(footer.as_str().unwrap().contains(needed), "{footer}");
        }
        browser.press("?");
        keep(&browser, &format!("help-{name}-2"));
        let over = browser.script(
            "const help = document.getElementById('help');
             return [help.scrollHeight - help.clientHeight, help.scrollWidth - help.clientWidth]",
        );
        assert_eq!(over, json!([0, 0]), "{pixels:?}");
    }
}

#[test]
fn a_phone_has_everything_below_each_other() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, PHONE, "#patient=7&level=noisy") else { return };
    // No two parts share a place: each begins where the one before has ended, down or across.
    let overlapping = |parts: &str| {
        browser.script(&format!(
            "const boxes = [...document.querySelectorAll('{parts}')].map((e) => e.getBoundingClientRect()).filter((box) => box.width);
             return boxes.length > 1 && boxes.some((one, place) => boxes.some((other, before) => before < place
                 && one.top < other.bottom - 1 && other.top < one.bottom - 1 && one.left < other.right - 1 && other.left < one.right - 1))"
        ))
    };
    assert_eq!(browser.script("return innerWidth"), 390);
    keep(&browser, "phone-1-start");
    fits(&browser, "phone");
    assert_eq!(overlapping("header button, #shown > *, #hand > *, #below > *"), false);
    // Chart, lens, what to ask and the answer stand in this order, and all of it on the first screen.
    let tops = browser.script(
        "return ['chart', 'lens', 'swap', 'ask', 'answer'].map((id) => document.getElementById(id).getBoundingClientRect().top)",
    );
    let tops: Vec<f64> = serde_json::from_value(tops).unwrap();
    assert!(tops.is_sorted() && tops.last().unwrap() + 40.0 < 844.0, "{tops:?}");
    browser.press("Enter");
    browser.press("?");
    keep(&browser, "phone-2-help");
    fits(&browser, "phone, help");
    browser.press("?");
    browser.press("d");
    keep(&browser, "phone-3-result");
    fits(&browser, "phone, result");
    assert_eq!(overlapping("header button, #top button, #figures > *, #both > *"), false);
    let figures = browser.script(
        "return new Set([...document.querySelectorAll('#figures > *')].map((one) => Math.round(one.getBoundingClientRect().left))).size",
    );
    assert_eq!(figures, 2, "figures stand two by two");
}

/// From the narrowest phone to a tablet, upright and on its side: nothing is scrolled sideways, and the chart's letters are no
/// smaller than the words.
#[test]
fn every_screen_from_320_pixels_on_fits() {
    // Letters are five strokes of eight pixels of the canvas.
    const LETTER: f64 = 40.0;
    const LEAST: f64 = 12.0;
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "#patient=7&level=room") else { return };
    for (width, height) in [(320, 640), (390, 844), (844, 390), (761, 900), (768, 1024), (999, 700)] {
        let what = format!("{width} by {height}");
        browser.own(
            "Emulation.setDeviceMetricsOverride",
            &json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": true }),
        );
        assert_eq!(browser.script("return innerWidth"), width, "{what}: wider than the screen");
        fits(&browser, &what);
        let scale = browser.script(
            "paintChart(); const chart = document.getElementById('chart'); return chart.getBoundingClientRect().width / chart.width",
        );
        assert!(scale.as_f64().unwrap() * LETTER >= LEAST, "{what}: {scale}");
        browser.click("#where");
        fits(&browser, &format!("{what}, levels"));
        browser.click("#course .over button");
        browser.pass(CALM);
        browser.press("d");
        fits(&browser, &format!("{what}, result"));
        browser.pass(CALM);
        browser.press("a");
    }
}

#[test]
fn the_chosen_view_does_not_look_like_what_is_to_be_done_next() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, DESKTOP, "#patient=7&level=noisy") else { return };
    browser.press("v");
    browser.press("c");
    let edges = browser.script(
        "const edge = (id) => getComputedStyle(document.getElementById(id)).borderTopColor;
         const ground = (id) => getComputedStyle(document.getElementById(id)).backgroundColor;
         return [edge('ask'), edge('fog'), edge('peek'), ground('ask') === ground('fog'), ground('ask') === ground('peek')]",
    );
    assert!(edges[0] != edges[1] && edges[0] != edges[2], "{edges}");
    assert_eq!(
        [&edges[3], &edges[4]],
        [true, false],
        "what commands has a ground, what shows has none: {edges}"
    );
}

#[test]
fn addresses_and_the_field_choose_the_patient() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, TABLET, "#patient=12&level=aperture") else { return };
    let who = || browser.script("return [state.level, state.number, location.hash]");
    assert_eq!(who(), json!([5, 12, "#patient=12&level=aperture"]));
    let script = "const field = document.getElementById('patient'); field.value = '31'; field.dispatchEvent(new Event('change'));";
    browser.script(script);
    assert_eq!(who(), json!([5, 31, "#patient=31&level=aperture"]));
    browser.pass(CALM);
    browser.click("#where");
    browser.click("#levels li:nth-child(8) button");
    assert_eq!(who(), json!([7, 31, "#patient=31&level=accommodating"]));
    browser.pass(CALM);
    browser.click("#who [data-act=next]");
    assert_eq!(who()[1], 32);
    browser.go(&desk.path("practice.html"), "#patient=100&level=odd&seed=3");
    let notice = text(&browser, "notice");
    assert!(["patient=100", "level=odd", "seed=3"].iter().all(|one| notice.contains(one)), "{notice}");
    assert_eq!(who()[1], 1);
}

#[test]
fn everything_has_a_name_and_contrast() {
    let desk = Desk::new();
    let Some(browser) = open(&desk, TABLET, "") else { return };
    browser.press("Enter");
    browser.press("h");
    for shown in ["run", "result", "levels"] {
        // WCAG 2.2, 1.4.3: at least 4.5 to 1 against the nearest ground that is painted.
        let faint = browser.script(
            "const codes = (text) => text.match(/[0-9.]+/g).map(Number);
             const linear = (code) => code / 255 <= 0.04045 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4;
             const light = ([red, green, blue]) => 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
             const ground = (e) => { const own = codes(getComputedStyle(e).backgroundColor); return own[3] === 0 ? ground(e.parentElement) : own; };
             return [...document.querySelectorAll('body *')].filter((e) => e.getClientRects().length
                 && [...e.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())).map((e) => {
                 const style = getComputedStyle(e), ink = e.closest('svg') ? style.fill : style.color;
                 const contrast = (light(codes(ink)) + 0.05) / (light(ground(e)) + 0.05);
                 return contrast >= 4.5 ? null : `${e.textContent}: ${contrast}`;
             }).filter(Boolean)",
        );
        assert_eq!(faint, json!([]), "{shown}");
        let nameless = browser.script(
            "return [...document.querySelectorAll('button, input, canvas, section, nav, aside, table:not(#walked), [role=group], [role=img]')]
                 .filter((e) => !(e.labels?.length || e.getAttribute('aria-label') || e.getAttribute('aria-labelledby') || (e.matches('button') && e.innerText.trim()) || e.hidden || e.closest('[hidden]')))
                 .map((e) => e.outerHTML.slice(0, 80))",
        );
        assert_eq!(nameless, json!([]), "{shown}");
        browser.pass(CALM);
        if shown == "run" {
            browser.press("d");
        } else {
            browser.click("#where");
        }
    }
}

#[test]
fn the_file_is_closed_and_small() {
    let text = practice().page();
    assert!(text.len() < 3_000_000, "{}", text.len());
    assert!(text.contains("default-src 'none'"));
    // Progress alone is kept, in one place, where a browser lets it.
    assert_eq!(text.matches("localStorage").count(), 3);
    assert!(text.contains("Your progress is kept in this browser and nowhere else"));
    for keeps in [
        "sessionStorage",
        "cookie",
        "fetch(",
        "XMLHttpRequest",
        "indexedDB",
        "https://",
        "Math.random",
        "new Date",
        "Date.",
    ] {
        assert!(!text.contains(keeps), "{keeps}");
    }
    // The one address is the name of SVG's elements, which nothing fetches.
    assert_eq!(text.matches("http://").count(), text.matches("http://www.w3.org/2000/svg").count());
    for placeholder in ["@TABLE@", "@SCRIPT@", "@STYLE@", "@NONCE@"] {
        assert!(!text.contains(placeholder), "{placeholder}");
    }
    // The table's own end, and the script's.
    assert_eq!(text.matches("</script>").count(), 2);
}

#[test]
fn a_rooms_own_page_is_written_and_others_are_refused() {
    let desk = Desk::new();
    // A name that is a place of the page fills none.
    let name = "Quillhaven practice, room 1 @SCRIPT@";
    desk.write("room.toml", crate::common::ROOM.replace("Quillhaven practice, room 1", name));
    let run = desk.run("practice --room room.toml --seed 4 --class autumn --out practice.html");
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(
        run.out.contains("class autumn (4)") && run.out.contains("no evidence about real eyes"),
        "{}",
        run.out
    );
    let page = std::fs::read_to_string(desk.path("practice.html")).unwrap();
    assert!(page.len() < 3_000_000 && page.contains(name), "{}", page.len());
    assert_eq!(page.matches("@SCRIPT@").count(), 1, "the room’s name alone");
    for (words, said) in
        [("practice --out practice.htm", ".html"), ("practice --out practice.html", "--force")]
    {
        let run = desk.run(words);
        assert_eq!(run.code, 2, "{words}: {}", run.out);
        assert!(run.err.lines().count() == 1 && run.err.contains(said), "{words}: {}", run.err);
    }
}
