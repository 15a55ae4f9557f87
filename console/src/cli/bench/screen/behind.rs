//! What waits for a book and for a port, beside the keys: a server may take seconds to answer, or never do.
//!
//! One thread has the benches, the port and the book that is looked at. It is asked for one turn after the other, and answers
//! with what is to be shown; whoever asks goes on meanwhile, and sees how long the answer takes.

use super::desk::Desk;
use super::links::link;
use super::pair::Pair;
use crate::cli::Failure;
use crate::cli::bench::at_port::AtPort;
use crate::cli::bench::beside::Beside;
use crate::cli::bench::offered::offered;
use crate::cli::paint::{Said, Tone};
use crate::keypad::{Bench, Clock, Link, Note};
use bevelbook_core::record::{JobId, RecordId};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

/// How long is waited for a turn, which mostly takes less: then what it moved is seen at once.
const MOMENT: Duration = Duration::from_millis(10);

/// A turn that takes longer is told of.
const LONG: Duration = Duration::from_millis(1500);

/// What is wanted of the next turn beside that it moves what has come.
pub(super) enum Ask {
    /// The new keypad on the port becomes the shop's under this name.
    Add(String),
    Undo(RecordId, String),
    /// Another open job is looked at, so many further on.
    Look(isize),
    /// Back to the job in hand.
    InHand,
    /// There is a keypad on the screen from now on.
    Here(Box<Beside>),
}

/// What one turn came to.
pub(super) struct Turned {
    pub(super) links: Vec<Said>,
    pub(super) notes: Vec<Note>,
    pub(super) said: Vec<Said>,
    pub(super) pair: Pair,
    pub(super) aside: bool,
    /// What the new keypad on the port would be called, if one waits there.
    pub(super) new: Option<String>,
}

/// The thread's end of it.
pub(super) struct Back {
    pub(super) port: Option<AtPort>,
    pub(super) beside: Option<Beside>,
    pub(super) desk: Desk,
    pub(super) clock: Clock,
}

/// The other end.
pub(super) struct Behind {
    asks: Sender<(Vec<Ask>, Option<JobId>)>,
    turns: Receiver<Result<Turned, Failure>>,
    /// Since when a turn is waited for.
    asked: Option<Instant>,
    wanted: Vec<Ask>,
}

impl Behind {
    pub(super) fn start(mut back: Back) -> Self {
        let (asks, asked) = channel();
        let (tell, turns) = channel();
        // It ends when nobody asks any more, or with the process.
        thread::spawn(move || {
            while let Ok((asks, in_hand)) = asked.recv() {
                if tell.send(back.turn(asks, in_hand)).is_err() {
                    return;
                }
            }
        });
        Self { asks, turns, asked: None, wanted: Vec::new() }
    }

    /// Has something done in the next turn.
    pub(super) fn want(&mut self, ask: Ask) {
        self.wanted.push(ask);
    }

    /// Whether something is wanted of the next turn already, of which the last one knows nothing.
    pub(super) const fn is_wanted(&self) -> bool {
        !self.wanted.is_empty()
    }

    /// What the last turn came to, if it is over; `in_hand` is the job of the keypad on the screen.
    pub(super) fn turn(&mut self, in_hand: Option<JobId>) -> Result<Option<Turned>, Failure> {
        let fell = || Failure::Fault("what moves the bytes of this screen fell over".into());
        if self.asked.is_none() {
            self.asks.send((std::mem::take(&mut self.wanted), in_hand)).map_err(|_| fell())?;
            self.asked = Some(Instant::now());
        }
        match self.turns.recv_timeout(MOMENT) {
            Ok(turned) => {
                self.asked = None;
                turned.map(Some)
            }
            Err(RecvTimeoutError::Timeout) => Ok(None),
            Err(RecvTimeoutError::Disconnected) => Err(fell()),
        }
    }

    /// What is to be told of a turn that takes long.
    pub(super) fn waits(&self) -> Option<Said> {
        let long = self.asked.map(|asked| asked.elapsed()).filter(|long| *long > LONG)?;
        Some(Said::new(Tone::Look, format!("○ no answer for {} s; the keypad logs on", long.as_secs())))
    }
}

impl Back {
    fn turn(&mut self, asks: Vec<Ask>, in_hand: Option<JobId>) -> Result<Turned, Failure> {
        let said: Vec<Said> = asks.into_iter().filter_map(|ask| self.does(ask, in_hand)).collect();
        let Self { port, beside, clock, .. } = self;
        let (mut links, mut notes) = (Vec::new(), Vec::new());
        let mut new = None;
        if let Some(at) = port {
            notes.extend(at.turn(*clock)?);
            notes.extend(std::iter::from_fn(|| at.bench.take_note()));
            let on = at.path().map_or(String::new(), |path| format!(" on {}", path.display()));
            links.push(link(at.bench.link(), &on));
            new = offered(&mut at.bench, clock.now());
        }
        if let Some(beside) = beside {
            beside.turn(*clock);
            notes.extend(std::iter::from_fn(|| beside.take_note()));
            links.push(match beside.bench.link() {
                // Beside a port there is little room, and in one process little to tell.
                Link::Connected { waiting: 0, .. } if port.is_some() => {
                    Said::new(Tone::Good, "● keypad here")
                }
                Link::Away { waiting: Some(waiting), .. } if port.is_some() => {
                    Said::new(Tone::Bad, format!("{waiting} here"))
                }
                stands => link(stands, " on this screen"),
            });
        }
        let in_hand = self.in_hand(in_hand);
        let bench = at_bench(self.beside.as_ref(), self.port.as_ref());
        self.desk.renew(in_hand, bench, self.clock.now());
        Ok(Turned { links, notes, said, pair: self.desk.pair.clone(), aside: self.desk.is_aside(), new })
    }

    /// What is to be said of what was wanted.
    fn does(&mut self, ask: Ask, in_hand: Option<JobId>) -> Option<Said> {
        let in_hand = self.in_hand(in_hand);
        match ask {
            Ask::Add(name) => {
                let now = self.clock.now();
                self.port.iter_mut().for_each(|at| at.bench.adopt(&name, now));
            }
            Ask::Undo(record, says) => {
                return Some(match self.desk.undo(record) {
                    Ok(()) => Said::new(Tone::Strong, format!("undone: {says}")),
                    Err(why) => Said::new(Tone::Bad, why),
                });
            }
            Ask::Look(further) => self.desk.look(in_hand, Some(further)),
            Ask::InHand => self.desk.look(in_hand, None),
            Ask::Here(beside) => self.beside = Some(*beside),
        }
        None
    }

    /// The job that is worked on.
    fn in_hand(&self, here: Option<JobId>) -> Option<JobId> {
        let here = here.or(self.beside.as_ref().and_then(|beside| beside.bench.in_hand()));
        here.or(self.port.as_ref().and_then(|at| at.bench.in_hand()))
    }
}

/// The bench of the keypad that is worked on.
fn at_bench<'b>(beside: Option<&'b Beside>, port: Option<&'b AtPort>) -> Option<&'b Bench> {
    beside.map(|beside| &beside.bench).or(port.map(|at| &at.bench))
}
