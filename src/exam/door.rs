//! Who may come in: codes that a person reads from the terminal or from a panel, and the passes that windows keep.

use std::time::Duration;

/// What a code is made of: digits and capitals that no one takes for another.
const SIGNS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

/// The length of a code in signs of five bits each. This project's own decision: at five guesses a minute the forty bits
/// last for some hundred thousand years.
const SIGNS_A_CODE: usize = 8;

/// For how long a code serves. This project's own decision.
const SERVES: Duration = Duration::from_secs(600);

/// As many wrong codes close the door.
const MOST_WRONG: u8 = 5;

/// For how long it stays closed then.
const CLOSED: Duration = Duration::from_secs(60);

/// Maximum number of passes; the oldest makes room. A practice has three or four windows.
const MOST_PASSES: usize = 32;

/// What a window is let in as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The patient's screen, which shows and says what it shows.
    Wall,
    /// The examiner's panel, which may open a wall as well.
    Panel,
}

impl Role {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Wall, Self::Panel];

    /// Its name in addresses.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Wall => "wall",
            Self::Panel => "panel",
        }
    }
}

/// What a window keeps as a cookie, so that it need not give a code again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pass(pub String);

/// Why nobody was let in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum DoorError {
    /// Not the code.
    #[error("that is not the code: read it from the terminal or from a panel, and type it again")]
    Wrong,
    /// It served already, or for too long.
    #[error("that code no longer serves: take the newest from the terminal or from a panel")]
    Over,
    /// Too many wrong codes.
    #[error("too many wrong codes: wait for a minute, then type the newest code")]
    Closed,
}

/// The door of one server. It knows no clock and no chance: moments count from when the server began, and random bytes
/// are handed to it.
///
/// ```
/// # use evenfield::exam::{Door, DoorError, Role};
/// # use std::time::Duration;
/// let (mut door, now) = (Door::default(), Duration::ZERO);
/// let code = door.new_code([7; 8], now).to_owned();
/// let pass = door.enter(&code, Role::Panel, [9; 32], now).unwrap();
/// assert!(door.lets_in(&pass.0, Role::Wall), "a panel may open a wall");
/// assert_eq!(door.enter(&code, Role::Panel, [1; 32], now), Err(DoorError::Over));
/// ```
#[derive(Debug, Clone, Default)]
pub struct Door {
    code: Option<(String, Duration)>,
    used: Vec<String>,
    wrong: u8,
    closed_until: Duration,
    passes: Vec<(String, Role)>,
}

impl Door {
    /// A new code in place of the one before, from random bytes.
    pub fn new_code(&mut self, random: [u8; SIGNS_A_CODE], now: Duration) -> &str {
        let sign = |byte: u8| char::from(SIGNS[usize::from(byte) % SIGNS.len()]);
        let before = self.code.replace((random.map(sign).iter().collect(), now));
        self.used.extend(before.map(|(code, _)| code));
        // Only to tell who types an old one what is wrong with it.
        let many = self.used.len().saturating_sub(MOST_PASSES);
        self.used.drain(..many);
        self.code.as_ref().map_or("", |(code, _)| code)
    }

    /// The code that serves now; none where it served already or for too long.
    #[must_use]
    pub fn code(&self, now: Duration) -> Option<&str> {
        self.code.as_ref().filter(|(_, made)| now < *made + SERVES).map(|(code, _)| code.as_str())
    }

    /// Lets a window in, once for a code.
    ///
    /// # Errors
    /// Where the code is wrong or no longer serves, and for a minute after five wrong ones.
    pub fn enter(
        &mut self,
        typed: &str,
        role: Role,
        random: [u8; 32],
        now: Duration,
    ) -> Result<Pass, DoorError> {
        if now < self.closed_until {
            return Err(DoorError::Closed);
        }
        let typed: String = typed.chars().filter(char::is_ascii_alphanumeric).collect();
        let typed = typed.to_ascii_uppercase();
        if self.code(now).is_some_and(|code| code == typed) {
            self.used.extend(self.code.take().map(|(code, _)| code));
            self.wrong = 0;
            return Ok(self.pass(role, random));
        }
        let is_over =
            self.used.contains(&typed) || self.code.as_ref().is_some_and(|(code, _)| *code == typed);
        self.wrong += 1;
        if self.wrong >= MOST_WRONG {
            (self.wrong, self.closed_until) = (0, now + CLOSED);
        }
        Err(if is_over { DoorError::Over } else { DoorError::Wrong })
    }

    fn pass(&mut self, role: Role, random: [u8; 32]) -> Pass {
        let token: String = random.iter().map(|byte| format!("{byte:02x}")).collect();
        if self.passes.len() >= MOST_PASSES {
            self.passes.remove(0);
        }
        self.passes.push((token.clone(), role));
        Pass(token)
    }

    /// Whether a window with this pass may be a wall or a panel: a panel may be either.
    #[must_use]
    pub fn lets_in(&self, token: &str, role: Role) -> bool {
        let held = self.passes.iter().find(|(pass, _)| pass == token).map(|(_, role)| *role);
        matches!((held, role), (Some(Role::Panel), _) | (Some(Role::Wall), Role::Wall))
    }
}

/// A code as people read it: two groups of four.
#[must_use]
pub fn in_groups(code: &str) -> String {
    let (one, other) = code.split_at(code.len() / 2);
    format!("{one} {other}")
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn second(count: u64) -> Duration {
        Duration::from_secs(count)
    }

    #[test]
    fn a_code_serves_once_and_for_ten_minutes() {
        let mut door = Door::default();
        let code = door.new_code([1, 2, 3, 4, 5, 6, 7, 8], second(0)).to_owned();
        assert_eq!(door.enter(&code, Role::Wall, [1; 32], second(600)), Err(DoorError::Over));
        let lower = format!(" {} ", in_groups(&code).to_lowercase());
        let pass = door.enter(&lower, Role::Wall, [1; 32], second(599)).unwrap();
        assert!(door.lets_in(&pass.0, Role::Wall) && !door.lets_in(&pass.0, Role::Panel));
        assert_eq!(door.enter(&code, Role::Wall, [2; 32], second(599)), Err(DoorError::Over));
        assert_eq!(door.code(second(599)), None);
        assert!(!door.lets_in("", Role::Wall) && !door.lets_in(&"0".repeat(64), Role::Wall));
    }

    #[test]
    fn five_wrong_codes_close_it_for_a_minute_even_for_the_right_one() {
        let mut door = Door::default();
        let code = door.new_code([9; 8], second(0)).to_owned();
        for _ in 0..5 {
            assert_eq!(door.enter("AAAA AAAA", Role::Panel, [1; 32], second(10)), Err(DoorError::Wrong));
        }
        assert_eq!(door.enter(&code, Role::Panel, [1; 32], second(69)), Err(DoorError::Closed));
        assert!(door.enter(&code, Role::Panel, [1; 32], second(70)).is_ok());
    }

    #[test]
    fn passes_are_bounded() {
        let mut door = Door::default();
        let mut first = None;
        for count in 0..=u8::try_from(MOST_PASSES).unwrap() {
            let code = door.new_code([count; 8], second(0)).to_owned();
            let pass = door.enter(&code, Role::Panel, [count; 32], second(0)).unwrap();
            first.get_or_insert(pass);
        }
        assert_eq!(door.passes.len(), MOST_PASSES);
        assert!(!door.lets_in(&first.unwrap().0, Role::Panel));
    }
}
