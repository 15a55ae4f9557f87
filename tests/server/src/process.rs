//! The server's processes: started, asked to end, killed.

use crate::programs::Programs;
use rustix::process::{Pid, Signal, kill_process};
use std::fs::{self, File};
use std::path::Path;
use std::process::{Child, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// How long a server may take to begin or to end: it reads its log first where it was killed, and the machine may be busy.
pub(crate) const COMES: Duration = Duration::from_secs(60);

/// How often that is looked at.
pub(crate) const LOOK: Duration = Duration::from_millis(10);

/// A server that runs in a data folder; dropping it waits for its end.
#[derive(Debug)]
pub(crate) struct Process(Child);

impl Process {
    /// Starts one; it does not answer yet. What it says goes to the end of `log`.
    pub(crate) fn start(programs: &Programs, data: &Path, log: &Path) -> Self {
        let log = File::options().create(true).append(true).open(log).expect("the server's log");
        let child = programs
            .command("postgres", data)
            .arg("-D")
            .arg(data)
            .stdin(Stdio::null())
            .stdout(log.try_clone().expect("the server's log"))
            .stderr(log)
            .spawn()
            .expect("postgres");
        Self(child)
    }

    /// Whether it ended by itself.
    pub(crate) fn has_ended(&mut self) -> bool {
        self.0.try_wait().expect("the state of a child").is_some()
    }

    /// Asks it to end at once, but in order: connections are closed, what was committed is written.
    pub(crate) fn stop(mut self) {
        signal(self.pid(), Signal::INT);
        let until = Instant::now() + COMES;
        while !self.has_ended() {
            assert!(Instant::now() < until, "the server does not end");
            thread::sleep(LOOK);
        }
    }

    /// Kills all its processes as if the power had gone: none of them does anything more.
    pub(crate) fn kill9(mut self, data: &Path) {
        // So that it starts no more of them.
        signal(self.pid(), Signal::STOP);
        loop {
            let all = processes(data);
            for pid in &all {
                signal(*pid, Signal::KILL);
            }
            let _ = self.0.try_wait();
            if all.is_empty() {
                break;
            }
            thread::sleep(Duration::from_millis(1));
        }
    }

    fn pid(&self) -> Pid {
        Pid::from_child(&self.0)
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        let _ = self.0.wait();
    }
}

/// One that is gone is none that anything is to be told.
fn signal(pid: Pid, signal: Signal) {
    let _ = kill_process(pid, signal);
}

/// Sends a signal to all processes that work in `data`.
pub(crate) fn signal_all(data: &Path, what: Signal) {
    processes(data).into_iter().for_each(|pid| signal(pid, what));
}

/// All processes that work in `data`: a server and what it started.
fn processes(data: &Path) -> Vec<Pid> {
    let entries = fs::read_dir("/proc").expect("/proc").filter_map(Result::ok);
    entries
        .filter(|entry| fs::read_link(entry.path().join("cwd")).is_ok_and(|folder| folder == data))
        .filter_map(|entry| Pid::from_raw(entry.file_name().to_str()?.parse().ok()?))
        .collect()
}
