//! A process as the system sees it, and what it leaves behind.

use crate::shop::assert_whole;
use bevelbook::keypad::open_memory;
use bevelbook_tests::Shop;
use std::fs;
use std::process::Command;
use std::time::{Duration, Instant};

/// A second, and half of one for a busy machine.
const WITHIN: Duration = Duration::from_millis(1500);

/// How much of the processor an end may take, in the system's ticks of 10 ms; what spins takes a hundred in a second.
const TICKS: u64 = 60;

pub(crate) const SIGNALS: [&str; 3] = ["HUP", "TERM", "INT"];

/// Whether whoever started the tests had `name` ignored, as `nohup` does and a shell for what it puts in the background: a
/// program that leaves signals to the system ignores it then too.
pub(crate) fn is_ignored(name: &str) -> bool {
    let status = fs::read_to_string("/proc/self/status").unwrap();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:")).unwrap();
    let number = match name {
        "HUP" => 1,
        "INT" => 2,
        _ => 15,
    };
    u64::from_str_radix(mask.trim(), 16).unwrap() & (1 << (number - 1)) != 0
}

pub(crate) fn signal(id: u32, name: &str) {
    assert!(Command::new("kill").args([format!("-{name}"), id.to_string()]).status().unwrap().success());
}

/// Whether it still runs, and the ticks that it used; nothing of a process that is gone.
fn state(id: u32) -> Option<(bool, u64)> {
    let stat = fs::read_to_string(format!("/proc/{id}/stat")).ok()?;
    // proc(5): behind the name the state, which is Z once it has ended, and eleven fields on the times.
    let fields: Vec<&str> = stat.rsplit_once(") ")?.1.split(' ').collect();
    let ticks = |field: usize| fields[field].parse::<u64>().unwrap();
    Some((fields[0] != "Z", ticks(11) + ticks(12)))
}

/// Asserts that the process `id` is gone soon after `cause`, and idle until then.
pub(crate) fn ends(id: u32, what: &str, cause: impl FnOnce()) {
    let (running, before) = state(id).unwrap();
    assert!(running, "{what}: it ended before");
    let begun = Instant::now();
    cause();
    while let Some((running, used)) = state(id) {
        assert!(used - before < TICKS, "{what}: {} ticks", used - before);
        if !running {
            return;
        }
        assert!(begun.elapsed() < WITHIN, "{what}: it still runs");
        std::thread::sleep(Duration::from_millis(5));
    }
}

/// Asserts that the one record is in the book, and that the memory can be opened again; it may still wait to hear so.
pub(crate) fn left_whole(shop: &Shop, what: &str) {
    assert_whole(shop, 1);
    let (memory, recovery) = open_memory(&shop.folder().join("keypad.mem"), None).unwrap();
    assert!(memory.next() == 2 && recovery.journal.damage.is_empty(), "{what}");
}
