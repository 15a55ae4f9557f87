//! Rights, when the tables are made anew.

use crate::store::server::address::Address;
use crate::store::server::connect::{Purpose, connect};
use crate::store::server::link::Link;
use crate::store::server::rights::Duty;
use crate::store::server::{roles, schema, tables};
use bevelbook_server::{Database, Server};

fn link(database: &Database<'_>, role: &str) -> Link {
    Link::new(connect(&Address::read(&database.url_as(role)).unwrap(), Purpose::Write).unwrap())
}

#[test]
fn a_later_table_gets_its_rights_by_the_migration_that_makes_it() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    let address = Address::read(&database.url()).unwrap();
    let owner = link(&database, "postgres");
    assert!(schema::begin(&owner).unwrap());
    let named = |role: &str| format!("{role}'s \"{}\"", database.name());
    for (role, duty) in
        [("reader", Duty::Reader), ("bench", Duty::Bench), ("counter", Duty::Counter), ("gone", Duty::Bench)]
    {
        server.sql(&format!("CREATE ROLE \"{}\" LOGIN", named(role).replace('"', "\"\"")));
        roles::give(&address, &named(role), Some(duty)).unwrap();
    }
    roles::give(&address, &named("gone"), None).unwrap();
    let before = roles::all(&address).unwrap();
    let anew = "DROP TABLE bevelbook.found_by, bevelbook.person;
                CREATE TABLE bevelbook.found_by (word TEXT, job BIGINT);
                CREATE TABLE bevelbook.person (reference TEXT, name TEXT, digest BYTEA)";
    let migrations = [tables::MIGRATIONS[0], anew];
    let denied = schema::migrate(&link(&database, &named("bench")), 1, &migrations).unwrap_err();
    let said = denied.at(crate::store::Place::Server(address.clone())).to_string();
    assert!(said.contains(&named("bench")) && said.contains("owner"), "{said}");
    schema::migrate(&owner, 1, &migrations).unwrap();
    let may = |role: &str, table: &str, right: &str| -> bool {
        let sql = "SELECT has_table_privilege($1, $2, $3)";
        database.client().query_one(sql, &[&named(role), &table, &right]).unwrap().get(0)
    };
    for (right, who) in [
        ("SELECT", [true, true, true, false]),
        ("INSERT", [false, true, true, false]),
        ("UPDATE", [false; 4]),
    ] {
        let found = ["reader", "bench", "counter", "gone"].map(|role| may(role, "bevelbook.found_by", right));
        assert_eq!(found, who, "{right}");
    }
    assert_eq!(roles::all(&address).unwrap(), before, "a counter has names again, and nobody has more");
}
