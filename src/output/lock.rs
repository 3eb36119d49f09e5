//! Locks on files, taken at once or told as taken.

use std::fs::{File, TryLockError};
use std::time::Duration;

/// How often a lock is tried, and how long is waited in between.
const TRIES: u32 = 20;
const BETWEEN: Duration = Duration::from_millis(25);

/// Locks a file. A lock that was given back is still held for a moment where another program is just being begun:
/// until it runs, it has a copy of every open file. So it is tried for half a second before it is told as taken.
///
/// # Errors
/// It is taken by another run, or it cannot be locked.
pub(super) fn lock(file: &File) -> Result<(), TryLockError> {
    for _ in 1..TRIES {
        match file.try_lock() {
            Err(TryLockError::WouldBlock) => std::thread::sleep(BETWEEN),
            done => return done,
        }
    }
    file.try_lock()
}
