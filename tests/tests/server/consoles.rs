//! A crowd of consoles, each a process of its own with a data folder of its own, and what they say.

use crate::account::Account;
use crate::console::{BOOK, Task, WHAT};
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// How long it may take on a busy machine until anything more is acknowledged.
const PATIENCE: Duration = Duration::from_secs(90);

/// Those that run.
pub(crate) struct Consoles {
    /// Where they keep which console each of them is.
    _folder: TempDir,
    running: Vec<Child>,
    hearing: Vec<JoinHandle<()>>,
    pub(crate) account: Arc<Mutex<Account>>,
}

impl Consoles {
    /// Starts so many on a book, each with this task.
    pub(crate) fn start(book: &str, count: usize, task: Task) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let account = Arc::new(Mutex::new(Account::default()));
        let (mut running, mut hearing) = (Vec::new(), Vec::new());
        for number in 1..=count {
            let mut child = Command::new(std::env::current_exe().unwrap())
                .args(["--exact", "console::a_console_of_the_crowd", "--ignored", "--nocapture"])
                .env(BOOK, book)
                .env(WHAT, Task { number, ..task }.to_text())
                .env("XDG_DATA_HOME", folder.path().join(number.to_string()))
                .stdin(Stdio::piped())
                .stdout(Stdio::piped())
                .spawn()
                .unwrap();
            let (lines, account) = (BufReader::new(child.stdout.take().unwrap()).lines(), account.clone());
            hearing.push(std::thread::spawn(move || {
                lines.map_while(Result::ok).for_each(|line| account.lock().unwrap().hear(&line));
            }));
            running.push(child);
        }
        Self { _folder: folder, running, hearing, account }
    }

    /// Waits until so many records were acknowledged; says how many are.
    pub(crate) fn until_acknowledged(&self, many: u32) -> u32 {
        let begun = Instant::now();
        loop {
            let acknowledged = self.account.lock().unwrap().acknowledged.values().sum();
            if acknowledged >= many {
                return acknowledged;
            }
            assert!(begun.elapsed() < PATIENCE, "the shop does nothing: {acknowledged} of {many}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Has them press and type no more.
    pub(crate) fn end(&mut self) {
        self.running.iter_mut().for_each(|console| drop(console.stdin.take()));
    }

    /// Waits until all that they have is in the book, and gives what they said.
    pub(crate) fn wait(mut self) -> Account {
        let count = self.running.len();
        for console in &mut self.running {
            // Without closing its input, which would end it early.
            while console.try_wait().unwrap().is_none() {
                std::thread::sleep(Duration::from_millis(20));
            }
        }
        self.hearing.drain(..).for_each(|hearing| hearing.join().unwrap());
        let account = std::mem::take(&mut *self.account.lock().unwrap());
        assert_eq!(account.ended, count, "consoles did not come to their end");
        account
    }
}

impl Drop for Consoles {
    fn drop(&mut self) {
        for console in &mut self.running {
            let _ = console.kill();
            let _ = console.wait();
        }
    }
}
