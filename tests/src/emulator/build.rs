//! Builds the firmware's image.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// Why there is no image.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BuildError(pub String);

impl std::fmt::Display for BuildError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the firmware does not build: {}", self.0)
    }
}

impl std::error::Error for BuildError {}

/// The image, built on the first call of a process by `firmware-example/boards/emulator/build`, which also knows what
/// to do where the target is not installed.
///
/// # Errors
/// It does not build.
pub fn image() -> Result<&'static Path, BuildError> {
    static IMAGE: OnceLock<Result<PathBuf, BuildError>> = OnceLock::new();
    IMAGE.get_or_init(build).as_ref().map(PathBuf::as_path).map_err(Clone::clone)
}

fn build() -> Result<PathBuf, BuildError> {
    let script = root().join("firmware-example/boards/emulator/build");
    let mut command = Command::new(&script);
    // Beside the target folder of whoever asks: the board has a lock and profiles of its own.
    let target = std::env::current_exe().ok().and_then(|exe| {
        let out = exe.ancestors().find(|at| at.ends_with("debug") || at.ends_with("release"))?;
        Some(out.parent()?.join("boards"))
    });
    if let Some(target) = &target {
        command.env("CARGO_TARGET_DIR", target);
    }
    let built = command.output().map_err(|error| BuildError(format!("{}: {error}", script.display())))?;
    let said = String::from_utf8_lossy(&built.stdout);
    match said.lines().last() {
        Some(path) if built.status.success() => Ok(PathBuf::from(path)),
        _ => Err(BuildError(format!("{said}{}", String::from_utf8_lossy(&built.stderr)))),
    }
}

/// The project's folder. Cargo's word at run time goes first: a target folder that two checkouts share may hold a
/// program that was compiled in the other one.
fn root() -> PathBuf {
    let tests = std::env::var_os("CARGO_MANIFEST_DIR").unwrap_or_else(|| env!("CARGO_MANIFEST_DIR").into());
    PathBuf::from(tests).parent().map(Path::to_path_buf).unwrap_or_default()
}
