//! `book begin`.

use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::Book;
use clap::Args;

const HELP: &str = "\
A book in a file is begun by its first job. On a server it is begun once, by the role that is to own it: the database must
be there and empty of a schema called bevelbook.

Examples:
  createdb -h books.example shop
  bevelbook --book postgres://owner@books.example/shop book begin";

/// Begin a book where none is.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct BeginArgs {}

pub(super) fn run(shop: &Shop, _: &BeginArgs) -> Result<Report, Failure> {
    let place = shop.place()?;
    let begun = Book::begin(&place)?;
    let said = if begun { "began a new book at" } else { "nothing was done: there is a book at" };
    Ok(answer!("{said} {path}"; path = place.to_string(), begun = begun))
}
