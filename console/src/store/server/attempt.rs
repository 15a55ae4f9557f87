//! An attempt that is waited for no longer than was said.
//!
//! The client limits how long a connection is waited for, but not what is said over it: a server that stands still takes
//! connections and answers none. So an attempt runs beside whoever waits for it. One that was given up ends when the
//! server goes on or the connection dies; until then the server is not asked anew, so that attempts do not pile up: whoever
//! comes meanwhile waits for its turn, as long as for an answer.

use std::collections::BTreeSet;
use std::sync::mpsc::channel;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

/// The servers that have not answered yet.
static UNANSWERED: Mutex<BTreeSet<String>> = Mutex::new(BTreeSet::new());

/// Tells that one of them has, or does not any more.
static ANSWERED: Condvar = Condvar::new();

/// What an attempt at `server` comes to, if it does within `time`.
pub(super) fn within<T: Send + 'static>(
    time: Duration,
    server: &str,
    attempt: impl FnOnce() -> T + Send + 'static,
) -> Option<T> {
    let (tell, told) = channel();
    let until = Instant::now() + time;
    let asked = Asked::of(server, time)?;
    let started = thread::Builder::new().name(format!("connects to {server}")).spawn(move || {
        let came_of_it = attempt();
        drop(asked);
        // Whoever waited may have given up.
        drop(tell.send(came_of_it));
    });
    started.ok()?;
    told.recv_timeout(until.saturating_duration_since(Instant::now())).ok()
}

/// A server that is being asked.
struct Asked(String);

impl Asked {
    /// None where it still is when the time is over.
    fn of(server: &str, time: Duration) -> Option<Self> {
        let waited = ANSWERED.wait_timeout_while(unanswered(), time, |asked| asked.contains(server));
        let (mut asked, _) = waited.unwrap_or_else(PoisonError::into_inner);
        asked.insert(server.to_owned()).then(|| Self(server.to_owned()))
    }
}

impl Drop for Asked {
    fn drop(&mut self) {
        unanswered().remove(&self.0);
        ANSWERED.notify_all();
    }
}

fn unanswered() -> MutexGuard<'static, BTreeSet<String>> {
    UNANSWERED.lock().unwrap_or_else(PoisonError::into_inner)
}
