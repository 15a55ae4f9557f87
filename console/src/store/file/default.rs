//! The book that is meant when none is named.

use etcetera::BaseStrategy;
use std::path::PathBuf;

/// The platform names no folder for data.
#[derive(Debug, thiserror::Error)]
#[error("no data folder for a default book: {0}; set HOME, or give the path of the book")]
pub struct NoDataFolder(etcetera::HomeDirError);

/// The book used when no path is given: `bevelbook/book.db` in the platform's data folder
/// (`~/.local/share` by the XDG base directory specification 0.8, or what macOS and Windows name).
///
/// # Errors
/// The platform names no home folder.
pub fn default_book_path() -> Result<PathBuf, NoDataFolder> {
    let strategy = etcetera::base_strategy::choose_native_strategy().map_err(NoDataFolder)?;
    Ok(strategy.data_dir().join("bevelbook").join("book.db"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_default_book_has_its_own_folder() {
        assert!(default_book_path().unwrap().ends_with("bevelbook/book.db"));
    }
}
