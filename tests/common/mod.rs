//! Running the program as a person would, and rooms of a made-up practice to run it in.

#![allow(dead_code, reason = "each test file uses what it needs of this")]

pub(crate) mod bare;
pub(crate) mod browser;
pub(crate) mod focus;
pub(crate) mod form;
pub(crate) mod hall;
pub(crate) mod rooms;
pub(crate) mod slides;
pub(crate) mod terminal;
pub(crate) mod turns;
pub(crate) mod windows;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// Whether `EVENFIELD_NEED` lists something that is no crate.
pub(crate) fn is_needed(kind: &str) -> bool {
    std::env::var("EVENFIELD_NEED").unwrap_or_default().split(',').any(|need| need == kind)
}

/// Says that a test is skipped for want of something that is no crate, or stops where `EVENFIELD_NEED` lists it.
#[allow(clippy::print_stdout, reason = "a test says what it skips")]
pub(crate) fn skip(kind: &str, what: &str) {
    assert!(!is_needed(kind), "{what}: needed, but not there");
    println!("skipped: {what}: not there, or not asked for by EVENFIELD_NEED={kind}");
}

/// The table of 400 real EDID blocks that lies beside a developer's checkout; none if it is
/// missing, and then the test is skipped.
pub(crate) fn edid_table() -> Option<String> {
    let table = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/data/edid-sample.csv");
    let text = std::fs::read_to_string(&table).ok();
    if text.is_none() {
        skip("data", "the EDID blocks");
    }
    text
}

/// The blocks alone.
pub(crate) fn edid_blocks() -> Option<Vec<Vec<u8>>> {
    let text = edid_table()?;
    Some(text.lines().skip(1).map(|line| from_hex(line.split(',').next().unwrap())).collect())
}

pub(crate) fn from_hex(hex: &str) -> Vec<u8> {
    (0..hex.len()).step_by(2).map(|at| u8::from_str_radix(&hex[at..at + 2], 16).unwrap()).collect()
}

/// What an independent program prints about files on the desk; none, and the test is skipped, where it is not
/// installed.
pub(crate) fn asked(desk: &Desk, program: &str, words: &[&str]) -> Option<String> {
    match Command::new(program).args(words).current_dir(desk.folder.path()).output() {
        Ok(output) => {
            let said = String::from_utf8_lossy(&output.stdout).into_owned();
            assert!(output.status.success(), "{program} {words:?}: {said}");
            Some(said)
        }
        Err(_) => {
            skip("pdf", program);
            None
        }
    }
}

/// A folder of its own for one test, which goes with it.
pub(crate) struct Desk {
    folder: tempfile::TempDir,
}

/// How a run ended and what it said.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Run {
    /// What it said in one line, since sentences are folded for a terminal.
    pub(crate) fn said(&self) -> String {
        self.out.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

impl Desk {
    pub(crate) fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, text).unwrap();
        path
    }

    /// Runs `evenfield` in this folder with these words.
    pub(crate) fn run(&self, words: &str) -> Run {
        self.run_words(&words.split_whitespace().collect::<Vec<_>>())
    }

    pub(crate) fn run_words(&self, words: &[&str]) -> Run {
        let output = Command::new(env!("CARGO_BIN_EXE_evenfield"))
            .args(words)
            .current_dir(self.folder.path())
            .output();
        Run::from(output.unwrap())
    }

    /// The names of the files in this folder.
    pub(crate) fn files(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

impl From<Output> for Run {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code().expect("it was not killed"),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// What a short trial in the demo room prints, as a table or as JSON. It takes seconds, so it is run once for all tests.
pub(crate) fn trial(as_json: bool) -> &'static Run {
    static RUNS: [OnceLock<Run>; 2] = [const { OnceLock::new() }; 2];
    let words = if as_json { TRIAL.to_owned() + " --json" } else { TRIAL.to_owned() };
    RUNS[usize::from(as_json)].get_or_init(|| Desk::new().run(&words))
}

/// The command of that trial.
pub(crate) const TRIAL: &str = "balance --trial --runs 10";

/// A decoded PNG and what a copy of it must keep.
pub(crate) struct Png {
    pub(crate) pixels: image::RgbImage,
    pub(crate) pixels_a_metre: u32,
    pub(crate) json: Option<String>,
}

impl Png {
    pub(crate) fn read(path: &Path) -> Self {
        let file = std::io::BufReader::new(std::fs::File::open(path).unwrap());
        let mut reader = png::Decoder::new(file).read_info().unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut bytes).unwrap();
        let info = reader.info();
        let json = info
            .utf8_text
            .iter()
            .find(|chunk| chunk.keyword == "evenfield")
            .map(|chunk| chunk.get_text().unwrap());
        Self {
            pixels: image::RgbImage::from_raw(info.width, info.height, bytes).unwrap(),
            pixels_a_metre: info.pixel_dims.unwrap().xppu,
            json,
        }
    }

    /// The pixels of a file that says nothing else.
    pub(crate) fn read_bare(path: &Path) -> image::RgbImage {
        let file = std::io::BufReader::new(std::fs::File::open(path).unwrap());
        let mut reader = png::Decoder::new(file).read_info().unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut bytes).unwrap();
        image::RgbImage::from_raw(reader.info().width, reader.info().height, bytes).unwrap()
    }

    /// Writes the pixels alone, as a screenshot is.
    pub(crate) fn write_bare(&self, path: &Path) {
        let file = std::fs::File::create(path).unwrap();
        let mut encoder = png::Encoder::new(file, self.pixels.width(), self.pixels.height());
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_compression(png::Compression::Fast);
        encoder.write_header().unwrap().write_image_data(&self.pixels).unwrap();
    }

    /// Writes it as any other program would: its own compression, its own order of chunks.
    pub(crate) fn write(&self, path: &Path) {
        let mut encoder = png::Encoder::new(
            std::fs::File::create(path).unwrap(),
            self.pixels.width(),
            self.pixels.height(),
        );
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_compression(png::Compression::Fast);
        let dims = png::PixelDimensions {
            xppu: self.pixels_a_metre,
            yppu: self.pixels_a_metre,
            unit: png::Unit::Meter,
        };
        encoder.set_pixel_dims(Some(dims));
        let mut writer = encoder.write_header().unwrap();
        writer.write_image_data(&self.pixels).unwrap();
        if let Some(json) = &self.json {
            // Behind the pixels, and in the older kind of chunk.
            let chunk = png::text_metadata::TEXtChunk::new("evenfield", json.clone());
            writer.write_text_chunk(&chunk).unwrap();
        }
        writer.finish().unwrap();
    }
}

/// A small room whose light was measured.
pub(crate) const ROOM: &str = r#"
name = "Quillhaven practice, room 1"
[viewing]
distance_mm = 3000.0
[screen]
pixels = [1280, 800]
pitch_mm = 0.2746
[luminance]
red = 50.0
green = 170.0
blue = 18.0
black = 0.2
[ambient]
illuminance_lux = 3.0
screen_reflectance = 0.02
"#;
