//! What the roles of a server may do with the book that it keeps: no more than their jobs need.
//!
//! Rights are plain grants to a role that is there already. What each job may stands in one table; what is later than a
//! grant gets its rights by the migration that makes it (`schema.rs`). Nobody but the owner changes tables, switches a
//! trigger off, or gives rights.

use super::address::Address;
use super::connect::{Purpose, connect};
use super::denied::{Denied, quoted};
use super::link::Link;
use super::{console, schema, tables};
use crate::store::Trouble;
use crate::store::fault::failed;
use crate::store::value::{Fault, For, Value, values};
use postgres::Row;
use std::ops::ControlFlow;

/// What a role works as. Each may what those before it may.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, clap::ValueEnum, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Duty {
    /// Looks at everything but names of people: an office, a screen on the wall.
    Reader,
    /// Logs as well: a bench.
    Bench,
    /// Reads, sets and forgets names of people as well: where orders are taken.
    Counter,
}

/// What each of them may: its rights, and with which tables. Words that jobs are found by follow from records, and go when
/// they follow no longer; nothing else is ever deleted but a name.
const MAY: [(Duty, &str, &[&str]); 7] = [
    (
        Duty::Reader,
        "SELECT",
        &["book", "journal", "console", "record", "conflict", "chain", "found_by", "found_upto", "leap"],
    ),
    (Duty::Bench, "INSERT", &["journal", "console", "record", "conflict", "chain", "found_by", "found_upto"]),
    (Duty::Bench, "UPDATE (writes)", &["book"]),
    (Duty::Bench, "UPDATE (links, digest)", &["chain"]),
    (Duty::Bench, "UPDATE (version, position)", &["found_upto"]),
    (Duty::Bench, "DELETE", &["found_by", "found_upto"]),
    (Duty::Counter, "SELECT, INSERT, UPDATE (name, digest), DELETE", &["person"]),
];

/// What a role may, be it by its own rights or by those of a role that it is a member of.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Rights {
    /// The role.
    pub role: String,
    /// Whether it may everything that the owner of the book may.
    pub owns: bool,
    /// Whether it reads everything but names.
    pub reads: bool,
    /// Whether it logs.
    pub logs: bool,
    /// Whether it reads names of people.
    pub reads_names: bool,
    /// Whether it sets and forgets them.
    pub sets_names: bool,
}

impl Rights {
    /// What it works as, if its rights are those.
    #[must_use]
    pub const fn duty(&self) -> Option<Duty> {
        match (self.reads, self.logs, self.reads_names, self.sets_names) {
            (true, true, true, true) => Some(Duty::Counter),
            (true, true, false, false) => Some(Duty::Bench),
            (true, false, false, false) => Some(Duty::Reader),
            _ => None,
        }
    }

    /// The trouble of a role that may not set or forget names.
    pub(in crate::store) fn no_names(&self) -> Trouble {
        Denied::Names { role: self.role.clone() }.trouble()
    }
}

/// The columns that tell what a role may, `role` being its name in SQL; [`read`] reads them.
pub(super) fn columns(role: &str) -> String {
    let may =
        |table: &str, right: &str| format!("has_table_privilege({role}, 'bevelbook.{table}', '{right}')");
    format!(
        "CAST({role} AS TEXT),
         pg_has_role({role}, (SELECT relowner FROM pg_catalog.pg_class
                              WHERE oid = CAST('bevelbook.book' AS pg_catalog.regclass)), 'USAGE'),
         has_schema_privilege({role}, 'bevelbook', 'USAGE') AND {},
         {} AND has_column_privilege({role}, 'bevelbook.book', 'writes', 'UPDATE'),
         {}, {} AND {}",
        may("record", "SELECT"),
        may("record", "INSERT"),
        may("person", "SELECT"),
        may("person", "INSERT"),
        may("person", "DELETE"),
    )
}

/// Reads [`columns`], which begin behind `first` others.
pub(super) fn read(row: &Row, first: usize) -> Result<Rights, Fault> {
    let is = |at: usize| row.try_get::<_, bool>(first + at);
    Ok(Rights {
        role: row.try_get(first)?,
        owns: is(1)?,
        reads: is(2)?,
        logs: is(3)?,
        reads_names: is(4)?,
        sets_names: is(5)?,
    })
}

/// The roles that may anything with the book at an address, by their names. What the server made by itself is left out.
pub(in crate::store) fn all(address: &Address) -> Result<Vec<Rights>, Trouble> {
    let link = super::look(address)?;
    let sql = format!(
        "SELECT {} FROM pg_catalog.pg_roles WHERE substr(rolname, 1, 3) <> 'pg_' ORDER BY rolname",
        columns("rolname")
    );
    let mut rights = rows(&link, &sql, values![], |row| read(row, 0)).map_err(failed("cannot list roles"))?;
    rights.retain(|r| r.owns || r.reads || r.logs || r.reads_names || r.sets_names);
    Ok(rights)
}

