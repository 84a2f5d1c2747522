//! A running wall that follows the terminal.

use std::error::Error;
use std::io::ErrorKind;
use std::net::TcpStream;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use clap::Args;
use serde::Deserialize;
use serde_json::{Value, json};
use tungstenite::client::IntoClientRequest;
use tungstenite::{Message, WebSocket, client};

use crate::balance::record::OnWall;
use crate::balance::{BinocularStep, Examination, FOGGED_LINES, LimitQuestion, Question, Stage};
use crate::exam::Wanted;
use crate::light::Side;

/// For how long the server may take to answer, and the wall to show what it was told; it changes at most once in 0.7 s.
const ANSWERS_WITHIN: Duration = Duration::from_secs(5);

/// How often it is looked whether something came or is to be said.
const LOOKS_EVERY: Duration = Duration::from_millis(20);

/// `--wall` and its code.
#[derive(Args)]
#[command(next_help_heading = "A wall that follows")]
pub(super) struct WallArgument {
    /// Let the wall of a running `evenfield exam` follow, by the address of its panel, such as `http://127.0.0.1:4714`
    #[arg(long, value_name = "ADDRESS", requires = "code")]
    wall: Option<String>,
    /// The code that `evenfield exam` shows
    #[arg(long, value_name = "CODE", requires = "wall")]
    code: Option<String>,
}

/// A wall that shows what a terminal asks for. Its line is read in a thread of its own, since the server wants to hear every
/// few seconds that somebody is still there, and a terminal waits for keys.
pub(super) struct Wall {
    to_say: Sender<Value>,
    seen: Arc<Mutex<Seen>>,
}

/// What came over the line.
#[derive(Debug, Default)]
struct Seen {
    step: u64,
    status: Status,
    /// Why the last wish was refused, or the line was lost.
    refused: Option<String>,
}

/// What a panel is told of the wall.
#[derive(Debug, Clone, Default, Deserialize)]
struct Status {
    ready: bool,
    words: String,
    #[serde(default)]
    shown: Option<OnWall>,
}

impl WallArgument {
    /// The wall, if one is to follow.
    pub(super) fn open(&self) -> Result<Option<Wall>, Box<dyn Error>> {
        let (Some(address), Some(code)) = (&self.wall, &self.code) else { return Ok(None) };
        Wall::open(address, code).map(Some)
    }
}

impl Wall {
    /// Comes in by the code, as a panel does, and takes over.
    fn open(address: &str, code: &str) -> Result<Self, Box<dyn Error>> {
        let refused = |why: &str| format!("--wall {address}: {why}");
        if address.starts_with("https://") {
            return Err(refused("a terminal reaches no exam that listens by TLS: begin it without --tls-cert, and give its http:// address").into());
        }
        let host = address.strip_prefix("http://").and_then(|rest| rest.split('/').next());
        let host = host.ok_or_else(|| {
            refused("is no address of a running exam: write it as its terminal shows it, such as http://127.0.0.1:4714")
        })?;
        let cookie = enter(host, code).map_err(|why| refused(&why))?;
        let unreachable = |_| refused("does not answer: is `evenfield exam` still running there?");
        let stream = TcpStream::connect(host).map_err(unreachable)?;
        stream.set_read_timeout(Some(ANSWERS_WITHIN))?;
        let mut request = format!("ws://{host}/socket?as=panel").into_client_request()?;
        request.headers_mut().insert("Cookie", cookie.parse()?);
        request.headers_mut().insert("Origin", format!("http://{host}").parse()?);
        let (socket, _) =
            client(request, stream).map_err(|_| refused("lets nobody in: take the newest code"))?;
        socket.get_ref().set_read_timeout(Some(LOOKS_EVERY))?;
        let (to_say, said) = channel();
        let wall = Self { to_say, seen: Arc::default() };
        let seen = Arc::clone(&wall.seen);
        std::thread::spawn(move || listen(socket, &said, &seen));
        wall.say(json!({ "hello": format!("terminal-{}", std::process::id()) }));
        wall.until(|seen| seen.step > 0)?;
        // Whoever begins a terminal with it wants it to command.
        wall.say(json!({ "do": "take-over", "of": 0 }));
        Ok(wall)
    }

    /// Shows what an examination asks for now, and waits until it is there.
    pub(super) fn show(&self, examination: &Examination) -> Result<(), Box<dyn Error>> {
        let (chart, before) = (wanted(examination), self.seen().step);
        let lit = chart.is_some();
        self.say(json!({ "do": "show", "of": before, "chart": chart }));
        self.until(|seen| seen.step > before && (!lit || (seen.status.ready && seen.status.shown.is_some())))
    }

    /// What the wall shows, where that is what it was told.
    pub(super) fn shown(&self) -> Result<OnWall, Box<dyn Error>> {
        let Status { ready, words, shown } = self.seen().status.clone();
        shown.filter(|_| ready).ok_or_else(|| format!("not counted: {words}").into())
    }

