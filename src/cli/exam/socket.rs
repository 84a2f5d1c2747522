//! The line of each window: bounded messages in, states out.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use axum::extract::ws::{Message, WebSocket, WebSocketUpgrade};
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::Value;
use tokio::time::{interval, timeout};

use super::hall::Hall;
use super::message::{Code, FromPanel, ToPanel};
use super::pages::may;
use super::work::{Meaningless, refused};
use crate::exam::{Role, in_groups};

/// Maximum number of bytes of a message; the longest, a form with a label, has some 2000.
const MOST_BYTES: usize = 1 << 14;

/// Maximum number of messages in a second from one window, and how many it may save up. Nobody taps as fast.
const MOST_A_SECOND: f64 = 30.0;

/// For how long a window may take to read what it is sent.
const READS_WITHIN: Duration = Duration::from_secs(5);

/// How often a window is asked whether it is still there, and for how long it may stay silent.
const ASKED_EVERY: Duration = Duration::from_secs(4);
const SILENT_FOR: Duration = Duration::from_secs(10);

/// Maximum length of the name that a panel gives itself.
const MOST_OF_A_PANEL: usize = 64;

/// Windows are told apart by number.
static WINDOWS: AtomicU64 = AtomicU64::new(1);

#[derive(Deserialize)]
pub(super) struct As {
    r#as: String,
    /// The name of the page that opens it.
    #[serde(default)]
    page: String,
}

/// `GET /socket?as=wall`
pub(super) async fn open(
    State(hall): State<Arc<Hall>>,
    Query(wanted): Query<As>,
    headers: HeaderMap,
    upgrade: WebSocketUpgrade,
) -> Response {
    let role = Role::ALL.into_iter().find(|role| role.name() == wanted.r#as);
    // Browsers always say from which page a socket is opened.
    let from_a_page = headers.get(header::ORIGIN).is_some();
    let Some(role) = role.filter(|role| from_a_page && may(&hall, &headers, *role)) else {
        return (StatusCode::FORBIDDEN, "Type the code first.").into_response();
    };
    let Ok(place) = Arc::clone(&hall.places).try_acquire_owned() else {
        return (StatusCode::SERVICE_UNAVAILABLE, "Too many windows are open: close some.").into_response();
    };
    upgrade.max_message_size(MOST_BYTES).max_frame_size(MOST_BYTES).on_upgrade(async move |socket| {
        Window::new(hall, role, wanted.page, socket).run().await;
        drop(place);
    })
}

/// One window and its line.
struct Window {
    hall: Arc<Hall>,
    role: Role,
    page: String,
    socket: WebSocket,
    number: u64,
    /// The name that a panel gave itself.
    panel: Option<String>,
    /// What was sent last, so that the same is not sent again.
    sent: String,
    heard: Instant,
    /// How many messages it may still send.
    allowance: f64,
    is_over: bool,
}

impl Window {
    fn new(hall: Arc<Hall>, role: Role, page: String, socket: WebSocket) -> Self {
        Self {
            hall,
            role,
            page,
            socket,
            number: WINDOWS.fetch_add(1, Ordering::Relaxed),
            panel: None,
            sent: String::new(),
            heard: Instant::now(),
            allowance: MOST_A_SECOND,
            is_over: false,
        }
    }

    /// Until the window goes, or must go.
    async fn run(mut self) {
        let mut changes = self.hall.changes();
        let mut ticks = interval(ASKED_EVERY);
        if self.role == Role::Wall {
            self.hall.work().wall_came(self.number);
            self.hall.changed();
        }
        while !self.is_over {
            tokio::select! {
                message = self.socket.recv() => match message {
                    Some(Ok(message)) => self.hear(message).await,
                    Some(Err(_)) | None => break,
                },
                changed = changes.changed() => match changed {
                    Ok(()) => self.tell().await,
                    Err(_) => break,
                },
                _ = ticks.tick() => {
                    self.is_over = self.heard.elapsed() > SILENT_FOR;
                    self.send(Message::Ping(Vec::new().into())).await;
                }
            }
        }
        let was_wall = self.hall.work().wall_left(self.number);
        if was_wall {
            self.hall.changed();
        }
    }

    /// Sends, or gives the window up where it does not read in time.
    async fn send(&mut self, message: Message) {
        let sent = timeout(READS_WITHIN, self.socket.send(message)).await;
        self.is_over |= !matches!(sent, Ok(Ok(())));
    }

    async fn say(&mut self, said: ToPanel) {
        self.send(Message::Text(said.message().to_string().into())).await;
    }

    /// Sends what the window shows now, where that is not what it shows already.
    async fn tell(&mut self) {
        let shown = {
            let work = self.hall.work();
            match (self.role, &self.panel) {
                (Role::Wall, _) => work.for_wall(self.number, &self.page),
                (Role::Panel, Some(panel)) => work.for_panel(panel),
                (Role::Panel, None) => return,
            }
        };
        let text = shown.to_string();
        if text != self.sent {
            self.sent.clone_from(&text);
            self.send(Message::Text(text.into())).await;
        }
    }

    async fn hear(&mut self, message: Message) {
        let gained = self.heard.elapsed().as_secs_f64() * MOST_A_SECOND;
        self.heard = Instant::now();
        self.allowance = (self.allowance + gained).min(MOST_A_SECOND) - 1.0;
        let is_fine = self.allowance >= 0.0 && !matches!(message, Message::Close(_) | Message::Binary(_));
        self.is_over |= !is_fine;
        let Message::Text(text) = message else { return };
        if !is_fine {
            return;
        }
        match self.role {
            Role::Wall => self.hear_wall(&text),
            Role::Panel => self.hear_panel(&text).await,
        }
    }

    /// A wall that says what means nothing is not listened to any more: it is no page of this server.
    fn hear_wall(&mut self, text: &str) {
        let heard = self.hall.work().wall_says(self.number, text);
        match heard {
            Ok(true) => self.hall.changed(),
            Ok(false) => {}
            Err(Meaningless) => self.is_over = true,
        }
    }

    /// A panel names itself first; whatever means nothing is refused in a sentence, since a person may stand behind it.
    async fn hear_panel(&mut self, text: &str) {
        match serde_json::from_str(text) {
            Ok(FromPanel::Hello { hello }) if hello.len() <= MOST_OF_A_PANEL => {
                self.hall.work().panel_came(&hello);
                self.panel = Some(hello);
                self.tell().await;
            }
            Ok(FromPanel::Code { r#do: Code::Code }) if self.panel.is_some() => self.give_code().await,
            Ok(FromPanel::Wish(wish)) => self.wish(&wish).await,
            Ok(FromPanel::Hello { .. } | FromPanel::Code { .. }) | Err(_) => {
                let refused = refused("That message means nothing here.");
                self.say(ToPanel::Refused { refused, of: None }).await;
            }
        }
    }

    async fn give_code(&mut self) {
        let answer = match self.hall.new_code() {
            Ok(code) => ToPanel::Code { code: in_groups(&code), address: self.hall.addresses.panel() },
            Err(error) => ToPanel::Refused { refused: refused(&error.to_string()), of: None },
        };
        self.say(answer).await;
    }

    async fn wish(&mut self, wish: &Value) {
        let Some(panel) = &self.panel else { return };
        let taken = self.hall.work().wish(panel, wish);
        match taken {
            Ok(()) => self.hall.changed(),
            Err(refused) => self.say(ToPanel::Refused { refused, of: Some(wish["of"].clone()) }).await,
        }
    }
}
