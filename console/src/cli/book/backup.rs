//! `book backup`: a copy of the book.

use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::Book;
use clap::Args;
use std::path::PathBuf;

/// Copy the book, also while others write to it.
#[derive(Args)]
pub(crate) struct BackupArgs {
    /// The file to write.
    path: PathBuf,
}

pub(super) fn run(shop: &Shop, args: &BackupArgs) -> Result<Report, Failure> {
    Book::look(&shop.book_path()?)?.backup_to(&args.path)?;
    Ok(answer!("backed up to {path}"; path = args.path.display().to_string()))
}
