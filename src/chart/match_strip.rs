use super::FieldColours;

/// Steps of the match strip to either side of the room file's own green, and codes from one to the next (about 6 % of
/// light).
const STEPS_ASIDE: i16 = 4;
const CODES_A_STEP: i16 = 4;

/// The green codes of a room's match strip, from step 1 to 9; step 5 is the room file's own.
#[must_use]
pub fn match_steps(colours: &FieldColours) -> Vec<u8> {
    // Green may lie on either side.
    let own = i16::from(colours.right.unwrap_or(colours.left).codes[1].max(colours.left.codes[1]));
    let code = |step: i16| u8::try_from((own + step * CODES_A_STEP).clamp(1, 255)).unwrap_or(u8::MAX);
    (-STEPS_ASIDE..=STEPS_ASIDE).map(code).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Paint;

    #[test]
    fn the_strip_is_of_green_on_whichever_side_it_lies() {
        let [red, green] = [[253, 0, 0], [0, 147, 0]].map(|codes| Paint { codes });
        for (left, right) in [(red, green), (green, red)] {
            let steps = match_steps(&FieldColours { left, right: Some(right) });
            assert_eq!(steps, [131, 135, 139, 143, 147, 151, 155, 159, 163]);
        }
    }
}
