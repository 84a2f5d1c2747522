//! A real browser, driven over `WebDriver`.

use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use base64::prelude::{BASE64_STANDARD, Engine};
use image::{DynamicImage, RgbImage, RgbaImage};
use minreq::Method;
use serde_json::{Value, json};

use super::turns::{Turn, Turns};
use super::{is_needed, skip};

/// Chromium in a window that fills a screen of its own, without a display.
pub(crate) struct Browser {
    driver: Child,
    port: u16,
    session: String,
    profile: tempfile::TempDir,
    _turn: Turn,
}

/// A browser takes a core or more: those of two tests at a time, however many run.
static TURNS: Turns = Turns::new(2);

/// Keys that have no letter, by the `WebDriver` standard.
const NAMED: [(&str, &str); 10] = [
    ("End", "\u{e010}"),
    ("Home", "\u{e011}"),
    ("ArrowDown", "\u{e015}"),
    ("ArrowUp", "\u{e013}"),
    ("ArrowLeft", "\u{e012}"),
    ("ArrowRight", "\u{e014}"),
    ("PageDown", "\u{e00f}"),
    ("PageUp", "\u{e00e}"),
    ("Enter", "\u{e007}"),
    ("Escape", "\u{e00c}"),
];

/// Gives a page a clock that can be put forward: the two functions by which it knows the time are replaced before its own
/// script runs. Time passes on it as ever, and `passTime` lets milliseconds pass at once, with what was planned in them.
const CLOCK: &str = "
    const now = performance.now.bind(performance), plan = setTimeout.bind(window), drop = clearTimeout.bind(window);
    const planned = new Map();
    let ahead = 0;
    performance.now = () => now() + ahead;
    window.setTimeout = (action, milliseconds) => {
        const id = plan(() => { planned.delete(id); action(); }, milliseconds);
        planned.set(id, { action, due: performance.now() + milliseconds });
        return id;
    };
    window.clearTimeout = (id) => { planned.delete(id); drop(id); };
    window.passTime = (milliseconds) => {
        ahead += milliseconds;
        const due = [...planned].filter(([, one]) => one.due <= performance.now());
        for (const [id, { action }] of due.sort(([, one], [, other]) => one.due - other.due)) {
            clearTimeout(id);
            action();
        }
    };";

impl Browser {
    /// As [`Self::open`], and the pages in it have a clock that [`Self::pass`] puts forward.
    pub(crate) fn open_with_clock(pixels: [u32; 2], ratio: f64) -> Option<Self> {
        let browser = Self::open(pixels, ratio)?;
        browser.own("Page.addScriptToEvaluateOnNewDocument", &json!({ "source": format!("{{{CLOCK}}}") }));
        Some(browser)
    }

    /// Lets time pass on the page's clock, at once.
    pub(crate) fn pass(&self, time: Duration) {
        self.script(&format!("passTime({})", time.as_secs_f64() * 1e3));
    }

    /// Opens one on a screen with a number of device pixels, `ratio` of them to a pixel of the page; none, and the test is
    /// skipped, where there is no browser, or where none is asked for: browsers take more time than all else together.
    pub(crate) fn open([columns, rows]: [u32; 2], ratio: f64) -> Option<Self> {
        if !is_needed("browser") {
            skip("browser", "a browser");
            return None;
        }
        let turn = TURNS.take();
        let port = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
        let driver = Command::new("chromedriver")
            .args([format!("--port={port}"), "--silent".into()])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        let Ok(driver) = driver else {
            skip("browser", "chromedriver");
            return None;
        };
        let profile = tempfile::tempdir().unwrap();
        let mut browser = Self { driver, port, session: String::new(), profile, _turn: turn };
        browser.wait_for_driver();
        let [width, height] = [columns, rows].map(|pixels| (f64::from(pixels) / ratio).round());
        let arguments = [
            "--headless=new".into(),
            "--no-sandbox".into(),
            "--disable-gpu".into(),
            "--disable-quic".into(),
            "--no-first-run".into(),
            "--disable-background-networking".into(),
            "--disable-component-update".into(),
            "--disable-sync".into(),
            "--hide-scrollbars".into(),
            "--kiosk".into(),
            format!("--user-data-dir={}", browser.profile.path().display()),
            format!("--screen-info={{{columns}x{rows} devicePixelRatio={ratio}}}"),
            format!("--window-size={width},{height}"),
        ];
        let wanted = json!({ "capabilities": { "alwaysMatch": {
            "browserName": "chrome",
            "goog:loggingPrefs": { "browser": "ALL" },
            "goog:chromeOptions": { "args": arguments, "excludeSwitches": ["enable-automation"] },
        } } });
        let opened = browser.send(Method::Post, "/session", Some(&wanted));
        opened["sessionId"].as_str().unwrap_or_else(|| panic!("{opened}")).clone_into(&mut browser.session);
        browser.post("window/fullscreen", &json!({}));
        Some(browser)
    }

