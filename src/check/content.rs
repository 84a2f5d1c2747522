//! The instructions of a PDF's page, by the letter of their grammar (ISO 32000-1, 7.2, 7.8.2 and 8.5, from memory).
//!
//! A reader that meets a token it does not know may stop in silence where another paints on, so that both show another page.
//! What is not understood to the letter is refused here: every token, every count of operands, and where an operator stands.
//!
//! What is left is little: filled paths, opaque colours, moves, saved states, and words whose place is kept. So a page that shows
//! one thing in one viewer and another in the next does not get this far.

/// Maximum number of instructions; an honest near chart has about ten thousand.
const MOST_INSTRUCTIONS: usize = 300_000;

/// How deep states may be saved in one another.
const DEEPEST: usize = 32;

/// An instruction, its numbers and the name before it, empty where there is none.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Instruction {
    pub(super) operator: Operator,
    pub(super) numbers: Vec<f64>,
    pub(super) name: Vec<u8>,
    /// How many bytes a word is written with, which are at least as many as it has letters.
    pub(super) letters: usize,
}

/// What a measured page may say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Operator {
    Save,
    Restore,
    Transform,
    GraphicsState,
    FillRgb,
    FillGrey,
    MoveTo,
    LineTo,
    CurveTo,
    Close,
    Rectangle,
    Fill,
    EndPath,
    BeginText,
    EndText,
    Font,
    TextPlace,
    ShowText,
}

/// What stands before an operator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Operand {
    Number,
    Name,
    Text,
}

/// Each operator's name and what stands before it.
const OPERATORS: [(&[u8], Operator, &[Operand]); 19] = {
    use Operand::{Name, Number, Text};
    const SIX: &[Operand] = &[Number; 6];
    [
        (b"q", Operator::Save, &[]),
        (b"Q", Operator::Restore, &[]),
        (b"cm", Operator::Transform, SIX),
        (b"gs", Operator::GraphicsState, &[Name]),
        (b"rg", Operator::FillRgb, &[Number; 3]),
        (b"g", Operator::FillGrey, &[Number]),
        (b"m", Operator::MoveTo, &[Number; 2]),
        (b"l", Operator::LineTo, &[Number; 2]),
        (b"c", Operator::CurveTo, SIX),
        (b"h", Operator::Close, &[]),
        (b"re", Operator::Rectangle, &[Number; 4]),
        (b"f", Operator::Fill, &[]),
        (b"F", Operator::Fill, &[]),
        (b"n", Operator::EndPath, &[]),
        (b"BT", Operator::BeginText, &[]),
        (b"ET", Operator::EndText, &[]),
        (b"Tf", Operator::Font, &[Name, Number]),
        (b"Tm", Operator::TextPlace, SIX),
        (b"Tj", Operator::ShowText, &[Text]),
    ]
};

/// What was read since the operator before.
#[derive(Debug, Default)]
struct Operands {
    kinds: Vec<Operand>,
    numbers: Vec<f64>,
    name: Vec<u8>,
    letters: usize,
}

impl Operands {
    /// The instruction that they make with an operator's name.
    fn before(self, name: &[u8]) -> Result<Instruction, String> {
        let said = String::from_utf8_lossy(name);
        let Some((_, operator, wanted)) = OPERATORS.iter().find(|(one, _, _)| *one == name) else {
            return Err(format!(
                "its page has {said:?}, and only filled paths are measured: no lines, pictures, clips or other colours"
            ));
        };
        if self.kinds != *wanted {
            return Err(format!("its page has {said:?} with other operands than it takes"));
        }
        let Self { numbers, name, letters, .. } = self;
        Ok(Instruction { operator: *operator, numbers, name, letters })
    }
}