/// Gives a role what it needs to work as `duty`, and takes what it has beyond that; everything where it works as nothing.
/// What it may then is told, which is more where it may it by another role.
pub(in crate::store) fn give(address: &Address, role: &str, duty: Option<Duty>) -> Result<Rights, Trouble> {
    let link = owners(address, "say who may what in the book")?;
    if of(&link, role)?.owns {
        return Err(Denied::IsOwner { role: role.to_owned() }.trouble());
    }
    let given = || -> Result<(), Fault> {
        link.begin(For::Making)?;
        link.batch(&statements(role, duty))?;
        link.commit()
    };
    given().inspect_err(|_| link.undo()).map_err(failed("cannot say who may what"))?;
    of(&link, role)
}

/// Gives every role that works as something its rights anew, within the transaction that made other tables.
pub(super) fn renew(link: &Link) -> Result<(), Fault> {
    let sql = "SELECT CAST(pg_get_userbyid(acl.grantee) AS TEXT),
                      bool_or(relname = 'record' AND acl.privilege_type = 'INSERT'),
                      bool_or(relname = 'person' AND acl.privilege_type = 'INSERT')
               FROM pg_catalog.pg_class AS it, LATERAL aclexplode(it.relacl) AS acl
               WHERE it.oid IN (CAST('bevelbook.record' AS pg_catalog.regclass),
                                CAST('bevelbook.person' AS pg_catalog.regclass))
                     AND acl.grantee <> 0 AND acl.grantee <> it.relowner
               GROUP BY acl.grantee";
    let duty = |row: &Row| -> Result<(String, Duty), Fault> {
        let (logs, sets_names) = (row.try_get(1)?, row.try_get(2)?);
        Ok((
            row.try_get(0)?,
            if sets_names {
                Duty::Counter
            } else if logs {
                Duty::Bench
            } else {
                Duty::Reader
            },
        ))
    };
    for (role, duty) in rows(link, sql, values![], duty)? {
        link.batch(&statements(&role, Some(duty)))?;
    }
    Ok(())
}

/// What a role may.
fn of(link: &Link, role: &str) -> Result<Rights, Trouble> {
    let looking = failed("cannot look for a role");
    // Asked by its name first: what tells of rights fails for a name that is none.
    let sql = "SELECT CAST(rolname AS TEXT) FROM pg_catalog.pg_roles
               WHERE lower(rolname) = lower(?1) ORDER BY rolname <> ?1";
    let mut alike = None;
    let found = link.run(sql, values![role], &mut |row| {
        alike = Some(row.try_get::<_, String>(0)?);
        Ok(ControlFlow::Break(()))
    });
    found.map_err(looking)?;
    if alike.as_deref() != Some(role) {
        return Err(Denied::NoRole { role: role.to_owned(), alike }.trouble());
    }
    let sql = format!("SELECT {} FROM pg_catalog.pg_roles WHERE rolname = ?1", columns("rolname"));
    let rights = rows(link, &sql, values![role], |row| read(row, 0)).map_err(looking)?.pop();
    rights.ok_or_else(|| Denied::NoRole { role: role.to_owned(), alike: None }.trouble())
}

/// What takes everything from a role and gives it what it needs.
fn statements(role: &str, duty: Option<Duty>) -> String {
    let role = quoted(role);
    let mut sql = format!(
        "REVOKE ALL ON ALL TABLES IN SCHEMA bevelbook FROM {role}; REVOKE ALL ON SCHEMA bevelbook FROM {role};"
    );
    let Some(duty) = duty else { return sql };
    sql += &format!("GRANT USAGE ON SCHEMA bevelbook TO {role};");
    for (_, rights, tables) in MAY.iter().filter(|(least, ..)| *least <= duty) {
        let tables: Vec<String> = tables.iter().map(|table| format!("bevelbook.{table}")).collect();
        sql += &format!("GRANT {rights} ON {} TO {role};", tables.join(", "));
    }
    sql
}

/// A connection of the book's owner, its schema the newest; `doing` is what for.
fn owners(address: &Address, doing: &'static str) -> Result<Link, Trouble> {
    let link = Link::new(connect(address, Purpose::Write)?);
    let found = schema::version(&link)?.ok_or(Trouble::Missing)?;
    schema::migrate(&link, found, tables::MIGRATIONS)?;
    console::find(&link)?;
    match link.rights() {
        Some(rights) if !rights.owns => Err(Denied::Own { role: rights.role.clone(), doing }.trouble()),
        _ => Ok(link),
    }
}

fn rows<T>(
    link: &Link,
    sql: &str,
    values: &[Value<'_>],
    row: impl Fn(&Row) -> Result<T, Fault>,
) -> Result<Vec<T>, Fault> {
    let mut rows = Vec::new();
    link.run(sql, values, &mut |found| {
        rows.push(row(found)?);
        Ok(ControlFlow::Continue(()))
    })?;
    Ok(rows)
}
