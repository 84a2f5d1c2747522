//! Numbers and path data by the letter of their grammar: what another reader may understand otherwise is refused.

/// A number by the grammar of SVG 2 (CSS): digits, a point only before further digits, an exponent of digits. Neither
/// "1." nor "inf" is one.
pub(super) fn number(text: &str) -> Option<f64> {
    let (taken, number) = leading(text)?;
    (taken == text.len()).then_some(number)
}

/// A share of full drive as a code.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and 255")]
pub(super) fn code(share: f64) -> u8 {
    (share * 255.0).round().clamp(0.0, 255.0) as u8
}

/// Numbers between which white space stands, and at most one comma.
pub(super) fn numbers(text: &str) -> Option<Vec<f64>> {
    let mut all = Vec::new();
    let mut rest = text.trim_matches(SPACE);
    while !rest.is_empty() {
        let (taken, number) = leading(rest)?;
        all.push(number);
        rest = after_gap(&rest[taken..])?;
    }
    Some(all)
}

/// Whether path data is written to the letter, of straight lines and Bézier curves alone.
///
/// Arcs are refused, since their flags may be written without gaps, which readers split differently.
pub(super) fn is_path(data: &str) -> bool {
    let mut rest = data.trim_matches(SPACE);
    let mut is_first = true;
    while let Some(command) = rest.chars().next() {
        let Some(each) = numbers_a_step(command) else { return false };
        // A path begins somewhere.
        if is_first && !matches!(command, 'M' | 'm') {
            return false;
        }
        is_first = false;
        let body = &rest[command.len_utf8()..];
        let end = body.find(|letter: char| numbers_a_step(letter).is_some()).unwrap_or(body.len());
        let Some(given) = numbers(&body[..end]) else { return false };
        let whole = if each == 0 { given.is_empty() } else { !given.is_empty() && given.len() % each == 0 };
        if !whole {
            return false;
        }
        rest = &body[end..];
    }
    true
}

/// White space of SVG.
pub(super) const SPACE: [char; 5] = [' ', '\t', '\n', '\r', '\u{c}'];

/// How many numbers a command of a path takes at a time.
const fn numbers_a_step(command: char) -> Option<usize> {
    Some(match command.to_ascii_uppercase() {
        'Z' => 0,
        'H' | 'V' => 1,
        'M' | 'L' | 'T' => 2,
        'S' | 'Q' => 4,
        'C' => 6,
        _ => return None,
    })
}

/// The number with which a text begins, and how many bytes it takes.
fn leading(text: &str) -> Option<(usize, f64)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let mut at = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let whole = digits(at);
    at += whole;
    if bytes.get(at) == Some(&b'.') {
        let fraction = digits(at + 1);
        if fraction == 0 {
            return None;
        }
        at += 1 + fraction;
    } else if whole == 0 {
        return None;
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        let exponent = digits(at + 1 + sign);
        if exponent == 0 {
            return None;
        }
        at += 1 + sign + exponent;
    }
    let number: f64 = text[..at].parse().ok()?;
    number.is_finite().then_some((at, number))
}

/// What stands behind a gap between two numbers: none where a comma ends the text or two follow each other.
fn after_gap(text: &str) -> Option<&str> {
    let rest = text.trim_start_matches(SPACE);
    match rest.strip_prefix(',') {
        None => Some(rest),
        Some(after) => {
            let after = after.trim_start_matches(SPACE);
            (!after.is_empty() && !after.starts_with(',')).then_some(after)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From the grammars of SVG 2, 9.3.9, and CSS Syntax 3, 4.3.12 (from memory).
    #[test]
    fn numbers_are_read_to_the_letter() {
        for (text, value) in [("1", 1.0), ("-1.5", -1.5), (".5", 0.5), ("+2e-1", 0.2), ("1E2", 100.0)] {
            assert!(number(text).is_some_and(|one| (one - value).abs() < 1e-12), "{text}");
        }
        for refused in ["", "1.", ".", "-", "1e", "1e+", "inf", "NaN", "0x1", "1 ", "1,5", "1e999", "--1"] {
            assert_eq!(number(refused), None, "{refused}");
        }
        assert_eq!(numbers(" 0 0,5 -1 , 2-3 "), Some(vec![0.0, 0.0, 5.0, -1.0, 2.0, -3.0]));
        for refused in ["1,,2", ",1", "1,", "1 x 2", "0 0 5 5 junk"] {
            assert_eq!(numbers(refused), None, "{refused}");
        }
    }

    #[test]
    fn paths_are_read_to_the_letter() {
        for path in
            ["M0 0L1 1", "M 0,0 h1v-1.5 z", "m0-.5.5-1e1 C1 2 3 4 5 6 7 8 9 10 11 12Z", "M0 0Zm1 1l2 2z", ""]
        {
            assert!(is_path(path), "{path}");
        }
        for refused in
            ["L1 1", "M0", "M0 0L1", "M0 0 A1 1 0 0 1 2 2", "M0 0 z1", "M0 0 x", "M0 0L1. 1", "M0 0L", "0 0"]
        {
            assert!(!is_path(refused), "{refused}");
        }
    }
}