/// All instructions of a page.
///
/// # Errors
/// On the first token or operator that is not to the letter.
pub(super) fn instructions(bytes: &[u8]) -> Result<Vec<Instruction>, String> {
    let mut tokens = Tokens { bytes, at: 0 };
    let (mut all, mut state, mut operands) = (Vec::new(), State::default(), Operands::default());
    while let Some(token) = tokens.next()? {
        match token {
            Token::Number(number) => {
                operands.kinds.push(Operand::Number);
                operands.numbers.push(number);
            }
            Token::Name(name) => {
                operands.kinds.push(Operand::Name);
                operands.name = name.to_vec();
            }
            Token::Text(bytes) => {
                operands.kinds.push(Operand::Text);
                operands.letters = bytes;
            }
            Token::Operator(name) => {
                let instruction = std::mem::take(&mut operands).before(name)?;
                state.take(instruction.operator)?;
                all.push(instruction);
            }
        }
        if all.len() > MOST_INSTRUCTIONS || operands.kinds.len() > 8 {
            return Err("its page has more instructions than a chart".into());
        }
    }
    if !operands.kinds.is_empty() {
        return Err("its page ends within an instruction".into());
    }
    state.ended()?;
    Ok(all)
}

/// Where the page is: readers differ on operators out of place.
#[derive(Debug, Default)]
struct State {
    saved: usize,
    in_path: bool,
    in_text: bool,
}

impl State {
    fn take(&mut self, operator: Operator) -> Result<(), String> {
        use Operator::{
            BeginText, Close, CurveTo, EndPath, EndText, Fill, FillGrey, FillRgb, Font, GraphicsState,
            LineTo, MoveTo, Rectangle, Restore, Save, ShowText, TextPlace, Transform,
        };
        let allowed = match operator {
            LineTo | CurveTo | Close | Fill | EndPath => self.in_path,
            MoveTo | Rectangle => !self.in_text,
            Save | Restore | Transform | GraphicsState | BeginText => !self.in_path && !self.in_text,
            FillRgb | FillGrey | Font => !self.in_path,
            EndText | ShowText | TextPlace => self.in_text,
        };
        if !allowed {
            return Err("its page has an instruction where none of its kind may stand".into());
        }
        match operator {
            Save => self.saved += 1,
            Restore => self.saved = self.saved.checked_sub(1).ok_or("it restores what it did not save")?,
            MoveTo | Rectangle => self.in_path = true,
            Fill | EndPath => self.in_path = false,
            BeginText => self.in_text = true,
            EndText => self.in_text = false,
            Transform | GraphicsState | FillRgb | FillGrey | LineTo | CurveTo | Close | Font | TextPlace
            | ShowText => {}
        }
        if self.saved > DEEPEST {
            return Err(format!("its page saves more than {DEEPEST} states in one another"));
        }
        Ok(())
    }

    fn ended(&self) -> Result<(), String> {
        if self.in_path || self.in_text || self.saved > 0 {
            return Err("its page ends in the middle of something".into());
        }
        Ok(())
    }
}

enum Token<'a> {
    Number(f64),
    Name(&'a [u8]),
    /// With so many bytes.
    Text(usize),
    Operator(&'a [u8]),
}

struct Tokens<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Tokens<'a> {
    fn next(&mut self) -> Result<Option<Token<'a>>, String> {
        self.skip_space();
        let Some(first) = self.bytes.get(self.at).copied() else { return Ok(None) };
        Ok(Some(match first {
            b'(' => self.literal()?,
            b'<' => self.hexadecimal()?,
            b'/' => {
                self.at += 1;
                let name = self.word();
                if name.is_empty() {
                    return Err("its page has a name without letters".into());
                }
                Token::Name(name)
            }
            first if is_regular(first) => {
                let word = self.word();
                if first.is_ascii_digit() || matches!(first, b'+' | b'-' | b'.') {
                    Token::Number(number(word).ok_or_else(|| odd(word))?)
                } else {
                    Token::Operator(word)
                }
            }
            first => return Err(odd(&[first])),
        }))
    }

    fn skip_space(&mut self) {
        while let Some(byte) = self.bytes.get(self.at) {
            if *byte == b'%' {
                let rest = &self.bytes[self.at..];
                self.at += rest.iter().take_while(|byte| !matches!(byte, b'\n' | b'\r')).count();
            } else if is_space(*byte) {
                self.at += 1;
            } else {
                break;
            }
        }
    }

    /// Regular characters up to the next space or delimiter.
    fn word(&mut self) -> &'a [u8] {
        let rest = &self.bytes[self.at..];
        let long = rest.iter().take_while(|byte| is_regular(**byte)).count();
        self.at += long;
        &rest[..long]
    }

    /// A string in brackets, which may hold balanced ones.
    fn literal(&mut self) -> Result<Token<'a>, String> {
        let (mut depth, start) = (0_usize, self.at);
        while let Some(byte) = self.bytes.get(self.at) {
            self.at += 1;
            match byte {
                b'\\' => self.at += 1,
                b'(' => depth += 1,
                b')' => depth -= 1,
                _ => {}
            }
            if depth == 0 {
                return Ok(Token::Text(self.at - start));
            }
        }
        Err("its page ends within a string".into())
    }

    /// A string of hexadecimal digits.
    fn hexadecimal(&mut self) -> Result<Token<'a>, String> {
        self.at += 1;
        let rest = &self.bytes[self.at..];
        let long = rest.iter().take_while(|byte| byte.is_ascii_hexdigit() || is_space(**byte)).count();
        if rest.get(long) != Some(&b'>') {
            return Err("its page has a string that is not hexadecimal".into());
        }
        self.at += long + 1;
        Ok(Token::Text(long))
    }
}