    fn seen(&self) -> MutexGuard<'_, Seen> {
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn say(&self, message: Value) {
        // Where nobody listens any more, that is seen by the one who waits.
        drop(self.to_say.send(message));
    }

    /// Waits until something is so; says what the wall does where it takes too long.
    fn until(&self, done: impl Fn(&Seen) -> bool) -> Result<(), Box<dyn Error>> {
        let begun = Instant::now();
        while begun.elapsed() < ANSWERS_WITHIN {
            {
                let mut seen = self.seen();
                if let Some(refused) = seen.refused.take() {
                    return Err(format!("the wall cannot follow: {refused}").into());
                }
                if done(&seen) {
                    return Ok(());
                }
            }
            std::thread::sleep(LOOKS_EVERY);
        }
        Err(format!("the wall does not follow: {}", self.seen().status.words).into())
    }
}

/// Reads what comes and says what is to be said, until nobody waits any more.
fn listen(mut socket: WebSocket<TcpStream>, said: &Receiver<Value>, seen: &Mutex<Seen>) {
    let waits = |error: &tungstenite::Error| {
        let tungstenite::Error::Io(error) = error else { return false };
        matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut)
    };
    loop {
        let heard = match socket.read() {
            Ok(Message::Text(text)) => seen.lock().unwrap_or_else(PoisonError::into_inner).hear(&text),
            Err(error) if !waits(&error) => Err(LOST.into()),
            Ok(_) | Err(_) => Ok(()),
        };
        let sent = match said.try_recv() {
            Ok(message) => socket.send(Message::Text(message.to_string().into())).map_err(|_| LOST.into()),
            Err(TryRecvError::Empty) => Ok(()),
            Err(TryRecvError::Disconnected) => return,
        };
        if let Err(why) = heard.and(sent) {
            seen.lock().unwrap_or_else(PoisonError::into_inner).refused = Some(why);
            return;
        }
    }
}

impl Seen {
    fn hear(&mut self, text: &str) -> Result<(), String> {
        let message: Value = serde_json::from_str(text).map_err(|_| LOST.to_owned())?;
        if let Some(refused) = message["refused"]["what"].as_str() {
            self.refused = Some(refused.to_owned());
        }
        if let Some(state) = message.get("state") {
            self.step = state["step"].as_u64().unwrap_or(self.step);
            self.status = Status::deserialize(&state["wall"]).map_err(|_| LOST.to_owned())?;
        }
        Ok(())
    }
}

const LOST: &str = "its program does not answer any more: see whether it still runs";

/// What an examination asks a wall to show; dark where nothing is looked at.
fn wanted(examination: &Examination) -> Option<Wanted> {
    let line = |log_mar: f64| format!("{log_mar}logmar");
    match examination.stage() {
        Stage::Ask(Question { line: asked, red, .. }) => {
            Some(Wanted { line: line(asked.to_log_mar()), white: false, red })
        }
        Stage::Limit(LimitQuestion { line: asked, .. }) => {
            Some(Wanted { line: line(asked.to_log_mar()), white: true, red: Side::Left })
        }
        stage if stage.is_read() => {
            let read = examination.read_before()?.line;
            // Both eyes are fogged while they are compared.
            let compares = stage == Stage::Binocular(BinocularStep::BalanceBetweenEyes);
            let shown = if compares { read.lines_above(FOGGED_LINES).unwrap_or(read) } else { read };
            Some(Wanted { line: line(shown.to_log_mar()), white: true, red: Side::Left })
        }
        Stage::Start
        | Stage::White
        | Stage::TooMuchMinus
        | Stage::Choose
        | Stage::OtherEye(_)
        | Stage::Binocular(_)
        | Stage::Closed => None,
    }
}

/// Gives a code at the door; the cookie, or why it was not let in.
fn enter(host: &str, code: &str) -> Result<String, String> {
    let answer = minreq::post(format!("http://{host}/door"))
        .with_header("Content-Type", "application/json")
        .with_header("Origin", format!("http://{host}"))
        .with_body(json!({ "code": code, "as": "panel" }).to_string())
        .with_timeout(ANSWERS_WITHIN.as_secs())
        .send()
        .map_err(|_| "does not answer: is `evenfield exam` still running there?".to_owned())?;
    let cookie = answer.headers.iter().find(|(name, _)| name.eq_ignore_ascii_case("set-cookie"));
    let cookie = cookie.and_then(|(_, value)| value.split(';').next()).map(ToOwned::to_owned);
    cookie.ok_or_else(|| {
        let said = serde_json::from_slice::<Value>(answer.as_bytes()).unwrap_or_default();
        said["refused"].as_str().unwrap_or("lets nobody in: is it `evenfield exam`?").to_owned()
    })
}
