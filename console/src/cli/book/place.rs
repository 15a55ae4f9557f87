//! `book where`.

use super::backup::last;
use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::{Book, Error, Trouble};

pub(super) fn run(shop: &Shop) -> Result<Report, Failure> {
    let place = shop.place()?;
    let there = match Book::look(&place) {
        Err(Error { trouble: Trouble::Missing, .. }) => false,
        looked => looked.is_ok() || place.as_file().is_some(),
    };
    let hint = "there is no book there yet; the first job begins it";
    let (told, last) = last(&place);
    let report = answer!(
        "{path}";
        path = place.to_string(),
        exists = there,
        last_backup = last,
    );
    Ok(report.hint(told).hints((!there).then(|| hint.into())))
}
