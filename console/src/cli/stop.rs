//! How a command that runs on is ended.

use super::Failure;
use std::sync::atomic::{AtomicBool, Ordering};

/// Set by Ctrl-C, or by a signal that asks to end.
static STOP: AtomicBool = AtomicBool::new(false);

/// Has [`STOP`] set instead of the program ended.
pub(super) fn stop_on_signals() -> Result<&'static AtomicBool, Failure> {
    let handler = || STOP.store(true, Ordering::Relaxed);
    ctrlc::set_handler(handler).map_err(|e| Failure::Fault(format!("cannot listen for Ctrl-C: {e}")))?;
    Ok(&STOP)
}
