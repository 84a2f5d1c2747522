//! Who gets into an examination and what a window may do to it: passes, names and pages of others, and bounds.

#![allow(clippy::print_stdout, reason = "what memory was needed is printed")]

use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tungstenite::Message;

use crate::common::bare::{Panel, Wall};
use crate::common::hall::{Hall, Line, Pass};
use crate::common::{Desk, ROOM};

/// What a server may need at most while windows misbehave, in bytes: some twice what it needed when this was written, and a
/// small part of what an office computer has.
const MOST_MEMORY: u64 = 60_000_000;

fn hall(desk: &Desk) -> Hall {
    desk.write("room.toml", ROOM);
    Hall::begin(desk, "--room room.toml --record r.jsonl")
}

fn header<'a>(answer: &'a minreq::Response, name: &str) -> &'a str {
    answer.headers.iter().find(|(one, _)| *one == name).map_or("", |(_, value)| value)
}

fn status(answer: &str) -> u16 {
    answer.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or_else(|| panic!("{answer:?}"))
}

/// Whether a line opens; otherwise with what status it was refused.
fn opens(line: Result<Line, tungstenite::Error>) -> Result<Line, u16> {
    line.map_err(|error| {
        let tungstenite::Error::Http(answer) = error else { panic!("{error}") };
        answer.status().as_u16()
    })
}

fn socket(hall: &Hall, role: &str, pass: &Pass) -> Result<Line, u16> {
    let host = hall.origin.trim_start_matches("http://");
    opens(hall.line_as(role, pass, &hall.origin, host))
}

/* The door */

#[test]
fn a_code_lets_one_window_in_and_five_wrong_ones_close_the_door() {
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let code = hall.code().to_owned();
    let knock = |hall: &Hall, code: &str| {
        let answer = hall.knock(&json!({ "code": code, "as": "wall" }).to_string(), &hall.origin);
        assert_eq!(header(&answer, "set-cookie").is_empty(), answer.status_code != 200);
        (answer.status_code, answer.as_str().unwrap().to_owned())
    };
    let refused = knock(&hall, "AAAA AAAA");
    assert!(refused.0 == 403 && refused.1.contains("not the code"), "{refused:?}");
    hall.enter("panel");
    let refused = knock(&hall, &code);
    assert!(refused.0 == 403 && refused.1.contains("no longer serves"), "{refused:?}");
    for _ in 0..4 {
        assert_eq!(knock(&hall, "AAAA AAAA").0, 403);
    }
    let right = hall.code().to_owned();
    let refused = knock(&hall, &right);
    assert!(refused.0 == 403 && refused.1.contains("wait for a minute"), "{refused:?}");
}

#[test]
fn without_a_pass_there_are_only_doors() {
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let (wall, panel) = (hall.enter("wall"), hall.enter("panel"));
    let text = |path: &str, pass: Option<&Pass>| hall.get(path, pass).as_str().unwrap().to_owned();
    let forged = Pass { name: panel.name.clone(), value: "0".repeat(64) };
    let elsewhere = Pass { name: "evenfield_1".into(), value: panel.value.clone() };
    for path in ["/", "/panel", "/wall", "/setup", "/teach", "/records", "/records/x.pdf"] {
        for pass in [None, Some(&forged), Some(&elsewhere)] {
            let door = text(path, pass);
            let role = if path == "/wall" { "wall" } else { "panel" };
            assert_eq!(door, evenfield_door(role), "{path}");
        }
    }
    for path in ["/practice", "/deck.pdf", "/card.pdf"] {
        for pass in [None, Some(&forged), Some(&elsewhere), Some(&wall)] {
            assert_eq!(hall.get(path, pass).status_code, 403, "{path}");
        }
    }
    // A wall may be opened with either pass; all else is the panel's.
    assert!(text("/wall", Some(&wall)).contains("evenfield: wall"));
    assert_eq!(text("/wall", Some(&wall)), text("/wall", Some(&panel)));
    assert_eq!(hall.get("/records/x.pdf", Some(&panel)).status_code, 404);
    assert_eq!(text("/records/x.pdf", Some(&wall)), evenfield_door("panel"));
    for pass in [&forged, &elsewhere] {
        assert_eq!(["wall", "panel"].map(|role| socket(&hall, role, pass).err()), [Some(403); 2]);
    }
    assert_eq!(socket(&hall, "panel", &wall).err(), Some(403));
    assert_eq!(socket(&hall, "guest", &panel).err(), Some(403));
    assert!(socket(&hall, "wall", &wall).is_ok() && socket(&hall, "panel", &panel).is_ok());
}

