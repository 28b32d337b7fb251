//! Work on two threads.

use std::{panic, thread};

/// Has `some` done for the numbers below `count` on two threads, every second one each, as neighbours take as long;
/// gives the answers in the order of the numbers. `some` answers every number that it is given, in order.
///
/// # Panics
/// When `some` does, on either thread.
pub(super) fn alternately<T: Send>(
    count: usize,
    some: impl Fn(&mut dyn Iterator<Item = usize>) -> Vec<T> + Sync,
) -> Vec<T> {
    let from = |first: usize| some(&mut (first..count).step_by(2));
    let (even, odd) = thread::scope(|scope| {
        let odd = scope.spawn(|| from(1));
        (from(0), odd.join().unwrap_or_else(|panicked| panic::resume_unwind(panicked)))
    });
    let (mut even, mut odd) = (even.into_iter(), odd.into_iter());
    (0..count).filter_map(|i| if i % 2 == 0 { even.next() } else { odd.next() }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_come_in_order_and_each_once() {
        for count in 0..7 {
            let all = alternately(count, |mine| mine.map(|i| 10 * i).collect());
            assert_eq!(all, (0..count).map(|i| 10 * i).collect::<Vec<_>>());
        }
    }

    #[test]
    #[should_panic(expected = "three")]
    fn a_panic_on_the_second_thread_is_not_swallowed() {
        alternately(5, |mine| mine.map(|i| assert_ne!(i, 3, "three")).collect());
    }
}
