//! What real servers answer, and what is told of it.

mod certificates;
mod doors;
mod hosts;
mod proof;
mod sessions;
mod silence;

use super::Shop;
use crate::store::server::Address;
use crate::store::server::connect::{Purpose, Reached, connect_from};
use crate::store::value::Fault;
use crate::store::{Place, Trouble};
use tokio_postgres::{Error, SimpleQueryMessage};

impl Shop {
    fn connect(&self, address: &str, purpose: Purpose) -> Result<Reached, Trouble> {
        let address = Address::read(address).unwrap();
        self.within(|around| connect_from(&address, purpose, around))
    }

    fn reach(&self, address: &str) -> Reached {
        self.connect(address, Purpose::Write).unwrap_or_else(|why| panic!("{}", text(why, address)))
    }

    /// What is told of a server that is not reached.
    fn told(&self, address: &str) -> String {
        let told = match self.connect(address, Purpose::Write) {
            Ok(reached) => panic!("{reached:?} serves"),
            Err(why) => text(why, address),
        };
        println!("{told}\n");
        told
    }

    /// That nobody is there, and what was met.
    fn away(&self, address: &str) -> String {
        match self.connect(address, Purpose::Write) {
            Err(Trouble::Away { why }) => why,
            Err(other) => panic!("not away: {}", text(other, address)),
            Ok(reached) => panic!("{reached:?} serves"),
        }
    }
}

fn text(trouble: Trouble, address: &str) -> String {
    trouble.at(Place::Server(Address::read(address).unwrap())).to_string()
}

#[track_caller]
fn assert_says(told: &str, words: &[&str]) {
    for word in words {
        assert!(told.contains(word), "no \u{201c}{word}\u{201d} in: {told}");
    }
}

fn setting(reached: &mut Reached, name: &str) -> String {
    first(reached, &format!("SHOW {name}"))
}

/// The first value of an answer, as text.
fn first(reached: &mut Reached, sql: &str) -> String {
    let said = reached.client.simple_query(sql).unwrap();
    let rows =
        said.iter().filter_map(|said| if let SimpleQueryMessage::Row(row) = said { Some(row) } else { None });
    rows.map(|row| row.get(0).unwrap().to_owned()).next().unwrap()
}

/// What a server said instead of doing it.
fn refused(reached: &mut Reached, sql: &str) -> Error {
    match reached.client.batch_execute(sql) {
        Err(Fault::Server(said)) => said,
        other => panic!("{sql}: {other:?}"),
    }
}
