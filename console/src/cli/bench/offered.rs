//! What a keypad that waits to be the shop's would be called.

use crate::cli::adoption::new_name;
use crate::keypad::{Bench, Now};

/// What the one on the line would be called; none where none waits.
pub(super) fn offered(bench: &mut Bench, now: Now) -> Option<String> {
    let keypad = bench.asking()?.clone();
    Some(new_name(&keypad, &bench.keypad_names(now)))
}
