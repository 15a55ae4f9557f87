//! A book that a server keeps, which speaks PostgreSQL's protocol.
//!
//! Files: `address` what is typed · `said` what may be said of a server · `service`, `passfile` the files of libpq ·
//! `surroundings`, `way` all of it together · `tls` who may answer · `connect`, `attempt` the connection · `client`, `patience`
//! what is asked over it, and how long an answer is waited for · `keeping` whether it keeps what it says it keeps · `meaning`,
//! `refusal` what it refuses · `link` what a read and a write are there, `at_once`, `ahead` several questions in one message ·
//! `doubt` a commit that was not answered · `tables`, `schema`, `sound` what is wrong with them · `spelled` statements as text ·
//! `console` this console's journal · `rights`,
//! `grants`, `roles` what a role may, `denied` and what not · `about` what a server tells of itself.

mod about;
mod address;
mod ahead;
mod at_once;
mod attempt;
mod client;
mod connect;
mod console;
mod denied;
mod doubt;
mod grants;
mod keeping;
mod link;
mod meaning;
mod passfile;
mod patience;
mod refusal;
mod rights;
pub(super) mod roles;
mod said;
mod schema;
mod service;
pub(super) mod sound;
mod spelled;
mod surroundings;
mod tables;
#[cfg(test)]
mod tests;
mod tls;
mod way;

pub use about::About;
pub(super) use about::about;
pub use address::{Address, NotAnAddress};
pub(super) use doubt::has_after_all;
pub(super) use link::Link;
pub(super) use meaning::trouble;
pub use patience::Patience;
pub use refusal::Refusal;
pub use rights::{Duty, Rights};
pub(super) use tables::KNOWN;

use super::Trouble;
use connect::{Purpose, connect};

/// A connection that writes the book at an address, its schema the newest, this console's journal begun; and who waits for its
/// answers.
pub(super) fn open(address: &Address, patience: Patience) -> Result<Link, Trouble> {
    let mut link = Link::new(connect(address, Purpose::Write)?);
    link.wait_as(patience);
    let met = console::meet(&link, true);
    let found = met.map_or_else(|| schema::version(&link), |met| Ok(Some(met)))?.ok_or(Trouble::Missing)?;
    schema::migrate(&link, found, tables::MIGRATIONS)?;
    console::settle(&link)?;
    link.warnings.extend(link.twin.get().then(|| console::TWIN.to_owned()));
    Ok(link)
}

/// A connection that only reads it.
pub(super) fn look(address: &Address) -> Result<Link, Trouble> {
    let link = Link::new(connect(address, Purpose::Look)?);
    let met = console::meet(&link, false);
    match met.map_or_else(|| schema::version(&link), |met| Ok(Some(met)))?.ok_or(Trouble::Missing)? {
        tables::KNOWN => {}
        found => return Err(Trouble::NewerSchema { found, known: tables::KNOWN }),
    }
    if met.is_none() {
        console::find(&link)?;
    }
    Ok(link)
}

/// Makes the tables of a book; `false` where one is there already.
pub(super) fn begin(address: &Address) -> Result<bool, Trouble> {
    schema::begin(&Link::new(connect(address, Purpose::Write)?))
}
