//! Whether the book is sound, and what is in it.

use super::server::Patience;
use super::value::{Fault, values};
use super::{Error, Reader, verify};

/// What a check found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Health {
    /// What is wrong, a sentence each; empty when the book is sound.
    pub problems: Vec<String>,
    /// Records in the book.
    pub records: u32,
    /// Records among them that are kept apart and do not count.
    pub apart: u32,
    /// Journals with records here or begun here.
    pub journals: u32,
    /// Jobs that have records.
    pub jobs: u32,
    /// Names; none where they may not be read.
    pub people: Option<u32>,
    /// Records that arrived under a number already taken, and no fault of the file.
    pub conflicts: u32,
    /// Numbers among theirs under which it is not decided yet which record counts; whoever knows what records say
    /// counts them.
    pub unsettled: u32,
    /// What could not be looked at, for want of the right.
    pub unseen: Vec<String>,
}

impl Reader {
    /// Verifies the whole book (`verify`) and counts what is in it. It takes as long as reading every page does.
    ///
    /// # Errors
    /// The database cannot be read at all; what can be read and is wrong is in [`Health::problems`].
    pub fn check(&self) -> Result<Health, Error> {
        self.wait_as(Patience::WholeBook);
        let mut problems = self.join(verify::verify(&self.conn))?;
        let counts =
            "SELECT (SELECT count(*) FROM record), (SELECT count(*) FROM record WHERE apart IS NOT NULL),
                      (SELECT count(*) FROM journal), (SELECT count(DISTINCT job) FROM record),
                      (SELECT count(*) FROM conflict)";
        let unseen = self.nameless().map(|role| format!("names of people, which role {role} may not read"));
        self.ask("cannot count", |conn| {
            let count = || conn.value("SELECT count(*) FROM person", values![]);
            let people = unseen.is_none().then(count).transpose()?;
            let counts = conn.first(counts, values![], |r| {
                Ok(Health {
                    problems: std::mem::take(&mut problems),
                    records: r.get(0)?,
                    apart: r.get(1)?,
                    journals: r.get(2)?,
                    jobs: r.get(3)?,
                    people,
                    conflicts: r.get(4)?,
                    unsettled: 0,
                    unseen: unseen.iter().cloned().collect(),
                })
            });
            counts?.ok_or(Fault::Column(0))
        })
    }
}
