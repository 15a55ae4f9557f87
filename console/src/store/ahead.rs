//! Asking a server several things at once. A file is asked when something is wanted.

use super::engine::Conn;
use super::fault::failed;
use super::{Error, Reader};

impl Reader {
    /// Within a transaction: what `ask` asks will be asked soon; a server answers all of it in one message. `ask` is to make nothing
    /// of the answers.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn ahead(&self, ask: impl FnOnce(&Self)) -> Result<(), Error> {
        self.note(ask);
        match &self.conn {
            Conn::File(_) => Ok(()),
            Conn::Server(link) => self.join(link.ask_noted().map_err(failed("cannot read"))),
        }
    }

    /// The same of what is asked with the beginning of a write.
    pub(super) fn note(&self, ask: impl FnOnce(&Self)) {
        if let Conn::Server(link) = &self.conn {
            link.note(|| ask(self));
        }
    }

    /// Whether what is asked is noted alone, and every answer that is not known is nothing.
    pub fn only_notes(&self) -> bool {
        matches!(&self.conn, Conn::Server(link) if link.only_notes())
    }
}
