//! The roles of a server: who may what, asked and said.

use super::address::Address;
use super::connect::{Purpose, connect};
use super::denied::Denied;
use super::grants::statements;
use super::link::Link;
use super::meaning::denied;
use super::rights::{Duty, Rights, columns, read};
use super::{console, schema, tables};
use crate::store::Trouble;
use crate::store::fault::failed;
use crate::store::value::{Fault, For, Value, values};
use std::ops::ControlFlow;
use tokio_postgres::Row;

/// The roles that may anything with the book at an address, by their names. What the server made by itself is left out.
pub(in crate::store) fn all(address: &Address) -> Result<Vec<Rights>, Trouble> {
    let link = Link::new(connect(address, Purpose::Look)?);
    schema::version(&link)?.ok_or(Trouble::Missing)?;
    let sql = format!(
        "SELECT {} FROM pg_catalog.pg_roles WHERE substr(rolname, 1, 3) <> 'pg_' ORDER BY rolname",
        columns("rolname")
    );
    let mut rights = rows(&link, &sql, values![], |row| read(&crate::store::value::Row::Server(row), 0))
        .map_err(failed("cannot list roles"))?;
    rights.retain(|r| r.owns || r.reads || r.logs || r.reads_names || r.sets_names);
    Ok(rights)
}

/// Gives a role what it needs to work as `duty`, and takes what it has beyond that; everything where it works as nothing.
/// What it may then is told, which is more where it may it by another role.
pub(in crate::store) fn give(address: &Address, role: &str, duty: Option<Duty>) -> Result<Rights, Trouble> {
    let link = owners(address, "say who may what in the book")?;
    if of(&link, role)?.owns {
        return Err(denied(Denied::IsOwner { role: role.to_owned() }));
    }
    let given = || -> Result<(), Fault> {
        link.begin(For::Making)?;
        link.batch(&statements(role, duty))?;
        link.commit()
    };
    given().inspect_err(|_| link.undo()).map_err(failed("cannot say who may what"))?;
    of(&link, role)
}

/// The trouble of a role that may not set or forget names.
pub(in crate::store) fn no_names(rights: &Rights) -> Trouble {
    denied(Denied::Names { role: rights.role.clone() })
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
        return Err(denied(Denied::NoRole { role: role.to_owned(), alike }));
    }
    let sql = format!("SELECT {} FROM pg_catalog.pg_roles WHERE rolname = ?1", columns("rolname"));
    let rights = rows(link, &sql, values![role], |row| read(&crate::store::value::Row::Server(row), 0))
        .map_err(looking)?
        .pop();
    rights.ok_or_else(|| denied(Denied::NoRole { role: role.to_owned(), alike: None }))
}

/// A connection of the book's owner, its schema the newest; `doing` is what for.
fn owners(address: &Address, doing: &'static str) -> Result<Link, Trouble> {
    let link = Link::new(connect(address, Purpose::Write)?);
    let found = schema::version(&link)?.ok_or(Trouble::Missing)?;
    schema::migrate(&link, found, tables::MIGRATIONS)?;
    console::find(&link)?;
    match link.rights() {
        Some(rights) if !rights.owns => Err(denied(Denied::Own { role: rights.role.clone(), doing })),
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
