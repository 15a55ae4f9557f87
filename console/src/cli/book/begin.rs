//! `book begin`.

use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::{Book, Place};
use clap::Args;
use std::ffi::OsString;

const HELP: &str = "\
A book in a file is begun by its first job. On a server it is begun once, as the role that is to own it: the database must
be there, and the role must be its owner or be allowed to create in it. The owner may change tables and rights; benches,
counters and offices get roles of their own, which may less.

Examples:
  createdb --host books.example --owner shop shop
  bevelbook book begin postgres://shop@books.example/shop";

/// Begin a book where none is.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct BeginArgs {
    /// Where; without it, the place that --book names.
    #[arg(value_name = "postgres://…|PATH")]
    place: Option<OsString>,
}

pub(super) fn run(shop: &Shop, args: &BeginArgs) -> Result<Report, Failure> {
    let place = match &args.place {
        Some(place) => Place::named(place.clone()).map_err(Failure::wrong)?,
        None => shop.place()?,
    };
    let begun = Book::begin(&place)?;
    let said = if begun { "began a new book at" } else { "nothing was done: there is a book at" };
    let report = answer!("{said} {path}"; path = place.to_string(), begun = begun);
    let (true, Place::Server(address)) = (begun, &place) else { return Ok(report) };
    Ok(report.hint(format!(
        "what comes next:\n  \
         a role for each bench, counter and office  createuser --pwprompt bench1\n  \
         what it works as                           bevelbook book grant bench1 --as bench\n  \
         where its console finds the book           BEVELBOOK_BOOK='{}'\n  \
         the password there                         in ~/.pgpass, for one person alone: HOST:PORT:DATABASE:bench1:PASSWORD",
        address.of_user("bench1")
    )))
}
