//! What a database is made of, against what this program makes.

use std::fmt;

/// A table, index, trigger or the like, and how it is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Object {
    pub(super) kind: String,
    /// Unlike that of any other of its kind.
    pub(super) name: String,
    pub(super) made: String,
}

impl fmt::Display for Object {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the {} {}", self.kind, self.name)
    }
}

/// Tells how what was found differs from what an intact book is made of.
pub(super) fn compare(found: &[Object], intact: &[Object], problems: &mut Vec<String>) {
    for object in intact.iter().filter(|object| !found.contains(object)) {
        problems.push(format!("{object} is missing or not as this program makes it"));
    }
    for object in found {
        if !intact.iter().any(|own| (&own.kind, &own.name) == (&object.kind, &object.name)) {
            problems.push(format!("{object} is not this program's"));
        }
    }
}
