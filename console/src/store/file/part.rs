//! A file in the making: it takes its name when it is whole and on the disk, and is for its owner only.
//!
//! Until then it is called by that name with `.part-` and sixteen hexadecimal digits behind it. Whoever makes one holds
//! a shared lock on the folder; whoever gets the folder for itself knows that the parts in it belong to nobody any
//! more, left by a program that was killed, and removes them.

use super::paths::{beside, sync_file, sync_folder_of};
use crate::file::{self, folder_of};
use crate::store::Trouble;
use crate::store::error::refused;
use std::fs::{self, File};
use std::path::{Path, PathBuf};

/// A file in the making. It is removed again unless it is [finished](Part::finish).
#[derive(Debug)]
pub(in crate::store) struct Part {
    path: PathBuf,
    /// The folder, locked.
    _alive: Option<File>,
}

impl Part {
    /// An empty file that is to become `target`. What dead programs left in the folder is removed.
    pub(in crate::store) fn of(target: &Path) -> Result<Self, Trouble> {
        let alive = sweep(folder_of(target));
        let number = getrandom::u64().map_err(Trouble::Entropy)?;
        let path = beside(target, &format!(".part-{number:016x}"));
        file::create(&path).map_err(refused("cannot make", &path))?;
        Ok(Self { path, _alive: alive })
    }

    /// Where it is meanwhile.
    pub(in crate::store) fn path(&self) -> &Path {
        &self.path
    }

    /// Puts it at `target`, in place of what is there.
    pub(in crate::store) fn finish(self, target: &Path) -> Result<(), Trouble> {
        sync_file(&self.path)?;
        fs::rename(&self.path, target).map_err(refused("cannot put a file at", target))?;
        sync_folder_of(target)
    }

    /// Puts it at `target`; `false` where something is there already, which stays.
    pub(super) fn finish_unless_there(self, target: &Path) -> Result<bool, Trouble> {
        sync_file(&self.path)?;
        // A second name is never given over a file that is there; the first is taken away behind it.
        match fs::hard_link(&self.path, target) {
            Ok(()) => {}
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => return Ok(false),
            // Some file systems have no second names.
            Err(_) if !target.exists() => {
                fs::rename(&self.path, target).map_err(refused("cannot put a file at", target))?;
            }
            Err(_) => return Ok(false),
        }
        sync_folder_of(target)?;
        Ok(true)
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        // Nothing is there after a rename; what cannot be removed now is swept away by the next.
        let _ = fs::remove_file(&self.path);
    }
}

/// Removes the parts that dead programs left in a folder; the folder, held so that nobody takes a part of now for dead.
/// `None` where folders cannot be locked: then nothing is removed.
pub(super) fn sweep(folder: &Path) -> Option<File> {
    let held = File::open(folder).ok()?;
    if held.try_lock().is_ok() {
        for file in fs::read_dir(folder).ok()?.flatten() {
            if file.file_name().to_str().is_some_and(is_part) {
                // What cannot be removed is no fault of what is to be done now.
                let _ = fs::remove_file(file.path());
            }
        }
        held.unlock().ok()?;
    }
    held.lock_shared().ok()?;
    Some(held)
}

/// Whether a file's name is a part's, or that of a log of SQLite beside one.
fn is_part(name: &str) -> bool {
    name.rsplit_once(".part-").is_some_and(|(_, tail)| {
        let (number, log) = tail.split_at_checked(16).unwrap_or((tail, "?"));
        number.len() == 16
            && number.bytes().all(|digit| digit.is_ascii_hexdigit())
            && ["", "-wal", "-shm", "-journal"].contains(&log)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_part_of_a_dead_program_is_removed_and_that_of_a_living_one_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let file = |name: &str| folder.path().join(name);
        for name in
            ["a.db.part-0123456789abcdef", "a.db.part-0123456789abcdef-wal", "a.db.part-12", "b.part-x"]
        {
            fs::write(file(name), "left").unwrap();
        }
        let living = Part::of(&file("c.db")).unwrap();
        assert!(
            !file("a.db.part-0123456789abcdef").exists() && !file("a.db.part-0123456789abcdef-wal").exists()
        );
        assert!(file("a.db.part-12").exists() && file("b.part-x").exists(), "not named as a part is");
        fs::write(file("d.part-0123456789abcdef"), "left").unwrap();
        let second = Part::of(&file("e.db")).unwrap();
        assert!(living.path().exists(), "another program's work");
        drop((living, second));
        drop(sweep(folder.path()));
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }
}
