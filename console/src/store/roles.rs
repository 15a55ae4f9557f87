//! The server that keeps a book, and who may what there. Who may read and write a file is said by its folder.

use super::engine::Conn;
use super::fault::failed;
use super::server::{about, roles};
use super::{About, Address, Book, Duty, Error, Place, Reader, Rights, Trouble};

impl Book {
    /// Gives a role of the server what it needs to work as `duty`, and no more; nothing is left to it where that is none.
    /// What it may then is told.
    ///
    /// # Errors
    /// The book is a file ([`Trouble::NoRoles`]), there is no such role, or only the owner may say so.
    pub fn give_rights(place: &Place, role: &str, duty: Option<Duty>) -> Result<Rights, Error> {
        server_of(place).and_then(|address| roles::give(address, role, duty)).map_err(|t| t.at(place))
    }

    /// What every role of the server may.
    ///
    /// # Errors
    /// The book is a file, or cannot be looked into.
    pub fn all_rights(place: &Place) -> Result<Vec<Rights>, Error> {
        server_of(place).and_then(roles::all).map_err(|t| t.at(place))
    }
}

impl Conn {
    /// What the role may that asks, where the engine knows roles.
    pub(super) fn rights(&self) -> Option<&Rights> {
        match self {
            Self::File(_) => None,
            Self::Server(link) => link.rights(),
        }
    }

    /// The role, where it may not read names of people.
    pub(super) fn nameless(&self) -> Option<&str> {
        self.rights().filter(|rights| !rights.reads_names).map(|rights| rights.role.as_str())
    }
}

impl Reader {
    /// What the role may that asks, where there are roles.
    #[must_use]
    pub fn rights(&self) -> Option<&Rights> {
        self.conn.rights()
    }

    /// What the server tells of itself that keeps the book; none of a file.
    ///
    /// # Errors
    /// It does not answer.
    pub fn server(&self) -> Result<Option<About>, Error> {
        match &self.conn {
            Conn::File(_) => Ok(None),
            Conn::Server(link) => self.join(about(link).map(Some).map_err(failed("cannot ask"))),
        }
    }

    /// The role, where it may not read names of people: there are none for it.
    #[must_use]
    pub fn nameless(&self) -> Option<&str> {
        self.conn.nameless()
    }

    /// That names may be set and forgotten.
    ///
    /// # Errors
    /// The role may not.
    pub fn may_set_names(&self) -> Result<(), Error> {
        match self.rights().filter(|rights| !rights.sets_names) {
            None => Ok(()),
            Some(rights) => self.join(Err(roles::no_names(rights))),
        }
    }
}

fn server_of(place: &Place) -> Result<&Address, Trouble> {
    match place {
        Place::Server(address) => Ok(address),
        Place::File(_) => Err(Trouble::NoRoles),
    }
}
