//! Files made to break the check: each gets its sentence or its verdict in bounded time and memory.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The memory that the check of any file may take, in KiB, as the guide for contributors states it: the largest picture that is
/// looked at has 2²⁶ pixels, which take 201 MB, and the lists of what differs from its fields take no more.
const MOST_RESIDENT_KIB: u64 = 512 << 10;

/// The address space that the program may take, in KiB: the program, its libraries and its threads' stacks reserve more than
/// they use.
const MOST_KIB: u32 = 2_000_000;

fn samples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/hostile");
    let mut all: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
    all.sort();
    all
}

/// Checks a file in bounded memory.
fn checked(path: &Path) -> std::process::Output {
    let script = format!("ulimit -v {MOST_KIB}; exec \"$0\" check \"$1\"");
    Command::new("sh").args(["-c", &script, env!("CARGO_BIN_EXE_evenfield")]).arg(path).output().unwrap()
}

#[test]
#[cfg(unix)]
fn each_gets_its_sentence_or_verdict() {
    assert_eq!(samples().len(), 9);
    for sample in samples() {
        let output = checked(&sample);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(!said.contains("panicked"), "{}: {said}", sample.display());
        if sample.extension().is_some_and(|ending| ending == "png") {
            // A picture can be measured, and fails.
            let report = String::from_utf8_lossy(&output.stdout);
            assert!(output.status.code() == Some(1) && report.contains("more marks than"), "{report}");
            continue;
        }
        assert_eq!(output.status.code(), Some(2), "{}: {said}", sample.display());
        assert_eq!(said.trim_end().lines().count(), 1, "{}: {said}", sample.display());
    }
}

/// Checks a file, and says how many KiB of memory that took at most, as the system counts them while it runs.
#[cfg(target_os = "linux")]
fn measured(path: &Path) -> (std::process::Output, u64) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_evenfield"))
        .arg("check")
        .arg(path)
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let status = format!("/proc/{}/status", child.id());
    let mut most = 0;
    while child.try_wait().unwrap().is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kib = line.and_then(|line| line.split_whitespace().next()?.parse().ok());
        most = most.max(kib.unwrap_or(0));
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    (child.wait_with_output().unwrap(), most)
}

/// A packed picture of these rows, whatever its head says of its size.
fn packed(size: [u32; 2], colour: png::ColorType, rows: impl Iterator<Item = Vec<u8>>) -> Vec<u8> {
    use std::io::Write;
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, size[0], size[1]);
    encoder.set_color(colour);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().unwrap();
    let mut stream = writer.stream_writer().unwrap();
    for row in rows {
        stream.write_all(&row).unwrap();
    }
    // What is missing at the end is missing on purpose.
    drop(stream);
    drop(writer);
    file
}

/// The stated bound, at pictures as large as any that are looked at and with as much on them as can be.
#[test]
#[cfg(target_os = "linux")]
fn a_file_of_a_very_large_picture_stays_within_the_stated_memory() {
    const SIZE: [u32; 2] = [16_384, 4_096];
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.png");
    let fields = |other: [u8; 3]| -> Vec<u8> {
        [[253, 0, 0], [0, 147, 0]]
            .into_iter()
            .flat_map(|field| [field, other].concat().repeat(4_096))
            .collect()
    };
    let half = |field: [u8; 3]| field.repeat(8_192);
    let bare = [half([253, 0, 0]), half([0, 147, 0])].concat();
    let dotted = (0..SIZE[1]).map(|y| if y % 2 == 0 { bare.clone() } else { fields([0; 3]) });
    let see_through = (0..SIZE[1]).map(|_| vec![255; 4 * 16_384]);
    for file in [packed(SIZE, png::ColorType::Rgb, dotted), packed(SIZE, png::ColorType::Rgba, see_through)] {
        assert!(file.len() < 64 << 20, "{} bytes hold much of the picture", file.len());
        std::fs::write(&path, &file).unwrap();
        let (output, most) = measured(&path);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{said}");
        // Its pixels at least were in memory, or nothing was measured.
        assert!((200_000..MOST_RESIDENT_KIB).contains(&most), "{most} KiB");
    }
}

/// What is refused is refused by its head.
#[test]
#[cfg(target_os = "linux")]
fn a_file_that_claims_to_be_huge_takes_no_memory() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("huge");
    for (bytes, what) in [
        (packed([100_000, 100_000], png::ColorType::Rgb, std::iter::empty()), "100000 × 100000 pixels"),
        (
            b"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1e9mm\" height=\"1e9mm\" viewBox=\"0 0 1e9 1e9\"/>"
                .to_vec(),
            "no length from 1 mm",
        ),
    ] {
        std::fs::write(&path, bytes).unwrap();
        let (output, most) = measured(&path);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.code() == Some(2) && said.lines().count() == 1 && said.contains(what), "{said}");
        assert!(most < 50_000, "{most} KiB for {what}");
    }
}

/// An SVG of 100 mm with this on its root and in it.
fn svg(on_root: &str, within: &str) -> Vec<u8> {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\"{on_root}>{within}</svg>")
        .into_bytes()
}

