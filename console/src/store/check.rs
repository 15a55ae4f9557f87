//! Whether the book is sound.

use super::{Book, Error, schema};

/// What a check found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Health {
    /// What is wrong, a sentence each; empty when the book is sound.
    pub problems: Vec<String>,
    /// Records in the book.
    pub records: u32,
    /// Journals with records here or begun here.
    pub journals: u32,
    /// Jobs that have records.
    pub jobs: u32,
    /// Names.
    pub people: u32,
    /// Records that arrived under a number already taken. Something to look into, but no fault of the file.
    pub conflicts: u32,
}

impl Book {
    /// Checks the database's pages (SQLite's `quick_check`), its references between tables, and that the tables
    /// and the triggers that refuse changes are all there; counts what is in it.
    ///
    /// # Errors
    /// The database cannot be read at all; what can be read and is wrong is in [`Health::problems`].
    pub fn check(&self) -> Result<Health, Error> {
        let mut problems = self.rows("PRAGMA quick_check", [], |r| r.get::<_, String>(0))?;
        problems.retain(|line| line != "ok");
        problems.extend(self.rows("PRAGMA foreign_key_check", [], |r| {
            let (table, parent): (String, String) = (r.get(0)?, r.get(2)?);
            Ok(format!("a row of {table} refers to a missing row of {parent}"))
        })?);
        let found = self.ask("cannot read the tables", schema::objects)?;
        let intact = self.join(schema::intact_objects())?;
        let missing = intact.iter().filter(|object| !found.contains(object));
        problems
            .extend(missing.map(|(name, _)| format!("{name} is missing or not as this program makes it")));
        let counts = "SELECT (SELECT count(*) FROM record), (SELECT count(*) FROM journal),
                      (SELECT count(DISTINCT job) FROM record), (SELECT count(*) FROM person),
                      (SELECT count(*) FROM conflict)";
        self.ask("cannot count", |conn| {
            conn.query_row(counts, [], |r| {
                Ok(Health {
                    problems,
                    records: r.get(0)?,
                    journals: r.get(1)?,
                    jobs: r.get(2)?,
                    people: r.get(3)?,
                    conflicts: r.get(4)?,
                })
            })
        })
    }
}
