//! Files read on several threads: reading what is built in is most of what happens before a short list is searched.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{Builder, available_parallelism, scope};

/// What `read` makes of each, in their order. Where the system gives no more threads, this one reads them all.
pub fn side_by_side<T: Sync, R: Send>(all: &[T], read: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let share = || {
        let mut done = Vec::new();
        while let k = next.fetch_add(1, Ordering::Relaxed)
            && let Some(one) = all.get(k)
        {
            done.push((k, read(one)));
        }
        done
    };
    let threads = available_parallelism().map_or(1, usize::from);
    let mut done = scope(|scope| {
        let others: Vec<_> = (1..threads.min(all.len()))
            .filter_map(|_| Builder::new().spawn_scoped(scope, share).ok())
            .collect();
        let mut done = share();
        for other in others {
            done.extend(other.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        done
    });
    done.sort_unstable_by_key(|&(k, _)| k);
    done.into_iter().map(|(_, read)| read).collect()
}

#[cfg(test)]
mod tests {
    use super::side_by_side;

    #[test]
    fn results_come_in_the_order_of_what_was_read() {
        for many in [0, 1, 2, 3, 100] {
            let all: Vec<usize> = (0..many).collect();
            let doubled: Vec<usize> = all.iter().map(|k| 2 * k).collect();
            assert_eq!(side_by_side(&all, |k| 2 * k), doubled);
        }
    }
}