/// A PDF of one page, with these kids, this on the page and this to draw it, and a table of objects that says this.
fn pdf(kids: &str, on_page: &str, drawn: &[u8], size: &str) -> Vec<u8> {
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(drawn, 1);
    let stream = [
        format!("<< /Length {} /Filter /FlateDecode >>\nstream\n", packed.len()).into_bytes(),
        packed,
        b"\nendstream".to_vec(),
    ]
    .concat();
    let objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>".to_vec(),
        format!("<< /Type /Pages /Kids [{kids}] /Count 1 >>").into_bytes(),
        format!("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 300 300] /Contents 4 0 R {on_page}>>")
            .into_bytes(),
        stream,
    ];
    let (mut file, mut table) = (b"%PDF-1.7\n".to_vec(), format!("xref\n0 {size}\n0000000000 65535 f \n"));
    for (number, object) in objects.iter().enumerate() {
        table += &format!("{:010} 00000 n \n", file.len());
        file.extend(format!("{} 0 obj\n", number + 1).bytes().chain(object.iter().copied()));
        file.extend(b"\nendobj\n");
    }
    let end = file.len();
    file.extend(format!("{table}trailer\n<< /Size {size} /Root 1 0 R >>\nstartxref\n{end}\n%%EOF\n").bytes());
    file
}

/// Much more than the text of an honest file.
const PACKED_BYTES: usize = 256 << 20;

/// A PNG of one pixel with a packed text in a chunk of this kind.
fn png(kind: png::chunk::ChunkType, head: &[u8]) -> Vec<u8> {
    let text = miniz_oxide::deflate::compress_to_vec_zlib(&vec![b' '; PACKED_BYTES], 1);
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, 1, 1);
    encoder.set_color(png::ColorType::Rgb);
    let mut writer = encoder.write_header().unwrap();
    writer.write_chunk(kind, &[head, &text].concat()).unwrap();
    writer.write_image_data(&[255, 0, 0]).unwrap();
    writer.finish().unwrap();
    file
}

/// Entities that stand for ten of each other.
fn laughs() -> Vec<u8> {
    let entity = |number: u32| format!("<!ENTITY e{} \"{}\">", number + 1, format!("&e{number};").repeat(10));
    let entities: String = (0..10).map(entity).collect();
    let mut text = format!("<!DOCTYPE svg [<!ENTITY e0 \"ha\">{entities}]>").into_bytes();
    text.extend(svg("", "<desc>&e10;</desc>"));
    text
}

#[test]
#[cfg(unix)]
fn bombs_get_one_sentence_in_bounded_memory() {
    let folder = tempfile::tempdir().unwrap();
    let many = |one: &str, count: usize| one.repeat(count);
    let numbered = |head: &str, tail: &str, count: usize| -> String {
        (0..count).map(|number| format!(" {head}{number}=\"{tail}\"")).collect()
    };
    let rect = "<rect width=\"1\" height=\"1\" fill=\"#ff0000\"/>";
    for (name, bytes) in [
        ("namespaces", svg(&numbered("xmlns:n", "urn:x", 5000), "")),
        ("attributes", svg(&numbered("a", "1", 100_000), "")),
        ("rectangles", svg("", &many(rect, 10_000))),
        ("groups", svg("", &format!("{}<zz/>{}", many("<g>", 9_000), many("</g>", 9_000)))),
        ("more groups", svg("", &many("<g>", 1_000_000))),
        (
            "long path",
            svg("", &format!("<path fill=\"#ff0000\" d=\"M0 0{}Z\"/>", many("L1 1L0 1", 1_000_000))),
        ),
        ("laughs", laughs()),
        ("saved", pdf("3 0 R", "", &many("q ", 50 << 20).into_bytes(), "5")),
        ("saved less", pdf("3 0 R", "", &many("q ", 2 << 20).into_bytes(), "5")),
        ("kids", pdf("2 0 R", "", b"", "5")),
        ("arrays", pdf("3 0 R", &format!("/Group {}{}", many("[", 100_000), many("]", 100_000)), b"", "5")),
        (
            "dictionaries",
            pdf("3 0 R", &format!("/Group {}1{}", many("<</A ", 100_000), many(">>", 100_000)), b"", "5"),
        ),
        ("strings", pdf("3 0 R", "", &many("(", 2 << 20).into_bytes(), "5")),
        ("size", pdf("3 0 R", "/X 1 ", b"", "2147483647")),
    ] {
        let path = folder.path().join("bomb");
        std::fs::write(&path, bytes).unwrap();
        let output = checked(&path);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{name}: {said}");
        assert!(said.trim_end().lines().count() == 1 && !said.contains("panicked"), "{name}: {said}");
    }
}

#[test]
#[cfg(unix)]
fn a_picture_whose_text_unpacks_to_much_is_measured_without_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bomb.png");
    for (kind, head) in
        [(png::chunk::zTXt, &b"evenfield\0\0"[..]), (png::chunk::iTXt, b"evenfield\0\x01\0\0\0")]
    {
        std::fs::write(&path, png(kind, head)).unwrap();
        let output = checked(&path);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(matches!(output.status.code(), Some(1 | 2)) && !said.contains("panicked"), "{said}");
    }
}

#[test]
#[cfg(unix)]
fn a_picture_of_very_many_parts_is_refused_before_it_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("parts.png");
    for (kind, count, what) in [
        (png::chunk::tEXt, 1_500, "the number of its texts"),
        (png::chunk::ChunkType(*b"noTe"), 120_000, "the number of its parts"),
    ] {
        let mut file = Vec::new();
        let mut writer = png::Encoder::new(&mut file, 1, 1).write_header().unwrap();
        for _ in 0..count {
            writer.write_chunk(kind, b"a\0b").unwrap();
        }
        writer.write_image_data(&[0]).unwrap();
        drop(writer);
        std::fs::write(&path, file).unwrap();
        let output = checked(&path);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.code() == Some(2) && said.contains(what), "{what}: {said}");
    }
}
