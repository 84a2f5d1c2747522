//! The server of an examination, and windows of it without a browser.

use std::io::{BufRead, BufReader, ErrorKind, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tungstenite::client::IntoClientRequest;
use tungstenite::{Message, WebSocket, client};

use super::Desk;

/// A running server.
pub(crate) struct Hall {
    child: Child,
    said: BufReader<ChildStdout>,
    /// `http://127.0.0.1:PORT`
    pub(crate) origin: String,
    /// The code that serves next.
    code: String,
    wall_page: OnceLock<String>,
}

/// A window that has been let in.
#[derive(Clone)]
pub(crate) struct Pass {
    pub(crate) name: String,
    pub(crate) value: String,
}

/// The line of a window.
pub(crate) struct Line(WebSocket<TcpStream>);

impl Hall {
    /// Begins one on a free port in a folder, with further arguments.
    pub(crate) fn begin(desk: &Desk, more: &str) -> Self {
        Self::at(desk, 0, more)
    }

    /// Begins one on a port.
    pub(crate) fn at(desk: &Desk, port: u16, more: &str) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_evenfield"))
            .args(["exam", "--json", "--port", &port.to_string()])
            .args(more.split_whitespace())
            .current_dir(desk.folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut said = BufReader::new(child.stdout.take().unwrap());
        let first = line(&mut said);
        let panel = first["panel"].as_str().unwrap_or_else(|| panic!("{first}"));
        let origin = panel.trim_end_matches("/panel").to_owned();
        Self { child, said, origin, code: first["code"].as_str().unwrap().into(), wall_page: OnceLock::new() }
    }

    pub(crate) fn port(&self) -> u16 {
        self.origin.rsplit(':').next().unwrap().parse().unwrap()
    }

    /// The code that serves now, without using it up.
    pub(crate) fn code(&self) -> &str {
        &self.code
    }

    /// What the door answers to a body, with an origin.
    pub(crate) fn knock(&self, body: &str, origin: &str) -> minreq::Response {
        minreq::post(format!("{}/door", self.origin))
            .with_header("Content-Type", "application/json")
            .with_header("Origin", origin)
            .with_body(body)
            .send()
            .unwrap()
    }

    /// Lets a window in as a wall or a panel.
    pub(crate) fn enter(&mut self, role: &str) -> Pass {
        let body = json!({ "code": self.code, "as": role }).to_string();
        let answer = self.knock(&body, &self.origin);
        assert_eq!(answer.status_code, 200, "{}", answer.as_str().unwrap());
        let cookie = answer.headers.iter().find(|(name, _)| name == "set-cookie").unwrap().1.clone();
        for needed in ["HttpOnly", "SameSite=Strict"] {
            assert!(cookie.contains(needed), "{cookie}");
        }
        self.code = line(&mut self.said)["code"].as_str().unwrap().into();
        let (name, value) = cookie.split(';').next().unwrap().split_once('=').unwrap();
        Pass { name: name.into(), value: value.into() }
    }

    /// Opens a line with a pass, an origin and a host.
    pub(crate) fn line_as(
        &self,
        role: &str,
        pass: &Pass,
        origin: &str,
        host: &str,
    ) -> Result<Line, tungstenite::Error> {
        let address = self.origin.replace("http", "ws");
        let mut request = format!("{address}/socket?as={role}").into_client_request().unwrap();
        let headers = request.headers_mut();
        headers.insert("Cookie", format!("{}={}", pass.name, pass.value).parse().unwrap());
        headers.insert("Origin", origin.parse().unwrap());
        headers.insert("Host", host.parse().unwrap());
        let stream = TcpStream::connect(("127.0.0.1", self.port())).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
        stream.set_nodelay(true).unwrap();
        match client(request, stream) {
            Ok((socket, _)) => Ok(Line(socket)),
            Err(tungstenite::HandshakeError::Failure(error)) => Err(error),
            Err(tungstenite::HandshakeError::Interrupted(_)) => panic!("the server does not answer"),
        }
    }

    /// Opens a line with a pass.
    pub(crate) fn line(&self, role: &str, pass: &Pass) -> Line {
        let host = self.origin.trim_start_matches("http://");
        let role = if role == "wall" { format!("wall&page={}", self.wall_page(pass)) } else { role.into() };
        self.line_as(&role, pass, &self.origin, host).unwrap()
    }

    /// What the wall's page names itself when it opens its line: what its content policy knows its script by.
    fn wall_page(&self, pass: &Pass) -> &str {
        self.wall_page.get_or_init(|| {
            let page = self.get("/wall", Some(pass)).as_str().unwrap().to_owned();
            page.split("'nonce-").nth(1).unwrap().split('\'').next().unwrap().to_owned()
        })
    }

    /// What a page answers to who has a pass, or to who has none.
    pub(crate) fn get(&self, path: &str, pass: Option<&Pass>) -> minreq::Response {
        let request = minreq::get(format!("{}{path}", self.origin));
        match pass {
            Some(pass) => request.with_header("Cookie", format!("{}={}", pass.name, pass.value)),
            None => request,
        }
        .send()
        .unwrap()
    }

    /// Sends bytes as they are, and gives all that comes back until the server closes.
    pub(crate) fn raw(&self, request: &str) -> String {
        let mut stream = self.connect();
        // The server may have closed before all was sent, which is an answer too.
        let _ = stream.write_all(request.as_bytes());
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        String::from_utf8_lossy(&answer).into_owned()
    }

    /// A connection on which nothing was sent yet.
    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port())).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
        stream
    }

    /// The largest amount of memory that it has had, in bytes.
    pub(crate) fn most_memory(&self) -> u64 {
        self.status("VmHWM") * 1024
    }

    /// The memory that it has now, in bytes.
    pub(crate) fn memory(&self) -> u64 {
        self.status("VmRSS") * 1024
    }

    /// How many threads it has, and how many files and sockets are open.
    pub(crate) fn threads_and_files(&self) -> [usize; 2] {
        ["task", "fd"].map(|which| std::fs::read_dir(self.system_says(which)).unwrap().count())
    }

    /// A number that the system tells of it.
    fn status(&self, name: &str) -> u64 {
        let status = std::fs::read_to_string(self.system_says("status")).unwrap();
        let line = status.lines().find(|line| line.starts_with(name)).unwrap();
        line.split_whitespace().nth(1).unwrap().parse().unwrap()
    }

    fn system_says(&self, what: &str) -> String {
        format!("/proc/{}/{what}", self.child.id())
    }

    /// Ends it as a power cut would.
    pub(crate) fn kill(mut self) -> u16 {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
        self.port()
    }
}

