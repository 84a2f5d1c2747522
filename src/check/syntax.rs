//! A PDF as a whole, by the letter of its grammar (ISO 32000-1, 7.2, 7.3 and 7.5, from memory): objects, the table of where
//! they begin, the trailer, and nothing between them.
//!
//! Readers mend what is damaged, each in its own way, and then show different pages. What is damaged is refused here.
//!
//! Numbers, names, strings, lists, dictionaries and streams are read to their ends and thrown away; all that is kept is where
//! objects begin, and which one is the root. The library that reads the file afterwards then meets nothing that it would mend.

/// How deep lists and dictionaries may lie in one another; a chart's do four deep.
const DEEPEST: usize = 16;

/// Maximum number of objects. A near chart has about thirty.
const MOST_OBJECTS: usize = 5_000;

/// The last bytes of a file.
const END: &[u8] = b"%%EOF";

/// Refuses a file with anything that is not to the letter; says which object its trailers name as the root of all.
pub(super) fn whole(file: &[u8]) -> Result<u32, String> {
    let mut reader = Reader { bytes: file, at: 0, roots: Vec::new() };
    let mut found = Found::default();
    if !file.starts_with(b"%PDF-") || !trimmed(file).ends_with(END) {
        return Err(NOT_WHOLE.into());
    }
    loop {
        reader.space_and_comments();
        if reader.at == file.len() {
            break;
        }
        if found.objects.len() > MOST_OBJECTS {
            return Err("it has more objects than a chart".into());
        }
        reader.part(&mut found).ok_or_else(|| damaged(reader.at))?;
    }
    found.agrees(file)?;
    match reader.roots.split_first() {
        Some((root, others)) if others.iter().all(|other| other == root) => Ok(*root),
        _ => Err(damaged(file.len())),
    }
}

const NOT_WHOLE: &str = "it is not a whole PDF";

fn damaged(at: usize) -> String {
    format!("its structure is damaged at byte {at}")
}

fn trimmed(bytes: &[u8]) -> &[u8] {
    bytes.trim_ascii_end()
}

/// What a file has, by where it begins.
#[derive(Default)]
struct Found {
    /// Number and place of each object.
    objects: Vec<(u32, usize)>,
    /// Number and place of each object as the tables have them.
    listed: Vec<(u32, usize)>,
    /// Where tables begin.
    tables: Vec<usize>,
    /// Where the file says that a table begins.
    starts: Vec<usize>,
}

impl Found {
    /// Whether each object stands once and where the tables have it, and the file ends by naming a table.
    fn agrees(&self, file: &[u8]) -> Result<(), String> {
        let mut numbers: Vec<u32> = self.objects.iter().map(|(number, _)| *number).collect();
        numbers.sort_unstable();
        if let Some(twice) = numbers.windows(2).find(|pair| pair[0] == pair[1]) {
            return Err(format!("its object {} stands twice", twice[0]));
        }
        if let Some((number, _)) = self.listed.iter().find(|one| !self.objects.contains(one)) {
            return Err(format!("its object {number} is not where its table has it"));
        }
        let is_table = |place: &usize| {
            self.tables.contains(place) || self.objects.iter().any(|(_, object)| object == place)
        };
        // A file that is made to be shown before it is there whole names nought first.
        let (last, before) = self.starts.split_last().ok_or(NOT_WHOLE)?;
        if !is_table(last) || !before.iter().all(|place| *place == 0 || is_table(place)) {
            return Err(damaged(file.len()));
        }
        Ok(())
    }
}

/// What a value is, as far as the structure needs it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Value {
    Whole(usize),
    Reference(u32),
    /// A dictionary, with the length that it gives the stream behind it.
    Dictionary(Option<Length>),
    Other,
}

/// How long a stream is, or which object says so.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Length {
    Bytes(usize),
    In(u32),
}

struct Reader<'a> {
    bytes: &'a [u8],
    at: usize,
    /// The roots that trailers name.
    roots: Vec<u32>,
}

/// White space, by Table 1.
const fn is_space(byte: u8) -> bool {
    matches!(byte, 0 | 9 | 10 | 12 | 13 | 32)
}

