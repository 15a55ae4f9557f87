//! Builds what a test runs that is built apart: the console, the emulated boards' images, and the reader of its log.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// Why something is not there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BuildError {
    /// What was to be built.
    pub what: &'static str,
    /// What its build said.
    pub why: String,
}

impl std::fmt::Display for BuildError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the {} does not build: {}", self.what, self.why)
    }
}

impl std::error::Error for BuildError {}

/// The image of the first emulated board, built on the first call of a process by `firmware-example/boards/emulator/build`,
/// which also knows what to do where the target is not installed.
///
/// # Errors
/// It does not build.
pub fn image() -> Result<&'static Path, BuildError> {
    static IMAGE: OnceLock<Result<PathBuf, BuildError>> = OnceLock::new();
    built(&IMAGE, || build_image("emulator"))
}

/// The image of the second one (`firmware-example/boards/an505`), as [`image`].
///
/// # Errors
/// It does not build.
pub fn image_an505() -> Result<&'static Path, BuildError> {
    static IMAGE: OnceLock<Result<PathBuf, BuildError>> = OnceLock::new();
    built(&IMAGE, || build_image("an505"))
}

fn built(
    once: &'static OnceLock<Result<PathBuf, BuildError>>,
    build: impl FnOnce() -> Result<PathBuf, BuildError>,
) -> Result<&'static Path, BuildError> {
    once.get_or_init(build).as_ref().map(PathBuf::as_path).map_err(Clone::clone)
}

/// The program that makes lines of the log's frames (`tests/log`), built on the first call of a process.
///
/// # Errors
/// It does not build.
pub fn log_reader() -> Result<&'static Path, BuildError> {
    static READER: OnceLock<Result<PathBuf, BuildError>> = OnceLock::new();
    built(&READER, build_log_reader)
}

fn build_image(board: &str) -> Result<PathBuf, BuildError> {
    let mut command = Command::new(root().join("firmware-example/boards").join(board).join("build"));
    if let Some(target) = target("boards") {
        command.env("CARGO_TARGET_DIR", target);
    }
    let said = run("firmware", &mut command)?;
    let path = said.lines().last().map(PathBuf::from);
    path.ok_or(BuildError { what: "firmware", why: "no path is printed".into() })
}

fn build_log_reader() -> Result<PathBuf, BuildError> {
    let folder = root().join("tests/log");
    let target = target("log").unwrap_or_else(|| folder.join("target"));
    let mut command = cargo();
    // In its own folder: settings for a board hold where `cargo run` was called for one.
    command.current_dir(&folder).args(["build", "--quiet", "--locked"]);
    command.env("CARGO_TARGET_DIR", &target).env_remove("CARGO_BUILD_TARGET");
    run("log's reader", &mut command)?;
    Ok(target.join("debug/bevelbook-log"))
}

/// The console's binary, built on the first call of a process, with the profile of the test that asks.
///
/// # Errors
/// It does not build.
pub fn console() -> Result<&'static Path, BuildError> {
    static CONSOLE: OnceLock<Result<PathBuf, BuildError>> = OnceLock::new();
    built(&CONSOLE, build_console)
}

fn build_console() -> Result<PathBuf, BuildError> {
    let nowhere =
        || BuildError { what: "console", why: "no program that asks lies in a target folder".into() };
    let out = profile_folder().ok_or_else(nowhere)?;
    let profile = match out.file_name().and_then(OsStr::to_str).ok_or_else(nowhere)? {
        "debug" => "dev",
        named => named,
    };
    let mut command = cargo();
    command.args(["build", "--quiet", "--package", "bevelbook", "--bin", "bevelbook", "--profile", profile]);
    command.arg("--manifest-path").arg(root().join("Cargo.toml"));
    command.arg("--target-dir").arg(out.parent().ok_or_else(nowhere)?);
    run("console", &mut command)?;
    Ok(out.join("bevelbook").with_extension(std::env::consts::EXE_EXTENSION))
}

/// Without what the cargo of the test told it: a build script that looks at any of that (ring's does) would be run anew, and
/// all that stands on it be built anew, whenever a test and a person take turns.
fn cargo() -> Command {
    let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    let told = |name: &OsStr| {
        let name = name.to_string_lossy();
        ["CARGO_PKG_", "CARGO_MANIFEST_", "CARGO_CRATE_"].iter().any(|told| name.starts_with(told))
    };
    std::env::vars_os().map(|(name, _)| name).filter(|name| told(name)).for_each(|name| {
        cargo.env_remove(name);
    });
    cargo
}

/// Runs what builds `what`; what it printed.
///
/// # Errors
/// It does not start, or says that it failed.
pub fn run(what: &'static str, command: &mut Command) -> Result<String, BuildError> {
    let failed = |why| BuildError { what, why };
    let built = command.output().map_err(|error| failed(format!("{command:?}: {error}")))?;
    let said = String::from_utf8_lossy(&built.stdout).into_owned();
    if built.status.success() {
        Ok(said)
    } else {
        Err(failed(said + &String::from_utf8_lossy(&built.stderr)))
    }
}

/// A target folder inside that of whoever asks: for what has a lock and profiles of its own. None for a program that lies
/// elsewhere.
#[must_use]
pub fn target(name: &str) -> Option<PathBuf> {
    Some(profile_folder()?.parent()?.join(name))
}

/// `<target>/<profile>`, where a program of ours lies, or a folder deeper where it is a test.
fn profile_folder() -> Option<PathBuf> {
    let exe = std::env::current_exe().ok()?;
    let folder = exe.parent()?;
    Some(if folder.ends_with("deps") { folder.parent()? } else { folder }.to_path_buf())
}

/// The project's folder. Cargo's word at run time goes first, if it speaks of this package: a target folder that two
/// checkouts share may hold a program that was compiled in the other one.
#[must_use]
pub fn root() -> PathBuf {
    let told = std::env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
    let tests = told.filter(|told| told.ends_with("tests"));
    let tests = tests.unwrap_or_else(|| env!("CARGO_MANIFEST_DIR").into());
    tests.parent().map(Path::to_path_buf).unwrap_or_default()
}
