//! Files of the operating system, as every room takes them.

use std::fs::{self, File, OpenOptions};
use std::io::{Error, ErrorKind, Result, Write};
use std::path::Path;

/// That nothing is at `path`, or a regular file: a pipe or a device would be waited for, or take what is written and
/// keep nothing.
///
/// # Errors
/// Something else is there.
pub(crate) fn regular(path: &Path) -> Result<()> {
    match fs::metadata(path) {
        Ok(found) if !found.is_file() => Err(Error::other("it is not a file")),
        Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

/// Opens a regular file to be read.
///
/// # Errors
/// There is none, or it may not be read.
pub(crate) fn open(path: &Path) -> Result<File> {
    regular(path)?;
    File::open(path)
}

/// Puts a file with `content` at `path`, for its owner only; it is whole and on the disk, or what was there stays. A part
/// that a killed program left beside it is written over the next time.
///
/// # Errors
/// Something else than a file is there, or the system refuses.
pub(crate) fn replace(path: &Path, content: &[u8]) -> Result<()> {
    regular(path)?;
    let name = path.file_name().ok_or_else(|| Error::from(ErrorKind::InvalidInput))?;
    let folder = folder_of(path);
    // Whoever else writes this file waits for its turn. A system that opens no folders gives none.
    let turn = File::open(folder).and_then(|folder| folder.lock().map(|()| folder)).ok();
    let mut part = std::ffi::OsString::from(".");
    part.push(name);
    part.push(".part");
    let part = folder.join(part);
    let _ = fs::remove_file(&part);
    let written = create(&part).and_then(|file| write(file, content)).and_then(|()| fs::rename(&part, path));
    if written.is_err() {
        // The first error is the one to tell; a part that cannot be removed changes nothing.
        let _ = fs::remove_file(&part);
    }
    written?;
    turn.map_or(Ok(()), |folder| folder.sync_all())
}

/// Makes an empty file for its owner only.
///
/// # Errors
/// Something is there already, or the system refuses.
pub(crate) fn create(path: &Path) -> Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// The folder that a path lies in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn write(mut file: File, content: &[u8]) -> Result<()> {
    file.write_all(content)?;
    file.sync_all()
}