    fn wait_for_driver(&self) {
        for _ in 0..100 {
            if TcpStream::connect(("127.0.0.1", self.port)).is_ok() {
                return;
            }
            std::thread::sleep(Duration::from_millis(100));
        }
        panic!("chromedriver does not answer");
    }

    fn send(&self, method: Method, path: &str, body: Option<&Value>) -> Value {
        let request = minreq::Request::new(method, format!("http://127.0.0.1:{}{path}", self.port));
        let body = body.map(ToString::to_string).unwrap_or_default();
        let answer = request.with_header("Content-Type", "application/json").with_body(body).send().unwrap();
        serde_json::from_slice::<Value>(answer.as_bytes()).unwrap()["value"].take()
    }

    fn post(&self, command: &str, body: &Value) -> Value {
        let answer = self.send(Method::Post, &format!("/session/{}/{command}", self.session), Some(body));
        assert!(answer.get("error").is_none(), "{command}: {answer}");
        answer
    }

    /// Opens a file, with what follows the `#`.
    pub(crate) fn go(&self, page: &Path, hash: &str) {
        // Another hash alone would not load the page again.
        self.post("url", &json!({ "url": "about:blank" }));
        self.post("url", &json!({ "url": format!("file://{}{hash}", page.display()) }));
        self.wait_for_keys();
    }

    /// Opens an address, with a cookie of its host where one is given as name and value.
    pub(crate) fn visit(&self, address: &str, cookie: Option<(&str, &str)>) {
        if let Some((name, value)) = cookie {
            let origin = address.split('/').take(3).collect::<Vec<_>>().join("/");
            let set = json!({ "name": name, "value": value, "url": origin, "httpOnly": true, "sameSite": "Strict" });
            self.own("Network.setCookie", &set);
        }
        self.post("url", &json!({ "url": address }));
    }

    /// Goes back to the page before.
    ///
    /// The driver may lose sight of a page while it goes there, and then says so after its own time; whoever goes back waits for
    /// what the page shows anyway.
    pub(crate) fn back(&self) {
        let answer = self.send(Method::Post, &format!("/session/{}/back", self.session), Some(&json!({})));
        assert!(answer.get("error").is_none_or(|error| error == "timeout"), "back: {answer}");
    }

    /// Loads the page again.
    pub(crate) fn reload(&self) {
        self.post("refresh", &json!({}));
    }

    /// Closes its window, and opens an empty one in the same browser.
    pub(crate) fn close_window(&self) {
        let other = self.post("window/new", &json!({ "type": "window" }))["handle"].take();
        self.send(Method::Delete, &format!("/session/{}/window", self.session), None);
        self.post("window", &json!({ "handle": other }));
        self.post("window/fullscreen", &json!({}));
    }

