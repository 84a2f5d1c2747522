//! A real terminal: a pseudo-terminal with the program in it, and the screen that a person would see.

use std::fs::File;
use std::io::{Read, Write};
use std::num::NonZero;
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{Winsize, tcsetwinsize};

/// How long a screen may take to show what it must.
const PATIENCE: Duration = Duration::from_secs(20);

pub(crate) struct Terminal {
    child: Child,
    keys: File,
    parser: Arc<Mutex<vt100::Parser>>,
    reader: JoinHandle<()>,
}

impl Terminal {
    /// Runs the program with arguments, in a folder, on a screen of this many rows and columns.
    pub(crate) fn run(arguments: &[&str], folder: &Path, [rows, columns]: [u16; 2]) -> Self {
        let ours = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).unwrap();
        grantpt(&ours).unwrap();
        unlockpt(&ours).unwrap();
        tcsetwinsize(&ours, Winsize { ws_row: rows, ws_col: columns, ws_xpixel: 0, ws_ypixel: 0 }).unwrap();
        let name = ptsname(&ours, Vec::new()).unwrap().into_string().unwrap();
        let theirs = || Stdio::from(File::options().read(true).write(true).open(&name).unwrap());
        let child = Command::new(env!("CARGO_BIN_EXE_evenfield"))
            .args(arguments)
            .current_dir(folder)
            .env("TERM", "xterm-256color")
            .stdin(theirs())
            .stdout(theirs())
            .stderr(theirs())
            .spawn()
            .unwrap();
        let keys = File::from(ours);
        let [high, wide] = [rows, columns].map(|count| NonZero::new(count).unwrap());
        let parser = Arc::new(Mutex::new(vt100::Parser::new(high, wide, 200)));
        let (mut from, into) = (keys.try_clone().unwrap(), Arc::clone(&parser));
        let reader = std::thread::spawn(move || {
            let mut part = [0; 4096];
            // The terminal is gone when its program is.
            while let Ok(read @ 1..) = from.read(&mut part) {
                into.lock().unwrap().process(&part[..read]);
            }
        });
        Self { child, keys, parser, reader }
    }

    /// What stands on the screen.
    pub(crate) fn screen(&self) -> String {
        self.parser.lock().unwrap().screen().contents()
    }

    /// Waits until the screen shows words, and gives all of it.
    pub(crate) fn wait_for(&self, words: &str) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if screen.split_whitespace().collect::<Vec<_>>().join(" ").contains(words) {
                return screen;
            }
            assert!(begun.elapsed() < PATIENCE, "{words:?} is not shown:\n{screen}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Waits until the screen shows one of these, and gives all of it.
    pub(crate) fn wait_for_one(&self, all: &[&str]) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if all.iter().any(|words| screen.contains(words)) {
                return screen;
            }
            assert!(begun.elapsed() < PATIENCE, "none of {all:?} is shown:\n{screen}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Presses keys.
    pub(crate) fn press(&mut self, keys: &str) {
        // As slowly as a patient answers: faster keys are taken for a held one.
        std::thread::sleep(Duration::from_millis(750));
        self.press_at_once(keys);
    }

    /// The same without a pause.
    pub(crate) fn press_at_once(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
    }

    /// Types a line once it is asked for.
    pub(crate) fn answer(&mut self, asked: &str, line: &str) {
        self.wait_for(asked);
        self.press_at_once(&format!("{line}\r"));
    }

    /// Stops the program at once, wherever it is.
    pub(crate) fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Waits for its end, and gives what stands on the screen then.
    pub(crate) fn end(mut self) -> (ExitStatus, String) {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                // What was written last may still be on its way; nothing more comes once nobody can write.
                self.reader.join().unwrap();
                return (status, self.parser.lock().unwrap().screen().contents());
            }
            assert!(begun.elapsed() < PATIENCE, "it does not end:\n{}", self.screen());
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Keeps the screen under a name, in the folder that `EVENFIELD_SHOTS` names, for people to look at.
    pub(crate) fn keep(&self, name: &str) {
        if let Some(folder) = std::env::var_os("EVENFIELD_SHOTS") {
            std::fs::write(Path::new(&folder).join(format!("{name}.txt")), self.screen()).unwrap();
        }
    }
}