fn odd(token: &[u8]) -> String {
    const MOST: usize = 20;
    let token = &token[..token.len().min(MOST)];
    format!("its page has {:?}, which is not understood", String::from_utf8_lossy(token))
}

/// An integer or a real: digits with at most one point, without exponent.
fn number(word: &[u8]) -> Option<f64> {
    let text = std::str::from_utf8(word).ok()?;
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let plain = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let points = digits.bytes().filter(|byte| *byte == b'.').count();
    if !plain || points > 1 || digits.len() == points {
        return None;
    }
    text.parse().ok().filter(|number: &f64| number.is_finite())
}

const fn is_space(byte: u8) -> bool {
    matches!(byte, 0 | b'\t' | b'\n' | 0xc | b'\r' | b' ')
}

const fn is_regular(byte: u8) -> bool {
    !is_space(byte) && !matches!(byte, b'(' | b')' | b'<' | b'>' | b'[' | b']' | b'{' | b'}' | b'/' | b'%')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_to_the_letter_is_read() {
        let page = b"q 1 0 0 -1 0 200. cm 0 .5 1 rg\n0 0 m 10 0 l 1 2 3 4 5 6 c h f Q % words\nBT /F1 9 Tf 1 0 0 1 5 5 Tm (a(b\\)c)) Tj <0a 1B> Tj ET 0 0 1 1 re n";
        let all = instructions(page).unwrap();
        assert_eq!(all.len(), 17);
        assert_eq!(
            all[1],
            Instruction {
                operator: Operator::Transform,
                numbers: vec![1.0, 0.0, 0.0, -1.0, 0.0, 200.0],
                name: Vec::new(),
                letters: 0
            }
        );
        assert_eq!(instructions(b"/a0 gs").unwrap()[0].name, b"a0");
        assert!(instructions(b"").unwrap().is_empty());
    }

    #[test]
    fn what_is_not_to_the_letter_is_refused() {
        for page in [
            &b"0 0 m 1 1 l f ]"[..],
            b">>",
            b")",
            b"{",
            b"}",
            b"<zz> Tj",
            b"<< >>",
            b"[(a)] TJ",
            b"0 0 m 14c f",
            b"0 0 0 m 1 1 l f",
            b"0 m 1 1 l f",
            b"1 1 l f",
            b"f",
            b"0 0 m 1 1 l",
            b"q",
            b"Q",
            b"0 0 m q 1 1 l f Q",
            b"BT BT ET ET",
            b"(a) Tj",
            b"BT (a Tj ET",
            b"BT 0 0 m ET",
            b"1 0 0",
            b"1..2 g",
            b"1e3 g",
            b"- g",
            b"0 g W n",
            b"/ gs",
            b"/a0 /a1 gs",
            b"0 0 m /a0 gs 1 1 l f",
            b"0 0 m 1 1 l S",
            b"\xff",
        ] {
            assert!(instructions(page).is_err(), "{}", String::from_utf8_lossy(page));
        }
    }
}
