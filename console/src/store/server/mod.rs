//! A book that a server keeps, which speaks PostgreSQL's protocol.
//!
//! `link` a connection, and what a write is there · `schema` tables · `console` this console's journal.

mod address;
mod console;
mod doubt;
mod link;
mod schema;

pub(super) use address::trouble;
pub use address::{Address, NotAnAddress};
pub(super) use link::Link;
pub(super) use schema::KNOWN;

use super::Trouble;
use super::chain::Digest;
use super::engine::{Conn, Fault};
use super::error::{BUSY_S, failed};
use address::connect;
use bevelbook_core::record::RecordId;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// A connection that writes the book at an address, its schema the newest, this console's journal begun.
pub(super) fn open(address: &Address) -> Result<Link, Trouble> {
    let link = Link::new(connect(address)?);
    let found = schema::version(&link)?.ok_or(Trouble::Missing)?;
    schema::migrate(&link, found, schema::MIGRATIONS)?;
    console::settle(&link)?;
    Ok(link)
}

/// A connection that only reads it.
pub(super) fn look(address: &Address) -> Result<Link, Trouble> {
    let link = Link::new(connect(address)?);
    match schema::version(&link)?.ok_or(Trouble::Missing)? {
        schema::KNOWN => {}
        found => return Err(Trouble::NewerSchema { found, known: schema::KNOWN }),
    }
    console::find(&link)?;
    Ok(link)
}

/// Makes the tables of a book; `false` where one is there already.
pub(super) fn begin(address: &Address) -> Result<bool, Trouble> {
    schema::begin(&Link::new(connect(address)?))
}

/// Whether the book has a record after all, whose commit was not answered, and what asked that; `None` where that cannot be
/// found out. The write lock is waited for: whoever was committing is over then.
pub(super) fn has_after_all(address: &Address, last: Option<(RecordId, Digest)>) -> Option<(Link, bool)> {
    let (id, digest) = last?;
    let begun = Instant::now();
    loop {
        let asked = open(address).and_then(|link| {
            let has = doubt::has(&link, id, &digest).map_err(failed("cannot look"))?;
            Ok((link, has))
        });
        match asked {
            Ok(found) => return Some(found),
            Err(Trouble::Away { .. }) if begun.elapsed() < Duration::from_secs(BUSY_S) => {
                sleep(Duration::from_millis(200));
            }
            Err(_) => return None,
        }
    }
}

/// The objects of the book, against those that this program makes.
pub(super) fn objects(_: &Conn, _: &mut Vec<String>) -> Result<(), Fault> {
    Ok(())
}
