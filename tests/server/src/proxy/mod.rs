//! A network between client and server that fails where a test says.
//!
//! It knows of the protocol where a message ends (PostgreSQL's documentation, "Message Formats": a byte that says what it
//! is, four that say how long, and at the start of a connection the length alone), so that a connection can be cut before or
//! behind any message, and whether its answer came through is no matter of luck.

mod message;
mod state;

pub use state::{Fault, Seen, Way};

use crate::server::Server;
use message::Reader;
use state::{State, Verdict};
use std::io::Write;
use std::net::Shutdown;
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;
use std::time::Duration;
use tempfile::TempDir;

/// What a socket is called in the folder that a URL names as host, where it names no port.
const SOCKET: &str = ".s.PGSQL.5432";

/// A way to a server on which something can go wrong. Everything passes until a fault is armed.
#[derive(Debug)]
pub struct Proxy {
    folder: TempDir,
    state: Arc<State>,
}

impl Proxy {
    /// One before a server.
    #[must_use]
    pub fn before(server: &Server) -> Self {
        let folder = tempfile::tempdir().expect("a folder for a socket");
        let listener = UnixListener::bind(folder.path().join(SOCKET)).expect("a socket");
        let state = Arc::new(State::default());
        let server = server.socket().join(format!(".s.PGSQL.{}", server.port()));
        thread::spawn({
            let state = state.clone();
            move || listen(&listener, &server, &state)
        });
        Self { folder, state }
    }

    /// Where the database `name` is by this way, as role `postgres`.
    #[must_use]
    pub fn url(&self, name: &str) -> String {
        self.url_as("postgres", name)
    }

    /// The same as another role.
    #[must_use]
    pub fn url_as(&self, role: &str, name: &str) -> String {
        format!("postgres:///{name}?host={}&user={role}", self.folder.path().display())
    }

    /// The folder of its socket, which is what a URL calls its host.
    #[must_use]
    pub fn socket(&self) -> &Path {
        self.folder.path()
    }

    /// Does `fault` at the `nth` message from now on that goes this `way`, on whatever connection; 1 is the next.
    pub fn arm(&self, way: Way, nth: usize, fault: Fault) {
        self.arm_at(way, "", nth, fault);
    }

    /// The same, where only messages of these kinds are counted ([`Seen::kind`]).
    pub fn arm_at(&self, way: Way, kinds: &'static str, nth: usize, fault: Fault) {
        assert!(nth > 0, "the first message is 1");
        self.state.arm(way, kinds, nth, fault);
    }

    /// The message that was struck since a fault was armed; one that has not happened yet is taken back.
    #[must_use]
    pub fn struck(&self) -> Option<Seen> {
        self.state.struck()
    }

    /// All messages since the last time this was asked.
    #[must_use]
    pub fn seen(&self) -> Vec<Seen> {
        self.state.seen()
    }

    /// The server is so far away from now on: a question and its answer take so much longer.
    pub fn distance(&self, distance: Duration) {
        self.state.distance(distance);
    }

    /// How often a client waited for an answer since what went by was [seen](Proxy::seen) last.
    #[must_use]
    pub fn waited(&self) -> usize {
        self.seen().iter().filter(|seen| seen.ends_a_wait()).count()
    }

    /// Closes every connection.
    pub fn cut(&self) {
        self.state.cut();
    }

    /// Lets nobody connect, or lets them again; whoever is connected stays so.
    pub fn refuse(&self, refused: bool) {
        self.state.refuse(refused);
    }

    /// Lets nobody connect from the moment on at which what is armed strikes.
    pub fn refuse_when_struck(&self) {
        self.state.refuse_when_struck();
    }

    /// Passes nothing on and closes nothing, as a network that is dead, on new connections too.
    pub fn freeze(&self) {
        self.state.freeze(true);
    }

    /// Passes on again what was held up by [`Proxy::freeze`] or [`Fault::Freeze`].
    pub fn thaw(&self) {
        self.state.freeze(false);
    }
}

impl Drop for Proxy {
    fn drop(&mut self) {
        self.state.end();
        // Whoever waits for a connection sees that it is over.
        let _ = UnixStream::connect(self.folder.path().join(SOCKET));
    }
}

/// Takes connections until it is over.
fn listen(listener: &UnixListener, server: &PathBuf, state: &Arc<State>) {
    for client in listener.incoming() {
        if state.is_over() {
            return;
        }
        let (Ok(client), false) = (client, state.refuses()) else { continue };
        let Ok(server) = UnixStream::connect(server) else { continue };
        let number = state.connected(&client, &server);
        for way in [Way::ToServer, Way::ToClient] {
            let (from, to) = match way {
                Way::ToServer => (&client, &server),
                Way::ToClient => (&server, &client),
            };
            let clone = |stream: &UnixStream| stream.try_clone().expect("a second handle of a socket");
            let (reader, to, state) = (Reader::new(way, clone(from)), clone(to), state.clone());
            thread::spawn(move || pass(reader, to, way, number, &state));
        }
    }
}

/// Passes on what comes, until either end closes or a fault does; then both are closed.
fn pass(mut reader: Reader, mut to: UnixStream, way: Way, connection: usize, state: &State) {
    let mut swallows = false;
    while let Some(message) = reader.next(|| state.answers_one_byte(connection)) {
        if message.asks_for_encryption() {
            state.will_answer_one_byte(connection);
        }
        let verdict = if swallows { Verdict::Swallow } else { state.judge(way, connection, &message) };
        match verdict {
            Verdict::Pass | Verdict::PassAndCut => {
                if to.write_all(message.bytes()).is_err() || verdict == Verdict::PassAndCut {
                    break;
                }
            }
            Verdict::Swallow => swallows = true,
            Verdict::Cut => break,
        }
    }
    let _ = reader.stream().shutdown(Shutdown::Both);
    let _ = to.shutdown(Shutdown::Both);
}
