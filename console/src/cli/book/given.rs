//! A file that is given for a book.

use crate::cli::Failure;
use std::path::Path;

/// That something is at `file`, which was given for a book.
pub(super) fn is_there(file: &Path) -> Result<(), Failure> {
    let missing =
        || format!("there is no file at {}; `bevelbook book where` names the last backup", file.display());
    file.exists().then_some(()).ok_or_else(|| Failure::NotFound(missing()))
}
