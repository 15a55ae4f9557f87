//! What a role may not do with a book, in words: which role, what, and who may.

use crate::shell::word;
use std::fmt;

/// Why a role does not get what it asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Denied {
    /// It has no rights at all.
    Look { role: String },
    /// It may only look.
    Log { role: String },
    /// It may not set or forget names.
    Names { role: String },
    /// It is not the owner, who alone may do so.
    Own { role: String, doing: &'static str },
    /// It may not make a schema in the database.
    Begin { role: String, database: String },
    /// The server has no such role.
    NoRole { role: String, alike: Option<String> },
    /// It has all rights by being the owner, or as good as one, and gets none beside these.
    IsOwner { role: String },
}

impl Denied {
    /// It in a sentence, of the book at `place`.
    pub(super) fn tell(&self, f: &mut fmt::Formatter<'_>, place: &dyn fmt::Display) -> fmt::Result {
        match self {
            Self::Look { role } => write!(
                f,
                "role {role} may not look into {place}; its owner says what a role is for, as in: {}, or bench, or counter",
                grant(role, "reader")
            ),
            Self::Log { role } => write!(
                f,
                "role {role} may only look into {place}: nothing was recorded. Its owner lets a role log: {}",
                grant(role, "bench")
            ),
            Self::Names { role } => write!(
                f,
                "role {role} may not read, set or forget names of people in {place}: nothing was recorded. A reference \
                 serves without a name; with names works a counter, if the owner lets it: {}",
                grant(role, "counter")
            ),
            Self::Own { role, doing } => write!(
                f,
                "role {role} may not {doing} at {place}: that is for its owner, as whom it was begun (`bevelbook book \
                 grant` tells who). Nothing was changed"
            ),
            Self::Begin { role, database } => write!(
                f,
                "role {role} may not begin a book in {place}: that is for the owner of database {database}, or for whom that \
                 one lets: GRANT CREATE ON DATABASE {} TO {}",
                quoted(database),
                quoted(role)
            ),
            Self::NoRole { role, alike: Some(alike) } => {
                write!(f, "the server of {place} has no role {role}, but a role {alike}: is that meant?")
            }
            Self::NoRole { role, alike: None } => write!(
                f,
                "the server of {place} has no role {role}; whoever looks after it makes one: createuser --pwprompt {}",
                word(role)
            ),
            Self::IsOwner { role } => write!(
                f,
                "role {role} may everything at {place}, as its owner or as who looks after the server; it is given nothing \
                 else, and nothing is taken from it. For a bench take a role of its own"
            ),
        }
    }
}

/// What gives a role its rights, as it is typed.
fn grant(role: &str, duty: &str) -> String {
    format!("`bevelbook book grant {} --as {duty}`", word(role))
}

/// A name as SQL has it, whatever it holds.
pub(super) fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}
