//! The grants of each job: no more rights than it needs.
//!
//! They are plain grants to a role that is there already, from one table. What is later than a grant gets its rights by the
//! migration that makes it (`schema.rs`). Nobody but the owner changes tables, switches a trigger off, or gives rights.

use super::denied::quoted;
use super::link::Link;
use super::rights::Duty;
use crate::store::value::{Fault, values};
use std::ops::ControlFlow;

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

/// What takes everything from a role and gives it what it needs.
pub(super) fn statements(role: &str, duty: Option<Duty>) -> String {
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

/// The roles that were granted something, and what each works as.
pub(super) fn granted(link: &Link) -> Result<Vec<(String, Duty)>, Fault> {
    let sql = "SELECT CAST(pg_get_userbyid(acl.grantee) AS TEXT),
                      bool_or(relname = 'record' AND acl.privilege_type = 'INSERT'),
                      bool_or(relname = 'person' AND acl.privilege_type = 'INSERT')
               FROM pg_catalog.pg_class AS it, LATERAL aclexplode(it.relacl) AS acl
               WHERE it.oid IN (CAST('bevelbook.record' AS pg_catalog.regclass),
                                CAST('bevelbook.person' AS pg_catalog.regclass))
                     AND acl.grantee <> 0 AND acl.grantee <> it.relowner
               GROUP BY acl.grantee";
    let mut roles = Vec::new();
    link.run(sql, values![], &mut |row| {
        let duty = match (row.try_get(1)?, row.try_get(2)?) {
            (_, true) => Duty::Counter,
            (true, false) => Duty::Bench,
            (false, false) => Duty::Reader,
        };
        roles.push((row.try_get(0)?, duty));
        Ok(ControlFlow::Continue(()))
    })?;
    Ok(roles)
}