    /// Goes on in the other one of its two windows, once there are two.
    pub(crate) fn other_window(&self) {
        let get =
            |command: &str| self.send(Method::Get, &format!("/session/{}/{command}", self.session), None);
        for _ in 0..100 {
            let (here, all) = (get("window"), get("window/handles"));
            if let Some(other) = all.as_array().unwrap().iter().find(|handle| **handle != here) {
                self.post("window", &json!({ "handle": other }));
                return;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        panic!("no second window");
    }

    /// Kills the browser, which its driver outlives.
    pub(crate) fn kill(&self) {
        let tasks = std::fs::read_dir(format!("/proc/{}/task", self.driver.id())).unwrap();
        let children =
            tasks.map(|task| std::fs::read_to_string(task.unwrap().path().join("children")).unwrap());
        let children: Vec<String> = children
            .flat_map(|line| line.split_whitespace().map(str::to_owned).collect::<Vec<_>>())
            .collect();
        assert!(!children.is_empty(), "the driver has no browser");
        assert!(Command::new("kill").arg("-9").args(&children).status().unwrap().success());
    }

    /// Waits until a script gives true, for half a minute at most: machines can be busy.
    pub(crate) fn wait_for(&self, script: &str) {
        for _ in 0..600 {
            if self.script(script) == true {
                return;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        panic!("never came true: {script}");
    }

    /// Presses a key that no page answers until one arrives: keys sent right after loading may be lost.
    fn wait_for_keys(&self) {
        const SHIFT: &str = "\u{e008}";
        self.script("addEventListener('keydown', () => { window.keysArrive = true; }, { once: true });");
        for _ in 0..50 {
            self.press(SHIFT);
            if self.script("return window.keysArrive === true;") == true {
                return;
            }
            std::thread::sleep(Duration::from_millis(100));
        }
        panic!("no key reaches the page");
    }

    /// Presses a key and lets it go.
    pub(crate) fn press(&self, key: &str) {
        let value = NAMED.iter().find(|(name, _)| *name == key).map_or(key, |(_, value)| value);
        let actions = json!({ "actions": [{ "type": "key", "id": "keyboard", "actions": [
            { "type": "keyDown", "value": value }, { "type": "keyUp", "value": value },
        ] }] });
        self.post("actions", &actions);
    }

    /// Types a text where the focus is.
    pub(crate) fn type_in(&self, selector: &str, text: &str) {
        self.click(selector);
        for letter in text.chars() {
            self.press(&letter.to_string());
        }
    }

    /// Points at the middle of the element that a selector finds, and clicks.
    pub(crate) fn click(&self, selector: &str) {
        let place = self.script(&format!(
            "const e = document.querySelector('{selector}'); e.scrollIntoView({{ block: 'nearest' }});
             const box = e.getBoundingClientRect();
             return [Math.round(box.x + box.width / 2), Math.round(box.y + box.height / 2)]"
        ));
        let actions = json!({ "actions": [{ "type": "pointer", "id": "hand", "parameters": { "pointerType": "mouse" }, "actions": [
            { "type": "pointerMove", "duration": 0, "x": place[0], "y": place[1] },
            { "type": "pointerDown", "button": 0 }, { "type": "pointerUp", "button": 0 },
        ] }] });
        self.post("actions", &actions);
    }

    /// Runs a script and gives what it returns.
    pub(crate) fn script(&self, script: &str) -> Value {
        self.post("execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// A command of the browser's own protocol.
    pub(crate) fn own(&self, command: &str, parameters: &Value) {
        self.post("goog/cdp/execute", &json!({ "cmd": command, "params": parameters }));
    }

    /// Prints the page to a PDF on paper of this size in inches.
    pub(crate) fn print(&self, file: &Path, [width, height]: [f64; 2]) {
        let parameters = json!({ "paperWidth": width, "paperHeight": height });
        let printed =
            self.post("goog/cdp/execute", &json!({ "cmd": "Page.printToPDF", "params": parameters }));
        std::fs::write(file, BASE64_STANDARD.decode(printed["data"].as_str().unwrap()).unwrap()).unwrap();
    }

    /// What the window shows, in device pixels.
    pub(crate) fn picture(&self) -> RgbImage {
        let answer = self.send(Method::Get, &format!("/session/{}/screenshot", self.session), None);
        let file = BASE64_STANDARD.decode(answer.as_str().unwrap()).unwrap();
        let mut decoder = png::Decoder::new(std::io::Cursor::new(file));
        decoder.set_transformations(png::Transformations::EXPAND);
        let mut reader = decoder.read_info().unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut bytes).unwrap();
        let (width, height) = reader.info().size();
        match reader.output_color_type().0.samples() {
            4 => DynamicImage::from(RgbaImage::from_raw(width, height, bytes).unwrap()).into_rgb8(),
            _ => RgbImage::from_raw(width, height, bytes).unwrap(),
        }
    }

    /// Keeps what the window shows under a name, in the folder that `EVENFIELD_SHOTS` names, for people to look at.
    pub(crate) fn keep(&self, name: &str) {
        if let Some(folder) = std::env::var_os("EVENFIELD_SHOTS") {
            let shot = super::Png { pixels: self.picture(), pixels_a_metre: 4000, json: None };
            shot.write_bare(&Path::new(&folder).join(format!("{name}.png")));
        }
    }

    /// What the page wrote to the console.
    pub(crate) fn console(&self) -> Vec<String> {
        let said = self.post("se/log", &json!({ "type": "browser" }));
        said.as_array().unwrap().iter().map(ToString::to_string).collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() && !std::thread::panicking() {
            self.send(Method::Delete, &format!("/session/{}", self.session), None);
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
