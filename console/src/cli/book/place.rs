//! `book where`.

use crate::cli::{Failure, Report, answer, shop::Shop};

pub(super) fn run(shop: &Shop) -> Result<Report, Failure> {
    let path = shop.book_path()?;
    let there = path.exists();
    let hint = "there is no book there yet; the first job begins it";
    let report = answer!("{path}"; path = path.display().to_string(), exists = there);
    Ok(report.hints((!there).then(|| hint.into())))
}