/// What ends a word, by Table 2.
const fn is_delimiter(byte: u8) -> bool {
    matches!(byte, b'(' | b')' | b'<' | b'>' | b'[' | b']' | b'{' | b'}' | b'/' | b'%')
}

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a [u8] {
        &self.bytes[self.at..]
    }

    fn space(&mut self) {
        self.at += self.rest().iter().take_while(|byte| is_space(**byte)).count();
    }

    fn space_and_comments(&mut self) {
        self.space();
        while self.rest().starts_with(b"%") {
            self.at += self.rest().iter().take_while(|byte| !matches!(byte, b'\r' | b'\n')).count();
            self.space();
        }
    }

    /// Takes these bytes, if they come next.
    fn take(&mut self, wanted: &[u8]) -> Option<()> {
        self.rest().starts_with(wanted).then(|| self.at += wanted.len())
    }

    /// Takes a word up to white space or a delimiter.
    fn word(&mut self) -> &'a [u8] {
        let rest = self.rest();
        let length = rest.iter().take_while(|byte| !is_space(**byte) && !is_delimiter(**byte)).count();
        self.at += length;
        &rest[..length]
    }

    /// Takes a word after white space.
    fn next_word(&mut self) -> &'a [u8] {
        self.space();
        self.word()
    }

    /// Takes a whole number after white space.
    fn whole(&mut self) -> Option<usize> {
        digits(self.next_word())
    }

    /// Takes an object, a table, a trailer or where a table begins.
    fn part(&mut self, found: &mut Found) -> Option<()> {
        let start = self.at;
        match self.word() {
            b"xref" => {
                found.tables.push(start);
                self.table(found)
            }
            b"trailer" => {
                self.space();
                matches!(self.value(0)?, Value::Dictionary(_)).then_some(())
            }
            b"startxref" => {
                found.starts.push(self.whole()?);
                self.space();
                self.rest().starts_with(END).then_some(())
            }
            number => {
                let number = u32::try_from(digits(number)?).ok()?;
                found.objects.push((number, start));
                self.object()
            }
        }
    }

    /// Takes an object behind its number.
    fn object(&mut self) -> Option<()> {
        // A file that was written once has objects of generation 0 alone.
        (self.whole()? == 0 && self.next_word() == b"obj").then_some(())?;
        self.space();
        let value = self.value(0)?;
        self.space();
        match (self.word(), value) {
            (b"endobj", _) => Some(()),
            (b"stream", Value::Dictionary(Some(length))) => self.stream(length),
            _ => None,
        }
    }

    /// Takes a stream of this length behind its word.
    fn stream(&mut self, length: Length) -> Option<()> {
        self.take(b"\r\n").or_else(|| self.take(b"\n"))?;
        let length = match length {
            Length::Bytes(length) => length,
            Length::In(object) => whole_object(self.bytes, object)?,
        };
        self.at = self.at.checked_add(length).filter(|end| *end < self.bytes.len())?;
        (self.next_word() == b"endstream" && self.next_word() == b"endobj").then_some(())
    }

    /// Takes a table of where objects begin: parts of entries of 20 bytes, each part behind its first number and its count.
    fn table(&mut self, found: &mut Found) -> Option<()> {
        self.space();
        while self.rest().first().is_some_and(u8::is_ascii_digit) {
            let (first, count) = (self.whole()?, self.whole()?);
            self.space();
            if first.max(count) > MOST_OBJECTS {
                return None;
            }
            for number in first..first + count {
                let entry = self.rest().get(..20)?;
                let place = digits(&entry[..10])?;
                let generation = digits(&entry[11..16])?;
                let ends =
                    entry[10] == b' ' && entry[16] == b' ' && entry[18..].iter().all(|byte| is_space(*byte));
                match (ends, entry[17]) {
                    (true, b'n') if generation == 0 => {
                        found.listed.push((u32::try_from(number).ok()?, place));
                    }
                    (true, b'f') => {}
                    _ => return None,
                }
                self.at += 20;
            }
            self.space();
        }
        Some(())
    }

    /// Takes a value.
    fn value(&mut self, depth: usize) -> Option<Value> {
        if depth > DEEPEST {
            return None;
        }
        match (self.rest().first()?, self.rest().get(1)) {
            (b'<', Some(b'<')) => self.dictionary(depth),
            (b'<', _) => self.hexadecimal(),
            (b'(', _) => self.text(),
            (b'[', _) => self.list(depth),
            (b'/', _) => self.name().map(|_| Value::Other),
            _ => self.plain(),
        }
    }

    fn dictionary(&mut self, depth: usize) -> Option<Value> {
        self.take(b"<<")?;
        let (mut names, mut length): (Vec<&[u8]>, _) = (Vec::new(), None);
        loop {
            self.space_and_comments();
            if self.take(b">>").is_some() {
                return Some(Value::Dictionary(length));
            }
            let name = self.name()?;
            self.space_and_comments();
            let value = self.value(depth + 1)?;
            if name == b"Length" {
                length = match value {
                    Value::Whole(bytes) => Some(Length::Bytes(bytes)),
                    Value::Reference(object) => Some(Length::In(object)),
                    Value::Dictionary(_) | Value::Other => return None,
                };
            }
            if name == b"Root" && depth == 0 {
                let Value::Reference(root) = value else { return None };
                self.roots.push(root);
            }
            if names.contains(&name) || names.len() > MOST_OBJECTS {
                return None;
            }
            names.push(name);
        }
    }

    fn list(&mut self, depth: usize) -> Option<Value> {
        self.take(b"[")?;
        loop {
            self.space();
            if self.take(b"]").is_some() {
                return Some(Value::Other);
            }
            self.value(depth + 1)?;
        }
    }

    /// Takes a name, whose letters are plain.
    fn name(&mut self) -> Option<&'a [u8]> {
        self.take(b"/")?;
        let name = self.word();
        (!name.is_empty() && name.iter().all(|byte| byte.is_ascii_graphic() && *byte != b'#')).then_some(name)
    }

    fn hexadecimal(&mut self) -> Option<Value> {
        self.take(b"<")?;
        let inner = |byte: &&u8| byte.is_ascii_hexdigit() || is_space(**byte);
        self.at += self.rest().iter().take_while(inner).count();
        self.take(b">").map(|()| Value::Other)
    }

    /// Takes a text in brackets, which may hold others in pairs.
    fn text(&mut self) -> Option<Value> {
        let (mut open, mut escaped) = (0, false);
        for byte in self.rest() {
            self.at += 1;
            match (escaped, byte) {
                (true, _) => escaped = false,
                (false, b'\\') => escaped = true,
                (false, b'(') => open += 1,
                (false, b')') => open -= 1,
                _ => {}
            }
            if open == 0 {
                return Some(Value::Other);
            }
        }
        None
    }

    /// Takes a number, a reference or one of three words.
    fn plain(&mut self) -> Option<Value> {
        let word = self.word();
        if matches!(word, b"true" | b"false" | b"null") {
            return Some(Value::Other);
        }
        let Some(number) = digits(word) else {
            return is_number(word).then_some(Value::Other);
        };
        let after = self.at;
        let generation = self.whole();
        if generation.is_some() && self.next_word() == b"R" {
            return u32::try_from(number).ok().filter(|_| generation == Some(0)).map(Value::Reference);
        }
        self.at = after;
        Some(Value::Whole(number))
    }
}

