//! What the emulated keypad is called with.

use bevelbook_tests::emulator::Options;
use std::hash::{BuildHasher, RandomState};
use std::path::PathBuf;

const USAGE: &str = "usage: emulator IMAGE [--memory FILE] [--log FILE]; --help says more";

/// What `--help` prints.
pub(crate) const HELP: &str = "\
Runs the keypad's image in QEMU, with its display and its keys in this terminal.

emulator IMAGE [--memory FILE] [--log FILE]
(in firmware-example/boards/emulator or an505: cargo run -- [--memory FILE] [--log FILE])

  --memory FILE  what stands for the memory chip, 32 KiB, made where there is none;
                 keypad.mem beside IMAGE if not given. What was saved is there at the next start
  --log FILE     the firmware's log, a line each as it comes: seconds since the start, level,
                 message. What FILE held before goes. Follow it with: tail -f FILE

Keys: arrows and Enter; with Shift, or as the capitals U D L R C, they are held; q ends it.
In a pipe the same as lines: up, down, left, right, centre, hold KEY, wait MS, screen.
";

/// What was asked for.
pub(crate) struct Asked {
    /// What to start; where the log goes is not in it yet.
    pub(crate) emulator: Options,
    /// The file for the log's lines.
    pub(crate) log: Option<PathBuf>,
}

/// Reads the arguments; nothing where help was asked for.
pub(crate) fn asked() -> Result<Option<Asked>, String> {
    let (mut image, mut memory, mut log) = (None, None, None);
    let mut arguments = std::env::args_os().skip(1);
    while let Some(argument) = arguments.next() {
        let place = match argument.to_str() {
            Some("--help" | "-h") => return Ok(None),
            Some("--memory") => &mut memory,
            Some("--log") => &mut log,
            Some(flag) if flag.starts_with('-') => return Err(format!("there is no flag {flag}\n{USAGE}")),
            _ if image.is_none() => {
                image = Some(PathBuf::from(argument));
                continue;
            }
            _ => return Err(USAGE.into()),
        };
        *place = Some(PathBuf::from(arguments.next().ok_or(USAGE)?));
    }
    let image = image.ok_or(USAGE)?;
    let memory = memory.unwrap_or_else(|| image.with_file_name("keypad.mem"));
    // A chip has a number of its own; it matters only where a journal is begun.
    let chip = RandomState::new().hash_one(std::process::id()) >> 24;
    Ok(Some(Asked { emulator: Options { chip, ..Options::new(&image, &memory) }, log }))
}
