//! The software keypad's memory: a file of 64-byte pages.
//!
//! A page is written in one piece to its place and is on the disk when the write returns. A file that is not there is
//! made blank, all ones; one keypad at a time holds it.

use bevelbook_core::record::JournalId;
pub use bevelbook_keypad::device::{LAYOUT, PAGES};
use bevelbook_keypad::memory::{Consent, Memory, OpenError, PAGE, Page, Pages, Recovery};
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// Why the memory was not opened.
#[derive(Debug, thiserror::Error)]
pub enum MemoryError {
    /// The operating system refused.
    #[error("{doing} {path}: {source}")]
    File {
        /// The file.
        path: PathBuf,
        /// What was being done.
        doing: &'static str,
        /// What the system said.
        source: io::Error,
    },
    /// Another software keypad has it.
    #[error("{0} is the memory of a software keypad that is running; end that, or give another --memory")]
    Busy(PathBuf),
    /// It has another size.
    #[error("{path} has {found} bytes; the memory of a keypad has {wanted}. It was left as it is")]
    Size {
        /// The file.
        path: PathBuf,
        /// Its bytes.
        found: u64,
        /// What it should have.
        wanted: u64,
    },
    /// It holds no journal that can be opened.
    #[error("{path}: {why}. It was left as it is; give another --memory to begin a new one")]
    Open {
        /// The file.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// The operating system gave no entropy for a journal's id.
    #[error("no entropy for a new journal: {0}; try again later")]
    Entropy(getrandom::Error),
}

/// A file of pages.
#[derive(Debug)]
pub struct FilePages {
    file: File,
    /// Writes left until power is cut in the middle of one; for tests.
    cut_after: Option<u32>,
}

impl FilePages {
    /// Opens the file at `path`, or makes it blank. With `cut_after` the program is aborted in the middle of that page
    /// write, counted from 1, as if power were cut.
    ///
    /// # Errors
    /// The file cannot be opened, is held by another, or has another size.
    pub fn open(path: &Path, cut_after: Option<u32>) -> Result<Self, MemoryError> {
        let failed = |doing| move |source| MemoryError::File { path: path.to_path_buf(), doing, source };
        let wanted = u64::from(PAGES) * PAGE as u64;
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        crate::file::regular(path).map_err(failed("cannot open"))?;
        let mut file = options.open(path).map_err(failed("cannot open"))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(MemoryError::Busy(path.to_path_buf())),
            Err(TryLockError::Error(source)) => return Err(failed("cannot lock")(source)),
        }
        match file.metadata().map_err(failed("cannot look at"))?.len() {
            0 => {
                let blank = vec![0xff; PAGE * usize::from(PAGES)];
                file.write_all(&blank).and_then(|()| file.sync_all()).map_err(failed("cannot make"))?;
            }
            found if found != wanted => {
                return Err(MemoryError::Size { path: path.to_path_buf(), found, wanted });
            }
            _ => {}
        }
        Ok(Self { file, cut_after })
    }

    fn seek(&mut self, page: u16) -> io::Result<()> {
        if page >= PAGES {
            return Err(io::Error::new(io::ErrorKind::InvalidInput, format!("there is no page {page}")));
        }
        self.file.seek(SeekFrom::Start(u64::from(page) * PAGE as u64)).map(drop)
    }

    /// Half of the page is written, and then there is no power.
    fn cut(&mut self, from: &Page) -> ! {
        let _ = self.file.write_all(&from[..PAGE / 2]).and_then(|()| self.file.sync_data());
        std::process::abort()
    }
}

impl Pages for FilePages {
    type Error = io::Error;

    fn count(&self) -> u16 {
        PAGES
    }

    fn read(&mut self, page: u16, into: &mut Page) -> io::Result<()> {
        self.seek(page)?;
        self.file.read_exact(into)
    }

    fn write(&mut self, page: u16, from: &Page) -> io::Result<()> {
        self.seek(page)?;
        if let Some(left) = &mut self.cut_after {
            *left = left.saturating_sub(1);
            if *left == 0 {
                self.cut(from);
            }
        }
        self.file.write_all(from)?;
        self.file.sync_data()
    }
}

/// Opens the memory at `path`. A journal is begun where nothing was ever written, and never otherwise.
///
/// # Errors
/// The file cannot be opened, or holds no journal that can be.
pub fn open_memory(
    path: &Path,
    cut_after: Option<u32>,
) -> Result<(Memory<FilePages>, Recovery), MemoryError> {
    let cannot = |why: String| MemoryError::Open { path: path.to_path_buf(), why };
    match Memory::open(FilePages::open(path, cut_after)?, LAYOUT) {
        Ok(opened) => Ok(opened),
        Err(OpenError::Blank) => {
            let id = JournalId(getrandom::u64().map_err(MemoryError::Entropy)?);
            let begun = Memory::begin(FilePages::open(path, cut_after)?, LAYOUT, id, Consent::KeepRecords);
            begun.map_err(|error| cannot(error.to_string()))
        }
        Err(error) => Err(cannot(error.to_string())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::link::CARD_BOUND;
    use bevelbook_keypad::memory::Urgency;

    #[test]
    fn a_memory_is_begun_once_and_keeps_what_it_holds() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("keypad.mem");
        let (mut memory, _) = open_memory(&path, None).unwrap();
        let journal = memory.journal();
        assert_eq!(memory.append(1, &[1, 2, 3], 10, Urgency::Ordinary).ok(), Some(1));
        assert!(matches!(open_memory(&path, None), Err(MemoryError::Busy { .. })));
        drop(memory);
        let (mut memory, _) = open_memory(&path, None).unwrap();
        assert_eq!((memory.journal(), memory.boot(), memory.next()), (journal, 2, 2));
        assert_eq!(memory.read(1).unwrap().unwrap().data, [1, 2, 3]);
    }

    #[test]
    fn what_is_no_memory_of_a_keypad_is_left_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("other");
        std::fs::write(&path, b"a letter").unwrap();
        assert!(matches!(open_memory(&path, None), Err(MemoryError::Size { found: 8, .. })));
        assert_eq!(std::fs::read(&path).unwrap(), b"a letter");
        let noise: Vec<u8> = (0..32_768_u32).map(|n| (n * 7 % 251) as u8).collect();
        std::fs::write(&path, &noise).unwrap();
        assert!(matches!(open_memory(&path, None), Err(MemoryError::Open { .. })));
        assert_eq!(std::fs::read(&path).unwrap(), noise);
    }

    #[test]
    fn the_journal_holds_a_day_and_the_cards_of_a_dozen_jobs() {
        assert_eq!((LAYOUT.journal_pages(), LAYOUT.card_slots() - 1), (310, 12));
        assert!(usize::from(LAYOUT.card_bytes()) >= CARD_BOUND);
    }
}