/// The door as the program draws it.
fn evenfield_door(role: &str) -> String {
    use evenfield::exam::Role;
    evenfield::web::door_page(if role == "wall" { Role::Wall } else { Role::Panel })
}

#[test]
fn a_pass_serves_at_its_own_server_only() {
    let (desk, other_desk) = (Desk::new(), Desk::new());
    let (mut one, mut other) = (hall(&desk), hall(&other_desk));
    let (pass, others) = (one.enter("panel"), other.enter("panel"));
    assert_ne!((&pass.name, &pass.value), (&others.name, &others.value));
    let renamed = Pass { name: others.name.clone(), value: pass.value.clone() };
    for pass in [&pass, &renamed] {
        assert_eq!(socket(&other, "panel", pass).err(), Some(403));
        assert_eq!(other.get("/records/x.pdf", Some(pass)).status_code, 200);
    }
    // A browser sends the cookies of both.
    let both =
        Pass { name: pass.name.clone(), value: format!("{}; {}={}", pass.value, others.name, others.value) };
    assert!(socket(&one, "panel", &both).is_ok() && socket(&other, "panel", &both).is_ok());
}

#[test]
fn what_comes_by_another_name_or_from_another_page_is_refused() {
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let pass = hall.enter("panel");
    let (own, port) = (hall.origin.clone(), hall.port());
    let host = own.trim_start_matches("http://").to_owned();
    for name in [
        "evil.example".to_owned(),
        format!("evil.example:{port}"),
        "127.0.0.1".into(),
        format!("127.0.0.1.evil.example:{port}"),
    ] {
        assert_eq!(opens(hall.line_as("panel", &pass, &own, &name)).err(), Some(403), "{name}");
        let cookie = format!("{}={}", pass.name, pass.value);
        let page = hall.raw(&format!(
            "GET /records HTTP/1.1\r\nHost: {name}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
        ));
        assert_eq!(status(&page), 403, "{page}");
    }
    assert_eq!(status(&hall.raw("GET /wall HTTP/1.0\r\n\r\n")), 403);
    let local = format!("localhost:{port}");
    assert!(opens(hall.line_as("panel", &pass, &format!("http://{local}"), &local)).is_ok());
    let body = json!({ "code": hall.code(), "as": "panel" }).to_string();
    for origin in [
        "http://evil.example",
        "null",
        "",
        &format!("http://127.0.0.1:{}", port ^ 1),
        &own.replace("http", "https"),
        "file://",
    ] {
        assert_eq!(opens(hall.line_as("panel", &pass, origin, &host)).err(), Some(403), "{origin:?}");
        assert_eq!(hall.knock(&body, origin).status_code, 403, "{origin:?}");
    }
    // Where no origin is said at all, there was no page.
    let post = format!(
        "POST /door HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    );
    assert_eq!(status(&hall.raw(&post)), 403);
    let upgrade = format!(
        "GET /socket?as=panel HTTP/1.1\r\nHost: {host}\r\nCookie: {}={}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\
         Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n",
        pass.name, pass.value
    );
    assert_eq!(status(&hall.raw(&format!("{upgrade}\r\n"))), 403);
    // A form of another page cannot say that it sends JSON.
    let form = post
        .replace("application/json", "text/plain")
        .replace("\r\nConnection", &format!("\r\nOrigin: {own}\r\nConnection"));
    assert_eq!(status(&hall.raw(&form)), 415);
    // None of them used the code up.
    hall.enter("panel");
}

/// What every answer tells a browser.
const SAID: [(&str, &str); 6] = [
    ("cache-control", "no-store"),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("x-frame-options", "DENY"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "content-security-policy",
        "default-src 'self' 'unsafe-inline' data: blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    ),
];

/// What the holder of a panel's pass asks for, and the status of the answer.
const ASKED: [(&str, &str, u16); 27] = [
    ("GET", "/", 200),
    ("GET", "/panel", 200),
    ("GET", "/wall", 200),
    ("GET", "/teach", 200),
    ("GET", "/records", 200),
    ("HEAD", "/wall", 200),
    ("HEAD", "/records", 200),
    ("PUT", "/wall", 405),
    ("DELETE", "/records/x.pdf", 405),
    ("BREW", "/panel", 405),
    ("OPTIONS", "/door", 405),
    ("POST", "/wall", 405),
    ("GET", "/door", 405),
    ("POST", "/door", 415),
    ("GET", "/nothing", 404),
    ("GET", "/wall/", 404),
    ("GET", "/socket", 400),
    ("GET", "/socket?as=panel", 400),
    ("GET", "/records/x", 404),
    ("GET", "/records/..%2f..%2fr.jsonl.pdf", 404),
    ("GET", "/records/../r.jsonl", 404),
    ("GET", "/records/%2e%2e/r.jsonl", 404),
    ("GET", "/records/r.jsonl", 404),
    ("GET", "//records", 404),
    ("GET", "/records/%00.pdf", 404),
    ("GET", "/records/%ff.pdf", 400),
    ("GET", "/../../../etc/passwd", 404),
];

#[test]
fn every_answer_forbids_to_keep_to_embed_and_to_ask_elsewhere() {
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let (wall, panel) = (hall.enter("wall"), hall.enter("panel"));
    let host = hall.origin.trim_start_matches("http://").to_owned();
    let cookie = format!("{}={}", panel.name, panel.value);
    for (method, path, expected) in ASKED {
        let answer = hall.raw(&format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
        ));
        assert_eq!(status(&answer), expected, "{method} {path}: {answer}");
        let (head, body) = answer.split_once("\r\n\r\n").unwrap();
        for (name, value) in SAID {
            assert!(
                head.contains(&format!("\r\n{name}: {value}\r\n"))
                    || head.ends_with(&format!("\r\n{name}: {value}")),
                "{method} {path}: {name}: {head}"
            );
        }
        assert!(method != "HEAD" || body.is_empty(), "{body}");
        assert!(expected == 200 || !body.contains("evenfield_balance"), "{body}");
    }
    let other = hall.raw("GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n");
    assert!(SAID.iter().all(|(name, value)| other.contains(&format!("\r\n{name}: {value}"))), "{other}");
    // What is no request gets no words at all.
    for (request, expected) in [
        ("nonsense\r\n\r\n".to_owned(), 400),
        (format!("GET / HTTP/1.1\r\nHost: {host}\r\nX: {}\r\n\r\n", "x".repeat(200_000)), 431),
    ] {
        let answer = hall.raw(&request);
        // A header may be so long that the server has closed before it was read.
        assert!(
            answer.is_empty() || (status(&answer) == expected && answer.ends_with("\r\n\r\n")),
            "{answer}"
        );
    }
    assert!(hall.get("/wall", Some(&wall)).as_str().unwrap().contains("default-src 'none'"));
}

#[test]
fn a_wall_never_learns_a_code() {
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let (wall, panel_pass) = (hall.enter("wall"), hall.enter("panel"));
    let mut heard: Vec<String> = ["/wall", "/", "/panel", "/records"]
        .map(|path| hall.get(path, Some(&wall)).as_str().unwrap().to_owned())
        .into();
    let mut line = hall.line("wall", &wall);
    let mut panel = Panel::open(&hall, &panel_pass, "one");
    // By asking for one itself as well, which costs it its line.
    let first = line.next().unwrap();
    panel.send(&hall, &json!({ "do": "code" }), 0);
    panel.send(&hall, &json!({ "do": "start", "eye": "right", "manifest": "-1.00", "for": "room", "acuity": "20/20", "kind": "presbyopic" }), panel.step());
    let second = line.next().unwrap();
    heard.extend([first.to_string(), second.to_string()]);
    assert!(second["picture"]["chart"].is_object(), "{second}");
    let given = panel.code();
    let mut other = hall.line("wall", &wall);
    heard.push(other.next().unwrap().to_string());
    other.send(&json!({ "do": "code" }));
    while let Some(message) = other.next() {
        heard.push(message.to_string());
    }
    for code in [hall.code(), &given, &given.replace(' ', "")] {
        assert!(heard.iter().all(|text| !text.contains(code)), "{code}");
    }
    // It served, so it was one.
    let answer = hall.knock(&json!({ "code": given, "as": "panel" }).to_string(), &hall.origin);
    assert_eq!(answer.status_code, 200);
}

/* Bounds */

fn start() -> Value {
    json!({ "do": "start", "eye": "right", "manifest": "-1.00/-0.50x90", "for": "room", "acuity": "20/20", "kind": "pseudophakic" })
}

/// Goes on with an examination to its end; "same" to everything.
fn finish(hall: &Hall, panel: &mut Panel) {
    for _ in 0..60 {
        panel.ready();
        let wish = match panel.state["stage"].as_str().unwrap() {
            "start" => start(),
            "ask" => json!({ "do": "answer", "answer": "same" }),
            "too_much_minus" => json!({ "do": "after-minus", "choice": "keep-manifest" }),
            "white" => json!({ "do": "white", "score": "20/20" }),
            "choose" => json!({ "do": "choose", "choice": "manifest" }),
            "closed" => return,
            _ => json!({ "do": "one-eye" }),
        };
        panel.wish(hall, &wish);
    }
    panic!("it does not end: {}", panel.state);
}

/// Does something to a line that no window does.
type Spoil<'a> = &'a dyn Fn(&mut Line) -> bool;

#[test]
fn a_window_that_misbehaves_loses_its_line_and_nobody_else_notices() {
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let (wall_pass, pass) = (hall.enter("wall"), hall.enter("panel"));
    let _wall = Wall::open(&hall, &wall_pass);
    let mut panel = Panel::open(&hall, &pass, "one");
    panel.ready();
    panel.wish(&hall, &start());
    let flood = |line: &mut Line, frame: &dyn Fn() -> Message| (0..10_000).all(|_| line.try_frame(frame()));
    let text = |text: &str| Message::text(text.to_owned());
    let spoils: [(&str, Spoil); 8] = [
        ("a message of 1 MB", &|line| line.try_frame(text(&"x".repeat(1_000_000)))),
        ("a field of 100 kB", &|line| {
            let mut form = start();
            (form["of"], form["label"]) = (1.into(), "x".repeat(100_000).into());
            line.try_send(form.to_string())
        }),
        ("bytes", &|line| line.try_frame(Message::binary(vec![0; 10]))),
        ("10,000 hellos", &|line| flood(line, &|| text(r#"{"hello":"x"}"#))),
        ("10,000 wishes", &|line| flood(line, &|| text(r#"{"do":"undo","of":1}"#))),
        ("10,000 empty messages", &|line| flood(line, &|| text(""))),
        ("10,000 pings", &|line| flood(line, &|| Message::Ping(vec![1; 100].into()))),
        ("10,000 pongs", &|line| flood(line, &|| Message::Pong(vec![1; 100].into()))),
    ];
    for (what, spoil) in spoils {
        for role in ["panel", "wall"] {
            let mut line = hall.line(role, &pass);
            if role == "panel" {
                line.send(&json!({ "hello": "bad" }));
            }
            spoil(&mut line);
            assert!(line.is_closed(), "a {role} sends {what}");
        }
    }
    for nonsense in [
        "{",
        "[1,2",
        "{\"said\":1}",
        "{\"pressed\":{}}",
        "null",
        &"[".repeat(16_000),
        &"{\"a\":".repeat(3_000),
    ] {
        let mut line = hall.line("wall", &pass);
        line.try_send(nonsense.to_owned());
        assert!(line.is_closed(), "a wall sends {nonsense}");
    }
    let memory = hall.most_memory();
    println!("after misbehaviour: {:.1} MB at most", memory as f64 / 1e6);
    assert!(memory < MOST_MEMORY, "{memory} bytes");
    // The last of them was the wall for a moment: the good one opens again, as its page does.
    let _wall = Wall::open(&hall, &wall_pass);
    panel.again(&hall);
    finish(&hall, &mut panel);
}

#[test]
fn what_a_panel_sends_amiss_is_refused_in_a_sentence_and_changes_nothing() {
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let pass = hall.enter("panel");
    let mut panel = Panel::open(&hall, &pass, "one");
    let (state, step) = (panel.state.clone(), panel.step());
    let mut line = hall.line("panel", &pass);
    line.send(&json!({ "hello": "one" }));
    line.next().unwrap();
    let long = "x".repeat(10_000);
    for text in [
        "{",
        "",
        "null",
        "[]",
        "7",
        "\"\u{0}\"",
        "{\"of\":1}",
        "{\"do\":\"undo\"}",
        "{\"do\":\"fly\",\"of\":1}",
        "{\"do\":\"undo\",\"of\":-1}",
        "{\"do\":\"undo\",\"of\":1e30}",
        "{\"do\":\"answer\",\"of\":1,\"answer\":\"both\"}",
        "{\"do\":\"missed\",\"of\":1,\"letter\":-1,\"missed\":true}",
        &format!("{{\"hello\":\"{long}\"}}"),
        &"[".repeat(16_000),
        &"{\"do\":".repeat(2_000),
    ] {
        line.try_send(text.to_owned());
        let refused = line.next().unwrap_or_else(|| panic!("{text}: closed"));
        assert_eq!(refused["refused"]["what"], "That message means nothing here.", "{text}");
    }
    let mut line = hall.line("panel", &pass);
    line.send(&json!({ "hello": "one" }));
    line.next().unwrap();
    for (field, value) in [
        ("label", long.as_str()),
        ("manifest", &long),
        ("acuity", "20/\u{202e}20"),
        ("eye", "third"),
        ("lines-above", "-1"),
    ] {
        let mut form = start();
        (form["of"], form[field]) = (step.into(), value.into());
        line.send(&form);
        let refused = line.next().unwrap();
        assert_eq!(refused["refused"]["field"], field, "{refused}");
    }
    panel.again(&hall);
    assert_eq!(panel.state, state);
    assert!(!desk.path("r.jsonl").exists());
}

/// Whether the server closes a connection, whatever it says before that.
fn closes(stream: &mut TcpStream) -> bool {
    let mut answer = Vec::new();
    stream
        .read_to_end(&mut answer)
        .map_or_else(|error| error.kind() == std::io::ErrorKind::ConnectionReset, |_| true)
}

#[test]
fn idle_and_slow_connections_hold_nobody_up() {
    /// What a server gives a connection to ask and to be answered, and as much again for a slow machine.
    const CLOSED_WITHIN: Duration = Duration::from_secs(20);
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let host = hall.origin.trim_start_matches("http://").to_owned();
    let begun = Instant::now();
    let mut slow: Vec<TcpStream> = (0..500).map(|_| hall.connect()).collect();
    let head = format!(
        "POST /door HTTP/1.1\r\nHost: {host}\r\nOrigin: {}\r\nContent-Type: application/json\r\n",
        hall.origin
    );
    for (count, part) in [
        (100, head.clone()),
        (50, format!("{head}Content-Length: 60\r\n\r\n{{\"code\":")),
        (50, "GET /wall HTTP/1.1\r\nHos".into()),
    ] {
        slow.extend((0..count).map(|_| {
            let mut stream = hall.connect();
            stream.write_all(part.as_bytes()).unwrap();
            stream
        }));
    }
    let (wall_pass, pass) = (hall.enter("wall"), hall.enter("panel"));
    let _wall = Wall::open(&hall, &wall_pass);
    let mut panel = Panel::open(&hall, &pass, "one");
    finish(&hall, &mut panel);
    println!("an examination beside {} slow connections: {:?}", slow.len(), begun.elapsed());
    for stream in &mut slow {
        assert!(closes(stream));
    }
    let took = begun.elapsed();
    assert!(took < CLOSED_WITHIN, "{took:?}");
    let memory = hall.most_memory();
    println!("closed after {took:?}; {:.1} MB at most", memory as f64 / 1e6);
    assert!(memory < MOST_MEMORY, "{memory} bytes");
}

#[test]
fn a_window_that_never_reads_holds_nobody_up() {
    /// As many states as no socket's buffers take.
    const TURNS: usize = 1500;
    /// After as long a window that says nothing is taken for gone.
    const GONE_AFTER: Duration = Duration::from_secs(15);
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let (wall_pass, pass) = (hall.enter("wall"), hall.enter("panel"));
    let _wall = Wall::open(&hall, &wall_pass);
    let mut panel = Panel::open(&hall, &pass, "one");
    panel.ready();
    panel.wish(&hall, &start());
    let mut deaf: Vec<Line> = (0..3)
        .map(|_| {
            let mut line = hall.line("panel", &pass);
            line.send(&json!({ "hello": "deaf" }));
            line
        })
        .collect();
    let mut longest = Duration::ZERO;
    for turn in 0..TURNS {
        let (begun, on) = (Instant::now(), turn % 2 == 0);
        let step = panel.step();
        panel.send(&hall, &json!({ "do": "dark-between", "on": on }), step);
        panel.until(|state| state["darkBetween"] == on);
        longest = longest.max(begun.elapsed());
    }
    println!(
        "{TURNS} states, the slowest after {longest:?}; {:.1} MB at most",
        hall.most_memory() as f64 / 1e6
    );
    // The server waits five seconds for one that does not read, and asks every four whether it is there.
    assert!(longest < Duration::from_secs(4), "{longest:?}");
    finish(&hall, &mut panel);
    std::thread::sleep(GONE_AFTER);
    assert!(deaf.iter_mut().all(Line::is_closed));
    let memory = hall.most_memory();
    assert!(memory < MOST_MEMORY, "{memory} bytes");
}

#[test]
fn windows_are_counted() {
    /// As the server has it.
    const MOST_WINDOWS: usize = 64;
    let desk = Desk::new();
    let mut hall = hall(&desk);
    let pass = hall.enter("panel");
    let mut lines: Vec<Line> =
        (0..MOST_WINDOWS).map(|_| socket(&hall, "panel", &pass).ok().unwrap()).collect();
    assert_eq!(socket(&hall, "panel", &pass).err(), Some(503));
    lines.pop();
    let again = (0..200).any(|_| {
        std::thread::sleep(Duration::from_millis(10));
        socket(&hall, "panel", &pass).is_ok()
    });
    assert!(again, "a place that is free again is given again");
}