/// A number of digits alone.
fn digits(word: &[u8]) -> Option<usize> {
    let plain = !word.is_empty() && word.iter().all(u8::is_ascii_digit);
    std::str::from_utf8(word).ok().filter(|_| plain)?.parse().ok()
}

/// A number with a sign, a point or both.
fn is_number(word: &[u8]) -> bool {
    let digits = word.strip_prefix(b"-").or_else(|| word.strip_prefix(b"+")).unwrap_or(word);
    let points = digits.iter().filter(|byte| **byte == b'.').count();
    let plain = digits.iter().all(|byte| byte.is_ascii_digit() || *byte == b'.');
    plain && points <= 1 && digits.len() > points
}

/// The whole number that an object holds.
fn whole_object(file: &[u8], number: u32) -> Option<usize> {
    let head = format!("\n{number} 0 obj");
    let at = file.windows(head.len()).position(|part| part == head.as_bytes())?;
    let mut reader = Reader { bytes: file, at: at + head.len(), roots: Vec::new() };
    let whole = reader.whole()?;
    (reader.next_word() == b"endobj").then_some(whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The least file: a value as object 1, its table and its trailer.
    fn file(object: &str, before_table: &str) -> Vec<u8> {
        let head = format!("%PDF-1.7\n1 0 obj\n{object}\nendobj\n{before_table}");
        let table =
            "xref\n0 2\n0000000000 65535 f \n0000000009 00000 n \ntrailer\n<< /Size 2 /Root 1 0 R >>\n";
        format!("{head}{table}startxref\n{}\n%%EOF\n", head.len()).into_bytes()
    }

    #[test]
    fn values_to_the_letter_are_read() {
        for object in [
            "<< /A 1 /B [1 -2.5 .5 4. true null /N (a(b)\\)c) <0aF 1>] /C 1 0 R /D << >> >>",
            "<< /Length 5 >>\nstream\n) ] >\nendstream",
        ] {
            assert_eq!(whole(&file(object, "")), Ok(1), "{object}");
        }
        assert_eq!(whole(&file("<< /A 1 >>", "% a remark ] >>\n")), Ok(1));
    }

    #[test]
    fn what_is_not_to_the_letter_is_refused() {
        for object in [
            "<< /A 0 R >>",
            "<< /A 1 0 stream >>",
            "<< /A >>",
            "<< /A 1 2 >>",
            "<< A 1 >>",
            "<< /A 1 /A 2 >>",
            "<< /#41 1 >>",
            "[1 2",
            "[1 2 >",
            "(a",
            "<0g>",
            "1.2.3",
            "--1",
            "<< /A 1 >> junk",
            "<< /A 1 >> % remark\n",
            "<< /Length 4 >>\nstream\n) ] >\nendstream",
            "<< /Length 3 0 R >>\nstream\n) ] >\nendstream",
        ] {
            assert!(whole(&file(object, "")).is_err(), "{object}");
        }
        for junk in ["]", "1 0 obj null endobj", "junk", "<< >>", "trailer", "startxref 9", "2 0 obj null"] {
            assert!(whole(&file("null", &format!("{junk}\n"))).is_err(), "{junk}");
        }
        let deep = "[".repeat(100_000) + &"]".repeat(100_000);
        assert!(whole(&file(&deep, "")).is_err());
    }

    #[test]
    fn the_table_and_the_end_agree_with_the_file() {
        let good = String::from_utf8(file("null", "")).unwrap();
        for (from, to) in [
            ("0000000009 ", "0000000010 "),
            ("0 2\n", "0 3\n"),
            ("0 2\n", "1 2\n"),
            ("65535 f \n", "65535 g \n"),
            ("%PDF", "PDF"),
            ("%%EOF\n", "%%EOF\n1 0 obj"),
            ("/Root 1 0 R", "/Root 1"),
            ("/Root 1 0 R", "/Root 1 4 R"),
            ("1 0 obj", "1 9 obj"),
            ("09 00000 n", "09 00001 n"),
            ("/Root 1 0 R", ""),
            ("trailer\n", "trailer\n<< /Root 2 0 R >>\ntrailer\n"),
            ("startxref\n", "startxref\n1"),
        ] {
            let bad = good.replacen(from, to, 1);
            assert!(bad != good && whole(bad.as_bytes()).is_err(), "{from} {to}");
        }
    }

    #[test]
    fn damage_is_told_by_its_place() {
        let told = whole(&file("null", "]\n")).unwrap_err();
        let place =
            told.strip_prefix("its structure is damaged at byte ").unwrap_or_else(|| panic!("{told}"));
        // The object and its end take the first 9 + 8 + 5 + 7 bytes.
        assert!(place.parse::<usize>().unwrap() >= 29, "{told}");
    }

    #[test]
    fn a_streams_length_may_stand_in_an_object_of_its_own() {
        let stream = "<< /Length 2 0 R >>\nstream\n) ] >\nendstream";
        for (length, ok) in [("5", true), ("4", false), ("(5)", false), ("5 6", false)] {
            let read = whole(&file(stream, &format!("2 0 obj\n{length}\nendobj\n")));
            assert_eq!(read.is_ok(), ok, "{length}");
        }
    }

    #[test]
    fn every_space_of_a_table_is_one() {
        let good = String::from_utf8(file("null", "")).unwrap();
        for (from, to) in [
            ("0000000009 00000", "0000000009x00000"),
            ("00000 n", "00000xn"),
            ("00000 n \n", "00000 nx\n"),
            // A sign is no digit.
            ("0000000009 ", "+000000009 "),
        ] {
            let bad = good.replacen(from, to, 1);
            assert!(bad != good && whole(bad.as_bytes()).is_err(), "{from}");
        }
    }

    #[test]
    fn values_lie_sixteen_deep_in_one_another_and_no_deeper() {
        let lists = |deep: usize| "[".repeat(deep) + "1" + &"]".repeat(deep);
        let dictionaries = |deep: usize| "<< /A ".repeat(deep) + "1" + &" >>".repeat(deep);
        for of in [lists, dictionaries] {
            assert!(whole(&file(&of(DEEPEST), "")).is_ok());
            assert!(whole(&file(&of(DEEPEST + 1), "")).is_err());
        }
    }
}
