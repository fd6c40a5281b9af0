//! The same work on many things, over the cores there are.

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

fn take<'a, T>(next: &AtomicUsize, items: &'a [T]) -> Option<(usize, &'a T)> {
    let place = next.fetch_add(1, Ordering::Relaxed);
    Some((place, items.get(place)?))
}
