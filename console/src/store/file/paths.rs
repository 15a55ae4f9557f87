//! Where a book lives: its folder and files, and the fingerprint of the place.
//!
//! Files are for their owner only (0600), folders made for a book likewise (0700); a folder that was there
//! before keeps its permissions. The health data of a person is in a book, so a book found with looser
//! permissions is tightened when it is opened.
//!
//! **The fingerprint** tells whether a book is still where its console journal was begun. It is taken from the
//! machine's id, the book's canonical path, and the file's own identity (its birth in whole seconds, and the
//! inode on unix). It differs after a copy to another machine or path and after an older copy was put in the
//! book's place; then the book begins a new journal, or it would number new records with numbers already used.
//! A new journal without need costs nothing. Not noticed: older bytes written into the same file in place. A
//! backup made by this program carries no fingerprint at all, so it begins a new journal wherever it is put.
//!
//! A book's file is never opened here, only looked at by path (why: `opened.rs`).

use super::default::default_book_path;
use crate::file::folder_of;
use crate::store::Trouble;
use crate::store::error::refused;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

/// Makes a folder for its owner only, unless it is there.
pub(super) fn make_folder(folder: &Path) -> Result<(), Trouble> {
    if folder.exists() {
        return Ok(());
    }
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).map_err(refused("cannot make folder", folder))
}

/// Takes group's and others' permissions from the book and from its log files, which SQLite makes with the
/// permissions of the book.
#[cfg(unix)]
pub(super) fn keep_private(path: &Path) -> Result<(), Trouble> {
    use std::os::unix::fs::PermissionsExt;
    for suffix in ["", "-wal", "-shm"] {
        let file = beside(path, suffix);
        let Ok(metadata) = fs::metadata(&file) else { continue };
        if metadata.permissions().mode() & 0o077 != 0 {
            fs::set_permissions(&file, fs::Permissions::from_mode(0o600))
                .map_err(refused("cannot make private", &file))?;
        }
    }
    Ok(())
}

/// Other systems: the folder's own rules hold.
#[cfg(not(unix))]
pub(super) fn keep_private(_: &Path) -> Result<(), Trouble> {
    Ok(())
}

/// `path` with `suffix` at the end of its file name.
pub(super) fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

/// The fingerprint of the place of the book at `path`, which must exist.
pub(super) fn fingerprint(path: &Path) -> Result<u64, Trouble> {
    let canonical = fs::canonicalize(path).map_err(refused("cannot find", path))?;
    let metadata = fs::metadata(&canonical).map_err(refused("cannot look at", path))?;
    let born = metadata.created().ok().and_then(|t| t.duration_since(UNIX_EPOCH).ok());
    let born_s = born.map_or(0, |d| d.as_secs());
    #[cfg(unix)]
    let inode = std::os::unix::fs::MetadataExt::ino(&metadata);
    #[cfg(not(unix))]
    let inode = 0_u64;
    let path = canonical.as_os_str().as_encoded_bytes();
    Ok(of_parts(&[machine().as_bytes(), path, &born_s.to_le_bytes(), &inode.to_le_bytes()]))
}

/// The fingerprint of a console that writes a book elsewhere: of the machine, the folder of a person's data, and where.
pub(in crate::store) fn console_fingerprint(elsewhere: &str) -> u64 {
    let folder = default_book_path().unwrap_or_default();
    of_parts(&[machine().as_bytes(), folder.as_os_str().as_encoded_bytes(), elsewhere.as_bytes()])
}

/// What is the same of all machines made of one image, for one person, and what is of this machine's present start alone; the
/// latter is 0 where the system does not tell of its starts.
pub(in crate::store) fn console_and_start() -> (u32, u32) {
    let short = |hash: u64| (hash >> 32) as u32 ^ hash as u32;
    let start = fs::read_to_string("/proc/sys/kernel/random/boot_id").unwrap_or_default();
    (short(console_fingerprint("")), if start.is_empty() { 0 } else { short(fnv1a(start.as_bytes())) })
}

/// Each part behind its length, so that parts cannot run into each other.
fn of_parts(parts: &[&[u8]]) -> u64 {
    let place: Vec<u8> =
        parts.iter().flat_map(|part| [&(part.len() as u64).to_le_bytes(), *part].concat()).collect();
    fnv1a(&place)
}

/// What the system says about which machine it is: the machine id of systemd (machine-id(5)) or D-Bus, the
/// computer's name on Windows, else nothing.
fn machine() -> String {
    ["/etc/machine-id", "/var/lib/dbus/machine-id"]
        .iter()
        .find_map(|file| fs::read_to_string(file).ok())
        .or_else(|| std::env::var("COMPUTERNAME").ok())
        .map(|id| id.trim().to_owned())
        .unwrap_or_default()
}

/// FNV-1a, 64 bits (RFC 9923, from memory, unconfirmed; the constants are those of the public test vectors in
/// the test below). It keeps the machine's id out of the book; it is no defence against an adversary, nor need
/// it be.
fn fnv1a(bytes: &[u8]) -> u64 {
    let step = |hash: u64, &byte: &u8| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, step)
}

/// Waits until the file's bytes are on the disk.
pub(super) fn sync_file(path: &Path) -> Result<(), Trouble> {
    let file = fs::OpenOptions::new().write(true).open(path);
    file.and_then(|f| f.sync_all()).map_err(refused("cannot sync", path))
}

/// Waits until the entry of `path` in its folder is on the disk (unix; elsewhere there is no such call).
pub(super) fn sync_folder_of(path: &Path) -> Result<(), Trouble> {
    #[cfg(unix)]
    {
        let folder = folder_of(path);
        fs::File::open(folder).and_then(|f| f.sync_all()).map_err(refused("cannot sync folder", folder))?;
    }
    #[cfg(not(unix))]
    let _ = path;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_agrees_with_its_published_test_vectors() {
        assert_eq!(fnv1a(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv1a(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv1a(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn a_place_keeps_its_fingerprint_and_a_copy_has_another() {
        let folder = tempfile::tempdir().unwrap();
        let (here, copy) = (folder.path().join("here"), folder.path().join("copy"));
        fs::write(&here, b"same").unwrap();
        fs::copy(&here, &copy).unwrap();
        let before = fingerprint(&here).unwrap();
        fs::write(&here, b"other").unwrap();
        assert_eq!(fingerprint(&here).unwrap(), before);
        assert_ne!(fingerprint(&copy).unwrap(), before);
    }
}
