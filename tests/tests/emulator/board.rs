//! A keypad in QEMU on a memory that outlives it, one at a time.

use bevelbook::keypad::{FilePages, LAYOUT};
use bevelbook_keypad::memory::Memory;
use bevelbook_tests::emulator::{
    BuildError, Emulator, Key, Options, PATIENCE, Picture, available, image, make_memory,
};
use std::ops::{Deref, DerefMut};
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use tempfile::{NamedTempFile, TempDir};

/// The rows of the display above the title: job, eye, and what waits.
pub(crate) const HEADER_ROWS: usize = 9;

static ONE: Mutex<()> = Mutex::new(());

/// A keypad, and what it is started with.
pub(crate) struct Board {
    emulator: Option<Emulator>,
    pub(crate) options: Options,
    folder: TempDir,
    _alone: MutexGuard<'static, ()>,
}

impl Deref for Board {
    type Target = Emulator;

    fn deref(&self) -> &Emulator {
        self.emulator.as_ref().unwrap()
    }
}

impl DerefMut for Board {
    fn deref_mut(&mut self) -> &mut Emulator {
        self.emulator.as_mut().unwrap()
    }
}

impl Board {
    /// A keypad with a blank memory, not started yet.
    pub(crate) fn new() -> Self {
        Self::of(image)
    }

    /// As [`Board::new`], of that image.
    pub(crate) fn of(image: impl FnOnce() -> Result<&'static Path, BuildError>) -> Self {
        let alone = ONE.lock().unwrap_or_else(PoisonError::into_inner);
        assert!(available(), "this test needs QEMU: install qemu-system-arm");
        let folder = TempDir::new().unwrap();
        let memory = folder.path().join("memory");
        make_memory(&memory).unwrap();
        let options = Options::new(image().unwrap_or_else(|error| panic!("{error}")), &memory);
        Self { emulator: None, options, folder, _alone: alone }
    }

    /// A keypad that was just begun.
    pub(crate) fn begun() -> Self {
        let mut board = Self::new();
        board.begin();
        board
    }

    /// Starts it and begins its journal.
    pub(crate) fn begin(&mut self) {
        self.start();
        let first = self.until_lit();
        self.hold(Key::Centre).unwrap();
        self.until(|picture| picture.differs(&first) > 100);
    }

    pub(crate) fn start(&mut self) {
        self.emulator = Some(Emulator::start(&self.options).unwrap());
    }

    /// As `kill -9` does.
    pub(crate) fn cut_power(&mut self) {
        self.emulator.take().unwrap().cut_power().unwrap();
    }

    /// Waits until the display shows what `wanted` wants.
    pub(crate) fn until(&mut self, wanted: impl Fn(&Picture) -> bool) -> Picture {
        let begun = Instant::now();
        let mut seen = None;
        loop {
            let picture = self.picture().unwrap();
            // One that is being sent to the display is half of each: it counts once it stays.
            let steady = seen.as_ref() == Some(&picture);
            seen = Some(picture.clone());
            if steady && wanted(&picture) {
                return picture;
            }
            assert!(begun.elapsed() < PATIENCE, "it still shows {picture:?}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    pub(crate) fn until_lit(&mut self) -> Picture {
        self.until(|picture| picture.lit() > 100)
    }

    /// Waits until the display shows something else below its header, past the beat of another eye.
    pub(crate) fn until_other(&mut self, than: &Picture) -> Picture {
        self.until(|picture| !is_beat(picture) && !same_below_header(picture, than))
    }

    /// What the memory holds at this moment, from a copy of it.
    pub(crate) fn memory(&self) -> Memory<FilePages> {
        // The memory that was made of an earlier copy may hold that one still.
        let (_, copy) = NamedTempFile::new_in(&self.folder).unwrap().keep().unwrap();
        std::fs::copy(&self.options.memory, &copy).unwrap();
        let pages = FilePages::open(&copy, None).unwrap();
        let memory = Memory::open(pages, LAYOUT).map_err(|error| error.to_string()).unwrap().0;
        std::fs::remove_file(copy).unwrap();
        memory
    }
}

pub(crate) fn same_below_header(one: &Picture, other: &Picture) -> bool {
    let places = (HEADER_ROWS..64).flat_map(|y| (0..128).map(move |x| (x, y)));
    places.into_iter().all(|(x, y)| one.at(x, y) == other.at(x, y))
}

/// Whether it is the name of an eye over all the display.
pub(crate) fn is_beat(picture: &Picture) -> bool {
    picture.lit() > 128 * 64 / 2
}

/// Whether the title is lit round its letters: a warning or a refusal.
pub(crate) fn warns(picture: &Picture) -> bool {
    (40..128).filter(|x| picture.at(*x, HEADER_ROWS) > 0).count() > 60
}
