//! Wall and panel of an examination without a browser, and chance that is the same in every run.

use std::io::Write;
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::mpsc::{Receiver, channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tungstenite::{Message, WebSocket};

use super::form::fits;
use super::hall::{Hall, Line, Pass};

/// The screen of [`super::ROOM`].
const SCREEN: [u32; 2] = [1280, 800];

/// A window opens another line before it has sent as many messages, since the server closes a line that sends more than 30
/// in a second.
pub(crate) const MOST_ON_A_LINE: usize = 27;

/// A window opens another line before it has been read by nobody for so long that the server takes it for gone, which is
/// ten seconds.
const UNREAD: Duration = Duration::from_secs(3);

/// A step that no session has, so that a wish for it is refused and shows that all before it was heard.
const NEVER: u64 = 0;

/// What a wall says that has drawn a picture, on a screen that stays awake or may fall asleep.
pub(crate) fn drawn(picture: &Value, awake: bool) -> Value {
    let names = |of: &Value, name: &str| -> Value {
        of.as_array().unwrap().iter().map(|one| one[name].clone()).collect()
    };
    let chart = &picture["chart"];
    let shown = if chart.is_null() {
        Value::Null
    } else {
        json!({
            "line": chart["line"], "fields": chart["fields"], "red": chart["red"],
            "letters": names(&chart["letters"], "name"), "codes": names(&chart["places"], "codes"),
            "pixels": SCREEN, "whole": true,
        })
    };
    json!({ "said": {
        "picture": picture["number"], "shown": shown, "whole": true, "fits": true, "visible": true,
        "pixels": SCREEN, "awake": awake,
    } })
}

/// A frame that ends a line, as a window sends it that is closed.
const GOODBYE: [u8; 6] = [0x88, 0x80, 0, 0, 0, 0];

/// A wall that draws at once whatever it is told.
pub(crate) struct Wall {
    stream: TcpStream,
    thread: Option<JoinHandle<()>>,
    /// When each picture came that it was told.
    pub(crate) told: Receiver<Instant>,
}

impl Wall {
    pub(crate) fn open(hall: &Hall, pass: &Pass) -> Self {
        Self::awake(hall, pass, true)
    }

    /// Opens one that says whether it is kept awake, by which a panel can tell two apart.
    pub(crate) fn awake(hall: &Hall, pass: &Pass, awake: bool) -> Self {
        let mut line = hall.line("wall", pass);
        let stream = line.stream();
        let (tell, told) = channel();
        let thread = std::thread::spawn(move || {
            while let Some(message) = line.next() {
                let came = Instant::now();
                if let Some(picture) = message.get("picture") {
                    // Nobody may want to know.
                    let _ = tell.send(came);
                    if !line.try_send(drawn(picture, awake).to_string()) {
                        return;
                    }
                }
            }
        });
        Self { stream, thread: Some(thread), told }
    }

    /// Says that it goes, as a window does that is closed and not cut off.
    pub(crate) fn say_goodbye(&mut self) {
        let _ = self.stream.write_all(&GOODBYE);
    }

    /// Cuts its line.
    pub(crate) fn cut(&mut self) {
        let _ = self.stream.shutdown(Shutdown::Both);
    }
}

impl Drop for Wall {
    fn drop(&mut self) {
        self.cut();
        let _ = self.thread.take().unwrap().join();
    }
}

/// A panel.
pub(crate) struct Panel {
    line: Line,
    pub(crate) pass: Pass,
    pub(crate) name: String,
    pub(crate) state: Value,
    sent: usize,
    read: Instant,
}

impl Panel {
    pub(crate) fn open(hall: &Hall, pass: &Pass, name: &str) -> Self {
        let mut line = hall.line("panel", pass);
        line.send(&json!({ "hello": name }));
        let state = line.wait(|message| {
            fits("to-panel", message);
            message.get("state").cloned()
        });
        Self { line, pass: pass.clone(), name: name.into(), state, sent: 1, read: Instant::now() }
    }

    pub(crate) fn step(&self) -> u64 {
        self.state["step"].as_u64().unwrap()
    }

    /// Opens its line again.
    pub(crate) fn again(&mut self, hall: &Hall) {
        *self = Self::open(hall, &self.pass, &self.name);
    }

    /// Says that it goes, as a window does that is closed and not cut off.
    pub(crate) fn say_goodbye(&mut self) {
        let _ = self.line.stream().write_all(&GOODBYE);
    }

    /// Opens its line again where it was not read for some seconds.
    pub(crate) fn stay(&mut self, hall: &Hall) {
        if self.read.elapsed() > UNREAD {
            self.again(hall);
        }
    }

    /// Opens its line again where that bears no other message.
    pub(crate) fn make_room(&mut self, hall: &Hall) {
        if self.sent >= MOST_ON_A_LINE {
            self.again(hall);
        }
    }

    /// Sends a wish and waits for nothing; whether it went out.
    pub(crate) fn send(&mut self, hall: &Hall, wish: &Value, of: u64) -> bool {
        self.make_room(hall);
        self.sent += 1;
        let mut wish = wish.clone();
        wish["of"] = of.into();
        self.line.try_send(wish.to_string())
    }

    /// Sends wishes, each for a step, and gives the steps of those that were refused, when all were heard.
    pub(crate) fn batch(&mut self, hall: &Hall, wishes: &[(Value, u64)]) -> Vec<u64> {
        if self.sent + wishes.len() >= MOST_ON_A_LINE {
            self.again(hall);
        }
        self.stay(hall);
        for (wish, of) in wishes {
            assert!(self.send(hall, wish, *of));
        }
        assert!(self.send(hall, &json!({ "do": "undo" }), NEVER));
        let mut refused = Vec::new();
        loop {
            let message = self.line.next().expect("the line is closed");
            fits("to-panel", &message);
            if let Some(state) = message.get("state") {
                self.state = state.clone();
            } else {
                match message["of"].as_u64() {
                    Some(NEVER) => {
                        self.read = Instant::now();
                        return refused;
                    }
                    of => refused.push(of.unwrap_or_else(|| panic!("{message}"))),
                }
            }
        }
    }

    /// Waits for a code that it asked for.
    pub(crate) fn code(&mut self) -> String {
        self.line.wait(|message| {
            fits("to-panel", message);
            message["code"].as_str().map(str::to_owned)
        })
    }

    /// Waits until it shows what is wanted.
    pub(crate) fn until(&mut self, wanted: impl Fn(&Value) -> bool) {
        while !wanted(&self.state) {
            let message = self.line.next().unwrap_or_else(|| panic!("closed: {}", self.state));
            fits("to-panel", &message);
            if let Some(state) = message.get("state") {
                self.state = state.clone();
            }
            self.read = Instant::now();
        }
    }

    /// Waits until the wall shows what the step asks for.
    pub(crate) fn ready(&mut self) {
        self.until(|state| state["wall"]["ready"] == true);
    }

    /// Sends a wish about the step that is shown, and waits for the next one.
    pub(crate) fn wish(&mut self, hall: &Hall, wish: &Value) {
        let step = self.step();
        let mut whole = wish.clone();
        whole["of"] = step.into();
        fits("from-panel", &whole);
        let refused = self.batch(hall, &[(wish.clone(), step)]);
        assert!(refused.is_empty(), "{wish} is refused: {}", self.state);
        self.until(|state| state["step"].as_u64() > Some(step));
    }

    /// Cuts its line.
    pub(crate) fn cut(&mut self) {
        let _ = self.line.stream().shutdown(Shutdown::Both);
    }
}

/// A line to a server that sends back whatever it is sent, and does nothing else.
pub(crate) struct Echo {
    socket: Option<WebSocket<TcpStream>>,
    thread: Option<JoinHandle<()>>,
}

impl Echo {
    pub(crate) fn begin() -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let address = listener.local_addr().unwrap();
        let thread = std::thread::spawn(move || {
            let (stream, _) = listener.accept().unwrap();
            stream.set_nodelay(true).unwrap();
            let mut socket = tungstenite::accept(stream).unwrap();
            while let Ok(message) = socket.read() {
                if !message.is_text() || socket.send(message).is_err() {
                    return;
                }
            }
        });
        let stream = TcpStream::connect(address).unwrap();
        stream.set_nodelay(true).unwrap();
        let (socket, _) = tungstenite::client(format!("ws://{address}/"), stream).unwrap();
        Self { socket: Some(socket), thread: Some(thread) }
    }

    /// How long a message of some bytes takes there and back.
    pub(crate) fn time(&mut self, bytes: usize) -> Duration {
        let socket = self.socket.as_mut().unwrap();
        let begun = Instant::now();
        socket.send(Message::text("a".repeat(bytes))).unwrap();
        socket.read().unwrap();
        begun.elapsed()
    }
}

impl Drop for Echo {
    fn drop(&mut self) {
        self.socket = None;
        let _ = self.thread.take().unwrap().join();
    }
}

/// Chance: `SplitMix64`.
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below another.
    pub(crate) fn below(&mut self, number: usize) -> usize {
        usize::try_from(self.next() % number as u64).unwrap()
    }

    /// Whether something of a chance in hundred happens.
    pub(crate) fn percent(&mut self, chance: usize) -> bool {
        self.below(100) < chance
    }

    pub(crate) fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }
}
