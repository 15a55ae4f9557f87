//! The file that is open, against the one at the book's path.
//!
//! An open file stays open when it is moved, deleted or written over, and what is committed then goes nowhere: so
//! every commit first asks whether the path still leads to the file that was opened, and whether that is still in the
//! write-ahead mode it was put into. (A backup is not, and one that was copied over the book shows by that.)
//!
//! **A log of another book.** SQLite replays whatever log lies beside a file. A book that has a log is in write-ahead
//! mode; one that is not and yet has a log beside it was put there by hand, and is refused before SQLite sees it. Not
//! noticed: a plain copy of the book's file, made while it was closed and put back into the same file in place.
//!
//! **The handle.** On unix, closing any handle to a file drops the locks that SQLite holds on it in this process
//! (fcntl(2)). The handle here is shared by all books of the process on one file, and closed behind the last of them.

use super::paths::beside;
use crate::store::Trouble;
use crate::store::error::refused;
use std::fs;
use std::io::Read;
use std::path::Path;

/// Which file it is: device and inode on unix; nothing elsewhere, where an open file cannot be moved or replaced.
type Identity = (u64, u64);

/// The book's file as it was opened.
#[derive(Debug)]
pub(in crate::store) struct Opened {
    identity: Identity,
}

impl Opened {
    /// The file at `path`; made before SQLite opens it, dropped after SQLite has closed it.
    pub(super) fn at(path: &Path) -> Result<Self, Trouble> {
        let identity = identity(path)?.ok_or(Trouble::Missing)?;
        handle::take(identity, path).map_err(refused("cannot open", path))?;
        let opened = Self { identity };
        // The log is looked at before the header: a book is put into write-ahead mode before it has a log.
        if has_log(path) && !opened.is_write_ahead() && has_log(path) {
            return Err(Trouble::ForeignLog);
        }
        Ok(opened)
    }

    /// An error where the file at `path` is not the one that was opened.
    pub(super) fn still_at(&self, path: &Path) -> Result<(), Trouble> {
        match identity(path)? {
            None => Err(Trouble::Moved),
            Some(identity) if identity != self.identity => Err(Trouble::Replaced),
            Some(_) => Ok(()),
        }
    }

    /// As [`Opened::still_at`], of a book that was put into write-ahead mode; before what was written is committed.
    pub(in crate::store) fn still_written_at(&self, path: &Path) -> Result<(), Trouble> {
        self.still_at(path)?;
        if self.is_write_ahead() { Ok(()) } else { Err(Trouble::Replaced) }
    }

    /// Whether the file's header says that it has a log (format versions of writing and reading are 2: SQLite's file
    /// format, section 1.3.3).
    pub(super) fn is_write_ahead(&self) -> bool {
        handle::header(self.identity).is_none_or(|header| header.get(18..20) == Some(&[2, 2]))
    }
}

impl Drop for Opened {
    fn drop(&mut self) {
        handle::give_back(self.identity);
    }
}

/// The first hundred bytes of a file, or all it has.
pub(super) fn header(path: &Path) -> Result<Vec<u8>, Trouble> {
    let identity = identity(path)?.ok_or(Trouble::Missing)?;
    handle::take(identity, path).map_err(refused("cannot open", path))?;
    let header = handle::header(identity);
    handle::give_back(identity);
    let read = || {
        let mut header = Vec::new();
        fs::File::open(path)?.take(100).read_to_end(&mut header).map(|_| header)
    };
    header.map_or_else(|| read().map_err(refused("cannot read", path)), Ok)
}

/// Whether a log with anything in it lies beside the book.
pub(super) fn has_log(path: &Path) -> bool {
    fs::metadata(beside(path, "-wal")).is_ok_and(|log| log.len() > 0)
}

/// Which file is at `path`, if any is.
fn identity(path: &Path) -> Result<Option<Identity>, Trouble> {
    let found = match fs::metadata(path) {
        Ok(found) => found,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(refused("cannot look at", path)(e)),
    };
    if !found.is_file() {
        let found = if found.is_dir() { "a folder" } else { "not a file" };
        return Err(Trouble::NotABook { found: found.to_owned() });
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        Ok(Some((found.dev(), found.ino())))
    }
    #[cfg(not(unix))]
    Ok(Some((0, 0)))
}

/// The handles of this process.
#[cfg(unix)]
mod handle {
    use super::Identity;
    use std::collections::BTreeMap;
    use std::fs::File;
    use std::os::unix::fs::FileExt;
    use std::path::Path;
    use std::sync::{Mutex, MutexGuard, PoisonError};

    type Handles = BTreeMap<Identity, (File, usize)>;

    /// One handle for each file, and how many books use it.
    static HANDLES: Mutex<Handles> = Mutex::new(BTreeMap::new());

    fn handles() -> MutexGuard<'static, Handles> {
        HANDLES.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn take(identity: Identity, path: &Path) -> std::io::Result<()> {
        let mut handles = handles();
        if let Some((_, users)) = handles.get_mut(&identity) {
            *users += 1;
        } else {
            handles.insert(identity, (File::open(path)?, 1));
        }
        Ok(())
    }

    pub(super) fn give_back(identity: Identity) {
        let mut handles = handles();
        let Some((_, users)) = handles.get_mut(&identity) else { return };
        *users -= 1;
        if *users == 0 {
            handles.remove(&identity);
        }
    }

    /// The file's header, or as much of it as there is.
    pub(super) fn header(identity: Identity) -> Option<Vec<u8>> {
        let mut header = vec![0; 100];
        let handles = handles();
        let (file, _) = handles.get(&identity)?;
        let length = file.read_at(&mut header, 0).unwrap_or(0);
        header.truncate(length);
        Some(header)
    }
}

/// Elsewhere no handle is kept.
#[cfg(not(unix))]
mod handle {
    use super::Identity;
    use std::path::Path;

    pub(super) fn take(_: Identity, _: &Path) -> std::io::Result<()> {
        Ok(())
    }

    pub(super) fn give_back(_: Identity) {}

    pub(super) fn header(_: Identity) -> Option<Vec<u8>> {
        None
    }
}
