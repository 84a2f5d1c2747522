//! Work that is done beside other work, on all cores.

/// Does something with each of these, each beside the others; what comes of it stands in their order.
///
/// Each has a thread of its own, so this is for a few pieces of some size.
///
/// # Panics
/// Where one of them does.
pub(crate) fn each<Item: Sync, Done: Send>(items: &[Item], work: impl Fn(&Item) -> Done + Sync) -> Vec<Done> {
    std::thread::scope(|scope| {
        let begun: Vec<_> = items.iter().map(|item| scope.spawn(|| work(item))).collect();
        begun
            .into_iter()
            .map(|done| done.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    })
}

/// The same where each makes several, or fails: all of them in order, or the first failure.
pub(crate) fn gathered<Item: Sync, Made: Send, Error: Send>(
    items: &[Item],
    work: impl Fn(&Item) -> Result<Vec<Made>, Error> + Sync,
) -> Result<Vec<Made>, Error> {
    let all = each(items, work).into_iter().collect::<Result<Vec<_>, _>>()?;
    Ok(all.into_iter().flatten().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_of_it_stands_in_the_order_of_the_items() {
        // The first one is done last.
        let waited = |millis: &u64| {
            std::thread::sleep(std::time::Duration::from_millis(*millis));
            2 * millis
        };
        assert_eq!(each(&[20, 0, 5], waited), [40, 0, 10]);
    }

    #[test]
    fn the_first_failure_is_told_of() {
        let halves = |number: &i32| if *number > 0 { Ok(vec![*number, -*number]) } else { Err(*number) };
        assert_eq!(gathered(&[2, 1], halves), Ok(vec![2, -2, 1, -1]));
        assert_eq!(gathered(&[2, -3, 1, -4], halves), Err(-3));
    }
}
