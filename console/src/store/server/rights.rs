//! What a role of a server may do with the book that it keeps, and what it works as.

use crate::store::value::{Fault, Row};

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
pub(super) fn read(row: &Row<'_>, first: usize) -> Result<Rights, Fault> {
    let is = |at: usize| row.get::<bool>(first + at);
    Ok(Rights {
        role: row.get(first)?,
        owns: is(1)?,
        reads: is(2)?,
        logs: is(3)?,
        reads_names: is(4)?,
        sets_names: is(5)?,
    })
}
