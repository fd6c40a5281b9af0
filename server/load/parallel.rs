//! The same work on many things, over the cores there are.

use std::cmp::Reverse;
use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// What `work` gives for each of `items`, in their order. A panic of `work` is
/// passed on.
pub fn in_parallel<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let workers = thread::available_parallelism()
        .map_or(1, NonZero::get)
        .min(items.len());
    let next = AtomicUsize::new(0);
    let share = || {
        let mut done = Vec::new();
        while let Some((place, item)) = take(&next, items) {
            done.push((place, work(item)));
        }
        done
    };
    let mut done: Vec<(usize, R)> = thread::scope(|scope| {
        let threads: Vec<_> = (1..workers).map(|_| scope.spawn(share)).collect();
        let mut done = share();
        for thread in threads {
            let others = thread.join();
            done.extend(others.unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        done
    });
    done.sort_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, result)| result).collect()
}

/// As [`in_parallel`], the largest first, so that none is begun when the others are done.
pub(super) fn largest_first<T: Sync, R: Send>(
    items: &[T],
    size: impl Fn(&T) -> u64,
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let mut places: Vec<usize> = (0..items.len()).collect();
    places.sort_by_key(|place| Reverse(size(&items[*place])));
    let done = in_parallel(&places, |place| work(&items[*place]));
    let mut done: Vec<(usize, R)> = places.into_iter().zip(done).collect();
    done.sort_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, result)| result).collect()
}

fn take<'a, T>(next: &AtomicUsize, items: &'a [T]) -> Option<(usize, &'a T)> {
    let place = next.fetch_add(1, Ordering::Relaxed);
    Some((place, items.get(place)?))
}
