//! Where a book is.

use super::file::default_book_path;
use super::server::{Address, NotAnAddress};
use crate::file::folder_of;
use std::ffi::OsString;
use std::fmt;
use std::path::{Path, PathBuf};

/// Where a book is: a file of this machine, or on a server.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// A file.
    File(PathBuf),
    /// A database of a server.
    Server(Address),
}

impl Place {
    /// The place that a text names: a server's address where it is meant as one, else a path.
    ///
    /// # Errors
    /// It is meant as an address, and is none.
    pub fn named(text: OsString) -> Result<Self, NotAnAddress> {
        match text.to_str().and_then(Address::meant) {
            Some(address) => Ok(Self::Server(address?)),
            None => Ok(Self::File(text.into())),
        }
    }

    /// The path, where it is a file.
    #[must_use]
    pub fn as_file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(path),
            Self::Server(_) => None,
        }
    }

    /// The folder of this machine where what belongs to the book lies: the file's own; for a server's book the one that has
    /// the book when no place is named.
    #[must_use]
    pub fn folder(&self) -> PathBuf {
        match self {
            Self::File(path) => folder_of(path).to_path_buf(),
            Self::Server(_) => {
                default_book_path().map_or_else(|_| PathBuf::from("."), |path| folder_of(&path).into())
            }
        }
    }
}

impl From<&Path> for Place {
    fn from(path: &Path) -> Self {
        Self::File(path.to_path_buf())
    }
}

impl From<&PathBuf> for Place {
    fn from(path: &PathBuf) -> Self {
        Self::File(path.clone())
    }
}

impl From<PathBuf> for Place {
    fn from(path: PathBuf) -> Self {
        Self::File(path)
    }
}

impl From<&Self> for Place {
    fn from(place: &Self) -> Self {
        place.clone()
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File(path) => path.display().fmt(f),
            Self::Server(address) => address.fmt(f),
        }
    }
}
