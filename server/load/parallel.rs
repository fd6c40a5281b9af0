//! The same work on many things, over the cores there are.
//!
//! The threads are rayon's and stay: to start one costs as much as a small file.

use std::cmp::Reverse;

use rayon::iter::{
    IndexedParallelIterator, IntoParallelRefIterator, ParallelBridge, ParallelIterator,
};

/// What `work` gives for each of `items`, in their order. A panic of `work` is
/// passed on.
pub fn in_parallel<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    items.par_iter().with_max_len(1).map(&work).collect()
}

/// As [`in_parallel`], the largest first, so that none is begun when the others are done.
pub(super) fn largest_first<T: Sync, R: Send>(
    items: &[T],
    size: impl Fn(&T) -> u64,
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let mut places: Vec<usize> = (0..items.len()).collect();
    places.sort_by_key(|place| Reverse(size(&items[*place])));
    // A bridge hands them out in this order, one at a time.
    let done = places.into_iter().par_bridge();
    let mut done: Vec<(usize, R)> = done.map(|place| (place, work(&items[place]))).collect();
    done.sort_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, result)| result).collect()
}
