//! Stops a build in which a template of the shop's own does not come to an end, or takes all memory. The library that
//! renders cannot be stopped from within; a clock is used for this alone, and nothing that is written hangs on it.

use std::collections::BTreeMap;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// How much more memory than at the beginning a build with templates of the shop's own may take.
const MEMORY: u64 = 1 << 30;
/// How often it is looked at: what a template can take in this time is little beside the limit.
const LOOK: Duration = Duration::from_millis(50);

/// A watch over the pages that are being rendered.
pub(super) struct Watch {
    limit: Duration,
    stop: fn(&str),
    shared: Arc<Shared>,
}

#[derive(Default)]
struct Shared {
    state: Mutex<State>,
    ended: Condvar,
}

#[derive(Default)]
struct State {
    ended: bool,
    /// The pages that are being rendered, and since when.
    pages: BTreeMap<String, Instant>,
}

impl Shared {
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Watch {
    /// A watch that calls `stop` with the reason when a page takes longer than `limit`.
    pub(super) fn new(limit: Duration, stop: fn(&str)) -> Watch {
        Watch { limit, stop, shared: Arc::default() }
    }

    /// Begins to watch. `own`: the shop's own templates.
    pub(super) fn begin(&self, own: &[String]) {
        let (shared, limit, stop) = (Arc::clone(&self.shared), self.limit, self.stop);
        let own = own.join(", ");
        let begun = memory().unwrap_or(0);
        thread::spawn(move || {
            let mut state = shared.state();
            while !state.ended {
                let now = Instant::now();
                if let Some((page, _)) =
                    state.pages.iter().find(|(_, since)| now.duration_since(**since) > limit)
                {
                    let seconds = limit.as_secs();
                    stop(&reason(page, &format!("is not finished after {seconds} seconds"), &own));
                    return;
                }
                if memory().is_some_and(|now| now > begun.saturating_add(MEMORY)) {
                    // The one that has been at work for longest.
                    let oldest = state.pages.iter().min_by_key(|(_, since)| **since);
                    let page = oldest.map_or_else(String::new, |(page, _)| page.clone());
                    stop(&reason(&page, &format!("has taken {} GB of memory", MEMORY >> 30), &own));
                    return;
                }
                state = shared.ended.wait_timeout(state, LOOK).unwrap_or_else(PoisonError::into_inner).0;
            }
        });
    }

    pub(super) fn page_begun(&self, path: &str) {
        self.shared.state().pages.insert(path.to_owned(), Instant::now());
    }

    pub(super) fn page_done(&self, path: &str) {
        self.shared.state().pages.remove(path);
    }

    /// Ends the watch.
    pub(super) fn end(&self) {
        self.shared.state().ended = true;
        self.shared.ended.notify_all();
    }
}

fn reason(page: &str, problem: &str, own: &str) -> String {
    format!(
        "the page {page} {problem}: a template of the shop loops or grows. Nothing was published. Mend the template it \
         is made from; the shop's own are {own}"
    )
}

/// The memory this process holds, in bytes; `None` where the system does not tell.
fn memory() -> Option<u64> {
    memory_stats::memory_stats().map(|memory| memory.physical_mem as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_memory_is_known_here() {
        let before = memory().expect("this system tells");
        let block = vec![1u8; 64 << 20];
        let with_block = memory().expect("this system tells");
        assert!(
            block.iter().all(|byte| *byte == 1) && with_block > before + (32 << 20),
            "{before} {with_block}"
        );
    }
}
