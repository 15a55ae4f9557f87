//! What the tests of several crates share: running the console as a person would.
//!
//! - [`bevelbook()`] runs one command line in a shop of its own.
//! - [`build`] makes what a test runs that is built apart.
//! - [`answer`] is what a calculation answers; [`meets`] compares an answer with a published figure.
//! - [`emulator`] is the keypad as a whole device; [`image`] reads what a firmware's image is made of.
//! - [`stack`] proves how deep an image's stack goes.
//! - [`usual_order`] is what most tests open a job with.
//! - [`Shop`] is a folder with a book and settings of its own, for tests of several commands on one book; it
//!   vanishes with the value.
//!
//! The console's binary is built on first use, by the cargo, into the target folder and with the profile of the
//! test that asks. A console that cannot be built or started fails the test that asked for it.
#![allow(clippy::expect_used, clippy::panic, reason = "all of this is called by tests alone")]

pub mod build;
#[cfg(unix)]
pub mod emulator;
pub mod image;
pub mod stack;

use serde_json::Value;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// How a command ended, and what it wrote.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Output {
    /// The exit code; `None` when a signal ended it.
    pub status: Option<i32>,
    /// The standard output.
    pub stdout: String,
    /// The error stream.
    pub stderr: String,
}

impl Output {
    /// The standard output in one line, all that is apart in it a blank apart.
    #[must_use]
    pub fn words(&self) -> String {
        self.stdout.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The standard output as JSON; the test fails when it is none.
    #[must_use]
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| panic!("no JSON ({error}): {self:?}"))
    }
}

/// Runs the console with `args`, the program name left out, in a shop that is gone afterwards.
pub fn bevelbook<S: AsRef<OsStr>>(args: impl IntoIterator<Item = S>) -> Output {
    Shop::new().run(args)
}

/// The answer of `calc` with `args`; the test that asks fails when there is none, or anything is said beside it.
#[must_use]
pub fn answer(args: &[&str]) -> Value {
    let output = bevelbook(["calc", "--json"].iter().chain(args));
    assert_eq!((output.status, output.stderr.as_str()), (Some(0), ""), "{args:?}");
    output.json()
}

/// Whether a number of an answer rounds to the figure as `printed`: `-9.72` is met from -9.725 to -9.715.
#[must_use]
pub fn meets(got: &Value, printed: &str) -> bool {
    let half_step =
        printed.split_once('.').map_or("", |(_, decimals)| decimals).chars().fold(0.5, |h, _| h / 10.0);
    let printed: Result<f64, _> = printed.parse();
    got.as_f64().zip(printed.ok()).is_some_and(|(got, printed)| (got - printed).abs() <= half_step + 1e-9)
}

/// A shop of its own: an empty folder that holds the book and the settings of each command run in it.
#[derive(Debug)]
pub struct Shop {
    folder: TempDir,
}

impl Shop {
    /// A shop with neither book nor settings yet.
    #[must_use]
    #[allow(clippy::new_without_default, reason = "making a folder is no default")]
    pub fn new() -> Self {
        Self { folder: TempDir::new().expect("a temporary folder") }
    }

    /// The folder, where the commands are run.
    #[must_use]
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Where its book is, or would be.
    #[must_use]
    pub fn book(&self) -> PathBuf {
        self.folder().join("book.sqlite")
    }

    /// Where its settings are, or would be.
    #[must_use]
    pub fn settings(&self) -> PathBuf {
        self.folder().join("settings.toml")
    }

    /// The console, ready for arguments: for tests that need its input, its process or more of its environment.
    #[must_use]
    pub fn command(&self) -> Command {
        let mut command = Command::new(console());
        command
            .current_dir(self.folder())
            .env("BEVELBOOK_BOOK", self.book())
            .env("BEVELBOOK_SETTINGS", self.settings())
            .env_remove("BEVELBOOK_STATION")
            .env_remove("BEVELBOOK_INITIALS")
            .stdin(Stdio::null());
        command
    }

    /// Runs the console with `args`, the program name left out.
    pub fn run<S: AsRef<OsStr>>(&self, args: impl IntoIterator<Item = S>) -> Output {
        let ended = self.command().args(args).output().expect("the console starts");
        let text = |bytes| String::from_utf8(bytes).expect("the console writes UTF-8");
        Output { status: ended.status.code(), stdout: text(ended.stdout), stderr: text(ended.stderr) }
    }
}

/// A frame record of these right radii, in hundredths of a millimetre, the left ones their mirror: L(θ) = R(180° − θ).
#[must_use]
pub fn mirrored_record(radii: &[&str]) -> String {
    let count = radii.len();
    let mirrored: Vec<&str> = (0..count).map(|at| radii[(count / 2 + count - at) % count]).collect();
    let side = |letter: char, radii: &[&str]| {
        let lines: String = radii.chunks(10).map(|ten| format!("R={}\n", ten.join(";"))).collect();
        format!("TRCFMT=1;{count};E;{letter};F\n{lines}")
    };
    format!("{}{}", side('R', radii), side('L', &mirrored))
}

/// The arguments of `job new` for a usual order, with `changes` (pairs of flag and value) in place of its own or
/// beside them.
#[must_use]
pub fn usual_order(changes: &[[&str; 2]]) -> Vec<String> {
    let mut order = vec![
        ["--customer", "K-17"],
        ["--right", "-1.25 -0.75 x 15"],
        ["--left", "-2.00 -0.50 x 160"],
        ["--pd", "31.5/31"],
        ["--frame", "Lindgren 7"],
        ["--a", "50"],
        ["--b", "38"],
        ["--dbl", "18"],
        ["--rim", "metal"],
        ["--material", "cr39"],
    ];
    for change in changes {
        match order.iter_mut().find(|given| given[0] == change[0]) {
            Some(given) => *given = *change,
            None => order.push(*change),
        }
    }
    ["job", "new"].into_iter().chain(order.into_iter().flatten()).map(str::to_owned).collect()
}

/// The console's binary; a test that needs it and cannot have it fails.
#[must_use]
pub fn console() -> &'static Path {
    build::console().unwrap_or_else(|why| panic!("{why}"))
}
