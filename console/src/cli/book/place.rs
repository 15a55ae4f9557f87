//! `book where`.

use super::backup::last;
use super::rights::may;
use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::{About, Book, Error, Place, Trouble};

pub(super) fn run(shop: &Shop) -> Result<Report, Failure> {
    let place = shop.place()?;
    let looked = Book::look(&place);
    if place.as_file().is_none() {
        return at_server(&place, looked);
    }
    let there = !matches!(looked, Err(Error { trouble: Trouble::Missing, .. }));
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

/// A book on a server: where it is told also while that does not answer.
fn at_server(place: &Place, looked: Result<Book, Error>) -> Result<Report, Failure> {
    let path = place.to_string();
    let book = match looked {
        Ok(book) => book,
        Err(error) => {
            let exists = matches!(error.trouble, Trouble::Missing).then_some(false);
            return Ok(answer!("{path}"; path = path, exists = exists).hint(error.to_string()));
        }
    };
    let Some(About { version, waits_for_disk, waits_for_standbys }) = book.server()? else {
        return Ok(answer!("{path}"; path = path));
    };
    let rights = book.rights().cloned();
    let role = rights
        .iter()
        .map(|rights| format!("\n  role {:<8} {}", rights.role, may(rights)))
        .collect::<String>();
    let durable = match (waits_for_disk, waits_for_standbys.as_str()) {
        (false, _) => "NOT kept for certain: the server does not wait for its disk".to_owned(),
        (true, "") => "is on the server's disk".to_owned(),
        (true, standbys) => format!("is on the server's disk and with who stands by ({standbys})"),
    };
    let report = answer!(
        "{path}\n  PostgreSQL    {version}{}\n  what is saved {durable}", role;
        path = path,
        exists = true,
        version = version,
        rights = rights,
        waits_for_disk = waits_for_disk,
        waits_for_standbys = waits_for_standbys,
    );
    Ok(report.hints(book.warnings().iter().cloned()).hint(last(place).0))
}
