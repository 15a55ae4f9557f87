//! `book where`.

use super::backup::last;
use crate::cli::{Failure, Report, answer, shop::Shop};

pub(super) fn run(shop: &Shop) -> Result<Report, Failure> {
    let path = shop.book_path()?;
    let there = path.exists();
    let hint = "there is no book there yet; the first job begins it";
    let (told, last) = last(&path);
    let report = answer!(
        "{path}";
        path = path.display().to_string(),
        exists = there,
        last_backup = last,
    );
    Ok(report.hint(told).hints((!there).then(|| hint.into())))
}