impl Drop for Hall {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        let _ = self.said.read_to_end(&mut Vec::new());
    }
}

fn line(said: &mut BufReader<ChildStdout>) -> Value {
    let mut line = String::new();
    said.read_line(&mut line).unwrap();
    serde_json::from_str(&line).unwrap_or_else(|error| panic!("{line:?}: {error}"))
}

impl Line {
    pub(crate) fn send(&mut self, message: &Value) {
        self.0.send(Message::Text(message.to_string().into())).unwrap();
    }

    /// Sends what may be refused by closing the line.
    pub(crate) fn try_send(&mut self, text: String) -> bool {
        self.0.send(Message::Text(text.into())).is_ok()
    }

    /// Sends a frame of another kind than text.
    pub(crate) fn try_frame(&mut self, frame: Message) -> bool {
        self.0.send(frame).is_ok()
    }

    /// Whether the server closes it within some seconds, whatever it says before that.
    pub(crate) fn is_closed(&mut self) -> bool {
        let begun = Instant::now();
        while begun.elapsed() < Duration::from_secs(10) {
            match self.0.read() {
                Ok(Message::Close(_)) => return true,
                Ok(_) => {}
                Err(tungstenite::Error::Io(error)) => {
                    return !matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut);
                }
                Err(_) => return true,
            }
        }
        false
    }

    /// Another hand on its stream, to cut it.
    pub(crate) fn stream(&self) -> TcpStream {
        self.0.get_ref().try_clone().unwrap()
    }

    /// The next message; none when the line is closed.
    pub(crate) fn next(&mut self) -> Option<Value> {
        let begun = Instant::now();
        loop {
            // The server asks every few seconds whether a window is there.
            // A wall that is dark may wait as long as a test takes on a busy machine.
            assert!(begun.elapsed() < Duration::from_secs(60), "no message comes");
            match self.0.read() {
                Ok(Message::Text(text)) => return Some(serde_json::from_str(&text).unwrap()),
                Ok(Message::Close(_)) | Err(_) => return None,
                Ok(_) => {}
            }
        }
    }

    /// The next message of which something is wanted.
    pub(crate) fn wait<T>(&mut self, wanted: impl Fn(&Value) -> Option<T>) -> T {
        loop {
            let message = self.next().expect("the line is closed");
            if let Some(found) = wanted(&message) {
                return found;
            }
        }
    }
}
