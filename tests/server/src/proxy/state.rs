//! What all connections of a proxy share: what went by, and what is to go wrong.

use super::message::Message;
use std::net::Shutdown;
use std::os::unix::net::UnixStream;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// Where a message goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// From the client.
    ToServer,
    /// From the server.
    ToClient,
}

/// What goes wrong at a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It does not arrive: both ends see the connection closed.
    CutBefore,
    /// It arrives, and the connection is closed behind it.
    CutAfter,
    /// It does not arrive, nor does what follows on its way; the connection stays open and the other way goes on.
    Swallow,
    /// It arrives later.
    Delay(Duration),
    /// From here on nothing is passed on either way, on any connection, and nothing is closed: [`super::Proxy::thaw`].
    Freeze,
}

/// A message that came by, whether or not it was passed on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    /// Where it was to go.
    pub way: Way,
    /// On which connection: the first is 1.
    pub connection: usize,
    /// What it is, as the protocol calls it: `Q` from the client a simple query, `C` from the server that a command is done;
    /// `None` at the start of a connection.
    pub kind: Option<char>,
    /// The text of a query (`Q`, `P`), what a command did (`C`), an error (`E`).
    pub text: String,
}

impl Seen {
    /// Whether a client that waited for an answer has it with this.
    #[must_use]
    pub fn ends_a_wait(&self) -> bool {
        self.way == Way::ToClient && self.kind == Some('Z')
    }
}

/// What is done with a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    Pass,
    PassAndCut,
    Cut,
    Swallow,
}

#[derive(Debug, Default)]
pub(super) struct State {
    inside: Mutex<Inside>,
    thawed: Condvar,
}

#[derive(Debug, Default)]
struct Inside {
    armed: Option<Armed>,
    /// The message that the last one struck.
    struck: Option<Seen>,
    seen: Vec<Seen>,
    connections: Vec<Connection>,
    refused: bool,
    refused_when_struck: bool,
    frozen: bool,
    /// How far the server is away: so long takes a question and its answer.
    distance: Duration,
    over: bool,
}

#[derive(Debug)]
struct Armed {
    way: Way,
    /// Which messages are counted: those of these kinds, or all where there is none.
    kinds: &'static str,
    /// Which of them is the one, counted down.
    left: usize,
    fault: Fault,
}

impl Armed {
    fn counts(&self, seen: &Seen) -> bool {
        self.way == seen.way
            && (self.kinds.is_empty() || seen.kind.is_some_and(|kind| self.kinds.contains(kind)))
    }
}

#[derive(Debug)]
struct Connection {
    client: UnixStream,
    server: UnixStream,
    /// The server's next answer is a byte without a length.
    one_byte: bool,
}

impl State {
    fn inside(&self) -> MutexGuard<'_, Inside> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn arm(&self, way: Way, kinds: &'static str, nth: usize, fault: Fault) {
        let mut inside = self.inside();
        (inside.armed, inside.struck) = (Some(Armed { way, kinds, left: nth, fault }), None);
    }

    pub(super) fn struck(&self) -> Option<Seen> {
        let mut inside = self.inside();
        inside.armed = None;
        inside.struck.take()
    }

    pub(super) fn seen(&self) -> Vec<Seen> {
        std::mem::take(&mut self.inside().seen)
    }

    pub(super) fn refuse(&self, refused: bool) {
        self.inside().refused = refused;
    }

    pub(super) fn refuse_when_struck(&self) {
        self.inside().refused_when_struck = true;
    }

    pub(super) fn refuses(&self) -> bool {
        self.inside().refused
    }

    pub(super) fn freeze(&self, frozen: bool) {
        self.inside().frozen = frozen;
        self.thawed.notify_all();
    }

    pub(super) fn distance(&self, distance: Duration) {
        self.inside().distance = distance;
    }

    pub(super) fn is_over(&self) -> bool {
        self.inside().over
    }

    pub(super) fn end(&self) {
        self.inside().over = true;
        self.thawed.notify_all();
        self.cut();
    }

    pub(super) fn cut(&self) {
        for connection in &self.inside().connections {
            let _ = connection.client.shutdown(Shutdown::Both);
            let _ = connection.server.shutdown(Shutdown::Both);
        }
    }

    /// Keeps a connection; its number.
    pub(super) fn connected(&self, client: &UnixStream, server: &UnixStream) -> usize {
        let clone = |stream: &UnixStream| stream.try_clone().expect("a second handle of a socket");
        let mut inside = self.inside();
        inside.connections.push(Connection { client: clone(client), server: clone(server), one_byte: false });
        inside.connections.len()
    }

    pub(super) fn will_answer_one_byte(&self, connection: usize) {
        self.inside().connections[connection - 1].one_byte = true;
    }

    pub(super) fn answers_one_byte(&self, connection: usize) -> bool {
        std::mem::take(&mut self.inside().connections[connection - 1].one_byte)
    }

    /// What is done with a message; takes as long as it is delayed.
    pub(super) fn judge(&self, way: Way, connection: usize, message: &Message) -> Verdict {
        let mut inside = self.inside();
        let seen = seen(way, connection, message);
        inside.seen.push(seen.clone());
        let mut fault = None;
        if let Some(armed) = inside.armed.as_mut().filter(|armed| armed.counts(&seen)) {
            armed.left -= 1;
            if armed.left == 0 {
                fault = Some(armed.fault);
                (inside.armed, inside.struck) = (None, Some(seen));
                inside.refused |= std::mem::take(&mut inside.refused_when_struck);
            }
        }
        if fault == Some(Fault::Freeze) {
            inside.frozen = true;
        }
        while inside.frozen && !inside.over {
            inside = self.thawed.wait(inside).unwrap_or_else(PoisonError::into_inner);
        }
        // A client waits for an answer when it has asked for one: what it sends before that goes with it.
        let waits = way == Way::ToServer && matches!(message.kind(), None | Some(b'Q' | b'S' | b'p'));
        let distance = if waits { inside.distance } else { Duration::ZERO };
        drop(inside);
        std::thread::sleep(distance);
        match fault {
            None | Some(Fault::Freeze) => Verdict::Pass,
            Some(Fault::CutBefore) => Verdict::Cut,
            Some(Fault::CutAfter) => Verdict::PassAndCut,
            Some(Fault::Swallow) => Verdict::Swallow,
            Some(Fault::Delay(time)) => {
                std::thread::sleep(time);
                Verdict::Pass
            }
        }
    }
}

fn seen(way: Way, connection: usize, message: &Message) -> Seen {
    let kind = message.kind().map(char::from);
    let told = matches!((way, kind), (Way::ToServer, Some('Q' | 'P')) | (Way::ToClient, Some('C' | 'E')));
    let body = if told { message.body() } else { &[] };
    let text = String::from_utf8_lossy(body).replace('\0', " ").trim().to_owned();
    Seen { way, connection, kind, text }
}
