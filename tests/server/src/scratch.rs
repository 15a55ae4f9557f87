//! The folder that all of a server lies in, and who sees to it that nothing of it stays.
//!
//! A test may panic, be killed, or end without dropping what is static. So a small watcher waits for the end of a pipe that
//! only this process holds: when that closes, for whatever reason, it ends the server and removes the folder.

use crate::programs::Programs;
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// What the watcher does: `$1` is the scratch folder, `$2` the data folder. A process is the server if it is the one that the
/// data folder names and works in it: after a kill the file stays, and its number may be another's by then. It is ended at
/// once, but so that it gives back its shared memory, if it can.
const WATCHER: &str = r#"
    trap '' INT TERM HUP
    cat > /dev/null
    pid=$(head -n 1 "$2/postmaster.pid" 2> /dev/null)
    runs() { [ -n "$pid" ] && [ "$(readlink "/proc/$pid/cwd")" = "$2" ]; }
    # One that was made to stand still hears nothing else, nor do those that it started.
    for process in /proc/[0-9]*; do
        [ "$(readlink "$process/cwd")" = "$2" ] && kill -CONT "${process#/proc/}"
    done
    runs "$@" && kill -QUIT "$pid"
    for wait in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
        runs "$@" || break
        sleep 0.1
    done
    runs "$@" && kill -KILL "$pid"
    segment=$(sed -n '7s/.* //p' "$2/postmaster.pid" 2> /dev/null)
    [ -n "$segment" ] && ipcrm -m "$segment" 2> /dev/null
    # One that was just starting has not said its number yet, and makes files while they are removed.
    [ -n "$pid" ] || for process in /proc/[0-9]*; do
        [ "$(readlink "$process/cwd")" = "$2" ] && kill -KILL "${process#/proc/}"
    done
    for wait in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
        rm -rf "$2"
        umount "$1/disk" 2> /dev/null
        rm -rf "$1" && break
        sleep 0.1
    done
"#;

/// A folder, owned by whom the server runs as.
#[derive(Debug)]
pub(crate) struct Scratch {
    folder: PathBuf,
    data: PathBuf,
    watcher: Child,
}

impl Scratch {
    /// A new one.
    pub(crate) fn new(programs: &Programs) -> Self {
        Self::with(programs, "data")
    }

    /// A new one with the data on a disk of its own that holds `size` (as `mount` has it); `None` where none can be had.
    pub(crate) fn on_disk(programs: &Programs, size: &str) -> Option<Self> {
        let scratch = Self::with(programs, "disk/data");
        let disk = scratch.folder.join("disk");
        std::fs::create_dir(&disk).expect("a folder in the folder just made");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={size}"), "bevelbook-server"])
            .arg(&disk)
            .stderr(Stdio::null())
            .status();
        programs.give(&disk);
        mounted.is_ok_and(|status| status.success()).then_some(scratch)
    }

    fn with(programs: &Programs, data: &str) -> Self {
        let folder = TempDir::with_prefix("bevelbook-server-").expect("a scratch folder").keep();
        // As the system calls it: the watcher compares.
        let folder = folder.canonicalize().expect("the folder just made");
        programs.give(&folder);
        let data = folder.join(data);
        let watcher = Command::new("sh")
            .args(["-c", WATCHER, "watcher"])
            .args([&folder, &data])
            .current_dir("/")
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            // What a terminal sends to whoever runs the tests is not for the watcher.
            .process_group(0)
            .spawn()
            .expect("sh");
        Self { folder, data, watcher }
    }

    /// Where the socket is, and the log.
    pub(crate) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The server's own.
    pub(crate) fn data(&self) -> &Path {
        &self.data
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        drop(self.watcher.stdin.take());
        let _ = self.watcher.wait();
    }
}
