//! Files that a command writes for people: whole or not there, their owner's only, and never over what is not an earlier
//! one of the same.

use super::Failure;
use crate::file;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// How far into a file it is looked whether it is an earlier one.
const LOOKED_AT: u64 = 512;

/// Writes a file that is called `what`; an earlier one, which `is_earlier` tells by its beginning, is replaced, and
/// anything else by `force` alone.
pub(super) fn write(
    path: &Path,
    content: &[u8],
    what: &str,
    is_earlier: impl Fn(&[u8]) -> bool,
    force: bool,
) -> Result<(), Failure> {
    if path.is_dir() {
        return Err(Failure::Use(format!("{} is a folder; name a file in it", path.display())));
    }
    let may_be_overwritten = match beginning(path) {
        _ if force => true,
        Ok(beginning) => is_earlier(&beginning),
        Err(error) if error.kind() == ErrorKind::NotFound => true,
        Err(error) => return Err(fault(path, "be read", &error)),
    };
    if !may_be_overwritten {
        return Err(Failure::Use(format!(
            "{} is there and is not an earlier {what}; nothing was written (name another file, or --force)",
            path.display()
        )));
    }
    file::replace(path, content).map_err(|error| fault(path, "be written", &error))
}

fn beginning(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut beginning = Vec::new();
    file::open(path)?.take(LOOKED_AT).read_to_end(&mut beginning)?;
    Ok(beginning)
}

fn fault(path: &Path, what: &str, error: &std::io::Error) -> Failure {
    Failure::Fault(format!("{} cannot {what}: {error}", path.display()))
}
